"""`linerdesign buckling FILE`: a second opinion by encased-ring theory."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from linerdesign.cli import options, project_file
from linerdesign.cli.choices import OneOf
from linerdesign.documents.blocks import Outcome, of_project
from linerdesign.documents.json import identity_data
from linerdesign.field.survey.hosts import host_of
from linerdesign.interface import Units, size
from linerdesign.methods.result import PipeResult
from linerdesign.methods.ring.collapse import RANGES
from linerdesign.methods.ring.creep import FINDLEY, POWER, TEST, Law
from linerdesign.project.assembly import unknown_pipes
from linerdesign.project.faults import Faults, every_fault
from linerdesign.project.identity import identity
from linerdesign.project.models import Pipe, located_in
from linerdesign.project.reading import Project
from linerdesign.tasks.any_host.opinion import circular_opinion, shaped_opinion
from linerdesign.tasks.second_opinion.opinion import Assumed, assumed_in
from linerdesign.tasks.second_opinion.report import opinions_data, opinions_report
from linerdesign.tasks.second_opinion.time import Creeping
from linerdesign.words import sentence

LAWS_ASKED = (POWER, FINDLEY)
EXPONENTS = (0.05, 0.6)
CURVE_POINTS = 60


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
        help="annular gap before loading, of the radius; default that of the project's second "
        'method, else "0.5 %%", German practice',
    )
    parser.add_argument(
        "--ovality", metavar="PERCENT", help="ovality of the host; default each pipe's own"
    )
    parser.add_argument(
        "--imperfection",
        metavar="PERCENT",
        help="depth of a local bulge at the crown, of the radius; default that of the project's "
        'second method, else "2 %%", German practice',
    )

    parser.add_argument(
        "--study",
        action="store_true",
        help="one row a pipe from a table of the model, for many pipes; its error is printed",
    )
    _add_creep(parser)


def _add_creep(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--creep",
        metavar="LAW",
        action=OneOf,
        among=LAWS_ASKED,
        default=POWER,
        help='creep law of the wall, "power law" (default) or "Findley", through the modulus '
        "retention of the resin at the design life",
    )
    parser.add_argument(
        "--creep-test", metavar="FILE", type=Path, help="creep test, in place of a law"
    )
    parser.add_argument(
        "--exponent", metavar="N", default="0.2", help="exponent of Findley's law; default 0.2"
    )
    parser.add_argument(
        "--gap-growth",
        metavar="PERCENT",
        help="growth of the gap by shrinkage over the design life, of the radius; default none",
    )
    parser.add_argument(
        "--lasting",
        action="store_true",
        help="also find the pressure that the wall carries for the whole design life (slower)",
    )


def run(arguments: argparse.Namespace) -> Outcome:
    """Gives a second opinion on the pipes of the project."""
    assumed = arguments.faults.of(_assumed, arguments) or Assumed()
    project, system = project_file.read_project(arguments)
    assumed = assumed_in(project, assumed)
    shaped = [pipe for pipe in project.pipes if pipe.is_shaped and _asked(pipe, arguments)]
    with located_in(project), every_fault() as faults:
        faults.extend(unknown_pipes(arguments.pipe, project.as_read))
        results = faults.of(_sized, project, system, arguments.pipe) or ()
        folder = arguments.file.parent
        hosts = [faults.of(host_of, pipe, system, folder) for pipe in shaped]
        faults.extend(arguments.faults)
    if arguments.study:
        return _study(project, system, results, assumed)
    found = {
        each.name: circular_opinion(
            project, project.by_name[each.name], each, arguments.output, assumed
        )
        for each in results
    }
    readings = []
    for pipe, (host, file) in zip(shaped, filter(None, hosts), strict=True):
        found[pipe.name] = shaped_opinion(project, pipe, system, host, assumed)
        readings += [file] if file else []
    opinions = [found[name] for name in project.by_name if name in found]
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


def _asked(pipe: Pipe, arguments: argparse.Namespace) -> bool:
    return not arguments.pipe or pipe.name in arguments.pipe


def _sized(project: Project, system: Units, names: Sequence[str]) -> tuple[PipeResult, ...]:
    """The designs of the circular pipes, or of those named."""
    circular = tuple(pipe for pipe in project.pipes if not pipe.is_shaped)
    named = [pipe.name for pipe in circular if pipe.name in names]
    if not circular or (names and not named):
        return ()
    return size(replace(project, pipes=circular), system, named).pipes


def _holds(data: dict[str, Any]) -> bool:
    """Whether a pipe is inside a method: a host of another shape is outside that of the code."""
    parts = (data.get(name, {}) for name in ("missing_part", "grouting"))
    passed = all(part.get("passes", True) for part in parts)
    return passed and not (data["reason"] and data["pressure_asked"]) and not data.get("shaped")


def _study(
    project: Project, system: str, results: Sequence[PipeResult], assumed: Assumed
) -> Outcome:
    """All pipes by the table."""
    from linerdesign.tasks.second_opinion.study import rows_of, study_blocks, study_data

    rows = rows_of(results, assumed)
    about = identity(project, {"units": system, "assumed": assumed, "study": True})
    blocks = study_blocks(rows, system)
    document = of_project(project, system, sentence("ring.study_title"), blocks)
    return Outcome(
        document=replace(document, identity=about),
        data=study_data(rows, system) | identity_data(project.info, about),
        holds=all(result.holds for result in results)
        and all(row.collapse is not None for row in rows),
    )


def _assumed(arguments: argparse.Namespace) -> Assumed:
    """The imperfections requested, within what the model has been checked for."""
    shares = {}
    with every_fault() as faults:
        for name in ("gap", "ovality", "imperfection"):
            low, high = RANGES[name]
            expected = sentence("program.checked_range", low=100 * low, high=100 * high)
            text = getattr(arguments, name)
            if text is not None:
                shares[name] = options.percent(f"--{name}", text, faults, (low, high), expected)
        creeping = _creeping(arguments, faults)
    return Assumed(**shares, creeping=creeping)


def _creeping(arguments: argparse.Namespace, faults: Faults) -> Creeping:
    """How the wall creeps."""
    exponent = options.number("--exponent", arguments.exponent, faults, *EXPONENTS)
    growth = 0.0
    if arguments.gap_growth is not None:
        most = RANGES["gap"][1]
        growth = options.percent(
            "--gap-growth", arguments.gap_growth, faults, (0.0, most), f"0 to {100 * most:g} %"
        )
    law = Law(arguments.creep, exponent=exponent)
    if arguments.creep_test is not None:
        law = faults.of(_tested, arguments.creep_test) or law
    return Creeping(law, growth, arguments.lasting)


def _tested(file: Path) -> Law:
    """The law of a creep test, as `creep` fits it."""
    from linerdesign.field.laboratory.creep import CreepSettings, fit_creep
    from linerdesign.field.laboratory.reading import read_creep

    settings = CreepSettings()
    with every_fault() as faults:
        readings = faults.of(read_creep, file)
        found = faults.of(fit_creep, readings, settings) if readings else None
    assert found is not None  # its faults are raised
    fit = found.adopted
    times = np.geomspace(settings.t0, settings.life, CURVE_POINTS)
    moduli = fit.line(times) / fit.reference_modulus
    curve = tuple(zip(times.tolist(), moduli.tolist(), strict=True))
    return Law(TEST, float(moduli[-1]), settings.t0, settings.life, curve=curve)
