"""Which keys of a pipe are required, optional or exclude each other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from linerdesign.methods.basis import FULLY
from linerdesign.project.faults import Fault, Place, fault, shown
from linerdesign.project.keys import (
    BURIED,
    COVER_DATUMS,
    DIAMETERS,
    OVALITIES,
    PRESSURES,
    SOIL_KEYS,
    WATER_DATUMS,
    keys_of,
)
from linerdesign.project.layers import merged, tables_in

Raw = dict[str, Any]
# Keys that describe a host that is not circular.
SHAPED = ("shape", "outline")
WITH_CORNERS, CORNERS = ("box", "arch"), ("corner_radius",)


def default_faults(defaults: Raw, place: Place) -> tuple[list[Fault], Raw]:
    """Keys of the criteria's values that state one thing twice, and the values without them."""
    faults: list[Fault] = []
    left = dict(defaults)
    for keys in (DIAMETERS, WATER_DATUMS, COVER_DATUMS):
        faults.extend(_one_of(defaults, keys, place, needed=False))
        for key in [key for key in keys if key in left][1:]:
            del left[key]
    return faults, left


def site_faults(pipe: Raw, place: Place, minimum_ovality: bool) -> Iterator[Fault]:
    """Faults between the keys of one pipe, for each of its stations."""
    tables = tables_in(pipe.get("station"))
    sites = [(place.inside("station", i, s.get("at")), s) for i, s in tables]
    fully = pipe.get("condition") == FULLY
    datums = []
    shaped = not pipe.keys().isdisjoint(SHAPED)
    yield from _shape(pipe, place)
    for where, station in sites or [(place, {})]:
        site = merged(pipe, station)
        datums.append(site.keys() & {*WATER_DATUMS, *COVER_DATUMS, *OVALITIES, *PRESSURES})
        if pipe.get("above_ground") is True:
            yield from _above_ground(site, where, minimum_ovality)
        else:
            yield from _one_site(site, where, fully, minimum_ovality, shaped)
        yield from _pressure(site, where, fully)
    if any(each != datums[0] for each in datums):
        yield fault("differing_stations", place)
    names = [table.get("at") for _, table in tables]
    for name in dict.fromkeys(shown(n) for n in names if names.count(n) > 1):
        yield fault("duplicate_station", place, name=name)


def _shape(pipe: Raw, where: Place) -> Iterator[Fault]:
    """Faults between the keys of a host that is not circular."""
    yield from _one_of(pipe, (*SHAPED, *DIAMETERS), where, needed=False)
    shape = pipe.get("shape")
    cornered = shape in WITH_CORNERS
    wanted = [*(("width", "height") if "shape" in pipe else ()), *(CORNERS if cornered else ())]
    for key in wanted:
        if key not in pipe:
            yield fault("missing_key_for", where.at(key), why=f"shape {shown(shape)}")
    for key in ("width", "height"):
        if key in pipe and "shape" not in pipe:
            yield fault("only_beside", where.at(key), shown(pipe[key]), keys="shape")
    if "corner_radius" in pipe and not cornered:
        given = shown(pipe["corner_radius"])
        yield fault("only_beside", where.at("corner_radius"), given, keys="shape box or arch")
    if "hole_position" in pipe and "hole_arc" not in pipe:
        given = shown(pipe["hole_position"])
        yield fault("only_beside", where.at("hole_position"), given, keys="hole_arc")


def _one_site(
    site: Raw, where: Place, fully: bool, minimum_ovality: bool, shaped: bool
) -> Iterator[Fault]:
    if not shaped:
        yield from _one_of(site, DIAMETERS, where)
    yield from _one_of(site, WATER_DATUMS, where)
    needs_cover = fully or "groundwater_below_surface" in site
    yield from _one_of(site, COVER_DATUMS, where, needs_cover)
    if fully:
        for key in SOIL_KEYS:
            if key not in site:
                yield fault("missing_key_for", where.at(key), why=FULLY)
    beside = {"groundwater_elevation", "ground_elevation"}
    given = sorted(beside & site.keys())
    if given and "invert_elevation" not in site:
        yield fault("missing_key_for", where.at("invert_elevation"), why=f"beside {given[0]}")
    if "invert_elevation" in site and not given:
        value = shown(site["invert_elevation"])
        keys = " or ".join(sorted(beside))
        yield fault("only_beside", where.at("invert_elevation"), value, keys=keys)
    yield from _ovality(site, where, minimum_ovality or shaped)


def _above_ground(site: Raw, where: Place, minimum_ovality: bool) -> Iterator[Fault]:
    yield from _one_of(site, DIAMETERS, where)
    if "internal_pressure" not in site:
        yield fault("missing_key_for", where.at("internal_pressure"), why="pipe above ground")
    for key in BURIED:
        if key in site and site[key] != "none":
            yield fault("above_ground", where.at(key), shown(site[key]))
    if "vacuum" in site:
        yield from _ovality(site, where, minimum_ovality)


def _pressure(site: Raw, where: Place, fully: bool) -> Iterator[Fault]:
    if "internal_pressure" in site and not fully and "hole_diameter" not in site:
        why = keys_of("pipe")["hole_diameter"].help
        yield fault("missing_key_for", where.at("hole_diameter"), why=why)
    if "hole_diameter" in site and "internal_pressure" not in site:
        value = shown(site["hole_diameter"])
        yield fault("only_beside", where.at("hole_diameter"), value, keys="internal_pressure")


def _ovality(site: Raw, where: Place, minimum_ovality: bool) -> Iterator[Fault]:
    extremes = [key for key in OVALITIES[1:] if key in site]
    for other in ("ovality", "diameters"):
        if other in site and extremes:
            yield fault("several_of", where, keys=f"{other} and {extremes[0]}")
    if not ("ovality" in site or extremes or "diameters" in site or minimum_ovality):
        keys = 'ovality ("0 %" for a true circle), maximum_diameter, minimum_diameter'
        yield fault("missing_one_of", _lead(where, "ovality"), how="one or two", keys=keys)


def _one_of(site: Raw, keys: tuple[str, ...], where: Place, needed: bool = True) -> Iterator[Fault]:
    """More than one key of a group, or none of it where one is needed."""
    found = [key for key in keys if key in site]
    if len(found) > 1:
        yield fault("several_of", where, keys=" and ".join(found))
    if needed and not found:
        yield fault(
            "missing_one_of", _lead(where, keys[0]), how="exactly one", keys=", ".join(keys)
        )


def _lead(where: Place, key: str) -> Place:
    """The place of a table, with the way to the first of the keys that could be given there."""
    return replace(where, path=(*where.path, key))
