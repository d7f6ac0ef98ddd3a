"""Lines that a submittal states: which quantity, which number and unit, and where it stands."""

import pytest

from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.faults import Place
from linerdesign.project.fields import read_table
from linerdesign.project.models import Stated, StatedInputs
from linerdesign.project.stated import stated_symbols, step_key


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("C", "C"), ("q_t", "q_t"), ("qt", "q_t"), ("q t", "q_t"), ("Rw", "R_w"), ("R_w", "R_w"),
        ("t X1.3", "t_X1_3"), ("tX1.3", "t_X1_3"), ("t_X1_3", "t_X1_3"), ("B'", "B"), ("B", "B"),
        ("E's", "E_s"), ("E\u2019s", "E_s"), ("E'_s", "E_s"), ("EL", "E_L"), ("DR", "DR"),
        ("sigmaL", "sigma_L"), ("xyz", None), ("", None),
    ],
)  # fmt: skip
def test_a_line_is_known_by_the_spellings_of_its_symbol(name, key):
    assert step_key(name) == key


def read(table, raw):
    faults = []
    made = read_table(table, raw, Place(), faults)
    return made, [(each.code.removeprefix("faults."), each.key, each.value) for each in faults]


@pytest.mark.parametrize(
    ("name", "raw", "number", "unit", "text", "at"),
    [
        ("C", 0.836, 0.836, "", "0.836", ""), ("C", "0.8360", 0.836, "", "0.8360", ""),
        ("C", " .84 ", 0.84, "", ".84", ""), ("K", 7, 7.0, "", "7", ""),
        ("N", "2e0", 2.0, "", "2e0", ""), ("q_t", "9.8 psi", 9.8, "psi", "9.8 psi", ""),
        ("D", "48 in", 48.0, "in", "48 in", ""), ("q", "2 %", 2.0, "%", "2 %", ""),
        ("H", "-1 ft", -1.0, "ft", "-1 ft", ""), ("w", "120 pcf", 120.0, "pcf", "120 pcf", ""),
        ("t X1.3", "0 mm", 0.0, "mm", "0 mm", ""),
        ("I", "0.08 in^3", 0.08, "in^3", "0.08 in^3", ""),
        ("C", {"value": "0.836", "at": " page 2, line 5 "}, 0.836, "", "0.836", "page 2, line 5"),
        ("P", {"value": "5.2 psi"}, 5.2, "psi", "5.2 psi", ""),
    ],
)  # fmt: skip
def test_a_line_is_read_by_the_kind_of_its_quantity(name, raw, number, unit, text, at):
    """With the digits that were printed, which say how it was rounded."""
    made, faults = read(Stated, {"steps": {name: raw}})
    assert faults == []
    found = made.steps[name]
    assert (found.number, found.unit, found.text, found.at) == (number, unit, text, at)


@pytest.mark.parametrize(
    ("name", "raw", "code", "value"),
    [
        ("xyz", "1", "review.no symbol", '"1"'), ("C", True, "not_a_ratio", "true"),
        ("C", "0.8 psi", "not_a_ratio", '"0.8 psi"'), ("C", None, "not_a_ratio", "None"),
        ("q_t", 9.8, "not_text", "9.8"), ("q_t", "9.8", "no_unit", '"9.8"'),
        ("q_t", "9.8 ft", "wrong_unit", '"9.8 ft"'), ("D", "-1 in", "out_of_range", '"-1 in"'),
        ("C", {"at": "page 2"}, "review.not a step", "{'at': 'page 2'}"),
        ("C", {"value": "1", "at": 2}, "review.not a step", "{'value': '1', 'at': 2}"),
        ("C", {"value": "1", "on": "2"}, "review.not a step", "{'value': '1', 'on': '2'}"),
    ],
)  # fmt: skip
def test_a_line_that_can_not_be_read_is_told_at_its_name(name, raw, code, value):
    made, faults = read(Stated, {"steps": {name: raw, "K": 7}})
    assert faults == [(code, f"steps.{name}", value)]
    assert list(made.steps) == ["K"]
    assert read(Stated, {"steps": 3})[1] == [("not_braces", "steps", "3")]


def test_an_edition_is_that_of_the_printed_standard():
    """Editions since 07b have the form of X1.3 that was published then."""
    for text, form in (("F1216-16", "F1216-07b"), ("ASTM F1216-09", "F1216-07b"),
                       ("F1216-07a", "F1216-07a"), ("F1216-98", "F1216-07a")):  # fmt: skip
        assert read(StatedInputs, {"edition": text})[0].edition == form
    for bad in ("F1743", 2016):
        assert [code for code, *_ in read(StatedInputs, {"edition": bad})[1]] == [
            "review.no edition"
        ]


def test_symbols_that_submittals_show_are_those_of_quantities():
    shown = stated_symbols()
    assert {"C", "q_t", "DR", "E_L", "t X1.1", "t X1.7", "N_X1.3"} <= {*shown}
    assert len({*shown}) == len(shown)
    order = [list(SYMBOLS).index(step_key(each)) for each in shown]
    assert order == sorted(order)
