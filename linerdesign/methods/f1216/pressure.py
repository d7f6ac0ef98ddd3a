"""ASTM F1216 Appendix X1, pressure pipe and vacuum: X1.5 to X1.7, each solved for thickness.

All of it is from memory. Pressures stand in the unit of strengths, so no equation here carries a
constant of a unit system.
"""

from __future__ import annotations

import numpy as np

from linerdesign.expressions.tolerance import at_least
from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation
from linerdesign.methods.f1216.gravity import SAFETY, USUAL_RETENTION, usual

RECALLED = {"provenance": Provenance.MEMORY, "source": "ASTM F1216 Appendix X1, pressure pipe"}
SOLVED = {"provenance": Provenance.DERIVED, "source": "the equation of that number, solved for t"}

TENSILE_RETENTION = Limit(
    Condition(lambda r_T: r_T <= USUAL_RETENTION),
    Severity.CAUTION,
    "f1216.high_tensile_retention",
    waived_by="evidence",
)
WINDOW = Limit(
    Condition(lambda t, t_pressure: at_least(t, t_pressure)),
    Severity.CAUTION,
    "f1216.pressure_window",
)


@equation(
    "sigma TL", result="sigma_TL", clause="clause X1.3", limits=(TENSILE_RETENTION,), **RECALLED
)
def long_term_tensile_strength(sigma_T, r_T):
    """Tensile strength for the design life."""
    return sigma_T * r_T / 100


# Vacuum


@equation("P with vacuum", result="P", clause="clause X1.3", **RECALLED)
def external_pressure(P_w, P_v):
    """Pressure on the liner from outside: groundwater and the vacuum inside."""
    return P_w + P_v


@equation("P of vacuum", result="P", clause="clause X1.3", **RECALLED)
def vacuum_alone(P_v):
    """Pressure on the liner from outside above ground: the vacuum inside."""
    return P_v


SHALLOW_VACUUM = (
    *usual("US", "f1216.shallow_vacuum_us", lambda H: H >= 4),
    *usual("SI", "f1216.shallow_vacuum_si", lambda H: H >= 1.2),
)


@equation("qt with vacuum", result="q_t", clause="clause X1.3", limits=SHALLOW_VACUUM, **RECALLED)
def total_pressure_with_vacuum(q_e, P_v):
    """Total pressure of water, soil and live load, and the vacuum inside."""
    return q_e + P_v


# X1.5


@equation("X1.5", result="r_hole", clause="clause X1.3.1", **RECALLED)
def largest_hole_ratio(t, D):
    """Largest hole over diameter up to which the liner acts as a plate over the hole."""
    return 1.83 * np.sqrt(t / D)


@equation("X1.5 for t", result="t_X1_5", clause="clause X1.3.1", **SOLVED)
def hole_thickness(D, d):
    """Thickness from which X1.5 directs to X1.6; a thinner wall goes by X1.7."""
    return D * (d / (1.83 * D)) ** 2


# X1.6


PLATE = RECALLED | {
    "source": "ASTM F1216 Appendix X1, pressure pipe; its 5.33 is the edge stress of a clamped "
    "circular plate (Roark, 7th ed., 11.11)"
}


@equation("X1.6", result="P_X1_6", clause="clause X1.3.1", limits=(SAFETY,), **PLATE)
def plate_capacity(DR, D, d, sigma_L, N):
    """Internal pressure that the liner carries as a flat plate over the hole."""
    return 5.33 / (DR - 1) ** 2 * (D / d) ** 2 * sigma_L / N


@equation("X1.6 for t", result="t_X1_6", clause="clause X1.3.1", **SOLVED)
def plate_thickness(D, d, sigma_L, N, P_i):
    """Thickness at which X1.6 holds exactly."""
    return D / (1 + D / d * np.sqrt(5.33 * sigma_L / (N * P_i)))


# X1.7


@equation("X1.7", result="P_X1_7", clause="clause X1.3.2", limits=(SAFETY,), **RECALLED)
def tension_capacity(sigma_TL, DR, N):
    """Internal pressure that the liner carries alone, in ring tension."""
    return 2 * sigma_TL / ((DR - 2) * N)


@equation("X1.7 for t", result="t_X1_7", clause="clause X1.3.2", **SOLVED)
def tension_thickness(D, sigma_TL, N, P_i):
    """Thickness at which X1.7 holds exactly."""
    return D / (2 + 2 * sigma_TL / (N * P_i))


# Which of the two

BRANCH = {
    "clause": "clause X1.3.1",
    "kind": "choice",
    "provenance": Provenance.DERIVED,
    "source": "X1.5 read at the wall's own thickness",
}


@equation("pressure for t", result="t_pressure", **BRANCH)
def pressure_thickness(t_X1_5, t_X1_6, t_X1_7):
    """Smallest thickness from which every thicker wall passes the equation X1.5 directs it to.

    X1.6 and X1.7 do not meet where X1.5 turns from one to the other, so a thicker wall can fail
    where a thinner one passes. Over t_X1.5 only X1.6 counts; where it asks for less than that,
    X1.7 counts for the walls under it, and where those fail up to the turn, the turn itself is the
    answer.
    """
    return np.where(t_X1_6 > t_X1_5, t_X1_6, np.where(t_X1_7 <= t_X1_5, t_X1_7, t_X1_5))


@equation("pressure", result="P_pressure", limits=(WINDOW,), **BRANCH)
def pressure_capacity(t, t_X1_5, P_X1_6, P_X1_7):
    """Internal pressure that the wall carries by the equation X1.5 directs it to."""
    return np.where(t >= t_X1_5, P_X1_6, P_X1_7)
