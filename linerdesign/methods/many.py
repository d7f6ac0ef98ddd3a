"""Designs many pipes of one basis, each of one station, as arrays of one length."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linerdesign.findings import Finding
from linerdesign.methods import engine
from linerdesign.methods.basis import Basis
from linerdesign.methods.raised import Raised
from linerdesign.methods.verdicts import CHECKED, FAILS, OUTSIDE, SIZED

STATUSES = (SIZED, CHECKED, OUTSIDE, FAILS)
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Designs:
    """The designs of many pipes, arrays of one length; thicknesses in the unit of the sheet.

    `governing` indexes `equations`, `status` the list `STATUSES`. Where `finite` is false the
    inputs, each possible, together give no thickness, and the other numbers mean nothing. `flags`
    tells for each finding which pipes it is about; `checks` holds the thickness that each check
    requires, 0 where it does not apply; `values` every quantity by key, a number where all pipes
    share it.
    """

    required: Floats
    nominal: Floats
    equations: tuple[str, ...]
    governing: NDArray[np.int64]
    checks: Floats
    passes: Bools
    status: NDArray[np.int8]
    finite: Bools
    flags: tuple[tuple[Finding, Bools], ...]
    values: Mapping[str, Any]


def design_many(
    basis: Basis, values: Mapping[str, Any], waivers: frozenset[str] = frozenset()
) -> Designs:
    """The designs of all the pipes of one basis, each of one station.

    `values` are the inputs by key of the symbol table, in the units of the basis's system:
    arrays of one length, or numbers for what all pipes share.
    """
    designs = _designed(basis, values, waivers)
    checks = designs.calculation.checks
    equations = tuple(check.equation for check in checks)
    thicknesses = np.stack([designs.array(check.required)[:, 0] for check in checks])
    applied = np.stack([designs.array(f"applies_{check.name}")[:, 0] for check in checks])
    return Designs(
        required=designs.of_pipes("thickest"),
        nominal=designs.of_pipes("t"),
        equations=equations,
        governing=np.argmax(np.where(applied, thicknesses, -np.inf), axis=0),
        checks=thicknesses,
        passes=designs.of_pipes("passes"),
        status=designs.coded("status_of_pipe", STATUSES),
        finite=designs.finite,
        flags=tuple(flags(designs.raised(), designs.shape)),
        values={key: _flat(designs.values[key]) for key in designs.quantities},
    )


def nominal_many(basis: Basis, values: Mapping[str, Any]) -> Floats:
    """The nominal thicknesses of `design_many` alone, in the unit of the sheet."""
    return _designed(basis, values).of_pipes("t")


def _designed(
    basis: Basis, values: Mapping[str, Any], waivers: frozenset[str] = frozenset()
) -> engine.Designs:
    return engine.design(basis, {key: _upright(each) for key, each in values.items()}, waivers)


def flags(raised: Iterable[Raised], shape: tuple[int, ...]) -> Iterable[tuple[Finding, Bools]]:
    """Each finding as said of an inventory, once, and the pipes that it is about."""
    found: dict[Finding, Bools] = {}
    for each in raised:
        where = np.broadcast_to(each.where, shape)[:, 0]
        if where.any():
            said = each.of_many
            found[said] = found[said] | where if said in found else where
    return found.items()


def _upright(value: Any) -> Any:
    """Numbers of many pipes on the axis of the pipes, with one station each."""
    return np.asarray(value)[:, None] if np.ndim(value) == 1 else value


def _flat(value: Any) -> Any:
    return value[:, 0] if np.ndim(value) == 2 else np.asarray(value)[()]
