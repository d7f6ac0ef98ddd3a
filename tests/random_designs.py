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

import random_ground
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
    """One pipe in m, MPa, kN/m3 and percent; `water` is the head over the invert.

    `load` and `soil` are what the project says in place of `W_s` and `E_s`, `more` the cover and
    water of a second station; `readings` says that diameters are read one by one.
    """

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
    wall: float = 0.0
    load: str | dict | None = None
    soil: str | dict | None = None
    sizes: tuple[float, ...] = ()
    least_q: float = 0.0
    most_ratio: float = 100.0
    above_ground: bool = False
    readings: bool = False
    more: tuple[float, float] | None = None

    @property
    def stations(self):
        """The pipe as it is at each station."""
        second = [replace(self, H=self.more[0], water=self.more[1])] if self.more else []
        return [self, *second]

    @property
    def required(self):
        """The required thickness of each equation, the largest of all stations."""
        found = [thicknesses(each) for each in self.stations]
        names = dict.fromkeys(name for each in found for name in each)
        return {name: max(each.get(name, 0.0) for each in found) for name in names}


def random_design(chance):
    """A pipe of possible sizes and loads, gravity or pressure."""
    D = chance.uniform(0.1, 2.5)
    pressed = chance.random() < 0.35
    x = Design(
        fully=chance.random() < 0.5,
        D=D,
        q=chance.choice([0.0, chance.uniform(0.1, 9.9)]),
        H=chance.choice([chance.uniform(0.3, 1), chance.uniform(1, 4), chance.uniform(4, 25)]),
        water=chance.choice([0.0, chance.uniform(-2.0, 0.0), *[chance.uniform(0.05, 25.0)] * 6])
        if not pressed
        else chance.choice([chance.uniform(0.01, 0.3), chance.uniform(0.05, 20.0)]),
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
        pressure=chance.uniform(0.05, 2.0) if pressed else 0.0,
        hole=D * chance.choice([chance.uniform(0.02, 0.4), chance.uniform(0.3, 1.0)])
        if pressed
        else 0.0,
        vacuum=chance.choice([0.0, 0.0, chance.uniform(0.001, 0.1)]),
        dry_case=chance.random() < 0.7,
        earlier=chance.random() < 0.3,
        short_term=chance.random() < 0.2,
        system=chance.choice(["US", "SI"]),
        wall=chance.choice([0.0, 0.0, chance.uniform(0.005, 0.25)]),
        sizes=tuple(sorted(chance.uniform(0.002, 0.15) for _ in range(chance.randint(1, 60))))
        if chance.random() < 0.25
        else (),
        least_q=chance.choice([0.0, 0.0, chance.uniform(0.5, 5)]),
        most_ratio=chance.choice([100.0, 100.0, chance.uniform(40, 120)]),
        above_ground=pressed and chance.random() < 0.2,
        readings=chance.random() < 0.15,
    )
    if x.above_ground:
        return replace(x, water=0.0, wall=0.0)
    if chance.random() < 0.2:
        return replace(x, more=(chance.uniform(0.3, 25), chance.uniform(-1, 25)))
    if x.fully and chance.random() < 0.75:
        load, W_s = random_ground.live_load(chance, x.H, D, x.system)
        x = replace(x, load=load, W_s=W_s)
    if x.fully and chance.random() < 0.75:
        soil, E_s = random_ground.soil(chance, x.H, D, x.wall, x.system)
        x = replace(x, soil=soil, E_s=E_s)
    return x


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
    E_L, d = x.E * x.creep / 100, max(x.q, x.least_q) / 100
    sigma = x.sigma * (1 if x.short_term else x.creep_bending / 100)
    C = ((1 - d) / (1 + d) ** 2) ** 3
    P = head(max(x.water, 0)) + x.vacuum
    above = max(x.water - D - x.wall, 0)
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
    if not x.above_ground and (x.water <= 0 or (x.dry_case and not x.pressure)):
        found["DR limit"] = D / x.most_ratio
    if x.fully and not x.above_ground:
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
    if x.sizes:  # the largest of them where none is enough
        return min([size for size in x.sizes if size >= least * (1 - 1e-9)], default=x.sizes[-1])
    return ceil(least / x.step * (1 - 1e-9)) * x.step


def written(chance, x, more=None):
    """The project file of a design: units, datums and places of values drawn at random.

    `more` are datums in place of those drawn, and other keys of the pipe.
    """

    def number(value, kind):
        unit, size = chance.choice(list(UNITS[kind].items()))
        return f"{value / size!r} {unit}"

    pipe = {
        "condition": FULLY if x.fully else PARTIALLY,
        "soil_unit_weight": number(x.w, "weight"),
        "soil_reaction_modulus": x.soil or number(x.E_s, "stress"),
        "live_load": x.load or (number(x.W_s, "stress") if x.W_s else "none"),
    }
    if x.wall:
        pipe["host_wall"] = number(x.wall, "length")
    level, crown = chance.uniform(0, 300), x.D + x.wall
    elevation = {"invert_elevation": f"{level!r} m"}

    def covers(x):
        return [
            {"cover": number(x.H, "length")},
            {"invert_depth": number(x.H + crown, "length")},
            {"ground_elevation": f"{level + x.H + crown!r} m"} | elevation,
        ]

    def waters(x):
        return [
            {"groundwater_above_invert": number(x.water, "length")},
            {"groundwater_above_crown": number(x.water - crown, "length")},
            {"groundwater_below_surface": number(x.H + crown - x.water, "length")},
            {"groundwater_elevation": f"{level + x.water!r} m"} | elevation,
            *([{"groundwater": "none"}] if x.water <= 0 and not x.more else []),
        ]

    if more is None:
        pipe |= _section(chance, x, number)
    if more is not None:
        pipe |= more
    elif x.above_ground:
        for key in ("soil_unit_weight", "soil_reaction_modulus", "live_load"):
            del pipe[key]
        pipe["above_ground"] = True
    elif x.more or chance.random() < 0.2:
        one, other = (chance.randrange(len(each(x))) for each in (covers, waters))
        places = zip("09", (x.stations * 2)[:2], strict=True)
        pipe["station"] = [
            {"at": f"{at} m"} | covers(each)[one] | waters(each)[other] for at, each in places
        ]
    else:
        pipe |= chance.choice(covers(x)) | chance.choice(waters(x))
    for key, value in (("internal_pressure", x.pressure), ("vacuum", x.vacuum)):
        pipe |= {key: number(value, "stress")} if value else {}
    if x.pressure and not x.fully:
        pipe["hole_diameter"] = number(x.hole, "length")
    resin = {
        "flexural_modulus": number(x.E, "stress"),
        "flexural_strength": number(x.sigma, "stress"),
        "tensile_strength": number(x.tension, "stress"),
    }
    if x.sizes:
        resin["thicknesses"] = [number(size, "length") for size in x.sizes]
        chance.shuffle(resin["thicknesses"])
    else:
        resin["thickness_step"] = number(x.step, "length")
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
        "minimum_ovality": f"{x.least_q!r} %",
        "maximum_dimension_ratio": x.most_ratio,
        "defaults": {},
    }
    # Some values stand in the criteria, for pipes and resins without their own.
    for key in ("soil_unit_weight", "soil_reaction_modulus", "live_load"):
        if key in pipe and not isinstance(pipe[key], dict) and chance.random() < 0.2:
            criteria["defaults"][key] = pipe.pop(key)
    if chance.random() < 0.2:
        criteria["defaults"] |= retentions
    else:
        resin |= retentions
    return toml(pipe, resin, criteria, {"units": x.system}, drop=DROP)


def _section(chance, x, number):
    """Diameter and ovality of the host, each in one of their ways."""
    if x.readings and x.q:  # their mean is D, and the largest is the farthest from it
        shares = (1 + x.q / 100, 1 - x.q / 300, 1 - x.q / 300, 1 - x.q / 300)
        readings = [number(x.D * share, "length") for share in shares]
        chance.shuffle(readings)
        return {"diameters": readings}
    ends = {
        "maximum_diameter": number(x.D * (1 + x.q / 100), "length"),
        "minimum_diameter": number(x.D * (1 - x.q / 100), "length"),
    }
    ways = [{key: end} for key, end in ends.items()] if x.q else []
    less = number(x.D * (1 - x.q / 200), "length")
    both = [ends, ends | {"minimum_diameter": less}] if x.q else []
    oval = chance.choice([{"ovality": f"{x.q!r} %"}, *ways, *both])
    return {"host_diameter": number(x.D, "length")} | oval


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
    by_hand = x.required
    required = max(by_hand.values(), default=0.0)
    if max(required, nominal(x, required)) > 0.45 * x.D:
        return ""  # hardly a bore is left; the program says so in its own way
    governing, found, chosen, pipe = designed(written(chance, x))
    if abs(found / required - 1) > 1e-9:
        return f"seed {seed}: required {found!r}, by hand {required!r} ({by_hand})"
    if by_hand[governing] < required * (1 - 1e-9):
        return f"seed {seed}: governing {governing}, by hand {by_hand}"
    if abs(chosen / nominal(x, required) - 1) > 1e-9:
        return f"seed {seed}: nominal {chosen!r}, by hand {nominal(x, required)!r}"
    passes = chosen >= required * (1 - 1e-9)
    if all(check.passes for check in pipe.checks) != passes:
        return f"seed {seed}: wall {chosen!r}, required {required!r}, checks {pipe.checks}"
    if x.pressure and not x.fully:
        return ""  # three answers by the size of the hole, each with its own factor
    most, factor = least_factor(x, chosen), pipe.lowest_safety_factor
    if factor is None or most is None:
        return "" if factor == most else f"seed {seed}: factor {factor!r}, by hand {most!r}"
    if abs(factor / most - 1) > 1e-7:
        return f"seed {seed}: factor {factor!r}, by hand {most!r}"
    return ""


FACTORED = ("X1.1", "X1.2", "X1.3", "X1.7")


def least_factor(x, wall):
    """The largest N that the wall would still pass with; None where no N makes it fail."""

    def passes(N):
        found = replace(x, N=N).required
        return max((found[name] for name in FACTORED if name in found), default=0.0) <= wall

    low, high = 1e-6, 1e9
    if passes(high):
        return None
    for _ in range(70):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if passes(middle) else (low, middle)
    return low


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
    x = replace(x, load=None, soil=None, above_ground=False, more=None)
    key = chance.choice(list(THICKER))
    more = replace(x, **{key: getattr(x, key) * THICKER[key]})
    thickest = max(thicknesses(more).values())
    if more.vacuum > 0.1 or more.q >= 10 or max(thickest, nominal(more, thickest)) > 0.45 * more.D:
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
    required = max(x.required.values(), default=0.0)
    if max(required, nominal(x, required)) > 0.45 * x.D:
        return ""
    one, other = (designed(written(random.Random(seed + k), x)) for k in (1, 2))
    same = abs(one[1] / other[1] - 1) < 1e-9 and abs(one[2] / other[2] - 1) < 1e-9
    if same and one[0] == other[0] and one[3].status == other[3].status:
        return ""
    return f"seed {seed}: {one} in one way, {other} in another"


def delivered(tube, wall, D):
    """What a tube of this diameter leaves in a host: as much wall, spread further."""
    if tube * 1.005 >= D:
        return wall
    area = wall * (tube - wall)
    return solved(lambda t: t * (D - t) >= area, D)


def legged(seed):
    """Where a line with legs of other diameters and bends differs from its legs by hand, if any."""
    chance = random.Random(seed)
    x = random_design(chance)
    x = replace(x, load=None, soil=None, above_ground=False, more=None, pressure=0.0, hole=0.0)
    x = replace(x, readings=False, water=x.water if x.water else 1.0)
    required = max(x.required.values(), default=0.0)
    wall = nominal(x, required)
    if max(required, wall) > 0.3 * x.D:
        return ""
    widths = [chance.choice([x.D, x.D * chance.uniform(1, 1.6)]) for _ in range(3)]
    radii = [chance.choice([0.0, D * chance.uniform(0.6, 6)]) for D in widths]
    legs = []
    for D, radius in zip(widths, radii, strict=True):
        leg = {"host_diameter": f"{D!r} m"}
        bend = {"bend": f"{chance.uniform(5, 90)!r} deg", "bend_radius": f"{radius!r} m"}
        legs.append(leg | bend if radius else leg)
    datums = {"cover": f"{x.H!r} m", "groundwater_above_invert": f"{x.water!r} m"}
    datums |= {"ovality": f"{x.q!r} %", "host_diameter": f"{x.D!r} m"}
    text = written(chance, x, datums | {"leg": legs})
    found = pipe_data(text)["legs"]
    for each, D, radius in zip(found, widths, radii, strict=True):
        least = delivered(min(widths), wall, D) / (1 + D / (2 * radius) if radius else 1)
        by_hand = max(replace(x, D=D).required.values())
        if max(least, by_hand) > 0.45 * D:
            continue
        scale = {"in": 0.0254, "mm": 0.001}
        left, needed = (
            each[key]["value"] * scale[each[key]["unit"]]
            for key in ("least_thickness", "required_thickness")
        )
        if abs(left / least - 1) > 1e-9 or abs(needed / by_hand - 1) > 1e-9:
            return f"seed {seed}: {left!r} of {needed!r}, by hand {least!r} of {by_hand!r}"
        if each["passes"] != (least >= max(by_hand, x.minimum) * (1 - 1e-9)):
            return f"seed {seed}: leg {each}, by hand {least!r} of {by_hand!r}"
    return ""


def pipe_data(text):
    """The data of the first pipe of a project."""
    from linerdesign.interface import size
    from linerdesign.project.reading import parse

    return size(parse(text.encode())).data["pipes"][0]


CHECKS = (disagreement, rewritten, thinner, legged)

if __name__ == "__main__":
    count, first = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1
    begun, wrong = time.monotonic(), 0
    for seed in range(first, first + count):
        for check in CHECKS:
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
