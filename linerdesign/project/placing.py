"""Puts a file in place whole: written beside its name, then moved over it, or nothing left."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from dataclasses import dataclass, field
from pathlib import Path

from linerdesign.project.faults import InputFaults, fault


@dataclass(frozen=True)
class _Move:
    """A file that waits beside its target. Without `replace` the target must not be there; `read`
    are the bytes that it must still have."""

    temporary: Path
    path: Path
    replace: bool
    read: bytes | None

    def make(self) -> None:
        with _faults_of(self.path), _locked(self.path):
            target = _followed(self.path)
            if self.read is not None and target.read_bytes() != self.read:
                raise InputFaults([fault("changed", str(self.path))])
            if self.replace or not _linked(self.temporary, target):
                os.replace(self.temporary, target)


@dataclass
class _Together:
    replace: bool
    moves: list[_Move] = field(default_factory=list)


_waiting: ContextVar[_Together | None] = ContextVar("waiting", default=None)


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
        while waiting.moves:
            waiting.moves[0].make()
            del waiting.moves[0]
    finally:
        _waiting.reset(before)
        for move in waiting.moves:
            move.temporary.unlink(missing_ok=True)


@contextmanager
def in_place_of(
    path: Path, replace: bool | None = None, read: bytes | None = None
) -> Iterator[Path]:
    """A path beside the target to write to; at the end of the block it takes the target's place.

    Inside `together` it waits for the end of that block, which also tells whether to `replace`
    a file that is there, unless that is given. A link is followed, not replaced. `read` are the
    bytes from which the new ones were made; a target that has others by then is a fault.

    Raises:
        InputFaults: where the folder can't be written or the disk is full, the target is there
            already or has changed.
    """
    temporary = None
    waiting = _waiting.get()
    default = waiting.replace if waiting else True
    try:
        with _faults_of(path):
            target = _followed(path)
            # Named before it is there: a signal between the two leaves nothing.
            temporary = target.parent / f".part-{os.urandom(8).hex()}{path.suffix}"
            _create(temporary)
            yield temporary
            temporary.chmod(_mode_for(target))
            move = _Move(temporary, path, default if replace is None else replace, read)
            if waiting is None:
                move.make()
            else:
                waiting.moves.append(move)
    except BaseException:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()
        raise


def _followed(path: Path) -> Path:
    """The file that a path leads to, through links."""
    return Path(os.path.realpath(path)) if path.is_symlink() else path


def _linked(temporary: Path, path: Path) -> bool:
    """Whether the file was put in place by a link, which no file that is there gives way to.

    False where the file system has no such links and nothing is there.
    """
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise InputFaults([fault("exists", str(path))]) from None
    except OSError:
        if path.exists():
            raise InputFaults([fault("exists", str(path))]) from None
        return False
    temporary.unlink()
    return True


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


def _create(path: Path) -> None:
    """An empty file that was not there before."""
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


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
