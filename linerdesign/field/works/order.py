"""What a crew orders for a pipe: tube, resin and its mix, and the masses."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from linerdesign.documents.numbers import both_units
from linerdesign.field.survey.stretch import stretch
from linerdesign.field.works.beside import (
    Asked,
    diameters,
    narrowest,
    of_resin,
    origin_of,
    stated,
    values_grid,
    wall_of,
)
from linerdesign.methods import quantities
from linerdesign.methods.legs import SAME_DIAMETER
from linerdesign.methods.lines import Line, line
from linerdesign.methods.origin import AS_GIVEN, calculated
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input
from linerdesign.methods.working import values_of, worked
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.project.requests import Order, joined, length_of, tube_of
from linerdesign.words import sentence

NAMES = {
    "wall_volume": "V_wall",
    "resin_volume": "V_resin",
    "resin_measure": "V_mix",
    "resin_mass": "m_resin",
    "mix_resin_mass": "m_base",
    "mix_hardener_mass": "m_hardener",
    "roller_gap": "g_roller",
    "tube_diameter": "D_tube",
    "mass_per_length": "m_length",
    "mass": "m_total",
    "wet_mass": "m_wet",
    "tube_mass": "m_tube",
    "tube_length": "L_tube",
    "thickness_after_stretch": "t_out",
}
# What the crew reads first.
TO_ORDER = (
    *(
        "D_tube",
        "t_tube",
        "L_tube",
        "L_extra",
        "V_resin",
        "V_mix",
        "m_resin",
        "m_base",
        "m_hardener",
    ),
    *("x_resin", "g_roller", "m_tube", "m_wet"),
)
_STRETCHED = (quantities.stretched_by_mean_diameter, quantities.stretched_by_outside_diameter)


@dataclass(frozen=True)
class Ordered:
    """The quantities of one pipe by key, in the units of the sheet, and the resin excess."""

    values: dict[str, float]
    excess: Measure


def order_of(project: Project, pipe: Pipe, result: PipeResult) -> Ordered:
    """The quantities of a pipe that has a length, whether the project requests them or not."""
    asking = joined(project.order, pipe.order) or Order()
    inputs, lines, _ = _ordered(asking, pipe, project, result)
    return Ordered(values_of(inputs, lines), asking.resin_excess)


def order(asking: Order, pipe: Pipe, project: Project, result: PipeResult) -> Asked:
    """Tube, resin and masses of a pipe that has a length."""
    system = result.basis.system
    inputs, lines, notes = _ordered(asking, pipe, project, result)
    steps = worked(inputs, lines, system)
    found = {step.key: step.value for step in steps}
    keys = [key for key in TO_ORDER if key in found]
    table = values_grid(keys, found, system, sentence("field.order_caption"))
    return Asked("order", steps, notes, system, NAMES, tables=(table,))


def _ordered(
    asking: Order, pipe: Pipe, project: Project, result: PipeResult
) -> tuple[list[Input], list[Line], tuple[str, ...]]:
    """The inputs and lines of an order, and its notes."""
    system, resin = result.basis.system, project.resin_of(pipe)
    inputs, lines = _tube_and_resin(asking, pipe, project, result)
    notes = []
    for key, add in (("density", _masses), ("resin_density", _mix)):
        if getattr(resin, key) is None:
            notes.append(sentence(f"field.no_{key}"))
        else:
            add(resin, system, inputs, lines)
    if resin.felt_density is None:
        notes.append(sentence("field.no_felt_density"))
    else:
        _dry_tube(asking, resin, system, inputs, lines)
    if None not in (resin.resin_density, resin.felt_density):
        lines.append(line(quantities.wet_mass_of_parts))
    elif resin.density is not None:
        lines.append(line(quantities.wet_mass))
    if origin_of(asking, "extra_length").by_default:
        notes.append(sentence("field.no_extra_length"))
    inputs, lines, more = _with_stretch(result, inputs, lines)
    return inputs, lines, (*notes, *more)


def _tube_and_resin(
    asking: Order, pipe: Pipe, project: Project, result: PipeResult
) -> tuple[list[Input], list[Line]]:
    us, system = result.basis.system == "US", result.basis.system
    length, own = length_of(pipe), tube_of(project, pipe)
    assert length is not None
    tube = stated("D_tube", own, AS_GIVEN, system) if own else narrowest(pipe, result)
    of_legs = calculated("sum of the legs")
    inputs = [
        replace(tube, key="D_tube"),
        replace(wall_of(pipe, result), key="t_tube"),
        stated("L_pipe", length, AS_GIVEN, system)
        if pipe.length
        else Input("L_pipe", length.to(SYMBOLS["L_pipe"].unit(system)), of_legs),
        stated("L_extra", asking.extra_length, origin_of(asking, "extra_length"), system),
        stated("x_share", asking.resin_share, origin_of(asking, "resin_share"), system),
        stated("x_resin", asking.resin_excess, origin_of(asking, "resin_excess"), system),
    ]
    # A stretched wall keeps its area: that of the tube is to be impregnated.
    lines = [
        line(quantities.wall_area, {"D": "D_tube", "t": "t_tube"}),
        line(quantities.tube_length),
        line(quantities.wall_volume_us if us else quantities.wall_volume_si),
        line(quantities.resin_volume),
        line(quantities.resin_measure_us if us else quantities.resin_measure_si),
        line(quantities.roller_gap, {"t": "t_tube"}),
    ]
    return inputs, lines


def _masses(resin: Resin, system: str, inputs: list[Input], lines: list[Line]) -> None:
    """Adds the mass of the wall."""
    inputs.append(stated("rho", resin.density, of_resin(resin), system))
    us = system == "US"
    form = quantities.mass_per_length_us if us else quantities.mass_per_length_si
    lines += map(line, (form, quantities.total_mass))


def _mix(resin: Resin, system: str, inputs: list[Input], lines: list[Line]) -> None:
    """Adds the mass of the resin, and of the parts of its mix where they are stated."""
    inputs.append(stated("rho_resin", resin.resin_density, of_resin(resin), system))
    lines.append(line(quantities.resin_mass))
    if resin.hardener_parts is not None:
        inputs.append(Input("x_mix", resin.hardener_parts, of_resin(resin)))
        lines += map(line, (quantities.mix_of_resin, quantities.mix_of_hardener))


def _dry_tube(
    asking: Order,
    resin: Resin,
    system: str,
    inputs: list[Input],
    lines: list[Line],
) -> None:
    """Adds the mass of the tube before wet-out."""
    values = {each.key: each.value for each in inputs}
    if asking.felt_thickness is None:
        thickness = Input("t_felt", values["t_tube"], calculated(sentence("field.as_cured")))
    else:
        thickness = stated("t_felt", asking.felt_thickness, AS_GIVEN, system)
    inputs += [stated("rho_felt", resin.felt_density, of_resin(resin), system), thickness]
    us = system == "US"
    per_length = quantities.mass_per_length_us if us else quantities.mass_per_length_si
    lines += (
        line(quantities.wall_area, {"D": "D_tube", "t": "t_felt", "A_wall": "A_felt"}),
        line(per_length, {"A_wall": "A_felt", "rho": "rho_felt", "m_length": "m_felt"}),
        line(quantities.total_mass, {"m_length": "m_felt", "m_total": "m_tube"}),
    )


def _with_stretch(
    result: PipeResult, inputs: list[Input], lines: list[Line]
) -> tuple[list[Input], list[Line], tuple[str, ...]]:
    """Adds what the tube delivers at the widest station, where it is stretched at all."""
    system = result.basis.system
    values = values_of(inputs, lines)
    bores = diameters(result)
    widest = max(bores, key=lambda station: bores[station])
    tube, wall = values["D_tube"], values["t_tube"]
    if tube > bores[widest] * (1 + SAME_DIAMETER):
        return inputs, lines, (sentence("field.tube_folds"),)
    if tube >= bores[widest] * (1 - SAME_DIAMETER):
        return inputs, lines, ()
    inputs = [*inputs, Input("D_wide", bores[widest], calculated("largest diameter"))]
    lines = [*lines, *map(line, _STRETCHED)]
    # The owner's minimum holds where the tube is stretched as well.
    needed = max(
        *(check.required_thickness for check in result.checks if check.station == widest),
        *(values["t_floor"] for values in result.values),
    )
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
