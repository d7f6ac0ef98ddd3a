"""Live loads and soils in words, drawn at random, and what each comes to, worked the other way.

Tables are written out again, surface loads integrated from the point load of Boussinesq, areas of
wheels counted wheel by wheel. H is in m, results in MPa. Rules and tables from memory, like those
of the package; nothing of it takes part.
"""

from itertools import pairwise
from math import pi

import numpy as np

FOOT, INCH = 0.3048, 0.0254
PSI = 4.4482216152605 / 645.16
# What a sheet of each system makes of a psi that a rule or a table by cover gives: six figures.
OF_RULES = {"US": PSI, "SI": 0.00689476}
POUND = 4.4482216152605e-6  # in MN

H_20_PSF = ((1, 1800), (2, 800), (3, 600), (4, 400), (5, 250), (6, 200), (7, 175), (8, 100))
H_25_PSF = ((1, 2280), (2, 1150), (3, 720), (4, 470), (5, 330), (6, 240), (7, 180), (8, 140))
E_80_PSF = ((2, 3800), (5, 2400), (8, 1600), (10, 1100), (12, 800), (15, 600), (20, 300), (30, 100))
H_20_PSI = zip(range(1, 9), (12.5, 5.56, 4.17, 2.78, 1.74, 1.39, 1.22, 0.69), strict=True)
AIRPORT = (13.14, 12.28, 11.27, 10.09, 8.79, 7.85, 6.93)
AIRPORT += (6.09, 4.76, 3.06, 2.29, 1.91, 1.53, 1.14, 1.05)
E_80_PSI = (26.39, 23.61, 18.4, 16.67, 15.63, 12.15, 11.11)
E_80_PSI += (7.64, 5.56, 4.17, 3.47, 2.78, 2.08, 1.91, 1.74, 1.39, 1.04, 0.69)
BY_TWO = (*range(2, 9), *range(10, 31, 2))
# (method, table): rows in ft and psi, and whether a load beyond the last row is neglected.
TABLES = {
    ("H-20 table", "in psf"): ([(h, p / 144) for h, p in H_20_PSF], True),
    ("H-20 table", "in psi"): (list(H_20_PSI), True),
    ("H-25 table", ""): ([(h, p / 144) for h, p in (*H_25_PSF, (10, 110))], True),
    ("E-80 table", "in psf"): ([(h, p / 144) for h, p in E_80_PSF], True),
    ("E-80 table", "in psi"): (list(zip(BY_TWO, E_80_PSI, strict=True)), True),
    ("airport table", ""): (list(zip(BY_TWO[:15], AIRPORT, strict=True)), False),
}


def between(x, rows):
    """On the straight line between the rows around x, the end rows beyond."""
    for (low, first), (high, last) in pairwise(rows):
        if x <= high:
            return first + (last - first) * (max(x, low) - low) / (high - low)
    return rows[-1][1]


def of_table(rows, neglected, H):
    """Pressure in psi of a table by cover; None where the table does not reach."""
    ft = H / FOOT
    if ft < rows[0][0] or (not neglected and ft > rows[-1][0]):
        return None
    return 0.0 if ft > rows[-1][0] * (1 + 1e-9) else between(ft, rows)


def wheels(load, places, patch):
    """Pressure in psi of wheels that stand in a rectangle, once their patches meet.

    `places` are the distances of the next wheel across and along, `patch` the sides of one patch
    at the pipe, all in ft.
    """
    count, area = 1, 144.0
    for distance, side in zip(places, patch, strict=True):
        together = side > distance
        count *= 2 if together else 1
        area *= side + distance if together else side
    return load * count / area


def design_vehicle(H, D, factor=1.15, presence=1.2):
    """HL-93 without lane load, in psi: the larger of truck and tandem, with their impact."""
    ft = H / FOOT
    patch = (20 / 12 + factor * ft + 0.06 * D / FOOT, 10 / 12 + factor * ft)
    worst = max(wheels(16_000, (6, 14), patch), wheels(12_500, (6, 4), patch))
    return worst * (1 + 0.33 * max(1 - ft / 8, 0)) * presence


def older_rule(H):
    """A wheel on a square of 1.75 H in psi, with the impact of highways by cover."""
    ft = H / FOOT
    impact = 1.5 if ft <= 1 else 1.35 if ft <= 2 else 1.15 if ft <= 3 else 1
    return wheels(16_000 * impact, (6, 14), (1.75 * ft, 1.75 * ft))


NODES, WEIGHTS = np.polynomial.legendre.leggauss(60)


def share(length, width, H):
    """Share of the pressure on a rectangle that arrives below its centre: points, added up.

    Sheets print pi as 3.14159, and have it there.
    """
    x, y = ((NODES + 1) * side / 4 for side in (length, width))
    point = 3 * H**3 / (2 * pi * (x[:, None] ** 2 + y[None, :] ** 2 + H**2) ** 2.5)
    quarter = float(WEIGHTS @ point @ WEIGHTS) * length * width / 16
    return 4 * quarter * pi / 3.14159


def railway(H, system):
    """Cooper E-80 on 20 by 8 ft, impact falling from 40 % to none at 10 ft."""
    load = 13.8888889 * PSI if system == "US" else 0.0957605  # as a sheet of each system has it
    return share(20 * FOOT, 8 * FOOT, H) * load * (1 + 0.4 * max(1 - H / FOOT / 10, 0))


def live_load(chance, H, D, system):
    """A live load as a project may state it, and its pressure; a pressure itself is `None`."""
    reaching, psi = {}, OF_RULES[system]
    for (method, table), (rows, neglected) in TABLES.items():
        pressure = of_table(rows, neglected, H)
        if pressure is not None:
            named = {"method": method, "table": table} if table else method
            reaching[method, table] = named, pressure * psi
    feet, width, impact = chance.uniform(1, 20), chance.uniform(1, 20), chance.uniform(1, 1.5)
    pounds = chance.uniform(1e3, 5e4)
    single = {"method": "concentrated load", "load": f"{pounds!r} lbf", "impact_factor": impact}
    long = FOOT * 3
    if chance.random() < 0.5:
        long = FOOT * feet
        single["load_length"] = f"{feet!r} ft"
    spread = {
        "method": "distributed load",
        "load_pressure": f"{pounds / 100!r} psf",
        "load_length": f"{feet!r} ft",
        "load_width": f"{width!r} ft",
        "impact_factor": impact,
    }
    factor, presence = chance.uniform(1, 1.75), chance.uniform(0.85, 1.2)
    own = {"method": "HL-93", "distribution_factor": factor, "multiple_presence": presence}
    under = share(FOOT * feet, FOOT * width, H) * impact * pounds / 100 / 144 * PSI
    return chance.choice(
        [
            *reaching.values(),
            ("HL-93", design_vehicle(H, D) * psi),
            (own, design_vehicle(H, D, factor, presence) * psi),
            ("1.75 H rule", older_rule(H) * psi),
            ("E-80 Boussinesq", railway(H, system)),
            (single, share(long, D, H) * impact * pounds * POUND / (long * D)),
            (spread, under),
        ]
    )


# Howard's moduli in psi: dumped, slight, moderate, high; then those by depth in bands of 5 ft.
COMPACTIONS = ("dumped", "slight", "moderate", "high")
HOWARD = {
    ("CL", "ml", "lean clay", "silt", "CL-ML", "silty clay"): (50, 200, 400, 1000),
    ("SM", "sc", "silty sand", "clayey gravel", "GM"): (100, 400, 1000, 2000),
    ("SW", "gp", "clean gravel", "well graded sand"): (200, 1000, 2000, 3000),
    ("crushed rock", "crushed stone"): (1000, 3000, 3000, 3000),
}
PROCTOR = ("85 %", "90 %", "95 %", "100 %")
BY_DEPTH = {
    ("CL", "ML", "silt", "lean clay"): (
        (500, 700, 1000, 1500),
        (600, 1000, 1400, 2000),
        (700, 1200, 1600, 2300),
        (800, 1300, 1800, 2600),
    ),
    ("SM", "SC", "silty sand"): (
        (600, 1000, 1200, 1900),
        (900, 1400, 1800, 2700),
        (1000, 1500, 2100, 3200),
        (1100, 1600, 2400, 3700),
    ),
    ("SP", "gw", "clean sand"): (
        (700, 1000, 1600, 2500),
        (1000, 1500, 2200, 3300),
        (1050, 1600, 2400, 3600),
        (1100, 1700, 2500, 3800),
    ),
}
NATIVE = {
    ("2 blows", "very loose granular", "very soft cohesive"): 200,
    ("3 blows/ft", "4 blows", "soft cohesive"): 700,
    ("5 blows", "loose granular", "medium cohesive", "8 blows/ft"): 1500,
    ("9 blows", "slightly compact granular", "stiff cohesive"): 3000,
    ("30 blows", "compact granular", "very stiff cohesive"): 5000,
    ("31 blows", "dense granular", "hard cohesive"): 10_000,
    ("51 blows", "very dense granular", "very hard cohesive"): 20_000,
    ("rock",): 50_000,
}
COMBINED = {
    "1996": (
        (1.5, 2, 2.5, 3, 4, 5),
        {
            0.1: (0.15, 0.3, 0.6, 0.8, 0.9, 1),
            0.2: (0.3, 0.45, 0.7, 0.85, 0.92, 1),
            0.4: (0.5, 0.6, 0.8, 0.9, 0.95, 1),
            0.6: (0.7, 0.8, 0.9, 0.95, 1, 1),
            0.8: (0.85, 0.9, 0.95, 0.98, 1, 1),
            1: (1, 1, 1, 1, 1, 1),
            1.5: (1.3, 1.15, 1.1, 1.05, 1, 1),
            2: (1.5, 1.3, 1.15, 1.1, 1.05, 1),
            3: (1.75, 1.45, 1.3, 1.2, 1.08, 1),
            5: (2, 1.6, 1.4, 1.25, 1.1, 1),
        },
    ),
    "2005": (
        (1.25, 1.5, 1.75, 2, 2.5, 3, 4, 5),
        {
            0.005: (0.02, 0.05, 0.08, 0.12, 0.23, 0.43, 0.72, 1),
            0.01: (0.03, 0.07, 0.11, 0.15, 0.27, 0.47, 0.74, 1),
            0.02: (0.05, 0.1, 0.15, 0.2, 0.32, 0.52, 0.77, 1),
            0.05: (0.1, 0.15, 0.2, 0.27, 0.38, 0.58, 0.8, 1),
            0.1: (0.15, 0.2, 0.27, 0.35, 0.46, 0.65, 0.84, 1),
            0.2: (0.25, 0.3, 0.38, 0.47, 0.58, 0.75, 0.88, 1),
            0.4: (0.45, 0.5, 0.56, 0.64, 0.75, 0.85, 0.93, 1),
            0.6: (0.65, 0.7, 0.75, 0.81, 0.87, 0.94, 0.98, 1),
            0.8: (0.84, 0.87, 0.9, 0.93, 0.96, 0.98, 1, 1),
            1: (1, 1, 1, 1, 1, 1, 1, 1),
            1.5: (1.4, 1.3, 1.2, 1.12, 1.06, 1.03, 1, 1),
            2: (1.7, 1.5, 1.4, 1.3, 1.2, 1.1, 1.05, 1),
            3: (2.2, 1.8, 1.65, 1.5, 1.35, 1.2, 1.1, 1),
            5: (3, 2.2, 1.9, 1.7, 1.5, 1.3, 1.15, 1),
        },
    ),
}


def soil(chance, H, D, wall, system):
    """A soil as a project may state it, and its modulus; `wall` is that of the host."""
    fill, modulus = _by_compaction(chance)
    if H / FOOT < 20 and chance.random() < 0.5:
        fill, modulus = _by_depth(chance, H)
        modulus *= OF_RULES[system] / PSI
    if chance.random() < 0.6:
        return fill, modulus * PSI
    edition, (widths, rows) = chance.choice(list(COMBINED.items()))
    names, native = chance.choice(list(NATIVE.items()))
    name = chance.choice(names)
    if native / modulus < min(rows):
        name, native = f"{0.7 * modulus!r} psi", 0.7 * modulus
    outside = D + 2 * wall
    width = outside * chance.uniform(widths[0], 6)
    # Along the widths in every row, then along the rows.
    along = [
        (ratio, between(width / outside, list(zip(widths, row, strict=True))))
        for ratio, row in rows.items()
    ]
    stated = {
        "trench": chance.choice([fill, f"{modulus!r} psi"]),
        "native": name,
        "trench_width": f"{width!r} m",
        "combining_table": edition,
    }
    return stated, between(native / modulus, along) * modulus * PSI


def _by_compaction(chance):
    names, moduli = chance.choice(list(HOWARD.items()))
    place = chance.randrange(4)
    said = chance.choice(["{}, {}", "{}, {} compaction", "{} {} compaction"])
    return said.format(chance.choice(names), COMPACTIONS[place]), moduli[place]


def _by_depth(chance, H):
    names, bands = chance.choice(list(BY_DEPTH.items()))
    place, ft = chance.randrange(4), H / FOOT
    modulus = bands[0 if ft <= 5 else 1 if ft <= 10 else 2 if ft <= 15 else 3][place]
    return f"{chance.choice(names)}, {PROCTOR[place]}", modulus
