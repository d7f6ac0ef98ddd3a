"""A worksheet as a table, in and out."""

from __future__ import annotations

import datetime
import io
import math
from collections.abc import Iterator
from decimal import Decimal
from itertools import zip_longest
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from linerdesign.documents.workbook_cells import issued
from linerdesign.project.delimited import split_heading
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.worksheet import ROWS, by_unit, first_sheet, titles_of, values_of
from linerdesign.words import sentence

if TYPE_CHECKING:
    import polars as pl

# What a worksheet holds at most, and the digits that its numbers keep.
COLUMNS, CELL, DIGITS = 16_384, 32_767, 15
# The first year of their calendar.
FIRST_YEAR = 1900

Columns = list["pl.Series"]


def read_sheet(path: Path) -> tuple[tuple[str, ...], Columns, dict[int, str], tuple[str, ...]]:
    """Headers, columns, cells beyond the last header by row, and remarks, of the first sheet.

    A column of one type keeps it; a mixed one becomes text. The last row is the last with a value.

    Raises:
        InputFaults: as `first_sheet`.
    """
    names, rows = first_sheet(path)
    titles = titles_of(values_of(next(rows, ())))
    units = [split_heading(title)[1] for title in titles]
    columns: list[list[Any]] = [[] for _ in titles]
    surplus: dict[int, str] = {}
    filled = 0
    for number, row in enumerate(rows):
        if any(str(cell.value).strip() for cell in row if cell.value is not None):
            filled = number + 1
        for column, cell, unit in zip_longest(columns, row[: len(titles)], units):
            column.append(None if cell is None else by_unit(cell, unit))
        values = values_of(row[len(titles) :])
        if beyond := [shown(str(value)) for value in values if value is not None]:
            surplus[number] = ", ".join(beyond)
    # What stands below the last row with a value is formats.
    for column in columns:
        del column[filled:]
    several = {"first": shown(names[0]), "rest": ", ".join(map(shown, names[1:]))}
    remarks = (sentence("inventory.sheets", **several),) if len(names) > 1 else ()
    if len(set(titles)) < len(titles):
        return tuple(titles), [], {}, remarks
    made = [_of_one_type(title, column) for title, column in zip(titles, columns, strict=True)]
    return tuple(titles), made, surplus, remarks


def _of_one_type(title: str, cells: list[Any]) -> pl.Series:
    import polars as pl

    kinds = {type(cell) for cell in cells if cell is not None}
    if kinds <= {int, float} and all(abs(c) < 10**DIGITS for c in cells if isinstance(c, int)):
        wanted = pl.Int64 if kinds == {int} else pl.Float64
        return pl.Series(title, cells, wanted if kinds else pl.String)
    if len(kinds) == 1 and kinds != {int}:
        return pl.Series(title, cells)
    return pl.Series(title, [None if cell is None else str(cell) for cell in cells], pl.String)


def write_sheet(file: IO[bytes], frames: Iterator[pl.DataFrame], empty: pl.DataFrame) -> None:
    """Writes the frames as one sheet; what a cell can't hold as it is becomes text.

    Raises:
        InputFaults: more rows or columns than a sheet has, or a text longer than a cell holds.
    """
    import xlsxwriter

    settings = {"constant_memory": True, "default_date_format": "yyyy-mm-dd"}
    # Text that looks like a formula, a link or a number stays the text that it is.
    settings |= dict.fromkeys(
        ("strings_to_formulas", "strings_to_urls", "strings_to_numbers"), False
    )
    # Zipped in memory: the zip of a file that can't be written complains once more at its end.
    held = io.BytesIO()
    try:
        with xlsxwriter.Workbook(held, settings) as book:
            # Not the day of the run: the same inventory gives the same bytes.
            book.set_properties({"created": issued("")})
            _fill(book, frames, empty)
    except xlsxwriter.exceptions.FileCreateError as error:
        raise error.args[0] from None
    file.write(held.getbuffer())


def _fill(book: Any, frames: Iterator[pl.DataFrame], empty: pl.DataFrame) -> None:
    sheet = book.add_worksheet("inventory")
    sheet.freeze_panes(1, 0)
    if len(empty.columns) > COLUMNS:
        raise InputFaults([fault("inventory.too_wide", "", most=f"{COLUMNS:,}")])
    for header in empty.columns:
        _check_length(header, 0, header)
    sheet.write_row(0, 0, empty.columns, book.add_format({"bold": True}))
    line = 0
    for frame in frames:
        for row in frame.iter_rows():
            line += 1
            if line >= ROWS:
                raise InputFaults([fault("inventory.too_long", "", most=f"{ROWS - 1:,}")])
            for column, value in enumerate(map(_for_cell, row)):
                if isinstance(value, str):
                    _check_length(value, line, empty.columns[column])
                sheet.write(line, column, value)


def _check_length(text: str, row: int, header: str) -> None:
    if len(text) > CELL:
        at = f"row {row}, column {shown(header)}" if row else f"header {shown(header)}"
        raise InputFaults([fault("inventory.long_cell", at, most=f"{CELL:,}")])


def _for_cell(value: Any) -> Any:
    """A value as a cell holds it: numbers that it would round, and times in zones or before the
    calendar of worksheets, as text."""
    if isinstance(value, bool):
        return value
    if isinstance(value, int | Decimal) and abs(value) >= 10**DIGITS:
        return str(value)
    if isinstance(value, float) and not math.isfinite(value):
        return str(value)
    if isinstance(value, datetime.date):  # a time is a date too
        zoned = isinstance(value, datetime.datetime) and value.tzinfo is not None
        return value.isoformat() if zoned or value.year < FIRST_YEAR else value
    return str(value) if isinstance(value, datetime.timedelta) else value
