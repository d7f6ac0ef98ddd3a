"""Path, solution and limits on von Mises's truss, whose path is a cubic (textbook).

One unknown x, the apex inwards; the pressure of equilibrium is p = x (x - 1) (x - 2). It has its
limit points at x = 1 -+ 1/sqrt 3, where p is +-2/(3 sqrt 3), and falls in between.
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import brentq

from linerdesign.findings import finding
from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.collapse import Collapse, _faults, _refuse_bad_input
from linerdesign.methods.ring.creep import POWER, Law
from linerdesign.methods.ring.lasting import Lasting, _Shrinkage
from linerdesign.methods.ring.path import NoEquilibriumError, Path, Scale
from linerdesign.methods.ring.ring import Energies, State
from linerdesign.methods.ring.solving import Solution, _snaps, energy_residual
from linerdesign.methods.ring.strength import (
    Demand,
    Limit,
    deflected,
    level_at,
    resistance,
    strength_of,
)
from linerdesign.methods.ring.study import AXES, POISSON, STRESSES, _first, inside
from linerdesign.methods.ring.wall import Wall

TOP = 2 / (3 * math.sqrt(3))
AT_TOP = 1 - 1 / math.sqrt(3)


def pressure(x):
    return x * (x - 1) * (x - 2)


class Truss:
    """The truss as a ring: fibres compressed by 0.1 x and stretched by 0.04 x."""

    thickness = 0.0
    tributary = np.ones(1)
    numbers = SimpleNamespace(
        of_nodes=np.array([[0, -1, -1]]),
        unknowns=1,
        bandwidth=0,
        spread=lambda vector: np.array([[vector[0], 0.0, 0.0]]),
    )

    def state(self, vector, p):
        x = vector[0]
        slope = 3 * x**2 - 6 * x + 2
        return State(np.array([pressure(x)]), np.array([-1.0]), np.array([[slope]]))

    def energies(self, vector):
        x = vector[0]
        return Energies(x**4 / 4 - x**3 + x**2, 0.0, 0.0, -x)

    def deepest(self, vector):
        return 1.0

    def fibre_stresses(self, vector, p):
        return np.array([-0.1, 0.04]) * vector[0]


CASE = SimpleNamespace(
    gap=0.0, thickness=0.1, inward=lambda ring, point: point.vector[0], ring=lambda: None
)


def followed(until=2.2):
    path = Path(Truss(), Scale(1.0, TOP))
    path.start()
    assert path.follow(lambda points: points[-1].vector[0] > until) == ""
    return path


@pytest.fixture(scope="module")
def path():
    return followed()


@pytest.fixture(scope="module")
def solution(path):
    points = path.points
    place = next(i for i, each in enumerate(points) if each.pressure_rate < 0)
    limit = path.limit_between(points[place - 1], points[place])
    return Solution(CASE, path, limit, points[place - 1], (), "")


def test_every_point_of_the_path_is_in_equilibrium_and_on_one_branch(path):
    """Past both limit points and down to below no pressure; tangents are those of the cubic."""
    x = np.array([point.vector[0] for point in path.points])
    p = np.array([point.pressure for point in path.points])
    assert p == pytest.approx(pressure(x), abs=1e-5)
    assert np.all(np.diff(x) > 0)
    assert p.min() < -0.9 * TOP
    rates = np.array([[point.direction[0], point.pressure_rate] for point in path.points])
    slope = 3 * x**2 - 6 * x + 2
    assert rates[:, 1] / rates[:, 0] == pytest.approx(slope, abs=1e-4)
    lengths = np.hypot(rates[:, 0], rates[:, 1] / TOP)
    assert lengths == pytest.approx(np.ones(len(x)))
    assert [point.area_rate for point in path.points] == pytest.approx(-rates[:, 0])
    # The sign of the determinant times that of the rate never changes on one branch.
    assert {point.branch for point in path.points} == {1.0}
    steps = np.hypot(np.diff(x), np.diff(p) / TOP)
    assert steps.max() < 1.2 * 0.15


def test_a_step_that_would_pass_the_wall_ends_just_behind_it(path, monkeypatch):
    """The wall at x = 0.3, met in a straight line: 5 % further; a short step meets nothing."""
    monkeypatch.setattr(path.ring, "deepest", lambda vector: vector[0] - 0.3, raising=False)
    point = path.points[2]
    x, rate = point.vector[0], point.direction[0]
    assert path._to_first_touch(point, 5.0) == pytest.approx(1.05 * (0.3 - x) / rate)
    assert path._to_first_touch(point, 0.5 * (0.3 - x) / rate) == math.inf


def test_limit_points_are_those_of_the_cubic(path, solution):
    assert solution.limit.pressure == pytest.approx(TOP, rel=2e-4)
    assert solution.limit.vector[0] == pytest.approx(AT_TOP, abs=0.02)
    for place in (2, 5, 8):
        assert path.limit_near(path.points[place]).pressure == pytest.approx(TOP, rel=2e-4)
    late = next(point for point in path.points if point.vector[0] > 0.6)
    assert path.limit_near(late).pressure == pytest.approx(TOP, rel=2e-4)


def test_points_of_a_given_pressure_or_place_are_found(path, solution):
    wanted = 0.7 * TOP
    root = brentq(lambda x: pressure(x) - wanted, 0, AT_TOP)
    found = solution.point_at_pressure(wanted)
    assert (found.vector[0], found.pressure) == pytest.approx((root, wanted), abs=1e-5)
    assert solution.point_at_pressure(1.001 * TOP) is None
    assert solution.point_at_pressure(0.0).vector[0] == pytest.approx(0.0, abs=1e-9)
    about = solution.about(wanted)
    assert about[0] == pytest.approx(root, abs=0.02)
    under = path.under(np.array([root + 0.05]), wanted)
    assert under.vector[0] == pytest.approx(root, abs=1e-5)
    sideways = path.settled(np.array([root]), 0.6 * TOP, np.array([2.0]))
    assert sideways.vector[0] == pytest.approx(root, abs=1e-9)
    assert sideways.pressure == pytest.approx(wanted)
    near = path.crossing_near(path.points[3], lambda at: at.vector[0] / 0.3 - 1)
    assert near.vector[0] == pytest.approx(0.3, rel=1e-4)
    back = path.crossing_near(solution.limit, lambda at: at.vector[0] / 0.3 - 1)
    assert back.pressure == pytest.approx(pressure(0.3), rel=1e-4)
    before, after = solution.rising[2:4]
    middle = (before.pressure + after.pressure) / 2
    between = path.at_pressure(before, after, middle)
    assert between.vector[0] == pytest.approx(
        brentq(lambda x: pressure(x) - middle, 0, AT_TOP), abs=1e-5
    )
    cross = path.crossing(before, after, lambda at: at.pressure / middle - 1)
    assert cross.pressure == pytest.approx(middle, rel=1e-4)
    step = path.ahead(0.05, path.points[0])
    x, p = step.vector[0], step.pressure
    first = path.points[0]
    # Square to the tangent at its start, 0.05 along it.
    along = first.direction[0] * x + first.pressure_rate * p / TOP**2
    assert along == pytest.approx(0.05)


def test_the_work_of_a_step_is_that_of_two_cubics(path):
    """Of pressure and of area over the arc, with the rates of both ends, by SciPy."""
    one, two = path.points[4], path.points[6]
    arc = math.hypot(two.vector[0] - one.vector[0], (two.pressure - one.pressure) / TOP)
    areas = -one.vector[0], -two.vector[0]
    p = CubicHermiteSpline(
        [0, arc], [one.pressure, two.pressure], [one.pressure_rate, two.pressure_rate]
    )
    area = CubicHermiteSpline([0, arc], areas, [one.area_rate, two.area_rate])
    work = quad(lambda s: -p(s) * area(s, 1), 0, arc)[0]
    assert path.work(one, two, areas[1] - areas[0]) == pytest.approx(work)
    vector, there = path._cubic(one, two, 0.3, arc)
    x = CubicHermiteSpline(
        [0, arc], [one.vector[0], two.vector[0]], [one.direction[0], two.direction[0]]
    )
    assert (vector[0], there) == pytest.approx((float(x(0.3 * arc)), float(p(0.3 * arc))))
    stored = [path.ring.energies(each.vector).stored for each in (one, two)]
    assert path._off_balance(one, two) == pytest.approx(
        abs(work - stored[1] + stored[0]) / stored[1], abs=1e-9
    )


def test_the_energy_of_the_path_balances():
    path = followed(1.0)
    found = energy_residual(Solution(CASE, path, None, None, (), ""))
    assert abs(found) < 1e-3


def test_stiffness_below_nothing_is_a_direction_in_which_it_moves_off(path):
    """Between the limit points the slope of the cubic is negative."""
    for point in path.points[1:]:
        falls = 3 * point.vector[0] ** 2 - 6 * point.vector[0] + 2 < 0
        assert path.unstable_directions(point) == int(falls)


# Limits


def test_stress_is_reached_where_the_fibre_says(solution):
    """Compression 0.1 x: 0.02 at x = 0.2; tension 0.04 x: 0.012 at x = 0.3."""
    for stress, kind, x in ((0.02, 0, 0.2), (0.012, 1, 0.3)):
        point, p = solution.point_at_stress(stress, kind)
        assert point.vector[0] == pytest.approx(x, rel=1e-4)
        assert p == pytest.approx(pressure(x), rel=1e-4)
        assert solution.pressure_at_stress(stress, kind) == pytest.approx(pressure(x), rel=0.03)
    assert solution.point_at_stress(0.1, 0) is None
    assert solution.pressure_at_stress(0.1, 0) == math.inf
    assert solution.greatest_stresses(solution.limit) == pytest.approx(
        (0.1 * solution.limit.vector[0], 0.04 * solution.limit.vector[0])
    )
    found = strength_of(solution, 0.02, pressure(0.1))
    assert found.compression == found.first == pytest.approx(pressure(0.2), rel=1e-4)
    assert found.tension is None
    assert found.at_design == pytest.approx(0.01, rel=1e-3)
    assert found.at_collapse == pytest.approx(0.1 * solution.limit.vector[0])
    assert strength_of(solution, 1.0, 0.0).at_design == 0.0
    assert strength_of(solution, 1.0, 2 * TOP).at_design is None
    assert strength_of(solution, 1.0, TOP).first is None


@pytest.mark.parametrize(
    ("demand", "limit", "expected"),
    [
        (Demand(0.1, 2.0, None), Limit.STABILITY, TOP),
        (Demand(0.1, 2.0, 1.0), Limit.STABILITY, TOP),
        # 0.02 at x = 0.2 under 0.288; half of it at x = 0.1 under 0.171, which twice is more.
        (Demand(0.1, 2.0, 0.02), Limit.COMPRESSION, pressure(0.2)),
        # Twice the pressure at x = 0.08 is 0.283.
        (Demand(0.1, 2.0, None, 0.08), Limit.DEFLECTION, 2 * pressure(0.08)),
        (Demand(0.1, 2.0, 0.02, 0.08), Limit.DEFLECTION, 2 * pressure(0.08)),
        (Demand(0.1, 2.0, 0.02, 0.09), Limit.COMPRESSION, pressure(0.2)),
    ],
)
def test_the_least_of_the_limits_decides(solution, demand, limit, expected):
    found = resistance(solution, demand)
    assert found.limit is limit
    assert found.pressure == pytest.approx(expected, rel=3e-4)
    if limit is Limit.COMPRESSION:
        assert (found.factor, found.level) == (1.0, 0.02)
        assert found.point.vector[0] == pytest.approx(0.2, rel=1e-4)
    if limit is Limit.DEFLECTION:
        assert (found.factor, found.level) == (2.0, demand.deflection)
        assert found.point.pressure == pytest.approx(expected / 2, rel=3e-4)


def test_a_limit_of_deflection_counts_where_the_path_first_reaches_it(solution):
    assert deflected(solution, Demand(0.1, 2.0, None)) == []
    assert deflected(solution, Demand(0.1, 2.0, None, 0.9)) == []
    (found,) = deflected(solution, Demand(0.1, 3.0, None, 0.2))
    assert found.pressure == pytest.approx(3 * pressure(0.2), rel=1e-4)
    nothing = Solution(CASE, solution.path, None, None, (), "")
    with pytest.raises(NoEquilibriumError):
        resistance(nothing, Demand(0.1, 2.0, None))


def test_where_stress_and_deflection_are_to_be_looked_at():
    assert Demand(1.0, 2.5, 0.1).factors == {1.0, 2.5}
    assert Demand(1.0, 2.5, 0.1, 0.2).factors == {1.0, 2.5}
    assert Demand(1.0, 2.5, None, 0.2).factors == {2.5}
    assert Demand(1.0, 2.5, None).factors == set()
    assert Demand(1.0, 2.5, None).enough is None


def test_a_limit_is_set_on_stress_of_its_kind_or_on_the_movement(path):
    point = path.points[4]
    x = point.vector[0]
    levels = (Limit.COMPRESSION, Limit.TENSION, Limit.DEFLECTION)
    found = [level_at(each, CASE, path, point) for each in levels]
    assert found == pytest.approx([0.1 * x, 0.04 * x, x])


def test_a_path_is_long_enough_at_each_of_its_ends():
    """Points are pressure and inward movement; the wall is 0.1, the limit of deflection 0.4."""

    def enough(*points, most=math.inf):
        path = [SimpleNamespace(pressure=p, vector=[x]) for p, x in points]
        return Demand(1.0, 2.0, None, 0.4, most).enough(CASE, path)

    assert not enough((1.0, 0.1), (1.5, 0.3))
    # Past twice the pressure at the limit of deflection.
    assert not enough((1.0, 0.4), (2.0, 0.5))
    assert enough((1.0, 0.4), (2.01, 0.5))
    # Fallen by over 5 %, once the bulge is deeper than gap and half the wall.
    assert enough((1.0, 0.03), (0.9499, 0.06))
    assert not enough((1.0, 0.03), (0.9501, 0.06))
    assert not enough((1.0, 0.03), (0.94, 0.05))
    assert not enough((1.0, 0.03), (0.95, 0.06))
    # The first point past the limit of deflection is the one that counts.
    assert not enough((0.5, 0.1), (1.0, 0.4), (2.0, 0.5))
    assert enough((6.1, 0.01), most=3.0)
    assert not enough((6.0, 0.01), most=3.0)


def test_jumps_are_falls_of_half_a_percent():
    points = [SimpleNamespace(pressure=p) for p in (1.0, 2.0, 1.99005, 3.0, 2.9, 4.0, 1.0)]
    assert _snaps(points, [1, 3, 5], [points[1], points[3]]) == (3.0,)
    deep = [SimpleNamespace(pressure=p) for p in (1.0, 2.0, 1.98995, 3.0)]
    assert _snaps(deep, [1, 3], [deep[1]]) == (2.0,)


# Beside the path


def test_the_section_is_that_of_a_thick_curved_beam():
    """Winkler by SciPy's integrals: per stress-free length of the middle line the energy is half of
    the integral of (e + z b)^2/(1 + z k). Timoshenko: 6 E I/(L (1 + 12 E I/(G A_s L^2))) resists a
    turn of both ends alike, G/E* = (1 - nu)/2 and A_s 5/6 of the area."""
    t, nu, length, k, stiffness = 0.08, 0.3, 0.2, 0.9, 0.6
    wall = Wall.of(t, nu, np.array([length]), np.array([k]), stiffness)

    def moment(order):
        return stiffness * quad(lambda z: z**order / (1 + z * k), -t / 2, t / 2)[0]

    assert wall.axial == pytest.approx(moment(0), rel=1e-6)
    assert wall.coupling == pytest.approx(moment(1), rel=1e-4)
    assert wall.bending == pytest.approx(moment(2), rel=1e-4)
    # What the curvature adds, over (k t)^2; of the axial stiffness without 1/12.
    square = (k * t) ** 2
    for found, by_quad in ((wall.bending, moment(2)), (wall.coupling / -k, moment(1) / -k)):
        added = [(each / stiffness / (t**3 / 12) - 1) / square for each in (found, by_quad)]
        assert added[0] == pytest.approx(added[1], rel=2e-3)
    added = [((each / stiffness / t - 1) / square - 1 / 12) for each in (wall.axial, moment(0))]
    assert added[0] == pytest.approx(added[1], rel=2e-3)
    rigid = moment(2) / stiffness
    soft = 12 * rigid / (5 / 6 * t * (1 - nu) / 2 * length**2)
    # Energy shear m^2/(2 L) with m = 2 turns.
    assert 4 * wall.shear / 2 == pytest.approx(6 * stiffness * rigid / (1 + soft), rel=1e-4)
    assert wall.slip == pytest.approx(0.5 * soft / (1 + soft), rel=1e-4)
    assert wall.opening == pytest.approx(k * length)
    assert wall.ratio == pytest.approx(nu / (1 - nu))
    # A wall compressed along the hoop thickens by nu/(1 - nu) of it: its outer half, by integral.
    assert wall.by_length == pytest.approx(-wall.ratio * quad(lambda z: 1, 0, t / 2)[0] / length)
    assert wall.by_turn == pytest.approx(-wall.ratio * quad(lambda z: z, 0, t / 2)[0] / length)
    strain, turn, total = np.array([0.01]), np.array([0.004]), np.array([0.002])
    outside = np.array([[0.001], [0.003]])
    outer, inner = wall.fibre_stresses(strain, turn, total, outside)
    change = wall.shear / wall.bending * total / length
    for end, sign in ((0, -1), (1, 1)):
        bent = turn / length + sign * change
        assert outer[end] == pytest.approx(
            (strain + t / 2 * bent) / (1 + t / 2 * k) - wall.ratio * outside[end]
        )
        assert inner[end] == pytest.approx((strain - t / 2 * bent) / (1 - t / 2 * k))


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({}, ""),
        ({"dimension_ratio": 10.0, "gap": 0.0, "ovality": 0.1, "imperfection": 0.03}, ""),
        ({"dimension_ratio": 150.0, "gap": 0.03, "ovality": 0.0, "imperfection": 0.0005}, ""),
        ({"poisson_ratio": 0.0}, ""),
        ({"poisson_ratio": 0.45}, ""),
        ({"gap": 0.031}, "gap is 0.031; the model has been checked from 0 to 0.03"),
        (
            {"imperfection": 0.0004},
            "imperfection is 0.0004; the model has been checked from 0.0005",
        ),
        ({"elements": 40}, ""),
        ({"elements": 320}, ""),
        ({"elements": 39}, "elements is 39; 40 to 320 are allowed"),
        ({"elements": 321}, "elements is 321; 40 to 320 are allowed"),
        ({"pressure_on": "inside"}, "pressure_on is 'inside'; use one of"),
    ],
)
def test_input_of_the_model_at_its_borders(changed, fault):
    given = {
        "dimension_ratio": 40.0,
        "gap": 0.01,
        "ovality": 0.02,
        "imperfection": 0.02,
        "poisson_ratio": 0.3,
    }
    elements, face = changed.pop("elements", 80), changed.pop("pressure_on", "outer face")
    if not fault:
        _refuse_bad_input(given | changed, elements, face)
        return
    with pytest.raises(ValueError, match="is") as refused:
        _refuse_bad_input(given | changed, elements, face)
    assert str(refused.value).startswith(fault)


def test_a_result_is_refused_by_each_of_its_checks():
    """Energy within 1 %, half the elements within 2 %."""
    good = SimpleNamespace(stopped="", limit=True)

    def codes(energy=0.0, mesh=0.0, check=True, solution=good):
        return [each.code for each in _faults(solution, energy, mesh, check)]

    assert codes() == codes(0.01, 0.02) == codes(-0.01, -0.02) == []
    assert codes(0.0101) == codes(-0.0101) == ["ring.energy_balance"]
    assert codes(0.0, 0.0201) == codes(0.0, -0.0201) == ["ring.mesh"]
    assert codes(0.0, None) == ["ring.coarse_mesh"]
    assert codes(0.0, None, False) == []
    lost = SimpleNamespace(stopped="no_limit", limit=None)
    assert codes(1.0, None, True, lost) == ["ring.no_limit"]
    (energy,) = _faults(good, 0.015, 0.0, True)
    assert "differ by 1.5 %" in energy.said
    (mesh,) = _faults(good, 0.0, 0.025, True)
    assert "changes the pressure by 2.5 %" in mesh.said
    percents = [dict(each.numbers)["percent"] for each in (energy, mesh)]
    assert percents == pytest.approx([1.5, 2.5])


def test_a_wall_between_two_moments_is_read_in_the_logarithm_of_time():
    """Half way between 1 + 9 and 1 + 999 in logarithms is 1 + 99."""
    times = np.array([0.0, 9.0, 999.0])
    stresses = np.array([[1.0, 0.5], [2.0, 3.0], [5.0, 4.0]])
    found = Lasting(times, np.array([0.0, 0.1, 0.3]), stresses, 1000.0)
    assert found.at(99.0) == pytest.approx((0.2, 4.0))
    assert found.at(0.0) == (0.0, 1.0)
    assert found.at(1000.0) == (0.3, 5.0)
    assert found.at(1000.1) is None
    assert Lasting(times, np.zeros(3), stresses, None).at(1e9) == (0.0, 5.0)


def test_a_gap_grows_as_the_wall_creeps_and_no_more_than_said():
    """Half the creep strain after half the logarithm of a compliance of (1.5 - 1)/(2 - 1)."""
    case = SimpleNamespace(gap=0.01, thickness=0.04)
    law = Law(POWER, 0.5, 1.0, 1e4)
    shrinkage = _Shrinkage(case, law, 0.003)
    half = 1e4 ** (math.log(1.5) / math.log(2))
    radius = 1 - 0.01 - 0.02
    assert shrinkage.strain(half) == pytest.approx(-0.0015 / radius)
    for late in (1e4, 1e5):
        assert shrinkage.strain(late) == pytest.approx(-0.003 / radius)
    assert shrinkage.strain(0.5) == 0.0
    assert _Shrinkage(case, law, 0.0).strain(1e4) == 0.0


def test_which_liners_the_table_covers():
    low = [axis[0] for axis in AXES.values()]
    high = [axis[-1] for axis in AXES.values()]
    assert (low[0], high[0]) == pytest.approx((10, 150))
    ends = np.array([[*low, POISSON[0]], [*high, POISSON[1]]])
    assert inside(*ends.T).tolist() == [True, True]
    for place in range(5):
        for row, factor in ((0, 1 - 1e-9), (1, 1 + 1e-9)):
            beyond = ends[row].copy()
            beyond[place] = beyond[place] * factor if beyond[place] else -1e-9
            assert inside(*beyond[:, None]).tolist() == [False]


def test_first_strength_is_read_between_stresses_and_in_proportion_below_them():
    """Logarithms of pressure that grow by half those of stress; collapse under 1."""
    logs = np.concatenate([[0.0], 0.5 * np.log(STRESSES)])
    rows = np.stack([logs] * 3)
    stress = np.array([0.01, STRESSES[0] / 4, STRESSES[3]])
    found = _first(rows, np.log(stress))
    assert found[0] == pytest.approx(0.1)
    assert found[1] == pytest.approx(math.sqrt(STRESSES[0]) / 4)
    assert found[2] == pytest.approx(math.sqrt(STRESSES[3]))
    # Collapse comes first within a thousandth.
    early = np.concatenate([[math.log(0.1)], 0.5 * np.log(STRESSES)])[None]
    assert _first(early, np.log([0.01])).tolist() == [math.inf]
    assert _first(early, np.log([0.0099]))[0] == pytest.approx(math.sqrt(0.0099))


def test_a_collapse_is_read_off_its_path_and_its_limit():
    """Points move in by what their vectors say; K = p (DR - 1)^3/2, 4 at 0.001 and DR 21."""
    points = [
        SimpleNamespace(vector=x, pressure=p) for x, p in ((0.0, 0.0), (0.1, 0.6), (0.3, 0.5))
    ]
    limit = SimpleNamespace(vector=0.2, pressure=0.7)
    ring = SimpleNamespace(
        shape=SimpleNamespace(points="stress-free"),
        positions=lambda vector: ("at", vector),
        touching=lambda vector: ("touching at", vector),
    )
    case = SimpleNamespace(
        inward=lambda own, at: at.vector if own is ring else None,
        enhancement=lambda ratio: Case(21.0).enhancement(ratio),
    )
    solution = SimpleNamespace(
        case=case,
        path=SimpleNamespace(points=points, ring=ring),
        limit=limit,
        rising=[points[0], points[1], limit],
    )
    found = Collapse(solution, 0.001, None, 0.0, None)
    assert found.converged
    assert found.enhancement_factor == pytest.approx(4.0)
    assert found.crown_displacement == 0.2
    assert found.displacements.tolist() == [0.0, 0.1, 0.3]
    assert found.pressure_ratios.tolist() == [0.0, 0.6, 0.5]
    assert found.initial_shape == "stress-free"
    assert (found.collapse_shape, found.in_contact) == (("at", 0.2), ("touching at", 0.2))
    refused = Collapse(solution, None, finding("ring.no_limit"), 0.0, None)
    assert (refused.converged, refused.enhancement_factor) == (False, None)
    assert refused.crown_displacement is None
