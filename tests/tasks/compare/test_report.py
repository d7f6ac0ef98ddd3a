"""Every table of a comparison against walls chosen by hand; nothing is designed."""

from dataclasses import replace
from types import SimpleNamespace

import pytest
from tasks.compare.test_systems import project

from linerdesign.documents.blocks import Bullets, Grid, Heading
from linerdesign.findings import Severity, finding
from linerdesign.methods.verdicts import FAILS, OUTSIDE, SIZED
from linerdesign.project.quantities import Purchase
from linerdesign.tasks.compare import data, report
from linerdesign.tasks.compare.comparison import Wishes, compare
from linerdesign.tasks.compare.exchange import Effects
from linerdesign.tasks.compare.ranking import Missing, ranking
from linerdesign.tasks.compare.remarks import grades_legend, remarks_of
from linerdesign.tasks.compare.systems import Option, Wall
from linerdesign.tasks.uncertainty.pipes import Wishes as Uncertain
from linerdesign.words import sentence

POUND, FOOT = 0.45359237, 0.3048


def resin(name, more=""):
    return (
        f'[[resin]]\nname = "{name}"\nflexural_modulus = "400 ksi"\n'
        f'flexural_strength = "6000 psi"\n{more}\n'
    )


def priced(currency, life=""):
    return f'density = "1.2 g/cm^3"\nprice = "6 {currency}/kg"\n{life}'


def pipe(name, more=""):
    return (
        f'[[pipe]]\nname = "{name}"\ncondition = "partially deteriorated"\novality = "2 %"\n'
        f'host_diameter = "8 in"\ngroundwater_above_invert = "8 ft"\n{more}\n'
    )


def read(currency="EUR", length='length = "50 m"', more="", bare=""):
    """Three systems, of which the last has no price, and two pipes."""
    first = {"density": "1.15 g/cm^3", "price": "3 USD/kg", "flexural_modulus": "250 to 300 ksi"}
    text = resin("B", priced(currency, more)) + resin("C", bare) + pipe("Lane", length)
    return project({"length": "100 m"}, first, text)


def wall(required, nominal, **more):
    """A wall of 4 kg and 10 a metre for each millimetre of it."""
    made = Wall(
        required=required,
        nominal=nominal,
        diameter=200.0,
        governing="X1.1",
        status=SIZED,
        next_down=nominal - 1.5,
        minimum_governs=False,
        short=False,
        failing=(),
        notes=frozenset(),
        mass=4.0 * nominal,
        carbon=None,
        cost=10.0 * nominal,
        annual_cost=None,
    )
    return replace(made, **more)


BARE = {"mass": None, "cost": None}
DEEP = finding("ring.no_creep", Severity.CAUTION)
USUAL = finding("ring.no_time", Severity.DEFAULT)


def walls(**more):
    """By pipe and system: the wall by the worst and by the best properties."""
    made = {
        "A": (wall(5.2, 6.0), wall(4.4, 4.5)),
        "B": (wall(4.7, 5.0, notes=frozenset({DEEP, USUAL})),) * 2,
        "C": (wall(7.0, 7.5, **BARE),) * 2,
        "a": (wall(3.1, 4.5), wall(2.9, 3.0)),
        "b": (wall(4.7, 5.0, notes=frozenset({DEEP})),) * 2,
        "c": (wall(8.0, 7.5, status=FAILS, failing=("X1.1", "X1.4"), **BARE),) * 2,
    }
    return made | more


def compared(by="thickness", system="SI", town=None, purchase=None, **more):
    town = town or read()
    found = compare(town, system, Wishes(by=by))
    made = walls(**more)
    rows = (("A", "B", "C"), ("a", "b", "c"))
    table = tuple(
        tuple(
            Option(option.pipe, option.resin, *made[key])
            for option, key in zip(row, keys, strict=True)
        )
        for row, keys in zip(found.table, rows, strict=True)
    )
    return replace(
        found,
        table=table,
        order=ranking(table, by),
        purchase=purchase or Purchase(),
        remarks=remarks_of(table),
        pictures=(),
        effects=(),
        assignments=(),
        break_evens=(),
    )


def grids(blocks):
    found = [each for each in blocks if isinstance(each, Grid)]
    for each in found:
        assert len(each.align) == len(each.columns)
        assert all(len(row) == len(each.columns) for row in each.rows)
    return found


def bullets(blocks):
    return [text for each in blocks if isinstance(each, Bullets) for text in each.items]


@pytest.mark.parametrize(
    ("ends", "digits", "text"),
    [
        (None, 2, "-"),
        ((1234.567, 1234.567), 2, "1,234.57"),
        ((1234.567, 1000.0), 0, "1,235 (1,000)"),
        # Alike as printed.
        ((1.234, 1.231), 2, "1.23"),
    ],
)
def test_a_figure_by_the_best_properties_stands_in_brackets(ends, digits, text):
    assert report.band(ends, digits) == text


@pytest.mark.parametrize(
    ("system", "mass", "cost"),
    # 24 kg/m are 16.13 lb/ft, and 60 a metre 18.29 a foot.
    [("SI", 24.0, 60.0), ("US", 24 * FOOT / POUND, 60 * FOOT)],
)
def test_masses_and_costs_of_every_wall(system, mass, cost):
    found = compared(system=system)
    amounts = grids(report._every_option(found))[-1]
    per = {"SI": ("mass, kg/m", "cost/m"), "US": ("mass, lb/ft", "cost/ft")}[system]
    assert amounts.columns == ("pipe", "resin", *per)
    assert amounts.rows[0] == (
        *("Trunk", "Felt A [D]"),
        f"{mass:,.2f} ({0.75 * mass:,.2f})",
        f"{cost:,.2f} ({0.75 * cost:,.2f}) USD",
    )
    assert amounts.rows[1][3] == f"{cost * 5 / 6:,.2f} EUR"
    assert amounts.rows[2] == ("Trunk", "C [D]", "-", "-")
    one = compared(system=system, town=read("USD", length=""))
    amounts = grids(report._every_option(one))[-1]
    assert amounts.columns[-1] == per[1].replace("cost", "cost, USD")
    assert amounts.rows[1][3] == f"{cost * 5 / 6:,.2f}"
    none = compared(A=(wall(5.2, 6.0, **BARE),) * 2, B=(wall(5, 5, **BARE),) * 2)
    none = replace(none, table=none.table[:1])
    assert len(grids(report._every_option(none))) == 1


def test_thicknesses_and_margins_of_every_wall():
    """5.2 mm are 0.7 mm or 13 % over 4.5 mm; a negative margin of a wall that fails is none."""
    found = compared(
        B=(wall(2.9, 3.0, next_down=None),) * 2,
        C=(wall(2.5, 3.0, minimum_governs=True),) * 2,
        b=(None, None),
    )
    (every, _) = grids(report._every_option(found))
    assert every.columns == (
        *("pipe", "resin", "t req, mm", "nominal, mm", "equation", "over thinner", "status"),
    )
    assert every.align == "<<>><<<"
    assert every.rows == (
        (
            "Trunk",
            "Felt A [D]",
            "5.20 (4.40)",
            "6.00 (4.50)",
            "X1.1",
            "0.70 (13 %) over 4.5",
            SIZED,
        ),
        ("Trunk", "B [D]", "2.90", "3.00", "X1.1", "thinnest made", SIZED),
        ("Trunk", "C [D]", "2.50", "3.00", "X1.1", "owner's minimum", SIZED),
        ("Lane", "Felt A [D]", "3.10 (2.90)", "4.50 (3.00)", "X1.1", "0.10 (3 %) over 3", SIZED),
        ("Lane", "B [D]", "-", "-", "-", "-", "none"),
        ("Lane", "C [D]", "8.00", "7.50", "X1.1", "-", FAILS),
    )


def test_a_tube_of_legs_has_what_it_delivers():
    tube = wall(5.2, 6.0, delivered=5.5), wall(4.4, 4.5, delivered=4.5)
    found = compared(A=tube, b=(None, None), B=(wall(4, 5, delivered=4.5), wall(4, 5)))
    blocks = list(report._every_option(found))
    every = grids(blocks)[0]
    assert every.columns[2:6] == ("t req, mm", "nominal, mm", "delivered, mm", "equation")
    assert every.align == "<<>>><<<"
    assert every.rows[0][4:7] == ("5.50 (4.50)", "X1.1", "-")
    assert [row[4] for row in every.rows[1:]] == ["-"] * 5
    assert bullets(blocks) == [sentence("compare.delivered")]
    assert data._option(found.table[0][0])["delivered_thickness"] == {
        "value": 5.5,
        "best": 4.5,
        "unit": "mm",
    }
    assert data._option(found.table[0][1])["delivered_thickness"] is None


def rank_tables(found):
    return grids(report._ranking(found))


def test_the_ranking_by_mass_in_both_systems():
    """Trunk is 100 m and Lane 50 m. A: 24 x 100 + 18 x 50 = 3,300 kg; B: 20 x 150 = 3,000 kg; by
    the best properties A has 18 x 100 + 12 x 50 = 2,400 kg. The means are 5.5, 4 and 5 mm."""
    found = compared("mass")
    blocks = list(report._ranking(found))
    assert blocks[0] == Heading("Ranking by mass", 2)
    common, own = rank_tables(found)
    assert [row[3] for row in common.rows] == ["2.00", "2.40 (1.80)", "-"]
    assert own.caption == "Figures over the pipes that each resin satisfies"
    assert own.columns == (
        "rank",
        "resin",
        "mean nominal, mm",
        "mass, t",
        "cost",
        "pipes satisfied",
    )
    assert own.align == "><>>><"
    assert own.rows == (
        ("1", "B [D]", "5.00", "3.00", "7,500 EUR", "2 of 2; 1 caution; 1 default"),
        ("2", "Felt A [D]", "5.50 (4.00)", "3.30 (2.40)", "8,250 (6,000) USD", "2 of 2"),
        ("-", "C [D]", "7.50", "-", "-", "1 of 2"),
    )
    us = rank_tables(compared("mass", "US"))[-1]
    assert us.columns[3] == "mass, lb"
    assert us.rows[0][3] == f"{3000 / POUND:,.0f}"
    assert us.rows[1][3] == f"{3300 / POUND:,.0f} ({2400 / POUND:,.0f})"


def test_resins_that_fail_a_pipe_have_figures_over_the_pipes_in_common_too():
    found = compared(c=(wall(8.0, 7.5, status=FAILS, **BARE),) * 2, C=(wall(7.0, 7.5),) * 2)
    common, own = rank_tables(found)
    assert common.caption == sentence("compare.in_common", count=1, all=2)
    assert [row[-1] for row in common.rows] == ["1", "1", "1"]
    assert [row[2] for row in common.rows] == ["5.00", "6.00 (4.50)", "7.50"]
    assert [row[2] for row in own.rows] == ["5.00", "5.50 (4.00)", "7.50"]
    assert [row[0] for row in own.rows] == ["1", "2", "3"]
    said = bullets(report._ranking(found))
    assert sentence("compare.rule") in said
    assert sentence("compare.nothing_common") not in said
    apart = compared(a=(None, None))
    assert sentence("compare.nothing_common") not in bullets(report._ranking(apart))
    nothing = compared(a=(None, None), B=(None, None), C=(None, None))
    assert len(rank_tables(nothing)) == 1
    assert sentence("compare.nothing_common") in bullets(report._ranking(nothing))


def test_a_resin_that_fails_every_pipe_counts_for_no_pipes_in_common():
    none = (None, None)
    common, own = rank_tables(compared(C=none, c=none, b=none))
    assert common.caption == sentence("compare.in_common", count=1, all=2)
    assert [row[1:3] for row in common.rows] == [
        ("Felt A [D]", "6.00 (4.50)"), ("B [D]", "5.00"), ("C [D]", "-"),
    ]  # fmt: skip
    assert [row[2] for row in own.rows] == ["5.50 (4.00)", "5.00", "-"]
    assert len(rank_tables(compared(C=none, c=none))) == 1


def about(**more):
    return bullets(report._ranking(compared(**more)))


def test_what_the_ranking_says_of_itself():
    reference = "ranked by thickness; reference: Felt A"
    start, means, *others = about(town=read("USD"), c=(wall(7.0, 7.5, **BARE),) * 2)
    assert (start, means) == (reference, sentence("compare.by_length"))
    assert others == [
        sentence("compare.range"),
        sentence("compare.mass"),
        sentence(
            "compare.cost",
            shares=sentence("compare.share", share=100 * Purchase().share_by_mass),
            excess=100 * Purchase().excess,
        ),
        sentence("compare.evidence_legend", legend=grades_legend()),
        sentence("compare.not_weighed"),
    ]
    two = about()
    assert sentence("compare.not_comparable", labels="EUR, USD") in two
    no_length = about(town=read(length=""))
    assert sentence("compare.plain_means", names="Lane") in no_length
    assert sentence("compare.by_length") not in no_length
    mobilised = about(town=read(more='[resin.cost]\nmobilisation = "900 EUR"'))
    assert sentence("compare.mobilised") in mobilised
    assert sentence("compare.mobilised") not in two
    annual = about(by="annual-cost", purchase=Purchase(discount=0.04))
    assert sentence("compare.annual", rate=4.0) in annual
    assert sentence("compare.annual", rate=4.0) not in two
    plain = project(more=resin("B"))
    bare = compare(plain, "SI", Wishes())
    said = bullets(report._ranking(bare))
    for code in ("range", "mass", "mobilised"):
        assert sentence(f"compare.{code}") not in said
    assert not any(each.startswith("cost:") for each in said)


def test_why_resins_have_no_rank():
    said = about(by="cost")
    assert (
        sentence(
            "compare.unranked",
            resin="Felt A",
            why=sentence("compare.currencies", labels="EUR, USD"),
        )
        in said
    )
    (why,) = [each for each in said if each.startswith("C is not ranked")]
    assert "no density; no price" in why


def test_a_list_without_a_size_names_the_pipes():
    """Beside prices by size, a wall without a cost is one of a size that has none."""
    found = compared("cost", town=read("USD"), b=(wall(4.7, 5.0, cost=None),) * 2)
    order = tuple(replace(each, missing=(Missing.SIZE,)) for each in found.order)
    named = {each.resin.name: report.why_unranked(each, found.table) for each in order}
    assert named["B"] == sentence("compare.no_size_price", pipes="Lane")
    common, _ = rank_tables(replace(found, order=order))
    assert common.caption == sentence("compare.in_common_priced", count=1, all=2)


@pytest.mark.parametrize(
    ("by", "system", "unit", "figures"),
    [
        ("thickness", "SI", "mm", ["5", "4.5"]),
        ("mass", "SI", "kg/m", ["20.00", "18.00"]),
        ("mass", "US", "lb/ft", [f"{each * FOOT / POUND:.2f}" for each in (20, 18)]),
        ("cost", "US", "USD/ft", [f"{each * FOOT:.2f}" for each in (50, 45)]),
        ("cost", "SI", "USD/m", ["50.00", "45.00"]),
    ],
)
def test_the_choice_in_each_pipe(by, system, unit, figures):
    """In Trunk B is least, and A by its best properties; in Lane A is, either way."""
    found = compared(by, system, read("USD"))
    heading, choices = report._choices(found)
    assert heading == Heading(sentence(f"compare.choice_{by}"), 2)
    unknown = by != "thickness"
    remark = ("remark",) if unknown else ()
    head = ("pipe", "resin", f"at, {unit}", "for the largest properties", *remark)
    assert choices.columns == head
    assert choices.align == "<<><" + "<" * unknown
    lacking = (sentence("compare.unknown_of", by=sentence(f"compare.by_{by}"), names="C"),)
    assert choices.rows == (
        ("Trunk", "B [D]", figures[0], "choice changes: Felt A [D]", *lacking * unknown),
        ("Lane", "Felt A [D]", figures[1], "same choice", *("",) * unknown),
    )


def choice(**more):
    found = compared(**more)
    return report._choice(found.table[0], found.by, found.system, True)


def test_a_tie_no_resin_and_prices_that_do_not_compare():
    assert choice(B=(wall(5.0, 6.0),) * 2)[:2] == ("tie: Felt A [D], B [D]", "6")
    none = dict.fromkeys("ABC", (None, None))
    assert choice(**none) == ("-", "-", "-", "no resin satisfies the pipe")
    assert choice(by="cost") == (
        *("-", "-", "-"),
        "prices in several currencies (EUR, USD): costs are not comparable",
    )
    bare = {key: (wall(5.0, 6.0, **BARE),) * 2 for key in "ABC"}
    assert choice(by="mass", **bare) == ("-", "-", "-", "mass not known")
    one = compare(project(more=resin("B")), "SI", Wishes())
    columns = grids(report._choices(one))[0].columns
    assert columns == ("pipe", "resin", "at, mm")


def test_the_unit_of_yearly_figures():
    assert report._unit(compared("annual-cost", "US")) == "EUR or USD/ft/yr"
    assert report._unit(compared("carbon", "SI")) == "kg/m"


def test_why_resins_fail():
    heading, said = report._failing(compared().table)
    assert heading == Heading("Resins that fail a pipe", 2)
    assert said.items == ("C [D] in Lane: fails X1.1, X1.4 at 7.5 mm",)
    assert list(report._failing(compared(c=(wall(5, 6),) * 2).table)) == []
    outside = wall(
        5, 6, status=OUTSIDE, notes=frozenset({finding("ring.no_time", Severity.OUTSIDE)})
    )
    found = compared(c=(outside, outside)).table[1][2]
    assert found.reasons == (finding("ring.no_time").text,)


def test_remarks_name_the_pipes_that_they_are_not_about_all_of():
    texts = bullets(report._basis(compared()))
    assert sentence("compare.no_evidence", resin="B [D]") in texts
    deep = sentence("compare.remark", resin="B [D]", severity="caution", text=DEEP.said)
    assert deep in texts
    usual = sentence(
        "compare.remark_in", resin="B [D]", severity="default", text=USUAL.said, pipes="Trunk"
    )
    assert usual in texts
    (properties,) = grids(report._basis(compared()))
    assert [row[0] for row in properties.rows] == ["Felt A [D]", "B [D]", "C [D]"]
    assert properties.rows[1][1:3] == ("400 ksi", "50 % (default)")
    told = compared(town=read(more='evidence = "a test"'))
    assert sentence("compare.evidence", resin="B [D]", text="a test") in bullets(
        report._basis(told)
    )


def test_the_effects_of_single_properties():
    found = compared()
    effects = Effects(
        pipe="Lane",
        resin="B",
        reference=5.0,
        long_term_modulus=4.5,
        initial_modulus=5.25,
        all_properties=4.0,
    )
    (grid_of_one,) = (grid,) = grids(report._effects(replace(found, effects=(effects,))))
    assert grid.rows == (("Lane", "B [D]", "5.00", "4.50 (-0.50)", "5.25 (+0.25)", "4.00 (-1.00)"),)
    assert grid.caption == sentence("compare.exchanged", reference="Felt A [D]")
    assert (grid.align, len(grid.columns)) == ("<<>>>>", 6)
    many = replace(found, effects=(effects, replace(effects, pipe="Trunk")), table=found.table * 11)
    (grid,) = report._effects(many)
    # Trunk has 3 mm between its systems times 100 m; 22 rows are cut to 20 of the two names.
    assert grid.caption == sentence("compare.exchanged_most", reference="Felt A [D]", count=2)
    twenty = replace(found, effects=(effects,), table=found.table * 10)
    assert grids(report._effects(twenty))[0].caption == grid_of_one.caption
    assert list(report._effects(found)) == []


def test_own_shares_of_resin_in_the_wall():
    """50 % of the wall of one system by mass, and 80 % of the others; 10 % is bought over it."""
    purchase = Purchase(share_by_mass=0.8, excess=0.1)
    found = compared(purchase=purchase)
    assert report._shares(found) == "80 % of the wall by mass"
    told = compared(town=read(more='[resin.cost]\nresin_share_by_mass = "50 %"'), purchase=purchase)
    assert [each.resin.name for each in told.order] == ["B", "Felt A", "C"]
    assert report._shares(told) == "share of the wall by mass: B 50 %, Felt A 80 %, C 80 %"
    assert any("plus 10 % excess" in each for each in bullets(report._ranking(found)))


def test_the_data_of_a_wall():
    found = compared()
    made = data._option(found.table[0][0])
    both = lambda worst, best, unit: {"value": worst, "best": best, "unit": unit}  # noqa: E731
    assert made == {
        "resin": "Felt A",
        "status": SIZED,
        "why": "",
        "required_thickness": both(5.2, 4.4, "mm"),
        "nominal_thickness": both(6.0, 4.5, "mm"),
        "delivered_thickness": None,
        "governing": "X1.1",
        "next_step_down": 4.5,
        "margin": pytest.approx(0.7),
        "floor_holds": False,
        "mass_per_metre": both(24.0, 18.0, "kg"),
        "carbon_per_metre": None,
        "cost_per_metre": both(60.0, 45.0, "USD"),
    }
    none = compared(A=(None, None)).table[0][0]
    none = replace(none, faults=("no cover", "no depth"))
    assert data._option(none) == {"resin": "Felt A", "status": FAILS, "why": "no cover; no depth"}
    pipe = data._pipe(found.table[0], "thickness")
    assert {key: value for key, value in pipe.items() if key != "resins"} == {
        "name": "Trunk",
        "thinnest": ["B"],
        "tie": False,
        "thinnest_by_best_properties": ["Felt A"],
        "choice": ["B"],
        "choice_by_best_properties": ["Felt A"],
    }
    tied = compared(B=(wall(5.0, 6.0),) * 2).table[0]
    assert data._pipe(tied, "thickness")["tie"] is True


@pytest.mark.parametrize("by", ["thickness", "mass", "carbon", "cost", "annual-cost"])
def test_of_one_resin_alone_the_document_is_whole(by):
    """It has the first rank, is chosen in both pipes, and nothing can be exchanged for it."""
    terms = {"service_life": "40 yr", "embodied_carbon": "2.5 kg/kg"}
    given = {"density": "1.2 g/cm^3", "price": "3 USD/kg", "cost": terms}
    lane = pipe("Lane", 'length = "50 m"')
    water = {"uncertainty": {"groundwater_above_invert": "normal, sd 1 ft"}}
    town = project({"length": "100 m"} | water, given, lane)
    found = compare(town, "SI", Wishes(by=by, uncertainty=Uncertain(seed=1)))
    made = report.comparison_report(found)
    (ranks, *_) = grids(report._ranking(found))
    assert [row[:2] for row in ranks.rows] == [("1", "Felt A [D]")]
    choices = next(each for each in grids(made.blocks) if each.columns[:2] == ("pipe", "resin"))
    assert [row[:2] for row in choices.rows] == [("Trunk", "Felt A [D]"), ("Lane", "Felt A [D]")]
    told = data.comparison_data(found)
    assert [each["name"] for each in told["pipes"]] == ["Trunk", "Lane"]
    assert told["uncertainty"]["least_in_pipe"]["Lane"]["Felt A"]["chance"] == 1
    assert (told["exchanged"], told["assignments"], told["break_even"]) == ([], [], [])


@pytest.mark.parametrize("by", ["thickness", "mass", "cost", "annual-cost"])
def test_of_one_pipe_alone_the_document_is_whole(by):
    """Two systems in it: what they cost, and what one has to cost to break even with the other."""
    life = {"cost": {"service_life": "40 yr"}}
    given = {"density": "1.2 g/cm^3", "price": "3 USD/kg"} | life
    other = priced("USD", '[resin.cost]\nservice_life = "40 yr"')
    water = {"uncertainty": {"groundwater_above_invert": "normal, sd 1 ft"}}
    town = project({"length": "100 m"} | water, given, resin("B", other))
    found = compare(town, "SI", Wishes(by=by, uncertainty=Uncertain(seed=1)))
    made = report.comparison_report(found)
    assert [each.resin.name for each in found.order] in (["Felt A", "B"], ["B", "Felt A"])
    told = data.comparison_data(found)
    assert [each["name"] for each in told["pipes"]] == ["Trunk"]
    assert {*told["uncertainty"]["least_in_pipe"]["Trunk"]} == {"Felt A", "B"}
    costed = by in ("cost", "annual-cost")
    captions = [each.caption for each in grids(made.blocks)]
    assert (sentence("compare.break_even_thickness") in captions) == costed
    assert len(told["assignments"]) == 2 * costed
    if costed:
        (even,) = told["break_even"]
        assert (even["resin"], list(even["break_even_thickness"])) == ("B", ["Trunk"])
        least = told["pipes"][0]["choice"]
        assert [each["resins"] for each in told["assignments"]] == [least, least]
        assert told["assignments"][0]["pipes"] == {"Trunk": least[0]}


def test_the_order_of_the_document():
    found = compared("cost", town=read("USD"))
    picture = [SimpleNamespace(block=f"picture {n}") for n in range(4)]
    made = report.comparison_report(replace(found, pictures=tuple(picture)))
    paper = made.on_paper()
    assert made.title == sentence("compare.title")
    assert paper.answer[:2] == (Heading(made.title), "picture 0")
    assert paper.rest[0] == "picture 1"
    assert paper.rest[-2:] == ("picture 2", "picture 3")
    assert made.blocks == (*paper.answer, *paper.rest)
