"""The sheets of a workbook that hold words: memos of a document's blocks, defaults, cautions."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import TYPE_CHECKING

from linerdesign.design.result import PipeResult
from linerdesign.equations.equation import Severity
from linerdesign.equations.tree import Table
from linerdesign.outputs.document import (
    CAUTIONS,
    Block,
    Bullets,
    Grid,
    Heading,
    Paragraph,
    Picture,
    Sheet,
)
from linerdesign.outputs.sheet import not_measured, notes_of
from linerdesign.outputs.workbook_cells import Book, cell

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

WIDEST, NARROWEST, LINE_HEIGHT = 60, 9, 14
DOTS_PER_INCH, ROW_PIXELS = 144, 20
# A number as a table prints it; anything longer would lose digits, and stays text.
_PRINTED = re.compile(r"-?\d{1,15}(\.\d{1,9})?")


def write_memos(book: Book, blocks: Iterable[Block]) -> None:
    """Every block that is no calculation sheet; a heading of the first level begins a sheet."""
    parts: list[list[Block]] = []
    for block in blocks:
        if isinstance(block, Sheet):
            continue
        if not parts or (isinstance(block, Heading) and block.level == 1):
            parts.append([])
        parts[-1].append(block)
    for part in parts:
        _Memo(book, part).write()


class _Memo:
    """One memo sheet, written from the top down."""

    def __init__(self, book: Book, blocks: Sequence[Block]) -> None:
        self.book = book
        self.blocks = blocks
        first = blocks[0]
        title = first.text if isinstance(first, Heading) else "notes"
        self.sheet = book.sheet(f"Memo {title}")
        self.row = 0

    def write(self) -> None:
        """Writes all blocks."""
        grids = [block for block in self.blocks if isinstance(block, Grid)]
        self.book.page(self.sheet, _widths(grids))
        self._line("As issued: this sheet is text and does not recalculate.", "idle")
        for block in self.blocks:
            self._block(block)

    def _line(self, text: str, style: str = "text") -> None:
        self.book.text(self.sheet, self.row, 0, text, style)
        self.row += 1

    def _block(self, block: Block) -> None:
        match block:
            case Heading(text, level):
                self._line(text, "title" if level == 1 else "strong")
            case Paragraph(text):
                self._line(text)
                self.row += 1
            case Bullets(items):
                for item in items:
                    self._line(f"• {item}")
                self.row += 1
            case Grid():
                self._grid(block)
            case Picture():
                self._picture(block)

    def _grid(self, grid: Grid) -> None:
        if grid.caption:
            self._line(grid.caption, "strong")
        for column, name in enumerate(grid.columns):
            style = "head right" if grid.align[column] == ">" else "head indented"
            self.book.text(self.sheet, self.row, column, name, style)
        self.row += 1
        for row in grid.rows:
            for column, text in enumerate(row):
                _printed_cell(self.book, self.sheet, (self.row, column), text, grid.align[column])
            self.row += 1
        self.row += 1

    def _picture(self, picture: Picture) -> None:
        self._line(picture.caption, "strong")
        data, height = picture_png(picture.svg)
        options = {
            "image_data": BytesIO(data),
            "description": picture.alternative[:1000],
            "object_position": 1,
        }
        self.sheet.insert_image(self.row, 0, "picture.png", options)
        self.row += math.ceil(height / ROW_PIXELS) + 1
        self._line(picture.alternative)


def _printed_cell(
    book: Book, sheet: Worksheet, where: tuple[int, int], text: str, align: str
) -> None:
    """A printed number as a number with the decimals printed; everything else as text."""
    if align == ">" and _PRINTED.fullmatch(text):
        decimals = len(text.partition(".")[2])
        pattern = "0." + "0" * decimals if decimals else "0"
        sheet.write_number(*where, float(text), book.number_style(pattern))
    else:
        book.text(sheet, *where, text, "cell right" if align == ">" else "indented")


def _widths(grids: Sequence[Grid]) -> list[float]:
    """Widths that the longest text of each column asks for, within reason."""
    count = max((len(grid.columns) for grid in grids), default=1)
    widths = [float(NARROWEST)] * count
    for grid in grids:
        for row in (grid.columns, *grid.rows):
            for column, text in enumerate(row):
                widths[column] = max(widths[column], min(len(text) * 1.1 + 2, WIDEST))
    return widths


def picture_png(svg: str) -> tuple[bytes, float]:
    """A drawing as PNG, and its height in pixels of a screen."""
    import typst

    source = (
        "#set page(width: auto, height: auto, margin: 0pt)\n"
        '#image(bytes(sys.inputs.svg), format: "svg")'
    )
    data = typst.compile(source.encode(), format="png", ppi=DOTS_PER_INCH, sys_inputs={"svg": svg})
    height = int.from_bytes(data[20:24], "big")
    return data, height * 96 / DOTS_PER_INCH


def write_defaults(book: Book, results: Sequence[PipeResult]) -> None:
    """Cautions, and for each pipe what rests on defaults, was not measured, or needs care."""
    sheet = book.sheet("Defaults and cautions")
    book.text(sheet, 0, 0, "Defaults and cautions", "title")
    book.text(sheet, 1, 0, "As issued: this sheet is text and does not recalculate.", "idle")
    row = 3
    for text in CAUTIONS:
        book.text(sheet, row, 0, f"• {text}")
        row += 1
    row += 1
    for column, head in enumerate(("Pipe", "What", "Text")):
        book.text(sheet, row, column, head, "head")
    first = row
    for result in results:
        for what, texts in _lists(result).items():
            for text in texts:
                row += 1
                for column, value in enumerate((result.name, what, text)):
                    book.text(sheet, row, column, value, "cell")
    if row > first:
        sheet.autofilter(first, 0, row, 2)
    book.page(sheet, (34, 24, 100))
    sheet.print_area(0, 0, row, 2)


def _lists(result: PipeResult) -> dict[str, Iterable[str]]:
    return {
        "outside the method": notes_of(result, Severity.OUTSIDE),
        "caution": notes_of(result, Severity.CAUTION),
        "default": notes_of(result, Severity.DEFAULT),
        "not measured": not_measured(result),
        "evidence": [f"{what}: {text}" for what, text in result.evidence],
    }


def write_tables(book: Book) -> None:
    """The published tables that formulas of this workbook read, each in a block of its own."""
    if not book.tables:
        return
    sheet = book.sheet("Tables")
    book.text(sheet, 0, 0, "Tables that the formulas read", "title")
    row = 2
    for table in book.tables:
        book.text(sheet, row, 0, table.name, "strong")
        book.text(sheet, row + 1, 0, table.source, "idle")
        for column, head in enumerate(("at", "gives", "rise per unit")):
            book.text(sheet, row + 2, column, head, "head right")
        _table_block(book, sheet, row + 3, table)
        row += len(table.xs) + 4
    book.page(sheet, (16, 16, 16, 60))


def _table_block(book: Book, sheet: Worksheet, first: int, table: Table) -> None:
    last = first + len(table.xs) - 1
    for column, name in enumerate(("x", "y", "slope")):
        book.define(f"{book.block(table)}_{name}", cell(sheet, first, column, last))
    for place, pair in enumerate(zip(table.xs, table.ys, strict=True)):
        row = first + place
        for column, value in enumerate(pair):
            sheet.write_number(row, column, value, book.style("constant"))
        if row == last:
            sheet.write_number(row, 2, 0, book.style("constant"))
            break
        (x, y), (next_x, next_y) = pair, (table.xs[place + 1], table.ys[place + 1])
        rise = f"=(B{row + 2}-B{row + 1})/(A{row + 2}-A{row + 1})"
        book.live(sheet, row, 2, rise, (next_y - y) / (next_x - x), "result")
