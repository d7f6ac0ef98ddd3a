"""Tables of measurements as CSV: units in the header, every fault named at once with its place.

A column is called `radius [mm]`; the unit is part of the header because a column of bare numbers
cannot be told from one in another unit. Columns of text carry no unit.
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from linerdesign.project.delimited import Row, rows_of, split_heading
from linerdesign.project.faults import Fault, InputFaults, fault, shown, unknown_word
from linerdesign.project.reading import read_bytes
from linerdesign.words import sentence

MAXIMUM_BYTES = 100_000_000
LISTED_FAULTS = 200

_DECIMAL_COMMA = re.compile(r"^[+-]?\d+,\d+$")


@dataclass(frozen=True)
class Column:
    """What a column may hold.

    `units` maps each accepted unit to the number that one of it is in the column's own unit; an
    empty one where none needs to be written. `None` marks a column of text. `above` and `below`
    are bounds that a value may not reach, `at_least` and `at_most` bounds that it may, all in the
    column's own unit. An empty cell is a fault unless `may_be_empty`;
    a column of text has a unit only `with_unit`.
    """

    name: str
    units: dict[str, float] | None
    above: float = -math.inf
    below: float = math.inf
    at_least: float = -math.inf
    at_most: float = math.inf
    may_be_empty: bool = False
    with_unit: bool = False

    def allows(self, value: float) -> bool:
        """Whether a value, in the column's own unit, is inside the bounds."""
        return self.above < value < self.below and self.at_least <= value <= self.at_most

    def takes(self) -> str:
        """What a cell may hold, in words."""
        bounds = [
            f"{word} {limit:g}"
            for word, limit in (
                ("above", self.above),
                ("below", self.below),
                ("at least", self.at_least),
                ("at most", self.at_most),
            )
            if math.isfinite(limit)
        ]
        own = next((f" {unit}" for unit, factor in (self.units or {}).items() if factor == 1), "")
        limits = f" {' and '.join(bounds)}{own}" if bounds else ""
        code = "cell_takes_or_empty" if self.may_be_empty else "cell_takes"
        return sentence(f"faults.{code}", limits=limits)


@dataclass(frozen=True, eq=False)
class MeasuredTable:
    """Columns by name, all of one length.

    `numbers` are in each column's own unit (the one whose factor is 1), NaN only
    in the empty cells of columns that allow them; `units` are the units as written in the
    header; `lines` are line numbers in the file. `spoiled` are rows with faults, which are not
    among the others: what can be read of each, by column.
    """

    numbers: dict[str, NDArray[np.float64]]
    texts: dict[str, tuple[str, ...]]
    units: dict[str, str]
    lines: NDArray[np.int64]
    spoiled: tuple[Mapping[str, float | str], ...] = ()

    def where(self, file_name: str, rows: NDArray[np.int64]) -> str:
        """How a fault names some rows, in order."""
        first, last = self.lines[rows[0]], self.lines[rows[-1]]
        lines = f"line {first}" if first == last else f"lines {first} to {last}"
        return f"{file_name}, {lines}"

    def is_whole(self, column: str, value: float | str | None) -> bool:
        """Whether no row with faults is one of those with this value in a column, surely."""
        return all(each.get(column, value) != value for each in self.spoiled)


@dataclass(frozen=True)
class _Heading:
    """A column that can be read, by its place in the rows."""

    place: int
    title: str
    column: Column
    factor: float


def unit_factors(own: str, *others: str) -> dict[str, float]:
    """Each accepted unit with the number that one of it is in `own`.

    >>> unit_factors("mm", "in")
    {'mm': 1.0, 'in': 25.4}
    """
    from linerdesign.project.measures import convert

    return {name: 1.0 if name == own else convert(1.0, name, own) for name in (own, *others)}


def header_units(path: Path) -> dict[str, str]:
    """The unit of each column that has one, by name, as the header of a file says."""
    header = next((row for _, row in _filled_rows(path)), [])
    return {name: unit for name, unit in map(split_heading, header) if unit}


def read_rows(
    path: Path,
    columns: Sequence[Column],
    forms: Sequence[tuple[str, ...]],
    maximum_rows: int,
    faults: list[Fault],
) -> MeasuredTable:
    """The rows of a CSV of measurements that have no faults; the faults of the others are added.

    `forms` are the alternative sets of columns, by name, of which the file must hold exactly
    one; columns in no form are optional.

    Raises:
        InputFaults: every fault of a file whose header has some.
    """
    lines = _filled_rows(path)
    first = next(lines, None)
    if first is None:
        raise InputFaults([fault("no_readings", path.name)])
    header_line, header = first
    place = f"{path.name}, line {header_line}"
    of_header: list[Fault] = []
    headings = _read_header(header, columns, forms, place, of_header)
    found: list[Fault] = []
    rows = list(_full_rows(lines, len(header), path.name, maximum_rows, found)) if headings else []
    spoiled: list[Mapping[str, float | str]] = [{} for _ in found]
    if not rows and not found:
        found.append(fault("no_readings", path.name))
    wrong: dict[int, set[str]] = {}
    for heading in headings:
        for line, row in rows:
            cell = row[heading.place].strip()
            if (code := _wrong(cell, heading)) is not None:
                wrong.setdefault(line, set()).add(heading.column.name)
                at = f"{path.name}, line {line}, column {heading.title}"
                value = shown(cell) if heading.column.units else ""
                found.append(fault(code, at, value, takes=heading.column.takes()))
    if of_header:
        raise InputFaults([*of_header, *_shortened(found if headings else [])])
    faults += _shortened(found)
    spoiled += [_read(headings, row, wrong[line]) for line, row in rows if line in wrong]
    return _table(headings, [each for each in rows if each[0] not in wrong], tuple(spoiled))


def _read(
    headings: Sequence[_Heading], row: Sequence[str], without: set[str]
) -> Mapping[str, float | str]:
    """What can be read of a row."""
    found: dict[str, float | str] = {}
    for each in headings:
        name, cell = each.column.name, row[each.place].strip()
        if name not in without:
            found[name] = cell if each.column.units is None else float(cell or "nan") * each.factor
    return found


def _filled_rows(path: Path) -> Iterator[Row]:
    """The rows of a file that are not blank, each with its line."""
    raw = read_bytes(path, MAXIMUM_BYTES)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputFaults([fault("not_csv", path.name, byte=error.start)]) from None
    if "\0" in text:
        raise InputFaults([fault("not_csv", path.name, byte=raw.index(b"\0"))])
    rows = rows_of(io.StringIO(text, newline=""), ",", path.name)
    return ((line, row) for line, row in rows if any(cell.strip() for cell in row))


def _read_header(
    titles: Sequence[str],
    columns: Sequence[Column],
    forms: Sequence[tuple[str, ...]],
    place: str,
    faults: list[Fault],
) -> list[_Heading]:
    by_name = {column.name: column for column in columns}
    if len(titles) == 1 and ";" in titles[0]:
        faults.append(fault("semicolons", place, shown(titles[0])))
        return []
    headings: list[_Heading] = []
    seen: set[str] = set()
    for position, title in enumerate(titles, start=1):
        name, unit = split_heading(title)
        name = name if name in by_name else name.replace("_", " ")
        where = f"{place}, column {position}"
        column = by_name.get(name)
        if column is None:
            faults.append(unknown_word(where, name, by_name, "column"))
            continue
        if name in seen:
            faults.append(fault("column_twice", where, shown(title)))
        factor = _unit_factor(title, column, unit, where, faults)
        if factor is not None and name not in seen:
            headings.append(_Heading(position - 1, title.strip(), column, factor))
        seen.add(name)
    _check_form(seen, forms, place, faults)
    return headings


def _unit_factor(
    title: str, column: Column, unit: str | None, where: str, faults: list[Fault]
) -> float | None:
    if column.units is None:
        if unit is not None and not column.with_unit:
            faults.append(fault("unit_of_text", where, shown(title)))
        return 1.0
    if (unit or "") in column.units:
        return column.units[unit or ""]
    offered = ", ".join(f"{column.name} [{name}]" for name in column.units if name)
    faults.append(fault("column_unit", where, shown(title), known=offered))
    return None


def _check_form(
    seen: set[str], forms: Sequence[tuple[str, ...]], place: str, faults: list[Fault]
) -> None:
    complete = [form for form in forms if set(form) <= seen]
    in_forms = {name for form in forms for name in form}
    choice = ", or ".join(" and ".join(form) for form in forms)
    value = ", ".join(sorted(seen & in_forms)) or "none of them"
    if not complete:
        faults.append(fault("columns_missing", place, found=value, known=choice))
    elif (seen & in_forms) - set(complete[0]):
        faults.append(fault("columns_several", place, found=value, known=choice))


def _full_rows(
    rows: Iterable[Row], width: int, file_name: str, maximum_rows: int, faults: list[Fault]
) -> Iterator[Row]:
    """The rows with a cell for each heading."""
    count = 0
    for line, row in rows:
        at = f"{file_name}, line {line}"
        if count == maximum_rows:
            faults.append(fault("too_many_rows", at, most=f"{maximum_rows:,}"))
            return
        if len(row) == width:
            count += 1
            yield line, row
        else:
            faults.append(fault("cells", at, shown(",".join(row)), found=len(row), width=width))


def _wrong(cell: str, heading: _Heading) -> str | None:
    """The code of what is wrong with a cell, if anything is."""
    column = heading.column
    if cell == "" and column.may_be_empty:
        return None
    if column.units is None:
        return None if cell else "no_name"
    value = _number(cell)
    if value is not None and column.allows(value * heading.factor):
        return None
    return "cell_comma" if _DECIMAL_COMMA.match(cell) else "cell"


def _table(
    headings: Sequence[_Heading],
    rows: Sequence[Row],
    spoiled: tuple[Mapping[str, float | str], ...],
) -> MeasuredTable:
    """The table of rows without faults."""
    numbers: dict[str, NDArray[np.float64]] = {}
    texts: dict[str, tuple[str, ...]] = {}
    for heading in headings:
        cells = [row[heading.place].strip() for _, row in rows]
        if heading.column.units is None:
            texts[heading.column.name] = tuple(cells)
        else:
            values = np.array([float(cell or math.nan) for cell in cells])
            numbers[heading.column.name] = values * heading.factor
    units = {h.column.name: split_heading(h.title)[1] or "" for h in headings}
    lines = np.array([line for line, _ in rows], dtype=np.int64)
    return MeasuredTable(numbers, texts, units, lines, spoiled)


def _number(cell: str) -> float | None:
    # float() also reads "1_000", "nan" and "inf", none of which is a reading.
    if "_" in cell:
        return None
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _shortened(faults: list[Fault]) -> list[Fault]:
    if len(faults) <= LISTED_FAULTS:
        return faults
    more = len(faults) - LISTED_FAULTS
    return [*faults[:LISTED_FAULTS], fault("more", "", count=f"{more:,}")]
