"""What a design starts from: one pipe, its stations, and what is known about its values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linerdesign.methods.f1216.basis import Basis
from linerdesign.methods.result import Input, InWords, Note


@dataclass(frozen=True)
class Station:
    """A place along the pipe with its own inputs; one unnamed station is the whole pipe."""

    inputs: tuple[Input, ...]
    at: str | None = None
    in_words: tuple[InWords, ...] = ()

    @property
    def values(self) -> dict[str, Any]:
        """The values of its inputs by key of the symbol table, in the units of the sheet."""
        return {each.key: each.value for each in self.inputs}


@dataclass(frozen=True)
class PipeTask:
    """Everything the design of one pipe needs. `waivers` names the evidence that was given.

    `notes` hold whatever the numbers are, `noted` for the numbers of this basis. `first` is the
    place of its first station among those of all pipes of the file.
    """

    name: str
    resin: str
    basis: Basis
    stations: tuple[Station, ...]
    notes: tuple[Note, ...] = ()
    waivers: frozenset[str] = frozenset()
    evidence: tuple[tuple[str, str], ...] = ()
    first: int = 1
    noted: tuple[Note, ...] = ()
