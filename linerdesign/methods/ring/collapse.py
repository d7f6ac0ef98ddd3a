"""Collapse pressure of a liner in a rigid cavity: the public face of the numerical model."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.f1216.gravity import wall_inertia
from linerdesign.methods.ring.contact import Cavity, Contact, Floats
from linerdesign.methods.ring.path import NoEquilibriumError, Path, Point, Scale
from linerdesign.methods.ring.ring import Ring
from linerdesign.methods.ring.shape import Bulge, stress_free_shape

PressureFace = Literal["outer face", "middle surface"]

RANGES = {
    "dimension_ratio": (10.0, 150.0),
    "gap": (0.0, 0.03),
    "ovality": (0.0, 0.10),
    "imperfection": (0.0005, 0.03),
}
"""Ranges over which the model has been checked; it refuses to answer outside them."""

DEFAULT_ELEMENTS = 80
FEWEST_ELEMENTS, MOST_ELEMENTS = 40, 320
BULGE_HALF_ANGLE = math.radians(20.0)
"""Half the opening of the local bulge: 40 degrees in all, as in German practice (from memory;
verify against the printed guideline)."""

CONTACT_STIFFNESS = 1000.0
"""Contact stiffness over the ring's own hoop stiffness E* t/R^2."""

CONTACT_SOFTENING = 1e-3
"""Penetration over which contact builds up, over the shrinkage p R^2/(E* t) at Glock's p."""

HOLDING = 1e-3
"""Stiffness of the weak bed over EI/R^4."""

SNAP_DROP = 0.005
"""Fall of pressure that makes a limit point on the way a snap and not a ripple of the mesh."""

MESH_TOLERANCE = 0.02
"""Change of p on halving the elements. Convergence is of second order at least, so the error left
is a third of it at most; seen over the whole range, it is a tenth."""

ENERGY_TOLERANCE = 0.01
SKEW = 0.1
"""How lopsided a full ring's bulge is, so that a collapse to one side may show."""


@dataclass(frozen=True)
class Case:
    """What `collapse` solves, with the numerical settings that must not matter."""

    dimension_ratio: float
    gap: float = 0.0
    ovality: float = 0.0
    imperfection: float = 0.001
    poisson: float = 0.3
    bulge_half_angle: float = BULGE_HALF_ANGLE
    bulge_skew: float = 0.0
    elements: int = DEFAULT_ELEMENTS
    full_ring: bool = False
    pressure_on: PressureFace = "outer face"
    contact_stiffness: float = CONTACT_STIFFNESS
    contact_softening: float = CONTACT_SOFTENING

    @property
    def thickness(self) -> float:
        return 2.0 / self.dimension_ratio

    def enhancement(self, pressure_ratio: float) -> float:
        """K that gives this p/E* in p = 2 K E*/(DR - 1)^3."""
        return 0.5 * pressure_ratio * (self.dimension_ratio - 1.0) ** 3

    @property
    def crown(self) -> int:
        return self.elements

    @property
    def glock(self) -> float:
        """Glock's p/E*, which only sets the scale of the steps."""
        return 1.0025 * math.pow(self.dimension_ratio - 1.0, -2.2)

    def ring(self, full: bool | None = None) -> Ring:
        """The liner in its cavity, stress-free."""
        thickness = self.thickness
        cavity = Cavity(1.0 + self.ovality, 1.0 - self.ovality)
        shape = stress_free_shape(
            cavity,
            self.gap + 0.5 * thickness,
            Bulge(self.imperfection, self.bulge_half_angle, self.bulge_skew),
            self.elements,
            self.full_ring if full is None else full,
        )
        return Ring(
            shape,
            thickness,
            self.poisson,
            self.pressure_on == "outer face",
            HOLDING * float(wall_inertia(thickness)),
            Contact(
                cavity,
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
    """Follow the path of `case` from no pressure until well past collapse."""
    ring = case.ring()
    path = Path(ring, Scale(case.thickness + case.gap, case.glock))

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
    except NoEquilibriumError:
        return Solution(case, path, None, before, (), "the limit point could not be narrowed down")
    lows = [min(point.pressure for point in points[here:there]) for here, there in pairwise(peaks)]
    snaps = tuple(
        top.pressure
        for top, low in zip(tops[:highest], lows, strict=False)
        if low < (1.0 - SNAP_DROP) * top.pressure
    )
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


@dataclass(frozen=True)
class Collapse:
    """Outcome of one pipe. Lengths are in radii of the cavity's mean circle, D/2.

    `pressure` (in the unit of the modulus given), `pressure_ratio` p/E* and
    `enhancement_factor` K belong to the highest limit point and are None unless `converged`;
    `reason` then says why. `snaps` are p/E* at lower limit points passed on the way, where the
    liner jumps but still stands.

    `displacements` and `pressure_ratios` (n,) are the path: inward displacement of the crown
    and p/E*. `initial_shape` and `collapse_shape` (m, 2) are middle lines, invert to crown for
    half a ring; `in_contact` (m,) says which nodes press on the wall at collapse.

    `equilibrium_residual` is the largest out-of-balance nodal force over the largest pressure
    force, `energy_residual` the work of the pressure less the energy stored, over the latter, and
    `mesh_difference` the change of p when the elements are halved (None if not asked for).
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


def collapse(
    dimension_ratio: float,
    gap: float = 0.0,
    ovality: float = 0.0,
    imperfection: float = 0.001,
    modulus_plane_strain: float = 1.0,
    elements: int = DEFAULT_ELEMENTS,
    full_ring: bool = False,
    pressure_on: PressureFace = "outer face",
    check_mesh: bool = True,
) -> Collapse:
    """Pressure at which a liner collapses inside a rigid frictionless cavity.

    `dimension_ratio` is D/t, D the mean inside diameter of the cavity. `gap` (uniform annular gap
    before loading) and `imperfection` (depth of a local inward bulge of 40 degrees at the crown,
    stress-free) are shares of D/2; `ovality` is (Dmax - Dmean)/Dmean of an elliptical cavity whose
    short axis is upright, so that the bulge sits where the wall is flattest.
    `modulus_plane_strain` is E/(1 - nu^2), and sets the unit of the pressure. `elements` are
    counted per half ring. A full ring's bulge is a little lopsided, so that it may collapse to one
    side; it is a check on half a ring, and slower and less sure. The wall is elastic without shear
    strain; its pressure follows the face it acts on. A path that could not be followed, or a result
    that fails its own checks, comes back with `converged` False, a reason, and no number.

    Raises:
        ValueError: that lists every input out of range.
    """
    given = {
        "dimension_ratio": dimension_ratio,
        "gap": gap,
        "ovality": ovality,
        "imperfection": imperfection,
    }
    _refuse_bad_input(given, modulus_plane_strain, elements, pressure_on)
    case = Case(
        dimension_ratio,
        gap,
        ovality,
        imperfection,
        bulge_skew=SKEW if full_ring else 0.0,
        elements=elements,
        full_ring=full_ring,
        pressure_on=pressure_on,
    )
    solution = solve(case)
    coarse = solve(replace(case, elements=elements // 2)) if check_mesh else None
    return _judged(solution, coarse, modulus_plane_strain)


def _refuse_bad_input(
    given: dict[str, float], modulus: float, elements: int, pressure_on: str
) -> None:
    faults = [
        f"{name} is {value:g}; the model has been checked from {low:g} to {high:g}"
        for name, value in given.items()
        for low, high in [RANGES[name]]
        if not low <= value <= high
    ]
    if not (modulus > 0.0 and math.isfinite(modulus)):
        faults.append(f"modulus_plane_strain is {modulus:g}; a positive number is needed")
    if not FEWEST_ELEMENTS <= elements <= MOST_ELEMENTS:
        faults.append(f"elements is {elements}; {FEWEST_ELEMENTS} to {MOST_ELEMENTS} are allowed")
    if pressure_on not in get_args(PressureFace):
        faults.append(f"pressure_on is {pressure_on!r}; expected one of {get_args(PressureFace)}")
    if faults:
        raise ValueError("; ".join(faults))


def _fault(solution: Solution, energy: float, mesh: float | None, coarse: Solution | None) -> str:
    """Why `solution` may not be trusted, or ''."""
    if solution.stopped or solution.limit is None:
        return solution.stopped
    if solution.path.unstable_directions(solution.before):
        return "the liner would have left this path before its limit point"
    if abs(energy) > ENERGY_TOLERANCE:
        return f"the energy balance is off by {100 * energy:.2g} %"
    if coarse is not None and mesh is None:
        return f"with half the elements {coarse.stopped}"
    if mesh is not None and abs(mesh) > MESH_TOLERANCE:
        return f"halving the elements moves the pressure by {100 * mesh:.2g} %"
    return ""


def _judged(solution: Solution, coarse: Solution | None, modulus: float) -> Collapse:
    case, ring, limit = solution.case, solution.path.ring, solution.limit
    points = solution.path.points
    energy = energy_residual(solution)
    mesh = None
    if limit is not None and coarse is not None and coarse.limit is not None and not coarse.stopped:
        mesh = coarse.limit.pressure / limit.pressure - 1.0
    reason = _fault(solution, energy, mesh, coarse)
    converged = not reason
    last = limit if limit is not None else points[-1]
    pressure = last.pressure if converged else None
    touching = ring.touching(last.vector)
    return Collapse(
        dimension_ratio=case.dimension_ratio,
        gap=case.gap,
        ovality=case.ovality,
        imperfection=case.imperfection,
        converged=converged,
        reason=reason,
        pressure=None if pressure is None else pressure * modulus,
        pressure_ratio=pressure,
        enhancement_factor=None if pressure is None else case.enhancement(pressure),
        crown_displacement=case.inward(ring, last) if converged else None,
        snaps=solution.snaps,
        displacements=np.array([case.inward(ring, point) for point in points]),
        pressure_ratios=np.array([point.pressure for point in points]),
        initial_shape=ring.shape.points,
        collapse_shape=ring.positions(last.vector),
        in_contact=touching,
        contact_remained=bool(touching.any()),
        equilibrium_residual=last.residual,
        energy_residual=energy,
        mesh_difference=mesh,
    )
