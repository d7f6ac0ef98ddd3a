"""Tables of a project file: objects with a value for each key of the table of keys."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, Self, TypeVar

from pydantic import BaseModel, ConfigDict, Field

from linerdesign.project.faults import (
    Fault,
    Place,
    Refused,
    fault,
    nearest,
    shown,
    shown_key,
    unknown_word,
)
from linerdesign.project.key import Key
from linerdesign.project.keys import keys_of
from linerdesign.project.measures import KINDS, Measure, Price, factor, parse, parse_range
from linerdesign.words import sentence

# In place of a value that could not be read; its fault is in the list.
UNREAD = object()
# Reads the value of a key; its faults, at the place of the table, are added to the list.
Reader = Callable[[Any, Key, Place, list[Fault]], Any]
T = TypeVar("T", bound="Table")
# Keys by which a pipe that is not circular would be described.
SHAPE_KEYS = ("shape", "outline", "width", "height", "rise", "span")
# Kinds of amounts of money: the code of what is wrong, and the kind of unit that they are per.
PRICES = {
    "price": ("faults.price", "mass"),
    "price per length": ("faults.price_per_length", "length"),
    "money": ("faults.money", ""),
}
ONLY_CIRCULAR = sentence("faults.only_circular")
HEADINGS = {
    "project": "[project]",
    "pipe": "[[pipe]]",
    "resin": "[[resin]]",
    "criteria": "[criteria]",
}


class Table(BaseModel):
    """A table of a project file, read: a pydantic model with a field for each row of its keys.

    Values are read by `READERS`, which know the place of a fault; `model_construct` takes them as
    they are.
    """

    model_config = ConfigDict(frozen=True, defer_build=True)
    of: ClassVar[str]
    rows: ClassVar[dict[str, Key]]
    required: ClassVar[tuple[str, ...]]
    _place: Place = Place()
    _unread: frozenset[str] = frozenset()

    @property
    def place(self) -> Place:
        """Where it was read from."""
        return self._place

    @property
    def unread(self) -> frozenset[str]:
        """Keys whose values could not be read."""
        return self._unread

    @property
    def given(self) -> dict[str, Any]:
        """What the file gave, without the keys left out, in the order of the table of keys."""
        known = self.model_fields_set
        return {name: getattr(self, name) for name in self.rows if name in known}

    def __init_subclass__(cls, of: str, **more: Any) -> None:
        super().__init_subclass__(**more)
        rows = keys_of(of)
        cls.of, cls.rows = of, rows
        own = {name for name, key in rows.items() if key.tables[0] == of}
        cls.required = tuple(name for name in rows if name in own and rows[name].required)
        for name, key in rows.items():
            cls.__annotations__[name] = Any
            setattr(cls, name, Field(_default(key, name in own)))
        TABLES[of] = cls

    def changed(self, values: Mapping[str, Any]) -> Self:
        """A copy with other values."""
        return self.model_copy(update=dict(values))

    def __hash__(self) -> int:
        return hash((self.of, *self.given))

    if TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any: ...


TABLES: dict[str, type[Table]] = {}


def _default(key: Key, own: bool) -> Any:
    """The value of a key left out; that of the table of keys holds in its first table."""
    if own and isinstance(key.default, str) and key.takes is not None:
        number, _, unit = key.default.partition(" ")
        return Measure(float(number), unit, key.default)
    if own and key.default is not None:
        return key.default
    if key.kind in ("defaults", "limits"):
        return TABLES[key.kind].model_construct()
    return "" if key.kind in ("text", "label") else None


def read_table(cls: type[T], raw: object, place: Place, faults: list[Fault]) -> T:
    """The table with every value that could be read; its faults are added to the list."""
    if not isinstance(raw, dict):
        faults.append(fault("not_a_table", place, shown(raw)))
        return _constructed(cls, {}, place)
    faults.extend(unknown_key(cls, name, raw[name], place) for name in raw if name not in cls.rows)
    values = {}
    for name, key in cls.rows.items():
        if name in raw:
            given = raw[name]
            read = READERS[key.kind]
            values[name] = given if given is UNREAD else read(given, key, place, faults)
        elif name in cls.required:
            code = "missing_key_for" if name == "condition" else "missing_key"
            faults.append(fault(code, place.at(name), why=key.help))
    table = _constructed(cls, {n: v for n, v in values.items() if v is not UNREAD}, place)
    table._unread = frozenset(n for n, v in values.items() if v is UNREAD)
    return table


def _constructed(cls: type[T], values: Mapping[str, Any], place: Place) -> T:
    table = cls.model_construct(**values)
    # Private attributes of a frozen model can be set.
    table._place = place
    return table


def validated(cls: type[T], raw: object, place: Place | str, faults: list[Fault]) -> T | None:
    """The table, or none where it has faults, which are added to the list."""
    found: list[Fault] = []
    at = Place(table=place) if isinstance(place, str) else place
    table = read_table(cls, raw, at, found)
    faults.extend(found)
    return None if found else table


def unknown_key(cls: type[Table], name: object, value: object, place: Place) -> Fault:
    """The fault of a key that a table does not take, with the key that was most likely meant."""
    key = str(name)
    where = place.at(key)
    if key in SHAPE_KEYS and "host_diameter" in cls.rows:
        return fault("not_circular", where, why=ONLY_CIRCULAR)
    elsewhere = [heading for table, heading in HEADINGS.items() if key in keys_of(table)]
    if elsewhere and not isinstance(value, dict):
        return fault("misplaced", where, table=" or ".join(elsewhere))
    meant = {alias: known for known, row in cls.rows.items() for alias in (*row.also, known)}
    near = nearest(key.casefold(), meant)
    known = ", ".join(cls.rows) if near is None else meant[near]
    code = "unknown" if near is None else "unknown_near"
    return fault(code, replace(where, key=""), what="key", word=shown_key(key), known=known)


def simple(read: Callable[[Any, Key], Any]) -> Reader:
    """A reader that refuses a value as a whole."""

    def reader(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
        try:
            return read(raw, key)
        except Refused as refused:
            faults.append(refused.at(place.at(key.name), shown(raw)))
            return UNREAD

    return reader


def _quantity(value: Any, key: Key) -> Any:
    return parse(value, key.kind) if KINDS[key.kind].unit else factor(value, key.kind)


def _text(value: Any, key: Key) -> str:
    if not isinstance(value, str):
        number = isinstance(value, int | float) and not isinstance(value, bool)
        example = shown(str(value)) if number else '"..."'
        raise Refused("faults.no_words", example=f"{key.name} = {example}")
    if not value.strip():
        raise Refused("faults.no_text")
    return value.strip()


def _label(value: Any, key: Key) -> str:
    """Some text, a date or a number: what a cover sheet prints."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:.15g}" if isinstance(value, float) else shown(value)
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    return _text(value, key)


def _choice(value: Any, key: Key) -> str:
    if not isinstance(value, str) or value not in key.choices:
        raise Refused("faults.choice", choices=" or ".join(map(shown, key.choices)))
    return value


def _truth(value: Any, key: Key) -> bool:
    if not isinstance(value, bool):
        raise Refused("faults.truth")
    return value


def money(value: Any, key: Key) -> Price:
    """`"3.10 USD/kg"`, `"18 USD/ft"` or `"4000 USD"`: the currency is a label, the rest a unit.

    Raises:
        ValueError: what is no price of this kind.
    """
    code, per = PRICES[key.kind]
    amount, _, unit = str(value).partition("/")
    number, _, currency = amount.strip().partition(" ")
    if not isinstance(value, str) or not currency.strip().isalpha() or bool(unit) != bool(per):
        raise Refused(code)
    # An amount by itself is read as so many of any unit: what counts is the number.
    try:
        read = parse(f"{number} {unit or 'kg'}", per or "mass")
    except Refused:
        raise Refused(code) from None
    label, of = currency.strip(), unit.strip() if per else ""
    full = f"{label}/{of}" if per else label
    return Price(read.number, full, value.strip(), currency=label, per=of)


def _no_water(value: Any, key: Key) -> str:
    if value != "none":
        datums = [n for n, row in keys_of("pipe").items() if row.group == key.group]
        raise Refused("faults.no_water", keys=", ".join(n for n in datums if n != key.name))
    return "none"


def _readings(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
    """A list of lengths."""
    place = place.at(key.name)
    least, most = key.entries
    if not isinstance(raw, list):
        faults.append(fault("not_a_list", place, shown(raw)))
        return UNREAD
    if not least <= len(raw) <= most:
        faults.append(fault("entries", place, count=len(raw), least=least, most=most))
        return UNREAD
    found = []
    for index, each in enumerate(raw):
        try:
            found.append(parse(each, "section"))
        except Refused as refused:
            at = replace(place, key=f"{place.key} number {index + 1}")
            faults.append(refused.at(at, shown(each)))
    return found if len(found) == len(raw) else UNREAD


def by_key(names: Callable[[], Mapping[str, Any]], read: Callable[[Any, Key], Any]) -> Reader:
    """A reader of a table in braces whose keys are keys of a pipe or a resin."""

    def reader(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
        at = place.at(key.name)
        if not isinstance(raw, dict):
            faults.append(fault("not_braces", at, shown(raw)))
            return UNREAD
        found = {}
        known = names()
        for name, value in raw.items():
            if name not in known:
                faults.append(unknown_word(at.under(name), name, known))
                continue
            try:
                found[name] = read(value, key)
            except Refused as refused:
                faults.append(refused.at(at.under(name), shown(value)))
        return found

    return reader


def _table(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
    """A table that a key holds."""
    table = read_table(TABLES[key.kind], raw, place.inside(key.name), faults)
    return table if isinstance(raw, dict) else UNREAD


def _tables(raw: Any, key: Key, place: Place, faults: list[Fault]) -> Any:
    """A list of tables, each named by where it is along the pipe, or by its number."""
    cls = TABLES[key.kind.removesuffix("s")]
    most = key.entries[1]
    if not isinstance(raw, list):
        faults.append(fault("not_a_list", place.at(key.name), shown(raw)))
        return UNREAD
    if len(raw) > most:
        faults.append(fault("entries", place.at(key.name), count=len(raw), least=0, most=most))
        return UNREAD
    named = [each.get("at") if isinstance(each, dict) else None for each in raw]
    return tuple(
        read_table(cls, each, place.inside(key.name, index, name), faults)
        for index, (each, name) in enumerate(zip(raw, named, strict=True))
    )


def _of_pipe_or_resin() -> Mapping[str, Any]:
    return keys_of("pipe") | keys_of("resin")


READERS: dict[str, Reader] = {
    **{kind: simple(_quantity) for kind in KINDS},
    "property": simple(lambda value, key: parse_range(value, "modulus")),
    "retention": simple(lambda value, key: parse_range(value, "retention")),
    "text": simple(_text),
    "label": simple(_label),
    "choice": simple(_choice),
    "truth": simple(_truth),
    **dict.fromkeys(PRICES, simple(money)),
    "no water": simple(_no_water),
    "readings": _readings,
    "origins": by_key(_of_pipe_or_resin, _choice),
    "evidence": by_key(_of_pipe_or_resin, _text),
    "stations": _tables,
    "samples": _tables,
    "legs": _tables,
    "laterals": _tables,
    "grouts": _tables,
    "tubes": _tables,
    "stated stations": _tables,
    **dict.fromkeys(("defaults", "limits", "capacity", "order", "stated", "inputs"), _table),
    "cost": _table,
    "second_method": _table,
}
