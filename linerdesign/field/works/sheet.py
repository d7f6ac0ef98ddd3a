"""The order and the site sheet of a project as a document of their own, for the crew."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from linerdesign.documents.blocks import Addition, Block, Bullets, Document, Heading, of_project
from linerdesign.documents.further import worked
from linerdesign.documents.working import Working
from linerdesign.field.works.beside import WORKS
from linerdesign.findings import Severity
from linerdesign.methods.legs import LEG_FAILS
from linerdesign.methods.result import PipeResult
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.reading import Project
from linerdesign.words import sentence


def works(
    project: Project,
    units: str,
    results: Sequence[PipeResult],
    additions: Mapping[str, Sequence[Addition]],
    more: Sequence[Block],
) -> Document:
    """What every pipe is ordered and installed by, then `more`, then the working of all.

    Raises:
        InputFaults: where the project asks for no order.
    """
    blocks: list[Block] = []
    found = []
    for number, result in enumerate(results, 1):
        own = [each for each in additions.get(result.name, ()) if each.kind in WORKS]
        if own:
            parts = tuple(block for each in own for block in each.blocks)
            found.append((number, result.name, parts))
            blocks += _pipe(result, parts, bool(blocks))
    if not blocks:
        raise InputFaults([fault("calculation.no_order", "--works")])
    blocks += [*more, Heading(sentence("field.works_working"), page=True), *worked(found)]
    return of_project(project, units, sentence("field.works_title"), blocks)


def _pipe(result: PipeResult, found: Sequence[Block], new_page: bool) -> Iterator[Block]:
    """The tables and remarks of one pipe; first what speaks against it."""
    yield Heading(result.name, page=new_page)
    if not result.holds:
        legs = (each.said for each in result.notes if each.code == LEG_FAILS)
        cautions = (each.said for each in result.notes if each.severity is Severity.OUTSIDE)
        about = sentence("field.works_fails", status=result.status)
        yield Bullets((about, *dict.fromkeys((*legs, *cautions))))
    yield from (each for each in found if not isinstance(each, Working))
