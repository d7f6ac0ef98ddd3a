"""Flow before and after lining: full, and at the flow of the project with depth and velocity."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.expressions.printing import positional
from linerdesign.expressions.tolerance import at_least
from linerdesign.field.works.beside import Asked, narrowest, origin_of, stated, wall_of
from linerdesign.methods import hydraulics
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.origin import AS_GIVEN, calculated
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input
from linerdesign.methods.working import worked
from linerdesign.project.models import Pipe
from linerdesign.project.requests import Capacity
from linerdesign.words import sentence

NAMES = {
    "percent": "r_Q",
    "before": "Q_before",
    "after": "Q_after",
    "depth": "y_flow",
    "depth_percent": "x_depth",
    "velocity": "v_flow",
}


@dataclass(frozen=True)
class Bore:
    """A circular pipe with its inside diameter, Manning's n and full flow, in units of the sheet.

    `code` names it in the catalogue: before or after lining.
    """

    code: str
    diameter: float
    n: float
    full: float


def capacity(asking: Capacity, pipe: Pipe, result: PipeResult) -> Asked:
    """Full flow before and after lining, then depth and velocity at the flow of the project."""
    system = result.basis.system
    inputs = [
        narrowest(pipe, result),
        wall_of(pipe, result),
        Input("n_host", float(asking.host_n)),
        Input("n_liner", asking.liner_n, origin_of(asking, "liner_n")),
    ]
    lines = [line(hydraulics.liner_bore), line(hydraulics.capacity_after_lining)]
    if asking.slope is not None:
        inputs.append(Input("S_bed", asking.slope.number))
        form = hydraulics.full_flow_us if system == "US" else hydraulics.full_flow_si
        for key, n, flow in (("D", "n_host", "Q_before"), ("D_liner", "n_liner", "Q_after")):
            lines.append(line(form, {"D_bore": key, "n_bore": n, "Q_full": flow}))
    steps = worked(inputs, lines, system)
    notes = [sentence("field.manning")]
    more: dict[str, tuple[Step, ...]] = {}
    if asking.flow is not None:
        found = {step.key: step.value for step in steps}
        bores = (
            Bore("flow_before", found["D"], found["n_host"], found["Q_before"]),
            Bore("flow_after", found["D_liner"], found["n_liner"], found["Q_after"]),
        )
        for bore in bores:
            made = part_full(asking, bore, system)
            more |= {bore.code: made} if made else {}
            notes += _remarks(asking, bore, made, system)
    return Asked("capacity", steps, tuple(notes), system, NAMES, more)


def part_full(asking: Capacity, bore: Bore, system: str) -> tuple[Step, ...]:
    """The working of depth and velocity at the flow; nothing where it exceeds the full flow."""
    from scipy.optimize import brentq

    lines = _lines(system)
    flow = float(asking.flow.to(SYMBOLS["Q_part"].unit(system)))
    if flow >= bore.full:
        return ()
    known = {"D_bore": bore.diameter, "n_bore": bore.n, "S_bed": asking.slope.number}

    def surplus(depth: float) -> float:
        return float(run(lines, known | {"y_flow": depth})["Q_part"]) - flow

    # The flow rises with the depth to 0.938 of the diameter, and exceeds the full flow there.
    depth = brentq(surplus, 1e-9 * bore.diameter, 0.938 * bore.diameter)
    inputs = [
        Input("D_bore", bore.diameter, calculated("this pipe")),
        Input("n_bore", bore.n, calculated("this pipe")),
        Input("S_bed", asking.slope.number, AS_GIVEN),
        Input("y_flow", float(depth), calculated(sentence("field.solved_for", flow=asking.flow))),
    ]
    return worked(inputs, lines, system)


def _lines(system: str) -> list[Line]:
    us = system == "US"
    return [
        line(hydraulics.wetted_angle),
        line(hydraulics.flow_area),
        line(hydraulics.hydraulic_radius),
        line(hydraulics.velocity_us if us else hydraulics.velocity_si),
        line(hydraulics.part_full_flow_us if us else hydraulics.part_full_flow_si),
        line(hydraulics.relative_depth),
    ]


def _remarks(asking: Capacity, bore: Bore, steps: tuple[Step, ...], system: str) -> Iterator[str]:
    """Whether the pipe carries the flow, and whether the flow keeps its invert clean."""
    when = sentence(f"field.{bore.code}")
    if not steps:
        yield sentence("field.surcharged", when=when, flow=asking.flow)
        return
    found = {step.key: step.value for step in steps}
    least = stated(
        "v_flow",
        asking.self_cleansing_velocity,
        origin_of(asking, "self_cleansing_velocity"),
        system,
    )
    clean = at_least(found["v_flow"], least.value)
    yield sentence(
        "field.self_cleansing" if clean else "field.not_self_cleansing",
        when=when,
        velocity=positional(found["v_flow"], 3),
        least=positional(least.value, 3),
        unit=SYMBOLS["v_flow"].unit(system),
        practice=sentence("field.practice") if least.origin.by_default else "",
        depth=found["x_depth"],
    )
