"""The owner's criteria, item by item: met, not met, or not shown by the submittal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from linerdesign.documents.numbers import both_units, factor
from linerdesign.expressions.printing import NOISE, positional, written
from linerdesign.expressions.tolerance import under
from linerdesign.methods.altered import Outcomes, case_of, outcome, outcomes
from linerdesign.methods.method import standard
from linerdesign.methods.result import PipeResult
from linerdesign.methods.task import PipeTask
from linerdesign.project.floors import broken_floors, limits_left
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Resin
from linerdesign.project.reading import Project
from linerdesign.tasks.review.explain import Explanation
from linerdesign.tasks.review.recheck import Comparison, Recheck
from linerdesign.words import sentence

MET, NOT_MET, NOT_SHOWN, NOT_REQUIRED = "met", "not met", "not shown", "not required"
# What people write where they have no paper.
NO_EVIDENCE = ("none", "no ", "not ", "n/a", "na", "-", "tbd", "to be ", "to follow", "pending")
# With a rounding of more than a quarter of the step, nearly every number is a multiple of it.
ROUNDINGS_IN_A_STEP = 4
NAMED = ("edition", "safety_factor", "enhancement_factor", "poisson_ratio", "x1_2_strength")
# What a stated line by its symbol, or a slip by its name, says about a clause.
_SYMBOL = {"safety_factor": "N", "enhancement_factor": "K", "poisson_ratio": "nu"}
_SLIPS = {
    "edition": ("other-edition",),
    "safety_factor": ("safety-factor-omitted", "safety-factor-1.5"),
    "enhancement_factor": ("enhancement-in-soil-buckling",),
    "x1_2_strength": ("short-term-strength",),
    "minimum_ovality": ("ovality-omitted",),
}
_OVALITIES = ("q_pipe", "q_max", "q_min")


@dataclass(frozen=True)
class Clause:
    """One of the owner's requirements: what is required, what is submitted, whether it is met.

    `of_recheck` is one about a value that our own recheck takes; a `default` is one that no owner's
    criteria name, but that our recheck takes. `answered` where the verdict on the wall or an error
    found says the same already.
    """

    name: str
    required: str
    submitted: str
    status: str
    of_recheck: bool = False
    default: bool = False
    answered: bool = False

    @property
    def breach(self) -> bool:
        """Whether it is not met, and nothing else says so already."""
        return self.status == NOT_MET and not self.answered and not self.default


def clauses(project: Project, found: Recheck) -> tuple[Clause, ...]:
    """All requirements for one pipe, in the order of the criteria."""
    criteria, resin = project.criteria, project.resin_of(found.submittal.pipe)
    numbers = _Numbers(criteria, found)
    return (
        *_words_and_factors(criteria, found, numbers),
        *_ovality(criteria, found, numbers),
        *_wall(criteria, resin, found),
        *_floors(criteria),
        *_limits(criteria, found),
        *_evidence(criteria, resin, found),
    )


def _words_and_factors(criteria: Criteria, found: Recheck, numbers: _Numbers) -> Iterator[Clause]:
    for name in NAMED:
        if name == "edition" and not found.submittal.ours.basis.buried_fully:
            continue
        asked = getattr(criteria, name)
        theirs = _stated(name, found)
        label = sentence(f"review.requirement {name}")
        default = criteria.origins[name].by_default
        text = _of_default(written(asked), default)
        if theirs is not None:
            met = theirs == asked if isinstance(asked, str) else _as_safe(name, theirs, asked)
            yield Clause(label, text, written(theirs), MET if met else NOT_MET, default=default)
        else:
            shown, status, answered = numbers.about(name)
            yield Clause(label, text, shown, status, default=default, answered=answered)


def _of_default(text: str, default: bool) -> str:
    return sentence("review.of default", value=text) if default else text


def _stated(name: str, found: Recheck) -> str | float | None:
    """What the submittal takes, by its inputs or by a line that it shows."""
    inputs = found.submittal.stated.inputs
    if inputs is not None and name in inputs.given:
        value: str | float = getattr(inputs, name)
        return value
    item = found.submittal.item(_SYMBOL.get(name, ""))
    return None if item is None else item.value


def _as_safe(name: str, theirs: str | float, asked: float) -> bool:
    assert not isinstance(theirs, str)
    return theirs >= asked if name == "safety_factor" else theirs <= asked


@dataclass(frozen=True)
class _Numbers:
    """What the stated numbers say of a requirement where no word does.

    It is met where a stated number agrees that a usual breach of it would have changed.
    """

    criteria: Criteria
    found: Recheck

    def about(self, name: str) -> tuple[str, str, bool]:
        """What is shown, the status, and whether an error found says the same already."""
        slip = self._slip
        if slip and set(slip.names) & set(_SLIPS.get(name, ())):
            return sentence("review.by the numbers", words=slip.words), NOT_MET, True
        touched = self._touched(name)
        if not touched:
            return sentence("review.no number depends"), NOT_SHOWN, False
        explained = slip.explains if slip else ()
        wrong = [c for c in touched if not c.calculated_right and c.item.name not in explained]
        names = ", ".join(c.item.label for c in (wrong or touched))
        if wrong:
            return sentence("review.differs in", names=names), NOT_SHOWN, False
        code = "review.shown by but for the error" if slip else "review.shown by"
        return sentence(code, names=names), MET, False

    @cached_property
    def _slip(self) -> Explanation | None:
        first = self.found.findings
        return first[0] if len(first) == 1 and first[0].complete else None

    @cached_property
    def _outcomes(self) -> Outcomes:
        """The calculation with the error found, then with a breach of each requirement too."""
        case = case_of(self.found.submittal.theirs)
        wall = self.found.wall if self.found.checked else None
        made = self._slip.alteration if self._slip else ()
        required = (*NAMED, "minimum_ovality")
        breach = standard().errors().breach
        breaches = [breach(case, name, getattr(self.criteria, name)) for name in required]
        return outcomes(case, [made, *((*made, breach) for breach in breaches)], wall)

    def _touched(self, name: str) -> tuple[Comparison, ...]:
        """The stated values that a usual breach would change beyond their digits."""
        found, row = self._outcomes, 1 + (*NAMED, "minimum_ovality").index(name)
        if not (found.valid[0] and found.valid[row]):
            return ()
        kept, broken = found.row(0), found.row(row)
        least = self.found.tolerances.agreement
        return tuple(
            each
            for each in self.found.comparisons
            if not _follows_from_required(each, self.found)
            and (now := kept.get(each.item.key)) is not None
            and (then := broken.get(each.item.key)) is not None
            and abs(then - now) > max(2 * each.item.half, least * abs(now))
        )


def _follows_from_required(compared: Comparison, found: Recheck) -> bool:
    """A nominal thickness beside the required one, not less than it, shows nothing of its own."""
    required = found.submittal.item("t_required")
    item = compared.item
    return item.key == "t" and required is not None and not under(item.value, required.value)


def _ovality(criteria: Criteria, found: Recheck, numbers: _Numbers) -> Iterator[Clause]:
    floor = criteria.minimum_ovality
    if floor.number <= 0:
        return
    inputs, item = found.submittal.stated.inputs, found.submittal.item("q")
    value = item.value if item else None
    if value is None and inputs is not None and inputs.ovality is not None:
        value = inputs.ovality.number
    if value is None:
        shown, status, answered = numbers.about("minimum_ovality")
        yield Clause("minimum ovality", str(floor), shown, status, answered=answered)
    else:
        status = MET if value >= floor.number else NOT_MET
        yield Clause("minimum ovality", str(floor), f"{positional(value)} %", status)


def _wall(criteria: Criteria, resin: Resin, found: Recheck) -> Iterator[Clause]:
    """Clauses that the submitted thickness answers by itself."""
    checked = found.checked
    if checked is None or found.wall is None:
        yield Clause("thickness", sentence("review.adequate wall"), "-", NOT_SHOWN)
        return
    system, wall = checked.basis.system, found.wall
    floor = found.sized.value("t_floor") or 0.0
    by_us = sentence("review.rounded up") if found.rounded_up_by_us else ""
    if floor > 0:
        status = NOT_MET if under(wall, floor) else MET
        shown = f"{both_units(wall, system)}{by_us}"
        yield Clause("minimum thickness", both_units(floor, system), shown, status)
    yield from _step(criteria, resin, found)
    yield from _factors(checked, by_us)


def _step(criteria: Criteria, resin: Resin, found: Recheck) -> Iterator[Clause]:
    """Whether the submitted thickness is a multiple of the step, as far as its digits tell."""
    system = found.sized.basis.system
    item, step = found.submittal.item("t"), found.sized.value("s")
    if not step or item is None:
        return
    # Only a number printed in another unit than the step is bound to be rounded.
    unit = (resin.thickness_step or criteria.thickness_step).unit
    rounding = item.half if item.stated.unit != unit else 0.0
    shown = str(item.stated)
    off = abs(item.value - step * round(item.value / step))
    status = MET if off <= max(rounding, 1e-6 * step) else NOT_MET
    if rounding > step / ROUNDINGS_IN_A_STEP:
        shown, status = sentence("review.too few digits", value=shown), NOT_SHOWN
    elif item.stated.unit != unit:
        shown = both_units(item.value, system)
    default = resin.thickness_step is None and criteria.origins["thickness_step"].by_default
    asked = _of_default(sentence("review.multiple of", step=both_units(step, system)), default)
    yield Clause("thickness increment", asked, shown, status, default=default)


def _factors(checked: PipeResult, by_us: str) -> Iterator[Clause]:
    """Factors and limits at the wall under review; one without any stress needs no clause."""
    asked = checked.value("N")
    lowest = checked.lowest_safety_factor
    if lowest is not None:
        passes = all(check.passes for check in checked.checks if check.safety_factor is not None)
        status = MET if passes else NOT_MET
        shown = f"{factor(lowest)}{by_us}"
        yield Clause("safety factor provided", factor(asked), shown, status, answered=True)
    for check in checked.checks:
        if check.safety_factor is None and check.demand > NOISE:
            unit = f" {check.unit}" if check.unit else ""
            side = "at most" if check.upper else "at least"
            limit = check.capacity if check.upper else check.demand
            value = check.demand if check.upper else check.capacity
            at = f" at {check.station}" if check.station else ""
            yield Clause(
                f"{check.equation}{at}",
                f"{side} {positional(limit, 4)}{unit}",
                f"{positional(value, 4)}{unit}",
                MET if check.passes else NOT_MET,
                answered=True,
            )


def _floors(criteria: Criteria) -> Iterator[Clause]:
    """Criteria of the project file that are less safe than the owner's."""
    for note in broken_floors(criteria):
        asked = sentence("review.as safe")
        yield Clause("owner's minimum", asked, note.text, NOT_MET, of_recheck=True)


def _limits(criteria: Criteria, found: Recheck) -> Iterator[Clause]:
    """Inputs beyond the owner's limits: those of this recheck, and those that only they take."""
    if not criteria.limits.given:
        return
    asked = sentence("review.within limits")
    ours, theirs = (_beyond(criteria, t) for t in (found.submittal.ours, found.submittal.theirs))
    for text in dict.fromkeys((*ours, *theirs)):
        yield Clause("limit on an input", asked, text, NOT_MET, of_recheck=text in ours)
    if not ours and not theirs:
        yield Clause("limits on inputs", asked, sentence("review.all within"), MET)


def _beyond(criteria: Criteria, task: PipeTask) -> tuple[str, ...]:
    values = outcome(case_of(task)) or {}
    # A pipe less oval than the minimum design ovality meets it: the minimum is used.
    values = {key: value for key, value in values.items() if key not in _OVALITIES}
    return tuple(
        each.at(0, 0, None, (1, 1)).said
        for each in limits_left(criteria, values, task.basis.system)
        if each.where
    )


def _evidence(criteria: Criteria, resin: Resin, found: Recheck) -> Iterator[Clause]:
    """A test report for each property, and a reason for what goes beyond the usual."""
    paper = resin.evidence if is_evidence(resin.evidence) else ""
    by_pressure = found.submittal.ours.basis.internal_pressure
    usual = standard().usual
    kinds = ("flexural_modulus", "flexural_strength", *(["tensile_strength"] * by_pressure))
    for name in kinds:
        asked = sentence("review.test report", value=getattr(resin, name))
        yield _paper(name, asked, paper, resin.evidence)
    shares = ("modulus_retention", "strength_retention", *(["tensile_retention"] * by_pressure))
    for name in shares:
        share: Measure = getattr(resin, name)
        if paper or share.number > usual["r_E"]:
            yield _paper(name, str(share), paper, resin.evidence)
        else:
            shown = sentence("review.by custom", share=usual["r_E"])
            yield Clause(_evidence_of(name), str(share), shown, NOT_REQUIRED)
    if criteria.enhancement_factor > usual["K"]:
        asked = sentence(
            "review.reason for K", K=positional(criteria.enhancement_factor), usual=usual["K"]
        )
        reason = criteria.enhancement_evidence
        yield _paper("enhancement_factor", asked, reason if is_evidence(reason) else "", reason)
    if by_pressure:
        reason = found.submittal.pipe.evidence.get("internal_pressure", "")
        own = reason if is_evidence(reason) else ""
        yield _paper("internal_pressure", sentence("review.surge included"), own, reason)


def _paper(name: str, asked: str, paper: str, written: str) -> Clause:
    status = MET if paper else NOT_SHOWN
    return Clause(_evidence_of(name), asked, paper or written or "-", status)


def _evidence_of(name: str) -> str:
    return f"evidence of {name.replace('_', ' ')}"


def is_evidence(text: str) -> bool:
    """Whether a text names a paper, and not that there is none.

    >>> [is_evidence(each) for each in ("report 2026-05", "none submitted", "to follow", "")]
    [True, False, False, False]
    """
    plain = text.strip().casefold()
    return bool(plain) and not any(
        plain == each.strip() or plain.startswith(f"{each.strip()} ") for each in NO_EVIDENCE
    )
