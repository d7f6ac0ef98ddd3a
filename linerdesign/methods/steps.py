"""The numbered steps of a sheet, in reading order. What all stations share is listed once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from linerdesign.expressions import tree
from linerdesign.expressions.tree import Call, Node, Number
from linerdesign.methods.basis import Basis
from linerdesign.methods.equation import Limit
from linerdesign.methods.lines import Line
from linerdesign.methods.method import (
    checks_of,
    choice_of_thickness,
    constants,
    keys_read,
    requirement,
    verification,
)
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.methods.verification import (
    Verifications,
    constant_identity,
    table_identity,
    verification_of,
)

Values = Mapping[str, Any]
NOTHING: Verifications = MappingProxyType({})


def sheet_steps(result: PipeResult) -> tuple[Step, ...]:
    """The steps of one pipe: inputs, requirement, worst station, choice of wall, verification."""
    task, final = result.task, result.values
    basis, system = task.basis, task.basis.system
    stations, inputs = _given(task)
    varying = _varying(basis, inputs)
    absent = [_absent(basis, values) for values in final]
    chosen = max(final, key=lambda values: values["t_required"])

    def of_lines(lines: Iterable[Line]) -> Iterator[Step]:
        for line in lines:
            varies = line.result in varying
            for i, station in enumerate(stations if varies else stations[:1]):
                at = station.at if varies else None
                yield line_step(line, final[i], system, at, task.waivers, absent[i], task.verified)

    steps = (
        *_input_steps(inputs, stations, system, task.verified),
        *of_lines(requirement(basis)),
        *(_worst(final, system) if len(stations) > 1 else ()),
        *(
            line_step(line, chosen, system, verified=task.verified)
            for line in choice_of_thickness(basis)
        ),
        *of_lines(verification(basis)),
    )
    return numbered(steps)


def input_steps(task: PipeTask) -> tuple[Step, ...]:
    """The steps of the inputs alone, not numbered."""
    stations, inputs = _given(task)
    return tuple(_input_steps(inputs, stations, task.basis.system, task.verified))


def _given(task: PipeTask) -> tuple[tuple[Station, ...], tuple[tuple[Input, ...], ...]]:
    """The stations with what the method itself fixes, and the inputs shown."""
    fixed = constants(task.basis)
    stations = tuple(replace(s, inputs=(*s.inputs, *fixed)) for s in task.stations)
    return stations, tuple(_inputs(task.basis, stations))


def varying_keys(task: PipeTask) -> frozenset[str]:
    """The keys that differ between the stations of a pipe."""
    return _varying(task.basis, tuple(_inputs(task.basis, task.stations)))


def numbered(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps numbered through; a line that does not apply has no number."""
    made: list[Step] = []
    last = 0
    for step in steps:
        last += step.applies
        made.append(replace(step, number=last if step.applies else 0))
    return tuple(made)


def input_step(
    given: Input, system: str, at: str | None = None, verified: Verifications = NOTHING
) -> Step:
    """The step of an input, not numbered yet. A published value may have been verified."""
    origin = given.origin
    identity = constant_identity(given.key, system)
    if not origin.published:
        identity = table_identity(origin.table)
    found = verified.get(identity)
    if found is not None:
        origin = replace(origin, provenance=found.text)
    unit = SYMBOLS[given.key].unit(system)
    return Step(0, given.key, given.value, unit, origin, at, verified=found)


def line_step(
    line: Line,
    values: Values,
    system: str,
    at: str | None = None,
    waivers: frozenset[str] = frozenset(),
    absent: frozenset[str] = frozenset(),
    verified: Verifications = NOTHING,
) -> Step:
    """The step of a line, not numbered yet; `absent` are thicknesses that nothing asks for."""
    applies = bool(line.applies(values))
    return Step(
        number=0,
        key=line.result,
        value=float(values[line.result]),
        unit=SYMBOLS[line.result].unit(system),
        origin=None,
        station=at,
        line=line,
        arithmetic=_arithmetic(line, values, absent) if applies else None,
        values=tuple((key, float(values[key])) for key in line.arguments),
        applies=applies,
        limits_left=tuple(_left(line, values, system, waivers)) if applies else (),
        verified=verification_of(line.equation, verified),
    )


def _arithmetic(line: Line, values: Values, absent: frozenset[str]) -> Node:
    return tree.resolve(line.tree, values, absent) if line.selects else line.tree


def _left(line: Line, values: Values, system: str, waivers: frozenset[str]) -> Iterator[Limit]:
    """The ranges of the line's equation that the values leave, as far as they are known."""
    for limit, condition, keys in line.limits:
        if limit.system not in (None, system) or limit.waived_by in waivers:
            continue
        if keys <= values.keys() and not tree.evaluate(condition, values):
            yield limit


def _inputs(basis: Basis, stations: Sequence[Station]) -> Iterator[tuple[Input, ...]]:
    """The inputs shown, each at every station: those that a line reads or the project gives."""
    read = keys_read(basis)
    for same in zip(*(station.inputs for station in stations), strict=True):
        if same[0].key in read:
            yield same
        elif same[0].origin.by_project:
            yield tuple(replace(one, origin=one.origin.unused()) for one in same)


def _varying(basis: Basis, inputs: Iterable[tuple[Input, ...]]) -> frozenset[str]:
    """The keys that differ by station: of inputs, and of all lines that read such a key."""
    keys = {one.key for same in inputs for one in same if one != same[0]}
    for line in (*requirement(basis), *verification(basis)):
        if not keys.isdisjoint(line.needs):
            keys.add(line.result)
    return frozenset(keys)


def _input_steps(
    inputs: Iterable[tuple[Input, ...]],
    stations: Sequence[Station],
    system: str,
    verified: Verifications,
) -> Iterator[Step]:
    for same in inputs:
        if all(one == same[0] for one in same):
            yield input_step(same[0], system, verified=verified)
        else:
            for station, one in zip(stations, same, strict=True):
                yield input_step(one, system, station.at, verified)


def _absent(basis: Basis, values: Values) -> frozenset[str]:
    """The thicknesses of checks that ask for nothing here, left out of the largest of all."""
    checks = checks_of(basis)
    asking = {check.required for check in checks if check.applies(values)}
    return frozenset(check.required for check in checks) - asking


def _worst(final: Sequence[Values], system: str) -> Iterator[Step]:
    thicknesses = tuple(float(values["t_required"]) for values in final)
    yield Step(
        number=0,
        key="t_required",
        value=max(thicknesses),
        unit=SYMBOLS["t_required"].unit(system),
        origin=None,
        station=None,
        arithmetic=Call("max", tuple(Number(t) for t in thicknesses)),
    )
