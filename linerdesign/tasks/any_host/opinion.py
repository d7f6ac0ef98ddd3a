"""The opinion on a pipe, or why there is none, as data and blocks."""

from __future__ import annotations

from typing import Any

from linerdesign.documents.blocks import Block
from linerdesign.methods.outline.shapes import Host
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.tasks.any_host import report
from linerdesign.tasks.any_host.liners import NoOpinionError, liner_of
from linerdesign.tasks.any_host.shaped import shaped
from linerdesign.tasks.second_opinion.opinion import Assumed
from linerdesign.tasks.second_opinion.working import GERMAN_BULGE, GERMAN_GAP

Found = tuple[dict[str, Any], tuple[Block, ...]]


def imperfections(assumed: Assumed) -> tuple[float, float]:
    """Gap and bulge as shares of the radius: those requested, else German practice."""
    gap, bulge = assumed.gap, assumed.imperfection
    return GERMAN_GAP if gap is None else gap, GERMAN_BULGE if bulge is None else bulge


def shaped_opinion(
    project: Project, pipe: Pipe, system: str, host: Host, assumed: Assumed
) -> Found:
    """Data and blocks of a pipe whose host is not circular.

    Raises:
        InputFaults: values of the pipe that exclude each other.
    """
    try:
        liner = liner_of(project, pipe, system, host, *imperfections(assumed))
        found = shaped(liner)
    except NoOpinionError as why:
        said = why.reason.said
        return report.silent_data(pipe.name, said), report.silent_blocks(pipe.name, said)
    return report.shaped_data(pipe.name, found), report.shaped_blocks(pipe.name, found)
