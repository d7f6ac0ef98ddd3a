"""The first worksheet of a workbook, cell by cell as its values are stored."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from linerdesign.project.faults import Fault, InputFaults, fault, shown

Rows = Iterator[tuple[Any, ...]]


def first_sheet(path: Path) -> tuple[list[str], Rows]:
    """The names of the worksheets, and the rows of the first one from row 1 on, empty ones too.

    Raises:
        InputFaults: every formula whose value is not stored.
    """
    from openpyxl import load_workbook

    if faults := list(_without_values(path)):
        raise InputFaults(faults)
    book = load_workbook(path, read_only=True, data_only=True)
    sheet = book.worksheets[0]
    # The size that a file states may be wrong; the cells themselves tell it.
    sheet.reset_dimensions()
    return book.sheetnames, sheet.iter_rows(values_only=True)


def titles_of(row: Sequence[Any]) -> list[str]:
    """The headings in a row, without the empty cells behind them."""
    titles = ["" if cell is None else str(cell) for cell in row]
    while titles and not titles[-1]:
        titles.pop()
    return titles


def cells_of(path: Path, row: int, count: int, sheet: str = "") -> list[str]:
    """Where the first cells of a row are: file, sheet where the file has several, and cell."""
    from openpyxl.utils import get_column_letter

    before = f"{path.name}, {sheet}!" if sheet else f"{path.name}, "
    return [f"{before}{get_column_letter(place)}{row}" for place in range(1, count + 1)]


def no_table(path: Path, error: Exception) -> InputFaults:
    """The fault of a file that can't be read in the form that its name says."""
    why = shown(str(error).split("\n")[0], 100)
    form = path.suffix[1:].upper()
    return InputFaults([fault("inventory.no_table", str(path), form=form, why=why)])


def _without_values(path: Path) -> Iterator[Fault]:
    """Formulas that no program has calculated yet: read as they are, their cells would be empty."""
    with zipfile.ZipFile(path) as archive:
        parts = [name for name in archive.namelist() if name.startswith("xl/worksheets/")]
        if not any(b"<f" in archive.read(part) for part in parts):
            return
    from openpyxl import load_workbook

    formulas, values = (
        load_workbook(path, read_only=True, data_only=stored).worksheets[0]
        for stored in (False, True)
    )
    for sheet in (formulas, values):
        sheet.reset_dimensions()
    for left, right in zip(formulas.iter_rows(), values.iter_rows(), strict=False):
        for formula, value in zip(left, right, strict=False):
            if formula.data_type == "f" and value.value is None:
                at = f"{path.name}, {formulas.title}!{formula.coordinate}"
                yield fault("inventory.formula", at, shown(str(formula.value)))
