"""Files that a project names: beside it or in a folder under it, and nowhere else."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from linerdesign.project.faults import Fault, InputFaults, Place, fault, shown

Read = TypeVar("Read")


def beside(named: str, folder: Path | None) -> Path | None:
    """The path of a file that a project in a folder names; None where it may not be read."""
    path = Path(named)
    if folder is None or "\0" in named or path.is_absolute() or ".." in path.parts:
        return None
    return folder / path


def read_beside(
    read: Callable[[Path], Read],
    named: str,
    place: Place,
    folder: Path | None,
    faults: list[Fault],
) -> Read | None:
    """What `read` makes of a file that a project names, or what is left where faults are added."""
    path = beside(named, folder)
    if path is None:
        faults.append(fault("outside_folder", place, shown(named)))
        return None
    try:
        return read(path)
    except InputFaults as found:
        absent = any(each.code == "faults.not_found" for each in found.faults)
        faults.extend([fault("no_such_file", place, shown(named))] if absent else found.faults)
        left: Read | None = found.left()
        return left
