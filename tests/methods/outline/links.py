"""A liner as a chain of links: another discretisation than the package's, for its tests.

Nodes have two displacements and no rotation. Links stretch (E* t), neighbours bend against each
other by the angle between them (E* I over the length), the pressure acts on the middle line through
the area of the polygon, and nodes are held inside the host by springs on their distance to it.
Second derivatives are central differences of each element's own gradient.
"""

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

STEP = 1e-6
SOFT = 2e-5  # penetration over which the springs of the host come to their stiffness
BED = 1e-8  # stiffness of a bed that keeps the chain from drifting


def distance_inside(points, polygon):
    """Distance of points (n, 2) to a dense anticlockwise polygon (m, 2), positive inside, the
    outward normal of the nearest side, and no curvature."""
    start, end = polygon, np.roll(polygon, -1, 0)
    run = end - start
    along = np.clip(
        np.einsum("nmk,mk->nm", points[:, None] - start, run) / np.sum(run**2, axis=1), 0.0, 1.0
    )
    foot = start + along[:, :, None] * run
    apart = np.sum((points[:, None] - foot) ** 2, axis=2)
    at = np.argmin(apart, axis=1)
    normal = np.column_stack([run[at, 1], -run[at, 0]])
    normal /= np.hypot(*normal.T)[:, None]
    chosen = foot[np.arange(len(points)), at]
    return np.sum((chosen - points) * normal, axis=1), normal, np.zeros(len(points))


def distance_inside_egg(points, width, crown):
    """The same to a 3:2 egg of this width whose top is at the height `crown`, by its arcs: half a
    circle of r = width/2 above, flanks of 3 r about centres on the springline, r/2 below."""
    r, side = 0.5 * width, np.where(points[:, 0] < 0.0, -1.0, 1.0)
    x, y = np.abs(points[:, 0]), points[:, 1] - (crown - r)
    below = np.arctan2(-y, x + 2.0 * r)
    centre_x = np.where(y > 0.0, 0.0, np.where(below < np.arctan2(1.5, 2.0), -2.0 * r, 0.0))
    low = (y <= 0.0) & (centre_x == 0.0)
    radius = np.where(y > 0.0, r, np.where(low, 0.5 * r, 3.0 * r))
    from_x, from_y = x - centre_x, y + np.where(low, 1.5 * r, 0.0)
    length = np.hypot(from_x, from_y)
    normal = np.column_stack([side * from_x, from_y]) / length[:, None]
    return radius - length, normal, 1.0 / length


class Chain:
    """The chain through `points` (n, 2), stress-free there, of wall thickness `thickness`."""

    def __init__(self, points, thickness, distance, stiffness):
        self.points, self.distance, self.thickness = points, distance, thickness
        self.stretching, self.bending = thickness, thickness**3 / 12.0
        self.stiffness = stiffness
        count = len(points)
        middle = np.arange(count)
        self.three = np.stack([(middle - 1) % count, middle, (middle + 1) % count], axis=1)
        sides = np.roll(points, -1, 0) - points
        self.rest = np.hypot(*sides.T)
        self.angle = self._angles(points[self.three])
        self.share = 0.5 * (self.rest + np.roll(self.rest, 1))

    @staticmethod
    def _angles(three):
        one, two = three[:, 1] - three[:, 0], three[:, 2] - three[:, 1]
        return np.arctan2(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0], np.sum(one * two, axis=1))

    def _gradient(self, three, pressure):
        """Gradient (n, 3, 2) of one bent joint and the link behind it."""
        one, two = three[:, 1] - three[:, 0], three[:, 2] - three[:, 1]
        turned = lambda each: np.column_stack([-each[:, 1], each[:, 0]])  # noqa: E731
        first = turned(one) / np.sum(one**2, axis=1)[:, None]
        second = turned(two) / np.sum(two**2, axis=1)[:, None]
        moment = self.bending * (self._angles(three) - self.angle) / self.share
        found = moment[:, None, None] * np.stack([first, -first - second, second], axis=1)
        length = np.hypot(*two.T)
        pull = self.stretching * (length / self.rest - 1.0)
        along = (pull / length)[:, None] * two
        found[:, 1] -= along
        found[:, 2] += along
        # Half the cross product of both ends of the link is its share of the polygon's area.
        found[:, 1] += 0.5 * pressure * np.column_stack([three[:, 2, 1], -three[:, 2, 0]])
        found[:, 2] += 0.5 * pressure * np.column_stack([-three[:, 1, 1], three[:, 1, 0]])
        return found

    def solve(self, pressures):
        """Displacements (n, 2) under the last of growing pressures."""
        moved = np.zeros_like(self.points)
        for pressure in pressures:
            for _ in range(200):
                step = self._newton(moved, pressure)
                moved = moved + step * min(1.0, 0.1 * self.thickness / np.abs(step).max())
                if np.abs(step).max() < 1e-7:
                    break
            else:
                raise AssertionError(f"no equilibrium at {pressure}")
        return moved

    def _newton(self, moved, pressure):
        three = (self.points + moved)[self.three]
        count = len(moved)
        gradient = self._gradient(three, pressure)
        curve = np.zeros((count, 6, 6))
        for column in range(6):
            shift = np.zeros((1, 3, 2))
            shift[0, column // 2, column % 2] = STEP
            change = self._gradient(three + shift, pressure) - self._gradient(
                three - shift, pressure
            )
            curve[:, column] = change.reshape(count, 6) / (2.0 * STEP)
        numbers = (2 * self.three[:, :, None] + np.arange(2)).reshape(count, 6)
        force = np.bincount(numbers.ravel(), gradient.ravel(), 2 * count)
        distance, normal, curvature = self.distance(self.points + moved)
        deep = np.maximum(0.5 * self.thickness - distance, 0.0)
        early = np.minimum(deep, SOFT)
        push = self.stiffness * self.share
        pressed = push * (deep - early + 0.5 * early**2 / SOFT)
        force += (pressed[:, None] * normal).ravel()
        force += (BED * self.share)[:, None].repeat(2, axis=1).ravel() * moved.ravel()
        across = np.column_stack([-normal[:, 1], normal[:, 0]])
        held = (
            (push * early / SOFT)[:, None, None] * (normal[:, :, None] * normal[:, None, :])
            + (pressed * curvature)[:, None, None] * (across[:, :, None] * across[:, None, :])
            + (BED * self.share)[:, None, None] * np.eye(2)
        )
        own = 2 * np.arange(count)[:, None] + np.arange(2)
        rows = np.concatenate(
            [np.repeat(numbers, 6, axis=1).ravel(), np.repeat(own, 2, axis=1).ravel()]
        )
        columns = np.concatenate([np.tile(numbers, (1, 6)).ravel(), np.tile(own, (1, 2)).ravel()])
        matrix = coo_array((np.concatenate([curve.ravel(), held.ravel()]), (rows, columns)))
        return -spsolve(matrix.tocsc(), force).reshape(count, 2)
