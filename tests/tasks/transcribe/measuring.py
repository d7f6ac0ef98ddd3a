"""How well a document was read: missed, wrong, dropped; and what its places print."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import docx
import openpyxl
import pdfplumber
from corpus import Case, Truth

from linerdesign.tasks.transcribe.found import Found, Transcript

# The power of a unit, ft3, is no number.
_DIGITS = re.compile(r"(?<!ft)(?<!mm)(?<!m)\d+(?:[.,]\d+)*")


@dataclass
class Measured:
    """What was measured on one document."""

    missed: list[Truth]
    wrong: list[Found]
    dropped: list[str]


def measured(case: Case, transcript: Transcript) -> Measured:
    """Compares a transcript with the values that are known to be in the document."""
    left = list(transcript.found)
    missed = []
    for truth in case.truth:
        match = next((each for each in left if _same(each, truth, transcript)), None)
        if match is None:
            missed.append(truth)
        else:
            left.remove(match)
    # A value printed twice is right both times.
    wrong = [
        each
        for each in left
        if each.key not in ("name", "stated.condition")
        and not any(_same(each, truth, transcript) for truth in case.truth)
    ]
    return Measured(missed, wrong, _dropped(case, transcript))


def _same(found: Found, truth: Truth, transcript: Transcript) -> bool:
    number, _, unit = found.value.partition(" ")
    wanted, _, wanted_unit = truth.value.partition(" ")
    try:
        same = float(number) == float(wanted) and unit == wanted_unit
    except ValueError:
        same = found.value == truth.value
    one = len(transcript.pipes) == 1
    pipe = truth.pipe is None or one or found.pipe == truth.pipe or _of_liner(truth.key)
    return same and found.key == truth.key and pipe


def _of_liner(key: str) -> bool:
    return not key.startswith(("stated", "host", "ovality", "cover", "ground", "soil", "live"))


def _dropped(case: Case, transcript: Transcript) -> list[str]:
    """Numbers of the document that are nowhere in the transcript, or less often."""
    said = " \n".join(
        [f"{each.text} {each.value} {each.pipe}" for each in transcript.found]
        + [each.text for each in transcript.not_understood]
    )
    known = {_plain(number) for number in _DIGITS.findall(said)}
    numbers = [number for text in case.texts for number in _DIGITS.findall(text)]
    return [number for number in numbers if _plain(number) not in known]


def _plain(number: str) -> str:
    """A number without commas and without zeros at its end, as a workbook may store it."""
    bare = number.replace(",", "")
    return bare.rstrip("0").rstrip(".") if "." in bare else bare


def printed(path: Path) -> dict[str, str]:
    """What a reader finds at each place of a document."""
    return dict(_PRINTED.get(path.suffix, _lines_of_text)(path))


def _lines_of_text(path: Path) -> Iterator[tuple[str, str]]:
    # LibreOffice writes CSV files in the code of offices.
    code = "cp1252" if path.parent.name == "from_xlsx" else "utf-8"
    for number, line in enumerate(path.read_text(code).splitlines(), 1):
        yield f"line {number}", line


def _cells(path: Path) -> Iterator[tuple[str, str]]:
    for sheet in openpyxl.load_workbook(path, data_only=True):
        for row in sheet.iter_rows():
            for cell in row:
                percent = isinstance(cell.value, float) and "%" in cell.number_format
                shown = f"{100 * cell.value:g} %" if percent else str(cell.value)
                yield f"{sheet.title}!{cell.coordinate}", shown


def _paragraphs(path: Path) -> Iterator[tuple[str, str]]:
    texts: list[str] = []
    for block in docx.Document(str(path)).iter_inner_content():
        rows = getattr(block, "rows", None)
        texts += [block.text] if rows is None else [" ".join(c.text for c in r.cells) for r in rows]
    for number, text in enumerate(texts, 1):
        yield f"line {number}", text


def _lines_of_pages(path: Path) -> Iterator[tuple[str, str]]:
    with pdfplumber.open(path) as pdf:
        for number, page in enumerate(pdf.pages, 1):
            for line, text in enumerate(page.extract_text().splitlines(), 1):
                yield f"page {number}, line {line}", text


_PRINTED = {".xlsx": _cells, ".docx": _paragraphs, ".pdf": _lines_of_pages}
