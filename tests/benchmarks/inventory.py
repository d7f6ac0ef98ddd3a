"""What an inventory costs, as ratios that can be compared between machines.

    python tests/benchmarks/inventory.py [--rows N] [--growth]

Sets the time and the memory of an inventory against what a data-frame library needs to read and
write the same file, CSV or Parquet, against a loop that finds each thickness by a root search, and
against the equations written out by hand in NumPy. The inventory is an invented town's: two
resins, words among the live loads, water by depth, thirteen columns.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from linerdesign.methods.basis import FULLY, Basis
from linerdesign.methods.many import Designs, design_many
from linerdesign.project.measures import convert
from linerdesign.project.reading import Project, parse
from linerdesign.tasks.batch.files import size_table

PROJECT = b"""
[project]
title = "benchmark"
[[resin]]
name = "Felt polyester"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
density = "1.15 g/cm^3"
[[resin]]
name = "Glass vinyl ester"
flexural_modulus = "900000 psi"
flexural_strength = "14000 psi"
modulus_retention = "60 %"
strength_retention = "60 %"
thickness_step = "0.7 mm"
density = "1.75 g/cm^3"
evidence = "invented figures for this benchmark"
evidence_grade = "maker's report"
"""
COUNTS = (1_000, 10_000, 100_000, 1_000_000, 10_000_000)
SEARCHED = 2_000
BLOCK = 500_000


def inventory(path: Path, rows: int) -> None:
    """Writes an inventory of so many pipes, the same ones every time, as CSV or Parquet."""
    import polars as pl

    frames = list(_frames(rows))
    if path.suffix == ".parquet":
        pl.concat(frames).write_parquet(path)
        return
    with path.open("wb") as file:
        for place, frame in enumerate(frames):
            frame.write_csv(file, include_header=place == 0)


def _frames(rows: int) -> Iterator[Any]:
    import polars as pl

    chance = np.random.default_rng(1871)
    for start in range(0, rows, BLOCK):
        count = min(BLOCK, rows - start)
        cover = chance.uniform(4, 20, count).round(2)
        live = pl.Series(chance.uniform(0.1, 3, count).round(2)).cast(pl.String)
        quiet = pl.Series(chance.random(count) < 0.4)
        none = pl.Series(["none"]).new_from_index(0, count)
        yield pl.DataFrame(
            {
                "name": [f"MH {number}" for number in range(start, start + count)],
                "condition": chance.choice([FULLY, "partially deteriorated"], count),
                "resin": chance.choice(["Felt polyester", "Glass vinyl ester"], count),
                "host_diameter [in]": chance.choice([6, 8, 10, 12, 15, 18, 24], count),
                "ovality [%]": chance.uniform(0, 5, count).round(1),
                "cover [ft]": cover,
                "groundwater_below_surface [ft]": (cover * chance.uniform(0.1, 1.1, count)).round(
                    2
                ),
                "soil_unit_weight [pcf]": np.full(count, 120),
                "soil_reaction_modulus [psi]": chance.choice([700, 1000], count),
                "live_load [psi]": none.zip_with(quiet, live),
                "length [ft]": chance.uniform(100, 400, count).round(1),
                "street": chance.choice(["Mill Lane", "Tanner Row", "Quay Street"], count),
                "surveyed": chance.choice([2024, 2025, 2026], count),
            }
        )


def seconds(work: Callable[[], Any], times: int = 1) -> float:
    """The shortest of some runs."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def read_and_write(source: Path, target: Path) -> None:
    """What the data-frame library does with the file when nothing is computed."""
    import polars as pl

    if source.suffix == ".parquet":
        pl.read_parquet(source).write_parquet(target)
    else:
        pl.read_csv(source).write_csv(target)


def peak_memory(source: Path, project: Path, target: Path) -> float:
    """Peak memory in GB of the command in a process of its own."""
    words = (
        "batch",
        source,
        "--by",
        "street",
        "--project",
        project,
        "-o",
        target,
        "--force",
        "--json",
    )
    command = [sys.executable, "-c", _WATCHED, *map(str, words)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return int(done.stdout.split()[-1]) * _MEMORY_UNIT / 1e9


# The kernel's own mark of this process: what getrusage tells begins with the parent's on Linux.
_WATCHED = """
import re, resource, sys
from pathlib import Path
from linerdesign.cli.main import main
main(sys.argv[1:])
status = Path("/proc/self/status")
if status.exists():
    print(re.search(r"VmHWM:\\s+(\\d+)", status.read_text())[1])
else:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""
# Linux counts in kB, macOS in bytes.
_MEMORY_UNIT = 1 if sys.platform == "darwin" else 1024


def pipes(count: int) -> dict[str, Any]:
    """Inputs of fully deteriorated pipes as arrays, in the US sheet's units."""
    chance = np.random.default_rng(1871)
    return {
        "D": chance.choice([6.0, 8.0, 10.0, 12.0, 15.0, 18.0, 24.0], count),
        "q_pipe": chance.uniform(0.1, 5, count),
        "H": chance.uniform(4, 20, count),
        "h_invert": chance.uniform(1, 15, count),
        "w": np.full(count, 120.0),
        "E_s": chance.choice([700.0, 1000.0], count),
        "W_s": chance.uniform(0, 3, count),
        **{"E": 250e3, "r_E": 50.0, "sigma": 4500.0, "r_sigma": 50.0, "nu": 0.3, "N": 2.0},
        **{"K": 7.0, "DR_max": 100.0, "q_floor": 0.0, "t_floor": 0.0},
        "s": convert(1.5, "mm", "in"),
    }


def by_lines(values: dict[str, Any]) -> Designs:
    """Requirement, choice of thickness, and every check of the wall chosen."""
    return design_many(Basis(condition=FULLY, cover=("H",)), values)


def by_hand(values: dict[str, Any]) -> Any:
    """Thickness required by X1.1 to X1.4, written out; nothing checked, rounded or explained."""
    v = values
    diameter, d = v["D"], v["q_pipe"] / 100
    modulus, strength = v["E"] * v["r_E"] / 100, v["sigma"] * v["r_sigma"] / 100
    reduction = ((1 - d) / (1 + d) ** 2) ** 3
    pressure = 0.433 * v["h_invert"]
    head = np.maximum(v["h_invert"] - diameter / 12, 0)
    buoyancy = np.maximum(1 - 0.33 * head / v["H"], 0.67)
    support = 1 / (1 + 4 * np.exp(-0.065 * v["H"]))
    load = 0.433 * head + v["w"] * v["H"] * buoyancy / 144 + v["W_s"]
    t1 = diameter / (
        1 + np.cbrt(2 * v["K"] * modulus * reduction / ((1 - v["nu"] ** 2) * v["N"] * pressure))
    )
    a, b, r = 1.5 * d * (1 + d), 0.5 * (1 + d), strength / (pressure * v["N"])
    t2 = diameter * 2 * a / (b + np.sqrt(b**2 + 4 * a * r))
    spring = 32 * buoyancy * support * v["E_s"] * reduction * modulus
    t3 = diameter * np.cbrt(12 * (v["N"] * load) ** 2 / spring)
    t4 = diameter * np.cbrt(12 * 0.093 / v["E"])
    return np.maximum(np.maximum(t1, t2), np.maximum(t3, t4))


def by_search(values: dict[str, Any], count: int) -> list[float]:
    """Thickness required, each check of each pipe met by a root search on its printed form."""
    spread = {key: np.broadcast_to(each, (count,)).tolist() for key, each in values.items()}
    return [_searched({key: each[i] for key, each in spread.items()}) for i in range(count)]


def _searched(v: dict[str, float]) -> float:
    from math import exp, sqrt

    from scipy.optimize import brentq

    d, diameter = v["q_pipe"] / 100, v["D"]
    long_term = v["E"] * v["r_E"] / 100
    c = ((1 - d) / (1 + d) ** 2) ** 3
    p = 0.433 * v["h_invert"]
    head = max(v["h_invert"] - diameter / 12, 0)
    rw = max(1 - 0.33 * head / v["H"], 0.67)
    load = 0.433 * head + v["w"] * v["H"] * rw / 144 + v["W_s"]
    b = 1 / (1 + 4 * exp(-0.065 * v["H"]))
    allowed = v["sigma"] * v["r_sigma"] / 100 / (p * v["N"])
    ring = 2 * v["K"] * long_term / (1 - v["nu"] ** 2) * c / v["N"]
    spring = 32 * rw * b * v["E_s"] * c * long_term / 12
    shortfalls = (
        lambda t: ring / (diameter / t - 1) ** 3 - p,
        lambda t: allowed - (1.5 * d * (diameter / t) - 0.5) * (1 + d) * diameter / t,
        lambda t: sqrt(spring * (t / diameter) ** 3) / v["N"] - load,
        lambda t: v["E"] / 12 * (t / diameter) ** 3 - 0.093,
    )
    return float(max(brentq(f, 1e-4, diameter / 2.01, xtol=1e-13) for f in shortfalls))


def table_costs(rows: int, folder: Path, project: Project, form: str) -> dict[str, float]:
    """Seconds and memory of one inventory, and of reading and writing it."""
    source, target = folder / f"in.{form}", folder / f"out.{form}"
    (folder / "project.toml").write_bytes(PROJECT)
    inventory(source, rows)
    found: dict[str, list[float]] = {"plain": [], "batch": []}
    # In turns: what else the machine does is shared by both.
    for _ in range(5 if rows <= 1_000_000 else 1):
        found["plain"].append(seconds(lambda: read_and_write(source, target)))
        found["batch"].append(seconds(lambda: size_table(source, target, project, "US")))
    return {
        **{name: min(each) for name, each in found.items()},
        "memory": peak_memory(source, folder / "project.toml", target),
    }


def kernels() -> list[str]:
    """The array functions against a hand-written expression and a loop of root searches."""
    many, few = pipes(65_536), pipes(SEARCHED)
    lines = seconds(lambda: by_lines(many), 5) / 65_536
    hand = seconds(lambda: by_hand(many), 5) / 65_536
    search = seconds(lambda: by_search(few, SEARCHED)) / SEARCHED
    exact = by_lines(few).required
    return [
        f"lines of the design, with choice of thickness and every check: {1e9 * lines:.0f} ns/pipe",
        f"against a hand-written NumPy expression of the requirement: {lines / hand:.1f} times",
        f"against a loop of scalar root searches: {search / lines:.0f} times faster",
        f"largest difference to the expression: {_apart(by_hand(few), exact):.0e}",
        f"largest difference to the searches: {_apart(by_search(few, SEARCHED), exact):.0e}",
    ]


def _apart(one: Any, other: Any) -> float:
    return float(np.max(np.abs(np.asarray(one) / other - 1)))


def main() -> None:
    """Prints the measurements."""
    arguments = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    arguments.add_argument("--rows", type=int, default=1_000_000)
    arguments.add_argument("--growth", action="store_true", help="1e3 to 1e7 rows; some minutes")
    given = arguments.parse_args()
    print("\n".join(kernels()), flush=True)
    print(f"{'rows':>12}{'form':>9}{'s':>9}{'read+write':>12}{'peak GB':>9}")
    for rows in COUNTS if given.growth else (given.rows,):
        for form in ("csv", "parquet"):
            with tempfile.TemporaryDirectory() as folder:
                read = parse(PROJECT, needs_pipes=False)
                cost = table_costs(rows, Path(folder), read, form)
            ratio = f"{cost['batch'] / cost['plain']:.1f} times"
            line = f"{rows:>12,}{form:>9}{cost['batch']:>9.2f}{ratio:>12}{cost['memory']:>9.2f}"
            print(line, flush=True)


if __name__ == "__main__":
    main()
