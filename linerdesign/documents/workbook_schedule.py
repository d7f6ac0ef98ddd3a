"""The first sheet of a workbook: the schedule, live, with the columns that it has on paper."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from linerdesign.documents.numbers import factor, in_millimetres
from linerdesign.documents.places import Place, cautions_of, legs_of
from linerdesign.documents.schedule import (
    QUANTITIES,
    TEXTS,
    Schedule,
    condition_word,
    governing_cell,
)
from linerdesign.documents.workbook_cells import (
    INDENT,
    LINE_HEIGHT,
    Book,
    cell,
    lines_of,
    row_height,
)
from linerdesign.documents.workbook_checks import DECIDED, MINIMUM, fixed_notes, ranges_of
from linerdesign.documents.workbook_legs import FAILING, LEAST, STATUS
from linerdesign.expressions import printing
from linerdesign.expressions.tree import Across, symbols
from linerdesign.expressions.workbook_formulas import workbook
from linerdesign.methods.result import PipeResult
from linerdesign.methods.units import MM_PER_INCH
from linerdesign.methods.verdicts import FAILS, NO_BORE, NONE, OUTSIDE, expanded
from linerdesign.words import parted, sentence
from linerdesign.words.documents import NOT_DESIGNED
from linerdesign.words.workbook import HEADS

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

WIDTHS = {"number": 6, "name": 32, "station": 12, "condition": 9, "governing": 28, "status": 19}
WIDTH = 10
_DECIMALS = {"required": "0.00", "safety": "0.00", "ratio": "0.0", "cautions": "0"}


class ScheduleSheet:
    """A row for each pipe, and under it one for each of several stations."""

    def __init__(self, book: Book, sheet: Worksheet, printed: Schedule) -> None:
        self.book, self.sheet, self.row = book, sheet, 0
        self._printed = printed
        self._columns: dict[str, int] = {}

    def write(
        self, about: Sequence[str], sheets: Sequence[Sequence[tuple[Place, Worksheet]]]
    ) -> None:
        """What the document says of itself, then the rows."""
        for text in (*about, *self._notes(sheets)):
            self.book.text(self.sheet, self.row, 0, text, "text" if self.row else "title")
            self.row += 1
        keys = list(self._printed.keys)
        if any(len(places) > 1 for places in sheets):
            keys.insert(keys.index("name") + 1, "station")
        self._columns = {key: column for column, key in enumerate((*keys, "cautions"))}
        header = self._heads()
        numbers = {row: number for number, row in enumerate(self._printed.designed)}
        for row, cells in enumerate(self._printed.rows):
            texts = dict(zip(self._printed.keys, cells, strict=True))
            if row not in numbers:
                self._faulty(texts)
                continue
            number, places = numbers[row] + 1, sheets[numbers[row]]
            length = texts.get("length", "")
            if len(places) > 1:
                self._worst(number, [place for place, _ in places], length)
            for place, sheet in places:
                own = f"{number}.{place.index + 1}" if place.several else str(number)
                self._place(own, place, sheet, length)
        rows = (header + 1, self.row)
        for word in (FAILS, OUTSIDE, NOT_DESIGNED):
            self.book.mark(self.sheet, rows, self._columns["status"], word, "alarm")
        self.book.mark(self.sheet, rows, self._columns["cautions"], 0, "warning")
        self.book.page(self.sheet, [WIDTHS.get(key, WIDTH) for key in self._columns], header)
        self.sheet.print_area(0, 0, self.row, len(self._columns) - 1)

    def _notes(self, sheets: Sequence[Sequence[tuple[Place, Worksheet]]]) -> tuple[str, ...]:
        """Who has to seal it, how to read it, and which cautions do not follow it."""
        issued = sum(len(fixed_notes(place, ranges_of(place))) for of in sheets for place, _ in of)
        counted = (sentence("workbook.cautions_counted", count=issued),) if issued else ()
        notes = (*self._printed.notes, *counted)
        return (sentence("workbook.sealed"), f"{self._printed.caption}.", *notes)

    def _heads(self) -> int:
        printed = dict(zip(self._printed.keys, self._printed.columns, strict=True))
        for key, column in self._columns.items():
            style = "head indented" if self._left(key) else "head right"
            text = printed.get(key) or str(HEADS[key])
            self.book.text(self.sheet, self.row, column, text, style)
        self.sheet.set_row(self.row, row_height(2 * LINE_HEIGHT))
        self.row += 1
        return self.row - 1

    @staticmethod
    def _left(key: str) -> bool:
        return key in (*TEXTS, "station", "number")

    def _text(self, key: str, text: str, style: str = "indented") -> None:
        self.book.text(self.sheet, self.row, self._columns[key], text, style)

    def _live(self, key: str, formula: str, value: float | str) -> None:
        """A formula in a column that the schedule has."""
        if key not in self._columns:
            return
        style = self.book.style("indented") if self._left(key) else self._number_style(key)
        self.sheet.write_formula(self.row, self._columns[key], f"={formula}", style, value)

    def _number_style(self, key: str) -> Format:
        return self.book.number_style(_DECIMALS.get(key, "General"))

    def _fixed(self, number: str, station: str, result: PipeResult, length: str) -> None:
        """What no formula changes."""
        texts = {"number": number, "name": result.name, "station": station}
        texts["condition"] = condition_word(result)
        shown = {key: text for key, text in texts.items() if key in self._columns}
        for key, text in shown.items():
            self._text(key, text)
        if "length" in self._columns and length not in ("", "-"):
            column = self._columns["length"]
            self.sheet.write_number(self.row, column, float(length), self._number_style("length"))
        lines = max(lines_of(text, WIDTHS[key] - INDENT) for key, text in shown.items())
        self.sheet.set_row(self.row, row_height(LINE_HEIGHT * lines))

    def _place(self, number: str, place: Place, sheet: Worksheet, length: str) -> None:
        """A row of cells that show those of the pipe's own sheet."""
        result, known = place.result, place.result.values[place.index]
        self._fixed(number, place.at or "", result, length)
        link = f"internal:{cell(sheet, 0, 0).replace('$', '')}"
        self.sheet.write_url(self.row, 0, link, self.book.style("link"), number)
        for key, quantity in QUANTITIES.items():
            if quantity in known:
                self._live(key, f"ROUND({place.name(quantity)}, 9)", known[quantity])
        for key, quantity in (("required", "t_required"), ("nominal", "t")):
            value = in_millimetres(known[quantity], result.basis.system)
            self._live(key, _millimetres(place.name(quantity), result.basis.system), value)
        self._live("governing", *_governing(place))
        if result.legs and not place.several:
            self._with_legs(place, place.name("cautions"))
        else:
            self._factor(place.name("lowest_safety_factor"), place.factor_shown)
            self._live("status", place.name("status"), place.status)
            self._live("cautions", place.name("cautions"), len(place.cautions))
        self.row += 1

    def _factor(self, cell: str, shown: float | str) -> None:
        """The smallest factor in a cell, cut to two decimals."""
        cut = f"IF(ISNUMBER({cell}), INT({cell}*100+1E-7)/100, {cell})"
        self._live("safety", cut, float(factor(shown)) if isinstance(shown, float) else shown)

    def _with_legs(self, first: Place, cautions: str) -> None:
        """Tube to order, smallest factor, status and cautions of a pipe with legs."""
        result, system = first.result, first.result.basis.system
        assert result.legs is not None
        tube = legs_of(result, first.first)[0].name("t_tube")
        wall = in_millimetres(result.legs.tube.thickness, system)
        self._live("tube", _millimetres(tube, system), wall)
        least = result.lowest_safety_factor
        self._factor(first.name(LEAST), first.factor_shown if least is None else least)
        self._live("status", first.name(STATUS), result.status)
        total = f"{cautions}+{first.name(FAILING)}"
        self._live("cautions", total, len(cautions_of(result)))

    def _faulty(self, texts: Mapping[str, str]) -> None:
        """The row of a pipe that can't be designed: its name and status."""
        for key in ("number", "name", "status"):
            self._text(key, texts[key])
        self.row += 1

    def _worst(self, number: int, places: Sequence[Place], length: str) -> None:
        """The row of a pipe with several stations: the worst of the rows below it."""
        first, *_ = places
        result = first.result
        rows = {
            key: cell(self.sheet, self.row + 1, column, self.row + len(places))
            for key, column in self._columns.items()
        }
        worst = f"MATCH(MAX({rows['required']}), {rows['required']}, 0)"

        def at_worst(key: str) -> str:
            return f"INDEX({rows[key]}, {worst})"

        self._fixed(str(number), "", result, length)
        self._live("station", at_worst("station"), result.governing_station or "")
        known = result.values[result.stations.index(result.governing_station)]
        for key, quantity in QUANTITIES.items():
            if quantity in known:
                self._live(key, at_worst(key), known[quantity])
        for key, value in (
            ("required", result.required_thickness),
            ("nominal", result.nominal_thickness),
        ):
            self._live(key, f"MAX({rows[key]})", in_millimetres(value, result.basis.system))
        self._live("governing", _of_stations(first, at_worst), governing_cell(result))
        self._verdicts(places, rows)
        self.row += 1

    def _verdicts(self, places: Sequence[Place], rows: Mapping[str, str]) -> None:
        """Smallest factor, status and cautions of a pipe, over its stations."""
        first, *_ = places
        result, of_all = first.result, first.name("cautions_of_all_stations")
        total = f"SUM({rows['cautions']})-{len(places) - 1}*{of_all}"
        if result.legs:
            self._with_legs(first, total)
            return
        over = {
            ("all", "passes"): f'(COUNTIF({rows["status"]}, "{FAILS}")=0)',
            ("any", "outside"): f'(COUNTIF({rows["status"]}, "{OUTSIDE}")>0)',
            ("all", "bore"): f'(COUNTIF({rows["safety"]}, "{NO_BORE}")=0)',
            ("any", "rated"): f"(COUNT({rows['safety']})>0)",
            ("min", "least_factor"): f"MIN({rows['safety']})",
        }
        least = result.lowest_safety_factor
        shown = NO_BORE if not result.bore else NONE if least is None else float(factor(least))
        self._live("safety", _of_pipe("factor_shown_of_pipe", result, over), shown)
        self._live("status", _of_pipe("status_of_pipe", result, over), result.status)
        self._live("cautions", total, len(cautions_of(result)))


def _millimetres(name: str, system: str) -> str:
    """A thickness in mm, free of the last binary digits of a conversion."""
    return f"ROUND({name}*{MM_PER_INCH}, 9)" if system == "US" else f"ROUND({name}, 9)"


def _by_minimum(place: Place, minimum: str, otherwise: str) -> str:
    """One text where the owner's minimum decides, else another."""
    if place.result.basis.thickness_given:
        return otherwise
    return f'IF({place.name(DECIDED)}="{MINIMUM}", {minimum}, {otherwise})'


def _governing(place: Place) -> tuple[str, str]:
    """The governing equation of a place as a formula, and its text."""
    before, after = parted("calculation.minimum")
    name = place.name("governing")
    decided = place.result.minimum_governs
    text = f"{before}{place.governing}{after}" if decided else place.governing
    return _by_minimum(place, f'"{before}"&{name}&"{after}"', name), text


def _of_stations(first: Place, at_worst: Callable[[str], str]) -> str:
    """The governing equation of a pipe with its station, by the row of the worst one."""
    _, after = parted("calculation.minimum")
    _, at, _ = parted("calculation.at")
    equation, where = at_worst("governing"), f'"{at}"&{at_worst("station")}'
    within = f'SUBSTITUTE({equation}, "{after}", {where}&"{after}")'
    return _by_minimum(first, within, f"{equation}&{where}")


def _of_pipe(key: str, result: PipeResult, over: Mapping[tuple[str, str], str]) -> str:
    """A verdict of the whole pipe as a formula; `over` has what stands for those over stations."""

    def across(node: Across) -> str:
        (station_verdict,) = symbols(node.argument)
        return over[node.function, station_verdict]

    known = result.calculation.verdicts
    kept = {verdict for _, verdict in over}
    dialect = replace(workbook(str, lambda table: ""), across=across)
    return printing.write(expanded(key, known, kept), dialect)
