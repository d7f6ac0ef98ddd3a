"""What decides the shape of a calculation, and the lines that follow from it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import chain

from linerdesign.design.checks import DR_LIMIT, X1_1, X1_2, X1_3, X1_3_EARLIER, X1_4, Check
from linerdesign.design.lines import Line, line
from linerdesign.equations import gravity, selection, site
from linerdesign.equations.equation import Equation
from linerdesign.equations.tree import Table

PARTIALLY, FULLY = "partially deteriorated", "fully deteriorated"
EDITION_07B, EDITION_07A = "F1216-07b", "F1216-07a"


@dataclass(frozen=True)
class Basis:
    """The choices that are words, not numbers. Two pipes of one basis share every line.

    `water`, `cover` and `ovality` hold the keys of the quantities given: the datums.
    `sizes` are the thicknesses the tube comes in; without them it comes in steps of `s`.
    """

    system: str = "US"
    condition: str = PARTIALLY
    edition: str = EDITION_07B
    strength: str = "long-term"
    water: tuple[str, ...] = ("h_invert",)
    cover: tuple[str, ...] = ()
    ovality: tuple[str, ...] = ("q_pipe",)
    host_wall: bool = False
    thickness_given: bool = False
    sizes: Table | None = None

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
        *(check.requirement(_strength(basis)) for check in checks),
        line(selection.thickest(*(check.required for check in checks))),
    )


def choice_of_thickness(basis: Basis) -> tuple[Line, ...]:
    """Lines from the thickness required at the worst station to the nominal thickness."""
    if basis.thickness_given:
        return ()
    floor = line(selection.floored)
    if basis.sizes:
        return (floor, line(selection.listed(basis.sizes)))
    return (floor, line(selection.steps_needed), line(selection.stepped))


def verification(basis: Basis) -> tuple[Line, ...]:
    """Lines that put the nominal thickness back into every equation, at one station."""
    fully = basis.condition == FULLY
    inertia = (line(gravity.wall_inertia),) if fully else ()
    forward = (check.verification(_strength(basis)) for check in checks_of(basis))
    return (line(gravity.dimension_ratio), *inertia, *chain.from_iterable(forward))


def checks_of(basis: Basis) -> tuple[Check, ...]:
    """The checks that a condition asks for; each may still not apply for want of water."""
    if basis.condition == PARTIALLY:
        return (X1_1, X1_2, DR_LIMIT)
    soil = X1_3_EARLIER if basis.edition == EDITION_07A else X1_3
    return (X1_1, X1_2, DR_LIMIT, soil, X1_4)


def _ovality(basis: Basis) -> tuple[Line, ...]:
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
    if basis.condition == FULLY:
        form = basis.pick(site.head_above_crown_us, site.head_above_crown_si)
        lines.append(line(form, crown))
    return tuple(lines)


def _material(basis: Basis) -> tuple[Line, ...]:
    strength = (line(gravity.long_term_strength),) if basis.strength == "long-term" else ()
    return (line(gravity.long_term_modulus), *strength)


def _strength(basis: Basis) -> dict[str, str]:
    """Puts the initial strength for the long-term one, where the owner's basis says so."""
    return {} if basis.strength == "long-term" else {"sigma_L": "sigma"}


def _loads(basis: Basis) -> tuple[Line, ...]:
    water = line(basis.pick(gravity.groundwater_pressure_us, gravity.groundwater_pressure_si))
    if basis.condition != FULLY:
        return (water,)
    return (
        water,
        line(gravity.buoyancy_factor),
        line(basis.pick(gravity.elastic_support_us, gravity.elastic_support_si)),
        line(basis.pick(gravity.total_pressure_us, gravity.total_pressure_si)),
    )
