"""Independent route to the collapse pressure: least strain energy at a prescribed swept area.

Nothing of the package is used. The middle line is a Fourier series in each coordinate (a smooth
curve, no elements), its strain and curvature are those of differential geometry, contact is a hard
inequality on the outer face, and SciPy's SLSQP finds the least strain energy U for each area A that
the outer face encloses. The pressure is -dU/dA, and collapse is where it is greatest: no arc
length, no penalty, no pressure load, no tangent matrix.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.interpolate import make_interp_spline
from scipy.optimize import minimize


@dataclass(frozen=True)
class EncasedRing:
    """Half a ring from the crown (angle 0) to the invert (angle pi). Cavity radius and E* are 1."""

    dimension_ratio: float
    gap: float = 0.0
    ovality: float = 0.0
    imperfection: float = 0.001
    half_angle: float = np.radians(20.0)
    harmonics: int = 24
    points: int = 120

    @property
    def thickness(self) -> float:
        return 2.0 / self.dimension_ratio

    @cached_property
    def angle(self) -> np.ndarray:
        return np.linspace(0.0, np.pi, self.points + 1)

    @cached_property
    def stress_free(self) -> list[np.ndarray]:
        """x, y and their first and second derivatives by the angle, of the stress-free line."""
        a, b = 1.0 + self.ovality, 1.0 - self.ovality
        dense = np.linspace(-np.pi, np.pi, 2001)
        wall = np.array([a * np.sin(dense), b * np.cos(dense)])
        outward = np.array([b * np.sin(dense), a * np.cos(dense)])
        outward /= np.hypot(*outward)
        speed = np.hypot(a * np.cos(dense), b * np.sin(dense))
        arc = np.concatenate([[0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1]) * np.diff(dense))])
        arc = (arc / arc[-1] - 0.5) * 2.0 * np.pi
        bulge = np.where(
            np.abs(arc) < self.half_angle,
            self.imperfection * np.cos(0.5 * np.pi * arc / self.half_angle) ** 2,
            0.0,
        )
        line = wall - (self.gap + 0.5 * self.thickness + bulge) * outward
        spline = make_interp_spline(dense, line.T, k=5)
        return [spline(self.angle, order).T for order in (0, 1, 2)]

    @cached_property
    def series(self) -> list[tuple[np.ndarray, np.ndarray]]:
        """(sines for x, cosines for y) and their derivatives: rows are points."""
        k = np.arange(self.harmonics + 1)
        phase = self.angle[:, None] * k
        sine, cosine = np.sin(phase), np.cos(phase)
        return [
            (sine[:, 1:], cosine),
            ((k * cosine)[:, 1:], -k * sine),
            ((-(k**2) * sine)[:, 1:], -(k**2) * cosine),
        ]

    @cached_property
    def weights(self) -> np.ndarray:
        weights = np.full(self.points + 1, np.pi / self.points)
        weights[[0, -1]] *= 0.5
        return weights * np.hypot(*self.stress_free[1])

    def curve(self, unknowns: np.ndarray) -> list[np.ndarray]:
        split = self.harmonics
        return [
            base + np.array([s @ unknowns[:split], c @ unknowns[split:]])
            for base, (s, c) in zip(self.stress_free, self.series, strict=True)
        ]

    def _chain(self, order: int, by_x: np.ndarray, by_y: np.ndarray) -> np.ndarray:
        s, c = self.series[order]
        return np.concatenate([by_x @ s, by_y @ c], axis=-1)

    def strain_energy(self, unknowns: np.ndarray) -> tuple[float, np.ndarray]:
        _, (x1, y1), (x2, y2) = self.curve(unknowns)
        _, first, second = self.stress_free
        speed0 = np.hypot(*first)
        turning0 = (second[0] * first[1] - second[1] * first[0]) / speed0**2
        square = x1**2 + y1**2
        speed = np.sqrt(square)
        cross = x2 * y1 - y2 * x1
        strain = speed / speed0 - 1.0
        bend = (cross / square - turning0) / speed0
        axial, bending = self.thickness, self.thickness**3 / 12.0
        energy = 0.5 * self.weights @ (axial * strain**2 + bending * bend**2)
        tension = self.weights * axial * strain / (speed0 * speed)
        moment = self.weights * bending * bend / speed0
        slope = self._chain(
            1,
            tension * x1 + moment * (-y2 / square - 2.0 * cross * x1 / square**2),
            tension * y1 + moment * (x2 / square - 2.0 * cross * y1 / square**2),
        )
        return energy, slope + self._chain(2, moment * y1 / square, -moment * x1 / square)

    def outer_face(self, unknowns: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Points of the outer face (2, n) and the slopes of x and y, each (n, unknowns)."""
        (x, y), (x1, y1), _ = self.curve(unknowns)
        speed = np.hypot(x1, y1)
        half = 0.5 * self.thickness
        zero, one = np.zeros((len(x), len(x))), np.eye(len(x))
        # The line runs clockwise, so its left-hand normal points outwards.
        face = np.array([x - half * y1 / speed, y + half * x1 / speed])
        xx, xy, yy = (half * v / speed**3 for v in (x1 * y1, x1**2, y1**2))
        slope_x = self._chain(0, one, zero) + self._chain(1, np.diag(xx), -np.diag(xy))
        slope_y = self._chain(0, zero, one) + self._chain(1, np.diag(yy), -np.diag(xx))
        return face, slope_x, slope_y

    def enclosed(self, unknowns: np.ndarray) -> tuple[float, np.ndarray]:
        """Area of the polygon through the outer face of half the ring, and its slope."""
        (x, y), by_x, by_y = self.outer_face(unknowns)
        area = 0.5 * np.sum(x[1:] * y[:-1] - x[:-1] * y[1:])
        slope_x, slope_y = np.zeros_like(x), np.zeros_like(y)
        slope_x[1:] += 0.5 * y[:-1]
        slope_x[:-1] -= 0.5 * y[1:]
        slope_y[:-1] += 0.5 * x[1:]
        slope_y[1:] -= 0.5 * x[:-1]
        return area, slope_x @ by_x + slope_y @ by_y

    def room(self, unknowns: np.ndarray) -> np.ndarray:
        (x, y), _, _ = self.outer_face(unknowns)
        return 1.0 - (x / (1.0 + self.ovality)) ** 2 - (y / (1.0 - self.ovality)) ** 2

    def room_slope(self, unknowns: np.ndarray) -> np.ndarray:
        (x, y), by_x, by_y = self.outer_face(unknowns)
        a, b = 1.0 + self.ovality, 1.0 - self.ovality
        return -2.0 * (x / a**2)[:, None] * by_x - 2.0 * (y / b**2)[:, None] * by_y


def lobe_guess(ring: EncasedRing, depth: float, half_width: float) -> np.ndarray:
    """Unknowns of a cos^2 lobe at the crown, fitted to the series."""
    dent = np.where(
        ring.angle < half_width, depth * np.cos(0.5 * np.pi * ring.angle / half_width) ** 2, 0.0
    )
    (s, c), _, _ = ring.series
    x, y = -dent * np.sin(ring.angle), -dent * np.cos(ring.angle)
    return np.concatenate(
        [np.linalg.lstsq(s, x, rcond=None)[0], np.linalg.lstsq(c, y, rcond=None)[0]]
    )


def greatest_pressure(
    ring: EncasedRing, depths: np.ndarray, half_width: float
) -> tuple[float, np.ndarray]:
    """Greatest -dU/dA over swept areas that lobes of `depths` would sweep, and all of them."""
    still = np.zeros(2 * ring.harmonics + 1)
    start_area, _ = ring.enclosed(still)
    unit = start_area - ring.enclosed(lobe_guess(ring, 0.01, half_width))[0]
    scale = ring.thickness**3
    guess, energies, areas = lobe_guess(ring, depths[0], half_width), [], []
    for depth in depths:
        target = start_area - unit * depth / 0.01
        found = minimize(
            lambda u: tuple(v / scale for v in ring.strain_energy(u)),
            guess,
            jac=True,
            method="SLSQP",
            constraints=[
                {
                    "type": "eq",
                    "fun": lambda u, target=target: 100.0 * (ring.enclosed(u)[0] - target),
                    "jac": lambda u: 100.0 * ring.enclosed(u)[1],
                },
                {"type": "ineq", "fun": ring.room, "jac": ring.room_slope},
            ],
            options={"maxiter": 300, "ftol": 1e-10},
        )
        assert found.success, found.message
        guess = found.x
        energies.append(found.fun * scale)
        areas.append(ring.enclosed(found.x)[0])
    pressures = -np.diff(energies) / np.diff(areas)
    return float(pressures.max()), pressures
