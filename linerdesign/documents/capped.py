"""A form made in a process of its own where memory is capped: typesetting can't be caught there."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from math import inf

# What typesetting aborts under, with room to spare; a cap above it is none for our purpose.
AMPLE = 16 << 30
# With less address space the libraries of numbers abort while they are loaded, and say nothing.
LEAST = 384 << 20


def is_capped() -> bool:
    """Whether the system ends a process of ours that asks for more address space than this."""
    return _most_memory() < AMPLE


def demand(least: int = LEAST) -> None:
    """Ends what would be aborted without a word.

    Raises:
        MemoryError: where memory is capped at less than `least` bytes.
    """
    if _most_memory() < least:
        raise MemoryError


def _most_memory() -> float:
    """The address space a process may have, in bytes."""
    if sys.platform == "win32":
        return inf
    try:
        import resource
    except ImportError:
        # It comes with the system: there is no room left to load it.
        return 0
    limit, _ = resource.getrlimit(resource.RLIMIT_AS)
    return inf if limit == resource.RLIM_INFINITY else limit


def made_apart(make: Callable[[], bytes]) -> bytes:
    """What `make` gives, made in a child process.

    Raises:
        MemoryError: where the child ended without it.
    """
    import multiprocessing

    context = multiprocessing.get_context("fork")
    receiver, sender = context.Pipe(duplex=False)

    def send() -> None:
        # Under a cap, libraries run out of memory as errors of many kinds.
        with suppress(BaseException):
            sender.send_bytes(make())

    child = context.Process(target=send)
    child.start()
    sender.close()
    try:
        return receiver.recv_bytes()
    except EOFError:
        raise MemoryError from None
    finally:
        child.join()
