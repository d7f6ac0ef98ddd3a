"""Thick walls against the theory of elasticity: finite elements of a continuum, and Lame's ring."""

from dataclasses import replace

import numpy as np
import pytest
from methods.ring.plane_strain import Continuum

from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.path import Factors
from linerdesign.methods.ring.solving import solve


@pytest.mark.parametrize(
    ("dimension_ratio", "bulge", "gap", "nu"),
    [
        (10.0, 0.001, 0.0, 0.3),
        (12.0, 0.02, 0.005, 0.3),
        (20.0, 0.001, 0.0, 0.3),
        (30.0, 0.001, 0.0, 0.3),
        (30.0, 0.01, 0.01, 0.4),
        (50.0, 0.001, 0.0, 0.3),
    ],
)
def test_a_continuum_in_plane_strain_collapses_within_one_percent(dimension_ratio, bulge, gap, nu):
    """Nine-node elements, two through the wall; 60 or 90 around instead of 40 move their
    collapse pressure by less than 0.1 %."""
    case = Case(dimension_ratio, gap=gap, imperfection=bulge, poisson=nu)
    solution = solve(case)
    ring, limit = solution.path.ring, solution.limit
    continuum = Continuum(dimension_ratio, bulge, gap, nu)
    turns = ring.numbers.spread(limit.vector)[:, 2]
    guess = continuum.guess(ring.positions(limit.vector), turns, limit.pressure)
    assert limit.pressure == pytest.approx(continuum.collapse(guess), rel=0.01)
    inner = ring.fibre_stresses(limit.vector, limit.pressure)[1, -1]
    assert inner == pytest.approx(continuum.inner_stress(guess), rel=0.04)


def evenly_shrunk(dimension_ratio, pressure):
    """A free ring of outer radius 0.99, and its unknowns under a small pressure."""
    ring = replace(Case(dimension_ratio, gap=0.01, imperfection=0.0).ring(), contact=None)
    vector = np.zeros(ring.numbers.unknowns)
    for _ in range(4):
        state = ring.state(vector, pressure)
        factors = Factors.of(state)
        vector = vector - factors.solve(state.force + pressure * state.load)
    return ring, vector


@pytest.mark.parametrize(
    ("dimension_ratio", "tolerance"), [(10.0, 0.02), (20.0, 0.005), (50.0, 0.001)]
)
def test_a_free_ring_is_lames(dimension_ratio, tolerance):
    """Lame's thick ring in plane strain, nu 0.3, under outer pressure: hoop stresses at both faces
    and the displacement of the middle line, which is right to 0.03 %."""
    pressure, nu, outer = 1e-6, 0.3, 0.99
    inner = outer - 2.0 / dimension_ratio
    share = pressure * outer**2 / (outer**2 - inner**2)
    ring, vector = evenly_shrunk(dimension_ratio, pressure)
    stresses = ring.fibre_stresses(vector, pressure)[:, 20]
    exact = [-share * (1 + (inner / outer) ** 2), -2 * share]
    assert stresses == pytest.approx(exact, rel=tolerance)
    middle = 0.5 * (outer + inner)
    modulus = 1 - nu**2
    inward = share * (1 + nu) / modulus * ((1 - 2 * nu) * middle + inner**2 / middle)
    assert -ring.numbers.spread(vector)[-1, 1] == pytest.approx(inward, rel=3e-4)
