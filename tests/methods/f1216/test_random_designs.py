"""A budget of random projects against the other way; `tests/random_designs.py` runs longer."""

import random

import pytest
from random_designs import CHECKS, THICKER, random_design

SEEDS = range(1, 141)


@pytest.mark.parametrize("check", CHECKS)
def test_random_projects(check):
    """Agreement to a billionth; the same in any units and datums; never thinner by more load."""
    assert not [said for seed in SEEDS if (said := check(seed))]


def test_the_projects_reach_every_equation_rule_and_table():
    drawn = [random_design(random.Random(seed)) for seed in SEEDS]
    found = [x.required for x in drawn]
    governing = {max(each, key=each.get) for each in found if each}
    assert governing >= {"X1.1", "X1.2", "X1.3", "X1.4", "DR limit", "X1.6", "X1.7"}
    assert {x.system for x in drawn} == {"US", "SI"}
    assert {x.earlier for x in drawn} == {x.dry_case for x in drawn} == {True, False}
    loads = [x.load["method"] if isinstance(x.load, dict) else x.load for x in drawn if x.load]
    assert len(set(loads)) >= 8
    soils = [x.soil for x in drawn if x.soil]
    assert any("compaction" in str(each) for each in soils)
    assert any("%" in str(each) for each in soils)
    assert {each["combining_table"] for each in soils if isinstance(each, dict)} == {"1996", "2005"}
    for key in ("sizes", "wall", "more", "above_ground", "readings", "vacuum"):
        assert {bool(getattr(x, key)) for x in drawn} == {True, False}, key
    assert len(THICKER) > 10
