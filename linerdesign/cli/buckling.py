"""`linerdesign buckling FILE`: a second opinion on X1.1 by encased-ring theory."""

from __future__ import annotations

import argparse
from dataclasses import replace

from linerdesign.cli import project_file
from linerdesign.documents.blocks import Outcome
from linerdesign.documents.json import identity_data
from linerdesign.interface import size
from linerdesign.methods.ring.collapse import RANGES
from linerdesign.project import options
from linerdesign.project.identity import identity
from linerdesign.tasks.second_opinion.opinion import Assumed
from linerdesign.tasks.second_opinion.report import added, opinions_data, opinions_report


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.epilog = (
        "Exit code: 0 where every design is valid by the standard and the model has a result for "
        "each pipe under external pressure, whatever that result is; 1 where a design is not "
        "valid, or the model has no result."
    )
    project_file.add_arguments(parser)
    parser.add_argument(
        "--pipe", metavar="NAME", action="append", default=[], help="only this pipe; repeatable"
    )
    parser.add_argument(
        "--gap",
        metavar="PERCENT",
        help='annular gap before loading, of the radius; default "0.5 %%", German practice',
    )
    parser.add_argument(
        "--ovality", metavar="PERCENT", help="ovality of the host; default each pipe's own"
    )
    parser.add_argument(
        "--imperfection",
        metavar="PERCENT",
        help='depth of a local bulge at the crown, of the radius; default "2 %%", German practice',
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Gives a second opinion on the pipes of the project."""
    assumed = _assumed(arguments)
    project, system = project_file.read_project(arguments)
    results = size(project, system, arguments.pipe).pipes
    found = [added(result, arguments.output, assumed) for result in results]
    about = identity(project, {"units": system, "pipes": arguments.pipe, "assumed": assumed})
    document = opinions_report(project, system, [blocks for _, blocks in found])
    return Outcome(
        document=replace(document, identity=about),
        data=opinions_data(system, [data for data, _ in found])
        | identity_data(project.info, about),
        # A pipe without a result of the model is outside the method.
        holds=all(result.holds for result in results)
        and not any(data["reason"] for data, _ in found if data["pressure_asked"]),
    )


def _assumed(arguments: argparse.Namespace) -> Assumed:
    """The imperfections asked for, within what the model has been checked for."""
    shares = {}
    with options.every_fault() as faults:
        for name in ("gap", "ovality", "imperfection"):
            low, high = RANGES[name]
            expected = f"{100 * low:g} to {100 * high:g} %, where the model has been checked"
            text = getattr(arguments, name)
            if text is not None:
                shares[name] = options.percent(f"--{name}", text, faults, (low, high), expected)
    return Assumed(**shares)
