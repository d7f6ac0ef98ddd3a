"""Stated numbers as a review takes them: their rounding, their digits, and what is an input."""

from types import SimpleNamespace as Made

import pytest

from linerdesign.project.measures import Measure
from linerdesign.tasks.review import submittal
from linerdesign.tasks.review.submittal import Item, Submittal, decimals_of, rounding_of


def measure(text, unit=None):
    number, _, of = text.partition(" ")
    return Measure(float(number.replace(",", "")), of if unit is None else unit, text)


@pytest.mark.parametrize(
    ("text", "decimals"),
    [("12.5 ft", 1), ("12 ft", 0), ("1.20e3 psi", -1), ("2.5e-4 in", 5), ("1,250.00 psi", 2)],
)
def test_decimals_are_those_printed(text, decimals):
    assert decimals_of(measure(text)) == decimals


@pytest.mark.parametrize(
    ("text", "unit", "half"),
    [
        ("12.50 ft", "ft", 0.005),
        ("12 ft", "ft", 0.5),
        ("2.5e3 psi", "psi", 50.0),
        # To half an inch, and to a thirty-second of one.
        ("9'-6\"", "ft", 0.5 / 12),
        ("9 ft 6 in", "ft", 0.5 / 12),
        ("3/8 in", "mm", 25.4 / 32),
    ],
)
def test_half_of_the_last_printed_digit(text, unit, half):
    assert rounding_of(Measure(9.5, unit, text)) == pytest.approx(half)


@pytest.mark.parametrize(
    ("text", "share"),
    [
        # Three figures at least count: 156,000 is to 500, as is 150,000; 20,000 to 50.
        ("156000 psi", 500 / 156_000),
        ("150000 psi", 500 / 150_000),
        ("156200 psi", 50 / 156_200),
        ("20000 psi", 50 / 20_000),
        ("1,000 psi", 5 / 1000),
        ("100 psi", 0.5 / 100),
        ("10 psi", 0.05 / 10),
        ("-1560 psi", 5 / 1560),
        ("1560.0 psi", 0.0),
        ("1561 psi", 0.0),
    ],
)
def test_trailing_zeros_may_not_count(text, share):
    assert submittal._trailing_zeros(measure(text)) == pytest.approx(share)


def test_an_item_has_its_value_and_rounding_in_the_unit_of_the_sheet():
    found = submittal._item("t X1.1", "t_X1_1", measure("25.40 mm"), "US")
    assert (found.name, found.key, found.unit, found.at) == ("t X1.1", "t_X1_1", "in", "")
    assert found.value == pytest.approx(1.0)
    assert found.half == pytest.approx(0.005 / 25.4, rel=1e-5)
    assert found.half > 0.005 / 25.4
    share = submittal._item("q", "q", measure("2.0 %"), "US")
    assert (share.value, share.half) == pytest.approx((2.0, 0.05), rel=1e-5)
    whole = submittal._item("E", "E", measure("156000 psi"), "US")
    assert whole.half == pytest.approx(500, rel=1e-5)


def test_lines_are_items_with_their_places():
    placed = measure("0.2 in")
    object.__setattr__(placed, "at", "page 2")
    first, second = submittal._step_items({"t X1.1": placed, "C": measure("0.80")}, "US")
    assert (first.name, first.key, first.at, first.value) == ("t X1.1", "t_X1_1", "page 2", 0.2)
    assert (second.name, second.key, second.at, second.value) == ("C", "C", "", 0.8)


def item(name, key, value=0.2, unit="in", text=None, half=0.005):
    stated = measure(text or f"{value:g} {unit}".strip())
    return Item(name, key, stated, unit, value, half)


def test_a_nominal_thickness_of_whole_increments_is_not_rounded():
    assert submittal._of_increment(item("thickness", "t"), 0.05).half == pytest.approx(5e-8)
    assert submittal._of_increment(item("thickness", "t", 0.21), 0.05).half == 0.005
    assert submittal._of_increment(item("thickness", "t"), 0.0).half == 0.005
    assert submittal._of_increment(item("required", "t_required"), 0.05).half == 0.005
    near = item("thickness", "t", 0.2 + 0.05 * 0.9e-6)
    assert submittal._of_increment(near, 0.05).half == pytest.approx(5e-8)
    off = item("thickness", "t", 0.2 + 0.05 * 1.1e-6)
    assert submittal._of_increment(off, 0.05).half == 0.005


@pytest.mark.parametrize(
    ("about", "value", "text"),
    [
        # One digit more than printed; in the unit in which it is stated.
        (item("C", "C", 0.8, "", "0.80"), 0.83642, "0.836"),
        (item("t", "t_X1_1", 1.0, "in", "25.4 mm"), 1.0, "25.40 mm"),
        (item("q", "q", 2.0, "%", "2 %"), 2.04, "2.0 %"),
        (item("E", "E", 250_000.0, "psi", "250000 psi"), 249_999.6, "250000 psi"),
        (item("P", "P", 5.0, "psi", "5 psi"), 5.196, "5.2 psi"),
        (item("P", "P", 5.0, "psi", "0.0345 MPa"), 5.196, "0.03583 MPa"),
    ],
)
def test_our_number_as_the_submittal_would_print_it(about, value, text):
    assert about.shown(value) == text


def test_names_as_a_sentence_has_them():
    assert item("required_thickness", "t_required").label == "required thickness"
    assert item("some_name", "C", unit="").label == "some_name"
    assert item("N", "N", 2.0, "").exact
    assert not item("C", "C", 0.8, "").exact


def stations(*values):
    return tuple(Made(values=each) for each in values)


def submitted(items=(), inputs=None, ours=({"N": 2.0, "t": 1.0},), theirs=({"N": 2.0},), **more):
    basis = {"edition": "F1216-16", "condition": "x"}
    return Submittal(
        Made(),
        Made(inputs=inputs and Made(given=dict.fromkeys(inputs))),
        Made(stations=stations(*ours), basis=Made(**basis)),
        Made(stations=stations(*theirs), basis=Made(**(basis | more))),
        tuple(items),
    )


def test_the_thicknesses_come_last():
    first, second = item("C", "C", unit=""), item("P", "P")
    nominal, required = item("thickness", "t"), item("required_thickness", "t_required")
    made = submitted((required, nominal, first, second))
    assert made.in_order == (first, second, required, nominal)
    assert made.item("t") is nominal
    assert made.item("N") is None
    assert made.is_input("N")
    assert not made.is_input("t")
    assert not made.is_input("C")
    assert made.name_of("P") == "P"
    assert made.name_of("E_L") not in ("", None)


def test_inputs_that_differ_are_those_taken_otherwise():
    """By the words of the basis, by the values of any station, or where nothing is compared."""
    names = ("safety_factor", "edition", "cover")
    same = submitted(inputs=names[:2])
    assert same.other_inputs == ()
    assert submitted().other_inputs == ()
    assert submitted(inputs=names).other_inputs == ("cover",)
    assert submitted(inputs=names[:2], edition="F1216-09").other_inputs == ("edition",)
    two = {"ours": ({"N": 2.0}, {"N": 2.0}), "theirs": ({"N": 2.0}, {"N": 1.5})}
    assert submitted(inputs=names[:2], **two).other_inputs == ("safety_factor",)
    close = {"theirs": ({"N": 2.0 * (1 + 1e-13)},)}
    assert submitted(inputs=names[:1], **close).other_inputs == ()
    assert submitted(inputs=names[:1], ours=({},)).other_inputs == names[:1]
    assert submitted(inputs=names[:1], theirs=({},)).other_inputs == names[:1]
    assert submitted(inputs=("no_such",)).other_inputs == ("no_such",)


def test_a_design_thickness_is_a_stated_one_where_none_other_is():
    changed = lambda what: what  # noqa: E731
    stated = Made(thickness=None, changed=changed)
    pipe = Made(stated=stated, design_thickness="6 mm")
    assert submittal.stated_of(pipe) == {"thickness": "6 mm"}
    own = Made(thickness="5 mm", changed=changed)
    assert submittal.stated_of(Made(stated=own, design_thickness="6 mm")) is own
    assert submittal.stated_of(Made(stated=stated, design_thickness=None)) is stated
    assert submittal.stated_of(Made(stated=None, design_thickness="6 mm")) is None
