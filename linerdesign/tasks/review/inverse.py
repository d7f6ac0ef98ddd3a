"""Which value of one input would give the stated thickness, everything else left as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import inf, log

import numpy as np

from linerdesign.expressions.printing import positional
from linerdesign.methods.lines import run
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert
from linerdesign.tasks.review.case import Case, given, outcome
from linerdesign.tasks.review.changes import rise


@dataclass(frozen=True)
class Instead:
    """A value of one input that would give the stated thickness, in the unit of the sheet.

    `plausible` is none where nothing is known to judge it by; `why` says what it is judged by.
    """

    key: str
    value: float
    now: float
    plausible: bool | None
    why: str

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


def instead(case: Case, thickness: float, of: str = "t_required") -> tuple[Instead, ...]:
    """For each input that can do so alone, the nearest value that gives the thickness.

    `thickness` is in the unit of the sheet; `of` is the line that is to give it: the thickness
    required, or that of one check.
    The pipe is taken at its worst station. Those that are plausible come first.
    """
    right = outcome(case)
    if right is None:
        return ()
    alone = _at_worst_station(case, right)
    found = []
    for each in _ranges(case, right):
        if each.key not in right:
            continue
        value = _nearest(alone, each, (of, thickness), right[each.key])
        if value is not None:
            likely = each.usual and bool(each.usual[0] <= value <= each.usual[1])
            why = _why(each, likely, case.basis.system)
            found.append(Instead(each.key, value, float(right[each.key]), likely, why))
    return tuple(sorted(found, key=lambda each: not each.plausible))


def _why(about: _Range, likely: bool | None, system: str) -> str:
    """What the value is judged by, in the unit of the sheet."""
    if about.usual is None:
        return about.words
    if about.key == "h_invert":
        return "under the ground" if likely else "over the ground: hardly plausible"
    unit = SYMBOLS[about.key].unit(system)
    low, high = (positional(float(f"{end:.2g}")) for end in about.usual)
    words = about.words or f"{low} to {high} {unit}".strip()
    return f"usual: {words}" if likely else f"hardly plausible: usual is {words}"


def _at_worst_station(case: Case, right: dict[str, float]) -> Case:
    return Case(
        case.basis, case.lines, case.choice, {key: float(right[key]) for key in case.inputs}
    )


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


def _ground(case: Case, right: dict[str, float]) -> tuple[tuple[float, float] | None, str]:
    """How high the water can stand, where the cover is known."""
    if "H" not in right:
        return None, "no cover is given to judge it by"
    return (0.0, right["H"] + float(rise(case, right[case.basis.crown]))), ""


def _nearest(case: Case, about: _Range, wanted: tuple[str, float], now: float) -> float | None:
    """The root nearest to the present value, between neighbours where the sign changes."""
    from scipy.optimize import brentq

    (of, thickness), (low, high) = wanted, about.search
    places = np.linspace(low, high, 61) if low == 0 else np.geomspace(low, high, 121)

    def excess(value: float) -> float:
        found = outcome(given(case, **{about.key: value}))
        return np.nan if found is None else float(found[of]) - thickness

    # All places at once; only where the sign changes are single values needed.
    at_places = given(case, **{about.key: 0.0})
    required = run(at_places.lines, {**at_places.inputs, about.key: places})[of]
    heights = np.broadcast_to(required, places.shape) - thickness
    roots = [
        float(brentq(excess, a, b, xtol=1e-9 * abs(b)))
        for a, b, left, right in zip(places, places[1:], heights, heights[1:], strict=False)
        if left * right < 0 and _steady(excess, float(a), float(b), left, right)
    ]
    return min(roots, key=lambda root: abs(np.log(max(root, 1e-9) / max(now, 1e-9))), default=None)


def _steady(
    excess: Callable[[float], float], a: float, b: float, left: float, right: float
) -> bool:
    """Whether the sign changes without a jump, as where a check begins to apply."""
    for _ in range(40):
        middle = (a + b) / 2
        height = excess(middle)
        if height == 0:
            return True
        if (height < 0) == (left < 0):
            a, left = middle, height
        else:
            b, right = middle, height
    return abs(left - right) < 1e-6
