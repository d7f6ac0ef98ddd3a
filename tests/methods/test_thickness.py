"""A thickness in the two units that print shows it in, by hand: an inch is 25.4 mm."""

import pytest

from linerdesign.methods.hydraulics import fills
from linerdesign.methods.thickness import both_units, given_in_millimetres, in_inches

IN_PRINT = [
    # On a sheet in inches: what is round in millimetres alone was stated so.
    ("US", 1.009, "25.63 mm (1.009 in)"),
    ("US", 4.5 / 25.4, "4.5 mm"),
    ("US", 27.0 / 25.4, "27 mm"),
    ("US", 0.5, "12.7 mm (0.5 in)"),
    ("US", 1 / 3, "8.467 mm (0.3333 in)"),
    # On a sheet in millimetres.
    ("SI", 4.5, "4.5 mm"),
    ("SI", 25.4, "25.4 mm (1 in)"),
    ("SI", 25.62534, "25.63 mm (1.009 in)"),
    # Four figures are stated, five are not.
    ("SI", 12.34, "12.34 mm"),
    ("SI", 12.346, "12.35 mm (0.4861 in)"),
    ("SI", 0.1234, "0.1234 mm"),
    # Round to the twelfth digit, and no more than that.
    ("SI", 6.0 * (1 + 0.5e-12), "6 mm"),
    ("SI", 6.0 * (1 + 1e-9), "6 mm (0.2362 in)"),
]


@pytest.mark.parametrize(("system", "thickness", "text"), IN_PRINT)
def test_a_thickness_in_print(system, thickness, text):
    assert both_units(thickness, system) == text
    assert given_in_millimetres(thickness, system) is ("in)" not in text)
    inches = thickness if system == "US" else thickness / 25.4
    assert in_inches(thickness, system) == pytest.approx(inches, rel=1e-15)


def test_a_wall_of_half_the_diameter_leaves_no_bore():
    """Within a billionth; a hair thinner leaves one."""
    assert [bool(fills(12.0, 6.0 * (1 + e))) for e in (1e-3, 0.0, -0.5e-9, -2e-9)] == [
        *(True, True, True, False)
    ]
