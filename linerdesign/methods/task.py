"""What a design starts from: one pipe, its stations, and what is known about its values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from linerdesign.findings import Finding
from linerdesign.methods.basis import Basis
from linerdesign.methods.origin import AS_GIVEN, Origin
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.verification import Verifications
from linerdesign.words import sentence


@dataclass(frozen=True)
class Input:
    """A value that goes into the calculation, in the unit of the sheet."""

    key: str
    value: float
    origin: Origin = AS_GIVEN


class OfQuantity:
    """What is said of the quantity of this key."""

    key: str

    @property
    def symbol(self) -> str:
        """Printed symbol of the quantity."""
        return SYMBOLS[self.key].symbol

    @property
    def meaning(self) -> str:
        """What the symbol stands for."""
        return SYMBOLS[self.key].meaning


@dataclass(frozen=True)
class InWords(OfQuantity):
    """What a project states of a quantity in words, from which lines find its number.

    `station` is none where it holds for all.
    """

    key: str
    words: str
    origin: Origin = AS_GIVEN
    station: str | None = None

    @property
    def source(self) -> str:
        """The origin as printed on the sheet."""
        return self.origin.text


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
class SecondAsked:
    """The second method that a project asks for, by its name, and the settings that it states: of
    each the name, the share, and where it is from.

    With `replaces` it takes the place of the project's own method.
    """

    method: str
    replaces: bool
    stated: tuple[tuple[str, float, str], ...] = ()

    @property
    def settings(self) -> tuple[tuple[str, float, str], ...]:
        """Every setting of the method, by default where the project does not state it."""
        from linerdesign.methods.method import SECOND_METHODS, method_in

        stated = {each[0]: each for each in self.stated}
        return tuple(
            stated.get(name, (name, each.default, sentence(each.origin)))
            for name, each in method_in(SECOND_METHODS[self.method]).settings().items()
        )

    @property
    def values(self) -> dict[str, float]:
        """The settings by name."""
        return {name: value for name, value, _ in self.settings}


@dataclass(frozen=True)
class PipeTask:
    """Everything the design of one pipe needs. `waivers` names the evidence that was given.

    `notes` hold whatever the numbers are. `first` is the place of its first station among those of
    all pipes of the file. `verified` has what the office has verified, by identity.
    """

    name: str
    resin: str
    basis: Basis
    stations: tuple[Station, ...]
    notes: tuple[Finding, ...] = ()
    waivers: frozenset[str] = frozenset()
    evidence: tuple[tuple[str, str], ...] = ()
    first: int = 1
    verified: Verifications = field(default_factory=dict, compare=False)
    second: SecondAsked | None = None
