"""Designs the pipes of a project, and names the pipes whose values can't be designed together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from linerdesign.expressions.printing import positional
from linerdesign.methods.result import NotDesigned, PipeResult
from linerdesign.methods.sizing import Watch, design_all, missing_for_other, other_condition
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import watch
from linerdesign.project.contradictions import place_of
from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.project.models import Criteria


def designed(task: PipeTask) -> PipeResult:
    """The design of one pipe of a project.

    Raises:
        InputFaults: where its values, each possible, can't be designed together.
    """
    return designed_all([task])[0]


def designed_all(tasks: Sequence[PipeTask], watch: Watch = lambda designs: ()) -> list[PipeResult]:
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


def with_other_condition(
    results: tuple[PipeResult, ...], criteria: Criteria
) -> tuple[PipeResult, ...]:
    """The results, each with the design in the other condition, or what is missing for it."""
    others = [other_condition(result.task) for result in results]
    designs = iter(design_all([task for task in others if task], watch(criteria)))
    found = []
    for result, task in zip(results, others, strict=True):
        other = next(designs) if task else None
        if isinstance(other, PipeResult):
            found.append(replace(result, other_condition=other))
        elif other is None:
            found.append(replace(result, other_missing=missing_for_other(result.task)))
        else:
            reasons = ((each.key, each.text) for each in faults_of(other))
            texts = tuple(f"{key}: {text}" if key else text for key, text in reasons)
            found.append(replace(result, other_missing=texts))
    return tuple(found)
