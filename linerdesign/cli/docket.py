"""`linerdesign docket FOLDER`: the status of many submittals, or the letter of one."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from linerdesign.documents.blocks import Outcome
from linerdesign.interface import read, review
from linerdesign.project.faults import every_fault, fault, shown
from linerdesign.tasks.docket.reading import is_date, read_docket
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
    with every_fault() as faults:
        if arguments.date and not is_date(arguments.date):
            faults.append(fault("docket.bad_date", "--date", shown(arguments.date)))
        submittals = faults.of(read_docket, arguments.folder, _reviewed)
        letter = None
        if submittals is not None and arguments.letter is not None:
            letter = faults.of(letter_outcome, submittals, arguments.letter)
    assert submittals is not None  # its faults are raised
    return letter or docket_outcome(arguments.folder.resolve().name, submittals, arguments.date)


def _reviewed(path: Path) -> dict[str, Any]:
    with every_fault() as faults:
        project = faults.of(read, path)
        found = faults.of(review, project) if project is not None else None
    assert found is not None  # its faults are raised
    return found.data
