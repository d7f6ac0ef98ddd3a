"""Values of a pipe that exclude each other, though each alone is possible."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from linerdesign.expressions.tolerance import at_least, at_most, over, under
from linerdesign.methods.hydraulics import fills
from linerdesign.methods.site import crown_rise, height_of_crown
from linerdesign.project.faults import Fault, Place, Refused, fault, shown
from linerdesign.project.fields import HEADINGS
from linerdesign.project.layers import Layer, sites
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin
from linerdesign.words import sentence

# 14.7 psi, as people write one atmosphere.
ONE_ATMOSPHERE = 0.101353
# The place of what the criteria give for pipes without it.
DEFAULTS = Place(table=HEADINGS["criteria"], inner="defaults", path=("criteria", "defaults"))


def place_of(table: str, name: str | None) -> Place:
    """The place of a pipe or a resin, by its name."""
    return Place(table=HEADINGS[table], name=name)


def in_design(
    pipe: Pipe, resin: Resin, sites: Sequence[Layer], bases: Iterable[object]
) -> Iterator[Fault]:
    """Values for which one calculation with this resin can't be: `bases` are of the stations."""
    place = place_of("pipe", pipe.name)
    if pipe.is_shaped:
        key = "outline" if pipe.outline else "shape"
        yield fault("shaped", place.at(key), shown(getattr(pipe, key)))
        return
    yield from between_values(sites, pipe.design_thickness, place)
    yield from without_tensile(sites, resin.given, place.at("resin"))
    for name, value in resin.given.items():
        # A property may be given as a range: a design needs one value.
        if isinstance(value, Measure) and value.upper is not None:
            yield fault("several_values", place_of("resin", resin.name).at(name), str(value))
    if len(set(bases)) > 1:
        yield fault("differing_stations", place)


def between_values(sites: Iterable[Layer], wall: Measure | None, place: Place) -> Iterator[Fault]:
    """Values of a pipe at its stations that exclude each other, and its wall to check.

    A value that the criteria gave is at fault there, once for all pipes.
    """
    for site in sites:
        known = {key: each.value for key, each in site.items()}
        if wall is not None:
            known["design_thickness"] = wall
        for key, broken, refused in contradictions(known):
            if broken:
                origin = site[key].origin if key in site else None
                by_criteria = origin is not None and origin.by_criteria
                where = replace(DEFAULTS, file=origin.file) if origin and by_criteria else place
                yield refused.at(where.at(key), str(known[key]))


def of_stated(pipe: Pipe, criteria: Criteria, own: Iterable[Fault]) -> Iterator[Fault]:
    """Inputs of a submitted calculation that exclude each other, or lines of unknown stations.

    `own` are the contradictions of the pipe itself.
    """
    stated = pipe.stated
    if stated is None:
        return
    names = [station.at for station in pipe.station]
    known = ", ".join(map(shown, names)) or sentence("review.no stations")
    inside = pipe.place.inside("stated")
    for index, each in enumerate(stated.station):
        if each.at is not None and each.at not in names:
            at = inside.inside("station", index).at("at")
            yield fault("review.unknown station", at, shown(each.at), known=known)
    if stated.inputs is None:
        return
    theirs = sites(pipe.submitted(stated.inputs.given), criteria)
    known_of_pipe = {(each.key, each.value) for each in own}
    for each in between_values(theirs, None, inside.inside("inputs")):
        if (each.key, each.value) not in known_of_pipe:
            yield each


def contradictions(site: Mapping[str, Measure]) -> Iterator[tuple[str, Any, Refused]]:
    """Values that exclude each other: the key, whether they do, and why.

    The numbers of the measures may be arrays; so is then the answer whether they do.
    """
    if "vacuum" in site:
        broken = over(site["vacuum"].to("MPa"), ONE_ATMOSPHERE)
        yield "vacuum", broken, Refused("faults.over_one_atmosphere")
    if "host_diameter" not in site:
        return
    diameter = site["host_diameter"]
    mean, why = diameter.to("mm"), {"diameter": str(diameter)}
    if "maximum_diameter" in site:
        largest = site["maximum_diameter"].to("mm")
        yield "maximum_diameter", under(largest, mean), Refused("faults.under_mean", **why)
        yield "maximum_diameter", at_least(largest, 2 * mean), Refused("faults.ovality_of_100")
    if "minimum_diameter" in site:
        broken = over(site["minimum_diameter"].to("mm"), mean)
        yield "minimum_diameter", broken, Refused("faults.over_mean", **why)
    wall = site["host_wall"].to("mm") if "host_wall" in site else 0.0
    crown = height_of_crown(crown_rise(mean, wall), "SI")
    if "invert_depth" in site:
        broken = at_most(site["invert_depth"].to("m"), crown)
        yield "invert_depth", broken, Refused("faults.no_cover")
    elif "ground_elevation" in site and "invert_elevation" in site:
        depth = site["ground_elevation"].to("m") - site["invert_elevation"].to("m")
        yield "ground_elevation", at_most(depth, crown), Refused("faults.no_cover")
    if "hole_diameter" in site:
        broken = at_least(site["hole_diameter"].to("mm"), mean)
        yield "hole_diameter", broken, Refused("faults.hole_too_large", **why)
    if "design_thickness" in site:
        broken = fills(mean, site["design_thickness"].to("mm"))
        yield "design_thickness", broken, Refused("faults.no_bore", **why)


def without_tensile(
    sites: Iterable[Mapping[str, Any]], resin: Mapping[str, Any], place: Place
) -> Iterator[Fault]:
    """A pressure pipe whose resin has no tensile strength."""
    if "tensile_strength" in resin or not any("internal_pressure" in site for site in sites):
        return
    yield fault("no_tensile", place, resin=shown(str(resin.get("name"))))
