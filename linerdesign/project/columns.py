"""What the header of an inventory says: which column is which key, in which unit."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from linerdesign.project.delimited import split_heading
from linerdesign.project.faults import Fault, InputFaults, Refused, fault, nearest, shown
from linerdesign.project.fields import ONLY_CIRCULAR, SHAPE_KEYS
from linerdesign.project.key import ALSO_WORDS, Key
from linerdesign.project.keys import columns, keys_of
from linerdesign.project.measures import Kind, parse
from linerdesign.project.naming import UNCHANGED, Naming
from linerdesign.words import sentence

REQUIRED, NOMINAL = "required_thickness [mm]", "nominal_thickness [mm]"
GOVERNING, STATUS, MESSAGE = "governing", "status", "message"
# Added where uncertainty is wished for.
CHANCE, INDEX = "chance_enough [%]", "reliability_index"
ADDED = (REQUIRED, NOMINAL, GOVERNING, STATUS, MESSAGE)
NEEDED = ("condition", "host_diameter")
# Where along a pipe: a column of its own in many inventories, and in a planning table.
PLACES = {"station"}
# Units that people write behind a name, as in Dia_mm.
_UNIT_WORD = re.compile(r"_(mm|m|in|inch|ft|psi|kpa|mpa|pct|percent)$")
# Those that are not written as units are, and the units of examples in another system.
_SPELLED = {"inch": "in", "kpa": "kPa", "mpa": "MPa", "pct": "%", "percent": "%"}
_METRIC = {"in": "mm", "ft": "m", "psi": "MPa", "pcf": "kN/m^3"}


@dataclass(frozen=True)
class Column:
    """A column that holds a key: quantities in `unit`, or words where the key takes no number."""

    header: str
    key: str
    unit: str = ""

    @property
    def table(self) -> str:
        """The table of a project file that the key belongs to."""
        return known_keys()[self.key][0]

    @property
    def measured(self) -> bool:
        """Whether the column holds quantities or bare numbers."""
        return known_keys()[self.key][1].takes is not None

    @property
    def also_words(self) -> bool:
        """Whether a cell may hold a word in place of a quantity, such as a live load method."""
        return known_keys()[self.key][1].kind in ALSO_WORDS

    @property
    def about(self) -> Kind:
        """What sort of quantity the column holds."""
        takes = known_keys()[self.key][1].takes
        assert takes is not None
        return takes

    @property
    def place(self) -> str:
        """How a fault names the column."""
        return f"column {shown(self.header)}"


@dataclass(frozen=True)
class Header:
    """The columns of a table: those with keys, and those that pass through.

    `hints` are about columns that pass through although they look like those of a pipe;
    `earlier` is set where the table is a result of this program, whose columns are replaced;
    `unread` are keys whose columns can't be read, or are missing, of a header with faults.
    """

    headers: tuple[str, ...]
    measured: tuple[Column, ...]
    words: tuple[Column, ...]
    hints: tuple[str, ...] = ()
    earlier: bool = False
    naming: Naming = UNCHANGED
    unread: tuple[Column, ...] = ()

    @property
    def passing(self) -> tuple[str, ...]:
        """Columns that are no key."""
        known = {column.header for column in (*self.measured, *self.words)}
        known |= set(ADDED) if self.earlier else set()
        return tuple(header for header in self.headers if header not in known)

    def column_of(self, key: str) -> Column | None:
        """The column that holds a key."""
        every = (*self.measured, *self.words, *self.unread)
        return next((each for each in every if each.key == key), None)

    def header_of(self, name: str, option: str) -> str:
        """The header of a column, by itself or by its key.

        Raises:
            InputFaults: where there is none.
        """
        column = self.column_of(name)
        if name not in self.headers and column is None:
            known = ", ".join(map(shown, self.headers))
            raise InputFaults([fault("inventory.no_column", option, shown(name), known=known)])
        return name if column is None or name in self.headers else column.header


@cache
def known_keys() -> dict[str, tuple[str, Key]]:
    """The keys that a column may hold, each with its table."""
    return columns()


@cache
def _other_keys() -> frozenset[str]:
    """Keys of a project file that no cell can hold, and those of the owner's limits."""
    tables = ("pipe", "resin", "criteria", "limits")
    names = frozenset(name for table in tables for name in keys_of(table))
    return names - known_keys().keys() - PLACES


@cache
def _leg_keys() -> frozenset[str]:
    """Keys of the legs of a line, which a row can't have."""
    return frozenset(keys_of("leg")) - known_keys().keys() - {"at"}


@cache
def _words_for_keys() -> dict[str, str]:
    """Names that people give to a key, the key itself among them."""
    found = {word: name for name, (_, key) in known_keys().items() for word in key.also}
    return found | {name: name for name in known_keys()}


def read_header(
    headers: Sequence[str],
    place: str,
    naming: Naming | None = None,
    system: str = "US",
    cells: Sequence[str] = (),
) -> Header:
    """The columns that a header names, by itself or through the mapping file.

    `system` is that of the units which faults propose; `place` is where the header is, `cells`
    where each heading is, of a worksheet.

    Raises:
        InputFaults: a quantity without its unit or with a wrong one, a column twice, a name close
            to a key, a key that no column can hold, a column that every inventory needs and is
            not there, some but not all of the columns that the result adds. The header is left, as
            far as its columns can be read.
    """
    named = naming or UNCHANGED
    earlier = set(ADDED) <= set(headers)
    faults = list(_unused_names(headers, named))
    columns = _Columns(system, named, faults)
    places = _places(headers, cells or [place] * len(headers))
    for at, header in zip(places, headers, strict=True):
        if header not in ADDED:
            columns.add(at, header)
        elif not earlier:
            faults.append(fault("inventory.added", at))
    found, unread = columns.found, columns.unread
    faults.extend(_repeated(headers, places, found, place))
    present = {column.key for column in found}
    faults.extend(_missing(present, place, system))
    unread += [Column("", key) for key in NEEDED if key not in present]
    unread += [column for column in found if _twice(column, found) and column not in unread]
    sound = [column for column in found if column not in unread]
    measured = tuple(column for column in sound if column.measured)
    words = tuple(column for column in sound if not column.measured)
    hints = tuple(columns.hints)
    made = Header(tuple(headers), measured, words, hints, earlier, named, tuple(unread))
    if faults:
        raise InputFaults(faults, lambda: made)
    return made


@dataclass
class _Columns:
    """The columns of a header that hold keys, those of them that can't be read, and hints."""

    system: str
    naming: Naming
    faults: list[Fault]
    found: list[Column] = field(default_factory=list)
    unread: list[Column] = field(default_factory=list)
    hints: list[str] = field(default_factory=list)

    def add(self, at: str, header: str) -> None:
        """Adds a column, or what is wrong with it."""
        by_map = header in self.naming.columns
        name, unit = split_heading(self.naming.columns.get(header, header))
        if name in known_keys():
            column = Column(header, name, unit or "")
            wrong = list(_unit_faults(at, column, unit, self.system))
            self.faults.extend(wrong)
            self.unread += [column] if wrong else []
            self.found.append(column)
        elif name in SHAPE_KEYS:
            self.hints.append(sentence("inventory.shape", column=shown(header), why=ONLY_CIRCULAR))
        elif name in _leg_keys():
            self.hints.append(sentence("inventory.leg", column=shown(header)))
        elif self.naming.columns.get(header) != "":
            meant = _meant(name, bool(unit) or by_map)
            self.faults.extend(_near_faults(at, name, unit, by_map, self.system, meant))
            self.unread += [Column(header, meant)] if meant else []


def _twice(column: Column, among: Sequence[Column]) -> bool:
    """Whether another column holds the same key."""
    return sum(each.key == column.key for each in among) > 1


def _places(headers: Sequence[str], at: Sequence[str]) -> list[str]:
    """How a fault names each heading."""
    pairs = zip(at, headers, strict=True)
    return [f"{where}, column {shown(header)}" for where, header in pairs]


def _unused_names(headers: Sequence[str], naming: Naming) -> Iterator[Fault]:
    for header in naming.columns:
        if header not in headers:
            known = ", ".join(map(shown, headers[:20]))
            at = f"{naming.file_name}, [columns]"
            yield fault("inventory.no_column", at, shown(header), known=known)


def _unit_faults(at: str, column: Column, unit: str | None, system: str) -> Iterator[Fault]:
    """A unit is tried as a project file would take it, on the number 1."""
    if not column.measured or not column.about.unit:
        if unit is not None:
            yield fault("inventory.needless_unit", at, name=column.key)
        return
    example = _example(column.key, system)
    if not unit:
        yield fault("inventory.no_unit", at, example=example)
        return
    try:
        parse(f"1 {unit}", known_keys()[column.key][1].measure)
    except Refused:
        what = column.about.noun
        yield fault("inventory.wrong_unit", at, f"[{unit}]", what=what, example=example)


def _plain(name: str) -> str:
    """A name as keys are written."""
    return re.sub(r"[^a-z0-9]+", "_", name).strip("_")


def _meant(name: str, is_key: bool) -> str | None:
    """The key that a name was most likely meant for; less of it is enough where it `is_key`."""
    plain = _plain(name)
    if plain in _other_keys():
        return None
    known = _words_for_keys()
    bare = _UNIT_WORD.sub("", plain)
    meant = known.get(plain) or known.get(bare)
    if meant is None and len(bare) > 4:
        close = nearest(bare, known, 0.6 if is_key else 0.8)
        meant = known[close] if close else None
    return meant


def _near_faults(
    at: str, name: str, unit: str | None, by_map: bool, system: str, meant: str | None
) -> Iterator[Fault]:
    """A name that is a key elsewhere, or close to one; one of the mapping file must be a key."""
    plain = _plain(name)
    if plain in _other_keys():
        yield fault("inventory.no_cell", at, name=plain)
    elif meant is not None:
        ends = _UNIT_WORD.search(plain)
        word = unit or (_SPELLED.get(ends[1], ends[1]) if ends else "")
        yield fault("inventory.near", at, known=_example(meant, system, word))
    elif by_map:
        yield fault("inventory.no_key", at, shown(name))


def _example(key: str, system: str, unit: str = "") -> str:
    """A heading of a key, with a unit where it takes one: the one given if it is one of its."""
    takes = known_keys()[key][1].takes
    if takes is None or not takes.unit:
        return key
    usual = takes.usual_unit
    usual = _METRIC.get(usual, usual) if system == "SI" else usual
    try:
        parse(f"1 {unit or usual}", known_keys()[key][1].measure)
    except Refused:
        return f"{key} [{usual}]"
    return f"{key} [{unit or usual}]"


def _repeated(
    headers: Sequence[str], places: Sequence[str], columns: list[Column], place: str
) -> Iterator[Fault]:
    # The last of each: that one is to be renamed.
    last = dict(zip(headers, places, strict=True))
    for header, count in Counter(headers).items():
        if count > 1:
            yield fault("inventory.same_header", last[header])
    for key, count in Counter(column.key for column in columns).items():
        same = dict.fromkeys(shown(column.header) for column in columns if column.key == key)
        if count > 1 and len(same) > 1:
            yield fault("inventory.same_key", place, " and ".join(same), name=key)


def _missing(present: set[str], place: str, system: str) -> Iterator[Fault]:
    for key in NEEDED:
        if key not in present:
            yield fault("inventory.missing", place, column=_example(key, system))
