"""What a submitted calculation states of one pipe, in the units of the sheet."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from linerdesign.documents.numbers import in_millimetres
from linerdesign.expressions.printing import positional
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import PipeTask
from linerdesign.project.assembly import task
from linerdesign.project.consistency import submitted
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.fields import given
from linerdesign.project.measures import Measure, convert
from linerdesign.project.models import Pipe, Stated, Station
from linerdesign.project.reading import Project
from linerdesign.project.stated import step_key


@dataclass(frozen=True)
class Item:
    """One stated value: its name as written, its quantity, and its value in the sheet's unit.

    `half` is half of its last printed digit: how far the unrounded number may be.
    """

    name: str
    key: str
    stated: Measure
    unit: str
    value: float
    half: float

    @property
    def label(self) -> str:
        """The name as a sentence has it: the keys of the project file in words."""
        return self.name.replace("_", " ") if self.key in ("t", "t_required") else self.name

    def in_stated_unit(self, value: float) -> float:
        """A value of the sheet in the unit in which the submittal states it."""
        if SYMBOLS[self.key].kind == "thickness" and self.stated.unit == "mm":
            return in_millimetres(value, "US" if self.unit == "in" else "SI")
        if self.unit in ("", "%", self.stated.unit):
            return value
        return convert(value, self.unit, self.stated.unit)

    def shown(self, value: float) -> str:
        """A value of the sheet as the submittal would print it, with one more digit."""
        decimals = decimals_of(self.stated) + 1
        number = self.in_stated_unit(value)
        text = f"{number:.{decimals}f}" if decimals > 0 else positional(number)
        return f"{text} {self.stated.unit}".strip()


@dataclass(frozen=True)
class Submittal:
    """One pipe's stated values, beside the reviewer's own inputs and those of the submittal."""

    pipe: Pipe
    stated: Stated
    ours: PipeTask
    theirs: PipeTask
    items: tuple[Item, ...]

    def item(self, key: str) -> Item | None:
        """The stated value of a quantity, if there is one."""
        return next((item for item in self.items if item.key == key), None)

    @property
    def other_inputs(self) -> tuple[str, ...]:
        """Keys of the inputs that the submittal takes otherwise."""
        return tuple(sorted(given(self.stated.inputs))) if self.stated.inputs else ()


def decimals_of(measure: Measure) -> int:
    """Decimals with which the number is written; negative for one written as a power of ten."""
    number = re.match(r"\s*[+-]?\d*\.?(\d*)(?:[eE]([+-]?\d+))?", measure.text)
    if number is None:
        return 0
    return len(number[1]) - int(number[2] or 0)


def submittals(project: Project, units: str | None = None) -> tuple[Submittal, ...]:
    """The pipes that have stated values.

    Raises:
        InputFaults: where the inputs of a pipe can't be together, or nothing is stated.
    """
    system = units or project.info.units
    found = []
    faults: list[Fault] = []
    for pipe in project.pipes:
        if stated_of(pipe) is None:
            continue
        try:
            found.append(submittal(project, pipe, system))
        except InputFaults as wrong:
            faults.extend(wrong.faults)
            continue
        if not found[-1].items:
            expected = "thickness, required_thickness or steps: what the submittal says"
            faults.append(Fault(f"[[pipe]] {shown(pipe.name)}, stated", "", expected))
    if faults:
        raise InputFaults(dict.fromkeys(faults))
    return tuple(found)


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
    free = _pipe_without_thickness(pipe, {})
    ours = theirs = task(free, resin, criteria, system)
    if stated.inputs is not None:
        changed = given(stated.inputs)
        theirs = task(
            _pipe_without_thickness(pipe, changed),
            resin.changed(_known(changed, resin.rows)),
            criteria.changed(_known(changed, criteria.rows)),
            system,
        )
    return Submittal(pipe, stated, ours, theirs, tuple(_items(stated, system)))


def _known(changed: Mapping[str, Any], fields: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in changed.items() if key in fields}


def _pipe_without_thickness(pipe: Pipe, changed: dict[str, Any]) -> Pipe:
    raw = given(pipe) | {"station": [given(station) for station in pipe.station]}
    values = submitted(raw, changed) if changed else raw
    values.pop("design_thickness", None)
    stations = [Station(station) for station in values.pop("station", [])]
    return Pipe(values | ({"station": stations} if stations else {}))


def _items(stated: Stated, system: str) -> list[Item]:
    named = [("required_thickness", "t_required", stated.required_thickness)]
    named.append(("thickness", "t", stated.thickness))
    for name, measure in stated.steps.items():
        key = step_key(name)
        assert key is not None
        named.append((name, key, measure))
    return [_item(name, key, m, system) for name, key, m in named if m is not None]


def _item(name: str, key: str, measure: Measure, system: str) -> Item:
    unit = SYMBOLS[key].unit(system)
    value = measure.to(unit)
    last = 0.5 * 10.0 ** -decimals_of(measure)
    half = last if unit in ("", "%", measure.unit) else convert(last, measure.unit, unit)
    return Item(name, key, measure, unit, value, half * (1 + 1e-6) + math.ulp(value))
