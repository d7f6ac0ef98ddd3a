"""Measured values in a project file: what else stands there stays, or nothing is written."""

import tomllib
from pathlib import Path

import pytest
from projects import toml

from linerdesign.project.faults import InputFaults
from linerdesign.project.recording import Record, prepared, recorded

EXAMPLE = Path(__file__).parents[2] / "worked_examples" / "mill_lane_sewers" / "project.toml"
VALUES = {"host_diameter": "251.3 mm", "ovality": "3.1 %"}


def put(path, what, force):
    """Writes the record; what was done beside it, in words."""
    made = prepared(path, what, force)
    made.write()
    return made.said


def record(name="MH 2 to MH 3", **about):
    settings = {
        "table": "pipe",
        "name": name,
        "values": VALUES,
        "evidence": "profile of 2026",
        "removed": ("maximum_diameter", "minimum_diameter"),
        "unless_at_stations": ("host_diameter", "ovality"),
    }
    return Record(**(settings | about))


def faults_of(data, what, force=False):
    with pytest.raises(InputFaults) as found:
        recorded(data, "p.toml", what, force)
    return found.value.faults


def test_only_the_record_changes():
    """Read back by the standard library's tomllib, not by what wrote it."""
    before = EXAMPLE.read_bytes()
    after, replaced = recorded(before, "p.toml", record(), force=True)
    assert replaced == ("host_diameter", "maximum_diameter", "minimum_diameter")
    old, new = tomllib.loads(before.decode()), tomllib.loads(after.decode())
    pipe = new["pipe"].pop(1)
    was = old["pipe"].pop(1)
    assert new == old
    assert {key: pipe[key] for key in VALUES} == VALUES
    assert pipe["origin"] == {
        "host_diameter": "measured",
        "ovality": "measured",
        "invert_depth": "measured",
    }
    assert pipe["evidence"] == dict.fromkeys(VALUES, "profile of 2026")
    for key in was.keys() - {"maximum_diameter", "minimum_diameter", "host_diameter", "origin"}:
        assert pipe[key] == was[key]


def test_comments_stay():
    data = toml().replace('ovality = "2 %"', 'ovality = "2 %"  # of the plan').encode()
    after, _ = recorded(data, "p.toml", record("Trunk"), force=True)
    assert b"# of the plan" in after


def test_a_value_is_replaced_only_by_force():
    faults = faults_of(EXAMPLE.read_bytes(), record())
    assert {str(fault.place) for fault in faults} == {'[[pipe]] "MH 2 to MH 3"'}
    keys = ["host_diameter", "maximum_diameter", "minimum_diameter"]
    assert [fault.key for fault in faults] == keys


def test_the_same_again_changes_nothing():
    once, _ = recorded(EXAMPLE.read_bytes(), "p.toml", record(), force=True)
    twice, replaced = recorded(once, "p.toml", record(), force=False)
    assert twice == once
    assert replaced == ()


def test_stations_of_their_own_win_and_are_named():
    data = toml({"station": [{"at": "0 ft", "ovality": "1 %"}]}).encode()
    (fault,) = faults_of(data, record("Trunk"), force=True)
    assert (str(fault.place), fault.key) == ('station 1 of [[pipe]] "Trunk"', "ovality")


@pytest.mark.parametrize("text", ["", "pipe = 3\n", '[[pipe]]\nname = 3\norigin = "x"\n', "a = ["])
def test_files_that_are_no_project_are_refused(text):
    assert faults_of(text.encode(), record("Trunk"))


def test_an_origin_that_is_no_table_is_refused():
    (fault,) = faults_of(toml({"origin": "plan"}).encode(), record("Trunk"), force=True)
    assert fault.code == "faults.not_braces"


def test_evidence_of_a_resin_is_added_to():
    data = toml(resin={"evidence": "panels of 2025"}).encode()
    what = Record("resin", None, {"modulus_retention": "44 %"}, "creep test of 2026")
    after, replaced = recorded(data, "p.toml", what, force=False)
    resin = tomllib.loads(after.decode())["resin"][0]
    assert resin["evidence"] == "panels of 2025; creep test of 2026"
    assert resin["modulus_retention"] == "44 %"
    assert replaced == ()


def test_a_project_that_waits_for_two_surveys_takes_one_after_the_other(tmp_path):
    path = tmp_path / "p.toml"
    first = toml(drop=("host_diameter", "ovality"))
    second = "[[pipe]]" + first.split("[[pipe]]")[1].replace("Trunk", "Branch")
    path.write_text(f"{first}\n{second}")
    done = put(path, record("Trunk"), force=False)
    assert any("Branch" in each for each in done)
    assert put(path, record("Branch"), force=False) == ()
    assert [p["ovality"] for p in tomllib.loads(path.read_text())["pipe"]] == ["3.1 %"] * 2


def test_nothing_is_written_that_could_not_be_read(tmp_path):
    path = tmp_path / "p.toml"
    path.write_text(toml())
    before = path.read_bytes()
    what = Record("resin", "Felt A", {"modulus_retention": "104 %"}, "creep test")
    with pytest.raises(InputFaults):
        put(path, what, force=True)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]
