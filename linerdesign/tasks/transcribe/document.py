"""The neutral form of a document: lines of cells, each cell with its text and its place."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Cell:
    """A piece of text and where it is found.

    `left` and `right` are its horizontal ends, in columns of a grid, characters or points, for
    comparison with other cells of the same table only. A paragraph joined from several lines has
    the place of each line in `places`, by the offset at which the line begins.
    """

    text: str
    at: str
    left: float = 0.0
    right: float = 1.0
    places: tuple[tuple[int, str], ...] = ()

    def place(self, offset: int) -> str:
        """The place of the character at an offset."""
        found = self.at
        for start, at in self.places:
            if start <= offset:
                found = at
        return found


@dataclass(frozen=True)
class Line:
    """One line or table row. Lines of one `table` have comparable columns; 0 is running text."""

    cells: tuple[Cell, ...]
    table: int = 0


@dataclass(frozen=True)
class Source:
    """What was read from a file: its lines, and the parts without text as (text, at) pairs."""

    lines: tuple[Line, ...]
    unread: tuple[tuple[str, str], ...] = ()


def paragraphs(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """The lines with each wrapped sentence joined into one line of one cell."""
    joined: list[Line] = []
    for line in lines:
        if joined and _continues(joined[-1], line):
            joined[-1] = _joined(joined[-1].cells[0], line.cells[0])
        else:
            joined.append(line)
    return tuple(joined)


# A sentence that goes on in the next line fills its own line nearly to the margin.
_FULL_LINE = 45


def _continues(line: Line, following: Line) -> bool:
    if line.table or following.table or len(line.cells) != 1 or len(following.cells) != 1:
        return False
    text, rest = line.cells[0].text.rstrip(), following.cells[0].text.lstrip()
    if not text or not rest or text[-1] in ".;:" or "|" in text or "=" in rest[:12]:
        return False
    last = line.cells[0].places[-1][0] if line.cells[0].places else 0
    return len(text) - last >= _FULL_LINE and (rest[0].islower() or rest[0].isdigit())


def _joined(first: Cell, second: Cell) -> Line:
    gap = "" if first.text.rstrip().endswith("-") else " "
    start = len(first.text.rstrip()) + len(gap)
    text = f"{first.text.rstrip()}{gap}{second.text.lstrip()}"
    places = (first.places or ((0, first.at),)) + ((start, second.at),)
    return Line((Cell(text, first.at, first.left, first.right, places),))
