"""Models of log modulus against log time: power law, Findley's and a power law with a knee.

Every model gives log10 of the modulus for log10 of the time in hours; the logarithms of the time
are `x`, those of the modulus `y`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

POWER, FINDLEY, KNEE = "power law", "Findley", "power law with a knee"
# Residuals under this, in log10, are the rounding of printed readings and tell no model from
# another; ours, no source.
ROUNDING = 1e-6
SEGMENT = 3  # readings at different times on each side of a knee
PLACES = 24  # where a knee is looked for before it is refined
LN10 = math.log(10)


class Curve(Protocol):
    """A model with its parameters found."""

    @property
    def name(self) -> str:
        """Name of the model."""

    @property
    def count(self) -> int:
        """How many parameters were found from the readings."""

    def at(self, x: Floats) -> Floats:
        """log10 of the modulus."""

    def slope(self, x: float) -> float:
        """Slope of log modulus on log time."""

    def gradient(self, x: Floats) -> Floats:
        """Derivatives by the parameters, one column each: what makes the model linear near them."""


@dataclass(frozen=True)
class Power:
    """A straight line: y = a + b x."""

    a: float
    b: float
    name = POWER
    count = 2

    def at(self, x: Floats) -> Floats:
        """log10 of the modulus."""
        return self.a + self.b * x

    def slope(self, x: float) -> float:
        """The slope, the same everywhere."""
        return self.b

    def gradient(self, x: Floats) -> Floats:
        """Derivatives by a and b."""
        return np.column_stack([np.ones_like(x), x])


@dataclass(frozen=True)
class Knee:
    """Two straight lines that meet at x = k: y = a + b x + c max(x - k, 0)."""

    a: float
    b: float
    c: float
    k: float
    name = KNEE
    count = 4

    def at(self, x: Floats) -> Floats:
        """log10 of the modulus."""
        return self.a + self.b * x + self.c * np.maximum(x - self.k, 0)

    def slope(self, x: float) -> float:
        """The slope of the segment that x lies on."""
        return self.b + (self.c if x > self.k else 0.0)

    def gradient(self, x: Floats) -> Floats:
        """Derivatives by a, b, c and k."""
        past = x > self.k
        return np.column_stack([np.ones_like(x), x, np.maximum(x - self.k, 0), -self.c * past])


@dataclass(frozen=True)
class Findley:
    """Findley's law of creep at one stress: 1/E = 10^p + 10^m t^n, time t in hours."""

    p: float
    m: float
    n: float
    name = FINDLEY
    count = 3

    def _share(self, x: Floats) -> Floats:
        """The share of the compliance that grows with time."""
        return 1 / (1 + 10 ** (self.p - self.m - self.n * x))

    def at(self, x: Floats) -> Floats:
        """log10 of the modulus."""
        return -np.logaddexp(self.p * LN10, (self.m + self.n * x) * LN10) / LN10

    def slope(self, x: float) -> float:
        """The slope, that grows with time to -n."""
        return float(-self.n * self._share(np.array(x)))

    def gradient(self, x: Floats) -> Floats:
        """Derivatives by p, m and n."""
        share = self._share(x)
        return -np.column_stack([1 - share, share, share * x])


@dataclass(frozen=True)
class Fitted:
    """A curve on its readings; `criterion` is the corrected information criterion of Akaike.

    It is infinite where the readings are too few for one.
    """

    curve: Curve
    squares: float
    criterion: float


def fitted(curve: Curve, x: Floats, y: Floats) -> Fitted:
    """The curve with its sum of squares and its criterion; the smaller criterion is the better."""
    left = y - curve.at(x)
    squares = float(left @ left)
    n, k = x.size, curve.count + 1  # the deviation counts as a parameter
    error = max(squares / n, ROUNDING**2)
    if n <= k + 1:
        return Fitted(curve, squares, math.inf)
    return Fitted(curve, squares, n * math.log(error) + 2 * k + 2 * k * (k + 1) / (n - k - 1))


def power_law(x: Floats, y: Floats) -> Power:
    """The straight line of least squares."""
    from scipy.stats import linregress

    found = linregress(x, y)
    return Power(float(found.intercept), float(found.slope))


def curves(x: Floats, y: Floats) -> Iterator[Curve]:
    """The models with a curvature, as far as there are readings enough for each."""
    if x.size >= Findley.count + 3 and (found := _findley(x, y)):
        yield found
    if x.size >= Knee.count + 3 and (knee := _knee(x, y)):
        yield knee


def _knee(x: Floats, y: Floats) -> Knee | None:
    """The downward knee of least squares, with readings enough on both sides of it.

    An upward knee would give more than the straight line and is never used; a search for it too
    would hide a fall in the last readings behind a steep beginning.
    """
    from scipy.optimize import minimize_scalar

    times = np.unique(x)
    if times.size < 2 * SEGMENT:
        return None
    first, last = times[SEGMENT - 1], times[-SEGMENT]
    upward = float(y @ y)  # no line of least squares leaves more

    def lines(k: float) -> tuple[Knee, float]:
        terms = np.column_stack([np.ones_like(x), x, np.maximum(x - k, 0)])
        found = np.linalg.lstsq(terms, y)[0]
        left = y - terms @ found
        a, b, c = map(float, found)
        return Knee(a, b, c, k), float(left @ left) if c < 0 else upward

    places = np.linspace(first, last, PLACES)
    best = int(np.argmin([lines(float(k))[1] for k in places]))
    low, high = places[max(best - 1, 0)], places[min(best + 1, PLACES - 1)]
    refined = minimize_scalar(lambda k: lines(k)[1], bounds=(low, high), method="bounded")
    candidates = (lines(float(refined.x)), lines(float(places[best])))
    knee, squares = min(candidates, key=lambda each: each[1])
    return knee if squares < upward else None


def _findley(x: Floats, y: Floats) -> Findley | None:
    """Findley's law of least squares, from several starts."""
    from scipy.optimize import least_squares

    def left(parameters: Floats) -> Floats:
        return Findley(*parameters).at(x) - y

    def gradient(parameters: Floats) -> Floats:
        return Findley(*parameters).gradient(x)

    best = None
    for exponent in (0.1, 0.4):
        level = -float(y[0])
        start = (level, level - 1 - exponent * float(x[-1]) / 2, exponent)
        bounds = ([-20, -30, 1e-3], [20, 20, 1.5])
        found = least_squares(left, start, gradient, bounds, max_nfev=200)
        if found.success and (best is None or found.cost < best.cost):
            best = found
    return Findley(*map(float, best.x)) if best is not None else None


def by_specimen(specimens: tuple[str, ...]) -> bool:
    """Whether there are specimens enough for a bound on a further one."""
    return len(set(specimens)) > 1


def bound_width(
    curve: Curve, x: Floats, y: Floats, specimens: tuple[str, ...], at: Floats, confidence: float
) -> Floats:
    """How far, in log10, the one-sided prediction bound lies below the curve.

    With several specimens it is the bound on a further specimen, by a mixed model with a random
    level for each; with one, that on a further reading of it.
    """
    terms, further = curve.gradient(x), curve.gradient(at)
    if by_specimen(specimens):
        return _by_specimen(terms, y - curve.at(x), specimens, further, confidence)
    from statsmodels.regression.linear_model import OLS

    found = OLS(y - curve.at(x), terms).fit()
    predicted = found.get_prediction(further)
    interval = predicted.conf_int(obs=True, alpha=2 * (1 - confidence))
    width: Floats = predicted.predicted_mean - interval[:, 0]
    return width


def _by_specimen(
    terms: Floats, left: Floats, specimens: tuple[str, ...], further: Floats, confidence: float
) -> Floats:
    """The bound by a mixed model: variances of the fit, between specimens and of readings."""
    import warnings

    from scipy.stats import t as student
    from statsmodels.regression.mixed_linear_model import MixedLM

    # The levels are small numbers: in units of their own deviation the search converges.
    scale = max(float(left.std()), ROUNDING)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = MixedLM(left / scale, terms, groups=np.array(specimens)).fit(reml=True)
    between, within = float(np.asarray(found.cov_re)[0, 0]), float(found.scale)
    covariance = _covariance(terms, specimens, between, within)
    fit = np.einsum("ij,jk,ik->i", further, covariance, further)
    variance = fit + between + within
    width: Floats = scale * student.ppf(confidence, len(set(specimens)) - 1) * np.sqrt(variance)
    return width


def _covariance(terms: Floats, specimens: tuple[str, ...], between: float, within: float) -> Floats:
    """The covariance of the constants of a curve by generalized least squares.

    The library has it from second derivatives by all parameters at once, which are no variances
    where specimens differ hardly at all.
    """
    names, of = np.unique(np.array(specimens), return_inverse=True)
    sums = np.zeros((names.size, terms.shape[1]))
    np.add.at(sums, of, terms)
    counts = np.bincount(of)
    shared = between / (within + counts * between) if between > 0 else np.zeros(names.size)
    found = np.linalg.inv(terms.T @ terms - (sums.T * shared) @ sums)
    return np.asarray(within * found, dtype=np.float64)
