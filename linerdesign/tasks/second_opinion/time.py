"""How a designed pipe takes its design pressure over its life, by the creep of its resin."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from linerdesign.findings import Finding, Severity, finding
from linerdesign.methods.ring.creep import FARTHEST, YEAR, Law
from linerdesign.methods.ring.lasting import Lasting, held, lasting_pressure
from linerdesign.methods.ring.path import NoEquilibriumError
from linerdesign.methods.ring.solving import Solution

LEAST_CREEP = 0.999
"""Retention over which a wall does not creep."""


@dataclass(frozen=True)
class Creeping:
    """How creep is to be taken: the law, what the gap gains over the life (a share of D/2), and
    whether the pressure carried for the whole life is sought.

    The `retention` of a law that is not of a test is that of the design.
    """

    law: Law = field(default_factory=Law)
    growth: float = 0.0
    search: bool = False


@dataclass(frozen=True)
class InTime:
    """A wall under its lasting design pressure P, and under N times it.

    Times are in years; `collapse` and `collapse_n` are None where the wall holds for `beyond`.
    `pressure` is the one over E* that is carried for the life, None if not sought.
    """

    law: Law
    growth: float
    collapse: float | None
    collapse_n: float | None
    pressure: float | None

    @property
    def life(self) -> float:
        """The design life in years."""
        return self.law.life / YEAR

    @property
    def beyond(self) -> float:
        """How long the wall is followed, in years."""
        return FARTHEST * self.life


def in_time(
    known: Solution, creeping: Creeping, retention: float, pressure: float, safety: float
) -> tuple[InTime | None, Finding | None]:
    """What lasting pressure does to the liner of `known`, or why there is no number.

    `pressure` is the design pressure over E* of the long-term modulus, `retention` that modulus
    over the initial one.
    """
    law = creeping.law
    law = law if law.curve else replace(law, retention=retention)
    if pressure <= 0.0:
        return None, None
    if law.retention >= LEAST_CREEP:
        return None, finding("ring.no_creep", Severity.OUTSIDE)
    initial = pressure * retention
    try:
        safe = held(known, safety * initial, law, None, creeping.growth)
        # A wall that holds under N P holds under P.
        found = held(known, initial, law, None, creeping.growth) if safe.collapse else safe
        carried = lasting_pressure(known, law, creeping.growth) if creeping.search else None
    except (NoEquilibriumError, ArithmeticError):
        return None, finding("ring.no_time", Severity.OUTSIDE)
    return InTime(
        law=law,
        growth=creeping.growth,
        collapse=_years(found),
        collapse_n=_years(safe),
        pressure=carried / retention if carried else None,
    ), None


def _years(found: Lasting) -> float | None:
    return None if found.collapse is None else found.collapse / YEAR
