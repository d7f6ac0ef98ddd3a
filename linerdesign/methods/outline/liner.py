"""A liner in a host of any shape, as the ring model takes it.

Lengths are in radii of the circle of the same perimeter, pressures and stresses over E*. The ring,
its path, and the search for a thickness are those of `methods.ring`; only the cavity, the
stress-free shape and the loads are made here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

import numpy as np

from linerdesign.methods.outline.curve import Outline
from linerdesign.methods.ring.case import GIVE, HOLDING, Case
from linerdesign.methods.ring.contact import Contact, Floats
from linerdesign.methods.ring.loading import Loading, Profile
from linerdesign.methods.ring.path import Point
from linerdesign.methods.ring.ring import Ring
from linerdesign.methods.ring.shape import Shape

STEADYING = 0.3
"""Stiffness of the bed that keeps a liner under water of some depth from drifting up or down, over
E* t^3/(12 R^4)."""

SETTING = 0.1
"""Height in radii over which set grout thins out at its top."""

SHARED_NODES = 120
"""Nodes of a closed ring that one of twice the elements has too."""

HALF = 0.5
"""Share of the perimeter from the invert to the crown of a host that is its own mirror image."""


@dataclass(frozen=True)
class Arc:
    """A part of the perimeter, from and to shares of it, anticlockwise from the invert."""

    start: float
    end: float

    def holds(self, share: Floats) -> Floats:
        """The part inside of the piece of wall that belongs to each node (n,), 0 to 1.

        The nodes are those of a closed ring, in order.
        """
        half = 0.5 * ((np.roll(share, -1) - np.roll(share, 1)) % 1.0)
        opens = (self.end - self.start) % 1.0
        past = (share - self.start + 0.5 * (1.0 - opens)) % 1.0 - 0.5 * (1.0 - opens)
        inside = np.minimum(past + 0.5 * half, opens) - np.maximum(past - 0.5 * half, 0.0)
        return np.clip(inside / half, 0.0, 1.0)


def _apart(share: Floats, place: float | Floats) -> Floats:
    """Shares of the perimeter from a place on, the shorter way round."""
    off = share - place
    return np.asarray(off - np.rint(off))


def _with_ends(share: Floats, missing: Arc) -> Floats:
    """Shares of the nodes of a closed ring (n,), moved so that two lie at the ends of the arc.

    They are among those that a ring of half the elements has too, for which the host then ends at
    the same places. An arc that is shorter than an element is left between the nodes.
    """
    ends = np.array([missing.start, missing.end])
    every = max(1, len(share) // SHARED_NODES)
    near = every * np.argmin(np.abs(_apart(share[::every], ends[:, None])), axis=1)
    if near[0] == near[1]:
        return share
    moved = _apart(ends, share[near])
    return np.asarray(share + np.interp(share, share[near], moved, period=1.0))


@dataclass(frozen=True, kw_only=True)
class HostedCase(Case):
    """A liner in a host with this outline; the rest as in `Case`.

    `places` are the shares of the perimeter, anticlockwise from the invert, about which it has a
    bulge: one of them is a case of one lobe, two one of two. `profile` is the pressure over the
    height, in radii over the centroid, as a share of the pressure of the path, and `weight` the own
    weight per volume, a pressure per radius, as such a share. Their resultant lifts or lowers a
    `buoyant` liner onto the host; of any other it is held all along the wall, as by friction and
    laterals. `missing` is an arc in which the host does not support the liner. Under the height
    `set_to` the gap is filled. `springs` is the stiffness of a soft host, pressure per length of
    movement, and None for a rigid one; springs `both_ways` also pull.
    """

    host: Outline
    places: tuple[float, ...] = (HALF,)
    profile: Profile | None = None
    weight: float = 0.0
    buoyant: bool = False
    missing: Arc | None = None
    set_to: float | None = None
    springs: float | None = None
    both_ways: bool = False

    @property
    def perfect(self) -> float:
        """Unknown in a host of any shape, and under water of some depth."""
        return math.inf

    @lru_cache(maxsize=64)  # noqa: B019
    def ring(self) -> Ring:
        """The liner in its host, stress-free."""
        thickness, share = self.thickness, self._shares()
        shape = self._shape(share)
        bare = Ring(
            shape,
            thickness,
            self.poisson,
            self.pressure_on == "outer face",
            self._holding(),
            None,
        )
        return replace(bare, contact=self._contact(bare, share), loading=self._loading(bare, share))

    def _holding(self) -> tuple[float, float]:
        """A bed that keeps the liner from drifting: stiffer upright where a load could lift it, and
        sideways where it floats and could turn over."""
        inertia = self.thickness**3 / 12.0
        if self.profile is None:
            return HOLDING * inertia, HOLDING * inertia
        if self.buoyant:
            return STEADYING * inertia, HOLDING * inertia
        return HOLDING * inertia, STEADYING * inertia

    def _shares(self) -> Floats:
        """Shares of the perimeter at which the nodes are: closer where the host turns faster."""
        fine = np.linspace(0.0, 1.0, 2 * len(self.host.knots) + 1)
        curvature = np.abs(self.host.along(fine)[2])
        density = curvature[1:] + curvature[:-1]
        density = density / density.mean() + 1.0
        reached = np.concatenate([[0.0], np.cumsum(density)]) / density.sum()
        if self.full_ring:
            wanted = np.linspace(0.0, 1.0, 2 * self.elements, endpoint=False)
        else:
            wanted = np.linspace(0.0, 0.5, self.elements + 1)
        share = np.interp(wanted, reached, fine)
        return share if self.missing is None else _with_ends(share, self.missing)

    def _shape(self, share: Floats) -> Shape:
        """The stress-free middle line: parallel to the host, less the bulges."""
        points, normal, curvature = self.host.along(share)
        offset = self.gap + 0.5 * self.thickness
        half = self.bulge_half_angle / (2.0 * np.pi)
        depth, deepening = np.zeros_like(share), np.zeros_like(share)
        for place in self.places:
            phase = np.pi * np.clip(_apart(share, place) / half, -1.0, 1.0)
            depth += 0.5 * self.imperfection * (1.0 + np.cos(phase))
            # Per length of the host, whose perimeter is 2 pi.
            deepening -= 0.5 * self.imperfection * np.sin(phase) * 0.5 / half
        stretch = 1.0 - (offset + depth) * curvature
        turned = np.arctan2(deepening, stretch)
        tangents = np.arctan2(normal[:, 0], -normal[:, 1]) + turned
        return Shape(points - (offset + depth)[:, None] * normal, tangents, self.full_ring)

    def _contact(self, bare: Ring, share: Floats) -> Contact:
        thickness = self.thickness
        held = np.ones_like(share) if self.missing is None else 1.0 - self.missing.holds(share)
        first, second = bare.numbers.ends
        ends = np.stack([held[first], held[second]])
        rigid = 1.0 / (1.0 / (self.contact_stiffness * thickness) + GIVE * thickness)
        stiffness = rigid if self.springs is None else self.springs
        return Contact(
            self.host,
            stiffness=stiffness if self.missing is None else stiffness * ends,
            softening=self.contact_softening * self.glock / thickness,
            both_ways=self.both_ways,
            filled=self._filled(bare),
        )

    def _filled(self, bare: Ring) -> float | Floats:
        """The gap, at the nodes where it is filled."""
        if self.set_to is None:
            return 0.0
        return self.gap * np.clip((self.set_to - bare.shape.points[:, 1]) / SETTING, 0.0, 1.0)

    def _loading(self, bare: Ring, share: Floats) -> Loading | None:
        if self.profile is None and not self.weight:
            return None
        forces = np.zeros((len(share), 2))
        forces[:, 1] = -self.weight * self.thickness * bare.tributary
        shape = bare.shape
        loads = Loading(
            self.profile, 0.5 * self.thickness, shape.tangents, bare.numbers.ends, forces
        )
        if not self.buoyant:
            # The array is that of `loads` itself; what holds the liner down takes from its lift.
            forces[:, 1] -= loads.lift(shape.points) * self._spread_over(bare)
        return loads

    def _spread_over(self, bare: Ring) -> Floats:
        """Shares of a force along the wall (n,) whose resultant goes through the centre of the area
        enclosed, where the water's does: so that it does not turn the liner over."""
        height, length = bare.shape.points[:, 1], bare.tributary / bare.tributary.sum()
        mean = float(length @ height)
        slope = (self.host.centre - mean) / float(length @ (height - mean) ** 2)
        spread: Floats = length * (1.0 + slope * (height - mean))
        return spread

    def moved_inwards(self, ring: Ring, vector: Floats) -> Floats:
        """Inward movement of each node from its stress-free place (n,), the drift of all left out.

        The drift is the mean movement of the wall; of half a ring only its upright part.
        """
        moved = ring.numbers.spread(vector)[:, :2]
        weight = ring.tributary / ring.tributary.sum()
        drift = weight @ moved
        if not self.full_ring:
            drift[0] = 0.0
        angle = ring.shape.tangents
        outward = np.column_stack([np.sin(angle), -np.cos(angle)])
        inwards: Floats = -np.sum((moved - drift) * outward, axis=1)
        return inwards

    def inward(self, ring: Ring, point: Point) -> float:
        """The greatest inward movement of the wall."""
        return float(self.moved_inwards(ring, point.vector).max())


FLAT = 0.75
"""Curvature, averaged over a bulge and over that of the circle, under which a host is flat."""

ASIDE = 0.004
"""Share of the perimeter by which a bulge lies off the axis, so that it may lean to one side."""

MOST_PLACES = 2


def lobe_cases(host: Outline, profile: Profile | None = None) -> tuple[tuple[float, ...], ...]:
    """Places of the bulges to try: one lobe in each of the slackest flats, and one on each side.

    A flat counts by its length squared times the pressure on it. A host without any, nearly a
    circle, has its lobe at the invert, where the pressure is greatest.
    """
    count = len(host.knots)
    points, _, curvature = host.along(np.arange(count) / count)
    reach = count // 18
    window = np.hanning(2 * reach + 3)[1:-1]
    around = np.concatenate([curvature[-reach:], curvature, curvature[:reach]])
    mean = np.correlate(around, window / window.sum(), "valid")
    share = np.ones(count)
    if profile is not None:
        share += profile.beyond_uniform(points[:, 1])[1]
    (turning,) = np.nonzero(mean >= FLAT)
    start = np.append(turning, turning[0] + count)
    found = []
    for before, after in pairwise(start):
        if after - before > reach // 2:
            middle = 0.5 * (before + after) / count % 1.0
            found.append(
                ((after - before) ** 2 * float(share[round(middle * count) % count]), float(middle))
            )
    if host.mirrored:
        found = [each for each in found if each[1] < 0.5 + 1.0 / count]
    places = [place for _, place in sorted(found, reverse=True)[:MOST_PLACES]]
    single = [
        (place + ASIDE if min(place, abs(place - 0.5)) < 0.01 else place,) for place in places
    ]
    beside = [(each, 1.0 - each) for (each,) in single if host.mirrored and 0.05 < each < 0.45]
    return (*single, *beside) or ((ASIDE,),)
