"""The pipes of a project from a table, `pipes = "street.xlsx"`: one row a pipe."""

from __future__ import annotations

import datetime
import hashlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path
from typing import Any

from linerdesign.project.columns import Column, Header, known_keys, read_header
from linerdesign.project.delimited import dialect_of, rows_of, split_heading
from linerdesign.project.faults import Faults, InputFaults, Place, fault
from linerdesign.project.fields import UNREAD
from linerdesign.project.identity import FileRead
from linerdesign.project.measures import BARE
from linerdesign.project.reading import LARGEST_FILE, MOST_PIPES, read_bytes
from linerdesign.project.worksheet import (
    Rows,
    by_unit,
    cells_of,
    first_sheet,
    no_table,
    titles_of,
    values_of,
)

FORMS = (".csv", ".xlsx")
Cells = list[Any]


@dataclass(frozen=True)
class PipeTable:
    """The rows of a file as tables of a project file, the place of each, and the file."""

    tables: tuple[dict[str, Any], ...]
    places: tuple[Place, ...]
    file: FileRead


def read_pipes(path: Path) -> PipeTable:
    """The pipes in a CSV file, or in the first worksheet of a workbook.

    Columns are those of an inventory: keys of a pipe with their units, and any others, which are
    not read. A cell that states a unit of its own is read with that unit.

    Raises:
        InputFaults: a file that is no table, or every fault of its header, and rows longer than it;
            what can be read of the rows is left.
    """
    if path.suffix.lower() not in FORMS:
        raise InputFaults([fault("suffix", path.name, known=" or ".join(FORMS))])
    data = read_bytes(path, LARGEST_FILE, regular=True)
    file = FileRead("pipes", path.name, hashlib.sha256(data).hexdigest())
    word, rows = _rows(path)
    filled = ((n, cells) for n, cells in rows if any(c not in (None, "") for c in cells))
    first = next(filled, None)
    if first is None:
        raise InputFaults([fault("inventory.empty", path.name)])
    number, titles = first
    faults = Faults()
    names = titles_of(titles)
    header = _header(names, path, word, number, faults)
    tables: list[dict[str, Any]] = []
    places: list[Place] = []
    for number, cells in filled:
        if len(tables) == MOST_PIPES:
            at = f"{path.name}, {word} {number}"
            faults.append(fault("too_many_rows", at, most=f"{MOST_PIPES:,}"))
            break
        table = dict(_values(header, dict(zip(names, cells, strict=False))))
        name = table.get("name")
        place = Place(path.name, f"{word} {number}", name if isinstance(name, str) else None)
        if any(cell not in (None, "") for cell in cells[len(names) :]):
            faults.append(fault("inventory.surplus", place))
        tables.append(table)
        places.append(place)
    if not tables:
        raise InputFaults([*faults, fault("inventory.empty", path.name)])
    made = PipeTable(tuple(tables), tuple(places), file)
    if faults:
        raise InputFaults(faults, lambda: made)
    return made


def _rows(path: Path) -> tuple[str, Iterator[tuple[int, Cells]]]:
    """What the rows are counted as, and each with its number."""
    if path.suffix.lower() == ".csv":
        dialect = dialect_of(path, known_keys())
        with dialect.open(path) as lines:
            return "line", iter([*rows_of(lines, dialect.separator, path.name)])
    try:
        names, rows = first_sheet(path)
        found = list(_shown(rows))
    except InputFaults:
        raise
    except Exception as error:  # the library raises many kinds for what is no workbook
        raise no_table(path, error) from None
    return ("row" if len(names) == 1 else f"{names[0]}, row"), iter([*enumerate(found, 1)])


def _shown(rows: Rows) -> Iterator[Cells]:
    """The rows of a worksheet; those below the heading with the units that their formats show."""
    units: list[str | None] = []
    for row in rows:
        values = values_of(row)
        if units:
            yield [by_unit(cell, unit) for cell, unit in zip_longest(row, units[: len(row)])]
            continue
        units = [split_heading(title)[1] for title in titles_of(values)]
        yield values


def _header(names: list[str], path: Path, word: str, number: int, faults: Faults) -> Header:
    """The header in this row or line; its faults, and those of keys of no pipe, are added."""
    place, cells = f"{path.name}, {word} {number}", list[str]()
    if path.suffix.lower() != ".csv":
        cells = cells_of(path, number, len(names), word.rpartition(",")[0])
    header = faults.of(read_header, names, place, cells=cells)
    assert header is not None  # of one with faults the rest is left
    for column in (*header.measured, *header.words):
        if column.table != "pipe":
            at = f"{cells[names.index(column.header)] if cells else place}, {column.place}"
            faults.append(fault("inventory.not_of_pipe", at, table=column.table))
    return header


def _values(header: Header, cells: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """The keys that a row gives, as a project file would: quantities with their units."""
    for column in (*header.unread, *header.measured, *header.words):
        cell = cells.get(column.header)
        value = cell.strip() if isinstance(cell, str) else cell
        unread = column in header.unread
        missing = not column.header
        if column.table == "pipe" and (missing or value not in (None, "")):
            yield column.key, UNREAD if unread else _value(column, value)


def _value(column: Column, value: Any) -> Any:
    if isinstance(value, bool) or (column.measured and isinstance(value, datetime.date)):
        return value
    text = f"{value:.15g}" if isinstance(value, float) else str(value)
    if not column.measured:
        return text
    # Every quantity of a pipe has a unit; without one its column is unread.
    return f"{text} {column.unit}" if re.fullmatch(BARE, text) else value
