"""ASTM F1216 Appendix X1, gravity pipe: loads, X1.1 to X1.4, and each solved for thickness.

Read each function beside the standard. US functions carry in, ft, psi and pcf; SI ones mm, m,
MPa and kN/m^3. The text of the appendix was not available: forms come from a textbook that applies
it, clause numbers from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import HAIR, at_least, at_most
from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation

TEXTBOOK = {
    "provenance": Provenance.SECONDARY,
    "source": "Najafi 2010, sec. 2.7, applying ASTM F1216-09",
}
LASTING = TEXTBOOK | {
    "source": f"{TEXTBOOK['source']}; its Note X1.1, that EL goes by the duration of the load, is "
    "quoted in an EPA report on force mains, 2010, p. 81"
}
RECALLED = {"provenance": Provenance.MEMORY, "source": "ASTM F1216 Appendix X1"}
SOLVED = {"provenance": Provenance.DERIVED, "source": "the equation of that number, solved for t"}

# The factor K, and the percent retained in the long term, over which the trade asks for evidence.
USUAL_ENHANCEMENT, USUAL_RETENTION = 7, 50

SAFETY = Limit(Condition(lambda N: N >= 2), Severity.CAUTION, "f1216.low_safety_factor")
SUPPORT = Limit(
    Condition(lambda K: K <= USUAL_ENHANCEMENT),
    Severity.CAUTION,
    "f1216.high_enhancement",
    waived_by="enhancement_evidence",
)
# N over the share of the modulus retained: the factor on the short-term buckling resistance.
LONG_TERM_FACTOR = Limit(
    Condition(lambda N, r_E: at_least(100 * N / r_E, 3)),
    Severity.CAUTION,
    "f1216.low_long_term_factor",
)
RETENTION = Limit(
    Condition(lambda r_E: r_E <= USUAL_RETENTION),
    Severity.CAUTION,
    "f1216.high_modulus_retention",
    waived_by="evidence",
)
STRENGTH_RETENTION = Limit(
    Condition(lambda r_sigma: r_sigma <= USUAL_RETENTION),
    Severity.CAUTION,
    "f1216.high_strength_retention",
    waived_by="evidence",
)
THIN = (
    Limit(Condition(lambda DR: at_most(DR, 100)), Severity.CAUTION, "f1216.high_dimension_ratio"),
    # A wall that groundwater makes sufficient, and that the DR limit would not pass without it.
    Limit(
        Condition(
            lambda DR, DR_max, h_invert: np.logical_or(at_most(DR, DR_max), h_invert <= HAIR)
        ),
        Severity.CAUTION,
        "f1216.dry_wall",
    ),
)


def usual(system: str, code: str, *holds: Callable[..., Any]) -> tuple[Limit, ...]:
    """A range out of which a value is nearly always a slip; common practice, no source."""
    return tuple(Limit(Condition(each), Severity.CAUTION, code, None, system) for each in holds)


USUAL_SOIL = {
    "US": (
        *usual("US", "f1216.unusual_soil_weight_us", lambda w: w >= 80, lambda w: w <= 150),
        *usual("US", "f1216.stiff_soil_us", lambda E_s: E_s <= 3000),
        *usual("US", "f1216.soft_soil_us", lambda E_s: E_s >= 50),
    ),
    "SI": (
        *usual("SI", "f1216.unusual_soil_weight_si", lambda w: w >= 12.5, lambda w: w <= 23.6),
        *usual("SI", "f1216.stiff_soil_si", lambda E_s: E_s <= 20.7),
        *usual("SI", "f1216.soft_soil_si", lambda E_s: E_s >= 0.34),
    ),
}
USUAL_MODULUS = (
    *usual("US", "f1216.unusual_modulus_us", lambda E: E >= 100_000, lambda E: E <= 2_200_000),
    *usual("SI", "f1216.unusual_modulus_si", lambda E: E >= 690, lambda E: E <= 15_000),
)
USUAL_STRENGTH = (
    *usual(
        "US",
        "f1216.unusual_strength_us",
        lambda sigma: sigma >= 2000,
        lambda sigma: sigma <= 50_000,
    ),
    *usual(
        "SI", "f1216.unusual_strength_si", lambda sigma: sigma >= 13.8, lambda sigma: sigma <= 345
    ),
)
USUAL_COVER = (
    *usual("US", "f1216.deep_cover_us", lambda H: H <= 100),
    *usual("SI", "f1216.deep_cover_si", lambda H: H <= 30),
)
USUAL_SIZE = (
    *usual("US", "f1216.small_host_us", lambda D: D >= 4),
    *usual("US", "f1216.large_host_us", lambda D: D <= 108),
    *usual("SI", "f1216.small_host_si", lambda D: D >= 100),
    *usual("SI", "f1216.large_host_si", lambda D: D <= 2743.2),
)
NO_BORE = Limit(Condition(lambda DR: DR > 2), Severity.OUTSIDE, "f1216.no_bore")
FLOODED = {
    system: Limit(Condition(holds), Severity.CAUTION, "f1216.flooded_head")
    for system, holds in (
        ("US", lambda h_invert, H, D: h_invert <= H + D / 12),
        ("SI", lambda h_invert, H, D: h_invert <= H + D / 1000),
    )
}
UNDER_WATER = Limit(
    Condition(lambda H_w, H: at_most(H_w, H)), Severity.CAUTION, "f1216.flooded_buoyancy"
)
SHALLOW = "f1216.shallow_cover"


# Long-term properties


@equation(
    "EL",
    result="E_L",
    clause="clause X1.2.1",
    limits=(RETENTION, LONG_TERM_FACTOR, *USUAL_MODULUS),
    **LASTING,
)
def long_term_modulus(E, r_E):
    """Flexural modulus for the design life."""
    return E * r_E / 100


@equation(
    "sigma L",
    result="sigma_L",
    clause="clause X1.2.1",
    limits=(STRENGTH_RETENTION, *USUAL_STRENGTH),
    **RECALLED,
)
def long_term_strength(sigma, r_sigma):
    """Flexural strength for the design life."""
    return sigma * r_sigma / 100


# Loads


@equation("P", result="P", system="US", clause="clause X1.2.1", limits=(FLOODED["US"],), **TEXTBOOK)
def groundwater_pressure_us(h_invert):
    """Groundwater pressure at the invert."""
    return 0.433 * np.maximum(h_invert, 0)


@equation("P", result="P", system="SI", clause="clause X1.2.1", limits=(FLOODED["SI"],), **RECALLED)
def groundwater_pressure_si(h_invert):
    """Groundwater pressure at the invert."""
    return 0.00981 * np.maximum(h_invert, 0)


@equation("Rw", result="R_w", clause="clause X1.2.2", limits=(UNDER_WATER,), **TEXTBOOK)
def buoyancy_factor(H_w, H):
    """Share of the soil's weight that counts under water, not under 0.67."""
    return np.maximum(1 - 0.33 * H_w / H, 0.67)


@equation(
    "B'",
    result="B",
    system="US",
    clause="clause X1.2.2",
    limits=(Limit(Condition(lambda H, D: 12 * H >= D), Severity.CAUTION, SHALLOW), *USUAL_COVER),
    **TEXTBOOK,
)
def elastic_support_us(H):
    """Coefficient of elastic support.

    >>> round(elastic_support_us(16), 3)
    0.414
    """
    return 1 / (1 + 4 * np.exp(-(0.065 * H)))


@equation(
    "B'",
    result="B",
    system="SI",
    clause="clause X1.2.2",
    limits=(Limit(Condition(lambda H, D: 1000 * H >= D), Severity.CAUTION, SHALLOW), *USUAL_COVER),
    **RECALLED,
)
def elastic_support_si(H):
    """Coefficient of elastic support."""
    return 1 / (1 + 4 * np.exp(-(0.213 * H)))


@equation("qt of water", result="q_water", system="US", clause="clause X1.2.2", **TEXTBOOK)
def water_load_us(H_w):
    """Part of the total external pressure from groundwater above the crown."""
    return 0.433 * H_w


@equation("qt of water", result="q_water", system="SI", clause="clause X1.2.2", **RECALLED)
def water_load_si(H_w):
    """Part of the total external pressure from groundwater above the crown."""
    return 0.00981 * H_w


@equation("qt of soil", result="q_soil", system="US", clause="clause X1.2.2", **TEXTBOOK)
def soil_load_us(w, H, R_w):
    """Part of the total external pressure from the buoyant soil over the crown."""
    return w * H * R_w / 144


@equation("qt of soil", result="q_soil", system="SI", clause="clause X1.2.2", **RECALLED)
def soil_load_si(w, H, R_w):
    """Part of the total external pressure from the buoyant soil over the crown."""
    return w * H * R_w / 1000


@equation("qt of parts", result="q_t", clause="clause X1.2.2", **TEXTBOOK)
def total_of_parts(q_water, q_soil, W_s):
    """Total external pressure from its parts, where a submittal states them."""
    return q_water + q_soil + W_s


@equation(
    "qt", result="q_t", system="US", clause="clause X1.2.2", limits=USUAL_SOIL["US"], **TEXTBOOK
)
def total_pressure_us(H_w, w, H, R_w, W_s):
    """Total external pressure of water, soil and live load."""
    return water_load_us.function(H_w) + soil_load_us.function(w, H, R_w) + W_s


@equation(
    "qt", result="q_t", system="SI", clause="clause X1.2.2", limits=USUAL_SOIL["SI"], **RECALLED
)
def total_pressure_si(H_w, w, H, R_w, W_s):
    """Total external pressure of water, soil and live load."""
    return water_load_si.function(H_w) + soil_load_si.function(w, H, R_w) + W_s


# The wall


@equation(
    "DR", result="DR", clause="clause X1.2.1", limits=(*THIN, NO_BORE, *USUAL_SIZE), **TEXTBOOK
)
def dimension_ratio(D, t):
    """Diameter over thickness."""
    return D / t


@equation("I", result="I", clause="clause X1.2.2", **TEXTBOOK)
def wall_inertia(t):
    """Moment of inertia of the wall."""
    return t**3 / 12


# X1.1


@equation("X1.1", result="P_X1_1", clause="clause X1.2.1", limits=(SAFETY, SUPPORT), **TEXTBOOK)
def groundwater_capacity(K, E_L, nu, DR, C, N):
    """Groundwater pressure that the restrained liner carries.

    Table X1.1 (from memory): an 8 in host and 6 mm wall carry 40.0 ft, here in psi.

    >>> round(groundwater_capacity(7, 125e3, 0.3, 8 / (6 / 25.4), 0.64, 2) / 0.433, 1)
    40.0
    """
    return (2 * K * E_L / (1 - nu**2)) * (1 / (DR - 1) ** 3) * (C / N)


@equation("X1.1 for t", result="t_X1_1", clause="clause X1.2.1", **SOLVED)
def groundwater_thickness(D, K, E_L, C, nu, N, P):
    """Thickness at which X1.1 holds exactly."""
    return D / (1 + np.cbrt(2 * K * E_L * C / ((1 - nu**2) * N * P)))


# X1.2


@equation("X1.2", result="sigma_X1_2", clause="clause X1.2.1", limits=(SAFETY,), **TEXTBOOK)
def bending_stress(P, q, DR):
    """Bending stress of the oval liner under the pressure P, to be at most sigma_L/N."""
    return P * (1.5 * (q / 100) * (1 + q / 100) * DR**2 - 0.5 * (1 + q / 100) * DR)


@equation("X1.2 a", result="a_q", clause="clause X1.2.1", **TEXTBOOK)
def bending_share(q):
    """Coefficient of the square of DR in X1.2."""
    return 1.5 * (q / 100) * (1 + q / 100)


@equation("X1.2 b", result="b_q", clause="clause X1.2.1", **TEXTBOOK)
def thrust_share(q):
    """Coefficient of DR in X1.2."""
    return 0.5 * (1 + q / 100)


@equation("X1.2 for t", result="t_X1_2", clause="clause X1.2.1", **SOLVED)
def bending_thickness(D, a_q, b_q, sigma_L, P, N):
    """Thickness at which X1.2, a DR^2 - b DR = sigma_L/(P N), holds exactly.

    The root is written with the sum in the denominator, so that no digits cancel.
    """
    return D * (2 * a_q / (b_q + np.sqrt(b_q**2 + 4 * a_q * sigma_L / (P * N))))


@equation("X1.2 allowed", result="sigma_allowed", clause="clause X1.2.1", **TEXTBOOK)
def allowed_stress(sigma_L, N):
    """Bending stress that X1.2 allows."""
    return sigma_L / N


# DR limit


@equation("DR limit", result="t_DR_limit", clause="clause X1.2.1", **RECALLED)
def dimension_ratio_thickness(D, DR_max):
    """Thickness at the largest dimension ratio, where no groundwater stands above the invert."""
    return D / DR_max


# X1.3


@equation(
    "X1.3",
    result="q_X1_3",
    clause="clause X1.2.2",
    edition="F1216-07b",
    limits=(SAFETY,),
    **TEXTBOOK,
)
def soil_capacity(N, R_w, B, E_s, C, E_L, I, D):
    """External pressure that the liner carries with the soil's support."""
    return 1 / N * np.sqrt(32 * R_w * B * E_s * C * (E_L * I / D**3))


@equation("X1.3 for t", result="t_X1_3", clause="clause X1.2.2", edition="F1216-07b", **SOLVED)
def soil_thickness(D, N, q_t, R_w, B, E_s, C, E_L):
    """Thickness at which X1.3 holds exactly."""
    return D * np.cbrt(12 * (N * q_t) ** 2 / (32 * R_w * B * E_s * C * E_L))


@equation(
    "X1.3",
    result="q_X1_3",
    clause="clause X1.2.2",
    edition="F1216-07a",
    limits=(SAFETY,),
    **RECALLED,
)
def soil_capacity_07a(C, N, R_w, B, E_s, E_L, I, D):
    """External pressure that the liner carries with the soil's support, C before the root."""
    return C / N * np.sqrt(32 * R_w * B * E_s * (E_L * I / D**3))


@equation("X1.3 for t", result="t_X1_3", clause="clause X1.2.2", edition="F1216-07a", **SOLVED)
def soil_thickness_07a(D, N, q_t, C, R_w, B, E_s, E_L):
    """Thickness at which the earlier X1.3 holds exactly."""
    return D * np.cbrt(12 * (N * q_t / C) ** 2 / (32 * R_w * B * E_s * E_L))


# X1.4


@equation("X1.4", result="S_X1_4", clause="clause X1.2.2", **TEXTBOOK)
def stiffness(E, I, D):
    """Stiffness of the liner by its initial modulus, to be at least the least stiffness."""
    return E * I / D**3


@equation("X1.4 for t", result="t_X1_4", clause="clause X1.2.2", **SOLVED)
def stiffness_thickness(D, S_min, E):
    """Thickness at which X1.4 holds exactly."""
    return D * np.cbrt(12 * S_min / E)


LEAST_STIFFNESS = {"US": 0.093, "SI": 0.00064}
