"""What a reader must know of the numbers by Appendix X1, beside the ranges of its equations."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.expressions.tolerance import over
from linerdesign.findings import Severity
from linerdesign.methods.basis import GIVEN, Basis
from linerdesign.methods.f1216.basis import requirement
from linerdesign.methods.ground.load_lines import (
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
from linerdesign.methods.method import choice_of_thickness
from linerdesign.methods.raised import Alternative, Raised, Written
from linerdesign.methods.thickness import both_units

Values = Mapping[str, Any]
SAME_VEHICLE = ((HL_93, H_20, OLDER_RULE), (E_80, RAILWAY))


def findings(basis: Basis, values: Values) -> Iterator[Raised]:
    """Every finding about the numbers of these pipes: values as `engine.design` gives them."""
    for other in alternatives(basis, values):
        # A wall to check stays as it is, so there what is required counts.
        wall = other.required if basis.thickness_given else other.nominal
        thicker = over(wall, values["t"])
        numbers = {
            "rule": other.rule,
            "vehicle": basis.live_load,
            "nominal": Written(wall, _thickness(basis)),
            "now": Written(values["t"], _thickness(basis)),
        }
        where = thicker & other.reaches
        inventory = "f1216.other_load_inventory"
        yield Raised("f1216.other_load", where, numbers, inventory=inventory, of_pipe=True)


def alternatives(basis: Basis, values: Values) -> Iterator[Alternative]:
    """The other published rules for the vehicle of this basis, each with its own defaults.

    Where a rule does not reach the cover of a station, the load of the basis stays there.
    """
    if not basis.buried_fully:
        return
    group = next((group for group in SAME_VEHICLE if basis.live_load in group), ())
    given = replace(basis, live_load=GIVEN)
    for rule in group:
        if rule == basis.live_load:
            continue
        load = _load(rule, basis.system, values["H"], values["D"])
        used = np.where(np.isfinite(load), load, values["W_s"])
        required = run(requirement(given), {**values, "W_s": used})["t_required"]
        thickest = np.max(np.atleast_1d(required), axis=-1, keepdims=True)
        lines = choice_of_thickness(given)
        nominal = run(lines, {**values, "t_required": thickest})["t"]
        reaches = np.any(np.atleast_1d(np.isfinite(load)), axis=-1, keepdims=True)
        yield Alternative(rule, load, thickest, nominal, reaches)


def _thickness(basis: Basis) -> Callable[[float], str]:
    return lambda value: both_units(value, basis.system)


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
