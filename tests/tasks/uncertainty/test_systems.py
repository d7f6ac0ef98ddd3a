"""Chances of systems, and the value of knowing an input, against the closed forms of two normal
costs."""

import json
import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from linerdesign.documents.blocks import Bullets, Grid
from linerdesign.interface import InputFaults, compare, read
from linerdesign.tasks.compare.chances import CLASSES, TAILS, _saved, _tails
from linerdesign.tasks.compare.chances_report import blocks
from linerdesign.tasks.compare.comparison import Wishes
from linerdesign.tasks.uncertainty.pipes import Wishes as UncertaintyWishes

SAME = {"flexural_modulus": "250000 psi", "flexural_strength": "4500 psi", "density": "1.2 g/cm^3"}
PIPE = {
    "name": "A",
    "condition": "partially deteriorated",
    "host_diameter": "12 in",
    "ovality": "2 %",
    "groundwater_above_invert": "10 ft",
    "length": "100 m",
}
LOW, HIGH = 3.0, 3.2


def project(first=None, second=None, pipes=1, units="SI", currency="USD", **uncertainty):
    resins = [
        SAME | {"name": "first", "price": f"{LOW} USD/kg", "uncertainty": first or {}},
        SAME | {"name": "second", "price": f"{HIGH} {currency}/kg", "uncertainty": second or {}},
    ]
    tables = {
        "project": {"title": "Mill Lane", "units": units},
        "resin": resins,
        "pipe": [PIPE | {"name": f"A{n}"} for n in range(pipes)],
        "uncertainty": uncertainty,
    }
    return read(tables)


def chances(made, by="cost", seed=20_260):
    return compare(made, wishes=Wishes(by=by, uncertainty=UncertaintyWishes(seed=seed))).found


def loss(mean, spread):
    """The unit normal loss: the mean of what is over zero of a normal variable."""
    return spread * stats.norm.pdf(mean / spread) + mean * stats.norm.cdf(mean / spread)


NORMAL = ({"price": "normal, sd 8 %"}, {"price": "normal, sd 12 %"})


def test_the_chance_of_the_least_cost_of_two_normal_prices_is_the_closed_form():
    found = chances(project(*NORMAL))
    index = (HIGH - LOW) / math.hypot(0.08 * LOW, 0.12 * HIGH)
    first, second = found.chances.systems
    assert first.least.chance == pytest.approx(stats.norm.cdf(index), abs=4 * first.least.error)
    assert second.least.chance == pytest.approx(stats.norm.sf(index), abs=4 * first.least.error)
    assert found.chances.least[0, 0] == first.least
    mass = found.table[0][0].wall.mass * 100
    for end, quantile in zip(first.ends, (-1.6449, 0, 1.6449), strict=True):
        assert end == pytest.approx(mass * LOW * (1 + 0.08 * quantile), rel=2e-3)


@pytest.mark.parametrize("pipes", [1, 3])
def test_the_value_of_knowing_a_price_is_the_unit_normal_loss(pipes):
    """With one system for all pipes, and with the best in each: prices are those of all pipes."""
    found = chances(project(*NORMAL, pipes=pipes))
    mass = found.table[0][0].wall.mass * 100 * pipes
    spreads = {"first": 0.08 * LOW, "second": 0.12 * HIGH, "": math.hypot(0.08 * LOW, 0.12 * HIGH)}
    learnt = {each.scope: each for each in found.chances.learnt}
    for scope, spread in spreads.items():
        expected = mass * loss(-(HIGH - LOW), spread)
        # Sixteen classes leave a little unknown, and the choice of one half judges the other.
        assert learnt[scope].one_system == pytest.approx(expected, rel=0.08), scope
        assert learnt[scope].by_pipe == pytest.approx(expected, rel=0.08), scope


def test_what_changes_no_choice_is_worth_nothing():
    """Both systems have one wall: the water changes what they cost, never which costs less."""
    found = chances(project(groundwater_above_invert="normal, sd 3 ft")).chances
    assert [each.least.chance for each in found.systems] == [1.0, 0.0]
    for each in found.learnt:
        assert each.by_pipe == pytest.approx(0, abs=1e-9)


def test_a_resin_has_the_letter_of_its_evidence_wherever_it_is_named():
    """Neither states its evidence: D, as in the ranking."""
    compared = chances(project(*NORMAL))
    grids = [each for each in blocks(compared, compared.chances) if isinstance(each, Grid)]
    named = [cell for grid in grids for row in grid.rows for cell in row if "first" in cell]
    assert len(named) > 1
    assert not [cell for cell in named if not cell.endswith("first [D]")]


def test_what_is_not_worth_a_survey_is_one_line_and_no_rows():
    """Of water alone nothing hangs; of the price of the dearer system the choice does."""
    water = {"groundwater_above_invert": "normal, sd 3 ft"}
    alone = _value_of_knowing(chances(project(**water)))
    assert alone == ([], ["no input is worth a survey, a test or an enquiry"])
    rows, lines = _value_of_knowing(chances(project(*NORMAL, **water)))
    assert [name for name, *_ in rows] == ["price", "price", "all of them"]
    assert len(lines) == 1
    assert lines[0].endswith("of the largest value): groundwater above invert")


def _value_of_knowing(compared):
    """The rows of the table, and the lines on what is not worth the finding, without reasons."""
    shown = [*blocks(compared, compared.chances)]
    rows = [b.rows for b in shown if isinstance(b, Grid) and b.caption.startswith("Value of")]
    lines = [
        item.partition(" for this choice: ")[0]
        for each in shown
        if isinstance(each, Bullets)
        for item in each.items
        if "worth a survey" in item
    ]
    return [row for own in rows for row in own], lines


def test_a_trial_lacks_a_thickness_where_any_pipe_does():
    """Two pipes with water of their own and one thickness made: 1 - a b, by the chances of each."""
    short = SAME | {"name": "first", "thicknesses": ["6 mm"]}
    tables = {
        "project": {"title": "Mill Lane", "units": "SI"},
        "resin": [short, SAME | {"name": "second"}],
        "pipe": [PIPE | {"name": f"A{n}"} for n in range(2)],
        "uncertainty": {"groundwater_above_invert": "normal, sd 6 ft"},
    }
    found = chances(read(tables), by="thickness").chances
    a, b = (found.sufficient[row, 0].chance for row in range(2))
    assert 0.5 < a < 0.9
    assert found.systems[0].lacking == pytest.approx(1 - a * b, abs=0.01)
    assert found.systems[1].lacking == 0


def test_by_thickness_two_alike_systems_tie_in_every_trial():
    found = chances(project(groundwater_above_invert="normal, sd 3 ft"), by="thickness").chances
    assert [each.least.chance for each in found.systems] == [1.0, 1.0]


def test_a_range_of_a_property_is_uniform_between_its_ends():
    """6 mm suffices from the retention that X1.1 needs on, by hand."""
    resin = SAME | {"name": "a", "modulus_retention": "25 to 60 %", "thicknesses": ["6 mm", "9 mm"]}
    tables = {"project": {"title": "Mill Lane", "units": "SI"}, "resin": [resin], "pipe": [PIPE]}
    found = chances(read(tables), by="thickness").chances
    factor = ((1 - 0.02) / (1 + 0.02) ** 2) ** 3
    pressure = 0.00981 * 10 * 0.3048
    needed = pressure * 2.0 * (1 - 0.3**2) * (304.8 / 6 - 1) ** 3 / (2 * 7 * factor)
    share = (100 * needed / (250_000 * 4.4482216152605 / 645.16) - 25) / 35
    assert 0.05 < share < 0.95
    assert found.systems[0].ends == (6.0, 9.0 if share > 0.5 else 6.0, 9.0)
    assert found.sufficient[0, 0].chance == 1.0


def test_the_same_seed_gives_the_same_bits_on_paper_too(run, tmp_path):
    (tmp_path / "p.toml").write_text(
        """
[project]
title = "Mill Lane"
units = "SI"
[uncertainty]
price = "10 %"
groundwater_above_invert = "0.5 m"
[[resin]]
name = "a"
flexural_modulus = "1700 MPa"
flexural_strength = "31 MPa"
density = "1.2 g/cm^3"
price = "3 USD/kg"
[[resin]]
name = "b"
flexural_modulus = "6000 MPa"
flexural_strength = "90 MPa"
density = "1.7 g/cm^3"
price = "4 USD/kg"
[[pipe]]
name = "A"
condition = "partially deteriorated"
host_diameter = "300 mm"
ovality = "2 %"
groundwater_above_invert = "3 m"
length = "100 m"
"""
    )
    words = ("compare", "p.toml", "--by", "cost", "--uncertainty", "stated", "--json")
    code, first, err = run(*words)
    assert (code, err) == (0, "")
    assert first == run(*words)[1]
    uncertain = json.loads(first)["uncertainty"]
    assert uncertain["converged"] is True
    assert uncertain["seed"] == 20_260
    assert "uncertainty" not in json.loads(run("compare", "p.toml", "--json")[1])
    assert run("compare", "p.toml", "--seed", "3")[0] == 2


def test_several_currencies_are_refused_by_cost():
    made = project(*NORMAL)
    price = replace(made.resins[1].price, unit="CHF/kg", currency="CHF")
    other = made.resins[1].changed({"price": price})
    made = made.__class__(**{**vars(made), "resins": (made.resins[0], other)})
    with pytest.raises(InputFaults, match="several currencies"):
        chances(made)


def held(first, second, halves=(1, 1)):
    """Sums of two systems and counts, over (half, class): ten trials a cell, of these costs."""
    counts = np.repeat(np.array(halves), CLASSES).reshape(2, CLASSES) * 10.0
    return np.stack([np.array(first) * counts, np.array(second) * counts, counts])


ONES = np.ones((2, CLASSES))


def in_class(*places):
    """Costs of 2 and, in a class of each half, of 0."""
    costs = 2 * ONES
    costs[[0, 1], places] = 0.0
    return costs


@pytest.mark.parametrize(
    ("second", "saved"),
    [
        # The second is cheaper by 1 in one class of sixteen, and dearer by 1 in all others.
        (in_class(0, 0), 1 / 16),
        (in_class(15, 15), 1 / 16),
        # What one half finds by chance, the other finds dearer.
        (in_class(0, 1), -1 / 16),
        (2 * ONES, 0.0),
        (0.5 * ONES, 0.0),
    ],
)
def test_a_choice_in_each_class_is_made_by_one_half_and_judged_by_the_other(second, saved):
    for halves in ((1, 1), (3, 1)):
        assert _saved(held(ONES, second, halves)) == pytest.approx(saved)
        assert _saved(held(second, ONES, halves)) == pytest.approx(saved)


def test_tails_are_values_of_the_trials():
    """By their ranks: of 0 to 100 the shares are the values in percent; no mean of two is told."""
    assert _tails(np.arange(101.0)[::-1], TAILS) == (5.0, 50.0, 95.0)
    assert _tails(np.array([1.0, 9.0]), (0.4, 0.6)) == (1.0, 9.0)


def test_the_chances_are_the_same_in_either_unit_system():
    """How often each wall is sufficient hangs on the water."""
    water = {"groundwater_above_invert": "normal, sd 6 ft"}
    found = [
        chances(project(units=units, **water), by="thickness").chances for units in ("US", "SI")
    ]
    us, si = ([share.chance for share in each.sufficient.values()] for each in found)
    assert 0.5 < us[0] < 1.0
    assert us == pytest.approx(si, abs=2e-3)


def test_prices_in_several_currencies_have_no_chances_of_costs():
    made = project(*NORMAL, currency="EUR")
    with pytest.raises(InputFaults) as caught:
        chances(made)
    assert str(caught.value) == (
        "prices in several currencies (EUR, USD); compare by thickness or mass"
    )
