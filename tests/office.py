"""Other readers of a workbook: LibreOffice, and an engine in Python."""

import io
import math
import shutil
import subprocess

import formulas
import openpyxl
import pytest

SOFFICE = shutil.which("soffice")
RELATIVE = 1e-9
XLSX = "xlsx:Calc MS Excel 2007 XML"
office = pytest.mark.skipif(SOFFICE is None, reason="LibreOffice (soffice) is not installed")


def converted(paths, folder, form=XLSX, *options):
    """Has LibreOffice write files in another form into a folder; its own profile lies beside it."""
    profile = (folder.parent / "office").as_uri()
    command = [SOFFICE, f"-env:UserInstallation={profile}", "--headless", *options]
    command += ["--convert-to", form, "--outdir", str(folder), *map(str, paths)]
    subprocess.run(command, check=True, capture_output=True, timeout=300)


def recalculated(book, folder):
    """The values of an openpyxl workbook after LibreOffice computed it anew."""
    path = folder / "changed.xlsx"
    book.save(path)
    converted([path], folder / "out")
    return openpyxl.load_workbook(folder / "out" / "changed.xlsx", data_only=True)


def calculated(book, folder):
    """The same by `formulas`, a spreadsheet engine in Python, which needs no office program."""
    path = folder / "calculated.xlsx"
    book.save(path)
    solution = formulas.ExcelModel().loads(str(path)).finish().calculate()
    shown = openpyxl.load_workbook(path)
    for sheet in shown:
        for row in sheet.iter_rows():
            for cell in row:
                if str(cell.value)[:1] == "=":
                    found = solution[f"'[{path.name}]{sheet.title.upper()}'!{cell.coordinate}"]
                    cell.value = _plain(found.value[0, 0])
    return shown


def _plain(value):
    """A value as a workbook holds it."""
    try:
        return value if isinstance(value, bool) else float(value)
    except (TypeError, ValueError):
        return str(value)


def same(shown, value):
    if isinstance(value, tuple):
        return shown in value
    if isinstance(value, str):
        return shown == value
    if not math.isfinite(value):
        return shown == "#DIV/0!"
    return isinstance(shown, int | float) and math.isclose(
        shown, value, rel_tol=RELATIVE, abs_tol=1e-15
    )


def schedule_rows(values):
    """The rows of a schedule sheet under its heads, as {head: value}."""
    found = [row for row in values if any(value is not None for value in row)]
    start = next(place for place, row in enumerate(found) if "governs" in row)
    heads = found[start]
    return [dict(zip(heads, row, strict=True)) for row in found[start + 1 :]]


def cell_of(book, name):
    """The cell that a defined name stands for."""
    sheet, address = book.defined_names[name].attr_text.rsplit("!", 1)
    return book[sheet.strip("'").replace("''", "'")][address.replace("$", "")]


def office_calculated(books, folder):
    """{label: {name: value}} of workbooks {label: (bytes, changes)}, recalculated by LibreOffice.

    openpyxl writes no cached results, so every value that comes back was computed there.
    """
    for label, (data, changes) in books.items():
        _changed(data, changes).save(folder / f"{label}.xlsx")
    converted([folder / f"{label}.xlsx" for label in books], folder / "out", "xlsx")
    return {
        label: _values(openpyxl.load_workbook(folder / "out" / f"{label}.xlsx", data_only=True))
        for label in books
    }


def engine_calculated(books, folder):
    """The same by `calculated`."""
    return {label: _values(calculated(_changed(*each), folder)) for label, each in books.items()}


def _changed(data, changes):
    """A workbook with other numbers in cells of these names."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    for name, value in changes.items():
        cell = cell_of(book, name)
        assert not isinstance(cell.value, str), f"{name} is no constant"
        cell.value = value
    return book


def _values(book):
    names = [name for name in book.defined_names if name.startswith("pipe")]
    found = {name: cell_of(book, name).value for name in names}
    return found | {"schedule": list(book["Schedule"].values)}
