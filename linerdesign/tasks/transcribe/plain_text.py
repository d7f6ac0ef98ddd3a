"""Text, Markdown and CSV files as lines of cells."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

from linerdesign.project.delimited import LARGEST_CELL
from linerdesign.tasks.transcribe.document import Cell, Line

_GAP = re.compile(r"\t+|\s{2,}")
_RULE = re.compile(r"[\s|:+=_-]*")
# Marks of Markdown at the beginning of a line: headings, lists, quotations.
_MARK = re.compile(r"\s*(?:#{1,6}|[-*•]|>)\s+")


def text_lines(text: str) -> Iterator[Line]:
    """The lines of a text; columns are parted by bars, tabs, or two blanks and more."""
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or _RULE.fullmatch(line):
            continue
        if mark := _MARK.match(line):
            line = " " * mark.end() + line[mark.end() :]
        parts = _bars(line) if line.count("|") >= 2 or line.strip().startswith("|") else _gaps(line)
        cells = tuple(
            Cell(_plain(part), f"line {number}", float(left), float(right))
            for part, left, right in parts
            if _plain(part)
        )
        if cells:
            yield Line(cells, 0)


def _plain(text: str) -> str:
    """A text without the marks of Markdown for emphasis and code."""
    return re.sub(r"\*\*|__|`", "", text).strip()


def _bars(line: str) -> list[tuple[str, int, int]]:
    inside = line.strip().strip("|")
    return [(part, 10 * index, 10 * index + 9) for index, part in enumerate(inside.split("|"))]


def _gaps(line: str) -> list[tuple[str, int, int]]:
    parts, start = [], 0
    for match in (*_GAP.finditer(line), None):
        end = match.start() if match else len(line)
        if line[start:end].strip():
            parts.append((line[start:end], start, end))
        start = match.end() if match else end
    return parts


def csv_lines(text: str) -> Iterator[Line]:
    """The rows of a CSV text, of whatever delimiter its lines share; an empty row ends a table."""
    delimiter = _delimiter(text)
    csv.field_size_limit(LARGEST_CELL)
    # Line ends as they are: carriage returns alone are some, too.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    table = 1
    for row in reader:
        cells = tuple(
            Cell(part.strip(), f"line {reader.line_num}", float(index), index + 0.9)
            for index, part in enumerate(row)
            if part.strip()
        )
        if cells:
            yield Line(cells, table)
        else:
            table += 1


def _delimiter(text: str) -> str:
    lines = [line for line in text.splitlines() if line.strip()][:50]
    if any("\t" in line for line in lines) and not any("," in line for line in lines):
        return "\t"
    semicolons = sum(";" in line for line in lines)
    return ";" if lines and 2 * semicolons >= len(lines) else ","
