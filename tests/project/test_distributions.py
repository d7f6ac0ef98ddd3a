"""Uncertainties as written against the distributions of SciPy, and what is refused."""

import math

import numpy as np
import pytest
from scipy import stats

from linerdesign.project.distributions import distribution, of_project, of_range
from linerdesign.project.faults import Refused
from linerdesign.project.keys import kind_of
from linerdesign.project.measures import Kind, parse_range

SHARES = np.array([0.001, 0.05, 0.2, 0.37, 0.5, 0.63, 0.8, 0.95, 0.999])


def triangle(low, mode, high):
    return stats.triang((mode - low) / (high - low), low, high - low)


def lognormal(mean, deviation):
    """By the moments of ln x: variance ln(1 + v^2), mean ln(mean) less half of it."""
    spread = math.sqrt(math.log1p((deviation / mean) ** 2))
    return stats.lognorm(spread, scale=math.exp(math.log(mean) - spread**2 / 2))


# Key, text, value of the project, unit, what the text means in it, the ends or mean -/+ 2 sd.
WRITTEN = [
    ("cover", "1 ft", 10.0, "ft", triangle(9, 10, 11), (9, 11)),
    ("cover", "10 %", 8.0, "ft", triangle(7.2, 8, 8.8), (7.2, 8.8)),
    ("groundwater_above_invert", "10 %", -8.0, "ft", triangle(-8.8, -8, -7.2), (-8.8, -7.2)),
    ("host_diameter", "1 in", 300.0, "mm", triangle(274.6, 300, 325.4), (274.6, 325.4)),
    ("ovality", "1 %", 3.0, "%", triangle(2, 3, 4), (2, 4)),
    ("poisson_ratio", "0.05", 0.3, "", triangle(0.25, 0.3, 0.35), (0.25, 0.35)),
    ("poisson_ratio", "0.25 to 0.35", 0.3, "", stats.uniform(0.25, 0.1), (0.25, 0.35)),
    ("poisson_ratio", "0 to 0.3", 0.3, "", stats.uniform(0, 0.3), (0, 0.3)),
    ("cover", "8 to 12 ft", 9.0, "ft", stats.uniform(8, 4), (8, 12)),
    ("cover", "96 in to 12 ft", 9.0, "ft", stats.uniform(8, 4), (8, 12)),
    ("ovality", "2 % to 5 %", 3.0, "%", stats.uniform(2, 3), (2, 5)),
    ("modulus_retention", "triangular 35 %, 50 %, 60 %", 45.0, "%", triangle(35, 50, 60), (35, 60)),
    ("cover", "triangular, 8 ft, 8 ft, 12 ft", 9.0, "ft", triangle(8, 8, 12), (8, 12)),
    ("cover", "triangular 8 ft, 144 in, 12 ft", 9.0, "ft", triangle(8, 12, 12), (8, 12)),
    ("cover", "normal, sd 2 ft", 12.0, "ft", stats.norm(12, 2), (8, 16)),
    ("cover", "normal 14 ft, sd 10 %", 12.0, "ft", stats.norm(14, 1.4), (11.2, 16.8)),
    ("ovality", "normal, 4 %, sd 0.5 %", 3.0, "%", stats.norm(4, 0.5), (3, 5)),
    ("cover", "lognormal, sd 25 %", 12.0, "ft", lognormal(12, 3), (6, 18)),
    ("cover", "lognormal 144 in, sd 2 ft", 9.0, "ft", lognormal(12, 2), (8, 16)),
]


@pytest.mark.parametrize(("key", "text", "value", "unit", "meant", "ends"), WRITTEN)
def test_a_text_means_the_distribution_that_it_names(key, text, value, unit, meant, ends):
    """No part of these is beyond what the quantity can be, or too little to see."""
    found = distribution(key, f" {text} ")
    expected = meant.ppf(SHARES)
    for kind in (None, kind_of(key)):
        assert found.quantiles(SHARES, value, unit, kind) == pytest.approx(expected, rel=1e-6)
    assert found.ends(value, unit) == pytest.approx(ends)
    assert found.half_width(value, unit) == pytest.approx((ends[1] - ends[0]) / 2)
    assert found.text == text


def test_what_lies_about_the_value_moves_with_it():
    about = {text: distribution(key, text).about_value for key, text, *_ in WRITTEN}
    assert {text for text, moves in about.items() if moves} == {
        "1 ft", "10 %", "1 in", "1 %", "0.05", "normal, sd 2 ft", "lognormal, sd 25 %"
    }  # fmt: skip


# Text, value of the project in ft, what it means whole, and the ends at which a quantity cuts it.
CUT = [
    ("4 ft", 1.0, triangle(-3, 1, 5), 0, math.inf),
    ("4 ft", 1.0, triangle(-3, 1, 5), 0, 3),
    ("4 ft", 1.0, triangle(-3, 1, 5), 0, 0.5),
    ("4 ft", -1.0, triangle(-5, -1, 3), 0, math.inf),
    ("4 ft", -1.0, triangle(-5, -1, 3), -math.inf, 2),
    ("triangular 0 ft, 0 ft, 4 ft", 1.0, triangle(0, 0, 4), 0, 3),
    ("triangular -2 ft, -2 ft, 4 ft", 1.0, triangle(-2, -2, 4), 0, math.inf),
    ("triangular -2 ft, 1 ft, 4 ft", 1.0, triangle(-2, 1, 4), 0, 3),
    ("triangular -2 ft, 4 ft, 4 ft", 1.0, triangle(-2, 4, 4), 0, 3),
    ("normal, sd 2 ft", 1.0, stats.norm(1, 2), 0, math.inf),
    ("normal, sd 2 ft", 1.0, stats.norm(1, 2), 0, 4),
    ("normal, sd 2 ft", 1.0, stats.norm(1, 2), -math.inf, 4),
    ("lognormal, sd 2 ft", 3.0, lognormal(3, 2), 0, math.inf),
    ("lognormal, sd 2 ft", 3.0, lognormal(3, 2), 0, 4),
    ("lognormal, sd 2 ft", 3.0, lognormal(3, 2), -math.inf, 4),
    ("lognormal 0.5 ft, sd 0.2 ft", 3.0, lognormal(0.5, 0.2), 0, 0.8),
]


@pytest.mark.parametrize(("text", "value", "meant", "least", "most"), CUT)
def test_a_distribution_is_cut_where_its_quantity_ends(text, value, meant, least, most):
    """Cut by its own distribution function: Q(s) = F^-1(F(least) + s (F(most) - F(least)))."""
    kind = Kind("height", "ft", "1", "ft", negative=least < 0, most=most)
    low, high = meant.cdf([least, most])
    found = distribution("groundwater_above_invert", text).quantiles(SHARES, value, "ft", kind)
    assert found == pytest.approx(meant.ppf(low + SHARES * (high - low)), rel=1e-7)


def test_a_part_of_a_value_of_zero_is_nothing():
    for text in ("10 %", "normal, sd 10 %", "lognormal, sd 10 %", "lognormal, sd 1 ft"):
        found = distribution("groundwater_above_invert", text).quantiles(SHARES, 0.0, "ft", None)
        assert found == pytest.approx(np.zeros(9), abs=1e-20), text


def test_no_share_is_infinite():
    """At 0 and 1 a normal value stays six to seven deviations away."""
    least, most = distribution("cover", "normal, sd 2 ft").quantiles([0, 1], 20.0, "ft", None)
    assert 6 < (20 - least) / 2 < 7
    assert most - 20 == pytest.approx(20 - least, rel=1e-6)


def test_values_at_places_each_have_their_own_distribution():
    places, shares = np.array([8.0, 12.0]), np.array([[0.2], [0.9]])
    for text in ("10 %", "normal, sd 10 %", "lognormal, sd 10 %", "triangular 1 ft, 2 ft, 4 ft"):
        made = distribution("cover", text)
        found = made.quantiles(shares, places, "ft", kind_of("cover"))
        each = [[made.quantiles(*s, v, "ft", None) for v in places] for s in shares]
        assert np.broadcast_to(found, (2, 2)) == pytest.approx(np.array(each)), text


def test_a_range_is_uniform_between_its_ends():
    found = of_range(parse_range("75000 to 180000 psi", "modulus"))
    assert found.ends(0.0, "psi") == (75_000, 180_000)
    assert found.quantiles(0.25, 0.0, "ksi", None) == pytest.approx(101.25)
    assert found.text == "75000 to 180000 psi"


def test_prices_are_of_a_kilogram_or_a_metre():
    """A pound is 0.45359237 kg, a foot 0.3048 m, by definition."""
    resin = distribution("price", "2 EUR/lb to 3 EUR/lb")
    assert [each.number * 0.45359237 for each in resin.numbers] == pytest.approx([2, 3])
    tube = distribution("tube_price", "normal 30 EUR/ft, sd 10 %")
    assert tube.ends(0.0, "EUR/m") == pytest.approx((24 / 0.3048, 36 / 0.3048))
    assert distribution("mobilisation", "500 EUR").ends(4000.0, "EUR") == (3500, 4500)


REFUSED = [
    ("safety_factor", "10 %", "argument"),
    ("minimum_ovality", "1 %", "argument"),
    ("cover", "triangular 8 ft, 9 ft", "triangular"),
    ("cover", "triangular 7 ft, 8 ft, 9 ft, 10 ft", "triangular"),
    ("cover", "triangular 9 ft, 8 ft, 10 ft", "range_reversed"),
    ("cover", "triangular 9 ft, 9 ft, 9 ft", "range_reversed"),
    ("cover", "triangular 120 in, 9 ft, 11 ft", "range_reversed"),
    ("cover", "9 ft to 9 ft", "range_reversed"),
    ("poisson_ratio", "0.3 to 0.3", "range_reversed"),
    ("cover", "normal", "normal"),
    ("cover", "normal, 2 ft", "normal"),
    ("cover", "normal 8 ft, 9 ft, sd 1 ft", "normal"),
    ("cover", "normal, sd 0 ft", "no_width"),
    ("groundwater_above_invert", "lognormal 0 ft, sd 1 ft", "lognormal_mean"),
    ("groundwater_above_invert", "lognormal -1 ft, sd 1 ft", "lognormal_mean"),
    ("cover", "-1 ft", "out_of_range"),
    ("cover", "-9 ft to 9 ft", "out_of_range"),
    ("groundwater_above_invert", "-1 ft", "out_of_range"),
    ("cover", "-5 %", "out_of_range"),
    ("cover", "1", "no_unit"),
    ("poisson_ratio", "a tenth", "not_a_ratio"),
    ("poisson_ratio", "0.2 to 0.25 to 0.3", "not_a_ratio"),
    ("poisson_ratio", "-0.1", "negative"),
    ("poisson_ratio", "nan", "negative"),
    ("poisson_ratio", "inf", "negative"),
]


@pytest.mark.parametrize(("key", "text", "code"), REFUSED)
def test_what_is_no_distribution_is_refused(key, text, code):
    with pytest.raises(Refused) as refused:
        distribution(key, text)
    assert refused.value.code == f"faults.{code}"


def test_faults_of_the_whole_project_lead_to_their_key():
    found = []
    made = of_project({"cover": "1 ft", "ovality": "x", "covr": "1 ft"}, found)
    assert list(made) == ["cover"]
    assert [(each.place.path, str(each.place)) for each in found] == [
        (("uncertainty", "ovality"), "[uncertainty]"),
        (("uncertainty", "covr"), "[uncertainty]"),
    ]
    assert of_project(3, found) == {}
    assert (found[-1].code, found[-1].place.path) == ("faults.not_a_table", ("uncertainty",))
