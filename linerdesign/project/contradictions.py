"""Values of a pipe that, each possible, can't be together: why a project is refused."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from linerdesign.expressions.tolerance import over, under
from linerdesign.methods.hydraulics import liner_bore
from linerdesign.methods.site import crown_rise, height_of_crown
from linerdesign.project.faults import Fault
from linerdesign.project.fields import given
from linerdesign.project.layers import sites, values
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin

ONE_ATMOSPHERE = 0.101325


def between_values(pipe: Pipe, criteria: Criteria) -> Iterator[Fault]:
    """Values of a pipe that can't be together; nothing is said where the diameter is missing."""
    for site in map(values, sites(pipe, criteria)):
        if "host_diameter" in site:
            yield from _impossible(site, pipe)


def _impossible(site: dict[str, Any], pipe: Pipe) -> Iterator[Fault]:
    """Values that can't be together."""
    known = site | ({"design_thickness": pipe.design_thickness} if pipe.design_thickness else {})
    for key, broken, expected in contradictions(known):
        if broken:
            yield Fault(f'[[pipe]] "{pipe.name}", {key}', str(known[key]), expected)


def contradictions(site: Mapping[str, Measure]) -> Iterator[tuple[str, Any, str]]:
    """Values that can't be together: the key, whether it is so, and what was expected.

    The numbers of the measures may be arrays; so is then the answer whether it is so.
    """
    diameter = site["host_diameter"]
    mean = diameter.to("mm")
    if "maximum_diameter" in site:
        largest = site["maximum_diameter"].to("mm")
        yield "maximum_diameter", under(largest, mean), f"a diameter not under {diameter}"
    if "minimum_diameter" in site:
        broken = over(site["minimum_diameter"].to("mm"), mean)
        yield "minimum_diameter", broken, f"a diameter not over {diameter}"
    if "maximum_diameter" in site:
        yield "maximum_diameter", largest >= 2 * mean, "an ovality under 100 %"
    wall = site["host_wall"].to("mm") if "host_wall" in site else 0.0
    crown = height_of_crown(crown_rise(mean, wall), "SI")
    expected = "an invert deeper than the pipe is high: the cover must be greater than zero"
    if "invert_depth" in site:
        yield "invert_depth", site["invert_depth"].to("m") <= crown, expected
    elif {"ground_elevation", "invert_elevation"} <= site.keys():
        depth = site["ground_elevation"].to("m") - site["invert_elevation"].to("m")
        yield "ground_elevation", depth <= crown, expected
    if "hole_diameter" in site:
        broken = site["hole_diameter"].to("mm") >= mean
        yield "hole_diameter", broken, f"a hole smaller than {diameter}"
    if "vacuum" in site:
        broken = site["vacuum"].to("MPa") > ONE_ATMOSPHERE
        yield "vacuum", broken, "a vacuum of at most one atmosphere, 14.7 psi or 101.3 kPa"
    if "design_thickness" in site:
        broken = liner_bore(mean, site["design_thickness"].to("mm")) <= 0
        yield "design_thickness", broken, f"a thickness under half of {diameter}"


def several_values(resin: Resin) -> Iterator[Fault]:
    """Properties given as a range: a design needs one value."""
    for key, value in given(resin).items():
        if isinstance(value, Measure) and value.upper is not None:
            expected = "one value; a range is for comparing resins"
            yield Fault(f'[[resin]] "{resin.name}", {key}', str(value), expected)
