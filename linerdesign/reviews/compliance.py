"""The owner's criteria, clause by clause: met, not met, or not shown by the submittal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.design.result import PipeResult
from linerdesign.design.sizing import PipeTask
from linerdesign.equations.printing import positional
from linerdesign.outputs.numbers import both_units, factor
from linerdesign.project.floors import beyond_limits, broken_floors
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Resin
from linerdesign.project.reading import Project
from linerdesign.reviews.case import case_of, outcome
from linerdesign.reviews.recheck import Recheck

MET, NOT_MET, NOT_SHOWN = "met", "not met", "not shown"
# Shares retained in the long term beyond which the trade asks for a test, and the factor K.
USUAL_RETENTION, USUAL_ENHANCEMENT = 50.0, 7.0
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
    """One of the owner's demands: what is asked, what the submittal shows, and whether it is met.

    `evidence` is a clause that asks for a paper and not for a number; `of_recheck` is one about a
    value that our own recheck takes.
    """

    name: str
    asked: str
    shown: str
    status: str
    evidence: bool = False
    of_recheck: bool = False

    @property
    def breach(self) -> bool:
        """Whether it is broken, and neither the verdict on the wall nor a slip says so already."""
        said = self.name.startswith(("safety factor provided", "X1.", "DR limit"))
        return self.status == NOT_MET and not said and not self.shown.startswith("by the numbers")


def clauses(project: Project, found: Recheck) -> tuple[Clause, ...]:
    """All clauses for one pipe, in the order of the criteria."""
    criteria, resin = project.criteria, project.resin_of(found.submittal.pipe)
    return (
        *_words_and_factors(criteria, found),
        *_ovality(criteria, found),
        *_wall((resin.thickness_step or criteria.thickness_step).unit, found),
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
        label = name.replace("x1_2", "X1.2").replace("_", " ")
        if theirs is not None:
            met = theirs == asked if isinstance(asked, str) else _as_safe(name, theirs, asked)
            yield Clause(label, str(asked), str(theirs), MET if met else NOT_MET)
        else:
            yield Clause(label, str(asked), *_by_numbers(name, found))


def _stated(name: str, found: Recheck) -> str | float | None:
    """What the submittal takes, by its inputs or by a line that it shows."""
    inputs = found.submittal.stated.inputs
    if inputs is not None and name in inputs.model_fields_set:
        value: str | float = getattr(inputs, name)
        return value
    item = found.submittal.item(_SYMBOL.get(name, ""))
    return None if item is None else item.value


def _as_safe(name: str, theirs: str | float, asked: float) -> bool:
    assert not isinstance(theirs, str)
    return theirs >= asked if name == "safety_factor" else theirs <= asked


def _by_numbers(name: str, found: Recheck) -> tuple[str, str]:
    """What the numbers say where no word does: all agree, or a slip explains them."""
    first = [each for each in found.explanations if each.place == 1]
    if len(first) == 1 and first[0].complete and first[0].exact:
        if set(first[0].names) & set(_SLIPS.get(name, ())):
            return f"by the numbers: {first[0].words}", NOT_MET
        return "the numbers fit it, but for the slip found", MET
    if _required_agrees(found):
        return "the stated thickness agrees with it", MET
    return "-", NOT_SHOWN


def _required_agrees(found: Recheck) -> bool:
    required = [c for c in found.comparisons if c.item.key == "t_required"]
    return bool(required) and required[0].calculated_right and not found.explanations


def _ovality(criteria: Criteria, found: Recheck) -> Iterator[Clause]:
    floor = criteria.minimum_ovality
    if floor.number <= 0:
        return
    inputs, item = found.submittal.stated.inputs, found.submittal.item("q")
    value = item.value if item else None
    if value is None and inputs is not None and inputs.ovality is not None:
        value = inputs.ovality.number
    if value is None:
        yield Clause("minimum ovality", str(floor), *_by_numbers("minimum_ovality", found))
    else:
        status = MET if value >= floor.number else NOT_MET
        yield Clause("minimum ovality", str(floor), f"{positional(value)} %", status)


def _wall(step_unit: str, found: Recheck) -> Iterator[Clause]:
    """Clauses that the submitted thickness answers by itself."""
    checked = found.checked
    if checked is None or found.wall is None:
        yield Clause("thickness", "adequate in every check", "-", NOT_SHOWN)
        return
    system, wall = checked.basis.system, found.wall
    floor, step = found.sized.value("t_floor") or 0.0, found.sized.value("s")
    shown = both_units(wall, system)
    if floor > 0:
        status = MET if wall >= floor * (1 - 1e-9) else NOT_MET
        yield Clause("minimum thickness", both_units(floor, system), shown, status)
    item = found.submittal.item("t")
    if step and item:
        # Only a number printed in another unit than the step is bound to be rounded.
        converted = item.stated.unit != step_unit
        whole = abs(wall - step * round(wall / step)) <= max(converted * item.half, 1e-6 * step)
        asked = f"a multiple of {both_units(step, system)}"
        yield Clause("step of thickness", asked, shown, MET if whole else NOT_MET)
    yield from _factors(checked)


def _factors(checked: PipeResult) -> Iterator[Clause]:
    asked = checked.value("N") or 0.0
    lowest = checked.lowest_safety_factor
    if lowest is not None:
        passes = all(check.passes for check in checked.checks if check.safety_factor is not None)
        status = MET if passes else NOT_MET
        yield Clause("safety factor provided", factor(asked), factor(lowest), status)
    for check in checked.checks:
        if check.safety_factor is None:
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
    if not criteria.limits.model_fields_set:
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
        usual = "taken by custom, not over 50 %"
        shown = paper if resin.evidence or beyond else usual
        status = MET if resin.evidence or not beyond else NOT_SHOWN
        yield Clause(f"evidence of {name.replace('_', ' ')}", str(share), shown, status, True)
    if criteria.enhancement_factor > USUAL_ENHANCEMENT:
        reason = criteria.enhancement_evidence
        asked = f"reason for K = {positional(criteria.enhancement_factor)}, over 7"
        status = MET if reason else NOT_SHOWN
        yield Clause("evidence of enhancement factor", asked, reason or "-", status, True)
