"""The one table of labels: words of the trade, and the keys that a set of them means.

A label is read as a set of ideas: "groundwater depth over the invert" is `water`, `depth`, `above`
and `invert`. `IDEAS` gives the spellings of each idea, `SYMBOLS_OF` the ideas that a symbol
stands for, `KEYS` the ideas that each key needs and those that may accompany them. Words
without meaning for a key are in `NEUTRAL`; any other word leaves the reading in doubt.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

# idea: its spellings, in lower case, hyphens written as blanks, dots and apostrophes left out.
IDEAS: dict[str, str] = {
    "water": "groundwater, ground water, gw, gwt, gwl, water, water table, groundwater table, "
    "ground water table, hydrostatic head, water head, head of water, head, phreatic level",
    "cover": "cover, soil cover, earth cover, depth of cover, cover depth, depth of soil cover, "
    "height of cover, fill height, height of fill, overburden depth",
    "depth": "depth, burial depth, depth of burial, buried, deep",
    "height": "height, level, surface level",
    "invert": "invert, invert level, pipe invert, bottom of pipe",
    "crown": "crown, top of pipe, top of the pipe, top of host pipe, top of the host pipe, "
    "pipe crown, obvert, soffit, pipe top, crown level",
    "surface": "surface, grade, ground surface, ground level, finished grade, gl, bgl, ground, "
    "existing grade, street level, finished ground",
    "above": "above, over",
    "below": "below, under, beneath, bgs",
    "elevation": "elevation, elev, el, reduced level",
    "soil": "soil, earth, backfill, fill",
    "unit weight": "unit weight, specific weight, unit wt, weight density, bulk unit weight, "
    "soil weight, weight of soil, weight of the soil",
    "density": "density",
    "reaction": "reaction, soil reaction, soil stiffness",
    "live load": "live load, traffic load, vehicle load, vehicular load, wheel load, "
    "live load pressure, live loading, traffic loading, highway load, traffic live load",
    "diameter": "diameter, dia, bore, diam",
    "inside": "inside, internal, inner, id",
    "outside": "outside, outer, od",
    "mean": "mean, average, avg",
    "nominal": "nominal, nom, dn",
    "size": "size",
    "maximum": "maximum, max, largest, upper limit",
    "minimum": "minimum, min, smallest, least",
    "ovality": "ovality, out of roundness, oval, ovalization, ovalisation",
    "deflection": "deflection, deformation, distortion",
    "length": "length, run length, pipe length, segment length",
    "thickness": "thickness, thk, thickn, wall thickness, liner thickness, wall thk",
    "required": "required, req, reqd, theoretical, needed, necessary",
    "calculated": "calculated, computed, calc, by calculation",
    "selected": "selected, proposed, submitted, chosen, supplied, specified, finished, provided "
    "nominal, installed, recommended, adopted, to be installed",
    "design": "design, designed, designed for, design value",
    "increment": "increment, increments, thickness increment, thickness step, thickness steps",
    "modulus": "modulus, modulus of elasticity, elastic modulus, youngs modulus, e modulus",
    "flexural": "flexural, flexure, bending, flex",
    "tensile": "tensile, tension",
    "strength": "strength, stress at break",
    "initial": "initial, short term, instantaneous",
    "long term": "long term, longterm, sustained, lt, 50 year, 50 yr, 50 years, time corrected, "
    "at 50 years",
    "retention": "retention, retained, retention factor",
    "creep": "creep, crf, creep factor, creep retention, creep reduction",
    "poisson": "poissons ratio, poisson ratio, poisson, poissons, poisson's ratio",
    "safety": "safety factor, factor of safety, fs, sf, fos",
    "provided": "provided, achieved, available, resulting, obtained, actual",
    "enhancement": "enhancement factor, enhancement, soil enhancement factor, support factor",
    "dimension ratio": "dimension ratio, diameter to thickness ratio",
    "sdr": "sdr, standard dimension ratio",
    "reduction": "reduction, reduction factor, correction factor, correction",
    "factor": "factor, coefficient, coeff",
    "buoyancy": "buoyancy, water buoyancy, buoyancy factor, water buoyancy factor",
    "elastic support": "coefficient of elastic support, elastic support, "
    "coeff of elastic support, elastic support coefficient, elastic support factor",
    "inertia": "moment of inertia, inertia, second moment of area",
    "pressure": "pressure, press, load, loading",
    "internal pressure": "internal pressure, operating pressure, working pressure, "
    "maximum operating pressure, design internal pressure",
    "external": "external, hydrostatic, outside pressure",
    "total": "total, combined",
    "vacuum": "vacuum, negative pressure, vacuum pressure",
    "hole": "hole, holes, opening",
    "owner": "owner, owners, owner's, specification",
    "governing": "governing, governs, controlling, controls, governing equation, "
    "controlling equation, governed by, controlled by",
    "wall": "wall",
    "host": "host, host pipe, existing pipe, existing, host sewer",
    "liner": "liner, lining, cipp, cipp liner",
    "material": "vcp, rcp, cmp, dip, pvc, clay, brick, concrete, vitrified clay, cast iron, csp, "
    "corrugated metal, reinforced concrete, ductile iron, hdpe",
    "stiffness": "stiffness, ring stiffness",
}

_NEUTRAL = """
the a an of for in at on to is are be by per as and with from its this that which has have equal
equals equation eq value values used taken input pipe pipes sewer culvert main line resin cured
tube system stands lies it was we use uses using adopt take assume assumes calculation ratio
measured reported each all
"""
NEUTRAL = frozenset(_NEUTRAL.split())

# Words that turn a statement into another one, or leave it open.
_DOUBTING = """
not no without if unless except excluding previously alternatively instead other former example
approximately about approx up between respectively varies various ranges expected typical
typically usually less more than exceed exceeds estimated previous old earlier original
superseded alternative rejected preliminary would could might should
"""
DOUBTING = frozenset(_DOUBTING.split())

# symbol as printed, without underscores, braces and blanks: the ideas that it stands for.
# The standard's own symbols; a question mark where practice also means something else by it.
SYMBOLS_OF: dict[str, str] = {
    "D": "diameter inside mean ?",
    "Di": "diameter inside mean ?",
    "ID": "diameter inside",
    "OD": "diameter outside",
    "DN": "diameter nominal",
    "Dmax": "diameter maximum",
    "Dmin": "diameter minimum",
    "q": "ovality",
    "Δ": "ovality ?",
    "C": "ovality reduction",
    "Ci": "ovality reduction ?",
    "H": "cover ?",
    "Hs": "cover ?",
    "Hw": "water above crown ?",
    "hw": "water ?",
    "GW": "water",
    "GWT": "water",
    "w": "unit weight",
    "γ": "unit weight soil ?",
    "γs": "unit weight soil ?",
    "ws": "unit weight soil ?",
    "E's": "soil modulus reaction",
    "E'": "soil modulus reaction",
    "Es": "soil modulus reaction ?",
    "Ws": "live load",
    "WS": "live load",
    "WL": "live load ?",
    "LL": "live load ?",
    "E": "flexural modulus ?",
    "Ei": "flexural modulus initial ?",
    "EST": "flexural modulus initial",
    "EL": "modulus long term",
    "ELT": "modulus long term",
    "E50": "modulus long term ?",
    "σ": "flexural strength ?",
    "σf": "flexural strength ?",
    "σL": "strength long term flexural",
    "σfL": "strength long term flexural",
    "σT": "strength tensile",
    "σTL": "strength long term tensile",
    "ν": "poisson",
    "μ": "poisson ?",
    "nu": "poisson",
    "v": "poisson ?",
    "N": "safety",
    "FS": "safety",
    "SF": "safety",
    "FoS": "safety",
    "FOS": "safety",
    "K": "enhancement",
    "CRF": "creep",
    "P": "pressure external",
    "Pw": "pressure water groundwater-only",
    "qt": "pressure total external",
    "Rw": "buoyancy",
    "B'": "elastic support",
    "I": "inertia",
    "DR": "dimension ratio",
    "SDR": "sdr",
    "t": "thickness",
    "treq": "thickness required",
    "treqd": "thickness required",
    "tmin": "thickness minimum required ?",
    "tnom": "thickness nominal",
    "tdesign": "thickness design",
    "td": "thickness design ?",
    "tn": "thickness nominal ?",
    "Pi": "internal pressure ?",
    "Pint": "internal pressure",
    "Pv": "vacuum",
    "L": "length ?",
    "d": "hole diameter ?",
}
# Spellings of a symbol beside its own one.
SAME_SYMBOL = {
    "sigma": "σ", "delta": "Δ", "gamma": "γ", "mu": "μ", "µ": "μ", "Nu": "nu", "∆": "Δ", "S": "σ",
}  # fmt: skip


@dataclass(frozen=True)
class Row:
    """One reading of a label: a key, the ideas that it needs, and those that may be added.

    `sure` is False where the words are used in print for other things too.
    """

    key: str
    needs: frozenset[str]
    may: frozenset[str]
    sure: bool


# key | ideas needed, a question mark where in doubt | ideas that may accompany them
_TABLE = """
host_diameter | diameter, inside | mean host size material
host_diameter | diameter, mean | inside host material
host_diameter | diameter, host | mean inside material
host_diameter | inside, mean | host
host_diameter | inside | host material ?
host_diameter | diameter | size material ?
host_diameter | diameter, nominal | host size inside material ?
host_diameter | nominal | host material ?
host_diameter | size | host nominal material ?
host_diameter | material | host diameter ?
maximum_diameter | diameter, maximum | inside host
minimum_diameter | diameter, minimum | inside host
ovality | ovality | host design mean
ovality | deflection | host ?
minimum_ovality | ovality, minimum | design owner ?
stated.steps.C | ovality, reduction | factor
stated.steps.C | ovality, factor | reduction
cover | cover | soil host above crown height depth surface design
cover | soil, above, crown | height depth
cover | soil, above, height | depth ?
cover | depth, crown | below surface
cover | soil, depth | above crown ?
invert_depth | depth, invert | below surface host
invert_depth | invert, below, surface | depth host
invert_depth | cover, invert | soil depth ?
ground_elevation | surface, elevation |
invert_elevation | invert, elevation | host
groundwater_elevation | water, elevation | height design
groundwater_above_invert | water, above, invert | height depth host design
groundwater_above_crown | water, above, crown | height depth host design
groundwater_below_surface | water, below, surface | height depth design
groundwater_below_surface | water, depth, surface | height design ?
soil_unit_weight | unit weight | soil design
soil_unit_weight | soil, density | design
soil_reaction_modulus | soil, modulus | reaction design
soil_reaction_modulus | modulus, reaction | soil design
live_load | live load | surface pressure design crown above
internal_pressure | internal pressure | design
hole_diameter | hole, diameter | host maximum
hole_diameter | hole, size | host maximum
hole_diameter | hole | host maximum
vacuum | vacuum | design
length | length | host liner
host_wall | thickness, host | wall
flexural_modulus | flexural, modulus | initial liner
flexural_modulus | modulus, initial | flexural liner
flexural_modulus | modulus | liner ?
flexural_strength | flexural, strength | initial liner
flexural_strength | strength | initial liner ?
tensile_strength | tensile, strength | initial liner
stated.steps.E_L | modulus, long term | flexural liner
stated.steps.sigma_L | flexural, strength, long term | liner
stated.steps.sigma_L | strength, long term | liner ?
stated.steps.sigma_TL | tensile, strength, long term | liner
modulus_retention | retention, modulus | long term flexural creep factor
modulus_retention | creep | factor modulus flexural retention long term ?
modulus_retention | retention | long term factor ?
strength_retention | retention, strength | long term flexural creep factor
tensile_retention | retention, tensile | long term creep factor
tensile_retention | retention, strength, tensile | long term creep factor
density | density, liner |
poisson_ratio | poisson | liner factor
safety_factor | safety | design minimum required owner
enhancement_factor | enhancement | factor soil minimum design
maximum_dimension_ratio | dimension ratio, maximum |
minimum_thickness | thickness, minimum, owner | liner wall nominal
minimum_thickness | thickness, minimum | liner wall ?
thickness_step | increment | thickness liner ?
stated.thickness | thickness, design | liner wall selected nominal
stated.thickness | thickness, nominal | liner wall selected
stated.thickness | thickness, selected | liner wall
stated.thickness | thickness | liner wall ?
stated.required_thickness | thickness, required | liner wall minimum calculated design governing
stated.required_thickness | thickness, calculated | liner wall ?
stated.steps.P | pressure, external | water invert above host
stated.steps.P | pressure, water | invert above external
stated.steps.P_w | pressure, water, groundwater-only | invert above external
stated.steps.q_t | pressure, total | external host above crown design
stated.steps.R_w | buoyancy | water factor
stated.steps.B' | elastic support | factor
stated.steps.I | inertia | liner wall
stated.steps.DR | dimension ratio | liner
stated.steps.DR | sdr | liner ?
"""


@cache
def rows() -> tuple[Row, ...]:
    """The table of keys, those with the most ideas first."""
    found = []
    for line in _TABLE.strip().splitlines():
        key, needs, may = (part.strip() for part in line.split("|"))
        optional = _ideas(may.replace("?", " "))
        found.append(
            Row(key, frozenset(x.strip() for x in needs.split(",")), optional, "?" not in may)
        )
    return tuple(sorted(found, key=lambda row: -len(row.needs)))


def _ideas(text: str) -> frozenset[str]:
    """Names of ideas in a text, those of two words included."""
    found, words = set(), text.split()
    while words:
        two = " ".join(words[:2])
        taken = 2 if two in IDEAS else 1
        found.add(" ".join(words[:taken]))
        words = words[taken:]
    return frozenset(found)


def ideas_of_symbol(symbol: str) -> tuple[frozenset[str], bool] | None:
    """The ideas that a symbol stands for, and whether only for them."""
    text = SYMBOLS_OF.get(symbol)
    if text is None:
        return None
    return _ideas(text.replace("?", " ")), "?" not in text


@cache
def phrases() -> dict[tuple[str, ...], str]:
    """The idea of every phrase, as a tuple of words."""
    return {
        tuple(phrase.split()): idea
        for idea, spelled in IDEAS.items()
        for phrase in (each.strip() for each in spelled.split(","))
    }
