"""Numbers and texts as every output form writes them."""

from __future__ import annotations

from linerdesign.expressions.printing import positional
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.thickness import both_units as both_units
from linerdesign.methods.thickness import in_inches as in_inches
from linerdesign.methods.thickness import in_millimetres as in_millimetres


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
