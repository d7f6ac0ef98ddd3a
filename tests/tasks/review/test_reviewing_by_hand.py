"""What comments and departures come to for a pipe and for the submittal; nothing is recomputed."""

from dataclasses import dataclass, replace
from types import SimpleNamespace as Made
from typing import Any

import pytest

from linerdesign.project.faults import InputFaults, fault
from linerdesign.tasks.review import reviewing
from linerdesign.tasks.review.comments import CORRECTION, QUESTION, REMARK, Comment
from linerdesign.tasks.review.criteria import MET, NOT_MET, NOT_SHOWN, Clause
from linerdesign.tasks.review.reviewing import Reviewed, Wishes, disposition, general

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


@dataclass(frozen=True)
class Sized:
    name: str
    second: Any = None


@dataclass(frozen=True)
class Found:
    sized: Sized
    in_legs: Any
    tolerances: Any


@pytest.mark.parametrize("second", [None, "ring"])
@pytest.mark.parametrize("legs", [False, True])
@pytest.mark.parametrize("beside", [False, True])
def test_what_a_review_of_a_pipe_is_put_together_from(monkeypatch, second, legs, beside):
    ours, refused = Made(second=second), []
    submittal = Made(ours=ours, pipe="pipe")
    project = Made(resin_of=lambda pipe: f"resin of {pipe}")
    monkeypatch.setattr(reviewing, "refuse_unknown", lambda *given: refused.append(given))
    monkeypatch.setattr(reviewing, "has_legs", lambda *given: given == (project, "pipe") and legs)
    monkeypatch.setattr(reviewing, "lining", lambda *given: given)

    def recheck(stated, tolerances, in_legs):
        assert stated is submittal
        return Found(Sized("A"), in_legs and in_legs("wall"), tolerances)

    monkeypatch.setattr(reviewing, "recheck", recheck)
    monkeypatch.setattr(reviewing, "by_second", lambda task: ("second", task))
    monkeypatch.setattr(reviewing, "clauses", lambda *given: ("clauses", *given))
    monkeypatch.setattr(reviewing, "comments", lambda *given: ("comments", *given))
    monkeypatch.setattr(reviewing, "stated_of", lambda *given: ("stated", *given))
    monkeypatch.setattr(reviewing, "_side_by_side", lambda task: ["beside", task])
    wishes = Wishes(tolerances="tolerances", side_by_side=beside, seed=9)
    made = reviewing._reviewed(project, submittal, wishes, 4)
    assert refused == [("pipe", ours)]
    sized = Sized("A", ("second", ours) if second else None)
    assert made.found == Found(sized, (project, "wall") if legs else None, "tolerances")
    assert made.clauses == ("clauses", project, made.found)
    assert made.comments == ("comments", made.found, made.clauses)
    assert (made.first, made.seed) == (4, 9)
    assert made.side_by_side == (("beside", ours) if beside else ())
    assert made.uncertain == ("stated", project, "pipe", "resin of pipe")


def test_pipes_are_reviewed_in_their_order_and_all_faults_told(monkeypatch):
    monkeypatch.setattr(reviewing, "submittals", lambda project, units: list(project[units]))

    def reviewed(project, submittal, wishes, first):
        assert wishes == "wishes"
        if submittal.isupper():
            raise InputFaults([fault("faults.nothing_stated", submittal)])
        return Made(name=submittal, first=first, comments=[None] * len(submittal))

    monkeypatch.setattr(reviewing, "_reviewed", reviewed)
    made = reviewing.reviewed({"US": ["aa", "bbb", "c"]}, "US", "wishes")
    assert [(each.name, each.first) for each in made] == [("aa", 1), ("bbb", 3), ("c", 6)]
    with pytest.raises(InputFaults) as found:
        reviewing.reviewed({"SI": ["aa", "B 1", "c", "D 2"]}, "SI", "wishes")
    first, second = map(str, found.value.faults)
    assert "B 1" in first
    assert "D 2" in second


def test_both_editions_in_both_conditions_as_far_as_inputs_suffice(monkeypatch):
    @dataclass(frozen=True)
    class Basis:
        buried_fully: bool
        edition: str = "old"

    @dataclass(frozen=True)
    class Task:
        basis: Basis

    monkeypatch.setattr(reviewing, "standard", lambda: Made(editions=("new", "old")))
    monkeypatch.setattr(reviewing, "designed", lambda task: task.basis)
    full, partial = Basis(True), Basis(False)
    both = [replace(full, edition="new"), full]
    for task, other, expected in (
        (full, partial, [*both, replace(partial, edition="new")]),
        (partial, full, [replace(partial, edition="new"), *both]),
        (partial, None, [replace(partial, edition="new")]),
    ):
        monkeypatch.setattr(
            reviewing, "other_condition", lambda task, other=other: other and Task(other)
        )
        assert list(reviewing._side_by_side(Task(task))) == expected


def test_the_numbers_of_a_review_depend_on_three_wishes():
    wishes = Wishes(tolerances="t", side_by_side=True, sheets=True, seed=9, record=True)
    assert wishes.options == {"tolerances": "t", "both": True, "seed": 9}
    assert Wishes().options == {
        "tolerances": reviewing.Tolerances(), "both": False, "seed": reviewing.SEED,
    }  # fmt: skip
    assert (Wishes().sheets, Wishes().record) == (False, False)
