"""How uncertain each input is: as the project states it, or by the source of its value.

Those taken where none is stated are in the table of keys (common practice, no source). What the
owner decides (N, K, edition, minimum values) has none.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from linerdesign.methods.method import keys_read
from linerdesign.methods.origin import KNOWN_BY
from linerdesign.methods.symbols import KEY_OF, SYMBOLS, name_of
from linerdesign.methods.task import Input, PipeTask
from linerdesign.project import keys
from linerdesign.project.assembly import unknown_values
from linerdesign.project.cost_keys import PRICED
from linerdesign.project.distributions import UNCERTAINTY, Distribution, about, of_range
from linerdesign.project.faults import InputFaults, Place, fault
from linerdesign.project.key_table import POINTS
from linerdesign.project.layers import sites
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe, Resin
from linerdesign.project.reading import Project

STATED, USUAL = "stated", "usual"
# The quantity of the water that a pipe without any has, as zero.
WATER = "h_invert"
_USUAL = {quantity: (unit, by) for quantity, unit, by in keys.uncertainties()}


@dataclass(frozen=True)
class Uncertainty:
    """An uncertain input: its quantity, its distribution and its value in the unit of the sheet.

    `origin` is how the value is known; `stated` whether the project states the uncertainty.
    """

    key: str
    distribution: Distribution
    value: float
    unit: str
    origin: str
    stated: bool

    @property
    def by(self) -> float:
        """How far the value may be off, in the unit."""
        return float(self.distribution.half_width(self.value, self.unit))

    @property
    def words(self) -> str:
        """The uncertainty as stated."""
        return self.distribution.text

    @property
    def assumed(self) -> bool:
        """Whether the value is nobody's measurement, plan or word."""
        return self.origin == "assumed"

    @property
    def name(self) -> str:
        """The key of a project file."""
        return name_of(self.key) if self.key in SYMBOLS else self.key

    @property
    def meaning(self) -> str:
        """What is uncertain, in words."""
        known = SYMBOLS.get(self.key)
        return known.meaning if known else self.key.replace("_", " ")


def stated_of(project: Project, pipe: Pipe, resin: Resin) -> dict[str, Distribution]:
    """What is stated for one pipe with one resin by key; the pipe's own over the resin's over the
    project's. A property given as a range is uniform between its ends."""
    return {**project.uncertainty, **of_resin(resin), **own(pipe)}


def of_resin(resin: Resin) -> dict[str, Distribution]:
    """What a resin states; a property given as a range is uniform between its ends."""
    ranges = {
        name: of_range(value)
        for name, value in resin.given.items()
        if isinstance(value, Measure) and value.upper is not None
    }
    return {**ranges, **resin.uncertainty}


def own(pipe: Pipe) -> dict[str, Distribution]:
    """What a pipe states itself."""
    return {**pipe.doubt, **pipe.uncertainty}


def uncertainties(
    stated: Mapping[str, Distribution], inputs: Iterable[Input], system: str, usual: bool
) -> tuple[Uncertainty, ...]:
    """The uncertainty of every input that has one, in the order of the inputs.

    With `usual` also the usual one of an input for which none is stated.
    """
    by_key = {KEY_OF.get(name): each for name, each in stated.items()}
    found = []
    for each in inputs:
        unit = SYMBOLS[each.key].unit(system)
        origin = _origin(each)
        if each.key in by_key:
            of = by_key[each.key]
        elif usual and each.key in _USUAL and each.value != 0:
            of = _usual(each.key, origin)
        else:
            continue
        found.append(Uncertainty(each.key, of, each.value, unit, origin, each.key in by_key))
    return tuple(each for each in found if each.by > 0)


def moving(each: Input, values: Any) -> Input:
    """The input with a value other than zero of its places, by which it is told to vary at all.

    `values` are its values at every place: stations, rows or cells.
    """
    numbers = np.ravel(values)
    return replace(each, value=float(numbers[np.argmax(numbers != 0)]))


def of_stations(task: PipeTask) -> tuple[Input, ...]:
    """The inputs of a pipe, each as `moving` of its values at the stations."""
    values = [station.values for station in task.stations]
    return tuple(moving(e, [at[e.key] for at in values]) for e in task.stations[0].inputs)


def of_task(
    project: Project, pipe: Pipe, resin: Resin, task: PipeTask, usual: bool
) -> tuple[Uncertainty, ...]:
    """The uncertain inputs of a pipe that its calculation reads.

    Raises:
        InputFaults: an uncertainty of a value that the pipe does not have.
    """
    refuse_unknown(pipe, task)
    stated, read = stated_of(project, pipe, resin), keys_read(task.basis)
    dry = any("groundwater" in site for site in sites(pipe, project.criteria))
    # A pipe that no groundwater reaches has no level that could be off.
    given = [each for each in of_stations(task) if not (dry and each.key == WATER)]
    found = uncertainties(stated, given, task.basis.system, usual)
    return tuple(each for each in found if each.key in read)


def refuse_unknown(pipe: Pipe, task: PipeTask) -> None:
    """Refuses uncertainties of values that the pipe does not have.

    Raises:
        InputFaults: each of them.
    """
    if faults := list(unknown_values(pipe, task)):
        raise InputFaults(faults)


def refuse_unused(project: Project, tasks: Iterable[PipeTask]) -> None:
    """Refuses uncertainties in [uncertainty] of values that no pipe has.

    Raises:
        InputFaults: each of them.
    """
    known = {each.key for task in tasks for each in task.stations[0].inputs}
    # Those of pipes with faults, too, as far as they can be read.
    faulty = [pipe for pipe in project.as_read if pipe.number not in _numbers(project)]
    for pipe in faulty:
        names = (*pipe.unread, *(name for at in sites(pipe, project.criteria) for name in at))
        known |= {key for name in names if (key := KEY_OF.get(name))}
    place = Place(table=f"[{UNCERTAINTY}]", path=(UNCERTAINTY,))
    faults = [
        fault("uncertainty.no_such_value", place.at(name), each.text)
        for name, each in project.uncertainty.items()
        if KEY_OF.get(name) not in known and name not in PRICED
    ]
    if faults:
        raise InputFaults(faults)


def _numbers(project: Project) -> set[int]:
    return {pipe.number for pipe in project.pipes}


def scope(name: str, pipe: str, resin: str) -> str:
    """What a value is drawn once for: the pipe, the resin, or the whole project (empty)."""
    if name in keys.RESIN_KEYS or name in PRICED:
        return resin
    return "" if name in keys.CRITERIA_KEYS else pipe


def bounded(each: Uncertainty, values: np.ndarray) -> np.ndarray:
    """Values kept inside what the quantity can be."""
    kind = keys.kind_of(each.name)
    if kind is None:
        return values
    (lower, least), (_, most) = kind.ends
    # A cover, modulus or strength of nothing has no thickness: keep a hundredth of the value.
    lowest = abs(each.value) / 100 if lower == ">" else least
    return np.asarray(np.clip(values, lowest, most))


def _origin(each: Input) -> str:
    """A default is as good as assumed; what the owner's or the resin's table says is given."""
    if each.origin.by_default:
        return "assumed"
    return each.origin.known_by or "given"


def _usual(key: str, origin: str) -> Distribution:
    unit, by_origin = _USUAL[key]
    number = by_origin[KNOWN_BY.index(origin)]
    words = f"{number:g} % of it" if unit == "%" else f"{number:g} {unit}"
    if unit == POINTS:
        words = "1 point" if number == 1 else words
    return about(Measure(number, "%" if unit == POINTS else unit, words), words)
