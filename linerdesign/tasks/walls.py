"""Walls of many pipes of one basis on arrays; of several stations, the worst one governs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.methods.equation import Severity
from linerdesign.methods.f1216.basis import Basis
from linerdesign.methods.many import Designs, design_many
from linerdesign.methods.result import CHECKED, FAILS, OUTSIDE, SIZED, Note
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.assembly import notes_on_many, outside_tables
from linerdesign.project.measures import convert
from linerdesign.project.models import Criteria

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Shape = tuple[int, int]


@dataclass(frozen=True)
class Beyond:
    """Where a published table does not reach: `where` over (station, pipe), for the key it serves.

    `expected` says what to give instead.
    """

    key: str
    where: Bools
    expected: str


@dataclass(frozen=True)
class Walls:
    """One wall a pipe: arrays over the pipes, thicknesses in mm.

    `worst` is the station that requires the thickest wall. `required_by` holds, for each equation,
    the thickness that it requires at the worst place for it, 0 where it does not apply. `notes`
    and `beyond` are over (station, pipe). Where `finite` is false, the other numbers of a pipe
    mean nothing. `values` hold every quantity by key, over (station, pipe) or shared by all.
    """

    basis: Basis
    required: Floats
    nominal: Floats
    governing: tuple[str, ...]
    worst: NDArray[np.int64]
    required_by: Mapping[str, Floats]
    passes: Bools
    outside: Bools
    finite: Bools
    notes: tuple[tuple[Note, Bools], ...]
    beyond: tuple[Beyond, ...]
    values: Mapping[str, Any]

    def value(self, key: str) -> Floats:
        """A quantity in the unit of the sheet over (station, pipe)."""
        return np.broadcast_to(self.values[key], np.shape(self.values["D"]))

    @cached_property
    def reached(self) -> Bools:
        """Where the numbers of a pipe mean something: finite, and inside every published table."""
        found = self.finite.copy()
        for each in self.beyond:
            found &= ~each.where.any(axis=0)
        return found

    @cached_property
    def status(self) -> list[str]:
        """The status of each pipe, in the words of `PipeResult`."""
        fine = CHECKED if self.basis.thickness_given else SIZED
        inside = np.where(self.outside, OUTSIDE, fine)
        return np.where(self.passes, inside, FAILS).tolist()


def in_mm(basis: Basis, thickness: Any) -> Any:
    """A thickness of the sheet in mm."""
    return thickness * convert(1.0, SYMBOLS["t"].unit(basis.system), "mm")


def walls(
    basis: Basis,
    values: Mapping[str, Any],
    shape: Shape,
    criteria: Criteria,
    waivers: frozenset[str] = frozenset(),
) -> Walls:
    """The walls of all pipes of one basis.

    `values` are the inputs by key, in the units of the basis's system: numbers for what all share,
    or arrays over (station, pipe) of the `shape`.
    """
    flat = {k: v if np.ndim(v) == 0 else np.ravel(v) for k, v in values.items()}
    flat["D"] = np.broadcast_to(values["D"], shape).ravel()
    alone = design_many(basis, flat, waivers)
    required, nominal = alone.required.reshape(shape), alone.nominal.reshape(shape)
    worst = worst_station(required)
    at_worst = worst, np.arange(shape[1])
    chosen = {"t": nominal[at_worst], "t_required": required[at_worst]}
    lined = alone.values | {key: np.tile(each, shape[0]) for key, each in chosen.items()}
    final = alone
    if shape[0] > 1:
        final = design_many(replace(basis, thickness_given=True), lined, waivers)
    flags = _flags(alone, final, worst, shape)
    flags += tuple(notes_on_many(criteria, basis, lined))
    notes = tuple((note, _over_places(rows, shape)) for note, rows in flags)
    outside = [rows.any(axis=0) for note, rows in notes if note.severity is Severity.OUTSIDE]
    governing = alone.governing.reshape(shape)[at_worst]
    return Walls(
        basis=basis,
        required=in_mm(basis, chosen["t_required"]),
        # Nine decimals of a millimetre: 6.0, not the 6.000000000000001 of a trip through inches.
        nominal=np.round(in_mm(basis, chosen["t"]), 9),
        governing=tuple(alone.equations[each] for each in governing),
        worst=worst,
        required_by=_required_by(alone, basis, shape),
        passes=final.passes.reshape(shape).all(axis=0),
        outside=np.any(outside, axis=0) if outside else np.zeros(shape[1], bool),
        finite=final.finite.reshape(shape).all(axis=0),
        notes=tuple((note, rows) for note, rows in notes if rows.any()),
        beyond=tuple(_beyond(basis, alone, shape)),
        values={k: v if np.ndim(v) == 0 else np.reshape(v, shape) for k, v in lined.items()},
    )


def worst_station(required: Floats) -> NDArray[np.int64]:
    """The station that requires the thickest wall in each pipe; ties: the most frequent."""
    reached = required == required.max(axis=0)
    usual = int(np.argmax(reached.sum(axis=1)))
    return np.where(reached[usual], usual, np.argmax(reached, axis=0))


def _over_places(rows: Any, shape: Shape) -> Bools:
    """A truth of each (station, pipe), also where all share it."""
    return np.broadcast_to(rows, shape[0] * shape[1]).reshape(shape)


def _flags(
    alone: Designs, final: Designs, worst: NDArray[np.int64], shape: Shape
) -> tuple[tuple[Note, Bools], ...]:
    """The limits exceeded; what the choice of the wall exceeds belongs to the worst station."""
    if final is alone:
        return alone.flags
    chose = (np.arange(shape[0])[:, None] == worst).ravel()
    found: dict[Note, Bools] = {}
    for designs, where in ((alone, chose), (final, ~chose)):
        for note, rows in designs.flags:
            found[note] = found.get(note, False) | (rows & where)
    return tuple(found.items())


def _required_by(alone: Designs, basis: Basis, shape: Shape) -> dict[str, Floats]:
    found: dict[str, Floats] = {}
    for equation, thickness in zip(alone.equations, alone.checks, strict=True):
        worst = in_mm(basis, thickness.reshape(shape).max(axis=0))
        found[equation] = np.maximum(found.get(equation, 0.0), worst)
    return found


def _beyond(basis: Basis, alone: Designs, shape: Shape) -> Iterator[Beyond]:
    for key, _, outside, expected in outside_tables(basis, alone.values):
        yield Beyond(key, _over_places(outside, shape), expected)
