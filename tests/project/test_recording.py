"""Measured values in a project file: what else stands there stays, or nothing is written."""

import tomllib
from pathlib import Path

import pytest
from projects import toml

from linerdesign.project.faults import InputFaults
from linerdesign.project.placing import together
from linerdesign.project.recording import Record, check_target, prepared, recorded

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


LEGS = """
[[pipe.leg]]
at = "0 m"
host_diameter = "150 mm"
[[pipe.leg]]
at = "20 m"
bend = "45 deg"
bend_radius = "1 m"
[[pipe.leg]]
at = "30 m"
host_diameter = "140 mm"
[[pipe.leg]]
at = "40 m"
host_diameter = "141 mm"
temperature = "40 degC"
[[pipe.leg]]
at = "50 m"
"""
WITHIN = {
    "leg": (
        {"at": "0 m", "host_diameter": "152 mm"},
        {"at": "20 m", "host_diameter": "149 mm"},
        {"at": "25 m", "host_diameter": "148 mm"},
    )
}


def legs_after(text, **about):
    what = record("Trunk", values={}, removed=(), within=WITHIN, **about)
    after, replaced = recorded((toml() + text).encode(), "p.toml", what, force=True)
    return tomllib.loads(after.decode())["pipe"][0], replaced


def test_tables_within_keep_the_other_keys_of_the_one_at_their_place():
    """Those elsewhere stay where they hold what the record could not have written."""
    pipe, replaced = legs_after(LEGS)
    assert pipe["leg"] == [
        {"at": "0 m", "host_diameter": "152 mm"},
        {"at": "20 m", "host_diameter": "149 mm", "bend": "45 deg", "bend_radius": "1 m"},
        {"at": "25 m", "host_diameter": "148 mm"},
        {"at": "40 m", "host_diameter": "141 mm", "temperature": "40 degC"},
    ]
    assert replaced == ("leg",)
    assert pipe["origin"] == {"leg": "measured"}
    assert pipe["evidence"] == {"leg": "profile of 2026"}


def test_tables_within_replace_nothing_where_none_has_their_values():
    only = '[[pipe.leg]]\nat = "20 m"\nbend = "45 deg"\nbend_radius = "1 m"\n'
    pipe, replaced = legs_after(only)
    assert replaced == ()
    assert pipe["leg"][1] == {
        "at": "20 m", "host_diameter": "149 mm", "bend": "45 deg", "bend_radius": "1 m",
    }  # fmt: skip
    pipe, replaced = legs_after("")
    assert (pipe["leg"], replaced) == (list(WITHIN["leg"]), ())
    (fault,) = faults_of((toml() + LEGS).encode(), record("Trunk", values={}, within=WITHIN))
    assert (fault.code, fault.key) == ("faults.has_value", "leg")


def test_stations_that_the_record_writes_itself_are_not_in_its_way():
    text = toml({"station": [{"at": "0 ft", "ovality": "1 %"}]})
    within = {"station": ({"at": "0 ft", "ovality": "2 %"},)}
    after, replaced = recorded(text.encode(), "p.toml", record("Trunk", within=within), force=True)
    assert replaced == ("host_diameter", "ovality", "station")
    (station,) = tomllib.loads(after.decode())["pipe"][0]["station"]
    assert station == {"at": "0 ft", "ovality": "2 %"}


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", [b"\n", b"\r\n"])
def test_line_ends_and_the_mark_of_the_file_stay(mark, end):
    data = mark + toml().encode().replace(b"\n", end)
    after, _ = recorded(data, "p.toml", record("Trunk"), force=True)
    assert after.startswith(mark + b"[project]")
    assert after.count(b"\n") == after.count(end)
    assert after.count(b"\r") == (after.count(b"\n") if end == b"\r\n" else 0)
    assert tomllib.loads(after.removeprefix(mark).decode())["pipe"][0]["ovality"] == "3.1 %"


def test_one_line_end_of_another_kind_stays_too():
    """A file of mixed ends is left as it is but for the lines of the record."""
    data = toml().encode().replace(b"\n", b"\r\n").replace(b"\r\n", b"\n", 1)
    after, _ = recorded(data, "p.toml", record("Trunk"), force=True)
    assert after.startswith(b"[project]\n")
    assert b"\r\n" in after


def test_the_pipe_of_a_record_is_looked_for_before_it_is_known(tmp_path):
    path = tmp_path / "p.toml"
    text = toml() + "\n[[pipe]]" + toml().partition("[[pipe]]")[2].replace("Trunk", "Branch")
    path.write_text(text, encoding="utf-8")
    for name in ("Trunk", "Branch", None):
        check_target(path, "pipe", name)
    check_target(path, "resin", "Felt A")
    for table, name, said in (
        ("pipe", "x", '--pipe "x": no such pipe; use one of "Trunk", "Branch"'),
        ("resin", "x", '--resin "x": no such resin; use one of "Felt A"'),
        ("leg", None, "missing table [[leg]]"),
    ):
        with pytest.raises(InputFaults) as found:
            check_target(path, table, name)
        assert [str(each) for each in found.value.faults] == [said]
    path.write_text(text.replace("Branch", "Trunk"), encoding="utf-8")
    with pytest.raises(InputFaults) as found:
        check_target(path, "pipe", "Trunk")
    (fault,) = found.value.faults
    assert fault.code == "faults.no_such"
    # Without a name it is the first, whatever others are called.
    check_target(path, "pipe", None)


def test_a_record_without_a_name_is_of_the_first():
    text = toml() + "\n[[pipe]]" + toml().partition("[[pipe]]")[2].replace("Trunk", "Branch")
    after, _ = recorded(text.encode(), "p.toml", record(None), force=True)
    assert [pipe["ovality"] for pipe in tomllib.loads(after.decode())["pipe"]] == ["3.1 %", "2 %"]
    after, _ = recorded(text.encode(), "p.toml", record("Branch"), force=True)
    assert [pipe["ovality"] for pipe in tomllib.loads(after.decode())["pipe"]] == ["2 %", "3.1 %"]


def test_a_fault_of_a_record_has_the_line_of_its_key():
    text = toml() + "\n[[pipe]]" + toml().partition("[[pipe]]")[2].replace("Trunk", "Branch")
    faults = faults_of(text.encode(), record("Branch"))
    lines = text.splitlines()
    second = lines.index("[[pipe]]", lines.index("[[pipe]]") + 1)
    written = {"host_diameter": 'host_diameter = "48 in"', "ovality": 'ovality = "2 %"'}
    assert {fault.key: fault.place.line for fault in faults} == {
        key: lines.index(line, second) + 1 for key, line in written.items()
    }
    assert [fault.value for fault in faults] == ['"48 in"', '"2 %"']


KIND = "creep test"
EARLIER = f"{KIND} a.csv (SHA-256 0123456789abcdef), of 2025"


@pytest.mark.parametrize(
    ("before", "after", "gone"),
    [
        ("", "new", False),
        ("panels of 2025", "panels of 2025; new", False),
        (f"panels; {EARLIER}", "panels; new", True),
        (f"{EARLIER}; panels", "panels; new", True),
        ("new; panels", "panels; new", False),
        # Of another kind, or written by hand.
        (f"bending {EARLIER}", f"bending {EARLIER}; new", False),
        (f"{KIND} of 2025", f"{KIND} of 2025; new", False),
        (EARLIER.replace("abcdef", "abcde"), EARLIER.replace("abcdef", "abcde") + "; new", False),
    ],
)
def test_evidence_of_a_resin_gives_way_to_that_of_its_kind(before, after, gone):
    data = toml(resin={"evidence": before} if before else {}).encode()
    what = Record("resin", "Felt A", {"modulus_retention": "44 %"}, "new", kind=KIND)
    made, replaced = recorded(data, "p.toml", what, force=False)
    assert tomllib.loads(made.decode())["resin"][0]["evidence"] == after
    assert replaced == ((f"evidence of an earlier {KIND}",) if gone else ())
    # A record of no kind takes nothing away.
    made, _ = recorded(data, "p.toml", Record("resin", None, {}, "new"), force=False)
    kept = "; ".join(each for each in (before.replace("new; ", ""), "new") if each)
    assert tomllib.loads(made.decode())["resin"][0]["evidence"] == kept


def test_evidence_that_is_no_text_is_refused():
    for kind, wrong, code in (
        ("pipe", {"evidence": "plan"}, "not_braces"),
        ("resin", {"evidence": {"a": "b"}}, "no_words"),
    ):
        name = {"pipe": "Trunk", "resin": "Felt A"}[kind]
        what = Record(kind, name, {}, "new")
        (fault,) = faults_of(toml(**{kind: wrong}).encode(), what, force=True)
        assert (fault.code, fault.key) == (f"faults.{code}", "evidence")


def test_what_is_done_beside_a_record_is_said(tmp_path):
    """What is replaced, and what the project still lacks."""
    path = tmp_path / "p.toml"
    path.write_text(toml(drop=("cover",)), encoding="utf-8")
    said = put(path, record("Trunk"), force=True)
    assert said[:2] == ("replaced or removed: host_diameter", "replaced or removed: ovality")
    assert said[2].startswith("still to be corrected: missing key in [[pipe]]")
    assert len(said) == 3
    # The owner's file is looked for beside the project.
    (tmp_path / "owner.toml").write_text("[criteria]\n[criteria.defaults]\ncover = '9 ft'\n")
    path.write_text('criteria = "owner.toml"\n' + toml(drop=("cover", "ovality")).replace(
        "[criteria]\n", ""), encoding="utf-8")  # fmt: skip
    assert put(path, record("Trunk"), force=True) == ("replaced or removed: host_diameter",)
    with pytest.raises(InputFaults):
        prepared(path, record("Trunk", values={"ovality": "9 %"}), force=False)


def test_a_file_that_has_changed_since_is_left_alone(tmp_path):
    """A record replaces the file that it read, whatever the block around it says."""
    path = tmp_path / "p.toml"
    path.write_text(toml(drop=("ovality",)), encoding="utf-8")
    what = record("Trunk", values={"ovality": "3.1 %"}, removed=())
    made = prepared(path, what, force=False)
    path.write_text(toml(drop=("ovality",)) + "# changed\n", encoding="utf-8")
    with pytest.raises(InputFaults) as found:
        made.write()
    assert [each.code for each in found.value.faults] == ["faults.changed"]
    assert path.read_text(encoding="utf-8").endswith("# changed\n")
    with together(replace=False):
        prepared(path, what, force=False).write()
    assert tomllib.loads(path.read_text(encoding="utf-8"))["pipe"][0]["ovality"] == "3.1 %"


def test_a_file_of_resins_takes_a_record_without_pipes(tmp_path):
    path = tmp_path / "p.toml"
    path.write_text(toml().partition("[[pipe]]")[0], encoding="utf-8")
    what = Record("resin", "Felt A", {"modulus_retention": "44 %"}, "creep test")
    assert put(path, what, force=False) == ()
