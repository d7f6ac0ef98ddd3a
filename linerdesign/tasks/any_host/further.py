"""What is added to the opinion on a pipe: a missing part, soil springs, and grouting."""

from __future__ import annotations

from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.json import amount, thickness
from linerdesign.documents.numbers import both_units, factor
from linerdesign.documents.working import working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.methods.ring.strength import Limit
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.models import Pipe
from linerdesign.tasks.any_host.broken import opening, sprung
from linerdesign.tasks.any_host.grouting import Stage, stages
from linerdesign.tasks.any_host.liners import Liner, NoOpinionError
from linerdesign.tasks.any_host.report import LIMIT_CODES
from linerdesign.words import heads_of, sentence

Part = tuple[dict[str, Any], tuple[Block, ...]]


def missing_part(liner: Liner, pipe: Pipe) -> Part:
    """The liner at a missing part of its host, as data and blocks."""
    arc, position = pipe.hole_arc.to("deg"), pipe.hole_position.to("deg")
    heading = Heading(sentence("hosts.hole_heading", pipe=pipe.name), 2)
    try:
        found = opening(liner, arc, position)
    except NoOpinionError as why:
        return _silent(heading, why)
    provided = found.at.decides.pressure / liner.demand.pressure
    said = sentence(
        "hosts.hole",
        arc=arc,
        position=position,
        wall=both_units(liner.wall, liner.system),
        factor=factor(provided),
        pressure=positional(liner.number("P"), 4),
        unit=SYMBOLS["P"].unit(liner.system),
        limit=sentence(LIMIT_CODES[found.at.decides.limit]),
        thickness=both_units(found.thickness, liner.system),
    )
    modulus, unit = liner.number("E_plane"), SYMBOLS["P"].unit(liner.system)
    jumps = tuple(
        sentence("ring.snap", pressure=positional(jump * modulus, 4), unit=unit)
        for jump in sorted(found.at.solution.snaps)
        if jump < found.at.decides.pressure
    )
    text = " ".join((said, *jumps))
    data = {
        "reason": "",
        "passes": provided >= liner.number("N"),
        "safety_factor": provided,
        "limit": found.at.decides.limit,
        "required_thickness": thickness(found.thickness, liner.system),
        "mesh_difference_percent": 100.0 * found.at.mesh,
        "energy_residual_percent": 100.0 * found.at.energy,
        "text": text,
    }
    return data, (heading, Paragraph(text))


def soil_springs(liner: Liner, pipe: Pipe) -> Part:
    """The liner of a fully deteriorated pipe on soil springs, as data and blocks."""
    heading = Heading(sentence("hosts.springs_heading", pipe=pipe.name), 2)
    try:
        found = sprung(liner)
    except NoOpinionError as why:
        return _silent(heading, why)
    unit = SYMBOLS["P"].unit(liner.system)
    said = sentence(
        "hosts.springs",
        both=positional(found.both_ways, 4),
        apart=positional(found.apart, 4),
        unit=unit,
        bulge=100.0 * liner.bulge,
        factor=factor(found.factor),
    )
    data = {
        "reason": "",
        "passes": True,
        "both_ways_pressure": amount(found.both_ways, unit),
        "one_way_pressure": amount(found.apart, unit),
        "safety_factor": found.factor,
        "text": said,
        "steps": working_data(found.steps),
    }
    grid = working_grid(found.steps, liner.system, sentence("hosts.working"))
    return data, (heading, Paragraph(said), grid)


def grouting(liner: Liner, pipe: Pipe) -> Part:
    """The liner of a pipe under every stage of grout, as data and blocks."""
    heading = Heading(sentence("hosts.grout_heading", pipe=pipe.name), 2)
    try:
        found = stages(liner, pipe)
    except NoOpinionError as why:
        return _silent(heading, why)
    rows = [_stage(liner, each) for each in found]
    said = tuple(_grout_said(liner, found))
    caption = sentence(
        "hosts.grout_table",
        wall=both_units(liner.wall, liner.system),
        safety=liner.number("N"),
    )
    head = heads_of("hosts.grout")
    data = {
        "reason": "; ".join(each.reason.said for each in found if each.reason),
        "stages": [_stage_data(liner, each) for each in found],
        "passes": all(_passes(liner, each) for each in found),
        "statements": list(said),
    }
    steps = [
        working_grid(each.steps, liner.system, sentence("hosts.grout_working", number=number))
        for number, each in enumerate(found, 1)
    ]
    grid = Grid(head, ">>>>><", tuple(rows), caption)
    note = Paragraph(sentence("hosts.grout_note"))
    return data, (heading, note, grid, Bullets(said), *steps)


def _silent(heading: Heading, why: NoOpinionError) -> Part:
    reason = why.reason.said
    return {"reason": reason, "passes": False}, (
        heading,
        Paragraph(sentence("hosts.silent", reason=reason)),
    )


def _passes(liner: Liner, stage: Stage) -> bool:
    return stage.factor is not None and stage.factor >= liner.number("N")


def _stress(liner: Liner, ratio: float | None) -> float | None:
    """A stress over the initial modulus in plane strain, in the unit of the sheet."""
    if ratio is None:
        return None
    modulus = liner.number("E") / (1.0 - liner.number("nu") ** 2)
    return ratio * modulus


def _stage(liner: Liner, stage: Stage) -> tuple[str, ...]:
    depth, unit = (SYMBOLS[key].unit(liner.system) for key in ("h_grout", "P"))
    cells = [f"{positional(stage.top, 4)} {depth}", f"{positional(stage.pressure, 4)} {unit}"]
    at = stage.at
    if at is None:
        return (*cells, "-", "-", "-", sentence("ring.no_number"))
    moved, stress = at.movement, _stress(liner, at.stress)
    section = SYMBOLS["t"].unit(liner.system)
    shown = "-" if moved is None else f"{positional(moved * liner.radius, 3)} {section}"
    strained = "-" if stress is None else f"{positional(stress, 3)} {unit}"
    decides = sentence(LIMIT_CODES[at.decides.limit])
    provided = factor(stage.factor)
    if at.decides.limit is Limit.NONE:
        provided = sentence("hosts.at_least", factor=provided)
    return (*cells, shown, strained, provided, decides)


def _stage_data(liner: Liner, stage: Stage) -> dict[str, Any]:
    depth, unit = (SYMBOLS[key].unit(liner.system) for key in ("h_grout", "P"))
    at = stage.at
    moved = None if at is None or at.movement is None else at.movement * liner.radius
    return {
        "bottom": amount(stage.bottom, depth),
        "top": amount(stage.top, depth),
        "pressure": amount(stage.pressure, unit),
        "deflection": amount(moved, SYMBOLS["t"].unit(liner.system)),
        "stress": amount(_stress(liner, at.stress) if at else None, unit),
        "safety_factor": stage.factor,
        "limit": at.decides.limit if at else None,
        "mesh_difference_percent": 100.0 * at.mesh if at else None,
        "passes": _passes(liner, stage),
        "reason": stage.reason.said if stage.reason else "",
        "steps": working_data(stage.steps),
    }


def _grout_said(liner: Liner, found: list[Stage]) -> list[str]:
    """What the stages come to."""
    said = []
    for number, each in enumerate(found, 1):
        if each.reason is not None:
            said.append(sentence("hosts.grout_lost", number=number, reason=each.reason.said))
        elif not _passes(liner, each):
            numbers = {"factor": factor(each.factor), "safety": liner.number("N")}
            said.append(sentence("hosts.grout_unsafe", number=number, **numbers))
    return said or [sentence("hosts.grout_safe", safety=liner.number("N"))]
