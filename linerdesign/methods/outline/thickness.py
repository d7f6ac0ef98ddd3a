"""The thickness of a liner in a host of any shape: by deflection, by strength and by stability.

Pressures, stresses and strengths are over E*; lengths in radii of the circle of the same perimeter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from linerdesign.methods.outline.liner import HostedCase
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.solving import (
    Solution,
    carried,
    energy_residual,
    greatest_stresses,
    solve,
)
from linerdesign.methods.ring.strength import (
    MESH_TOLERANCE,
    Demand,
    Limit,
    Reached,
    Required,
    deflected,
    followed,
    meshed,
    required_ratio,
    resistance,
)

START_RATIO = 40.0
LEAST_RATIO, MOST_RATIO = 10.0, 150.0
"""Dimension ratios between which a wall is sought: those the ring has been checked for."""

FARTHEST = 0.25
"""Inward movement up to which an elastic limit point is looked for."""

ENERGY_TOLERANCE = 0.01
WEAKER = 0.01
"""Share by which another case of lobes must be weaker to be taken in place of the first."""


class NotConvergedError(ArithmeticError):
    """No result that passed its checks; the code of the reason is its text."""


@dataclass(frozen=True)
class Held:
    """How a wall meets a demand: its limits in the order in which they are reached.

    `solution` is the path; each pressure is p/E*, the greatest of the load. `mesh` is the change of
    the deciding pressure when the elements are halved, `energy` the work less the energy stored,
    over the latter. `stress` and `movement` are those under the design pressure, None above
    collapse; `first` is the pressure of first strength and `collapse` that of the limit point,
    where they were reached.
    """

    solution: Solution
    decides: Reached
    mesh: float
    energy: float
    stress: float | None
    movement: float | None
    first: float | None
    collapse: float | None

    @property
    def case(self) -> HostedCase:
        """The liner."""
        case = self.solution.case
        assert isinstance(case, HostedCase)
        return case


def held(case: HostedCase, demand: Demand) -> Held:
    """What the wall of `case` does under growing pressure, once checked.

    Raises:
        NotConvergedError: where the path was lost, or a check failed.
    """
    solution = _solved(case, demand)
    try:
        decides, mesh = _decided(solution, demand)
        point = solution.point_at_pressure(demand.pressure)
        first = _first(solution, demand.strength)
    except NoEquilibriumError:
        raise NotConvergedError("no_equilibrium") from None
    if abs(mesh) > MESH_TOLERANCE:
        raise NotConvergedError("mesh")
    energy = energy_residual(solution)
    if abs(energy) > ENERGY_TOLERANCE:
        raise NotConvergedError("energy_balance")
    return Held(
        solution=solution,
        decides=decides,
        mesh=mesh,
        energy=energy,
        stress=max(solution.greatest_stresses(point)) if point else None,
        movement=case.inward(solution.path.ring, point) if point else None,
        first=first,
        collapse=solution.limit.pressure if solution.limit else None,
    )


def _decided(solution: Solution, demand: Demand) -> tuple[Reached, float]:
    """The deciding limit, and the change of its pressure with half the elements.

    Where the greatest pressure asked comes first, that is no limit, and the change is the one of
    the greatest stress there.

    Raises:
        NoEquilibriumError: where neither is found.
        NotConvergedError: where the path of half the elements is lost.
    """
    case, last = solution.case, solution.path.points[-1]
    if last.pressure > demand.most * demand.safety_factor * demand.pressure:
        reached = Reached(Limit.NONE, last.pressure, last)
        coarse = replace(case, elements=case.elements // 2)
        there = carried(
            case,
            last,
            coarse,
            lambda path, point: path.crossing_near(
                point, lambda at: at.pressure / last.pressure - 1
            ),
        )
        stress = max(solution.greatest_stresses(last))
        return reached, max(greatest_stresses(coarse.path(), there)) / stress - 1.0
    reached = resistance(solution, demand)
    try:
        return reached, meshed(case, reached) / reached.point.pressure - 1.0
    except NoEquilibriumError:
        assert isinstance(case, HostedCase)
        anew = _solved(replace(case, elements=case.elements // 2), demand)
        return reached, resistance(anew, demand).pressure / reached.pressure - 1.0


def _first(solution: Solution, strength: float | None) -> float | None:
    """The pressure of first strength; None where the path ends before."""
    if strength is None:
        return None
    found = [solution.point_at_stress(strength, kind) for kind in (0, 1)]
    return min((pressure for _, pressure in filter(None, found)), default=None)


def _solved(case: HostedCase, demand: Demand) -> Solution:
    """The path up to its deciding limit.

    Raises:
        NotConvergedError: where it was lost before.
    """
    solution = solve(case, demand.strength, demand.enough)
    if solution.stopped:
        raise NotConvergedError(solution.stopped)
    return solution


def required(
    cases: list[HostedCase], demand: Demand, least: float = LEAST_RATIO
) -> tuple[HostedCase, Required]:
    """The weakest of `cases`, which differ in their lobes, at the thickness that meets `demand`.

    The dimension ratio is sought from `least` up.
    The first is worked out; another takes its place where, with half the elements, it does not
    meet the demand at that thickness.

    Raises:
        NotConvergedError: where there is no result.
    """
    weakest = cases[0]
    found = _required(weakest, demand, least)
    for other in cases[1:]:
        if found.dimension_ratio is None:
            break
        trial = replace(other, dimension_ratio=found.dimension_ratio)
        there = _roughly(trial, demand)
        if there < (1.0 - WEAKER) * demand.safety_factor * demand.pressure:
            weakest, found = other, _required(trial, demand, least)
    return replace(weakest, dimension_ratio=found.dimension_ratio or least), found


def _roughly(case: HostedCase, demand: Demand) -> float:
    """The least pressure of the limits with half the elements; with all where that fails."""
    try:
        return _resistance(replace(case, elements=case.elements // 2), demand)
    except NotConvergedError:
        return _resistance(case, demand)


def _resistance(case: HostedCase, demand: Demand) -> float:
    try:
        return resistance(_solved(case, demand), demand).pressure
    except NoEquilibriumError:
        raise NotConvergedError("no_equilibrium") from None


def _required(case: HostedCase, demand: Demand, least: float) -> Required:
    try:
        return required_ratio(_solved(case, demand), demand, least, MOST_RATIO)
    except NoEquilibriumError:
        raise NotConvergedError("no_thickness") from None


def by_limit(at: Held, demand: Demand) -> dict[Limit, float | None]:
    """The dimension ratio at which each limit alone meets the demand, near the wall `at`.

    None where a limit is not reached in such a wall.
    """
    strength = replace(demand, deflection=None)
    found: dict[Limit, float | None] = {Limit.DEFLECTION: None, Limit.STABILITY: None}
    for each in (*deflected(at.solution, demand), *_strengths(at.solution, strength)):
        found[each.limit] = _ratio_of(at.case, each, demand)
    far = Demand(demand.pressure, 1.0, None, FARTHEST)
    elastic = solve(at.case, None, far.enough)
    if elastic.limit is not None:
        limit = Reached(Limit.STABILITY, elastic.limit.pressure, elastic.limit)
        found[Limit.STABILITY] = _ratio_of(at.case, limit, demand)
    return found


def _strengths(solution: Solution, demand: Demand) -> list[Reached]:
    """The limit of strength with the least pressure, where one is reached."""
    bare = replace(solution, limit=None)
    try:
        return [resistance(bare, demand)]
    except NoEquilibriumError:
        return []


def _ratio_of(case: HostedCase, reached: Reached, demand: Demand) -> float | None:
    ends = (math.log(LEAST_RATIO), math.log(MOST_RATIO))
    wanted = demand.safety_factor * demand.pressure
    trial = followed(case, reached, wanted, ends)
    return None if trial.reached is None else trial.case.dimension_ratio
