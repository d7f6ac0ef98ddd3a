"""Writes measured values into a project file and keeps the rest of it, comments included."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from linerdesign.project.contradictions import place_of
from linerdesign.project.faults import Fault, InputFaults, Place, fault, listed, located, shown
from linerdesign.project.layers import tables_in
from linerdesign.project.placing import in_place_of
from linerdesign.project.reading import LARGEST_FILE, parse, read_bytes
from linerdesign.project.toml_text import toml_tables, toml_text
from linerdesign.words import sentence

MEASURED = "measured"


@dataclass(frozen=True)
class Record:
    """Values to write into one `[[pipe]]` or `[[resin]]` of a project file.

    Without a name it is the first of them.
    `values` are texts by key, `evidence` the evidence for them. `removed` are keys that exclude
    them. `unless_at_stations` are keys that must not be given at stations, where they would
    override the pipe's own. `within` are lists of tables inside it, each a mapping of texts by key;
    an earlier table at the same place keeps its other keys, as a bend does. `kind` is how evidence
    of this kind begins, where a resin's earlier one of the kind gives way to it.
    """

    table: str
    name: str | None
    values: Mapping[str, str]
    evidence: str
    removed: tuple[str, ...] = ()
    unless_at_stations: tuple[str, ...] = ()
    kind: str = ""
    within: Mapping[str, tuple[Mapping[str, str], ...]] = field(default_factory=dict)


def check_target(path: Path, table: str, name: str | None) -> None:
    """Looks for the pipe or resin of a record before it is known; the first without a name.

    Raises:
        InputFaults: no such pipe or resin, or a file that is no project.
    """
    _table(read_bytes(path, LARGEST_FILE), path.name, table, name)


@dataclass(frozen=True)
class Prepared:
    """A project file with a record in it, not written yet: its bytes as read and as they become.

    `said` is in words what is done beside it: what is replaced, what the project still lacks.
    """

    path: Path
    record: Record
    read: bytes
    written: bytes
    said: tuple[str, ...]

    def write(self) -> None:
        """Puts the file in place, whole or not at all.

        Raises:
            InputFaults: a file that was changed since it was read, or can't be written.
        """
        with in_place_of(self.path, replace=True, read=self.read) as file:
            file.write(self.written)


def prepared(path: Path, record: Record, force: bool) -> Prepared:
    """The project file with the record in it.

    Raises:
        InputFaults: no such pipe or resin, a value that would be replaced without `force`, or a
            project with faults that it did not have before.
    """
    data = read_bytes(path, LARGEST_FILE)
    written, replaced = recorded(data, path.name, record, force)
    # A project that waits for its measured values has faults; the record may not add to them.
    before, after = (_faults(text, path) for text in (data, written))
    if new := [each for each in after if each not in before]:
        raise InputFaults(new)
    said = (
        *(sentence("project.replaced", key=key) for key in replaced),
        *(sentence("project.remaining", fault=each) for each in after),
    )
    return Prepared(path, record, data, written, said)


def _faults(data: bytes, path: Path) -> tuple[Fault, ...]:
    try:
        parse(data, path.name, needs_pipes=False, folder=path.parent)
    except InputFaults as found:
        return found.faults
    return ()


def recorded(
    data: bytes, file_name: str, record: Record, force: bool
) -> tuple[bytes, tuple[str, ...]]:
    """The bytes with the record in them, and what was replaced: keys, and earlier evidence.

    Raises:
        InputFaults: as `prepared`.
    """
    import tomlkit

    document, table, at = _table(data, file_name, record.table, record.name)
    place = replace(place_of(record.table, str(table.get("name"))), path=(record.table, at))
    replaced = tuple(
        key
        for key in (*record.values, *record.removed)
        if key in table and table[key] != record.values.get(key)
    )
    replaced += tuple(key for key in record.within if _replaces(table.get(key), record.within[key]))
    faults = [] if force else [_refused("has_value", table, key, place) for key in replaced]
    if faults := [*faults, *_in_the_way(table, record, place)]:
        raise located(faults, toml_text(data, file_name))
    _put(table, record)
    earlier = _note(table, record)
    return _as_before(tomlkit.dumps(document), data), replaced + earlier


def _as_before(text: str, data: bytes) -> bytes:
    """The text with the line ends and the byte order mark that the file had."""
    if data.count(b"\r\n") == data.count(b"\n"):
        text = re.sub(r"(?<!\r)\n", "\r\n", text)
    return (codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b"") + text.encode()


def _put(table: Any, record: Record) -> None:
    """Puts the values and the tables of the record into its table."""
    import tomlkit

    for key in record.removed:
        table.pop(key, None)
    for key, text in record.values.items():
        table[key] = text
    for key, tables in record.within.items():
        earlier = table.get(key)
        table[key] = tomlkit.aot()
        for each in _joined(earlier, tables):
            table[key].append(tomlkit.item(each))


def _replaces(earlier: Any, tables: Sequence[Mapping[str, str]]) -> bool:
    """Whether earlier tables have a value that the record writes, beside their place."""
    keys = {key for each in tables for key in each} - {"at"}
    found = _plain(earlier) if _is_list(earlier) else ()
    return any(not keys.isdisjoint(each) for each in found)


def _joined(earlier: Any, tables: Sequence[Mapping[str, str]]) -> Iterator[dict[str, Any]]:
    """The tables of the record, each with the other keys of the earlier one at its place."""
    keys = {key for each in tables for key in each}
    before = {each.get("at"): each for each in (_plain(earlier) if _is_list(earlier) else ())}
    for each in tables:
        others = before.pop(each.get("at"), {})
        yield dict(each) | {key: value for key, value in others.items() if key not in keys}
    # Tables of other places that hold more than the record could have written.
    yield from (each for each in before.values() if not each.keys() <= keys)


def _refused(code: str, table: Any, key: str, place: Place) -> Fault:
    return fault(code, place.at(key), shown(_plain(table[key])), example=f'{key} = "..."')


def _in_the_way(table: Any, record: Record, place: Place) -> Iterator[Fault]:
    """What no `force` overrides: values at stations, and keys of another kind."""
    stations = [] if "station" in record.within else table.get("station")
    for number, station in enumerate(stations if _is_list(stations) else []):
        for key in record.unless_at_stations:
            if key in station:
                yield fault("stations_key", place.inside("station", number).at(key))
    kind = dict if record.table == "pipe" else str
    for key in ("origin", "evidence"):
        if key in table and not isinstance(table[key], kind):
            yield _refused(_KINDS[kind], table, key, place)


_KINDS = {dict: "not_braces", str: "no_words"}


def _is_list(value: Any) -> bool:
    return isinstance(value, list)


def _table(data: bytes, file_name: str, kind: str, name: str | None) -> tuple[Any, Any, int]:
    """The document in some bytes, one of its pipes or resins, and its position."""
    import tomlkit

    text = toml_text(data, file_name)
    toml_tables(text, file_name)
    document = tomlkit.parse(text)
    every = document.get(kind)
    tables = tables_in(every)
    found = [(at, each) for at, each in tables if name is None or each.get("name") == name]
    if name is None:
        found = found[:1]
    if len(found) != 1:
        if not tables:
            raise InputFaults([fault("missing_table", "", table=f"[[{kind}]]")])
        names = listed(each.get("name") for _, each in tables)
        raise InputFaults(
            [fault("no_such", f"--{kind}", shown(name or ""), what=kind, known=names)]
        )
    return document, found[0][1], found[0][0]


def _note(table: Any, record: Record) -> tuple[str, ...]:
    """Origin and evidence of the values: by key for a pipe, one text for a resin.

    Returns in words what of the evidence gave way.
    """
    import tomlkit

    if record.table == "pipe":
        for name, text in (("origin", MEASURED), ("evidence", record.evidence)):
            if name not in table:
                table[name] = tomlkit.inline_table()
            for key in record.removed:
                table[name].pop(key, None)
            for key in (*record.values, *record.within):
                table[name][key] = text
        return ()
    before = [each for each in table.get("evidence", "").split("; ") if each]
    kept = [each for each in before if not _older(each, record)]
    table["evidence"] = "; ".join((*kept, record.evidence))
    gone = [each for each in before if each not in (*kept, record.evidence)]
    return (sentence("project.earlier_evidence", kind=record.kind),) if gone else ()


def _older(evidence: str, record: Record) -> bool:
    """Whether a record of the same kind wrote it: it names the file by its fingerprint."""
    if evidence == record.evidence:
        return True
    return bool(record.kind) and bool(
        re.match(rf"{re.escape(record.kind)} .+ \(SHA-256 [0-9a-f]{{16}}\), ", evidence)
    )


def _plain(value: Any) -> Any:
    return value.unwrap() if hasattr(value, "unwrap") else value
