"""What is calculated beside the thickness of pipes, each part loaded only where it is needed."""

from __future__ import annotations

from collections.abc import Mapping

from linerdesign.documents.blocks import Addition
from linerdesign.methods.method import method_of
from linerdesign.methods.result import PipeResult
from linerdesign.methods.verdicts import FAILS
from linerdesign.project.faults import InputFaults
from linerdesign.project.models import FaultyPipe, Pipe
from linerdesign.project.reading import Project
from linerdesign.project.requests import has_legs

Results = tuple[PipeResult, ...]


def calculated_beside(
    project: Project, results: Results
) -> tuple[Results, Mapping[str, tuple[Addition, ...]], tuple[FaultyPipe, ...]]:
    """The designs as their legs leave them, the additions by the name of their pipe, and the pipes
    whose tube or legs can't be.

    These are flow, order and site sheet where the project asks for them, what a wall carries that
    fails, and the legs of a pipe that has any, or a tube by its own size.
    """
    found: dict[str, list[Addition]] = {}
    pipes = {pipe.name: pipe for pipe in project.pipes}
    taken, faulty = [], []
    for each in results:
        try:
            own, additions = _beside(project, pipes[each.name], each)
        except InputFaults as refused:
            faulty.append(pipes[each.name].faulty(refused.faults))
        else:
            taken.append(own)
            found[each.name] = additions
    return tuple(taken), {name: tuple(each) for name, each in found.items() if each}, tuple(faulty)


def _beside(project: Project, pipe: Pipe, result: PipeResult) -> tuple[PipeResult, list[Addition]]:
    """One design as its legs leave it, and its additions.

    Raises:
        InputFaults: as `asked` and `lining`.
    """
    found: list[Addition] = []
    if project.capacity or project.order or pipe.capacity or pipe.order:
        from linerdesign.field.works.asked import asked

        found += (one.addition() for one in asked(project, result))
    if result.status == FAILS and result.bore and method_of(result.basis).follows:
        from linerdesign.documents.thin_wall import addition
        from linerdesign.project.thin_wall import thin_wall

        found.append(addition(thin_wall(result)))
    if has_legs(project, pipe):
        from linerdesign.documents.legs import with_legs

        result, legs = with_legs(project, result)
        found.append(legs)
    return result, found
