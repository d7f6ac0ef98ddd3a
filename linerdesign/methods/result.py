"""What a design gives: one immutable result that every output is made from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from linerdesign.expressions.tree import Node
from linerdesign.methods.equation import Limit, Severity
from linerdesign.methods.f1216.basis import Basis
from linerdesign.methods.lines import Line
from linerdesign.methods.origin import AS_GIVEN, Origin
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence

SIZED, CHECKED, OUTSIDE, FAILS = "sized", "checked", "outside the method", "fails"


@dataclass(frozen=True)
class Input:
    """A value that goes into the calculation, in the unit of the sheet."""

    key: str
    value: float
    origin: Origin = AS_GIVEN


class _OfQuantity:
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
class InWords(_OfQuantity):
    """What a project says of a quantity in words, from which lines find its number.

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
class Step(_OfQuantity):
    """One numbered line of a sheet.

    `value` is in `unit`, that of the sheet. An input has an `origin` and no `line`; the worst of
    several stations has neither. A computed step has the
    arithmetic that its values selected in `arithmetic`, and in `values` the number that each symbol
    stood for, each in its own unit of the sheet.
    """

    number: int
    key: str
    value: float
    unit: str
    origin: Origin | None
    station: str | None
    line: Line | None = None
    arithmetic: Node | None = None
    values: tuple[tuple[str, float], ...] = ()
    applies: bool = True
    limits_left: tuple[Limit, ...] = ()

    @property
    def source(self) -> str:
        """The origin of an input, the clause and provenance of a line, as printed on the sheet."""
        if self.origin is not None:
            return self.origin.text
        if self.line is None:
            return sentence("origins.worst")
        return f"{self.line.equation.clause}; {self.line.equation.provenance}"

    @property
    def flags(self) -> tuple[str, ...]:
        """What is to be said of the ranges that the values leave."""
        return tuple(limit.text for limit in self.limits_left)

    @property
    def equation(self) -> str | None:
        """Number of the equation, without regard to what it is solved for; none for an input."""
        return self.line.equation.base_number if self.line else None


@dataclass(frozen=True)
class CheckResult:
    """One equation met or not by the nominal thickness, at one station.

    `demand` and `capacity` are in `unit`, the thickness required in that of the sheet. `why` says
    why this equation rules, where several could.
    """

    equation: str
    station: str | None
    required_thickness: float
    demand: float
    capacity: float
    unit: str
    safety_factor: float | None
    passes: bool
    why: str = ""


def least_factor(checks: Iterable[CheckResult]) -> float | None:
    """The smallest factor of these checks; none where a wall without a bore carries nothing."""
    found = tuple(checks)
    if any(check.capacity <= 0 for check in found):
        return None
    return min((c.safety_factor for c in found if c.safety_factor is not None), default=None)


@dataclass(frozen=True)
class Note:
    """Something the reader must know beside the numbers, of the whole pipe or of one station."""

    severity: Severity
    said: str
    station: str | None = None

    @property
    def text(self) -> str:
        """What is printed: with the station, where it is about one."""
        return self.said if self.station is None else f"{self.said} (at {self.station})"


@dataclass(frozen=True)
class PipeResult:
    """The design of one pipe. Thicknesses are in the sheet's unit: in, or mm.

    `stations` are the places designed for, one unnamed for a pipe without any; `waivers` names
    the evidence given, under which a limit of an equation is not held against the pipe. `in_words`
    is what the project says in words in place of numbers; `floor_decides` where the wall is as
    thick as it is for the owner's minimum alone. `other_missing` names the keys for lack of which
    the other condition was not designed, empty where it was, or was not asked for.
    """

    name: str
    resin: str
    basis: Basis
    status: str
    governing: str
    governing_station: str | None
    required_thickness: float
    nominal_thickness: float
    checks: tuple[CheckResult, ...]
    steps: tuple[Step, ...]
    notes: tuple[Note, ...]
    evidence: tuple[tuple[str, str], ...] = ()
    first: int = 1
    other_condition: PipeResult | None = None
    other_missing: tuple[str, ...] = ()
    in_words: tuple[InWords, ...] = ()
    floor_decides: bool = False
    stations: tuple[str | None, ...] = (None,)
    waivers: frozenset[str] = frozenset()

    @property
    def holds(self) -> bool:
        """Whether every check passes inside the method."""
        return self.status in (SIZED, CHECKED)

    @property
    def lowest_safety_factor(self) -> float | None:
        """The smallest factor provided in any equation that has one."""
        return least_factor(self.checks)

    def value(self, key: str, station: str | None = None) -> float | None:
        """The value of a quantity, the first one found where no station is named."""
        for step in self.steps:
            if step.key == key and station in (None, step.station):
                return step.value
        return None
