"""The choices that follow from costs, as cells that a workbook and a page recalculate."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, islice

from linerdesign.documents.blocks import Grid, Live
from linerdesign.project.measures import convert
from linerdesign.project.quantities import mobilisation, yearly
from linerdesign.tasks.compare.assignment import MOST_SYSTEMS
from linerdesign.tasks.compare.break_even import BreakEven
from linerdesign.tasks.compare.comparison import Compared
from linerdesign.tasks.compare.live import (
    ANNUITY,
    LONGEST,
    can_be_live,
    cost_name,
    diameter_in_mm,
    mass_name,
    resin_cell,
    units_of,
)
from linerdesign.tasks.compare.ranking import COSTS, value
from linerdesign.tasks.compare.remarks import marked
from linerdesign.words import heads_of, sentence

# Sets of systems that a workbook is given at most.
MOST_SETS = 200
NONE = "-"
SET_NAMES = {0: "sets_of_systems", 1: "sets_total"}


@dataclass(frozen=True)
class _Set:
    """Some systems that together satisfy every pipe that any does: their total, and its formula."""

    columns: tuple[int, ...]
    total: float
    formula: str


class Choices:
    """The live cells of the choices of one comparison; none where they are too many."""

    def __init__(self, compared: Compared) -> None:
        self.compared, self.by = compared, compared.by
        self.resins = compared.project.resins
        self.annual = compared.by == COSTS[1]

    @cached_property
    def costs(self) -> dict[int, dict[int, float]]:
        """By row and column: the cost over the length of the pipe, or the yearly payment."""
        found: dict[int, dict[int, float]] = {}
        for i, row in enumerate(self.compared.table):
            for j, option in enumerate(row):
                each = value(option, self.by)
                if each is not None and value(option, "cost") is not None:
                    found.setdefault(i, {})[j] = each * option.pipe.length.to("m")
        return found

    def _term(self, i: int, j: int) -> str:
        return self._yearly(cost_name(i, j), j)

    def _yearly(self, name: str, j: int) -> str:
        return f"{name}*{ANNUITY.format(j + 1)}" if self.annual else name

    @cached_property
    def sets(self) -> tuple[_Set, ...]:
        """Every set of systems that serves all pipes, the smaller ones first."""
        known = can_be_live(self.compared) and self.by in COSTS
        if not known or not self.compared.assignments:
            return ()
        usable = sorted({j for own in self.costs.values() for j in own})
        serving = (
            columns
            for count in range(1, MOST_SYSTEMS + 1)
            for columns in combinations(usable, count)
            if all(own.keys() & set(columns) for own in self.costs.values())
        )
        found = tuple(map(self._set, islice(serving, MOST_SETS + 1)))
        long = any(len(each.formula) > LONGEST for each in found)
        return () if long or len(found) > MOST_SETS else found

    def _set(self, columns: tuple[int, ...]) -> _Set:
        terms, total = [], 0.0
        for i, own in self.costs.items():
            fit = [j for j in columns if j in own]
            total += min(own[j] for j in fit)
            names = [self._term(i, j) for j in fit]
            terms.append(names[0] if len(names) == 1 else f"MIN({','.join(names)})")
        for j in columns:
            once = mobilisation(self.resins[j])
            discount = self.compared.purchase.discount
            total += yearly(once, self.resins[j], discount) if self.annual else once
            terms.append(self._yearly(f"resin{j + 1}_mobilisation", j))
        return _Set(columns, total, "+".join(terms))

    def _named(self, columns: tuple[int, ...]) -> str:
        return ", ".join(marked(self.resins[j]) for j in columns)

    def grid(self) -> Iterator[Grid]:
        """Every set of systems with its total."""
        if not self.sets:
            return
        rows = tuple((self._named(each.columns), f"{each.total:,.0f}") for each in self.sets)
        live = {
            (row, 1): Live(each.total, each.formula, name=f"set_{row + 1}", pattern="#,##0")
            for row, each in enumerate(self.sets)
        }
        caption = sentence("compare.sets")
        yield Grid(heads_of("compare.systems"), "<>", rows, caption, live, SET_NAMES)

    def assignment(self) -> dict[tuple[int, int], Live]:
        """The least total of so many systems, and the systems that have it."""
        found = {}
        for row, each in enumerate(self.compared.assignments if self.sets else ()):
            within = [n for n, own in enumerate(self.sets, 1) if len(own.columns) <= each.most]
            if not within:
                continue
            least = min(within, key=lambda n: self.sets[n - 1].total)
            total = f"MIN({','.join(f'set_{n}' for n in within)})"
            found[row, 1] = Live(self.sets[least - 1].total, total, pattern="#,##0")
            chosen = f"INDEX({SET_NAMES[0]},MATCH([1],{SET_NAMES[1]},0))"
            found[row, 2] = Live(self._named(self.sets[least - 1].columns), chosen)
        return found

    def choice(self, i: int) -> Mapping[int, Live]:
        """The resin of the least cost in a pipe, and that cost per length, by column."""
        if self.by not in COSTS or not can_be_live(self.compared):
            return {}
        own = self.costs.get(i)
        if not own:
            return {}
        names = [self._term(i, j) for j in own]
        least, chosen = f"MIN({','.join(names)})", f'"{NONE}"'
        for j in reversed(own):
            said = resin_cell(self.compared, self.resins[j])
            chosen = f"IF({self._term(i, j)}={least},{said},{chosen})"
        first = min(own, key=lambda j: own[j])
        if len(chosen) > LONGEST:
            return {}
        _, length = units_of(self.compared)
        size = self.compared.table[i][first].pipe.length.to(length)
        at = Live(own[first] / size, f"{least}/pipe{i + 1}_length")
        return {1: Live(marked(self.resins[first]), chosen), 2: at}

    def _both(self, j: int) -> list[int]:
        base = self.resins.index(self.compared.reference)
        rows = enumerate(self.compared.table)
        return [i for i, r in rows if all(value(r[k], "cost") is not None for k in (base, j))]

    def break_even(self, each: BreakEven) -> Mapping[int, Live]:
        """Costs, price and break-even price of a resin, by column."""
        j, base = self.resins.index(each.resin), self.resins.index(self.compared.reference)
        both = self._both(j)
        if not can_be_live(self.compared) or not both:
            return {}
        formulas = [
            "+".join([*(cost_name(i, k) for i in both), f"resin{k + 1}_mobilisation"])
            for k in (j, base)
        ]
        found = {
            2: Live(each.cost, formulas[0], pattern="#,##0"),
            3: Live(each.reference_cost, formulas[1], pattern="#,##0"),
        }
        if each.price is not None and each.own_price is not None:
            mass, _ = units_of(self.compared)
            bought = "+".join(f"{mass_name(i, j)}*pipe{i + 1}_length" for i in both)
            bought = f"({bought})*resin{j + 1}_share/100*(1+resin{j + 1}_excess/100)"
            found[4] = Live(each.own_price * convert(1.0, mass, "kg"), f"resin{j + 1}_price")
            none, price = sentence("compare.no_break_even"), f"[4]+([3]-[2])/({bought})"
            shown = each.price * convert(1.0, mass, "kg") if each.price > 0 else none
            found[5] = Live(shown, f'IF({price}>0,{price},"{none}")')
        long = any(len(str(live.formula)) > LONGEST for live in found.values())
        return {} if long else found

    def thickness(self, i: int, j: int, nominal: float, even: float | None) -> Live | None:
        """The break-even thickness in mm of a resin in a pipe."""
        resin, base = self.resins[j], self.resins.index(self.compared.reference)
        wall = self.compared.table[i][j].wall
        priced = all(value(self.compared.table[i][k], "cost") is not None for k in (j, base))
        if not priced or resin.price is None or not wall or not can_be_live(self.compared):
            return None
        per_mass = f"resin{j + 1}_share/100*(1+resin{j + 1}_excess/100)*resin{j + 1}_price"
        bought = f"{mass_name(i, j)}*pipe{i + 1}_length*{per_mass}"
        wide = diameter_in_mm(self.compared, i)
        more = f"(1+({cost_name(i, base)}-{cost_name(i, j)})/({bought}))"
        area = f"{more}*({wide}-{nominal!r})*{nominal!r}"
        root = f"2*({area})/({wide}+SQRT({wide}*{wide}-4*({area})))"
        impossible = f'IF({area}<=0,"{NONE}",IF(4*({area})>{wide}*{wide},"{NONE}",{root}))'
        return Live(NONE if even is None else even, impossible)
