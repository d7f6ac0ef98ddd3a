"""Projects from the tables of a program, and files that a project names."""

import datetime
import hashlib
import json
from collections import OrderedDict
from pathlib import Path

import pytest
from projects import PIPE, RESIN

from linerdesign.project.beside import beside, read_beside
from linerdesign.project.faults import InputFaults, Place, fault
from linerdesign.project.mapping import of_mapping

TABLES = {"project": {"title": "x"}, "resin": [RESIN], "pipe": [PIPE]}


def faults(tables, **more):
    with pytest.raises(InputFaults) as found:
        of_mapping(tables, **more)
    return [(each.code.removeprefix("faults."), str(each.place), each.value)
            for each in found.value.faults]  # fmt: skip


def test_a_project_is_known_by_its_tables_as_json():
    """SHA-256 of the JSON of them; dates as their text, tuples as lists."""
    dated = TABLES | {"project": {"title": "x", "date": datetime.date(2026, 11, 27)}}
    project = of_mapping(OrderedDict(dated | {"pipe": (PIPE,)}))
    text = json.dumps(dated, default=str)
    assert project.fingerprint == hashlib.sha256(text.encode()).hexdigest()
    assert project.info.date == "2026-11-27"
    assert of_mapping(TABLES).fingerprint != project.fingerprint


def test_what_no_project_file_can_hold_is_refused_with_its_place():
    tables = TABLES | {"pipe": [PIPE, PIPE | {"cover": None, 4: "x", "station": [{"at": {1}}]}]}
    assert faults(tables) == [
        ("key_type", "tables, pipe, 2", "4"),
        ("value_type", "tables, pipe, 2, cover", "None"),
        ("value_type", "tables, pipe, 2, station, 1, at", "{1}"),
    ]
    deep = {}
    for _ in range(100_000):
        deep = {"a": deep}
    assert faults(deep) == [("too_deep", "tables", "")]


def test_options_of_reading_reach_the_project(tmp_path):
    alone = {key: TABLES[key] for key in ("project", "resin")}
    assert of_mapping(alone, needs_pipes=False).pipes == ()
    assert [code for code, *_ in faults(alone)] == ["missing_table"]
    two = TABLES | {"pipe": [PIPE, PIPE | {"name": "B", "cover": "x"}]}
    project = of_mapping(two, apart=True)
    assert [each.name for each in project.faulty] == ["B"]
    assert len(faults(two)) == 1
    owner = tmp_path / "owner.toml"
    owner.write_text("[criteria]\nsafety_factor = 3.0\n")
    assert of_mapping(TABLES, criteria=owner).criteria.safety_factor == 3.0


def test_a_file_lies_beside_the_project_or_in_a_folder_under_it(tmp_path):
    assert beside("a.csv", tmp_path) == tmp_path / "a.csv"
    assert beside("in/a.csv", tmp_path) == tmp_path / "in" / "a.csv"
    for name in ("../a.csv", "in/../../a.csv", str(tmp_path / "a.csv"), "a\0.csv"):
        assert beside(name, tmp_path) is None
    assert beside("a.csv", None) is None


def test_what_a_named_file_gives_or_why_it_can_not_be_used():
    place, folder = Place(table="[acceptance]").at("samples"), Path("somewhere")
    inner = fault("no_unit", Place("a.csv", line=3), "9", example="9 in")

    def reading(*found, left=None):
        def read(path):
            assert path == folder / "a.csv"
            if found:
                raise InputFaults(found, lambda: left)
            return "read"

        return read

    def used(read, name="a.csv", at=folder):
        faults = []
        made = read_beside(read, name, place, at, faults)
        return made, [(e.code.removeprefix("faults."), e.place, e.value) for e in faults]

    assert used(reading()) == ("read", [])
    assert used(reading(inner, left="rest")) == ("rest", [("no_unit", inner.place, "9")])
    gone = fault("not_found", "somewhere/a.csv")
    assert used(reading(gone)) == (None, [("no_such_file", place, '"a.csv"')])
    for code, more in (
        ("not_a_file", {}),
        ("too_large", {"most": 1}),
        ("unreadable", {"why": "x"}),
    ):
        whole = fault(code, "somewhere/a.csv", **more)
        assert used(reading(whole)) == (None, [("unusable_file", place, '"a.csv"')])
        faults = []
        read_beside(reading(whole), "a.csv", place, folder, faults)
        assert dict(faults[0].numbers) == {"why": whole.text}
    assert used(reading(), " ") == (None, [("no_text", place, '" "')])
    assert used(reading(), "../a.csv") == (None, [("outside_folder", place, '"../a.csv"')])
    assert used(reading(), at=None) == (None, [("outside_folder", place, '"a.csv"')])
