"""Designs many pipes of one basis at once, on arrays, through the lines of the single pipe."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions import tree
from linerdesign.expressions.tolerance import at_most, under
from linerdesign.methods.equation import Severity
from linerdesign.methods.f1216.basis import (
    Basis,
    checks_of,
    choice_of_thickness,
    requirement,
    verification,
)
from linerdesign.methods.lines import Line, run
from linerdesign.methods.result import Note
from linerdesign.methods.sizing import NO_SIZE, constants

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Designs:
    """The designs of many pipes, arrays of one length; thicknesses in the sheet's unit.

    `governing` indexes `equations`. Where `finite` is false the inputs, each possible, give no
    thickness together, and the other numbers mean nothing. `flags` tells for each note which
    pipes it is about; `checks` holds the thickness each check requires, 0 where it asks nothing;
    `values` every quantity by key, a number where all pipes share it.
    """

    required: Floats
    nominal: Floats
    equations: tuple[str, ...]
    governing: NDArray[np.int64]
    checks: Floats
    passes: Bools
    finite: Bools
    flags: tuple[tuple[Note, Bools], ...]
    values: Mapping[str, Any]


def design_many(
    basis: Basis, values: Mapping[str, Any], waivers: frozenset[str] = frozenset()
) -> Designs:
    """The designs of all the pipes of one basis, each of one station.

    `values` are the inputs by key of the symbol table, in the units of the basis's system:
    arrays of one length, or numbers for what all pipes share.
    """
    count = max((np.size(value) for value in values.values()), default=1)
    given = {**values, **{each.key: each.value for each in constants(basis)}}
    known = run(_lines(basis), given)
    checks = checks_of(basis)
    applied = [_spread(check.applies(known), count) for check in checks]
    thicknesses = np.stack([_spread(known[check.required], count) for check in checks])
    passes, finite = np.ones(count, bool), np.any(applied, axis=0)
    for check, applies in zip(checks, applied, strict=True):
        demand, capacity = known[check.demand], known[check.capacity]
        passes &= at_most(demand, capacity) | ~applies
        numbers = np.isfinite(demand) & np.isfinite(capacity) & np.isfinite(known[check.required])
        finite &= numbers | ~applies
    return Designs(
        required=_spread(known["t_required"], count),
        nominal=_spread(known["t"], count),
        equations=tuple(check.equation for check in checks),
        governing=np.argmax(np.where(np.stack(applied), thicknesses, -1.0), axis=0),
        checks=thicknesses,
        passes=passes,
        finite=finite,
        flags=tuple(_flags(basis, known, waivers, count)) + _shortage(basis, known, count),
        values=known,
    )


@lru_cache(256)
def _lines(basis: Basis) -> tuple[Line, ...]:
    """All the lines of a basis, kept from one piece of an inventory to the next."""
    return (*requirement(basis), *choice_of_thickness(basis), *verification(basis))


def _spread(value: Any, count: int) -> Any:
    """A value for every pipe, also where all share it."""
    return np.broadcast_to(value, (count,))


def _flags(
    basis: Basis, known: Mapping[str, Any], waivers: frozenset[str], count: int
) -> Iterable[tuple[Note, Bools]]:
    """Every limit of every line that some pipe leaves, each text once."""
    found: dict[Note, Bools] = {}
    for each in _lines(basis):
        for limit in each.equation.limits_in(basis.system):
            condition = each.condition_tree(limit.holds)
            if limit.waived_by in waivers or not set(tree.symbols(condition)) <= known.keys():
                continue
            left = _spread(~np.asarray(tree.evaluate(condition, known)), count)
            left = left & each.applies(known)
            if left.any():
                note = Note(limit.severity, limit.text)
                found[note] = found[note] | left if note in found else left
    return found.items()


def _shortage(basis: Basis, known: Mapping[str, Any], count: int) -> tuple[tuple[Note, Bools], ...]:
    if basis.sizes is None:
        return ()
    left = _spread(under(known["t"], known["t_least"]), count)
    return ((Note(Severity.CAUTION, NO_SIZE), left),) if left.any() else ()
