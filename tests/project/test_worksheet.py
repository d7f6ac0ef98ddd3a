"""Cells of a worksheet: numbers by their formats, and sheets that would be read wrongly.

Parts of a file as in ECMA-376, part 1, from memory.
"""

import zipfile
from pathlib import Path
from types import SimpleNamespace

import openpyxl
import pytest
import xlsxwriter
from openpyxl.worksheet.formula import ArrayFormula

from linerdesign.project.faults import InputFaults
from linerdesign.project.worksheet import (
    _not_as_stated,
    _out_of_order,
    by_unit,
    cells_of,
    first_sheet,
    no_table,
    titles_of,
    values_of,
)


@pytest.mark.parametrize(
    ("value", "form", "unit", "read"),
    [
        (8, "General", "in", 8), (8.5, "0.00", "in", 8.5), ("8 in", "0.00", "in", "8 in"),
        (8, None, "in", 8), (8, "", "in", 8), (True, '0" mm"', "in", True), (None, "0%", "%", None),
        # Percentages: 0.29 is 28.999999999999996 % to a computer.
        (0.02, "0%", "%", 2.0), (0.29, "0.0 %", "%", 29.0), (0.02, "0%", "in", "2 %"),
        (0.02, "0%", None, 0.02), (2, "0.00", "%", 2), (2, '0.0"%"', "%", 2), (2, r"0\%", "%", 2),
        # Other units, in quotes or behind a backslash, in the first of the sections.
        (200, '0" mm"', "in", "200 mm"), (200, r"0\m\m", "in", "200 mm"), (8, '0" in"', "in", 8),
        (200.5, '0.0 "mm";-0.0 "mm"', "in", "200.5 mm"), (200, '0;0" mm"', "in", 200),
        (8, '0" inches"', "in", 8), (8, '0" psi"', "in", 8), (8, '0" pieces"', "in", 8),
        (8, '0" "', "in", 8),
    ],
)  # fmt: skip
def test_a_number_is_what_its_format_shows(value, form, unit, read):
    found = by_unit(SimpleNamespace(value=value, number_format=form), unit)
    assert (found, type(found)) == (read, type(read))


def test_headings_end_with_the_last_that_is_filled():
    assert titles_of(["a", None, 3, None, ""]) == ["a", "", "3"]
    assert titles_of([None, ""]) == titles_of([]) == []


def test_a_cell_is_named_by_its_file_sheet_and_place():
    path = Path("folder/a.xlsx")
    assert cells_of(path, 2, 3) == ["a.xlsx, A2", "a.xlsx, B2", "a.xlsx, C2"]
    assert cells_of(path, 7, 28, "Street")[25:] == ["a.xlsx, Street!Z7", "a.xlsx, Street!AA7",
                                                    "a.xlsx, Street!AB7"]  # fmt: skip


def test_a_file_of_another_form_is_told_with_the_first_line_of_the_reason():
    (each,) = no_table(Path("a.xlsx"), ValueError("not a zip\nat all")).faults
    assert (each.place, each.text) == ("a.xlsx", 'not readable as XLSX: "not a zip"')
    (each,) = no_table(Path("a.xlsx"), ValueError("x" * 200)).faults
    assert dict(each.numbers)["why"] == '"' + "x" * 99 + "..."


def row(number, *cells):
    inside = "".join(f'<c r="{cell}"><v>1</v></c>' for cell in cells)
    return f'<row r="{number}">{inside}</row>'


@pytest.mark.parametrize(
    ("rows", "wrong"),
    [
        ([row(1, "A1", "B1"), row(2, "A2")], ""), ([row(1), row(5, "Z5", "AA5")], ""),
        ([row(1, "A1"), row(1, "B1")], "row 1"), ([row(2, "A2"), row(1, "A1")], "row 1"),
        ([row(0, "A0")], "row 0"), ([row(1_048_576, "A1048576")], ""),
        ([row(1_048_577)], "row 1048577"), ([row(1, "B1", "A1")], "A1"),
        ([row(1, "A1", "A1")], "A1"), ([row(1, "AA1", "Z1")], "Z1"), ([row(1, "A2")], "A2"),
        ([row(1, "B1"), row(2, "A2")], ""),
        (['<x:row spans="1:2" r="3"><x:c s="1" r="B3"/></x:row>'], ""),
        (['<x:row spans="1:2" r="3"><x:c s="1" r="B4"/></x:row>'], "B4"),
    ],
)  # fmt: skip
def test_rows_and_cells_stand_in_order(rows, wrong):
    assert _out_of_order("".join(rows).encode()) == wrong


@pytest.mark.parametrize(
    ("cell", "wrong"),
    [
        ('<c r="A1"><v>8.5</v></c>', []),
        ('<c r="A1"><v>-8.5E+3</v></c>', []),
        ('<c r="A1" t="n"><v> 8 </v></c>', []),
        ('<c r="A1"><v>8,5</v></c>', [("A1", "8,5")]),
        ('<c r="B2" t="n"><v>x</v></c>', [("B2", "x")]),
        ('<c r="A1" t="s"><v>12</v></c>', []),
        ('<c r="A1" t="s"><v>-1</v></c>', [("A1", "-1")]),
        ('<c r="A1" t="s"><v>1.5e0</v></c>', [("A1", "1.5e0")]),
        ('<c r="A1" t="str"><v>text</v></c>', []),
        ('<c r="A1" t="b"><v>x</v></c>', []),
        ('<c s="1"><v>x</v></c>', [("", "x")]),
        ('<c r="A1"><f>B1*2</f><v>x</v></c>', [("A1", "x")]),
        ('<x:c r="A1"><x:v>1 2</x:v></x:c>', [("A1", "1 2")]),
    ],
)
def test_a_value_is_of_the_kind_that_its_cell_states(cell, wrong):
    assert list(_not_as_stated(cell.encode())) == wrong


def test_a_value_in_another_encoding_is_shown_as_far_as_it_can_be():
    assert list(_not_as_stated(b'<c r="A1"><v>\xe4</v></c>')) == [("A1", "\ufffd")]


def book(path, *rows, more=None):
    made = openpyxl.Workbook()
    made.active.title = "Street"
    for each in rows:
        made.active.append(each)
    if more:
        made.create_sheet(more)
    made.save(path)
    return path


def test_the_first_sheet_is_read_row_by_row(tmp_path):
    path = book(tmp_path / "a.xlsx", ["name", "cover [ft]"], [], ["A", 9.5], more="Notes")
    names, rows = first_sheet(path)
    read = [values_of(each) for each in rows]
    assert names == ["Street", "Notes"]
    assert (read[0], read[-1], len(read)) == (["name", "cover [ft]"], ["A", 9.5], 3)
    assert not any(read[1])


def test_a_formula_that_was_not_calculated_is_a_fault(tmp_path):
    """As a program leaves it that writes formulas without their values."""
    path = book(tmp_path / "a.xlsx", ["name", "cover [ft]"], ["A", "=4+5"], ["B", 9], ["C", "=1"])
    with pytest.raises(InputFaults) as found:
        first_sheet(path)
    assert [(each.place, each.value) for each in found.value.faults] == [
        ("a.xlsx, Street!B2", '"=4+5"'), ("a.xlsx, Street!B4", '"=1"'),
    ]  # fmt: skip


def test_a_formula_over_several_cells_is_told_by_its_text(tmp_path):
    path = book(tmp_path / "a.xlsx", ["name", "cover [ft]"], ["A", None])
    made = openpyxl.load_workbook(path)
    made.active["B2"] = ArrayFormula("B2:B3", "=C2:C3*2")
    made.save(path)
    with pytest.raises(InputFaults) as found:
        first_sheet(path)
    assert [(each.place, each.value) for each in found.value.faults] == [
        ("a.xlsx, Street!B2", '"=C2:C3*2"')
    ]


SHEET = "xl/worksheets/sheet1.xml"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b'<c r="A2" t="n">', b'<c r="B1" t="n">',
         f"a.xlsx, {SHEET}, B1: row or cell out of place, or given twice; "),
        (b"<v>9.5</v>", b"<v>9,5</v>",
         f'a.xlsx, {SHEET}, B2 "9,5": the value does not match the type of the cell; '),
    ],
)  # fmt: skip
def test_a_cell_that_would_be_read_wrongly_is_told_with_its_part(tmp_path, old, new, said):
    path = book(tmp_path / "a.xlsx", ["name", "cover [ft]"], [7, 9.5])
    with zipfile.ZipFile(path) as before:
        parts = {name: before.read(name) for name in before.namelist()}
    assert old in parts[SHEET]
    with zipfile.ZipFile(path, "w") as after:
        for name, data in parts.items():
            after.writestr(name, data.replace(old, new) if name == SHEET else data)
    with pytest.raises(InputFaults) as found:
        first_sheet(path)
    (each,) = found.value.faults
    assert str(each).startswith(said)


def test_a_formula_is_read_as_the_value_that_is_stored_for_it(tmp_path):
    path = tmp_path / "a.xlsx"
    with xlsxwriter.Workbook(path) as made:
        sheet = made.add_worksheet()
        sheet.write_row(0, 0, ["name", "cover [ft]"])
        sheet.write_string(1, 0, "A")
        sheet.write_formula(1, 1, "=4+5", None, 9)
    _, rows = first_sheet(path)
    assert [values_of(each) for each in rows] == [["name", "cover [ft]"], ["A", 9]]
