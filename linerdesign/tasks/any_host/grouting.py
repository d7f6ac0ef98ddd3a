"""A liner under fresh grout, stage by stage."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from linerdesign.findings import Finding
from linerdesign.methods.lines import line, run
from linerdesign.methods.outline import equations as forms
from linerdesign.methods.outline.liner import ASIDE, HostedCase
from linerdesign.methods.outline.thickness import Held, NotConvergedError, held
from linerdesign.methods.result import Step
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.ring.loading import Profile
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input
from linerdesign.methods.working import worked
from linerdesign.project.models import Pipe
from linerdesign.tasks.any_host.liners import PER_DEPTH, Liner, NoOpinionError
from linerdesign.tasks.any_host.shaped import refusal

GROUT_ELEMENTS = 80

MOST = 3.0
"""Times N the pressure of a stage up to which it is followed."""

RAMP = 0.02
"""Height in radii over which the pressure on set grout ends: a step would stop the path."""


@dataclass(frozen=True)
class Stage:
    """One stage: its ends above the invert (depth unit), the pressure at its bottom, and how the
    wall holds, or why there is no result. `steps` lead to the pressure."""

    bottom: float
    top: float
    pressure: float
    at: Held | None
    reason: Finding | None
    steps: tuple[Step, ...]

    @property
    def factor(self) -> float | None:
        """The least factor on the pressure, None without a result."""
        case = self.at
        return None if case is None else case.decides.pressure / self.share

    share: float = 1.0


def stages(liner: Liner, pipe: Pipe) -> list[Stage]:
    """Every stage of grouting a pipe, with the initial modulus and strength of its liner.

    Raises:
        NoOpinionError: where the stages do not rise from the invert to the crown at most.
    """
    unit = SYMBOLS["h_grout"].unit(liner.system)
    tops = [each.height.to(unit) for each in pipe.grout]
    height = liner.host.outline.height * liner.radius / PER_DEPTH[liner.system]
    if tops != sorted(set(tops)) or tops[-1] > height * (1.0 + 1e-6):
        raise NoOpinionError("hosts.grout_levels", height=height, unit=unit)
    return list(_stages(_short_term(liner), pipe, tops))


def _short_term(liner: Liner) -> Liner:
    """The same liner with its initial modulus and strength."""
    modulus = ring.plane_strain_modulus(liner.number("E"), liner.number("nu"))
    initial = {"E_plane": float(modulus), "sigma_L": liner.number("sigma")}
    return replace(liner, values={**liner.values, **initial})


def _stages(liner: Liner, pipe: Pipe, tops: list[float]) -> Iterator[Stage]:
    form = forms.grout_pressure_us if liner.system == "US" else forms.grout_pressure_si
    bottom = 0.0
    for top, each in zip(tops, pipe.grout, strict=True):
        density = each.density.to(SYMBOLS["rho_grout"].unit(liner.system))
        given = (Input("rho_grout", density), Input("h_grout", top - bottom))
        values = run([line(form)], {one.key: one.value for one in given})
        pressure = float(values["P_grout"])
        made = replace(liner, values={**liner.values, "P": pressure})
        held_at, reason = _held(made, bottom, top)
        steps = worked(given, [line(form)], liner.system)
        share = pressure / liner.number("E_plane")
        yield Stage(bottom, top, pressure, held_at, reason, steps, share)
        bottom = top


def _held(liner: Liner, bottom: float, top: float) -> tuple[Held | None, Finding | None]:
    """The stage in the case of lobes in which the wall holds the least."""
    per_radius = PER_DEPTH[liner.system] / liner.radius
    invert = liner.host.outline.invert
    low, high = invert + bottom * per_radius, invert + top * per_radius
    if bottom > 0.0:
        profile = Profile((low - RAMP, low, high), (0.0, 1.0, 0.0))
    else:
        profile = Profile((low, high), (1.0, 0.0))
    case = replace(
        liner.case(liner.thickness),
        profile=profile,
        set_to=low if bottom > 0.0 else None,
        elements=GROUT_ELEMENTS,
    )
    try:
        every = [
            held(each, replace(liner.demand, most=MOST))
            for each in _lobes(case, 0.5 * (low + high) if bottom > 0.0 else low)
        ]
    except NotConvergedError as why:
        return None, refusal(why)
    return min(every, key=lambda each: each.decides.pressure), None


def _lobes(case: HostedCase, height: float) -> list[HostedCase]:
    """A bulge at this height on the right side, or alike on both; one alone at the invert."""
    share = np.linspace(0.0, 0.5, 721)
    points, _, _ = case.host.along(share)
    place = float(share[np.argmin(np.abs(points[:, 1] - height))])
    if place < 10.0 * ASIDE:
        return [replace(case, places=(ASIDE,))]
    one = replace(case, places=(place,))
    return [one, replace(one, full_ring=False)] if case.host.mirrored else [one]
