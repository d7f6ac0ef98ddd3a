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
        ("−3.2 m", "-3.2 m"),
        ("1\u202f724 MPa", "1724 MPa"),
        ("0,3", "0.3"),
        ("5,12 mm", "5.12 mm"),
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


def test_prepositions_are_no_inches():
    assert _read("6 in the trench") == [("6", ())]
    assert _read("12 in Table 3") == [("12", ()), ("3", ())]


def test_numbers_in_names_do_not_stand_by_themselves():
    assert _read("F1216-07b X1.3 t1") == []


def test_units_by_themselves():
    assert unit_alone("(lb/cu ft)") == "pcf"
    assert unit_alone("N/mm²") == "MPa"
    assert unit_alone("Cover") is None
