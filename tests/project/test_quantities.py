"""Mass and cost of a wall by hand.

A wall of 10 mm in a host of 210 mm has pi (210 - 10) 10 = 6283.185 mm2; of 1500 kg/m3 that are
9.424778 kg on a metre. A pound is 0.45359237 kg, a foot 0.3048 m.
"""

import math

import numpy as np
import pytest
from projects import RESIN

from linerdesign.interface import read
from linerdesign.project.quantities import (
    Purchase,
    annual_cost,
    carbon_per_length,
    cost_per_length,
    currencies,
    mass_per_length,
    mobilisation,
    tube_cost,
    yearly,
)

MASS = math.pi * 200 * 10 * 1e-6 * 1500


def resin(cost=None, **own):
    made = RESIN | own | ({} if cost is None else {"cost": cost})
    project = read({"project": {"title": "x"}, "resin": [made]}, needs_pipes=False)
    return project.resins[0]


DENSE = {"density": "1.5 g/cm^3"}


def test_the_mass_of_a_metre_of_wall():
    assert mass_per_length(210.0, 10.0, "mm", resin(**DENSE)) == pytest.approx(MASS)
    inches = mass_per_length(210 / 25.4, 10 / 25.4, "in", resin(**DENSE))
    assert inches == pytest.approx(MASS)
    assert mass_per_length(210.0, 10.0, "mm", resin()) is None
    both = mass_per_length(np.array([210.0, 410.0]), 10.0, "mm", resin(**DENSE))
    assert both == pytest.approx([MASS, 2 * MASS])


def test_the_carbon_of_a_metre_of_wall():
    stated = {"embodied_carbon": "5 kg/kg"}
    assert carbon_per_length(210.0, 10.0, resin(stated, **DENSE)) == pytest.approx(5 * MASS)
    assert carbon_per_length(210.0, 10.0, resin(stated)) is None
    assert carbon_per_length(210.0, 10.0, resin(**DENSE)) is None
    assert carbon_per_length(210.0, 10.0, resin({"tube_price": "1 EUR/m"}, **DENSE)) is None


@pytest.mark.parametrize(
    ("cost", "bought", "factor"),
    [
        (None, Purchase(), 1.0),
        (None, Purchase(0.8, 0.1), 0.88),
        # The resin's own share comes before that of the option.
        ({"resin_share_by_mass": "70 %"}, Purchase(0.8, 0.1), 0.77),
        ({"tube_price": "1 EUR/m"}, Purchase(0.8), 0.8),
    ],
)
def test_resin_bought_for_a_kilogram_of_wall(cost, bought, factor):
    assert bought.factor(resin(cost)) == pytest.approx(factor)


def test_the_cost_of_a_metre_of_wall():
    """Resin by mass and tube by length, as far as either has a price."""
    priced = DENSE | {"price": "4 EUR/lb"}
    by_mass = MASS * 0.8 * 4 / 0.45359237
    bought, tube = Purchase(0.8), {"tube_price": "3 EUR/ft"}
    assert cost_per_length(210.0, 10.0, resin(**priced), bought) == pytest.approx(by_mass)
    assert cost_per_length(210.0, 10.0, resin(tube, **priced), bought) == pytest.approx(
        by_mass + 3 / 0.3048
    )
    assert cost_per_length(210.0, 10.0, resin(tube), bought) == pytest.approx(3 / 0.3048)
    assert cost_per_length(210.0, 10.0, resin(tube, price="4 EUR/lb"), bought) is None
    assert cost_per_length(210.0, 10.0, resin(), bought) is None


# Prices in no order: the smallest size that covers is the one that is bought.
LISTED = {
    "tube": [
        {"diameter": "12 in", "thickness": "9 mm", "price": "50 EUR/m"},
        {"diameter": "8 in", "thickness": "6 mm", "price": "20 EUR/m"},
        {"diameter": "12 in", "thickness": "6 mm", "price": "40 EUR/m"},
        {"diameter": "8 in", "thickness": "9 mm", "price": "30 EUR/m"},
    ]
}


def test_the_price_of_a_tube_is_that_of_the_smallest_size_that_covers_it():
    listed = resin(LISTED)
    for diameter, thickness, price in (
        (203.2, 6.0, 20.0), (203.3, 6.0, 40.0), (203.2, 6.1, 30.0), (203.3, 6.1, 50.0),
        (150.0, 3.0, 20.0), (304.8, 9.0, 50.0),
    ):  # fmt: skip
        assert tube_cost(diameter, thickness, listed) == price
    assert math.isnan(tube_cost(304.9, 6.0, listed))
    assert math.isnan(tube_cost(200.0, 9.1, listed))
    many = tube_cost(np.array([200.0, 300.0, 400.0]), 6.0, listed)
    assert many[:2].tolist() == [20.0, 40.0]
    assert math.isnan(many[2])
    assert tube_cost(200.0, 6.0, resin()) is None
    assert tube_cost(200.0, 6.0, resin({"mobilisation": "5 EUR"})) is None
    assert tube_cost(200.0, 6.0, resin({"tube_price": "3 EUR/m"})) == pytest.approx(3.0)


def test_currencies_are_those_of_all_prices():
    cost = {"mobilisation": "5 GBP", "tube": [LISTED["tube"][0] | {"price": "5 CHF/m"}]}
    assert currencies([resin(cost, price="4 EUR/lb"), resin({"tube_price": "3 USD/ft"})]) == (
        "CHF", "EUR", "GBP", "USD",
    )  # fmt: skip
    assert currencies([resin(price="4 EUR/lb"), resin()]) == ("EUR",)


def test_mobilisation_is_nothing_where_it_is_not_stated():
    assert mobilisation(resin({"mobilisation": "5000 EUR"})) == 5000.0
    assert mobilisation(resin({"tube_price": "3 EUR/m"})) == 0.0
    assert mobilisation(resin()) == 0.0


def test_a_cost_as_yearly_payments():
    """Payments of 100 at 10 % over two years are worth 100/1.1 + 100/1.21 now."""
    now = 100 / 1.1 + 100 / 1.21
    assert annual_cost(now, 0.1, 2.0) == pytest.approx(100)
    assert annual_cost(now, 0.0, 2.0) == now / 2
    assert yearly(now, resin({"service_life": "2 yr"}), 0.1) == pytest.approx(100)
    assert yearly(now, resin({"tube_price": "3 EUR/m"}), 0.1) is None
    assert yearly(now, resin(), 0.1) is None
