"""Parquet as other programs write it, in a process of its own: a library may end it."""

import csv
import subprocess
import sys
from pathlib import Path

import pytest
from projects import toml

from linerdesign.cli.main import main

pyarrow = pytest.importorskip("pyarrow")
parquet = pytest.importorskip("pyarrow.parquet")

ROWS = {
    "host_diameter [in]": [8.0, 12.0],
    "ovality [%]": [2.0, 3.0],
    "groundwater_above_invert [ft]": [5.0, 5.0],
    "condition": ["partially deteriorated"] * 2,
}


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("p.toml").write_text(toml(), encoding="utf-8")


def _batch(target, **columns):
    parquet.write_table(pyarrow.table(ROWS | columns), "in.parquet")
    words = [sys.executable, "-m", "linerdesign", "batch", "in.parquet", "--project", "p.toml"]
    done = subprocess.run([*words, "-o", target], capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr
    return done.returncode


@pytest.mark.parametrize("form", ["parquet", "csv", "xlsx"])
def test_a_time_zone_by_its_offset_passes_through(form):
    """A moment as a zone of five hours and a half shows it: half past five at the epoch."""
    kind = pyarrow.timestamp("ms", "+05:30")
    assert _batch(f"out.{form}", surveyed=pyarrow.array([0, None], kind)) == 0
    if form == "parquet":
        assert parquet.read_table("out.parquet")["surveyed"].type == kind
    if form == "csv":
        with Path("out.csv").open(encoding="utf-8", newline="") as file:
            assert next(csv.DictReader(file))["surveyed"] == "1970-01-01T00:00:00.000+0000"
    if form == "xlsx":
        from openpyxl import load_workbook

        head, row, _ = load_workbook("out.xlsx").active.iter_rows(values_only=True)
        assert row[head.index("surveyed")] == "1970-01-01T05:30:00+05:30"


def test_an_error_of_a_library_in_another_language_is_no_failed_check(capsys, monkeypatch):
    """It is none of the usual errors, and ended the program with exit code 1."""

    class PanicException(BaseException):
        pass

    def panics(*_, **__):
        raise PanicException("called `Result::unwrap()`")

    monkeypatch.setattr("linerdesign.cli.main._run", panics)
    assert main(["size", "p.toml"]) == 3
    assert "internal error (PanicException" in capsys.readouterr().err
