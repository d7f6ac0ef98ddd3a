"""Requests to end a run: which there are, and putting them off while files take their places."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

# Not every system has all of them.
STOPS = tuple(getattr(signal, n) for n in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, n))


@contextmanager
def undisturbed() -> Iterator[None]:
    """Puts off requests to end the run until the end of the block."""
    if threading.current_thread() is not threading.main_thread():
        yield  # no other thread is told of them
        return
    came: list[int] = []
    handled = {number: signal.getsignal(number) for number in STOPS}

    def put_off(number: int, _frame: FrameType | None) -> None:
        came.append(number)

    for number, handler in handled.items():
        if callable(handler):
            signal.signal(number, put_off)
    try:
        yield
    finally:
        for number, handler in handled.items():
            if callable(handler):
                signal.signal(number, handler)
        for number in came:
            signal.raise_signal(number)
