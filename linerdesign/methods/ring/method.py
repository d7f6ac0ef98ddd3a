"""The encased ring as a design method: stability and strength, each with the safety factor N.

Lines cannot solve the numerical model. So `solved` puts the maximum DR of each station among the
inputs of a task, by reference to the model; thickness and check follow from it line by line.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from linerdesign.methods import selection
from linerdesign.methods.basis import Basis
from linerdesign.methods.check import Check
from linerdesign.methods.f1216 import basis as appendix
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.method import Method, Values
from linerdesign.methods.origin import calculated
from linerdesign.methods.raised import Raised
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.words import sentence

# What the ring takes from the site and the resin, by the lines of the appendix.
LOADS = ("P", "q", "E_L", "sigma_L")
START_RATIO = 40.0


@dataclass(frozen=True)
class Imperfections:
    """Annular gap and depth of the local bulge, as shares of D/2."""

    gap: float
    bulge: float


def loads(basis: Basis) -> tuple[Line, ...]:
    """The lines from the inputs of a station to what presses on the ring and what it is made of."""
    lines = appendix.requirement(basis)
    if all(each.result != "sigma_L" for each in lines):
        lines = (*lines, line(gravity.long_term_strength))
    needed, kept = set(LOADS), []
    for each in reversed(lines):
        if each.result in needed:
            needed |= set(each.needs)
            kept.append(each)
    return tuple(reversed(kept))


def requirement(basis: Basis) -> tuple[Line, ...]:
    """Lines from the inputs of a station, its maximum DR among them, to the thickness."""
    return (
        *loads(basis),
        line(ring.plane_strain_modulus),
        line(ring.ring_thickness),
        line(selection.thickest("t_ring")),
    )


def verification(basis: Basis) -> tuple[Line, ...]:
    """Lines of the nominal wall: its DR, and the closed forms of a round, tight ring."""
    return (
        line(gravity.dimension_ratio),
        line(ring.free_ring_pressure),
        line(ring.glock_pressure),
        line(ring.squash_pressure),
    )


def checks(basis: Basis) -> tuple[Check, ...]:
    """The one check: the DR of the wall against the maximum by the model."""
    return (Check("ring", ring.ring_thickness, (), "DR", "DR_ring"),)


def constants(basis: Basis) -> tuple[Input, ...]:
    """The method fixes nothing."""
    return ()


def findings(basis: Basis, values: Values) -> Iterator[Raised]:
    """The method raises nothing beside the ranges of its equations."""
    return iter(())


METHOD = Method("encased ring", requirement, verification, checks, constants, findings)


def solved(task: PipeTask, imperfections: Imperfections) -> PipeTask:
    """The same pipe as a task of this method, solved at each of its stations.

    Raises:
        ArithmeticError: where no wall within the range of the model is enough, or none was found.
    """
    basis = replace(task.basis, method="ring", thickness_given=False)
    stations = tuple(_solved(basis, station, imperfections) for station in task.stations)
    return replace(task, basis=basis, stations=stations)


def _solved(basis: Basis, station: Station, imperfections: Imperfections) -> Station:
    values = run((*loads(basis), line(ring.plane_strain_modulus)), station.values)
    ratio = maximum_ratio(values, imperfections)
    found = Input("DR_ring", ratio, calculated(sentence("ring.by_search")))
    return replace(station, inputs=(*station.inputs, found))


def maximum_ratio(values: Values, imperfections: Imperfections) -> float:
    """The greatest DR at which stability and strength hold with N.

    `values` are D, P, q, nu, N, E_plane and sigma_L in the units of one system.

    Raises:
        ArithmeticError: where no wall within the range of the model is enough, or none was found.
    """
    from linerdesign.methods.ring.case import Case
    from linerdesign.methods.ring.collapse import RANGES
    from linerdesign.methods.ring.path import NoEquilibriumError
    from linerdesign.methods.ring.solving import solve
    from linerdesign.methods.ring.strength import Demand, required_ratio

    low, high = RANGES["dimension_ratio"]
    pressure, modulus = float(values["P"]), float(values["E_plane"])
    if pressure <= 0.0:
        return high
    gap, bulge = imperfections.gap, imperfections.bulge
    case = Case(START_RATIO, gap, float(values["q"]) / 100.0, bulge, float(values["nu"]))
    demand = Demand(pressure / modulus, float(values["N"]), float(values["sigma_L"]) / modulus)
    try:
        ratio = required_ratio(solve(case), demand, low, high).dimension_ratio
    except NoEquilibriumError:
        raise ArithmeticError(sentence("ring.no_thickness")) from None
    if ratio is None:
        raise ArithmeticError(sentence("ring.too_thin", safety=demand.safety_factor))
    return ratio
