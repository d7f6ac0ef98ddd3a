"""The parts of the ring by themselves: loads, contact, shape, numbers and laws of creep.

Each against calculus by SciPy, sums over a dense matrix, or by hand; no path is followed.
"""

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.linalg import solve_banded

from linerdesign.methods.ring.case import (
    CONTACT_SOFTENING,
    CONTACT_STIFFNESS,
    GIVE,
    HOLDING,
    Case,
    _spoilt,
    moved,
)
from linerdesign.methods.ring.collapse import collapse
from linerdesign.methods.ring.contact import Cavity, Contact
from linerdesign.methods.ring.creep import (
    FARTHEST,
    FINDLEY,
    ONE_TIME,
    POWER,
    TEST,
    YEAR,
    Chain,
    Law,
    Memory,
    chain_of,
)
from linerdesign.methods.ring.loading import Loading, Profile
from linerdesign.methods.ring.numbering import numbering
from linerdesign.methods.ring.shape import Bulge, stress_free_shape
from linerdesign.methods.ring.solving import energy_residual

WATER = Profile((-0.8, -0.3, 0.5), (0.9, 1.0, 0.2))


def test_a_profile_is_straight_between_levels_and_even_beyond_them():
    """By interpolation, its integral by SciPy from the first level on, its slope by differences."""
    height = np.array([-1.2, -0.8, -0.7, -0.4, -0.3, 0.0, 0.3, 0.5, 0.8])
    integral, value, slope = WATER.beyond_uniform(height)
    assert value == pytest.approx(np.interp(height, WATER.levels, WATER.shares) - 1)
    areas = [
        quad(lambda h: np.interp(h, WATER.levels, WATER.shares) - 1, -0.8, top, points=[-0.3, 0.5])[
            0
        ]
        for top in height
    ]
    assert integral == pytest.approx(areas)
    # At a level itself, the slope behind it.
    assert slope == pytest.approx([0, 0.2, 0.2, 0.2, -1, -1, -1, 0, 0])


def test_uniform_pressure_beyond_a_profile_adds_nothing_and_forces_do_work():
    """Two nodes lifted by 0.1 and 0.2 under forces of 2 and 3 downwards: work of -0.8."""
    forces = np.array([[0.0, -2.0], [1.0, -3.0]])
    ends = (np.array([0]), np.array([1]))
    shifted = np.array([[0.0, 0.1, 0.0], [0.5, 0.2, 0.0]])
    points = np.array([[0.0, 0.0], [1.0, 0.0]])
    dead = Loading(None, 0.1, np.zeros(2), ends, forces)
    assert dead.energy(points, shifted) == pytest.approx(0.8 - 0.5)
    assert dead.lift(points) == -5.0
    even = Loading(Profile((0.0, 1.0), (1.0, 1.0)), 0.1, np.zeros(2), ends, forces)
    assert even.energy(points, shifted) == pytest.approx(dead.energy(points, shifted))


def test_the_energy_of_a_profile_is_the_integral_of_its_pressure_over_what_is_displaced():
    """A lopsided polygon of eight sides, outer face 0.1 outside: -x of a side over the integral of
    pressure beyond the uniform one, by SciPy along each side."""
    angle = np.arange(8) * np.pi / 4 - np.pi / 2
    points = np.column_stack([np.cos(angle) + 0.2 * np.sin(2 * angle + 1), np.sin(angle)])
    tangents = angle + np.pi / 2
    load = Loading(
        Profile((-2.0, 2.0), (1.0, 0.0)),
        0.1,
        tangents,
        (np.arange(8), np.roll(np.arange(8), -1)),
        np.zeros((8, 2)),
    )
    face = points + 0.1 * np.column_stack([np.cos(angle), np.sin(angle)])
    ahead = np.roll(face, -1, 0)

    def integral(height):
        """Of the share less 1, (2 - h)/4 - 1, from the level -2 on."""
        return -((height + 2) ** 2) / 8

    def along(share, a, b):
        return integral(a[1] + share * (b[1] - a[1])) * (b[0] - a[0])

    sides = [quad(along, 0, 1, (a, b))[0] for a, b in zip(face, ahead, strict=True)]
    assert load.energy(points, np.zeros((8, 3))) == pytest.approx(-sum(sides))
    # Archimedes: a quarter of the greatest pressure a radius, over the area within the face.
    area = 0.5 * np.sum(face[:, 0] * ahead[:, 1] - ahead[:, 0] * face[:, 1])
    assert load.lift(points) == pytest.approx(area / 4)


def test_the_slopes_of_a_loading_are_those_of_its_energy():
    """Central differences by displacements and turns of a pentagon under water and dead forces."""
    rng = np.random.default_rng(4)
    angle = np.arange(5) * 2 * np.pi / 5
    shape = np.column_stack([np.cos(angle), np.sin(angle)])
    forces = rng.normal(size=(5, 2))
    ends = (np.arange(5), np.roll(np.arange(5), -1))
    load = Loading(WATER, 0.1, angle + np.pi / 2, ends, forces)
    at, step, pressure = 0.1 * rng.normal(size=(5, 3)), 1e-6, 0.7

    def energy(moved):
        return load.energy(shape + moved[:, :2], moved)

    def slopes(moved):
        vectors, matrices = 2 * np.ones((5, 6)), 3 * np.ones((5, 6, 6))
        of_nodes = load.add_to(vectors, matrices, pressure, shape + moved[:, :2], moved)
        whole, curve = np.zeros((5, 3)), np.zeros((15, 15))
        whole[:, :2] += of_nodes
        for element, (one, two) in enumerate(zip(*ends, strict=True)):
            places = [*range(3 * one, 3 * one + 3), *range(3 * two, 3 * two + 3)]
            whole.ravel()[places] += vectors[element] - 2
            curve[np.ix_(places, places)] += (matrices[element] - 3) / pressure
        return whole.ravel(), curve

    slope, curve = slopes(at)
    for place in range(15):
        move = np.zeros(15)
        move[place] = step
        ahead, behind = at + move.reshape(5, 3), at - move.reshape(5, 3)
        rise = (energy(ahead) - energy(behind)) / (2 * step)
        assert slope[place] == pytest.approx(rise, abs=1e-7)
        rise = (slopes(ahead)[0] - slopes(behind)[0]) / (2 * step)
        assert curve[place] == pytest.approx(rise, abs=1e-7)


@pytest.mark.parametrize("both_ways", [False, True])
def test_contact_pressure_is_the_slope_of_its_energy(both_ways):
    contact = Contact(Cavity(1.0, 1.0), 300.0, 0.02, both_ways)
    depth = np.array([-0.03, -0.001, 0.004, 0.0199, 0.0201, 0.07])
    pressure, slope = contact.pressure(depth)
    step = 1e-7
    energy = (contact.energy(depth + step) - contact.energy(depth - step)) / (2 * step)
    assert pressure == pytest.approx(energy, abs=1e-5)
    whole = [quad(lambda x: float(contact.pressure(np.array(x))[0]), 0, each)[0] for each in depth]
    assert contact.energy(depth) == pytest.approx(whole)
    rise = (contact.pressure(depth + step)[0] - contact.pressure(depth - step)[0]) / (2 * step)
    assert slope == pytest.approx(rise, rel=1e-4, abs=1e-3)
    if both_ways:
        assert pressure == pytest.approx(300 * depth)
    else:
        # Past the softening, as if it began in the middle of it.
        assert pressure[:3] == pytest.approx([0, 0, 300 * 0.004**2 / 0.04])
        assert pressure[4:] == pytest.approx(300 * (depth[4:] - 0.01))


def test_what_is_filled_is_taken_from_the_distance():
    """Of a circle of the radius 2: parallel to it at d inside, 1/(2 - d) is the curvature."""
    points = np.array([[1.5, 0.0], [0.0, -1.2]])
    distance, normal, turning = Contact(Cavity(2.0, 2.0), 1.0, 1.0, filled=0.1).distance(points)
    assert distance == pytest.approx([0.4, 0.7])
    assert normal == pytest.approx(np.array([[1.0, 0.0], [0.0, -1.0]]))
    assert turning == pytest.approx([1 / 1.5, 1 / 1.2])


# Shape


@pytest.mark.parametrize("full", [False, True])
def test_a_stress_free_shape_keeps_gap_and_bulge_and_has_equal_elements(full):
    """A bulge of depth d: d cos^2 of the angle from the crown, by arc; skewed, the side before the
    crown is the narrower. In a circle of 1 the points lie at 1 - offset - depth."""
    bulge = Bulge(0.05, 0.6, 0.2)
    shape = stress_free_shape(Cavity(1.0, 1.0), 0.1, bulge, 90, full)
    angle = np.arange(180 if full else 91) * np.pi / 90 - np.pi / 2
    off = (angle - np.pi / 2 + np.pi) % (2 * np.pi) - np.pi
    half = 0.6 * (1 + 0.2 * np.sign(off) if full else 1)
    depth = np.where(np.abs(off) < half, 0.05 * np.cos(np.pi * off / half / 2) ** 2, 0)
    radius = 1 - 0.1 - depth
    assert shape.points == pytest.approx(
        radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)]), abs=1e-9
    )
    slope = np.where(np.abs(off) < half, 0.05 * np.pi / half / 2 * np.sin(np.pi * off / half), 0)
    # dr/d(angle) over r turns the tangent inwards of the circle's.
    tangents = angle + np.pi / 2 - np.arctan2(slope, radius)
    assert np.exp(1j * shape.tangents) == pytest.approx(np.exp(1j * tangents), abs=1e-8)


def test_an_oval_stress_free_shape_is_parallel_to_its_wall_in_equal_steps():
    cavity = Cavity(1.05, 0.95)
    shape = stress_free_shape(cavity, 0.08, Bulge(0.0, 0.5, 0.0), 120, False)
    assert cavity.nearest(shape.points)[0] == pytest.approx(np.full(121, 0.08), abs=1e-6)
    steps = np.hypot(*np.diff(shape.points, axis=0).T)
    assert steps == pytest.approx(np.full(120, steps.mean()), rel=2e-4)
    # A parallel curve is shorter by its distance times the turn.
    perimeter = quad(lambda t: np.hypot(1.05 * np.sin(t), 0.95 * np.cos(t)), 0, np.pi)[0]
    assert steps.sum() == pytest.approx(perimeter - 0.08 * np.pi, rel=1e-4)
    normal, _ = cavity.outward(np.linspace(-1, 1, 5))
    assert np.hypot(*normal.T) == pytest.approx(np.ones(5))


def test_the_tangents_of_an_oval_shape_with_a_bulge_are_those_of_its_points():
    """By NumPy's differences of many points; the bulge spans half of the ring."""
    shape = stress_free_shape(Cavity(1.1, 0.9), 0.08, Bulge(0.05, 1.5, 0.0), 4000, False)
    run, rise = np.gradient(shape.points, axis=0).T
    off = np.exp(1j * (np.arctan2(rise, run) - shape.tangents))[2:-2]
    assert np.abs(np.angle(off)).max() < 1e-4


# A case and its numbers


def test_what_is_not_stated_of_a_liner():
    """A round, tight one in 80 elements, with a bulge of 0.1 % over 40 degrees, of Poisson's ratio
    0.3, under pressure on its outer face: `docs/buckling.md`."""
    liner = Case(40.0, 0.0, 0.0, 0.001, 0.3, math.radians(20), 0.0, 80, False, "outer face")
    assert Case(40.0) == liner
    stated = collapse(40.0, 0.0, 0.0, 0.001, 0.3, 80, False, "outer face", False)
    assert collapse(40.0, check_mesh=False).solution.case == stated.solution.case
    assert stated.solution.case == liner
    # Of a full ring the bulge is skewed by a tenth.
    full = collapse(40.0, elements=40, full_ring=True, check_mesh=False).solution.case
    assert full == replace(liner, elements=40, full_ring=True, bulge_skew=0.1)


def test_a_case_in_numbers_by_hand():
    """t = 2/DR; p = 2 K E*/(DR - 1)^3; Glock 1977, 1.0025 (DR - 1)^-2.2, and a fifth more."""
    case = Case(41.0, 0.01, 0.02, 0.03)
    assert case.thickness == pytest.approx(2 / 41)
    assert case.enhancement(2 * 7 / 40**3) == pytest.approx(7)
    assert case.glock == pytest.approx(1.0025 * 40**-2.2)
    assert case.perfect == pytest.approx(1.2 * case.glock)
    # The outer half of the wall gives under a pressure that falls off to nothing at its inside.
    assert pytest.approx(quad(lambda z: 1 - z, 0, 0.5)[0]) == GIVE
    ring = case.ring()
    up = np.zeros(ring.numbers.unknowns)
    up[ring.numbers.of_nodes[-1, 1]] = 0.02
    assert case.inward(ring, SimpleNamespace(vector=up)) == pytest.approx(-0.02)
    stiff = CONTACT_STIFFNESS * case.thickness
    assert ring.contact.stiffness == pytest.approx(1 / (1 / stiff + GIVE * case.thickness))
    assert ring.contact.softening == pytest.approx(CONTACT_SOFTENING * case.glock / case.thickness)
    assert ring.holding == pytest.approx((HOLDING * case.thickness**3 / 12,) * 2)
    assert ring.contact.cavity == Cavity(1.02, 0.98)
    assert ring.shape.points[0, 1] == pytest.approx(-(0.98 - 0.01 - case.thickness / 2))
    assert ring.shape.points[-1, 1] == pytest.approx(0.98 - 0.01 - 0.03 - case.thickness / 2)


def test_a_tight_round_liner_is_not_spoilt_and_a_gap_moves_its_nodes_inwards():
    assert not _spoilt(Case(40.0, imperfection=0.0)).any()
    off = _spoilt(Case(40.0, 0.02, imperfection=0.0))
    assert np.hypot(off[:, 0], off[:, 1]) == pytest.approx(np.full(81, 0.02))
    assert off[[0, -1], 1] == pytest.approx([0.02, -0.02])
    assert off[:, 2] == pytest.approx(np.zeros(81), abs=1e-9)


def test_the_deepest_of_a_ring_at_rest_is_what_its_gap_leaves_and_not_its_bulge():
    """A gap of 0.5 % of the radius, and a bulge of 2 % that stands off further still."""
    ring = Case(60.0, 0.005, 0.0, 0.02).ring()
    assert ring.deepest(np.zeros(ring.numbers.unknowns)) == pytest.approx(-0.005, rel=0.01)


def test_unknowns_moved_to_another_case_put_the_wall_at_the_same_place():
    old, new = Case(40.0, 0.01, 0.0, 0.02), Case(40.0, 0.01, 0.0, 0.02, elements=40)
    vector = 1e-3 * np.random.default_rng(2).normal(size=old.ring().numbers.unknowns)
    spread = old.ring().numbers.spread(vector)
    assert new.ring().numbers.spread(moved(old, vector, new)) == pytest.approx(spread[::2])
    wider = Case(40.0, 0.03, 0.0, 0.02)
    back = moved(wider, moved(old, vector, wider), old)
    assert back == pytest.approx(vector, abs=1e-12)
    there = wider.ring().numbers.spread(moved(old, vector, wider))
    inner = wider.ring().shape.points + there[:, :2]
    assert inner[1:-1] == pytest.approx((old.ring().shape.points + spread[:, :2])[1:-1])


@pytest.mark.parametrize(
    ("count", "full", "fixed"),
    [(7, False, (0, 2)), (7, False, (0, 1)), (8, True, (0, 2)), (9, True, (0, 2))],
)
def test_sums_over_elements_are_those_of_a_dense_matrix(count, full, fixed):
    numbers = numbering(count, full, fixed)
    first = list(range(count if full else count - 1))
    pairs = [(each, (each + 1) % count) for each in first]
    free = [3 * count - 4, 3 * count][full]
    assert numbers.unknowns == free
    assert sorted(numbers.of_nodes[numbers.of_nodes >= 0]) == list(range(free))
    if not full:
        for end in (0, -1):
            assert [j for j in range(3) if numbers.of_nodes[end, j] < 0] == list(fixed)
    random = np.random.default_rng(count)
    elements, nodes = random.normal(size=(len(pairs), 6, 6)), random.normal(size=(count, 2, 2))
    dense = np.zeros((3 * count, 3 * count))
    for matrix, (one, two) in zip(elements, pairs, strict=True):
        places = [*range(3 * one, 3 * one + 3), *range(3 * two, 3 * two + 3)]
        dense[np.ix_(places, places)] += matrix
    for node, matrix in enumerate(nodes):
        dense[np.ix_([3 * node, 3 * node + 1], [3 * node, 3 * node + 1])] += matrix
    number = numbers.of_nodes.ravel()
    order = np.argsort(number)[np.sort(number) >= 0]
    matrix = dense[np.ix_(order, order)]
    rows, columns = np.nonzero(np.abs(matrix) > 1e-12)
    width = np.abs(rows - columns).max()
    assert numbers.bandwidth == width
    if full:
        assert width < 12
    stored = numbers.stored(elements, nodes)
    assert stored.shape == (3 * width + 1, free)
    for row, column in zip(rows, columns, strict=True):
        assert stored[2 * width + row - column, column] == pytest.approx(matrix[row, column])
    right = random.normal(size=free)
    band = stored[width:]
    assert matrix @ solve_banded((width, width), band, right) == pytest.approx(right)
    vectors, of_nodes = random.normal(size=(len(pairs), 2, 6)), random.normal(size=(2, count, 2))
    for which, found in enumerate(numbers.vectors(vectors, of_nodes)):
        summed = np.zeros((count, 3))
        summed[:, :2] = of_nodes[which]
        for vector, (one, two) in zip(vectors[:, which], pairs, strict=True):
            summed[one] += vector[:3]
            summed[two] += vector[3:]
        assert found == pytest.approx(summed.ravel()[order])
    met = np.bincount([each for pair in pairs for each in pair], minlength=count)
    assert numbers.meeting == pytest.approx(met)
    assert numbers.spread(right).ravel()[order] == pytest.approx(right)


def test_a_full_ring_is_numbered_from_the_invert_on_both_sides_in_turn():
    """Right, left, right ... up to the crown, whose unknowns come last."""
    for order in ([0, 1, 5, 2, 4, 3], [0, 1, 6, 2, 5, 3, 4]):
        of_nodes = numbering(len(order), True, (0, 2)).of_nodes
        assert of_nodes[order].ravel().tolist() == list(range(3 * len(order)))


# Creep


def test_a_creep_law_that_is_not_stated_halves_the_modulus_from_1_h_to_50_years():
    """A year of 365 days; Findley's exponent is then 0.2, and chains reach ten lives."""
    assert YEAR == 365 * 24
    assert Law() == Law(POWER, 0.5, 1.0, 50 * YEAR, 0.2, ())
    assert FARTHEST == 10.0


def test_laws_of_creep_at_their_ends():
    """Nothing creeps before t0; a test's last slope is carried on; all retain their share."""
    power = Law(POWER, 0.4, 10.0, 1e5)
    assert power.compliance([0.1, 10.0, 1e5]) == pytest.approx([1, 1, 2.5])
    assert power.compliance([1e3]) == pytest.approx([2.5**0.5])
    findley = Law(FINDLEY, 0.4, life=1e4, exponent=0.5)
    assert findley.compliance([0.0, 1e2, 1e4]) == pytest.approx([1, 1 + 1.5 * 0.1, 2.5])
    solid = Law(ONE_TIME, 0.4, 100.0, 1e3)
    grown = 1.5 / (1 - math.exp(-10))
    assert solid.compliance([0.0, 100.0, 1e3]) == pytest.approx(
        [1, 1 + grown * (1 - math.exp(-1)), 2.5]
    )
    curve = Law(TEST, t0=1.0, curve=((1.0, 1.0), (100.0, 0.8), (1e4, 0.4)))
    assert curve.compliance([0.5, 1.0, 10.0, 100.0, 1e3, 1e4]) == pytest.approx(
        [1, 1, 0.8**-0.5, 1.25, 1.25 * 2**0.5, 2.5]
    )
    # Half in two decades, so a quarter in four.
    assert curve.compliance([1e6]) == pytest.approx([5.0])


@pytest.mark.parametrize(
    ("t0", "decades", "count"), [(10.0, 5.0, 21), (1.0, 4.99, 20), (0.1, 6.34, 25)]
)
def test_times_of_retardation_are_three_a_decade_from_a_tenth_of_t0_to_ten_times_the_last(
    t0, decades, count
):
    """The last time is ten lives; as many whole thirds of a decade as there are between."""
    law = Law(FINDLEY, 0.4, t0, t0 * 10**decades / 10, exponent=0.3)
    places = (np.log10(chain_of(law).times / t0) + 1) * count / (decades + 2)
    assert places == pytest.approx(np.round(places), abs=1e-6)
    assert places[0] == pytest.approx(0, abs=1e-6)
    assert count - 3 <= places[-1] <= count + 1e-6
    assert len(places) > count / 2


def test_the_chain_of_one_retardation_time_is_that_solid_itself():
    """Retained 0.4 at 1,000 h, ten times of retardation: 1.5 = a (1 - exp(-10))."""
    chain = chain_of(Law(ONE_TIME, 0.4, 100.0, 1e3))
    assert chain.compliances == pytest.approx([1.5 / (1 - math.exp(-10))], rel=1e-12)
    assert chain.times == pytest.approx([100.0])


def test_a_law_that_no_chain_has_is_refused():
    """A modulus that falls to a tenth at once: springs and dashpots take at least a decade."""
    sudden = Law(TEST, t0=1.0, curve=((1.0, 1.0), (1000.0, 1.0), (1010.0, 0.1), (1e5, 0.1)))
    with pytest.raises(ArithmeticError, match=r"misses the law by [1-9]\d* %"):
        chain_of(sudden)


def test_a_step_without_new_stress_lets_strains_fade():
    """One Kelvin element, a and T, under a stress of 2: the strain is 2 a (1 - exp(-t/T)); what one
    taken off evenly over T leaves is its integral."""
    chain = Chain(np.array([0.7]), np.array([50.0]))
    assert chain.compliance([0.0, 50.0]) == pytest.approx([1, 1 + 0.7 * (1 - math.exp(-1))])
    one = 2 * np.ones((3, 2))
    held = Memory(chain, one).after(50.0, one)
    assert held.strains[0] == pytest.approx(0.7 * (1 - math.exp(-1)) * one)
    fading = Memory(chain, one).after(50.0, 0 * one)
    fallen = quad(lambda s: 0.7 / 50 * math.exp(-(50 - s) / 50) * (1 - s / 50), 0, 50)[0]
    assert fading.strains[0] == pytest.approx(fallen * one)
    # `before` tells the same of a stress still to be found.
    rest, of_one = held.before(20.0)
    after = held.after(20.0, 3 * one)
    assert after.strains[0] == pytest.approx(rest + 3 * of_one * one)


def test_the_energy_residual_is_a_share_of_what_is_stored():
    """Works of 1 and 2 on steps over areas of 3 and 4, against 2.5 stored: a fifth too much."""
    points = [SimpleNamespace(vector=i) for i in range(3)]
    states = [SimpleNamespace(area=a, stored=s) for a, s in ((0.0, 0.0), (3.0, 9.0), (7.0, 2.5))]
    works = {(0, 1, 3.0): 1.0, (1, 2, 4.0): 2.0}
    path = SimpleNamespace(
        points=points,
        ring=SimpleNamespace(energies=lambda vector: states[vector]),
        work=lambda first, last, area: works[first.vector, last.vector, area],
    )
    assert energy_residual(SimpleNamespace(path=path)) == pytest.approx(0.2)
