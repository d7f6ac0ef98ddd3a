"""Which slips, one or two, give the numbers that a submittal states; best first.

A slip is weighed by how common it is and by how well its numbers fit the stated ones: within the
last printed digit, or a little off where intermediate values were rounded. One that contradicts
a stated line is dropped. The weights are a judgement (common practice, no source); how often they
put the right slip first is measured by the tests. How many arbitrary numbers would be explained as
well is said with each explanation: see `chance`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import combinations, product
from math import inf, log

import numpy as np

from linerdesign.expressions.tolerance import SAME, alike
from linerdesign.methods.method import checks_of
from linerdesign.tasks.review.case import Case, given, outcome
from linerdesign.tasks.review.chance import CREDIBLE, other_numbers, share_explained, share_of_steps
from linerdesign.tasks.review.slips import Change, Slip, slips_of
from linerdesign.tasks.review.submittal import Item

Values = dict[str, float]
# A number off by more than its last digit fits worse the farther off it is, by this share.
SPREAD = 0.002
OFF_BY_MORE_THAN_A_DIGIT = 4.0
NOT_OFF_BY_MORE_THAN = 0.0035
# Two slips in one calculation are rarer than the product of their weights says of one.
SECOND_SLIP = 1.5
ANOTHER_WAY = 0.7
# A submittal that shows the thicknesses of other checks but not this one may have left it out.
NOT_SHOWN = 1.2
MOST_SHOWN = 12
MOST_PAIRS_AFTER_A_SINGLE = 3
PAIR_WORTH_SHOWING = 4.5
WORTH_SHOWING = 7.0


@dataclass(frozen=True)
class Explanation:
    """One or two slips that give the stated values.

    `place` counts from 1; explanations that the stated values can't tell apart share one.
    `explains` names the stated values that were wrong and are given; `complete` where that is all.
    `made` is the calculation with the slips in it. `chance` is the share of arbitrary numbers, in
    place of the stated one, that find such an explanation; none where chance has no part in it.
    """

    slips: tuple[Slip, ...]
    values: Values
    made: Case
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
        """What was done, to complete "... is what results if"."""
        return " and, besides, ".join(slip.words for slip in self.slips)


@dataclass(frozen=True)
class Reading:
    """How the numbers of one calculation fit the stated ones: for each item a score, or none."""

    scores: tuple[float | None, ...]

    @property
    def total(self) -> float:
        """The scores together, where every item fits."""
        return sum(score for score in self.scores if score is not None)

    @property
    def fits(self) -> bool:
        """Whether every stated value is given."""
        return None not in self.scores

    @property
    def exact(self) -> bool:
        """Whether every stated value is given to its last digit."""
        return all(score == 0 for score in self.scores)


def score(item: Item, value: float, tolerance: float) -> float | None:
    """How well a value fits a stated one: 0 to the last digit, less when off, none over that."""
    off = abs(value - item.value) - item.half
    if off <= 0:
        return 0.0
    share = off / max(abs(item.value), 1e-12)
    if share > tolerance or item.key == "t":
        return None
    return -OFF_BY_MORE_THAN_A_DIGIT - 0.5 * (share / SPREAD) ** 2


def read(items: Sequence[Item], values: Values | None, tolerance: float) -> Reading:
    """How the numbers of a calculation fit the stated ones."""
    scores: list[float | None] = []
    for item in items:
        found = None if values is None else values.get(item.key)
        mark = None if found is None else score(item, found, tolerance)
        if mark is None and item.key == "t" and values is not None and _unrounded(item, values):
            mark = score(item, values["t_required"], 0.0)
        scores.append(mark)
    return Reading(tuple(scores))


def main_item(explanation: Explanation, items: Sequence[Item]) -> Item:
    """The stated value that an explanation is about: the thickness, where it gives that."""
    given = {item.name: item for item in items}
    for name in ("required_thickness", "thickness", *explanation.explains):
        if name in explanation.explains and name in given:
            return given[name]
    return items[0]


def reproduced(explanation: Explanation, item: Item) -> float:
    """The number that the slips give for a stated value, in the sheet's unit."""
    value = explanation.values[item.key]
    submitted_as_computed = item.key == "t" and abs(value - item.value) > item.half
    return explanation.values["t_required"] if submitted_as_computed else value


def _unrounded(item: Item, values: Values) -> bool:
    """Whether a thickness is submitted as computed, and not as a multiple of the step."""
    steps = item.value / values["s"] if "s" in values else 0.5
    return abs(steps - round(steps)) > 1e-6


def explanations(
    case: Case, items: Sequence[Item], tolerance: float, wall: float | None = None
) -> tuple[Explanation, ...]:
    """Slips that give the stated values, best first; none where the stated values are right.

    Those that give only some of the wrong values come where none gives all of them.
    """
    stated = tuple(items)
    items = worth_explaining(items, outcome(case) or {})
    search = _Search(case, items, tolerance, wall)
    found = _placed(_found(search), items)
    return tuple(replace(each, chance=search.chance(each, stated)) for each in found)


def _found(search: _Search) -> Sequence[Explanation]:
    """The explanations, in no order."""
    right = search.fit_of_right
    if not search.items or right.exact:
        return ()
    found = list(search.singles())
    if not right.fits:
        enough = [each for each in found if each.complete and each.exact]
        least = max((each.fit for each in enough), default=-inf) - PAIR_WORTH_SHOWING
        pairs = sorted(search.pairs(enough, least), key=lambda each: -each.fit)
        found.extend(pairs[:MOST_PAIRS_AFTER_A_SINGLE] if enough else pairs)
        complete = [each for each in found if each.complete]
        return complete or _partial(found)
    # All agree within the tolerance: only one slip that gives every digit is worth a word.
    return [each for each in found if each.complete and each.exact]


def worth_explaining(items: Sequence[Item], right: Values) -> tuple[Item, ...]:
    """The stated values that a slip is to give.

    The nominal thickness follows from the required one where both are stated: another step of
    thickness is no slip, unless the nominal one is the smaller.
    """
    required = next((item for item in items if item.key == "t_required"), None)
    if required is None:
        return tuple(items)
    return tuple(each for each in items if each.key != "t" or _under(each, required, right))


def _under(nominal: Item, required: Item, right: Values) -> bool:
    """Whether a nominal thickness is less than the required one beside it.

    Where that one is rounded so coarsely that the right number agrees with it, than the right one.
    """
    least = required.value - required.half
    ours = right.get("t_required", 0.0)
    if abs(ours - required.value) <= required.half:
        least = max(least, ours * (1 - SAME))
    return nominal.value < least


def _partial(found: Sequence[Explanation]) -> list[Explanation]:
    most = max((len(each.explains) for each in found), default=0)
    return [each for each in found if len(each.explains) == most and len(each.slips) == 1]


def _placed(found: Sequence[Explanation], items: Sequence[Item]) -> tuple[Explanation, ...]:
    """Best first, those that can't be told apart at one place, and the unlikely left out."""
    rest = sorted(found, key=lambda each: -each.fit)
    if rest:
        rest = [each for each in rest if each.fit > rest[0].fit - WORTH_SHOWING]
    placed: list[Explanation] = []
    place = 0
    while rest:
        place += 1
        first = rest[0]
        same = [each for each in rest if _coincide(first, each, items)]
        placed.extend(replace(each, place=place) for each in same)
        rest = [each for each in rest if each not in same]
    return tuple(placed[:MOST_SHOWN])


def _coincide(one: Explanation, other: Explanation, items: Sequence[Item]) -> bool:
    return len(one.slips) == len(other.slips) and all(
        abs(_value(one, item) - _value(other, item)) <= item.half for item in items
    )


def _value(each: Explanation, item: Item) -> float:
    return each.values.get(item.key, 0.0)


def _weight(slips: Sequence[Slip]) -> float:
    """How common the slips are, as a logarithm."""
    return sum(log(slip.weight) for slip in slips) - SECOND_SLIP * (len(slips) - 1)


def _best(found: Iterable[Explanation | None]) -> list[Explanation]:
    """The one that explains most and fits best, if there is any."""
    made = [each for each in found if each is not None]
    if not made:
        return []
    return [max(made, key=lambda each: (each.complete, len(each.explains), each.fit))]


@dataclass(frozen=True)
class _Search:
    """The calculation, what is stated of it, and how closely a slip must give that."""

    case: Case
    items: tuple[Item, ...]
    tolerance: float
    wall: float | None
    known: dict[tuple[Change, ...], tuple[Case | None, Values | None]] = field(default_factory=dict)

    def values(self, case: Case | None) -> Values | None:
        return None if case is None else outcome(case, self.wall)

    def reading(self, case: Case, values: Values | None) -> Reading:
        """How a calculation fits; also from the rounded values that the submittal carried on."""
        plain = read(self.items, values, self.tolerance)
        if not plain.fits or plain.exact or len(self.items) < 2:
            return plain
        carried = self._carried_on(case, plain)
        return carried if carried.fits and carried.total > plain.total else plain

    def _carried_on(self, case: Case, plain: Reading) -> Reading:
        """The stated intermediate values put in place of the computed ones that they agree with."""
        inner = {
            item.key: item.value
            for item in self.items
            if item.key not in ("t", "t_required") and not item.key.startswith("t_")
        }
        values = self.values(given(case, **inner)) if inner else None
        again = read(self.items, values, self.tolerance)
        return Reading(
            tuple(
                before if item.key in inner else after
                for item, before, after in zip(self.items, plain.scores, again.scores, strict=True)
            )
        )

    @cached_property
    def right(self) -> Values | None:
        """The numbers of the calculation without any slip."""
        return self.values(self.case)

    @cached_property
    def fit_of_right(self) -> Reading:
        """How they fit the stated ones."""
        return self.reading(self.case, self.right)

    @cached_property
    def alone(self) -> tuple[tuple[Slip, tuple[tuple[Change, Values], ...]], ...]:
        """Every slip with the ways to make it that give different numbers."""
        found = []
        for slip in slips_of(self.case):
            ways: list[tuple[Change, Values]] = []
            for way in slip.ways:
                values = self.values(way(self.case))
                if values and not any(self._same(values, known) for _, known in ways):
                    ways.append((way, values))
            found.append((slip, tuple(ways)))
        return tuple(found)

    def singles(self) -> Iterator[Explanation]:
        """Every slip alone, made in the way that fits best."""
        for slip, ways in self.alone:
            yield from _best(self._made((slip,), (way,), (self.right,)) for way, _ in ways)

    def pairs(self, without: Sequence[Explanation], least: float) -> Iterator[Explanation]:
        """Every two slips that give all that is stated, and not one of them without the other.

        Left out are slips that are enough alone, and pairs too rare to have a fit over `least`.
        """
        enough = {each.slips[0].name for each in without}
        for pair in combinations([each for each in self.alone if each[0].name not in enough], 2):
            slips = (pair[0][0], pair[1][0])
            if slips[0].topic == slips[1].topic or _weight(slips) < least:
                continue
            (one, ways), (other, more) = sorted(pair, key=lambda each: each[0].stage)
            yield from _best(
                made
                for (first, alone), (second, by_itself) in product(ways, more)
                if (made := self._made((one, other), (first, second), (alone, by_itself)))
                and made.complete
            )

    @cached_property
    def together(self) -> tuple[Values, ...]:
        """The numbers of every two slips, made in every way."""
        found: list[Values] = []
        for pair in combinations(self.alone, 2):
            (one, ways), (other, more) = sorted(pair, key=lambda each: each[0].stage)
            if one.topic != other.topic:
                both = (self._changed((a, b)) for (a, _), (b, _) in product(ways, more))
                found.extend(values for _, values in both if values is not None)
        return tuple(found)

    def _changed(self, ways: tuple[Change, ...]) -> tuple[Case | None, Values | None]:
        """The calculation with these changes made in it, and its numbers."""
        if ways not in self.known:
            changed: Case | None = self.case
            for way in ways:
                changed = None if changed is None else way(changed)
            self.known[ways] = (changed, self.values(changed))
        return self.known[ways]

    def chance(self, each: Explanation, stated: Sequence[Item]) -> float | None:
        """The share of arbitrary numbers that as many slips would explain as well.

        The numbers stand in place of the one that the explanation is about; the other stated lines
        are kept, so that each slip still has to give them. None where chance has no part in it: a
        nominal thickness a step under the required one beside it is rounded down.
        """
        item, right = main_item(each, self.items), self.right or {}
        beside = item.key == "t" and any(other.key == "t_required" for other in stated)
        if item.value <= 0 or (beside and each.names == ("rounded-down",)):
            return None
        others = [
            other
            for other, fits in zip(self.items, self.fit_of_right.scores, strict=True)
            if (fits is not None or other.name in each.explains)
            and other in other_numbers(self.items, item)
        ]
        tried = [values for _, ways in self.alone for _, values in ways]
        if len(each.slips) > 1:
            tried.extend(self.together)
        kept = [values for values in tried if read(others, values, self.tolerance).fits]
        near = float(max(item.half, abs(reproduced(each, item) - item.value)))
        unrounded = item.key == "t" and _unrounded(item, right)
        numbers = [
            float(values[key])
            for values in kept
            for key in ((item.key, "t_required") if unrounded else (item.key,))
            if key in values
        ]
        if item.key == "t" and "s" in right and not unrounded:
            return share_of_steps(numbers, near, item.value, float(right["s"]))
        return share_explained(numbers, near, item.value)

    def _made(
        self, slips: tuple[Slip, ...], ways: tuple[Change, ...], without: tuple[Values | None, ...]
    ) -> Explanation | None:
        """The explanation by these slips, where they matter; `without` are the numbers of less."""
        changed, values = self._changed(ways)
        if changed is None or values is None:
            return None
        if any(less is not None and self._same(values, less) for less in without):
            return None
        reading = self.reading(changed, values)
        explains = self._newly(reading, len(slips))
        if not explains:
            return None
        weight = _weight(slips) + NOT_SHOWN * self._left_out(values)
        weight += sum(
            log(ANOTHER_WAY) for s, way in zip(slips, ways, strict=True) if way is not s.ways[0]
        )
        return Explanation(
            slips,
            values,
            changed,
            weight + reading.total,
            reading.exact,
            explains,
            reading.fits,
        )

    def _left_out(self, values: Values) -> int:
        """How many checks a calculation lacks that the submittal does not show either."""
        stated = {item.key for item in self.items}
        checks = {check.required for check in checks_of(self.case.basis)}
        return len(checks - stated - values.keys()) if checks & stated else 0

    def _newly(self, reading: Reading, count: int) -> tuple[str, ...]:
        """Names of the stated values that the right calculation does not give and this one does.

        None at all where this one fails to give a value that the right one gives.
        """
        names: list[str] = []
        far = -OFF_BY_MORE_THAN_A_DIGIT
        for item, before, after in zip(
            self.items, self.fit_of_right.scores, reading.scores, strict=True
        ):
            if before is not None and after is None:
                return ()
            if after is not None and (before is None or after > before):
                names.append(item.name)
                far = max(far, -after - OFF_BY_MORE_THAN_A_DIGIT)
        # Two slips can give nearly any number, so they must give it to the last digit.
        most = 0.5 * (NOT_OFF_BY_MORE_THAN / SPREAD) ** 2
        if far > most or (count > 1 and len(names) == 1 and far > -OFF_BY_MORE_THAN_A_DIGIT):
            return ()
        return tuple(names)

    def _same(self, one: Values, other: Values) -> bool:
        """Whether two calculations give the same numbers of all that is stated."""
        keys = {item.key for item in self.items}
        return all(np.all(alike(other.get(k, 0.0), one.get(k, 0.0))) for k in keys)
