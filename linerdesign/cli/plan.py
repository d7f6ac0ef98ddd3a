"""`linerdesign plan FILE`: nominal thickness over diameter, cover and water."""

from __future__ import annotations

import argparse
import csv
import io
from collections.abc import Iterable
from typing import Any

from linerdesign.cli import project_file
from linerdesign.comparisons.planning import Entry, PlanningTable, planning_table
from linerdesign.outputs.document import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Outcome,
    of_project,
)
from linerdesign.outputs.numbers import value_with_unit
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.measures import Measure, parse
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.placing import in_place_of
from linerdesign.project.reading import Project

OWN_FORMS = (".csv",)
CASED = ("host_diameter", "cover")
DEFAULTS = {
    "US": (
        ("6 in", "8 in", "10 in", "12 in", "15 in", "18 in", "24 in", "30 in", "36 in"),
        ("5 ft", "10 ft", "15 ft", "20 ft"),
        ("0 ft", "5 ft", "10 ft", "15 ft"),
    ),
    "SI": (
        ("150 mm", "200 mm", "250 mm", "300 mm", "375 mm", "450 mm", "600 mm", "900 mm"),
        ("1.5 m", "3 m", "4.5 m", "6 m"),
        ("0 m", "1.5 m", "3 m", "4.5 m"),
    ),
}
MOST_CELLS = 20_000


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    project_file.add_arguments(parser)
    parser.add_argument("--pipe", metavar="NAME", help="pipe that gives all else; the first one")
    parser.add_argument("--resin", metavar="NAME", help="resin of the table; the pipe's own")
    parser.add_argument("--diameter", metavar="D", nargs="+", help='host diameters: "8 in" "10 in"')
    parser.add_argument("--cover", metavar="H", nargs="+", help='covers: "5 ft" "10 ft"')
    parser.add_argument(
        "--water", metavar="W", nargs="+", help="water, in the datum in which the pipe states it"
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Makes the planning table."""
    project, system = project_file.read_project(arguments)
    pipe = _named("--pipe", arguments.pipe, project.pipes) or project.pipes[0]
    resin = _named("--resin", arguments.resin, project.resins) or project.resin_of(pipe)
    diameters, covers, waters = _axes(arguments, system)
    table = planning_table(project, pipe, resin, diameters, covers, waters, system)
    for path in arguments.output:
        if path.suffix.lower() in OWN_FORMS:
            with in_place_of(path) as temporary:
                temporary.write_text(_csv(table), encoding="utf-8", newline="")
    return Outcome(
        document=_document(project, pipe, resin, table, system),
        data=_data(table, resin),
        holds=all(each.passes and not each.outside for each in table.entries.values()),
    )


def _named(option: str, name: str | None, among: Iterable[Any]) -> Any:
    """The pipe or resin of that name; nothing where none is named."""
    if name is None:
        return None
    for each in among:
        if each.name == name:
            return each
    known = ", ".join(shown(each.name) for each in list(among)[:20])
    raise InputFaults([Fault(option, shown(name), f"one of {known}")])


def _axes(arguments: argparse.Namespace, system: str) -> list[list[Measure]]:
    given = (arguments.diameter, arguments.cover, arguments.water)
    faults: list[Fault] = []
    axes = []
    for option, kind, texts, usual in zip(
        ("--diameter", "--cover", "--water"),
        ("section", "cover", "level"),
        given,
        DEFAULTS[system],
        strict=True,
    ):
        axis: dict[str, Measure] = {}
        for text in texts or usual:
            try:
                axis[parse(text, kind).text] = parse(text, kind)
            except ValueError as error:
                faults.append(Fault(option, shown(text), str(error)))
        axes.append(list(axis.values()))
    if not faults and len(axes[0]) * len(axes[1]) * len(axes[2]) > MOST_CELLS:
        faults.append(Fault("planning table", "", f"at most {MOST_CELLS:,} cells"))
    if faults:
        raise InputFaults(faults)
    return axes


def _document(
    project: Project, pipe: Pipe, resin: Resin, table: PlanningTable, system: str
) -> Document:
    blocks: list[Block] = [
        Heading("Planning table"),
        Bullets(
            (
                f"resin: {resin.name}; condition: {pipe.condition}; values not varied here are "
                f"those of pipe {pipe.name}",
                f"water is {_water_name(table)}; cover is the soil above the top of the pipe",
                "* caution, ! outside the method, x a check fails; the notes stand below",
                "for planning: each pipe is to be designed by its own values",
            )
        ),
    ]
    for water in table.waters:
        rows = tuple(
            (d.text, *(_cell(table.entries[water.text, c.text, d.text]) for c in table.covers))
            for d in table.diameters
        )
        columns = ("diameter", *(f"cover {c.text}" for c in table.covers))
        caption = f"Nominal thickness, mm (governing); {_water_name(table)}: {water.text}"
        blocks.append(Grid(columns, ">" + "<" * len(table.covers), rows, caption))
    notes = tuple(dict.fromkeys(t for each in table.entries.values() for t in each.notes))
    if notes:
        blocks += [Heading("Notes", 2), Bullets(notes)]
    blocks.append(_assumptions(table, system))
    blocks.append(_criteria(project.criteria))
    return of_project(project, system, "Planning table of liner thickness", blocks)


def _water_name(table: PlanningTable) -> str:
    return table.water_key.replace("_", " ")


def _cell(entry: Entry) -> str:
    mark = "x" if not entry.passes else "!" if entry.outside else "*" if entry.notes else ""
    return f"{entry.nominal:g}{mark} ({entry.governing})"


def _assumptions(table: PlanningTable, system: str) -> Grid:
    """Every input that the table holds fixed, as the sheet of a pipe prints it."""
    from linerdesign.equations.symbols import SYMBOLS

    varied = {*CASED, table.water_key}
    rows = tuple(
        (
            SYMBOLS[each.key].meaning,
            SYMBOLS[each.key].symbol,
            value_with_unit(each.key, each.value, system),
            each.source,
        )
        for each in table.made.stations[0].inputs
        if SYMBOLS[each.key].name not in varied
    )
    return Grid(("assumption", "symbol", "value", "source"), "<<><", rows, "Held fixed")


def _criteria(criteria: Criteria) -> Grid:
    values = {key: getattr(criteria, key) for key in type(criteria).model_fields}
    rows = tuple(
        (key, str(value), criteria.giver(key))
        for key, value in values.items()
        if isinstance(value, str | float | Measure) and value != ""
    )
    return Grid(("criterion", "value", "given by"), "<><", rows, "Criteria")


def _rows(table: PlanningTable) -> Iterable[tuple[Measure, Measure, Measure, Entry]]:
    for water in table.waters:
        for cover in table.covers:
            for diameter in table.diameters:
                entry = table.entries[water.text, cover.text, diameter.text]
                yield water, cover, diameter, entry


def _status(entry: Entry) -> str:
    return "fails" if not entry.passes else "outside the method" if entry.outside else "sized"


def _csv(table: PlanningTable) -> str:
    """The table in long form, one row a cell: what a program or a pivot table takes."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    head = (table.water_key, "cover", "host_diameter", "required_thickness [mm]")
    writer.writerow((*head, "nominal_thickness [mm]", "governing", "status", "message"))
    for water, cover, diameter, entry in _rows(table):
        figures = (repr(entry.required), repr(entry.nominal), entry.governing, _status(entry))
        writer.writerow((water, cover, diameter, *figures, "; ".join(entry.notes)))
    return file.getvalue()


def _data(table: PlanningTable, resin: Resin) -> dict[str, Any]:
    return {
        "format": 1,
        "resin": resin.name,
        "condition": table.made.basis.condition,
        "water_datum": table.water_key,
        "cells": [
            {
                "water": water.text,
                "cover": cover.text,
                "host_diameter": diameter.text,
                "required_thickness": {"value": entry.required, "unit": "mm"},
                "nominal_thickness": {"value": entry.nominal, "unit": "mm"},
                "governing": entry.governing,
                "status": _status(entry),
                "notes": list(entry.notes),
            }
            for water, cover, diameter, entry in _rows(table)
        ],
    }
