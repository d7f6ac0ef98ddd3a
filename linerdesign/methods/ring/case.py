"""One liner in its host, as the numerical model takes it."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from linerdesign.methods.ring.contact import Cavity, Contact, Floats
from linerdesign.methods.ring.path import LONGEST_STEP, Path, Point, Scale
from linerdesign.methods.ring.ring import Ring
from linerdesign.methods.ring.shape import Bulge, stress_free_shape

PressureFace = Literal["outer face", "middle surface"]

DEFAULT_ELEMENTS = 80
USUAL_RATIO = 0.3
BULGE_HALF_ANGLE = math.radians(20.0)
"""Half the opening of the local bulge: 40 degrees in all, as in German practice (from memory;
verify against the printed guideline)."""

CONTACT_STIFFNESS = 300.0
"""Contact stiffness over the ring's own hoop stiffness E* t/R^2."""

CONTACT_SOFTENING = 1e-3
"""Penetration over which contact builds up, over the shrinkage p R^2/(E* t) at Glock's p."""

GIVE = 3.0 / 8.0
"""Give of the outer half of the wall under pressure that falls off linearly to the inside."""

MOST_OVER_GLOCK = 1.2
"""Pressure over Glock's that one lobe can't exceed: a perfect ring comes to 1.17 at DR 10."""

HOLDING = 1e-3
"""Stiffness of the weak bed over E* t^3/(12 R^4)."""


@dataclass(frozen=True)
class Case:
    """A liner and the numerical settings that must not matter. Lengths are shares of D/2."""

    dimension_ratio: float
    gap: float = 0.0
    ovality: float = 0.0
    imperfection: float = 0.001
    poisson: float = USUAL_RATIO
    bulge_half_angle: float = BULGE_HALF_ANGLE
    bulge_skew: float = 0.0
    elements: int = DEFAULT_ELEMENTS
    full_ring: bool = False
    pressure_on: PressureFace = "outer face"
    contact_stiffness: float = CONTACT_STIFFNESS
    contact_softening: float = CONTACT_SOFTENING

    @property
    def thickness(self) -> float:
        """Wall thickness."""
        return 2.0 / self.dimension_ratio

    def enhancement(self, pressure_ratio: float) -> float:
        """K that gives this p/E* in p = 2 K E*/(DR - 1)^3."""
        return 0.5 * pressure_ratio * (self.dimension_ratio - 1.0) ** 3

    @property
    def glock(self) -> float:
        """Glock's p/E*, which only sets the scale of the steps."""
        return 1.0025 * math.pow(self.dimension_ratio - 1.0, -2.2)

    @property
    def perfect(self) -> float:
        """p/E* that one lobe can't exceed."""
        return MOST_OVER_GLOCK * self.glock

    @lru_cache(maxsize=64)  # noqa: B019
    def ring(self) -> Ring:
        """The liner in its cavity, stress-free."""
        thickness = self.thickness
        cavity = Cavity(1.0 + self.ovality, 1.0 - self.ovality)
        shape = stress_free_shape(
            cavity,
            self.gap + 0.5 * thickness,
            Bulge(self.imperfection, self.bulge_half_angle, self.bulge_skew),
            self.elements,
            self.full_ring,
        )
        return Ring(
            shape,
            thickness,
            self.poisson,
            self.pressure_on == "outer face",
            (HOLDING * thickness**3 / 12.0,) * 2,
            Contact(
                cavity,
                stiffness=1.0 / (1.0 / (self.contact_stiffness * thickness) + GIVE * thickness),
                softening=self.contact_softening * self.glock / thickness,
            ),
        )

    def path(self, longest_step: float = LONGEST_STEP) -> Path:
        """A path of its equilibria, without a point yet."""
        return Path(self.ring(), Scale(self.thickness + self.gap, self.glock), longest_step)

    def inward(self, ring: Ring, point: Point) -> float:
        """Inward displacement of the crown."""
        return float(-ring.numbers.spread(point.vector)[self.elements, 1])


def moved(old: Case, vector: Floats, new: Case) -> Floats:
    """Unknowns (m,) of `new` that give its outer face the place on the wall that `vector` gives
    that of `old`.

    `new` has the nodes of `old`, or every second one.
    """
    every = old.elements // new.elements
    spread = old.ring().numbers.spread(vector) + _spoilt(old)
    unknowns = np.zeros(new.ring().numbers.unknowns)
    number = new.ring().numbers.of_nodes
    free = number >= 0
    unknowns[number[free]] = (spread[::every] - _spoilt(new))[free]
    return unknowns


def _spoilt(case: Case) -> Floats:
    """What gap and bulge alone move and turn of the stress-free shape (n, 3)."""
    shape, tight = (each.ring().shape for each in (case, replace(case, gap=0.0, imperfection=0.0)))
    return np.column_stack([shape.points - tight.points, shape.tangents - tight.tangents])
