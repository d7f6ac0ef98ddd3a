"""Whether a wall serves in a leg, by the rules of `leg_verdicts` one after the other."""

from types import SimpleNamespace

import pytest

from linerdesign.expressions.tree import Choice, Number, Symbol, evaluate
from linerdesign.methods.legs import leg_verdicts, wall_trees
from linerdesign.methods.result import LegResult, Legs, PipeResult, Tube

SERVES = {"D_leg": 4.0, "D_tube": 4.0, "t": 0.2, "needed": 0.2, "passes": True, "R_bend": 8.0}


@pytest.mark.parametrize(
    ("leg", "serves"),
    [
        ({}, True),
        ({"passes": False}, False),
        ({"needed": 0.201}, False),
        # Stretched by 12.5 % where 10 % are allowed, and by 10 %.
        ({"D_leg": 4.5, "x_stretch": 12.5}, False),
        ({"D_leg": 4.4, "x_stretch": 10.0}, True),
        # No bend can turn about a line within the pipe, or along its inner side.
        ({"R_bend": 2.1}, True),
        ({"R_bend": 2.0}, False),
        ({"R_bend": 1.9}, False),
    ],
)
def test_a_wall_serves_where_every_rule_is_met(leg, serves):
    tree = leg_verdicts(Number(0.1), most=10.0, bent=True, allowed=True)["serves"]
    assert bool(evaluate(tree, {**SERVES, "x_stretch": 0.0, **leg})) is serves


def test_no_wall_serves_at_a_temperature_that_is_not_allowed():
    tree = leg_verdicts(Number(0.1), most=None, bent=False, allowed=False)["serves"]
    assert not evaluate(tree, SERVES)


def test_diameters_within_half_a_percent_stretch_nothing():
    tree = leg_verdicts(Number(0.1), most=0.2, bent=False, allowed=True)["serves"]
    assert evaluate(tree, {**SERVES, "D_leg": 4.01, "x_stretch": 0.25})
    assert not evaluate(tree, {**SERVES, "D_leg": 4.03, "x_stretch": 0.75})


def leg(at="0 ft", wall=0.2, required=0.2, minimum=0.0, allowed=True, checks=(True,), **values):
    known = {"D_leg": 4.0, "t_leg": wall} | values
    passing = tuple(SimpleNamespace(passes=each) for each in checks)
    about = {"inputs": (), "lines": (), "governing": "X1.1", "safety_factor": 2.0, "findings": ()}
    return LegResult(
        at=at,
        values=known,
        required=required,
        minimum=minimum,
        checks=passing,
        system_allows=allowed,
        **about,
    )


@pytest.mark.parametrize(
    ("made", "passes"),
    [
        (leg(), True),
        (leg(wall=0.2 * (1 - 0.5e-9)), True),
        (leg(wall=0.199), False),
        (leg(minimum=0.21), False),
        (leg(minimum=0.2), True),
        (leg(allowed=False), False),
        (leg(checks=(True, False)), False),
        (leg(checks=()), True),
        # Round a bend the outer side is the thinnest.
        (leg(t_bend_out=0.19, t_bend_in=0.22), False),
        (leg(wall=0.21, t_bend_out=0.2, t_bend_in=0.23), True),
    ],
)
def test_a_leg_passes_by_its_least_wall(made, passes):
    assert made.passes is passes


def test_the_walls_of_a_leg():
    straight, bent = leg(), leg(t_bend_out=0.18, t_bend_in=0.23, minimum=0.25)
    assert (straight.diameter, straight.delivered) == (4.0, 0.2)
    assert (straight.least, straight.most, straight.needed) == (0.2, 0.2, 0.2)
    assert (bent.delivered, bent.least, bent.most, bent.needed) == (0.2, 0.18, 0.23, 0.25)


def legs(*made, factor=2.0):
    built = SimpleNamespace(own_safety_factor=factor)
    return Legs(Tube(4.0, 0.2), made, built, "q_pipe", place=lambda: ("placed",), propose=Tube)


def test_the_worst_leg_is_one_that_fails_or_has_least_over():
    """Ratios of wall to need: 1.0, 0.9, 1.1; one of 1.2 that the system does not allow."""
    one, short, long = leg("1"), leg("2", wall=0.18), leg("3", wall=0.22)
    refused = leg("4", wall=0.24, allowed=False)
    assert legs(one, long).worst is one
    assert legs(long, one, short).worst is short
    assert legs(long, refused, one).worst is refused
    assert legs(refused, long, short).worst is short
    free = leg("5", wall=0.3, required=0.0)
    assert legs(free, long).worst is long
    whole = legs(long, short, one)
    assert whole.names == ("3", "2", "1")
    assert whole.served == (True, False, True)
    assert not whole.passes
    assert legs(long, one).passes
    assert whole.places == ("placed",)


@pytest.mark.parametrize(
    ("own", "of_legs", "lowest"),
    [(2.5, 2.1, 2.1), (2.0, 2.1, 2.0), (None, 2.1, 2.1), (2.5, None, 2.5), (None, None, None)],
)
def test_the_lowest_factor_is_that_of_the_pipe_or_of_its_legs(own, of_legs, lowest):
    about = SimpleNamespace(own_safety_factor=own, legs=legs(factor=of_legs))
    assert PipeResult.lowest_safety_factor.fget(about) == lowest
    alone = SimpleNamespace(own_safety_factor=own, legs=None)
    assert PipeResult.lowest_safety_factor.fget(alone) == own


@pytest.mark.parametrize(
    ("leg_", "wall"), [(4.0, 0.2), (4.02, 0.2), (4.03, None), (3.9, 0.2), (4.4, None)]
)
@pytest.mark.parametrize("radius", [None, 12.0])
def test_the_wall_in_a_leg_from_that_of_the_tube(leg_, wall, radius):
    """Over half a percent the tube is stretched and keeps its area: D t - t^2 of 4 and 0.2 in.

    Round a bend of 12 in the outer side is longer by D/2 in 12 in.
    """
    trees = wall_trees(Number(leg_), Number(4.0), Number(0.2), radius)
    assert isinstance(trees["t_leg"], Choice)
    found = {}
    for key, tree in trees.items():
        found[key] = float(evaluate(tree, found))
    if wall is None:
        wall = (leg_ - (leg_**2 - 4 * 0.2 * 3.8) ** 0.5) / 2
    assert found["t_leg"] == pytest.approx(wall, rel=1e-9)
    assert found["x_stretch"] == pytest.approx(100 * (leg_ / 4 - 1))
    order = ["D_leg", "D_tube", "t_tube", "x_stretch", "t_leg"]
    assert list(trees) == order + (["R_bend", "x_bend", "t_bend_out"] if radius else [])
    if radius:
        assert found["t_bend_out"] == pytest.approx(wall / (1 + leg_ / 24), rel=1e-9)


def test_what_a_leg_needs_is_at_least_the_owners_minimum():
    for minimum, expected in ((0.1, 0.2), (0.3, 0.3)):
        tree = leg_verdicts(Symbol("minimum"), most=None, bent=False, allowed=True)["needed"]
        assert evaluate(tree, {"t_required": 0.2, "minimum": minimum}) == expected
