"""Quantities as people write them, `"8 in"`, turned into floats at the edge by pint."""

from __future__ import annotations

import math
import operator
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pint

from linerdesign.project.faults import shown

_NUMBER = r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_MEASURE = re.compile(rf"\s*({_NUMBER})\s*(.*?)\s*")
_RANGE = re.compile(r"\s*(.+?)\s+to\s+(.+?)\s*")
_COMMA = re.compile(r"\s*[+-]?\d+,\d")
# A comma that may part thousands or decimals, and commas that can only part thousands.
_EITHER = re.compile(r"\s*([+-]?[1-9]\d{0,2}),(\d{3})(?![\d.,])(.*)")
_THOUSANDS = re.compile(r"\s*([+-]?[1-9]\d{0,2}(?:,\d{3})+)(?![\d,])(.*)")
TEMPERATURES = ("degC", "degF")  # scales with a zero of their own
LONGEST = 80
LARGEST = 1e15
_HOLDS = {">": operator.gt, ">=": operator.ge, "<": operator.lt, "<=": operator.le}


@cache
def registry() -> pint.UnitRegistry[float]:
    """The trade's units, and no others."""
    units: pint.UnitRegistry[float] = pint.UnitRegistry(str(Path(__file__).with_name("units.txt")))
    return units


@dataclass(frozen=True)
class Kind:
    """What sort of quantity a key takes: a unit it must convert to, an example, and its ends.

    A number is over zero, unless `zero` or `negative` lets in more; it is at most `most`, and
    under `below`. Ends that are not zero are meant in `unit`, which has no other beside it.
    """

    what: str
    unit: str
    example: str
    zero: bool = False
    negative: bool = False
    below: float = math.inf
    most: float = LARGEST

    @property
    def ends(self) -> tuple[tuple[str, float], tuple[str, float]]:
        """The lower and the upper end, each as the comparison that a number must hold."""
        lower = (">=", -LARGEST) if self.negative else (">=" if self.zero else ">", 0.0)
        return lower, ("<", self.below) if self.below <= self.most else ("<=", self.most)

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
            return self.what
        return f"{self.what} {'greater than zero' if lower == '>' else 'that is not negative'}"


KINDS = {
    "section": Kind("a length", "mm", '"8 in"'),
    "angle": Kind("an angle", "deg", '"45 deg"', most=180.0),
    "temperature": Kind("a temperature", "degC", '"60 degC"', negative=True),
    "floor": Kind("a length", "mm", '"4.5 mm"', zero=True),
    "cover": Kind("a depth", "m", '"10 ft"'),
    "level": Kind("a height", "m", '"6 ft"', zero=True, negative=True),
    "length": Kind("a length", "m", '"320 ft"'),
    "modulus": Kind("a stress", "MPa", '"250000 psi"'),
    "pressure": Kind("a pressure", "MPa", '"60 psi"'),
    "load": Kind("a pressure", "MPa", '"1.2 psi"', zero=True),
    "vacuum": Kind("a pressure", "MPa", '"2 psi"'),
    "force": Kind("a force", "kN", '"16000 lb"'),
    "unit weight": Kind("a unit weight", "kN/m^3", '"120 pcf"'),
    "density": Kind("a density", "g/cm^3", '"1.15 g/cm^3"'),
    "mass": Kind("a mass", "kg", '"kg"'),
    "percent": Kind("a percentage with its sign", "%", '"3 %"', zero=True),
    "ovality": Kind("an ovality in percent", "%", '"3 %"', zero=True, below=100.0),
    "retention": Kind("a percentage with its sign", "%", '"50 %"', most=100.0),
    "share": Kind("a percentage with its sign", "%", '"85 %"', most=100.0),
    "factor": Kind("a number", "", "2.0"),
    "ratio": Kind("a number", "", "0.3", below=0.5),
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


def convert(number: float, unit: str, wanted: str) -> float:
    """A number from one of the known units to another.

    Raises:
        pint.DimensionalityError: where the units measure different things.
    """
    if unit in TEMPERATURES:
        return float(registry().Quantity(number, unit).to(wanted).magnitude)
    return number * _factor(unit, wanted)


@cache
def _factor(unit: str, wanted: str) -> float:
    """Length of one unit in another. A density stands for the weight it has on earth."""
    units = registry()
    one, target = units.Quantity(1.0, _spelled(unit)), units.Quantity(1.0, _spelled(wanted))
    weight = (one * units.Quantity(1.0, "g_0")).check(target.dimensionality)
    if weight and not one.check(target.dimensionality):
        one = one * units.Quantity(1.0, "g_0")
    return float(one.to(target.units).magnitude)


def _spelled(unit: str) -> str:
    """The unit as pint takes it: `ft of water` as one word, `kN/m3` with its power sign."""
    unit = re.sub(r"\b(ft|foot|feet)\s+(of\s+)?water\b", "foot_of_water", unit)
    unit = re.sub(r"\b(m|meter|metre)\s+(of\s+)?water\b", "meter_of_water", unit)
    unit = unit.replace("²", "^2").replace("³", "^3").replace("·", "*")
    return re.sub(r"([A-Za-z])([23])\b", r"\1^\2", unit)


def parse(value: object, kind: str) -> Measure:
    """A quantity of the kind from what stands in a file.

    Raises:
        ValueError: with what was expected, for a bare number, an unknown unit or one of another
            dimension, a comma for a point, or a number that can't be.
    """
    about = KINDS[kind]
    if not isinstance(value, str):
        raise ValueError(f"{about.what} as text with its unit, such as {about.example}")
    if _COMMA.match(value):
        raise ValueError(_without_comma(value, about))
    match = _MEASURE.fullmatch(value) if len(value) <= LONGEST else None
    if not match:
        raise ValueError(f"{about.what}, a number and its unit, such as {about.example}")
    number, unit = float(match[1]), match[2]
    _check_unit(unit, about)
    check_number(number, about)
    return Measure(number, unit, value.strip())


def _without_comma(value: str, about: Kind) -> str:
    """What to write in place of a number with commas, which mean one thing here, another there."""
    if either := _EITHER.fullmatch(value[:LONGEST]):
        whole, part, rest = either[1], either[2], either[3].rstrip()
        return (
            f"no comma in a number: {shown(whole + part + rest)} where it parts thousands, "
            f"{shown(f'{whole}.{part}{rest}')} where it stands for the point"
        )
    if thousands := _THOUSANDS.fullmatch(value[:LONGEST]):
        plain = thousands[1].replace(",", "") + thousands[2].rstrip()
        return f"thousands without a comma: {shown(plain)}"
    return f"a point for the decimals, such as {about.example}, not a comma"


def parse_range(value: object, kind: str) -> Measure:
    """A quantity, or a range of it: `"75000 to 180000 psi"`.

    Raises:
        ValueError: as `parse` does for either end, or where the first is not the smaller.
    """
    ends = _RANGE.fullmatch(value) if isinstance(value, str) and len(value) <= LONGEST else None
    if not ends:
        return parse(value, kind)
    high = parse(ends[2], kind)
    bare = re.fullmatch(_NUMBER, ends[1])
    low = parse(f"{ends[1]} {high.unit}" if bare else ends[1], kind)
    smaller = low.to(high.unit)
    if smaller >= high.number:
        raise ValueError("the smaller value first in a range")
    return Measure(smaller, high.unit, ends[0].strip(), upper=high.number)


def check_number(number: float, about: Kind) -> None:
    """Refuses numbers that the kind of quantity can't have.

    Raises:
        ValueError: with what was expected.
    """
    if not abs(number) <= LARGEST:
        raise ValueError(f"{about.what} of a possible size, such as {about.example}")
    if not about.takes(number):
        raise ValueError(about.expected)


def _check_unit(unit: str, about: Kind) -> None:
    if not unit:
        raise ValueError(f"a unit behind the number, such as {about.example}")
    if about.unit == "%" or unit == "%":
        if unit != about.unit:
            raise ValueError(f"{about.what}, such as {about.example}")
        return
    try:
        convert(1.0, unit, about.unit)
    except pint.DimensionalityError:
        raise ValueError(f"a unit of {about.what[2:]}, such as {about.example}") from None
    except Exception:  # pint raises many kinds for text that is no unit
        raise ValueError(f"a known unit of {about.what[2:]}, such as {about.example}") from None


def factor(value: object, kind: str) -> float:
    """A bare number of the kind.

    Raises:
        ValueError: for anything else, a number in quotes included.
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"a bare number such as {KINDS[kind].example}, without quotes")
    check_number(float(value), KINDS[kind])
    return float(value)
