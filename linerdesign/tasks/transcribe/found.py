"""What was found in a document: readings with their key and place, and numbers without one."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Found:
    """One reading. `pipe` is empty where it is not of one pipe.

    `value` is the text of a project file; `text` is what the document prints, `at` its place.
    `doubts` are codes of sentences; a reading without any is sure.
    """

    pipe: str
    key: str
    value: str
    text: str
    at: str
    doubts: tuple[str, ...] = ()
    label: str = ""

    @property
    def sure(self) -> bool:
        """Whether nothing about the reading is in doubt."""
        return not self.doubts


@dataclass(frozen=True)
class NotUnderstood:
    """A text with numbers that no key was found for, and the code of the reason."""

    text: str
    at: str
    why: str = "transcribe.no_label"


@dataclass(frozen=True)
class Transcript:
    """Everything found in a document, in its order; `pipes` are the names that it gives."""

    pipes: tuple[str, ...]
    found: tuple[Found, ...]
    not_understood: tuple[NotUnderstood, ...]
