"""Lengths, areas and conversions against pint, an integral, and beam and plane-strain algebra."""

import numpy as np
import pint
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from linerdesign.methods import hydraulics, quantities, site
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.ground import live_load, soil
from linerdesign.methods.ring import equations as ring

UNITS = pint.UnitRegistry()
DIAMETER, RATIO = st.floats(4, 108), st.floats(10, 150)


@pytest.mark.parametrize(
    ("equation", "given_unit", "unit"),
    [
        (live_load.cover_in_feet, "m", "ft"),
        (live_load.diameter_in_inches, "mm", "in"),
        (live_load.load_from_psi, "psi", "MPa"),
        (live_load.load_from_psf, "lbf/ft^2", "psi"),
        (soil.modulus_from_psi, "psi", "MPa"),
    ],
)
def test_conversions_by_pint(equation, given_unit, unit):
    """To a millionth: a psi is 0.00689476 MPa to six figures."""
    expected = UNITS.Quantity(7.3, given_unit).to(unit).magnitude
    assert equation(7.3) == pytest.approx(expected, rel=1e-6)


@given(DIAMETER, RATIO)
def test_ring_by_integration(D, DR):
    """Area, middle line and bore of the wall by sums over radius and angle."""
    t = D / DR
    area, _ = quad(lambda r: 2 * np.pi * r, D / 2 - t, D / 2)
    assert quantities.wall_area(D, t) == pytest.approx(area, rel=2e-6)
    around, _ = quad(lambda _: (D - t) / 2, 0, 2 * np.pi)
    assert ring.middle_perimeter(D, t) == pytest.approx(around, rel=2e-6)
    assert hydraulics.liner_bore(D, t) == pytest.approx(2 * (D / 2 - t), rel=1e-12)
    inertia, _ = quad(lambda y: y * y, -t / 2, t / 2)
    assert gravity.wall_inertia(t) == pytest.approx(inertia, rel=1e-9)
    assert gravity.dimension_ratio(D, t) == pytest.approx(DR, rel=1e-12)


def test_plane_strain_modulus_from_hookes_law():
    """SymPy: no strain along the axis, no stress across; the ratio left around the ring."""
    E, nu, s, along = sympy.symbols("E nu s along", positive=True)
    (axial,) = sympy.solve(along - nu * s, along)
    strain = (s - nu * axial) / E
    modulus = sympy.simplify(s / strain).subs({E: 125_000, nu: sympy.Rational(3, 10)})
    assert ring.plane_strain_modulus(125_000, 0.3) == pytest.approx(float(modulus), rel=1e-12)


def test_the_crown_and_the_water_below_ground_by_hand():
    """A pipe of 48 in is 4 ft high; 6 ft of water over its invert, 10 ft of cover: 8 ft deep."""
    assert site.height_of_crown(48.0, "US") == pytest.approx(4.0, rel=1e-12)
    assert site.height_of_crown(1200.0, "SI") == pytest.approx(1.2, rel=1e-12)
    assert site.water_depth(6.0, 10.0, 48.0, "US") == pytest.approx(8.0, rel=1e-12)
    assert site.water_depth(2.0, 3.0, 1200.0, "SI") == pytest.approx(2.2, rel=1e-12)
