"""A thickness in the two units that a sheet prints it in."""

from __future__ import annotations

from linerdesign.expressions.printing import positional
from linerdesign.methods.units import MM_PER_INCH


def in_millimetres(thickness: float, system: str) -> float:
    """A thickness of the sheet in mm, free of the last binary digits of a conversion."""
    return round(thickness * (MM_PER_INCH if system == "US" else 1.0), 9)


def in_inches(thickness: float, system: str) -> float:
    """A thickness of the sheet in inches."""
    return thickness / (1.0 if system == "US" else MM_PER_INCH)


def both_units(thickness: float, system: str) -> str:
    """A thickness as `25.62 mm (1.009 in)`."""
    millimetres = positional(in_millimetres(thickness, system), 4)
    return f"{millimetres} mm ({positional(in_inches(thickness, system), 4)} in)"
