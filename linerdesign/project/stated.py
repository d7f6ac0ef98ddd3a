"""What a submitted calculation states: its lines by symbol, and doubts about inputs by key."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from pydantic import ValidationError
from pydantic_core import InitErrorDetails, PydanticCustomError

from linerdesign.methods.symbols import SYMBOLS, symbol_of_name
from linerdesign.project.measures import Measure, parse

# How the quantities of a sheet are read where a submittal states them.
_READ_AS = {
    "section": "floor",
    "thickness": "floor",
    "depth": "level",
    "stress": "load",
    "unit weight": "unit weight",
    "percent": "percent",
    "inertia": "inertia",
}
# Names under which submittals print a quantity beside its symbol.
_ALIASES = {"EI/D3": "S_X1_4", "EI/D^3": "S_X1_4", "E*I/D^3": "S_X1_4"}
# A step with its place in the submittal: `{ value = "0.836", at = "page 2, line 5" }`.
_WITH_PLACE = {"value", "at"}
_BARE = re.compile(r"\s*[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?\s*")
# The quantities that submittals usually show.
STATED_KEYS = (
    "D", "q", "C", "H", "h_invert", "H_w", "w", "E_s", "W_s", "E", "r_E", "E_L", "sigma",
    "r_sigma", "sigma_L", "sigma_T", "r_T", "sigma_TL", "nu", "P_i", "d", "P_v", "N", "K", "P",
    "R_w", "B", "q_t", "t_X1_1", "t_X1_2", "t_DR_limit", "t_X1_3", "t_X1_4", "t_X1_5", "t_X1_6",
    "t_X1_7", "t_pressure", "DR", "I", "P_X1_1", "N_X1_1", "sigma_X1_2", "N_X1_2", "q_X1_3",
    "N_X1_3", "S_X1_4", "P_X1_6", "P_X1_7", "N_X1_7",
)  # fmt: skip
# Inputs that are choices of the owner, or the yardstick itself: nothing to be in doubt about.
_NO_DOUBT = ("t_floor", "s", "t", "t_required", "q_floor", "q", "N", "DR_max")


@dataclass(frozen=True)
class StatedStep(Measure):
    """A stated value and its place in the submittal, empty where no place is given."""

    at: str = ""


@cache
def _spellings() -> dict[str, str]:
    """Keys of quantities by every spelling of their symbol, the sheet's own ones first."""
    known: dict[str, str] = {quantity.symbol: key for key, quantity in SYMBOLS.items()}
    for spelled in (lambda text: text, _plain):
        for key, quantity in SYMBOLS.items():
            for name in (quantity.symbol, key):
                known.setdefault(spelled(name), key)
    return known


def _plain(name: str) -> str:
    return re.sub(r"[\s_'’.]", "", name)


def step_key(name: str) -> str | None:
    """The quantity that a stated line is about: `C`, `q_t`, `Rw`, `t X1.3`; none if unknown."""
    known = {**_spellings(), **_ALIASES}
    return known.get(name) or known.get(_plain(name))


def read_steps(value: object) -> dict[str, Measure]:
    """`{ C = "0.836", "t X1.3" = { value = "5.12 mm", at = "page 2" } }`, by the names given.

    The values are `StatedStep`s in the order of the table.

    Raises:
        ValidationError: one fault for each line that can't be read.
    """
    return _each(value, _step)


def read_doubts(value: object) -> dict[str, Measure]:
    """`{ ovality = "1 %", soil_reaction_modulus = "30 %" }` as measures, by key.

    A doubt is in the unit of its key, or in percent of the value; of a percentage, in points.

    Raises:
        ValidationError: one fault for each doubt that can't be read.
    """
    return _each(value, _doubt)


def _each(value: object, read: Callable[[str, object], Measure]) -> dict[str, Measure]:
    if not isinstance(value, dict):
        raise _expected("a table in braces")
    found: dict[str, Measure] = {}
    faults: list[InitErrorDetails] = []
    for name, text in value.items():
        try:
            found[name] = read(name, text)
        except ValueError as error:
            faults.append(
                InitErrorDetails(type=_expected(str(error)), loc=(str(name),), input=text)
            )
    if faults:
        raise ValidationError.from_exception_data("table", faults)
    return found


def _expected(text: str) -> PydanticCustomError:
    return PydanticCustomError("expected", "{expected}", {"expected": text})


def _step(name: str, value: object) -> Measure:
    key = step_key(name)
    if key is None or SYMBOLS[key].kind not in (*_READ_AS, "ratio"):
        raise ValueError(f"one of the symbols {', '.join(stated_symbols())}")
    at = ""
    if isinstance(value, dict):
        at = _place(value)
        value = value["value"]
    kind = SYMBOLS[key].kind
    found = _number(value) if kind == "ratio" else parse(value, _READ_AS[kind])
    return StatedStep(found.number, found.unit, found.text, at=at)


def _place(table: dict[str, object]) -> str:
    at = table.get("at", "")
    if "value" not in table or not table.keys() <= _WITH_PLACE or not isinstance(at, str):
        raise ValueError('a value, or { value = "0.836", at = "page 2, line 5" }')
    return at.strip()


@cache
def stated_symbols() -> tuple[str, ...]:
    """The symbols of an F1216 calculation that a submittal may state, in the order of the sheet."""
    return tuple(
        quantity.symbol.replace("t_X", "t X")
        for key, quantity in SYMBOLS.items()
        if key in STATED_KEYS
    )


def _number(value: object) -> Measure:
    """A ratio; as text it keeps the digits that were printed."""
    text = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
    if not isinstance(text, str) or not _BARE.fullmatch(text):
        raise ValueError('a number without a unit, such as "0.836"')
    return Measure(float(text), "", text.strip())


def doubtful_keys() -> dict[str, str]:
    """The keys of a project file that may be in doubt, and the quantity of each."""
    return {
        quantity.name: key
        for key, quantity in SYMBOLS.items()
        if quantity.name and key not in _NO_DOUBT and quantity.kind in (*_READ_AS, "ratio")
    }


def _doubt(name: str, value: object) -> Measure:
    key = symbol_of_name(name)
    if key is None or name not in doubtful_keys():
        raise ValueError(f"one of the keys {', '.join(doubtful_keys())}")
    kind = SYMBOLS[key].kind
    if isinstance(value, str) and value.strip().endswith("%"):
        return parse(value, "percent")
    if kind == "ratio":
        number = _number(value)
        if number.number < 0:
            raise ValueError("a number that is not negative")
        return number
    # A doubt about a height is a length like any other: never negative.
    return parse(value, "floor" if kind == "depth" else _READ_AS[kind])
