"""Pictures of a survey: the section of one station, and ovality along the run."""

from __future__ import annotations

from typing import Any

import numpy as np

from linerdesign.documents.blocks import Picture
from linerdesign.documents.figures import COLOURS, DASHES, new_figure, picture
from linerdesign.expressions.printing import positional
from linerdesign.field.survey.ellipse import Floats
from linerdesign.field.survey.shape import Shape
from linerdesign.field.survey.summary import Run, Units
from linerdesign.words import sentence

EXAGGERATIONS = (20, 10, 5, 2, 1)


def section(shape: Shape, units: Units) -> Picture | None:
    """Outline, best-fit ellipse and mean circle; none for diameters taken by hand."""
    if shape.ellipse is None:
        return None
    radius = shape.adopted.mean / 2
    angle = np.arange(shape.outline.size, dtype=np.float64)
    fit = shape.ellipse.radius_about_centre(angle)
    most = float(np.abs(shape.outline / radius - 1).max())
    drawn = next((k for k in EXAGGERATIONS if k * most <= 0.35), 1)
    figure, (axes,) = new_figure(4.6, 4.6, 1)

    def plot(length: Floats, **style: Any) -> None:
        turn = np.radians(np.append(angle, angle[0]))
        shown = units.length(1.0) * (radius + drawn * (np.append(length, length[0]) - radius))
        axes.plot(shown * np.cos(turn), shown * np.sin(turn), **style)

    plot(np.full_like(angle, radius), color="0.6", lw=0.8, ls=":", label="mean circle")
    plot(fit, color=COLOURS[1], lw=1.2, ls=DASHES[1], label="best-fit ellipse")
    plot(shape.outline, color=COLOURS[0], lw=1.8, label="measured outline")
    axes.set_aspect("equal")
    if drawn > 1:
        # Exaggerated, the axes would say lengths that are not there.
        axes.set_axis_off()
    else:
        axes.set_xlabel(units.section)
    axes.legend(frameon=False, loc="center")
    found = shape.adopted
    where = "" if shape.station is None else f" at {units.along(shape.station):g} {units.station}"
    times = sentence("field.to_scale" if drawn == 1 else "field.drawn_times", times=drawn)
    kinds = [shape.figure.kind] if shape.figure else []
    words = "; ".join([*kinds, *(departure.text() for departure in shape.departures)])
    return picture(
        figure,
        f"Section{where}, {times}",
        f"Mean diameter {positional(units.length(found.mean), 4)} {units.section}, ovality "
        f"{found.ovality:.2f} %, long axis at {shape.ellipse.long_axis:.0f} deg. "
        + (sentence("field.departs", words=words) if words else sentence("field.no_departure")),
    )


def along_run(run: Run, units: Units) -> Picture | None:
    """Ovality of every station by both forms, and the value that stands for all."""
    if len(run.shapes) < 2:
        return None
    place = [units.along(shape.station or 0.0) for shape in run.shapes]
    figure, (axes,) = new_figure(6.5, 3.4, 1)
    forms = {
        "from the minimum diameter": [s.adopted.ovality_from_minimum for s in run.shapes],
        "from the maximum diameter": [s.adopted.ovality_from_maximum for s in run.shapes],
    }
    for number, (label, values) in enumerate(forms.items()):
        axes.plot(
            place, values, color=COLOURS[number], ls=DASHES[number], marker="o", ms=3, label=label
        )
    no_ellipse = [p for p, s in zip(place, run.shapes, strict=True) if not s.is_ellipse]
    if no_ellipse:
        low = [0.0] * len(no_ellipse)
        axes.plot(
            no_ellipse, low, "^", color=COLOURS[3], ms=7, clip_on=False, label="not an ellipse"
        )
    axes.axhline(run.ovality.value, color="black", lw=0.9, label=run.rule)
    axes.set_ylim(bottom=0)
    axes.set_xlabel(f"station, {units.station}")
    axes.set_ylabel("ovality, %")
    axes.legend(frameon=False, fontsize=8)
    largest = run.worst
    at = units.along(largest.station or 0.0)
    return picture(
        figure,
        sentence("field.ovality_picture", rule=run.rule),
        f"Ovality at {len(run.shapes)} stations, largest {largest.adopted.ovality:.2f} % at "
        f"{at:g} {units.station}; {run.rule}: {run.ovality.value:.2f} %.",
    )
