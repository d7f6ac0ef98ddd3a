"""Embodied carbon of walls, by hand: pi (D - t) t rho times the carbon per mass."""

import json
import math

import pytest

from linerdesign.interface import compare, read
from linerdesign.tasks.compare.comparison import Wishes

PIPE = {
    "name": "A",
    "condition": "partially deteriorated",
    "host_diameter": "300 mm",
    "ovality": "2 %",
    "groundwater_above_invert": "3 m",
    "length": "100 m",
}


def resin(name, carbon=None, **more):
    cost = {"embodied_carbon": carbon} if carbon else {}
    return {
        "name": name,
        "flexural_modulus": "1700 MPa",
        "flexural_strength": "31 MPa",
        "density": "1.2 g/cm^3",
        **({"cost": cost} if cost else {}),
        **more,
    }


def compared(*resins):
    tables = {"project": {"title": "Mill Lane", "units": "SI"}, "resin": resins, "pipe": [PIPE]}
    return compare(read(tables), wishes=Wishes(by="carbon"))


def test_systems_rank_by_the_carbon_of_their_walls():
    """4,900 g/kg are 4.9 kg/kg, with pi as 3.14159; a system without a figure is not ranked."""
    comparison = compared(resin("a", "5.2 kg/kg"), resin("b", "4900 g/kg"), resin("c"))
    names = [(each.rank, each.resin.name) for each in comparison.found.order]
    assert names == [(1, "b"), (2, "a"), (None, "c")]
    for ranked, factor in zip(comparison.found.order[:2], (4.9, 5.2), strict=True):
        t = comparison.found.table[0][0].wall.nominal / 1000
        expected = math.pi * (0.3 - t) * t * 1200 * 100 * factor
        assert ranked.own.carbon[0] == pytest.approx(expected, rel=2e-6)
    ranking = json.loads(json.dumps(comparison.data))["ranking"]
    assert ranking[2]["unranked"] == "no embodied carbon"
    assert ranking[0]["carbon"]["unit"] == "kg"
