"""Outliers against Tukey's fences by hand, and against the numbers sorted."""

from itertools import chain
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linerdesign.project.columns import Column
from linerdesign.tasks.batch.cells import Cells
from linerdesign.tasks.batch.messages import OUTLIER, Messages
from linerdesign.tasks.batch.outliers import MOST_WALL, USUAL, Spread, rounded, unusual


def spread(*pieces):
    found, offset = Spread(), 0
    for piece in pieces:
        found.add(np.array(piece, float), offset)
        offset += len(piece)
    return found


def outliers(*pieces):
    return [(side, fence, c.rows, c.examples) for side, fence, c in spread(*pieces).outliers()]


# Ten each of 8, 16 and 32: quartiles 2^3 and 2^5, distance 2 doublings, so the fences are 6
# doublings beyond them, 2^11 and 2^-3. A number is told apart to 32 parts of a doubling, so what
# is beyond the upper one begins a 32nd over it.
BULK = [8.0, 16.0, 32.0] * 10
TOP, LOW = 2048 * 33 / 32, 0.125


@pytest.mark.parametrize(
    ("more", "wanted"),
    [
        ([], []),
        ([np.nextafter(TOP, 0)], []),
        ([TOP], [("above", TOP, 1, [31])]),
        ([1e20, TOP, 2e6], [("above", TOP, 3, [31, 33, 32])]),
        ([LOW], []),
        ([np.nextafter(LOW, 0)], [("below", LOW, 1, [31])]),
        ([0.01, 1e-12, 16, 0.1], [("below", LOW, 3, [32, 31, 34])]),
        ([9e3, 0.01], [("above", TOP, 1, [31]), ("below", LOW, 1, [32])]),
        # Neither zero nor what is under it has a logarithm, and no number is no row.
        ([0.0, -5.0, np.nan], []),
    ],
)
def test_fences_lie_three_distances_of_the_quartiles_beyond_them(more, wanted):
    assert outliers(BULK + more) == wanted
    assert outliers(BULK, more) == wanted


def test_a_quarter_of_the_numbers_is_not_above_the_quartile():
    """Of 400 numbers the hundredth is the lower quartile, 8, and the 300th the upper, 32."""
    numbers = [8.0] * 100 + [16.0] * 100 + [32.0] * 100 + [64.0] * 99
    assert outliers([*numbers, TOP]) == [("above", TOP, 1, [400])]


@pytest.mark.parametrize("scale", [2.0**-26, 2.0**38])
def test_numbers_from_a_billionth_to_a_thousand_billions_are_told_apart(scale):
    """The lower fence is 1.9e-9 in one unit, the upper 5.8e14 in another."""
    more = [scale * TOP, scale * np.nextafter(LOW, 0)]
    assert outliers([scale * each for each in BULK] + more) == [
        ("above", scale * TOP, 1, [31]),
        ("below", scale * LOW, 1, [32]),
    ]


def test_a_column_that_hardly_varies_has_fences_too():
    """A quarter of a doubling in place of the distance, so three quarters: 24 of 32 parts.

    The fence over 8 is 14, in parts of a quarter to 16; that under it is 5, in parts of an eighth.
    """
    assert outliers([8.0] * 40 + [14.24, 5.0]) == []
    assert outliers([8.0] * 40 + [14.25]) == [("above", 14.25, 1, [41])]
    assert outliers([8.0] * 40 + [4.99]) == [("below", 5.0, 1, [41])]


def test_thirty_numbers_are_a_distribution():
    assert outliers([8.0] * 28 + [900.0, np.nan, 0.0]) == []
    assert outliers([8.0] * 29 + [900.0]) == [("above", 14.25, 1, [30])]
    assert outliers() == outliers([]) == []


def test_of_many_equal_numbers_the_first_rows_are_told():
    """A sort of so many that leaves the order of equal ones open would mix them up."""
    found = spread([8.0, 900.0] * 500)
    assert found.largest == [(-900.0, row) for row in (2, 4, 6)]
    assert found.smallest == [(8.0, row) for row in (1, 3, 5)]


def test_numbers_beyond_those_that_pipes_may_have_are_not_told_apart():
    assert outliers([1e16] * 40 + [1e17]) == []
    assert outliers([1e-11] * 40 + [1e-12]) == []
    # They are in the first bin and in the last.
    ends = spread([1e-300, 1e300]).bins
    assert (ends[0], ends[-1], ends.sum()) == (1, 1, 2)


def test_a_column_as_wide_as_numbers_go_has_no_fences():
    assert outliers([1e-9] * 20 + [1e15] * 20) == []
    assert outliers([1e-300] * 20 + [1e300] * 20) == []


NUMBERS = st.lists(st.floats(1e-6, 1e6), max_size=12)


@given(st.lists(NUMBERS, max_size=6))
def test_the_farthest_rows_are_those_of_the_numbers_sorted(pieces):
    """Three at each end; of equal ones the first."""
    found = spread(*pieces)
    every = [(number, row) for row, number in enumerate(chain(*pieces), 1)]
    assert found.bins.sum() == len(every)
    assert found.smallest == sorted(every)[:3]
    assert found.largest == sorted((-number, row) for number, row in every)[:3]


def told(column, numbers, words=None):
    messages = Messages()
    numbers = np.array(numbers, float)
    words = None if words is None else pl.Series(words)
    unusual(Cells(column, numbers, np.isfinite(numbers), words, pl.Series([])), messages)
    assert all(each.kind == OUTLIER for each in messages.said)
    return [(each.text, each.rows.tolist()) for each in messages.said]


@pytest.mark.parametrize(
    ("column", "numbers", "text", "rows"),
    [
        # The documented ends themselves are usual, 75 mm to 4000 mm; 75/25.4 = 2.953, and so on.
        (
            Column("D [mm]", "host_diameter", "mm"),
            [74.9, 75, 4000, 4001, np.nan],
            "D [mm] outside the usual range, 75 to 4,000 mm",
            [0, 3],
        ),
        (
            Column("D [in]", "host_diameter", "in"),
            [2.95, 2.96, 157.4, 157.5],
            "D [in] outside the usual range, 2.95 to 157 in",
            [0, 3],
        ),
        # A tenth of a percent as a number, and a bare number.
        (
            Column("r", "modulus_retention", "%"),
            [0.5, 20, 95, 96],
            "r outside the usual range, 20 to 95 %",
            [0, 3],
        ),
        (
            Column("N", "safety_factor"),
            [1.4, 1.5, 4, 4.5],
            "N outside the usual range, 1.5 to 4",
            [0, 3],
        ),
        (
            Column("GW", "groundwater_above_invert", "ft"),
            [-33, -32, 98, 99],
            "GW outside the usual range, -32.8 to 98.4 ft",
            [0, 3],
        ),
    ],
)
def test_what_is_outside_the_usual_range_is_told_in_the_unit_of_the_column(
    column, numbers, text, rows
):
    assert told(column, numbers) == [(text, rows)]
    assert told(column, numbers[1:3]) == []


def test_the_usual_ranges_are_those_of_the_docs():
    """Common practice, no source; docs/inventories.md tells the user which they are."""
    text = (Path(__file__).parents[3] / "docs/inventories.md").read_text(encoding="utf-8")
    table = text.partition("<!-- generated: usual_values -->")[2].partition("<!-- end -->")[0]
    rows = [[cell.strip() for cell in line.split("|")[1:-1]] for line in table.split("\n") if line]
    told = {
        key.strip("`"): (float(least), float(most), unit) for key, least, most, unit in rows[2:]
    }
    assert told == {key: each for key, each in USUAL.items() if not key.startswith("stated.")}
    assert f"Walls over {MOST_WALL:g} mm" in text


def test_words_and_keys_without_a_usual_range_are_left_alone():
    load = Column("W [MPa]", "live_load", "MPa")
    ((_, rows),) = told(load, [9.0, 9.0], ["", "HL-93"])
    assert rows == [0]
    assert told(Column("D [mm]", "tube_diameter", "mm"), [1e9]) == []


@pytest.mark.parametrize(
    ("number", "text"),
    [(157.4803, "157"), (2.9528, "2.95"), (13123.4, "13,100"), (-0.0050004, "-0.005"), (0.0, "0")],
)
def test_numbers_of_a_fence_have_three_figures(number, text):
    assert rounded(number) == text
