"""The thickness of a liner in a host that is not circular, with its working."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods.lines import line
from linerdesign.methods.origin import AS_GIVEN, calculated
from linerdesign.methods.outline import equations as host_lines
from linerdesign.methods.outline.thickness import (
    ENERGY_TOLERANCE,
    Held,
    NotConvergedError,
    by_limit,
    held,
    required,
)
from linerdesign.methods.result import Step
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.ring.strength import MESH_TOLERANCE, Limit
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input
from linerdesign.methods.working import worked
from linerdesign.tasks.any_host.liners import Liner, NoOpinionError
from linerdesign.words import sentence

BY_LIMIT = {
    Limit.DEFLECTION: "deflection",
    Limit.COMPRESSION: "strength",
    Limit.TENSION: "strength",
    Limit.STABILITY: "stability",
}

REQUIRED = "hosts.wall_required"
# Of each limit, the quantities that its lines are about: maximum DR and required thickness.
THICKNESSES = {
    "deflection": ("DR_deflection", "t_deflection"),
    "strength": ("DR_strength", "t_strength"),
    "stability": ("DR_stability", "t_stability"),
}


@dataclass(frozen=True)
class Shaped:
    """What mechanics says of a liner in its host.

    `thickness` is the one required, `wall` the one checked: that of the pipe, or the one required;
    `at` is how it holds. `ratios` are the maximum dimension ratios by limit, None where a limit is
    not reached. Lengths and stresses are in the unit of the sheet.
    """

    liner: Liner
    thickness: float
    governing: Limit
    wall: float
    at: Held
    ratios: dict[str, float | None]
    steps: tuple[Step, ...]

    def stress(self, ratio: float | None) -> float | None:
        """A pressure or stress over E*, in the unit of the sheet."""
        return None if ratio is None else ratio * self.liner.number("E_plane")


_MOST = {"mesh": MESH_TOLERANCE, "energy_balance": ENERGY_TOLERANCE}


def refusal(why: NotConvergedError) -> Finding:
    """The finding of a result that is refused, by the code of its reason."""
    code = str(why)
    most = _MOST.get(code)
    said = sentence(f"ring.{code}_missed", percent=100 * most) if most else sentence(f"ring.{code}")
    return finding("hosts.lost", Severity.OUTSIDE, why=said)


def shaped(liner: Liner) -> Shaped:
    """The thickness by deflection, strength and stability, and the wall in its host.

    Raises:
        NoOpinionError: where there is no result, with the reason.
    """
    demand = liner.demand
    try:
        _refuse_sharp(liner, liner.thickness or _by_flat_side(liner))
        case, found = required(liner.cases(), demand, liner.least_ratio)
        if found.dimension_ratio is None:
            _refuse_sharp(liner, 2.0 * liner.radius / (0.9 * liner.least_ratio))
            raise NoOpinionError("hosts.too_thin")
        at_required = held(case, demand)
        thickness = 2.0 * liner.radius / found.dimension_ratio
        wall = liner.thickness or thickness
        at = at_required
        if liner.thickness:
            ratio = 2.0 * liner.radius / wall
            at = _weakest(liner, ratio)
        # Of strength there is one limit at most, the one that is reached first.
        reached = by_limit(at_required, demand)
        ratios = {BY_LIMIT[limit]: ratio for limit, ratio in reached.items()}
    except NotConvergedError as why:
        raise NoOpinionError.of(refusal(why)) from None
    decided = found.limit or at_required.decides.limit
    made = Shaped(liner, thickness, decided, wall, at, ratios, ())
    return replace(made, steps=_steps(made))


def _refuse_sharp(liner: Liner, thickness: float | None) -> None:
    """Refuses a wall that is too thick for the corners of its host."""
    corner = liner.host.corner
    if corner and thickness and 2.0 * liner.radius / thickness < liner.least_ratio:
        least = liner.gap * liner.radius + 1.5 * thickness
        unit = SYMBOLS["D"].unit(liner.system)
        raise NoOpinionError("hosts.sharp", radius=corner, least=least, unit=unit)


def _by_flat_side(liner: Liner) -> float | None:
    """Thickness at which a flat side, as a clamped strip, has the strength under N P; less than two
    thirds of it won't do."""
    if liner.host.flat is None:
        return None
    strength, pressure = liner.number("sigma_L"), liner.number("N") * liner.number("P")
    return liner.host.flat * math.sqrt(pressure / (2.0 * strength)) / 1.5


def _weakest(liner: Liner, ratio: float) -> Held:
    """The given wall in the case of lobes in which it holds the least."""
    every = [held(replace(case, dimension_ratio=ratio), liner.demand) for case in liner.cases()]
    return min(every, key=lambda each: each.decides.pressure)


def convergence(at: Held) -> dict[str, float]:
    """Elements, the change with half of them, and the energy residual; both in percent."""
    elements = 2 * at.case.elements if at.case.full_ring else at.case.elements
    return {"elements": elements, "mesh": 100.0 * at.mesh, "energy": 100.0 * abs(at.energy)}


def _steps(made: Shaped) -> tuple[Step, ...]:
    liner, at = made.liner, made.at
    outline, model = liner.host.outline, calculated(sentence("ring.by_model"))
    measured = calculated(sentence("hosts.outline"))
    practice = calculated(sentence("ring.german_default"))
    perimeter = 2.0 * math.pi * outline.radius
    given = [
        *liner.inputs,
        Input("L_host", perimeter, measured),
        Input("b_host", liner.host.width, AS_GIVEN if liner.host.stated_width else measured),
        Input("r_deflect", 100.0 * liner.allowed, calculated(sentence("hosts.limit"))),
        Input("g", 100.0 * liner.gap, AS_GIVEN if liner.gap_given else practice),
        Input("t", made.wall, AS_GIVEN if liner.thickness else calculated(sentence(REQUIRED))),
    ]
    lines = [
        *liner.lines,
        line(host_lines.equal_diameter),
        line(host_lines.allowed_deflection),
    ]
    if liner.host.flat:
        given.append(Input("L_flat", liner.host.flat, measured))
        lines += [line(host_lines.flat_deflection), line(host_lines.flat_stress)]
    for name, ratio in made.ratios.items():
        if ratio is not None:
            by_ratio, thickness = THICKNESSES[name]
            given.append(Input(by_ratio, ratio, model))
            names = {"D": "D_host", "DR_ring": by_ratio, "t_ring": thickness}
            lines.append(line(ring.ring_thickness, names))
    numbers = {"p_first": at.first, "s_design": at.stress, "p_solved": at.collapse}
    factors = {
        "p_first": ring.strength_factor,
        "s_design": ring.stress_factor,
        "p_solved": ring.stability_factor,
    }
    for key, value in numbers.items():
        found = made.stress(value)
        if found:
            given.append(Input(key, found, model))
            lines.append(line(factors[key]))
    if at.movement is not None:
        given.append(Input("w_design", at.movement * liner.radius, model))
    return worked(given, lines, liner.system)
