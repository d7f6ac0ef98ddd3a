"""The live load by the other methods for the same vehicle, and where it would take more wall."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.methods.equation import Severity
from linerdesign.methods.f1216.basis import Basis, requirement
from linerdesign.methods.f1216.load_lines import (
    DEFAULTS,
    E_80,
    FIXED,
    GIVEN,
    H_20,
    HL_93,
    IN_PSI,
    OLDER_RULE,
    RAILWAY,
    live_load_lines,
)
from linerdesign.methods.lines import Line, run
from linerdesign.methods.symbols import SYMBOLS

SAME_VEHICLE = ((HL_93, H_20, OLDER_RULE), (E_80, RAILWAY))
# Published methods differ by a fifth as a matter of course; and a wall that is a hundredth
# thicker is within what anybody rounds.
MORE_LOAD, MORE_WALL = 0.2, 0.01
NOT_INTERCHANGEABLE = "the methods are not interchangeable"


@dataclass(frozen=True)
class OtherLoad:
    """Another method: its live load, the thickness that it would require, and where that matters.

    In the units of the sheet; numbers of one pipe or arrays of many.
    """

    method: str
    load: Any
    required: Any
    matters: Any

    @property
    def in_words(self) -> str:
        """What to say of many pipes at once."""
        return (
            f"live load by {self.method} is over a fifth greater at this cover and would require "
            f"a thicker wall: {NOT_INTERCHANGEABLE}"
        )

    def in_numbers(self, basis: Basis, values: Mapping[str, Any]) -> str:
        """What to say of one pipe whose lines gave these values."""
        load, required = float(values["W_s"]), float(values["t_required"])
        more = f"{100 * (self.load / load - 1):.0f} %"
        return (
            f"live load by {self.method} would be {self.load:.3g} {_unit('W_s', basis)}, {more} "
            f"over the {load:.3g} {_unit('W_s', basis)} of {basis.live_load}, and require "
            f"{self.required:.4g} {_unit('t_required', basis)} instead of {required:.4g} "
            f"{_unit('t_required', basis)}: {NOT_INTERCHANGEABLE}"
        )


def other_loads(basis: Basis, values: Mapping[str, Any]) -> Iterator[OtherLoad]:
    """The other methods for the vehicle of this basis, each with its own defaults.

    `values` are those of `requirement`. A method matters where it reaches this cover, its load is
    over a fifth greater, and the wall would be over a hundredth thicker: not where another check
    governs all the same.
    """
    group = next((group for group in SAME_VEHICLE if basis.live_load in group), ())
    given = requirement(replace(basis, live_load=GIVEN, live_load_table=""))
    for method in group:
        if method == basis.live_load:
            continue
        load = _load(method, basis.system, values["H"], values["D"])
        heavier = load > (1 + MORE_LOAD) * values["W_s"]
        if not np.any(heavier):
            continue
        required = run(given, {**values, "W_s": load})["t_required"]
        thicker = required > (1 + MORE_WALL) * values["t_required"]
        yield OtherLoad(method, load, required, heavier & thicker)


def _load(method: str, system: str, cover: Any, diameter: Any) -> Any:
    """Live load of the method, NaN where the cover lies outside it."""
    fixed = {each.key: each.value(system) for each in FIXED.get(method, ())}
    lines = live_load_lines(method, IN_PSI, system)
    found = run(lines, {"H": cover, "D": diameter, **DEFAULTS, **fixed})
    return np.where(_reaches(lines, found), found["W_s"], np.nan)[()]


def _reaches(lines: Iterable[Line], values: Mapping[str, Any]) -> Any:
    conditions = [
        line.condition_tree(limit.holds)
        for line in lines
        for limit in line.equation.limits
        if limit.severity is Severity.OUTSIDE
    ]
    return np.all([tree.evaluate(each, values) for each in conditions], axis=0)


def _unit(key: str, basis: Basis) -> str:
    return SYMBOLS[key].unit(basis.system)
