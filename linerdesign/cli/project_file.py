"""What commands on a project file share: their arguments, and the head of their document."""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from pathlib import Path

from linerdesign.outputs.document import Block, Document
from linerdesign.project.reading import Project, read


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The project file, the owner's criteria and the unit system."""
    parser.add_argument("file", metavar="FILE", type=Path, help="project file (TOML)")
    parser.add_argument(
        "--criteria",
        metavar="FILE",
        type=Path,
        help="the owner's criteria (TOML), in place of those that the project names",
    )
    parser.add_argument("--units", choices=("US", "SI"), help="unit system, in place of its own")


def read_project(arguments: argparse.Namespace) -> tuple[Project, str]:
    """The project with the owner's criteria, and the unit system to compute in.

    Raises:
        InputFaults: every fault of the files.
    """
    project = read(arguments.file, criteria=arguments.criteria)
    return project, arguments.units or project.info.units


def document(project: Project, system: str, title: str, blocks: Iterable[Block]) -> Document:
    """A document of a project."""
    return Document(
        title=title,
        blocks=tuple(blocks),
        info=project.info,
        units=system,
        file_name=project.file_name,
        fingerprint=project.fingerprint,
    )
