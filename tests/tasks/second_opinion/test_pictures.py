"""The curves of a second opinion against the numbers that they show."""

from types import SimpleNamespace as Made

import numpy as np
import pytest

from linerdesign.tasks.second_opinion import pictures

# A quarter of the wall on the right, invert to crown by way of the springline.
HALF = np.array([[0.0, -1.0], [1.0, 0.0], [0.0, 0.9]])
FOUND = Made(
    displacements=np.array([0.0, 0.01, 0.03]),
    pressure_ratios=np.array([0.0, 4e-4, 3e-4]),
    crown_displacement=0.01,
    initial_shape=HALF,
    collapse_shape=0.5 * HALF,
)


def opinion(demand=20.0, **values):
    given = {"numerical": 40.0, "code": 35.0, "glock": 30.0, "p_first": 25.0} | values
    place = Made(modulus=100_000.0, demand=demand, ovality=0.04)
    return Made(found=FOUND, place=place, pressure=given.get, value=given.get)


def lines(figure):
    (axes,) = figure.axes
    return axes, {line.get_label(): line for line in axes.lines}


def test_the_path_and_the_levels_beside_it():
    """Displacements in percent, pressures in the unit: 4e-4 of 100,000 psi are 40 psi."""
    axes, _ = lines(pictures.path(opinion(), "psi"))
    curve, collapse, *levels = axes.lines
    assert curve.get_xydata() == pytest.approx(np.array([[0, 0], [1, 40], [3, 30]]))
    assert collapse.get_xydata() == pytest.approx(np.array([[1, 40]]))
    assert (collapse.get_label(), collapse.get_marker()) == ("collapse", "o")
    told = {
        line.get_label(): (line.get_ydata()[0], line.get_linestyle(), line.get_color())
        for line in levels
    }
    assert {label: level for label, (level, *_) in told.items()} == {
        "X1.1 at collapse": 35.0,
        "Glock: round, tight, one lobe": 30.0,
        "design pressure P": 20.0,
        "first strength": 25.0,
    }
    # Each can be told from the others, and from the curve, without a colour or by it.
    styles = [(dash, colour) for _, dash, colour in told.values()]
    assert len({*styles, (curve.get_linestyle(), curve.get_color())}) == 5
    assert all(dash != "-" for dash, _ in styles)
    assert told["design pressure P"][1] != told["first strength"][1]
    assert axes.get_ylim()[0] == 0
    assert (axes.get_xlabel(), axes.get_ylabel()) == ("crown inwards, % of D/2", "pressure, psi")
    assert [text.get_text() for text in axes.get_legend().get_texts()] == ["collapse", *told]


def test_a_level_without_a_number_is_not_drawn():
    none = dict.fromkeys(("code", "glock", "p_first"))
    _, found = lines(pictures.path(opinion(demand=0.0, **none), "psi"))
    assert [label for label in found if not label.startswith("_")] == ["collapse"]
    _, found = lines(pictures.path(opinion(demand=0.5, **none), "psi"))
    assert found["design pressure P"].get_ydata()[0] == 0.5


def test_the_shape_is_a_whole_ring_in_its_oval_host():
    """The host is 4 % wider and lower than round; the wall's other half is its mirror image."""
    axes, found = lines(pictures.shape(opinion()))
    (host,) = axes.patches
    outline = host.get_xy()
    assert (outline[:, 0].max(), outline[:, 0].min()) == pytest.approx((1.04, -1.04), rel=1e-4)
    assert (outline[:, 1].max(), outline[:, 1].min()) == pytest.approx((0.96, -0.96), rel=1e-4)
    steps = np.hypot(*np.diff(outline, axis=0).T)
    assert steps.max() < 0.02
    assert np.hypot(*(outline[0] - outline[-1])) < 1e-9
    whole = [[0, -1], [1, 0], [0, 0.9], [0, 0.9], [-1, 0], [0, -1]]
    before, after = (found[f"{when} (mid-wall)"] for when in ("before loading", "at collapse"))
    assert before.get_xydata() == pytest.approx(np.array(whole))
    assert after.get_xydata() == pytest.approx(0.5 * np.array(whole))
    assert (before.get_linestyle(), after.get_linestyle()) == ("--", "-")
    assert before.get_color() != after.get_color()
    assert axes.get_aspect() == 1
    assert not axes.axison
    labels = [text.get_text() for text in axes.get_legend().get_texts()]
    assert labels == ["host", "before loading (mid-wall)", "at collapse (mid-wall)"]
