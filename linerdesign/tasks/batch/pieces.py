"""Sizes the rows of one piece of an inventory, and says what is wrong with those it can't."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import SAME
from linerdesign.methods import many
from linerdesign.methods.equation import Severity
from linerdesign.methods.many import Designs, design_many
from linerdesign.methods.method import choice_of_thickness, requirement
from linerdesign.methods.symbols import SYMBOLS, name_of, symbol_of_name
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import defaults_taken, outside_tables
from linerdesign.project.faults import Fault, fault
from linerdesign.project.floors import limits_left
from linerdesign.project.keys import CRITERIA_KEYS
from linerdesign.project.measures import convert
from linerdesign.project.models import Criteria, Resin
from linerdesign.project.quantities import mass_per_length
from linerdesign.project.reading import Project
from linerdesign.tasks.batch.cells import Cells, RowFaults, Rows, read_quantities, read_words
from linerdesign.tasks.batch.columns import GOVERNING, MESSAGE, NOMINAL, REQUIRED, STATUS, Header
from linerdesign.tasks.batch.groups import Group, Shape, arrays_of, grouped, shape_faults, task_of
from linerdesign.words import sentence

if TYPE_CHECKING:
    import polars as pl

ERROR = "error"
STATUSES = (ERROR, *many.STATUSES)
MOST_SHAPES = 10_000
# The owner's own criteria, which rows are meant to rest on.
OWNERS = frozenset(symbol_of_name(name) for name in (*CRITERIA_KEYS, "thickness_step"))


@dataclass
class Sized:
    """What a piece gives, one entry a row; thicknesses and diameters in mm, NaN where none.

    `status` indexes `STATUSES`, `governing` the list of equations and `message` the list of
    texts, where 0 is none. Lengths are
    in m and masses in kg, 0 where not known. `defaults` counts the rows that rest on each, and
    `changed` those whose nominal thickness changes when it is a tenth larger or smaller.
    """

    required: NDArray[np.float64]
    nominal: NDArray[np.float64]
    diameter: NDArray[np.float64]
    length: NDArray[np.float64]
    mass: NDArray[np.float64]
    status: NDArray[np.int8]
    governing: NDArray[np.int64]
    message: NDArray[np.int64]
    equations: list[str] = field(default_factory=lambda: [""])
    texts: list[str] = field(default_factory=lambda: [""])
    defaults: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    causes: Counter[str] = field(default_factory=Counter)

    @classmethod
    def empty(cls, count: int) -> Sized:
        """Nothing known yet of so many rows."""
        return cls(
            required=np.full(count, np.nan),
            nominal=np.full(count, np.nan),
            diameter=np.full(count, np.nan),
            length=np.zeros(count),
            mass=np.zeros(count),
            status=np.zeros(count, np.int8),
            governing=np.zeros(count, np.int64),
            message=np.zeros(count, np.int64),
        )

    def columns(self) -> dict[str, pl.Series]:
        """The columns that the result adds, by their headers."""
        import polars as pl

        governing = pl.Series([name or None for name in self.equations], dtype=pl.String)
        texts = pl.Series([text or None for text in self.texts], dtype=pl.String)
        return {
            REQUIRED: pl.Series(self.required, nan_to_null=True),
            NOMINAL: pl.Series(self.nominal, nan_to_null=True),
            GOVERNING: governing.gather(self.governing),
            STATUS: pl.Series(STATUSES).gather(self.status),
            MESSAGE: texts.gather(self.message),
        }


@dataclass
class Sizer:
    """Sizes pieces of one table. The faults of a shape of row are worked out once."""

    header: Header
    project: Project
    system: str
    _shapes: dict[Shape, tuple[Fault, ...]] = field(default_factory=dict)

    def size(self, frame: pl.DataFrame, surplus: dict[int, str], sampled: bool = False) -> Sized:
        """The result of a piece; `surplus` holds rows with more cells than the header has.

        Of a piece that is `sampled` it is also found what its defaults matter.
        """
        sized, faults = Sized.empty(frame.height), RowFaults()
        for row, cells_text in surplus.items():
            faults.add(row, Fault("row", cells_text, "as many cells as the header has"))
        resins = tuple(resin.name for resin in self.project.resins)
        cells = [
            read_quantities(column, frame[column.header], faults) for column in self.header.measured
        ]
        chosen = [column for column in self.header.words if column.key != "name"]
        words = read_words(chosen, frame, resins, faults)
        by_key = {each.column.key: each for each in cells}
        for group in grouped(cells, words, faults.free(frame.height)):
            self._size_group(group, by_key, sized, faults, sampled)
        for row, texts in faults.texts.items():
            sized.message[row] = len(sized.texts)
            sized.texts.append("; ".join(texts))
        sized.causes = faults.causes
        return sized

    def _size_group(
        self,
        group: Group,
        cells: dict[str, Cells],
        sized: Sized,
        faults: RowFaults,
        sampled: bool,
    ) -> None:
        if len(self._shapes) > MOST_SHAPES:
            self._shapes.clear()
        if group.shape not in self._shapes:
            self._shapes[group.shape] = shape_faults(group.shape, self.project)
        for each in self._shapes[group.shape]:
            faults.add_all(group.rows, each)
        if self._shapes[group.shape]:
            return
        made, rows, resin = task_of(group, cells, self.project, self.system, faults)
        if made is None:
            return
        values = arrays_of(made, group.shape, rows, cells)
        designs = design_many(made.basis, values, made.waivers)
        faults.add_all(
            rows[~designs.finite], fault("no_thickness", "row", why=sentence("design.not_finite"))
        )
        good = designs.finite.copy()
        for key, _, outside, limit in outside_tables(made.basis, designs.values):
            mask = np.broadcast_to(outside, good.shape)
            beyond = fault("outside_table", self._place(key), shown="the value", limit=limit)
            faults.add_all(rows[mask].tolist(), beyond)
            good &= ~mask
        noted = with_notes(designs, made, self.project.criteria)
        _put(sized, made, noted, rows, good)
        for text in defaults_of(made, self.project.criteria).values():
            sized.defaults[text] += int(np.count_nonzero(good))
        _put_quantities(sized, resin, rows[good], cells)
        if sampled:
            count_changes(made, self.project.criteria, values, designs, sized)

    def _place(self, key: str) -> str:
        column = self.header.column_of(key)
        return column.place if column else f"row, {key}"


def with_notes(designs: Designs, made: PipeTask, criteria: Criteria) -> Designs:
    """The designs with the values beyond the owner's limits."""
    shape = designs.passes.shape
    left = limits_left(criteria, designs.values, made.basis.system)
    notes = ((each.of_many, np.broadcast_to(each.where, shape)) for each in left)
    found = [(said, rows) for said, rows in notes if rows.any()]
    return replace(designs, flags=(*designs.flags, *found))


def _put(
    sized: Sized, made: PipeTask, designs: Designs, rows: Rows, good: NDArray[np.bool_]
) -> None:
    """Writes the designs of one group into the piece."""
    unit = SYMBOLS["t"].unit(made.basis.system)
    kept = rows[good]
    sized.required[kept] = convert(1.0, unit, "mm") * designs.required[good]
    # Nine decimals of a millimetre: 6.0, not the 6.000000000000001 of a trip through inches.
    sized.nominal[kept] = np.round(convert(1.0, unit, "mm") * designs.nominal[good], 9)
    place = {name: len(sized.equations) + i for i, name in enumerate(designs.equations)}
    sized.equations.extend(designs.equations)
    codes = np.array([place[name] for name in designs.equations])
    sized.governing[kept] = codes[designs.governing[good]]
    # The first of the statuses of a row is that of an error.
    sized.status[kept] = 1 + designs.status[good]
    codes, texts = _messages(made, designs)
    sized.message[kept] = codes[good] + len(sized.texts)
    sized.texts.extend(texts)


def defaults_of(made: PipeTask, criteria: Criteria) -> dict[str, str]:
    """What no column gives and the resin leaves out: by key of the sheet, what was taken.

    Keys that are words, such as the edition, stand by themselves.
    """
    lines = (*requirement(made.basis), *choice_of_thickness(made.basis))
    read = {key for line in lines for key in line.needs}
    taken = defaults_taken(criteria, made.basis, made.stations)
    found = {key: each.text for key, each in taken if key in read or key not in SYMBOLS}
    for each in made.stations[0].inputs:
        if each.origin.by_criteria and each.key in read - OWNERS:
            by = each.origin
            found[each.key] = f"{name_of(each.key)} taken as {by.stated}: {by.source}"
    return found


def count_changes(
    made: PipeTask,
    criteria: Criteria,
    values: dict[str, Any],
    designs: Designs,
    sized: Sized,
) -> None:
    """Counts the rows whose nominal thickness hangs on a default within a tenth of it."""
    for key, text in defaults_of(made, criteria).items():
        # Another step of thickness changes nearly every wall, and says nothing of its need.
        if key in values and key != "s" and np.any(values[key]):
            ends = [design_many(made.basis, {**values, key: values[key] * f}) for f in (0.9, 1.1)]
            different = [~np.isclose(each.nominal, designs.nominal, rtol=SAME) for each in ends]
            sized.changed[text] += int(np.count_nonzero(different[0] | different[1]))


def _messages(made: PipeTask, designs: Designs) -> tuple[NDArray[np.int64], list[str]]:
    """The cautions of each row as an index into the texts, of which rows share many."""
    shared = [note.text for note in made.notes if note.severity is not Severity.DEFAULT]
    codes, texts = np.zeros(len(designs.required), np.int64), ["; ".join(shared)]
    for note, rows in designs.flags:
        # Each text met so far is met again with this note behind it.
        extended = np.unique(codes[rows])
        after = np.zeros(len(texts), np.int64)
        after[extended] = len(texts) + np.arange(len(extended))
        codes = np.where(rows, after[codes], codes)
        texts += ["; ".join(filter(None, (texts[code], note.text))) for code in extended]
    return codes, texts


def _put_quantities(sized: Sized, resin: Resin, rows: Rows, cells: dict[str, Cells]) -> None:
    diameters = cells["host_diameter"]
    millimetre = convert(1.0, diameters.column.unit, "mm")
    sized.diameter[rows] = diameters.numbers[rows] * millimetre
    length = cells.get("length")
    if length is None:
        return
    metres = length.numbers[rows] * convert(1.0, length.column.unit, "m")
    sized.length[rows] = np.where(length.given[rows], metres, 0.0)
    mass = mass_per_length(sized.diameter[rows], sized.nominal[rows], "mm", resin)
    if mass is not None:
        sized.mass[rows] = mass * sized.length[rows]
