"""One pipe rechecked: comparisons, replay, explanations, and the verdict on its wall."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from linerdesign.expressions.tolerance import under
from linerdesign.methods.altered import Case, case_of, outcome, outcomes
from linerdesign.methods.hydraulics import fills
from linerdesign.methods.lines import run
from linerdesign.methods.method import checks_of
from linerdesign.methods.origin import calculated
from linerdesign.methods.result import CheckResult, Legs, PipeResult
from linerdesign.methods.task import Input, PipeTask
from linerdesign.project.assembly import designed
from linerdesign.project.measures import convert
from linerdesign.project.thin_wall import ThinWall, thin_legs, thin_wall
from linerdesign.tasks.review.alternatives import Alternative, alternatives
from linerdesign.tasks.review.contradictions import Contradiction, contradictions
from linerdesign.tasks.review.digits import unit_meant
from linerdesign.tasks.review.explain import Explanation, explanations
from linerdesign.tasks.review.replay import HERE, MANY_LINES, ReplayedLine, replay, styles_of
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
    replay: tuple[ReplayedLine, ...]
    contradictions: tuple[Contradiction, ...]
    explanations: tuple[Explanation, ...]
    alternatives: tuple[Alternative, ...]
    tolerances: Tolerances = Tolerances()
    own: OwnNumber | None = None
    lined: Legs | None = None

    @property
    def thin(self) -> ThinWall | None:
        """What a wall that fails carries, for the owner's decision; None for any other."""
        if self.failing and self.checked is not None:
            return thin_wall(self.checked)
        return thin_legs(self.lined) if self.lined else None

    @property
    def short_in_legs(self) -> bool:
        """Whether the wall as a tube leaves too little in a leg of the line."""
        return self.lined is not None and not self.lined.passes

    @property
    def lowest_factor(self) -> float | None:
        """The lowest safety factor of the wall, and of what it delivers in the legs."""
        results = (self.checked, self.lined.built if self.lined else None)
        found = [each.lowest_safety_factor for each in results if each]
        return min((each for each in found if each is not None), default=None)

    @property
    def thin_by_default(self) -> bool:
        """Whether the wall fails only in the dry case, which no owner requires."""
        if self.short_in_legs:
            return False
        dry = self.submittal.ours.basis.dry_case and not self.submittal.theirs.basis.dry_case
        limits = all(check.upper for check in self.failing)
        return self.verdict == THIN and dry and bool(self.failing) and limits

    @property
    def too_thin(self) -> bool:
        """Whether the wall fails a check that the owner or the standard requires."""
        return self.verdict == THIN and not (self.thin_by_default or self.thin_by_rounding)

    @property
    def thin_by_rounding(self) -> bool:
        """Whether the wall meets a required thickness that is ours but for its rounding."""
        required = self.submittal.item("t_required")
        if self.verdict != THIN or self.wall is None or required is None or self.departures:
            return False
        if self.short_in_legs:
            return False
        short = self.sized.required_thickness / self.wall - 1
        return self.wall >= required.value - required.half and short <= self.tolerances.agreement

    @property
    def departures(self) -> tuple[ReplayedLine, ...]:
        """The stated lines that do not follow from the values before them."""
        return tuple(each for each in self.replay if each.cause == HERE)

    @property
    def first_departure(self) -> str | None:
        """Name of the first line that does not follow."""
        return self.departures[0].item.name if self.departures else None

    def comparison(self, item: Item) -> Comparison | None:
        """The comparison of a stated item."""
        return next((each for each in self.comparisons if each.item is item), None)

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
        """Whether all stated values agree and the wall is not thin; a thicker one is adequate."""
        wrong = [each for each in self.comparisons if not each.agrees]
        more = self.verdict == THICK or (self.verdict == ADEQUATE and self.lined is not None)
        thicker = more and all(each.item.key == "t" for each in wrong)
        return self.verdict != THIN and (thicker or not wrong)


def recheck(
    submittal: Submittal,
    tolerances: Tolerances = Tolerances(),
    in_legs: Callable[[PipeResult], Legs] | None = None,
) -> Recheck:
    """Recomputes one pipe and compares; `in_legs` gives the legs of a wall, for a pipe with any.

    Raises:
        InputFaults: where the inputs give no finite thickness together; as `lining`.
    """
    sized = designed(submittal.ours)
    keys = [item.key for item in submittal.items]
    ours, theirs = case_of(submittal.ours, keys), case_of(submittal.theirs, keys)
    wall = _wall(submittal, ours)
    comparisons = _compared(submittal, ours, theirs, wall, tolerances)
    checked = None
    if wall is not None and not fills(np.min(ours.inputs["D"]), wall):
        checked = designed(with_wall(submittal.ours, wall))
    items = tuple(_in_unit_meant(item, comparisons) for item in submittal.in_order)
    lined = in_legs(checked) if in_legs and checked else None
    station = int(outcomes(theirs, [()]).worst[0])
    style, explained = _explained(theirs, items, station, wall)
    replayed = _replayed(submittal, theirs, items, station, style)
    own = _own_number(theirs, replayed)
    found = any(e.exact and e.credible for e in explained)
    return Recheck(
        submittal,
        sized,
        comparisons,
        wall,
        checked,
        None if checked is None else _verdict(sized, checked, lined),
        replayed,
        contradictions(submittal, theirs, replayed),
        explained,
        () if found else _alternatives(theirs, items, replayed, station, style),
        tolerances,
        own,
        lined,
    )


def _explained(
    theirs: Case, items: Sequence[Item], station: int, wall: float | None
) -> tuple[str, tuple[Explanation, ...]]:
    """The way of rounding, and the errors that explain all departures under it.

    Where several ways fit equally well, the first under which an explanation is complete.
    """
    styles = styles_of(theirs, items, station)
    styles = styles if len(items) >= MANY_LINES else styles[:1]
    tried = [(style, explanations(theirs, items, station, style, wall)) for style in styles[:1]]
    for style in styles[1:]:
        if any(each.complete for each in tried[-1][1]):
            return tried[-1]
        tried.append((style, explanations(theirs, items, station, style, wall)))
    return tried[-1] if any(each.complete for each in tried[-1][1]) else tried[0]


def _in_unit_meant(item: Item, comparisons: Sequence[Comparison]) -> Item:
    """The item in the unit that its digits were meant in."""
    compared = next(each for each in comparisons if each.item is item)
    if not compared.unit_meant:
        return item
    stated, last = item.stated.number, item.in_stated_unit(item.half)
    value, half = (convert(n, compared.unit_meant, item.unit) for n in (stated, last))
    return replace(item, value=value, half=half)


def _replayed(
    submittal: Submittal, theirs: Case, items: Sequence[Item], station: int, style: str
) -> tuple[ReplayedLine, ...]:
    """All stated lines replayed, those of single stations after the others."""
    lines = replay(theirs, items, station, style)
    found = [
        each if each.item is item else replace(each, item=item, follows=False, cause=HERE)
        for each, item in zip(lines, submittal.in_order, strict=True)
    ]
    for name, own in submittal.at_stations:
        place = theirs.stations.index(name)
        found.extend(replay(theirs, own, place, styles_of(theirs, own, place)[0], name))
    return tuple(found)


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
    # A required thickness that is ours as printed leads to our nominal one.
    same = abs(found["t_required"] - required.value) <= 2 * required.half
    value = found["t_required"] if same else required.value
    return float(run(ours.choice, found | {"t_required": value})["t"])


def _compared(
    submittal: Submittal, ours: Case, theirs: Case, wall: float | None, tolerances: Tolerances
) -> tuple[Comparison, ...]:
    right, with_theirs = outcome(ours, wall), outcome(theirs, wall)
    found = []
    for item in submittal.items:
        recomputed = None if right is None else right.get(item.key)
        with_inputs = None if with_theirs is None else with_theirs.get(item.key)
        agrees = _agrees(item, with_inputs, tolerances.agreement)
        meant = "" if agrees or with_inputs is None else unit_meant(item, with_inputs)
        found.append(
            Comparison(
                item,
                None if recomputed is None else float(recomputed),
                None if with_inputs is None else float(with_inputs),
                _agrees(item, recomputed, tolerances.agreement),
                agrees,
                not _agrees(item, recomputed, tolerances.open_point),
                _by_rounding(item, recomputed, tolerances.agreement),
                meant,
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


def _verdict(sized: PipeResult, checked: PipeResult, lined: Legs | None) -> str:
    wall, floor = checked.nominal_thickness, sized.value("t_floor") or 0.0
    if not all(check.passes for check in checked.checks) or under(wall, floor):
        return THIN
    enough = sized.nominal_thickness
    if lined is not None:
        if not lined.passes:
            return THIN
        # The legs may need more than the host by itself.
        enough = max(enough, lined.proposed.thickness if lined.proposed else wall)
    return THICK if wall > enough * (1 + SAME_WALL) else ADEQUATE


def _alternatives(
    theirs: Case, items: Sequence[Item], replayed: Sequence[ReplayedLine], station: int, style: str
) -> tuple[Alternative, ...]:
    """Inputs that would give the stated thickness, where that one does not follow."""
    checks = {check.required for check in checks_of(theirs.basis)}
    departed = [each.item for each in replayed if each.cause == HERE and each.station is None]
    wanted = [item for item in departed if item.key in checks] + [
        item for key in ("t_required", "t") for item in departed if item.key == key
    ]
    return alternatives(theirs, items, wanted[0], station, style) if wanted else ()


def _own_number(theirs: Case, replayed: Sequence[ReplayedLine]) -> OwnNumber | None:
    """The check that gives the stated thickness by itself, where those above it are not stated."""
    departed = [each.item for each in replayed if each.cause == HERE]
    item = next((each for each in departed if each.key == "t_required"), None)
    if item is None or (right := outcome(theirs)) is None:
        return None
    checks = {check.required: check.equation for check in checks_of(theirs.basis)}
    own = [key for key in checks if right[key] > 0 and abs(right[key] - item.value) <= item.half]
    over = [key for key in checks if right[key] > item.value + item.half]
    if not own or any(each.item.key in over for each in replayed):
        return None
    above = tuple((checks[key], float(right[key])) for key in over)
    return OwnNumber(checks[own[0]], float(right[own[0]]), above)
