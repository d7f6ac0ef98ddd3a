"""A document as plain text: on a terminal with rich, or into a file."""

from __future__ import annotations

from dataclasses import dataclass
from io import StringIO
from itertools import islice, zip_longest
from shutil import get_terminal_size
from textwrap import wrap
from typing import IO

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len
from rich.console import (
    Console,
    ConsoleOptions,
    Group,
    RenderableType,
    RenderResult,
)
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from linerdesign.documents.blocks import (
    CAUTIONS,
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Picture,
    Sheet,
)
from linerdesign.documents.numbers import clean, value_with_unit
from linerdesign.documents.sheet import (
    IN_WORDS,
    about,
    checks_grid,
    computed,
    condition_text,
    derivation,
    edition_text,
    governing_text,
    inputs,
    not_applying,
    origin_text,
    other_condition_text,
    reference,
    remarks,
    warnings_of,
)
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.task import InWords

WIDTH = 100
INDENT = " " * 6


def screen_width() -> int:
    """Columns of the terminal, or COLUMNS, else as many as a file has."""
    return get_terminal_size((WIDTH, 24)).columns


def print_document(document: Document, file: IO[str], width: int) -> None:
    """Prints a document in so many columns."""
    console = Console(file=file, width=width, highlight=False, emoji=False, markup=False)
    for block in (_head(document), *map(_block, document.blocks), _foot()):
        console.print(block)


def render(document: Document, width: int = WIDTH) -> bytes:
    """The document as plain text in UTF-8, without trailing blanks."""
    file = StringIO()
    print_document(document, file, width)
    return "".join(f"{line.rstrip()}\n" for line in file.getvalue().splitlines()).encode()


def _head(document: Document) -> RenderableType:
    lines = [Text(clean(document.title), style="bold"), Text(clean(document.info.title))]
    lines += [Text(f"{label + ':':<16} {clean(text)}") for label, text in about(document).items()]
    return Group(*lines, Text(""))


def _foot() -> RenderableType:
    return Group(Rule("Cautions", characters="-"), _bullets(CAUTIONS))


def _bullets(items: tuple[str, ...]) -> RenderableType:
    return Group(*(_hanging("-", clean(item)) for item in items))


def _hanging(mark: str, text: str) -> RenderableType:
    row = Table.grid(padding=(0, 1))
    row.add_row(Text(mark), Text(text))
    return row


@dataclass(frozen=True)
class _Headline:
    """A heading in a rule; whole over a rule of its own where it is longer than a line."""

    text: str
    characters: str

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        if cell_len(self.text) + 2 <= options.max_width:
            yield Rule(Text(self.text), characters=self.characters, align="left")
        else:
            yield Text(self.text)
            yield Rule(characters=self.characters)


def _block(block: Block) -> RenderableType:
    match block:
        case Heading(text, level):
            return _Headline(clean(text), "=" if level == 1 else "-")
        case Paragraph(text):
            return Group(Text(clean(text)), Text(""))
        case Bullets(items):
            return Group(_bullets(items), Text(""))
        case Grid():
            return _grid(block)
        case Picture(_, caption, alternative):
            return Text(f"[{clean(caption)}: {clean(alternative)}]")
        case Sheet(result, _):
            return _sheet(result)


def _grid(grid: Grid) -> RenderableType:
    table = Table(box=SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
    for name, align in zip(grid.columns, grid.align, strict=True):
        numeric = align == ">"
        table.add_column(
            Text(name), justify="right" if numeric else "left", no_wrap=numeric, overflow="fold"
        )
    for row in grid.rows:
        table.add_row(*(Text(clean(cell)) for cell in row))
    caption = [Text(clean(grid.caption), style="bold")] if grid.caption else []
    return Group(*caption, table, Text(""))


def _sheet(result: PipeResult) -> RenderableType:
    system = result.basis.system
    parts: list[RenderableType] = [
        Rule(Text(clean(result.name)), characters="=", align="left"),
        Text(f"{clean(result.resin)}; {result.basis.condition}; {edition_text(result)}"),
        Text(f"{condition_text(result)} So decided by the owner."),
        Text(""),
        Text("Inputs", style="bold"),
        _Inputs(result),
        Text("Calculation", style="bold"),
        *(_Step(step, system) for step in computed(result)),
    ]
    if not_applying(result):
        parts += [Text(f"Does not apply here: {', '.join(not_applying(result))}."), Text("")]
    parts += [_grid(checks_grid(result)), Text(f"Governing: {governing_text(result)}")]
    parts += [Text(f"Status: {result.status}", style="bold"), Text("")]
    parts += _notes(result)
    return Group(*parts)


@dataclass(frozen=True)
class _Inputs:
    """The inputs in columns, laid out by hand as the steps are."""

    result: PipeResult

    def __rich_console__(self, console: Console, _options: ConsoleOptions) -> RenderResult:
        yield Text("\n".join(self.lines(console.width)))

    def lines(self, width: int) -> list[str]:
        """Number, symbol, meaning, value and source of each input, and an empty line."""
        rows = [self._row(step) for step in inputs(self.result)]
        rows += [_said(each) for each in self.result.in_words]
        natural = [max((len(row[i]) for row in rows), default=0) for i in range(5)]
        # The meaning gives way first, then the source; the numbers never do.
        free = width - natural[1] - natural[3] - 8
        source = min(natural[4], max(free - natural[2], free // 3, 12))
        meaning = max(min(natural[2], free - source), 12)
        lines = []
        for number, symbol, what, value, origin in rows:
            left, right = wrap(what, meaning) or [""], wrap(origin, source) or [""]
            lines.append(
                f"{number:>2} {symbol:<{natural[1]}} {left[0]:<{meaning}} "
                f"{value:>{natural[3]}} {right[0]}"
            )
            blank = " " * (natural[1] + 4)
            gap = " " * (natural[3] + 2)
            lines += [
                f"{blank}{a:<{meaning}}{gap}{b}"
                for a, b in islice(zip_longest(left, right, fillvalue=""), 1, None)
            ]
        return [*(line.rstrip() for line in lines), ""]

    def _row(self, step: Step) -> tuple[str, str, str, str, str]:
        system = self.result.basis.system
        at = f", at {step.station}" if step.station else ""
        value = value_with_unit(step.key, step.value, system)
        meaning, source = clean(step.meaning + at), clean(origin_text(step, system))
        return str(step.number), step.symbol, meaning, value, source


def _said(said: InWords) -> tuple[str, str, str, str, str]:
    """The row of what the project says in words: it has no number, and no value."""
    at = f", at {said.station}" if said.station else ""
    return "", said.symbol, clean(said.meaning + at), IN_WORDS, clean(said.source)


@dataclass(frozen=True)
class _Step:
    """One step, laid out for the width it is printed on.

    Laid out by hand: forty small tables a sheet would take longer than the design.
    """

    step: Step
    system: str

    def __rich_console__(self, console: Console, _options: ConsoleOptions) -> RenderResult:
        yield Text("\n".join(self.lines(console.width)))

    def lines(self, width: int) -> list[str]:
        """The step's lines, none wider than `width`, and an empty one after them."""
        step = self.step
        symbol, blank = f"{INDENT}{step.symbol} = ", f"{INDENT}{' ' * len(step.symbol)} = "
        *ways, last = (*derivation(step), value_with_unit(step.key, step.value, self.system))
        heads = [symbol, *[blank] * len(ways)]
        lines = [
            line
            for head, text in zip(heads, (*ways, last), strict=True)
            for line in _wrapped(head, text, width)
        ]
        remarks = (
            *(f"({warning})" for warning in warnings_of(step)),
            *(f"! {flag}" for flag in step.flags),
        )
        lines += [line for remark in remarks for line in _wrapped(INDENT, remark, width)]
        return [*self._head(width), *lines, ""]

    def _head(self, width: int) -> list[str]:
        """Number, symbol and meaning on the left, number of the equation on the right."""
        step, right = self.step, reference(self.step)
        at = f" at {step.station}" if step.station else ""
        left = clean(f"{step.symbol}, {step.meaning}{at}")
        lines = _wrapped(f"{step.number:>3} ", left, width)
        if len(lines) > 1 or len(lines[0]) + len(right) >= width:
            return [*lines, right.rjust(width)]
        return [lines[0] + right.rjust(width - len(lines[0]))]


def _wrapped(head: str, text: str, width: int) -> list[str]:
    """Text behind a head, its further lines set under its first."""
    return wrap(text, width, initial_indent=head, subsequent_indent=" " * len(head)) or [head]


def _notes(result: PipeResult) -> list[RenderableType]:
    other = other_condition_text(result)
    parts: list[RenderableType] = [Text(other), Text("")] if other else []
    for title, items in remarks(result).items():
        parts += [Text(title, style="bold"), _bullets(items), Text("")]
    return parts
