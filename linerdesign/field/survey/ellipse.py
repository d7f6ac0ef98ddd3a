"""The best-fit ellipse of radii measured from any point inside the pipe.

The ellipse is the image of the unit circle under `size * [[1 + e1, e2], [e2, 1 - e1]]`, moved to
its centre. Its semi-axes are `size * (1 +- e)` with `e = hypot(e1, e2)`, so `e` is the ovality as a
fraction, and the form stays smooth through the circle, where the angle of the long axis would lose
its meaning.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

PARAMETERS = 5
# A reading this near the ellipse, as a share of the radius, is never called wild: readings rounded
# to the millimetre can have no scatter at all by the median.
NEVER_WILD = 0.002
WILD_SCATTERS = 4.0
# The normal distribution's standard deviation over its median absolute deviation.
_SCATTER_OF_MEDIAN = 1.4826


@dataclass(frozen=True)
class Ellipse:
    """A best-fit ellipse; lengths in the unit of the radii.

    `centre` is where the ellipse lies from the point the radii were taken from; `ovality` in
    percent, with its standard error in percentage points; `long_axis` in degrees, 0 to 180, in the
    sense of the measured angles; `scatter` is the standard deviation of the readings kept, about
    the ellipse.
    """

    centre: tuple[float, float]
    mean_diameter: float
    maximum_diameter: float
    minimum_diameter: float
    ovality: float
    ovality_standard_error: float
    long_axis: float
    area: float
    scatter: float

    def radius_about_centre(self, angle: Floats) -> Floats:
        """Radius from the ellipse's own centre at angles in degrees."""
        turn = np.radians(angle - self.long_axis)
        a, b = self.maximum_diameter / 2, self.minimum_diameter / 2
        radius: Floats = a * b / np.hypot(b * np.cos(turn), a * np.sin(turn))
        return radius


def places_of(angle: Floats) -> Floats:
    """The places read, in order of angle: readings within a tenth of a degree are of one place."""
    places: Floats = angle[np.unique(np.round(angle, 1), return_index=True)[1]]
    return places


def spacing_of(places: Floats) -> Floats:
    """Degrees from each place to the next, around the circle."""
    return np.diff(places, append=places[0] + 360)


def fit_ellipse(angle: Floats, radius: Floats) -> tuple[Ellipse, Flags]:
    """Fit an ellipse with a free centre; angles in degrees.

    Returns the ellipse and which readings it rests on. A first fit whose loss grows only with the
    logarithm of a residual finds the ellipse that most readings share; those far from it, against
    the scatter of the rest, are then left out and the others fitted by least squares.
    """
    scale = float(np.median(radius))
    turn = np.radians(angle)
    points = np.vstack([np.cos(turn), np.sin(turn)]) * (radius / scale)
    parameters = _shared_by_most(points)
    kept = np.full(radius.size, False)
    for _ in range(10):
        distance = np.abs(_distance(parameters, points))
        scatter = _SCATTER_OF_MEDIAN * float(np.median(distance))
        near = distance <= max(NEVER_WILD, WILD_SCATTERS * scatter)
        if (near == kept).all():
            break
        kept = near
        parameters = _solve(points[:, kept], parameters)
    return _describe(points[:, kept], parameters, scale), kept


def _distance(parameters: Floats, points: Floats) -> Floats:
    """Distance of each point from the ellipse, in the plane where the ellipse is a circle."""
    circle = _to_circle(parameters) @ (points - parameters[:2, None])
    distance: Floats = np.hypot(circle[0], circle[1]) - parameters[2]
    return distance


def _to_circle(parameters: Floats) -> Floats:
    e1, e2 = parameters[3:]
    inverse: Floats = np.array([[1 - e1, -e2], [-e2, 1 + e1]]) / (1 - e1**2 - e2**2)
    return inverse


def _slopes(parameters: Floats, points: Floats) -> Floats:
    """Derivatives of `_distance` by the parameters, one row a point."""
    inverse = _to_circle(parameters)
    circle = inverse @ (points - parameters[:2, None])
    normal = inverse.T @ (circle / np.maximum(np.hypot(circle[0], circle[1]), 1e-12))
    by_e1 = -(normal[0] * circle[0] - normal[1] * circle[1])
    by_e2 = -(normal[0] * circle[1] + normal[1] * circle[0])
    slopes: Floats = np.column_stack([-normal[0], -normal[1], -np.ones(by_e1.size), by_e1, by_e2])
    return slopes


def _solve(points: Floats, start: Floats, **loss: Any) -> Floats:
    from scipy.optimize import least_squares

    # Past an ovality of 60 % in one component the shape is no pipe, and the map nears singular.
    edge = np.array([2.0, 2.0, 3.0, 0.6, 0.6])
    found = least_squares(
        _distance,
        np.clip(start, -0.99 * edge, 0.99 * edge),
        jac=_slopes,
        bounds=(-edge, edge),
        args=(points,),
        **loss,
        xtol=1e-12,
        ftol=1e-12,
        gtol=1e-12,
    )
    solution: Floats = found.x
    return solution


def _shared_by_most(points: Floats) -> Floats:
    # The circle through the points by linear least squares: a start for the centre.
    system = np.column_stack([2 * points.T, np.ones(points.shape[1])])
    circle = np.linalg.lstsq(system, np.sum(points**2, axis=0))[0]
    best, least = np.array([0.0, 0.0, 1.0, 0.0, 0.0]), math.inf
    for centre in (np.zeros(2), circle[:2]):
        away = points - centre[:, None]
        size = float(np.median(np.hypot(away[0], away[1])))
        parameters = np.array([*centre, size, 0.0, 0.0])
        # Narrowing the loss in stages keeps the fit from settling on a few readings early.
        for width in (0.1, 0.03, 0.01):
            parameters = _solve(points, parameters, loss="cauchy", f_scale=width)
        median = float(np.median(np.abs(_distance(parameters, points))))
        if median < least:
            best, least = parameters, median
    return best


def _describe(points: Floats, parameters: Floats, scale: float) -> Ellipse:
    x, y, size, e1, e2 = (float(value) for value in parameters)
    ovality = math.hypot(e1, e2)
    distance = _distance(parameters, points)
    freedom = distance.size - PARAMETERS
    variance = float(distance @ distance) / freedom if freedom > 0 else 0.0
    slopes = _slopes(parameters, points)
    covariance = variance * np.linalg.pinv(slopes.T @ slopes)
    along = np.array([e1, e2]) / ovality if ovality > 0 else np.array([1.0, 0.0])
    error = math.sqrt(max(0.0, float(along @ covariance[3:, 3:] @ along)))
    return Ellipse(
        centre=(x * scale, y * scale),
        mean_diameter=2 * size * scale,
        maximum_diameter=2 * size * scale * (1 + ovality),
        minimum_diameter=2 * size * scale * (1 - ovality),
        ovality=100 * ovality,
        ovality_standard_error=100 * error,
        long_axis=math.degrees(math.atan2(e2, e1)) / 2 % 180,
        area=math.pi * (size * scale) ** 2 * (1 - ovality**2),
        scatter=math.sqrt(variance) * scale,
    )
