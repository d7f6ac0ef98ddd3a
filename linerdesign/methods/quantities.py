"""How much of a wall there is: area, volume, resin and mass; and what stretching leaves of it."""

from __future__ import annotations

import numpy as np

from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation

# Six figures, as every form prints it.
PI = 3.14159
GEOMETRY = {"clause": "geometry", "provenance": Provenance.DERIVED, "source": "geometry"}
CONSTANT_AREA = {
    "clause": "stretch",
    "provenance": Provenance.DERIVED,
    "source": "the wall of a stretched tube keeps its area",
}
EXCESS = tuple(
    Limit(Condition(holds), Severity.CAUTION, "design.unusual_resin_excess")
    for holds in (lambda x_resin: x_resin >= 5, lambda x_resin: x_resin <= 10)
)


@equation("wall area", result="A_wall", **GEOMETRY)
def wall_area(D, t):
    """Area of the wall in a section.

    >>> round(wall_area(200.0, 6.0), 1)
    3656.8
    """
    return PI * (D - t) * t


@equation("tube length", result="L_tube", **GEOMETRY)
def tube_length(L_pipe, L_extra):
    """Length of tube, with what is left over at the ends."""
    return L_pipe + L_extra


@equation("wall volume", result="V_wall", system="US", **GEOMETRY)
def wall_volume_us(A_wall, L_tube):
    """Volume of the wall over the length of the tube."""
    return A_wall / 144 * L_tube


@equation("wall volume", result="V_wall", system="SI", **GEOMETRY)
def wall_volume_si(A_wall, L_tube):
    """Volume of the wall over the length of the tube."""
    return A_wall / 1000000 * L_tube


@equation(
    "resin volume",
    result="V_resin",
    clause="wet-out",
    provenance=Provenance.PRACTICE,
    source="resin by its share of the wall by volume, and an excess of 5 to 10 % (section 7.2 "
    "of the standard, as a supplier quotes it)",
    limits=EXCESS,
)
def resin_volume(V_wall, x_share, x_resin):
    """Resin by its share of the wall by volume, with the excess."""
    return V_wall * (x_share / 100) * (1 + x_resin / 100)


@equation("resin measure", result="V_mix", system="US", **GEOMETRY)
def resin_measure_us(V_resin):
    """Volume of the mixed resin in gallons; 231 cubic inches to the gallon."""
    return V_resin * 1728 / 231


@equation("resin measure", result="V_mix", system="SI", **GEOMETRY)
def resin_measure_si(V_resin):
    """Volume of the mixed resin in litres."""
    return V_resin * 1000


@equation(
    "roller gap",
    result="g_roller",
    clause="wet-out",
    provenance=Provenance.PRACTICE,
    source="two walls of the flat tube; set by a trial length",
)
def roller_gap(t):
    """Gap of the wet-out rollers to begin with."""
    return 2 * t


@equation("mass per length", result="m_length", system="US", **GEOMETRY)
def mass_per_length_us(A_wall, rho):
    """Mass of the cured wall per length."""
    return A_wall / 144 * rho


@equation("mass per length", result="m_length", system="SI", **GEOMETRY)
def mass_per_length_si(A_wall, rho):
    """Mass of the cured wall per length."""
    return A_wall / 1000000 * rho


@equation("mass", result="m_total", **GEOMETRY)
def total_mass(m_length, L_tube):
    """Mass of the cured wall over the length of the tube."""
    return m_length * L_tube


@equation("resin mass", result="m_resin", **GEOMETRY)
def resin_mass(V_resin, rho_resin):
    """Mass of the mixed resin."""
    return V_resin * rho_resin


@equation("mix, resin", result="m_base", **GEOMETRY)
def mix_of_resin(m_resin, x_mix):
    """Mass of the resin in the mix, of the other parts to 100 parts of it by mass.

    >>> mix_of_resin(125.0, 25.0)
    100.0
    """
    return 100 * m_resin / (100 + x_mix)


@equation("mix, other", result="m_hardener", **GEOMETRY)
def mix_of_hardener(m_resin, m_base):
    """Mass of hardener, catalyst and fillers in the mix."""
    return m_resin - m_base


@equation(
    "weight to handle",
    result="m_wet",
    clause="wet-out",
    provenance=Provenance.DERIVED,
    source="the wall as cured, and the resin excess at the density of the wall",
)
def wet_mass(m_total, x_share, x_resin):
    """Mass of the wet tube.

    >>> round(wet_mass(1000.0, 80.0, 10.0), 9)
    1080.0
    """
    return m_total * (1 + x_share * x_resin / 10000)


@equation("weight to handle, by parts", result="m_wet", **GEOMETRY)
def wet_mass_of_parts(m_resin, m_tube):
    """Mass of the wet tube, where resin and dry tube each have their own.

    >>> wet_mass_of_parts(900.0, 150.0)
    1050.0
    """
    return m_resin + m_tube


@equation("stretch at mid-wall", result="t_mid", **CONSTANT_AREA)
def stretched_by_mean_diameter(t_tube, D_tube, D_wide):
    """Thickness after stretch, the diameters taken at mid-wall.

    >>> stretched_by_mean_diameter(6.0, 3.0, 4.0)
    4.5
    """
    return t_tube * D_tube / D_wide


@equation("stretch outside", result="t_out", **CONSTANT_AREA)
def stretched_by_outside_diameter(t_tube, D_tube, D_wide):
    """Thickness after stretch, the diameters taken outside the wall.

    The smaller root of t (D_wide - t) = t_tube (D_tube - t_tube), written without cancellation.
    """
    A = t_tube * (D_tube - t_tube)
    return 2 * A / (D_wide + np.sqrt(D_wide**2 - 4 * A))
