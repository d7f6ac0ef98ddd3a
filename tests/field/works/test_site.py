"""The site sheet against statics, integrals, pint and hand calculation."""

import csv
import json
import math
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pint
import pytest
from fluids.open_flow import V_Manning
from hypothesis import given
from hypothesis import strategies as st
from projects import toml
from scipy.integrate import quad, solve_ivp

from linerdesign.documents.blocks import Bullets, Heading, Paragraph
from linerdesign.documents.working import Values, Working
from linerdesign.field.works import sheet
from linerdesign.field.works.asked import asked
from linerdesign.findings import Severity
from linerdesign.interface import read, size
from linerdesign.methods import hydraulics, quantities, works
from linerdesign.methods.legs import LEG_FAILS
from linerdesign.project.faults import InputFaults
from linerdesign.words import sentence

UNITS = pint.UnitRegistry()
FELT = {
    "name": "felt",
    "flexural_modulus": "250000 psi",
    "flexural_strength": "4500 psi",
    "density": "1150 kg/m^3",
}
LATERAL = {
    "name": "L1",
    "condition": "fully deteriorated",
    "host_diameter": "4 in",
    "ovality": "2 %",
    "cover": "8 ft",
    "groundwater_above_invert": "5 ft",
    "soil_unit_weight": "120 pcf",
    "soil_reaction_modulus": "1000 psi",
    "live_load": "0.5 psi",
    "length": "50 ft",
}


def found(resin=None, order=None, capacity=None, units="US", **pipe):
    """What is asked for the lateral, by kind."""
    tables = {"order": order or {}} | ({"capacity": capacity} if capacity else {})
    project = read(
        {
            "project": {"title": "Harrowmere", "units": units},
            "resin": [{k: v for k, v in (FELT | (resin or {})).items() if v is not None}],
            "pipe": [LATERAL | pipe],
        }
        | tables
    )
    (result,) = size(project).pipes
    return {each.kind: each for each in asked(project, result)}


def value(part, key):
    """A quantity of any of the workings of a calculation."""
    steps = [*part.steps, *(step for steps in part.more.values() for step in steps)]
    return next(step.value for step in steps if step.key == key)


def test_the_window_by_hand():
    """5 ft of water press with 0.433 x 5 psi; 8 ft of 120 pcf with 960/144 psi."""
    data = {"maximum_installation_pressure": "12 psi"}
    sheet = found(data, capacity={"host_n": 0.013, "slope": "2 %"})["site"]
    assert value(sheet, "p_least") == pytest.approx(0.433 * 5)
    assert value(sheet, "p_window") == pytest.approx(960 / 144)
    # The line falls by 2 % of 50 ft: the column must reach over the upper end too.
    assert value(sheet, "h_least") == pytest.approx(5 + 1)
    assert value(sheet, "h_most") == pytest.approx(960 / 144 / 0.433)
    assert sheet.data()["window"] is True


SYSTEM = {
    "minimum_installation_pressure": "3 psi",
    "maximum_installation_pressure": "12 psi",
    "maximum_pull_force": "9000 lb",
    "pull_elongation": "3 %",
    "light_power": "4 kW",
    "light_speed": "0.8 m/min",
    "heating_time": "90 min",
    "cure_temperature": "60 degC",
    "cure_time": "3 h",
    "cooling_time": "1 h",
    "resin_density": "1.1 g/cm^3",
    "felt_density": "0.2 g/cm^3",
}
STATIONS = (
    {"at": "0 ft", "cover": "9 ft", "groundwater_above_invert": "4 ft"},
    {"at": "20 ft", "cover": "6 ft"},
    {"at": "40 ft", "soil_unit_weight": "100 pcf"},
)


@pytest.mark.parametrize("stations", [STATIONS, tuple(reversed(STATIONS))])
def test_the_whole_sheet_by_hand(stations):
    """Water 5 ft up at most, soil of 6 ft at 120 pcf at least, 60 ft of tube with its ends; the
    wall of the tube and its felt as thick as the design's, the bends of the legs 75 deg."""
    legs = [{"length": "30 ft", "bend": "30 deg", "bend_radius": "12 in"},
            {"length": "20 ft", "bend": "45 deg", "bend_radius": "12 in"}]  # fmt: skip
    order = {"pull_friction": 0.4, "extra_length": "10 ft"}
    parts = found(SYSTEM, order, {"host_n": 0.013, "slope": "2 %"}, station=stations, leg=legs)
    sheet, wall = parts["site"], parts["order"].value("t_tube")
    wet = math.pi * (4 - wall) * wall / 144 * 60 * (1.1 * 1.1 + 0.2) * 1000 * 0.3048**3 / 0.45359237
    force = 0.4 * wet * math.exp(0.4 * math.radians(75))
    metres = 60 * 0.3048
    expected = {
        "working_window": {
            "P_ground": (5 * 0.433, "worst of the stations"),
            "p_expand": (3.0, "resin felt, stated as 3 psi"),
            "S_bed": (2.0, "given"),
            "L_pipe": (50.0, "order"),
            "p_tube": (12.0, "resin felt, stated as 12 psi"),
            "w": (120.0, "station of least cover"),
            "H": (6.0, "station of least cover"),
            "p_least": (3.0, None),
            "z_fall": (1.0, None),
            "h_least": (3 / 0.433 + 1, None),
            "p_host": (5.0, None),
            "p_window": (5.0, None),
            "h_most": (5 / 0.433, None),
        },
        "working_pull": {
            "mu_pull": (0.4, "given"),
            "m_wet": (wet, "order"),
            "alpha_bends": (75.0, "sum of the legs"),
            "F_most": (9000.0, "resin felt, stated as 9000 lb"),
            "x_pull": (3.0, "resin felt, stated as 3 %"),
            "L_tube": (60.0, "order"),
            "F_pull": (force, None),
            "L_pulled": (0.03 * force / 9000 * 60 / 2, None),
        },
        "working_cure": {
            "W_light": (4.0, "resin felt, stated as 4 kW"),
            "v_light": (0.8 / 0.3048, "resin felt, stated as 0.8 m/min"),
            "theta_cure": (140.0, "resin felt, stated as 60 degC"),
            "T_heating": (1.5, "resin felt, stated as 90 min"),
            "T_holding": (3.0, "resin felt, stated as 3 h"),
            "T_cooling": (1.0, "resin felt, stated as 1 h"),
            "L_tube": (60.0, "order"),
            "T_light": (metres / 0.8, None),
            "e_light": (60 * 4 * metres / 60 * 60 / 0.8 / 60, None),
            "T_cure": (5.5, None),
        },
    }
    assert list(sheet.more) == list(expected)
    data = sheet.data()
    for code, by_hand in expected.items():
        steps = sheet.more[code]
        assert [step.key for step in steps] == list(by_hand)
        assert [step.value for step in steps] == pytest.approx(
            [number for number, _ in by_hand.values()], rel=1e-5
        )
        sources = [step.source if step.equation is None else None for step in steps]
        assert sources == [source for _, source in by_hand.values()]
        told = {name: each["value"] for name, each in data[code].items() if name != "steps"}
        assert told == pytest.approx(
            {name: by_hand[key][0] for name, key in sheet.named.items() if key in by_hand}, rel=1e-5
        )
    assert data["window"] is True
    assert set(data) == {*expected, "window", "laterals", "steps", "notes"}


def steps_of(sheet, code):
    return {step.key: (step.value, step.source) for step in sheet.more.get(code, ())}


def test_what_no_one_states_is_taken_as_zero_and_said():
    """Nothing of the system, no slope: a window by the soil alone, neither pull nor cure."""
    zero = (0.0, "not stated, taken as zero")
    sheet = found()["site"]
    window = steps_of(sheet, "working_window")
    assert list(window) == ["P_ground", "p_expand", "z_fall", "w", "H", "p_least", "h_least",
                            "p_host", "h_most"]  # fmt: skip
    assert (window["p_expand"], window["z_fall"]) == (zero, zero)
    assert window["P_ground"] == (5 * 0.433, "design")
    assert [window[key][1] for key in ("w", "H")] == ["design", "design"]
    assert window["h_least"][0] == pytest.approx(5.0)
    assert window["h_most"][0] == pytest.approx(960 / 144 / 0.433)
    assert list(sheet.more) == ["working_window", "working_pull"]
    assert steps_of(sheet, "working_pull")["mu_pull"] == (0.5, "default")
    # Without any density of its parts the tube has no mass, and no pull-in force.
    assert "working_pull" not in found({"density": None})["site"].more
    # A capacity without a slope has no fall either.
    flat = found(capacity={"host_n": 0.013})["site"]
    assert steps_of(flat, "working_window")["z_fall"] == zero
    held = steps_of(found({"cure_time": "3 h"})["site"], "working_cure")
    assert held == {
        "T_holding": (3.0, "resin felt, stated as 3 h"),
        "T_heating": zero,
        "T_cooling": zero,
        "T_cure": (3.0, held["T_cure"][1]),
    }
    light = steps_of(found({"light_speed": "0.8 m/min"})["site"], "working_cure")
    assert list(light) == ["v_light", "L_tube", "T_light"]
    assert list(steps_of(found({"light_power": "4 kW"})["site"], "working_cure")) == ["W_light"]
    pull = found({"maximum_pull_force": "900 lb"})["site"]
    assert "F_most" in steps_of(pull, "working_pull")
    assert "L_pulled" not in steps_of(pull, "working_pull")
    stretched = found({"pull_elongation": "3 %"})["site"]
    assert "x_pull" not in steps_of(stretched, "working_pull")


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_of_two_stations_it_is_said_which_is_meant(order):
    """Water 5 ft up and 6 ft of cover at one of them, 4 ft and 9 ft at the other."""
    parts = found(station=[STATIONS[place] for place in order])
    window = steps_of(parts["site"], "working_window")
    assert window["P_ground"] == (pytest.approx(5 * 0.433), "worst of the stations")
    assert window["H"] == (6.0, "station of least cover")
    assert window["w"] == (120.0, "station of least cover")
    assert parts["order"].value("D_tube") == 4.0
    (tube,) = (step for step in parts["order"].steps if step.key == "D_tube")
    assert tube.source == "smallest diameter"


def test_a_limit_of_the_host_that_is_stated_goes_before_its_soil():
    window = steps_of(found(order={"host_pressure": "8 psi"})["site"], "working_window")
    assert window["p_host"] == (8.0, "given, stated as 8 psi")
    assert {"w", "H", "p_window"}.isdisjoint(window)
    assert window["h_most"][0] == pytest.approx(8 / 0.433)


@pytest.mark.parametrize("units", ["US", "SI"])
def test_a_sheet_in_either_system_has_the_same_pressures_and_heads(units):
    """Water of 0.433 psi/ft and 9.81 kN/m^3, 0.16 % apart; 8 ft of soil at 120 pcf."""
    window = steps_of(found(units=units)["site"], "working_window")
    foot, psi = (1.0, 1.0) if units == "US" else (0.3048, 0.00689475729)
    known = {"P_ground": 5 * 0.433 * psi, "p_host": 960 / 144 * psi, "h_least": 5 * foot,
             "h_most": 960 / 144 / 0.433 * foot}  # fmt: skip
    assert {key: window[key][0] for key in known} == pytest.approx(known, rel=2e-3)


@pytest.mark.parametrize(
    ("more", "water"),
    [
        ({"groundwater_above_invert": "4 ft"}, 4 * 0.433),
        ({"groundwater_above_invert": "4 ft", "vacuum": "5 psi"}, 4 * 0.433),
        ({"above_ground": True}, 0.0),
        ({"above_ground": True, "vacuum": "5 psi"}, 0.0),
    ],
)
def test_a_vacuum_in_the_pipe_is_no_pressure_of_the_ground(more, water):
    """The tube is put in before the pipe is in service: what presses on it is groundwater."""
    main = {
        "name": "M1",
        "condition": "partially deteriorated",
        "host_diameter": "12 in",
        "ovality": "2 %",
        "internal_pressure": "60 psi",
        "hole_diameter": "2 in",
        "length": "100 ft",
    }
    resin = FELT | {"tensile_strength": "3000 psi"}
    project = read(
        {"project": {"title": "x"}, "order": {}, "resin": [resin], "pipe": [main | more]}
    )
    sheet = {each.kind: each for each in asked(project, size(project).pipes[0])}["site"]
    assert steps_of(sheet, "working_window")["P_ground"][0] == pytest.approx(water)


@pytest.mark.parametrize(
    ("resin", "order", "window"),
    [
        ({"minimum_installation_pressure": "7 psi"}, {}, False),
        ({"minimum_installation_pressure": "7 psi"}, {"host_pressure": "8 psi"}, True),
        ({"maximum_installation_pressure": "2 psi"}, {}, False),
    ],
)
def test_a_window_that_is_none_is_said(resin, order, window):
    sheet = found(resin, order)["site"]
    assert sheet.data()["window"] is window
    assert any("NO WINDOW" in note for note in sheet.notes) is not window


def test_no_limit_known_is_no_window():
    bare = dict.fromkeys(("cover", "soil_unit_weight"))
    pipe = LATERAL | {"condition": "partially deteriorated", "live_load": None} | bare
    pipe = {key: each for key, each in pipe.items() if each is not None}
    del pipe["soil_reaction_modulus"]
    project = read({"project": {"title": "x"}, "resin": [FELT], "pipe": [pipe], "order": {}})
    sheet = {each.kind: each for each in asked(project, size(project).pipes[0])}["site"]
    assert sheet.data()["window"] is None
    assert any("pressure that the host withstands" in note for note in sheet.notes)


def test_pressures_and_heads_of_both_systems_by_pint():
    """Water of 62.4 lb/ft3, 9.81 kN/m3 to three figures, as in the design equations."""
    for us, si in ((works.heave_us, works.heave_si),):
        soil = UNITS.Quantity(120, "lbf/ft^3")
        psi = (soil * UNITS.Quantity(8, "ft")).to("psi").magnitude
        assert us(120.0, 8.0) == pytest.approx(psi)
        metric = soil.to("kN/m^3").magnitude
        assert si(metric, 8 * 0.3048) == pytest.approx(psi * 0.00689476, rel=1e-5)
    column = UNITS.Quantity(10, "ft") * UNITS.Quantity(62.4, "lbf/ft^3")
    psi, mpa = (column.to(unit).magnitude for unit in ("psi", "MPa"))
    assert works.largest_head_us(psi) == pytest.approx(10, rel=1e-3)
    assert works.least_head_us(psi, 2.0) == pytest.approx(12, rel=1e-3)
    assert works.largest_head_si(mpa) == pytest.approx(3.048, rel=1e-3)
    assert works.least_head_si(mpa, 0.5) == pytest.approx(3.548, rel=1e-3)
    assert works.fall_of_line(2.0, 50.0) == 1.0
    assert (works.least_pressure(2.0, 3.0), works.largest_pressure(2.0, 3.0)) == (3.0, 2.0)


@given(
    mu=st.floats(0.1, 0.8),
    mass=st.floats(10, 5000),
    bend=st.floats(0, 180),
    length=st.floats(1, 99),
)
def test_pull_in_force_by_integration(mu, mass, bend, length):
    """Friction summed along the straight tube, then dT = mu T dtheta round the bends."""
    straight = quad(lambda x: mu * mass / length, 0, length)[0]
    turned = solve_ivp(
        lambda angle, force: mu * force, (0, math.radians(bend)), [straight], rtol=1e-9, atol=1e-9
    ).y[0][-1]
    assert works.pull_force_us(mu, mass, bend) == pytest.approx(turned, rel=1e-5)
    kilonewtons = (mass * UNITS.kg * UNITS.standard_gravity).to("kN").magnitude * turned / mass
    assert works.pull_force_si(mu, mass, bend) == pytest.approx(kilonewtons, rel=1e-5)
    # Strain in proportion to a force that grows along the tube, summed.
    strain = quad(lambda x: 0.02 * (turned * x / length) / 9000, 0, length)[0]
    assert works.elongation(2.0, turned, 9000.0, length) == pytest.approx(strain)


def test_pull_in_over_the_limit_of_the_tube_is_said():
    bends = [
        {"length": "25 ft", "bend": "90 deg", "bend_radius": "12 in"},
        {"length": "25 ft", "bend": "45 deg", "bend_radius": "12 in"},
    ]
    parts = found({"maximum_pull_force": "20 lb", "pull_elongation": "3 %"}, leg=bends)
    wet = parts["order"].value("m_wet")
    force = 0.5 * wet * math.exp(0.5 * math.radians(135))
    assert value(parts["site"], "F_pull") == pytest.approx(force, rel=1e-5)
    assert value(parts["site"], "L_pulled") == pytest.approx(0.03 * force / 20 * 50 / 2, rel=1e-5)
    assert any("EXCEEDS" in note for note in parts["site"].notes)


@pytest.mark.parametrize("units", ["US", "SI"])
def test_cure_by_light_by_pint(units):
    data = {"light_power": "4 kW", "light_speed": "0.8 m/min"}
    sheet = found(data, units=units)["site"]
    metres = 50 * 0.3048
    assert value(sheet, "T_light") == pytest.approx(metres / 0.8)
    energy = (UNITS.Quantity(4, "kW") / UNITS.Quantity(0.8, "m/min")).to(
        "kJ/ft" if units == "US" else "kJ/m"
    )
    assert value(sheet, "e_light") == pytest.approx(energy.magnitude)


def test_cure_by_heat_and_what_is_not_stated():
    sheet = found({"cure_time": "3 h", "heating_time": "90 min", "cure_temperature": "60 degC"})[
        "site"
    ]
    assert value(sheet, "T_cure") == 4.5
    assert value(sheet, "theta_cure") == pytest.approx(140)
    (none,) = (note for note in found()["site"].notes if "data sheet" in note and "cure by" in note)
    assert "no light speed and no cure time" in none


def test_resin_by_mass_and_its_mix_by_pint():
    order = found({"resin_density": "1.1 g/cm^3", "hardener_parts": 25.0})["order"]
    volume = UNITS.Quantity(order.value("V_resin"), "ft^3")
    pounds = (volume * UNITS.Quantity(1.1, "g/cm^3")).to("lb").magnitude
    assert order.value("m_resin") == pytest.approx(pounds)
    # 100 parts to 25 parts: four fifths and one fifth.
    assert order.value("m_base") == pytest.approx(0.8 * pounds)
    assert order.value("m_hardener") == pytest.approx(0.2 * pounds)
    # The wall with 10 % more resin; all of the wall is resin where no share is stated.
    assert order.value("m_wet") == pytest.approx(1.1 * order.value("m_total"))
    assert quantities.wet_mass(100.0, 50.0, 10.0) == pytest.approx(105)
    assert quantities.wet_mass_of_parts(100.0, 50.0) == 150


def test_a_wet_tube_weighs_what_its_resin_and_its_dry_tube_weigh():
    order = found({"resin_density": "1.1 g/cm^3", "felt_density": "0.2 g/cm^3"})["order"]
    assert order.value("m_wet") == order.value("m_resin") + order.value("m_tube")


@given(share=st.floats(0.02, 0.98), diameter=st.floats(4, 60))
def test_segment_by_integration(share, diameter):
    """Widths of the circle summed from the invert to the water."""
    depth = share * diameter
    width = lambda y: 2 * math.sqrt(max(y * (diameter - y), 0.0))  # noqa: E731
    area = quad(width, 0, depth, limit=200)[0]
    wetted = diameter * math.acos(1 - 2 * share)
    phi = hydraulics.wetted_angle(depth, diameter)
    assert diameter * phi == pytest.approx(wetted, rel=1e-9)
    assert hydraulics.flow_area(diameter, phi, depth) == pytest.approx(area, rel=1e-6)
    assert hydraulics.hydraulic_radius(area, diameter, phi) == pytest.approx(area / wetted)
    assert hydraulics.relative_depth(depth, diameter) == pytest.approx(100 * share)


@given(
    n=st.floats(0.009, 0.02),
    R=st.floats(10, 600),
    slope=st.floats(0.1, 5),
    area=st.floats(1e3, 1e6),
)
def test_velocity_against_the_library(n, R, slope, area):
    reference = V_Manning(Rh=R / 1000, S=slope / 100, n=n)
    assert hydraulics.velocity_si(n, R, slope) == pytest.approx(reference, rel=1e-9)
    # 1.486 is 3.28084^(1/3) cut to four figures.
    assert hydraulics.velocity_us(n, R / 25.4, slope) * 0.3048 == pytest.approx(reference, rel=3e-4)
    flow = reference * area / 1e6
    assert hydraulics.part_full_flow_si(reference, area) == pytest.approx(flow)
    us = hydraulics.part_full_flow_us(reference / 0.3048, area / 25.4**2)
    assert us * 0.3048**3 == pytest.approx(flow)


def test_depths_of_the_published_curve():
    """Flow over full flow at relative depths, n constant: 0.5 at 50 %, 0.91 at 75 % (handbooks of
    sewer design, from memory), and half the circle exactly."""
    for share, expected in ((0.25, 0.137), (0.5, 0.5), (0.75, 0.912), (0.8, 0.977)):
        full = hydraulics.full_flow_si(0.013, 300.0, 1.0)
        phi = hydraulics.wetted_angle(share * 300, 300.0)
        area = hydraulics.flow_area(300.0, phi, share * 300)
        v = hydraulics.velocity_si(0.013, hydraulics.hydraulic_radius(area, 300.0, phi), 1.0)
        flow = hydraulics.part_full_flow_si(v, area)
        assert flow / full == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize("units", ["US", "SI"])
def test_flow_before_and_after_by_bisection(units):
    """The depth whose segment carries the flow by the library's Manning formula."""
    asking = {"host_n": 0.014, "slope": "1 %", "flow": "2 L/s"}
    part = found(capacity=asking, units=units)["capacity"]
    wall = part.value("t") * (25.4 if units == "US" else 1) / 1000
    for code, diameter, n in (
        ("flow_before", 0.1016, 0.014),
        ("flow_after", 0.1016 - 2 * wall, 0.010),
    ):
        shares = np.linspace(1e-4, 0.93, 200_001)
        phi = np.arccos(1 - 2 * shares)
        area = diameter**2 / 4 * (phi - np.sin(phi) * np.cos(phi))
        carried = V_Manning(Rh=area / (diameter * phi), S=0.01, n=n) * area
        share = np.interp(0.002, carried, shares)
        (depth,) = (step.value for step in part.more[code] if step.key == "x_depth")
        assert depth == pytest.approx(100 * share, rel=5e-4)


def test_self_cleansing_is_judged_by_the_velocity_stated():
    def notes(**more):
        asking = {"host_n": 0.014, "slope": "1 %", "flow": "2 L/s"} | more
        return found(capacity=asking)["capacity"].notes

    assert sum("NOT SELF-CLEANSING" in note for note in notes()) == 1
    assert sum("practice, no source" in note for note in notes()) == 2
    own = notes(self_cleansing_velocity="1 ft/s")
    assert not any("NOT SELF-CLEANSING" in note or "no source" in note for note in own)
    assert sum("exceeds the full-flow capacity" in note for note in notes(flow="20 L/s")) == 2


def test_a_flow_wants_a_slope():
    with pytest.raises(InputFaults, match="slope"):
        found(capacity={"host_n": 0.013, "flow": "2 L/s"})


def test_laterals_in_the_order_of_their_stations_and_in_the_bid(run, tmp_path):
    rows = "".join(
        f'[[pipe.lateral]]\nat = "{at}"\nclock = "{clock}"\n'
        for at, clock in (("31 ft", "2"), ("MH 2", "12"), ("12 ft", "10"))
    )
    text = f"[order]\n{toml({'length': '100 ft'})}\n{rows}"
    (tmp_path / "p.toml").write_text(text)
    code, out, _ = run("size", "p.toml", "-o", "bid.csv", "--json")
    assert code == 0
    told = json.loads(out)["pipes"][0]["site"]["laterals"]
    assert [each["at"] for each in told] == ["12 ft", "31 ft", "MH 2"]
    rows = list(csv.DictReader(Path("bid.csv").read_text(encoding="utf-8").splitlines()))
    assert [row["laterals to reinstate"] for row in rows] == ["3", "3"]
    (tmp_path / "p.toml").write_text(text.replace("31 ft", "131 ft"))
    code, _, err = run("size", "p.toml")
    assert code == 2
    assert "131 ft" in err


def test_the_sheets_of_the_crew_by_themselves(run, tmp_path):
    text = toml({"length": "100 ft"})
    (tmp_path / "p.toml").write_text(f"[order]\n{text}")
    code, out, _ = run("size", "p.toml", "--works")
    assert code == 0
    assert "Order and site sheet" in out
    assert "To order and to wet out" in out
    assert "To keep on site" in out
    assert "Schedule" not in out
    assert "DO NOT ORDER" not in out
    thin = text.replace("[[pipe]]", '[[pipe]]\ntube_diameter = "30 in"')
    (tmp_path / "p.toml").write_text(f"[order]\n{thin}")
    code, out, _ = run("size", "p.toml", "--works")
    assert code == 1
    assert out.index("DO NOT ORDER") < out.index("To order")
    (tmp_path / "p.toml").write_text(text)
    assert "add [order]" in run("size", "p.toml", "--works")[2]


def test_each_pipe_of_the_crews_sheets_and_the_working_begin_a_page():
    """The first follows the title; what the working is worked from stands before it."""
    pipes = [LATERAL, LATERAL | {"name": "L2"}, LATERAL | {"name": "L3", "length": None}]
    pipes = [{key: value for key, value in pipe.items() if value is not None} for pipe in pipes]
    sizing = size(read({"project": {"title": "x"}, "order": {}, "resin": [FELT], "pipe": pipes}))
    more = Paragraph("of all")
    made = sheet.works(sizing.project, "US", sizing.pipes, sizing.additions, [more])
    heads = {block.text: block.page for block in made.blocks if isinstance(block, Heading)}
    names = list(heads)
    assert {name: heads[name] for name in ("L1", "L2")} == {"L1": False, "L2": True}
    assert "L3" not in heads
    working = sentence("field.works_working")
    assert heads[working] is True
    assert names.index("L2") < names.index(working)
    at = made.blocks.index(more)
    assert made.blocks[at + 1].text == working
    assert not any(isinstance(block, Working) for block in made.blocks[:at])
    tables = [block.caption for block in made.blocks[:at] if isinstance(block, Values)]
    assert tables == 2 * ["To order and to wet out", "To keep on site"]
    assert (made.title, made.units) == (sentence("field.works_title"), "US")


def test_what_speaks_against_an_order_stands_first_each_once():
    """The legs that fail, then what is outside the method; other remarks are left to the design."""
    note = SimpleNamespace
    notes = (
        note(code="x", severity=Severity.OUTSIDE, said="outside"),
        note(code=LEG_FAILS, severity=Severity.CAUTION, said="leg 2 fails"),
        note(code="y", severity=Severity.CAUTION, said="a remark"),
        note(code=LEG_FAILS, severity=Severity.OUTSIDE, said="leg 1 fails"),
    )
    table = Paragraph("to order")
    for holds in (True, False):
        result = SimpleNamespace(name="L1", holds=holds, notes=notes, status="insufficient")
        head, *told, last = sheet._pipe(result, [table], True)
        assert (head, last) == (Heading("L1", page=True), table)
        assert told == ([] if holds else [Bullets((
            sentence("field.works_fails", status="insufficient"),
            *("leg 2 fails", "leg 1 fails", "outside"),
        ))])  # fmt: skip
