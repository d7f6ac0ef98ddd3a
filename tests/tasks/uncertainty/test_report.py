"""Chances as tables, sentences and data: made-up numbers, each told again in its place."""

import math
from dataclasses import replace

import pytest

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.project.distributions import distribution
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.tasks.uncertainty.pipes import Chances, Found, Influence, Wishes
from linerdesign.tasks.uncertainty.report import blocks, data, plus_minus
from linerdesign.tasks.uncertainty.sampling import Share

WATER = Uncertainty(
    "h_invert", distribution("groundwater_above_invert", "normal, sd 2 ft"), 10.0, "ft", "plan",
    stated=True,
)  # fmt: skip
MODULUS = Uncertainty(
    "E", distribution("flexural_modulus", "10 %"), 250_000.0, "psi", "given", stated=False
)
LIFE = Uncertainty("N", distribution("ovality", "1 %"), 2.0, "", "given", stated=False)
FIRST = Chances(
    name="A", wall=6.0, enough=Share(0.912, 0.0021), without_factor=Share(0.9996, 0.0004),
    index=3.456, by_trials=True, nominal=7.5,
    influences=(
        Influence(MODULUS, 0.204, 0.216, 0.123, 456.0),
        Influence(WATER, 0.78, 0.796, 1.5, 7890.4),
    ),
    known=Influence(MODULUS, None, None, 1.7, 8000.0),
)  # fmt: skip
# Nothing is saved, and the cost of that is scatter; the second input plays no part at all.
SECOND = Chances(
    name="B", wall=4.5, enough=Share(1.0, 0.0), without_factor=Share(1.0, 0.0), index=math.inf,
    by_trials=False, nominal=math.inf,
    influences=(
        Influence(WATER, 0.005, 0.005, 0.004, 3.0),
        Influence(MODULUS, None, 0.0049, 0.0, None),
    ),
)  # fmt: skip
FOUND = Found(
    Wishes("usual", seed=7, confidence=0.9), (FIRST, SECOND), Share(0.9, 0.002), 4096, True,
    (("A", WATER, "A"), ("B", WATER, "B"), ("A", MODULUS, "felt"), ("A", LIFE, "")), "EUR", ("C",),
)  # fmt: skip


def parts(found):
    made = list(blocks(found))
    grids = [each for each in made if isinstance(each, Grid)]
    bullets = [each.items for each in made if isinstance(each, Bullets)]
    return made, grids, bullets


def test_every_table():
    _, (pipes, influences, inputs), _ = parts(FOUND)
    assert pipes.columns == (
        "pipe", "wall, mm", "sufficient, %", "N = 1, %", "reliability index", "90 %, mm",
    )  # fmt: skip
    assert pipes.rows == (
        ("A", "6", "91.2 ± 0.2", "100.0 ± 0.0", "3.46", "7.5"),
        ("B", "4.5", "100.0 ± 0.0", "100.0 ± 0.0", "over 6", "-"),
    )
    # Largest share first, then all of them; shares and money to whole numbers.
    assert influences.columns[-1] == "saved, EUR"
    assert influences.rows == (
        ("A", "groundwater above invert", "78", "80", "1.50", "7,890"),
        ("A", "initial flexural modulus", "20", "22", "0.12", "456"),
        ("A", "all of them", "-", "-", "1.70", "8,000"),
        ("B", "groundwater above invert", "0", "0", "0.00", "0"),
    )
    assert inputs.rows == (
        ("groundwater above invert", "normal, sd 2 ft", "stated", "each pipe", "2"),
        ("initial flexural modulus", "10 %", "usual, given", "resin felt", "1"),
        ("safety factor", "1 %", "usual, given", "the project", "1"),
    )
    assert [len(grid.align) for grid in (pipes, influences, inputs)] == [6, 6, 5]
    assert pipes.caption == "Chance that the wall is sufficient"
    assert inputs.caption == "Uncertain inputs"
    assert influences.caption.startswith("Which input matters: share of the variance")


def test_every_sentence():
    made, _, (worth, about) = parts(FOUND)
    heading, paragraph = made[:2]
    assert isinstance(heading, Heading)
    assert heading.text == "Uncertainty of the inputs"
    assert isinstance(paragraph, Paragraph)
    assert "not probabilities of collapse" in paragraph.text
    assert worth == ("no input is worth a survey or a test, since none saves thickness: B",)
    assert about[0] == ("chance that the walls of all 2 pipes are sufficient at once: 90.0 ± 0.2 %")
    assert about[1] == "not included, since the legs of the line change its wall: C"
    text = " ".join(about)
    for part in (
        "where at least 100 fail",
        "every criterion with 90 % confidence",
        "under 0.5 % of the variance",
        "taken by the source of the value: common practice, no source",
        "4,096 trials, seed 7; ± is one standard error, from 8 independent scrambles",
    ):
        assert part in text
    assert "not reached everywhere" not in text


def test_what_is_not_so_is_not_said():
    stated = replace(FOUND, wishes=Wishes(), pipes=(FIRST,), left_out=(), converged=False)
    _, _, (about,) = parts(stated)
    text = " ".join(about)
    for part in ("at once", "not included", "common practice"):
        assert part not in text
    assert about[-1] == ("the standard error aimed at, 0.25 points, is not reached everywhere")


def test_of_pipes_without_any_worth_it_is_said_once():
    _, _, (worth, _) = parts(replace(FOUND, pipes=(SECOND, replace(SECOND, name="D"))))
    assert worth == (
        "no input is worth a survey or a test, since none saves thickness in any pipe",
    )


@pytest.mark.parametrize(
    ("index", "by_trials", "printed"),
    [
        (3.456, False, "3.46 f"), (-0.5, True, "-0.50"), (math.nan, False, "-"),
        (math.inf, False, "over 6"), (-math.inf, False, "under -6"),
    ],
)  # fmt: skip
def test_the_reliability_index_says_how_it_was_found(index, by_trials, printed):
    pipe = replace(FIRST, index=index, by_trials=by_trials)
    assert parts(replace(FOUND, pipes=(pipe,)))[1][0].rows[0][4] == printed


def test_a_chance_has_its_error_in_percent():
    assert plus_minus(Share(0.5, 0.1)) == "50.0 ± 10.0"


def test_without_prices_there_is_no_column_of_money():
    free = replace(
        FIRST, known=None, influences=tuple(replace(i, saved_cost=None) for i in FIRST.influences)
    )
    _, (_, influences, _), _ = parts(replace(FOUND, pipes=(free,)))
    assert influences.columns[-1] == "saved, mm"
    assert influences.rows[0] == ("A", "groundwater above invert", "78", "80", "1.50")
    assert len(influences.align) == 5


def test_of_many_pipes_those_with_the_lowest_chance_are_listed():
    """The chance falls from 0.99 by 0.01: the last twenty of 23, in their order."""
    many = tuple(
        replace(FIRST, name=f"P{n}", enough=Share(0.99 - n / 100, 0.001)) for n in range(23)
    )
    _, (pipes, influences, _), _ = parts(replace(FOUND, pipes=many))
    assert len(pipes.rows) == 23
    assert list(dict.fromkeys(row[0] for row in influences.rows)) == [f"P{n}" for n in range(3, 23)]
    assert influences.caption == "Which input matters: the 20 of 23 pipes with the lowest chance"


def euros(number):
    return {"value": number, "unit": "EUR"}


def test_every_part_of_the_data():
    found = data(FOUND)
    first, second = found.pop("pipes")
    inputs = found.pop("inputs")
    assert found == {
        "uncertainties": "usual", "seed": 7, "trials": 4096, "converged": True, "confidence": 0.9,
        "all_sufficient": {"chance": 0.9, "standard_error": 0.002}, "left_out": ["C"],
    }  # fmt: skip
    assert first == {
        "name": "A",
        "wall": {"value": 6.0, "unit": "mm"},
        "sufficient": {"chance": 0.912, "standard_error": 0.0021},
        "without_safety_factor": {"chance": 0.9996, "standard_error": 0.0004},
        "reliability_index": 3.456,
        "reliability_index_by": "trials",
        "nominal_for_confidence": {"value": 7.5, "unit": "mm"},
        "influences": [
            {"key": "flexural_modulus", "first_order": 0.204, "total": 0.216,
             "saved": {"value": 0.123, "unit": "mm"}, "saved_cost": euros(456.0)},
            {"key": "groundwater_above_invert", "first_order": 0.78, "total": 0.796,
             "saved": {"value": 1.5, "unit": "mm"}, "saved_cost": euros(7890.4)},
        ],
        "all_known": {"saved": {"value": 1.7, "unit": "mm"},
                      "saved_cost": euros(8000.0)},
    }  # fmt: skip
    assert (second["reliability_index"], second["reliability_index_by"]) == (None, "first order")
    assert second["nominal_for_confidence"] == {"value": None, "unit": "mm"}
    assert second["all_known"] is None
    assert second["influences"][1]["saved_cost"] is None
    assert inputs[2] == {
        "pipe": "A", "key": "flexural_modulus", "uncertainty": "10 %", "distribution": "about",
        "stated": False, "source": "given", "drawn_once_for": "felt",
    }  # fmt: skip


def test_an_input_without_a_share_comes_last_and_only_if_it_saves():
    """Half a percent of the variance is listed; no share and nothing saved is not."""
    water = Influence(WATER, 0.005, 0.005, 0.0, None)
    silent, saving = (Influence(MODULUS, None, None, saved, None) for saved in (0.0, 0.5))

    def listed(*influences):
        pipe = replace(FIRST, influences=influences, known=None)
        _, (_, table, _), _ = parts(replace(FOUND, pipes=(pipe,)))
        return [row[1:] for row in table.rows]

    level = ("groundwater above invert", "0", "0", "0.00")
    assert listed(silent, water) == [level]
    assert listed(saving, water) == [level, ("initial flexural modulus", "-", "-", "0.50")]
