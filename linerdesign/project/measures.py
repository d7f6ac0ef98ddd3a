"""Quantities as people write them, `"8 in"`, turned into floats at the edge by pint."""

from __future__ import annotations

import math
import operator
import re
from dataclasses import dataclass
from functools import cache
from typing import Any

import pint

from linerdesign.project.faults import Refused, shown
from linerdesign.project.units import (
    TEMPERATURES,
    is_customary,
    is_unit,
    plain_marks,
    plain_unit,
    registry,
    spelled,
    two_meanings,
)

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
# A number without a unit, with or without commas.
BARE = rf"{_NUMBER}|[+-]?\d+(?:,\d+)+(?:\.\d*)?"
_MEASURE = re.compile(rf"({_NUMBER})\s*(.*)")
_RANGE = re.compile(r"\s*(.+?)\s+to\s+(.+?)\s*")
# Feet and inches: 9'-6", 9 ft 6 in, 9'6; the inches may end in a fraction.
_SIZE = r"(\d{1,3}(?:,\d{3})+|\d+(?:\.\d*)?|\.\d+)"
_FEET_AND_INCHES = re.compile(
    rf"""([+-]?){_SIZE}\s*('|(?:ft|feet|foot)(?![A-Za-z])\.?)\s*-?\s*"""
    rf"""{_SIZE}?(?:(?:(?<=\d)[\s-]+)?(\d+)/(\d+))?\s*("|in\b\.?|inch\b|inches\b)?"""
)
# A whole number and a fraction, or a fraction alone, and the unit: 6 1/2 in, 10-7/8", 3/8 in.
_FRACTION = re.compile(r"([+-]?)(?:(\d+)[\s-]+)?(\d+)/(\d+)(?![\d.,])\s*(.*)")
# A number with thousands parted by spaces, as SI does.
_SPACED = re.compile(r"([+-]?\d{1,3}(?: \d{3})+(?:\.\d+)?)(?![\d,.]| ?\d)\s*(.*)")
_POWER = re.compile(r"(?<=\d)\s*[x\u00d7]\s*10\s*\^\s*([+-]?\d+)")
# A number with commas, its decimals, and the unit.
_COMMAS = re.compile(r"([+-]?)(\d+(?:,\d+)+)(\.\d*)?(?![\d,.])\s*(.*)")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+")
_STATION = re.compile(r"(?:sta(?:tion)?\b\.?\s*)?\d+\+\d+(?:\.\d+)?.*", re.IGNORECASE)

LONGEST = 80
INCHES_IN_A_FOOT = 12
# What a mass measures in a unit of weight, by itself, over an area and over a volume.
WEIGHED = tuple(
    (f"[mass]{over}", f"[mass] * [length] / [time] ** 2{over}")
    for over in ("", " / [length] ** 2", " / [length] ** 3")
)
# A number in what should be the unit: "-10 ft", "x 12 in".
_SECOND_NUMBER = re.compile(r"(?:^|\s|(?<!\^)-|[\u00b1:,_x'])\d")
LARGEST = 1e15
_HOLDS = {">": operator.gt, ">=": operator.ge, "<": operator.lt, "<=": operator.le}


@dataclass(frozen=True)
class Kind:
    """What sort of quantity a key takes: a unit it must convert to, an example, and its ends.

    The example is `number` in `usual_unit`.
    A number is over zero, unless `zero` or `negative` lets in more, `negative` from `least` on; it
    is at most `most`, and under `below`. Ends that are not zero are meant in `unit`, which has no
    other beside it, but for temperatures.
    """

    noun: str
    unit: str
    number: str
    usual_unit: str
    zero: bool = False
    negative: bool = False
    least: float = -LARGEST
    below: float = math.inf
    most: float = LARGEST

    @property
    def what(self) -> str:
        """The noun with its article."""
        return f"{'an' if self.noun[0] in 'aeio' else 'a'} {self.noun}"

    @property
    def example(self) -> str:
        """The example as a file has it."""
        return f'"{self.shown}"' if self.unit else self.shown

    @property
    def shown(self) -> str:
        """The example without the quotes of a file."""
        return f"{self.number} {self.usual_unit}".strip()

    @property
    def ends(self) -> tuple[tuple[str, float], tuple[str, float]]:
        """The lower and the upper end, each as the comparison that a number must hold."""
        lower = (">=", self.least) if self.negative else (">=" if self.zero else ">", 0.0)
        return lower, ("<=", self.most) if self.below == math.inf else ("<", self.below)

    def takes(self, number: Any) -> Any:
        """Whether it takes a number; of an array, which of its numbers."""
        (lower, least), (upper, most) = self.ends
        return _HOLDS[lower](number, least) & _HOLDS[upper](number, most)

    @property
    def expected(self) -> str:
        """What numbers it takes, in words: `a length greater than zero`."""
        (lower, _), (upper, end) = self.ends
        if end < LARGEST:
            least = "over 0" if lower == ">" else "at least 0"
            most = "under" if upper == "<" else "at most"
            return f"{self.what}, {least} and {most} {end:g} {self.unit}".rstrip()
        if self.negative:
            least = f", at least {self.least:g} {self.unit}" if self.least > -LARGEST else ""
            return f"{self.what}{least}"
        return f"{self.what} {'greater than zero' if lower == '>' else 'that is not negative'}"


KINDS = {
    "section": Kind("length", "mm", "8", "in"),
    "angle": Kind("angle", "deg", "45", "deg", most=180.0),
    "position": Kind("angle", "deg", "90", "deg", zero=True, below=360.0),
    "temperature": Kind("temperature", "degC", "60", "degC", negative=True, least=-273.15),
    "floor": Kind("length", "mm", "4.5", "mm", zero=True),
    "cover": Kind("depth", "m", "10", "ft"),
    "level": Kind("height", "m", "6", "ft", zero=True, negative=True),
    "length": Kind("length", "m", "320", "ft"),
    "modulus": Kind("stress", "MPa", "250000", "psi"),
    "soil modulus": Kind("modulus, or a soil and its compaction", "MPa", "1000", "psi"),
    "pressure": Kind("pressure", "MPa", "60", "psi"),
    "load": Kind("pressure", "MPa", "1.2", "psi", zero=True),
    "vacuum": Kind("pressure", "MPa", "2", "psi"),
    "force": Kind("force", "kN", "16000", "lb"),
    "inertia": Kind("moment of inertia per length", "mm^3", "0.0859", "in^3"),
    "unit weight": Kind("unit weight", "kN/m^3", "120", "pcf"),
    "density": Kind("density", "g/cm^3", "1.15", "g/cm^3"),
    "mass": Kind("mass", "kg", "", "kg"),
    "carbon": Kind("mass per mass", "kg/kg", "5.2", "kg/kg", zero=True),
    "percent": Kind("percentage with its sign", "%", "3", "%", zero=True),
    "ovality": Kind("ovality in percent", "%", "3", "%", zero=True, below=100.0),
    "retention": Kind("percentage with its sign", "%", "50", "%", most=100.0),
    "share": Kind("percentage with its sign", "%", "85", "%", most=100.0),
    "flow": Kind("flow", "m^3/s", "12", "L/s"),
    "velocity": Kind("velocity", "m/s", "0.6", "m/s"),
    "power": Kind("power", "kW", "4", "kW"),
    "speed": Kind("speed", "m/min", "0.8", "m/min"),
    "time": Kind("time", "h", "3", "h", zero=True),
    "life": Kind("time", "yr", "50", "yr"),
    "factor": Kind("number", "", "2.0", ""),
    "ratio": Kind("number", "", "0.3", "", below=0.5),
}


@dataclass(frozen=True)
class Measure:
    """A number with the unit it was written in; of a range, the smaller end and the `upper`."""

    number: float
    unit: str
    text: str
    upper: float | None = None

    def to(self, unit: str) -> float:
        """The number in another unit of the same dimension."""
        if unit in ("%", "") or unit == self.unit:
            return self.number
        return convert(self.number, self.unit, unit)

    @property
    def ends(self) -> tuple[Measure, Measure]:
        """Both ends of a range, each a measure of its own; of a single value, itself twice."""
        if self.upper is None:
            return self, self
        low, high = (
            Measure(n, self.unit, f"{n:.15g} {self.unit}") for n in (self.number, self.upper)
        )
        return low, high

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True)
class Price(Measure):
    """An amount of money by the label of its currency, `per` one of a unit where it is a price."""

    currency: str = ""
    per: str = ""

    def per_unit(self, unit: str) -> float:
        """The number for one of another unit."""
        return self.number / convert(1.0, self.per, unit)

    def priced_by(self, unit: str) -> Price:
        """The same price for one of another unit; an amount as it is."""
        if not self.per:
            return self
        full = f"{self.currency}/{unit}"
        return Price(self.per_unit(unit), full, self.text, currency=self.currency, per=unit)


def convert(number: float, unit: str, wanted: str) -> float:
    """A number from one of the known units to another.

    Raises:
        pint.DimensionalityError: where the units measure different things.
    """
    unit = plain_unit(unit)
    if unit in TEMPERATURES:
        return float(registry().Quantity(number, unit).to(wanted).magnitude)
    return number * _factor(unit, wanted)


@cache
def _factor(unit: str, wanted: str) -> float:
    """Length of one unit in another. A mass is weighed, and a weight is a mass, by gravity."""
    units = registry()
    one, target = units.Quantity(1.0, spelled(unit)), units.Quantity(1.0, spelled(wanted))
    for mass, weight in WEIGHED:
        if one.check(mass) and target.check(weight):
            one = one * units.Quantity(1.0, "g_0")
        elif one.check(weight) and target.check(mass) and mass != "[mass]":
            one = one / units.Quantity(1.0, "g_0")
    return float(one.to(target.units).magnitude)


def parse(value: object, kind: str) -> Measure:
    """A quantity of the kind from what a file holds: `"8 in"`, `"9'-6\\""`, `"1,250 ft"`.

    Raises:
        ValueError: a bare number, an unknown unit or one of another dimension, a comma that may be
            a decimal point, or a number out of range.
    """
    about = KINDS[kind]
    if not isinstance(value, str):
        raise Refused("faults.not_text", what=about.what, example=about.example)
    text = value.strip()
    if len(text) > LONGEST:
        raise Refused("faults.not_a_quantity", what=about.what, example=about.example)
    number, unit = _number_and_unit(plain_marks(text), about)
    _check_unit(number, unit, about)
    unit = plain_unit(unit)
    check_number(convert(number, unit, about.unit) if unit in TEMPERATURES else number, about)
    return Measure(number, unit, text)


def _number_and_unit(text: str, about: Kind) -> tuple[float, str]:
    if found := _feet_and_inches(text) or _with_fraction(text):
        return found
    if _STATION.fullmatch(text):
        raise Refused("faults.a_station", what=about.what, example=about.example)
    text = _POWER.sub(r"e\1", text)
    if spaced := _SPACED.fullmatch(text):
        text = f"{spaced[1].replace(' ', '')} {spaced[2]}"
    elif commas := _COMMAS.fullmatch(text):
        text = _without_commas(commas, about)
    match = _MEASURE.fullmatch(text)
    if not match:
        raise Refused("faults.not_a_quantity", what=about.what, example=about.example)
    if match[2].startswith(","):
        raise Refused("faults.decimal_comma", example=about.example)
    return float(match[1]), match[2]


def _feet_and_inches(text: str) -> tuple[float, str] | None:
    """Feet with inches, in feet; none for any other text."""
    match = _FEET_AND_INCHES.fullmatch(text)
    if not match:
        return None
    sign, feet, foot, whole, above, below, inch = match.groups()
    if whole is None and above is None:
        return None
    # Without their mark inches stand only behind the mark of feet.
    if inch is None and (foot != "'" or above):
        return None
    inches = float((whole or "0").replace(",", "")) + _ratio(above, below)
    if inches >= INCHES_IN_A_FOOT:
        raise Refused("faults.inches_over_a_foot")
    number = float(feet.replace(",", "")) + inches / INCHES_IN_A_FOOT
    return (-number if sign == "-" else number), "ft"


def _with_fraction(text: str) -> tuple[float, str] | None:
    """A number with a fraction, and its unit; none for any other text."""
    match = _FRACTION.fullmatch(text)
    if not match:
        return None
    sign, whole, above, below, unit = match.groups()
    number = float(whole or 0) + _ratio(above, below)
    return (-number if sign == "-" else number), unit


def _ratio(above: str | None, below: str) -> float:
    if above is None:
        return 0.0
    if int(below) == 0:
        raise Refused("faults.zero_below")
    return int(above) / int(below)


def _without_commas(commas: re.Match[str], about: Kind) -> str:
    """The text without commas that part thousands.

    With a unit that is not US customary, one comma alone may be a decimal point.
    """
    sign, digits, decimals, unit = commas[1], commas[2], commas[3] or "", commas[4]
    point = f"{sign}{digits.replace(',', '.')} {unit}".rstrip()
    if not _THOUSANDS.fullmatch(digits):
        one = digits.count(",") == 1 and not decimals
        raise Refused("faults.decimal_comma", example=shown(point) if one else about.example)
    whole = f"{sign}{digits.replace(',', '')}{decimals} {unit}".rstrip()
    if digits.count(",") > 1 or decimals or is_customary(unit) or _measures(unit, about) is None:
        return whole
    raise Refused("faults.comma_of_two_meanings", thousands=shown(whole), point=shown(point))


def parse_range(value: object, kind: str) -> Measure:
    """A quantity, or a range of it: `"75000 to 180000 psi"`.

    Raises:
        ValueError: as `parse` does for either end, or where the first is not the smaller.
    """
    ends = _RANGE.fullmatch(value) if isinstance(value, str) and len(value) <= LONGEST else None
    if not ends:
        return parse(value, kind)
    high = parse(ends[2], kind)
    bare = re.fullmatch(rf"{_NUMBER}|{_THOUSANDS.pattern}", ends[1])
    low = parse(f"{ends[1]} {high.unit}" if bare else ends[1], kind)
    smaller = low.to(high.unit)
    if smaller >= high.number:
        raise Refused("faults.range_reversed")
    return Measure(smaller, high.unit, ends[0].strip(), upper=high.number)


def check_number(number: float, about: Kind) -> None:
    """Refuses numbers that the kind of quantity can't have.

    Raises:
        ValueError: a number that is not finite or out of range.
    """
    if not abs(number) <= LARGEST:
        raise Refused("faults.size", what=about.what, example=about.example)
    if not about.takes(number):
        raise Refused("faults.out_of_range", range=about.expected)


def _check_unit(number: float, unit: str, about: Kind) -> None:
    if not unit:
        raise Refused("faults.no_unit", example=about.example)
    what = {"what": about.noun, "example": about.example}
    if readings := two_meanings(number, unit):
        one, other = map(shown, readings)
        raise Refused("faults.unit_of_two_meanings", unit=shown(unit), one=one, other=other)
    if _SECOND_NUMBER.search(unit):
        raise Refused("faults.several_numbers", what=about.what, example=about.example)
    fits = _measures(unit, about)
    if not fits:
        code = "faults.unknown_unit" if fits is None else "faults.wrong_unit"
        raise Refused(code, unit=shown(unit), **what)


def _measures(unit: str, about: Kind) -> bool | None:
    """Whether a unit measures quantities of a kind; none for what is no unit."""
    if about.unit == "%" or plain_unit(unit) == "%":
        return plain_unit(unit) == about.unit
    if not is_unit(unit):
        return None
    try:
        convert(1.0, unit, about.unit)
    except pint.DimensionalityError:
        return False
    except Exception:  # pint raises many kinds for text that is no unit
        return None
    return True


def factor(value: object, kind: str) -> float:
    """A bare number of the kind.

    Raises:
        ValueError: anything else, a number in quotes included.
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refused("faults.not_a_number", example=KINDS[kind].example)
    # A whole number of the file may be larger than any float.
    number = float(value) if abs(value) <= LARGEST else math.inf
    check_number(number, KINDS[kind])
    return number
