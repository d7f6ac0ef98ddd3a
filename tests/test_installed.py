"""The package as others get it: built, installed elsewhere, run and type-checked there."""

import os
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from itertools import pairwise
from pathlib import Path
from shutil import copy, copytree, ignore_patterns

import pytest
from every_command import FORMS, RUNS, TABLES, copied_examples

ROOT = Path(__file__).parents[1]
PARTS = ("pyproject.toml", "README.md")
BUILD = """
from setuptools import build_meta
print(build_meta.build_sdist("dist"), build_meta.build_wheel("dist"))
"""


def call(*words, folder):
    """Runs a program in a folder, where nothing points to the repository."""
    env = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    told = {"cwd": folder, "env": env, "capture_output": True, "text": True}
    return subprocess.run([str(word) for word in words], **told)


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """An environment of its own with the package from its source archive, and both archives."""
    folder = tmp_path_factory.mktemp("elsewhere")
    source = folder / "source"
    copytree(ROOT / "linerdesign", source / "linerdesign", ignore=ignore_patterns("__pycache__"))
    for part in PARTS:
        copy(ROOT / part, source)
    venv.create(folder / "env", with_pip=True)
    python = folder / "env" / "bin" / "python"
    if not python.exists():
        pytest.skip("environments are laid out otherwise here")
    got = call(python, "-m", "pip", "install", "-q", "setuptools>=77", "wheel", folder=folder)
    if got.returncode:
        pytest.skip(f"no package registry for setuptools: {got.stderr.splitlines()[-1:]}")
    made = call(python, "-c", BUILD, folder=source)
    assert made.returncode == 0, made.stderr
    archive, wheel = (source / "dist" / name for name in made.stdout.split()[-2:])
    pip = (python, "-m", "pip", "install", "-q", "--no-deps", "--no-build-isolation")
    done = call(*pip, archive, folder=folder)
    assert done.returncode == 0, done.stderr
    # What it needs is taken from where the tests run; an editable install there is not.
    places = call(
        python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", folder=folder
    )
    (Path(places.stdout.strip()) / "needs.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return python, archive, wheel


@pytest.fixture
def folder(tmp_path):
    copied_examples(tmp_path)
    return tmp_path


def _files(root):
    """Files of the package by their paths, as the repository has them."""
    every = (path for path in root.rglob("*") if path.is_file())
    return {str(path.relative_to(ROOT)) for path in every if "__pycache__" not in path.parts}


def test_both_archives_hold_every_file_of_the_package(built):
    _, archive, wheel = built
    wanted = _files(ROOT / "linerdesign")
    with zipfile.ZipFile(wheel) as file:
        assert wanted <= {*file.namelist()}
    with tarfile.open(archive) as file:
        held = {name.split("/", 1)[-1] for name in file.getnames()}
    assert {*wanted, *PARTS} <= held


def test_it_is_the_installed_one_that_runs(built, tmp_path):
    python, *_ = built
    where = call(python, "-c", "import linerdesign; print(linerdesign.__file__)", folder=tmp_path)
    assert Path(where.stdout.strip()).is_relative_to(python.parents[1])


COMMANDS = {
    **{
        name: [*words, *(word for form in FORMS for word in ("-o", f"out{form}"))]
        for name, words in RUNS.items()
    },
    **TABLES,
}


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_runs_outside_the_repository(built, folder, name):
    python, *_ = built
    done = call(python.parent / "linerdesign", *COMMANDS[name], folder=folder)
    assert done.returncode in (0, 1), done.stderr
    words = COMMANDS[name]
    for word, target in pairwise(words):
        if word == "-o":
            assert (folder / target).stat().st_size > 0


PROGRAM = """\
import pandas as pd
import polars as pl

import linerdesign

project = linerdesign.read("project.toml")
reveal_type(project)
sizing = linerdesign.size(project, units="SI")
reveal_type(sizing)
reveal_type(sizing.pipes[0].nominal_thickness)
reveal_type(linerdesign.review(project).pipes[0].found.verdict)
reveal_type(linerdesign.compare(project).found.order[0].rank)
reveal_type(linerdesign.plan(project, diameters="8 in").found.tables)
reveal_type(linerdesign.batch("in.csv", "out.csv", project).summary.rows)
reveal_type(linerdesign.size_rows(pl.DataFrame(), project))
reveal_type(linerdesign.size_rows(pl.LazyFrame(), project))
reveal_type(linerdesign.equation("X1.1").arguments)
linerdesign.write(sizing, "sheet.pdf")
linerdesign.size("project.toml")
linerdesign.plan(project, units="metric")
linerdesign.sise(project)
"""
REVEALED = [
    "linerdesign.project.models.Project",
    "linerdesign.interface.Sizing",
    "float",
    "str | None",
    "int | None",
    "tuple[linerdesign.tasks.plan.table.Table, ...]",
    "int",
    "polars.dataframe.frame.DataFrame",
    "polars.lazyframe.frame.LazyFrame",
    "tuple[str, ...]",
]


def test_a_type_checker_elsewhere_finds_the_types(built, tmp_path):
    pytest.importorskip("mypy")
    python, *_ = built
    (tmp_path / "program.py").write_text(PROGRAM)
    checker = (sys.executable, "-m", "mypy", "--strict", "--cache-dir", "cache")
    told = ("--python-executable", python, "program.py", "--no-error-summary")
    ignored = ("--disable-error-code", "import-untyped")
    done = call(*checker, *told, *ignored, folder=tmp_path)
    lines = done.stdout.splitlines()
    found = [line.split('"')[1] for line in lines if "Revealed type" in line]
    assert [each.replace("builtins.", "") for each in found] == REVEALED, done.stdout
    errors = [line.split(":")[1] for line in lines if ": error:" in line]
    last = PROGRAM.count("\n")
    assert errors == [str(last - 2), str(last - 1), str(last)], done.stdout
