"""Resolves the layers of a project: what each station of a pipe has, and who gave it.

The layers, later over earlier: default of the program, owner's criteria, project criteria, resin,
pipe, station. Of a group of keys that state one thing (the water, the cover), a later layer that
gives one key replaces all keys of the earlier ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from linerdesign.expressions.printing import written
from linerdesign.methods.origin import DEFAULT, Given, Giver, Origin
from linerdesign.project.keys import (
    BURIED,
    COVER_DATUMS,
    CRITERIA_KEYS,
    DIAMETERS,
    OVALITIES,
    RESIN_KEYS,
    RETENTIONS,
    SITE_KEYS,
    WATER_DATUMS,
)
from linerdesign.project.measures import Measure

if TYPE_CHECKING:
    from linerdesign.project.models import Criteria, Pipe, Resin, Station

Raw = dict[str, Any]
Layer = dict[str, Given]
GROUPS = (WATER_DATUMS, (*COVER_DATUMS, "invert_elevation"), DIAMETERS, OVALITIES)
# The readings that an error message or a sheet prints in full.
LISTED = 12


def resolved(pipe: Pipe, resin: Resin, criteria: Criteria) -> list[Layer]:
    """One mapping of values by key for each station of the pipe; one for a pipe without any."""
    common = _criteria(criteria) | _resin(resin, criteria, pipe)
    own = common | _dimensions(pipe)
    return [own | _ovality(site, criteria) for site in sites(pipe, criteria)]


def sites(pipe: Pipe, criteria: Criteria) -> list[Layer]:
    """The values of each station, the criteria's defaults among them, readings as their mean."""
    own = _of(pipe, pipe, Giver.PIPE)
    stations = [_of(each, pipe, Giver.STATION) for each in pipe.station] or [{}]
    usable = usable_defaults(_defaults(criteria), (own, *stations), pipe.above_ground)
    full = merged(usable, own)
    return [_with_readings(merged(full, each)) for each in stations]


def _of(table: Pipe | Station, pipe: Pipe, giver: Giver) -> Layer:
    """The values of the pipe or of one of its stations."""
    place = table.at if giver is Giver.STATION else ""
    row = pipe.place
    file = f"{row.file}, {row.table}" if row.file else ""
    return {
        key: _given(value, Origin(pipe.origin.get(key, "given"), giver, file, place))
        for key, value in table.given.items()
        if key in SITE_KEYS
    }


def _given(value: Any, by: Origin) -> Given:
    unit = value.unit if isinstance(value, Measure) else ""
    stated = written(value)
    return Given(value, unit, Origin(by.known_by, by.giver, by.file, by.place, stated=stated))


@lru_cache
def _defaults(criteria: Criteria) -> Layer:
    """The values of the criteria for pipes and resins without their own; they serve every pipe."""
    origins = criteria.origins_of_defaults
    return {key: _given(value, origins[key]) for key, value in criteria.defaults.given.items()}


@lru_cache
def _criteria(criteria: Criteria) -> Layer:
    keys = (*CRITERIA_KEYS, "thickness_step")
    origins = criteria.origins
    return {key: _given(getattr(criteria, key), origins[key]) for key in keys}


def _resin(resin: Resin, criteria: Criteria, pipe: Pipe) -> Layer:
    """The properties of the resin; one that it leaves out comes from the criteria's defaults."""
    found: Layer = {}
    defaults = _defaults(criteria)
    known = resin.given
    for key in (*RESIN_KEYS, "thickness_step"):
        if key in known:
            by = Origin(pipe.origin.get(key, ""), Giver.RESIN, place=resin.name)
            found[key] = _given(known[key], by)
        elif key in RETENTIONS:
            found[key] = defaults.get(key) or _given(getattr(resin, key), DEFAULT)
    return found


def _dimensions(pipe: Pipe) -> Layer:
    """The thickness of a pipe that is to be checked."""
    if pipe.design_thickness is None:
        return {}
    checked = Origin("", Giver.PIPE, place="thickness to check")
    return {"nominal_thickness": _given(pipe.design_thickness, checked)}


def _ovality(site: Layer, criteria: Criteria) -> Layer:
    """The site, with the owner's minimum as the ovality of a pipe that states none."""
    if not site.keys().isdisjoint(OVALITIES):
        return site
    by = replace(criteria.origins["minimum_ovality"], place="minimum_ovality")
    return site | {"ovality": _given(criteria.minimum_ovality, by)}


def _with_readings(site: Layer) -> Layer:
    """Diameter readings as their mean and extremes, each known as the readings are."""
    readings = site.pop("diameters", None)
    if readings is None:
        return site
    return site | {
        key: _given(value, readings.origin)
        for key, value in _of_readings(readings.value)
        if key == "host_diameter" or "ovality" not in site
    }


def _of_readings(readings: list[Measure]) -> Iterator[tuple[str, Measure]]:
    unit = readings[0].unit
    numbers = [reading.to(unit) for reading in readings]
    text = ", ".join(str(reading) for reading in readings[:LISTED])
    text += f" and {len(readings) - LISTED} more" if len(readings) > LISTED else ""
    yield "host_diameter", Measure(sum(numbers) / len(numbers), unit, f"mean of {text}")
    yield "maximum_diameter", Measure(max(numbers), unit, "largest reading")
    yield "minimum_diameter", Measure(min(numbers), unit, "smallest reading")


def tables_in(value: object) -> list[tuple[int, Raw]]:
    """The tables of a list as read from a file, each with its position."""
    found = value if isinstance(value, list) else []
    return [(index, each) for index, each in enumerate(found) if isinstance(each, dict)]


def stations_of(pipe: Raw) -> list[Raw]:
    """The stations of a pipe as read from a file."""
    return [table for _, table in tables_in(pipe.get("station"))]


def merged(pipe: Raw, station: Raw) -> Raw:
    """The pipe's site values with the station's over them, datum for datum."""
    replaced = {key for group in GROUPS if not station.keys().isdisjoint(group) for key in group}
    # The invert's elevation serves water and cover alike and stays unless given again.
    replaced.discard("invert_elevation")
    kept = {k: v for k, v in pipe.items() if k in SITE_KEYS and k not in replaced}
    return kept | {k: v for k, v in station.items() if k in SITE_KEYS}


def with_defaults(pipe: Raw, defaults: Raw) -> Raw:
    """The pipe with the criteria's values for what it leaves out, datum for datum."""
    tables = (pipe, *stations_of(pipe))
    usable = usable_defaults(defaults, tables, pipe.get("above_ground") is True)
    return {k: v for k, v in pipe.items() if k not in SITE_KEYS} | merged(usable, pipe)


def usable_defaults(defaults: Raw, tables: Iterable[Raw], above_ground: bool) -> Raw:
    """The criteria's values that can serve a pipe whose own are in these tables."""
    unfit = set(BURIED) if above_ground else set()
    every = set(defaults).union(*tables)
    if "diameters" in every:
        unfit.update(OVALITIES)
    if "internal_pressure" not in every:
        unfit.add("hole_diameter")
    return {key: value for key, value in defaults.items() if key not in unfit}


def submitted(pipe: Raw, theirs: Raw) -> Raw:
    """The pipe with the inputs of a submitted calculation over its own, at every station."""
    rest = {k: v for k, v in pipe.items() if k not in SITE_KEYS and k != "station"}
    changed = [
        {k: v for k, v in each.items() if k == "at"} | merged(each, theirs)
        for each in stations_of(pipe)
    ]
    return rest | merged(pipe, theirs) | ({"station": changed} if changed else {})
