"""How options are read: numbers and quantities within limits, and what is said of others."""

import math

import pytest

from linerdesign.project.options import measured, named, number, percent, whole


class Named:
    def __init__(self, name):
        self.name = name


def test_the_one_that_is_named_or_the_first():
    one, other, faults = Named("one"), Named("other"), []
    assert named("--pipe", None, (one, other), faults) is one
    assert named("--pipe", "other", (one, other), faults) is other
    assert faults == []
    assert named("--pipe", "x", (one, other), faults) is one
    (found,) = faults
    assert (found.place, found.value) == ("--pipe", '"x"')
    assert dict(found.numbers)["known"] == '"one", "other"'


def test_a_quantity_or_what_is_wrong_with_it():
    faults = []
    found = measured("--gap", "8 in", "section", faults)
    assert (found.number, found.unit, faults) == (8.0, "in", [])
    none = measured("--gap", "8 psi", "section", faults)
    assert math.isnan(none.number)
    assert (none.unit, none.text) == ("mm", "8 psi")
    assert math.isnan(none.to("in"))
    assert str(faults[0]).startswith('--gap "8 psi": "psi" is not a unit of length')


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1", 1.0), ("2.5", 2.5), ("1e1", 10.0), ("10", 10.0), (" 3 ", 3.0),
        ("0.99", None), ("10.1", None), ("x", None), ("", None), ("nan", None), ("inf", None),
        ("1_0", None), ("\u0663", None),
    ],
)  # fmt: skip
def test_a_bare_number_from_one_to_ten(text, value):
    faults = []
    found = number("--life", text, faults, 1.0, 10.0, "years")
    if value is None:
        assert str(faults[0]) == f'--life "{text}": out of range: 1 to 10 years'
    else:
        assert (found, faults) == (value, [])
    plain = []
    number("--life", "x", plain, 0.5, 1000000.0)
    assert str(plain[0]) == '--life "x": out of range: 0.5 to 1e+06'


@pytest.mark.parametrize(
    ("text", "value"),
    [("0", 0), ("12", 12), ("999999999", 999_999_999), ("1234567890", None), ("-1", None),
     ("+1", None), ("1.0", None), ("", None), ("\u0663", None), ("1_0", None)],
)  # fmt: skip
def test_a_whole_number_has_at_most_nine_digits(text, value):
    assert whole(text) == value


def test_a_share_within_both_ends():
    for text, share in (("1 %", 0.01), ("5 %", 0.05), ("3 %", 0.03)):
        faults = []
        assert percent("--gap", text, faults, (0.01, 0.05), "1 to 5 %") == pytest.approx(share)
        assert faults == []
    for text in ("0.99 %", "5.01 %"):
        faults = []
        percent("--gap", text, faults, (0.01, 0.05), "1 to 5 %")
        assert [str(each) for each in faults] == [f'--gap "{text}": out of range: 1 to 5 %']
    faults = []
    assert math.isnan(percent("--gap", "5", faults, (0.01, 0.05)))
    assert len(faults) == 1
    open_faults = []
    assert [percent("--gap", text, open_faults) for text in ("0 %", "900 %")] == [0.0, 9.0]
    assert open_faults == []
