"""Numbers and texts as every output form writes them."""

from __future__ import annotations

import re
from collections.abc import Callable

from linerdesign.expressions.lettering import clean as clean
from linerdesign.expressions.printing import grouped, positional, raised
from linerdesign.methods.symbols import SYMBOLS, UNITS
from linerdesign.methods.thickness import FIGURES, given_in_millimetres
from linerdesign.methods.thickness import both_units as both_units
from linerdesign.methods.thickness import in_inches as in_inches
from linerdesign.methods.thickness import in_millimetres as in_millimetres
from linerdesign.methods.units import MM_PER_INCH

# Letters of a name of a pipe beside its number; the schedule has more of it.
SHORT_NAME = 40
MINUS = "\u2212"
# The key of the diameter that owners state in either unit.
DIAMETER = "D"
_UNITS = {unit: raised(unit) for pair in UNITS.values() for unit in pair if "^" in unit}


def short(text: str, most: int = 90) -> str:
    """Text for a place that holds few letters; the whole text is given elsewhere."""
    shown = clean(text)
    return shown if len(shown) <= most else shown[: most - 1] + "…"


def value_with_unit(
    key: str, value: float, system: str, number: Callable[[float], str] = positional
) -> str:
    """A step's value as its line prints it; a thickness in the other unit too where it needs it."""
    text = " ".join(number_and_unit(key, value, system, number)).strip()
    if SYMBOLS[key].kind != "thickness" or millimetres_given(key, value, system):
        return text
    if system == "US":
        return f"{text} ({positional(in_millimetres(value, system), FIGURES)} mm)"
    return f"{text} ({positional(in_inches(value, system), FIGURES)} in)"


def number_and_unit(
    key: str, value: float, system: str, number: Callable[[float], str] = positional
) -> tuple[str, str]:
    """A value in the unit of the sheet, or in the millimetres in which it was given."""
    if given := millimetres_given(key, value, system):
        return given, "mm"
    return number(value), SYMBOLS[key].unit(system)


def millimetres_given(key: str, value: float, system: str) -> str:
    """The millimetres that a thickness, or a mean diameter in inches, was given in; else empty."""
    thickness = SYMBOLS[key].kind == "thickness"
    if not (thickness or (key == DIAMETER and system == "US")):
        return ""
    if not ((value == 0 and thickness) or given_in_millimetres(value, system)):
        return ""
    return positional(in_millimetres(value, system))


def operand(
    key: str, value: float, system: str, number: Callable[[float], str] = positional
) -> str:
    """A value as the arithmetic on paper has it: millimetres over 25.4 where inches are not round.

    >>> operand("t", 4.5 / 25.4, "US"), operand("t", 0.130238, "US"), operand("t", 4.5, "SI")
    ('(4.5/25.4)', '0.130238', '4.5')
    """
    given = millimetres_given(key, value, system) if system == "US" and value else ""
    return f"({given}/{MM_PER_INCH})" if given else number(value)


_ALONE = re.compile(rf"(^|[(,] ?)\(([\d.]+/{re.escape(str(MM_PER_INCH))})\)(?=[,)]|$)")


def arithmetic(text: str) -> str:
    """Arithmetic without the brackets of an operand that stands by itself.

    >>> arithmetic("max(0.13, (4.5/25.4))"), arithmetic("10/(4.5/25.4)"), arithmetic("(5/25.4)")
    ('max(0.13, 4.5/25.4)', '10/(4.5/25.4)', '5/25.4')
    """
    return _ALONE.sub(r"\1\2", text)


def printed_value(key: str, value: float, system: str) -> str:
    """A value as print shows it: thousands set apart, a real minus, powers of its unit raised."""
    return raised(value_with_unit(key, value, system, printed_number))


def printed_text(text: str) -> str:
    """Words with arithmetic in them as print shows it."""
    return raised(text.replace("*", "·"))


def printed_number(value: float) -> str:
    """A number as print shows it outside arithmetic."""
    return grouped(value).replace("-", MINUS)


_NUMBER = re.compile(r"(-?)(\d+)(\.\d+)?(?: ([^ (][^ ]*))?")
_NEGATIVE = re.compile(r"(?<![^\s(])-(?=\d)")
_BETWEEN = re.compile(r"(?<=[\d)])( - |\*)(?=[\d(])")


def with_minus(text: str) -> str:
    """Running text with a real minus before its negative numbers.

    >>> with_minus("nominal thickness 5 mm, -1 mm (-0.30), 2026-11-20")
    'nominal thickness 5 mm, \u22121 mm (\u22120.30), 2026-11-20'
    """
    return _NEGATIVE.sub(MINUS, text)


def printed_cell(text: str) -> str:
    """The text of a cell as print shows it, where it is a number, with a unit or without.

    >>> printed_cell("250000 psi"), printed_cell("-2.333"), printed_cell("MH 1")
    ('250,000 psi', '\\u22122.333', 'MH 1')
    >>> printed_cell("4.72 (-0.30)"), printed_cell("3.5 + (2.8 - 3.5)/2*(17 - 16)")
    ('4.72 (\\u22120.30)', '3.5 + (2.8 \\u2212 3.5)/2·(17 \\u2212 16)')
    """
    found = _NUMBER.fullmatch(text)
    if found is None:
        signs = {"*": "·", " - ": f" {MINUS} "}
        return _UNITS.get(text) or _BETWEEN.sub(lambda sign: signs[sign[1]], with_minus(text))
    sign, whole, rest, unit = found.groups()
    whole = f"{int(whole):,}" if len(whole) > 4 else whole
    made = f"{MINUS if sign else ''}{whole}{rest or ''}"
    return f"{made} {raised(unit)}" if unit else made


def factor(value: float | None) -> str:
    """A safety factor with two decimals, cut and not rounded, so that 1.999 never reads 2.00."""
    if value is None:
        return "-"
    return f"{int(value * 100 + 1e-7) / 100:.2f}"
