"""Comments of a review in full: weight, words, item, their number and ours.

The 48 in example of Najafi 2010, sec. 2.7: 25.61 mm required by X1.3, the next of 1.5 mm is 27 mm.
The safety factor goes with t^1.5, and is printed cut.
"""

import pytest
from by_hand import Inputs, project, thicknesses

from linerdesign.project.reading import parse
from linerdesign.tasks.review.comments import CORRECTION, QUESTION, REMARK, Comment, comments
from linerdesign.tasks.review.criteria import clauses
from linerdesign.tasks.review.recheck import recheck
from linerdesign.tasks.review.submittal import submittals

BOOK = Inputs(
    D=48.0, q=2.0, h_invert=12.0, E=250000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, H=16.0, W_s=0.35,
)  # fmt: skip
REQUIRED = 25.4 * thicknesses(BOOK)["required"]
OTHER_CONDITION = (
    "The calculation is for a partially deteriorated host pipe; the condition determined by the "
    "owner is fully deteriorated. Please design for the owner's condition."
)


def provided(wall):
    return f"{int(200 * (wall / REQUIRED) ** 1.5) / 100:.2f}"


def inches(mm):
    return f"{mm:.4g} mm ({mm / 25.4:.4g} in)"


def said(stated, steps=None, more="", **criteria):
    text = project(BOOK, stated, steps, **criteria)
    found = parse(text.replace("[pipe.stated]\n", f"[pipe.stated]\n{more}").encode(), "test.toml")
    (submittal,) = submittals(found)
    made = recheck(submittal)
    return comments(made, clauses(found, made))


def test_what_agrees_is_said_once():
    agreed = "The stated values agree with our recalculation, and the wall is adequate."
    assert said({"thickness": "27 mm"}) == (Comment(REMARK, agreed),)
    assert said({"required_thickness": "25.61 mm"}) == (Comment(REMARK, agreed),)


def test_a_thicker_wall_is_a_remark():
    text = "The thickness of 28.5 mm is 1.5 mm more than our 27 mm. It passes every check."
    assert said({"thickness": "28.5 mm"})[0] == Comment(
        REMARK, text, "thickness", "", "28.5 mm", "27 mm"
    )


def test_a_thin_wall_is_a_correction():
    assert said({"thickness": "24 mm"})[0] == Comment(
        CORRECTION,
        f"The thickness of 24 mm is {inches(REQUIRED - 24)} less than required by X1.3 "
        f"({inches(REQUIRED)}, safety factor provided {provided(24)}). Please submit a wall of at "
        "least 27 mm, or show why less is sufficient.",
        "thickness", "", "24 mm", "27 mm",
    )  # fmt: skip


def test_the_owners_minimum_is_a_correction_too():
    found = said({"thickness": "27 mm"}, minimum_thickness="30 mm")
    assert found[0] == Comment(
        CORRECTION,
        "The thickness of 27 mm is less than the owner's minimum of 30 mm. Please submit a wall of "
        "at least 30 mm.",
        "thickness", "", "27 mm", "30 mm",
    )  # fmt: skip


def test_a_wall_that_leaves_no_bore_is_not_checked():
    assert said({"thickness": "700 mm"})[0] == Comment(
        CORRECTION,
        "A wall of 700 mm leaves no bore in a pipe of 1219 mm (48 in) and was not checked. "
        "Please correct the thickness.",
        "thickness", "", "700 mm",
    )  # fmt: skip


def test_another_condition_is_a_correction():
    found = said({"thickness": "27 mm"}, more='condition = "partially deteriorated"\n')
    assert Comment(
        CORRECTION, OTHER_CONDITION, "condition", "", "partially deteriorated",
        "fully deteriorated",
    ) in found  # fmt: skip


@pytest.mark.parametrize(
    ("stated", "steps", "weight", "item", "theirs", "ours"),
    [
        ({"thickness": "27 mm"}, {"t X1.3": "1.0085 mm"}, QUESTION, "t X1.3", "1.0085 mm", "1.008"),
        ({"required_thickness": "25.61 in"}, {}, CORRECTION, "required thickness", "25.61 in",
         "25.61"),
    ],
)  # fmt: skip
def test_the_digits_of_another_unit_are_told(stated, steps, weight, item, theirs, ours):
    unit, meant = theirs.split()[1], "in" if theirs.endswith("mm") else "mm"
    (comment,) = [each for each in said(stated, steps) if "has the digits" in each.text]
    assert comment == Comment(
        weight,
        f"The stated {item} of {theirs} has the digits of our {ours} {meant}: the unit may be "
        f"mistaken ({unit} for {meant}). Please correct the unit.",
        item.replace("required ", "required_"), "", theirs,
    )  # fmt: skip


def test_a_number_of_one_figure_confirms_nothing():
    """C is 0.836: 4.3 % more than 0.8, which may be up to 0.85."""
    C = thicknesses(BOOK)["C"]
    found = said({"thickness": "27 mm"}, {"C": "0.8"})
    assert found[0] == Comment(
        REMARK,
        f"Rounded too coarsely to confirm: C 0.8 ({C:.2f}, {100 * (0.8 / C - 1):+.1f} %). Three "
        "figures are sufficient.",
    )
    assert found[1].text == (
        "The stated values agree with our recalculation as far as their figures show, and the wall "
        "is adequate."
    )


def test_a_requirement_that_is_broken_is_a_correction():
    found = said({"thickness": "27 mm"}, {"N": "1.5"})
    assert Comment(
        CORRECTION,
        "Owner's requirement, safety factor: required 2, submitted 1.5. Please comply.",
        "safety factor", "", "1.5", "2",
    ) in found  # fmt: skip


def test_a_line_that_does_not_follow_is_as_grave_as_its_consequence():
    """A remark where the wall is adequate, a correction where it is thin."""
    C = f"{thicknesses(BOOK)['C']:.3f}"
    for wall, weight in (("27 mm", REMARK), ("24 mm", CORRECTION)):
        found = said({"thickness": wall}, {"C": "0.70"})
        (comment,) = [each for each in found if each.text.startswith("Stated C")]
        assert (comment.theirs, comment.ours) == ("0.70", C)
        assert comment.text.startswith(f"Stated C: 0.70; your preceding values give {C} (-16.2 %).")
        assert ("No effect on the adequacy of the submitted wall." in comment.text) is (
            weight == REMARK
        )
        assert comment.weight == weight


def test_the_gravest_comes_first():
    found = said({"thickness": "24 mm"}, {"C": "0.70", "N": "1.5"})
    weights = [(CORRECTION, QUESTION, REMARK).index(each.weight) for each in found]
    assert weights == sorted(weights)
    assert weights[0] == 0
