"""Long-term modulus from a creep test, or long-term strength from a creep rupture test.

The method is that of ASTM D2990 as applied to liners: several loads, 10,000 h, least squares of
log modulus on log time, read at 50 years. A line that the readings leave is not used: Findley's law
and a power law with a knee are fitted beside it and compared by an information criterion.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from linerdesign.expressions.tolerance import at_least, at_most
from linerdesign.field.laboratory.creep_models import (
    POWER,
    Curve,
    Fitted,
    Floats,
    bound_width,
    by_specimen,
    curves,
    fitted,
    power_law,
)
from linerdesign.findings import Finding, finding
from linerdesign.project.faults import Fault, Faults, InputFaults, fault, shown
from linerdesign.words import sentence

FIFTY_YEARS = 438_000.0
LONGEST = 1e7  # hours, about a thousand years; beyond it a unit is wrong
FULL_TEST = 10_000.0
FARTHEST = 2.0  # decades of time beyond the last reading
LEAST_READINGS = 3  # the prediction bound needs one more reading than the line has constants
LATE_READINGS = 4
FEW_READINGS = 8  # common practice, no source
# Two-sided significance of a curve that is said, and of one by which the line is refused.
CURVED = 0.05
REFUSED = 0.01
BETTER = 2.0  # by how much the criterion of a better model is the smaller, as is usual
# Ours, no source: a bend that moves the modulus at design life by less than this is the rounding of
# the readings, and readings scattered by more than this leave the slope uncertain.
NO_BEND = 0.001
MOST_SCATTER = 0.05
SAME_TIME = 0.01  # share by which a reading may miss t0

CREEP, RING, RUPTURE = "creep", "ring", "rupture"
LOWEST = "lowest retention of the load levels"
TOGETHER = "one line through all load levels"


@dataclass(frozen=True, eq=False)
class CreepReadings:
    """Modulus (any one unit) against time (hours) at one load level, with the specimen of each.

    `test` is `creep`, `ring` (creep of a ring, the modulus by its stiffness) or `rupture`, where
    the stress at failure takes the place of the modulus. `ring` is the ring stiffness over the
    modulus, I/d^3, the mean of the rings; None for another test.
    """

    level: str
    time: Floats
    modulus: Floats
    specimens: tuple[str, ...] = ()
    test: str = CREEP
    ring: float | None = None
    place: str = ""

    @property
    def where(self) -> str:
        """How a fault names them."""
        named = f"load level {self.level}" if self.level else "creep test"
        return f"{self.place}, {named}" if self.place else named


@dataclass(frozen=True)
class CreepSettings:
    """How a creep test is read; times in hours.

    `t0` is the time whose modulus the retention is a share of. The fit uses readings from
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
    """The fit of one load level; moduli in the unit of the readings, times in hours.

    `models` are all that were fitted, the smallest criterion first; `adopted` is the one used.
    `slope` is that of log modulus on log time at `life_hours`; `residuals` are in log10.
    `bend_at_life` is how far a curve of the second degree lies above the straight line at
    `life_hours`, as a share. `reference_modulus` is that at `t0`: measured where the fit begins
    later, else of the model. `first` is the time of the first reading of all and the mean modulus
    there; `ring` as in the readings.
    """

    level: str
    test: str
    t0: float
    life_hours: float
    confidence: float
    adopted: Fitted
    models: tuple[Fitted, ...]
    reference_modulus: float
    reference_measured: bool
    time: Floats
    modulus: Floats
    specimens: tuple[str, ...]
    curvature: float | None
    curvature_significance: float | None
    bend_at_life: float
    left_out: int
    first: tuple[float, float]
    ring: float | None = None
    cautions: tuple[Finding, ...] = ()

    @property
    def curve(self) -> Curve:
        """The model adopted."""
        return self.adopted.curve

    @property
    def slope(self) -> float:
        """Slope of log modulus on log time at the design life."""
        return self.curve.slope(math.log10(self.life_hours))

    @property
    def modulus_at_life(self) -> float:
        """The model's modulus at the design life."""
        return float(self.line(np.array(self.life_hours)))

    @cached_property
    def lower_bound(self) -> float:
        """The one-sided prediction bound at the design life."""
        return float(self.lower_line(np.array(self.life_hours))[0])

    @property
    def retention(self) -> float:
        """Modulus at the design life over that at t0."""
        return self.modulus_at_life / self.reference_modulus

    @property
    def retention_bound(self) -> float:
        """Lower bound at the design life over the modulus at t0."""
        return self.lower_bound / self.reference_modulus

    @property
    def residuals(self) -> Floats:
        """log10 of the readings less that of the model."""
        left: Floats = np.log10(self.modulus) - self.curve.at(np.log10(self.time))
        return left

    @property
    def residual_deviation(self) -> float:
        """Standard deviation of the residuals, in log10."""
        freedom = max(self.time.size - self.curve.count, 1)
        return math.sqrt(self.adopted.squares / freedom)

    @property
    def scatter(self) -> float:
        """Standard deviation of the readings about the model, as a share of the modulus."""
        return float(10**self.residual_deviation - 1)

    @property
    def decades_beyond(self) -> float:
        """Decades of time from the last reading to the design life; none below zero."""
        return max(0.0, math.log10(self.life_hours / float(self.time[-1])))

    @property
    def by_specimen(self) -> bool:
        """Whether the bound is on a further specimen, and not on a further reading."""
        return by_specimen(self.specimens)

    def line(self, time: Floats) -> Floats:
        """The model's modulus at times in hours."""
        modulus: Floats = 10 ** self.curve.at(np.log10(time))
        return modulus

    def lower_line(self, time: Floats) -> Floats:
        """The lower prediction bound at times in hours."""
        x, y = np.log10(self.time), np.log10(self.modulus)
        at = np.log10(np.atleast_1d(time))
        below = bound_width(self.curve, x, y, self.specimens, at, self.confidence)
        modulus: Floats = self.line(np.atleast_1d(time)) * 10**-below
        return modulus


@dataclass(frozen=True, eq=False)
class CreepResult:
    """The fit of every load level, the one adopted and the rule that chose it."""

    levels: tuple[CreepFit, ...]
    adopted: CreepFit
    rule: str
    cautions: tuple[Finding, ...] = ()


def fit_creep(
    levels: Sequence[CreepReadings], settings: CreepSettings | None = None, rule: str = LOWEST
) -> CreepResult:
    """Fit each load level and adopt the lowest retention, or one fit through all of them.

    Raises:
        InputFaults: where a level, the settings or the rule give no fit, or readings curve down
            and are too few to model it.
    """
    settings = settings or CreepSettings()
    faults = Faults(of_settings := faults_of_settings(settings))
    if rule not in (LOWEST, TOGETHER):
        known = " or ".join(map(shown, (LOWEST, TOGETHER)))
        faults.append(fault("argument", "rule", shown(rule), known=known))
    if not levels:
        faults.append(fault("measured.no_levels", "creep test"))
    fits: list[CreepFit] = []
    for readings in () if of_settings else levels:
        found = _faults_of_readings(readings, settings)
        faults.extend(found)
        if not found and (fit := faults.of(_fit, readings, settings)):
            fits.append(fit)
    if faults:
        raise InputFaults(faults)
    adopted = min(fits, key=lambda fit: fit.retention)
    if rule == TOGETHER and len(levels) > 1:
        adopted = _fit(_together(levels), settings)
    return CreepResult(tuple(fits), adopted, rule, tuple(_cautions_between(fits)))


def _together(levels: Sequence[CreepReadings]) -> CreepReadings:
    """All load levels as one; specimens of different levels stay apart."""
    rings = [np.full(each.time.size, each.ring) for each in levels if each.ring is not None]
    return CreepReadings(
        "all load levels",
        np.concatenate([each.time for each in levels]),
        np.concatenate([each.modulus for each in levels]),
        tuple(f"{each.level} {one}" for each in levels for one in each.specimens),
        levels[0].test,
        float(np.concatenate(rings).mean()) if rings else None,
    )


def _fit(readings: CreepReadings, settings: CreepSettings) -> CreepFit:
    inside = _inside(readings, settings)
    order = np.flatnonzero(inside)[np.argsort(readings.time[inside], kind="stable")]
    time, modulus = readings.time[order], readings.modulus[order]
    specimens = tuple(readings.specimens[i] for i in order) if readings.specimens else ()
    x, y = np.log10(time), np.log10(modulus)
    at_life = math.log10(settings.life)
    curvature, significance = _curvature(x, y)
    bend = _bend(x, y, curvature, at_life)
    straight = fitted(power_law(x, y), x, y)
    others = [fitted(curve, x, y) for curve in curves(x, y)]
    curved = significance is not None and significance < REFUSED and bend < -NO_BEND
    curved = curved or _falls_late(x, y, straight.curve.slope(at_life))
    adopted = _adopted(straight, others, curved, at_life)
    if adopted is None:
        raise InputFaults([fault("measured.curve_down", readings.where, count=x.size)])
    measured = _measured_at(readings, settings.t0) if float(time[0]) > settings.t0 else None
    fit = CreepFit(
        level=readings.level,
        test=readings.test,
        t0=settings.t0,
        life_hours=settings.life,
        confidence=settings.confidence,
        adopted=adopted,
        models=tuple(sorted((straight, *others), key=lambda each: each.criterion)),
        reference_modulus=measured or float(10 ** adopted.curve.at(np.log10(settings.t0))),
        reference_measured=measured is not None,
        time=time,
        modulus=modulus,
        specimens=specimens,
        curvature=curvature,
        curvature_significance=significance,
        bend_at_life=bend,
        left_out=int(readings.time.size - time.size),
        first=_first(readings),
        ring=readings.ring,
    )
    return replace(fit, cautions=tuple(_cautions(fit)))


def _adopted(straight: Fitted, others: list[Fitted], curved: bool, at_life: float) -> Fitted | None:
    """The model to use; None where the line is refused and no other is lower.

    The line is used unless it is refused, by a curve down or by a better model that gives less at
    the design life.
    """
    at = np.array(at_life)
    line = float(straight.curve.at(at))
    lower = [each for each in others if each.curve.at(at) < line + math.log10(1 - NO_BEND)]
    better = any(each.criterion < straight.criterion - BETTER for each in lower)
    if curved or better:
        return min(lower, key=lambda each: each.criterion, default=None)
    return straight


def _falls_late(x: Floats, y: Floats, slope: float) -> bool:
    """Whether the last decade of the readings falls significantly more steeply than the line."""
    from scipy.stats import linregress
    from scipy.stats import t as student

    last = x >= x[-1] - 1
    if last.sum() < LATE_READINGS or np.ptp(x[last]) == 0:
        return False
    found = linregress(x[last], y[last])
    quantile = student.ppf(1 - REFUSED / 2, last.sum() - 2)
    # Over the decade itself, less than the rounding of the readings is no fall.
    return bool(found.slope + quantile * found.stderr < slope + math.log10(1 - NO_BEND))


def _first(readings: CreepReadings) -> tuple[float, float]:
    """The time of the first reading, and the mean modulus of all at that time."""
    first = float(readings.time.min())
    return first, float(readings.modulus[_at(readings, first)].mean())


def _measured_at(readings: CreepReadings, t0: float) -> float | None:
    """The mean of the readings at t0; None without one."""
    there = _at(readings, t0)
    return float(readings.modulus[there].mean()) if there.any() else None


def _at(readings: CreepReadings, time: float) -> NDArray[np.bool_]:
    there: NDArray[np.bool_] = np.abs(readings.time - time) <= SAME_TIME * time
    return there


def _curvature(x: Floats, y: Floats) -> tuple[float | None, float | None]:
    """The quadratic term of y on x and its two-sided significance; None where it has no test."""
    from statsmodels.regression.linear_model import OLS

    if x.size < 4 or np.unique(x).size < 4:
        return None, None
    centred = x - x.mean()
    found = OLS(y, np.column_stack([np.ones(x.size), centred, centred**2])).fit()
    term, error = float(found.params[2]), float(found.bse[2])
    # Constructed data lie on a line to the last bit, where a ratio of two roundings means nothing.
    if error < 1e-12:
        return term, 0.0 if abs(term) > 1e-9 else 1.0
    return term, float(found.pvalues[2])


def _bend(x: Floats, y: Floats, curvature: float | None, at: float) -> float:
    """The parabola of least squares over the line of least squares, in the modulus at `at`."""
    if curvature is None:
        return 0.0
    parabola, line = (np.polynomial.Polynomial.fit(x, y, degree) for degree in (2, 1))
    return float(10 ** (parabola(at) - line(at)) - 1)


def _cautions(fit: CreepFit) -> Iterator[Finding]:
    last, first, count = float(fit.time[-1]), float(fit.time[0]), fit.time.size
    if last < FULL_TEST:
        yield finding("field.short_test", last=last, full=FULL_TEST)
    if fit.decades_beyond > FARTHEST:
        yield finding("field.far_beyond", decades=fit.decades_beyond, most=FARTHEST)
    elif fit.decades_beyond > 0:
        yield finding("field.beyond", decades=fit.decades_beyond)
    if first > fit.t0 * 1.001:
        code = "t0_measured" if fit.reference_measured else "t0_carried_back"
        what = sentence(f"field.property_read_{fit.test}")
        yield finding(f"field.{code}", first=first, t0=fit.t0, what=what)
    if count < FEW_READINGS:
        yield finding("field.few_readings", count=count)
    if fit.scatter > MOST_SCATTER:
        yield finding("field.scatter", scatter=100 * fit.scatter, most=100 * MOST_SCATTER)
    yield from _cautions_of_curve(fit)
    if fit.slope > 0:
        yield finding("field.rising")


def _cautions_of_curve(fit: CreepFit) -> Iterator[Finding]:
    straight = next(each for each in fit.models if each.curve.name == POWER)
    if fit.curve.name != POWER:
        line = float(10 ** straight.curve.at(np.log10(fit.life_hours)))
        over = 100 * (line / fit.modulus_at_life - 1)
        yield finding("field.curve_down", model=fit.curve.name, over=over)
        return
    significance = fit.curvature_significance
    if significance is not None and significance < CURVED and abs(fit.bend_at_life) > NO_BEND:
        yield finding("field.curve_up" if fit.bend_at_life > 0 else "field.may_curve_down")


def _cautions_between(fits: Sequence[CreepFit]) -> Iterator[Finding]:
    if fits[0].test == RUPTURE:
        return
    if len(fits) < 2:
        yield finding("field.one_level")
        return
    high, low = (pick(fits, key=lambda fit: fit.retention) for pick in (max, min))
    # Levels whose bounds exclude one another's line do not share one modulus.
    if low.retention < high.retention_bound or high.retention < low.retention_bound:
        yield finding(
            "field.levels_differ",
            low=100 * low.retention,
            at_low=low.level,
            high=100 * high.retention,
            at_high=high.level,
        )


def _inside(readings: CreepReadings, settings: CreepSettings) -> NDArray[np.bool_]:
    start = settings.t0 if settings.fit_from is None else settings.fit_from
    end = math.inf if settings.fit_to is None else settings.fit_to
    # Times converted from minutes may miss a bound by a rounding.
    inside: NDArray[np.bool_] = at_least(readings.time, start) & at_most(readings.time, end)
    return inside


def faults_of_settings(settings: CreepSettings) -> list[Fault]:
    """Times that can't be, and a design life that ends before it begins."""
    times = {
        "t0": settings.t0,
        "life": settings.life,
        "fit_from": settings.fit_from,
        "fit_to": settings.fit_to,
    }
    faults = [
        fault("measured.time", name, f"{value:g} h", most=LONGEST)
        for name, value in times.items()
        if value is not None and not 0 < value <= LONGEST
    ]
    if not 0.5 <= settings.confidence < 1:
        faults.append(fault("measured.confidence", "confidence", f"{settings.confidence:g}"))
    if not faults and settings.life <= settings.t0:
        faults.append(fault("measured.life", "life", f"{settings.life:g} h", t0=f"{settings.t0:g}"))
    return faults


def _faults_of_readings(readings: CreepReadings, settings: CreepSettings) -> list[Fault]:
    place = readings.where
    time, modulus = readings.time, readings.modulus
    if time.ndim != 1 or time.shape != modulus.shape:
        return [fault("measured.moduli", place, times=time.size, moduli=modulus.size)]
    bad = ~(np.isfinite(time) & (time > 0) & np.isfinite(modulus) & (modulus > 0))
    if bad.any():
        return [
            fault(
                "measured.creep_reading",
                f"{place}, reading {index + 1}",
                f"{time[index]:g} h, {modulus[index]:g}",
            )
            for index in np.flatnonzero(bad)
        ]
    used = time[_inside(readings, settings)]
    if used.size < LEAST_READINGS:
        return [fault("measured.few_readings", place, count=used.size, least=LEAST_READINGS)]
    if np.ptp(np.log10(used)) < 1e-6:
        return [fault("measured.one_time", place, time=f"{used[0]:g}")]
    return []
