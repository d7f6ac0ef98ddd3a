"""The open project of a desk: its text, what can be undone, its draft, and the file on disk.

Nothing typed is lost: the draft beside the file holds every change before the browser hears that
it was taken; a file that another program has changed is never overwritten unasked.
"""

from __future__ import annotations

import hashlib
import re
import secrets
import threading
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from linerdesign.desk.edits import MOST_ROWS, Edit, applied
from linerdesign.desk.parts import Parts, parts_of, rows_of, tables_of, text_of
from linerdesign.desk.results import Calculator, Results
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.placing import put
from linerdesign.project.reading import LARGEST_FILE, read_bytes
from linerdesign.project.toml_text import toml_text
from linerdesign.words import sentence

MOST_UNDONE = 300
UNTITLED = "untitled"
_DRAFT = ".draft.toml"
_MARK = re.compile(r"\A# linerdesign desk: draft of ([^\n]*), of SHA-256 ([0-9a-f]{64}|none)\n")
_NAME = re.compile(r"[^/\\\0\n\r:*?\"<>|]{1,200}\.toml")


@dataclass(frozen=True)
class Notice:
    """Something the user must know, with the actions that it offers, by their names."""

    code: str
    text: str
    actions: tuple[str, ...] = ()


@dataclass(frozen=True)
class _State:
    """What undo goes back to; `step` tells one stretch of typing in one field from the next."""

    parts: Parts
    step: str = ""


class Desk:
    """One open project. Every public method may be called from several threads."""

    def __init__(self, folder: Path, name: str = "", units: str = "US") -> None:
        self.lock = threading.RLock()
        self.session = secrets.token_hex(4)
        self.folder = folder
        self.revision = 0
        self._calculator = Calculator()
        self.open(name, units)

    # The file

    def open(self, name: str, units: str = "US") -> None:
        """Opens a file of the folder, or a new project where no name is given.

        Raises:
            InputFaults: a name outside the folder, a file that can't be read or edited.
        """
        with self.lock:
            text, base = self._read(name) if name else (new_text(units), "none")
            parts = self._parts(text, name or UNTITLED)
            if len(rows_of(parts, "pipe")) > MOST_ROWS:
                raise InputFaults([fault("desk.too_many_rows", name, most=MOST_ROWS)])
            self.name, self._base, self._saved = name, base, text
            self._on_disk, self._looked = base, 0.0
            self._undo: list[_State] = []
            self._redo: list[_State] = []
            self._state = _State(parts)
            self.notices: list[Notice] = []
            self._draft, self._drafted = self._draft_path(), ""
            self._restore()
            if table := tables_of(parts).get("pipes"):
                self._notice("pipe_table", ("dismiss",), name=shown(str(table)))
            self._moved()

    def _parts(self, text: str, name: str) -> Parts:
        return parts_of(text, name, f"{self.session}-{secrets.token_hex(2)}-")

    def path_of(self, name: str) -> Path:
        """The file of that name in the project's folder.

        Raises:
            InputFaults: a name that leads out of the folder, or is none of a project.
        """
        plain = _NAME.fullmatch(name) and not name.startswith(".") and name == name.strip()
        path = self.folder / name
        if not plain or path.resolve().parent != self.folder.resolve():
            raise InputFaults([fault("desk.name", shown(name))])
        return path

    def _read(self, name: str) -> tuple[str, str]:
        data = read_bytes(self.path_of(name), LARGEST_FILE, regular=True)
        return toml_text(data, name), hashlib.sha256(data).hexdigest()

    def files(self) -> list[str]:
        """The project files of the folder."""
        names = (path.name for path in self.folder.glob("*.toml"))
        found = (n for n in names if not n.endswith(_DRAFT) and _NAME.fullmatch(n))
        return sorted(found, key=str.casefold)[:500]

    def save(self, name: str = "", instead: bool = False) -> None:
        """Writes the project to its file, or under another name.

        `instead` keeps the version of another program under a name of its own, and then writes.

        Raises:
            InputFaults: no name, a file that is there already, one changed by another program.
        """
        with self.lock:
            target = name or self.name
            if not target:
                raise InputFaults([fault("desk.no_name", "")])
            path = self.path_of(target)
            data = text_of(self._state.parts).encode()
            if target != self.name and path.exists():
                raise InputFaults([fault("desk.exists", shown(target))])
            if target == self.name and self.look() and not instead:
                raise InputFaults([fault("desk.changed_on_disk", shown(target))])
            if instead and path.exists():
                put(self._free(f"{path.stem} (other version)", ".toml"), path.read_bytes())
            put(path, data, replace=target == self.name)
            self._drop_draft()
            self.name, self._saved = target, text_of(self._state.parts)
            self._base = self._on_disk = hashlib.sha256(data).hexdigest()
            self._draft = self._draft_path()
            self._keep_notices("changed_on_disk", "restored", "draft_elsewhere")
            self.revision += 1

    def take_theirs(self) -> None:
        """Opens the file as another program left it; what was here can be had back by undo.

        Raises:
            InputFaults: where it can't be read or edited.
        """
        with self.lock:
            text, base = self._read(self.name)
            self._change(self._parts(text, self.name), "")
            self._base = self._on_disk = base
            self._saved = text
            self._keep_notices("changed_on_disk")
            self._moved()

    def look(self) -> bool:
        """Whether another program has changed or removed the file since it was read or written.

        Where it has changed a file that the project names, the results follow.
        """
        with self.lock:
            if self._calculator.is_outdated(self.folder):
                self._moved()
            if not self.name:
                return False
            try:
                data = self.path_of(self.name).read_bytes()
                found = hashlib.sha256(data).hexdigest()
            except OSError:
                found = "none"
            if found != self._on_disk:
                self._on_disk = found
                self.revision += 1
            changed = found != self._base
            self._keep_notices("changed_on_disk")
            if changed:
                self._notice("changed_on_disk", ("keep_mine", "take_theirs"), name=self.name)
            return changed

    @property
    def unsaved(self) -> bool:
        """Whether the file lacks anything of this."""
        return text_of(self._state.parts) != self._saved

    # Changes

    @property
    def parts(self) -> Parts:
        """The project as it is now."""
        return self._state.parts

    def apply(self, edits: Sequence[Edit], step: str = "") -> None:
        """Makes the edits, all or none; those of one `step` are undone together.

        Raises:
            InputFaults: an edit that can't be made.
        """
        with self.lock:
            parts, left = applied(self._state.parts, edits)
            if left:
                self._keep_notices("paste_left")
                self._notice("paste_left", ("dismiss",), left="; ".join(left))
            self._change(parts, step)
            self._moved()

    def replace(self, text: str, name: str) -> None:
        """Puts another text in place of the whole project, as one change.

        Raises:
            InputFaults: a text that is no project.
        """
        self.edit_parts(self._parts(text, name))

    def edit_parts(self, parts: Parts) -> None:
        """Puts other parts in place of all, as one change."""
        with self.lock:
            self._change(parts, "")
            self._moved()

    def _change(self, parts: Parts, step: str) -> None:
        if not (step and step == self._state.step):
            self._undo = [*self._undo[-MOST_UNDONE + 1 :], self._state]
        self._redo = []
        self._state = _State(parts, step)

    def undo(self) -> None:
        """Goes back one step, if there is one."""
        self._travel(self._undo, self._redo)

    def redo(self) -> None:
        """Goes forward again one step, if there is one."""
        self._travel(self._redo, self._undo)

    def _travel(self, back: list[_State], forth: list[_State]) -> None:
        with self.lock:
            if back:
                forth.append(_State(self._state.parts))
                self._state = _State(back.pop().parts)
                self._moved()

    def can(self) -> dict[str, bool]:
        """What can be undone and done again."""
        return {"undo": bool(self._undo), "redo": bool(self._redo)}

    def _moved(self) -> None:
        """After every change: the draft first, then the results."""
        self._write_draft()
        self.results: Results = self._calculator.results(self._state.parts, self.folder)
        self.revision += 1

    # The draft

    def _draft_path(self) -> Path:
        stem = Path(self.name).stem if self.name else UNTITLED
        return self.folder / f"{stem}{_DRAFT}"

    def _write_draft(self) -> None:
        """Keeps what the file lacks in the draft, or removes a draft that nothing is left of."""
        text = text_of(self._state.parts)
        if text == self._saved:
            self._drop_draft()
            return
        head = f"# linerdesign desk: draft of {self.name or UNTITLED}, of SHA-256 {self._base}\n"
        data = (head + text).encode()
        if self._draft.exists() and self._draft_digest() != self._drafted:
            # Another desk writes there.
            self._draft, self._drafted = self._free(self._draft.name[: -len(_DRAFT)], _DRAFT), ""
            self._keep_notices("draft_elsewhere")
            self._notice("draft_elsewhere", ("dismiss",), name=self._draft.name)
        try:
            put(self._draft, data)
            self._drafted = hashlib.sha256(data).hexdigest()
            self._keep_notices("no_draft")
        except InputFaults as found:
            self._keep_notices("no_draft")
            self._notice("no_draft", (), why=str(found))

    def _draft_digest(self) -> str:
        with suppress(OSError):
            return hashlib.sha256(self._draft.read_bytes()).hexdigest()
        return ""

    def _drop_draft(self) -> None:
        if self._drafted and self._draft_digest() == self._drafted:
            with suppress(OSError):
                self._draft.unlink()
        self._drafted = ""

    def _restore(self) -> None:
        """Takes up the draft that an earlier desk left, as a change that can be undone."""
        if not self._draft.is_file():
            return
        try:
            data = read_bytes(self._draft, LARGEST_FILE, regular=True)
            text = toml_text(data, self._draft.name)
            mark = _MARK.match(text)
            if mark is None:
                return
            parts = self._parts(text[mark.end() :], self._draft.name)
        except InputFaults:
            return
        when = time.strftime("%Y-%m-%d %H:%M", time.localtime(self._draft.stat().st_mtime))
        self._drafted = hashlib.sha256(data).hexdigest()
        self._change(parts, "")
        self._notice("restored", ("undo", "dismiss"), name=self._draft.name, when=when)
        if self.name:
            self._base = mark[2]
            self.look()

    def _free(self, stem: str, suffix: str) -> Path:
        """A name in the folder that no file has."""
        names = (stem, *(f"{stem} {number}" for number in range(2, 1000)))
        return next(p for name in names if not (p := self.folder / f"{name}{suffix}").exists())

    # Notices

    def _notice(self, code: str, actions: tuple[str, ...], **numbers: Any) -> None:
        text = sentence(f"desk.notice_{code}", **numbers)
        self.notices.append(Notice(code, text, actions))

    def dismiss(self, code: str) -> None:
        """Takes a notice away."""
        with self.lock:
            self._keep_notices(code)
            self.revision += 1

    def _keep_notices(self, *gone: str) -> None:
        self.notices = [each for each in self.notices if each.code not in gone]


def new_text(units: str) -> str:
    """A project to begin with: a resin and a pipe by name, all else to be filled in."""
    return (
        f'[project]\ntitle = "{sentence("desk.new_title")}"\nunits = "{units}"\n\n[criteria]\n\n'
        f'[[resin]]\nname = "{sentence("desk.new_resin")}"\n\n'
        f'[[pipe]]\nname = "{sentence("desk.new_pipe")}"\n'
    )
