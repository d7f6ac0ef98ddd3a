"""Shapes against constructed ellipses, whose points come from the parametric form."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from outlines import ellipse_radii, flattened, without

from linerdesign.field.survey.ellipse import fit_ellipse
from linerdesign.field.survey.shape import _gaps, _smoothed, shape_from_diameters, shape_from_radii
from linerdesign.project.faults import InputFaults


@settings(max_examples=60, deadline=None)
@given(
    ovality=st.floats(0, 12),
    axis=st.floats(0, 180),
    x=st.floats(-40, 40),
    y=st.floats(-40, 40),
    gap=st.floats(0, 110),
    count=st.sampled_from([24, 36, 72, 360]),
)
def test_clean_ellipse_is_found_from_any_inner_point_and_across_a_gap(
    ovality, axis, x, y, gap, count
):
    angle, radius = ellipse_radii(150.0, ovality, axis, (x, y), count)
    shape = shape_from_radii(*without(angle, radius, gap))
    fit = shape.ellipse
    assert fit.ovality == pytest.approx(ovality, abs=2e-4)
    assert fit.mean_diameter == pytest.approx(300.0, rel=1e-5)
    assert fit.centre == pytest.approx((x, y), abs=2e-3)
    area = np.pi * 150**2 * (1 - (ovality / 100) ** 2)
    assert fit.area == pytest.approx(area, rel=1e-5)
    assert shape.area == pytest.approx(area, rel=2e-3)
    assert shape.departures == ()
    if ovality > 1:
        assert abs((fit.long_axis - axis + 90) % 180 - 90) < 0.1


@settings(max_examples=60, deadline=None)
@given(
    ovality=st.floats(0, 10),
    axis=st.floats(0, 180),
    x=st.floats(-30, 30),
    y=st.floats(-30, 30),
    gap=st.sampled_from([0.0, 60.0, 90.0]),
    count=st.sampled_from([72, 180, 360]),
    seed=st.integers(0, 2**32 - 1),
)
def test_noise_gaps_and_wild_points_together(ovality, axis, x, y, gap, count, seed):
    random = np.random.default_rng(seed)
    angle, radius = ellipse_radii(100.0, ovality, axis, (x, y), count)
    radius = radius + random.normal(0, 0.3, count)
    hit = random.choice(count, count // 15, replace=False)
    radius[hit] *= random.uniform(0.2, 2.0, hit.size)
    shape = shape_from_radii(*without(angle, radius, gap))
    # Five standard errors: one in a million by accident, and small at that.
    error = shape.ellipse.ovality_standard_error
    assert error < 0.25
    assert abs(shape.ellipse.ovality - ovality) < max(5 * error, 0.02)
    assert shape.ellipse.mean_diameter == pytest.approx(200.0, abs=0.6)


def test_fit_agrees_with_the_conic_by_linear_least_squares():
    angle, radius = ellipse_radii(150.0, 4.0, 30.0, (12.0, -7.0), 90)
    turn = np.radians(angle)
    x, y = radius * np.cos(turn) / 150, radius * np.sin(turn) / 150
    # The general conic A x2 + B x y + C y2 + D x + E y = 1, an independent route.
    A, B, C, D, E = np.linalg.lstsq(
        np.column_stack([x * x, x * y, y * y, x, y]), np.ones(x.size), rcond=None
    )[0]
    centre = np.linalg.solve([[2 * A, B], [B, 2 * C]], [-D, -E])
    level = 1 - (D * centre[0] + E * centre[1]) / 2
    axes = np.sqrt(level / np.linalg.eigvalsh([[A, B / 2], [B / 2, C]]))
    fit, _ = fit_ellipse(angle, radius)
    assert fit.centre == pytest.approx(tuple(centre * 150), abs=1e-3)
    assert fit.maximum_diameter == pytest.approx(2 * 150 * axes.max(), rel=1e-5)
    assert fit.minimum_diameter == pytest.approx(2 * 150 * axes.min(), rel=1e-5)


def test_measured_outline_of_an_ellipse_against_integration():
    from scipy.integrate import quad

    angle, radius = ellipse_radii(100.0, 6.0, 0.0, (0.0, 0.0), 360)
    shape = shape_from_radii(angle, radius)
    a, b = 106.0, 94.0

    def across(turn):
        return 2 * a * b / np.hypot(b * np.cos(turn), a * np.sin(turn))

    assert shape.measured.mean == pytest.approx(quad(across, 0, np.pi)[0] / np.pi, rel=1e-5)
    assert shape.measured.maximum == pytest.approx(212.0, rel=1e-5)
    assert shape.measured.minimum == pytest.approx(188.0, rel=1e-5)
    assert shape.area == pytest.approx(np.pi * a * b, rel=1e-5)
    assert shape.adopted.basis == "best-fit ellipse"
    assert shape.adopted.ovality_from_minimum == pytest.approx(6.0, abs=1e-4)
    assert shape.adopted.ovality_from_maximum == pytest.approx(6.0, abs=1e-4)


@settings(max_examples=25, deadline=None)
@given(turn=st.floats(0, 360), scale=st.floats(0.01, 1000), seed=st.integers(0, 1000))
def test_turning_and_scaling_change_nothing_else(turn, scale, seed):
    angle, radius = ellipse_radii(100.0, 5.0, 20.0, (5.0, 3.0), 72)
    radius = radius + np.random.default_rng(seed).normal(0, 0.2, 72)
    here, there = (
        fit_ellipse(angle, radius)[0],
        fit_ellipse((angle + turn) % 360, radius * scale)[0],
    )
    assert there.ovality == pytest.approx(here.ovality, abs=1e-6)
    assert there.mean_diameter == pytest.approx(here.mean_diameter * scale, rel=1e-8)


def test_one_sided_flattening_is_named_and_measured():
    shape = shape_from_radii(*flattened([90.0]))
    assert [found.kind for found in shape.departures] == ["one-sided flattening"]
    arc = shape.departures[0]
    assert (arc.from_angle, arc.to_angle) == pytest.approx((60, 120), abs=4)
    assert (arc.from_angle + arc.to_angle) / 2 == pytest.approx(90, abs=1)
    # The sagitta of a chord over 60 degrees is 1 - cos 30 degrees of the radius.
    assert arc.depth == pytest.approx(-100 * (1 - np.cos(np.radians(30))), abs=0.5)
    assert shape.wild_angles == ()
    assert shape.adopted.basis == "measured outline"
    assert shape.adopted.minimum == pytest.approx(100 + 100 * np.cos(np.radians(30)), abs=0.5)


def test_two_sided_flattening_is_told_from_one_sided():
    shape = shape_from_radii(*flattened([90.0, 270.0]))
    assert {found.kind for found in shape.departures} == {"two-sided flattening"}
    assert shape.adopted.minimum == pytest.approx(200 * np.cos(np.radians(30)), abs=0.7)


def test_step_is_placed_and_sized():
    angle = np.arange(360.0)
    radius = 100 + np.random.default_rng(4).normal(0, 0.15, 360)
    radius[40:140] -= 4
    steps = [d for d in shape_from_radii(angle, radius).departures if d.kind == "step"]
    assert [step.from_angle for step in steps] == pytest.approx([39.5, 139.5], abs=3)
    assert [abs(step.depth) for step in steps] == pytest.approx([4, 4], abs=0.4)


def test_noise_alone_is_no_departure():
    for seed in range(60):
        random = np.random.default_rng(seed)
        count = int(random.choice([36, 72, 180, 360]))
        angle, radius = ellipse_radii(100.0, 3.0, 70.0, (4.0, 9.0), count)
        assert shape_from_radii(angle, radius + random.normal(0, 0.3, count)).departures == ()


def test_neighbouring_wild_readings_are_no_shape_of_the_pipe():
    angle = np.arange(360.0)
    random = np.random.default_rng(5)
    radius = 100 + random.normal(0, 0.2, 360)
    radius[40:55] = random.uniform(20, 90, 15)
    radius[200] = 500.0
    shape = shape_from_radii(angle, radius)
    assert set(shape.wild_angles) == {*np.arange(40.0, 55.0), 200.0}
    assert shape.departures == ()
    assert shape.adopted.ovality < 0.2


def test_ovality_of_diameters_in_both_forms():
    shape = shape_from_diameters([200.0, 206.0, 197.0, 201.0])
    # 100 (201 - 197)/201 and 100 (206 - 201)/201, by hand.
    assert shape.measured.ovality_from_minimum == pytest.approx(1.990050, abs=1e-6)
    assert shape.measured.ovality_from_maximum == pytest.approx(2.487562, abs=1e-6)
    assert shape.measured.ovality == shape.measured.ovality_from_maximum
    assert shape.measured.ovality_form == "from the maximum diameter"
    assert shape.area == pytest.approx(np.pi / 4 * 206 * 197)


def test_angles_of_another_turn_are_those_of_the_first():
    angle, radius = ellipse_radii(100.0, 4.0, 30.0, (3.0, 2.0), 72)
    radius[8] *= 1.5
    here, there = (shape_from_radii(angle + turn, radius) for turn in (0, 720))
    assert here.wild_angles == there.wild_angles == (40.0,)
    assert there.outline == pytest.approx(here.outline)
    assert there.ellipse.long_axis == pytest.approx(here.ellipse.long_axis)


def test_residuals_are_averaged_over_the_arc_its_ends_included():
    """Over 10 degrees; by a straight line where it holds none, and none where nothing was read."""
    about, residual = np.array([0.0, 5.0, 90.0, 180.0]), np.array([0.1, 0.3, 0.0, -0.2])
    grid = np.array([0.0, 3.0, 4.9, 5.1, 10.0, 11.0, 48.0, 100.0, 355.0, 354.0])
    smooth = _smoothed(about, residual, grid, (), 10.0)
    assert smooth == pytest.approx(
        [0.2, 0.2, 0.2, 0.3, 0.3, 0.3 * 79 / 85, 0.3 * 42 / 85, -0.2 / 9, 0.1,
         0.1 - 0.3 * 6 / 180]
    )  # fmt: skip
    left = _smoothed(about, residual, grid, ((180.0, 0.0), (5.0, 90.0)), 10.0)
    assert left == pytest.approx([0.2, 0.2, 0.2, 0, 0, 0, 0, -0.2 / 9, 0, 0])
    assert _smoothed(about, residual, np.array([90.0, 180.0]), ((5.0, 90.0), (180.0, 0.0)), 10.0)[
        0
    ] == pytest.approx(0.0)


def test_a_gap_is_wider_than_fifteen_degrees_and_three_spacings():
    even = np.arange(0.0, 360.0, 5.0)
    assert _gaps(even) == ()
    assert _gaps(np.delete(even, [10, 11])) == ()
    assert _gaps(np.delete(even, [10, 11, 12])) == ((45.0, 65.0),)
    assert _gaps(np.delete(even, [0, 71, 70])) == ((345.0, 5.0),)
    wide = np.arange(0.0, 360.0, 10.0)
    assert _gaps(np.delete(wide, [10, 11])) == ()
    assert _gaps(np.delete(wide, [10, 11, 12])) == ((90.0, 130.0),)


def test_few_readings_say_so():
    shape = shape_from_radii(np.arange(0, 360, 45), [100, 101, 103, 101, 100, 101, 103, 101.0])
    assert any("number of radii: 8" in text for text in shape.cautions)
    assert shape_from_diameters([200.0]).cautions != ()


@pytest.mark.parametrize(
    ("angle", "radius", "words"),
    [
        (range(7), [100.0] * 7, "at least 8"),
        ([0.0] * 10, [100.0] * 10, "radii at 1 angles; at least 8"),
        (np.arange(0, 180, 10), [100.0] * 18, "no radius over"),
        (np.arange(0, 360, 10), [100.0] * 35 + [-1.0], "over zero"),
        (np.arange(0, 360, 10), [100.0] * 35 + [float("nan")], "over zero"),
        (np.arange(0, 360, 10), [100.0] * 35, "one angle for each radius"),
    ],
)
def test_impossible_radii_are_refused(angle, radius, words):
    with pytest.raises(InputFaults) as refused:
        shape_from_radii(angle, radius)
    assert words in str(refused.value)


def test_every_bad_diameter_is_listed():
    with pytest.raises(InputFaults) as refused:
        shape_from_diameters([200.0, -1.0, float("inf"), 0.0], station=12.0)
    assert [fault.place for fault in refused.value.faults] == [
        "station 12, diameter 2",
        "station 12, diameter 3",
        "station 12, diameter 4",
    ]
