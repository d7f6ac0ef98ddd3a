"""Strength of a liner beside its stability, and the thickness at which both hold.

Pressures, stresses and strengths are over E*; lengths over D/2. The wall is elastic: a pressure at
first strength is where the stress of one fibre reaches the strength.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.path import NoEquilibriumError, Path, Point
from linerdesign.methods.ring.solving import Solution, carried, greatest_stresses, solve


class Limit(StrEnum):
    """What ends the resistance of a liner to external pressure."""

    STABILITY = "stability"
    COMPRESSION = "strength in compression"
    TENSION = "strength in tension"


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
    point = solution.point_at_pressure(pressure) if pressure > 0.0 else None
    stress = max(solution.greatest_stresses(point)) if point else None
    return Strength(
        compression=_pressure(solution, strength, 0),
        tension=_pressure(solution, strength, 1),
        at_design=0.0 if pressure <= 0.0 else stress,
        at_collapse=float(solution.stresses[-1].max()),
    )


def _pressure(solution: Solution, stress: float, kind: int) -> float | None:
    found = solution.point_at_stress(stress, kind)
    return None if found is None else found[1]


@dataclass(frozen=True)
class Demand:
    """What a thickness must provide: at a design pressure, with safety factor N in stability and
    in strength. `strength` is None where only stability is required."""

    pressure: float
    safety_factor: float
    strength: float | None


@dataclass(frozen=True)
class Reached:
    """A limit reached: its pressure times its factor, and the point of the path.

    `stress` is the one that a fibre has there, None at a limit point; `kind` is 0 for compression
    and 1 for tension.
    """

    limit: Limit
    pressure: float
    point: Point
    factor: float = 1.0
    stress: float | None = None
    kind: int = 0


def resistance(solution: Solution, demand: Demand) -> Reached:
    """The limit with the least pressure, which is to be N times the design pressure.

    The limits are collapse, first strength, and N times the pressure at which a fibre reaches 1/N
    of the strength: so both the load and the stress have the factor.

    Raises:
        NoEquilibriumError: where the path ends before any of them.
    """
    found = list(_stressed(solution, demand)) if demand.strength is not None else []
    if solution.limit is not None and not solution.stopped:
        found.append(Reached(Limit.STABILITY, solution.limit.pressure, solution.limit))
    if not found:
        raise NoEquilibriumError
    return min(found, key=lambda each: each.pressure)


def _stressed(solution: Solution, demand: Demand) -> Iterator[Reached]:
    """The limits of strength that the path reaches."""
    assert demand.strength is not None
    for kind, limit in enumerate((Limit.COMPRESSION, Limit.TENSION)):
        for factor in {1.0, demand.safety_factor}:
            stress = demand.strength / factor
            found = solution.point_at_stress(stress, kind)
            if found is not None:
                yield Reached(limit, factor * found[1], found[0], factor, stress, kind)


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

MOST_ROUNDS, MOST_TRIALS = 6, 8
FIRST_SLOPE, FLATTEST = -1.8, -0.3
"""Change of ln(resistance) over that of ln(DR) with which the search starts, and at least."""


LONGEST_STRIDE = 0.25
"""Greatest change of ln(DR) from one wall to the next."""


def required_ratio(known: Solution, demand: Demand, least: float, most: float) -> Required:
    """The dimension ratio, from `least` to `most`, at which a liner like `known` meets `demand`.

    The limit that decides is followed from wall to wall; the wall found is then solved anew from no
    pressure, which shows whether another limit comes first.

    Raises:
        NoEquilibriumError: where a trial has no number, or none comes near.
    """
    solution, wanted = known, demand.safety_factor * demand.pressure
    for _ in range(MOST_ROUNDS):
        reached, ratio = resistance(solution, demand), solution.case.dimension_ratio
        off = math.log(reached.pressure / wanted)
        if abs(off) < CLOSE:
            return Required(ratio, reached.limit)
        if (ratio == most and off > 0.0) or (ratio == least and off < 0.0):
            return Required(most if off > 0.0 else None, None)
        ratio = min(max(_followed(solution.case, reached, wanted), least), most)
        solution = solve(replace(known.case, dimension_ratio=ratio), demand.strength)
    raise NoEquilibriumError


def _followed(case: Case, reached: Reached, wanted: float) -> float:
    """The dimension ratio at which this limit is reached under `wanted`, as far as it can be
    followed from `case`."""
    slope, place = FIRST_SLOPE, math.log(case.dimension_ratio)
    off = math.log(reached.pressure / wanted)

    def find(path: Path, point: Point) -> Point:
        if reached.stress is None:
            return path.limit_near(point)
        stress, kind = reached.stress, reached.kind
        return path.crossing_near(
            point, lambda at: greatest_stresses(path, at)[kind] / stress - 1.0
        )

    last, point = case, reached.point
    for _ in range(MOST_TRIALS):
        ahead = place - min(max(off / slope, -LONGEST_STRIDE), LONGEST_STRIDE)
        if abs(off) < CLOSE:
            return math.exp(ahead)
        trial = replace(case, dimension_ratio=math.exp(ahead))
        try:
            point = carried(last, point, trial, find)
        except NoEquilibriumError:
            return math.exp(ahead)
        there = math.log(reached.factor * point.pressure / wanted)
        slope = min((there - off) / (ahead - place), FLATTEST)
        place, off, last = ahead, there, trial
    return math.exp(place)

