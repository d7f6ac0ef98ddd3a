"""One pipe at one station, and what cells and fields there are called: by workbook and page."""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.findings import Finding, Severity
from linerdesign.methods.check import Check
from linerdesign.methods.legs import LEG_FAILS
from linerdesign.methods.result import CheckResult, LegPlace, PipeResult, PlaceResult, Step
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.verdicts import NO_BORE, NONE

# Notes that a schedule counts.
NOTED = (Severity.CAUTION, Severity.OUTSIDE)
# The required thickness at the worst of several stations: no quantity of one place.
THICKEST = "thickest_required"


@dataclass(frozen=True)
class Place:
    """One pipe at one station. `first` is the number of the first station of its pipe."""

    result: PipeResult
    first: int
    index: int

    @property
    def number(self) -> int:
        """N of `pipeN_...`: counts pairs of pipe and station through the whole document."""
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
        return f"{self.of_pipe}{self.ending}"

    @property
    def of_pipe(self) -> str:
        """The name of the pipe."""
        return self.result.name

    @property
    def ending(self) -> str:
        """What tells the sheet from others of its pipe."""
        return f" at {self.at}" if self.at else ""

    @property
    def prefix(self) -> str:
        """What the name of every cell of this place begins with."""
        return f"{place_name(self.number)}_"

    def name(self, key: str) -> str:
        """Name of a quantity's cell at this place, or of another value's."""
        return self.prefix + (name_of(key) if key in SYMBOLS else key)

    def stated_name(self, key: str) -> str:
        """Name of the cell for a number in place of what the project says in words."""
        return f"{self.name(key)}_stated"

    @property
    def in_words(self) -> set[str]:
        """The quantities that the project states in words, in whose place a number may stand."""
        return {said.key for said in self.result.in_words}

    @property
    def all_places(self) -> tuple[Place, ...]:
        """This place and the others of its pipe."""
        return places_of(self.result, self.first)

    def names(self, key: str) -> list[str]:
        """Names of a quantity's cells at all stations of the pipe."""
        return [place.name(key) for place in self.all_places]

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
    def outcome(self) -> PlaceResult:
        """The outcome here."""
        return self.result.places[self.index]

    @property
    def governing(self) -> str:
        """The equation that requires the thickest wall here."""
        return self.outcome.governing

    @property
    def factor_shown(self) -> float | str:
        """The smallest safety factor provided here, or a word where there is none."""
        if not self.outcome.bore:
            return NO_BORE
        return NONE if self.outcome.least_factor is None else self.outcome.least_factor

    @property
    def status(self) -> str:
        """The status here."""
        return self.outcome.status

    @property
    def cautions(self) -> list[Finding]:
        """What a reader must weigh of this place."""
        return list(filter(self.concerns, cautions_of(self.result)))

    def concerns(self, note: Finding) -> bool:
        """Whether a note is about this place: it is, unless it names another, or a leg."""
        return note.station in (None, self.at) and note.code != LEG_FAILS


@dataclass(frozen=True)
class PlaceOfLeg(Place):
    """A leg at one station of its pipe `of`; the result is the design of the walls delivered."""

    of: PipeResult

    @property
    def pipe(self) -> Place:
        """The place of the pipe whose values it has."""
        return Place(self.of, self.first, self.leg.station)

    @property
    def leg(self) -> LegPlace:
        """How its wall follows."""
        assert self.of.legs is not None
        return self.of.legs.places[self.index]

    @property
    def several(self) -> bool:
        """Each leg is held against what it requires itself."""
        return False

    @property
    def of_pipe(self) -> str:
        """The name of the pipe."""
        return self.of.name

    @property
    def ending(self) -> str:
        """What tells the sheet from others of its pipe."""
        return f", {self.at}"

    @property
    def prefix(self) -> str:
        """What the name of every cell of this place begins with."""
        return f"{place_name(self.first)}_leg{self.index + 1}_"

    @property
    def cautions(self) -> list[Finding]:
        """Those of the leg alone, and not those that hold whatever the numbers are."""
        own = filter(self.concerns, cautions_of(self.result))
        return [note for note in own if note not in self.of.task.notes]

    @property
    def in_words(self) -> set[str]:
        """Those of its pipe."""
        return self.pipe.in_words

    def stated_name(self, key: str) -> str:
        """The cell of its pipe."""
        return self.pipe.stated_name(key)


def legs_of(result: PipeResult, first: int) -> tuple[PlaceOfLeg, ...]:
    """The places of the legs of a pipe; none where it has none."""
    legs = result.legs
    count = len(legs.places) if legs else 0
    return tuple(PlaceOfLeg(legs.built, first, i, result) for i in range(count) if legs)


def cautions_of(result: PipeResult) -> list[Finding]:
    """What a reader must weigh of a pipe."""
    return [note for note in result.notes if note.severity in NOTED]


def places_of(result: PipeResult, first: int) -> tuple[Place, ...]:
    """The places of a pipe, one for each station; `first` is the number of the first one."""
    return tuple(Place(result, first, index) for index in range(len(result.stations)))


def place_name(number: int) -> str:
    """What a place is called, and by its first place a pipe."""
    return f"pipe{number}"
