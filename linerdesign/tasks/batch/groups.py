"""Rows of one shape: the same words, and the same columns filled in. They share a calculation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any

import numpy as np

from linerdesign.methods.symbols import SYMBOLS, symbol_of_name
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import task
from linerdesign.project.consistency import site_faults, with_defaults
from linerdesign.project.contradictions import contradictions
from linerdesign.project.faults import Fault, InputFaults, Place, shown
from linerdesign.project.fields import given, read_table
from linerdesign.project.measures import KINDS, Measure
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.reading import Project, validated
from linerdesign.tasks.batch.cells import Cells, RowFaults, Rows
from linerdesign.tasks.batch.columns import measured_keys

if TYPE_CHECKING:
    import polars as pl

# A project file names a thickness to check in another way than the sheet does.
SHEET_NAME = {"design_thickness": "nominal_thickness"}


@dataclass(frozen=True)
class Shape:
    """What rows of one group share: the keys given as numbers, and every word."""

    numbers: tuple[str, ...]
    words: tuple[tuple[str, str], ...]

    def raw(self) -> dict[str, Any]:
        """A pipe of this shape as a project file would have it, with examples for numbers."""
        examples = _examples()
        numbers = {key: examples[key] for key in self.numbers}
        return {"name": "row", **dict(self.words), **numbers}


@cache
def _examples() -> dict[str, str]:
    return {key: KINDS[kind].example.strip('"') for key, kind in measured_keys().items()}


@dataclass(frozen=True)
class Group:
    """The rows of one shape."""

    shape: Shape
    rows: Rows


def grouped(
    cells: Sequence[Cells], words: Mapping[str, pl.Series], free: np.ndarray[Any, Any]
) -> Iterator[Group]:
    """The rows without fault, by shape."""
    import polars as pl

    bits = np.zeros(len(free), np.int64)
    for place, each in enumerate(cells):
        bits |= each.given.astype(np.int64) << place
    columns = {"bits": pl.Series(bits), **words}
    for each in cells:
        if each.words:
            spelled = [each.words.get(row, "") for row in range(len(free))]
            columns[each.column.key] = pl.Series(spelled)
    frame = pl.DataFrame(columns).with_row_index("row").filter(pl.Series(free))
    keys = list(columns)
    for group in frame.group_by(keys, maintain_order=True).agg("row").iter_rows(named=True):
        said = tuple((key, group[key]) for key in keys[1:] if group[key])
        numbers = tuple(
            each.column.key
            for place, each in enumerate(cells)
            if group["bits"] >> place & 1 and not group.get(each.column.key)
        )
        yield Group(Shape(numbers, said), np.asarray(group["row"], np.int64))


def shape_faults(shape: Shape, project: Project) -> tuple[Fault, ...]:
    """What a pipe of this shape lacks or has twice, whatever its numbers."""
    found: list[Fault] = []
    raw = shape.raw()
    validated(Pipe, raw, "row", found)
    floor = project.criteria.minimum_ovality.number > 0
    full = with_defaults(raw, given(project.criteria.defaults))
    found.extend(site_faults(full, Place(table="row"), floor))
    # The numbers are examples; a reader must not take them for the row's own.
    examples = {shown(value) for key, value in raw.items() if key in shape.numbers}
    return tuple(replace(f, value="") if f.value in examples else f for f in found)


def task_of(
    group: Group, cells: Mapping[str, Cells], project: Project, system: str, faults: RowFaults
) -> tuple[PipeTask | None, Rows, Resin]:
    """The design task that stands for the group, and the rows that it holds for."""
    resin = _resin(group.shape, project)
    rows = _without_contradictions(group, cells, project, faults)
    if not len(rows):
        return None, rows, resin
    numbers = {key: _written(cells[key], int(rows[0])) for key in group.shape.numbers}
    pipe = read_table(Pipe, {**group.shape.raw(), **numbers}, Place(table="row"), [])
    try:
        return task(pipe, resin, project.criteria, system), rows, resin
    except InputFaults as refused:
        # What numbers can do wrong was looked for above: this is wrong in every row.
        for found in refused.faults:
            place = Place(table="row", key=found.key)
            faults.add_all(rows, replace(found, place=place))
        return None, rows[:0], resin


def arrays_of(
    made: PipeTask, shape: Shape, rows: Rows, cells: Mapping[str, Cells]
) -> dict[str, Any]:
    """The inputs of the rows by symbol: arrays from columns, numbers for what all share."""
    columns = {symbol_of_name(SHEET_NAME.get(key, key)): cells[key] for key in shape.numbers}
    values: dict[str, Any] = {}
    for each in made.stations[0].inputs:
        if each.key in columns:
            measure = measures(columns[each.key], rows)
            values[each.key] = measure.to(SYMBOLS[each.key].unit(made.basis.system))
        else:
            values[each.key] = each.value
    return values


def measures(cells: Cells, rows: Rows) -> Measure:
    """The quantities of some rows as one measure, its number an array."""
    numbers: Any = cells.numbers[rows]
    return Measure(numbers, cells.column.unit, cells.column.key)


def _resin(shape: Shape, project: Project) -> Resin:
    name = dict(shape.words).get("resin")
    return next((r for r in project.resins if r.name == name), project.resins[0])


def _written(cells: Cells, row: int) -> str:
    return f"{float(cells.numbers[row])!r} {cells.column.unit}"


def _without_contradictions(
    group: Group, cells: Mapping[str, Cells], project: Project, faults: RowFaults
) -> Rows:
    """The rows whose values can be together."""
    own = {key: measures(cells[key], group.rows) for key in group.shape.numbers}
    site = with_defaults(own, given(project.criteria.defaults))
    good = np.ones(len(group.rows), bool)
    for key, broken, refused in contradictions(site):
        mask = np.broadcast_to(broken, good.shape)
        for row in group.rows[mask].tolist():
            place, text = f"row, {key}", str(site[key])
            if key in own:
                place, text = cells[key].column.place, shown(str(cells[key].texts[row]))
            faults.add(row, refused.at(place, text))
        good &= ~mask
    return group.rows[good]
