"""Text in columns of a fixed number of characters: wrapped lines, and tables."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest
from textwrap import wrap
from unicodedata import combining, east_asian_width

from linerdesign.documents.blocks import Grid
from linerdesign.documents.numbers import clean

# Narrowest column that a table makes for running text.
NARROWEST = 8
# Blanks between columns; one where a table does not fit otherwise.
GAP = 2


def wide(text: str) -> int:
    """Columns that a text takes on a terminal."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(c) else 1 + (east_asian_width(c) in "WF") for c in text)


def wrapped(head: str, text: str, width: int) -> list[str]:
    """Text behind a head, its further lines set under its first."""
    if len(head) + len(text) <= width and text.isascii():
        return [head + text if text else head.rstrip()]
    room = max(width - wide(head), NARROWEST)
    first, *rest = _folded(text, room)
    return [(head + first).rstrip(), *(" " * wide(head) + line for line in rest)]


def _folded(text: str, width: int) -> list[str]:
    """Lines of so many columns at most; wide characters count twice."""
    if wide(text) <= width:
        return [text]
    if text.isascii():
        return wrap(text, width) or [""]
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


def table(grid: Grid, width: int) -> Iterator[str]:
    """The lines of a table; columns of numbers keep their width, those of text are folded."""
    heads = _heads(grid, _boxed(grid))
    rows: list[Sequence[str]] = [*heads, *_boxed(grid)]
    gap = GAP
    widths = _widths(rows, grid.align, width, gap)
    if sum(widths) + gap * (len(widths) - 1) > width:
        gap = 1
        widths = _widths(rows, grid.align, width, gap)
    rule = "-" * (sum(widths) + gap * (len(widths) - 1))
    for place, row in enumerate(rows):
        yield from _row(row, widths, grid.align, gap)
        if place == len(heads) - 1:
            yield rule


def most_columns(grid: Grid, width: int) -> int:
    """How many columns beside those repeated fit a line, of a table that may be parted."""
    rows = _boxed(grid)
    widths = [
        max(map(wide, column)) + GAP for column in zip(*_heads(grid, rows), *rows, strict=True)
    ]
    if sum(widths) - GAP <= width:
        return len(widths)
    fixed, others = widths[: grid.repeat], widths[grid.repeat :]
    return max((width + GAP - sum(fixed)) // max(others, default=1), 1)


def _boxed(grid: Grid) -> list[list[str]]:
    """The cells, results in square brackets."""
    return [
        [f"[{clean(cell)}]" if (y, x) in grid.boxed else clean(cell) for x, cell in enumerate(row)]
        for y, row in enumerate(grid.rows)
    ]


def _heads(grid: Grid, rows: Sequence[Sequence[str]]) -> list[Sequence[str]]:
    """The heads, those of numbers folded to the width of the cells where a table may be parted."""
    if not (grid.narrow or grid.repeat):
        return [grid.columns]
    columns = list(zip(*rows, strict=True)) or [()] * len(grid.columns)
    folded = [
        _folded(clean(head), _narrowest(head, cells)) if sign == ">" else [head]
        for head, cells, sign in zip(grid.columns, columns, grid.align, strict=True)
    ]
    return list(zip_longest(*folded, fillvalue=""))


def _narrowest(head: str, cells: Iterable[str]) -> int:
    """The narrowest column of numbers that holds its cells and the words of its head."""
    words = min(max(map(wide, clean(head).split()), default=1), NARROWEST)
    return max(words, max(map(wide, cells), default=1))


def _widths(rows: Sequence[Sequence[str]], align: str, width: int, gap: int) -> list[int]:
    """Column widths: the widest columns of text give way until the table fits."""
    widths = [max(map(wide, column)) for column in zip(*rows, strict=True)]
    free = width - gap * (len(widths) - 1) - sum(widths)
    while free < 0:
        texts = [i for i, sign in enumerate(align) if sign == "<" and widths[i] > NARROWEST]
        if not texts:
            break
        widest = max(texts, key=lambda i: widths[i])
        others = [widths[i] for i in texts if widths[i] < widths[widest]]
        least = max(others, default=NARROWEST)
        cut = min(-free, widths[widest] - max(least, NARROWEST)) or 1
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
