"""Flow, quantities and site sheet of a designed pipe, where the project asks for them."""

from __future__ import annotations

from linerdesign.field.works.beside import Asked, narrowest, wall_of
from linerdesign.field.works.flow import capacity
from linerdesign.field.works.order import order
from linerdesign.field.works.site import site
from linerdesign.methods import hydraulics
from linerdesign.methods.result import PipeResult
from linerdesign.project.reading import Project
from linerdesign.project.requests import joined, wants_order


def asked(project: Project, result: PipeResult) -> tuple[Asked, ...]:
    """The calculations that the project requests beside the thickness of this pipe."""
    pipe = project.by_name[result.name]
    flowing = joined(project.capacity, pipe.capacity)
    ordering = joined(project.order, pipe.order)
    found: list[Asked] = []
    if hydraulics.fills(narrowest(pipe, result).value, wall_of(pipe, result).value):
        return ()  # a wall that leaves no bore: its checks say so, and there is nothing to order
    if flowing is not None:
        found.append(capacity(flowing, pipe, result))
    if ordering is not None and wants_order(pipe, ordering):
        found.append(order(ordering, pipe, project, result))
        found.append(site(ordering, flowing, pipe, project, result, found[-1]))
    return tuple(each.signed(result.task.verified) for each in found)
