"""The ring as the second method of the house: one task, designed by either."""

import pytest
from projects import toml

from linerdesign.interface import read
from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.method import Imperfections, maximum_ratio, settings, solved
from linerdesign.methods.ring.solving import solve
from linerdesign.methods.sizing import design
from linerdesign.project.assembly import tasks

GERMAN = {"gap": 0.005, "bulge": 0.02}
E_STAR = 125_000 / (1 - 0.3**2)


def task(tmp_path, **pipe):
    file = tmp_path / "p.toml"
    file.write_text(toml(pipe={"condition": "partially deteriorated", **pipe}), encoding="utf-8")
    (found,) = tasks(read(file), "US")
    return found


def test_the_method_gives_the_wall_that_resists_twice_the_pressure(tmp_path):
    """P is 0.433 psi/ft times 12 ft, N 2: the wall, solved anew from no pressure, resists 2 P."""
    result = design(solved(task(tmp_path), GERMAN))
    assert result.governing == "ring"
    assert result.status == "sized"
    ratio = 48.0 / result.required_thickness
    ring = solve(Case(ratio, 0.005, 0.02, 0.02))
    strength = 2250.0 / E_STAR
    _, pressure = ring.point_at_stress(strength, 0)
    assert pressure * E_STAR == pytest.approx(2 * 0.433 * 12, rel=1e-4)
    assert result.nominal_thickness >= result.required_thickness


def test_the_requirement_stands_line_by_line_with_the_model_as_a_source(tmp_path):
    steps = {step.key: step for step in design(solved(task(tmp_path), GERMAN)).steps}
    assert "numerical model" in steps["DR_ring"].source
    assert steps["t_ring"].value == pytest.approx(48.0 / steps["DR_ring"].value)
    assert steps["t_required"].value == steps["t_ring"].value
    assert {"P", "E_L", "sigma_L", "E_plane", "p_Glock"} <= steps.keys()


def test_gap_and_bulge_that_are_not_stated_are_those_of_german_practice():
    """0.5 % and 2 % of the radius, from memory; within the ranges of `docs/buckling.md`."""
    gap, bulge = settings()["gap"], settings()["bulge"]
    assert (gap.default, gap.least, gap.most) == (0.005, 0.0, 0.03)
    assert (bulge.default, bulge.least, bulge.most) == (0.02, 0.0005, 0.03)


def test_where_nothing_presses_the_thinnest_wall_checked_is_enough():
    values = {"D": 48.0, "P": 0.0, "q": 2.0, "nu": 0.3, "N": 2.0, "E_plane": E_STAR}
    assert maximum_ratio(values, Imperfections(0.005, 0.02)) == (150.0, "")


def test_the_worst_station_governs(tmp_path):
    stations = [
        {"at": "0 ft", "groundwater_above_invert": "6 ft"},
        {"at": "90 ft", "groundwater_above_invert": "20 ft"},
    ]
    result = design(solved(task(tmp_path, station=stations), GERMAN))
    assert result.governing_station == "90 ft"
    alone = design(solved(task(tmp_path, groundwater_above_invert="20 ft"), GERMAN))
    assert result.required_thickness == pytest.approx(alone.required_thickness, rel=1e-6)


def test_a_pressure_beyond_the_range_is_refused(tmp_path):
    with pytest.raises(ArithmeticError, match="No wall that the model has been checked for"):
        solved(task(tmp_path, groundwater_above_invert="400 ft"), GERMAN)
