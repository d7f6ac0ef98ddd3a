"""The inventory's arrays against `size` on the same pipes, and against independent searches.

Source of the equations in `by_search`: Najafi 2010, sec. 2.7, applying ASTM F1216-09.
"""

import json

import numpy as np
import polars as pl
import pytest
from benchmarks.inventory import by_hand, by_lines, by_search, pipes
from hypothesis import given, settings
from hypothesis import strategies as st
from projects import toml

from linerdesign.methods.sizing import design
from linerdesign.methods.verdicts import SIZED
from linerdesign.project.assembly import task, tasks
from linerdesign.project.columns import read_header
from linerdesign.project.faults import InputFaults, Place
from linerdesign.project.fields import read_table
from linerdesign.project.keys import keys_of
from linerdesign.project.mapping import of_mapping
from linerdesign.project.models import Pipe
from linerdesign.project.reading import parse
from linerdesign.tasks.batch.pieces import Sizer

PROJECT = (
    toml(
        resin={"tensile_strength": "3000 psi"},
        criteria={"minimum_ovality": "1 %", "minimum_thickness": "3 mm"},
    )
    + """
[[resin]]
name = "Glass B"
flexural_modulus = "6.2 GPa"
flexural_strength = "96 MPa"
modulus_retention = "60 %"
thicknesses = ["3 mm", "3.7 mm", "4.4 mm", "5.8 mm", "8 mm"]
"""
)


def sized(frame, system="US", project=PROJECT):
    read = parse(project.encode())
    sizer = Sizer(read_header(frame.columns, "table"), read, system)
    return frame.with_columns(**sizer.size(frame, {}).columns())


def as_size_does(row, system, project=PROJECT):
    """The same row as a pipe of a project file, through models, task and design."""
    raw = {"name": "row"}
    for header, cell in row.items():
        if cell is not None:
            key, _, unit = header.partition(" [")
            raw[key] = f"{cell} {unit[:-1]}" if unit and cell not in BY_NAME else cell
    read = parse(project.encode())
    pipe = read_table(Pipe, raw, Place(), [])
    return design(task(pipe, read.resin_of(pipe), read.criteria, system))


BY_NAME = ("H-20 table", "HL-93", "1.75 H rule", "E-80 Boussinesq")
CELLS = {
    "condition": st.sampled_from(["fully deteriorated", "partially deteriorated"]),
    "resin": st.sampled_from([None, "Felt A", "Glass B"]),
    "host_diameter [mm]": st.floats(80, 1500).map(repr),
    "ovality [%]": st.none() | st.floats(0, 14).map(repr),
    "cover [ft]": st.floats(2.1, 30).map(repr),
    "groundwater_above_invert [m]": st.floats(-1, 12).map(repr),
    "soil_unit_weight [pcf]": st.sampled_from(["110", "120.5"]),
    "soil_reaction_modulus [MPa]": st.floats(1, 20).map(repr),
    "live_load [kPa]": st.floats(0, 40).map(repr) | st.sampled_from(BY_NAME),
}


@settings(max_examples=40)
@given(
    st.lists(st.fixed_dictionaries(CELLS), min_size=1, max_size=12), st.sampled_from(["US", "SI"])
)
def test_rows_equal_the_single_pipe(rows, system):
    frame = pl.DataFrame(rows, schema=dict.fromkeys(CELLS, pl.String))
    for row, out in zip(rows, sized(frame, system).iter_rows(named=True), strict=True):
        try:
            single = as_size_does(row, system)
        except (InputFaults, ArithmeticError):
            # The cover leaves the table of live loads, or the head is no pressure above zero.
            assert out["status"] == "error"
            assert out["message"]
            continue
        mm = 25.4 if system == "US" else 1.0
        assert out["required_thickness [mm]"] == pytest.approx(
            single.required_thickness * mm, rel=1e-12
        )
        assert out["nominal_thickness [mm]"] == pytest.approx(
            single.nominal_thickness * mm, rel=1e-12
        )
        assert (out["governing"], out["status"]) == (single.governing, single.status)
        message = out["message"] or ""
        # Many rows share a text, so that some are told there without the numbers in their midst.
        for note in single.notes:
            words = note.text.split()
            ends = (" ".join(words[:4]), " ".join(words[-4:]))
            assert note.severity == "default" or all(end in message for end in ends), note
        told = [note for note in single.notes if "interchangeable" in note.text]
        assert message.count("interchangeable") == len(told)


@pytest.mark.parametrize(
    "columns",
    [
        {"groundwater_above_crown [ft]": "4", "invert_depth [ft]": "12", "host_wall [in]": "1"},
        {"groundwater_below_surface [m]": "2.5", "cover [m]": "3"},
        {
            "groundwater_elevation [ft]": "104",
            "ground_elevation [ft]": "112",
            "invert_elevation [ft]": "100",
        },
        {"groundwater": "none", "cover [m]": "3", "vacuum [psi]": "2"},
        {"groundwater": "none", "cover [m]": "3", "design_thickness [mm]": "9"},
        {"groundwater_above_invert [ft]": "5", "cover [m]": "3", "internal_pressure [psi]": "60"},
    ],
)
@pytest.mark.parametrize("system", ["US", "SI"])
def test_every_datum_equals_the_single_pipe(columns, system):
    row = {
        "condition": "fully deteriorated",
        "host_diameter [in]": "10",
        "maximum_diameter [in]": "10.3",
        "minimum_diameter [in]": "9.8",
        "soil_unit_weight [pcf]": "120",
        "soil_reaction_modulus [psi]": "800",
        "live_load [psi]": "1.1",
    } | columns
    out = sized(pl.DataFrame([row]), system).row(0, named=True)
    single = as_size_does(row, system)
    mm = 25.4 if system == "US" else 1.0
    assert out["required_thickness [mm]"] == pytest.approx(
        single.required_thickness * mm, rel=1e-12
    )
    assert out["nominal_thickness [mm]"] == pytest.approx(single.nominal_thickness * mm, rel=1e-12)
    assert (out["governing"], out["status"]) == (single.governing, single.status)


def test_partially_deteriorated_pressure_pipes_in_every_branch():
    rows = [
        {
            "condition": "partially deteriorated",
            "host_diameter [in]": "12",
            "ovality [%]": "2",
            "groundwater_above_invert [ft]": "4",
            "internal_pressure [psi]": str(pressure),
            "hole_diameter [in]": str(hole),
        }
        for pressure in (20, 60, 150, 300)
        for hole in (0.5, 1, 2, 3, 4, 6)
    ]
    governing = set()
    for row, out in zip(rows, sized(pl.DataFrame(rows)).iter_rows(named=True), strict=True):
        single = as_size_does(row, "US")
        assert out["required_thickness [mm]"] == pytest.approx(
            single.required_thickness * 25.4, rel=1e-12
        )
        assert (out["governing"], out["status"]) == (single.governing, single.status)
        governing.add(out["governing"])
    assert {"X1.6", "X1.7"} <= governing


def test_lines_against_root_searches_and_a_written_out_expression():
    values = pipes(400)
    required = by_lines(values).required
    assert np.max(np.abs(by_search(values, 400) / required - 1)) < 1e-9
    assert np.max(np.abs(by_hand(values) / required - 1)) < 1e-13


def test_published_example(run, tmp_path):
    """Najafi 2010, pp. 75-83: 48 in host, 1.01 in by X1.3; with the printed 14.95 psi 1.008 in."""
    (tmp_path / "project.toml").write_text(toml())
    (tmp_path / "in.csv").write_text(
        "condition,host_diameter [in],ovality [%],cover [ft],groundwater_above_invert [ft],"
        "soil_unit_weight [pcf],soil_reaction_modulus [psi],live_load [psi]\n"
        "fully deteriorated,48,2,16,12,120,1000,0.35\n"
    )
    code, out, _ = run("batch", "in.csv", "--project", "project.toml", "-o", "out.csv", "--json")
    assert code == 0
    assert json.loads(out)["statuses"] == {SIZED: 1}
    (row,) = pl.read_csv(tmp_path / "out.csv").iter_rows(named=True)
    assert row["governing"] == "X1.3"
    assert row["required_thickness [mm]"] / 25.4 == pytest.approx(1.01, abs=0.005)
    assert row["nominal_thickness [mm]"] == 27.0


def test_a_check_that_does_not_apply_raises_no_caution():
    row = {
        "condition": "partially deteriorated",
        "host_diameter [in]": "12",
        "ovality [%]": "2",
        "groundwater": "none",
    }
    project = toml(criteria={"safety_factor": 1.5, "minimum_thickness": "3 mm"})
    out = sized(pl.DataFrame([row]), project=project).row(0, named=True)
    single = as_size_does(row, "US", project)
    assert {note.severity.value for note in single.notes} == {"default"}
    assert out["message"] is None


# Columns of the resin and the criteria, and the same values in a project file.
OWN = {
    "modulus_retention [%]": "33.5",
    "strength_retention [%]": "41",
    "flexural_modulus [GPa]": "3.1",
    "flexural_strength [MPa]": "55",
    "thickness_step [mm]": "0.7",
    "safety_factor": "2.5",
    "enhancement_factor": "6.5",
    "poisson_ratio": "0.27",
    "maximum_dimension_ratio": "60",
    "minimum_ovality [%]": "4",
    "minimum_thickness [in]": "0.4",
    "edition": "F1216-07a",
    "x1_2_strength": "short-term",
}
SITE = {
    "condition": "fully deteriorated",
    "host_diameter [in]": "24",
    "cover [ft]": "9",
    "groundwater_above_invert [ft]": "6",
    "soil_unit_weight [pcf]": "120",
    "soil_reaction_modulus [psi]": "700",
    "live_load [psi]": "1.1",
}


def in_project_file(row, system):
    """The row through a project file that has its values under [criteria] and [[resin]]."""
    tables = {"pipe": {"name": "row"}, "resin": {}, "criteria": {}}
    for header, cell in row.items():
        key, _, unit = header.partition(" [")
        table = next(t for t in ("pipe", "resin", "criteria") if key in keys_of(t))
        bare = key in ("safety_factor", "enhancement_factor", "poisson_ratio") or "ratio" in key
        value = float(cell) if bare else f"{cell} {unit[:-1]}".strip()
        tables[table][key] = value
    resin = {
        "name": "A",
        "flexural_modulus": "250000 psi",
        "flexural_strength": "4500 psi",
        "tensile_strength": "3000 psi",
    }
    criteria = {"minimum_ovality": "1 %", "minimum_thickness": "3 mm"} | tables["criteria"]
    project = of_mapping(
        {
            "project": {"title": "t"},
            "criteria": criteria,
            "resin": [resin | tables["resin"]],
            "pipe": [tables["pipe"]],
        }
    )
    return design(tasks(project, system)[0])


@settings(max_examples=60)
@given(st.lists(st.sampled_from([*OWN]), unique=True), st.sampled_from(["US", "SI"]))
def test_columns_of_resin_and_criteria_hold_for_their_row(names, system):
    """Beside a row without them, and one with other numbers, of the same shape and of another."""
    own = {name: OWN[name] for name in names}
    numbers = {n: v for n, v in own.items() if n not in ("edition", "x1_2_strength")}
    more, less = (
        own | {name: repr(factor * float(value)) for name, value in numbers.items()}
        for factor in (1.05, 0.9)
    )
    rows = [SITE | dict.fromkeys(own), SITE | own, SITE | more, SITE | less]
    schema = dict.fromkeys([*SITE, *own], pl.String)
    out = sized(pl.DataFrame(rows, schema=schema), system)
    mm = 25.4 if system == "US" else 1.0
    for row, made in zip(rows, out.iter_rows(named=True), strict=True):
        single = in_project_file({k: v for k, v in row.items() if v is not None}, system)
        assert made["required_thickness [mm]"] == pytest.approx(
            single.required_thickness * mm, rel=1e-12
        )
        assert made["nominal_thickness [mm]"] == pytest.approx(
            single.nominal_thickness * mm, rel=1e-12
        )
        assert (made["governing"], made["status"]) == (single.governing, single.status)


def test_a_column_of_criteria_less_safe_than_the_owners_is_a_caution():
    project = PROJECT.replace("[criteria]", "[criteria]\nsafety_factor = 2.5")
    rows = [SITE | {"ovality [%]": "2", "safety_factor": n} for n in ("2", "2.5", "3")]
    out = sized(pl.DataFrame(rows), project=project)
    said = ["safety factor N of the row is less safe" in (m or "") for m in out["message"]]
    assert said == [True, False, False]
    assert out["required_thickness [mm]"].is_sorted()


def test_a_thickness_step_of_a_row_excludes_the_resins_own_list():
    row = SITE | {"ovality [%]": "2", "resin": "Glass B", "thickness_step [mm]": "1"}
    (message,) = sized(pl.DataFrame([row]))["message"]
    assert "thickness_step and thicknesses given together" in message


def test_a_minimum_ovality_of_zero_in_a_row_is_no_ovality():
    rows = [SITE | {"minimum_ovality [%]": q} for q in ("0", "3")]
    out = sized(pl.DataFrame(rows))
    assert out["status"].to_list() == ["error", "sized"]
    assert "ovality" in out["message"][0]
