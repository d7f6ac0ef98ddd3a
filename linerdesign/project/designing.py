"""Runs a project's design, and says of which pipe it is when its values give no thickness."""

from __future__ import annotations

from linerdesign.methods.result import PipeResult
from linerdesign.methods.sizing import design
from linerdesign.methods.task import PipeTask
from linerdesign.project.contradictions import place_of
from linerdesign.project.faults import InputFaults, fault


def designed(task: PipeTask) -> PipeResult:
    """The design of one pipe of a project.

    Raises:
        InputFaults: where its values, each possible, give no finite thickness together.
    """
    try:
        return design(task)
    except ArithmeticError as error:
        place = place_of("pipe", task.name)
        raise InputFaults([fault("no_thickness", place, why=str(error))]) from None
