"""A budget of random projects against the other way; `tests/random_designs.py` runs longer."""

import random

import pytest
from random_designs import THICKER, disagreement, random_design, rewritten, thicknesses, thinner

SEEDS = range(1, 121)


@pytest.mark.parametrize("check", [disagreement, rewritten, thinner])
def test_random_projects(check):
    """Agreement to a billionth; the same in any units and datums; never thinner by more load."""
    assert not [said for seed in SEEDS if (said := check(seed))]


def test_the_projects_reach_every_equation():
    drawn = [random_design(random.Random(seed)) for seed in SEEDS]
    found = [thicknesses(x) for x in drawn]
    governing = {max(each, key=each.get) for each in found}
    assert governing >= {"X1.1", "X1.2", "X1.3", "X1.4", "DR limit", "X1.6", "X1.7"}
    assert {x.system for x in drawn} == {"US", "SI"}
    assert {x.earlier for x in drawn} == {x.dry_case for x in drawn} == {True, False}
    assert len(THICKER) > 10
