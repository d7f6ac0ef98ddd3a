"""A second opinion as blocks of a document and as data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Picture,
    of_project,
)
from linerdesign.documents.json import FORMAT, amount, amount_of, percentage, thickness
from linerdesign.documents.numbers import both_units, factor
from linerdesign.documents.working import remarks, working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import PipeResult
from linerdesign.methods.ring.method import GERMAN_BULGE, GERMAN_GAP
from linerdesign.project.reading import Project
from linerdesign.tasks.second_opinion.opinion import (
    NUMERICAL,
    THEORIES,
    Assumed,
    Opinion,
    second_opinion,
)
from linerdesign.tasks.second_opinion.statements import printed, statements, unit_of
from linerdesign.words import heads_of, sentence

if TYPE_CHECKING:
    from matplotlib.figure import Figure

USUAL = Assumed()
WITH_PICTURES = (".pdf", ".html")
# Rows of first strength, beside the theories of collapse: pressure, K, safety factor.
STRENGTH_ROWS = {"amstutz": ("p_Amstutz", "", ""), "strength": ("p_first", "K_first", "N_strength")}


# What a pipe has no number for where nothing presses.
NUMBERS = (
    "pressure_asked",
    "glock_pressure",
    "numerical_pressure",
    "collapse_pressure",
    "first_strength_pressure",
    "stress_at_design",
    "strength",
    "required_thickness",
    "enhancement_factor",
    "time_to_collapse",
)


def buckling_data(opinion: Opinion | None, result: PipeResult) -> dict[str, Any]:
    """One pipe's opinion as JSON data; numbers without a result are null, `reason` says why."""
    system = result.basis.system
    data: dict[str, Any] = {"name": result.name, "replaces_the_code_check": False}
    if opinion is None:
        return data | dict.fromkeys(NUMBERS) | {"reason": sentence("ring.nothing_presses")}

    def pressure(value: float | None) -> dict[str, Any] | None:
        return amount_of("P", value, system)

    place = opinion.place
    return data | {
        "station": place.station,
        "thickness": thickness(result.nominal_thickness, system),
        "dimension_ratio": opinion.value("DR"),
        "gap": percentage(place.gap),
        "ovality": percentage(place.ovality),
        "imperfection": percentage(place.bulge),
        "pressure_asked": pressure(place.demand),
        "glock_pressure": pressure(opinion.pressure("glock")),
        "numerical_pressure": pressure(opinion.pressure(NUMERICAL)),
        "enhancement_factor": {theory: opinion.factor(theory) for theory in THEORIES},
        "pressures": {theory: pressure(opinion.pressure(theory)) for theory in THEORIES},
        "safety_factor": {theory: opinion.safety(theory) for theory in THEORIES},
        "side_of_code": opinion.side,
        **_strength_data(opinion),
        **_time_data(opinion),
        "effects": [
            {"change": name, "enhancement_factor": found} for name, found in opinion.effects
        ],
        "reason": opinion.reason.said if opinion.reason else "",
        "statements": list(statements(opinion)),
        "steps": working_data(opinion.steps),
    }


def _strength_data(opinion: Opinion) -> dict[str, Any]:
    """Strength beside stability, and the thickness by this method with the limit that decides."""
    place, strength, required = opinion.place, opinion.strength, opinion.required
    system = opinion.result.basis.system

    def stress(value: float | None) -> dict[str, Any] | None:
        return amount_of("P", value, system)

    def scaled(ratio: float | None) -> dict[str, Any] | None:
        return None if ratio is None else stress(ratio * place.modulus)

    return {
        "collapse_pressure": stress(opinion.pressure(NUMERICAL)),
        "collapse_pressure_at_most": stress(opinion.value("p_most")),
        "first_strength_pressure": stress(opinion.value("p_first")),
        "first_strength": {
            "compression": scaled(strength.compression if strength else None),
            "tension": scaled(strength.tension if strength else None),
        },
        "stress_at_design": stress(opinion.value("s_design")),
        "stress_at_collapse": scaled(strength.at_collapse if strength else None),
        "strength": stress(place.strength),
        "strength_safety_factor": opinion.strength_safety,
        "side_of_code_by_strength": opinion.side_by_strength,
        "required_thickness": thickness(opinion.value("t_ring"), system),
        "required_thickness_limit": required.limit if required else None,
    }


def _time_data(opinion: Opinion) -> dict[str, Any]:
    """Collapse in time under the lasting design pressure."""
    found, place, system = opinion.time, opinion.place, opinion.result.basis.system
    if found is None:
        return {"time_to_collapse": None, "lasting": None}

    def years(value: float | None) -> dict[str, Any]:
        more = found.beyond if value is None else None
        return {"value": value, "more_than": more, "unit": "years"}

    pressure = None if found.pressure is None else found.pressure * place.modulus
    return {
        "time_to_collapse": years(found.collapse),
        "lasting": {
            "law": found.law.kind,
            "retention": percentage(found.law.retention),
            "t0": amount(found.law.t0, "h"),
            "design_life": amount(found.life, "years"),
            "gap_growth": percentage(found.growth),
            "time_to_collapse_with_safety_factor": years(found.collapse_n),
            "pressure_for_design_life": amount_of("P", pressure, system),
        },
    }


def blocks(opinion: Opinion | None, result: PipeResult, pictures: bool) -> tuple[Block, ...]:
    """The opinion for a document; pictures only where they can be seen."""
    heading = Heading(sentence("ring.pipe_heading", pipe=result.name), 2)
    if opinion is None:
        reason = sentence("ring.nothing_presses")
        return (heading, Paragraph(sentence("ring.no_opinion", reason=reason)))
    return (
        heading,
        Paragraph(sentence("ring.opinion")),
        Paragraph(sentence("ring.in_place" if _in_place(result) else "ring.not_a_check")),
        _table(opinion, unit_of(opinion)),
        Bullets(statements(opinion)),
        *(_pictures(opinion) if pictures and opinion.side else ()),
        working_grid(opinion.steps, result.basis.system, sentence("ring.working")),
        *((Bullets(found),) if (found := remarks(opinion.steps)) else ()),
    )


def _in_place(result: PipeResult) -> bool:
    """Whether the wall was chosen by the encased ring, as its project requires."""
    return result.basis.method == "ring"


def _table(opinion: Opinion, unit: str) -> Grid:
    place = opinion.place
    numbers = {
        "gap": 100 * place.gap,
        "ovality": 100 * place.ovality,
        "bulge": 100 * place.bulge,
        "factor": printed(opinion.value("K"), 3),
    }
    rows = [
        (sentence(f"ring.row_{theory}", **numbers), *_row(opinion, theory)) for theory in THEORIES
    ]
    for name, keys in STRENGTH_ROWS.items():
        pressure, equal, provided = (opinion.value(key) for key in keys)
        if pressure is not None:
            cells = (positional(equal, 3) if equal else "-", factor(provided))
            rows.append((sentence(f"ring.row_{name}", **numbers), positional(pressure, 4), *cells))
    wall = both_units(opinion.result.nominal_thickness, opinion.result.basis.system)
    caption = sentence(
        "ring.table",
        wall=wall,
        place=sentence("ring.at_station", station=place.station) if place.station else "",
        pressure=positional(place.demand, 4),
        unit=unit,
    )
    head = heads_of("ring.pressures", unit=unit)
    return Grid(head, "<>>>", tuple(rows), caption)


def _row(opinion: Opinion, theory: str) -> tuple[str, str, str]:
    pressure, enhancement = opinion.pressure(theory), opinion.factor(theory)
    if pressure is None or enhancement is None:
        return (sentence("ring.no_number"), "-", "-")
    return positional(pressure, 4), positional(enhancement, 3), factor(opinion.safety(theory))


def _pictures(opinion: Opinion) -> tuple[Picture, ...]:
    from linerdesign.documents.figures import render
    from linerdesign.tasks.second_opinion import pictures

    unit, name = unit_of(opinion), opinion.result.name
    solved = printed(opinion.pressure(NUMERICAL))
    drawn: tuple[tuple[Figure, str, dict[str, str]], ...] = (
        (pictures.path(opinion, unit), "path", {"pressure": solved, "unit": unit}),
        (pictures.shape(opinion), "shape", {}),
    )
    return tuple(
        Picture(
            render(figure, "svg").decode(),
            sentence(f"ring.{what}_caption", pipe=name),
            sentence(f"ring.{what}_text", **numbers),
        )
        for figure, what, numbers in drawn
    )


def added(
    result: PipeResult, targets: Sequence[Path], assumed: Assumed = USUAL
) -> tuple[dict[str, Any], tuple[Block, ...]]:
    """Data and blocks of the opinion on one pipe, with pictures where a target can show them."""
    opinion = second_opinion(result, assumed)
    pictures = any(path.suffix.lower() in WITH_PICTURES for path in targets)
    return buckling_data(opinion, result), blocks(opinion, result, pictures)


def opinions_report(project: Project, units: str, opinions: Iterable[Sequence[Block]]) -> Document:
    """The opinions on several pipes, each given by its blocks."""
    title = sentence("ring.title")
    defaults = sentence("ring.defaults", gap=100 * GERMAN_GAP, bulge=100 * GERMAN_BULGE)
    about = (block for blocks in opinions for block in blocks)
    return of_project(project, units, title, (Heading(title), Paragraph(defaults), *about))


def opinions_data(units: str, opinions: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """The result of `buckling`, from the data of each pipe."""
    return {"format": FORMAT, "units": units, "pipes": list(opinions)}
