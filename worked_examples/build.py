"""Prints the sheets of the worked examples anew.

    python worked_examples/build.py

The tests fail where a stored sheet is not what the program prints.
"""

from __future__ import annotations

import contextlib
import io
import os
import runpy
import shutil
import subprocess
import tempfile
from pathlib import Path

from linerdesign.cli.main import main

HERE = Path(__file__).parent

# Folder, stored file, and the command that prints it.
SHEETS = [
    ("published_48_inch", "sheet.txt", ("size", "project.toml")),
    ("mill_lane_sewers", "sheet.txt", ("size", "project.toml", "--both-conditions")),
    ("house_laterals", "sheet.txt", ("size", "project.toml")),
    ("culvert_si", "sheet.txt", ("size", "project.toml")),
    ("force_main", "sheet.txt", ("size", "project.toml")),
    ("railway_crossing", "sheet.txt", ("size", "project.toml")),
    ("review_quay_street", "letter.txt", ("review", "project.toml")),
    ("review_quay_street", "record.txt", ("review", "project.toml", "--record")),
    ("transcribe_mill_lane", "transcript.txt", ("transcribe", "submittal.md")),
    ("transcribe_mill_lane", "letter.txt", ("review", "project.toml")),
    ("docket_harrowmere", "status.txt", ("docket", ".", "--date", "2026-12-01")),
    ("docket_harrowmere", "letter.txt", ("docket", ".", "--letter", "21")),
    ("compare_resins", "comparison.txt", ("compare", "project.toml", "--by", "cost")),
    ("uncertain_ground", "sheet.txt", ("size", "project.toml", "--uncertainty", "stated")),
    (
        "uncertain_ground",
        "comparison.txt",
        ("compare", "project.toml", "--by", "cost", "--uncertainty", "stated"),
    ),
    (
        "harrowmere_network",
        "summary.txt",
        ("batch", "inventory.csv", "--project", "project.toml", "-o", "sized.csv", "--force"),
    ),
    ("harrowmere_network", "planning_table.txt", ("plan", "project.toml")),
    ("chapel_hill_street", "profile.txt", ("profile", "profile_upper.csv")),
    ("chapel_hill_street", "creep.txt", ("creep", "creep.csv", "--t0", "1 h")),
    ("chapel_hill_street", "sheet.txt", ("size", "project.toml")),
    ("chapel_hill_street", "decision.txt", ("accept", "project.toml")),
    ("chapel_hill_street", "second_liner.txt", ("accept", "second_liner.toml")),
]


# Folder, stored file, and the script that prints it.
PROGRAMS = [("from_a_program", "printed.txt", "rising_water.py")]

# The command whose PDF's first page is stored beside it, one a folder.
PICTURES = {
    folder: words
    for folder, _, words in reversed(SHEETS)
    if words[0] in ("size", "review", "compare", "plan")
}


def printed(folder: str, words: tuple[str, ...]) -> str:
    """What the command prints in the example's folder."""
    os.environ["COLUMNS"] = "100"
    out = io.StringIO()
    with contextlib.chdir(HERE / folder), contextlib.redirect_stdout(out):
        main(list(words))
    return out.getvalue()


def ran(folder: str, script: str) -> str:
    """What a script of the example prints."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        runpy.run_path(str(HERE / folder / script), run_name="__main__")
    return out.getvalue()


def picture(folder: str, words: tuple[str, ...]) -> None:
    """Stores the first page of the command's PDF as a small PNG, by Poppler's pdftoppm."""
    with tempfile.TemporaryDirectory() as temporary:
        pdf = Path(temporary) / "document.pdf"
        with contextlib.redirect_stderr(io.StringIO()):
            printed(folder, (*words, "-o", str(pdf)))
        page = str(HERE / folder / "first_page")
        once = ("-f", "1", "-l", "1", "-singlefile", "-r", "64", "-png")
        subprocess.run(["pdftoppm", *once, str(pdf), page], check=True)


if __name__ == "__main__":
    for folder, name, words in SHEETS:
        (HERE / folder / name).write_text(printed(folder, words), encoding="utf-8")
        print(f"written: {folder}/{name}")
    for folder, name, script in PROGRAMS:
        (HERE / folder / name).write_text(ran(folder, script), encoding="utf-8")
        print(f"written: {folder}/{name}")
    if shutil.which("pdftoppm"):
        for folder, words in PICTURES.items():
            picture(folder, words)
            print(f"written: {folder}/first_page.png")
