"""Tables of a project file that ask for more than a thickness: capacity, order, acceptance."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from linerdesign.expressions.tolerance import at_most, over
from linerdesign.methods.hydraulics import fills
from linerdesign.methods.method import SECOND_METHODS, method_in
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.faults import Fault, InputFaults, Place, Refused, fault, unknown_word
from linerdesign.project.fields import Table
from linerdesign.project.further_keys import WHOLE_WALL
from linerdesign.project.measures import Measure, convert, parse

if TYPE_CHECKING:
    from linerdesign.project.models import Criteria, Pipe
    from linerdesign.project.reading import Project

Asked = TypeVar("Asked", bound=Table)
# The properties that samples are tested for: the field of a sample, by key of the symbol table.
TESTED = {"E": "modulus", "sigma": "strength", "sigma_T": "tensile_strength"}


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
    """What a project states of the tube of a pipe: its diameter, and its wall as cured."""

    diameter: Measure | None
    thickness: Measure | None


def tube_asked(project: Project, pipe: Pipe) -> TubeAsked | None:
    """What a project states of the tube of a pipe; None where nothing depends on it."""
    if not has_legs(project, pipe):
        return None
    return TubeAsked(tube_of(project, pipe), pipe.tube_thickness)


def wants_order(pipe: Pipe, order: Order | None) -> bool:
    """Whether a pipe is to be ordered: a table for every pipe is for those that have a length."""
    return order is not None and (length_of(pipe) is not None or pipe.order is not None)


def request_faults(pipe: Pipe, capacity: Capacity | None, order: Order | None) -> Iterator[Fault]:
    """What a pipe lacks for its order and its flow, and legs and laterals that can't be."""
    flowing, place = joined(capacity, pipe.capacity), pipe.place
    if flowing is not None and flowing.host_n is None:
        yield fault("measured.no_host_n", place)
    if flowing is not None and flowing.flow is not None and flowing.slope is None:
        yield fault("measured.no_slope", place)
    length = length_of(pipe)
    if wants_order(pipe, pipe.order or order) and length is None:
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


def tube_faults(
    pipe: Pipe, diameters: Sequence[Measure], order: Order | None, system: str
) -> Iterator[Fault]:
    """Bends that a leg can't make, and a tube or a felt, as stated, that leaves no bore.

    `diameters` are those of the host at its stations.
    """
    place, ordering = pipe.place, joined(order, pipe.order)
    hosts = {index: leg.host_diameter for index, leg in enumerate(pipe.leg)}
    if diameters:
        widest = max(diameters, key=lambda each: float(each.to("mm")))
        hosts = {index: own or widest for index, own in hosts.items()}
    for index, leg in enumerate(pipe.leg):
        host = hosts[index]
        radius = leg.bend_radius
        if host and radius and at_most(radius.to("mm"), host.to("mm") / 2):
            where = place.inside("leg", index).at("bend_radius")
            yield fault("measured.sharp_bend", where, str(radius))
    narrowest = [each.to("mm") for each in (*diameters, *hosts.values()) if each]
    stated = pipe.tube_diameter or (ordering.tube_diameter if ordering else None)
    if not (stated or narrowest):
        return
    tube = stated.to("mm") if stated else min(narrowest)
    walls = [(place.at("tube_thickness"), pipe.tube_thickness)]
    if ordering is not None and wants_order(pipe, ordering):
        own = pipe.order is not None and pipe.order.felt_thickness is not None
        table = place.inside("order") if own else Place(table="[order]", path=("order",))
        walls.append((table.at("felt_thickness"), ordering.felt_thickness))
    for where, wall in walls:
        if wall is not None and fills(tube, wall.to("mm")):
            half = f"{convert(tube / 2, 'mm', SYMBOLS['D'].unit(system)):.4g}"
            about = f"{half} {SYMBOLS['D'].unit(system)}"
            yield fault("measured.no_bore", where, str(wall), half=about)


def layers_fault(whole: bool, left: float, off: float | None) -> str | None:
    """What is wrong with a reading of the whole wall, of which `left` is structural: its code."""
    if whole and off is None:
        return "measured.whole_wall"
    return "measured.under_layers" if left <= 0 else None


def sample_faults(
    pipe: Pipe, diameters: Sequence[Measure], acceptance: Acceptance | None
) -> Iterator[Fault]:
    """Samples of a pipe with nothing measured, or with readings that no wall in it can have."""
    settings = acceptance or Acceptance()
    unread = "non_structural" in settings.unread
    off = settings.non_structural.to("mm") if settings.non_structural else None
    narrowest = min((each.to("mm") for each in diameters), default=math.inf)
    for index, sample in enumerate(pipe.sample):
        place = pipe.place.inside("sample", index, sample.specimen or None)
        named = {"thickness": [sample.thickness], "thicknesses": sample.thicknesses or []}
        readings = [(key, each) for key, some in named.items() for each in some if each]
        tested = any(getattr(sample, name) for name in TESTED.values())
        # A key that can't be read has its own fault.
        if not (readings or tested or sample.unread):
            yield fault("measured.nothing_measured", place)
        whole = sample.thickness_basis == WHOLE_WALL
        for key, reading in readings:
            left = reading.to("mm") - (off if whole and off else 0.0)
            code = None if whole and unread else layers_fault(whole, left, off)
            if code is not None:
                yield fault(code, place.at(key), str(reading))
            elif fills(narrowest, left):
                about = f"{narrowest / 2:g} mm"
                yield fault("measured.no_bore", place.at(key), str(reading), half=about)


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
        file = project.criteria.origins["second_method"].file
        place = Place(file, "[criteria]", path=("criteria",)).inside("second_method").at("use")
        raise InputFaults([fault("second.size_only", place, what=what)])


def second_faults(criteria: Criteria) -> Iterator[Fault]:
    """Settings that the second method of a project does not have, or outside its ranges."""
    second = criteria.second_method
    if second is None or second.method is None:  # a method that could not be read has its fault
        return
    known = method_in(SECOND_METHODS[second.method]).settings()
    place = criteria.place.inside("second_method")
    for name, value in second.given.items():
        if name in ("method", "use"):
            continue
        if name not in known:
            yield unknown_word(place.at(name), name, known)
        elif not known[name].least <= value.number / 100 <= known[name].most:
            within = f"{100 * known[name].least:g} to {100 * known[name].most:g} %"
            yield fault("option_range", place.at(name), str(value), range=within)
