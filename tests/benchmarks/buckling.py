"""How long a second opinion takes: one pipe, five pipes, and the table for a study of many.

`python tests/benchmarks/buckling.py` prints seconds after imports, and the ratio to the time of a
thousand evaluations of the ring in the same run, which does not depend on the machine. The aim is
0.3 s for one pipe and 1 s for five.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.append(str(Path(__file__).parents[1]))

from projects import toml

from linerdesign.interface import read, size
from linerdesign.methods.result import PipeResult
from linerdesign.methods.ring.case import Case
from linerdesign.methods.ring.solving import solve
from linerdesign.tasks.second_opinion import opinion
from linerdesign.tasks.second_opinion.report import added

PIPES = ((8, 2, 10), (12, 3, 12), (24, 1, 15), (36, 4, 8), (48, 2, 12))
"""Inside diameter in inches, ovality in percent, groundwater above the invert in feet."""

REPEATS = 5


def pipes() -> tuple[PipeResult, ...]:
    """The designs of five pipes that have nothing in common."""
    with TemporaryDirectory() as folder:
        found = []
        for diameter, ovality, water in PIPES:
            pipe = {
                "condition": "partially deteriorated",
                "host_diameter": f"{diameter} in",
                "ovality": f"{ovality} %",
                "groundwater_above_invert": f"{water} ft",
            }
            file = Path(folder) / "p.toml"
            file.write_text(toml(pipe=pipe), encoding="utf-8")
            found += size(read(file), "US").pipes
        return tuple(found)


def seconds(results: tuple[PipeResult, ...]) -> float:
    """Least time of several for the opinions on these pipes, each from nothing."""
    best = float("inf")
    for _ in range(REPEATS):
        opinion._found.cache_clear()
        Case.ring.cache_clear()
        start = time.perf_counter()
        for result in results:
            added(result, [])
        best = min(best, time.perf_counter() - start)
    return best


def base() -> float:
    """Least time of a thousand evaluations of the ring."""
    solution = solve(Case(50.0, 0.005, 0.02, 0.02))
    ring, point = solution.path.ring, solution.limit
    assert point is not None
    best = float("inf")
    for _ in range(REPEATS):
        start = time.perf_counter()
        for _ in range(1000):
            ring.state(point.vector, point.pressure)
        best = min(best, time.perf_counter() - start)
    return best


def main() -> None:
    """Prints the table."""
    results = pipes()
    seconds(results[:1])
    unit = base()
    print(f"1,000 evaluations of the ring  {unit:.3f} s")
    for name, some in (("one pipe", results[:1]), ("five pipes", results)):
        took = seconds(some)
        print(f"{name:30} {took:.3f} s  {took / unit:.2f} times that")


if __name__ == "__main__":
    main()
