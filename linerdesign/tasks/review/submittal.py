"""What a submitted calculation states of one pipe, in the units of the sheet."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.documents.numbers import in_millimetres
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tolerance import SAME
from linerdesign.methods.lines import run
from linerdesign.methods.method import checks_of, constants, requirement
from linerdesign.methods.sizing import other_condition
from linerdesign.methods.symbols import KEY_OF, SYMBOLS
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import task
from linerdesign.project.faults import Fault, every_fault, fault
from linerdesign.project.measures import Measure, convert
from linerdesign.project.models import Criteria, Pipe, Resin, Stated
from linerdesign.project.reading import Project
from linerdesign.project.stated import step_key

# Choices and percentages that are stated as they are used.
EXACT = ("N", "K", "nu", "r_E", "r_sigma", "r_T")
# A whole number from here on has figures enough without a decimal.
ENOUGH = 1000


@dataclass(frozen=True)
class Item:
    """One stated value: its name as written, its quantity, and its value in the sheet's unit.

    `half` is half of its last printed digit: how far the unrounded number may be. `at` is its
    place in the submittal.
    """

    name: str
    key: str
    stated: Measure
    unit: str
    value: float
    half: float
    at: str = ""

    @property
    def exact(self) -> bool:
        """Whether the number is a choice, such as N or K, and never a rounded one."""
        return self.key in EXACT

    @property
    def label(self) -> str:
        """The name as a sentence has it: the keys of the project file in words."""
        return self.name.replace("_", " ") if self.key in ("t", "t_required") else self.name

    def in_stated_unit(self, value: float) -> float:
        """A value of the sheet in the unit in which the submittal states it."""
        if SYMBOLS[self.key].kind == "thickness" and self.stated.unit == "mm":
            return in_millimetres(value, "US" if self.unit == "in" else "SI")
        if self.unit in ("", "%"):
            return value
        return convert(value, self.unit, self.stated.unit)

    def shown(self, value: float) -> str:
        """A value of the sheet as the submittal would print it, with one more digit.

        Whole numbers of four digits and more have no decimal.
        """
        number = self.in_stated_unit(value)
        decimals = decimals_of(self.stated)
        if decimals or abs(number) < ENOUGH:
            decimals += 1
        text = f"{number:.{decimals}f}" if decimals > 0 else positional(number)
        return f"{text} {self.stated.unit}".strip()


@dataclass(frozen=True)
class Submittal:
    """One pipe's stated values, beside the reviewer's own inputs and those of the submittal.

    `at_stations` hold the lines that it shows for single stations.
    """

    pipe: Pipe
    stated: Stated
    ours: PipeTask
    theirs: PipeTask
    items: tuple[Item, ...]
    at_stations: tuple[tuple[str, tuple[Item, ...]], ...] = ()

    @property
    def in_order(self) -> tuple[Item, ...]:
        """The stated lines in the submittal's order, then the required and nominal thickness."""
        last = {"required_thickness": 1, "thickness": 2}
        return tuple(sorted(self.items, key=lambda item: last.get(item.name, 0)))

    def item(self, key: str) -> Item | None:
        """The stated value of a quantity, if there is one."""
        return next((item for item in self.items if item.key == key), None)

    def is_input(self, key: str) -> bool:
        """Whether the quantity is an input of the calculation, and not the result of a line."""
        return key in self.ours.stations[0].values and key not in ("t", "t_required")

    def name_of(self, key: str) -> str:
        """The name under which a quantity is stated: a line, or an input."""
        item = self.item(key)
        return item.name if item else SYMBOLS[key].name or SYMBOLS[key].symbol

    @property
    def other_inputs(self) -> tuple[str, ...]:
        """Keys of the inputs that the submittal takes otherwise."""
        names = sorted(self.stated.inputs.given) if self.stated.inputs else ()
        return tuple(filter(self._taken_otherwise, names))

    def _taken_otherwise(self, name: str) -> bool:
        """Whether the value of a key differs; what is not compared here counts as different."""
        if name in vars(self.ours.basis):
            return bool(getattr(self.theirs.basis, name) != getattr(self.ours.basis, name))
        key = KEY_OF.get(name)
        own, other = self.ours.stations[0].values, self.theirs.stations[0].values
        if key is None or key not in own or key not in other:
            return True
        stations = zip(self.ours.stations, self.theirs.stations, strict=True)
        return not all(
            math.isclose(a.values[key], b.values[key], rel_tol=SAME) for a, b in stations
        )


def number_of(measure: Measure) -> str:
    """The text of a measure without commas and blanks that part thousands."""
    return re.sub(r"(?<=\d)[,\s](?=\d{3})", "", measure.text)


def decimals_of(measure: Measure) -> int:
    """Decimals with which the number is written; negative for one written as a power of ten."""
    number = re.match(r"\s*[+-]?\d*\.?(\d*)(?:[eE]([+-]?\d+))?", number_of(measure))
    if number is None:
        return 0
    return len(number[1]) - int(number[2] or 0)


def rounding_of(measure: Measure) -> float:
    """Half of the last printed digit, in the unit of the measure.

    Feet with inches are to half an inch, fractions to a thirty-second.

    >>> from linerdesign.project.measures import parse
    >>> [rounding_of(parse(text, "cover")) for text in ("12.5 ft", "3/8 in")]
    [0.05, 0.03125]
    """
    if re.search(r"\d\s*/\s*\d", measure.text):
        return convert(1 / 32, "in", measure.unit)
    if re.search(r"['\"]|ft.*\d", measure.text):
        return convert(0.5, "in", measure.unit)
    return float(0.5 * 10.0 ** -decimals_of(measure))


def submittals(project: Project, units: str | None = None) -> tuple[Submittal, ...]:
    """The pipes that have stated values.

    Raises:
        InputFaults: where the inputs of a pipe can't be together, or nothing is stated.
    """
    system = units or project.info.units
    stating = [pipe for pipe in project.as_read if stated_of(pipe) is not None]
    with every_fault() as faults:
        faults.extend(_nothing_stated(stating))
        if not stating:
            faults.append(fault("nothing_stated", project.file_name or "the project"))
        sound = {pipe.number for pipe in project.pipes}
        found = [
            faults.of(submittal, project, pipe, system) for pipe in stating if pipe.number in sound
        ]
    return tuple(each for each in found if each is not None)


def _nothing_stated(pipes: Iterable[Pipe]) -> Iterator[Fault]:
    """Tables of a submittal that state no value of its calculation."""
    for pipe in pipes:
        stated = stated_of(pipe)
        assert stated is not None
        values = (stated.thickness, stated.required_thickness, stated.steps)
        if not (any(values) or stated.station or stated.unread):
            yield fault("review.nothing stated", pipe.place.inside("stated"))


def stated_of(pipe: Pipe) -> Stated | None:
    """What is stated of a pipe; a design thickness alone is a stated thickness too."""
    stated: Stated | None = pipe.stated
    if stated is None or stated.thickness is not None or pipe.design_thickness is None:
        return stated
    return stated.changed({"thickness": pipe.design_thickness})


def submittal(project: Project, pipe: Pipe, system: str) -> Submittal:
    """The stated values of one pipe and the two tasks: our inputs, and theirs.

    The thickness is chosen anew in both: a design thickness given is what is under review.
    """
    stated = stated_of(pipe)
    assert stated is not None
    resin, criteria = project.resin_of(pipe), project.criteria
    ours = task(pipe.submitted({}), resin, criteria, system)
    at_stations = tuple(
        (each.at, tuple(_step_items(each.steps, system))) for each in stated.station
    )
    theirs = _theirs(ours, pipe, stated, resin, criteria)
    return Submittal(pipe, stated, ours, theirs, tuple(_items(stated, ours)), at_stations)


def _theirs(
    ours: PipeTask, pipe: Pipe, stated: Stated, resin: Resin, criteria: Criteria
) -> PipeTask:
    """The task with the inputs, the condition and the increment that the submittal takes."""
    changed = {} if stated.inputs is None else stated.inputs.given
    theirs = ours
    by_default = ours.basis.dry_case and criteria.origins["dry_case"].by_default
    dry = by_default and not _takes_dry_case(ours, stated)
    if changed or dry or stated.thickness_step is not None:
        step = {"thickness_step": stated.thickness_step} if stated.thickness_step else {}
        # The dry case is beyond the standard's wording: theirs has it where the owner requires it,
        # or they work it themselves.
        known = changed | step | ({"dry_case": False} if dry else {})
        own = _known(known, resin.rows)
        theirs = task(
            pipe.submitted(changed),
            resin.changed(own | ({"thicknesses": None} if step else {})),
            criteria.changed(_known(known, criteria.rows)),
            ours.basis.system,
        )
    if stated.condition not in (None, pipe.condition):
        theirs = other_condition(theirs) or theirs
    return theirs


def _takes_dry_case(ours: PipeTask, stated: Stated) -> bool:
    """Whether a submittal works a check of the dry case: it shows its line, calls it governing, or
    requires the thickness that it gives."""
    without = checks_of(replace(ours.basis, dry_case=False))
    checks = [check for check in checks_of(ours.basis) if check not in without]
    tables = (stated.steps, *(each.steps for each in stated.station))
    shown = {step_key(name) for steps in tables for name in steps}
    if any(check.required in shown or check.equation == stated.governing for check in checks):
        return True
    if stated.required_thickness is None:
        return False
    item = _item("required_thickness", "t_required", stated.required_thickness, ours.basis.system)
    fixed = {each.key: each.value for each in constants(ours.basis)}
    found = [run(requirement(ours.basis), fixed | station.values) for station in ours.stations]
    asked = [max(float(each[check.required]) for each in found) for check in checks]
    return any(abs(item.value - each) <= item.half for each in asked)


def _known(changed: Mapping[str, Any], fields: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in changed.items() if key in fields}


def _items(stated: Stated, ours: PipeTask) -> list[Item]:
    system = ours.basis.system
    named = [("required_thickness", "t_required", stated.required_thickness)]
    named.append(("thickness", "t", stated.thickness))
    found = [_item(name, key, m, system) for name, key, m in named if m is not None]
    step = ours.stations[0].values.get("s", 0.0)
    return [_of_increment(item, step) for item in found] + _step_items(stated.steps, system)


def _of_increment(item: Item, step: float) -> Item:
    """A nominal thickness that is a whole number of increments is not rounded."""
    whole = item.key == "t" and is_multiple(item.value, step)
    return replace(item, half=1e-6 * step) if whole else item


def is_multiple(value: float, step: float) -> bool:
    """Whether a thickness is a whole number of increments, where it is made in increments."""
    return step > 0 and abs(value / step - round(value / step)) < 1e-6


def _step_items(steps: Mapping[str, Measure], system: str) -> list[Item]:
    found = []
    for name, measure in steps.items():
        key = step_key(name)
        assert key is not None
        item = _item(name, key, measure, system)
        found.append(replace(item, at=getattr(measure, "at", "")))
    return found


def _item(name: str, key: str, measure: Measure, system: str) -> Item:
    unit = SYMBOLS[key].unit(system)
    value = measure.to(unit)
    last = rounding_of(measure)
    half = last if unit in ("", "%") else convert(last, measure.unit, unit)
    half = max(half, _trailing_zeros(measure) * abs(value))
    return Item(name, key, measure, unit, value, half * (1 + 1e-6) + math.ulp(value))


def _trailing_zeros(measure: Measure) -> float:
    """Half of the last figure that counts, over the value: 156000 may have three figures."""
    digits = number_of(measure).split()[0].lstrip("+-0")
    if not digits.isdigit() or not digits.endswith("0"):
        return 0.0
    figures = max(len(digits.rstrip("0")), 3)
    return float(0.5 * 10.0 ** (len(digits) - figures) / float(digits))
