"""Numbers of the unknowns of a chain of elements, and how its parts are summed by them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array

from linerdesign.methods.ring.contact import Floats

Integers = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Numbering:
    """A chain of `count` nodes with two displacements and a rotation each.

    A full ring closes; another chain has unknowns `fixed` (0, 1 or 2) at both its ends.
    """

    count: int
    full: bool
    fixed: tuple[int, ...]

    @cached_property
    def ends(self) -> tuple[Integers, Integers]:
        """First and second node of each element (e,)."""
        first = np.arange(self.count if self.full else self.count - 1)
        return first, (first + 1) % self.count

    @cached_property
    def of_nodes(self) -> Integers:
        """Equation number of each unknown (n, 3), -1 where it is fixed.

        A full ring is numbered outwards from the invert on both sides in turn, which keeps the
        matrix banded although the chain closes.
        """
        nodes = np.arange(self.count)
        free = np.ones((self.count, 3), dtype=bool)
        if self.full:
            half = self.count // 2
            nodes = np.argsort(np.where(nodes <= half, 2 * nodes - 1, 2 * (self.count - nodes)))
        else:
            free[np.ix_([0, -1], self.fixed)] = False
        number = np.full((self.count, 3), -1, dtype=np.intp)
        ordered = np.cumsum(free[nodes]).reshape(self.count, 3) - 1
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
    def _sums(self) -> tuple[csr_array, csr_array]:
        """Sums over elements and then nodes: into vectors of unknowns, and into the flat band."""
        size = (2 * self.bandwidth + 1) * self.unknowns
        parts = (self.of_elements, self.of_nodes[:, :2])
        vectors = np.concatenate([numbers.ravel() for numbers in parts])
        bands = np.concatenate([self._band_places(numbers).ravel() for numbers in parts])
        return _summing(vectors, self.unknowns), _summing(bands, size)

    def _band_places(self, numbers: Integers) -> Integers:
        row, column = numbers[:, :, None], numbers[:, None, :]
        place = (self.bandwidth + row - column) * self.unknowns + column
        return np.where((row < 0) | (column < 0), -1, place)

    def vectors(self, of_elements: Floats, *of_nodes: Floats) -> tuple[Floats, Floats]:
        """Two vectors (m,) from those of elements (e, 2, 6), each with its own of nodes (n, 2)."""
        size = self.of_elements.size
        both = np.zeros((size + of_nodes[0].size, 2))
        both[:size] = of_elements.transpose(0, 2, 1).reshape(-1, 2)
        for column, each in enumerate(of_nodes):
            both[size:, column] = each.ravel()
        found = self._sums[0] @ both
        return found[:, 0].copy(), found[:, 1].copy()

    def band(self, of_elements: Floats, of_nodes: Floats) -> Floats:
        """The band (2 b + 1, m) from matrices of elements (e, 6, 6) and nodes (n, 2, 2)."""
        flat = self._sums[1] @ np.concatenate([of_elements.ravel(), of_nodes.ravel()])
        return np.asarray(flat).reshape(-1, self.unknowns)

    def spread(self, vector: Floats) -> Floats:
        """Unknowns (m,) as displacements and rotations of the nodes (n, 3)."""
        padded = np.zeros(len(vector) + 1)
        padded[:-1] = vector
        return padded[self.of_nodes]


@lru_cache(maxsize=16)
def numbering(count: int, full: bool, fixed: tuple[int, ...]) -> Numbering:
    """The numbering of a chain, shared by all rings that have it."""
    return Numbering(count, full, fixed)


def _summing(place: Integers, size: int) -> csr_array:
    """Matrix that sums values by place, leaving out those whose place is -1."""
    (value,) = np.nonzero(place >= 0)
    shape = (size, len(place))
    return csr_array((np.ones(len(value)), (place[value], value)), shape=shape)
