"""`linerdesign accept FILE`: installed samples against the design."""

from __future__ import annotations

import argparse
from pathlib import Path

from linerdesign.cli import project_file
from linerdesign.cli.choices import OneOf, refused
from linerdesign.documents.blocks import Outcome, of_project
from linerdesign.documents.json import identity_data
from linerdesign.field.acceptance.decision import chosen_rule, decide
from linerdesign.field.acceptance.gathering import Installed, gather
from linerdesign.field.acceptance.report import blocks, data
from linerdesign.field.acceptance.rules import RULES
from linerdesign.project.faults import every_fault
from linerdesign.project.models import located_in
from linerdesign.project.requests import Acceptance, refuse_in_place


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of this command."""
    parser.epilog = (
        "Exit code: 0 where every pipe of the project is accepted; 1 where a requirement of any "
        "pipe is not met or not decided, as for a pipe without samples."
    )
    project_file.add_arguments(parser)
    parser.add_argument(
        "--samples",
        metavar="CSV",
        type=Path,
        help="table of samples: any of `thickness [mm], modulus [psi], strength [psi], "
        "tensile strength [psi]` with `pipe`, `specimen`, `station`, `clock`, `thickness basis`; "
        "in place of the project's",
    )
    parser.add_argument(
        "--bending",
        metavar="CSV",
        type=Path,
        help="raw bending records: `specimen, load [lbf], deflection [in], span, width, depth`",
    )
    parser.add_argument("--rule", action=OneOf, among=RULES, help="rule, in place of the project's")


def run(arguments: argparse.Namespace) -> Outcome:
    """Judges every pipe of the project."""
    project, system = project_file.read_project(arguments)
    with located_in(project), every_fault() as faults:
        faults.of(refuse_in_place, project, "`accept`")
        rule = RULES[0]
        if not refused(arguments, "--rule"):
            rule = faults.of(chosen_rule, project, arguments.rule) or rule
        folder = arguments.file.parent
        gathered = faults.of(gather, project, folder, arguments.samples, arguments.bending)
        samples = gathered.pipes if gathered else [Installed(pipe.name) for pipe in project.pipes]
        found = [
            faults.of(decide, project, project.by_name[each.pipe], each, rule, system)
            for each in samples
        ]
    assert gathered is not None  # its faults are raised
    decisions = tuple(each for each in found if each is not None)
    settings = project.acceptance or Acceptance()
    shown = blocks(decisions, gathered, settings.minimum_properties)
    document = of_project(
        project,
        system,
        "Acceptance of installed liners",
        shown,
        options={"rule": rule},
        readings=gathered.files,
    )
    return Outcome(
        document=document,
        data=data(decisions, system) | identity_data(project.info, document.identity),
        holds=all(each.accepted is True for each in decisions),
    )
