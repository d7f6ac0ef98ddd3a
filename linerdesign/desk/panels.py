"""What the desk shows of results: the row and the sheet of a pipe, a review, a comparison."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from linerdesign.desk.parts import Part, Parts, rows_of, tables_of
from linerdesign.desk.results import Outcome, Results
from linerdesign.documents.blocks import Block, Bullets, Grid, Heading
from linerdesign.documents.page import blocks_markup, sheet_markup
from linerdesign.documents.places import place_name, places_of
from linerdesign.documents.schedule import cells
from linerdesign.documents.sheet import RAISED, notes_of
from linerdesign.interface import compare, review
from linerdesign.methods.result import PipeResult
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.reading import Project, of_tables
from linerdesign.tasks.compare.comparison import Compared, Wishes
from linerdesign.tasks.compare.ranking import OF_WALL
from linerdesign.tasks.compare.report import band, comparison_report
from linerdesign.tasks.compare.systems import Option
from linerdesign.tasks.review.reviewing import Reviewed, disposition
from linerdesign.words import heads_of, sentence

RANKED_BY = tuple(OF_WALL)


def row_data(outcome: Outcome, first: int) -> dict[str, Any] | None:
    """The result of one pipe beside its row: cells as the schedule has them, and full numbers."""
    result = outcome.result
    if result is None:
        return None
    notes = [text for severity in RAISED for text in notes_of(result, severity)]
    return {
        "name": place_name(first),
        "cells": cells(result, {}),
        "holds": result.holds,
        "required": result.required_thickness,
        "nominal": result.nominal_thickness,
        "stations": [
            {"at": place.at, "status": place.status, "governing": place.governing}
            for place in places_of(result, first)
        ],
        "notes": notes,
    }


def sheet(outcome: Outcome, first: int) -> str:
    """The calculation sheet of one pipe as markup; empty where it has no result."""
    return "" if outcome.result is None else sheet_markup(numbered(outcome.result, first), first)


def numbered(result: PipeResult, first: int) -> PipeResult:
    """The result with the number of its first station in the whole file."""
    return replace(result, task=replace(result.task, first=first))


def project_of(parts: Parts, results: Results, folder: Path, row: str) -> Project:
    """The project with one pipe alone.

    Raises:
        InputFaults: where the pipe has no result.
    """
    part = row_part(parts, row)
    if results.outcomes[row].result is None:
        raise InputFaults([fault("desk.no_result", "")])
    tables = tables_of(p for p in parts if p.root != "pipe") | {"pipe": [part.table]}
    tables.pop("pipes", None)
    return of_tables(tables, "", folder=folder)


def review_data(parts: Parts, results: Results, folder: Path, row: str) -> dict[str, Any]:
    """The review of one pipe's stated values, as data for the page.

    Raises:
        InputFaults: where nothing is stated, or values can't be together.
    """
    found = review(project_of(parts, results, folder, row))
    (each,) = found.pipes
    return {
        "disposition": disposition(found.pipes),
        "verdict": each.found.verdict or "",
        "holds": each.holds,
        "lines": list(_lines(each)),
        "comments": [
            {"number": each.first + i, "weight": c.weight, "text": c.text, "at": c.at}
            for i, c in enumerate(each.comments)
        ],
        "contradictions": [each.text for each in each.found.contradictions],
    }


def _lines(each: Reviewed) -> Iterator[dict[str, Any]]:
    """Each stated value: theirs, ours, and what their own preceding values result in."""
    replayed = {(line.item.name, line.station): line for line in each.found.replay}
    for compared in each.found.comparisons:
        item, ours = compared.item, compared.recomputed
        line = replayed.get((item.name, None))
        yield {
            "item": item.name,
            "stated": str(item.stated),
            "ours": "" if ours is None else item.shown(ours),
            "difference": compared.difference,
            "agrees": compared.agrees,
            "replayed": "" if line is None or line.expected is None else item.shown(line.expected),
            "cause": (line and line.cause) or "",
            "at": item.at,
        }


def comparison(project: Project, by: str) -> str:
    """The comparison of the project's systems as markup: systems as columns, then the report."""
    found = compare(project, wishes=Wishes(by=by, pictures=True)).found
    report = comparison_report(found)
    blocks: Sequence[Block] = (*_systems(found), *report.blocks[1:])
    return blocks_markup(blocks, found.system)


def _systems(found: Compared) -> Iterator[Block]:
    """A row a pipe, a column a system: the nominal thickness, of a range both ends."""
    yield Heading(sentence("desk.systems"), 2)
    rows = tuple((row[0].pipe.name, *map(_wall, row)) for row in found.table)
    names = tuple(each.resin.name for each in found.table[0])
    caption = sentence("desk.systems_caption")
    yield Grid((*heads_of("compare.by_resin"), *names), "<" + "<" * len(names), rows, caption)
    why = dict.fromkeys(
        f"{each.resin.name}, {each.pipe.name}: {reason}"
        for row in found.table
        for each in row
        for reason in each.reasons
    )
    if why:
        yield Bullets(tuple(why))


def _wall(option: Option) -> str:
    worst, best = option.wall, option.best
    if worst is None or best is None:
        return sentence("desk.no_wall")
    text = sentence(
        "desk.wall", nominal=band((worst.nominal, best.nominal), 2), governing=worst.governing
    )
    return text if option.satisfied else f"{text}, {worst.status}"


def row_part(parts: Parts, row: str) -> Part:
    """The part of a pipe.

    Raises:
        InputFaults: no such row.
    """
    found = next((part for part in rows_of(parts, "pipe") if part.id == row), None)
    if found is None:
        raise InputFaults([fault("desk.no_row", row)])
    return found
