"""Where values come from: facts that no name in a project can pass for."""

from projects import sized, toml

from linerdesign.documents.sheet import not_measured
from linerdesign.methods.origin import Giver, Origin
from linerdesign.project.assembly import tasks
from linerdesign.project.keys import SOIL_KEYS
from linerdesign.project.reading import parse
from linerdesign.tasks.uncertainty.inputs import own, uncertainties


def _project(**tables):
    return parse(toml(**tables).encode(), "test.toml")


def test_a_resin_whose_name_looks_like_a_plan_gives_no_plan_value():
    result = sized(resin={"name": "plan, B"})
    assert not [line for line in not_measured(result) if "modulus" in line and "soil" not in line]
    (step,) = (each for each in result.steps if each.key == "E")
    assert step.origin == Origin("", Giver.RESIN, place="plan, B", stated="250000 psi")


def test_the_name_of_a_resin_does_not_change_how_far_its_values_may_be_off():
    def found(name):
        project = _project(resin={"name": name})
        (task,) = tasks(project)
        return uncertainties(own(project.pipes[0]), task.stations[0].inputs, "US", usual=True)

    assert found("plan") == found("measured, in 2026") == found("Felt A")


def test_each_layer_marks_what_it_gives():
    at = [{"at": "assumed", "cover": "9 ft"}, {"at": "MH 2"}]
    pipe = {"station": at, "origin": {"ovality": "measured", "flexural_modulus": "assumed"}}
    criteria = {"safety_factor": 2.5, "defaults": {"groundwater_above_invert": "4 ft"}}
    drop = ("groundwater_above_invert",)
    (task,) = tasks(_project(pipe=pipe, criteria=criteria, drop=drop))
    first, second = ({each.key: each.origin for each in s.inputs} for s in task.stations)
    assert first["H"] == Origin("given", Giver.STATION, place="assumed", stated="9 ft")
    assert second["H"] == Origin("given", Giver.PIPE, stated="16 ft")
    assert first["q_pipe"] == Origin("measured", Giver.PIPE, stated="2 %")
    assert first["E"] == Origin("assumed", Giver.RESIN, place="Felt A", stated="250000 psi")
    assert first["N"] == Origin("", Giver.PROJECT, stated="2.5")
    assert first["h_invert"] == Origin("", Giver.PROJECT, stated="4 ft")
    assert first["r_E"] == Origin("", Giver.PROGRAM, stated="50 %")


def test_readings_at_a_station_replace_the_ovality_of_the_criteria():
    """As on the pipe itself: whoever measured diameters has measured the ovality."""
    at = [{"at": "0 ft", "diameters": ["47 in", "49 in"]}]
    criteria = {"defaults": {"ovality": "9 %"}}
    project = _project(pipe={"station": at}, criteria=criteria, drop=("host_diameter", "ovality"))
    (task,) = tasks(project)
    found = {each.key for each in task.stations[0].inputs}
    assert {"D", "D_max", "D_min"} <= found
    assert "q_pipe" not in found


def test_a_pipe_above_ground_takes_no_soil_from_the_criteria():
    pipe = {"above_ground": True, "internal_pressure": "60 psi"}
    buried = ("cover", "groundwater_above_invert", *SOIL_KEYS)
    criteria = {"defaults": {"cover": "9 ft", "groundwater_above_invert": "3 ft"}}
    tables = {"pipe": pipe, "criteria": criteria, "resin": {"tensile_strength": "3000 psi"}}
    (task,) = tasks(_project(**tables, drop=buried))
    assert not {"H", "h_invert"} & {each.key for each in task.stations[0].inputs}
