"""The pipes of a project from a table, `pipes = "street.xlsx"`: one row a pipe."""

from __future__ import annotations

import datetime
import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import zip_longest
from pathlib import Path
from typing import Any

from linerdesign.project.columns import Column, known_keys, read_header
from linerdesign.project.delimited import dialect_of, rows_of, split_heading
from linerdesign.project.faults import Fault, InputFaults, Place, fault
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
        InputFaults: a file that is no table, or every fault of its header.
    """
    if path.suffix.lower() not in FORMS:
        raise InputFaults([fault("suffix", path.name, known=" or ".join(FORMS))])
    data = read_bytes(path, LARGEST_FILE, regular=True)
    file = FileRead("pipes", path.name, hashlib.sha256(data).hexdigest())
    word, rows = _rows(path)
    filled = ((n, cells) for n, cells in rows if any(c not in (None, "") for c in cells))
    number, titles = next(filled, (0, []))
    columns, faults = _columns(titles, path, word, number)
    tables: list[dict[str, Any]] = []
    places: list[Place] = []
    for number, cells in filled:
        if len(tables) == MOST_PIPES:
            at = f"{path.name}, {word} {number}"
            raise InputFaults([fault("too_many_rows", at, most=f"{MOST_PIPES:,}")])
        table = dict(_values(columns, cells))
        name = table.get("name")
        place = Place(path.name, f"{word} {number}", name if isinstance(name, str) else None)
        if any(cell not in (None, "") for cell in cells[len(titles) :]):
            faults.append(fault("inventory.surplus", place))
        tables.append(table)
        places.append(place)
    if not tables:
        faults.append(fault("inventory.empty", path.name))
    if faults:
        raise InputFaults(faults)
    return PipeTable(tuple(tables), tuple(places), file)


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


def _columns(
    titles: Cells, path: Path, word: str, number: int
) -> tuple[dict[int, Column], list[Fault]]:
    """The columns that hold keys of a pipe, by their position, of a header in this row or line."""
    names = titles_of(titles)
    place, cells = f"{path.name}, {word} {number}", list[str]()
    if path.suffix.lower() != ".csv":
        cells = cells_of(path, number, len(names), word.rpartition(",")[0])
    header = read_header(names, place, cells=cells)
    found, faults = {}, []
    for column in (*header.measured, *header.words):
        position = names.index(column.header)
        if column.table != "pipe":
            at = f"{cells[position] if cells else place}, {column.place}"
            faults.append(fault("inventory.not_of_pipe", at, table=column.table))
        found[position] = column
    return found, faults


def _values(columns: dict[int, Column], cells: Cells) -> Iterator[tuple[str, Any]]:
    """The keys that a row gives, as a project file would: quantities with their units."""
    for position, column in columns.items():
        cell = cells[position] if position < len(cells) else None
        value = cell.strip() if isinstance(cell, str) else cell
        if value not in (None, ""):
            yield column.key, _value(column, value)


def _value(column: Column, value: Any) -> Any:
    if isinstance(value, bool) or (column.measured and isinstance(value, datetime.date)):
        return value
    number = isinstance(value, int | float)
    text = f"{value:.15g}" if isinstance(value, float) else str(value)
    if not column.measured:
        return text
    if not (number or re.fullmatch(BARE, text)):
        return value
    if column.unit:
        return f"{text} {column.unit}"
    return value if number else float(text)
