"""A second opinion on a designed pipe: X1.1 beside closed forms and the numerical model."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.optimize import brentq

from linerdesign.methods import site
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.origin import AS_GIVEN, Origin, calculated
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.ring.collapse import RANGES, Collapse, collapse
from linerdesign.methods.task import Input
from linerdesign.methods.working import worked

# The least imperfections that German practice designs for, from memory; verify against the
# printed guideline. Gap and bulge are taken from it; its ovality only where a user gives it.
GERMAN_GAP, GERMAN_BULGE, GERMAN_OVALITY = 0.005, 0.02, 0.03
SMALL_BULGE = 0.001
# Pressures closer than this are called level: the model itself is good to about 1 %.
LEVEL = 0.02
MOST_RATIO = 1e6

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
    """What the round, tight, perfect ring is spoiled by, as shares: gap and bulge of D/2.

    `ovality` is that of the pipe's own design where none is given.
    """

    gap: float = GERMAN_GAP
    imperfection: float = GERMAN_BULGE
    ovality: float | None = None


@dataclass(frozen=True)
class Place:
    """One station of a designed pipe: diameter, ovality used (a share), pressure asked of it."""

    station: str | None
    diameter: float
    ovality: float
    demand: float


@dataclass(frozen=True)
class Opinion:
    """What mechanics says of one pipe at its nominal thickness, with the long-term modulus.

    `found` is None where the pipe is outside the numerical model, and has no pressure where that
    did not converge; `reason` then says why. `effects` are the enhancement factors of the
    numerical model with one thing changed, None where it gave no number. `steps` has every
    closed form; pressures are in the unit of the design's system.
    """

    result: PipeResult
    place: Place
    assumed: Assumed
    steps: tuple[Step, ...]
    found: Collapse | None
    reason: str
    effects: tuple[tuple[str, float | None], ...]

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
        """Collapse pressure over the pressure asked; none where nothing presses."""
        pressure = self.pressure(theory)
        return pressure / self.place.demand if pressure and self.place.demand > 0 else None

    @property
    def over_code(self) -> float | None:
        """Numerical pressure over that which X1.1 takes."""
        solved, code = self.pressure(NUMERICAL), self.pressure(CODE)
        return solved / code if solved and code else None

    @property
    def side(self) -> str | None:
        """The side of the model on which the design's K lies: `safe`, `unsafe` or `level`."""
        if self.over_code is None:
            return None
        if abs(self.over_code - 1) <= LEVEL:
            return "level"
        return "safe" if self.over_code > 1 else "unsafe"


def second_opinion(result: PipeResult, assumed: Assumed) -> Opinion | None:
    """The opinion on one pipe at its worst station; None where nothing can press from outside."""
    if not result.basis.pressed_from_outside:
        return None
    places = [_place(result, station, assumed) for station in result.stations]
    place = min(places, key=lambda each: _margin(each, result, assumed))
    ratio = place.diameter / result.nominal_thickness
    found, reason = _solved(ratio, assumed.gap, place.ovality, assumed.imperfection, True)
    return Opinion(
        result=result,
        place=place,
        assumed=assumed,
        steps=_steps(result, place, assumed, found),
        found=found,
        reason=reason,
        effects=_effects(ratio, place.ovality, assumed) if found and found.converged else (),
    )


def gap_ratio(dimension_ratio: float, gap: float, lobes: float = 1.0) -> float:
    """Shortening of the wall by the gap (a share of D/2) over that by thrust, at collapse.

    NaN where no ratio closes the gap: the wall is far too thick for the closed form.
    """
    if gap == 0.0:
        return 0.0

    def off(ratio: float) -> float:
        depth = ring.lobe_depth(ratio)
        opening = ring.lobe_opening(ratio, dimension_ratio, lobes, depth)
        return float(ring.gap_closed(ratio, dimension_ratio, opening)) - 100 * gap

    with np.errstate(all="ignore"):
        if not off(MOST_RATIO) >= 0:
            return math.nan
    return float(brentq(off, 0.0, MOST_RATIO, xtol=1e-12, rtol=1e-12))


@cache
def _solved(
    ratio: float, gap: float, ovality: float, bulge: float, check_mesh: bool
) -> tuple[Collapse | None, str]:
    """The numerical model at E* = 1, or None and why it can't take the pipe."""
    given = {"dimension_ratio": ratio, "ovality": ovality}
    words = {"dimension_ratio": ("a dimension ratio", 1, ""), "ovality": ("an ovality", 100, " %")}
    for name, value in given.items():
        low, high = RANGES[name]
        if not low <= value <= high:
            what, scale, unit = words[name]
            return None, (
                f"{what} of {scale * value:.4g}{unit} is outside the {scale * low:g} to "
                f"{scale * high:g}{unit} over which the model has been checked"
            )
    found = collapse(ratio, gap, ovality, bulge, check_mesh=check_mesh)
    return found, found.reason


def _at(result: PipeResult, key: str, station: str | None) -> float:
    """A quantity at a station, or the one that all stations share."""
    own = result.value(key, station)
    value = own if own is not None else result.value(key)
    assert value is not None, key
    return value


def _place(result: PipeResult, station: str | None, assumed: Assumed) -> Place:
    own = _at(result, "q", station) / 100
    ovality = own if assumed.ovality is None else assumed.ovality
    return Place(station, _at(result, "D", station), ovality, _at(result, "P", station))


def _margin(place: Place, result: PipeResult, assumed: Assumed) -> tuple[float, float]:
    """What sorts the worst station first: one without a number, then the least factor."""
    if len(result.stations) == 1:
        return (0.0, 0.0)
    ratio = place.diameter / result.nominal_thickness
    found, _ = _solved(ratio, assumed.gap, place.ovality, assumed.imperfection, True)
    pressure = found.pressure_ratio if found and found.pressure_ratio else 0.0
    return (-max(place.demand, 0.0) / pressure if pressure else float("-inf"), pressure)


def _effects(
    ratio: float, ovality: float, assumed: Assumed
) -> tuple[tuple[str, float | None], ...]:
    """K with one imperfection taken away at a time, then all; the mesh is not halved here."""
    gap, bulge = assumed.gap, assumed.imperfection
    small = min(SMALL_BULGE, bulge)
    changed = {
        "without the gap": (0.0, ovality, bulge),
        "in a round pipe": (gap, 0.0, bulge),
        f"with a bulge of only {100 * small:g} %": (gap, ovality, small),
        "with all three changed": (0.0, 0.0, small),
    }
    used = (gap, ovality, bulge)
    found = {
        name: _solved(ratio, *case, False)[0] for name, case in changed.items() if case != used
    }
    return tuple((name, each.enhancement_factor if each else None) for name, each in found.items())


def _steps(
    result: PipeResult, place: Place, assumed: Assumed, found: Collapse | None
) -> tuple[Step, ...]:
    ratio = place.diameter / result.nominal_thickness
    design = calculated("the design")
    inputs = [
        Input("D", place.diameter, design),
        Input("t", result.nominal_thickness, calculated("nominal thickness")),
        *(Input(key, _at(result, key, place.station), design) for key in ("E_L", "nu", "K")),
        Input("P", place.demand, design),
        Input("q", 100 * place.ovality, _origin(assumed.ovality, None, "the design")),
        Input("g", 100 * assumed.gap, _origin(assumed.gap, GERMAN_GAP, "German practice")),
        Input("k_lobes", 2.0, calculated("a case of several lobes")),
        Input("k_one", 1.0, calculated("one lobe is the weakest")),
        Input("r_gap", gap_ratio(ratio, assumed.gap), calculated("bisection, until g_c = g")),
    ]
    lines = list(CLOSED_FORMS)
    if found is not None and found.pressure_ratio is not None:
        modulus = ring.plane_strain_modulus(_at(result, "E_L", None), _at(result, "nu", None))
        solved = found.pressure_ratio * modulus
        inputs.append(Input("p_solved", solved, calculated("numerical model")))
        lines.append(_equivalent("p_solved", "K_solved"))
    return worked(*_with_numbers(inputs, lines), result.basis.system)


def _with_numbers(
    inputs: Sequence[Input], lines: Sequence[Line]
) -> tuple[tuple[Input, ...], tuple[Line, ...]]:
    """Inputs and lines less those that give no number in a wall as thick as this one."""
    values = {each.key: each.value for each in inputs if math.isfinite(each.value)}
    given, kept = tuple(each for each in inputs if each.key in values), []
    for each in lines:
        if all(key in values for key in each.needs):
            value = float(run([each], values)[each.result])
            if math.isfinite(value):
                values[each.result] = value
                kept.append(each)
    return given, tuple(kept)


def _origin(given: float | None, default: float | None, name: str) -> Origin:
    if given == default and default is not None:
        return calculated(f"{name}, from memory")
    return calculated(name) if given is None else AS_GIVEN


def _equivalent(pressure: str, factor: str) -> Line:
    return line(ring.equivalent_factor, {"p_ring": pressure, "K_equal": factor})


_ONE: Mapping[str, str] = {"k_lobes": "k_one"}
CLOSED_FORMS = (
    line(gravity.dimension_ratio),
    line(site.ovality_reduction),
    line(ring.plane_strain_modulus),
    line(ring.free_ring_pressure),
    line(ring.code_pressure),
    line(ring.equivalent_factor, {"p_ring": "p_code"}),
    line(ring.glock_pressure),
    _equivalent("p_Glock", "K_Glock"),
    line(ring.glock_lobes_pressure),
    _equivalent("p_lobes", "K_several"),
    line(ring.lobe_depth),
    line(ring.lobe_opening, _ONE),
    line(ring.gap_closed),
    line(ring.gap_pressure),
    _equivalent("p_gap", "K_gap"),
    line(ring.middle_perimeter),
    line(ring.flattest_radius),
    line(ring.perimeter_pressure, _ONE),
    _equivalent("p_perimeter", "K_perimeter"),
)
