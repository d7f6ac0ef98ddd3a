"""Random projects over the keys of a project file, and what each must come to, the other way.

The thickness is found by the printed equations (Najafi 2010, sec. 2.7; pressure part, SI constants
and the earlier edition from memory), solved by bisection; nothing of the package takes part in it.
Long run: `python tests/random_designs.py 20000 [SEED]` prints what disagrees, and the rate.
"""

import random
import sys
import time
from dataclasses import dataclass, replace
from math import ceil, exp, sqrt
from pathlib import Path

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1])]

from projects import toml

FULLY, PARTIALLY = "fully deteriorated", "partially deteriorated"
PSI = 4.4482216152605 / 645.16  # in MPa: lbf in N over square inches in mm2, both exact
# Each unit in the unit that designs are kept in here: m, MPa, kN/m3.
UNITS = {
    "length": {"in": 0.0254, "ft": 0.3048, "mm": 0.001, "m": 1.0, "cm": 0.01},
    "stress": {"psi": PSI, "ksi": 1000 * PSI, "kPa": 0.001, "MPa": 1.0, "psf": PSI / 144},
    "weight": {"pcf": 4.4482216152605 / 0.3048**3 / 1000, "kN/m^3": 1.0},
}


@dataclass(frozen=True)
class Design:
    """One pipe in m, MPa, kN/m3 and percent; `water` is the head over the invert."""

    fully: bool
    D: float
    q: float
    H: float
    water: float
    w: float
    E_s: float
    W_s: float
    E: float
    sigma: float
    tension: float
    creep: float
    creep_bending: float
    creep_tension: float
    N: float
    K: float
    nu: float
    step: float
    minimum: float = 0.0
    pressure: float = 0.0
    hole: float = 0.0
    vacuum: float = 0.0
    dry_case: bool = True
    earlier: bool = False
    short_term: bool = False
    system: str = "US"


def random_design(chance):
    """A pipe of possible sizes and loads, gravity or pressure."""
    D = chance.uniform(0.1, 2.5)
    pressed = chance.random() < 0.25
    return Design(
        fully=chance.random() < 0.5,
        D=D,
        q=chance.choice([0.0, chance.uniform(0.1, 9.9)]),
        H=chance.choice([chance.uniform(0.7, 3.0), chance.uniform(3.0, 25.0)]),
        water=chance.choice([0.0, chance.uniform(-2.0, 0.0), *[chance.uniform(0.05, 25.0)] * 6])
        if not pressed
        else chance.uniform(0.05, 20.0),
        w=chance.uniform(13, 23),
        E_s=chance.uniform(0.4, 20),
        W_s=chance.choice([0.0, chance.uniform(0.0001, 0.1)]),
        E=chance.uniform(800, 14_000),
        sigma=chance.uniform(15, 300),
        tension=chance.uniform(15, 150),
        creep=chance.uniform(20, 90),
        creep_bending=chance.uniform(20, 90),
        creep_tension=chance.uniform(20, 90),
        N=chance.uniform(1.5, 3.0),
        K=chance.uniform(4.0, 7.0),
        nu=chance.uniform(0.1, 0.45),
        step=chance.choice([0.0015, 0.0005, 0.001]),
        minimum=chance.choice([0.0, 0.0, 0.009]),
        pressure=chance.uniform(0.05, 1.0) if pressed else 0.0,
        hole=D * chance.uniform(0.02, 0.9) if pressed else 0.0,
        vacuum=chance.choice([0.0, 0.0, chance.uniform(0.001, 0.1)]),
        dry_case=chance.random() < 0.7,
        earlier=chance.random() < 0.3,
        short_term=chance.random() < 0.2,
        system=chance.choice(["US", "SI"]),
    )


def solved(passes, D):
    """Smallest wall that passes, from which every thicker one does."""
    low, high = D * 1e-9, D * 0.4999999
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (low, middle) if passes(middle) else (middle, high)
    return high


def thicknesses(x):
    """Required thickness in m by the name of each equation that applies.

    A sheet in US units has 0.433 psi/ft, 144 and 0.065/ft, one in SI 0.00981 MPa/m, 1000 and
    0.213/m, as the standard prints each; the numbers differ in the third digit.
    """
    us, D = x.system == "US", x.D
    head = (lambda h: 0.433 * (h / 0.3048) * PSI) if us else (lambda h: 0.00981 * h)
    E_L, d = x.E * x.creep / 100, x.q / 100
    sigma = x.sigma * (1 if x.short_term else x.creep_bending / 100)
    C = ((1 - d) / (1 + d) ** 2) ** 3
    P = head(max(x.water, 0)) + x.vacuum
    above = max(x.water - D, 0)
    found = {}
    if P > 0:
        found["X1.1"] = solved(
            lambda t: 2 * x.K * E_L / (1 - x.nu**2) / (D / t - 1) ** 3 * C / x.N >= P, D
        )
        if d > 0:
            found["X1.2"] = solved(
                lambda t: (
                    1.5 * d * (1 + d) * (D / t) ** 2 - 0.5 * (1 + d) * D / t <= sigma / (P * x.N)
                ),
                D,
            )
    if x.water <= 0 or (x.dry_case and not x.pressure):
        found["DR limit"] = D / 100
    if x.fully:
        soil = x.w * x.H / 1000
        if us:  # pcf times ft over 144
            soil = (x.w / UNITS["weight"]["pcf"]) * (x.H / 0.3048) / 144 * PSI
        R_w = max(1 - 0.33 * above / x.H, 0.67)
        B = 1 / (1 + 4 * exp(-0.065 * x.H / 0.3048 if us else -0.213 * x.H))
        q_t = head(above) + soil * R_w + x.W_s + x.vacuum

        def carried(t):
            root = 32 * R_w * B * x.E_s * E_L * (t / D) ** 3 / 12
            return C / x.N * sqrt(root) if x.earlier else sqrt(root * C) / x.N

        least = 0.093 * PSI if us else 0.00064
        found["X1.3"] = solved(lambda t: carried(t) >= q_t, D)
        found["X1.4"] = solved(lambda t: x.E * (t / D) ** 3 / 12 >= least, D)
    if x.pressure:
        found.update(_pressed(x))
    return found


def _pressed(x):
    """X1.5 to X1.7: the wall from which every thicker one passes what X1.5 directs it to."""
    D, tension = x.D, x.tension * x.creep_tension / 100
    # The pressure part knows one flexural strength: the long-term one.
    bending = x.sigma * x.creep_bending / 100
    ring = solved(lambda t: 2 * tension / ((D / t - 2) * x.N) >= x.pressure, D)
    if x.fully:
        return {"X1.7": ring}
    border = D * (x.hole / (1.83 * D)) ** 2
    plate = solved(
        lambda t: 5.33 / (D / t - 1) ** 2 * (D / x.hole) ** 2 * bending / x.N >= x.pressure, D
    )
    if plate > border:
        return {"X1.6": plate}
    return {"X1.7": ring} if ring <= border else {"X1.5": border}


def nominal(x, required):
    """The next step over the required wall and the owner's minimum, in m."""
    least = max(required, x.minimum)
    return ceil(least / x.step * (1 - 1e-9)) * x.step


def written(chance, x):
    """The project file of a design: units, datums and places of values drawn at random."""

    def number(value, kind):
        unit, size = chance.choice(list(UNITS[kind].items()))
        return f"{value / size!r} {unit}"

    pipe = {
        "condition": FULLY if x.fully else PARTIALLY,
        "host_diameter": number(x.D, "length"),
        "soil_unit_weight": number(x.w, "weight"),
        "soil_reaction_modulus": number(x.E_s, "stress"),
        "live_load": number(x.W_s, "stress") if x.W_s else "none",
    }
    level = chance.uniform(0, 300)
    elevation = {"invert_elevation": f"{level!r} m"}
    cover = chance.choice(
        [
            {"cover": number(x.H, "length")},
            {"invert_depth": number(x.H + x.D, "length")},
            {"ground_elevation": f"{level + x.H + x.D!r} m"} | elevation,
        ]
    )
    water = [
        {"groundwater_above_invert": number(x.water, "length")},
        {"groundwater_above_crown": number(x.water - x.D, "length")},
        {"groundwater_below_surface": number(x.H + x.D - x.water, "length")},
        {"groundwater_elevation": f"{level + x.water!r} m"} | elevation,
    ]
    if x.water <= 0:
        water.append({"groundwater": "none"})
    oval = [{"ovality": f"{x.q!r} %"}]
    if x.q:
        oval.append({"maximum_diameter": number(x.D * (1 + x.q / 100), "length")})
        oval.append({"minimum_diameter": number(x.D * (1 - x.q / 100), "length")})
    pipe |= cover | chance.choice(water) | chance.choice(oval)
    for key, value in (("internal_pressure", x.pressure), ("vacuum", x.vacuum)):
        pipe |= {key: number(value, "stress")} if value else {}
    if x.pressure and not x.fully:
        pipe["hole_diameter"] = number(x.hole, "length")
    resin = {
        "flexural_modulus": number(x.E, "stress"),
        "flexural_strength": number(x.sigma, "stress"),
        "tensile_strength": number(x.tension, "stress"),
        "thickness_step": number(x.step, "length"),
    }
    retentions = {"modulus": x.creep, "strength": x.creep_bending, "tensile": x.creep_tension}
    retentions = {f"{key}_retention": f"{value!r} %" for key, value in retentions.items()}
    criteria = {
        "safety_factor": x.N,
        "enhancement_factor": x.K,
        "poisson_ratio": x.nu,
        "dry_case": x.dry_case,
        "edition": "F1216-07a" if x.earlier else "F1216-07b",
        "x1_2_strength": "short-term" if x.short_term else "long-term",
        "minimum_thickness": number(x.minimum, "length"),
        "defaults": {},
    }
    # Some values stand in the criteria, for pipes and resins without their own.
    for key in ("soil_unit_weight", "soil_reaction_modulus", "live_load"):
        if chance.random() < 0.2:
            criteria["defaults"][key] = pipe.pop(key)
    if chance.random() < 0.2:
        criteria["defaults"] |= retentions
    else:
        resin |= retentions
    if chance.random() < 0.2:
        pipe["station"] = [{"at": "0 m"}, {"at": "9 m"}]
    return toml(pipe, resin, criteria, {"units": x.system}, drop=DROP)


DROP = ("host_diameter", "ovality", "cover", "groundwater_above_invert", "live_load")
DROP += ("soil_unit_weight", "soil_reaction_modulus")


def designed(text):
    """The first pipe of a project as the program sizes it: governing, thicknesses in m, status."""
    from linerdesign.interface import size
    from linerdesign.project.reading import parse

    found = size(parse(text.encode()))
    pipe, scale = found.pipes[0], 0.0254 if found.units == "US" else 0.001
    return pipe.governing, pipe.required_thickness * scale, pipe.nominal_thickness * scale, pipe


def disagreement(seed):
    """What the program and the other way disagree on for one random project, or nothing."""
    chance = random.Random(seed)
    x = random_design(chance)
    by_hand = thicknesses(x)
    required = max(by_hand.values())
    if required > 0.45 * x.D:  # hardly a bore is left; the program says so in its own way
        return ""
    governing, found, chosen, _ = designed(written(chance, x))
    if abs(found / required - 1) > 1e-9:
        return f"seed {seed}: required {found!r}, by hand {required!r} ({by_hand})"
    if by_hand[governing] < required * (1 - 1e-9):
        return f"seed {seed}: governing {governing}, by hand {by_hand}"
    if abs(chosen / nominal(x, required) - 1) > 1e-9:
        return f"seed {seed}: nominal {chosen!r}, by hand {nominal(x, required)!r}"
    return ""


# What makes a wall no thinner: the key of a design, and the factor that it is changed by.
THICKER = {
    "water": 1.3, "q": 1.3, "N": 1.2, "W_s": 1.5, "pressure": 1.2, "vacuum": 1.1, "D": 1.1,
    "E": 0.8, "creep": 0.8, "sigma": 0.8, "creep_bending": 0.8, "K": 0.8, "E_s": 0.8,
    "minimum": 1.5,
}  # fmt: skip


def thinner(seed):
    """A change that made the wall of one random gravity project thinner and should not, if any."""
    chance = random.Random(seed)
    x = random_design(chance)
    x = replace(x, pressure=0.0, hole=0.0, dry_case=True, water=abs(x.water), H=max(x.H, 1.0))
    key = chance.choice(list(THICKER))
    more = replace(x, **{key: getattr(x, key) * THICKER[key]})
    if more.vacuum > 0.1 or more.q >= 10 or max(thicknesses(more).values()) > 0.45 * more.D:
        return ""
    way = chance.random()
    before, after = (designed(written(random.Random(way), each)) for each in (x, more))
    if key == "D" and after[2] >= before[2]:
        return ""
    if after[1] < before[1] * (1 - 1e-9) or after[2] < before[2] * (1 - 1e-9):
        return f"seed {seed}: {key} {getattr(x, key)!r} times {THICKER[key]} gives a thinner wall"
    return ""


def rewritten(seed):
    """What changes where one random design is written in two ways, or nothing."""
    chance = random.Random(seed)
    x = random_design(chance)
    if max(thicknesses(x).values()) > 0.45 * x.D:
        return ""
    one, other = (designed(written(random.Random(seed + k), x)) for k in (1, 2))
    same = abs(one[1] / other[1] - 1) < 1e-9 and abs(one[2] / other[2] - 1) < 1e-9
    if same and one[0] == other[0] and one[3].status == other[3].status:
        return ""
    return f"seed {seed}: {one} in one way, {other} in another"


if __name__ == "__main__":
    count, first = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1
    begun, wrong = time.monotonic(), 0
    for seed in range(first, first + count):
        for check in (disagreement, rewritten, thinner):
            try:
                said = check(seed)
            except Exception as error:  # which is what the run is for
                said = f"seed {seed}: {check.__name__}: {type(error).__name__}: {error}"
            if said:
                wrong += 1
                print(said)
    rate = count / (time.monotonic() - begun)
    print(
        f"{count} projects from seed {first}: {wrong} disagreements, {rate:.0f} projects a second"
    )
    raise SystemExit(bool(wrong))
