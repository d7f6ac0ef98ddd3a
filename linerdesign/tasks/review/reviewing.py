"""The review of every submitted pipe of a project: findings, comments, and the disposition."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import Any

from linerdesign.methods.method import standard
from linerdesign.methods.result import PipeResult
from linerdesign.methods.second import by_second
from linerdesign.methods.sizing import other_condition
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import designed
from linerdesign.project.distributions import Distribution
from linerdesign.project.faults import every_fault
from linerdesign.project.lining import lining
from linerdesign.project.reading import Project
from linerdesign.project.requests import has_legs
from linerdesign.tasks.review.comments import (
    CORRECTION,
    QUESTION,
    Comment,
    comments,
    general_comments,
)
from linerdesign.tasks.review.criteria import Clause, clauses
from linerdesign.tasks.review.recheck import Recheck, Tolerances, recheck
from linerdesign.tasks.review.sensitivity import SEED, Sensitivity, sensitivity
from linerdesign.tasks.review.submittal import Submittal, submittals
from linerdesign.tasks.uncertainty.inputs import refuse_unknown, stated_of

NO_EXCEPTIONS, CORRECTIONS, RESUBMIT, REJECTED = (
    "no exceptions taken",
    "make corrections noted",
    "revise and resubmit",
    "rejected",
)


@dataclass(frozen=True)
class Reviewed:
    """Everything that a review says of one pipe; its comments count from `first`."""

    found: Recheck
    clauses: tuple[Clause, ...]
    comments: tuple[Comment, ...]
    first: int
    seed: int
    side_by_side: tuple[PipeResult, ...] = ()
    uncertain: Mapping[str, Distribution] = field(default_factory=dict)

    @cached_property
    def moved(self) -> Sensitivity:
        """What the uncertainties of the inputs do to the thickness."""
        found = self.found
        wall = None if found.leaves_no_bore else found.wall
        pipe, ours = found.submittal.pipe, found.submittal.ours
        return sensitivity(pipe, ours, wall, self.seed, self.uncertain)

    @property
    def breach(self) -> bool:
        """Whether the owner's criteria are broken, by the submittal or by our own inputs."""
        return any(clause.breach for clause in self.clauses)

    @property
    def holds(self) -> bool:
        """Whether stated values agree, the wall is not thin, and the owner's criteria are met."""
        theirs = self.found.submittal.stated.condition
        other = theirs is not None and theirs != self.found.submittal.pipe.condition
        return self.found.holds and not self.breach and not other

    def of_weight(self, weight: str) -> list[tuple[int, Comment]]:
        """The comments of a weight, with their numbers."""
        return [(self.first + i, c) for i, c in enumerate(self.comments) if c.weight == weight]


@dataclass(frozen=True)
class Wishes:
    """What the reviewer asks for; `record` is the internal record in place of the letter."""

    tolerances: Tolerances = field(default_factory=Tolerances)
    side_by_side: bool = False
    sheets: bool = False
    seed: int = SEED
    record: bool = False

    @property
    def options(self) -> dict[str, Any]:
        """What numbers of the review depend on."""
        return {"tolerances": self.tolerances, "both": self.side_by_side, "seed": self.seed}


def reviewed(project: Project, units: str, wishes: Wishes) -> tuple[Reviewed, ...]:
    """The review of every pipe that has stated values, in the order of the file."""
    made: list[Reviewed] = []
    first = 1
    with every_fault() as faults:
        for submittal in faults.of(submittals, project, units) or ():
            one = faults.of(_reviewed, project, submittal, wishes, first)
            if one is not None:
                made.append(one)
                first += len(one.comments)
    return tuple(made)


def _reviewed(project: Project, submittal: Submittal, wishes: Wishes, first: int) -> Reviewed:
    ours = submittal.ours
    # Faults in the uncertainties stated are found before anything is written.
    refuse_unknown(submittal.pipe, ours)
    in_legs = partial(lining, project) if has_legs(project, submittal.pipe) else None
    found = recheck(submittal, wishes.tolerances, in_legs)
    if ours.second is not None:
        found = replace(found, sized=replace(found.sized, second=by_second(ours)))
    required = clauses(project, found)
    beside = tuple(_side_by_side(ours)) if wishes.side_by_side else ()
    said = comments(found, required)
    stated = stated_of(project, submittal.pipe, project.resin_of(submittal.pipe))
    return Reviewed(found, required, said, first, wishes.seed, beside, stated)


def _side_by_side(task: PipeTask) -> Iterator[PipeResult]:
    """Both editions in both conditions, as far as the inputs suffice."""
    for condition in (task, other_condition(task)):
        if condition is None:
            continue
        editions = standard().editions
        for edition in editions if condition.basis.buried_fully else editions[:1]:
            yield designed(replace(condition, basis=replace(condition.basis, edition=edition)))


def general(reviewed: Sequence[Reviewed]) -> tuple[tuple[int, Comment], ...]:
    """The general comments, numbered after those of the pipes."""
    first = 1 + sum(len(each.comments) for each in reviewed)
    made = general_comments([(each.found.sized.name, each.clauses) for each in reviewed])
    return tuple(enumerate(made, first))


def disposition(reviewed: Sequence[Reviewed]) -> str:
    """The disposition that the comments suggest; the engineer decides."""
    weights = {comment.weight for each in reviewed for comment in each.comments}
    if any(each.found.leaves_no_bore for each in reviewed):
        return REJECTED
    if CORRECTION in weights:
        return RESUBMIT
    departures = any(each.found.departures for each in reviewed)
    if QUESTION in weights or departures or general(reviewed):
        return CORRECTIONS
    return NO_EXCEPTIONS
