"""X1.5 to X1.7, from memory: solved forms against bisection on the forward forms as printed.

The forward forms are written out again here, so that nothing of the package decides the answer.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from linerdesign.methods.f1216 import pressure

DIAMETER, HOLE = st.floats(4, 60), st.floats(0.02, 0.98)
STRENGTH, TENSILE = st.floats(500, 8000), st.floats(500, 8000)
FACTOR, INSIDE = st.floats(1, 4), st.floats(5, 400)


def plate(t, D, d, sigma_L, N):
    return 5.33 / (D / t - 1) ** 2 * (D / d) ** 2 * sigma_L / N


def tension(t, D, sigma_TL, N):
    return 2 * sigma_TL / ((D / t - 2) * N)


@given(DIAMETER, HOLE, STRENGTH, FACTOR, INSIDE)
def test_x1_6_solved_is_where_the_forward_form_holds(D, share, sigma_L, N, P_i):
    d = share * D
    t = pressure.plate_thickness(D, d, sigma_L, N, P_i)
    exact = brentq(lambda t: plate(t, D, d, sigma_L, N) - P_i, D * 1e-9, D * (1 - 1e-9))
    assert t == pytest.approx(exact, rel=1e-8)


@given(DIAMETER, TENSILE, FACTOR, INSIDE)
def test_x1_7_solved_is_where_the_forward_form_holds(D, sigma_TL, N, P_i):
    t = pressure.tension_thickness(D, sigma_TL, N, P_i)
    exact = brentq(lambda t: tension(t, D, sigma_TL, N) - P_i, D * 1e-9, D * (0.5 - 1e-12))
    assert t == pytest.approx(exact, rel=1e-8)


@given(DIAMETER, HOLE)
def test_x1_5_solved_is_where_the_forward_form_holds(D, share):
    d = share * D
    t = pressure.hole_thickness(D, d)
    assert t == pytest.approx(brentq(lambda t: 1.83 * (t / D) ** 0.5 - d / D, 0, D), rel=1e-8)
    assert pressure.largest_hole_ratio(t, D) == pytest.approx(d / D, rel=1e-12)


@given(DIAMETER, HOLE, STRENGTH, TENSILE, FACTOR, INSIDE)
def test_from_the_thickness_required_on_every_wall_passes_and_a_hair_under_one_fails(
    D, share, sigma_L, sigma_TL, N, P_i
):
    """The branch rule, by walking through the walls from thin to thick."""
    d = share * D
    t_star = pressure.hole_thickness(D, d)
    required = float(
        pressure.pressure_thickness(
            t_star,
            pressure.plate_thickness(D, d, sigma_L, N, P_i),
            pressure.tension_thickness(D, sigma_TL, N, P_i),
        )
    )

    def passes(t):
        by_hole = d / D <= 1.83 * (t / D) ** 0.5
        carried = plate(t, D, d, sigma_L, N) if by_hole else tension(t, D, sigma_TL, N)
        return carried >= P_i

    walls = np.geomspace(required * (1 + 1e-7), D * 0.499, 300)
    # The turn from one equation to the other is where a wall can fail unseen: both sides of it.
    turn = [t for t in (t_star * (1 - 1e-7), t_star * (1 + 1e-7)) if required < t < D / 2]
    assert all(passes(t) for t in (*walls, *turn) if t < D / 2)
    assert not passes(required * (1 - 1e-6))


def test_a_thicker_wall_can_fail_where_a_thinner_one_passes():
    """X1.6 and X1.7 do not meet: the reason for the branch rule."""
    D, d, sigma_L, sigma_TL, N, P_i = 12, 6, 800, 6000, 2, 60
    t_star = pressure.hole_thickness(D, d)
    assert tension(t_star * 0.999, D, sigma_TL, N) > P_i
    assert plate(t_star * 1.001, D, d, sigma_L, N) < P_i
    t_6 = pressure.plate_thickness(D, d, sigma_L, N, P_i)
    t_7 = pressure.tension_thickness(D, sigma_TL, N, P_i)
    assert t_7 < t_star < t_6 == pressure.pressure_thickness(t_star, t_6, t_7)


@given(DIAMETER, HOLE, STRENGTH, TENSILE, FACTOR, INSIDE, st.floats(0.1, 10))
def test_all_lengths_doubled_double_the_thickness(D, share, sigma_L, sigma_TL, N, P_i, scale):
    def required(D):
        d = share * D
        return pressure.pressure_thickness(
            pressure.hole_thickness(D, d),
            pressure.plate_thickness(D, d, sigma_L, N, P_i),
            pressure.tension_thickness(D, sigma_TL, N, P_i),
        )

    assert float(required(D * scale)) == pytest.approx(scale * float(required(D)), rel=1e-9)


@given(DIAMETER, HOLE, STRENGTH, TENSILE, FACTOR, INSIDE, st.floats(0.01, 100))
def test_only_strength_over_pressure_counts(D, share, sigma_L, sigma_TL, N, P_i, scale):
    """X1.6 and X1.7 carry no constant of a unit system: psi for MPa changes nothing."""
    d = share * D
    for solved, strength, more in (
        (pressure.plate_thickness, sigma_L, (d,)),
        (pressure.tension_thickness, sigma_TL, ()),
    ):
        one = solved(D, *more, strength, N, P_i)
        other = solved(D, *more, strength * scale, N, P_i * scale)
        assert one == pytest.approx(other, rel=1e-12)


@given(DIAMETER, HOLE, st.floats(10, 150), STRENGTH, TENSILE, FACTOR)
def test_forward_forms(D, share, DR, sigma_L, sigma_TL, N):
    d = share * D
    by_plate = pressure.plate_capacity(DR, D, d, sigma_L, N)
    by_tension = pressure.tension_capacity(sigma_TL, DR, N)
    assert by_plate == pytest.approx(plate(D / DR, D, d, sigma_L, N), rel=1e-12)
    assert by_tension == pytest.approx(tension(D / DR, D, sigma_TL, N), rel=1e-12)
    assert pressure.pressure_capacity(2.0, 2.0, by_plate, by_tension) == by_plate
    assert pressure.pressure_capacity(1.9, 2.0, by_plate, by_tension) == by_tension


def test_x1_6_is_a_clamped_plate_over_the_hole():
    """Edge stress of a clamped disc of diameter d under P is 3/16 P (d/t)^2 by plate theory.

    That is P = 16/3 (t/d)^2 sigma, 5.33 in X1.6; D - t for D in it, hence a very thin wall.
    """
    D, d, t, sigma = 12.0, 2.0, 1e-6, 2250.0
    disc = sigma / (3 / 16 * (d / t) ** 2)
    assert pressure.plate_capacity(D / t, D, d, sigma, 1) == pytest.approx(disc, rel=7e-4)


@given(DIAMETER, st.floats(10, 150), TENSILE, FACTOR)
def test_x1_7_balances_half_a_ring(D, DR, sigma_TL, N):
    """Pressure on the bore of the liner, D - 2 t, against the tension of its two walls."""
    t = D / DR
    P = pressure.tension_capacity(sigma_TL, DR, N)
    assert N * P * (D - 2 * t) == pytest.approx(2 * sigma_TL * t, rel=1e-12)
