"""Which keys of a pipe must, may and can't stand together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from linerdesign.project.faults import Fault, shown
from linerdesign.project.models import (
    COVER_DATUMS,
    DIAMETERS,
    OVALITIES,
    PRESSURES,
    SOIL_KEYS,
    WATER_DATUMS,
    Site,
)

Raw = dict[str, Any]
BURIED = (*WATER_DATUMS, *COVER_DATUMS, "invert_elevation", *SOIL_KEYS)
GROUPS = (WATER_DATUMS, (*COVER_DATUMS, "invert_elevation"), DIAMETERS, OVALITIES)


def merged(pipe: Raw, station: Raw) -> Raw:
    """The pipe's site values with the station's over them, datum for datum."""
    replaced = {key for group in GROUPS if not station.keys().isdisjoint(group) for key in group}
    # The invert's elevation serves water and cover alike and stays unless given again.
    replaced.discard("invert_elevation")
    kept = {k: v for k, v in pipe.items() if k in Site.model_fields and k not in replaced}
    return kept | {k: v for k, v in station.items() if k in Site.model_fields}


def with_defaults(pipe: Raw, defaults: Raw) -> Raw:
    """The pipe with the criteria's values for what it leaves out, datum for datum."""
    stations = pipe.get("station")
    tables = [s for s in stations if isinstance(s, dict)] if isinstance(stations, list) else []
    usable = dict(defaults)
    if any("diameters" in table for table in (pipe, *tables)):
        for key in OVALITIES:
            usable.pop(key, None)
    if pipe.get("above_ground") is True:
        usable = {k: v for k, v in usable.items() if k not in BURIED}
    return {k: v for k, v in pipe.items() if k not in Site.model_fields} | merged(usable, pipe)


def submitted(pipe: Raw, theirs: Raw) -> Raw:
    """The pipe with the inputs of a submitted calculation over its own, at every station."""
    stations = pipe.get("station")
    tables = [s for s in stations if isinstance(s, dict)] if isinstance(stations, list) else []
    rest = {k: v for k, v in pipe.items() if k not in Site.model_fields and k != "station"}
    changed = [
        {"at": s["at"]} | merged(s, theirs) if "at" in s else merged(s, theirs) for s in tables
    ]
    return rest | merged(pipe, theirs) | ({"station": changed} if changed else {})


def site_faults(pipe: Raw, place: str, ovality_floor: bool) -> Iterator[Fault]:
    """Faults between the keys of one pipe, for each of its stations."""
    stations = pipe.get("station")
    tables = [s for s in stations if isinstance(s, dict)] if isinstance(stations, list) else []
    sites = [(f"{place}, station {shown(s.get('at', i + 1))}", s) for i, s in enumerate(tables)]
    fully = pipe.get("condition") == "fully deteriorated"
    datums = set()
    for where, station in sites or [(place, {})]:
        site = merged(pipe, station)
        datums.add(frozenset(site.keys() & {*WATER_DATUMS, *COVER_DATUMS, *OVALITIES, *PRESSURES}))
        if pipe.get("above_ground") is True:
            yield from _above_ground(site, where, ovality_floor)
        else:
            yield from _one_site(site, where, fully, ovality_floor)
        yield from _pressure(site, where, fully)
    if len(datums) > 1:
        expected = "the same datums and kinds of pressure at every station"
        yield Fault(place, "", expected)
    names = [s.get("at") for s in tables]
    for name in {shown(n) for n in names if names.count(n) > 1}:
        yield Fault(f"{place}, station at", name, "a place that no other station has")


def _one_site(site: Raw, where: str, fully: bool, ovality_floor: bool) -> Iterator[Fault]:
    yield from _exactly_one(site, DIAMETERS, where)
    yield from _exactly_one(site, WATER_DATUMS, where)
    covers = [key for key in COVER_DATUMS if key in site]
    if len(covers) > 1:
        yield Fault(where, " and ".join(covers), f"only one of {', '.join(COVER_DATUMS)}")
    if fully and not covers:
        yield Fault(where, "", f"one of {', '.join(COVER_DATUMS)} (fully deteriorated)")
    if fully:
        for key in SOIL_KEYS:
            if key not in site:
                yield Fault(f"{where}, {key}", "", f"this key (fully deteriorated): {_about(key)}")
    elif "groundwater_below_surface" in site and not covers:
        yield Fault(where, "", f"one of {', '.join(COVER_DATUMS)}, to place the water")
    needs_invert = {"groundwater_elevation", "ground_elevation"} & site.keys()
    if needs_invert and "invert_elevation" not in site:
        yield Fault(f"{where}, invert_elevation", "", f"this key beside {min(needs_invert)}")
    if "invert_elevation" in site and not needs_invert:
        expected = "this key only beside groundwater_elevation or ground_elevation"
        yield Fault(f"{where}, invert_elevation", shown(site["invert_elevation"]), expected)
    yield from _ovality(site, where, ovality_floor)


def _above_ground(site: Raw, where: str, ovality_floor: bool) -> Iterator[Fault]:
    yield from _exactly_one(site, DIAMETERS, where)
    if "internal_pressure" not in site:
        yield Fault(f"{where}, internal_pressure", "", "this key for a pipe above ground")
    for key in BURIED:
        if key in site and site[key] != "none":
            yield Fault(f"{where}, {key}", shown(site[key]), "no such key for a pipe above ground")
    if "vacuum" in site:
        yield from _ovality(site, where, ovality_floor)


def _pressure(site: Raw, where: str, fully: bool) -> Iterator[Fault]:
    if "internal_pressure" in site and not fully and "hole_diameter" not in site:
        expected = "this key (partially deteriorated pressure pipe): the largest hole in the host"
        yield Fault(f"{where}, hole_diameter", "", expected)
    if "hole_diameter" in site and "internal_pressure" not in site:
        value = shown(site["hole_diameter"])
        yield Fault(f"{where}, hole_diameter", value, "internal_pressure beside this key")


def missing_tensile(place: str, resin: str) -> Fault:
    """A pressure pipe whose resin has no tensile strength."""
    expected = "a resin with tensile_strength, which a pressure pipe needs (X1.7)"
    return Fault(f"{place}, resin", shown(resin), expected)


def _ovality(site: Raw, where: str, ovality_floor: bool) -> Iterator[Fault]:
    extremes = [key for key in OVALITIES[1:] if key in site]
    if "ovality" in site and extremes:
        yield Fault(where, f"ovality and {extremes[0]}", "the ovality or the diameters, not both")
    if "diameters" in site and extremes:
        yield Fault(where, f"diameters and {extremes[0]}", "the readings or their extremes")
    if not ("ovality" in site or extremes or "diameters" in site or ovality_floor):
        expected = 'this key, or maximum_diameter and minimum_diameter; "0 %" for a true circle'
        yield Fault(f"{where}, ovality", "", expected)


def _exactly_one(site: Raw, keys: tuple[str, ...], where: str) -> Iterator[Fault]:
    given = [key for key in keys if key in site]
    if len(given) > 1:
        yield Fault(where, " and ".join(given), f"exactly one of {', '.join(keys)}")
    if not given:
        yield Fault(where, "", f"exactly one of {', '.join(keys)}")


def _about(key: str) -> str:
    return Site.model_fields[key].description or ""
