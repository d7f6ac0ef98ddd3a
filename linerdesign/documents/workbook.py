"""A document as a live workbook: a schedule, and every pipe's calculation as formulas.

Each input is a constant in a cell, each line the formula printed from its equation. Change an
input, and what was computed from it follows, the schedule included.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, TypeGuard

from linerdesign import __version__
from linerdesign.documents.blocks import Block, Document, Grid, Heading, Sheet
from linerdesign.documents.numbers import in_inches, in_millimetres
from linerdesign.documents.places import Place, cautions_of, places_of
from linerdesign.documents.sheet import FLOOR, files_read
from linerdesign.documents.workbook_basis import write_basis
from linerdesign.documents.workbook_cells import (
    INDENT,
    LINE_HEIGHT,
    Book,
    cell,
    lines_of,
    row_height,
)
from linerdesign.documents.workbook_checks import DECIDED, MINIMUM
from linerdesign.documents.workbook_memo import write_defaults, write_memos, write_tables
from linerdesign.documents.workbook_pipe import write_place
from linerdesign.expressions import printing
from linerdesign.expressions.tree import Across, symbols
from linerdesign.expressions.workbook_formulas import workbook
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.units import MM_PER_INCH
from linerdesign.methods.verdicts import FAILS, NO_BORE, NONE, OUTSIDE, expanded
from linerdesign.words import workbook as workbook_words
from linerdesign.words.documents import NOT_DESIGNED

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

HEADS = workbook_words.HEADS["schedule"]
WIDTHS = (6, 32, 13, 20, 22, 10, 6, 10, 6, 10, 6, 10, 6, 11, 14, 19, 10)
# Width of the column of the governing equation where the owner's minimum may stand beside it.
FLOORED = 30
DECIMALS = {"US": "0.0000", "SI": "0.00"}
STATION, DIAMETER, REQUIRED, NOMINAL, OTHER, GOVERNING, LOWEST = 2, 5, 7, 9, 11, 13, 14
STATUS, CAUTIONS = 15, 16
RIGHT = (DIAMETER, REQUIRED, NOMINAL, OTHER, LOWEST, CAUTIONS)


def write(document: Document, path: Path) -> None:
    """Writes the document as a workbook."""
    path.write_bytes(render(document))


def render(document: Document) -> bytes:
    """The bytes of the workbook, the same for the same document."""
    book = Book(document)
    blocks = [block for block in document.blocks if isinstance(block, Sheet)]
    schedule = book.sheet("Schedule") if blocks else None
    write_basis(book, [block.result for block in blocks])
    sheets = [_places(book, block) for block in blocks]
    if schedule:
        _Schedule(book, schedule, document).write(sheets)
    write_memos(book, _without_schedule(document.blocks), () if schedule else _about(document))
    write_defaults(book, [block.result for block in blocks])
    write_tables(book)
    return book.close()


def _without_schedule(blocks: Sequence[Block]) -> list[Block]:
    """The blocks without the printed schedule and its heading: the first sheet is the schedule,
    and beside it a second one that does not follow would be taken for it."""
    followed = zip(blocks, (*blocks[1:], None), strict=True)
    return [
        block
        for block, after in followed
        if not (_is_schedule(block) or (isinstance(block, Heading) and _is_schedule(after)))
    ]


def _is_schedule(block: Block | None) -> TypeGuard[Grid]:
    return isinstance(block, Grid) and block.schedule


def _places(book: Book, block: Sheet) -> list[tuple[Place, Worksheet]]:
    """Writes the sheets of one pipe, one for each station."""
    places = places_of(block.result, block.first)
    return [(place, write_place(book, place)) for place in places]


class _Schedule:
    """The first sheet: a row for each pipe, and under it one for each of several stations."""

    def __init__(self, book: Book, sheet: Worksheet, document: Document) -> None:
        self.book = book
        self.sheet = sheet
        self.document = document
        self.row = 0

    def write(self, sheets: Sequence[list[tuple[Place, Worksheet]]]) -> None:
        for text in _about(self.document):
            self.book.text(self.sheet, self.row, 0, text, "text" if self.row else "title")
            self.row += 1
        header = self.row
        for column, head in enumerate(HEADS):
            style = "head right" if column in RIGHT else "head indented"
            style = style if column >= DIAMETER else "head"
            self.book.text(self.sheet, header, column, head, style)
        self.sheet.set_row(header, row_height(2 * LINE_HEIGHT))
        self.row += 1
        for places in sheets:
            if len(places) > 1:
                self._worst([place for place, _ in places])
            for place, sheet in places:
                self._place(place, sheet)
        for printed in filter(_is_schedule, self.document.blocks):
            for row in printed.rows[len(sheets) :]:
                self._faulty(row)
        rows = (header + 1, self.row)
        for word in (FAILS, OUTSIDE, NOT_DESIGNED):
            self.book.mark(self.sheet, rows, STATUS, word, "alarm")
        self.book.mark(self.sheet, rows, CAUTIONS, 0, "warning")
        floored = any(place.result.value("t_floor") for places in sheets for place, _ in places)
        widths = [*WIDTHS[:GOVERNING], FLOORED, *WIDTHS[LOWEST:]] if floored else WIDTHS
        self.book.page(self.sheet, widths, header)
        self.sheet.print_area(0, 0, self.row, len(HEADS) - 1)

    def _text(self, column: int, text: str, style: str = "cell") -> None:
        self.book.text(self.sheet, self.row, column, text, style)

    def _live(self, column: int, formula: str, value: float | str, style: str) -> None:
        self.book.live(self.sheet, self.row, column, f"={formula}", value, style)

    def _thickness(self, column: int, formula: str, value: float, system: str) -> None:
        style = self.book.number_style(DECIMALS[system])
        self.sheet.write_formula(self.row, column, f"={formula}", style, value)
        unit = SYMBOLS["t"].unit(system)
        self.book.text(self.sheet, self.row, column + 1, unit, "indented")

    def _diameter(self, formula: str, step: Step) -> None:
        self._live(DIAMETER, formula, step.value, "constant")
        self._text(DIAMETER + 1, step.unit, "indented")

    def _row(self, number: str, station: str, result: PipeResult, style: str) -> None:
        """What no formula changes, and the nominal thickness in the other unit."""
        words = (number, result.name, station, result.resin, result.basis.condition)
        for column, text in enumerate(words):
            self._text(column, text, style)
        lines = max(lines_of(t, w - INDENT) for t, w in zip(words, WIDTHS, strict=False))
        self.sheet.set_row(self.row, row_height(LINE_HEIGHT * lines))
        system = result.basis.system
        nominal = cell(self.sheet, self.row, NOMINAL)
        if system == "US":
            millimetres = in_millimetres(result.nominal_thickness, system)
            self._thickness(OTHER, f"{nominal}*{MM_PER_INCH}", millimetres, "SI")
        else:
            inches = in_inches(result.nominal_thickness, system)
            self._thickness(OTHER, f"{nominal}/{MM_PER_INCH}", inches, "US")

    def _place(self, place: Place, sheet: Worksheet) -> None:
        """A row of cells that show those of the pipe's own sheet."""
        result, steps = place.result, place.steps()
        system = result.basis.system
        self._row(str(place.number), place.at or "", result, "cell")
        link = f"internal:{cell(sheet, 0, 0).replace('$', '')}"
        self.sheet.write_url(self.row, 0, link, self.book.style("link"), str(place.number))
        self._diameter(place.name("D"), steps["D"])
        self._thickness(NOMINAL, place.name("t"), result.nominal_thickness, system)
        self._thickness(REQUIRED, place.name("t_required"), steps["t_required"].value, system)
        floor = FLOOR if result.minimum_governs else ""
        governing = place.name("governing")
        if not result.basis.thickness_given:
            governing += f'&IF({place.name(DECIDED)}="{MINIMUM}", "{FLOOR}", "")'
        self._live(GOVERNING, governing, place.governing + floor, "indented")
        self._live(LOWEST, place.name("lowest_safety_factor"), place.factor_shown, "factor")
        self._live(STATUS, place.name("status"), place.status, "indented")
        self._live(CAUTIONS, place.name("cautions"), len(place.cautions), "count")
        self.row += 1

    def _faulty(self, row: Sequence[str]) -> None:
        """The row of a pipe that can't be designed: its name and status."""
        self._text(1, row[0])
        self._text(STATUS, row[-1], "indented")
        self.row += 1

    def _worst(self, places: Sequence[Place]) -> None:
        """The row of a pipe with several stations: the worst of the rows below it."""
        result = places[0].result
        first, last = self.row + 1, self.row + len(places)
        rows = {c: cell(self.sheet, first, c, last) for c in range(len(HEADS))}
        worst = f"MATCH(MAX({rows[REQUIRED]}), {rows[REQUIRED]}, 0)"
        system = result.basis.system
        self._row(f"{places[0].number}-{places[-1].number}", "", result, "strong cell")
        station = result.governing_station or ""
        governing = result.governing + (FLOOR if result.minimum_governs else "")
        self._live(STATION, f"INDEX({rows[STATION]}, {worst})", station, "cell")
        for column, value in (
            (REQUIRED, result.required_thickness),
            (NOMINAL, result.nominal_thickness),
        ):
            self._thickness(column, f"MAX({rows[column]})", value, system)
        self._live(GOVERNING, f"INDEX({rows[GOVERNING]}, {worst})", governing, "indented")
        over = {
            ("all", "passes"): f'(COUNTIF({rows[STATUS]}, "{FAILS}")=0)',
            ("any", "outside"): f'(COUNTIF({rows[STATUS]}, "{OUTSIDE}")>0)',
            ("all", "bore"): f'(COUNTIF({rows[LOWEST]}, "{NO_BORE}")=0)',
            ("any", "rated"): f"(COUNT({rows[LOWEST]})>0)",
            ("min", "least_factor"): f"MIN({rows[LOWEST]})",
        }
        self._live(
            LOWEST, _of_pipe("factor_shown_of_pipe", result, over), _factor(result), "factor"
        )
        self._live(STATUS, _of_pipe("status_of_pipe", result, over), result.status, "indented")
        of_all = places[0].name("cautions_of_all_stations")
        cautions = f"SUM({rows[CAUTIONS]})-{len(places) - 1}*{of_all}"
        self._live(CAUTIONS, cautions, len(cautions_of(result)), "count")
        governed = next((p for p in places if p.at == result.governing_station), places[0])
        self._diameter(f"INDEX({rows[DIAMETER]}, {worst})", governed.steps()["D"])
        self.row += 1


def _of_pipe(key: str, result: PipeResult, over: Mapping[tuple[str, str], str]) -> str:
    """A verdict of the whole pipe as a formula; `over` has what stands for those over stations."""

    def across(node: Across) -> str:
        (station_verdict,) = symbols(node.argument)
        return over[node.function, station_verdict]

    known = result.calculation.verdicts
    kept = {verdict for _, verdict in over}
    dialect = replace(workbook(str, lambda table: ""), across=across)
    return printing.write(expanded(key, known, kept), dialect)


def _factor(result: PipeResult) -> float | str:
    """The smallest factor of a pipe, or a word where there is none."""
    if not result.bore:
        return NO_BORE
    return NONE if result.lowest_safety_factor is None else result.lowest_safety_factor


def _about(document: Document) -> tuple[str, ...]:
    """What the first sheet says of the project: the title, and the file it was made from."""
    info = document.info
    work = {"": info.title, "number": info.number, "client": info.client, "at": info.location}
    made = {
        "date": info.date,
        "revision": info.revision,
        "prepared by": info.prepared_by,
        "checked by": info.checked_by,
    }
    made |= files_read(document) | {"fingerprint": document.identity.fingerprint}
    return (
        document.title,
        *(_joined(about) for about in (work, made) if any(about.values())),
        f"linerdesign {__version__}",
    )


def _joined(about: dict[str, str]) -> str:
    return "; ".join(f"{label} {text}".strip() for label, text in about.items() if text)
