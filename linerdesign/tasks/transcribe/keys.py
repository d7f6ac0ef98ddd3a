"""The keys of a project file as a transcript needs them: tables, units, and what they take."""

from __future__ import annotations

import math
from functools import cache

from linerdesign.methods.method import standard
from linerdesign.methods.symbols import KEY_OF, SYMBOLS
from linerdesign.project import keys
from linerdesign.project.faults import Fault
from linerdesign.project.fields import TABLES, validated
from linerdesign.project.keys import COVER_DATUMS, WATER_DATUMS, kind_of
from linerdesign.project.measures import KINDS, convert
from linerdesign.project.stated import step_key

STATED = "stated."
STEPS = "stated.steps."
CONDITION = "stated.condition"
THICKNESS = "stated.thickness"
REQUIRED = "stated.required_thickness"
RETENTIONS = ("modulus_retention", "strength_retention", "tensile_retention")
# Keys of which only one may be given: ways to state the same thing.
ONE_OF = (WATER_DATUMS, COVER_DATUMS, ("ovality", "maximum_diameter"))
# Inputs whose line in a calculation is another quantity than the key of the file.
_LINE_OF = {"ovality": "q", "groundwater_above_crown": "H_w"}
# How close two values of a key are where one of them is converted and rounded.
SAME = 0.005


@cache
def keys_of(table: str) -> frozenset[str]:
    """The keys of a table: pipe, resin, criteria, defaults or stated."""
    return frozenset(keys.keys_of(table))


@cache
def unit_of(key: str) -> str:
    """The unit that values of a key convert to, `%`, "" for a bare number, `?` for no such key."""
    if key in (THICKNESS, REQUIRED):
        return KINDS["floor"].unit
    if key.startswith(STEPS):
        symbol = step_key(key.removeprefix(STEPS))
        return SYMBOLS[symbol].unit("SI") if symbol else "?"
    kind = kind_of(key)
    return kind.unit if kind else "?"


def in_unit_of(key: str, value: float, unit: str | None) -> float | None:
    """A value in the unit of a key; none where the units measure different things."""
    wanted = unit_of(key)
    if not unit or unit == "%" or wanted in ("", "%", "?"):
        return value if (unit or "") == wanted else None
    try:
        return convert(value, unit, wanted)
    except Exception:  # pint raises many kinds for units of another sort
        return None


def same_value(key: str, one: str, other: str) -> bool:
    """Whether two values of a key are the same within the rounding of either."""
    if one == other:
        return True
    sizes = _size(key, one), _size(key, other)
    if sizes[0] is None or sizes[1] is None:
        return False
    (first, half), (second, half_of_second) = sizes[0], sizes[1]
    least = SAME * max(abs(first), abs(second))
    return abs(first - second) <= max(least, 1.01 * (half + half_of_second))


def _size(key: str, text: str) -> tuple[float, float] | None:
    """A value in the unit of its key, and half of its last printed digit; none for a text, or a
    number larger than any float."""
    number, _, unit = text.partition(" ")
    decimals = len(number.partition(".")[2])
    try:
        value = in_unit_of(key, float(number), unit)
        half = in_unit_of(key, 0.5 * 10.0**-decimals, unit)
    except ValueError:
        return None
    if value is None or half is None or not math.isfinite(value):
        return None
    return value, half if unit else 0.0


@cache
def step_of(key: str) -> str:
    """The step that a submittal states for an input, `stated.steps.N` for `safety_factor`."""
    symbol = _LINE_OF.get(key) or KEY_OF.get(key)
    step = (
        f"{STEPS}{SYMBOLS[symbol].symbol}"
        if symbol in standard().submittals.shown and symbol
        else ""
    )
    return step if step and unit_of(key) == unit_of(step) else ""


def refusal(table: str, key: str, value: object) -> str:
    """Why a project file refuses the value of a key, empty where it takes it."""
    step = key.startswith(STEPS)
    name = "steps" if step else key.removeprefix(STATED)
    if name not in keys_of(table):
        return name
    faults: list[Fault] = []
    given = {key.removeprefix(STEPS): value} if step else value
    validated(TABLES[table], {name: given}, table, faults)
    # What else a table needs is no fault of the key.
    return "; ".join(fault.text for fault in faults if fault.key.split(".")[0] == name)
