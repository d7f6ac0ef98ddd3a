"""Random acceptances, each accepted one held against `size` of its readings.

As a command, with how many: `python tests/random_acceptances.py 20000`.
"""

import sys
from pathlib import Path

import numpy as np

from linerdesign.field.acceptance.decision import decide
from linerdesign.field.acceptance.gathering import gather
from linerdesign.field.acceptance.rules import RULES
from linerdesign.interface import InputFaults, read, size

SYSTEMS = ("US", "SI")


def project(random):
    """A random pipe, resin and criteria as a mapping, with the design left to `size`."""
    resin = {
        "name": "felt",
        "flexural_modulus": f"{random.uniform(200, 900):.0f} ksi",
        "flexural_strength": f"{random.uniform(4, 16):.2f} ksi",
        "tensile_strength": f"{random.uniform(2.5, 12):.2f} ksi",
    }
    if random.random() < 0.9:
        resin["evidence"] = "test report"
    diameter = random.choice([4, 6, 8, 12, 24, 48])
    pipe = {
        "name": "P",
        "condition": str(random.choice(["partially deteriorated", "fully deteriorated"])),
        "host_diameter": f"{diameter} in",
        "ovality": f"{random.choice([0.0, 1.0, 2.0, 5.0, 9.0])} %",
        "cover": f"{random.uniform(2, 25):.2f} ft",
        "groundwater_above_invert": f"{random.choice([0.0, random.uniform(0.5, 30)]):.2f} ft",
        "soil_unit_weight": "120 pcf",
        "soil_reaction_modulus": f"{random.uniform(300, 2000):.0f} psi",
        "live_load": f"{random.uniform(0, 4):.2f} psi",
    }
    if random.random() < 0.4:
        pipe["internal_pressure"] = f"{random.uniform(5, 150):.1f} psi"
        if pipe["condition"].startswith("partially"):
            pipe["hole_diameter"] = f"{random.uniform(0.1, 0.6) * diameter:.3f} in"
    criteria = {"minimum_thickness": f"{random.choice([0.0, 3.0, 6.0])} mm"}
    if random.random() < 0.3:
        criteria["x1_2_strength"] = "short-term"
    return {
        "project": {"title": "random"},
        "criteria": criteria,
        "resin": [resin],
        "pipe": [pipe],
    }


def line(random, pipe):
    """Stations and legs of a line of 100 ft under one tube, by their places; either may be none."""
    found = {}
    places = [f"{place:g} ft" for place in sorted(random.choice(100, 3, replace=False))]
    if random.random() < 0.5:
        found["station"] = [
            {
                "at": at,
                "cover": f"{random.uniform(2, 25):.2f} ft",
                "groundwater_above_invert": f"{random.uniform(0, 30):.2f} ft",
            }
            for at in places
        ]
    if random.random() < 0.5:
        host = float(pipe["host_diameter"].split()[0])
        found["leg"] = [{"at": "0 ft"}]
        for at in sorted(random.choice(range(1, 100), random.integers(1, 4), replace=False)):
            leg = {"at": f"{at:g} ft"}
            if random.random() < 0.6:
                leg["host_diameter"] = f"{host * random.uniform(0.9, 1.6):.3f} in"
            if random.random() < 0.4:
                leg |= {"bend": "45 deg", "bend_radius": f"{host * random.uniform(1, 5):.3f} in"}
            found["leg"].append(leg)
    return found


def samples(random, nominal, resin):
    """Readings about the nominal thickness in mm, and tests about the resin's values."""
    scatter = random.choice([0.01, 0.05, 0.15])
    centre = nominal * random.uniform(0.9, 1.25)
    readings = centre * np.exp(random.normal(0, scatter, random.integers(1, 9)))
    found = [
        {"thickness": f"{t:.4f} mm", "thickness_basis": "structural wall"}
        | ({"station": f"{random.integers(0, 100)} ft"} if random.random() < 0.7 else {})
        | ({"clock": str(random.integers(1, 13))} if random.random() < 0.5 else {})
        for t in readings
    ]
    placed = [(each["thickness"], each.get("station")) for each in found]
    for name, key in (
        ("modulus", "flexural_modulus"),
        ("strength", "flexural_strength"),
        ("tensile_strength", "tensile_strength"),
    ):
        if random.random() < 0.9:
            designed = float(resin[key].split()[0]) * random.uniform(0.9, 1.4)
            found += [
                {name: f"{designed * random.uniform(0.9, 1.1):.4f} ksi"}
                for _ in range(random.integers(1, 6))
            ]
    return found, placed


def failures(count, seed):
    """The accepted cases of `count` in which a reading fails, and how many were accepted."""
    random = np.random.default_rng(seed)
    failed, accepted = [], 0
    while count:
        given = project(random)
        given["pipe"][0] |= line(random, given["pipe"][0])
        units = str(random.choice(SYSTEMS))
        try:
            (design,) = size(read(given), units).pipes
            nominal = design.nominal_thickness * (25.4 if units == "US" else 1)
            given["pipe"][0]["sample"], readings = samples(random, nominal, given["resin"][0])
            rule = str(random.choice(RULES))
            given["acceptance"] = {
                "rule": rule,
                "least_reading": f"{random.choice([50, 87.5])} %",
                "compared_with": str(random.choice(["nominal thickness", "required thickness"])),
            }
            stated = read(given)
            (installed,) = gather(stated, Path()).pipes
            decision = decide(stated, stated.pipes[0], installed, rule, units)
        except InputFaults:
            continue
        count -= 1
        if not decision.accepted:
            continue
        accepted += 1
        if not all(_holds(given, *reading, units) for reading in readings):
            failed.append(given)
    return failed, accepted


def _holds(given, thickness, station, units):
    """Whether the pipe at the place of a reading holds with its thickness."""
    pipe = {k: v for k, v in given["pipe"][0].items() if k not in ("sample", "leg")}
    legs = given["pipe"][0].get("leg")
    if legs and station:
        pipe |= _place(pipe, legs, _feet(station))
    (sized,) = size(read(given | {"pipe": [pipe | {"design_thickness": thickness}]}), units).pipes
    return sized.holds


def _feet(text):
    return float(text.split()[0])


def _place(pipe, legs, feet):
    """The diameter of the leg at a place, and the nearest station on both sides of it there."""
    starts = [_feet(leg["at"]) for leg in legs]
    number = max(i for i, start in enumerate(starts) if start <= feet)
    found = {}
    if "host_diameter" in legs[number]:
        found["host_diameter"] = legs[number]["host_diameter"]
    if "station" in pipe:
        end = starts[number + 1] if number + 1 < len(starts) else 100.0
        along = [s for s in pipe["station"] if starts[number] <= _feet(s["at"]) <= end]
        before = [s for s in along if _feet(s["at"]) <= feet][-1:]
        after = [s for s in along if _feet(s["at"]) > feet][:1]
        if before or after:
            found["station"] = [*before, *after]
    return found


if __name__ == "__main__":
    found, accepted = failures(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    print(f"{accepted} of {sys.argv[1]} accepted, {len(found)} of them with a reading that fails")
    print(*found[:3], sep="\n")
    sys.exit(bool(found))
