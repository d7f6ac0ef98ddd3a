"""Ovality as Appendix X1 takes it, and the reduction of buckling resistance by it."""

from __future__ import annotations

import numpy as np

from linerdesign.expressions.tolerance import HAIR, at_most
from linerdesign.methods.equation import Condition, Limit, Provenance, Severity, equation

# Nearly always a slip; common practice, no source.
FRACTION = Limit(
    Condition(lambda q_pipe: np.logical_or(q_pipe <= HAIR, q_pipe >= 0.2)),
    Severity.CAUTION,
    "design.ovality_as_fraction",
)
OVAL = Limit(Condition(lambda q: at_most(q, 10)), Severity.OUTSIDE, "f1216.high_ovality")
OVALITY = {"clause": "clause X1.2.1", "source": "Najafi 2010, sec. 2.7, applying ASTM F1216-09"}


@equation("q max", result="q_max", provenance=Provenance.SECONDARY, **OVALITY)
def ovality_from_maximum(D_max, D):
    """Ovality by the maximum diameter."""
    return 100 * (D_max - D) / D


@equation("q min", result="q_min", provenance=Provenance.MEMORY, **OVALITY)
def ovality_from_minimum(D, D_min):
    """Ovality by the minimum diameter."""
    return 100 * (D - D_min) / D


@equation("q larger", result="q_pipe", provenance=Provenance.SECONDARY, **OVALITY)
def larger_ovality(q_max, q_min):
    """Larger of the two ovalities."""
    return np.maximum(q_max, q_min)


@equation(
    "q design",
    result="q",
    clause="owner's criteria",
    provenance=Provenance.PRACTICE,
    source="floors in agency specifications",
    limits=(FRACTION, OVAL),
)
def design_ovality(q_pipe, q_floor):
    """Design ovality: the pipe's own, or the owner's minimum where that is larger."""
    return np.maximum(q_pipe, q_floor)


@equation("C", result="C", provenance=Provenance.SECONDARY, **OVALITY)
def ovality_reduction(q):
    """Reduction of buckling resistance by the ovality of the host.

    >>> round(ovality_reduction(2), 3)
    0.836
    """
    return ((1 - q / 100) / (1 + q / 100) ** 2) ** 3
