"""Uncertainties of values as people write them, and the quantiles of each."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.cost_keys import PRICED
from linerdesign.project.faults import Fault, Place, Refused, fault, shown, unknown_word
from linerdesign.project.fields import READERS, UNREAD, money
from linerdesign.project.key import Key
from linerdesign.project.keys import RESIN_KEYS, key_named
from linerdesign.project.measures import Kind, Measure, parse, parse_range

UNCERTAINTY = "uncertainty"
ABOUT, UNIFORM, TRIANGULAR = "about", "uniform", "triangular"
NORMAL, LOGNORMAL = "normal", "lognormal"
_NAMED = re.compile(rf"({TRIANGULAR}|{NORMAL}|{LOGNORMAL})\b[\s,]*(.*)", re.DOTALL)
_SD = re.compile(r"sd\s+(.+)", re.DOTALL)
# Choices of the owner, and results, are not uncertain.
_DECIDED = ("t_floor", "s", "t", "t_required", "q_floor", "q", "N", "DR_max")
# Kinds in the symbol table that may be uncertain.
_KINDS = ("section", "thickness", "depth", "stress", "unit weight", "percent", "ratio")
# A width may be larger than any value of its quantity.
_WIDTHS = {"section": "floor", "cover": "floor", "level": "floor"}
# Quasi-random numbers are kept this far from 0 and 1, where a normal one would be infinite.
_EDGE = 1e-10
# In place of a width or mean of zero.
_TINY = 1e-30
Reader = Callable[[str], Measure]


@dataclass(frozen=True)
class Distribution:
    """The uncertainty of a value.

    `shape` is `about` (a triangle of half-width `numbers[0]` about the value), `uniform` (two
    ends), `triangular` (least, most likely, most), `normal` or `lognormal` (standard deviation,
    then the mean where it is not the value itself). A width or deviation in percent is one of the
    value, where that is not itself in percent.
    """

    shape: str
    numbers: tuple[Measure, ...]
    text: str

    @property
    def about_value(self) -> bool:
        """Whether it lies about the value of the project, whatever that is."""
        return self.shape == ABOUT or (self.shape in (NORMAL, LOGNORMAL) and len(self.numbers) == 1)

    def half_width(self, value: Any, unit: str) -> Any:
        """How far the value may be off, in the unit: two deviations where it has no ends."""
        low, high = self.ends(value, unit)
        return (high - low) / 2

    def ends(self, value: Any, unit: str) -> tuple[Any, Any]:
        """The smallest and the largest value in the unit, or the mean less and plus two
        deviations."""
        if self.shape not in (NORMAL, LOGNORMAL):
            low, _, high = self._triangle(value, unit)
            return low, high
        mean, deviation = self._moments(value, unit)
        return mean - 2 * deviation, mean + 2 * deviation

    def quantiles(self, shares: Any, value: Any, unit: str, kind: Kind | None) -> Any:
        """The values at some shares of the distribution, in the unit; arrays broadcast.

        A distribution that reaches beyond what `kind` takes is cut there.
        """
        from scipy.special import ndtr, ndtri
        from scipy.stats import triang

        least, most = (end for _, end in kind.ends) if kind else (-math.inf, math.inf)
        inner = 0.5 + (1 - _EDGE) * (np.asarray(shares) - 0.5)
        if self.shape not in (NORMAL, LOGNORMAL):
            low, mode, high = self._triangle(value, unit)
            if self.shape == UNIFORM:
                return low + inner * (high - low)
            width = np.maximum(high - low, _TINY)
            peak = 0.5 if self.shape == ABOUT else (mode - low) / width
            ends = (triang.cdf((end - low) / width, peak) for end in (least, most))
            return low + width * _triangular(_cut(inner, *ends), peak)
        mean, deviation = self._moments(value, unit)
        deviation = np.maximum(deviation, _TINY)
        if self.shape == NORMAL:
            ends = (ndtr((end - mean) / deviation) for end in (least, most))
            return mean + deviation * ndtri(_cut(inner, *ends))
        # Nothing is lognormal about zero: it stays there.
        mean = np.maximum(mean, _TINY)
        spread = np.sqrt(np.log1p((deviation / mean) ** 2))
        middle = np.log(mean) - spread**2 / 2
        logs = (math.log(end) if end > 0 else -math.inf for end in (least, most))
        ends = (ndtr((end - middle) / spread) for end in logs)
        return np.exp(middle + spread * ndtri(_cut(inner, *ends)))

    def _triangle(self, value: Any, unit: str) -> tuple[Any, Any, Any]:
        """The least, the most likely and the largest value; a range has no most likely one."""
        numbers = [self._in(each, value, unit) for each in self.numbers]
        if self.shape == ABOUT:
            return value - numbers[0], value, value + numbers[0]
        return numbers[0], numbers[-2], numbers[-1]

    def _moments(self, value: Any, unit: str) -> tuple[Any, Any]:
        """Mean and standard deviation."""
        mean = self._in(self.numbers[1], value, unit) if len(self.numbers) > 1 else value
        return mean, self._in(self.numbers[0], mean, unit)

    def _in(self, measure: Measure, value: Any, unit: str) -> Any:
        if measure.unit == "%" and unit != "%":
            return abs(value) * measure.number / 100
        return measure.to(unit)


def _cut(shares: Any, low: Any, high: Any) -> Any:
    """The shares of a distribution of which no more than from `low` to `high` is possible."""
    return low + shares * (high - low)


def _triangular(shares: Any, peak: Any) -> Any:
    """The quantiles of a triangle over 0 to 1."""
    rising, falling = np.sqrt(shares * peak), 1 - np.sqrt((1 - shares) * (1 - peak))
    return np.where(shares <= peak, rising, falling)


def about(measure: Measure, text: str) -> Distribution:
    """The triangle of a half-width about the value."""
    return Distribution(ABOUT, (measure,), text)


def of_range(measure: Measure) -> Distribution:
    """The uniform distribution between the ends of a range."""
    return Distribution(UNIFORM, measure.ends, measure.text)


def uncertain_keys() -> dict[str, str]:
    """The keys of a project file that may be uncertain, and the quantity of each."""
    return {
        quantity.name: key
        for key, quantity in SYMBOLS.items()
        if quantity.name and key not in _DECIDED and quantity.kind in _KINDS
    }


def distribution(name: str, value: Any) -> Distribution:
    """The uncertainty of a key as a file states it: `"1 ft"`, `"2 % to 5 %"`, `"normal, sd 2 ft"`,
    `"triangular 35 %, 50 %, 60 %"`.

    Raises:
        ValueError: an unknown key, or a text that states no distribution of its quantity.
    """
    if name not in uncertain_keys() and name not in PRICED:
        raise Refused("faults.argument", known=", ".join((*uncertain_keys(), *PRICED)))
    text = str(value).strip() if not isinstance(value, bool) else ""
    of_value, of_width = _readers(name)
    if named := _NAMED.fullmatch(text):
        return _named(named[1], re.split(r"\s*,\s+", named[2].strip()), of_value, of_width, text)
    if " to " in text:
        return Distribution(UNIFORM, _rising(_range(name, text, of_value)), text)
    return about(of_width(text), text)


def _named(
    shape: str, parts: list[str], of_value: Reader, of_width: Reader, text: str
) -> Distribution:
    if shape == TRIANGULAR:
        if len(parts) != 3:
            raise Refused("faults.triangular")
        return Distribution(shape, _rising(tuple(of_value(each) for each in parts)), text)
    deviation = _SD.fullmatch(parts[-1])
    if deviation is None or len(parts) > 2:
        raise Refused("faults.normal", shape=shape)
    width = of_width(deviation[1])
    if width.number <= 0:
        raise Refused("faults.no_width")
    mean = tuple(of_value(each) for each in parts[:-1])
    if shape == LOGNORMAL and any(each.number <= 0 for each in mean):
        raise Refused("faults.lognormal_mean")
    return Distribution(shape, (width, *mean), text)


def _rising(numbers: tuple[Measure, ...]) -> tuple[Measure, ...]:
    values = [each.to(numbers[0].unit) for each in numbers]
    if values != sorted(values) or values[0] == values[-1]:
        raise Refused("faults.range_reversed")
    return numbers


def _range(name: str, text: str, of_value: Reader) -> tuple[Measure, ...]:
    """Both ends; the first may be without its unit."""
    measure = "" if name in PRICED else _measure(name)
    if measure:
        return parse_range(text, measure).ends
    return tuple(of_value(each.strip()) for each in text.split(" to ", 1))


def _readers(name: str) -> tuple[Reader, Reader]:
    """What reads a value of the key, and what reads a width, which is never negative."""

    def value(text: str) -> Measure:
        if name in PRICED:
            return _money(name, text)
        measure = _measure(name)
        return parse(text, measure) if measure else _ratio(text)

    def width(text: str) -> Measure:
        if text.endswith("%"):
            return parse(text, "percent")
        measure = "" if name in PRICED else _measure(name)
        return parse(text, _WIDTHS.get(measure, measure)) if measure else value(text)

    return value, width


def _money(name: str, text: str) -> Measure:
    """A price per kg or m, or an amount."""
    key = key_named(name)
    assert key is not None, name
    return money(text, key).priced_by("kg" if key.kind == "price" else "m")


def _measure(name: str) -> str:
    """What kind of quantity is read; empty for a bare number."""
    key = key_named(name)
    assert key is not None, name
    return key.measure


def _ratio(text: str) -> Measure:
    try:
        number = float(text)
    except ValueError:
        raise Refused("faults.not_a_ratio") from None
    if not math.isfinite(number) or number < 0:
        raise Refused("faults.negative")
    return Measure(number, "", text)


def of_project(raw: object, faults: list[Fault]) -> dict[str, Distribution]:
    """The uncertainties that hold for every pipe and resin with such a value."""
    place = Place(table=f"[{UNCERTAINTY}]", path=(UNCERTAINTY,))
    if isinstance(raw, dict):
        return _read(raw, place.at, (*uncertain_keys(), *PRICED), faults)
    faults.append(fault("not_a_table", place, shown(raw)))
    return {}


def stated_twice(pipe: Mapping[str, Any], place: Place) -> Iterator[Fault]:
    """Values of a pipe of which both `uncertainty` and its earlier name state the uncertainty."""
    tables = (pipe.get(UNCERTAINTY), pipe.get("doubt"))
    own, earlier = ({*each} if isinstance(each, dict) else set() for each in tables)
    for name in sorted(own & earlier):
        keys = f"doubt.{name} and {UNCERTAINTY}.{name}"
        yield fault("several_of", place, keys=keys)


def _distributions(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
    """A table of uncertainties by key."""
    at = place.at(key.name)
    if not isinstance(raw, dict):
        faults.append(fault("not_braces", at, shown(raw)))
        return UNREAD
    known = RESIN_KEYS if "resin" in key.tables else uncertain_keys()
    return _read(raw, at.under, (*known, *PRICED), faults)


def _read(
    raw: Mapping[str, Any],
    place_of: Callable[[str], Place],
    known: Collection[str],
    faults: list[Fault],
) -> dict[str, Distribution]:
    """The uncertainties in a table; the faults, at the place of each key, are added to the
    list."""
    found = {}
    for name, value in raw.items():
        if name not in known:
            faults.append(unknown_word(place_of(name), name, known))
            continue
        try:
            found[name] = distribution(name, value)
        except Refused as refused:
            faults.append(refused.at(place_of(name), shown(value)))
    return found


READERS["distributions"] = _distributions
