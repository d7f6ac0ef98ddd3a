"""What a submitted calculation states: its lines by symbol, and doubts about inputs by key."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from typing import Any

from linerdesign.methods.symbols import SYMBOLS, symbol_of_name
from linerdesign.project.faults import Fault, Place, Refused, fault, shown
from linerdesign.project.fields import READERS, UNREAD, Reader
from linerdesign.project.key import Key
from linerdesign.project.measures import Measure, parse

# How the quantities of a sheet are read where a submittal states them.
_READ_AS = {
    "section": "floor",
    "thickness": "floor",
    "depth": "level",
    "stress": "load",
    "unit weight": "unit weight",
    "percent": "percent",
}
_BARE = re.compile(r"\s*[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?\s*")
# Inputs that are choices of the owner, or the yardstick itself: nothing to be in doubt about.
_NO_DOUBT = ("t_floor", "s", "t", "t_required", "q_floor", "q", "N", "DR_max")


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
    known = _spellings()
    return known.get(name) or known.get(_plain(name))


def _by_name(read: Callable[[str, Any], Measure]) -> Reader:
    """A reader of a table in braces, each value by its name."""

    def reader(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
        if not isinstance(raw, dict):
            faults.append(fault("not_braces", place, shown(raw)))
            return UNREAD
        found: dict[str, Measure] = {}
        for name, value in raw.items():
            try:
                found[str(name)] = read(str(name), value)
            except Refused as refused:
                faults.append(refused.at(place.under(name), shown(value)))
        return found

    return reader


def _step(name: str, value: Any) -> Measure:
    key = step_key(name)
    if key is None or SYMBOLS[key].kind not in (*_READ_AS, "ratio"):
        raise Refused("faults.no_symbol")
    if SYMBOLS[key].kind == "ratio":
        return _number(value)
    return parse(value, _READ_AS[SYMBOLS[key].kind])


def _number(value: Any) -> Measure:
    """A ratio; as text it keeps the digits that were printed."""
    text = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
    if not isinstance(text, str) or not _BARE.fullmatch(text):
        raise Refused("faults.not_a_ratio")
    return Measure(float(text), "", text.strip())


def doubtful_keys() -> dict[str, str]:
    """The keys of a project file that may be in doubt, and the quantity of each."""
    return {
        quantity.name: key
        for key, quantity in SYMBOLS.items()
        if quantity.name and key not in _NO_DOUBT and quantity.kind in (*_READ_AS, "ratio")
    }


def _doubt(name: str, value: Any) -> Measure:
    key = symbol_of_name(name)
    if key is None or name not in doubtful_keys():
        raise Refused("faults.argument", known=", ".join(doubtful_keys()))
    kind = SYMBOLS[key].kind
    if isinstance(value, str) and value.strip().endswith("%"):
        return parse(value, "percent")
    if kind == "ratio":
        number = _number(value)
        if number.number < 0:
            raise Refused("faults.negative")
        return number
    # A doubt about a height is a length like any other: never negative.
    return parse(value, "floor" if kind == "depth" else _READ_AS[kind])


READERS.update({"steps": _by_name(_step), "doubts": _by_name(_doubt)})
