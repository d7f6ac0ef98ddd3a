"""Laws that the equations must obey whatever the numbers: scale, direction, one form each way."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linerdesign.methods.f1216 import gravity, ovality

positive = st.floats(0.1, 1e4)
diameters = st.floats(3, 120)
heads = st.floats(0.1, 60)
ovalities = st.floats(0.01, 10)
moduli = st.floats(5e4, 1e6)


def _bending(D, q, P):
    shares = gravity.bending_share(q), gravity.thrust_share(q)
    return gravity.bending_thickness(D, *shares, 2250, P, 2)


@given(diameters, heads, ovalities, moduli)
def test_thickness_scales_with_diameter(D, P, q, E_L):
    """The equations hold only ratios of lengths: twice the pipe, twice the wall."""
    C = ovality.ovality_reduction(q)
    forms = [
        lambda D: gravity.groundwater_thickness(D, 7, E_L, C, 0.3, 2, P),
        lambda D: _bending(D, q, P),
        lambda D: gravity.soil_thickness(D, 2, P, 0.8, 0.4, 1000, C, E_L),
        lambda D: gravity.soil_thickness_07a(D, 2, P, C, 0.8, 0.4, 1000, E_L),
        lambda D: gravity.stiffness_thickness(D, 0.093, 2 * E_L),
        lambda D: gravity.dimension_ratio_thickness(D, 100),
    ]
    for form in forms:
        assert form(2 * D) == pytest.approx(2 * form(D), rel=1e-12)


@given(diameters, heads, ovalities, moduli, st.floats(1.01, 3))
def test_each_input_moves_the_thickness_its_own_way(D, P, q, E_L, more):
    C = ovality.ovality_reduction(q)

    def x11(P=P, C=C, E_L=E_L, N=2.0, K=7.0):
        return gravity.groundwater_thickness(D, K, E_L, C, 0.3, N, P)

    def x13(q_t=P, C=C, E_L=E_L, N=2.0, E_s=1000.0):
        return gravity.soil_thickness(D, N, q_t, 0.8, 0.4, E_s, C, E_L)

    assert x11(P=P * more) > x11() > x11(E_L=E_L * more)
    assert x11(N=2 * more) > x11() > x11(K=7 * more)
    assert x13(q_t=P * more) > x13() > x13(E_s=1000 * more)
    assert x13(N=2 * more) > x13() > x13(E_L=E_L * more)
    assert ovality.ovality_reduction(q * more) < C
    assert _bending(D, q * more, P) > _bending(D, q, P)


@given(diameters, heads, ovalities, moduli)
def test_the_solved_form_meets_the_forward_form(D, P, q, E_L):
    C = ovality.ovality_reduction(q)
    t = gravity.groundwater_thickness(D, 7, E_L, C, 0.3, 2, P)
    assert gravity.groundwater_capacity(7, E_L, 0.3, D / t, C, 2) == pytest.approx(P, rel=1e-9)
    t = _bending(D, q, P)
    assert gravity.bending_stress(P, q, D / t) == pytest.approx(2250 / 2, rel=1e-9)
    inertia = gravity.wall_inertia
    t = gravity.soil_thickness(D, 2, P, 0.8, 0.4, 1000, C, E_L)
    capacity = gravity.soil_capacity(2, 0.8, 0.4, 1000, C, E_L, inertia(t), D)
    assert capacity == pytest.approx(P, rel=1e-9)
    t = gravity.soil_thickness_07a(D, 2, P, C, 0.8, 0.4, 1000, E_L)
    capacity = gravity.soil_capacity_07a(C, 2, 0.8, 0.4, 1000, E_L, inertia(t), D)
    assert capacity == pytest.approx(P, rel=1e-9)
    t = gravity.stiffness_thickness(D, 0.093, 2 * E_L)
    assert gravity.stiffness(2 * E_L, inertia(t), D) == pytest.approx(0.093, rel=1e-9)


@given(st.floats(0, 12), heads, ovalities)
def test_the_earlier_edition_is_never_thinner(D, P, q):
    """Doherty, No-Dig 2008: F1216-07b thins the liner; without ovality the two are one."""
    D = D + 3
    C = ovality.ovality_reduction(q)
    later = gravity.soil_thickness(D, 2, P, 0.8, 0.4, 1000, C, 125e3)
    earlier = gravity.soil_thickness_07a(D, 2, P, C, 0.8, 0.4, 1000, 125e3)
    assert earlier >= later * (1 - 1e-12)
    same = gravity.soil_thickness(D, 2, P, 0.8, 0.4, 1000, 1.0, 125e3)
    assert gravity.soil_thickness_07a(D, 2, P, 1.0, 0.8, 0.4, 1000, 125e3) == pytest.approx(same)


@given(st.floats(0.5, 60), st.floats(0, 80))
def test_buoyancy_stays_between_its_ends(H, H_w):
    assert 0.67 <= gravity.buoyancy_factor(H_w, H) <= 1


def test_elastic_support_rises_from_a_fifth_to_one():
    """At no cover 1/(1 + 4) = 0.2; it tends to 1 with depth."""
    depths = np.linspace(0, 400, 200)
    support = gravity.elastic_support_us(depths)
    assert support[0] == pytest.approx(0.2)
    assert np.all(np.diff(support) > 0)
    assert support[-1] == pytest.approx(1)
