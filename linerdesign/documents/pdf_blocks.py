"""The blocks of a document as data for `sheet.typ`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from math import inf
from types import MappingProxyType
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
from linerdesign.documents.columns import heads_in_lines, most_columns
from linerdesign.documents.drawing import cross_section, demand_bars
from linerdesign.documents.mathematics import pieces, print_formula, print_symbol
from linerdesign.documents.numbers import (
    both_units,
    clean,
    factor,
    printed_cell,
    printed_text,
    printed_value,
    short,
    with_minus,
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
from linerdesign.documents.working import Working, meaning_at
from linerdesign.expressions.printing import raised
from linerdesign.expressions.tree import Choice, LookUp, Node, children
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
_LETTERS = 160
# Sizes of the letters of a table in points, and the most columns that take them; rows of a table
# that stays in one piece, and of a short one.
_SIZES = ((8.5, 8), (7.4, 13), (6.7, 14), (6.2, inf))
_FEW, _SHORT = 12, 24
# Share of the page that a table takes of which two stand side by side.
_HALF = 0.48
# Width of a letter over its size, blanks beside a column and width of a page in points.
_WIDE, _INSET, _ACROSS = 0.45, 6, 475
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
        source = print_formula(step.key, _readable(step))
        plain, *_ = in_print_lines(step)
        self.data.setdefault(source, (source, f"{step.symbol} = {plain}"))
        return source


def _readable(step: Step) -> Node:
    """The tree of a step's line; of a table read both ways, that of the rows and columns read."""
    assert step.line is not None
    assert step.arithmetic is not None
    tree = step.line.tree
    return step.arithmetic if isinstance(tree, Choice) and _reads(tree) else tree


def _reads(node: Node) -> bool:
    return isinstance(node, LookUp) or any(map(_reads, children(node)))


def block_data(block: PaperBlock, formulas: Formulas) -> Data:
    """A block as data; its formulas are gathered."""
    match block:
        case Heading(text, level):
            made = {"kind": "heading", "text": short(text, _LONG), "level": level}
            return made | {"page": block.page}
        case Paragraph(text, keys):
            made = {"kind": "paragraph", "pieces": pieces(_running(text), keys)}
            return made | {"sticky": True}
        case Bullets(items):
            return {"kind": "bullets", "items": [pieces(_running(item)) for item in items]}
        case Working():
            return {"kind": "working"} | _working(block, formulas)
        case Grid():
            return {"kind": "grids", "parts": [_grid(part) for part in in_columns(block)]}
        case Picture():
            return {"kind": "pictures", "parts": [_picture(block)]}
        case Sheet(result, _):
            return {"kind": "sheet"} | _sheet(result, formulas)
        case Worked():
            return {"kind": "worked"} | _worked(block, formulas)


def _running(text: str) -> str:
    """Running text as print shows it."""
    return with_minus(clean(text))


def in_columns(grid: Grid) -> Iterator[Grid]:
    """A table that may be parted, in parts as wide as a page."""
    return grid.parted(most_columns(grid, _LETTERS))


def _size(grid: Grid, letters: Sequence[int]) -> float:
    """The size of the letters of a table in points, with so many in its columns.

    A short table of many columns is as large as fits, a long one small.
    """
    sizes = [size for size, most in _SIZES if len(letters) <= most]
    if not grid.narrow:
        return sizes[0]
    if len(grid.rows) <= _SHORT:
        sizes = [size for size, _ in _SIZES if size >= sizes[0]]
    halves = [size for size in sizes if _share(letters, size) < _HALF]
    fitting = [size for size in sizes if _share(letters, size) <= 1]
    long = len(grid.rows) > _SHORT
    first, *_ = [*halves, *fitting, sizes[-1]] if long else [*fitting, sizes[-1]]
    return first


def _share(letters: Sequence[int], size: float) -> float:
    """How much of the width of a page a table takes."""
    return sum(count * _WIDE * size + _INSET for count in letters) / _ACROSS


def _grid(grid: Grid) -> Data:
    heads = heads_in_lines(grid)
    letters = [
        max(map(len, (*lines, *column))) for lines, *column in zip(heads, *grid.rows, strict=True)
    ]
    size = _size(grid, letters)
    return {
        "columns": [
            _cell(grid, -1, column, raised("\n".join(lines))) for column, lines in enumerate(heads)
        ],
        "size": size,
        "dense": len(grid.rows) > _SHORT,
        "halves": grid.narrow and _share(letters, size) < _HALF and len(grid.rows) > _FEW,
        "align": list(grid.align),
        "rows": [
            [_cell(grid, row, column, cell) for column, cell in enumerate(cells)]
            for row, cells in enumerate(grid.rows)
        ],
        "caption": _running(grid.caption),
        "narrow": grid.narrow,
    }


def _cell(grid: Grid, row: int, column: int, text: str) -> str | dict[str, str]:
    """The text of a cell, by the name of what it is where it is no plain text."""
    at = (row, column)
    text = clean(text) if row >= 0 else text
    if row >= 0 and (grid.align[column] == ">" or "^" in text):
        text = printed_cell(text)
    if at in grid.symbols:
        key = grid.symbols[at]
        plain = SYMBOLS[key].symbol
        return {"symbol": print_symbol(key), "plain": plain, "after": text.removeprefix(plain)}
    return {"boxed": text} if at in grid.boxed else {"strong": text} if at in grid.strong else text


def _working(working: Working, formulas: Formulas) -> Data:
    """The table with its symbols and formulas as sources of equations."""
    rows = [
        {
            "symbol": print_symbol(step.key),
            "plain": step.symbol,
            "meaning": printed_text(meaning_at(step)),
            "formula": formulas.of(step),
            "lines": [pieces(line) for line in in_print_lines(step, working.system)[1:]],
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
        "beside": picture.beside,
    }


def _worked(block: Worked, formulas: Formulas) -> Data:
    result, steps = block.result, block.steps
    given = [step for step in steps if is_input(step)]
    lines = [step for step in steps if not is_input(step)]
    said = [each for each in result.in_words if each.origin.used] if given else []
    return {
        "drawn": block.checks
        and {
            "section": _picture(cross_section(result)),
            "bars": _picture(demand_bars(result)),
            "checks": _grid(block.checks),
        },
        "inputs": [_input(step, result.basis.system) for step in given] + [_said(e) for e in said],
        "stations": any(step.station for step in steps),
        "steps": _steps(lines, result.basis.system, formulas, block.known),
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
        [title, [pieces(_running(item)) for item in items]]
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


def _steps(
    steps: Sequence[Step],
    system: str,
    formulas: Formulas,
    known: Mapping[int, str] = MappingProxyType({}),
) -> list[Data]:
    """The computed steps; a formula shared by all stations is given once, with lines for each.

    `known` says where the formula of a line stands already, by its number.
    """
    runs = groupby(steps, key=lambda step: (step.key, bool(step.line)))
    return [_run(list(run), system, formulas, known) for _, run in runs]


def _source(step: Step) -> str:
    """The clause of a line and the letter of its source."""
    if step.line is None:
        return step.source
    equation = step.line.equation
    return f"{equation.clause} {letter(equation, step.verified is not None)}"


def _run(run: Sequence[Step], system: str, formulas: Formulas, known: Mapping[int, str]) -> Data:
    first = run[0]
    before = known.get(first.number, "")
    return {
        "symbol": print_symbol(first.key),
        "plain": first.symbol,
        "meaning": printed_text(first.meaning),
        "equation": first.equation or "",
        "source": _source(first),
        "formula": "" if before else formulas.of(first),
        "before": before,
        "entries": [_entry(step, system) for step in run],
    }


def _entry(step: Step, system: str) -> Data:
    return {
        "number": str(step.number),
        "station": short(step.station or "", _NAME),  # in full among the inputs
        "lines": [pieces(line) for line in in_print_lines(step, system)[1 if step.line else 0 :]],
        "value": printed_value(step.key, step.value, system),
        "flags": [sentence("documents.flag", text=clean(flag)) for flag in step.flags],
    }
