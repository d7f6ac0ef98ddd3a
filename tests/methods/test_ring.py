"""Closed forms of the encased ring, against the potential energy of a lobe written out anew.

The energy: a ring of radius R lies on a rigid wall but for k lobes, w = w1 cos^2(pi x/(2 phi)),
|x| <= phi. Bending E I w''^2/(2 R^3), membrane E A e^2/2 with the thrust's strain e the same all
round, and the pressure's work p R w. SymPy differentiates it; nothing of the package is used.
"""

import math

import numpy as np
import pytest
import sympy
from scipy.optimize import brentq, minimize_scalar

from linerdesign.methods.f1216 import gravity, mechanics
from linerdesign.methods.ring import equations as ring

A, PHI, BETA, GAMMA, K, P = sympy.symbols("a phi beta gamma k p", positive=True)


def potential():
    """Potential energy over E A R: I/(A R^2) is beta, the gap over R gamma, p R/(E A) is p."""
    x = sympy.symbols("x")
    deepest = 4 * A * PHI**2 / sympy.pi**2
    w = deepest * sympy.cos(sympy.pi * x / (2 * PHI)) ** 2
    around = (x, -PHI, PHI)
    left_over = K * sympy.integrate(w - sympy.diff(w, x) ** 2 / 2, around)
    strain = left_over / (2 * sympy.pi) - GAMMA
    bending = K * BETA / 2 * sympy.integrate(sympy.diff(w, x, 2) ** 2, around)
    work = K * P * sympy.integrate(w, around)
    return bending + sympy.pi * strain**2 - work, strain


def test_equilibrium_of_the_lobe_is_that_of_the_derivation():
    """Thrust (5/3) B and pressure B (2.5 - a)/1.5, B = pi^2 beta/phi^2, whatever gap and lobes."""
    energy, strain = potential()
    by_depth, by_opening = sympy.diff(energy, A), sympy.diff(energy, PHI)
    share = sympy.pi**2 * BETA / PHI**2
    thrust = sympy.Rational(5, 3) * share
    found = sympy.solve(strain - thrust, GAMMA)[0]
    pressure = share * (sympy.Rational(5, 2) - A) / sympy.Rational(3, 2)
    for slope in (by_depth, by_opening):
        assert sympy.simplify(slope.subs(GAMMA, found).subs(P, pressure)) == 0


def greatest_pressure(dr, gap, lobes):
    """Highest p/E* over all openings, from the two relations above and the perimeter alone."""
    beta, gamma = 1 / (3 * (dr - 1) ** 2), gap * dr / (dr - 1)

    def pressure(phi):
        share = math.pi**2 * beta / phi**2
        half_defect = math.pi**3 * (5 / 3 * share + gamma) / (lobes * phi**3)
        if half_defect > 1:
            return 0.0
        depth = 1 - math.sqrt(1 - half_defect)
        # p R = E A share (2.5 - a)/1.5, and A/R is 2/(DR - 1).
        return share * (2.5 - depth) / 1.5 * 2 / (dr - 1)

    rough = np.linspace(0.01, math.pi, 4000)
    start = int(np.argmax([pressure(phi) for phi in rough]))
    around = (rough[start - 1], rough[start + 1])
    best = minimize_scalar(lambda phi: -pressure(phi), bounds=around, method="bounded")
    return -best.fun


def with_gap(dr, gap, lobes):
    """p/E* by the equations of the package; the ratio of shortenings by bisection."""

    def lobe(ratio):
        depth = ring.lobe_depth(ratio)
        return depth, ring.lobe_opening(ratio, dr, lobes, depth)

    def off(ratio):
        return ring.gap_closed(ratio, dr, lobe(ratio)[1]) - 100 * gap

    ratio = brentq(off, 0.0, 1e4, xtol=1e-12) if gap else 0.0
    depth, opening = lobe(ratio)
    return ring.gap_pressure(1500.0, depth, dr, opening) / 1500.0


@pytest.mark.parametrize("dr", [20.0, 50.0, 120.0])
@pytest.mark.parametrize("gap", [0.0, 0.001, 0.01, 0.03])
@pytest.mark.parametrize("lobes", [1, 2, 3])
def test_gap_and_lobes_against_the_greatest_pressure(dr, gap, lobes):
    assert with_gap(dr, gap, lobes) == pytest.approx(greatest_pressure(dr, gap, lobes), rel=1e-6)


@pytest.mark.parametrize("lobes", [1, 2, 3])
def test_glock_is_the_greatest_pressure_without_a_gap(lobes):
    for dr in (15.0, 28.0, 100.0):
        pressure = ring.glock_lobes_pressure(ring.glock_pressure(1.0, dr), lobes)
        assert pressure == pytest.approx(greatest_pressure(dr, 0.0, lobes), rel=5e-5)


def test_free_ring_is_levys():
    """3 E I/R^3, from memory, also printed by Moser & Folkman."""
    thickness, mean_radius = 6.0, 97.0
    levy = 3 * 1500.0 * thickness**3 / 12 / mean_radius**3
    assert ring.free_ring_pressure(1500.0, 200.0 / 6.0) == pytest.approx(levy)


def test_flattest_radius_is_that_of_an_ellipse():
    """Curvature at the end of the short axis, by SymPy; C of F1216 has its cube in it."""
    s, q = sympy.symbols("s q", positive=True)
    x, y = (1 + q) * sympy.cos(s), (1 - q) * sympy.sin(s)
    speed = sympy.sqrt(sympy.diff(x, s) ** 2 + sympy.diff(y, s) ** 2)
    bent = sympy.diff(x, s) * sympy.diff(y, s, 2) - sympy.diff(y, s) * sympy.diff(x, s, 2)
    radius = (speed**3 / bent).subs(s, sympy.pi / 2)
    for percent in (0, 2, 5, 10):
        reduction = ((1 - percent / 100) / (1 + percent / 100) ** 2) ** 3
        found = ring.flattest_radius(206.0, 6.0, reduction) / 100.0
        assert found == pytest.approx(float(radius.subs(q, percent / 100)), rel=1e-12)


@pytest.mark.parametrize("lobes", [1, 2, 5])
def test_perimeter_form_on_a_circle_is_glocks_without_poissons_ratio(lobes):
    """Within 0.1 %: 0.455 is 0.4551 rounded."""
    D, t = 300.0, 6.0
    by_perimeter = ring.perimeter_pressure(
        lobes, 1000.0, t, ring.middle_perimeter(D, t), ring.flattest_radius(D, t, 1.0)
    )
    glock = ring.glock_lobes_pressure(ring.glock_pressure(1000.0, D / t), lobes)
    assert by_perimeter == pytest.approx(glock, rel=1e-3)


def test_the_code_pressure_and_the_equivalent_factor_are_those_of_x11():
    E_L, nu, DR, C = 125e3, 0.3, 45.2, 0.836
    plane = ring.plane_strain_modulus(E_L, nu)
    by_code = gravity.groundwater_capacity(7, E_L, nu, DR, C, 1)
    assert mechanics.code_pressure(7, ring.free_ring_pressure(plane, DR), C) == pytest.approx(
        by_code
    )
    p = ring.glock_pressure(plane, DR)
    K = mechanics.equivalent_factor(p, plane, DR)
    assert gravity.groundwater_capacity(K, E_L, nu, DR, 1, 1) == pytest.approx(p)


def test_k_of_7_is_unsafe_for_thick_walls_and_safe_for_thin_ones():
    """The crossing is at DR 28.0 by arithmetic on Glock 1977, D the mean diameter."""
    cross = brentq(
        lambda dr: mechanics.equivalent_factor(ring.glock_pressure(1.0, dr), 1.0, dr) - 7, 15, 60
    )
    assert cross == pytest.approx(28.0, abs=0.1)


def test_squash_is_the_statics_of_half_a_ring():
    """Pressure on the width D is carried by both walls at their strength; the bound is no more."""
    D, t, strength = 300.0, 6.0, 15.0
    squash = ring.squash_pressure(strength, D / t)
    assert squash * D == pytest.approx(2 * strength * t, rel=1e-12)
    assert ring.greatest_pressure(0.9 * squash, squash) == pytest.approx(0.9 * squash, rel=1e-12)
    assert ring.greatest_pressure(1.1 * squash, squash) == pytest.approx(squash, rel=1e-12)


def test_amstutz_by_hand():
    """DR 41, E* 1000, a strength of 10.625 and a hoop stress of 0.625: 10 are left to bending, and
    3 * 40^2 * 0.625/1000 is 3, so that the root is 4^1.5."""
    gap = 100 * 40 / 41 * (1.68 * 40 * 10 / 1000 * (1 - 40 / 4 * 10 / 1000) / 8 - 0.625 / 1000)
    assert ring.gap_of_thrust(0.625, 1000.0, 41.0, 10.625) == pytest.approx(gap, rel=1e-12)
    # 2/40 of the hoop stress, less 0.175 * 40 * 10/1000, 7 %.
    assert ring.first_yield_pressure(0.625, 41.0, 10.625, 1000.0) == pytest.approx(
        0.625 / 20 * 0.93, rel=1e-12
    )


def test_factors_and_thickness_by_hand():
    """26 psi and 18 psi over 5.2 psi are 5 and 3.4615; 2,250 over 450 psi is 5; 48 in at DR 60."""
    assert ring.stability_factor(26.0, 5.2) == pytest.approx(5.0, rel=1e-9)
    assert ring.strength_factor(18.0, 5.2) == pytest.approx(3.461538461538, rel=1e-9)
    assert ring.stress_factor(2250.0, 450.0) == pytest.approx(5.0, rel=1e-9)
    assert ring.ring_thickness(48.0, 60.0) == pytest.approx(0.8, rel=1e-9)


def test_a_lobe_wider_than_half_the_ring_is_cautioned():
    """The opening is in percent of the ring; the shallow lobe is ours, no source."""
    (limit,) = ring.lobe_opening.limits
    assert limit.code == "ring.wide_lobe"
    assert limit.holds.function(50.0)
    assert not limit.holds.function(50.0001)
