"""Puts files in place whole, all of a run or none of them; what ends a run leaves no part of one.

A file is written without a name, which a system removes by itself however the run ends. Where a
file system has no such files, it is written beside its target.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass, field
from pathlib import Path
from shutil import copyfileobj
from typing import IO
from uuid import uuid4

from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.project.stopping import undisturbed
from linerdesign.words import sentence


@dataclass(frozen=True)
class _Move:
    """A written file that waits for its name. Without `replace` the target must not be there;
    `read` are the bytes that it must still have."""

    written: _Written
    path: Path
    replace: bool
    read: bytes | None

    def make(self) -> Callable[[], None]:
        """Puts the file in place. Gives what undoes it."""
        with _faults_of(self.path), _locked(self.path):
            target = _followed(self.path)
            before = target.open("rb") if target.exists() else None
            if self.read is not None and (before is None or before.read() != self.read):
                raise InputFaults([fault("changed", str(self.path))])
            if self.replace:
                self.written.replace(target)
            else:
                self.written.put(target, self.path)
        return lambda: _undo(target, before)


class _Written:
    """A new file in the folder of a target, open, and without a name where that can be."""

    def __init__(self, target: Path) -> None:
        self._folder, self._suffix = target.parent, target.suffix
        self._name: Path | None = None
        self.file: IO[bytes] = os.fdopen(self._opened(), "w+b")

    def _opened(self) -> int:
        try:
            number = os.open(self._folder, os.O_TMPFILE | os.O_RDWR, 0o600)
            if os.path.exists(self._by_number(number)):
                return number
            os.close(number)
        except (AttributeError, OSError):  # of another system or file system
            pass
        # Named before it is there: a signal between the two leaves nothing.
        self._name = self._free_name()
        return _create(self._name)

    def _free_name(self) -> Path:
        return self._folder / f".part-{uuid4().hex}{self._suffix}"

    @staticmethod
    def _by_number(number: int) -> str:
        """The name that the system has for an open file."""
        return f"/proc/self/fd/{number}"

    def replace(self, target: Path) -> None:
        """Takes the place of a file, or of none."""
        os.replace(self._name or self._named(), target)
        self._name = None

    def _named(self) -> Path:
        """The name that a file without one gets."""
        self._name = name = self._free_name()
        try:
            self._link_to(name)
        except OSError:  # no links, or none of what has no name
            with open(_create(name), "wb") as named, self.file as unnamed:
                unnamed.seek(0)
                copyfileobj(unnamed, named)
                os.fchmod(named.fileno(), os.fstat(unnamed.fileno()).st_mode)
        return name

    def put(self, target: Path, path: Path) -> None:
        """Takes a place where nothing is."""
        try:
            self._link(target)
        except FileExistsError:
            raise InputFaults([fault("exists", str(path))]) from None
        except OSError:  # a file system without links
            if target.exists():
                raise InputFaults([fault("exists", str(path))]) from None
            self.replace(target)

    def finish(self, mode: int) -> None:
        """Ends the writing."""
        self.file.flush()
        if self._name is None:
            os.fchmod(self.file.fileno(), mode)
        else:
            # Some systems move no file that is open.
            self.file.close()
            self._name.chmod(mode)

    def _link(self, target: Path) -> None:
        if self._name is not None:
            os.link(self._name, target)
        else:
            self._link_to(target)

    def _link_to(self, target: Path) -> None:
        """Gives a name to what has none."""
        # A folder, though the path is whole: without one, the link itself would be linked.
        os.link(self._by_number(self.file.fileno()), target, src_dir_fd=0)

    def close(self) -> None:
        """Removes what has no place, or still has two."""
        with undisturbed():
            with suppress(OSError):
                self.file.close()
            if self._name is not None:
                with suppress(OSError):
                    self._name.unlink()


@dataclass
class _Together:
    replace: bool
    moves: list[_Move] = field(default_factory=list)


_waiting: ContextVar[_Together | None] = ContextVar("waiting", default=None)
_record: ContextVar[list[Path] | None] = ContextVar("record", default=None)


@contextmanager
def recorded() -> Iterator[list[Path]]:
    """The files that were put in place inside the block, as they are."""
    placed: list[Path] = []
    before = _record.set(placed)
    try:
        yield placed
    finally:
        _record.reset(before)


@contextmanager
def together(replace: bool = True) -> Iterator[None]:
    """All that is written inside the block takes its place at the end of it, or none of it does.

    Without `replace` a file that is there by then is left alone, and is a fault.

    Raises:
        InputFaults: as `in_place_of`.
    """
    waiting = _Together(replace)
    before = _waiting.set(waiting)
    try:
        yield
        _place(waiting.moves)
    finally:
        _waiting.reset(before)
        with undisturbed():
            for move in waiting.moves:
                move.written.close()


@contextmanager
def in_place_of(
    path: Path, replace: bool | None = None, read: bytes | None = None
) -> Iterator[IO[bytes]]:
    """A file to write to; at the end of the block it takes the target's place.

    Inside `together` it waits for the end of that block, which also tells whether to `replace`
    a file that is there, unless that is given. A link is followed, not replaced. `read` are the
    bytes from which the new ones were made; a target that has others by then is a fault.

    Raises:
        InputFaults: where the folder can't be written or the disk is full, the target is there
            already or has changed.
    """
    waiting = _waiting.get()
    default = waiting.replace if waiting else True
    with ExitStack() as ending:
        with _faults_of(path):
            target = _followed(path)
            if target.exists() and not target.is_file():
                raise InputFaults([fault("no_file", str(path))])
            written = _Written(target)
            ending.callback(written.close)
            yield written.file
            written.finish(_mode_for(target))
        move = _Move(written, path, default if replace is None else replace, read)
        if waiting is None:
            _place([move])
        else:
            waiting.moves.append(move)
            ending.pop_all()


def unwritable(path: Path) -> Fault | None:
    """The fault of a path whose folder takes no new files, as far as can be told beforehand."""
    if os.access(_followed(path).parent, os.W_OK | os.X_OK):
        return None
    return fault("unwritable", str(path), why=sentence("program.closed_folder"))


def put(path: Path, data: bytes | memoryview, replace: bool | None = None) -> None:
    """Puts a file in place whole; see `in_place_of`.

    Raises:
        InputFaults: where the folder can't be written, the disk is full, or the file is there.
    """
    with in_place_of(path, replace) as file:
        file.write(data)


def _place(moves: list[_Move]) -> None:
    """Makes every move; where one can't be made, undoes those made before it."""
    placed = _record.get()
    with undisturbed(), ExitStack() as undoing:
        for move in moves:
            undoing.callback(move.make())
        undoing.pop_all()
        if placed is not None:
            placed += [move.path for move in moves]


def _undo(target: Path, before: IO[bytes] | None) -> None:
    """Gives a target back what it held, or nothing."""
    if before is None:
        target.unlink()
        return
    mode = _mode_for(target)
    before.seek(0)
    with closing(_Written(target)) as again:
        copyfileobj(before, again.file)
        again.finish(mode)
        again.replace(target)


def _followed(path: Path) -> Path:
    """The file that a path leads to, through links."""
    return Path(os.path.realpath(path)) if path.is_symlink() else path


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    """Keeps other runs of the program from the file meanwhile, where it and locks are there."""
    try:
        import fcntl

        with path.open("rb") as file:
            fcntl.flock(file, fcntl.LOCK_EX)
            yield
    except (ImportError, FileNotFoundError):
        yield


def _create(path: Path) -> int:
    """An empty file that was not there before, open."""
    return os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600)


@contextmanager
def _faults_of(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        why = (error.strerror or "not writable").lower()
        raise InputFaults([fault("unwritable", str(path), why=why)]) from None


def _mode_for(path: Path) -> int:
    """Who may do what with the file: as with the one it replaces, or as with any new file."""
    try:
        return stat.S_IMODE(path.stat().st_mode)
    except FileNotFoundError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask
