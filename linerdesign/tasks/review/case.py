"""A calculation as somebody could have made it, and the small changes that slips make in one."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from linerdesign.methods.basis import Basis
from linerdesign.methods.equation import Equation, Provenance
from linerdesign.methods.lines import Line, run
from linerdesign.methods.method import choice_of_thickness, constants, requirement, verification
from linerdesign.methods.task import PipeTask

Formula = Callable[..., Any]


@dataclass(frozen=True)
class Case:
    """The words, lines and inputs of one calculation.

    `inputs` are floats, or arrays over the stations of the pipe. `choice` are the lines from the
    thickness required to the nominal one.
    """

    basis: Basis
    lines: tuple[Line, ...]
    choice: tuple[Line, ...]
    inputs: Mapping[str, Any]

    def has(self, key: str) -> bool:
        """Whether the quantity is an input, or the result of a line."""
        return key in self.inputs or any(line.result == key for line in self.lines)


def case_of(task: PipeTask) -> Case:
    """The design's own calculation of a pipe."""
    inputs: dict[str, Any] = {each.key: each.value for each in constants(task.basis)}
    columns = [[each.value for each in station.inputs] for station in task.stations]
    keys = [each.key for each in task.stations[0].inputs]
    for key, column in zip(keys, zip(*columns, strict=True), strict=True):
        inputs[key] = column[0] if len(set(column)) == 1 else np.array(column)
    return Case(task.basis, requirement(task.basis), choice_of_thickness(task.basis), inputs)


def outcome(case: Case, wall: float | None = None) -> dict[str, float] | None:
    """Every quantity at the station that needs the thickest wall; none where nothing comes out.

    With `wall`, also what a wall of that thickness, in the unit of the sheet, gives in the checks.
    """
    values = run(case.lines, case.inputs)
    required = np.atleast_1d(values["t_required"])
    if not np.all(np.isfinite(required)) or not required.max() > 0:
        return None
    # A slip may make the thickness the same at all stations where other quantities still differ.
    stations = max(np.size(value) for value in values.values())
    if stations > 1:
        worst = int(np.argmax(required))
        values = {key: np.broadcast_to(v, (stations,))[worst] for key, v in values.items()}
    found = run(case.choice, values)
    if wall is not None:
        found = run(verification(case.basis), found | {"t": wall}) | {"t": found["t"]}
    return found


def given(case: Case, **values: float) -> Case:
    """Puts numbers in place of quantities, whether inputs or computed."""
    lines = tuple(line for line in case.lines if line.result not in values)
    return replace(case, lines=lines, inputs={**case.inputs, **values})


def times(case: Case, key: str, factor: float) -> Case | None:
    """Multiplies a quantity, whether an input or computed."""
    if key in case.inputs:
        return replace(case, inputs={**case.inputs, key: case.inputs[key] * factor})
    return altered(case, key, lambda formula, *values: factor * formula(*values))


def altered(case: Case, result: str, change: Formula) -> Case | None:
    """Changes the formula of a line: `change(formula, *arguments)` is computed instead."""

    def changed(line: Line) -> Line:
        formula = line.equation.function
        new = replace(
            line.equation,
            function=lambda *values: change(formula, *values),
            keys=line.equation.arguments,
        )
        return replace(line, equation=new)

    return _each(case, (result,), changed)


def rebound(case: Case, results: Iterable[str], old: str, new: str) -> Case | None:
    """Puts one quantity in place of another in some lines; none where it stands in none."""

    def changed(line: Line) -> Line:
        names = zip(line.equation.arguments, line.arguments, strict=True)
        kept = {k: v for k, v in line.bound if k == line.equation.result}
        bound = kept | {argument: new if key == old else key for argument, key in names}
        return replace(line, bound=tuple(bound.items()))

    where = [line.result for line in case.lines if line.result in results and old in line.arguments]
    return _each(case, where, changed) if where and case.has(new) else None


def _each(case: Case, results: Iterable[str], change: Callable[[Line], Line]) -> Case | None:
    known = set(results)
    if known.isdisjoint(line.result for line in case.lines):
        return None
    lines = tuple(change(line) if line.result in known else line for line in case.lines)
    return replace(case, lines=lines)


def put(case: Case, new: Line, before: str = "") -> Case:
    """Puts a line in place of the one of the same result, or before the line of `before`.

    Raises:
        ValueError: where there is neither.
    """
    results = [line.result for line in case.lines]
    if new.result in results:
        place = results.index(new.result)
        return replace(case, lines=(*case.lines[:place], new, *case.lines[place + 1 :]))
    place = results.index(before)
    return replace(case, lines=(*case.lines[:place], new, *case.lines[place:]))


def own_line(result: str, function: Formula, *keys: str) -> Line:
    """A line that no standard has: the quantities `keys` go into the function."""
    return Line(Equation("slip", function, result, "", Provenance.PRACTICE, "", keys=keys))
