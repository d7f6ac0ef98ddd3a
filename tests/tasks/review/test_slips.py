"""Each slip, made in the package's lines, gives what the hand calculation with that slip gives."""

import random
from dataclasses import replace

import pytest
from by_hand import SLIPS, project, random_pipe, thicknesses

from linerdesign.project.reading import parse
from linerdesign.tasks.review.case import case_of, outcome
from linerdesign.tasks.review.slips import slips_of
from linerdesign.tasks.review.submittal import submittals

STATIONS = '[[pipe.station]]\nat = "0 ft"\n[[pipe.station]]\nat = "80 ft"\ncover = "{} {}"\n'


def case(x, stations=""):
    text = project(x, {"required_thickness": "5 mm"}) + stations
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    return case_of(submittal.ours)


def made(case, name):
    """The thickness required with the slip, in each way that people make it."""
    (slip,) = [slip for slip in slips_of(case) if slip.name == name]
    changed = [way(case) for way in slip.ways]
    found = [outcome(each) for each in changed if each is not None]
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
