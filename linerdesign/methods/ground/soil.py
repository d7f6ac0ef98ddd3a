"""Modulus of soil reaction read from published tables: by depth, and native soil with trench fill.

The tables are from memory. Depths are in ft and moduli in psi, as printed.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import at_least, at_most
from linerdesign.expressions.tracing import linear_between
from linerdesign.methods.equation import Condition, Equation, Limit, Provenance, Severity, equation
from linerdesign.methods.ground.published import Published, published
from linerdesign.methods.units import MPA_PER_PSI

COMPACTIONS = ("85 %", "90 %", "95 %", "100 %")
DEEPEST = 20.0
COMBINED = {
    "clause": "native soil and trench fill",
    "provenance": Provenance.MEMORY,
    "source": "AWWA M45",
}


@equation(
    "E's from psi",
    result="E_s",
    provenance=Provenance.DERIVED,
    source="definition of the units",
    clause="SI",
)
def modulus_from_psi(E_psi):
    """Modulus in the unit of the sheet."""
    return MPA_PER_PSI * E_psi


# By depth


def depth_table() -> Published:
    """The table of E' by soil, depth and relative compaction."""
    return published("soil_modulus")["Duncan & Hartley 1982"]


def _by_depth(soil: str, compaction: str) -> Equation:
    """The look-up of E' by cover for one soil of the table and one of `COMPACTIONS`."""
    table = depth_table()
    place = table.columns.index(compaction)
    bands = [(row[2], float(row[place])) for row in table.rows if row[0] == soil]

    def by_depth(H_ft):
        """Modulus of soil reaction of the band of depth that the cover lies in."""
        modulus: Any = bands[-1][1]
        for depth, value in reversed(bands[:-1]):
            modulus = np.where(H_ft <= depth, value, modulus)
        return modulus

    return Equation(
        "E's by depth",
        by_depth,
        "E_psi",
        clause=f"{table.name}, {soil}, {compaction} relative compaction",
        provenance=table.provenance,
        source=table.source,
        kind="look-up",
        row=f"{soil}, {compaction}",
        limits=(
            Limit(
                Condition(lambda H_ft: at_most(H_ft, DEEPEST)),
                Severity.OUTSIDE,
                "ground.beyond_depth_table",
                refuses="E_s",
            ),
        ),
    )


BY_DEPTH = {
    (soil, compaction): _by_depth(soil, compaction)
    for soil in dict.fromkeys(row[0] for row in depth_table().rows)
    for compaction in COMPACTIONS
}


# Native soil and trench fill


@equation("E'n/E'b", result="r_n", **COMBINED)
def native_ratio(E_n, E_b):
    """How stiff the native soil is beside the trench fill."""
    return E_n / E_b


@equation("Bd/D", result="r_B", **COMBINED)
def trench_ratio(B_d, D):
    """Width of the trench over the diameter, the wall of the host neglected."""
    return B_d / D


@equation("Bd/D", result="r_B", **COMBINED)
def trench_ratio_outside(B_d, D, t_host):
    """Width of the trench over the outside diameter of the host."""
    return B_d / (D + 2 * t_host)


def _combining(name: str) -> Equation:
    """The combining table of one edition, on straight lines between its rows and columns."""
    table = published("soil_modulus")[name]
    widths = [float(column) for column in table.columns[1:]]
    columns = [table.column(width) for width in widths]
    softest = columns[0].xs[0]

    def combining_factor(r_n, r_B):
        """Soil support combining factor, on straight lines between rows and columns."""
        factors = [linear_between(r_n, column) for column in columns]
        factor = factors[-1]
        for i in reversed(range(len(widths) - 1)):
            share = (r_B - widths[i]) / (widths[i + 1] - widths[i])
            between = factors[i] + (factors[i + 1] - factors[i]) * share
            factor = np.where(r_B <= widths[i + 1], between, factor)
        return np.where(r_B <= widths[0], factors[0], factor)

    return Equation(
        f"Sc {name}",
        combining_factor,
        "S_c",
        clause=f"combining table of {name}",
        provenance=table.provenance,
        source=table.source,
        kind="look-up",
        limits=(
            Limit(
                Condition(lambda r_n: at_least(r_n, softest)),
                Severity.OUTSIDE,
                "ground.soft_native_soil",
                numbers=(("least", softest),),
                refuses="E_s",
            ),
            Limit(
                Condition(lambda r_B: at_least(r_B, widths[0])),
                Severity.OUTSIDE,
                "ground.narrow_trench",
                numbers=(("least", widths[0]),),
                refuses="E_s",
            ),
        ),
    )


COMBINING_1996 = _combining("1996")
COMBINING_2005 = _combining("2005")


@equation("E's combined", result="E_s", **COMBINED)
def combined_modulus(S_c, E_b):
    """Modulus of soil reaction of native soil and trench fill together."""
    return S_c * E_b
