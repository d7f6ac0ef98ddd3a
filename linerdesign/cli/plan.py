"""`linerdesign plan FILE`: nominal thickness over diameter, cover and water."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from linerdesign.cli import options, project_file
from linerdesign.documents.blocks import Outcome
from linerdesign.project.faults import Fault
from linerdesign.project.measures import Measure
from linerdesign.project.placing import in_place_of
from linerdesign.tasks.plan.planning import (
    ABOVE_INVERT,
    USUAL_AXES,
    planning_table,
    water_key_of,
)
from linerdesign.tasks.plan.planning_report import planning_csv, planning_data, planning_report

OWN_FORMS = (".csv",)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    project_file.add_arguments(parser)
    parser.add_argument("--pipe", metavar="NAME", help="pipe that gives all else; the first one")
    parser.add_argument("--resin", metavar="NAME", help="resin of the table; the pipe's own")
    parser.add_argument("--diameter", metavar="D", nargs="+", help='host diameters: "8 in" "10 in"')
    parser.add_argument("--cover", metavar="H", nargs="+", help='covers: "5 ft" "10 ft"')
    parser.add_argument(
        "--water",
        metavar="W",
        nargs="+",
        help="water, in the datum in which the pipe states it; if not given, above the invert",
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Makes the planning table."""
    project, system = project_file.read_project(arguments)
    with options.every_fault() as faults:
        pipe = options.named("--pipe", arguments.pipe, project.pipes, faults)
        usual = project.resin_of(pipe).name
        name = usual if arguments.resin is None else arguments.resin
        resin = options.named("--resin", name, project.resins, faults)
        axes = _axes(arguments, system, faults)
    key = water_key_of(pipe, project.criteria) if arguments.water else ABOVE_INVERT
    table = planning_table(project, pipe, resin, *axes, system, key)
    for path in arguments.output:
        if path.suffix.lower() in OWN_FORMS:
            with in_place_of(path) as temporary:
                temporary.write_text(planning_csv(table), encoding="utf-8", newline="")
    return Outcome(planning_report(table), planning_data(table), table.holds)


def _axes(
    arguments: argparse.Namespace, system: str, faults: list[Fault]
) -> tuple[list[Measure], list[Measure], list[Measure]]:
    """Diameters, covers and waters, each once."""

    def axis(option: str, kind: str, texts: Sequence[str]) -> list[Measure]:
        found = [options.measured(option, text, kind, faults) for text in texts]
        return list({each.text: each for each in found}.values())

    diameters, covers, waters = USUAL_AXES[system]
    return (
        axis("--diameter", "section", arguments.diameter or diameters),
        axis("--cover", "cover", arguments.cover or covers),
        axis("--water", "level", arguments.water or waters),
    )
