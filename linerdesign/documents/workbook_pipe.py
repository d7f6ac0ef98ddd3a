"""The sheet of one pipe at one station: every input a cell, every line a live formula."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from linerdesign.documents.allowed import allowed, may_be_changed
from linerdesign.documents.places import THICKEST, Place
from linerdesign.documents.shared import shared_identity
from linerdesign.documents.sheet import (
    PLAIN,
    RAISED,
    about_text,
    condition_text,
    inputs,
    origin_text,
    reference,
    remark_lists,
)
from linerdesign.documents.workbook_cells import Book, cell, number_in
from linerdesign.documents.workbook_checks import (
    CAPACITY,
    FACTOR,
    PlaceVerdicts,
    fixed_notes,
    ranges_of,
    write_checks,
    write_outcome,
    write_ranges,
)
from linerdesign.documents.workbook_rows import (
    FORMULA,
    FORMULA_WIDTH,
    MEANING,
    NUMBER,
    SOURCE,
    SYMBOL,
    UNIT,
    VALUE,
    WIDTHS,
    PlaceRows,
)
from linerdesign.expressions.tree import Node
from linerdesign.expressions.workbook_formulas import formula, largest_of
from linerdesign.findings import Finding
from linerdesign.methods.lines import Line
from linerdesign.methods.method import choice_of_thickness, requirement, verification
from linerdesign.methods.result import Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords
from linerdesign.words import sentence
from linerdesign.words.documents import LABELS
from linerdesign.words.workbook import HEADS

if TYPE_CHECKING:
    from xlsxwriter.worksheet import Worksheet

HEADER = 3


def write_place(
    book: Book, place: Place, number: int, more: Callable[[PlaceRows], None]
) -> Worksheet:
    """Writes the sheet of one place of the pipe of this number, and defines its names.

    `more` writes what follows the outcome.
    """
    rows = PlaceRows(book, book.sheet(f"{number} {place.of_pipe}", place.ending), place)
    write_head(rows)
    _write_inputs(rows)
    write_calculation(rows)
    ranges = ranges_of(place)
    fixed = fixed_notes(place, ranges)
    verdicts = PlaceVerdicts(rows)
    write_checks(rows, verdicts)
    left = write_ranges(rows, verdicts, ranges)
    write_outcome(rows, verdicts, left, fixed)
    more(rows)
    _write_notes(rows, fixed)
    book.page(rows.sheet, WIDTHS, HEADER)
    rows.sheet.print_area(0, 0, rows.row, SOURCE)
    rows.book.finish(rows.sheet)
    return rows.sheet


def write_head(rows: PlaceRows) -> None:
    """What stays in sight: the pipe, the current outcome, the columns' heads."""
    result, place = rows.place.result, rows.place
    rows.book.text(rows.sheet, 0, 0, place.title, "title")
    rows.book.text(rows.sheet, 1, 0, about_text(result))
    rows.row = HEADER - 1
    rows.text(MEANING, sentence("workbook.current"), "strong")
    rows.live(VALUE, f"={place.name('t')}", result.values[place.index]["t"], "standing")
    rows.text(UNIT, SYMBOLS["t"].unit(result.basis.system), "strong indented")
    rows.text(FORMULA, sentence("workbook.status"), "strong right")
    status = place.status, place.name("status")
    if result.legs:
        status = result.status, Place(result, place.first, 0).name("status_with_legs")
    rows.live(CAPACITY, f"={status[1]}", status[0], "strong indented")
    rows.text(FACTOR, sentence("workbook.governed"), "strong right")
    rows.live(SOURCE, f"={place.name('governing')}", place.governing, "strong indented")
    rows.row = HEADER
    rows.heads(dict(enumerate((*HEADS["place"], sentence("workbook.name")))), (VALUE,))


def _write_inputs(rows: PlaceRows) -> None:
    place = rows.place
    rows.part(LABELS["inputs"], sentence("workbook.shades"))
    for step in inputs(place.result):
        if step.station in (None, place.at):
            _write_input(rows, step)
    for said in place.result.in_words:
        if said.station in (None, place.at):
            _write_said(rows, said)


def write_calculation(rows: PlaceRows) -> None:
    """Writes every line of the calculation."""
    place, basis = rows.place, rows.place.result.basis
    rows.part(LABELS["calculation"], condition_text(place.result))
    _write_lines(rows, requirement(basis))
    if place.several:
        _write_worst(rows)
    _write_lines(rows, choice_of_thickness(basis), {"t_required": rows.thickest})
    rows.part(sentence("workbook.at_thickness"))
    _write_lines(rows, verification(basis))


def _write_step(
    rows: PlaceRows, step: Step, formula_text: str, source: str, about: str = ""
) -> None:
    """All cells of a line but its value; `about` is a sentence that narrows its meaning."""
    meaning = sentence(about, meaning=step.meaning) if about else step.meaning
    texts = (step.symbol, meaning, step.unit, formula_text)
    write_row(rows, texts, source, str(step.number or "-"))


def write_row(
    rows: PlaceRows, texts: tuple[str, str, str, str], source: str = "", number: str = ""
) -> None:
    """All cells of a row but its value: symbol, meaning, unit, formula; source and number."""
    symbol, meaning, unit, formula_text = texts
    rows.text(NUMBER, number)
    rows.text(SYMBOL, symbol)
    rows.text(MEANING, meaning)
    rows.text(UNIT, unit, "indented")
    style = rows.book.style("cell")
    rows.sheet.merge_range(rows.row, FORMULA, rows.row, SOURCE - 1, "", style)
    rows.text(FORMULA, formula_text)
    rows.text(SOURCE, source, "indented")
    rows.deepen((meaning, WIDTHS[MEANING]), (source, WIDTHS[SOURCE]), (formula_text, FORMULA_WIDTH))


def _write_input(rows: PlaceRows, step: Step) -> None:
    """An input: a constant, or the cell of the basis, or of the first of stations that share it."""
    place = rows.place
    name = place.name(step.key)
    source = origin_text(step, place.result.basis.system, both=False)
    same = place.several and step.station is None
    home, where = (
        rows.book.shared.get(shared_identity(step, place.result.resin)),
        "workbook.on_basis",
    )
    if home is None and same and place.index:
        home, where = rows.book.reference(place.names(step.key)[0]), "workbook.elsewhere"
    if home is not None:
        _write_step(rows, step, sentence(where, sheet=sentence("workbook.basis")), source)
        rows.named(name, home)
        rows.live(VALUE, f"={name}", step.value, number_in("elsewhere", step.value))
    else:
        _write_step(rows, step, sentence("workbook.all_stations") if same else "", source)
        rows.define(step.key)
        write_value(rows.book, rows.sheet, (rows.row, VALUE), step)
    if step.key == "t":
        # A thickness to check is an input and the nominal thickness both, so it has two names.
        rows.book.define(place.name("design_thickness"), rows.book.reference(name))
    rows.row += 1


def write_value(book: Book, sheet: Worksheet, place: tuple[int, int], step: Step) -> None:
    """The constant of an input in a cell, which refuses what the project file would refuse."""
    sheet.write_number(*place, step.value, book.style(number_in(_input_style(step), step.value)))
    sheet.data_validation(*place, *place, _validation(step.key, cell(sheet, *place)))


def _input_style(step: Step) -> str:
    if not may_be_changed(step):
        return "constant"
    origin = step.origin
    doubtful = origin is not None and (origin.by_default or origin.known_by == "assumed")
    return "doubtful input" if doubtful else "input"


def _validation(key: str, reference: str) -> dict[str, object]:
    """Has the program refuse in a cell what the project file would refuse."""
    takes, place = allowed(key), reference.rpartition("!")[2]
    ends = ", ".join(f"{place}{sign}{end:G}" for sign, end in takes.ends)
    return {
        "validate": "custom",
        "value": f"=AND(ISNUMBER({place}), {ends})",
        "ignore_blank": False,
        "error_title": sentence("workbook.impossible"),
        "error_message": sentence("workbook.enter", expected=takes.expected),
    }


def _write_said(rows: PlaceRows, said: InWords) -> None:
    """What the project says in words, from which lines below find a number.

    A number written in its cell takes the place of what they find.
    """
    hint = sentence("workbook.override", words=said.words)
    unit = SYMBOLS[said.key].unit(rows.place.result.basis.system)
    write_row(rows, (said.symbol, said.meaning, unit, hint), said.source)
    rows.named(rows.place.stated_name(said.key), cell(rows.sheet, rows.row, VALUE))
    rows.sheet.write_blank(rows.row, VALUE, None, rows.book.style("input"))
    rule = _validation(said.key, cell(rows.sheet, rows.row, VALUE)) | {"ignore_blank": True}
    rows.sheet.data_validation(rows.row, VALUE, rows.row, VALUE, rule)
    rows.row += 1


def _write_lines(
    rows: PlaceRows, lines: Iterable[Line], renamed: Mapping[str, str] | None = None
) -> None:
    steps = rows.place.steps()
    for line in lines:
        _write_line(rows, line, steps[line.result], lambda node: rows.formula(node, renamed))


def _write_line(rows: PlaceRows, line: Line, step: Step, write: Callable[[Node], str]) -> None:
    text = PLAIN.symbolic(line.tree)
    if line.when is not None:
        condition = PLAIN.symbolic(line.when.tree)
        text = sentence("workbook.where", formula=text, condition=condition)
    _write_step(rows, step, text, reference(step))
    rows.define(line.result)
    style = "key result" if line.result in ("t_required", "t") else "result"
    text = formula(line, write)
    if line.result in rows.place.in_words:
        stated = rows.place.stated_name(line.result)
        text = f"=IF(ISNUMBER({stated}), {stated}, {text.removeprefix('=')})"
    rows.live(VALUE, text, step.value, style)
    if line.when is not None:
        rows.idle_where(f"NOT({write(line.when.tree)})")
    rows.row += 1


def _write_worst(rows: PlaceRows) -> None:
    """One tube has one thickness: the largest of the stations."""
    result, names = rows.place.result, rows.place.names("t_required")
    worst = next(s for s in result.steps if s.arithmetic and s.line is None)
    text = sentence("workbook.max_stations", count=len(names))
    _write_step(rows, worst, text, worst.source, "workbook.worst_station")
    rows.define(THICKEST)
    rows.live(VALUE, f"={largest_of(names)}", result.required_thickness, "key result")
    rows.row += 1


def _write_notes(rows: PlaceRows, fixed: Sequence[Finding]) -> None:
    """The lists of remarks; of what other values would raise, only what is no live range."""
    raised = {
        title: [note.text for note in fixed if note.severity is severity]
        for severity, title in RAISED.items()
    }
    lists: dict[str, Iterable[str]] = {**remark_lists(rows.place.result), **raised}
    lists[LABELS["cautions"]] = (*rows.book.cautions, rows.book.legend)
    for title, items in lists.items():
        texts = tuple(items)
        if texts:
            issued = sentence("workbook.as_issued", title=title)
            rows.part(title if title == LABELS["cautions"] else issued)
        for text in texts:
            rows.text(SYMBOL, text, "text")
            rows.row += 1
