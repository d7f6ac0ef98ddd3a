"""A transcript as a document and as JSON data."""

from __future__ import annotations

from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Document, Grid, Heading, Outcome, Paragraph
from linerdesign.documents.json import FORMAT, picked
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.models import ProjectInfo
from linerdesign.tasks.transcribe.found import Found, Transcript
from linerdesign.tasks.transcribe.project_text import Document as Transcribed
from linerdesign.tasks.transcribe.project_text import questions
from linerdesign.words import heads_of, of_area, sentence

_say = of_area("transcribe")


def outcome_of(document: Transcribed) -> Outcome:
    """What the command gives: the tables, the JSON data; it holds where anything was found."""
    asked = questions(document)
    made = Document(
        title=_say("title"),
        blocks=tuple(_blocks(document.transcript, asked)),
        info=ProjectInfo.model_construct(title=document.name),
        units=document.units,
        identity=Identity((FileRead("submittal", document.name, document.digest),)),
    )
    data = transcript_data(document.transcript, asked)
    return Outcome(made, data, bool(document.transcript.found))


def transcript_data(transcript: Transcript, asked: tuple[str, ...]) -> dict[str, Any]:
    """The transcript as JSON data. `found` and `not_understood` are relied upon by programs."""
    return {
        "format": FORMAT,
        "pipes": list(transcript.pipes),
        "found": [
            {
                "pipe": each.pipe or None,
                **picked(each, "key", "value", "text", "at", "sure"),
                "doubts": [sentence(code) for code in each.doubts],
            }
            for each in transcript.found
        ],
        "not_understood": [
            picked(each, "text", "at") | {"reason": sentence(each.why)}
            for each in transcript.not_understood
        ],
        "questions": list(asked),
    }


def _blocks(transcript: Transcript, asked: tuple[str, ...]) -> list[Block]:
    found = transcript.found
    sure = sum(each.sure for each in found)
    counts = {"found": len(found), "sure": sure, "unsure": len(found) - sure}
    blocks: list[Block] = [
        Heading(_say("caption_found")),
        Paragraph(_say("summary", **counts, missed=len(transcript.not_understood))),
    ]
    if found:
        columns = heads_of("transcribe.values")
        blocks.append(Grid(columns, "<<<<<", tuple(map(_row, found))))
    else:
        blocks.append(Paragraph(_say("nothing_found")))
    if transcript.not_understood:
        rows = tuple((e.text, e.at, sentence(e.why)) for e in transcript.not_understood)
        blocks += [
            Heading(_say("caption_missed")),
            Grid(heads_of("transcribe.unread"), "<<<", rows),
        ]
    if asked:
        blocks += [Heading(_say("caption_questions")), Bullets(asked)]
    return blocks


def _row(each: Found) -> tuple[str, ...]:
    why = "; ".join(sentence(code) for code in each.doubts)
    status = _say("confirm", why=why) if each.doubts else _say("sure")
    return (each.pipe, each.key, each.value, each.at, status)
