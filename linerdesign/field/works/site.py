"""The site sheet of a pipe: pressure window, pull-in, cure, and the laterals to reopen."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from linerdesign.documents.blocks import Grid
from linerdesign.documents.numbers import value_with_unit
from linerdesign.expressions.tolerance import over as exceeds
from linerdesign.field.works.beside import Asked, of_resin, origin_of, stated, values_grid
from linerdesign.methods import works
from linerdesign.methods.lines import Line, line
from linerdesign.methods.origin import AS_GIVEN, calculated
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.task import Input
from linerdesign.methods.working import worked
from linerdesign.project.lining import names_of
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.reading import Project
from linerdesign.project.requests import Capacity, Order, along
from linerdesign.words import heads_of, sentence

NAMES = {
    "least_pressure": "p_least",
    "largest_pressure": "p_window",
    "least_head": "h_least",
    "largest_head": "h_most",
    "pull_force": "F_pull",
    "maximum_pull_force": "F_most",
    "elongation": "L_pulled",
    "light_power": "W_light",
    "light_speed": "v_light",
    "light_time": "T_light",
    "light_energy": "e_light",
    "cure_temperature": "theta_cure",
    "cure_time": "T_holding",
    "total_cure_time": "T_cure",
}
# Keys of a system's data sheet by the quantities that they state.
_LIGHT = {"W_light": "light_power", "v_light": "light_speed"}
_HEAT = {
    "theta_cure": "cure_temperature",
    "T_heating": "heating_time",
    "T_holding": "cure_time",
    "T_cooling": "cooling_time",
}


def site(
    asking: Order,
    flowing: Capacity | None,
    pipe: Pipe,
    project: Project,
    result: PipeResult,
    ordered: Asked,
) -> Asked:
    """The site sheet; `ordered` are the quantities of the same pipe."""
    system, resin = result.basis.system, project.resin_of(pipe)
    known = {step.key: step.value for step in ordered.steps}
    more = {
        "working_window": _window(asking, flowing, resin, result, known),
        "working_pull": _pull(asking, pipe, resin, known, system),
        "working_cure": _cure(resin, known, system),
    }
    more = {code: steps for code, steps in more.items() if steps}
    found = {step.key: step.value for steps in more.values() for step in steps}
    tables = tuple(_tables(pipe, found, system))
    facts = {
        "window": _has_window(found),
        "laterals": [
            {"at": each.at, "clock": each.clock, "diameter": each.diameter and str(each.diameter)}
            for each in laterals(pipe)
        ],
    }
    notes = tuple(_remarks(asking, flowing, resin, found, system))
    return Asked("site", (), notes, system, NAMES, more, tables, facts)


def _groundwater(result: PipeResult) -> float:
    """The greatest pressure of the groundwater, of which a vacuum in the pipe is no part."""
    if result.basis.above_ground:
        return 0.0
    key = "P_w" if result.basis.vacuum else "P"
    return max(values[key] for values in result.values)


def _window(
    asking: Order,
    flowing: Capacity | None,
    resin: Resin,
    result: PipeResult,
    ordered: Mapping[str, float],
) -> tuple[Step, ...]:
    """Smallest and largest internal pressure, and the heads of water of both."""
    system, us = result.basis.system, result.basis.system == "US"
    worst = calculated("worst of the stations" if len(result.stations) > 1 else "design")
    inputs = [Input("P_ground", _groundwater(result), worst)]
    expand = resin.minimum_installation_pressure
    if expand is None:
        inputs.append(Input("p_expand", 0.0, calculated(sentence("field.not_stated"))))
    else:
        inputs.append(stated("p_expand", expand, of_resin(resin), system))
    lines = [line(works.least_pressure)]
    slope = flowing and flowing.slope
    if slope is None:
        inputs.append(Input("z_fall", 0.0, calculated(sentence("field.not_stated"))))
    else:
        inputs += [
            Input("S_bed", slope.number, AS_GIVEN),
            Input("L_pipe", ordered["L_pipe"], calculated("order")),
        ]
        lines.append(line(works.fall_of_line))
    lines.append(line(works.least_head_us if us else works.least_head_si))
    limits = tuple(_limits(asking, resin, result, inputs, lines))
    if len(limits) == 2:
        lines.append(line(works.largest_pressure))
    if limits:
        most = {"p_window": limits[0]} if len(limits) == 1 else {}
        lines.append(line(works.largest_head_us if us else works.largest_head_si, most))
    return worked(inputs, lines, system)


def _limits(
    asking: Order, resin: Resin, result: PipeResult, inputs: list[Input], lines: list[Line]
) -> Iterator[str]:
    """Adds what limits the internal pressure; the key of each limit."""
    system = result.basis.system
    if resin.maximum_installation_pressure is not None:
        inputs.append(
            stated("p_tube", resin.maximum_installation_pressure, of_resin(resin), system)
        )
        yield "p_tube"
    if asking.host_pressure is not None:
        inputs.append(stated("p_host", asking.host_pressure, AS_GIVEN, system))
        yield "p_host"
        return
    if {"w", "H"} <= result.values[0].keys():
        least = min(result.values, key=lambda each: each["w"] * each["H"])
        shallow = calculated("station of least cover" if len(result.values) > 1 else "design")
        inputs += [Input(key, float(least[key]), shallow) for key in ("w", "H")]
        form = works.heave_us if system == "US" else works.heave_si
        lines.append(line(form, {"p_heave": "p_host"}))
        yield "p_host"


def _pull(
    asking: Order, pipe: Pipe, resin: Resin, ordered: Mapping[str, float], system: str
) -> tuple[Step, ...]:
    """The pull-in force, and the elongation under it where the system states one."""
    if "m_wet" not in ordered:
        return ()
    bends = sum(leg.bend.to("deg") for leg in pipe.leg if leg.bend)
    inputs = [
        Input("mu_pull", asking.pull_friction, origin_of(asking, "pull_friction")),
        Input("m_wet", ordered["m_wet"], calculated("order")),
        Input("alpha_bends", bends, calculated("sum of the legs")),
    ]
    lines = [line(works.pull_force_us if system == "US" else works.pull_force_si)]
    if resin.maximum_pull_force is not None:
        inputs.append(stated("F_most", resin.maximum_pull_force, of_resin(resin), system))
        if resin.pull_elongation is not None:
            inputs += [
                stated("x_pull", resin.pull_elongation, of_resin(resin), system),
                Input("L_tube", ordered["L_tube"], calculated("order")),
            ]
            lines.append(line(works.elongation))
    return worked(inputs, lines, system)


def _cure(resin: Resin, ordered: Mapping[str, float], system: str) -> tuple[Step, ...]:
    """The cure by the data of the system: light, heat, or nothing stated."""
    given = {
        key: stated(key, value, of_resin(resin), system)
        for key, name in (_LIGHT | _HEAT).items()
        if (value := getattr(resin, name)) is not None
    }
    inputs, lines = list(given.values()), []
    if "v_light" in given:
        inputs.append(Input("L_tube", ordered["L_tube"], calculated("order")))
        lines.append(line(works.light_time))
        lines += [line(works.light_energy)] if "W_light" in given else []
    if "T_holding" in given:
        for key in ("T_heating", "T_cooling"):
            if key not in given:
                inputs.append(Input(key, 0.0, calculated(sentence("field.not_stated"))))
        lines.append(line(works.heat_time))
    return worked(inputs, lines, system)


def _has_window(found: Mapping[str, float]) -> bool | None:
    """Whether a pressure holds the tube within every known limit; None without a limit."""
    limits = [found[key] for key in ("p_tube", "p_host") if key in found]
    if not limits:
        return None
    by_water = "h_most" not in found or not exceeds(found["h_least"], found["h_most"])
    return not exceeds(found["p_least"], min(limits)) and by_water


def laterals(pipe: Pipe) -> list[Any]:
    """The laterals in the order of their stations, those without a length in their own order."""

    def place(lateral: Any) -> float:
        at = along(lateral.at)
        return math.inf if at is None else at

    return sorted(pipe.lateral, key=place)


def _tables(pipe: Pipe, found: Mapping[str, float], system: str) -> Iterator[Grid]:
    """What the crew reads first: the values to keep, the legs, and the laterals."""
    keys = [key for key in NAMES.values() if key in found]
    if "p_window" not in found:
        keys = ["p_least", *(key for key in ("p_tube", "p_host") if key in found), *keys[1:]]
    yield values_grid(keys, found, system, sentence("field.site_caption"))
    if pipe.leg:
        yield _legs(pipe)
    if pipe.lateral:
        told = [(each.at, each.clock or "-", _or_dash(each.diameter)) for each in laterals(pipe)]
        numbered = tuple((str(i), *each) for i, each in enumerate(told, 1))
        yield Grid(heads_of("field.laterals"), "><<>", numbered, sentence("field.laterals_caption"))


def _legs(pipe: Pipe) -> Grid:
    rows = tuple(
        (
            name,
            *(
                _or_dash(each)
                for each in (
                    leg.length,
                    leg.host_diameter or pipe.host_diameter,
                    leg.bend,
                    leg.bend_radius,
                    leg.temperature,
                )
            ),
        )
        for name, leg in zip(names_of(pipe.leg), pipe.leg, strict=True)
    )
    return Grid(heads_of("field.site_legs"), "<>>>>>", rows, sentence("field.legs_title"))


def _or_dash(value: object) -> str:
    return "-" if value is None else str(value)


def _remarks(
    asking: Order, flowing: Capacity | None, resin: Resin, found: Mapping[str, float], system: str
) -> Iterator[str]:
    def shown(key: str) -> str:
        return value_with_unit(key, found[key], system)

    if _has_window(found) is False:
        yield sentence("field.no_window")
    yield sentence("field.hold")
    if "p_tube" not in found:
        yield sentence("field.no_tube_limit", resin=resin.name)
    if "p_host" not in found:
        yield sentence("field.no_host_limit")
    elif asking.host_pressure is None:
        yield sentence("field.host_by_soil")
    if flowing is None or flowing.slope is None:
        yield sentence("field.no_fall")
    if "F_pull" not in found:
        yield sentence("field.no_pull")
    elif "F_most" not in found:
        yield sentence("field.no_pull_limit", resin=resin.name)
    elif exceeds(found["F_pull"], found["F_most"]):
        yield sentence("field.pull_over", force=shown("F_pull"), most=shown("F_most"))
    if not {"v_light", "T_holding"} & found.keys():
        yield sentence("field.no_cure", resin=resin.name)
    yield sentence("field.plan_only")
