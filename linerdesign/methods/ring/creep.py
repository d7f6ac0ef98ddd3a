"""The creep of a wall: a law of the modulus over time, and a chain of Kelvin elements that has it.

Times are in hours, moduli over the modulus at no time. Creep is linear: strains of stresses applied
at different times add up (Boltzmann). Poisson's ratio does not change.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np

from linerdesign.methods.ring.contact import Floats

POWER, FINDLEY, TEST, ONE_TIME = "power law", "Findley", "creep test", "one retardation time"
FIFTY_YEARS = 438_000.0
YEAR = 8760.0
PER_DECADE = 3
FARTHEST = 10.0
"""How far the chain follows the law beyond the design life, as a factor."""

FIT_TOLERANCE = 0.01
"""Greatest difference of the chain's compliance from the law's, as a share."""


@dataclass(frozen=True)
class Law:
    """How a modulus falls under lasting stress.

    `kind` is a word of `LAWS`; `retention` is the modulus at `life` over that at no time. The power
    law and the curve of a test hold from `t0`, before which the modulus is the initial one;
    Findley's law 1/E = (1/E0) (1 + m t^n) has the exponent `exponent`. The `curve` of a test is
    moduli over that at t0 at several times, straight between them in logarithms.
    """

    kind: str = POWER
    retention: float = 0.5
    t0: float = 1.0
    life: float = FIFTY_YEARS
    exponent: float = 0.2
    curve: tuple[tuple[float, float], ...] = ()

    def compliance(self, time: Floats) -> Floats:
        """Strain of a constant stress over that at no time (n,)."""
        return LAWS[self.kind](self, np.asarray(time))


def _power(law: Law, time: Floats) -> Floats:
    slope = math.log(1.0 / law.retention) / math.log(law.life / law.t0)
    return np.asarray(np.maximum(time / law.t0, 1.0) ** slope)


def _findley(law: Law, time: Floats) -> Floats:
    return np.asarray(1.0 + (1.0 / law.retention - 1.0) * (time / law.life) ** law.exponent)


def _one_time(law: Law, time: Floats) -> Floats:
    """A standard linear solid whose time of retardation is `t0`."""
    kept = 1.0 - math.exp(-law.life / law.t0)
    return np.asarray(1.0 + (1.0 / law.retention - 1.0) * -np.expm1(-time / law.t0) / kept)


def _curve(law: Law, time: Floats) -> Floats:
    at, moduli = np.log(np.array(law.curve)).T
    slope = (moduli[-1] - moduli[-2]) / (at[-1] - at[-2])
    logs = np.log(np.maximum(time, law.t0))
    beyond = np.maximum(logs - at[-1], 0.0)
    return np.asarray(np.exp(-np.interp(logs, at, moduli) - slope * beyond))


LAWS: dict[str, Callable[[Law, Floats], Floats]] = {
    POWER: _power,
    FINDLEY: _findley,
    TEST: _curve,
    ONE_TIME: _one_time,
}


@dataclass(frozen=True, eq=False)
class Chain:
    """Kelvin elements in series: compliances (k,) over that at no time, and times (k,) in hours."""

    compliances: Floats
    times: Floats

    def compliance(self, time: Floats) -> Floats:
        """Strain of a constant stress over that at no time (n,)."""
        grown = -np.expm1(-np.asarray(time)[..., None] / self.times)
        return np.asarray(1.0 + grown @ self.compliances)


@lru_cache(maxsize=16)
def chain_of(law: Law) -> Chain:
    """The chain that has this law from t0 to `FARTHEST` times the life.

    Raises:
        ArithmeticError: where it misses the law by more than `FIT_TOLERANCE`.
    """
    if law.kind == ONE_TIME:
        compliance = float(law.compliance(np.array(np.inf))) - 1.0
        return Chain(np.array([compliance]), np.array([law.t0]))
    from scipy.optimize import nnls

    first, last = math.log10(law.t0), math.log10(FARTHEST * law.life)
    times = np.logspace(first - 1.0, last + 1.0, int(PER_DECADE * (last - first + 2.0)) + 1)
    at = np.logspace(first - 2.0, last, 20 * int(last - first + 2.0))
    wanted = law.compliance(at)
    grown = -np.expm1(-at[:, None] / times)
    found, _ = nnls(grown / wanted[:, None], 1.0 - 1.0 / wanted)
    kept = np.flatnonzero(found)
    chain = Chain(found[kept], times[kept])
    reached = np.abs(chain.compliance(at) / wanted - 1.0)[at >= 10.0 * law.t0]
    if reached.max() > FIT_TOLERANCE:
        raise ArithmeticError(f"the chain misses the law by {100 * reached.max():.2g} %")
    return chain


@dataclass
class Memory:
    """What a wall remembers of its stresses: the strains (k, 3, e) of each element of a chain.

    Stresses are strains over the modulus at no time. Over a step they change evenly with time, for
    which the strains are exact.
    """

    chain: Chain
    stress: Floats
    strains: Floats = field(init=False)

    def __post_init__(self) -> None:
        self.strains = np.zeros((len(self.chain.times), *self.stress.shape))

    def before(self, step: float) -> tuple[Floats, float]:
        """The strain that a step brings without a new stress (3, e), and that of a unit of it."""
        kept, of_old, of_new = self._shares(step)
        rest = np.tensordot(kept, self.strains, 1) + of_old.sum() * self.stress
        return rest, float(of_new.sum())

    def after(self, step: float, stress: Floats) -> Memory:
        """The memory after a step to this stress (3, e)."""
        kept, of_old, of_new = (each[:, None, None] for each in self._shares(step))
        found = Memory(self.chain, stress)
        found.strains = kept * self.strains + of_old * self.stress + of_new * stress
        return found

    def _shares(self, step: float) -> tuple[Floats, Floats, Floats]:
        """Shares (k,) of old strains, old stress and new stress in the strains after a step."""
        x = step / self.chain.times
        kept = np.exp(-x)
        mean = -np.expm1(-x) / x
        return kept, self.chain.compliances * (mean - kept), self.chain.compliances * (1.0 - mean)
