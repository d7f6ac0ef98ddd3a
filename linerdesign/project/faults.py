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
