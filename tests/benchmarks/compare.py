"""How long `compare` takes on varied pipes by four resins, and how that grows with the pipes.

    python tests/benchmarks/compare.py

Prints seconds, processor seconds, peak memory, the ratio of processor seconds to the bare imports
of the same run, and their growth from one number of pipes to the next over the growth of that
number: 1.0 is linear.
"""

import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

BARE = "import numpy, pint, pydantic, rich.console"
COUNTS, BY = (10, 100, 300), ("thickness", "cost")
ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
RESINS = (
    ("Felt polyester", "250 ksi", "4.5 ksi", "50 %", 'price = "3.10 USD/kg"'),
    ("Felt epoxy", "300 ksi", "6 ksi", "25 to 60 %", 'price = "6.40 USD/kg"'),
    ("Felt vinyl ester", "350 ksi", "5.5 ksi", "50 %", 'price = "3.90 USD/kg"'),
    (
        "Glass",
        "900 ksi",
        "14 ksi",
        "60 %",
        'price = "5.20 USD/kg"\nthicknesses = ["3 mm", "20 mm"]',
    ),
)


def project(count):
    """A project of pipes that differ in size, datums, loads, soils, stations and condition."""
    draw = random.Random(1)
    text = '[project]\ntitle = "Harrowmere"\n[criteria]\nminimum_thickness = "4.5 mm"\n'
    for name, modulus, strength, kept, more in RESINS:
        text += (
            f'[[resin]]\nname = "{name}"\nflexural_modulus = "{modulus}"\n'
            f'flexural_strength = "{strength}"\nmodulus_retention = "{kept}"\n'
            f'tensile_strength = "3 ksi"\ndensity = "1.2 g/cm^3"\n{more}\n'
        )
    return text + "".join(_pipe(number, draw) for number in range(count))


def _pipe(number, draw):
    diameter = draw.choice((6, 8, 10, 12, 15, 18, 24, 30, 36))
    ovality = (
        f'ovality = "{draw.randint(1, 6)} %"',
        f'maximum_diameter = "{1.02 * diameter:.2f} in"',
    )
    load = (f'"{draw.uniform(0, 2):.2f} psi"', '"HL-93"', '"none"')
    soil = (f'"{draw.randrange(500, 2001, 50)} psi"', '"silty sand, moderate compaction"')
    text = (
        f'[[pipe]]\nname = "MH {number}"\nlength = "{draw.randint(100, 500)} ft"\n'
        f'condition = "{draw.choice(("fully", "partially"))} deteriorated"\n'
        f'host_diameter = "{diameter} in"\n{draw.choice(ovality)}\n'
        f'soil_unit_weight = "{draw.randint(110, 130)} pcf"\n'
        f"soil_reaction_modulus = {draw.choice(soil)}\nlive_load = {draw.choice(load)}\n"
    )
    if draw.random() < 0.1:
        text += 'internal_pressure = "50 psi"\nhole_diameter = "1 in"\n'
    places = draw.choice((1, 1, 2, 3))
    for place in range(places):
        cover = draw.uniform(4, 15)
        key = draw.choice(("groundwater_above_invert", "groundwater_below_surface"))
        key = key if places == 1 else "groundwater_above_invert"
        head = f'[[pipe.station]]\nat = "{100 * place} ft"\n' if places > 1 else ""
        text += f'{head}cover = "{cover:.1f} ft"\n{key} = "{draw.uniform(0, cover):.1f} ft"\n'
    return text


def _run(command):
    """Seconds, processor seconds and peak megabytes of a process."""
    begin = time.perf_counter()
    quiet = subprocess.DEVNULL
    process = subprocess.Popen(command, stdout=quiet, stderr=quiet, env=ENVIRONMENT)
    _, code, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(code)
    assert process.returncode in (0, 1), command
    spent = used.ru_utime + used.ru_stime
    return time.perf_counter() - begin, spent, used.ru_maxrss / 1024


def main():
    """Prints a line for each number of pipes and each quantity."""
    bare = min(_run([sys.executable, "-c", BARE])[1] for _ in range(3))
    print(f"bare imports: {bare:.2f} s of processor")
    with tempfile.TemporaryDirectory() as folder:
        for by in BY:
            before = None
            for count in COUNTS:
                path = Path(folder) / f"{count}.toml"
                path.write_text(project(count), encoding="utf-8")
                command = [sys.executable, "-m", "linerdesign", "compare", str(path), "--by", by]
                seconds, spent, memory = _run(command)
                line = f"{by:<9} {count:>3} pipes: {seconds:5.2f} s, {spent:5.2f} s of processor, "
                line += f"{memory:4.0f} MB, {spent / bare:4.1f} times the bare imports"
                if before:
                    growth = (spent / before[1]) / (count / before[0])
                    line += f", growth {growth:.2f} of linear"
                print(line)
                before = count, spent


if __name__ == "__main__":
    main()
