"""The verification record of an office: a file with a row for each equation, table and constant."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from linerdesign.findings import Finding, finding
from linerdesign.methods.basis import FULLY, Basis
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.ground.load_lines import METHODS
from linerdesign.methods.ground.published import FILES, published
from linerdesign.methods.method import constants, lines_of
from linerdesign.methods.result import Step
from linerdesign.methods.task import PipeTask
from linerdesign.methods.verification import Verifiable, Verified, verifiable
from linerdesign.project.faults import Fault, Place, fault, located, shown, unknown_keys
from linerdesign.project.identity import FileRead
from linerdesign.words import sentence

ABOUT = ("identity", "kind", "meaning", "form", "source", "provenance", "fingerprint")
BLANKS = ("edition", "clause", "by", "date")
KEYS = (*ABOUT, *BLANKS)
LARGEST_RECORD = 2_000_000


@dataclass(frozen=True)
class Record:
    """The rows that an office filled in, by identity, and those whose form has changed since."""

    rows: dict[str, Verified]
    void: tuple[str, ...]
    file: FileRead

    def findings_of(self, task: PipeTask) -> Iterator[Finding]:
        """A caution for each row that is void and that the task uses."""
        used = {each.identity for each in used_by([task])} if self.void else set()
        for identity in self.void:
            if identity in used:
                yield finding("verification.void", identity=identity)


def everything() -> tuple[Verifiable, ...]:
    """All equations, tables and constants of the package."""
    fixed = []
    tables = [each for file in FILES for each in published(file).values()]
    for system in ("US", "SI"):
        for load in METHODS:
            basis = Basis(system=system, condition=FULLY, live_load=load)
            fixed += [(each, system) for each in constants(basis)]
    return tuple(verifiable(catalogue(), tables, fixed))


def used_by(tasks: Iterable[PipeTask], beside: Iterable[Step] = ()) -> tuple[Verifiable, ...]:
    """The equations, tables and constants that tasks use, and the equations of steps beside them.

    The largest of all checks and the next of a resin's sizes are made for a task, and not listed.
    """
    listed = set(catalogue())
    equations, tables, fixed = [], [], []
    every = {each.name: each for file in FILES for each in published(file).values()}
    for task in tasks:
        basis = task.basis
        equations += [line.equation for line in lines_of(basis) if line.equation in listed]
        fixed += [(each, basis.system) for each in constants(basis)]
        named = (each.origin.table for station in task.stations for each in station.inputs)
        tables += [every[name] for name in named if name]
    lines = (step.line.equation for step in beside if step.line)
    equations += [each for each in lines if each in listed]
    return tuple(verifiable(equations, tables, fixed))


def template(rows: Iterable[Verifiable]) -> str:
    """A record to fill in, as TOML."""
    import tomlkit

    document = tomlkit.document()
    for line in sentence("verification.head").splitlines():
        document.add(tomlkit.comment(line))
    tables = tomlkit.aot()
    for each in rows:
        table = tomlkit.table()
        for key in ABOUT:
            table.add(key, getattr(each, key))
        for key in BLANKS:
            table.add(key, "")
        tables.append(table)
    document.add("row", tables)
    return tomlkit.dumps(document)


def read_record(path: Path) -> Record:
    """The record in a TOML file.

    Raises:
        InputFaults: every fault of the file.
    """
    from linerdesign.project.reading import read_bytes
    from linerdesign.project.toml_text import read_tables, toml_text

    data = read_bytes(path, LARGEST_RECORD)
    text = toml_text(data, path.name)
    digest = hashlib.sha256(data).hexdigest()
    return read_tables(
        text, path.name, lambda raw, text: _record(path.name, digest, raw, text), "[[row]]"
    )


def _record(name: str, digest: str, raw: dict[str, Any], text: str) -> Record:
    """The record in the tables of a file; see `read_record`."""
    known = {each.identity: each for each in everything()}
    faults = list(unknown_keys(raw, ("row",), Place(name), "table"))
    rows: dict[str, Verified] = {}
    void: list[str] = []
    for number, row in enumerate(_rows(raw, name, faults), start=1):
        place = Place(name, "[[row]]", number=number, path=("row", number - 1))
        faults.extend(unknown_keys(row, KEYS, place))
        identity, filled = row.get("identity"), [str(row.get(key, "")).strip() for key in BLANKS]
        missing = [key for key, text in zip(BLANKS, filled, strict=True) if not text]
        if any(filled) and missing:
            faults.append(fault("verification.incomplete", place, keys=", ".join(missing)))
        if not isinstance(identity, str) or identity not in known:
            faults.append(fault("verification.unknown_row", place.at("identity"), shown(identity)))
        elif missing:
            continue
        elif row.get("fingerprint") != known[identity].fingerprint:
            void.append(identity)
        else:
            rows[identity] = Verified(*filled)
    if faults:
        raise located(faults, text, name)
    return Record(rows, tuple(void), FileRead("verification", name, digest))


def _rows(raw: dict[str, Any], name: str, faults: list[Fault]) -> Iterator[dict[str, Any]]:
    rows = raw.get("row")
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        faults.append(fault("verification.no_rows", Place(name)))
        return
    yield from rows
