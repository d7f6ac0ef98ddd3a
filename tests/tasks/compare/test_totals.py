"""Ranking, totals and choices over invented tables, against the rules written out plainly."""

from collections import Counter
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from projects import toml

from linerdesign.methods.verdicts import FAILS, SIZED
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe
from linerdesign.project.reading import parse
from linerdesign.tasks.compare.ranking import (
    Missing,
    differing_most,
    lacks_size,
    least,
    ranking,
    value,
    without_length,
)
from linerdesign.tasks.compare.systems import Option, Wall

RESIN = """
[[resin]]
name = "{name}"
flexural_modulus = "300 ksi"
flexural_strength = "6 ksi"
density = "1.2 g/cm^3"
price = "3 {currency}/kg"
[resin.cost]
{mobilisation}
service_life = "50 yr"
embodied_carbon = "5 kg/kg"
"""


@cache
def resins(count, currency="USD"):
    """Resins R0, R1, ...; the first has no mobilisation, the others 1,000, 2,000 and so on."""
    texts = []
    for n in range(count):
        once = f'mobilisation = "{n}000 {currency}"' if n else ""
        texts.append(RESIN.format(name=f"R{n}", currency=currency, mobilisation=once))
    return parse((toml() + "".join(texts)).encode()).resins[1:]


def wall(figure, best=None, passes=True):
    """A wall whose figures are all multiples of one number."""
    return Wall(
        required=figure,
        nominal=figure,
        diameter=300.0,
        governing="X1.1",
        status=SIZED if passes else FAILS,
        next_down=None,
        minimum_governs=False,
        short=False,
        failing=(),
        notes=frozenset(),
        mass=2 * figure,
        carbon=10 * figure,
        cost=6 * figure,
        annual_cost=figure / 8,
    )


def table(rows, lengths, of=None):
    """Options by the numbers of walls: none where there is no wall, negative where it fails; a
    second number of a pair is that by the best properties."""
    of = of or resins(len(rows[0]))
    made = []
    for place, (row, length) in enumerate(zip(rows, lengths, strict=True)):
        known = {"name": f"P{place}"}
        if length is not None:
            known["length"] = Measure(float(length), "m", f"{length} m")
        pipe = Pipe.model_construct(**known)
        options = []
        for resin, each in zip(of, row, strict=True):
            worst, best = each if isinstance(each, tuple) else (each, each)
            if worst is None:
                options.append(Option(pipe, resin, faults=("none",)))
                continue
            passes = worst > 0
            options.append(
                Option(pipe, resin, wall(abs(worst), passes=passes), wall(abs(best), passes=passes))
            )
        made.append(tuple(options))
    return tuple(made)


FIGURES = st.one_of(st.none(), st.integers(-9, 9).filter(bool).map(float))
ROWS = st.integers(1, 4).flatmap(
    lambda width: st.lists(
        st.lists(FIGURES, min_size=width, max_size=width), min_size=1, max_size=5
    )
)


@given(ROWS, st.lists(st.sampled_from([50, 100]), min_size=5, max_size=5), st.booleans())
def test_ranks_follow_the_rules_written_out(rows, lengths, known):
    """Fewer pipes failed first; then the mean over the same pipes, or over those that all satisfy
    that satisfy any; equal ones share a rank, and the next counts on."""
    lengths = lengths[: len(rows)] if known else [None, *lengths[1 : len(rows)]]
    order = ranking(table(rows, lengths), "thickness")
    weights = [length or 1 for length in lengths] if known else [1] * len(rows)
    satisfied = {
        f"R{c}": {r for r, row in enumerate(rows) if row[c] is not None and row[c] > 0}
        for c in range(len(rows[0]))
    }
    sets = [each for each in satisfied.values() if each]
    common = set.intersection(*sets) if sets else set()

    def mean(name, pipes):
        column = int(name[1:])
        whole = sum(weights[r] for r in pipes)
        return sum(weights[r] * rows[r][column] for r in pipes) / whole if pipes else None

    assert {each.resin.name for each in order} == {*satisfied}
    for each in order:
        own = satisfied[each.resin.name]
        assert each.count == len(rows)
        assert each.failing == len(rows) - len(own)
        assert each.own.pipes == own
        assert each.common.pipes == common & own
        for totals, pipes in ((each.own, own), (each.common, common & own)):
            wanted = mean(each.resin.name, pipes)
            assert (totals.thickness or (None,))[0] == pytest.approx(wanted)
        if not own:
            assert (each.rank, each.missing) == (None, (Missing.PIPE,))
    placed = [each for each in order if each.rank]
    assert [*order[: len(placed)]] == placed
    failings = Counter(each.failing for each in placed)
    for each in placed:
        group = [other for other in placed if other.failing == each.failing]
        same = len({other.own.pipes for other in group}) == 1
        figures = {
            other.resin.name: mean(
                other.resin.name, satisfied[other.resin.name] if same else common
            )
            for other in group
        }
        mine = figures[each.resin.name] or 0.0
        lighter = sum((figure or 0.0) < mine - 1e-9 for figure in figures.values())
        before = sum(count for failing, count in failings.items() if failing < each.failing)
        assert each.rank == before + lighter + 1


def test_totals_are_sums_over_lengths_with_one_mobilisation():
    """By hand: 4 * 100 + 7 * 50 = 750 of the first, 3 * 100 + 6 * 50 = 600 of the second, which is
    brought for 1,000; by the best properties 300 + 250 = 550 of the first."""
    found = ranking(table([[(4.0, 3.0), 3.0], [(7.0, 5.0), 6.0]], [100, 50]), "mass")
    second, first = found
    assert (first.resin.name, second.resin.name) == ("R0", "R1")
    assert first.own.thickness == pytest.approx((750 / 150, 550 / 150))
    assert first.own.mass == pytest.approx((1500, 1100))
    assert first.own.carbon == pytest.approx((7500, 5500))
    assert first.own.cost == pytest.approx((4500, 3300))
    assert second.own.cost == pytest.approx((6 * 600 + 1000,) * 2)
    # Nothing discounted: a fiftieth a year.
    assert first.own.annual_cost == pytest.approx((90, 66))
    for by in ("thickness", "mass", "carbon", "cost", "annual-cost"):
        name = by.replace("-", "_")
        assert first.own.of(by) == getattr(first.own, name)
    # At 5 % over 50 years a yearly payment of 1 is worth (1 - 1.05^-50)/0.05 = 18.2559.
    (dear, _) = ranking(table([[(4.0, 3.0), 3.0]], [100]), "annual-cost", discount=0.05)
    assert dear.own.annual_cost == pytest.approx(
        tuple(each / 18.2559 for each in dear.own.cost), rel=1e-5
    )


def test_ranks_are_by_cost_with_mobilisation():
    """6 * 3 * 100 + 1,000 is over 6 * 4 * 100, and under 6 * 4 * 300 with 6 * 3 * 300."""
    for length, first in ((100, "R0"), (300, "R1")):
        found = ranking(table([[4.0, 3.0]], [length]), "cost")
        assert [each.rank for each in found] == [1, 2]
        assert found[0].resin.name == first
        assert ranking(table([[4.0, 3.0]], [length]), "mass")[0].resin.name == "R1"


def test_without_a_length_there_are_means_and_no_totals():
    some = table([[4.0, 3.0], [7.0, 6.0]], [100, None])
    assert without_length(some) == ("P1",)
    found = ranking(some, "mass")
    assert {each.missing for each in found} == {(Missing.LENGTH,)}
    for each in found:
        assert (each.own.mass, each.own.carbon, each.own.cost) == (None, None, None)
    # Every pipe counts alike then, the one with a length, too.
    assert found[0].own.thickness == (5.5, 5.5)


def test_of_several_currencies_there_is_no_least_cost():
    mixed = [resins(1)[0], resins(1, "EUR")[0]]
    some = table([[4.0, 3.0]], [100], mixed)
    assert least(some[0], "cost") == ()
    assert least(some[0], "annual-cost") == ()
    assert least(some[0], "mass") == (mixed[1].name,)
    assert all(Missing.CURRENCY in each.missing for each in ranking(some, "cost"))
    assert all(not each.missing for each in ranking(some, "mass"))


def test_the_least_in_a_pipe_are_all_that_tie():
    (row,) = table([[4.0, 3.0, (3.0, 2.0), None, -1.0]], [100])
    assert least(row) == ("R1", "R2")
    assert least(row, best=True) == ("R2",)
    assert least(row[3:]) == ()
    assert value(row[2], "carbon") == 30.0
    assert value(row[2], "cost", best=True) == 12.0
    assert value(row[4], "thickness") is value(row[3], "thickness") is None


@pytest.mark.parametrize("count", [20, 21])
def test_the_pipes_where_the_choice_matters_most_come_first(count):
    """At most twenty: by the largest difference times the length. Pipes that no resin satisfies
    have none, and are left out."""
    rows = [[10.0, 10.0 - 0.1 * n, None] for n in range(count - 1)] + [[-1.0, None, None]]
    lengths = [100] * count
    lengths[3] = 100_000
    found = [row[0].pipe.name for row in differing_most(table(rows, lengths), "mass")]
    if count == 20:
        assert found == [f"P{n}" for n in range(19)]
    else:
        others = [n for n in range(19, 0, -1) if n != 3]
        # The one of no difference is the twentieth, and the one that no resin satisfies the last.
        assert found == ["P3", *(f"P{n}" for n in others), "P0"]


def test_a_size_without_a_price_is_told():
    priced = '[[resin.cost.tube]]\ndiameter = "8 in"\nthickness = "6 mm"\nprice = "5 USD/m"\n'
    text = RESIN.format(name="R0", currency="USD", mobilisation="")
    (resin,) = parse((toml() + text + priced).encode()).resins[1:]
    (row,) = table([[4.0]], [100], [resin])
    unpriced = Option(
        row[0].pipe, resin, *[Wall(**{**vars(row[0].wall), "cost": None, "annual_cost": None})] * 2
    )
    found = ranking(((unpriced,),), "cost")
    assert found[0].missing == (Missing.SIZE,)
    assert lacks_size(found)
    assert not lacks_size(ranking((row,), "cost"))
