"""Costs, the assignment of systems to pipes and break-even, against sums by hand and brute force.

Prices, densities and lives are invented.
"""

import itertools
import json
import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from projects import toml

from linerdesign.project.faults import InputFaults
from linerdesign.project.quantities import Purchase, cost_per_length, yearly
from linerdesign.project.reading import parse
from linerdesign.tasks.compare.assignment import _cheapest, assignments
from linerdesign.tasks.compare.break_even import break_evens
from linerdesign.tasks.compare.ranking import Missing, ranking
from linerdesign.tasks.compare.systems import cases_of, options

PRICED = {"density": "1.15 g/cm^3", "price": "3 USD/kg"}
GLASS = """
[[resin]]
name = "Glass"
flexural_modulus = "900 ksi"
flexural_strength = "14 ksi"
density = "1.8 g/cm^3"
price = "5 USD/kg"
evidence_grade = "third-party creep test"
"""


def cost(body):
    return f"[resin.cost]\n{body}\n"


def pipe(name, inches, length="100 m"):
    return (
        f'[[pipe]]\nname = "{name}"\ncondition = "partially deteriorated"\novality = "2 %"\n'
        f'host_diameter = "{inches} in"\ngroundwater_above_invert = "8 ft"\nlength = "{length}"\n'
    )


def project(*more):
    return parse((toml({"length": "100 m"}, PRICED) + "".join(more)).encode())


def table_of(read, **purchase):
    return options(read, cases_of(read, "US"), Purchase(**purchase))


def test_a_price_list_goes_by_the_smallest_size_that_covers_the_wall():
    tube = "[[resin.cost.tube]]\ndiameter = '{}'\nthickness = '{}'\nprice = '{}'\n"
    rows = [("12 in", "6 mm", "20 USD/m"), ("12 in", "9 mm", "27 USD/m")]
    rows += [("600 mm", "9 mm", "12.192 USD/ft")]
    text = GLASS.replace('price = "5 USD/kg"\n', "") + "".join(tube.format(*row) for row in rows)
    resin = project(text).resins[1]
    for diameter, thickness, price in (
        (300.0, 6.0, 20.0),
        (304.8, 6.01, 27.0),
        (305.0, 6.0, 40.0),  # 12.192 USD/ft over 0.3048 m/ft
    ):
        assert cost_per_length(diameter, thickness, resin, Purchase()) == pytest.approx(price)
    assert math.isnan(cost_per_length(300.0, 9.5, resin, Purchase()))
    many = cost_per_length(np.array([300.0, 700.0]), np.array([6.0, 6.0]), resin, Purchase())
    assert many[0] == 20.0
    assert np.isnan(many[1])


def test_resin_and_tube_are_added_with_the_share_of_each_resin():
    """Mass pi (D - t) t rho; 55 % of it resin, with 7 % excess, at 5 USD/kg; tube 18 USD/m."""
    read = project(GLASS, cost('resin_share_by_mass = "55 %"\ntube_price = "18 USD/m"'))
    felt, glass = (cost_per_length(300.0, 6.0, each, Purchase(0.9, 0.07)) for each in read.resins)
    volume = math.pi * 0.294 * 0.006
    assert glass == pytest.approx(volume * 1800 * 0.55 * 1.07 * 5 + 18, rel=1e-5)
    assert felt == pytest.approx(volume * 1150 * 0.9 * 1.07 * 3, rel=1e-5)


@pytest.mark.parametrize("rate", [0.0, 0.03, 0.08])
def test_a_yearly_cost_is_worth_the_cost_now(rate):
    """The payments at the ends of the years, discounted one by one, add up to the cost."""
    resin = project(GLASS, cost('service_life = "40 yr"')).resins[1]
    payment = yearly(10_000.0, resin, rate)
    assert sum(payment / (1 + rate) ** year for year in range(1, 41)) == pytest.approx(10_000.0)
    assert yearly(10_000.0, project().resins[0], rate) is None


@pytest.mark.parametrize(
    "body",
    [
        'mobilisation = "4000"',
        'mobilisation = "4000 USD/m"',
        'tube_price = "18 USD"',
        'tube_price = "18 USD/kg"',
        "service_life = 50",
        'service_life = "50 ft"',
        'resin_share_by_mass = "120 %"',
    ],
)
def test_costs_that_are_none(body):
    with pytest.raises(InputFaults, match=body.split(" ")[0]):
        project(GLASS, cost(body))


def test_one_price_and_a_list_exclude_each_other():
    both = 'tube_price = "6 USD/m"\n[[resin.cost.tube]]\ndiameter = "8 in"\nthickness = "6 mm"\n'
    with pytest.raises(InputFaults, match=r"tube_price and tube given together.*cost of"):
        project(GLASS, cost(both + 'price = "5 USD/m"'))


def test_mobilisation_counts_once_in_totals():
    read = project(GLASS, cost('mobilisation = "4000 USD"'), pipe("Lane", 8))
    table = table_of(read)
    glass = next(each for each in ranking(table, "cost") if each.resin.name == "Glass")
    assert glass.own.cost[0] == pytest.approx(100 * sum(row[1].wall.cost for row in table) + 4000)


def by_enumeration(costs, fixed, most):
    """The least total over all sets of at most `most` systems that can do every pipe."""
    found = math.inf
    for count in range(1, most + 1):
        for used in itertools.combinations(range(len(fixed)), count):
            total = sum(min(row[j] for j in used) for row in costs) + sum(fixed[j] for j in used)
            found = min(found, total)
    return found


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 9), st.integers(2, 5))
def test_the_assignment_is_the_least_of_all(seed, pipes, systems):
    random = np.random.default_rng(seed)
    costs = random.uniform(100, 5000, (pipes, systems))
    costs[random.uniform(size=costs.shape) < 0.25] = np.inf
    costs = costs[np.isfinite(costs).any(axis=1)]
    fixed = random.choice([0.0, 500.0, 3000.0], systems)
    for most in range(1, systems + 1):
        if not len(costs):
            continue
        found = _cheapest(costs, np.arange(len(costs)), fixed, most)
        least = by_enumeration(costs, fixed, most)
        if math.isinf(least):
            assert found.total is None
        else:
            assert found.total == pytest.approx(least, rel=1e-9)
            assert len(found.systems) <= most
            assert all(np.isfinite(costs[row, column]) for row, column in found.chosen)


def test_a_second_system_must_earn_its_mobilisation():
    """Glass is cheaper in the trunk alone; where it costs 1e6 USD to bring, felt does both."""
    cheap = GLASS.replace("5 USD/kg", "2 USD/kg")
    small = pipe("Lane", 6)
    for price, systems in (("10 USD", (0, 1)), ("1000000 USD", (0,))):
        tables = (cheap, cost(f'mobilisation = "{price}"\ntube_price = "30 USD/m"'), small)
        table = table_of(project(*tables))
        walls = [[each.wall.cost for each in row] for row in table]
        assert walls[0][1] < walls[0][0]
        assert walls[1][1] > walls[1][0]
        one, two = assignments(table, "cost", 0.0)
        assert two.systems == systems
        assert one.total >= two.total


def test_at_the_break_even_price_and_thickness_the_costs_are_equal():
    terms = cost('mobilisation = "700 USD"\ntube_price = "9 USD/m"\nresin_share_by_mass = "60 %"')
    tables = (GLASS, terms, pipe("Lane", 8, "40 m"))
    read = project(*tables)
    (found,) = break_evens(table_of(read, excess=0.05), read.resins[0], Purchase(excess=0.05))
    assert (found.pipes, found.own_price) == (2, 5.0)
    changed = project(tables[0].replace("5 USD/kg", f"{found.price:.12f} USD/kg"), *tables[1:])
    order = ranking(table_of(changed, excess=0.05), "cost")
    felt, glass = (each.own.cost[0] for each in sorted(order, key=lambda e: e.resin.name))
    assert glass == pytest.approx(felt, rel=1e-9)
    for row, (name, thickness) in zip(table_of(read, excess=0.05), found.thicknesses, strict=True):
        assert row[0].pipe.name == name
        diameter = row[0].wall.diameter
        at_it = cost_per_length(diameter, thickness, read.resins[1], Purchase(excess=0.05))
        assert at_it == pytest.approx(row[0].wall.cost, rel=1e-9)


def test_the_evidence_of_each_resin_is_shown_in_every_table(run, tmp_path, monkeypatch):
    monkeypatch.setenv("COLUMNS", "120")  # no name is folded
    text = toml({"length": "100 m"}, PRICED | {"evidence_grade": "letter"}) + GLASS
    (tmp_path / "a.toml").write_text(text)
    _, out, _ = run("compare", "a.toml", "--by", "cost")
    parts = [part for part in out.split("\n\n") if "-----" in part]
    grids = [part for part in parts if re.search(r"\bresin  ", part)]
    assert len(grids) >= 6
    for grid in grids:
        assert "[A]" in grid or "[C]" in grid, grid
        assert "Felt A " not in grid.replace("Felt A [C]", ""), grid
    (tmp_path / "there").mkdir()
    run("compare", "a.toml", "--by", "cost", "--pictures", "there", "-o", "a.txt")
    written = (tmp_path / "a.txt").read_text(encoding="utf-8").splitlines()
    pictures = [line for line in written if line.startswith("[") and ": " in line]
    assert len(pictures) > 1
    for words in pictures:  # what stands for a picture in plain text
        assert not re.search(r"(Felt A|Glass)(?! \[[AC]\])", words), words
    assert "[A] third-party creep test; [B] maker's report; [C] letter; [D] none" in " ".join(
        out.split()
    )
    data = json.loads(run("compare", "a.toml", "--json")[1])
    assert {e["resin"]: e["evidence_grade"] for e in data["ranking"]} == {
        "Felt A": "letter",
        "Glass": "third-party creep test",
    }


def test_ranking_by_annual_cost_asks_for_a_life(run, tmp_path):
    """Glass costs more and lives three times as long."""
    felt = toml({"length": "100 m"}, PRICED).replace(
        "[[pipe]]", '[resin.cost]\nservice_life = "20 yr"\n[[pipe]]'
    )
    glass = GLASS.replace("5 USD/kg", "4 USD/kg") + cost('service_life = "60 yr"')
    (tmp_path / "a.toml").write_text(felt + glass)
    for by, first in (("cost", "Felt A"), ("annual-cost", "Glass")):
        found = json.loads(run("compare", "a.toml", "--by", by, "--json")[1])
        assert found["ranking"][0]["resin"] == first, by
        assert found["pipes"][0]["choice"] == [first]
    (tmp_path / "b.toml").write_text(toml({"length": "100 m"}, PRICED) + glass)
    _, out, _ = run("compare", "b.toml", "--by", "annual-cost")
    assert "Felt A is not ranked: no service life" in out


def test_nothing_to_add_up_where_no_resin_satisfies_a_pipe(run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    felt = PRICED | {"thicknesses": ["3 mm"]}
    text = toml({"length": "100 m"}, felt) + GLASS + 'thicknesses = ["1 mm"]\n'
    (tmp_path / "a.toml").write_text(text)
    for by in ("thickness", "mass", "cost", "annual-cost"):
        code, _, err = run("compare", "a.toml", "--by", by, "-o", f"{by}.xlsx", "-o", f"{by}.txt")
        assert code == 1, err
        said = (tmp_path / f"{by}.txt").read_text()
        assert "Felt A is not ranked: satisfies no pipe" in said
        assert "no resin satisfies the pipe" in said


def test_a_system_with_a_mobilisation_alone_is_not_priced():
    bare = GLASS.replace('price = "5 USD/kg"\n', "") + cost('mobilisation = "10 USD"')
    order = ranking(table_of(project(bare)), "cost")
    assert [(each.resin.name, each.rank) for each in order] == [("Felt A", 1), ("Glass", None)]
    assert order[1].missing == (Missing.PRICE,)


@pytest.mark.parametrize(("size", "rank"), [("60 in", 1), ("8 in", None)])
def test_a_list_without_the_size_leaves_the_cost_unknown(size, rank):
    tube = f"[[resin.cost.tube]]\ndiameter = '{size}'\nthickness = '40 mm'\nprice = '1 USD/m'\n"
    order = ranking(table_of(project(GLASS.replace('price = "5 USD/kg"\n', "") + tube)), "cost")
    glass = next(each for each in order if each.resin.name == "Glass")
    assert glass.rank == rank
    assert glass.missing == (() if rank else (Missing.SIZE,))


def test_totals_in_common_are_over_pipes_that_every_resin_has_a_price_for(run, tmp_path):
    """A list up to 12 in: the 24 in pipe counts in no common total. Resin and tube by hand."""
    tube = "\n[[resin.cost.tube]]\ndiameter = '12 in'\nthickness = '12 mm'\nprice = '7 USD/m'\n"
    text = toml({"length": "100 m", "host_diameter": "12 in"}, PRICED) + GLASS + tube
    (tmp_path / "a.toml").write_text(text + pipe("Outfall", 24) + pipe("Lane", 8, "50 m"))
    words = ("compare", str(tmp_path / "a.toml"), "--by", "cost")
    data = json.loads(run(*words, "--json")[1])
    sizes = {"Trunk": (12, 100), "Lane": (8, 50)}
    for each in data["ranking"]:
        density, price, more = (1800, 5, 7) if each["resin"] == "Glass" else (1150, 3, 0)
        assert each["in_common"]["pipes"] == 2
        by_hand = 0.0
        for own in data["pipes"]:
            found = next(e for e in own["resins"] if e["resin"] == each["resin"])
            if own["name"] in sizes:
                inches, length = sizes[own["name"]]
                thick = found["nominal_thickness"]["value"] / 1000
                area = 3.14159 * (inches * 0.0254 - thick) * thick
                by_hand += length * (area * density * price + more)
        assert each["in_common"]["cost"]["value"] == pytest.approx(by_hand, rel=1e-9)
    printed = " ".join(run(*words)[1].split())
    assert "over the 2 of 3 pipes with a cost for every resin" in printed
    assert "Glass is not ranked: no price of a tube for the size of Outfall" in printed


@pytest.mark.parametrize(
    ("line", "example"),
    [
        ('mobilisation = "0 USD"', "write a number over zero with its currency"),
        ('tube_price = "-4 USD/m"', "write one over zero per length with its currency"),
    ],
)
def test_an_amount_of_money_is_refused_as_one(line, example, run, tmp_path):
    text = toml().replace("[[pipe]]", f"[resin.cost]\n{line}\n[[pipe]]")
    (tmp_path / "a.toml").write_text(text)
    code, _, err = run("compare", "a.toml", "--by", "cost")
    assert code == 2
    assert example in err
    assert "mass" not in err
