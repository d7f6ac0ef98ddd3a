"""From design tasks to results: pipes of one basis are designed together, on arrays."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.expressions.tracing import Traced
from linerdesign.expressions.tree import Symbol
from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods import engine
from linerdesign.methods.basis import FULLY, PARTIALLY, Basis
from linerdesign.methods.check import Check
from linerdesign.methods.engine import Designs
from linerdesign.methods.method import constants, method_of, missing_inputs
from linerdesign.methods.raised import Alternative, Raised
from linerdesign.methods.result import CheckResult, NotDesigned, OtherLoad, PipeResult, PlaceResult
from linerdesign.methods.steps import varying_keys
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.methods.task import PipeTask

# Given quantities by key, in the units of a system, what else is found in them: numbers of some
# pipes, or symbols.
Watch = Callable[[Mapping[str, Any], str], Iterable[Raised]]


def design(task: PipeTask) -> PipeResult:
    """The design of one pipe.

    Raises:
        ArithmeticError: where the inputs, each possible, can't be designed together.
    """
    (result,) = design_all([task])
    if isinstance(result, NotDesigned):
        raise ArithmeticError("; ".join(finding.text for finding, _, _ in result.reasons))
    return result


def design_all(
    tasks: Sequence[PipeTask], watch: Watch = lambda values, system: ()
) -> list[PipeResult | NotDesigned]:
    """The designs of pipes, in their order. `watch` adds findings to those of the method."""
    found: dict[int, PipeResult | NotDesigned] = {}
    for places, together in _alike(tasks):
        designs = engine.design(together[0].basis, _inputs(together), together[0].waivers)
        system = designs.basis.system
        symbols = {key: Traced(Symbol(key)) for key in designs.quantities}
        calculation = designs.calculation.watching(watch(symbols, system))
        watched = tuple(watch(designs.values, system))
        results = _results(together, replace(designs, calculation=calculation), watched)
        for place, result in zip(places, results, strict=True):
            found[place] = result
    return [found[place] for place in range(len(tasks))]


def _alike(tasks: Sequence[PipeTask]) -> Iterator[tuple[list[int], list[PipeTask]]]:
    """Tasks that run together: of one basis, number of stations and set of inputs."""
    groups: dict[Any, list[int]] = {}
    for place, task in enumerate(tasks):
        keys = tuple(each.key for each in task.stations[0].inputs)
        shape = (task.basis, task.waivers, len(task.stations), keys)
        groups.setdefault(shape, []).append(place)
    for places in groups.values():
        yield places, [tasks[place] for place in places]


def _inputs(tasks: Sequence[PipeTask]) -> dict[str, Any]:
    """The inputs by key, with the axes pipe and station."""
    keys = [each.key for each in tasks[0].stations[0].inputs]
    rows = [[[each.value for each in s.inputs] for s in task.stations] for task in tasks]
    stacked = np.asarray(rows, float)
    return {key: stacked[:, :, i] for i, key in enumerate(keys)}


def _results(
    tasks: Sequence[PipeTask], designs: Designs, watched: Sequence[Raised]
) -> list[PipeResult | NotDesigned]:
    raised = [*watched, *designs.raised()]
    columns = {key: designs.array(key).tolist() for key in designs.quantities}
    pipes = _of_pipes(designs)
    checks = [_CheckColumns(check, designs) for check in designs.calculation.checks]
    places = _places(designs)
    notes = _Notes(raised, designs)
    others = list(method_of(designs.basis).alternatives(designs.basis, designs.values))
    results: list[PipeResult | NotDesigned] = []
    for i, task in enumerate(tasks):
        if reasons := tuple(_reasons(designs, i, task)):
            results.append(NotDesigned(task, reasons))
            continue
        ats = [station.at for station in task.stations]
        here = tuple(PlaceResult(at, *places[i][j]) for j, at in enumerate(ats))
        worst = int(np.argmax(pipes["worst"][i]))
        bore, rated = bool(pipes["bore"][i]), bool(pipes["rated"][i])
        results.append(
            PipeResult(
                task=task,
                status=str(pipes["status"][i]),
                governing=here[worst].governing,
                governing_station=ats[worst],
                required_thickness=float(pipes["required"][i]),
                nominal_thickness=float(pipes["nominal"][i]),
                own_safety_factor=float(pipes["factor"][i]) if bore and rated else None,
                bore=bore,
                minimum_governs=bool(pipes["minimum"][i]),
                places=here,
                checks=tuple(c for j, at in enumerate(ats) for c in _checks(checks, i, j, at)),
                notes=tuple(dict.fromkeys((*task.notes, *notes.of(i, task)))),
                values=tuple(
                    {key: column[i][j] for key, column in columns.items()} for j in range(len(ats))
                ),
                calculation=designs.calculation,
                other_loads=tuple(_other_loads(others, i, designs.shape)),
            )
        )
    return results


def _of_pipes(designs: Designs) -> dict[str, Any]:
    keys = {
        "status": "status_of_pipe",
        "required": "thickest",
        "nominal": "t",
        "bore": "bore_of_pipe",
        "rated": "rated_of_pipe",
        "factor": "least_factor_of_pipe",
    }
    found = {name: designs.of_pipes(key) for name, key in keys.items()}
    given = designs.basis.thickness_given
    minimum = np.zeros(designs.shape[0], bool) if given else designs.of_pipes("minimum_governs")
    return found | {"worst": designs.array("worst"), "minimum": minimum}


def _places(designs: Designs) -> list[list[tuple[float, str, float | None, bool, str]]]:
    """What is found at each station of each pipe, in the order of `PlaceResult`."""
    keys = ("t_required", "governing", "least_factor", "bore", "status", "rated")
    lists = [designs.array(key).tolist() for key in keys]
    return [
        [
            (required, governing, factor if bore and rated else None, bore, status)
            for required, governing, factor, bore, status, rated in zip(*rows, strict=True)
        ]
        for rows in zip(*lists, strict=True)
    ]


class _CheckColumns:
    """One check at every station of every pipe, as lists."""

    def __init__(self, check: Check, designs: Designs) -> None:
        def column(key: str) -> list[list[Any]]:
            found: list[list[Any]] = designs.array(key).tolist()
            return found

        self.check = check
        self.unit = SYMBOLS[check.demand].unit(designs.basis.system)
        self.applies = column(f"applies_{check.name}")
        self.passes = column(f"meets_{check.name}")
        self.numbers = [column(key) for key in (check.required, check.demand, check.capacity)]
        self.rated = column(f"rated_{check.name}") if check.safety else None
        self.factor = column(check.safety) if check.safety else None

    def at(self, i: int, j: int, at: str | None) -> CheckResult:
        """The check of pipe `i` at its station `j`."""
        required, demand, capacity = (column[i][j] for column in self.numbers)
        rated = self.rated is not None and self.rated[i][j]
        return CheckResult(
            equation=self.check.equation,
            station=at,
            required_thickness=required,
            demand=demand,
            capacity=capacity,
            unit=self.unit,
            safety_factor=self.factor[i][j] if rated and self.factor else None,
            passes=self.passes[i][j],
            why=self.check.why,
            upper=self.check.upper,
        )


def _checks(columns: Sequence[_CheckColumns], i: int, j: int, at: str | None) -> list[CheckResult]:
    return [column.at(i, j, at) for column in columns if column.applies[i][j]]


def _reasons(
    designs: Designs, i: int, task: PipeTask
) -> Iterator[tuple[Finding, str, tuple[tuple[str, float], ...]]]:
    """Why pipe `i` can't be designed; nothing where it can."""
    for each in designs.refusing:
        limit = each.limit
        for j in np.flatnonzero(designs.array(each.key)[i]):
            holds = each.line.condition_tree(limit.holds)
            keys = dict.fromkeys(tree.symbols(holds))
            read_by = tuple((key, float(designs.array(key)[i, j])) for key in keys)
            at = task.stations[j].at
            said = finding(limit.code, limit.severity, at, **dict(limit.numbers))
            yield said, limit.refuses, read_by
    if not designs.finite[i]:
        yield finding("design.not_finite", Severity.OUTSIDE), "", ()


def _other_loads(
    others: Sequence[Alternative], i: int, shape: tuple[int, int]
) -> Iterator[OtherLoad]:
    """The other rules that reach pipe `i`."""
    for each in others:
        if np.broadcast_to(each.reaches, shape)[i, 0]:
            loads = np.broadcast_to(each.load, shape)[i].tolist()
            required, nominal = (
                float(np.broadcast_to(values, shape)[i, 0])
                for values in (each.required, each.nominal)
            )
            found = tuple(load if np.isfinite(load) else None for load in loads)
            yield OtherLoad(each.rule, found, required, nominal)


class _Notes:
    """The findings of each pipe from those of all of them."""

    def __init__(self, raised: Sequence[Raised], designs: Designs) -> None:
        self.shape = designs.shape
        self.lines = {each.key: each.line.result for each in designs.calculation.ranges}
        self.raised = [
            (each, where, np.asarray(where.any(axis=1)))
            for each in raised
            if (where := np.broadcast_to(each.where, designs.shape)).any()
        ]

    def of(self, i: int, task: PipeTask) -> Iterator[Finding]:
        """The findings of pipe `i`. One that all stations share is without a station."""
        varying = varying_keys(task) if len(task.stations) > 1 else frozenset()
        for each, where, some in self.raised:
            if not some[i]:
                continue
            shared = each.of_pipe or (each.key and self.lines[each.key] not in varying)
            for j in np.flatnonzero(where[i])[: 1 if shared else None]:
                at = None if shared else task.stations[j].at
                yield each.at(i, int(j), at, self.shape)


def other_condition(task: PipeTask) -> PipeTask | None:
    """The same pipe in the other condition, where its inputs suffice for it."""
    return None if missing_for_other(task) else replace(task, basis=_other(task.basis))


def missing_for_other(task: PipeTask) -> tuple[str, ...]:
    """The keys that the other condition reads and the project does not give, by their names."""
    basis = _other(task.basis)
    known = {*task.stations[0].values, *(each.key for each in constants(basis))}
    return tuple(sorted(map(name_of, missing_inputs(basis, known))))


def _other(basis: Basis) -> Basis:
    return replace(basis, condition=PARTIALLY if basis.condition == FULLY else FULLY)
