"""Which value of one input would give the stated thickness, all others held constant."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import inf, log
from typing import Any

import numpy as np

from linerdesign.expressions.printing import positional
from linerdesign.methods.altered import Alteration, Case, fixed, outcome, run_altered
from linerdesign.methods.site import height_of_crown
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert
from linerdesign.tasks.review.replay import replays
from linerdesign.tasks.review.submittal import Item
from linerdesign.words import sentence

# Places where a root is looked for, and how often between two neighbours of them.
PLACES, ZOOMS = 121, 5


@dataclass(frozen=True)
class Alternative:
    """A value of one input that would give the stated thickness `of`, in the unit of the sheet.

    `plausible` is none where nothing is known to judge it by; `why` says what it is judged by.
    """

    key: str
    value: float
    now: float
    plausible: bool | None
    why: str
    of: str

    @property
    def away(self) -> float:
        """How far the value is from the present one, as the logarithm of their ratio."""
        if min(self.value, self.now) <= 0:
            return inf
        return abs(log(self.value / self.now))


@dataclass(frozen=True)
class _Range:
    """Where a value is looked for, and what is usual, in numbers and in words."""

    key: str
    search: tuple[float, float]
    usual: tuple[float, float] | None
    words: str = ""


def alternatives(
    case: Case, items: Sequence[Item], target: Item, station: int, style: str
) -> tuple[Alternative, ...]:
    """For each input that can do so alone, the nearest value that gives a stated thickness.

    `target` is the stated thickness: the required one, or that of one check. An input that the
    submittal states, or whose value another stated line excludes, is left out. Those that are
    plausible come first.
    """
    key = "t_required" if target.key == "t" else target.key
    alone = case.at(station)
    right = outcome(alone)
    if right is None:
        return ()
    stated = {item.key for item in items}
    ranges = [each for each in _ranges(case, right) if each.key in right.keys() - stated]
    roots = _roots(alone, ranges, right, (key, target.value))
    found = []
    for each, value in zip(ranges, roots, strict=True):
        if np.isfinite(value):
            likely = each.usual and bool(each.usual[0] <= value <= each.usual[1])
            why = _why(each, likely, case.basis.system)
            now = float(right[each.key])
            found.append(Alternative(each.key, value, now, likely, why, target.label))
    allowed = _allowed(alone, items, found, style)
    return tuple(sorted(allowed, key=lambda each: not each.plausible))


def _allowed(
    alone: Case, items: Sequence[Item], found: list[Alternative], style: str
) -> list[Alternative]:
    """Those with which no line departs that follows without them."""
    alterations: list[Alteration] = [(), *(({each.key: fixed(each.value)},) for each in found)]
    places = np.zeros(len(alterations), int)
    follows = replays(alone, items, alterations, places, style).follows
    return [each for each, row in zip(found, follows[1:], strict=True) if (row | ~follows[0]).all()]


def _why(about: _Range, likely: bool | None, system: str) -> str:
    """What the value is judged by, in the unit of the sheet."""
    if about.usual is None:
        return about.words
    if about.key == "h_invert":
        return sentence("review.under ground" if likely else "review.over ground")
    unit = SYMBOLS[about.key].unit(system)
    low, high = (positional(float(f"{end:.2g}")) for end in about.usual)
    words = about.words or f"{low} to {high} {unit}".strip()
    return f"usual: {words}" if likely else f"hardly plausible: usual is {words}"


def _ranges(case: Case, right: dict[str, float]) -> Iterator[_Range]:
    """Where each value is looked for, and where it is usual.

    Shares of E, of strength or of ours, or plain numbers; stress, depths and unit weights in the
    unit of the sheet. Judgement: common practice, no source.
    """
    system = case.basis.system
    psi, ft, pcf = (
        convert(1.0, unit, SYMBOLS[key].unit(system))
        for unit, key in (("psi", "E_s"), ("ft", "H"), ("pcf", "w"))
    )
    for key, of in (("E_L", "E"), ("sigma_L", "sigma")):
        if key in right:
            whole = right[of]
            words = "20 to 75 % of the initial one"
            yield _Range(key, (0.02 * whole, 2 * whole), (0.2 * whole, 0.75 * whole), words)
    if "P_i" in right:
        yield from _of_pressure(right)
    yield _Range("K", (0.5, 40.0), (1.0, 12.0))
    yield _Range("nu", (0.0, 0.49), (0.2, 0.45))
    yield _Range("N", (0.2, 10.0), (1.0, 3.0))
    width = right["D"]
    yield _Range("D", (0.5 * width, 2 * width), (0.9 * width, 1.1 * width), "within 10 % of ours")
    yield _Range("q", (0.0, 30.0), (0.0, 10.0), "up to 10 %")
    yield _Range("h_invert", (0.01 * ft, 200 * ft), *_ground(case, right))
    if "q_t" in right:
        yield _Range("E_s", (20 * psi, 20_000 * psi), (200 * psi, 3000 * psi))
        yield _Range("H", (0.5 * ft, 200 * ft), (2 * ft, 50 * ft))
        yield _Range("w", (10 * pcf, 500 * pcf), (90 * pcf, 150 * pcf))
        yield _Range("W_s", (0.0, 100 * psi), (0.0, 10 * psi))


def _of_pressure(right: dict[str, float]) -> Iterator[_Range]:
    """Internal pressure, hole and tensile strength of a pressure pipe."""
    pressure = right["P_i"]
    words = sentence("review.working pressure")
    yield _Range("P_i", (0.1 * pressure, 5 * pressure), (0.5 * pressure, 1.5 * pressure), words)
    whole = right["sigma_T"]
    words = "20 to 75 % of the initial one"
    yield _Range("sigma_TL", (0.02 * whole, 2 * whole), (0.2 * whole, 0.75 * whole), words)
    if "d" in right:
        hole = right["d"]
        words = "half to twice ours"
        yield _Range("d", (0.1 * hole, 5 * hole), (0.5 * hole, 2 * hole), words)


def _ground(case: Case, right: dict[str, float]) -> tuple[tuple[float, float] | None, str]:
    """How high the water can stand, where the cover is known."""
    if "H" not in right:
        return None, sentence("review.no cover")
    crown = float(height_of_crown(right[case.basis.crown], case.basis.system))
    return (0.0, right["H"] + crown), ""


def _roots(
    case: Case, ranges: list[_Range], right: dict[str, float], wanted: tuple[str, float]
) -> list[float]:
    """For each input the root nearest to its present value, NaN where there is none.

    All inputs are run at once, as rows over the places where a root is looked for; each pass looks
    between the neighbours where the sign changed in the one before.
    """
    of, thickness = wanted
    grids = [
        (np.geomspace if each.search[0] else np.linspace)(*each.search, PLACES) for each in ranges
    ]
    jump = np.full(len(ranges), np.inf)
    for _ in range(ZOOMS):
        alterations: list[Alteration] = [
            ({each.key: fixed(grid[np.newaxis, :])},)
            for each, grid in zip(ranges, grids, strict=True)
        ]
        found = run_altered(case.lines, case.inputs, alterations)[of]
        heights = np.broadcast_to(found, (len(ranges), PLACES)) - thickness
        for row, each in enumerate(ranges):
            place = _bracket(grids[row], heights[row], right[each.key])
            jump[row] = np.inf if place is None else abs(np.diff(heights[row])[place])
            low, high = (np.nan, np.nan) if place is None else grids[row][place : place + 2]
            grids[row] = np.linspace(low, high, PLACES)
    # A sign that changes with a jump, as where a check begins to apply, is no root.
    steady = jump < 1e-6 * thickness
    return [float(grid[0]) if ok else np.nan for grid, ok in zip(grids, steady, strict=True)]


def _bracket(grid: Any, heights: Any, now: float) -> int | None:
    """Where the sign changes nearest to the present value."""
    with np.errstate(invalid="ignore"):
        changes = np.flatnonzero(heights[:-1] * heights[1:] <= 0)
    if not len(changes):
        return None
    away = np.abs(np.log(np.maximum(grid[changes], 1e-9) / max(now, 1e-9)))
    return int(changes[np.argmin(away)])
