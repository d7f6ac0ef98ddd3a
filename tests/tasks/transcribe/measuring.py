"""How well a document was read: found right, sure and wrong, dropped."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from corpus import Case, Truth

from linerdesign.tasks.transcribe.found import Found, Transcript
from linerdesign.tasks.transcribe.opening import open_document
from linerdesign.tasks.transcribe.reader import read_document

# The power of a unit, ft3, is no number.
_DIGITS = re.compile(r"(?<!ft)(?<!mm)(?<!m)\d+(?:[.,]\d+)*")


@dataclass
class Measured:
    """What was measured on one document."""

    case: str
    missed: list[Truth]
    sure: int
    right: int
    wrong_and_sure: list[Found]
    wrong_and_unsure: list[Found]
    dropped: list[str]


def read(case: Case, folder: Path) -> Transcript:
    """The transcript of a case, its document made in the folder."""
    source, _ = open_document(case.build(folder))
    return read_document(source)


def measured(case: Case, transcript: Transcript) -> Measured:
    """Compares a transcript with the values that are known to be in the document."""
    left = list(transcript.found)
    missed, sure = [], 0
    for truth in case.truth:
        match = next((each for each in left if _same(each, truth, transcript)), None)
        if match is None:
            missed.append(truth)
        else:
            left.remove(match)
            sure += match.sure
    # A value printed twice is right both times.
    wrong = [
        each
        for each in left
        if each.key not in ("name", "stated.condition")
        and not any(_same(each, truth, transcript) for truth in case.truth)
    ]
    return Measured(
        case.name,
        missed,
        sure,
        len(case.truth) - len(missed),
        [each for each in wrong if each.sure],
        [each for each in wrong if not each.sure],
        _dropped(case, transcript),
    )


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
