"""`linerdesign review FILE`: rechecks the values that a submitted calculation states."""

from __future__ import annotations

import argparse
from dataclasses import replace

from linerdesign.cli import project_file
from linerdesign.cli.options import percent, seed_of
from linerdesign.documents import workbook
from linerdesign.interface import Review, review
from linerdesign.project.faults import every_fault
from linerdesign.project.placing import put
from linerdesign.tasks.review.recheck import Tolerances
from linerdesign.tasks.review.reviewing import Wishes
from linerdesign.tasks.review.sensitivity import SEED
from linerdesign.words import sentence

OWN_FORMS = (".xlsx",)
NOT_ALL = "not_confirmed"
# Over these percentages nothing is checked any more: judgement, no source.
MOST = {"tolerance": 20.0, "open_point": 50.0}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    project_file.add_arguments(parser)
    parser.add_argument(
        "--tolerance",
        metavar="PERCENT",
        default="1 %",
        help='values within this agree (default "1 %%", at most 20 %%)',
    )
    parser.add_argument(
        "--open-point",
        metavar="PERCENT",
        default="5 %",
        help='a difference over this is an open point (default "5 %%", at most 50 %%)',
    )
    parser.add_argument(
        "--side-by-side",
        action="store_true",
        help="both editions and both host conditions beside each other",
    )
    parser.add_argument(
        "--sheets",
        action="store_true",
        help="our calculation sheets behind the letter or record; always in a workbook",
    )
    parser.add_argument("--seed", metavar="N", help=f"seed of the simulation (default {SEED})")
    parser.add_argument(
        "--record",
        action="store_true",
        help="the internal record (recheck, replay, sensitivity, requirements), not the letter",
    )


def run(arguments: argparse.Namespace) -> Review:
    """Reviews the pipes that have stated values; holds where all is agreed and met."""
    wishes = arguments.faults.of(_wishes, arguments) or Wishes()
    project, units = project_file.read_project(arguments)
    found = review(project, units, wishes)
    for path in arguments.output:
        if path.suffix.lower() in OWN_FORMS and not arguments.faults:
            # A workbook holds our calculation as live formulas.
            with_sheets = replace(found, wishes=replace(wishes, sheets=True))
            put(path, workbook.render(with_sheets.document))
    return found


def _wishes(arguments: argparse.Namespace) -> Wishes:
    with every_fault() as faults:
        agreement, open_point = (
            percent(
                f"--{option.replace('_', '-')}",
                getattr(arguments, option),
                faults,
                (0.0, most / 100),
                sentence("program.most_tolerance", most=most),
            )
            for option, most in MOST.items()
        )
        seed = seed_of(arguments, faults)
    tolerances = Tolerances(agreement, open_point)
    both, trials = arguments.side_by_side, SEED if seed is None else seed
    return Wishes(tolerances, both, arguments.sheets, trials, arguments.record)
