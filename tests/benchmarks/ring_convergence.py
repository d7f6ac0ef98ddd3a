"""Tables that show what the collapse pressure depends on and what it does not.

`python tests/benchmarks/ring_convergence.py` prints them. Pressures are given as the enhancement
factor K of p = 2 K E*/(DR - 1)^3; "Glock" is the ratio to Glock's one-lobe closed form, 1977.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from linerdesign.methods.ring.case import Case, PressureFace
from linerdesign.methods.ring.collapse import SKEW
from linerdesign.methods.ring.path import Factors, NoEquilibriumError
from linerdesign.methods.ring.ring import Ring
from linerdesign.methods.ring.solving import Solution, solve

Row = Sequence[str | float]
SMALL = 0.0005
RATIOS = (10.0, 15.0, 30.0, 50.0, 100.0, 150.0)
THREE_PIPES = (
    Case(30.0, imperfection=SMALL),
    Case(100.0, imperfection=SMALL),
    Case(50.0, gap=0.01, ovality=0.03, imperfection=0.01),
)


def enhancement(case: Case) -> float:
    """K of `case`.

    Raises:
        NoEquilibriumError: when its path cannot be followed past collapse.
    """
    solution = solve(case)
    if solution.limit is None or solution.stopped:
        raise NoEquilibriumError(solution.stopped)
    return case.enhancement(solution.limit.pressure)


def free_ring_pressure(dimension_ratio: float, elements: int, pressure_on: PressureFace) -> float:
    """p/E* at which a perfect ring without a cavity buckles into an oval.

    Found by bisection on the sign of the determinant of the second derivatives.
    """
    case = Case(dimension_ratio, imperfection=0.0, elements=elements, pressure_on=pressure_on)
    ring = replace(case.ring(), contact=None)
    levy = 2.0 / (dimension_ratio - 1.0) ** 3
    low, high = 0.5 * levy, 1.5 * levy
    while high - low > 1e-7 * levy:
        middle = 0.5 * (low + high)
        if _determinant_sign(ring, middle) > 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _determinant_sign(ring: Ring, pressure: float) -> float:
    """Sign of the determinant once the ring has shrunk evenly under `pressure`."""
    vector = np.zeros(ring.numbers.unknowns)
    for _ in range(6):
        state = ring.state(vector, pressure)
        factors = Factors.of(state)
        vector = vector - factors.solve(state.force + pressure * state.load)
    return Factors.of(ring.state(vector, pressure)).sign


def free_ring() -> Iterator[Row]:
    """A ring without a cavity against Levy's 3 E* I/R^3."""
    yield "DR", "elements", "middle/Levy", "outer/Levy"
    for ratio in RATIOS:
        for elements in (40, 80):
            levy = 2.0 / (ratio - 1.0) ** 3
            faces: tuple[PressureFace, ...] = ("middle surface", "outer face")
            yield ratio, elements, *(free_ring_pressure(ratio, elements, f) / levy for f in faces)


def closed_form() -> Iterator[Row]:
    """Tight circular liners with ever smaller bulges, against Glock."""
    yield "DR", "bulge/radius", "K", "Glock"
    for ratio in RATIOS:
        for bulge in (0.01, 0.001, 0.0005, 0.0001):
            case = Case(ratio, imperfection=bulge)
            factor = enhancement(case)
            yield ratio, bulge, factor, factor / case.enhancement(case.glock)


def mesh() -> Iterator[Row]:
    """Number of elements in half a ring."""
    yield "DR", "gap", "ovality", "K 40", "K 80", "K 160", "K 320"
    for case in THREE_PIPES:
        factors = [enhancement(replace(case, elements=count)) for count in (40, 80, 160, 320)]
        yield case.dimension_ratio, case.gap, case.ovality, *factors


def penalty() -> Iterator[Row]:
    """Contact stiffness over hoop stiffness, and the softening of its onset."""
    yield "DR", "softening", "K 100", "K 1000", "K 10000"
    for case in THREE_PIPES:
        for softening in (1e-2, 1e-3, 1e-4):
            soft = replace(case, contact_softening=softening)
            factors = [_or_none(replace(soft, contact_stiffness=k)) for k in (1e2, 1e3, 1e4)]
            yield case.dimension_ratio, softening, *factors


def loaded_face() -> Iterator[Row]:
    """Pressure on the outer face against pressure on the middle surface."""
    yield "DR", "K outer", "K middle", "outer/middle"
    for ratio in RATIOS:
        outer = enhancement(Case(ratio, imperfection=SMALL))
        middle = enhancement(Case(ratio, imperfection=SMALL, pressure_on="middle surface"))
        yield ratio, outer, middle, outer / middle


def whole_ring() -> Iterator[Row]:
    """Half a ring by symmetry against a full ring whose bulge is lopsided."""
    yield "DR", "gap", "ovality", "K half", "K full"
    for case in THREE_PIPES:
        full = replace(case, full_ring=True, bulge_skew=SKEW)
        yield case.dimension_ratio, case.gap, case.ovality, enhancement(case), _or_none(full)


def _or_none(case: Case) -> str | float:
    """K of `case`, or that it has none."""
    try:
        return enhancement(case)
    except NoEquilibriumError:
        return "none"


def strength() -> Iterator[Row]:
    """K at first strength and at elastic collapse, E 250,000 psi, 4,500 psi, round liners."""
    yield "DR", "K first", "K elastic", "K first, German", "K elastic, German"
    for ratio in (20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0):
        cells: list[str | float] = []
        for case in (Case(ratio, imperfection=SMALL), Case(ratio, gap=0.005, imperfection=0.02)):
            solution = solve(case)
            cells += [first_strength(solution), enhancement(case)]
        yield ratio, *cells


def first_strength(solution: Solution) -> str | float:
    """K at which a fibre reaches 4,500 psi with a modulus of 250,000 psi and nu 0.3."""
    stress = 4500.0 * (1.0 - 0.3**2) / 250_000.0
    reached = [solution.point_at_stress(stress, kind) for kind in (0, 1)]
    pressures = [each[1] for each in reached if each is not None]
    return solution.case.enhancement(min(pressures)) if pressures else "none"


def trends() -> Iterator[Row]:
    """K against gap and ovality, bulge 0.1 % of the radius."""
    gaps = (0.0, 0.003, 0.01, 0.03)
    yield "DR", "ovality", *(f"K gap {100 * gap:g} %" for gap in gaps)
    for ratio in (30.0, 60.0, 100.0):
        for ovality in (0.0, 0.02, 0.05, 0.1):
            yield ratio, ovality, *(enhancement(Case(ratio, gap, ovality)) for gap in gaps)


TABLES = (free_ring, closed_form, mesh, penalty, loaded_face, whole_ring, strength, trends)


def main() -> None:
    """Print every table."""
    for table in TABLES:
        print((table.__doc__ or "").strip())
        for row in table():
            print("".join(f"{c if isinstance(c, str) else format(c, '.6g'):>14}" for c in row))
        print()


if __name__ == "__main__":
    main()
