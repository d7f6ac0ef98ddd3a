"""Worksheets and CSV blocks, cell by cell: what is written is read by openpyxl, and the reverse."""

import datetime as dt
import io
from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace as Made

import numpy as np
import openpyxl
import polars as pl
import pytest

from linerdesign.project.delimited import OLD, PLAIN, dialect_of
from linerdesign.project.faults import InputFaults
from linerdesign.tasks.batch import pieces, sheets, tables
from linerdesign.tasks.batch.pieces import Sized, count_changes
from linerdesign.tasks.batch.sheets import read_sheet, write_sheet
from linerdesign.tasks.batch.tables import ReadAgainError, open_table


def written(*frames):
    held = io.BytesIO()
    write_sheet(held, iter(frames), frames[0].clear())
    return openpyxl.load_workbook(io.BytesIO(held.getvalue()))


def test_a_sheet_has_a_bold_heading_that_stays_in_sight():
    frame = pl.DataFrame({"a": [1, 2], "b": ["x", None]})
    sheet = written(frame, frame)["inventory"]
    assert sheet.freeze_panes == "A2"
    assert list(sheet.values) == [("a", "b"), (1, "x"), (2, None), (1, "x"), (2, None)]
    assert [cell.font.bold for cell in sheet[1]] == [True, True]
    assert not any(cell.font.bold for cell in sheet[2])


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (True, True),
        (10**15 - 1, 10**15 - 1),
        (10**15, "1000000000000000"),
        (-(10**15), "-1000000000000000"),
        (Decimal(10**15), "1000000000000000"),
        (float("inf"), "inf"),
        (1e300, 1e300),
        (dt.date(1899, 12, 31), "1899-12-31"),
        (dt.date(1900, 1, 1), dt.date(1900, 1, 1)),
        (dt.datetime(2026, 5, 4, 3), dt.datetime(2026, 5, 4, 3)),
        (dt.datetime(2026, 5, 4, tzinfo=dt.UTC), "2026-05-04T00:00:00+00:00"),
        (dt.timedelta(hours=5), "5:00:00"),
        ("text", "text"),
        (None, None),
    ],
)
def test_what_a_cell_cannot_hold_becomes_text(value, cell):
    """A worksheet keeps 15 digits, knows no zones, and its calendar begins in 1900."""
    assert sheets._for_cell(value) == cell


def refused(columns, *rows):
    frame = pl.DataFrame(list(rows), schema=columns, orient="row")
    with pytest.raises(InputFaults) as found:
        written(frame)
    (each,) = found.value.faults
    return str(each)


def test_what_a_sheet_cannot_hold_is_refused_with_its_place(monkeypatch):
    monkeypatch.setattr(sheets, "CELL", 3)
    monkeypatch.setattr(sheets, "COLUMNS", 2)
    monkeypatch.setattr(sheets, "ROWS", 4)
    text = {"a": pl.String, "b": pl.String}
    assert 'row 2, column "b": more than 3 characters' in refused(text, ("x", "y"), ("x", "long"))
    assert 'header "long": more than 3' in refused({"long": pl.String}, ("x",))
    assert "more than 2 columns" in refused(dict.fromkeys("abc", pl.String), ("x", "y", "z"))
    assert "more than 3 rows" in refused(text, *[("x", "y")] * 4)
    assert len(list(written(pl.DataFrame({"a": ["xyz"] * 3}))["inventory"].values)) == 4


def test_the_limits_of_a_worksheet():
    """ECMA-376, part 1, from memory: 16,384 columns, 32,767 characters, 15 digits."""
    assert (sheets.COLUMNS, sheets.CELL, sheets.DIGITS) == (16384, 32767, 15)


def sheet(tmp_path, *rows, others=()):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    for name in others:
        book.create_sheet(name)
    book.save(tmp_path / "in.xlsx")
    return read_sheet(tmp_path / "in.xlsx")


def test_a_column_of_one_type_keeps_it(tmp_path):
    titles, columns, surplus, remarks = sheet(
        tmp_path,
        ["int", "float", "text", "mixed", "large", "none", "flag", "day"],
        [10**15 - 1, 1.5, "x", 2, 10**15, None, True, dt.datetime(2026, 5, 4)],
        [None, 2, "y", "z", 5, None, False, None],
        [None] * 8,
        others=("More", "Last"),
    )
    assert titles == ("int", "float", "text", "mixed", "large", "none", "flag", "day")
    kinds = [pl.Int64, pl.Float64, pl.String, pl.String, pl.String, pl.String, pl.Boolean]
    assert [each.dtype for each in columns[:7]] == kinds
    assert columns[7].dtype.base_type() is pl.Datetime
    assert [each.to_list() for each in columns[:7]] == [
        [10**15 - 1, None],
        [1.5, 2.0],
        ["x", "y"],
        ["2", "z"],
        ["1000000000000000", "5"],
        [None, None],
        [True, False],
    ]
    assert surplus == {}
    (remark,) = remarks
    assert remark.endswith('read, "Sheet"; not read: "More", "Last"')


def test_a_heading_above_blank_cells_has_no_rows(tmp_path):
    _, columns, surplus, remarks = sheet(tmp_path, ["a"], [" "], [None], others=("More",))
    assert ([each.to_list() for each in columns], surplus) == ([[]], {})
    (remark,) = remarks
    assert remark.endswith('read, "Sheet"; not read: "More"')


def test_a_disk_that_is_full_is_an_error_of_the_system(monkeypatch):
    """The library that zips a workbook tells it as one of its own."""

    def full(*given, **named):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("xlsxwriter.workbook.ZipFile", full)
    with pytest.raises(OSError, match="No space left") as found:
        written(pl.DataFrame({"a": [1]}))
    assert found.value.errno == 28


def test_cells_beyond_the_headings_are_kept_by_row(tmp_path):
    _, columns, surplus, remarks = sheet(tmp_path, ["a"], ["x"], ["y", "more", None, 7], ["z"])
    assert columns[0].to_list() == ["x", "y", "z"]
    assert surplus == {1: '"more", "7"'}
    assert remarks == ()


def test_headings_used_twice_have_no_columns(tmp_path):
    assert sheet(tmp_path, ["a", "a"], ["x", "y"]) == (("a", "a"), [], {}, ())


# CSV in blocks


def made(path, text):
    path.write_text(text)
    return open_table(path)


def everything(source):
    return [tuple(row) for piece in source.pieces() for row in piece.frame.iter_rows()]


def test_blocks_of_any_size_hold_the_same_rows(tmp_path, monkeypatch):
    rows = [(f"P{n}", 'a "b"' if n % 3 == 0 else "x,\ny", str(n) * (n % 7 + 1)) for n in range(40)]
    text = "name,note,number\n" + "".join(
        ",".join('"' + cell.replace('"', '""') + '"' for cell in row) + "\n" for row in rows
    )
    source = made(tmp_path / "in.csv", text)
    assert source.headers == ("name", "note", "number")
    for block in (40, 61, 128, 10_000):
        monkeypatch.setattr(tables, "BLOCK", block)
        assert everything(source) == rows
        sizes = [piece.frame.height for piece in source.pieces()]
        assert (len(sizes) == 1) is (block == 10_000)


def test_a_row_longer_than_two_blocks_is_read_row_by_row(tmp_path, monkeypatch):
    path = tmp_path / "in.csv"
    source = made(path, "name,note\nA," + "x" * 300 + "\n")
    monkeypatch.setattr(tables, "BLOCK", 100)
    with pytest.raises(ReadAgainError) as again:
        everything(source)
    assert again.value.dialect.by_row
    assert everything(open_table(path, dialect=again.value.dialect)) == [("A", "x" * 300)]
    monkeypatch.setattr(tables, "BLOCK", 152)
    assert everything(source) == [("A", "x" * 300)]


@pytest.mark.parametrize(
    ("block", "plain"),
    [
        (b"a,b\n", True),
        (b'"a","b"\n', True),
        (b'"a ""b""","c"\r\n', True),
        (b'"a\n,b"\n', True),
        (b"a\0,b\n", False),
        (b"a\rb\n", False),
        (b"a\r\nb\r\n", True),
        (b'5" clay,12" clay\n', False),
        (b'"a"b,"c"\n', False),
        (b'a"b",c\n', False),
        (b'"a";"b"\n', False),
    ],
)
def test_quotes_that_only_begin_and_end_cells_are_plain(block, plain):
    assert tables._plain(block, b",") is plain


def test_bytes_of_another_encoding_and_quotes_out_of_place_are_read_again(tmp_path):
    (tmp_path / "in.csv").write_text("a,b\n")
    plain = dialect_of(tmp_path / "in.csv", ())
    utf = tables._another(plain, ValueError("invalid utf-8 sequence")).dialect
    assert (utf.encoding, utf.by_row) == (OLD, False)
    quotes = tables._another(plain, ValueError("quotes")).dialect
    assert (quotes.encoding, quotes.by_row) == (PLAIN, True)
    old = tables._another(replace(plain, encoding=OLD), ValueError("invalid utf-8 sequence"))
    assert (old.dialect.encoding, old.dialect.by_row) == (OLD, True)


def test_rows_longer_and_shorter_than_the_heading_one_by_one(tmp_path, monkeypatch):
    path = tmp_path / "in.csv"
    path.write_text("name,note\nA,x\nB\nC,y,more,,again\n\nD,\n")
    monkeypatch.setattr(tables, "PIECE", 2)
    dialect = replace(dialect_of(path, ()), by_row=True)
    found = list(open_table(path, dialect=dialect).pieces())
    assert [piece.frame.rows() for piece in found][:1] == [[("A", "x"), ("B", None)]]
    every = [row for piece in found for row in piece.frame.iter_rows()]
    assert ("C", "y") in every
    assert ("D", None) in every
    (surplus,) = [piece.surplus for piece in found if piece.surplus]
    assert surplus == {0: '"more", "", "again"'}


def test_pieces_of_a_workbook_count_their_rows_from_their_own_start(tmp_path, monkeypatch):
    sheet(tmp_path, ["a"], ["x"], ["y", "one"], ["z", "two"], ["w"])
    monkeypatch.setattr(tables, "PIECE", 2)
    found = list(open_table(tmp_path / "in.xlsx").pieces())
    assert [piece.frame["a"].to_list() for piece in found] == [["x", "y"], ["z", "w"]]
    assert [piece.surplus for piece in found] == [{1: '"one"'}, {0: '"two"'}]


def test_pieces_of_parquet_are_parts_of_its_groups(tmp_path, monkeypatch):
    frame = pl.DataFrame({"a": list(range(10))})
    frame.write_parquet(tmp_path / "in.parquet")
    monkeypatch.setattr(tables, "PIECE", 2)
    monkeypatch.setattr(tables, "GROUP", 3)
    found = [each.frame["a"].to_list() for each in open_table(tmp_path / "in.parquet").pieces()]
    assert found == [[0, 1], [2], [3, 4], [5], [6, 7], [8], [9]]


def test_lines_of_a_file_longer_than_a_block_of_counting(tmp_path):
    path = tmp_path / "in.csv"
    path.write_bytes(b"x" * 999 + b"\n")
    assert tables.count_lines(path) == 1
    path.write_bytes(b"a\n" * (1 << 23) + b"b\nc")
    assert tables.count_lines(path) == (1 << 23) + 1


@pytest.mark.parametrize(
    ("zone", "offset"), [("+05:30", True), ("-03:00", True), ("UTC", False), (None, False)]
)
def test_zones_by_their_offset_are_told(zone, offset):
    assert tables._has_offset(Made(time_zone=zone)) is offset
    assert tables._has_offset(pl.String()) is False


def test_an_error_of_the_library_with_a_number_of_the_system_is_one_of_the_system():
    full = pytest.raises(OSError, match=r"\[Errno 28\] No space left")
    with full as found, tables._errors_of_the_system():
        raise pl.exceptions.ComputeError("no space (os error 28)")
    assert found.value.errno == 28
    with pytest.raises(pl.exceptions.ComputeError), tables._errors_of_the_system():
        raise pl.exceptions.ComputeError("something else")
    with pytest.raises(OSError, match="own") as own, tables._errors_of_the_system():
        raise OSError(13, "own (os error 28)")
    assert own.value.errno == 13


@pytest.mark.parametrize(
    ("kind", "used", "target", "word"),
    [
        (pl.Date, True, "out.parquet", "no_cells"),
        (pl.Date, False, "out.csv", None),
        (pl.Time, True, "out.csv", "no_cells"),
        (pl.Duration, True, "out.csv", "no_cells"),
        (pl.Datetime, True, "out.csv", "no_cells"),
        (pl.List(pl.Int64), True, "out.parquet", "no_cells"),
        (pl.List(pl.Int64), False, "out.parquet", None),
        (pl.List(pl.Int64), False, "out.PARQUET", None),
        (pl.List(pl.Int64), False, "out.csv", "nested"),
        (pl.Binary, False, "out.xlsx", "nested"),
        (pl.Binary, True, "out.parquet", "no_cells"),
        (pl.String, True, "out.csv", None),
    ],
)
def test_columns_that_are_no_cells(tmp_path, kind, used, target, word):
    frame = pl.DataFrame(schema={"a": kind, "b": pl.String})
    path, taken = tmp_path / target, ["a"] if used else []
    if word is None:
        tables.check_columns(frame, path, taken)
        return
    with pytest.raises(InputFaults) as found:
        tables.check_columns(frame, path, taken)
    (each,) = found.value.faults
    assert each.code == f"inventory.{word}"
    assert 'column "a"' in str(each)
    assert str(kind).split("(", maxsplit=1)[0].lower() in str(each).lower()


def test_a_geometry_is_written_where_the_form_holds_it(tmp_path):
    frame = pl.DataFrame(schema={"a": pl.Binary, "b": pl.Binary})
    with pytest.raises(InputFaults) as found:
        tables.check_columns(frame, tmp_path / "out.gpkg", [], Made(column="a"))
    assert ['"b"' in str(each) for each in found.value.faults] == [True]


# What defaults matter


def test_a_default_matters_where_a_tenth_of_it_changes_the_nominal_thickness(monkeypatch):
    """Walls go up in steps of 1.5: of 10 and 14, a tenth more of 10 is another step."""

    def nominal_many(basis, values):
        return np.ceil(np.asarray(values["K"]) * values["D"] / 1.5 - 1e-9) * 1.5

    monkeypatch.setattr(pieces, "nominal_many", nominal_many)
    defaults = {"K": "K is 1", "s": "step", "x": "absent", "z": "zero", "n": "no effect"}
    known = Made(task=Made(basis="basis"), defaults=defaults)
    D = np.array([10.0, 10.4, 4.4, 3.1, 10.0])
    values = {"K": 1.0, "D": D, "s": 1.5, "z": np.zeros(5), "n": 3.0}
    sized = Sized.empty(5)
    some = np.array([True, True, True, True, False])
    count_changes(known, values, nominal_many("basis", values), some, sized)
    # 10.5 from 9 and 11, 10.5 from 9.36 and 11.44, 4.5 from 3.96 and 4.84, 4.5 from 2.79 and 3.41.
    assert sized.changed == {"K is 1": 4, "no effect": 0}
    # Between 9.6 and 9.54 only a tenth less, between 9.1 and 11 only a tenth more is a step.
    for wall, changes in ((9.6, 1), (9.5, 1), (11.9, 1)):
        one = Sized.empty(1)
        own = values | {"D": np.array([wall]), "z": np.zeros(1)}
        count_changes(known, own, nominal_many("basis", own), np.array([True]), one)
        assert one.changed["K is 1"] == changes
    small = Sized.empty(1)
    own = values | {"D": np.array([0.5]), "z": np.zeros(1)}
    count_changes(known, own, nominal_many("basis", own), np.array([True]), small)
    assert small.changed["K is 1"] == 0
    # Just a tenth: 1.35 to 1.5 and back are one step, and more than that are two.
    for wall, changes in (
        (1.5 / 1.1, 0),
        (1.5 / 1.1 + 1e-6, 1),
        (1.5 / 0.9, 1),
        (1.5 / 0.9 + 1e-6, 0),
    ):
        edge = Sized.empty(1)
        own = values | {"D": np.array([wall]), "z": np.zeros(1)}
        count_changes(known, own, nominal_many("basis", own), np.array([True]), edge)
        assert edge.changed["K is 1"] == changes, wall
