"""The planning table: nominal thickness over diameter, cover and water."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.batch.rows import with_notes
from linerdesign.comparisons.curves import designs_over, in_mm, pattern
from linerdesign.design.many import Designs
from linerdesign.design.sizing import NOT_FINITE, PipeTask
from linerdesign.equations.equation import Severity
from linerdesign.project.assembly import contradictions, given, outside_tables, unnoted_task
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.measures import Measure
from linerdesign.project.models import WATER_DATUMS, Pipe, Resin
from linerdesign.project.reading import Project

# Diameters, covers and waters where none are asked for.
USUAL_AXES = {
    "US": (
        ("6 in", "8 in", "10 in", "12 in", "15 in", "18 in", "24 in", "30 in", "36 in"),
        ("5 ft", "10 ft", "15 ft", "20 ft"),
        ("0 ft", "5 ft", "10 ft", "15 ft"),
    ),
    "SI": (
        ("150 mm", "200 mm", "250 mm", "300 mm", "375 mm", "450 mm", "600 mm", "900 mm"),
        ("1.5 m", "3 m", "4.5 m", "6 m"),
        ("0 m", "1.5 m", "3 m", "4.5 m"),
    ),
}
MOST_CELLS = 20_000


@dataclass(frozen=True)
class Entry:
    """One cell: nominal and required thickness in mm, what governs, and what is to be said."""

    nominal: float
    required: float
    governing: str
    outside: bool
    passes: bool
    notes: tuple[str, ...]

    @property
    def status(self) -> str:
        """The entry in one word or three."""
        if not self.passes:
            return "fails"
        return "outside the method" if self.outside else "sized"


@dataclass(frozen=True)
class PlanningTable:
    """Entries by (water, cover, diameter) as they were given.

    `pipe` gives all that is not varied, `made` is its task with the first values of the table.
    """

    project: Project
    pipe: Pipe
    resin: Resin
    made: PipeTask
    water_key: str
    diameters: tuple[Measure, ...]
    covers: tuple[Measure, ...]
    waters: tuple[Measure, ...]
    entries: dict[tuple[str, str, str], Entry]

    @property
    def holds(self) -> bool:
        """Whether every entry passes, inside the method."""
        return all(each.passes and not each.outside for each in self.entries.values())

    def cells(self) -> Iterator[tuple[Measure, Measure, Measure, Entry]]:
        """Water, cover and diameter with their entry, in order."""
        for water in self.waters:
            for cover in self.covers:
                for diameter in self.diameters:
                    entry = self.entries[water.text, cover.text, diameter.text]
                    yield water, cover, diameter, entry


def water_key_of(pipe: Pipe) -> str:
    """The datum in which the pattern states its water; above the invert where it has none."""
    stated = next((key for key in WATER_DATUMS if key in given(pipe)), "groundwater")
    return "groundwater_above_invert" if stated == "groundwater" else stated


def planning_table(
    project: Project,
    pipe: Pipe,
    resin: Resin,
    diameters: Sequence[Measure],
    covers: Sequence[Measure],
    waters: Sequence[Measure],
    system: str,
) -> PlanningTable:
    """The table; all that is not diameter, cover or water is taken from the pattern `pipe`.

    Raises:
        InputFaults: too many cells, or values that can't be together, each combination named.
    """
    if len(diameters) * len(covers) * len(waters) > MOST_CELLS:
        raise InputFaults([Fault("planning table", "", f"at most {MOST_CELLS:,} cells")])
    key = water_key_of(pipe)
    grid = [(w, c, d) for w in waters for c in covers for d in diameters]
    names = (key, "cover", "host_diameter")
    base = pattern(pipe, dict(zip(names, grid[0], strict=True)))
    base = _one_water(base, key)
    columns = dict(zip(names, zip(*grid, strict=True), strict=True))
    _refuse_contradictions(base, columns, grid)
    made = unnoted_task(base, resin, project.criteria, system)
    # Each value in its own unit is brought to one unit, then to the sheet's.
    arrays = {
        name: (np.array([each.to(cells[0].unit) for each in cells]), cells[0].unit)
        for name, cells in columns.items()
    }
    designs = with_notes(designs_over(made, arrays), made, project.criteria)
    _refuse_beyond_tables(made, designs, grid)
    required, nominal = in_mm(designs, made)
    entries = {
        (w.text, c.text, d.text): _entry(i, designs, required, nominal, made)
        for i, (w, c, d) in enumerate(grid)
    }
    axes = (tuple(diameters), tuple(covers), tuple(waters))
    return PlanningTable(project, pipe, resin, made, key, *axes, entries)


def _one_water(pipe: Pipe, key: str) -> Pipe:
    kept = {k: v for k, v in given(pipe).items() if k == key or k not in WATER_DATUMS}
    return Pipe.model_construct(_fields_set=set(kept), **kept)


def _refuse_contradictions(
    base: Pipe, columns: dict[str, tuple[Measure, ...]], grid: Sequence[tuple[Measure, ...]]
) -> None:
    faults = []
    for row, cells in enumerate(zip(*columns.values(), strict=True)):
        site = given(base) | dict(zip(columns, cells, strict=True))
        for key, broken, expected in contradictions(site):
            if broken:
                at = ", ".join(str(each) for each in grid[row])
                faults.append(Fault(f"planning table at {at}, {key}", str(site[key]), expected))
    if faults:
        raise InputFaults(faults)


def _refuse_beyond_tables(
    made: PipeTask, designs: Designs, grid: Sequence[tuple[Measure, ...]]
) -> None:
    faults = []
    for key, _, outside, expected in outside_tables(made.basis, designs.values):
        for row in np.flatnonzero(np.broadcast_to(outside, designs.passes.shape)).tolist():
            at = ", ".join(str(each) for each in grid[row])
            faults.append(Fault(f"planning table at {at}, {key}", "", expected))
    for row in np.flatnonzero(~designs.finite).tolist():
        at = ", ".join(str(each) for each in grid[row])
        faults.append(Fault(f"planning table at {at}", "", f"other values: {NOT_FINITE}"))
    if faults:
        raise InputFaults(faults)


def _entry(i: int, designs: Designs, required: Any, nominal: Any, made: PipeTask) -> Entry:
    notes = [note for note in made.notes if note.severity is not Severity.DEFAULT]
    notes += [note for note, rows in designs.flags if rows[i]]
    return Entry(
        nominal=float(nominal[i]),
        required=float(required[i]),
        governing=designs.equations[int(designs.governing[i])],
        outside=any(note.severity is Severity.OUTSIDE for note in notes),
        passes=bool(designs.passes[i]),
        notes=tuple(note.text for note in notes),
    )
