"""Tables of the letter and of the record, row by row, against the hand calculation.

The pipe is the 48 in example of Najafi 2010, sec. 2.7. The submittal takes the water 7 ft lower and
the other edition, and has C wrong.
"""

from dataclasses import replace

import pytest
from by_hand import Inputs, project, thicknesses

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.interface import review
from linerdesign.project.reading import parse
from linerdesign.tasks.review.letter import letter
from linerdesign.tasks.review.record import record
from linerdesign.tasks.review.reviewing import Wishes

BOOK = Inputs(
    D=48.0, q=2.0, h_invert=12.0, E=250000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, H=16.0, W_s=0.35,
)  # fmt: skip
OURS = thicknesses(BOOK)
LOWER = thicknesses(replace(BOOK, h_invert=5.0))
OTHER = thicknesses(BOOK, "other-edition")
THEIRS = thicknesses(replace(BOOK, h_invert=5.0), "other-edition")
STATED = {"thickness": "27 mm", "required_thickness": "25.61 mm"}
INPUTS = '[pipe.stated.inputs]\ngroundwater_above_invert = "5 ft"\nedition = "F1216-07a"\n'
SUBMITTAL = (
    '[submittal]\nnumber = "021"\nrevision = "B"\ncontractor = "Thorne Lining"\n'
    'received = "2026-11-02"\n'
)


def made(text, form, **wishes):
    """The blocks of the letter or the record, its tables by their captions."""
    found, wishes = parse(text.encode(), "test.toml"), Wishes(**wishes)
    blocks = form(found, review(found, wishes=wishes).pipes, "US", wishes).blocks
    tables = {each.caption.partition(",")[0]: each for each in blocks if isinstance(each, Grid)}
    return blocks, tables


def difference(one, other):
    return f"{round(100 * (one / other - 1), 1) + 0.0:+.1f} %"


def mm(inches):
    return 25.4 * inches


TEXT = project(BOOK, STATED, {"C": "0.80", "q_t": "14.95 psi"}) + INPUTS


def test_stated_values_beside_the_recalculation():
    _, tables = made(TEXT, record)
    grid = tables["Stated values and our recalculation"]
    required, C, q_t = mm(OURS["required"]), OURS["C"], OURS["q_t"]
    nominal = -(-mm(THEIRS["required"]) // 1.5) * 1.5
    assert grid.rows == (
        ("required thickness", "25.61 mm", f"{required:.3f} mm", difference(25.61, required),
         "agrees", difference(THEIRS["required"], OURS["required"]),
         difference(25.61, mm(THEIRS["required"]))),
        ("thickness", "27 mm", "27.0 mm", "+0.0 %", "agrees", difference(nominal, 27),
         difference(27, nominal)),
        ("C", "0.80", f"{C:.3f}", difference(0.8, C), "differs", "+0.0 %", difference(0.8, C)),
        ("q_t", "14.95 psi", f"{q_t:.3f} psi", difference(14.95, q_t), "agrees",
         difference(LOWER["q_t"], q_t), difference(14.95, LOWER["q_t"])),
    )  # fmt: skip
    assert len(grid.align) == len(grid.columns) == 7


def test_without_other_inputs_there_are_no_columns_of_theirs():
    _, tables = made(project(BOOK, STATED, {"C": "0.80"}), record)
    grid = tables["Stated values and our recalculation"]
    assert len(grid.align) == len(grid.columns) == 5
    assert grid.rows[2] == ("C", "0.80", f"{OURS['C']:.3f}", difference(0.8, OURS["C"]), "differs")


@pytest.mark.parametrize(
    ("steps", "result"),
    [
        ({"C": "0.836"}, "agrees"),
        ({"C": "0.82"}, "differs"),
        ({"C": "0.78"}, "open point"),
        ({"C": "0.8"}, "rounded too coarsely to confirm"),
        # 1.0085 in as mm: the digits are those of inches.
        ({"t X1.3": "1.008 mm"}, "unit: in?"),
        ({"E": "250000 psi"}, "agrees"),
    ],
)
def test_the_result_of_one_comparison(steps, result):
    """C is 0.836: 1 % makes a difference, 5 % an open point, and 0.8 may be up to 0.85."""
    _, tables = made(project(BOOK, {"thickness": "27 mm"}, steps), record)
    (row,) = [
        each for each in tables["Stated values and our recalculation"].rows if each[0] in steps
    ]
    assert row[4] == result


def test_the_replay_goes_on_from_their_own_values():
    """q_t from the lower water, the required thickness by the other edition with their C and q_t:
    t^3 goes with (N q_t/C)^2."""
    _, tables = made(TEXT, record)
    rows = {
        row[0]: row
        for row in tables["Replay: each line from the submittal's own preceding values"].rows
    }
    t = mm(THEIRS["t X1.3"]) * (14.95 / LOWER["q_t"] * OURS["C"] / 0.8) ** (2 / 3)
    assert rows["C"] == ("C", "-", "0.80", f"{OURS['C']:.3f}", "departs here")
    assert rows["q_t"] == ("q_t", "-", "14.95 psi", f"{LOWER['q_t']:.3f} psi", "departs here")
    assert rows["required thickness"][2:] == ("25.61 mm", f"{t:.3f} mm", "departs here")
    assert rows["thickness"] == ("thickness", "-", "27 mm", "27.0 mm", "follows")


def test_inputs_that_differ_and_what_each_does_alone():
    _, tables = made(TEXT, letter)
    assert tables["Inputs of the submittal that differ from the owner's"].rows == (
        ("groundwater above invert", "5 ft", "12 ft",
         difference(LOWER["required"], OURS["required"])),
        ("edition", "F1216-07a", "F1216-07b", difference(OTHER["required"], OURS["required"])),
    )  # fmt: skip


@pytest.mark.parametrize(("water", "rows"), [("12.006 ft", 1), ("12.000001 ft", 0)])
def test_an_input_that_differs_by_more_than_rounding_is_shown(water, rows):
    """By 0.05 %, and by less than a millionth."""
    inputs = f'[pipe.stated.inputs]\ngroundwater_above_invert = "{water}"\n'
    _, tables = made(project(BOOK, STATED) + inputs, letter)
    grid = tables.get("Inputs of the submittal that differ from the owner's")
    assert [row[1] for row in grid.rows] == [water] if rows else grid is None


def test_the_overview_of_several_pipes():
    """Of the second only a required thickness is submitted, of the third nothing."""
    first = project(BOOK, STATED)
    second = first.partition("[[pipe]]")[2]
    only = second.replace('thickness = "27 mm"\n', "", 1).replace('name = "A"', 'name = "B"')
    third = second.partition("[pipe.stated]")[0].replace('name = "A"', 'name = "C"')
    blocks, tables = made(f"{first}[[pipe]]{only}[[pipe]]{third}", letter)
    a, b = tables["Overview"].rows
    required = mm(OURS["required"])
    factor = f"{2 * (27 / required) ** 1.5:.2f}"
    assert a == ("A", "27.00", f"{required:.2f}", "27.00", "adequate", factor, "1")
    assert b == ("B", "(27.00)", f"{required:.2f}", "27.00", "adequate", factor, "2")
    said = " ".join(each.text for each in blocks if isinstance(each, Paragraph))
    assert "In brackets: no nominal thickness is submitted" in said
    assert "No stated values, not reviewed: C." in said


def test_the_letter_opens_with_the_submittal_and_the_disposition():
    text = TEXT.replace("[criteria]", f"{SUBMITTAL}[criteria]")
    blocks, _ = made(text, letter)
    about, proposed, introduction = blocks[:3]
    assert about.text == (
        "Submittal 021; revision B; submitted by Thorne Lining; received 2026-11-02."
    )
    assert proposed.text == "Proposed disposition: make corrections noted"
    assert "engineer of record decides" in introduction.text
    decided = text.replace("[submittal]\n", '[submittal]\ndisposition = "rejected"\n')
    _, heading, introduction, *_ = made(decided, letter)[0]
    assert isinstance(heading, Heading)
    assert heading.text == "Disposition by the engineer of record: rejected"
    assert "engineer of record decides" not in introduction.text


def test_both_editions_in_both_conditions():
    _, tables = made(project(BOOK, STATED), record, side_by_side=True)
    partial = mm(thicknesses(replace(BOOK, fully=False))["required"])
    new, old = mm(OURS["required"]), mm(OTHER["required"])
    full = "fully deteriorated"
    rows = {row[:2]: row[2:] for row in tables["Both editions"].rows}
    assert rows == {
        (full, "ASTM F1216-07b"): (f"{new:.2f}", "27.00", "X1.3"),
        (full, "ASTM F1216-07a"): (f"{old:.2f}", "28.50", "X1.3"),
        ("partially deteriorated", "either"): (f"{partial:.2f}", "22.50", "X1.1"),
    }


def test_what_each_input_does_to_the_thickness():
    """The soil modulus 30 % up or down, the live load 20 %, in mm and in steps of 1.5 mm."""
    _, tables = made(project(BOOK, STATED), record)
    rows = {row[0]: row[1:] for row in tables["Inputs that change the thickness"].rows}

    def ends(**changed):
        found = sorted(
            mm(thicknesses(replace(BOOK, **{k: v}))["required"])
            for k, values in changed.items()
            for v in values
        )
        nominal = [-(-t // 1.5) * 1.5 for t in found]
        return " to ".join(f"{t:.2f}" for t in found), " to ".join(f"{t:.4g}" for t in nominal)

    assert rows["modulus of soil reaction"] == (
        "1000 psi", "given", "30 % of it", *ends(E_s=(700.0, 1300.0)),
    )  # fmt: skip
    assert rows["live load at the crown"] == (
        "0.35 psi", "given", "20 % of it", *ends(W_s=(0.28, 0.42)),
    )  # fmt: skip
    assert rows["ovality of the host pipe"] == (
        "2 %", "given", "1 point", *ends(q=(1.0, 3.0)),
    )  # fmt: skip


def test_contradictions_are_listed_in_the_record():
    text = project(BOOK, STATED, {"t X1.3": "1.20 in"})
    blocks, _ = made(text, record)
    (found,) = [each.items for each in blocks if isinstance(each, Bullets)][:1]
    assert "the required thickness is the largest of the checks" in found[0]
