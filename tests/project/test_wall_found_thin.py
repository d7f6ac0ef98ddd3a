"""The searches for what a thin wall carries and would need: each against the design itself."""

import math

import numpy as np
import pytest
from projects import FELT, LATERAL, PIPE, RESIN

from linerdesign.interface import read, size
from linerdesign.project.thin_wall import FARTHEST, _first_change, thin_legs, thin_wall


def result(resin=None, **pipe):
    given = {key: value for key, value in (PIPE | pipe).items() if value is not None}
    resin = RESIN | {"tensile_strength": "3000 psi"} | (resin or {})
    (found,) = size(read({"project": {"title": "x"}, "resin": [resin], "pipe": [given]})).pipes
    return found


@pytest.mark.parametrize(
    ("shortage", "found"),
    [
        (lambda x: x - 3.1, 3.1),
        (lambda x: 3.1 - x, 3.1),
        (lambda x: x - 3.0, 3.0),
        (lambda x: 3.0 - x, 3.0),
        (lambda x: (x - 2.2) * (x - 4.4), 2.2),
        (lambda x: np.where(x < 2.5, -1.0, np.inf), 2.5),
        (lambda x: np.where(x < 2.5, np.inf, -1.0), 2.5),
        (lambda x: np.where(x > 2.5, 1.0, 0.0), 2.0),
        (lambda x: np.where(x > 2.5, 0.0, 1.0), 3.0),
        (lambda x: x - 9.0, None),
        (lambda x: x + 9.0, None),
    ],
)
def test_the_first_change_between_places(shortage, found):
    """At 0, 1, ... 5; where nothing is between, the side that is carried."""
    made = _first_change(shortage, np.arange(6.0))
    assert made == (None if found is None else pytest.approx(found, rel=1e-9))


def test_a_wall_that_carries_all_of_the_search_has_no_limit():
    wall = thin_wall(result(design_thickness="300 mm", live_load="0 psi"))
    (found,) = wall.tolerated
    assert found.allowed.keys() == {"h_invert", "H", "W_s"}
    assert (found.head.key, found.head.designed) == ("h_invert", 12)
    assert (found.head.value, found.head.unlimited) == (None, True)
    assert (found.cover.key, found.cover.designed) == ("H", 16)
    assert list(wall.workings()) == []


def test_only_loads_of_the_design_are_looked_at():
    partial = {"condition": "partially deteriorated", "cover": None, "live_load": None,
               "soil_unit_weight": None, "soil_reaction_modulus": None}  # fmt: skip
    (found,) = thin_wall(result(design_thickness="9 mm", **partial)).tolerated
    assert found.allowed.keys() == {"h_invert"}
    assert found.cover is None
    (found,) = thin_wall(result(design_thickness="24 mm", internal_pressure="60 psi")).tolerated
    assert found.allowed.keys() == {"h_invert", "H", "W_s", "P_i"}


def test_a_search_in_metres_goes_as_far_as_one_in_feet():
    """A foot is 0.3048 m, a psi 6.894757 kPa; both ends are round, so alike within a percent."""
    for key, factor in (("h_invert", 0.3048), ("H", 0.3048), ("W_s", 0.006894757),
                        ("P_i", 0.006894757)):  # fmt: skip
        farthest = FARTHEST[key]
        assert farthest["SI"] == pytest.approx(farthest["US"] * factor, rel=0.04)


def test_each_need_alone_makes_the_wall_pass():
    wall = thin_wall(result(design_thickness="24 mm"))
    needed = wall.needed
    assert needed.thickness == pytest.approx(result().required_thickness)
    modulus, strength = needed.properties["E"], needed.properties["sigma"]
    assert (needed.modulus, needed.properties.keys()) == (modulus, {"E", "sigma"})
    for key, value in (("flexural_modulus", modulus), ("flexural_strength", strength)):
        for share, passes in ((1 + 1e-6, True), (1 - 1e-6, False)):
            if value is not None:
                resin = {key: f"{value * share!r} psi"}
                assert result(resin, design_thickness="24 mm").holds is passes
    assert modulus > 250_000
    if needed.ovality is not None:
        assert result(design_thickness="24 mm", ovality=f"{needed.ovality * (1 - 1e-6)!r} %").holds


def test_a_life_is_that_of_a_straight_line_in_logarithms():
    """From all of the modulus at an hour to half of it at 50 years of 8,760 hours, both in logs."""
    wall = thin_wall(result(design_thickness="25 mm"))
    needed = wall.needed
    share = math.log(needed.retention / 100) / math.log(50 / 100)
    assert math.log(needed.life_years * 8760) == pytest.approx(
        share * math.log(50 * 8760), rel=1e-9
    )
    (*_, last) = wall.life()
    assert last.value == pytest.approx(needed.life_years)
    passing = thin_wall(result(design_thickness="100 mm"))
    assert (passing.needed.retention, passing.needed.life_years) == (None, None)
    assert passing.life() == ()


def test_every_value_that_is_less_than_designed_has_its_lines():
    wall = thin_wall(result(design_thickness="24 mm"))
    made = list(wall.workings())
    assert made
    for allowed, station, steps in made:
        assert allowed.value < allowed.designed
        assert station == wall.wall.stations[0].at
        assert steps[-1].value == pytest.approx(24 / 25.4)


def test_only_legs_that_fail_are_looked_at():
    own = LATERAL | {"tube_diameter": "4 in", "leg": [{"at": "A"}, {"at": "B",
           "host_diameter": "4.4 in"}]}  # fmt: skip
    for thickness, failing in (("1.5 mm", 2), ("6 mm", 0)):
        pipe = own | {"tube_thickness": thickness}
        (one,) = size(read({"project": {"title": "x"}, "resin": [FELT], "pipe": [pipe]})).pipes
        found = thin_legs(one.legs)
        if not failing:
            assert found is None
            continue
        assert [station.at for station in found.wall.stations] == ["A", "B"]
        required = [place.required_thickness for place in one.legs.built.places]
        assert found.required == max(required)


def test_the_search_for_water_ends_660_feet_above_the_design():
    """The head carried grows by five feet a millimetre of wall here, past 672 ft."""
    for thickness, found in (("202 mm", True), ("203 mm", False)):
        wall = thin_wall(result(design_thickness=thickness, live_load="0 psi"))
        head = wall.tolerated[0].head
        assert (head.value is not None, head.unlimited) == (found, not found)
        assert not found or 12 + 650 < head.value < 12 + 660
