"""`linerdesign batch IN -o OUT`: an inventory, one row a pipe."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from linerdesign.cli import options
from linerdesign.documents.blocks import Outcome
from linerdesign.documents.numbers import clean
from linerdesign.methods.verdicts import CHECKED, SIZED
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.naming import UNCHANGED, read_naming
from linerdesign.project.reading import read
from linerdesign.tasks.batch.files import Progress, Wishes, size_table
from linerdesign.tasks.batch.report import inventory_data, inventory_report, like_formulas
from linerdesign.tasks.batch.tables import FORMS, count_lines

OWN_FORMS = FORMS
OUTPUT_HELP = (
    f"exactly one table to write ({' '.join(FORMS)}) is required; the summary may be written too "
    "(.txt .json .pdf .html), with one more -o each"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "table", metavar="IN", type=Path, help="inventory (.csv, .parquet, .xlsx), units in header"
    )
    parser.add_argument(
        "--project",
        metavar="FILE",
        type=Path,
        required=True,
        help="project file with [criteria] and [[resin]]; its pipes are not read",
    )
    parser.add_argument(
        "--map",
        metavar="FILE",
        type=Path,
        help="TOML file: [columns] of the inventory as keys, [values.KEY] as words of a key",
    )
    parser.add_argument(
        "--by",
        metavar="COLUMN",
        action="append",
        default=[],
        help="totals by the values of a column as well; may be repeated",
    )
    parser.add_argument(
        "--against",
        metavar="OLD",
        type=Path,
        help="earlier result of this command to compare with, by name",
    )
    parser.add_argument("--units", choices=("US", "SI"), help="unit system of the calculation")
    options.add_uncertainty(parser)


def run(arguments: argparse.Namespace) -> Outcome:
    """Sizes the inventory into its target, and gives the summary."""
    targets = [path for path in arguments.output if path.suffix.lower() in FORMS]
    if len(targets) != 1:
        found = " and ".join(map(str, targets))
        raise InputFaults([fault("one_table", "-o", found, known=", ".join(FORMS))])
    given = (arguments.table, arguments.project, arguments.map, arguments.against)
    for source in filter(None, given):
        if targets[0].exists() and source.exists() and targets[0].samefile(source):
            raise InputFaults([fault("same_file", "-o", str(targets[0]))])
    project = read(arguments.project, needs_pipes=False)
    system = arguments.units or project.info.units
    naming = read_naming(arguments.map) if arguments.map else UNCHANGED
    uncertainty = options.uncertainty(arguments)
    wishes = Wishes(naming, tuple(arguments.by), arguments.against, uncertainty)
    with _stopped_by_signal(), _progress(arguments.table) as progress:
        summary, hints = size_table(arguments.table, targets[0], project, system, progress, wishes)
    for hint in (*summary.remarks, *hints):
        print(f"linerdesign: {clean(hint)}", file=sys.stderr)
    for text in like_formulas(summary):
        print(f"linerdesign: {text}", file=sys.stderr)
    return Outcome(
        document=inventory_report(project, summary, hints, system),
        data=inventory_data(summary, hints),
        holds=summary.rows == summary.statuses[SIZED] + summary.statuses[CHECKED],
    )


@contextmanager
def _stopped_by_signal() -> Iterator[None]:
    """A request to end stops the run as Ctrl-C does, so that no half-written file stays."""

    def stop(_signal: int, _frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


@contextmanager
def _progress(table: Path) -> Iterator[Progress]:
    """A bar on standard error where that is a terminal; nothing elsewhere."""
    if not sys.stderr.isatty():
        yield lambda rows: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TimeRemainingColumn

    total = count_lines(table) - 1 if table.suffix.lower() == ".csv" and table.is_file() else None
    columns = ("pipes", BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(file=sys.stderr), transient=True) as bar:
        task = bar.add_task("pipes", total=total)
        yield lambda rows: bar.advance(task, rows)
