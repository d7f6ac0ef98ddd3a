"""Live load at the top of the pipe, by each method that has a name.

Wheels and axles are in lb, ft and in, as they were published, and give psi; the closed form for
surface loads holds in any unit of length. None of the tables is ever multiplied by an impact
factor: impact is in them.
"""

from __future__ import annotations

import numpy as np

from linerdesign.expressions.tolerance import at_least, at_most
from linerdesign.expressions.tracing import linear_between
from linerdesign.methods.equation import Condition, Equation, Limit, Provenance, Severity, equation
from linerdesign.methods.ground.published import published
from linerdesign.methods.quantities import PI
from linerdesign.methods.units import M_PER_FOOT, MM_PER_INCH, MPA_PER_PSI

CONVERSION = {"provenance": Provenance.DERIVED, "source": "definition of the units", "clause": "SI"}
LRFD = {"clause": "AASHTO LRFD 3.6", "source": "outline of AASHTO LRFD in a lecture of 2021"}
OLDER = {
    "clause": "AASHTO Standard Specifications",
    "provenance": Provenance.MEMORY,
    "source": "AASHTO Standard Specifications, wheel spread over 1.75 H",
}
SURFACE = {
    "clause": "surface load",
    "provenance": Provenance.SEEN,
    "source": "Holl's closed form; Moser & Folkman Table 2.6 and Najafi 2010 Table 2.12 print it",
}
SHALLOW = Limit(Condition(lambda H_ft: H_ft >= 2), Severity.OUTSIDE, "ground.wheel_spread_shallow")


# Units of the published methods, for a sheet in SI


@equation("cover in ft", result="H_ft", **CONVERSION)
def cover_in_feet(H):
    """Cover in feet."""
    return H / M_PER_FOOT


@equation("D in in", result="D_in", **CONVERSION)
def diameter_in_inches(D):
    """Inside diameter in inches."""
    return D / MM_PER_INCH


@equation("Ws from psi", result="W_s", **CONVERSION)
def load_from_psi(W_psi):
    """Live load in the unit of the sheet."""
    return MPA_PER_PSI * W_psi


@equation("Ws from psf", result="W_psi", **CONVERSION | {"clause": "table in psf"})
def load_from_psf(W_psf):
    """Live load of a table in psf."""
    return W_psf / 144


# Wheels: how far they spread, and when they run together


@equation("overlap", result="joined", kind="choice", provenance=Provenance.SECONDARY, **LRFD)
def overlapped(patch, spacing):
    """Side of the loaded area: neighbours count as one area once their patches meet."""
    return np.where(patch > spacing, patch + spacing, patch)


@equation("wheels", result="n_joined", kind="choice", provenance=Provenance.SECONDARY, **LRFD)
def wheels_together(patch, spacing, n_wheels):
    """Wheels on the loaded area: twice as many once the patches meet."""
    return np.where(patch > spacing, 2 * n_wheels, n_wheels)


# HL-93


@equation("HL-93 impact", result="I_M", provenance=Provenance.SEEN, **LRFD)
def dynamic_allowance(H_ft):
    """Dynamic load allowance of a buried structure."""
    return np.maximum(33 * (1 - 0.125 * H_ft), 0)


@equation("HL-93 width", result="w_1", provenance=Provenance.MEMORY, limits=(SHALLOW,), **LRFD)
def patch_width(w_t, LLDF, H_ft, D_in):
    """Width of one wheel's patch at the top of the pipe, across the road."""
    return w_t / 12 + LLDF * H_ft + 0.06 * D_in / 12


@equation("HL-93 length", result="l_1", provenance=Provenance.MEMORY, **LRFD)
def patch_length(l_t, LLDF, H_ft):
    """Length of one wheel's patch at the top of the pipe, along the road."""
    return l_t / 12 + LLDF * H_ft


@equation("HL-93 vehicle", result="W_vehicle", provenance=Provenance.SEEN, **LRFD)
def vehicle_pressure(P_wheel, n_joined, I_M, m, w_w, l_w):
    """Pressure of one vehicle at the top of the pipe, without the lane load."""
    return P_wheel * n_joined * (1 + I_M / 100) * m / (144 * w_w * l_w)


@equation("HL-93", result="W_psi", kind="choice", provenance=Provenance.SEEN, **LRFD)
def governing_vehicle(W_truck, W_tandem):
    """Larger of design truck and design tandem."""
    return np.where(W_truck > W_tandem, W_truck, W_tandem)


# The older rule


@equation(
    "1.75 H impact",
    result="F_i",
    kind="look-up",
    clause="Moser & Folkman Table 2.5, highways",
    provenance=published("live_load")["impact"].provenance,
    source=published("live_load")["impact"].source,
)
def highway_impact(H_ft):
    """Impact factor of highway loads by cover."""
    *bands, (_, last) = published("live_load")["impact"].rows
    factor = last
    for depth, value in reversed(bands):
        factor = np.where(H_ft <= depth, value, factor)
    return factor


@equation("1.75 H side", result="w_1", limits=(SHALLOW,), **OLDER)
def square_side(H_ft):
    """Side of the square that one wheel spreads over."""
    return 1.75 * H_ft


@equation("1.75 H overlap", result="joined", kind="choice", **OLDER)
def overlapped_squares(patch, spacing):
    """Side of the loaded area: neighbours count as one area once their squares meet."""
    return overlapped(patch, spacing)


@equation("1.75 H wheels", result="n_joined", kind="choice", **OLDER)
def wheels_on_squares(patch, spacing, n_wheels):
    """Wheels on the loaded area: twice as many once the squares meet."""
    return wheels_together(patch, spacing, n_wheels)


@equation("1.75 H", result="W_psi", **OLDER)
def spread_wheels(P_wheel, n_joined, F_i, w_w, l_w):
    """Pressure of the wheels on the loaded area."""
    return P_wheel * n_joined * F_i / (144 * w_w * l_w)


# Tables by cover, impact included


# What holds beyond the last row of a table, by the number of its look-up.
BEYOND: dict[str, Equation] = {}


def _by_cover(number: str, table: str, column: str, neglected: bool = True) -> Equation:
    """The look-up of one column of a table; a pipe above its first row is refused.

    Where loads under 100 psf are `neglected`, there is none beyond the last row; elsewhere a pipe
    there is refused too.
    """
    about = published("live_load")[table]
    rows = about.column(column)
    low, high = rows.xs[0], rows.xs[-1]
    reach = (("vehicle", column), ("table", table), ("low", low), ("high", high))
    above = Condition(lambda H_ft: at_least(H_ft, low))
    below = Condition(lambda H_ft: at_most(H_ft, high))
    limits = (
        Limit(above, Severity.OUTSIDE, "ground.above_load_table", numbers=reach, refuses="W_s"),
        Limit(below, Severity.OUTSIDE, "ground.below_load_table", numbers=reach, refuses="W_s"),
    )

    def by_cover(H_ft):
        """Live load by cover, on the straight line between the rows, impact included."""
        return linear_between(H_ft, rows)

    read, load = ("W_row", "W_psi") if about.unit == "psi" else ("W_row_psf", "W_psf")
    look_up = Equation(
        number,
        by_cover,
        read if neglected else load,
        clause=f"{column} column of the table in {about.source}",
        provenance=about.provenance,
        source=f"{about.source}; {about.note}",
        kind="look-up",
        limits=limits[:1] if neglected else limits,
    )
    if neglected:
        BEYOND[number] = _beyond(look_up, load, high)
    return look_up


def _beyond(look_up: Equation, load: str, last: float) -> Equation:
    """What holds beyond the last row of a table that neglects loads under 100 psf."""

    def beyond_last_row(H_ft, row):
        """Live load read from the table; none beyond its last row, where it is under 100 psf."""
        return np.where(at_most(H_ft, last), row, 0)

    return Equation(
        f"{look_up.number}, reach",
        beyond_last_row,
        load,
        clause="loads under 100 psf neglected",
        provenance=look_up.provenance,
        source=look_up.source,
        kind="choice",
        keys=("H_ft", look_up.result),
    )


H_20_PSI = _by_cover("H-20 table", "in psi", "H-20")
H_20_PSF = _by_cover("H-20 table in psf", "in psf", "H-20")
H_25_PSF = _by_cover("H-25 table in psf", "in psf", "H-25")
E_80_PSI = _by_cover("E-80 table", "in psi", "E-80")
E_80_PSF = _by_cover("E-80 table in psf", "in psf", "E-80")
AIRPORT_PSI = _by_cover("airport table", "in psi", "airport", neglected=False)


# Surface loads by the closed form


@equation("half side", result="half", **SURFACE)
def half_side(side):
    """Half a side of the loaded area."""
    return side / 2


@equation("half diameter", result="b_half", system="US", **SURFACE)
def half_diameter_us(D):
    """Half the width of the pipe, in the unit of the cover."""
    return D / 24


@equation("half diameter", result="b_half", system="SI", **SURFACE)
def half_diameter_si(D):
    """Half the width of the pipe, in the unit of the cover."""
    return D / 2000


@equation("corner", result="R_c", **SURFACE)
def corner_distance(a_half, b_half, H):
    """Distance from a corner of the loaded area to the point below its centre."""
    return np.sqrt(a_half**2 + b_half**2 + H**2)


@equation("Holl angle", result="alpha", kind="angle", **SURFACE)
def corner_angle(a_half, b_half, H, R_c):
    """Angle of the closed form, in radians."""
    return np.arctan(a_half * b_half / (H * R_c))


@equation("Cs", result="C_s", **SURFACE)
def load_coefficient(alpha, a_half, b_half, H, R_c):
    """Share of a uniform load that arrives below the centre of its rectangle.

    A rectangle of 0.2 H by 0.2 H gives 0.019 in print.

    >>> b = 0.1
    >>> r = corner_distance(b, b, 1.0)
    >>> round(float(load_coefficient(corner_angle(b, b, 1.0, r), b, b, 1.0, r)), 3)
    0.019
    """
    both = 1 / (a_half**2 + H**2) + 1 / (b_half**2 + H**2)
    return 2 * (alpha + a_half * b_half * H / R_c * both) / PI


@equation("distributed load", result="W_s", **SURFACE)
def distributed_load(C_s, p_load, F_i):
    """Pressure at the top of the pipe of a load spread over the ground above it."""
    return C_s * p_load * F_i


@equation("concentrated load", result="W_s", system="US", **SURFACE)
def concentrated_load_us(C_s, P_load, F_i, L_load, D):
    """Pressure of a single load, spread over the pipe's width and an effective length of it."""
    return C_s * P_load * F_i / (12 * L_load * D)


@equation("concentrated load", result="W_s", system="SI", **SURFACE)
def concentrated_load_si(C_s, P_load, F_i, L_load, D):
    """Pressure of a single load, spread over the pipe's width and an effective length of it."""
    return C_s * P_load * F_i / (L_load * D)


# Cooper E-80 by the closed form


@equation(
    "E-80 impact",
    result="I_M",
    clause="railway impact",
    provenance=Provenance.MEMORY,
    source="40 % at the ground, falling to 0 at 10 ft",
)
def railway_impact(H_ft):
    """Impact of railway loads."""
    return np.maximum(40 * (1 - 0.1 * H_ft), 0)


@equation(
    "impact factor",
    result="F_i",
    clause="impact",
    provenance=Provenance.DERIVED,
    source="definition of the allowance in percent",
)
def factor_of_allowance(I_M):
    """Impact as a factor."""
    return 1 + I_M / 100
