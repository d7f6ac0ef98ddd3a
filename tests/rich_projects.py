"""Projects that ask for everything at once, for tests of documents. The values are invented.

    python tests/rich_projects.py PIPES [street|laterals] FOLDER

Conditions mixed, stations, legs, vehicles, an owner's file with a second method, orders, flow,
laterals to reopen, uncertainties and pressure pipes; resins with the data of their systems.
"""

import random
import sys
from pathlib import Path

OWNER = """\
# Criteria of the town of Harrowmere (an invented town).
[criteria]
safety_factor = 2.0
minimum_ovality = "2 %"
minimum_thickness = "4.5 mm"
thickness_step = "1.5 mm"
[criteria.defaults]
live_load = "HL-93"
soil_unit_weight = "120 pcf"
[criteria.limits]
minimum_groundwater_above_invert = "1 ft"
maximum_modulus_retention = "50 %"
[criteria.second_method]
method = "encased ring"
"""
HEAD = """\
criteria = "owner.toml"
[project]
title = "Mill Lane and Tanner Row sewer renewal"
number = "HM-047"
client = "Town of Harrowmere"
location = "Mill Lane, Tanner Row and Quay Street"
prepared_by = "A. Reed"
date = "2026-11-20"
revision = "B"
units = "US"
[uncertainty]
groundwater_above_invert = "normal, sd 2 ft"
[capacity]
host_n = 0.013
slope = "0.6 %"
[order]
extra_length = "3 ft"
resin_share = "85 %"
[[resin]]
name = "Polyester felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
tensile_strength = "3000 psi"
density = "1.15 g/cm^3"
resin_density = "1.12 g/cm^3"
hardener_parts = 1.5
maximum_stretch = "12 %"
minimum_installation_pressure = "4 psi"
maximum_installation_pressure = "14 psi"
maximum_pull_force = "9000 lbf"
pull_elongation = "2 %"
cure_temperature = "180 degF"
heating_time = "2 h"
cure_time = "3 h"
cooling_time = "4 h"
evidence = "flexural tests of the supplier's panels, 2026-03, tube and resin together"
evidence_grade = "maker's report"
uncertainty = { modulus_retention = "triangular 35 %, 50 %, 60 %" }
[[resin]]
name = "Glass vinyl ester"
flexural_modulus = "900000 psi"
flexural_strength = "14000 psi"
tensile_strength = "9000 psi"
thicknesses = ["3 mm", "4 mm", "5 mm", "6 mm", "7 mm", "8 mm", "10 mm", "12 mm", "15 mm"]
density = "1.75 g/cm^3"
light_speed = "3 ft/min"
light_power = "600 W"
"""
DIAMETERS = (8, 8, 10, 12, 15, 18, 24)
LATERAL_RESIN = """\
[[resin]]
name = "Epoxy felt for bends"
flexural_modulus = "300000 psi"
flexural_strength = "5000 psi"
modulus_retention = "40 %"
strength_retention = "40 %"
thickness_step = "0.5 mm"
density = "1.15 g/cm^3"
maximum_stretch = "40 %"
maximum_temperature = "140 degF"
evidence = "creep test of the system, 2025-10"
evidence_grade = "third-party creep test"
"""


def street(pipes, seed=1, vehicles=("HL-93", "H-20 table", "E-80 table", "none")):
    """The text of a street of so many sewers."""
    draw = random.Random(seed)
    return HEAD + "".join(_sewer(number, draw, vehicles) for number in range(1, pipes + 1))


def _sewer(number, draw, vehicles):
    cover = round(draw.uniform(5, 16), 1)
    full = draw.random() < 0.6
    length, diameter = draw.randint(120, 420), draw.choice(DIAMETERS)
    keys = {
        "name": f"MH {number} to MH {number + 1}",
        "resin": draw.choice(("Polyester felt", "Polyester felt", "Glass vinyl ester")),
        "condition": f"{'fully' if full else 'partially'} deteriorated",
        "host_diameter": f"{diameter} in",
        "ovality": f"{draw.choice((1, 2, 2.5, 3, 4))} %",
        "cover": f"{cover} ft",
        "soil_reaction_modulus": draw.choice(
            ("700 psi", "1000 psi", "silty sand, 90 % compaction")
        ),
        "groundwater_above_invert": f"{round(draw.uniform(1.5, cover), 1)} ft",
        "length": f"{length} ft",
    }
    if full and draw.random() < 0.5:
        keys["live_load"] = draw.choice(vehicles)
    if number % 10 == 0:
        keys["internal_pressure"] = f"{draw.randint(20, 60)} psi"
        if not full:
            keys["hole_diameter"] = "1.5 in"
    text = "[[pipe]]\n" + "".join(f'{key} = "{value}"\n' for key, value in keys.items())
    text += 'origin = { host_diameter = "measured", cover = "plan", ovality = "assumed" }\n'
    for _ in range(draw.randint(0, 2)):
        at, clock = draw.randint(10, length - 10), draw.choice(("3", "9"))
        text += f'[[pipe.lateral]]\nat = "{at} ft"\nclock = "{clock}"\ndiameter = "4 in"\n'
    if number % 5 == 3:
        for at in (0, length):
            deep = round(draw.uniform(5, 16), 1)
            text += f'[[pipe.station]]\nat = "{at} ft"\ncover = "{deep} ft"\n'
    if number % 5 == 1 and not keys.get("internal_pressure"):
        text += f'[[pipe.leg]]\nat = "0 ft"\nlength = "{length - 40} ft"\n'
        text += f'[[pipe.leg]]\nat = "{length - 40} ft"\nlength = "40 ft"\n'
        text += f'host_diameter = "{diameter * 1.05:.1f} in"\n'
    return text


def laterals(pipes=4, seed=1):
    """The text of a project of house laterals with bends, an order and flow."""
    draw = random.Random(seed)
    head = HEAD.partition("[[resin]]")[0].replace('criteria = "owner.toml"\n', "")
    head = head.replace("Mill Lane and Tanner Row sewer renewal", "Chapel Hill laterals")
    owner = '[criteria]\nminimum_ovality = "2 %"\nminimum_thickness = "3 mm"\n'
    return head + owner + LATERAL_RESIN + "".join(_lateral(n, draw) for n in range(1, pipes + 1))


def _lateral(number, draw):
    full, diameter = number % 2 == 0, draw.choice((4, 6))
    keys = {
        "name": f"No {2 * number + 1}, lateral",
        "condition": f"{'fully' if full else 'partially'} deteriorated",
        "host_diameter": f"{diameter} in",
        "ovality": f"{draw.choice((2, 3))} %",
        "cover": f"{draw.choice((3, 4, 6))} ft",
        "groundwater_above_invert": f"{draw.choice((0.5, 1, 2))} ft",
    }
    if full:
        keys |= {
            "soil_unit_weight": "120 pcf",
            "soil_reaction_modulus": "700 psi",
            "live_load": "1.4 psi",
        }
    text = "[[pipe]]\n" + "".join(f'{key} = "{value}"\n' for key, value in keys.items())
    text += '[[pipe.leg]]\nat = "0 ft"\nlength = "20 ft"\n'
    text += '[[pipe.leg]]\nat = "20 ft"\nlength = "3 ft"\nbend = "45 deg"\nbend_radius = "1 ft"\n'
    text += (
        f'[[pipe.leg]]\nat = "23 ft"\nlength = "15 ft"\nhost_diameter = "{diameter * 1.1:.1f} in"\n'
    )
    return text


def put(folder, text, owner=OWNER):
    """Writes the project and the owner's file; the path of the project."""
    path = Path(folder, "project.toml")
    path.write_text(text, encoding="utf-8")
    Path(folder, "owner.toml").write_text(owner, encoding="utf-8")
    return path


if __name__ == "__main__":
    count, kind, folder = int(sys.argv[1]), sys.argv[2], Path(sys.argv[3])
    folder.mkdir(parents=True, exist_ok=True)
    put(folder, {"street": street, "laterals": laterals}[kind](count))
