"""A planning table as a document, as a CSV in long form, and as JSON data."""

from __future__ import annotations

import csv
import io
from typing import Any

from linerdesign.comparisons.planning import Entry, PlanningTable
from linerdesign.equations.symbols import SYMBOLS
from linerdesign.outputs.document import Block, Bullets, Document, Grid, Heading, of_project
from linerdesign.outputs.json import FORMAT
from linerdesign.outputs.numbers import value_with_unit
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria


def planning_report(table: PlanningTable) -> Document:
    """The table, a grid for each water, then its notes and all that it holds fixed."""
    pipe, system = table.pipe, table.made.basis.system
    blocks: list[Block] = [
        Heading("Planning table"),
        Bullets(
            (
                f"resin: {table.resin.name}; condition: {pipe.condition}; values not varied here "
                f"are those of pipe {pipe.name}",
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
    blocks += [_assumptions(table), _criteria(table.project.criteria)]
    return of_project(table.project, system, "Planning table of liner thickness", blocks)


def _water_name(table: PlanningTable) -> str:
    return table.water_key.replace("_", " ")


def _cell(entry: Entry) -> str:
    mark = "x" if not entry.passes else "!" if entry.outside else "*" if entry.notes else ""
    return f"{entry.nominal:g}{mark} ({entry.governing})"


def _assumptions(table: PlanningTable) -> Grid:
    """Every input that the table holds fixed, as the sheet of a pipe prints it."""
    varied = {"host_diameter", "cover", table.water_key}
    rows = tuple(
        (
            SYMBOLS[each.key].meaning,
            SYMBOLS[each.key].symbol,
            value_with_unit(each.key, each.value, table.made.basis.system),
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


def planning_csv(table: PlanningTable) -> str:
    """The table in long form, one row a cell: what a program or a pivot table takes."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    head = (table.water_key, "cover", "host_diameter", "required_thickness [mm]")
    writer.writerow((*head, "nominal_thickness [mm]", "governing", "status", "message"))
    for water, cover, diameter, entry in table.cells():
        figures = (repr(entry.required), repr(entry.nominal), entry.governing, entry.status)
        writer.writerow((water, cover, diameter, *figures, "; ".join(entry.notes)))
    return file.getvalue()


def planning_data(table: PlanningTable) -> dict[str, Any]:
    """The result of `plan`."""
    return {
        "format": FORMAT,
        "resin": table.resin.name,
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
                "status": entry.status,
                "notes": list(entry.notes),
            }
            for water, cover, diameter, entry in table.cells()
        ],
    }
