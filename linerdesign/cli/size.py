"""`linerdesign size FILE`: schedule and calculation sheets."""

from __future__ import annotations

import argparse

from linerdesign.cli import project_file
from linerdesign.documents.blocks import Addition
from linerdesign.interface import Sizing, size


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
        "--full",
        action="store_true",
        help="a calculation sheet for every pipe, in place of one for each class of pipes",
    )


def run(arguments: argparse.Namespace) -> Sizing:
    """Sizes the project's pipes."""
    project, units = project_file.read_project(arguments)
    sizing = size(project, units, arguments.pipe, arguments.both_conditions, arguments.full)
    if not arguments.buckling:
        return sizing
    # The numerical model brings in SciPy, which a sheet without it need not wait for.
    from linerdesign.tasks.second_opinion.report import added

    opinions = {pipe.name: added(pipe, arguments.output) for pipe in sizing.pipes}
    return sizing.with_additions(
        {name: Addition("buckling", data, blocks) for name, (data, blocks) in opinions.items()}
    )
