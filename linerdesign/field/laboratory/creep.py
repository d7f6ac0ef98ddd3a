"""Long-term modulus from a creep test: a straight line in the logarithms of modulus and time.

The method is that of ASTM D2990 as applied to liners: several loads, 10,000 h, least squares of
log modulus on log time, read at 50 years.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_least, at_most
from linerdesign.project.faults import Fault, InputFaults

Floats = NDArray[np.float64]

FIFTY_YEARS = 438_000.0
FULL_TEST = 10_000.0
LEAST_READINGS = 3  # the prediction bound needs one more reading than the line has constants
FEW_READINGS = 8  # common practice, no source
CURVED = 0.05  # two-sided significance of the quadratic term
# Ours, no source: a bend that moves the modulus at design life by less than this is no bend but
# the rounding of the readings, and readings scattered by more than this leave the slope in doubt.
NO_BEND = 0.001
MOST_SCATTER = 0.05

LOWEST = "lowest retention of the load levels"
TOGETHER = "one line through all load levels"


@dataclass(frozen=True, eq=False)
class CreepReadings:
    """Modulus (any one unit) against time (hours) at one load level."""

    level: str
    time: Floats
    modulus: Floats


@dataclass(frozen=True)
class CreepSettings:
    """How a creep test is read; times in hours.

    `t0` is the time whose modulus the retention is a share of. The line rests on readings from
    `fit_from` to `fit_to`; left out, they are t0 and the last reading, so that a change of t0 from
    a minute to an hour also changes the slope. `confidence` is that of the one-sided bound.
    """

    t0: float = 1.0
    life: float = FIFTY_YEARS
    fit_from: float | None = None
    fit_to: float | None = None
    confidence: float = 0.95


@dataclass(frozen=True, eq=False)
class CreepFit:
    """The line of one load level; moduli in the unit of the readings, times in hours.

    `slope` and `intercept` are those of log10 modulus on log10 hours; `residuals` are in log10.
    `bend_at_life` is how far a curve of the second degree lies over the line at `life_hours`, as a
    share. `lower_bound` is the one-sided prediction bound of the modulus at `life_hours`, and
    `retention_bound` the same over `reference_modulus`, the line's modulus at `t0`.
    """

    level: str
    t0: float
    life_hours: float
    confidence: float
    slope: float
    intercept: float
    reference_modulus: float
    modulus_at_life: float
    retention: float
    lower_bound: float
    retention_bound: float
    time: Floats
    modulus: Floats
    residuals: Floats
    residual_deviation: float
    curvature: float | None
    curvature_significance: float | None
    bend_at_life: float
    left_out: int
    cautions: tuple[str, ...] = ()

    @property
    def scatter(self) -> float:
        """Standard deviation of the readings about the line, as a share of the modulus."""
        return float(10**self.residual_deviation - 1)

    def line(self, time: Floats) -> Floats:
        """The line's modulus at times in hours."""
        modulus: Floats = 10 ** (self.intercept + self.slope * np.log10(time))
        return modulus

    def lower_line(self, time: Floats) -> Floats:
        """The lower prediction bound at times in hours."""
        x = np.log10(self.time)
        below = _bound_width(x, self.residual_deviation, np.log10(time), self.confidence)
        modulus: Floats = self.line(time) * 10**-below
        return modulus


@dataclass(frozen=True, eq=False)
class CreepResult:
    """Every load level's line, the one adopted and the rule that chose it."""

    levels: tuple[CreepFit, ...]
    adopted: CreepFit
    rule: str
    cautions: tuple[str, ...] = ()


def fit_creep(
    levels: Sequence[CreepReadings], settings: CreepSettings | None = None, rule: str = LOWEST
) -> CreepResult:
    """Fit each load level and adopt the lowest retention, or one line through all of them.

    Raises:
        InputFaults: where a level, the settings or the rule give no line.
    """
    settings = settings or CreepSettings()
    faults = _faults_of_settings(settings)
    if rule not in (LOWEST, TOGETHER):
        faults.append(Fault("rule", repr(rule), f"{LOWEST!r} or {TOGETHER!r}"))
    if not levels:
        faults.append(Fault("creep test", "no load levels", "one or more"))
    fits: list[CreepFit] = []
    for readings in levels:
        found = _faults_of_readings(readings, settings)
        faults.extend(found)
        if not faults:
            fits.append(_fit(readings, settings))
    if faults:
        raise InputFaults(faults)
    adopted = min(fits, key=lambda fit: fit.retention)
    if rule == TOGETHER and len(levels) > 1:
        time = np.concatenate([readings.time for readings in levels])
        modulus = np.concatenate([readings.modulus for readings in levels])
        adopted = _fit(CreepReadings("all load levels", time, modulus), settings)
    return CreepResult(tuple(fits), adopted, rule, _cautions_between(fits))


def _fit(readings: CreepReadings, settings: CreepSettings) -> CreepFit:
    from scipy.stats import linregress

    inside = _inside(readings, settings)
    order = np.argsort(readings.time[inside], kind="stable")
    time, modulus = readings.time[inside][order], readings.modulus[inside][order]
    x, y = np.log10(time), np.log10(modulus)
    found = linregress(x, y)
    slope, intercept = float(found.slope), float(found.intercept)
    residuals = y - (intercept + slope * x)
    deviation = math.sqrt(float(residuals @ residuals) / (x.size - 2))
    at_life = math.log10(settings.life)
    below = float(_bound_width(x, deviation, np.array(at_life), settings.confidence))
    reference = 10 ** (intercept + slope * math.log10(settings.t0))
    modulus_at_life = 10 ** (intercept + slope * at_life)
    curvature, significance = _curvature(x, y)
    fit = CreepFit(
        level=readings.level,
        t0=settings.t0,
        life_hours=settings.life,
        confidence=settings.confidence,
        slope=slope,
        intercept=intercept,
        reference_modulus=reference,
        modulus_at_life=modulus_at_life,
        retention=modulus_at_life / reference,
        lower_bound=modulus_at_life * 10**-below,
        retention_bound=modulus_at_life * 10**-below / reference,
        time=time,
        modulus=modulus,
        residuals=residuals,
        residual_deviation=deviation,
        curvature=curvature,
        curvature_significance=significance,
        bend_at_life=_bend(x, curvature, at_life),
        left_out=int(readings.time.size - time.size),
    )
    return replace(fit, cautions=_cautions(fit))


def _bound_width(x: Floats, deviation: float, at: Floats, confidence: float) -> Floats:
    """How far, in log10, the bound on one further reading lies below the line."""
    from scipy.stats import t as student

    spread = x - x.mean()
    quantile = float(student.ppf(confidence, x.size - 2))
    leverage = 1 + 1 / x.size + (at - x.mean()) ** 2 / float(spread @ spread)
    width: Floats = quantile * deviation * np.sqrt(leverage)
    return width


def _curvature(x: Floats, y: Floats) -> tuple[float | None, float | None]:
    """The quadratic term of y on x and its two-sided significance; None where it has no test."""
    from scipy.stats import t as student

    freedom = x.size - 3
    if freedom < 1 or np.unique(x).size < 4:
        return None, None
    centred = x - x.mean()
    system = np.column_stack([np.ones(x.size), centred, centred**2])
    term = np.linalg.lstsq(system, y, rcond=None)[0]
    left = y - system @ term
    variance = float(left @ left) / freedom
    error = math.sqrt(variance * float(np.linalg.pinv(system.T @ system)[2, 2]))
    # Constructed data lie on a line to the last bit, where a ratio of two roundings means nothing.
    if error < 1e-12:
        return float(term[2]), 0.0 if abs(term[2]) > 1e-9 else 1.0
    return float(term[2]), float(2 * student.sf(abs(term[2]) / error, freedom))


def _bend(x: Floats, curvature: float | None, at: float) -> float:
    """The curve of least squares over the line of least squares, in the modulus.

    The two differ by the quadratic term less its own line of least squares on x.
    """
    if curvature is None:
        return 0.0
    centred = x - x.mean()
    slope, constant = np.polyfit(centred, centred**2, 1)
    beyond = at - float(x.mean())
    return float(10 ** (curvature * (beyond**2 - slope * beyond - constant)) - 1)


def _cautions(fit: CreepFit) -> tuple[str, ...]:
    last, first, count = float(fit.time[-1]), float(fit.time[0]), fit.time.size
    cautions = []
    if last < FULL_TEST:
        cautions.append(f"the data stop at {last:,.0f} h, short of {FULL_TEST:,.0f} h")
    if last < fit.life_hours:
        decades = math.log10(fit.life_hours / last)
        cautions.append(f"the design life is {decades:.1f} decades of time past the last reading")
    if first > fit.t0 * 1.001:
        cautions.append(
            f"the first reading used is at {first:g} h: the modulus at t0 = {fit.t0:g} h is the "
            "line carried back"
        )
    if count < FEW_READINGS:
        cautions.append(f"the line rests on {count} readings")
    if fit.scatter > MOST_SCATTER:
        cautions.append(
            f"the readings scatter about the line by {100 * fit.scatter:.1f} % (standard "
            f"deviation), over {100 * MOST_SCATTER:g} % (our judgement, no source): the slope is "
            "in doubt"
        )
    significance = fit.curvature_significance
    if significance is not None and significance < CURVED and abs(fit.bend_at_life) > NO_BEND:
        bend = "down: the line overstates" if fit.bend_at_life < 0 else "up: the line understates"
        cautions.append(f"the data curve {bend} the modulus at design life")
    if fit.slope > 0:
        cautions.append(
            "the modulus rises with time, which is no creep: retention over 100 % is for no design"
        )
    return tuple(cautions)


def _cautions_between(fits: Sequence[CreepFit]) -> tuple[str, ...]:
    if len(fits) < 2:
        return ("one load level: nothing shows that the modulus does not depend on the load",)
    high, low = (pick(fits, key=lambda fit: fit.retention) for pick in (max, min))
    # Levels whose bounds exclude one another's line do not share one modulus.
    if low.retention < high.retention_bound or high.retention < low.retention_bound:
        return (
            f"retention runs from {100 * low.retention:.1f} % at {low.level} to "
            f"{100 * high.retention:.1f} % at {high.level}, more than the scatter: the load may "
            "be past the range where modulus does not depend on it",
        )
    return ()


def _inside(readings: CreepReadings, settings: CreepSettings) -> NDArray[np.bool_]:
    start = settings.t0 if settings.fit_from is None else settings.fit_from
    end = math.inf if settings.fit_to is None else settings.fit_to
    # Times converted from minutes may miss a bound by a rounding.
    inside: NDArray[np.bool_] = at_least(readings.time, start) & at_most(readings.time, end)
    return inside


def _faults_of_settings(settings: CreepSettings) -> list[Fault]:
    times = {
        "t0": settings.t0,
        "life": settings.life,
        "fit_from": settings.fit_from,
        "fit_to": settings.fit_to,
    }
    faults = [
        Fault(name, f"{value:g} h", "a finite time above zero")
        for name, value in times.items()
        if value is not None and not (math.isfinite(value) and value > 0)
    ]
    if not 0.5 <= settings.confidence < 1:
        faults.append(Fault("confidence", f"{settings.confidence:g}", "0.5 or more, under 1"))
    if not faults and settings.life <= settings.t0:
        faults.append(Fault("life", f"{settings.life:g} h", f"more than t0 = {settings.t0:g} h"))
    return faults


def _faults_of_readings(readings: CreepReadings, settings: CreepSettings) -> list[Fault]:
    place = f"load level {readings.level}" if readings.level else "creep test"
    time, modulus = readings.time, readings.modulus
    if time.ndim != 1 or time.shape != modulus.shape:
        return [Fault(place, f"{time.size} times, {modulus.size} moduli", "one modulus a time")]
    bad = ~(np.isfinite(time) & (time > 0) & np.isfinite(modulus) & (modulus > 0))
    if bad.any():
        return [
            Fault(
                f"{place}, reading {index + 1}",
                f"{time[index]:g} h, {modulus[index]:g}",
                "a time and a modulus, finite and above zero",
            )
            for index in np.flatnonzero(bad)
        ]
    used = time[_inside(readings, settings)]
    if used.size < LEAST_READINGS:
        expected = f"{LEAST_READINGS} or more for a line with a bound"
        return [Fault(place, f"{used.size} readings in the window of fit", expected)]
    if np.ptp(np.log10(used)) < 1e-6:
        return [Fault(place, f"all readings at {used[0]:g} h", "readings at different times")]
    return []
