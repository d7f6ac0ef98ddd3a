"""The cells of a workbook as lines, by openpyxl: stored values, in the unit of their format."""

from __future__ import annotations

import datetime
import io
import re
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe.document import Cell, Line, Source, needs, refused
from linerdesign.words import sentence

MOST_CELLS = 100_000
MOST_ROWS = 200_000
_LITERAL = re.compile(r'"([^"]*)"')


def workbook_source(path: Path, data: bytes) -> Source:
    """The rows of every sheet, hidden ones too; an empty row ends a table.

    Raises:
        InputFaults: damaged, or too large.
    """
    openpyxl = needs("openpyxl")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            values, formulas = (
                openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=stored)
                for stored in (True, False)
            )
            return _sheets(path, values, formulas)
    except InputFaults:
        raise
    except MemoryError:
        raise refused("too_large", path) from None
    except Exception:  # openpyxl raises many kinds for a file that is damaged
        raise refused("damaged", path) from None


def _sheets(path: Path, values: Any, formulas: Any) -> Source:
    lines: list[Line] = []
    unread: list[tuple[str, str]] = []
    table, count = 0, 0
    for sheet, beside in zip(values.worksheets, formulas.worksheets, strict=True):
        sheet.reset_dimensions()
        beside.reset_dimensions()
        table, rows = table + 1, 0
        for row, row_beside in zip(sheet.iter_rows(), beside.iter_rows(), strict=True):
            cells = tuple(_cells(sheet.title, row))
            missing = [c for c, f in zip(row, row_beside, strict=True) if _not_stored(c, f)]
            unread += [(sentence("transcribe.not_stored"), _at(sheet.title, c)) for c in missing]
            count, rows = count + len(cells), rows + 1
            if count > MOST_CELLS or rows > MOST_ROWS:
                raise refused("too_large", path)
            if cells:
                lines.append(Line(cells, table, sheet.title))
            else:
                table += 1
    return Source(tuple(lines), tuple(unread))


def _not_stored(cell: Any, beside: Any) -> bool:
    formula = isinstance(beside.value, str) and beside.value.startswith("=")
    return formula and cell.value is None


def _at(sheet: str, cell: Any) -> str:
    place = getattr(cell, "coordinate", "")
    return f"{sheet}!{place}"


def _cells(sheet: str, row: tuple[Any, ...]) -> Iterator[Cell]:
    for cell in row:
        text = _text(cell)
        if text.strip():
            column = float(cell.column)
            yield Cell(text.strip(), _at(sheet, cell), column, column + 0.9)


def _text(cell: Any) -> str:
    """A value as text: a number with the sign or unit that its format shows."""
    value = cell.value
    if value is None or isinstance(value, bool):
        return ""
    if isinstance(value, datetime.datetime | datetime.date | datetime.time):
        return value.isoformat()
    if not isinstance(value, int | float):
        return str(value)
    form = str(cell.number_format or "General").split(";")[0]
    if "%" in _LITERAL.sub("", form):
        return f"{100 * value:.10g} %"
    unit = " ".join(_LITERAL.findall(form)).strip()
    return f"{_plain(value)} {unit}".strip()


def _plain(value: float) -> str:
    text = f"{value:.10g}"
    return f"{value:.10f}".rstrip("0") if "e-" in text and abs(value) > 1e-9 else text
