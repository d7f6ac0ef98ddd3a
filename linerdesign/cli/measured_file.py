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
from linerdesign.project.recording import Record, check_record, check_target, write_record


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


def check_written(
    arguments: argparse.Namespace, table: str, name: str | None, record: Record | None
) -> None:
    """Looks for the pipe or resin that `--write` is for, and whether it can take the record.

    There is no record of a file or of options with faults.

    Raises:
        InputFaults: as `check_target` and `check_record`.
    """
    if arguments.write is None:
        return
    with every_fault() as faults:
        if record is None:
            faults.of(check_target, arguments.write, table, name)
        else:
            faults.of(check_record, arguments.write, record, arguments.force)
        if arguments.write.is_file() and (closed := unwritable(arguments.write)):
            faults.append(closed)


def write_into(arguments: argparse.Namespace, record: Record, whose: str) -> tuple[Block, ...]:
    """Writes the record into the project of `--write`, and says so; `whose` it is, in words.

    Raises:
        InputFaults: as `write_record`.
    """
    done = write_record(arguments.write, record, arguments.force)
    how = ", measured" if record.table == "pipe" else ""
    texts = [f"{key} = {text}{how}" for key, text in record.values.items()]
    for key, tables in record.within.items():
        texts += [f"{key}: " + ", ".join(f"{k} = {v}" for k, v in t.items()) for t in tables]
    texts.append(f"evidence: {record.evidence}")
    into = f"Written into {arguments.write.name}, {whose}"
    return (Heading(into, 2), Bullets((*texts, *done)))
