"""`linerdesign plan FILE`: nominal thickness by diameter, cover and groundwater."""

from __future__ import annotations

import argparse

from linerdesign.cli import options, project_file
from linerdesign.cli.choices import OneOf
from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.networks import PlanningTables
from linerdesign.project.placing import put
from linerdesign.tasks.plan.request import CONDITIONS, Request, planned

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
        action=OneOf,
        among=(PARTIALLY, FULLY, BOTH),
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


def run(arguments: argparse.Namespace) -> PlanningTables:
    """Makes the planning tables."""
    project, system = project_file.read_project(arguments)
    every = [each.name for each in project.resins]
    conditions = [arguments.condition] if arguments.condition else []
    request = Request(
        pipe=arguments.pipe,
        resins=every if arguments.all_resins else arguments.resin or (),
        conditions=CONDITIONS if arguments.condition == BOTH else conditions,
        diameters=arguments.diameter or (),
        covers=arguments.cover or (),
        waters=arguments.water or (),
        option="--{}",
    )
    wishes = arguments.faults.of(options.uncertainty, arguments)
    found = planned(project, request, system)
    if wishes is not None:
        from linerdesign.tasks.plan.confident import with_confidence

        found = with_confidence(found, wishes)
    tables = PlanningTables(found)
    for path in arguments.output:
        if path.suffix.lower() in OWN_FORMS:
            put(path, tables.forms[path.suffix.lower()]())
    return tables
