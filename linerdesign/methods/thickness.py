"""A thickness in the two units that a sheet prints it in."""

from __future__ import annotations

from linerdesign.expressions.printing import NOISE, positional
from linerdesign.methods.units import MM_PER_INCH

# Figures of a thickness as it is stated, and in the unit that no line takes up.
FIGURES = 4


def in_millimetres(thickness: float, system: str) -> float:
    """A thickness of the sheet in mm, free of the last binary digits of a conversion."""
    return round(thickness * (MM_PER_INCH if system == "US" else 1.0), 9)


def in_inches(thickness: float, system: str) -> float:
    """A thickness of the sheet in inches."""
    return thickness / (1.0 if system == "US" else MM_PER_INCH)


def given_in_millimetres(thickness: float, system: str) -> bool:
    """Whether a thickness is a round number of millimetres, and not of inches.

    Such a wall is ordered in millimetres, and in inches would show figures that nobody stated.
    """
    return _is_round(in_millimetres(thickness, system)) and not _is_round(
        in_inches(thickness, system)
    )


def _is_round(value: float) -> bool:
    """Whether a number has no more figures than a thickness is stated with."""
    return abs(float(f"{value:.{FIGURES}g}") - value) < NOISE * abs(value)


def both_units(thickness: float, system: str) -> str:
    """A thickness as `25.62 mm (1.009 in)`, or as `4.5 mm` where it was given so."""
    millimetres = f"{positional(in_millimetres(thickness, system), FIGURES)} mm"
    if given_in_millimetres(thickness, system):
        return millimetres
    return f"{millimetres} ({positional(in_inches(thickness, system), FIGURES)} in)"
