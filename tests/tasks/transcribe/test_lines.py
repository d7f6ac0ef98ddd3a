"""Texts as lines of cells: where a cell begins and ends, and which lines go on in the next."""

import pytest

from linerdesign.tasks.transcribe.document import Cell, Line, paragraphs, parted
from linerdesign.tasks.transcribe.opening import open_document
from linerdesign.tasks.transcribe.plain_text import csv_lines, text_lines


def cells(lines):
    return [[each.text for each in line.cells] for line in lines]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Cover: 10 ft", [["Cover: 10 ft"]]),
        ("Cover  10 ft\nOvality\t2 %", [["Cover", "10 ft"], ["Ovality", "2 %"]]),
        ("a\n\n---\n===\nb", [["a"], ["b"]]),
        ("| Pipe | D |\n|---|---|\n| A 1 | 12 in |", [["Pipe", "D"], ["A 1", "12 in"]]),
        ("x | y | z", [["x", "y", "z"]]),
        ("x | y", [["x | y"]]),
        ("## **Cover**\n- `10 ft`\n> said\n* so", [["Cover"], ["10 ft"], ["said"], ["so"]]),
        ("| A | | 3 |", [["A", "3"]]),
        ("**", []),
    ],
)
def test_columns_are_parted_by_bars_tabs_or_two_blanks(text, found):
    assert cells(text_lines(text)) == found


def test_a_cell_has_its_line_and_its_ends():
    (line,) = text_lines("\nCover   10 ft")
    assert [(c.at, c.left, c.right) for c in line.cells] == [("line 2", 0, 5), ("line 2", 8, 13)]
    (line,) = text_lines("| A | B |")
    assert [(c.left, c.right) for c in line.cells] == [(0, 9), (10, 19)]
    assert line.table == 0


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a,b\n1,2\n", [["a", "b"], ["1", "2"]]),
        ("a;b\n1,5;2\n", [["a", "b"], ["1,5", "2"]]),
        ("a\tb\n1\t2\n", [["a", "b"], ["1", "2"]]),
        ("a\tb,c\n", [["a\tb", "c"]]),
        # Half of the lines with a semicolon are enough, less are not.
        ("a;b\nc,d\n", [["a", "b"], ["c,d"]]),
        ("a;b\nc,d\ne,f\n", [["a;b"], ["c", "d"], ["e", "f"]]),
        ('"a,b", c ,\n', [["a,b", "c"]]),
        ("", []),
    ],
)
def test_the_delimiter_is_what_the_lines_share(text, found):
    assert cells(csv_lines(text)) == found


def test_an_empty_row_ends_a_table():
    lines = list(csv_lines("a,b\n1,2\n\nc,d\n,\n3,4\n"))
    assert [line.table for line in lines] == [1, 1, 2, 3]
    assert [line.cells[0].at for line in lines] == ["line 1", "line 2", "line 4", "line 6"]
    (line,) = csv_lines("a,,c")
    assert [(c.left, c.right) for c in line.cells] == [(0, 0.9), (2, 2.9)]


LONG = "The groundwater level at this pipe was measured in"


@pytest.mark.parametrize(
    ("first", "second", "goes_on"),
    [
        (LONG, "spring as 7 ft", True),
        (LONG, "7 ft", True),
        (LONG, "Spring", False),
        ("Soil cover", "10 ft", False),
        ("Soil cover", "is 10 ft", True),
        ("Soil cover", "istle", False),
        (f"{LONG}.", "7 ft", False),
        (f"{LONG};", "is 7 ft", False),
        (f"{LONG} |", "is 7 ft", False),
        (LONG, "h = 7 ft", False),
        # Behind a colon only a line of seventy letters surely goes on.
        (f"{LONG}:", "7 ft", False),
        (f"{LONG} {'x' * 20}:", "7 ft", True),
        ("x" * 44, "7 ft", False),
        ("x" * 45, "7 ft", True),
    ],
)
def test_a_wrapped_sentence_goes_on_in_the_next_line(first, second, goes_on):
    lines = tuple(Line((Cell(text, f"line {n}"),)) for n, text in enumerate((first, second), 1))
    made = cells(paragraphs(lines))
    assert made == ([[f"{first} {second}"]] if goes_on else [[first], [second]])


def test_a_joined_line_knows_the_places_of_its_parts():
    """A word parted by a hyphen has no blank in it."""
    texts = ("The thickness of the liner is to be at least a half-", "inch thick", "and round")
    lines = tuple(Line((Cell(text, f"line {n}"),)) for n, text in enumerate(texts, 1))
    (line,) = paragraphs(lines)
    (cell,) = line.cells
    assert cell.text == f"{texts[0]}inch thick and round"
    inch, last = cell.text.index("inch"), cell.text.index("and round")
    places = [cell.place(offset) for offset in (0, inch - 1, inch, last - 1, last)]
    assert places == ["line 1", "line 1", "line 2", "line 2", "line 3"]


def test_lines_of_tables_and_of_several_cells_stand_alone():
    one, other = Cell(LONG, "line 1"), Cell("7 ft", "line 2")
    for lines in (
        (Line((one,), 1), Line((other,), 1)),
        (Line((one, other)), Line((other,))),
        (Line((one,)), Line((other, other))),
    ):
        assert paragraphs(lines) == lines


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Cover ........ 10 ft", ["Cover", "10 ft"]),
        ("Cover . . . . 10 ft", ["Cover", "10 ft"]),
        ("Cover ___ 10 ft", ["Cover", "10 ft"]),
        ("Cover …… 10 ft", ["Cover", "10 ft"]),
        ("Cover ... 10 ft", ["Cover ... 10 ft"]),
        ("........", []),
    ],
)
def test_dots_lead_from_a_label_to_its_value(text, parts):
    assert [each.text for each in parted(Line((Cell(text, "line 1"),))).cells] == parts


def test_parts_lie_where_their_letters_do():
    text = "Cover ........ 10 ft"
    first, second = parted(Line((Cell(text, "line 1", 100.0, 140.0),))).cells
    assert (first.left, first.right) == (100, 110)
    assert (second.left, second.right) == (130, 140)
    assert second.at == "line 1"


def test_no_part_is_longer_than_two_thousand_letters():
    for text in ("abcde " * 750, "x" * 4500):
        parts = parted(Line((Cell(text, "line 1"),))).cells
        # Parted at a blank, where there is one.
        words = {word for each in parts for word in each.text.split()}
        assert words == ({"abcde"} if " " in text else {"x" * 2000, "x" * 500})
        assert all(len(each.text) <= 2000 for each in parts)
        assert "".join(each.text.replace(" ", "") for each in parts) == text.replace(" ", "")


def test_each_part_may_have_as_many_letters():
    first, second = "a" * 1100, "b c " * 300
    parts = parted(Line((Cell(f"{first} ........ {second}", "line 1"),))).cells
    assert [each.text for each in parts] == [first, second.strip()]


def test_a_file_of_any_usual_code_is_read(tmp_path):
    """The same letters in four codes; marks of formulas and full-width signs are as usual."""
    path = tmp_path / "a.txt"
    for data in ("Höhe 3½".encode(), "Höhe 3½".encode("utf-8-sig"), "Höhe 3½".encode("utf-16"),
                 "Höhe 3½".encode("cp1252")):  # fmt: skip
        path.write_bytes(data)
        source, read = open_document(path)
        assert (cells(source.lines), read) == ([["Höhe 3½"]], data)
    path.write_text("\uff24 \uff1d \uff11\uff12 in\u00b2", "utf-8")
    assert cells(open_document(path)[0].lines) == [["D = 12 in²"]]


@pytest.mark.parametrize(("second", "lines"), [("x" * 45, 1), ("x" * 44, 2)])
def test_a_third_line_goes_on_where_the_second_is_full(second, lines):
    """By its own length, not that of what it was joined to."""
    texts = (LONG, second, "year as 7 ft")
    made = paragraphs(tuple(Line((Cell(text, f"line {n}"),)) for n, text in enumerate(texts, 1)))
    assert len(made) == lines
    joined = made[0].cells[0]
    ends = [0, len(LONG) + 1, len(LONG) + len(second) + 2][: 4 - lines]
    assert [joined.place(end) for end in ends] == ["line 1", "line 2", "line 3"][: 4 - lines]
    assert joined.place(len(LONG)) == "line 1"


def test_a_text_longer_than_a_statement_is_cut_between_its_words():
    """Two words of which each fits and both together do not, then one that fits nowhere."""
    one, other, endless = "a" * 1990, "b" * 10, "c" * 4500
    (line,) = (parted(Line((Cell(f"{one} {other} {endless}", "line 1"),))),)
    assert [cell.text for cell in line.cells] == [
        *(one, other),
        *("c" * 1999, "c" * 2000, "c" * 501),
    ]


@pytest.mark.parametrize(
    ("text", "ends"),
    [
        ("6", [(8.0, 12.0)]),
        ("", []),
        # Eight letters over four points: two of them, then four dots, then two.
        ("ab....cd", [(8.0, 9.0), (11.0, 12.0)]),
    ],
)
def test_parts_of_a_cell_have_their_share_of_its_width(text, ends):
    found = parted(Line((Cell(text, "line 1", 8.0, 12.0),), table=3)).cells
    assert [(cell.left, cell.right) for cell in found] == ends
    assert parted(Line((), table=3, part="A")) == Line((), table=3, part="A")
