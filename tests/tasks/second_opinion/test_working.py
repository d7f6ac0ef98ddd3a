"""The inputs and lines of a second opinion, from a pipe given by hand."""

import math
from types import SimpleNamespace as Made

import pytest
from scipy.optimize import brentq

from linerdesign.methods.lines import line
from linerdesign.methods.ring import equations as ring
from linerdesign.methods.task import Input
from linerdesign.tasks.second_opinion import working
from linerdesign.tasks.second_opinion.working import Solved, gap_ratio, hoop_stress, steps_of

VALUES = {
    **{"D": 48.0, "nu": 0.3, "K": 7.0, "P": 5.0, "N": 2.0, "E": 250_000.0, "r_E": 50.0},
    **{"sigma": 4500.0, "r_sigma": 50.0, "q": 2.0},
}


def result(thickness=1.0, **more):
    values = VALUES | more
    return Made(
        value=lambda key, station=None: values.get((key, station), values.get(key)),
        nominal_thickness=thickness,
        basis=Made(system="US"),
        task=Made(verified=None),
    )


def steps(
    solved=None, station=None, gap=(0.005, True), ovality=(0.02, False), monkeypatch=None, **more
):
    monkeypatch.setattr(working, "signed", lambda steps, verified: steps)
    shares = {"g": gap, "q": ovality, "bulge": (0.02, False)}
    found = steps_of(result(**more), station, shares, solved or Solved(None, None, None, None))
    return {each.key: each for each in found}


def test_long_term_properties_are_those_of_the_design_or_of_its_inputs():
    """Half of 250,000 psi and of 4,500 psi; E* is over 1 - 0.3^2."""
    assert working.long_term_modulus(result()) == 125_000
    assert working.long_term_modulus(result(E_L=100_000.0)) == 100_000
    assert working.plane_strain_modulus(result()) == pytest.approx(125_000 / 0.91)
    assert working.long_term_strength(result()) == 2250
    assert working.long_term_strength(result(sigma_L=2000.0)) == 2000
    assert working.long_term_strength(result(sigma=None)) is None
    assert working.long_term_strength(result(sigma_L=0.0, r_sigma=None)) is None


def test_a_root_is_found_where_the_sign_changes():
    assert working._root(lambda x: x - 2.0, 0.0, 5.0) == pytest.approx(2.0)
    assert working._root(lambda x: x - 5.0, 0.0, 5.0) == pytest.approx(5.0)
    assert math.isnan(working._root(lambda x: x + 1.0, 0.0, 5.0))
    assert math.isnan(working._root(lambda x: math.nan, 0.0, 5.0))


def test_lines_without_a_number_are_left_out_with_what_needs_them():
    """The free ring divides by DR - 1, which is nothing in a wall as thick as the pipe."""
    free, equal = line(ring.free_ring_pressure), working._equivalent("p_free", "K_free")
    inputs = [Input(key, 1.0) for key in free.needs] + [Input("x", math.nan)]
    given, kept = working._with_numbers(inputs, [free, equal])
    assert [each.key for each in given] == [*free.needs]
    assert kept == ()
    values = {"E_plane": 100_000.0, "DR": 48.0}
    inputs = [Input(key, values.get(key, 2.0)) for key in free.needs]
    assert [each.result for each in working._with_numbers(inputs, [free])[1]] == ["p_free"]


def test_the_steps_of_a_pipe(monkeypatch):
    """2 E* / (DR - 1)^3 for the free ring; the model's numbers come in where it has any."""
    found = steps(monkeypatch=monkeypatch)
    E = 125_000 / 0.91
    assert found["p_free"].value == pytest.approx(2 * E / 47**3)
    C = ((1 - 0.02) / (1 + 0.02) ** 2) ** 3
    assert found["p_code"].value == pytest.approx(2 * 7 * C * E / 47**3)
    assert found["K_equal"].value == pytest.approx(7 * C)
    assert found["g"].value == pytest.approx(0.5)
    assert found["q"].value == pytest.approx(2.0)
    assert (found["t"].value, found["DR"].value) == (1.0, 48.0)
    assert found["r_gap"].value == pytest.approx(gap_ratio(48.0, 0.005))
    assert found["s_thrust"].value == pytest.approx(hoop_stress(48.0, 0.005, E, 2250.0))
    assert (found["k_lobes"].value, found["k_one"].value) == (2.0, 1.0)
    # Every K is that of X1.1 for a round pipe under the same pressure.
    for pressure, factor in (
        ("p_code", "K_equal"),
        ("p_Glock", "K_Glock"),
        ("p_lobes", "K_several"),
        ("p_gap", "K_gap"),
        ("p_perimeter", "K_perimeter"),
    ):
        expected = found[pressure].value * 47**3 / (2 * E)
        assert found[factor].value == pytest.approx(expected), factor
    # Twice as large a pipe with twice the wall has the same ratios.
    twice = steps(monkeypatch=monkeypatch, D=96.0, thickness=2.0)
    for key in ("DR", "r_gap", "s_thrust", "p_gap", "K_perimeter", "p_Amstutz"):
        assert twice[key].value == pytest.approx(found[key].value), key
    assert not {"p_solved", "K_solved", "t_ring", "p_first"} & set(found)
    solved = steps(Solved(10.0, 8.0, 900.0, 40.0), monkeypatch=monkeypatch)
    assert solved["K_solved"].value == pytest.approx(10 * 47**3 / (2 * E))
    assert solved["K_first"].value == pytest.approx(8 * 47**3 / (2 * E))
    assert solved["N_strength"].value == pytest.approx(8 / 5)
    assert solved["N_stress"].value == pytest.approx(2250 / 900)
    assert solved["t_ring"].value == pytest.approx(48 / 40)
    weak = steps(sigma=None, monkeypatch=monkeypatch)
    assert "s_thrust" not in weak
    assert "sigma_L" not in weak


def test_values_are_those_of_the_station_and_origins_tell_what_was_given():
    own = {("D", "9 ft"): 50.0, ("P", "9 ft"): 6.0}
    values = VALUES | own
    at = Made(
        value=lambda key, station=None: values.get((key, station)) if station else values.get(key),
        nominal_thickness=1.0,
    )
    inputs = working._inputs(at, "9 ft", {"g": (0.005, False), "q": (0.04, True)})
    assert (inputs["D"].value, inputs["P"].value, inputs["nu"].value) == (50.0, 6.0, 0.3)
    assert inputs["r_gap"].value == pytest.approx(gap_ratio(50.0, 0.005))
    given = working._inputs(at, "9 ft", {"g": (0.005, True), "q": (0.04, False)})
    assert inputs["q"].origin == given["g"].origin == working.AS_GIVEN
    assert inputs["g"].origin != working.AS_GIVEN
    assert given["q"].origin == inputs["D"].origin == working._design()


@pytest.mark.parametrize("ratio", [30.0, 128.0])
def test_the_hoop_stress_is_below_the_summit_of_the_closed_form(ratio):
    """The root of the closed form by another bracket; past the summit there is none."""
    E, s = 125_000 / 0.91, 2250.0
    stress = hoop_stress(ratio, 0.005, E, s)
    off = lambda x: float(ring.gap_of_thrust(x, E, ratio, s)) - 0.5  # noqa: E731
    assert off(stress) == pytest.approx(0, abs=1e-6)
    assert stress == pytest.approx(brentq(off, 0.5 * stress, min(1.2 * stress, s)))
    assert math.isnan(hoop_stress(135.0, 0.005, E, s))


def test_there_is_no_hoop_stress_past_the_summit_of_the_second_bracket():
    """x (1 - (DR - 1)/4 x/E*), of x = strength less stress, is greatest at x = 2 E*/(DR - 1)."""
    E, s, ratio = 125_000 / 0.91, 2250.0, 128.0
    summit = s - 2 * E / (ratio - 1)
    gap = float(ring.gap_of_thrust(summit, E, ratio, s)) / 100
    assert hoop_stress(ratio, 0.999 * gap, E, s) == pytest.approx(summit, rel=0.01)
    assert math.isnan(hoop_stress(ratio, 1.001 * gap, E, s))


def test_a_hoop_stress_may_be_a_small_part_of_the_strength():
    """As it is where the gap is nearly as wide as the ring may bend: a ten-thousandth, say."""
    E, s = 125_000 / 0.91, 2250.0
    gap = float(ring.gap_of_thrust(1e-4 * s, E, 50.0, s)) / 100
    assert hoop_stress(50.0, gap, E, s) == pytest.approx(1e-4 * s)


def test_a_wall_that_is_all_of_the_pipe_has_no_gap_to_close():
    """At DR = 1 the mean diameter is nothing: no number, and no warning of a division."""
    assert math.isnan(gap_ratio(1.0, 0.005))
