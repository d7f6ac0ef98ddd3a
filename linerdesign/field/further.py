"""What is calculated beside the thickness of pipes, each part loaded only where it is needed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from linerdesign.documents.blocks import Addition
from linerdesign.methods.method import method_of
from linerdesign.methods.result import PipeResult
from linerdesign.methods.verdicts import FAILS
from linerdesign.project.reading import Project
from linerdesign.project.requests import has_legs

Results = tuple[PipeResult, ...]


def calculated_beside(
    project: Project, results: Results
) -> tuple[Results, Mapping[str, tuple[Addition, ...]]]:
    """The designs as their legs leave them, and the additions by the name of their pipe.

    These are flow, order and site sheet where the project asks for them, what a wall carries that
    fails, and the legs of a pipe that has any, or a tube by its own size.

    Raises:
        InputFaults: where the project asks for what its keys don't suffice for, or has legs that
            can't be.
    """
    found: dict[str, list[Addition]] = defaultdict(list)
    pipes = {pipe.name: pipe for pipe in project.pipes}
    if project.capacity or project.order or any(p.capacity or p.order for p in project.pipes):
        from linerdesign.field.works.asked import asked

        for each in results:
            found[each.name] += (one.addition() for one in asked(project, each))
    thin = [
        each
        for each in results
        if each.status == FAILS and each.bore and method_of(each.basis).follows
    ]
    if thin:
        from linerdesign.documents.thin_wall import addition
        from linerdesign.project.thin_wall import thin_wall

        for each in thin:
            found[each.name].append(addition(thin_wall(each)))
    taken = []
    for each in results:
        if has_legs(project, pipes[each.name]):
            from linerdesign.documents.legs import with_legs

            each, legs = with_legs(project, each)
            found[each.name].append(legs)
        taken.append(each)
    return tuple(taken), {name: tuple(additions) for name, additions in found.items()}
