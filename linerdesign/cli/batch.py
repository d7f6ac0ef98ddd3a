"""`linerdesign batch IN -o OUT`: an inventory, one row a pipe."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType

from linerdesign.batch.rows import ERROR
from linerdesign.batch.sizing import Progress, size_table
from linerdesign.batch.summary import Summary, Total
from linerdesign.batch.tables import FORMS, count_lines
from linerdesign.design.result import CHECKED, SIZED
from linerdesign.outputs.document import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Outcome,
    Paragraph,
    of_project,
)
from linerdesign.outputs.numbers import clean
from linerdesign.project.faults import Fault, InputFaults
from linerdesign.project.reading import Project, read

OWN_FORMS = FORMS
OUTPUT_HELP = (
    f"exactly one table to write ({' '.join(FORMS)}) is required; the summary may be written too "
    "(.txt .json .pdf .html), with one more -o each"
)
MOST_CAUSES = 30
MOST_SIZES = 200


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
    parser.add_argument("--units", choices=("US", "SI"), help="unit system of the calculation")


def run(arguments: argparse.Namespace) -> Outcome:
    """Sizes the inventory into its target, and gives the summary."""
    targets = [path for path in arguments.output if path.suffix.lower() in FORMS]
    if len(targets) != 1:
        expected = f"exactly one table to write, its name ending in {', '.join(FORMS)}"
        raise InputFaults([Fault("-o", " and ".join(map(str, targets)), expected)])
    for source in (arguments.table, arguments.project):
        if targets[0].exists() and source.exists() and targets[0].samefile(source):
            expected = "another file than what is read, which --force does not overwrite"
            raise InputFaults([Fault(f"-o {targets[0]}", "", expected)])
    project = read(arguments.project, needs_pipes=False)
    system = arguments.units or project.info.units
    with _stopped_by_signal(), _progress(arguments.table) as progress:
        summary, hints = size_table(arguments.table, targets[0], project, system, progress)
    for hint in hints:
        print(f"linerdesign: {clean(hint)}", file=sys.stderr)
    for text in _like_formulas(summary):
        print(f"linerdesign: {text}", file=sys.stderr)
    return Outcome(
        document=_document(project, summary, hints, system),
        data=summary.data() | {"passed_through_unread": list(hints)},
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


def _document(project: Project, summary: Summary, hints: tuple[str, ...], units: str) -> Document:
    whole = summary.total()
    blocks: list[Block] = [
        Heading("Inventory"),
        Bullets(
            (
                f"rows: {summary.rows:,}",
                *(f"{name}: {count:,}" for name, count in summary.statuses.most_common() if count),
                f"length of the pipes with a thickness: {_length(whole, units)}",
                f"mass of their walls: {_mass(whole)}",
                *_repeated(summary),
                *_like_formulas(summary),
            )
        ),
        _by_thickness(summary, units),
        _by_size(summary),
    ]
    if summary.by_governing():
        rows = tuple((name, f"{count:,}") for name, count in summary.by_governing())
        blocks.append(Grid(("governing", "pipes"), "<>", rows, "Governing equations"))
    blocks += [*_defaults(summary), *_causes(summary)]
    if hints:
        blocks += [Heading("Columns that look like keys", 2), Bullets(hints)]
    if summary.statuses[ERROR]:
        blocks.append(Paragraph("Each row in error is in the table, with the reason beside it."))
    return of_project(project, units, "Inventory of liners", blocks)


def _repeated(summary: Summary) -> tuple[str, ...]:
    names = summary.repeated_names()
    return (f"rows that share their name with another row: {names:,}",) if names else ()


def _like_formulas(summary: Summary) -> tuple[str, ...]:
    count = summary.like_formulas
    text = (
        f"text cells that begin with = + - @ or a tab: {count:,}; a spreadsheet takes them "
        "for formulas when it opens a CSV file, in .xlsx they stay text"
    )
    return (text,) if count else ()


def _by_thickness(summary: Summary, units: str) -> Grid:
    rows = tuple(
        (f"{nominal:g}", f"{each.count:,}", _length(each, units), _mass(each))
        for nominal, each in summary.by_thickness().items()
    )
    columns = ("nominal, mm", "pipes", "length", "mass")
    return Grid(columns, ">>>>", rows, "By nominal thickness")


def _by_size(summary: Summary) -> Grid:
    """Counts by diameter and thickness: a crossed table while it fits on a page."""
    diameters = sorted({diameter for diameter, _ in summary.sizes})
    thicknesses = sorted({nominal for _, nominal in summary.sizes})
    rows = tuple(
        (
            f"{nominal:g}",
            *(
                f"{summary.sizes[d, nominal].count:,}" if (d, nominal) in summary.sizes else ""
                for d in diameters
            ),
        )
        for nominal in thicknesses
    )
    columns = ("nominal, mm", *(summary.diameter_label(diameter) for diameter in diameters))
    if len(diameters) > 12:
        rows = tuple(
            (summary.diameter_label(d), f"{nominal:g}", f"{each.count:,}")
            for (d, nominal), each in sorted(summary.sizes.items())[:MOST_SIZES]
        )
        columns = ("diameter", "nominal, mm", "pipes")
    return Grid(columns, ">" * len(columns), rows, "Pipes by nominal thickness and diameter")


def _defaults(summary: Summary) -> list[Block]:
    """What rows rest on that nobody gave for them, by how much it matters."""
    if not summary.defaults:
        return []
    rows = tuple(
        (clean(text), f"{count:,}", "-" if share is None else f"{100 * share:.1f} %")
        for text, count, share in summary.doubts()[:MOST_CAUSES]
    )
    caption = (
        "Rows resting on defaults, and the share of the first "
        f"{summary.sampled:,} whose nominal thickness changes with a tenth more or less"
    )
    return [Grid(("default", "rows", "changed"), "<>>", rows, caption)]


def _causes(summary: Summary) -> list[Block]:
    causes = summary.causes.most_common(MOST_CAUSES)
    if not causes:
        return []
    rows = tuple((clean(text), f"{count:,}") for text, count in causes)
    return [Grid(("cause", "rows"), "<>", rows, "Errors by cause")]


def _length(total: Total, units: str) -> str:
    from linerdesign.project.measures import convert

    if not total.length:
        return "-"
    if units == "US":
        return f"{convert(total.length, 'm', 'ft'):,.0f} ft"
    return f"{total.length:,.0f} m"


def _mass(total: Total) -> str:
    return f"{total.mass / 1000:,.2f} t" if total.mass else "-"
