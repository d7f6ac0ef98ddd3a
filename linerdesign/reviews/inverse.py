"""Which value of one input would give the stated thickness, everything else left as it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from linerdesign.reviews.case import Case, given, outcome

# Where a value is looked for, and where it is plausible: shares of E, of the depth of the invert,
# or plain numbers; stress in psi and depths in ft. Judgement: common practice, no source.
_PSI = {"US": 1.0, "SI": 0.006894757293168361}
_FT = {"US": 1.0, "SI": 0.3048}


@dataclass(frozen=True)
class Instead:
    """A value of one input that would give the stated thickness, in the unit of the sheet."""

    key: str
    value: float
    now: float
    plausible: bool
    why: str


@dataclass(frozen=True)
class _Range:
    key: str
    search: tuple[float, float]
    plausible: tuple[float, float]
    why: str


def instead(case: Case, thickness: float) -> tuple[Instead, ...]:
    """For each input that can do so alone, the nearest value that gives the thickness.

    The pipe is taken at its worst station. Those that are plausible come first.
    """
    right = outcome(case)
    if right is None:
        return ()
    alone = _at_worst_station(case, right)
    found = []
    for each in _ranges(case.basis.system, right):
        value = _nearest(alone, each, thickness, right[each.key])
        if value is not None:
            low, high = each.plausible
            likely = bool(low <= value <= high)
            found.append(Instead(each.key, value, float(right[each.key]), likely, each.why))
    return tuple(sorted(found, key=lambda each: not each.plausible))


def _at_worst_station(case: Case, right: dict[str, float]) -> Case:
    return Case(
        case.basis, case.lines, case.choice, {key: float(right[key]) for key in case.inputs}
    )


def _ranges(system: str, right: dict[str, float]) -> Iterator[_Range]:
    psi, ft = _PSI[system], _FT[system]
    modulus = right["E"]
    yield _Range(
        "E_L",
        (0.02 * modulus, 2 * modulus),
        (0.2 * modulus, 0.75 * modulus),
        "20 to 75 % of the initial modulus",
    )
    if "E_s" in right:
        yield _Range("E_s", (20 * psi, 20_000 * psi), (200 * psi, 3000 * psi), "200 to 3000 psi")
    yield _Range("q", (0.0, 30.0), (0.0, 10.0), "up to 10 %")
    ground = (right["H"] if "H" in right else 20 * ft) + (
        right["h_invert"] - right["H_w"] if right.get("H_w", 0) > 0 else 0.0
    )
    yield _Range("h_invert", (0.01 * ft, 200 * ft), (0.0, ground), "not over the ground")
    if "H" in right and "q_t" in right:
        yield _Range("H", (0.5 * ft, 200 * ft), (2 * ft, 50 * ft), "2 to 50 ft")
    yield _Range("N", (0.2, 10.0), (1.0, 3.0), "1 to 3")


def _nearest(case: Case, about: _Range, thickness: float, now: float) -> float | None:
    """The root nearest to the present value, between neighbours where the sign changes."""
    from scipy.optimize import brentq

    low, high = about.search
    places = np.linspace(low, high, 61) if low == 0 else np.geomspace(low, high, 121)

    def excess(value: float) -> float:
        found = outcome(given(case, **{about.key: value}))
        return np.nan if found is None else float(found["t_required"]) - thickness

    heights = [excess(float(place)) for place in places]
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
