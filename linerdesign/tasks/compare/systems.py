"""Every resin on every pipe: its wall by the worst and the best of its properties."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import over, under
from linerdesign.findings import Finding, Severity
from linerdesign.methods.basis import Basis
from linerdesign.methods.result import OtherMethod
from linerdesign.methods.second import by_second
from linerdesign.methods.task import PipeTask
from linerdesign.methods.verdicts import CHECKED, FAILS, SIZED
from linerdesign.project.assembly import task
from linerdesign.project.faults import InputFaults
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import (
    Purchase,
    carbon_per_length,
    cost_per_length,
    mass_per_length,
    yearly,
)
from linerdesign.project.reading import Project
from linerdesign.project.requests import length_of
from linerdesign.tasks.walls import Walls, made_in_mm, walls
from linerdesign.words import sentence


def at_end(resin: Resin, best: bool) -> Resin:
    """The resin with one end of every property given as a range: the largest is the best."""
    ends = {}
    for key, value in resin.given.items():
        if isinstance(value, Measure) and value.upper is not None:
            ends[key] = value.ends[best]
    return resin.changed(ends) if ends else resin


def has_range(resin: Resin) -> bool:
    """Whether any property is given as a range."""
    return at_end(resin, False) is not resin


@dataclass(frozen=True)
class Wall:
    """The wall of one resin in one pipe; thicknesses and diameter in mm, mass and embodied
    carbon in kg/m, cost per m.

    `next_down` is the next thinner thickness that is made, `short` whether none that is made is
    sufficient, `failing` the equations that it fails. Mass, carbon and costs are
    none where a density, a price or a life is not known. `delivered` is the least wall that the
    tube of this thickness leaves in any leg of the line, none for a pipe without legs; `short_legs`
    are the legs where it is too thin. `second` is the pipe by the second method, with the worst
    properties.
    """

    required: float
    nominal: float
    diameter: float
    governing: str
    status: str
    next_down: float | None
    minimum_governs: bool
    short: bool
    failing: tuple[str, ...]
    notes: frozenset[Finding]
    mass: float | None
    carbon: float | None
    cost: float | None
    annual_cost: float | None
    delivered: float | None = None
    short_legs: tuple[str, ...] = ()
    second: OtherMethod | None = None

    @property
    def holds(self) -> bool:
        """Whether every check passes inside the method."""
        return self.status in (SIZED, CHECKED)

    @property
    def margin(self) -> float | None:
        """Required thickness less the next thinner one made, in mm."""
        return None if self.next_down is None else self.required - self.next_down

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why the wall is not sufficient, or is outside the method."""
        found = [sentence("design.no_listed_thickness")] if self.short else []
        found += self.short_legs
        if self.status == FAILS and self.failing:
            equations = ", ".join(self.failing)
            found.append(sentence("compare.fails_at", equations=equations, nominal=self.nominal))
        outside = (note.text for note in self.notes if note.severity is Severity.OUTSIDE)
        return (*found, *sorted(outside))


@dataclass(frozen=True)
class Option:
    """One resin in one pipe: its wall by the worst and the best properties, or why it has none."""

    pipe: Pipe
    resin: Resin
    wall: Wall | None = None
    best: Wall | None = None
    faults: tuple[str, ...] = ()

    @property
    def satisfied(self) -> bool:
        """Whether the resin satisfies the pipe, by its worst properties."""
        return self.wall is not None and self.wall.holds

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why the resin fails the pipe, empty where it does not."""
        if self.wall is None:
            return self.faults
        return () if self.satisfied else self.wall.reasons


Table = tuple[tuple[Option, ...], ...]


@dataclass(frozen=True)
class Case:
    """A wall to design: the row of its pipe, the column of its resin, and one end of the resin."""

    row: int
    column: int
    best: bool
    resin: Resin
    made: PipeTask

    @property
    def shape(self) -> tuple[Any, ...]:
        """What cases designed together share; those of one basis share their lines."""
        stations = self.made.stations
        keys = tuple(each.key for each in stations[0].inputs)
        return len(stations), keys, self.made.waivers


@dataclass(frozen=True)
class Cases:
    """Every wall to design; `faults` are of the (row, column) pairs that have none."""

    cases: tuple[Case, ...]
    faults: Mapping[tuple[int, int], tuple[str, ...]]


def cases_of(project: Project, system: str) -> Cases:
    """Both ends of every resin in every pipe; one end where no property is a range."""
    ends = [
        [(best, at_end(resin, best)) for best in ((False, True) if has_range(resin) else (False,))]
        for resin in project.resins
    ]
    found: list[Case] = []
    faults: dict[tuple[int, int], tuple[str, ...]] = {}
    for row, pipe in enumerate(project.pipes):
        for column, of_resin in enumerate(ends):
            try:
                for best, resin in of_resin:
                    made = task(pipe, resin, project.criteria, system)
                    found.append(Case(row, column, best, resin, made))
            except InputFaults as refused:
                faults[row, column] = tuple(str(fault) for fault in refused.faults)
    return Cases(tuple(found), faults)


def grouped(cases: Iterable[Case]) -> Iterator[tuple[list[Case], dict[str, Any]]]:
    """The cases that can be designed together, and their inputs over (case, station) by key."""
    groups: dict[Basis, dict[tuple[Any, ...], list[Case]]] = defaultdict(lambda: defaultdict(list))
    for case in cases:
        groups[case.made.basis][case.shape].append(case)
    for of_basis in groups.values():
        for (_, keys, _), group in of_basis.items():
            numbers = np.array(
                [[[each.value for each in s.inputs] for s in case.made.stations] for case in group]
            )
            yield group, {key: numbers[:, :, place] for place, key in enumerate(keys)}


def options(project: Project, found: Cases, purchase: Purchase) -> Table:
    """Every resin in every pipe: a tuple a pipe, in it an option a resin."""
    faults, done = dict(found.faults), {}
    for group, values in grouped(found.cases):
        made = group[0].made
        designs = walls(made.basis, values, project.criteria, made.waivers)
        for i, case in enumerate(group):
            if designs.reached[i]:
                done[case.row, case.column, case.best] = _wall(designs, i, case, purchase)
            else:
                faults[case.row, case.column] = tuple(_unreached(designs, i))
    return tuple(
        tuple(
            Option(pipe, resin, faults=faults[row, column])
            if (row, column) in faults
            else Option(pipe, resin, *_ends(done, row, column))
            for column, resin in enumerate(project.resins)
        )
        for row, pipe in enumerate(map(_with_length, project.pipes))
    )


def _with_length(pipe: Pipe) -> Pipe:
    """The pipe with the length to line: its own, or that of all its legs."""
    return pipe.changed({"length": length_of(pipe)})


def amounts(diameter: float, nominal: float, resin: Resin, purchase: Purchase) -> dict[str, Any]:
    """Mass, carbon, cost and annual cost of a wall by their names in `Wall`."""
    mass = mass_per_length(diameter, nominal, "mm", resin)
    cost = cost_per_length(diameter, nominal, resin, purchase)
    cost = None if cost is None or np.isnan(cost) else float(cost)
    return {
        "mass": None if mass is None else float(mass),
        "carbon": carbon_per_length(diameter, nominal, resin),
        "cost": cost,
        "annual_cost": None if cost is None else yearly(cost, resin, purchase.discount),
    }


def _ends(done: Mapping[tuple[int, int, bool], Wall], row: int, column: int) -> tuple[Wall, Wall]:
    worst = done[row, column, False]
    return worst, done.get((row, column, True), worst)


def _unreached(made: Walls, i: int) -> Iterator[str]:
    """Why the inputs lead to no wall."""
    for key, found in made.refusals(i):
        yield sentence("compare.refused", key=key, why=found.said) if key else found.said


def _wall(made: Walls, i: int, case: Case, purchase: Purchase) -> Wall:
    diameter, nominal = float(made.diameter[i]), float(made.nominal[i])
    found = {note for note, where in made.notes if where[i].any()}
    return Wall(
        required=float(made.required[i]),
        nominal=nominal,
        diameter=diameter,
        governing=made.governing[i],
        status=made.status[i],
        next_down=_next_down(made, i),
        minimum_governs=bool(made.minimum_governs[i]),
        short=bool(made.short[i]),
        failing=tuple(equation for equation, where in made.failing if where[i]),
        notes=frozenset(found | set(case.made.notes)),
        second=None if case.best else by_second(case.made),
        **amounts(diameter, nominal, case.resin, purchase),
    )


def _next_down(made: Walls, i: int) -> float | None:
    """The next thinner thickness that is made, in mm; none below the first step or size."""
    nominal, sizes = made.designs.of_pipes("t")[i], made.basis.sizes
    if sizes:
        thinner = [size for size in sizes.xs if under(size, nominal)]
    elif "s" in made.designs.quantities:
        step = made.designs.of_pipes("s")[i]
        thinner = [nominal - step] if over(nominal, step) else []
    else:
        thinner = []
    return float(made_in_mm(made.basis, thinner[-1])) if thinner else None
