"""A docket as a document and as JSON data, and the letter of one submittal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Document, Grid, Heading, Outcome, Paragraph
from linerdesign.documents.json import picked
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.identity import Identity
from linerdesign.project.models import ProjectInfo
from linerdesign.tasks.docket.comparing import CORRECTION, Change, State, Tracked, changes, tracked
from linerdesign.tasks.docket.reading import Revision, Submittal
from linerdesign.words import heads_of, of_area

_say = of_area("docket")


def docket_outcome(folder: str, submittals: Sequence[Submittal], date: str = "") -> Outcome:
    """The status table and the detail of each submittal; holds where nothing is to correct.

    `date`, as YYYY-MM-DD, marks what is overdue on it.
    """
    blocks: list[Block] = [Heading(_say("status")), _status(submittals, date)]
    for each in submittals:
        blocks += _detail(each)
    data = {"format": 1, "submittals": [_data(each, date) for each in submittals]}
    holds = all(not each.faults and not _count(tracked(each), CORRECTION) for each in submittals)
    return Outcome(_document(_say("title"), blocks, folder, submittals), data, holds)


def letter_outcome(submittals: Sequence[Submittal], name: str) -> Outcome:
    """The letter of one submittal, by its folder or number: its open comments only.

    Raises:
        InputFaults: no such submittal, or one that can't be read.
    """
    found = [s for s in submittals if name in (s.folder, s.latest.number if s.latest else "")]
    if len(found) != 1:
        known = ", ".join(each.folder for each in submittals[:20])
        raise InputFaults([fault("docket.no_such_submittal", "--letter", name, known=known)])
    (submittal,) = found
    latest = submittal.latest
    if latest is None or submittal.faults:
        why = "; ".join(submittal.faults)
        raise InputFaults([fault("docket.letter_not_read", "--letter", name, why=why)])
    asked = [each for each in tracked(submittal) if each.state in (State.OPEN, State.NEW)]
    number = latest.number or submittal.folder
    title = _say("letter_title", number=number, revision=latest.label)
    blocks: list[Block] = [Heading(_say("letter_open"))]
    if asked:
        blocks.append(Paragraph(_say("letter_intro", revision=latest.label)))
        blocks.append(Bullets(tuple(map(_asked, asked))))
    else:
        blocks.append(Paragraph(_say("letter_none")))
    document = _document(title, blocks, submittal.folder, [submittal])
    return Outcome(document, _data(submittal, ""), not _count(asked, CORRECTION))


def _asked(each: Tracked) -> str:
    pipe = f"{each.pipe}: " if each.pipe else ""
    since = f" ({_say('since', since=each.since)})" if each.since else ""
    answer = f" {_say('letter_answer', answer=each.answer)}" if each.answer else ""
    return f"{each.number}. {pipe}{each.text}{since}{answer}"


def _document(
    title: str, blocks: Sequence[Block], name: str, submittals: Sequence[Submittal]
) -> Document:
    latest = [each.latest for each in submittals if each.latest]
    units = latest[0].tables.get("project", {}).get("units", "US") if latest else "US"
    files = tuple(file for each in submittals for file in each.files)
    return Document(
        title, tuple(blocks), ProjectInfo.model_construct(title=name), units, Identity(files)
    )


def _count(comments: Sequence[Tracked], weight: str) -> int:
    """How many comments of a weight are not closed."""
    return sum(each.weight == weight and each.state != State.CLOSED for each in comments)


def _state_of(submittal: Submittal, date: str) -> str:
    if submittal.faults:
        return _say("unreadable")
    if not any(each.state in (State.OPEN, State.NEW) for each in tracked(submittal)):
        return _say("complete")
    late = date and submittal.due and submittal.due < date
    return _say("overdue") if late else _say("under_review")


def _status(submittals: Sequence[Submittal], date: str) -> Grid:
    rows = []
    for each in submittals:
        latest = each.latest
        comments = () if each.faults else tracked(each)
        named = (latest.number or each.folder, latest.contractor) if latest else (each.folder, "")
        of_revision = (latest.label, latest.received) if latest else ("", "")
        states = [comment.state for comment in comments]
        counts = (
            states.count(State.OPEN) + states.count(State.NEW),
            states.count(State.NEW),
            states.count(State.CLOSED),
        )
        rows.append((*named, *of_revision, each.due, *map(str, counts), _state_of(each, date)))
    return Grid(heads_of("docket.submittals"), "<<<<<>>><", tuple(rows))


def _detail(submittal: Submittal) -> list[Block]:
    latest = submittal.latest
    if submittal.faults or latest is None:
        return [Heading(submittal.folder), Bullets(submittal.faults)]
    named = {"number": latest.number or submittal.folder, "contractor": latest.contractor or "-"}
    blocks: list[Block] = [
        Heading(_say("detail", **named, revision=latest.label), tab=submittal.folder)
    ]
    if latest.disposition:
        blocks.append(Paragraph(_say("disposition", disposition=latest.disposition)))
    if len(submittal.revisions) > 1:
        blocks += _changed(*submittal.revisions[-2:])
    comments = tracked(submittal)
    if not comments:
        return [*blocks, Paragraph(_say("no_comments"))]
    rows = tuple(
        (f"{each.revision} {each.number}", _stated(each), each.pipe, each.text, each.answer)
        for each in comments
    )
    columns = heads_of("docket.comments")
    return [*blocks, Heading(_say("comments"), 2), Grid(columns, "<<<<<", rows)]


def _stated(each: Tracked) -> str:
    """The state of a comment with its weight: `open since A, correction`."""
    if each.state == State.NOTE:
        return str(each.state)
    since = _say("since", since=each.since) if each.since else str(each.state)
    return f"{since}, {each.weight}"


def _changed(before: Revision, after: Revision) -> list[Block]:
    found = changes(before, after)
    labels = {"before": before.label, "after": after.label}
    if not found:
        return [Paragraph(_say("no_changes", **labels))]
    rows = tuple((each.pipe, each.key, each.before, each.after) for each in found)
    columns = heads_of("docket.changes", before=before.label, after=after.label)
    return [Heading(_say("changes", **labels), 2), Grid(columns, "<<<<", rows)]


def _data(submittal: Submittal, date: str) -> dict[str, Any]:
    latest = submittal.latest
    comments = () if submittal.faults else tracked(submittal)
    found: tuple[Change, ...] = ()
    if len(submittal.revisions) > 1 and not submittal.faults:
        found = changes(*submittal.revisions[-2:])
    return {
        "folder": submittal.folder,
        "number": latest.number if latest else None,
        "contractor": latest.contractor if latest else None,
        "revision": latest.label if latest else None,
        "received": latest.received if latest else None,
        "due": submittal.due or None,
        "disposition": (latest.disposition or None) if latest else None,
        "status": _state_of(submittal, date),
        "revisions": [
            {"revision": each.label} | picked(each, "received", "file")
            for each in submittal.revisions
        ],
        "changes": [
            {"pipe": c.pipe or None, "key": c.key, "before": c.before or None,
             "after": c.after or None}
            for c in found
        ],
        "comments": [
            {"revision": c.revision, "number": c.number, "pipe": c.pipe or None,
             "weight": c.weight, "item": c.item or None, "text": c.text, "state": str(c.state),
             "since": c.since or None, "answer": c.answer or None}
            for c in comments
        ],
        "faults": list(submittal.faults),
    }  # fmt: skip
