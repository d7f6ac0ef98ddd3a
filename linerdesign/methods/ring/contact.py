"""The rigid, frictionless cavity: an ellipse (a circle at no ovality) and its penalty contact."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEPS_TO_WALL = 2
"""Steps to the nearest point of an ellipse. Its normal is then right to 1e-6 at worst: a tenth of
the radius inside, at an ovality of 10 %."""


@dataclass(frozen=True)
class Cavity:
    """Ellipse with its short axis upright, so that the crown is where the wall is flattest.

    `half_width` and `half_height` are the semi-axes, in radii of the mean circle.
    """

    half_width: float
    half_height: float

    def wall(self, angle: Floats) -> Floats:
        """Points of the wall at parameter `angle` (n,), shape (n, 2)."""
        return np.column_stack([self.half_width * np.cos(angle), self.half_height * np.sin(angle)])

    def outward(self, angle: Floats) -> tuple[Floats, Floats]:
        """Unit outward normals (n, 2) and curvatures (n,) of the wall at parameter `angle`."""
        normal = np.column_stack(
            [self.half_height * np.cos(angle), self.half_width * np.sin(angle)]
        )
        speed = np.hypot(*normal.T)
        return normal / speed[:, None], self.half_width * self.half_height / speed**3

    def nearest(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Distance to the wall (positive inside), outward normal there, and wall curvature.

        A point at the distance d inside the parameter t has the coordinates (a - d b/s) cos t and
        (b - d a/s) sin t, s the speed of the wall at t; so d and s of one guess give the next. It
        is exact near the wall, where contact happens; far inside, where the foot need not be
        unique, only the sign is relied on.
        """
        a, b = self.half_width, self.half_height
        x, y = points.T
        if a == b:
            radius = np.sqrt(x * x + y * y)
            return a - radius, points / radius[:, None], np.full(len(x), 1.0 / a)
        across, up, drawn, lifted = x / a, y / b, b * x, a * y
        for _ in range(STEPS_TO_WALL):
            flat, steep = across * across, up * up
            size = flat + steep
            share = a * b * size - (drawn * across + lifted * up) * np.sqrt(size)
            share = np.minimum(share / (b * b * flat + a * a * steep), 0.5)
            across, up = x / (a - share * b), y / (b - share * a)
        size = np.sqrt(across * across + up * up)
        cosine, sine = across / size, up / size
        along, upward = a * sine, b * cosine
        speed = np.sqrt(along * along + upward * upward)
        normal = np.empty((len(x), 2))
        normal[:, 0], normal[:, 1] = upward / speed, along / speed
        distance = ((a * cosine - x) * upward + (b * sine - y) * along) / speed
        return distance, normal, a * b / speed**3


class Wall(Protocol):
    """The wall of a host: its distance from points inside."""

    def nearest(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Distance to the wall (positive inside), outward normal there, and wall curvature."""
        ...


@dataclass(frozen=True)
class Contact:
    """Penalty contact of the ring's outer face with the wall of the host.

    `stiffness` is contact pressure per penetration, one or of both ends of each element (2, e);
    `softening` is the penetration over which it builds up, so that the force has a continuous
    slope and Newton's method does not cycle. A contact `both_ways` is a bed of springs that also
    pull. `filled` is what has set between the wall and each node (n,), as by grout.
    """

    cavity: Wall
    stiffness: float | Floats
    softening: float
    both_ways: bool = False
    filled: float | Floats = 0.0

    def distance(self, points: Floats) -> tuple[Floats, Floats, Floats]:
        """Distance to the wall (n,), direction in which it shrinks (n, 2), and how fast that
        direction turns along the wall (n,)."""
        distance, normal, curvature = self.cavity.nearest(points)
        return distance - self.filled, normal, curvature / (1.0 - curvature * distance)

    def energy(self, penetration: Floats) -> Floats:
        """Contact energy per area (n,)."""
        k, width = self.stiffness, self.softening
        if self.both_ways:
            return np.asarray(0.5 * k * penetration**2)
        depth = np.maximum(penetration, 0.0)
        early = np.minimum(depth, width)
        return np.asarray(k * (early**3 / (6.0 * width) + 0.5 * (depth - early) * depth))

    def pressure(self, penetration: Floats) -> tuple[Floats, Floats]:
        """Contact pressure and its slope by penetration, each (n,)."""
        if self.both_ways:
            return self.stiffness * penetration, np.full_like(penetration, self.stiffness)
        depth = np.maximum(penetration, 0.0)
        early = np.minimum(depth, self.softening)
        share = early / self.softening
        return self.stiffness * (depth - early + 0.5 * share * early), self.stiffness * share
