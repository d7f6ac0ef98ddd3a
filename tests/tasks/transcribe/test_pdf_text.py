"""The lines and cells of a PDF: words set at known places, columns told apart by hand.

Words are ten points high where nothing else is said, so that a column gap is over nine points and
a strip between columns over three and a half.
"""

import zlib

import pytest
import typst

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe import pdf_text
from linerdesign.tasks.transcribe.pdf_text import _cells, _gutters, _rows, _table, pdf_source


def word(text, x0, x1, top=100.0, bottom=110.0):
    return {"text": text, "x0": x0, "x1": x1, "top": top, "bottom": bottom}


def texts(row, gutters=()):
    return [cell.text for cell in _cells(row, "", list(gutters))]


@pytest.mark.parametrize(
    ("gap", "bottom", "apart"),
    [
        (9.0, 110.0, False),
        (9.05, 110.0, True),
        # Very small print counts as six points high.
        (5.4, 104.0, False),
        (5.43, 104.0, True),
    ],
)
def test_words_far_apart_are_in_two_cells(gap, bottom, apart):
    row = [word("Cover", -30.0, 0.0), word("10", gap, 40.0, bottom=bottom)]
    assert texts(row) == (["Cover", "10"] if apart else ["Cover 10"])


@pytest.mark.parametrize(("gutter", "parted"), [(0, True), (5, True), (-1, False), (6, False)])
def test_a_gutter_parts_words_that_are_close(gutter, parted):
    row = [word("a", -20, -9), word("b", -8, 0), word("c", 5, 12), word("d", 13, 20)]
    assert texts(row, [gutter]) == (["a b", "c d"] if parted else ["a b c d"])


def test_a_cell_has_the_ends_of_its_words_and_an_index_no_blank():
    row = [word("E", -5, 0), word("L", 0.8, 10), word("(cid:12)2(cid:7)", 10.805, 30)]
    (cell,) = _cells(row, "page 1, line 2", [])
    assert (cell.text, cell.at, cell.left, cell.right) == ("EL |2|", "page 1, line 2", -5, 30)


def test_a_line_takes_in_what_is_set_a_little_lower_or_higher():
    low, lower = word("L", 15, 18, 108, 114), word("next", 0, 20, 108.5, 114.5)
    high = word("2", 30, 33, 97, 104.5)
    for beside, together in ((low, ["E", "L"]), (high, ["E", "2"])):
        (row,) = _rows([word("E", 10, 15), beside])
        assert [each["text"] for each in row] == together
    rows = _rows([lower, word("E", 10, 15), word("D", 0, 5)])
    assert [[each["text"] for each in row] for row in rows] == [["D", "E"], ["next"]]
    # The highest foot of a line decides what belongs to it.
    rows = _rows([high, word("E", 10, 15), low])
    assert [len(row) for row in rows] == [2, 1]


def rows_of(*lines):
    """Lines below each other, each of (text, left, right)."""
    made = []
    for number, line in enumerate(lines):
        top = 100.0 + 20 * number
        made.append([word(*each, top, top + 10) for each in line])
    return made


def gutters(*lines):
    rows = rows_of(*lines)
    found = _gutters(rows)
    return [found[id(row)] for row in rows]


THREE = [("a", 0, 10), ("b", 30, 46.5), ("c", 50.03, 70)]


def test_a_strip_that_no_word_of_three_lines_touches_parts_columns():
    """Its middle is where they are parted: 10 to 30, and 46.5 to 50.03, which is just enough."""
    assert gutters(THREE, THREE, THREE) == [pytest.approx([20, 48.265])] * 3
    assert gutters(THREE, THREE) == [[], []]
    assert gutters(THREE, THREE, [("one cell", 0, 40)], THREE) == [[]] * 4
    narrow = [("a", 0, 10), ("b", 30, 46.5), ("c", 50.0, 70)]
    assert gutters(narrow, narrow, narrow) == [[20]] * 3
    long = [("a", 0, 12), ("b b", 20, 48.0), ("c", 60, 70)]
    assert gutters(THREE, THREE, long) == [[16]] * 3
    close = [("a", 0, 10), ("b", 30, 46.5), ("c", 48.5, 70)]
    low = rows_of(close, close)
    assert list(pdf_text._blank_between([*low[0], *low[1]])) == [20]
    low[1][0] |= {"bottom": 125.0}
    # Of the smallest words: five points high, so that two points are a strip.
    assert list(pdf_text._blank_between([*low[0], *low[1]])) == [20, 47.5]


def test_a_line_that_begins_further_right_hides_no_strip():
    head = [("Case 1", 20, 60), ("Case 2", 74, 95)]
    body = [("Cover", 0, 16), ("10", 30, 60), ("12", 76, 90)]
    uneven = [("Cover", 0, 16), ("6", 30, 57), ("9", 76, 90)]
    assert gutters(head, body, uneven)[1] == [18.0, 67.0]


FLUSH = [("A", 0, 10), ("12", 30, 50), ("6", 80, 90), ("3", 120, 130)]


def ends(*lines):
    rows = rows_of(*lines)
    return pdf_text._behind_numbers(rows, [each for row in rows for each in row])


def test_numbers_set_flush_right_end_their_columns():
    """Half a point behind the furthest of them, between the first column and the last."""
    other = [("B", 0, 14), ("7", 40, 51), ("16", 62, 89.5), ("33", 120, 131)]
    head = [("Pipe", 0, 14), ("D in", 51.5, 70)]
    assert ends(head, FLUSH, other) == [51.5, 90.5]
    assert ends(FLUSH, other) == [51.5, 90.5]
    assert ends(head, head, FLUSH, other) == [51.5, 90.5]
    # A word that only reaches an end is not cut by it.
    assert ends([("Pipe", 0, 14), ("D in", 40, 51.5)], FLUSH, other) == [51.5, 90.5]
    # Of three columns that in the middle.
    assert ends(FLUSH[:3], FLUSH[:3]) == [50.5]


@pytest.mark.parametrize(
    "lines",
    [
        # One line alone, a line of fewer cells between, columns of two, uneven ends, a word across.
        [[("Pipe", 0, 14), ("D", 51, 60)], FLUSH],
        [FLUSH, [("A", 0, 10), ("12", 30, 50)], FLUSH],
        [FLUSH[:2], FLUSH[:2]],
        [FLUSH, [("A", 0, 10), ("12", 30, 51.005), ("6", 80, 90), ("3", 120, 130)]],
        [[("Diameter", 30, 60), ("D", 80, 90)], FLUSH, FLUSH],
    ],
)
def test_other_numbers_end_no_column(lines):
    assert ends(*lines) == []


class Box:
    def __init__(self, *cells):
        self.cells, self.bbox = cells, (0, cells[-1][1], 100, cells[-1][3])


class Ruled:
    def __init__(self, *rows):
        self.rows = rows


def test_a_ruled_cell_holds_the_words_whose_middle_is_in_it():
    """Two lines in one cell, an empty one, and one that is part of the cell above."""
    first = [word("Soil", 10, 30), word("10", 62, 80), word("out", 95, 106)]
    second = [word("cover", 10, 30, 120, 130), word("ft", 190, 210, 120, 130)]
    third = [word("below", 10, 30, 140, 150)]
    rows = [first, second, third]
    at = {id(row): f"line {number}" for number, row in enumerate(rows, 1)}
    taken = set()
    table = Ruled(
        Box((0, 90, 50, 135), (50, 90, 100, 135), (150, 90, 200, 125)),
        Box(None, (50, 136, 100, 155)),
        Box((0, 145, 20, 155)),
    )
    found = list(_table(table, rows, at, 7, taken))
    shown = [([(c.text, c.at, c.left, c.right) for c in line.cells], top) for line, top in found]
    assert shown == [
        (
            [("Soil cover", "line 1", 0, 0.9), ("10", "line 1", 1, 1.9), ("ft", "line 2", 2, 2.9)],
            90,
        ),
        ([("below", "line 3", 0, 0.9)], 145),
    ]
    assert {line.table for line, _ in found} == {7}
    every = [each for row in rows for each in row]
    assert [each["text"] for each in every if id(each) not in taken] == ["out"]


def source(tmp_path, text):
    path = tmp_path / "a.pdf"
    data = typst.compile(f"#set page(width: 20cm, height: 10cm)\n{text}".encode())
    path.write_bytes(data)
    return pdf_source(path, data)


PICTURE = '#image(bytes((1, 2, 3)), format: (encoding: "rgb8", width: 1, height: 1))'
RULED = "#table(columns: 2, [Pipe], [Cover], [A], [10 ft])"


def test_the_lines_of_pages_with_tables_and_what_was_not_read_of_them(tmp_path):
    text = f"""Before
{RULED}
Between
{RULED}
Behind
#pagebreak()
{PICTURE}
#pagebreak()
{PICTURE}
Last
#table(columns: 1, [One], [column])
#table(columns: 2, [One], [row])
"""
    made = source(tmp_path, text)
    shown = [(line.table, line.cells[0].at, [c.text for c in line.cells]) for line in made.lines]
    assert shown == [
        (0, "page 1, line 1", ["Before"]),
        (1, "page 1, line 2", ["Pipe", "Cover"]),
        (1, "page 1, line 3", ["A", "10 ft"]),
        (0, "page 1, line 4", ["Between"]),
        (2, "page 1, line 5", ["Pipe", "Cover"]),
        (2, "page 1, line 6", ["A", "10 ft"]),
        (0, "page 1, line 7", ["Behind"]),
        (0, "page 3, line 1", ["Last"]),
        (0, "page 3, line 2", ["One"]),
        (0, "page 3, line 3", ["column"]),
        (0, "page 3, line 4", ["One", "row"]),
    ]
    assert made.unread == (("page without text", "page 2"), ("page with a picture", "page 3"))


def test_tables_are_numbered_through_all_pages(tmp_path):
    made = source(tmp_path, f"{RULED}\n#pagebreak()\n{RULED}")
    assert [line.table for line in made.lines] == [1, 1, 2, 2]


class Page:
    images = ()

    def __init__(self, count):
        self.chars = [None] * count

    def extract_words(self, **_):
        return [word("a", 0, 10)]

    def find_tables(self):
        return []

    def close(self):
        pass


def test_only_a_page_of_more_characters_than_the_most_is_refused(tmp_path):
    made = pdf_text._pages(tmp_path, [Page(pdf_text.MOST_CHARACTERS)] * 2)
    assert len(made.lines) == 2
    with pytest.raises(InputFaults, match="too large"):
        pdf_text._pages(tmp_path, [Page(1), Page(pdf_text.MOST_CHARACTERS + 1)])


def test_only_a_file_of_more_pages_than_the_most_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(pdf_text, "MOST_PAGES", 2)
    assert len(source(tmp_path, "a\n#pagebreak()\nb").lines) == 2
    with pytest.raises(InputFaults, match=r"a\.pdf: more than 2 pages"):
        source(tmp_path, "a\n#pagebreak()\nb\n#pagebreak()\nc")


def test_a_file_that_no_memory_holds_is_too_large(tmp_path, monkeypatch):
    def full(*_):
        raise MemoryError

    monkeypatch.setattr(pdf_text, "_pages", full)
    with pytest.raises(InputFaults, match=r"a\.pdf: too large"):
        source(tmp_path, "a")


def packed(size, times=1):
    data = bytes(size)
    for _ in range(times):
        data = zlib.compress(data)
    return data


@pytest.mark.parametrize(
    ("data", "bomb"),
    [
        (b"stream\n" + packed(999), False),
        (b"stream\n" + packed(1000), True),
        (b"stream\r\n" + packed(1000), True),
        (b"stream\r" + packed(1000), True),
        (b"<<>> stream\n" + packed(400) + b"\nendstream stream\r\n" + packed(599), False),
        (b"<<>> stream\n" + packed(400) + b"\nendstream stream\r\n" + packed(600), True),
        (b"stream\n" + packed(990, 4), True),
        (b"stream\n" + packed(900, 4), False),
        (b"stream\n" + bytes(2000), False),
        (b"stream\n", False),
        (b"", False),
    ],
    ids=range(11),
)
def test_streams_that_unpack_to_as_much_as_the_most_are_refused(tmp_path, monkeypatch, data, bomb):
    """All streams together, each as often as it is packed; zeros pack to some twenty bytes."""
    monkeypatch.setattr(pdf_text, "MOST_STREAM", 1000)
    if not bomb:
        pdf_text._check_streams(tmp_path, data)
        return
    with pytest.raises(InputFaults, match="unpacks to far more than its size"):
        pdf_text._check_streams(tmp_path, data)


@pytest.mark.parametrize(("behind", "damaged"), [(2**20 - 200, False), (2**20, True)])
def test_the_end_of_a_file_is_looked_for_in_its_last_megabyte(tmp_path, behind, damaged):
    data = typst.compile(b"Cover: 10 ft") + b"%" + b"x" * behind
    path = tmp_path / "a.pdf"
    path.write_bytes(data)
    if damaged:
        with pytest.raises(InputFaults, match=r"a\.pdf: damaged"):
            pdf_source(path, data)
    else:
        assert pdf_source(path, data).lines[0].cells[0].text == "Cover: 10 ft"
