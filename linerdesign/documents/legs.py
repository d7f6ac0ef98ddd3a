"""The legs of a line beside the thickness of their pipe: blocks, data, and the pipe's status."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from linerdesign.documents import thin_wall
from linerdesign.documents.blocks import Addition, Block, Bullets, Grid, Heading, LegsTable
from linerdesign.documents.json import amount_of, picked, thickness
from linerdesign.documents.numbers import both_units, factor, in_millimetres
from linerdesign.documents.sheet import CHECK_CELLS, checks_grid
from linerdesign.documents.working import working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tolerance import under
from linerdesign.findings import Severity, finding
from linerdesign.methods.legs import LEG_FAILS
from linerdesign.methods.result import Legs, OtherMethod, PipeResult
from linerdesign.methods.second import by_second
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.thickness import FIGURES
from linerdesign.methods.verdicts import CHECK_FAILS, FAILS, OUTSIDE, PASSES
from linerdesign.project.lining import LegResult, Lining, lining
from linerdesign.project.reading import Project
from linerdesign.project.thin_wall import ovality_key
from linerdesign.words import heads_of, sentence


def short_legs(found: Lining, system: str) -> tuple[str, ...]:
    """The legs that the wall delivered does not serve, each with the reason."""
    return tuple(
        sentence(LEG_FAILS, at=leg.at, text=texts(leg, system)[0])
        for leg in found.legs
        if not leg.passes
    )


def with_legs(project: Project, result: PipeResult) -> tuple[PipeResult, Addition]:
    """The pipe with the status and the lowest safety factor of its worst leg, and its legs.

    Raises:
        InputFaults: as `lining`.
    """
    found, system = lining(project, result), result.basis.system
    asked = result.task.second
    beside = None if asked is None or asked.replaces else by_second(found.built.task)
    status = result.status
    if not found.passes:
        status = FAILS
    elif found.built.status == OUTSIDE and result.holds:
        status = OUTSIDE
    factors = [
        each.lowest_safety_factor
        for each in (result, found.built)
        if each.lowest_safety_factor is not None
    ]
    short = tuple(
        finding(LEG_FAILS, Severity.CAUTION, None, at=leg.at, text=texts(leg, system)[0])
        for leg in found.legs
        if not leg.passes
    )
    taken = replace(
        result,
        status=status,
        legs=Legs(
            tube=found.tube.thickness,
            names=tuple(leg.at for leg in found.legs),
            served=tuple(leg.passes for leg in found.legs),
            built=found.built,
            places=found.places,
            ovality=ovality_key(result.basis.ovality),
            proposed=proposed(found),
        ),
        lowest_safety_factor=min(factors, default=None),
        notes=(*result.notes, *short),
    )
    second = () if beside is None else _by_second(found, beside)
    shown = (*blocks(found, system, result.first), *second)
    return taken, Addition("legs", data(found, system), shown)


def _by_second(found: Lining, second: OtherMethod) -> tuple[Block, ...]:
    """The legs by the second method, each with its own diameter: a row a station of the legs."""
    result = second.result
    if result is None:
        reason = sentence("second.none", method=second.method, why=second.why)
        return (Bullets((reason,)),)
    system = result.basis.system
    walls = [values["t"] for values in result.values]
    rows = tuple(
        (
            place.at or found.legs[0].at,
            f"{in_millimetres(wall, system):.2f}",
            f"{in_millimetres(place.required_thickness, system):.2f}",
            factor(wall / place.required_thickness if place.required_thickness else None),
        )
        for place, wall in zip(result.places, walls, strict=True)
    )
    heads = heads_of("documents.legs_by_second")
    caption = sentence("second.legs_caption")
    heading = Heading(sentence("second.legs", method=second.method), 2)
    return (heading, Grid(heads, "<>>>", rows, caption))


def texts(leg: LegResult, system: str) -> tuple[str, ...]:
    """The verdict on a leg, then stretch, temperature, folds and wrinkles."""
    least = both_units(leg.least, system)
    where = sentence("field.outer_side") if leg.value("t_bend_out") else ""
    found = []
    for code, bound in (("leg_short", leg.required), ("leg_minimum", leg.minimum)):
        if under(leg.least, bound):
            about = {"required": both_units(bound, system), "equation": leg.governing}
            missing = both_units(bound - leg.least, system)
            text = sentence(f"field.{code}", least=least, where=where, missing=missing, **about)
            found.append(text)
    required = both_units(leg.needed, system)
    if not found:
        found.append(sentence("field.leg_enough", least=least, where=where, required=required))
    said = [each.said for each in leg.findings]
    return tuple((*found, *said) if leg.system_allows else (*said, *found))


def _remarks(leg: LegResult, system: str) -> tuple[str, ...]:
    """What was found of a leg, less why it fails: that is a caution of its pipe."""
    return tuple(each.said for each in leg.findings) if leg.passes else texts(leg, system)[1:]


def blocks(found: Lining, system: str, first: int = 1) -> Iterator[Block]:
    """The legs in one table, the remarks, the proposed tube, then the working of each leg."""
    yield Heading(sentence("field.legs_title"), 2)
    yield table(found, system, first)
    remarks = [f"{leg.at}: {text}" for leg in found.legs for text in _remarks(leg, system)]
    yield Bullets((*remarks, proposal(proposed(found), system)))
    for leg in found.legs:
        yield working_grid(
            leg.steps,
            system,
            sentence("field.leg_working", at=leg.at),
            leg.at,
            sentence("field.leg_topic"),
        )
    yield _checks(found.built)
    if found.thin is not None:
        yield Heading(sentence("field.thin_title"), 2)
        yield from thin_wall.blocks(found.thin, True)


def _checks(built: PipeResult) -> Grid:
    """The checks of the wall delivered, thicknesses in millimetres as in the table of the legs."""
    system, made = built.basis.system, checks_grid(built)
    place = len(made.columns) - len(CHECK_CELLS) + CHECK_CELLS.index("required")
    required = (
        positional(in_millimetres(each.required_thickness, system), FIGURES)
        for each in built.checks
    )
    rows = (
        (*row[:place], each, *row[place + 1 :])
        for row, each in zip(made.rows, required, strict=True)
    )
    columns = (*made.columns[:place], *heads_of("documents.required"), *made.columns[place + 1 :])
    return replace(
        made, columns=columns, rows=tuple(rows), caption=sentence("field.leg_checks"), narrow=True
    )


def table(found: Lining, system: str, first: int = 1) -> LegsTable:
    """A row a leg: its diameter, stretch, walls and verdict."""
    unit = SYMBOLS["D"].unit(system)
    rows = tuple(
        (
            leg.at,
            f"{positional(leg.diameter, 5)} {unit}",
            f"{positional(found.tube.diameter, 5)} {unit}",
            f"{positional(in_millimetres(found.tube.thickness, system), 4)}",
            f"{leg.value('x_stretch') or 0.0:.1f}",
            f"{in_millimetres(leg.delivered, system):.2f}",
            f"{in_millimetres(leg.least, system):.2f}",
            f"{in_millimetres(leg.needed, system):.2f}",
            factor(leg.safety_factor),
            PASSES if leg.passes else CHECK_FAILS,
        )
        for leg in found.legs
    )
    columns = heads_of("documents.legs")
    keys = (
        *("leg", "diameter", "tube_diameter", "tube", "stretch", "delivered", "least"),
        *("required", "safety", "verdict"),
    )
    caption = sentence("field.legs_caption")
    short = frozenset((n, len(keys) - 1) for n, leg in enumerate(found.legs) if not leg.passes)
    return LegsTable(columns, "<>>>>>>>><", rows, caption, strong=short, keys=keys, first=first)


def proposal(tube: tuple[float, float] | None, system: str) -> str:
    """The tube that serves every leg, by its diameter and wall, or that none does."""
    if tube is None:
        return sentence("field.no_tube")
    diameter, wall = tube
    about = {"diameter": f"{positional(diameter, 5)} {SYMBOLS['D'].unit(system)}"}
    return sentence("field.tube_proposed", **about, thickness=both_units(wall, system))


def proposed(found: Lining) -> tuple[float, float] | None:
    """The diameter and wall of the tube that serves every leg."""
    tube = found.proposed
    return None if tube is None else (tube.diameter, tube.thickness)


def data(found: Lining, system: str) -> list[dict[str, Any]]:
    """The legs as JSON data; thicknesses in the unit of the sheet."""
    tube = found.proposed and {
        "diameter": amount_of("D", found.proposed.diameter, system),
        "thickness": thickness(found.proposed.thickness, system),
    }
    return [
        {
            "at": leg.at,
            "delivered_thickness": thickness(leg.delivered, system),
            "least_thickness": thickness(leg.least, system),
            "required_thickness": thickness(leg.required, system),
            "minimum_thickness": thickness(leg.minimum, system),
            "passes": leg.passes,
            "texts": list(texts(leg, system)),
            **picked(leg, "governing", "safety_factor"),
            "stretch_percent": leg.value("x_stretch"),
            "inner_thickness": amount_of("t_bend_in", leg.value("t_bend_in"), system),
            "wrinkle_height": amount_of("h_wrinkle", leg.value("h_wrinkle"), system),
            "fold_height": amount_of("h_fin", leg.value("h_fin"), system),
            "steps": working_data(leg.steps),
            "proposed_tube": tube,
        }
        for leg in found.legs
    ]
