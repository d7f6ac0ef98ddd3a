"""How long `size` takes on one pipe, as a ratio to importing the libraries it stands on.

    python tests/benchmarks/start_up.py

Both are whole processes, run in turn after a warm-up that leaves byte code behind, as an
installation does; the median of the pairs' ratios is printed.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

# What a program on these libraries can't do without: a model, a console with a table, a registry
# with its cache. pydantic and rich load next to nothing before one of these is asked for.
BARE = (
    "import numpy, rich.console, rich.table, pint; from pydantic import BaseModel;"
    "pint.UnitRegistry(cache_folder=':auto:')('1 inch')"
)
RUNS = 15
CONDITION = "fully deteriorated"
ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def _seconds(command):
    begin = time.perf_counter()
    quiet = subprocess.DEVNULL
    subprocess.run(command, check=True, stdout=quiet, stderr=quiet, env=ENVIRONMENT)
    return time.perf_counter() - begin


def main():
    """Prints the ratio."""
    with tempfile.TemporaryDirectory() as folder:
        project = str(Path(folder) / "one.toml")
        size = [sys.executable, "-m", "linerdesign", "size", project]
        bare = [sys.executable, "-c", BARE]
        new = [sys.executable, "-m", "linerdesign", "new", project, "--condition", CONDITION]
        subprocess.run(new, check=True)
        for command in (size, bare):
            _seconds(command)
        pairs = [(_seconds(size), _seconds(bare)) for _ in range(RUNS)]
    ratio = statistics.median(ours / theirs for ours, theirs in pairs)
    print(f"size on one pipe: {statistics.median(a for a, _ in pairs):.3f} s")
    print(f"bare imports:     {statistics.median(b for _, b in pairs):.3f} s")
    print(f"ratio:            {ratio:.2f}")


if __name__ == "__main__":
    main()
