"""`linerdesign docket FOLDER`: the status of many submittals, or the letter of one."""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import Any

from linerdesign.documents.blocks import Outcome
from linerdesign.interface import read, review
from linerdesign.project.faults import InputFaults, fault
from linerdesign.tasks.docket.reading import read_docket
from linerdesign.tasks.docket.report import docket_outcome, letter_outcome


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "folder",
        metavar="FOLDER",
        type=Path,
        help="one folder a submittal, in it a project file a revision",
    )
    parser.add_argument(
        "--letter", metavar="SUBMITTAL", help="letter with the open comments of one submittal"
    )
    parser.add_argument("--date", metavar="YYYY-MM-DD", default="", help="mark what is overdue")


def run(arguments: argparse.Namespace) -> Outcome:
    """Reviews every revision anew; holds where no correction is open and all can be read."""
    if arguments.date and not re.fullmatch(r"\d{4}-\d\d-\d\d", arguments.date):
        raise InputFaults([fault("docket.bad_date", "--date", arguments.date)])
    submittals = read_docket(arguments.folder, _reviewed)
    if arguments.letter is not None:
        return letter_outcome(submittals, arguments.letter)
    return docket_outcome(arguments.folder.resolve().name, submittals, arguments.date)


def _reviewed(path: Path) -> dict[str, Any]:
    return review(read(path)).data
