"""Tables of measurements: numbers by hand, an inch of 25.4 mm, and every fault with its place."""

import numpy as np
import pytest

from linerdesign.project import measured_table
from linerdesign.project.delimited import LARGEST_CELL, dialect_of, rows_of
from linerdesign.project.faults import InputFaults
from linerdesign.project.measured_table import (
    Column,
    header_units,
    read_rows,
    unit_factors,
)

COLUMNS = (
    Column("specimen", None),
    Column("radius", {"mm": 1.0, "in": 25.4}, above=0.0, at_most=5000.0),
    Column("diameter", {"mm": 1.0, "in": 25.4}, at_least=10.0, below=9000.0),
    Column("angle", {"deg": 1.0, "": 1.0}, may_be_empty=True),
    Column("note", None, with_unit=True, may_be_empty=True),
)
FORMS = (("specimen", "radius"), ("specimen", "diameter"))


@pytest.fixture
def file(tmp_path):
    def written(text):
        path = tmp_path / "a.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return written


def read(path, most=100, columns=COLUMNS, forms=FORMS):
    faults = []
    table = read_rows(path, columns, forms, most, faults)
    if faults:
        raise InputFaults(faults)
    return table


def faults_of(path, most=100):
    with pytest.raises(InputFaults) as raised:
        read(path, most)
    return [str(each) for each in raised.value.faults]


def test_numbers_are_in_the_unit_of_the_column_and_lines_those_of_the_file(file):
    path = file("\ufeff\nSpecimen, Radius [in] ,angle\nA,4, \n,,\n B ,-0.0e0,12.5\nC,150,\n")
    faults = []
    table = read_rows(path, COLUMNS, FORMS, 100, faults)
    assert table.texts == {"specimen": ("A", "C")}
    assert table.numbers.keys() == {"radius", "angle"}
    assert table.numbers["radius"] == pytest.approx([101.6, 3810])
    assert np.isnan(table.numbers["angle"]).all()
    assert table.units == {"specimen": "", "radius": "in", "angle": ""}
    assert table.lines.tolist() == [3, 6]
    assert header_units(path) == {"radius": "in"}
    takes = "give a number with a decimal point above 0 and at most 5000 mm"
    (fault,) = map(str, faults)
    assert fault == f'a.csv, line 5, column Radius [in] "-0.0e0": not a usable value; {takes}'


def test_what_can_be_read_of_rows_with_faults(file):
    """Whether all rows of a specimen are without faults is not sure of one without a name."""
    path = file("specimen,radius [in],angle\nA,1,2\nA,2,\nB,x,7\nC\n")
    faults = []
    table = read_rows(path, COLUMNS, FORMS, 100, faults)
    assert len(faults) == 2
    lost, wrong = table.spoiled
    assert (lost, wrong) == ({}, {"specimen": "B", "angle": 7})
    assert not table.is_whole("specimen", "A")
    path = file("specimen,radius [in],angle\nA,1,2\nA,2,\nB,x,7\n")
    table = read_rows(path, COLUMNS, FORMS, 100, faults)
    assert [table.is_whole("specimen", name) for name in "ABC"] == [True, False, True]
    assert table.where("a.csv", np.array([0, 1])) == "a.csv, lines 2 to 3"
    assert table.where("a.csv", np.array([1])) == "a.csv, line 3"
    (numbers,) = read_rows(
        file("specimen,radius [in],angle\n,2,\n"), COLUMNS, FORMS, 100, faults
    ).spoiled
    assert numbers["radius"] == pytest.approx(50.8)
    assert np.isnan(numbers["angle"])


def test_units_of_texts_and_underscores_in_names(file):
    columns = (Column("host diameter", {"mm": 1.0}), Column("note", None, with_unit=True))
    forms = (("host diameter",),)
    table = read(file("host_diameter [mm],note [any]\n300,x\n"), 1, columns, forms)
    assert (table.numbers["host diameter"], table.texts["note"]) == ([300], ("x",))
    assert table.units == {"host diameter": "mm", "note": "any"}


@pytest.mark.parametrize(
    ("cell", "taken"),
    [
        ("0", False), ("0.001", True), ("5000", True), ("5000.1", False), ("", False),
        ("1_000", False), ("nan", False), ("inf", False), ("1e3", True), ("4 mm", False),
    ],
)  # fmt: skip
def test_bounds_that_may_be_reached_and_that_may_not(file, cell, taken):
    path = file(f"specimen,radius [mm]\nA,{cell}\nB,7\n")
    if taken:
        assert read(path).numbers["radius"].tolist() == [float(cell), 7]
        return
    takes = "give a number with a decimal point above 0 and at most 5000 mm"
    at = f'a.csv, line 2, column radius [mm] "{cell}"'
    assert faults_of(path) == [f"{at}: not a usable value; {takes}"]


@pytest.mark.parametrize(("cell", "taken"), [("10", True), ("9.9", False), ("9000", False)])
def test_the_other_two_bounds(file, cell, taken):
    path = file(f"specimen,diameter [mm]\nA,{cell}\n")
    if taken:
        assert read(path).numbers["diameter"] == [10]
        return
    (fault,) = faults_of(path)
    assert fault.endswith("give a number with a decimal point below 9000 and at least 10 mm")


def test_what_a_column_takes_in_words():
    assert COLUMNS[3].takes() == (
        "a number with a decimal point; an empty cell where there is no reading"
    )
    assert Column("x", {"in": 25.4, "mm": 1.0}, above=2.0).takes().endswith(" above 2 mm")
    assert Column("x", {"in": 25.4}, above=2.0).takes().endswith(" above 2")


def test_factors_of_units():
    """A foot is twelve inches of 25.4 mm."""
    assert unit_factors("mm", "in", "ft") == pytest.approx({"mm": 1, "in": 25.4, "ft": 304.8})


FAULTS = [
    ("", ["no readings in a.csv; give a header line and rows of readings"]),
    ("specimen,radius [mm]\n , \n",
     ["no readings in a.csv; give a header line and rows of readings"]),
    (b"\xff\xfeA", ["not a CSV text file in UTF-8: a.csv, byte 0"]),
    (b"specimen\0", ["not a CSV text file in UTF-8: a.csv, byte 8"]),
    ("\nspecimen;radius [mm]\nA;4\n",
     ['a.csv, line 2 "specimen;radius [mm]": columns separated by semicolons; separate them by '
      "commas"]),
    ("specimen\nA\n",
     ["a.csv, line 1: incomplete columns (specimen); give specimen and radius, or specimen and "
      "diameter"]),
    ("angle\n1\n",
     ["a.csv, line 1: incomplete columns (none of them); give specimen and radius, or specimen "
      "and diameter"]),
    ("specimen,radius [mm],diameter [mm]\nA,1,10\n",
     ["a.csv, line 1: conflicting columns (diameter, radius, specimen); keep one of specimen and "
      "radius, or specimen and diameter"]),
    ("specimen [mm],radius,radii [mm],radius [mm],colour\nA,1,1,1,1\n",
     ['a.csv, line 1, column 1 "specimen [mm]": unit for a column of text; remove it',
      'a.csv, line 1, column 2 "radius": missing or unknown unit in the header; write '
      "radius [mm], radius [in]",
      "a.csv, line 1, column 3: unknown column radii; did you mean radius?",
      'a.csv, line 1, column 4 "radius [mm]": column given twice; remove one',
      "a.csv, line 1, column 5: unknown column colour; known: specimen, radius, diameter, angle, "
      "note"]),
    ("specimen,radius [mm]\nA\nB,1,5\n,4\nC,2\n",
     ['a.csv, line 2 "A": 1 cells in place of 2; separate by commas, decimals with a point',
      'a.csv, line 3 "B,1,5": 3 cells in place of 2; separate by commas, decimals with a point',
      "a.csv, line 4, column specimen: empty cell; give a name"]),
    ("specimen,radius [mm]\nA,\"1,5\"\n",
     ['a.csv, line 2, column radius [mm] "1,5": decimal comma; write a decimal point']),
    ("specimen,radius [mm]\nA,\"1\n",
     ["a.csv, line 2: quote opened and not closed; close it, or write inch marks as two quotes"]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), FAULTS, ids=range(len(FAULTS)))
def test_every_fault_is_named_with_its_place(file, text, expected):
    assert faults_of(file(text)) == expected


def test_rows_beyond_the_most_are_one_fault_and_wrong_widths_do_not_count(file):
    path = file("specimen,radius [mm]\nA,1\nB\nC,2\nD,3\nE,4\n")
    assert faults_of(path, 2)[-1] == "a.csv, line 5: more than 2 rows; split the file"
    assert len(faults_of(path, 2)) == 2
    assert len(read(file("specimen,radius [mm]\nA,1\nC,2\n"), 2).lines) == 2
    assert faults_of(file("specimen,radius [mm]\n" + "A,1\n" * 1001), 1000) == [
        "a.csv, line 1002: more than 1,000 rows; split the file"
    ]


def test_of_more_faults_than_are_listed_the_rest_are_counted(file, monkeypatch):
    rows = "A,x\n" * 5
    monkeypatch.setattr(measured_table, "LISTED_FAULTS", 5)
    assert len(faults_of(file(f"specimen,radius [mm]\n{rows}"))) == 5
    monkeypatch.setattr(measured_table, "LISTED_FAULTS", 3)
    found = faults_of(file(f"specimen,radius [mm]\n{rows}"))
    assert len(found) == 4
    assert found[2].startswith("a.csv, line 4")
    assert found[3] == "2 more faults; make the same corrections to the end"


def test_a_file_beyond_the_most_bytes_is_refused(file, monkeypatch):
    monkeypatch.setattr(measured_table, "MAXIMUM_BYTES", 27)
    assert len(read(file("specimen,radius [mm]\nA,1234")).lines) == 1
    with pytest.raises(InputFaults, match="file of more than 0 MB"):
        read(file("specimen,radius [mm]\nA,12345"))


# How delimited text is written


@pytest.mark.parametrize(
    ("data", "encoding", "separator", "by_row", "remarks"),
    [
        ("name,D\nä,1\n".encode(), "utf-8", ",", False, 0),
        ("name,D\n".encode("utf-8-sig"), "utf-8-sig", ",", False, 0),
        ("name;D\nä;1\n".encode("cp1252"), "cp1252", ";", False, 2),
        ("name\tD\n".encode("utf-16"), "utf-16", "\t", False, 2),
        ("name\tD\n".encode("utf-16-be"), None, None, None, None),
        (b"\n \nname|D,x\n", "utf-8", "|", False, 1),
        # The known names decide, then the number of columns.
        (b"name;D,x,y\n", "utf-8", ";", False, 1),
        (b"a;b,x,y\n", "utf-8", ",", False, 0),
        (b"a;b,x\n", "utf-8", ",", False, 0),
        (b"name,D\r\n1,2\r\n", "utf-8", ",", False, 0),
        (b"name,D\r1,2\r", "utf-8", ",", True, 0),
        (b"name,D\r\n1,2\r", "utf-8", ",", True, 0),
        (b"", "utf-8", ",", False, 0),
    ],
)
def test_how_a_file_is_written_is_told_by_its_first_bytes(
    file, data, encoding, separator, by_row, remarks
):
    path = file(data)
    if encoding is None:
        with pytest.raises(InputFaults, match=r"not a CSV text file in UTF-8: .*a\.csv, byte 0"):
            dialect_of(path, ("name", "d"))
        return
    found = dialect_of(path, ("name", "d"))
    assert (found.encoding, found.separator, found.by_row) == (encoding, separator, by_row)
    assert len(found.remarks) == remarks
    with found.open(path) as text:
        assert text.read() == data.decode(encoding)


def test_a_file_that_is_not_there_or_no_file(tmp_path):
    with pytest.raises(InputFaults, match=r"file not found: .*no\.csv"):
        dialect_of(tmp_path / "no.csv", ())
    with pytest.raises(InputFaults, match=r".*: is a directory"):
        dialect_of(tmp_path, ())


def test_a_letter_cut_by_the_end_of_the_sample_is_no_other_encoding(file, monkeypatch):
    monkeypatch.setattr("linerdesign.project.delimited.SAMPLE", 10)
    assert dialect_of(file("name,D\nxxä\n"), ()).encoding == "utf-8"
    assert dialect_of(file("name,D\nx\U0001f600\n"), ()).encoding == "utf-8"
    assert dialect_of(file(b"name,D\xe4x\n"), ()).encoding == "cp1252"
    assert dialect_of(file(b"name,D\n\xe4"), ()).encoding == "cp1252"
    assert dialect_of(file(b"name,D\xe4\n\n\n"), ()).encoding == "cp1252"


def test_rows_are_parted_by_the_separator_of_the_file():
    assert list(rows_of(["a;b,c"], ";", "f")) == [(1, ["a", "b,c"])]
    with pytest.raises(InputFaults, match="f, line 1: quote opened"):
        list(rows_of(['"a'], ";", "f"))


def test_rows_have_the_lines_in_which_they_end():
    lines = ["a,b\n", "\n", '"x\n', 'y",2\n', "c"]
    assert list(rows_of(lines, ",", "f")) == [
        (1, ["a", "b"]), (2, []), (4, ["x\ny", "2"]), (5, ["c"])
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        (["a\n", "b\0\n"], "f, line 2: zero byte in the text"),
        (["a\n", '"b\n', "c\n"], "f, line 2: quote opened and not closed"),
        (["a\n", "x" * (LARGEST_CELL + 1)], "f, line 2: cell of more than 1,048,576 characters"),
    ],
    ids=range(3),
)
def test_rows_that_cannot_be_read(lines, fault):
    with pytest.raises(InputFaults) as raised:
        list(rows_of(lines, ",", "f"))
    (found,) = raised.value.faults
    assert str(found).startswith(fault)


def test_the_largest_cell_and_bytes_of_another_encoding(file):
    ((_, row),) = rows_of(["x" * LARGEST_CELL], ",", "f")
    assert len(row[0]) == LARGEST_CELL
    path = file(b"abc\xe4\n")
    with path.open(encoding="utf-8") as text, pytest.raises(InputFaults, match="f, byte 3"):
        list(rows_of(text, ",", "f"))


def test_two_hundred_faults_are_listed(file):
    found = faults_of(file("specimen,radius [mm]\n" + "A,x\n" * 250), 1000)
    assert len(found) == 201
    assert found[-1] == "50 more faults; make the same corrections to the end"


def test_a_table_of_which_no_row_can_be_read_has_lines_all_the_same(file):
    table = read_rows(file("specimen,radius [mm]\nA,x\n"), COLUMNS, FORMS, 9, [])
    assert (table.lines.dtype, table.lines.size) == (np.int64, 0)
    assert table.numbers["radius"].dtype == np.float64
