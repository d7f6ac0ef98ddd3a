"""The order and the site sheet of a project as a document of their own, for the crew."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from linerdesign.documents.blocks import Block, Bullets, Document, Heading, of_project
from linerdesign.documents.working import Working
from linerdesign.findings import Severity
from linerdesign.methods.result import PipeResult
from linerdesign.project.faults import InputFaults, fault
from linerdesign.words import sentence

if TYPE_CHECKING:
    from linerdesign.interface import Sizing

KINDS = ("order", "site")


def works(sizing: Sizing) -> Document:
    """What every pipe is ordered and installed by, then the working, then the bid schedule.

    Raises:
        InputFaults: where the project asks for no order.
    """
    blocks: list[Block] = []
    for result in sizing.pipes:
        own = [each for each in sizing.additions.get(result.name, ()) if each.kind in KINDS]
        if own:
            blocks += _pipe(result, [block for each in own for block in each.blocks], bool(blocks))
    if not blocks:
        raise InputFaults([fault("calculation.no_order", "--works")])
    blocks.extend(sizing.bid.blocks if sizing.bid else ())
    title = sentence("field.works_title")
    return of_project(sizing.project, sizing.units, title, blocks, sizing.options)


def _pipe(result: PipeResult, found: list[Block], new_page: bool) -> Iterator[Block]:
    """The tables and remarks of one pipe, then their working; first what speaks against it."""
    yield Heading(result.name, page=new_page)
    if not result.holds:
        legs = (each.said for each in result.notes if each.code == "field.leg_fails")
        cautions = (each.said for each in result.notes if each.severity is Severity.OUTSIDE)
        about = sentence("field.works_fails", status=result.status)
        yield Bullets((about, *dict.fromkeys((*legs, *cautions))))
    yield from (each for each in found if not isinstance(each, Working))
    yield Heading(sentence("field.works_working"), 2)
    yield from (each for each in found if isinstance(each, Working))
