"""Tables of text in a fixed number of characters."""

import pytest

from linerdesign.documents.blocks import Grid
from linerdesign.documents.columns import table

WORDS = "enhancement factor by the numerical model"


@pytest.mark.parametrize("times", [1, 2, 3])
def test_columns_of_text_share_the_line(times):
    """No word is cut while the line has room for it in both columns."""
    grid = Grid(("quantity", "working", "value"), "<<>", ((WORDS, f"{WORDS} " * times, "1"),))
    lines = list(table(grid, 60))
    assert all(len(line) <= 60 for line in lines)
    printed = " ".join(lines).split()
    assert [printed.count(word) for word in WORDS.split()] == [1 + times] * len(WORDS.split())
