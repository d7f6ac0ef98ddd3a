"""Which keys of a pipe must, may and can't stand together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
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


def tables_in(value: object) -> list[tuple[int, Raw]]:
    """The tables of a list as it stands in a file, each with its place there."""
    found = value if isinstance(value, list) else []
    return [(index, each) for index, each in enumerate(found) if isinstance(each, dict)]


def stations_of(pipe: Raw) -> list[Raw]:
    """The stations of a pipe as they stand in a file."""
    return [table for _, table in tables_in(pipe.get("station"))]


def merged(pipe: Raw, station: Raw) -> Raw:
    """The pipe's site values with the station's over them, datum for datum."""
    replaced = {key for group in GROUPS if not station.keys().isdisjoint(group) for key in group}
    # The invert's elevation serves water and cover alike and stays unless given again.
    replaced.discard("invert_elevation")
    kept = {k: v for k, v in pipe.items() if k in Site.model_fields and k not in replaced}
    return kept | {k: v for k, v in station.items() if k in Site.model_fields}


def with_defaults(pipe: Raw, defaults: Raw) -> Raw:
    """The pipe with the criteria's values for what it leaves out, datum for datum."""
    tables = (pipe, *stations_of(pipe))
    usable = usable_defaults(defaults, tables, pipe.get("above_ground") is True)
    return {k: v for k, v in pipe.items() if k not in Site.model_fields} | merged(usable, pipe)


def usable_defaults(defaults: Raw, tables: Iterable[Raw], above_ground: bool) -> Raw:
    """The criteria's values that can serve a pipe whose own are in these tables."""
    unfit = set(BURIED) if above_ground else set()
    if any("diameters" in table for table in tables):
        unfit.update(OVALITIES)
    return {key: value for key, value in defaults.items() if key not in unfit}


def submitted(pipe: Raw, theirs: Raw) -> Raw:
    """The pipe with the inputs of a submitted calculation over its own, at every station."""
    rest = {k: v for k, v in pipe.items() if k not in Site.model_fields and k != "station"}
    changed = [
        {k: v for k, v in each.items() if k == "at"} | merged(each, theirs)
        for each in stations_of(pipe)
    ]
    return rest | merged(pipe, theirs) | ({"station": changed} if changed else {})


def site_faults(pipe: Raw, place: str, ovality_floor: bool) -> Iterator[Fault]:
    """Faults between the keys of one pipe, for each of its stations."""
    tables = stations_of(pipe)
    sites = [(f"{place}, station {shown(s.get('at', i + 1))}", s) for i, s in enumerate(tables)]
    fully = pipe.get("condition") == "fully deteriorated"
    datums = []
    for where, station in sites or [(place, {})]:
        site = merged(pipe, station)
        datums.append(site.keys() & {*WATER_DATUMS, *COVER_DATUMS, *OVALITIES, *PRESSURES})
        if pipe.get("above_ground") is True:
            yield from _above_ground(site, where, ovality_floor)
        else:
            yield from _one_site(site, where, fully, ovality_floor)
        yield from _pressure(site, where, fully)
    yield from differing_stations(datums, place)
    names = [s.get("at") for s in tables]
    for name in dict.fromkeys(shown(n) for n in names if names.count(n) > 1):
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


def differing_stations(found: Iterable[object], place: str) -> Iterator[Fault]:
    """Stations that one calculation can't hold: `found` has what is to be the same of each."""
    first, *others = found
    if any(each != first for each in others):
        yield Fault(place, "", "the same datums, kinds of load and methods at every station")


def without_tensile(sites: Iterable[Raw], resin: Raw, place: str) -> Iterator[Fault]:
    """A pressure pipe whose resin has no tensile strength."""
    if "tensile_strength" in resin or not any("internal_pressure" in site for site in sites):
        return
    expected = "a resin with tensile_strength, which a pressure pipe needs (X1.7)"
    yield Fault(f"{place}, resin", shown(str(resin.get("name"))), expected)


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
