"""Makes design tasks of a project: quantities in the sheet's units, each with its origin."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.expressions.printing import positional
from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods.basis import Basis
from linerdesign.methods.method import keys_read, requirement
from linerdesign.methods.result import NotDesigned, PipeResult
from linerdesign.methods.sizing import Watch, design_all
from linerdesign.methods.symbols import KEY_OF, SYMBOLS, name_of
from linerdesign.methods.task import PipeTask, SecondAsked, Station
from linerdesign.project.contradictions import in_design, place_of
from linerdesign.project.cost_keys import TEST_REPORTS
from linerdesign.project.faults import Fault, InputFaults, fault, listed, shown
from linerdesign.project.floors import broken_floors
from linerdesign.project.inputs import Maker
from linerdesign.project.keys import RETENTIONS
from linerdesign.project.layers import resolved
from linerdesign.project.models import Criteria, FaultyPipe, Pipe, Resin
from linerdesign.project.reading import Project


def tasks(project: Project, units: str | None = None) -> tuple[PipeTask, ...]:
    """One design task a pipe, in the unit system given or else the project's.

    Raises:
        InputFaults: values that exclude each other.
    """
    found = possible_tasks(project, units or project.info.units)
    faults = [fault for each in found if isinstance(each, FaultyPipe) for fault in each.faults]
    if faults:
        raise project.located(faults)
    return tuple(each for each in found if isinstance(each, PipeTask))


def possible_tasks(
    project: Project, system: str, names: Collection[str] = ()
) -> tuple[PipeTask | FaultyPipe, ...]:
    """The tasks of the pipes that can be designed, those that can't be after them.

    Only those named, where any is. A task's `first` counts the stations of all pipes of the file
    before it.

    Raises:
        InputFaults: every name that no pipe has.
    """
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
    if unknown := list(unknown_pipes(names, every)):
        raise InputFaults(unknown)
    both: tuple[PipeTask | FaultyPipe, ...] = (*made, *faulty)
    return tuple(each for each in both if not names or each.name in names)


def unknown_pipes(names: Iterable[str], pipes: Iterable[Pipe | FaultyPipe]) -> Iterator[Fault]:
    """The fault of every name that no pipe has."""
    known = sorted({each.name for each in pipes})
    for name in dict.fromkeys(names):
        if name not in known:
            yield fault("no_such", "pipe", shown(name), what="pipe", known=listed(known))


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
    sites = resolved(pipe, resin, criteria)
    maker = Maker(pipe, resin, criteria, system)
    bases = [maker.basis(site) for site in sites]
    faults = list(in_design(pipe, resin, sites, bases))
    second, basis = _second_asked(criteria), bases[0]
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
        waivers=frozenset(_waivers(resin, criteria)),
        second=second,
        evidence=(
            *((what, text) for _, what, text in _evidence(resin, criteria) if text),
            *((key.replace("_", " "), text) for key, text in pipe.evidence.items()),
        ),
        notes=(
            *(each for _, each in taken),
            *broken_floors(criteria),
            *([finding("design.internal_pressure")] if basis.internal_pressure else []),
            *([finding("design.missing_part")] if pipe.hole_arc is not None else []),
        ),
    )


def _second_asked(criteria: Criteria) -> SecondAsked | None:
    """The second method of the project; none where it asks for none."""
    asked = criteria.second_method
    if asked is None:
        return None
    source = criteria.origins["second_method"].source
    stated = {key: each for key, each in asked.given.items() if key not in ("method", "use")}
    shares = tuple((name, value.number / 100, source) for name, value in stated.items())
    return SecondAsked(asked.method, asked.use == "replaces", shares)


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
    origins = criteria.origins
    for key in ("edition", "x1_2_strength", "dry_case"):
        if origins[key].by_default:
            code, stated = f"project.default_{key}", getattr(criteria, key)
            yield key, finding(code, Severity.DEFAULT, key=key, stated=stated)


def unknown_values(pipe: Pipe, made: PipeTask) -> Iterator[Fault]:
    """Uncertainties of values that the pipe does not have."""
    known = {each.key for each in made.stations[0].inputs}
    for table, stated in (("doubt", pipe.doubt), ("uncertainty", pipe.uncertainty)):
        for name, each in stated.items():
            if KEY_OF.get(name) not in known:
                yield fault("review.no such value", pipe.place.at(table).under(name), each.text)


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


def designed(task: PipeTask) -> PipeResult:
    """The design of one pipe of a project.

    Raises:
        InputFaults: where its values, each possible, can't be designed together.
    """
    return designed_all([task])[0]


def designed_all(
    tasks: Sequence[PipeTask], watch: Watch = lambda values, system: ()
) -> list[PipeResult]:
    """The designs of the pipes of a project; `watch` adds findings to those of the method.

    Raises:
        InputFaults: every pipe whose values, each possible, can't be designed together.
    """
    results = design_all(tasks, watch)
    faults = [
        found for each in results if isinstance(each, NotDesigned) for found in faults_of(each)
    ]
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    return [each for each in results if isinstance(each, PipeResult)]


def faults_of(pipe: NotDesigned) -> Iterator[Fault]:
    """Why a pipe can't be designed, each reason with its place."""
    system = pipe.task.basis.system
    for found, quantity, read_by in pipe.reasons:
        place = place_of("pipe", pipe.task.name)
        if found.station is not None:
            place = place.inside("station", None, found.station)
        shown = ", ".join(
            f"{SYMBOLS[key].meaning} {positional(value, 4)} {SYMBOLS[key].unit(system)}".rstrip()
            for key, value in read_by
        )
        if quantity:
            at = place.at(name_of(quantity))
            yield fault("outside_table", at, shown=shown, limit=found.said)
        else:
            yield fault("no_thickness", place, why=found.said)
