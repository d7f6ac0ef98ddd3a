"""An inventory from file to file."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from linerdesign.project.columns import NEEDED, NOMINAL, STATUS, Header, read_header
from linerdesign.project.delimited import Dialect
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.naming import UNCHANGED, Naming
from linerdesign.project.placing import in_place_of
from linerdesign.project.reading import Project
from linerdesign.tasks.batch.against import read_earlier
from linerdesign.tasks.batch.cells import COMMA, UNKNOWN
from linerdesign.tasks.batch.pieces import Sized, Sizer
from linerdesign.tasks.batch.summary import Summary
from linerdesign.tasks.batch.tables import (
    ReadAgainError,
    Source,
    check_columns,
    open_table,
    taken_for_formulas,
    write_table,
)
from linerdesign.words import sentence

if TYPE_CHECKING:
    import polars as pl

    from linerdesign.tasks.uncertainty.pipes import Wishes as UncertaintyWishes

Progress = Callable[[int], None]
Part = TypeVar("Part")


@dataclass(frozen=True)
class Wishes:
    """What is wanted of an inventory beside its thicknesses: the mapping of its columns, totals
    `by` columns, and an earlier result to compare with."""

    naming: Naming = UNCHANGED
    by: tuple[str, ...] = ()
    against: Path | None = None
    uncertainty: UncertaintyWishes | None = None


def size_table(
    table: Path,
    target: Path,
    project: Project,
    system: str,
    progress: Progress = lambda rows: None,
    wishes: Wishes | None = None,
) -> tuple[Summary, tuple[str, ...]]:
    """Sizes every row of a table and writes it, with the columns added, to the target.

    `system` is the one that the equations are computed in. Gives the summary, and hints about
    columns that pass through unread although they look like those of a pipe.

    Raises:
        InputFaults: for a file or a header that can't be used. Bad rows raise nothing.
    """
    wanted = wishes or Wishes()
    known = {*NEEDED, *(header.lower() for header in wanted.naming.columns)}
    dialect: Dialect | None = None
    while True:
        try:
            source = open_table(table, known, dialect)
            return _size(source, table, target, project, system, progress, wanted)
        except ReadAgainError as again:
            dialect = again.dialect


def size_rows(rows: pl.DataFrame, project: Project, system: str) -> pl.DataFrame:
    """The rows of a table with the columns of the result beside them.

    Raises:
        InputFaults: for columns that can't be used. Bad rows raise nothing.
    """
    header = read_header(rows.columns, "rows")
    check_columns(rows, Path(".parquet"), _used(header))
    # Nobody is told what a comma was taken for: none is read that may be of the decimals.
    sizer = Sizer(header, project, system, mark=UNKNOWN)
    return rows.with_columns(**sizer.size(rows, {}).columns())


def _used(header: Header) -> set[str]:
    return {column.header for column in (*header.measured, *header.words)}


def _size(
    source: Source,
    table: Path,
    target: Path,
    project: Project,
    system: str,
    progress: Progress,
    wishes: Wishes,
) -> tuple[Summary, tuple[str, ...]]:
    header = read_header(source.headers, str(table), wishes.naming)
    sizer, summary = Sizer(header, project, system), Summary(system, file_name=table.name)
    if wishes.uncertainty is not None:
        from linerdesign.tasks.batch.chances import refuse_unused

        refuse_unused(project, tuple(c.key for c in (*header.measured, *header.words)))
        sizer.uncertainty = summary.uncertainty = wishes.uncertainty
    named = header.column_of("name")
    by = [header.header_of(name, "--by") for name in wishes.by]
    if wishes.against is not None:
        if named is None:
            raise InputFaults([fault("inventory.missing", "--against", column="name")])
        summary.against = read_earlier(wishes.against, named.header)

    def sized() -> Iterator[tuple[pl.DataFrame, Sized]]:
        for number, piece in enumerate(_ahead(source.pieces())):
            if number == 0:
                check_columns(piece.frame, target, _used(header))
            yield piece.frame, sizer.size(piece.frame, piece.surplus, sampled=number == 0)

    def frames() -> Iterator[pl.DataFrame]:
        for frame, result in _ahead(sized()):
            columns = result.columns()
            summary.add(result)
            if named is not None:
                summary.add_names(frame[named.header])
            for column in by:
                summary.add_parts(column, frame[column], result)
            if summary.against is not None and named is not None:
                of_result = (columns[key] for key in (NOMINAL, STATUS))
                summary.against.add(frame[named.header], *of_result)
            if target.suffix.lower() == ".csv":
                summary.like_formulas += taken_for_formulas(frame, result.cells)
            progress(frame.height)
            yield frame.with_columns(**columns)

    with in_place_of(target) as temporary, ThreadPoolExecutor(1) as worker:
        fingerprint = worker.submit(_fingerprint, table)
        made = _ahead(frames())
        first = next(made, None)
        write_table(temporary, made, _no_rows(sizer) if first is None else first)
        summary.fingerprint = fingerprint.result()
    summary.remarks = tuple(_remarks(source, sizer, summary))
    return summary, header.hints


def _remarks(source: Source, sizer: Sizer, summary: Summary) -> Iterator[str]:
    """How the table was read, where that is not a matter of course."""
    yield from source.remarks
    if sizer.mark == COMMA:
        yield sentence("inventory.decimal_comma")
    if summary.grouped:
        yield sentence("inventory.thousands", count=f"{summary.grouped:,}")
    if sizer.header.earlier:
        yield sentence("inventory.earlier")


def _fingerprint(path: Path) -> str:
    """SHA-256 of the file's bytes, read beside the table itself: neither waits for the other."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _ahead(parts: Iterator[Part]) -> Iterator[Part]:
    """The same parts, the next one made while this one is used."""
    with ThreadPoolExecutor(1) as worker:
        following = worker.submit(next, parts, None)
        while (part := following.result()) is not None:
            following = worker.submit(next, parts, None)
            yield part


def _no_rows(sizer: Sizer) -> pl.DataFrame:
    """The table of an inventory that has a header and no rows."""
    import polars as pl

    empty = pl.DataFrame(schema=dict.fromkeys(sizer.header.headers, pl.String))
    return empty.with_columns(**sizer.size(empty, {}).columns())
