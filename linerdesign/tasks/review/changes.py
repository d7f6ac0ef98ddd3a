"""What slips do to a calculation, where that takes more than a number for a quantity."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import SAME
from linerdesign.expressions.tree import tables
from linerdesign.methods import selection, site
from linerdesign.methods.basis import PARTIALLY
from linerdesign.methods.check import Check
from linerdesign.methods.equation import Condition
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.f1216.basis import EDITION_07A, EDITION_07B
from linerdesign.methods.f1216.checks import X1_3, X1_3_EARLIER
from linerdesign.methods.lines import Line, line
from linerdesign.methods.method import missing_inputs, requirement
from linerdesign.project.measures import convert
from linerdesign.tasks.review.case import Case, altered, own_line, put, rebound

# Ovality


def ovality_doubled(case: Case) -> Case | None:
    """The range of diameters over the mean: twice the ovality, before the owner's floor."""
    return altered(case, "q", lambda formula, q_pipe, q_floor: formula(2 * q_pipe, q_floor))


# Editions, conditions, checks


def other_edition(case: Case) -> Case | None:
    """X1.3 in the form of the other edition."""
    if not case.basis.buried_fully or not case.has("t_X1_3"):
        return None
    earlier = case.basis.edition == EDITION_07A
    check = X1_3 if earlier else X1_3_EARLIER
    basis = replace(case.basis, edition=EDITION_07B if earlier else EDITION_07A)
    return put(replace(case, basis=basis), check.requirement({})[-1])


def partial_for_full(case: Case) -> Case | None:
    """The lines of a partially deteriorated pipe."""
    if not case.basis.buried_fully:
        return None
    basis = replace(case.basis, condition=PARTIALLY)
    if missing_inputs(basis, case.inputs):
        return None
    return replace(case, basis=basis, lines=requirement(basis))


def check_skipped(check: Check, case: Case) -> Case | None:
    """The thickest of the other checks; none where there is no other."""
    thickest = next(each for each in case.lines if each.result == "t_required")
    kept = [key for key in thickest.arguments if key != check.required]
    if len(kept) in (0, len(thickest.arguments)):
        return None
    lines = tuple(each for each in case.lines if each.result != check.required)
    return put(replace(case, lines=lines), line(selection.thickest(*kept)))


# Water and cover


# Lines of water pressure and of total pressure: a vacuum has its own line after them.
_WATER, _TOTAL = ("P", "P_w"), ("q_t", "q_e")


def _line_of(case: Case, results: tuple[str, ...], argument: str) -> str | None:
    """Which of these lines reads the quantity."""
    found = (e.result for e in case.lines if e.result in results and argument in e.arguments)
    return next(found, None)


def _with_head_above_crown(case: Case, water: str) -> Case:
    """The water above the top of the pipe before the line of its pressure."""
    known = next((each for each in case.lines if each.result == "H_w"), None)
    form = case.basis.pick(site.head_above_crown_us, site.head_above_crown_si)
    head = known or line(form, {"D_crown": case.basis.crown})
    others = tuple(each for each in case.lines if each.result != "H_w")
    return put(replace(case, lines=others), head, before=water)


def head_from_crown(case: Case) -> Case | None:
    """The head over the crown in the water pressure, for X1.1 and X1.2."""
    water = _line_of(case, _WATER, "h_invert")
    if water is None or "H_w" in case.inputs:
        return None
    changed = rebound(_with_head_above_crown(case, water), (water,), "h_invert", "H_w")
    if changed is None:
        return None
    # Who takes the head from the crown finds no water where it stands below the crown.
    return _dry_where(changed, Condition(lambda H_w: H_w <= 0))  # noqa: N803


def _dry_where(case: Case, dry: Condition) -> Case:
    """Another condition under which the limit of DR holds in place of X1.1."""
    lines = tuple(
        replace(each, when=dry) if each.result == "t_DR_limit" else each for each in case.lines
    )
    return replace(case, lines=lines)


def head_from_crown_in_buckling(case: Case) -> Case | None:
    """As above, but in X1.1 only."""
    form = case.basis.pick(gravity.groundwater_pressure_us, gravity.groundwater_pressure_si)
    if _line_of(case, ("P",), "h_invert") is None or "H_w" in case.inputs or not case.has("t_X1_1"):
        return None
    pressure = own_line("P_crown", form.function, "H_w")
    with_pressure = put(_with_head_above_crown(case, "P"), pressure, before="t_X1_1")
    return rebound(with_pressure, ("t_X1_1",), "P", "P_crown")


def head_from_invert(case: Case) -> Case | None:
    """The head over the invert in the buoyancy factor and the total pressure."""
    return altered(case, "H_w", lambda formula, h_invert, crown: formula(h_invert, 0 * crown))


def head_from_invert_in_load(case: Case) -> Case | None:
    """As above, but not in the buoyancy factor."""
    load = _line_of(case, _TOTAL, "H_w")
    if load is None:
        return None
    head = own_line("H_w_load", lambda h_invert: np.maximum(h_invert, 0), "h_invert")
    return rebound(put(case, head, before=load), (load,), "H_w", "H_w_load")


def rise(case: Case, crown: Any) -> Any:
    """Height of the pipe in the unit of depths."""
    return site.height_of_crown(crown, case.basis.system)


def water_depth(case: Case, above: bool) -> Case | None:
    """The depth of the water below ground in place of its head over the invert."""
    if not case.has("H"):
        return None
    form = case.basis.pick(site.head_from_surface_us, site.head_from_surface_si)
    crown = case.basis.crown

    # Head from depth and depth from head are the same subtraction.
    def head(h_invert: Any, H: Any, D_crown: Any) -> Any:  # noqa: N803
        return form(H, D_crown, h_invert) + (rise(case, D_crown) if above else 0.0)

    return _other_head(case, own_line("h_slip", head, "h_invert", "H", crown))


def _other_head(case: Case, new: Line) -> Case | None:
    """The head of a line of its own, `h_slip`, wherever the head over the invert stands."""
    if _line_of(case, _WATER, "h_invert") is None:
        return None
    results = [each.result for each in case.lines if "h_invert" in each.arguments]
    first = next(each.result for each in case.lines if each.result in results)
    return rebound(put(case, new, before=first), results, "h_invert", "h_slip")


def water_datum(case: Case, higher: bool) -> Case | None:
    """Every head less, or more, by the height of the pipe: its one datum taken for the other.

    Where no soil presses, the lower one is the head from the crown; where soil presses, the higher
    one is the head from the invert.
    """
    if higher == ("H_w" in {each.result for each in case.lines}):
        return None
    sign = 1 if higher else -1
    new = own_line(
        "h_slip",
        lambda h_invert, crown: h_invert + sign * rise(case, crown),
        "h_invert",
        case.basis.crown,
    )
    changed = _other_head(case, new)
    return changed and _dry_where(changed, Condition(lambda h_slip: h_slip <= 0))


def water_depth_in_both(case: Case) -> Case | None:
    """The same number for the head over the invert and for that over the crown."""
    changed = water_depth(case, above=False)
    return changed and head_from_invert(changed)


def cover_to_invert(case: Case) -> Case | None:
    """The depth of the invert as cover, in soil load and support."""
    if not case.has("R_w"):
        return None
    depth = own_line(
        "H_slip", lambda cover, crown: cover + rise(case, crown), "H", case.basis.crown
    )
    return rebound(put(case, depth, before="R_w"), ("R_w", "B", *_TOTAL), "H", "H_slip")


# Support and loads


def enhancement_in_soil(case: Case) -> Case | None:
    """K times E's under the root of X1.3."""
    if not case.has("t_X1_3"):
        return None
    product = own_line("K_E_s", lambda factor, modulus: factor * modulus, "K", "E_s")
    return rebound(put(case, product, before="t_X1_3"), ("t_X1_3",), "E_s", "K_E_s")


def buoyancy_not_floored(case: Case) -> Case | None:
    """The buoyancy factor without its floor of 0.67."""
    return altered(case, "R_w", lambda _formula, head, cover: 1 - 0.33 * head / cover)


def other_units(case: Case) -> Case | None:
    """B' with the constant of the other unit system."""
    other = case.basis.pick(gravity.elastic_support_si, gravity.elastic_support_us)
    return put(case, line(other)) if case.has("B") else None


def other_depths(case: Case) -> Case | None:
    """B' with the cover in the other unit system: the slip of a sheet in those units."""
    factor = convert(1.0, "ft", "m") if case.basis.system == "US" else convert(1.0, "m", "ft")
    return altered(case, "B", lambda formula, cover: formula(factor * cover))


def ratio_not_less_one(case: Case) -> Case | None:
    """X1.1 solved with the whole dimension ratio: D/t where D/t - 1 stands."""
    return altered(
        case, "t_X1_1", lambda formula, width, *rest: width / (width / formula(width, *rest) - 1)
    )


def long_term_strength(case: Case) -> Case | None:
    """The long-term strength where the owner's basis puts the short-term one."""
    if case.has("sigma_L") or not case.has("t_X1_2"):
        return None
    with_line = put(case, line(gravity.long_term_strength), before="t_X1_2")
    return rebound(with_line, ("t_X1_2",), "sigma", "sigma_L")


# Rounding


def rounded_down(case: Case) -> Case | None:
    """The nominal thickness one step or size lower."""
    return replace(case, choice=tuple(_down(each) for each in case.choice))


def _down(each: Line) -> Line:
    """A line of the choice of thickness that takes the size below and not the one above."""
    sizes = each.result == "t" and [*_sizes(each)]
    if each.result == "n_steps":
        return own_line("n_steps", lambda t_least, s: np.floor(t_least / s + SAME), *each.arguments)
    if sizes:
        return own_line("t", lambda t: max((x for x in sizes if x <= t), default=0.0), "t_least")
    return each


def _sizes(each: Line) -> tuple[float, ...]:
    return next((table.xs for table in tables(each.tree)), ())


def required_rounded_down(case: Case) -> Case | None:
    """The required thickness itself cut to a whole step."""
    if "s" not in case.inputs:
        return None
    step = np.max(case.inputs["s"])
    return altered(case, "t_required", lambda formula, *ts: np.floor(formula(*ts) / step) * step)
