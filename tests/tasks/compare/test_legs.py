"""Systems in a pipe of several legs, against `size` of the same tube."""

import pytest
from projects import FELT, LATERAL

from linerdesign.interface import compare, read, size
from linerdesign.tasks.compare.comparison import Wishes

GLASS = {
    "name": "glass",
    "flexural_modulus": "1000 ksi",
    "flexural_strength": "15 ksi",
    "thickness_step": "0.7 mm",
}
LATERAL = LATERAL | {
    "length": "20 m",
    "leg": [{"at": "0 ft"}, {"at": "20 ft", "host_diameter": "6 in"}],
}


def project(resins=(FELT, GLASS), **pipe):
    return {
        "project": {"title": "Harrowmere"},
        "criteria": {"minimum_thickness": "3 mm"},
        "resin": list(resins),
        "pipe": [LATERAL | pipe],
    }


def options(**more):
    ((felt, glass),) = compare(read(project(**more))).found.table
    return felt, glass


def sized(resin, **pipe):
    return size(read(project((resin,), **pipe)))


@pytest.mark.parametrize("resin", [FELT, GLASS])
def test_the_wall_is_the_thinnest_tube_that_serves_every_leg(resin):
    found = next(each for each in options() if each.resin.name == resin["name"])
    assert found.satisfied
    wall, step = found.wall, float(resin.get("thickness_step", "1.5 mm").split()[0])
    tube = {"tube_diameter": f"{wall.diameter} mm"}
    for less, holds in ((0.0, True), (step, False)):
        sizing = sized(resin, tube_thickness=f"{wall.nominal - less} mm", **tube)
        assert sizing.holds is holds
        least = min(leg["least_thickness"]["value"] for leg in sizing.data["pipes"][0]["legs"])
        if holds:
            assert wall.delivered == pytest.approx(25.4 * least)


def test_a_tube_that_is_stated_is_the_wall_of_every_system():
    for found in options(tube_thickness="4.5 mm"):
        assert found.wall.nominal == pytest.approx(4.5)
        resin = FELT if found.resin.name == "felt" else GLASS
        assert found.satisfied is sized(resin, tube_thickness="4.5 mm").holds is False
        assert "at 20 ft: delivered wall 2.923 mm" in found.reasons[0]


def test_a_system_that_may_not_stretch_fails_the_pipe():
    stiff = GLASS | {"maximum_stretch": "5 %"}
    ((_, glass),) = compare(read(project((FELT, stiff)))).found.table
    assert not glass.satisfied
    assert "exceeds the maximum" in glass.reasons[0]


def test_the_report_shows_what_is_delivered(run, tmp_path):
    text = """
[project]
title = "Harrowmere"
[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
[[resin]]
name = "glass"
flexural_modulus = "1000 ksi"
flexural_strength = "15 ksi"
[[pipe]]
name = "L1"
condition = "partially deteriorated"
host_diameter = "6 in"
tube_diameter = "4 in"
ovality = "2 %"
groundwater_above_invert = "8 ft"
"""
    (tmp_path / "p.toml").write_text(text)
    code, out, _ = run("compare", "p.toml")
    assert code == 0
    assert "delivered, mm" in out


def test_legs_with_lengths_give_the_line_its_length():
    legs = [{"length": "4 m"}, {"length": "6 m", "host_diameter": "6 in"}]
    priced = {"density": "1.15 g/cm^3", "price": "3 USD/kg"}
    line = {key: value for key, value in LATERAL.items() if key != "length"} | {"leg": legs}
    whole = project([FELT | priced]) | {"pipe": [line]}
    found = compare(read(whole), wishes=Wishes(by="cost")).found
    ((option,),), (resin,) = found.table, found.order
    assert resin.rank == 1
    assert resin.own.cost[0] == pytest.approx(10 * option.wall.cost)
