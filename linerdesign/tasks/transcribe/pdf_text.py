"""The text of a PDF as lines of cells, by pdfplumber: ruled tables, and lines parted by gaps."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe.document import Cell, Line, Source, needs, refused

MOST_PAGES = 500
MOST_CHARACTERS = 60_000  # of one page
MOST_STREAM = 1 << 26  # bytes of all streams, unpacked
# A PDF ends with the place of its table of objects (ISO 32000-1, 7.5.5). A long file without one
# would be searched for it from end to start, at a cost that grows with the square.
END, LONGEST_END = b"startxref", 1 << 20
_NO_LETTER = re.compile(r"\(cid:\d+\)")
# Words further apart than this, in heights of the text, are in different columns.
COLUMN_GAP = 0.9
# A strip of this width that no word of so many lines touches parts columns too.
GUTTER, LEAST_LINES = 0.35, 3
# Numbers whose right ends differ by no more, in points, are set flush right.
FLUSH = 1.0


def pdf_source(path: Path, data: bytes) -> Source:
    """The lines of a PDF with text.

    Raises:
        InputFaults: encrypted, damaged, without text, or too large.
    """
    pdfplumber = needs("pdfplumber")
    _check_streams(path, data)
    if END not in data[-LONGEST_END:]:
        raise refused("damaged", path)
    try:
        with pdfplumber.open(path) as pdf:
            if len(pdf.pages) > MOST_PAGES:
                raise refused("too_many_pages", path, most=MOST_PAGES)
            return _pages(path, pdf.pages)
    except InputFaults:
        raise
    except MemoryError:
        raise refused("too_large", path) from None
    except Exception as error:  # pdfminer raises many kinds for a file that is damaged
        encrypted = "password" in repr(error).lower() or "encrypt" in repr(error).lower()
        raise refused("encrypted" if encrypted else "damaged", path) from None


def _check_streams(path: Path, data: bytes) -> None:
    """Refuses streams that unpack to as much as no calculation holds."""
    total, position = 0, 0
    while (position := data.find(b"stream", position)) >= 0:
        start = position + 6
        start += 2 if data[start : start + 2] == b"\r\n" else 1
        position = start
        inner = data[start : start + (1 << 24)]
        while inner := _unpacked(inner):
            total += len(inner)
            if total >= MOST_STREAM:
                raise refused("bomb", path)


def _unpacked(data: bytes) -> bytes:
    try:
        return zlib.decompressobj().decompress(data, MOST_STREAM)
    except zlib.error:
        return b""


def _pages(path: Path, pages: Any) -> Source:
    lines: list[Line] = []
    unread: list[tuple[str, str]] = []
    table = 0
    for number, page in enumerate(pages, 1):
        if len(page.chars) > MOST_CHARACTERS:
            raise refused("too_large", path)
        found, table = _page(page, number, table)
        lines += found
        if page.images or not found:
            what = "page with a picture" if found else "page without text"
            unread.append((what, f"page {number}"))
        page.close()
    if not lines:
        raise refused("without_text", path)
    return Source(tuple(lines), tuple(unread))


def _page(page: Any, number: int, table: int) -> tuple[list[Line], int]:
    words = page.extract_words(x_tolerance_ratio=0.2)
    rows = _rows(words)
    places = [(row[0]["top"], row) for row in rows]
    at = {id(row): f"page {number}, line {index}" for index, row in enumerate(rows, 1)}
    gutters = _gutters(rows)
    found: list[tuple[float, Line]] = []
    taken: set[int] = set()
    for each in page.find_tables():
        if min(len(each.rows), len(each.columns)) < 2:
            continue
        table += 1
        for line, top in _table(each, rows, at, table, taken):
            found.append((top, line))
    for top, row in places:
        rest = [word for word in row if id(word) not in taken]
        if rest:
            found.append((top, Line(tuple(_cells(rest, at[id(row)], gutters[id(row)])), 0)))
    return [line for _, line in sorted(found, key=lambda pair: pair[0])], table


def _rows(words: list[dict[str, Any]]) -> list[list[dict[str, Any]]]:
    """Words by line, from the top; small letters beside a line, such as indices, are part of it."""
    rows: list[list[dict[str, Any]]] = []
    for word in sorted(words, key=_middle):
        if rows and _middle(word) <= min(each["bottom"] for each in rows[-1]) + 1:
            rows[-1].append(word)
        else:
            rows.append([word])
    for row in rows:
        row.sort(key=lambda each: each["x0"])
    return rows


def _middle(word: dict[str, Any]) -> float:
    return float(word["top"] + word["bottom"]) / 2


def _gutters(rows: list[list[dict[str, Any]]]) -> dict[int, list[float]]:
    """For each line, where the columns of the table that it is in are parted.

    A table is a run of lines of several cells; no word of any of them crosses a gutter.
    """
    made: dict[int, list[float]] = {id(row): [] for row in rows}
    run: list[list[dict[str, Any]]] = []
    for row in [*rows, []]:
        if row and len(list(_cells(row))) > 1:
            run.append(row)
            continue
        if len(run) >= LEAST_LINES:
            words = [word for each in run for word in each]
            parted = [*_blank_between(words), *_behind_numbers(run, words)]
            made.update({id(each): parted for each in run})
        run = []
    return made


def _blank_between(words: list[dict[str, Any]]) -> Iterator[float]:
    """The middles of the upright strips that no word touches."""
    height = min(word["bottom"] - word["top"] for word in words)
    first, *others = sorted(words, key=lambda each: each["x0"])
    end = first["x1"]
    for word in others:
        if word["x0"] - end > GUTTER * height:
            yield (word["x0"] + end) / 2
        end = max(end, word["x1"])


def _behind_numbers(run: list[list[dict[str, Any]]], words: list[dict[str, Any]]) -> list[float]:
    """Where the columns of a run end, if its last lines have their numbers flush right.

    Headers of such columns may begin right behind the numbers of the column before.
    """
    rows = [list(_cells(row)) for row in run]
    width = len(rows[-1])
    last = [row for row in rows if len(row) == width]
    if len(last) < 2 or last != rows[-len(last) :] or width < 3:
        return []
    ends = [[cell.right for cell in column] for column in zip(*last, strict=True)][1:-1]
    if any(max(each) - min(each) > FLUSH for each in ends):
        return []
    edges = [max(each) + FLUSH / 2 for each in ends]
    cut = any(word["x0"] < edge < word["x1"] for word in words for edge in edges)
    return [] if cut else edges


def _cells(
    row: list[dict[str, Any]], at: str = "", gutters: Sequence[float] = ()
) -> Iterator[Cell]:
    group: list[dict[str, Any]] = []
    for word in row:
        height = max(word["bottom"] - word["top"], 6.0)
        apart = group and word["x0"] - group[-1]["x1"] > COLUMN_GAP * height
        parted = group and any(group[-1]["x1"] <= x <= word["x0"] for x in gutters)
        if apart or parted:
            yield _cell(group, at)
            group = []
        group.append(word)
    yield _cell(group, at)


def _cell(words: list[dict[str, Any]], at: str = "") -> Cell:
    text = words[0]["text"]
    for one, other in pairwise(words):
        # An index is set close behind its letter.
        gap = " " if other["x0"] - one["x1"] > 0.8 else ""
        text += gap + other["text"]
    # Brackets of formulas that have no letter of their own.
    return Cell(_NO_LETTER.sub("|", text), at, words[0]["x0"], words[-1]["x1"])


def _table(
    table: Any, rows: list[list[dict[str, Any]]], at: dict[int, str], number: int, taken: set[int]
) -> Iterator[tuple[Line, float]]:
    """The rows of a ruled table; the place of a cell is the line at which its text begins."""
    for table_row in table.rows:
        cells = []
        for index, box in enumerate(table_row.cells):
            if box is None:
                continue
            parts, place = [], ""
            for row in rows:
                inside = [word for word in row if _in(word, box)]
                if inside:
                    taken.update(id(word) for word in inside)
                    parts.append(_cell(inside).text)
                    place = place or at[id(row)]
            if parts:
                cells.append(Cell(" ".join(parts), place, float(index), index + 0.9))
        if cells:
            yield Line(tuple(cells), number), table_row.bbox[1]


def _in(word: dict[str, Any], box: tuple[float, float, float, float]) -> bool:
    left, top, right, bottom = box
    return bool(left <= (word["x0"] + word["x1"]) / 2 <= right and top <= _middle(word) <= bottom)
