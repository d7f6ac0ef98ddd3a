"""Collapse pressure of a liner in a rigid host: the numerical model, checked before it answers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods.ring.case import DEFAULT_ELEMENTS, USUAL_RATIO, Case, PressureFace
from linerdesign.methods.ring.contact import Floats
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.solving import Solution, energy_residual, limit_nearby, solve
from linerdesign.methods.ring.strength import MESH_TOLERANCE

RANGES = {
    "dimension_ratio": (10.0, 150.0),
    "gap": (0.0, 0.03),
    "ovality": (0.0, 0.10),
    "imperfection": (0.0005, 0.03),
    "poisson_ratio": (0.0, 0.45),
}
"""Ranges over which the model has been checked; it refuses to answer outside them."""

FEWEST_ELEMENTS, MOST_ELEMENTS = 40, 320


ENERGY_TOLERANCE = 0.01
SKEW = 0.1
"""Skew of a full ring's bulge, so that a collapse to one side may show."""


@dataclass(frozen=True)
class Collapse:
    """Outcome of one pipe. Lengths are in radii of the cavity's mean circle, D/2.

    `pressure_ratio` p/E* is that of the highest limit point and None where a check failed;
    `reason` is then the finding that says why. `energy_residual` is the work of the pressure less
    the energy stored, over the latter, and `mesh_difference` the change of p when the elements are
    halved (None if not requested).
    """

    solution: Solution
    pressure_ratio: float | None
    reason: Finding | None
    energy_residual: float
    mesh_difference: float | None

    @property
    def converged(self) -> bool:
        """Whether the number passed its checks."""
        return self.reason is None

    @property
    def enhancement_factor(self) -> float | None:
        """K of p = 2 K E*/(DR - 1)^3."""
        case, ratio = self.solution.case, self.pressure_ratio
        return None if ratio is None else case.enhancement(ratio)

    @property
    def crown_displacement(self) -> float | None:
        """Inward displacement of the crown at collapse."""
        limit = self.solution.limit
        if not self.converged or limit is None:
            return None
        return self.solution.case.inward(self.solution.path.ring, limit)

    @property
    def displacements(self) -> Floats:
        """Inward displacement of the crown along the path (n,)."""
        case, path = self.solution.case, self.solution.path
        return np.array([case.inward(path.ring, point) for point in path.points])

    @property
    def pressure_ratios(self) -> Floats:
        """p/E* along the path (n,)."""
        return np.array([point.pressure for point in self.solution.path.points])

    @property
    def initial_shape(self) -> Floats:
        """Middle line before loading (m, 2), invert to crown for half a ring."""
        return self.solution.path.ring.shape.points

    @property
    def collapse_shape(self) -> Floats:
        """Middle line at collapse (m, 2), or where the path ends."""
        return self.solution.path.ring.positions(self.solution.rising[-1].vector)

    @property
    def in_contact(self) -> NDArray[np.bool_]:
        """Which nodes press on the host at collapse (m,)."""
        return self.solution.path.ring.touching(self.solution.rising[-1].vector)


def collapse(
    dimension_ratio: float,
    gap: float = 0.0,
    ovality: float = 0.0,
    imperfection: float = 0.001,
    poisson_ratio: float = USUAL_RATIO,
    elements: int = DEFAULT_ELEMENTS,
    full_ring: bool = False,
    pressure_on: PressureFace = "outer face",
    check_mesh: bool = True,
) -> Collapse:
    """Pressure at which a liner collapses inside a rigid frictionless cavity.

    `dimension_ratio` is D/t, D the mean inside diameter of the cavity. `gap` (uniform annular gap
    before loading) and `imperfection` (depth of a local inward bulge of 40 degrees at the crown,
    stress-free) are shares of D/2; `ovality` is (Dmax - Dmean)/Dmean of an elliptical cavity whose
    short axis is upright, so that the bulge is where the wall is flattest. `elements` are counted
    per half ring. A full ring's bulge is a little skewed, so that it may collapse to one side; it
    is a check on half a ring, slower and less reliable. The wall is elastic; the pressure follows
    the face it acts on. A path that could not be followed, or a result that fails its own checks,
    has no number and a reason.

    Raises:
        ValueError: that lists every input out of range.
    """
    given = {
        "dimension_ratio": dimension_ratio,
        "gap": gap,
        "ovality": ovality,
        "imperfection": imperfection,
        "poisson_ratio": poisson_ratio,
    }
    _refuse_bad_input(given, elements, pressure_on)
    case = Case(
        dimension_ratio,
        gap,
        ovality,
        imperfection,
        poisson_ratio,
        bulge_skew=SKEW if full_ring else 0.0,
        elements=elements,
        full_ring=full_ring,
        pressure_on=pressure_on,
    )
    return judged(solve(case), check_mesh)


def _refuse_bad_input(given: dict[str, float], elements: int, pressure_on: str) -> None:
    faults = [
        f"{name} is {value:g}; the model has been checked from {low:g} to {high:g}"
        for name, value in given.items()
        for low, high in [RANGES[name]]
        if not low <= value <= high
    ]
    if not FEWEST_ELEMENTS <= elements <= MOST_ELEMENTS:
        faults.append(f"elements is {elements}; {FEWEST_ELEMENTS} to {MOST_ELEMENTS} are allowed")
    if pressure_on not in get_args(PressureFace):
        faults.append(f"pressure_on is {pressure_on!r}; use one of {get_args(PressureFace)}")
    if faults:
        raise ValueError("; ".join(faults))


def judged(solution: Solution, check_mesh: bool = True) -> Collapse:
    """The outcome of a solution once it has been checked."""
    energy = energy_residual(solution)
    mesh = mesh_difference(solution) if check_mesh else None
    faults = _faults(solution, energy, mesh, check_mesh)
    reason = next(faults, None)
    return Collapse(
        solution=solution,
        pressure_ratio=solution.limit.pressure if solution.limit and not reason else None,
        reason=reason,
        energy_residual=energy,
        mesh_difference=mesh,
    )


def mesh_difference(solution: Solution) -> float | None:
    """Change of the collapse pressure when the elements are halved; None without a number."""
    if solution.limit is None:
        return None
    coarse = replace(solution.case, elements=solution.case.elements // 2)
    try:
        found = limit_nearby(solution.case, solution.limit, coarse)
        return found.pressure / solution.limit.pressure - 1.0
    except NoEquilibriumError:
        return None


def _faults(
    solution: Solution, energy: float, mesh: float | None, check_mesh: bool
) -> Iterator[Finding]:
    """Why `solution` may not be trusted."""

    def refused(name: str, **numbers: float) -> Finding:
        return finding(f"ring.{name}", Severity.OUTSIDE, None, **numbers)

    if solution.stopped or solution.limit is None:
        yield refused(solution.stopped)
        return
    if abs(energy) > ENERGY_TOLERANCE:
        yield refused("energy_balance", percent=100 * energy)
    if check_mesh and mesh is None:
        yield refused("coarse_mesh")
    if mesh is not None and abs(mesh) > MESH_TOLERANCE:
        yield refused("mesh", percent=100 * mesh)
