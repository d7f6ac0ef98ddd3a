"""The blocks of a document as data for `sheet.typ`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from linerdesign.documents.blocks import (
    Bullets,
    Grid,
    Heading,
    PaperBlock,
    Paragraph,
    Picture,
    Sheet,
    Worked,
)
from linerdesign.documents.columns import most_columns
from linerdesign.documents.drawing import cross_section, demand_bars
from linerdesign.documents.mathematics import print_formula, print_symbol
from linerdesign.documents.numbers import (
    both_units,
    clean,
    factor,
    printed_cell,
    printed_text,
    printed_value,
    short,
)
from linerdesign.documents.sheet import (
    IN_WORDS,
    checks_grid,
    computed,
    condition_text,
    edition_text,
    governing_text,
    in_print_lines,
    inputs,
    is_input,
    letter,
    not_applying,
    origin_text,
    other_condition_text,
    remarks,
)
from linerdesign.documents.working import Working
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords
from linerdesign.methods.verdicts import FAILS, OUTSIDE
from linerdesign.words import sentence
from linerdesign.words.documents import LABELS

# A heading breaks into lines, and may have some.
_LONG = 300
# The name of a pipe or station, where it has one line.
_NAME = 60
# Letters that a line of a table holds, at the size of a table of many columns.
_LETTERS = 132
_ALARMS = {FAILS: "documents.fails_alarm", OUTSIDE: "documents.outside_alarm"}
_BESIDE = (LABELS["defaults"], LABELS["not_measured"])
Data = dict[str, Any]


class Formulas:
    """The formulas of a part, each once: its source for Typst, and its plain text."""

    def __init__(self) -> None:
        self.data: dict[str, tuple[str, str]] = {}

    def of(self, step: Step) -> str:
        """Name of the formula of a step's line, none where nothing but numbers is worked."""
        if step.line is None:
            return ""
        source = print_formula(step.key, step.line.tree)
        plain, *_ = in_print_lines(step)
        self.data.setdefault(source, (source, f"{step.symbol} = {plain}"))
        return source


def block_data(block: PaperBlock, formulas: Formulas) -> Data:
    """A block as data; its formulas are gathered."""
    match block:
        case Heading(text, level):
            made = {"kind": "heading", "text": short(text, _LONG), "level": level}
            return made | {"page": block.page}
        case Paragraph(text, keys):
            made = {"kind": "paragraph", "pieces": list(_pieces(clean(text), keys))}
            return made | {"text": clean(text)}
        case Bullets(items):
            return {"kind": "bullets", "items": [clean(item) for item in items]}
        case Working():
            return {"kind": "working"} | _working(block, formulas)
        case Grid():
            return {"kind": "grids", "parts": [_grid(part) for part in in_columns(block)]}
        case Picture():
            return {"kind": "picture"} | _picture(block)
        case Sheet(result, _):
            return {"kind": "sheet"} | _sheet(result, formulas)
        case Worked(result, steps, drawn):
            return {"kind": "worked"} | _worked(result, steps, drawn, formulas)


def _pieces(text: str, keys: Sequence[str]) -> Iterator[str | list[str]]:
    """Running text parted at its symbols, each as the source of an equation and in plain."""
    for key in keys:
        plain = SYMBOLS[key].symbol
        before, found, text = text.partition(f"{plain} ")
        yield before
        if found:
            yield [print_symbol(key), plain]
            text = f" {text}"
    yield text


def in_columns(grid: Grid) -> Iterator[Grid]:
    """A table that may be parted, in parts as wide as a page."""
    return grid.parted(most_columns(grid, _LETTERS))


def _grid(grid: Grid) -> Data:
    return {
        "columns": [_cell(grid, -1, column, name) for column, name in enumerate(grid.columns)],
        "align": list(grid.align),
        "rows": [
            [_cell(grid, row, column, cell) for column, cell in enumerate(cells)]
            for row, cells in enumerate(grid.rows)
        ],
        "caption": clean(grid.caption),
        "narrow": grid.narrow,
    }


def _cell(grid: Grid, row: int, column: int, text: str) -> str | dict[str, str]:
    """The text of a cell, by the name of what it is where it is no plain text."""
    at = (row, column)
    text = clean(text)
    if row >= 0 and (grid.align[column] == ">" or "^" in text):
        text = printed_cell(text)
    if at in grid.symbols:
        key = grid.symbols[at]
        return {"symbol": print_symbol(key), "plain": SYMBOLS[key].symbol}
    return {"boxed": text} if at in grid.boxed else {"strong": text} if at in grid.strong else text


def _working(working: Working, formulas: Formulas) -> Data:
    """The table with its symbols and formulas as sources of equations."""
    rows = [
        {
            "symbol": print_symbol(step.key),
            "plain": step.symbol,
            "meaning": printed_text(step.meaning),
            "formula": formulas.of(step),
            "lines": in_print_lines(step)[1:],
            "source": "" if step.line else clean(step.source),
            "value": printed_value(step.key, step.value, working.system),
        }
        for step in working.steps
    ]
    return {"caption": clean(working.caption), "rows": rows}


def _picture(picture: Picture) -> Data:
    return {
        "svg": picture.svg,
        "caption": clean(picture.caption),
        "alternative": clean(picture.alternative),
    }


def _worked(result: PipeResult, steps: Sequence[Step], drawn: bool, formulas: Formulas) -> Data:
    given = [step for step in steps if is_input(step)]
    lines = [step for step in steps if not is_input(step)]
    pictures = (cross_section(result), demand_bars(result)) if drawn else ()
    said = [each for each in result.in_words if each.origin.used] if given else []
    return {
        "pictures": [_picture(each) for each in pictures],
        "inputs": [_input(step, result.basis.system) for step in given] + [_said(e) for e in said],
        "stations": any(step.station for step in steps),
        "steps": _steps(lines, result.basis.system, formulas),
    }


def _sheet(result: PipeResult, formulas: Formulas) -> Data:
    alarm = _ALARMS.get(result.status)
    left = ", ".join(not_applying(result))
    return {
        "name": short(result.name, _NAME),
        "alarm": sentence(alarm) if alarm else "",
        "facts": [[label, clean(text)] for label, text in _facts(result).items()],
        "condition": condition_text(result),
        "pictures": [_picture(cross_section(result)), _picture(demand_bars(result))],
        "checks": _grid(checks_grid(result)),
        "other": clean(other_condition_text(result) or ""),
        "remarks": _told(result, beside=False),
        "beside": _told(result, beside=True),
        "inputs": [_input(step, result.basis.system) for step in inputs(result)]
        + [_said(each) for each in result.in_words],
        "stations": any(step.station for step in result.steps),
        "steps": _steps(computed(result), result.basis.system, formulas),
        "not_applying": sentence("documents.not_applying", equations=left) if left else "",
    }


def _facts(result: PipeResult) -> dict[str, str]:
    system = result.basis.system
    # The heading holds one line; a name cut there is given here in full.
    facts = {"pipe": result.name} if short(result.name, _NAME) != result.name else {}
    facts |= {
        "status": result.status,
        "nominal": both_units(result.nominal_thickness, system),
        "required": both_units(result.required_thickness, system),
        "governing": governing_text(result),
        "safety": factor(result.lowest_safety_factor),
        "condition": result.basis.condition,
        "resin": result.resin,
        "edition": edition_text(result),
    }
    return {LABELS[key]: text for key, text in facts.items()}


def _told(result: PipeResult, beside: bool) -> list[Any]:
    """The lists that go across the page, or those of short lines that go side by side."""
    return [
        [title, [clean(item) for item in items]]
        for title, items in remarks(result).items()
        if (title in _BESIDE) == beside
    ]


def _input(step: Step, system: str) -> Data:
    return _stated(step, step.number, origin_text(step, system)) | {
        "value": printed_value(step.key, step.value, system)
    }


def _said(said: InWords) -> Data:
    """What the project says in words: it has no number, and no value."""
    return _stated(said, "", said.source) | {"value": IN_WORDS}


def _stated(each: Step | InWords, number: int | str, source: str) -> Data:
    return {
        "number": str(number),
        "symbol": print_symbol(each.key),
        "plain": each.symbol,
        "meaning": printed_text(each.meaning),
        "station": clean(each.station or ""),
        "source": clean(source),
    }


def _steps(steps: Sequence[Step], system: str, formulas: Formulas) -> list[Data]:
    """The computed steps; a formula shared by all stations is given once, with lines for each."""
    runs = groupby(steps, key=lambda step: (step.key, step.line is None))
    return [_run(list(run), system, formulas) for _, run in runs]


def _source(step: Step) -> str:
    """The clause of a line and the letter of its source."""
    if step.line is None:
        return step.source
    equation = step.line.equation
    return f"{equation.clause} {letter(equation, step.verified is not None)}"


def _run(run: Sequence[Step], system: str, formulas: Formulas) -> Data:
    first = run[0]
    return {
        "symbol": print_symbol(first.key),
        "plain": first.symbol,
        "meaning": printed_text(first.meaning),
        "equation": first.equation or "",
        "source": _source(first),
        "formula": formulas.of(first),
        "entries": [_entry(step, system) for step in run],
    }


def _entry(step: Step, system: str) -> Data:
    return {
        "number": str(step.number),
        "station": short(step.station or "", _NAME),  # in full among the inputs
        "lines": in_print_lines(step)[1 if step.line else 0 :],
        "value": printed_value(step.key, step.value, system),
        "flags": [sentence("documents.flag", text=clean(flag)) for flag in step.flags],
    }
