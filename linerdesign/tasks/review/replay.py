"""The stated lines of a submittal, each computed from the submittal's own preceding values.

Rounding leaves an interval open around each result: a stated value is used as printed or as
computed before it was rounded, and a value that is not stated may have been rounded to three
figures. A line follows where the stated value, to its last digit, meets that interval. Altered
calculations are replayed together, one row each.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import SAME, at_least
from linerdesign.methods.altered import Alteration, Case, remaining, run_altered
from linerdesign.methods.method import checks_of, verification
from linerdesign.tasks.review.submittal import Item

# Constants that differ by so much are the same: 62.4/144 for 0.433.
CONSTANTS = 0.001
# A required thickness rounded by more than this share is no basis for a nominal one.
COARSE = 0.005
# Values that are not stated may have been rounded to so many figures on the way.
FIGURES = 3
# A coarse pass, without intervals, keeps what comes so near.
NEAR = 0.025
# How a submittal rounds: to the nearest digit, cut, up, or only thicknesses up.
NEAREST, CUT, UP, THICKNESS_UP = STYLES = ("nearest", "cut", "up", "thickness up")
ROUNDINGS = {NEAREST: np.round, CUT: np.floor, UP: np.ceil, THICKNESS_UP: np.ceil}
# A line that a calculation does not have is farther off than any other.
FAR = 1e300
# So many lines show in which way a submittal rounds.
MANY_LINES = 4
HERE, FOLLOWS = "here", "follows"

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Replays:
    """Replayed calculations: arrays of a row for each alteration and a column for each item.

    `expected` is what the preceding values give, NaN where the calculation has no such line,
    within `low` and `high`; `follows` whether the stated value agrees. `strictly` asks the nominal
    thickness to be the next one up, where `follows` takes any that is thick enough.
    """

    expected: Array
    low: Array
    high: Array
    follows: Flags
    strictly: Flags


@dataclass(frozen=True)
class ReplayedLine:
    """One stated line: what their values give, in the sheet's unit, and whether it follows.

    `cause` is `here` for a line that does not follow, `follows` for one that carries an earlier
    departure on. `station` names the place of a line stated for one station only.
    """

    item: Item
    expected: float | None
    follows: bool
    cause: str | None
    station: str | None = None


def styles_of(case: Case, items: Sequence[Item], station: int) -> tuple[str, ...]:
    """The ways of rounding under which most lines follow, to the nearest digit first."""
    worst = np.array([station])
    counts: dict[str, int] = {}
    for style in STYLES:
        counts[style] = int(replays(case, items, [()], worst, style).follows.sum())
        if counts[style] == len(items):
            return (style,)
    most = max(counts.values())
    return tuple(style for style, count in counts.items() if count == most)


def replay(
    case: Case, items: Sequence[Item], station: int, style: str, name: str | None = None
) -> tuple[ReplayedLine, ...]:
    """The stated lines in their order, replayed at one station of the pipe."""
    worst = np.array([station])
    own = replays(case, items, [()], worst, style)
    ours = replays(case, items, [()], worst, style, carried=False)
    found = []
    for j, item in enumerate(items):
        follows = bool(own.follows[0, j])
        carries = FOLLOWS if not ours.follows[0, j] else None
        expected = float(own.expected[0, j])
        found.append(
            ReplayedLine(
                item,
                None if np.isnan(expected) else expected,
                follows,
                carries if follows else HERE,
                name,
            )
        )
    return tuple(found)


def replays(
    case: Case,
    items: Sequence[Item],
    alterations: Sequence[Alteration],
    worst: NDArray[np.intp],
    style: str = NEAREST,
    carried: bool = True,
    coarse: bool = False,
) -> Replays:
    """Altered calculations replayed at one station each.

    Without `carried`, each line is computed from the inputs and not from their preceding values.
    A `coarse` pass leaves out the intervals and takes what lies within 2.5 % for following.
    """
    inputs = {
        key: np.asarray(value)[worst][:, np.newaxis, np.newaxis] if np.ndim(value) else value
        for key, value in case.inputs.items()
    }
    run = _Run(case, tuple(items), len(alterations), style, carried, coarse)
    known = run_altered(case.lines, inputs, alterations, run.keep, 3)
    run.nominal(known, alterations)
    run.checks_of_wall(known, alterations)
    return run.found()


@dataclass
class _Run:
    """One pass through the lines; its axes are alteration, item and perturbation.

    The first perturbation is none; then each quantity that rounding may have moved has two.
    """

    case: Case
    items: tuple[Item, ...]
    rows: int
    style: str
    carried: bool
    coarse: bool
    done: set[str] = field(default_factory=set)
    slots: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        shape = (self.rows, len(self.items))
        self.expected, self.low, self.high = (np.full(shape, np.nan) for _ in range(3))
        self.follows = np.ones(shape, dtype=bool)
        self.strictly = np.ones(shape, dtype=bool)
        self.places: dict[str, list[int]] = {}
        for j, item in enumerate(self.items):
            self.places.setdefault(item.key, []).append(j)
        self.results = {line.result for line in self.case.lines}
        self.of_wall = {line.result for line in verification(self.case.basis)}
        if not self.coarse:
            slotted = (*self.results, *self.of_wall, "t", *self.places)
            self.slots = {key: 1 + 2 * i for i, key in enumerate(dict.fromkeys(slotted))}
        self.width = 1 + 2 * len(self.slots)

    def keep(self, key: str, found: Any) -> Any:
        """The quantity as later lines read it: the stated value where it comes before them."""
        computed = key in self.results or key in self.of_wall
        if key in self.done or not (computed or key in self.places):
            return found
        self.done.add(key)
        values = np.array(np.broadcast_to(found, (len(found), len(self.items), self.width)))
        judged = [
            (j, values[:, j, 0].copy(), self._judged(j, self._bounds(values[:, j, :]), computed))
            for j in self.places.get(key, ())
        ]
        if self.slots and computed and key != "t_required":
            slot = self.slots[key]
            values[:, :, slot] = _rounded(values[:, :, 0], np.floor)
            values[:, :, slot + 1] = _rounded(values[:, :, 0], np.ceil)
        for j, base, follows in judged[:1] if self.carried else ():
            self._carry(values, j, base, follows, key)
        return values

    def _carry(self, values: Any, j: int, base: Any, follows: Any, key: str) -> None:
        """Puts the stated value in place for the items after it."""
        item = self.items[j]
        values[:, j + 1 :, :] = np.where(follows, base, item.value)[:, np.newaxis, np.newaxis]
        if self.slots:
            half = 0.0 if item.exact else item.half
            low, high = (
                np.where(follows, own, item.value + side * half)[:, np.newaxis]
                for own, side in ((item.value, -1), (base, 1))
            )
            slot = self.slots[key]
            values[:, j + 1 :, slot], values[:, j + 1 :, slot + 1] = low, high

    def _bounds(self, column: Any) -> tuple[Any, Any, Any]:
        """The value without perturbation, and the ends that all of them together reach."""
        base = column[:, 0]
        moved = (column[:, 1:] - base[:, np.newaxis]).reshape(len(column), len(self.slots), 2)
        low = np.minimum(moved.min(axis=2), 0).sum(axis=1)
        high = np.maximum(moved.max(axis=2), 0).sum(axis=1)
        return base, base + low, base + high

    def _judged(self, j: int, bounds: tuple[Any, Any, Any], computed: bool) -> Any:
        """Records one item; whether the stated value follows, for each row that differs."""
        item = self.items[j]
        base, low, high = bounds
        if computed and item.stated.unit != item.unit and not self._largest(item):
            # Converted after it was rounded in the unit of the calculation.
            to = np.round if len(self.items) < MANY_LINES else ROUNDINGS[self.style]
            low = np.minimum(low, _rounded(low, to))
            high = np.maximum(high, _rounded(high, to))
        slack = (CONSTANTS if computed else SAME) * np.abs(base)
        if self.coarse:
            slack = NEAR * np.abs(base)
        down, up = self._reach(item)
        follows = (item.value + up >= low - slack) & (item.value - down <= high + slack)
        self.expected[:, j], self.low[:, j], self.high[:, j] = base, low, high
        self.follows[:, j] = self.strictly[:, j] = follows
        return follows

    def _largest(self, item: Item) -> bool:
        """Whether an item is the largest of thicknesses stated, and not rounded once more."""
        checks = {check.required for check in checks_of(self.case.basis)}
        return item.key == "t_required" and not checks.isdisjoint(self.places)

    def _reach(self, item: Item) -> tuple[float, float]:
        """How far under and over the printed number the unrounded one may be."""
        if item.exact:
            return SAME * item.value, SAME * item.value
        style = self.style
        if style == THICKNESS_UP:
            style = UP if item.key.startswith("t_") else NEAREST
        least = SAME * abs(item.value)
        if style == CUT:
            return least, 2 * item.half
        return (2 * item.half, least) if style == UP else (item.half, item.half)

    def nominal(self, known: Mapping[str, Any], alterations: Sequence[Alteration]) -> None:
        """The nominal thickness from the required one, stated or computed."""
        for j in self.places.get("t", ()):
            item, column = self.items[j], known["t_required"]
            base, low, high = self._bounds(column[:, j, :])
            ends = np.stack((base, low, high), axis=1)[:, :, np.newaxis]
            keys = {key for line in self.case.choice for key in line.needs} & known.keys()
            given = {key: known[key][:, :1, :1] for key in keys} | {"t_required": ends}
            lines = self.case.choice
            later = remaining(alterations, {line.result for line in lines})
            chosen = run_altered(lines, given, later, None, 3)
            nominal, least, most = (chosen["t"][:, k, 0] for k in range(3))
            self.expected[:, j], self.low[:, j], self.high[:, j] = nominal, least, most
            reach = item.value + item.half
            required = [
                self.items[k].value
                for k in self.places.get("t_required", ())
                if self.items[k].half <= COARSE * self.items[k].value
            ]
            self.follows[:, j] = at_least(reach, np.minimum(base, min(required, default=np.inf)))
            next_up = at_least(reach, least) & (item.value - item.half <= most)
            as_computed = np.abs(item.value - base) <= item.half
            self.strictly[:, j] = next_up | as_computed

    def checks_of_wall(self, known: Mapping[str, Any], alterations: Sequence[Alteration]) -> None:
        """The lines that put a wall into the equations: it is one of the thicknesses stated."""
        wanted = [j for j, item in enumerate(self.items) if item.key in self.of_wall]
        if not wanted:
            return
        lines = verification(self.case.basis)
        later = remaining(alterations, self.of_wall)
        best = np.full((self.rows, len(self.items)), np.inf)
        kept = (self.expected, self.low, self.high, self.follows)
        final = [each.copy() for each in kept]
        before = set(self.done)
        for wall in self._walls(known):
            self.done = before | known.keys() | {"t"}
            given = {key: value for key, value in known.items() if key != "t"} | {"t": wall}
            run_altered(lines, given, later, self.keep, 3)
            for j in wanted:
                off = np.abs(self.expected[:, j] - self.items[j].value)
                off = np.where(self.follows[:, j], -1.0, np.nan_to_num(off, nan=FAR))
                better = off < best[:, j]
                best[better, j] = off[better]
                for target, source in zip(final, kept, strict=True):
                    target[better, j] = source[better, j]
        self.expected, self.low, self.high, self.follows = final
        self.strictly[:, wanted] = self.follows[:, wanted]

    def _walls(self, known: Mapping[str, Any]) -> list[Any]:
        """Thicknesses that a stated check may be about, as arrays."""
        shape = (1, len(self.items), self.width)
        found = []
        for key in ("t", "t_required"):
            for j in self.places.get(key, ()):
                wall = np.full(shape, self.items[j].value)
                if self.slots and key == "t_required":
                    half = self.items[j].half
                    wall[:, :, self.slots["t"]] -= half
                    wall[:, :, self.slots["t"] + 1] += half
                found.append(wall)
        keys = dict.fromkeys(check.required for check in checks_of(self.case.basis))
        return [*found, *(known[key] for key in keys if key in known)]

    def found(self) -> Replays:
        """What the pass recorded."""
        return Replays(self.expected, self.low, self.high, self.follows, self.strictly)


def _rounded(values: Any, to: Any = np.round) -> Any:
    """Values rounded to three figures."""
    with np.errstate(all="ignore"):
        power = np.floor(np.log10(np.abs(values))) - (FIGURES - 1)
        unit = 10.0**power
        rounded = to(values / unit) * unit
    return np.where(np.isfinite(rounded), rounded, values)
