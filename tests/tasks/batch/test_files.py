"""Tables in and out: forms, pieces, odd files, and nothing half-written."""

import csv
import json
import signal
import subprocess
import sys
from types import SimpleNamespace as Made

import openpyxl
import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD

from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.tasks.batch import files, pieces, tables
from linerdesign.words import sentence

ADDED = ["required_thickness [mm]", "nominal_thickness [mm]", "governing", "status", "message"]


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "project.toml").write_text(PROJECT)
    return tmp_path


def batch(run, source, target, *more):
    return run("batch", source, "--project", "project.toml", "-o", target, *more)


def frame(rows):
    return pl.DataFrame(rows, schema=dict.fromkeys(rows[0], pl.String))


@pytest.mark.parametrize("source", ["csv", "parquet", "xlsx"])
@pytest.mark.parametrize("target", ["csv", "parquet", "xlsx"])
def test_every_form_to_every_form(run, folder, source, target):
    rows = [GOOD | {"id": "007", "ovality [%]": str(q), "note": 'a, "b"'} for q in range(5)]
    table = frame(rows)
    if source == "csv":
        table.write_csv(folder / "in.csv")
    elif source == "parquet":
        table.with_columns(pl.col("ovality [%]").cast(pl.Float64)).write_parquet(
            folder / "in.parquet"
        )
    else:
        book = openpyxl.Workbook()
        book.active.append(table.columns)
        for row in table.rows():
            book.active.append([float(c) if i in (3, 4) else c for i, c in enumerate(row)])
        book.save(folder / "in.xlsx")
    code, _, _ = batch(run, f"in.{source}", f"out.{target}")
    assert code == 0
    if target == "xlsx":
        head, *found = openpyxl.load_workbook(folder / "out.xlsx").active.values
        out = pl.DataFrame(found, schema=list(head), orient="row")
    elif target == "csv":
        out = pl.read_csv(folder / "out.csv", schema_overrides={"id": pl.String})
    else:
        out = pl.read_parquet(folder / "out.parquet")
    assert out.columns == [*rows[0], *ADDED]
    assert out["id"].to_list() == ["007"] * 5
    assert out["note"].to_list() == ['a, "b"'] * 5
    assert out["status"].to_list() == ["sized"] * 5
    assert out["required_thickness [mm]"].is_sorted()


def test_pieces_give_what_one_piece_gives(run, folder, monkeypatch):
    rows = [GOOD | {"cover [ft]": str(4 + i % 17), "name": str(i)} for i in range(1000)]
    rows[400]["condition"] = "?"
    frame(rows).write_csv(folder / "in.csv")
    frame(rows).write_parquet(folder / "in.parquet")
    assert batch(run, "in.csv", "whole.csv")[0] == 1
    for name, size in {"PIECE": 64, "GROUP": 300, "BLOCK": 5_000}.items():
        monkeypatch.setattr(tables, name, size)
    for form in ("csv", "parquet"):
        code, out, _ = batch(run, f"in.{form}", f"out.{form}", "--json")
        assert code == 1
        assert json.loads(out)["statuses"] == {"error": 1, "sized": 999}
    whole = pl.read_csv(folder / "whole.csv", infer_schema=False)
    assert pl.read_csv(folder / "out.csv", infer_schema=False).equals(whole)
    parquet = pl.read_parquet(folder / "out.parquet")
    assert parquet["name"].to_list() == [str(i) for i in range(1000)]
    assert parquet["governing"].to_list() == whole["governing"].to_list()


def test_rows_longer_and_shorter_than_the_header_are_kept(run, folder):
    head = ",".join(GOOD)
    good = ",".join(GOOD.values())
    lines = [head, good, f"{good},extra", "MH 9,fully deteriorated", "", good]
    (folder / "in.csv").write_text("\n".join(lines) + "\n")
    code, _, _ = batch(run, "in.csv", "out.csv")
    assert code == 1
    out = pl.read_csv(folder / "out.csv")
    assert out["status"].to_list() == ["sized", "error", "error", "error", "sized"]
    assert "extra" in out["message"][1]


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("in.csv", b"", "empty file; give a table"),
        ("in.csv", b"condition,host_diameter [in]\n\x81\x8d,8\n", "not a CSV text file"),
        ("in.csv", b"PK\x03\x04\x00\x00", "not a CSV text file in UTF-8"),
        ("in.parquet", b"no parquet", "not readable as PARQUET"),
        ("in.xlsx", b"no workbook", "not readable as XLSX"),
        ("in.csv", b'"a, b";"condition";x\nA;x;8\n', 'missing column "host_diameter [in]"'),
        ("in.csv", b"name\thost_diameter [in]\nA\t8\n", 'missing column "condition"'),
        ("in.ods", b"x", "use a name ending in .csv, .parquet, .xlsx"),
    ],
)
def test_files_that_are_no_table(run, folder, name, data, words):
    (folder / name).write_bytes(data)
    code, out, err = batch(run, name, "out.csv")
    assert (code, out) == (2, "")
    assert words in err
    assert {path.name for path in folder.iterdir()} == {"project.toml", name}


def test_what_cannot_be_opened_is_told_with_its_reason(run, folder):
    """Of forms other than CSV too, which a library opens."""
    (folder / "in.parquet").mkdir()
    for name, words in (
        ("in.parquet", "cannot read in.parquet: is a directory"),
        ("gone.xlsx", "file not found: gone.xlsx"),
        ("gone.gpkg", "file not found: gone.gpkg"),
    ):
        code, out, err = batch(run, name, "out.csv")
        assert (code, out) == (2, "")
        assert words in err


def test_semicolons_inside_a_header_of_commas_separate_nothing(run, folder):
    (folder / "in.csv").write_text("condition,host_diameter [in],note; condition later\n")
    assert batch(run, "in.csv", "out.csv")[0] == 0


def test_a_header_alone_gives_a_header(run, folder):
    (folder / "in.csv").write_text("condition,host_diameter [in]\n")
    assert batch(run, "in.csv", "out.csv")[0] == 0
    head, *rows = (folder / "out.csv").read_text().splitlines()
    assert (head.split(","), rows) == (["condition", "host_diameter [in]", *ADDED], [])


def faults_of(run, *more, source="in.csv", target="out.csv"):
    code, out, err = batch(run, source, target, *more)
    assert (code, out) == (2, "")
    return err


def test_the_faults_of_the_inventory_and_of_an_earlier_result_are_told_at_once(run, folder):
    """None of them hides another, and none is told twice."""
    missing = "file not found: old.csv"
    err = faults_of(run, "--against", "old.csv")
    assert "file not found: in.csv" in err
    assert err.count(missing) == 1
    assert "file not found: in.csv" in faults_of(run)
    # A header with a fault: of the rest nothing is known.
    (folder / "in.csv").write_text("condition,host_diameter\nx,8\n")
    assert "no unit" in faults_of(run, "--against", "old.csv", "--by", "zone")
    frame([GOOD]).write_csv(folder / "in.csv")
    more = ("--against", "old.csv", "--by", "zone", "--by", "name", "--map-by", "zone")
    err = faults_of(run, *more)
    assert err.count(missing) == 1
    assert err.count('"zone": no such column') == 1
    assert "the inventory has no geometry to draw" in err
    # Nobody can be found again without a name, whatever the earlier file is.
    nameless = {key: cell for key, cell in GOOD.items() if key != "name"}
    frame([nameless]).write_csv(folder / "in.csv")
    err = faults_of(run, "--against", "old.csv")
    assert '--against: missing column "name"' in err
    assert err.count(missing) == 1
    frame([GOOD]).write_csv(folder / "old.csv")
    err = faults_of(run, "--against", "old.csv")
    assert '--against: missing column "name"' in err
    assert "not a result" not in err


def test_an_inventory_is_looked_at_beside_faults_of_other_files(run, folder):
    """Where the project can't be read too: columns and earlier result are checked yet."""
    (folder / "project.toml").write_text("[project\n")
    frame([GOOD]).write_csv(folder / "in.csv")
    err = faults_of(run, "--by", "zone", "--against", "old.csv")
    assert "not valid TOML" in err
    assert '"zone": no such column' in err
    assert "file not found: old.csv" in err


def test_a_target_is_a_table_and_no_file_that_is_read(folder):
    """Another file may be there already: that is asked of whoever writes it."""
    table, other = folder / "in.csv", folder / "other.csv"
    for path in (table, other):
        path.write_text("")
    files.check_table(folder / "OUT.CSV", [table, None])
    files.check_table(other, [table, None, folder / "gone.csv"])
    for sources in ([table], [None, other, table]):
        with pytest.raises(InputFaults, match="the file that is read"):
            files.check_table(table, sources)
    with pytest.raises(InputFaults, match=r"use a name ending in \.csv, \.parquet, \.xlsx"):
        files.check_table(folder / "out.txt", [])


def test_how_a_table_was_read_is_told():
    def remarks(mark, grouped, earlier, method):
        second = Made(method=method) if method else None
        project = Made(criteria=Made(second_method=second))
        sizer = Made(mark=mark, header=Made(earlier=earlier), project=project)
        return list(files._remarks(Made(remarks=("as text",)), sizer, Made(grouped=grouped)))

    assert remarks(".", 0, (), None) == ["as text"]
    assert remarks(",", 0, (), None) == ["as text", sentence("inventory.decimal_comma")]
    assert remarks(".", 1234, ("status",), "ring") == [
        "as text",
        sentence("inventory.thousands", count="1,234"),
        sentence("inventory.earlier"),
        sentence("second.not_in_inventory", method="ring"),
    ]


def test_parts_are_made_one_ahead():
    """The next is under way while one is used, in the order in which they are made."""
    made = []

    def parts():
        for number in range(4):
            made.append(number)
            yield number

    ahead = files._ahead(parts())
    assert next(ahead) == 0
    assert list(ahead) == [1, 2, 3]
    assert made == [0, 1, 2, 3]
    assert list(files._ahead(iter(()))) == []


def test_progress_tells_the_rows_of_every_piece(folder, monkeypatch):
    monkeypatch.setattr(tables, "BLOCK", 2_000)
    frame([GOOD] * 100).write_csv(folder / "in.csv")
    told = []
    project = parse(PROJECT.encode())
    summary, hints = files.size_table(
        folder / "in.csv", folder / "out.csv", project, "US", told.append
    )
    assert (sum(told), summary.rows, summary.system, hints) == (100, 100, "US", ())
    assert len(told) > 2
    assert summary.file_name == "in.csv"


def test_columns_added_have_their_types_whatever_the_rows(run, folder):
    """Of no rows, of rows all in error and of rows without a message, they are the same."""
    head = "condition,host_diameter [in]"
    good = ",".join(GOOD.values())
    for text in (head, f"{head}\n?,8", f"{','.join(GOOD)}\n{good}"):
        (folder / "in.csv").write_text(f"{text}\n")
        batch(run, "in.csv", "out.parquet", "--force")
        found = pl.read_parquet(folder / "out.parquet")
        kinds = [found.schema[name] for name in ADDED]
        assert kinds == [pl.Float64, pl.Float64, pl.String, pl.String, pl.String]
        assert found.select(ADDED[:2]).sum_horizontal().is_nan().sum() == 0


def test_defaults_are_tried_in_the_first_piece_alone(folder, monkeypatch):
    """And there in as many of its rows as are sampled."""
    monkeypatch.setattr(tables, "BLOCK", 2_000)
    monkeypatch.setattr(pieces, "SAMPLED", 3)
    sampled = []
    monkeypatch.setattr(
        pieces, "count_changes", lambda known, values, nominal, some, sized: sampled.append(some)
    )
    frame([GOOD] * 100).write_csv(folder / "in.csv")
    files.size_table(folder / "in.csv", folder / "out.csv", parse(PROJECT.encode()), "US")
    (first,) = sampled
    assert len(first) < 100
    assert first.nonzero()[0].tolist() == [0, 1, 2]


def test_an_existing_file_stays_without_force(run, folder):
    frame([GOOD]).write_csv(folder / "in.csv")
    (folder / "out.csv").write_text("mine")
    assert batch(run, "in.csv", "out.csv")[0] == 2
    assert (folder / "out.csv").read_text() == "mine"
    assert batch(run, "in.csv", "out.csv", "--force")[0] == 0


def test_what_is_read_is_never_overwritten(run, folder):
    frame([GOOD]).write_csv(folder / "in.csv")
    (folder / "link.csv").symlink_to(folder / "in.csv")
    before = (folder / "in.csv").read_bytes()
    for target in ("in.csv", "link.csv"):
        code, _, err = batch(run, "in.csv", target, "--force")
        assert code == 2
        assert "the file that is read" in err
    assert (folder / "in.csv").read_bytes() == before


def test_help_says_which_files_and_they_can_be_written(run, folder, capsys):
    with pytest.raises(SystemExit):
        run("batch", "--help")
    said = " ".join(capsys.readouterr().out.split())
    assert "exactly one table to write (.csv .parquet .xlsx .gpkg .geojson) is required" in said
    frame([GOOD]).write_csv(folder / "in.csv")
    targets = [w for form in ("txt", "json", "pdf", "html") for w in ("-o", f"s.{form}")]
    assert batch(run, "in.csv", "out.csv", *targets)[0] == 0
    assert (folder / "s.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("targets", [(), ("-o", "a.csv", "-o", "b.csv"), ("-o", "a.pdf")])
def test_one_table_to_write(run, folder, targets):
    frame([GOOD]).write_csv(folder / "in.csv")
    code, _, err = run("batch", "in.csv", "--project", "project.toml", *targets)
    assert code == 2
    assert "exactly one table" in err
    assert "-o: 0" not in err


def test_text_like_a_formula_stays_text(run, folder):
    frame([GOOD | {"note": "=1+1"}]).write_csv(folder / "in.csv")
    assert batch(run, "in.csv", "out.xlsx")[0] == 0
    sheet = openpyxl.load_workbook(folder / "out.xlsx").active
    cell = next(c for c in sheet[2] if c.value == "=1+1")
    assert cell.data_type == "s"


# What spreadsheets are told to read as a formula; numbers with a sign and text in spaces are none.
LIKE_FORMULAS = ["=1+1", "+A1", "-A1", "@SUM(1)", "\t=1", "=cmd|' /C calc'!A0", "- see note"]
PLAIN = ["-5", "+5.2", "-1e3", "1-2", "a=b", "", "x@y", " text"]


@pytest.mark.parametrize("ragged", [False, True])
def test_text_like_a_formula_is_counted_in_csv_and_passes_unchanged(run, folder, ragged):
    notes = [*LIKE_FORMULAS, *PLAIN, *LIKE_FORMULAS]
    with (folder / "in.csv").open("w", newline="") as file:
        writer = csv.writer(file)
        writer.writerow([*GOOD, "note"])
        writer.writerows([*GOOD.values(), note] for note in notes)
        if ragged:
            writer.writerow([*GOOD.values(), "", "one too many"])
    _, out, err = batch(run, "in.csv", "out.csv")
    told = f"text cells that begin with = + - @ or a tab: {2 * len(LIKE_FORMULAS)};"
    assert told in err
    assert told in " ".join(out.split())
    with (folder / "out.csv").open(newline="") as file:
        assert [row["note"] for row in csv.DictReader(file)][: len(notes)] == notes
    _, out, err = batch(run, "in.csv", "out.xlsx")
    assert "begin with" not in out + err


def test_no_column_of_the_result_begins_like_a_formula(run, folder):
    """Messages of faults and cautions too: whatever a cell holds, the sentence begins in words."""
    bad = ["-5", "=1", "@x", "+", "\t-3"]
    rows = [GOOD] + [GOOD | {key: cell} for key in GOOD if key != "name" for cell in bad]
    frame(rows).write_csv(folder / "in.csv")
    batch(run, "in.csv", "out.csv")
    with (folder / "out.csv").open(newline="") as file:
        cells = [row[name] for row in csv.DictReader(file) for name in ADDED]
    assert any(len(cell) > 30 for cell in cells)
    assert not [cell for cell in cells if cell[:1] in set("=+-@\t\r")]


TELLING = """
import sys
from linerdesign.cli.start import program
from linerdesign.tasks.batch.files import _Run
whole = _Run._whole
def told(run, frame, result):
    print("a piece", file=sys.stderr, flush=True)
    return whole(run, frame, result)
_Run._whole = told
sys.exit(program())
"""


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_an_interrupted_run_leaves_nothing(folder, stop):
    frame([GOOD] * 200_000).write_csv(folder / "in.csv")
    words = ["batch", "in.csv", "--project", "project.toml", "-o", "out.csv"]
    process = subprocess.Popen(
        [sys.executable, "-c", TELLING, *words], cwd=folder, stderr=subprocess.PIPE, text=True
    )
    assert process.stderr.readline() == "a piece\n"
    process.send_signal(stop)
    _, err = process.communicate(timeout=60)
    assert (process.returncode, "interrupted, nothing written" in err) == (2, True)
    assert {path.name for path in folder.iterdir()} == {"in.csv", "project.toml"}


def test_quotes_and_line_ends_inside_cells(run, folder, monkeypatch):
    notes = ['5" and 12" clay', 'a, "b"', "two\nlines", '"', "\n", '5"', "ü"] * 40
    rows = [GOOD | {"note": note} for note in notes]
    with (folder / "in.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    monkeypatch.setattr(tables, "BLOCK", 2_000)
    assert batch(run, "in.csv", "out.csv")[0] == 0
    with (folder / "out.csv").open(newline="", encoding="utf-8") as file:
        assert [row["note"] for row in csv.DictReader(file)] == notes


def test_inch_marks_without_quotes_around_them(run, folder):
    head, good = ",".join([*GOOD, "note"]), ",".join(GOOD.values())
    lines = [head, f'{good},12" clay', f'{good},5"', f"{good},none"]
    (folder / "in.csv").write_text("\n".join(lines) + "\n")
    assert batch(run, "in.csv", "out.csv")[0] == 0
    with (folder / "out.csv").open(newline="") as file:
        assert [row["note"] for row in csv.DictReader(file)] == ['12" clay', '5"', "none"]


def test_a_byte_order_mark_is_no_part_of_the_header(run, folder):
    (folder / "in.csv").write_text(frame([GOOD]).write_csv(), encoding="utf-8-sig")
    assert batch(run, "in.csv", "out.csv")[0] == 0
    assert pl.read_csv(folder / "out.csv").columns[0] == "name"
