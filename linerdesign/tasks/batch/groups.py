"""Rows of one shape: the same words, and the same columns filled in. They share a calculation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from linerdesign.methods.method import choice_of_thickness, requirement
from linerdesign.methods.symbols import KEY_OF, SYMBOLS
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import defaults_taken, task
from linerdesign.project.columns import known_keys
from linerdesign.project.consistency import site_faults
from linerdesign.project.contradictions import contradictions
from linerdesign.project.faults import Fault, InputFaults, Place, fault, shown
from linerdesign.project.fields import TABLES, read_table
from linerdesign.project.keys import CRITERIA_KEYS
from linerdesign.project.layers import with_defaults
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.reading import Project, validated
from linerdesign.tasks.batch.cells import Cells, by_text
from linerdesign.tasks.batch.messages import Messages, Rows
from linerdesign.words import sentence

if TYPE_CHECKING:
    import polars as pl

# A project file names a thickness to check in another way than the sheet does.
SHEET_NAME = {"design_thickness": "nominal_thickness"}
# The owner's own criteria, which rows are meant to rest on.
OWNERS = frozenset(KEY_OF.get(name) for name in (*CRITERIA_KEYS, "thickness_step"))


@dataclass(frozen=True)
class Shape:
    """What rows of one group share: the keys given as numbers, and every word."""

    numbers: tuple[str, ...]
    words: tuple[tuple[str, str], ...]

    def tables(self, numbers: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
        """A pipe of this shape, its resin's and the owner's keys, as a project file has them."""
        found: dict[str, dict[str, Any]] = {"pipe": {"name": "row"}, "resin": {}, "criteria": {}}
        for key, value in (*self.words, *((key, numbers[key]) for key in self.numbers)):
            found[known_keys()[key][0]][key] = value
        return found


@dataclass(frozen=True)
class Group:
    """The rows of one shape."""

    shape: Shape
    rows: Rows


@dataclass(frozen=True)
class Calculation:
    """What rows of one shape share: their faults, or the design task and what it rests on.

    `defaults` are the texts of the defaults taken, by key of the sheet.
    """

    faults: tuple[Fault, ...] = ()
    task: PipeTask | None = None
    resin: Resin | None = None
    criteria: Criteria | None = None
    defaults: Mapping[str, str] | None = None


def grouped(
    cells: Sequence[Cells], words: Mapping[str, pl.Series], free: np.ndarray[Any, Any]
) -> Iterator[Group]:
    """The rows without fault, by shape."""
    import polars as pl

    bits = np.zeros(len(free), np.int64)
    for place, each in enumerate(cells):
        bits |= each.measured.astype(np.int64) << place
    spelled = {each.column.key: each.words for each in cells if each.words is not None}
    columns = {"bits": pl.Series(bits), **words, **spelled}
    frame = pl.DataFrame(columns).with_row_index("row").filter(pl.Series(free))
    keys = list(columns)
    for group in frame.group_by(keys, maintain_order=True).agg("row").iter_rows(named=True):
        said = tuple((key, group[key]) for key in keys[1:] if group[key])
        numbers = tuple(
            each.column.key for place, each in enumerate(cells) if group["bits"] >> place & 1
        )
        yield Group(Shape(numbers, said), np.asarray(group["row"], np.int64))


def shape_faults(shape: Shape, project: Project) -> tuple[Fault, ...]:
    """What a pipe of this shape lacks or has twice, whatever its numbers."""
    found: list[Fault] = []
    examples = {key: _example(key) for key in shape.numbers}
    tables = shape.tables(examples)
    validated(Pipe, tables["pipe"], "row", found)
    floor = project.criteria.minimum_ovality.number > 0 or "minimum_ovality" in shape.numbers
    full = with_defaults(tables["pipe"], project.criteria.defaults.given)
    found.extend(site_faults(full, Place(table="row"), floor))
    if "thickness_step" in shape.numbers and _resin(shape, project).thicknesses:
        keys = "thickness_step and thicknesses"
        found.append(fault("several_of", Place(table="row"), keys=keys))
    # The numbers are examples; a reader must not take them for the row's own.
    told = {shown(value) for value in examples.values()}
    return tuple(replace(f, value="") if f.value in told else f for f in found)


def _example(key: str) -> Any:
    takes = known_keys()[key][1].takes
    assert takes is not None
    return takes.shown if takes.unit else float(takes.number)


def calculation(
    group: Group, row: int, cells: Mapping[str, Cells], project: Project, system: str
) -> Calculation:
    """The calculation that stands for the group; `row` is one whose numbers can be together."""
    shape = group.shape
    tables = shape.tables({key: _written(cells[key], row) for key in shape.numbers})
    resin, criteria = _resin(shape, project), project.criteria
    read = {name: read_table(TABLES[name], raw, Place(), []) for name, raw in tables.items()}
    resin, criteria = resin.changed(read["resin"].given), criteria.changed(read["criteria"].given)
    try:
        made = task(read["pipe"], resin, criteria, system)  # type: ignore[arg-type]
    except InputFaults as refused:
        # What numbers can do wrong was looked for before: this is wrong in every row.
        found = (replace(f, place=Place(table="row", key=f.key)) for f in refused.faults)
        return Calculation(tuple(found))
    return Calculation((), made, resin, criteria, _defaults_of(made, criteria))


def _defaults_of(made: PipeTask, criteria: Criteria) -> dict[str, str]:
    """What no column gives and the resin leaves out: by key of the sheet, what was taken.

    Keys that are words, such as the edition, have no quantity.
    """
    lines = (*requirement(made.basis), *choice_of_thickness(made.basis))
    read = {key for line in lines for key in line.needs}
    taken = defaults_taken(criteria, made.basis, made.stations)
    found = {key: each.text for key, each in taken if key in read or key not in SYMBOLS}
    for each in made.stations[0].inputs:
        if each.origin.by_criteria and each.key in read - OWNERS:
            by = each.origin
            subject = SYMBOLS[each.key].meaning
            numbers = {"subject": subject, "stated": by.stated, "source": by.source}
            found[each.key] = sentence("inventory.default", **numbers)
    return found


def arrays_of(
    made: PipeTask, shape: Shape, rows: Rows, cells: Mapping[str, Cells]
) -> dict[str, Any]:
    """The inputs of the rows by symbol: arrays from columns, numbers for what all share."""
    columns = {KEY_OF.get(SHEET_NAME.get(key, key)): cells[key] for key in shape.numbers}
    values: dict[str, Any] = {}
    for each in made.stations[0].inputs:
        column = columns.get(each.key)
        if column is None and each.origin.place == "minimum_ovality":
            column = columns.get("q_floor")
        if column is not None:
            measure = measures(column, rows)
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


def _written(cells: Cells, row: int) -> Any:
    """A number as a project file has it."""
    number = float(cells.numbers[row])
    return f"{number!r} {cells.column.unit}" if cells.column.about.unit else number


def without_contradictions(
    group: Group, cells: Mapping[str, Cells], project: Project, messages: Messages
) -> Rows:
    """The rows whose values can be together."""
    pipe = [key for key in group.shape.numbers if known_keys()[key][0] == "pipe"]
    own = {key: measures(cells[key], group.rows) for key in pipe}
    site = with_defaults(own, project.criteria.defaults.given)
    good = np.ones(len(group.rows), bool)
    for key, broken, refused in contradictions(site):
        mask = np.broadcast_to(broken, good.shape)
        if not mask.any():
            continue
        rows = group.rows[mask]
        if key in own:
            for text, some in by_text(cells[key].texts, rows):
                messages.refuse(some, refused.at(cells[key].column.place, shown(text)))
        else:
            messages.refuse(rows, refused.at(f"row, {key}", str(site[key])))
        good &= ~mask
    if "minimum_ovality" in group.shape.numbers:
        good &= _with_ovality(group, cells, messages)
    return group.rows[good]


def _with_ovality(group: Group, cells: Mapping[str, Cells], messages: Messages) -> Any:
    """Which rows state an ovality, or take an owner's minimum over zero in its place."""
    floor = cells["minimum_ovality"].numbers[group.rows]
    stated = {"ovality", "maximum_diameter", "minimum_diameter"} & {*group.shape.numbers}
    lacking = np.zeros(len(floor), bool) if stated else floor <= 0
    if lacking.any():
        keys = 'ovality ("0 %" for a true circle), maximum_diameter, minimum_diameter'
        said = fault("missing_one_of", Place(table="row"), how="one or two", keys=keys)
        messages.refuse(group.rows[lacking], said)
    return ~lacking
