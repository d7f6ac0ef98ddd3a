"""The walls of many pipes of one basis, with thicknesses in mm, for tasks that compare them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.findings import Finding, finding
from linerdesign.methods import engine
from linerdesign.methods.basis import Basis
from linerdesign.methods.engine import Designs
from linerdesign.methods.raised import Raised
from linerdesign.methods.symbols import SYMBOLS, name_of
from linerdesign.project.floors import watch
from linerdesign.project.measures import convert
from linerdesign.project.models import Criteria

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


def in_mm(basis: Basis, thickness: Any) -> Any:
    """A length of the sheet's unit of thickness in mm."""
    return thickness * convert(1.0, SYMBOLS["t"].unit(basis.system), "mm")


def nominal_in_mm(basis: Basis, thickness: Any) -> Any:
    """The same to a billionth of a millimetre: 6.0, not the 6.000000000000001 of a trip through
    inches."""
    return np.round(in_mm(basis, thickness), 9)


@dataclass(frozen=True)
class Walls:
    """One wall a pipe: arrays over the pipes, thicknesses in mm.

    Where `reached` is false, the other numbers of a pipe mean nothing. `raised` are all findings.
    """

    designs: Designs
    raised: tuple[Raised, ...]

    @property
    def basis(self) -> Basis:
        """The choices in words that all the pipes share."""
        return self.designs.basis

    @cached_property
    def required(self) -> Floats:
        """Required thickness at the worst station, before minimum and rounding."""
        return np.asarray(in_mm(self.basis, self.designs.of_pipes("thickest")))

    @cached_property
    def nominal(self) -> Floats:
        """Nominal thickness."""
        return np.asarray(nominal_in_mm(self.basis, self.designs.of_pipes("t")))

    @cached_property
    def diameter(self) -> Floats:
        """Host diameter, the largest of the stations."""
        return np.asarray(in_mm(self.basis, self.designs.array("D").max(axis=1)))

    @cached_property
    def worst(self) -> NDArray[np.int64]:
        """The station that requires the thickest wall; ties: the most frequent."""
        reached = self.designs.array("worst")
        usual = int(np.argmax(reached.sum(axis=0)))
        return np.where(reached[:, usual], usual, np.argmax(reached, axis=1))

    @cached_property
    def governing(self) -> list[str]:
        """The governing equation at the worst station."""
        found = self.designs.array("governing")[np.arange(len(self.worst)), self.worst]
        return [str(each) for each in found]

    @cached_property
    def status(self) -> list[str]:
        """The status of each pipe."""
        return [str(each) for each in self.designs.of_pipes("status_of_pipe")]

    @cached_property
    def passes(self) -> Bools:
        """Whether the wall passes every check at every station."""
        return np.asarray(self.designs.of_pipes("passes_of_pipe"))

    @cached_property
    def short(self) -> Bools:
        """Where no listed thickness is sufficient."""
        return self._of_pipes("no_size")

    @cached_property
    def minimum_governs(self) -> Bools:
        """Where the owner's minimum alone leads to the nominal thickness."""
        return self._of_pipes("minimum_governs")

    def _of_pipes(self, verdict: str) -> Bools:
        if verdict not in self.designs.calculation.verdicts:
            return np.zeros(self.designs.shape[0], bool)
        return np.asarray(self.designs.of_pipes(verdict))

    @cached_property
    def failing(self) -> tuple[tuple[str, Bools], ...]:
        """Each equation, and the pipes whose wall fails it at any station."""
        return tuple(
            (check.equation, np.any(~self.designs.array(f"meets_{check.name}"), axis=1))
            for check in self.designs.calculation.checks
        )

    @cached_property
    def reached(self) -> Bools:
        """Where the inputs lead to a wall: finite, and inside every published table."""
        found = np.array(self.designs.finite)
        for each in self.designs.refusing:
            found &= ~self.designs.array(each.key).any(axis=1)
        return found

    def refusals(self, pipe: int) -> Iterator[tuple[str, Finding]]:
        """Why the inputs of a pipe lead to no wall: the key at fault, if any, and the finding."""
        for each in self.designs.refusing:
            if self.designs.array(each.key)[pipe].any():
                limit = each.limit
                said = finding(limit.code, limit.severity, **dict(limit.numbers))
                yield name_of(limit.refuses), said
        if not self.designs.finite[pipe]:
            yield "", finding("design.not_finite")

    @cached_property
    def notes(self) -> tuple[tuple[Finding, Bools], ...]:
        """Every finding as said of many pipes, and where it holds over (pipe, station)."""
        found: dict[Finding, Bools] = {}
        for each in self.raised:
            where = np.broadcast_to(each.where, self.designs.shape)
            if where.any():
                found[each.of_many] = found.get(each.of_many, False) | where
        return tuple(found.items())


def walls(
    basis: Basis,
    values: Mapping[str, Any],
    criteria: Criteria,
    waivers: frozenset[str] = frozenset(),
) -> Walls:
    """The walls of all pipes of one basis.

    `values` are the inputs by key, in the units of the basis's system: numbers for what all share,
    or arrays with the axes pipe and station.
    """
    designs = engine.design(basis, values, waivers)
    watched = watch(criteria)(designs.values, designs.basis.system)
    return Walls(designs, (*watched, *designs.raised()))
