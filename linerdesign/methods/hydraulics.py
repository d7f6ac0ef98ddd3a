"""Full-flow capacity of a pipe before and after lining, by Manning's formula."""

from __future__ import annotations

from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import at_least
from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation
from linerdesign.methods.quantities import PI

MANNING = {"clause": "Manning", "source": "Manning's formula for a circular pipe running full"}
MANNING_OPEN = {"clause": "Manning", "source": "Manning's formula, n the same at every depth"}
PRINTED = {
    "clause": "Manning",
    "provenance": Provenance.SEEN,
    "source": "Najafi 2010, table 2.14",
}
LINER_RANGE = tuple(
    Limit(Condition(holds), Severity.CAUTION, "design.unusual_liner_roughness")
    for holds in (lambda n_liner: n_liner >= 0.009, lambda n_liner: n_liner <= 0.012)
)
HOST_RANGE = tuple(
    Limit(
        Condition(holds),
        Severity.CAUTION,
        "design.unusual_host_roughness",
    )
    for holds in (lambda n_host: n_host >= 0.013, lambda n_host: n_host <= 0.030)
)


@equation(
    "liner bore",
    result="D_liner",
    clause="geometry",
    provenance=Provenance.DERIVED,
    source="geometry",
)
def liner_bore(D, t):
    """Inside diameter of the liner."""
    return D - 2 * t


def fills(D: Any, t: Any) -> Any:
    """Whether a wall leaves no bore in a pipe: of half its diameter, or more; numbers or arrays."""
    return at_least(t, D / 2)


@equation("capacity", result="r_Q", limits=(*LINER_RANGE, *HOST_RANGE), **PRINTED)
def capacity_after_lining(n_host, n_liner, D_liner, D):
    """Full-flow capacity after lining, as a percentage of the capacity before.

    >>> round(capacity_after_lining(0.014, 0.010, 28, 30))
    116
    """
    return 100 * (n_host / n_liner) * np.cbrt(D_liner / D) ** 8


@equation("full flow", result="Q_full", system="US", provenance=Provenance.MEMORY, **MANNING)
def full_flow_us(n_bore, D_bore, S_bed):
    """Flow of the full pipe at the slope of its bed."""
    return (
        1.486
        / n_bore
        * (PI * (D_bore / 12) ** 2 / 4)
        * np.cbrt(D_bore / 48) ** 2
        * np.sqrt(S_bed / 100)
    )


@equation("full flow", result="Q_full", system="SI", provenance=Provenance.MEMORY, **MANNING)
def full_flow_si(n_bore, D_bore, S_bed):
    """Flow of the full pipe at the slope of its bed."""
    return (
        1
        / n_bore
        * (PI * (D_bore / 1000) ** 2 / 4)
        * np.cbrt(D_bore / 4000) ** 2
        * np.sqrt(S_bed / 100)
    )


PART = {
    "clause": "Manning",
    "provenance": Provenance.DERIVED,
    "source": "segment of a circle below the water level",
}


@equation("wetted angle", result="phi_flow", kind="angle", **PART)
def wetted_angle(y_flow, D_bore):
    """Half of the angle that the wetted perimeter takes at the centre, in radians.

    >>> round(float(wetted_angle(4.0, 8.0)), 6)
    1.570796
    """
    return 2 * np.arctan(np.sqrt(y_flow / (D_bore - y_flow)))


@equation("flow area", result="A_flow", **PART)
def flow_area(D_bore, phi_flow, y_flow):
    """Area of the water in a section.

    >>> round(float(flow_area(8.0, 1.5707963, 4.0)), 4)
    25.1327
    """
    return D_bore**2 / 4 * phi_flow - (D_bore / 2 - y_flow) * np.sqrt(y_flow * (D_bore - y_flow))


@equation("hydraulic radius", result="R_flow", **PART)
def hydraulic_radius(A_flow, D_bore, phi_flow):
    """Area of the water over its wetted perimeter.

    >>> round(float(hydraulic_radius(25.1327, 8.0, 1.5707963)), 4)
    2.0
    """
    return A_flow / (D_bore * phi_flow)


@equation("velocity", result="v_flow", system="US", provenance=Provenance.MEMORY, **MANNING_OPEN)
def velocity_us(n_bore, R_flow, S_bed):
    """Mean velocity of uniform flow."""
    return 1.486 / n_bore * np.cbrt(R_flow / 12) ** 2 * np.sqrt(S_bed / 100)


@equation("velocity", result="v_flow", system="SI", provenance=Provenance.MEMORY, **MANNING_OPEN)
def velocity_si(n_bore, R_flow, S_bed):
    """Mean velocity of uniform flow."""
    return 1 / n_bore * np.cbrt(R_flow / 1000) ** 2 * np.sqrt(S_bed / 100)


@equation("part-full flow", result="Q_part", system="US", **PART)
def part_full_flow_us(v_flow, A_flow):
    """Flow at this depth: the one that the depth was solved for."""
    return v_flow * A_flow / 144


@equation("part-full flow", result="Q_part", system="SI", **PART)
def part_full_flow_si(v_flow, A_flow):
    """Flow at this depth: the one that the depth was solved for."""
    return v_flow * A_flow / 1000000


@equation("relative depth", result="x_depth", **PART)
def relative_depth(y_flow, D_bore):
    """Depth of flow over the inside diameter."""
    return 100 * y_flow / D_bore
