"""A planning table as a document, as a CSV in long form, and as JSON data."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Document, Grid, Heading, of_project
from linerdesign.documents.json import FORMAT
from linerdesign.documents.numbers import value_with_unit
from linerdesign.methods.f1216.load_lines import TABLES
from linerdesign.methods.f1216.soil import depth_table
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria
from linerdesign.tasks.plan.planning import Entry, Place, PlanningTable, water_key_of


def planning_report(table: PlanningTable) -> Document:
    """The table, a grid for each water, then its notes and all that it holds fixed."""
    blocks: list[Block] = [Heading("Planning table"), Bullets(tuple(_remarks(table)))]
    several = len(_governing(table)) > 1
    across = [(d, c) for d in table.diameters for c in table.covers]
    for water in table.waters:
        entry = {(d, c): table.entries[water.text, c.text, d.text] for d, c in across}
        rows = tuple(
            (d.text, *(_cell(entry[d, c], several) for c in table.covers)) for d in table.diameters
        )
        columns = ("diameter", *(f"cover {c.text}" for c in table.covers))
        caption = f"Nominal thickness, mm (governing); {_water_name(table)}: {water.text}"
        blocks.append(Grid(columns, ">" * (1 + len(table.covers)), rows, caption))
    notes = tuple(dict.fromkeys(t for each in table.entries.values() for t in each.notes))
    if notes:
        blocks += [Heading("Notes", 2), Bullets(notes)]
    blocks += [_assumptions(table), _criteria(table.project.criteria)]
    return of_project(table.project, table.system, "Planning table of liner thickness", blocks)


def _remarks(table: PlanningTable) -> Iterator[str]:
    """What the table is of, before its first line."""
    yield (
        f"resin: {table.resin.name}; condition: {table.pipe.condition}; values not varied here "
        f"are those of pipe {table.pipe.name}"
    )
    stations = _governing(table)
    if len(stations) == 1:
        yield (
            f"the pipe has {len(table.places)} stations, and every one counts: station "
            f"{stations[0]} governs in every cell"
        )
    elif stations:
        yield (
            f"the pipe has {len(table.places)} stations, and every one counts: the one that "
            "governs stands in the cell"
        )
    yield f"water is {_water_name(table)}; cover is the soil above the top of the pipe"
    own = water_key_of(table.pipe, table.project.criteria)
    if own != table.water_key:
        yield f"the pipe's own water, stated as {own.replace('_', ' ')}, is not used"
    yield "* caution, ! outside the method, x a check fails; the notes stand below"
    yield "for planning: each pipe is to be designed by its own values"


def _governing(table: PlanningTable) -> list[str]:
    """The stations that govern some cell; none where the pipe has no stations."""
    found = dict.fromkeys(each.station for each in table.entries.values())
    return [each for each in found if each is not None]


def _water_name(table: PlanningTable) -> str:
    return table.water_key.replace("_", " ")


def _cell(entry: Entry, several: bool) -> str:
    mark = "x" if not entry.passes else "!" if entry.outside else "*" if entry.notes else ""
    at = f", {entry.station}" if several else ""
    return f"{entry.nominal:g}{mark} ({entry.governing}{at})"


def _assumptions(table: PlanningTable) -> Grid:
    columns = ("assumption", "symbol", "value", "source")
    return Grid(columns, "<<><", tuple(_held_fixed(table)), "Held fixed")


def _held_fixed(table: PlanningTable) -> Iterator[tuple[str, str, str, str]]:
    """All that the table holds fixed, once where it is the same at every station."""
    by_place = [list(_fixed_at(table, place)) for place in table.places]
    rows = dict.fromkeys(row for own in by_place for row in own)
    order = list(dict.fromkeys(meaning for meaning, *_ in rows))
    for row in sorted(rows, key=lambda row: order.index(row[0])):
        at = [p.at for p, own in zip(table.places, by_place, strict=True) if row in own]
        where = "" if len(at) == len(by_place) else f" (at {', '.join(map(str, at))})"
        yield row[0] + where, row[1], row[2], row[3]


def _fixed_at(table: PlanningTable, place: Place) -> Iterator[tuple[str, str, str, str]]:
    """Every input of one station that is not varied, and the methods and soils chosen by name."""
    varied = {"host_diameter", "cover", table.water_key}
    (station,) = place.made.stations
    basis = place.made.basis
    read_from = {
        "W_s": f"the table {basis.live_load_table}" if basis.live_load in TABLES else "",
        **{key: depth_table().name for key in ("E_s", "E_b")},
    }
    for said in station.in_words:
        source = ", ".join(each for each in (said.origin.source, read_from.get(said.key)) if each)
        yield said.meaning, said.symbol, said.words, source
    if basis.combining:
        about, combined = SYMBOLS["E_s"], "of trench and native soil"
        yield (
            about.meaning,
            about.symbol,
            combined,
            f"combining table of AWWA M45, {basis.combining}",
        )
    for each in station.inputs:
        about = SYMBOLS[each.key]
        if about.name not in varied:
            value = value_with_unit(each.key, each.value, table.system)
            yield about.meaning, about.symbol, value, each.origin.text


def _criteria(criteria: Criteria) -> Grid:
    values = {key: getattr(criteria, key) for key in criteria.rows}
    rows = tuple(
        (key, str(value), criteria.origin_of(key).source)
        for key, value in values.items()
        if isinstance(value, str | float | Measure) and value != ""
    )
    return Grid(("criterion", "value", "given by"), "<><", rows, "Criteria")


def planning_csv(table: PlanningTable) -> str:
    """The table in long form, one row a cell: what a program or a pivot table takes."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    head = (table.water_key, "cover", "host_diameter", "required_thickness [mm]")
    tail = ("governing", "station", "status", "message")
    writer.writerow((*head, "nominal_thickness [mm]", *tail))
    for water, cover, diameter, entry in table.cells():
        figures = (repr(entry.required), repr(entry.nominal), entry.governing)
        said = (entry.station or "", entry.status, "; ".join(entry.notes))
        writer.writerow((water, cover, diameter, *figures, *said))
    return file.getvalue()


def planning_data(table: PlanningTable) -> dict[str, Any]:
    """The result of `plan`."""
    return {
        "format": FORMAT,
        "resin": table.resin.name,
        "condition": table.pipe.condition,
        "water_datum": table.water_key,
        "held_fixed": [
            {"assumption": meaning, "symbol": symbol, "value": value, "source": source}
            for meaning, symbol, value, source in _held_fixed(table)
        ],
        "cells": [
            {
                "water": water.text,
                "cover": cover.text,
                "host_diameter": diameter.text,
                "required_thickness": {"value": entry.required, "unit": "mm"},
                "nominal_thickness": {"value": entry.nominal, "unit": "mm"},
                "governing": entry.governing,
                "station": entry.station,
                "status": entry.status,
                "notes": list(entry.notes),
            }
            for water, cover, diameter, entry in table.cells()
        ],
    }
