"""Text in columns of a fixed number of characters: wrapped lines, and tables."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest
from textwrap import wrap
from unicodedata import combining, east_asian_width

from linerdesign.documents.blocks import Grid
from linerdesign.documents.numbers import clean

# Narrowest column that a table makes for running text, and longest word of a head kept whole.
NARROWEST = 8
HEAD_WORD = 12
# Lines of a long head of numbers; a short one has two.
HEAD_LINES = 3
# Blanks between columns; one where a table does not fit otherwise.
GAP = 2


def wide(text: str) -> int:
    """Columns that a text takes on a terminal."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(c) else 1 + (east_asian_width(c) in "WF") for c in text)


def wrapped(text: str, width: int, head: str = "") -> list[str]:
    """Text behind a head, its further lines set under its first."""
    room = max(width - wide(head), NARROWEST)
    first, *rest = _folded(text, room)
    return [(head + first).rstrip(), *(" " * wide(head) + line for line in rest)]


def _folded(text: str, width: int) -> list[str]:
    """Lines of so many columns at most; wide characters count twice."""
    if wide(text) <= width:
        return [text]
    if text.isascii():
        words = (part for word in text.split() for part in _parts(word, width))
        return wrap(" ".join(words), width) or [""]
    lines = [""]
    for word in text.split(" "):
        if lines[-1] and wide(lines[-1]) + 1 + wide(word) > width:
            lines.append("")
        elif lines[-1]:
            lines[-1] += " "
        for character in word:
            if wide(lines[-1]) + wide(character) > width:
                lines.append("")
            lines[-1] += character
    return lines


def _parts(word: str, width: int) -> list[str]:
    """A word, or arithmetic longer than a line parted after its signs, so that no number is cut."""
    found = [""]
    for piece in re.findall(r"[^*/]+[*/]?|[*/]", word):
        if found[-1] and len(found[-1]) + len(piece) > width:
            found.append("")
        found[-1] += piece
    return found


def table(grid: Grid, width: int) -> Iterator[str]:
    """The lines of a table; columns of numbers keep their width, those of text are folded."""
    boxed = _boxed(grid)
    heads = _heads(grid, boxed)
    rows: list[Sequence[str]] = [*heads, *boxed]
    gap, widths = _set(rows, grid.align, width)
    rule = "-" * _across(gap, widths)
    for place, row in enumerate(rows):
        yield from _row(row, widths, grid.align, gap)
        if place == len(heads) - 1:
            yield rule


def fits(grid: Grid, width: int) -> bool:
    """Whether a table fits a line when its text is folded."""
    boxed = _boxed(grid)
    rows: list[Sequence[str]] = [*_heads(grid, boxed), *boxed]
    return _across(*_set(rows, grid.align, width)) <= width


def _set(rows: Sequence[Sequence[str]], align: str, width: int) -> tuple[int, list[int]]:
    """The gap between columns and their widths; one blank where a table does not fit otherwise."""
    widths = _widths(rows, align, width, GAP)
    if _across(GAP, widths) <= width:
        return GAP, widths
    return 1, _widths(rows, align, width, 1)


def _across(gap: int, widths: Sequence[int]) -> int:
    return sum(widths) + gap * (len(widths) - 1)


def most_columns(grid: Grid, width: int) -> int:
    """How many columns beside those repeated fit a line, of a table that may be parted."""
    rows = _boxed(grid)
    widths = [
        max(map(wide, column)) + GAP for column in zip(*_heads(grid, rows), *rows, strict=True)
    ]
    if sum(widths) - GAP <= width:
        return len(widths)
    fixed, others = widths[: grid.repeat], widths[grid.repeat :]
    return max((width + GAP - sum(fixed)) // max(others, default=GAP), 1)


def _boxed(grid: Grid) -> list[list[str]]:
    """The cells, results in square brackets."""
    return [
        [f"[{clean(cell)}]" if (y, x) in grid.boxed else clean(cell) for x, cell in enumerate(row)]
        for y, row in enumerate(grid.rows)
    ]


def _heads(grid: Grid, rows: Sequence[Sequence[str]]) -> list[Sequence[str]]:
    """The heads, those of numbers folded to the width of the cells where a table may be parted."""
    return list(zip_longest(*_folded_heads(grid, rows), fillvalue=""))


def heads_in_lines(grid: Grid) -> list[list[str]]:
    """The heads of a table, each in the lines that it has in print."""
    return _folded_heads(grid, _boxed(grid))


def _folded_heads(grid: Grid, rows: Sequence[Sequence[str]]) -> list[list[str]]:
    heads = [clean(head) for head in grid.columns]
    if not (grid.narrow or grid.repeat):
        return [[head] for head in heads]
    columns = list(zip(*rows, strict=True)) or [()] * len(grid.columns)
    return [
        _in_lines(head, _narrowest(head, cells)) if sign == ">" else [head]
        for head, cells, sign in zip(heads, columns, grid.align, strict=True)
    ]


def _in_lines(head: str, width: int) -> list[str]:
    """A head on one line, or on several without the comma before its unit."""
    return [head] if wide(head) <= width else _folded(head.replace(",", ""), width)


def _narrowest(head: str, cells: Iterable[str]) -> int:
    """The narrowest column of numbers for its cells, its words, and its head on few lines."""
    words = min(_longest_word((head,)), HEAD_WORD)
    short = wide(head) <= HEAD_WORD
    lines = wide(head) // 2 + 1 if short else wide(head) // HEAD_LINES
    return max(words, lines, *map(wide, cells))


def _longest_word(texts: Iterable[str]) -> int:
    """Columns of the longest word, without a comma behind it."""
    words = (word.rstrip(",") for text in texts for word in clean(text).split())
    return wide(max(words, key=wide, default=""))


def _widths(rows: Sequence[Sequence[str]], align: str, width: int, gap: int) -> list[int]:
    """Column widths: the widest columns of text give way until the table fits."""
    columns = list(zip(*rows, strict=True))
    widths = [max(map(wide, column)) for column in columns]
    free = width - gap * (len(widths) - 1) - sum(widths)
    # Where one blank is left between columns, one of text is no wider than its longest word.
    floors = [NARROWEST if gap > 1 else min(NARROWEST, _longest_word(c)) for c in columns]
    while free < 0:
        texts = [i for i, sign in enumerate(align) if sign == "<" and widths[i] > floors[i]]
        if not texts:
            break
        widest = max(texts, key=lambda i: widths[i])
        # Down to the next in width; columns of one width give way by turns.
        others = [widths[i] for i in texts if i != widest]
        least = max(*others, floors[widest]) if others else floors[widest]
        cut = max(min(-free, widths[widest] - least), 1)
        widths[widest] -= cut
        free += cut
    return widths


def _row(row: Sequence[str], widths: Sequence[int], align: str, gap: int) -> Iterator[str]:
    cells = [
        _folded(text, width) if sign == "<" else [text]
        for text, width, sign in zip(row, widths, align, strict=True)
    ]
    for parts in zip_longest(*cells, fillvalue=""):
        yield (
            (" " * gap)
            .join(
                text + blank if sign == "<" else blank + text
                for text, sign, blank in (
                    (part, sign, " " * (width - wide(part)))
                    for part, width, sign in zip(parts, widths, align, strict=True)
                )
            )
            .rstrip()
        )
