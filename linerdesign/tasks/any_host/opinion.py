"""The opinion on a pipe, or why there is none, as data and blocks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linerdesign.documents.blocks import Block
from linerdesign.methods.outline.shapes import Host
from linerdesign.methods.result import PipeResult
from linerdesign.methods.ring.collapse import RANGES
from linerdesign.methods.ring.method import GERMAN_BULGE, GERMAN_GAP
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.tasks.any_host import report
from linerdesign.tasks.any_host.liners import Liner, NoOpinionError, liner_of, of_circular
from linerdesign.tasks.any_host.shaped import shaped
from linerdesign.tasks.second_opinion.opinion import Assumed, second_opinion
from linerdesign.tasks.second_opinion.report import WITH_PICTURES, blocks, buckling_data

if TYPE_CHECKING:
    from linerdesign.tasks.any_host.further import Part

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
        liner = replace(liner, gap_given=assumed.gap is not None)
        found = shaped(liner)
    except NoOpinionError as why:
        said = why.reason.said
        return report.silent_data(pipe.name, said), report.silent_blocks(pipe.name, said)
    data, made = report.shaped_data(pipe.name, found), report.shaped_blocks(pipe.name, found)
    if pipe.grout:
        from linerdesign.tasks.any_host.further import grouting

        data["grouting"], more = grouting(replace(liner, thickness=found.wall), pipe)
        made = (*made, *more)
    return data, made


def circular_opinion(
    project: Project, pipe: Pipe, result: PipeResult, targets: Sequence[Path], assumed: Assumed
) -> Found:
    """Data and blocks of a circular pipe: the encased ring, and what else the pipe asks for.

    A missing part of the host, stages of grout, and the soil springs of a fully deteriorated host
    are added where there are any, for walls that the model has been checked for.
    """
    opinion = second_opinion(result, assumed)
    data = buckling_data(opinion, result)
    pictures = any(path.suffix.lower() in WITH_PICTURES for path in targets)
    made = list(blocks(opinion, result, pictures))
    low, high = RANGES["dimension_ratio"]
    ratio = opinion.value("DR") if opinion else None
    if opinion is None or ratio is None or not low <= ratio <= high:
        return data, tuple(made)
    liner = of_circular(project, pipe, result, opinion.place)
    for name, part in _parts(liner, pipe, result):
        data[name], more = part
        made.extend(more)
    return data, tuple(made)


def _parts(liner: Liner, pipe: Pipe, result: PipeResult) -> Iterator[tuple[str, Part]]:
    from linerdesign.tasks.any_host.further import grouting, missing_part, soil_springs

    if result.basis.buried_fully:
        yield "soil_springs", soil_springs(liner, pipe)
    if pipe.hole_arc is not None and liner.number("P") > 0.0:
        yield "missing_part", missing_part(liner, pipe)
    if pipe.grout:
        yield "grouting", grouting(liner, pipe)
