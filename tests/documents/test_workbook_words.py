"""The sheets of a workbook that hold words, and what all of its cells share."""

import io
import re
import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pages import document, results
from projects import toml
from xlsxwriter.exceptions import FileCreateError

from linerdesign.documents.blocks import (
    CAUTIONS,
    Bullets,
    Document,
    Grid,
    Heading,
    Live,
    Paragraph,
    Picture,
)
from linerdesign.documents.sheet import remark_lists
from linerdesign.documents.workbook import render
from linerdesign.documents.workbook_cells import (
    INDENT,
    LINE_HEIGHT,
    Book,
    cell,
    cell_text,
    issued,
    lines_of,
    number_in,
    row_height,
    sheet_name,
    text_width,
)
from linerdesign.documents.workbook_memo import _widths
from linerdesign.documents.workbook_rows import PlaceRows
from linerdesign.expressions.tree import Number, Operation, Symbol, tables
from linerdesign.project.identity import FileRead, Identity
from linerdesign.project.models import ProjectInfo

INFO = ProjectInfo(
    title="Mill Lane & Quay", number="HW-7", client="Town of Harrowmere", date="2026-05-04",
    revision="B",
)  # fmt: skip
FILES = Identity((FileRead("project", "p.toml", "0123456789abcdef" * 4),), "9f3a-0001")


def opened(*blocks, title="A report", units="US", data_only=False):
    made = Document(title, blocks, INFO, units, FILES)
    return openpyxl.load_workbook(io.BytesIO(render(made)), data_only=data_only)


def rows(sheet):
    """What stands in each row from its first cell on, empty ones too."""
    return [
        row[: max((n for n, value in enumerate(row, 1) if value is not None), default=0)]
        for row in sheet.iter_rows(values_only=True)
    ]


def widths(sheet):
    """Widths of columns as they are set: a letter has 7 pixels, and the file 5 pixels more."""
    found = {}
    for span in sheet.column_dimensions.values():
        found |= dict.fromkeys(range(span.min, span.max + 1), span.width - 5 / 7)
    return [found[column] for column in sorted(found)]


OPENING = [
    ("A report",),
    ("Mill Lane & Quay; number HW-7; client Town of Harrowmere",),
    (
        "date 2026-05-04; revision B; project file p.toml, SHA-256 0123456789abcdef; "
        "fingerprint 9f3a-0001",
    ),
    ("linerdesign 0.1.0",),
]
AS_ISSUED = ("As issued: text only; does not recalculate.",)


def test_a_memo_has_a_row_for_every_text_and_an_empty_one_behind_every_block():
    book = opened(
        Heading("Answer"),
        Paragraph("Some words."),
        Bullets(("one", "two")),
        Heading("A section", 2),
        Grid(("name", "t"), "<>", (("a", "1,234.50"), ("b", "-2"), ("c", "n/a")), "A table"),
        Heading("A second part, with a long title", tab="Second"),
        Paragraph("More words."),
    )
    assert book.sheetnames == ["Answer", "Second", "Cautions"]
    first = book["Answer"]
    assert rows(first) == [
        *(*OPENING, (), ("Answer",), AS_ISSUED, ()),
        *(("Some words.",), (), ("• one",), ("• two",), ()),
        *(("A section",), ("A table",), ("name", "t"), ("a", 1234.5), ("b", -2), ("c", "n/a")),
    ]
    assert rows(book["Second"]) == [
        ("A second part, with a long title",), AS_ISSUED, (), ("More words.",),
    ]  # fmt: skip
    (at,) = (row[0].row for row in first.iter_rows() if row[0].value == "name")
    formats = [first.cell(at + n, 2).number_format for n in (1, 2, 3)]
    assert formats == ["#,##0.00", "0", "General"]
    sides = [[first.cell(at + n, c).alignment.horizontal for c in (1, 2)] for n in (0, 1, 3)]
    assert sides == [["left", "right"]] * 3
    sizes = [first.cell(row, 1).font.size for row in (1, 2, 6, 14)]
    assert sizes == [15, 10, 15, 10]
    assert [first.cell(row, 1).font.bold for row in (1, 2, 6, 7, 14)] == [
        *(True, False, True, False, True)
    ]
    assert first.cell(7, 1).font.italic
    # Lines go across all columns, of which the last fills the width of a paragraph.
    merged = {str(each) for each in first.merged_cells.ranges}
    assert {"A1:C1", "A9:C9", "A14:C14"} <= merged
    assert not any(each.startswith(f"A{at}") for each in merged)
    # Nine at least; six figures, a comma and a stop are 7.28, with 2.5 beside them.
    assert widths(first) == pytest.approx([9, 9.78, 100 - 9 - 9.78], abs=0.08)


def test_a_live_table_computes_with_the_cells_of_its_row_and_with_named_ones():
    live = {
        (0, 1): Live(2.0, name="stretch"),
        (0, 2): Live(6.0, "[1]*3+stretch-stretch", "area", "0.000"),
        (1, 2): Live(4.0, Operation("+", (Symbol("[1]"), Number(2.0))), pattern="#,##0.0"),
    }
    table = (("a", "2", "6"), ("b", "2", "4"))
    grid = Grid(("name", "t", "u"), "<>>", table, live=live, names={2: "areas"})
    book = opened(Heading("Live"), grid)
    sheet = book["Live"]
    (at,) = (row[0].row for row in sheet.iter_rows() if row[0].value == "a")
    here = f"'Live'!$B${at}"
    assert sheet.cell(at, 2).value == 2
    assert sheet.cell(at, 3).value == f"={here}*3+stretch-stretch"
    assert sheet.cell(at + 1, 3).value == f"='Live'!$B${at + 1}+2"
    assert [sheet.cell(at + n, 3).number_format for n in (0, 1)] == ["0.000", "#,##0.0"]
    assert sheet.cell(at, 2).fill.fgColor.rgb == "FFD9EFE4"
    names = {name: each.attr_text for name, each in book.defined_names.items()}
    assert names["stretch"] == here
    assert names["area"] == f"'Live'!$C${at}"
    assert names["areas"] == f"'Live'!$C${at}:$C${at + 1}"
    assert rows(sheet)[6][0].startswith("Shaded cells are inputs; cells that depend on them")
    values = opened(Heading("Live"), grid, data_only=True)["Live"]
    assert [values.cell(at + n, 3).value for n in (0, 1)] == [6, 4]


SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="{height}">'
    '<rect width="200" height="{height}" fill="#88aa99"/></svg>'
)


@pytest.mark.parametrize(("height", "free"), [(80, 5), (84, 5), (85, 6), (20, 2)])
def test_a_picture_stands_under_its_caption_and_over_its_words(height, free):
    """A row has 21 pixels; the picture takes its height and one row more."""
    sheet = opened(Picture(SVG.format(height=height), "A drawing", "a grey box")).worksheets[0]
    told = rows(sheet)
    at = told.index(("A drawing",))
    assert told[at + 1 :] == [*[()] * free, ("a grey box",)]
    (image,) = sheet._images
    start = image.anchor._from
    assert (start.row, start.col) == (at + 1, 0)
    # Of the 3 by 2 dots of the PNG to a pixel the drawing keeps its own size: 9525 to a pixel.
    end = image.anchor.to
    high = (end.row - start.row) * 21 + (end.rowOff - start.rowOff) / 9525
    assert high == pytest.approx(height, abs=0.4)
    # The first column is 9 wide: 9 digits of 7 pixels, and 5 pixels more.
    assert (end.col, 68 + end.colOff / 9525) == (1, pytest.approx(200, abs=0.4))


def test_the_widest_columns_of_a_memo_give_way_to_a_page():
    """A page has 130; 10 letters a take 10.3 and 2.5 beside, so do the heads."""
    short, long = "a" * 10, "word " * 60
    grid = Grid((short, "b", "c"), "<<<", ((short, long, long),))
    sheet = opened(grid).worksheets[0]
    first, second, third = widths(sheet)
    assert first == pytest.approx(12.8, abs=0.08)
    assert second == third
    assert first + second + third == pytest.approx(130, abs=0.1)


def test_a_memo_without_a_heading_is_named_after_the_document_and_else_notes():
    assert opened(Paragraph("x")).sheetnames[0] == "A report"
    made = document(results(toml()))
    sheets = made.blocks[2:]
    book = openpyxl.load_workbook(
        io.BytesIO(render(replace(made, blocks=(Paragraph("x"), *sheets))))
    )
    assert book.sheetnames == ["Schedule", "1 Trunk", "Notes", "Defaults and cautions"]
    assert rows(book["Notes"]) == [AS_ISSUED, (), ("x",)]


def test_the_last_sheet_lists_cautions_and_what_each_pipe_rests_on():
    designs = results(toml({"ovality": "12 %"}), toml({"name": "Other"}))
    data = render(document(designs))
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Defaults and cautions"]
    *told, head = rows(sheet)[: 6 + len(CAUTIONS)][: 5 + len(CAUTIONS)]
    assert told[:3] == [("Defaults and cautions",), AS_ISSUED, ()]
    assert [row[0] for row in told[3:-1]] == [f"• {each}" for each in CAUTIONS]
    assert told[-1] == ()
    assert head == ("Pipe", "Subject", "Text")
    below = rows(sheet)[5 + len(CAUTIONS) :]
    assert below == [
        (result.name, title, text)
        for result in designs
        for title, items in remark_lists(result).items()
        for text in items
    ]
    first, last = 5 + len(CAUTIONS), sheet.max_row
    assert sheet.auto_filter.ref == f"A{first}:C{last}"
    assert sheet.print_area.rpartition("!")[2] == f"$A$1:$C${last}"
    # The text has the most room, what it is about the least.
    pipe, about, text = widths(sheet)
    assert about < pipe < text
    assert pipe + about + text == pytest.approx(130, abs=0.1)
    alone = opened(Paragraph("x"))["Cautions"]
    assert rows(alone) == [("Cautions",), AS_ISSUED, (), *((f"• {each}",) for each in CAUTIONS)]
    assert not alone.auto_filter.ref


def test_tables_that_formulas_read_stand_in_blocks_of_their_own():
    """Name, source and heads over the pairs, an empty row between; the slope leads to the next."""
    loads = ("H-20 table", "E-80 table")
    designs = results(*(toml({"name": load, "live_load": load}) for load in loads))
    book = openpyxl.load_workbook(io.BytesIO(render(document(designs))))
    lines = [step.line for each in designs for step in each.steps if step.line]
    found = dict.fromkeys(table for line in lines for table in tables(line.tree))
    assert len(found) > 1
    names = {each.attr_text: name for name, each in book.defined_names.items()}
    told, at = rows(book["Tables"]), 2
    assert told[:2] == [("Tables used by the formulas",), ()]
    while at < len(told):
        (name,), (source,), heads = told[at : at + 3]
        (table,) = (each for each in found if each.name == name)
        assert (source, heads) == (table.source, ("at", "value", "slope"))
        first, last = at + 4, at + 3 + len(table.xs)
        for row, pair in enumerate(zip(table.xs, table.ys, strict=True), first):
            slope = f"=(B{row + 1}-B{row})/(A{row + 1}-A{row})" if row < last else 0
            assert told[row - 1] == (*map(pytest.approx, pair), slope)
        block = [names[f"'Tables'!${c}${first}:${c}${last}"] for c in "ABC"]
        assert [each.rpartition("_")[2] for each in block] == ["x", "y", "slope"]
        assert len({each.rpartition("_")[0] for each in block}) == 1
        assert told[last : last + 1] in ([()], [])
        at = last + 1
        found.pop(table)
    assert not found


def test_the_foot_of_a_sheet_has_the_title_and_paper_goes_by_the_units():
    for units, paper in (("US", 1), ("SI", 9)):
        sheet = opened(Paragraph("x"), units=units).worksheets[0]
        assert sheet.page_setup.paperSize == paper
        # A letter after an ampersand would be a code; two of them are one.
        assert sheet.oddFooter.left.text == "Mill Lane && Quay"
        assert sheet.oddFooter.right.text == "&A, page &P of &N"
    properties = opened(Paragraph("x"), title="t" * 300).properties
    assert properties.title == "t" * 200
    assert properties.created == datetime(2026, 5, 4)


@pytest.mark.parametrize(
    ("date", "when"),
    [
        (" 2026-05-04 ", datetime(2026, 5, 4, tzinfo=UTC)),
        ("4 May 2026", datetime(2000, 1, 1, tzinfo=UTC)),
        ("", datetime(2000, 1, 1, tzinfo=UTC)),
    ],
)
def test_a_file_is_of_the_day_of_issue_where_that_is_a_date(date, when):
    assert issued(date) == when


@pytest.mark.parametrize(
    ("wanted", "taken", "ending", "name"),
    [
        ("Notes", {"notes", "notes 2"}, "", "Notes 3"),
        ("History", set(), "", "History 2"),
        ("'Quoted'", set(), "", "Quoted"),
        ("a[b]c:d*e?f/g\\h", set(), "", "a b c d e f g h"),
        ("tab\there", set(), "", "tab here"),
        ("Line x0041 _x0041_ end", set(), "", "Line x0041 x0041 end"),
        ("?*", {"sheet"}, "", "Sheet 2"),
        ("A" * 40, {"a" * 31}, "", "A" * 29 + " 2"),
        ("A" * 40, {"a" * 31, *(f"{'a' * 29} {n}" for n in range(2, 10))}, "", "A" * 28 + " 10"),
        ("Main", {"main, leg 2"}, ", leg 2", "Main, leg 2 2"),
        ("Main", set(), " at MH 4/MH 5", "Main at MH 4 MH 5"),
        # Sixteen letters of an ending are kept, in whole words, and the rest is for the pipe.
        ("M" * 40, set(), ", " + "e" * 20, "M" * 13 + ", " + "e" * 16),
        ("M" * 40, set(), ", one two three four", "M" * 16 + ", one two three"),
        # An emoji counts as two letters.
        ("🚧" * 20, set(), "", "🚧" * 15),
        ("Quay Street, the upper end of it (a", set(), "", "Quay Street, the upper end of"),
        ("Quay Street and the tannery; - (north)", set(), "", "Quay Street and the tannery"),
    ],
)
def test_the_name_of_a_sheet(wanted, taken, ending, name):
    assert sheet_name(wanted, taken, ending) == name


@given(st.text(max_size=45), st.sets(st.text(max_size=31).map(str.casefold)), st.text(max_size=20))
def test_a_name_of_a_sheet_is_one_that_programs_take(wanted, taken, ending):
    """31 letters of UTF-16, none of those that no name may have: ECMA-376 part 1, 18.2.19."""
    name = sheet_name(wanted, taken, ending)
    assert 0 < len(name.encode("utf-16-le")) <= 62
    assert not set(name) & set("[]:*?/\\")
    assert name.casefold() not in {*taken, "history"}


@pytest.mark.parametrize(
    ("text", "width", "lines"),
    [
        # A letter a takes 1.03, a blank 0.55: 4.12, 0.55 and 4.12 are 8.79.
        ("", 10, 1),
        ("aaaa aaaa", 8.79, 1),
        ("aaaa aaaa", 8.78, 2),
        ("aaaa aaaa aaaa aaaa", 8.79, 2),
        # Ten letters are 10.3: one line of 10.3, two from 10.29 to 5.15, and three of 5.14.
        ("aaaaaaaaaa", 10.3, 1),
        ("aaaaaaaaaa", 10.29, 2),
        ("aaaaaaaaaa", 5.15, 2),
        ("aaaaaaaaaa", 5.14, 3),
        # After a word that is parted, what is left of its last line is used.
        ("aaaaaaaaaa aa", 8.0, 2),
        ("aaaaaaaaaa aaaaaa", 8.0, 3),
        ("a aaaaaaaaaa", 8.0, 3),
        # Two blanks are 1.1 between words of 4.12.
        ("aaaa  aaaa", 9.34, 1),
        ("aaaa  aaaa", 9.33, 2),
    ],
)
def test_lines_that_a_text_takes_by_hand(text, width, lines):
    assert lines_of(text, width) == lines


def test_letters_of_three_widths():
    assert text_width("ail m%") == pytest.approx(1.03 + 3 * 0.55 + 2 * 1.35)


def test_heights_numbers_and_texts_of_cells():
    assert [row_height(points) for points in (0, 13, 26, 397, 398, 1000)] == [
        *(15.75, 15.75, 28.75, 399.75, 400, 400)
    ]
    assert [number_in("input", value) for value in (9999.9, 10_000, -10_000)] == [
        *("input", "large input", "large input")
    ]
    assert cell_text("x" * 32_000) == "x" * 32_000
    assert cell_text("x" * 32_001) == "x" * 32_000 + "... (truncated)"


def test_a_cell_has_one_name_and_a_name_one_cell():
    book = Book(Document("t", (), INFO, "US"))
    sheet = book.sheet("O'Brien")
    assert cell(sheet, 4, 2) == "'O''Brien'!$C$5"
    assert cell(sheet, 4, 2, 6) == "'O''Brien'!$C$5:$C$7"
    book.define("Wall", cell(sheet, 4, 2))
    assert book.reference("wall") == "'O''Brien'!$C$5"
    with pytest.raises(ValueError, match="the cell name wall is taken or impossible"):
        book.define("wall", cell(sheet, 0, 0))
    with pytest.raises(ValueError, match="the cell name A1"), pytest.warns(UserWarning, match="A1"):
        book.define("A1", cell(sheet, 0, 0))
    book.close()


def heights(sheet):
    return [sheet.row_dimensions[row].height for row in range(1, sheet.max_row + 1)]


def pixels(points):
    """A height in whole pixels, four of which are three points."""
    return round(points * 4 / 3) * 0.75


@pytest.mark.parametrize(
    ("block", "fitting", "one_more"),
    [
        # A letter takes 1.03 and a memo without tables 100: 97 letters are 99.91. Bold ones are a
        # tenth wider: 88 are 99.70. A line of 10 points takes 13, one of a title 24, and 2.75 more.
        (lambda n: Paragraph("a" * n), (97, 15.75), 28.75),
        (lambda n: Heading("a" * n, 2), (88, 15.75), 28.75),
        (lambda n: Heading("a" * n, 1), (88, 26.75), 50.75),
        (lambda n: Bullets(("a" * n,)), (95, 15.75), 28.75),
        (lambda n: Grid(("h",), "<", (("c",),), "a" * n), (88, 15.75), 28.75),
    ],
    ids=["paragraph", "section", "title", "bullet", "caption"],
)
def test_a_row_of_a_memo_is_as_high_as_its_text(block, fitting, one_more):
    count, height = fitting
    for letters, high in ((count, height), (count + 1, one_more)):
        sheet = opened(block(letters), Paragraph("last")).worksheets[0]
        (row,) = (r for r, told in enumerate(rows(sheet)) if told and "a" * letters in told[0])
        assert heights(sheet)[row] == pixels(high)
        # All others hold a line, empty ones too, but for the title of the document.
        others = heights(sheet)[:row] + heights(sheet)[row + 1 :]
        assert others == [pixels(26.75)] + [15.75] * (len(others) - 1)


def test_a_row_of_a_table_is_as_high_as_its_highest_cell():
    """A first of 42.67 leaves 43.66 of 130 to each of the others, and of these 41.16 for letters:
    39 are 40.17, and 40 are 41.2."""
    grid = Grid(("h",) * 3, "<<>", (("a" * 39, "b" * 40, "c" * 200), ("a" * 39, "-1", "c" * 79)))
    sheet = opened(grid).worksheets[0]
    assert widths(sheet) == pytest.approx([42.67, 43.66, 43.66], abs=0.08)
    # 200 letters are 206, six lines of 41.16; 79 are 81.37 and take two.
    assert heights(sheet)[-2:] == [pixels(6 * 13 + 2.75), pixels(2 * 13 + 2.75)]


@given(st.lists(st.lists(st.integers(0, 150), min_size=3, max_size=3), min_size=1, max_size=4))
def test_widths_of_columns_are_what_their_texts_ask_for_or_all_cut_alike(letters):
    """Water poured over the columns: the level that fills a page of 130."""
    asked = [max(9, *(1.03 * row[c] + 2.5 for row in letters), 1.03 + 2.5) for c in range(3)]
    body = tuple(tuple("a" * count for count in row) for row in letters)
    found = _widths([Grid(("h",) * 3, "<<<", body)])
    if sum(asked) <= 130:
        assert found == pytest.approx(asked)
        return
    level = max(found)
    assert found == pytest.approx([min(each, level) for each in asked])
    assert sum(found) == pytest.approx(130)


def test_widths_of_many_columns_are_nine_at_least():
    assert _widths([]) == [9]
    assert _widths([Grid(("h",) * 20, "<" * 20, (("a" * 50,) * 20,))]) == [9] * 20
    # Tables of a memo share its columns.
    narrow = Grid(("h",), "<", (("a" * 20,),))
    assert _widths([narrow, Grid(("h", "h"), "<<", (("a", "a" * 10),))]) == pytest.approx(
        [20 * 1.03 + 2.5, 10 * 1.03 + 2.5]
    )


@pytest.mark.parametrize("text", ["1", "-12.50", "1,234", "1,234,567,890,123.5", "1" * 15])
def test_a_number_in_a_memo_keeps_its_decimals(text):
    sheet = opened(Grid(("h",), ">", ((text,),))).worksheets[0]
    made = sheet.cell(sheet.max_row, 1)
    assert made.value == float(text.replace(",", ""))
    decimals = len(text.partition(".")[2])
    whole = "#,##0" if "," in text else "0"
    assert made.number_format == (f"{whole}.{'0' * decimals}" if decimals else whole)


@pytest.mark.parametrize(
    "text", ["1" * 16, "1.2345678901", "12,34", "1e5", "1,234,567,890,123,456"]
)
def test_what_would_lose_digits_as_a_number_stays_text(text):
    """A binary number has 15 decimal digits for sure (IEEE 754)."""
    sheet = opened(Grid(("h",), ">", ((text,),))).worksheets[0]
    assert sheet.cell(sheet.max_row, 1).value == text


def test_a_picture_moves_and_grows_with_its_cells_and_has_144_dots_to_an_inch():
    """A screen has 96: half as many again. The words for those who don't see it end at 1000."""
    sheet = opened(Picture(SVG.format(height=80), "A drawing", "w" * 1001)).worksheets[0]
    (image,) = sheet._images
    assert (image.width, image.height) == (300, 120)
    # An anchor of two cells moves and grows with them unless it says otherwise (ECMA-376 part 1,
    # 20.5.2.33).
    (frame,) = re.findall(rb"<xdr:twoCellAnchor>.*?descr=\"(w+)\"", _drawing())
    assert frame == b"w" * 1000


def _drawing():
    made = Document("r", (Picture(SVG.format(height=80), "A", "w" * 1001),), INFO, "US", FILES)
    with zipfile.ZipFile(io.BytesIO(render(made))) as packed:
        return packed.read("xl/drawings/drawing1.xml")


def test_published_tables_stand_under_their_names_in_the_styles_of_the_workbook():
    """Inputs of a formula are no inputs of the user's: constants have no shade."""
    (design,) = results(toml({"live_load": "E-80 table"}))
    sheet = openpyxl.load_workbook(io.BytesIO(render(document([design]))))["Tables"]
    assert widths(sheet) == pytest.approx([16, 16, 16, 60], abs=0.08)
    title, name, source = (sheet.cell(row, 1) for row in (1, 3, 4))
    assert (title.font.size, title.font.bold, name.font.bold) == (15, True, True)
    assert source.font.italic
    heads = [sheet.cell(5, column) for column in (1, 2, 3)]
    assert all(each.font.bold and each.alignment.horizontal == "right" for each in heads)
    cells = [sheet.cell(6, column) for column in (1, 2, 3)]
    assert all(each.fill.fgColor.rgb == "00000000" for each in cells)
    values = openpyxl.load_workbook(io.BytesIO(render(document([design]))), data_only=True)[
        "Tables"
    ]
    told = [row[:3] for row in rows(values)[5:]]
    for (x, y, slope), (next_x, next_y, _) in pairwise(told):
        assert slope == pytest.approx((next_y - y) / (next_x - x))
    assert len({after[0] - before[0] for before, after in pairwise(told)}) > 1


@pytest.mark.parametrize(
    ("cause", "number", "why"),
    [
        (OSError(28, "No space left on device"), 28, "No space left on device"),
        (OSError("closed"), None, "closed"),
    ],
)
def test_a_disk_that_takes_no_more_is_said_by_its_own_error(cause, number, why, monkeypatch):
    book = Book(Document("t", (), INFO, "US"))
    folder = Path(book._folder.name)

    def close():
        try:
            raise cause
        except OSError as error:
            raise FileCreateError(error) from error

    monkeypatch.setattr(book._file, "close", close)
    with pytest.raises(OSError, match=why) as raised:
        book.close()
    assert (raised.value.errno, raised.value.strerror) == (number, why)
    assert not folder.exists()


def test_a_mark_is_for_a_word_or_for_more_than_a_number():
    book = Book(Document("t", (), INFO, "US"))
    sheet = book.sheet("Marks")
    book.mark(sheet, (2, 5), 1, "fails", "alarm")
    book.mark(sheet, (4, 3), 2, 0, "warning")
    found = openpyxl.load_workbook(io.BytesIO(book.close()))["Marks"].conditional_formatting
    rules = {str(area.sqref): area.rules[0] for area in found}
    assert [(at, rule.operator, rule.formula) for at, rule in rules.items()] == [
        ("B3:B6", "equal", ['"fails"']),
        # Where nothing was written below the heads, the row that they stand in.
        ("C5", "greaterThan", ["0"]),
    ]


def test_a_row_is_as_deep_as_its_longest_text():
    """Of paragraphs that break at each word, the one of five words."""
    deepened = []
    sheet = SimpleNamespace(set_row=lambda *given: deepened.append(given))
    rows = PlaceRows(SimpleNamespace(), sheet, SimpleNamespace(), row=7)
    width = text_width("wide") + INDENT
    rows.deepen(("wide wide wide wide wide", width), ("wide wide", width))
    assert deepened == [(7, row_height(5 * LINE_HEIGHT))]
