"""A calculation, the changes that errors make in it, and many altered calculations at once.

A change puts a patch on some of its quantities: a function of the quantity's own formula and of
the quantities known so far. Altered calculations run together as arrays, one row each.
"""

from __future__ import annotations

from collections import ChainMap
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.basis import Basis
from linerdesign.methods.lines import Line
from linerdesign.methods.method import (
    checks_of,
    choice_of_thickness,
    constants,
    method_of,
    requirement,
    verification,
)
from linerdesign.methods.task import PipeTask

Values = Mapping[str, Any]
Formula = Callable[[Values], Any]
Patch = Callable[[Formula, Values], Any]
Change = Mapping[str, Patch]
# The changes of one altered calculation, in the order in which they are made.
Alteration = tuple[Change, ...]
Keep = Callable[[str, Any], Any]
# Order in which two errors are made in one calculation: what rebuilds lines comes first.
REBUILDS, REPLACES, CHANGES, SKIPS, CLOSES = range(5)


@dataclass(frozen=True)
class Case:
    """The basis, lines and inputs of one calculation.

    `inputs` are floats, or arrays over the stations of the pipe, whose names are `stations`.
    `choice` are the lines from the required thickness to the nominal one.
    """

    basis: Basis
    lines: tuple[Line, ...]
    choice: tuple[Line, ...]
    inputs: Mapping[str, Any]
    stations: tuple[str | None, ...] = (None,)

    def has(self, key: str) -> bool:
        """Whether the quantity is an input, or the result of a line."""
        return key in self.inputs or any(line.result == key for line in self.lines)

    def readers(self, key: str) -> tuple[str, ...]:
        """Results of the lines that read a quantity, those of the checks of a wall included."""
        lines = (*self.lines, *verification(self.basis))
        return tuple(dict.fromkeys(line.result for line in lines if key in line.needs))

    def at(self, place: int) -> Case:
        """The calculation at one of the stations, counted from 0."""
        inputs = {key: v[place] if np.ndim(v) else v for key, v in self.inputs.items()}
        return replace(self, inputs=inputs, stations=(self.stations[place],))


Way = Callable[[Case], Change]


@dataclass(frozen=True)
class Slip:
    """One error. `topic` is what it is about: two of one topic are never made together.

    `ways` are the ways in which people make it; each is an empty change where it can't be made.
    """

    name: str
    topic: str
    weight: float
    ways: tuple[Way, ...]
    stage: int = CHANGES


@dataclass(frozen=True)
class Made:
    """One way of an error in one calculation; `words` say what was done."""

    slip: Slip
    place: int
    change: Change
    words: str


def case_of(task: PipeTask, stated: Iterable[str] = ()) -> Case:
    """The design's own calculation of a pipe, a load by its parts where one of them is stated."""
    inputs: dict[str, Any] = {each.key: each.value for each in constants(task.basis)}
    columns = [[each.value for each in station.inputs] for station in task.stations]
    keys = [each.key for each in task.stations[0].inputs]
    for key, column in zip(keys, zip(*columns, strict=True), strict=True):
        inputs[key] = column[0] if len(set(column)) == 1 else np.array(column)
    names = tuple(station.at for station in task.stations)
    method = method_of(task.basis)
    lines = tuple(_whenever(task.basis))
    if not method.parts.isdisjoint(stated):
        lines = tuple(method.in_parts(task.basis, lines))
    return Case(task.basis, lines, choice_of_thickness(task.basis), inputs, names)


def _whenever(basis: Basis) -> Iterator[Line]:
    """The lines to the required thickness; a submittal shows those too that no check needs."""
    checks = {check.required for check in checks_of(basis)}
    for each in requirement(basis):
        yield each if each.result in checks else replace(each, when=None)


# Patches


def fixed(value: Any) -> Patch:
    """Puts a number in place of a quantity."""
    return lambda _formula, _values: value


def scaled(factor: Any) -> Patch:
    """Multiplies a quantity."""
    return lambda formula, values: factor * formula(values)


def reading(results: Iterable[str], **instead: Formula) -> Change:
    """Lets lines read something else in place of some quantities."""

    def patch(formula: Formula, values: Values) -> Any:
        other = {key: made(values) for key, made in instead.items()}
        return formula(ChainMap(other, values))  # type: ignore[arg-type]

    return dict.fromkeys(results, patch)


def without(*results: str) -> Change:
    """Leaves checks out: they have no number, and the required thickness is that of the others."""
    nothing: dict[str, Formula] = {key: lambda _values: 0.0 for key in results}
    left_out = {key: fixed(np.nan) for key in results}
    return {**left_out, **reading(("t_required",), **nothing)}


# Running


class _Rows(Mapping[str, Any]):
    """Some rows of the quantities known; one shared row stays as it is."""

    def __init__(self, values: Mapping[str, Any], rows: NDArray[np.intp]) -> None:
        self.values_of, self.rows = values, rows

    def __getitem__(self, key: str) -> Any:
        value = self.values_of[key]
        return value if len(value) == 1 else value[self.rows]

    def __iter__(self) -> Iterator[str]:
        return iter(self.values_of)

    def __len__(self) -> int:
        return len(self.values_of)


def run_altered(
    lines: Iterable[Line],
    values: Mapping[str, Any],
    alterations: Sequence[Alteration],
    keep: Keep | None = None,
    dimensions: int = 2,
) -> dict[str, Any]:
    """The given values and the results of the lines, as arrays with a row for each alteration.

    A quantity that no alteration reaches has one row. `keep(key, array)` is put in place of each
    array before the next line reads it. `values` are scalars, or arrays of `dimensions`.
    """
    patches = _patches(alterations)
    shape = (1,) * dimensions
    given = {key: np.reshape(v, shape) if np.ndim(v) == 0 else v for key, v in values.items()}
    known: dict[str, Any] = {}
    formulas: list[tuple[str, Formula]] = [
        *((key, lambda _known, value=value: value) for key, value in given.items()),
        *((line.result, line.value) for line in lines),
    ]
    with np.errstate(all="ignore"):
        for key, formula in formulas:
            found = np.asarray(formula(known))
            if found.ndim == 0:
                found = found.reshape(shape)
            if key in patches:
                found = _patched(found, formula, known, patches[key], len(alterations))
            known[key] = found if keep is None else keep(key, found)
    return known


_Groups = list[tuple[tuple[Patch, ...], list[int]]]


def _patches(alterations: Sequence[Alteration]) -> dict[str, _Groups]:
    """By quantity: the patches made on it one after the other, and the rows that they are for."""
    rows: dict[str, dict[tuple[Patch, ...], list[int]]] = {}
    for row, changes in enumerate(alterations):
        for key in dict.fromkeys(key for change in changes for key in change):
            patches = tuple(change[key] for change in changes if key in change)
            rows.setdefault(key, {}).setdefault(patches, []).append(row)
    return {key: list(groups.items()) for key, groups in rows.items()}


def _patched(base: Any, formula: Formula, known: Values, groups: _Groups, rows: int) -> Any:
    made = []
    for patches, chosen in groups:
        where = np.array(chosen)
        altered = formula
        for patch in patches:
            altered = _with(patch, altered)
        made.append((where, np.asarray(altered(_Rows(known, where)))))
    shape = np.broadcast_shapes(base.shape[1:], *(m.shape[1:] for _, m in made if m.ndim))
    found = np.array(np.broadcast_to(base, (rows, *shape)), float)
    for where, values in made:
        found[where] = values
    return found


def _with(patch: Patch, formula: Formula) -> Formula:
    return lambda values: patch(formula, values)


@dataclass(frozen=True)
class Outcomes:
    """Altered calculations at the station that needs the thickest wall of each.

    `values` hold an array over the alterations for each quantity, `worst` the station; `valid` is
    false where no finite thickness results.
    """

    values: Mapping[str, NDArray[np.float64]]
    worst: NDArray[np.intp]
    valid: NDArray[np.bool_]

    def row(self, index: int) -> dict[str, float]:
        """The quantities of one alteration; those that it leaves out are missing."""
        row = {key: float(v[index if len(v) > 1 else 0]) for key, v in self.values.items()}
        return {key: value for key, value in row.items() if not np.isnan(value)}

    def column(self, key: str) -> NDArray[np.float64]:
        """One quantity for every alteration."""
        return np.broadcast_to(self.values[key], self.valid.shape)


def outcomes(case: Case, alterations: Sequence[Alteration], wall: float | None = None) -> Outcomes:
    """Every quantity of altered calculations, the nominal thickness included.

    With `wall`, also what a wall of that thickness, in the unit of the sheet, gives in the checks.
    """
    rows = len(alterations)
    inputs = {k: v[np.newaxis, :] if np.ndim(v) else v for k, v in case.inputs.items()}
    found = run_altered(case.lines, inputs, alterations)
    stations = max(v.shape[1] for v in found.values())
    required = np.broadcast_to(found["t_required"], (rows, stations))
    valid = np.isfinite(required).all(axis=1) & (required > 0).any(axis=1)
    worst = np.argmax(required, axis=1)
    at = {key: _at_station(value, worst) for key, value in found.items()}
    # The patches of inputs and lines are made by now; those of the choice follow.
    left = {line.result for line in (*case.choice, *verification(case.basis))} - at.keys()
    later = remaining(alterations, left)
    at = run_altered(case.choice, at, later)
    if wall is not None:
        nominal = at["t"]
        walls = {**at, "t": np.full((1, 1), wall)}
        at = run_altered(verification(case.basis), walls, later) | {"t": nominal}
    return Outcomes({key: value[:, 0] for key, value in at.items()}, worst, valid)


def remaining(alterations: Sequence[Alteration], keys: set[str]) -> list[Alteration]:
    """The alterations with the patches of some quantities only, those not yet computed."""
    return [
        tuple({key: change[key] for key in change.keys() & keys} for change in alteration)
        for alteration in alterations
    ]


def _at_station(value: Any, worst: NDArray[np.intp]) -> Any:
    if value.shape[1] == 1:
        return value
    whole = np.broadcast_to(value, (len(worst), value.shape[1]))
    return whole[np.arange(len(worst)), worst][:, np.newaxis]


def outcome(
    case: Case, wall: float | None = None, alteration: Alteration = ()
) -> dict[str, float] | None:
    """Every quantity of one calculation; none where no finite thickness results."""
    found = outcomes(case, [alteration], wall)
    return found.row(0) if found.valid.all() else None
