"""The design's own lines on an installed wall: its factors, and the limits of each input for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.f1216.properties import RETENTION_OF
from linerdesign.methods.lines import run
from linerdesign.methods.method import constants, requirement
from linerdesign.methods.origin import calculated
from linerdesign.methods.task import Input, PipeTask, Station

Floats = NDArray[np.float64]
# How far a search goes, in the units of the sheet, and in how many places it looks.
FARTHEST = {"H": {"US": 330.0, "SI": 100.0}, "h_invert": {"US": 660.0, "SI": 200.0}}
PLACES = 400
LIFE_HOURS, HOURS_A_YEAR = 438_000.0, 8_760.0
STIFFEST = 100.0  # times the property as installed


@dataclass(frozen=True)
class Tolerated:
    """What the wall as installed bears at the design safety factor, at one station.

    `head` is groundwater above the invert and `cover` soil above the crown, in the sheet's unit of
    depth; None where no value is borne, or where none of the search is too much (`unlimited`).
    """

    station: str | None
    head_designed: float | None
    head: float | None
    head_unlimited: bool
    cover_designed: float | None
    cover: float | None
    cover_unlimited: bool


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
        put["q_pipe"] = values[ovality_key(ovality)]
        gone = {*water, *cover, *ovality, *put} - {"z_invert"}
        kept = tuple(each for each in station.inputs if each.key not in gone)
        made = (Input(key, float(value), calculated("by its datum")) for key, value in put.items())
        stations.append(Station((*kept, *made), station.at))
    standard = replace(
        basis, water=("h_invert",), cover=("H",) if cover else (), ovality=("q_pipe",)
    )
    return replace(task, basis=standard, stations=tuple(stations))


def ovality_key(given: tuple[str, ...]) -> str:
    """The key of the ovality that these inputs lead to."""
    by_diameter = {"D_max": "q_max", "D_min": "q_min"}
    one = by_diameter.get(given[0], "q_pipe")
    return one if len(given) == 1 else "q_pipe"


def tolerated(built: PipeTask) -> tuple[Tolerated, ...]:
    """Head and cover borne at each station; `built` is a task on the standard's datums."""
    return tuple(_at(built, station) for station in built.stations)


def _at(built: PipeTask, station: Station) -> Tolerated:
    given = _given(station)
    head, head_free = _limit(built, station, "h_invert")
    cover, cover_free = _limit(built, station, "H") if built.basis.buried_fully else (None, True)
    return Tolerated(
        station=station.at,
        head_designed=given.get("h_invert"),
        head=head,
        head_unlimited=head_free,
        cover_designed=given.get("H") if built.basis.buried_fully else None,
        cover=cover,
        cover_unlimited=cover_free,
    )


def _limit(built: PipeTask, station: Station, key: str) -> tuple[float | None, bool]:
    """The limit of one quantity nearest to its design value, and whether there is none.

    From a value that is borne the search goes up to the first that is too much, from one that is
    too much down to the first that is borne.
    """
    start = _given(station).get(key)
    if start is None or built.basis.above_ground:
        return None, True
    farthest = FARTHEST[key][built.basis.system]

    def shortage(values: Any) -> Any:
        return _shortage(built, station, key, values)

    if float(shortage(start)) <= 0:
        steps = start + np.geomspace(1e-3, farthest, PLACES)
        found = _first_change(shortage, np.concatenate([[start], steps]))
        return found, found is None
    least = 0.0 if key == "h_invert" else min(start, 1e-3)
    return _first_change(shortage, np.linspace(start, least, PLACES)), False


def needed(built: PipeTask, required_thickness: float) -> Needed:
    """What each input would have to be; `required_thickness` is that of the wall's equations."""
    values = [_given(station) for station in built.stations]

    def worst(key: str) -> Callable[[Any], Any]:
        return lambda x: np.max([_shortage(built, s, key, x) for s in built.stations], axis=0)

    def stronger(key: str) -> float | None:
        value = values[0][key]
        places = np.concatenate([[value], value * np.geomspace(1.0005, STIFFEST, PLACES)])
        return _first_change(worst(key), places)

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
    if float(shortage(design)) <= 0 or design >= 100:
        return None, None
    retained = _first_change(shortage, np.linspace(design, 100.0, PLACES))
    if retained is None:
        return None, None
    # log(t) is to log(50 years) as log(retention) to log(retention of the design); t from 1 h.
    share = np.log(retained / 100) / np.log(design / 100)
    return retained, float(LIFE_HOURS**share / HOURS_A_YEAR)


def _given(station: Station) -> dict[str, float]:
    return {each.key: each.value for each in station.inputs}


def _solved(task: PipeTask, station: Station, **put: Any) -> dict[str, Any]:
    fixed = {each.key: each.value for each in constants(task.basis)}
    return run(requirement(task.basis), _given(station) | fixed | put)


def _shortage(built: PipeTask, station: Station, key: str, values: Any) -> Any:
    """Thickness required less the one there is, as a share of it, for values of one quantity."""
    thickness = _given(station)["t"]
    values = np.asarray(values, dtype=np.float64)
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
    low, high = float(places[after - 1]), float(places[after])

    def root(x: float) -> float:
        value = float(shortage(x))
        return value if np.isfinite(value) else 1e9

    if root(low) == 0 or root(high) == 0 or root(low) * root(high) > 0:
        return low if not short[after - 1] else high
    return float(brentq(root, low, high, xtol=1e-12, rtol=1e-12))
