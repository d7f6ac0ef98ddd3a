"""What to buy, and where systems break even: tables by hand, and their cells recalculated.

A wall of 6 mm in a host of 200 mm has 24 kg/m and costs 60 a metre, one of 5 mm 20 kg/m and 50.
"""

import math
import re
from dataclasses import replace

import pytest
from tasks.compare.test_cells_by_hand import FOOT, POUND, town
from tasks.compare.test_report import bullets, grids, wall

from linerdesign.documents.blocks import Heading
from linerdesign.methods.verdicts import FAILS
from linerdesign.tasks.compare import live, live_choices
from linerdesign.tasks.compare.assignment import Assignment
from linerdesign.tasks.compare.break_even import break_evens
from linerdesign.tasks.compare.live_choices import Choices
from linerdesign.tasks.compare.purchase import blocks
from linerdesign.words import sentence

ONE = Assignment(1, 8250.4, ((0, 0), (1, 0)))
TWO = Assignment(2, 8149.6, ((0, 1), (1, 0)))


def said(code, **numbers):
    return sentence(f"compare.{code}", **numbers)


def bought(by="cost", system="SI", assignments=(), **more):
    found = town(by, system, **more)
    return replace(
        found,
        assignments=assignments,
        break_evens=break_evens(found.table, found.reference, found.purchase),
    )


def evaluated(cell, compared, row=None):
    """The value of a formula of a workbook, its names those of the cells of the comparison."""
    parts = (live.prices(compared), live.sizes(compared), live.amounts(compared))
    names = {c.name: c.value for each in parts for c in each.live.values() if c.name}
    text = re.sub(r"\[(\d)\]", lambda found: repr(row[int(found[1])].value), str(cell.formula))
    text = re.sub(r"(?<![<>])=", "==", text)
    functions = {
        "IF": lambda test, yes, no: yes if test else no,
        "MIN": min,
        "SQRT": lambda x: math.sqrt(x) if x >= 0 else math.nan,
    }
    return eval(text, functions, names)


def test_the_cheapest_with_so_many_systems():
    heading, grid, *_ = blocks(bought(assignments=(ONE, TWO)))
    assert heading == Heading(said("assignment"), 2)
    assert grid.caption == said("assignment_caption")
    assert grid.align == ">><"
    assert grid.columns[1] == "cost, USD"
    assert grid.rows == (
        ("1", "8,250", said("use", resin="Felt A [D]", count=2)),
        (
            *("2", "8,150"),
            f"{said('use', resin='Felt A [D]', count=1)}, {said('use', resin='B [D]', count=1)}",
        ),
    )
    assert grid.live.keys() == {(0, 1), (0, 2), (1, 1), (1, 2)}
    (yearly, *_) = grids(blocks(bought("annual-cost", assignments=(ONE,))))
    assert yearly.caption == said("assignment_annual")
    assert yearly.columns[1] == "cost, USD/yr"


def test_no_systems_that_serve_every_pipe():
    none = (Assignment(1, None, ()), Assignment(2, None, ()), replace(TWO, most=3))
    (grid, *_) = grids(blocks(bought(assignments=none)))
    assert grid.rows[:2] == (
        ("1", "-", said("infeasible_one")),
        ("2", "-", said("infeasible", most=2)),
    )
    assert bullets(blocks(bought(assignments=none))) == []
    assert bullets(blocks(bought(assignments=none[:2]))) == []
    left = Assignment(1, 5000.0, ((0, 0),))
    assert bullets(blocks(bought(assignments=(left,)))) == [
        said("assignment_left_out", names="Lane")
    ]


def root(area):
    """The smaller t of (200 - t) t = area."""
    return 100 - math.sqrt(100**2 - area)


# What 10 more, or 5 less, a metre buys: half the wall is resin, 10 % more is bought, at 6 a kg.
TRUNK = root(195 * 5 * (20 + 10 / 3.3) / 20)
LANE = root(195 * 5 * (20 - 5 / 3.3) / 20)


@pytest.mark.parametrize(("system", "mass", "per"), [("SI", "kg", 1.0), ("US", "lb", POUND)])
def test_where_a_system_breaks_even(system, mass, per):
    """A costs 8,250, B 8,400 with 900 once; of B 1,650 kg are bought."""
    found = bought(system=system)
    heading, grid, even = blocks(found)
    assert heading == Heading(said("break_even", reference="Felt A [D]"), 2)
    assert grid.caption == said("break_even_caption", unit=mass)
    assert grid.align == "<>>>>>"
    assert grid.columns[2:] == (
        *("cost, USD", "reference, USD", f"price, USD/{mass}", f"break-even, USD/{mass}"),
    )
    price = 6 - 150 / 1650
    assert grid.rows == (("B [D]", "2", "8,400", "8,250", f"{6 * per:.2f}", f"{price * per:.2f}"),)
    cells = {column: cell for (row, column), cell in grid.live.items() if row == 0}
    values = {2: 8400, 3: 8250, 4: 6 * per, 5: price * per}
    assert {column: cell.value for column, cell in cells.items()} == pytest.approx(values)
    for column, value in values.items():
        assert evaluated(cells[column], found, cells) == pytest.approx(value)
    assert even.caption == said("break_even_thickness")
    assert (even.align, even.repeat) == ("<>>", 1)
    assert even.columns == ("pipe", "B [D]", said("even"))
    assert even.rows == (("Trunk", "5.00", f"{TRUNK:.2f}"), ("Lane", "5.00", f"{LANE:.2f}"))
    assert even.live.keys() == {(0, 2), (1, 2)}
    for (row, _), cell in even.live.items():
        assert cell.value == pytest.approx((TRUNK, LANE)[row])
        assert evaluated(cell, found) == pytest.approx((TRUNK, LANE)[row], rel=1e-5)


def test_no_price_or_thickness_breaks_even():
    """B at 500 a metre costs more than A at any price; and no wall of it costs as little."""
    dear = (wall(4.0, 5.0, cost=500.0),) * 2
    found = bought(B=dear, b=dear)
    _, grid, even = blocks(found)
    assert grid.rows[0][5] == said("no_break_even")
    cells = {column: cell for (_, column), cell in grid.live.items()}
    assert cells[5].value == evaluated(cells[5], found, cells) == said("no_break_even")
    assert [row[2] for row in even.rows] == ["-", "-"]
    assert [evaluated(cell, found) for cell in even.live.values()] == ["-", "-"]
    assert [cell.value for cell in even.live.values()] == ["-", "-"]
    # For 10,000 a metre a wall would be thicker than the host is wide.
    found = bought(A=(wall(5.2, 6.0, cost=10_000.0),) * 2)
    _, _, even = blocks(found)
    assert even.rows[0][1:] == ("5.00", "-")
    assert (even.live[0, 2].value, evaluated(even.live[0, 2], found)) == ("-", "-")
    assert evaluated(even.live[1, 2], found) == pytest.approx(LANE, rel=1e-5)


def test_a_pipe_that_one_of_both_fails_is_left_out():
    """In the trunk alone: B costs 5,900, A 6,000."""
    found = bought(b=(wall(4.0, 5.0, status=FAILS),) * 2)
    _, grid, even = blocks(found)
    assert grid.rows[0][1:4] == ("1", "5,900", "6,000")
    cells = {column: cell for (_, column), cell in grid.live.items()}
    price = 6 + 100 / (0.55 * 20 * 100)
    assert evaluated(cells[5], found, cells) == pytest.approx(price)
    assert evaluated(cells[2], found) == 5900
    assert even.rows[1] == ("Lane", "-", "-")
    assert even.live.keys() == {(0, 2)}
    assert list(blocks(replace(found, break_evens=()))) == []


def test_a_resin_without_a_price_by_mass_has_no_price_that_breaks_even():
    found = bought()
    (each,) = found.break_evens
    bare = replace(each, own_price=None, price=None, thicknesses=(("Trunk", None), ("Lane", 0.1)))
    _, grid, even = blocks(replace(found, break_evens=(bare,)))
    assert grid.rows[0][4:] == ("-", "-")
    assert {column for _, column in grid.live} == {2, 3}
    assert [row[2] for row in even.rows] == ["-", "0.10"]


def test_the_choice_in_a_pipe_is_recalculated():
    found = bought()
    for i, (name, cost) in enumerate((("B [D]", 50), ("Felt A [D]", 45))):
        cells = Choices(found).choice(i)
        assert evaluated(cells[2], found) == pytest.approx(cost)
        assert cells[1].value == name
        text = str(cells[1].formula)
        assert text.count("IF(") == 2
    us = Choices(bought(system="US"))
    assert evaluated(us.choice(0)[2], us.compared) == pytest.approx(50 * FOOT)


def test_formulas_longer_than_a_cell_takes_are_left_out(monkeypatch):
    found = bought(assignments=(ONE, TWO))
    made = Choices(found)
    lengths = [len(str(cell.formula)) for cell in made.break_even(found.break_evens[0]).values()]
    chosen = len(str(made.choice(0)[1].formula))
    for most, kept in ((max(lengths), True), (max(lengths) - 1, False)):
        monkeypatch.setattr(live_choices, "LONGEST", most)
        assert bool(Choices(found).break_even(found.break_evens[0])) is kept
    longest = max(len(each.formula) for each in made.sets)
    for most, kept in ((longest, True), (longest - 1, False)):
        monkeypatch.setattr(live_choices, "LONGEST", most)
        assert bool(Choices(found).sets) is kept
    for most, kept in ((chosen, True), (chosen - 1, False)):
        monkeypatch.setattr(live_choices, "LONGEST", most)
        assert bool(Choices(found).choice(0)) is kept


def test_masses_longer_than_a_cell_takes_are_no_formula(monkeypatch):
    """The cost goes by the columns of a table, and is a formula of any number of pipes."""
    found = bought()
    each = next(each for each in found.order if each.resin.name == "B")
    totals = each.own
    cells = dict(live.total_cells(found, each, totals, False))
    length = len(cells["mass"].formula)
    for most, kept in ((length, True), (length - 1, False)):
        monkeypatch.setattr(live, "LONGEST", most)
        cells = dict(live.total_cells(found, each, totals, False))
        assert ("mass" in cells) is kept
        assert "cost" in cells


@pytest.mark.parametrize(
    ("price", "shown"), [(0.0, None), (0.004, "0.00"), (0.5, "0.50"), (-0.5, None)]
)
def test_a_price_under_one_is_one_and_none_is_none(price, shown):
    """At no price of its resin does a system break even whose rest costs as much alone."""
    found = bought()
    each = replace(found.break_evens[0], price=price)
    _, grid, _ = blocks(replace(found, break_evens=(each,)))
    assert grid.rows[0][5] == shown or (shown is None and grid.rows[0][5] == said("no_break_even"))
    value = Choices(found).break_even(each)[5].value
    assert value == (said("no_break_even") if shown is None else price)


def test_more_sets_than_a_workbook_takes_are_left_out(monkeypatch):
    found = bought(assignments=(ONE, TWO))
    assert len(Choices(found).sets) == 3
    assert live_choices.MOST_SETS == 200
    for most, kept in ((3, True), (2, False)):
        monkeypatch.setattr(live_choices, "MOST_SETS", most)
        assert bool(Choices(found).sets) is kept
