"""Creep lines at the borders of what counts: readings at t0, few readings, late falls, knees."""

from dataclasses import replace
from math import inf, log, log10

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import approx_fprime, brentq

from linerdesign.field.laboratory.creep import (
    LOWEST,
    RING,
    RUPTURE,
    TOGETHER,
    CreepReadings,
    CreepSettings,
    _adopted,
    _bend,
    _curvature,
    _falls_late,
    faults_of_settings,
    fit_creep,
)
from linerdesign.field.laboratory.creep_models import (
    Findley,
    Fitted,
    Knee,
    Power,
    bound_width,
    curves,
    fitted,
    power_law,
)
from linerdesign.project.faults import InputFaults

TIMES = np.geomspace(1, 10_000, 20)
X = np.log10(TIMES)


def line(time=TIMES, slope=-0.05, start=400_000.0, **about):
    time = np.array(time, dtype=float)
    return CreepReadings(about.pop("level", ""), time, start * time**slope, **about)


def codes(fit):
    return {each.code.removeprefix("field.") for each in fit.cautions}


@pytest.mark.parametrize(
    "curve",
    [Power(5.6, -0.05), Knee(5.6, -0.03, -0.1, 2.5), Findley(-5.6, -7.7, 0.25)],
)
def test_slopes_and_derivatives_of_the_models_by_differences(curve):
    x = np.array([0.3, 1.7, 3.1, 5.2])
    for at in x:
        rise = (curve.at(np.array(at + 1e-6)) - curve.at(np.array(at - 1e-6))) / 2e-6
        assert curve.slope(float(at)) == pytest.approx(float(rise), rel=1e-6)
    given = np.array([getattr(curve, name) for name in curve.__dataclass_fields__])
    assert curve.count == len(given)
    for at, row in zip(x, curve.gradient(x), strict=True):
        by = approx_fprime(given, lambda p, at=at: float(type(curve)(*p).at(np.array(at))), 1e-7)
        assert row == pytest.approx(by, abs=1e-5)


def test_the_models_by_hand():
    """A knee at 100 h; Findley's 1/E = 2e-6 + 3e-8 t^0.25 of 1 h and 10,000 h."""
    knee = Knee(5.0, -0.1, -0.2, 2.0)
    assert knee.at(np.array([1.0, 2.0, 3.0])) == pytest.approx([4.9, 4.8, 4.5])
    assert (knee.slope(2.0), knee.slope(2.1)) == pytest.approx((-0.1, -0.3))
    # A reading at the knee lies on the first line.
    assert knee.gradient(np.array([2.0, 3.0])).tolist() == [[1, 2, 0, 0], [1, 3, 1, 0.2]]
    findley = Findley(log10(2e-6), log10(3e-8), 0.25)
    assert findley.at(np.array([0.0, 4.0])) == pytest.approx(-np.log10([2.03e-6, 2.3e-6]))


def test_the_criterion_counts_the_deviation_and_needs_readings_enough():
    """AICc = n ln(SS/n) + 2 k + 2 k (k + 1)/(n - k - 1), k one more than the constants; of five
    readings of a straight line the last term would divide 24 by 1, of four by nothing."""
    for count in (4, 5, 9):
        x = np.arange(float(count))
        y = -0.1 * x + 0.01 * (-1.0) ** np.arange(count)
        found = fitted(power_law(x, y), x, y)
        squares = np.sum((y - np.polyval(np.polyfit(x, y, 1), x)) ** 2)
        assert found.squares == pytest.approx(squares)
        expected = inf if count == 4 else count * log(squares / count) + 6 + 24 / (count - 4)
        assert found.criterion == pytest.approx(expected)
    # What printed readings round by in log10, 1e-6, tells no model from another.
    exact = fitted(Power(5.0, -0.1), x, 5.0 - 0.1 * x)
    assert exact.criterion == pytest.approx(9 * log(1e-12) + 6 + 24 / 5)


@pytest.mark.parametrize(
    ("count", "names"),
    [
        (5, []),
        (6, ["Findley"]),
        (7, ["Findley", "power law with a knee"]),
    ],
)
def test_each_model_needs_three_readings_more_than_it_has_constants(count, names):
    x = np.linspace(0, 4, count)
    y = 5.0 - 0.02 * x - 0.1 * np.maximum(x - 2, 0)
    assert [each.name for each in curves(x, y)] == names


def test_a_knee_needs_three_times_on_either_side_and_goes_down():
    """Five times told apart are too few, however many readings they have."""
    for times, found in ((5, False), (6, True)):
        x = np.repeat(np.linspace(0, 4, times), 3)
        y = 5.0 - 0.02 * x - 0.1 * np.maximum(x - 2, 0)
        assert any(each.name == "power law with a knee" for each in curves(x, y)) is found
    x = np.linspace(0, 4, 21)
    upward = 5.0 - 0.12 * x + 0.1 * np.maximum(x - 2, 0)
    assert not any(each.name == "power law with a knee" for each in curves(x, upward))
    for place in (0.5, 1.7, 3.5):
        y = 5.0 - 0.02 * x - 0.1 * np.maximum(x - place, 0)
        (knee,) = (each for each in curves(x, y) if each.name == "power law with a knee")
        assert knee.k == pytest.approx(place, abs=1e-3)
        assert (knee.a, knee.b, knee.c) == pytest.approx((5.0, -0.02, -0.1), rel=1e-2)
    # A knee before the third time or after the last but two is sought between them.
    for place, found in ((0.1, x[2]), (3.9, x[-3])):
        y = 5.0 - 0.02 * x - 0.1 * np.maximum(x - place, 0)
        (knee,) = (each for each in curves(x, y) if each.name == "power law with a knee")
        assert knee.k == pytest.approx(found, abs=1e-3)


@pytest.mark.parametrize("count", [3, 4, 5, 8])
def test_a_late_fall_by_students_distribution(count):
    """The upper 99 % bound of the slope of the last decade, by the textbook, against the line;
    0.1 % of the modulus over the decade is rounding. Fewer than four readings tell nothing."""
    random = np.random.default_rng(count)
    late = np.linspace(3.0, 4.0, count)
    x = np.concatenate([np.linspace(0, 2.9, 12), late])
    y = 5.0 - 0.05 * x + random.normal(0, 0.003, x.size)
    y_late = y[-count:]
    slope, level = np.polyfit(late, y_late, 1)
    if count > 2:
        left = np.sum((y_late - level - slope * late) ** 2) / (count - 2)
        error = np.sqrt(left / np.sum((late - late.mean()) ** 2))
        border = slope + stats.t.ppf(0.995, count - 2) * error - log10(0.999)
    assert _falls_late(x, y, border + 1e-6) is (count >= 4)
    assert _falls_late(x, y, border - 1e-6) is False
    same = np.concatenate([np.linspace(0, 2.9, 12), np.full(4, 4.0)])
    assert _falls_late(same, 5.0 - 0.05 * same, 10.0) is False


def test_curvature_needs_four_times_and_is_exact_on_exact_data():
    assert _curvature(X[:3], X[:3]) == (None, None)
    assert _curvature(np.repeat(X[:3], 2), np.arange(6.0)) == (None, None)
    assert _curvature(X[:4], np.sin(X[:4]))[1] is not None
    term, significance = _curvature(X, 5.0 - 0.05 * X)
    assert (term, significance) == (pytest.approx(0.0, abs=1e-12), 1.0)
    term, significance = _curvature(X, 5.0 - 0.05 * X - 0.01 * X**2)
    assert (term, significance) == (pytest.approx(-0.01), 0.0)
    # Scatter of 1e-10 is no rounding of the last bit: it has its own significance.
    scattered = 1e-10 * np.random.default_rng(1).normal(size=20)
    significance = _curvature(X, 5.0 - 0.05 * X + scattered)[1]
    assert 0.0 < significance < 1.0


def test_the_bend_is_the_parabola_over_the_line():
    x = np.linspace(0, 4, 9)
    y = 5.0 - 0.05 * x - 0.01 * x**2
    line_ = np.polyval(np.polyfit(x, y, 1), 5.0)
    assert _bend(x, y, -0.01, 5.0) == pytest.approx(10 ** (5.0 - 0.25 - 0.25 - line_) - 1)
    assert _bend(x, y, None, 5.0) == 0.0


def level_curve(at_life, criterion, name=Power):
    return Fitted(name(at_life, 0.0), 0.0, criterion)


def test_a_model_takes_the_place_of_the_line_only_where_it_gives_less():
    """Less by 0.1 % at least, and by a criterion smaller by more than two, or where the line is
    refused; of several the best."""
    straight = level_curve(5.0, 10.0)
    low, lower = level_curve(4.9, 7.9), level_curve(4.8, 8.5)
    high = level_curve(5.1, -50.0)
    assert _adopted(straight, [high], False, 0.0) is straight
    assert _adopted(straight, [high], True, 0.0) is None
    assert _adopted(straight, [level_curve(4.9, 8.0)], False, 0.0) is straight
    assert _adopted(straight, [low], False, 0.0) is low
    assert _adopted(straight, [lower, low, high], False, 0.0) is low
    assert _adopted(straight, [lower], False, 0.0) is straight
    assert _adopted(straight, [lower], True, 0.0) is lower
    border = 5.0 + log10(0.999)
    assert _adopted(straight, [level_curve(border + 1e-9, 0.0)], True, 0.0) is None
    assert _adopted(straight, [level_curve(border - 1e-9, 0.0)], True, 0.0) is not None


@pytest.mark.parametrize(("time", "measured"), [(0.0991, True), (0.0989, False), (0.1009, True)])
def test_a_reading_within_one_percent_of_t0_is_at_t0(time, measured):
    readings = line([time, *TIMES])
    fit = fit_creep([readings], CreepSettings(t0=0.1, fit_from=1.0)).adopted
    assert fit.reference_measured is measured
    by_line = 400_000 * 0.1**-0.05
    assert fit.reference_modulus == pytest.approx(readings.modulus[0] if measured else by_line)
    assert ("t0_measured" in codes(fit), "t0_carried_back" in codes(fit)) == (
        measured,
        not measured,
    )


@pytest.mark.parametrize(
    ("time", "measured"),
    [(99.0, True), (101.0, True), (98.995, False), (101.005, False)],
)
def test_a_reading_at_just_one_percent_from_t0_is_at_t0(time, measured):
    """One of a hundred hours, to the last binary digit."""
    readings = line([time, *(200 * TIMES)])
    fit = fit_creep([readings], CreepSettings(t0=100.0, fit_from=200.0)).adopted
    assert fit.reference_measured is measured


def test_several_readings_at_t0_and_first_have_their_mean():
    time = np.concatenate([[0.1, 0.1, 0.1], TIMES])
    modulus = np.concatenate([[5e5, 6e5, 7.3e5], line().modulus])
    fit = fit_creep([CreepReadings("", time, modulus)], CreepSettings(t0=0.1, fit_from=1.0)).adopted
    assert fit.reference_modulus == pytest.approx(6.1e5)
    assert fit.first == (0.1, pytest.approx(6.1e5))
    # Where the fit begins at t0 the modulus there is that of the line.
    usual = fit_creep([line()]).adopted
    assert not usual.reference_measured
    assert not {"t0_measured", "t0_carried_back"} & codes(usual)


@pytest.mark.parametrize(
    ("last", "said"),
    [(10_000.0, "beyond"), (9_999.0, "short_test"), (4_380.0, "beyond"), (4_379.0, "far_beyond")],
)
def test_cautions_of_the_last_reading_at_their_borders(last, said):
    """10,000 h, and two decades of time before 438,000 h."""
    fit = fit_creep([line(np.geomspace(1, last, 12))]).adopted
    assert said in codes(fit)
    assert ("short_test" in codes(fit)) is (last < 10_000)
    assert ("far_beyond" in codes(fit)) is (last < 4_380)


def test_cautions_of_few_readings_of_the_slope_and_of_the_life():
    assert "few_readings" in codes(fit_creep([line(TIMES[:7])]).adopted)
    assert "few_readings" not in codes(fit_creep([line(TIMES[:8])]).adopted)
    assert "rising" not in codes(fit_creep([line(slope=0.0)]).adopted)
    assert "rising" in codes(fit_creep([line(slope=1e-6)]).adopted)
    inside = fit_creep([line()], CreepSettings(life=10_000.0)).adopted
    assert inside.decades_beyond == 0.0
    assert not {"beyond", "far_beyond"} & codes(inside)
    before = fit_creep([line()], CreepSettings(life=100.0)).adopted
    assert before.decades_beyond == 0.0
    # The fit begins later than t0 by over a thousandth.
    for start, carried in ((1.0009, False), (1.0011, True)):
        fit = fit_creep([line(start * TIMES)]).adopted
        assert bool({"t0_measured", "t0_carried_back"} & codes(fit)) is carried


def test_a_window_is_as_wide_as_it_says_and_readings_come_in_order():
    shuffled = line(TIMES[::-1], specimens=tuple("ab" * 10))
    settings = CreepSettings(fit_from=TIMES[3], fit_to=TIMES[15])
    fit = fit_creep([shuffled], settings).adopted
    assert fit.time == pytest.approx(TIMES[3:16])
    assert fit.modulus == pytest.approx(line().modulus[3:16])
    assert fit.specimens == tuple("ab" * 10)[::-1][3:16]
    assert fit.left_out == 7


def test_all_levels_together_keep_their_specimens_apart():
    levels = [
        line(slope=-0.05 - 0.001 * k, level=f"L{k}", specimens=("A",) * 20, test=RING, ring=2.0)
        for k in (1, 2)
    ]
    together = fit_creep(levels, rule=TOGETHER).adopted
    assert (together.level, together.test, together.ring) == ("all load levels", RING, 2.0)
    assert set(together.specimens) == {"L1 A", "L2 A"}
    assert together.time.size == 40
    alone = fit_creep(levels[:1], rule=TOGETHER).adopted
    assert alone.level == "L1"


def test_all_levels_together_have_the_mean_of_their_rings():
    """Twenty readings of one ring and ten of another: I/d^3 is 2/3 of the one, 1/3 of the other."""
    levels = [
        line(level="a", test=RING, ring=2.0),
        line(TIMES[::2], level="b", test=RING, ring=3.5),
    ]
    assert fit_creep(levels, rule=TOGETHER).adopted.ring == pytest.approx(2.5)
    coupons = [line(level="a"), line(level="b")]
    assert fit_creep(coupons, rule=TOGETHER).adopted.ring is None


def test_readings_may_be_small_in_their_unit_and_early():
    """0.4 million psi, and the first reading a second after loading."""
    early = line(TIMES / 3600, start=0.4)
    fit = fit_creep([early], CreepSettings(t0=1 / 3600)).adopted
    assert fit.retention == pytest.approx((438_000 * 3600) ** -0.05)
    assert (fit.left_out, fit.first) == (0, (1 / 3600, pytest.approx(0.4 * 3600**0.05)))


def test_three_readings_make_a_line():
    fit = fit_creep([line([1.0, 100.0, 10_000.0])]).adopted
    assert fit.retention == pytest.approx(438_000**-0.05)


def test_levels_differ_where_a_bound_excludes_the_other_line():
    def level(name, slope, noise, seed):
        scatter = 10 ** np.random.default_rng(seed).normal(0, noise, TIMES.size)
        return CreepReadings(name, TIMES, 4e5 * TIMES**slope * scatter)

    def differ(*levels):
        result = fit_creep(levels)
        return [each.code for each in result.cautions], result

    for second in (-0.0503, -0.053, -0.06):
        for noise in (0.0002, 0.004):
            found, result = differ(level("a", -0.05, noise, 1), level("b", second, noise, 2))
            one, other = result.levels
            high, low = (one, other) if one.retention > other.retention else (other, one)
            apart = low.retention < high.retention_bound or high.retention < low.retention_bound
            assert found == (["field.levels_differ"] if apart else [])
            if apart:
                said = result.cautions[0].said
                numbers = (100 * low.retention, 100 * high.retention)
                assert f"from {numbers[0]:.1f} % at {low.level}" in said
                assert f"to {numbers[1]:.1f} % at {high.level}" in said
    assert [each.code for each in fit_creep([line()]).cautions] == ["field.one_level"]
    assert fit_creep([line(test=RUPTURE)]).cautions == ()


def test_a_fit_of_a_short_life_counts_a_curve_only_where_it_bends_the_modulus():
    """Significant, but under 0.1 % at the life: rounding; over it a curve up or perhaps down."""
    alternating = 1e-5 * (-1.0) ** np.arange(20)

    def said(bend):
        y = 5.6 - 0.05 * X + bend * X**2 + alternating
        return codes(fit_creep([CreepReadings("", TIMES, 10**y)]).adopted)

    assert not {"curve_up", "may_curve_down", "curve_down"} & said(2e-5)
    assert "curve_up" in said(1e-3)
    assert "curve_down" in said(-1e-3)


def test_a_bound_of_one_specimen_is_that_of_readings():
    y = np.log10(line().modulus) + 0.01 * np.sin(np.arange(20.0))
    curve, at = power_law(X, y), np.array([5.0])
    one = bound_width(curve, X, y, ("A",) * 20, at, 0.95)
    assert one == pytest.approx(bound_width(curve, X, y, (), at, 0.95))
    left = y - curve.at(X)
    s = np.sqrt(left @ left / 18)
    spread = np.sqrt(1 + 1 / 20 + (5.0 - X.mean()) ** 2 / np.sum((X - X.mean()) ** 2))
    assert one == pytest.approx([stats.t.ppf(0.95, 18) * s * spread])


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"t0": -1.0}, "t0"),
        ({"life": float("inf")}, "life"),
        ({"fit_from": 0.0}, "fit_from"),
        ({"fit_to": -2.0}, "fit_to"),
        ({"confidence": 0.49}, "confidence"),
        ({"confidence": 1.0}, "confidence"),
        ({"life": 1.0}, "more than t0"),
        ({"confidence": 0.5}, None),
        ({"life": 1.01}, None),
        ({"life": 1e7}, None),
        ({"life": 1.001e7}, "life"),
    ],
)
def test_settings_at_their_borders(changed, words):
    settings = replace(CreepSettings(), **changed)
    if words is None:
        assert fit_creep([line()], settings)
        return
    with pytest.raises(InputFaults) as refused:
        fit_creep([line()], settings)
    assert words in str(refused.value)


def test_each_bad_reading_is_named_by_its_place():
    readings = line(level="500 psi")
    readings.modulus[3], readings.time[7] = 0.0, np.nan
    with pytest.raises(InputFaults) as refused:
        fit_creep([readings, line(TIMES[:2])])
    texts = [str(each) for each in refused.value.faults]
    assert len(texts) == 3
    assert "load level 500 psi, reading 4" in texts[0]
    assert "load level 500 psi, reading 8" in texts[1]
    assert "creep test" in texts[2]


def test_readings_of_one_time_stay_in_their_order():
    time = np.repeat(TIMES, 5)[::-1]
    names = tuple(f"S{k % 5}" for k in range(100))
    readings = line(time, specimens=names)
    fit = fit_creep([readings]).adopted
    assert fit.specimens == names
    assert fit.time == pytest.approx(np.repeat(TIMES, 5))


FAR = "EXTRAPOLATION: design life 2.6 decades of time beyond the last reading, over 2; "
BEYOND = "design life 1.6 decades of time beyond the last reading"  # log10 43.8
KNEE = 10 ** (5.6 - 0.02 * X - 0.1 * np.maximum(X - 2, 0))
# The line of least squares through these readings, over their knee, at 438,000 h.
OVER = 10 ** (
    np.polyval(np.polyfit(X, np.log10(KNEE), 1), log10(438e3))
    - (5.6 - 0.02 * log10(438e3) - 0.1 * log10(4380))
)


@pytest.mark.parametrize(
    ("readings", "settings", "said"),
    [
        (line(np.geomspace(1, 1000, 12)), {},
         ["last reading at 1,000 h, before 10,000 h", FAR + "extend the test"]),
        (line([2.0, 100.0, 10_000.0]), {},
         [BEYOND, "first reading used at 2 h; modulus at t0 = 1 h extrapolated back by the model",
          "number of readings in the fit: 3"]),
        (line([0.1, *TIMES]), {"t0": 0.1, "fit_from": 1.0},
         [BEYOND, "fit from 1 h; modulus at t0 = 0.1 h as measured"]),
        (line(2 * TIMES, test=RUPTURE), {"life": 438_000.0 * 2},
         [BEYOND, "first reading used at 2 h; strength at t0 = 1 h extrapolated back by the "
          "model"]),
        (line(slope=0.01), {},
         [BEYOND, "the modulus rises with time, which is not creep: a retention over 100 % is not "
          "valid for design"]),
        # sqrt(12/10) of the swing of six pairs about their line: 10^0.03286 is 1.079.
        (CreepReadings("", np.repeat(TIMES[[0, 4, 8, 12, 16, 19]], 2),
                       4e5 * 10 ** (0.03 * np.tile([1.0, -1.0], 6))), {},
         [BEYOND, "scatter of the readings about the model 7.9 % (standard deviation), over 5 % "
          "(criterion of this program, no source): the slope is uncertain"]),
        (CreepReadings("", TIMES, KNEE), {},
         [BEYOND, "the readings curve down and the power law with a knee model is used; a straight "
          f"line would overstate the modulus at design life by {100 * (OVER - 1):.1f} %"]),
    ],
)  # fmt: skip
def test_each_caution_of_a_creep_test_with_its_numbers(readings, settings, said):
    found = fit_creep([readings], CreepSettings(**settings)).adopted
    assert [each.said for each in found.cautions] == said


@pytest.mark.parametrize(
    ("settings", "said"),
    [
        ({"t0": -1.0, "life": 2e7, "fit_from": 0.0, "fit_to": -2.0, "confidence": 0.4},
         ["t0 -1 h: must be a time over zero and at most 10,000,000 h",
          "life 2e+07 h: must be a time over zero and at most 10,000,000 h",
          "fit_from 0 h: must be a time over zero and at most 10,000,000 h",
          "fit_to -2 h: must be a time over zero and at most 10,000,000 h",
          "confidence 0.4: must be at least 0.5 and under 1"]),
        ({"life": 1.0, "t0": 2.0}, ["life 1 h: must be more than t0, 2 h"]),
    ],
)  # fmt: skip
def test_each_fault_of_the_settings_with_its_numbers(settings, said):
    assert [str(each) for each in faults_of_settings(CreepSettings(**settings))] == said


@pytest.mark.parametrize(
    ("levels", "rule", "said"),
    [
        ([CreepReadings("L", TIMES, TIMES[:3], place="f.csv, line 3"), line(TIMES[:2])], LOWEST,
         ["f.csv, line 3, load level L: 20 times and 3 moduli; give one modulus for each time",
          "creep test: 2 readings in the window of the fit; a line with a bound needs at least 3"]),
        ([line([10.0] * 5)], LOWEST,
         ["creep test: all readings at 10 h; give readings at different times"]),
        ([CreepReadings("", TIMES[:4], np.array([9.0, -8.0, 7.0, np.inf]))], LOWEST,
         [f"creep test, reading 2 {TIMES[1]:g} h, -8: time and modulus must be finite and over "
          "zero",
          f"creep test, reading 4 {TIMES[3]:g} h, inf: time and modulus must be finite and over "
          "zero"]),
        ([line([0.0, 1.0, 2.0, 3.0], slope=0.0)], LOWEST,
         ["creep test, reading 1 0 h, 400000: time and modulus must be finite and over zero"]),
        ([CreepReadings("500 psi", TIMES[::6], 10 ** (5.6 - 0.01 * X[::6] ** 2))], LOWEST,
         ["load level 500 psi: the 4 readings curve down and are too few to model that; give more "
          "readings"]),
        ([], "best",
         ['rule "best": unknown value; use "lowest retention of the load levels" or "one line '
          'through all load levels"',
          "creep test: no load levels; give one or more"]),
    ],
)  # fmt: skip
def test_each_fault_of_the_readings_with_its_numbers(levels, rule, said):
    with pytest.raises(InputFaults) as refused:
        fit_creep(levels, rule=rule)
    assert [str(each) for each in refused.value.faults] == said


def curving(chance, way):
    """Five readings whose quadratic term has this significance by the F test of SciPy."""
    x = np.arange(5.0)
    swing = 0.002 * np.array([1.0, -2.0, 0.5, 2.0, -1.5])

    def log_moduli(term):
        return 5.6 - 0.05 * x + way * term * x**2 + swing

    def off(term):
        y = log_moduli(term)
        left = [np.sum((y - np.polyval(np.polyfit(x, y, k), x)) ** 2) for k in (1, 2)]
        return stats.f.sf((left[0] - left[1]) / (left[1] / 2), 1, 2) - chance

    return CreepReadings("", 10**x, 10 ** log_moduli(brentq(off, 0.0015, 0.1, xtol=1e-12)))


def test_a_curve_is_said_from_a_significance_of_five_percent_and_refused_from_one():
    """`docs/limits.md`; five readings are too few for another model than the line."""
    assert "curve_up" not in codes(fit_creep([curving(0.0502, 1)]).adopted)
    assert "curve_up" in codes(fit_creep([curving(0.0498, 1)]).adopted)
    assert "may_curve_down" not in codes(fit_creep([curving(0.0502, -1)]).adopted)
    assert "may_curve_down" in codes(fit_creep([curving(0.0498, -1)]).adopted)
    assert "may_curve_down" in codes(fit_creep([curving(0.01004, -1)]).adopted)
    with pytest.raises(InputFaults, match="too few to model"):
        fit_creep([curving(0.00996, -1)])


def test_what_is_not_stated_of_a_creep_test():
    """A modulus over that at 1 h, at 50 years of 365 days, bounded with 95 %: the user guide."""
    assert CreepSettings() == CreepSettings(1.0, 50 * 365 * 24, None, None, 0.95)


def test_levels_that_differ_say_by_how_much():
    """438,000^-0.05 is 0.5223, 438,000^-0.06 is 0.4587."""
    levels = [line(level="500 psi"), line(slope=-0.06, level="900 psi")]
    for given in (levels, levels[::-1]):
        (said,) = fit_creep(given).cautions
        assert said.said.startswith("retention from 45.9 % at 900 psi to 52.2 % at 500 psi, more ")
