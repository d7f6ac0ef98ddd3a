"""Whatever a submittal states, right or wrong, there is a review of it: no number that is none."""

import json
import random

import pytest
from projects import toml

from linerdesign import review
from linerdesign.project.reading import parse

STEPS = {
    "C": "0.8{}", "q": "3.{} %", "P": "4.{} psi", "q_t": "12.{} psi", "R_w": "0.7{}",
    "B'": "0.4{}", "E_L": "12{}000 psi", "sigma_L": "22{}0 psi", "t X1.1": "5.{} mm",
    "t X1.2": "4.{} mm", "t X1.3": "6.{} mm", "t X1.4": "5.{} mm", "t X1.6": "3.{} mm",
    "t X1.7": "3.{} mm", "DR": "4{}.0", "I": "0.00{} in^3", "N": "2.{}", "K": "7", "H": "1{} ft",
    "h_i": "{} ft", "H_w": "{} ft", "N_X1.1": "2.{}", "q_X1.3": "1{}.0 psi", "P_i": "6{} psi",
    "d": "2.{} in", "t_DR": "3.{} mm", "W_s": "0.{} psi", "S_X1.4": "0.{} psi",
}  # fmt: skip
WATER = (
    {"groundwater_above_crown": "3 ft"},
    {"groundwater_below_surface": "4 ft"},
    {"groundwater": "none"},
    {"groundwater_above_invert": "7 ft"},
)
STATIONS = '[[pipe.station]]\nat = "0 ft"\n[[pipe.station]]\nat = "80 ft"\ncover = "20 ft"\n'


def submittal(chance):
    """A project of one pipe, of any kind, with values of any kind stated."""
    condition = chance.choice(["partially deteriorated", "fully deteriorated"])
    pipe = {
        "condition": condition,
        "host_diameter": chance.choice(["8 in", "24 in", "48 in"]),
        "ovality": chance.choice(["0 %", "3 %", "12 %"]),
        "cover": chance.choice(["6 ft", "15 ft"]),
        "soil_unit_weight": "120 pcf",
        "soil_reaction_modulus": "1000 psi",
        "live_load": chance.choice(["0.8 psi", "none", "H-20 table", "HL-93"]),
    }
    pipe |= chance.choice(WATER)
    if chance.random() < 0.3:
        hole = {"hole_diameter": "2 in"} if condition.startswith("partially") else {}
        pipe |= {"internal_pressure": "60 psi", **hole}
    if chance.random() < 0.2:
        pipe |= {"vacuum": "2 psi", "host_wall": "1 in"}
    resin = {"tensile_strength": "3000 psi"}
    if chance.random() < 0.2:
        resin["thicknesses"] = ["3 mm", "5 mm", "8 mm", "12 mm", "20 mm", "30 mm"]
    drop = () if "groundwater_above_invert" in pipe else ("groundwater_above_invert",)
    project = {"units": chance.choice(["US", "SI"])}
    criteria = {"dry_case": chance.choice([True, False])}
    text = toml(pipe=pipe, resin=resin, criteria=criteria, project=project, drop=drop)
    text += f'[pipe.stated]\nrequired_thickness = "{chance.uniform(3, 30):.2f} mm"\n'
    if chance.random() < 0.6:
        text += f'thickness = "{chance.choice(["4.5 mm", "13.5 mm", "0.5 in", "30 in"])}"\n'
    shown = chance.sample(list(STEPS), chance.randint(0, 9))
    steps = (f'"{name}" = "{STEPS[name].format(chance.randint(1, 9))}"' for name in shown)
    text += f"steps = {{ {', '.join(steps)} }}\n"
    if chance.random() < 0.3:
        text += 'governing = "X1.3"\nsafety_factor = 2.5\nthickness_step = "1.5 mm"\n'
    return text + (STATIONS if chance.random() < 0.3 else "")


@pytest.mark.parametrize("seed", range(30))
def test_any_submittal_is_reviewed(seed):
    found = review(parse(submittal(random.Random(seed)).encode(), "test.toml"))
    assert found.document.blocks
    json.dumps(found.data, allow_nan=False)
    (pipe,) = found.pipes
    for each in pipe.found.explanations:
        assert set(each.explains) <= {line.item.name for line in pipe.found.departures}
    assert all(comment.text for comment in pipe.comments)
