"""Makes design tasks of a project: quantities in the sheet's units, each with its origin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods.basis import Basis
from linerdesign.methods.method import SECOND_METHODS, keys_read, method_in, requirement
from linerdesign.methods.raised import Raised
from linerdesign.methods.sizing import Watch
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import PipeTask, SecondAsked, Station
from linerdesign.project.consistency import differing_stations, is_shaped, without_tensile
from linerdesign.project.contradictions import between_values, place_of, several_values
from linerdesign.project.cost_keys import TEST_REPORTS
from linerdesign.project.faults import InputFaults, Place, fault, shown, unknown_word
from linerdesign.project.fields import given
from linerdesign.project.floors import broken_floors, floors_broken, limits_left
from linerdesign.project.inputs import Maker
from linerdesign.project.keys import RETENTIONS
from linerdesign.project.layers import resolved
from linerdesign.project.models import Criteria, FaultyPipe, Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.words import sentence


def tasks(project: Project, units: str | None = None) -> tuple[PipeTask, ...]:
    """One design task a pipe, in the unit system given or else the project's.

    Raises:
        InputFaults: values that exclude each other.
    """
    made, faulty = possible_tasks(project, units)
    if faulty:
        raise project.located(each for pipe in faulty for each in pipe.faults)
    return made


def possible_tasks(
    project: Project, units: str | None = None
) -> tuple[tuple[PipeTask, ...], tuple[FaultyPipe, ...]]:
    """The tasks of the pipes that can be designed, and the pipes that can't be.

    A task's `first` counts the stations of all pipes of the file before it.
    """
    system = units or project.info.units
    made: list[PipeTask] = []
    faulty: list[FaultyPipe] = []
    first = 1
    every: list[Pipe | FaultyPipe] = [*project.pipes, *(project.faulty or ())]
    for pipe in sorted(every, key=lambda each: each.number):
        found = pipe if isinstance(pipe, FaultyPipe) else _task_of(project, pipe, system)
        if isinstance(found, FaultyPipe):
            faulty.append(found)
            first += found.stations
        else:
            made.append(replace(found, first=first))
            first += len(found.stations)
    return tuple(made), tuple(faulty)


def _task_of(project: Project, pipe: Pipe, system: str) -> PipeTask | FaultyPipe:
    try:
        return task_of(project, pipe, system)
    except InputFaults as found:
        return pipe.faulty(found.faults)


def task_of(project: Project, pipe: Pipe, system: str) -> PipeTask:
    """The design task of one pipe of a project, with what the office has verified.

    What has changed since is a caution.

    Raises:
        InputFaults: values that exclude each other.
    """
    made = task(pipe, project.resin_of(pipe), project.criteria, system)
    record = project.record
    if record is None:
        return made
    return replace(made, verified=record.rows, notes=(*made.notes, *record.findings_of(made)))


def task(pipe: Pipe, resin: Resin, criteria: Criteria, system: str) -> PipeTask:
    """The design task of one pipe with one resin.

    Raises:
        InputFaults: values that exclude each other.
    """
    if is_shaped(pipe):
        key = "outline" if pipe.outline else "shape"
        at = place_of("pipe", pipe.name).at(key)
        raise InputFaults([fault("shaped", at, shown(getattr(pipe, key)))])
    sites = resolved(pipe, resin, criteria)
    maker = Maker(pipe, resin, criteria, system)
    basis = maker.basis(sites[0])
    place = place_of("pipe", pipe.name)
    faults = [
        *between_values(pipe, sites, place),
        *several_values(resin),
        *without_tensile(sites, given(resin), place.at("resin")),
        *differing_stations(map(maker.basis, sites), place),
    ]
    second = _second_asked(criteria)
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
            *(each for _, each in taken),
            *broken_floors(criteria),
            *([finding("design.internal_pressure")] if basis.internal_pressure else []),
        ),
        waivers=frozenset(_waivers(resin, criteria)),
        second=second,
        evidence=(
            *((what, text) for _, what, text in _evidence(resin, criteria) if text),
            *((key.replace("_", " "), text) for key, text in pipe.evidence.items()),
        ),
    )


def refuse_in_place(project: Project, what: str) -> None:
    """Refuses a second method in place of the standard for what rests on the standard.

    Raises:
        InputFaults: where the project has one.
    """
    second = project.criteria.second_method
    if second is not None and second.use == "replaces":
        place = Place(table="[criteria.second_method]").at("use")
        raise InputFaults([fault("second.size_only", place, what=what)])


def _second_asked(criteria: Criteria) -> SecondAsked | None:
    """The second method of the project; none where it asks for none.

    Raises:
        InputFaults: settings that the method does not have, or outside its ranges.
    """
    asked = criteria.second_method
    if asked is None:
        return None
    known = method_in(SECOND_METHODS[asked.method]).settings()
    stated = {name: value for name, value in given(asked).items() if name not in ("method", "use")}
    place, faults = Place(table="[criteria.second_method]"), []
    for name, value in stated.items():
        if name not in known:
            faults.append(unknown_word(place.at(name), name, known))
        elif not known[name].least <= value.number / 100 <= known[name].most:
            within = f"{100 * known[name].least:g} to {100 * known[name].most:g} %"
            faults.append(fault("option_range", place.at(name), str(value), range=within))
    if faults:
        raise InputFaults(faults)
    settings = tuple(
        (name, stated[name].number / 100, criteria.origin_of("second_method").source)
        if name in stated
        else (name, each.default, sentence(each.origin))
        for name, each in known.items()
    )
    return SecondAsked(asked.method, asked.use == "replaces", settings)


def _waivers(resin: Resin, criteria: Criteria) -> Iterator[str]:
    """The evidence that waives a caution: of a resin, only that of a test report."""
    if resin.evidence and resin.evidence_grade in TEST_REPORTS:
        yield "evidence"
    if criteria.enhancement_evidence:
        yield "enhancement_evidence"


def _evidence(resin: Resin, criteria: Criteria) -> tuple[tuple[str, str, str], ...]:
    """Key, what it is about, and the text, which may be empty."""
    return (
        ("evidence", f"properties of {resin.name}", resin.evidence),
        ("enhancement_evidence", "enhancement factor", criteria.enhancement_evidence),
    )


def defaults_taken(
    criteria: Criteria, basis: Basis, stations: tuple[Station, ...]
) -> Iterator[tuple[str, Finding]]:
    """Each default that a line reads or that chooses the lines: its key, and the finding."""
    read = keys_read(basis)
    given = dict.fromkeys(each for station in stations for each in station.inputs)
    for each in given:
        if each.origin.by_default and each.key in read:
            practice = name_of(each.key) in RETENTIONS
            code = "project.default_by_practice" if practice else "project.default"
            about = {
                "key": name_of(each.key),
                "subject": SYMBOLS[each.key].meaning,
                "stated": each.origin.stated,
            }
            yield each.key, finding(code, Severity.DEFAULT, **about)
    for key in ("edition", "x1_2_strength", "dry_case"):
        if criteria.origin_of(key).by_default:
            code, stated = f"project.default_{key}", getattr(criteria, key)
            yield key, finding(code, Severity.DEFAULT, key=key, stated=stated)


def watch(criteria: Criteria) -> Watch:
    """What finds, in the numbers of designs, what goes beyond the owner's limits and criteria."""

    def found(values: Mapping[str, Any], system: str) -> Iterator[Raised]:
        yield from limits_left(criteria, values, system)
        yield from floors_broken(criteria, values, system)

    return found


def outside_tables(
    basis: Basis, values: Mapping[str, Any]
) -> Iterator[tuple[str, tuple[str, ...], Any, str]]:
    """Every range outside which a quantity can't be found: the key of the project that it serves,
    what it is read by, whether (or where) that lies outside, and the range."""
    for line in requirement(basis):
        for limit in line.equation.limits_in(basis.system):
            if limit.refuses:
                condition = line.condition_tree(limit.holds)
                arguments = tuple(dict.fromkeys(tree.symbols(condition)))
                outside = np.logical_not(tree.evaluate(condition, values))
                yield name_of(limit.refuses), arguments, outside, limit.text
