"""Tables in and out, in pieces: CSV and Parquet with flat memory, a workbook's sheet whole."""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from linerdesign.documents.workbook_cells import issued
from linerdesign.project.faults import Fault, InputFaults, shown

if TYPE_CHECKING:
    import polars as pl

FORMS = (".csv", ".parquet", ".xlsx")
# Rows of a piece, rows read at once from Parquet, and bytes read at once from CSV.
PIECE, GROUP, BLOCK = 32_768, 262_144, 1 << 22
# A quote in the middle of a cell, as in 12" clay.
_STRAY_QUOTE = re.compile(rb'[^,\n\r"]"[^,\n\r"]')
_OS_ERROR = re.compile(r"\(os error (\d+)\)")
_LIKE_A_FORMULA = r"\A[=+\-@\t\r]"
SHEET_ROWS = 1_048_576


class RaggedRowsError(Exception):
    """A row of a CSV file has more cells than the header; the file is to be read row by row."""


@dataclass(frozen=True)
class Piece:
    """Some rows of a table. `surplus` holds what rows had beyond the last column, by row."""

    frame: pl.DataFrame
    surplus: dict[int, str]


@dataclass(frozen=True)
class Source:
    """A table to read: its headers, the number of rows if known, and a way through its pieces."""

    headers: tuple[str, ...]
    rows: int | None
    pieces: Callable[[], Iterator[Piece]]


def open_table(path: Path, ragged: bool = False) -> Source:
    """The table in a file; `ragged` reads a CSV file row by row, at the cost of speed.

    Raises:
        InputFaults: where it is no table of a known form, or can't be read.
        RaggedRowsError: from the pieces, where a CSV file must be read row by row.
    """
    form = path.suffix.lower()
    if form not in FORMS:
        raise InputFaults([Fault(str(path), "", f"a name ending in {', '.join(FORMS)}")])
    try:
        with path.open("rb") as file:
            empty = not file.read(1)
    except OSError as error:
        reason = (error.strerror or "unreadable").lower()
        raise InputFaults([Fault(str(path), "", f"a readable file ({reason})")]) from None
    if empty:
        raise InputFaults([Fault(str(path), "", "a table with a header, not an empty file")])
    reader = {".csv": _csv_by_row if ragged else _csv, ".parquet": _parquet, ".xlsx": _workbook}
    return reader[form](path)


def _csv(path: Path) -> Source:
    """Blocks of bytes cut between rows: a reader that runs ahead would fill the memory."""
    import polars as pl

    headers, lines = _csv_headers(path)

    def pieces() -> Iterator[Piece]:
        with path.open("rb") as file:
            header = b"".join(file.readline() for _ in range(lines))
            for block in _blocks(file):
                try:
                    # The header before each block, so that each is a table of the same columns.
                    frame = pl.read_csv(header + block, infer_schema=False)
                except pl.exceptions.PolarsError as error:
                    if "more fields than defined" in str(error):
                        raise RaggedRowsError from None
                    raise _unreadable(path, error) from None
                yield Piece(frame, {})

    return Source(headers, None, pieces)


def _csv_headers(path: Path) -> tuple[tuple[str, ...], int]:
    """The headers, and how many lines they take."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.reader(file)
            return tuple(next(reader, [])), reader.line_num
    except (UnicodeDecodeError, csv.Error):
        raise InputFaults([Fault(str(path), "", "a CSV file in UTF-8")]) from None


def _blocks(file: IO[bytes]) -> Iterator[bytes]:
    """The rest of a file in blocks, each ending where a row ends.

    Raises:
        RaggedRowsError: where quotes leave in doubt what is a row.
    """
    rest = b""
    while block := file.read(BLOCK):
        block = rest + block
        cut = _end_of_rows(block)
        stray = b'"' in block and _STRAY_QUOTE.search(block)
        if stray or (cut == 0 and len(block) >= BLOCK):
            raise RaggedRowsError
        if cut:
            yield block[:cut]
        rest = block[cut:]
    if rest:
        yield rest


def _end_of_rows(block: bytes) -> int:
    """Just past the last line end that no quotes hold inside a cell; 0 where there is none."""
    end = block.rfind(b"\n") + 1
    quotes = block.count(b'"', 0, end)
    while end and quotes % 2:
        before = block.rfind(b"\n", 0, end - 1) + 1
        quotes -= block.count(b'"', before, end)
        end = before
    return end


def _csv_by_row(path: Path) -> Source:
    import polars as pl

    headers, _ = _csv_headers(path)

    def pieces() -> Iterator[Piece]:
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows = csv.reader(file)
            next(rows)
            while some := _next_rows(rows, path):
                surplus = {
                    i: ", ".join(shown(cell) for cell in row[len(headers) :])
                    for i, row in enumerate(some)
                    if len(row) > len(headers)
                }
                even = [[*row, *[""] * len(headers)][: len(headers)] for row in some]
                data = [[cell or None for cell in column] for column in zip(*even, strict=True)]
                columns = dict(zip(headers, data, strict=True))
                yield Piece(pl.DataFrame(columns, dict.fromkeys(headers, pl.String)), surplus)

    return Source(headers, None, pieces)


def _next_rows(rows: Iterator[list[str]], path: Path) -> list[list[str]]:
    try:
        return list(islice(rows, PIECE))
    except (UnicodeDecodeError, csv.Error) as error:
        raise InputFaults([Fault(str(path), "", f"a CSV file in UTF-8 ({error})")]) from None


def _parquet(path: Path) -> Source:
    import polars as pl

    scan = pl.scan_parquet(path)
    try:
        headers = tuple(scan.collect_schema())
        rows = int(scan.select(pl.len()).collect().item())
    except pl.exceptions.PolarsError as error:
        raise _unreadable(path, error) from None

    def pieces() -> Iterator[Piece]:
        for start in range(0, rows, GROUP):
            try:
                group = scan.slice(start, GROUP).collect()
            except pl.exceptions.PolarsError as error:
                raise _unreadable(path, error) from None
            yield from (Piece(frame, {}) for frame in group.iter_slices(PIECE))

    return Source(headers, rows, pieces)


def _unreadable(path: Path, error: Exception) -> InputFaults:
    reason = shown(str(error).split("\n")[0], 100)
    return InputFaults([Fault(str(path), "", f"a {path.suffix[1:].upper()} table ({reason})")])


def _workbook(path: Path) -> Source:
    """The first sheet. A column of one type keeps it; a mixed one becomes text."""
    import polars as pl
    from openpyxl import load_workbook

    try:
        book = load_workbook(path, read_only=True, data_only=True)
        rows = book.worksheets[0].iter_rows(values_only=True)
        titles = ["" if cell is None else str(cell) for cell in next(rows, ())]
        while titles and not titles[-1]:
            titles.pop()
        columns: list[list[Any]] = [[] for _ in titles]
        for row in rows:
            for column, cell in zip(columns, [*row, *[None] * len(titles)], strict=False):
                column.append(cell)
    except Exception as error:  # the library raises many kinds for what is no workbook
        raise _unreadable(path, error) from None
    series = [_of_one_type(title, column) for title, column in zip(titles, columns, strict=True)]
    if len(set(titles)) < len(titles):
        # The header's own check says so; a frame can't be made of it.
        return Source(tuple(titles), 0, lambda: iter(()))
    frame = pl.DataFrame(series)
    pieces = (Piece(part, {}) for part in frame.iter_slices(PIECE))
    return Source(tuple(titles), frame.height, lambda: pieces)


def _of_one_type(title: str, cells: list[Any]) -> pl.Series:
    import polars as pl

    kinds = {type(cell) for cell in cells if cell is not None}
    if kinds <= {int, float}:
        wanted = pl.Int64 if kinds == {int} else pl.Float64
        return pl.Series(title, cells, wanted if kinds else pl.String, strict=False)
    if len(kinds) == 1:
        return pl.Series(title, cells)
    return pl.Series(title, [None if cell is None else str(cell) for cell in cells])


def write_table(path: Path, frames: Iterator[pl.DataFrame], first: pl.DataFrame) -> None:
    """Writes `first` and the frames that follow it, in the form that the suffix names."""
    writers = {".csv": _write_csv, ".parquet": _write_parquet, ".xlsx": _write_workbook}
    writers[path.suffix.lower()](path, _chain(first, frames), first)


def _chain(first: pl.DataFrame, rest: Iterator[pl.DataFrame]) -> Iterator[pl.DataFrame]:
    yield first
    yield from rest


def taken_for_formulas(frame: pl.DataFrame) -> int:
    """Text cells of a piece that a spreadsheet would take for formulas if it read them from CSV.

    Numbers with a sign are none. Cells pass through as they are: a mark put before them would
    be a value that nobody gave.
    """
    import polars as pl

    texts = frame.select(pl.selectors.string()).iter_columns()
    like = (text.filter(text.str.contains(_LIKE_A_FORMULA)) for text in texts)
    return sum(found.cast(pl.Float64, strict=False).null_count() for found in like)


def _write_csv(path: Path, frames: Iterator[pl.DataFrame], first: pl.DataFrame) -> None:
    with path.open("wb") as file:
        for place, frame in enumerate(frames):
            frame.write_csv(file, include_header=place == 0)


def _write_parquet(path: Path, frames: Iterator[pl.DataFrame], first: pl.DataFrame) -> None:
    import polars as pl
    from polars.io.plugins import register_io_source

    def source(*_wanted: object) -> Iterator[pl.DataFrame]:
        return frames

    try:
        register_io_source(source, schema=first.schema).sink_parquet(path)
    except pl.exceptions.PolarsError as error:
        # A full disk comes as an error of the library's own, with the system's number in its text.
        if refused := _OS_ERROR.search(str(error)):
            number = int(refused[1])
            raise OSError(number, os.strerror(number)) from None
        raise


def _write_workbook(path: Path, frames: Iterator[pl.DataFrame], first: pl.DataFrame) -> None:
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
            _fill(book, path, frames, first)
    except xlsxwriter.exceptions.FileCreateError as error:
        raise error.args[0] from None
    path.write_bytes(held.getbuffer())


def _fill(book: Any, path: Path, frames: Iterator[pl.DataFrame], first: pl.DataFrame) -> None:
    sheet = book.add_worksheet("inventory")
    sheet.freeze_panes(1, 0)
    sheet.write_row(0, 0, first.columns, book.add_format({"bold": True}))
    line = 0
    for frame in frames:
        for row in frame.iter_rows():
            line += 1
            if line >= SHEET_ROWS:
                expected = f"at most {SHEET_ROWS - 1:,} rows, or CSV or Parquet to write"
                raise InputFaults([Fault(str(path), "", expected)])
            sheet.write_row(line, 0, row)


def count_lines(path: Path) -> int:
    """Lines of a file, near enough to its rows for showing progress."""
    count = 0
    with path.open("rb") as file:
        while block := file.read(1 << 24):
            count += block.count(b"\n")
    return count
