"""Headers of tables and the cells under them, laid out by hand."""

import pytest

from linerdesign.tasks.transcribe.document import Cell, Line
from linerdesign.tasks.transcribe.tables import Column, column_of, header, placed, under, with_units


def line(*texts):
    """Cells ten units apart, each as wide as nine."""
    return Line(
        tuple(Cell(text, "", 10.0 * n, 10.0 * n + 9) for n, text in enumerate(texts) if text), 1
    )


@pytest.mark.parametrize(
    ("text", "role"),
    [
        ("Pipe", "pipe"), ("From MH:", "from"), ("Sta.", "station"), ("Units", "unit"),
        ("MH 1 to MH 2", "name"), ("Soil cover (ft)", "key"), ("Groundwater", "key"),
        # Two words that no label has may stand beside one that is known, three are a sentence.
        ("Soil cover zig zag", "key"), ("Soil cover zig zag zog", ""), ("X1.3 zig zag zog", "key"),
        ("zig", ""), ("Condition zig", "condition"), ("12 ft", ""),
    ],
)  # fmt: skip
def test_what_the_header_of_a_column_says(text, role):
    cell = Cell(text, "line 1", 3.0, 7.0)
    found = column_of(cell)
    assert (found.role, found.text, found.left, found.right) == (role, text, 3, 7)
    assert found.name == (text if role == "name" else "")


RUNS = ("MH 1 to MH 2", "MH 2 to MH 3", "MH 3 to MH 4")


@pytest.mark.parametrize(
    ("texts", "is_header"),
    [
        (("Pipe", "Soil cover (ft)"), True),
        (("Soil cover (ft)", "zig"), False),
        (("Soil cover (ft)", "Ovality (%)", "zig", "zag"), True),
        (("Soil cover (ft)", "Ovality (%)", "zig", "zag", "zog"), False),
        (("zig", *RUNS[:1]), True),
        (("zig", "zag", *RUNS[:1]), True),
        (("Parameter", "zag", "zog", *RUNS[:1]), False),
        (("Parameter", "zag", "zog", *RUNS[:2]), True),
        (("Pipe", *RUNS[:1]), False),
        (("Pipe", *RUNS[:2]), True),
        (("Soil cover", *RUNS[:1]), False),
        (("Pipe", "Note"), False),
        (("Parameter", "Value"), True),
        (("Pipe",), False),
    ],
)
def test_what_is_a_header(texts, is_header):
    found = header([line(*texts)])
    assert (found is not None) is is_header
    if found:
        assert [column.text for column in found[0]] == list(texts)
        assert found[1] == 1


COLUMNS = tuple(Column(10.0 * n, 10.0 * n + 9, "key") for n in range(3))


@pytest.mark.parametrize(
    ("left", "right", "column"),
    [
        (1, 3, 0), (8, 12, 1), (7, 11, 0), (19, 20, 1), (29, 29.5, 2), (29, 30.02, None),
        # Half of the distance of the columns beside the last, and no further.
        (29, 29.0, 2), (28, 31, 2), (29, 30, 2), (29.25, 29.75, 2), (29.4, 29.7, None),
    ],
)  # fmt: skip
def test_a_cell_is_under_the_column_that_it_overlaps_most_or_is_close_to(left, right, column):
    found = under(COLUMNS, Cell("x", "", left, right))
    assert found is (None if column is None else COLUMNS[column])
    assert under((), Cell("x", "", left, right)) is None


def test_a_cell_beside_the_columns_of_a_short_row_is_in_doubt():
    inside, beside = Cell("x", "", 1, 3), Cell("y", "", 29.25, 29.75)
    made = placed(COLUMNS, Line((inside, beside)))
    assert made == [(inside, COLUMNS[0], True), (beside, COLUMNS[2], False)]
    both = Cell("y", "", 4, 6)
    assert [sure for *_, sure in placed(COLUMNS, Line((inside, both)))] == [False, False]
    full = Line((inside, both, beside))
    assert placed(COLUMNS, full) == [
        (cell, column, True) for cell, column in zip(full.cells, COLUMNS, strict=True)
    ]


def test_a_line_of_units_gives_them_to_columns_without():
    first, _, third = COLUMNS
    given = Column(10.0, 19.0, "key", unit="mm")
    made = with_units((first, given, third), line("(ft)", "in", "–"))
    assert [column.unit for column in made] == ["ft", "mm", None]
    assert with_units(COLUMNS, line("ft", "A", "")) is None
    assert with_units(COLUMNS, line("–", "-", "")) is None


def test_cells_over_each_other_are_one_header():
    """Of two lines; a cell over nothing is a column of its own, at its place."""
    upper = Line((Cell("Soil", "line 1", 2.0, 6.0), Cell("Ovality", "line 1", 10.0, 15.0)), 1)
    lower = Line((Cell("cover", "line 2", 0.0, 8.0), Cell("Note", "line 2", 30.0, 40.0),
                  Cell("(%)", "line 2", 11.0, 17.0)), 1)  # fmt: skip
    columns, count = header([upper, lower])
    assert count == 2
    assert [(c.text, c.left, c.right, c.unit) for c in columns] == [
        ("Soil cover", 0, 8, None), ("Ovality (%)", 10, 17, "%"), ("Note", 30, 40, None)
    ]  # fmt: skip
