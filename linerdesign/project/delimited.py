"""Delimited text (CSV): how a file is written, its rows with their lines, its headings."""

from __future__ import annotations

import csv
import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import IO

from linerdesign.project.faults import InputFaults, fault
from linerdesign.words import sentence

Row = tuple[int, list[str]]
SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
# Encodings, by the bytes that a file begins with; without them UTF-8, else that of old exports.
_MARKS = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
PLAIN, OLD = "utf-8", "cp1252"
SAMPLE = 1 << 20
LARGEST_CELL = 1 << 20
# Read after the last line: it comes back as a row of its own unless a quote is still open.
_END = "\0end"
_HEADER = re.compile(r"^\s*([^\[\]]*?)\s*(?:\[\s*([^\[\]]*?)\s*\])?\s*$")


@dataclass(frozen=True)
class Dialect:
    """How a file is written: encoding by Python's name, and the separator between cells.

    `by_row` is set where only a reader of single rows reads the file rightly: line ends that are
    carriage returns, quotes that are inch marks, rows longer than the header.
    """

    encoding: str = PLAIN
    separator: str = ","
    by_row: bool = False

    def open(self, path: Path) -> IO[str]:
        """The file as text, its line ends unchanged."""
        return path.open(encoding=self.encoding, newline="")

    @property
    def remarks(self) -> tuple[str, ...]:
        """What a reader should know: all that is not UTF-8 with commas."""
        found = []
        if self.encoding not in (PLAIN, "utf-8-sig"):
            found.append(sentence(f"inventory.encoding_{self.encoding.replace('-', '_')}"))
        if self.separator != ",":
            found.append(sentence(f"inventory.separator_{SEPARATORS[self.separator]}"))
        return tuple(found)


def dialect_of(path: Path, known: Collection[str]) -> Dialect:
    """How a file is written, from its first bytes; `known` are names of columns it may have.

    Raises:
        InputFaults: where it can't be opened, or is no text.
    """
    try:
        with path.open("rb") as file:
            start = file.read(SAMPLE)
    except FileNotFoundError:
        raise InputFaults([fault("not_found", str(path))]) from None
    except OSError as error:
        why = (error.strerror or "unreadable").lower()
        raise InputFaults([fault("unreadable", str(path), why=why)]) from None
    encoding = next((name for mark, name in _MARKS.items() if start.startswith(mark)), PLAIN)
    if encoding == PLAIN:
        encoding = _encoding_without_mark(start)
    text = start.decode(encoding, errors="ignore")
    if "\0" in text:
        raise InputFaults([fault("not_csv", str(path), byte=start.index(b"\0"))])
    lines = re.split(r"\r\n|\r|\n", text)
    header = next((line for line in lines if line.strip()), "")
    by_row = "\r" in text and text.count("\r") != text.count("\r\n")
    return Dialect(encoding, _separator_of(header, known), by_row)


def _encoding_without_mark(start: bytes) -> str:
    try:
        start.decode(PLAIN)
    except UnicodeDecodeError as error:
        # The sample may end inside a character.
        return PLAIN if error.start > len(start) - 4 and len(start) == SAMPLE else OLD
    return PLAIN


def _separator_of(header: str, known: Collection[str]) -> str:
    """The separator that gives the most known names, then the most columns, then the comma."""

    def weight(separator: str) -> tuple[int, int]:
        cells = next(csv.reader([header], delimiter=separator), [])
        return sum(split_heading(cell)[0] in known for cell in cells), len(cells)

    csv.field_size_limit(LARGEST_CELL)
    try:
        return max(SEPARATORS, key=weight)
    except csv.Error:
        return ","


def rows_of(lines: Iterable[str], separator: str, where: str) -> Iterator[Row]:
    """Every row with the number of the line that it ends in; blank lines are empty rows.

    Raises:
        InputFaults: an unclosed quote, a cell over a million characters, a zero byte, bytes that
            are no text in the encoding of the file.
    """
    csv.field_size_limit(LARGEST_CELL)
    reader = csv.reader(chain(_checked(lines, where), [_END]), delimiter=separator)
    before = 0
    try:
        for row in reader:
            if row == [_END]:
                return
            if row and row[-1].endswith(_END):
                raise InputFaults([fault("unclosed_quote", f"{where}, line {before + 1}")])
            before = reader.line_num
            yield before, row
    except csv.Error:
        place = f"{where}, line {before + 1}"
        raise InputFaults([fault("cell_size", place, most=f"{LARGEST_CELL:,}")]) from None
    except UnicodeDecodeError as error:
        raise InputFaults([fault("not_csv", where, byte=error.start)]) from None


def _checked(lines: Iterable[str], where: str) -> Iterator[str]:
    for number, line in enumerate(lines, start=1):
        if "\0" in line:
            raise InputFaults([fault("zero_byte", f"{where}, line {number}")])
        yield line


def split_heading(title: str) -> tuple[str, str | None]:
    """Name and unit of a heading such as `radius [mm]`; the unit is None when there is none.

    >>> split_heading("radius [mm]"), split_heading("specimen")
    (('radius', 'mm'), ('specimen', None))
    """
    match = _HEADER.match(title)
    if match is None:
        return title.strip().lower(), None
    return " ".join(match[1].lower().split()), match[2] or None
