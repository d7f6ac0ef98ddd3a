"""The paragraphs and table rows of a Word file as lines, by python-docx."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from linerdesign.tasks.transcribe.document import Cell, Line, Source, needs, refused
from linerdesign.tasks.transcribe.plain_text import text_lines

MOST_LINES = 50_000
_W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_M = "{http://schemas.openxmlformats.org/officeDocument/2006/math}"
_BLANK = {f"{_W}tab": "\t", f"{_W}br": "\n", f"{_W}cr": "\n", f"{_W}noBreakHyphen": "-"}


def word_source(path: Path, data: bytes) -> Source:
    """The lines of the text, then of headers, footers, text boxes and notes, in that order.

    Raises:
        InputFaults: damaged, or too large.
    """
    docx = needs("docx")
    try:
        document = docx.Document(io.BytesIO(data))
        parts = [document.element.body, *_beside(document)]
        lines = tuple(_numbered(parts))
    except MemoryError:
        raise refused("too_large", path) from None
    except Exception:  # python-docx and lxml raise many kinds for a file that is damaged
        raise refused("damaged", path) from None
    if len(lines) > MOST_LINES:
        raise refused("too_large", path)
    pictures = len(document.inline_shapes)
    return Source(lines, (("pictures, not read", "end of the document"),) if pictures else ())


def _beside(document: Any) -> Iterator[Any]:
    """Elements of headers, footers, foot- and endnotes that have any text."""
    for part in document.part.package.iter_parts():
        name = str(part.partname)
        if any(word in name for word in ("/header", "/footer", "/footnotes", "/endnotes")):
            from lxml import etree

            element = getattr(part, "element", None)
            yield element if element is not None else etree.fromstring(part.blob)


def _numbered(parts: list[Any]) -> Iterator[Line]:
    number, table = 0, 0
    for part in parts:
        for element in _blocks(part):
            if element.tag == f"{_W}tbl":
                table += 1
                for row in element.iter(f"{_W}tr"):
                    number += 1
                    cells = tuple(_row(row, f"line {number}"))
                    if cells:
                        yield Line(cells, table)
                continue
            number += 1
            text = _text(element)
            for line in text_lines(text.replace("\n", " ; ")):
                cells = tuple(Cell(c.text, f"line {number}", c.left, c.right) for c in line.cells)
                yield Line(cells, 0)


def _blocks(part: Any) -> Iterator[Any]:
    """Paragraphs outside tables, and outermost tables, in order; those of text boxes too."""
    for element in part.iter(f"{_W}p", f"{_W}tbl"):
        if not any(above.tag == f"{_W}tbl" for above in element.iterancestors()):
            yield element


def _row(row: Any, at: str) -> Iterator[Cell]:
    column = 0
    for cell in row.iterchildren(f"{_W}tc"):
        span = cell.find(f"{_W}tcPr/{_W}gridSpan")
        width = int(span.get(f"{_W}val")) if span is not None else 1
        text = "\n".join(filter(None, (_text(p).strip() for p in cell.iter(f"{_W}p"))))
        if text:
            yield Cell(text, at, float(column), column + width - 0.1)
        column += width


def _text(paragraph: Any) -> str:
    """The text of a paragraph, insertions and formulas included, deletions and boxes left out."""
    parts = []
    for element in paragraph.iter(f"{_W}t", f"{_M}t", *_BLANK):
        inside = next(element.iterancestors(f"{_W}p"), None)
        if inside is paragraph:
            parts.append(_BLANK.get(element.tag) or element.text or "")
    return "".join(parts)
