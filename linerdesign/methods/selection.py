"""From the thicknesses required to the nominal thickness."""

from __future__ import annotations

from functools import reduce

import numpy as np

from linerdesign.expressions.tolerance import SAME
from linerdesign.expressions.tracing import next_listed
from linerdesign.expressions.tree import Table
from linerdesign.methods.equation import (
    Condition,
    Equation,
    Limit,
    Provenance,
    Severity,
    equation,
)

SOLVED = {"provenance": Provenance.DERIVED, "source": "the thickest of all checks governs"}
PRACTICE = {
    "provenance": Provenance.PRACTICE,
    "source": "tubes come in steps of thickness",
    "clause": "owner's criteria",
}


def thickest(*keys: str) -> Equation:
    """The equation that takes the largest of the thicknesses required by these checks."""

    def largest(*thicknesses):
        """Thickest of the checks that apply."""
        return reduce(np.maximum, thicknesses)

    about = equation(
        "t required", result="t_required", clause="largest of all checks", keys=keys, **SOLVED
    )
    return about(largest)


# Where the DR limit governs, the thickness required is its own, to the last digit.
UNFLOORED = Limit(
    Condition(lambda t_floor, t_required, t_DR_limit: t_floor + t_required > t_DR_limit),
    Severity.CAUTION,
    "design.only_dimension_ratio",
)


@equation("t least", result="t_least", limits=(UNFLOORED,), **PRACTICE)
def floored(t_required, t_floor):
    """Thickness required, or the owner's floor where that is larger."""
    return np.maximum(t_required, t_floor)


@equation("steps", result="n_steps", kind="rounding", **PRACTICE)
def steps_needed(t_least, s):
    """Whole steps of thickness; a step counts as reached within a billionth."""
    return np.ceil(t_least / s - SAME)


@equation("t nominal", result="t", **PRACTICE)
def stepped(n_steps, s):
    """Nominal thickness, a whole number of steps."""
    return n_steps * s


def listed(sizes: Table) -> Equation:
    """The rounding to the next of the sizes that a resin is made in."""

    @equation("t nominal", result="t", kind="rounding", **PRACTICE)
    def next_size(t_least):
        """Nominal thickness, the next listed size up."""
        return next_listed(t_least, sizes)

    return next_size


@equation("N provided", result="provided", clause="capacity over demand", **SOLVED)
def safety_provided(N, capacity, demand):
    """Safety factor provided: the capacity already holds the design's own N."""
    return N * capacity / demand
