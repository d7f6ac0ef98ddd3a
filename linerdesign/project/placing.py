"""Puts a file in place whole: written beside its name, then moved over it, or nothing left."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from pathlib import Path

from linerdesign.project.faults import InputFaults, fault

Moves = list[tuple[Path, Path]]
_waiting: ContextVar[Moves | None] = ContextVar("waiting", default=None)


@contextmanager
def together() -> Iterator[None]:
    """All that is written inside the block takes its place at the end of it, or none of it does.

    Raises:
        InputFaults: as `in_place_of`.
    """
    moves: Moves = []
    before = _waiting.set(moves)
    try:
        yield
        while moves:
            temporary, path = moves[0]
            with _faults_of(path):
                os.replace(temporary, path)
            del moves[0]
    finally:
        _waiting.reset(before)
        for temporary, _ in moves:
            temporary.unlink(missing_ok=True)


@contextmanager
def in_place_of(path: Path) -> Iterator[Path]:
    """A path beside the target to write to; at the end of the block it takes the target's place.

    Inside `together` it waits for the end of that block.

    Raises:
        InputFaults: where the folder can't be written or the disk is full.
    """
    temporary = None
    waiting = _waiting.get()
    try:
        with _faults_of(path):
            # Named before it is there: a signal between the two leaves nothing.
            temporary = path.parent / f".part-{os.urandom(8).hex()}{path.suffix}"
            _create(temporary)
            yield temporary
            temporary.chmod(_mode_for(path))
            if waiting is None:
                os.replace(temporary, path)
            else:
                waiting.append((temporary, path))
    except BaseException:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()
        raise


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
