"""What comments and departures come to for a pipe and for the submittal; nothing is recomputed."""

from types import SimpleNamespace as Made

import pytest

from linerdesign.tasks.review import reviewing
from linerdesign.tasks.review.comments import CORRECTION, QUESTION, REMARK, Comment
from linerdesign.tasks.review.criteria import MET, NOT_MET, NOT_SHOWN, Clause
from linerdesign.tasks.review.reviewing import Reviewed, disposition, general

FULLY, PARTIALLY = "fully deteriorated", "partially deteriorated"
BROKEN = Clause("N", "2.0", "1.5", NOT_MET)
UNSEEN = Clause("test report", "third party", "none", NOT_SHOWN)


def pipe(*weights, clauses=(), first=1, theirs=None, name="A", **more):
    given = {"holds": True, "leaves_no_bore": False, "departures": (), "wall": 0.5} | more
    submittal = Made(stated=Made(condition=theirs), pipe=Made(condition=FULLY), ours="ours")
    found = Made(submittal=submittal, sized=Made(name=name), **given)
    comments = tuple(Comment(weight, f"{weight} {n}") for n, weight in enumerate(weights))
    return Reviewed(found, tuple(clauses), comments, first, seed=7, uncertain={"q": "doubt"})


@pytest.mark.parametrize(
    ("made", "holds"),
    [
        (pipe(), True),
        (pipe(CORRECTION), True),
        (pipe(clauses=[UNSEEN, Clause("N", "2.0", "2.0", MET)]), True),
        (pipe(clauses=[UNSEEN, BROKEN]), False),
        (pipe(holds=False), False),
        (pipe(theirs=FULLY), True),
        (pipe(theirs=PARTIALLY), False),
    ],
)
def test_a_pipe_holds_where_nothing_is_broken_and_the_condition_is_the_owners(made, holds):
    assert made.holds is holds
    assert made.breach is (BROKEN in made.clauses)


def test_comments_of_a_weight_keep_their_numbers():
    made = pipe(REMARK, QUESTION, REMARK, first=4)
    assert [(n, c.text) for n, c in made.of_weight(REMARK)] == [(4, "remark 0"), (6, "remark 2")]
    assert made.of_weight(CORRECTION) == []


@pytest.mark.parametrize(
    ("pipes", "expected"),
    [
        ([pipe()], "no exceptions taken"),
        ([pipe(REMARK), pipe(REMARK)], "no exceptions taken"),
        ([pipe(), pipe(QUESTION)], "make corrections noted"),
        ([pipe(departures=("C",)), pipe()], "make corrections noted"),
        ([pipe(clauses=[UNSEEN]), pipe()], "make corrections noted"),
        ([pipe(CORRECTION), pipe(QUESTION, departures=("C",))], "revise and resubmit"),
        ([pipe(CORRECTION), pipe(leaves_no_bore=True)], "rejected"),
    ],
)
def test_the_disposition_follows_the_heaviest_comment(pipes, expected):
    assert disposition(pipes) == expected


def test_general_comments_count_on_from_those_of_the_last_pipe():
    found = general([pipe(REMARK, REMARK), pipe(QUESTION, first=3, clauses=[UNSEEN], name="B")])
    ((number, comment),) = found
    assert (number, comment.weight) == (4, QUESTION)
    assert "test report (third party)" in comment.text
    assert general([pipe(REMARK)]) == general([]) == ()


def test_inputs_are_moved_about_the_wall_that_leaves_a_bore(monkeypatch):
    asked = []
    monkeypatch.setattr(reviewing, "sensitivity", lambda *given: asked.append(given))
    for without in (False, True):
        made = pipe(leaves_no_bore=without)
        assert made.moved is None
        assert made.moved is None
        wall = None if without else 0.5
        expected = (made.found.submittal.pipe, "ours", wall, 7, {"q": "doubt"})
        assert asked == [expected]
        asked.clear()
