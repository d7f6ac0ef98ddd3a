"""The command as a program: what can be ended from outside, with the streams that it was given."""

from __future__ import annotations

import gc
import io
import os
import signal
import sys
from collections.abc import Callable
from contextlib import suppress
from types import FrameType

from linerdesign.project.stopping import STOPS

BAD_INPUT = 2
_SPACES = "\n\t\u00a0\u2009\u202f"


class Stopped(KeyboardInterrupt):
    """A request to end the run. After one of the language's own kind that came at a certain moment
    a process would end by the signal, whatever is made of it here."""


def program() -> int:
    """Runs the command line and returns its exit code, one and the same however it was ended."""
    try:
        # One that is ignored, as under nohup, stays so.
        for number in STOPS:
            if signal.getsignal(number) is not signal.SIG_IGN:
                signal.signal(number, _stop)
        _prepare_streams()
        # Cycles wait longer to be collected: a start makes hardly any.
        gc.set_threshold(200_000)
        code = _run()
        _stop_no_more()
    except KeyboardInterrupt:
        # Before the command began, or once more while it ended.
        _stop_no_more()
        _say("linerdesign: interrupted")
        code = BAD_INPUT
    return code


def _stop(_signal: int, _frame: FrameType | None) -> None:
    raise Stopped


def _stop_no_more() -> None:
    for number in STOPS:
        signal.signal(number, signal.SIG_IGN)


class _Messages(io.TextIOWrapper):
    """Standard error. What it can't take is lost, and changes no result; characters that control
    a terminal, in the name of a file for instance, are shown as escapes."""

    def write(self, text: str) -> int:
        shown = (c if c.isprintable() or c in _SPACES else repr(c)[1:-1] for c in text)
        with suppress(OSError):
            super().write("".join(shown))
        return len(text)

    def flush(self) -> None:
        with suppress(OSError):
            super().flush()


def _prepare_streams() -> None:
    """Characters that a stream's encoding lacks are printed as escapes; messages that nobody
    reads go nowhere, and not to standard output."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    elif isinstance(sys.stderr, io.TextIOWrapper):
        of, encoding = sys.stderr.buffer, sys.stderr.encoding
        sys.stderr = _Messages(of, encoding, "backslashreplace", line_buffering=True)


def _run() -> int:
    from linerdesign.documents.capped import is_capped

    if not is_capped():
        return _main()
    # Each further thread of the linear algebra reserves room that the work may need.
    os.environ["OPENBLAS_NUM_THREADS"] = "1"
    return _apart(_main)


def _main() -> int:
    from linerdesign.cli.main import main

    return main()


def _apart(run: Callable[[], int]) -> int:
    """The exit code of a run in a process of its own: short of memory, libraries end theirs."""
    child = os.fork()
    if not child:
        return run()
    while True:
        try:
            _, status = os.waitpid(child, 0)
            break
        except KeyboardInterrupt:
            with suppress(OSError):
                os.kill(child, signal.SIGTERM)
    if os.WIFEXITED(status):
        return os.WEXITSTATUS(status)
    from linerdesign.words.program import SENTENCES

    _say(f"linerdesign: {SENTENCES['ended']}")
    return BAD_INPUT


def _say(text: str) -> None:
    print(text, file=sys.stderr, flush=True)
