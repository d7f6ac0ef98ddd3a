"""Designs one pipe on scalars: its stations, the worst of them, the wall, and its checks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions.printing import NOISE
from linerdesign.expressions.tolerance import at_most, under
from linerdesign.methods.equation import Severity
from linerdesign.methods.f1216.basis import (
    FULLY,
    PARTIALLY,
    Basis,
    checks_of,
    choice_of_thickness,
    missing_inputs,
    requirement,
    verification,
)
from linerdesign.methods.f1216.checks import Check
from linerdesign.methods.f1216.gravity import LEAST_STIFFNESS
from linerdesign.methods.f1216.load_lines import FIXED
from linerdesign.methods.lines import run
from linerdesign.methods.origin import by_standard
from linerdesign.methods.result import (
    CHECKED,
    FAILS,
    OUTSIDE,
    SIZED,
    CheckResult,
    Input,
    InWords,
    Note,
    PipeResult,
)
from linerdesign.methods.steps import notes_of_steps, sheet_steps
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import PipeTask, Station

NO_SIZE = "no listed thickness of this resin is enough"
NOT_FINITE = "the inputs give no finite thickness together"


def design(task: PipeTask) -> PipeResult:
    """The design of one pipe, every line of it.

    Raises:
        ArithmeticError: where the inputs, each possible, give no finite thickness together.
    """
    fixed = constants(task.basis)
    stations = tuple(replace(s, inputs=(*s.inputs, *fixed)) for s in task.stations)
    first = [run(requirement(task.basis), station.values) for station in stations]
    worst = int(np.argmax([values["t_required"] for values in first]))
    chosen = run(choice_of_thickness(task.basis), first[worst])
    final = [run(verification(task.basis), {**values, "t": chosen["t"]}) for values in first]
    checks = tuple(
        _check(check, values, station.at, task.basis.system)
        for values, station in zip(final, stations, strict=True)
        for check in checks_of(task.basis)
        if check.applies(values)
    )
    _refuse_what_is_not_finite(checks)
    steps = sheet_steps(task, stations, final, first[worst] | chosen)
    governing = _governing(checks, stations[worst].at)
    notes = (*task.notes, *task.noted, *notes_of_steps(steps), *_thinness(task, chosen))
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
        steps=steps,
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
    return bool(under(alone["t"], chosen["t"]))


def constants(basis: Basis) -> tuple[Input, ...]:
    """What the standard and the method of the live load themselves fix, as inputs."""
    if not basis.buried_fully:
        return ()
    stiffness = Input("S_min", LEAST_STIFFNESS[basis.system], by_standard("X1.4"))
    fixed = FIXED.get(basis.live_load, ())
    return (
        stiffness,
        *(Input(each.key, each.value(basis.system), each.origin) for each in fixed),
    )


def _check(check: Check, values: dict[str, Any], at: str | None, system: str) -> CheckResult:
    demand, capacity = float(values[check.demand]), float(values[check.capacity])
    # A wall so thick that bending brings no tension, or none but what rounding leaves, has no
    # factor in X1.2: nothing is asked. One without a bore carries nothing and has none.
    factored = check.safety if demand > NOISE and capacity > 0 else None
    safety = float(values[factored]) if factored else None
    return CheckResult(
        equation=check.equation,
        station=at,
        required_thickness=float(values[check.required]),
        demand=demand,
        capacity=capacity,
        unit=SYMBOLS[check.demand].unit(system),
        safety_factor=safety,
        passes=at_most(demand, capacity),
        why=check.why,
    )


def _governing(checks: Sequence[CheckResult], at: str | None) -> CheckResult:
    """The check that requires the thickest wall at the worst station."""
    return max((c for c in checks if c.station == at), key=lambda c: c.required_thickness)


def _refuse_what_is_not_finite(checks: Sequence[CheckResult]) -> None:
    numbers = [n for c in checks for n in (c.required_thickness, c.demand, c.capacity)]
    # A head so small that its pressure is no number above zero leaves nothing to check.
    if not numbers or not np.all(np.isfinite(numbers)):
        raise ArithmeticError(NOT_FINITE)


def _status(task: PipeTask, checks: Iterable[CheckResult], notes: Iterable[Note]) -> str:
    if not all(check.passes for check in checks):
        return FAILS
    if any(note.severity is Severity.OUTSIDE for note in notes):
        return OUTSIDE
    return CHECKED if task.basis.thickness_given else SIZED


def _thinness(task: PipeTask, chosen: dict[str, Any]) -> tuple[Note, ...]:
    sizes = task.basis.sizes
    if sizes and under(chosen["t"], chosen["t_least"]):
        return (Note(Severity.CAUTION, NO_SIZE),)
    return ()


def other_condition(task: PipeTask) -> PipeTask | None:
    """The same pipe in the other condition, where its inputs suffice for it."""
    return None if missing_for_other(task) else replace(task, basis=_other(task.basis), noted=())


def missing_for_other(task: PipeTask) -> tuple[str, ...]:
    """The keys that the other condition reads and the project does not give, by their names."""
    basis = _other(task.basis)
    known = {*task.stations[0].values, *(each.key for each in constants(basis))}
    return tuple(sorted(map(name_of, missing_inputs(basis, known))))


def _other(basis: Basis) -> Basis:
    return replace(basis, condition=PARTIALLY if basis.condition == FULLY else FULLY)
