"""The pictures of a survey against its readings: outlines to scale, ovality at its station."""

from dataclasses import replace

import numpy as np
import pytest
from drawings import inside
from outlines import box, ellipse_radii, radii

from linerdesign.field.survey import pictures
from linerdesign.field.survey.run import Maximum
from linerdesign.field.survey.shape import shape_from_diameters, shape_from_radii
from linerdesign.field.survey.summary import UNITS, combine


@pytest.fixture(autouse=True)
def drawn(monkeypatch):
    """A picture as its figure, caption and words."""
    monkeypatch.setattr(pictures, "picture", lambda *parts: parts)


def _curves(figure):
    (axes,) = figure.axes
    return axes, {line.get_label(): np.array(line.get_data()) for line in axes.lines}


# The deviation of an ellipse from its circle is about its ovality; it is drawn as many times
# larger as leaves it at most about a third of the radius: by hand, 0.35 / 0.02 = 17.5 and so on.
@pytest.mark.parametrize(
    ("ovality", "times"),
    [(1.0, 20), (1.74, 20), (1.76, 10), (2.0, 10), (5.0, 5), (15.0, 2), (20.0, 1)],
)
def test_a_section_is_drawn_as_many_times_as_it_says(ovality, times):
    angle, radius = ellipse_radii(100.0, ovality, 30.0, (0.0, 0.0), 72)
    shape = shape_from_radii(angle, radius, 12.0)
    figure, caption, words = pictures.section(shape, UNITS["SI"])
    inside(figure)
    axes, curves = _curves(figure)
    assert curves.keys() == {"mean circle", "best-fit ellipse", "measured outline"}
    circle, fit, outline = (np.hypot(*curves[name]) for name in curves)
    mean = shape.adopted.mean / 2
    assert circle == pytest.approx(mean)
    for drawn in (fit, outline):
        assert (drawn.max() - mean) / mean == pytest.approx(times * ovality / 100, rel=0.05)
    # Closed, and the long axis where it was laid: at 30 degrees.
    for x, y in curves.values():
        assert (x[0], y[0]) == pytest.approx((x[-1], y[-1]))
    x, y = curves["best-fit ellipse"][:, np.argmax(fit)]
    assert np.degrees(np.arctan2(y, x)) % 180 == pytest.approx(30, abs=1)
    assert axes.get_aspect() == 1
    assert axes.axison == (times == 1)
    assert (f"{times} times" in caption) == (times > 1)
    assert caption.startswith("Section at 12 m, ")
    assert words.startswith(f"Mean diameter {shape.adopted.mean:.4g} mm, ovality ")
    assert f"ovality {shape.adopted.ovality:.2f} %" in words
    assert "long axis at 30 deg" in words
    styles = {(line.get_linestyle(), line.get_color()) for line in axes.lines}
    assert len({style for style, _ in styles}) == len({colour for _, colour in styles}) == 3


def test_diameters_by_hand_have_no_outline_to_draw():
    assert pictures.section(shape_from_diameters([200.0, 204.0, 196.0, 201.0]), UNITS["SI"]) is None


def test_a_box_is_said_to_depart_from_an_ellipse():
    shape = shape_from_radii(*radii(box(600, 600), 72))
    _, caption, words = pictures.section(shape, UNITS["US"])
    assert "at" not in caption.split(",")[0]
    assert words.startswith(f"Mean diameter {shape.adopted.mean / 25.4:.4g} in, ovality ")
    assert "box" in words
    ellipse = shape_from_radii(*ellipse_radii(100.0, 3.0, 0.0, (0.0, 0.0), 72))
    _, _, plain = pictures.section(ellipse, UNITS["US"])
    assert words.split(". ")[-1] != plain.split(". ")[-1]


def test_ovality_stands_over_its_station():
    """By hand: the mean of 200, 204, 196 and 200 is 200, both forms are 2 %; of 210, 200, 200
    and 200 it is 202.5, and they are 1.23 and 3.70 %."""
    shapes = (
        shape_from_diameters([200.0, 204.0, 196.0, 200.0], 0.0),
        shape_from_diameters([210.0, 200.0, 200.0, 200.0], 3.048),
        shape_from_radii(*radii(box(600, 600), 72), 6.096),
    )
    run = combine(shapes, Maximum())
    figure, caption, words = pictures.along_run(run, UNITS["US"])
    inside(figure)
    axes, curves = _curves(figure)
    x, least = curves["from the minimum diameter"]
    _, largest = curves["from the maximum diameter"]
    assert x == pytest.approx([0, 10, 20])
    assert least[:2] == pytest.approx([2, 100 * 2.5 / 202.5])
    assert largest[:2] == pytest.approx([2, 100 * 7.5 / 202.5])
    assert curves["not an ellipse"].tolist() == [[20], [0]]
    level = curves[run.rule][1]
    assert set(level) == {run.ovality.value} == {max(*least, *largest)}
    assert axes.get_ylim()[0] == 0
    assert len({line.get_color() for line in axes.lines}) == 4
    # In black and white the two forms are told apart too.
    one, other = (line for line in axes.lines if line.get_label().startswith("from the "))
    assert one.get_linestyle() != other.get_linestyle()
    first = combine((replace(shapes[2], station=0.0), shapes[1]), Maximum())
    assert " % at 0 ft; " in pictures.along_run(first, UNITS["US"])[2]
    assert caption == f"Ovality along the run; the line is the value recorded, {run.rule}"
    largest = f"{run.worst.adopted.ovality:.2f}"
    assert words == (
        f"Ovality at 3 stations, largest {largest} % at 20 ft; {run.rule}: "
        f"{run.ovality.value:.2f} %."
    )
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("station, ft", "ovality, %")
    assert pictures.along_run(combine(shapes[:2], Maximum()), UNITS["US"]) is not None
    assert pictures.along_run(combine(shapes[:1], Maximum()), UNITS["US"]) is None
