"""`linerdesign size FILE`: schedule and calculation sheets."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from linerdesign.cli import project_file
from linerdesign.design.result import PipeResult
from linerdesign.design.sizing import PipeTask, design, other_condition
from linerdesign.outputs.document import Block, Document, Heading, Outcome, Sheet, of_project
from linerdesign.outputs.json import sizing_data
from linerdesign.outputs.numbers import both_units
from linerdesign.outputs.sheet import schedule_grid
from linerdesign.project.assembly import tasks
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.reading import Project

if TYPE_CHECKING:
    from linerdesign.works.asked import Asked


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    project_file.add_arguments(parser)
    parser.add_argument(
        "--pipe", metavar="NAME", action="append", default=[], help="only this pipe; repeatable"
    )
    parser.add_argument(
        "--both-conditions",
        action="store_true",
        help="show the thickness in the other host condition beside each pipe's own",
    )
    parser.add_argument(
        "--buckling",
        action="store_true",
        help="add the second opinion of the command buckling, with its defaults, to each pipe",
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Sizes the project's pipes."""
    project, system = project_file.read_project(arguments)
    chosen = only_named(tasks(project, system), arguments.pipe)
    results = tuple(size_pipe(task, arguments.both_conditions) for task in chosen)
    units = arguments.units or project.info.units
    data = sizing_data(results, units)
    for pipe, result in zip(data["pipes"], results, strict=True):
        pipe |= {each.kind: each.data() for each in _asked(project, result)}
    more: dict[str, tuple[Block, ...]] = {}
    if arguments.buckling:
        # The numerical model brings in SciPy, which a sheet without it need not wait for.
        from linerdesign.mechanics.report import added

        for pipe, result in zip(data["pipes"], results, strict=True):
            pipe["buckling"], more[result.name] = added(result, arguments.output)
    return Outcome(
        document=sizing_document(project, results, units, more),
        data=data,
        holds=all(result.holds for result in results),
    )


def size_pipe(task: PipeTask, both_conditions: bool = False) -> PipeResult:
    """The design of one pipe, with the other condition's beside it if asked.

    Raises:
        InputFaults: where the pipe's values give no finite thickness together.
    """
    try:
        result = design(task)
        other = other_condition(task) if both_conditions else None
        return replace(result, other_condition=design(other)) if other else result
    except ArithmeticError as error:
        expected = f"values that give a thickness ({error})"
        raise InputFaults([Fault(f"[[pipe]] {shown(task.name)}", "", expected)]) from None


def _asked(project: Project, result: PipeResult) -> tuple[Asked, ...]:
    """Capacity and quantities, loaded only for a project that asks for them."""
    pipes = project.pipes
    if not (project.capacity or project.order or any(p.capacity or p.order for p in pipes)):
        return ()
    from linerdesign.works.asked import asked

    return asked(project, result)


def only_named(all_tasks: tuple[PipeTask, ...], names: list[str]) -> tuple[PipeTask, ...]:
    """The tasks of the pipes named, all where none is.

    Raises:
        InputFaults: every name that no pipe has.
    """
    known = {task.name for task in all_tasks}
    unknown = [name for name in names if name not in known]
    if unknown:
        expected = "the name of a pipe: " + ", ".join(shown(name) for name in sorted(known)[:20])
        raise InputFaults([Fault("--pipe", shown(name), expected) for name in unknown])
    return tuple(task for task in all_tasks if not names or task.name in names)


def sizing_document(
    project: Project,
    results: tuple[PipeResult, ...],
    units: str,
    more: Mapping[str, tuple[Block, ...]] = MappingProxyType({}),
) -> Document:
    """Schedule first, then a sheet a pipe, with what there is `more` by the pipe's name."""
    blocks: list[Block] = [Heading("Schedule"), schedule_grid(results)]
    for result in results:
        blocks.append(Sheet(result, result.first))
        for each in _asked(project, result):
            wall = both_units(result.nominal_thickness, units)
            blocks.extend(each.blocks(f"{result.name}, a wall of {wall}"))
        blocks.extend(more.get(result.name, ()))
    return of_project(project, units, "Liner thickness calculation", blocks)
