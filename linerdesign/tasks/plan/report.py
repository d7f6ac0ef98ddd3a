"""Planning tables as a document, as an inventory in CSV, and as JSON data."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Document, Grid, Heading, Live, of_project
from linerdesign.documents.json import FORMAT, identity_data, picked, quantity
from linerdesign.documents.numbers import value_with_unit
from linerdesign.methods.basis import FULLY
from linerdesign.methods.ground.load_lines import TABLES
from linerdesign.methods.ground.soil import depth_table
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.identity import identity
from linerdesign.project.keys import keys_of
from linerdesign.project.measures import KINDS, Measure
from linerdesign.project.models import Criteria
from linerdesign.tasks.compare.remarks import criteria_of, grades_legend, marked
from linerdesign.tasks.plan.live import CAUTION, MARKS, MINIMUM, live_sheet, printed_cells
from linerdesign.tasks.plan.table import Entry, Place, Plan, Table, water_key_of
from linerdesign.words import heads_of, of_area, sentence

# The units of an inventory's columns by those of the measures of a project file.
INVENTORY_UNITS = {"US": {"mm": "in", "m": "ft", "MPa": "psi", "kN/m^3": "pcf"}, "SI": {}}

_said = of_area("plan")


def planning_report(plan: Plan) -> Document:
    """A page for each resin, condition and water, then the notes and all that is held fixed."""
    letters = _letters(plan)
    blocks: list[Block] = []
    for number, table in enumerate(plan.tables, 1):
        for water in plan.axes.waters:
            blocks += _page(plan, table, water, letters, number)
    blocks += [Heading(_said("about"), page=True), Bullets(tuple(_about(plan)))]
    entries = [entry for table in plan.tables for entry in table.entries.values()]
    notes = tuple(dict.fromkeys(text for entry in entries for text in entry.notes))
    if (second := plan.project.criteria.second_method) is not None:
        notes += (sentence("second.not_in_plan", method=second.method),)
    if notes:
        blocks += [Heading(_said("notes"), 2), Bullets(notes)]
    blocks += [*_all_held_fixed(plan), _criteria(plan.project.criteria), *_uncertainty(plan)]
    return of_project(plan.project, plan.system, _said("title"), blocks, plan.options)


def _letters(plan: Plan) -> dict[str, str]:
    """A letter for each equation that governs somewhere."""
    entries = (entry for table in plan.tables for entry in table.entries.values())
    return dict(zip(sorted({e.governing for e in entries}), "ABCDEFGHIJKL", strict=False))


def _page(
    plan: Plan, table: Table, water: Measure, letters: dict[str, str], number: int
) -> Iterator[Block]:
    """One table with its legend; in a workbook its cells follow those of its live sheet."""
    name = {"resin": marked(table.resin), "condition": table.condition}
    height = _said("water", datum=_datum(plan.axes.water_key), height=water.text)
    covers, diameters = plan.axes.covers, plan.axes.diameters
    entries = {(d, c): table.entries[water.text, c.text, d.text] for d in diameters for c in covers}
    rows = tuple(
        (d.text, *(_cell(entries[d, c], table, letters) for c in covers)) for d in diameters
    )
    start = plan.axes.waters.index(water) * len(entries)
    live = {
        (row, 1 + column): Live(
            rows[row][1 + column],
            f"INDEX({printed_cells(number)}, {start + column * len(diameters) + row + 1})",
        )
        for row in range(len(diameters))
        for column in range(len(covers))
    }
    columns = (
        *heads_of("plan.thicknesses"),
        *(_said("cover", cover=cover.text) for cover in covers),
    )
    yield Heading(_said("heading_water", **name, water=height), 1, _tab(table, water), page=True)
    yield Grid(columns, ">" * len(columns), rows, _said("caption", water=height), live)
    if plan.drawn is not None:
        percent = 100 * plan.drawn.wishes.confidence
        caption = sentence("uncertainty.plan_caption", confidence=percent, height=height)
        confident = tuple((d.text, *(_confident(entries[d, c]) for c in covers)) for d in diameters)
        yield Grid(columns, ">" * len(columns), confident, caption)
    yield Bullets(tuple(_legend(list(entries.values()), table, letters)))


def _confident(entry: Entry) -> str:
    """The thickness for the confidence; a dash where none that is made is sufficient."""
    nominal = entry.confident
    return f"{nominal:g}" if nominal is not None and math.isfinite(nominal) else "-"


def _uncertainty(plan: Plan) -> Iterator[Block]:
    """What is uncertain, and how the thicknesses for a confidence were found."""
    if plan.drawn is not None:
        from linerdesign.tasks.uncertainty import report

        drawn = plan.drawn
        yield Heading(report.said("title"), 2)
        yield report.inputs_grid(drawn.inputs)
        confidence = report.said("confidence", confidence=100 * drawn.wishes.confidence)
        about = report.about_trials(drawn.wishes, drawn.trials, drawn.converged)
        yield Bullets((confidence, report.said("no_model"), *about))


def _tab(table: Table, water: Measure) -> str:
    """A short name for the tab of a workbook."""
    condition = _said("full" if table.condition == FULLY else "partial")
    return _said("tab", resin=table.resin.name[:14], condition=condition, height=water.text)


def _legend(entries: list[Entry], table: Table, letters: dict[str, str]) -> Iterator[str]:
    used = {entry.governing for entry in entries if not entry.minimum_governs}
    said = [_said("letter", letter=letters[e], equation=e) for e in letters if e in used]
    if any(entry.minimum_governs for entry in entries):
        said.append(_said("legend_minimum"))
    yield _said("legend", letters="; ".join(said))
    if len(table.stations) > 1:
        places = enumerate(table.stations, 1)
        named = "; ".join(_said("station", number=n, at=at) for n, at in places)
        yield _said("stations", stations=named)
    if any(_mark(entry) for entry in entries):
        yield _said("marks")


def _mark(entry: Entry) -> str:
    return MARKS.get(entry.status, CAUTION if entry.notes else "")


def _cell(entry: Entry, table: Table, letters: dict[str, str]) -> str:
    """`6 A*`: thickness, letter, the number of the station where it varies, and a mark."""
    letter = MINIMUM if entry.minimum_governs else letters[entry.governing]
    several = len(table.stations) > 1
    station = str(table.stations.index(entry.station) + 1) if several and entry.station else ""
    return f"{entry.nominal:g} {letter}{station}{_mark(entry)}"


def _datum(water_key: str) -> str:
    return water_key.replace("_", " ")


def _about(plan: Plan) -> Iterator[str]:
    yield _said("pipe", pipe=plan.pipe.name)
    yield _said("datum", datum=_datum(plan.axes.water_key))
    own = water_key_of(plan.pipe, plan.project.criteria)
    if own != plan.axes.water_key:
        yield _said("own_water", datum=_datum(own))
    stations = list(dict.fromkeys(at for table in plan.tables for at in table.stations))
    if stations:
        count = len(plan.tables[0].places)
        code = "one_station" if len(stations) == 1 else "all_stations"
        yield _said(code, count=count, at=stations[0])
    yield _said("resins", legend=grades_legend())
    yield _said("planning")


def _all_held_fixed(plan: Plan) -> Iterator[Grid]:
    """All that is not varied: once where it is the same in every table."""
    columns = heads_of("plan.assumptions")
    found = [tuple(_held_fixed(plan, table)) for table in plan.tables]
    shared = [row for row in found[0] if all(row in rows for rows in found)]
    yield Grid(columns, "<<><", tuple(shared), _said("held_fixed"))
    for table, rows in zip(plan.tables, found, strict=True):
        if own := tuple(row for row in rows if row not in shared):
            name = _said("heading", resin=marked(table.resin), condition=table.condition)
            yield Grid(columns, "<<><", own, _said("held_fixed_of", table=name))


def _held_fixed(plan: Plan, table: Table) -> Iterator[tuple[str, str, str, str]]:
    """All that the table holds fixed, once where it is the same at every station."""
    by_place = [list(_fixed_at(plan, place)) for place in table.places]
    rows = dict.fromkeys(row for own in by_place for row in own)
    order = list(dict.fromkeys(meaning for meaning, *_ in rows))
    for row in sorted(rows, key=lambda row: order.index(row[0])):
        at = [p.at for p, own in zip(table.places, by_place, strict=True) if row in own]
        everywhere = len(at) == len(by_place)
        meaning = row[0] if everywhere else _said("at", meaning=row[0], at=", ".join(map(str, at)))
        yield meaning, row[1], row[2], row[3]


def _fixed_at(plan: Plan, place: Place) -> Iterator[tuple[str, str, str, str]]:
    """Every input of one station that is not varied, and the methods and soils chosen by name."""
    varied = {"host_diameter", "cover", plan.axes.water_key}
    (station,) = place.made.stations
    basis = place.made.basis
    read_from = {
        "W_s": _said("table", table=basis.live_load_table) if basis.live_load in TABLES else "",
        **{key: depth_table().name for key in ("E_s", "E_b")},
    }
    for said in station.in_words:
        source = ", ".join(each for each in (said.origin.source, read_from.get(said.key)) if each)
        yield said.meaning, said.symbol, said.words, source
    if basis.combining:
        about, source = SYMBOLS["E_s"], _said("combining", table=basis.combining)
        yield about.meaning, about.symbol, _said("combined"), source
    for each in station.inputs:
        about = SYMBOLS[each.key]
        if about.name not in varied:
            value = value_with_unit(each.key, each.value, plan.system)
            yield about.meaning, about.symbol, value, each.origin.text


def _criteria(criteria: Criteria) -> Grid:
    """The criteria, each with whether it is a default."""
    rows = tuple(
        (name, value, _said("default") if by_default else "")
        for name, value, by_default in criteria_of(criteria)
    )
    return Grid(heads_of("plan.criteria"), "<><", rows, _said("criteria"))


def planning_csv(plan: Plan) -> str:
    """The tables as an inventory in CSV: its columns can be sized again by `batch`."""
    file = io.StringIO()
    csv.writer(file, lineterminator="\n").writerows(_inventory(plan))
    return file.getvalue()


def planning_workbook(plan: Plan) -> Document:
    """The document with a live sheet for each table, of whose cells the tables are made."""
    letters, document = _letters(plan), planning_report(plan)
    sheets: list[Block] = []
    for number, table in enumerate(plan.tables, 1):
        printed = [_cell(entry, table, letters) for *_, entry in plan.cells(table)]
        cautioned = [CAUTION if _mark(entry) == CAUTION else "" for *_, entry in plan.cells(table)]
        sheets += live_sheet(plan, table, number, letters, printed, cautioned)
    return replace(document, blocks=(*document.blocks, *sheets))


def _inventory(plan: Plan) -> Iterator[tuple[str, ...]]:
    """The heads of the columns, then a row a cell.

    Of a pipe with stations the columns that are not varied are left out.
    """
    varied = (plan.axes.water_key, "cover", "host_diameter")
    fixed = _fixed_columns(plan.tables[0], varied, plan.system)
    units = [_unit(key, plan.system) for key in varied]
    head = [f"{key} [{unit}]" for key, unit in zip(varied, units, strict=True)]
    results = ("required_thickness [mm]", "nominal_thickness [mm]", "governing")
    confident = ("thickness_for_confidence [mm]",) if plan.drawn else ()
    tail = ("minimum_governs", "station", "status", "message")
    yield ("name", "resin", "condition", *head, *fixed, *results, *confident, *tail)
    number = 0
    for table in plan.tables:
        for *values, entry in plan.cells(table):
            number += 1
            numbers = (f"{v.to(u):.12g}" for v, u in zip(values, units, strict=True))
            figures: tuple[str, ...] = (repr(entry.required), repr(entry.nominal))
            figures += (entry.governing,)
            minimum = "yes" if entry.minimum_governs else "no"
            said = (minimum, entry.station or "", entry.status, "; ".join(entry.notes))
            name = (str(number), table.resin.name, table.condition)
            figures += (_confident(entry),) if plan.drawn else ()
            yield (*name, *numbers, *fixed.values(), *figures, *said)


def _unit(key: str, system: str) -> str:
    """The unit of an inventory's column."""
    unit = KINDS[keys_of("pipe")[key].measure].unit
    metric = "mm" if key == "host_diameter" else unit
    return INVENTORY_UNITS[system].get(metric, metric)


def _fixed_columns(table: Table, varied: tuple[str, ...], system: str) -> dict[str, str]:
    """The pipe's own values that are not varied, by the heads of their columns."""
    if len(table.places) > 1:
        return {}
    own = table.places[0].pattern.given
    found = {}
    for key, row in keys_of("pipe").items():
        if row.measure and key in own and key not in varied:
            unit, value = _unit(key, system), own[key]
            text = f"{value.to(unit):.12g}" if isinstance(value, Measure) else str(value)
            found[f"{key} [{unit}]"] = text
    return found


def planning_data(plan: Plan) -> dict[str, Any]:
    """The result of `plan`. The first table's resin and condition are at the top as well."""
    first = plan.tables[0]
    about = identity(plan.project, {"units": plan.system, **plan.options})
    return {
        "format": FORMAT,
        **identity_data(plan.project.info, about),
        "resin": first.resin.name,
        "condition": first.condition,
        "water_datum": plan.axes.water_key,
        "held_fixed": _fixed_data(plan, first),
        "tables": [
            {
                "resin": table.resin.name,
                "evidence_grade": table.resin.evidence_grade,
                "condition": table.condition,
                "held_fixed": _fixed_data(plan, table),
            }
            for table in plan.tables
        ],
        "cells": [
            {
                "resin": table.resin.name,
                "condition": table.condition,
                "water": water.text,
                "cover": cover.text,
                "host_diameter": diameter.text,
                "required_thickness": quantity(entry.required, "mm"),
                "nominal_thickness": quantity(entry.nominal, "mm"),
                **picked(entry, "governing", "minimum_governs", "station", "status", "notes"),
                **_confident_data(entry),
            }
            for table in plan.tables
            for water, cover, diameter, entry in plan.cells(table)
        ],
        **_uncertainty_data(plan),
    }


def _confident_data(entry: Entry) -> dict[str, Any]:
    if entry.confident is None:
        return {}
    number = entry.confident if math.isfinite(entry.confident) else None
    return {"nominal_for_confidence": quantity(number, "mm")}


def _uncertainty_data(plan: Plan) -> dict[str, Any]:
    if plan.drawn is None:
        return {}
    from linerdesign.tasks.uncertainty import report

    drawn = plan.drawn
    about = report.trials_data(drawn.wishes, drawn.trials, drawn.converged)
    return {"uncertainty": {**about, "inputs": report.inputs_data(drawn.inputs)}}


def _fixed_data(plan: Plan, table: Table) -> list[dict[str, str]]:
    return [
        {"assumption": meaning, "symbol": symbol, "value": value, "source": source}
        for meaning, symbol, value, source in _held_fixed(plan, table)
    ]
