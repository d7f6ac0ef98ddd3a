"""Tables of text in a fixed number of characters."""

import re
from itertools import pairwise
from textwrap import wrap

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from linerdesign.documents.blocks import Grid
from linerdesign.documents.columns import (
    fits,
    heads_in_lines,
    most_columns,
    table,
    wide,
    wrapped,
)

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
    lines = wrapped(line, width, "  = ")
    assert all(len(each) <= width for each in lines)
    assert not any(re.search(r"[\d.]$", a) and re.match(r" *[\d.]", b) for a, b in pairwise(lines))
    assert re.sub(r"\s", "", "".join(lines)) == "=" + line.replace(" ", "")


@pytest.mark.parametrize(("width", "most"), [(11, 3), (12, 3), (10, 1), (5, 1)])
def test_a_table_is_parted_where_it_is_wider_than_the_line(width, most):
    """Columns of 1, 1 and 5 letters take 11 with gaps of 2. Parted, each column beside the first
    may be the widest, and two of 5 take 3 + 5 + 2 + 5 with it."""
    grid = Grid(("a", "b", "c"), "<<<", (("1", "2", "12345"),), repeat=1)
    assert most_columns(grid, width) == most
    alike = Grid(("a", "b", "c", "d"), "<<<<", (("1", *["12345"] * 3),), repeat=1)
    assert [most_columns(alike, width) for width in (14, 15, 22)] == [1, 2, 4]
    # One at least, also where every column is repeated.
    whole = Grid(grid.columns, grid.align, grid.rows, repeat=3)
    assert most_columns(whole, width) == (3 if width >= 11 else 1)


@pytest.mark.parametrize("text", ["", "abc", "管道 2", "e\u0301", "Ｗ1", "é", "naïve 管"])
def test_a_text_is_as_wide_as_a_terminal_shows_it(text):
    """By another library, `rich`."""
    assert wide(text) == cell_len(text)


WORD = st.text(st.sampled_from("abcxyz管道é"), min_size=1, max_size=7)
TEXT = st.lists(WORD, min_size=1, max_size=6).map(" ".join)
FIGURE = st.integers(0, 99999).map(str)


@st.composite
def grids(draw):
    align = draw(st.text(st.sampled_from("<>"), min_size=1, max_size=4))
    kinds = [TEXT if sign == "<" else FIGURE for sign in align]
    rows = draw(st.lists(st.tuples(*kinds), min_size=1, max_size=4))
    heads = tuple(draw(WORD) for _ in align)
    return Grid(heads, align, tuple(rows), boxed=draw(st.sets(st.just((0, 0)))))


@given(grids(), st.integers(8, 90))
def test_every_word_of_a_table_stands_in_its_column_and_numbers_end_it(grid, width):
    boxed = [
        [f"[{cell}]" if (y, x) in grid.boxed else cell for x, cell in enumerate(row)]
        for y, row in enumerate(grid.rows)
    ]
    lines = list(table(grid, width))
    rule = next(line for line in lines if set(line) == {"-"})
    assert all(cell_len(line) <= len(rule) for line in lines)
    assert fits(grid, width) == (len(rule) <= width)
    assert lines.index(rule) >= 1
    # As wide as its cells with two blanks between, where the line has room for that.
    natural = [max(map(cell_len, cells)) for cells in zip(grid.columns, *boxed, strict=True)]
    whole = sum(natural) + 2 * (len(natural) - 1)
    if whole <= width:
        assert len(rule) == whole
        assert len(lines) == 2 + len(grid.rows)
        for line, row in zip((lines[0], *lines[2:]), (grid.columns, *boxed), strict=True):
            parts = [
                " " * (size - cell_len(cell)) + cell
                if sign == ">"
                else cell + " " * (size - cell_len(cell))
                for cell, size, sign in zip(row, natural, grid.align, strict=True)
            ]
            assert line == "  ".join(parts).rstrip()
    # Nothing is lost, however narrow the line.
    letters = sorted("".join(grid.columns) + "".join(map("".join, boxed)))
    shown = "".join(line for line in lines if line is not rule)
    assert sorted(re.sub(r"\s", "", shown)) == sorted("".join(letters).replace(" ", ""))
    for row in boxed:
        for cell, sign in zip(row, grid.align, strict=True):
            if sign == ">":
                assert cell in shown


def test_columns_of_text_give_way_and_those_of_numbers_do_not():
    """By hand: 20, 12 and 6 letters. The widest column of text gives way down to the next, then
    both by turns; the number keeps its six. In 30, less two gaps of 2, are 10, 10 and 6."""
    grid = Grid(("a", "b", "c"), "<<>", (("one two three four 5", "six seven 89", "123456"),))
    assert list(table(grid, 30)) == [
        "a           b                c",
        "------------------------------",
        "one two     six seven   123456",
        "three four  89",
        "5",
    ]
    # Two blanks between columns as long as eight letters of text are left to each, one then.
    assert list(table(grid, 26)) == [
        "a         b              c",
        "--------------------------",
        "one two   six       123456",
        "three     seven 89",
        "four 5",
    ]
    assert list(table(grid, 25)) == [
        "a        b              c",
        "-------------------------",
        "one two  six seven 123456",
        "three    89",
        "four 5",
    ]


@pytest.mark.parametrize("width", [14, 13, 1])
def test_no_column_of_text_is_narrower_than_eight_letters_or_its_longest_word(width):
    """By hand, with one blank between: 8 of a word of twelve letters, 5 of 'three'."""
    grid = Grid(("a", "b"), "<<", (("abcdefghijkl x", "one two three"),))
    assert list(table(grid, width)) == [
        "a        b",
        "--------------",
        "abcdefgh one",
        "ijkl x   two",
        "         three",
    ]
    assert fits(grid, width) == (width == 14)


def test_a_column_of_nothing_takes_no_room():
    grid = Grid(("", "b"), "<<", (("", "one two three four"),))
    assert list(table(grid, 10)) == ["  b", "----------", "  one two", "  three", "  four"]
    assert list(table(grid, 9)) == [" b", "---------", " one two", " three", " four"]


@pytest.mark.parametrize(
    ("head", "cells", "lines"),
    [
        # As wide as its cells: no need to fold; the comma before a unit goes where it is folded.
        ("cover, ft", ["123456.89"], ["cover, ft"]),
        ("cover, ft", ["16"], ["cover", "ft"]),
        # A short head has two lines, one of over twelve letters three.
        ("a b c d", ["1"], ["a b", "c d"]),
        ("required thickness, mm", ["27"], ["required", "thickness", "mm"]),
        # Twelve letters are short: half of them and one are a line.
        ("aaa bbb cccd", ["1"], ["aaa bbb", "cccd"]),
        # A third of 17 are five letters.
        ("a b c d e f g h i", ["1"], ["a b c", "d e f", "g h i"]),
        # A word of more than twelve letters is parted.
        ("reinforcement", ["1"], ["reinforcemen", "t"]),
    ],
)
@pytest.mark.parametrize("kind", [{"narrow": True}, {"repeat": 1}])
def test_a_head_of_numbers_is_folded_where_a_table_is_narrow(head, cells, lines, kind):
    rows = tuple((name, cell) for name, cell in zip("abc", cells, strict=False))
    grid = Grid(("the name of a pipe", head), "<>", rows, **kind)
    assert heads_in_lines(grid) == [["the name of a pipe"], lines]
    wider = Grid(("the name of a pipe", head), "<>", rows)
    assert heads_in_lines(wider) == [["the name of a pipe"], [head]]
    text = Grid(("the name of a pipe", head), "<<", rows, **kind)
    assert heads_in_lines(text) == [["the name of a pipe"], [head]]
    # In print, too: head over head, above the rule.
    printed = list(table(grid, 80))
    assert [line.split()[-1] for line in printed[: len(lines)]] == [
        line.split()[-1] for line in lines
    ]
    assert set(printed[len(lines)]) == {"-"}


def test_a_head_without_rows_is_folded_to_its_words():
    grid = Grid(("a", "cover of it"), "<>", (), narrow=True)
    assert heads_in_lines(grid) == [["a"], ["cover", "of it"]]


@given(TEXT, st.integers(14, 30))
def test_letters_as_wide_as_two_are_folded_as_two_letters(text, width):
    """By `textwrap`, which counts letters; no word is longer than a line."""
    spelt = text.replace("管", "12").replace("道", "34").replace("é", "5")
    lines = wrapped(text, width)
    assert " ".join(lines) == text
    assert [wide(line) for line in lines] == [len(line) for line in wrap(spelt, width)]


@pytest.mark.parametrize(
    ("head", "text", "width", "lines"),
    [
        ("ab: ", "", 20, ["ab:"]),
        ("ab: ", "one two", 11, ["ab: one two"]),
        ("ab: ", "one two", 10, ["ab: one two"]),
        ("ab: ", "one two three", 12, ["ab: one two", "    three"]),
        ("管: ", "one two three", 12, ["管: one two", "    three"]),
        ("管: ", "one two t", 12, ["管: one two", "    t"]),
        ("管: ", "one two t", 13, ["管: one two t"]),
        ("", "aaaa*bbb*c", 9, ["aaaa*bbb*", "c"]),
        ("", "aaaa*bbb*c", 8, ["aaaa*", "bbb*c"]),
        ("", "é é管管管管", 8, ["é", "é管管管", "管"]),
        ("ab: ", "管道 管道 x", 12, ["ab: 管道", "    管道 x"]),
        ("ab: ", "管道管道管", 12, ["ab: 管道管道", "    管"]),
    ],
)
def test_further_lines_stand_under_the_first(head, text, width, lines):
    """The room is eight columns at least."""
    assert wrapped(text, width, head) == lines
