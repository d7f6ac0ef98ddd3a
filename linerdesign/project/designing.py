"""Designs the pipes of a project, and names the pipes whose values can't be designed together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from linerdesign.expressions.printing import positional
from linerdesign.methods.method import constants, missing_inputs
from linerdesign.methods.result import NotDesigned, PipeResult
from linerdesign.methods.sizing import Watch, design_all, missing_for_other, other_condition
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import task, watch
from linerdesign.project.contradictions import place_of
from linerdesign.project.faults import Fault, InputFaults, Place, fault, listed, shown
from linerdesign.project.fields import read_table
from linerdesign.project.models import Criteria, FaultyPipe, Pipe, Project, Resin


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


# Any resin: no range of a table reads it.
STAND_IN = {
    "name": "any",
    "flexural_modulus": "1 GPa",
    "flexural_strength": "10 MPa",
    "tensile_strength": "10 MPa",
}


def beside_other_faults(pipes: Sequence[Pipe], criteria: Criteria, system: str) -> Iterator[Fault]:
    """Values outside a table, in pipes of a project with other faults, so that all come at once.

    Of a pipe whose values do not suffice for a design nothing is said.
    """
    resin = read_table(Resin, STAND_IN, Place(), [])
    found = []
    for pipe in pipes:
        try:
            made = task(pipe, resin, criteria, system)
        except InputFaults:
            continue
        known = {*made.stations[0].values, *(each.key for each in constants(made.basis))}
        if pipe.condition and not missing_inputs(made.basis, known):
            found.append((pipe, made))
    for (pipe, _), each in zip(found, design_all([made for _, made in found]), strict=True):
        for reason in faults_of(each) if isinstance(each, NotDesigned) else ():
            if reason.code == "faults.outside_table" and isinstance(reason.place, Place):
                yield replace(reason, place=reason.place.within(pipe.place))


def designs_of(
    project: Project, chosen: Sequence[PipeTask | FaultyPipe]
) -> tuple[tuple[PipeResult, ...], tuple[FaultyPipe, ...]]:
    """The designs of these pipes, and the pipes that can't be designed, in order of the file.

    Raises:
        InputFaults: every fault, unless the project keeps such pipes apart and others are left.
    """
    faulty = [each for each in chosen if isinstance(each, FaultyPipe)]
    tasks = [each for each in chosen if isinstance(each, PipeTask)]
    designs = design_all(tasks, watch(project.criteria))
    by_name = {pipe.name: pipe for pipe in project.pipes}
    faulty += [
        by_name[each.task.name].faulty(faults_of(each))
        for each in designs
        if isinstance(each, NotDesigned)
    ]
    results = tuple(each for each in designs if isinstance(each, PipeResult))
    return results, kept_apart(project, results, faulty)


def kept_apart(
    project: Project,
    results: Sequence[PipeResult],
    faulty: Sequence[FaultyPipe],
    known: Sequence[FaultyPipe] = (),
) -> tuple[FaultyPipe, ...]:
    """The pipes that can't be designed in order of the file, those `known` before among them.

    Raises:
        InputFaults: their faults, unless the project keeps such pipes apart and others are left.
    """
    placed = [each.faulty(project.located(each.faults).faults) for each in faulty]
    placed += known
    if faulty and (project.faulty is None or not results):
        raise InputFaults(dict.fromkeys(each for pipe in placed for each in pipe.faults))
    return tuple(sorted(placed, key=lambda pipe: pipe.number))


Named = TypeVar("Named", PipeTask, PipeTask | FaultyPipe)


def only_named(all_tasks: tuple[Named, ...], names: list[str]) -> tuple[Named, ...]:
    """The tasks of the pipes named, all where none is.

    Raises:
        InputFaults: every name that no pipe has.
    """
    known = {task.name for task in all_tasks}
    unknown = [name for name in names if name not in known]
    if unknown:
        every = listed(sorted(known))
        raise InputFaults(
            fault("no_such", "pipe", shown(name), what="pipe", known=every) for name in unknown
        )
    return tuple(task for task in all_tasks if not names or task.name in names)


def with_other_condition(
    results: tuple[PipeResult, ...], criteria: Criteria
) -> tuple[PipeResult, ...]:
    """The results, each with the design in the other condition, or what is missing for it."""
    others = [other_condition(result.task) for result in results]
    designs = iter(design_all([each for each in others if each], watch(criteria)))
    found = []
    for result, made in zip(results, others, strict=True):
        other = next(designs) if made else None
        if isinstance(other, PipeResult):
            found.append(replace(result, other_condition=other))
        elif other is None:
            found.append(replace(result, other_missing=missing_for_other(result.task)))
        else:
            reasons = ((each.key, each.text) for each in faults_of(other))
            texts = tuple(f"{key}: {text}" if key else text for key, text in reasons)
            found.append(replace(result, other_missing=texts))
    return tuple(found)
