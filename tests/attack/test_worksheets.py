"""Worksheets as other programs write them: what they show is what is read, or it is refused.

How rows and cells are written, and what a number format shows: ECMA-376, part 1, 18.3.1.73 (row),
18.3.1.4 (c), 18.8.31 (numFmts), from memory.
"""

import csv
import re
import zipfile
from pathlib import Path

import pytest
import xlsxwriter
from projects import toml

from linerdesign.cli.main import main
from linerdesign.project.reading import read

HEADER = ["name", "host_diameter [in]", "ovality [%]", "cover [ft]"]
HEADER += ["groundwater_above_invert [ft]", "condition", "slope"]
ROW = ["A", 8, 2, 10, 5, "partially deteriorated", 0.005]
SHEET = "xl/worksheets/sheet1.xml"


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("p.toml").write_text(toml(), encoding="utf-8")


def _book(*rows, cells=()):
    """A workbook with these rows, and cells over them: row, column, value, format."""
    with xlsxwriter.Workbook("in.xlsx") as book:
        sheet = book.add_worksheet()
        for number, row in enumerate([HEADER, *rows]):
            sheet.write_row(number, 0, row)
        for row, column, value, form in cells:
            sheet.write(row, column, value, book.add_format({"num_format": form}))


def _patch(change):
    """Changes the text of the sheet."""
    with zipfile.ZipFile("in.xlsx") as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    before = parts[SHEET].decode()
    after = change(before)
    assert after != before
    parts[SHEET] = after.encode()
    with zipfile.ZipFile("in.xlsx", "w") as archive:
        for name, data in parts.items():
            archive.writestr(name, data)


def _rows():
    main(["batch", "in.xlsx", "--project", "p.toml", "-o", "out.csv", "--force"])
    with Path("out.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _refused(capsys):
    assert main(["batch", "in.xlsx", "--project", "p.toml", "-o", "out.csv"]) == 2
    return capsys.readouterr().err


@pytest.mark.parametrize("form", ["0.00%", "0%", '0.0" "%', "0.0%;[Red]-0.0%"])
def test_a_percentage_of_the_format_is_one(form):
    """The cell shows 3 %, and holds 0.03; a column that is no key passes through as it is."""
    _book(ROW, [*ROW[:2], 3, *ROW[3:]], cells=[(1, 2, 0.03, form), (1, 6, 0.005, form)])
    first, second = _rows()
    assert float(first["ovality [%]"]) == 3.0
    assert float(first["slope"]) == 0.005
    assert first["required_thickness [mm]"] == second["required_thickness [mm]"]


def test_a_percentage_in_a_column_of_another_unit_is_no_number():
    _book(ROW, cells=[(1, 1, 8, "0%")])
    (row,) = _rows()
    assert (row["status"], '"800 %": not a number' in row["message"]) == ("error", True)


def test_a_unit_of_the_format_that_is_not_the_heading_s_is_refused_or_read():
    """An inventory has its units in the header; a pipe table reads a cell's own."""
    _book(ROW, cells=[(1, 1, 200, '0" mm"'), (1, 3, 10, r'0\ "ft"'), (1, 4, 5, '0" (est.)"')])
    (row,) = _rows()
    assert (row["status"], '"200 mm": not a number' in row["message"]) == ("error", True)
    Path("t.toml").write_text(f'pipes = "in.xlsx"\n{toml().split("[[pipe]]")[0]}', encoding="utf-8")
    (pipe,) = read(Path("t.toml")).pipes
    assert str(pipe.host_diameter) == "200 mm"
    assert str(pipe.cover) == "10 ft"
    assert str(pipe.groundwater_above_invert) == "5 ft"


def _second_row(text):
    return re.search('<row r="3".*?</row>', text)[0]


OUT_OF_PLACE = {
    "rows in another order": lambda t: t.replace(_second_row(t), "").replace(
        '<row r="2"', f'{_second_row(t)}<row r="2"'
    ),
    "a row twice": lambda t: t.replace('<row r="3"', '<row r="2"'),
    "a cell twice": lambda t: t.replace(
        '<c r="B3"><v>8</v></c>', '<c r="B3"><v>8</v></c><c r="B3"><v>24</v></c>'
    ),
    "a cell of another row": lambda t: t.replace('<c r="B3">', '<c r="B2">'),
    "a row below the last": lambda t: re.sub(r'([A-Z"])3"', r'\g<1>1048577"', t),
}


@pytest.mark.parametrize("change", OUT_OF_PLACE.values(), ids=OUT_OF_PLACE)
def test_rows_and_cells_out_of_place_are_refused(capsys, change):
    """Some were passed over in silence, others read in place of those before them."""
    _book(ROW, ROW)
    _patch(change)
    assert "row or cell out of place" in _refused(capsys)


NOT_AS_STATED = {
    "a decimal comma": (lambda t: t.replace("<v>8</v>", "<v>8,5</v>"), 'B2 "8,5"'),
    "a decimal comma of a formula": (
        lambda t: t.replace("<v>8</v>", '<f t="shared" si="0"/><v>8,5</v>'),
        'B2 "8,5"',
    ),
    "a text before the first": (lambda t: t.replace("<v>0</v>", "<v>-1</v>"), 'A1 "-1"'),
    "a text without a number": (
        lambda t: re.sub(r'(t="s">)<v>0</v>', r"\1<v>x</v>", t),
        'A1 "x"',
    ),
}


@pytest.mark.parametrize(("change", "told"), NOT_AS_STATED.values(), ids=NOT_AS_STATED)
def test_values_that_are_not_of_their_cell_s_kind_are_refused_with_the_cell(capsys, change, told):
    """A text counted from the end was read in place of the one before the first."""
    _book(ROW, cells=[(1, 2, -1.5e-7, "General"), (1, 6, -2, "0")])
    _patch(change)
    assert f"sheet1.xml, {told}: the value does not match the type" in _refused(capsys)


def test_a_formula_is_seen_whatever_its_part_and_prefix_are_called(capsys):
    _book(ROW)
    _patch(
        lambda t: (
            re.sub(r"<(/?)(worksheet|sheetData|row|c|v)\b", r"<\1x:\2", t)
            .replace('xmlns="', 'xmlns:x="')
            .replace('<x:c r="B2"><x:v>8</x:v>', '<x:c r="B2"><x:f>4*2</x:f>')
        )
    )
    assert "formula without a stored value" in _refused(capsys)


def test_a_formula_over_several_cells_is_quoted(capsys):
    _book(ROW)
    _patch(lambda t: t.replace("<v>8</v>", '<f t="array" ref="B2">4*2</f>'))
    assert '"=4*2": formula without a stored value' in _refused(capsys)


def test_formats_below_the_last_row_are_no_pipes():
    _book(ROW, ROW, cells=[(3000, 0, None, "0.0"), (2000, 3, " ", "0.0")])
    assert [row["status"] for row in _rows()] == ["sized", "sized"]
