"""The encased ring as a design method: stability and strength, each with the safety factor N.

Lines cannot solve the numerical model. So `solved` puts the maximum DR of each station among the
inputs of a task, by reference to the model; thickness and check follow from it line by line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from linerdesign.methods import selection
from linerdesign.methods.basis import Basis
from linerdesign.methods.check import Check
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.method import Method, Setting, Values, standard
from linerdesign.methods.origin import calculated
from linerdesign.methods.raised import Raised
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.words import sentence

# What the ring takes from the site and the resin, by the lines of the project's method.
LOADS = ("P", "q", "E_L", "sigma_L")
START_RATIO = 40.0

# The least imperfections that German practice designs for, from memory; verify against the printed
# guideline.
GERMAN_GAP, GERMAN_BULGE = 0.005, 0.02


@dataclass(frozen=True)
class Imperfections:
    """Annular gap and depth of the local bulge, as shares of D/2."""

    gap: float
    bulge: float


def loads(basis: Basis) -> tuple[Line, ...]:
    """The lines from the inputs of a station to what presses on the ring and what it is made of."""
    lines = standard().requirement(basis)
    if all(each.result != "sigma_L" for each in lines):
        lines = (*lines, line(standard().equations["sigma_L"]))
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
        line(standard().equations["DR"]),
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


def settings() -> Mapping[str, Setting]:
    """Gap and bulge: their defaults and the ranges that the model has been checked over."""
    from linerdesign.methods.ring.collapse import RANGES

    practice = "ring.german_default"
    return {
        "gap": Setting(GERMAN_GAP, *RANGES["gap"], practice),
        "bulge": Setting(GERMAN_BULGE, *RANGES["imperfection"], practice),
    }


def left_out(basis: Basis) -> str:
    """What the ring does not carry: soil, or pressure from inside."""
    if basis.internal_pressure:
        return "ring.internal_pressure_left_out"
    return "ring.soil_left_out" if basis.buried_fully else ""


def solved(task: PipeTask, given: Mapping[str, float]) -> PipeTask:
    """The same pipe as a task of this method, solved at each of its stations.

    `given` are gap and bulge, as shares of D/2.

    Raises:
        ArithmeticError: where nothing presses from outside, no wall within the range of the model
            is enough, or none was found.
    """
    if not task.basis.pressed_from_outside:
        raise ArithmeticError(sentence("ring.nothing_presses"))
    basis = replace(task.basis, method="ring")
    imperfections = Imperfections(given["gap"], given["bulge"])
    stations = tuple(_solved(basis, station, imperfections) for station in task.stations)
    return replace(task, basis=basis, stations=stations)


METHOD = Method(
    "encased ring",
    requirement,
    verification,
    checks,
    constants,
    findings,
    taken_over=solved,
    settings=settings,
    left_out=left_out,
    follows=False,
)


def _solved(basis: Basis, station: Station, imperfections: Imperfections) -> Station:
    values = run((*loads(basis), line(ring.plane_strain_modulus)), station.values)
    ratio, limit = maximum_ratio(values, imperfections)
    said = sentence(f"ring.governs_{limit}") if limit else sentence("ring.thinnest_checked")
    origin = calculated(
        sentence(
            "ring.by_search_for",
            gap=100 * imperfections.gap,
            bulge=100 * imperfections.bulge,
            limit=said,
        )
    )
    kept = tuple(each for each in station.inputs if each.key != "DR_ring")
    return replace(station, inputs=(*kept, Input("DR_ring", ratio, origin)))


def maximum_ratio(values: Values, imperfections: Imperfections) -> tuple[float, str]:
    """The greatest DR at which stability and strength hold with N, and the limit that decides.

    The limit is empty at the greatest DR that the model has been checked for.

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
        return high, ""
    gap, bulge = imperfections.gap, imperfections.bulge
    case = Case(START_RATIO, gap, float(values["q"]) / 100.0, bulge, float(values["nu"]))
    demand = Demand(pressure / modulus, float(values["N"]), float(values["sigma_L"]) / modulus)
    try:
        found = required_ratio(solve(case), demand, low, high)
    except NoEquilibriumError:
        raise ArithmeticError(sentence("ring.no_thickness")) from None
    if found.dimension_ratio is None:
        raise ArithmeticError(sentence("ring.too_thin", safety=demand.safety_factor))
    return found.dimension_ratio, found.limit.name.lower() if found.limit else ""
