"""Any list of lines worked out beside a design, as numbered steps for a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from linerdesign.design.lines import Line, run
from linerdesign.design.result import Input, Step
from linerdesign.equations import tree
from linerdesign.equations.symbols import SYMBOLS


def worked(inputs: Sequence[Input], lines: Sequence[Line], system: str) -> tuple[Step, ...]:
    """The inputs as steps, then every line; all values in the units of the system.

    Raises:
        KeyError: where a line reads what neither an input nor an earlier line gives.
    """
    values = run(lines, {each.key: each.value for each in inputs})
    steps = [
        Step(number, each.key, each.value, SYMBOLS[each.key].unit(system), each.source, None)
        for number, each in enumerate(inputs, 1)
    ]
    steps += [
        _computed(number, line, values, system)
        for number, line in enumerate(lines, len(inputs) + 1)
    ]
    return tuple(steps)


def _computed(number: int, line: Line, values: dict[str, Any], system: str) -> Step:
    return Step(
        number=number,
        key=line.result,
        value=float(values[line.result]),
        unit=SYMBOLS[line.result].unit(system),
        source=f"{line.equation.clause}; {line.equation.provenance}",
        station=None,
        line=line,
        arithmetic=tree.resolve(line.tree, values),
        values=tuple((key, float(values[key])) for key in line.arguments),
        flags=tuple(
            limit.text
            for limit in line.equation.limits_in(system)
            if not tree.evaluate(line.condition_tree(limit.holds), values)
        ),
    )
