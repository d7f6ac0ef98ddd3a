"""Capacity and quantities of a designed pipe, where the project asks for them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.documents.blocks import Addition, Block, Bullets, Heading
from linerdesign.documents.numbers import both_units
from linerdesign.documents.working import remarks, working_data, working_grid
from linerdesign.expressions.printing import positional
from linerdesign.field.survey.stretch import stretch
from linerdesign.methods import hydraulics, quantities
from linerdesign.methods.lines import Line, line
from linerdesign.methods.origin import AS_GIVEN, DEFAULT, Giver, Origin, calculated
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input
from linerdesign.methods.working import worked
from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.project.fields import given
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.project.requests import Capacity, Order, length_of, over
from linerdesign.words import sentence

CAPACITY, ORDER = "capacity", "order"
TITLES = {CAPACITY: "Capacity running full", ORDER: "Quantities to order"}
# Diameters that differ by less than this share stretch a tube no more than they wrinkle it.
SAME_DIAMETER = 0.005


@dataclass(frozen=True)
class Asked:
    """One calculation beside the thickness. `kind` is `capacity` or `order`."""

    kind: str
    steps: tuple[Step, ...]
    notes: tuple[str, ...]
    system: str

    def value(self, key: str) -> float | None:
        """The value of a quantity; none where the calculation does not have it."""
        return next((step.value for step in self.steps if step.key == key), None)

    def blocks(self, wall: str) -> tuple[Block, ...]:
        """The calculation for a document; `wall` says which wall it is for."""
        title = TITLES[self.kind]
        grid = working_grid(self.steps, self.system, f"For {wall}")
        notes = (*self.notes, *remarks(self.steps))
        return (Heading(title, 2), grid, *((Bullets(notes),) if notes else ()))

    def addition(self, wall: str) -> Addition:
        """The calculation beside the thickness of its pipe."""
        return Addition(self.kind, self.data(), self.blocks(wall))

    def data(self) -> dict[str, Any]:
        """The calculation as JSON data: its results by name, and every step."""
        results = {
            name: {"value": value, "unit": SYMBOLS[key].unit(self.system)}
            for name, key in _NAMES[self.kind].items()
            if (value := self.value(key)) is not None
        }
        return results | {"steps": working_data(self.steps), "notes": list(self.notes)}


_NAMES = {
    CAPACITY: {"percent": "r_Q", "before": "Q_before", "after": "Q_after"},
    ORDER: {
        "wall_volume": "V_wall",
        "resin_volume": "V_resin",
        "resin_measure": "V_mix",
        "roller_gap": "g_roller",
        "tube_diameter": "D_tube",
        "mass_per_length": "m_length",
        "mass": "m_total",
        "tube_length": "L_tube",
        "thickness_after_stretch": "t_out",
    },
}


def asked(project: Project, result: PipeResult) -> tuple[Asked, ...]:
    """The calculations that the project requests beside the thickness of this pipe.

    Raises:
        InputFaults: where it asks for what its keys don't suffice for.
    """
    pipe = next(each for each in project.pipes if each.name == result.name)
    capacity = over(project.capacity, pipe.capacity)
    order = over(project.order, pipe.order)
    # A table for every pipe asks of those that have a length; a pipe's own has to have one.
    wants_order = order is not None and (length_of(pipe) is not None or pipe.order is not None)
    faults = list(_missing(pipe, capacity, order if wants_order else None))
    if faults:
        raise InputFaults(faults)
    found: list[Asked] = []
    if hydraulics.liner_bore(result.value("D") or 0.0, result.nominal_thickness) <= 0:
        return ()  # a wall that leaves no bore: its checks say so, and there is nothing to order
    if capacity is not None:
        found.append(_capacity(capacity, result))
    if order is not None and wants_order:
        found.append(_order(order, pipe, project, result))
    return tuple(found)


def _missing(pipe: Pipe, capacity: Capacity | None, order: Order | None) -> Iterator[Fault]:
    place = f'[[pipe]] "{pipe.name}"'
    if capacity is not None and capacity.host_n is None:
        yield fault("measured.no_host_n", place)
    if order is not None and length_of(pipe) is None:
        yield fault("measured.no_length", place)


def _capacity(asking: Capacity, result: PipeResult) -> Asked:
    system = result.basis.system
    bore = min(_diameters(result).values())
    inputs = [
        Input("D", bore, _which("smallest", result)),
        Input("t", result.nominal_thickness, calculated("nominal thickness")),
        Input("n_host", float(asking.host_n or 0)),
        Input("n_liner", asking.liner_n, _origin(asking, "liner_n")),
    ]
    lines = [line(hydraulics.liner_bore), line(hydraulics.capacity_after_lining)]
    if asking.slope is not None:
        inputs.append(Input("S_bed", asking.slope.number))
        form = hydraulics.full_flow_us if system == "US" else hydraulics.full_flow_si
        for bore_key, n, flow in (("D", "n_host", "Q_before"), ("D_liner", "n_liner", "Q_after")):
            lines.append(line(form, {"D_bore": bore_key, "n_bore": n, "Q_full": flow}))
    notes = (sentence("field.manning"),)
    return Asked(CAPACITY, worked(inputs, lines, system), notes, system)


@dataclass(frozen=True)
class Ordered:
    """The quantities of one pipe by key, in the units of the sheet, and the resin excess."""

    values: dict[str, float]
    excess: Measure


def order_of(project: Project, pipe: Pipe, result: PipeResult) -> Ordered:
    """The quantities of a pipe that has a length, whether the project requests them or not."""
    asking = over(project.order, pipe.order) or Order()
    made = _order(asking, pipe, project, result)
    return Ordered({step.key: step.value for step in made.steps}, asking.resin_excess)


def _order(asking: Order, pipe: Pipe, project: Project, result: PipeResult) -> Asked:
    system = result.basis.system
    length = length_of(pipe)
    assert length is not None
    tube, origin = _tube(asking, pipe, result)
    wall = pipe.tube_thickness
    nominal = calculated("nominal thickness")
    inputs = [
        Input("D_tube", tube, origin),
        _given("t", wall, AS_GIVEN, system) if wall else Input("t", _nominal(result), nominal),
        _given("L_pipe", length, AS_GIVEN, system),
        _given("L_extra", asking.extra_length, _origin(asking, "extra_length"), system),
        _given("x_share", asking.resin_share, _origin(asking, "resin_share"), system),
        _given("x_resin", asking.resin_excess, _origin(asking, "resin_excess"), system),
    ]
    us = system == "US"
    # A stretched wall keeps its area: that of the tube is to be impregnated.
    lines = [
        line(quantities.wall_area, {"D": "D_tube"}),
        line(quantities.tube_length),
        line(quantities.wall_volume_us if us else quantities.wall_volume_si),
        line(quantities.resin_volume),
        line(quantities.resin_measure_us if us else quantities.resin_measure_si),
        line(quantities.roller_gap),
    ]
    density = project.resin_of(pipe).density
    if density is not None:
        inputs.append(_given("rho", density, Origin("", Giver.RESIN, place=result.resin), system))
        form = quantities.mass_per_length_us if us else quantities.mass_per_length_si
        lines += [line(form), line(quantities.total_mass)]
    notes = [] if density is not None else [sentence("field.no_density")]
    if "extra_length" not in given(asking):
        notes.append(sentence("field.no_extra_length"))
    if pressure := max(values.get("P", 0.0) for values in result.values):
        unit = SYMBOLS["P"].unit(system)
        notes.append(sentence("field.hold", pressure=positional(pressure, 4), unit=unit))
    steps = worked(inputs, lines, system)
    inputs, lines, more = _with_stretch(steps, result, inputs, lines)
    return Asked(ORDER, worked(inputs, lines, system), (*notes, *more), system)


def _nominal(result: PipeResult) -> float:
    return result.nominal_thickness


def _tube(asking: Order, pipe: Pipe, result: PipeResult) -> tuple[float, Origin]:
    """The diameter of the tube: as stated, or the smallest of the line."""
    unit = SYMBOLS["D"].unit(result.basis.system)
    stated = pipe.tube_diameter or asking.tube_diameter
    if stated:
        return stated.to(unit), AS_GIVEN
    legs = [leg.host_diameter.to(unit) for leg in pipe.leg if leg.host_diameter]
    several = len(result.stations) > 1 or bool(legs)
    smallest = min((*legs, *_diameters(result).values()))
    return smallest, calculated("smallest diameter" if several else "design diameter")


def _with_stretch(
    steps: tuple[Step, ...], result: PipeResult, inputs: list[Input], lines: list[Line]
) -> tuple[list[Input], list[Line], tuple[str, ...]]:
    """Adds what the tube delivers at the widest station, where it is stretched at all."""
    system = result.basis.system
    values = {step.key: step.value for step in steps}
    bores = _diameters(result)
    widest = max(bores, key=lambda station: bores[station])
    tube, wall = values["D_tube"], values["t"]
    if tube > bores[widest] * (1 + SAME_DIAMETER):
        return inputs, lines, (sentence("field.tube_folds"),)
    if tube >= bores[widest] * (1 - SAME_DIAMETER):
        return inputs, lines, ()
    inputs = [*inputs, Input("D_wide", bores[widest], calculated("largest diameter"))]
    lines = [*lines, *(line(each, {"t_tube": "t"}) for each in _STRETCHED)]
    needed = max(c.required_thickness for c in result.checks if c.station == widest)
    found = stretch(wall, tube, bores[widest], needed)
    left, required = (both_units(t, system) for t in (found.delivered_outside, needed))
    at = sentence("field.at_station", station=widest) if widest else ""
    verdict = "sufficient" if found.enough else "insufficient"
    if found.enough:
        remedy = ""
    elif found.tube_needed == math.inf:
        remedy = "; " + sentence("field.no_thicker")
    else:
        remedy = "; " + sentence("field.order_thicker", t=both_units(found.tube_needed, system))
    about = {"left": left, "required": required, "verdict": sentence(f"field.{verdict}")}
    return inputs, lines, (sentence("field.widest", at=at, **about) + remedy,)


_STRETCHED = (quantities.stretched_by_mean_diameter, quantities.stretched_by_outside_diameter)


def _diameters(result: PipeResult) -> dict[str | None, float]:
    """Mean diameter of the host at every station."""
    shared = result.value("D")
    return {at: float(result.value("D", at) or shared or 0) for at in result.stations}


def _which(extreme: str, result: PipeResult) -> Origin:
    several = len(result.stations) > 1
    return calculated(f"{extreme} of the stations" if several else "designed for")


def _given(key: str, value: Measure, origin: Origin, system: str) -> Input:
    # A default was written by nobody: its own unit says nothing.
    stated = "" if origin.by_default else str(value)
    number = value.to(SYMBOLS[key].unit(system))
    return Input(key, number, replace(origin, stated=stated))


def _origin(asking: Capacity | Order, key: str) -> Origin:
    return AS_GIVEN if key in given(asking) else DEFAULT
