"""The sheet of one place as rows from the top down: its columns, heads and named cells."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from linerdesign.documents.places import THICKEST, Place
from linerdesign.documents.workbook_cells import (
    INDENT,
    LINE_HEIGHT,
    Book,
    cell,
    lines_of,
    row_height,
)
from linerdesign.expressions.tree import Node

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

NUMBER, SYMBOL, MEANING, VALUE, UNIT, FORMULA, SOURCE, NAME = 0, 1, 2, 3, 4, 5, 8, 9
WIDTHS = (5, 10, 42, 15, 8, 17, 17, 17, 44, 30)
FORMULA_WIDTH = sum(WIDTHS[FORMULA:SOURCE])


@dataclass
class PlaceRows:
    """Writes the cells of the row that it stands at; whoever has filled a row moves it on."""

    book: Book
    sheet: Worksheet
    place: Place
    row: int = 0

    def formula(self, node: Node, renamed: Mapping[str, str] | None = None) -> str:
        """A tree over cells of this place, without an equals sign.

        `renamed` has what stands for some keys in place of a cell.
        """
        other = renamed or {}
        return self.book.printer.numeric(node, lambda key: other.get(key) or self.place.name(key))

    @property
    def thickest(self) -> str:
        """The cell of the thickness required at the worst station."""
        return self.place.name(THICKEST if self.place.several else "t_required")

    def text(self, column: int, text: str, style: str = "cell") -> None:
        """Text that stays text."""
        self.book.text(self.sheet, self.row, column, text, style)

    def live(self, column: int, formula: str, value: float | str, style: str) -> None:
        """A formula, and its value as issued."""
        self.book.live(self.sheet, self.row, column, formula, value, style)

    def define(self, key: str, column: int = VALUE) -> None:
        """Names a cell of the row after a quantity, or another value, of this place."""
        self.named(self.place.name(key), cell(self.sheet, self.row, column))

    def named(self, name: str, reference: str) -> None:
        """Gives a cell its name, and shows the name at the end of the row."""
        self.book.define(name, reference)
        self.text(NAME, name, "name")

    def part(self, title: str, remark: str = "") -> None:
        """The title of a part of the sheet, and a remark under it."""
        for column in range(NAME + 1):
            self.text(column, "", "part")
        self.text(NUMBER, title, "part")
        self.sheet.set_row(self.row, 24)
        self.row += 1
        if remark:
            self.text(SYMBOL, remark, "text")
            self.row += 1

    def heads(self, heads: Mapping[int, str], numbers: Collection[int]) -> None:
        """A row of column heads, those over numbers to the right."""
        for column in range(NAME + 1):
            style = "head indented" if column in (UNIT, SOURCE) else "head"
            style = "head right" if column in numbers else style
            self.text(column, heads.get(column, ""), style)
        self.row += 1

    def deepen(self, *texts: tuple[str, float]) -> None:
        """Makes the row as high as its longest text: programs do not where cells are merged."""
        lines = max(lines_of(text, width - INDENT) for text, width in texts)
        self.sheet.set_row(self.row, row_height(LINE_HEIGHT * lines))

    def idle_where(self, condition: str) -> None:
        """Greys the row where what it says does not apply."""
        rule = {"type": "formula", "criteria": f"={condition}", "format": self.book.style("idle")}
        self.sheet.conditional_format(self.row, 0, self.row, SOURCE, rule)

    def alarm_at(self, word: str, style: str = "alarm") -> None:
        """Marks the row's value while it shows a word."""
        self.book.mark(self.sheet, (self.row, self.row), VALUE, word, style)
