"""Sizes the rows of one piece of an inventory, and says what is wrong with those it can't."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import SAME
from linerdesign.findings import Severity
from linerdesign.methods import many
from linerdesign.methods.many import Designs, design_many, nominal_many
from linerdesign.methods.task import PipeTask
from linerdesign.methods.verdicts import FAILS
from linerdesign.project.assembly import outside_tables
from linerdesign.project.columns import (
    CHANCE,
    GOVERNING,
    INDEX,
    MESSAGE,
    NOMINAL,
    REQUIRED,
    STATUS,
    Header,
)
from linerdesign.project.faults import fault
from linerdesign.project.floors import limits_left, rows_below_owner
from linerdesign.project.models import Criteria, Resin
from linerdesign.project.quantities import mass_per_length
from linerdesign.project.reading import Project
from linerdesign.tasks.batch.cells import (
    UNKNOWN,
    Cells,
    decimal_mark,
    read_quantities,
    read_words,
)
from linerdesign.tasks.batch.groups import (
    Calculation,
    Group,
    Shape,
    arrays_of,
    calculation,
    grouped,
    measures,
    shape_faults,
    without_contradictions,
)
from linerdesign.tasks.batch.messages import FAILURE, OUTLIER, Messages, Rows
from linerdesign.tasks.batch.outliers import MOST_WALL, unusual
from linerdesign.tasks.batch.tubes import TUBE, Tubes
from linerdesign.tasks.walls import in_mm, made_in_mm
from linerdesign.words import sentence

if TYPE_CHECKING:
    import polars as pl

    from linerdesign.tasks.uncertainty.pipes import Wishes as UncertaintyWishes

ERROR = "error"
STATUSES = (ERROR, *many.STATUSES)
MOST_SHAPES = 10_000
# Rows at the start of an inventory of which it is found what their defaults matter.
SAMPLED = 8_192


@dataclass
class Sized:
    """What a piece gives, one entry a row; thicknesses and diameters in mm, NaN where none.

    `status` indexes `STATUSES` and `governing` the list of equations. Lengths are in m and masses
    in kg, 0 where not known. `further` are columns by their headers: chances, where wished for, or
    nothing in place of those of an earlier result. `defaults` counts the rows that rest on each,
    and `changed` those whose nominal thickness changes when it is a tenth larger or smaller.
    `cells` are the columns of quantities.
    """

    required: NDArray[np.float64]
    nominal: NDArray[np.float64]
    diameter: NDArray[np.float64]
    length: NDArray[np.float64]
    mass: NDArray[np.float64]
    status: NDArray[np.int8]
    governing: NDArray[np.int64]
    messages: Messages = field(default_factory=Messages)
    equations: list[str] = field(default_factory=lambda: [""])
    defaults: Counter[str] = field(default_factory=Counter)
    changed: Counter[str] = field(default_factory=Counter)
    cells: list[Cells] = field(default_factory=list)
    further: dict[str, NDArray[np.float64]] = field(default_factory=dict)

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
        )

    def forget(self, rows: Rows) -> None:
        """Takes the results of rows away again."""
        for each in (self.required, self.nominal, self.diameter):
            each[rows] = np.nan
        for count in (self.status, self.governing, self.length, self.mass):
            count[rows] = 0

    def columns(self) -> dict[str, pl.Series]:
        """The columns that the result adds, by their headers."""
        import polars as pl

        governing = pl.Series([name or None for name in self.equations], dtype=pl.String)
        codes, said = self.messages.beside_rows(len(self.status))
        texts = pl.Series([text or None for text in said], dtype=pl.String)
        return {
            REQUIRED: pl.Series(self.required, nan_to_null=True),
            NOMINAL: pl.Series(self.nominal, nan_to_null=True),
            GOVERNING: governing.gather(self.governing),
            STATUS: pl.Series(STATUSES).gather(self.status),
            MESSAGE: texts.gather(codes),
            **{name: pl.Series(each, nan_to_null=True) for name, each in self.further.items()},
        }


@dataclass
class Sizer:
    """Sizes pieces of one table. What rows of one shape share is worked out once.

    `mark` is that of the decimals in cells of text; the first piece tells it.
    """

    header: Header
    project: Project
    system: str
    mark: str = ""
    uncertainty: UncertaintyWishes | None = None
    _shapes: dict[Shape, Calculation] = field(default_factory=dict)

    def size(self, frame: pl.DataFrame, surplus: dict[int, str], sampled: bool = False) -> Sized:
        """The result of a piece; `surplus` holds rows with more cells than the header has.

        Of the first rows of a piece that is `sampled` it is also found what their defaults matter.
        """
        sized = Sized.empty(frame.height)
        for name in (CHANCE, INDEX):
            if self.uncertainty is not None or (self.header.earlier and name in frame.columns):
                sized.further[name] = np.full(frame.height, np.nan)
        messages = sized.messages
        for row, text in surplus.items():
            messages.refuse([row], fault("inventory.surplus", "row", text))
        measured, meant = self.header.measured, self.header.naming.values
        if not self.mark and frame.height:
            self.mark = decimal_mark([frame[column.header] for column in measured])
        for column in measured:
            of_key, mark = meant.get(column.key, {}), self.mark or UNKNOWN
            cells = read_quantities(column, frame[column.header], of_key, mark, messages)
            unusual(cells, messages)
            sized.cells.append(cells)
        resins = tuple(resin.name for resin in self.project.resins)
        chosen = [column for column in self.header.words if column.key != "name"]
        words = read_words(chosen, frame, meant, resins, messages)
        by_key = {each.column.key: each for each in sized.cells}
        for group in grouped(sized.cells, words, messages.free(frame.height)):
            self._size_group(group, by_key, sized, sampled)
        return sized

    def _size_group(
        self, group: Group, cells: dict[str, Cells], sized: Sized, sampled: bool
    ) -> None:
        shared = self._shared(group, cells, sized.messages)
        if shared is None or not len(rows := shared[1]):
            return
        known = shared[0]
        made = known.task
        assert made is not None
        values = arrays_of(made, group.shape, rows, cells)
        designs = design_many(made.basis, values, made.waivers)
        good = self._finite(designs, made, rows, sized.messages)
        self._say(designs, known, group.shape, rows, good, cells, sized.messages)
        _put(sized, made, designs, rows, good)
        for text in (known.defaults or {}).values():
            sized.defaults[text] += int(np.count_nonzero(good))
        tubes = self._lined(known, designs, group.shape, rows, good, cells, sized)
        _put_quantities(sized, known, rows[good], cells, tubes)
        if tubes is not None:
            sized.forget(rows[good][tubes.no_bore])
        if self.uncertainty is not None:
            self._put_chances(known, values, designs, rows, good, sized)
        if sampled:
            count_changes(known, values, designs.nominal, rows < SAMPLED, sized)

    def _put_chances(
        self,
        known: Calculation,
        values: dict[str, Any],
        designs: Designs,
        rows: Rows,
        good: NDArray[np.bool_],
        sized: Sized,
    ) -> None:
        """The chance that each wall is sufficient, and its reliability index."""
        from linerdesign.tasks.batch.chances import chances_of_rows

        assert known.task is not None
        assert known.resin is not None
        assert self.uncertainty is not None
        some = {key: value[good] if np.ndim(value) else value for key, value in values.items()}
        chance, index = chances_of_rows(
            self.project, known.resin, known.task, some, designs.nominal[good], self.uncertainty
        )
        sized.further[CHANCE][rows[good]] = np.round(100 * chance, 4)
        # Nothing where the index is beyond what is told apart.
        sized.further[INDEX][rows[good]] = np.round(np.where(np.isfinite(index), index, np.nan), 4)

    def _shared(
        self, group: Group, cells: dict[str, Cells], messages: Messages
    ) -> tuple[Calculation, Rows] | None:
        """What the rows of a group share, and those of them that can be designed."""
        if len(self._shapes) > MOST_SHAPES:
            self._shapes.clear()
        shape, rows = group.shape, group.rows
        known = self._shapes.get(shape)
        if known is None and (found := shape_faults(shape, self.project)):
            known = Calculation(found)
        if known is None or not known.faults:
            rows = without_contradictions(group, cells, self.project, messages)
            if known is None and len(rows):
                known = calculation(group, int(rows[0]), cells, self.project, self.system)
        if known is None:
            return None
        self._shapes[shape] = known
        for each in known.faults:
            messages.refuse(rows, each)
        return None if known.faults else (known, rows)

    def _finite(
        self, designs: Designs, made: PipeTask, rows: Rows, messages: Messages
    ) -> NDArray[np.bool_]:
        """Which rows have a thickness; what is wrong with the others is said."""
        good = designs.finite.copy()
        if not good.all():
            why = sentence("design.not_finite")
            messages.refuse(rows[~good], fault("no_thickness", "row", why=why))
        for key, _, outside, limit in outside_tables(made.basis, designs.values):
            mask = np.broadcast_to(outside, good.shape) & good
            if mask.any():
                column = self.header.column_of(key)
                place = column.place if column else f"row, {key}"
                messages.refuse(rows[mask], fault("inventory.outside_table", place, limit=limit))
                good &= ~mask
        return good

    def _say(
        self,
        designs: Designs,
        known: Calculation,
        shape: Shape,
        rows: Rows,
        good: NDArray[np.bool_],
        cells: dict[str, Cells],
        messages: Messages,
    ) -> None:
        """The cautions of a group, and what goes beyond the owner's criteria and limits."""
        made, criteria = known.task, known.criteria
        assert made is not None
        assert criteria is not None
        for note in made.notes:
            if note.severity is not Severity.DEFAULT:
                messages.add(note.severity.value, note.text, rows[good])
        left = limits_left(criteria, designs.values, made.basis.system)
        own: dict[str, Any] = {key: word for key, word in shape.words if key in Criteria.rows}
        numbers = [key for key in shape.numbers if key in Criteria.rows]
        own |= {key: measures(cells[key], rows) for key in numbers}
        beyond = rows_below_owner(self.project.criteria, own)
        for note, where in (
            *designs.flags,
            *((each.of_many, each.where) for each in left),
            *beyond,
        ):
            mask = np.broadcast_to(where, good.shape) & good
            messages.add(note.severity.value, note.text, rows[mask])
        fails = designs.status == many.STATUSES.index(FAILS)
        messages.add(FAILURE, sentence("inventory.fails"), rows[fails & good])
        wall = made_in_mm(made.basis, designs.nominal)
        thick = sentence("inventory.thick_wall", most=f"{MOST_WALL:g}")
        messages.add(OUTLIER, thick, rows[(wall > MOST_WALL) & good])

    def _lined(
        self,
        known: Calculation,
        designs: Designs,
        shape: Shape,
        rows: Rows,
        good: NDArray[np.bool_],
        cells: dict[str, Cells],
        sized: Sized,
    ) -> Tubes | None:
        """The tubes of the rows that have one by its own size; those that deliver too little fail.

        A row whose tube has no bore is refused.
        """
        if known.task is None or known.resin is None or not {*TUBE} & {*shape.numbers}:
            return None
        kept = rows[good]
        basis = known.task.basis

        def of_rows(values: Any) -> NDArray[np.float64]:
            return np.asarray(in_mm(basis, np.broadcast_to(values, good.shape)[good]), np.float64)

        own = {key: measures(cells[key], kept).to("mm") for key in TUBE if key in shape.numbers}
        host, floor = (of_rows(designs.values.get(key, 0.0)) for key in ("D", "t_floor"))
        diameter, thickness = (
            np.broadcast_to(own.get(key, left), kept.shape)
            for key, left in zip(TUBE, (host, sized.nominal[kept]), strict=True)
        )
        tubes = Tubes(diameter, thickness, host)
        if tubes.no_bore.any():
            sized.messages.refuse(kept[tubes.no_bore], fault("inventory.tube_wall", "row"))
        short = tubes.short(np.maximum(sized.required[kept], floor))
        for code, failing in (("tube_short", short), ("tube_stretch", tubes.beyond(known.resin))):
            where = failing & ~tubes.no_bore
            sized.status[kept[where]] = STATUSES.index(FAILS)
            sized.messages.add(FAILURE, sentence(f"inventory.{code}"), kept[where])
        return tubes


def _put(
    sized: Sized, made: PipeTask, designs: Designs, rows: Rows, good: NDArray[np.bool_]
) -> None:
    """Writes the designs of one group into the piece."""
    kept = rows[good]
    sized.required[kept] = in_mm(made.basis, designs.required[good])
    sized.nominal[kept] = made_in_mm(made.basis, designs.nominal[good])
    place = {name: len(sized.equations) + i for i, name in enumerate(designs.equations)}
    sized.equations.extend(designs.equations)
    codes = np.array([place[name] for name in designs.equations])
    sized.governing[kept] = codes[designs.governing[good]]
    # The first of the statuses of a row is that of an error.
    sized.status[kept] = 1 + designs.status[good]


def count_changes(
    known: Calculation,
    values: dict[str, Any],
    nominal: NDArray[np.float64],
    some: NDArray[np.bool_],
    sized: Sized,
) -> None:
    """Counts those of `some` rows whose `nominal` depends on a default within a tenth of it."""
    made = known.task
    assert made is not None
    values = {key: each[some] if np.ndim(each) else each for key, each in values.items()}
    for key, text in (known.defaults or {}).items():
        # Another increment changes nearly every wall, and says nothing of its need.
        if key in values and key != "s" and np.any(values[key]):
            ends = [nominal_many(made.basis, {**values, key: values[key] * f}) for f in (0.9, 1.1)]
            different = [~np.isclose(each, nominal[some], rtol=SAME) for each in ends]
            sized.changed[text] += int(np.count_nonzero(different[0] | different[1]))


def _put_quantities(
    sized: Sized, known: Calculation, rows: Rows, cells: dict[str, Cells], tubes: Tubes | None
) -> None:
    diameters = cells["host_diameter"]
    sized.diameter[rows] = measures(diameters, rows).to("mm")
    length = cells.get("length")
    if length is None:
        return
    sized.length[rows] = np.where(length.given[rows], measures(length, rows).to("m"), 0.0)
    resin = known.resin
    assert isinstance(resin, Resin)
    if "density" in cells and cells["density"].given[rows].all():
        resin = resin.changed({"density": measures(cells["density"], rows)})
    wide, thick = sized.diameter[rows], sized.nominal[rows]
    if tubes is not None:
        wide, thick = tubes.diameter, tubes.thickness
    mass = mass_per_length(wide, thick, "mm", resin)
    if mass is not None:
        sized.mass[rows] = mass * sized.length[rows]
