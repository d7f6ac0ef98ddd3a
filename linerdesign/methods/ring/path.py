"""Equilibrium path of a ring under growing and falling pressure, by pseudo-arc-length steps.

A step is measured by displacement and pressure together, so the path can be followed where the
pressure turns back (a limit point) and where the displacement does (a snap-back).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.linalg import eigvals_banded
from scipy.linalg.lapack import dgbtrf, dgbtrs

from linerdesign.methods.ring.contact import Floats
from linerdesign.methods.ring.ring import Energies, Ring, State

RESIDUAL_TOLERANCE = 1e-5
"""Largest out-of-balance nodal force allowed, as a share of the largest nodal pressure force."""

MAXIMUM_ITERATIONS = 15
MAXIMUM_POINTS = 1500
FIRST_STEP = 5e-3
LONGEST_STEP = 0.15
SHORTEST_STEP = 1e-8
SHORT_STEP = 1e-4
"""A step as short as this may round a corner of the path."""

SHARPEST_TURN = 0.3
"""Least cosine between the path's directions at the two ends of a step."""

TOUCHING = 1.05
"""First step into the wall over the distance to it: enough to feel it."""

LARGEST_CORRECTION = 1.5
"""Greatest distance from the predicted to the found equilibrium, as a share of the step."""

LARGEST_IMBALANCE = 2e-3
"""Greatest difference of work and energy over one step, as a share of all energy stored: more than
that, and the step may have landed on another path."""

LIMIT_TOLERANCE, SUMMIT_TOLERANCE = 1e-3, 2e-4
CROSSING_TOLERANCE = 5e-6
LONGEST_SEARCH = 25
LONGEST_SEARCH_STEP = 0.3
BEYOND = 1.2
"""Step of a search over the distance to where a straight line has what is sought."""

FARTHEST_GUESS = 3.0
"""How far from a guess an equilibrium may lie, in units of arc."""


Way = tuple[Floats, float]
"""A direction of the path: rates of the unknowns (m,) and of the pressure."""


class NoEquilibriumError(Exception):
    """Newton's method found no equilibrium at the smallest allowed step."""


@dataclass(frozen=True)
class Scale:
    """What counts as one unit of arc: a displacement (root of its mean square) and a pressure."""

    displacement: float
    pressure: float


@dataclass(frozen=True, eq=False)
class Point:
    """An equilibrium: unknowns (m,), pressure, and the unit tangent of the path there, with the
    rate of the enclosed area along it."""

    vector: Floats
    pressure: float
    direction: Floats
    pressure_rate: float
    area_rate: float
    branch: float
    residual: float
    iterations: int


@dataclass(frozen=True)
class Factors:
    """Triangular factors of the matrix of second derivatives, and the sign of its determinant."""

    band: Floats
    pivots: Floats
    width: int
    sign: float

    @classmethod
    def of(cls, state: State) -> Factors:
        width = state.width
        band, pivots, fault = dgbtrf(state.stored, width, width)
        if fault != 0:
            raise NoEquilibriumError
        exchanges = np.count_nonzero(pivots != np.arange(len(pivots)))
        below_zero = np.count_nonzero(np.signbit(band[2 * width]))
        return cls(band, pivots, width, -1.0 if (exchanges + below_zero) % 2 else 1.0)

    def solve(self, right: Floats) -> Floats:
        found: Floats = dgbtrs(self.band, self.width, self.width, right, self.pivots)[0]
        return found


@dataclass
class Path:
    """Follows the equilibria of `ring` from the unloaded state, one step at a time."""

    ring: Ring
    scale: Scale
    longest_step: float = LONGEST_STEP
    points: list[Point] = field(default_factory=list)

    def __post_init__(self) -> None:
        numbering = self.ring.numbers.of_nodes[:, :2]
        self._weight = np.zeros(self.ring.numbers.unknowns)
        self._weight[numbering[numbering >= 0]] = 1.0 / len(numbering)
        self._weight /= self.scale.displacement**2
        self._balanced: tuple[Point, Energies] | None = None

    def start(self) -> None:
        """Puts the unloaded state at the head of the path."""
        nothing = np.zeros(self.ring.numbers.unknowns)
        self.points = [self._converged(nothing, 0.0, None, (nothing, 1.0))]

    def _dot(self, one: Floats, one_rate: float, two: Floats, two_rate: float) -> float:
        shared = one_rate * two_rate / self.scale.pressure**2
        return float(one @ (self._weight * two)) + shared

    def _length(self, vector: Floats, pressure: float) -> float:
        return math.sqrt(self._dot(vector, pressure, vector, pressure))

    def _distance(self, one: Point, two: Point) -> float:
        return self._length(two.vector - one.vector, two.pressure - one.pressure)

    def _tangent(self, factors: Factors, load: Floats, along: Way) -> Way:
        """Unit tangent, pointing the way `along` points."""
        direction = factors.solve(-load)
        length = math.copysign(self._length(direction, 1.0), self._dot(direction, 1.0, *along))
        return direction / length, 1.0 / length

    def _converged(
        self,
        vector: Floats,
        pressure: float,
        origin: Way | None,
        along: Way,
    ) -> Point:
        """Equilibrium in the plane through (vector, pressure) square to `along`.

        Raises:
            NoEquilibriumError: when Newton's method does not settle, or runs away from `origin`.
        """
        start = (vector, pressure) if origin is None else origin
        reach = self._length(vector - start[0], pressure - start[1])
        farthest = FARTHEST_GUESS if origin is None else 3.0 * reach + 1e-6
        for iteration in range(MAXIMUM_ITERATIONS):
            state = self.ring.state(vector, pressure)
            out_of_balance = state.force + pressure * state.load
            largest_load = np.max(np.abs(state.load)) * max(
                abs(pressure), 0.1 * self.scale.pressure
            )
            residual = float(np.max(np.abs(out_of_balance)) / largest_load)
            factors = Factors.of(state)
            if residual < RESIDUAL_TOLERANCE:
                direction, rate = self._tangent(factors, state.load, along)
                branch = factors.sign * float(np.sign(rate))
                area_rate = float(state.load @ direction)
                return Point(
                    vector, pressure, direction, rate, area_rate, branch, residual, iteration
                )
            both = np.empty((2, len(vector)))
            np.negative(out_of_balance, out=both[0])
            np.negative(state.load, out=both[1])
            back, by_pressure = factors.solve(both.T).T
            change = -self._dot(back, 0.0, *along) / self._dot(by_pressure, 1.0, *along)
            step = back + change * by_pressure
            vector, pressure = vector + step, pressure + change
            # A length that is no number is too far, too.
            if not self._length(vector - start[0], pressure - start[1]) <= farthest:
                raise NoEquilibriumError
        raise NoEquilibriumError

    def ahead(self, step: float, point: Point | None = None) -> Point:
        """Equilibrium `step` of arc beyond `point`, by default the last one."""
        last = self.points[-1] if point is None else point
        along = (last.direction, last.pressure_rate)
        vector = last.vector + step * last.direction
        pressure = last.pressure + step * last.pressure_rate
        return self._converged(vector, pressure, (last.vector, last.pressure), along)

    def follow(self, until: Callable[[list[Point]], bool], step: float = FIRST_STEP) -> str:
        """Add equilibria, from a first step on, until `until` is true.

        Returns the code of the reason why it stopped early, or ''.

        A step is refused and shortened when Newton's method fails, when the path turns too
        sharply, when the solution lies far off the line it was sought on, or when the sign of the
        determinant times that of the pressure rate changes. On one regular branch that product
        never changes: the step has landed on another branch, or there is a bifurcation.
        """
        free = True
        while not until(self.points):
            if len(self.points) >= MAXIMUM_POINTS:
                return "too_many_steps"
            last, crossing = self.points[-1], False
            free = free and self.ring.deepest(last.vector) < 0.0
            step = min(step, self._to_first_touch(last, step)) if free else step
            try:
                found = self.ahead(step)
                crossing = found.branch != last.branch
                turn = self._dot(
                    found.direction, found.pressure_rate, last.direction, last.pressure_rate
                )
                aside = math.sqrt(max(self._distance(last, found) ** 2 - step**2, 0.0))
                # Where a node meets the wall the path has a true corner: let short steps round it.
                strays = turn < SHARPEST_TURN or aside > LARGEST_CORRECTION * step
                strays = strays or self._off_balance(last, found) > LARGEST_IMBALANCE
                refused = crossing or (strays and step > SHORT_STEP)
            except NoEquilibriumError:
                refused = True
            if refused:
                step /= 3.0
                if step < SHORTEST_STEP:
                    return "branches" if crossing else "no_equilibrium"
                continue
            self.points.append(found)
            growth = 1.7 if found.iterations <= 6 else 1.2 if found.iterations < 10 else 0.7
            step = min(self.longest_step, growth * step)
        return ""

    def _to_first_touch(self, point: Point, step: float) -> float:
        """Just beyond the arc at which a ring that touches nothing first meets the wall, as the
        path points; infinite where it meets nothing on this step."""
        depth = self.ring.deepest(point.vector)
        ahead = self.ring.deepest(point.vector + step * point.direction)
        return TOUCHING * step * depth / (depth - ahead) if ahead > 0.0 else math.inf

    def crossing(self, before: Point, after: Point, measure: Callable[[Point], float]) -> Point:
        """The point between two neighbours at which `measure`, below zero at the first, is zero.

        Raises:
            NoEquilibriumError: where no equilibrium is found in between.
        """
        try:
            return self._crossing(before, after, measure)
        except NoEquilibriumError:
            short = 0.1 * self._distance(before, after)
            return self._crossing(*self._around(before, True, measure, short), measure)

    def _crossing(self, before: Point, after: Point, measure: Callable[[Point], float]) -> Point:
        """The same by the Illinois method, on the chord between the two."""
        span = self._distance(before, after)
        low, high, at_low, at_high = 0.0, span, measure(before), measure(after)
        smallest, side = CROSSING_TOLERANCE * max(abs(at_low), abs(at_high)), 0
        found = after
        for _ in range(30):
            middle = (low * at_high - high * at_low) / (at_high - at_low)
            found = self._between(before, after, middle, span)
            value = measure(found)
            if abs(value) <= smallest or high - low < CROSSING_TOLERANCE * span:
                break
            if (value < 0.0) == (at_low < 0.0):
                low, at_low, at_high = middle, value, at_high * (0.5 if side < 0 else 1.0)
                side = -1
            else:
                high, at_high, at_low = middle, value, at_low * (0.5 if side > 0 else 1.0)
                side = 1
        return found

    def settled(self, vector: Floats, pressure: float, direction: Floats) -> Point:
        """Equilibrium near a guess, sought at right angles to `direction` (m,) and any pressure.

        Raises:
            NoEquilibriumError: when Newton's method does not settle.
        """
        return self._converged(vector, pressure, None, (direction, 0.0))

    def under(self, vector: Floats, pressure: float) -> Point:
        """Equilibrium near a guess, under this pressure.

        Raises:
            NoEquilibriumError: when Newton's method does not settle.
        """
        return self._converged(vector, pressure, None, (np.zeros_like(vector), 1.0))

    def limit_near(self, point: Point) -> Point:
        """The nearest limit point along the path through `point`, on either side.

        Raises:
            NoEquilibriumError: when none is found within LONGEST_SEARCH steps.
        """
        forward = point.pressure_rate > 0.0
        return self.limit_between(*self._around(point, forward, lambda at: -at.pressure_rate))

    def crossing_near(self, point: Point, measure: Callable[[Point], float]) -> Point:
        """The nearest point along the path at which `measure`, growing along it, is zero.

        Raises:
            NoEquilibriumError: when none is found within LONGEST_SEARCH steps.
        """
        value = measure(point)
        step = min(max(abs(value), 1e-3), 0.1)
        return self.crossing(*self._around(point, value < 0.0, measure, step), measure)

    def _around(
        self, point: Point, forward: bool, measure: Callable[[Point], float], step: float = 0.1
    ) -> tuple[Point, Point]:
        """Two neighbours, in the order of the path, between which `measure` changes its sign."""
        value = measure(point)
        for _ in range(LONGEST_SEARCH):
            try:
                found = self.ahead(step if forward else -step, point)
            except NoEquilibriumError:
                step /= 3.0
                continue
            astray = step > SHORT_STEP and self._off_balance(point, found) > LARGEST_IMBALANCE
            if astray or found.branch != point.branch:
                step /= 3.0
                continue
            there = measure(found)
            if (there < 0.0) != (value < 0.0):
                return (point, found) if forward else (found, point)
            longest = min(2.0 * step, LONGEST_SEARCH_STEP)
            if abs(there) < abs(value):
                longest = min(longest, BEYOND * step * there / (value - there))
            point, value, step = found, there, longest
        raise NoEquilibriumError

    def _off_balance(self, one: Point, other: Point) -> float:
        """Work of the pressure between two neighbours less the energy stored, over all stored."""
        if self._balanced is None or self._balanced[0] is not one:
            self._balanced = one, self.ring.energies(one.vector)
        before, after = self._balanced[1], self.ring.energies(other.vector)
        self._balanced = other, after
        work = self.work(one, other, after.area - before.area)
        return abs(work - (after.stored - before.stored)) / after.stored

    def work(self, one: Point, other: Point, area: float) -> float:
        """Work of the pressure from one point to another that adds `area` to the enclosed one.

        It is that of a cubic of pressure and one of area over the arc, with the rates of both ends.
        """
        arc, rise = self._distance(one, other), other.pressure - one.pressure
        bend = (one.pressure_rate - other.pressure_rate) * area
        bend -= (one.area_rate - other.area_rate) * rise
        turn = one.area_rate * other.pressure_rate - other.area_rate * one.pressure_rate
        mean = 0.5 * (one.pressure + other.pressure)
        return -(mean * area + arc * bend / 10.0 + arc**2 * turn / 60.0)

    def limit_between(self, before: Point, after: Point) -> Point:
        """The point of greatest pressure between two neighbours on either side of a limit point.

        Raises:
            NoEquilibriumError: when it cannot be told to LIMIT_TOLERANCE.
        """
        span = self._distance(before, after)
        low, high = 0.0, span
        low_rate, high_rate = before.pressure_rate, after.pressure_rate
        low_pressure, high_pressure = before.pressure, after.pressure
        best = max(before, after, key=lambda point: point.pressure)
        for _ in range(20):
            # Where the path is concave, its end tangents meet above its summit; else it is halved.
            summit = (high_pressure - low_pressure - high_rate * (high - low)) / (
                low_rate - high_rate
            )
            ceiling = low_pressure + low_rate * summit
            over = ceiling - best.pressure
            if abs(over) < SUMMIT_TOLERANCE * best.pressure:
                break
            share = min(max(summit / (high - low), 0.1), 0.9) if over > 0.0 else 0.5
            middle = low + share * (high - low)
            try:
                found = self._between(before, after, middle, span)
            except NoEquilibriumError:
                if abs(over) > LIMIT_TOLERANCE * best.pressure:
                    raise
                break
            best = max(best, found, key=lambda point: point.pressure)
            if found.pressure_rate > 0.0:
                low, low_rate, low_pressure = middle, found.pressure_rate, found.pressure
            else:
                high, high_rate, high_pressure = middle, found.pressure_rate, found.pressure
        return best

    def _between(self, before: Point, after: Point, middle: float, span: float) -> Point:
        """Equilibrium `middle` of arc beyond the first of two neighbours, by the cubic of both."""
        along = before.direction, before.pressure_rate
        vector, pressure = self._cubic(before, after, middle / span, span)
        off = middle - self._dot(vector - before.vector, pressure - before.pressure, *along)
        guess = vector + off * along[0], pressure + off * along[1]
        try:
            return self._converged(*guess, (before.vector, before.pressure), along)
        except NoEquilibriumError:
            return self.ahead(middle - span, after)

    def _cubic(self, before: Point, after: Point, share: float, span: float) -> Way:
        """The cubic of two neighbours at this share of the arc between them."""
        ends = (1.0 + 2.0 * share) * (1.0 - share) ** 2, share**2 * (3.0 - 2.0 * share)
        slopes = span * share * (1.0 - share) ** 2, -span * share**2 * (1.0 - share)
        vector = ends[0] * before.vector + ends[1] * after.vector
        vector += slopes[0] * before.direction + slopes[1] * after.direction
        pressure = ends[0] * before.pressure + ends[1] * after.pressure
        pressure += slopes[0] * before.pressure_rate + slopes[1] * after.pressure_rate
        return vector, pressure

    def at_pressure(self, before: Point, after: Point, pressure: float) -> Point:
        """The point under this pressure between two neighbours on either side of it.

        Raises:
            NoEquilibriumError: where no equilibrium is found in between.
        """
        span = self._distance(before, after)
        guess = self._cubic(
            before, after, (pressure - before.pressure) / (after.pressure - before.pressure), span
        )
        try:
            found = self.under(guess[0], pressure)
            if found.branch == before.branch and self._distance(before, found) <= 1.1 * span:
                return found
        except NoEquilibriumError:
            pass
        return self.crossing(before, after, lambda at: at.pressure / pressure - 1.0)

    def unstable_directions(self, point: Point) -> int:
        """Number of ways in which the ring at `point` would move off by itself.

        A lobe may wander along a circular wall almost for free, and contact at separate nodes makes
        that faintly stable or unstable at random, about 0.1 EI/R^4 either way; the slackness is
        above that, and far under the 9 EI/R^4 by which a free ring resists ovalling.
        """
        ring = self.ring
        slack = 0.3 * ring.thickness**3 / 12.0 * float(np.mean(ring.tributary))
        matrix = ring.state(point.vector, point.pressure).band[ring.numbers.bandwidth :]
        below = eigvals_banded(
            matrix, lower=True, select="v", select_range=(-np.inf, -slack), check_finite=False
        )
        return len(below)
