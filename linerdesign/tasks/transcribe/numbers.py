"""Numbers with their units as people print them, turned into the spelling of a project file."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

# Spellings of units in a document, and the unit of a project file. "" is a unit that no key takes.
_SQUARED, _CUBED = r"\s?(?:\^?2|²)", r"\s?(?:\^?3|³)"
_FOOT, _INCH = r"(?:ft\.?|feet|foot)", r"(?:in\.?|inch(?:es)?)"
_POUND = r"(?:pounds?|lbs?\.?f?|lbf)"
UNITS: tuple[tuple[str, str], ...] = (
    (rf"{_FOOT}\s+(?:of\s+)?(?:water|H2O)(?!\s*(?:above|over|below|level|table))", "ft of water"),
    (
        r"(?:m|metres?|meters?)\s+(?:of\s+)?(?:water|H2O)(?!\s*(?:above|over|below|level))",
        "m of water",
    ),
    (rf"{_POUND}\s*(?:/|per)\s*(?:cu(?:bic|\.)?\s*{_FOOT}|{_FOOT}{_CUBED})", "pcf"),
    (rf"{_POUND}\s*(?:/|per)\s*(?:sq(?:uare|\.)?\s*{_FOOT}|{_FOOT}{_SQUARED})", "psf"),
    (rf"{_POUND}\s*(?:/|per)\s*(?:sq(?:uare|\.)?\s*{_INCH}|{_INCH}{_SQUARED})", "psi"),
    (r"psig?|PSIG?|p\.s\.i\.", "psi"),
    (r"psf|PSF", "psf"),
    (r"ksi|KSI", "ksi"),
    (r"pcf|PCF", "pcf"),
    (r"kN\s*/\s*m" + _CUBED, "kN/m^3"),
    (r"kN\s*/\s*m" + _SQUARED, "kPa"),
    (r"MN\s*/\s*m" + _SQUARED, "MPa"),
    (r"kN\s*/\s*mm" + _SQUARED, "GPa"),
    (r"N\s*/\s*mm" + _SQUARED, "MPa"),
    (r"kg\s*/\s*m" + _CUBED, "kg/m^3"),
    (r"g\s*/\s*(?:cm" + _CUBED + r"|cc)", "g/cm^3"),
    (r"in\.?" + _CUBED + r"(?:\s*/\s*in\.?)?", ""),
    (
        r"in\.?" + _SQUARED + r"|in\.?\s?(?:\^?4|⁴)(?:\s*/\s*in\.?)?|mm\s?(?:\^?[234]|[²³⁴])"
        r"(?:\s*/\s*mm)?",
        "",
    ),
    (r"kPa", "kPa"),
    (r"MPa|Mpa", "MPa"),
    (r"GPa", "GPa"),
    (r"bars?", "bar"),
    (r"mm|millimet(?:re|er)s?", "mm"),
    (r"cm|centimet(?:re|er)s?", "cm"),
    (r"metres?|meters?|m", "m"),
    (rf"{_FOOT}|FT|Ft|lf|LF", "ft"),
    (rf"{_INCH}|IN|In|Inch(?:es)?", "in"),
    (r"''|\"|″|”|“", "in"),
    (r"'|′|’", "ft"),
    (r"%|percent|per\s?cent", "%"),
    (
        r"°\s?[CF]|deg(?:rees?)?|°|years?|yrs?|hours?|hrs?|days?|weeks?|kips?|kN|N|lbf?|lbs|pounds|kg"
        r"|sheets?|pages?|miles?|km",
        "",
    ),
)
_ANY_UNIT = "|".join(f"(?P<u{index}>{spelled})" for index, (spelled, _) in enumerate(UNITS))
# "6 in the trench" and "2 in Table 3" are not inches.
_PREPOSITION = (
    r"(?!in\s+(?i:the|a|an|this|that|all|each|table|figure|section|appendix|accordance)\b)"
)
_UNIT = re.compile(rf"{_PREPOSITION}(?:{_ANY_UNIT})(?![A-Za-z0-9²³])")
_BETWEEN = re.compile(r"[ \t\u00a0\u2009\u202f]?-?(?=[^\s])|[ \t]{2}(?=\S)")

_THIN = "\u00a0\u2009\u202f"
_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_FRACTION = rf"(?:\d{{1,2}}/(?:64|32|16|8|4|2)|[{''.join(_FRACTIONS)}])(?!\d)"
_DECIMAL = r"(?:\d+(?:\.\d+)?|\.\d+)"
_FEET_AND_INCHES = re.compile(
    rf"(?P<feet>\d+)\s?(?:'|′|’|ft\.?|feet)\s?[-–−]?\s?(?P<inches>{_DECIMAL}(?:[ -]{_FRACTION})?)"
    rf"\s?(?:''|\"|″|”|in\.?(?![A-Za-z])|inches)"
)
_MIXED = re.compile(
    rf"(?:(?P<whole>\d+)(?:[ -]|(?=[{''.join(_FRACTIONS)}])))?(?P<part>{_FRACTION})"
)
_PLAIN = re.compile(
    rf"(?P<sign>[-−+±]\s?)?(?P<digits>\d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?(?![\d])"
    rf"|\d{{1,3}}(?:[{_THIN}]\d{{3}})+(?:[.,]\d+)?(?!\d)"
    rf"|\d{{1,3}}(?: \d{{3}})+(?![\d.,])"
    rf"|\d+[.,]\d+|\.\d+|\d+)"
    r"(?P<power>[eE][+-]?\d+|\s?[x×·*]\s?10\s?(?:\^\s?\(?[-−+]?\d+\)?|[⁻⁺]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))?"
)
_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_BOUND = re.compile(r"(?:[<>≤≥~≈±]|[<>]=|=\s*[<>])\s*$")


@dataclass(frozen=True)
class Number:
    """A number in a text: its span, its value as a plain decimal, its unit, and its doubts.

    `unit` is None where none is printed, "" where it is one that no key takes. `doubts` are codes
    of sentences: why the number may have been meant otherwise.
    """

    start: int
    end: int
    decimal: str
    unit: str | None
    doubts: tuple[str, ...] = ()

    @property
    def value(self) -> float:
        """The number itself, in its unit."""
        return float(self.decimal)

    @property
    def text(self) -> str:
        """The quantity as a project file has it."""
        return f"{self.decimal} {self.unit}" if self.unit else self.decimal

    def in_unit(self, unit: str | None) -> Number:
        """The number with the unit that a header or a neighbouring cell gives it."""
        return replace(self, unit=unit)


def comma_of(text: str) -> str:
    """What a comma in a number of this document means: `point`, `thousands`, or nothing known."""
    point = re.search(r"(?<![\d,.])(?:0,\d+|\d+,(?:\d{1,2}|\d{4,}))(?![\d,.])", text)
    thousands = re.search(r"\d,\d{3}\.\d|\d,\d{3},\d{3}|(?<![\d.,])\d+\.\d{1,2}(?![\d.])", text)
    if point and not thousands:
        return "point"
    return "thousands" if thousands and not point else ""


def unit_at(text: str, position: int) -> tuple[str, int] | None:
    """The unit printed at a position, and where it ends."""
    match = _UNIT.match(text, position)
    if not match or match.lastgroup is None:
        return None
    return UNITS[int(match.lastgroup[1:])][1], match.end()


@cache
def unit_alone(text: str) -> str | None:
    """The unit that a text consists of, brackets aside; none if it is anything else."""
    bare = text.strip().strip("()[]").strip()
    found = unit_at(bare, 0) if bare else None
    return found[0] if found and found[1] == len(bare) else None


def numbers(text: str, comma: str = "") -> Iterator[Number]:
    """The numbers that stand by themselves in a text, in order, each with its unit."""
    position = 0
    while position < len(text):
        found = _number_at(text, position, comma)
        if found is None:
            position += 1
            continue
        yield found
        position = found.end


def _number_at(text: str, position: int, comma: str) -> Number | None:
    before = text[position - 1] if position else " "
    if (
        before.isalnum()
        or before in "._{"
        or not (text[position] in ".-−+±" or _digit(text, position))
    ):
        return None
    found = _composed(text, position) or _plain(text, position, comma)
    if found and _BOUND.search(text, max(0, position - 5), position):
        return replace(found, doubts=(*found.doubts, "transcribe.bound"))
    return found


def _digit(text: str, position: int) -> bool:
    return text[position] in _FRACTIONS or text[position] in "0123456789"


def _composed(text: str, position: int) -> Number | None:
    """Feet with inches, and inches with a fraction."""
    if match := _FEET_AND_INCHES.match(text, position):
        feet = float(match["feet"]) + _with_fraction(match["inches"]) / 12
        return Number(position, match.end(), f"{feet:.10g}", "ft")
    match = _MIXED.match(text, position)
    if not match:
        return None
    unit = _unit_behind(text, match.end())
    if unit is None or unit[0] not in ("in", "ft"):
        return None
    number = float(match["whole"] or 0) + _ratio(match["part"])
    return Number(position, unit[1], f"{number:.10g}", unit[0])


def _with_fraction(text: str) -> float:
    whole, *part = re.split(r"[ -]", text)
    return float(whole) + (_ratio(part[0]) if part else 0.0)


def _ratio(text: str) -> float:
    upper, _, lower = _FRACTIONS.get(text, text).partition("/")
    return float(upper) / float(lower)


def _unit_behind(text: str, end: int) -> tuple[str, int] | None:
    gap = _BETWEEN.match(text, end)
    return unit_at(text, gap.end()) if gap else None


def _plain(text: str, position: int, comma: str) -> Number | None:
    match = _PLAIN.match(text, position)
    if not match:
        return None
    unit = _unit_behind(text, match.end())
    if unit is None and match.end() < len(text) and (text[match.end()].isalpha()):
        return None
    decimal, doubts = _decimal(match["digits"], comma, unit[0] if unit else None)
    sign = (match["sign"] or "").strip().replace("−", "-")
    if sign and position and not text[position - 1].isspace() and text[position - 1] not in "(=:":
        return None
    if sign == "±":
        doubts += ("transcribe.bound",)
    power = _power(match["power"])
    if power or len(decimal) > 20:
        spelled = f"{decimal}e{power or 0}"
        # A number larger than any float stays as it is printed, and no key takes it.
        decimal = f"{float(spelled):.12g}" if float(spelled) < math.inf else spelled
    decimal = f"-{decimal}" if sign == "-" else decimal
    return Number(position, unit[1] if unit else match.end(), decimal, unit and unit[0], doubts)


def _power(text: str | None) -> str:
    """The exponent of ten, as digits with their sign; empty where there is none."""
    if not text:
        return ""
    if text[0] in "eE":
        return text[1:]
    digits = re.sub(r"^\s?[x×·*]\s?10\s?\^?", "", text).strip(" ()").replace("−", "-")
    return digits.translate(_SUPERSCRIPTS)


def _decimal(digits: str, comma: str, unit: str | None) -> tuple[str, tuple[str, ...]]:
    """The digits with a point for the decimals, and doubts about separators."""
    if any(space in digits for space in _THIN):
        return re.sub(rf"[{_THIN}]", "", digits).replace(",", "."), ()
    if " " in digits:
        return digits.replace(" ", ""), ("transcribe.spaced",)
    if "," not in digits:
        either = comma == "point" and re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", digits)
        return digits, ("transcribe.separator",) if either else ()
    if not re.fullmatch(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?", digits):
        return digits.replace(",", "."), ()
    parts_thousands = digits.count(",") > 1 or "." in digits or comma == "thousands"
    us = unit in ("psi", "psf", "pcf", "ft", "in", "ksi")
    if parts_thousands or (comma != "point" and (us or digits.endswith(",000"))):
        return digits.replace(",", ""), ()
    plain = digits.replace(",", "." if comma == "point" else "")
    return plain, ("transcribe.separator",)
