"""Closed forms beside the numerical model: sizes of a host, a flat side, soil springs, grout.

Lengths, pressures and moduli may be in any one system unless a unit system is named.
"""

from __future__ import annotations

import numpy as np

from linerdesign.methods.equation import Provenance, equation
from linerdesign.methods.quantities import PI

DERIVED = {"clause": "host of any shape", "provenance": Provenance.DERIVED}
SPRINGS = {"clause": "ring on springs", "provenance": Provenance.DERIVED}
GROUT = {"clause": "grouting", "provenance": Provenance.DERIVED, "source": "hydrostatics"}


@equation("equal perimeter", result="D_host", source="geometry", **DERIVED)
def equal_diameter(L_host):
    """Diameter of the circle whose perimeter the host has."""
    return L_host / PI


@equation("deflection limit", result="w_allowed", source="definition", **DERIVED)
def allowed_deflection(r_deflect, b_host):
    """Greatest inward movement of the wall that the owner allows."""
    return r_deflect * b_host / 100


@equation("flat side, deflection", result="w_flat", source="beam theory", **DERIVED)
def flat_deflection(P, L_flat, E_plane, t):
    """Deflection at the middle of a flat side whose ends neither move nor turn.

    P L^4/(384 E I) with I = t^3/12:

    >>> flat_deflection(1.0, 10.0, 100.0, 1.0) * 384 * 100 / 12
    10000.0
    """
    return P * L_flat**4 / (32 * E_plane * t**3)


@equation("flat side, stress", result="s_flat", source="beam theory", **DERIVED)
def flat_stress(P, L_flat, t):
    """Bending stress at the ends of such a side."""
    return P * L_flat**2 / (2 * t**2)


@equation(
    "soil springs",
    result="k_soil",
    source="what makes a ring on springs the parent of the soil buckling check",
    **SPRINGS,
)
def spring_share(R_w, B):
    """Stiffness of the springs, per movement, over the modulus of soil reaction by the radius."""
    return R_w * B


@equation(
    "ring on springs",
    result="p_springs",
    source="least over all waves of (n^2 - 1) EI/R^3 + k R/(n^2 - 1)",
    **SPRINGS,
)
def spring_buckling(k_soil, E_s, E_L, DR):
    """Pressure at which a ring of the diameter D buckles on springs that push and pull.

    2 sqrt(k E I)/R with k = k_s E'_s/R, I = t^3/12 and R = D/2.
    """
    return np.sqrt(32 * k_soil * E_s * E_L / (12 * DR**3))


@equation("springs that do not pull", result="N_apart", source="definition", **SPRINGS)
def spring_factor(p_apart, q_t):
    """Collapse pressure on springs that do not pull over the total external pressure."""
    return p_apart / q_t


@equation("grout", result="P_grout", system="US", **GROUT)
def grout_pressure_us(rho_grout, h_grout):
    """Pressure of fresh grout at the bottom of its stage, in psi of lb/ft3 and ft."""
    return rho_grout * h_grout / 144


@equation("grout", result="P_grout", system="SI", **GROUT)
def grout_pressure_si(rho_grout, h_grout):
    """Pressure of fresh grout at the bottom of its stage, in MPa of kg/m3 and m."""
    return 9.81e-6 * rho_grout * h_grout
