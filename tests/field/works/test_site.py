"""The site sheet against statics, integrals, pint and hand calculation."""

import csv
import json
import math
from pathlib import Path

import numpy as np
import pint
import pytest
from fluids.open_flow import V_Manning
from hypothesis import given
from hypothesis import strategies as st
from projects import toml
from scipy.integrate import quad, solve_ivp

from linerdesign.field.works.asked import asked
from linerdesign.interface import read, size
from linerdesign.methods import hydraulics, quantities, works
from linerdesign.project.faults import InputFaults

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
            "resin": [FELT | (resin or {})],
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
