"""Liners in a host with a missing part, and on the springs of a soil that alone holds them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from linerdesign.methods.lines import line
from linerdesign.methods.origin import calculated
from linerdesign.methods.outline import equations as forms
from linerdesign.methods.outline.liner import ASIDE, Arc, HostedCase
from linerdesign.methods.outline.thickness import Held, NotConvergedError, held, required
from linerdesign.methods.result import Step
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.solving import limit_nearby, solve
from linerdesign.methods.ring.strength import MESH_TOLERANCE
from linerdesign.methods.task import Input
from linerdesign.methods.working import worked
from linerdesign.tasks.any_host.liners import ELEMENTS, Liner, NoOpinionError
from linerdesign.tasks.any_host.shaped import refusal
from linerdesign.words import sentence

BESIDE = 0.06
"""Share of the perimeter from the edge of an opening to the bulge that is the worst beside it."""

WIDEST_ARC = 60.0
"""Widest opening, in degrees, for which the model has been tried."""


@dataclass(frozen=True)
class Opening:
    """A liner at an opening: how its wall holds, and the thickness required there."""

    at: Held
    thickness: float


def opening(liner: Liner, arc: float, position: float) -> Opening:
    """The liner where `arc` degrees of the host are missing, their middle clockwise from the crown.

    Raises:
        NoOpinionError: where there is no result, with the reason.
    """
    if arc > WIDEST_ARC:
        raise NoOpinionError("hosts.wide_arc", arc=arc, most=WIDEST_ARC)
    cases = _beside(liner, arc, position)
    ratio = 2.0 * liner.radius / liner.wall
    try:
        every = [held(replace(each, dimension_ratio=ratio), liner.demand) for each in cases]
        weakest = min(every, key=lambda each: each.decides.pressure)
        start = replace(weakest.case, dimension_ratio=ratio)
        _, found = required([start], liner.demand)
    except NotConvergedError as why:
        raise NoOpinionError.of(refusal(why)) from None
    if found.dimension_ratio is None:
        raise NoOpinionError("hosts.too_thin")
    return Opening(weakest, 2.0 * liner.radius / found.dimension_ratio)


def _beside(liner: Liner, arc: float, position: float) -> list[HostedCase]:
    """Bulges beside the opening, where the wall can turn into it, and at the invert."""
    middle, half = 0.5 - position / 360.0, arc / 720.0
    missing = Arc((middle - half) % 1.0, (middle + half) % 1.0)
    case = replace(liner.case(), missing=missing)
    places = ((middle + half + BESIDE) % 1.0, ASIDE)
    return [replace(case, places=(place,)) for place in places]


@dataclass(frozen=True)
class Sprung:
    """A liner on soil springs: the closed form, and collapse where they do not pull; the sheet."""

    both_ways: float
    apart: float
    factor: float
    steps: tuple[Step, ...]


def sprung(liner: Liner) -> Sprung:
    """The liner of a fully deteriorated pipe on the springs of the soil.

    Raises:
        NoOpinionError: where the model has no collapse that passes its checks.
    """
    share = forms.spring_share(liner.number("R_w"), liner.number("B"))
    stiffness = share * liner.number("E_s") / liner.number("E_plane")
    ratio = 2.0 * liner.radius / liner.wall
    case = HostedCase(
        ratio,
        imperfection=liner.bulge,
        poisson=liner.number("nu"),
        elements=ELEMENTS,
        host=liner.host.outline,
        springs=float(stiffness),
    )
    solution = solve(case)
    if solution.limit is None or solution.stopped:
        raise NoOpinionError.of(refusal(NotConvergedError(solution.stopped or "no_limit")))
    try:
        coarse = limit_nearby(case, solution.limit, replace(case, elements=ELEMENTS // 2))
    except NoEquilibriumError:
        raise NoOpinionError.of(refusal(NotConvergedError("coarse_mesh"))) from None
    mesh = coarse.pressure / solution.limit.pressure - 1.0
    if abs(mesh) > MESH_TOLERANCE:
        raise NoOpinionError.of(refusal(NotConvergedError("mesh")))
    apart = solution.limit.pressure * liner.number("E_plane")
    steps = _spring_steps(liner, ratio, apart, mesh)
    found = {step.key: step.value for step in steps}
    return Sprung(found["p_springs"], apart, found["N_apart"], steps)


def _spring_steps(liner: Liner, ratio: float, apart: float, mesh: float) -> tuple[Step, ...]:
    keys: Sequence[str] = ("R_w", "B", "E_s", "E_L", "q_t")
    design = calculated(sentence("ring.design"))
    given = [Input(key, liner.number(key), design) for key in keys]
    model = calculated(sentence("hosts.on_springs", elements=ELEMENTS, mesh=100.0 * mesh))
    given += [Input("DR", ratio, design), Input("p_apart", apart, model)]
    lines = (forms.spring_share, forms.spring_buckling, forms.spring_factor)
    return worked(given, [line(each) for each in lines], liner.system)
