"""A second opinion on a designed pipe: code check, closed forms and numerical model."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

from linerdesign.expressions.tolerance import at_most
from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.collapse import RANGES, Collapse, collapse
from linerdesign.methods.ring.method import GERMAN_BULGE, GERMAN_GAP
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.solving import Solution, limit_nearby
from linerdesign.methods.ring.strength import (
    Demand,
    Required,
    Strength,
    required_ratio,
    resistance,
    strength_of,
)
from linerdesign.project.reading import Project
from linerdesign.tasks.second_opinion.time import Creeping, InTime, in_time
from linerdesign.tasks.second_opinion.working import (
    Solved,
    long_term_modulus,
    long_term_strength,
    plane_strain_modulus,
    steps_of,
)

SMALL_BULGE = 0.001
# Pressures closer than this count as equal: the model itself is good to about 1 %.
LEVEL = 0.02

CODE, NUMERICAL = "code", "numerical"
# Name of each theory: pressure and enhancement factor in the symbol table.
THEORIES = {
    CODE: ("p_code", "K_equal"),
    "free_ring": ("p_free", ""),
    "glock": ("p_Glock", "K_Glock"),
    "glock_two_lobes": ("p_lobes", "K_several"),
    "glock_with_gap": ("p_gap", "K_gap"),
    "perimeter_form": ("p_perimeter", "K_perimeter"),
    NUMERICAL: ("p_solved", "K_solved"),
}


@dataclass(frozen=True)
class Assumed:
    """The imperfections requested, as shares: gap and bulge of D/2; None for the default.

    The default gap and bulge are those of the project's second method, else German practice; the
    default ovality is that of each pipe's design.
    `creeping` says how the wall creeps.
    """

    gap: float | None = None
    imperfection: float | None = None
    ovality: float | None = None
    creeping: Creeping = field(default_factory=Creeping)


def assumed_in(project: Project, assumed: Assumed) -> Assumed:
    """The same; gap and bulge that are not requested are those of the project's second method."""
    second = project.criteria.second_method
    stated = {} if second is None else second.given
    gap, bulge = (
        stated[name].number / 100 if own is None and name in stated else own
        for name, own in (("gap", assumed.gap), ("bulge", assumed.imperfection))
    )
    return replace(assumed, gap=gap, imperfection=bulge)


@dataclass(frozen=True)
class Place:
    """One station of a designed pipe as the ring model takes it.

    Diameter, design pressure, plane-strain modulus and long-term strength are in the unit of the
    sheet; ovality, gap and bulge are shares.
    """

    station: str | None
    diameter: float
    demand: float
    modulus: float
    strength: float | None
    poisson: float
    ovality: float
    gap: float
    bulge: float

    def case(self, thickness: float) -> Case:
        """The liner of this thickness here."""
        ratio = self.diameter / thickness
        return Case(ratio, self.gap, self.ovality, self.bulge, self.poisson)

    def ratio_of(self, stress: float | None) -> float | None:
        """A pressure or stress over E*."""
        return None if stress is None else stress / self.modulus


@dataclass(frozen=True)
class Opinion:
    """What mechanics says of one pipe at its nominal thickness, with the long-term modulus.

    `found` is None where the pipe is outside the numerical model, and has no pressure where that
    did not converge; `reason` is then the finding that says why. `strength` is None where there is
    no path or no strength, `required` where no thickness was found, `time` where no pressure lasts
    or none was found, which `untimed` then says. `effects` are the enhancement
    factors of the numerical model with one thing changed, None where it gave no number. `steps` has
    every closed form; pressures are in the unit of the sheet.
    """

    result: PipeResult
    place: Place
    assumed: Assumed
    steps: tuple[Step, ...]
    found: Collapse | None
    reason: Finding | None
    strength: Strength | None
    required: Required | None
    effects: tuple[tuple[str, float | None], ...]
    time: InTime | None = None
    untimed: Finding | None = None

    def value(self, key: str) -> float | None:
        """The value of a quantity; none where there is no number."""
        return next((step.value for step in self.steps if step.key == key), None)

    def pressure(self, theory: str) -> float | None:
        """Collapse pressure by one of `THEORIES`."""
        return self.value(THEORIES[theory][0])

    def factor(self, theory: str) -> float | None:
        """Enhancement factor that gives a round pipe this pressure."""
        key = THEORIES[theory][1]
        return self.value(key) if key else 1.0

    def safety(self, theory: str) -> float | None:
        """Collapse pressure over the design pressure; none where nothing presses."""
        pressure = self.pressure(theory)
        return pressure / self.place.demand if pressure and self.place.demand > 0 else None

    @property
    def minimum(self) -> float:
        """The safety factor N of the design."""
        return _at(self.result, "N", None)

    @property
    def over_code(self) -> float | None:
        """Numerical collapse pressure over that of the code check."""
        return self._over_code(self.pressure(NUMERICAL))

    @property
    def strength_over_code(self) -> float | None:
        """Pressure of first strength over that of the code check; none where no fibre
        reaches the strength before collapse."""
        return self._over_code(self.value("p_first"))

    def _over_code(self, pressure: float | None) -> float | None:
        code = self.pressure(CODE)
        return pressure / code if pressure and code else None

    @property
    def side(self) -> str | None:
        """`safe`, `unsafe` or `level`: the design's K beside elastic collapse by the model."""
        return _side(self.over_code)

    @property
    def side_by_strength(self) -> str | None:
        """The design's K beside first strength or, where that comes later, elastic collapse."""
        if self.strength is None:
            return None
        return _side(self.strength_over_code or self.over_code)

    @property
    def strength_safety(self) -> float | None:
        """The lesser of the safety factors on load and on stress; none where there is neither."""
        factors = (self.value("N_strength"), self.value("N_stress"))
        return min((each for each in factors if each is not None), default=None)


def _side(over_code: float | None) -> str | None:
    if over_code is None:
        return None
    if at_most(abs(over_code - 1), LEVEL):
        return "level"
    return "safe" if over_code > 1 else "unsafe"


def second_opinion(result: PipeResult, assumed: Assumed) -> Opinion | None:
    """The opinion on one pipe at its worst station; None where nothing can press from outside."""
    if not result.basis.pressed_from_outside:
        return None
    places = [place_at(result, station, assumed) for station in result.stations]
    place = min(places, key=lambda each: _margin(each, result))
    found, reason = _found(place.case(result.nominal_thickness))
    strength, stopped = _strength(place, found)
    required, failed = _required(places, result)
    solved = _solved(place, found, strength, required)
    time, untimed = _time(place, found, result, assumed.creeping)
    return Opinion(
        result=result,
        place=place,
        assumed=assumed,
        steps=steps_of(result, place.station, assumed_shares(assumed, place), solved),
        found=found,
        reason=reason or stopped or failed,
        strength=strength,
        required=required,
        effects=_effects(found.solution) if found and found.converged else (),
        time=time,
        untimed=untimed,
    )


def assumed_shares(assumed: Assumed, place: Place) -> dict[str, tuple[float, bool]]:
    """Gap, bulge and ovality used, as shares, and whether each was given."""
    given = {"g": assumed.gap, "bulge": assumed.imperfection, "q": assumed.ovality}
    used = {"g": place.gap, "bulge": place.bulge, "q": place.ovality}
    return {key: (used[key], given[key] is not None) for key in used}


def outside(case: Case) -> Finding | None:
    """Why the numerical model does not take a liner, or None."""
    given = {
        "dimension_ratio": case.dimension_ratio,
        "ovality": case.ovality,
        "poisson_ratio": case.poisson,
    }
    for name, value in given.items():
        low, high = RANGES[name]
        if not low <= value <= high:
            scale = 100 if name == "ovality" else 1
            numbers = {"value": scale * value, "low": scale * low, "high": scale * high}
            return finding(f"ring.{name}_outside", Severity.OUTSIDE, None, **numbers)
    return None


@lru_cache(maxsize=64)
def _found(case: Case) -> tuple[Collapse | None, Finding | None]:
    """The numerical model, or None and why it does not take the pipe."""
    reason = outside(case)
    if reason is not None:
        return None, reason
    found = collapse(case.dimension_ratio, case.gap, case.ovality, case.imperfection, case.poisson)
    return found, found.reason


def _at(result: PipeResult, key: str, station: str | None) -> float:
    """A quantity at a station, or the one that all stations share."""
    own = result.value(key, station)
    value = own if own is not None else result.value(key)
    assert value is not None, key
    return value


def place_at(result: PipeResult, station: str | None, assumed: Assumed) -> Place:
    """One station of a pipe, with the imperfections assumed."""
    own = _at(result, "q", station) / 100
    return Place(
        station=station,
        diameter=_at(result, "D", station),
        demand=_at(result, "P", station),
        modulus=plane_strain_modulus(result),
        strength=long_term_strength(result),
        poisson=_at(result, "nu", None),
        ovality=own if assumed.ovality is None else assumed.ovality,
        gap=GERMAN_GAP if assumed.gap is None else assumed.gap,
        bulge=GERMAN_BULGE if assumed.imperfection is None else assumed.imperfection,
    )


def _margin(place: Place, result: PipeResult) -> tuple[float, float]:
    """Sorts the worst station first: one without a number, then the least factor."""
    if len(result.stations) == 1:
        return (0.0, 0.0)
    found, _ = _found(place.case(result.nominal_thickness))
    if found is None or not found.converged:
        return (float("-inf"), 0.0)
    least = resistance(found.solution, Demand(0.0, 1.0, place.ratio_of(place.strength))).pressure
    return (-max(place.demand, 0.0) / least, least)


def _strength(place: Place, found: Collapse | None) -> tuple[Strength | None, Finding | None]:
    strength = place.ratio_of(place.strength)
    if found is None or not found.converged or strength is None:
        return None, None
    try:
        return strength_of(found.solution, strength, place.demand / place.modulus), None
    except NoEquilibriumError:
        return None, finding("ring.no_equilibrium", Severity.OUTSIDE)


def _time(
    place: Place, found: Collapse | None, result: PipeResult, creeping: Creeping
) -> tuple[InTime | None, Finding | None]:
    if found is None or not found.converged:
        return None, None
    retention = long_term_modulus(result) / _at(result, "E", None)
    pressure, safety = place.demand / place.modulus, _at(result, "N", None)
    return in_time(found.solution, creeping, retention, pressure, safety)


def _required(places: list[Place], result: PipeResult) -> tuple[Required | None, Finding | None]:
    """The thickest that any station requires: the least dimension ratio, and its limit."""
    asked = [place for place in places if place.demand > 0]
    required: list[tuple[float, Required]] = []
    for place in asked:
        case = place.case(result.nominal_thickness)
        low, high = RANGES["dimension_ratio"]
        within = replace(case, dimension_ratio=min(max(case.dimension_ratio, low), high))
        found, reason = _found(within)
        if found is None or not found.converged:
            return None, reason
        demand = Demand(
            place.demand / place.modulus, _at(result, "N", None), place.ratio_of(place.strength)
        )
        try:
            each = required_ratio(found.solution, demand, low, high)
        except NoEquilibriumError:
            return None, finding("ring.no_thickness", Severity.OUTSIDE)
        ratio = each.dimension_ratio
        required.append((place.diameter / ratio if ratio else float("inf"), each))
    return max(required, key=lambda each: each[0])[1] if required else None, None


def _solved(
    place: Place, found: Collapse | None, strength: Strength | None, required: Required | None
) -> Solved:
    """The numbers of the model in the unit of the sheet."""

    def stress(ratio: float | None) -> float | None:
        return None if ratio is None else ratio * place.modulus

    return Solved(
        collapse=stress(found.pressure_ratio) if found else None,
        first_strength=stress(strength.first) if strength else None,
        stress_at_design=stress(strength.at_design) if strength else None,
        required_ratio=required.dimension_ratio if required else None,
    )


def _effects(known: Solution) -> tuple[tuple[str, float | None], ...]:
    """K with one imperfection changed at a time, then all, by the code of the change."""
    case = known.case
    small = min(SMALL_BULGE, case.imperfection)
    changed = {
        "no_gap": replace(case, gap=0.0),
        "round": replace(case, ovality=0.0),
        "small_bulge": replace(case, imperfection=small),
        "all_changed": replace(case, gap=0.0, ovality=0.0, imperfection=small),
    }
    assert known.limit is not None
    found = {case: known.limit}
    factors: list[tuple[str, float | None]] = []
    for name, each in changed.items():
        if each == case:
            continue
        # The gap changes a liner most, so one that also loses its gap starts without it.
        near = changed["no_gap"] if each.gap == 0.0 and changed["no_gap"] in found else case
        try:
            found[each] = limit_nearby(near, found[near], each)
            factors.append((name, each.enhancement(found[each].pressure)))
        except NoEquilibriumError:
            factors.append((name, None))
    return tuple(factors)
