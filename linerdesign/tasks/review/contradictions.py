"""Where a submittal contradicts itself, or states a value that belongs elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from linerdesign.documents.numbers import both_units, factor
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tolerance import under
from linerdesign.methods.altered import Case, case_of, fixed, outcome
from linerdesign.methods.method import checks_of
from linerdesign.methods.site import height_of_crown
from linerdesign.methods.sizing import other_condition
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.tasks.review.digits import figures
from linerdesign.tasks.review.replay import HERE, ReplayedLine
from linerdesign.tasks.review.submittal import Item, Submittal
from linerdesign.words import sentence

# A factor stated to one decimal is not contradicted by less than this share.
FACTOR = 0.025
# Figures from which a number that is ours elsewhere is no coincidence.
TELLING = 1e-3
# What the total external pressure is made of: its parts, or the values behind them.
PARTS, BEHIND = ("q_water", "q_soil", "W_s"), ("H_w", "H", "w", "R_w", "W_s")


@dataclass(frozen=True)
class Contradiction:
    """Stated items that can't all be right. `unsafe` where the wall may be too thin by it."""

    items: tuple[str, ...]
    text: str
    unsafe: bool = False


def contradictions(
    submittal: Submittal, theirs: Case, replayed: Sequence[ReplayedLine]
) -> tuple[Contradiction, ...]:
    """Every contradiction inside one pipe's stated values."""
    return (
        *_stated_twice(submittal.items),
        *_required_and_checks(submittal, theirs),
        *_sum_of_loads(replayed, theirs),
        *_depths(submittal, theirs),
        *_nominal(submittal),
        *_governing(submittal, theirs),
        *_factor(submittal, theirs),
        *_pressure_class(submittal, theirs),
        *_elsewhere(submittal, theirs, replayed),
    )


def _stated_twice(items: Sequence[Item]) -> Iterator[Contradiction]:
    """One quantity stated twice, as in mm and in inches."""
    for one, other in combinations(items, 2):
        apart = abs(one.value - other.value) > one.half + other.half
        if one.key == other.key and apart:
            yield Contradiction(
                (one.name, other.name),
                sentence("review.stated twice", one=_said(one), other=_said(other)),
                unsafe=one.key in ("t", "t_required"),
            )


def _said(item: Item) -> str:
    return f"{item.label} {item.stated}"


def _required_and_checks(submittal: Submittal, theirs: Case) -> Iterator[Contradiction]:
    """The required thickness against the largest of those stated for the checks."""
    required = submittal.item("t_required")
    keys = {check.required for check in checks_of(theirs.basis)}
    stated = [item for item in submittal.items if item.key in keys]
    if required is None or not stated:
        return
    largest = max(stated, key=lambda item: item.value)
    # Each number may have been any that it is the rounding of.
    less = required.value + required.half < max(item.value - item.half for item in stated)
    more = required.value - required.half > max(item.value + item.half for item in stated)
    if less or (more and keys <= {item.key for item in stated}):
        yield Contradiction(
            (required.name, largest.name),
            sentence(
                "review.required and checks", required=_said(required), largest=_said(largest)
            ),
            unsafe=less,
        )


def _sum_of_loads(replayed: Sequence[ReplayedLine], theirs: Case) -> Iterator[Contradiction]:
    """The parts of the total external pressure against their sum, where all are stated."""
    keys = {each.item.key for each in replayed}
    wanted = BEHIND if keys.isdisjoint(("q_water", "q_soil")) else PARTS
    if any(key not in keys and np.any(theirs.inputs.get(key, 1.0)) for key in wanted):
        return
    parts = [each.item for each in replayed if each.item.key in wanted]
    for each in replayed:
        if each.item.key == "q_t" and each.cause == HERE and each.expected:
            yield Contradiction(
                (each.item.name, *(item.name for item in parts)),
                sentence("review.sum of loads", summed=each.item.shown(each.expected)),
                unsafe=each.item.value < each.expected,
            )


def _depths(submittal: Submittal, theirs: Case) -> Iterator[Contradiction]:
    """Cover that equals the depth to the invert, head that equals the depth to water."""
    ours = outcome(case_of(submittal.ours)) or {}
    if not {"H", "h_invert"} <= ours.keys():
        return
    high = float(height_of_crown(ours[theirs.basis.crown], theirs.basis.system))
    unit = SYMBOLS["H"].unit(theirs.basis.system)
    to_invert, to_water = ours["H"] + high, ours["H"] + high - ours["h_invert"]
    taken = (outcome(theirs) or {}) | {item.key: item.value for item in submittal.items}
    for key, other, code in (
        ("H", to_invert, "cover is invert depth"),
        ("h_invert", to_water, "head is depth to water"),
        ("H_w", ours["h_invert"], "head above crown is above invert"),
    ):
        if key in taken and key in ours and _only_other(taken[key], other, ours[key]):
            text = sentence(f"review.{code}", value=f"{positional(taken[key], 4)} {unit}")
            yield Contradiction((submittal.name_of(key),), text, unsafe=key == "h_invert")
    stated = {item.key: item for item in submittal.items}
    if "h_invert" in stated and "H_w" in stated and stated["H_w"].value > 0:
        expected = max(stated["h_invert"].value - high, 0.0)
        half = stated["h_invert"].half + stated["H_w"].half
        if abs(stated["H_w"].value - expected) > half:
            above_crown, above_invert = stated["H_w"], stated["h_invert"]
            yield Contradiction(
                (above_invert.name, above_crown.name),
                sentence(
                    "review.heads differ",
                    invert=above_invert.stated,
                    crown=above_crown.stated,
                    rise=f"{positional(high, 4)} {unit}",
                ),
            )


def _only_other(taken: float, other: float, ours: float) -> bool:
    """Whether a value is another one than ours, and not ours."""
    return other > 0 and _alike(taken, other) and not _alike(taken, ours)


def _alike(one: float, other: float) -> bool:
    return abs(one - other) <= TELLING * max(abs(one), abs(other))


def _nominal(submittal: Submittal) -> Iterator[Contradiction]:
    """The nominal thickness against the required one and against their own increment."""
    nominal, required = submittal.item("t"), submittal.item("t_required")
    if nominal is None:
        return
    if required is not None and nominal.value + nominal.half < required.value - required.half:
        yield Contradiction(
            (nominal.name, required.name),
            sentence(
                "review.nominal under required", nominal=nominal.stated, required=required.stated
            ),
            unsafe=True,
        )
    step = submittal.stated.thickness_step
    if step is not None:
        size = step.to(nominal.unit)
        off = abs(nominal.value - size * round(nominal.value / size))
        rounding = nominal.half if nominal.stated.unit != step.unit else 1e-6 * size
        if off > rounding:
            yield Contradiction(
                (nominal.name, "thickness_step"),
                sentence("review.nominal and increment", nominal=nominal.stated, step=step),
            )


def _governing(submittal: Submittal, theirs: Case) -> Iterator[Contradiction]:
    """The equation called governing against the largest of the thicknesses stated."""
    named = submittal.stated.governing.strip()
    checks = {check.required: check.equation for check in checks_of(theirs.basis)}
    stated = [item for item in submittal.items if item.key in checks]
    if not named or len(stated) < 2:
        return
    largest = max(stated, key=lambda item: item.value)
    own = next((item for item in stated if checks[item.key] == named), None)
    if own is not None and own.value + own.half < largest.value - largest.half:
        yield Contradiction(
            ("governing", largest.name),
            sentence("review.governing", named=named, own=own.stated, largest=_said(largest)),
        )


def _factor(submittal: Submittal, theirs: Case) -> Iterator[Contradiction]:
    """The safety factor stated against what their wall provides with their own values."""
    stated, nominal = submittal.stated.safety_factor, submittal.item("t")
    if stated is None or nominal is None:
        return
    found = _with_own_values(submittal, theirs, nominal.value)
    provided = [found[c.safety] for c in checks_of(theirs.basis) if c.safety in found]
    least = min((value for value in provided if value > 0), default=np.inf)
    if least < stated * (1 - FACTOR):
        text = sentence(
            "review.safety factor",
            stated=positional(stated),
            provided=factor(least),
            wall=both_units(nominal.value, theirs.basis.system),
        )
        yield Contradiction(("safety_factor", nominal.name), text, unsafe=True)


def _with_own_values(submittal: Submittal, theirs: Case, wall: float) -> dict[str, float]:
    """What a wall gives in the checks with the values that the submittal states."""
    keys = {line.result for line in theirs.lines} | theirs.inputs.keys()
    own: dict[str, Any] = {
        item.key: fixed(item.value)
        for item in submittal.items
        if item.key in keys and item.key != "t_required"
    }
    return outcome(theirs, wall, (own,)) or {}


def _pressure_class(submittal: Submittal, theirs: Case) -> Iterator[Contradiction]:
    """The pressure class against the owner's internal pressure, and against the stated wall."""
    stated, nominal = submittal.stated.pressure_class, submittal.item("t")
    if stated is None:
        return
    basis = submittal.ours.basis
    rated = stated.to(SYMBOLS["P_i"].unit(basis.system))
    demand = max(each.values.get("P_i", 0.0) for each in submittal.ours.stations)
    if under(rated, demand):
        shown = f"{positional(demand, 4)} {SYMBOLS['P_i'].unit(basis.system)}"
        text = sentence("review.class under pressure", stated=stated, pressure=shown)
        yield Contradiction(("pressure_class", "internal_pressure"), text, unsafe=True)
    if nominal is None:
        return
    found = _with_own_values(submittal, theirs, nominal.value)
    borne = [found[c.capacity] for c in checks_of(theirs.basis) if c.demand == "P_i"]
    if borne and min(borne) < rated * (1 - FACTOR):
        text = sentence(
            "review.class over wall",
            stated=stated,
            wall=both_units(nominal.value, basis.system),
            borne=f"{positional(min(borne), 4)} {SYMBOLS['P_i'].unit(basis.system)}",
        )
        yield Contradiction(("pressure_class", nominal.name), text, unsafe=True)


def _elsewhere(
    submittal: Submittal, theirs: Case, replayed: Sequence[ReplayedLine]
) -> Iterator[Contradiction]:
    """Departing values that are ours at another station or in the other condition."""
    departed = [each.item for each in replayed if each.cause == HERE and figures(each.item) >= 3]
    if not departed:
        return
    for place, values in _other_places(submittal, theirs):
        own = [i for i in departed if i.key in values and abs(values[i.key] - i.value) <= i.half]
        if own:
            code = "review.belongs elsewhere" if len(own) == 1 else "review.belong elsewhere"
            text = sentence(code, items=", ".join(map(_said, own)), place=place)
            yield Contradiction(tuple(item.name for item in own), text)


def _other_places(submittal: Submittal, theirs: Case) -> Iterator[tuple[str, dict[str, float]]]:
    if len(theirs.stations) > 1:
        for place, name in enumerate(theirs.stations):
            yield f"station {name}", outcome(theirs.at(place)) or {}
    other = other_condition(submittal.theirs)
    if other is not None:
        found = outcome(case_of(other)) or {}
        yield (
            f"the {other.basis.condition} condition",
            {key: found[key] for key in ("t_required", "t") if key in found},
        )
