"""Values of a pipe that exclude each other, though each alone is possible."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from linerdesign.expressions.tolerance import at_least, at_most, over, under
from linerdesign.methods.hydraulics import liner_bore
from linerdesign.methods.site import crown_rise, height_of_crown
from linerdesign.project.faults import Fault, Place, Refused, fault, shown
from linerdesign.project.fields import HEADINGS
from linerdesign.project.layers import Layer
from linerdesign.project.measures import Measure
from linerdesign.project.models import Pipe, Resin

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
    yield from between_values(pipe, sites, place)
    yield from without_tensile(sites, resin.given, place.at("resin"))
    for name, value in resin.given.items():
        # A property may be given as a range: a design needs one value.
        if isinstance(value, Measure) and value.upper is not None:
            yield fault("several_values", place_of("resin", resin.name).at(name), str(value))
    if len(set(bases)) > 1:
        yield fault("differing_stations", place)


def between_values(pipe: Pipe, sites: Iterable[Layer], place: Place) -> Iterator[Fault]:
    """Values of a pipe at its stations that exclude each other.

    A value that the criteria gave is at fault there, once for all pipes.
    """
    for site in sites:
        yield from _of_site(site, pipe, place)


def _of_site(site: Layer, pipe: Pipe, where: Place) -> Iterator[Fault]:
    known = {key: each.value for key, each in site.items()}
    if pipe.design_thickness is not None:
        known["design_thickness"] = pipe.design_thickness
    for key, broken, refused in contradictions(known):
        if broken:
            by_criteria = key in site and site[key].origin.by_criteria
            yield refused.at((DEFAULTS if by_criteria else where).at(key), str(known[key]))


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
    elif {"ground_elevation", "invert_elevation"} <= site.keys():
        depth = site["ground_elevation"].to("m") - site["invert_elevation"].to("m")
        yield "ground_elevation", at_most(depth, crown), Refused("faults.no_cover")
    if "hole_diameter" in site:
        broken = at_least(site["hole_diameter"].to("mm"), mean)
        yield "hole_diameter", broken, Refused("faults.hole_too_large", **why)
    if "design_thickness" in site:
        broken = liner_bore(mean, site["design_thickness"].to("mm")) <= 0
        yield "design_thickness", broken, Refused("faults.no_bore", **why)


def without_tensile(
    sites: Iterable[Mapping[str, Any]], resin: Mapping[str, Any], place: Place
) -> Iterator[Fault]:
    """A pressure pipe whose resin has no tensile strength."""
    if "tensile_strength" in resin or not any("internal_pressure" in site for site in sites):
        return
    yield fault("no_tensile", place, resin=shown(str(resin.get("name"))))
