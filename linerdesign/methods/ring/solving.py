"""The equilibrium path of one liner: followed through collapse, and carried to other cases."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np

from linerdesign.methods.ring.case import Case, moved
from linerdesign.methods.ring.contact import Floats
from linerdesign.methods.ring.path import (
    FIRST_STEP,
    LONGEST_STEP,
    NoEquilibriumError,
    Path,
    Point,
)

SNAP_DROP = 0.005
"""Fall of pressure that makes a limit point on the way a snap and not a ripple of the mesh."""

ATTEMPTS = (
    (LONGEST_STEP, 0.02),
    (LONGEST_STEP, 0.05),
    (0.06, 1e-3),
    (0.06, 0.1),
    (0.02, 0.02),
    (0.02, FIRST_STEP),
)
"""Longest and first steps of a path, tried in turn where it is lost."""

MORE_ELEMENTS = 20
"""Elements more, which meet the wall at other places, where all of them have lost the path."""

AT_CROWN = 0.5
"""Least inward displacement of the crown, where the bulge is, over the greatest one anywhere."""

ASTRAY = 3.0
"""Pressure over Glock's at which a path has left the one that ends in collapse."""

SHARES = ((1.0,), (0.5, 1.0), (0.25, 0.5, 0.75, 1.0))
"""Ways of going over from one case to another in steps, tried in turn."""

Finder = Callable[[Path, Point], Point]
Enough = Callable[[Case, list[Point]], bool]


@dataclass(frozen=True, eq=False)
class Solution:
    """A followed path with its highest limit point, before it is judged.

    `snaps` are p/E* at lower limit points passed on the way. `stopped` is the code of the reason
    why the path ends early, or ''.
    """

    case: Case
    path: Path
    limit: Point | None
    before: Point | None
    snaps: tuple[float, ...]
    stopped: str

    @cached_property
    def rising(self) -> list[Point]:
        """The points from no pressure to the limit point, or to the last point found."""
        points = self.path.points
        if self.limit is None or self.before is None:
            return points
        return [*points[: points.index(self.before) + 1], self.limit]

    def greatest_stresses(self, point: Point) -> tuple[float, float]:
        """Greatest compression and greatest tension of a fibre over E*, both positive."""
        return greatest_stresses(self.path, point)

    @cached_property
    def stresses(self) -> Floats:
        """Greatest compression and tension over E* at the `rising` points (n, 2)."""
        return np.array([self.greatest_stresses(point) for point in self.rising])

    @lru_cache(maxsize=64)  # noqa: B019
    def point_at_stress(self, stress: float, kind: int) -> tuple[Point, float] | None:
        """Where a fibre first reaches `stress` over E*, and the p/E* that brings it there.

        `kind` is 0 for compression and 1 for tension. Where the liner has jumped inwards before,
        the pressure is that of the jump. None where collapse comes first.

        Raises:
            NoEquilibriumError: where no equilibrium is found in between.
        """
        (reached,) = np.nonzero(self.stresses[:, kind] >= stress)
        if not reached.size:
            return None
        passed = self.rising[: reached[0]]
        if not passed:
            raise NoEquilibriumError("the strength is reached below the first step of the path")
        found = self.path.crossing(
            passed[-1],
            self.rising[reached[0]],
            lambda point: self.greatest_stresses(point)[kind] / stress - 1.0,
        )
        return found, max(found.pressure, *(point.pressure for point in passed))

    def pressure_at_stress(self, stress: float, kind: int) -> float:
        """About the p/E* at which a fibre first reaches `stress`, infinite where none does."""
        (reached,) = np.nonzero(self.stresses[:, kind] >= stress)
        if not reached.size:
            return math.inf
        place = int(reached[0])
        if place == 0:
            # Below the first point of the path the stress grows with the pressure.
            return float(self.rising[0].pressure * stress / self.stresses[0, kind])
        before, after = self.rising[place - 1].pressure, self.rising[place].pressure
        low, high = self.stresses[place - 1 : place + 1, kind]
        passed = max(point.pressure for point in self.rising[:place])
        return float(max(before + (after - before) * (stress - low) / (high - low), passed))

    def point_at_pressure(self, pressure: float) -> Point | None:
        """The first equilibrium under this p/E*; None above collapse.

        Raises:
            NoEquilibriumError: where no equilibrium is found in between.
        """
        for before, after in pairwise(self.rising):
            if before.pressure <= pressure <= after.pressure:
                return self.path.at_pressure(before, after, pressure)
        return None

    def about(self, pressure: float) -> Floats:
        """Unknowns (m,) about where the ring first is under this p/E*, of the points followed."""
        pressures = np.array([point.pressure for point in self.rising])
        place = int(np.argmax(pressures >= pressure)) or len(pressures) - 1
        before, after = self.rising[place - 1], self.rising[place]
        share = (pressure - before.pressure) / (after.pressure - before.pressure)
        return before.vector + share * (after.vector - before.vector)


def solve(case: Case, strength: float | None = None, enough: Enough | None = None) -> Solution:
    """Follow the path of `case` from no pressure until well past collapse.

    With a `strength` over E* the path ends where a fibre reaches it, if that comes first, and so
    where it is `enough`. A path that is lost is followed again in other steps, then with other
    elements.
    """
    first = found = _attempt(case, strength, enough, *ATTEMPTS[0])
    other = replace(case, elements=case.elements + MORE_ELEMENTS)
    for each, steps in (*((case, steps) for steps in ATTEMPTS[1:]), (other, ATTEMPTS[0])):
        if not found.stopped:
            return found
        found = _attempt(each, strength, enough, *steps)
    return first if found.stopped else found


def _attempt(
    case: Case, strength: float | None, enough: Enough | None, longest: float, first: float
) -> Solution:
    """The path of `case` from a first step on, in steps of at most the longest."""
    path = case.path(longest)
    try:
        path.start()
    except NoEquilibriumError:
        return Solution(case, path, None, None, (), "no_equilibrium")
    ring, weak = path.ring, [False]

    def spent(points: list[Point]) -> bool:
        last = points[-1]
        if strength is not None and last.pressure > 0.0:
            weak[0] = max(greatest_stresses(path, last)) >= strength
        weak[0] = weak[0] or (enough is not None and enough(case, points))
        inward = case.inward(ring, last)
        top = max(points, key=lambda point: point.pressure)
        deep = inward > 1.3 * case.inward(ring, top) + case.gap + case.thickness
        far = inward > 0.8 or last.pressure > ASTRAY * case.glock
        return weak[0] or far or (deep and last.pressure < 0.9 * top.pressure)

    stopped = path.follow(spent, first)
    points = path.points
    peaks = [
        place
        for place, (one, other) in enumerate(pairwise(points))
        if one.pressure_rate > 0.0 >= other.pressure_rate
    ]
    if not peaks:
        reason = stopped or ("" if weak[0] else "no_limit")
        return Solution(case, path, None, points[-1], (), reason)
    tops = [max(points[place : place + 2], key=lambda point: point.pressure) for place in peaks]
    highest = max(range(len(peaks)), key=lambda which: tops[which].pressure)
    if weak[0] and points[-1].pressure > tops[highest].pressure:
        return Solution(case, path, None, points[-1], _snaps(points, peaks, tops), stopped)
    before, after = points[peaks[highest] : peaks[highest] + 2]
    try:
        limit = path.limit_between(before, after)
    except NoEquilibriumError:
        return Solution(case, path, None, before, (), "limit_unclear")
    snaps = _snaps(points, peaks[: highest + 1], tops[:highest])
    return Solution(
        case, path, limit, before, snaps, stopped or _strayed(case, path, before, limit)
    )


def _snaps(points: list[Point], peaks: list[int], tops: list[Point]) -> tuple[float, ...]:
    """Pressures at the `tops` of which the liner jumps, before the next peak or the end."""
    ends = [*peaks[1:], len(points)]
    lows = [
        min(point.pressure for point in points[here:there])
        for here, there in zip(peaks, ends, strict=True)
    ]
    return tuple(
        top.pressure
        for top, low in zip(tops, lows, strict=False)
        if low < (1.0 - SNAP_DROP) * top.pressure
    )


def _strayed(case: Case, path: Path, before: Point, limit: Point) -> str:
    """The code of why a limit point is not that of the path from no pressure, or ''."""
    farthest = np.linalg.norm(path.ring.numbers.spread(limit.vector)[:, :2], axis=1).max()
    elsewhere = case.inward(path.ring, limit) < AT_CROWN * farthest
    if elsewhere or path.unstable_directions(before):
        return "left_path"
    return "above_perfect" if limit.pressure > case.perfect else ""


def carried(known: Case, point: Point, case: Case, find: Finder) -> Point:
    """The point that `find` finds on the path of `case`, near `point` of a similar, known case.

    The shape at `point` is put on the new liner and brought to equilibrium; `find` follows the path
    from there. In several steps where one is too far.

    Raises:
        NoEquilibriumError: where no way leads there.
    """
    for shares in SHARES:
        try:
            last, found = known, point
            for share in shares:
                here = _between(known, case, share)
                found, last = find(*_settled(last, found, here)), here
        except NoEquilibriumError:
            continue
        return found
    raise NoEquilibriumError


def limit_nearby(known: Case, limit: Point, case: Case) -> Point:
    """The limit point of `case`, carried over from a known one or, where that fails, found anew.

    Raises:
        NoEquilibriumError: where there is no number for `case`.
    """
    try:
        return carried(known, limit, case, Path.limit_near)
    except NoEquilibriumError:
        solution = solve(case)
    if solution.limit is None or solution.stopped:
        raise NoEquilibriumError
    return solution.limit


def _between(one: Case, other: Case, share: float) -> Case:
    """A case at this share of the way."""
    if share == 1.0:
        return other
    blended = {
        name: getattr(one, name) + share * (getattr(other, name) - getattr(one, name))
        for name in ("dimension_ratio", "gap", "ovality", "imperfection")
    }
    return replace(other, **blended)


def _settled(known: Case, point: Point, case: Case) -> tuple[Path, Point]:
    """The path of `case`, and an equilibrium on it of about the shape at `point`."""
    path, start = case.path(), moved(known, np.zeros_like(point.vector), case)
    direction = moved(known, point.direction, case) - start
    pressure = point.pressure * case.glock / known.glock
    return path, path.settled(moved(known, point.vector, case), pressure, direction)


def greatest_stresses(path: Path, point: Point) -> tuple[float, float]:
    """Greatest compression and greatest tension of a fibre over E*, both positive."""
    stresses = path.ring.fibre_stresses(point.vector, point.pressure)
    return float(-stresses.min()), float(stresses.max())


def energy_residual(solution: Solution) -> float:
    """Work done by the pressure along the path, less the energy stored, over the latter."""
    path = solution.path
    states = [path.ring.energies(point.vector) for point in path.points]
    work = sum(
        path.work(*ends, after.area - before.area)
        for ends, (before, after) in zip(pairwise(path.points), pairwise(states), strict=True)
    )
    return (work - states[-1].stored) / states[-1].stored
