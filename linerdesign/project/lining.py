"""The legs of a line under one tube: the wall delivered in each, and its checks there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.expressions.tolerance import at_least, over
from linerdesign.expressions.tree import Across, Call, Node, Number, Symbol
from linerdesign.findings import Finding, finding
from linerdesign.methods import legs as equations
from linerdesign.methods.legs import (
    SAME_DIAMETER,
    STRETCHED,
    is_stretched,
    leg_verdicts,
    wall_trees,
)
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.method import choice_of_thickness, method_of
from linerdesign.methods.origin import AS_GIVEN, Origin, calculated
from linerdesign.methods.quantities import stretched_by_outside_diameter
from linerdesign.methods.result import CheckResult, LegPlace, PipeResult, Step
from linerdesign.methods.second import solved_again
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.methods.working import signed, worked
from linerdesign.project.assembly import task
from linerdesign.project.contradictions import place_of
from linerdesign.project.designing import designed
from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.project.measures import convert
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.project.requests import Leg, along, tube_of
from linerdesign.project.thin_wall import ThinWall, on_standard_datums, ovality_key
from linerdesign.words import sentence

# The largest wrinkle of ISO 11296-4, 2 % of the diameter or 6 mm: from memory; verify against the
# printed standard.
FOLD_SHARE, LEAST_FOLD = 0.02, 6.0
# What the data of a system do not allow, whatever the wall.
NOT_ALLOWED = ("field.stretch_over", "field.temperature_over")


@dataclass(frozen=True)
class Tube:
    """Diameter that a tube is made for and its wall as cured unstretched, in the sheet's unit."""

    diameter: float
    thickness: float


@dataclass(frozen=True)
class LegResult:
    """One leg. Lengths in the unit of the sheet.

    `steps` are the working from the tube to `least`, the thickness at the outer side of a bend;
    `required` is the thickness by the equations in this leg, `minimum` the owner's. `checks` are
    the equations at `least`. `system_allows` is False where stretch or temperature are beyond the
    data of the system.
    """

    at: str
    diameter: float
    steps: tuple[Step, ...]
    delivered: float
    least: float
    required: float
    minimum: float
    governing: str
    safety_factor: float | None
    checks: tuple[CheckResult, ...]
    system_allows: bool
    findings: tuple[Finding, ...]

    @property
    def needed(self) -> float:
        """The thickness by the equations, and at least the owner's minimum."""
        return max(self.required, self.minimum)

    @property
    def passes(self) -> bool:
        """Whether the least wall passes every equation and reaches the owner's minimum."""
        enough = bool(at_least(self.least, self.needed))
        return enough and self.system_allows and all(each.passes for each in self.checks)

    def value(self, key: str) -> float | None:
        """A quantity of the working; None where the leg does not have it."""
        return next((step.value for step in self.steps if step.key == key), None)


@dataclass(frozen=True)
class Lining:
    """All legs of one pipe; `built` is the design of the delivered walls, leg by leg, and `places`
    say how they follow from the quantities of the pipe.

    `proposed` is a tube that serves every leg, its thickness one that the system is made in; None
    where no tube of the diameter of any leg does.
    """

    tube: Tube
    legs: tuple[LegResult, ...]
    built: PipeResult
    places: tuple[LegPlace, ...]
    proposed: Tube | None

    @property
    def passes(self) -> bool:
        """Whether every leg passes."""
        return all(leg.passes for leg in self.legs)

    @property
    def thin(self) -> ThinWall | None:
        """The walls that fail an equation, and what they carry; None where all pass or no bore."""
        failing = {check.station for check in self.built.checks if not check.passes}
        if not failing or not self.built.bore or not method_of(self.built.basis).follows:
            return None
        places = [(i, s) for i, s in enumerate(self.built.task.stations) if s.at in failing]
        task = replace(self.built.task, stations=tuple(station for _, station in places))
        required = max(self.built.places[i].required_thickness for i, _ in places)
        return ThinWall(on_standard_datums(task), required)

    @property
    def worst(self) -> LegResult:
        """The leg whose least wall is the farthest below, or the least above, what it needs."""
        return min(self.legs, key=lambda leg: (leg.passes, leg.least / max(leg.needed, 1e-12)))


def lining(
    project: Project, result: PipeResult, resin: Resin | None = None, tube: Tube | None = None
) -> Lining:
    """The legs of a designed pipe that has any.

    `resin` and `tube` are in place of those of the pipe.

    Raises:
        InputFaults: a bend without its radius or the other way round, a bend that its pipe can't
            make, a wall that leaves no bore in a leg.
    """
    pipe = next(each for each in project.pipes if each.name == result.name)
    resin, system = resin or project.resin_of(pipe), result.basis.system
    all_legs = legs_of(pipe)
    diameters = [_in_sheet(leg.host_diameter, system) or _own(result) for leg in all_legs]
    stated = _in_sheet(tube_of(project, pipe), system), _in_sheet(pipe.tube_thickness, system)
    if tube is not None:
        stated = tube.diameter, tube.thickness
    tube = Tube(stated[0] or min(diameters), stated[1] or result.nominal_thickness)
    faults = list(_faults(pipe, diameters, tube, system))
    if faults:
        raise InputFaults(faults)
    read_as = Origin(pipe.origin.get("leg", "given"))
    workings = [
        signed(worked(*_lines(leg, diameter, tube, read_as, system), system), result.task.verified)
        for leg, diameter in zip(all_legs, diameters, strict=True)
    ]
    names = names_of(all_legs)
    leasts = [_least(steps) for steps in workings]
    placed, built = _built(result.task, result, names, all_legs, diameters, leasts)
    minimum = project.criteria.minimum_thickness.to(SYMBOLS["t"].unit(system))
    found = []
    for number, leg in enumerate(all_legs):
        mine = [i for i, (owner, _) in enumerate(placed) if owner == number]
        found.append(
            _leg(names[number], leg, workings[number], leasts[number], built, mine, minimum, resin)
        )
    legs = tuple(found)
    free = task(pipe.changed({"design_thickness": None}), resin, project.criteria, system)
    follow = _following(all_legs, stated, resin, minimum, result)
    places = tuple(LegPlace(leg, station, *follow[leg]) for leg, station in placed)
    return Lining(tube, legs, built, places, _proposed(legs, tube, resin, free))


def legs_of(pipe: Pipe) -> Sequence[Leg]:
    """The legs of a pipe; one of all its length for a pipe without any."""
    return pipe.leg or [Leg.model_construct(at=sentence("field.leg_whole"), length=pipe.length)]


def _own(result: PipeResult) -> float:
    return max(values["D"] for values in result.values)


def _in_sheet(length: object, system: str) -> float | None:
    to = getattr(length, "to", None)
    return None if to is None else float(to(SYMBOLS["D"].unit(system)))


def _following(
    legs: Sequence[Leg],
    tube: tuple[float | None, float | None],
    resin: Resin,
    minimum: float,
    result: PipeResult,
) -> list[tuple[Mapping[str, Node], Mapping[str, Node]]]:
    """Of each leg how its wall follows from the quantities of the pipe, and whether it serves.

    `tube` is as stated; else it is for the narrowest leg, or in the nominal thickness.
    """
    system, own = result.basis.system, Across("max", Symbol("D"))
    stated = [_in_sheet(leg.host_diameter, system) for leg in legs]
    diameters = [own if each is None else Number(each) for each in stated]
    made_for = Call("min", tuple(dict.fromkeys(diameters))) if tube[0] is None else Number(tube[0])
    wall = Symbol("t") if tube[1] is None else Number(tube[1])
    # A wall to check has no line of the owner's minimum, and a sheet of it only a stated one.
    given = {each.key: each.origin for each in result.task.stations[0].inputs}
    stated_floor = "t_floor" in given and given["t_floor"].by_project
    on_sheet = stated_floor or not result.basis.thickness_given
    owners = Symbol("t_floor") if on_sheet else Number(minimum)
    most = resin.maximum_stretch.number if resin.maximum_stretch else None
    found = []
    for leg, diameter in zip(legs, diameters, strict=True):
        radius = None if leg.bend is None else _in_sheet(leg.bend_radius, system)
        findings = _beyond_data(leg, 0.0, resin)
        allowed = not any(each.code in NOT_ALLOWED for each in findings)
        trees = wall_trees(diameter, made_for, wall, radius)
        found.append((trees, leg_verdicts(owners, most, radius is not None, allowed)))
    return found


def names_of(legs: Sequence[Leg]) -> list[str]:
    """The place of each leg, or its number; a place that several have, with the number."""
    places = [leg.at for leg in legs]
    return [
        at
        if at and places.count(at) == 1
        else ", ".join(filter(None, (sentence("field.leg_number", number=number), at)))
        for number, at in enumerate(places, 1)
    ]


def _faults(pipe: Pipe, diameters: Sequence[float], tube: Tube, system: str) -> Iterator[Fault]:
    here, unit = place_of("pipe", pipe.name), SYMBOLS["D"].unit(system)
    if tube.thickness >= tube.diameter / 2:
        wall, half = (f"{each:.4g} {unit}" for each in (tube.thickness, tube.diameter / 2))
        yield fault("measured.no_bore", here.at("tube_thickness"), wall, half=half)
    for number, (leg, diameter) in enumerate(zip(legs_of(pipe), diameters, strict=True), 1):
        radius = _in_sheet(leg.bend_radius, system)
        if radius is not None and radius <= diameter / 2:
            place = here.inside("leg", number - 1).at("bend_radius")
            yield fault("measured.sharp_bend", place, str(leg.bend_radius))


def _lines(
    leg: Leg, diameter: float, tube: Tube, read_as: Origin, system: str
) -> tuple[list[Input], list[Line]]:
    """From the tube to the wall in a leg, as inputs and lines; `read_as` is the origin of legs."""
    own = replace(read_as, stated=str(leg.host_diameter))
    own = own if leg.host_diameter else calculated("host diameter")
    inputs = [
        Input("D_leg", diameter, own),
        Input("D_tube", tube.diameter, calculated("tube")),
        Input("t_tube", tube.thickness, calculated("tube")),
    ]
    lines = [line(equations.circumferential_stretch)]
    if is_stretched(diameter, tube.diameter):
        lines.append(STRETCHED)
    else:
        inputs.append(Input("t_leg", tube.thickness, calculated("tube not stretched")))
    if diameter < tube.diameter * (1 - SAME_DIAMETER):
        lines.append(line(equations.fin_height))
    radius = _in_sheet(leg.bend_radius, system)
    if leg.bend is not None and radius is not None:
        inputs += [
            Input("R_bend", radius, AS_GIVEN),
            Input("alpha_bend", leg.bend.to("deg"), AS_GIVEN),
        ]
        lines += map(
            line,
            (
                equations.bend_share,
                equations.outside_of_bend,
                equations.inside_of_bend,
                equations.excess_length,
                equations.wrinkle_height,
            ),
        )
    return inputs, lines


def _least(steps: Sequence[Step]) -> float:
    """The thickness at the outer side of a bend, or that of the straight leg."""
    values = {step.key: step.value for step in steps}
    return values.get("t_bend_out", values["t_leg"])


def _built(
    task: PipeTask,
    result: PipeResult,
    names: Sequence[str],
    all_legs: Sequence[Leg],
    diameters: Sequence[float],
    leasts: Sequence[float],
) -> tuple[list[tuple[int, int]], PipeResult]:
    """The design of the delivered walls; of each of its stations the leg, and that of the pipe."""
    key = ovality_key(task.basis.ovality)
    replaced = {"D", "t", "s", *task.basis.ovality}
    stations, placed = [], []
    places = [station.at or "" for station in task.stations]
    for number, covered in enumerate(stations_of([leg.at or "" for leg in all_legs], places)):
        for place in covered:
            station, values = task.stations[place], result.values[place]
            made = {"D": diameters[number], "t": leasts[number]}
            if key in values:
                made["q_pipe"] = values[key]
            kept = tuple(each for each in station.inputs if each.key not in replaced)
            own = (Input(k, value, calculated("this leg")) for k, value in made.items())
            name = names[number]
            alone = len(places) == 1 or name == station.at
            stations.append(Station((*kept, *own), name if alone else f"{name}, {station.at}"))
            placed.append((number, place))
    basis = replace(task.basis, thickness_given=True, sizes=None, ovality=("q_pipe",))
    delivered = replace(task, basis=basis, stations=tuple(stations))
    try:
        return placed, designed(solved_again(delivered))
    except ArithmeticError as why:
        raise InputFaults([fault("no_thickness", place_of("pipe", task.name), why=why)]) from None


def stations_of(legs: Sequence[str], places: Sequence[str]) -> list[list[int]]:
    """The stations whose values each leg has, by the places of both.

    Where all are lengths, those from the beginning of the leg to that of the next one; else the
    one of the same name. A leg without any has those of all stations, and a station of no leg
    counts in every leg.
    """
    starts, stations = [along(leg) for leg in legs], [along(place) for place in places]
    if None in starts or None in stations:
        found = [[i for i, place in enumerate(places) if leg and place == leg] for leg in legs]
    else:
        found = [list(_between(start, starts, stations)) for start in starts]
    lost = {*range(len(places))} - {i for covered in found for i in covered}
    return [sorted({*covered, *lost}) or [*range(len(places))] for covered in found]


def leg_at(station: str, pipe: Pipe) -> str | None:
    """The name of the leg that a place lies in; None where no leg can be told for it."""
    names = names_of(pipe.leg)
    for leg, name in zip(pipe.leg, names, strict=True):
        if station and station in (leg.at, name):
            return name
    place = along(station)
    known = [(along(leg.at or ""), name) for leg, name in zip(pipe.leg, names, strict=True)]
    starts = [(start, name) for start, name in known if start is not None]
    if place is None or len(starts) < len(known):
        return None
    return max((each for each in starts if each[0] <= place), default=(0.0, None))[1]


def _between(start: Any, starts: Sequence[Any], stations: Sequence[Any]) -> Iterator[int]:
    """The stations from a start to the next one, both ends included."""
    end = min((each for each in starts if each > start), default=math.inf)
    return (i for i, place in enumerate(stations) if start <= place <= end)


def _leg(
    name: str,
    leg: Leg,
    steps: tuple[Step, ...],
    least: float,
    built: PipeResult,
    mine: Sequence[int],
    minimum: float,
    resin: Resin,
) -> LegResult:
    places = [built.places[i] for i in mine]
    worst = max(places, key=lambda place: place.required_thickness)
    stations = {place.at for place in places}
    factors = [place.least_factor for place in places if place.least_factor is not None]
    values = {step.key: step.value for step in steps}
    # What the data of the system do not allow comes first: no wall makes up for it.
    beyond = tuple(_beyond_data(leg, values["x_stretch"], resin))
    beyond = tuple(sorted(beyond, key=lambda each: each.code not in NOT_ALLOWED))
    return LegResult(
        at=name,
        diameter=values["D_leg"],
        steps=steps,
        delivered=values["t_leg"],
        least=least,
        required=worst.required_thickness,
        minimum=minimum,
        governing=worst.governing,
        safety_factor=min(factors, default=None),
        checks=tuple(check for check in built.checks if check.station in stations),
        system_allows=not any(each.code in NOT_ALLOWED for each in beyond),
        findings=(*beyond, *_shape(values, built.basis.system)),
    )


def _beyond_data(leg: Leg, stretch: float, resin: Resin) -> Iterator[Finding]:
    """Stretch and temperature against the data of the system."""
    if stretch > 100 * SAME_DIAMETER:
        if resin.maximum_stretch is None:
            yield finding("field.stretch_no_data", stretch=stretch, resin=resin.name)
        elif over(stretch, resin.maximum_stretch.number):
            most = str(resin.maximum_stretch)
            yield finding("field.stretch_over", stretch=stretch, most=most, resin=resin.name)
    if leg.temperature is not None:
        about: dict[str, Any] = {"temperature": str(leg.temperature), "resin": resin.name}
        if resin.maximum_temperature is None:
            yield finding("field.temperature_no_data", **about)
        elif over(leg.temperature.to("degC"), resin.maximum_temperature.to("degC")):
            most = str(resin.maximum_temperature)
            yield finding("field.temperature_over", most=most, **about)


def _shape(values: dict[str, float], system: str) -> Iterator[Finding]:
    """Folds and wrinkles to expect."""
    unit = SYMBOLS["D"].unit(system)
    if "h_fin" in values:
        yield finding("field.leg_fin", height=values["h_fin"], unit=unit)
    if "h_wrinkle" in values:
        share = 100 * values["h_wrinkle"] / values["D_leg"]
        about: dict[str, Any] = {
            "height": values["h_wrinkle"],
            "excess": values["L_excess"],
            "unit": unit,
        }
        yield finding("field.leg_wrinkle", share=share, **about)


def _proposed(legs: Sequence[LegResult], tube: Tube, resin: Resin, free: PipeTask) -> Tube | None:
    """The first tube that serves every leg: of the diameter in hand, or of that of a leg.

    `free` is the task of the pipe with its thickness to choose. The tube is stretched no more than
    the data of the system allow, and does not fold more than a product standard allows.
    """
    most = resin.maximum_stretch.number if resin.maximum_stretch else None
    for diameter in (tube.diameter, *sorted({leg.diameter for leg in legs})):
        stretches = [100 * (leg.diameter / diameter - 1) for leg in legs]
        if most is not None and any(over(stretch, most) for stretch in stretches):
            continue
        if any(_folds(diameter, leg.diameter, free.basis.system) for leg in legs):
            continue
        needed = [_needed(leg, diameter) for leg in legs]
        if None in needed:
            continue
        thickest = max(filter(None, needed))
        made = _made(thickest, free)
        # The largest of listed sizes may be too small, or leave no bore.
        if at_least(made, thickest) and made < diameter / 2:
            return Tube(diameter, made)
    return None


def _folds(tube: float, diameter: float, system: str) -> bool:
    """Whether the longitudinal fold of a tube wider than the host is beyond the standard's."""
    least = convert(LEAST_FOLD, "mm", SYMBOLS["D"].unit(system))
    return bool(over(equations.fin_height(tube, diameter), max(least, FOLD_SHARE * diameter)))


def _needed(leg: LegResult, diameter: float) -> float | None:
    """The tube thickness that leaves the leg enough; None where no wall of this tube does."""
    wall = leg.needed * (1 + (leg.value("x_bend") or 0.0) / 100)
    if leg.diameter <= diameter * (1 + SAME_DIAMETER):
        return wall
    # Backwards the equation of the stretch holds with the two diameters changed over.
    if diameter**2 < 4 * wall * (leg.diameter - wall):
        return None
    return float(stretched_by_outside_diameter(wall, leg.diameter, diameter))


def _made(thickness: float, free: PipeTask) -> float:
    """The next thickness that the system is made in."""
    inputs = {each.key: each.value for each in free.stations[0].inputs}
    inputs |= {"t_floor": 0.0, "t_required": thickness}
    return float(run(choice_of_thickness(free.basis), inputs)["t"])
