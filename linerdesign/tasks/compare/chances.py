"""Systems under uncertainty: the chance of each to be least, and the value of knowing an input."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_most
from linerdesign.project.cost_keys import PRICED
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.measures import KINDS, Price
from linerdesign.project.models import Resin
from linerdesign.project.quantities import currencies, mobilisation, yearly
from linerdesign.project.reading import Project
from linerdesign.project.requests import has_legs
from linerdesign.tasks.compare.curves import Quantity
from linerdesign.tasks.compare.ranking import COSTS, differing_most, without_length
from linerdesign.tasks.compare.systems import Case, Option, Table
from linerdesign.tasks.uncertainty import inputs, sampling
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.tasks.uncertainty.model import Floats, Model, of_task
from linerdesign.tasks.uncertainty.pipes import Columns, Wishes, by_scramble, most_points
from linerdesign.tasks.uncertainty.sampling import SCRAMBLES, TOLERANCE, Share
from linerdesign.tasks.walls import in_mm, made_in_mm
from linerdesign.words import sentence

CLASSES = 16
TAILS = (0.05, 0.5, 0.95)


@dataclass(frozen=True)
class System:
    """A resin over the pipes in common: the chance that it is least, and its total (or mean
    thickness) in metric units or money at 5, 50 and 95 % of the trials. `lacking` is the share of
    trials in which no thickness made is sufficient in some pipe, which has the least other wall."""

    resin: Resin
    least: Share
    ends: tuple[float, float, float]
    lacking: float


@dataclass(frozen=True)
class Learnt:
    """What knowing an input before the choice saves on the mean, in the quantity compared: with one
    system for all pipes in common, and with the best system in each pipe. Without a name, of all
    inputs."""

    name: str
    meaning: str
    scope: str
    one_system: float | None
    by_pipe: float | None


@dataclass(frozen=True)
class Found:
    """The systems under uncertainty. `least` and `sufficient` are by row and column of the table,
    `ends` the quantity per length at 5 and 95 % of the trials in the pipes that differ most."""

    by: str
    wishes: Wishes
    systems: tuple[System, ...]
    common: int
    least: Mapping[tuple[int, int], Share]
    sufficient: Mapping[tuple[int, int], Share]
    ends: Mapping[tuple[int, int], tuple[float, float]]
    learnt: tuple[Learnt, ...]
    trials: int
    converged: bool
    drawn: tuple[tuple[str, Uncertainty, str], ...]
    left_out: tuple[str, ...] = ()


@dataclass
class _Price:
    """An uncertain price of a resin, with its column among the points."""

    uncertain: Uncertainty
    column: int


@dataclass
class _Member:
    """One resin in one pipe."""

    option: Option
    case: Case
    model: Model
    columns: list[int]
    wall: float
    sufficient: NDArray[np.int64] = field(default_factory=lambda: np.zeros(SCRAMBLES, np.int64))
    least: NDArray[np.int64] = field(default_factory=lambda: np.zeros(SCRAMBLES, np.int64))


def systems_under_uncertainty(
    project: Project, cases: Iterable[Case], table: Table, quantity: Quantity, wishes: Wishes
) -> Found:
    """The chances of the resins in the pipes that they satisfy, by one quantity.

    Raises:
        InputFaults: uncertainties of values that are not there, or none at all; no resin whose
            chances could be found.
    """
    labels = currencies(project.resins)
    if quantity.by in COSTS and len(labels) > 1:
        raise InputFaults([fault("uncertainty.currencies", "", labels=", ".join(labels))])
    found = _Study(project, [c for c in cases if not c.best], table, quantity, wishes)
    file = project.file_name or "the project"
    if not found.members:
        by = sentence(f"compare.by_{quantity.by}")
        raise InputFaults([fault("uncertainty.no_system", file, by=by)])
    if not found.columns:
        raise InputFaults([fault("uncertainty.none", file)])
    found.run()
    return found.result()


class _Study:
    """The trials of one comparison, pipe by pipe, so that memory does not grow with the pipes."""

    def __init__(
        self,
        project: Project,
        cases: Sequence[Case],
        table: Table,
        quantity: Quantity,
        wishes: Wishes,
    ) -> None:
        inputs.refuse_unused(project, [case.made for case in cases])
        self.project, self.table, self.quantity, self.wishes = project, table, quantity, wishes
        self.columns, self.drawn = Columns(), list[tuple[str, Uncertainty, str]]()
        self.prices = {r.name: list(self._prices(r)) for r in project.resins}
        self.members: dict[int, list[_Member]] = defaultdict(list)
        self.left_out: dict[str, None] = {}
        for case in cases:
            self._add(case)
        every = [{m.case.column for m in own} for own in self.members.values()]
        self.columns_of_all = sorted(set().union(*every))
        self.common = [
            row
            for row, own in self.members.items()
            if {m.case.column for m in own} == set(self.columns_of_all)
        ]
        self.lengths = [] if without_length(table) else [r[0].pipe.length.to("m") for r in table]
        shown = differing_most(table, quantity.by)
        self.shown = {row for row, each in enumerate(table) if each in shown}
        self.lacking = np.zeros(len(project.resins), np.int64)
        self.totals: list[Floats] = []
        self.shared: list[Floats] = []
        self.drawn_ends: dict[tuple[int, int], list[Floats]] = defaultdict(list)
        self.classes: dict[tuple[int, int], Floats] = {}
        self.all_known: dict[int, float] = defaultdict(float)
        self.done = 0
        self.converged = False

    def _prices(self, resin: Resin) -> Iterator[_Price]:
        """The prices of a resin that are uncertain and count for what is compared."""
        stated = {**self.project.uncertainty, **resin.uncertainty}
        for key in PRICED if self.quantity.by in COSTS else ():
            if key in stated and (own := _priced(resin, key)) is not None:
                column = self.columns.setdefault((resin.name, key), len(self.columns))
                about = Uncertainty(key, stated[key], own.number, own.unit, "given", True)
                yield _Price(about, column)

    def _add(self, case: Case) -> None:
        option = self.table[case.row][case.column]
        resin = self.project.resins[case.column]
        if has_legs(self.project, option.pipe):
            self.left_out[option.pipe.name] = None
            return
        if option.wall is None or not option.satisfied:
            return
        amount = self._amount(option, option.wall.nominal)
        if amount is None or not np.isfinite(amount):
            return
        usual = self.wishes.usual
        uncertain = inputs.of_task(self.project, option.pipe, resin, case.made, usual)
        columns = self.columns.of(uncertain, option.pipe.name, resin.name)
        scoped = ((e, inputs.scope(e.name, option.pipe.name, resin.name)) for e in uncertain)
        self.drawn += [(option.pipe.name, each, scope) for each, scope in scoped]
        prices = self.prices[resin.name]
        self.drawn += [(option.pipe.name, each.uncertain, resin.name) for each in prices]
        wall = option.wall.nominal / float(in_mm(case.made.basis, 1.0))
        made = _Member(option, case, of_task(case.made, uncertain), columns, wall)
        self.members[case.row].append(made)

    def _amount(self, option: Option, nominal: Any, resin: Resin | None = None) -> Any:
        """The quantity per length of a nominal thickness in mm."""
        assert option.wall is not None
        return self.quantity.of(option.wall.diameter, nominal, resin or option.resin)

    def run(self) -> None:
        """Draws until every chance is known well enough."""
        count = sum(map(len, self.members.values()))
        for block in sampling.blocks(self.wishes.seed, len(self.columns), most_points(count)):
            points = np.concatenate(block)
            half = np.repeat(np.arange(SCRAMBLES) % 2, block.shape[1])
            priced = {r.name: self._drawn_resin(r, points) for r in self.project.resins}
            totals = np.zeros((len(self.project.resins), len(points)))
            lacking = np.zeros(totals.shape, bool)
            for row, members in self.members.items():
                own = np.stack([self._drawn_amounts(m, points, priced) for m in members])
                amounts = self._count(row, members, own, points, half)
                if row in self.common:
                    weight = self.lengths[row] if self.lengths else 1.0
                    for member, drawn, amount in zip(members, own, amounts, strict=True):
                        lacking[member.case.column] |= ~np.isfinite(drawn)
                        totals[member.case.column] += weight * amount
            self.lacking += np.count_nonzero(lacking, axis=1)
            self.totals.append(self._total(totals, priced))
            self.shared.append(points[:, self._shared_columns()])
            self.done += block.shape[1]
            if max(s.error for s in self._shares()) <= TOLERANCE:
                self.converged = True
                break

    def _shared_columns(self) -> list[int]:
        """Columns of what is drawn once for several pipes."""
        pipes = {row[0].pipe.name for row in self.table}
        return [column for (scope, _), column in self.columns.items() if scope not in pipes]

    def _drawn_resin(self, resin: Resin, points: Floats) -> Resin:
        """The resin with its drawn prices."""
        for price in self.prices[resin.name]:
            own, shares = price.uncertain, points[:, price.column]
            numbers = own.distribution.quantiles(shares, own.value, own.unit, KINDS["load"])
            if (stated := _priced(resin, own.key)) is not None:
                resin = _with_price(resin, own.key, replace(stated, number=numbers))
        return resin

    def _drawn_amounts(
        self, member: _Member, points: Floats, priced: Mapping[str, Resin]
    ) -> Floats:
        """The quantity per length in every trial; infinite where no thickness is sufficient."""
        required = member.model.required(points[None][..., member.columns])
        member.sufficient += by_scramble(at_most(required[0], member.wall))
        nominal = made_in_mm(member.model.basis, member.model.nominal(required)[0])
        resin = priced[member.option.resin.name]
        amount = self._amount(member.option, nominal, resin)
        known = np.broadcast_to(np.asarray(amount, float), nominal.shape)
        return np.where(np.isfinite(nominal) & np.isfinite(known), known, np.inf)

    def _count(
        self,
        row: int,
        members: Sequence[_Member],
        amounts: Floats,
        points: Floats,
        half: NDArray[np.int64],
    ) -> Floats:
        """Counts one pipe in a block; the amounts, with the least other one where one lacks."""
        least = np.min(amounts, axis=0)
        lacking = ~np.isfinite(amounts)
        # Where all of them lack, no choice is better than another.
        amounts = np.where(lacking, np.where(np.isfinite(least), least, 0.0), amounts)
        for member, amount, none in zip(members, amounts, lacking, strict=True):
            member.least += by_scramble(at_most(amount, least) & ~none)
            if row in self.shown:
                self.drawn_ends[row, member.case.column].append(amount[~none].astype(np.float32))
        self.all_known[row] += np.sum(np.min(amounts, axis=0))
        for column in self._columns_of(members):
            code = half * CLASSES + np.floor(points[:, column] * CLASSES).astype(np.int64)
            sums = [np.bincount(code, each, 2 * CLASSES) for each in amounts]
            counts = np.bincount(code, minlength=2 * CLASSES)
            held = np.stack([*sums, counts]).reshape(len(sums) + 1, 2, CLASSES)
            self.classes[row, column] = self.classes.get((row, column), 0.0) + held
        return amounts

    def _columns_of(self, members: Sequence[_Member]) -> list[int]:
        found = {column for member in members for column in member.columns}
        prices = (p.column for m in members for p in self.prices[m.option.resin.name])
        return sorted(found.union(prices))

    def _total(self, totals: Floats, priced: Mapping[str, Resin]) -> Floats:
        """Totals, or the mean thickness, of the systems over the pipes in common."""
        by, found = self.quantity.by, []
        whole = sum(self.lengths[row] if self.lengths else 1.0 for row in self.common)
        for column in self.columns_of_all:
            total, resin = totals[column], priced[self.project.resins[column].name]
            if by == "thickness":
                total = total / whole if whole else total
            elif by in COSTS:
                once = mobilisation(resin)
                discount = self.quantity.purchase.discount
                total = total + (once if by == "cost" else yearly(once, resin, discount))
            found.append(total)
        return np.asarray(found)

    def _shares(self) -> list[Share]:
        members = [m for own in self.members.values() for m in own]
        counts = [c for m in members for c in (m.least, m.sufficient)]
        return [*(sampling.share(c, self.done) for c in counts), *self._least_totals()]

    def _least_totals(self) -> list[Share]:
        """The chance of each system to be least over the pipes in common, by the blocks so far."""
        if not self.common or (self.quantity.by != "thickness" and not self.lengths):
            return []
        counts = np.zeros((len(self.columns_of_all), SCRAMBLES), np.int64)
        for totals in self.totals:
            least = at_most(totals, np.min(totals, axis=0))
            counts += np.stack([by_scramble(each) for each in least])
        return [sampling.share(each, self.done) for each in counts]

    def result(self) -> Found:
        """What the trials give."""
        members = {(r, m.case.column): m for r, own in self.members.items() for m in own}
        ends = {
            key: _tails(np.concatenate(parts), (TAILS[0], TAILS[-1]))
            for key, parts in self.drawn_ends.items()
        }
        return Found(
            by=self.quantity.by,
            wishes=self.wishes,
            systems=tuple(self._systems()),
            common=len(self.common),
            least={key: sampling.share(m.least, self.done) for key, m in members.items()},
            sufficient={key: sampling.share(m.sufficient, self.done) for key, m in members.items()},
            ends=ends,
            learnt=tuple(self._learnt()),
            trials=self.done * SCRAMBLES,
            converged=self.converged,
            drawn=tuple(dict.fromkeys(self.drawn)),
            left_out=tuple(self.left_out),
        )

    def _systems(self) -> Iterator[System]:
        shares = self._least_totals()
        if not shares:
            return
        totals = np.concatenate(self.totals, axis=1)
        for column, share, total in zip(self.columns_of_all, shares, totals, strict=True):
            part = float(self.lacking[column] / (self.done * SCRAMBLES))
            yield System(self.project.resins[column], share, _tails(total, TAILS), part)

    def _learnt(self) -> Iterator[Learnt]:
        """What each input is worth, those of the pipes gathered by quantity."""
        pipes = {row[0].pipe.name for row in self.table}
        by_pipe: dict[tuple[str, str], float] = defaultdict(float)
        names = {column: key for key, column in self.columns.items()}
        for (row, column), held in self.classes.items():
            scope, key = names[column]
            by_pipe[key, "" if scope in pipes else scope] += self._weight(row) * _saved(held)
        one = self._one_system()
        known = {each.key: each for _, each, _ in self.drawn}
        for key, scope in by_pipe:
            name, meaning = known[key].name, known[key].meaning
            yield Learnt(name, meaning, scope, one.get((key, scope)), by_pipe[key, scope])
        yield Learnt("", "", "", one.get(("", "")), self._all_by_pipe())

    def _weight(self, row: int) -> float:
        """What a pipe counts: its length; of thickness, as a share of all."""
        lengths = self.lengths or [1.0] * len(self.table)
        whole = sum(lengths[each] for each in self.members)
        return float(lengths[row] / whole if self.quantity.by == "thickness" else lengths[row])

    def _one_system(self) -> dict[tuple[str, str], float]:
        """The value of each shared input for the choice of one system for all common pipes."""
        if not self._least_totals():
            return {}
        totals, shared = np.concatenate(self.totals, axis=1), np.concatenate(self.shared)
        halves = [np.repeat(np.arange(SCRAMBLES) % 2, t.shape[1] // SCRAMBLES) for t in self.totals]
        half = np.concatenate(halves)
        found = {}
        names = {column: key for key, column in self.columns.items()}
        for place, column in enumerate(self._shared_columns()):
            code = half * CLASSES + np.floor(shared[:, place] * CLASSES).astype(np.int64)
            rows = [np.bincount(code, each, 2 * CLASSES) for each in totals]
            held = np.stack([*rows, np.bincount(code, minlength=2 * CLASSES)])
            scope, key = names[column]
            found[key, scope] = _saved(held.reshape(-1, 2, CLASSES))
        found["", ""] = float(totals.mean(axis=1).min() - totals.min(axis=0).mean())
        return found

    def _all_by_pipe(self) -> float:
        """The value of knowing every input, with the best system in each pipe."""
        saved = 0.0
        for row in self.members:
            held = next((h for (r, _), h in self.classes.items() if r == row), None)
            if held is not None:
                count = held[-1].sum()
                least = np.min(held[:-1].sum(axis=(1, 2))) / count
                saved += self._weight(row) * float(least - self.all_known[row] / count)
        return saved


def _saved(held: Floats) -> float:
    """The mean saved by choosing a system in each class of an input, and not one for all.

    `held` are the sums of each system and, last, the counts, over (half, class). Each half chooses
    and the other half judges, so that chance finds nothing to save.
    """
    sums, counts = held[:-1], held[-1]
    saved = 0.0
    for own, other in ((0, 1), (1, 0)):
        chosen = np.argmin(sums[:, own] / counts[own], axis=0)
        fixed = int(np.argmin(sums[:, own].sum(axis=1)))
        known = sums[chosen, other, np.arange(CLASSES)].sum()
        saved += (sums[fixed, other].sum() - known) / counts[other].sum() / 2
    return float(saved)


def _tails(values: Floats, shares: Sequence[float]) -> Any:
    return tuple(float(each) for each in np.quantile(values, shares, method="nearest"))


def _priced(resin: Resin, key: str) -> Price | None:
    """A price of a resin per kg or m, or an amount; none where it has none."""
    by_size = key == "tube_price" and resin.cost is not None and resin.cost.tube
    table: Any = resin if key == "price" else None if by_size else resin.cost
    stated = getattr(table, key) if table is not None else None
    if stated is None:
        return None
    found: Price = stated.priced_by("kg" if key == "price" else "m")
    return found


def _with_price(resin: Resin, key: str, price: Price) -> Resin:
    if key == "price":
        return resin.changed({key: price})
    return resin.changed({"cost": resin.cost.changed({key: price})})
