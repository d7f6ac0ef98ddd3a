"""From the tables of a pipe to the inputs of its sheet: keys, numbers in its unit, and origins.

Conversions by hand: 1 in is 25.4 mm, 1 ft 0.3048 m, 1 psi 6.894757 kPa, 1 pcf 0.1570875 kN/m3.
Defaults of HL-93 are those of AASHTO: 1.15 below ground and 1.2 for a single lane.
"""

import numpy as np
import pytest
from projects import LATERAL, PIPE, RESIN, toml

from linerdesign.findings import Severity
from linerdesign.methods.origin import Giver
from linerdesign.project.assembly import (
    designed,
    designed_all,
    outside_tables,
    possible_tasks,
    tasks,
    unknown_pipes,
)
from linerdesign.project.faults import InputFaults
from linerdesign.project.keys import SOIL_KEYS
from linerdesign.project.reading import of_tables, parse


def made(units=None, **tables):
    (task,) = tasks(parse(toml(**tables).encode(), "a.toml"), units)
    return task


def stated(task, place=0):
    """Key, value and the text as written of each input of a station."""
    return [(i.key, i.value, i.origin.stated) for i in task.stations[place].inputs]


SITE = [
    ("D", 48.0, "48 in"), ("q_pipe", 2.0, "2 %"), ("H", 16.0, "16 ft"), ("h_invert", 12.0, "12 ft"),
    ("w", 120.0, "120 pcf"), ("E_s", 1000.0, "1000 psi"), ("W_s", 0.35, "0.35 psi"),
]  # fmt: skip
FELT = [
    ("E", 250_000.0, "250000 psi"), ("r_E", 50.0, "50 %"), ("sigma", 4500.0, "4500 psi"),
    ("r_sigma", 50.0, "50 %"),
]  # fmt: skip
OWNER = [
    ("nu", 0.3, "0.3"), ("N", 2.0, "2"), ("K", 7.0, "7"), ("DR_max", 100.0, "100"),
    ("q_floor", 0.0, "0 %"), ("t_floor", 0.0, "0 mm"),
]  # fmt: skip
STEP = [("s", pytest.approx(1.5 / 25.4), "1.5 mm")]


def test_the_inputs_of_a_pipe_stand_in_the_order_of_the_sheet():
    task = made()
    assert stated(task) == SITE + FELT + OWNER + STEP
    assert (task.name, task.resin, task.first, task.stations[0].at) == ("Trunk", "Felt A", 1, None)
    givers = {each.key: each.origin.giver for each in task.stations[0].inputs}
    assert {givers[key] for key, *_ in SITE} == {Giver.PIPE}
    assert {givers["E"], givers["sigma"]} == {Giver.RESIN}
    assert {givers[key] for key, *_ in [*OWNER, *STEP]} == {Giver.PROGRAM}
    assert task.stations[0].in_words == ()


def test_a_sheet_in_metric_units_has_the_same_values():
    expected = {
        "D": 48 * 25.4, "H": 16 * 0.3048, "h_invert": 12 * 0.3048, "w": 120 * 0.1570875,
        "E_s": 6.894757, "W_s": 0.35 * 0.006894757, "E": 250_000 * 0.006894757, "q_pipe": 2.0,
        "sigma": 4500 * 0.006894757, "s": 1.5,
    }  # fmt: skip
    task = made("SI")
    found = {key: value for key, value, _ in stated(task) if key in expected}
    assert found == {key: pytest.approx(value, rel=1e-6) for key, value in expected.items()}
    assert task.basis.system == "SI"
    # The units of the project where none are asked for.
    assert made(project={"units": "SI"}).basis.system == "SI"
    assert made("US", project={"units": "SI"}).basis.system == "US"


def test_a_tensile_strength_is_an_input_of_a_pressure_pipe_alone():
    tensile = {"tensile_strength": "3000 psi"}
    assert stated(made(resin=tensile)) == SITE + FELT + OWNER + STEP
    loads = {"internal_pressure": "60 psi", "vacuum": "2 psi"}
    found = stated(made(pipe=loads, resin=tensile))
    keys = [key for key, *_ in found]
    assert keys == [
        *("D", "q_pipe", "H", "h_invert", "w", "E_s", "W_s", "P_i", "P_v"),
        *("E", "r_E", "sigma", "r_sigma", "sigma_T", "r_T"),
        *("nu", "N", "K", "DR_max", "q_floor", "t_floor", "s"),
    ]


def test_a_wall_to_check_and_sizes_as_listed_have_no_increment():
    checked = made(pipe={"design_thickness": "1 in", "host_wall": "3 in"})
    values = {key: value for key, value, _ in stated(checked)}
    assert (values["t"], values["t_host"]) == (1.0, 3.0)
    assert "s" not in values
    assert (checked.basis.thickness_given, checked.basis.host_wall) == (True, True)
    sizes = ["6 mm", "0.3 in", "5 mm", "6 mm"]
    listed = made(resin={"thicknesses": sizes})
    assert "s" not in {key for key, *_ in stated(listed)}
    table = listed.basis.sizes
    assert table.xs == table.ys == (pytest.approx(5 / 25.4), pytest.approx(6 / 25.4), 0.3)
    assert "Felt A" in table.name
    assert made(pipe={"design_thickness": "1 in"}, resin={"thicknesses": sizes}).basis.sizes is None


WATER, COVER = "groundwater_above_invert", "cover"
ELEVATIONS = {"ground_elevation": "30 ft", "invert_elevation": "10 ft"}


@pytest.mark.parametrize(
    ("drop", "pipe", "datums", "values"),
    [
        ((), {}, (("h_invert",), ("H",), ("q_pipe",)), {"h_invert": 12.0, "H": 16.0}),
        ((WATER,), {"groundwater": "none"}, (("h_invert",), ("H",), ("q_pipe",)),
         {"h_invert": 0.0}),
        ((WATER,), {"groundwater_above_crown": "3 ft"}, (("h_crown",), ("H",), ("q_pipe",)),
         {"h_crown": 3.0}),
        ((WATER,), {"groundwater_below_surface": "8 ft"}, (("d_water",), ("H",), ("q_pipe",)),
         {"d_water": 8.0}),
        ((COVER,), {"invert_depth": "20 ft"}, (("h_invert",), ("H_invert",), ("q_pipe",)),
         {"H_invert": 20.0}),
        ((COVER, WATER), ELEVATIONS | {"groundwater_elevation": "22 ft"},
         (("z_water",), ("z_ground",), ("q_pipe",)),
         {"z_water": 22.0, "z_ground": 30.0, "z_invert": 10.0}),
        (("ovality",), {"maximum_diameter": "49 in", "minimum_diameter": "47 in"},
         (("h_invert",), ("H",), ("q_max", "q_min")), {"D_max": 49.0, "D_min": 47.0}),
    ],
)  # fmt: skip
def test_datums_are_taken_as_the_pipe_states_them(drop, pipe, datums, values):
    task = made(pipe=pipe, drop=drop)
    basis = task.basis
    found = {key: value for key, value, _ in stated(task)}
    assert (basis.water, basis.cover) == datums[:2]
    assert len(basis.ovality) == len(datums[2])
    assert {key: found.get(key) for key in values} == values


@pytest.mark.parametrize(
    ("load", "inputs", "words", "table"),
    [
        ("HL-93", [("LLDF", 1.15, "1.15"), ("m", 1.2, "1.2")], "HL-93", "in psi"),
        ({"method": "HL-93", "distribution_factor": 1.0},
         [("LLDF", 1.0, "1"), ("m", 1.2, "1.2")], "HL-93", "in psi"),
        ("H-20 table", [], "H-20 table", "in psi"),
        ({"method": "H-20 table", "table": "in psf"}, [], None, "in psf"),
        ({"method": "concentrated load", "load": "16 kip", "impact_factor": 1.5},
         [("P_load", 16_000.0, "16 kip"), ("F_i", 1.5, "1.5"), ("L_load", 3.0, "3 ft")],
         "concentrated load", "in psi"),
        ({"method": "concentrated load", "load": "16 kip", "load_length": "24 in",
          "impact_factor": 1.0},
         [("P_load", 16_000.0, "16 kip"), ("L_load", 2.0, "24 in"), ("F_i", 1.0, "1")],
         "concentrated load", "in psi"),
    ],
)  # fmt: skip
def test_a_load_by_a_method_has_its_own_inputs_and_words(load, inputs, words, table):
    task = made(pipe={"live_load": load})
    found = stated(task)
    assert "W_s" not in {key for key, *_ in found}
    assert [each for each in found if each not in SITE + FELT + OWNER + STEP] == inputs
    (said,) = task.stations[0].in_words
    assert (said.key, said.origin.stated, said.origin.used) == ("W_s", said.words, True)
    assert words in (None, said.words)
    assert (task.basis.live_load, task.basis.live_load_table) == (
        load if isinstance(load, str) else load["method"], table,
    )  # fmt: skip
    defaults = {each.key for each in task.stations[0].inputs if each.origin.by_default}
    given = set(load) if isinstance(load, dict) else set()
    wanted = {"LLDF": "distribution_factor", "m": "multiple_presence", "L_load": "load_length"}
    assert defaults & wanted.keys() == {
        key for key, *_ in inputs if key in wanted and wanted[key] not in given
    }


def test_a_soil_in_words_is_a_number_or_a_line_of_its_own():
    """Howard 1977, from memory: silty sand of moderate compaction 1000 psi."""
    (soil,) = (each for each in made(pipe={"soil_reaction_modulus": "SM, moderate compaction"})
               .stations[0].inputs if each.key == "E_s")  # fmt: skip
    assert (soil.value, soil.origin.giver) == (1000.0, Giver.PIPE)
    assert soil.origin.stated == "SM, moderate compaction"
    assert soil.origin.table.startswith("Howard")
    assert soil.origin.table_row
    assert soil.origin.provenance
    by_depth = made(pipe={"soil_reaction_modulus": "SM, 90 % compaction"})
    assert "E_s" not in {key for key, *_ in stated(by_depth)}
    (said,) = by_depth.stations[0].in_words
    assert (said.key, said.words) == ("E_s", "SM, 90 % compaction")
    assert by_depth.basis.soil_by_depth[1] == "90 %"
    assert made().basis.soil_by_depth is None


def test_a_trench_and_its_native_soil_are_inputs_each():
    trench = {"trench": "800 psi", "native": "5 MPa", "trench_width": "6 ft",
              "combining_table": "2005"}  # fmt: skip
    task = made(pipe={"soil_reaction_modulus": trench})
    found = [each for each in stated(task) if each not in SITE + FELT + OWNER + STEP]
    assert found == [
        ("E_b", 800.0, "800 psi"), ("E_n", pytest.approx(725.18869, rel=1e-6), "5 MPa"),
        ("B_d", 72.0, "6 ft"),
    ]  # fmt: skip
    words = made(pipe={"soil_reaction_modulus": trench | {"native": "rock"}})
    (native,) = (each for each in words.stations[0].inputs if each.key == "E_n")
    assert native.origin.stated == "rock"
    assert task.basis.combining == "2005"
    assert task.stations[0].in_words == ()
    task = made(pipe={"soil_reaction_modulus": trench | {"trench": "SM, 90 % compaction"}})
    (said,) = task.stations[0].in_words
    assert (said.key, said.words) == ("E_b", "SM, 90 % compaction")
    assert said.origin.stated == said.words
    assert task.basis.soil_by_depth[1] == "90 %"
    assert "E_b" not in {key for key, *_ in stated(task)}


def test_words_that_no_line_reads_are_told_as_unused():
    partial = {"condition": "partially deteriorated", "live_load": "HL-93",
               "soil_reaction_modulus": "SM, 90 % compaction"}  # fmt: skip
    for used, pipe in ((False, partial), (True, partial | {"condition": "fully deteriorated"})):
        said = made(pipe=pipe).stations[0].in_words
        assert [(each.key, each.origin.used) for each in said] == [("E_s", used), ("W_s", used)]


def test_choices_of_the_criteria_and_of_the_pipe_are_in_the_basis():
    chosen = {"edition": "F1216-07a", "x1_2_strength": "short-term", "dry_case": False}
    basis = made(criteria=chosen).basis
    assert (basis.edition, basis.strength, basis.dry_case) == ("F1216-07a", "short-term", False)
    plain = made().basis
    assert (plain.edition, plain.strength, plain.dry_case) == ("F1216-07b", "long-term", True)
    assert (plain.condition, plain.above_ground) == ("fully deteriorated", False)
    parts = (plain.internal_pressure, plain.vacuum, plain.thickness_given, plain.host_wall)
    assert parts == (False,) * 4
    loaded = made(pipe={"internal_pressure": "9 psi", "vacuum": "1 psi"},
                  resin={"tensile_strength": "3 ksi"}).basis  # fmt: skip
    assert (loaded.internal_pressure, loaded.vacuum) == (True, True)
    buried = ("cover", "groundwater_above_invert", "ovality", *SOIL_KEYS)
    above = made(pipe={"above_ground": True, "internal_pressure": "9 psi"}, drop=buried,
                 resin={"tensile_strength": "3 ksi"}).basis  # fmt: skip
    assert (above.above_ground, above.water, above.cover) == (True, (), ())


def notes(**tables):
    return [each.text for each in made(**tables).notes if each.severity is not Severity.DEFAULT]


def test_notes_of_a_task_are_those_that_no_number_changes():
    assert notes() == []
    pressure = notes(pipe={"internal_pressure": "9 psi"}, resin={"tensile_strength": "3 ksi"})
    assert len(pressure) == 1
    assert "pressure" in pressure[0]
    part = notes(pipe={"hole_arc": "45 deg"})
    assert len(part) == 1
    assert part != pressure


def test_defaults_are_told_where_a_line_reads_them():
    """Retentions are common practice; no line of a gravity pipe reads those of the tension."""

    def defaults(**tables):
        found = [each for each in made(**tables).notes if each.severity is Severity.DEFAULT]
        return {dict(each.numbers)["key"]: each for each in found}

    all_of_them = {
        "modulus_retention", "strength_retention", "poisson_ratio", "safety_factor",
        "enhancement_factor", "maximum_dimension_ratio", "minimum_ovality", "minimum_thickness",
        "thickness_step", "edition", "x1_2_strength", "dry_case",
    }  # fmt: skip
    found = defaults()
    assert found.keys() == all_of_them
    by_practice = {key for key, each in found.items() if "practice" in each.code}
    assert by_practice == {"modulus_retention", "strength_retention"}
    assert found["safety_factor"].text == "safety factor: 2 (default)"
    assert found["edition"].text == "edition: F1216-07b (default)"
    assert found["x1_2_strength"].text.endswith("check: long-term (default)")
    given = defaults(criteria={"safety_factor": 2.0, "dry_case": True, "edition": "F1216-07b"})
    assert all_of_them - given.keys() == {"safety_factor", "dry_case", "edition"}


def test_evidence_waives_a_caution_where_it_is_a_report():
    reports = {"third-party creep test", "maker's report"}
    for grade in (*reports, "letter", "none"):
        waived = grade in reports
        task = made(resin={"evidence": "test of 2025", "evidence_grade": grade})
        assert task.waivers == ({"evidence"} if waived else set())
        assert task.evidence == (("properties of Felt A", "test of 2025"),)
    assert made(resin={"evidence_grade": "maker's report"}).waivers == set()
    task = made(
        criteria={"enhancement_evidence": "survey"}, pipe={"evidence": {"host_diameter": "plan"}}
    )
    assert task.waivers == {"enhancement_evidence"}
    assert task.evidence == (("enhancement factor", "survey"), ("host diameter", "plan"))


def test_a_second_method_is_asked_for_with_its_settings_as_shares():
    assert made().second is None
    second = made(criteria={"second_method": {"method": "encased ring", "gap": "0.5 %"}}).second
    assert (second.method, second.replaces) == ("encased ring", False)
    ((name, share, source),) = second.stated
    assert (name, share, source) == ("gap", pytest.approx(0.005), "project criteria")
    second = {"method": "encased ring", "use": "replaces"}
    assert made(criteria={"second_method": second}).second.replaces
    assert made(criteria={"second_method": second}).second.stated == ()


def project(*pipes, apart=False):
    return of_tables({"project": {"title": "x"}, "resin": [RESIN], "pipe": list(pipes)}, "",
                     apart=apart)  # fmt: skip


def test_places_of_stations_are_counted_through_the_file():
    """Pipes that can't be read count as many as they have, at least one."""
    three = PIPE | {"name": "B", "station": [{"at": f"{n} ft", "cover": "9 ft"} for n in range(3)]}
    bad = three | {"name": "C", "ovality": "2"}
    worse = LATERAL | {"name": "D", "ovality": "x"}
    last = LATERAL | {"name": "E"}
    every = possible_tasks(project(PIPE, three, bad, worse, last, apart=True), "US")
    assert [(each.name, getattr(each, "first", None)) for each in every] == [
        ("Trunk", 1), ("B", 2), ("E", 9), ("C", None), ("D", None)
    ]  # fmt: skip
    assert [each.at for each in every[1].stations] == ["0 ft", "1 ft", "2 ft"]
    named = possible_tasks(project(PIPE, three, bad, last, apart=True), "US", ["E", "C"])
    assert [each.name for each in named] == ["E", "C"]


def test_values_outside_a_table_are_told_with_their_place_and_four_figures():
    """The table of Duncan and Hartley ends at 20 ft of cover."""
    stations = [{"at": "0 ft", "cover": "9 ft"}, {"at": "90 ft", "cover": "21.123456 ft"}]
    soil = {"soil_reaction_modulus": "SM, 90 % compaction"}
    for pipe, where, shown in (
        (soil | {"station": stations}, 'station "90 ft" of [[pipe]] "Trunk"', "21.12 ft"),
        (soil | {"cover": "21 ft"}, '[[pipe]] "Trunk"', "21 ft"),
    ):
        with pytest.raises(InputFaults) as found:
            designed(made(pipe=pipe))
        (each,) = found.value.faults
        assert (each.code, each.key) == ("faults.outside_table", "soil_reaction_modulus")
        assert str(each.place) == where
        assert dict(each.numbers)["shown"] == f"depth of cover to crown {shown}"
    with pytest.raises(InputFaults) as found:
        designed_all([made(pipe={"soil_reaction_modulus": "5e-324 psi"}), made()])
    (each,) = found.value.faults
    assert (each.code, str(each.place)) == ("faults.no_thickness", '[[pipe]] "Trunk"')
    two = designed_all([made(), made(pipe={"name": "B", "design_thickness": "20 mm"})])
    assert [each.name for each in two] == ["Trunk", "B"]


def test_ranges_of_tables_are_told_for_many_pipes_at_once():
    basis = made(pipe={"soil_reaction_modulus": "SM, 90 % compaction"}).basis
    values = made().stations[0].values | {"H": np.array([1.0, 10.0, 20.0, 21.0])}
    values["H_invert"] = values["H"] + 4
    found = [(key, read, np.broadcast_to(where, 4).tolist())
             for key, read, where, _ in outside_tables(basis, values)]  # fmt: skip
    assert ("soil_reaction_modulus", ("H",), [False, False, False, True]) in found
    assert not [each for each in outside_tables(made().basis, values) if np.any(each[2])]


def test_uncertainties_of_values_that_the_pipe_has_not():
    raw = {"cover": "1 ft", "hole_diameter": "1 in"}
    for table in ("uncertainty", "doubt"):
        with pytest.raises(InputFaults) as found:
            project(PIPE | {table: raw})
        (each,) = found.value.faults
        assert (each.code, each.key, each.value) == (
            "review.no such value", f"{table}.hole_diameter", "1 in",
        )  # fmt: skip
        assert each.place.path == ("pipe", 0, table, "hole_diameter")


def test_names_that_no_pipe_has_are_told_each_once_with_those_that_are_there():
    with pytest.raises(InputFaults) as found:
        possible_tasks(project(PIPE, LATERAL), "US", ["X", "L1", "Y", "X"])
    assert [str(each) for each in found.value.faults] == [
        'pipe "X": no such pipe; use one of "L1", "Trunk"',
        'pipe "Y": no such pipe; use one of "L1", "Trunk"',
    ]
    assert list(unknown_pipes(["L1"], project(LATERAL).pipes)) == []
