"""Opens a document of any known form as lines of cells; refuses what may do harm."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from linerdesign.project.reading import read_bytes
from linerdesign.tasks.transcribe.archive import check_archive
from linerdesign.tasks.transcribe.document import Cell, Line, Source, parted, refused
from linerdesign.tasks.transcribe.pdf_text import pdf_source
from linerdesign.tasks.transcribe.plain_text import csv_lines, text_lines
from linerdesign.tasks.transcribe.word_text import word_source
from linerdesign.tasks.transcribe.workbook_text import workbook_source

LARGEST = 50_000_000
LARGEST_TEXT = 1_000_000
_TEXT = {".txt": text_lines, ".md": text_lines, ".csv": csv_lines, ".tsv": csv_lines}
_OFFICE: dict[str, Callable[[Path, bytes], Source]] = {
    ".xlsx": workbook_source,
    ".docx": word_source,
}
_WITH_MACROS = (".xlsm", ".docm", ".xltm", ".dotm", ".xlsb")
_OLD = (".xls", ".doc", ".rtf", ".odt", ".ods")
FORMS = (".pdf", *_OFFICE, *_TEXT)


def open_document(path: Path) -> tuple[Source, bytes]:
    """The lines of a document, and its bytes.

    Raises:
        InputFaults: a form that is not read, a file that can't be read, or one that is refused.
    """
    form = path.suffix.lower()
    if form in _WITH_MACROS:
        raise refused("macros", path)
    if form not in FORMS:
        raise refused("old_form" if form in _OLD else "form", path, forms=" ".join(FORMS))
    data = read_bytes(path, LARGEST_TEXT if form in _TEXT else LARGEST)
    if form == ".pdf":
        source = pdf_source(path, data)
    elif form in _OFFICE:
        embedded = check_archive(path, data)
        source = _OFFICE[form](path, data)
        unread = tuple((f"embedded file {name}", name) for name in embedded)
        source = Source(source.lines, source.unread + unread)
    else:
        source = Source(tuple(_TEXT[form](_decoded(path, data))))
    if not source.lines and not source.unread:
        raise refused("empty", path)
    lines = (parted(_usual_letters(line)) for line in source.lines)
    return Source(tuple(line for line in lines if line.cells), source.unread), data


def _decoded(path: Path, data: bytes) -> str:
    """The text of a file in UTF-8, UTF-16 with its mark, or the usual one-byte code of offices."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return data.decode("utf-16", errors="replace")
    if b"\x00" in data:
        raise refused("not_text", path)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _usual_letters(line: Line) -> Line:
    return replace(line, cells=tuple(map(_usual, line.cells)))


def _usual(cell: Cell) -> Cell:
    """The cell with letters of formulas and full-width signs in their usual form, one for one."""
    return replace(cell, text="".join(map(_letter, cell.text)))


def _letter(char: str) -> str:
    if char.isascii() or char in "²³¹⁰⁴⁵⁶⁷⁸⁹½¼¾\u00a0\u2009\u202f":
        return char
    plain = unicodedata.normalize("NFKC", char)
    return plain if len(plain) == 1 else char
