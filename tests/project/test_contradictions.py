"""Values that exclude each other: of a pipe, of criteria, of a submittal, and of one design."""

import numpy as np
import pytest
from projects import PIPE, RESIN, toml

from linerdesign.project.assembly import task, tasks
from linerdesign.project.consistency import default_faults
from linerdesign.project.contradictions import DEFAULTS, contradictions, place_of, without_tensile
from linerdesign.project.faults import InputFaults, Place
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria
from linerdesign.project.reading import of_tables, read

TABLES = {"project": {"title": "x"}, "resin": [RESIN], "pipe": [PIPE]}


def faults(step, *given):
    with pytest.raises(InputFaults) as found:
        step(*given)
    return [(each.code.partition(".")[2], str(each.place), each.key, each.value)
            for each in found.value.faults]  # fmt: skip


def of_pipe(**pipe):
    own = {key: value for key, value in (PIPE | pipe).items() if value is not None}
    return faults(of_tables, TABLES | {"pipe": [own]}, "")


def in_one_design(pipe=None, resin=None):
    """Faults of the task of a pipe that can be read."""
    own = {key: value for key, value in (PIPE | (pipe or {})).items() if value is not None}
    project = of_tables(TABLES | {"resin": [RESIN | (resin or {})], "pipe": [own]}, "")
    return faults(task, project.pipes[0], project.resins[0], Criteria(), "US")


def test_defaults_that_state_one_thing_twice_are_told_and_only_the_first_stays():
    given = {"invert_depth": 1, "cover": 2, "host_diameter": 3, "diameters": [], "ovality": 4,
             "groundwater": "none", "groundwater_above_crown": 5, "live_load": 6}  # fmt: skip
    found, left = default_faults(given, DEFAULTS)
    assert [(dict(each.numbers)["keys"], each.place) for each in found] == [
        ("host_diameter and diameters", DEFAULTS),
        ("groundwater and groundwater_above_crown", DEFAULTS),
        ("cover and invert_depth", DEFAULTS),
    ]
    assert left == {"cover": 2, "host_diameter": 3, "ovality": 4, "groundwater": "none",
                    "live_load": 6}  # fmt: skip
    assert default_faults({"cover": 2, "ovality": 4}, DEFAULTS) == ([], {"cover": 2, "ovality": 4})
    assert str(DEFAULTS.at("cover")) == "defaults of [criteria]"
    assert DEFAULTS.at("cover").path == ("criteria", "defaults", "cover")


def measured(**values):
    return {
        key: Measure(number, unit, f"{number:g} {unit}") for key, (number, unit) in values.items()
    }


def broken(**values):
    """The keys that are at fault, of measures by key."""
    return [key for key, wrong, _ in contradictions(measured(**values)) if np.any(wrong)]


def test_numbers_of_many_pipes_are_compared_at_once():
    """The host is 1000 mm; of three covers to the invert one is less."""
    site = measured(host_diameter=(1000.0, "mm"))
    site["invert_depth"] = Measure(np.array([0.9, 1.0, 1.1]), "m", "")
    ((key, wrong, refused),) = contradictions(site)
    assert (key, wrong.tolist(), refused.code) == (
        "invert_depth", [True, True, False], "faults.no_cover",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("values", "wrong"),
    [
        ({"vacuum": (14.7, "psi")}, []), ({"vacuum": (14.8, "psi")}, ["vacuum"]),
        # Nothing is compared with a host that is not known.
        ({"invert_depth": (0.1, "m"), "hole_diameter": (9.0, "m")}, []),
        ({"host_diameter": (48.0, "in"), "invert_depth": (1.219203, "m")}, []),
        ({"host_diameter": (48.0, "in"), "invert_depth": (1.2192, "m")}, ["invert_depth"]),
        ({"host_diameter": (48.0, "in"), "host_wall": (1.0, "in"), "invert_depth": (1.2446, "m")},
         ["invert_depth"]),
        ({"host_diameter": (48.0, "in"), "host_wall": (1.0, "in"), "invert_depth": (1.2447, "m")},
         []),
        # An elevation of the ground alone says nothing of the cover.
        ({"host_diameter": (48.0, "in"), "ground_elevation": (1.0, "m")}, []),
        ({"host_diameter": (48.0, "in"), "ground_elevation": (9.0, "m"),
          "invert_elevation": (7.8, "m")}, ["ground_elevation"]),
        ({"host_diameter": (48.0, "in"), "ground_elevation": (9.0, "m"),
          "invert_elevation": (7.7, "m")}, []),
        ({"host_diameter": (48.0, "in"), "hole_diameter": (4.0, "ft")}, ["hole_diameter"]),
        ({"host_diameter": (48.0, "in"), "design_thickness": (2.0, "ft")}, ["design_thickness"]),
    ],
)  # fmt: skip
def test_values_of_one_pipe_exclude_each_other(values, wrong):
    """48 in are 1.2192 m, with a wall of 1 in above the crown 1.2446 m."""
    assert broken(**values) == wrong


def test_a_value_of_the_criteria_is_told_once_in_its_file(tmp_path):
    (tmp_path / "owner.toml").write_text('[criteria.defaults]\ninvert_depth = "4 ft"\n')
    path = tmp_path / "p.toml"
    one = toml(drop=("cover",))
    both = one + "\n[[pipe]]" + one.partition("[[pipe]]")[2].replace("Trunk", "Branch")
    path.write_text('criteria = "owner.toml"\n' + both.replace("[criteria]\n", ""))
    assert faults(read, path) == [
        ("no_cover", "defaults of [criteria] of owner.toml", "invert_depth", "4 ft")
    ]
    own = both.replace("[criteria]", '[criteria]\ndefaults = { invert_depth = "4 ft" }')
    path.write_text(own)
    assert faults(read, path) == [("no_cover", "defaults of [criteria]", "invert_depth", "4 ft")]


def test_a_submittal_is_at_fault_where_its_own_values_are():
    stated = {"inputs": {"invert_depth": "4 ft"}}
    assert of_pipe(stated=stated) == [
        ("no_cover", 'inputs of stated of [[pipe]] "Trunk"', "invert_depth", "4 ft")
    ]
    # A fault of the pipe itself is not told again of the submittal; another value of it is.
    hole = {"internal_pressure": "9 psi", "hole_diameter": "48 in"}
    tensile = [RESIN | {"tensile_strength": "3 ksi"}]
    for theirs, count in (({"cover": "9 ft"}, 1), ({"hole_diameter": "49 in"}, 2)):
        pipe = PIPE | hole | {"stated": {"inputs": theirs}}
        found = faults(of_tables, TABLES | {"resin": tensile, "pipe": [pipe]}, "")
        assert [key for _, _, key, _ in found] == ["hole_diameter"] * count


def test_lines_of_a_submittal_are_of_stations_of_the_pipe():
    lines = [{"at": "0 ft"}, {"at": "7 ft", "steps": {"C": 0.8}}]
    stations = {"station": [{"at": "0 ft"}, {"at": "9 ft"}], "stated": {"station": lines}}
    (found,) = of_pipe(**stations)
    assert found == ("unknown station", 'station 2 of stated of [[pipe]] "Trunk"', "at", '"7 ft"')
    (found,) = of_pipe(stated={"station": lines[:1]})
    assert found[0] == "unknown station"
    sound = stations | {"stated": {"station": lines[:1]}}
    assert of_tables(TABLES | {"pipe": [PIPE | sound]}, "").pipes


def test_one_design_has_one_value_of_each():
    """A range, stations of different loads, a shape: each is told at its place."""
    assert in_one_design(resin={"flexural_modulus": "200000 to 250000 psi"}) == [
        ("several_values", '[[resin]] "Felt A"', "flexural_modulus", "200000 to 250000 psi")
    ]
    stations = [{"at": "0 ft"}, {"at": "9 ft", "live_load": "HL-93"}]
    assert in_one_design({"station": stations}) == [
        ("differing_stations", '[[pipe]] "Trunk"', "", "")
    ]
    egg = {"shape": "egg", "width": "24 in", "height": "36 in", "host_diameter": None,
           "ovality": None}  # fmt: skip
    assert in_one_design(egg) == [("shaped", '[[pipe]] "Trunk"', "shape", '"egg"')]
    # With another resin than its own, which a comparison asks for.
    tensile = RESIN | {"tensile_strength": "3 ksi"}
    wet = PIPE | {"internal_pressure": "9 psi"}
    wet = of_tables(TABLES | {"resin": [tensile, RESIN | {"name": "B"}], "pipe": [wet]}, "")
    assert faults(task, wet.pipes[0], wet.resins[1], Criteria(), "US") == [
        ("no_tensile", '[[pipe]] "Trunk"', "resin", "")
    ]
    outline = {"outline": "a.csv", "host_diameter": None, "ovality": None}
    assert in_one_design(outline) == [("shaped", '[[pipe]] "Trunk"', "outline", '"a.csv"')]
    project = of_tables(
        TABLES | {"pipe": [PIPE | {"station": [{"at": "0 ft"}, {"at": "1 ft"}]}]}, ""
    )
    assert len(tasks(project)[0].stations) == 2


def test_a_pressure_pipe_needs_a_tensile_strength():
    at = place_of("pipe", "Trunk").at("resin")
    wet = [{}, {"internal_pressure": 1}]
    (found,) = without_tensile(wet, {"name": "Felt"}, at)
    assert (found.code, found.place, dict(found.numbers)) == (
        "faults.no_tensile", at, {"resin": '"Felt"'},
    )  # fmt: skip
    assert list(without_tensile(wet, {"name": "Felt", "tensile_strength": 1}, at)) == []
    assert list(without_tensile([{}], {"name": "Felt"}, at)) == []
    assert place_of("resin", "A") == Place(table="[[resin]]", name="A")
