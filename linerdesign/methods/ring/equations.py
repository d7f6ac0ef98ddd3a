"""Collapse of an elastic ring in a rigid, frictionless cavity: closed forms, a second opinion on K.

The liner's diameter at mid-wall is D - t, so that DR - 1 is that diameter over the thickness.
Lengths, pressures and moduli may be in any one system. Pressures are those of collapse, without a
safety factor. `docs/buckling.md` derives what is marked as derived.
"""

from __future__ import annotations

import numpy as np

from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation
from linerdesign.methods.quantities import PI

THEORY = {"clause": "encased ring"}
DERIVED = {**THEORY, "provenance": Provenance.DERIVED}
LOBE = {
    **DERIVED,
    "source": "least energy of cos^2 lobes; the shortening of the wall by a gap added",
}
NARROW = Limit(Condition(lambda phi_lobe: phi_lobe <= 50), Severity.CAUTION, "ring.wide_lobe")


# Without support, and Glock


@equation(
    "plane strain", result="E_plane", source="a long pipe can't shorten along its axis", **DERIVED
)
def plane_strain_modulus(E_L, nu):
    """Long-term modulus of a wall that is kept from straining along the pipe."""
    return E_L / (1 - nu**2)


@equation(
    "free ring",
    result="p_free",
    provenance=Provenance.SEEN,
    source="Moser & Folkman, Buried Pipe Design",
    **THEORY,
)
def free_ring_pressure(E_plane, DR):
    """Pressure at which a round ring without any support buckles.

    Levy's 3 E I/R^3 with I = t^3/12 and R = (D - t)/2:

    >>> round(free_ring_pressure(12.0, 3.0) / (3 * 12.0 * (1 / 12)), 3)
    1.0
    """
    return 2 * E_plane / (DR - 1) ** 3


@equation(
    "Glock",
    result="p_Glock",
    source="Glock 1977; the constant from the least energy of one lobe",
    **DERIVED,
)
def glock_pressure(E_plane, DR):
    """Pressure at which a round, tight ring collapses in one inward lobe.

    As an enhancement factor it is 7 at about DR 28:

    >>> float(round(equivalent_factor(glock_pressure(1.0, 28.0), 1.0, 28.0), 1))
    7.0
    """
    return 1.0025 * E_plane / (DR - 1) ** 2.2


@equation(
    "Glock, k lobes", result="p_lobes", source="Glock 1977, for k lobes around the ring", **DERIVED
)
def glock_lobes_pressure(p_Glock, k_lobes):
    """Pressure at which a round, tight ring collapses in several equal lobes."""
    return p_Glock * k_lobes**0.4


# A uniform gap


@equation("lobe depth", result="a_lobe", **LOBE)
def lobe_depth(r_gap):
    """Depth of the lobe at collapse, over four times R (phi/pi)^2, phi half its opening.

    The root of 1.8 a^2 - 4.8 a + 2 = 0 where there is no gap:

    >>> float(round(1.8 * lobe_depth(0.0) ** 2 - 4.8 * lobe_depth(0.0) + 2, 12))
    0.0
    """
    return (12 + 10 * r_gap - np.sqrt(54 + 80 * r_gap + 30 * r_gap**2)) / (9 + 7 * r_gap)


@equation("lobe opening", result="phi_lobe", limits=(NARROW,), **LOBE)
def lobe_opening(r_gap, DR, k_lobes, a_lobe):
    """Opening of the lobe at collapse, as a share of the ring."""
    return 100 * (5 * (1 + r_gap) / (9 * (DR - 1) ** 2 * k_lobes * a_lobe * (2 - a_lobe))) ** 0.2


@equation("gap closed", result="g_closed", **LOBE)
def gap_closed(r_gap, DR, phi_lobe):
    """Gap that goes with this ratio of shortenings; the ratio is right where it is the gap."""
    return 500 * r_gap / (9 * DR * (DR - 1) * (phi_lobe / 100) ** 2)


@equation("Glock, gap", result="p_gap", **LOBE)
def gap_pressure(E_plane, a_lobe, DR, phi_lobe):
    """Pressure at which a round ring with a uniform gap collapses in equal lobes.

    Without a gap, and for one lobe, it is Glock's:

    >>> a = lobe_depth(0.0)
    >>> p = gap_pressure(1.0, a, 50.0, lobe_opening(0.0, 50.0, 1.0, a))
    >>> float(round(p / glock_pressure(1.0, 50.0), 3))
    1.0
    """
    return 4 * E_plane * (2.5 - a_lobe) / (9 * (DR - 1) ** 3 * (phi_lobe / 100) ** 2)


# The perimeter form


@equation("perimeter", result="L_mid", source="geometry", **DERIVED)
def middle_perimeter(D, t):
    """Perimeter of the wall's middle line, a circle of the mean diameter."""
    return PI * (D - t)


@equation(
    "flattest radius", result="R_flat", source="an ellipse at the end of its short axis", **DERIVED
)
def flattest_radius(D, t, C):
    """Radius of the middle line where the oval is flattest: C is the cube of this flattening."""
    return (D - t) / (2 * np.cbrt(C))


@equation(
    "perimeter form",
    result="p_perimeter",
    provenance=Provenance.SECONDARY,
    source="French practice, which leaves 1 - nu^2 out; the constant derived from Glock's",
    **THEORY,
)
def perimeter_pressure(k_lobes, E_L, t, L_mid, R_flat):
    """Pressure at which a lining collapses in k lobes, by its perimeter and its flattest radius."""
    return 0.455 * k_lobes**0.4 * E_L * t**2.2 / (L_mid**0.4 * R_flat**1.8)


# Strength


@equation(
    "Amstutz, gap",
    result="g_thrust",
    provenance=Provenance.SECONDARY,
    source="Amstutz, as printed in a posted calculation of a steel lining, solved for the gap",
    **THEORY,
)
def gap_of_thrust(s_thrust, E_plane, DR, sigma_L):
    """Gap with which this hoop stress goes when an outer fibre reaches the strength."""
    return (
        100
        * (DR - 1)
        / DR
        * (
            1.68
            * (DR - 1)
            * (sigma_L - s_thrust)
            / E_plane
            * (1 - (DR - 1) / 4 * (sigma_L - s_thrust) / E_plane)
            / (1 + 3 * (DR - 1) ** 2 * s_thrust / E_plane) ** 1.5
            - s_thrust / E_plane
        )
    )


@equation(
    "Amstutz",
    result="p_Amstutz",
    provenance=Provenance.SECONDARY,
    source="Amstutz, as printed in a posted calculation of a steel lining",
    **THEORY,
)
def first_yield_pressure(s_thrust, DR, sigma_L, E_plane):
    """Pressure at which an outer fibre of a round ring with a gap reaches the strength."""
    return 2 * s_thrust / (DR - 1) * (1 - 0.175 * (DR - 1) * (sigma_L - s_thrust) / E_plane)


@equation("squash", result="p_squash", source="statics of half a ring", **DERIVED)
def squash_pressure(sigma_L, DR):
    """Pressure at which hoop compression alone reaches the strength in the whole wall."""
    return 2 * sigma_L / DR


@equation("strength bound", result="p_most", source="the lesser of the two", **DERIVED)
def greatest_pressure(p_solved, p_squash):
    """Pressure that collapse of a wall of limited strength can't exceed."""
    return np.minimum(p_solved, p_squash)


# Factors provided, and the thickness


@equation("stability factor", result="N_stability", source="definition", **DERIVED)
def stability_factor(p_solved, P):
    """Collapse pressure over the design pressure."""
    return p_solved / P


@equation("strength factor", result="N_strength", source="definition", **DERIVED)
def strength_factor(p_first, P):
    """Pressure of first strength over the design pressure."""
    return p_first / P


@equation("stress factor", result="N_stress", source="definition", **DERIVED)
def stress_factor(sigma_L, s_design):
    """Strength over the greatest fibre stress under the design pressure."""
    return sigma_L / s_design


@equation("ring thickness", result="t_ring", source="definition of DR", **DERIVED)
def ring_thickness(D, DR_ring):
    """Thickness at which stability and strength both hold with the safety factor N."""
    return D / DR_ring
