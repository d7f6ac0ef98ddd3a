"""A street of an invented town, of any number of pipes with numbers for all a thickness needs."""

HEAD = """
[project]
title = "Harrowmere, Tanner Row"
[[resin]]
name = "Felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
"""
PIPE = """
[[pipe]]
name = "MH {at} to MH {to}"
condition = "{condition} deteriorated"
host_diameter = "{diameter} in"
ovality = "{ovality} %"
groundwater_above_invert = "{water} ft"
length = "{length} ft"
"""
BURIED = """cover = "{cover} ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "700 psi"
live_load = "0.5 psi"
"""


def plain(count):
    """The text of the project; every third pipe is fully deteriorated."""
    text = HEAD
    for i in range(count):
        text += PIPE.format(
            at=i + 1,
            to=i + 2,
            condition="partially" if i % 3 else "fully",
            diameter=(8, 12, 15, 18)[i % 4],
            ovality=2 + i % 3,
            water=5 + i % 7,
            length=250 + 7 * i,
        )
        text += "" if i % 3 else BURIED.format(cover=6 + i % 5)
    return text
