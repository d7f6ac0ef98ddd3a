"""Tables of a project file that ask for more than a thickness: capacity, order, acceptance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from linerdesign.expressions.tolerance import over
from linerdesign.methods.method import SECOND_METHODS, method_in
from linerdesign.project.faults import Fault, InputFaults, Place, Refused, fault, unknown_word
from linerdesign.project.fields import Table
from linerdesign.project.measures import Measure, parse

if TYPE_CHECKING:
    from linerdesign.project.models import Pipe
    from linerdesign.project.reading import Project

Asked = TypeVar("Asked", bound=Table)


class Capacity(Table, of="capacity"):
    """`[capacity]` for every pipe, `capacity` of a pipe: full flow before and after lining."""


class Order(Table, of="order"):
    """`[order]` for every pipe with a length, `order` of a pipe: material quantities."""


class Acceptance(Table, of="acceptance"):
    """`[acceptance]`: the owner's acceptance rule for installed walls, and the sample files."""


class Sample(Table, of="sample"):
    """`[[pipe.sample]]`: readings and test results of one sample of the installed wall."""


class Leg(Table, of="leg"):
    """`[[pipe.leg]]`: one leg of a line that is lined with one tube."""


class Lateral(Table, of="lateral"):
    """`[[pipe.lateral]]`: one lateral to reopen after lining."""


class Grout(Table, of="grout"):
    """`[[pipe.grout]]`: one stage of grouting outside the liner."""


def joined(common: Asked | None, own: Asked | None) -> Asked | None:
    """A pipe's own table over the one for every pipe, key for key; none where neither is given."""
    if common is None or own is None:
        return own or common
    return common.changed(own.given)


def length_of(pipe: Pipe) -> Measure | None:
    """The length to line: that of the pipe, or of all its legs where each has one."""
    lengths = [leg.length for leg in pipe.leg]
    if pipe.length is not None or not lengths or None in lengths:
        length: Measure | None = pipe.length
        return length
    total = sum(each.to("m") for each in lengths)
    return Measure(total, "m", f"{total:.4g} m")


def tube_of(project: Project, pipe: Pipe) -> Measure | None:
    """The diameter that the tube of a pipe is made for, where the project states one."""
    asking = joined(project.order, pipe.order)
    found: Measure | None = pipe.tube_diameter or (asking.tube_diameter if asking else None)
    return found


def has_legs(project: Project, pipe: Pipe) -> bool:
    """Whether the wall of a pipe is that of a tube by its own size, or in legs."""
    return bool(pipe.leg or pipe.tube_thickness or tube_of(project, pipe))


@dataclass(frozen=True)
class TubeAsked:
    """What a project states of the tube of a pipe: diameter, wall as cured, felt to order.

    `in_legs` is whether the wall of the pipe is that of a tube by its own size, or in legs.
    """

    diameter: Measure | None
    thickness: Measure | None
    felt: Measure | None
    in_legs: bool


def tube_asked(project: Project, pipe: Pipe) -> TubeAsked | None:
    """What a project states of the tube of a pipe; None where nothing depends on it."""
    order, felt = joined(project.order, pipe.order), None
    if order and wants_order(pipe, order) and project.resin_of(pipe).felt_density is not None:
        felt = order.felt_thickness
    in_legs = has_legs(project, pipe)
    if not in_legs and felt is None:
        return None
    return TubeAsked(tube_of(project, pipe), pipe.tube_thickness, felt, in_legs)


def wants_order(pipe: Pipe, order: Order | None) -> bool:
    """Whether a pipe is to be ordered: a table for every pipe is for those that have a length."""
    return order is not None and (length_of(pipe) is not None or pipe.order is not None)


def request_faults(pipe: Pipe, capacity: Capacity | None, order: Order | None) -> Iterator[Fault]:
    """What a pipe lacks for its order and its flow, and legs and laterals that can't be."""
    flowing, ordering, place = (
        joined(capacity, pipe.capacity),
        joined(order, pipe.order),
        pipe.place,
    )
    if flowing is not None and flowing.host_n is None:
        yield fault("measured.no_host_n", place)
    if flowing is not None and flowing.flow is not None and flowing.slope is None:
        yield fault("measured.no_slope", place)
    length = length_of(pipe)
    if wants_order(pipe, ordering) and length is None:
        yield fault("measured.no_length", place)
    for index, lateral in enumerate(pipe.lateral):
        at = along(lateral.at or "")
        if length is not None and at is not None and over(at, length.to("m")):
            where = place.inside("lateral", index).at("at")
            yield fault("measured.past_the_end", where, lateral.at, length=length)
    for index, leg in enumerate(pipe.leg):
        if (leg.bend is None) != (leg.bend_radius is None):
            missing = "bend" if leg.bend is None else "bend_radius"
            yield fault("measured.half_a_bend", place.inside("leg", index), missing=missing)


def along(station: str) -> float | None:
    """A place along the pipe in metres, where it is stated as a length."""
    try:
        return parse(station, "level").to("m") if station[:1].isdigit() else None
    except Refused:
        return None


def refuse_in_place(project: Project, what: str) -> None:
    """Refuses a second method in place of the standard for what rests on the standard.

    Raises:
        InputFaults: where the project has one.
    """
    second = project.criteria.second_method
    if second is not None and second.use == "replaces":
        place = Place(table="[criteria.second_method]").at("use")
        raise InputFaults([fault("second.size_only", place, what=what)])


def second_faults(second: Table | None) -> Iterator[Fault]:
    """Settings that the second method of a project does not have, or outside its ranges."""
    if second is None or second.method is None:  # a method that could not be read has its fault
        return
    known = method_in(SECOND_METHODS[second.method]).settings()
    place = Place(table="[criteria.second_method]")
    for name, value in second.given.items():
        if name in ("method", "use"):
            continue
        if name not in known:
            yield unknown_word(place.at(name), name, known)
        elif not known[name].least <= value.number / 100 <= known[name].most:
            within = f"{100 * known[name].least:g} to {100 * known[name].most:g} %"
            yield fault("option_range", place.at(name), str(value), range=within)
