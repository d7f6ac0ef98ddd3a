"""Runs a project's design, and says of which pipe it is when its values give no thickness."""

from __future__ import annotations

from linerdesign.methods.result import PipeResult
from linerdesign.methods.sizing import design
from linerdesign.methods.task import PipeTask
from linerdesign.project.faults import Fault, InputFaults, shown


def designed(task: PipeTask) -> PipeResult:
    """The design of one pipe of a project.

    Raises:
        InputFaults: where its values, each possible, give no finite thickness together.
    """
    try:
        return design(task)
    except ArithmeticError as error:
        expected = f"values that give a thickness ({error})"
        raise InputFaults([Fault(f"[[pipe]] {shown(task.name)}", "", expected)]) from None
