"""Says on standard error what takes long, so that nobody takes a long run for a broken one."""

from __future__ import annotations

import sys
from threading import Event, Thread
from time import monotonic
from typing import Self

from linerdesign.words import sentence

# Seconds until something is said of a stage, and between one line and the next.
FIRST, NEXT = 2.0, 5.0


class Working:
    """While it is open, prints the stage that is being worked on, once that takes two seconds."""

    def __init__(self) -> None:
        self.stage("")
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
        self._stage, self._parts, self._since = text, (0, 0), monotonic()

    def part(self, done: int, total: int) -> None:
        """So many parts of the stage are done."""
        self._parts = done, total

    def _watch(self) -> None:
        wait = FIRST
        while not self._ended.wait(wait):
            spent = monotonic() - self._since
            wait = FIRST - spent if spent < FIRST else NEXT
            if spent >= FIRST and sys.stderr is not None:
                done, total = self._parts
                code = "working_part" if total else "working"
                about = {"stage": self._stage, "done": done, "total": total, "seconds": spent}
                said = sentence(f"program.{code}", **about)
                print(f"linerdesign: {said}", file=sys.stderr, flush=True)
