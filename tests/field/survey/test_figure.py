"""Eggs, boxes and horseshoes against ellipses; their outlines are built in `outlines`."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from outlines import box, egg, ellipse_radii, flattened, horseshoe, radii, without
from scipy import stats
from scipy.spatial import ConvexHull

from linerdesign.field.survey.ellipse import Ellipse
from linerdesign.field.survey.figure import Wave, Waves, doubts, figure_of, waves_about
from linerdesign.field.survey.shape import shape_from_radii

CLASSIC = egg(600, 900, 150)
EGGS = {
    "classic 2:3": CLASSIC,
    "600 by 702": egg(600, 702, 150),
    "600 by 702, blunt": egg(600, 702, 210),
    "600 by 750": egg(600, 750, 150),
    "800 by 1000": egg(800, 1000, 220),
}


def test_the_classic_egg_is_laid_out_as_in_the_books():
    """Crown D/2, sides 3D/2, invert D/4: 3, 4, 5 make the tangent point of side and invert."""
    assert CLASSIC[:, 0].max() == pytest.approx(300)
    assert np.ptp(CLASSIC[:, 1]) == pytest.approx(900)
    tangent = np.array([120.0, -90.0 - 450.0 + 300.0])
    assert np.hypot(*(CLASSIC - [0, -150] - tangent).T).min() < 1
    from_side = np.hypot(CLASSIC[:, 0] + 600, CLASSIC[:, 1] - 150)
    assert np.sum(np.abs(from_side - 900) < 1e-9) >= 4000


@pytest.mark.parametrize("points", EGGS.values(), ids=EGGS)
@pytest.mark.parametrize("noise", [0.0, 3.0])
@pytest.mark.parametrize(("count", "gap"), [(24, 0), (36, 0), (72, 0), (360, 0), (72, 60)])
def test_an_egg_is_no_ellipse(points, count, noise, gap):
    angle, radius = radii(points, count, centre=(10.0, -30.0), noise=noise, seed=count)
    shape = shape_from_radii(*without(angle, radius, gap))
    assert not shape.is_ellipse
    assert shape.adopted.basis == "measured outline"
    if shape.figure is None:  # then arcs of it are named, and few readings are the reason
        assert shape.departures
        assert count <= 36
        return
    assert shape.figure.kind.startswith("egg-like, narrower at 2")
    assert shape.figure.kind.endswith("the invert if 0 deg is to the right")
    width, height = np.ptp(points, axis=0)
    if not gap:
        assert shape.figure.least_width == pytest.approx(width, rel=0.02)
        assert shape.figure.largest_width == pytest.approx(height, rel=0.02)


def furthest(angle, radius):
    """The largest residual, along radii, from the ellipse that makes their squares least."""
    from scipy.optimize import least_squares

    points = radius * [np.cos(np.radians(angle)), np.sin(np.radians(angle))]

    def residual(fit):
        x, y, a, b = fit
        u, v = points[0] - x, points[1] - y
        return np.hypot(u, v) * (1 - 1 / np.hypot(u / a, v / b))

    return np.abs(residual(least_squares(residual, [0, 0, 300, 400]).x)).max()


@pytest.mark.parametrize("points", EGGS.values(), ids=EGGS)
def test_the_distance_from_the_ellipse_is_that_of_another_fit(points):
    """Upright ellipses by their semi-axes, fitted by SciPy to all readings.

    Averaging over an arc takes a little from the distance; that some readings are given less
    weight adds some.
    """
    angle, radius = radii(points, 180)
    shape = shape_from_radii(angle, radius)
    assert 0.9 < shape.figure.distance / furthest(angle, radius) < 1.3


@pytest.mark.parametrize("turn", [0, 45, 90, 180, 270])
@pytest.mark.parametrize("side", [1, -1])
def test_the_tip_is_found_wherever_it_lies(turn, side):
    """Unturned the tip lies at 270 deg; upside down at 90 deg."""
    kind = shape_from_radii(*radii(CLASSIC * [1, side], 72, turn=turn)).figure.kind
    tip = (-90 * side + turn) % 360
    assert f"narrower at {tip} deg" in kind
    assert ("invert" in kind) == (tip in (180, 270))


@pytest.mark.parametrize(
    "points",
    [box(500, 500), box(500, 600), box(600, 500), horseshoe(500, 500), horseshoe(500, 600)],
)
@pytest.mark.parametrize("count", [36, 72, 360])
@pytest.mark.parametrize("noise", [0.0, 2.5])
def test_boxes_and_horseshoes_are_no_ellipses(points, count, noise):
    shape = shape_from_radii(*radii(points, count, (5.0, 10.0), noise=noise))
    assert not shape.is_ellipse
    if len(points) == 16000:
        assert shape.figure.kind.startswith("box-like")


@settings(max_examples=100, deadline=None)
@given(
    ovality=st.floats(0, 15),
    axis=st.floats(0, 180),
    x=st.floats(-25, 25),
    y=st.floats(-25, 25),
    gap=st.sampled_from([0, 60, 110]),
    at=st.floats(0, 360),
    wild=st.booleans(),
    noise=st.sampled_from([0.0, 0.1, 1.0]),
    count=st.sampled_from([12, 16, 18, 24, 36, 72, 360]),
    seed=st.integers(0, 2**32 - 1),
)
def test_an_ellipse_stays_one(ovality, axis, x, y, gap, at, wild, noise, count, seed):
    random = np.random.default_rng(seed)
    angle, radius = ellipse_radii(100.0, ovality, axis, (x, y), count)
    radius = radius + random.normal(0, noise, count)
    if wild:
        hit = random.choice(count, max(1, count // 15), replace=False)
        radius[hit] *= random.uniform(0.2, 2.0, hit.size)
    shape = shape_from_radii(*without(angle, radius, gap, at))
    assert shape.figure is None


@pytest.mark.parametrize("sides", [[90.0], [90.0, 270.0], [10.0, 130.0]])
@pytest.mark.parametrize("half_arc", [20.0, 30.0])
def test_a_dented_circle_is_dented(sides, half_arc):
    shape = shape_from_radii(*flattened(sides, half_arc))
    assert shape.figure is None
    assert len(shape.departures) >= len(sides)


def test_dents_and_bulges_are_rarely_taken_for_another_figure():
    """Of 80 none should be; noise and depth are drawn, so that one is allowed."""
    taken = 0
    for seed in range(80):
        random = np.random.default_rng(seed)
        angle, radius = ellipse_radii(100.0, random.uniform(0, 10), 30.0, (4.0, 9.0), 180)
        half, at = random.uniform(10, 30), random.uniform(0, 360)
        away = np.abs((angle - at + 180) % 360 - 180)
        bulge = np.where(away < half, np.cos(np.pi * away / 2 / half) ** 2, 0)
        radius += random.choice([-1, 1]) * random.uniform(3, 15) * bulge + random.normal(0, 1, 180)
        taken += shape_from_radii(angle, radius).figure is not None
    assert taken <= 1


@pytest.mark.parametrize("count", [8, 12, 15])
def test_too_few_readings_say_that_they_cannot_tell(count):
    shape = shape_from_radii(*radii(CLASSIC, count))
    assert any("too few to distinguish an ellipse from an egg" in text for text in shape.cautions)


def test_readings_that_scatter_too_much_say_so():
    """18 readings about a circle, scattering by 2 % of the radius, would not show an egg."""
    angle, radius = ellipse_radii(100.0, 0.0, 0.0, (0.0, 0.0), 18)
    noisy = radius + np.random.default_rng(2).normal(0, 2.0, 18)
    assert any("too scattered" in text for text in shape_from_radii(angle, noisy).cautions)
    assert shape_from_radii(angle, radius).cautions == ()


def test_how_likely_a_wave_is_an_accident_is_the_f_distribution_of_scipy():
    from scipy.stats import f

    angle = np.arange(0, 360, 10.0)
    turn = np.radians(angle)
    value = 0.01 * np.cos(3 * turn + 1) + np.random.default_rng(8).normal(0, 0.01, 36)

    def left(orders):
        columns = [np.ones(36), *(w(k * turn) for k in orders for w in (np.cos, np.sin))]
        return np.linalg.lstsq(np.column_stack(columns), value, rcond=None)[1][0]

    # A quarter of the readings each for sine and cosine, less the ellipse's: 8 orders, 17 columns.
    ratio = (left([1, 2]) - left([1, 2, 3])) / 2 / (left(range(1, 9)) / 19)
    third = waves_about(angle, value).found[0]
    assert third.by_accident == pytest.approx(f.sf(ratio, 2, 19), rel=1e-6)
    # Equally spaced, the height of a wave is that of its Fourier sum.
    fourier = 2 / 36 * abs(np.sum(value * np.exp(-3j * turn)))
    assert third.height == pytest.approx(fourier, rel=1e-9)


def test_waves_are_sought_in_sixteen_readings_and_up_to_the_twelfth():
    """The same F test by SciPy for 72 readings, of which 25 columns leave 47 degrees of freedom,
    and for 16, of which 7 leave 9; none in 15. By equal spacing the columns are orthogonal."""
    for count, orders, freedom in ((72, range(1, 13), 47), (16, range(1, 4), 9)):
        angle = np.arange(count) * 360 / count
        turn = np.radians(angle)
        noise = np.random.default_rng(count).normal(0, 0.004, count)
        value = 0.02 * np.cos(3 * (turn - 0.5)) + noise
        power = {
            k: 2 / count * abs(np.sum(value * np.exp(-1j * k * turn))) ** 2 for k in range(1, 13)
        }
        total = value @ value - count * value.mean() ** 2
        variance = (total - sum(power[k] for k in orders)) / freedom
        found = waves_about(angle, value)
        assert found.scatter == pytest.approx(np.sqrt(variance))
        # A wave of the height h has the square sum n h^2/2 in its two columns.
        least = 2 * variance * stats.f.isf(1e-5, 2, freedom)
        assert found.told == pytest.approx(np.sqrt(2 / count * least))
        third = found.found[0]
        assert (third.order, len(found.found)) == (3, min(2, len(orders) - 2))
        assert third.by_accident == pytest.approx(
            stats.f.sf(power[3] / 2 / variance, 2, freedom), rel=1e-6
        )
        beyond = total - power[1] - power[2] - (count - 5) * variance
        assert third.explained == pytest.approx((power[3] - 2 * variance) / beyond)
        assert third.crest == pytest.approx(np.degrees(0.5), abs=5)
        if count == 72:
            fourth = found.found[1]
            spectrum = np.sum(value * np.exp(-4j * turn))
            assert fourth.height == pytest.approx(2 / count * abs(spectrum))
            assert fourth.crest == pytest.approx(np.degrees(-np.angle(spectrum)) / 4 % 90)
    few = np.arange(15) * 24.0
    assert waves_about(few, np.cos(3 * np.radians(few))).found == ()
    # Readings twice at one place are one place.
    twice = np.repeat(few, 2)
    assert waves_about(twice, np.cos(3 * np.radians(twice))) == Waves(np.inf, np.inf, ())


def test_readings_without_noise_leave_no_accident():
    angle = np.arange(0, 360, 10.0)
    wave = waves_about(angle, 0.02 * np.cos(4 * np.radians(angle - 20))).found[1]
    assert wave.height == pytest.approx(0.02)
    assert wave.crest == pytest.approx(20)
    assert wave.by_accident == pytest.approx(0, abs=1e-12)
    assert wave.explained == pytest.approx(1)


TALL = Wave(3, 0.02, 90.0, 1e-6, 0.8)
OVAL = Ellipse((0.0, 0.0), 200.0, 220.0, 180.0, 10.0, 1.0, 90.0, 31101.8, 0.1)
GRID = np.radians(np.arange(360.0))
FLAT_WAVE = 0.02 * np.cos(3 * (GRID - np.pi / 2))
ALL = np.ones(10, dtype=bool)


def found(wave, ellipse=OVAL, kept=ALL, tolerance=0.02):
    return figure_of(Waves(0.001, 0.01, (wave,)), ellipse, FLAT_WAVE, kept, tolerance)


def test_a_figure_takes_a_tall_wave_that_is_no_accident_and_most_of_the_rest():
    """Each border by itself: at the tolerance it counts, at the chance of noise it does not."""
    assert found(TALL).kind.startswith("egg-like, narrower at 90 deg")
    assert found(replace(TALL, height=0.0199)) is None
    assert found(replace(TALL, by_accident=1e-5)) is None
    assert found(replace(TALL, explained=0.7)) is not None
    assert found(replace(TALL, explained=0.699)) is None
    assert found(TALL, kept=np.arange(10) > 0) is not None
    assert found(TALL, kept=np.arange(10) > 1) is None


def test_of_two_waves_the_one_that_explains_more_is_the_figure():
    box_like = Wave(4, 0.02, 45.0, 1e-6, 0.9)
    both = Waves(0.001, 0.01, (TALL, box_like))
    kind = figure_of(both, OVAL, FLAT_WAVE, ALL, 0.01).kind
    assert kind == "box-like, corners at 45, 135, 225, 315 deg"


def test_an_egg_has_a_crest_within_fifteen_degrees_of_a_long_axis():
    """The long axis lies upright; one that is no longer than three of its errors is none."""
    assert found(replace(TALL, crest=104.9)).kind.startswith("egg-like, narrower at 105 deg")
    assert found(replace(TALL, crest=105.1)).kind == "three-cornered"
    assert found(replace(TALL, crest=75.0)).kind.startswith("egg-like, narrower at 75 deg")
    assert found(replace(TALL, crest=74.0)).kind == "three-cornered"
    assert found(TALL, replace(OVAL, ovality=3.0)).kind == "three-cornered"
    assert found(TALL, replace(OVAL, ovality=3.01)).kind.startswith("egg-like")
    # Crests at 30, 150 and 270 deg: the tip is that at the other end of the axis.
    tips = {crest: found(replace(TALL, crest=crest)).kind for crest in (30.0, 45.0, 15.0)}
    right = "the invert if 0 deg is to the right"
    assert tips[30.0] == f"egg-like, narrower at 270 deg, {right}"
    assert tips[45.0] == f"egg-like, narrower at 285 deg, {right}"
    assert tips[15.0] == f"egg-like, narrower at 255 deg, {right}"
    level = replace(OVAL, long_axis=0.0)
    assert found(replace(TALL, crest=60.0), level).kind == (
        "egg-like, narrower at 180 deg, the invert if 0 deg is at the crown"
    )
    assert found(replace(TALL, crest=0.0), level).kind == "egg-like, narrower at 0 deg"
    inclined = replace(OVAL, long_axis=74.0)
    assert found(replace(TALL, crest=14.0), inclined).kind == "egg-like, narrower at 254 deg"


def test_the_lengths_of_a_figure_by_hand():
    """On a circle of 100 a wave of order 3 of 2 % has the distance 2; the width across a tip is
    the support on both sides, 102 and 98 nearly; least and largest by a dense hull of the curve."""
    round_pipe = Ellipse((0.0, 0.0), 200.0, 200.0, 200.0, 0.0, 0.0, 0.0, 31415.9, 0.1)
    figure = found(TALL, round_pipe)
    assert figure.kind == "three-cornered"
    assert figure.distance == pytest.approx(2.0, rel=1e-6)
    turn = np.linspace(0, 2 * np.pi, 3600, endpoint=False)
    radius = 100 * (1 + 0.02 * np.cos(3 * (turn - np.pi / 2)))
    points = (radius * np.array([np.cos(turn), np.sin(turn)])).T
    outer = points[ConvexHull(points).vertices]
    spans = [np.ptp(outer @ [np.cos(a), np.sin(a)]) for a in np.radians(np.arange(180))]
    assert figure.least_width == pytest.approx(min(spans), rel=1e-4)
    assert figure.largest_width == pytest.approx(max(spans), rel=1e-4)


def test_what_cannot_be_told_is_said():
    """A wave that one accident in a hundred makes is doubted; from 3 % a figure would show."""

    def said(waves, tolerance=0.02):
        return doubts(waves, 20, tolerance)

    seen = replace(TALL, by_accident=0.009, height=0.0984)
    assert said(Waves(0.01, 0.05, (seen,)))[0].startswith("possible egg shape, 9.8 %")
    assert said(Waves(0.01, 0.01, (replace(seen, order=4),)))[0].startswith(
        "possible box shape, 9.8 %"
    )
    unseen = replace(seen, by_accident=0.01)
    assert said(Waves(0.01, 0.03, (unseen,))) == ()
    (least,) = said(Waves(0.01, 0.0301, (unseen,)))
    assert "less than 3.0 %" in least
    assert "less than 9.8 %" in said(Waves(0.01, 0.0984, (unseen,)))[0]
    assert said(Waves(np.inf, np.inf, ()))[0].startswith("number of radii: 20; too few")


@pytest.mark.parametrize(("count", "orders"), [(15, []), (16, [3]), (17, [3]), (18, [3, 4])])
def test_a_wave_of_each_order_takes_readings_enough(count, orders):
    """Waves up to m have 2 m + 1 columns; as many readings again are left to know the noise by."""
    about = np.arange(count) * 360 / count
    noise = np.random.default_rng(1).normal(0, 0.01, count)
    assert [wave.order for wave in waves_about(about, noise).found] == orders
