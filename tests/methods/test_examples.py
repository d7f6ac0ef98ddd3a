"""The round numbers of the worked lines: one equation goes on where another ends."""

import pytest

from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.examples import example_values
from linerdesign.methods.f1216 import gravity

VALUES = example_values("US")
# The example has no host wall, and no mean of two ovalities; 1 stands for what it does not have.
WITHOUT = ("crown rise",)
LINKED = [
    each
    for each in catalogue()
    if each.system != "SI"
    and each.number not in WITHOUT
    and all(VALUES[key] != 1.0 for key in (each.result, *each.arguments))
]


@pytest.mark.parametrize("equation", LINKED, ids=lambda each: each.name)
def test_the_result_of_a_worked_line_is_what_others_go_on_with(equation):
    """Within half a percent, as the 48 in example is printed (Najafi 2010, pp. 75-83)."""
    found = equation(*(VALUES[key] for key in equation.arguments))
    assert float(found) == pytest.approx(VALUES[equation.result], rel=5e-3)


def test_most_results_are_linked():
    assert len(LINKED) > 38


@pytest.mark.parametrize(
    ("key", "us", "si"),
    [
        # In to mm, ft to m, psi to MPa, pcf to kN/m3 and in3 to mm3, to four figures.
        ("D", 48.0, 1219.0),
        ("H", 16.0, 4.877),
        ("E", 250_000.0, 1724.0),
        ("w", 120.0, 18.85),
        ("I", 0.1, 1639.0),
        ("N", 2.0, 2.0),
        ("q_floor", 1.0, 1.0),
    ],
)
def test_an_example_in_both_unit_systems(key, us, si):
    assert (example_values("US")[key], example_values("SI")[key]) == (us, si)


def _figures(value):
    return len(f"{value:.9e}".partition("e")[0].replace(".", "").rstrip("0"))


# By hand; the thickness increment is 1.5 mm.
TAKEN_OVER = {
    "z_water": VALUES["z_invert"] + VALUES["h_invert"],
    "s": 1.5 / 25.4,
    "t_tube": VALUES["t"],
    "t_required": VALUES["t_least"],
    "P_ground": VALUES["P"],
    "p_window": VALUES["p_host"],
    "F_pull": VALUES["mu_pull"] * VALUES["m_wet"],
    "demand": VALUES["P"],
}
# Measured diameters and walls, and results of the ring.
FREE = {"D_max", "D_min", "t_built", "r_gap", "p_ring", "p_solved", "p_first", "p_host", "capacity"}


def test_given_numbers_are_round():
    """Two figures at most, but for what is measured and what goes on from another line."""
    results = {each.result for each in catalogue()}
    for key, value in VALUES.items():
        if key not in results | FREE | TAKEN_OVER.keys():
            assert _figures(value) <= 2, key


@pytest.mark.parametrize("key", TAKEN_OVER)
def test_what_one_line_takes_over_from_another_is_the_same(key):
    assert VALUES[key] == pytest.approx(TAKEN_OVER[key], rel=2e-3)


def test_the_published_example_and_a_wall_built_a_little_thinner():
    """Najafi 2010, pp. 75-83; its capacity is that of X1.1 at the wall of 1.063 in."""
    found = example_values("US")
    assert (found["q"], found["E_s"], found["W_s"]) == (2.0, 1000.0, 0.35)
    keys = ("K", "E_L", "nu", "DR", "C", "N")
    carried = gravity.groundwater_capacity(*(found[key] for key in keys))
    assert found["capacity"] == pytest.approx(carried, rel=5e-3)
    assert found["t_built"] == pytest.approx(0.96 * found["t"], rel=2e-3)
