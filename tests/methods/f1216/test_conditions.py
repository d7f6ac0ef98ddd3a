"""When each check applies, at the borders: a height or percentage of a billionth is none."""

from itertools import product

import pytest

from linerdesign.expressions import tree
from linerdesign.methods.f1216 import checks, gravity, ovality
from linerdesign.methods.f1216.properties import SPECIFICATIONS

NONE, SOME = (0.0, 1e-9), (2e-9, 3.0)


def holds(condition, *values):
    return bool(tree.evaluate(condition.tree, dict(zip(condition.arguments, values, strict=True))))


def test_water_and_ovality_count_from_more_than_a_hair():
    for h in NONE:
        assert not holds(checks.WATER, h)
        assert holds(checks.NO_WATER, h)
        assert not holds(checks.OVAL, h)
    for h in SOME:
        assert holds(checks.WATER, h)
        assert not holds(checks.NO_WATER, h)
        assert holds(checks.OVAL, h)
    for h, q in product(NONE + SOME, NONE + SOME):
        assert holds(checks.OVAL_UNDER_WATER, h, q) is (h in SOME and q in SOME)


def test_bending_has_a_factor_where_pressure_and_tension_are_more_than_rounding():
    for P, q, stress in product((0.0, 5.0), (0.0, 2.0), (-3.0, 0.5e-12, 2e-12, 9.0)):
        assert holds(checks.BENT, P, q, stress) is (P > 0 and q > 0 and stress > 1e-12)


@pytest.mark.parametrize("t_6", [0.9, 1.0, 1.1])
@pytest.mark.parametrize("t_7", [0.9, 1.0, 1.1])
def test_one_of_three_answers_to_the_internal_pressure(t_6, t_7):
    """X1.6 where it asks for more than the turn at 1; else X1.7 up to the turn; else the turn."""
    rules = {
        "X1.6": holds(checks.PLATE_RULES, t_6, 1.0),
        "X1.7": holds(checks.TENSION_RULES, t_6, t_7, 1.0),
        "X1.5": holds(checks.HOLE_RULES, t_6, t_7, 1.0),
    }
    expected = "X1.6" if t_6 > 1 else "X1.5" if t_7 > 1 else "X1.7"
    assert [number for number, rule in rules.items() if rule] == [expected]


@pytest.mark.parametrize(
    ("q", "sound"), [(0.0, True), (1e-9, True), (0.02, False), (0.199, False), (0.2, True)]
)
def test_an_ovality_under_a_fifth_of_a_percent_is_a_fraction_as_written(q, sound):
    assert holds(ovality.FRACTION.holds, q) is sound


@pytest.mark.parametrize(
    ("DR", "most", "h", "sound"),
    [
        (100.0, 100.0, 5.0, True),
        (100.1, 100.0, 5.0, False),
        (100.1, 100.0, 1e-9, True),
        (100.1, 100.0, 2e-9, False),
    ],
)
def test_a_wall_that_groundwater_alone_makes_sufficient(DR, most, h, sound):
    assert holds(gravity.THIN[1].holds, DR, most, h) is sound


@pytest.mark.parametrize(
    ("N", "r_E", "sound"),
    [(2.0, 66.0, True), (1.5, 50.0, True), (1.49, 50.0, False), (3, 100, True)],
)
def test_the_factor_on_the_short_term_resistance(N, r_E, sound):
    """N over the share retained, at least 3: 1.5/0.5."""
    assert holds(gravity.LONG_TERM_FACTOR.holds, N, r_E) is sound


@pytest.mark.parametrize(("system", "foot"), [("US", 12), ("SI", 1000)])
def test_water_over_the_ground_is_flagged(system, foot):
    """10 over the crown of a pipe 2 high: ground at 12 over the invert."""
    limit = gravity.FLOODED[system].holds
    assert holds(limit, 12.0, 10.0, 2.0 * foot)
    assert not holds(limit, 12.01, 10.0, 2.0 * foot)


def test_initial_properties_by_the_specifications():
    """ASTM F1216, table 1: 250,000 psi, 4,500 psi, 3,000 psi; F2019, from memory."""
    assert SPECIFICATIONS["F1216"].values == {"E": 250_000, "sigma": 4_500, "sigma_T": 3_000}
    assert SPECIFICATIONS["F2019"].values == {"E": 725_000, "sigma": 6_500, "sigma_T": 9_000}
    assert SPECIFICATIONS["none"].values == {}
