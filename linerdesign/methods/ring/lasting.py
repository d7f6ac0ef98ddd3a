"""A liner under lasting pressure: its wall creeps, its bulge grows, and it may collapse in time.

Equilibrium at each moment is that of the whole ring, with large displacements and contact; the
strains of creep are those that the wall's own stresses of all earlier moments have left in it.
Pressures and stresses are over E* at no time, times in hours.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.contact import Floats
from linerdesign.methods.ring.creep import FARTHEST, Law, Memory, chain_of
from linerdesign.methods.ring.path import NoEquilibriumError, Path, Point
from linerdesign.methods.ring.ring import Ring
from linerdesign.methods.ring.solving import Solution, greatest_stresses
from linerdesign.methods.ring.wall import Creep

FIRST_STEP = 1.0
"""First step over the t0 of the law."""

MOST_CHANGE, LEAST_CHANGE = 0.2, 0.08
"""Change of the stresses in a step, as a share of their greatest, over which it is taken again in
two, and under which the next one is longer."""

TIME_TOLERANCE = 5e-3
"""Share of the time to which a collapse is told."""

MOST_STEPS = 400


@dataclass(frozen=True)
class Lasting:
    """A ring under one pressure from no time on.

    `times` (n,), the inward displacement of the crown `inward` (n,) over D/2, and the greatest
    compression and tension of a fibre `stresses` (n, 2), each where the ring still holds.
    `collapse` is the time at which it no longer does; None where it holds up to the last time.
    """

    times: Floats
    inward: Floats
    stresses: Floats
    collapse: float | None

    def at(self, time: float) -> tuple[float, float] | None:
        """Crown displacement and greatest fibre stress at this time; None after collapse."""
        if self.collapse is not None and time > self.collapse:
            return None
        logs = np.log1p(self.times)
        here = math.log1p(time)
        stress = self.stresses.max(axis=1)
        return float(np.interp(here, logs, self.inward)), float(np.interp(here, logs, stress))


@dataclass(frozen=True)
class _Moment:
    """An equilibrium at a time, with what the wall remembers then."""

    time: float
    path: Path
    point: Point
    memory: Memory


def held(
    known: Solution, pressure: float, law: Law, until: float | None = None, growth: float = 0.0
) -> Lasting:
    """How the liner of `known` takes a lasting pressure (p/E* at no time) until a time.

    `until` is by default `FARTHEST` times the life. `growth` is what the gap gains over the life,
    over D/2, by shrinkage that goes with the creep.

    Raises:
        NoEquilibriumError: where the first equilibrium is not found.
        ArithmeticError: where no chain has the law.
    """
    last = FARTHEST * law.life if until is None else until
    start = known.point_at_pressure(pressure)
    if start is None:
        return _record(known.case, [], 0.0)
    ring = known.path.ring
    memory = Memory(chain_of(law), ring.strains(start.vector))
    moments = [_Moment(0.0, known.path, start, memory)]
    step, shrinkage = FIRST_STEP * law.t0, _Shrinkage(known.case, law, growth)
    while moments[-1].time < last and len(moments) < MOST_STEPS:
        now = moments[-1]
        step = min(step, last - now.time)
        found = _after(now, step, shrinkage)
        change = math.inf if found is None else _change(now, found)
        if found is None or change > MOST_CHANGE:
            if step > TIME_TOLERANCE * now.time + 1e-6 * law.t0:
                step *= 0.5 if found else 0.25
                continue
            found = found or _jumped(known.case, now, step, shrinkage)
            if found is None:
                return _record(known.case, moments, now.time + step)
        moments.append(found)
        step *= 3.0 if change < LEAST_CHANGE else 1.0
    return _record(known.case, moments, None)


@dataclass(frozen=True)
class _Shrinkage:
    """Shrinkage of the liner over time, that widens its gap as creep goes on."""

    case: Case
    law: Law
    growth: float

    def strain(self, time: float) -> float:
        """Strain of the middle line by which the liner has shrunk, negative."""
        if not self.growth:
            return 0.0
        final = 1.0 / self.law.retention - 1.0
        share = (float(self.law.compliance(np.array(time))) - 1.0) / final
        return -self.growth * min(share, 1.0) / (1.0 - self.case.gap - 0.5 * self.case.thickness)


def _ring_after(now: _Moment, step: float, shrinkage: _Shrinkage) -> Ring:
    """The ring as it meets a step."""
    rest, softer = now.memory.before(step)
    rest[0] += shrinkage.strain(now.time + step)
    return replace(now.path.ring, creep=Creep(rest, 1.0 / (1.0 + softer)))


def _after(now: _Moment, step: float, shrinkage: _Shrinkage) -> _Moment | None:
    """The equilibrium after a step of time; None where there is none near, or none that holds."""
    path = Path(_ring_after(now, step, shrinkage), now.path.scale)
    try:
        point = path.under(now.point.vector, now.point.pressure)
    except NoEquilibriumError:
        return None
    if point.branch != now.point.branch:
        return None
    return _moment(now, step, path, point)


def _moment(now: _Moment, step: float, path: Path, point: Point) -> _Moment:
    creep = path.ring.creep
    stress = creep.stiffness * (path.ring.strains(point.vector) - np.asarray(creep.rest))
    return _Moment(now.time + step, path, point, now.memory.after(step, stress))


def _change(now: _Moment, found: _Moment) -> float:
    """Change of the stresses of the wall, as a share of the greatest."""
    moved = np.abs(found.memory.stress - now.memory.stress).max(axis=1)
    return float((moved / np.abs(found.memory.stress).max(axis=1).clip(1e-12))[:2].max())


def _jumped(case: Case, now: _Moment, step: float, shrinkage: _Shrinkage) -> _Moment | None:
    """The ring after a jump inwards that it survives, or None: it collapses."""
    ring, pressure = now.path.ring, now.point.pressure
    path = Path(ring, now.path.scale)
    path.points = [now.point]

    def spent(points: list[Point]) -> bool:
        last = points[-1]
        risen = last.pressure >= pressure and last.pressure_rate > 0.0 and len(points) > 2
        return risen or case.inward(ring, last) > 0.8 or last.pressure < 0.5 * pressure

    if path.follow(spent) or path.points[-1].pressure < pressure:
        return None
    before, after = path.points[-2:]
    try:
        there = path.crossing(before, after, lambda at: at.pressure / pressure - 1.0)
    except NoEquilibriumError:
        return None
    return _after(replace(now, point=there), step, shrinkage)


def _record(case: Case, moments: list[_Moment], collapse: float | None) -> Lasting:
    return Lasting(
        times=np.array([each.time for each in moments]),
        inward=np.array([case.inward(each.path.ring, each.point) for each in moments]),
        stresses=np.reshape(
            [greatest_stresses(each.path, each.point) for each in moments], (len(moments), 2)
        ),
        collapse=collapse,
    )


CLOSE = 0.02
"""How near to the life the collapse under the lasting pressure must come, in ln(time)."""

SECANT_TRIALS, MOST_TRIALS = 4, 16
WIDEST = 0.4
"""How far, in ln(pressure), the search goes down at once."""

FIRST_SLOPE = -0.05
"""Change of ln(pressure) over that of ln(time of collapse) with which the search starts."""


def lasting_pressure(known: Solution, law: Law, growth: float = 0.0) -> float:
    """The pressure, over E* at no time, under which the liner collapses at the end of the life.

    Raises:
        NoEquilibriumError: where the search does not settle.
        ArithmeticError: where no chain has the law.
    """
    assert known.limit is not None
    high = math.log(known.limit.pressure)
    place, slope, low = high + math.log(law.retention), FIRST_SLOPE, -math.inf
    last: tuple[float, float] | None = None
    for trial in range(MOST_TRIALS):
        found = held(known, math.exp(place), law, None, growth).collapse
        late = math.log(FARTHEST if found is None else max(found / law.life, 1e-9))
        if late > 0.0:
            low = max(low, place)
        else:
            high = min(high, place)
        if abs(late) < CLOSE or high - low < CLOSE * abs(FIRST_SLOPE):
            return math.exp(place)
        if last is not None and late != last[1]:
            slope = max(min((place - last[0]) / (late - last[1]), -1e-3), -0.5)
        last, ahead = (place, late), place - slope * late
        # A wall that creeps in a short while only holds for ever or collapses early: halve there.
        leads = low < ahead < high and trial < SECANT_TRIALS
        place = ahead if leads else 0.5 * (max(low, high - WIDEST) + high)
    raise NoEquilibriumError
