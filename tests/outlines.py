"""Outlines of pipes built by geometry: points along arcs and lines, and radii read off them."""

from itertools import pairwise

import numpy as np


def arc(centre, radius, start, end):
    turn = np.radians(np.linspace(start, end, 4000))
    return np.column_stack([centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn)])


def egg(width, height, invert_radius):
    """Crown a half circle, sides tangent to it at springing, invert tangent to the sides.

    With the invert's centre a depth d under springing, sides of radius S centred S - R beyond
    springing touch the invert where (S - R)^2 + d^2 = (S - r)^2.
    """
    R, r = width / 2, invert_radius
    d = height - R - r
    S = (d**2 + R**2 - r**2) / (2 * (R - r))
    turn = np.degrees(np.arctan2(d, S - R))
    right = arc((R - S, 0), S, -turn, 0)
    left = right[::-1] * [-1, 1]
    arcs = [arc((0, -d), r, -180 + turn, -turn), right, arc((0, 0), R, 0, 180), left]
    return np.vstack(arcs) + np.array([0, height / 2 - R])


def box(width, height):
    corners = np.array([[1, -1], [1, 1], [-1, 1], [-1, -1], [1, -1]]) * [width / 2, height / 2]
    share = np.linspace(0, 1, 4000)[:, None]
    return np.vstack([a + share * (b - a) for a, b in pairwise(corners)])


def horseshoe(width, height):
    """A half circle on upright walls on a level floor."""
    low = box(width, height)
    rise = height / 2 - width / 2
    return np.vstack([low[low[:, 1] < rise], arc((0, rise), width / 2, 0, 180)])


def radii(points, count, centre=(0.0, 0.0), turn=0.0, noise=0.0, seed=0):
    """Readings at equal angles about a place; the outline turned counter-clockwise."""
    x, y = (points - centre).T
    seen, length = np.degrees(np.arctan2(y, x)) % 360, np.hypot(x, y)
    order = np.argsort(seen)
    angle = np.arange(count) * 360 / count
    read = np.interp((angle - turn) % 360, seen[order], length[order], period=360)
    return angle, read + np.random.default_rng(seed).normal(0, noise, count)


def ellipse_radii(size, ovality, axis, centre, count):
    """Angle and radius, seen from the origin, of points on an ellipse.

    The points are found by marching along the parametric form and interpolating it at equal
    angles, so that nothing of the fitted form is used.
    """
    t = np.linspace(0, 2 * np.pi, 200_001)
    a, b = size * (1 + ovality / 100), size * (1 - ovality / 100)
    turn = np.radians(axis)
    x = centre[0] + a * np.cos(t) * np.cos(turn) - b * np.sin(t) * np.sin(turn)
    y = centre[1] + a * np.cos(t) * np.sin(turn) + b * np.sin(t) * np.cos(turn)
    seen, length = np.degrees(np.unwrap(np.arctan2(y, x))), np.hypot(x, y)
    angle = np.arange(count) * 360 / count
    return angle, np.interp((angle - seen[0]) % 360 + seen[0], seen, length)


def without(angle, radius, gap, at=270.0):
    kept = np.abs((angle - at + 180) % 360 - 180) >= gap / 2
    return angle[kept], radius[kept]


def flattened(sides, half_arc=30.0, noise=0.2):
    angle = np.arange(360.0)
    radius = np.full(360, 100.0)
    for side in sides:
        away = np.cos(np.radians(angle - side))
        chord = 100 * np.cos(np.radians(half_arc)) / np.where(away > 0.1, away, np.inf)
        radius = np.where(chord > 0, np.minimum(radius, chord), radius)
    return angle, radius + np.random.default_rng(3).normal(0, noise, 360)
