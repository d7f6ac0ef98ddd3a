"""`linerdesign batch IN -o OUT`: an inventory, one row a pipe."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from linerdesign.cli import options
from linerdesign.cli.choices import add_units
from linerdesign.documents.figures import render
from linerdesign.documents.numbers import clean
from linerdesign.networks import Inventory
from linerdesign.project.columns import NOMINAL
from linerdesign.project.faults import Faults, every_fault, fault
from linerdesign.project.naming import UNCHANGED, read_naming
from linerdesign.project.placing import put
from linerdesign.project.reading import read
from linerdesign.tasks.batch.files import (
    Progress,
    Wishes,
    check_inventory,
    check_table,
    size_table,
)
from linerdesign.tasks.batch.report import like_formulas
from linerdesign.tasks.batch.tables import FORMS, count_lines, layer_of

PICTURES = (".svg", ".png")
OWN_FORMS = (*FORMS, *PICTURES)
# Documents that show a map.
DRAWN = (".html", ".pdf")
OUTPUT_HELP = (
    f"exactly one table to write ({' '.join(FORMS)}) is required; the summary may be written too "
    "(.txt .json .pdf .html), and a map (.svg .png), "
    "with one more -o each"
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.add_argument(
        "table",
        metavar="IN",
        type=Path,
        help=f"inventory ({', '.join(FORMS)}), units in header",
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
    add_units(parser, help="unit system of the calculation")
    options.add_uncertainty(parser)
    _add_where(parser)


def _add_where(parser: argparse.ArgumentParser) -> None:
    """Where the pipes are, and where they are sized."""
    parser.add_argument("--layer", metavar="NAME", help="layer of a GeoPackage with several")
    parser.add_argument(
        "--map-by",
        metavar="COLUMN",
        help="column that a map shows by pipe (default: nominal_thickness)",
    )
    parser.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help="Dask scheduler whose workers size the rows, such as tcp://10.0.0.5:8786",
    )


def run(arguments: argparse.Namespace) -> Inventory:
    """Sizes the inventory into its target, and gives the summary."""
    targets = [path for path in arguments.output if path.suffix.lower() in FORMS]
    with every_fault() as faults:
        if len(targets) != 1:
            found = " and ".join(map(str, targets))
            faults.append(fault("one_table", "-o", found, known=", ".join(FORMS)))
        given = (arguments.table, arguments.project, arguments.map, arguments.against)
        for target in targets:
            faults.of(check_table, target, given)
        project = faults.of(read, arguments.project, needs_pipes=False)
        wishes = _wishes(arguments, faults)
        faults.extend(arguments.faults)
        if faults:
            system = arguments.units or (project and project.info.units) or "US"
            faults.of(check_inventory, arguments.table, project, system, wishes)
    assert project is not None  # its faults are raised
    system = arguments.units or project.info.units
    with _progress(arguments.table) as progress:
        summary, hints = size_table(arguments.table, targets[0], project, system, progress, wishes)
    for path in arguments.output:
        if summary.map and path.suffix.lower() in PICTURES:
            put(path, render(summary.map.figure, path.suffix.lower()[1:]))
    for hint in (*summary.remarks, *hints):
        print(f"linerdesign: {clean(hint)}", file=sys.stderr)
    for text in like_formulas(summary):
        print(f"linerdesign: {text}", file=sys.stderr)
    return Inventory(project, system, summary, hints)


def _wishes(arguments: argparse.Namespace, faults: Faults) -> Wishes:
    forms = {path.suffix.lower() for path in arguments.output}
    return Wishes(
        naming=faults.of(read_naming, arguments.map) or UNCHANGED if arguments.map else UNCHANGED,
        by=tuple(arguments.by),
        against=arguments.against,
        layer=faults.of(layer_of, arguments.table, arguments.layer),
        map_by=arguments.map_by or (NOMINAL if forms & {*PICTURES} else None),
        mapped=bool(forms & {*DRAWN}),
        scheduler=arguments.scheduler,
        uncertainty=faults.of(options.uncertainty, arguments),
    )


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
    with Progress(*columns, console=Console(file=sys.__stderr__), transient=True) as bar:
        task = bar.add_task("pipes", total=total)
        yield lambda rows: bar.advance(task, rows)
