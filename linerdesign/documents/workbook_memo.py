"""The sheets of a workbook that hold words: memos of a document's blocks, defaults, cautions."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from io import BytesIO
from struct import unpack_from
from typing import TYPE_CHECKING

from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Grid,
    Heading,
    Live,
    Paragraph,
    Picture,
    Sheet,
)
from linerdesign.documents.numbers import clean
from linerdesign.documents.sheet import remark_lists
from linerdesign.documents.workbook_cells import (
    INDENT,
    LINE_HEIGHT,
    Book,
    cell,
    lines_of,
    row_height,
    text_width,
)
from linerdesign.expressions.printing import write
from linerdesign.expressions.tree import Table
from linerdesign.expressions.workbook_formulas import workbook
from linerdesign.methods.result import PipeResult
from linerdesign.words import sentence
from linerdesign.words.workbook import HEADS

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

NARROWEST, PARAGRAPH, PAGE = 9, 100, 130
BOLD, TITLE_HEIGHT = 1.1, 24
DOTS_PER_INCH, ROW_PIXELS = 144, 21
# Pixels of a screen, of which an inch has 96, to a dot of a picture.
SCALE = 96 / DOTS_PER_INCH
_SAME_ROW = re.compile(r"\[(\d+)\]")
# A number as a table prints it; anything longer would lose digits, and stays text.
_PRINTED = re.compile(r"-?(\d{1,15}|\d{1,3}(,\d{3}){1,4})(\.\d{1,9})?")


class _Rows:
    """Writes a sheet from the top down, each row as high as the text in it asks for.

    Programs differ in the height that they give a row by themselves: some print a text that
    takes two lines over the row below it. So every row is given its own.
    """

    def __init__(self, book: Book, sheet: Worksheet, widths: Sequence[float]) -> None:
        self.book = book
        self.sheet = sheet
        self.widths = [*widths, PARAGRAPH - sum(widths)] if sum(widths) < PARAGRAPH else widths
        self.row = 0
        book.page(sheet, self.widths)

    def line(self, text: str, style: str = "wrapped") -> None:
        """A text across all columns."""
        last = len(self.widths) - 1
        if last:
            self.sheet.merge_range(self.row, 0, self.row, last, "", self.book.style(style))
        self.book.text(self.sheet, self.row, 0, text, style)
        height = TITLE_HEIGHT if style == "wrapped title" else LINE_HEIGHT
        room = sum(self.widths) / (1 if style == "wrapped" else BOLD)
        self._end(height * lines_of(text, room))

    def cells(self, texts: Sequence[str], styles: Sequence[str]) -> None:
        """A row of texts; a number printed as such becomes one, with the decimals printed."""
        lines = 1
        for column, (text, style) in enumerate(zip(texts, styles, strict=True)):
            if style == "cell right" and _PRINTED.fullmatch(text):
                number_style = self.book.number_style(_pattern(text))
                self.sheet.write_number(
                    self.row, column, float(text.replace(",", "")), number_style
                )
            else:
                self.book.text(self.sheet, self.row, column, text, style)
                lines = max(lines, lines_of(text, self.widths[column] - INDENT))
        self._end(LINE_HEIGHT * lines)

    def live(self, row: int, column: int, live: Live) -> None:
        """An input that can be changed, or a formula, in place of a text."""
        if live.formula:
            formula = live.formula
            if not isinstance(formula, str):
                formula = write(formula, workbook(str, self.book.block))
            formula = _SAME_ROW.sub(lambda c: cell(self.sheet, row, int(c[1])), formula)
            style = self.book.number_style(live.pattern)
            self.sheet.write_formula(row, column, f"={formula}", style, live.value)
        else:
            self.sheet.write_number(row, column, live.value, self.book.style("input"))
        if live.name:
            self.book.define(live.name, cell(self.sheet, row, column))

    def skip(self, pixels: float = ROW_PIXELS) -> None:
        """Room left free."""
        for _ in range(math.ceil(pixels / ROW_PIXELS)):
            self._end(0)

    def _end(self, height: float) -> None:
        self.sheet.set_row(self.row, row_height(height))
        self.row += 1


def _pattern(number: str) -> str:
    decimals = len(number.partition(".")[2])
    whole = "#,##0" if "," in number else "0"
    return f"{whole}." + "0" * decimals if decimals else whole


def write_memos(book: Book, blocks: Iterable[Block], opening: Sequence[str] = ()) -> None:
    """Every block that is no calculation sheet; a heading of the first level begins a sheet.

    `opening` is what the first of them says before all else, its first line being its title.
    """
    parts: list[list[Block]] = []
    for block in blocks:
        if isinstance(block, Sheet):
            continue
        if not parts or (isinstance(block, Heading) and block.level == 1):
            parts.append([])
        parts[-1].append(block)
    for place, part in enumerate(parts):
        _write_memo(book, part, () if place else opening)


def _write_memo(book: Book, blocks: Sequence[Block], opening: Sequence[str]) -> None:
    first = blocks[0]
    tab = first.tab or first.text if isinstance(first, Heading) else "".join(opening[:1])
    widths = _widths([block for block in blocks if isinstance(block, Grid)])
    rows = _Rows(book, book.sheet(tab or sentence("workbook.notes")), widths)
    for place, text in enumerate(opening):
        rows.line(text, "wrapped" if place else "wrapped title")
    if opening:
        rows.skip()
    if isinstance(first, Heading) and first.level == 1:
        _write_block(rows, first)
        blocks = blocks[1:]
    live = any(isinstance(block, Grid) and block.live for block in blocks)
    rows.line(sentence("workbook.memo_live" if live else "workbook.memo"), "wrapped idle")
    rows.skip()
    for block in blocks:
        _write_block(rows, block)


def _write_block(rows: _Rows, block: Block) -> None:
    match block:
        case Heading(text, level):
            rows.line(text, "wrapped title" if level == 1 else "wrapped strong")
        case Paragraph(text):
            rows.line(text)
            rows.skip()
        case Bullets(items):
            for item in items:
                rows.line(f"• {item}")
            rows.skip()
        case Grid():
            _write_grid(rows, block)
        case Picture():
            _write_picture(rows, block)


def _write_grid(rows: _Rows, grid: Grid) -> None:
    right = [align == ">" for align in grid.align]
    if grid.caption:
        rows.line(grid.caption, "wrapped strong")
    rows.cells(grid.columns, ["head right" if each else "head indented" for each in right])
    first = rows.row
    for row in grid.rows:
        rows.cells(row, ["cell right" if each else "indented" for each in right])
    for (down, column), live in grid.live.items():
        rows.live(first + down, column, live)
    for column, name in grid.names.items():
        rows.book.define(name, cell(rows.sheet, first, column, rows.row - 1))
    rows.skip()


def _write_picture(rows: _Rows, picture: Picture) -> None:
    rows.line(picture.caption, "wrapped strong")
    data, height = picture_png(picture.svg)
    options = {
        "image_data": BytesIO(data),
        "description": clean(picture.alternative)[:1000],
        "object_position": 1,
        "x_scale": SCALE,
        "y_scale": SCALE,
    }
    rows.sheet.insert_image(rows.row, 0, "picture.png", options)
    rows.skip(height + ROW_PIXELS)
    rows.line(picture.alternative)


def _widths(grids: Sequence[Grid]) -> list[float]:
    """Widths that the longest text of each column asks for, the widest cut to fit on a page."""
    widths = [float(NARROWEST)] * max((len(grid.columns) for grid in grids), default=1)
    for grid in grids:
        for row in (grid.columns, *grid.rows):
            for column, text in enumerate(row):
                widths[column] = max(widths[column], text_width(text) + INDENT)
    ordered = sorted(widths)
    shares = ((PAGE - sum(ordered[:n])) / (len(ordered) - n) for n in range(len(ordered)))
    widest = max(NARROWEST, *shares)
    return [min(width, widest) for width in widths]


def picture_png(svg: str) -> tuple[bytes, float]:
    """A drawing as PNG, and its height in pixels of a screen."""
    import typst

    source = (
        "#set page(width: auto, height: auto, margin: 0pt)\n"
        '#image(bytes(sys.inputs.svg), format: "svg")'
    )
    data = typst.compile(source.encode(), format="png", ppi=DOTS_PER_INCH, sys_inputs={"svg": svg})
    (height,) = unpack_from(">I", data, 20)
    return data, height * SCALE


def write_defaults(book: Book, results: Sequence[PipeResult]) -> None:
    """Cautions, and for each pipe what rests on defaults, was not measured, or needs care."""
    title = sentence("workbook.defaults" if results else "workbook.cautions")
    rows = _Rows(book, book.sheet(title), (34, 24, 72))
    rows.line(title, "wrapped title")
    rows.line(sentence("workbook.memo"), "wrapped idle")
    rows.skip()
    for text in book.cautions:
        rows.line(f"• {text}")
    if results:
        rows.skip()
        first = rows.row
        rows.cells(HEADS["defaults"], ("head indented",) * 3)
        for result in results:
            for what, texts in remark_lists(result).items():
                for text in texts:
                    rows.cells((result.name, what, text), ("indented",) * 3)
        rows.sheet.autofilter(first, 0, rows.row - 1, 2)
    rows.sheet.print_area(0, 0, rows.row - 1, 2)


def write_tables(book: Book) -> None:
    """The published tables that formulas of this workbook read, each in a block of its own."""
    if not book.tables:
        return
    sheet = book.sheet("Tables")
    book.text(sheet, 0, 0, sentence("workbook.tables"), "title")
    row = 2
    for table in book.tables:
        book.text(sheet, row, 0, table.name, "strong")
        book.text(sheet, row + 1, 0, table.source, "idle")
        for column, head in enumerate(HEADS["table"]):
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
