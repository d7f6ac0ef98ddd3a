"""`linerdesign size FILE`: schedule and calculation sheets."""

from __future__ import annotations

import argparse
from dataclasses import replace

from linerdesign.cli import options, project_file
from linerdesign.documents.blocks import Addition, Outcome
from linerdesign.interface import Sizing, size
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.placing import put

# The bid schedule as a table.
OWN_FORMS = (".csv",)
OUTPUT_HELP = (
    "write the result; form by suffix: .txt .json .pdf .xlsx .html, or .csv for the bid schedule; "
    "repeatable"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    project_file.add_arguments(parser)
    parser.add_argument(
        "--pipe",
        metavar="NAME",
        action="append",
        default=[],
        help="size only this pipe; repeatable",
    )
    parser.add_argument(
        "--both-conditions",
        action="store_true",
        help="also show the thickness for the other host condition",
    )
    parser.add_argument(
        "--buckling",
        action="store_true",
        help="add the second opinion of `linerdesign buckling`, with its defaults, to each pipe",
    )
    parser.add_argument(
        "--works",
        action="store_true",
        help="the order and the site sheet alone, for the crew; the project has an [order]",
    )
    parser.add_argument(
        "--full",
        action="store_true",
        help="a calculation sheet for every pipe, in place of one for each class of pipes",
    )
    options.add_uncertainty(parser)


def _with_bid(arguments: argparse.Namespace, sizing: Sizing) -> Sizing:
    """Writes the bid schedule wherever a CSV file is wanted.

    Raises:
        InputFaults: where no pipe has a length, or none can be designed.
    """
    for path in arguments.output:
        if path.suffix.lower() in OWN_FORMS:
            if sizing.bid is None:
                raise InputFaults(sizing.faults or [fault("calculation.no_bid", str(path))])
            put(path, sizing.bid.csv)
    return sizing


def run(arguments: argparse.Namespace) -> Sizing | Outcome:
    """Sizes the project's pipes."""
    project, units = project_file.read_project(arguments, apart=True)
    wishes = arguments.faults.of(options.uncertainty, arguments)
    both, full = arguments.both_conditions, arguments.full
    sizing = arguments.faults.of(size, project, units, arguments.pipe, both, full, wishes)
    if arguments.works and sizing and not sizing.faulty:
        arguments.faults.of(lambda: sizing.works)
    if arguments.faults:
        of_pipes = (pipe.faults for pipe in (sizing or project).faulty or ())
        raise InputFaults(each for own in of_pipes for each in own)
    sizing = _with_bid(arguments, sizing)
    if arguments.works:
        return Outcome(sizing.works, sizing.data, sizing.holds)
    if not arguments.buckling:
        return sizing
    # The numerical model brings in SciPy, which a sheet without it need not wait for.
    from linerdesign.tasks.second_opinion.opinion import assumed_in
    from linerdesign.tasks.second_opinion.report import USUAL, added

    assumed = assumed_in(project, USUAL)
    opinions = {pipe.name: added(pipe, arguments.output, assumed) for pipe in sizing.pipes}
    return replace(
        sizing,
        options={**sizing.options, "buckling": True},
        opinions={name: Addition("buckling", *each) for name, each in opinions.items()},
    )
