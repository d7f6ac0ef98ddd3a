"""Which resin is least in a pipe and over all pipes: compared over pipes in common first."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import groupby

from linerdesign.expressions.tolerance import at_most, over
from linerdesign.project.models import Resin
from linerdesign.project.quantities import currencies, mobilisation, yearly
from linerdesign.tasks.compare.systems import Option, Table

Ends = tuple[float, float]
# What resins are ranked by, and what a wall has of it.
OF_WALL = {
    "thickness": "nominal",
    "mass": "mass",
    "carbon": "carbon",
    "cost": "cost",
    "annual-cost": "annual_cost",
}
COSTS = ("cost", "annual-cost")
MASSES = ("mass", "carbon")
# Pipes on one picture, and in the table of exchanged properties.
MOST_PIPES = 20


class Missing(StrEnum):
    """Why a resin has no rank."""

    PIPE = "no_pipe"
    DENSITY = "no_density"
    PRICE = "no_price"
    SIZE = "no_size_price"
    LENGTH = "no_length"
    CURRENCY = "currencies"
    LIFE = "no_life"
    CARBON = "no_carbon"


@dataclass(frozen=True)
class Totals:
    """A resin over some pipes, by its worst and its best properties; none where not known.

    `thickness` is the mean nominal thickness in mm, by length where every pipe of the project has
    one. `mass` and `carbon` are in kg. `cost` holds the resin and tube of these pipes and the
    mobilisation, `annual_cost` the same as a yearly payment over the service life.
    """

    pipes: frozenset[int]
    thickness: Ends | None
    mass: Ends | None
    carbon: Ends | None
    cost: Ends | None
    annual_cost: Ends | None

    def of(self, by: str) -> Ends | None:
        """The figure that resins are ranked by."""
        found: Ends | None = getattr(self, by.replace("-", "_"))
        return found


@dataclass(frozen=True)
class Ranked:
    """A resin over the pipes that it satisfies (`own`), and over those that all resins satisfy.

    Resins that satisfy no pipe do not count for `common`; a pipe whose size one of several prices
    does not cover is not among them. Ties share a `rank`; where it is none,
    `missing` tells why.
    """

    resin: Resin
    count: int
    own: Totals
    common: Totals
    rank: int | None = None
    missing: tuple[Missing, ...] = ()

    @property
    def failing(self) -> int:
        """How many pipes the resin does not satisfy."""
        return self.count - len(self.own.pipes)


def without_length(table: Table) -> tuple[str, ...]:
    """Names of the pipes that have no length."""
    return tuple(row[0].pipe.name for row in table if row[0].pipe.length is None)


def value(found: Option, by: str, best: bool = False) -> float | None:
    """Nominal thickness in mm, mass or carbon in kg/m, or cost per m of a resin that satisfies
    the pipe."""
    wall = found.best if best else found.wall
    return getattr(wall, OF_WALL[by]) if found.satisfied else None


def least(row: Sequence[Option], by: str = "thickness", best: bool = False) -> tuple[str, ...]:
    """Names of the resins with the least of it in a pipe; several are a tie.

    None by cost where the prices are in several currencies.
    """
    known = [(each.resin, x) for each in row if (x := value(each, by, best)) is not None]
    if not known or (by in COSTS and len(currencies(resin for resin, _ in known)) > 1):
        return ()
    lowest = min(x for _, x in known)
    return tuple(resin.name for resin, x in known if at_most(x, lowest))


def differing_most(table: Table, by: str) -> list[tuple[Option, ...]]:
    """The rows of the pipes where the choice of a resin matters most, in order; at most
    `MOST_PIPES`, all of them where there are not more."""
    found = []
    for row in table:
        known = [x for each in row if (x := value(each, by)) is not None]
        length = row[0].pipe.length.to("m") if row[0].pipe.length else 1.0
        found.append(((max(known) - min(known)) * length if known else 0.0, row))
    if len(table) > MOST_PIPES:
        found = sorted(found, key=lambda each: -each[0])[:MOST_PIPES]
    return [row for _, row in found if any(each.satisfied for each in row)]


def ranking(table: Table, by: str, discount: float = 0.0) -> tuple[Ranked, ...]:
    """The resins in order of `thickness`, `mass`, `cost` or `annual-cost`.

    Resins failing any pipe rank below those passing all, and so on by the number of pipes failed.
    Those that fail as many are compared over the pipes in common, and share a rank where there is
    none. `discount` is the rate a year of annual costs, as a fraction.
    """
    columns = list(zip(*table, strict=True))
    satisfied = [frozenset(i for i, e in enumerate(c) if e.satisfied) for c in columns]
    # Where a list of prices lacks a size, its pipes would make other totals than the rest.
    figured = (frozenset(i for i, e in enumerate(c) if value(e, by) is not None) for c in columns)
    shared = [known or own for known, own in zip(figured, satisfied, strict=True) if own]
    common = frozenset.intersection(*shared) if shared else frozenset()
    lengths = not without_length(table)
    found = []
    for column, own in zip(columns, satisfied, strict=True):
        over_own, over_common = (
            _totals(column, pipes, lengths, discount) for pipes in (own, common & own)
        )
        found.append(Ranked(column[0].resin, len(column), over_own, over_common))
    found = [replace(each, missing=_missing(each, by, table)) for each in found]
    fit = sorted((each for each in found if not each.missing), key=lambda each: each.failing)
    return (*_with_ranks(fit, by), *(each for each in found if each.missing))


def lacks_size(order: Sequence[Ranked]) -> bool:
    """Whether the prices of a resin do not cover every size."""
    return any(Missing.SIZE in each.missing for each in order)


def _with_ranks(fit: Sequence[Ranked], by: str) -> Iterator[Ranked]:
    before = 0
    for _, members in groupby(fit, key=lambda each: each.failing):
        group = list(members)
        same = len({each.own.pipes for each in group}) == 1
        figures = [(each.own if same else each.common).of(by) for each in group]
        order = sorted(range(len(group)), key=lambda i: figures[i] or (0.0,))
        rank, least_here = before + 1, -math.inf
        for place, i in enumerate(order, before + 1):
            figure = figures[i]
            if figure and over(figure[0], least_here):
                rank, least_here = place, figure[0]
            yield replace(group[i], rank=rank)
        before += len(group)


def _missing(ranked: Ranked, by: str, table: Table) -> tuple[Missing, ...]:
    """What is missing for a figure to rank by."""
    found = tuple(_stated_missing(ranked, by, table))
    return found or (() if ranked.own.of(by) else (Missing.PRICE,))


def _stated_missing(ranked: Ranked, by: str, table: Table) -> Iterator[Missing]:
    resin, costed = ranked.resin, by in COSTS
    if not ranked.own.pipes:
        yield Missing.PIPE
        return
    if by == "thickness":
        return
    by_mass = by in MASSES or resin.price is not None or not currencies([resin])
    if by_mass and resin.density is None:
        yield Missing.DENSITY
    if by == "carbon" and not (resin.cost and resin.cost.embodied_carbon):
        yield Missing.CARBON
    if costed and not currencies([resin]):
        yield Missing.PRICE
    if without_length(table):
        yield Missing.LENGTH
    elif costed and resin.cost and resin.cost.tube and ranked.own.cost is None:
        yield Missing.SIZE
    if costed and len(currencies(each.resin for each in table[0])) > 1:
        yield Missing.CURRENCY
    if by == "annual-cost" and not (resin.cost and resin.cost.service_life):
        yield Missing.LIFE


def _totals(
    column: Sequence[Option], pipes: Collection[int], lengths: bool, discount: float
) -> Totals:
    fit = [column[i] for i in sorted(pipes)]
    weights = [each.pipe.length.to("m") if lengths else 1.0 for each in fit]
    mean = _sum(fit, weights, "thickness")
    whole = sum(weights)
    cost = _sum(fit, weights, "cost") if lengths else None
    resin = column[0].resin
    annual = None
    if cost:
        cost = cost[0] + mobilisation(resin), cost[1] + mobilisation(resin)
        worst, best = (yearly(each, resin, discount) for each in cost)
        annual = None if worst is None or best is None else (worst, best)
    return Totals(
        pipes=frozenset(pipes),
        thickness=mean and (mean[0] / whole, mean[1] / whole),
        mass=_sum(fit, weights, "mass") if lengths else None,
        carbon=_sum(fit, weights, "carbon") if lengths else None,
        cost=cost,
        annual_cost=annual,
    )


def _sum(fit: Sequence[Option], weights: Sequence[float], by: str) -> Ends | None:
    """The weighted sums by the worst and the best properties; none where any is not known."""
    worst, best = ([value(each, by, end) for each in fit] for end in (False, True))
    known = [(a, b) for a, b in zip(worst, best, strict=True) if a is not None and b is not None]
    if not fit or len(known) < len(fit):
        return None
    return (
        sum(a * w for (a, _), w in zip(known, weights, strict=True)),
        sum(b * w for (_, b), w in zip(known, weights, strict=True)),
    )
