"""The worked example that calls the array functions from a data-frame engine."""

import importlib.util
from pathlib import Path

import polars as pl

FOLDER = Path(__file__).parents[3] / "worked_examples" / "harrowmere_network"


def _module(name):
    spec = importlib.util.spec_from_file_location(name, FOLDER / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_engine_gives_what_the_command_gives(run, tmp_path):
    words = ("--project", FOLDER / "project.toml", "-o", "out.csv")
    assert run("batch", FOLDER / "inventory.csv", *words)[0] == 1
    out = pl.read_csv(tmp_path / "out.csv", infer_schema_length=None).filter(
        pl.col("status") != "error"
    )
    expected = out.group_by("street").agg(pl.len(), pl.mean("nominal_thickness [mm]"))
    found = _module("data_frame_engine").by_street(FOLDER / "inventory.csv")
    for street, pipes, mean in expected.rows():
        (row,) = found.filter(pl.col("street") == street).rows()
        assert row[1] == pipes
        assert abs(row[2] - mean) <= 0.0005


def test_the_inventory_is_what_its_script_writes(tmp_path):
    _module("generate").write(tmp_path / "again.csv")
    assert (tmp_path / "again.csv").read_bytes() == (FOLDER / "inventory.csv").read_bytes()
