"""Reads a docket: a folder with one folder a submittal, in it a project file a revision.

A revision is a TOML file with `[submittal]` and `[[pipe]]` tables. `docket.toml` beside them holds
what is of no revision: the date due, and the contractor's answers by comment number.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.identity import FileRead
from linerdesign.project.reading import LARGEST_FILE, read_bytes
from linerdesign.words import sentence

NOTES = "docket.toml"
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
    faults: list[str] = []
    files: list[FileRead] = []
    notes: Raw = {}
    for path in sorted(folder.glob("*.toml")):
        try:
            data = read_bytes(path, LARGEST_FILE)
            role = "docket" if path.name == NOTES else "project"
            name = f"{folder.name}/{path.name}"
            files.append(FileRead(role, name, hashlib.sha256(data).hexdigest()))
            tables = _tables(path, data)
            if path.name == NOTES:
                notes = tables
            elif "pipe" in tables:
                revisions.append(_revision(path, tables, reviewing))
        except InputFaults as found:
            faults += [str(each) for each in found.faults]
    revisions.sort(key=lambda each: (len(each.label), each.label))
    labels = [each.label for each in revisions]
    for label in dict.fromkeys(each for each in labels if labels.count(each) > 1):
        faults.append(sentence("docket.same_revision", revision=label))
    if not revisions and not faults:
        faults.append(sentence("docket.no_revision"))
    answers, more = _answers(notes, revisions)
    return Submittal(
        folder.name,
        tuple(revisions),
        str(notes.get("due", "")),
        answers,
        (*faults, *more),
        tuple(files),
    )


def _tables(path: Path, data: bytes) -> Raw:
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError, RecursionError) as error:
        raise InputFaults([fault("docket.not_toml", str(path), why=error)]) from None


def _revision(path: Path, tables: Raw, reviewing: Reviewing) -> Revision:
    submittal = tables.get("submittal")
    if not isinstance(submittal, dict) or not str(submittal.get("revision", "")).strip():
        raise InputFaults([fault("docket.no_submittal_table", str(path))])
    known = ("number", "contractor", "received", "disposition")
    texts = {key: str(submittal.get(key, "")) for key in known}
    label = str(submittal["revision"]).strip()
    return Revision(label, path.name, **texts, tables=tables, review=reviewing(path))


def _answers(notes: Raw, revisions: list[Revision]) -> tuple[tuple[Answer, ...], tuple[str, ...]]:
    """The answers, and what is wrong with them."""
    unknown = [key for key in notes if key not in ("due", "answer")]
    faults = [sentence("docket.unknown_key", key=key, file=NOTES) for key in unknown]
    found: list[Answer] = []
    numbers = {each.label: set(_numbers(each.review)) for each in revisions}
    listed = notes.get("answer", [])
    for position, raw in enumerate(listed if isinstance(listed, list) else [listed], 1):
        answer = _answer(raw)
        if answer is None:
            faults.append(sentence("docket.bad_answer", position=position))
        elif answer.comment not in numbers.get(answer.revision, ()):
            faults.append(
                sentence(
                    "docket.no_comment", number=answer.comment, revision=answer.revision or "?"
                )
            )
        else:
            found.append(answer)
    return tuple(found), tuple(faults)


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
