"""The searches for what a thin wall carries and would need: each against the design itself."""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from projects import FELT, LATERAL, PIPE, RESIN

from linerdesign.interface import read, size
from linerdesign.methods.task import Input, Station
from linerdesign.project import thin_wall as thin
from linerdesign.project.assembly import designed
from linerdesign.project.thin_wall import (
    FARTHEST,
    Allowed,
    Needed,
    _first_change,
    on_standard_datums,
    thin_legs,
    thin_wall,
    with_wall,
)


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


def put(monkeypatch, shortage):
    """Puts a shortage by key and value in the place of the one by design."""
    monkeypatch.setattr(thin, "_shortage", lambda built, station, key, x: shortage(station, key, x))


def place(**values):
    return Station(tuple(Input(key, value) for key, value in values.items()), None)


def built(*stations, system="SI", **basis):
    known = {"system": system, "internal_pressure": True, "above_ground": False,
             "buried_fully": True}  # fmt: skip
    return SimpleNamespace(stations=stations, basis=SimpleNamespace(**known | basis))


@pytest.mark.parametrize(
    ("key", "system", "farthest"),
    [
        # A foot is 0.3048 m, a psi 6.894757 kPa.
        ("h_invert", "SI", 200.0), ("h_invert", "US", 200 / 0.3048),
        ("H", "SI", 100.0), ("H", "US", 100 / 0.3048),
        ("W_s", "SI", 7.0), ("W_s", "US", 7 / 0.006894757),
        ("P_i", "SI", 20.0), ("P_i", "US", 20 / 0.006894757),
    ],
)  # fmt: skip
def test_a_search_goes_so_far_beyond_the_design(monkeypatch, key, system, farthest):
    made = built(system=system)
    for share in (1e-6, 0.3, 0.999):
        carried = 2.0 + share * farthest
        put(monkeypatch, lambda _, of, x, carried=carried: np.asarray(x) - carried)
        found = thin._limit(made, place(**{key: 2.0}), key)
        assert (found.key, found.designed, found.unlimited) == (key, 2.0, False)
        assert found.value == pytest.approx(carried)
    put(monkeypatch, lambda _, of, x: np.asarray(x) - (2.0 + 1.001 * farthest))
    assert thin._limit(made, place(**{key: 2.0}), key) == Allowed(key, 2.0, None, True)


def test_a_search_goes_down_from_what_is_too_much(monkeypatch):
    """To nothing; to a millimetre of cover, or foot by a thousand, since no pipe has none."""
    made = built()

    def found(key, start, carried):
        put(monkeypatch, lambda _, of, x: np.asarray(x) - carried)
        return thin._limit(made, place(**{key: start}), key)

    for key in ("h_invert", "H", "W_s", "P_i"):
        assert found(key, 3.0, 1.7).value == pytest.approx(1.7)
        assert found(key, 3.0, -1.0) == Allowed(key, 3.0, None, False)
    assert found("W_s", 3.0, 1e-5).value == pytest.approx(1e-5)
    assert found("H", 3.0, 1.005e-3).value == pytest.approx(1.005e-3)
    assert found("H", 3.0, 0.995e-3).value is None
    assert found("H", 0.0005, 0.0004).value is None
    # At the design itself nothing is short yet; what is not given has no limit.
    put(monkeypatch, lambda _, of, x: np.maximum(np.asarray(x) - 3.0, 0.0))
    assert found("W_s", 3.0, 3.0) == Allowed("W_s", 3.0, 3.0, False)
    assert thin._limit(made, place(H=3.0), "W_s") is None


def test_what_a_cover_under_a_millimetre_would_need_is_not_looked_for_above_it(monkeypatch):
    put(monkeypatch, lambda _, of, x: 0.0007 - np.asarray(x))
    assert thin._limit(built(), place(H=0.0005), "H").value is None


@pytest.mark.parametrize(("start", "found"), [(1.0, 3.0), (4.0, 3.0), (6.0, 7.0), (10.0, 7.0)])
def test_of_several_limits_the_nearest_to_the_design_is_found(monkeypatch, start, found):
    """Carried to 3, and from 5 to 7."""
    put(monkeypatch, lambda _, of, x: (np.asarray(x) - 3) * (np.asarray(x) - 5) * (x - 7))
    limit = thin._limit(built(), place(W_s=start), "W_s")
    assert (limit.value, limit.unlimited) == (pytest.approx(found), False)


@pytest.mark.parametrize(
    ("basis", "keys"),
    [
        ({}, {"h_invert", "H", "W_s", "P_i"}),
        ({"internal_pressure": False}, {"h_invert", "H", "W_s"}),
        ({"buried_fully": False}, {"h_invert", "P_i"}),
        ({"buried_fully": False, "above_ground": True}, {"P_i"}),
    ],
)
def test_each_quantity_is_looked_at_where_the_design_reads_it(monkeypatch, basis, keys):
    put(monkeypatch, lambda _, of, x: np.asarray(x) - 2.0)
    each = place(h_invert=1.0, H=1.0, W_s=1.0, P_i=1.0)
    assert {key for key in FARTHEST if thin._limit(built(each, **basis), each, key)} == keys


def test_what_is_needed_is_enough_for_every_station(monkeypatch):
    """What is short by key at each station, in round numbers."""
    one = place(E=100.0, sigma=10.0, q_pipe=5.0, r_E=50.0)
    other = place(E=100.0, sigma=10.0, q_pipe=3.0, r_E=50.0)
    enough = {
        "E": {one: 150.0, other: 170.0}, "sigma": {one: 1200.0, other: 11.0},
        "r_E": {one: 60.0, other: 70.0}, "q_pipe": {one: -2.5, other: -2.8},
    }  # fmt: skip

    def shortage(station, key, x):
        return enough[key][station] - (-np.asarray(x) if key == "q_pipe" else np.asarray(x))

    put(monkeypatch, shortage)
    found = thin.needed(built(one, other), 0.7)
    assert found.thickness == 0.7
    assert found.properties == {"E": pytest.approx(170.0), "sigma": None}
    assert found.ovality == pytest.approx(2.5)
    assert found.retention == pytest.approx(70.0)
    # A property up to a hundred times as large, and no less than half a thousandth more.
    for times, value in ((99.9, 999.0), (100.1, None), (1.005, 10.05)):
        enough["sigma"][one] = enough["sigma"][other] = times * 10
        sigma = thin.needed(built(one, other), 0.7).properties["sigma"]
        assert sigma == (value if value is None else pytest.approx(value))
    # An ovality is looked for from the design down, and never above that of a station.
    enough["q_pipe"] = {one: -2.5, other: -3.5}
    assert thin.needed(built(one, other), 0.7).ovality == pytest.approx(2.5)
    enough["q_pipe"] = {one: -4.0, other: -4.0}
    assert thin.needed(built(one, other), 0.7).ovality == pytest.approx(4.0)
    # Down to a true circle.
    enough["q_pipe"] = {one: -0.005, other: -0.005}
    assert thin.needed(built(one, other), 0.7).ovality == pytest.approx(0.005)
    put(monkeypatch, lambda _, key, x: (np.asarray(x) - 1) * (np.asarray(x) - 2))
    assert thin.needed(built(one, other), 0.7).ovality == pytest.approx(2.0)


def test_the_property_nearest_to_the_design_is_found(monkeypatch):
    """Enough from 150 to 200 and from 300 on."""
    put(monkeypatch, lambda _, key, x: (150 - np.asarray(x)) * (200 - x) * (300 - x))
    assert thin.needed(built(place(E=100.0)), 0.7).modulus == pytest.approx(150)


def test_the_first_retention_that_is_enough_is_found(monkeypatch):
    """Enough from 60 to 65 and from 80 on; none at all, and all of it."""
    put(monkeypatch, lambda _, key, x: (60 - np.asarray(x)) * (65 - x) * (80 - x))
    found = thin.needed(built(place(r_E=50.0)), 0.7)
    assert found.retention == pytest.approx(60)
    assert thin.needed(built(place(r_E=100.0)), 0.7).retention is None
    put(monkeypatch, lambda _, key, x: 100.5 - np.asarray(x))
    assert thin.needed(built(place(r_E=50.0)), 0.7).retention is None
    put(monkeypatch, lambda _, key, x: 200 - np.asarray(x))
    assert thin.needed(built(place(r_E=50.0)), 0.7).life_years is None


def test_a_round_pipe_and_one_without_creep_have_no_such_need(monkeypatch):
    put(monkeypatch, lambda _, key, x: 20.0 - np.asarray(x))
    found = thin.needed(built(place(sigma_T=10.0, q_pipe=0.0)), 0.7)
    assert found == Needed(0.7, {"sigma_T": pytest.approx(20.0)}, None, None, None)
    assert found.modulus is None


def test_a_wall_is_put_in_place_of_the_designed_one():
    """The increment goes with the thickness; properties as installed say so."""
    task = result({"thicknesses": ["26 mm", "30 mm"]}).task
    assert task.basis.sizes is not None
    made = with_wall(task, 0.9, {"E": 300_000.0})
    (before,), (after,) = task.stations, made.stations
    values = {each.key: each.value for each in after.inputs}
    kept = {each.key: each.value for each in before.inputs if each.key not in ("s", "t")}
    assert values == kept | {"E": 300_000.0, "t": 0.9}
    assert {each.key for each in after.inputs if "as installed" in each.origin.text} == {"E", "t"}
    assert (made.basis.thickness_given, made.basis.sizes) == (True, None)
    assert designed(made).nominal_thickness == 0.9


@pytest.mark.parametrize(
    "site",
    [
        {},
        {"cover": None, "invert_depth": "20 ft"},
        {"groundwater_above_invert": None, "groundwater_above_crown": "8 ft"},
        {"groundwater_above_invert": None, "groundwater_below_surface": "8 ft"},
        {"cover": None, "groundwater_above_invert": None, "ground_elevation": "120 ft",
         "invert_elevation": "100 ft", "groundwater_elevation": "112 ft"},
        {"ovality": None, "maximum_diameter": "48.96 in"},
        {"ovality": None, "minimum_diameter": "47.04 in", "maximum_diameter": "48.5 in"},
        {"live_load": "HL-93"},
    ],
)  # fmt: skip
def test_a_pipe_on_standard_datums_is_the_same_pipe(site):
    """All are 16 ft of cover over a crown 4 ft above the invert, 12 ft of water, 2 %."""
    before = result(**site)
    made = on_standard_datums(before.task)
    basis = made.basis
    assert (basis.water, basis.cover, basis.ovality) == (("h_invert",), ("H",), ("q_pipe",))
    values = {each.key: each.value for each in made.stations[0].inputs}
    assert (values["h_invert"], values["H"], values["q_pipe"]) == (
        pytest.approx(12), pytest.approx(16), pytest.approx(2),
    )  # fmt: skip
    others = {"d_water", "h_crown", "d_invert", "z_ground", "z_water", "q_max", "q_min"}
    assert not others & values.keys()
    assert designed(made).required_thickness == pytest.approx(before.required_thickness)


def test_a_load_by_its_method_is_looked_at_as_a_pressure():
    """What is carried of it is just carried where it is given as a pressure."""
    by_method = thin_wall(result(design_thickness="25 mm", live_load="HL-93", cover="4 ft",
                                 groundwater_above_invert="6 ft"))  # fmt: skip
    (found,) = by_method.tolerated
    load = found.allowed["W_s"]
    assert load.designed == pytest.approx(
        float(by_method.wall.stations and result(live_load="HL-93", cover="4 ft",
              groundwater_above_invert="6 ft").value("W_s"))
    )  # fmt: skip
    for share, passes in ((1 - 1e-6, True), (1 + 1e-6, False)):
        given = result(design_thickness="25 mm", live_load=f"{share * load.value!r} psi",
                       cover="4 ft", groundwater_above_invert="6 ft")  # fmt: skip
        assert given.holds is passes


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


def test_the_search_for_water_ends_656_feet_above_the_design():
    """The head carried grows by five feet a millimetre of wall here, past 668 ft."""
    for thickness, found in (("202 mm", True), ("203 mm", False)):
        wall = thin_wall(result(design_thickness=thickness, live_load="0 psi"))
        head = wall.tolerated[0].head
        assert (head.value is not None, head.unlimited) == (found, not found)
        assert not found or 12 + 650 < head.value < 12 + 660


def test_a_shortage_within_the_last_digits_is_none(monkeypatch):
    required = 0.5 * np.array([1 - 1e-13, 1 + 1e-13, 1 + 1e-10, 1.5, np.inf, np.nan])
    monkeypatch.setattr(thin, "_solved", lambda *given, **put: {"t_required": required})
    found = thin._shortage(built(), place(t=0.5), "H", np.arange(6.0))
    assert found[:2].tolist() == [0.0, 0.0]
    assert found[2:4] == pytest.approx([1e-10, 0.5], rel=1e-3)
    assert found[4:].tolist() == [np.inf, np.inf]


def test_a_value_just_as_designed_has_no_lines():
    wall = thin_wall(result(design_thickness="100 mm"))
    allowed = {"H": Allowed("H", 16.0, 16.0, False)}
    wall.__dict__["tolerated"] = (thin.Tolerated(None, allowed),)
    assert list(wall.workings()) == []
