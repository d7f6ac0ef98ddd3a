"""Which resin is least in a pipe and over all pipes, by thickness, mass or cost: like with like."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from linerdesign.expressions.tolerance import at_most, over
from linerdesign.project.models import Resin
from linerdesign.project.quantities import currency
from linerdesign.tasks.compare.systems import Answer

Table = tuple[tuple[Answer, ...], ...]
# What a wall has of each thing that resins are ranked by.
OF_WALL = {"thickness": "nominal", "mass": "mass", "cost": "cost"}
SEVERAL = "the prices are in several currencies"


@dataclass(frozen=True)
class Standing:
    """A resin over the pipes that it does, whose names are in `done`; None where not known.

    `thickness` is the mean nominal thickness in mm, by length where all pipes of the project have
    one. `mass` is a total in kg, `cost` one too; the ends are by the worst and by the best
    properties. Ties share a `rank`; where it is None, `unranked` says why.
    """

    resin: Resin
    pipes: int
    done: tuple[str, ...]
    thickness: tuple[float, float] | None
    mass: tuple[float, float] | None
    cost: tuple[float, float] | None
    rank: int | None = None
    unranked: str = ""

    @property
    def failing(self) -> int:
        """How many pipes the resin can't be used in."""
        return self.pipes - len(self.done)

    def figure(self, by: str) -> float:
        """What it is ranked by: of the worst properties."""
        ends: tuple[float, float] = getattr(self, by)
        return ends[0]


def without_length(table: Table) -> tuple[str, ...]:
    """Names of the pipes that have no length."""
    return tuple(row[0].pipe.name for row in table if row[0].pipe.length is None)


def currencies(found: Iterable[Answer]) -> tuple[str, ...]:
    """The labels of the prices, in order."""
    return tuple(sorted({currency(each.resin) for each in found if each.resin.price}))


def value(found: Answer, by: str, best: bool = False) -> float | None:
    """Nominal thickness in mm, mass in kg/m or cost per m of a resin that can be used."""
    wall = found.best if best else found.worst
    return None if wall is None or found.fails else getattr(wall, OF_WALL[by])


def least(row: tuple[Answer, ...], by: str = "thickness", best: bool = False) -> tuple[str, ...]:
    """Names of the resins with the least of it in a pipe; several are a tie.

    None by cost where the prices are in several currencies.
    """
    known = [(each, x) for each in row if (x := value(each, by, best)) is not None]
    if by == "cost" and len(currencies(each for each, _ in known)) > 1:
        return ()
    lowest = min((x for _, x in known), default=0.0)
    return tuple(each.resin.name for each, x in known if at_most(x, lowest))


def standings(table: Table, by: str) -> tuple[Standing, ...]:
    """The resins in order of `thickness`, `mass` or `cost`, those without a figure last.

    One that fails a pipe stands behind those that do all. Resins that fail as many pipes, but
    not the same ones, share a rank: their figures are over different pipes.
    """
    without = without_length(table)
    several = len(currencies(each for row in table for each in row)) > 1
    made = [_standing(tuple(column), not without) for column in zip(*table, strict=True)]
    made = [replace(s, unranked=_why_unranked(s, by, without, several)) for s in made]
    fit = sorted((s for s in made if not s.unranked), key=lambda s: s.failing)
    return (*_ranked(fit, by), *(s for s in made if s.unranked))


def _ranked(fit: list[Standing], by: str) -> Iterator[Standing]:
    before = 0
    for _, members in groupby(fit, key=lambda s: s.failing):
        group = list(members)
        alike = len({s.done for s in group}) == 1
        if alike:
            group.sort(key=lambda s: s.figure(by))
        first, rank = group[0], before + 1
        for place, each in enumerate(group, before + 1):
            if alike and over(each.figure(by), first.figure(by)):
                first, rank = each, place
            yield replace(each, rank=rank)
        before += len(group)


def _why_unranked(standing: Standing, by: str, without: tuple[str, ...], several: bool) -> str:
    """Empty where there is a figure to rank by."""
    if not standing.done:
        return "does no pipe"
    if by == "thickness":
        return ""
    missing = [f"no {key}" for key in ("density", "price") if getattr(standing.resin, key) is None]
    wanted = [text for text in missing if by == "cost" or text == "no density"]
    if without:
        wanted.append(f"no length of {', '.join(without)}")
    if by == "cost" and several:
        wanted.append(SEVERAL)
    return "; ".join(wanted)


def _standing(column: tuple[Answer, ...], with_lengths: bool) -> Standing:
    fit = [each for each in column if not each.fails]
    lengths = [each.pipe.length.to("m") for each in fit if each.pipe.length]
    weights = lengths if with_lengths else [1.0] * len(fit)
    mean = _total(fit, weights, "thickness")
    whole = sum(weights)
    return Standing(
        resin=column[0].resin,
        pipes=len(column),
        done=tuple(each.pipe.name for each in fit),
        thickness=mean and (mean[0] / whole, mean[1] / whole),
        mass=_total(fit, weights, "mass") if with_lengths else None,
        cost=_total(fit, weights, "cost") if with_lengths else None,
    )


def _total(fit: list[Answer], weights: list[float], by: str) -> tuple[float, float] | None:
    """The weighted sums by the worst and the best properties."""
    ends = []
    for best in (False, True):
        known = [x for each in fit if (x := value(each, by, best)) is not None]
        if not fit or len(known) < len(fit):
            return None
        ends.append(sum(x * w for x, w in zip(known, weights, strict=True)))
    return ends[0], ends[1]
