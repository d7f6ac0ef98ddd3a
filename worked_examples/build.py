"""Prints the sheets of the worked examples anew.

    python worked_examples/build.py

The tests fail where a stored sheet is not what the program prints.
"""

from __future__ import annotations

import contextlib
import io
import os
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
    ("review_quay_street", "memorandum.txt", ("review", "project.toml")),
    ("compare_resins", "comparison.txt", ("compare", "project.toml", "--by", "cost")),
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


def printed(folder: str, words: tuple[str, ...]) -> str:
    """What the command prints in the example's folder."""
    os.environ["COLUMNS"] = "100"
    out = io.StringIO()
    with contextlib.chdir(HERE / folder), contextlib.redirect_stdout(out):
        main(list(words))
    return out.getvalue()


if __name__ == "__main__":
    for folder, name, words in SHEETS:
        (HERE / folder / name).write_text(printed(folder, words), encoding="utf-8")
        print(f"written: {folder}/{name}")
