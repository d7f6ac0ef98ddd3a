"""The shape of a run in words, tables and data, and what of it a project file takes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tolerance import over
from linerdesign.field.survey.pictures import along_run, section
from linerdesign.field.survey.shape import Shape
from linerdesign.field.survey.stretch import Stretch
from linerdesign.field.survey.summary import Run, Units, run_data
from linerdesign.methods.verdicts import OUTSIDE
from linerdesign.project.keys import OVALITIES
from linerdesign.project.recording import Record
from linerdesign.words import heads_of, of_area, sentence

MOST_ROWS = 60
ONE_DIAMETER = 0.05  # share within which stations are one leg; ours, no source

_said = of_area("field")


def profile_blocks(found: Run, units: Units, tube: Stretch | None) -> tuple[Block, ...]:
    """The design values, then each station, the pictures, and a tube stretched into it."""
    pictures = (section(found.worst, units), along_run(found, units))
    remarks = _remarks(found, units)
    return (
        Heading(sentence("field.shape_outside" if found.outside else "field.shape_title")),
        _summary(found, units),
        *((Bullets(remarks),) if remarks else ()),
        _stations(found, units),
        *(each for each in pictures if each is not None),
        *(_tube_blocks(tube, found, units) if tube else ()),
    )


def profile_data(found: Run, units: Units, tube: Stretch | None) -> dict[str, Any]:
    """The result of `profile`."""
    return run_data(found, units) | ({"stretch": _tube_data(tube, units)} if tube else {})


def shape_record(
    found: Run, units: Units, pipe: str, source: str, places: tuple[str, ...] = ()
) -> Record:
    """Diameter and ovality for a pipe of a project; `source` names the survey's file.

    `places` are `station` and `leg` to write each surveyed station, and each leg of one diameter.
    """
    writers = {"station": _station_tables, "leg": _leg_tables}
    stations = f"{len(found.shapes)} station{'s' * (len(found.shapes) > 1)}"
    # Whoever reads the file alone must see that the ovality in it is none to design with.
    outside = (sentence("field.outside_record", text=text) for text in found.outside)
    return Record(
        table="pipe",
        name=pipe,
        values={
            "host_diameter": f"{positional(units.length(found.mean.value), 5)} {units.section}",
            "ovality": f"{positional(round(found.ovality.value, 3), 4)} %",
        },
        evidence="; ".join((f"profile {source}, {stations}, {found.rule}", *outside)),
        removed=("diameters", *OVALITIES[1:]),
        unless_at_stations=("host_diameter", "diameters", *OVALITIES),
        within={place: tuple(writers[place](found, units)) for place in dict.fromkeys(places)},
    )


def _section(millimetres: float, units: Units) -> str:
    return f"{positional(units.length(millimetres), 5)} {units.section}"


def _at(shape: Shape, units: Units) -> str:
    return f"{units.along(shape.station or 0.0):g} {units.station}"


def _station_tables(found: Run, units: Units) -> Iterator[dict[str, str]]:
    """Each surveyed station with its own diameter and ovality."""
    for shape in found.shapes:
        yield {
            "at": _at(shape, units),
            "host_diameter": _section(shape.adopted.mean, units),
            "ovality": f"{positional(round(shape.adopted.ovality, 3), 4)} %",
        }


def _leg_tables(found: Run, units: Units) -> Iterator[dict[str, str]]:
    """Stretches of one diameter: the largest mean diameter of each, and its length to the next."""
    legs: list[list[Shape]] = []
    for shape in found.shapes:
        change = shape.adopted.mean / legs[-1][0].adopted.mean - 1 if legs else math.inf
        if over(abs(change), ONE_DIAMETER):
            legs.append([])
        legs[-1].append(shape)
    for leg, following in zip(legs, [*legs[1:], None], strict=True):
        widest = max(each.adopted.mean for each in leg)
        table = {"at": _at(leg[0], units), "host_diameter": _section(widest, units)}
        if following is not None:
            length = (following[0].station or 0.0) - (leg[0].station or 0.0)
            table["length"] = f"{units.along(length):g} {units.station}"
        yield table


def _summary(found: Run, units: Units) -> Grid:
    unit, ovality, anywhere = units.section, f"{found.ovality.value:.2f} %", _said("any_station")
    basis = found.worst.adopted
    rows = [
        (_said("mean_row"), f"{positional(units.length(found.mean.value), 5)} {unit}", found.rule),
        (_said("maximum_row"), f"{positional(units.length(found.maximum), 5)} {unit}", anywhere),
        (_said("minimum_row"), f"{positional(units.length(found.minimum), 5)} {unit}", anywhere),
        (_said("ovality_row"), ovality, _said("larger_form", rule=found.rule)),
    ]
    if len(found.shapes) == 1:
        form = f"{basis.ovality_form}, {basis.basis}"
        rows[-1] = (_said("ovality_row"), ovality, form)
    if found.outside:
        rows.append((_said("status_row"), OUTSIDE, _said("see_below")))
    return Grid(heads_of("field.summary"), "<><", tuple(rows))


def _stations(found: Run, units: Units) -> Grid:
    """Every station, or those of the largest ovality where there are very many."""
    largest = sorted(found.shapes, key=lambda s: s.adopted.ovality, reverse=True)[:MOST_ROWS]
    listed = [shape for shape in found.shapes if shape in largest]
    code = "stations_table" if len(listed) == len(found.shapes) else "stations_cut"
    caption = sentence(f"field.{code}", most=MOST_ROWS, unit=units.section)
    columns = heads_of("field.stations", unit=units.station)
    return Grid(columns, ">>>>>>>><", tuple(_row(shape, units) for shape in listed), caption)


def _row(shape: Shape, units: Units) -> tuple[str, ...]:
    found = shape.adopted
    return (
        "-" if shape.station is None else f"{units.along(shape.station):g}",
        *(positional(units.length(v), 5) for v in (found.mean, found.maximum, found.minimum)),
        f"{found.ovality_from_maximum:.2f}",
        f"{found.ovality_from_minimum:.2f}",
        f"{shape.ellipse.ovality:.2f}" if shape.ellipse else "-",
        positional(units.area(shape.area), 5),
        found.basis,
    )


def _remarks(found: Run, units: Units) -> tuple[str, ...]:
    """Where the outline departs from an ellipse, outliers rejected, and cautions."""
    texts = list(found.cautions)
    for shape in found.shapes:
        at = "" if shape.station is None else f"at {units.along(shape.station):g} {units.station}: "
        texts += [f"{at}{text}" for text in _not_of_an_ellipse(shape, units)]
        if shape.wild_angles:
            angles = ", ".join(f"{angle:.0f}" for angle in shape.wild_angles[:10])
            more = ", ..." if len(shape.wild_angles) > 10 else ""
            about = {"count": len(shape.wild_angles), "angles": angles + more}
            texts.append(at + sentence("field.outliers", **about))
        texts += [f"{at}{caution}" for caution in shape.cautions]
    if any(shape.departures for shape in found.shapes):
        texts.append(sentence("field.engineer_decides"))
    return tuple(texts)


def _not_of_an_ellipse(shape: Shape, units: Units) -> tuple[str, ...]:
    texts = tuple(
        sentence("field.not_an_ellipse", words=departure.text()) for departure in shape.departures
    )
    if shape.figure is None or shape.ellipse is None:
        return texts

    def shown(length: float) -> str:
        return f"{units.length(length):.4g}"

    found, fit = shape.figure, shape.ellipse
    figure = sentence(
        "field.figure",
        kind=found.kind,
        distance=shown(found.distance),
        least=shown(found.least_width),
        largest=shown(found.largest_width),
        minimum=shown(fit.minimum_diameter),
        maximum=shown(fit.maximum_diameter),
        unit=units.section,
    )
    return (figure, *texts)


def _tube_blocks(tube: Stretch, found: Run, units: Units) -> tuple[Block, ...]:
    never = math.isinf(tube.tube_needed)
    text = sentence(
        "field.stretched",
        diameter=positional(units.length(found.widest.adopted.mean), 5),
        unit=units.section,
        ratio=tube.ratio,
        outside=tube.delivered_outside,
        mid=tube.delivered,
        needed=tube.needed,
        verdict=sentence("field.sufficient" if tube.enough else "field.insufficient"),
        tube=sentence("field.no_thicker" if never else "field.tube_needed", t=tube.tube_needed),
        largest=positional(units.length(tube.largest_host), 5),
    )
    return (Heading(sentence("field.stretch_heading"), 2), Paragraph(text))


def _tube_data(tube: Stretch, units: Units) -> dict[str, Any]:
    return {
        "ratio": tube.ratio,
        "delivered_mm": tube.delivered_outside,
        "delivered_by_mean_diameter_mm": tube.delivered,
        "needed_mm": tube.needed,
        "enough": tube.enough,
        "tube_needed_mm": None if math.isinf(tube.tube_needed) else tube.tube_needed,
        "largest_host_diameter": units.length(tube.largest_host),
    }
