"""The second opinion on a liner in a host that is not circular: its data and its document."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.json import amount, thickness
from linerdesign.documents.numbers import both_units, factor
from linerdesign.documents.working import remarks, working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.methods.ring.strength import Limit
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.any_host.liners import Liner
from linerdesign.tasks.any_host.shaped import THICKNESSES, Shaped, convergence
from linerdesign.words import heads_of, sentence

LIMIT_CODES = {
    Limit.STABILITY: "ring.limit_stability",
    Limit.COMPRESSION: "ring.limit_compression",
    Limit.TENSION: "ring.limit_tension",
    Limit.DEFLECTION: "hosts.limit_deflection",
    Limit.NONE: "hosts.limit_none",
}
# What `buckling` gives of a circular pipe too, so that a reader of any pipe finds it.
COMMON = (
    "glock_pressure",
    "numerical_pressure",
    "collapse_pressure",
    "first_strength_pressure",
    "stress_at_design",
    "strength",
    "required_thickness",
    "required_thickness_limit",
    "enhancement_factor",
    "pressure_asked",
)


def silent_data(name: str, reason: str) -> dict[str, Any]:
    """The data of a pipe without a result, empty but for the reason."""
    nothing: dict[str, Any] = {"name": name, "replaces_the_code_check": False, "shaped": True}
    return nothing | dict.fromkeys(COMMON) | {"reason": reason}


def silent_blocks(name: str, reason: str) -> tuple[Block, ...]:
    """The document of a pipe without a result."""
    said = sentence("hosts.silent", reason=reason)
    return Heading(sentence("hosts.heading", pipe=name), 2), Paragraph(said)


def shaped_data(name: str, found: Shaped) -> dict[str, Any]:
    """One pipe as JSON data: thickness by each limit, the wall checked, and the convergence."""
    liner, at, system = found.liner, found.at, found.liner.system
    unit, section = SYMBOLS["P"].unit(system), SYMBOLS["t"].unit(system)
    converged = convergence(at)
    values = {step.key: step.value for step in found.steps}
    collapse = amount(found.stress(at.collapse), unit)
    by_limit = {row: values.get(THICKNESSES[row][1]) for row in THICKNESSES}
    moved = None if at.movement is None else at.movement * liner.radius
    return silent_data(name, "") | {
        "thickness": thickness(found.wall, system),
        "gap": amount(100 * liner.gap, "%"),
        "imperfection": amount(100 * liner.bulge, "%"),
        "pressure_asked": amount(liner.number("P"), unit),
        "numerical_pressure": collapse,
        "collapse_pressure": collapse,
        "first_strength_pressure": amount(found.stress(at.first), unit),
        "stress_at_design": amount(found.stress(at.stress), unit),
        "strength": amount(liner.number("sigma_L"), unit),
        "deflection_at_design": amount(moved, section),
        "maximum_deflection": amount(liner.deflection, section),
        "required_thickness": thickness(found.thickness, system),
        "required_thickness_limit": found.governing,
        "required_thickness_by": {row: thickness(value, system) for row, value in by_limit.items()},
        "lobes": 1 if at.case.full_ring else 2,
        "lobe_place_percent": 100 * at.case.places[0],
        "convergence": {
            "elements": converged["elements"],
            "mesh_difference_percent": converged["mesh"],
            "energy_residual_percent": converged["energy"],
        },
        "statements": list(statements(found)),
        "steps": working_data(found.steps),
    }


def shaped_blocks(name: str, found: Shaped) -> tuple[Block, ...]:
    """One pipe for a document."""
    return (
        Heading(sentence("hosts.heading", pipe=name), 2),
        Paragraph(sentence("hosts.not_the_code")),
        _table(found),
        Bullets(tuple(statements(found))),
        working_grid(found.steps, found.liner.system, sentence("hosts.working")),
        *((Bullets(said),) if (said := remarks(found.steps)) else ()),
    )


def _table(found: Shaped) -> Grid:
    liner = found.liner
    values = {step.key: step.value for step in found.steps}
    rows = []
    for row in THICKNESSES:
        value = values.get(THICKNESSES[row][1])
        rows.append(
            (
                sentence(f"hosts.row_{row}", allowed=100 * liner.allowed),
                sentence("hosts.not_reached") if value is None else both_units(value, liner.system),
            )
        )
    caption = sentence(
        "hosts.table",
        wall=both_units(found.wall, liner.system),
        pressure=positional(liner.number("P"), 4),
        unit=SYMBOLS["P"].unit(liner.system),
        safety=liner.number("N"),
    )
    head = heads_of("hosts.limits")
    return Grid(head, "<>", tuple(rows), caption)


def statements(found: Shaped) -> Iterator[str]:
    """What the numbers come to, in sentences."""
    liner, at = found.liner, found.at
    unit, section = SYMBOLS["P"].unit(liner.system), SYMBOLS["t"].unit(liner.system)
    yield sentence(
        "hosts.required",
        thickness=both_units(found.thickness, liner.system),
        limit=sentence(LIMIT_CODES[found.governing]),
    )
    if at.movement is not None:
        yield sentence(
            "hosts.at_wall",
            wall=both_units(found.wall, liner.system),
            moved=positional(at.movement * liner.radius, 4),
            allowed=positional(liner.deflection, 4),
            unit_length=section,
            stress=positional(found.stress(at.stress) or 0.0, 4),
            strength=positional(liner.number("sigma_L") / liner.number("N"), 4),
            unit=unit,
        )
    yield from short_wall(found)
    lobes = "one_lobe" if at.case.full_ring else "two_lobes"
    mode = sentence(f"hosts.{lobes}", place=100 * at.case.places[0])
    yield sentence("hosts.converged", mode=mode, **convergence(at))
    yield loads(liner)


def short_wall(found: Shaped) -> Iterator[str]:
    """A caution where the wall given does not hold what is required."""
    liner = found.liner
    provided = found.at.decides.pressure / liner.demand.pressure
    if provided < liner.number("N") * (1 - 1e-4):
        yield sentence(
            "hosts.short",
            wall=both_units(found.wall, liner.system),
            factor=factor(provided),
            safety=liner.number("N"),
        )


def loads(liner: Liner) -> str:
    """What presses on the liner, and its imperfections."""
    return sentence(
        "hosts.loads",
        profile=sentence("hosts.hydrostatic" if liner.profile else "hosts.uniform"),
        gap=100 * liner.gap,
        bulge=100 * liner.bulge,
        weight=sentence("hosts.counted" if liner.weight else "hosts.left_out"),
        lifted=sentence("hosts.lifted" if liner.buoyant else "hosts.held"),
    )
