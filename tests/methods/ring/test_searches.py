"""The searches along a path and from wall to wall, on equilibria that are known beforehand.

The truss of `test_truss`, its path a polynomial; walls whose resistance is a power of their ratio.
"""

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from types import SimpleNamespace

import numpy as np
import pytest
from methods.ring.test_truss import AT_TOP, TOP, Truss, pressure
from numpy.polynomial import Polynomial

from linerdesign.methods.ring import lasting, solving, strength
from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.creep import Law, chain_of
from linerdesign.methods.ring.path import NoEquilibriumError, Path, Scale
from linerdesign.methods.ring.ring import Energies, State
from linerdesign.methods.ring.solving import (
    AT_CROWN,
    ATTEMPTS,
    Solution,
    _strayed,
    carried,
    limit_nearby,
    solve,
)
from linerdesign.methods.ring.strength import Demand, Limit, Reached, Trial


class Polynomially(Truss):
    """A truss whose pressure is any polynomial without a constant."""

    def __init__(self, pressure):
        self.pressure, self.energy = pressure, pressure.integ()

    def state(self, vector, p):
        x = vector[0]
        slope = self.pressure.deriv()(x)
        return State(np.array([self.pressure(x)]), np.array([-1.0]), np.array([[slope]]))

    def energies(self, vector):
        return Energies(self.energy(vector[0]), 0.0, 0.0, -vector[0])


# It rises to x = 0.1, falls a little to 0.2, rises to 0.4 and falls from there.
JUMP = -5.0 * Polynomial.fromroots([0.1, 0.2, 0.4]).integ()


@dataclass(frozen=True)
class TrussCase:
    elements: int = 10
    perfect: float = math.inf
    seen: float = 1.0
    glock: float = TOP
    pressures: Polynomial | None = None
    gap: float = 0.0
    thickness: float = 0.1
    unit: float = 1.0

    def ring(self):
        return Truss() if self.pressures is None else Polynomially(self.pressures)

    def path(self, longest=0.15):
        return Path(self.ring(), Scale(self.unit, self.glock), longest)

    def inward(self, ring, point):
        return self.seen * point.vector[0]


def test_a_path_is_followed_past_its_limit_point():
    found = solve(TrussCase())
    assert (found.stopped, found.snaps) == ("", ())
    assert found.limit.pressure == pytest.approx(TOP, rel=2e-4)
    assert found.before.vector[0] < AT_TOP < found.path.points[-1].vector[0]
    assert found.before in found.path.points
    assert found.rising[-1] is found.limit
    assert found.rising[-2] is found.before
    assert np.all(np.diff([each.vector[0] for each in found.rising[:-1]]) > 0)


def test_a_path_ends_where_a_fibre_is_too_weak_or_enough_is_known():
    """Compression is 0.1 x: 0.02 is reached at x = 0.2, before the limit point at 0.42."""
    weak = solve(TrussCase(), 0.02)
    last, previous = weak.path.points[-1], weak.path.points[-2]
    assert previous.vector[0] < 0.2 <= last.vector[0]
    assert (weak.limit, weak.stopped, weak.snaps) == (None, "", ())
    assert weak.before is last
    assert weak.rising == weak.path.points
    enough = solve(TrussCase(), None, lambda case, points: points[-1].vector[0] > 0.3)
    assert enough.path.points[-1].vector[0] > 0.3 >= enough.path.points[-2].vector[0]
    assert (enough.limit, enough.stopped) == (None, "")


def test_a_fibre_that_gives_way_just_past_the_limit_point_leaves_it_the_limit():
    """The first point past the limit may still have more pressure than the one before it."""
    case, tried = TrussCase(), 0
    for first in np.linspace(0.02, 0.15, 40):
        points = solving._attempt(case, None, None, 0.15, first).path.points
        place = next(i for i, each in enumerate(points) if each.pressure_rate < 0)
        if points[place].pressure > points[place - 1].pressure:
            tried += 1
            strength_there = 0.1 * float(points[place].vector[0])
            found = solving._attempt(case, strength_there, None, 0.15, first)
            assert len(found.path.points) == place + 1
            assert found.limit.pressure == pytest.approx(TOP, rel=2e-4)
    assert tried


def test_a_path_without_a_limit_point_says_so():
    """Half the host is as far as a crown can move: here at x = 0.08, long before the limit."""
    found = solve(TrussCase(seen=10.0))
    assert (found.limit, found.stopped) == (None, "no_limit")
    assert found.before is found.path.points[-1]
    # A pressure three times over Glock's is astray as well.
    astray = solve(TrussCase(glock=TOP / 4))
    assert (astray.limit, astray.stopped) == (None, "no_limit")
    assert astray.path.points[-1].pressure > 0.75 * TOP


def test_a_lower_limit_point_on_the_way_is_a_jump():
    """Peaks at x = 0.1 and 0.4; strength reached in between belongs to the pressure of the jump."""
    case = TrussCase(glock=JUMP(0.4), pressures=JUMP, unit=0.2)
    found = solve(case)
    assert found.stopped == ""
    assert found.limit.pressure == pytest.approx(JUMP(0.4), rel=2e-4)
    (jump,) = found.snaps
    assert jump == pytest.approx(JUMP(0.1), rel=0.02)
    passed = 0.1 * 0.21
    assert JUMP(0.21) < JUMP(0.1)
    point, under = found.point_at_stress(passed, 0)
    assert point.vector[0] == pytest.approx(0.21, rel=1e-3)
    assert under == jump
    assert found.pressure_at_stress(passed, 0) == jump
    # Past the level of the jump it is the pressure itself.
    point, under = found.point_at_stress(0.035, 0)
    assert under == point.pressure == pytest.approx(JUMP(0.35), rel=1e-3)


@pytest.mark.parametrize(
    ("case", "reason"),
    [
        (TrussCase(perfect=0.999 * TOP), "above_perfect"),
        (TrussCase(perfect=1.001 * TOP), ""),
        # The crown must move in by half of the farthest movement at least.
        (TrussCase(seen=0.4995), "left_path"),
        (TrussCase(seen=0.5005), ""),
    ],
)
def test_a_limit_point_that_is_not_that_of_the_path_is_refused(case, reason):
    found = solving._attempt(case, None, None, *ATTEMPTS[0])
    assert found.limit.pressure == pytest.approx(TOP, rel=2e-4)
    assert found.stopped == reason


def test_a_path_unstable_before_its_limit_is_refused(monkeypatch):
    monkeypatch.setattr(Path, "unstable_directions", lambda path, point: 1)
    assert solving._attempt(TrussCase(), None, None, *ATTEMPTS[0]).stopped == "left_path"


@pytest.mark.parametrize("sound", [0, 2, len(ATTEMPTS), None])
def test_a_lost_path_is_followed_in_other_steps_then_with_other_elements(monkeypatch, sound):
    tried = []

    def attempt(case, strength, enough, longest, first):
        tried.append((case.elements, longest, first))
        assert (strength, enough) == (0.1, max)
        stopped = "" if len(tried) - 1 == sound else f"lost {len(tried)}"
        return Solution(case, None, None, None, (), stopped)

    monkeypatch.setattr(solving, "_attempt", attempt)
    found = solve(TrussCase(), 0.1, max)
    every = [*((10, *steps) for steps in ATTEMPTS), (30, *ATTEMPTS[0])]
    assert tried == (every if sound is None else every[: sound + 1])
    # Where all are lost, the first says why.
    assert found.stopped == ("lost 1" if sound is None else "")


def test_what_is_reached_below_the_first_point_grows_with_the_pressure():
    points = solve(TrussCase()).path.points[2:]
    path = Path(Truss(), Scale(1.0, TOP))
    path.points = points
    found = Solution(TrussCase(), path, None, None, (), "")
    x, p = points[0].vector[0], points[0].pressure
    assert found.pressure_at_stress(0.05 * x, 0) == pytest.approx(0.5 * p)
    assert found.pressure_at_stress(0.01 * x, 1) == pytest.approx(0.25 * p)
    with pytest.raises(NoEquilibriumError, match="below the first step"):
        found.point_at_stress(0.05 * x, 0)


def test_few_equilibria_are_worked_out_on_the_way_to_a_limit_or_a_level(monkeypatch):
    """Where the end tangents meet tells how far off the summit still is; a level by the secant."""
    tried = []
    sound = Path._converged

    def counted(path, *about):
        tried.append(about)
        return sound(path, *about)

    counts = []
    for first in np.linspace(0.02, 0.15, 20):
        with monkeypatch.context() as patched:
            path = TrussCase().path()
            path.start()
            path.follow(lambda points: points[-1].pressure_rate < 0, first)
            patched.setattr(Path, "_converged", counted)
            tried.clear()
            found = path.limit_between(*path.points[-2:])
            assert found.pressure == pytest.approx(TOP, rel=2e-4)
            counts.append(len(tried))
    assert max(counts) <= 4
    assert sum(counts) <= 60
    monkeypatch.setattr(Path, "_converged", counted)
    tried.clear()
    before, after = path.points[1], path.points[-3]
    level = path.crossing(before, after, lambda at: at.vector[0] / 0.2 - 1)
    assert len(tried) <= 7
    assert level.vector[0] == pytest.approx(0.2, rel=1e-4)


# From wall to wall


def test_a_point_is_carried_over_in_more_steps_where_one_is_too_far(monkeypatch):
    """Steps of over 12 in the ratio fail here: halves of 40 do, quarters don't."""
    one = Case(40.0, 0.0, 0.02, 0.01, 0.3)
    other = Case(80.0, 0.01, 0.04, 0.03, 0.4, elements=one.elements)
    steps = []

    def settled(last, found, here):
        steps.append((last, here))
        return here, found + 1

    def find(path, point):
        last, here = steps[-1]
        if abs(here.dimension_ratio - last.dimension_ratio) > most:
            raise NoEquilibriumError
        return point

    monkeypatch.setattr(solving, "_settled", settled)
    for most, ratios in (
        (40.0, [80.0]),
        (20.0, [80.0, 60.0, 80.0]),
        (12.0, [80.0, 60.0, 50.0, 60.0, 70.0, 80.0]),
    ):
        steps.clear()
        assert carried(one, 0, other, find) == {40.0: 1, 20.0: 2, 12.0: 4}[most]
        assert [here.dimension_ratio for _, here in steps] == ratios
    for (_, before), (last, _) in pairwise(steps[2:]):
        assert last is before
    quarter = steps[2][1]
    assert (quarter.gap, quarter.ovality, quarter.imperfection) == pytest.approx(
        (0.0025, 0.025, 0.015)
    )
    assert quarter.poisson == 0.4
    assert steps[-1][1] is other
    most = 9.0
    with pytest.raises(NoEquilibriumError):
        carried(one, 0, other, find)


def test_a_limit_that_can_not_be_carried_over_is_found_anew(monkeypatch):
    def lost(*about):
        raise NoEquilibriumError

    monkeypatch.setattr(solving, "carried", lost)
    for limit, stopped in (("anew", ""), (None, ""), ("anew", "lost")):
        found = SimpleNamespace(limit=limit, stopped=stopped)
        monkeypatch.setattr(solving, "solve", lambda case, found=found: found)
        if limit and not stopped:
            assert limit_nearby(None, None, Case(40.0)) == "anew"
        else:
            with pytest.raises(NoEquilibriumError):
                limit_nearby(None, None, Case(40.0))
    monkeypatch.setattr(solving, "carried", lambda *about: about)
    one, other = Case(40.0), Case(50.0)
    assert limit_nearby(one, "limit", other) == (one, "limit", other, Path.limit_near)


def resisting(factor=1.0):
    """A wall of DR 40 whose limit is reached under (DR/40)^-2.2, and what carries it over."""
    strides = []

    def carry(known, point, case, find):
        strides.append(math.log(case.dimension_ratio / known.dimension_ratio))
        return SimpleNamespace(pressure=(case.dimension_ratio / 40.0) ** -2.2)

    reached = Reached(Limit.COMPRESSION, factor, SimpleNamespace(pressure=1.0), factor, 0.1)
    return reached, carry, strides


ENDS = (math.log(10.0), math.log(150.0))


@pytest.mark.parametrize("wanted", [0.3, 0.99, 1.0, 1.8, 9.0])
def test_the_limit_is_followed_to_the_wall_that_is_wanted(monkeypatch, wanted):
    reached, carry, strides = resisting(2.0)
    monkeypatch.setattr(strength, "carried", carry)
    found = strength.followed(Case(40.0), reached, 2.0 * wanted, ENDS)
    ratio = 40.0 * wanted ** (-1 / 2.2)
    assert found.case.dimension_ratio == pytest.approx(ratio, rel=1e-5)
    assert found.reached.pressure == pytest.approx(2.0 * wanted, rel=1e-5)
    assert (found.reached.limit, found.reached.factor) == (Limit.COMPRESSION, 2.0)
    assert found.reached.level == 0.1
    assert max(map(abs, strides), default=0.0) <= 0.35 + 1e-9
    assert len(strides) <= 6


@pytest.mark.parametrize(("wanted", "end"), [(1e-3, 150.0), (1e3, 10.0)])
def test_the_limit_is_followed_to_the_end_of_the_range_and_no_further(monkeypatch, wanted, end):
    reached, carry, strides = resisting()
    monkeypatch.setattr(strength, "carried", carry)
    found = strength.followed(Case(40.0), reached, wanted, ENDS)
    assert (found.case.dimension_ratio, found.reached) == (end, None)
    assert sum(strides) == pytest.approx(math.log(end / 40.0))


def test_a_wall_that_resists_a_little_more_though_thinner_is_still_made_thinner(monkeypatch):
    """Logarithm of the resistance over what is wanted: it rises from 0.2 by 0.45 x to x = 0.15 and
    falls by 3 x from there: none is left at x = 0.15 + 0.2675/3."""

    def carry(known, point, case, find):
        x = math.log(case.dimension_ratio / 40.0)
        off = 0.2 + 0.45 * x if x < 0.15 else 0.2675 - 3.0 * (x - 0.15)
        return SimpleNamespace(pressure=math.exp(off))

    monkeypatch.setattr(strength, "carried", carry)
    start = Reached(Limit.STABILITY, math.exp(0.2), SimpleNamespace(pressure=math.exp(0.2)))
    found = strength.followed(Case(40.0), start, 1.0, ENDS)
    assert found.reached is not None
    ratio = 40.0 * math.exp(0.15 + 0.2675 / 3.0)
    assert found.case.dimension_ratio == pytest.approx(ratio, rel=1e-5)


def test_a_limit_that_is_lost_on_the_way_leaves_the_wall_where_it_was_sought(monkeypatch):
    def lost(known, point, case, find):
        raise NoEquilibriumError

    monkeypatch.setattr(strength, "carried", lost)
    found = strength.followed(Case(40.0), resisting()[0], 1.2, ENDS)
    # The first step goes by a slope of -1.8.
    assert found.reached is None
    assert found.case.dimension_ratio == pytest.approx(40.0 * 1.2 ** (-1 / 1.8))


def test_a_wall_is_found_where_its_limit_governs_else_solved_anew(monkeypatch):
    """N times the pressure is wanted; a wall at an end of the range is that end, or none."""
    demand, known = Demand(0.5, 2.0, 0.1), SimpleNamespace(case=Case(40.0))
    reached = Reached(Limit.TENSION, 3.0, None)
    monkeypatch.setattr(strength, "resistance", lambda solution, demand: reached)
    asked = []

    def followed(case, found, wanted, ends):
        asked.append((case.dimension_ratio, found, wanted, ends))
        return Trial(Case(case.dimension_ratio + 5.0), found)

    monkeypatch.setattr(strength, "followed", followed)

    def governs(trial, solution, there, wanted):
        assert (there, wanted) == (reached, demand)
        assert trial.case.dimension_ratio == solution.case.dimension_ratio + 5.0
        return trial.case.dimension_ratio > 48

    monkeypatch.setattr(strength, "_governs", governs)
    solved = []

    def solve_anew(case, stress, enough):
        solved.append((case.dimension_ratio, stress, enough))
        return SimpleNamespace(case=case)

    monkeypatch.setattr(strength, "solve", solve_anew)
    found = strength.required_ratio(known, demand, 10.0, 150.0)
    assert (found.dimension_ratio, found.limit) == (50.0, Limit.TENSION)
    assert asked == [(40.0, reached, 1.0, ENDS), (45.0, reached, 1.0, ENDS)]
    assert solved == [(45.0, 0.1, None)]
    close = Demand(1.5 * (1 + 5e-6), 2.0, 0.1)
    found = strength.required_ratio(known, close, 10.0, 150.0)
    assert (found.dimension_ratio, found.limit) == (40.0, Limit.TENSION)
    at_end = strength.required_ratio(known, demand, 10.0, 40.0)
    assert (at_end.dimension_ratio, at_end.limit) == (40.0, None)
    too_thin = strength.required_ratio(known, Demand(50.0, 2.0, 0.1), 40.0, 150.0)
    assert (too_thin.dimension_ratio, too_thin.limit) == (None, None)
    monkeypatch.setattr(strength, "_governs", lambda *about: False)
    with pytest.raises(NoEquilibriumError):
        strength.required_ratio(known, demand, 10.0, 150.0)


def test_what_is_allowed_at_a_point_has_its_factor_and_a_hair():
    """Stress 0.1 x, movement x; 2e-5 over are allowed to the search."""
    case = TrussCase()

    def holds(x, factor, stress=None, deflection=None):
        point = SimpleNamespace(vector=np.array([x]), pressure=0.0)
        return strength._holds(case, point, Demand(1.0, 2.0, stress, deflection), factor)

    assert holds(0.5, 2.0)
    assert holds(0.2 * (1 + 1e-5), 1.0, stress=0.02)
    assert not holds(0.2 * (1 + 3e-5), 1.0, stress=0.02)
    assert holds(0.1 * (1 + 1e-5), 2.0, stress=0.02)
    assert not holds(0.1 * (1 + 3e-5), 2.0, stress=0.02)
    assert holds(0.3 * (1 + 1e-5), 2.0, deflection=0.3)
    assert not holds(0.3 * (1 + 3e-5), 2.0, deflection=0.3)
    # Deflection counts under the design pressure alone, where the resistance has the factor N.
    assert holds(0.4, 1.0, deflection=0.3)
    assert holds(0.05, 2.0, stress=0.02, deflection=0.06)
    assert not holds(0.07, 2.0, stress=0.02, deflection=0.06)


@pytest.mark.parametrize(
    ("changed", "governs"),
    [
        ({}, True),
        ({"snaps": (1.0,)}, False),
        ({"unstable": 1}, False),
        ({"meshed": 1.0199}, True),
        ({"meshed": 0.9801}, True),
        ({"meshed": 1.0201}, False),
        ({"meshed": 0.9799}, False),
        ({"meshed": None}, False),
        ({"holds": {1.0}}, False),
        ({"holds": {2.0}}, False),
        ({"reached": None}, False),
    ],
)
def test_a_limit_governs_where_nothing_speaks_against_it(monkeypatch, changed, governs):
    """Stable, without a jump, the same with half the elements to 2 %, and all else allowed."""
    point = SimpleNamespace(pressure=4.0)
    reached = Reached(Limit.STABILITY, 4.0, point)
    path = SimpleNamespace(unstable_directions=lambda at: changed.get("unstable", 0))
    case = SimpleNamespace(path=lambda: path)

    def meshed(wall, found):
        assert (wall, found) == (case, reached)
        share = changed.get("meshed", 1.0)
        if share is None:
            raise NoEquilibriumError
        return 4.0 * share

    monkeypatch.setattr(strength, "meshed", meshed)
    monkeypatch.setattr(strength, "_under", lambda *about: about)
    asked = []

    def holds(wall, about, demand, factor):
        asked.append((about, factor))
        return factor in changed.get("holds", {1.0, 2.0})

    monkeypatch.setattr(strength, "_holds", holds)
    known, there = SimpleNamespace(snaps=changed.get("snaps", ())), "there"
    trial = Trial(case, changed.get("reached", reached))
    assert strength._governs(trial, known, there, Demand(1.0, 2.0, 0.1)) is governs
    for about, factor in asked:
        assert about == (case, reached, factor, known, there)
    if governs:
        assert {factor for _, factor in asked} == {1.0, 2.0}


def test_the_same_limit_is_sought_with_half_the_elements(monkeypatch):
    def carry(known, point, case, find):
        assert (known, point) == (Case(40.0, elements=80), "here")
        return SimpleNamespace(pressure=float(case.elements))

    monkeypatch.setattr(strength, "carried", carry)
    assert strength.meshed(Case(40.0, elements=80), Reached(Limit.TENSION, 1.0, "here")) == 40.0


def test_the_equilibrium_under_less_pressure_is_like_that_of_the_known_wall(monkeypatch):
    """Sought under the pressure over the factor, from where the known wall has that share."""
    known = solve(TrussCase())
    monkeypatch.setattr(strength, "moved", lambda old, vector, new: vector)
    reached = Reached(Limit.STABILITY, 0.9 * TOP, known.limit)
    there = Reached(Limit.STABILITY, known.limit.pressure, known.limit)
    assert strength._under(TrussCase(), reached, 1.0, known, there) is known.limit
    found = strength._under(TrussCase(), reached, 2.0, known, there)
    assert found.pressure == pytest.approx(0.45 * TOP)
    assert found.vector[0] == pytest.approx(
        min(root.real for root in (Polynomial([0, 2, -3, 1]) - 0.45 * TOP).roots()), rel=1e-4
    )
    # Not found there, it is sought along the path.
    lost = SimpleNamespace(case=None, point_at_pressure=lambda pressure: None)
    along = strength._under(TrussCase(), reached, 2.0, lost, there)
    assert pressure(along.vector[0]) == pytest.approx(0.45 * TOP, rel=1e-4)
    assert along.vector[0] == pytest.approx(found.vector[0], rel=1e-3)


def test_the_same_limit_is_found_on_another_path_by_its_level():
    """Compression 0.1 x of 0.03 at x = 0.3; a limit point by itself."""
    path = solve(TrussCase()).path
    stressed = strength._finder(Reached(Limit.COMPRESSION, 1.0, None, 1.0, 0.03), TrussCase())
    assert stressed(path, path.points[4]).vector[0] == pytest.approx(0.3, rel=1e-4)
    moved = strength._finder(Reached(Limit.DEFLECTION, 1.0, None, 2.0, 0.25), TrussCase())
    assert moved(path, path.points[4]).vector[0] == pytest.approx(0.25, rel=1e-4)
    limit = strength._finder(Reached(Limit.STABILITY, 1.0, None), TrussCase())
    assert limit(path, path.points[4]).pressure == pytest.approx(TOP, rel=2e-4)


# In time


def test_the_pressure_that_lasts_a_life_is_found_on_a_line_of_logarithms(monkeypatch):
    """Collapse after life (p/0.35)^-12, so that 0.35 lasts the life; ln(time) to 0.02."""
    law, tried = Law(), []
    known = SimpleNamespace(limit=SimpleNamespace(pressure=0.6))

    def held(solution, p, asked, until, growth):
        tried.append(p)
        assert (solution, asked, until, growth) == (known, law, None, 0.01)
        late = -12.0 * math.log(p / 0.35)
        return SimpleNamespace(collapse=None if late > 2.2 else law.life * math.exp(late))

    monkeypatch.setattr(lasting, "held", held)
    found = lasting.lasting_pressure(known, law, 0.01)
    assert found == pytest.approx(0.35, rel=0.02 / 12)
    assert found == tried[-1]
    assert tried[0] == pytest.approx(0.6 * law.retention)
    assert len(tried) <= 3


def test_a_wall_that_holds_for_ever_or_collapses_early_is_halved_to(monkeypatch):
    known = SimpleNamespace(limit=SimpleNamespace(pressure=0.6))

    def held(solution, p, law, until, growth):
        return SimpleNamespace(collapse=None if p < 0.37 else 0.0)

    monkeypatch.setattr(lasting, "held", held)
    assert lasting.lasting_pressure(known, Law()) == pytest.approx(0.37, rel=1e-3)


def test_the_change_of_a_step_is_that_of_the_fibres_over_their_greatest_stress():
    """By hand: 0.3 of 2.0 in the first row, 0.1 of 0.5 in the second; shear does not count."""
    now = SimpleNamespace(memory=SimpleNamespace(stress=np.array([[1.0, -1.7], [0.4, 0], [0, 0]])))
    new = np.array([[1.1, -2.0], [0.5, 0], [9.0, 0]])
    found = SimpleNamespace(memory=SimpleNamespace(stress=new))
    assert lasting._change(now, found) == pytest.approx(0.2)
    new[0, 1] = -2.5
    assert lasting._change(now, found) == pytest.approx(0.32)


def test_the_chain_is_the_nearest_to_its_law_in_shares_of_it():
    """Of chains with its times: no compliance a little more or less comes nearer, in the squares
    of the misses over the law at times from a hundredth of t0 on."""
    law = Law(retention=0.4)
    chain = chain_of(law)
    times = np.geomspace(0.01 * law.t0, 10 * law.life, 3000)

    def missed(compliances):
        reached = replace(chain, compliances=compliances).compliance(times)
        return np.sum((reached / law.compliance(times) - 1) ** 2)

    least = missed(chain.compliances)
    for place in range(len(chain.compliances)):
        for share in (0.98, 1.02):
            changed = chain.compliances.copy()
            changed[place] *= share
            assert missed(changed) > least


def test_half_the_strength_decides_where_stress_grows_slower_than_the_pressure():
    """p = 0.1 x + x^2 - x^3: 0.052 at the strength, x = 0.2; at half of it 0.019, which twice is
    less."""
    convex = Polynomial([0.0, 0.1, 1.0, -1.0])
    found = solve(TrussCase(glock=0.2, pressures=convex))
    reached = strength.resistance(found, Demand(0.01, 2.0, 0.02))
    assert (reached.limit, reached.factor, reached.level) == (Limit.COMPRESSION, 2.0, 0.01)
    assert reached.pressure == pytest.approx(2 * convex(0.1), rel=1e-3)
    assert reached.point.vector[0] == pytest.approx(0.1, rel=1e-3)


# One step


def test_the_guesses_of_a_point_between_two_neighbours_are_near_it(monkeypatch):
    """By the cubic of both: off by the fourth power of the step, under a hundredth of it."""
    path = solve(TrussCase()).path
    before, after = path.points[5], path.points[6]
    span = path._distance(before, after)
    guesses = []
    sound = Path._converged

    def guessed(path, vector, pressure, *about):
        guesses.append((vector[0], pressure))
        return sound(path, vector, pressure, *about)

    monkeypatch.setattr(Path, "_converged", guessed)
    middle = path._between(before, after, 0.4 * span, span)
    assert len(guesses) == 1
    off = math.hypot(guesses[0][0] - middle.vector[0], (guesses[0][1] - middle.pressure) / TOP)
    assert off < 0.01 * span
    guesses.clear()
    wanted = before.pressure + 0.3 * (after.pressure - before.pressure)
    found = path.at_pressure(before, after, wanted)
    assert len(guesses) == 1
    assert guesses[0][1] == wanted
    assert guesses[0][0] == pytest.approx(found.vector[0], abs=0.02 * span)

    def lost(path, vector, pressure):
        raise NoEquilibriumError

    monkeypatch.setattr(Path, "under", lost)
    anew = path.at_pressure(before, after, wanted)
    assert anew.vector[0] == pytest.approx(found.vector[0], rel=1e-4)


def test_a_ring_that_touches_nothing_steps_to_just_behind_the_wall(monkeypatch):
    """The wall at x = 0.3: no step goes past it by more than the bend of the path in one step."""
    monkeypatch.setattr(Truss, "deepest", lambda ring, vector: vector[0] - 0.3)
    path = TrussCase().path()
    path.start()
    path.follow(lambda points: points[-1].vector[0] > 0.35, 0.01)
    x = [each.vector[0] for each in path.points]
    (first,) = (here for before, here in pairwise(x) if before < 0.3 <= here)
    assert 0.3 < first < 0.33


@pytest.mark.parametrize(("stiffness", "ways"), [(-1.005, 1), (-0.995, 0), (1.0, 0)])
def test_a_direction_counts_as_unstable_from_a_slack_on(stiffness, ways):
    """0.3 t^3/12 over the mean length of a node, here 0.2: t = 0.5 gives 0.000625."""

    class Slack(Truss):
        thickness = 0.5
        tributary = np.array([0.1, 0.3])

        def state(self, vector, p):
            matrix = np.array([[stiffness * 0.3 * 0.125 / 12 * 0.2]])
            return State(np.zeros(1), np.zeros(1), matrix)

    point = SimpleNamespace(vector=np.zeros(1), pressure=0.0)
    assert Path(Slack(), Scale(1.0, 1.0)).unstable_directions(point) == ways


def test_a_level_or_a_pressure_is_sought_between_the_two_points_about_it(monkeypatch):
    solution = solve(TrussCase())
    rising, sought = solution.rising, []
    for name in ("crossing", "at_pressure"):
        sound = getattr(Path, name)

        def spied(path, before, after, what, sound=sound):
            sought.append((before, after))
            return sound(path, before, after, what)

        monkeypatch.setattr(Path, name, spied)
    # Two places of no point: a quarter of the way from the third and the seventh to the next.
    for place in (3, 7):
        x = 0.75 * rising[place].vector[0] + 0.25 * rising[place + 1].vector[0]
        for find, what in (
            (lambda stress: solution.point_at_stress(stress, 0), 0.1 * x),
            (solution.point_at_pressure, pressure(x)),
            (lambda x: strength.deflected(solution, Demand(0.1, 2.0, None, x)), x),
        ):
            sought.clear()
            assert find(float(what)) is not None
            assert sought == [(rising[place], rising[place + 1])]


class Held:
    """A wall whose stress grows evenly in the logarithm of time: a change of 0.5 a decade."""

    def __init__(self, collapse=math.inf, jump=None):
        self.collapse, self.jump, self.tried = collapse, jump, []

    def after(self, now, step, shrinkage):
        self.tried.append((now.time, step))
        time = now.time + step
        return None if time > self.collapse else SimpleNamespace(time=time)

    def change(self, now, found):
        return 0.5 * math.log10((found.time + 1.0) / (now.time + 1.0))

    def jumped(self, case, now, step, shrinkage):
        if self.jump is None:
            return None
        self.collapse = math.inf
        return SimpleNamespace(time=now.time + step)


@pytest.fixture
def wall(monkeypatch):
    """What `held` makes of such a wall: times at which it holds, and when it does not."""

    def take(made, until=None):
        known = SimpleNamespace(
            case="case",
            path=SimpleNamespace(ring=SimpleNamespace(strains=lambda vector: np.zeros((3, 1)))),
            point_at_pressure=lambda p: None if p > 1.0 else SimpleNamespace(vector=None),
        )
        monkeypatch.setattr(lasting, "_after", made.after)
        monkeypatch.setattr(lasting, "_change", made.change)
        monkeypatch.setattr(lasting, "_jumped", made.jumped)
        monkeypatch.setattr(lasting, "_record", lambda case, moments, end: (case, moments, end))
        _, moments, end = lasting.held(known, 0.5, Law(life=1000.0), until)
        assert lasting.held(known, 1.1, Law(), until) == ("case", [], 0.0)
        return [each.time for each in moments], end

    return take


def test_a_wall_is_followed_to_the_end_in_steps_of_little_change(wall):
    for until, last in ((500.0, 500.0), (None, 1000.0 * lasting.FARTHEST)):
        times, end = wall(Held(), until)
        assert end is None
        assert times[0] == 0.0
        assert times[-1] == pytest.approx(last)
        changes = 0.5 * np.diff(np.log10(np.array(times) + 1.0))
        assert np.all(changes <= 0.2)
        # Few steps are much shorter than they need be.
        assert len(times) < 60


def test_the_time_of_a_collapse_is_told_to_half_a_percent(wall):
    times, end = wall(Held(collapse=321.0))
    assert times[-1] <= 321.0
    assert end == pytest.approx(321.0, rel=0.01)


def test_a_jump_that_the_wall_survives_goes_on_from_there(wall):
    times, end = wall(Held(collapse=321.0, jump=True), 900.0)
    assert end is None
    assert times[-1] == pytest.approx(900.0)
    after = next(time for time in times if time > 321.0)
    assert after == pytest.approx(321.0, rel=0.01)


def test_a_path_that_does_not_begin_or_whose_limit_is_unclear_says_so(monkeypatch):
    def lost(path, *about):
        raise NoEquilibriumError

    case = TrussCase()
    with monkeypatch.context() as patched:
        patched.setattr(Path, "limit_between", lost)
        unclear = solving._attempt(case, None, None, *ATTEMPTS[0])
    assert (unclear.case, unclear.limit, unclear.snaps) == (case, None, ())
    assert unclear.stopped == "limit_unclear"
    assert unclear.before.vector[0] < AT_TOP
    monkeypatch.setattr(Path, "start", lost)
    none = solving._attempt(case, None, None, *ATTEMPTS[0])
    assert (none.case, none.limit, none.before, none.snaps) == (case, None, None, ())
    assert none.stopped == "no_equilibrium"
    assert none.path.points == []


def test_strength_reached_after_a_jump_leaves_no_limit_but_the_jump():
    """Past x = 0.2 the path rises again; 0.1 x reaches 0.035 above the pressure of the jump."""
    case = TrussCase(glock=JUMP(0.4), pressures=JUMP, unit=0.2)
    found = solve(case, 0.035)
    assert (found.limit, found.stopped) == (None, "")
    assert found.before is found.path.points[-1]
    (jump,) = found.snaps
    assert jump == pytest.approx(JUMP(0.1), rel=0.02)
    # Reached in the dip, the jump itself is the limit.
    early = solve(case, 0.021)
    assert early.limit.pressure == pytest.approx(JUMP(0.1), rel=1e-3)
    assert early.snaps == ()


def jumped(monkeypatch, case, x=0.0986):
    """Where a wall just before its first limit point comes to rest."""
    path = case.path()
    path.start()
    under = pressure(x) if case.pressures is None else case.pressures(x)
    point = path.under(np.array([x]), under)
    now = lasting._Moment(5.0, path, point, None)
    monkeypatch.setattr(lasting, "_after", lambda now, step, shrinkage: (now, step, shrinkage))
    return now, lasting._jumped(case, now, 2.0, "shrinkage")


def test_a_wall_that_jumps_comes_to_rest_where_the_path_has_its_pressure_again(monkeypatch):
    """The third place of that pressure, on the branch that rises to x = 0.4."""
    case = TrussCase(glock=JUMP(0.4), pressures=JUMP, unit=0.2)
    before, (now, step, shrinkage) = jumped(monkeypatch, case)
    rest = sorted(root.real for root in (JUMP - JUMP(0.0986)).roots() if not root.imag)[2]
    assert 0.2 < rest < 0.4
    assert now.point.vector[0] == pytest.approx(rest, rel=1e-3)
    assert now.point.pressure == pytest.approx(before.point.pressure, rel=1e-4)
    assert (now.time, now.path, step, shrinkage) == (5.0, before.path, 2.0, "shrinkage")


def test_a_wall_that_finds_no_rest_has_collapsed(monkeypatch):
    """The truss of one limit point falls to half its pressure and less; a crown that moves in by
    0.8 of the radius ends it, too, and so does a path that is lost."""
    assert jumped(monkeypatch, TrussCase(), AT_TOP - 0.004)[1] is None
    far = TrussCase(glock=JUMP(0.4), pressures=JUMP, unit=0.2, seen=4.0)
    assert jumped(monkeypatch, far)[1] is None
    near = TrussCase(glock=JUMP(0.4), pressures=JUMP, unit=0.2, seen=2.0)
    assert jumped(monkeypatch, near)[1] is not None

    def lost(path, *about):
        raise NoEquilibriumError

    monkeypatch.setattr(Path, "crossing", lost)
    assert jumped(monkeypatch, near)[1] is None
    monkeypatch.setattr(Path, "follow", lambda path, until: "branches")
    assert jumped(monkeypatch, near)[1] is None


def test_a_limit_point_whose_greatest_movement_is_not_at_the_crown_is_that_of_another_path():
    """The crown moves in by a share of what the farthest node moves: 1 here, the other 0.2."""
    limit = SimpleNamespace(vector=None, pressure=1.0)
    spread = np.array([[0.0, 1.0, 9.0], [0.2, 0.0, 9.0]])
    path = SimpleNamespace(
        ring=SimpleNamespace(numbers=SimpleNamespace(spread=lambda vector: spread)),
        unstable_directions=lambda before: 0,
    )
    for share, code in ((1.001, ""), (0.999, "left_path")):
        case = SimpleNamespace(inward=lambda *about, at=share: at * AT_CROWN, perfect=1.0)
        assert _strayed(case, path, None, limit) == code
