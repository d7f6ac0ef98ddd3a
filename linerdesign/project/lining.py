"""The legs of a line under one tube: the wall delivered in each, and its checks there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from linerdesign.expressions.tolerance import at_least, over, under
from linerdesign.expressions.tree import Across, Call, Number, Symbol
from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods import legs as equations
from linerdesign.methods.hydraulics import fills
from linerdesign.methods.legs import (
    LEG_FAILS,
    SAME_DIAMETER,
    STRETCHED,
    is_stretched,
    leg_verdicts,
    wall_trees,
)
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.method import choice_of_thickness
from linerdesign.methods.origin import AS_GIVEN, Origin, calculated
from linerdesign.methods.quantities import stretched_by_outside_diameter
from linerdesign.methods.result import LegPlace, LegResult, Legs, PipeResult, Tube
from linerdesign.methods.second import solved_again
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.methods.thickness import both_units
from linerdesign.methods.verdicts import FAILS, OUTSIDE
from linerdesign.methods.working import values_of
from linerdesign.project.assembly import designed, task
from linerdesign.project.contradictions import place_of
from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.measures import convert
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.project.requests import (
    Leg,
    TubeAsked,
    along,
    tube_of,
)
from linerdesign.words import sentence

# The largest wrinkle of ISO 11296-4, 2 % of the diameter or 6 mm: from memory; verify against the
# printed standard.
FOLD_SHARE, LEAST_FOLD = 0.02, 6.0
# What the data of a system do not allow, whatever the wall.
NOT_ALLOWED = ("field.stretch_over", "field.temperature_over")
# Diameter and wall of a tube, in the unit of the sheet, as far as a project states them.
Stated = tuple[float | None, float | None]


def with_tube(project: Project, asked: TubeAsked, result: PipeResult) -> PipeResult:
    """The pipe as its tube leaves it: one in legs has the status and the factor of the worst.

    Raises:
        InputFaults: as `lining`.
    """
    pipe, system = project.by_name[result.name], result.basis.system
    stated = _in_sheet(asked.diameter, system), _in_sheet(asked.thickness, system)
    found = _lined(pipe, project.resin_of(pipe), project.criteria, stated, result)
    status = result.status
    if not found.passes:
        status = FAILS
    elif found.built.status == OUTSIDE and result.holds:
        status = OUTSIDE
    notes = (*result.notes, *short_legs(found))
    return replace(result, status=status, legs=found, notes=notes)


def lining(
    project: Project, result: PipeResult, resin: Resin | None = None, tube: Tube | None = None
) -> Legs:
    """The legs of a designed pipe that has any.

    `resin` and `tube` are in place of those of the pipe.

    Raises:
        InputFaults: a wall that leaves no bore in the tube or in a leg.
    """
    pipe, system = project.by_name[result.name], result.basis.system
    stated = _in_sheet(tube_of(project, pipe), system), _in_sheet(pipe.tube_thickness, system)
    if tube is not None:
        stated = tube.diameter, tube.thickness
    return _lined(pipe, resin or project.resin_of(pipe), project.criteria, stated, result)


def _lined(
    pipe: Pipe, resin: Resin, criteria: Criteria, stated: Stated, result: PipeResult
) -> Legs:
    """The legs of a pipe under a tube as stated."""
    system, all_legs = result.basis.system, legs_of(pipe)
    diameters = [_in_sheet(leg.host_diameter, system) or _own(result) for leg in all_legs]
    tube = Tube(stated[0] or min(diameters), stated[1] or result.nominal_thickness)
    if fills(tube.diameter, tube.thickness):
        unit = SYMBOLS["D"].unit(system)
        wall, half = (f"{each:.4g} {unit}" for each in (tube.thickness, tube.diameter / 2))
        at = place_of("pipe", pipe.name).at("tube_thickness")
        raise InputFaults([fault("measured.no_bore", at, wall, half=half)])
    read_as = Origin(pipe.origin.get("leg", "given"))
    lines = [
        _lines(leg, diameter, tube, read_as, system)
        for leg, diameter in zip(all_legs, diameters, strict=True)
    ]
    names, values = names_of(all_legs), [values_of(*each) for each in lines]
    placed, built = _built(result, names, all_legs, values)
    minimum = criteria.minimum_thickness.to(SYMBOLS["t"].unit(system))
    found = tuple(
        _leg(
            name,
            leg,
            lines[number],
            values[number],
            built,
            [i for i, (owner, _) in enumerate(placed) if owner == number],
            minimum,
            resin,
        )
        for number, (name, leg) in enumerate(zip(names, all_legs, strict=True))
    )
    return Legs(
        tube,
        found,
        built,
        result.basis.ovality_key,
        place=partial(_following, all_legs, stated, resin, minimum, result, placed),
        propose=partial(_proposed, found, tube, pipe, resin, criteria, system),
    )


def short_legs(found: Legs) -> Iterator[Finding]:
    """The legs that the wall delivered does not serve, each with the reason."""
    for leg in found.legs:
        if not leg.passes:
            reason = leg.findings[0].said
            yield finding(LEG_FAILS, Severity.CAUTION, None, at=leg.at, text=reason)


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
    tube: Stated,
    resin: Resin,
    minimum: float,
    result: PipeResult,
    placed: Sequence[tuple[int, int]],
) -> tuple[LegPlace, ...]:
    """Of each leg how its wall follows from the quantities of the pipe, and whether it serves.

    `tube` is as stated; else it is for the narrowest leg, or in the nominal thickness. `placed`
    has the leg and the station of each place.
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
        allowed = not any(each.code in NOT_ALLOWED for each in _heated(leg, resin))
        trees = wall_trees(diameter, made_for, wall, radius)
        found.append((trees, leg_verdicts(owners, most, radius is not None, allowed)))
    return tuple(LegPlace(leg, station, *found[leg]) for leg, station in placed)


def names_of(legs: Sequence[Leg]) -> list[str]:
    """The place of each leg, or its number; a place that several have, with the number."""
    places = [leg.at for leg in legs]
    return [
        at
        if at and places.count(at) == 1
        else ", ".join(filter(None, (sentence("field.leg_number", number=number), at)))
        for number, at in enumerate(places, 1)
    ]


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


def _built(
    result: PipeResult,
    names: Sequence[str],
    all_legs: Sequence[Leg],
    walls: Sequence[Mapping[str, float]],
) -> tuple[list[tuple[int, int]], PipeResult]:
    """The design of the delivered walls; of each of its stations the leg, and that of the pipe."""
    task = result.task
    key = task.basis.ovality_key
    replaced = {"D", "t", "s", *task.basis.ovality}
    stations, placed = [], []
    places = [station.at or "" for station in task.stations]
    for number, covered in enumerate(stations_of([leg.at or "" for leg in all_legs], places)):
        for place in covered:
            station, values = task.stations[place], result.values[place]
            wall = walls[number]
            made = {"D": wall["D_leg"], "t": wall.get("t_bend_out", wall["t_leg"])}
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
    for number, (leg, name) in enumerate(zip(pipe.leg, names, strict=True), 1):
        if station and station in (leg.at, name, sentence("field.leg_number", number=number)):
            return name
    place = along(station)
    known = [(along(leg.at or ""), name) for leg, name in zip(pipe.leg, names, strict=True)]
    starts = [(start, name) for start, name in known if start is not None]
    if place is None or len(starts) < len(known):
        return None
    return max((each for each in starts if each[0] <= place), default=(place, None))[1]


def _between(start: Any, starts: Sequence[Any], stations: Sequence[Any]) -> Iterator[int]:
    """The stations from a start to the next one, both ends included."""
    end = min((each for each in starts if each > start), default=math.inf)
    return (i for i, place in enumerate(stations) if start <= place <= end)


def _leg(
    name: str,
    leg: Leg,
    working: tuple[list[Input], list[Line]],
    values: Mapping[str, float],
    built: PipeResult,
    mine: Sequence[int],
    minimum: float,
    resin: Resin,
) -> LegResult:
    system, places = built.basis.system, [built.places[i] for i in mine]
    worst = max(places, key=lambda place: place.required_thickness)
    stations = {place.at for place in places}
    factors = [place.least_factor for place in places if place.least_factor is not None]
    # What the data of the system do not allow comes first: no wall makes up for it.
    beyond = [*_stretched(values["x_stretch"], resin), *_heated(leg, resin)]
    beyond.sort(key=lambda each: each.code not in NOT_ALLOWED)
    allowed = not any(each.code in NOT_ALLOWED for each in beyond)
    verdict = list(_verdict(values, worst.required_thickness, minimum, worst.governing, system))
    said = [*beyond, *_shape(values, system)]
    return LegResult(
        at=name,
        inputs=tuple(working[0]),
        lines=tuple(working[1]),
        values=values,
        required=worst.required_thickness,
        minimum=minimum,
        governing=worst.governing,
        safety_factor=min(factors, default=None),
        checks=tuple(check for check in built.checks if check.station in stations),
        system_allows=allowed,
        findings=tuple((*verdict, *said) if allowed else (*said, *verdict)),
    )


def _verdict(
    values: Mapping[str, float], required: float, minimum: float, governing: str, system: str
) -> Iterator[Finding]:
    """Whether the least wall reaches the thickness required and the owner's minimum."""
    least = values.get("t_bend_out", values["t_leg"])
    where = sentence("field.outer_side") if "t_bend_out" in values else ""
    about: dict[str, Any] = {"least": both_units(least, system), "where": where}
    bounds = {"field.leg_short": required, "field.leg_minimum": minimum}
    short = {code: bound for code, bound in bounds.items() if under(least, bound)}
    for code, bound in short.items():
        missing = both_units(bound - least, system)
        asked: dict[str, Any] = {"required": both_units(bound, system), "equation": governing}
        yield finding(code, missing=missing, **about, **asked)
    if not short:
        needed = both_units(max(required, minimum), system)
        yield finding("field.leg_enough", required=needed, **about)


def _stretched(stretch: float, resin: Resin) -> Iterator[Finding]:
    """The stretch against the data of the system."""
    if stretch > 100 * SAME_DIAMETER:
        if resin.maximum_stretch is None:
            yield finding("field.stretch_no_data", stretch=stretch, resin=resin.name)
        elif over(stretch, resin.maximum_stretch.number):
            most = str(resin.maximum_stretch)
            yield finding("field.stretch_over", stretch=stretch, most=most, resin=resin.name)


def _heated(leg: Leg, resin: Resin) -> Iterator[Finding]:
    """The temperature against the data of the system."""
    if leg.temperature is not None:
        about: dict[str, Any] = {"temperature": str(leg.temperature), "resin": resin.name}
        if resin.maximum_temperature is None:
            yield finding("field.temperature_no_data", **about)
        elif over(leg.temperature.to("degC"), resin.maximum_temperature.to("degC")):
            most = str(resin.maximum_temperature)
            yield finding("field.temperature_over", most=most, **about)


def _shape(values: Mapping[str, float], system: str) -> Iterator[Finding]:
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


def _proposed(
    legs: Sequence[LegResult], tube: Tube, pipe: Pipe, resin: Resin, criteria: Criteria, system: str
) -> Tube | None:
    """The first tube that serves every leg: of the diameter in hand, or of that of a leg.

    The tube is stretched no more than the data of the system allow, and does not fold more than a
    product standard allows.
    """
    most = resin.maximum_stretch.number if resin.maximum_stretch else None
    # The task of the pipe with its thickness to choose.
    free = task(pipe.changed({"design_thickness": None}), resin, criteria, system)
    for diameter in (tube.diameter, *sorted({leg.diameter for leg in legs})):
        stretches = [100 * (leg.diameter / diameter - 1) for leg in legs]
        if most is not None and any(over(stretch, most) for stretch in stretches):
            continue
        if any(_folds(diameter, leg.diameter, system) for leg in legs):
            continue
        needed = [_needed(leg, diameter) for leg in legs]
        if None in needed:
            continue
        thickest = max(filter(None, needed))
        made = _made(thickest, free)
        # The largest of listed sizes may be too small, or leave no bore.
        if at_least(made, thickest) and not fills(diameter, made):
            return Tube(diameter, made)
    return None


def _folds(tube: float, diameter: float, system: str) -> bool:
    """Whether the longitudinal fold of a tube wider than the host is beyond the standard's."""
    least = convert(LEAST_FOLD, "mm", SYMBOLS["D"].unit(system))
    return bool(over(equations.fin_height(tube, diameter), max(least, FOLD_SHARE * diameter)))


def _needed(leg: LegResult, diameter: float) -> float | None:
    """The tube thickness that leaves the leg enough; None where no wall of this tube does."""
    wall = leg.needed * (1 + (leg.values.get("x_bend") or 0.0) / 100)
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
