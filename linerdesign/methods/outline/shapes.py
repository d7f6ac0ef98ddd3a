"""Named shapes of hosts from their dimensions: circle, ellipse, egg, box and arch.

Each is a chain of arcs and straight lines that meet without a kink, from the invert up the right
side to the crown, mirrored to the left. Dimensions are in any one unit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from linerdesign.methods.outline.curve import FINE, WHOLE, Floats, Outline, outline


def _arc(centre: tuple[float, float], radius: float, start: float, end: float) -> Floats:
    """Points of an arc between two angles in radians."""
    angle = np.linspace(start, end, FINE)
    return np.column_stack([centre[0] + radius * np.cos(angle), centre[1] + radius * np.sin(angle)])


def _line(start: tuple[float, float], end: tuple[float, float]) -> Floats:
    share = np.linspace(0.0, 1.0, FINE)[:, None]
    points: Floats = np.array(start) * (1.0 - share) + np.array(end) * share
    return points


def _whole(parts: Iterable[Floats]) -> Floats:
    """The closed curve of a right half and its mirror image."""
    half = np.vstack(list(parts))
    return np.vstack([half, half[::-1] @ np.diag([-1.0, 1.0])])


def ellipse(width: float, height: float, radius: float) -> Floats:
    """An ellipse with upright and level axes."""
    angle = 2.0 * np.pi * np.arange(WHOLE) / WHOLE
    return np.column_stack([0.5 * width * np.cos(angle), 0.5 * height * np.sin(angle)])


def egg(width: float, height: float, radius: float) -> Floats:
    """An egg, narrow end down: a half circle above, flanks of a large radius, and a round invert.

    With h = height/width, r = width/2 and the invert's radius r (h - 1): the 3:2 egg has flanks of
    3 r about a centre on the springline, and an invert of r/2, as in the usual standard sewers.

    Raises:
        ValueError: for h under 1.25, an invert sharper than r/4, and from 2 on, where no flank
            touches both circles from outside.
    """
    r = 0.5 * width
    low = r * (height / width - 1.0)
    drop = height - r - low
    if not 1.25 <= height / width < 2.0:
        raise ValueError("height over width must lie between 1.25 and 2")
    # |centre of flank - centre of invert| = R - low, the centre of the flank at (r - R, 0).
    flank = (drop**2 + r**2 - low**2) / (2.0 * (r - low))
    turn = math.atan2(drop, flank - r)
    return _whole(
        [
            _arc((0.0, -drop), low, -0.5 * np.pi, -turn),
            _arc((r - flank, 0.0), flank, -turn, 0.0),
            _arc((0.0, 0.0), r, 0.0, 0.5 * np.pi),
        ]
    )


def box(width: float, height: float, radius: float) -> Floats:
    """A rectangle with rounded corners."""
    right, top = 0.5 * width, 0.5 * height
    x, y, quarter = right - radius, top - radius, 0.5 * np.pi
    return _whole(
        [
            _line((0.0, -top), (x, -top)),
            _arc((x, -y), radius, -quarter, 0.0),
            _line((right, -y), (right, y)),
            _arc((x, y), radius, 0.0, quarter),
            _line((x, top), (0.0, top)),
        ]
    )


def arch(width: float, height: float, radius: float) -> Floats:
    """A flat invert with rounded corners, upright sides, and a half circle above."""
    right, spring = 0.5 * width, height - 0.5 * width
    quarter = 0.5 * np.pi
    return _whole(
        [
            _line((0.0, 0.0), (right - radius, 0.0)),
            _arc((right - radius, radius), radius, -quarter, 0.0),
            _line((right, radius), (right, spring)),
            _arc((0.0, spring), right, 0.0, quarter),
        ]
    )


@dataclass(frozen=True)
class Host:
    """An outline, the straight length of its longest flat side, the radius of its corners and the
    width as stated, in the unit of the host; None where it has none."""

    outline: Outline
    flat: float | None = None
    corner: float | None = None
    stated_width: float | None = None

    @property
    def width(self) -> float:
        """The width as stated, or as the outline has it."""
        return self.stated_width or self.outline.width * self.outline.radius


def circle(diameter: float, ovality: float = 0.0) -> Outline:
    """A round or oval pipe, ovality as a share, its short axis upright."""
    return named_outline("ellipse", diameter * (1.0 + ovality), diameter * (1.0 - ovality))


SHAPES: dict[str, Callable[[float, float, float], Floats]] = {
    "egg": egg,
    "box": box,
    "arch": arch,
    "ellipse": ellipse,
}
WITH_CORNERS = ("box", "arch")


def named_outline(shape: str, width: float, height: float, corner_radius: float = 0.0) -> Outline:
    """The outline of a named shape. `corner_radius` counts for a box and an arch only.

    Raises:
        ValueError: that says why the dimensions make no such shape.
    """
    if shape in WITH_CORNERS:
        most = (
            0.5 * min(width, height) if shape == "box" else min(0.5 * width, height - 0.5 * width)
        )
        if most <= 0.0:
            raise ValueError("the height must be over half the width")
        if not 0.0 < corner_radius < most:
            raise ValueError(f"the corner radius must lie between 0 and {most:g}")
    return outline(SHAPES[shape](width, height, corner_radius), shape)
