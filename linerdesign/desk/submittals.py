"""The numbers of a submitted document, put beside those of the project's pipes."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from linerdesign.desk.parts import Part, Parts, parts_of, rows_of, text_of, written
from linerdesign.desk.session import Desk, new_text
from linerdesign.project.faults import InputFaults, fault, listed, shown
from linerdesign.tasks.transcribe.opening import open_document
from linerdesign.tasks.transcribe.project_text import Document, project_text
from linerdesign.tasks.transcribe.reader import read_document
from linerdesign.words import sentence


def transcribed(desk: Desk, folder: Path, name: str, data: bytes) -> dict[str, Any]:
    """Takes what a document states sure into the pipes of its names, as one change.

    A project that nothing was typed into becomes that of the document. Returns the readings still
    to be confirmed and the texts that were not understood. `folder` holds the document while read.

    Raises:
        InputFaults: a document that can't be read, or of other pipes than the project has.
    """
    if not name or "\0" in name:
        raise InputFaults([fault("desk.name", shown(name))])
    path = folder / f"submittal{Path(name).suffix.lower()}"
    path.write_bytes(data)
    try:
        source, _ = open_document(path)
    except InputFaults as found:
        raise InputFaults(replace(each, place=shown(name)) for each in found.faults) from None
    transcript = read_document(source)
    document = Document(transcript, name, hashlib.sha256(data).hexdigest())
    text = project_text(document)
    if not desk.name and text_of(desk.parts) in (new_text("US"), new_text("SI")):
        desk.replace(text, name)
    else:
        desk.edit_parts(_with_stated(desk.parts, parts_of(text, name), name))
    unsure = [each for each in transcript.found if not each.sure]
    return {
        "name": name,
        "unsure": [
            {
                "pipe": each.pipe,
                "path": each.key.split(".", 2),
                "value": each.value,
                "text": each.text,
                "at": each.at,
                "why": "; ".join(map(sentence, each.doubts)),
            }
            for each in unsure[:500]
        ],
        "not_understood": [
            {"text": each.text, "at": each.at, "why": sentence(each.why)}
            for each in transcript.not_understood[:500]
        ],
    }


def _with_stated(parts: Parts, read: Parts, name: str) -> Parts:
    """The parts with the stated values of the pipes that have the same names."""
    theirs = [part for part in rows_of(read, "pipe") if "stated" in part.table]
    ours = rows_of(parts, "pipe")
    by_name = {_plain(part): part for part in ours}
    pairs = [(by_name[_plain(each)], each) for each in theirs if _plain(each) in by_name]
    if not pairs and len(theirs) == len(ours) == 1:
        pairs = [(ours[0], theirs[0])]
    if not pairs:
        names = listed(part.table.get("name") for part in theirs)
        raise InputFaults([fault("desk.no_pipe_of", shown(name), names=names or "-")])
    for own, each in pairs:
        part = own
        if "stated" in part.table:
            part = written(part, ("stated",), None)
        for path, value in _leaves(each.table["stated"], ("stated",)):
            part = written(part, path, value)
        parts = tuple(part if p.id == part.id else p for p in parts)
    return parts


def _plain(part: Part) -> str:
    return str(part.table.get("name", "")).casefold().strip()


def _leaves(table: dict[str, Any], way: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any]]:
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _leaves(value, (*way, key))
        else:
            yield (*way, key), value
