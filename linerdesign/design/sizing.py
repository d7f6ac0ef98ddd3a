"""Designs one pipe on scalars: its stations, the worst of them, the wall, and the sheet's steps."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from linerdesign.design.basis import (
    FULLY,
    PARTIALLY,
    Basis,
    checks_of,
    choice_of_thickness,
    keys_read,
    missing_inputs,
    requirement,
    verification,
)
from linerdesign.design.checks import Check
from linerdesign.design.lines import Line, run
from linerdesign.design.live_load import FIXED
from linerdesign.design.result import (
    CHECKED,
    FAILS,
    OUTSIDE,
    SIZED,
    CheckResult,
    Input,
    InWords,
    Note,
    PipeResult,
    Step,
)
from linerdesign.equations import tree
from linerdesign.equations.equation import Severity
from linerdesign.equations.gravity import LEAST_STIFFNESS
from linerdesign.equations.sameness import at_most, under
from linerdesign.equations.symbols import SYMBOLS, name_of
from linerdesign.equations.tree import Call, Number

NO_SIZE = "no listed thickness of this resin is enough"
NOT_FINITE = "the inputs give no finite thickness together"


@dataclass(frozen=True)
class Station:
    """A place along the pipe with its own inputs; one unnamed station is the whole pipe."""

    inputs: tuple[Input, ...]
    at: str | None = None
    in_words: tuple[InWords, ...] = ()


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


def design(task: PipeTask) -> PipeResult:
    """The design of one pipe, every line of it.

    Raises:
        ArithmeticError: where the inputs, each possible, give no finite thickness together.
    """
    fixed = constants(task.basis)
    stations = tuple(replace(s, inputs=(*s.inputs, *fixed)) for s in task.stations)
    sheet = _Sheet(task, stations)
    first = [run(requirement(task.basis), _values(station)) for station in stations]
    worst = int(np.argmax([values["t_required"] for values in first]))
    chosen = run(choice_of_thickness(task.basis), first[worst])
    final = [run(verification(task.basis), {**values, "t": chosen["t"]}) for values in first]
    checks = tuple(
        _check(check, values, station.at, task.basis.system)
        for values, station in zip(final, stations, strict=True)
        for check in checks_of(task.basis)
        if _applies(check, values)
    )
    _refuse_what_is_not_finite(checks)
    sheet.write(final, first[worst] | chosen)
    governing = _governing(checks, stations[worst].at)
    notes = (*task.notes, *task.noted, *sheet.notes, *_thinness(task, chosen))
    return PipeResult(
        name=task.name,
        resin=task.resin,
        basis=task.basis,
        status=_status(task, checks, notes),
        governing=governing.equation,
        governing_station=governing.station,
        required_thickness=float(chosen["t_required"]),
        nominal_thickness=float(chosen["t"]),
        checks=checks,
        steps=tuple(sheet.steps),
        notes=notes,
        evidence=task.evidence,
        stations=tuple(station.at for station in stations),
        waivers=task.waivers,
        first=task.first,
        in_words=_in_words(task.stations),
        floor_decides=_floor_decides(task.basis, first[worst], chosen),
    )


def _in_words(stations: Sequence[Station]) -> tuple[InWords, ...]:
    """What is said in words: once where all stations share it, else with the station."""
    shared = [each for each in stations[0].in_words if all(each in s.in_words for s in stations)]
    own = (
        replace(each, station=station.at)
        for station in stations
        for each in station.in_words
        if each not in shared
    )
    return (*shared, *own)


def _floor_decides(basis: Basis, values: dict[str, Any], chosen: dict[str, Any]) -> bool:
    """Whether the equations alone would have led to a thinner wall."""
    if basis.thickness_given:
        return False
    alone = run(choice_of_thickness(basis), values | {"t_floor": 0.0})
    return bool(short(alone["t"], chosen["t"]))


def constants(basis: Basis) -> tuple[Input, ...]:
    """What the standard and the method of the live load themselves fix, as inputs."""
    if not basis.buried_fully:
        return ()
    stiffness = Input("S_min", LEAST_STIFFNESS[basis.system], "X1.4", "")
    fixed = FIXED.get(basis.live_load, ())
    return (
        stiffness,
        *(Input(each.key, each.value(basis.system), each.origin, "") for each in fixed),
    )


def met(demand: Any, capacity: Any) -> Any:
    """Whether what is asked stays within what is carried, for numbers or arrays."""
    return at_most(demand, capacity)


def short(thickness: Any, least: Any) -> Any:
    """Whether a thickness, the largest that is made, is under the least one needed."""
    return under(thickness, least)


def _values(station: Station) -> dict[str, Any]:
    return {each.key: each.value for each in station.inputs}


def _applies(check: Check, values: dict[str, Any]) -> bool:
    return check.when is None or bool(tree.evaluate(check.when.tree, values))


def _check(check: Check, values: dict[str, Any], at: str | None, system: str) -> CheckResult:
    demand, capacity = float(values[check.demand]), float(values[check.capacity])
    # A wall so thick that bending brings no tension has no factor in X1.2: nothing is asked. One
    # without a bore has a capacity under zero, and no factor: nothing is carried.
    factored = check.safety if demand > 0 and capacity > 0 else None
    safety = float(values[factored]) if factored else None
    return CheckResult(
        equation=check.equation,
        station=at,
        required_thickness=float(values[check.required]),
        demand=demand,
        capacity=capacity,
        unit=SYMBOLS[check.demand].unit(system),
        safety_factor=safety,
        passes=met(demand, capacity),
        why=check.why,
    )


def _governing(checks: Sequence[CheckResult], at: str | None) -> CheckResult:
    """The check that requires the thickest wall at the worst station."""
    return max((c for c in checks if c.station == at), key=lambda c: c.required_thickness)


def _refuse_what_is_not_finite(checks: Sequence[CheckResult]) -> None:
    numbers = [n for c in checks for n in (c.required_thickness, c.demand, c.capacity)]
    if not np.all(np.isfinite(numbers)):
        raise ArithmeticError(NOT_FINITE)


def _status(task: PipeTask, checks: Iterable[CheckResult], notes: Iterable[Note]) -> str:
    if not all(check.passes for check in checks):
        return FAILS
    if any(note.severity is Severity.OUTSIDE for note in notes):
        return OUTSIDE
    return CHECKED if task.basis.thickness_given else SIZED


def _thinness(task: PipeTask, chosen: dict[str, Any]) -> tuple[Note, ...]:
    sizes = task.basis.sizes
    if sizes and short(chosen["t"], chosen["t_least"]):
        return (Note(Severity.CAUTION, NO_SIZE),)
    return ()


def other_condition(task: PipeTask) -> PipeTask | None:
    """The same pipe in the other condition, where its inputs suffice for it."""
    return None if missing_for_other(task) else replace(task, basis=_other(task.basis), noted=())


def missing_for_other(task: PipeTask) -> tuple[str, ...]:
    """The keys that the other condition reads and the project does not give, by their names."""
    basis = _other(task.basis)
    known = {*_values(task.stations[0]), *(each.key for each in constants(basis))}
    return tuple(sorted(map(name_of, missing_inputs(basis, known))))


def _other(basis: Basis) -> Basis:
    return replace(basis, condition=PARTIALLY if basis.condition == FULLY else FULLY)


@dataclass
class _Sheet:
    """Gathers the steps in reading order. What all stations share stands once, without station."""

    task: PipeTask
    stations: tuple[Station, ...]
    steps: list[Step] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)

    def write(self, final: list[dict[str, Any]], chosen: dict[str, Any]) -> None:
        basis = self.task.basis
        varying = self._write_inputs()
        self._write_lines(requirement(basis), final, varying)
        if len(self.stations) > 1:
            self._write_worst(final)
        for line in choice_of_thickness(basis):
            self._add_line(line, chosen, None)
        self._write_lines(verification(basis), final, varying)

    def _next(self) -> int:
        """Number of the next step; a line that does not apply has none."""
        return 1 + max((step.number for step in self.steps), default=0)

    def _write_inputs(self) -> set[str]:
        """Writes the inputs that any line reads, and what the project gave beside them.

        Returns the keys that differ by station.
        """
        read = keys_read(self.task.basis)
        varying = set()
        for place, each in enumerate(self.stations[0].inputs):
            used = each.key in read
            if not used and each.given_by != "project":
                continue
            same = [station.inputs[place] for station in self.stations]
            if not used:
                same = [replace(one, origin=f"{one.origin}, not used here") for one in same]
            if all(one == same[0] for one in same):
                self._add_input(same[0], None)
                continue
            varying.add(each.key)
            for station, one in zip(self.stations, same, strict=True):
                self._add_input(one, station.at)
        return varying

    def _write_lines(
        self, lines: Iterable[Line], final: list[dict[str, Any]], varying: set[str]
    ) -> None:
        for line in lines:
            if varying.isdisjoint(line.needs):
                self._add_line(line, final[0], None)
                continue
            varying.add(line.result)
            for station, values in zip(self.stations, final, strict=True):
                self._add_line(line, values, station.at)

    def _write_worst(self, final: list[dict[str, Any]]) -> None:
        thicknesses = tuple(float(values["t_required"]) for values in final)
        self.steps.append(
            Step(
                number=self._next(),
                key="t_required",
                value=max(thicknesses),
                unit=SYMBOLS["t_required"].unit(self.task.basis.system),
                source="one tube has one thickness: the worst station governs",
                station=None,
                arithmetic=Call("max", tuple(Number(t) for t in thicknesses)),
            )
        )

    def _add_input(self, given: Input, at: str | None) -> None:
        unit = SYMBOLS[given.key].unit(self.task.basis.system)
        self.steps.append(Step(self._next(), given.key, given.value, unit, given.source, at))

    def _add_line(self, line: Line, values: dict[str, Any], at: str | None) -> None:
        applies = bool(line.applies(values))
        checks = checks_of(self.task.basis)
        asking = {check.required for check in checks if _applies(check, values)}
        absent = frozenset(check.required for check in checks) - asking
        flags = self._flags(line, values, at) if applies else ()
        source = f"{line.equation.clause}; {line.equation.provenance}"
        self.steps.append(
            Step(
                number=self._next() if applies else 0,
                key=line.result,
                value=float(values[line.result]),
                unit=SYMBOLS[line.result].unit(self.task.basis.system),
                source=source,
                station=at,
                line=line,
                arithmetic=tree.resolve(line.tree, values, absent) if applies else None,
                values=tuple((key, float(values[key])) for key in line.arguments),
                applies=applies,
                flags=flags,
            )
        )

    def _flags(self, line: Line, values: dict[str, Any], at: str | None) -> tuple[str, ...]:
        flags = []
        for limit in line.equation.limits_in(self.task.basis.system):
            if limit.waived_by in self.task.waivers:
                continue
            condition = line.condition_tree(limit.holds)
            if set(tree.symbols(condition)) <= values.keys() and not tree.evaluate(
                condition, values
            ):
                flags.append(limit.text)
                note = Note(limit.severity, limit.text if at is None else f"{limit.text} (at {at})")
                if note not in self.notes:
                    self.notes.append(note)
        return tuple(flags)
