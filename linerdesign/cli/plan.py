"""`linerdesign plan FILE`: nominal thickness by diameter, cover and groundwater."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from linerdesign.cli import options, project_file
from linerdesign.documents import workbook
from linerdesign.documents.blocks import Outcome
from linerdesign.documents.writing import put
from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.project.faults import Fault
from linerdesign.project.measures import Measure
from linerdesign.tasks.plan.report import (
    planning_csv,
    planning_data,
    planning_report,
    planning_workbook,
)
from linerdesign.tasks.plan.table import ABOVE_INVERT, USUAL_AXES, Axes, plan, water_key_of

OWN_FORMS = (".csv", ".xlsx")
BOTH = "both"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    project_file.add_arguments(parser)
    parser.add_argument("--pipe", metavar="NAME", help="pipe for all other values (default: first)")
    parser.add_argument(
        "--resin", metavar="NAME", nargs="+", help="resins, a table each (default: the pipe's own)"
    )
    parser.add_argument(
        "--all-resins", action="store_true", help="a table for each resin of the project"
    )
    parser.add_argument(
        "--condition",
        choices=(PARTIALLY, FULLY, BOTH),
        help="condition of the host, a table each (default: the pipe's own)",
    )
    parser.add_argument("--diameter", metavar="D", nargs="+", help='host diameters: "8 in" "10 in"')
    parser.add_argument("--cover", metavar="H", nargs="+", help='covers: "5 ft" "10 ft"')
    parser.add_argument(
        "--water",
        metavar="W",
        nargs="+",
        help="groundwater, in the datum of the pipe (default: heights above the invert)",
    )
    options.add_uncertainty(parser)


def run(arguments: argparse.Namespace) -> Outcome:
    """Makes the planning tables."""
    project, system = project_file.read_project(arguments)
    with options.every_fault() as faults:
        pipe = options.named("--pipe", arguments.pipe, project.pipes, faults)
        names = arguments.resin or [project.resin_of(pipe).name]
        resins = [options.named("--resin", each, project.resins, faults) for each in names]
        values = _axes(arguments, system, faults)
    if arguments.all_resins:
        resins = list(project.resins)
    conditions = [arguments.condition or pipe.condition]
    if arguments.condition == BOTH:
        conditions = [PARTIALLY, FULLY]
    key = water_key_of(pipe, project.criteria) if arguments.water else ABOVE_INVERT
    wishes = options.uncertainty(arguments)
    found = plan(project, pipe, resins, conditions, Axes(*values, key), system)
    if wishes is not None:
        from linerdesign.tasks.plan.confident import with_confidence

        found = with_confidence(found, wishes)
    for path in arguments.output:
        if path.suffix.lower() == ".csv":
            put(path, planning_csv(found).encode())
        elif path.suffix.lower() == ".xlsx":
            put(path, workbook.render(planning_workbook(found)))
    return Outcome(planning_report(found), planning_data(found), found.holds)


def _axes(
    arguments: argparse.Namespace, system: str, faults: list[Fault]
) -> tuple[tuple[Measure, ...], tuple[Measure, ...], tuple[Measure, ...]]:
    """Diameters, covers and waters, each once."""

    def axis(option: str, kind: str, texts: Sequence[str]) -> tuple[Measure, ...]:
        found = [options.measured(option, text, kind, faults) for text in texts]
        return tuple({each.text: each for each in found}.values())

    diameters, covers, waters = USUAL_AXES[system]
    return (
        axis("--diameter", "section", arguments.diameter or diameters),
        axis("--cover", "cover", arguments.cover or covers),
        axis("--water", "level", arguments.water or waters),
    )
