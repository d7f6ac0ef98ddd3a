"""What programs get from `import linerdesign`: the same as people get from the commands."""

import inspect
import json
import subprocess
import sys
import tomllib
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from projects import PIPE, toml

import linerdesign

EXAMPLES = Path(__file__).parents[1] / "worked_examples"
TABLES = tomllib.loads(toml())


def test_the_package_itself_loads_nothing():
    code = "import sys; import linerdesign; print(*(m for m in sys.modules if 'linerdesign' in m))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    # An editable installation adds a finder of its own.
    assert {name for name in done.stdout.split() if not name.startswith("__")} == {"linerdesign"}


def test_every_name_is_there_and_says_what_it_is():
    assert sorted(linerdesign.__all__) == linerdesign.__all__
    assert set(linerdesign.__all__) <= set(dir(linerdesign))
    for name in linerdesign.__all__:
        assert inspect.getdoc(getattr(linerdesign, name)), name
    with pytest.raises(AttributeError, match="recheck"):
        _ = linerdesign.recheck


@pytest.mark.parametrize(
    ("task", "folder"),
    [
        ("size", "mill_lane_sewers"),
        ("size", "culvert_si"),
        ("size", "chapel_hill_street"),
        ("review", "review_quay_street"),
        ("compare", "compare_resins"),
    ],
)
def test_a_task_gives_the_data_of_its_command(run, task, folder):
    file = EXAMPLES / folder / "project.toml"
    code, out, _ = run(task, file, "--json")
    outcome = getattr(linerdesign, task)(linerdesign.read(file))
    assert json.loads(json.dumps(outcome.data)) == json.loads(out)
    assert outcome.holds == (code == 0)


def test_a_mapping_is_read_as_the_same_tables_of_a_file(tmp_path):
    file = tmp_path / "p.toml"
    file.write_text(toml(), encoding="utf-8")
    from_file, from_tables = linerdesign.read(file), linerdesign.read(TABLES)
    assert from_tables.pipes == from_file.pipes
    assert from_tables.resins == from_file.resins
    one, other = linerdesign.size(from_file), linerdesign.size(from_tables)
    assert one.data | {"files": []} == other.data
    assert one.identity.fingerprint == other.identity.fingerprint
    assert len(from_tables.fingerprint) == 64
    assert linerdesign.read(TABLES).fingerprint == from_tables.fingerprint
    changed = {**TABLES, "project": {**TABLES["project"], "title": "Another"}}
    assert linerdesign.read(changed).fingerprint != from_tables.fingerprint


@pytest.mark.parametrize(
    ("tables", "place"),
    [
        ({}, "[project]"),
        ({"pipes": []}, "pipes"),
        ({**TABLES, "pipe": [{**TABLES["pipe"][0], "host_diameter": 48}]}, "host_diameter"),
        ({**TABLES, "pipe": [{**TABLES["pipe"][0], "host_diameter": np.float64(48)}]}, "diameter"),
        ({**TABLES, "pipe": [{**TABLES["pipe"][0], "cover": None}]}, "cover"),
        ({**TABLES, "pipe": {"name": "a table, not a list"}}, "[[pipe]]"),
        ({**TABLES, 3: {}}, "3"),
        ({**TABLES, "resin": object()}, "tables, resin"),
    ],
)
def test_bad_tables_are_faults_and_nothing_else(tables, place):
    with pytest.raises(linerdesign.InputFaults) as caught:
        linerdesign.read(tables)
    assert any(place in str(fault) for fault in caught.value.faults)


def test_only_named_pipes_and_names_that_nobody_has():
    project = linerdesign.read(EXAMPLES / "mill_lane_sewers" / "project.toml")
    names = [pipe.name for pipe in linerdesign.size(project, pipes=["MH 2 to MH 3"]).pipes]
    assert names == ["MH 2 to MH 3"]
    with pytest.raises(linerdesign.InputFaults) as caught:
        linerdesign.size(project, pipes=["MH 0", "MH 2 to MH 3", "MH 99"])
    assert [fault.value for fault in caught.value.faults] == ['"MH 0"', '"MH 99"']


def test_a_review_of_nothing_is_a_fault():
    with pytest.raises(linerdesign.InputFaults, match="stated"):
        linerdesign.review(linerdesign.read(TABLES))


def test_written_forms_and_a_file_that_is_there(tmp_path):
    sizing = linerdesign.size(linerdesign.read(TABLES))
    targets = [tmp_path / f"sheet{suffix}" for suffix in (".txt", ".json", ".html", ".xlsx")]
    linerdesign.write(sizing, *targets)
    assert all(target.stat().st_size for target in targets)
    assert json.loads(targets[1].read_text(encoding="utf-8")) == json.loads(json.dumps(sizing.data))
    with pytest.raises(linerdesign.InputFaults, match=r"sheet\.txt"):
        linerdesign.write(sizing, tmp_path / "new.txt", str(targets[0]))
    assert not (tmp_path / "new.txt").exists()
    with pytest.raises(linerdesign.InputFaults) as found:
        linerdesign.write(sizing, targets[0])
    assert "force=True" in str(found.value)
    assert not str(found.value).startswith("-o")
    linerdesign.write(sizing, targets[0], force=True)


def test_rows_of_a_frame_are_sized_as_pipes_of_a_project():
    """The same values as numbers in columns and as texts in tables."""
    project = linerdesign.read(TABLES)
    covers = [8.0, 16.0, 24.0]
    rows = pl.DataFrame(
        {
            "host_diameter [in]": [48] * 3,
            "ovality [%]": [2.0] * 3,
            "cover [ft]": covers,
            "groundwater_above_invert [ft]": [12.0] * 3,
            "soil_unit_weight [pcf]": [120] * 3,
            "soil_reaction_modulus [psi]": [1000] * 3,
            "live_load": ["none"] * 3,
            "condition": ["fully deteriorated"] * 3,
            "note": ["kept", "as", "it is"],
        }
    ).rename({"live_load": "live_load [psi]"})
    sized = linerdesign.size_rows(rows, project)
    assert sized["note"].to_list() == ["kept", "as", "it is"]
    for cover, found in zip(covers, sized["required_thickness [mm]"], strict=True):
        pipe = PIPE | {
            "cover": f"{cover} ft",
            "groundwater_above_invert": "12 ft",
            "live_load": "none",
        }
        (one,) = linerdesign.size(linerdesign.read({**TABLES, "pipe": [pipe]})).pipes
        assert found == pytest.approx(one.required_thickness * 25.4, rel=1e-12)


def test_columns_that_cannot_be_used_are_faults_and_bad_rows_are_not():
    project = linerdesign.read(TABLES, needs_pipes=False)
    with pytest.raises(linerdesign.InputFaults, match="host_diameter"):
        linerdesign.size_rows(pl.DataFrame({"host_diameter": [8.0]}), project)
    row = {"host_diameter [in]": ["eight"], "condition": ["partially deteriorated"]}
    sized = linerdesign.size_rows(pl.DataFrame(row), project)
    assert sized["status"].to_list() == ["error"]
    assert sized["required_thickness [mm]"].to_list() == [None]


@pytest.mark.parametrize(
    ("number", "units", "edition", "form"),
    [
        ("X1.3", "US", "F1216-07b", "soil_capacity"),
        ("X1.3", "SI", "F1216-07a", "soil_capacity_07a"),
        ("P", "US", "F1216-07b", "groundwater_pressure_us"),
        ("P", "SI", "F1216-07a", "groundwater_pressure_si"),
        ("X1.3 for t", "SI", "F1216-07a", "soil_thickness_07a"),
    ],
)
def test_an_equation_is_that_of_the_system_and_the_edition(number, units, edition, form):
    assert linerdesign.equation(number, units, edition).name == form


@pytest.mark.parametrize(
    ("asked", "place", "expected"),
    [
        (("X1.9",), "", "X1."),
        (("ovality",), "", "unknown equation number ovality"),
        (("X1.3", "US", "F1216-16"), "edition", "F1216-07a"),
        (("P", "us"), "units", '"US" or "SI"'),
    ],
)
def test_an_equation_that_is_not_there_is_a_fault(asked, place, expected):
    with pytest.raises(linerdesign.InputFaults) as caught:
        linerdesign.equation(*asked)
    (fault,) = caught.value.faults
    assert fault.place == place
    assert expected in fault.text


def test_numbers_are_found_without_regard_to_case_as_the_command_finds_them():
    assert linerdesign.equation("x1.3") is linerdesign.equation("X1.3")


def test_unknown_units_and_papers_are_faults(tmp_path):
    project = linerdesign.read(TABLES)
    for task in (linerdesign.size, linerdesign.review, linerdesign.compare):
        with pytest.raises(linerdesign.InputFaults, match='"US" or "SI"'):
            task(project, units="metric")
    with pytest.raises(linerdesign.InputFaults, match="units"):
        linerdesign.size_rows(pl.DataFrame(), project, units="us")
    with pytest.raises(linerdesign.InputFaults, match="a4"):
        linerdesign.write(linerdesign.size(project), tmp_path / "s.pdf", paper="letter")
    assert not list(tmp_path.iterdir())


def test_one_name_is_a_name_and_not_letters():
    project = linerdesign.read(TABLES)
    assert linerdesign.size(project, pipes="Trunk").pipes[0].name == "Trunk"


def test_arrays_broadcast_to_their_common_shape():
    """NAJ p. 70, table 2.9 and p. 83: C and the thickness of X1.1 in the 48 in example."""
    wall = linerdesign.equation("X1.1 for t")
    reduction = linerdesign.equation("C")(q=np.array([2.0, 5.0]))
    found = wall(D=48, K=7, E_L=125e3, C=reduction, nu=0.3, N=2, P=np.array([[5.2], [2.6]]))
    assert found.shape == (2, 2)
    assert found[0, 0] == pytest.approx(0.878, abs=5e-4)


def test_what_is_beside_the_thickness_is_worked_when_it_is_first_read():
    """Order and legs of a pipe: its status has the legs in it before any form is made.

    The tube is made for the narrow leg; stretched to the pipe it is less than the pipe needs.
    """
    more = {"length": "60 ft", "leg": [{}, {"host_diameter": "14 in"}]}
    tables = TABLES | {"order": {}, "pipe": [TABLES["pipe"][0] | more]}
    sizing = linerdesign.size(linerdesign.read(tables))
    (pipe,) = sizing.pipes
    assert (pipe.status, pipe.legs.served) == ("fails", (False, True))
    assert not {"additions", "document", "data"} & sizing.__dict__.keys()
    assert "proposed" not in pipe.legs.__dict__
    (found,) = sizing.additions.values()
    assert {"order", "site", "legs"} <= {each.kind for each in found}
    assert {"order", "site", "legs"} <= sizing.data["pipes"][0].keys()
