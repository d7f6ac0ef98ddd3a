"""Full-flow capacity of a pipe before and after lining, by Manning's formula."""

from __future__ import annotations

import numpy as np

from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation
from linerdesign.methods.quantities import PI

MANNING = {"clause": "Manning", "source": "Manning's formula for a circular pipe running full"}
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
