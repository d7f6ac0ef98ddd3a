"""Confirming values one by one, and the labels learnt from what was confirmed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import TextIO

from linerdesign.project.faults import Place, fault, located, shown, unknown_keys
from linerdesign.project.reading import read_bytes
from linerdesign.project.toml_text import read_tables, toml_text
from linerdesign.tasks.transcribe.found import Found, Transcript
from linerdesign.tasks.transcribe.keys import unit_of
from linerdesign.tasks.transcribe.learnt import bare_label
from linerdesign.tasks.transcribe.numbers import numbers
from linerdesign.words import sentence

LARGEST_LABELS = 1_000_000
# Doubts about the label, which a confirmation settles for the next document.
_OF_LABEL = frozenset(
    f"transcribe.{code}" for code in ("symbol_only", "symbol_differs", "word", "wording")
)


def confirmed(
    transcript: Transcript, read: Callable[[str], str], out: TextIO
) -> tuple[Transcript, dict[str, str]]:
    """The transcript after a person has looked at each value in doubt, and the labels learnt.

    `read` asks for one answer; what the value is read from is shown on `out` before it.
    """
    print(sentence("transcribe.ask_help"), file=out)
    answered: list[Found] = []
    labels: dict[str, str] = {}
    stopped = False
    for each in transcript.found:
        answer = each if each.sure or stopped else _asked(each, read, out)
        stopped = stopped or answer is None
        made = each if answer is None else answer
        if made.sure and not each.sure and set(each.doubts) <= _OF_LABEL and each.label:
            labels[bare_label(each.label)] = each.key
        answered.append(made)
    return replace(transcript, found=tuple(answered)), labels


def _asked(each: Found, read: Callable[[str], str], out: TextIO) -> Found | None:
    """The value as confirmed, corrected or left in doubt; None to ask nothing more."""
    why = "; ".join(sentence(code) for code in each.doubts)
    print(f"\n{each.at}: {each.text}\n  ({why})", file=out)
    while True:
        value = sentence("transcribe.ask_value", key=each.key, value=each.value)
        given = read(f"  {each.pipe + ': ' if each.pipe else ''}{value} ? ").strip()
        if given.lower() == "q":
            return None
        if given.lower() in ("n", "no"):
            return each
        text = each.value if given.lower() in ("", "y", "yes") else given
        if _acceptable(each.key, text):
            return replace(each, value=text, doubts=())
        print(f"  {sentence('transcribe.no_unit')}", file=out)


def _acceptable(key: str, text: str) -> bool:
    """Whether a value has the unit that its key needs."""
    read = list(numbers(text))
    return not read or (bool(read[0].unit) == bool(unit_of(key)) and len(read) == 1)


def read_labels(path: Path) -> dict[str, str]:
    """The keys by label of a file of labels; none where the file is not there yet.

    Raises:
        InputFaults: where it is no such file.
    """
    if not path.exists():
        return {}
    text = toml_text(read_bytes(path, LARGEST_LABELS), path.name)
    return read_tables(text, path.name, lambda raw, text: _labels(path.name, raw, text), "[labels]")


def _labels(name: str, raw: Mapping[str, object], text: str) -> dict[str, str]:
    """The keys by label in the tables of a file; see `read_labels`."""
    faults = list(unknown_keys(raw, ("labels",), Place(name), "table"))
    labels = raw.get("labels")
    if not isinstance(labels, dict):
        faults.append(fault("transcribe.no_labels", Place(name, path=("labels",))))
        labels = {}
    place = Place(name, "[labels]", path=("labels",))
    faults += (
        fault("transcribe.bad_label", place.at(label), shown(key))
        for label, key in labels.items()
        if not isinstance(key, str) or unit_of(key) == "?"
    )
    if faults:
        raise located(faults, text, name)
    return {bare_label(label): key for label, key in labels.items()}


def with_labels(labels: Mapping[str, str]) -> str:
    """The text of a file of labels."""
    import tomlkit

    table = tomlkit.table()
    for label in sorted(labels):
        table[label] = labels[label]
    document = tomlkit.document()
    document["labels"] = table
    return tomlkit.dumps(document)
