"""What decides the shape of a calculation, and the lines that follow from it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain

from linerdesign.expressions.tree import Table
from linerdesign.methods import selection, site
from linerdesign.methods.equation import Equation
from linerdesign.methods.f1216 import gravity, pressure
from linerdesign.methods.f1216.checks import (
    DR_LIMIT,
    X1_1,
    X1_2,
    X1_3,
    X1_3_EARLIER,
    X1_4,
    X1_5,
    X1_6,
    X1_7,
    X1_7_BY_HOLE,
    Check,
)
from linerdesign.methods.f1216.load_lines import GIVEN, live_load_lines
from linerdesign.methods.f1216.soil_lines import soil_lines
from linerdesign.methods.lines import Line, line

PARTIALLY, FULLY = "partially deteriorated", "fully deteriorated"
EDITION_07B, EDITION_07A = "F1216-07b", "F1216-07a"
LONG_TERM = "long-term"


@dataclass(frozen=True)
class Basis:
    """The choices that are words, not numbers. Two pipes of one basis share every line.

    `water`, `cover` and `ovality` hold the keys of the quantities given: the datums.
    `sizes` are the thicknesses the tube comes in; without them it comes in steps of `s`.
    `live_load` is a method of `design.live_load`, `live_load_table` the handbook it is read from.
    `soil_by_depth` holds soil and compaction where E' comes from the table by depth, and
    `combining` the name of the combining table where native soil counts.
    """

    system: str = "US"
    condition: str = PARTIALLY
    edition: str = EDITION_07B
    strength: str = LONG_TERM
    water: tuple[str, ...] = ("h_invert",)
    cover: tuple[str, ...] = ()
    ovality: tuple[str, ...] = ("q_pipe",)
    host_wall: bool = False
    thickness_given: bool = False
    sizes: Table | None = None
    internal_pressure: bool = False
    vacuum: bool = False
    above_ground: bool = False
    live_load: str = GIVEN
    live_load_table: str = ""
    soil_by_depth: tuple[str, str] | None = None
    combining: str = ""

    @property
    def buried_fully(self) -> bool:
        """Whether soil and live load come on the liner."""
        return self.condition == FULLY and not self.above_ground

    @property
    def pressed_from_outside(self) -> bool:
        """Whether anything can press on the liner from outside."""
        return self.vacuum or not self.above_ground

    @property
    def crown(self) -> str:
        """Key of the rise from the invert to the crown: D where no host wall is given."""
        return "D_crown" if self.host_wall else "D"

    def pick(self, us: Equation, si: Equation) -> Equation:
        """The form of an equation for this basis's unit system."""
        return us if self.system == "US" else si


def requirement(basis: Basis) -> tuple[Line, ...]:
    """Lines from the inputs of one station to the thickness that it requires."""
    checks = checks_of(basis)
    return (
        *_ovality(basis),
        *_site(basis),
        *_material(basis),
        *_loads(basis),
        *_pressure(basis),
        *_once(chain.from_iterable(c.requirement(_strength(basis, c)) for c in checks)),
        line(selection.thickest(*dict.fromkeys(check.required for check in checks))),
    )


def choice_of_thickness(basis: Basis) -> tuple[Line, ...]:
    """Lines from the thickness required at the worst station to the nominal thickness."""
    if basis.thickness_given:
        return ()
    floor = line(selection.floored)
    if basis.sizes:
        return (floor, line(selection.listed(basis.sizes)))
    return (floor, line(selection.steps_needed), line(selection.stepped))


def without_floor(basis: Basis) -> Line:
    """The line that rounds what the equations require, the owner's floor left out.

    It gives the nominal thickness where the sizes are listed, else the number of steps.
    """
    rounding = selection.listed(basis.sizes) if basis.sizes else selection.steps_needed
    return line(rounding, {"t_least": "t_required"})


def verification(basis: Basis) -> tuple[Line, ...]:
    """Lines that put the nominal thickness back into every equation, at one station."""
    inertia = (line(gravity.wall_inertia),) if basis.buried_fully else ()
    forward = (check.verification(_strength(basis, check)) for check in checks_of(basis))
    return (line(gravity.dimension_ratio), *inertia, *_once(chain.from_iterable(forward)))


def checks_of(basis: Basis) -> tuple[Check, ...]:
    """The checks that a condition asks for; each may still not apply, by its own condition."""
    checks: tuple[Check, ...] = (X1_1, X1_2) if basis.pressed_from_outside else ()
    if not basis.above_ground:
        checks = (*checks, DR_LIMIT)
    if basis.buried_fully:
        checks = (*checks, X1_3_EARLIER if basis.edition == EDITION_07A else X1_3, X1_4)
    if not basis.internal_pressure:
        return checks
    if basis.condition == FULLY:
        return (*checks, X1_7)
    return (*checks, X1_5, X1_6, X1_7_BY_HOLE)


@lru_cache(512)
def keys_read(basis: Basis) -> frozenset[str]:
    """The keys that any line or check of this basis reads."""
    lines = (*requirement(basis), *choice_of_thickness(basis), *verification(basis))
    compared = {key for check in checks_of(basis) for key in (check.demand, check.capacity)}
    return frozenset(compared.union(*(line.needs for line in lines)))


def missing_inputs(basis: Basis, known: Collection[str]) -> frozenset[str]:
    """The keys that lines of this basis read, and that neither `known` nor an earlier line gives.

    The thickness is left out: it is chosen on the way.
    """
    missing, given = set(), {*known, "t"}
    for each in (*requirement(basis), *choice_of_thickness(basis), *verification(basis)):
        missing |= set(each.needs) - given
        given.add(each.result)
    return frozenset(missing)


def _once(lines: Iterable[Line]) -> tuple[Line, ...]:
    """Each line once, where checks share them."""
    return tuple(dict.fromkeys(lines))


def _ovality(basis: Basis) -> tuple[Line, ...]:
    if not basis.pressed_from_outside:
        return ()
    forms = {"D_max": site.ovality_from_maximum, "D_min": site.ovality_from_minimum}
    given = [key for key in basis.ovality if key in forms]
    lines = [line(forms[key]) for key in given]
    source = "q_pipe"
    if len(given) == 2:
        lines.append(line(site.larger_ovality))
    elif given:
        source = lines[0].result
    return (*lines, line(site.design_ovality, {"q_pipe": source}), line(site.ovality_reduction))


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
    modulus = (line(gravity.long_term_modulus),) if basis.pressed_from_outside else ()
    long_term = basis.strength == LONG_TERM and basis.pressed_from_outside
    strength = (line(gravity.long_term_strength),) if long_term or by_hole else ()
    tensile = (line(pressure.long_term_tensile_strength),) if basis.internal_pressure else ()
    return (*modulus, *strength, *tensile)


def _strength(basis: Basis, check: Check) -> dict[str, str]:
    """Puts the initial strength for the long-term one in X1.2, where the owner's basis says so."""
    short_term = basis.strength != LONG_TERM and check is X1_2
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
