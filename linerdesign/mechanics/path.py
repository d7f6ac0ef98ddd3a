"""Equilibrium path of a ring under growing and falling pressure, by pseudo-arc-length steps.

A step is measured by displacement and pressure together, so the path can be followed where the
pressure turns back (a limit point) and where the displacement does (a snap-back).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.linalg import eigvals_banded
from scipy.linalg.lapack import dgbtrf, dgbtrs

from linerdesign.mechanics.contact import Floats
from linerdesign.mechanics.ring import Ring, State

RESIDUAL_TOLERANCE = 1e-8
"""Largest out-of-balance nodal force allowed, as a share of the largest nodal pressure force."""

MAXIMUM_ITERATIONS = 12
MAXIMUM_POINTS = 1500
LONGEST_STEP = 0.05
SHORTEST_STEP = 1e-8


Way = tuple[Floats, float]
"""A direction of the path: rates of the unknowns (m,) and of the pressure."""


class NoEquilibrium(Exception):
    """Newton's method found no equilibrium at the smallest allowed step."""


@dataclass(frozen=True)
class Scale:
    """What counts as one unit of arc: a displacement (root of its mean square) and a pressure."""

    displacement: float
    pressure: float


@dataclass(frozen=True)
class Point:
    """An equilibrium: unknowns (m,), pressure, and the unit tangent of the path there."""

    vector: Floats
    pressure: float
    direction: Floats
    pressure_rate: float
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
    def of(cls, state: State, width: int) -> Factors:
        room = np.zeros((width, state.band.shape[1]))
        band, pivots, fault = dgbtrf(np.vstack([room, state.band]), width, width)
        if fault != 0:
            raise NoEquilibrium
        exchanges = np.count_nonzero(pivots != np.arange(len(pivots)))
        below_zero = np.count_nonzero(band[2 * width] < 0.0)
        return cls(band, pivots, width, -1.0 if (exchanges + below_zero) % 2 else 1.0)

    def solve(self, right: Floats) -> Floats:
        found, _ = dgbtrs(self.band, self.width, self.width, right, self.pivots)
        return np.asarray(found, dtype=np.float64)


@dataclass
class Path:
    """Follows the equilibria of ``ring`` from the unloaded state, one step at a time."""

    ring: Ring
    scale: Scale
    points: list[Point] = field(default_factory=list)

    def __post_init__(self) -> None:
        numbering = self.ring.numbering[:, :2]
        self._weight = np.zeros(self.ring.unknowns)
        self._weight[numbering[numbering >= 0]] = 1.0 / len(numbering)
        self._weight /= self.scale.displacement**2
        if not self.points:
            start = np.zeros(self.ring.unknowns)
            rising = (np.zeros(self.ring.unknowns), 1.0)
            self.points.append(self._converged(start, 0.0, start, 0.0, rising))

    def _dot(self, one: Floats, one_rate: float, two: Floats, two_rate: float) -> float:
        shared = one_rate * two_rate / self.scale.pressure**2
        return float(one @ (self._weight * two)) + shared

    def _tangent(self, factors: Factors, load: Floats, along: Way) -> Way:
        """Unit tangent, pointing the way ``along`` points."""
        direction = factors.solve(-load)
        length = np.sqrt(self._dot(direction, 1.0, direction, 1.0))
        if self._dot(direction, 1.0, *along) < 0.0:
            length = -length
        return direction / length, float(1.0 / length)

    def _converged(
        self,
        vector: Floats,
        pressure: float,
        origin: Floats,
        origin_pressure: float,
        along: Way,
    ) -> Point:
        """Equilibrium in the plane through (vector, pressure) square to ``along``.

        Raises NoEquilibrium when Newton's method does not settle or runs away from ``origin``.
        """
        reach = np.sqrt(
            self._dot(*(2 * (vector - origin, pressure - origin_pressure)))
        )
        for iteration in range(MAXIMUM_ITERATIONS):
            state = self.ring.state(vector, pressure)
            out_of_balance = state.force + pressure * state.load
            largest_load = np.max(np.abs(state.load)) * max(abs(pressure), 0.1 * self.scale.pressure)
            residual = float(np.max(np.abs(out_of_balance)) / largest_load)
            factors = Factors.of(state, self.ring.bandwidth)
            if residual < RESIDUAL_TOLERANCE:
                direction, rate = self._tangent(factors, state.load, along)
                branch = factors.sign * float(np.sign(rate))
                return Point(vector, pressure, direction, rate, branch, residual, iteration)
            both = factors.solve(np.stack([-out_of_balance, -state.load], axis=1))
            back, by_pressure = both[:, 0], both[:, 1]
            change = -self._dot(back, 0.0, *along) / self._dot(by_pressure, 1.0, *along)
            step = back + change * by_pressure
            if not np.all(np.isfinite(step)):
                raise NoEquilibrium
            vector, pressure = vector + step, pressure + change
            moved = self._dot(*(2 * (vector - origin, pressure - origin_pressure)))
            if moved > (3.0 * reach + 1e-6) ** 2:
                raise NoEquilibrium
        raise NoEquilibrium

    def ahead(self, step: float, point: Point | None = None) -> Point:
        """Equilibrium ``step`` of arc beyond ``point``, by default the last one."""
        last = self.points[-1] if point is None else point
        along = (last.direction, last.pressure_rate)
        vector = last.vector + step * last.direction
        pressure = last.pressure + step * last.pressure_rate
        return self._converged(vector, pressure, last.vector, last.pressure, along)

    def follow(self, until: Callable[[list[Point]], bool]) -> str:
        """Add equilibria until ``until`` says so; returns why it stopped early, or ''.

        A step is refused and shortened when Newton's method fails, when the path turns too
        sharply, or when the sign of the determinant times that of the pressure rate changes. On
        one regular branch that product never changes, so a change means that the step landed on
        another branch, or that the path goes through a bifurcation.
        """
        step = 1e-3
        while not until(self.points):
            if len(self.points) >= MAXIMUM_POINTS:
                return "the path took too many steps"
            last, crossing = self.points[-1], False
            try:
                found = self.ahead(step)
                crossing = found.branch != last.branch
                turn = self._dot(
                    found.direction, found.pressure_rate, last.direction, last.pressure_rate
                )
                # Where a node touches the wall the path has a true corner: let short steps round it.
                refused = crossing or (turn < 0.7 and step > 1e-4)
            except NoEquilibrium:
                refused = True
            if refused:
                step /= 3.0
                if step < SHORTEST_STEP:
                    return "the path branches" if crossing else "no equilibrium was found"
                continue
            self.points.append(found)
            growth = 1.7 if found.iterations <= 4 else 1.0 if found.iterations < 7 else 0.6
            step = min(LONGEST_STEP, growth * step)
        return ""

    def limit_between(self, before: Point, after: Point) -> Point:
        """The point of greatest pressure between two neighbours whose pressure rates differ in
        sign, found on the arc between them."""
        low, high = 0.0, np.sqrt(
            self._dot(*(2 * (after.vector - before.vector, after.pressure - before.pressure)))
        )
        low_rate, high_rate = before.pressure_rate, after.pressure_rate
        best = max(before, after, key=lambda point: point.pressure)
        for _ in range(8):
            share = low_rate / (low_rate - high_rate)
            middle = low + min(max(share, 0.1), 0.9) * (high - low)
            found = self.ahead(middle, before)
            gained = found.pressure - best.pressure
            best = max(best, found, key=lambda point: point.pressure)
            if abs(gained) < 1e-7 * best.pressure:
                break
            if found.pressure_rate > 0.0:
                low, low_rate = middle, found.pressure_rate
            else:
                high, high_rate = middle, found.pressure_rate
        return best

    def unstable_directions(self, point: Point) -> int:
        """Number of ways in which the ring at ``point`` would move off by itself."""
        band = self.ring.bandwidth
        matrix = self.ring.state(point.vector, point.pressure).band[band:]
        below = eigvals_banded(
            matrix, lower=True, select="v", select_range=(-1e6, -1e-14), check_finite=False
        )
        return len(below)
