"""The owner's criteria, clause by clause: met, not met, or not shown by the submittal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.documents.numbers import both_units, factor
from linerdesign.expressions.printing import NOISE, positional
from linerdesign.expressions.tolerance import under
from linerdesign.methods.basis import LONG_TERM
from linerdesign.methods.f1216.gravity import USUAL_ENHANCEMENT, USUAL_RETENTION
from linerdesign.methods.result import PipeResult
from linerdesign.methods.task import PipeTask
from linerdesign.project import fields
from linerdesign.project.floors import beyond_limits, broken_floors
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Resin
from linerdesign.project.reading import Project
from linerdesign.tasks.review.case import Case, case_of, given, outcome, rebound, times
from linerdesign.tasks.review.changes import long_term_strength, other_edition
from linerdesign.tasks.review.explain import worth_explaining
from linerdesign.tasks.review.recheck import Comparison, Recheck

MET, NOT_MET, NOT_SHOWN = "met", "not met", "not shown"
DEFAULT = "default of this recheck"
ROUNDED_UP = "rounded up by us"
# With a rounding of more than a quarter of the step, nearly every number is a multiple of it.
ROUNDINGS_IN_A_STEP = 4
_LABELS = {"x1_2_strength": "X1.2 strength", "poisson_ratio": "Poisson's ratio"}
# What a stated line by its symbol, or a slip by its name, says about a clause.
_SYMBOL = {"safety_factor": "N", "enhancement_factor": "K", "poisson_ratio": "nu"}
_SLIPS = {
    "edition": ("other-edition",),
    "safety_factor": ("safety-factor-omitted", "safety-factor-1.5"),
    "enhancement_factor": ("enhancement-in-soil-buckling",),
    "x1_2_strength": ("short-term-strength",),
    "minimum_ovality": ("ovality-omitted",),
}
# What a usual breach makes of a factor: N = 1.5 for 2, K = 10 for 7, 0.4 for Poisson's 0.3, and
# half of the least ovality. Judgement: common practice, no source.
_BREACHES = {
    "safety_factor": ("N", 0.75),
    "enhancement_factor": ("K", 10 / USUAL_ENHANCEMENT),
    "poisson_ratio": ("nu", 4 / 3),
}
_LESS = 0.5
_OVALITIES = ("q_pipe", "q_max", "q_min")


@dataclass(frozen=True)
class Clause:
    """One of the owner's demands: what is asked, what the submittal shows, and whether it is met.

    `evidence` is a clause that asks for a paper and not for a number; `of_recheck` is one about a
    value that our own recheck takes; a `default` is one that no owner's criteria name, but that our
    recheck takes.
    """

    name: str
    asked: str
    shown: str
    status: str
    evidence: bool = False
    of_recheck: bool = False
    default: bool = False

    @property
    def by_slip(self) -> bool:
        """Whether it is a slip found that says it is broken."""
        return self.shown.startswith("by the numbers")

    @property
    def breach(self) -> bool:
        """Whether it is broken, and neither the verdict on the wall nor a slip says so already."""
        said = self.name.startswith(("safety factor provided", "X1.", "DR limit"))
        answered = said or self.default or self.by_slip
        return self.status == NOT_MET and not answered


def clauses(project: Project, found: Recheck) -> tuple[Clause, ...]:
    """All clauses for one pipe, in the order of the criteria."""
    criteria, resin = project.criteria, project.resin_of(found.submittal.pipe)
    return (
        *_words_and_factors(criteria, found),
        *_ovality(criteria, found),
        *_wall(criteria, resin, found),
        *_floors(criteria, resin),
        *_limits(criteria, found),
        *_evidence(criteria, resin),
    )


def _words_and_factors(criteria: Criteria, found: Recheck) -> Iterator[Clause]:
    names = ("edition", "safety_factor", "enhancement_factor", "poisson_ratio", "x1_2_strength")
    for name in names:
        if name == "edition" and not found.submittal.ours.basis.buried_fully:
            continue
        asked = getattr(criteria, name)
        theirs = _stated(name, found)
        label = _LABELS.get(name, name.replace("_", " "))
        default = criteria.origin_of(name).by_default
        text = f"{asked} ({DEFAULT})" if default else str(asked)
        if theirs is not None:
            met = theirs == asked if isinstance(asked, str) else _as_safe(name, theirs, asked)
            yield Clause(label, text, str(theirs), MET if met else NOT_MET, default=default)
        else:
            yield Clause(label, text, *_by_numbers(name, criteria, found), default=default)


def _stated(name: str, found: Recheck) -> str | float | None:
    """What the submittal takes, by its inputs or by a line that it shows."""
    inputs = found.submittal.stated.inputs
    if inputs is not None and name in fields.given(inputs):
        value: str | float = getattr(inputs, name)
        return value
    item = found.submittal.item(_SYMBOL.get(name, ""))
    return None if item is None else item.value


def _as_safe(name: str, theirs: str | float, asked: float) -> bool:
    assert not isinstance(theirs, str)
    return theirs >= asked if name == "safety_factor" else theirs <= asked


def _by_numbers(name: str, criteria: Criteria, found: Recheck) -> tuple[str, str]:
    """What the numbers say where no word does.

    A clause is met where a stated number agrees that a usual breach of it would have changed.
    """
    first = found.findings
    slip = first[0] if len(first) == 1 and first[0].complete and first[0].exact else None
    if slip and set(slip.names) & set(_SLIPS.get(name, ())):
        return f"by the numbers: {slip.words}", NOT_MET
    case = slip.made if slip else case_of(found.submittal.theirs)
    touched = _touched(name, criteria, case, found)
    if not touched:
        return "no stated number depends on it", NOT_SHOWN
    explained = slip.explains if slip else ()
    wrong = [c for c in touched if not c.calculated_right and c.item.name not in explained]
    names = ", ".join(c.item.label for c in (wrong or touched))
    if wrong:
        return f"{names} would show it, and differs", NOT_SHOWN
    if slip:
        return f"shown by {names}, but for the slip found", MET
    return f"shown by {names}", MET


def _touched(name: str, criteria: Criteria, case: Case, found: Recheck) -> tuple[Comparison, ...]:
    """The stated values that a usual breach of the clause would change beyond their digits."""
    on_wall = found.wall if found.checked else None
    kept, broken = outcome(case, on_wall), _outcome_broken(name, criteria, case, on_wall)
    if kept is None or broken is None:
        return ()
    least = found.tolerances.agreement
    # A nominal thickness that follows from the required one beside it shows nothing of its own.
    right = outcome(case_of(found.submittal.theirs)) or {}
    items = worth_explaining(found.submittal.items, right)
    return tuple(
        each
        for each in found.comparisons
        if each.item in items
        and (now := kept.get(each.item.key)) is not None
        and (then := broken.get(each.item.key)) is not None
        and abs(then - now) > max(2 * each.item.half, least * abs(now))
    )


def _outcome_broken(
    name: str, criteria: Criteria, case: Case, wall: float | None
) -> dict[str, float] | None:
    changed: Case | None
    if name == "edition":
        changed = other_edition(case)
    elif name == "x1_2_strength":
        short = rebound(case, ("t_X1_2",), "sigma_L", "sigma")
        changed = short if criteria.x1_2_strength == LONG_TERM else long_term_strength(case)
    elif name == "minimum_ovality":
        changed = given(case, q=_LESS * criteria.minimum_ovality.number)
    else:
        key, factor_of_breach = _BREACHES[name]
        changed = times(case, key, factor_of_breach)
    return None if changed is None else outcome(changed, wall)


def _ovality(criteria: Criteria, found: Recheck) -> Iterator[Clause]:
    floor = criteria.minimum_ovality
    if floor.number <= 0:
        return
    inputs, item = found.submittal.stated.inputs, found.submittal.item("q")
    value = item.value if item else None
    if value is None and inputs is not None and inputs.ovality is not None:
        value = inputs.ovality.number
    if value is None:
        yield Clause(
            "minimum ovality", str(floor), *_by_numbers("minimum_ovality", criteria, found)
        )
    else:
        status = MET if value >= floor.number else NOT_MET
        yield Clause("minimum ovality", str(floor), f"{positional(value)} %", status)


def _wall(criteria: Criteria, resin: Resin, found: Recheck) -> Iterator[Clause]:
    """Clauses that the submitted thickness answers by itself."""
    checked = found.checked
    if checked is None or found.wall is None:
        yield Clause("thickness", "adequate in every check", "-", NOT_SHOWN)
        return
    system, wall = checked.basis.system, found.wall
    floor = found.sized.value("t_floor") or 0.0
    by_us = f" ({ROUNDED_UP})" if found.rounded_up_by_us else ""
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
        shown, status = f"{shown}: too few digits to tell", NOT_SHOWN
    elif item.stated.unit != unit:
        shown = both_units(item.value, system)
    default = resin.thickness_step is None and criteria.origin_of("thickness_step").by_default
    asked = f"a multiple of {both_units(step, system)}" + (f" ({DEFAULT})" if default else "")
    yield Clause("step of thickness", asked, shown, status, default=default)


def _factors(checked: PipeResult, by_us: str) -> Iterator[Clause]:
    """Factors and limits at the wall under review; one without any stress needs no clause."""
    asked = checked.value("N") or 0.0
    lowest = checked.lowest_safety_factor
    if lowest is not None:
        passes = all(check.passes for check in checked.checks if check.safety_factor is not None)
        status = MET if passes else NOT_MET
        yield Clause("safety factor provided", factor(asked), f"{factor(lowest)}{by_us}", status)
    for check in checked.checks:
        if check.safety_factor is None and check.demand > NOISE:
            unit = f" {check.unit}" if check.unit else ""
            side = "at most" if check.equation == "DR limit" else "at least"
            limit = check.capacity if check.equation == "DR limit" else check.demand
            value = check.demand if check.equation == "DR limit" else check.capacity
            at = f" at {check.station}" if check.station else ""
            yield Clause(
                f"{check.equation}{at}",
                f"{side} {positional(limit, 4)}{unit}",
                f"{positional(value, 4)}{unit}",
                MET if check.passes else NOT_MET,
            )


def _floors(criteria: Criteria, resin: Resin) -> Iterator[Clause]:
    """Criteria of the project file that are less safe than the owner's."""
    for note in broken_floors(resin, criteria):
        text = note.text.replace(" breaks ", ", which breaks ")
        yield Clause("floor", "as safe as the owner's", text, NOT_MET, of_recheck=True)


def _limits(criteria: Criteria, found: Recheck) -> Iterator[Clause]:
    """Inputs beyond the owner's limits: those of this recheck, and those that only they take."""
    if not fields.given(criteria.limits):
        return
    asked = "within the owner's limits"
    ours, theirs = (_beyond(criteria, t) for t in (found.submittal.ours, found.submittal.theirs))
    for text in dict.fromkeys((*ours, *theirs)):
        yield Clause("limit on an input", asked, text, NOT_MET, of_recheck=text in ours)
    if not ours and not theirs:
        yield Clause("limits on inputs", asked, "all are", MET)


def _beyond(criteria: Criteria, task: PipeTask) -> tuple[str, ...]:
    values = outcome(case_of(task)) or {}
    # A pipe less oval than the floor is no breach: the floor is what is designed for.
    values = {key: value for key, value in values.items() if key not in _OVALITIES}
    return tuple(
        f"{each.subject} {positional(float(each.value), 5)} {each.unit}, which {each.rest}"
        for each in beyond_limits(criteria, values, task.basis.system)
        if each.broken
    )


def _evidence(criteria: Criteria, resin: Resin) -> Iterator[Clause]:
    """A paper for each property; what goes beyond the usual without one is an open point."""
    paper = resin.evidence or "-"
    for name in ("flexural_modulus", "flexural_strength"):
        label = f"evidence of {name.replace('_', ' ')}"
        status = MET if resin.evidence else NOT_SHOWN
        yield Clause(label, f"test report for {getattr(resin, name)}", paper, status, True)
    for name in ("modulus_retention", "strength_retention"):
        share: Measure = getattr(resin, name)
        beyond = share.number > USUAL_RETENTION
        usual = f"taken by custom, not over {USUAL_RETENTION} %"
        shown = paper if resin.evidence or beyond else usual
        status = MET if resin.evidence or not beyond else NOT_SHOWN
        yield Clause(f"evidence of {name.replace('_', ' ')}", str(share), shown, status, True)
    if criteria.enhancement_factor > USUAL_ENHANCEMENT:
        reason = criteria.enhancement_evidence
        asked = (
            f"reason for K = {positional(criteria.enhancement_factor)}, over {USUAL_ENHANCEMENT}"
        )
        status = MET if reason else NOT_SHOWN
        yield Clause("evidence of enhancement factor", asked, reason or "-", status, True)
