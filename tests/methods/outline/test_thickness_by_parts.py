"""How a wall in a host of any shape is found and checked, on paths that are known beforehand."""

from dataclasses import dataclass, replace
from types import SimpleNamespace

import pytest

from linerdesign.methods.outline import thickness
from linerdesign.methods.outline.thickness import NotConvergedError, by_limit, held, required
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.solving import Solution
from linerdesign.methods.ring.strength import Demand, Limit, Reached, Required

DEMAND = Demand(1.0, 2.0, 0.1)


@dataclass(frozen=True)
class Wall:
    name: str = "a"
    dimension_ratio: float = 40.0
    elements: int = 160

    def inward(self, ring, point):
        return 0.01 * point.pressure

    def path(self):
        return SimpleNamespace(case=self)


def solution(case=None, stopped="", last=3.0, limit=4.0, reached=(3.5, 2.5)):
    """Stresses of a point are 0.02 and 0.03 of its pressure; strength is reached as said."""
    point = SimpleNamespace(pressure=last)
    return SimpleNamespace(
        case=case or Wall(),
        stopped=stopped,
        path=SimpleNamespace(points=[None, None, point], ring="ring"),
        limit=None if limit is None else SimpleNamespace(pressure=limit),
        greatest_stresses=lambda at: (0.02 * at.pressure, 0.03 * at.pressure),
        point_at_pressure=lambda p: SimpleNamespace(pressure=p) if p <= last else None,
        point_at_stress=lambda stress, kind: reached[kind] and ("point", reached[kind]),
    )


@pytest.fixture
def checked(monkeypatch):
    """`held` on a path with this change by the mesh and this residual of energy."""

    def take(path, mesh=0.0, energy=0.0, demand=DEMAND):
        reached = Reached(Limit.STABILITY, 4.0, SimpleNamespace(pressure=4.0))
        monkeypatch.setattr(thickness, "solve", lambda case, strength, enough: path)
        monkeypatch.setattr(thickness, "resistance", lambda path, demand: reached)
        monkeypatch.setattr(thickness, "meshed", lambda case, found: 4.0 * (1.0 + mesh))
        monkeypatch.setattr(thickness, "energy_residual", lambda path: energy)
        return held(path.case, demand)

    return take


def test_a_wall_that_is_held_says_all_of_its_limits(checked):
    found = checked(solution(), 0.01, -0.005)
    assert found.decides.limit is Limit.STABILITY
    assert (found.mesh, found.energy) == (pytest.approx(0.01), -0.005)
    assert (found.stress, found.movement) == pytest.approx((0.03, 0.01))
    assert (found.first, found.collapse) == (2.5, 4.0)
    assert checked(solution(reached=(2.0, 2.5))).first == 2.0
    assert checked(solution(reached=(None, 2.5))).first == 2.5
    assert checked(solution(reached=(None, None), limit=None)).first is None
    assert checked(solution(limit=None)).collapse is None
    assert checked(solution(), demand=Demand(1.0, 2.0, None)).first is None
    above = checked(solution(last=0.5))
    assert (above.stress, above.movement) == (None, None)


@pytest.mark.parametrize(
    ("mesh", "energy", "reason"),
    [
        (0.0199, 0.0, None),
        (-0.0199, 0.01, None),
        (0.0201, 0.0, "mesh"),
        (-0.0201, 0.0, "mesh"),
        (0.0, 0.0101, "energy_balance"),
        (0.0, -0.0101, "energy_balance"),
    ],
)
def test_a_wall_is_refused_by_its_checks(checked, mesh, energy, reason):
    """Two percent by the mesh, one by the energy."""
    if reason is None:
        assert checked(solution(), mesh, energy)
        return
    with pytest.raises(NotConvergedError, match=reason):
        checked(solution(), mesh, energy)


def test_a_path_that_is_lost_is_refused(checked, monkeypatch):
    with pytest.raises(NotConvergedError, match="branches"):
        checked(solution(stopped="branches"))
    lost = solution()
    lost.point_at_pressure = lambda p: (_ for _ in ()).throw(NoEquilibriumError)
    with pytest.raises(NotConvergedError, match="no_equilibrium"):
        checked(lost)


@pytest.mark.parametrize(("last", "most"), [(12.1, 6.0), (12.0, 6.0)])
def test_where_the_greatest_pressure_comes_first_its_stress_is_compared(
    checked, monkeypatch, last, most
):
    """Six times twice the pressure is 12: past it there is no limit, and 2.42 % more stress."""
    demand = Demand(1.0, 2.0, 0.1, most=most)
    carried = []

    def carry(case, point, coarse, find):
        carried.append((case, point, coarse))
        at = SimpleNamespace(pressure=0.0)
        sought = SimpleNamespace(crossing_near=lambda point, measure: (point, measure(at)))
        assert find(sought, "start") == ("start", -1.0)
        return "there"

    monkeypatch.setattr(thickness, "carried", carry)
    stress = 0.03 * last * 1.01
    monkeypatch.setattr(thickness, "greatest_stresses", lambda path, at: (0.001, stress))
    path = solution(last=last)
    found = checked(path, mesh=0.005, demand=demand)
    if last == 12.0:
        assert (found.decides.limit, found.mesh) == (Limit.STABILITY, pytest.approx(0.005))
        assert not carried
        return
    assert (found.decides.limit, found.decides.pressure) == (Limit.NONE, last)
    assert found.decides.point is path.path.points[-1]
    assert found.mesh == pytest.approx(0.01)
    assert carried == [(path.case, path.path.points[-1], replace(path.case, elements=80))]


def test_a_mesh_that_loses_the_limit_is_followed_anew(checked, monkeypatch):
    """3.96 with half the elements is 1 % less than 4."""
    solved = []

    def solve(case, strength, enough):
        solved.append(case.elements)
        return solution(case)

    def lost(case, reached):
        raise NoEquilibriumError

    def resistance(path, demand):
        return Reached(Limit.STABILITY, {160: 4.0, 80: 3.96}[path.case.elements], None)

    for name, made in (("solve", solve), ("meshed", lost), ("resistance", resistance)):
        monkeypatch.setattr(thickness, name, made)
    monkeypatch.setattr(thickness, "HostedCase", Wall)
    monkeypatch.setattr(thickness, "energy_residual", lambda path: 0.0)
    assert held(Wall(), DEMAND).mesh == pytest.approx(-0.01)
    assert solved == [160, 80]


@pytest.fixture
def resisting(monkeypatch):
    """Walls a, b ... that resist as named here, and need the ratio named."""

    def take(resist, need):
        tried = []

        def solve(case, strength, enough):
            tried.append((case.name, case.dimension_ratio, case.elements))
            return SimpleNamespace(case=case, stopped="")

        def resistance(path, demand):
            pressure = resist[path.case.name, path.case.elements]
            if pressure is None:
                raise NoEquilibriumError
            return SimpleNamespace(pressure=pressure)

        def ratio(path, demand, least, most):
            assert (least, most) == (12.0, 150.0)
            return Required(need[path.case.name], Limit.TENSION)

        monkeypatch.setattr(thickness, "solve", solve)
        monkeypatch.setattr(thickness, "resistance", resistance)
        monkeypatch.setattr(thickness, "required_ratio", ratio)
        cases = [Wall(name) for name in need]
        return (*required(cases, Demand(0.5, 4.0, 0.1), 12.0), tried)

    return take


def test_the_weakest_case_of_lobes_decides_by_one_percent(resisting):
    """Four times the pressure of 0.5 is wanted: 1.98 is enough for the first wall's thickness."""
    case, found, tried = resisting({("b", 80): 1.9801}, {"a": 45.0, "b": 30.0})
    assert (case, found) == (Wall("a", 45.0), Required(45.0, Limit.TENSION))
    assert tried == [("a", 40.0, 160), ("b", 45.0, 80)]
    assert resisting({("b", 80): 0.99 * 4.0 * 0.5}, {"a": 45.0, "b": 30.0})[0] == case
    case, found, tried = resisting({("b", 80): 1.9799}, {"a": 45.0, "b": 30.0})
    assert (case, found.dimension_ratio) == (Wall("b", 30.0), 30.0)
    assert tried[-1] == ("b", 45.0, 160)
    # Where half the elements lose it, all of them are tried.
    case, _, _ = resisting({("b", 80): None, ("b", 160): 1.0}, {"a": 45.0, "b": 30.0})
    assert case == Wall("b", 30.0)
    with pytest.raises(NotConvergedError, match="no_equilibrium"):
        resisting({("b", 80): None, ("b", 160): None}, {"a": 45.0, "b": 30.0})
    # Each next case is held against the weakest so far.
    case, _, tried = resisting({("b", 80): 1.0, ("c", 80): 1.0}, {"a": 45.0, "b": 30.0, "c": 20.0})
    assert case == Wall("c", 20.0)
    assert ("c", 30.0, 80) in tried


def test_a_wall_too_thin_at_its_thickest_ends_the_search(resisting):
    case, found, tried = resisting({}, {"a": None, "b": 30.0})
    assert (case, found.dimension_ratio) == (Wall("a", 12.0), None)
    assert tried == [("a", 40.0, 160)]


def test_a_thickness_that_is_not_found_says_so(monkeypatch):
    def lost(*about):
        raise NoEquilibriumError

    monkeypatch.setattr(thickness, "solve", lambda *about: SimpleNamespace(stopped=""))
    monkeypatch.setattr(thickness, "required_ratio", lost)
    with pytest.raises(NotConvergedError, match="no_thickness"):
        required([Wall()], DEMAND)


def test_the_thickness_by_each_limit_alone(monkeypatch):
    """Followed to N times the pressure; a limit that is not reached has none."""
    deflection = Reached(Limit.DEFLECTION, 5.0, "d")
    stress = Reached(Limit.TENSION, 3.0, "s")
    monkeypatch.setattr(thickness, "deflected", lambda path, demand: [deflection])
    monkeypatch.setattr(
        thickness, "_strengths", lambda *about: by_strength.append(about) or [stress]
    )
    limit = SimpleNamespace(pressure=6.0)
    asked, by_strength = [], []

    def elastic(case, strength, enough):
        asked.append((case, strength, enough))
        return SimpleNamespace(limit=limit)

    def followed(case, reached, wanted, ends):
        assert (case, wanted) == (Wall(), 2.0)
        assert ends == pytest.approx((2.302585, 5.010635))
        if reached is deflection:
            return SimpleNamespace(reached=None)
        ratio = {3.0: 33.0, 6.0: 66.0}[reached.pressure]
        return SimpleNamespace(reached=reached, case=Wall("x", ratio))

    monkeypatch.setattr(thickness, "solve", elastic)
    monkeypatch.setattr(thickness, "followed", followed)
    at = SimpleNamespace(solution="path", case=Wall())
    assert by_limit(at, Demand(0.5, 4.0, 0.1, 0.02)) == {
        Limit.DEFLECTION: None,
        Limit.TENSION: 33.0,
        Limit.STABILITY: 66.0,
    }
    assert by_strength == [("path", Demand(0.5, 4.0, 0.1))]
    ((case, strength, enough),) = asked
    assert (case, strength) == (Wall(), None)
    # The elastic path has been followed far enough once a quarter of the radius is passed upwards.
    wide = SimpleNamespace(gap=1.0, thickness=0.1, ring=lambda: 0, inward=lambda ring, at: at.moved)
    for first, last, told in ((0.249, 0.2499, False), (0.2, 0.2501, False), (0.2501, 0.26, True)):
        ends = (
            SimpleNamespace(pressure=1.0, moved=first),
            SimpleNamespace(pressure=1.1, moved=last),
        )
        assert enough(wide, ends) is told
        assert enough(wide, [ends[0], SimpleNamespace(pressure=0.9, moved=last)]) is False
    limit = None
    assert by_limit(at, DEMAND)[Limit.STABILITY] is None


def test_strength_by_itself_leaves_the_limit_point_out(monkeypatch):
    asked = []

    def resistance(path, demand):
        asked.append((path.limit, demand))
        if demand is not DEMAND:
            raise NoEquilibriumError
        return "stress"

    monkeypatch.setattr(thickness, "resistance", resistance)
    path = Solution("case", "path", "limit", "before", (), "")
    assert thickness._strengths(path, DEMAND) == ["stress"]
    assert thickness._strengths(path, replace(DEMAND, strength=None)) == []
    assert [limit for limit, _ in asked] == [None, None]
