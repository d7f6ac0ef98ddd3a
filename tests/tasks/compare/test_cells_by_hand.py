"""Cells that recalculate, and pictures of the decision, against numbers by hand."""

from dataclasses import replace
from types import SimpleNamespace as Made

import numpy as np
import pytest
from tasks.compare.test_report import BARE, compared, grids, read, wall
from tasks.compare.test_systems import SECOND, project

from linerdesign.documents.figures import new_figure
from linerdesign.methods.verdicts import FAILS, OUTSIDE, SIZED
from linerdesign.project.quantities import Purchase
from linerdesign.tasks.compare import legs, live, pictures, report
from linerdesign.tasks.compare.assignment import Assignment, _cheapest
from linerdesign.tasks.compare.comparison import Wishes
from linerdesign.tasks.compare.live_choices import Choices
from linerdesign.tasks.compare.ranking import Missing
from linerdesign.words import sentence

POUND, FOOT = 0.45359237, 0.3048
TERMS = (
    '[resin.cost]\nresin_share_by_mass = "50 %"\nmobilisation = "900 USD"\nservice_life = "40 yr"'
)


def town(by="cost", system="SI", **more):
    """Three systems in dollars; the last has a price and no density. 10 % more is bought."""
    given = {"purchase": Purchase(0.8, 0.1, 0.05), "town": read("USD", more=TERMS)}
    return compared(by, system, **(given | more))


def test_prices_in_both_systems():
    """1,150 kg/m3 are 71.79 lb/ft3, and 3 a kilogram 1.36 a pound. A year of 1 over 40 years at
    5 % is 0.05/(1 - 1.05^-40)."""
    found = live.prices(town())
    assert found.rows == (
        ("Felt A [D]", "1,150", "80", "10", "3", "-", "0", "-"),
        ("B [D]", "1,200", "50", "10", "6", "-", "900", "40"),
        ("C [D]", "-", "80", "10", "-", "-", "0", "-"),
    )
    assert found.columns == (
        *("resin", "kg/m³", "share, %", "excess, %", "USD/kg"),
        *("tube, USD/m", "mobilisation", "life, yr"),
    )
    assert found.align == "<>>>>>>>"
    cells = {cell.name: cell.value for cell in found.live.values()}
    assert cells["resin2_share"] == pytest.approx(50)
    assert cells["resin1_density"] == pytest.approx(1150)
    assert cells["resin2_mobilisation"] == 900
    assert "resin3_density" not in cells
    us = {cell.name: cell.value for cell in live.prices(town(system="US")).live.values()}
    assert us["resin1_density"] == pytest.approx(1150 * FOOT**3 / POUND)
    assert us["resin1_price"] == pytest.approx(3 * POUND)
    yearly = live.prices(town("annual-cost"))
    a_year = 0.05 / (1 - 1.05**-40)
    assert [row[-1] for row in yearly.rows] == ["-", f"{a_year:.4f}", "-"]
    assert yearly.live[1, 8].value == pytest.approx(a_year)
    assert yearly.live[1, 8].name == "resin2_annuity"
    rate = live.discount_rate(town("annual-cost"))
    assert rate.rows == ((sentence("compare.rate"), "5"),)
    assert rate.live[0, 1].value == 5


def test_lengths_and_diameters_of_the_pipes():
    found = live.sizes(town())
    assert found.rows == (("Trunk", "100.00", "200.00"), ("Lane", "50.00", "200.00"))
    assert {cell.name: cell.value for cell in found.live.values()} == {
        "pipe1_length": 100,
        "pipe1_host_diameter": 200,
        "pipe2_length": 50,
        "pipe2_host_diameter": 200,
    }
    us = live.sizes(town(system="US"))
    assert us.rows[1][1:] == (f"{50 / FOOT:.2f}", f"{200 / 25.4:.2f}")
    lost = live.sizes(town(a=(None, None), b=(None, None), c=(None, None)))
    assert lost.rows[1] == ("Lane", "50.00", "-")
    assert (1, 2) not in lost.live
    assert live.diameter_in_mm(town(), 1) == "pipe2_host_diameter"
    assert live.diameter_in_mm(town(system="US"), 0) == "(pipe1_host_diameter*25.4)"


def test_amounts_by_pipe_and_system():
    """24 kg/m and 60 a metre over 100 m; 18 kg/m and 45 a metre by the best properties."""
    found = live.amounts(town())
    assert found.rows[0] == (
        *("Trunk", "Felt A [D]", "yes", "6.00", "24.00 (18.00)", "-", "60.00 (45.00)"),
        *("6,000", "1"),
    )
    assert [row[:3] for row in found.rows] == [
        ("Trunk", "Felt A [D]", "yes"),
        ("Trunk", "B [D]", "yes"),
        ("Lane", "Felt A [D]", "no"),
        ("Lane", "B [D]", "no"),
    ]
    assert [row[-1] for row in found.rows] == ["1", "2", "1", "2"]
    assert found.live[1, 7].value == pytest.approx(5000)
    assert found.live[1, 7].name == "cost_1_2"
    assert found.live[1, 4].name == "mass_1_2"
    us = live.amounts(town(system="US"))
    assert us.live[0, 4].value == pytest.approx(24 * FOOT / POUND)
    assert us.live[0, 6].value == pytest.approx(60 * FOOT)
    assert us.live[0, 7].value == pytest.approx(6000)
    bare = live.amounts(town(A=(wall(5.2, 6.0, mass=None),) * 2))
    assert bare.rows[0][4] == "-"
    assert (0, 4) not in bare.live


def test_totals_of_the_ranking_are_cells():
    found = town()
    ranked = next(each for each in found.order if each.resin.name == "B")
    cells = dict(live.total_cells(found, ranked, ranked.own, False))
    assert cells["mass"].value == pytest.approx(3.0)
    assert cells["cost"].value == pytest.approx(7500 + 900)
    assert cells["mass"].formula == "(mass_1_2*pipe1_length+mass_2_2*pipe2_length)/1000"
    assert set(cells) == {"mass", "cost"}
    yearly = town("annual-cost")
    cells = dict(live.total_cells(yearly, ranked, ranked.own, True))
    assert cells["annual_cost"].value == pytest.approx(8400 * 0.05 / (1 - 1.05**-40))
    us = dict(live.total_cells(town(system="US"), ranked, ranked.own, False))
    assert us["mass"].value == pytest.approx(3000 / POUND)
    assert not us["mass"].formula.endswith("/1000")
    silent = replace(ranked.own, cost=None)
    assert list(live.total_cells(found, ranked, silent, False)) == []
    (ranking, *_) = grids(report._ranking(found))[-1:]
    assert {ranking.columns[column] for _, column in ranking.live} == {"mass, t", "cost, USD"}


def test_the_units_of_prices():
    assert live.units_of(town()) == ("kg", "m")
    assert live.units_of(town(system="US")) == ("lb", "ft")
    assert (live.size_unit(town()), live.size_unit(town(system="US"))) == ("mm", "in")


# The set of systems and the choices


def choices(**more):
    found = town(**more)
    return Choices(replace(found, assignments=(Made(most=1), Made(most=2))))


def test_every_set_of_systems_that_serves_all_pipes():
    """A: 60 x 100 + 45 x 50 = 8,250; B: 50 x 150 and 900 once. Both: 5,000 in Trunk, 2,250 in
    Lane and 900."""
    made = choices()
    assert made.costs == {0: {0: 6000, 1: 5000}, 1: {0: 2250, 1: 2500}}
    assert [(each.columns, each.total) for each in made.sets] == [
        ((0,), 8250),
        ((1,), 8400),
        ((0, 1), 8150),
    ]
    (grid,) = made.grid()
    assert grid.rows == (
        ("Felt A [D]", "8,250"),
        ("B [D]", "8,400"),
        ("Felt A [D], B [D]", "8,150"),
    )
    assert {place: (cell.value, cell.name) for place, cell in grid.live.items()} == {
        (0, 1): (8250, "set_1"),
        (1, 1): (8400, "set_2"),
        (2, 1): (8150, "set_3"),
    }
    least = made.assignment()
    assert {place: cell.value for place, cell in least.items()} == {
        (0, 1): 8250,
        (0, 2): "Felt A [D]",
        (1, 1): 8150,
        (1, 2): "Felt A [D], B [D]",
    }
    assert least[0, 1].formula == "MIN(set_1,set_2)"
    assert least[1, 1].formula == "MIN(set_1,set_2,set_3)"


def test_a_set_that_leaves_a_pipe_out_is_none():
    made = choices(b=(wall(4, 5, status=FAILS),) * 2, A=(None, None))
    assert [each.columns for each in made.sets] == [(0, 1)]
    assert made.sets[0].total == 5000 + 2250 + 900
    assert list(made.assignment()) == [(1, 1), (1, 2)]
    assert Choices(town()).sets == Choices(town()).sets
    assert list(Choices(replace(town(), assignments=())).grid()) == []
    assert choices(by="mass").sets == ()


def test_the_cheapest_of_each_pipe_per_length():
    made = choices()
    assert made.choice(0)[1].value == "B [D]"
    assert made.choice(0)[2].value == pytest.approx(50)
    assert made.choice(1)[1].value == "Felt A [D]"
    assert choices(system="US").choice(1)[2].value == pytest.approx(45 * FOOT)
    assert choices(by="mass").choice(0) == {}
    assert choices(a=(None, None), b=(None, None)).choice(1) == {}


# Legs


def tube(least=0.22, passes=True, status=SIZED, proposed=None, thickness=0.25):
    return Made(
        passes=passes,
        proposed=proposed,
        tube=Made(diameter=8.0, thickness=thickness),
        legs=[Made(required=0.2, least=0.3), Made(required=0.21, least=least)],
        built=Made(status=status),
        worst=Made(governing="X1.3"),
    )


def lined(monkeypatch, *found, unit="US", before=SIZED, stated=None):
    """The wall of the tube that lines a pipe, whose wall by itself failed X1.1."""
    asked = []

    def lining(*given):
        asked.append(given[3:])
        return found[len(asked) - 1]

    monkeypatch.setattr(legs, "task", lambda *given: None)
    monkeypatch.setattr(legs, "designed", lambda made: None)
    monkeypatch.setattr(legs, "lining", lining)
    monkeypatch.setattr(legs, "short_legs", lambda each: [Made(said="at 9 ft")])
    old = wall(9.0, 9.0, failing=("X1.1",), status=before)
    resin = read("USD").resins[1]
    made = legs._wall(
        Made(criteria=None), Made(tube_thickness=stated), resin, old, Purchase(), unit
    )
    return made, asked


def test_the_wall_of_a_tube_is_that_of_its_legs(monkeypatch):
    """The most required and the least delivered; 0.2 in are 5.08 mm."""
    made, asked = lined(monkeypatch, tube())
    assert asked == [()]
    assert (made.required, made.nominal, made.delivered) == pytest.approx((5.334, 6.35, 5.588))
    assert made.diameter == pytest.approx(203.2)
    assert (made.governing, made.status) == ("X1.3", SIZED)
    assert (made.failing, made.next_down, made.short_legs) == ((), None, ("at 9 ft",))
    # pi (D - t) t of 1.2 g/cm3, which the house's pi of six figures makes 4.712 kg/m.
    mass = np.pi * (203.2 - 6.35) * 6.35 / 1e6 * 1200
    assert made.mass == pytest.approx(mass, rel=1e-5)
    metric, _ = lined(monkeypatch, tube(), unit="SI")
    assert metric.nominal == pytest.approx(0.25)


def test_a_tube_that_is_too_thin_is_proposed_anew_unless_it_is_stated(monkeypatch):
    thin, thick = tube(passes=False, proposed=0.3), tube(thickness=0.3)
    made, asked = lined(monkeypatch, thin, thick)
    assert (asked, made.status) == ([(), (0.3,)], SIZED)
    assert made.nominal == pytest.approx(7.62)
    made, asked = lined(monkeypatch, thin, thick, stated="0.25 in")
    assert (asked, made.status) == ([()], FAILS)
    made, asked = lined(monkeypatch, tube(passes=False))
    assert (asked, made.status) == ([()], FAILS)
    assert lined(monkeypatch, tube(), before=FAILS)[0].status == SIZED
    assert lined(monkeypatch, tube(status=OUTSIDE))[0].status == OUTSIDE
    assert lined(monkeypatch, tube(), before="checked")[0].status == "checked"


# Pictures


@pytest.mark.parametrize(("panels", "beside"), [(1, 2), (2, 2), (3, 1), (4, 1)])
def test_three_panels_take_the_width_of_a_page(monkeypatch, panels, beside):
    figure, _ = new_figure(4, 3, panels)
    monkeypatch.setattr(pictures, "render", lambda figure, form: form.encode())
    block = pictures.Drawn("name", figure, "caption", "words").block
    assert (block.svg, block.caption, block.alternative, block.beside) == (
        *("svg", "caption", "words"),
        beside,
    )


def test_a_resin_that_fails_a_pipe_has_a_hatched_bar():
    found = compared("mass", c=(wall(8.0, 7.5, status=FAILS),) * 2, C=(wall(7.0, 7.5),) * 2)
    order = [replace(each, rank=place) for place, each in enumerate(found.order, 1)]
    (made,) = pictures._decision(order, "mass", "SI")
    (axes,) = made.figure.axes
    named = dict(zip((each.resin.name for each in order), axes.patches, strict=True))
    assert [bool(named[each].get_hatch()) for each in ("Felt A", "B", "C")] == [False, False, True]
    assert made.caption.endswith(sentence("compare.hatched"))
    assert axes.get_title() == made.caption.removesuffix(sentence("compare.hatched"))
    assert "; C [D] 3.00" in made.words


@pytest.mark.parametrize(
    ("missing", "shown"),
    [
        ((Missing.SIZE,), True),
        ((Missing.SIZE, Missing.LIFE), False),
        ((Missing.CURRENCY,), False),
    ],
)
def test_a_resin_without_the_price_of_a_size_is_shown_without_a_rank(missing, shown):
    """Over the pipes in common its figure is one; of other resins without a rank it is none."""
    found = compared("mass")
    first, *rest = found.order
    order = [replace(first, rank=None, missing=missing), *rest]
    (made,) = pictures._decision(order, "mass", "SI")
    (axes,) = made.figure.axes
    names = [text.get_text() for text in axes.get_yticklabels()]
    assert ("-  B [D]" in names) is shown
    assert len(axes.patches) == len(names) == 1 + shown


def test_ranges_over_the_trials_with_the_chance_of_being_least():
    town = project(more=SECOND)
    systems = tuple(
        Made(resin=resin, ends=ends, least=Made(chance=chance))
        for resin, ends, chance in zip(
            town.resins, ((4.0, 5.0, 7.0), (3.0, 6.0, 6.5)), (0.666, 0.334), strict=True
        )
    )
    chances = Made(systems=systems, by="mass", common=3)
    (made,) = pictures._under_uncertainty(chances, "SI")
    (axes,) = made.figure.axes
    spans = [(bar.get_x(), bar.get_width()) for bar in axes.patches]
    assert np.array(spans) == pytest.approx(np.array([(0.004, 0.003), (0.003, 0.0035)]))
    assert [line.get_xdata()[0] for line in axes.lines] == pytest.approx([0.005, 0.006])
    assert [text.get_text().strip() for text in axes.texts] == ["least in 67 %", "least in 33 %"]
    assert [text.get_position()[0] for text in axes.texts] == pytest.approx([0.007, 0.0065])
    assert [t.get_text() for t in axes.get_yticklabels()] == ["Felt A [D]", "Felt B [D]"]
    assert axes.get_xlabel() == "total mass, t"
    assert made.caption == axes.get_title()
    assert made.caption == "Total mass, t, over the 3 pipes in common: 5 to 95 % of the trials"
    assert made.words == "Felt A [D] 67 %; Felt B [D] 33 %"
    assert axes.get_xlim() == pytest.approx((0, 1.4 * 0.007))
    assert axes.yaxis_inverted()


def test_lines_by_pipe_are_those_of_the_trials_where_there_are_any():
    found = compared()
    ends = {(0, 0): (5.0, 7.0), (0, 1): (4.0, np.inf), (1, 0): (3.0, 5.0)}
    (made,) = pictures._by_pipe(found.table, "thickness", "SI", Made(ends=ends))
    (axes,) = made.figure.axes
    plain = [line for line in axes.lines if line.get_marker() in ("None", "")]
    assert [list(line.get_xdata()) for line in plain] == [[5, 7], [3, 5], [4], [], []]
    assert made.caption == "Nominal thickness, mm, in each pipe; lines: 5 to 95 % of the trials"
    assert made.words == "Trunk: B [D]; Lane: Felt A [D]"


def test_of_many_pipes_those_are_drawn_in_which_the_choice_matters_most():
    """Twenty of 22: the lanes differ less over their 50 m than the trunks over 100 m."""
    found = compared()
    (made,) = pictures._by_pipe(found.table * 11, "thickness", "SI")
    (axes,) = made.figure.axes
    names = [text.get_text() for text in axes.get_yticklabels()]
    assert names == ["Trunk"] * 11 + ["Lane"] * 9
    what = {"what": "Nominal thickness, mm", "lines": sentence("compare.lines_of_ranges")}
    assert made.caption == sentence("compare.by_pipe_most", count=20, all=22, **what)


@pytest.mark.parametrize(
    ("kept", "named", "used"),
    [
        (("Felt A", "B", "C"), None, "Felt A"),
        (("Felt A", "B", "C"), "B", "B"),
        (("B", "C"), None, "B"),
        ((), "C", "C"),
    ],
)
def test_a_reference_that_the_pipe_cannot_use_is_replaced(monkeypatch, kept, named, used):
    town, asked = read("USD"), []
    by_name = {each.name: each for each in town.resins}
    monkeypatch.setattr(pictures, "usable", lambda project, pipe: [by_name[n] for n in kept])
    monkeypatch.setattr(pictures, "_decision", lambda *given: ["decision"])
    monkeypatch.setattr(pictures, "_by_pipe", lambda *given: ["by pipe"])
    monkeypatch.setattr(pictures, "_under_uncertainty", lambda *given: ["trials"])
    monkeypatch.setattr(
        pictures,
        "_of_pipe",
        lambda *given: asked.append((given[1].name, given[2].name)) or ["pipe"],
    )
    wishes = Wishes(reference=by_name.get(named))
    made = pictures.drawn(town, (), (), wishes, "SI")
    assert made == ("decision", "by pipe", "pipe")
    assert asked == [("Trunk", used)]
    chances = Made(systems=("a system",))
    assert pictures.drawn(town, (), (), wishes, "SI", chances)[1] == "trials"
    assert "trials" not in pictures.drawn(town, (), (), wishes, "SI", Made(systems=()))
    lane = Wishes(reference=by_name.get(named), pipe=town.pipes[1])
    pictures.drawn(town, (), (), lane, "SI")
    assert asked[-1] == ("Lane", used)


def test_a_wall_without_a_cost_has_no_cells():
    assert live._amount(town(), town(A=(wall(5, 6, **BARE),) * 2).table[0][0], 0, 0) == {}


def test_no_single_system_for_pipes_that_share_none():
    """A serves the first pipe and B the second: with one system there is no total."""
    apart = np.array([[5.0, np.inf], [np.inf, 7.0]])
    rows, once = np.array([2, 5]), np.array([1.0, 2.0])
    assert _cheapest(apart, rows, once, 1) == Assignment(1, None, ())
    both = _cheapest(apart, rows, once, 2)
    assert both == Assignment(2, 15.0, ((2, 0), (5, 1)))
    assert both.systems == (0, 1)
