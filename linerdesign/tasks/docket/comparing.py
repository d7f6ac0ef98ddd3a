"""One revision against the one before: values that changed, comments closed, open and new."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from linerdesign.tasks.docket.reading import Raw, Revision, Submittal, comments_of

REMARK, CORRECTION = "remark", "correction"


class State(StrEnum):
    """What has become of a comment; a note asks for nothing."""

    OPEN = "open"
    CLOSED = "closed"
    NEW = "new"
    NOTE = "note"


@dataclass(frozen=True)
class Change:
    """A value that differs between two revisions; empty where one of them has none."""

    pipe: str
    key: str
    before: str
    after: str


@dataclass(frozen=True)
class Tracked:
    """A comment with its revision and number, what has become of it, and the answer to it.

    An open comment that an earlier revision had already has `since`, that revision.
    """

    revision: str
    number: int
    pipe: str
    weight: str
    item: str
    text: str
    state: State
    since: str
    answer: str


Identity = tuple[str, str, str, int]


def tracked(submittal: Submittal) -> tuple[Tracked, ...]:
    """The comments on the latest revision, then those of earlier ones that it has closed.

    Two comments are the same where pipe and item are and both ask for something; notes need no
    closing, and only those of the latest revision are here.
    """
    answers = {(a.revision, a.comment): a.text for a in submittal.answers}
    first: dict[Identity, str] = {}
    last: dict[Identity, tuple[Revision, str, Raw]] = {}
    for revision in submittal.revisions:
        for identity, pipe, comment in _identified(revision):
            first.setdefault(identity, revision.label)
            last[identity] = (revision, pipe, comment)
    found = []
    for identity, (revision, pipe, comment) in last.items():
        current = revision is submittal.latest
        if not current and comment["weight"] == REMARK:
            continue
        since = first[identity]
        new = since == revision.label and len(submittal.revisions) > 1
        state = _state(comment, current, new)
        answer = _answer(answers, submittal, identity)
        found.append(
            Tracked(
                revision.label,
                comment["number"],
                pipe,
                comment["weight"],
                comment.get("item") or "",
                comment["text"],
                state,
                since if state == State.OPEN and since != revision.label else "",
                answer,
            )
        )
    return tuple(sorted(found, key=lambda each: (each.state == State.CLOSED, each.number)))


def _state(comment: Raw, current: bool, new: bool) -> State:
    if comment["weight"] == REMARK:
        return State.NOTE
    if not current:
        return State.CLOSED
    return State.NEW if new else State.OPEN


def _identified(revision: Revision) -> Iterator[tuple[Identity, str, Raw]]:
    """The comments of a revision, each with what makes it the same in another one."""
    seen: Counter[tuple[str, str, str]] = Counter()
    for pipe, comment in comments_of(revision.review):
        own = (pipe, str(comment["weight"] == REMARK), comment.get("item") or "")
        seen[own] += 1
        yield (*own, seen[own]), pipe, comment


def _answer(answers: dict[tuple[str, int], str], submittal: Submittal, identity: Identity) -> str:
    """The answer to a comment on the latest revision that has it and that was answered."""
    for revision in reversed(submittal.revisions):
        for other, _, comment in _identified(revision):
            if other == identity and (revision.label, comment["number"]) in answers:
                return answers[revision.label, comment["number"]]
    return ""


def changes(before: Revision, after: Revision) -> tuple[Change, ...]:
    """The values that differ between two revisions, pipe by pipe."""
    one, other = dict(_values(before.tables)), dict(_values(after.tables))
    keys = dict.fromkeys((*one, *other))
    return tuple(
        Change(pipe, key, one.get((pipe, key), ""), other.get((pipe, key), ""))
        for pipe, key in keys
        if one.get((pipe, key), "") != other.get((pipe, key), "")
    )


def _values(tables: Raw) -> Iterator[tuple[tuple[str, str], str]]:
    """Every value of a project file by pipe and dotted key; of a step, without its place."""
    for table, content in tables.items():
        if table in ("submittal", "project"):
            continue
        for index, each in enumerate(content if isinstance(content, list) else [content]):
            named = each.get("name", index + 1) if isinstance(each, dict) else ""
            pipe = str(named) if table == "pipe" else ""
            head = "" if pipe else f"{table} {named}" if isinstance(content, list) else table
            for key, value in _flat(each, head):
                yield (pipe, key), value


def _flat(value: Any, key: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict) and set(value) == {"value", "at"}:
        yield key, str(value["value"])
    elif isinstance(value, dict):
        for name, inner in value.items():
            yield from _flat(inner, f"{key}.{name}" if key else name)
    elif isinstance(value, list) and any(isinstance(each, dict) for each in value):
        for index, inner in enumerate(value, 1):
            yield from _flat(inner, f"{key} {index}")
    else:
        yield key, ", ".join(map(str, value)) if isinstance(value, list) else str(value)
