"""Puts a file in place whole: written beside its name, then moved over it, or nothing left."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from linerdesign.project.faults import Fault, InputFaults


@contextmanager
def in_place_of(path: Path) -> Iterator[Path]:
    """A path beside the target to write to; at the end of the block it takes the target's place.

    Raises:
        InputFaults: where the folder can't be written or the disk is full.
    """
    temporary = None
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".part-", suffix=path.suffix)
        temporary = Path(name)
        os.close(handle)
        yield temporary
        temporary.chmod(0o666 & ~_umask())
        os.replace(temporary, path)
    except BaseException as error:
        if temporary is not None:
            temporary.unlink(missing_ok=True)
        if isinstance(error, OSError):
            reason = (error.strerror or "not writable").lower()
            fault = Fault(str(path), "", f"a file that can be written ({reason})")
            raise InputFaults([fault]) from None
        raise


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
