"""Where a measured outline is not an ellipse, and which single readings are outliers."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from linerdesign.field.survey.ellipse import Flags, Floats, places_of, spacing_of
from linerdesign.words import sentence

ARC_READINGS = 3
ARC_DEGREES = 8.0
# Readings further apart than this cannot tell a step from a slope.
STEP_SPACING = 6.0
# A departure this many times its own standard error is no accident among some hundred places.
NOISE_SCATTERS = 4.5


@dataclass(frozen=True)
class Settings:
    """How an outline is read; angles in degrees, lengths as shares of the local radius.

    `smoothing` is the arc over which residuals from the ellipse are averaged before the largest
    and least diameters are picked, since picking extremes from raw readings measures their noise.
    `tolerance` is how far an arc may leave the ellipse, and `step` how abruptly, before it is
    called no ellipse. All three are choices of this program, without a published source.
    """

    smoothing: float = 10.0
    tolerance: float = 0.01
    step: float = 0.01


@dataclass(frozen=True)
class Departure:
    """An arc that leaves the ellipse; angles in degrees about its centre.

    `depth` is the largest departure as a percentage of the local radius, negative inwards. A step
    is a place, so both its angles are the same.
    """

    kind: str
    from_angle: float
    to_angle: float
    depth: float

    def text(self) -> str:
        """The departure in words."""
        side = "inwards" if self.depth < 0 else "outwards"
        if self.kind == "step":
            return sentence("field.step", depth=abs(self.depth), at=self.from_angle)
        about = {"start": self.from_angle, "end": self.to_angle, "depth": abs(self.depth)}
        return sentence("field.arc", kind=self.kind, side=side, **about)


def outliers(about: Floats, residual: Floats, kept: Flags) -> Flags:
    """Readings far from the ellipse that stand alone.

    Neighbours that leave it together, on one side, over an arc, are the shape of the pipe and no
    errors. Readings come in order of angle.
    """
    outlying = ~kept
    side = np.where(kept, 0, np.sign(residual)).astype(int)
    noise = 3 * float(np.median(np.abs(residual)))
    for leaning, members in _runs(side):
        if leaning == 0 or members.size < ARC_READINGS:
            continue
        arc = (about[members[-1]] - about[members[0]]) % 360
        # Outliers side by side jump about; an outline goes on from one to the next, all the
        # more so the more readings the arc holds.
        change = float(np.median(np.abs(np.diff(residual[members]))))
        allowed = max(0.1, 2 / members.size) * float(np.abs(residual[members]).max()) + noise
        if arc >= ARC_DEGREES and change <= allowed:
            outlying[members] = False
    return outlying


def departures_from_ellipse(
    about: Floats,
    residual: Floats,
    smooth: Floats,
    scatter: float,
    settings: Settings,
) -> tuple[Departure, ...]:
    """Flattened or widened arcs, and steps.

    `about` and `residual` are the readings in order of angle, `smooth` the residuals averaged at
    0, 1 ... 359 degrees, all as shares of the local radius; `scatter` is theirs about the ellipse.
    """
    places = places_of(about)
    spacing = float(np.median(spacing_of(places))) * places.size / about.size
    averaged = max(1.0, settings.smoothing / spacing)
    limit = max(settings.tolerance, NOISE_SCATTERS * scatter / math.sqrt(averaged))
    side = np.where(np.abs(smooth) > limit, np.sign(smooth), 0).astype(int)
    found: list[Departure] = []
    for leaning, members in _runs(side):
        if leaning == 0 or members.size < ARC_DEGREES:
            continue
        opposite = np.roll(side, side.size // 2)[members]
        sides = "two" if np.mean(opposite == leaning) > 0.5 else "one"
        kind = {-1: "flattening", 1: "widening"}[leaning]
        depth = smooth[members][np.argmax(np.abs(smooth[members]))]
        found.append(
            Departure(
                f"{sides}-sided {kind}", float(members[0]), float(members[-1]), 100 * float(depth)
            )
        )
    reach = int(np.clip(settings.smoothing / spacing, 5, 15))
    # Two lines of n readings, each carried half a reading past its end, differ by about this.
    doubt = scatter * math.sqrt(10 / reach)
    limit = max(settings.step, NOISE_SCATTERS * doubt)
    steps = _steps(about, residual, limit, reach)
    return (*found, *(step for step in steps if not _is_corner(step, found)))


def _is_corner(step: Departure, arcs: list[Departure]) -> bool:
    """Whether a small step at the end of a deep arc is only the corner where the arc begins."""
    return any(
        abs(step.depth) < abs(arc.depth) / 2
        and min(abs(math.remainder(step.from_angle - end, 360)) for end in ends) < ARC_DEGREES
        for arc in arcs
        for ends in [(arc.from_angle, arc.to_angle)]
    )


def _runs(side: NDArray[np.int_]) -> Iterator[tuple[int, NDArray[np.intp]]]:
    """Each run of equal values around the circle: the value and its places."""
    changes = np.flatnonzero(side != np.roll(side, 1))
    first = changes[0] if changes.size else 0
    places = np.roll(np.arange(side.size), -first)
    for run in np.split(places, changes[1:] - first):
        yield int(side[run[0]]), run


def _steps(about: Floats, residual: Floats, limit: float, reach: int) -> Iterator[Departure]:
    """Places where straight lines through the readings on either side do not meet."""
    count = about.size
    if count < 4 * reach:
        return
    spacing = spacing_of(about)
    middle = about + spacing / 2
    place = np.arange(count)[:, None]
    before = (place + np.arange(1 - reach, 1)) % count
    after = (place + np.arange(1, reach + 1)) % count
    between = np.hstack([before, after[:, :-1]])
    ends = [_line_at(about, residual, side, middle) for side in (before, after)]
    jumps = np.where(spacing[between].max(axis=1) > STEP_SPACING, 0.0, ends[1] - ends[0])
    size = np.abs(jumps)
    near = np.vstack([np.roll(size, shift) for shift in range(-reach, reach + 1)])
    for index in np.flatnonzero((size > limit) & (size == near.max(axis=0))):
        at = float(middle[index] % 360)
        yield Departure("step", at, at, 100 * float(jumps[index]))


def _line_at(
    about: Floats,
    residual: Floats,
    members: np.ndarray[tuple[int, int], np.dtype[np.int_]],
    middle: Floats,
) -> Floats:
    """Least-squares lines through rows of members, each read at its own middle angle."""
    offset = (about[members] - middle[:, None] + 180) % 360 - 180
    value = residual[members]
    mean, level = offset.mean(axis=1), value.mean(axis=1)
    deviation = offset - mean[:, None]
    spread = np.sum(deviation**2, axis=1)
    # Readings at one angle only have no slope; their mean is all there is.
    slope = np.sum(deviation * value, axis=1) / np.where(spread > 0, spread, np.inf)
    reached: Floats = level - slope * mean
    return reached
