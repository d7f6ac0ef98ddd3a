"""Writes an outcome to files, each form by its suffix, whole or not at all."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from hashlib import file_digest
from importlib import import_module
from os.path import realpath
from pathlib import Path
from typing import Any, Protocol

from linerdesign.documents import json
from linerdesign.documents.blocks import Sheet, Writable
from linerdesign.documents.capped import is_capped, made_apart
from linerdesign.methods.method import method_of
from linerdesign.project.faults import Fault, InputFaults, every_fault, fault, shown
from linerdesign.project.identity import FileRead
from linerdesign.project.placing import put, unwritable

# Forms that follow changed inputs.
FOLLOWING = (".xlsx", ".html")
FORMS = (".txt", ".json", ".pdf", ".xlsx", ".html")
PAPERS = ("us-letter", "a4")
# Modules whose `render(document)` gives the bytes of a form; imported only when needed.
_RENDERERS = {
    ".txt": "linerdesign.documents.text",
    ".pdf": "linerdesign.documents.pdf",
    ".xlsx": "linerdesign.documents.workbook",
    ".html": "linerdesign.documents.page",
}


def check_targets(
    paths: Sequence[Path], force: bool, own: Sequence[str] = (), others: Sequence[Path] = ()
) -> None:
    """Looks at every target before anything is computed; `own` are forms that a command adds.

    `others` are files that it may write into as well.

    Raises:
        InputFaults: an unknown suffix, a file that is there already, a folder that is not, a file
            given twice, by its name or by a link.
    """
    forms = tuple(dict.fromkeys((*own, *FORMS)))
    every = [*others, *paths]
    led = [realpath(path) for path in every]
    with every_fault() as faults:
        for path in paths:
            faults.of(check_target, path, force, forms)
        for place in range(len(others), len(every)):
            if led[place] in led[:place]:
                faults.append(fault("given_twice", str(every[place])))


def check_target(path: Path, force: bool, forms: Sequence[str]) -> None:
    """Looks at a target before anything is computed; `forms` are those that it may have.

    Raises:
        InputFaults: an unknown suffix, a file that is there already, a folder that is not.
    """
    if found := _refused(path, force, forms):
        raise InputFaults([found])


def _refused(path: Path, force: bool, forms: Sequence[str]) -> Fault | None:
    """Why a target can't be written, as far as can be told beforehand."""
    if path.suffix.lower() not in forms:
        return fault("suffix", str(path), known=", ".join(forms))
    try:
        if path.is_dir():
            return fault("is_folder", str(path))
        if path.exists() and not force:
            return fault("exists", str(path))
        if not path.parent.is_dir():
            return fault("no_folder", "", folder=str(path.parent))
        return unwritable(path)
    except OSError as error:  # a name that the system can't have
        return fault("unwritable", shown(str(path)), why=(error.strerror or "").lower())


class Told(Protocol):
    """What is told how far the writing is."""

    def stage(self, text: str) -> None:
        """Another file is begun."""

    def part(self, done: int, total: int) -> None:
        """So many of its parts are done."""


def write(
    outcome: Writable, paths: Sequence[Path], paper: str | None = None, told: Told | None = None
) -> None:
    """Makes every form first, then puts each file in place in one move.

    `paper` is that of a PDF; without it the paper goes by the unit system.

    Raises:
        InputFaults: where a target is a file that the outcome rests on, and as `render`.
    """
    spare_inputs(outcome.document.identity.files, paths)
    own, made = own_forms(outcome), []
    for path in paths:
        form = path.suffix.lower()
        if told:
            told.stage(f"making {path.name}")
        data = own[form]() if form in own else render(outcome, form, paper, told)
        made.append((path, data))
    for path, data in made:
        put(path, data)


def spare_inputs(files: Iterable[FileRead], paths: Sequence[Path]) -> None:
    """Refuses to overwrite a file that was read, by its name or by a link, whatever options say.

    Raises:
        InputFaults: where a target is one of the files.
    """
    read = {(Path(each.name).name, each.sha256) for each in files}
    there = [(path, Path(realpath(path))) for path in paths if path.is_file()]
    found = [path for path, file in there if (file.name, _fingerprint(file)) in read]
    if found:
        raise InputFaults([fault("is_read", str(path)) for path in found])


def _fingerprint(path: Path) -> str:
    """SHA-256 of a file of any size."""
    with path.open("rb") as file:
        return file_digest(file, "sha256").hexdigest()


def own_forms(outcome: Writable) -> Mapping[str, Callable[[], bytes]]:
    """The forms that an outcome makes by itself, by suffix: the table of a planning table."""
    found: Mapping[str, Callable[[], bytes]] = getattr(outcome, "forms", {})
    return found


def render(
    outcome: Writable, suffix: str, paper: str | None = None, told: Told | None = None
) -> bytes:
    """The bytes of one form.

    Raises:
        InputFaults: where a form follows changed inputs and a method of the document cannot.
        MemoryError: where memory is capped and does not suffice.
    """
    if suffix == ".json":
        return json.text(outcome.data).encode()
    asked: dict[str, Any] = {"paper": paper} if suffix == ".pdf" else {}
    if suffix == ".pdf" and told:
        asked["part_done"] = told.part
    document = outcome.document
    if suffix in FOLLOWING and not all(
        method_of(each.result.basis).follows for each in document.blocks if isinstance(each, Sheet)
    ):
        raise InputFaults([fault("second.static", suffix)])

    def made() -> bytes:
        data: bytes = import_module(_RENDERERS[suffix]).render(document, **asked)
        return data

    return made_apart(made) if suffix != ".txt" and is_capped() else made()
