"""One pipe at one station, as the sheets of a workbook see it: its names, steps and outcome."""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.design.checks import Check
from linerdesign.design.result import (
    CHECKED,
    FAILS,
    OUTSIDE,
    SIZED,
    CheckResult,
    Note,
    PipeResult,
    Step,
    least_factor,
)
from linerdesign.equations.equation import Severity
from linerdesign.equations.symbols import name_of

NONE = "none"
# Notes that a schedule counts.
NOTED = (Severity.CAUTION, Severity.OUTSIDE)
# What stands for the safety factor of a wall so thick that no capacity is left.
NO_BORE = "no bore"
# What decides the nominal thickness, in a cell of this key.
DECIDED, MINIMUM, EQUATION = "thickness_decided_by", "owner's minimum", "the equations"
THICKEST = "t_required at the worst station"


@dataclass(frozen=True)
class Place:
    """One pipe at one station: `number` is the N of its cells' names, `first` its pipe's."""

    result: PipeResult
    first: int
    index: int

    @property
    def number(self) -> int:
        """N of `pipeN_...`."""
        return self.first + self.index

    @property
    def at(self) -> str | None:
        """The station."""
        return self.result.stations[self.index]

    @property
    def several(self) -> bool:
        """Whether the pipe has other stations, of which the worst governs."""
        return len(self.result.stations) > 1

    @property
    def title(self) -> str:
        """What the sheet is called."""
        at = f" at {self.at}" if self.at else ""
        return f"{self.result.name}{at}"

    def name(self, key: str) -> str:
        """Name of a quantity's cell at this place."""
        return cell_name(self.number, key)

    def names(self, key: str) -> list[str]:
        """Names of a quantity's cells at all stations of the pipe."""
        return [cell_name(self.first + i, key) for i in range(len(self.result.stations))]

    def steps(self) -> dict[str, Step]:
        """The steps of this place by key; the worst of the stations is not of one place."""
        return {
            step.key: step
            for step in self.result.steps
            if step.station in (None, self.at)
            and (step.line is not None or step.arithmetic is None)
        }

    @property
    def checks(self) -> list[CheckResult]:
        """What came of the checks that apply here."""
        return [check for check in self.result.checks if check.station == self.at]

    def check(self, check: Check) -> CheckResult | None:
        """What came of a check here; nothing where it does not apply."""
        return next((c for c in self.checks if c.equation == check.equation), None)

    @property
    def governing(self) -> str:
        """The equation that requires the thickest wall here."""
        thickest = max(self.checks, key=lambda c: c.required_thickness, default=None)
        return thickest.equation if thickest else NONE

    @property
    def lowest_factor(self) -> float | str:
        """The smallest safety factor provided here."""
        if any(check.capacity <= 0 for check in self.checks):
            return NO_BORE
        least = least_factor(self.checks)
        return NONE if least is None else least

    @property
    def status(self) -> str:
        """The status by the checks and notes of this place alone."""
        if not all(check.passes for check in self.checks):
            return FAILS
        if any(note.severity is Severity.OUTSIDE for note in self.cautions):
            return OUTSIDE
        return CHECKED if self.result.basis.thickness_given else SIZED

    @property
    def cautions(self) -> list[Note]:
        """What a reader must weigh of this place."""
        return list(filter(self.concerns, cautions_of(self.result)))

    def concerns(self, note: Note) -> bool:
        """Whether a note is about this place: it is, unless it names another."""
        return note.station in (None, self.at)


def cautions_of(result: PipeResult) -> list[Note]:
    """What a reader must weigh of a pipe."""
    return [note for note in result.notes if note.severity in NOTED]


def cell_name(number: int, key: str) -> str:
    """The name that the whole workbook knows a quantity by."""
    if key == THICKEST:
        return f"pipe{number}_thickest_required"
    return f"pipe{number}_{name_of(key)}"


def largest_of(names: list[str]) -> str:
    """The largest of many cells; a function takes at most 255 arguments, so of parts in turn."""
    return _of("MAX", names)


def _of(function: str, names: list[str], most: int = 200) -> str:
    parts = names
    if len(names) > most:
        parts = [_of(function, names[i : i + most]) for i in range(0, len(names), most)]
    return f"{function}({', '.join(parts)})"
