"""Units as people write them, `ft.`, `PSI`, `#/cf`, `° F`, by their names in the list of units."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from pathlib import Path

import pint

TEMPERATURES = ("degC", "degF")  # scales with a zero of their own
_LIST = Path(__file__).with_name("units.txt")
_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_MARKS = str.maketrans(
    {
        **dict.fromkeys("\u2032\u2019\u2018\u00b4`", "'"),
        **dict.fromkeys("\u2033\u201d\u201c", '"'),
        **dict.fromkeys("\u00ba\u02da", "\u00b0"),
        **dict.fromkeys("\u2212\u2010\u2011\u2013", "-"),
        **dict.fromkeys("\u00a0\u2007\u2009\u202f", " "),
        "\uff05": "%",
        **{mark: f" {fraction}" for mark, fraction in _FRACTIONS.items()},
    }
)
_NAME = r"[A-Za-z]+(?:\^?-?[0-9]|\*\*[0-9])?"
_UNIT = re.compile(rf"{_NAME}(?:\s*[*/]\s*{_NAME}|\s+{_NAME})*|%")
_HEIGHT = "ft|foot|feet|m|met(?:re|er)s?|in|inch|inches"
# Ways of writing and the plain one, replaced in this order.
_WRITTEN = tuple(
    (re.compile(pattern), plain)
    for pattern, plain in (
        (r"^-(?=[A-Za-z])", ""),
        (r"(?<=[A-Za-z])\.", ""),
        ("\u00b2", "^2"),
        ("\u00b3", "^3"),
        ("\u2074", "^4"),
        ("\u00b7", "*"),
        ("#", "lb"),
        ('^"$', "in"),
        ("^'$", "ft"),
        (r"(?i)^(?:per\s?cent|pct)$", "%"),
        (r"(?i)^(?:\u00b0|deg(?:rees?)?)?\s*F(?:ahrenheit)?$", "degF"),
        (r"(?i)^(?:\u00b0|deg(?:rees?)?)?\s*C(?:elsius|entigrade)?$", "degC"),
        ("\u00b0", "deg"),
        (r"(?i)^lin(?:ear)?\s+(?=f)", ""),
        (r"(?i)\bsq\b\s*", "square "),
        (r"(?i)\bcu\b\s*", "cubic "),
        (rf"(?i)\b({_HEIGHT})\s*(?:WC|H2O|head)\b", r"\1 water"),
        (rf"(?i)\b({_HEIGHT})\s+(?:of\s+)?(?:water|head)\b", r"\1 of water"),
        (r"(?i)\b(in|inch|inches|mm)\s*(?:of\s+)?(?:Hg|mercury)\b", r"\1 of mercury"),
    )
)
_WORDS = {"per", "of", "water", "mercury", "square", "cubic"}
_OF_LIQUID = re.compile(r"\b(\w+) of (water|mercury)\b")
# Units beside which a comma is never a decimal point.
_CUSTOMARY = re.compile(
    "in|inch|inches|ft|foot|feet|LF|lf|VF|vf|yd|yard|mi|mile|psi|psig|ksi|psf|ksf|tsf|pcf|kcf|lbs?|lbf"
    "|pound|kip|k|oz|tonf|cf|cy|cfs|gpm|mgd|fps|fpm|gal|gallon|degF|hp|sec|s|min|h|per|square|cubic"
    "|of|water|mercury"
)
# Units that are two, each with their readings: a number of another unit.
_SEVERAL = {
    "ton": ((2000.0, "lb"), (1.0, "t")),
    "mil": ((0.001, "in"), (1.0, "mm")),
}


@cache
def registry() -> pint.UnitRegistry[float]:
    """The trade's units, and no others."""
    units: pint.UnitRegistry[float] = pint.UnitRegistry(str(_LIST))
    return units


def plain_marks(text: str) -> str:
    """A text with plain marks for feet, inches, degrees, minus, blanks and fractions."""
    return text.translate(_MARKS).replace("''", '"').strip()


@lru_cache(maxsize=4096)
def plain_unit(unit: str) -> str:
    """A unit by the names of the list: `degF` for `° F`, `psi` for `P.S.I.`.

    What is no unit comes back as no unit.
    """
    for pattern, plain in _WRITTEN:
        unit = pattern.sub(plain, unit)
    return re.sub("[A-Za-z]+", lambda match: _named(match[0]), unit).strip()


def is_unit(unit: str) -> bool:
    """Whether a text is written as a unit, known or not."""
    return bool(_UNIT.fullmatch(plain_unit(unit)))


def is_customary(unit: str) -> bool:
    """Whether every part of a unit is one that is used in the United States."""
    names = re.findall("[A-Za-z]+", plain_unit(unit))
    return bool(names) and all(map(_CUSTOMARY.fullmatch, names))


def two_meanings(number: float, unit: str) -> tuple[str, ...]:
    """The readings of a number whose unit is two; none for any other unit."""
    readings = _SEVERAL.get(plain_unit(unit).removesuffix("s"), ())
    return tuple(f"{number * factor:.15g} {name}" for factor, name in readings)


def spelled(unit: str) -> str:
    """A unit as pint takes it: `ft of water` as one word, `kN/m3` with its power sign."""
    unit = _OF_LIQUID.sub(r"\1_of_\2", plain_unit(unit))
    return re.sub(r"([A-Za-z])([2-9])\b", r"\1^\2", unit)


@cache
def _names() -> tuple[frozenset[str], dict[str, str]]:
    """Every name of the list, and each by itself in small letters."""
    lines = _LIST.read_text(encoding="utf-8").splitlines()
    rows = [line.split("=") for line in lines if re.match("[A-Za-z].*=", line)]
    names = [name.strip() for first, _, *others in rows for name in (first, *others)]
    return frozenset(names), {name.lower(): name for name in reversed(names)}


def _named(name: str) -> str:
    """A name of the list in its own letters; any other as it is.

    One letter alone may be two units (T, K), and so may milli and mega (mN and MN; mPa).
    """
    names, in_small = _names()
    small = name.lower()
    if small in _WORDS:
        return small
    found = in_small.get(small) or in_small.get(small.removesuffix("s"))
    if name in names or found is None or len(name) == 1:
        return name
    return name if found == "MN" or re.match("m[A-Z]", name) else found
