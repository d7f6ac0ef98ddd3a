"""A review as JSON data and beside the workbook's own cells, entry by entry, from findings chosen
by hand; 0.2 in are 5.08 mm."""

from types import SimpleNamespace as Made

import pytest
from tasks.review.test_comments_by_hand import REQUIRED, C, T, item

from linerdesign.tasks.review import beside, data
from linerdesign.tasks.review.alternatives import Alternative
from linerdesign.tasks.review.comments import CORRECTION, Comment
from linerdesign.tasks.review.contradictions import Contradiction
from linerdesign.tasks.review.criteria import MET, Clause
from linerdesign.tasks.review.recheck import Comparison, Tolerances
from linerdesign.tasks.review.replay import HERE, ReplayedLine
from linerdesign.tasks.review.sensitivity import Chance, Sensitivity, Swing
from linerdesign.tasks.uncertainty.inputs import Uncertainty

METRIC = item("t X1.3", "5.08 mm", "t_X1_3", at="page 2")


def inches(value):
    return {"value": pytest.approx(value), "unit": "in"}


def mm(value):
    return {"value": pytest.approx(value), "unit": "mm"}


def test_a_comparison_in_the_unit_in_which_it_is_stated():
    """0.2 in beside ours of 0.25 in is 20 % less; their inputs give 0.4 in, 60 % more."""
    made = Comparison(METRIC, 0.25, 0.4, False, True, False, by_rounding=True, unit_meant="in")
    assert data._comparison(made) == {
        "item": "t X1.3",
        "stated": mm(5.08),
        "recomputed": mm(6.35),
        "difference_percent": pytest.approx(-20),
        "agrees": False,
        "open_point": False,
        "agrees_only_by_rounding": True,
        "unit_meant": "in",
        "with_their_inputs": mm(10.16),
        "of_input_percent": pytest.approx(60),
        "of_calculation_percent": pytest.approx(-50),
    }
    none = data._comparison(Comparison(T, None, None, True, True, True))
    assert (none["stated"], none["open_point"], none["unit_meant"]) == (inches(0.2), True, None)
    assert {name for name, value in none.items() if value is None} == {
        "recomputed", "difference_percent", "unit_meant", "with_their_inputs",
        "of_input_percent", "of_calculation_percent",
    }  # fmt: skip


def test_a_replayed_line_with_its_place():
    assert data._replayed(ReplayedLine(METRIC, 0.25, False, HERE, "80 ft")) == {
        "item": "t X1.3",
        "at": "page 2",
        "stated": mm(5.08),
        "from_their_values": mm(6.35),
        "agrees": False,
        "cause": "here",
        "station": "80 ft",
    }
    plain = data._replayed(ReplayedLine(REQUIRED, None, True, None))
    assert (plain["at"], plain["from_their_values"], plain["agrees"]) == (None, None, True)


def test_inputs_editions_and_comments():
    value = Alternative("E_s", 700.0, 1000.0, False, "hardly", "t X1.3")
    assert data._instead(value, "US") == {
        "symbol": "E'_s",
        "value": {"value": 700.0, "unit": "psi"},
        "now": {"value": 1000.0, "unit": "psi"},
        "plausible": False,
        "why": "hardly",
    }
    basis = Made(system="US", condition="fully deteriorated", edition="F1216-16")
    result = Made(basis=basis, required_thickness=0.2, nominal_thickness=0.25, governing="X1.3")
    assert data._beside(result) == {
        "condition": "fully deteriorated",
        "edition": "F1216-16",
        "required_thickness": inches(0.2),
        "nominal_thickness": mm(6.35),
        "governing": "X1.3",
    }
    full = Comment(CORRECTION, "too thin", "C", "page 3", "0.7", "0.64")
    assert data._comment(3, full) == {
        "number": 3, "weight": CORRECTION, "item": "C", "text": "too thin", "at": "page 3",
        "submitted": "0.7", "recheck": "0.64",
    }  # fmt: skip
    bare = data._comment(4, Comment(CORRECTION, "too thin"))
    assert [bare[key] for key in ("item", "at", "submitted", "recheck")] == [None] * 4


def explained(name, place, **more):
    given = {
        "names": (name,), "place": place, "explains": ("C",), "complete": True, "chance": 0.25,
        "credible": False, "expected": {"C": 0.77}, "words": f"{name} was 1", "exact": True,
        "values": {},
    }  # fmt: skip
    return Made(**(given | more))


def test_an_explanation_and_those_that_are_not_told_from_it():
    """0.77 is 10 % over the 0.70 stated, and 3.75 % under the 0.80 of ours."""
    one, same, other = explained("a", 1), explained("b", 1), explained("c", 2)
    found = Made(
        submittal=Made(items=(T, C)),
        with_their_inputs={"C": 0.8},
        explanations=(one, same, other),
        sized=Made(basis=Made(system="US")),
    )
    made = data._explanation(one, found)
    text = made.pop("text")
    assert text.startswith("C = 0.770")
    assert "1 in 4" in text
    made.pop("tell_apart")
    assert made == {
        "slips": ["a"],
        "reproduces": {"value": 0.77, "unit": ""},
        "difference_percent": pytest.approx(10),
        "place": 1,
        "explains": ["C"],
        "complete": True,
        "chance": 0.25,
        "finding": False,
        "effect_percent": pytest.approx(-3.75),
        "not_distinguishable_from": [["b"]],
    }
    found.with_their_inputs = {}
    alone = data._explanation(explained("c", 3, chance=None), found)
    assert (alone["effect_percent"], alone["not_distinguishable_from"]) == (None, [])
    assert alone["text"].startswith("C = 0.770")
    zero = item("C", "0", unit="")
    found.submittal.items = (zero,)
    assert data._explanation(one, found)["difference_percent"] is None


def test_the_sensitivity_with_and_without_a_chance():
    class Moved(Uncertainty):
        by = 200.0

    about = Moved("E_s", None, 1000.0, "psi", "assumed", False)
    swing = Swing(about, 1000.0, (0.3, 0.2), (0.3, 0.25), 0.25, 0.25)
    chance = Chance(0.2, 0.75, 131072, 7, 1, ())
    assert data._sensitivity(Sensitivity((swing,), chance), "US") == {
        "inputs": [
            {
                "symbol": "E'_s",
                "origin": "assumed",
                "doubt": {"value": 200.0, "unit": "psi"},
                "required_thickness": [inches(0.3), inches(0.2)],
                "nominal_thickness": [mm(7.62), mm(6.35)],
                "changes_nominal": True,
            }
        ],
        "chance": {"thickness": mm(5.08), "enough": 0.75, "draws": 131072, "seed": 7},
    }
    assert data._sensitivity(Sensitivity((), None), "US") == {"inputs": [], "chance": None}


def reviewed(**more):
    basis = Made(system="US")
    sized = Made(name="A", basis=basis, required_thickness=0.2, nominal_thickness=0.25)
    found = {
        "sized": sized, "checked": None, "comparisons": (), "verdict": "thin", "replay": (),
        "first_departure": "C", "contradictions": (Contradiction(("C", "t"), "both", True),),
        "explanations": (), "own": None, "wall": 0.3, "rounded_up_by_us": True,
        "lowest_factor": 1.9, "lined": None, "thin": None, "alternatives": (),
    }  # fmt: skip
    return Made(
        found=Made(**(found | more)),
        clauses=(Clause("N", "2", "1.5", MET, default=True),),
        comments=(Comment(CORRECTION, "one"), Comment(CORRECTION, "two")),
        first=4,
        moved=Sensitivity((), None),
        side_by_side=(),
    )


def test_a_pipe_of_the_review(monkeypatch):
    monkeypatch.setattr(data, "second_data", lambda sized: None)
    made = data._pipe(reviewed())
    assert made.pop("sensitivity") == {"inputs": [], "chance": None}
    assert [(each["number"], each["text"]) for each in made.pop("comments")] == [
        (4, "one"), (5, "two"),
    ]  # fmt: skip
    assert made == {
        "name": "A",
        "comparisons": [],
        "verdict": "thin",
        "replay": [],
        "first_departure": "C",
        "contradictions": [{"items": ["C", "t"], "text": "both"}],
        "explanations": [],
        "number_of_check": None,
        "required_thickness": inches(0.2),
        "nominal_thickness": mm(6.35),
        "reviewed_thickness": mm(7.62),
        "rounded_up_by_us": True,
        "safety_factor": 1.9,
        "checks": [],
        "legs": [],
        "allowable": [],
        "instead": [],
        "compliance": [
            {"clause": "N", "asked": "2", "shown": "1.5", "status": MET, "default": True}
        ],
        "side_by_side": [],
    }
    monkeypatch.setattr(data, "second_data", lambda sized: "second")
    monkeypatch.setattr(data, "legs_data", lambda lined, system: (lined, system))
    monkeypatch.setattr(data, "check_data", lambda check, system: (check, system))
    monkeypatch.setattr(data.thin_wall, "data", lambda thin: thin)
    other = data._pipe(
        reviewed(
            wall=None, own=Made(equation="X1.1"), lined="lined", thin="thin",
            checked=Made(checks=("check",)),
        )
    )  # fmt: skip
    assert (other["reviewed_thickness"], other["number_of_check"]) == (None, "X1.1")
    assert (other["legs"], other["allowable"]) == (("lined", "US"), "thin")
    assert (other["checks"], other["second_method"]) == ([("check", "US")], "second")


def test_the_review_of_all_pipes(monkeypatch):
    monkeypatch.setattr(data, "disposition", lambda reviewed: f"{len(reviewed)} reviewed")
    monkeypatch.setattr(data, "general", lambda reviewed: ((9, Comment(CORRECTION, "all")),))
    monkeypatch.setattr(data, "_pipe", lambda each: each)
    made = data.review_data(("A", "B"), "SI")
    assert made["format"] == data.FORMAT
    assert (made["units"], made["proposed_disposition"]) == ("SI", "2 reviewed")
    assert made["pipes"] == ["A", "B"]
    assert [(each["number"], each["text"]) for each in made["general_comments"]] == [(9, "all")]


# Beside the cells of the workbook


def place(at, *keys):
    return Made(at=at, steps=lambda: dict.fromkeys(keys), name=lambda key: f"{key} at {at}")


def test_stated_values_beside_the_cell_of_the_station_that_governs(monkeypatch):
    """0.2 in beside 0.25 in, within the last digit of 0.0005 in or 1 %; lines of our own wall are
    left out, and pipes have a place for each station."""
    asked = []

    def places(sized, first):
        asked.append((sized.name, first))
        return [place("0 ft", "t_X1_3", "t", "DR", "C"), place("80 ft", "t_X1_3", "t", "DR", "C")]

    monkeypatch.setattr(beside, "places_of", places)
    monkeypatch.setattr(beside, "verification", lambda basis: [Made(result="DR")])
    of_wall = Comparison(item("DR", "45", unit=""), 45.0, 45.0, True, True, False)
    no_cell = Comparison(item("P", "5 psi", unit="psi"), 5.0, 5.0, True, True, False)

    def pipe(name, governing, *comparisons):
        sized = Made(name=name, basis=None, governing_station=governing, stations=("0 ft", "80 ft"))
        return Made(
            found=Made(sized=sized, comparisons=comparisons, tolerances=Tolerances(0.01, 0.05))
        )

    wrong = Comparison(T, 0.25, 0.4, False, True, False)
    nothing = Comparison(C, None, None, True, True, False)
    zero = Comparison(METRIC, 0.0, 0.0, True, True, False)
    grid = beside.beside_ours(
        (pipe("A", "80 ft", wrong, of_wall, no_cell, nothing), pipe("B", None, zero))
    )
    assert asked == [("A", 1), ("B", 3)]
    assert grid.rows == (
        ("A", "thickness", "page 3", "in", "0.2", "0.25", "-20", "differs"),
        ("B", "t X1.3", "page 2", "in", "0.2", "0", "-", "agrees"),
    )
    assert len(grid.columns) == len(grid.align) == 8
    assert set(grid.live) == {(row, column) for row in (0, 1) for column in (4, 5, 6, 7)}
    stated, ours, share, result = (grid.live[0, column] for column in (4, 5, 6, 7))
    assert (stated.value, stated.formula) == (0.2, "")
    assert (ours.value, ours.formula) == (0.25, "t at 80 ft")
    # ECMA-376, 18.8.31: figures only where there are any; signs of more and of less.
    assert (ours.pattern, share.pattern) == ("0.####", "+0.0;-0.0;0.0")
    assert share.value == pytest.approx(-20)
    assert share.formula == 'IF([5]=0, "-", 100*([4]/[5]-1))'
    assert result.value == "differs"
    assert result.formula == ('IF(ABS([4]-[5])<=MAX(0.0005, 0.01*ABS([5])), "agrees", "differs")')
    assert grid.live[1, 5].value == 0.0
    assert grid.live[1, 5].formula == "t_X1_3 at 0 ft"
    assert grid.live[1, 7].value == "agrees"
