"""Whether a wall serves in a leg, by the rules of `leg_verdicts` one after the other."""

import pytest

from linerdesign.expressions.tree import Number, evaluate
from linerdesign.methods.legs import leg_verdicts

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
