"""Loads on a ring that differ around it: pressure over the height, and forces at the nodes.

All of it grows with the one pressure of the path, the greatest one. Lengths are in radii of the
circle of the same perimeter; pressures and forces are shares of that pressure.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from linerdesign.methods.ring.contact import Floats
from linerdesign.methods.ring.numbering import Nodes

GAUSS = 0.5 - 0.5 / np.sqrt(3.0)


@dataclass(frozen=True)
class Profile:
    """Pressure over height, as a share of the pressure of the path; straight between the levels.

    It is constant below the first and above the last level.
    """

    levels: tuple[float, ...]
    shares: tuple[float, ...]

    @cached_property
    def _knots(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Levels, shares less 1, slopes before and behind each level, and the integral up to it."""
        level, share = np.array(self.levels), np.array(self.shares) - 1.0
        step = np.diff(level)
        slope = np.concatenate([[0.0], np.diff(share) / step, [0.0]])
        so_far = np.concatenate([[0.0], np.cumsum(0.5 * (share[1:] + share[:-1]) * step)])
        return level, share, slope, so_far

    def beyond_uniform(self, height: Floats) -> tuple[Floats, Floats, Floats]:
        """The integral over height of the share less 1, that share less 1, and its slope."""
        level, share, slope, so_far = self._knots
        passed = np.searchsorted(level, height, side="right")
        piece = np.maximum(passed - 1, 0)
        above, inside = height - level[piece], slope[passed]
        value = share[piece] + inside * above
        return so_far[piece] + above * (share[piece] + 0.5 * inside * above), value, inside


@dataclass(frozen=True, eq=False)
class Loading:
    """What a `profile` adds to uniform pressure on the outer face, and dead forces at the nodes.

    The face lies `outside` the middle line along its normal; `tangents` (n,) are the stress-free
    tangent angles, `ends` the first and second node of each element. `forces` (n, 2) do not turn
    with the wall.
    """

    profile: Profile | None
    outside: float
    tangents: Floats
    ends: tuple[Nodes, Nodes]
    forces: Floats

    def _face(self, points: Floats, turned: Floats) -> tuple[Floats, Floats, Floats]:
        """Nodes of the outer face (n, 2), and their slopes (n, 2) by the node's rotation."""
        angle = self.tangents + turned
        across = self.outside * np.column_stack([np.sin(angle), -np.cos(angle)])
        along = self.outside * np.column_stack([np.cos(angle), np.sin(angle)])
        return points + across, along, -across

    def energy(self, points: Floats, moved: Floats) -> float:
        """Potential per pressure, beside the enclosed area. `moved` is (n, 3)."""
        found = -float(np.sum(self.forces * moved[:, :2]))
        if self.profile is None:
            return found
        face, _, _ = self._face(points, moved[:, 2])
        start, end = face[self.ends[0]], face[self.ends[1]]
        run, rise = (end - start).T
        integral = sum(
            self.profile.beyond_uniform(start[:, 1] + share * rise)[0]
            for share in (GAUSS, 1.0 - GAUSS)
        )
        return found - 0.5 * float(run @ integral)

    def add_to(
        self, load: Floats, matrix: Floats, pressure: float, points: Floats, moved: Floats
    ) -> Floats:
        """Adds the profile's gradient to `load` (e, 6) and its second derivatives, times
        `pressure`, to `matrix` (e, 6, 6); returns the gradient at the nodes (n, 2)."""
        if self.profile is not None:
            slope, curve = self._slopes(points, moved[:, 2])
            load += slope
            matrix += pressure * curve
        return -self.forces

    def lift(self, points: Floats) -> float:
        """The upright resultant on the stress-free wall; on half a ring that of the half."""
        found = float(self.forces[:, 1].sum())
        if self.profile is not None:
            slope, _ = self._slopes(points, np.zeros_like(self.tangents))
            found -= float(slope[:, [1, 4]].sum())
        return found

    def _slopes(self, points: Floats, turned: Floats) -> tuple[Floats, Floats]:
        """Gradient (e, 6) and second derivatives (e, 6, 6) of the profile's potential."""
        assert self.profile is not None
        face, by_turn, by_turn_twice = self._face(points, turned)
        first, second = self.ends
        start, end = face[first], face[second]
        run, rise = (end - start).T
        count = len(run)
        slope, curve = np.zeros((count, 4)), np.zeros((count, 4, 4))
        for share in (GAUSS, 1.0 - GAUSS):
            weight = np.array([1.0 - share, share])
            integral, value, change = self.profile.beyond_uniform(start[:, 1] + share * rise)
            slope[:, 0] += 0.5 * integral
            slope[:, 2] -= 0.5 * integral
            for row, own in ((1, weight[0]), (3, weight[1])):
                slope[:, row] -= 0.5 * run * value * own
                for column, sign in ((0, 0.5), (2, -0.5)):
                    curve[:, row, column] += sign * value * own
                    curve[:, column, row] += sign * value * own
                for column, other in ((1, weight[0]), (3, weight[1])):
                    curve[:, row, column] -= 0.5 * run * change * own * other
        jacobian = np.zeros((count, 4, 6))
        jacobian[:, [0, 1, 2, 3], [0, 1, 3, 4]] = 1.0
        jacobian[:, :2, 2], jacobian[:, 2:, 5] = by_turn[first], by_turn[second]
        matrix = jacobian.transpose(0, 2, 1) @ curve @ jacobian
        matrix[:, 2, 2] += np.sum(slope[:, :2] * by_turn_twice[first], axis=1)
        matrix[:, 5, 5] += np.sum(slope[:, 2:] * by_turn_twice[second], axis=1)
        return np.einsum("eij,ei->ej", jacobian, slope), matrix
