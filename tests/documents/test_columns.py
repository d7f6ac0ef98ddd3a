"""Tables of text in a fixed number of characters."""

import re
from itertools import pairwise

import pytest

from linerdesign.documents.blocks import Grid
from linerdesign.documents.columns import most_columns, table, wrapped

WORDS = "enhancement factor by the numerical model"


@pytest.mark.parametrize("times", [1, 2, 3])
def test_columns_of_text_share_the_line(times):
    """No word is cut while the line has room for it in both columns."""
    grid = Grid(("quantity", "working", "value"), "<<>", ((WORDS, f"{WORDS} " * times, "1"),))
    lines = list(table(grid, 60))
    assert all(len(line) <= 60 for line in lines)
    printed = " ".join(lines).split()
    assert [printed.count(word) for word in WORDS.split()] == [1 + times] * len(WORDS.split())


@pytest.mark.parametrize("width", [16, 20, 33, 60])
def test_no_number_of_a_long_line_is_cut(width):
    line = "r = 100*413400*0.225197^3/(400000*0.23622^3)"
    lines = wrapped("  = ", line, width)
    assert all(len(each) <= width for each in lines)
    assert not any(re.search(r"[\d.]$", a) and re.match(r" *[\d.]", b) for a, b in pairwise(lines))
    assert re.sub(r"\s", "", "".join(lines)) == "=" + line.replace(" ", "")


@pytest.mark.parametrize(("width", "most"), [(11, 3), (12, 3), (10, 1), (5, 1)])
def test_a_table_is_parted_where_it_is_wider_than_the_line(width, most):
    """Columns of 1, 1 and 5 letters take 11 with gaps of 2. Parted, each column beside the first
    may be the widest, and two of 5 take 3 + 5 + 2 + 5 with it."""
    grid = Grid(("a", "b", "c"), "<<<", (("1", "2", "12345"),), repeat=1)
    assert most_columns(grid, width) == most
