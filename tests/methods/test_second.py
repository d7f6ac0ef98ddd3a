"""Which of two methods a pipe goes by, and what is said of the other, with both put by hand."""

from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

import pytest

from linerdesign.findings import Severity, finding
from linerdesign.methods import second
from linerdesign.methods.result import OtherMethod

NAME = "encased ring"


@dataclass(frozen=True)
class Result:
    """What of a design is read here."""

    task: Any
    basis: Any = "basis"
    second: Any = None
    notes: tuple = ()


@dataclass(frozen=True)
class Task:
    """A task that asks for a second method, or does not."""

    second: Any = None
    basis: Any = "basis"


def asked(replaces=False):
    return SimpleNamespace(method=NAME, replaces=replaces, values={"gap": 0.002})


@pytest.fixture
def methods(monkeypatch):
    """The second method designs a task in its own way, or raises; the own one has a name."""

    def put(left_out="", error=None, follows=False):
        def taken_over(task, values):
            if error:
                raise ArithmeticError(error)
            return ("taken", task, values)

        other = SimpleNamespace(
            left_out=lambda basis: left_out and f"{basis} {left_out}",
            taken_over=taken_over,
            follows=follows,
            name="own method",
        )
        monkeypatch.setattr(second, "method_in", {"ring": other}.get)
        monkeypatch.setattr(second, "method_of", {"basis": other}.get)
        monkeypatch.setattr(second, "sentence", lambda code: f"said: {code}")
        monkeypatch.setattr(second, "design", lambda task: Result(task, "other", None, ("note",)))

    return put


def test_without_a_request_there_is_no_second_method(methods):
    methods()
    plain = Result(Task())
    assert second.by_second(Task()) is None
    assert second.with_second([plain, plain]) == (plain, plain)


@pytest.mark.parametrize("left_out", ["", "left out"])
def test_a_method_beside_designs_what_it_carries_and_says_the_rest(methods, left_out):
    methods(left_out)
    task = Task(asked())
    found = second.by_second(task)
    said = "said: basis left out" if left_out else ""
    made = Result(("taken", task, {"gap": 0.002}), "other", None, ("note",))
    assert found == OtherMethod(NAME, made, "", said)
    own = Result(task, notes=("own",))
    assert second.with_second([own]) == (replace(own, second=found),)


def test_a_method_in_place_of_the_own_one_comes_first(methods):
    """The own result stands beside it, and a caution says so before all else."""
    methods()
    task = Task(asked(replaces=True))
    own = Result(task, notes=("own",))
    (found,) = second.with_second([own])
    assert found.task == ("taken", task, {"gap": 0.002})
    assert found.second == OtherMethod("own method", own)
    caution = finding("second.in_place", Severity.CAUTION, method=NAME)
    assert found.notes == (caution, "note")


def test_a_method_that_leaves_something_out_never_takes_the_place_of_the_own_one(methods):
    methods("left out")
    task = Task(asked(replaces=True))
    said = "said: basis left out"
    assert second.by_second(task) == OtherMethod(NAME, None, said, said)
    own = Result(task)
    assert second.with_second([own]) == (replace(own, second=second.by_second(task)),)


@pytest.mark.parametrize("replaces", [False, True])
def test_a_method_without_a_result_says_why(methods, replaces):
    methods(error="the wall is flattened.")
    task = Task(asked(replaces))
    found = second.by_second(task)
    assert found == OtherMethod(NAME, None, "the wall is flattened", "")
    own = Result(task)
    assert second.with_second([own]) == (replace(own, second=found),)


@pytest.mark.parametrize("follows", [True, False])
def test_only_a_method_that_does_not_follow_its_inputs_is_solved_again(methods, follows):
    methods(follows=follows)
    task = Task(asked())
    taken = ("taken", task, {"gap": 0.002})
    assert second.solved_again(task) == (task if follows else taken)
    assert second.solved_again(Task()) == Task()
