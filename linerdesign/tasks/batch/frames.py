"""Data frames in and out: of polars, whole or lazy, and of pandas."""

from __future__ import annotations

import sys
from collections.abc import Collection
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linerdesign.project.columns import Header, read_header
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.reading import Project
from linerdesign.project.requests import refuse_in_place
from linerdesign.tasks.batch.cells import UNKNOWN
from linerdesign.tasks.batch.pieces import Sizer
from linerdesign.tasks.batch.tables import check_columns

if TYPE_CHECKING:
    import polars as pl

PLACE = "rows"


def size_frame(rows: Any, project: Project, system: str) -> Any:
    """The rows with the columns of the result beside them, in a frame of the same kind.

    Raises:
        InputFaults: no frame that is known, columns that can't be used. Bad rows raise nothing.
    """
    import polars as pl

    if isinstance(rows, pl.LazyFrame):
        empty = rows.collect_schema().to_frame()
        sized = _sized(empty, project, system)
        work = partial(_sized, project=project, system=system)
        return rows.map_batches(work, schema=sized.schema, streamable=True)
    if isinstance(rows, pl.DataFrame):
        return _sized(rows, project, system)
    # A frame of pandas is only there where the library is.
    pandas = sys.modules.get("pandas")
    if pandas is None or not isinstance(rows, pandas.DataFrame):
        raise InputFaults([fault("inventory.no_frame", PLACE, shown(type(rows).__name__))])
    return _of_pandas(rows, project, system)


def _sized(rows: pl.DataFrame, project: Project, system: str) -> pl.DataFrame:
    header = read_header(rows.columns, PLACE, system=system)
    return rows.with_columns(**_columns(rows, header, project, system))


def _columns(
    rows: pl.DataFrame, header: Header, project: Project, system: str
) -> dict[str, pl.Series]:
    """The columns that the result adds."""
    refuse_in_place(project, "`size_rows`")
    check_columns(rows, Path(".parquet"), used(header))
    # Nobody is told what a comma was taken for: none is read that may be of the decimals.
    return Sizer(header, project, system, mark=UNKNOWN).size(rows, {}).columns()


def used(header: Header) -> set[str]:
    """The headers of the columns that hold keys."""
    return {column.header for column in (*header.measured, *header.words)}


def _of_pandas(rows: Any, project: Project, system: str) -> Any:
    """The columns that hold keys are converted, all others and the index stay as they are."""
    if odd := [each for each in rows.columns if not isinstance(each, str)]:
        names = (shown(each) for each in odd)
        raise InputFaults(fault("inventory.header_type", PLACE, name) for name in names)
    header = read_header(list(rows.columns), PLACE, system=system)
    found = _columns(_converted(rows, used(header)), header, project, system)
    objects = {name: series.to_numpy() for name, series in found.items()}
    return rows.assign(**objects)


def _converted(rows: Any, wanted: Collection[str]) -> pl.DataFrame:
    import polars as pl

    columns: dict[str, Any] = {}
    for name in rows.columns:
        if name not in wanted:
            continue
        column = rows[name]
        if column.dtype.kind in "iuf" and hasattr(column.dtype, "itemsize"):
            columns[name] = pl.Series(column.to_numpy(), nan_to_null=True)
            continue
        cells = column.astype(object).where(column.notna(), None).to_list()
        try:
            columns[name] = pl.Series(cells)
        except TypeError:  # numbers and words in one column
            texts = [None if cell is None else str(cell) for cell in cells]
            columns[name] = pl.Series(texts)
    return pl.DataFrame(columns)
