"""A document as plain text, line by line: on a terminal, or into a file."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import zip_longest
from shutil import get_terminal_size
from typing import IO

from linerdesign.documents.blocks import (
    Bullets,
    Document,
    Grid,
    Heading,
    PaperBlock,
    Paragraph,
    Picture,
    Sheet,
    Worked,
)
from linerdesign.documents.columns import fits, most_columns, table, wide, wrapped
from linerdesign.documents.numbers import clean, value_with_unit
from linerdesign.documents.schedule import SPARED, Schedule
from linerdesign.documents.sheet import (
    IN_WORDS,
    about,
    about_text,
    cautions,
    checks_grid,
    computed,
    condition_text,
    derivation,
    governing_text,
    inputs,
    is_input,
    legend,
    not_applying,
    origin_text,
    other_condition_text,
    reference,
    remarks,
)
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.task import InWords
from linerdesign.words import sentence
from linerdesign.words.documents import LABELS

WIDTH = 100
INDENT = " " * 6
# Narrowest column of an input's meaning, or of its source.
NARROWEST = 12


def printed(document: Document, file: IO[str]) -> str:
    """A document as wide as the terminal, or COLUMNS; with bold titles where `file` is one."""
    width = get_terminal_size((WIDTH, 24)).columns
    bold = _bold if file.isatty() and os.environ.get("TERM") != "dumb" else str
    return "".join(f"{line}\n" for line in lines(document, width, bold))


def _bold(title: str) -> str:
    return f"\x1b[1m{title}\x1b[0m"


def render(document: Document, width: int = WIDTH) -> bytes:
    """The document as plain text in UTF-8, without trailing blanks."""
    return "".join(f"{line}\n" for line in lines(document, width)).encode()


def lines(document: Document, width: int, bold: Callable[[str], str] = str) -> Iterator[str]:
    """The lines of a document, block by block."""
    yield bold(clean(document.title))
    yield clean(document.info.title)
    facts = about(document)
    longest = max(16, *(len(label) + 1 for label in facts))
    for label, text in facts.items():
        yield from wrapped(clean(text), width, f"{label + ':':<{longest}} ")
    yield ""
    blocks = document.on_paper().blocks if document.on_paper else document.blocks
    for block in blocks:
        yield from _block(block, width, bold)
    if any(isinstance(block, Sheet) for block in document.blocks):
        yield from (*wrapped(legend(document), width), "")
    yield from _headline(LABELS["cautions"], "-", width)
    yield from _bullets(cautions(document), width)


def _headline(title: str, sign: str, width: int) -> Iterator[str]:
    """A title in a rule; whole over a rule of its own where it is longer than a line."""
    if wide(title) + 2 <= width:
        yield f"{title} " + sign * (width - wide(title) - 1)
    else:
        yield from wrapped(title, width)
        yield sign * width


def _bullets(items: Iterable[str], width: int) -> Iterator[str]:
    for item in items:
        yield from wrapped(clean(item), width, "- ")


def _block(block: PaperBlock, width: int, bold: Callable[[str], str]) -> Iterator[str]:
    match block:
        case Heading(text, level):
            yield from _headline(clean(text), "=" if level == 1 else "-", width)
        case Paragraph(text):
            yield from (*wrapped(clean(text), width), "")
        case Bullets(items):
            yield from (*_bullets(items, width), "")
        case Grid():
            yield from _grid(block, width, bold)
        case Picture(_, caption, alternative):
            text = sentence("documents.picture", caption=caption, words=alternative)
            yield from wrapped(clean(text), width)
        case Sheet(result, _):
            yield from _sheet(result, width, bold)
        case Worked(result, steps, checks):
            yield from _worked(result, steps, width, bold)
            yield from _grid(checks, width, bold) if checks else ()


def _grid(grid: Grid, width: int, bold: Callable[[str], str]) -> Iterator[str]:
    if grid.caption:
        yield from map(bold, wrapped(clean(grid.caption), width))
    if isinstance(grid, Schedule):
        grid = _spared(grid, width)
    for part in grid.parted(most_columns(grid, width)):
        yield from (*table(part, width), "")


def _spared(schedule: Schedule, width: int) -> Schedule:
    """The schedule without the columns for which a line has no room."""
    for key in SPARED:
        schedule = schedule if fits(schedule, width) else schedule.without(key)
    return schedule


def _sheet(result: PipeResult, width: int, bold: Callable[[str], str]) -> Iterator[str]:
    yield from _headline(clean(result.name), "=", width)
    yield from wrapped(clean(about_text(result)), width)
    yield from (*wrapped(condition_text(result), width), "", bold(LABELS["inputs"]))
    yield from (*_inputs(result, inputs(result), width), "", bold(LABELS["calculation"]))
    for step in computed(result):
        yield from (*_step(step, result.basis.system, width), "")
    if left := not_applying(result):
        text = sentence("documents.not_applying", equations=", ".join(left))
        yield from (*wrapped(text, width), "")
    yield from _grid(checks_grid(result), width, bold)
    yield from wrapped(f"{LABELS['governing']}: {clean(governing_text(result))}", width)
    yield from (bold(f"{LABELS['status']}: {result.status}"), "")
    yield from _notes(result, width, bold)


def _worked(
    result: PipeResult, steps: Sequence[Step], width: int, bold: Callable[[str], str]
) -> Iterator[str]:
    """The inputs among the steps, then the lines."""
    given = [step for step in steps if is_input(step)]
    if given:
        yield bold(LABELS["inputs"])
        yield from (*_inputs(result, given, width), "")
    lines = [step for step in steps if not is_input(step)]
    if lines:
        yield bold(LABELS["calculation"])
        for step in lines:
            yield from (*_step(step, result.basis.system, width), "")


def _inputs(result: PipeResult, steps: Sequence[Step], width: int) -> Iterator[str]:
    """Number, symbol, meaning, value and source of each input."""
    rows = [_input(step, result.basis.system) for step in steps]
    rows += [_said(each) for each in result.in_words]
    natural = [max(map(len, column)) for column in zip(*rows, strict=True)]
    # The meaning gives way first, then the source; the numbers never do.
    free = width - natural[1] - natural[3] - 9
    source = min(natural[4], max(free - natural[2], free // 3, NARROWEST))
    meaning = max(min(natural[2], free - source), NARROWEST)
    for number, symbol, what, value, origin in rows:
        left, right = wrapped(what, meaning), wrapped(origin, source)
        head, shown = f"{number:>2} {symbol:<{natural[1]}}", f"{value:>{natural[3]}}"
        for a, b in zip_longest(left, right, fillvalue=""):
            yield f"{head} {a:<{meaning}} {shown}  {b}".rstrip()
            head, shown = " " * len(head), " " * len(shown)


def _input(step: Step, system: str) -> tuple[str, str, str, str, str]:
    at = f", at {step.station}" if step.station else ""
    value = value_with_unit(step.key, step.value, system)
    meaning, source = clean(step.meaning + at), clean(origin_text(step, system))
    return str(step.number), step.symbol, meaning, value, source


def _said(said: InWords) -> tuple[str, str, str, str, str]:
    """The row of what the project says in words: it has no number, and no value."""
    at = f", at {said.station}" if said.station else ""
    return "", said.symbol, clean(said.meaning + at), IN_WORDS, clean(said.source)


def _step(step: Step, system: str, width: int) -> Iterator[str]:
    """The lines of a step: its head, then its working down to the value."""
    yield from _head(step, width)
    mark = f"{INDENT}{step.symbol} = "
    for text in (*derivation(step, system=system), value_with_unit(step.key, step.value, system)):
        yield from wrapped(text, width, mark)
        mark = f"{INDENT}{' ' * len(step.symbol)} = "
    for flag in step.flags:
        yield from wrapped(f"! {clean(flag)}", width, INDENT)


def _head(step: Step, width: int) -> Iterator[str]:
    """Number, symbol and meaning on the left, number of the equation on the right."""
    right = reference(step)
    at = f" at {step.station}" if step.station else ""
    *above, last = wrapped(clean(f"{step.symbol}, {step.meaning}{at}"), width, f"{step.number:>3} ")
    yield from above
    if above or wide(last) + len(right) >= width:
        yield last
        yield from (line.rjust(width) for line in wrapped(right, width) if line)
    else:
        yield (last + right.rjust(width - wide(last))).rstrip()


def _notes(result: PipeResult, width: int, bold: Callable[[str], str]) -> Iterator[str]:
    if other := other_condition_text(result):
        yield from (*wrapped(clean(other), width), "")
    for title, items in remarks(result).items():
        yield from (bold(title), *_bullets(items, width), "")
