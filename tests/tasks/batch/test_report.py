"""The summary says which inventory it is of, by name and by the bytes read."""

import hashlib
import json
import shutil
import subprocess

import polars as pl
import pytest
from tasks.batch.test_agreement import PROJECT
from tasks.batch.test_pieces import GOOD

ROWS = pl.DataFrame([GOOD, GOOD], schema=dict.fromkeys(GOOD, pl.String))


@pytest.mark.parametrize("form", ["csv", "parquet", "xlsx"])
def test_the_inventory_is_named_and_fingerprinted_beside_the_project(run, tmp_path, form):
    (tmp_path / "project.toml").write_text(PROJECT)
    table = tmp_path / f"town.{form}"
    writers = {"csv": ROWS.write_csv, "parquet": ROWS.write_parquet, "xlsx": ROWS.write_excel}
    writers[form](table)
    words = ("batch", table.name, "--project", "project.toml", "-o", "out.csv", "--force")
    text, data = run(*words)[1], json.loads(run(*words, "--json")[1])
    wanted = {
        path: hashlib.sha256((tmp_path / path).read_bytes()).hexdigest() for path in words[1:4:2]
    }
    assert data["inventory"] == {"file": table.name, "sha256": wanted[table.name]}
    joined = " ".join(text.split())
    for name, fingerprint in wanted.items():
        assert f"{name}, SHA-256 {fingerprint}" in joined


@pytest.mark.skipif(shutil.which("sha256sum") is None, reason="sha256sum is not installed")
def test_the_fingerprint_is_that_of_an_independent_program(run, tmp_path):
    """`sha256sum`, on an inventory longer than a block of reading, and with rows too long."""
    (tmp_path / "project.toml").write_text(PROJECT)
    table = tmp_path / "town.csv"
    pl.concat([ROWS] * 4000).write_csv(table)
    with table.open("a") as file:
        file.write("," * 40 + "surplus\n")
    words = ("batch", "town.csv", "--project", "project.toml", "-o", "out.csv", "--json")
    data = json.loads(run(*words)[1])
    done = subprocess.run(["sha256sum", table], capture_output=True, text=True, check=True)
    assert data["inventory"]["sha256"] == done.stdout.split()[0]


def test_totals_by_resin_show_the_grade_of_its_evidence(run, tmp_path):
    grade = (
        '[[resin]]\nname = "Glass"\nflexural_modulus = "900 ksi"\nflexural_strength = "14 ksi"\n'
    )
    grade += 'evidence_grade = "letter"\n'
    text = '[project]\ntitle = "Harrowmere"\n[[resin]]\nname = "Felt"\n'
    text += 'flexural_modulus = "250 ksi"\nflexural_strength = "4500 psi"\n' + grade
    (tmp_path / "p.toml").write_text(text)
    head = "name,condition,resin,host_diameter [in],ovality [%],groundwater_above_invert [ft]\n"
    rows = "A,partially deteriorated,Felt,8,2,5\nB,partially deteriorated,Glass,8,2,5\n"
    (tmp_path / "in.csv").write_text(head + rows)
    words = ("batch", "in.csv", "--project", "p.toml", "-o", "out.csv", "--by", "resin")
    code, out, _ = run(*words)
    assert code == 0
    assert "Felt [D]" in out
    assert "Glass [C]" in out
    assert "[A] third-party creep test" in " ".join(out.split())
