"""Writes the inventory of an invented town: 5,000 pipes, the same ones every time.

    python worked_examples/harrowmere_network/generate.py

A few rows are wrong on purpose, as rows of an inventory are.
"""

from __future__ import annotations

import csv
import random
from pathlib import Path

PIPES = 5_000
STREETS = ("Mill Lane", "Tanner Row", "Quay Street", "Chapel Hill")
DIAMETERS = {6: 8, 8: 45, 10: 14, 12: 13, 15: 8, 18: 5, 24: 4, 30: 2, 36: 1}
HEADER = (
    "asset",
    "street",
    "condition",
    "resin",
    "host_diameter [in]",
    "ovality [%]",
    "cover [ft]",
    "groundwater_below_surface [ft]",
    "live_load [psi]",
    "length [ft]",
    "surveyed",
)
FAULTS = {
    411: ("ovality [%]", "n/a"),
    1207: ("cover [ft]", "-3"),
    1208: ("cover [ft]", "12,5"),
    2300: ("condition", ""),
    2871: ("resin", "Felt vinylester"),
    3333: ("host_diameter [in]", ""),
    4100: ("groundwater_below_surface [ft]", ""),
    4999: ("condition", "collapsed"),
}
# Typing errors that are possible values: millimetres under inches, and a cover without its point.
TYPING_ERRORS = {1650: ("host_diameter [in]", "300"), 2605: ("cover [ft]", "104")}


def pipe(number: int, chance: random.Random) -> dict[str, object]:
    """One row. The deeper a street lies, the nearer its water is to the surface."""
    street = STREETS[number * len(STREETS) // PIPES]
    (diameter,) = chance.choices(list(DIAMETERS), list(DIAMETERS.values()))
    cover = round(chance.triangular(3, 24, 8), 1)
    fully = chance.random() < 0.35
    return {
        "asset": f"{number:05d}",
        "street": street,
        "condition": f"{'fully' if fully else 'partially'} deteriorated",
        "resin": "Glass vinyl ester" if street == "Quay Street" and diameter > 10 else "",
        "host_diameter [in]": diameter,
        # Old clay is measured; where no survey was made the owner's floor is to serve.
        "ovality [%]": round(chance.gammavariate(2, 1.4), 1) if chance.random() < 0.8 else "",
        "cover [ft]": cover,
        "groundwater_below_surface [ft]": round(chance.uniform(1, cover + 3), 1),
        "live_load [psi]": "H-20 table" if cover <= 8 and chance.random() < 0.6 else "none",
        "length [ft]": round(chance.triangular(80, 450, 260)),
        "surveyed": chance.choice(("2024", "2025", "2026")),
    }


def write(path: Path) -> None:
    """The inventory with its faults."""
    chance = random.Random(1871)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, HEADER, lineterminator="\n")
        writer.writeheader()
        for number in range(PIPES):
            row = pipe(number, chance)
            if number in FAULTS | TYPING_ERRORS:
                column, text = (FAULTS | TYPING_ERRORS)[number]
                row[column] = text
            writer.writerow(row)


if __name__ == "__main__":
    write(Path(__file__).with_name("inventory.csv"))
