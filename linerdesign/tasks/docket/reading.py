"""Reads a docket: a folder with one folder a submittal, in it a project file a revision.

A revision is a TOML file with `[submittal]` and `[[pipe]]` tables. `docket.toml` beside them holds
what is of no revision: the date due, and the contractor's answers by comment number.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from linerdesign.project.faults import (
    Fault,
    Faults,
    InputFaults,
    Place,
    fault,
    located,
    shown,
    unknown_keys,
)
from linerdesign.project.identity import FileRead
from linerdesign.project.reading import LARGEST_FILE, read_bytes
from linerdesign.project.toml_text import toml_tables, toml_text
from linerdesign.words import sentence

NOTES = "docket.toml"
NOTE_KEYS = ("due", "answer")
ANSWER_KEYS = ("revision", "comment", "text", "date")
MOST_SUBMITTALS = 1000
Raw = dict[str, Any]
# What a review of one project file finds, as JSON data.
Reviewing = Callable[[Path], Raw]


@dataclass(frozen=True)
class Answer:
    """The contractor's answer to a comment of one revision."""

    revision: str
    comment: int
    text: str
    date: str = ""


@dataclass(frozen=True)
class Revision:
    """One revision: what `[submittal]` says of it, its tables, and the comments on it."""

    label: str
    file: str
    number: str
    contractor: str
    received: str
    disposition: str
    tables: Raw
    review: Raw


@dataclass(frozen=True)
class Submittal:
    """One submittal with its revisions, the oldest first; `faults` are why it can't be read."""

    folder: str
    revisions: tuple[Revision, ...]
    due: str = ""
    answers: tuple[Answer, ...] = ()
    faults: tuple[str, ...] = ()
    files: tuple[FileRead, ...] = ()

    @property
    def latest(self) -> Revision | None:
        """The revision received last."""
        return self.revisions[-1] if self.revisions else None


def read_docket(folder: Path, reviewing: Reviewing) -> tuple[Submittal, ...]:
    """The submittals of a folder, by the names of their folders.

    Raises:
        InputFaults: where there is no such folder, or no submittal in it.
    """
    try:
        inner = sorted(each for each in folder.iterdir() if each.is_dir())
    except OSError as error:
        reason = (error.strerror or "not readable").lower()
        raise InputFaults([fault("docket.no_folder", str(folder), reason=reason)]) from None
    found = [each for each in inner if any(each.glob("*.toml"))]
    if not found:
        raise InputFaults([fault("docket.empty", str(folder))])
    if len(found) > MOST_SUBMITTALS:
        raise InputFaults([fault("docket.too_many", str(folder), most=MOST_SUBMITTALS)])
    return tuple(_submittal(each, reviewing) for each in found)


def _submittal(folder: Path, reviewing: Reviewing) -> Submittal:
    revisions: list[Revision] = []
    faults = Faults()
    files: list[FileRead] = []
    unread = False
    notes: Notes | None = None
    for path in sorted(folder.glob("*.toml")):
        of_file = Faults()
        read = of_file.of(_read, path, folder)
        if read is not None:
            files.append(read.file)
            if path.name == NOTES:
                notes = of_file.of(_notes, read)
            elif "pipe" in read.tables and (found := of_file.of(_revision, path, read, reviewing)):
                revisions.append(found)
        faults.extend(of_file)
        unread |= bool(of_file) and path.name != NOTES
    texts = [str(each) for each in faults]
    revisions.sort(key=lambda each: (len(each.label), each.label))
    labels = [each.label for each in revisions]
    for label in dict.fromkeys(each for each in labels if labels.count(each) > 1):
        texts.append(sentence("docket.same_revision", revision=label))
    if not revisions and not texts:
        texts.append(sentence("docket.no_revision"))
    found_answers = notes.answers if notes else ()
    if not unread:
        texts += map(str, _stray(found_answers, revisions))
    answers = tuple(answer for _, answer in found_answers)
    due = notes.due if notes else ""
    return Submittal(folder.name, tuple(revisions), due, answers, tuple(texts), tuple(files))


@dataclass(frozen=True)
class _File:
    """A file of a submittal: its tables, its text, and its bytes by their fingerprint."""

    tables: Raw
    text: str
    file: FileRead


@dataclass(frozen=True)
class Notes:
    """What `docket.toml` says: the date due, and the answers with their places."""

    due: str
    answers: tuple[tuple[Place, Answer], ...]


def _read(path: Path, folder: Path) -> _File:
    data = read_bytes(path, LARGEST_FILE)
    role = "docket" if path.name == NOTES else "project"
    digest = hashlib.sha256(data).hexdigest()
    text = toml_text(data, path.name)
    tables = toml_tables(text, path.name) if text.strip() else {}
    return _File(tables, text, FileRead(role, f"{folder.name}/{path.name}", digest))


def _revision(path: Path, read: _File, reviewing: Reviewing) -> Revision:
    """The revision in a project file.

    Raises:
        InputFaults: every fault of the file.
    """
    submittal = read.tables.get("submittal")
    given = submittal if isinstance(submittal, dict) else {}
    label = str(given.get("revision", "")).strip()
    faults = Faults()
    if not label:
        place = Place(path=("submittal",))
        faults.extend(located([fault("docket.no_submittal_table", place)], read.text).faults)
    review = faults.of(reviewing, path)
    if faults or review is None:
        raise InputFaults(_of(path.name, each) for each in faults)
    known = ("number", "contractor", "received", "disposition")
    texts = {key: str(given.get(key, "")) for key in known}
    return Revision(label, path.name, **texts, tables=read.tables, review=review)


def _of(name: str, each: Fault) -> Fault:
    """A fault with the name of its file, which the places of a project file do not have."""
    place = each.place or Place()
    if isinstance(place, Place) and not place.file:
        return replace(each, place=replace(place, file=name))
    return each


def _notes(read: _File) -> Notes:
    """What `docket.toml` says.

    Raises:
        InputFaults: every fault of the file.
    """
    notes = read.tables
    faults = list(unknown_keys(notes, NOTE_KEYS, Place(NOTES)))
    due = notes.get("due", "")
    if due and not is_date(str(due)):
        faults.append(fault("docket.bad_date", Place(NOTES, path=("due",), key="due"), shown(due)))
    listed = notes.get("answer", [])
    found = []
    for position, raw in enumerate(listed if isinstance(listed, list) else [listed]):
        place = Place(NOTES, "[[answer]]", number=position + 1, path=("answer", position))
        answer = _answer(raw)
        if answer is None:
            faults.append(fault("docket.bad_answer", place))
        else:
            found.append((place, answer))
        if isinstance(raw, dict):
            faults.extend(unknown_keys(raw, ANSWER_KEYS, place))
    answers = tuple(found)
    made = Notes(str(due), answers)
    if faults:
        raise InputFaults(located(faults, read.text, NOTES).faults, lambda: made)
    return made


def is_date(text: str) -> bool:
    """Whether a text is a date as YYYY-MM-DD."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _stray(
    answers: Iterable[tuple[Place, Answer]], revisions: Iterable[Revision]
) -> Iterator[Fault]:
    """Answers to comments that there are not."""
    numbers = {each.label: set(_numbers(each.review)) for each in revisions}
    for place, answer in answers:
        if answer.comment not in numbers.get(answer.revision, ()):
            number, revision = shown(answer.comment), answer.revision or "?"
            yield fault("docket.no_comment", place, number=number, revision=revision)


def _answer(raw: object) -> Answer | None:
    if not isinstance(raw, dict):
        return None
    comment, text = raw.get("comment"), raw.get("text")
    if not isinstance(comment, int) or isinstance(comment, bool) or "revision" not in raw:
        return None
    if not isinstance(text, str) or not text.strip():
        return None
    return Answer(str(raw["revision"]), comment, text.strip(), str(raw.get("date", "")))


def _numbers(review: Raw) -> Iterator[int]:
    for _, comment in comments_of(review):
        yield comment["number"]


def comments_of(review: Raw) -> Iterator[tuple[str, Raw]]:
    """The comments of a review with the pipe of each, general ones under no pipe."""
    for comment in review.get("general_comments", ()):
        yield "", comment
    for pipe in review["pipes"]:
        for comment in pipe["comments"]:
            yield pipe["name"], comment
