"""The planning table: nominal thickness over diameter, cover and water."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from linerdesign.findings import Finding as Note
from linerdesign.methods.equation import Severity
from linerdesign.methods.many import Designs, design_many
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import outside_tables, task
from linerdesign.project.consistency import merged, with_defaults
from linerdesign.project.contradictions import contradictions
from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.project.fields import given
from linerdesign.project.keys import SITE_KEYS, WATER_DATUMS
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.tasks.batch.pieces import with_notes
from linerdesign.tasks.compare.curves import designs_over, in_mm, pattern
from linerdesign.words import sentence

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
# The datum of the water that needs nothing else of the pipe; the usual waters are heights of it.
ABOVE_INVERT = "groundwater_above_invert"
Grid = Sequence[tuple[Measure, ...]]
Columns = Mapping[str, tuple[Measure, ...]]


@dataclass(frozen=True)
class Entry:
    """One cell: nominal and required thickness in mm, what governs, and what is to be said.

    `station` is the one that governs, where the pipe has stations.
    """

    nominal: float
    required: float
    governing: str
    outside: bool
    passes: bool
    notes: tuple[str, ...]
    station: str | None = None

    @property
    def status(self) -> str:
        """The entry in one word or three."""
        if not self.passes:
            return "fails"
        return "outside the method" if self.outside else "sized"


@dataclass(frozen=True)
class Place:
    """A station of the pattern, or all of it, with the first values of the table."""

    at: str | None
    made: PipeTask


@dataclass(frozen=True)
class PlanningTable:
    """Entries by (water, cover, diameter) as they were given; `pipe` gives all that is not varied.

    As in `size`, every station counts and the worst one governs, cell by cell.
    """

    project: Project
    pipe: Pipe
    resin: Resin
    places: tuple[Place, ...]
    water_key: str
    diameters: tuple[Measure, ...]
    covers: tuple[Measure, ...]
    waters: tuple[Measure, ...]
    entries: dict[tuple[str, str, str], Entry]

    @property
    def system(self) -> str:
        """Unit system of the table."""
        return self.places[0].made.basis.system

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


def water_key_of(pipe: Pipe, criteria: Criteria) -> str:
    """The datum in which the pipe states its water; above the invert where it states no height."""
    _, first = next(_single(pipe))
    site = with_defaults(given(first), given(criteria.defaults))
    stated = next((key for key in WATER_DATUMS if key in site), "groundwater")
    return ABOVE_INVERT if stated == "groundwater" else stated


def planning_table(
    project: Project,
    pipe: Pipe,
    resin: Resin,
    diameters: Sequence[Measure],
    covers: Sequence[Measure],
    waters: Sequence[Measure],
    system: str,
    water_key: str = ABOVE_INVERT,
) -> PlanningTable:
    """The table; all that is not diameter, cover or water is taken from `pipe`.

    `waters` are heights of the datum `water_key`.

    Raises:
        InputFaults: too many cells, a pipe above ground, or values that can't be together, each
            combination named.
    """
    if len(diameters) * len(covers) * len(waters) > MOST_CELLS:
        raise InputFaults([Fault("planning table", "", f"at most {MOST_CELLS:,} cells")])
    if pipe.above_ground:
        expected = "a buried pipe: one above ground has no cover and no water to vary"
        raise InputFaults([Fault(f'planning table, pipe "{pipe.name}"', "", expected)])
    grid = [(w, c, d) for w in waters for c in covers for d in diameters]
    names = (water_key, "cover", "host_diameter")
    columns = dict(zip(names, zip(*grid, strict=True), strict=True))
    patterns = [(at, _with_first(each, columns)) for at, each in _single(pipe)]
    _refuse_contradictions([each for _, each in patterns], columns, grid)
    places = tuple(
        Place(
            at,
            task(each, resin, project.criteria, system),
        )
        for at, each in patterns
    )
    cells = _entries(places, columns, grid, project.criteria)
    entries = {(w.text, c.text, d.text): e for (w, c, d), e in zip(grid, cells, strict=True)}
    axes = (tuple(diameters), tuple(covers), tuple(waters))
    return PlanningTable(project, pipe, resin, places, water_key, *axes, entries)


def _single(pipe: Pipe) -> Iterator[tuple[str | None, Pipe]]:
    """The pipe as each of its stations has it; the pipe itself where there are none."""
    own = given(pipe)
    rest = {k: v for k, v in own.items() if k not in SITE_KEYS and k != "station"}
    for station in pipe.station or (None,):
        site = merged(own, given(station) if station else {})
        kept = rest | site
        yield (station.at if station else None), Pipe(kept)


def _with_first(pipe: Pipe, columns: Columns) -> Pipe:
    """The pipe with the first cell's values in place of its own, in whatever datum those are."""
    kept = {k: v for k, v in given(pipe).items() if k in columns or k not in WATER_DATUMS}
    other = Pipe(kept)
    return pattern(other, {key: cells[0] for key, cells in columns.items()})


def _refuse_contradictions(patterns: Sequence[Pipe], columns: Columns, grid: Grid) -> None:
    faults = dict.fromkeys(_under_the_invert(patterns, columns))
    for pipe in patterns:
        for row, cells in enumerate(zip(*columns.values(), strict=True)):
            site = given(pipe) | dict(zip(columns, cells, strict=True))
            for key, broken, refused in contradictions(site):
                if broken:
                    at = ", ".join(str(each) for each in grid[row])
                    place = f"planning table at {at}, {key}"
                    faults[refused.at(place, str(site[key]))] = None
    if faults:
        raise InputFaults(faults)


def _under_the_invert(patterns: Sequence[Pipe], columns: Columns) -> Iterator[Fault]:
    """Elevations of the water under every invert: most likely meant as heights above it."""
    inverts = [v for pipe in patterns if (v := given(pipe).get("invert_elevation")) is not None]
    if not inverts:
        return
    lowest = min(inverts, key=lambda invert: float(invert.to("m")))
    for water in columns.get("groundwater_elevation", ()):
        if water.to("m") < lowest.to("m"):
            expected = (
                "an elevation, as the pipe states its water, not under its invert at "
                f"{lowest}, which itself stands for a dry pipe; leave --water out for heights "
                "above the invert"
            )
            yield Fault("planning table, --water", str(water), expected)


def _entries(
    places: Sequence[Place], columns: Columns, grid: Grid, criteria: Criteria
) -> Iterator[Entry]:
    """The entry of every cell; the station that asks for the thickest wall chooses it for all."""
    # Each value in its own unit is brought to one unit, then to the sheet's.
    arrays = {
        name: (np.array([each.to(cells[0].unit) for each in cells]), cells[0].unit)
        for name, cells in columns.items()
    }
    alone = [with_notes(designs_over(p.made, arrays), p.made, criteria) for p in places]
    for place, designs in zip(places, alone, strict=True):
        _refuse_beyond_tables(place.made, designs, grid)
    worst = _worst(np.stack([designs.required for designs in alone]))
    wall, required = (
        np.stack(each)[worst, np.arange(len(grid))]
        for each in ([d.nominal for d in alone], [d.required for d in alone])
    )
    chosen = {"t": wall, "t_required": required}
    lined = [_with_wall(p.made, d, chosen, criteria) for p, d in zip(places, alone, strict=True)]
    thicknesses = [in_mm(d, p.made) for p, d in zip(places, alone, strict=True)]
    for i, k in enumerate(worst.tolist()):
        # At the station that chose the wall, what the choice itself says belongs to it.
        found = [alone[k] if place == k else each for place, each in enumerate(lined)]
        yield _entry(i, places, k, found, thicknesses[k])


def _worst(required: Any) -> Any:
    """The station that asks for most in each cell; of equals the one that does so in most cells."""
    reached = required == required.max(axis=0)
    usual = int(np.argmax(reached.sum(axis=1)))
    return np.where(reached[usual], usual, np.argmax(reached, axis=0))


def _with_wall(
    made: PipeTask, alone: Designs, chosen: Mapping[str, Any], criteria: Criteria
) -> Designs:
    """The designs of one station checked at the wall that the whole pipe requires and gets."""
    basis = replace(made.basis, thickness_given=True)
    designs = design_many(basis, {**alone.values, **chosen}, made.waivers)
    whole = replace(designs, values={**designs.values, **chosen})
    return with_notes(whole, made, criteria)


def _refuse_beyond_tables(made: PipeTask, designs: Designs, grid: Grid) -> None:
    faults = []
    for key, _, outside, expected in outside_tables(made.basis, designs.values):
        for row in np.flatnonzero(np.broadcast_to(outside, designs.passes.shape)).tolist():
            at = ", ".join(str(each) for each in grid[row])
            faults.append(Fault(f"planning table at {at}, {key}", "", expected))
    for row in np.flatnonzero(~designs.finite).tolist():
        at = ", ".join(str(each) for each in grid[row])
        why = sentence("design.not_finite")
        faults.append(fault("no_thickness", f"planning table at {at}", why=why))
    if faults:
        raise InputFaults(faults)


def _entry(
    i: int, places: Sequence[Place], worst: int, found: Sequence[Designs], mm: tuple[Any, Any]
) -> Entry:
    notes = [note for note in places[worst].made.notes if note.severity is not Severity.DEFAULT]
    met: dict[Note, list[str | None]] = {}
    for place, designs in zip(places, found, strict=True):
        for note, rows in designs.flags:
            if rows[i]:
                met.setdefault(note, []).append(place.at)
    for note, at in met.items():
        everywhere = len(at) == len(places)
        notes.append(replace(note, station=None if everywhere else ", ".join(map(str, at))))
    governing = found[worst]
    required, nominal = mm
    return Entry(
        nominal=float(nominal[i]),
        required=float(required[i]),
        governing=governing.equations[int(governing.governing[i])],
        outside=any(note.severity is Severity.OUTSIDE for note in notes),
        passes=all(bool(designs.passes[i]) for designs in found),
        notes=tuple(dict.fromkeys(note.text for note in notes)),
        station=places[worst].at,
    )
