"""What the header of an inventory says: which column is which key of a pipe, in which unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from linerdesign.project.faults import Fault, InputFaults, nearest, shown
from linerdesign.project.fields import ONLY_CIRCULAR, SHAPE_KEYS
from linerdesign.project.measured_table import split_heading
from linerdesign.project.measures import KINDS, Kind, parse
from linerdesign.project.models import Pipe

REQUIRED, NOMINAL = "required_thickness [mm]", "nominal_thickness [mm]"
GOVERNING, STATUS, MESSAGE = "governing", "status", "message"
ADDED = (REQUIRED, NOMINAL, GOVERNING, STATUS, MESSAGE)
NEEDED = ("condition", "host_diameter")
SEPARATORS = {";": "semicolons", "\t": "tabs", "|": "upright strokes"}


@dataclass(frozen=True)
class Column:
    """A column that holds a key of a pipe: quantities in `unit`, or words where there is none."""

    header: str
    key: str
    unit: str = ""
    kind: str = ""

    @property
    def about(self) -> Kind:
        """What sort of quantity the column holds."""
        return KINDS[self.kind]

    @property
    def place(self) -> str:
        """How a fault names the column."""
        return f"column {shown(self.header)}"


@dataclass(frozen=True)
class Header:
    """The columns of a table: those with a pipe's keys, and those that pass through."""

    headers: tuple[str, ...]
    measured: tuple[Column, ...]
    words: tuple[Column, ...]
    hints: tuple[str, ...]

    @property
    def passing(self) -> tuple[str, ...]:
        """Columns that are no key of a pipe."""
        known = {column.header for column in (*self.measured, *self.words)}
        return tuple(header for header in self.headers if header not in known)

    def column_of(self, key: str) -> Column | None:
        """The column that holds a key."""
        return next((c for c in (*self.measured, *self.words) if c.key == key), None)


@cache
def measured_keys() -> dict[str, str]:
    """The keys of a pipe that take one quantity with its unit, and its kind among `KINDS`."""
    return {name: key.measure for name, key in Pipe.rows.items() if key.measure}


@cache
def word_keys() -> frozenset[str]:
    """The keys of a pipe that take words and nothing else."""
    words = (name for name, key in Pipe.rows.items() if key.as_column and not key.measure)
    return frozenset(words)


def read_header(headers: Sequence[str], place: str) -> Header:
    """The columns that a header names.

    Raises:
        InputFaults: a quantity without its unit or with a wrong one, a column twice, a column
            that every inventory needs and is not there, one that the result adds.
    """
    if separated := _separated_by(headers):
        expected = f"commas between the cells, and a point for the decimals; it has {separated}"
        raise InputFaults([Fault(place, "", expected)])
    faults: list[Fault] = []
    measured: list[Column] = []
    words: list[Column] = []
    hints: list[str] = []
    for header in headers:
        name, unit = split_heading(header)
        at = f"{place}, column {shown(header)}"
        if header in ADDED:
            faults.append(Fault(at, "", "another name: the result adds a column of this one"))
        elif name in measured_keys():
            kind = measured_keys()[name]
            faults.extend(_unit_faults(at, name, unit, kind))
            measured.append(Column(header, name, unit or "", kind))
        elif name in word_keys():
            if unit is not None:
                faults.append(Fault(at, "", f'"{name}" without a unit: the column holds words'))
            words.append(Column(header, name))
        elif name in SHAPE_KEYS:
            hints.append(f"column {shown(header)} passes through unread; {ONLY_CIRCULAR}")
        elif unit is not None or nearest(name, NEEDED):
            hints.extend(_hint(header, name))
    faults.extend(_repeated(headers, [*measured, *words], place))
    present = {column.key for column in (*measured, *words)}
    for key in NEEDED:
        if key not in present:
            example = f"{key} [in]" if key in measured_keys() else key
            faults.append(Fault(place, "", f'a column "{example}" in the header'))
    if faults:
        raise InputFaults(faults)
    return Header(tuple(headers), tuple(measured), tuple(words), tuple(hints))


def _separated_by(headers: Sequence[str]) -> str:
    """What stands between the names of a header that commas do not part; empty where they do."""
    for mark, words in SEPARATORS.items():
        cells = ",".join(headers).split(mark)
        names = {split_heading(cell.strip().strip('"'))[0] for cell in cells}
        if len(cells) > len(headers) and names & set(NEEDED):
            return words
    return ""


def _unit_faults(at: str, name: str, unit: str | None, kind: str) -> Iterator[Fault]:
    """A unit is tried as a project file would take it, on the number 1."""
    example = KINDS[kind].example.strip('"').split(" ", 1)[1]
    if not unit:
        yield Fault(at, "", f'a unit in brackets, such as "{name} [{example}]"')
        return
    try:
        parse(f"1 {unit}", kind)
    except ValueError:
        what = KINDS[kind].what.split(" ", 1)[1]
        yield Fault(at, f"[{unit}]", f'a unit of {what}, such as "{name} [{example}]"')


def _repeated(headers: Sequence[str], columns: list[Column], place: str) -> Iterator[Fault]:
    for header, count in Counter(headers).items():
        if count > 1:
            yield Fault(f"{place}, column {shown(header)}", "", "a name that no other column has")
    for key, count in Counter(column.key for column in columns).items():
        same = [shown(column.header) for column in columns if column.key == key]
        if count > 1 and len(set(same)) > 1:
            yield Fault(place, " and ".join(same), f"one column of {key}")


def _hint(header: str, name: str) -> Iterator[str]:
    """A column that passes through although it looks like a key misspelt."""
    if meant := nearest(name, (*measured_keys(), *word_keys())):
        known = f'the nearest known key is "{meant}"'
        yield f"column {shown(header)} passes through unread; {known}"
