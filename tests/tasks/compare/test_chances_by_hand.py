"""The chances of systems as tables and data, against numbers chosen by hand; nothing is drawn."""

from dataclasses import replace
from types import SimpleNamespace as Made

import pytest
from projects import toml
from tasks.compare.test_report import bullets, compared, grids, read

from linerdesign.documents.blocks import Heading
from linerdesign.project.distributions import distribution
from linerdesign.tasks.compare import chances, report
from linerdesign.tasks.compare.chances import Found, Learnt, System
from linerdesign.tasks.compare.chances_report import blocks, data
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.tasks.uncertainty.pipes import Wishes
from linerdesign.tasks.uncertainty.sampling import SCRAMBLES, TOLERANCE, Share
from linerdesign.words import sentence

FOOT, POUND = 0.3048, 0.45359237
WATER = Uncertainty(
    "h_invert", distribution("groundwater_above_invert", "normal, sd 2 ft"), 10.0, "ft", "plan",
    stated=True,
)  # fmt: skip


def found(by="thickness", **more):
    a, b, _ = read().resins
    given = {
        "by": by,
        "wishes": Wishes(),
        "systems": (
            System(a, Share(0.666, 0.002), (4.0, 5.555, 123.456), 0.25),
            System(b, Share(0.334, 0.002), (3.0, 99.999, 1234.5), 0.0),
        ),
        "common": 2,
        "least": {(0, 0): Share(0.5, 0.001), (1, 1): Share(0.123, 0.002)},
        "sufficient": {(0, 0): Share(0.9, 0.001), (0, 1): Share(1.0, 0.0)},
        "ends": {},
        "learnt": (
            Learnt("ovality", "ovality", "", None, 0.5),
            Learnt("price", "price", "B", 2.0, 1.0),
            Learnt("", "", "", 3.0, 4.0),
            Learnt("price", "price", "Felt A", 0.039, 0.04),
            Learnt("cover", "cover", "", 0.0, None),
        ),
        "trials": 4096,
        "converged": True,
        "drawn": (("Trunk", WATER, "Trunk"),),
        "left_out": ("Bend",),
    }
    return Found(**(given | more))


def tables(by="thickness", system="SI", **more):
    return list(blocks(compared(by, system), found(by, **more)))


def test_totals_of_the_systems():
    heading, *_ = made = tables()
    assert heading == Heading(sentence("uncertainty.compare_title"), 2)
    totals = grids(made)[0]
    assert totals.columns == ("resin", "least, %", "5 %, mm", "50 %", "95 %")
    assert totals.caption == sentence(
        "uncertainty.compare_totals", what="mean nominal thickness", count=2
    )
    assert totals.align == "<>>>>"
    assert totals.rows == (
        ("Felt A [D]", "66.6 ± 0.2", "4.00", "5.55", "123.46"),
        ("B [D]", "33.4 ± 0.2", "3.00", "100.00", "1,234.50"),
    )
    money = grids(tables("cost", systems=found().systems))[0]
    assert money.rows[0][2:] == ("4.00", "5.55", "123")
    assert money.rows[1][3:] == ("100.00", "1,234")
    mass = grids(tables("mass", "US"))[0]
    assert mass.rows[0][2:] == (
        f"{4 / POUND:.2f}",
        f"{5.555 / POUND:.2f}",
        f"{123.456 / POUND:.0f}",
    )
    whole = replace(found().systems[0], ends=(99.996, 100.0, 100.4))
    assert grids(tables("cost", systems=(whole,)))[0].rows[0][2:] == ("100.00", "100", "100")
    assert grids(tables(systems=()))[0].caption == sentence(
        "uncertainty.compare_pipes", what="thickness"
    )


def test_chances_in_each_pipe():
    _, least, walls, *_ = grids(tables())
    assert least.columns == ("pipe", "Felt A [D]", "B [D]", "C [D]")
    assert (least.align, least.repeat) == ("<>>>", 1)
    assert least.rows == (("Trunk", "50.0", "-", "-"), ("Lane", "-", "12.3", "-"))
    assert walls.caption == sentence("uncertainty.compare_walls")
    assert walls.rows == (("Trunk", "90.0", "100.0", "-"), ("Lane", "-", "-", "-"))


def test_inputs_worth_knowing_come_in_their_order_and_all_of_them_last():
    """Over 1 % of the largest value of 4, which 0.04 is not."""
    made = tables()
    worth = grids(made)[3]
    assert worth.columns == ("input", "of", "one system, mm", "by pipe, mm")
    assert worth.caption == sentence("uncertainty.compare_value", what="mean nominal thickness")
    assert worth.align == "<<>>"
    assert worth.rows == (
        ("price", "B [D]", "2.00", "1.00"),
        ("ovality", "each pipe", "-", "0.50"),
        ("all of them", "", "3.00", "4.00"),
    )
    assert bullets(made)[0] == sentence(
        "uncertainty.compare_not_worth", least=1.0, inputs="price (Felt A [D]); cover"
    )
    more = (*found().learnt[:3], Learnt("price", "price", "Felt A", None, 0.0401))
    assert len(grids(tables(learnt=more))[3].rows) == 4
    none = tables(learnt=(Learnt("cover", "cover", "", 0.005, 0.0),))
    assert bullets(none)[0] == sentence("uncertainty.compare_none_worth")
    assert len(grids(none)) == 4
    little = tables(learnt=(Learnt("cover", "cover", "", 0.00502, 0.0),))
    assert grids(little)[3].rows == (("cover", "each pipe", "0.01", "0.00"),)
    assert len(grids(tables(learnt=()))) == 4
    # What is not known is worth nothing.
    for one, by_pipe in ((None, 0.004), (0.004, None)):
        unknown = tables(learnt=(Learnt("cover", "cover", "", one, by_pipe),))
        assert len(grids(unknown)) == 4
    # What is less than nothing by the scatter of the trials prints as nothing.
    minus = tables(learnt=(Learnt("cover", "cover", "", 1.0, -0.001),))
    assert grids(minus)[3].rows[0][3] == "0.00"


def test_what_is_said_of_the_trials():
    told = bullets(tables())
    lacking = sentence("uncertainty.lacking", resin="Felt A [D]", percent=25.0)
    assert told[1:6] == [
        sentence("uncertainty.left_out", names="Bend"),
        sentence("uncertainty.compare_trials"),
        sentence("uncertainty.compare_value_says", what="thickness"),
        sentence("uncertainty.replaced", systems=lacking),
        sentence("uncertainty.no_model"),
    ]
    assert told[6:] == [
        sentence("uncertainty.once"),
        sentence("uncertainty.trials", trials=4096, seed=Wishes().seed, scrambles=SCRAMBLES),
    ]
    rough = bullets(tables(converged=False))
    assert rough[-1] == sentence("uncertainty.not_converged", tolerance=100 * TOLERANCE)
    whole = tuple(replace(each, lacking=0.0) for each in found().systems)
    assert not any("trials" in each and "25.0" in each for each in bullets(tables(systems=whole)))
    (inputs,) = grids(tables())[-1:]
    assert inputs.rows[0][0] == "groundwater above invert"


@pytest.mark.parametrize(
    ("by", "unit"),
    [
        ("thickness", "mm"),
        ("mass", "kg"),
        ("carbon", "kg"),
        ("cost", "USD"),
        ("annual-cost", "USD"),
    ],
)
def test_the_data(by, unit):
    made = data(compared(by, town=read("USD")), found(by))
    assert (made["compared_by"], made["unit"], made["pipes_in_common"]) == (by, unit, 2)
    share = lambda chance, error: {"chance": chance, "standard_error": error}  # noqa: E731
    assert made["systems"][0] == {
        "resin": "Felt A",
        "least": share(0.666, 0.002),
        "percentiles": {"5": 4.0, "50": 5.555, "95": 123.456},
        "no_thickness_sufficient": 0.25,
    }
    assert made["least_in_pipe"] == {
        "Trunk": {"Felt A": share(0.5, 0.001)},
        "Lane": {"B": share(0.123, 0.002)},
    }
    assert made["sufficient"] == {"Trunk": {"Felt A": share(0.9, 0.001), "B": share(1.0, 0.0)}}
    assert made["value_of_information"][1:3] == [
        {"key": "price", "of": "B", "one_system": 2.0, "by_pipe": 1.0},
        {"key": None, "of": None, "one_system": 3.0, "by_pipe": 4.0},
    ]
    assert made["value_of_information"][0]["of"] is None
    assert (made["trials"], made["converged"], made["left_out"]) == (4096, True, ["Bend"])
    assert made["inputs"][0]["pipe"] == "Trunk"


def test_three_pictures_of_the_decision_come_first_with_the_chances():
    pictures = tuple(Made(block=f"picture {n}") for n in range(5))
    made = report.comparison_report(replace(compared(), pictures=pictures, chances=found()))
    rest = made.on_paper().rest
    assert rest[:2] == ("picture 1", "picture 2")
    assert rest[-2:] == ("picture 3", "picture 4")
    assert rest[2] == Heading(sentence("uncertainty.compare_title"), 2)


@pytest.mark.parametrize(
    ("more", "key", "number", "unit"),
    [
        ("", "price", 6.0, "kg"),
        ('[resin.cost]\ntube_price = "3.048 EUR/ft"', "tube_price", 10.0, "m"),
        ('[resin.cost]\nmobilisation = "900 EUR"', "mobilisation", 900.0, ""),
    ],
)
def test_prices_are_those_of_a_kilogram_and_a_metre(more, key, number, unit):
    resin = read(more=more).resins[1]
    price = chances._priced(resin, key)
    assert price.number == pytest.approx(number)
    assert unit in price.unit
    changed = chances._with_price(resin, key, replace(price, number=2 * price.number))
    assert chances._priced(changed, key).number == pytest.approx(2 * number)
    assert chances._priced(read().resins[2], key) is None


def test_tubes_priced_by_size_have_no_one_price():
    by_size = '[[resin.cost.tube]]\ndiameter = "12 in"\nthickness = "9 mm"\nprice = "5 EUR/m"'
    resin = read(more=f'[resin.cost]\nmobilisation = "700 EUR"\n{by_size}').resins[1]
    assert chances._priced(resin, "tube_price") is None
    assert chances._priced(resin, "mobilisation").number == 700
    assert chances._priced(resin, "price").number == 6


def test_a_comparison_without_any_uncertainty_has_no_chances(run, tmp_path):
    (tmp_path / "p.toml").write_text(toml(), encoding="utf-8")
    code, _, err = run("compare", "p.toml", "--uncertainty", "stated")
    assert (code, err.splitlines()[0][:7]) == (2, "p.toml:")
    assert "no uncertainty stated" in err
