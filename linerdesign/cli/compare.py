"""`linerdesign compare FILE`: every resin on every pipe."""

from __future__ import annotations

import argparse
from pathlib import Path

from linerdesign.cli import options, project_file
from linerdesign.cli.choices import OneOf
from linerdesign.documents.figures import render
from linerdesign.documents.writing import check_target
from linerdesign.interface import Comparison, compare
from linerdesign.project.faults import InputFaults, every_fault, fault
from linerdesign.project.placing import put
from linerdesign.project.quantities import Purchase
from linerdesign.project.reading import Project
from linerdesign.tasks.compare.comparison import Wishes
from linerdesign.tasks.compare.pictures import Drawn
from linerdesign.tasks.compare.ranking import OF_WALL

BY_MASS = "--resin-share-by-mass"
WITH_PICTURES = (".pdf", ".html")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.epilog = (
        "Exit code: 0 where at least one resin satisfies each pipe, even if others fail; 1 where "
        "none satisfies a pipe."
    )
    project_file.add_arguments(parser)
    parser.add_argument(
        "--by", action=OneOf, among=OF_WALL, default="thickness", help="what to rank by"
    )
    parser.add_argument(
        "--reference", metavar="RESIN", help="resin to compare with (default: the first)"
    )
    parser.add_argument(
        "--pipe", metavar="NAME", help="pipe of the detailed pictures (default: the first)"
    )
    parser.add_argument(
        BY_MASS,
        "--resin-share",
        dest="resin_share",
        metavar="PERCENT",
        default="100 %",
        help="resin as share of the wall by mass, for resins that state none in [resin.cost]; the "
        "rest is tube (default 100 %%). Not the resin_share of [order], which is by volume",
    )
    parser.add_argument(
        "--excess",
        metavar="PERCENT",
        default="0 %",
        help="resin bought over that, by mass (default 0 %%)",
    )
    parser.add_argument(
        "--discount-rate",
        metavar="PERCENT",
        default="0 %",
        help="discount rate a year, for annual costs (default 0 %%)",
    )
    parser.add_argument(
        "--pictures", metavar="FOLDER", type=Path, help="write the pictures as SVG and PNG"
    )
    options.add_uncertainty(parser)


def run(arguments: argparse.Namespace) -> Comparison:
    """Compares the project's resins on its pipes."""
    project, system = project_file.read_project(arguments)
    wishes = arguments.faults.of(_wishes, arguments, project) or Wishes(by=arguments.by)
    if arguments.pictures:
        first = arguments.pictures / "decision.svg"
        arguments.faults.of(check_target, first, arguments.force, (first.suffix,))
    if not project.pipes:
        raise InputFaults(())  # of a project whose faults are known
    comparison = compare(project, system, wishes)
    if arguments.pictures and not arguments.faults:
        _write_pictures(comparison.found.pictures, arguments.pictures, arguments.force)
    return comparison


def _wishes(arguments: argparse.Namespace, project: Project) -> Wishes:
    drawing = any(path.suffix.lower() in WITH_PICTURES for path in arguments.output)
    with every_fault() as faults:
        text = arguments.resin_share
        share = options.percent(BY_MASS, text, faults, (0.0, 1.0), "at most 100 %")
        excess = options.percent("--excess", arguments.excess, faults)
        discount = options.percent("--discount-rate", arguments.discount_rate, faults)
        reference = options.named("--reference", arguments.reference, project.resins, faults)
        pipe = options.named("--pipe", arguments.pipe, project.as_read, faults)
        uncertainty = faults.of(options.uncertainty, arguments)
    return Wishes(
        by=arguments.by,
        reference=reference,
        pipe=pipe,
        purchase=Purchase(share, excess, discount),
        pictures=(drawing or arguments.pictures is not None) and not arguments.faults,
        uncertainty=uncertainty,
    )


def _write_pictures(pictures: tuple[Drawn, ...], folder: Path, force: bool) -> None:
    """Each picture as SVG and as PNG, all or none."""
    figures = {
        folder / f"{each.name}.{form}": each.figure for each in pictures for form in ("svg", "png")
    }
    faults = [fault("exists", str(path)) for path in figures if path.exists() and not force]
    if faults:
        raise InputFaults(faults)
    for path, figure in figures.items():
        put(path, render(figure, path.suffix[1:]))
