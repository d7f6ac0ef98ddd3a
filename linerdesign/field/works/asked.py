"""Flow, quantities and site sheet of a designed pipe, where the project asks for them."""

from __future__ import annotations

from collections.abc import Iterator

from linerdesign.field.works.beside import Asked, narrowest, wall_of
from linerdesign.field.works.flow import capacity
from linerdesign.field.works.order import order
from linerdesign.field.works.site import beyond_the_line, site
from linerdesign.methods import hydraulics
from linerdesign.methods.result import PipeResult
from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.project.requests import Capacity, Order, length_of, over


def asked(project: Project, result: PipeResult) -> tuple[Asked, ...]:
    """The calculations that the project requests beside the thickness of this pipe.

    Raises:
        InputFaults: where it asks for what its keys don't suffice for.
    """
    pipe = next(each for each in project.pipes if each.name == result.name)
    flowing = over(project.capacity, pipe.capacity)
    ordering = over(project.order, pipe.order)
    # A table for every pipe asks of those that have a length; a pipe's own has to have one.
    wants_order = ordering is not None and (length_of(pipe) is not None or pipe.order is not None)
    faults = list(_missing(pipe, flowing, ordering if wants_order else None))
    if faults:
        raise InputFaults(faults)
    found: list[Asked] = []
    bore = hydraulics.liner_bore(narrowest(pipe, result).value, wall_of(pipe, result).value)
    if bore <= 0:
        return ()  # a wall that leaves no bore: its checks say so, and there is nothing to order
    if flowing is not None:
        found.append(capacity(flowing, pipe, result))
    if ordering is not None and wants_order:
        found.append(order(ordering, pipe, project, result))
        found.append(site(ordering, flowing, pipe, project, result, found[-1]))
    return tuple(found)


def _missing(pipe: Pipe, capacity: Capacity | None, order: Order | None) -> Iterator[Fault]:
    place = f'[[pipe]] "{pipe.name}"'
    if capacity is not None and capacity.host_n is None:
        yield fault("measured.no_host_n", place)
    if capacity is not None and capacity.flow is not None and capacity.slope is None:
        yield fault("measured.no_slope", place)
    if order is not None and length_of(pipe) is None:
        yield fault("measured.no_length", place)
    if order is not None:
        yield from beyond_the_line(pipe)
