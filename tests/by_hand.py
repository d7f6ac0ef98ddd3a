"""Calculations made the other way: the printed equations, a hair-thin search for t, slips by hand.

Nothing of the package is used here. Every equation stands as the book prints it (Najafi 2010,
sec. 2.7, applying ASTM F1216-09; SI constants and the earlier edition from memory) and is solved
by bisection on the thickness.
"""

from dataclasses import dataclass
from math import exp, sqrt

PSI_IN_MPA = 4.4482216152605 / 645.16  # lbf in N, and in2 in mm2, both exact


@dataclass(frozen=True)
class Inputs:
    """One pipe in US units (in, ft, psi, pcf) or SI units (mm, m, MPa, kN/m3)."""

    D: float
    q: float
    h_invert: float
    E: float
    retention: float
    sigma: float
    strength_retention: float
    H: float = 10.0
    w: float = 120.0
    E_s: float = 1000.0
    W_s: float = 0.0
    N: float = 2.0
    K: float = 7.0
    nu: float = 0.3
    fully: bool = True
    si: bool = False
    step: float = 1.5 / 25.4
    short_term_strength: bool = False

    @property
    def rise(self):
        return self.D / (1000 if self.si else 12)


def solve(passes, D):
    """Smallest t that passes, by bisection; the wall is thinner than half the pipe."""
    low, high = D * 1e-7, D * 0.499
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (low, middle) if passes(middle) else (middle, high)
    return high


def thicknesses(x: Inputs, *slips: str, rounded=float):
    """Every line of the calculation, with these slips made in it.

    `rounded` is what a value is carried on as, such as its number to three figures.
    """

    def has(name):
        return name in slips

    D = x.D
    q = x.q * (2 if has("ovality-doubled") else 0 if has("ovality-omitted") else 1)
    d = q / 100
    C = rounded(((1 - d) / (1 + d) ** 2) ** (1 if has("ovality-factor-not-cubed") else 3))
    N = 1.0 if has("safety-factor-omitted") else 1.5 if has("safety-factor-1.5") else x.N
    K = 1.0 if has("enhancement-omitted") else x.K
    nu = 0.0 if has("poisson-omitted") else x.nu
    E_L = x.E * x.retention / 100
    if has("retention-twice"):
        E_L = E_L * x.retention / 100
    if has("short-term-modulus"):
        E_L = x.E
    E_L = rounded(E_L)
    strength = x.sigma * x.strength_retention / 100
    short = has("short-term-strength") or (x.short_term_strength and not has("long-term-strength"))
    if short:
        strength = x.sigma
    strength = rounded(strength)
    water, soil_part = (0.00981, 1000.0) if x.si else (0.433, 144.0)
    h = x.h_invert
    if has("depth-to-water-as-head"):
        h = x.H + x.rise - x.h_invert
    H_w = max(h - x.rise, 0.0)
    if has("head-from-invert"):
        H_w = max(h, 0.0)
    H_w = rounded(H_w)
    P = rounded(water * max(max(x.h_invert - x.rise, 0) if has("head-from-crown") else h, 0.0))
    lines = {"C": C, "P": P, "E_L": E_L, "sigma_L": strength}
    found = {}
    if P > 0:
        less = 0 if has("dimension-ratio-not-less-one") else 1
        found["X1.1"] = solve(
            lambda t: 2 * K * E_L / (1 - nu**2) / (D / t - less) ** 3 * C / N >= P, D
        )
        if d > 0:
            found["X1.2"] = solve(
                lambda t: (
                    1.5 * d * (1 + d) * (D / t) ** 2 - 0.5 * (1 + d) * (D / t) <= strength / (P * N)
                ),
                D,
            )
    head_of_limit = max(x.h_invert - x.rise, 0) if has("head-from-crown") else x.h_invert
    if head_of_limit <= 0:
        found["DR limit"] = D / 100
    if x.fully and not has("partial-for-full"):
        H = x.H + x.rise if has("cover-to-invert") else x.H
        R_w = 1 - 0.33 * H_w / H
        if not has("buoyancy-not-floored"):
            R_w = max(R_w, 0.67)
        if has("buoyancy-omitted"):
            R_w = 1.0
        constant = 0.213 if x.si != has("elastic-support-units") else 0.065
        R_w = rounded(R_w)
        B = rounded(1 / (1 + 4 * exp(-constant * H)))
        W_s = x.W_s * (0 if has("live-load-omitted") else 2 if has("live-load-doubled") else 1)
        weight = 1.0 if has("gross-soil-weight") else R_w
        q_t = rounded(water * H_w + x.w * H * weight / soil_part + W_s)
        E_s = x.E_s * (PSI_IN_MPA if has("soil-modulus-units") else 1)
        lines |= {"H_w": H_w, "R_w": R_w, "B'": B, "q_t": q_t}
        inside = K if has("enhancement-in-soil-buckling") else 1.0

        def soil(t):
            root = 32 * R_w * B * E_s * E_L * inside * (t**3 / 12) / D**3
            if has("other-edition"):
                return C / N * sqrt(root)
            return 1 / N * sqrt(root * C)

        found["X1.3"] = solve(lambda t: soil(t) >= q_t, D)
        modulus = E_L if has("long-term-modulus-in-stiffness") else x.E
        least = 0.00064 if x.si else 0.093
        found["X1.4"] = solve(lambda t: modulus * (t**3 / 12) / D**3 >= least, D)
    for slip in slips:
        found.pop(slip.removeprefix("check-skipped "), None)
    if has("outside-diameter"):
        found = {k: D / (D / t - 2) if k != "DR limit" else t for k, t in found.items()}
    if has("inch-as-25-mm"):
        found = {name: t * 25 / 25.4 for name, t in found.items()}
    found = {name: rounded(t) for name, t in found.items()}
    required = max(found.values(), default=0.0)
    if has("rounded-down"):
        required = required // x.step * x.step
    return lines | {f"t {name}": t for name, t in found.items()} | {"required": required}


SLIPS = [
    "ovality-omitted",
    "ovality-doubled",
    "other-edition",
    "short-term-modulus",
    "retention-twice",
    "long-term-modulus-in-stiffness",
    "short-term-strength",
    "long-term-strength",
    "head-from-crown",
    "head-from-invert",
    "depth-to-water-as-head",
    "cover-to-invert",
    "enhancement-omitted",
    "enhancement-in-soil-buckling",
    "poisson-omitted",
    "safety-factor-omitted",
    "safety-factor-1.5",
    "buoyancy-omitted",
    "buoyancy-not-floored",
    "elastic-support-units",
    "live-load-omitted",
    "live-load-doubled",
    "dimension-ratio-not-less-one",
    "inch-as-25-mm",
    "partial-for-full",
    "rounded-down",
    "ovality-factor-not-cubed",
    "gross-soil-weight",
    "soil-modulus-units",
    "outside-diameter",
    *(f"check-skipped {number}" for number in ("X1.1", "X1.2", "X1.3", "X1.4")),
]


def random_pipe(chance):
    """A pipe of usual size, load and material; three in ten in SI units."""
    si = chance.random() < 0.3
    length, depth, stress, weight = (25.4, 0.3048, 0.00689476, 0.157087) if si else (1, 1, 1, 1)

    def digits(value, figures=4):
        return float(f"{value:.{figures}g}")

    D = chance.choice([6, 8, 10, 12, 15, 18, 21, 24, 27, 30, 36, 42, 48, 54, 60, 72])
    H = chance.uniform(3, 25)
    return Inputs(
        D=digits(D * length),
        q=digits(chance.choice([1, 2, 3, 4, 5, 6, 8, chance.uniform(1, 9)]), 3),
        h_invert=digits(chance.uniform(0.3, 1.05) * (H + D / 12) * depth),
        E=digits(chance.uniform(250e3, 500e3) * stress),
        retention=float(chance.choice([50, 50, 50, 40, 45, 55, 60])),
        sigma=digits(chance.uniform(4500, 7500) * stress),
        strength_retention=float(chance.choice([50, 50, 40, 45])),
        H=digits(H * depth),
        w=digits(chance.choice([110, 115, 120, 125, 130]) * weight),
        E_s=digits(chance.choice([500, 700, 1000, 1000, 1500]) * stress),
        W_s=digits(chance.uniform(0.1, 5) * stress),
        fully=chance.random() < 0.65,
        si=si,
        step=1.5 if si else 1.5 / 25.4,
        short_term_strength=chance.random() < 0.1,
    )


def _toml(value):
    return str(value).lower() if isinstance(value, bool) else repr(value)


def project(x: Inputs, stated: dict, steps: dict | None = None, **criteria) -> str:
    """The project file of one pipe with stated values."""
    us, metric = ("in", "ft", "psi", "pcf"), ("mm", "m", "MPa", "kN/m^3")
    length, depth, stress, weight = metric if x.si else us
    soil = f"""cover = "{x.H!r} {depth}"
soil_unit_weight = "{x.w!r} {weight}"
soil_reaction_modulus = "{x.E_s!r} {stress}"
live_load = "{x.W_s!r} {stress}"
"""
    lines = "".join(f'{key} = "{value}"\n' for key, value in stated.items())
    shown = ", ".join(f'"{key}" = "{value}"' for key, value in (steps or {}).items())
    # The equations above are the standard's wording: the DR limit without groundwater only.
    wording = {"dry_case": False} | criteria
    extra = "".join(f"{key} = {_toml(value)}\n" for key, value in wording.items())
    strength = "short-term" if x.short_term_strength else "long-term"
    return f"""[project]
title = "Harrowmere"
units = "{"SI" if x.si else "US"}"
[criteria]
safety_factor = {x.N!r}
enhancement_factor = {x.K!r}
poisson_ratio = {x.nu!r}
x1_2_strength = "{strength}"
{extra}[[resin]]
name = "Felt"
flexural_modulus = "{x.E!r} {stress}"
flexural_strength = "{x.sigma!r} {stress}"
modulus_retention = "{x.retention!r} %"
strength_retention = "{x.strength_retention!r} %"
[[pipe]]
name = "A"
condition = "{"fully" if x.fully else "partially"} deteriorated"
host_diameter = "{x.D!r} {length}"
ovality = "{x.q!r} %"
groundwater_above_invert = "{x.h_invert!r} {depth}"
{soil}
[pipe.stated]
{lines}steps = {{ {shown} }}
"""
