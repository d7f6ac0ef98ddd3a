"""Numbers and texts as every output form writes them."""

from __future__ import annotations

from linerdesign.equations.printing import positional
from linerdesign.equations.symbols import SYMBOLS

MM_PER_INCH = 25.4


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


def value_with_unit(key: str, value: float, system: str) -> str:
    """A step's value as its line prints it; a thickness in the other unit too."""
    quantity = SYMBOLS[key]
    text = f"{positional(value)} {quantity.unit(system)}".strip()
    if quantity.kind != "thickness":
        return text
    if system == "US":
        return f"{text} ({positional(in_millimetres(value, system))} mm)"
    return f"{text} ({positional(in_inches(value, system))} in)"


def factor(value: float | None) -> str:
    """A safety factor with two decimals, cut and not rounded, so that 1.999 never reads 2.00."""
    if value is None:
        return "-"
    return f"{int(value * 100 + 1e-7) / 100:.2f}"


def clean(text: str) -> str:
    """Text of a project file on one line, control and direction characters made visible."""
    return "".join(c if c.isprintable() else repr(c)[1:-1] for c in text)
