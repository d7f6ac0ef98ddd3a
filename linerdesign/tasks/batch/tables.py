"""Tables in and out, in pieces: CSV and Parquet with flat memory, a workbook's sheet whole."""

from __future__ import annotations

import io
import os
import re
from collections.abc import Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from itertools import islice
from pathlib import Path
from typing import IO, TYPE_CHECKING

import numpy as np

from linerdesign.project.delimited import OLD, PLAIN, Dialect, Row, dialect_of, rows_of
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.worksheet import no_table
from linerdesign.tasks.batch.cells import Cells
from linerdesign.tasks.batch.geometry import (
    DRIVERS,
    GEO,
    Geometry,
    geoparquet_metadata,
    of_geoparquet,
    open_layer,
    write_layer,
)
from linerdesign.tasks.batch.sheets import read_sheet, write_sheet

if TYPE_CHECKING:
    import polars as pl

FORMS = (".csv", ".parquet", ".xlsx", *DRIVERS)
# Rows of a piece, rows read at once from Parquet, and bytes read at once from CSV.
PIECE, GROUP, BLOCK = 131_072, 262_144, 1 << 23
_OS_ERROR = re.compile(r"\(os error (\d+)\)")
_LIKE_A_FORMULA = r"\A[=+\-@\t\r]"


class ReadAgainError(Exception):
    """A CSV file is not written as its first bytes promised; read it in this dialect."""

    def __init__(self, dialect: Dialect) -> None:
        self.dialect = dialect
        super().__init__(str(dialect))


@dataclass(frozen=True)
class Piece:
    """Some rows of a table. `surplus` holds what rows had beyond the last column, by row."""

    frame: pl.DataFrame
    surplus: dict[int, str]


@dataclass(frozen=True)
class Source:
    """A table to read: its headers, a way through its pieces, how it is written, and where its
    pipes are."""

    headers: tuple[str, ...]
    pieces: Callable[[], Iterator[Piece]]
    remarks: tuple[str, ...] = ()
    geometry: Geometry | None = None


def open_table(
    path: Path,
    known: Collection[str] = (),
    dialect: Dialect | None = None,
    layer: str | None = None,
) -> Source:
    """The table in a file. `known` are names of columns by which its separator is told, `layer`
    is that of a file with several.

    Raises:
        InputFaults: where it is no table of a known form, or can't be read.
        ReadAgainError: from the pieces, where a CSV file is to be read in another dialect.
    """
    form = path.suffix.lower()
    if form not in FORMS:
        raise InputFaults([fault("suffix", str(path), known=", ".join(FORMS))])
    layer = layer_of(path, layer)
    # Any form: whether the file is there at all.
    found = dialect or (dialect_of(path, known) if form == ".csv" else None)
    if found is None:
        with _readable(path):
            pass
    if path.stat().st_size == 0:
        raise InputFaults([fault("inventory.empty", str(path))])
    if found is not None:
        return _csv(path, found)
    if form in DRIVERS:
        opened = open_layer(path, layer)
        pieces = lambda: (Piece(frame, {}) for frame in opened.frames())  # noqa: E731
        return Source(opened.headers, pieces, geometry=opened.geometry)
    return _parquet(path) if form == ".parquet" else _workbook(path)


def layer_of(path: Path, layer: str | None) -> str | None:
    """The layer to read of a file.

    Raises:
        InputFaults: one of a file that has none.
    """
    if layer is not None and path.suffix.lower() not in DRIVERS:
        raise InputFaults([fault("inventory.no_layers", str(path))])
    return layer


def _readable(path: Path) -> IO[bytes]:
    try:
        return path.open("rb")
    except FileNotFoundError:
        raise InputFaults([fault("not_found", str(path))]) from None
    except OSError as error:
        why = (error.strerror or "unreadable").lower()
        raise InputFaults([fault("unreadable", str(path), why=why)]) from None


def _csv(path: Path, dialect: Dialect) -> Source:
    with dialect.open(path) as file:
        rows = rows_of(file, dialect.separator, str(path))
        lines, header = next((each for each in rows if any(each[1])), (0, []))
    headers = tuple(header)
    if len(set(headers)) < len(headers):
        # The header's own check says so; a frame can't be made of it.
        return Source(headers, lambda: iter(()), dialect.remarks)
    read = _by_row if dialect.by_row else _by_block
    return Source(headers, lambda: read(path, dialect, headers, lines), dialect.remarks)


def _by_block(
    path: Path, dialect: Dialect, headers: tuple[str, ...], lines: int
) -> Iterator[Piece]:
    """Blocks of bytes cut between rows: a reader that runs ahead would fill the memory."""
    import polars as pl

    schema = dict.fromkeys(headers, pl.String)

    def rows(block: bytes) -> Piece | None:
        try:
            frame = pl.read_csv(
                block,
                has_header=False,
                schema=schema,
                separator=dialect.separator,
            )
        except pl.exceptions.NoDataError:
            return None
        except pl.exceptions.PolarsError as error:
            raise _another(dialect, error) from None
        return Piece(frame, {})

    with _bytes_of(path, dialect) as file:
        for _ in range(lines):
            file.readline()
        # By `map`: a loop would hold each block and its rows while the next one is read.
        yield from filter(None, map(rows, _blocks(file, dialect)))


def _bytes_of(path: Path, dialect: Dialect) -> IO[bytes]:
    """The file as bytes of UTF-8, whatever it is written in."""
    if dialect.encoding in (PLAIN, "utf-8-sig"):
        return path.open("rb")
    return io.BufferedReader(_Recoded(dialect.open(path)), BLOCK)  # type: ignore[type-var]


class _Recoded(io.RawIOBase):
    """Text as a stream of bytes of UTF-8."""

    def __init__(self, text: IO[str]) -> None:
        self.text, self.rest = text, b""

    def readable(self) -> bool:
        return True

    def readinto(self, target: bytearray) -> int:  # type: ignore[override]
        if not self.rest:
            self.rest = self.text.read(BLOCK).encode(PLAIN)
        part, self.rest = self.rest[: len(target)], self.rest[len(target) :]
        target[: len(part)] = part
        return len(part)


def _another(dialect: Dialect, error: Exception) -> ReadAgainError:
    """How to read on where the library can't: in another encoding, or row by row."""
    if "utf-8" in str(error) and dialect.encoding == PLAIN:
        return ReadAgainError(replace(dialect, encoding=OLD))
    return ReadAgainError(replace(dialect, by_row=True))


def _blocks(file: IO[bytes], dialect: Dialect) -> Iterator[bytes]:
    """The rest of a file in blocks, each ending where a row ends.

    Raises:
        ReadAgainError: where line ends or quotes leave in doubt what is a row.
    """
    by_row = ReadAgainError(replace(dialect, by_row=True))
    while block := _to_end_of_row(file):
        odd = block.count(b'"') % 2 or len(block) >= 2 * BLOCK
        if odd or not _plain(block, dialect.separator.encode()):
            raise by_row
        yield block
        del block


def _to_end_of_row(file: IO[bytes]) -> bytes:
    """A block of a file and on to a line end that no quotes hold inside a cell; two blocks where
    there is none."""
    parts = [file.read(BLOCK)]
    size = len(parts[0])
    odd = parts[0].count(b'"') % 2
    while line := file.readline(2 * BLOCK - size):
        parts.append(line)
        size += len(line)
        odd ^= line.count(b'"') % 2
        if line.endswith(b"\n") and not odd:
            break
    return b"".join(parts)


def _plain(block: bytes, separator: bytes) -> bool:
    """Whether quotes only begin and end cells, and only line feeds end rows."""
    if b"\0" in block:
        return False
    if b"\r" in block and block.count(b"\r") != block.count(b"\r\n"):
        return False
    if b'"' not in block:
        return True
    bare = np.frombuffer(b"\n" + block.replace(b'""', b"") + b"\n", np.uint8)
    quotes = np.flatnonzero(bare == ord('"'))
    ends = np.frombuffer(separator + b"\n\r", np.uint8)
    before, after = bare[quotes[0::2] - 1], bare[quotes[1::2] + 1]
    return bool(np.isin(before, ends).all() and np.isin(after, ends).all())


def _by_row(path: Path, dialect: Dialect, headers: tuple[str, ...], lines: int) -> Iterator[Piece]:
    import polars as pl

    width = len(headers)
    with dialect.open(path) as file:
        rows = rows_of(file, dialect.separator, str(path))
        while next(rows)[0] < lines:
            pass
        while some := _next_rows(rows, path, dialect):
            surplus = {
                place: ", ".join(shown(cell) for cell in row[width:])
                for place, row in enumerate(some)
                if any(row[width:])
            }
            even = [[*row, *[""] * width][:width] for row in some]
            data = [[cell or None for cell in column] for column in zip(*even, strict=True)]
            columns = dict(zip(headers, data, strict=True))
            yield Piece(pl.DataFrame(columns, dict.fromkeys(headers, pl.String)), surplus)


def _next_rows(rows: Iterator[Row], path: Path, dialect: Dialect) -> list[list[str]]:
    try:
        return [row for _, row in islice(rows, PIECE)]
    except InputFaults as found:
        wrong_bytes = any(each.code == "faults.not_csv" for each in found.faults)
        if wrong_bytes and dialect.encoding == PLAIN:
            raise ReadAgainError(replace(dialect, encoding=OLD)) from None
        raise


def _parquet(path: Path) -> Source:
    # Or the library would end the program at a time zone by its offset, "+05:30".
    os.environ.setdefault("POLARS_IGNORE_TIMEZONE_PARSE_ERROR", "1")
    import polars as pl

    scan = pl.scan_parquet(path)
    try:
        headers = tuple(scan.collect_schema())
        rows = int(scan.select(pl.len()).collect().item())
        metadata = pl.read_parquet_metadata(path).get(GEO)
    except (pl.exceptions.PolarsError, pl.exceptions.PanicException) as error:
        raise no_table(path, error) from None

    def pieces() -> Iterator[Piece]:
        for start in range(0, rows, GROUP):
            try:
                group = scan.slice(start, GROUP).collect()
            except (pl.exceptions.PolarsError, pl.exceptions.PanicException) as error:
                raise no_table(path, error) from None
            yield from (Piece(frame, {}) for frame in group.iter_slices(PIECE))

    geometry = of_geoparquet(path, metadata) if metadata else None
    return Source(headers, pieces, geometry=geometry)


def _workbook(path: Path) -> Source:
    """The first sheet, read whole."""
    try:
        headers, columns, surplus, remarks = read_sheet(path)
    except InputFaults:
        raise
    except Exception as error:  # the library raises many kinds for what is no workbook
        raise no_table(path, error) from None
    if len(set(headers)) < len(headers):
        return Source(headers, lambda: iter(()), remarks)
    import polars as pl

    frame = pl.DataFrame(columns)

    def pieces() -> Iterator[Piece]:
        for start in range(0, frame.height, PIECE):
            part = frame.slice(start, PIECE)
            beyond = {
                row - start: text for row, text in surplus.items() if 0 <= row - start < PIECE
            }
            yield Piece(part, beyond)

    return Source(headers, pieces, remarks)


def check_columns(
    frame: pl.DataFrame, path: Path, used: Collection[str], geometry: Geometry | None = None
) -> None:
    """Refuses columns that can't be read as cells, or can't be written to the file.

    Raises:
        InputFaults: lists, structures and binary values in a column that is used, or in any one
            where the target is no Parquet; dates and durations in a column that is used.
    """
    in_time = ("Date", "Datetime", "Time", "Duration")
    faults = []
    for header, kind in frame.schema.items():
        name = str(kind).partition("(")[0]
        at = f"column {shown(header)}"
        nested = kind.is_nested() or name in ("Binary", "Object")
        if header in used and (nested or name in in_time):
            faults.append(fault("inventory.no_cells", at, kind=name.lower()))
        elif geometry is not None and header == geometry.column:
            continue
        elif nested and path.suffix.lower() != ".parquet":
            faults.append(fault("inventory.nested", at, kind=name.lower()))
    if faults:
        raise InputFaults(faults)


def write_table(
    file: IO[bytes],
    target: Path,
    frames: Iterator[pl.DataFrame],
    empty: pl.DataFrame,
    geometry: Geometry | None = None,
) -> None:
    """Writes the frames, whose columns are those of the `empty` one, as the target's suffix says.

    Raises:
        InputFaults: where the form can't hold the table.
    """
    form = target.suffix.lower()
    with _errors_of_the_system():
        if form == ".parquet":
            _write_parquet(file, target, frames, empty, geometry)
        elif geometry is not None:
            write_layer(file, target, frames, empty, geometry)
        else:
            {".csv": _write_csv, ".xlsx": write_sheet}[form](file, frames, empty)


def taken_for_formulas(frame: pl.DataFrame, cells: Sequence[Cells]) -> int:
    """Text cells of a piece that a spreadsheet would take for formulas if it read them from CSV.

    Numbers with a sign are none. Cells pass through as they are: a mark put before them would
    be a value that nobody gave.
    """
    import polars as pl

    numbers = {each.column.header: each for each in cells}
    count = 0
    for text in frame.select(pl.selectors.string()).iter_columns():
        if text.name in numbers:
            measured = numbers[text.name].measured
            if measured.all():
                continue
            text = text.filter(pl.Series(~measured))
        found = text.filter(text.str.contains(_LIKE_A_FORMULA))
        count += found.cast(pl.Float64, strict=False).null_count()
    return count


def _write_csv(file: IO[bytes], frames: Iterator[pl.DataFrame], empty: pl.DataFrame) -> None:
    import polars as pl

    durations = [name for name, kind in empty.schema.items() if kind == pl.Duration]
    offsets = [name for name, kind in empty.schema.items() if _has_offset(kind)]
    empty.write_csv(file)
    for frame in frames:
        if durations:
            frame = frame.with_columns(pl.col(durations).dt.to_string("iso"))
        if offsets:
            frame = frame.with_columns(pl.col(offsets).dt.convert_time_zone("UTC"))
        frame.write_csv(file, include_header=False)
        # Not held until the next one is there.
        del frame


def _has_offset(kind: pl.DataType) -> bool:
    """Whether a type is that of times in a zone by its offset, which the library can't write."""
    return (getattr(kind, "time_zone", None) or "").startswith(("+", "-"))


def _write_parquet(
    file: IO[bytes],
    target: Path,
    frames: Iterator[pl.DataFrame],
    empty: pl.DataFrame,
    geometry: Geometry | None,
) -> None:
    from polars.io.plugins import register_io_source

    def source(*_wanted: object) -> Iterator[pl.DataFrame]:
        return frames

    metadata = {GEO: geoparquet_metadata(geometry, str(target))} if geometry else None
    register_io_source(source, schema=empty.schema).sink_parquet(file, metadata=metadata)


@contextmanager
def _errors_of_the_system() -> Iterator[None]:
    """A full disk comes as an error of the library's own, with the system's number in its text."""
    import polars as pl

    try:
        yield
    except (OSError, pl.exceptions.PolarsError) as error:
        found = _OS_ERROR.search(str(error))
        if not found or getattr(error, "errno", None):
            raise
        raise OSError(int(found[1]), os.strerror(int(found[1]))) from None


def count_lines(path: Path) -> int:
    """Lines of a file, near enough to its rows for showing progress."""
    count = 0
    with path.open("rb") as file:
        while block := file.read(BLOCK):
            count += block.count(b"\n")
    return count
