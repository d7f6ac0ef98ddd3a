"""Every resin on every pipe: its wall by the worst and the best of its properties."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import SAME, at_most, over, under
from linerdesign.methods.equation import Severity
from linerdesign.methods.f1216.basis import Basis
from linerdesign.methods.result import CHECKED, FAILS, SIZED, Note
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import unnoted_task
from linerdesign.project.faults import InputFaults
from linerdesign.project.fields import given
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.quantities import Purchase, cost_per_length, mass_per_length, yearly
from linerdesign.project.reading import Project
from linerdesign.tasks.walls import Walls, in_mm, walls
from linerdesign.words import sentence


def at_end(resin: Resin, best: bool) -> Resin:
    """The resin with one end of every property given as a range: the largest is the best."""
    ends = {}
    for key, value in given(resin).items():
        if isinstance(value, Measure) and value.upper is not None:
            ends[key] = value.ends[best]
    return resin.model_copy(update=ends) if ends else resin


def has_range(resin: Resin) -> bool:
    """Whether any property is given as a range."""
    return at_end(resin, False) is not resin


@dataclass(frozen=True)
class Wall:
    """The wall of one resin in one pipe; thicknesses and diameter in mm, mass in kg/m, cost per m.

    `next_down` is the next thinner thickness that is made, `short` whether none that is made is
    sufficient, `exceeding` the equations that require more than the wall. Mass and costs are none
    where a density, a price or a life is not known.
    """

    required: float
    nominal: float
    diameter: float
    governing: str
    status: str
    next_down: float | None
    minimum_governs: bool
    short: bool
    exceeding: tuple[str, ...]
    notes: frozenset[Note]
    mass: float | None
    cost: float | None
    annual_cost: float | None

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
        found = [sentence("compare.none_listed")] if self.short else []
        if self.status == FAILS:
            equations = ", ".join(self.exceeding)
            found.append(sentence("compare.exceeds", equations=equations, nominal=self.nominal))
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
        """Why it does not, empty where it does."""
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
                    made = unnoted_task(pipe, resin, project.criteria, system)
                    found.append(Case(row, column, best, resin, made))
            except InputFaults as refused:
                faults[row, column] = tuple(str(fault) for fault in refused.faults)
    return Cases(tuple(found), faults)


def grouped(cases: Iterable[Case]) -> Iterator[tuple[list[Case], dict[str, Any]]]:
    """The cases that can be designed together, and their inputs over (station, case) by key."""
    groups: dict[Basis, dict[tuple[Any, ...], list[Case]]] = defaultdict(lambda: defaultdict(list))
    for case in cases:
        groups[case.made.basis][case.shape].append(case)
    for of_basis in groups.values():
        for (_, keys, _), group in of_basis.items():
            numbers = np.array(
                [[[each.value for each in s.inputs] for s in case.made.stations] for case in group]
            )
            yield group, {key: numbers[:, :, place].T for place, key in enumerate(keys)}


def options(project: Project, found: Cases, purchase: Purchase) -> Table:
    """Every resin in every pipe: a tuple a pipe, in it an option a resin."""
    faults, done = dict(found.faults), {}
    for group, values in grouped(found.cases):
        made = group[0].made
        shape = len(made.stations), len(group)
        designs = walls(made.basis, values, shape, project.criteria, made.waivers)
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
        for row, pipe in enumerate(project.pipes)
    )


def _ends(done: Mapping[tuple[int, int, bool], Wall], row: int, column: int) -> tuple[Wall, Wall]:
    worst = done[row, column, False]
    return worst, done.get((row, column, True), worst)


def _unreached(made: Walls, i: int) -> Iterator[str]:
    """Why the numbers of a pipe lead to no wall."""
    if not made.finite[i]:
        yield sentence("compare.not_finite")
    for each in made.beyond:
        if each.where[:, i].any():
            yield sentence("compare.beyond_table", key=each.key, expected=each.expected)


def _wall(made: Walls, i: int, case: Case, purchase: Purchase) -> Wall:
    resin, nominal = case.resin, float(made.nominal[i])
    required = float(made.required[i])
    diameter = float(in_mm(made.basis, made.value("D")[:, i].max()))
    next_down = _next_down(made, i)
    mass = mass_per_length(diameter, nominal, "mm", resin)
    cost = cost_per_length(diameter, nominal, resin, purchase)
    cost = None if cost is None or np.isnan(cost) else float(cost)
    by_number = {note for note, rows in made.notes if rows[:, i].any()}
    requires = {equation: thickness[i] for equation, thickness in made.required_by.items()}
    return Wall(
        required=required,
        nominal=nominal,
        diameter=diameter,
        governing=made.governing[i],
        status=made.status[i],
        next_down=next_down,
        minimum_governs=_minimum_governs(made, i, next_down),
        short=bool(made.basis.sizes) and bool(under(nominal, _least(made, i))),
        exceeding=tuple(e for e, t in requires.items() if under(nominal, t)),
        notes=frozenset(by_number | set(case.made.notes)),
        mass=None if mass is None else float(mass),
        cost=cost,
        annual_cost=None if cost is None else yearly(cost, resin, purchase.discount),
    )


def _least(made: Walls, i: int) -> float:
    """The required thickness including the owner's minimum."""
    return float(in_mm(made.basis, made.value("t_least")[made.worst[i], i]))


def _next_down(made: Walls, i: int) -> float | None:
    """The next thinner thickness that is made, in mm; none below the first step or size."""
    nominal, sizes = made.nominal[i], made.basis.sizes
    if sizes is None:
        step = in_mm(made.basis, made.values.get("s", 0.0))
        lower = nominal - np.broadcast_to(step, made.value("D").shape)[0, i]
        return round(float(lower), 9) if step is not None and SAME < lower < nominal else None
    smaller = [t for t in in_mm(made.basis, np.asarray(sizes.xs)) if t < nominal * (1 - SAME)]
    return round(float(smaller[-1]), 9) if smaller else None


def _minimum_governs(made: Walls, i: int, next_down: float | None) -> bool:
    """Whether the owner's minimum, and no equation, excludes the next thinner wall."""
    if next_down is None or "t_floor" not in made.values:
        return False
    floor = in_mm(made.basis, made.value("t_floor")[0, i])
    return bool(over(floor, next_down) and at_most(made.required[i], next_down))
