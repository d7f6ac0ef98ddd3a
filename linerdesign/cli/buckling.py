"""`linerdesign buckling FILE`: a second opinion on X1.1 by encased-ring theory."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import Any

from linerdesign.cli import options, project_file
from linerdesign.documents.blocks import Outcome
from linerdesign.documents.json import identity_data
from linerdesign.field.survey.hosts import host_of
from linerdesign.interface import size
from linerdesign.methods.ring.collapse import RANGES
from linerdesign.project.consistency import is_shaped
from linerdesign.project.identity import identity
from linerdesign.project.reading import Project
from linerdesign.tasks.any_host.opinion import circular_opinion, shaped_opinion
from linerdesign.tasks.second_opinion.opinion import Assumed
from linerdesign.tasks.second_opinion.report import opinions_data, opinions_report


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.epilog = (
        "Exit code: 0 where every design is valid by the standard and the model has a result for "
        "each pipe under external pressure, whatever that result is; 1 where a design is not "
        "valid, the model has no result, a host is not circular (outside the standard), or a wall "
        "does not hold at a missing part of its host or under a stage of grout."
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
    circular = [pipe.name for pipe in project.pipes if not is_shaped(pipe)]
    wanted = [*arguments.pipe] or [pipe.name for pipe in project.pipes]
    sized = [name for name in wanted if name in circular or name not in _names(project)]
    results = size(project, system, sized).pipes if sized else ()
    pipes = {pipe.name: pipe for pipe in project.pipes}
    found = {
        result.name: circular_opinion(
            project, pipes[result.name], result, arguments.output, assumed
        )
        for result in results
    }
    readings = []
    for pipe in project.pipes:
        if pipe.name in wanted and is_shaped(pipe):
            host, file = host_of(pipe, system, arguments.file.parent)
            found[pipe.name] = shaped_opinion(project, pipe, system, host, assumed)
            readings += [file] if file else []
    opinions = [found[pipe.name] for pipe in project.pipes if pipe.name in found]
    options = {"units": system, "pipes": arguments.pipe, "assumed": assumed}
    about = identity(project, options, readings)
    document = opinions_report(project, system, [blocks for _, blocks in opinions])
    return Outcome(
        document=replace(document, identity=about),
        data=opinions_data(system, [data for data, _ in opinions])
        | identity_data(project.info, about),
        # A pipe without a result of the model is outside the method.
        holds=all(result.holds for result in results) and all(_holds(data) for data, _ in opinions),
    )


def _names(project: Project) -> list[str]:
    return [pipe.name for pipe in project.pipes]


def _holds(data: dict[str, Any]) -> bool:
    """Whether a pipe is inside a method: a host of another shape is outside that of the code."""
    parts = (data.get(name, {}) for name in ("missing_part", "grouting", "soil_springs"))
    passed = all(part.get("passes", True) for part in parts)
    return passed and not (data["reason"] and data["pressure_asked"]) and not data.get("shaped")


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
