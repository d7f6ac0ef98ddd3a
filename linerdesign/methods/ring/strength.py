"""Strength of a liner beside its stability, and the thickness at which both hold.

Pressures, stresses and strengths are over E*; lengths over D/2. The wall is elastic: a pressure at
first strength is where the stress of one fibre reaches the strength.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise

from linerdesign.methods.ring.case import Case, moved
from linerdesign.methods.ring.path import NoEquilibriumError, Path, Point
from linerdesign.methods.ring.solving import (
    Enough,
    Finder,
    Solution,
    carried,
    greatest_stresses,
    solve,
)

FALLEN = 0.95
"""Share of the greatest pressure to which it must fall for a liner to have collapsed or jumped."""


class Limit(StrEnum):
    """What ends the resistance of a liner to external pressure."""

    STABILITY = "stability"
    COMPRESSION = "strength in compression"
    TENSION = "strength in tension"
    DEFLECTION = "deflection"
    NONE = "none up to the greatest pressure tried"


@dataclass(frozen=True)
class Strength:
    """How a liner meets a strength on its way to collapse.

    `compression` and `tension` are the pressures at which an outer or inner fibre first reaches
    the strength, None where collapse comes first. `at_design` is the greatest stress of a fibre
    under the design pressure, None above collapse, `at_collapse` that at the limit point.
    """

    compression: float | None
    tension: float | None
    at_design: float | None
    at_collapse: float

    @property
    def first(self) -> float | None:
        """Pressure of first strength; None where collapse comes first."""
        return min(
            (each for each in (self.compression, self.tension) if each is not None), default=None
        )


def strength_of(solution: Solution, strength: float, pressure: float) -> Strength:
    """How the liner of `solution` meets `strength`, and its stress under `pressure`.

    Raises:
        NoEquilibriumError: where a point in between could not be found.
    """
    return Strength(
        compression=_pressure(solution, strength, 0),
        tension=_pressure(solution, strength, 1),
        at_design=_stress_under(solution, pressure),
        at_collapse=float(solution.stresses[-1].max()),
    )


def _stress_under(solution: Solution, pressure: float) -> float | None:
    if pressure <= 0.0:
        return 0.0
    point = solution.point_at_pressure(pressure)
    return max(solution.greatest_stresses(point)) if point else None


def _pressure(solution: Solution, stress: float, kind: int) -> float | None:
    found = solution.point_at_stress(stress, kind)
    return None if found is None else found[1]


@dataclass(frozen=True)
class Demand:
    """What a thickness must provide: at a design pressure, with safety factor N in stability and
    in strength. `strength` is None where only stability is required; `deflection` is the greatest
    inward movement under the design pressure, None where none is stated. Beyond `most` times N the
    design pressure nothing more is required."""

    pressure: float
    safety_factor: float
    strength: float | None
    deflection: float | None = None
    most: float = math.inf

    @property
    def factors(self) -> set[float]:
        """Factors by which the pressure is less where stress and deflection are to be looked at."""
        if self.strength is not None:
            return {1.0, self.safety_factor}
        return set() if self.deflection is None else {self.safety_factor}

    @property
    def enough(self) -> Enough | None:
        """Tells of a path whether it has come to a fall of the pressure, or to N times the pressure
        at the limit of deflection; None where there is no such limit."""
        allowed = self.deflection
        if allowed is None:
            return None

        def passed(case: Case, points: list[Point]) -> bool:
            last, inward = points[-1], case.inward(case.ring(), points[-1])
            top = max(point.pressure for point in points)
            if last.pressure > self.most * self.safety_factor * self.pressure:
                return True
            if last.pressure < FALLEN * top and inward > case.gap + 0.5 * case.thickness:
                return True
            if inward < allowed:
                return False
            first = next(each for each in points if case.inward(case.ring(), each) >= allowed)
            return last.pressure > self.safety_factor * first.pressure

        return passed


@dataclass(frozen=True)
class Reached:
    """A limit reached: its pressure times its factor, and the point of the path.

    `level` is the stress that a fibre has there, or the inward movement of the wall; None at a
    limit point.
    """

    limit: Limit
    pressure: float
    point: Point
    factor: float = 1.0
    level: float | None = None


KINDS = (Limit.COMPRESSION, Limit.TENSION)


def level_at(limit: Limit, case: Case, path: Path, point: Point) -> float:
    """What a limit is set on: the greatest stress of its kind, or the inward movement."""
    if limit is Limit.DEFLECTION:
        return case.inward(path.ring, point)
    return greatest_stresses(path, point)[KINDS.index(limit)]


def resistance(solution: Solution, demand: Demand) -> Reached:
    """The limit with the least pressure, which is to be N times the design pressure.

    The limits are collapse, first strength, and N times the pressure at which a fibre reaches 1/N
    of the strength: so both the load and the stress have the factor. N times the pressure at the
    limit of deflection is one where there is such a limit.

    Raises:
        NoEquilibriumError: where the path ends before any of them.
    """
    found = _stressed(solution, demand) if demand.strength is not None else []
    found += deflected(solution, demand)
    if solution.limit is not None and not solution.stopped:
        found.append(Reached(Limit.STABILITY, solution.limit.pressure, solution.limit))
    if not found:
        raise NoEquilibriumError
    return min(found, key=lambda each: each.pressure)


def _stressed(solution: Solution, demand: Demand) -> list[Reached]:
    """The limits of strength that may have the least pressure."""
    assert demand.strength is not None
    about = {
        (kind, limit, factor): factor * solution.pressure_at_stress(demand.strength / factor, kind)
        for kind, limit in enumerate(KINDS)
        for factor in (1.0, demand.safety_factor)
    }
    least = min(about.values())
    reached = []
    for (kind, limit, factor), pressure in about.items():
        if math.isfinite(pressure) and pressure < (1.0 + ROUGHLY) * least:
            stress = demand.strength / factor
            found = solution.point_at_stress(stress, kind)
            assert found is not None
            reached.append(Reached(limit, factor * found[1], found[0], factor, stress))
    return reached


def deflected(solution: Solution, demand: Demand) -> list[Reached]:
    """The limit of deflection where it is reached on the path, else nothing.

    Raises:
        NoEquilibriumError: where no equilibrium is found in between.
    """
    allowed, case, path = demand.deflection, solution.case, solution.path
    if allowed is None:
        return []
    for before, after in pairwise(solution.rising):
        if case.inward(path.ring, after) >= allowed > case.inward(path.ring, before):
            point = path.crossing(
                before, after, lambda at: case.inward(path.ring, at) / allowed - 1.0
            )
            factor = demand.safety_factor
            return [Reached(Limit.DEFLECTION, factor * point.pressure, point, factor, allowed)]
    return []


@dataclass(frozen=True)
class Required:
    """The largest dimension ratio at which a demand is met, and the limit that decides.

    `limit` is None where the range of the model decides: `dimension_ratio` is then its greatest
    one, or None where even its least one is too thin.
    """

    dimension_ratio: float | None
    limit: Limit | None


CLOSE = 1e-5
"""How near to the demand the resistance must come, as a share."""

ROUGHLY = 0.1
"""How far pressures between the points of a path may be off before they are worked out."""

MESH_TOLERANCE = 0.02
"""Change of p on halving the elements. Convergence is of second order at least, so the error left
is a third of it at most; seen over the whole range, it is a tenth."""

MOST_ROUNDS, MOST_TRIALS = 6, 8
FIRST_SLOPE, FLATTEST = -1.8, -0.3
"""Change of ln(resistance) over that of ln(DR) with which the search starts, and at least."""


LONGEST_STRIDE = 0.35
"""Greatest change of ln(DR) from one wall to the next."""


def required_ratio(known: Solution, demand: Demand, least: float, most: float) -> Required:
    """The dimension ratio, from `least` to `most`, at which a liner like `known` meets `demand`.

    The limit that decides is followed from wall to wall. The wall found must be stable there, meet
    every other limit, and be the same with half the elements; where that is not shown, it is solved
    anew from no pressure, and the search goes on from it.

    Raises:
        NoEquilibriumError: where a trial has no number, or none comes near.
    """
    solution, wanted = known, demand.safety_factor * demand.pressure
    for _ in range(MOST_ROUNDS):
        case, reached = solution.case, resistance(solution, demand)
        off = math.log(reached.pressure / wanted)
        if abs(off) < CLOSE:
            return Required(case.dimension_ratio, reached.limit)
        end = most if off > 0.0 else least
        if case.dimension_ratio == end:
            return Required(most if off > 0.0 else None, None)
        there = followed(case, reached, wanted, (math.log(least), math.log(most)))
        if _governs(there, solution, reached, demand):
            return Required(there.case.dimension_ratio, reached.limit)
        solution = solve(there.case, demand.strength, demand.enough)
    raise NoEquilibriumError


def _ratio(place: float, ends: tuple[float, float]) -> float:
    """The dimension ratio of a logarithm, exact at the ends."""
    return round(math.exp(place), 9) if place in ends else math.exp(place)


@dataclass(frozen=True)
class Trial:
    """A wall, and the limit reached in it; None where it could not be followed there."""

    case: Case
    reached: Reached | None


def _finder(reached: Reached, case: Case) -> Finder:
    """What finds the same limit on the path of another case like this one."""

    def find(path: Path, point: Point) -> Point:
        level = reached.level
        if level is None:
            return path.limit_near(point)
        return path.crossing_near(
            point, lambda at: level_at(reached.limit, case, path, at) / level - 1.0
        )

    return find


def followed(case: Case, reached: Reached, wanted: float, ends: tuple[float, float]) -> Trial:
    """The wall in which this limit is reached under `wanted`, as far as it can be followed.

    `ends` are the logarithms of the dimension ratios between which it is sought.
    """
    slope, place = FIRST_SLOPE, math.log(case.dimension_ratio)
    off, find = math.log(reached.pressure / wanted), _finder(reached, case)
    for _ in range(MOST_TRIALS):
        if abs(off) < CLOSE:
            return Trial(case, reached)
        ahead = place - min(max(off / slope, -LONGEST_STRIDE), LONGEST_STRIDE)
        ahead = min(max(ahead, ends[0]), ends[1])
        if ahead == place:
            return Trial(case, None)
        trial = replace(case, dimension_ratio=_ratio(ahead, ends))
        try:
            point = carried(case, reached.point, trial, find)
        except NoEquilibriumError:
            return Trial(trial, None)
        if point.pressure <= 0.0:  # On another path, held by suction.
            return Trial(trial, None)
        reached = replace(reached, point=point, pressure=reached.factor * point.pressure)
        there = math.log(reached.pressure / wanted)
        slope = min((there - off) / (ahead - place), FLATTEST)
        place, off, case = ahead, there, trial
    return Trial(case, None)


def meshed(case: Case, reached: Reached) -> float:
    """The pressure at the same limit with half the elements.

    Raises:
        NoEquilibriumError: where it is not found.
    """
    coarse = replace(case, elements=case.elements // 2)
    return carried(case, reached.point, coarse, _finder(reached, coarse)).pressure


def _governs(trial: Trial, known: Solution, there: Reached, demand: Demand) -> bool:
    """Whether the limit of a trial is shown to come first, on a stable path, whatever the mesh.

    `there` is where the wall of `known` reaches it.
    """
    case, reached = trial.case, trial.reached
    if reached is None or known.snaps or case.path().unstable_directions(reached.point):
        return False
    try:
        if abs(meshed(case, reached) / reached.point.pressure - 1.0) > MESH_TOLERANCE:
            return False
        return all(
            _holds(case, _under(case, reached, factor, known, there), demand, factor)
            for factor in demand.factors
        )
    except NoEquilibriumError:
        return False


def _holds(case: Case, point: Point, demand: Demand, factor: float) -> bool:
    """Whether a wall meets what is allowed with this factor at a point of its path."""
    room = 1.0 + 2.0 * CLOSE
    if demand.strength is not None:
        greatest = max(greatest_stresses(case.path(), point))
        if greatest >= room * demand.strength / factor:
            return False
    if demand.deflection is None or factor != demand.safety_factor:
        return True
    return case.inward(case.ring(), point) < room * demand.deflection


def _under(case: Case, reached: Reached, factor: float, known: Solution, there: Reached) -> Point:
    """The equilibrium under the pressure reached over this factor.

    It is sought from that of the known wall, and where it is not found there, along the path.

    Raises:
        NoEquilibriumError: where it is not found.
    """
    if factor == reached.factor:
        return reached.point
    path, pressure = case.path(), reached.pressure / factor
    try:
        like = known.point_at_pressure(there.pressure / factor)
        if like is not None:
            point = path.under(moved(known.case, like.vector, case), pressure)
            if point.branch == reached.point.branch:
                return point
    except NoEquilibriumError:
        pass
    return path.crossing_near(reached.point, lambda at: at.pressure / pressure - 1.0)
