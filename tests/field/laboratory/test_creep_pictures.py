"""The pictures of a creep test against its readings: what is drawn, where, and by which sign."""

import numpy as np
import pytest
from drawings import inside
from field.laboratory.test_creep import TIMES, readings

from linerdesign.field.laboratory import pictures
from linerdesign.field.laboratory.creep import TOGETHER, CreepSettings, fit_creep

LEVELS = [readings(-0.03, 0.001, 1, level="500 psi"), readings(-0.05, 0.001, 2, level="900 psi")]
PSI_TO_MPA = 0.00689475729  # NIST SP 811


@pytest.fixture
def drawn(monkeypatch):
    """A picture as its figure, caption and words."""
    monkeypatch.setattr(pictures, "picture", lambda *parts: parts)


def _curves(axes):
    return {line.get_label(): line for line in axes.lines}


def test_readings_line_and_bound_are_drawn_where_they_are(drawn):
    result = fit_creep(LEVELS)
    figure, caption, words = pictures.creep_line(result, "MPa", PSI_TO_MPA)
    inside(figure)
    (axes,) = figure.axes
    assert (axes.get_xscale(), axes.get_yscale()) == ("log", "log")
    curves = _curves(axes)
    for level in LEVELS:
        points = curves[level.level]
        assert points.get_linestyle() == "None"
        assert points.get_marker() == "o"
        assert points.get_xdata() == pytest.approx(TIMES)
        assert points.get_ydata() == pytest.approx(PSI_TO_MPA * level.modulus)
    # Both lines run on to a design life of 50 years, 438,000 h; one bound, of the level adopted.
    lines = [line for line in axes.lines if len(line.get_xdata()) > 20]
    ends = [line.get_xdata()[-1] for line in lines]
    assert ends == pytest.approx([438_000] * 3)
    assert [line.get_xdata()[0] for line in lines] == pytest.approx([1] * 3)
    bound = curves["one-sided 95 % prediction bound"]
    assert bound.get_ydata()[-1] == pytest.approx(PSI_TO_MPA * result.adopted.lower_bound)
    others = [line for line in lines if line is not bound]
    assert bound.get_linestyle() not in {line.get_linestyle() for line in others}
    at_life = {round(line.get_ydata()[-1] / PSI_TO_MPA) for line in lines}
    assert {round(fit.modulus_at_life) for fit in result.levels} < at_life
    assert set(curves["design life"].get_xdata()) == {438_000}
    # In black and white the models are told apart too, and the bound from them.
    assert len({line.get_linestyle() for line in lines}) == 3
    by_colour = {line.get_color() for line in (curves["500 psi"], curves["900 psi"])}
    assert len(by_colour) == 2
    assert bound.get_color() == curves["900 psi"].get_color()
    at_life, bound = (
        f"{PSI_TO_MPA * value:.4g} MPa"
        for value in (result.adopted.modulus_at_life, result.adopted.lower_bound)
    )
    assert words == (
        f"Modulus falls with slope {result.adopted.slope:.4f} in logarithms (power law) to "
        f"{at_life} at 438,000 h; prediction bound {bound}."
    )
    assert caption == "Creep test: readings, models and prediction bound"
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("time, h", "modulus, MPa")


def test_one_line_through_all_levels_is_drawn_by_itself(drawn):
    result = fit_creep(LEVELS, rule=TOGETHER)
    figure, _, _ = pictures.creep_line(result, "psi", 1.0)
    curves = _curves(figure.axes[0])
    assert 2 * len(TIMES) in {len(line.get_xdata()) for line in curves.values()}
    assert not {"500 psi", "900 psi"} & curves.keys()


def test_a_modulus_that_rises_is_said_to(drawn):
    _, _, words = pictures.creep_line(fit_creep([readings(0.01, 0.0)]), "psi", 1.0)
    assert "rises with slope 0.0100" in words
    _, _, words = pictures.creep_line(fit_creep([readings(0.0, 0.0)]), "psi", 1.0)
    assert "rises" not in words


def test_residuals_are_readings_over_their_model(drawn):
    """By hand: a power law through ten decades, one reading of which is two percent high."""
    level = readings(-0.03, 0.0)
    level.modulus[6] *= 1.02
    result = fit_creep([level])
    figure, caption, words = pictures.residuals(result)
    assert caption == "Residuals"
    inside(figure)
    (axes,) = figure.axes
    points, zero = axes.lines
    model = result.adopted.line(TIMES)
    over = 100 * (level.modulus / model - 1)
    assert points.get_xdata() == pytest.approx(TIMES)
    assert points.get_ydata() == pytest.approx(over)
    assert set(zero.get_ydata()) == {0}
    assert np.argmax(np.abs(points.get_ydata())) == 6
    assert axes.get_xscale() == "log"
    assert words == f"Largest residual {over[6]:.2f} %."


def test_the_largest_residual_is_that_of_all_levels(drawn):
    exact, off = (readings(-0.03, 0.0, level=name) for name in "ab")
    off.modulus[6] *= 1.02
    for levels in ([exact, off], [off, exact]):
        result = fit_creep(levels)
        fit = next(each for each in result.levels if each.level == "b")
        over = 100 * (off.modulus[6] / fit.line(TIMES)[6] - 1)
        assert pictures.residuals(result)[2] == f"Largest residual {over:.2f} %."


def test_a_model_is_drawn_from_its_first_reading_or_from_t0(drawn):
    for settings, first in (
        (CreepSettings(t0=50.0, fit_from=1.0), 1.0),
        (CreepSettings(t0=0.1), 0.1),
    ):
        figure, _, _ = pictures.creep_line(fit_creep([readings()], settings), "psi", 1.0)
        lines = [line for line in figure.axes[0].lines if len(line.get_xdata()) > 20]
        assert [line.get_xdata()[0] for line in lines] == pytest.approx([first] * 2)
