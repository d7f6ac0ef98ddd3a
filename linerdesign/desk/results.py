"""Results and faults of a project as it is being typed: each pipe by itself, as far as it can be.

A pipe is calculated again only where its own table or what it rests on has changed. A pipe with
faults keeps no other one from its result.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from linerdesign.desk.parts import Part, Parts, rows_of, tables_of
from linerdesign.interface import Sizing, with_legs
from linerdesign.methods.result import NotDesigned, PipeResult
from linerdesign.methods.sizing import design_all
from linerdesign.methods.symbols import SYSTEMS
from linerdesign.project.assembly import task_of, watch
from linerdesign.project.designing import faults_of
from linerdesign.project.faults import Fault, InputFaults, Place
from linerdesign.project.fields import HEADINGS, read_table
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import Project, of_tables, same_names

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
    """The result of a pipe, or its faults. `project` is the one that it was calculated in."""

    result: PipeResult | None
    faults: tuple[FaultAt, ...]
    project: Project | None = field(default=None, repr=False, compare=False)


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
        self._kept: dict[str, Outcome] = {}

    def results(self, parts: Parts, folder: Path) -> Results:
        """The results of the parts; files that they name are looked for in the folder."""
        tables = tables_of(parts)
        pipes = rows_of(parts, "pipe")
        rest = {root: table for root, table in tables.items() if root != "pipe"}
        shared = list(_of_title(rest))
        rest["project"] = _counting(rest.get("project"))
        state = json.dumps([rest, _stamps(rest, folder)], default=str)
        if state != self._shared:
            self._shared, self._kept = state, {}
        new = [part for part in pipes if _key(part) not in self._kept]
        if new or not pipes:
            found, faults = _calculated(rest, new, folder, parts)
            shared += faults
            if faults:
                self._shared = ""
            self._kept |= found
        kept = {_key(part): self._kept.get(_key(part)) for part in pipes}
        self._kept = {key: each for key, each in kept.items() if each}
        outcomes = {
            part.id: _of_row(part, self._kept.get(_key(part), Outcome(None, ()))) for part in pipes
        }
        for fault in same_names("pipe", [_table(part) for part in pipes]):
            at = _located(fault, pipes, parts)
            outcome = outcomes[at.row]
            outcomes[at.row] = replace(outcome, result=None, faults=(*outcome.faults, at))
        first = _numbers(pipes)
        return Results(_system(rest), outcomes, tuple(dict.fromkeys(shared)), first)


def _key(part: Part) -> str:
    return part.text.strip()


def _table(part: Part) -> Any:
    return part.table


def _of_row(part: Part, outcome: Outcome) -> Outcome:
    """The outcome with its faults at this row: two rows may have had the same text."""
    return replace(outcome, faults=tuple(replace(each, row=part.id) for each in outcome.faults))


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
) -> tuple[dict[str, Outcome], list[FaultAt]]:
    """The outcomes of some pipes by their texts, and the faults that all pipes share."""
    faults: dict[str, list[FaultAt]] = {part.id: [] for part in pipes}
    shared: list[FaultAt] = []

    def sort(found: Sequence[Fault], among: Sequence[Part]) -> None:
        for each in found:
            if each.code == "faults.duplicate" and _path(each)[:1] == ("pipe",):
                continue
            at = _located(each, among, parts)
            faults.get(at.row, shared).append(at)

    project, read = _read(rest, pipes, folder, sort)
    if project is None and not shared and pipes and not read:
        _read(rest, [], folder, sort)
    results = _designed(project, read, sort) if project else {}
    outcomes = {
        _key(part): Outcome(results.get(part.id), tuple(faults[part.id]), project)
        for part in pipes
        if not shared
    }
    if shared:
        outcomes = {_key(part): Outcome(None, tuple(faults[part.id])) for part in pipes}
    return outcomes, shared


def _read(
    rest: dict[str, Any], pipes: Sequence[Part], folder: Path, sort: Any
) -> tuple[Project | None, list[Part]]:
    """The project with those pipes that have no fault of their own, and these pipes."""
    good = list(pipes)
    for _ in range(2):
        tables = rest | ({"pipe": [part.table for part in good]} if good else {})
        try:
            return of_tables(tables, "", needs_pipes=bool(good), folder=folder), good
        except InputFaults as found:
            sort(found.faults, good)
            bad = {_path(each)[1] for each in found.faults if _path(each)[:1] == ("pipe",)}
            if not bad:
                return None, good
            good = [part for place, part in enumerate(good) if place not in bad]
            if not good:
                return None, []
    return None, good


def _designed(project: Project, pipes: Sequence[Part], sort: Any) -> dict[str, PipeResult]:
    """The designs of pipes that can be read, by their ids."""
    system = project.info.units
    tasks, of_tasks = [], []
    for part, pipe in zip(pipes, project.pipes, strict=False):
        try:
            tasks.append(task_of(project, pipe, system))
            of_tasks.append(part)
        except InputFaults as found:
            sort(found.faults, [part])
    designs: dict[str, PipeResult] = {}
    for part, design in zip(of_tasks, design_all(tasks, watch(project.criteria)), strict=True):
        if isinstance(design, NotDesigned):
            sort(tuple(faults_of(design)), [part])
        else:
            designs[part.id] = design
    return _with_legs(project, system, designs, sort, pipes)


def _with_legs(
    project: Project, system: Any, designs: dict[str, PipeResult], sort: Any, pipes: Sequence[Part]
) -> dict[str, PipeResult]:
    """The designs, each with its legs where the pipe has any."""
    if not any(p.leg or p.tube_diameter or p.tube_thickness for p in project.pipes):
        return designs
    found = {}
    by_id = {part.id: part for part in pipes}
    for row, result in designs.items():
        try:
            found[row] = with_legs(Sizing(project, system, (result,))).pipes[0]
        except InputFaults as faults:
            sort(faults.faults, [by_id[row]])
    return found


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
