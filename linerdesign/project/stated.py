"""Values of a submitted calculation by symbol."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from linerdesign.methods.method import standard
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.faults import Fault, Place, Refused, fault, shown
from linerdesign.project.fields import READERS, UNREAD, Reader, simple
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
    "inertia": "inertia",
}
# A step with its place in the submittal: `{ value = "0.836", at = "page 2, line 5" }`.
_WITH_PLACE = {"value", "at"}
_BARE = re.compile(r"\s*[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?\s*")


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
    """The quantity that a stated line is about: `C`, `q_t`, `Rw`, `DR`; none if unknown."""
    known = {**_spellings(), **standard().submittals.aliases}
    return known.get(name) or known.get(_plain(name))


def _by_name(read: Callable[[str, Any], Measure]) -> Reader:
    """A reader of a table in braces, each value by its name."""

    def reader(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
        at = place.at(key.name)
        if not isinstance(raw, dict):
            faults.append(fault("not_braces", at, shown(raw)))
            return UNREAD
        found: dict[str, Measure] = {}
        for name, value in raw.items():
            try:
                found[str(name)] = read(str(name), value)
            except Refused as refused:
                faults.append(refused.at(at.under(name), shown(value)))
        return found

    return reader


def _step(name: str, value: Any) -> Measure:
    key = step_key(name)
    if key is None or SYMBOLS[key].kind not in (*_READ_AS, "ratio"):
        raise Refused("review.no symbol", known=", ".join(stated_symbols()))
    at = ""
    if isinstance(value, dict):
        at = value.get("at", "")
        if "value" not in value or not value.keys() <= _WITH_PLACE or not isinstance(at, str):
            raise Refused("review.not a step")
        value = value["value"]
    kind = SYMBOLS[key].kind
    found = _number(value) if kind == "ratio" else parse(value, _READ_AS[kind])
    return StatedStep(found.number, found.unit, found.text, at=at.strip())


@cache
def stated_symbols() -> tuple[str, ...]:
    """The symbols that submittals usually show, in the order of the sheet."""
    return tuple(
        quantity.symbol.replace("t_X", "t X")
        for key, quantity in SYMBOLS.items()
        if key in standard().submittals.shown
    )


def _number(value: Any) -> Measure:
    """A ratio; as text it keeps the digits that were printed."""
    text = str(value) if isinstance(value, int | float) and not isinstance(value, bool) else value
    if not isinstance(text, str) or not _BARE.fullmatch(text):
        raise Refused("faults.not_a_ratio")
    return Measure(float(text), "", text.strip())


def _edition(value: Any, _key: Key) -> str:
    found = standard().submittals.edition_of(value) if isinstance(value, str) else None
    if found is None:
        raise Refused("review.no edition")
    return found


READERS.update({"steps": _by_name(_step), "edition": simple(_edition)})
