"""Resolves the layers of a project: what each station of a pipe has, and who gave it.

The layers, later over earlier: default of the program, owner's criteria, project criteria, resin,
pipe, station. Of a group of keys that state one thing (the water, the cover), a later layer that
gives one key replaces all keys of the earlier ones.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from linerdesign.expressions.printing import written
from linerdesign.methods.origin import DEFAULT, Given, Giver, Origin
from linerdesign.project.consistency import merged, usable_defaults
from linerdesign.project.fields import given
from linerdesign.project.keys import (
    CRITERIA_KEYS,
    OVALITIES,
    RESIN_KEYS,
    RETENTIONS,
    SITE_KEYS,
)
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin, Station

Layer = dict[str, Given]
# Criteria whose values are kept resolved: those of one project serve all of its pipes.
LAST = 8
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
    place = table.at if isinstance(table, Station) else ""
    row = pipe.place
    file = f"{row.file}, {row.table}" if row.file else ""
    return {
        key: _given(value, Origin(pipe.origin.get(key, "given"), giver, file, place))
        for key, value in given(table).items()
        if key in SITE_KEYS
    }


def _given(value: Any, by: Origin) -> Given:
    unit = value.unit if isinstance(value, Measure) else ""
    stated = written(value)
    return Given(value, unit, Origin(by.known_by, by.giver, by.file, by.place, stated=stated))


@lru_cache(LAST)
def _defaults(criteria: Criteria) -> Layer:
    """The values of the criteria for pipes and resins without their own."""
    return {
        key: _given(value, criteria.origin_of_default(key))
        for key, value in given(criteria.defaults).items()
    }


@lru_cache(LAST)
def _criteria(criteria: Criteria) -> Layer:
    keys = (*CRITERIA_KEYS, "thickness_step")
    return {key: _given(getattr(criteria, key), criteria.origin_of(key)) for key in keys}


def _resin(resin: Resin, criteria: Criteria, pipe: Pipe) -> Layer:
    """The properties of the resin; one that it leaves out comes from the criteria's defaults."""
    found: Layer = {}
    defaults = _defaults(criteria)
    known = given(resin)
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
    by = replace(criteria.origin_of("minimum_ovality"), place="minimum_ovality")
    if by.by_default:
        by = replace(by, giver=Giver.OWNER)
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


def values(site: Mapping[str, Given]) -> dict[str, Any]:
    """The values alone, without their origins."""
    return {key: each.value for key, each in site.items()}
