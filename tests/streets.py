"""Streets of an invented town, of any number of pipes: plain ones, and ones that ask for all."""

RESIN = """
[[resin]]
name = "{name}"
flexural_modulus = "{modulus} psi"
flexural_strength = "{strength} psi"
density = "{density} kg/L"
maximum_stretch = "15 %"
"""
FELT = RESIN.format(name="Felt", modulus=250_000, strength=4500, density=1.2)
GLASS = RESIN.format(name="Glass", modulus=725_000, strength=12_000, density=1.6)
OWNER = """
[criteria]
safety_factor = 2.0
minimum_ovality = "3 %"
minimum_thickness = "4.5 mm"
[criteria.limits]
minimum_groundwater_above_invert = "3 ft"
"""
PIPE = """
[[pipe]]
name = "MH {at} to MH {to}"
resin = "{resin}"
condition = "{condition} deteriorated"
host_diameter = "{diameter} in"
groundwater_above_invert = "{water} ft"
length = "{length} ft"
"""
BURIED = """cover = "{cover} ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "{soil}"
live_load = "{load}"
"""
STATIONS = """[[pipe.station]]
at = "0 ft"
ovality = "2 %"
[[pipe.station]]
at = "120 ft"
ovality = "4 %"
"""
LEGS = """tube_diameter = "6 in"
[[pipe.leg]]
at = "0 ft"
[[pipe.leg]]
at = "20 ft"
bend = "45 deg"
bend_radius = "24 in"
"""


def _pipe(i, **about):
    return PIPE.format(at=i + 1, to=i + 2, water=5 + i % 7, length=250 + 7 * i, **about)


def plain(count):
    """Pipes with numbers for all that a thickness needs."""
    text = f'[project]\ntitle = "Harrowmere, Tanner Row"\n{FELT}'
    for i in range(count):
        condition, diameter = ("partially", "fully")[i % 3 == 0], (8, 12, 15, 18)[i % 4]
        text += _pipe(i, resin="Felt", condition=condition, diameter=diameter)
        text += f'ovality = "{2 + i % 3} %"\n'
        if i % 3 == 0:
            text += BURIED.format(cover=6 + i % 5, soil="700 psi", load="0.5 psi")
    return text


def rich(count):
    """Pipes with stations, legs, a vehicle, an order and an owner's file, `owner.toml`."""
    text = '[project]\ntitle = "Harrowmere, Tanner Row"\ncriteria = "owner.toml"\n'
    text += f'[order]\nresin_excess = "7 %"\n{FELT}{GLASS}'
    for i in range(count):
        kind = i % 3
        resin, diameter = ("Felt", "Felt", "Glass")[kind], (12, 6, 18)[kind]
        condition = ("fully", "partially", "fully")[kind]
        text += _pipe(i, resin=resin, condition=condition, diameter=diameter)
        if kind != 1:
            soil = "silty sand, 90 % compaction"
            text += BURIED.format(cover=6 + i % 5, soil=soil, load="HL-93")
        text += STATIONS if kind == 0 else f'ovality = "{2 + i % 4} %"\n'
        text += LEGS if kind == 1 else ""
    return text
