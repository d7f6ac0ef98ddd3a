"""Which inputs are uncertain, by how much, and what they are drawn once for."""

import math
from dataclasses import replace

import numpy as np
import pytest
from projects import PIPE, RESIN
from scipy.stats import qmc

from linerdesign.interface import InputFaults, read
from linerdesign.methods.origin import KNOWN_BY, Origin
from linerdesign.methods.task import Input
from linerdesign.project.assembly import tasks
from linerdesign.project.distributions import distribution
from linerdesign.tasks.uncertainty import inputs, pipes, sampling
from linerdesign.tasks.uncertainty.inputs import Uncertainty, bounded, moving, scope
from linerdesign.tasks.uncertainty.model import of_task, reliability_index


def of_trunk(usual=True, common=None, resin=None, **pipe):
    """The uncertain inputs of the trunk by the key of a project file."""
    tables = {"project": {"title": "x", "units": "US"}, "resin": [RESIN | (resin or {})],
              "pipe": [PIPE | pipe], "uncertainty": common or {}}  # fmt: skip
    project = read(tables)
    (task,) = tasks(project)
    (one,) = project.pipes
    found = inputs.of_task(project, one, project.resin_of(one), task, usual)
    return {each.name: each for each in found}


def test_a_model_of_numbers_alone_is_of_one_pipe():
    """The same pipe with its values in arrays, of which there is one each."""
    project = read({"project": {"title": "x", "units": "US"}, "resin": [RESIN], "pipe": [PIPE]})
    (task,) = tasks(project)
    (one,) = project.pipes
    found = inputs.of_task(project, one, project.resin_of(one), task, usual=True)
    arrays = of_task(task, found)
    numbers = replace(arrays, inputs={key: float(v[0, 0]) for key, v in arrays.inputs.items()})
    shares = sampling.points(3, len(found), 4)[None]
    assert numbers.required(shares).shape == (1, 4)
    assert numbers.required(shares) == pytest.approx(arrays.required(shares), rel=1e-12)
    wall = np.array([0.3])
    assert reliability_index(numbers, wall) == pytest.approx(reliability_index(arrays, wall))


def test_a_better_known_value_is_less_uncertain():
    """Measured at best, assumed at worst, for every input that has a usual uncertainty."""
    site = [key for key in PIPE if key not in ("name", "condition")]
    by = {
        known: {name: each.by for name, each in
                of_trunk(origin=dict.fromkeys(site, known)).items() if name in site}
        for known in KNOWN_BY
    }  # fmt: skip
    assert by["measured"].keys() == set(site)
    for key in site:
        measured, plan, given, assumed = (by[known][key] for known in KNOWN_BY)
        assert 0 < measured < min(plan, given) <= max(plan, given) < assumed, key


def test_what_is_stated_comes_before_what_is_usual():
    """The pipe's own over the resin's over the project's, key by key."""
    project = {"cover": "3 ft", "flexural_modulus": "normal, sd 5 %", "ovality": "2 %"}
    resin = {"uncertainty": {"flexural_modulus": "20 %"}}
    found = of_trunk(common=project, resin=resin, uncertainty={"ovality": "1 %"})
    assert (found["cover"].words, found["cover"].stated, found["cover"].by) == ("3 ft", True, 3)
    assert found["flexural_modulus"].by == pytest.approx(50_000)
    assert found["ovality"].by == 1.0
    own = of_trunk(usual=False, uncertainty={"cover": "1 ft"})
    assert {name: each.by for name, each in own.items()} == {"cover": 1.0}
    assert not of_trunk()["cover"].stated


def test_defaults_are_as_good_as_assumed():
    """The retention is the program's own; the modulus is the resin's word."""
    found = of_trunk()
    assert (found["modulus_retention"].origin, found["modulus_retention"].assumed) == (
        "assumed", True
    )  # fmt: skip
    assert (found["flexural_modulus"].origin, found["flexural_modulus"].assumed) == ("given", False)
    assert found["flexural_modulus"].meaning == "initial flexural modulus"


def test_an_uncertainty_of_nothing_is_none():
    assert "cover" not in of_trunk(common={"cover": "0 %"})
    assert "live_load" not in of_trunk(live_load="0 psi")


def test_what_a_value_is_drawn_once_for():
    assert scope("flexural_modulus", "A", "felt") == scope("tube_price", "A", "felt") == "felt"
    assert scope("enhancement_factor", "A", "felt") == ""
    assert scope("cover", "A", "felt") == "A"


def test_a_value_that_moves_is_the_first_that_is_not_zero():
    each = Input("W_s", 0.0, Origin())
    assert moving(each, [0.0, 0.0, 0.7, 0.9]).value == 0.7
    assert moving(each, [[0.0], [0.3]]).value == 0.3
    assert moving(each, [0.0, 0.0]).value == 0.0
    assert moving(each, 2.0).value == 2.0


def test_values_are_kept_where_the_quantity_can_be():
    """A hundredth of the value where nothing of it is none; zero and 100 % else."""
    made = distribution("cover", "1 ft")
    for key, unit, value, (low, high) in (
        ("H", "ft", 10.0, (0.1, 30.0)), ("r_E", "%", 50.0, (0.5, 100.0)),
        ("W_s", "psi", 2.0, (0.0, 30.0)), ("q_pipe", "%", 2.0, (0.0, 30.0)),
    ):  # fmt: skip
        each = Uncertainty(key, made, value, unit, "given", stated=True)
        top = 130.0 if key == "r_E" else 30.0
        assert bounded(each, np.array([-5.0, value, top])) == pytest.approx([low, value, high])


@pytest.mark.parametrize("cases", [1, 2, 1000, 10**9])
def test_no_more_trials_than_memory_and_time_allow(cases):
    """A power of two of each of 8 scrambles, not over 30 million designs, 512 to 16,384."""
    most = pipes.most_points(cases)
    assert math.log2(most).is_integer()
    assert 512 <= most <= 16_384
    assert most == 512 or most * 8 * cases <= 30e6
    assert most == 16_384 or 2 * most * 8 * cases > 30e6


def test_the_error_of_a_chance_is_that_of_the_scatter_between_scrambles():
    """Means 0.5 and 0.7 of two scrambles: 0.6, with sd 0.1414 over the root of two."""
    found = sampling.share(np.array([50, 70]), 100)
    assert (found.chance, found.error) == (pytest.approx(0.6), pytest.approx(0.1))


def test_the_sequence_has_as_many_columns_as_scipy_has_of_it(monkeypatch):
    """The direction numbers of Joe and Kuo (2008) go to 21,201 dimensions."""
    assert sampling.MOST_COLUMNS == qmc.Sobol.MAXDIM == 21_201
    monkeypatch.setattr(sampling, "MOST_COLUMNS", 3)
    (block,) = sampling.blocks(7, 3, 1, first=1)
    assert block.shape == (8, 1, 3)
    with pytest.raises(InputFaults, match="4 uncertain"):
        next(sampling.blocks(7, 4, 1, first=1))


def test_blocks_double_until_there_are_enough():
    """The same points as in one draw, half by half."""
    made = list(sampling.blocks(7, 2, 64, first=16))
    assert [each.shape for each in made] == [(8, 16, 2), (8, 16, 2), (8, 32, 2)]
    whole = np.concatenate(made, axis=1)
    assert len(np.unique(whole[:, :, 0])) == 8 * 64
    # Of 64 points of a Sobol sequence one lies in every 64th of each axis.
    for scramble in whole:
        for axis in scramble.T:
            assert sorted(np.floor(64 * axis)) == list(range(64))
    (alone,) = sampling.blocks(7, 2, 1, first=16)
    assert alone.shape == (8, 16, 2)
    one = sampling.points(7, 2, 64)
    assert sorted(np.floor(64 * one[:, 0])) == list(range(64))


@pytest.mark.parametrize(
    ("key", "origins"),
    [
        ("q_pipe", ("0.5 points", "1 point", "1 point", "2 points")),
        ("r_E", ("3 points", "5 points", "5 points", "10 points")),
        ("H", ("2 % of it", "10 % of it", "5 % of it", "20 % of it")),
        ("h_invert", ("1 ft", "3 ft", "2 ft", "5 ft")),
    ],
)
def test_a_usual_uncertainty_says_what_it_is_a_part_of(key, origins):
    """Common practice, no source. A percentage of ovality and
    of retention is points."""
    made = [inputs._usual(key, origin) for origin in ("measured", "plan", "given", "assumed")]
    assert tuple(each.text for each in made) == origins
    unit = "ft" if key in ("H", "h_invert") else "%"
    halves = [float(each.half_width(50.0, unit)) for each in made]
    numbers = [float(each.partition(" ")[0]) for each in origins]
    assert halves == pytest.approx([n / 2 if key == "H" else n for n in numbers])


def test_a_value_of_one_is_as_uncertain_as_any_other():
    assert of_trunk(live_load="1 psi")["live_load"].value == 1.0


def test_a_price_has_the_name_and_meaning_of_its_key():
    price = Uncertainty("tube_price", distribution("tube_price", "5 %"), 3.0, "", "given", False)
    assert (price.name, price.meaning) == ("tube_price", "tube price")


def test_a_pipe_that_no_groundwater_reaches_keeps_its_other_uncertainties():
    names = [key for key in PIPE if key != "groundwater_above_invert"]
    dry = {"resin": [RESIN], "project": {"title": "x", "units": "US"}}
    project = read(dry | {"pipe": [{key: PIPE[key] for key in names} | {"groundwater": "none"}]})
    (task,), (one,) = tasks(project), project.pipes
    found = inputs.of_task(project, one, project.resin_of(one), task, usual=True)
    kept = {each.name for each in found}
    assert "groundwater_above_invert" not in kept
    assert {"ovality", "cover", "flexural_modulus"} <= kept


def test_an_uncertainty_that_no_pipe_has_a_value_for_is_refused_with_its_place():
    """Those of a faulty pipe count, too: only an internal pressure is of neither."""
    faulty = {key: PIPE[key] for key in PIPE if key not in ("soil_unit_weight", "name")}
    bare = {"condition": "partially deteriorated", "host_diameter": "12 in", "ovality": "2 %",
            "groundwater_above_invert": "4 ft", "name": "A"}  # fmt: skip
    tables = {"project": {"title": "x", "units": "US"}, "resin": [RESIN], "pipe": [bare]}
    of_the_sound = list(tasks(read(tables)))
    tables["pipe"].append(faulty | {"name": "B"})
    project = read(
        tables | {"uncertainty": {"cover": "1 ft", "internal_pressure": "5 %"}}, apart=True
    )
    assert [each.name for each in project.pipes] == ["A"]
    with pytest.raises(InputFaults) as caught:
        inputs.refuse_unused(project, of_the_sound)
    (only,) = caught.value.faults
    assert str(only) == (
        "internal_pressure 5 %: no pipe has such a value; remove the key, or give the value to a "
        "pipe ([uncertainty])"
    )
