"""Numbers and texts as every output form writes them."""

from __future__ import annotations

from collections.abc import Callable

from linerdesign.expressions.lettering import clean as clean
from linerdesign.expressions.printing import grouped, positional, raised
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.thickness import both_units as both_units
from linerdesign.methods.thickness import in_inches as in_inches
from linerdesign.methods.thickness import in_millimetres as in_millimetres


def value_with_unit(
    key: str, value: float, system: str, number: Callable[[float], str] = positional
) -> str:
    """A step's value as its line prints it; a thickness in the other unit too."""
    quantity = SYMBOLS[key]
    text = f"{number(value)} {quantity.unit(system)}".strip()
    if quantity.kind != "thickness":
        return text
    if system == "US":
        return f"{text} ({number(in_millimetres(value, system))} mm)"
    return f"{text} ({number(in_inches(value, system))} in)"


def printed_value(key: str, value: float, system: str) -> str:
    """A value as print shows it: thousands set apart, a real minus, powers of its unit raised."""
    return raised(value_with_unit(key, value, system, printed_number))


def printed_text(text: str) -> str:
    """Words with arithmetic in them as print shows it."""
    return raised(text.replace("*", "·"))


def printed_number(value: float) -> str:
    """A number as print shows it outside arithmetic."""
    return grouped(value).replace("-", "\u2212")


def factor(value: float | None) -> str:
    """A safety factor with two decimals, cut and not rounded, so that 1.999 never reads 2.00."""
    if value is None:
        return "-"
    return f"{int(value * 100 + 1e-7) / 100:.2f}"
