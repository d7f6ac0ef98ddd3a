"""The numerical collapse pressure against closed forms, statics and another formulation."""

import dataclasses
import math

import numpy as np
import pytest
from methods.ring.potential_energy import EncasedRing, greatest_pressure

from linerdesign.methods.ring import collapse as module
from linerdesign.methods.ring.collapse import Case, collapse, solve
from linerdesign.methods.ring.path import Path, Scale
from linerdesign.tasks.second_opinion.convergence import free_ring_pressure


def glock(dimension_ratio):
    """Glock 1977: p = 0.969 (E*I/R^3)(E*A R^2/E*I)^(2/5), one lobe, R to the middle line, E* = 1.

    The constant is known in print; it also follows from the energy of a cos^2 lobe.
    """
    radius, thickness = 0.5 * (dimension_ratio - 1.0), 1.0
    inertia = thickness**3 / 12.0
    return 0.969 * inertia / radius**3 * (thickness * radius**2 / inertia) ** 0.4


def levy(dimension_ratio):
    """Levy 1884: p = 3 E*I/R^3 of a free ring, R to the middle line, E* = 1."""
    return 3.0 / 12.0 / (0.5 * (dimension_ratio - 1.0)) ** 3


@pytest.mark.parametrize("face", ["middle surface", "outer face"])
@pytest.mark.parametrize("dimension_ratio", [15.0, 50.0, 150.0])
def test_free_ring_buckles_at_levys_pressure(dimension_ratio, face):
    found = free_ring_pressure(dimension_ratio, 40, face)
    assert found == pytest.approx(levy(dimension_ratio), rel=0.01)


@pytest.mark.parametrize(
    ("dimension_ratio", "tolerance"), [(30.0, 0.08), (50.0, 0.04), (70.0, 0.04), (100.0, 0.04)]
)
def test_tight_liner_with_a_small_bulge_collapses_at_glocks_pressure(dimension_ratio, tolerance):
    found = collapse(dimension_ratio, imperfection=0.0005)
    assert found.converged, found.reason
    assert found.pressure_ratio == pytest.approx(glock(dimension_ratio), rel=tolerance)


# The lobe is sought between 0.4 and 0.9 of the crown displacement only to save time: the greatest
# pressure must fall strictly inside the areas tried.
@pytest.mark.parametrize(
    ("dimension_ratio", "gap", "ovality", "bulge", "harmonics"),
    [
        (30.0, 0.0, 0.0, 0.001, 20),
        (50.0, 0.0, 0.0, 0.01, 24),
        (20.0, 0.01, 0.05, 0.02, 24),
    ],
)
def test_least_energy_over_a_fourier_shape_agrees(dimension_ratio, gap, ovality, bulge, harmonics):
    found = collapse(dimension_ratio, gap, ovality, bulge)
    assert found.converged, found.reason
    ring = EncasedRing(dimension_ratio, gap, ovality, bulge, harmonics=harmonics, points=90)
    depths = np.linspace(0.4, 0.9, 8) * found.crown_displacement
    greatest, tried = greatest_pressure(ring, depths, half_width=0.3 * math.pi)
    assert 0 < int(np.argmax(tried)) < len(tried) - 1
    assert found.pressure_ratio == pytest.approx(greatest, rel=0.005)


def test_the_wall_forces_balance_the_pressure():
    """Statics of half the ring, which the elements know nothing of.

    Sideways, the wall at crown and invert carries the pressure on the projected outer face, plus
    the push of the cavity, which must point inwards everywhere.
    """
    case = Case(40.0, gap=0.005, ovality=0.03, imperfection=0.01, elements=160)
    solution = solve(case)
    ring, point = solution.path.ring, solution.limit
    points = ring.positions(point.vector)
    height = points[-1, 1] - points[0, 1] + case.thickness
    depth, normal, _ = ring.contact.penetration(points)
    push = ring.tributary * ring.contact.pressure(depth)[1]
    assert np.all(push >= 0.0)
    forces = ring.normal_forces(point.vector)
    at_cuts = 1.5 * forces[[0, -1]] - 0.5 * forces[[1, -2]]
    outside = point.pressure * height + push @ normal[:, 0]
    assert -at_cuts.sum() == pytest.approx(outside, rel=1e-3)


def test_work_of_the_pressure_is_the_energy_stored():
    found = collapse(60.0, gap=0.003, ovality=0.02, imperfection=0.005)
    assert found.equilibrium_residual < 1e-8
    assert abs(found.energy_residual) < 1e-3


def test_gradient_and_second_derivatives_are_those_of_the_energy():
    """Central differences of the potential, in a badly deformed state with contact."""
    ring = Case(40.0, 0.01, 0.05, 0.02, elements=16, contact_softening=0.1).ring()
    rng = np.random.default_rng(0)
    vector, pressure, step = 0.02 * rng.normal(size=ring.unknowns), 0.3, 1e-6
    state = ring.state(vector, pressure)
    assert ring.touching(vector).any()

    def potential(where):
        energies = ring.energies(where)
        return energies.stored + pressure * energies.area

    def gradient(where):
        there = ring.state(where, pressure)
        return there.force + pressure * there.load

    moves = step * np.eye(ring.unknowns)
    slope = [(potential(vector + m) - potential(vector - m)) / (2 * step) for m in moves]
    assert gradient(vector) == pytest.approx(np.array(slope), abs=1e-8)
    width = ring.bandwidth
    for column, move in enumerate(moves):
        curve = (gradient(vector + move) - gradient(vector - move)) / (2 * step)
        for row in range(max(0, column - width), min(ring.unknowns, column + width + 1)):
            stored = state.band[width + row - column, column]
            assert stored == pytest.approx(curve[row], abs=1e-6)


@pytest.mark.parametrize("dimension_ratio", [20.0, 50.0, 120.0])
def test_more_gap_ovality_or_bulge_means_less_pressure(dimension_ratio):
    def pressures(**varied):
        (name, values) = next(iter(varied.items()))
        found = [collapse(dimension_ratio, **{name: value}, check_mesh=False) for value in values]
        assert all(one.converged for one in found), [one.reason for one in found]
        return np.array([one.pressure_ratio for one in found])

    assert np.all(np.diff(pressures(gap=[0.0, 0.002, 0.01, 0.03])) < 0.0)
    assert np.all(np.diff(pressures(ovality=[0.0, 0.01, 0.04, 0.1])) < 0.0)
    assert np.all(np.diff(pressures(imperfection=[0.0005, 0.002, 0.01, 0.03])) < 0.0)


def test_neither_mesh_nor_penalty_nor_symmetry_matters():
    base = Case(50.0, gap=0.01, ovality=0.03, imperfection=0.01)
    wanted = solve(base).limit.pressure
    for changed in (
        {"elements": 160},
        {"contact_stiffness": 100.0},
        {"contact_stiffness": 10000.0},
        {"contact_softening": 1e-4},
        {"full_ring": True, "bulge_skew": 0.1},
    ):
        found = solve(dataclasses.replace(base, **changed))
        assert not found.stopped
        assert found.limit.pressure == pytest.approx(wanted, rel=0.004), changed


def test_path_returns_on_itself_and_is_still_followed():
    """A gap makes the crown snap back; the lowest-numbered points are the loading, in order."""
    found = collapse(50.0, gap=0.01, imperfection=0.001)
    assert found.converged, found.reason
    top = int(np.argmax(found.pressure_ratios))
    assert 0 < top < len(found.pressure_ratios) - 1
    assert found.pressure_ratios[-1] < 0.95 * found.pressure_ratio
    assert found.pressure_ratio >= found.pressure_ratios.max()
    assert found.pressure_ratio == pytest.approx(found.pressure_ratios.max(), rel=2e-3)
    assert found.contact_remained
    # The invert lies on the wall at collapse, the crown does not.
    assert found.in_contact[0]
    assert not found.in_contact[-1]


def test_pressure_scales_with_the_modulus_and_k_does_not():
    one = collapse(40.0, modulus_plane_strain=1.0, check_mesh=False)
    other = collapse(40.0, modulus_plane_strain=1500.0, check_mesh=False)
    assert other.pressure == pytest.approx(1500.0 * one.pressure)
    assert other.enhancement_factor == one.enhancement_factor
    assert one.pressure == pytest.approx(2.0 * one.enhancement_factor / 39.0**3)


def test_a_path_that_cannot_be_followed_gives_a_reason_and_no_number(monkeypatch):
    monkeypatch.setattr("linerdesign.methods.ring.path.MAXIMUM_POINTS", 20)
    found = collapse(50.0, check_mesh=False)
    assert not found.converged
    assert "too many steps" in found.reason
    assert found.pressure is None
    assert found.pressure_ratio is None
    assert found.enhancement_factor is None


def test_a_mesh_that_matters_gives_a_reason_and_no_number(monkeypatch):
    monkeypatch.setattr(module, "MESH_TOLERANCE", 1e-6)
    found = collapse(50.0)
    assert not found.converged
    assert "halving the elements" in found.reason
    assert found.pressure is None


def test_a_bifurcation_is_reported_and_not_run_over():
    """A perfect ring with a gap shrinks evenly up to Levy's pressure, where its path branches."""
    case = Case(50.0, gap=0.01, imperfection=0.0)
    solution = solve(case)
    assert solution.stopped == "the path branches"
    reached = solution.path.points[-1].pressure * 0.99**-3
    assert reached == pytest.approx(levy(50.0), rel=0.1)


def test_unstable_directions_are_counted():
    """The evenly shrunk perfect ring is stable under Levy's pressure and not above it."""
    case = Case(50.0, gap=0.01, imperfection=0.0)
    path = Path(case.ring(), Scale(case.thickness, case.glock))
    counts = []
    while path.points[-1].pressure < 2.0 * levy(50.0):
        path.points.append(path.ahead(0.02))
        counts.append(path.unstable_directions(path.points[-1]))
    assert counts[0] == 0
    assert counts[-1] == 1
    assert counts == sorted(counts)


def test_every_impossible_input_is_named_at_once():
    with pytest.raises(ValueError, match="dimension_ratio") as caught:
        collapse(
            10.0, -0.01, 0.2, math.nan, modulus_plane_strain=0.0, elements=3, pressure_on="inside"
        )
    for name in ("gap", "ovality", "imperfection", "modulus_plane_strain", "elements", "inside"):
        assert name in str(caught.value)
