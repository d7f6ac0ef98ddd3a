"""An inventory from file to file."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

from linerdesign.project.placing import in_place_of
from linerdesign.project.reading import Project
from linerdesign.tasks.batch.columns import read_header
from linerdesign.tasks.batch.pieces import Sizer
from linerdesign.tasks.batch.summary import Summary
from linerdesign.tasks.batch.tables import (
    RaggedRowsError,
    Source,
    open_table,
    taken_for_formulas,
    write_table,
)

if TYPE_CHECKING:
    import polars as pl

Progress = Callable[[int], None]


def size_table(
    table: Path,
    target: Path,
    project: Project,
    system: str,
    progress: Progress = lambda rows: None,
) -> tuple[Summary, tuple[str, ...]]:
    """Sizes every row of a table and writes it, with the columns added, to the target.

    `system` is the one that the equations are computed in. Gives the summary, and hints about
    columns that pass through unread although they look like keys.

    Raises:
        InputFaults: for a file or a header that can't be used. Bad rows raise nothing.
    """
    try:
        return _size(open_table(table), table, target, project, system, progress)
    except RaggedRowsError:
        return _size(open_table(table, ragged=True), table, target, project, system, progress)


def size_rows(rows: pl.DataFrame, project: Project, system: str) -> pl.DataFrame:
    """The rows of a table with the columns of the result beside them.

    Raises:
        InputFaults: for columns that can't be used. Bad rows raise nothing.
    """
    sizer = Sizer(read_header(rows.columns, "rows"), project, system)
    return rows.with_columns(**sizer.size(rows, {}).columns())


def _size(
    source: Source, table: Path, target: Path, project: Project, system: str, progress: Progress
) -> tuple[Summary, tuple[str, ...]]:
    header = read_header(source.headers, str(table))
    sizer, summary = Sizer(header, project, system), Summary(system, file_name=table.name)
    named = header.column_of("name")

    def frames() -> Iterator[pl.DataFrame]:
        for piece in source.pieces():
            sized = sizer.size(piece.frame, piece.surplus, sampled=summary.rows == 0)
            summary.add(sized)
            if named is not None:
                summary.add_names(piece.frame[named.header])
            progress(piece.frame.height)
            yield piece.frame.with_columns(**sized.columns())

    with in_place_of(target) as temporary, ThreadPoolExecutor(1) as worker:
        fingerprint = worker.submit(_fingerprint, table)
        made = _ahead(frames())
        if target.suffix.lower() == ".csv":
            made = _counted(made, source.headers, summary)
        first = next(made, None)
        write_table(temporary, made, _no_rows(sizer) if first is None else first)
        summary.fingerprint = fingerprint.result()
    return summary, header.hints


def _fingerprint(path: Path) -> str:
    """SHA-256 of the file's bytes, read beside the table itself: neither waits for the other."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _ahead(frames: Iterator[pl.DataFrame]) -> Iterator[pl.DataFrame]:
    """The same frames, the next one made while this one is written."""
    with ThreadPoolExecutor(1) as worker:
        following = worker.submit(next, frames, None)
        while (frame := following.result()) is not None:
            following = worker.submit(next, frames, None)
            yield frame


def _counted(
    frames: Iterator[pl.DataFrame], headers: tuple[str, ...], summary: Summary
) -> Iterator[pl.DataFrame]:
    """The same frames; what a spreadsheet would take for formulas is counted as they are written,
    while the next one is sized."""
    for frame in frames:
        summary.like_formulas += taken_for_formulas(frame.select(headers))
        yield frame


def _no_rows(sizer: Sizer) -> pl.DataFrame:
    """The table of an inventory that has a header and no rows."""
    import polars as pl

    empty = pl.DataFrame(schema=dict.fromkeys(sizer.header.headers, pl.String))
    return empty.with_columns(**sizer.size(empty, {}).columns())
