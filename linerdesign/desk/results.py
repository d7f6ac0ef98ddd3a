"""Results and faults of a project as it is being typed: each pipe by itself, as far as it can be.

A pipe is calculated again only where its own table or what it rests on has changed. A pipe with
faults keeps no other one from its result.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from linerdesign.desk.parts import Part, Parts, rows_of, tables_of
from linerdesign.interface import size
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYSTEMS
from linerdesign.project.faults import Fault, InputFaults, Place
from linerdesign.project.fields import HEADINGS, read_table
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import of_tables, same_names

# What of [project] a result depends on; the rest may be wrong or missing while it is typed.
_COUNTING = ("units", "criteria", "verification")
_UNTITLED = "Untitled"


@dataclass(frozen=True)
class FaultAt:
    """A fault at a field: the id of a row or the name of a table, and the keys inside it.

    `missing` is whether something is still to be filled in there.
    """

    row: str
    path: tuple[str | int, ...]
    text: str
    missing: bool = False


@dataclass(frozen=True)
class Outcome:
    """The result of a pipe, or its faults."""

    result: PipeResult | None
    faults: tuple[FaultAt, ...]


@dataclass(frozen=True)
class Results:
    """The outcome of each pipe by the id of its row, the faults of the rest, and the unit system.

    `first` has the N of `pipeN_...` of each pipe.
    """

    system: str
    outcomes: dict[str, Outcome]
    shared: tuple[FaultAt, ...]
    first: dict[str, int]

    @property
    def faults(self) -> tuple[FaultAt, ...]:
        """All faults: first those that all pipes share."""
        return (*self.shared, *(f for each in self.outcomes.values() for f in each.faults))


class Calculator:
    """Calculates, and keeps the outcome of each pipe for as long as nothing of it changes."""

    def __init__(self) -> None:
        self._shared = ""
        self._kept: dict[Part, Outcome] = {}
        self._rest: dict[str, Any] = {"project": {}}
        self._stamps: list[Any] = []

    def is_outdated(self, folder: Path) -> bool:
        """Whether a file that the project names has changed since the results were calculated."""
        return _stamps(self._rest, folder) != self._stamps

    def results(self, parts: Parts, folder: Path) -> Results:
        """The results of the parts; files that they name are looked for in the folder."""
        tables = tables_of(parts)
        pipes = rows_of(parts, "pipe")
        # Pipes of a table beside the project have no row here; documents have them.
        rest = {root: t for root, t in tables.items() if root not in ("pipe", "pipes")}
        shared = list(_of_title(rest))
        rest["project"] = _counting(rest.get("project"))
        self._rest, self._stamps = rest, _stamps(rest, folder)
        state = json.dumps([rest, self._stamps], default=str)
        if state != self._shared:
            self._shared, self._kept = state, {}
        twice = _twice(pipes, parts)
        new = [part for part in pipes if part not in self._kept and part.id not in twice]
        if new or not pipes:
            found, faults = _calculated(rest, new, folder, parts)
            shared += faults
            if faults:
                self._shared = ""
            self._kept |= found
        self._kept = {part: self._kept[part] for part in pipes if part in self._kept}
        nothing = Outcome(None, ())
        outcomes = {p.id: twice.get(p.id) or self._kept.get(p, nothing) for p in pipes}
        first = _numbers(pipes)
        return Results(_system(rest), outcomes, tuple(dict.fromkeys(shared)), first)


def _twice(pipes: Sequence[Part], parts: Parts) -> dict[str, Outcome]:
    """The outcome of each pipe that has the name of one before it: a fault and no result."""
    found: dict[str, Outcome] = {}
    for fault in same_names("pipe", [part.table for part in pipes]):
        at = _located(fault, pipes, parts)
        name = next(part.table["name"] for part in pipes if part.id == at.row)
        _, *later = [part for part in pipes if part.table.get("name") == name]
        found |= {part.id: Outcome(None, (replace(at, row=part.id),)) for part in later}
    return found


def _numbers(pipes: Sequence[Part]) -> dict[str, int]:
    """The number of the first station of each pipe among those of all of them."""
    found, number = {}, 1
    for part in pipes:
        found[part.id] = number
        stations = part.table.get("station")
        number += max(1, len(stations)) if isinstance(stations, list) else 1
    return found


def _counting(info: Any) -> dict[str, Any]:
    given = info if isinstance(info, dict) else {}
    return {"title": _UNTITLED} | {key: given[key] for key in _COUNTING if key in given}


def _system(rest: dict[str, Any]) -> str:
    units = rest["project"].get("units")
    return units if units in SYSTEMS else SYSTEMS[0]


def _stamps(rest: dict[str, Any], folder: Path) -> list[Any]:
    """When the files that a project names were last changed."""
    named = [rest["project"].get(key) for key in ("criteria", "verification")]
    found: list[Any] = []
    for name in (*named, rest.get("criteria")):
        if isinstance(name, str) and "\0" not in name:
            try:
                found.append((folder / name).stat().st_mtime_ns)
            except OSError:
                found.append(None)
    return found


def _of_title(rest: dict[str, Any]) -> Iterator[FaultAt]:
    """The faults of the cover sheet's texts, which keep no pipe from its result."""
    faults: list[Fault] = []
    table = rest.get("project", {})
    read_table(ProjectInfo, table, Place(table="[project]", path=("project",)), faults)
    for each in faults:
        yield _located(each, [], ())


def _calculated(
    rest: dict[str, Any], pipes: Sequence[Part], folder: Path, parts: Parts
) -> tuple[dict[Part, Outcome], list[FaultAt]]:
    """The outcomes of some pipes, and the faults that all pipes share."""
    found, results = _sized(rest, pipes, folder)
    faults: dict[str, list[FaultAt]] = {part.id: [] for part in pipes}
    shared: list[FaultAt] = []
    for each in found:
        at = _located(each, pipes, parts)
        faults.get(at.row, shared).append(at)
    outcomes = {
        part: Outcome(results.get(str(part.table.get("name"))), tuple(faults[part.id]))
        for part in pipes
    }
    return outcomes, shared


def _sized(
    rest: dict[str, Any], pipes: Sequence[Part], folder: Path
) -> tuple[tuple[Fault, ...], dict[str, PipeResult]]:
    """What `size` finds of these pipes: the faults, and the designs by name."""
    tables = rest | ({"pipe": [part.table for part in pipes]} if pipes else {})
    try:
        project = of_tables(tables, "", needs_pipes=bool(pipes), folder=folder, apart=True)
        sizing = size(project) if pipes else None
    except InputFaults as found:
        return found.faults, {}
    if sizing is None:
        return (), {}
    return sizing.faults, {pipe.name: pipe for pipe in sizing.pipes}


def _path(fault: Fault) -> tuple[str | int, ...]:
    return fault.place.path if isinstance(fault.place, Place) else ()


def _located(fault: Fault, among: Sequence[Part], parts: Parts) -> FaultAt:
    """A fault at the row that it is in: by its way from the top, or by the name of its table."""
    path = _path(fault)
    place = fault.place
    missing = fault.code.startswith("faults.missing")
    if isinstance(place, Place) and place.table in (HEADINGS["pipe"], HEADINGS["resin"]):
        root = "pipe" if place.table == HEADINGS["pipe"] else "resin"
        if path[:1] != (root,):  # the way from its own table only
            rows = among if root == "pipe" else rows_of(parts, root)
            places = [i for i, each in enumerate(rows) if each.table.get("name") == place.name]
            path = (root, places[0] if places else 0, *path)
    if not path or path[0] not in ("pipe", "resin") or len(path) < 2:
        return FaultAt(str(path[0]) if path else "", tuple(path[1:]), fault.text, missing)
    rows = among if path[0] == "pipe" else rows_of(parts, "resin")
    place_in = int(path[1])
    row = rows[place_in].id if place_in < len(rows) else str(path[0])
    return FaultAt(row, tuple(path[2:]), fault.text, missing)
