"""Any list of lines worked out beside a design, as numbered steps for a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from linerdesign.methods.lines import Line, run
from linerdesign.methods.result import Step
from linerdesign.methods.steps import input_step, line_step, numbered
from linerdesign.methods.task import Input
from linerdesign.methods.verification import Verifications, verification_of


def values_of(inputs: Sequence[Input], lines: Sequence[Line]) -> dict[str, float]:
    """The inputs and the results of all lines by key, as `worked`."""
    found = run(lines, {each.key: each.value for each in inputs})
    return {key: float(value) for key, value in found.items()}


def worked(inputs: Sequence[Input], lines: Sequence[Line], system: str) -> tuple[Step, ...]:
    """The inputs as steps, then every line; all values in the units of the system.

    Raises:
        KeyError: where a line reads what neither an input nor an earlier line gives.
    """
    values = values_of(inputs, lines)
    computed = (line_step(line, values, system) for line in lines)
    return numbered((*(input_step(each, system) for each in inputs), *computed))


def signed(steps: Sequence[Step], verified: Verifications) -> tuple[Step, ...]:
    """The steps, each with what the office has verified of its equation."""

    def one(step: Step) -> Step:
        found = verification_of(step.line.equation, verified) if step.line else None
        return replace(step, verified=found) if found else step

    return tuple(map(one, steps)) if verified else tuple(steps)
