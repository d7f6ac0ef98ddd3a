"""Three-point bending by ASTM D790, and the stiffness of an installed wall over the designed one.

Bending records are in lbf and in, or in N and mm, so that stresses come out in psi or MPa.
"""

from __future__ import annotations

import numpy as np

from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation

D790 = {
    "clause": "D790",
    "provenance": Provenance.SEEN,
    "source": "ASTM D790 as printed in EPA/600/R-12/004",
}
SPAN_RATIO = 16
SPAN_RATIO_TOLERANCE = 1  # from memory; verify against the printed standard
SPECIMENS = 5
SPAN = Limit(
    Condition(lambda L_b, d_b: abs(L_b / d_b - SPAN_RATIO) <= SPAN_RATIO_TOLERANCE),
    Severity.CAUTION,
    "design.unusual_span",
)


@equation("D790 stress", result="sigma_b", limits=(SPAN,), **D790)
def flexural_stress(P_b, L_b, b_b, d_b):
    """Stress in the outer fibre at mid-span."""
    return 3 * P_b * L_b / (2 * b_b * d_b**2)


@equation("D790 strain", result="epsilon_b", limits=(SPAN,), **D790)
def flexural_strain(delta_b, L_b, d_b):
    """Strain in the outer fibre at mid-span, as a ratio."""
    return 6 * delta_b * d_b / L_b**2


@equation("D790 modulus", result="E_b_test", limits=(SPAN,), **D790)
def flexural_modulus(L_b, m_b, b_b, d_b):
    """Tangent modulus from the slope of load on deflection."""
    return L_b**3 * m_b / (4 * b_b * d_b**3)


RING = {
    "clause": "ISO 9969",
    "provenance": Provenance.MEMORY,
    "source": "ring stiffness by ISO 9969: a ring compressed across its diameter",
}


@equation("ring stiffness", result="S_ring", **RING)
def ring_stiffness(y_ring, d_ring, F_ring, L_ring):
    """Ring stiffness E I/d^3 from the load across the diameter and the deflection.

    0.0186 is (pi/4 - 2/pi)/8 of the thin ring.
    """
    return (0.0186 + 0.025 * y_ring / d_ring) * F_ring / (L_ring * y_ring)


@equation("ring modulus", result="E_ring", **RING)
def ring_modulus(S_ring, d_ring, t_of_ring):
    """Modulus of the wall from its ring stiffness; d the mean diameter of the ring."""
    return 12 * S_ring * (d_ring / t_of_ring) ** 3


@equation(
    "remaining life",
    result="T_life",
    clause="creep",
    provenance=Provenance.DERIVED,
    source="a straight line in logarithms from 1 h to the design's retention at 438,000 h",
)
def remaining_life(r_pass, r_E):
    """Time at which the retention falls to the one at which the wall passes; 8,760 h a year.

    >>> round(float(remaining_life(50.0, 50.0)), 6)
    50.0
    """
    return 438000 ** (np.log(r_pass / 100) / np.log(r_E / 100)) / 8760


@equation(
    "stiffness ratio",
    result="r_S",
    clause="acceptance",
    provenance=Provenance.SEEN,
    source="Najafi 2010, p. 343",
)
def stiffness_ratio(E_built, t_built, E, t):
    """Stiffness of the wall as installed, as a percentage of the stiffness designed.

    >>> round(stiffness_ratio(250e3, 87.5, 250e3, 100), 1)
    67.0
    """
    return 100 * (E_built * t_built**3) / (E * t**3)
