"""Creep lines against NumPy, SciPy, matrix algebra and the coverage of the bound by simulation."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import stats

from linerdesign.field.laboratory.creep import (
    LOWEST,
    TOGETHER,
    CreepReadings,
    CreepSettings,
    fit_creep,
)
from linerdesign.field.laboratory.creep_models import _covariance
from linerdesign.project.faults import InputFaults

TIMES = np.array([1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000.0])


def readings(slope=-0.03, noise=0.004, seed=0, time=TIMES, level="", start=400_000.0):
    random = np.random.default_rng(seed)
    return CreepReadings(
        level, time, start * time**slope * 10 ** random.normal(0, noise, time.size)
    )


def test_exact_power_law_gives_its_own_constants():
    fit = fit_creep([readings(noise=0)]).adopted
    assert fit.slope == pytest.approx(-0.03, rel=1e-9)
    assert fit.modulus_at_life == pytest.approx(400_000 * 438_000**-0.03)
    assert fit.retention == pytest.approx(438_000**-0.03)
    assert fit.lower_bound == pytest.approx(fit.modulus_at_life)
    assert fit.curvature_significance > 0.05


@given(st.integers(0, 1000), st.floats(-0.1, 0.02), st.floats(0.0005, 0.02))
@settings(max_examples=50, deadline=None)
def test_line_and_bound_against_other_routes(seed, slope, noise):
    data = readings(slope, noise, seed)
    fit = fit_creep([data]).adopted
    assume(fit.curve.name == "power law")
    x, y = np.log10(data.time), np.log10(data.modulus)
    assert (fit.slope, fit.curve.a) == pytest.approx(tuple(np.polyfit(x, y, 1)))
    line = stats.linregress(x, y)
    assert fit.slope == pytest.approx(line.slope)
    # The standard error of the slope gives the residual deviation back.
    deviation = line.stderr * np.sqrt(np.sum((x - x.mean()) ** 2))
    assert fit.residual_deviation == pytest.approx(deviation)
    # The variance of a prediction by matrices: s2 (1 + x0' (X'X)^-1 x0).
    X = np.column_stack([np.ones_like(x), x])
    at = np.array([1, np.log10(438_000)])
    width = stats.t.ppf(0.95, x.size - 2) * deviation
    width *= np.sqrt(1 + at @ np.linalg.inv(X.T @ X) @ at)
    assert fit.lower_bound == pytest.approx(fit.modulus_at_life / 10**width)
    assert fit.retention_bound * fit.reference_modulus == pytest.approx(fit.lower_bound)
    assert fit.lower_line(np.array([438_000.0]))[0] == pytest.approx(fit.lower_bound)
    quadratic = np.polyfit(x, y, 2)
    beyond = np.polyval(quadratic, at[1]) - np.polyval(np.polyfit(x, y, 1), at[1])
    assert fit.bend_at_life == pytest.approx(10**beyond - 1, rel=1e-6, abs=1e-9)
    assert fit.curvature == pytest.approx(quadratic[0], rel=1e-6, abs=1e-9)


def test_curvature_significance_against_the_f_test_of_the_added_term():
    data = readings(seed=12)
    fit = fit_creep([data]).adopted
    x, y = np.log10(data.time), np.log10(data.modulus)
    left = [np.sum((y - np.polyval(np.polyfit(x, y, k), x)) ** 2) for k in (1, 2)]
    f = (left[0] - left[1]) / (left[1] / (x.size - 3))
    assert fit.curvature_significance == pytest.approx(stats.f.sf(f, 1, x.size - 3))


def test_prediction_bound_covers_95_percent():
    covered, runs = 0, 250
    random = np.random.default_rng(1)
    for seed in range(runs):
        fit = fit_creep([readings(-0.03, 0.006, seed)]).adopted
        further = 400_000 * 438_000**-0.03 * 10 ** random.normal(0, 0.006)
        covered += further >= fit.lower_bound
    # Four standard deviations of a binomial share about 0.95.
    assert covered / runs == pytest.approx(0.95, abs=4 * np.sqrt(0.95 * 0.05 / runs))


def test_other_confidence_and_life():
    data = readings()
    wide, narrow = (
        fit_creep([data], CreepSettings(confidence=c, life=100_000)).adopted for c in (0.99, 0.5)
    )
    assert wide.lower_bound < narrow.lower_bound
    # At one half the bound is the line itself.
    assert narrow.lower_bound == pytest.approx(narrow.modulus_at_life)
    assert narrow.life_hours == 100_000


def test_t0_moves_the_window_and_the_reference():
    time = np.concatenate([[1 / 60, 0.1, 0.5], TIMES])
    # Steeper in the first hour, as such tests are.
    modulus = 400_000 * time**-0.03 * np.where(time < 1, time**-0.02, 1)
    data = CreepReadings("", time, modulus)
    hour = fit_creep([data], CreepSettings(t0=1.0)).adopted
    minute = fit_creep([data], CreepSettings(t0=1 / 60)).adopted
    assert hour.slope == pytest.approx(-0.03)
    assert hour.left_out == 3
    assert minute.left_out == 0
    assert minute.slope < hour.slope
    assert minute.retention < hour.retention
    # The measured modulus at t0 is kept: 400,000 (1/60)^-0.05, over the line carried back.
    apart = fit_creep([data], CreepSettings(t0=1 / 60, fit_from=1.0)).adopted
    assert apart.slope == hour.slope
    assert apart.reference_modulus == pytest.approx(400_000 * 60**0.05)
    assert apart.retention == pytest.approx(438_000**-0.03 / 60**0.05)
    back = fit_creep([data], CreepSettings(t0=1 / 600, fit_from=1.0)).adopted
    assert back.retention == pytest.approx((438_000 * 600) ** -0.03)
    ended = fit_creep([data], CreepSettings(fit_to=1000)).adopted
    assert ended.time[-1] == 1000
    assert ended.left_out == 6


def codes(fit):
    return {each.code.removeprefix("field.") for each in fit.cautions}


def test_cautions_each_for_its_cause():
    def said(data, **about):
        return codes(fit_creep([data], CreepSettings(**about)).adopted)

    good = readings(seed=3)
    assert said(good) == {"beyond"}
    assert "short_test" in said(readings(time=TIMES[:-1]))
    assert "few_readings" in said(readings(time=TIMES[::3]))
    assert "rising" in said(readings(slope=0.01, noise=0.001))
    assert "t0_carried_back" in said(good, t0=0.1)
    # 438,000 h is 1.64 decades past 10,000 h and 2.34 past 2,000 h.
    assert "far_beyond" in said(readings(seed=3, time=TIMES[:-2]))
    bent = CreepReadings("", TIMES, 400_000 * 10 ** (-0.01 * np.log10(TIMES) ** 2))
    assert "curve_down" in said(bent)
    assert "curve_up" in said(CreepReadings("", TIMES, bent.modulus**-1))


MANY = np.geomspace(1, 10_000, 25)


def test_a_knee_is_followed_and_not_averaged():
    """By hand: E falls as t^-0.03 to 1,000 h and as t^-0.15 from there.

    Retention at 438,000 h is 1000^-0.03 * 438^-0.15 = 0.8128 * 0.4016 = 32.6 %.
    """
    modulus = 400_000 * np.where(MANY < 1000, MANY**-0.03, 1000**-0.03 * (MANY / 1000) ** -0.15)
    fit = fit_creep([CreepReadings("", MANY, modulus)]).adopted
    assert fit.curve.name == "power law with a knee"
    assert fit.retention == pytest.approx(1000**-0.03 * 438**-0.15, rel=1e-4)
    assert 10**fit.curve.k == pytest.approx(1000, rel=1e-3)
    assert fit.slope == pytest.approx(-0.15, rel=1e-4)
    straight = 10 ** np.polyval(np.polyfit(np.log10(MANY), np.log10(modulus), 1), np.log10(438e3))
    assert straight / modulus[0] > 0.45
    assert "curve_down" in codes(fit)


@pytest.mark.parametrize("seed", range(10))
def test_a_knee_in_scattered_readings(seed):
    """0.4 % of scatter; two of ten readings after the knee still show it."""
    noise = 10 ** np.random.default_rng(seed).normal(0, 0.0017, MANY.size)
    modulus = 400_000 * np.where(MANY < 1000, MANY**-0.03, 1000**-0.03 * (MANY / 1000) ** -0.15)
    fit = fit_creep([CreepReadings("", MANY, modulus * noise)]).adopted
    assert fit.retention == pytest.approx(1000**-0.03 * 438**-0.15, rel=0.06)


def test_findleys_law_gives_its_own_constants():
    """1/E = 1/400,000 + 2e-8 t^0.25 psi: at 438,000 h 1/E is 3.0145e-6, 83.6 % of that at 1 h."""
    compliance = 1 / 400_000 + 2e-8 * MANY**0.25
    fit = fit_creep([CreepReadings("", MANY, 1 / compliance)]).adopted
    assert fit.curve.name == "Findley"
    assert fit.curve.n == pytest.approx(0.25, rel=1e-3)
    at_life = 1 / 400_000 + 2e-8 * 438_000**0.25
    assert fit.retention == pytest.approx((1 / 400_000 + 2e-8) / at_life, rel=1e-4)


def test_a_curve_down_in_too_few_readings_is_refused():
    time = TIMES[::3]
    bent = CreepReadings("", time, 400_000 * 10 ** (-0.01 * np.log10(time) ** 2))
    with pytest.raises(InputFaults) as refused:
        fit_creep([bent])
    assert "too few to model" in str(refused.value)


def test_criterion_of_akaike_by_statsmodels():
    """AICc from the log-likelihood of statsmodels: -2 ln L + 2 k + 2 k (k + 1) / (n - k - 1)."""
    from statsmodels.regression.linear_model import OLS

    data = readings(seed=4)
    x, y = np.log10(data.time), np.log10(data.modulus)
    fit = fit_creep([data]).adopted
    found = OLS(y, np.column_stack([np.ones_like(x), x])).fit()
    n, k = x.size, 3
    aicc = -2 * found.llf + 2 * k + 2 * k * (k + 1) / (n - k - 1)
    # What does not depend on the model is left out: n (ln 2 pi + 1).
    assert fit.adopted.criterion == pytest.approx(aicc - n * (np.log(2 * np.pi) + 1))


def specimens(count, between, within, seed):
    random = np.random.default_rng(seed)
    names, time, modulus = [], [], []
    for number in range(count):
        level = random.normal(0, between)
        noise = level + random.normal(0, within, TIMES.size)
        names += [f"S{number}"] * TIMES.size
        time += list(TIMES)
        modulus += list(400_000 * TIMES**-0.03 * 10**noise)
    return CreepReadings("", np.array(time), np.array(modulus), tuple(names))


def test_bound_of_a_further_specimen_by_analysis_of_variance():
    """Balanced design: between-specimen variance by ANOVA is the REML estimate where positive.

    The variance of the fitted line at life is that of the mean level, (between + within/n)/m, and
    that of the slope, within/Sxx (x - mean)^2.
    """
    m, n = 6, TIMES.size
    data = specimens(m, 0.02, 0.002, 3)
    fit = fit_creep([data]).adopted
    assert fit.by_specimen
    x, y = np.log10(data.time), np.log10(data.modulus)
    X = np.column_stack([*(np.repeat(np.eye(m), n, axis=0).T), x])
    beta, squares = np.linalg.lstsq(X, y, rcond=None)[:2]
    within = squares[0] / (m * n - m - 1)
    levels = beta[:m] + beta[m] * x.mean()
    between = levels.var(ddof=1) - within / n
    leverage = within * (np.log10(438_000) - x.mean()) ** 2 / np.sum((x - x.mean()) ** 2)
    variance = (between + within / n) / m + leverage + between + within
    width = stats.t.ppf(0.95, m - 1) * np.sqrt(variance)
    assert np.log10(fit.modulus_at_life / fit.lower_bound) == pytest.approx(width, rel=0.02)
    plain = fit_creep([CreepReadings("", data.time, data.modulus)]).adopted
    assert fit.lower_bound < plain.lower_bound


def test_bound_covers_further_specimens():
    covered, runs = 0, 60
    random = np.random.default_rng(5)
    for seed in range(runs):
        fit = fit_creep([specimens(5, 0.02, 0.003, seed)]).adopted
        further = 400_000 * 438_000**-0.03 * 10 ** random.normal(0, np.hypot(0.02, 0.003))
        covered += further >= fit.lower_bound
    assert covered / runs == pytest.approx(0.95, abs=4 * np.sqrt(0.95 * 0.05 / runs))


def test_two_specimens_have_the_bound_of_a_specimen_and_not_of_a_reading():
    """With one degree of freedom Student's factor is 6.31 (tables), over 1.7 of many readings."""
    two = specimens(2, 0.02, 0.003, 3)
    fit = fit_creep([two]).adopted
    alone = fit_creep([replace(two, specimens=())]).adopted
    assert fit.by_specimen
    assert not alone.by_specimen
    assert fit.lower_bound < alone.lower_bound


def test_bend_at_life_of_readings_crowded_at_one_end():
    data = readings(seed=12, time=np.array([1, 2, 3, 4, 5, 10, 100, 10_000.0]))
    fit = fit_creep([data]).adopted
    x, y, at = np.log10(data.time), np.log10(data.modulus), np.log10(438_000)
    beyond = np.polyval(np.polyfit(x, y, 2), at) - np.polyval(np.polyfit(x, y, 1), at)
    assert fit.bend_at_life == pytest.approx(10**beyond - 1, rel=1e-6)


def test_rounding_of_exact_readings_is_no_curve():
    """1000 psi over strains of a power law, printed to six digits: on the line to 0.0002 %."""
    time = np.array([1, 2, 5, 10, 24, 48, 100, 200, 500, 1000.0])
    printed = "0.333333 0.346286 0.364185 0.378337 0.397000 0.412427 0.429417 0.446103 0.469161"
    strain = np.array([float(each) for each in f"{printed} 0.487392".split()])
    fit = fit_creep([CreepReadings("", time, 100_000 / strain)]).adopted
    assert fit.curvature_significance < 0.05
    assert not {"curve_down", "curve_up"} & codes(fit)


@pytest.mark.parametrize(("swing", "said"), [(0.0193, False), (0.0194, True)])
def test_scatter_over_five_percent_is_said(swing, said):
    """Six pairs, each with one reading over and one under a line by `swing` in log10.

    The line is the middle, the deviation sqrt(12 swing^2 / (12 - 2)) = 1.09545 swing; 5 % is
    log10 1.05 = 0.021189, which is a swing of 0.019343.
    """
    time = np.repeat([1, 10, 100, 1000, 5000, 10000.0], 2)
    modulus = 400_000 * time**-0.03 * 10 ** (swing * np.tile([1, -1], 6))
    fit = fit_creep([CreepReadings("", time, modulus)]).adopted
    assert fit.scatter == pytest.approx(10 ** (swing * np.sqrt(12 / 10)) - 1)
    assert ("scatter" in codes(fit)) is said


def test_load_levels_lowest_and_together():
    levels = [
        readings(-0.03, 0.001, 1, level="500 psi"),
        readings(-0.05, 0.001, 2, level="900 psi"),
    ]
    lowest = fit_creep(levels, rule=LOWEST)
    assert lowest.adopted.level == "900 psi"
    assert lowest.adopted.retention == min(fit.retention for fit in lowest.levels)
    assert lowest.cautions[0].code == "field.levels_differ"
    together = fit_creep(levels, rule=TOGETHER).adopted
    x = np.log10(np.concatenate([TIMES, TIMES]))
    y = np.log10(np.concatenate([data.modulus for data in levels]))
    assert together.slope == pytest.approx(np.polyfit(x, y, 1)[0])
    alike = [readings(seed=5, level="a"), readings(seed=6, level="b")]
    assert fit_creep(alike).cautions == ()


@given(st.floats(0.01, 1000), st.integers(0, 100))
@settings(max_examples=25, deadline=None)
def test_unit_of_the_modulus_is_free(factor, seed):
    data = readings(seed=seed)
    here = fit_creep([data]).adopted
    there = fit_creep([CreepReadings("", data.time, data.modulus * factor)]).adopted
    assert there.retention == pytest.approx(here.retention)
    assert there.lower_bound == pytest.approx(here.lower_bound * factor)


@pytest.mark.parametrize(
    ("data", "settings_", "words"),
    [
        (readings(time=TIMES[:2]), CreepSettings(), "at least 3"),
        (readings(), CreepSettings(fit_from=9000), "at least 3"),
        (readings(time=np.full(5, 10.0)), CreepSettings(), "different times"),
        (CreepReadings("", TIMES, -TIMES), CreepSettings(), "over zero"),
        (CreepReadings("", TIMES, TIMES[:3]), CreepSettings(), "one modulus for each time"),
        (readings(), CreepSettings(t0=0), "t0"),
        (readings(), CreepSettings(t0=float("nan")), "t0"),
        (readings(), CreepSettings(life=0.5), "more than t0"),
        (readings(), CreepSettings(confidence=95), "under 1"),
    ],
)
def test_impossible_tests_are_refused(data, settings_, words):
    with pytest.raises(InputFaults) as refused:
        fit_creep([data], settings_)
    assert words in str(refused.value)


def test_no_levels_and_an_unknown_rule_are_both_listed():
    with pytest.raises(InputFaults) as refused:
        fit_creep([], rule="best")
    assert len(refused.value.faults) == 2


@pytest.mark.parametrize(("early", "late"), [(0.08, 0.15), (0.1, 0.15), (0.1, 0.12)])
def test_a_fall_at_the_end_is_not_hidden_by_a_steep_beginning(early, late):
    """Slopes -early to 10 h, -0.02 to 2,512 h, -late from there: no curve by a quadratic term.

    Retention by hand is 10^-(early + 0.02 2.4 + late (5.6415 - 3.4)); a straight line gives more
    than 0.55.
    """
    x = np.linspace(0, 4, 33)
    y = -early * np.minimum(x, 1) - 0.02 * np.clip(x - 1, 0, 2.4) - late * np.maximum(x - 3.4, 0)
    fit = fit_creep([CreepReadings("", 10**x, 400_000 * 10**y)]).adopted
    assert fit.curvature_significance > 0.05
    by_hand = 10 ** -(early + 0.02 * 2.4 + late * (np.log10(438_000) - 3.4))
    assert fit.retention == pytest.approx(by_hand, rel=0.2)
    straight = np.polyval(np.polyfit(x, y, 1), [0, np.log10(438_000)])
    assert 10 ** (straight[1] - straight[0]) > 0.55


def test_specimens_that_differ_hardly_have_a_bound_all_the_same():
    """The library's covariance had a negative variance here, and the bound ended in an internal
    error. Student's factor at 95 % is 2.92 with 2 degrees of freedom of specimens, over 2.35 with 3
    of readings (tables), so that the bound of a specimen is the lower one."""
    modulus = 1e5 / np.array([1.0, 1.1, 1.2, 1.3, 1.4])
    data = CreepReadings("", 10.0 ** np.arange(5), modulus, ("a", "b", "a", "b", "c"))
    fit = fit_creep([data]).adopted
    alone = fit_creep([replace(data, specimens=())]).adopted
    assert 0 < fit.lower_bound < alone.lower_bound < fit.modulus_at_life


@pytest.mark.parametrize(("between", "within"), [(0.3, 0.7), (0.0, 1.0), (5.0, 0.001)])
def test_covariance_by_the_matrix_of_all_readings(between, within):
    """Generalized least squares: the inverse of X' V^-1 X, with V written out."""
    random = np.random.default_rng(1)
    terms = np.column_stack([np.ones(30), random.normal(size=30)])
    names = tuple(random.choice(list("abcd"), 30))
    of_all = within * np.eye(30) + between * np.equal.outer(np.array(names), np.array(names))
    expected = np.linalg.inv(terms.T @ np.linalg.inv(of_all) @ terms)
    assert _covariance(terms, names, between, within) == pytest.approx(expected, rel=1e-6)
