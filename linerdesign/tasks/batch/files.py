"""An inventory from file to file."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from itertools import count, starmap
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from linerdesign.project.columns import ADDED, NEEDED, NOMINAL, STATUS, Column, Header, read_header
from linerdesign.project.delimited import Dialect
from linerdesign.project.faults import InputFaults, every_fault, fault, shown
from linerdesign.project.naming import UNCHANGED, Naming
from linerdesign.project.placing import in_place_of
from linerdesign.project.reading import Project
from linerdesign.project.requests import refuse_in_place
from linerdesign.project.worksheet import cells_of
from linerdesign.tasks.batch.against import Against, read_earlier
from linerdesign.tasks.batch.cells import COMMA
from linerdesign.tasks.batch.frames import used
from linerdesign.tasks.batch.geometry import check_geometry
from linerdesign.tasks.batch.network_map import Sketch, column_of
from linerdesign.tasks.batch.pieces import Sized, Sizer
from linerdesign.tasks.batch.summary import Summary
from linerdesign.tasks.batch.tables import (
    FORMS,
    Piece,
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
    """What is wanted of an inventory beside its thicknesses.

    The mapping of its columns, totals `by` columns, an earlier result to compare with, the layer
    to read, and the column that a map shows. Where it is only `mapped`, the map is that of the
    nominal thickness, and there is none of a table without geometry. `scheduler` is the address
    of a Dask scheduler, whose workers then size the rows.
    """

    naming: Naming = UNCHANGED
    by: tuple[str, ...] = ()
    against: Path | None = None
    layer: str | None = None
    map_by: str | None = None
    mapped: bool = False
    scheduler: str | None = None
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
    dialect: Dialect | None = None
    while True:
        try:
            source = _source(table, wanted, dialect)
            return _size(source, table, target, project, system, progress, wanted)
        except ReadAgainError as again:
            dialect = again.dialect


def check_table(target: Path, sources: Iterable[Path | None]) -> None:
    """Refuses a target that is no table, or one of the files read.

    Raises:
        InputFaults: where it is.
    """
    if target.suffix.lower() not in FORMS:
        raise InputFaults([fault("suffix", str(target), known=", ".join(FORMS))])
    for source in filter(None, sources):
        if target.exists() and source.exists() and target.samefile(source):
            raise InputFaults([fault("same_file", "-o", str(target))])


@dataclass
class _Run:
    """One inventory on its way: what its pieces are sized by, and added to."""

    source: Source
    target: Path
    sizer: Sizer
    summary: Summary
    by: list[str]
    names: str | None
    sketch: Sketch | None
    progress: Progress

    def sized(self, scheduler: str | None) -> Iterator[tuple[pl.DataFrame, Sized]]:
        """The pieces with what they give, here or by the workers of a scheduler."""
        # By `map`: a loop would hold each piece while the next one is made.
        pieces = map(self._checked, count(), _ahead(self.source.pieces()))
        if scheduler is None:
            return map(self._sized, count(), pieces)
        from linerdesign.tasks.batch.cluster import sized_by_workers

        return sized_by_workers(pieces, self.sizer, scheduler)

    def _checked(self, number: int, piece: Piece) -> Piece:
        if number == 0:
            keys = used(self.sizer.header)
            check_columns(piece.frame, self.target, keys, self.source.geometry)
        return piece

    def _sized(self, number: int, piece: Piece) -> tuple[pl.DataFrame, Sized]:
        return piece.frame, self.sizer.size(piece.frame, piece.surplus, sampled=number == 0)

    def frames(self, scheduler: str | None) -> Iterator[pl.DataFrame]:
        """The pieces with the columns of the result, each added to the summary."""
        return starmap(self._whole, _ahead(self.sized(scheduler)))

    def _whole(self, frame: pl.DataFrame, result: Sized) -> pl.DataFrame:
        columns = result.columns()
        self._add(frame, result, columns)
        whole = frame.with_columns(**columns)
        if self.sketch is not None:
            self.sketch.add(whole)
        self.progress(frame.height)
        return whole

    def _add(self, frame: pl.DataFrame, result: Sized, columns: dict[str, pl.Series]) -> None:
        summary = self.summary
        summary.add(result)
        if self.names is not None:
            summary.add_names(frame[self.names])
            if summary.against is not None:
                of_result = (columns[key] for key in (NOMINAL, STATUS))
                summary.against.add(frame[self.names], *of_result)
        for column in self.by:
            summary.add_parts(column, self._meant(frame[column]), result)
        if self.target.suffix.lower() == ".csv":
            summary.like_formulas += taken_for_formulas(frame, result.cells)

    def _meant(self, values: pl.Series) -> pl.Series:
        """The words of a column, by the mapping file where it maps them."""
        header = self.sizer.header
        key = next((each.key for each in header.words if each.header == values.name), "")
        meant = header.naming.values.get(key)
        return values.str.strip_chars().replace(dict(meant)) if meant else values


def _sizer(header: Header, project: Project, system: str, wishes: Wishes) -> Sizer:
    """What sizes the rows; with uncertainty, what is uncertain must be there."""
    refuse_in_place(project, "`batch`")
    if wishes.uncertainty is not None:
        from linerdesign.tasks.batch.chances import refuse_unused

        columns = tuple(c.key for c in (*header.measured, *header.words, *header.unread))
        refuse_unused(project, columns, wishes.uncertainty.usual)
    return Sizer(header, project, system, uncertainty=wishes.uncertainty)


def _earlier(wishes: Wishes, named: Column | None) -> Against | None:
    """The earlier result to compare with, by the column of the names."""
    if wishes.against is None:
        return None
    with every_fault() as faults:
        if named is None:
            faults.append(fault("inventory.missing", "--against", column="name"))
            faults.of(open_table, wishes.against)
    assert named is not None
    return read_earlier(wishes.against, named.header)


def check_inventory(table: Path, project: Project | None, system: str, wishes: Wishes) -> None:
    """Looks at an inventory that is not sized because of other faults.

    Raises:
        InputFaults: columns and files that can't be used.
    """
    _looked_at(_source(table, wishes), table, project, system, wishes)


def _source(table: Path, wishes: Wishes, dialect: Dialect | None = None) -> Source:
    """The inventory.

    Raises:
        InputFaults: where it can't be read; so may be the earlier result.
    """
    known = {*NEEDED, *(header.lower() for header in wishes.naming.columns)}
    with every_fault() as faults:
        source = faults.of(open_table, table, known, dialect, wishes.layer)
        if source is None and wishes.against is not None:
            faults.of(open_table, wishes.against)
    assert source is not None  # its faults are raised
    return source


def _looked_at(
    source: Source, table: Path, project: Project | None, system: str, wishes: Wishes
) -> tuple[Sizer, Column | None, list[str], Against | None, Sketch | None]:
    """What sizes the rows, the columns of the names and of totals, the earlier result, and the map.

    Nothing is sized without a project.

    Raises:
        InputFaults: every fault of them.
    """
    sheet = table.suffix.lower() == ".xlsx"
    cells = cells_of(table, 1, len(source.headers)) if sheet else ()
    with every_fault() as faults:
        header = faults.of(read_header, source.headers, str(table), wishes.naming, system, cells)
        assert header is not None  # of one with faults the rest is left
        named = header.column_of("name")
        sizer = faults.of(_sizer, header, project, system, wishes) if project else None
        sketch = faults.of(_sketch, source, header, wishes)
        by = [faults.of(header.header_of, name, "--by") for name in wishes.by]
        against = faults.of(_earlier, wishes, named)
    assert sizer is not None  # its faults are raised
    return sizer, named, [each for each in by if each is not None], against, sketch


def _size(
    source: Source,
    table: Path,
    target: Path,
    project: Project,
    system: str,
    progress: Progress,
    wishes: Wishes,
) -> tuple[Summary, tuple[str, ...]]:
    check_geometry(source.geometry, target)
    sizer, named, by, against, sketch = _looked_at(source, table, project, system, wishes)
    summary = Summary(system, table.name, uncertainty=wishes.uncertainty)
    summary.against = against
    names = named.header if named else None
    run = _Run(source, target, sizer, summary, by, names, sketch, progress)
    with in_place_of(target) as file, ThreadPoolExecutor() as worker:
        fingerprint = worker.submit(_fingerprint, table)
        empty, made = _opened(_ahead(run.frames(wishes.scheduler)), sizer)
        write_table(file, target, made, empty, source.geometry)
        summary.fingerprint = fingerprint.result()
    if sketch is not None:
        summary.map = sketch.drawn(project.info.title, system)
    summary.remarks = tuple(_remarks(source, sizer, summary))
    return summary, sizer.header.hints


def _sketch(source: Source, header: Header, wishes: Wishes) -> Sketch | None:
    """What a map is gathered in, where one is wanted."""
    if not (wishes.map_by or wishes.mapped):
        return None
    if source.geometry is None:
        if wishes.map_by:
            raise InputFaults([fault("inventory.no_map", "--map-by", shown(wishes.map_by))])
        return None
    every = dict.fromkeys((*header.headers, *ADDED))
    every.pop(source.geometry.column)
    return Sketch(source.geometry, column_of(tuple(every), wishes.map_by or NOMINAL))


def _remarks(source: Source, sizer: Sizer, summary: Summary) -> Iterator[str]:
    """How the table was read, where that is not a matter of course."""
    yield from source.remarks
    if sizer.mark == COMMA:
        yield sentence("inventory.decimal_comma")
    if summary.grouped:
        yield sentence("inventory.thousands", count=f"{summary.grouped:,}")
    if sizer.header.earlier:
        yield sentence("inventory.earlier")
    if (second := sizer.project.criteria.second_method) is not None:
        yield sentence("second.not_in_inventory", method=second.method)


def _fingerprint(path: Path) -> str:
    """SHA-256 of the file's bytes, read beside the table itself: neither waits for the other."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _ahead(parts: Iterator[Part]) -> Iterator[Part]:
    """The same parts, the next one made while this one is used."""
    with ThreadPoolExecutor() as worker:
        following = worker.submit(next, parts, None)
        while (part := following.result()) is not None:
            following = worker.submit(next, parts, None)
            yield part
            # Not held until the next one is there.
            del part


def _opened(
    frames: Iterator[pl.DataFrame], sizer: Sizer
) -> tuple[pl.DataFrame, Iterator[pl.DataFrame]]:
    """An empty frame with the columns, and the frames."""
    first = next(frames, None)
    held = [_no_rows(sizer) if first is None else first]

    def every() -> Iterator[pl.DataFrame]:
        yield held.pop()
        yield from frames

    return held[0].clear(), every()


def _no_rows(sizer: Sizer) -> pl.DataFrame:
    """The table of an inventory that has a header and no rows."""
    import polars as pl

    empty = pl.DataFrame(schema=dict.fromkeys(sizer.header.headers, pl.String))
    return empty.with_columns(**sizer.size(empty, {}).columns())
