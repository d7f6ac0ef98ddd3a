"""Faults in what a person gave us: every one, with its place, before anything is computed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One fault: where it stands, the value as given, and what was expected there."""

    place: str
    value: str
    expected: str

    def __str__(self) -> str:
        value = f": {self.value}" if self.value else ""
        return f"{self.place}{value}: expected {self.expected}"


class InputFaults(Exception):
    """All the faults of one input; nothing is computed from it."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


def shown(value: object, most: int = 60) -> str:
    """A value as a person wrote it, cut where it runs on, with control characters escaped."""
    text = f'"{value}"' if isinstance(value, str) else str(value)
    text = "".join(c if c.isprintable() else repr(c)[1:-1] for c in text[: most + 1])
    return text if len(text) <= most else text[:most] + "..."


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that an unknown one was most likely meant for, if any is like it."""
    import difflib

    return next(iter(difflib.get_close_matches(word[:80], list(known), n=1, cutoff=0.6)), None)


def expected_word(word: str, known: Iterable[str], what: str = "key") -> str:
    """What to expect in place of an unknown word: the nearest known one, or all of them."""
    words = list(known)
    if meant := nearest(word, words):
        return f'a known {what}; the nearest is "{meant}"'
    return f"a known {what}: {', '.join(words)}"
