"""A file of measurements that a command reads: documents about it, and writing into a project."""

from __future__ import annotations

import argparse
import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from linerdesign.cli.choices import add_units
from linerdesign.documents.blocks import Block, Bullets, Document, Heading
from linerdesign.project.faults import every_fault
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.measured_table import MAXIMUM_BYTES
from linerdesign.project.models import ProjectInfo
from linerdesign.project.placing import unwritable
from linerdesign.project.reading import read_bytes
from linerdesign.project.recording import Prepared, Record, check_target, prepared


@dataclass(frozen=True)
class MeasuredFile:
    """A file of measurements; `fingerprint` is the SHA-256 of its bytes."""

    path: Path
    fingerprint: str

    @property
    def source(self) -> str:
        """What evidence names it by."""
        return f"{self.path.name} (SHA-256 {self.fingerprint[:16]})"

    def document(self, title: str, units: str, blocks: Iterable[Block]) -> Document:
        """A document about it, in one of the two unit systems."""
        return Document(
            title=title,
            blocks=tuple(blocks),
            info=ProjectInfo.model_construct(title=self.path.stem),
            units=units,
            identity=Identity((FileRead("readings", self.path.name, self.fingerprint),)),
        )


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The unit system, and the project to write into."""
    add_units(parser, help="units, in place of the file's own")
    parser.add_argument("--write", metavar="PROJECT", type=Path, help="write into a project file")


def measured_file(path: Path) -> MeasuredFile:
    """The file with its fingerprint.

    Raises:
        InputFaults: a file that can't be read, or is too large.
    """
    return MeasuredFile(path, hashlib.sha256(read_bytes(path, MAXIMUM_BYTES)).hexdigest())


def to_write(
    arguments: argparse.Namespace, table: str, name: str | None, record: Record | None
) -> Prepared | None:
    """The project of `--write` with the record in it; none without the option.

    There is no record of a file or of options with faults: then the pipe or resin is looked for.

    Raises:
        InputFaults: as `check_target` and `prepared`.
    """
    if arguments.write is None:
        return None
    made = None
    with every_fault() as faults:
        if record is None:
            faults.of(check_target, arguments.write, table, name)
        else:
            made = faults.of(prepared, arguments.write, record, arguments.force)
        if arguments.write.is_file() and (closed := unwritable(arguments.write)):
            faults.append(closed)
    return made


def write_into(made: Prepared, whose: str) -> tuple[Block, ...]:
    """Writes the project with the record in it, and says so; `whose` it is, in words.

    Raises:
        InputFaults: as `Prepared.write`.
    """
    made.write()
    record = made.record
    how = ", measured" if record.table == "pipe" else ""
    texts = [f"{key} = {text}{how}" for key, text in record.values.items()]
    for key, tables in record.within.items():
        texts += [f"{key}: " + ", ".join(f"{k} = {v}" for k, v in t.items()) for t in tables]
    texts.append(f"evidence: {record.evidence}")
    into = f"Written into {made.path.name}, {whose}"
    return (Heading(into, 2), Bullets((*texts, *made.said)))
