"""What a result rests on: the files read, and one short text that identifies all of it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from linerdesign.project.reading import Project


@dataclass(frozen=True)
class FileRead:
    """A file that a result rests on: project, criteria, verification or readings."""

    role: str
    name: str
    sha256: str


@dataclass(frozen=True)
class Identity:
    """The files that a result rests on, and its fingerprint, empty where it rests on none."""

    files: tuple[FileRead, ...] = ()
    fingerprint: str = ""


def identity(
    project: Project, options: Mapping[str, Any], readings: Sequence[FileRead] = ()
) -> Identity:
    """The identity of a result of a project.

    The fingerprint differs where any table of a file, any of the `options`, any file of readings
    or the version of the program differs. The order of keys, comments, the folder and the texts
    of the title block do not count.
    """
    from linerdesign import __version__

    content = [__version__, project.content, options, [each.sha256 for each in readings]]
    text = json.dumps(content, sort_keys=True, default=repr, separators=(",", ":"))
    digest = hashlib.sha256(text.encode()).hexdigest()
    short = "-".join(digest[i : i + 4] for i in range(0, 16, 4))
    return Identity((*project.files, *readings), short)
