"""Values of a pipe that, each possible, can't be together: why a project is refused."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from linerdesign.expressions.tolerance import over, under
from linerdesign.methods.hydraulics import liner_bore
from linerdesign.methods.site import crown_rise, height_of_crown
from linerdesign.project.consistency import merged, with_defaults
from linerdesign.project.faults import Fault
from linerdesign.project.fields import given
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria, Pipe, Resin

ONE_ATMOSPHERE = 0.101325


def between_values(pipe: Pipe, criteria: Criteria) -> Iterator[Fault]:
    """Values of a pipe that can't be together; nothing is said where the diameter is missing."""
    for site in sites_of(pipe, criteria):
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


def sites_of(pipe: Pipe, criteria: Criteria) -> list[dict[str, Any]]:
    """The values of each station, the owner's defaults among them, readings as their mean."""
    full = with_defaults(given(pipe), given(criteria.defaults))
    return [_with_readings(merged(full, table)) for table in tables_of(pipe)]


def tables_of(pipe: Pipe) -> list[dict[str, Any]]:
    """What each station gives of its own; one empty table where there is none."""
    return [given(station) for station in pipe.station] or [{}]


def _with_readings(site: dict[str, Any]) -> dict[str, Any]:
    """Diameter readings as their mean and extremes."""
    readings = site.pop("diameters", None)
    if not readings:
        return site
    unit = readings[0].unit
    numbers = [reading.to(unit) for reading in readings]
    text = ", ".join(str(reading) for reading in readings[:12])
    text += f" and {len(readings) - 12} more" if len(readings) > 12 else ""
    mean = Measure(sum(numbers) / len(numbers), unit, f"mean of {text}")
    extremes = (
        {}
        if "ovality" in site
        else {
            "maximum_diameter": Measure(max(numbers), unit, "largest reading"),
            "minimum_diameter": Measure(min(numbers), unit, "smallest reading"),
        }
    )
    return site | {"host_diameter": mean} | extremes
