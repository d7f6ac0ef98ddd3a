"""What errors do to a calculation, where that takes more than a number for a quantity.

Each function takes a case and gives the change that the error makes in it, empty where the case
has no place for it.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import SAME
from linerdesign.expressions.tree import tables
from linerdesign.methods import site
from linerdesign.methods.altered import (
    Case,
    Change,
    Formula,
    Values,
    fixed,
    reading,
    scaled,
    without,
)
from linerdesign.methods.basis import LONG_TERM
from linerdesign.methods.check import Check
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.f1216.basis import EDITION_07A
from linerdesign.methods.f1216.checks import X1_3, X1_3_EARLIER
from linerdesign.methods.lines import Line, line
from linerdesign.methods.units import M_PER_FOOT

# Lines of water pressure and of total pressure: a vacuum has its own line after them.
WATER, TOTAL = ("P", "P_w"), ("q_water", "q_soil", "q_t", "q_e")
# The lines of one check, solved for the thickness and forward.
OF_X1_1, OF_X1_3 = ("t_X1_1", "P_X1_1"), ("t_X1_3", "q_X1_3")
OF_X1_2 = ("t_X1_2", "sigma_allowed")
# One psi in MPa: pound-force in N over square inch in mm2, both exact.
MPA = 4.4482216152605 / 645.16
# What a usual breach makes of a factor: N = 1.5 for 2, K = 10 for 7, 0.4 for Poisson's 0.3, and
# half of the least ovality. Judgement: common practice, no source.
_BREACHES = {
    "safety_factor": ("N", 0.75),
    "enhancement_factor": ("K", 10 / gravity.USUAL_ENHANCEMENT),
    "poisson_ratio": ("nu", 4 / 3),
}
_LESS = 0.5


def _rise(case: Case, values: Values) -> Any:
    """Height of the crown above the invert in the unit of depths."""
    return site.height_of_crown(values[case.basis.crown], case.basis.system)


def ovality_doubled(case: Case) -> Change:
    """The range of diameters over the mean: twice the ovality, before the owner's minimum."""
    own = next((line for line in case.lines if line.result == "q"), None)
    if own is None:
        return {}
    source = own.arguments[0]
    return reading(("q",), **{source: lambda v: 2 * v[source]})


# Editions, conditions, checks


def other_edition(case: Case) -> Change:
    """X1.3 in the form of the other edition."""
    if not case.basis.buried_fully:
        return {}
    check = X1_3 if case.basis.edition == EDITION_07A else X1_3_EARLIER
    lines = (*check.requirement({}), *check.verification({}))
    return {line.result: _in_place(line) for line in lines if line.result in OF_X1_3}


def breach(case: Case, requirement: str, required: Any) -> Change:
    """A usual breach of an owner's requirement, by its key in the criteria."""
    match requirement:
        case "edition":
            return other_edition(case)
        case "x1_2_strength" if required != LONG_TERM:
            return long_term_strength(case)
        case "x1_2_strength":
            return reading(OF_X1_2, sigma_L=lambda v: v["sigma"])
        case "minimum_ovality":
            return {"q": fixed(_LESS * required.number)}
    key, factor = _BREACHES[requirement]
    return {key: scaled(factor)}


def _in_place(line: Line) -> Any:
    return lambda _formula, values: line.value(values)


def partial_for_full(case: Case) -> Change:
    """The lines of a partially deteriorated pipe."""
    if not case.basis.buried_fully or case.basis.internal_pressure:
        return {}
    soil = dict.fromkeys(("R_w", "B", *TOTAL), fixed(np.nan))
    return {**without("t_X1_3", "t_X1_4"), **soil}


def check_skipped(check: Check, case: Case) -> Change:
    """The largest of the other checks; empty where there is no other."""
    largest = next(each for each in case.lines if each.result == "t_required")
    skipped = check.required in largest.arguments and len(largest.arguments) > 1
    return without(check.required) if skipped else {}


# Water and cover


def _above_crown(case: Case) -> Formula:
    return lambda v: np.maximum(v["h_invert"] - _rise(case, v), 0)


def head_from_crown(case: Case) -> Change:
    """The head above the crown in the water pressure, for X1.1 and X1.2."""
    # With the head taken from the crown, water below the crown is no water.
    return _if_read(case, "h_invert", (*WATER, "t_DR_limit"), h_invert=_above_crown(case))


def _if_read(case: Case, key: str, results: tuple[str, ...], **instead: Formula) -> Change:
    """Another quantity in some lines; empty where none of them reads `key`."""
    read = [result for result in results if result in case.readers(key)]
    return reading(read, **instead)


def head_from_crown_in_buckling(case: Case) -> Change:
    """As above, but in X1.1 only."""
    if "P" not in case.readers("h_invert"):
        return {}
    form = case.basis.pick(gravity.groundwater_pressure_us, gravity.groundwater_pressure_si)
    above = _above_crown(case)
    return reading(("t_X1_1",), P=lambda v: form.function(above(v)))


def head_from_invert(case: Case) -> Change:
    """The head above the invert in the buoyancy factor and the total pressure."""
    if not case.has("H_w"):
        return {}
    return {"H_w": lambda _formula, v: np.maximum(v["h_invert"], 0)}


def head_from_invert_in_load(case: Case) -> Change:
    """As above, but not in the buoyancy factor."""
    return _if_read(case, "H_w", TOTAL, H_w=lambda v: np.maximum(v["h_invert"], 0))


def water_depth(case: Case, above: bool) -> Change:
    """The depth of the water below grade in place of its head above the invert."""
    if not case.has("H"):
        return {}
    form = case.basis.pick(site.head_from_surface_us, site.head_from_surface_si)

    # Head from depth and depth from head are the same subtraction.
    def head(v: Values) -> Any:
        depth = form.function(v["H"], v[case.basis.crown], v["h_invert"])
        return depth + (_rise(case, v) if above else 0.0)

    return _other_head(case, head)


def water_depth_in_both(case: Case) -> Change:
    """The same number for the head above the invert and for that above the crown."""
    changed = dict(water_depth(case, above=False))
    if "H_w" in changed:
        form = case.basis.pick(site.head_from_surface_us, site.head_from_surface_si)
        crown = case.basis.crown
        changed["H_w"] = lambda _f, v: np.maximum(form.function(v["H"], v[crown], v["h_invert"]), 0)
    return changed


def _other_head(case: Case, head: Formula) -> Change:
    """Another head wherever the head above the invert is read."""
    if not set(WATER) & set(case.readers("h_invert")):
        return {}
    return reading(case.readers("h_invert"), h_invert=head)


def water_datum(case: Case, higher: bool) -> Change:
    """Every head less, or more, by the height of the pipe: its one datum taken for the other.

    Where no soil presses, the lower one is the head from the crown; where soil presses, the higher
    one is the head from the invert.
    """
    if higher == any(line.result == "H_w" for line in case.lines):
        return {}
    sign = 1 if higher else -1
    return _other_head(case, lambda v: v["h_invert"] + sign * _rise(case, v))


def cover_to_invert(case: Case) -> Change:
    """The depth of the invert as cover, in soil load and support."""
    return _if_read(case, "H", ("R_w", "B", *TOTAL), H=lambda v: v["H"] + _rise(case, v))


# Support and loads


def enhancement_in_soil(case: Case) -> Change:
    """K times E's under the root of X1.3."""
    return _if_read(case, "E_s", OF_X1_3, E_s=lambda v: v["K"] * v["E_s"])


def buoyancy_not_floored(case: Case) -> Change:
    """The buoyancy factor without its minimum of 0.67."""
    return {"R_w": lambda _formula, v: 1 - 0.33 * v["H_w"] / v["H"]} if case.has("R_w") else {}


def other_units(case: Case) -> Change:
    """B' with the constant of the other unit system."""
    other = case.basis.pick(gravity.elastic_support_si, gravity.elastic_support_us)
    return {"B": lambda _formula, v: other.function(v["H"])} if case.has("B") else {}


def other_depths(case: Case) -> Change:
    """B' with the cover in the other unit system: the error of a sheet in those units."""
    factor = M_PER_FOOT if case.basis.system == "US" else 1 / M_PER_FOOT
    return _if_read(case, "H", ("B",), H=lambda v: factor * v["H"])


def soil_modulus_units(case: Case) -> Change:
    """The modulus of soil reaction in N/mm2 taken as psi."""
    return _if_read(case, "E_s", OF_X1_3, E_s=lambda v: MPA * v["E_s"])


def ratio_not_less_one(_case: Case) -> Change:
    """X1.1 with the whole dimension ratio: D/t where D/t - 1 is right."""
    more = reading(("P_X1_1",), DR=lambda v: v["DR"] + 1)
    return {"t_X1_1": lambda f, v: v["D"] / (v["D"] / f(v) - 1), **more}


def ratio_of_bore(_case: Case) -> Change:
    """Each thickness from its dimension ratio as if D were inside the liner."""

    def outside(formula: Formula, values: Values) -> Any:
        return values["D"] / (values["D"] / formula(values) - 2)

    return dict.fromkeys(("t_X1_1", "t_X1_2", "t_X1_3", "t_X1_4"), outside)


def ratio_of_host_outside(case: Case) -> Change:
    """Each thickness from its dimension ratio and the outside diameter of the host."""
    if "t_host" not in case.inputs:
        return {}

    def outside(formula: Formula, values: Values) -> Any:
        return formula(values) * (1 + 2 * values["t_host"] / values["D"])

    return dict.fromkeys(("t_X1_1", "t_X1_2", "t_X1_3", "t_X1_4"), outside)


def long_term_strength(case: Case) -> Change:
    """The long-term strength where the owner's basis takes the short-term one."""
    if "r_sigma" not in case.inputs:
        return {}
    return _if_read(case, "sigma", OF_X1_2, sigma=line(gravity.long_term_strength).value)


def at_station(case: Case, place: int) -> Change:
    """The values of one station all along the pipe."""
    return {key: fixed(v[place]) for key, v in case.inputs.items() if np.ndim(v)}


# Rounding


def rounded_down(case: Case) -> Change:
    """The nominal thickness one increment or size lower."""
    sizes = next((xs for each in case.choice for xs in _sizes(each)), None)
    if sizes is None:
        return {"n_steps": lambda _formula, v: np.floor(v["t_least"] / v["s"] + SAME)}
    known = np.array([0.0, *sizes])

    def below(_formula: Formula, values: Values) -> Any:
        return known[np.searchsorted(known, values["t_least"], side="right") - 1]

    return {"t": below}


def _sizes(each: Line) -> tuple[tuple[float, ...], ...]:
    return tuple(table.xs for table in tables(each.tree))


def required_rounded_down(case: Case) -> Change:
    """The required thickness itself cut to a whole increment."""
    if "s" not in case.inputs:
        return {}
    step = np.max(case.inputs["s"])
    return {"t_required": lambda formula, v: np.floor(formula(v) / step) * step}


def all_thicknesses(case: Case, factor: float) -> Change:
    """The thickness of every check multiplied."""
    largest = next(each for each in case.lines if each.result == "t_required")
    return {key: (lambda formula, v: factor * formula(v)) for key in largest.arguments}
