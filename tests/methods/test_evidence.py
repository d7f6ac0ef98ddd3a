"""No equation or table without an outside check; no check that is said and not made."""

import ast
from collections import Counter
from pathlib import Path

import pytest
from evidence import Strength
from routes import NOTHING_BESIDE, ROUTES, other_routes, printed, routes_of_table
from to_verify import TO_VERIFY

from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.equation import Provenance
from linerdesign.methods.ground.published import FILES, published

TESTS = Path(__file__).parents[1]
TABLES = {name: table for file in FILES for name, table in published(file).items()}


def _name(equation):
    return f"{equation.number}, {equation.name}"


@pytest.mark.parametrize("route", ROUTES, ids=lambda route: route.test.rpartition("::")[2])
def test_the_test_of_a_route_exists(route):
    file, _, function = route.test.partition("::")
    tree = ast.parse((TESTS / file).read_text(encoding="utf-8"))
    assert function in {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


def test_a_test_is_named_once():
    assert max(Counter(route.test for route in ROUTES).values()) == 1


def test_routes_are_about_what_there_is():
    known = set(catalogue())
    for route in ROUTES:
        assert set(route.equations) <= known
        assert set(route.tables) <= TABLES.keys()
        named = bool(route.equations or route.tables)
        assert not named or route.holds is Strength.NUMBERS


def test_every_equation_and_table_has_an_outside_check():
    """Or stands in NOTHING_BESIDE with the reason, and then really has none."""
    bare = {_name(e) for e in catalogue() if not printed([e]) and not other_routes([e])}
    bare |= {f"table {name}" for name in TABLES if not routes_of_table(name)}
    assert bare == NOTHING_BESIDE.keys()
    assert all(NOTHING_BESIDE.values())


def test_whatever_is_from_memory_is_on_the_list_to_verify_once():
    recalled = [_name(each) for each in catalogue() if each.provenance is Provenance.MEMORY]
    listed = [_name(each) for row in TO_VERIFY for each in row.equations]
    assert Counter(listed) == Counter(recalled)
    tables = Counter(n for n, table in TABLES.items() if table.provenance is Provenance.MEMORY)
    assert Counter(name for row in TO_VERIFY for name in row.tables) == tables
