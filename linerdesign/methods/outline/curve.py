"""A closed outline as a smooth curve: its points, normals and curvature, and distances to it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

KNOTS = 720
COARSE = 4
"""Every so many knots are tried for the nearest one."""

NEWTON_STEPS = 3
FINE, WHOLE = 4000, 16_000
"""Points of an arc or a side, and of a whole outline."""


@dataclass(frozen=True, eq=False)
class Outline:
    """A periodic cubic spline through `knots` (m, 2), evenly spaced along it, anticlockwise.

    The first knot is the invert, the lowest point. Lengths are in radii of the circle of the same
    perimeter, so that the perimeter is 2 pi; `radius` is that radius in the unit of the host. The
    origin is the centroid of the curve.
    """

    knots: Floats
    radius: float
    named: str = ""

    @cached_property
    def _bent(self) -> Floats:
        """Second derivatives of the spline at its knots, by number of knot (m, 2)."""
        count = len(self.knots)
        right = np.roll(self.knots, -1, 0) - 2.0 * self.knots + np.roll(self.knots, 1, 0)
        wave = (4.0 + 2.0 * np.cos(2.0 * np.pi * np.arange(count // 2 + 1) / count)) / 6.0
        return np.fft.irfft(np.fft.rfft(right, axis=0) / wave[:, None], count, axis=0)

    @cached_property
    def step(self) -> float:
        """Length of the curve from knot to knot."""
        return 2.0 * np.pi / len(self.knots)

    def at(self, place: Floats) -> tuple[Floats, Floats, Floats]:
        """Points, and first and second derivatives by number of knot, at places (n,) in knots."""
        whole = np.floor(place)
        first = whole.astype(np.intp) % len(self.knots)
        second = (first + 1) % len(self.knots)
        after = (place - whole)[:, None]
        before = 1.0 - after
        left, right = self._bent[first], self._bent[second]
        one, two = self.knots[first], self.knots[second]
        points = before * one + after * two
        points += ((before**3 - before) * left + (after**3 - after) * right) / 6.0
        slope = two - one + ((1.0 - 3.0 * before**2) * left + (3.0 * after**2 - 1.0) * right) / 6.0
        return points, slope, before * left + after * right

    def along(self, share: Floats) -> tuple[Floats, Floats, Floats]:
        """Points (n, 2), outward normals (n, 2) and curvatures (n,) at shares of the perimeter."""
        points, slope, bent = self.at(np.asarray(share) * len(self.knots))
        speed = np.hypot(*slope.T)
        normal = np.column_stack([slope[:, 1], -slope[:, 0]]) / speed[:, None]
        return points, normal, (slope[:, 0] * bent[:, 1] - slope[:, 1] * bent[:, 0]) / speed**3

    def nearest(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Distance to the outline (n,), positive inside, outward normal there, and curvature.

        Newton's method on the foot of the perpendicular, from the nearest knot. It is exact near
        the outline, where contact happens; far inside, only the sign is relied on.
        """
        knots = self.knots[::COARSE]
        apart = (points[:, :1] - knots[:, 0]) ** 2 + (points[:, 1:] - knots[:, 1]) ** 2
        place = COARSE * np.argmin(apart, axis=1).astype(np.float64)
        for _ in range(NEWTON_STEPS):
            foot, slope, bent = self.at(place)
            off = foot - points
            squared = _dot(slope, slope)
            change = _dot(off, slope) / np.maximum(squared + _dot(off, bent), 0.1 * squared)
            place = place - np.clip(change, -COARSE, COARSE)
        foot, slope, bent = self.at(place)
        speed = np.hypot(slope[:, 0], slope[:, 1])
        normal = np.column_stack([slope[:, 1], -slope[:, 0]]) / speed[:, None]
        return (
            _dot(foot - points, normal),
            normal,
            (slope[:, 0] * bent[:, 1] - slope[:, 1] * bent[:, 0]) / speed**3,
        )

    @cached_property
    def _fine(self) -> Floats:
        return self.along(np.arange(WHOLE) / WHOLE)[0]

    @cached_property
    def height(self) -> float:
        """From the invert to the crown."""
        return float(np.ptp(self._fine[:, 1]))

    @cached_property
    def width(self) -> float:
        """The greatest width."""
        return float(np.ptp(self._fine[:, 0]))

    @cached_property
    def invert(self) -> float:
        """Height of the lowest point, over the origin."""
        return float(self.knots[:, 1].min())

    @cached_property
    def area(self) -> float:
        """The area enclosed."""
        x, y = self.knots.T
        return 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))

    @cached_property
    def centre(self) -> float:
        """Height of the centroid of the area, over the origin."""
        x, y = self.knots.T
        after = np.roll(self.knots, -1, 0)
        cross = x * after[:, 1] - after[:, 0] * y
        return float(np.sum(cross * (y + after[:, 1]))) / (6.0 * self.area)

    @cached_property
    def mirrored(self) -> bool:
        """Whether the left half is the mirror image of the right one."""
        x, y = np.roll(self.knots[::-1], 1, 0).T
        return bool(np.max(np.abs(np.column_stack([-x, y]) - self.knots)) < 1e-4)


def outline(points: Floats, named: str = "", knots: int = KNOTS) -> Outline:
    """The outline through dense points (n, 2) of a closed curve, in any one unit.

    `points` run anticlockwise or clockwise, without the first one again at the end.

    Raises:
        ValueError: for points that cross or enclose nothing.
    """
    x, y = points.T
    twice = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    if not np.isfinite(twice) or abs(twice) <= 1e-9 * float(np.ptp(x) * np.ptp(y)):
        raise ValueError("the points enclose no area")
    ring = points[:: int(math.copysign(1, twice))]
    ring = np.roll(ring, -_lowest(ring), axis=0)
    closed = np.vstack([ring, ring[:1]])
    arc = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    places = np.linspace(0.0, arc[-1], knots, endpoint=False)
    found = np.column_stack([np.interp(places, arc, closed[:, axis]) for axis in (0, 1)])
    radius = arc[-1] / (2.0 * np.pi)
    return Outline((found - found.mean(axis=0)) / radius, float(radius), named)


def _dot(one: Floats, other: Floats) -> Floats:
    return one[:, 0] * other[:, 0] + one[:, 1] * other[:, 1]


def _lowest(ring: Floats) -> int:
    """The lowest point; of several, the one in the middle of them."""
    low = ring[:, 1].min()
    (at,) = np.nonzero(ring[:, 1] <= low + 1e-9 * float(np.ptp(ring[:, 1])))
    return int(at[np.argmin(np.abs(ring[at, 0] - ring[at, 0].mean()))])
