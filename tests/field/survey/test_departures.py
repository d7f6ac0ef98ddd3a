"""Which readings stand alone, and where an outline leaves its ellipse, by hand-made residuals."""

import numpy as np
import pytest
from outlines import ellipse_radii

from linerdesign.field.survey.departures import (
    Departure,
    Settings,
    _is_corner,
    _line_at,
    departures_from_ellipse,
    outliers,
)
from linerdesign.field.survey.ellipse import Ellipse
from linerdesign.field.survey.shape import (
    _beside_the_ellipse,
    shape_from_diameters,
    shape_from_radii,
)

DEGREES = np.arange(360.0)
NONE = np.zeros(360)
USUAL = Settings()


def outlying(places, residual, spacing=4.0):
    """Which of readings that leave an ellipse otherwise exact, at these places, stand alone."""
    about = np.arange(0.0, 360.0, spacing)
    off = np.zeros(about.size)
    off[list(places)] = residual
    return outliers(about, off, off == 0)[list(places)].tolist()


def test_neighbours_over_an_arc_on_one_side_are_no_outliers():
    """Three readings over eight degrees at least, none of them far from the next."""
    assert outlying([10, 11, 12], [-0.1, -0.1, -0.1]) == [False] * 3
    assert outlying([10, 11], [-0.1, -0.1]) == [True] * 2
    assert outlying([10, 11, 12], [-0.1, -0.1, -0.1], spacing=3.75) == [True] * 3
    assert outlying([10, 11, 12], [-0.1, 0.1, -0.1]) == [True] * 3
    # Around the end of the circle as anywhere.
    assert outlying([89, 0, 1], [0.1, 0.1, 0.1]) == [False] * 3
    assert outlying([88, 0, 1], [0.1, 0.1, 0.1]) == [True] * 3
    assert outlying([95, 0, 1], [0.1, 0.1, 0.1], spacing=3.75) == [True] * 3


def test_outliers_side_by_side_jump_about():
    """By the median, one of n may be 2/n of the largest from the next, a tenth at least."""
    assert outlying([10, 11, 12], [0.1, 0.0334, 0.1]) == [False] * 3
    assert outlying([10, 11, 12], [0.1, 0.0332, 0.1]) == [True] * 3
    # Just 2/4 of the largest is allowed.
    assert outlying([10, 11, 12, 13], [0.5, 0.25, 0.5, 0.25]) == [False] * 4
    # Of forty readings a tenth: they go up and down by it.
    for jump, alone in ((0.0099, False), (0.0101, True)):
        run = 0.1 - jump * (np.arange(40) % 2)
        assert outlying(range(20, 60), run) == [alone] * 40


def test_what_all_readings_scatter_by_is_allowed_three_times():
    """Readings off by 0.01 by the median: three neighbours, 2/3 of 0.1 and 0.03 from the next."""
    about = np.arange(0.0, 360.0, 4.0)
    for jump, alone in ((0.096, False), (0.0975, True)):
        residual = np.where(np.arange(90) % 2, 0.01, -0.01)
        kept = np.ones(90, dtype=bool)
        residual[10:13], kept[10:13] = (0.1, 0.1 - jump, 0.1), False
        assert outliers(about, residual, kept).tolist() == [
            alone and 10 <= place < 13 for place in range(90)
        ]


def arcs(smooth, scatter=0.0, settings=USUAL, about=DEGREES):
    """Departures of averaged residuals whose readings show no step."""
    return departures_from_ellipse(about, np.zeros(about.size), smooth, scatter, settings)


def bump(start, count, depth):
    smooth = NONE.copy()
    smooth[(np.arange(start, start + count)) % 360] = depth
    return smooth


def test_an_arc_of_eight_degrees_past_the_tolerance_is_a_departure():
    assert arcs(bump(100, 8, -0.02)) == (Departure("one-sided flattening", 100, 107, -2.0),)
    assert arcs(bump(100, 7, -0.02)) == arcs(bump(100, 1, -0.02)) == ()
    assert arcs(bump(0, 360, -0.02)) == (Departure("two-sided flattening", 0, 359, -2.0),)
    assert arcs(bump(355, 10, 0.02)) == (Departure("one-sided widening", 355, 4, 2.0),)
    # Past the tolerance, not at it.
    assert arcs(bump(100, 8, 0.01)) == ()
    assert arcs(bump(100, 8, 0.01005)) != ()
    assert arcs(bump(100, 8, 0.03), settings=Settings(tolerance=0.03)) == ()
    assert arcs(bump(100, 8, 0.0301), settings=Settings(tolerance=0.03)) != ()


def test_the_depth_is_the_largest_of_the_arc():
    smooth = bump(40, 20, -0.02)
    smooth[50] = -0.031
    (found,) = arcs(smooth)
    assert found.depth == pytest.approx(-3.1)


@pytest.mark.parametrize(("across", "sides"), [(10, "one"), (11, "two"), (20, "two")])
def test_an_arc_is_two_sided_where_more_than_half_of_it_has_its_like_across(across, sides):
    found = arcs(bump(40, 20, -0.02) + bump(220, across, -0.02))
    assert arcs(bump(20, 149, -0.02) + bump(200, 75, -0.02))[0].kind == "two-sided flattening"
    assert found[0].kind == f"{sides}-sided flattening"
    opposed = arcs(bump(40, 20, -0.02) + bump(220, across, 0.02))
    assert [each.kind for each in opposed] == ["one-sided flattening", "one-sided widening"]


def test_noise_takes_four_and_a_half_standard_errors():
    """Averaged over ten readings, a scatter of 0.02 is one of 0.02/sqrt(10); over one it stays."""
    assert USUAL.smoothing == 10.0  # degrees, as `--smoothing` says
    for about, smoothing, error in (
        (DEGREES, 10.0, 0.02 / np.sqrt(10)),
        (DEGREES, 40.0, 0.02 / np.sqrt(40)),
        (np.arange(0, 360, 20.0), 10.0, 0.02),
    ):
        settings = Settings(smoothing=smoothing)
        for share, seen in ((0.997, False), (1.003, True)):
            smooth = bump(100, 20, 4.5 * error * share)
            assert bool(arcs(smooth, 0.02, settings, about)) == seen


def steps(residual, about=DEGREES, scatter=0.0, settings=USUAL, smooth=NONE):
    return departures_from_ellipse(about, residual, smooth, scatter, settings)


def test_a_step_lies_half_way_between_its_readings_and_is_as_high_as_they_say():
    up, down = steps(np.where((DEGREES > 100) & (DEGREES <= 200), 0.02, 0.0))
    assert (up.kind, up.from_angle, up.to_angle) == ("step", 100.5, 100.5)
    assert (down.from_angle, down.to_angle) == (200.5, 200.5)
    assert (up.depth, down.depth) == pytest.approx((2.0, -2.0))
    # Over the end of the circle, and above the limit only.
    assert [s.from_angle for s in steps(np.where(DEGREES < 100, 0.02, 0.0))] == [99.5, 359.5]
    assert steps(np.where(DEGREES < 100, 0.0099, 0.0)) == ()
    assert len(steps(np.where(DEGREES < 100, 0.01005, 0.0))) == 2
    assert steps(np.where(DEGREES < 100, 0.02, 0.0), settings=Settings(step=0.021)) == ()


def test_a_step_lies_within_the_first_turn_and_above_its_limit():
    (over,) = steps(np.where(DEGREES < 100, 0.02, 0.0), DEGREES + 0.7)[1:]
    assert over.from_angle == pytest.approx(0.2)
    assert steps(np.where(DEGREES < 100, 0.5, 0.0), settings=Settings(step=0.5)) == ()


HALF_AS_MANY = np.delete(np.arange(0, 360, 2.0), [41, 42, 43])  # a hole from 80 to 88 deg
FIVE_READINGS = Settings(smoothing=11.0, step=0.005)


def test_of_two_steps_within_the_arc_of_a_line_the_larger_counts():
    """Lines of five readings: a pulse of six keeps both its ends, of five the larger only."""
    about = np.arange(0, 360, 2.0)
    for heights in ((0.02, 0.03), (0.03, 0.02)):
        for length, ends in ((6, 2), (5, 1)):
            residual = np.zeros(180)
            residual[100 : 100 + length] = heights[0]
            residual[100 + length :] = heights[0] - heights[1]
            found = steps(residual, about, settings=FIVE_READINGS)
            depths = sorted(abs(step.depth) for step in found if 150 < step.from_angle < 250)
            assert depths == pytest.approx([2.0, 3.0][2 - ends :])


@pytest.mark.parametrize(
    ("last", "seen"), [(35, True), (36, False), (40, False), (44, False), (45, True)]
)
def test_no_step_is_told_from_lines_over_a_hole(last, seen):
    """It lies after the reading 40; lines of five end on it from 36 to 44."""
    residual = np.where(np.arange(177) > last, 0.02, 0.0)
    found = steps(residual, HALF_AS_MANY, settings=FIVE_READINGS)
    middle = (HALF_AS_MANY[last] + HALF_AS_MANY[last + 1]) / 2
    assert (middle in [step.from_angle for step in found]) is seen
    assert steps(np.zeros(177), HALF_AS_MANY, settings=FIVE_READINGS) == ()


def test_a_line_through_close_readings_has_its_slope_and_through_one_place_their_mean():
    residual = np.array([0.1, 0.2, 0.3, 0.4])
    rows = np.array([[0, 1, 2, 3]])
    close = _line_at(np.array([359.8, 359.9, 0.0, 0.1]), residual, rows, np.array([360.15]))
    assert close == pytest.approx([0.45])
    same = _line_at(np.full(4, 7.0), residual, rows, np.array([7.5]))
    assert same == pytest.approx([0.25])


def test_a_slope_is_no_step():
    """Straight up by 0.1 over 100 degrees: lines on either side meet; the corners are under it."""
    assert steps(np.interp(DEGREES, [100, 200, 300], [0, 0.1, 0])) == ()


def test_noise_takes_four_and_a_half_standard_errors_of_two_lines():
    """With ten readings a line, their difference at the step scatters by sqrt(10/10) of theirs,
    with five by sqrt(2): 5 to 15 readings as the arc of smoothing holds."""
    for smoothing, readings in ((10.0, 10), (1.0, 5), (40.0, 15)):
        error = 0.01 * np.sqrt(10 / readings)
        for share, seen in ((0.997, 0), (1.003, 2)):
            residual = np.where(DEGREES < 180, 4.5 * error * share, 0.0)
            found = steps(residual, scatter=0.01, settings=Settings(smoothing=smoothing))
            assert len(found) == seen


@pytest.mark.parametrize(("smoothing", "reach"), [(11.0, 5), (17.0, 8)])
def test_steps_are_where_lines_by_polyfit_part_farthest(smoothing, reach):
    """Uneven readings two degrees apart by the median: lines by NumPy through so many readings of
    the arc of smoothing on either side, read half-way between the two that are next to each other;
    none over a hole, and of places within the arc of one another the one that parts most."""
    random = np.random.default_rng(reach)
    about = np.arange(0.0, 360.0, 2.0) + random.uniform(-0.4, 0.4, 180)
    about = np.delete(about, [90, 91, 92]) % 360
    about.sort()
    count = about.size
    residual = random.normal(0, 0.01, count) + 0.03 * (about > 40) - 0.04 * (about > 150)
    around = np.concatenate([about - 360, about, about + 360])
    value = np.tile(residual, 3)
    jumps = []
    for last in range(count, 2 * count):
        before, after = np.arange(last - reach + 1, last + 1), np.arange(last + 1, last + reach + 1)
        middle = (around[last] + around[last + 1]) / 2
        ends = [
            np.polyval(np.polyfit(around[part] - middle, value[part], 1), 0.0)
            for part in (before, after)
        ]
        hole = np.diff(around[before[0] : after[-1] + 1]).max() > 6
        jumps.append((middle % 360, 0.0 if hole else ends[1] - ends[0]))
    size = np.abs([jump for _, jump in jumps])
    expected = [
        at
        for index, at in enumerate(jumps)
        if size[index] > 0.01
        and size[index] == max(size[(index + k) % count] for k in range(-reach, reach + 1))
    ]
    assert len(expected) >= 5
    found = steps(residual, about, settings=Settings(smoothing=smoothing))
    assert [step.from_angle for step in found] == pytest.approx([at for at, _ in expected])
    assert [step.depth for step in found] == pytest.approx([100 * jump for _, jump in expected])


@pytest.mark.parametrize(("spacing", "seen"), [(6.0, True), (6.03, False), (7.2, False)])
def test_readings_far_apart_tell_no_step(spacing, seen):
    """Our choice: over 6 degrees apart a slope looks the same."""
    about = np.arange(0, 360, spacing)
    assert bool(steps(np.where(about < 180, 0.03, 0.0), about)) == seen


def test_few_readings_tell_no_step():
    """Two lines of five readings on either side of a step, and as many over."""
    for count, seen in ((20, True), (19, False)):
        about = np.arange(count) * 5.0
        residual = np.where(about < 50, 0.03, 0.0)
        assert bool(steps(residual, about)) == seen


def test_a_small_step_at_the_end_of_a_deep_arc_is_its_corner():
    """Within eight degrees of the end, and under half of its depth."""
    residual = np.where((DEGREES > 100) & (DEGREES <= 200), 0.02, 0.0)

    def kept(start, end, depth):
        smooth = bump(start, end - start + 1, depth)
        return [each.from_angle for each in steps(residual, smooth=smooth) if each.kind == "step"]

    assert kept(101, 200, 0.041) == []
    assert kept(101, 200, 0.039) == [100.5, 200.5]
    assert kept(108, 193, 0.041) == []
    assert kept(109, 192, 0.041) == [100.5, 200.5]
    assert kept(93, 208, 0.041) == []
    assert kept(108, 150, -0.041) == [200.5]
    assert kept(150, 193, -0.041) == [100.5]


def test_a_corner_lies_over_the_end_of_the_circle_too():
    """A step half a degree before 360 and an arc that begins within eight degrees of it."""
    residual = np.where(DEGREES < 100, 0.02, 0.0)
    for start, steps_kept in ((7, []), (8, [359.5])):
        smooth = bump(start, 100 - start, 0.041)
        found = steps(residual, smooth=smooth)
        assert [each.from_angle for each in found if each.kind == "step"] == steps_kept


def test_a_corner_is_less_than_half_of_the_arc_and_less_than_eight_degrees_from_its_end():
    def corner(at, depth):
        arc = Departure("one-sided widening", 30.0, 60.0, 2.0)
        return _is_corner(Departure("step", at, at, depth), [arc])

    assert [corner(at, 0.9) for at in (22.0, 22.5, 37.5, 38.0, 52.0, 52.5, 67.5, 68.0)] == [
        *(False, True, True, False),
        *(False, True, True, False),
    ]
    assert [corner(30.0, depth) for depth in (1.0, 0.9, -0.9, -1.0)] == [False, True, True, False]


@pytest.mark.parametrize(("depth", "seen"), [(0.00448, False), (0.00452, True)])
def test_of_few_readings_the_noise_is_their_scatter_about_the_ellipse(depth, seen):
    """0.1 mm on a radius of 100 mm is 0.001; readings 30 degrees apart are not averaged, and 4.5
    standard errors count. Waves about it, which tell of a lesser noise, take 16 readings."""
    fit = Ellipse((0.0, 0.0), 200.0, 200.0, 200.0, 0.0, 0.0, 0.0, 31415.9, 0.1)
    smooth = bump(100, 20, depth)
    about = np.arange(0, 360, 30.0)
    found, figure, _ = _beside_the_ellipse(
        fit, about, np.zeros(12), smooth, np.ones(12, dtype=bool), Settings(tolerance=0.001)
    )
    assert (bool(found), figure) == (seen, None)


def test_departures_in_words():
    assert Departure("step", 30.0, 30.0, -2.5).text() == "step of 2.5 % of the radius at 30 deg"
    text = Departure("one-sided widening", 350.0, 12.0, 3.0).text()
    assert "350" in text
    assert text.index("350") < text.index("12 deg")
    assert "outwards" in text
    assert "outwards" in Departure("one-sided widening", 1.0, 12.0, 0.5).text()
    assert "inwards" in Departure("one-sided flattening", 1.0, 12.0, -3.0).text()
    assert "3.0 %" in text


# Cautions of a shape


def test_cautions_of_readings_at_their_borders():
    """Under 12 radii and under 4 diameters are few; of 40 readings, 4 are not many outliers."""
    few = "number of radii"
    for count in (11, 12):
        shape = shape_from_radii(*ellipse_radii(100.0, 1.0, 0.0, (0.0, 0.0), count))
        assert any(
            text.startswith(f"{few}: {count}; too few to identify an outlier")
            for text in shape.cautions
        ) == (count == 11), shape.cautions
    assert shape_from_diameters([200.0] * 3).cautions
    assert not shape_from_diameters([200.0] * 4).cautions
    for wild in (4, 5):
        angle, radius = ellipse_radii(100.0, 1.0, 0.0, (0.0, 0.0), 40)
        radius[np.arange(wild) * 8] *= 1.3
        shape = shape_from_radii(angle, radius)
        assert len(shape.wild_angles) == wild
        said = [text for text in shape.cautions if "outliers" in text]
        assert len(said) == (wild == 5), shape.cautions
        assert all("5 of 40" in text for text in said)
