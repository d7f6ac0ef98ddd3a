"""Collapse pressure of a liner in a rigid cavity: the public face of the numerical model."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from linerdesign.mechanics.contact import Cavity, Contact, Floats
from linerdesign.mechanics.path import NoEquilibrium, Path, Point, Scale
from linerdesign.mechanics.ring import Bulge, Ring, stress_free_shape

PressureFace = Literal["outer face", "middle surface"]

RANGES = {
    "dimension_ratio": (15.0, 150.0),
    "gap": (0.0, 0.03),
    "ovality": (0.0, 0.10),
    "imperfection": (0.0005, 0.03),
}
"""Ranges over which the model has been checked; it refuses to answer outside them."""

DEFAULT_ELEMENTS = 80
BULGE_HALF_ANGLE = math.radians(20.0)
"""Half the opening of the local bulge: 40 degrees in all, as in German practice (from memory;
verify against the printed guideline)."""

CONTACT_STIFFNESS = 1000.0
"""Contact stiffness over the ring's own hoop stiffness E* t/R^2."""

CONTACT_SOFTENING = 1e-3
"""Penetration over which contact builds up, over the shrinkage p R^2/(E* t) at Glock's p."""

HOLDING = 1e-3
"""Stiffness of the weak bed over EI/R^4."""

MESH_TOLERANCE = 0.01
ENERGY_TOLERANCE = 0.01


@dataclass(frozen=True)
class Collapse:
    """Outcome of one pipe. Lengths are in radii of the cavity's mean circle, D/2.

    ``pressure`` (in the unit of the modulus given), ``pressure_ratio`` p/E* and
    ``enhancement_factor`` K belong to the highest limit point and are None unless ``converged``;
    ``reason`` then says why. ``snaps`` are p/E* at lower limit points passed on the way, where the
    liner jumps but still stands.

    ``displacements`` and ``pressure_ratios`` (n,) are the path: inward displacement of the crown
    and p/E*. ``initial_shape`` and ``collapse_shape`` (m, 2) are middle lines, invert to crown for
    half a ring; ``in_contact`` (m,) says which nodes press on the wall at collapse.

    ``equilibrium_residual`` is the largest out-of-balance nodal force over the largest pressure
    force, ``energy_residual`` the work of the pressure less the energy stored, over the latter, and
    ``mesh_difference`` the change of p when the elements are halved (None if not asked for).
    """

    dimension_ratio: float
    gap: float
    ovality: float
    imperfection: float
    converged: bool
    reason: str
    pressure: float | None
    pressure_ratio: float | None
    enhancement_factor: float | None
    crown_displacement: float | None
    snaps: tuple[float, ...]
    displacements: Floats
    pressure_ratios: Floats
    initial_shape: Floats
    collapse_shape: Floats
    in_contact: NDArray[np.bool_]
    contact_remained: bool
    equilibrium_residual: float
    energy_residual: float
    mesh_difference: float | None


@dataclass(frozen=True)
class Case:
    """What ``collapse`` solves, with the numerical settings that must not matter."""

    dimension_ratio: float
    gap: float = 0.0
    ovality: float = 0.0
    imperfection: float = 0.001
    bulge_half_angle: float = BULGE_HALF_ANGLE
    bulge_aside: float = 0.0
    elements: int = DEFAULT_ELEMENTS
    full_ring: bool = False
    pressure_on: PressureFace = "outer face"
    contact_stiffness: float = CONTACT_STIFFNESS
    contact_softening: float = CONTACT_SOFTENING

    @property
    def thickness(self) -> float:
        return 2.0 / self.dimension_ratio

    @property
    def crown(self) -> int:
        return self.elements

    @property
    def glock(self) -> float:
        """Glock's p/E*, which only sets the scale of the steps."""
        return 1.0025 * (1.0 / (self.dimension_ratio - 1.0)) ** 2.2

    def ring(self, full: bool | None = None) -> Ring:
        """The liner in its cavity, stress-free."""
        thickness = self.thickness
        cavity = Cavity(1.0 + self.ovality, 1.0 - self.ovality)
        shape = stress_free_shape(
            cavity,
            self.gap + 0.5 * thickness,
            Bulge(self.imperfection, self.bulge_half_angle, self.bulge_aside),
            self.elements,
            self.full_ring if full is None else full,
        )
        return Ring(
            shape,
            thickness,
            0.5 * thickness if self.pressure_on == "outer face" else 0.0,
            HOLDING * thickness**3 / 12.0,
            Contact(
                cavity,
                clearance=0.5 * thickness,
                stiffness=self.contact_stiffness * thickness,
                softening=self.contact_softening * self.glock / thickness,
            ),
        )

    def inward(self, ring: Ring, point: Point) -> float:
        """Inward displacement of the crown."""
        return float(-ring.spread(point.vector)[self.crown, 1])


@dataclass(frozen=True)
class Solution:
    """A followed path with its highest limit point, before it is judged."""

    case: Case
    path: Path
    limit: Point | None
    before: Point
    snaps: tuple[float, ...]
    stopped: str


def solve(case: Case) -> Solution:
    """Follow the path of ``case`` from no pressure until well past collapse."""
    ring = case.ring()
    path = Path(ring, Scale(case.thickness, case.glock))

    def spent(points: list[Point]) -> bool:
        inward = case.inward(ring, points[-1])
        top = max(points, key=lambda point: point.pressure)
        deep = inward > 1.3 * case.inward(ring, top) + case.gap + case.thickness
        return inward > 0.8 or (deep and points[-1].pressure < 0.9 * top.pressure)

    stopped = path.follow(spent)
    points = path.points
    peaks = [
        place
        for place in range(len(points) - 1)
        if points[place].pressure_rate > 0.0 >= points[place + 1].pressure_rate
    ]
    if not peaks:
        return Solution(case, path, None, points[-1], (), stopped or "no limit point was found")
    tops = [max(points[place : place + 2], key=lambda point: point.pressure) for place in peaks]
    highest = max(range(len(peaks)), key=lambda which: tops[which].pressure)
    before, after = points[peaks[highest] : peaks[highest] + 2]
    try:
        limit = path.limit_between(before, after)
    except NoEquilibrium:
        return Solution(case, path, None, before, (), "the limit point could not be narrowed down")
    snaps = tuple(top.pressure for top in tops[:highest])
    return Solution(case, path, limit, before, snaps, stopped)


def energy_residual(solution: Solution) -> float:
    """Work done by the pressure along the path, less the energy stored, over the latter."""
    ring = solution.path.ring
    points = solution.path.points
    states = [ring.energies(point.vector) for point in points]
    pressure = np.array([point.pressure for point in points])
    area = np.array([state.area for state in states])
    work = -float(np.sum(0.5 * (pressure[1:] + pressure[:-1]) * np.diff(area)))
    return (work - states[-1].stored) / states[-1].stored


def sideways(solution: Solution) -> int:
    """Unstable directions just before collapse of the full ring that mirrors a half ring."""
    case, point = solution.case, solution.before
    if case.full_ring:
        return solution.path.unstable_directions(point)
    half, full = solution.path.ring, case.ring(full=True)
    moved = half.spread(point.vector)
    mirrored = np.concatenate([moved, moved[-2:0:-1] * [-1.0, 1.0, -1.0]])
    vector = np.zeros(full.unknowns)
    vector[full.numbering] = mirrored
    return Path(full, solution.path.scale, [point]).unstable_directions(
        Point(vector, point.pressure, vector, 0.0, 0.0, 0.0, 0)
    )
