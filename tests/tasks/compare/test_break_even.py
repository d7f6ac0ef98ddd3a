"""Prices and thicknesses that cost as much as the reference, by hand from walls chosen for it.

A wall costs what its mass times the share bought times the price does, and the rest. Trunk is
100 m long and Lane 50 m; both are 200 mm wide.
"""

import math

import pytest
from tasks.compare.test_cells_by_hand import TERMS, town
from tasks.compare.test_report import read, wall

from linerdesign.methods.verdicts import FAILS
from linerdesign.tasks.compare.break_even import _thickness, break_evens
from linerdesign.tasks.compare.systems import Option

TUBE = '[resin.cost]\ntube_price = "9 USD/m"\nmobilisation = "100 USD"'


def even(reference=0, **more):
    """By system: what breaks even with the reference, A, B or C."""
    found = town(**more)
    made = break_evens(found.table, found.project.resins[reference], found.purchase)
    return {each.resin.name: each for each in made}


def thick(area):
    """The wall of that area in a pipe of 200 mm: t (200 - t) = A."""
    return 100 - math.sqrt(100**2 - area)


def test_every_other_system_against_the_first():
    """B: 50 x 150 and 900 once, against 60 x 100 and 45 x 50 of A; 20 kg/m x 150 x 0.5 x 1.1 are
    bought. C has a price by the metre alone, fails Lane, and costs 75 x 100 and 100 once."""
    tube = wall(7.0, 7.5, mass=None)
    fails = wall(8.0, 7.5, status=FAILS)
    found = even(town=read("USD", more=TERMS, bare=TUBE), C=(tube, tube), c=(fails, fails))
    assert list(found) == ["B", "C"]
    b, c = found.values()
    assert (b.pipes, b.cost, b.reference_cost, b.own_price) == (2, 8400, 8250, 6)
    assert b.price == pytest.approx(6 - 150 / 1650)
    per_kg = 0.5 * 1.1 * 6
    assert [name for name, _ in b.thicknesses] == ["Trunk", "Lane"]
    assert [t for _, t in b.thicknesses] == pytest.approx(
        [thick(195 * 5 * (1 + 10 / per_kg / 20)), thick(195 * 5 * (1 - 5 / per_kg / 20))]
    )
    assert (c.pipes, c.cost, c.reference_cost) == (1, 7600, 6000)
    assert (c.own_price, c.price, c.thicknesses) == (None, None, (("Trunk", None),))


def test_the_first_system_against_the_second():
    """Of A 80 % of the wall and 10 % more are bought at 3: 24 kg/m in Trunk, 18 in Lane."""
    found = even(reference=1)
    (a,) = found.values()
    assert (a.pipes, a.cost, a.reference_cost, a.own_price) == (2, 8250, 8400, 3)
    assert a.price == pytest.approx(3 + 150 / (0.8 * 1.1 * 3300))
    per_kg = 0.8 * 1.1 * 3
    assert [t for _, t in a.thicknesses] == pytest.approx(
        [thick(194 * 6 * (1 - 10 / per_kg / 24)), thick(195.5 * 4.5 * (1 + 5 / per_kg / 18))]
    )


def test_nothing_breaks_even_without_lengths_or_in_two_currencies():
    assert even(town=read("USD", length="", more=TERMS)) == {}
    assert even(town=read("EUR")) == {}
    # Without a cost a system is not among them, nor one without a pipe in common.
    assert list(even()) == ["B"]
    assert even(reference=1, a=(None, None), B=(None, None)) == {}


@pytest.mark.parametrize(
    ("theirs", "thickness"),
    [
        # The wall has 20 kg/m for 3.3 a kilogram: for 66 less there is nothing left of it.
        (100.0 - 66.0, None),
        (100.0 - 65.0, thick(195 * 5 * (1 - 65 / 66))),
        (100.0, 5.0),
        # 66 buy an area of 195 x 5; so does the rest up to one of 105 x 95.
        (34.0 + 66 * 105 * 95 / 975, 95.0),
        # Half the width is the thickest wall there is.
        (34.0 + 66 * 100 * 100 / 975, 100.0),
        (34.0 + 66 * 10_001 / 975, None),
        (20.0, None),
    ],
)
def test_the_thickness_for_the_money(theirs, thickness):
    found = town()
    option = Option(found.table[0][1].pipe, found.table[0][1].resin, wall(4.7, 5.0))
    made = _thickness(option, theirs, 100.0, found.purchase)
    assert made == (thickness and pytest.approx(thickness, abs=1e-3))
