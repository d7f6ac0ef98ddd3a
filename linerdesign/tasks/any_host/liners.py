"""What presses on a liner and what it is made of, as the ring in an outline takes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods.basis import FULLY
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.method import standard
from linerdesign.methods.outline.liner import HostedCase, lobe_cases
from linerdesign.methods.outline.shapes import Host, circle
from linerdesign.methods.outline.thickness import LEAST_RATIO, START_RATIO
from linerdesign.methods.result import PipeResult
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.ring.loading import Profile
from linerdesign.methods.ring.method import loads
from linerdesign.methods.ring.strength import Demand
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.project.assembly import task
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.tasks.second_opinion.opinion import Place

# Section units in one unit of depth, and stress of one unit of density over one of section.
PER_DEPTH = {"US": 12.0, "SI": 1000.0}
WEIGHT = {"US": 1.0 / 1728.0, "SI": 9.81e-9}


class NoOpinionError(Exception):
    """No opinion on a pipe; holds the finding that says why."""

    def __init__(self, code: str, **numbers: Any) -> None:
        super().__init__(code)
        self.reason: Finding = finding(code, Severity.OUTSIDE, **numbers)

    @classmethod
    def of(cls, reason: Finding) -> NoOpinionError:
        """No opinion for the reason that a finding gives."""
        return cls(reason.code, **dict(reason.numbers))


@dataclass(frozen=True)
class Liner:
    """A liner in its host, in the unit of the sheet; gap and bulge are shares of the radius.

    `values` are the results of `lines` from `inputs`, at the station under the most water. The gap
    is that of German practice unless `gap_given`.
    """

    system: str
    host: Host
    inputs: tuple[Input, ...]
    lines: tuple[Line, ...]
    values: Mapping[str, Any]
    gap: float
    bulge: float
    allowed: float
    weight: float = 0.0
    buoyant: bool = False
    thickness: float | None = None
    gap_given: bool = False

    def number(self, key: str) -> float:
        """The value of a quantity."""
        return float(self.values[key])

    @property
    def wall(self) -> float:
        """Thickness of a liner that has one."""
        assert self.thickness is not None
        return self.thickness

    @property
    def radius(self) -> float:
        """Radius of the circle of the same perimeter."""
        return self.host.outline.radius

    @property
    def deflection(self) -> float:
        """The greatest inward movement allowed."""
        return self.allowed * self.host.width

    @property
    def demand(self) -> Demand:
        """What the wall must hold."""
        modulus = self.number("E_plane")
        strength, pressure = self.number("sigma_L") / modulus, self.number("P") / modulus
        return Demand(pressure, self.number("N"), strength, self.deflection / self.radius)

    @property
    def profile(self) -> Profile | None:
        """The pressure over the height as a share of that at the invert; None where it is even."""
        head = self.number("h_invert") * PER_DEPTH[self.system] / self.radius
        if head <= 0.0:
            return None
        vacuum = float(self.values.get("P_v", 0.0))
        invert = self.host.outline.invert
        return Profile((invert, invert + head), (1.0, vacuum / self.number("P")))

    @property
    def least_ratio(self) -> float:
        """The least dimension ratio whose wall the corners of the host are not too sharp for: the
        middle of the wall has its thickness there as a radius."""
        if not self.host.corner:
            return LEAST_RATIO
        thickest = (self.host.corner - self.gap * self.radius) / 1.5
        return max(LEAST_RATIO, 2.0 * self.radius / max(thickest, 1e-9))

    def case(self, thickness: float | None = None) -> HostedCase:
        """The liner without a place of its bulge, as thick as this."""
        ratio = max(START_RATIO, 1.1 * self.least_ratio)
        if thickness:
            ratio = 2.0 * self.radius / thickness
        return HostedCase(
            ratio,
            self.gap,
            imperfection=self.bulge,
            poisson=self.number("nu"),
            elements=ELEMENTS,
            full_ring=True,
            host=self.host.outline,
            profile=self.profile,
            weight=self.weight * self.radius / self.number("P"),
            buoyant=self.buoyant,
        )

    def cases(self, thickness: float | None = None) -> list[HostedCase]:
        """The cases of lobes to try; two lobes alike are those of half a ring."""
        case = self.case(thickness)
        return [
            replace(case, places=places[:1], full_ring=len(places) == 1)
            for places in lobe_cases(self.host.outline, case.profile)
        ]


ELEMENTS = 60


def liner_of(
    project: Project, pipe: Pipe, system: str, host: Host, gap: float, bulge: float
) -> Liner:
    """The liner of a pipe whose host is not circular.

    Raises:
        NoOpinionError: where the pipe is outside the model.
        InputFaults: values that exclude each other.
    """
    if pipe.condition == FULLY:
        raise NoOpinionError("hosts.fully")
    resin = project.resin_of(pipe)
    round_pipe = {
        "shape": None,
        "outline": "",
        "host_diameter": Measure(2.0 * host.outline.radius, SYMBOLS["D"].unit(system), ""),
        "ovality": Measure(0.0, "%", "0 %"),
    }
    made = task(pipe.changed(round_pipe), resin, project.criteria, system)
    lines = (
        *(each for each in loads(made.basis) if each.result not in ("sigma_L", "q")),
        line(standard().equations["sigma_L"]),
        line(ring.plane_strain_modulus),
    )
    read = {key for each in lines for key in each.needs}
    if "D" in read:
        raise NoOpinionError("hosts.needs_datum")
    station = max(made.stations, key=lambda each: float(run(lines, each.values)["P"]))
    values = run(lines, station.values)
    if values["P"] <= 0.0:
        raise NoOpinionError("ring.nothing_presses")
    return Liner(
        system=system,
        host=host,
        inputs=_inputs(made, station, read | {"N"}),
        lines=lines,
        values=values,
        gap=gap,
        bulge=bulge,
        allowed=pipe.maximum_deflection.to("%") / 100.0,
        weight=_weight(pipe, resin.density, system),
        buoyant=pipe.buoyancy,
        thickness=_thickness(pipe, system),
    )


def _inputs(made: PipeTask, station: Station, read: set[str]) -> tuple[Input, ...]:
    return tuple(each for each in station.inputs if each.key in read)


def _thickness(pipe: Pipe, system: str) -> float | None:
    given = pipe.design_thickness
    return None if given is None else float(given.to(SYMBOLS["t"].unit(system)))


def _weight(pipe: Pipe, density: Measure | None, system: str) -> float:
    """Weight per volume of the wall, 0 where it does not count."""
    if not pipe.own_weight:
        return 0.0
    if density is None:
        raise NoOpinionError("hosts.no_density")
    return float(density.to(SYMBOLS["rho"].unit(system))) * WEIGHT[system]


def of_circular(project: Project, pipe: Pipe, result: PipeResult, place: Place) -> Liner:
    """The liner of a circular pipe that has been designed, at one of its stations."""
    system = result.basis.system
    values: dict[str, Any] = {
        "P": place.demand,
        "E_plane": place.modulus,
        "sigma_L": place.strength or 0.0,
        "nu": place.poisson,
    }
    for key in ("E", "sigma", "N", "h_invert", "P_v", "R_w", "B", "E_s", "q_t", "E_L"):
        own = result.value(key, place.station)
        values[key] = (own if own is not None else result.value(key)) or 0.0
    return Liner(
        system=system,
        host=Host(circle(place.diameter, place.ovality)),
        inputs=(),
        lines=(),
        values=values,
        gap=place.gap,
        bulge=place.bulge,
        allowed=pipe.maximum_deflection.to("%") / 100.0,
        weight=_weight(pipe, project.resin_of(pipe).density, system),
        buoyant=pipe.buoyancy,
        thickness=result.nominal_thickness,
    )
