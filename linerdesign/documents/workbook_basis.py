"""The sheet of a workbook that states once what several pipes share, and drives all of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from linerdesign.documents.blocks import Sheet
from linerdesign.documents.shared import Identity, Shared, shared_by
from linerdesign.documents.sheet import origin_text
from linerdesign.documents.workbook_cells import (
    INDENT,
    LINE_HEIGHT,
    Book,
    cell,
    lines_of,
    row_height,
)
from linerdesign.documents.workbook_pipe import write_value
from linerdesign.words import sentence
from linerdesign.words.workbook import HEADS

SYMBOL, QUANTITY, VALUE, UNIT, SOURCE, DRIVES, NAME = range(7)
WIDTHS = (10, 42, 15, 8, 44, 12, 30)


class BasisSheet:
    """Writes the sheet from the top down, and has the book know where each value stands."""

    def __init__(self, book: Book, system: str) -> None:
        self._book, self._system = book, system
        self._sheet = book.sheet(sentence("workbook.basis"))
        self._row = 0

    def write(self, parts: Mapping[str, Mapping[Identity, Shared]]) -> None:
        """The values, part by part."""
        self._line(sentence("shared.title"), "title")
        self._line(sentence("shared.drives"))
        self._line(sentence("workbook.shades"))
        header = self._row
        for column, head in enumerate(HEADS["basis"]):
            styles = {SYMBOL: "head", QUANTITY: "head", VALUE: "head right"}
            self._text(column, head, styles.get(column, "head indented"))
        self._row += 1
        for part, values in parts.items():
            self._line(part, "strong")
            for identity, shared in values.items():
                self._value(identity, shared)
        self._book.page(self._sheet, WIDTHS, header)
        self._sheet.print_area(0, 0, self._row, DRIVES)

    def _value(self, identity: Identity, shared: Shared) -> None:
        step = shared.step
        source = origin_text(step, self._system, both=False)
        count = "one_pipe" if shared.pipes == 1 else "pipes"
        texts = {
            SYMBOL: step.symbol,
            QUANTITY: step.meaning,
            UNIT: step.unit,
            SOURCE: source,
            DRIVES: sentence(f"shared.{count}", count=shared.pipes),
            NAME: shared.name,
        }
        for column, text in texts.items():
            styles = {SYMBOL: "cell", QUANTITY: "cell", NAME: "name"}
            self._text(column, text, styles.get(column, "indented"))
        write_value(self._book, self._sheet, (self._row, VALUE), step)
        self._book.shared[identity] = cell(self._sheet, self._row, VALUE)
        lines = max(lines_of(texts[c], WIDTHS[c] - INDENT) for c in (QUANTITY, SOURCE))
        self._sheet.set_row(self._row, row_height(LINE_HEIGHT * lines))
        self._row += 1

    def _text(self, column: int, text: str, style: str) -> None:
        self._book.text(self._sheet, self._row, column, text, style)

    def _line(self, text: str, style: str = "text") -> None:
        self._text(0, text, style)
        self._row += 1


def write_basis(book: Book, sheets: Sequence[Sheet]) -> None:
    """Writes the sheet, where pipes share anything."""
    parts = shared_by(sheets)
    if parts:
        BasisSheet(book, book.units).write(parts)
