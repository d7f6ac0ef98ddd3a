"""The stress-free middle line of a liner: parallel to the wall of its host, with a local bulge.

Lengths are in radii of the host's mean circle, D/2.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from linerdesign.methods.ring.contact import Cavity, Floats


@dataclass(frozen=True)
class Shape:
    """Stress-free middle line: node positions (n, 2) and tangent angles (n,), anticlockwise.

    A half ring runs from the invert over the right-hand side to the crown, both included, where
    symmetry fixes the sideways movement and the turn; a full ring starts at the invert and does not
    repeat it. `fixed` are the unknowns fixed at both ends of a chain that is not full.
    """

    points: Floats
    tangents: Floats
    full: bool
    fixed: tuple[int, ...] = (0, 2)


@dataclass(frozen=True)
class Bulge:
    """Inward cos^2 bulge at the crown: its depth, half its opening, and its skew.

    Angles are by arc: 180 degrees are half the middle line, whatever its ovality. `skew` is the
    share by which one side is wider and the other narrower; half a ring ignores it.
    """

    depth: float
    half_angle: float
    skew: float


@lru_cache(maxsize=64)
def _measured(cavity: Cavity) -> tuple[Floats, Floats, Floats]:
    """Parameters of the wall from the invert to the crown, its length up to there, and its turn.

    A line parallel to it at some offset inside is shorter by the offset times the turn.
    """
    fine = np.linspace(-np.pi / 2, np.pi / 2, 4001)
    steps = np.hypot(*np.diff(cavity.wall(fine), axis=0).T)
    normal, _ = cavity.outward(fine)
    turned = np.arctan2(normal[:, 1], normal[:, 0]) + np.pi / 2
    return fine, np.concatenate([[0.0], np.cumsum(steps)]), turned


def stress_free_shape(
    cavity: Cavity, offset: float, bulge: Bulge, elements: int, full: bool
) -> Shape:
    """Middle line parallel to the wall at `offset`, with `bulge`; `elements` per half."""
    fine, along, turned = _measured(cavity)
    arc = along - offset * turned
    parameter = np.interp(np.linspace(0.0, arc[-1], elements + 1), arc, fine)
    from_crown = np.pi * (np.arange(elements + 1) / elements - 1.0)
    if full:
        parameter = np.concatenate([parameter, np.pi - parameter[-2:0:-1]])
        from_crown = np.concatenate([from_crown, -from_crown[-2:0:-1]])

    normal, curvature = cavity.outward(parameter)
    lopsided = 1.0 + bulge.skew * np.sign(from_crown) if full else np.ones_like(from_crown)
    half_angle = bulge.half_angle * lopsided
    phase = np.pi * np.clip(from_crown / half_angle, -1.0, 1.0)
    depth = 0.5 * bulge.depth * (1.0 + np.cos(phase))
    deepening = -0.5 * bulge.depth * np.sin(phase) * np.pi / half_angle * np.pi / arc[-1]
    points = cavity.wall(parameter) - (offset + depth)[:, None] * normal
    stretch = 1.0 - depth * curvature / (1.0 - offset * curvature)
    tangents = np.arctan2(normal[:, 0], -normal[:, 1]) + np.arctan2(deepening, stretch)
    return Shape(points, tangents, full)
