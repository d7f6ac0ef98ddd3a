"""The shapes along a run as one: each quantity combined by one rule, and the units printed."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from linerdesign.documents.json import FORMAT, picked
from linerdesign.field.survey.run import Combined, Rule, combine_stations
from linerdesign.field.survey.shape import Shape
from linerdesign.methods.equation import Severity
from linerdesign.methods.method import standard
from linerdesign.project.measures import convert
from linerdesign.project.usual import USUAL
from linerdesign.words import sentence


@dataclass(frozen=True)
class Units:
    """The units that lengths of a section and along the run are said in."""

    section: str
    station: str

    def length(self, millimetres: float) -> float:
        """A length of the section."""
        return convert(millimetres, "mm", self.section)

    def area(self, square_millimetres: float) -> float:
        """An area of the section."""
        return square_millimetres * convert(1.0, "mm", self.section) ** 2

    def along(self, metres: float) -> float:
        """A place along the run."""
        return round(convert(metres, "m", self.station), 9)

    @property
    def system(self) -> str:
        """The unit system that the section is said in."""
        return "US" if self.section in ("in", "ft") else "SI"


UNITS = {"US": Units("in", "ft"), "SI": Units("mm", "m")}


def units_of(header: Mapping[str, str]) -> Units:
    """The units of a file of radii or diameters; stations of that system where it has none."""
    own = Units(header.get("radius") or header["diameter"], header.get("station", ""))
    return own if own.station else replace(own, station=UNITS[own.system].station)


@dataclass(frozen=True)
class Run:
    """The shapes of a run and what stands for all of them; lengths in mm, ovality in percent.

    Mean diameter and ovality are combined by the rule; maximum and minimum are the extremes of
    any station.
    """

    shapes: tuple[Shape, ...]
    rule: str
    mean: Combined
    ovality: Combined
    maximum: float
    minimum: float

    @property
    def worst(self) -> Shape:
        """The station of the largest ovality."""
        return max(self.shapes, key=lambda shape: shape.adopted.ovality)

    @property
    def widest(self) -> Shape:
        """The station of the largest mean diameter."""
        return max(self.shapes, key=lambda shape: shape.adopted.mean)

    @property
    def outside(self) -> tuple[str, ...]:
        """Why the pipe is outside the method, if it is: ovality, and outlines that have none."""
        largest = self.worst.adopted.ovality
        texts = [
            sentence("field.beyond_limit", limit=limit.text, largest=largest)
            for limit in standard().equations["q"].limits
            if limit.severity is Severity.OUTSIDE and not limit.holds.function(largest)
        ]
        figures = [shape.figure.kind for shape in self.shapes if shape.figure]
        if figures:
            about = {"count": len(figures), "all": len(self.shapes)}
            kinds = "; ".join(dict.fromkeys(figures))
            texts.append(sentence("field.not_elliptical", kinds=kinds, **about))
        return tuple(texts)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to know of the combined values, each once."""
        outside = (f"{Severity.OUTSIDE.value}: {text}" for text in self.outside)
        combined = (*self.mean.cautions, *self.ovality.cautions)
        return tuple(dict.fromkeys((*outside, *combined, *self._doubts())))

    def _doubts(self) -> Iterator[str]:
        """Sizes that read like another unit."""
        least, most, _ = USUAL["host_diameter"]
        if self.minimum < least:
            yield sentence("field.small", diameter=self.minimum, usual=least)
        if self.maximum > most:
            yield sentence("field.large", diameter=self.maximum, usual=most)


def combine(shapes: tuple[Shape, ...], rule: Rule) -> Run:
    """One run of its shapes; a shape without a station is a run of one.

    Raises:
        InputFaults: where the rule can't be applied.
    """
    places = [shape.station or 0.0 for shape in shapes]

    def combined(value: Callable[[Shape], float]) -> Combined:
        return combine_stations(places, [value(shape) for shape in shapes], rule)

    return Run(
        shapes=shapes,
        rule=rule.name() if len(shapes) > 1 else "one station",
        mean=combined(lambda shape: shape.adopted.mean),
        ovality=combined(lambda shape: shape.adopted.ovality),
        maximum=max(shape.adopted.maximum for shape in shapes),
        minimum=min(shape.adopted.minimum for shape in shapes),
    )


def run_data(run: Run, units: Units) -> dict[str, Any]:
    """The run as JSON data."""
    return {
        "format": FORMAT,
        "unit": units.section,
        "mean_diameter": units.length(run.mean.value),
        "maximum_diameter": units.length(run.maximum),
        "minimum_diameter": units.length(run.minimum),
        "ovality_percent": run.ovality.value,
        "rule": run.rule,
        "outside_the_method": list(run.outside),
        "stations": [_shape_data(shape, units) for shape in run.shapes],
        "cautions": list(run.cautions),
    }


def _shape_data(shape: Shape, units: Units) -> dict[str, Any]:
    found, fit = shape.adopted, shape.ellipse
    return {
        "station": None if shape.station is None else units.along(shape.station),
        "station_unit": units.station,
        "readings": shape.readings,
        "basis": found.basis,
        "mean_diameter": units.length(found.mean),
        "maximum_diameter": units.length(found.maximum),
        "minimum_diameter": units.length(found.minimum),
        **picked(found, "ovality_from_minimum", "ovality_from_maximum"),
        "ovality_measured": shape.measured.ovality,
        "ovality_of_ellipse": fit.ovality if fit else None,
        "ovality_standard_error": fit.ovality_standard_error if fit else None,
        "long_axis_degrees": fit.long_axis if fit else None,
        "area": units.area(shape.area),
        "departures": [departure.text() for departure in shape.departures],
        "figure": _figure_data(shape, units),
        **picked(shape, "wild_angles", "gaps", "cautions"),
    }


def _figure_data(shape: Shape, units: Units) -> dict[str, Any] | None:
    found = shape.figure
    if found is None:
        return None
    return {
        "kind": found.kind,
        "distance_from_ellipse": units.length(found.distance),
        "least_width": units.length(found.least_width),
        "largest_width": units.length(found.largest_width),
    }
