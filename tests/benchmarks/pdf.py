"""How long a PDF of many pipes takes, from the project file to the written document.

    python tests/benchmarks/pdf.py [PIPES]

The whole process is timed three times; the shortest is the least disturbed by the machine's other
work and is printed.
"""

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from pypdf import PdfReader

HEAD = """
[project]
title = "Harrowmere network"
[[resin]]
name = "Felt A"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
"""
PIPE = """
[[pipe]]
name = "MH {n} to MH {next}"
condition = "fully deteriorated"
host_diameter = "{diameter} in"
ovality = "2 %"
cover = "{cover:.2f} ft"
groundwater_above_invert = "{water:.2f} ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "1000 psi"
live_load = "0.35 psi"
"""


def _project(pipes):
    return HEAD + "".join(
        PIPE.format(
            n=n, next=n + 1, diameter=8 + n % 9 * 3, cover=6 + n % 40 / 4, water=2 + n % 30 / 5
        )
        for n in range(pipes)
    )


def main():
    """Prints seconds, pages and size."""
    pipes = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        project, target = Path(folder) / "many.toml", Path(folder) / "many.pdf"
        project.write_text(_project(pipes))
        command = [sys.executable, "-m", "linerdesign", "size", project, "-o", target, "--force"]
        seconds = []
        for _ in range(3):
            begin = time.perf_counter()
            subprocess.run(command, check=True, stderr=subprocess.DEVNULL)
            seconds.append(time.perf_counter() - begin)
        pages, size = len(PdfReader(target).pages), target.stat().st_size / 1e6
    print(f"{pipes} pipes: {min(seconds):.1f} s, {pages} pages, {size:.1f} MB")


if __name__ == "__main__":
    main()
