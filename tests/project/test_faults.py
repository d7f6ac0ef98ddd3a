"""Faults: every code has its sentence and the other way round, and lines are those of the file."""

import ast
import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from projects import toml

from linerdesign.project.faults import (
    InputFaults,
    Place,
    Refused,
    every_fault,
    fault,
    listed,
    located,
    nearest,
    shown,
    shown_key,
    unknown_keys,
    unknown_word,
)
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
    # The line of its key is not that of the table.
    assert whole.line == 0


def test_equal_faults_are_one_whatever_their_line():
    one, other = (fault("no_bore", Place(key="t", line=n), diameter="8 in") for n in (1, 2))
    assert one == other


TRUNK = Place("p.toml", "[[pipe]]", "Trunk", path=("pipe", 0))


@pytest.mark.parametrize(
    ("place", "text", "key", "path"),
    [
        (TRUNK, '[[pipe]] "Trunk" of p.toml', "", ("pipe", 0)),
        (TRUNK.at("cover"), '[[pipe]] "Trunk" of p.toml', "cover", ("pipe", 0, "cover")),
        (TRUNK.at("cover").above(), '[[pipe]] "Trunk" of p.toml', "", ("pipe", 0)),
        (TRUNK.at("origin").under("cover"), '[[pipe]] "Trunk" of p.toml', "origin.cover",
         ("pipe", 0, "origin", "cover")),
        (TRUNK.at("origin").under(3), '[[pipe]] "Trunk" of p.toml', "origin.3",
         ("pipe", 0, "origin", "3")),
        (TRUNK.inside("stated"), 'stated of [[pipe]] "Trunk" of p.toml', "",
         ("pipe", 0, "stated")),
        (TRUNK.inside("stated").inside("station", 1), 'station 2 of stated of [[pipe]] "Trunk" of '
         "p.toml", "", ("pipe", 0, "stated", "station", 1)),
        (TRUNK.inside("station", 0, "9 ft"), 'station "9 ft" of [[pipe]] "Trunk" of p.toml', "",
         ("pipe", 0, "station", 0)),
        (TRUNK.inside("station", None, "9 ft"), 'station "9 ft" of [[pipe]] "Trunk" of p.toml', "",
         ("pipe", 0, "station")),
        (Place(table="[[pipe]]", number=2), "[[pipe]] number 2", "", ()),
        (Place(table="[[pipe]]", number=2, name="A"), '[[pipe]] number 2, "A"', "", ()),
        (Place("owner.toml"), "owner.toml", "", ()),
        (Place(), "", "", ()),
    ],
)  # fmt: skip
def test_a_place_is_said_from_the_inside_out_and_leads_there_from_the_top(place, text, key, path):
    assert (str(place), place.key, place.path) == (text, key, path)


def test_a_key_of_control_characters_is_named_without_them():
    assert shown_key("a\x1bb") == "a\\x1bb"
    assert shown_key('a"b') == 'a"b'
    assert shown_key(7) == "7"


@pytest.mark.parametrize(
    ("found", "text", "key"),
    [
        # With the place in the sentence, at the end, or before it where it is no file's.
        (fault("missing_key", TRUNK.at("cover")), "missing required key cover in [[pipe]] "
         '"Trunk" of p.toml', "cover"),
        (fault("no_bore", TRUNK.at("t"), "9 in", diameter="8 in"), None, "t"),
        (fault("out_of_range", Place(key="x", line=7), "9", range="a length"),
         "x 9: out of range; give a length (line 7)", "x"),
        (fault("out_of_range", "--life", "9", range="a length"),
         "--life 9: out of range; give a length", ""),
        (fault("out_of_range", Place(), range="a length"), "out of range; give a length", ""),
        (fault("misplaced", TRUNK.at("ovality"), table="[[pipe]]"), "unknown key ovality here; it "
         'belongs in [[pipe]] ([[pipe]] "Trunk" of p.toml)', "ovality"),
    ],
)  # fmt: skip
def test_a_fault_is_printed_with_its_value_and_place(found, text, key):
    assert found.key == key
    if text is not None:
        assert str(found) == text


def test_a_code_without_an_area_is_one_of_faults():
    assert fault("no_bore", "").code == "faults.no_bore"
    assert fault("measured.no_bore", "").code == "measured.no_bore"
    said = fault("out_of_range", TRUNK, "9", range="a length")
    assert (said.numbers, said.text) == ((("range", "a length"),), "out of range; give a length")


def test_a_refusal_has_its_place_once_it_is_known():
    refused = Refused("faults.out_of_range", range="a length")
    assert str(refused) == "out of range; give a length"
    assert refused.at(TRUNK, "9") == fault("out_of_range", TRUNK, "9", range="a length")
    assert refused.at("--life").value == ""


def raising(found, left=None):
    def step(*given, **named):
        raise InputFaults(found, lambda: left)

    return step


def test_faults_of_several_steps_come_together_and_each_once():
    one, other = fault("not_found", "a"), fault("not_found", "b")

    def all_steps():
        with every_fault() as faults:
            assert faults.of(lambda x, y: x - y, 5, y=3) == 2
            assert faults.of(raising([one, other], "left"), 1, y=2) == "left"
            assert faults.of(raising([one])) is None
            # What breaks on what was left is no fault of its own.
            assert faults.of(lambda: 1 / 0) is None

    with pytest.raises(InputFaults) as found:
        all_steps()
    assert found.value.faults == (one, other)
    assert str(found.value) == "file not found: a\nfile not found: b"
    with every_fault() as faults:
        assert faults.of(int, "3") == 3
        with pytest.raises(ZeroDivisionError):
            faults.of(lambda: 1 / 0)
    assert InputFaults([one]).left() is None


def test_faults_are_sorted_by_file_line_and_row():
    """The text has [[pipe]] in line 1, cover in line 2, its second pipe in line 3."""
    text = '[[pipe]]\ncover = "x"\n[[pipe]]\nname = "B"\n'

    def at(*path, file="", line=0):
        return fault("not_a_number", Place(file, path=path, line=line), example="2")

    second, cover = at("pipe", 1, "ovality"), at("pipe", 0, "cover")
    inner = at("pipe", 0, "cover", "deep")
    unknown, other, nowhere = at("no"), at("pipe", 0, file="owner.toml"), fault("not_found", "z")
    of_table = [at("pipe", 9, line=1), at("pipe", 2, line=1)]
    given = [second, other, cover, second, inner, unknown, *of_table, nowhere]
    found = located(given, text).faults
    lines = [getattr(each.place, "line", None) for each in found]
    assert lines == [0, None, 1, 1, 2, 2, 3, 0]
    assert found == (unknown, nowhere, of_table[1], of_table[0], cover, inner, second, other)
    (owners,) = located([other], text, "owner.toml").faults
    assert owners.place.line == 1
    # A line that is known is kept.
    assert located([at("pipe", 1, line=8)], text).faults[0].place.line == 8


def test_the_word_most_likely_meant_is_the_most_alike():
    assert nearest("covr", ["colour", "cover", "width"]) == "cover"
    assert nearest("covr", ["width", "height"]) is None
    assert nearest("covr", []) is None
    assert nearest("cove", ["covers", "cover", "cove x"]) == "cover"
    # 2 * 3 letters alike of 4 + 5.
    assert nearest("abcx", ["abcyz"], alike=0.66) == "abcyz"
    assert nearest("abcx", ["abcyz"], alike=0.67) is None
    # Of a word that runs on 80 letters are compared: 2 * 80 of 80 + 188 are alike.
    assert nearest("a" * 300, ["a" * 188]) is None


def test_an_unknown_word_is_told_the_nearest_or_all():
    near = unknown_word(TRUNK, "covr", ("cover", "width"))
    assert str(near) == 'unknown key covr; did you mean cover? ([[pipe]] "Trunk" of p.toml)'
    far = unknown_word("--form", "x", ("cover", "width"), what="form", value="x")
    assert far.text == "unknown form x; known: cover, width"
    assert (far.place, far.value, near.value) == ("--form", "x", "")
    known = {"cover", "width"}
    (only,) = unknown_keys(["width", "covr", "cover"], known, TRUNK)
    assert (only.place.path, only.key) == (("pipe", 0, "covr"), "")
    (table,) = unknown_keys(["pip"], ["pipe"], Place(), "table")
    assert table.text == "unknown table pip; did you mean pipe?"


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


def test_of_a_dotted_key_the_first_eight_parts_have_lines():
    found = lines_of("x = 1\na.b.c.d.e.f.g.h.i = 2\n")
    assert found == {("x",): 1} | {tuple("abcdefgh"[:length]): 2 for length in range(1, 9)}


def test_a_text_of_more_than_four_million_characters_has_no_lines():
    text = "x = 1\n#".ljust(4_000_000, "-")
    assert lines_of(text) == {("x",): 1}
    assert lines_of(text + "-") == {}


def test_faults_without_a_line_keep_their_order():
    one = fault("not_a_number", Place(path=("criteria", "x")), example="2")
    other = fault("not_a_number", Place(path=("pipe", 0, "x")), example="2")
    nowhere = fault("not_found", "z")
    for every in ([one, other], [other, one], [nowhere, one], [one, nowhere], [nowhere, other]):
        assert list(located(every, "").faults) == every
