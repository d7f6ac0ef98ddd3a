"""Headers of tables and the cells under them, laid out by hand."""

import pytest

from linerdesign.tasks.transcribe.document import Cell, Line
from linerdesign.tasks.transcribe.numbers import Number
from linerdesign.tasks.transcribe.tables import (
    Column,
    column_of,
    header,
    label_of,
    number_with,
    placed,
    single_value,
    under,
    with_units,
)


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
        (28.5, 40, 2),
        (1, 3, 0), (8, 12, 1), (7, 11, 0), (19, 20, 1), (29, 29.5, 2), (29, 30.02, None),
        # Half of the distance of the columns beside the last, and no further.
        (29, 29.0, 2), (28, 31, 2), (29, 30, 2), (29.25, 29.75, 2), (29.4, 29.7, None),
    ],
)  # fmt: skip
def test_a_cell_is_under_the_column_that_it_overlaps_most_or_is_close_to(left, right, column):
    found = under(COLUMNS, Cell("x", "", left, right))
    assert found is (None if column is None else COLUMNS[column])
    assert under((), Cell("x", "", left, right)) is None
    assert under(COLUMNS[:2], Cell("x", "", 1, 3)) is COLUMNS[0]


def test_a_cell_over_two_columns_is_under_that_of_the_larger_part():
    """However near it lies to the middle of a narrow one."""
    wide, narrow = Column(0.0, 100.0, "key"), Column(100.0, 110.0, "key")
    assert under((wide, narrow), Cell("x", "", 85.0, 104.0)) is wide


def test_close_by_is_half_of_the_least_distance_of_columns():
    uneven = tuple(Column(left, left + 2.0, "key") for left in (0.0, 10.0, 40.0))
    assert under(uneven, Cell("x", "", 45.5, 46.5)) is uneven[2]
    assert under(uneven, Cell("x", "", 45.6, 46.6)) is None


def test_a_cell_beside_the_columns_of_a_short_row_is_in_doubt():
    touching = Cell("z", "", 29, 30)
    assert placed(COLUMNS, Line((touching, Cell("x", "", 1, 3)))) == [
        (touching, COLUMNS[2], False), (Cell("x", "", 1, 3), COLUMNS[0], True)
    ]  # fmt: skip
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


@pytest.mark.parametrize(
    ("lines", "count"),
    [
        # A line more where it makes a key of what had no datum, or adds a unit.
        ([("Pipe", "Groundwater"), ("", "above invert")], 2),
        ([("Pipe", "Soil cover"), ("", "(ft)")], 2),
        ([("Pipe", "Ground"), ("", "water"), ("", "above invert")], 3),
        ([("Pipe", "Ground"), ("", "water"), ("", "above invert"), ("", "(ft)")], 3),
        # Not where it only adds words, or takes some away, or is a row of values.
        ([("Pipe", "Soil cover (ft)"), ("No.", "")], 1),
        ([("Pipe", "Soil cover (ft)"), ("No.", "zig")], 1),
        ([("Pipe", "Soil cover (ft)"), ("Mill A", "zig zag zog")], 1),
        ([("Pipe", "Soil cover"), ("A", "10 ft")], 1),
        ([("Pipe", "Soil cover"), ("A", "H = zig")], 1),
        ([("Pipe", "Groundwater"), ("No.", "above invert, " + "x" * 65), ("", "(ft)")], 3),
        ([("Pipe", "Groundwater"), ("No.", "above invert, " + "x" * 66), ("", "(ft)")], 1),
        ([("Pipe", "Groundwater"), ("", "fully deteriorated"), ("", "above invert")], 1),
        # A cell alone: a heading, a sentence, or a long one is none of a header.
        ([("Pipe", "Groundwater"), ("MH 1 to MH 2",), ("", "above invert")], 1),
        ([("Pipe", "Groundwater"), ("", "above:"), ("", "invert")], 1),
        ([("Pipe", "Groundwater"), ("", "above. "), ("", "invert")], 1),
        ([("Pipe", "Groundwater"), ("", "above invert " + "x" * 17)], 2),
        ([("Pipe", "Groundwater"), ("", "above invert " + "x" * 18)], 1),
    ],
)  # fmt: skip
def test_how_many_lines_a_header_takes(lines, count):
    columns, taken = header([line(*each) for each in lines])
    assert taken == count
    assert [column.left for column in columns] == [0, 10]


@pytest.mark.parametrize(
    ("text", "label", "unit"),
    [
        ("Soil cover (ft)", "cover", "ft"),
        ("Soil cover [ft]", "cover", "ft"),
        ("Soil cover (ft) (ft)", "cover", "ft"),
        ("Soil cover (ft) (m)", "cover", None),
        ("Soil cover, ft", "cover", "ft"),
        ("Soil cover ft", "cover", "ft"),
        ("Soil cover / ft", "cover", "ft"),
        ("Unit weight, lb / cu.ft", "unit weight", "pcf"),
        ("Inertia, in4", "inertia in4", None),
        ("Soil cover", "cover", None),
        ("Ovality per cent", "ovality", "%"),
        ("Unit weight lb/cu ft", "unit weight", "pcf"),
        ("Pressure ft of water", "pressure", "ft of water"),
        (" ft", "", "ft"),
        ("ft", "ft", None),
        ("", "", None),
    ],
)  # fmt: skip
def test_a_label_and_the_unit_at_its_end(text, label, unit):
    tokens, found = label_of(text)
    assert (" ".join(token.value for token in tokens), found) == (label, unit)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("10 ft", ["10 ft"]),
        ("= 10 ft", ["10 ft"]),
        ("10 (ft)", ["10"]),
        ("6.0 mm (0.236 in)", ["6.0 mm", "0.236 in"]),
        ("5 % of the pipe", ["5 %"]),
        ("-3 ft", ["-3 ft"]),
        ("10 ft cover", []), ("K 7", []), ("10 ft zig", []), ("HL-93", []), ("X1.3", []),
        ("10 to 12", []), ("10 12", []), ("6 mm (6 psi)", []), ("MH 1 to MH 2", []),
        ("Pipe 7 = 3", []), ("2 * 3", []), ("12 / 0.2", []), ("2 ^ 3", []), ("3 - 5 ft", []),
        ("10 + ", []), ("", []), ("= ft", []),
    ],
)  # fmt: skip
def test_a_cell_that_holds_one_value(text, values):
    assert [token.number.text for token in single_value(text)] == values


@pytest.mark.parametrize(
    ("text", "comma", "values"),
    [("1.250 m", "point", ["1.250 m"]), ("1,250 mm", "thousands", ["1250 mm"])],
)
def test_what_a_comma_means_in_cells_and_labels(text, comma, values):
    (value,) = single_value(text, comma)
    assert [value.number.text] == values
    assert value.number.doubts == (() if comma == "thousands" else ("transcribe.separator",))
    for label in (f"Cover {text} (ft)", f"Cover {text}, zig"):
        tokens, _ = label_of(label, comma)
        (number,) = (token.number for token in tokens if token.sort == "number")
        assert number == value.number.__class__(6, 6 + len(text), *[
            value.number.decimal, value.number.unit, value.number.doubts])  # fmt: skip


def test_the_header_of_a_column_keeps_its_label_and_its_unit():
    found = column_of(Cell("Soil  cover (ft)", "", 3.0, 7.0))
    assert (found.text, found.unit, [t.value for t in found.label]) == (
        "Soil cover (ft)", "ft", ["cover"]
    )  # fmt: skip
    # Of a number, of nothing, of words, and of a condition.
    for text, role, label in (("12 ft", "", 1), ("---", "", 0), ("Zig (ft)", "", 1), 
                              ("Condition zig", "condition", 2)):  # fmt: skip
        found = column_of(Cell(text, "", 3.0, 7.0))
        assert (found.role, len(found.label), found.text) == (role, label, text)
        assert found.unit == ("ft" if "ft" in text else None)


def test_columns_stand_in_the_order_of_their_left_ends():
    """A cell that touches no other, and one that only touches at its edge, stand apart."""
    upper = Line((Cell("Pipe", "", 20.0, 28.0), Cell("Soil cover", "", 30.0, 38.0)), 1)
    lower = Line((Cell("Value", "", 0.0, 20.0), Cell("(ft)", "", 37.5, 50.0)), 1)
    columns, count = header([upper, lower])
    assert count == 2
    assert [(c.text, c.left, c.right) for c in columns] == [
        ("Value", 0, 20), ("Pipe", 20, 28), ("Soil cover (ft)", 30, 50)
    ]  # fmt: skip


def test_a_number_takes_the_first_unit_given_where_it_has_none():
    bare, own = Number(0, 2, "10", None, ("transcribe.bound",)), Number(0, 5, "10", "ft")
    assert number_with(bare, None, "", "mm", "in") == Number(0, 2, "10", "mm", bare.doubts)
    assert number_with(bare, None) is bare
    assert number_with(bare) is bare
    assert number_with(own, "mm") is own
