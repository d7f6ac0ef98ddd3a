"""A second design method beside that of the project, or in its place where the project says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from linerdesign.findings import Severity, finding
from linerdesign.methods.method import SECOND_METHODS, method_in, method_of
from linerdesign.methods.result import OtherMethod, PipeResult
from linerdesign.methods.sizing import design
from linerdesign.methods.task import PipeTask
from linerdesign.words import sentence


def by_second(task: PipeTask) -> OtherMethod | None:
    """The pipe by the second method of its project; None where it asks for none."""
    asked = task.second
    if asked is None:
        return None
    method = method_in(SECOND_METHODS[asked.method])
    left_out = method.left_out(task.basis)
    said = sentence(left_out) if left_out else ""
    if asked.replaces and said:
        return OtherMethod(asked.method, None, said, said)
    try:
        taken = method.taken_over(task, asked.values)
        return OtherMethod(asked.method, design(taken), left_out=said)
    except ArithmeticError as error:
        return OtherMethod(asked.method, None, str(error).rstrip("."), said)


def solved_again(task: PipeTask) -> PipeTask:
    """A task of the second method, in place of the project's own, as its stations are now.

    Raises:
        ArithmeticError: where the method has no result for one of them.
    """
    method = method_of(task.basis)
    if method.follows or task.second is None:
        return task
    return method.taken_over(task, task.second.values)


def with_second(results: Sequence[PipeResult]) -> tuple[PipeResult, ...]:
    """The results, each with the pipe by the second method.

    Where that replaces the project's method, its result comes first and the other is shown beside
    it; a pipe that it leaves something out of, or has no result for, keeps the project's method.
    """
    return tuple(_with_second(result) for result in results)


def _with_second(result: PipeResult) -> PipeResult:
    asked, found = result.task.second, by_second(result.task)
    if asked is None or found is None:
        return result
    if not asked.replaces or found.result is None:
        return replace(result, second=found)
    own = OtherMethod(method_of(result.basis).name, result)
    said = finding("second.in_place", Severity.CAUTION, method=asked.method)
    return replace(found.result, second=own, notes=(said, *found.result.notes))
