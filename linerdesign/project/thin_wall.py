"""A wall found thin: what it carries at the design safety factor, and what it would need."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.basis import GIVEN
from linerdesign.methods.laboratory import remaining_life
from linerdesign.methods.lines import Line, line, run
from linerdesign.methods.method import checks_of, constants, method_of, requirement
from linerdesign.methods.origin import calculated
from linerdesign.methods.result import Legs, PipeResult, Step
from linerdesign.methods.symbols import RETENTION_OF, SYMBOLS
from linerdesign.methods.task import Input, PipeTask, Station
from linerdesign.methods.working import signed, worked
from linerdesign.project.measures import convert
from linerdesign.words import sentence

Floats = NDArray[np.float64]
# How far a search goes, and in how many places it looks.
FARTHEST = {"h_invert": (200.0, "m"), "H": (100.0, "m"), "W_s": (7.0, "MPa"), "P_i": (20.0, "MPa")}
PLACES = 400
LEAST = 1e-3  # in the unit of the sheet: the first step of a search, and the least cover
STIFFEST = 100.0  # times the property as installed


@dataclass(frozen=True)
class Allowed:
    """What the wall carries of one quantity at the design safety factor, all else as designed.

    `key` is that of the symbol table, values in the unit of the sheet. `value` is None where no
    value is carried, or where none of the search is too much (`unlimited`).
    """

    key: str
    designed: float
    value: float | None
    unlimited: bool


@dataclass(frozen=True)
class Tolerated:
    """What the wall carries at one station: water above the invert, soil, live load, pressure.

    Of a quantity that the design does not have, there is none.
    """

    station: str | None
    allowed: Mapping[str, Allowed]

    @property
    def head(self) -> Allowed | None:
        """Groundwater above the invert."""
        return self.allowed.get("h_invert")

    @property
    def cover(self) -> Allowed | None:
        """Soil above the crown."""
        return self.allowed.get("H")


@dataclass(frozen=True)
class Needed:
    """What each input, changed alone, would have to be for the wall to pass every equation.

    `thickness` in the unit of the sheet. `properties` hold initial values in the unit of the sheet
    by key of the symbol table, `ovality` and `retention` (of the modulus) are in percent; None
    where no value suffices. `life_years` is the life at which a straight line in logarithms, from
    an hour to the retention of the design at 50 years, falls to `retention`.
    """

    thickness: float
    properties: Mapping[str, float | None]
    ovality: float | None
    retention: float | None = None
    life_years: float | None = None

    @property
    def modulus(self) -> float | None:
        """The initial flexural modulus; None where no value suffices."""
        return self.properties.get("E")


def with_wall(task: PipeTask, thickness: float, properties: Mapping[str, float]) -> PipeTask:
    """The task with an installed wall in place of the designed one.

    `thickness` and `properties`, by key of the symbol table, in the units of the sheet.
    """
    stations = tuple(
        replace(
            station,
            inputs=(
                *(
                    replace(each, value=properties[each.key], origin=calculated("as installed"))
                    if each.key in properties
                    else each
                    for each in station.inputs
                    if each.key not in ("t", "s")
                ),
                Input("t", thickness, calculated("as installed")),
            ),
        )
        for station in task.stations
    )
    basis = replace(task.basis, thickness_given=True, sizes=None)
    return replace(task, basis=basis, stations=stations)


def on_standard_datums(task: PipeTask) -> PipeTask:
    """The same pipe with water above the invert, cover over the crown and one ovality given."""
    basis = task.basis
    if basis.above_ground:
        return task
    water, cover, ovality = basis.water, basis.cover, basis.ovality
    stations = []
    for station in task.stations:
        values = _solved(task, station)
        put = {"h_invert": values["h_invert"]}
        if cover:
            put["H"] = values["H"]
        put["q_pipe"] = values[basis.ovality_key]
        gone = {*water, *cover, *ovality, *put} - {"z_invert"}
        kept = tuple(each for each in station.inputs if each.key not in gone)
        made = (Input(key, float(value), calculated("by its datum")) for key, value in put.items())
        stations.append(Station((*kept, *made), station.at))
    standard = replace(
        basis, water=("h_invert",), cover=("H",) if cover else (), ovality=("q_pipe",)
    )
    return replace(task, basis=standard, stations=tuple(stations))


def tolerated(built: PipeTask) -> tuple[Tolerated, ...]:
    """What is carried at each station; `built` is a task on the standard's datums."""
    return tuple(_at(built, station) for station in built.stations)


def _at(built: PipeTask, station: Station) -> Tolerated:
    found = (_limit(*searched(built, station, key), key) for key in FARTHEST)
    return Tolerated(station.at, {each.key: each for each in found if each})


def searched(built: PipeTask, station: Station, key: str) -> tuple[PipeTask, Station]:
    """The task and station in which a quantity is an input: the live load may be by a method."""
    basis = built.basis
    if key != "W_s" or not basis.buried_fully or basis.live_load == GIVEN:
        return built, station
    load = Input("W_s", float(_solved(built, station)["W_s"]), calculated("by its method"))
    task = replace(built, basis=replace(basis, live_load=GIVEN))
    return task, replace(station, inputs=(*station.inputs, load))


def _limit(built: PipeTask, station: Station, key: str) -> Allowed | None:
    """The limit of one quantity nearest to its design value; None where the design has none.

    From a value that is carried the search goes up to the first that is too much, from one that is
    too much down to the first that is carried.
    """
    start = _given(station).get(key)
    if start is None or not _applies(built, key):
        return None
    farthest = convert(*FARTHEST[key], SYMBOLS[key].unit(built.basis.system))

    def shortage(values: Any) -> Any:
        return _shortage(built, station, key, values)

    if float(shortage(start)) <= 0:
        steps = start + np.geomspace(LEAST, farthest, PLACES)
        found = _first_change(shortage, np.concatenate([[start], steps]))
        return Allowed(key, start, found, found is None)
    least = min(start, LEAST) if key == "H" else 0.0
    found = _first_change(shortage, np.linspace(start, least, PLACES))
    return Allowed(key, start, found, False)


def _applies(built: PipeTask, key: str) -> bool:
    """Whether a quantity is one of the loads of the design."""
    basis = built.basis
    if key == "P_i":
        return basis.internal_pressure
    return not basis.above_ground if key == "h_invert" else basis.buried_fully


def working(
    built: PipeTask, station: Station, key: str, value: float, origin: str
) -> tuple[Step, ...]:
    """The lines to the thickness that governs at a value of one quantity."""
    task, place = searched(built, station, key)
    solved = _solved(task, place, **{key: value})
    governing = max(checks_of(task.basis), key=lambda check: float(solved[check.required]))
    lines = _leading_to(requirement(task.basis), governing.required)
    read = {key for each in lines for key in each.needs} - {each.result for each in lines}
    changed = Input(key, value, calculated(origin))
    inputs = {each.key: each for each in (*place.inputs, *constants(task.basis))} | {key: changed}
    used = [each for each in inputs.values() if each.key in read]
    return signed(worked(used, lines, task.basis.system), task.verified)


def _leading_to(lines: Sequence[Line], wanted: str) -> list[Line]:
    """The lines that a quantity rests on, and the one that gives it."""
    needed, kept = {wanted}, []
    for each in reversed(lines):
        if each.result in needed:
            needed.update(each.needs)
            kept.append(each)
    return kept[::-1]


def needed(built: PipeTask, required_thickness: float) -> Needed:
    """What each input would have to be; `required_thickness` is that of the wall's equations."""
    values = [_given(station) for station in built.stations]

    def worst(key: str) -> Callable[[Any], Any]:
        return lambda x: np.max([_shortage(built, s, key, x) for s in built.stations], axis=0)

    def stronger(key: str) -> float | None:
        return _first_change(worst(key), values[0][key] * np.geomspace(1.0, STIFFEST, PLACES))

    rounder = None
    if values[0].get("q_pipe"):
        most = max(each["q_pipe"] for each in values)
        rounder = _first_change(
            lambda q: np.max(
                [
                    _shortage(built, station, "q_pipe", np.minimum(q, each["q_pipe"]))
                    for station, each in zip(built.stations, values, strict=True)
                ],
                axis=0,
            ),
            np.linspace(most, 0.0, PLACES),
        )
    properties = {key: stronger(key) for key in RETENTION_OF if key in values[0]}
    retained, years = None, None
    if "r_E" in values[0]:
        retained, years = _life(values[0]["r_E"], worst("r_E"))
    return Needed(required_thickness, properties, rounder, retained, years)


def _life(design: float, shortage: Callable[[Any], Any]) -> tuple[float | None, float | None]:
    """The modulus retention at which the wall passes, and the life with it, in years."""
    retained = _first_change(shortage, np.linspace(design, 100.0, PLACES))
    if retained is None:
        return None, None
    return retained, float(remaining_life(retained, design))


def _given(station: Station) -> dict[str, float]:
    return {each.key: each.value for each in station.inputs}


def _solved(task: PipeTask, station: Station, **put: Any) -> dict[str, Any]:
    fixed = {each.key: each.value for each in constants(task.basis)}
    return run(requirement(task.basis), _given(station) | fixed | put)


def _shortage(built: PipeTask, station: Station, key: str, values: Any) -> Any:
    """Thickness required less the one there is, as a share of it, for values of one quantity."""
    thickness = _given(station)["t"]
    values = np.asarray(values)
    required = _solved(built, station, **{key: values})["t_required"]
    # A check that asks for nothing, a number that is none: neither is a wall that does.
    share = np.where(np.isfinite(required), required / thickness - 1, np.inf)
    return np.broadcast_to(np.where(np.abs(share) < 1e-12, 0.0, share), values.shape)


def _first_change(shortage: Callable[[Any], Any], places: Floats) -> float | None:
    """Where the shortage first turns from what it is at the first place; none if it never does."""
    from scipy.optimize import brentq

    short = np.asarray(shortage(places)) > 0
    turned = np.flatnonzero(short != short[0])
    if turned.size == 0:
        return None
    after = int(turned[0])

    def root(x: float) -> float:
        value = float(shortage(x))
        return value if np.isfinite(value) else 1e9

    return float(brentq(root, *places[after - 1 : after + 1]))


@dataclass(frozen=True)
class ThinWall:
    """One wall, as a task on the standard's datums with its thickness `t`, and what it carries.

    `required` is the thickness that its equations require.
    """

    wall: PipeTask
    required: float

    @cached_property
    def tolerated(self) -> tuple[Tolerated, ...]:
        """What is carried at each station."""
        return tolerated(self.wall)

    @cached_property
    def needed(self) -> Needed:
        """What each input, changed alone, would have to be."""
        return needed(self.wall, self.required)

    def workings(self) -> Iterator[tuple[Allowed, str | None, tuple[Step, ...]]]:
        """Every value that is carried and less than designed, with its station and lines."""
        for station, found in zip(self.wall.stations, self.tolerated, strict=True):
            for each in found.allowed.values():
                if each.value is not None and each.value < each.designed:
                    origin = sentence("field.allowable_solved")
                    steps = working(self.wall, station, each.key, each.value, origin)
                    yield each, station.at, steps

    def life(self) -> tuple[Step, ...]:
        """The working of the remaining life; nothing where the wall has none, or no limit."""
        needed = self.needed
        if needed.retention is None:
            return ()
        design = _given(self.wall.stations[0])["r_E"]
        inputs = (
            Input("r_pass", needed.retention, calculated(sentence("field.retention_needed"))),
            Input("r_E", design, calculated("design")),
        )
        steps = worked(inputs, [line(remaining_life)], self.wall.basis.system)
        return signed(steps, self.wall.verified)


def thin_wall(result: PipeResult) -> ThinWall:
    """The wall of a design whose thickness is given."""
    wall = with_wall(on_standard_datums(result.task), result.nominal_thickness, {})
    return ThinWall(wall, result.required_thickness)


def thin_legs(found: Legs) -> ThinWall | None:
    """The walls of legs that fail an equation; None where all pass or one leaves no bore."""
    built = found.built
    failing = {check.station for check in built.checks if not check.passes}
    if not failing or not built.bore or not method_of(built.basis).follows:
        return None
    places = [i for i, station in enumerate(built.stations) if station in failing]
    task = replace(built.task, stations=tuple(built.task.stations[i] for i in places))
    required = max(built.places[i].required_thickness for i in places)
    return ThinWall(on_standard_datums(task), required)
