"""What a calculation or a check found: a code, its severity, its place, and its numbers.

Codes are looked up in `linerdesign.words` when a document is written. Nothing decides by a text.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from linerdesign.words import sentence


class Severity(StrEnum):
    """How a finding weighs on the result."""

    CAUTION = "caution"
    OUTSIDE = "outside the method"
    DEFAULT = "default"


@dataclass(frozen=True)
class Finding:
    """One finding about a pipe, or about one of its stations.

    `code` names a sentence of the catalogue, `numbers` fill its blanks.
    """

    code: str
    severity: Severity
    numbers: tuple[tuple[str, Any], ...] = ()
    station: str | None = None

    @property
    def said(self) -> str:
        """The sentence, without the station."""
        return sentence(self.code, **dict(self.numbers))

    @property
    def text(self) -> str:
        """The sentence, with the station where the finding concerns only one."""
        return self.said if self.station is None else f"{self.said} (at {self.station})"


def finding(
    code: str, severity: Severity = Severity.CAUTION, station: str | None = None, **numbers: Any
) -> Finding:
    """A finding with the numbers that fill the blanks of its sentence."""
    return Finding(code, severity, tuple(numbers.items()), station)
