"""Faults: every code has its sentence and the other way round, and lines are those of the file."""

import ast
import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from projects import toml

from linerdesign.project.faults import Place, fault, listed, shown
from linerdesign.project.lines import lines_of
from linerdesign.words import f1216, faults, measured

OF_MEASURED = {f"measured.{name}": text for name, text in measured.SENTENCES.items()}
OF_STANDARD = {
    code.removeprefix("faults."): text
    for code, text in f1216.SENTENCES.items()
    if code.startswith("faults.")
}
SENTENCES = faults.SENTENCES | OF_STANDARD | OF_MEASURED

PACKAGE = Path(__file__).parents[2] / "linerdesign"
CALLS = ("fault", "Refused", "_fault")


def _codes():
    """Every text that stands for the code of a fault in the package."""
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            name = getattr(getattr(node, "func", None), "id", "")
            if name in CALLS and node.args:
                yield from _texts(node.args[0])


def _texts(node):
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value.removeprefix("faults.")


def _strings():
    for path in set(PACKAGE.rglob("*.py")) - set((PACKAGE / "words").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value.removeprefix("faults.")


def test_every_code_has_its_sentence():
    own = {code for code in _codes() if "." not in code or code.startswith("measured.")}
    assert not own - SENTENCES.keys()


def test_every_sentence_is_used():
    assert not SENTENCES.keys() - set(_strings())


@pytest.mark.parametrize("code", SENTENCES)
def test_a_sentence_states_the_fault_and_not_what_was_expected(code):
    text = SENTENCES[code]
    assert not re.search(r"expect|stands|asks for|must not be", text), text
    assert not text.endswith(".")


def test_the_fault_comes_first_then_the_remedy_then_the_place():
    place = Place(table="[[pipe]]", name="MH 4", line=12)
    missing = str(fault("missing_key", place.at("soil_unit_weight")))
    assert missing == 'missing required key soil_unit_weight in [[pipe]] "MH 4" (line 12)'
    duplicate = fault("duplicate", "", what="pipe", name='"MH 4"', numbers="1 and 2")
    assert str(duplicate) == 'duplicate pipe name "MH 4" (pipes 1 and 2); rename one'
    assert str(fault("not_found", "nothing.toml")) == "file not found: nothing.toml"
    wrong = fault(
        "no_unit", place.inside("station", 1, "0+50").at("cover"), '"9"', example='"9 ft"'
    )
    assert str(wrong) == (
        'cover "9": no unit; add it after the number, such as "9 ft" '
        '(station "0+50" of [[pipe]] "MH 4", line 12)'
    )
    option = fault("no_such", "--pipe", '"x"', what="pipe", known="these")
    assert str(option) == '--pipe "x": no such pipe; use one of these'


def test_ten_names_are_listed_and_of_more_the_first_ten():
    names = [f"n{i}" for i in range(11)]
    ten = ", ".join(f'"{name}"' for name in names[:10])
    assert listed(names[:10]) == ten
    assert listed(names) == f"{ten} ..."


def test_a_value_that_runs_on_is_cut():
    """Sixty characters with its quotes, and none that a terminal would obey."""
    assert shown("x" * 58) == f'"{"x" * 58}"'
    assert shown("x" * 59) == f'"{"x" * 59}...'
    assert (shown("a\x1b[2J"), shown(True), shown(2.5)) == ('"a\\x1b[2J"', "true", "2.5")


def test_a_place_in_a_table_keeps_its_station_when_the_table_is_found():
    found = Place("project.toml", "[[pipe]]", "MH 4", path=("pipe", 3), line=12)
    near = Place(table="[[pipe]]", name="MH 4").inside("station", 1, "0+50").at("cover")
    whole = near.within(found)
    assert str(whole) == 'station "0+50" of [[pipe]] "MH 4" of project.toml'
    assert (whole.key, whole.path) == ("cover", ("pipe", 3, "station", 1, "cover"))


def test_equal_faults_are_one_whatever_their_line():
    one, other = (fault("no_bore", Place(key="t", line=n), diameter="8 in") for n in (1, 2))
    assert one == other


EVERYTHING = '''# a comment with [brackets] and = signs
[project]
title = "a # [b] = c"
note.x = """
k = 1
[[pipe]]
"""
[[pipe]]
name = 'A' # = 3
diameters = [
  "3 in", # x = 1
  "4 in"]
[[pipe.station]]
at = "1"
[[pipe.station]]
"at" = '2'
[pipe.stated]
thickness = "3"
[[pipe]]
inputs = { a = 1, b = [2, { c = 3 }] }
"a.b" = 1979-05-27T07:32:00Z
[[pipe.station]]
at = 1.5
'''


def test_lines_of_tables_and_keys():
    """Counted by hand in the text above."""
    found = lines_of(EVERYTHING)
    assert found["project", "title"] == 3
    assert found["project", "note", "x"] == 4
    assert found["pipe", 0] == 8
    assert found["pipe", 0, "diameters"] == 10
    assert found["pipe", 0, "station", 0] == 13
    assert found["pipe", 0, "station", 1, "at"] == 16
    assert found["pipe", 0, "stated", "thickness"] == 18
    assert found["pipe", 1] == 19
    assert found["pipe", 1, "a.b"] == 21
    assert found["pipe", 1, "station", 0, "at"] == 23


def _paths(value, above=()):
    if isinstance(value, dict):
        for key, each in value.items():
            yield (*above, key)
            yield from _paths(each, (*above, key))
    elif isinstance(value, list):
        for index, each in enumerate(value):
            yield from _paths(each, (*above, index))


@given(st.integers(0, 40), st.integers(0, 3))
def test_every_key_of_a_table_has_a_line_with_its_name(blank, stations):
    at = [{"at": f"{n} ft", "cover": "9 ft"} for n in range(stations)]
    text = "\n" * blank + toml({"station": at} if at else {})
    found, written = lines_of(text), text.splitlines()
    for path in _paths(tomllib.loads(text)):
        assert str(path[-1]) in written[found[path] - 1]
