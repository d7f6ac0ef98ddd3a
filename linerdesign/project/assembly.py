"""Makes design tasks of a project: quantities in the sheet's units, each with its origin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.methods.equation import Severity
from linerdesign.methods.f1216.basis import Basis, keys_read, requirement
from linerdesign.methods.f1216.dry_wall import dry_wall
from linerdesign.methods.f1216.load_lines import BY_COVER
from linerdesign.methods.f1216.other_loads import other_loads
from linerdesign.methods.lines import run
from linerdesign.methods.result import Note
from linerdesign.methods.sizing import constants
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import PipeTask, Station
from linerdesign.project.consistency import differing_stations, without_tensile
from linerdesign.project.contradictions import between_values, place_of, several_values
from linerdesign.project.faults import Fault, InputFaults, Place, fault, located
from linerdesign.project.fields import HEADINGS, given
from linerdesign.project.floors import beyond_limits, broken_floors, broken_limits
from linerdesign.project.inputs import Maker
from linerdesign.project.keys import RETENTIONS
from linerdesign.project.layers import resolved
from linerdesign.project.lines import lines_of
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.reading import Project

PRACTICE = "common practice, no source"
UNDER_PRESSURE = Note(
    Severity.CAUTION,
    "the internal pressure is taken as given: it must contain surge and test pressure; thrust at "
    "bends and the seals at the ends are not part of this calculation",
)


def tasks(project: Project, units: str | None = None) -> tuple[PipeTask, ...]:
    """One design task a pipe, in the unit system given or else the project's.

    Raises:
        InputFaults: where values, each possible, can't be together.
    """
    system = units or project.info.units
    made: list[PipeTask] = []
    first = 1
    faults: list[Fault] = []
    for index, pipe in enumerate(project.pipes):
        resin = project.resin_of(pipe)
        try:
            each = task(pipe, resin, project.criteria, system)
            made.append(replace(each, first=first))
            first += len(each.stations)
        except InputFaults as found:
            tables = {"pipe": index, "resin": project.resins.index(resin)}
            faults.extend(_in_file(each, tables) for each in found.faults)
    if faults:
        raise located(faults, lambda: lines_of(project.text))
    return tuple(made)


def _in_file(fault: Fault, tables: Mapping[str, int]) -> Fault:
    """The fault of a pipe or its resin with the way to the table in the file."""
    place = fault.place
    if not isinstance(place, Place) or place.path[:1] == ("criteria",):
        return fault
    for table, index in tables.items():
        if place.table == HEADINGS[table]:
            return replace(fault, place=replace(place, path=(table, index, *place.path)))
    return fault


def task(pipe: Pipe, resin: Resin, criteria: Criteria, system: str) -> PipeTask:
    """The design task of one pipe with one resin.

    Raises:
        InputFaults: where values, each possible, can't be together, or lie outside a table.
    """
    return noted(unnoted_task(pipe, resin, criteria, system), criteria)


def noted(made: PipeTask, criteria: Criteria) -> PipeTask:
    """The task with the notes that depend on what the lines give for its numbers.

    Raises:
        InputFaults: where values lie outside a table.
    """
    return replace(made, noted=_at_stations(criteria, made))


def unnoted_task(pipe: Pipe, resin: Resin, criteria: Criteria, system: str) -> PipeTask:
    """The task without the notes that depend on what the lines give for its numbers.

    Raises:
        InputFaults: where values, each possible, can't be together.
    """
    sites = resolved(pipe, resin, criteria)
    maker = Maker(pipe, resin, criteria, system)
    basis = maker.basis(sites[0])
    place = place_of("pipe", pipe.name)
    faults = [
        *between_values(pipe, criteria),
        *several_values(resin),
        *without_tensile(sites, given(resin), place.at("resin")),
        *differing_stations(map(maker.basis, sites), place),
    ]
    if faults:
        raise InputFaults(faults)
    places: list[str | None] = [station.at for station in pipe.station] or [None]
    stations = tuple(
        Station(tuple(maker.inputs(site)), at, tuple(maker.in_words(site)))
        for site, at in zip(sites, places, strict=True)
    )
    taken = defaults_taken(criteria, basis, stations)
    return PipeTask(
        name=pipe.name,
        resin=resin.name,
        basis=basis,
        stations=stations,
        notes=(
            *(Note(Severity.DEFAULT, text) for _, text in taken),
            *broken_floors(resin, criteria),
            *([UNDER_PRESSURE] if basis.internal_pressure else []),
        ),
        waivers=frozenset(key for key, _, text in _evidence(resin, criteria) if text),
        evidence=(
            *((what, text) for _, what, text in _evidence(resin, criteria) if text),
            *((key.replace("_", " "), text) for key, text in pipe.evidence.items()),
        ),
    )


def _evidence(resin: Resin, criteria: Criteria) -> tuple[tuple[str, str, str], ...]:
    """Key, what it is about, and the text, which may be empty."""
    return (
        ("evidence", f"properties of {resin.name}", resin.evidence),
        ("enhancement_evidence", "enhancement factor", criteria.enhancement_evidence),
    )


def defaults_taken(
    criteria: Criteria, basis: Basis, stations: tuple[Station, ...]
) -> Iterator[tuple[str, str]]:
    """Each value that a line reads and nobody gave, and each word: its key, what was taken."""
    read = keys_read(basis)
    given = dict.fromkeys(each for station in stations for each in station.inputs)
    for each in given:
        if each.origin.by_default and each.key in read:
            name = name_of(each.key)
            why = f": {PRACTICE}" if name in RETENTIONS else ""
            yield each.key, f"{name} taken as {each.origin.stated}{why}"
    for key in ("edition", "x1_2_strength"):
        if criteria.origin_of(key).by_default:
            yield key, f"{key} taken as {getattr(criteria, key)}"


def _at_stations(criteria: Criteria, made: PipeTask) -> tuple[Note, ...]:
    """Notes about numbers that are known once the lines have run.

    Raises:
        InputFaults: where a number lies outside a published table.
    """
    basis, stations = made.basis, made.stations
    notes: dict[Note, None] = {}
    faults: list[Fault] = []
    fixed = {each.key: each.value for each in constants(basis)}
    found = [
        run(requirement(basis), fixed | {i.key: i.value for i in station.inputs})
        for station in stations
    ]
    required = max(values["t_required"] for values in found)
    for station, values in zip(stations, found, strict=True):
        place = place_of("pipe", made.name)
        if station.at is not None:
            place = place.inside("station", None, station.at)
        faults.extend(_outside_tables(basis, values, place))
        texts = [*broken_limits(criteria, values, basis.system)]
        dry = dry_wall(values, required)
        if dry and dry.thicker:
            texts.append(dry.in_numbers(values["DR_max"], basis.system))
        if basis.buried_fully and not faults:
            others = other_loads(basis, values)
            texts += [each.in_numbers(basis, values) for each in others if each.matters]
        notes |= {Note(Severity.CAUTION, text, station.at): None for text in texts}
    if faults:
        raise InputFaults(faults)
    return tuple(notes)


def notes_on_many(
    criteria: Criteria, basis: Basis, values: Mapping[str, Any]
) -> Iterator[tuple[Note, Any]]:
    """The notes about numbers, for arrays of many pipes: what to say, and of which pipes."""
    for each in beyond_limits(criteria, values, basis.system):
        yield Note(Severity.CAUTION, f"{each.subject} {each.rest}"), each.broken
    if dry := dry_wall(values, values["t_required"]):
        yield Note(Severity.CAUTION, dry.in_words), dry.thicker
    if not basis.buried_fully:
        return
    for other in other_loads(basis, values):
        yield Note(Severity.CAUTION, other.in_words), other.matters


def _outside_tables(basis: Basis, values: Mapping[str, Any], place: Place) -> Iterator[Fault]:
    """Look-ups whose argument lies where the published table does not reach."""
    for key, arguments, outside, limit in outside_tables(basis, values):
        if outside:
            shown = ", ".join(
                f"{SYMBOLS[each].meaning} {float(values[each]):.4g} "
                f"{SYMBOLS[each].unit(basis.system)}".rstrip()
                for each in arguments
            )
            yield fault("outside_table", place.at(key), shown=shown, limit=limit)


def outside_tables(
    basis: Basis, values: Mapping[str, Any]
) -> Iterator[tuple[str, tuple[str, ...], Any, str]]:
    """Every look-up: the key it serves, what it is read by, whether (or where) that lies outside
    the table, and the limit of the table."""
    for line in requirement(basis):
        if line.equation.kind != "look-up":
            continue
        for limit in line.equation.limits:
            condition = line.condition_tree(limit.holds)
            if limit.severity is Severity.OUTSIDE:
                of_load = line.equation in BY_COVER.values()
                key = "live_load" if of_load else "soil_reaction_modulus"
                arguments = tuple(dict.fromkeys(tree.symbols(condition)))
                outside = np.logical_not(tree.evaluate(condition, values))
                yield key, arguments, outside, limit.text
