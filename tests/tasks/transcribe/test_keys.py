"""Values of keys as a document prints them: which are the same, in which unit, in which doubt."""

import pytest

from linerdesign.project.usual import USUAL
from linerdesign.tasks.transcribe.keys import (
    REQUIRED,
    STEPS,
    THICKNESS,
    in_unit_of,
    same_value,
    step_of,
    unit_of,
)
from linerdesign.tasks.transcribe.labels import rows
from linerdesign.tasks.transcribe.meaning import _key, value_for
from linerdesign.tasks.transcribe.numbers import numbers


@pytest.mark.parametrize(
    ("key", "one", "other", "same"),
    [
        # An inch is 25.4 mm: half a digit either way, or half a percent.
        (THICKNESS, "7.5 mm", "0.295 in", True),
        (THICKNESS, "7.5 mm", "0.30 in", True),
        (THICKNESS, "7.5 mm", "0.31 in", False),
        (THICKNESS, "7.500 mm", "0.3000 in", False),
        ("cover", "1.00 ft", "1.01 ft", True),
        (THICKNESS, "100.000 mm", "100.499 mm", True),
        # Half a percent of the larger.
        (THICKNESS, "100.000 mm", "100.501 mm", True),
        # 0.29 in is 7.366 mm, its half digit 0.127 mm; with 0.00005 mm and one percent 0.12832 mm.
        (THICKNESS, "7.4940 mm", "0.29 in", True),
        (THICKNESS, "7.4950 mm", "0.29 in", False),
        (THICKNESS, "100.000 mm", "100.505 mm", False),
        ("cover", "10 ft", "11 ft", True),
        ("cover", "10.0 ft", "11.0 ft", False),
        ("cover", "10 ft", "10 psi", False),
        ("cover", "10 ft", "deep", False),
        ("safety_factor", "2.0", "2.00", True),
        ("safety_factor", "2.0", "2.009", True),
        ("safety_factor", "2.0", "2.015", False),
        ("safety_factor", "0", "0.0", True),
        ("edition", "F1216-07b", "F1216-07b", True),
        ("edition", "F1216-07b", "F1216-07a", False),
        ("cover", f"2.0e{'9' * 500} ft", "3 ft", False),
    ],
)
def test_values_that_are_one_within_their_rounding(key, one, other, same):
    assert same_value(key, one, other) is same
    assert same_value(key, other, one) is same


def test_the_unit_of_a_key():
    units = {key: unit_of(key) for key in (THICKNESS, REQUIRED, "cover", "ovality", "safety_factor",
             f"{STEPS}P", f"{STEPS}C", f"{STEPS}no such", "no_such")}  # fmt: skip
    assert list(units.values()) == ["mm", "mm", "m", "%", "", "MPa", "", "?", "?"]
    assert in_unit_of("cover", 10.0, "ft") == pytest.approx(3.048)
    assert in_unit_of("ovality", 2.0, "%") == 2.0
    for key, unit in (("cover", "psi"), ("cover", "%"), ("cover", None), ("ovality", "mm"),
                      ("safety_factor", "ft"), ("no_such", "ft")):  # fmt: skip
        assert in_unit_of(key, 10.0, unit) is None
    assert in_unit_of("safety_factor", 2.0, None) == 2.0


def test_the_line_of_an_input():
    assert step_of("safety_factor") == f"{STEPS}N"
    assert step_of("ovality") == f"{STEPS}q"
    assert step_of("host_diameter") == f"{STEPS}D"
    assert step_of("name") == ""


@pytest.mark.parametrize(
    ("key", "text", "value", "doubts"),
    [
        ("cover", "10 ft", "10 ft", ()),
        ("cover", "10", "10", ("transcribe.no_unit",)),
        ("cover", "10 psi", None, None),
        ("modulus_retention", "50 %", "50 %", ()),
        ("modulus_retention", "0.5", "50 %", ("transcribe.share",)),
        ("modulus_retention", "1", "100 %", ("transcribe.share",)),
        ("modulus_retention", "1.01", "1.01", ("transcribe.no_unit",)),
        ("modulus_retention", "0", "0", ("transcribe.no_unit",)),
        ("ovality", "0.5", "0.5", ("transcribe.no_unit",)),
        ("safety_factor", "2.0", "2.0", ()),
        ("safety_factor", "20", "20", ("transcribe.unusual",)),
    ],
)
def test_a_number_as_the_value_of_a_key(key, text, value, doubts):
    (number,) = numbers(text)
    made = value_for(key, number, ())
    assert made == (None if value is None else (value, doubts))


def test_the_usual_range_has_its_ends():
    """Each end itself is usual, a hair beyond is not."""
    for key, (least, most, unit) in USUAL.items():
        for value, usual in ((least, True), (most, True), (most * 1.001, False)):
            (number,) = numbers(f"{value!r} {unit}")
            known = "transcribe.unusual" not in value_for(key, number, ())[1]
            assert known is usual, key
    (number,) = numbers("0.29 m")
    assert value_for("cover", number, ())[1] == ("transcribe.unusual",)


def test_a_label_may_hold_every_word_that_its_row_allows():
    """All that a row needs and all that it may have beside it lead to a key by themselves."""
    for row in rows():
        key, doubts = _key(row.needs | row.may, frozenset())
        assert key is not None, row
        assert set(doubts) <= {"transcribe.wording"}
        assert _key(row.needs, frozenset())[0] is not None
