"""The project file of a transcript: each number with its place, what is not sure as a comment."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from linerdesign.project.faults import Fault, InputFaults, Place
from linerdesign.project.reading import parse
from linerdesign.project.starter import CONDITIONS
from linerdesign.tasks.transcribe.found import Found, Transcript
from linerdesign.tasks.transcribe.keys import (
    CONDITION,
    ONE_OF,
    STATED,
    STEPS,
    keys_of,
    refusal,
    same_value,
    step_of,
    unit_of,
)
from linerdesign.words import sentence


@dataclass(frozen=True)
class Document:
    """A transcript with the name and the SHA-256 of the file it is from."""

    transcript: Transcript
    name: str
    digest: str

    @property
    def units(self) -> str:
        """The unit system of most of the values."""
        si = sum(
            any(u in f.value for u in (" mm", " m", "kN", "Pa")) for f in self.transcript.found
        )
        return "SI" if 2 * si > len([f for f in self.transcript.found if " " in f.value]) else "US"


def project_text(document: Document, condition: str | None = None) -> str:
    """The text of the project file; `condition` is the owner's, left open if None."""
    lines = [
        f"# {_clean(_say('head', name=document.name, digest=document.digest))}",
        f"# {_say('check')}",
        "",
        "[project]",
        f"title = {_quoted(f'Review of {document.name}')}",
        f'units = "{document.units}"',
        "",
        f"# {_say('submittal')}",
        "# [submittal]",
        *(f'# {key} = ""' for key in ("number", "contractor", "received", "revision")),
        *_criteria(document.transcript),
        *_resins(document.transcript),
    ]
    for name in document.transcript.pipes or ("",):
        lines += _pipe(document.transcript, name, condition)
    lines += _unassigned(document.transcript)
    missed = document.transcript.not_understood
    if missed:
        lines += ["", f"# {_say('not_understood')}"]
        lines += [f"# {_clean(each.text)}  ({each.at}): {sentence(each.why)}" for each in missed]
    return "\n".join(lines) + "\n"


def questions(document: Document) -> tuple[str, ...]:
    """What a review needs and the document does not give beyond doubt."""
    undecided = [f for f in _faults(document, None) if f.key == "condition"]
    decided = [fault for each in CONDITIONS for fault in _faults(document, each)]
    asked = [
        f"{each.text} ({each.at}): {sentence(each.why)}"
        for each in document.transcript.not_understood
        if each.why == "transcribe.no_datum"
    ]
    return (*dict.fromkeys(map(str, (*undecided, *decided))), *asked)


def _faults(document: Document, condition: str | None) -> tuple[Fault, ...]:
    """The faults of the project file, without the lines that they are in for one condition."""
    try:
        parse(project_text(document, condition).encode())
    except InputFaults as found:
        return tuple(
            replace(each, place=replace(each.place, line=0))
            if isinstance(each.place, Place)
            else each
            for each in found.faults
        )
    return ()


def _say(code: str, **numbers: object) -> str:
    return sentence(f"transcribe.file_{code}", **numbers)


def _criteria(transcript: Transcript) -> Iterator[str]:
    own = [f for f in transcript.found if f.key in keys_of("criteria")]
    lines = list(_entries(own, "criteria"))
    if lines:
        yield from ("", "[criteria]", *lines)
    shared = [f for f in _shared(transcript) if f.key in keys_of("defaults")]
    lines = list(_entries(shared, "defaults"))
    if lines:
        yield from ("", "[criteria.defaults]", *lines)


def _shared(transcript: Transcript) -> list[Found]:
    """Values for no particular pipe of a document that names some."""
    return [f for f in transcript.found if transcript.pipes and not f.pipe and not _of_liner(f.key)]


def _of_liner(key: str) -> bool:
    return key in keys_of("criteria") or key in keys_of("resin")


def _resin_keys(transcript: Transcript) -> list[Found]:
    return [f for f in transcript.found if f.key in keys_of("resin") and f.key not in _ambiguous()]


def _ambiguous() -> frozenset[str]:
    """Keys of resin and criteria both; the document's value is taken as the owner's."""
    return keys_of("criteria") & keys_of("resin") | {"name"}


def _resin_of(transcript: Transcript) -> dict[str, tuple[tuple[str, str], ...]]:
    """The properties that each pipe states for its own liner."""
    return {
        name: tuple(sorted({(f.key, f.value) for f in _resin_keys(transcript) if f.pipe == name}))
        for name in transcript.pipes
    }


def _resin_names(transcript: Transcript) -> dict[str, str]:
    """The name of each pipe's resin: one for all, unless their properties differ."""
    own = _resin_of(transcript)
    kinds = list(dict.fromkeys(each for each in own.values() if each))
    if len(kinds) < 2:
        return dict.fromkeys(own, "As submitted")
    return {
        name: f"As submitted {kinds.index(each) + 1}" if each else "As submitted 1"
        for name, each in own.items()
    }


def _resins(transcript: Transcript) -> Iterator[str]:
    names = _resin_names(transcript)
    for resin in dict.fromkeys(names.values()) or ("As submitted",):
        pipes = [""] + [name for name in names if names[name] == resin]
        own = [f for f in _resin_keys(transcript) if f.pipe in pipes]
        yield from ("", "[[resin]]", f"name = {_quoted(resin)}", *_entries(own, "resin"))


def _pipe(transcript: Transcript, name: str, condition: str | None) -> Iterator[str]:
    found = [f for f in transcript.found if f.pipe == name and not _of_liner(f.key)]
    named = next((f for f in transcript.found if f.pipe == name and f.key == "name"), None)
    about = f"# {named.at}" if named else f"# {_say('name_missing')}"
    yield from ("", "[[pipe]]", f"name = {_quoted(name or 'Pipe 1')}  {about}")
    resin = _resin_names(transcript).get(name, "As submitted")
    if resin != "As submitted":
        yield f"resin = {_quoted(resin)}"
    taken = next((f for f in found if f.key == CONDITION), None)
    if condition:
        yield f"condition = {_quoted(condition)}"
    else:
        said = f"; {_say('condition_stated', value=taken.value)} ({taken.at})" if taken else ""
        yield f"# {_say('condition')}{said}"
        yield from (f"# condition = {_quoted(each)}" for each in CONDITIONS)
    yield from _entries([f for f in found if not f.key.startswith(STATED)], "pipe")
    theirs = _inputs_as_lines(transcript, name)
    stated = [f for f in found if f.key.startswith(STATED)]
    yield from _stated(stated, theirs)
    # The edition is no quantity of a line; the criteria above are the owner's once changed.
    editions = [f for f in transcript.found if f.key == "edition" and f.sure]
    if editions and (stated or theirs):
        yield from ("", "[pipe.stated.inputs]", *_entries(editions, "inputs"))


def _inputs_as_lines(transcript: Transcript, pipe: str) -> list[Found]:
    """The inputs that the document states for a pipe, as lines of its calculation.

    The keys above them are for the reviewer to change; these stay what was submitted.
    """
    found: dict[str, Found] = {}
    for each in transcript.found:
        step = step_of(each.key)
        kept = found.get(step)
        # The first, and that of the pipe before one of no particular pipe.
        better = kept is None or (each.pipe and not kept.pipe)
        if each.sure and step and each.pipe in (pipe, "") and better:
            found[step] = replace(each, key=step)
    return list(found.values())


def _stated(found: Sequence[Found], inputs: Sequence[Found]) -> Iterator[str]:
    lines = [*inputs, *(f for f in found if f.key.startswith(STEPS))]
    steps = list(_entries(lines, "stated"))
    other = list(_entries([f for f in found if not f.key.startswith(STEPS)], "stated"))
    live = any(not line.startswith("#") for line in (*other, *steps))
    if other or steps:
        yield from ("", _heading("[pipe.stated]", live), *other)
    if steps:
        live = any(not line.startswith("#") for line in steps)
        yield from ("", _heading("[pipe.stated.steps]", live), *steps)


def _heading(table: str, live: bool) -> str:
    """The heading of a table, a comment where all in it are comments."""
    return table if live else f"# {table}"


def _unassigned(transcript: Transcript) -> Iterator[str]:
    found = [f for f in _shared(transcript) if f.key not in keys_of("defaults")]
    if found:
        yield from ("", f"# {_say('unassigned')}:")
        yield from (f"# {f.key} = {f.value}  ({f.at})" for f in found)


def _entries(found: Sequence[Found], table: str) -> Iterator[str]:
    """A line for each value, live where it is sure, agreed and accepted by the file."""
    given: set[str] = set()
    for key in dict.fromkeys(f.key for f in found if f.key != "name"):
        own = [f for f in found if f.key == key]
        sure = [f for f in own if f.sure]
        first = sure[0] if sure else None
        agreed = first and all(same_value(key, first.value, f.value) for f in sure)
        other = next((g for g in ONE_OF if key in g and given & set(g)), None)
        if first is None or not agreed or other:
            why = _say("other_datum") if other else _say("other_value") if sure else ""
            yield from (_to_confirm(f, why) for f in own)
            continue
        line, fault = _live(first, table)
        if fault:
            yield _to_confirm(first, f"{_say('not_accepted')}: {fault}")
            continue
        given.add(key)
        places = dict.fromkeys(f.at for f in own if same_value(key, first.value, f.value))
        # A step has its own place beside its value.
        shown = [at for at in places if at != first.at or not key.startswith(STEPS)]
        yield f"{line}  # {'; '.join(shown)}" if shown else line
        yield from (_to_confirm(f) for f in own if not same_value(key, first.value, f.value))


def _live(found: Found, table: str) -> tuple[str, str]:
    """The line of a key, and why the file does not accept it."""
    name = found.key.removeprefix(STEPS).removeprefix(STATED)
    if found.key.startswith(STEPS):
        return f"{_key(name)} = {_step(found)}", refusal(table, found.key, found.value)
    bare = unit_of(found.key) == ""
    value: str | float = float(found.value) if bare else found.value
    line = f"{name} = {found.value if bare else _quoted(found.value)}"
    return line, refusal(table, found.key, value)


def _step(found: Found) -> str:
    return f"{{ value = {_quoted(found.value)}, at = {_quoted(found.at)} }}"


def _to_confirm(found: Found, why: str = "") -> str:
    """A value as a comment, ready to be taken in, with what is in doubt and its place."""
    name = found.key.removeprefix(STEPS).removeprefix(STATED)
    bare = unit_of(found.key) == "" and not found.key.startswith(STEPS)
    step = found.key.startswith(STEPS)
    value = found.value if bare else _step(found) if step else _quoted(found.value)
    reasons = [why] if why else [sentence(code) for code in found.doubts]
    about = "; ".join(filter(None, reasons))
    text = _clean(found.text)
    key = _key(name)
    return f"# {key} = {value}  # {_say('confirm')}: {_clean(about)} ({found.at}: {text})"


def _clean(text: str) -> str:
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def _key(name: str) -> str:
    """A key as TOML has it: bare where it may be."""
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else _quoted(name)


def _quoted(text: str) -> str:
    import tomlkit

    return tomlkit.string(_clean(text)).as_string()
