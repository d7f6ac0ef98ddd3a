"""The wall of one tube in the legs of a line: stretched to each diameter, and put round bends."""

from __future__ import annotations

from linerdesign.methods.equation import Provenance, equation
from linerdesign.methods.quantities import PI

BEND = {
    "clause": "bend",
    "provenance": Provenance.DERIVED,
    "source": "a tube of constant volume put round a bend of this centre-line radius",
}
FOLD = {
    "clause": "fold",
    "provenance": Provenance.DERIVED,
    "source": "upper bound: all of the excess in one fold",
}


@equation(
    "stretch",
    result="x_stretch",
    clause="stretch",
    provenance=Provenance.DERIVED,
    source="geometry",
)
def circumferential_stretch(D_leg, D_tube):
    """Circumferential stretch of the tube; negative for a tube wider than the host.

    >>> round(circumferential_stretch(6.0, 4.0), 6)
    50.0
    """
    return 100 * (D_leg / D_tube - 1)


@equation("bend share", result="x_bend", **BEND)
def bend_share(D_leg, R_bend):
    """Change of length of the outer and inner side of a bend.

    >>> bend_share(6.0, 12.0)
    25.0
    """
    return 100 * D_leg / (2 * R_bend)


@equation("bend outside", result="t_bend_out", **BEND)
def outside_of_bend(t_leg, x_bend):
    """Wall thickness at the outer side of a bend.

    >>> outside_of_bend(5.0, 25.0)
    4.0
    """
    return t_leg / (1 + x_bend / 100)


@equation("bend inside", result="t_bend_in", **BEND)
def inside_of_bend(t_leg, x_bend):
    """Wall thickness at the inner side of a bend, where it shortens without wrinkles.

    >>> inside_of_bend(3.0, 25.0)
    4.0
    """
    return t_leg / (1 - x_bend / 100)


@equation("bend excess", result="L_excess", **BEND)
def excess_length(alpha_bend, D_leg):
    """Excess length of the tube at the inner side of a bend.

    >>> round(excess_length(90.0, 4.0), 4)
    3.1416
    """
    return PI * alpha_bend / 180 * D_leg / 2


@equation("wrinkle", result="h_wrinkle", **FOLD)
def wrinkle_height(L_excess):
    """Largest height of a wrinkle at the inner side of a bend."""
    return L_excess / 2


@equation("fin", result="h_fin", **FOLD)
def fin_height(D_tube, D_leg):
    """Largest height of the longitudinal fold of a tube wider than the host."""
    return PI * (D_tube - D_leg) / 2
