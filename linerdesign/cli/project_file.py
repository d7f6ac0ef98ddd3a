"""The arguments that every command on a project file takes, and the project they lead to."""

from __future__ import annotations

import argparse
from pathlib import Path

from linerdesign.cli.choices import add_units
from linerdesign.interface import Units, read
from linerdesign.project.faults import Faults, InputFaults
from linerdesign.project.reading import Project


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The project file, the owner's criteria and the unit system."""
    parser.add_argument("file", metavar="FILE", type=Path, help="project file (TOML)")
    parser.add_argument(
        "--criteria",
        metavar="FILE",
        type=Path,
        help="the owner's criteria (TOML), in place of those that the project names",
    )
    add_units(parser, help="unit system, in place of its own")


def read_project(arguments: argparse.Namespace, apart: bool = False) -> tuple[Project, Units]:
    """The project with the owner's criteria, and the unit system to compute in.

    With `apart`, pipes with faults of their own are kept apart from the others. Faults of the files
    are added to those of the arguments, and what is left of the project is given.

    Raises:
        InputFaults: where nothing is left.
    """
    faults: Faults = arguments.faults
    project = faults.of(read, arguments.file, arguments.criteria, apart=apart)
    if project is None:
        raise InputFaults(())
    return project, arguments.units or project.info.units or "US"
