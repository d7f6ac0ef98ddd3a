"""What the printed digits of a stated value tell: another unit, or too few to decide anything."""

from __future__ import annotations

import re

from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert
from linerdesign.tasks.review.submittal import Item, number_of, rounding_of

# The units in which the trade writes a quantity of each kind, and so mistakes one for another.
_UNITS = {
    "thickness": ("mm", "in", "cm"),
    "section": ("mm", "in", "cm", "ft", "m"),
    "depth": ("m", "ft", "in", "mm", "cm"),
    "stress": ("psi", "MPa", "kPa", "psf", "ksi", "GPa"),
    "unit weight": ("pcf", "kN/m^3"),
}
# Fewer figures than this agree with nearly anything in some unit.
_FIGURES = 2


def unit_meant(item: Item, ours: float) -> str:
    """The unit in which the stated digits would be our number; empty where there is none."""
    if figures(item) < _FIGURES:
        return ""
    last = rounding_of(item.stated) * (1 + 1e-6)
    for unit in _UNITS.get(SYMBOLS[item.key].kind, ()):
        length = convert(1.0, unit, item.unit)
        if unit != item.stated.unit and abs(item.stated.number * length - ours) <= last * length:
            return unit
    return ""


def figures(item: Item) -> int:
    """How many figures the stated value has, leading zeros left out."""
    number = re.match(r"[\s+-]*([\d.]*)", number_of(item.stated))
    return len(number[1].replace(".", "").lstrip("0")) if number else 0
