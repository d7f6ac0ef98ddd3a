"""Nominal thickness by diameter, cover and groundwater, for several resins and conditions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.findings import Finding, Severity
from linerdesign.methods.basis import Basis
from linerdesign.methods.method import constants, missing_inputs
from linerdesign.methods.symbols import KEY_OF, SYMBOLS, name_of
from linerdesign.methods.task import PipeTask
from linerdesign.methods.verdicts import FAILS, OUTSIDE
from linerdesign.project.assembly import task
from linerdesign.project.contradictions import contradictions
from linerdesign.project.faults import Fault, InputFaults, every_fault, fault, shown
from linerdesign.project.keys import SITE_KEYS, WATER_DATUMS
from linerdesign.project.layers import merged, with_defaults
from linerdesign.project.measures import Measure, convert
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.curves import pattern
from linerdesign.tasks.walls import Walls, walls

if TYPE_CHECKING:
    from linerdesign.tasks.plan.confident import Drawn

# Default diameters, covers and waters.
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
WHERE = "planning table"
# The datum of the water that needs nothing else of the pipe; the usual waters are heights of it.
ABOVE_INVERT = "groundwater_above_invert"
Grid = Sequence[tuple[Measure, ...]]
Columns = Mapping[str, tuple[Measure, ...]]


@dataclass(frozen=True)
class Axes:
    """Diameters, covers and waters of a table; waters are heights of the datum `water_key`."""

    diameters: tuple[Measure, ...]
    covers: tuple[Measure, ...]
    waters: tuple[Measure, ...]
    water_key: str = ABOVE_INVERT

    @property
    def grid(self) -> list[tuple[Measure, Measure, Measure]]:
        """Water, cover and diameter of every cell, in order."""
        return [(w, c, d) for w in self.waters for c in self.covers for d in self.diameters]

    @property
    def columns(self) -> Columns:
        """The values of every cell by key of the project file."""
        names = (self.water_key, "cover", "host_diameter")
        return dict(zip(names, zip(*self.grid, strict=True), strict=True))


@dataclass(frozen=True)
class Entry:
    """One cell: nominal and required thickness in mm, the governing equation, and the status.

    `minimum_governs` where the owner's minimum alone leads to the nominal thickness. `station` is
    the one that governs, where the pipe has stations. `confident` is the nominal thickness for the
    confidence wished for, infinite where none that is made is sufficient.
    """

    nominal: float
    required: float
    governing: str
    minimum_governs: bool
    status: str
    notes: tuple[str, ...]
    station: str | None = None
    confident: float | None = None


@dataclass(frozen=True)
class Place:
    """A station of the pattern, or all of it, with the first values of the table."""

    at: str | None
    pattern: Pipe
    made: PipeTask


@dataclass(frozen=True)
class Table:
    """The cells of one resin in one condition, by the texts of water, cover and diameter."""

    resin: Resin
    condition: str
    places: tuple[Place, ...]
    entries: Mapping[tuple[str, str, str], Entry]

    @property
    def stations(self) -> list[str]:
        """The stations that govern some cell; none where the pipe has no stations."""
        found = dict.fromkeys(each.station for each in self.entries.values())
        return [each for each in found if each is not None]


@dataclass(frozen=True)
class Plan:
    """Tables by resin and condition on the same axes; `pipe` is the pattern for all other values.

    As in `size`, every station counts and the worst one governs, cell by cell.
    """

    project: Project
    pipe: Pipe
    system: str
    axes: Axes
    tables: tuple[Table, ...]
    drawn: Drawn | None = None

    @property
    def options(self) -> dict[str, Any]:
        """What the numbers depend on beside the project."""
        axes = (self.axes.diameters, self.axes.covers, self.axes.waters)
        return {
            "pipe": self.pipe.name,
            "tables": [(table.resin.name, table.condition) for table in self.tables],
            "axes": [[each.text for each in axis] for axis in axes],
            "water": self.axes.water_key,
            **({"uncertainty": self.drawn.wishes} if self.drawn else {}),
        }

    @property
    def holds(self) -> bool:
        """Whether every entry passes, inside the method."""
        entries = (entry for table in self.tables for entry in table.entries.values())
        return all(entry.status not in (FAILS, OUTSIDE) for entry in entries)

    def cells(self, table: Table) -> Iterator[tuple[Measure, Measure, Measure, Entry]]:
        """Water, cover and diameter with their entry, in order."""
        for water, cover, diameter in self.axes.grid:
            yield water, cover, diameter, table.entries[water.text, cover.text, diameter.text]


def water_key_of(pipe: Pipe, criteria: Criteria) -> str:
    """The datum in which the pipe states its water; above the invert where it states no height."""
    _, first = next(_single(pipe))
    site = with_defaults(first.given, criteria.defaults.given)
    stated = next((key for key in WATER_DATUMS if key in site), "groundwater")
    return ABOVE_INVERT if stated == "groundwater" else stated


def plan(
    project: Project,
    pipe: Pipe,
    resins: Sequence[Resin],
    conditions: Sequence[str],
    axes: Axes,
    system: str,
) -> Plan:
    """A table for each resin in each condition; all that the axes leave is taken from `pipe`.

    Raises:
        InputFaults: too many cells, a pipe above ground, keys that a condition lacks, or values
            that can't be together, each combination named.
    """
    if len(axes.grid) * len(resins) * len(conditions) > MOST_CELLS:
        raise InputFaults([fault("plan.too_many_cells", WHERE, most=MOST_CELLS)])
    if pipe.above_ground:
        raise InputFaults([fault("plan.above_ground", f"{WHERE}, pipe {shown(pipe.name)}")])
    patterns = [(at, _with_first(each, axes.columns)) for at, each in _single(pipe)]
    with every_fault() as faults:
        faults.of(_refuse_contradictions, [each for _, each in patterns], axes)
        tables = [
            faults.of(_table, project, patterns, resin, condition, axes, system)
            for condition in conditions
            for resin in resins
        ]
    return Plan(project, pipe, system, axes, tuple(each for each in tables if each))


def _table(
    project: Project,
    patterns: Sequence[tuple[str | None, Pipe]],
    resin: Resin,
    condition: str,
    axes: Axes,
    system: str,
) -> Table:
    places = []
    for at, each in patterns:
        kept = {**each.given, "condition": condition}
        single = Pipe.model_construct(**kept)
        places.append(Place(at, single, task(single, resin, project.criteria, system)))
    _refuse_missing(places, condition)
    cells = _entries(places, axes, project.criteria)
    entries = {(w.text, c.text, d.text): e for (w, c, d), e in zip(axes.grid, cells, strict=True)}
    return Table(resin, condition, tuple(places), entries)


def _refuse_missing(places: Sequence[Place], condition: str) -> None:
    """Refuses a condition for which the pipe lacks keys."""
    missing: dict[str, None] = {}
    for place in places:
        known = {*place.made.stations[0].values, *(e.key for e in constants(place.made.basis))}
        missing |= dict.fromkeys(sorted(map(name_of, missing_inputs(place.made.basis, known))))
    if missing:
        where = f"{WHERE}, pipe {shown(places[0].pattern.name)}"
        raise InputFaults(
            [fault("plan.missing_key", where, key=key, condition=condition) for key in missing]
        )


def _single(pipe: Pipe) -> Iterator[tuple[str | None, Pipe]]:
    """The pipe as each of its stations has it; the pipe itself where there are none."""
    own = pipe.given
    rest = {k: v for k, v in own.items() if k not in SITE_KEYS and k != "station"}
    for station in pipe.station or (None,):
        site = merged(own, station.given if station else {})
        kept = rest | site
        yield (station.at if station else None), Pipe.model_construct(**kept)


def _with_first(pipe: Pipe, columns: Columns) -> Pipe:
    """The pipe with the first cell's values in place of its own, in whatever datum those are."""
    kept = {k: v for k, v in pipe.given.items() if k in columns or k not in WATER_DATUMS}
    other = Pipe.model_construct(**kept)
    return pattern(other, {key: cells[0] for key, cells in columns.items()})


def _refuse_contradictions(patterns: Sequence[Pipe], axes: Axes) -> None:
    columns, grid = axes.columns, axes.grid
    faults = dict.fromkeys(_under_the_invert(patterns, columns))
    for pipe in patterns:
        for row, cells in enumerate(zip(*columns.values(), strict=True)):
            site = pipe.given | dict(zip(columns, cells, strict=True))
            for key, broken, refused in contradictions(site):
                if broken:
                    at = ", ".join(str(each) for each in grid[row])
                    place = f"{WHERE} at {at}, {key}"
                    faults[refused.at(place, str(site[key]))] = None
    if faults:
        raise InputFaults(faults)


def _under_the_invert(patterns: Sequence[Pipe], columns: Columns) -> Iterator[Fault]:
    """Elevations of the water under every invert: most likely meant as heights above it."""
    inverts = [v for pipe in patterns if (v := pipe.given.get("invert_elevation")) is not None]
    if not inverts:
        return
    lowest = min(inverts, key=lambda invert: float(invert.to("m")))
    for water in columns.get("groundwater_elevation", ()):
        if water.to("m") < lowest.to("m"):
            yield fault("plan.under_invert", f"{WHERE}, --water", str(water), invert=lowest)


def values_over(places: Sequence[Place], axes: Axes) -> dict[str, NDArray[np.float64]]:
    """The inputs over (cell, station) by key, in the units of the sheet."""
    count, system = len(axes.grid), places[0].made.basis.system
    columns = {}
    for name, cells in axes.columns.items():
        key = KEY_OF.get(name)
        assert key is not None, name
        # Each value in its own unit is brought to one unit, then to the sheet's.
        numbers = np.array([each.to(cells[0].unit) for each in cells])
        columns[key] = convert(1.0, cells[0].unit, SYMBOLS[key].unit(system)) * numbers
    found = {}
    for key in places[0].made.stations[0].values:
        own = [place.made.stations[0].values[key] for place in places]
        found[key] = np.stack([columns.get(key, np.full(count, number)) for number in own], axis=1)
    return found


@dataclass(frozen=True)
class _Group:
    """Places of one basis, and their walls."""

    places: tuple[Place, ...]
    walls: Walls


def _entries(places: Sequence[Place], axes: Axes, criteria: Criteria) -> Iterator[Entry]:
    """The entry of every cell; the station that requires the thickest wall decides it for all."""
    of_basis: dict[Basis, list[Place]] = {}
    for place in places:
        of_basis.setdefault(place.made.basis, []).append(place)
    alone = [
        _Group(tuple(own), walls(basis, values_over(own, axes), criteria, own[0].made.waivers))
        for basis, own in of_basis.items()
    ]
    for group in alone:
        _refuse_beyond_tables(group, axes)
    lead = np.argmax(np.stack([group.walls.required for group in alone]), axis=0)
    at_wall = alone
    if len(alone) > 1:
        at_wall = [_at_wall(group, alone, lead, axes, criteria) for group in alone]
    for i, k in enumerate(lead.tolist()):
        yield _entry(i, alone[k], [alone[k] if g == k else at_wall[g] for g in range(len(alone))])


def _at_wall(
    group: _Group, alone: Sequence[_Group], lead: NDArray[np.int64], axes: Axes, criteria: Criteria
) -> _Group:
    """The places of one basis, checked at the wall that the whole pipe gets."""
    chosen = np.choose(lead, [np.asarray(each.walls.designs.of_pipes("t")) for each in alone])
    basis = replace(group.walls.basis, thickness_given=True, sizes=None)
    values = {**values_over(group.places, axes), "t": chosen[:, None]}
    return replace(group, walls=walls(basis, values, criteria, group.places[0].made.waivers))


def _refuse_beyond_tables(group: _Group, axes: Axes) -> None:
    faults = []
    for row in np.flatnonzero(~group.walls.reached).tolist():
        at = ", ".join(str(each) for each in axes.grid[row])
        for key, found in group.walls.refusals(row):
            code = "plan.outside_table" if key else "no_thickness"
            place = f"{WHERE} at {at}" + (f", {key}" if key else "")
            faults.append(fault(code, place, why=found.said))
    if faults:
        raise InputFaults(faults)


def _entry(i: int, lead: _Group, found: Sequence[_Group]) -> Entry:
    made = lead.walls
    statuses = [group.walls.status[i] for group in found]
    worst = [each for each in (FAILS, OUTSIDE) if each in statuses]
    return Entry(
        nominal=float(made.nominal[i]),
        required=float(made.required[i]),
        governing=made.governing[i],
        minimum_governs=bool(made.minimum_governs[i]),
        status=worst[0] if worst else made.status[i],
        notes=tuple(dict.fromkeys(_notes(i, lead, found))),
        station=lead.places[int(made.worst[i])].at,
    )


def _notes(i: int, lead: _Group, found: Sequence[_Group]) -> Iterator[str]:
    """The findings about a cell, each once, with the stations where not all have it."""
    for note in lead.places[0].made.notes:
        if note.severity is not Severity.DEFAULT:
            yield note.text
    met: dict[Finding, list[str | None]] = {}
    for group in found:
        for note, where in group.walls.notes:
            at = [p.at for p, here in zip(group.places, where[i], strict=True) if here]
            if at:
                met.setdefault(note, []).extend(at)
    count = sum(len(group.places) for group in found)
    for note, at in met.items():
        station = None if len(at) == count else ", ".join(map(str, at))
        yield replace(note, station=station).text
