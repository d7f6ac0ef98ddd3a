"""The statistics of the best-fit ellipse, and which readings it rests on, by closed forms."""

import numpy as np
import pytest
from outlines import ellipse_radii
from scipy.optimize import approx_fprime, curve_fit
from scipy.stats import norm

from linerdesign.field.survey import ellipse as fitting
from linerdesign.field.survey.ellipse import fit_ellipse, places_of, spacing_of


def test_scatter_and_standard_error_about_a_circle_are_those_of_a_wave():
    """A wave of order 7 is orthogonal to the five columns of the fit: its squares, n h^2/2, are the
    residuals'. The column of e1 is a wave of order 2 with the sum of squares n/2."""
    count, height = 36, 0.01
    angle = np.arange(count) * 360 / count
    fit, kept = fit_ellipse(angle, 100 * (1 + height * np.cos(7 * np.radians(angle))))
    scatter = height * np.sqrt(count / 2 / (count - 5))
    assert kept.all()
    assert fit.scatter == pytest.approx(100 * scatter, rel=1e-6)
    assert fit.ovality_standard_error == pytest.approx(100 * scatter * np.sqrt(2 / count), rel=1e-4)


def test_standard_error_of_a_long_ellipse_is_that_of_another_form_of_it():
    """Radii by centre, semi-axes and angle, fitted by SciPy; 100 (a - b)/(a + b) by the delta
    method. Residuals along radii and across the ellipse differ by some of the ovality."""
    angle, radius = ellipse_radii(100.0, 6.0, 35.0, (5.0, 3.0), 60)
    radius = radius + np.random.default_rng(3).uniform(-0.5, 0.5, 60)

    def seen(angle, x, y, a, b, axis):
        turn, far = np.radians(angle), np.hypot(x, y)
        away = np.arctan2(y, x) - axis
        ray = turn - axis
        p, q = far * np.cos(away), far * np.sin(away)
        u, v = np.cos(ray), np.sin(ray)
        A, B = (u / a) ** 2 + (v / b) ** 2, u * p / a**2 + v * q / b**2
        return (B + np.sqrt(B**2 - A * ((p / a) ** 2 + (q / b) ** 2 - 1))) / A

    found, covariance = curve_fit(seen, angle, radius, (4, 2, 105, 95, 0.5))
    a, b = found[2:4]
    slope = 200 / (a + b) ** 2 * np.array([b, -a])
    error = np.sqrt(slope @ covariance[2:4, 2:4] @ slope)
    fit, _ = fit_ellipse(angle, radius)
    assert fit.ovality_standard_error == pytest.approx(error, rel=0.03)
    left = np.sqrt(np.sum((seen(angle, *found) - radius) ** 2) / (60 - 5))
    assert fit.scatter == pytest.approx(left, rel=0.03)


def test_slopes_of_the_distance_are_its_differences():
    parameters = np.array([0.1, -0.2, 0.9, 0.15, -0.08])
    points = np.array([[0.3, 1.1, -0.7], [0.9, -0.2, -0.6]])
    slopes = fitting._slopes(parameters, points)
    assert slopes == pytest.approx(
        approx_fprime(parameters, fitting._distance, 1e-7, points), abs=1e-6
    )


def test_four_scatters_by_the_median_are_wild():
    """Half the readings lie outside by 1 % and half inside: the median is 1 %, over the normal
    distribution's third quartile it is the scatter, and four of those are wild."""
    count = 3600
    angle = np.arange(count) * 360 / count
    border = 4 * 0.01 / norm.ppf(0.75)
    for share, kept in ((0.996, True), (1.004, False)):
        radius = 100 + np.where(np.arange(count) % 2, 1.0, -1.0)
        radius[900] = 100 * (1 + share * border)
        assert fit_ellipse(angle, radius)[1][900] == kept
        assert fit_ellipse(angle, radius)[1].sum() == count - (not kept)


def test_a_reading_within_a_five_hundredth_of_the_radius_is_never_wild():
    """Our choice: 0.2 %. All others lie on the ellipse, so that the scatter is none."""
    angle, radius = ellipse_radii(100.0, 0.0, 0.0, (0.0, 0.0), 3600)
    for off, kept in ((0.199, True), (0.201, False)):
        read = radius.copy()
        read[17] += off
        assert fit_ellipse(angle, read)[1][17] == kept


def test_readings_within_a_tenth_of_a_degree_are_of_one_place():
    """Rounded to the tenth; the first of each place, and the way to the next around the circle."""
    places = places_of(np.array([10.0, 10.04, 10.06, 10.2, 350.0, 350.01]))
    assert places.tolist() == [10.0, 10.06, 10.2, 350.0]
    assert spacing_of(places) == pytest.approx([0.06, 0.14, 339.8, 20.0])


@pytest.mark.parametrize("axis", [0.0, 45.0, 90.0, 135.0])
def test_past_an_ovality_of_sixty_percent_a_shape_is_no_pipe(axis):
    """The fit stops there, along the axes of the readings and between them."""
    for ovality in (59.0, 70.0):
        fit, _ = fit_ellipse(*ellipse_radii(100.0, ovality, axis, (0.0, 0.0), 360))
        assert fit.ovality == pytest.approx(min(ovality, 60.0), abs=0.1)
        assert abs((fit.long_axis - axis + 90) % 180 - 90) < 0.1


def test_most_readings_are_followed_though_many_are_wild_and_the_centre_is_far_off():
    """Forty of a hundred readings fell short by half; the centre lies 60 mm beside the place of
    reading, and 100 mm is the radius."""
    angle, radius = ellipse_radii(100.0, 5.0, 30.0, (60.0, 0.0), 100)
    read = radius.copy()
    read[np.arange(40) * 5 % 99] *= 0.5
    fit, kept = fit_ellipse(angle, read)
    assert fit.ovality == pytest.approx(5.0, abs=0.05)
    assert fit.centre == pytest.approx((60.0, 0.0), abs=0.1)
    assert kept.sum() == np.sum(read == radius)
