"""A project of many varied pipes, for measurements. The values are invented.

    python tests/benchmarks/many_pipes.py PIPES > project.toml

Gravity and pressure pipes in both conditions, a stated load or a published one, every twelfth pipe
with three stations, every fifteenth with a thickness to check.
"""

import random
import sys

HEAD = """\
[project]
title = "Harrowmere network"
number = "HM-031"
[[resin]]
name = "Felt A"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
tensile_strength = "3000 psi"
[[resin]]
name = "Glass B"
flexural_modulus = "725000 psi"
flexural_strength = "6500 psi"
tensile_strength = "9000 psi"
thicknesses = ["3 mm", "4 mm", "5 mm", "6 mm", "8 mm", "10 mm", "12 mm", "15 mm", "18 mm", "24 mm"]
"""
LOADS = ("none", "E-80 table", "HL-93", "1.2 psi", "0.5 psi")
DIAMETERS = (8, 10, 12, 15, 18, 21, 24, 30, 36, 48)


def project(pipes, seed=1):
    """The text of a project of so many pipes."""
    draw = random.Random(seed)
    return HEAD + "".join(_pipe(number, draw) for number in range(1, pipes + 1))


def _pipe(number, draw):
    cover = round(draw.uniform(4, 22), 2)
    keys = {
        "name": f"MH {number} to MH {number + 1}",
        "resin": draw.choice(("Felt A", "Felt A", "Glass B")),
        "condition": draw.choice(("fully deteriorated", "partially deteriorated")),
        "host_diameter": f"{draw.choice(DIAMETERS)} in",
        "ovality": f"{draw.choice((0, 1, 2, 2.5, 3, 4, 5))} %",
        "cover": f"{cover} ft",
        "soil_unit_weight": f"{draw.choice((110, 120, 130))} pcf",
        "soil_reaction_modulus": f"{draw.choice((500, 700, 1000, 1500))} psi",
        "live_load": draw.choice(LOADS),
        "groundwater_above_invert": f"{round(draw.uniform(0.2, cover), 2)} ft",
        "length": f"{draw.randint(90, 480)} ft",
    }
    if number % 10 == 0:
        keys["internal_pressure"] = f"{draw.randint(20, 90)} psi"
        if keys["condition"].startswith("partially"):
            keys["hole_diameter"] = "1.5 in"
    if number % 15 == 0:
        keys["design_thickness"] = "12 mm"
    text = "[[pipe]]\n" + "".join(f'{key} = "{value}"\n' for key, value in keys.items())
    if number % 12 == 0:
        text += "".join(
            f'[[pipe.station]]\nat = "{at} ft"\ncover = "{round(draw.uniform(4, 22), 2)} ft"\n'
            for at in (0, 100, 200)
        )
    return text


if __name__ == "__main__":
    sys.stdout.write(project(int(sys.argv[1])))
