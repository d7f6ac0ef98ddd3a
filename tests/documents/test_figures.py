"""Figures as files: the same bytes each time, with nothing of the day or the program in them."""

import struct

import pytest

from linerdesign.documents.figures import (
    COLOURS,
    DASHES,
    label,
    literal,
    new_figure,
    picture,
    render,
)


def _figure():
    figure, (axes,) = new_figure(4, 2, 1)
    axes.plot((0, 1), (2, 3))
    axes.set_xlabel("cover")
    return figure


def test_a_figure_says_neither_when_nor_by_what_it_was_drawn():
    svg = render(_figure(), "svg")
    assert svg == render(_figure(), "svg")
    assert b"date" not in svg
    assert b"Matplotlib" not in svg.replace(b"<!-- ", b"")
    # Letters are outlines, so that they look alike on every machine.
    assert b"<text" not in svg
    png = render(_figure(), "png")
    assert png == render(_figure(), "png")
    assert b"Software" not in png


def test_a_picture_of_points_has_150_to_an_inch():
    """Bytes 16 to 24 of a PNG are its width and height (ISO/IEC 15948, 11.2.2)."""
    png = render(_figure(), "png")
    assert struct.unpack(">II", png[16:24]) == (600, 300)


def test_letters_are_of_nine_points_in_the_font_that_comes_with_the_library():
    figure = _figure()
    text = figure.axes[0].xaxis.label
    assert text.get_size() == 9
    assert text.get_fontfamily() == ["DejaVu Sans"]
    assert {side for side, each in figure.axes[0].spines.items() if each.get_visible()} == {
        "left",
        "bottom",
    }


def test_a_block_holds_the_drawing_alone():
    made = picture(_figure(), "caption", "in words")
    assert made.svg.startswith("<svg")
    assert made.svg.rstrip().endswith("</svg>")
    assert (made.caption, made.alternative) == ("caption", "in words")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("x" * 40, "x" * 40),
        ("x" * 41, "x" * 39 + "…"),
        # What begins with an underscore has no place in a legend (documents of the library).
        ("_a", " _a"),
        ("a_", "a_"),
        ("5 $ a foot", r"5 \$ a foot"),
        ("$" * 41, r"\$" * 39 + "…"),
        ("a\x07", r"a\x07"),
    ],
)
def test_a_name_is_the_label_of_a_curve_as_it_is(text, shown):
    assert label(text) == shown
    if len(text) <= 40 and not text.startswith("_"):
        assert literal(text) == shown


@pytest.mark.parametrize(
    ("panels", "columns", "rows", "across"),
    [(1, 0, 1, 1), (3, 0, 1, 3), (5, 2, 3, 2), (4, 2, 2, 2)],
)
def test_panels_stand_in_rows_and_share_their_heights(panels, columns, rows, across):
    figure, axes = new_figure(6, 4, panels, columns)
    assert figure.axes == axes
    assert len(axes) == panels
    for place, each in enumerate(axes):
        spot = each.get_subplotspec()
        assert spot.get_gridspec().get_geometry() == (rows, across)
        assert (spot.rowspan.start, spot.colspan.start) == divmod(place, across)
    axes[0].set_ylim(2, 7)
    assert {each.get_ylim() for each in axes} == {(2, 7)}
    # Room for labels is found by itself.
    assert figure.get_layout_engine() is not None


def test_curves_are_told_apart_without_colours():
    assert len(set(COLOURS)) == len(set(DASHES)) == len(COLOURS)
