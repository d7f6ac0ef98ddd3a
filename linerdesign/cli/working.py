"""Says on standard error what takes long, so that nobody takes a long run for a broken one."""

from __future__ import annotations

import sys
from threading import Event, Thread
from time import monotonic
from typing import Self

# Seconds until something is said of a stage, and between one line and the next.
FIRST, NEXT = 2.0, 5.0


class Working:
    """While it is open, prints the stage that is being worked on, once that takes two seconds."""

    def __init__(self) -> None:
        self._stage, self._since = "", monotonic()
        self._ended = Event()
        self._thread = Thread(target=self._watch, daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *raised: object) -> None:
        self._ended.set()
        self._thread.join()

    def stage(self, text: str) -> None:
        """Begins a stage."""
        self._stage, self._since = text, monotonic()

    def part(self, done: int, total: int) -> None:
        """So many parts of the stage are done."""
        self._stage = f"{self._stage.partition(', part ')[0]}, part {done} of {total}"

    def _watch(self) -> None:
        wait = FIRST
        while not self._ended.wait(wait):
            spent = monotonic() - self._since
            wait = FIRST - spent if spent < FIRST else NEXT
            if spent >= FIRST and sys.stderr is not None:
                print(f"linerdesign: {self._stage}, {spent:.0f} s", file=sys.stderr, flush=True)
