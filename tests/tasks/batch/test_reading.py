"""What is read is all that is there: each odd file gives what the plain file gives, or is refused.

The plain file has commas, points and line feeds in UTF-8, and is written by the csv module.
"""

import csv
import datetime
import io
import json
import re
import zipfile

import openpyxl
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD

from linerdesign.project import delimited
from linerdesign.tasks.batch import tables

ROWS = [
    GOOD | {"name": f"Straße {i}", "cover [ft]": f"{4 + i}.5", "live_load [psi]": "none"}
    for i in range(6)
]


@pytest.fixture
def batch(run, tmp_path):
    (tmp_path / "project.toml").write_text(PROJECT)

    def call(source, *more, target="out.csv"):
        return run("batch", source, "--project", "project.toml", "-o", target, "--force", *more)

    return call


def text_of(rows, separator=",", end="\n"):
    held = io.StringIO()
    writer = csv.writer(held, delimiter=separator, lineterminator=end)
    writer.writerow(rows[0])
    writer.writerows(row.values() for row in rows)
    return held.getvalue()


def results(path):
    with path.open(encoding="utf-8", newline="") as file:
        return [
            (row["required_thickness [mm]"], row["status"], row["message"])
            for row in csv.DictReader(file)
        ]


@pytest.fixture
def plain(batch, tmp_path):
    (tmp_path / "plain.csv").write_text(text_of(ROWS), encoding="utf-8")
    assert batch("plain.csv")[0] == 0
    return results(tmp_path / "out.csv")


def comma(rows):
    return [{k: re.sub(r"^(\d+)\.(\d+)$", r"\1,\2", v) for k, v in row.items()} for row in rows]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (text_of(ROWS).encode("utf-8-sig"), ()),
        (text_of(ROWS).encode("cp1252"), ("Windows-1252",)),
        (text_of(ROWS).encode("utf-16"), ("UTF-16",)),
        (text_of(ROWS, ";").encode(), ("semicolons",)),
        (text_of(ROWS, "\t").encode(), ("tabs",)),
        (text_of(ROWS, "|").encode(), ("vertical bars",)),
        (text_of(ROWS, end="\r").encode(), ()),
        (text_of(ROWS, end="\r\n").encode(), ()),
        (text_of(comma(ROWS), ";").encode("cp1252"), ("semicolons", "decimal comma", "1252")),
        (text_of(comma(ROWS)).encode(), ("decimal comma",)),
        (("\n" + text_of(ROWS)).encode(), ()),
    ],
)
def test_however_it_is_written(batch, tmp_path, plain, data, said):
    (tmp_path / "in.csv").write_bytes(data)
    code, out, err = batch("in.csv", "--json")
    assert code == 0
    assert results(tmp_path / "out.csv") == plain
    read_as = json.loads(out)["read_as"]
    for words in said:
        assert any(words in each for each in read_as)
        assert words in err
    assert len(read_as) == len(said)
    names = pl.read_csv(tmp_path / "out.csv")["name"].to_list()
    assert names == [row["name"] for row in ROWS]


def test_another_encoding_late_in_the_file(batch, tmp_path, monkeypatch):
    rows = [ROWS[0] | {"name": f"MH {i}"} for i in range(400)] + [ROWS[0]]
    monkeypatch.setattr("linerdesign.project.delimited.SAMPLE", 2_000)
    monkeypatch.setattr("linerdesign.tasks.batch.tables.BLOCK", 4_000)
    (tmp_path / "in.csv").write_bytes(text_of(rows).encode("cp1252"))
    code, out, _ = batch("in.csv", "--json")
    assert (code, json.loads(out)["rows"]) == (0, 401)
    assert pl.read_csv(tmp_path / "out.csv")["name"][400] == "Straße 0"


@pytest.mark.parametrize(
    ("cells", "lengths"),
    [
        (["1,250.5", "80.5"], [1250.5, 80.5]),
        (["1 250.5", "80.5"], [1250.5, 80.5]),
        (["1'250", "80.5"], [1250, 80.5]),
        (["1,250", "80.5"], [1250, 80.5]),
        (["1.250,5", "80,5"], [1250.5, 80.5]),
        (["1.250", "80,5"], [1250, 80.5]),
        (["1,250,000", "80"], [1_250_000, 80]),
    ],
)
def test_thousands(batch, tmp_path, cells, lengths):
    plain = GOOD | {"cover [ft]": "10"}
    (tmp_path / "in.csv").write_text(text_of([plain | {"length [ft]": c} for c in cells], ";"))
    code, out, _ = batch("in.csv", "--json")
    data = json.loads(out)
    assert code == 0
    assert any("thousands separators: 1" in each for each in data["read_as"])
    assert data["length"]["value"] == pytest.approx(sum(lengths) * 0.3048, rel=1e-12)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        (["1,250", "80"], "ambiguous comma"),
        (["12,5", "80.5"], "comma in a number"),
        (["12.5", "3,25", "7,5"], "comma in a number"),
        (["1,25,5", "80.5"], "not a number"),
    ],
)
def test_commas_of_two_meanings_are_errors(batch, tmp_path, cells, words):
    (tmp_path / "in.csv").write_text(text_of([GOOD | {"length [ft]": c} for c in cells]))
    code, _, _ = batch("in.csv")
    assert code == 1
    assert any(words in message for *_, message in results(tmp_path / "out.csv"))


def test_a_decimal_point_after_decimal_commas_is_an_error(batch, tmp_path, monkeypatch):
    """The first piece tells the mark; no later cell may mean another."""
    monkeypatch.setattr("linerdesign.tasks.batch.tables.BLOCK", 1_000)
    cells = ["80,5"] * 30 + ["80.5", "1.250"]
    (tmp_path / "in.csv").write_text(text_of([GOOD | {"length [ft]": c} for c in cells], ";"))
    code, out, _ = batch("in.csv", "--json")
    assert code == 1
    assert "decimal point beside decimal commas" in results(tmp_path / "out.csv")[30][2]
    assert json.loads(out)["length"]["value"] == pytest.approx((30 * 80.5 + 1250) * 0.3048)


@pytest.mark.parametrize("notes", [['5"', '6"'], ['"', "x"], ['a "b" c', "x"], ['12"', '12" x']])
def test_inch_marks_anywhere_in_a_cell(batch, tmp_path, notes):
    head, good = ",".join([*GOOD, "note", "last"]), ",".join(GOOD.values())
    lines = [head, *(f"{good},{'x' + note},z" for note in notes)]
    (tmp_path / "in.csv").write_text("\n".join(lines) + "\n")
    assert batch("in.csv")[0] == 0
    with (tmp_path / "out.csv").open(newline="") as file:
        out = list(csv.DictReader(file))
    assert [row["note"] for row in out] == [f"x{note}" for note in notes]
    assert {row["last"] for row in out} == {"z"}


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (text_of(ROWS) + ",".join(GOOD.values()) + '\nA,"open\nB\n', "quote opened and not closed"),
        (text_of(ROWS) + 'A,"' + "x" * 1_100_000 + "\n", "cell of more than 1,048,576"),
    ],
)
def test_refused_with_the_line(batch, tmp_path, data, words):
    (tmp_path / "in.csv").write_text(data, encoding="utf-8")
    code, _, err = batch("in.csv")
    assert code == 2
    assert words in err
    assert re.search(r"line (7|8|9)\b", err)
    assert not (tmp_path / "out.csv").exists()


@pytest.mark.parametrize("before", ["", ("x" * 900_000 + "\n") * 2])
def test_a_zero_byte_is_refused_with_its_place(batch, tmp_path, before):
    text = text_of(ROWS) + before + "A\0B\n"
    (tmp_path / "in.csv").write_text(text, encoding="utf-8")
    code, _, err = batch("in.csv")
    assert code == 2
    assert f"byte {len(text.encode()) - 3}" in err or "line 10: zero byte" in err


def test_a_header_of_200_000_characters(batch, tmp_path):
    rows = [row | {"x" * 200_000: "1"} for row in ROWS]
    (tmp_path / "in.csv").write_text(text_of(rows), encoding="utf-8")
    assert batch("in.csv")[0] == 0
    assert len(pl.read_csv(tmp_path / "out.csv").columns) == len(GOOD) + 6
    code, _, err = batch("in.csv", target="out.xlsx")
    assert (code, "more than 32,767 characters" in err) == (2, True)


def test_a_cell_too_long_for_a_worksheet_is_named(batch, tmp_path):
    rows = [ROWS[0], ROWS[1] | {"name": "y" * 40_000}]
    (tmp_path / "in.csv").write_text(text_of(rows), encoding="utf-8")
    assert batch("in.csv")[0] == 0
    code, _, err = batch("in.csv", target="out.xlsx")
    assert (code, 'row 2, column "name"' in err) == (2, True)


def test_more_columns_than_a_worksheet_has(batch, tmp_path):
    rows = [row | {f"c{i}": "" for i in range(17_000)} for row in ROWS[:2]]
    (tmp_path / "in.csv").write_text(text_of(rows), encoding="utf-8")
    assert batch("in.csv")[0] == 0
    code, _, err = batch("in.csv", target="out.xlsx")
    assert (code, "more than 16,384 columns" in err) == (2, True)


IDENTIFIERS = ["12345678901234567", "12345678901234568", "00012345678901234567890"]


@pytest.mark.parametrize("target", ["csv", "parquet", "xlsx"])
def test_long_identifiers_keep_every_digit(batch, tmp_path, target):
    rows = [row | {"id": i} for row, i in zip(ROWS, IDENTIFIERS, strict=False)]
    (tmp_path / "in.csv").write_text(text_of(rows), encoding="utf-8")
    assert batch("in.csv", target=f"out.{target}")[0] == 0
    assert column(tmp_path / f"out.{target}", "id") == IDENTIFIERS


def column(path, header):
    if path.suffix == ".xlsx":
        head, *rows = openpyxl.load_workbook(path).active.values
        return [row[head.index(header)] for row in rows]
    read = pl.read_csv if path.suffix == ".csv" else pl.read_parquet
    more = {"infer_schema": False} if path.suffix == ".csv" else {}
    return read(path, **more)[header].to_list()


@pytest.mark.parametrize("place", [0, 1])
@pytest.mark.parametrize(("more", "said"), [(["x"], "more cells than the"), (None, "missing")])
def test_a_row_of_another_width_stops_no_other(batch, tmp_path, place, more, said):
    """The first row too, by which a reader may take the width of all."""
    rows = [list(map(str, row.values())) for row in ROWS[:3]]
    rows[place] = rows[place][:2] if more is None else rows[place] + more
    lines = [",".join(row) for row in (ROWS[0], *rows)]
    (tmp_path / "in.csv").write_text("\n".join(lines) + "\n")
    assert batch("in.csv")[0] == 1
    statuses = column(tmp_path / "out.csv", "status")
    assert [each == "error" for each in statuses] == [n == place for n in range(3)]
    assert said in column(tmp_path / "out.csv", "message")[place]


@pytest.mark.parametrize("kind", [pl.Int64, pl.UInt64, pl.Decimal(20, 0)])
def test_long_identifiers_as_numbers_of_parquet(batch, tmp_path, kind):
    wide = [int(each) for each in IDENTIFIERS[:2]]
    frame = pl.DataFrame(ROWS[:2]).with_columns(pl.Series("id", wide, pl.Int64).cast(kind))
    frame.write_parquet(tmp_path / "in.parquet")
    for target in ("csv", "xlsx"):
        assert batch("in.parquet", target=f"out.{target}")[0] == 0
        assert [str(each) for each in column(tmp_path / f"out.{target}", "id")] == IDENTIFIERS[:2]


def workbook(path, rows, change=lambda sheet: None):
    book = openpyxl.Workbook()
    book.active.append(list(rows[0]))
    for row in rows:
        book.active.append(list(row.values()))
    change(book.active)
    book.save(path)


def rewritten(path, change):
    """The workbook with the text of its first sheet changed."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = "xl/worksheets/sheet1.xml"
    parts[name] = change(parts[name].decode()).encode()
    with zipfile.ZipFile(path, "w") as archive:
        for each, data in parts.items():
            archive.writestr(each, data)


def test_a_formula_without_a_stored_value_is_refused_with_its_cell(batch, tmp_path):
    def change(sheet):
        sheet["E3"] = "=1+1"

    workbook(tmp_path / "in.xlsx", ROWS, change)
    code, _, err = batch("in.xlsx")
    assert code == 2
    assert "Sheet!E3" in err
    assert "formula without a stored value" in err


def test_a_formula_with_a_stored_value_is_read(batch, tmp_path, plain):
    workbook(tmp_path / "in.xlsx", ROWS, lambda sheet: sheet.cell(3, 5, "=1+1"))
    stored = "<f>1+1</f><v>2</v>"
    rewritten(tmp_path / "in.xlsx", lambda xml: re.sub(r"<f>1\+1</f><v ?/?>(</v>)?", stored, xml))
    assert batch("in.xlsx")[0] == 0
    assert results(tmp_path / "out.csv") == plain


@pytest.mark.parametrize("size", ["A1:B2", "A1", "A1:ZZ90000", None])
def test_a_workbook_that_states_a_wrong_size(batch, tmp_path, plain, size):
    workbook(tmp_path / "in.xlsx", ROWS)
    stated = "" if size is None else f'<dimension ref="{size}"/>'
    rewritten(tmp_path / "in.xlsx", lambda xml: re.sub(r"<dimension [^>]*/>", stated, xml))
    assert batch("in.xlsx")[0] == 0
    assert results(tmp_path / "out.csv") == plain


def test_cells_beyond_the_header_of_a_workbook_are_told(batch, tmp_path):
    workbook(tmp_path / "in.xlsx", ROWS, lambda sheet: sheet.cell(4, 14, "lost?"))
    assert batch("in.xlsx")[0] == 1
    assert '"lost?"' in results(tmp_path / "out.csv")[2][2]


def test_other_sheets_are_told(batch, tmp_path):
    book = openpyxl.Workbook()
    book.active.append(list(GOOD))
    book.active.append(list(GOOD.values()))
    book.create_sheet("North")
    book.save(tmp_path / "in.xlsx")
    _, out, err = batch("in.xlsx", "--json")
    assert 'not read: "North"' in err
    assert 'not read: "North"' in json.loads(out)["read_as"][0]


HOUR = datetime.timedelta(hours=1)
ZONED = datetime.datetime(2026, 3, 1, 12, tzinfo=datetime.UTC)
SPECIAL = {
    "list": [[1, 2], [3]],
    "struct": [{"a": 1}, {"a": 2}],
    "binary": [b"a", b"b"],
    "zoned": [ZONED, None],
    "duration": [HOUR, None],
    "nan": [float("nan"), 1.0],
    "date": [datetime.date(2026, 3, 1), None],
    "old": [datetime.date(1889, 12, 31), None],
    "map": [{"a": 1}, {}],
}


def special(kind, name):
    """A column of a kind, made in its test: the threads of polars outlive no fork."""
    form = pl.Map(pl.String, pl.Int64) if kind == "map" else None
    return pl.Series(name, SPECIAL[kind], form)


@pytest.mark.parametrize("kind", SPECIAL)
@pytest.mark.parametrize("target", ["csv", "parquet", "xlsx"])
def test_special_columns_of_parquet(batch, tmp_path, kind, target):
    made = special(kind, "x")
    pl.DataFrame(ROWS[:2]).with_columns(made).write_parquet(tmp_path / "in.parquet")
    code, _, err = batch("in.parquet", target=f"out.{target}")
    if kind in ("list", "struct", "binary", "map") and target != "parquet":
        assert code == 2
        assert 'column "x"' in err
        return
    assert code == 0
    values = column(tmp_path / f"out.{target}", "x")
    if target == "parquet":
        assert pl.Series(values).equals(made, null_equal=True) or kind in ("nan", "map")
    shown = {
        "zoned": "2026-03-01T12:00:00",
        "duration": "1:00:00",
        "nan": "n",
        "date": "2026-03-01",
        "old": "1889-12-31",
    }
    if target == "xlsx":
        assert shown[kind] in str(values[0]).replace(" ", "T").lower().replace("t12", "T12")


@pytest.mark.parametrize("kind", ["list", "struct", "binary", "zoned", "duration", "date"])
def test_special_columns_of_parquet_hold_no_key(batch, tmp_path, kind):
    frame = pl.DataFrame(ROWS[:2]).with_columns(special(kind, "length [ft]"))
    frame.write_parquet(tmp_path / "in.parquet")
    code, _, err = batch("in.parquet", target="out.parquet")
    assert code == 2
    assert 'column "length [ft]"' in err


def test_not_a_number_in_a_column_of_numbers_is_an_error_of_its_row(batch, tmp_path):
    frame = pl.DataFrame(ROWS[:2]).with_columns(pl.Series("cover [ft]", [float("nan"), 5.0]))
    frame.write_parquet(tmp_path / "in.parquet")
    assert batch("in.parquet")[0] == 1
    assert [status for _, status, _ in results(tmp_path / "out.csv")] == ["error", "sized"]


marks = st.text(st.sampled_from(list('ab1 "";,\t|\r\n\'')), max_size=12)


@settings(max_examples=150)
@given(
    st.lists(st.tuples(marks, marks), min_size=1, max_size=8),
    st.sampled_from([csv.QUOTE_MINIMAL, csv.QUOTE_ALL, csv.QUOTE_NONNUMERIC]),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["\n", "\r\n", "\r"]),
    st.sampled_from([40, 300, 1 << 20]),
)
def test_cells_of_any_text_are_those_of_the_csv_module(
    tmp_path_factory, cells, quoting, mark, end, block
):
    """Written and read again by the standard library's reader, which shares no code with blocks."""
    path = tmp_path_factory.mktemp("t") / "in.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, delimiter=mark, quoting=quoting, lineterminator=end)
        writer.writerow(["condition", "host_diameter [in]", "note", "last"])
        writer.writerows(["fd", "8", *each] for each in cells)
    with path.open(newline="", encoding="utf-8") as file:
        read = list(csv.reader(file, delimiter=mark))[1:]
    # A bare carriage return in a cell ends its row for both; what is missing is empty.
    wanted = [[*row, *[""] * 4][:4] for row in read]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tables, "BLOCK", block)
        # Hardly more than the header, so that the rest is met in the blocks alone.
        patch.setattr(delimited, "SAMPLE", 60)
        dialect, found = None, None
        while found is None:
            source = tables.open_table(path, ("condition", "host_diameter"), dialect)
            try:
                found = [row for piece in source.pieces() for row in piece.frame.rows()]
            except tables.ReadAgainError as again:
                dialect = again.dialect
    assert [[cell or "" for cell in row] for row in found] == wanted
