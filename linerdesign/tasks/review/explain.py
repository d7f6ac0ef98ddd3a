"""Which errors, one or two, every stated line of a submittal allows; best first.

An error is offered only where the replay of the calculation with it follows in lines that did not
follow before, and departs in no other. It is ranked by how common it is and by how well its numbers
fit the stated ones. The weights are a judgement (common practice, no source); how often they put
the right error first is measured by `tests/review_rates.py`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, islice
from math import inf, log, prod

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.altered import Alteration, Case, Made, Slip, outcomes
from linerdesign.methods.method import checks_of, standard
from linerdesign.tasks.review.coincidence import (
    CREDIBLE,
    same_number,
    share_explained,
    share_of_steps,
)
from linerdesign.tasks.review.replay import CONSTANTS, MANY_LINES, NEAREST, Replays, replays
from linerdesign.tasks.review.submittal import Item, is_multiple

# A number off by more than its last digit fits worse the farther off it is, by this share.
SPREAD = 0.002
OFF_BY_MORE_THAN_A_DIGIT = 4.0
NOT_OFF_BY_MORE_THAN = 0.006
# Two errors in one calculation are rarer than the product of their weights says of one.
SECOND_SLIP = 1.5
ANOTHER_WAY = 0.7
# A submittal that shows the thicknesses of other checks but not this one may have left it out.
NOT_SHOWN = 1.2
MOST_SHOWN = 12
MOST_PAIRS = 60
WORTH_SHOWING = 7.0


@dataclass(frozen=True)
class Explanation:
    """One or two errors that the stated values allow.

    `place` counts from 1; explanations that the stated values can't tell apart share one.
    `explains` names the stated lines that depart and follow with the errors; `complete` where that
    is all of them. `expected` holds what the replay with the errors gives for each item, `values`
    the whole calculation with them. `chance` is the share of arbitrary numbers, in place of the
    stated one, that find such an explanation; none where chance has no part in it.
    """

    slips: tuple[Slip, ...]
    said: tuple[str, ...]
    values: dict[str, float]
    alteration: Alteration
    expected: dict[str, float]
    fit: float
    exact: bool
    explains: tuple[str, ...]
    complete: bool
    place: int = 0
    chance: float | None = None

    @property
    def credible(self) -> bool:
        """Whether few enough arbitrary numbers find such an explanation to make it a finding."""
        return self.chance is None or self.chance <= CREDIBLE[len(self.slips)]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the slips."""
        return tuple(slip.name for slip in self.slips)

    @property
    def words(self) -> str:
        """What was done, to complete "it results if ..."."""
        return " and, in addition, ".join(self.said)


def explanations(
    case: Case,
    items: Sequence[Item],
    station: int = 0,
    style: str = NEAREST,
    wall: float | None = None,
) -> tuple[Explanation, ...]:
    """Errors that explain the lines which do not follow, best first; none where all follow.

    Those that explain only some of these lines come where none explains all of them.
    """
    search = Search(case, tuple(items), station, style, wall)
    if not search.items or not search.departed.any():
        return ()
    found = search.singles()
    complete = [each for each in found if each.complete] or search.pairs()
    return tuple(
        replace(each, chance=_chance(search, each, found))
        for each in _placed(complete or _most(found))
    )


def _chance(search: Search, each: Explanation, singles: Sequence[Explanation]) -> float | None:
    """The chance of an explanation; of two errors in lines of their own, the product of theirs."""
    own = [single for single in singles if single.names[0] in each.names]
    explained = [name for single in own for name in single.explains]
    if len(own) == len(each.slips) > 1 and sorted(explained) == sorted(each.explains):
        chances = [search.chance(single) for single in own]
        return prod(chance for chance in chances if chance is not None)
    return search.chance(each)


def _most(found: Sequence[Explanation]) -> list[Explanation]:
    most = max((len(each.explains) for each in found), default=0)
    return [each for each in found if len(each.explains) == most]


def _placed(found: Sequence[Explanation]) -> tuple[Explanation, ...]:
    """Best first, those that can't be told apart at one place, and the unlikely left out."""
    rest = sorted(found, key=lambda each: -each.fit)
    if rest:
        rest = [each for each in rest if each.fit > rest[0].fit - WORTH_SHOWING]
    placed: list[Explanation] = []
    place = 0
    while rest:
        place += 1
        first = rest[0]
        same = [each for each in rest if _coincide(first, each)]
        placed.extend(replace(each, place=place) for each in same)
        rest = [each for each in rest if each not in same]
    return tuple(placed[:MOST_SHOWN])


def _coincide(one: Explanation, other: Explanation) -> bool:
    """Whether two explanations give the same numbers of all that is stated."""
    return len(one.slips) == len(other.slips) and all(
        abs(one.expected[key] - other.expected[key]) <= 2e-4 * abs(one.expected[key])
        for key in one.expected
    )


def _weight(made: Sequence[Made]) -> float:
    """How common the errors are, as a logarithm."""
    ways = sum(log(ANOTHER_WAY) for each in made if each.place > 0)
    return sum(log(each.slip.weight) for each in made) + ways - SECOND_SLIP * (len(made) - 1)


Tried = tuple[Made, ...]


@dataclass(frozen=True)
class Search:
    """The calculation, what is stated of it, and which of the stated lines depart.

    `station` is the one that the lines are about; `style` how the submittal rounds.
    """

    case: Case
    items: tuple[Item, ...]
    station: int
    style: str
    wall: float | None

    @cached_property
    def departed(self) -> NDArray[np.bool_]:
        """For each item, whether it does not follow in the right calculation."""
        worst = np.array([self.station])
        departed: NDArray[np.bool_] = ~replays(
            self.case, self.items, [()], worst, self.style
        ).follows[0]
        return departed

    @cached_property
    def made(self) -> tuple[Made, ...]:
        """Every way of every error."""
        pressure = next((item.value for item in self.items if item.key == "P_i"), None)
        return standard().errors().made_in(self.case, pressure)

    def singles(self) -> list[Explanation]:
        """Every error alone, made in the way that fits best."""
        follows = np.where(self.departed, self.coarse_one.strictly, self.coarse_one.follows)
        near = (follows | self.departed).all(axis=1) & (follows & self.departed).any(axis=1)
        tried: list[Tried] = [(self.made[int(i)],) for i in np.flatnonzero(near)]
        return self._best(self._allowed(tried))

    def pairs(self) -> list[Explanation]:
        """Every two errors that explain all departures, and not one of them without the other."""
        return self._best(each for each in self._allowed(self._near()) if each.complete)

    @cached_property
    def two(self) -> list[Tried]:
        """Every two errors of different topics, in the order in which they are made."""
        pairs = (
            tuple(sorted(pair, key=lambda each: each.slip.stage))
            for pair in combinations(self.made, 2)
        )
        return [pair for pair in pairs if pair[0].slip.topic != pair[1].slip.topic]

    @cached_property
    def coarse_two(self) -> Replays:
        """Coarse replays of every two errors."""
        return self._replays(self.two, coarse=True)

    @cached_property
    def coarse_one(self) -> Replays:
        """Coarse replays of every error alone."""
        return self._replays([(each,) for each in self.made], coarse=True)

    def _replays(self, tried: Sequence[Tried], coarse: bool = False) -> Replays:
        alterations = [tuple(each.change for each in made) for made in tried]
        worst = np.full(len(tried), self.station)
        if len(self.case.stations) > 1 and {i.key for i in self.items} <= {"t", "t_required"}:
            # What is stated is about the station that governs with the errors in it.
            worst = outcomes(self.case, alterations).worst
        return replays(self.case, self.items, alterations, worst, self.style, coarse=coarse)

    def _near(self) -> list[Tried]:
        """The pairs that a coarse pass does not exclude, the likeliest first."""
        coarse, tried = self.coarse_two, self.two
        follows = np.asarray(np.where(self.departed, coarse.strictly, coarse.follows).all(axis=1))
        value = np.array([item.value for item in self.items])
        half = np.array([item.half for item in self.items])
        off = np.abs(coarse.expected - value) - half
        share = np.nan_to_num(np.maximum(off, 0) / np.maximum(np.abs(value), 1e-12))
        share = np.minimum(share, 1.0)
        share = np.where(self.departed & (np.array(self._required)), share, 0).max(axis=1)
        fit = np.array([_weight(made) for made in tried]) - 0.5 * (share / SPREAD) ** 2
        kept = (int(i) for i in np.argsort(-fit) if follows[i] and self._both_matter(int(i)))
        return [tried[i] for i in islice(kept, MOST_PAIRS)]

    def _both_matter(self, row: int) -> bool:
        """Whether a pair gives other numbers of what is stated than either of its errors alone."""
        expected = self.coarse_two.expected[row]
        alone = self.coarse_one.expected
        members = [self.made.index(each) for each in self.two[row]]
        return not any(
            np.allclose(alone[i], expected, rtol=2e-4, atol=0, equal_nan=True) for i in members
        )

    @cached_property
    def _required(self) -> list[bool]:
        return [item.key != "t" for item in self.items]

    def _allowed(self, tried: Sequence[Tried]) -> list[Explanation]:
        """Those that repair a departure and depart in no line that followed."""
        if not tried:
            return []
        replayed = self._replays(tried)
        follows = np.where(self.departed, replayed.strictly, replayed.follows)
        repaired = follows & self.departed
        kept = (follows | self.departed).all(axis=1) & repaired.any(axis=1)
        allowed = [int(i) for i in np.flatnonzero(kept)]
        if not allowed:
            return []
        changes = [tuple(each.change for each in tried[i]) for i in allowed]
        found = outcomes(self.case, changes, self.wall)
        return [
            made
            for place, i in enumerate(allowed)
            if found.valid[place]
            and (made := self._explanation(tried[i], found.row(place), replayed, i))
        ]

    def _explanation(
        self, made: Tried, values: dict[str, float], replayed: Replays, row: int
    ) -> Explanation | None:
        expected = {
            item.name: float(replayed.expected[row, j])
            for j, item in enumerate(self.items)
            if np.isfinite(replayed.expected[row, j])
        }
        repaired = [
            item
            for j, item in enumerate(self.items)
            if self.departed[j] and replayed.strictly[row, j]
        ]
        scores = [self._score(item, expected, values) for item in repaired]
        if -inf in scores:
            return None
        fit = _weight(made) + NOT_SHOWN * (self._left_out(values) + self._plainly(made))
        return Explanation(
            tuple(each.slip for each in made),
            tuple(each.words for each in made),
            values,
            tuple(each.change for each in made),
            expected,
            fit + sum(scores),
            all(score == 0 for score in scores),
            tuple(item.name for item in repaired),
            len(repaired) == int(self.departed.sum()),
        )

    def _plainly(self, made: Tried) -> bool:
        """Whether a nominal thickness is rounded down from a required one that follows."""
        stated = [item.key for item in self.items]
        alone = [item.key for j, item in enumerate(self.items) if self.departed[j]] == ["t"]
        return alone and "t_required" in stated and made[0].slip.name == "rounded-down"

    def _score(self, item: Item, expected: dict[str, float], values: dict[str, float]) -> float:
        """How well a value fits: 0 to the last digit, less when off, -inf when too far off."""
        value = expected[item.name]
        if item.key == "t" and abs(value - item.value) > item.half:
            value = values["t_required"]
        off = abs(value - item.value) - item.half
        if off <= 0:
            return 0.0
        share = off / max(abs(item.value), 1e-12)
        if len(self.items) < MANY_LINES and share > NOT_OFF_BY_MORE_THAN:
            return -inf
        return -OFF_BY_MORE_THAN_A_DIGIT - min(0.5 * (share / SPREAD) ** 2, WORTH_SHOWING)

    def _left_out(self, values: dict[str, float]) -> int:
        """How many checks a calculation lacks that the submittal does not show either."""
        stated = {item.key for item in self.items}
        checks = {check.required for check in checks_of(self.case.basis)}
        return len(checks - stated - values.keys()) if checks & stated else 0

    def _best(self, found: Iterable[Explanation]) -> list[Explanation]:
        """Of each error, or pair of them, the way that explains most and fits best."""
        best: dict[tuple[str, ...], Explanation] = {}
        for each in found:
            names = tuple(sorted(each.names))
            rank = (each.complete, len(each.explains), each.fit)
            known = best.get(names)
            if known is None or rank > (known.complete, len(known.explains), known.fit):
                best[names] = each
        return list(best.values())

    def chance(self, each: Explanation) -> float | None:
        """The share of arbitrary numbers that as many errors would explain as well.

        The numbers stand in place of one line that the explanation is about, the other stated lines
        are kept; of several such lines, the one where most would do. None where chance has no part
        in it: a nominal thickness an increment under the required one beside it is rounded down.
        """
        main = main_item(each, self.items)
        beside = main.key == "t" and any(other.key == "t_required" for other in self.items)
        if main.value <= 0 or (beside and each.names == ("rounded-down",)):
            return None
        about = [
            item
            for item in self.items
            if item.name in each.explains and item.key != "t" and item.value > 0
        ]
        return max(self._share(each, item) for item in dict.fromkeys((main, *about)))

    def _share(self, each: Explanation, item: Item) -> float:
        """The share of arbitrary numbers in place of one line that would be explained as well."""
        others = np.array(
            [
                not same_number(other, item)
                and (not self.departed[j] or other.name in each.explains)
                for j, other in enumerate(self.items)
            ]
        )
        step = float(np.max(self.case.inputs.get("s", 0.0)))
        whole = item.key == "t" and is_multiple(item.value, step)
        numbers: list[float] = []
        tries: list[tuple[list[Tried], Replays]] = [
            ([(made,) for made in self.made], self.coarse_one)
        ]
        if len(each.slips) > 1:
            tries.append((self.two, self.coarse_two))
        for tried, coarse in tries:
            kept = ((coarse.follows & self._as_near(each, coarse)) | ~others).all(axis=1)
            numbers.extend(coarse.expected[kept, self.items.index(item)].tolist())
            if item.key == "t" and not whole:
                changes = [tuple(m.change for m in made) for made in tried]
                numbers.extend(outcomes(self.case, changes).column("t_required")[kept].tolist())
        numbers = [number for number in numbers if np.isfinite(number)]
        near = max(item.half, abs(reproduced(each, item) - item.value))
        if whole:
            return share_of_steps(numbers, near, item.value, step)
        return share_explained(numbers, near, item.value)

    def _as_near(self, each: Explanation, coarse: Replays) -> NDArray[np.bool_]:
        """Whether other errors come as near to the lines that an explanation is about."""
        value = np.array([item.value for item in self.items])
        near = np.array(
            [
                max(item.half, abs(reproduced(each, item) - item.value))
                if item.name in each.explains and item.key != "t"
                else np.inf
                for item in self.items
            ]
        )
        return np.asarray(~(np.abs(coarse.expected - value) > near + CONSTANTS * np.abs(value)))


def main_item(explanation: Explanation, items: Sequence[Item]) -> Item:
    """The stated value that an explanation is about: the thickness, where it gives that."""
    given = {item.name: item for item in items}
    for name in ("required_thickness", "thickness", *explanation.explains):
        if name in explanation.explains and name in given:
            return given[name]
    return items[0]


def reproduced(explanation: Explanation, item: Item) -> float:
    """The number that the errors give for a stated value, in the sheet's unit."""
    value = explanation.expected[item.name]
    submitted_as_computed = item.key == "t" and abs(value - item.value) > item.half
    return explanation.values["t_required"] if submitted_as_computed else value
