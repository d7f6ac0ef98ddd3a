"""The neutral form of a document: lines of cells, each cell with its text and its place."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from linerdesign.project.faults import InputFaults, fault


@dataclass(frozen=True)
class Cell:
    """A piece of text and where it is found.

    `left` and `right` are its horizontal ends, in columns of a grid, characters or points, for
    comparison with other cells of the same table only. A paragraph joined from several lines has
    the place of each line but the first in `places`, by the offset at which the line begins.
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
    """One line or table row. Lines of one `table` have comparable columns; 0 is running text.

    `part` is the sheet of a workbook that it is on: what one says of its pipe ends with it.
    """

    cells: tuple[Cell, ...]
    table: int = 0
    part: str = ""


@dataclass(frozen=True)
class Source:
    """What was read from a file: its lines, and the parts without text as (text, at) pairs."""

    lines: tuple[Line, ...]
    unread: tuple[tuple[str, str], ...] = ()


def parted(line: Line) -> Line:
    """The line with each label that dots or a rule lead to a value as a cell of its own."""
    return replace(line, cells=tuple(part for cell in line.cells for part in _parts(cell)))


def _parts(cell: Cell) -> Iterator[Cell]:
    width, start = (cell.right - cell.left) / max(len(cell.text), 1), 0
    for match in (*_LEADER.finditer(cell.text), None):
        end = match.start() if match else len(cell.text)
        while start < end:
            # No statement is so long; a reader is not kept busy by one.
            stop = end if end - start <= LONGEST else cell.text.rfind(" ", start, start + LONGEST)
            stop = stop if stop > start else min(end, start + LONGEST)
            if cell.text[start:stop].strip():
                left, right = cell.left + start * width, cell.left + stop * width
                yield Cell(cell.text[start:stop].strip(), cell.at, left, right)
            start = stop
        start = match.end() if match else end


def paragraphs(lines: tuple[Line, ...]) -> tuple[Line, ...]:
    """The lines with each wrapped sentence joined into one line of one cell."""
    joined: list[Line] = []
    for line in lines:
        if joined and _continues(joined[-1], line):
            joined[-1] = _joined(joined[-1].cells[0], line.cells[0])
        else:
            joined.append(line)
    return tuple(joined)


_LEADER = re.compile(r"\s*(?:(?:\.\s?){4,}|…{2,}|_{3,})\s*")
LONGEST = 2000
# A sentence that goes on in the next line fills its own line nearly to the margin; behind a colon
# only one that surely does.
_FULL_LINE, _SURELY_FULL = 45, 70
# A word that begins no label: the line before goes on, however short it is.
_GOING_ON = re.compile(r"(?:is|are|and|or|of|the|above|below|over|with|by|at|in|for|to)\b")
_NEW_LABEL = re.compile(r"[^\W\d](?:[^=,.;]|\.\d){0,22}=")


def _continues(line: Line, following: Line) -> bool:
    if line.table or following.table or len(line.cells) != 1 or len(following.cells) != 1:
        return False
    if len(line.cells[0].text) > LONGEST:
        return False
    text, rest = line.cells[0].text.rstrip(), following.cells[0].text.lstrip()
    if not text or not rest or text[-1] in ".;" or "|" in text or _NEW_LABEL.match(rest):
        return False
    if _GOING_ON.match(rest):
        return True
    last = line.cells[0].places[-1][0] if line.cells[0].places else 0
    full = _SURELY_FULL if text[-1] == ":" else _FULL_LINE
    return len(text) - last >= full and (rest[0].islower() or rest[0] in "0123456789=")


def _joined(first: Cell, second: Cell) -> Line:
    gap = "" if first.text.rstrip().endswith("-") else " "
    start = len(first.text.rstrip()) + len(gap)
    text = f"{first.text.rstrip()}{gap}{second.text.lstrip()}"
    places = (*first.places, (start, second.at))
    return Line((Cell(text, first.at, first.left, first.right, places),))


def refused(why: str, path: Path, **numbers: Any) -> InputFaults:
    """The fault of a file that is not read: `transcribe.WHY` of the catalogue."""
    return InputFaults([fault(f"transcribe.refused_{why}", str(path), **numbers)])


def needs(module: str) -> ModuleType:
    """A library that only this command needs.

    Raises:
        InputFaults: where it is not installed, with how to get it.
    """
    try:
        return import_module(module)
    except ImportError:
        package = "python-docx" if module == "docx" else module
        missing = fault("transcribe.refused_not_installed", module, package=package)
        raise InputFaults([missing]) from None
