"""Files that a project names: beside it or in a folder under it, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from linerdesign.project.faults import Fault, InputFaults, Place, fault, shown

Read = TypeVar("Read")
WHOLE_FILE = ("faults.suffix", "faults.not_a_file", "faults.unreadable", "faults.too_large")


def beside(named: str, folder: Path | None) -> Path | None:
    """The path of a file that a project in a folder names; None where it may not be read."""
    path = Path(named)
    if folder is None or "\0" in named or path.is_absolute() or ".." in path.parts:
        return None
    return folder / path


def _at(place: Place, named: str, each: Fault) -> Fault:
    """A fault of a file as a whole at the key that names it; any other as it is."""
    if each.code == "faults.not_found":
        return fault("no_such_file", place, shown(named))
    if each.code in WHOLE_FILE:
        return fault("unusable_file", place, shown(named), why=each.text)
    return each


def read_beside(
    read: Callable[[Path], Read],
    named: str,
    place: Place,
    folder: Path | None,
    faults: list[Fault],
) -> Read | None:
    """What `read` makes of a file that a project names, or what is left where faults are added."""
    path = beside(named, folder)
    if not named.strip():
        faults.append(fault("no_text", place, shown(named)))
        return None
    if path is None:
        faults.append(fault("outside_folder", place, shown(named)))
        return None
    try:
        return read(path)
    except InputFaults as found:
        faults.extend(_at(place, named, each) for each in found.faults)
        left: Read | None = found.left()
        return left
