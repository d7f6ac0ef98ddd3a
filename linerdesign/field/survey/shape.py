"""Diameter and ovality of a pipe at one station, from radii against angle or from diameters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from linerdesign.field.survey.departures import (
    Departure,
    Settings,
    departures_from_ellipse,
    outliers,
)
from linerdesign.field.survey.ellipse import (
    Ellipse,
    Flags,
    Floats,
    fit_ellipse,
    places_of,
    spacing_of,
)
from linerdesign.field.survey.figure import Figure, doubts, figure_of, waves_about
from linerdesign.methods.method import standard
from linerdesign.project.faults import Fault, InputFaults, fault
from linerdesign.words import sentence

LEAST_RADII = 8
WIDEST_GAP = 150.0  # degrees; past this the far side of the ellipse is a guess
DOUBTFUL_OVALITY = 0.5  # percentage points of standard error
DIRECTIONS = 180  # diameters read off an outline, one a degree


@dataclass(frozen=True)
class Diameters:
    """Mean, maximum and minimum diameter, and what they rest on, in one unit of length."""

    basis: str
    mean: float
    maximum: float
    minimum: float

    @property
    def ovality_from_minimum(self) -> float:
        """100 (mean - minimum)/mean, percent."""
        return float(standard().equations["q_min"](self.mean, self.minimum))

    @property
    def ovality_from_maximum(self) -> float:
        """100 (maximum - mean)/mean, percent."""
        return float(standard().equations["q_max"](self.maximum, self.mean))

    @property
    def ovality(self) -> float:
        """The larger of the two forms, percent."""
        return max(self.ovality_from_minimum, self.ovality_from_maximum)

    @property
    def ovality_form(self) -> str:
        """Which of the two forms is the larger."""
        if self.ovality_from_minimum >= self.ovality_from_maximum:
            return "from the minimum diameter"
        return "from the maximum diameter"


@dataclass(frozen=True, eq=False)
class Shape:
    """The shape at a station; lengths in the unit of the readings, angles in degrees.

    `outline` holds the radius about the ellipse's centre at 0, 1 ... 359 degrees, by the ellipse
    where a gap was left; it is empty for diameters taken by hand, which also have no ellipse.
    `figure` is set where the outline as a whole is none, `departures` where arcs of it leave one.
    """

    station: float | None
    readings: int
    measured: Diameters
    area: float
    ellipse: Ellipse | None = None
    wild_angles: tuple[float, ...] = ()
    gaps: tuple[tuple[float, float], ...] = ()
    departures: tuple[Departure, ...] = ()
    figure: Figure | None = None
    cautions: tuple[str, ...] = ()
    outline: Floats = field(default_factory=lambda: np.empty(0))

    @property
    def is_ellipse(self) -> bool:
        """Whether nothing measured speaks against an ellipse."""
        return self.figure is None and not self.departures

    @property
    def adopted(self) -> Diameters:
        """The diameters to design with.

        They are the ellipse's where the shape is one, since noise does not widen its extremes,
        and the measured ones where it is not, since the ellipse then hides the worst diameter.
        """
        if self.ellipse is None or not self.is_ellipse:
            return self.measured
        fit = self.ellipse
        return Diameters(
            "best-fit ellipse", fit.mean_diameter, fit.maximum_diameter, fit.minimum_diameter
        )


def shape_from_diameters(
    diameters: Sequence[float] | Floats, station: float | None = None
) -> Shape:
    """The shape from diameters taken by hand in several directions at one station.

    The area is that of the ellipse on the maximum and minimum diameters. One diameter alone says
    nothing of ovality, which is then 0 with a caution.

    Raises:
        InputFaults: values that are no diameters.

    >>> shape_from_diameters([200.0, 204.0, 196.0]).measured.ovality
    2.0
    """
    values = np.asarray(diameters, dtype=np.float64)
    faults = _faults_of_lengths(values, "diameter", station, at_least=1)
    if faults:
        raise InputFaults(faults)
    largest, least = float(values.max()), float(values.min())
    measured = Diameters("diameters as read", float(values.mean()), largest, least)
    cautions: tuple[str, ...] = ()
    if values.size < 4:
        cautions = (sentence("field.few_diameters", count=values.size),)
    return Shape(station, values.size, measured, np.pi / 4 * largest * least, cautions=cautions)


def shape_from_radii(
    angle: Sequence[float] | Floats,
    radius: Sequence[float] | Floats,
    station: float | None = None,
    settings: Settings | None = None,
) -> Shape:
    """The shape from radii (any one unit of length) against angle (degrees) about any inner point.

    Raises:
        InputFaults: fewer than 8 angles are read, or more than 150 degrees lie unread.
    """
    settings = settings or Settings()
    angles = np.asarray(angle, dtype=np.float64)
    radii = np.asarray(radius, dtype=np.float64)
    if faults := _faults_of_radii(angles, radii, station):
        raise InputFaults(faults)
    angles = angles % 360
    ellipse, kept = fit_ellipse(angles, radii)
    about, length = _about_centre(angles, radii, ellipse)
    order = np.argsort(about, kind="stable")
    about, length, kept, angles = about[order], length[order], kept[order], angles[order]
    residual = length / ellipse.radius_about_centre(about) - 1
    outlying = outliers(about, residual, kept)
    good = ~outlying
    gaps = _gaps(about[good])
    grid = np.arange(2 * DIRECTIONS, dtype=np.float64)
    smooth = _smoothed(about[good], residual[good], grid, gaps, settings.smoothing)
    outline = ellipse.radius_about_centre(grid) * (1 + smooth)
    departures, figure, untold = _beside_the_ellipse(
        ellipse, about[good], residual[good], smooth, kept[good], settings
    )
    return Shape(
        station=station,
        readings=radii.size,
        measured=_across(outline),
        area=float(np.sum(outline**2)) * np.pi / grid.size,
        ellipse=ellipse,
        wild_angles=tuple(float(value) for value in np.sort(angles[outlying])),
        gaps=gaps,
        departures=departures,
        figure=figure,
        cautions=_cautions(ellipse, kept, outlying, gaps) + untold,
        outline=outline,
    )


def _beside_the_ellipse(
    ellipse: Ellipse,
    about: Floats,
    residual: Floats,
    smooth: Floats,
    kept: Flags,
    settings: Settings,
) -> tuple[tuple[Departure, ...], Figure | None, tuple[str, ...]]:
    """Arcs that leave the ellipse, or the figure that the outline is, or what can't be told."""
    waves = waves_about(about, residual)
    # About an ellipse that is no good fit the readings scatter by more than their noise.
    scatter = min(2 * ellipse.scatter / ellipse.mean_diameter, waves.scatter)
    figure = figure_of(waves, ellipse, smooth, kept, settings.tolerance)
    if figure:
        # The arcs and steps are those of the figure itself.
        return (), figure, ()
    departures = departures_from_ellipse(about, residual, smooth, scatter, settings)
    return departures, None, () if departures else doubts(waves, about.size, settings.tolerance)


def _across(outline: Floats) -> Diameters:
    """The diameters through the centre of an outline."""
    across = outline[:DIRECTIONS] + outline[DIRECTIONS:]
    return Diameters(
        "measured outline", float(across.mean()), float(across.max()), float(across.min())
    )


def _place(station: float | None) -> str:
    return "readings" if station is None else f"station {station:g}"


def _faults_of_lengths(
    values: Floats, name: str, station: float | None, at_least: int
) -> list[Fault]:
    place = _place(station)
    if values.ndim != 1 or values.size < at_least:
        return [fault("measured.few_values", place, count=values.size, what=name, least=at_least)]
    return [
        fault("measured.length", f"{place}, {name} {index + 1}", f"{values[index]:g}")
        for index in np.flatnonzero(~(np.isfinite(values) & (values > 0)))
    ]


def _faults_of_radii(angles: Floats, radii: Floats, station: float | None) -> list[Fault]:
    place = _place(station)
    faults = _faults_of_lengths(radii, "radius", station, at_least=LEAST_RADII)
    if faults:
        return faults
    if angles.shape != radii.shape:
        return [fault("measured.angles", place, angles=angles.size, radii=radii.size)]
    if not np.all(np.isfinite(angles)):
        return [fault("measured.angle", place)]
    different = np.unique(np.round(angles % 360, 6))
    if different.size < LEAST_RADII:
        return [fault("measured.few_angles", place, count=different.size, least=LEAST_RADII)]
    widest = float(spacing_of(different).max())
    if widest > WIDEST_GAP:
        gap = {"gap": f"{widest:.0f}", "most": f"{WIDEST_GAP:.0f}"}
        return [fault("measured.gap", place, **gap)]
    return []


def _about_centre(angles: Floats, radii: Floats, ellipse: Ellipse) -> tuple[Floats, Floats]:
    turn = np.radians(angles)
    x = radii * np.cos(turn) - ellipse.centre[0]
    y = radii * np.sin(turn) - ellipse.centre[1]
    return np.degrees(np.arctan2(y, x)) % 360, np.hypot(x, y)


def _gaps(about: Floats) -> tuple[tuple[float, float], ...]:
    """Arcs without readings: wider than 15 degrees and than three times the usual spacing."""
    places = places_of(about)
    spacing = spacing_of(places)
    widest = max(15.0, 3 * float(np.median(spacing)))
    return tuple(
        (float(places[index]), float((places[index] + spacing[index]) % 360))
        for index in np.flatnonzero(spacing > widest)
    )


def _smoothed(
    about: Floats,
    residual: Floats,
    grid: Floats,
    gaps: tuple[tuple[float, float], ...],
    smoothing: float,
) -> Floats:
    """Residuals averaged over the arc of smoothing; between sparse readings by straight lines.

    In a gap nothing was measured, and the fitted ellipse is used: a residual of 0.
    """
    position = np.concatenate([about - 360, about, about + 360])
    value = np.tile(residual, 3)
    total = np.concatenate([[0.0], np.cumsum(value)])
    first = np.searchsorted(position, grid - smoothing / 2, side="left")
    last = np.searchsorted(position, grid + smoothing / 2, side="right")
    count = last - first
    mean = (total[last] - total[first]) / np.maximum(count, 1)
    smooth = np.where(count > 0, mean, np.interp(grid, position, value))
    for start, end in gaps:
        smooth[(grid - start) % 360 < (end - start) % 360] = 0.0
    return smooth


def _cautions(
    ellipse: Ellipse, kept: Flags, outlying: Flags, gaps: tuple[tuple[float, float], ...]
) -> tuple[str, ...]:
    cautions = []
    if kept.size < 12:
        cautions.append(sentence("field.few_radii", count=kept.size))
    if outlying.mean() > 0.1:
        cautions.append(sentence("field.many_outliers", count=outlying.sum(), all=outlying.size))
    for start, end in gaps:
        cautions.append(sentence("field.gap", start=start, end=end))
    if ellipse.ovality_standard_error > DOUBTFUL_OVALITY:
        doubt = ellipse.ovality_standard_error
        cautions.append(sentence("field.ovality_error", error=doubt))
    return tuple(cautions)
