"""What all sheets of a workbook share: cells that stay text, names, formats, pages."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from datetime import UTC, datetime
from functools import cache, lru_cache
from io import BytesIO, StringIO
from tempfile import TemporaryDirectory
from traceback import clear_frames
from typing import TYPE_CHECKING, Any
from zlib import compress, decompress

from linerdesign.documents.blocks import Document
from linerdesign.documents.numbers import clean
from linerdesign.documents.shared import Identity
from linerdesign.documents.sheet import cautions, legend
from linerdesign.expressions.printing import Printer
from linerdesign.expressions.tree import Node, Table
from linerdesign.expressions.workbook_formulas import workbook
from linerdesign.words import sentence

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

LONGEST_TEXT, LONGEST_SHEET_NAME, LONGEST_FOOTER = 32_000, 31, 120
PAPER = {"US": 1, "SI": 9}
INK, RULE, INPUT, DOUBTFUL = "#26343B", "#8A9BA3", "#D9EFE4", "#F4DCE8"
WARNING, ALARM = "#F2C879", "#A3282E"
RESULT_NUMBER = "[>=1000]#,##0.0;[>=1]0.0000;0.0000000"
# Column widths count digits of Calibri 11, cells are in Arial 10: digits and most letters are as
# wide, these are not.
_NARROW, _WIDE = frozenset("iljtfr.,:;|()[]'/- "), frozenset("mwMWGOQ+=<>^%@—")
INDENT = 2.5
# In points. A row of 15 would be taken for one without a height of its own.
LINE_HEIGHT, LEADING, HIGHEST = 13, 2.75, 400
# A program shrinks what is General alone to its cell, and not what has conditions before it.
GROUPED, LARGE = "[>=10000]#,##0;General", 10_000

_ROW = {"valign": "top", "bottom": 7, "bottom_color": RULE}
_HEAD = {"bold": True, "font_color": INK, "bottom": 1, "text_wrap": True}
_STYLES: dict[str, dict[str, Any]] = {
    "text": {"valign": "top"},
    "wrapped": {"valign": "top", "text_wrap": True},
    "title": {"bold": True, "font_size": 15, "font_color": INK},
    "part": {"bold": True, "font_size": 12, "font_color": INK, "top": 2, "top_color": INK},
    "strong": {"bold": True, "valign": "top"},
    "strong right": {"bold": True, "valign": "top", "align": "right"},
    "strong indented": {"bold": True, "valign": "top", "indent": 1, "align": "left"},
    "standing": {"bold": True, "valign": "top", "num_format": RESULT_NUMBER},
    "head": _HEAD,
    "head right": _HEAD | {"align": "right"},
    "head indented": _HEAD | {"indent": 1, "align": "left"},
    "cell": _ROW | {"text_wrap": True},
    "indented": _ROW | {"indent": 1, "align": "left", "text_wrap": True},
    "strong cell": _ROW | {"bold": True},
    "cell right": _ROW | {"align": "right", "text_wrap": True},
    "name": _ROW | {"font_color": RULE, "font_size": 8},
    "result": _ROW | {"num_format": RESULT_NUMBER},
    "key result": _ROW | {"num_format": RESULT_NUMBER, "bold": True},
    "factor": _ROW | {"num_format": "0.0000", "align": "right"},
    "input": _ROW | {"bg_color": INPUT, "bold": True},
    "doubtful input": _ROW | {"bg_color": DOUBTFUL, "bold": True},
    "elsewhere": _ROW | {"italic": True},
    "constant": _ROW,
    "link": _ROW | {"font_color": INK, "underline": 1, "align": "left"},
    "idle": {"font_color": RULE, "italic": True},
    "count": _ROW | {"num_format": "0", "align": "right"},
    "warning": {"font_color": INK, "bg_color": WARNING, "bold": True},
    "alarm": {"font_color": "#FFFFFF", "bg_color": ALARM, "bold": True},
}
for _name in ("title", "strong", "idle"):
    _STYLES[f"wrapped {_name}"] = _STYLES[_name] | {"valign": "top", "text_wrap": True}
for _name in ("input", "doubtful input", "elsewhere", "constant"):
    _STYLES[f"large {_name}"] = _STYLES[_name] | {"num_format": GROUPED}


class Book:
    """A workbook being written: its sheets, its styles, and every name in it once."""

    def __init__(self, document: Document) -> None:
        from xlsxwriter import Workbook

        self.units = document.units
        self.legend, self.cautions = legend(document), cautions(document)
        self.footer = clean(document.info.title)[:LONGEST_FOOTER]
        self.tables: dict[Table, int] = {}
        # Where the values stand that several pipes share.
        self.shared: dict[Identity | None, str] = {}
        # Formulas are walked once, and filled for each place.
        self.printer = Printer(workbook(str, self.block))
        # Verdicts written out, by calculation, tree or key, and the verdicts that have cells.
        self.expanded: dict[tuple[Any, ...], Node] = {}
        self._stream = BytesIO()
        self._folder = TemporaryDirectory()
        self._file = Workbook(self._stream, {"tmpdir": self._folder.name})
        self._file.set_properties(
            {"title": clean(document.title)[:200], "created": issued(document.info.date)}
        )
        self._styles: dict[str, Format] = {}
        self._names: dict[str, str] = {}
        self._sheets: set[str] = set()

    def sheet(self, wanted: str, ending: str = "") -> Worksheet:
        """A new sheet, named as wanted as far as sheets can be."""
        name = sheet_name(wanted, self._sheets, ending)
        self._sheets.add(name.casefold())
        return self._file.add_worksheet(name, worksheet_class=_sheet_class())

    @staticmethod
    def finish(sheet: Any) -> None:
        """Lets go of the cells of a sheet to which nothing more is written."""
        sheet.finish()

    def style(self, name: str) -> Format:
        """A cell format by its name."""
        return self._style(name, _STYLES[name])

    def number_style(self, pattern: str) -> Format:
        """A cell for numbers written after this pattern."""
        return self._style(pattern, _ROW | {"num_format": pattern, "align": "right"})

    def _style(self, name: str, about: dict[str, Any]) -> Format:
        if name not in self._styles:
            font = {"font_name": "Arial", "font_size": 10}
            self._styles[name] = self._file.add_format(font | about)
        return self._styles[name]

    def define(self, name: str, reference: str) -> None:
        """Gives cells a name that the whole workbook knows.

        Raises:
            ValueError: for a name that is taken, or is none.
        """
        key = name.casefold()
        if key in self._names or self._file.define_name(name, f"={reference}") == -1:
            raise ValueError(f"the cell name {name} is taken or impossible")
        self._names[key] = reference

    def reference(self, name: str) -> str:
        """Where the cell of a name is."""
        return self._names[name.casefold()]

    def block(self, table: Table) -> str:
        """Name of a table's block, which the workbook gets where it is first read."""
        return f"table{self.tables.setdefault(table, len(self.tables) + 1)}"

    def text(self, sheet: Worksheet, row: int, column: int, text: str, style: str = "text") -> None:
        """Text that stays text, whatever it begins with; an empty one would cut the one before."""
        write = sheet.write_string if text else sheet.write_blank
        write(row, column, cell_text(text), self.style(style))

    def live(
        self, sheet: Worksheet, row: int, column: int, formula: str, value: Any, style: str
    ) -> None:
        """A formula, with the value it has now for readers that don't calculate."""
        if isinstance(value, float) and not math.isfinite(value):
            value = "#DIV/0!"
        sheet.write_formula(row, column, formula, self.style(style), value)

    def mark(
        self, sheet: Worksheet, rows: tuple[int, int], column: int, word: str | int, style: str
    ) -> None:
        """Gives cells of some rows a style while they show a word, or more than a number."""
        text = isinstance(word, str)
        rule = {"type": "cell", "criteria": "==" if text else ">", "format": self.style(style)}
        rule["value"] = f'"{word}"' if text else word
        sheet.conditional_format(rows[0], column, max(rows), column, rule)

    def page(self, sheet: Worksheet, columns: Sequence[float], header: int | None = None) -> None:
        """Column widths and how the sheet prints; rows to `header` stay in sight and repeat."""
        for column, width in enumerate(columns):
            sheet.set_column(column, column, width)
        sheet.hide_gridlines(2)
        sheet.set_landscape()
        sheet.set_paper(PAPER[self.units])
        sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.7)
        sheet.fit_to_pages(1, 0)
        title = self.footer.replace("&", "&&")
        sheet.set_footer(f"&L{title}&R&A, page &P of &N")
        if header is not None:
            sheet.freeze_panes(header + 1, 0)
            sheet.repeat_rows(0, header)

    def close(self) -> bytes:
        """The bytes of the finished file.

        Raises:
            OSError: where the folder for temporary files takes no more.
        """
        from xlsxwriter.exceptions import FileCreateError

        try:
            self._file.close()
        except FileCreateError as error:
            # Ends the half-made archive while its stream is open.
            for each in (error, error.args[0]):
                clear_frames(each.__traceback__)
            cause = error.args[0]
            raise OSError(cause.errno, cause.strerror or str(error)) from None
        finally:
            self._folder.cleanup()
        return self._stream.getvalue()


@cache
def _sheet_class() -> type[Worksheet]:
    """Sheets whose formulas are taken as they are, and that can be packed once they are written.

    Our formulas use only functions that every spreadsheet program has had for decades; looking
    through each formula for newer ones takes a third of the time.
    """
    from xlsxwriter.worksheet import Worksheet

    class Sheet(Worksheet):  # type: ignore[misc]
        def _prepare_formula(self, formula: str, expand_future_functions: bool = False) -> str:
            return formula.removeprefix("=")

        def _write_formula(
            self, row: int, col: int, formula: str, cell_format: Any, value: Any
        ) -> int:
            value = clean(value) if isinstance(value, str) else value
            return int(super()._write_formula(row, col, formula, cell_format, value))

        finished = b""

        def finish(self) -> None:
            """Packs the sheet, to which nothing more is written."""
            packed = StringIO()
            self._set_xml_writer(packed)
            super()._assemble_xml_file()
            self.finished = compress(packed.getvalue().encode(), 1)
            self.fh: Any = None
            parts = (self.table, self.row_info, self.merge, self.merged_cells, self.row_sizes)
            for part in (*parts, self.cond_formats, self.validations):
                part.clear()

        def _assemble_xml_file(self) -> None:
            if not self.finished:
                super()._assemble_xml_file()
                return
            self.fh.write(decompress(self.finished).decode())
            self._xml_close()

    return Sheet


@lru_cache(maxsize=2**14)
def _hundredths(text: str) -> int:
    """Width of a text in hundredths of a digit, rather too wide than too narrow."""
    return sum(55 if c in _NARROW else 135 if c in _WIDE else 103 for c in text)


def text_width(text: str) -> float:
    """Width of a text, in what column widths count in."""
    return _hundredths(text) / 100


def row_height(points: float) -> float:
    """What a row is given for so much text, in points."""
    return min(max(points, LINE_HEIGHT) + LEADING, HIGHEST)


@lru_cache(maxsize=2**14)
def lines_of(text: str, width: float) -> int:
    """Lines that a text takes in a cell: it breaks at blanks, and a long word where it must."""
    room, lines, used = round(100 * width), 1, 0
    for word in text.split(" "):
        length = _hundredths(word)
        if used and used + length > room:
            lines, used = lines + 1, 0
        beyond = (length - 1) // room if length else 0
        lines += beyond
        used += length - beyond * room + _hundredths(" ")
    return lines


def number_in(style: str, value: float) -> str:
    """The style of a value as a person writes it: the thousands of large numbers set apart."""
    return f"large {style}" if abs(value) >= LARGE else style


def cell_text(text: str) -> str:
    """Text as a cell can hold it; one that runs past what a cell takes says so at its end."""
    text = clean(text)
    return text if len(text) <= LONGEST_TEXT else sentence("workbook.cut", text=text[:LONGEST_TEXT])


# What no name should end with where the words after it are cut off.
_LOOSE = " ',;:.(\"-"
# Letters of the ending of a name that is kept where the name is cut.
_MOST_ENDING = 16


def sheet_name(wanted: str, taken: set[str], ending: str = "") -> str:
    """A name that a sheet may have and none of `taken` (in folded case) has yet.

    Where it is too long the words before its `ending` are cut.

    >>> sheet_name("1 MH 4/MH 5", set()), sheet_name("Notes", {"notes"})
    ('1 MH 4 MH 5', 'Notes 2')
    >>> sheet_name("11 Lateral, 14 Ferry Road", set(), ", leg 2")
    '11 Lateral, 14 Ferry, leg 2'
    """
    text, last_words = _plain(wanted) or "Sheet", ending.lstrip(" ,")
    after = ending.removesuffix(last_words) + _cut(_plain(last_words), _MOST_ENDING)
    number, name = 1, _cut(text, LONGEST_SHEET_NAME - len(after)) + after
    while name.casefold() in taken or name.casefold() == "history":
        number += 1
        last = f"{after} {number}"
        name = _cut(text, LONGEST_SHEET_NAME - len(last)) + last
    return name


def _plain(wanted: str) -> str:
    """Text without what no name of a sheet may have."""
    text = "".join(c if c.isprintable() else " " for c in wanted)
    # Programs differ on whether a name holds `_x0041_` or the letter that it stands for in XML.
    text = re.sub(r"_x([0-9A-Fa-f]{4})_", r" x\1 ", text)
    return " ".join(re.sub(r"[\[\]:*?/\\]", " ", text).split()).strip("' ")


def _cut(text: str, most: int) -> str:
    """The whole words that fit, counted as spreadsheets count: an emoji is two."""
    kept = text[:most]
    while len(kept.encode("utf-16-le")) > 2 * most:
        kept = kept[:-1]
    if len(kept) < len(text) and text[len(kept)] != " ":
        kept = kept.rpartition(" ")[0] or kept
    return kept.strip("' ") if kept == text else kept.rstrip(_LOOSE).lstrip("' ")


def issued(date: str) -> datetime:
    """The document's date where it is written as YYYY-MM-DD, else a fixed one.

    The file says when the calculation was issued and not when the program ran, so that the same
    input gives the same bytes.
    """
    try:
        day = datetime.fromisoformat(date.strip())
    except ValueError:
        day = datetime(2000, 1, 1)
    return day.replace(tzinfo=UTC)


def cell(sheet: Worksheet, row: int, column: int, last_row: int | None = None) -> str:
    """A cell, or a column of them, as every sheet of the workbook can refer to it."""
    from xlsxwriter.utility import xl_rowcol_to_cell

    quoted = sheet.get_name().replace("'", "''")
    address = xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)
    if last_row is not None:
        address += ":" + xl_rowcol_to_cell(last_row, column, row_abs=True, col_abs=True)
    return f"'{quoted}'!{address}"
