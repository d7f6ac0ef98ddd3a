"""One pipe rechecked: stated beside recomputed, the verdict on its wall, and what explains it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from linerdesign.expressions.tolerance import under
from linerdesign.methods.hydraulics import liner_bore
from linerdesign.methods.lines import run
from linerdesign.methods.method import checks_of
from linerdesign.methods.origin import calculated
from linerdesign.methods.result import CheckResult, PipeResult
from linerdesign.methods.task import Input, PipeTask
from linerdesign.project.designing import designed
from linerdesign.tasks.review.case import Case, case_of, outcome
from linerdesign.tasks.review.digits import unit_meant
from linerdesign.tasks.review.explain import Explanation, explanations
from linerdesign.tasks.review.inverse import Instead, instead
from linerdesign.tasks.review.submittal import Item, Submittal

ADEQUATE, THIN, THICK = "adequate", "thin", "thick"
# A wall is thicker than ours where it is by more than the rounding of a printed inch.
SAME_WALL = 0.01


@dataclass(frozen=True)
class Tolerances:
    """Shares within which two numbers agree, and over which a difference is an open point.

    No specification that we know states one: settings of the reviewer.
    """

    agreement: float = 0.01
    open_point: float = 0.05


@dataclass(frozen=True)
class Comparison:
    """One stated value beside ours. Values in the unit of the sheet; none where ours has no such.

    `with_their_inputs` is what our calculation gives for the inputs that the submittal takes;
    `unit_meant` the unit in which the stated digits would be that number. `by_rounding` says that
    it agrees only because it has so few figures.
    """

    item: Item
    recomputed: float | None
    with_their_inputs: float | None
    agrees: bool
    calculated_right: bool
    open_point: bool
    by_rounding: bool = False
    unit_meant: str = ""

    @property
    def difference(self) -> float | None:
        """Stated over recomputed, less one; none where there is nothing to divide by."""
        return _difference(self.item, self.recomputed)

    @property
    def of_input(self) -> float | None:
        """What their inputs change in our own calculation."""
        if not self.recomputed or self.with_their_inputs is None:
            return None
        return self.with_their_inputs / self.recomputed - 1

    @property
    def of_calculation(self) -> float | None:
        """What remains after their inputs are taken."""
        return _difference(self.item, self.with_their_inputs)


@dataclass(frozen=True)
class OwnNumber:
    """The stated thickness is what one check asks for by itself, though others ask for more.

    Thicknesses in the unit of the sheet: `thickness` of this check, `over` of those above it.
    """

    equation: str
    thickness: float
    over: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Recheck:
    """Everything found about one submitted pipe.

    `wall` is the nominal thickness under review in the unit of the sheet, stated or rounded up
    from the stated required one; `checked` our checks of it. Both are none where no thickness is
    stated, `checked` also where the wall leaves no bore. `own` is set where the stated thickness
    is a check's own.
    """

    submittal: Submittal
    sized: PipeResult
    comparisons: tuple[Comparison, ...]
    wall: float | None
    checked: PipeResult | None
    verdict: str | None
    explanations: tuple[Explanation, ...]
    instead: tuple[Instead, ...]
    tolerances: Tolerances = Tolerances()
    own: OwnNumber | None = None

    @property
    def rounded_up_by_us(self) -> bool:
        """Whether the wall under review is our rounding of the required thickness stated."""
        return self.wall is not None and self.submittal.item("t") is None

    @property
    def leaves_no_bore(self) -> bool:
        """Whether the wall under review fills the pipe, so that there is nothing to check."""
        return self.wall is not None and self.checked is None

    @property
    def findings(self) -> tuple[Explanation, ...]:
        """The likeliest explanations that are no mere possibility."""
        return tuple(each for each in self.explanations if each.place == 1 and each.credible)

    @property
    def with_their_inputs(self) -> dict[str, float]:
        """What our calculation gives for the stated quantities, with the submittal's inputs."""
        found = {c.item.key: c.with_their_inputs for c in self.comparisons}
        return {key: value for key, value in found.items() if value is not None}

    @property
    def failing(self) -> tuple[CheckResult, ...]:
        """The checks that the submitted wall does not meet."""
        return tuple(c for c in self.checked.checks if not c.passes) if self.checked else ()

    @property
    def holds(self) -> bool:
        """Whether all stated values agree and the wall is not thin."""
        return self.verdict != THIN and all(each.agrees for each in self.comparisons)


def recheck(submittal: Submittal, tolerances: Tolerances = Tolerances()) -> Recheck:
    """Recomputes one pipe and compares.

    Raises:
        InputFaults: where the inputs give no finite thickness together.
    """
    sized = designed(submittal.ours)
    ours, theirs = case_of(submittal.ours), case_of(submittal.theirs)
    wall = _wall(submittal, ours)
    comparisons = _compared(submittal, ours, theirs, wall, tolerances)
    has_bore = wall is not None and bool(liner_bore(np.min(ours.inputs["D"]), wall) > 0)
    checked = designed(with_wall(submittal.ours, wall)) if wall is not None and has_bore else None
    items = tuple(each.item for each in comparisons if not each.unit_meant)
    explained = explanations(
        theirs, items, tolerances.agreement, wall if _on_wall(submittal, ours) else None
    )
    wrong = tuple(c.item for c in comparisons if not c.calculated_right and not c.unit_meant)
    return Recheck(
        submittal,
        sized,
        comparisons,
        wall,
        checked,
        None if checked is None else _verdict(sized, checked),
        explained,
        () if any(e.exact and e.credible for e in explained) else _instead(theirs, items, wrong),
        tolerances,
        _own_number(theirs, items, wrong),
    )


def with_wall(task: PipeTask, wall: float) -> PipeTask:
    """The task of checking a wall in place of choosing one."""
    given = Input("t", wall, calculated("thickness under review"))
    stations = tuple(replace(s, inputs=(*s.inputs, given)) for s in task.stations)
    return replace(
        task, basis=replace(task.basis, thickness_given=True, sizes=None), stations=stations
    )


def _wall(submittal: Submittal, ours: Case) -> float | None:
    nominal, required = submittal.item("t"), submittal.item("t_required")
    if nominal is not None:
        return nominal.value
    found = outcome(ours)
    if required is None or found is None:
        return None
    return float(run(ours.choice, found | {"t_required": required.value})["t"])


def _on_wall(submittal: Submittal, ours: Case) -> bool:
    """Whether a stated line is about the wall under review, such as DR or a safety factor."""
    return not (outcome(ours) or {}).keys() >= {item.key for item in submittal.items}


def _compared(
    submittal: Submittal, ours: Case, theirs: Case, wall: float | None, tolerances: Tolerances
) -> tuple[Comparison, ...]:
    right, with_theirs = outcome(ours, wall), outcome(theirs, wall)
    found = []
    for item in submittal.items:
        recomputed = None if right is None else right.get(item.key)
        with_inputs = None if with_theirs is None else with_theirs.get(item.key)
        agrees = _agrees(item, with_inputs, tolerances.agreement)
        found.append(
            Comparison(
                item,
                None if recomputed is None else float(recomputed),
                None if with_inputs is None else float(with_inputs),
                _agrees(item, recomputed, tolerances.agreement),
                agrees,
                not _agrees(item, recomputed, tolerances.open_point),
                _by_rounding(item, recomputed, tolerances.agreement),
                "" if agrees else unit_meant(item, float(with_inputs or 0.0)),
            )
        )
    return tuple(found)


def _agrees(item: Item, value: float | None, tolerance: float) -> bool:
    """A value of which our calculation has no such line is nothing to disagree with."""
    if value is None:
        return True
    return bool(abs(item.value - value) <= max(item.half, tolerance * abs(value)))


def _by_rounding(item: Item, value: float | None, tolerance: float) -> bool:
    """Whether a number of a figure or two agrees, though it lies farther off than others may."""
    if value is None:
        return False
    return bool(tolerance * abs(value) < abs(item.value - value) <= item.half)


def _difference(item: Item, value: float | None) -> float | None:
    return item.value / value - 1 if value else None


def _verdict(sized: PipeResult, checked: PipeResult) -> str:
    wall, floor = checked.nominal_thickness, sized.value("t_floor") or 0.0
    if not all(check.passes for check in checked.checks) or under(wall, floor):
        return THIN
    return THICK if wall > sized.nominal_thickness * (1 + SAME_WALL) else ADEQUATE


def _instead(theirs: Case, items: Sequence[Item], wrong: Sequence[Item]) -> tuple[Instead, ...]:
    """Inputs that would give the stated thickness, where that one is wrong."""
    stated = {item.key: item for item in items}
    whole = stated.get("t_required", stated.get("t"))
    if whole is not None and whole in wrong:
        return instead(theirs, whole.value)
    checks = {check.required for check in checks_of(theirs.basis)}
    line = next((item for item in wrong if item.key in checks), None)
    return () if line is None else instead(theirs, line.value, line.key)


def _own_number(theirs: Case, items: Sequence[Item], wrong: Sequence[Item]) -> OwnNumber | None:
    """The check that gives the stated thickness by itself, where those above it are not stated."""
    item = next((each for each in wrong if each.key == "t_required"), None)
    if item is None or (right := outcome(theirs)) is None:
        return None
    checks = {check.required: check.equation for check in checks_of(theirs.basis)}
    own = [key for key in checks if right[key] > 0 and abs(right[key] - item.value) <= item.half]
    over = [key for key in checks if right[key] > item.value + item.half]
    if not own or any(each.key in over for each in items):
        return None
    above = tuple((checks[key], float(right[key])) for key in over)
    return OwnNumber(checks[own[0]], float(right[own[0]]), above)
