"""Numbers of the unknowns of a chain of elements, and how its parts are summed by them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.ring.contact import Floats

Integers = NDArray[np.intp]
Nodes = Integers | slice


@dataclass(frozen=True, eq=False)
class Numbering:
    """A chain of `count` nodes with two displacements and a rotation each.

    A full ring closes; another chain has unknowns `fixed` (0, 1 or 2) at both its ends.
    """

    count: int
    full: bool
    fixed: tuple[int, ...]

    @cached_property
    def ends(self) -> tuple[Nodes, Nodes]:
        """First and second node of each element (e,)."""
        if self.full:
            return slice(None), np.roll(np.arange(self.count), -1)
        return slice(None, -1), slice(1, None)

    @cached_property
    def of_nodes(self) -> Integers:
        """Equation number of each unknown (n, 3), -1 where it is fixed.

        A full ring is numbered outwards from the invert on both sides in turn, which keeps the
        matrix banded although the chain closes.
        """
        nodes = np.arange(self.count)
        free = np.full((self.count, 3), True)
        if self.full:
            half = self.count // 2
            nodes = np.argsort(np.where(nodes <= half, 2 * nodes - 1, 2 * (self.count - nodes)))
        else:
            free[np.ix_([0, -1], self.fixed)] = False
        ordered = np.cumsum(free[nodes]).reshape(self.count, 3) - 1
        number = np.empty_like(ordered)
        number[nodes] = np.where(free[nodes], ordered, -1)
        return number

    @cached_property
    def of_elements(self) -> Integers:
        """Equation numbers of the six unknowns of each element (e, 6)."""
        first, second = self.ends
        return np.concatenate([self.of_nodes[first], self.of_nodes[second]], axis=1)

    @cached_property
    def unknowns(self) -> int:
        """Number of unknowns m."""
        return int(self.of_nodes.max()) + 1

    @cached_property
    def bandwidth(self) -> int:
        """Entries b of the matrix on either side of its diagonal."""
        numbers = self.of_elements
        low = np.where(numbers < 0, self.unknowns, numbers).min(axis=1)
        return int((numbers.max(axis=1) - low).max())

    @cached_property
    def meeting(self) -> Floats:
        """How many elements meet at each node (n,)."""
        return self.at_nodes(np.ones((2, len(self.of_elements))))

    @cached_property
    def _kept(self) -> Integers:
        """Places of the free unknowns, in their order, among those of all nodes (m,)."""
        number = self.of_nodes.ravel()
        places = np.flatnonzero(number >= 0)
        return places[np.argsort(number[places])]

    @cached_property
    def _band_places(self) -> Integers:
        """Where the entries of the matrices of elements, then nodes, go in the flat storage; those
        of fixed unknowns go behind it."""
        parts = (self.of_elements, self.of_nodes[:, :2])
        return np.concatenate([self._places(numbers).ravel() for numbers in parts])

    def _places(self, numbers: Integers) -> Integers:
        row, column = numbers[:, :, None], numbers[:, None, :]
        rows = 3 * self.bandwidth + 1
        place = column * rows + 2 * self.bandwidth + row - column
        return np.where((row < 0) | (column < 0), rows * self.unknowns, place)

    def at_nodes(self, of_ends: Floats) -> Floats:
        """Sums at the nodes (..., n) of what is at both ends of each element (2, ..., e)."""
        found = np.zeros((*of_ends.shape[1:-1], self.count))
        for nodes, values in zip(self.ends, of_ends, strict=True):
            found[..., nodes] += values
        return found

    def vectors(self, of_elements: Floats, of_nodes: Floats) -> tuple[Floats, Floats]:
        """Two vectors (m,) from those of elements (e, 2, 6) and of nodes (2, n, 2)."""
        found = np.zeros((2, self.count, 3))
        found[:, :, :2] = of_nodes
        ends = of_elements.transpose(1, 0, 2)
        for side, nodes in enumerate(self.ends):
            found[:, nodes] += ends[:, :, 3 * side : 3 * side + 3]
        one, two = found.reshape(2, 3 * self.count)[:, self._kept]
        return one, two

    def stored(self, of_elements: Floats, of_nodes: Floats) -> Floats:
        """The matrix in the storage of LAPACK for bands with room for its factors (3 b + 1, m),
        from matrices of elements (e, 6, 6) and nodes (n, 2, 2)."""
        values = np.concatenate([of_elements.ravel(), of_nodes.ravel()])
        rows = 3 * self.bandwidth + 1
        flat = np.bincount(self._band_places, values, rows * self.unknowns + 1)[:-1]
        return np.asarray(flat, np.float64).reshape(self.unknowns, rows).T

    def spread(self, vector: Floats) -> Floats:
        """Unknowns (m,) as displacements and rotations of the nodes (n, 3)."""
        found = np.zeros(3 * self.count)
        found[self._kept] = vector
        return found.reshape(self.count, 3)


@lru_cache(maxsize=16)
def numbering(count: int, full: bool, fixed: tuple[int, ...]) -> Numbering:
    """The numbering of a chain, shared by all rings that have it."""
    return Numbering(count, full, fixed)
