"""The one engine: runs the lines of a basis on arrays with the axes pipe and station.

One pipe is a batch of one. Verdicts are worked out when they are first read.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions import tree
from linerdesign.expressions.tracing import Traced
from linerdesign.expressions.tree import Symbol
from linerdesign.findings import Finding
from linerdesign.methods.basis import Basis
from linerdesign.methods.check import Check
from linerdesign.methods.lines import run
from linerdesign.methods.method import (
    checks_of,
    choice_of_thickness,
    constants,
    method_of,
    requirement,
    verification,
)
from linerdesign.methods.raised import Raised
from linerdesign.methods.verdicts import Range, at_station, of_pipe, ranges_of

Array = NDArray[Any]


class Values(dict[str, Any]):
    """Quantities by key, and verdicts, each worked out when it is first read."""

    def __init__(self, known: Mapping[str, Any], trees: Mapping[str, tree.Node]) -> None:
        super().__init__(known)
        self.trees = trees

    def __missing__(self, key: str) -> Any:
        with np.errstate(all="ignore"):
            self[key] = tree.evaluate(self.trees[key], self)
        return self[key]


@dataclass(frozen=True)
class Watched:
    """A finding that follows from the numbers by the verdict of this key."""

    key: str
    raised: Raised

    def is_of(self, note: Finding) -> bool:
        """Whether a note is this finding."""
        about = dict(note.numbers).get("subject")
        return note.code == self.raised.code and about == self.raised.numbers.get("subject")


@dataclass(frozen=True)
class Calculation:
    """What a basis leads to: its checks, the ranges of its equations, and the verdicts.

    `watched` are findings that follow from the numbers, beside those of the ranges.
    """

    basis: Basis
    checks: tuple[Check, ...]
    ranges: tuple[Range, ...]
    at_station: Mapping[str, tree.Node]
    of_pipe: Mapping[str, tree.Node]
    watched: tuple[Watched, ...] = ()

    def watching(self, raised: Iterable[Raised]) -> Calculation:
        """The same with what else is found in the numbers, raised over symbols."""
        found = tuple(Watched(f"watched_{n}", each) for n, each in enumerate(raised))
        if not found:
            return self
        trees = {each.key: each.raised.where.node for each in found}
        at_station = {**self.at_station, **trees}
        return replace(self, at_station=at_station, watched=(*self.watched, *found))

    @property
    def verdicts(self) -> dict[str, tree.Node]:
        """All verdicts by their keys."""
        return {**self.at_station, **self.of_pipe}


@lru_cache(512)
def calculation(basis: Basis, waivers: frozenset[str], known: frozenset[str]) -> Calculation:
    """The calculation of a basis for which the quantities in `known` are stated or computed."""
    ranges = ranges_of(basis, waivers, known)
    watched = [Watched("no_size", _no_size(Traced(Symbol("no_size"))))] if basis.sizes else []
    trees = at_station(basis, ranges), of_pipe(basis)
    return Calculation(basis, checks_of(basis), ranges, *trees, tuple(watched))


def _no_size(where: Any) -> Raised:
    return Raised("design.no_listed_thickness", where, of_pipe=True)


@dataclass(frozen=True)
class Designs:
    """The designs of several pipes of one basis. Thicknesses are in the unit of the sheet.

    `values` holds quantities and verdicts: scalars where all pipes share them, else arrays with
    the axes pipe and station, of `shape`. `quantities` are the keys that are no verdicts.
    """

    calculation: Calculation
    shape: tuple[int, int]
    values: Values
    quantities: tuple[str, ...]

    @property
    def basis(self) -> Basis:
        """The choices in words that all the pipes share."""
        return self.calculation.basis

    def array(self, key: str) -> Array:
        """A quantity or verdict at every station of every pipe."""
        return np.broadcast_to(self.values[key], self.shape)

    def of_pipes(self, key: str) -> Array:
        """A quantity or verdict of the whole pipe, one for each."""
        return self.array(key)[:, 0]

    def coded(self, key: str, words: Sequence[str]) -> Array:
        """A verdict in words of the whole pipe as its number among `words`, one for each pipe."""
        numbers = tree.evaluate(tree.coded(self.calculation.verdicts[key], words), self.values)
        return np.broadcast_to(numbers, self.shape)[:, 0].astype(np.int8)

    @cached_property
    def refusing(self) -> tuple[Range, ...]:
        """The ranges that some pipe leaves, outside which it can't be designed."""
        ranges = (each for each in self.calculation.ranges if each.limit.refuses)
        return tuple(each for each in ranges if np.any(self.values[each.key]))

    @cached_property
    def finite(self) -> Array:
        """Of each pipe, whether its inputs together give a thickness at every station."""
        good = np.ones(self.shape, bool)
        some = np.zeros(self.shape, bool)
        for check in self.calculation.checks:
            applies = self.array(f"applies_{check.name}")
            keys = (check.required, check.demand, check.capacity)
            good &= np.all([np.isfinite(self.array(key)) for key in keys], axis=0) | ~applies
            some |= applies
        return np.asarray(np.all(good & some, axis=1))

    def raised(self) -> Iterable[Raised]:
        """Ranges that are left, and what the method finds in the numbers."""
        for each in self.calculation.ranges:
            if np.any(left := self.values[each.key]):
                limit = each.limit
                numbers = dict(limit.numbers)
                yield Raised(limit.code, left, numbers, limit.severity, key=each.key)
        yield from method_of(self.basis).findings(self.basis, self.values)
        if self.basis.sizes and np.any(self.values["no_size"]):
            yield _no_size(self.values["no_size"])


def design(
    basis: Basis, inputs: Mapping[str, Any], waivers: frozenset[str] = frozenset()
) -> Designs:
    """The designs of pipes of one basis.

    `inputs` are quantities by key, in the units of the basis's system: numbers for what all pipes
    share, or arrays with the axes pipe and station.
    """
    given = {**inputs, **{each.key: each.value for each in constants(basis)}}
    first = run(requirement(basis), given)
    thickest = np.max(np.atleast_1d(first["t_required"]), axis=-1, keepdims=True)
    chosen = run(choice_of_thickness(basis), {**first, "t_required": thickest})
    of_wall = {line.result: chosen[line.result] for line in choice_of_thickness(basis)}
    final = run(verification(basis), {**first, "t": chosen["t"]}) | of_wall
    about = calculation(basis, waivers, frozenset(final))
    return Designs(about, _shape(final.values()), Values(final, about.verdicts), tuple(final))


def _shape(values: Iterable[Any]) -> tuple[int, int]:
    shape = np.broadcast_shapes(*(np.shape(value) for value in values))
    return (*(1,) * (2 - len(shape)), *shape)
