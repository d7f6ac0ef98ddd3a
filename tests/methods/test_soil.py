"""Soil tables: their rows, the lines between them, and X1.3's parent as a ring on springs."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from linerdesign.methods.f1216 import gravity
from linerdesign.methods.ground import soil
from linerdesign.methods.ground.published import published

TABLES = published("soil_modulus")
# From memory; verify against the printed tables. Typed here a second time, soil by soil.
BY_DEPTH = {
    ("fine-grained, under 25 % sand", "85 %"): (500, 600, 700, 800),
    ("fine-grained, under 25 % sand", "95 %"): (1000, 1400, 1600, 1800),
    ("coarse with fines", "90 %"): (1000, 1400, 1500, 1600),
    ("coarse with fines", "100 %"): (1900, 2700, 3200, 3700),
    ("coarse, little or no fines", "85 %"): (700, 1000, 1050, 1100),
    ("coarse, little or no fines", "95 %"): (1600, 2200, 2400, 2500),
}


@pytest.mark.parametrize(("row", "moduli"), BY_DEPTH.items())
def test_modulus_by_depth(row, moduli):
    """Duncan & Hartley 1982 as reprinted, from memory: bands of 5 ft."""
    for band, modulus in enumerate(moduli):
        depths = np.array([band * 5 + 0.01, band * 5 + 2.5, band * 5 + 5.0])
        assert soil.BY_DEPTH[row](depths) == pytest.approx(modulus)


def test_modulus_rises_with_depth_and_compaction():
    depths = np.array([2.5, 7.5, 12.5, 17.5])
    for name in dict.fromkeys(name for name, _ in soil.BY_DEPTH):
        grid = np.array([soil.BY_DEPTH[name, c](depths) for c in soil.COMPACTIONS])
        assert np.all(np.diff(grid, axis=0) > 0)
        assert np.all(np.diff(grid, axis=1) > 0)


# The combining tables of AWWA M45 as remembered, put down a second time: the stiffness ratio, then
# the factor for each width. Verify against the printed manual.
SECOND_COPY = {
    "1996": """
0.1 0.15 0.3 0.6 0.8 0.9 1
0.2 0.3 0.45 0.7 0.85 0.92 1
0.4 0.5 0.6 0.8 0.9 0.95 1
0.6 0.7 0.8 0.9 0.95 1 1
0.8 0.85 0.9 0.95 0.98 1 1
1 1 1 1 1 1 1
1.5 1.3 1.15 1.1 1.05 1 1
2 1.5 1.3 1.15 1.1 1.05 1
3 1.75 1.45 1.3 1.2 1.08 1
5 2 1.6 1.4 1.25 1.1 1
""",
    "2005": """
0.005 0.02 0.05 0.08 0.12 0.23 0.43 0.72 1
0.01 0.03 0.07 0.11 0.15 0.27 0.47 0.74 1
0.02 0.05 0.1 0.15 0.2 0.32 0.52 0.77 1
0.05 0.1 0.15 0.2 0.27 0.38 0.58 0.8 1
0.1 0.15 0.2 0.27 0.35 0.46 0.65 0.84 1
0.2 0.25 0.3 0.38 0.47 0.58 0.75 0.88 1
0.4 0.45 0.5 0.56 0.64 0.75 0.85 0.93 1
0.6 0.65 0.7 0.75 0.81 0.87 0.94 0.98 1
0.8 0.84 0.87 0.9 0.93 0.96 0.98 1 1
1 1 1 1 1 1 1 1 1
1.5 1.4 1.3 1.2 1.12 1.06 1.03 1 1
2 1.7 1.5 1.4 1.3 1.2 1.1 1.05 1
3 2.2 1.8 1.65 1.5 1.35 1.2 1.1 1
5 3 2.2 1.9 1.7 1.5 1.3 1.15 1
""",
}


@pytest.mark.parametrize("name", ["1996", "2005"])
def test_combining_tables_are_copied_without_a_slip(name):
    rows = [[float(n) for n in row.split()] for row in SECOND_COPY[name].strip().splitlines()]
    assert [list(row) for row in TABLES[name].rows] == rows


COMBINING = [("1996", soil.COMBINING_1996), ("2005", soil.COMBINING_2005)]


@pytest.mark.parametrize(("name", "equation"), COMBINING)
def test_combining_factor_gives_the_rows_of_its_table(name, equation):
    table = TABLES[name]
    for row in table.rows:
        for width, printed in zip(table.columns[1:], row[1:], strict=True):
            assert float(equation(row[0], width)) == pytest.approx(printed, rel=1e-12)


@pytest.mark.parametrize(("name", "equation"), COMBINING)
def test_combining_factor_between_rows_and_columns(name, equation):
    """Against SciPy's linear interpolation on a grid."""
    table = TABLES[name]
    widths = [float(width) for width in table.columns[1:]]
    rows = [row[0] for row in table.rows]
    grid = RegularGridInterpolator((rows, widths), np.array([row[1:] for row in table.rows]))
    random = np.random.default_rng(3)
    stiffness = random.uniform(rows[0], rows[-1], 200)
    width = random.uniform(widths[0], widths[-1], 200)
    expected = grid(np.stack([stiffness, width], axis=-1))
    assert np.asarray(equation(stiffness, width)) == pytest.approx(expected, rel=1e-10)


@pytest.mark.parametrize(("name", "equation"), COMBINING)
def test_combining_factor_draws_to_1(name, equation):
    """Alike soils, or a wide trench, leave the fill's modulus as it is; beyond the table too."""
    widths = np.linspace(1.5, 9, 40)
    assert equation(np.full(40, 1.0), widths) == pytest.approx(1.0)
    assert equation(np.geomspace(0.1, 50, 40), np.full(40, 7.0)) == pytest.approx(1.0)
    narrow = np.asarray(equation(np.geomspace(0.1, 50, 40), np.full(40, 2.0)))
    assert np.all(np.diff(narrow) >= 0)
    assert narrow[-1] == pytest.approx(TABLES[name].rows[-1][TABLES[name].columns.index(2.0)])


# Howard 1977 (USBR REC-ERC-77-01), from memory: dumped, slight, moderate, high.
HOWARD = {
    "CL": (50, 200, 400, 1000),
    "SM": (100, 400, 1000, 2000),
    "GW": (200, 1000, 2000, 3000),
    "crushed rock": (1000, 3000, 3000, 3000),
}


@pytest.mark.parametrize(("name", "moduli"), HOWARD.items())
def test_modulus_by_compaction(name, moduli):
    (row,) = (row for row in TABLES["Howard 1977"].rows if name in row[1])
    assert row[2:] == moduli


def ring_on_springs(E_L, I, R, k):
    """Least buckling pressure of a ring on springs: min over n of (n^2-1) EI/R^3 + kR/(n^2-1).

    For n as a real number the least lies where both parts are equal.
    """
    n = np.sqrt(1 + np.geomspace(1e-3, 1e9, 400_001))
    return ((n**2 - 1) * E_L * I / R**3 + k * R / (n**2 - 1)).min()


@given(st.floats(6, 120), st.floats(20, 90), st.floats(200, 3000), st.floats(4, 40))
def test_x1_3_is_a_ring_on_springs(D, DR, E_s, H):
    """X1.3 at N = 1 and C = 1 is the ring's least pressure with springs of k R = R_w B' E'_s.

    Moser & Folkman p. 113 print the parent, [32 R_w B' E' E I/D^3]^(1/2).
    """
    E_L, R_w = 125e3, 0.8
    B, I, R = gravity.elastic_support_us(H), (D / DR) ** 3 / 12, D / 2
    k = R_w * B * E_s / R
    parent = gravity.soil_capacity(1, R_w, B, E_s, 1, E_L, I, D)
    assert ring_on_springs(E_L, I, R, k) == pytest.approx(parent, rel=1e-4)
