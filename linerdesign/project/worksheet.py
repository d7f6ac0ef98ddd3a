"""The first worksheet of a workbook, cell by cell as its values are stored."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

from linerdesign.project.faults import Fault, InputFaults, every_fault, fault, shown
from linerdesign.project.measures import convert

# Rows of a worksheet at most.
ROWS = 1_048_576
# Cells of a row, with their formats.
Rows = Iterator[tuple[Any, ...]]
# In the parts of a file, whose names may have a prefix: rows and cells with where they are, and
# the start of a formula.
_PLACES = re.compile(rb'<(?:\w+:)?(row|c)\s(?:[^>]*?\s)?r="([A-Z]*)(\d+)"')
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>]")
# Attributes and value of a cell whose value is more than digits, so that it may be no number.
_VALUE = re.compile(
    rb"<(?:\w+:)?c(\s[^>]*)(?<!/)>\s*(?:<(?:\w+:)?f\b[^>]*>(?:[^<]*</(?:\w+:)?f>)?\s*)?"
    rb"<(?:\w+:)?v>(?!\s*\d+(?:\.\d*)?\s*<)([^<]+)<"
)
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_KIND = re.compile(rb'\st="(\w+)"')
_PLACE = re.compile(rb'\sr="([A-Z]+\d+)"')
# What a number format has between quotes, or behind a backslash.
_LITERAL = re.compile(r'"([^"]*)"|\\(.)')


def first_sheet(path: Path) -> tuple[list[str], Rows]:
    """The names of the worksheets, and the rows of the first one from row 1 on, empty ones too.

    Raises:
        InputFaults: every formula whose value is not stored, every cell whose value is not of the
            kind stated, or a sheet with rows or cells out of order, of which some would not be
            read.
    """
    from openpyxl import load_workbook

    with every_fault() as faults:
        if _checked(path, faults):
            faults.of(lambda: faults.extend(_without_values(path)))
    book = load_workbook(path, read_only=True, data_only=True)
    sheet = book.worksheets[0]
    # The size that a file states may be wrong; the cells themselves tell it.
    sheet.reset_dimensions()
    return book.sheetnames, sheet.iter_rows()


def values_of(row: Sequence[Any]) -> list[Any]:
    """The values of a row as they are stored."""
    return [cell.value for cell in row]


def by_unit(cell: Any, unit: str | None) -> Any:
    """The value of a cell in a column of a unit, as its number format shows it.

    A number shown as a percentage is one, 0.02 is 2 %. Where the format shows another unit of
    what the column measures, the value is a text with that unit.
    """
    value = cell.value
    if unit is None or isinstance(value, bool) or not isinstance(value, int | float):
        return value
    form = str(cell.number_format or "").split(";")[0]
    if form in ("General", ""):
        return value
    if "%" in _LITERAL.sub("", form):
        shown_as = float(f"{100 * value:.15g}")
        return shown_as if unit == "%" else f"{shown_as:.15g} %"
    other = "".join(quoted or escaped for quoted, escaped in _LITERAL.findall(form)).strip()
    return f"{value:.15g} {other}" if _is_other(other, unit) else value


@cache
def _is_other(other: str, unit: str) -> bool:
    """Whether a text is a unit of the same dimension, and not the same one."""
    with suppress(Exception):  # many kinds, for a text that is no unit
        return convert(1.0, other, unit) != 1.0
    return False


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


def _checked(path: Path, faults: list[Fault]) -> bool:
    """Whether there are formulas in a workbook.

    Rows and cells that are out of order are faults: such a row is passed over, of two cells at one
    place the last is read. So is every cell whose value is not of the kind that it states.
    """
    formulas = False
    with zipfile.ZipFile(path) as archive:
        for part in archive.namelist():
            if part.endswith(".xml") and b"sheetData" in (data := archive.read(part)):
                formulas |= bool(_FORMULA.search(data))
                if at := _out_of_order(data):
                    faults.append(fault("inventory.order", f"{path.name}, {part}, {at}"))
                faults += (
                    fault("inventory.stored", f"{path.name}, {part}, {at}", shown(value))
                    for at, value in _not_as_stated(data)
                )
    return formulas


def _not_as_stated(data: bytes) -> Iterator[tuple[str, str]]:
    """Cells whose value is no number, or no place in the list of texts, though it should be."""
    for attributes, value in _VALUE.findall(data):
        kind = _KIND.search(attributes)
        text = value.decode(errors="replace").strip()
        if kind and kind[1] == b"s":
            wrong = not text.isdigit()
        else:
            wrong = (not kind or kind[1] == b"n") and not _NUMBER.fullmatch(text)
        if wrong:
            place = _PLACE.search(attributes)
            yield place[1].decode() if place else "", text


def _out_of_order(data: bytes) -> str:
    """The first row or cell of a worksheet that is not behind the one before it, or is too far."""
    row, column = 0, b""
    for kind, letters, digits in _PLACES.findall(data):
        number = int(digits)
        if kind == b"row":
            if not row < number <= ROWS:
                return f"row {number}"
            row, column = number, b""
            continue
        if number != row or (len(letters), letters) <= (len(column), column):
            return f"{letters.decode()}{number}"
        column = letters
    return ""


def _without_values(path: Path) -> Iterator[Fault]:
    """Formulas that no program has calculated yet: read as they are, their cells would be empty."""
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
                # One over several cells is an object that has its text.
                text = getattr(formula.value, "text", formula.value)
                yield fault("inventory.formula", at, shown(str(text)))
