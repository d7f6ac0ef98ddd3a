"""The closed forms of a second opinion as lines, and what the numerical model adds to them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import brentq

from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.method import standard
from linerdesign.methods.origin import AS_GIVEN, Origin, calculated
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.task import Input
from linerdesign.methods.working import signed, worked
from linerdesign.words import sentence

# The least ovality of German practice, from memory; taken only where a user gives it.
GERMAN_OVALITY = 0.03
MOST_RATIO = 1e6
# The equations of the standard that are worked beside a design.
_CODE = standard().equations


@dataclass(frozen=True)
class Solved:
    """Results of the numerical model in the unit of the sheet; None where there is no number."""

    collapse: float | None
    first_strength: float | None
    stress_at_design: float | None
    required_ratio: float | None


def plane_strain_modulus(result: PipeResult) -> float:
    """E* = E_L/(1 - nu^2), in the unit of the sheet."""
    ratio = result.value("nu")
    assert ratio is not None
    return float(ring.plane_strain_modulus(long_term_modulus(result), ratio))


def long_term_modulus(result: PipeResult) -> float:
    """Long-term flexural modulus, in the unit of the sheet."""
    found = _long_term(result, "E_L", ("E", "r_E"))
    assert found is not None
    return found


def long_term_strength(result: PipeResult) -> float | None:
    """Long-term flexural strength, in the unit of the sheet; None where there is none.

    It is worked out here also where no equation of the design uses it.
    """
    return _long_term(result, "sigma_L", ("sigma", "r_sigma"))


def _long_term(result: PipeResult, key: str, inputs: tuple[str, str]) -> float | None:
    """A long-term property, computed here where the design of the pipe had no use for it."""
    found, given = result.value(key), [result.value(each) for each in inputs]
    if not found and None not in given:
        return float(_CODE[key](*given))
    return found or None


def gap_ratio(dimension_ratio: float, gap: float) -> float:
    """Shortening of the wall by the gap (a share of D/2) over that by thrust, at collapse.

    NaN where no ratio closes the gap: the wall is far too thick for the closed form.
    """

    def off(ratio: float) -> float:
        depth = ring.lobe_depth(ratio)
        opening = ring.lobe_opening(ratio, dimension_ratio, 1.0, depth)
        return float(ring.gap_closed(ratio, dimension_ratio, opening)) - 100 * gap

    return _root(off, 0.0, MOST_RATIO)


def hoop_stress(dimension_ratio: float, gap: float, modulus: float, strength: float) -> float:
    """Mean hoop stress at first strength by Amstutz; NaN where none goes with the gap."""

    def off(stress: float) -> float:
        return 100 * gap - float(ring.gap_of_thrust(stress, modulus, dimension_ratio, strength))

    # Above this thickness the closed form has no root: its second bracket is past its summit.
    least = max(1e-6, 1 - 2 * modulus / (strength * (dimension_ratio - 1)))
    return _root(off, least * strength, strength)


def _root(off: Callable[[float], float], low: float, high: float) -> float:
    with np.errstate(all="ignore"):
        if not off(low) * off(high) <= 0:
            return math.nan
        return float(brentq(off, low, high))


def steps_of(
    result: PipeResult,
    station: str | None,
    shares: Mapping[str, tuple[float, bool]],
    solved: Solved,
) -> tuple[Step, ...]:
    """The closed forms, and the factors that follow from the numerical model, line by line.

    `shares` has the gap `g` and ovality `q` used, as shares, and whether each was given.
    """
    inputs, lines = _inputs(result, station, shares), list(CLOSED_FORMS)
    modulus, strength = plane_strain_modulus(result), long_term_strength(result)
    ratio = inputs["D"].value / result.nominal_thickness
    if strength is not None:
        inputs["sigma_L"] = Input("sigma_L", strength, _design())
        stress = hoop_stress(ratio, shares["g"][0], modulus, strength)
        inputs["s_thrust"] = Input(
            "s_thrust", stress, calculated(sentence("ring.thrust_by_bisection"))
        )
    numbers = {
        "p_solved": (solved.collapse, "ring.by_model"),
        "p_first": (solved.first_strength, "ring.by_model"),
        "s_design": (solved.stress_at_design, "ring.by_model"),
        "DR_ring": (solved.required_ratio, "ring.by_search"),
    }
    for key, (value, source) in numbers.items():
        if value is not None:
            inputs[key] = Input(key, value, calculated(sentence(source)))
    steps = worked(*_with_numbers(tuple(inputs.values()), lines), result.basis.system)
    return signed(steps, result.task.verified)


def _inputs(
    result: PipeResult, station: str | None, shares: Mapping[str, tuple[float, bool]]
) -> dict[str, Input]:
    def own(key: str) -> float:
        value = result.value(key, station)
        found = value if value is not None else result.value(key)
        assert found is not None, key
        return found

    (gap, gap_given), (ovality, ovality_given) = shares["g"], shares["q"]
    ratio = own("D") / result.nominal_thickness
    practice = calculated(sentence("ring.german_default"))
    found = (
        Input("D", own("D"), _design()),
        Input("t", result.nominal_thickness, calculated(sentence("ring.nominal"))),
        Input("E_L", long_term_modulus(result), _design()),
        *(Input(key, own(key), _design()) for key in ("nu", "K", "P")),
        Input("q", 100 * ovality, AS_GIVEN if ovality_given else _design()),
        Input("g", 100 * gap, AS_GIVEN if gap_given else practice),
        Input("k_lobes", 2.0, calculated(sentence("ring.several_lobes"))),
        Input("k_one", 1.0, calculated(sentence("ring.one_lobe"))),
        Input("r_gap", gap_ratio(ratio, gap), calculated(sentence("ring.gap_by_bisection"))),
    )
    return {each.key: each for each in found}


def _design() -> Origin:
    """The origin of what the design of the pipe already has."""
    return calculated(sentence("ring.design"))


def _with_numbers(
    inputs: Sequence[Input], lines: Sequence[Line]
) -> tuple[tuple[Input, ...], tuple[Line, ...]]:
    """Inputs and lines less those that have no number in a wall as thick as this one."""
    values: dict[str, Any] = {each.key: each.value for each in inputs if math.isfinite(each.value)}
    given, kept = tuple(each for each in inputs if each.key in values), []
    for each in lines:
        if all(key in values for key in each.needs):
            value = _value(each, values)
            if math.isfinite(value):
                values[each.result] = value
                kept.append(each)
    return given, tuple(kept)


def _value(each: Line, values: Mapping[str, Any]) -> float:
    """The result of a line, NaN where it divides by nothing."""
    try:
        return float(run([each], values)[each.result])
    except ZeroDivisionError:
        return math.nan


def _equivalent(pressure: str, factor: str) -> Line:
    return line(_CODE["K_equal"], {"p_ring": pressure, "K_equal": factor})


_ONE: Mapping[str, str] = {"k_lobes": "k_one"}
CLOSED_FORMS = (
    line(_CODE["DR"]),
    line(_CODE["C"]),
    line(ring.plane_strain_modulus),
    line(ring.free_ring_pressure),
    line(_CODE["p_code"]),
    line(_CODE["K_equal"], {"p_ring": "p_code"}),
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
    line(ring.gap_of_thrust),
    line(ring.first_yield_pressure),
    _equivalent("p_solved", "K_solved"),
    line(ring.stability_factor),
    line(ring.squash_pressure),
    line(ring.greatest_pressure),
    _equivalent("p_first", "K_first"),
    line(ring.strength_factor),
    line(ring.stress_factor),
    line(ring.ring_thickness),
)
