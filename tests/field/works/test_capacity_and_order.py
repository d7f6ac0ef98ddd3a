"""Capacity against an open fluid-mechanics library, quantities against pint and by hand."""

import math

import pint
import pytest
from fluids.open_flow import V_Manning
from hypothesis import given
from hypothesis import strategies as st
from projects import toml

from linerdesign.field.works.asked import asked
from linerdesign.methods import hydraulics, quantities
from linerdesign.methods.sizing import design
from linerdesign.project.assembly import tasks
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse

UNITS = pint.UnitRegistry()


def full_flow(n, diameter, slope):
    """Full flow in m3/s by the library `fluids`; diameter in m, slope as a ratio."""
    return V_Manning(Rh=diameter / 4, S=slope, n=n) * math.pi * diameter**2 / 4


@given(
    dr=st.floats(15, 100),
    n_host=st.floats(0.011, 0.03),
    n_liner=st.floats(0.009, 0.012),
    diameter=st.floats(0.1, 2.5),
)
def test_percentage_against_the_library(dr, n_host, n_liner, diameter):
    bore = diameter * (1 - 2 / dr)
    reference = 100 * full_flow(n_liner, bore, 0.004) / full_flow(n_host, diameter, 0.004)
    assert hydraulics.capacity_after_lining(n_host, n_liner, bore, diameter) == pytest.approx(
        reference, rel=1e-9
    )


@given(n=st.floats(0.009, 0.03), diameter=st.floats(100, 2500), slope=st.floats(0.05, 5))
def test_full_flow_of_both_systems_against_the_library(n, diameter, slope):
    reference = full_flow(n, diameter / 1000, slope / 100)
    assert hydraulics.full_flow_si(n, diameter, slope) == pytest.approx(reference, rel=2e-6)
    cubic_feet = hydraulics.full_flow_us(n, diameter / 25.4, slope)
    # 1.486 is 3.28084^(1/3) cut to four figures.
    assert cubic_feet * 0.3048**3 == pytest.approx(reference, rel=3e-4)


def results_of(text):
    project = parse(text.encode(), "test.toml")
    return project, design(tasks(project)[0])


def asking(pipe=None, tables="", resin=None, units="US"):
    text = toml(pipe=pipe, resin=resin, project={"units": units})
    project, result = results_of(f"{tables}\n{text}")
    return {each.kind: each for each in asked(project, result)}


def test_nothing_is_asked_unless_a_table_asks():
    assert asking({"length": "100 ft"}) == {}


@pytest.mark.parametrize("units", ["US", "SI"])
def test_quantities_of_a_wall_by_pint(units):
    found = asking(
        {"length": "100 ft", "design_thickness": "27 mm"},
        '[order]\nextra_length = "10 ft"\nresin_share = "85 %"\nresin_excess = "8 %"',
        {"density": "1.15 g/cm^3"},
        units,
    )["order"]
    inside, outside = (48 * UNITS.inch - 54 * UNITS.mm), 48 * UNITS.inch
    volume = math.pi / 4 * (outside**2 - inside**2) * 110 * UNITS.foot
    mass = (volume * 1.15 * UNITS.gram / UNITS.cm**3).to("kg")

    def value(key, us, si):
        return (found.value(key) * UNITS(us if units == "US" else si)).to_base_units().magnitude

    volume, mass, metres = volume.to("m^3").magnitude, mass.magnitude, 110 * 0.3048
    assert value("V_wall", "ft^3", "m^3") == pytest.approx(volume, rel=2e-6)
    assert value("V_resin", "ft^3", "m^3") == pytest.approx(volume * 0.85 * 1.08, rel=2e-6)
    assert value("m_total", "lb", "kg") == pytest.approx(mass, rel=2e-6)
    assert value("m_length", "lb/ft", "kg/m") == pytest.approx(mass / metres, rel=2e-6)


def test_a_default_is_not_stated_and_resin_is_by_volume(run, tmp_path):
    (tmp_path / "p.toml").write_text("[order]\n" + toml({"length": "100 ft"}))
    order = " ".join(run("size", "p.toml", "--full")[1].split("Quantities to order")[1].split())
    assert "stated as 0 m" not in order
    assert "given, stated as 100 ft" in order
    assert "share of the wall by volume" in order
    assert "volume of resin: common practice, no source" in order


def test_a_pipes_own_table_goes_over_the_common_one():
    found = asking({"capacity": {"host_n": 0.016}}, '[capacity]\nhost_n = 0.014\nslope = "0.4 %"')[
        "capacity"
    ]
    assert found.value("n_host") == 0.016
    assert found.value("S_bed") == 0.4
    ratio = found.value("Q_after") / found.value("Q_before")
    assert found.value("r_Q") == pytest.approx(100 * ratio)


def test_a_pipes_own_order_goes_over_the_common_one():
    own = {"length": "100 ft", "order": {"resin_excess": "10 %"}}
    found = asking(own, '[order]\nresin_excess = "8 %"\nresin_share = "85 %"')["order"]
    assert (found.value("x_resin"), found.value("x_share")) == (10.0, 85.0)


def test_what_is_missing_is_named():
    with pytest.raises(InputFaults) as found:
        asking({"order": {}}, "[capacity]\nliner_n = 0.011")
    first, second = map(str, found.value.faults)
    assert first.startswith('missing key capacity.host_n in [[pipe]] "Trunk" (line 15): Manning')
    assert second.startswith('missing key length in [[pipe]] "Trunk"')


def test_n_outside_the_published_range_is_flagged():
    found = asking(tables="[capacity]\nhost_n = 0.011\nliner_n = 0.013")["capacity"]
    flags = [flag for step in found.steps for flag in step.flags]
    assert any("0.009 to 0.012" in flag for flag in flags)
    assert any("0.013" in flag for flag in flags)


def test_stretch_at_a_diameter_change():
    """Constant area by hand: a 10 in tube of 9 mm in a 12 in pipe, pi (D - t) t the same."""
    stations = [{"at": "0 ft", "host_diameter": "10 in"}, {"at": "90 ft", "host_diameter": "12 in"}]
    pipe = {
        "length": "100 ft",
        "condition": "partially deteriorated",
        "design_thickness": "9 mm",
        "station": stations,
    }
    found = asking(pipe, "[order]")["order"]
    t = found.value("t_out")
    tube = 9 / 25.4
    assert (12 - t) * t == pytest.approx((10 - tube) * tube)
    assert any(note.endswith("sufficient") for note in found.notes)
    # The wall to impregnate is that of the tube, pi (10 - t) t.
    assert found.value("A_wall") == pytest.approx(math.pi * (10 - tube) * tube, rel=2e-6)
    thin = asking(pipe | {"design_thickness": "4.5 mm"}, "[order]")["order"]
    assert any("NOT SUFFICIENT" in note for note in thin.notes)


def test_resin_of_a_four_inch_tube_in_a_six_inch_leg():
    """By the host's 6 in the wall would be (152.4 - 3)/(101.6 - 3) = 1.52 times the tube's."""
    legs = [{"length": "20 ft"}, {"length": "30 ft", "host_diameter": "6 in"}]
    pipe = {
        "host_diameter": "4 in",
        "tube_diameter": "4 in",
        "tube_thickness": "3 mm",
        "condition": "partially deteriorated",
        "leg": legs,
    }
    found = asking(pipe, "[order]")["order"]
    area = math.pi * (101.6 - 3) * 3 / 25.4**2
    assert found.value("A_wall") == pytest.approx(area, rel=2e-6)
    volume = area / 144 * 50
    assert found.value("V_resin") == pytest.approx(1.1 * volume, rel=2e-6)
    # 7.48052 gallons to the cubic foot, NIST SP 811.
    assert found.value("V_mix") == pytest.approx(1.1 * volume * 7.480519, rel=1e-5)
    assert found.value("g_roller") == pytest.approx(6 / 25.4)


def test_resin_measure_and_roller_gap_by_pint():
    gallons = UNITS.Quantity(1.0, "foot^3").to("gallon").magnitude
    assert quantities.resin_measure_us(1.0) == pytest.approx(gallons)
    assert quantities.resin_measure_si(1.0) == 1000
    assert quantities.roller_gap(4.5) == 9.0


def test_wall_area_of_a_thin_ring():
    assert quantities.wall_area(100.0, 1.0) == pytest.approx(
        math.pi / 4 * (100**2 - 98**2), rel=1e-6
    )


def test_every_form_shows_what_was_asked(run, tmp_path):
    text = "[capacity]\nhost_n = 0.014\n[order]\n" + toml({"length": "100 ft"})
    (tmp_path / "p.toml").write_text(text)
    code, out, _ = run("size", "p.toml")
    assert code == 0
    assert "Capacity running full" in out
    assert "Quantities to order" in out
    code, _, _ = run("size", "p.toml", "-o", "a.xlsx", "-o", "a.html", "-o", "a.pdf")
    assert code == 0
    assert "Quantities to order" in (tmp_path / "a.html").read_text()
