"""Designs the pipes of a project, and names the pipes whose values can't be designed together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linerdesign.expressions.printing import positional
from linerdesign.methods.result import NotDesigned, PipeResult
from linerdesign.methods.sizing import Watch, design_all
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import PipeTask
from linerdesign.project.faults import Fault, InputFaults, shown


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
        fault for each in results if isinstance(each, NotDesigned) for fault in faults_of(each)
    ]
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    return [each for each in results if isinstance(each, PipeResult)]


def faults_of(pipe: NotDesigned) -> Iterator[Fault]:
    """Why a pipe can't be designed, each reason with its place."""
    system = pipe.task.basis.system
    for finding, quantity, read_by in pipe.reasons:
        station = "" if finding.station is None else f', station "{finding.station}"'
        place = f"[[pipe]] {shown(pipe.task.name)}{station}"
        values = ", ".join(
            f"{SYMBOLS[key].meaning} {positional(value, 4)} {SYMBOLS[key].unit(system)}".rstrip()
            for key, value in read_by
        )
        if quantity:
            expected = f"another method ({finding.said})"
            yield Fault(f"{place}, {name_of(quantity)}", values, expected)
        else:
            yield Fault(place, "", f"values that give a thickness ({finding.said})")
