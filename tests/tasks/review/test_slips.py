"""Each error, made in the package's lines, gives what the hand calculation with it gives."""

import random
import re
from dataclasses import replace
from pathlib import Path

import pytest
from by_hand import SLIPS, project, random_pipe, thicknesses

from linerdesign.methods.altered import case_of, outcome
from linerdesign.methods.f1216 import slips
from linerdesign.methods.f1216.slips import made_in
from linerdesign.project.reading import parse
from linerdesign.tasks.review.submittal import submittals

STATIONS = '[[pipe.station]]\nat = "0 ft"\n[[pipe.station]]\nat = "80 ft"\ncover = "{} {}"\n'


def case(x, stations=""):
    text = project(x, {"required_thickness": "5 mm"}) + stations
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    return case_of(submittal.ours)


def made(case, name):
    """The thickness required with the slip, in each way that people make it."""
    changes = [each.change for each in made_in(case) if each.slip.name == name]
    found = [outcome(case, alteration=(change,)) for change in changes]
    return [each["t_required"] for each in found if each is not None]


def pipes(count, seed):
    chance = random.Random(seed)
    return [random_pipe(chance) for _ in range(count)]


def prone(x, name):
    """The pipe where the slip shows: water over the ground, or an oval pipe on the other basis."""
    if name == "buoyancy-not-floored":
        return replace(x, h_invert=1.3 * (x.H + x.rise), E_s=x.E_s / 2)
    if name == "long-term-strength":
        return replace(x, q=9.0, short_term_strength=True)
    return x


@pytest.mark.parametrize("name", SLIPS)
def test_a_slip_gives_what_it_gives_by_hand(name):
    seen = 0
    for each in pipes(60, seed=2):
        x = prone(each, name)
        right, slipped = thicknesses(x)["required"], thicknesses(x, name)["required"]
        if abs(slipped / right - 1) < 1e-6 or slipped == 0:
            continue
        seen += 1
        ways = made(case(x), name)
        assert any(t == pytest.approx(slipped, rel=1e-9) for t in ways), (x, slipped, ways)
    assert seen >= 2


def test_right_lines_are_those_of_the_hand_calculation():
    for x in pipes(30, seed=3):
        found = outcome(case(x))
        assert found["t_required"] == pytest.approx(thicknesses(x)["required"], rel=1e-9)


@pytest.mark.parametrize("name", ["short-term-modulus", "other-edition", "cover-to-invert"])
def test_with_stations_the_worst_one_counts(name):
    seen = 0
    for x in pipes(30, seed=4):
        if not x.fully:
            continue
        deeper = replace(x, H=x.H * 2)
        unit = "m" if x.si else "ft"
        by_hand = max(thicknesses(each, name)["required"] for each in (x, deeper))
        found = made(case(x, STATIONS.format(deeper.H, unit)), name)
        assert any(t == pytest.approx(by_hand, rel=1e-9) for t in found)
        seen += by_hand > thicknesses(x, name)["required"]
    assert seen >= 3


def test_the_lines_at_the_worst_station_are_compared():
    x = next(x for x in pipes(30, seed=4) if x.fully and not x.si)
    deeper = replace(x, H=x.H * 2)
    found = outcome(case(x, STATIONS.format(deeper.H, "ft")))
    lines = max((thicknesses(x), thicknesses(deeper)), key=lambda each: each["required"])
    assert found["q_t"] == pytest.approx(lines["q_t"], rel=1e-9)
    assert found["q_t"] != pytest.approx(thicknesses(x)["q_t"], rel=1e-3)


@pytest.mark.parametrize("units", ["US", "SI"])
def test_the_constant_of_the_other_units_is_found_in_a_sheet_of_either(units):
    """0.065 with metres is a slip of the submittal, whatever units the recheck is made in."""
    seen = 0
    for x in pipes(40, seed=6):
        right = thicknesses(x)["required"]
        slipped = thicknesses(x, "elastic-support-units")["required"]
        if abs(slipped / right - 1) < 1e-3:
            continue
        text = project(x, {"required_thickness": "5 mm"})
        (submittal,) = submittals(parse(text.encode(), "test.toml"), units)
        into = {("US", True): 1 / 25.4, ("SI", False): 25.4}.get((units, x.si), 1.0)
        ways = made(case_of(submittal.ours), "elastic-support-units")
        # The constants of the two systems are each rounded to three digits.
        assert any(t == pytest.approx(slipped * into, rel=5e-3) for t in ways), (x, ways)
        seen += x.si != (units == "SI")
    assert seen >= 3


def test_altered_calculations_run_together_as_each_alone():
    """Pairs as well: one row an alteration gives what the alteration gives by itself."""
    from itertools import combinations

    from linerdesign.methods.altered import outcomes

    for x in pipes(3, seed=8):
        of = case(x, STATIONS.format(x.H * 1.5, "m" if x.si else "ft"))
        made_ways = made_in(of)[::4]
        alterations = [(), *((each.change,) for each in made_ways)]
        alterations += [(one.change, other.change) for one, other in combinations(made_ways, 2)]
        together = outcomes(of, alterations)
        for row, alteration in enumerate(alterations):
            alone = outcomes(of, [alteration])
            assert together.valid[row] == alone.valid[0]
            if alone.valid[0]:
                assert together.row(row) == pytest.approx(alone.row(0), rel=1e-12)


def pressure_case():
    """A partially deteriorated pressure pipe, 12 in with a hole of 2 in, and its inputs."""
    from projects import toml

    pipe = {
        "condition": "partially deteriorated",
        "host_diameter": "12 in",
        "groundwater_above_invert": "1 ft",
        "internal_pressure": "120 psi",
        "hole_diameter": "2 in",
    }
    text = toml(pipe=pipe, resin={"tensile_strength": "3000 psi", "flexural_strength": "4500 psi"})
    text += '[pipe.stated]\nrequired_thickness = "5 mm"\n'
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    return case_of(submittal.ours)


@pytest.mark.parametrize(
    ("name", "key", "strengths"),
    [
        ("short-term-tensile-strength", "t_X1_7", [3000]),
        ("short-term-strength", "t_X1_6", [4500]),
        ("strength-of-other-kind", "t_X1_6", [1500, 3000]),
        ("strength-of-other-kind", "t_X1_7", [2250, 4500]),
    ],
)
def test_strengths_of_a_pressure_pipe_by_hand(name, key, strengths):
    """X1.6: D/(1 + D/d (5.33 sigma/(N P))^0.5); X1.7: D/(2 + 2 sigma/(N P)); 50 % retained."""
    of = pressure_case()
    ways = [each for each in made_in(of) if each.slip.name == name]
    found = [outcome(of, alteration=(each.change,))[key] for each in ways]
    for strength in strengths:
        if key == "t_X1_6":
            by_hand = 12 / (1 + 12 / 2 * (5.33 * strength / (2 * 120)) ** 0.5)
        else:
            by_hand = 12 / (2 + 2 * strength / (2 * 120))
        assert any(t == pytest.approx(by_hand, rel=1e-9) for t in found)


def test_errors_are_as_common_as_the_guide_says():
    guide = (Path(__file__).parents[3] / "docs" / "user_guide.md").read_text(encoding="utf-8")
    said = re.search(
        r"(\S+) are taken to have a common\s+error, (\S+) a usual, (\S+) a rare and (\S+) an",
        guide,
    )
    taken = (slips.COMMON, slips.USUAL, slips.RARE, slips.EXOTIC)
    assert [float(each) / 100 for each in said.groups()] == pytest.approx(taken)
    # To leave a governing check out ranks first among equals.
    assert max(taken) < slips.PLAINEST
