"""Rows and sentences of the letter and of the record, from reviews chosen by hand; 0.2 in are
5.08 mm, and a safety factor is cut after two decimals."""

from dataclasses import replace
from types import SimpleNamespace as Made

import pytest
from tasks.review.test_comments_by_hand import C, T, item

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph, Sheet
from linerdesign.methods.verdicts import NO_BORE
from linerdesign.tasks.review import letter, record
from linerdesign.tasks.review.comments import CORRECTION, QUESTION, REMARK, Comment
from linerdesign.tasks.review.criteria import MET, Clause
from linerdesign.tasks.review.recheck import Comparison
from linerdesign.tasks.review.replay import FOLLOWS, HERE, ReplayedLine
from linerdesign.tasks.review.sensitivity import Chance, Sensitivity, Swing
from linerdesign.tasks.uncertainty.inputs import Uncertainty
from linerdesign.words import sentence


def pipe(name="A", weights=(), first=1, system="US", **more):
    given = {
        "wall": 0.2,
        "checked": object(),
        "verdict": "thin",
        "leaves_no_bore": False,
        "rounded_up_by_us": False,
        "lowest_factor": 1.999,
        "lined": None,
        "thin": None,
        "contradictions": (),
    } | more
    basis = Made(system=system, condition="fully deteriorated")
    sized = Made(
        name=name,
        basis=basis,
        required_thickness=0.21 if system == "US" else 5.25,
        nominal_thickness=0.25 if system == "US" else 6.0,
        governing="X1.3",
    )
    comments = tuple(Comment(weight, f"{weight} {n}") for n, weight in enumerate(weights))
    found = Made(sized=sized, **given)
    numbered = list(enumerate(comments, first))
    return Made(
        found=found,
        comments=comments,
        first=first,
        of_weight=lambda weight: [(n, c) for n, c in numbered if c.weight == weight],
        moved=Sensitivity((), None),
    )


def test_the_overview_row_by_row():
    three = pipe("B", (REMARK,) * 3, first=4, rounded_up_by_us=True, verdict="adequate")
    bore = pipe("C", (REMARK,), 7, verdict=None, leaves_no_bore=True, lowest_factor=None, wall=12.0)
    none = pipe("D", (), 8, verdict=None, wall=None, lowest_factor=None, system="SI")
    grid = letter.overview([pipe(), three, bore, none])
    assert grid.align == "<>>><>>"
    assert len(grid.columns) == 7
    assert grid.caption == sentence("review.overview")
    assert grid.rows == (
        ("A", "5.08", "5.33", "6.35", "thin", "1.99", "-"),
        ("B", "(5.08)", "5.33", "6.35", "adequate", "1.99", "4 to 6"),
        ("C", "304.80", "5.33", "6.35", NO_BORE, "-", "7"),
        ("D", "-", "5.25", "6.00", "-", "-", "-"),
    )


@pytest.mark.parametrize(
    ("more", "code", "word"),
    [
        ({}, "verdict", "too thin"),
        ({"verdict": "adequate"}, "verdict", "adequate"),
        ({"rounded_up_by_us": True}, "verdict by us", "too thin"),
        ({"wall": None}, "no wall", None),
        ({"checked": None, "leaves_no_bore": True}, "no verdict bore", None),
    ],
)
def test_the_verdict_in_one_sentence(more, code, word):
    numbers = (
        {} if word is None else {"wall": "5.08 mm (0.2 in)", "verdict": word, "factor": "1.99"}
    )
    assert letter.verdict_text(pipe(**more)) == (
        "Condition: fully deteriorated. Required thickness 5.334 mm (0.21 in) (X1.3), nominal "
        "6.35 mm (0.25 in)." + sentence(f"review.{code}", **numbers)
    )


def test_comments_are_grouped_by_their_weight():
    full = Comment(CORRECTION, "wrong", "C", "page 3", "0.7", "0.64")
    grid = letter._group(CORRECTION, [(3, full), (12, Comment(CORRECTION, "too thin"))])
    assert grid.rows == (
        ("3", "page 3", "0.7", "0.64", "wrong"),
        ("12", "-", "-", "-", "too thin"),
    )
    assert (grid.align, grid.caption) == ("><<<<", "Must correct")
    made = pipe(weights=(REMARK, CORRECTION, QUESTION, CORRECTION), first=5)
    made.found.submittal = Made(ours=None, theirs=None)
    text, *grids = list(_without_inputs(made))
    assert text == Paragraph(letter.verdict_text(made))
    assert [(each.caption, [row[0] for row in each.rows]) for each in grids] == [
        ("Must correct", ["6", "8"]),
        ("Please answer", ["7"]),
        ("Note", ["5"]),
    ]


def _without_inputs(made):
    blocks = letter._pipe(made)
    for _ in range(4):
        yield next(blocks)


def test_inputs_that_differ_and_what_each_does_alone(monkeypatch):
    """A required thickness of 0.2 in: 0.22 in with their water, 0.18 in with their modulus, none
    with their soil; N is stated as 1.5, H differs by less than its last digit."""
    right = {"q": 2.0, "H": 16.0, "h_invert": 12.0, "E_s": 1000.0, "N": 2.0, "w": 120.0, "s": 0.05,
             "t_floor": 0.0, "K": 7.0, "t_required": 0.2}  # fmt: skip
    theirs = right | {"h_invert": 5.0, "E_s": 700.0, "H": 16.0009, "w": 110.0, "s": 0.06,
                      "t_floor": 0.1, "K": 7.0 * (1 + 9e-7), "t_required": 0.3}  # fmt: skip
    keys = [key for key in right if key not in ("q", "t_required")]
    basis = Made(edition="new"), Made(edition="old")
    cases = {
        name: Made(inputs=dict.fromkeys(keys), basis=each)
        for name, each in zip(("ours", "theirs"), basis, strict=True)
    }
    alone = {"h_invert 5.0": 0.22, "E_s 700.0": 0.18, "N 1.5": 0.16, "edition": 0.21}

    def outcome(case, wall=None, alteration=None):
        if alteration is None:
            return right if case is cases["ours"] else theirs
        assert (case, wall) == (cases["ours"], None)
        ((key, patch),) = alteration[0].items()
        found = alone.get(f"{key} {patch}" if patch else key)
        return found and {"t_required": found}

    errors = Made(other_edition=lambda case: {"edition": None})
    monkeypatch.setattr(letter, "case_of", cases.get)
    monkeypatch.setattr(letter, "outcome", outcome)
    monkeypatch.setattr(letter, "fixed", lambda value: value)
    monkeypatch.setattr(letter, "standard", lambda: Made(errors=lambda: errors))
    stated = {"N": item("N", "1.5", unit=""), "H": item("H", "16.0009 ft", unit="ft")}
    stated["H"] = replace(stated["H"], half=0.001)
    made = pipe()
    made.found.submittal = Made(
        ours="ours", theirs="theirs", items=(*stated.values(), C), item=stated.get
    )
    (grid,) = letter._differing_inputs(made)
    assert grid.rows == (
        ("groundwater above invert", "5 ft", "12 ft", "+10.0 %"),
        ("modulus of soil reaction", "700 psi", "1000 psi", "-10.0 %"),
        ("safety factor", "1.5", "2", "-20.0 %"),
        ("unit weight of soil", "110 pcf", "120 pcf", "-"),
        ("edition", "old", "new", "+5.0 %"),
    )
    assert (grid.align, len(grid.columns)) == ("<>>>", 4)
    basis[1].edition = "new"
    theirs.update(right)
    made.found.submittal.items = ()
    assert list(letter._differing_inputs(made)) == []
    theirs["h_invert"] = 5.0
    assert [row[0] for row in next(letter._differing_inputs(made)).rows] == [
        "groundwater above invert"
    ]


def test_our_own_calculation_of_every_pipe_and_station(monkeypatch):
    monkeypatch.setattr(letter, "beside_ours", lambda reviewed: ("beside", len(reviewed)))
    pipes = [Made(found=Made(sized=Made(stations=stations))) for stations in ("ab", "c", "de")]
    head, grid, *every = letter.sheets(pipes)
    assert head == Heading(sentence("review.our calculation"))
    assert grid == ("beside", 3)
    assert every == [Sheet(each.found.sized, n) for each, n in zip(pipes, (1, 3, 4), strict=True)]


def test_pipes_that_are_not_reviewed_are_named():
    project = Made(pipes=[Made(name=name) for name in "ABC"])
    (found,) = letter._not_reviewed(project, (pipe("B"),))
    assert found == Paragraph(sentence("review.not reviewed", names="A, C"))
    assert letter._not_reviewed(project, [pipe(name) for name in "ABC"]) == ()


@pytest.mark.parametrize(
    ("about", "said"),
    [
        (None, None),
        (Made(number="", revision="", contractor="", received="", disposition=""), None),
        (
            Made(number="7", revision="", contractor="Thorne", received="", disposition=""),
            "Submittal 7; submitted by Thorne.",
        ),
    ],
)
def test_the_opening_names_what_is_known_of_the_submittal(monkeypatch, about, said):
    monkeypatch.setattr(letter, "disposition", lambda reviewed: "rejected")
    found = list(letter._opening(Made(submittal=about), ()))
    assert found[:-2] == ([] if said is None else [Paragraph(said)])
    assert found[-2] == Heading("Proposed disposition: rejected", 2)
    assert found[-1].text.endswith(sentence("review.engineer decides"))


# The record


def compared(**more):
    given = {"agrees": False, "calculated_right": True, "open_point": False} | more
    return Comparison(T, 0.25, None, **given)


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (Comparison(T, None, None, True, True, True), "no counterpart"),
        (compared(unit_meant="mm", agrees=True, by_rounding=True), "unit"),
        (compared(by_rounding=True, agrees=True, open_point=True), "rounded"),
        (compared(agrees=True, open_point=True), "agrees"),
        (compared(open_point=True), "open"),
        (compared(), "differs"),
    ],
)
def test_the_first_thing_that_holds_is_said_of_a_comparison(made, said):
    assert record._agreement(made) == said


def test_stated_values_beside_ours_row_by_row():
    """0.2 of 0.25 is 20 % less; beside their inputs of 0.4, 50 % less, which add 60 %."""
    found = Made(
        submittal=Made(other_inputs=()),
        comparisons=(compared(), Comparison(C, None, None, True, True, False)),
    )
    grid = record._comparison(found)
    assert grid.rows == (
        ("thickness", "0.2 in", "0.25 in", "-20.0 %", "differs"),
        ("C", "0.70", "-", "-", "not part of our calculation"),
    )
    assert (grid.align, len(grid.columns)) == ("<>>><", 5)
    found.submittal.other_inputs = ("water",)
    found.comparisons = (Comparison(T, 0.25, 0.4, False, True, False, unit_meant="mm"),)
    grid = record._comparison(found)
    assert grid.rows == (
        ("thickness", "0.2 in", "0.25 in", "-20.0 %", "unit: mm?", "+60.0 %", "-50.0 %"),
    )
    assert (grid.align, len(grid.columns)) == ("<>>><>>", 7)
    assert grid.caption == sentence("review.stated beside recomputed")


def test_the_replay_row_by_row():
    q = item("q_t", "9.5 psi", unit="psi", at="page 2")
    lines = (
        ReplayedLine(q, 9.25, False, HERE),
        ReplayedLine(C, None, True, None),
        ReplayedLine(T, 0.25, True, FOLLOWS, "80 ft"),
    )
    grid = record._replay(Made(replay=lines))
    assert grid.rows == (
        ("q_t", "page 2", "9.5 psi", "9.25 psi", "departs here"),
        ("C", "-", "0.70", "-", "follows"),
        ("thickness, 80 ft", "page 3", "0.2 in", "0.25 in", "follows from an earlier departure"),
    )
    assert grid.align == "<<>><"


def test_explanations_with_their_chance(monkeypatch):
    monkeypatch.setattr(
        record, "explanation_text", lambda each, items, right: f"{right} {each.place}"
    )
    found = Made(
        explanations=(
            Made(place=1, names=("a", "b"), chance=0.25),
            Made(place=2, names=("c",), chance=None),
        ),
        submittal=Made(items=()),
        with_their_inputs="ours",
    )
    grid, said = record._explanations(found)
    assert grid.rows == (("1", "a + b", "ours 1", "1 in 4"), ("2", "c", "ours 2", "-"))
    assert grid.align == "><<<"
    assert said == Paragraph(sentence("review.chance explained"))
    assert list(record._explanations(Made(explanations=()))) == []


def test_requirements_and_editions():
    asked = record._criteria((Clause("N", "2.0", "1.5", MET),))
    assert asked == Grid(
        ("requirement", "required", "submitted", "status"),
        "<<<<",
        (("N", "2.0", "1.5", MET),),
        "The owner's requirements",
    )

    def result(edition, buried):
        basis = Made(condition="fully" if buried else "partially", edition=edition, system="SI")
        basis.buried_fully = buried
        return Made(basis=basis, required_thickness=5.254, nominal_thickness=6, governing="X1.1")

    grid = record._beside((result("F1216-16", True), result("F1216-07a", False)))
    assert grid == Grid(
        ("condition", "edition", "required, mm", "nominal, mm", "governing"),
        "<<>><",
        (
            ("fully", "ASTM F1216-16", "5.25", "6.00", "X1.1"),
            ("partially", "either", "5.25", "6.00", "X1.1"),
        ),
        "Both editions, both conditions; the owner decides",
    )


def swing(key="q_pipe", required=(0.3, 0.2), nominal=(0.3, 0.25), origin="assumed", **more):
    about = Uncertainty(key, Made(text="1 %"), 2.0, "%", origin, **({"stated": False} | more))
    return Swing(about, 2.12345, required, nominal, 0.25, 0.25)


def test_what_the_inputs_do_to_the_thickness(monkeypatch):
    asked = []
    monkeypatch.setattr(record, "tornado", lambda *given: asked.append(given) or "picture")
    made = pipe()
    made.moved = Sensitivity(
        (
            swing(),
            swing("H", nominal=(0.25, 0.25)),
            swing("E_s", origin="measured", stated=True),
        ),
        Chance(0.2, 0.98765, 131072, 7, 1, ((5, 0.19), (95, 0.2))),
    )
    said, assumed, grid, picture, chance = record._sensitivity(made)
    assert said == Paragraph(sentence("review.sensitivity"))
    assert assumed == Paragraph(
        sentence("review.depends on assumed", names="ovality of the host pipe")
    )
    assert grid.rows[0] == (
        "ovality of the host pipe", "2.123 %", "assumed", "1 %", "5.08 to 7.62", "6.35 to 7.62"
    )  # fmt: skip
    assert [row[2:4] for row in grid.rows] == [
        ("assumed", "1 %"),
        ("assumed", "1 %"),
        ("measured", "1 % (stated)"),
    ]
    assert grid.rows[1][1] == "2.123 ft"
    assert grid.align == "<><<>>"
    assert asked == [("A", made.moved, 0.2, "US", "submitted")]
    assert picture == "picture"
    assert chance.text == (
        "Monte Carlo simulation, 131,072 trials (quasi-random, seed 7): 5.08 mm is sufficient in "
        "98.8 % of the trials. Required thickness, percentiles: 5 %: 4.83 mm, 95 %: 5.08 mm."
    )
    made.found.leaves_no_bore = made.found.rounded_up_by_us = True
    made.moved = Sensitivity((swing("E_s", origin="measured"),), None)
    assert [type(each) for each in record._sensitivity(made)] == [Paragraph, Grid, str]
    assert asked[1][2:] == (None, "US", "rounded up by us")
    made.moved = Sensitivity((), None)
    assert list(record._sensitivity(made)) == []


def test_a_contradiction_is_told_in_the_record(monkeypatch):
    for name in ("_comparison", "_replay", "_criteria"):
        monkeypatch.setattr(record, name, lambda *given: "grid")
    made = pipe(
        contradictions=(Made(text="one"), Made(text="two")), explanations=(), alternatives=()
    )
    made.clauses, made.side_by_side = (), ()
    found = list(record._pipe(made))
    assert found == [
        Paragraph(letter.verdict_text(made)),
        *("grid", "grid"),
        Paragraph(sentence("review.contradictions")),
        Bullets(("one", "two")),
        "grid",
    ]


@pytest.mark.parametrize("sheets", [False, True])
@pytest.mark.parametrize("module", [letter, record])
def test_the_order_of_letter_and_record(monkeypatch, module, sheets):
    """Both methods are told of legs where any pipe has some."""
    asked = []
    monkeypatch.setattr(
        module, "both_methods", lambda sized, legs: asked.append(legs) or [len([*sized])]
    )
    monkeypatch.setattr(module, "_pipe", lambda each: [f"pipe {each.found.sized.name}"])
    monkeypatch.setattr(module, "sheets", lambda reviewed: ["sheets"])
    monkeypatch.setattr(module, "of_project", lambda project, units, title, blocks: (title, blocks))
    monkeypatch.setattr(letter, "_opening", lambda project, reviewed: ["opening"])
    monkeypatch.setattr(letter, "general", lambda reviewed: [(9, Comment(QUESTION, "general"))])
    project = Made(pipes=[Made(name=name) for name in "AB"])
    for lined in (None, "lined"):
        pipes = (pipe("A"), pipe("B", lined=lined, rounded_up_by_us=bool(lined)))
        title, blocks = getattr(module, module.__name__.rpartition(".")[2])(
            project, pipes, "US", Made(sheets=sheets)
        )
        assert asked.pop() is bool(lined)
        level = 2 if module is letter else 1
        named = [*(b for n in "AB" for b in (Heading(n, level), f"pipe {n}"))]
        told = [Paragraph(sentence("review.in brackets"))] * bool(lined)
        common = [Heading(sentence("review.general"), 2), Paragraph("9. general")]
        first = [letter.overview(pipes), 2]
        if module is letter:
            expected = ["opening", *first, *told, *named, *common]
        else:
            expected = [Paragraph(sentence("review.record introduction")), *first, *named]
        assert blocks == expected + ["sheets"] * sheets
        assert title == sentence(f"review.{module.__name__.rpartition('.')[2]} title")
