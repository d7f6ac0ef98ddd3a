"""The lines of Appendix X1 that a basis leads to, and the checks that a wall must pass."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import chain

from linerdesign.methods import selection, site
from linerdesign.methods.basis import FULLY, LONG_TERM, Basis
from linerdesign.methods.check import Check
from linerdesign.methods.equation import Condition
from linerdesign.methods.f1216 import gravity, ovality, pressure
from linerdesign.methods.f1216.checks import (
    DR_LIMIT,
    DR_LIMIT_DRY_CASE,
    OVAL,
    OVAL_UNDER_WATER,
    WATER,
    X1_1,
    X1_1_VACUUM,
    X1_2,
    X1_2_VACUUM,
    X1_3,
    X1_3_EARLIER,
    X1_4,
    X1_5,
    X1_6,
    X1_7,
    X1_7_BY_HOLE,
)
from linerdesign.methods.ground.load_lines import live_load_lines
from linerdesign.methods.ground.soil_lines import soil_lines
from linerdesign.methods.lines import Line, line

EDITION_07B, EDITION_07A = "F1216-07b", "F1216-07a"


def requirement(basis: Basis) -> tuple[Line, ...]:
    """Lines from the inputs of one station to the thickness that it requires."""
    checks = checks_of(basis)
    return (
        *_ovality(basis),
        *_site(basis),
        *_reduction(basis),
        *_material(basis),
        *_loads(basis),
        *_pressure(basis),
        *_once(chain.from_iterable(c.requirement(_strength(basis, c)) for c in checks)),
        line(selection.thickest(*dict.fromkeys(check.required for check in checks))),
    )


def verification(basis: Basis) -> tuple[Line, ...]:
    """Lines that put the nominal thickness back into every equation, at one station."""
    inertia = (line(gravity.wall_inertia),) if basis.buried_fully else ()
    forward = (check.verification(_strength(basis, check)) for check in checks_of(basis))
    return (line(gravity.dimension_ratio), *inertia, *_once(chain.from_iterable(forward)))


def in_parts(basis: Basis, lines: Iterable[Line]) -> Iterator[Line]:
    """The line of the total external pressure as water, soil, and the sum with the live load."""
    for each in lines:
        if each.equation in (gravity.total_pressure_us, gravity.total_pressure_si):
            yield line(basis.pick(gravity.water_load_us, gravity.water_load_si))
            yield line(basis.pick(gravity.soil_load_us, gravity.soil_load_si))
            yield replace(each, equation=gravity.total_of_parts)
        else:
            yield each


def checks_of(basis: Basis) -> tuple[Check, ...]:
    """The checks of a condition; each may still not apply, by its own condition."""
    outside = (X1_1_VACUUM, X1_2_VACUUM) if basis.vacuum else (X1_1, X1_2)
    checks: tuple[Check, ...] = outside if basis.pressed_from_outside else ()
    if not basis.above_ground:
        dry_case = basis.dry_case and not basis.internal_pressure
        checks = (*checks, DR_LIMIT_DRY_CASE if dry_case else DR_LIMIT)
    if basis.buried_fully:
        checks = (*checks, X1_3_EARLIER if basis.edition == EDITION_07A else X1_3, X1_4)
    if not basis.internal_pressure:
        return checks
    if basis.condition == FULLY:
        return (*checks, X1_7)
    return (*checks, X1_5, X1_6, X1_7_BY_HOLE)


def _once(lines: Iterable[Line]) -> tuple[Line, ...]:
    """Each line once, where checks share them."""
    return tuple(dict.fromkeys(lines))


def _ovality(basis: Basis) -> tuple[Line, ...]:
    if not basis.pressed_from_outside:
        return ()
    forms = {"D_max": ovality.ovality_from_maximum, "D_min": ovality.ovality_from_minimum}
    given = [key for key in basis.ovality if key in forms]
    lines = [line(forms[key]) for key in given]
    source = "q_pipe"
    if len(given) == 2:
        lines.append(line(ovality.larger_ovality))
    elif given:
        source = lines[0].result
    return (*lines, line(ovality.design_ovality, {"q_pipe": source}))


def _reduction(basis: Basis) -> tuple[Line, ...]:
    """The ovality reduction factor, where anything presses on the liner from outside."""
    if not basis.pressed_from_outside:
        return ()
    return (line(ovality.ovality_reduction, when=_when_pressed(basis)),)


def _when_pressed(basis: Basis) -> Condition | None:
    """When anything presses on the liner from outside; none where something always does."""
    return None if basis.buried_fully or basis.vacuum else WATER


def _site(basis: Basis) -> tuple[Line, ...]:
    """Water and cover from the datums given to those of the standard."""
    if basis.above_ground:
        return ()
    crown = {"D_crown": basis.crown}
    lines = [line(site.crown_rise)] if basis.host_wall else []
    if "z_ground" in basis.cover:
        lines.append(line(site.invert_depth))
    if basis.cover and "H" not in basis.cover:
        lines.append(line(basis.pick(site.cover_us, site.cover_si), crown))
    if "h_crown" in basis.water:
        lines.append(line(basis.pick(site.head_from_crown_us, site.head_from_crown_si), crown))
    elif "d_water" in basis.water:
        form = basis.pick(site.head_from_surface_us, site.head_from_surface_si)
        lines.append(line(form, crown))
    elif "z_water" in basis.water:
        lines.append(line(site.head_from_elevation))
    if basis.buried_fully:
        form = basis.pick(site.head_above_crown_us, site.head_above_crown_si)
        lines.append(line(form, crown))
    return tuple(lines)


def _material(basis: Basis) -> tuple[Line, ...]:
    by_hole = basis.internal_pressure and basis.condition != FULLY
    pressed = _when_pressed(basis)
    modulus = (line(gravity.long_term_modulus, when=pressed),) if basis.pressed_from_outside else ()
    long_term = basis.strength == LONG_TERM and basis.pressed_from_outside
    bent = None if by_hole else OVAL if basis.vacuum else OVAL_UNDER_WATER
    strength = (line(gravity.long_term_strength, when=bent),) if long_term or by_hole else ()
    tensile = (line(pressure.long_term_tensile_strength),) if basis.internal_pressure else ()
    return (*modulus, *strength, *tensile)


def _strength(basis: Basis, check: Check) -> dict[str, str]:
    """Puts the initial strength for the long-term one in X1.2, where the owner's basis says so."""
    short_term = basis.strength != LONG_TERM and check in (X1_2, X1_2_VACUUM)
    return {"sigma_L": "sigma"} if short_term else {}


def _loads(basis: Basis) -> tuple[Line, ...]:
    if not basis.pressed_from_outside:
        return ()
    if basis.above_ground:
        return (line(pressure.vacuum_alone),)
    form = basis.pick(gravity.groundwater_pressure_us, gravity.groundwater_pressure_si)
    water: tuple[Line, ...] = (line(form),)
    if basis.vacuum:
        water = (line(form, {"P": "P_w"}), line(pressure.external_pressure))
    return (*water, *_soil(basis)) if basis.buried_fully else water


def _soil(basis: Basis) -> tuple[Line, ...]:
    """Lines to the total pressure of water, soil and live load, and to the soil's support."""
    live = live_load_lines(basis.live_load, basis.live_load_table, basis.system)
    has_feet = any(each.result == "H_ft" for each in live)
    form = basis.pick(gravity.total_pressure_us, gravity.total_pressure_si)
    total: tuple[Line, ...] = (line(form),)
    if basis.vacuum:
        total = (line(form, {"q_t": "q_e"}), line(pressure.total_pressure_with_vacuum))
    return (
        line(gravity.buoyancy_factor),
        line(basis.pick(gravity.elastic_support_us, gravity.elastic_support_si)),
        *live,
        *total,
        *soil_lines(basis.soil_by_depth, basis.combining, basis.host_wall, basis.system, has_feet),
    )


def _pressure(basis: Basis) -> tuple[Line, ...]:
    """What X1.5, X1.6 and X1.7 each ask for, before one of them is found to rule."""
    if not basis.internal_pressure or basis.condition == FULLY:
        return ()
    return (
        line(pressure.hole_thickness),
        line(pressure.plate_thickness),
        line(pressure.tension_thickness),
    )
