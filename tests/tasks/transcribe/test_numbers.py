"""Numbers and units as people print them, converted by hand: 12 in to the foot."""

import pytest

from linerdesign.tasks.transcribe.numbers import comma_of, numbers, unit_alone


def _read(text):
    return [(each.text, each.doubts) for each in numbers(text, comma_of(text))]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("250,000 psi", "250000 psi"),
        ("1,250,000", "1250000"),
        ("12'-6\"", "12.5 ft"),
        ("12 ft 6 in", "12.5 ft"),
        ("12′ 6″", "12.5 ft"),
        ("9'−3\"", "9.25 ft"),
        ('15"', "15 in"),
        ("8-inch", "8 in"),
        ("3/8 in", "0.375 in"),
        ('1-1/2"', "1.5 in"),
        ("1 1/2 in.", "1.5 in"),
        ("½ in", "0.5 in"),
        ("6.9 N/mm²", "6.9 MPa"),
        ("3 kN/mm2", "3 GPa"),
        ("25 kN/m²", "25 kPa"),
        ("18.8 kN/m³", "18.8 kN/m^3"),
        ("120 lb/ft³", "120 pcf"),
        ("120 lbs/cu. ft", "120 pcf"),
        ("800 lb/sq ft", "800 psf"),
        ("36 lb/in2", "36 psi"),
        ("250 ksi", "250 ksi"),
        ("7 ft of water", "7 ft of water"),
        ("2.5x10^5 psi", "250000 psi"),
        ("2.5×10⁵ psi", "250000 psi"),
        ("1.2E+05 psi", "120000 psi"),
        ("3 percent", "3 %"),
        ("-3.2 ft", "-3.2 ft"),
        ("at -3.2 ft", "-3.2 ft"),
        ("(-3.2 ft)", "-3.2 ft"),
        ("z =- 3.2 ft", "-3.2 ft"),
        # A hyphen behind a letter or a bracket is none of the number.
        ("MH-3 ft", "3 ft"),
        ("[ -3.2 ft]", "-3.2 ft"),
        ("[-3.2 ft]", "3.2 ft"),
        ("=[- 3.2 ft", "3.2 ft"),
        ("−3.2 m", "-3.2 m"),
        ("1\u202f724 MPa", "1724 MPa"),
        ("0,3", "0.3"),
        ("5,12 mm", "5.12 mm"),
        # 5 ft and 6.5/12 ft; a half after a number, with and without a blank.
        ("5'-6 1/2\"", "5.541666667 ft"),
        ("1 1/2 ft", "1.5 ft"),
        ("12½ in", "12.5 in"),
        ("1.2E-05 psi", "1.2e-05 psi"),
        ("2 x 10^(-3) MPa", "0.002 MPa"),
        ("3×10⁻³ MPa", "0.003 MPa"),
        ("3 · 10³ psi", "3000 psi"),
        ("2*10^5 psi", "200000 psi"),
        ("0e3 psf", "0 psf"),
        ("1\u202f250,5 mm", "1250.5 mm"),
        ("1,250,000.5 psi", "1250000.5 psi"),
        ("1,724 psi", "1724 psi"),
        ("250,000", "250000"),
        ("0,250 m", "0.250 m"),
        ("12,5000 m", "12.5000 m"),
        (".5 in", ".5 in"),
        ("10ft", "10 ft"),
        ("10  ft", "10 ft"),
        ("10   ft", "10"),
        ("(-3 ft)", "-3 ft"),
        ("=-3 ft", "-3 ft"),
        ("+5 mm", "5 mm"),
        ("x-3 ft", "3 ft"),
        ("a x-3 ft", "3 ft"),
        ("x- 3 ft", "3 ft"),
        ("1,250,001 MPa", "1250001 MPa"),
        ("5 mm²", "5"),
        ("50 years", "50"),
        ("3 m of water above", "3 m"),
        ("6.0 m of water", "6.0 m of water"),
    ],
)
def test_usual_dress(text, value):
    assert _read(text) == [(value, ())]


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("1,724 MPa", "separator"),  # 1.724 or 1724
        ("1 724 MPa", "spaced"),  # 1724, or an item 1 and 724
        ("≥ 2.0", "bound"),
        ("±0.5 mm", "bound"),
        ("< 5 mm", "bound"),
        (">=5 mm", "bound"),
        ("= <5 mm", "bound"),
        ("1,724", "separator"),
        ("<    5 mm", "bound"),
    ],
)
def test_what_may_mean_another_number_is_in_doubt(text, doubt):
    ((_, doubts),) = _read(text)
    assert doubts == (f"transcribe.{doubt}",)


def test_the_rest_of_the_document_tells_what_a_comma_means():
    thousands = list(numbers("1,724 MPa", comma_of("5.12 mm; 1,724 MPa")))
    point = list(numbers("1,724 MPa", comma_of("5,12 mm; 1,724 MPa")))
    assert (thousands[0].text, thousands[0].doubts) == ("1724 MPa", ())
    assert point[0].text == "1.724 MPa"
    assert point[0].doubts


@pytest.mark.parametrize(
    ("text", "comma"),
    [
        ("5,12 mm", "point"), ("0,250", "point"), ("1,2345", "point"),
        ("1,234.5", "thousands"), ("1,234,567", "thousands"), ("5.12", "thousands"),
        ("1,724", ""), ("5.123", ""), ("5,12 and 5.1", ""), ("", ""),
    ],
)  # fmt: skip
def test_what_a_comma_means_is_told_by_other_numbers(text, comma):
    assert comma_of(text) == comma


@pytest.mark.parametrize(
    ("comma", "text", "value", "sure"),
    [
        ("point", "1.250 m", "1.250 m", False),
        ("point", "0.250 m", "0.250 m", True),
        ("point", "12.5 m", "12.5 m", True),
        ("point", "1,724 ft", "1.724 ft", False),
        ("point", "1,000", "1.000", False),
        ("point", "1,250,500 Pa", "1250500", True),
        ("point", "1,250.5 m", "1250.5 m", True),
        ("thousands", "1.250 m", "1.250 m", True),
        ("thousands", "1,724", "1724", True),
        ("", "1,000", "1000", True),
        ("", "1.250 m", "1.250 m", True),
    ],
)
def test_what_a_comma_means_decides_its_number(comma, text, value, sure):
    (found,) = numbers(text, comma)
    assert (found.text, found.doubts == ()) == (value, sure)


def test_every_number_has_its_span():
    text = "Cover 10 ft, 2 % and 5-3 in"
    spans = [text[each.start : each.end] for each in numbers(text)]
    assert spans == ["10 ft", "2 %", "5", "3 in"]


@pytest.mark.parametrize("text", ["1e150 psi", "1e400 psi", f"1e{'9' * 5000} psi", "9.5e-100 psi"])
def test_no_power_of_ten_is_left_out(text):
    """Python reads the same float, or infinity."""
    (found,) = numbers(text)
    assert (found.value, found.unit) == (float(text.removesuffix(" psi")), "psi")
    assert "inf" not in found.text


def test_many_digits_are_a_number_all_the_same():
    (found,) = numbers("12345678901234567890123")
    assert found.value == pytest.approx(1.2345678901234567890123e22, rel=1e-9)


def test_a_number_of_more_than_twenty_digits_is_a_power_of_ten():
    assert _read("12345678901234567890") == [("12345678901234567890", ())]
    assert _read("123456789012345678901") == [("1.23456789012e+20", ())]
    assert _read("<     5 mm") == [("5 mm", ())]


def test_a_blank_between_digits_is_left_out_and_in_doubt():
    assert _read("1 724 MPa") == [("1724 MPa", ("transcribe.spaced",))]


def test_an_index_in_braces_is_no_number():
    assert _read("E_{50} = 3 psi") == [("3 psi", ())]


def test_prepositions_are_no_inches():
    assert _read("6 in the trench") == [("6", ())]
    assert _read("12 in Table 3") == [("12", ()), ("3", ())]


def test_numbers_in_names_do_not_stand_by_themselves():
    assert _read("F1216-07b X1.3 t1") == []


def test_units_by_themselves():
    assert unit_alone("(lb/cu ft)") == "pcf"
    assert unit_alone("N/mm²") == "MPa"
    assert unit_alone("Cover") is None
    assert unit_alone("mm per m") is None
    assert unit_alone("[ft]") == "ft"
    assert unit_alone("years") == ""
    assert unit_alone("") is None
