"""What a design results in: one immutable result that every output is made from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from linerdesign.expressions.tolerance import at_least
from linerdesign.expressions.tree import Node
from linerdesign.findings import Finding
from linerdesign.methods.basis import Basis
from linerdesign.methods.engine import Calculation
from linerdesign.methods.equation import Limit, Provenance
from linerdesign.methods.lines import Line
from linerdesign.methods.origin import Origin
from linerdesign.methods.task import Input, InWords, OfQuantity, PipeTask
from linerdesign.methods.verdicts import CHECKED, SIZED
from linerdesign.methods.verification import Verified
from linerdesign.words import sentence

# The words of JSON data for how sure an equation is.
PROVENANCES = {
    Provenance.SEEN: "seen",
    Provenance.SECONDARY: "applied",
    Provenance.MEMORY: "memory",
    Provenance.DERIVED: "derived",
    Provenance.PRACTICE: "practice",
}


@dataclass(frozen=True)
class Step(OfQuantity):
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
    verified: Verified | None = None

    @property
    def provenance(self) -> str | None:
        """How sure its formula or value is, in one word; none for an input of the project."""
        if self.verified is not None:
            return "verified"
        return None if self.line is None else PROVENANCES[self.line.equation.provenance]

    @property
    def source(self) -> str:
        """The origin of an input, the clause and provenance of a line, as printed on the sheet."""
        if self.origin is not None:
            return self.origin.text
        if self.line is None:
            return sentence("origins.worst")
        known = self.verified.text if self.verified else self.line.equation.provenance.value
        return f"{self.line.equation.clause}; {known}"

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
    """One check of the nominal thickness at one station.

    `demand` and `capacity` are in `unit`, the required thickness in that of the sheet. `why` is
    the code of the reason why this equation governs, where several could. `upper` is a limit on the
    wall itself, whose number is the demand.
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
    upper: bool = False


@dataclass(frozen=True)
class PlaceResult:
    """The outcome at one station. `least_factor` is none where no equation has a factor."""

    at: str | None
    required_thickness: float
    governing: str
    least_factor: float | None
    bore: bool
    status: str


@dataclass(frozen=True)
class OtherLoad:
    """The design with the live load by another published rule for the same vehicle.

    `loads` has the load at each station, none where the rule does not reach its cover.
    """

    rule: str
    loads: tuple[float | None, ...]
    required_thickness: float
    nominal_thickness: float


@dataclass(frozen=True)
class NotDesigned:
    """A pipe whose inputs, each possible, can't be designed together, and why.

    A reason has the finding, the quantity that can't be found, and what it would be found by; all
    but the finding are empty where the numbers together give no finite thickness.
    """

    task: PipeTask
    reasons: tuple[tuple[Finding, str, tuple[tuple[str, float], ...]], ...]


@dataclass(frozen=True)
class OtherMethod:
    """The same pipe by another design method: its result, or why it has none.

    `left_out` says what of the design the second method leaves out.
    """

    method: str
    result: PipeResult | None
    why: str = ""
    left_out: str = ""


@dataclass(frozen=True)
class LegPlace:
    """A leg at one of the stations whose values it has: the numbers of both.

    `wall` leads from the quantities of the pipe to the least wall in the leg, tree by tree;
    `verdicts` say over the quantities of the leg what it needs, and whether that wall serves.
    """

    leg: int
    station: int
    wall: Mapping[str, Node]
    verdicts: Mapping[str, Node]


@dataclass(frozen=True)
class Tube:
    """Diameter that a tube is made for and its wall as cured unstretched, in the sheet's unit."""

    diameter: float
    thickness: float


@dataclass(frozen=True)
class LegResult:
    """One leg. Lengths in the unit of the sheet.

    `inputs` and `lines` lead from the tube to the wall in the leg, `values` are the quantities of
    both. `required` is the thickness by the equations in this leg, `minimum` the owner's. `checks`
    are the equations at `least`. `system_allows` is False where stretch or temperature are beyond
    the data of the system. `findings` begin with the verdict, or with what the system forbids.
    """

    at: str
    inputs: tuple[Input, ...]
    lines: tuple[Line, ...]
    values: Mapping[str, float]
    required: float
    minimum: float
    governing: str
    safety_factor: float | None
    checks: tuple[CheckResult, ...]
    system_allows: bool
    findings: tuple[Finding, ...]

    @property
    def diameter(self) -> float:
        """The mean diameter of the host."""
        return self.values["D_leg"]

    @property
    def delivered(self) -> float:
        """The thickness of the wall in the straight leg."""
        return self.values["t_leg"]

    @property
    def least(self) -> float:
        """The thickness at the outer side of a bend, or that of the straight leg."""
        return self.values.get("t_bend_out", self.delivered)

    @property
    def most(self) -> float:
        """The thickness at the inner side of a bend, or that of the straight leg."""
        return self.values.get("t_bend_in", self.delivered)

    @property
    def needed(self) -> float:
        """The thickness by the equations, and at least the owner's minimum."""
        return max(self.required, self.minimum)

    @property
    def passes(self) -> bool:
        """Whether the least wall passes every equation and reaches the owner's minimum."""
        enough = bool(at_least(self.least, self.needed))
        return enough and self.system_allows and all(each.passes for each in self.checks)


@dataclass(frozen=True)
class Legs:
    """The legs of a pipe under one tube.

    `built` is the design of the walls delivered, `ovality` the key of the pipe's own. What only
    some forms show is worked out when it is first read, by `place` and by `propose`.
    """

    tube: Tube
    legs: tuple[LegResult, ...]
    built: PipeResult
    ovality: str
    place: Callable[[], tuple[LegPlace, ...]] = field(repr=False, compare=False)
    propose: Callable[[], Tube | None] = field(repr=False, compare=False)

    @cached_property
    def places(self) -> tuple[LegPlace, ...]:
        """How each station of `built` follows from the quantities of the pipe."""
        return self.place()

    @cached_property
    def proposed(self) -> Tube | None:
        """A tube that serves every leg, its thickness one that the system is made in.

        None where no tube of the diameter of any leg does.
        """
        return self.propose()

    def steps(self, leg: LegResult) -> tuple[Step, ...]:
        """The working of one of its legs, from the tube to `least`."""
        from linerdesign.methods.working import signed, worked

        task = self.built.task
        return signed(worked(leg.inputs, leg.lines, task.basis.system), task.verified)

    @property
    def names(self) -> tuple[str, ...]:
        """The places of the legs, or their numbers."""
        return tuple(leg.at for leg in self.legs)

    @property
    def served(self) -> tuple[bool, ...]:
        """Of each leg, whether it passes."""
        return tuple(leg.passes for leg in self.legs)

    @property
    def passes(self) -> bool:
        """Whether every leg passes."""
        return all(self.served)

    @property
    def worst(self) -> LegResult:
        """The leg whose least wall is the farthest below, or the least above, what it needs."""
        return min(self.legs, key=lambda leg: (leg.passes, leg.least / max(leg.needed, 1e-12)))


@dataclass(frozen=True, repr=False)
class PipeResult:
    """The design of one pipe. Thicknesses are in the unit of the sheet: in, or mm.

    `places` has one entry for each station, one unnamed for a pipe without any. `minimum_governs`
    says that the owner's minimum thickness alone makes the wall as thick as it is. `values` holds
    every quantity at each station; `calculation` has the checks, ranges and verdicts.
    `other_missing` names the keys for lack of which the other condition was not designed, empty
    where it was, or was not requested. `second` is the pipe by the second method of the project.
    `own_safety_factor` is the smallest of the pipe's own checks. `legs` are those of a line under
    one tube: status and `lowest_safety_factor` are then those of the worst of them, where they are
    worse than the pipe's at the nominal thickness.
    """

    task: PipeTask
    status: str
    governing: str
    governing_station: str | None
    required_thickness: float
    nominal_thickness: float
    own_safety_factor: float | None
    bore: bool
    minimum_governs: bool
    places: tuple[PlaceResult, ...]
    checks: tuple[CheckResult, ...]
    notes: tuple[Finding, ...]
    values: tuple[Mapping[str, float], ...]
    calculation: Calculation = field(compare=False)
    other_loads: tuple[OtherLoad, ...] = ()
    other_condition: PipeResult | None = None
    other_missing: tuple[str, ...] = ()
    second: OtherMethod | None = None
    legs: Legs | None = None

    def __repr__(self) -> str:
        about = {"governing": self.governing, "nominal_thickness": self.nominal_thickness}
        said = {"name": self.name, "status": self.status, **about}
        return f"PipeResult({', '.join(f'{key}={value!r}' for key, value in said.items())})"

    @property
    def name(self) -> str:
        """Name of the pipe."""
        return self.task.name

    @property
    def resin(self) -> str:
        """Name of the resin system."""
        return self.task.resin

    @property
    def basis(self) -> Basis:
        """The choices that are words."""
        return self.task.basis

    @property
    def first(self) -> int:
        """Number of its first station among those of all pipes of the file."""
        return self.task.first

    @property
    def evidence(self) -> tuple[tuple[str, str], ...]:
        """What the evidence is about, and the evidence."""
        return self.task.evidence

    @property
    def waivers(self) -> frozenset[str]:
        """The evidence given, under which a range of an equation is not held against the pipe."""
        return self.task.waivers

    @cached_property
    def stations(self) -> tuple[str | None, ...]:
        """Names of the stations; a single None for a pipe without stations."""
        return tuple(place.at for place in self.places)

    @cached_property
    def in_words(self) -> tuple[InWords, ...]:
        """What the project states in words: once where all stations share it."""
        stations = self.task.stations
        shared = [
            each for each in stations[0].in_words if all(each in s.in_words for s in stations)
        ]
        own = (
            replace(each, station=station.at)
            for station in stations
            for each in station.in_words
            if each not in shared
        )
        return (*shared, *own)

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """The numbered lines of the sheet."""
        from linerdesign.methods.steps import sheet_steps

        return sheet_steps(self)

    @property
    def lowest_safety_factor(self) -> float | None:
        """The smallest safety factor of the pipe and its legs, None where no check has one."""
        legs = self.legs.built.own_safety_factor if self.legs else None
        return min((f for f in (self.own_safety_factor, legs) if f is not None), default=None)

    @property
    def holds(self) -> bool:
        """Whether every check passes inside the scope of the method."""
        return self.status in (SIZED, CHECKED)

    def value(self, key: str, station: str | None = None) -> float | None:
        """The value of a quantity, at the first station where none is named."""
        at = 0 if station is None else self.stations.index(station)
        return self.values[at].get(key)
