"""Whether an outline is another figure than an ellipse: an egg, a triangle, a box.

A dent leaves most of the outline on the ellipse. An egg leaves it all around, three times outwards
and three times inwards, a box four times each: waves of order 3 and 4 about the ellipse's centre,
where an ellipse has those of order 1 and 2 only. A wave counts where noise would hardly make it,
where it is tall enough to matter, and where it is most of what the readings say beside the ellipse.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from linerdesign.field.survey.ellipse import Ellipse, Flags, Floats, places_of
from linerdesign.words import sentence

# Fewer readings leave too little over to know their noise by, once the waves are fitted.
LEAST_READINGS = 16
MOST_WAVES = 12
# Probability that noise alone makes such a wave: below the first it is called a figure, below the
# second a doubt. The share is of what the readings say beside the ellipse. Choices of this program.
HARDLY_BY_ACCIDENT = 1e-5
DOUBTED_BY_ACCIDENT = 1e-2
MOST_OF_IT = 0.7
# With fewer of the readings on the ellipse the damage is local, whatever waves it is made of.
ALL_AROUND = 0.9
# An egg of 600 by 702 mm makes a wave of 3.3 %: readings that would not show it have to say so.
LEAST_TOLD = 0.03
ON_AXIS = 15.0  # degrees between the tip of an egg and the long axis
# Where the invert lies under the two usual ways to count angles.
_INVERTS = {270: "to the right", 180: "at the crown"}


@dataclass(frozen=True)
class Wave:
    """A wave about the ellipse; `height` and `explained` as shares, `crest` in degrees.

    `by_accident` is the probability that noise alone makes one so tall, `explained` how much of
    the squared residuals beyond noise it accounts for.
    """

    order: int
    height: float
    crest: float
    by_accident: float
    explained: float

    def is_tall(self, tolerance: float, by_accident: float) -> bool:
        """Whether it leaves the ellipse by the tolerance, and is more than an accident."""
        return (
            self.height >= tolerance
            and self.by_accident < by_accident
            and self.explained >= MOST_OF_IT
        )


@dataclass(frozen=True)
class Waves:
    """The waves of order 3 and 4, and the scatter of the readings about all waves.

    `told` is the height, as a share, of the least wave that would stand out from the scatter.
    """

    scatter: float
    told: float
    found: tuple[Wave, ...]


@dataclass(frozen=True)
class Figure:
    """A figure that is no ellipse; lengths in the unit of the readings.

    `distance` is the largest one between outline and ellipse along a radius; `least_width` and
    `largest_width` are what callipers would find around the outline.
    """

    kind: str
    distance: float
    least_width: float
    largest_width: float


def waves_about(about: Floats, residual: Floats) -> Waves:
    """Waves in residuals (shares of the local radius) at angles in degrees about the centre.

    None are sought in fewer than 16 readings; the scatter is then without bound.
    """
    places = places_of(about).size
    most = min(MOST_WAVES, (places // 2 - 1) // 2)
    if places < LEAST_READINGS:
        return Waves(math.inf, math.inf, ())
    turn = np.radians(about)
    noise, freedom = _beside(_system(turn, range(1, most + 1)), residual)
    variance = float(noise @ noise) / freedom
    plain = _system(turn, (1, 2))
    signal, plain_freedom = _beside(plain, residual)
    beyond_noise = max(float(signal @ signal) - plain_freedom * variance, np.finfo(float).tiny)
    # The F distribution with 2 and n degrees of freedom has its tail in closed form.
    needed = variance * freedom * (HARDLY_BY_ACCIDENT ** (-2 / freedom) - 1)
    found, told = [], 0.0
    for order in range(3, min(most, 4) + 1):
        # What of the wave an ellipse can't follow: all of it, but for readings with a gap.
        wave, _ = _beside(plain, _system(turn, (order,))[:, 1:])
        cosine, sine = np.linalg.lstsq(wave, signal)[0]
        gain = float(np.sum((wave @ np.array([cosine, sine])) ** 2))
        told = max(told, math.sqrt(needed) / float(np.linalg.svd(wave, compute_uv=False).min()))
        ratio = gain / (variance * freedom) if variance > 0 else math.inf
        found.append(
            Wave(
                order,
                math.hypot(cosine, sine),
                math.degrees(math.atan2(sine, cosine)) / order % (360 / order),
                (1 + ratio) ** (-freedom / 2),
                (gain - 2 * variance) / beyond_noise,
            )
        )
    return Waves(math.sqrt(variance), told, tuple(found))


def _system(turn: Floats, orders: Iterable[int]) -> Floats:
    """A column of ones, and two for the wave of each order."""
    waves = [wave(order * turn) for order in orders for wave in (np.cos, np.sin)]
    return np.column_stack([np.ones_like(turn), *waves])


def _beside(system: Floats, values: Floats) -> tuple[Floats, int]:
    """What least squares leave of the values, and the degrees of freedom left."""
    solution, _, rank, _ = np.linalg.lstsq(system, values, rcond=1e-9)
    rest: Floats = values - system @ solution
    return rest, values.shape[0] - int(rank)


def figure_of(
    waves: Waves, ellipse: Ellipse, smooth: Floats, kept: Flags, tolerance: float
) -> Figure | None:
    """The figure, or none where the outline is an ellipse, dented or not.

    `smooth` holds the residuals averaged at 0, 1 ... 359 degrees, as shares of the local radius;
    `kept` tells which readings lie on the ellipse.
    """
    tall = [wave for wave in waves.found if wave.is_tall(tolerance, HARDLY_BY_ACCIDENT)]
    if not tall or kept.mean() < ALL_AROUND:
        return None
    wave = max(tall, key=lambda each: each.explained)
    radius = ellipse.radius_about_centre(np.arange(smooth.size, dtype=np.float64))
    widths = _widths(radius * (1 + smooth))
    return Figure(
        _three_cornered(wave, ellipse) if wave.order == 3 else _four_cornered(wave),
        float(np.abs(radius * smooth).max()),
        float(widths.min()),
        float(widths.max()),
    )


def doubts(waves: Waves, good: int, tolerance: float) -> tuple[str, ...]:
    """What the readings are too few or too scattered to decide about the figure."""
    if not waves.found:
        return (sentence("field.too_few_radii", count=good),)
    doubted = tuple(
        sentence(f"field.like_{'egg' if wave.order == 3 else 'box'}", height=100 * wave.height)
        for wave in waves.found
        if wave.is_tall(tolerance, DOUBTED_BY_ACCIDENT)
    )
    if doubted or waves.told <= LEAST_TOLD:
        return doubted
    return (sentence("field.least_figure", height=100 * waves.told),)


def _three_cornered(wave: Wave, ellipse: Ellipse) -> str:
    """An egg has one of its three crests at an end of the long axis: its tip."""
    crests = wave.crest + np.array([0.0, 120.0, 240.0])
    off_axis = np.abs((crests - ellipse.long_axis + 90) % 180 - 90)
    is_long = ellipse.ovality > 3 * ellipse.ovality_standard_error
    if off_axis.min() > ON_AXIS or not is_long:
        return sentence("field.three_cornered")
    tip = round(float(crests[off_axis.argmin()])) % 360
    where = next(
        (
            sentence("field.tip_at_invert", zero=zero)
            for invert, zero in _INVERTS.items()
            if abs(tip - invert) <= ON_AXIS
        ),
        "",
    )
    return sentence("field.egg", tip=tip, where=where)


def _four_cornered(wave: Wave) -> str:
    corners = wave.crest + np.array([0.0, 90.0, 180.0, 270.0])
    return sentence("field.box", corners=", ".join(f"{corner:.0f}" for corner in corners))


def _widths(outline: Floats) -> Floats:
    """Widths between parallel tangents, in every direction to the degree."""
    turn = np.radians(np.arange(outline.size))
    x, y = outline * np.cos(turn), outline * np.sin(turn)
    half = turn[: outline.size // 2]
    along = np.outer(np.cos(half), x) + np.outer(np.sin(half), y)
    widths: Floats = along.max(axis=1) - along.min(axis=1)
    return widths
