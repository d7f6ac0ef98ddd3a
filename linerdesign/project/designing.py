"""Designs the pipes of a project, and names the pipes whose values can't be designed together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cache

from linerdesign.methods.method import constants, missing_inputs
from linerdesign.methods.result import NotDesigned, PipeResult
from linerdesign.methods.sizing import Watch, design_all, missing_for_other, other_condition
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import faults_of, task, unknown_values
from linerdesign.project.faults import Fault, InputFaults, Place
from linerdesign.project.fields import read_table
from linerdesign.project.floors import watch
from linerdesign.project.models import FaultyPipe, Pipe, Project, Resin
from linerdesign.project.requests import tube_asked

# Any resin: no range of a table reads it.
STAND_IN = {
    "name": "any",
    "flexural_modulus": "1 GPa",
    "flexural_strength": "10 MPa",
    "tensile_strength": "10 MPa",
}


def beside_other_faults(project: Project) -> Iterator[Fault]:
    """Values outside a table, in pipes of a project with other faults, so that all come at once.

    Of a pipe whose values do not suffice for a design nothing is said.
    """
    found = [(pipe, made) for pipe in project.pipes if (made := _with_any(project, pipe))]
    for (pipe, _), each in zip(found, design_all([made for _, made in found]), strict=True):
        for reason in faults_of(each) if isinstance(each, NotDesigned) else ():
            if reason.code == "faults.outside_table" and isinstance(reason.place, Place):
                yield replace(reason, place=reason.place.within(pipe.place))


@cache
def _any_resin() -> Resin:
    return read_table(Resin, STAND_IN, Place(), [])


def _with_any(project: Project, pipe: Pipe) -> PipeTask | None:
    """The task of a pipe with any resin, where its values suffice for a design."""
    try:
        made = task(pipe, _any_resin(), project.criteria, project.info.units)
    except InputFaults:
        return None
    known = {*made.stations[0].values, *(each.key for each in constants(made.basis))}
    return made if pipe.condition and not missing_inputs(made.basis, known) else None


def without_value(project: Project, pipe: Pipe) -> Iterator[Fault]:
    """Uncertainties that a pipe states of values that it does not have."""
    resins = [_completed(each) for each in project.resins]
    if resins:
        of_pipe = replace(project, resins=tuple(resins)).resin_of(pipe)
        try:
            yield from unknown_values(pipe, task(pipe, of_pipe, project.criteria, "US"))
        except InputFaults:
            return


def _completed(resin: Resin) -> Resin:
    """A resin with a value of any for each required one that could not be read."""
    own = {key: getattr(_any_resin(), key) for key in Resin.required if key not in resin.given}
    return resin.changed(own)


def left_of(project: Project, faults: Iterable[Fault]) -> Project:
    """What is left of a project with faults: the pipes that can be calculated in spite of them.

    `project` is without the pipes that have faults themselves. Those of a resin with faults are
    left out too, and those whose values do not suffice.
    """
    unsound = {each.place.path[:2] for each in faults if isinstance(each.place, Place)}
    named = enumerate(each.name for each in project.resins)
    names = [name for index, name in named if ("resin", index) not in unsound]
    resins = tuple(map(_completed, project.resins)) or (_any_resin(),)
    made = replace(project, resins=resins)
    left = tuple(
        pipe
        for pipe in project.pipes
        if pipe.is_shaped or (made.resin_of(pipe).name in names and _with_any(project, pipe))
    )
    others = (pipe for pipe in project.as_read if pipe not in left)
    return replace(made, pipes=left, faulty=tuple(pipe.faulty(()) for pipe in others))


def designs_of(
    project: Project, chosen: Sequence[PipeTask | FaultyPipe], both_conditions: bool = False
) -> tuple[tuple[PipeResult, ...], tuple[FaultyPipe, ...]]:
    """The designs of these pipes, and the pipes that can't be designed, in order of the file.

    With `both_conditions`, each has the design in the other condition of the host beside its own.

    Raises:
        InputFaults: every fault, unless the project keeps such pipes apart and others are left.
    """
    faulty = [each for each in chosen if isinstance(each, FaultyPipe)]
    tasks = [each for each in chosen if isinstance(each, PipeTask)]
    limits = watch(project.criteria)
    results = []
    for each in design_all(tasks, limits):
        if isinstance(each, PipeResult):
            results.append(each)
        else:
            faulty.append(project.by_name[each.task.name].faulty(faults_of(each)))
    if both_conditions:
        results = _with_other_condition(results, limits)
    if project.criteria.second_method is not None:
        from linerdesign.methods.second import with_second

        results = list(with_second(results))
    found = []
    # The tube last: its wall may be that of the second method.
    for each in results:
        try:
            found.append(_with_tube(project, each))
        except InputFaults as refused:
            faulty.append(project.by_name[each.name].faulty(refused.faults))
    faulty = [each.faulty(project.located(each.faults).faults) for each in faulty]
    if faulty and (project.faulty is None or not found):
        raise InputFaults(dict.fromkeys(each for pipe in faulty for each in pipe.faults))
    return tuple(found), tuple(sorted(faulty, key=lambda pipe: pipe.number))


def _with_tube(project: Project, result: PipeResult) -> PipeResult:
    """The design as its tube leaves it, where that decides on any of it."""
    asked = tube_asked(project, project.by_name[result.name])
    if asked is None:
        return result
    from linerdesign.project.lining import with_tube

    return with_tube(project, asked, result)


def _with_other_condition(results: Sequence[PipeResult], limits: Watch) -> list[PipeResult]:
    """The results, each with the design in the other condition, or what is missing for it."""
    others = [other_condition(result.task) for result in results]
    designs = iter(design_all([task for task in others if task], limits))
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
    return found
