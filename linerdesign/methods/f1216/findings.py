"""What a reader must know of the numbers by Appendix X1, beside the ranges of its equations."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.findings import Severity
from linerdesign.methods.basis import GIVEN, Basis
from linerdesign.methods.f1216.basis import requirement
from linerdesign.methods.f1216.load_lines import (
    DEFAULTS,
    E_80,
    FIXED,
    H_20,
    HL_93,
    IN_PSI,
    OLDER_RULE,
    RAILWAY,
    live_load_lines,
)
from linerdesign.methods.lines import Line, run
from linerdesign.methods.raised import Raised, Written
from linerdesign.methods.symbols import SYMBOLS

Values = Mapping[str, Any]
SAME_VEHICLE = ((HL_93, H_20, OLDER_RULE), (E_80, RAILWAY))
# Published methods differ by a fifth as a matter of course; and a wall that is a hundredth
# thicker is within what anybody rounds.
MORE_LOAD, MORE_WALL = 0.2, 0.01
NOT_INTERCHANGEABLE = "the methods are not interchangeable"


def findings(basis: Basis, values: Values) -> Iterator[Raised]:
    """Every finding about the numbers of these pipes: values as `engine.design` gives them."""
    if basis.buried_fully:
        yield from _other_loads(basis, values)


def _other_loads(basis: Basis, values: Values) -> Iterator[Raised]:
    """The other rules for the vehicle of this basis, each with its own defaults.

    A rule matters where it reaches this cover, its load is over a fifth greater, and the wall
    would be over a hundredth thicker: not where another check governs all the same.
    """
    group = next((group for group in SAME_VEHICLE if basis.live_load in group), ())
    given = requirement(replace(basis, live_load=GIVEN, live_load_table=""))
    load, thickness = SYMBOLS["W_s"].unit(basis.system), SYMBOLS["t"].unit(basis.system)
    taken, now = values["W_s"], values["t_required"]
    for rule in group:
        if rule == basis.live_load:
            continue
        other = _load(rule, basis.system, values["H"], values["D"])
        heavier = other > (1 + MORE_LOAD) * taken
        if not np.any(heavier):
            continue
        required = run(given, {**values, "W_s": other})["t_required"]
        numbers = {
            "method": rule,
            "vehicle": basis.live_load,
            "load": Written(other, lambda value: f"{value:.3g} {load}"),
            "taken": Written(taken, lambda value: f"{value:.3g} {load}"),
            "more": Written(100 * (other / taken - 1), lambda value: f"{value:.0f} %"),
            "required": Written(required, lambda value: f"{value:.4g} {thickness}"),
            "required_now": Written(now, lambda value: f"{value:.4g} {thickness}"),
        }
        where = heavier & (required > (1 + MORE_WALL) * now)
        yield Raised("f1216.other_load", where, numbers, inventory="f1216.other_load_inventory")


def _load(method: str, system: str, cover: Any, diameter: Any) -> Any:
    """Live load of the method, NaN where the cover lies outside it."""
    fixed = {each.key: each.value(system) for each in FIXED.get(method, ())}
    lines = live_load_lines(method, IN_PSI, system)
    found = run(lines, {"H": cover, "D": diameter, **DEFAULTS, **fixed})
    return np.where(_reaches(lines, found), found["W_s"], np.nan)


def _reaches(lines: Iterable[Line], values: Mapping[str, Any]) -> Any:
    conditions = [
        line.condition_tree(limit.holds)
        for line in lines
        for limit in line.equation.limits
        if limit.severity is Severity.OUTSIDE
    ]
    return np.all([tree.evaluate(each, values) for each in conditions], axis=0)
