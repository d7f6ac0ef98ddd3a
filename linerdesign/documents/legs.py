"""The legs of a line beside the thickness of their pipe: blocks and data."""

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
from linerdesign.methods.result import LegResult, Legs, OtherMethod, PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.thickness import FIGURES
from linerdesign.methods.verdicts import CHECK_FAILS, PASSES
from linerdesign.project.thin_wall import thin_legs
from linerdesign.words import heads_of, sentence


def addition(result: PipeResult) -> Addition:
    """The legs of a pipe, which has some, beside its thickness."""
    found, asked, system = result.legs, result.task.second, result.basis.system
    assert found is not None
    second: tuple[Block, ...] = ()
    if asked is not None and not asked.replaces:
        from linerdesign.methods.second import by_second

        beside = by_second(found.built.task)
        second = () if beside is None else _by_second(found, beside)
    return Addition("legs", data(found, system), (*blocks(found, system, result.first), *second))


def _by_second(found: Legs, second: OtherMethod) -> tuple[Block, ...]:
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


def _remarks(leg: LegResult) -> Iterator[str]:
    """What was found of a leg, less the verdict: why one fails is a caution of its pipe."""
    return (each.said for each in leg.findings[1:])


def blocks(found: Legs, system: str, first: int) -> Iterator[Block]:
    """The legs in one table, the remarks, the proposed tube, then the working of each leg."""
    yield Heading(sentence("field.legs_title"), 2)
    yield table(found, system, first)
    remarks = [f"{leg.at}: {text}" for leg in found.legs for text in _remarks(leg)]
    yield Bullets((*remarks, proposal(found, system)))
    for leg in found.legs:
        yield working_grid(
            found.steps(leg),
            system,
            sentence("field.leg_working", at=leg.at),
            leg.at,
            sentence("field.leg_topic"),
        )
    yield _checks(found.built)
    if (thin := thin_legs(found)) is not None:
        yield Heading(sentence("field.thin_title"), 2)
        yield from thin_wall.blocks(thin, True)


def _checks(built: PipeResult) -> Grid:
    """The checks of the wall delivered, thicknesses in millimetres as in the table of the legs."""
    system, made = built.basis.system, checks_grid(built)
    # The required thickness is the first of the cells of a check.
    place = len(made.columns) - len(CHECK_CELLS)
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


def table(found: Legs, system: str, first: int = 1) -> LegsTable:
    """A row a leg: its diameter, stretch, walls and verdict."""
    unit = SYMBOLS["D"].unit(system)
    rows = tuple(
        (
            leg.at,
            f"{positional(leg.diameter, 5)} {unit}",
            f"{positional(found.tube.diameter, 5)} {unit}",
            f"{positional(in_millimetres(found.tube.thickness, system), 4)}",
            f"{leg.values['x_stretch']:.1f}",
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


def proposal(found: Legs, system: str) -> str:
    """The tube that serves every leg, or that none does."""
    if found.proposed is None:
        return sentence("field.no_tube")
    diameter = f"{positional(found.proposed.diameter, 5)} {SYMBOLS['D'].unit(system)}"
    thickness_ = both_units(found.proposed.thickness, system)
    return sentence("field.tube_proposed", diameter=diameter, thickness=thickness_)


def data(found: Legs, system: str) -> list[dict[str, Any]]:
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
            "texts": [each.said for each in leg.findings],
            **picked(leg, "governing", "safety_factor"),
            "stretch_percent": leg.values["x_stretch"],
            "inner_thickness": amount_of("t_bend_in", leg.values.get("t_bend_in"), system),
            "wrinkle_height": amount_of("h_wrinkle", leg.values.get("h_wrinkle"), system),
            "fold_height": amount_of("h_fin", leg.values.get("h_fin"), system),
            "steps": working_data(found.steps(leg)),
            "proposed_tube": tube,
        }
        for leg in found.legs
    ]
