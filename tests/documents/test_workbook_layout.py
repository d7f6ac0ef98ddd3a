"""How the sheets of a workbook look and print: read by openpyxl, letters measured in their font."""

import io
from functools import cache
from itertools import pairwise

import openpyxl
import pytest
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import TextPath
from pages import LISTED, STATIONS, document, results
from projects import toml

from linerdesign.documents.workbook import render

PLAIN, BOLD = (FontProperties(family="DejaVu Sans", weight=each) for each in ("normal", "bold"))
CASES = {
    "one place": ((toml(resin={"thicknesses": LISTED}),), "US"),
    "stations": (
        (toml(pipe=STATIONS, drop=("host_wall", "cover", "groundwater_above_invert")),),
        "SI",
    ),
    "table": ((toml({"live_load": "H-20 table", "cover": "6 ft"}),), "US"),
}


@cache
def book(case):
    """The workbook of a case, as a reader opens it."""
    texts, units = CASES[case]
    return openpyxl.load_workbook(io.BytesIO(render(document(results(*texts, units=units)))))


@pytest.fixture(params=[(case, name) for case in CASES for name in book(case).sheetnames], ids=str)
def sheet(request):
    case, name = request.param
    return book(case)[name]


def _widths(sheet):
    spans = sheet.column_dimensions.values()
    return {n: span.width for span in spans for n in range(span.min, span.max + 1)}


def test_a_sheet_prints_landscape_on_whole_pages_of_one_width(sheet):
    """Margins in inches leave room for the footer, and no printer needs over half an inch."""
    margins = sheet.page_margins
    assert sheet.page_setup.orientation == "landscape"
    assert margins.left == margins.right == 0.5
    assert 0.5 <= margins.top <= 0.6
    assert margins.footer < margins.bottom <= 0.7
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
    assert not sheet.sheet_view.showGridLines
    assert "Page" in sheet.oddFooter.right.text or "page" in sheet.oddFooter.right.text


def test_rows_in_sight_are_those_that_repeat(sheet):
    if sheet.freeze_panes:
        frozen = int("".join(c for c in sheet.freeze_panes if c.isdigit())) - 1
        assert sheet.freeze_panes == f"A{frozen + 1}"
        assert sheet.print_title_rows == f"$1:${frozen}"
        heads = [each for each in sheet[frozen] if each.value]
        assert len(heads) >= 3
        assert all(each.font.bold and each.border.bottom.style for each in heads)


def test_what_is_printed_is_all_that_is_there(sheet):
    if sheet.print_area:
        last = sheet.print_area.split("!")[-1].replace("$", "").split(":")[-1]
        filled = [each for row in sheet.iter_rows() for each in row if each.value not in (None, "")]
        named = sheet[last]
        assert sheet.print_area.split("!")[-1].startswith("$A$1:")
        assert named.row >= max(each.row for each in filled)
        assert named.row <= max(each.row for each in filled) + 2
        columns = [each.column for each in filled]
        # Names of cells may stand beside what is printed.
        assert named.column >= max(columns) - 1
    if sheet.auto_filter.ref:
        first, last = sheet.auto_filter.ref.split(":")
        assert sheet[first].font.bold
        assert sheet[first].column_letter == "A"
        assert sheet[first].offset(1, 0).value
        assert not sheet[first].offset(1, 0).font.bold
        assert sheet[last].row == sheet.max_row
        heads = [each for each in sheet[sheet[first].row] if each.value]
        assert sheet[last].column == len(heads)


def test_a_text_is_no_wider_than_its_cell(sheet):
    """Text that doesn't wrap ends before the next text of its row: in a wide sans-serif, whose
    figure 0 at 11 points is a unit of width."""
    unit = _wide("0", PLAIN, 11)
    widths = _widths(sheet)
    merged = {str(area).split(":")[0]: area for area in sheet.merged_cells.ranges}
    for row in sheet.iter_rows():
        texts = [each for each in row if isinstance(each.value, str) and each.value[:1] != "="]
        for each in texts:
            if each.alignment.wrap_text or each.coordinate in merged:
                continue
            if each.alignment.horizontal == "right":
                continue
            after = [other.column for other in row if other.value is not None]
            end = min((c for c in after if c > each.column), default=None)
            if end is None:
                continue
            room = sum(widths.get(n, 8.43) for n in range(each.column, end)) * unit
            # The font of the sheet, Arial, is narrower than the one measured by a tenth.
            font = BOLD if each.font.bold else PLAIN
            assert 0.9 * _wide(each.value, font, each.font.size) <= room, each.value


def _wide(text, font, size):
    return TextPath((0, 0), text, size=size, prop=font).get_extents().x1 if text.strip() else 0.0


def test_a_published_table_stands_whole_with_its_rises():
    """Between two entries the third column has the rise per unit, which interpolates."""
    sheet = book("table")["Tables"]
    rows = [[each.value for each in row[:3]] for row in sheet.iter_rows(min_row=3)]
    heads = [n for n, row in enumerate(rows) if all(isinstance(v, str) for v in row)]
    assert heads
    for place in heads:
        assert all(rows[place - 2 + n][0] for n in (0, 1))
        numbers = []
        for n, row in enumerate(rows[place + 1 :], place + 1):
            if not isinstance(row[0], int | float):
                break
            numbers.append((sheet.min_row + 2 + n, row))
        assert len(numbers) > 1
        for (at, row), (after, _) in pairwise(numbers):
            if str(row[2]).startswith("="):
                assert row[2] == f"=(B{after}-B{at})/(A{after}-A{at})"


def test_what_to_know_of_a_part_stands_under_its_title():
    rows = [row[:2] for row in book("one place").worksheets[1].iter_rows(values_only=True)]
    under = {one[0]: below[1] for one, below in pairwise(rows) if one[0]}
    assert under["Inputs"].startswith("Edit any shaded cell")
    assert under["Calculation"].startswith("Condition as determined by the owner")
