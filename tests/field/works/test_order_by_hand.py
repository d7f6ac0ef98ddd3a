"""Everything that a crew reads of an order and of a flow, by hand from the wall of the tube."""

from math import acos, pi, sin, sqrt

import pytest
from field.works.test_capacity_and_order import asking, full_flow
from scipy.optimize import brentq

from linerdesign.documents.blocks import Bullets, Heading
from linerdesign.documents.working import Values, Working

# NIST SP 811: the inch, the pound and the US gallon by definition.
FOOT, POUND, GALLON = 0.3048, 0.45359237, 231 * 0.0254**3
RESIN = {
    "density": "1150 kg/m^3",
    "resin_density": "1100 kg/m^3",
    "felt_density": "200 kg/m^3",
    "hardener_parts": 2,
}
ORDER = """[order]
extra_length = "10 ft"
resin_share = "90 %"
resin_excess = "8 %"
felt_thickness = "30 mm"
"""
PIPE = {"length": "100 ft", "design_thickness": "27 mm"}


def shown(table):
    """The table that the crew reads first: number and unit by symbol."""
    return {row[1]: row[2].split() for row in table.rows}


@pytest.mark.parametrize("units", ["US", "SI"])
def test_the_whole_order_by_hand(units):
    """Of a 48 in tube with 27 mm as cured and 30 mm dry, 110 ft of it."""
    found = asking(PIPE, ORDER, RESIN, units)["order"]
    us, bore, length = units == "US", 48 * 0.0254, 110 * FOOT
    wall = pi * (bore - 0.027) * 0.027 * length
    resin = wall * 0.9 * 1.08
    felt = pi * (bore - 0.03) * 0.03 * length * 200
    mass = POUND if us else 1.0
    expected = {
        "D_t": (bore / (0.0254 if us else 0.001), "in" if us else "mm"),
        "t_t": (27, "mm"),
        "L_o": (length / (FOOT if us else 1), "ft" if us else "m"),
        "L_x": (10 if us else 10 * FOOT, "ft" if us else "m"),
        "V_r": (resin / (FOOT**3 if us else 1), "ft^3" if us else "m^3"),
        "V_m": (resin / (GALLON if us else 0.001), "gal" if us else "L"),
        "m_r": (resin * 1100 / mass, "lb" if us else "kg"),
        "m_p1": (resin * 1100 / 1.02 / mass, "lb" if us else "kg"),
        "m_p2": (resin * 1100 / 1.02 * 0.02 / mass, "lb" if us else "kg"),
        "x_e": (8, "%"),
        "g_r": (54, "mm"),
        "m_d": (felt / mass, "lb" if us else "kg"),
        "m_w": ((felt + resin * 1100) / mass, "lb" if us else "kg"),
    }
    (table,) = found.tables
    cells = shown(table)
    assert list(cells) == list(expected)
    for symbol, (value, unit) in expected.items():
        assert float(cells[symbol][0]) == pytest.approx(value, rel=6e-4), symbol
        assert cells[symbol][1] == unit
    assert table.caption == "To order and to wet out"
    data = found.data()
    by_hand = {
        "wall_volume": wall / (FOOT**3 if us else 1),
        "resin_volume": expected["V_r"][0],
        "resin_measure": expected["V_m"][0],
        "resin_mass": expected["m_r"][0],
        "mix_resin_mass": expected["m_p1"][0],
        "mix_hardener_mass": expected["m_p2"][0],
        "tube_diameter": expected["D_t"][0],
        "mass": wall * 1150 / mass,
        "mass_per_length": wall * 1150 / mass / expected["L_o"][0],
        "wet_mass": expected["m_w"][0],
        "tube_mass": expected["m_d"][0],
        "tube_length": expected["L_o"][0],
    }
    values = {name: data[name]["value"] for name in by_hand}
    assert values == pytest.approx(by_hand, rel=2e-6)
    assert set(data) == {*by_hand, "roller_gap", "steps", "notes"}
    assert found.notes == ()
    assert len(data["steps"]) == len(found.steps)


def test_what_a_resin_does_not_state_is_said_and_left_out():
    plain = asking(PIPE, "[order]")["order"]
    heads = [note.split(":")[0] for note in plain.notes]
    assert heads == [
        "mass of the wall not calculated",
        "resin by mass and its mix not calculated",
        "weight of the dry tube not calculated",
        "no length included for the ends; state the length beyond the line",
    ]
    assert {"m_total", "m_resin", "m_tube", "m_wet"}.isdisjoint(each.key for each in plain.steps)
    # The wet tube by its cured density, and the excess of resin over it, where parts are unknown.
    cured = asking(PIPE, ORDER, {"density": "1150 kg/m^3"})["order"]
    assert cured.value("m_wet") == pytest.approx(cured.value("m_total") * (1 + 0.9 * 0.08))
    no_mix = {key: RESIN[key] for key in ("density", "resin_density", "felt_density")}
    bare = asking(PIPE, ORDER, no_mix)["order"]
    assert bare.value("m_base") is None
    assert bare.value("m_wet") == pytest.approx(bare.value("m_resin") + bare.value("m_tube"))
    assert asking(PIPE, ORDER, {"resin_density": "1100 kg/m^3"})["order"].value("m_wet") is None
    # The dry tube is as thick as the cured wall where nothing else is stated.
    as_cured = asking(PIPE, "[order]", RESIN)["order"]
    dry = next(each for each in as_cured.steps if each.key == "t_felt")
    assert dry.value == pytest.approx(27 / 25.4)
    assert "wall of the tube as cured" in str(dry.origin)


def widening(widest, thickness, tube="10 in", **criteria):
    """The note on a tube in a pipe of 10 in that widens."""
    stations = [{"at": "0 ft", "host_diameter": "10 in"}, {"at": "90 ft", "host_diameter": widest}]
    pipe = {
        "length": "100 ft",
        "condition": "partially deteriorated",
        "design_thickness": thickness,
        "station": stations,
    }
    return asking(pipe, f'[order]\nextra_length = "0 ft"\ntube_diameter = "{tube}"')["order"]


def test_a_tube_is_stretched_where_the_pipe_is_wider_by_half_a_percent():
    """Borders of the diameters that count as one: common practice, no source."""
    for widest, stretched in (("10.04 in", False), ("10.06 in", True)):
        found = widening(widest, "9 mm")
        assert (found.value("t_out") is not None) is stretched
        assert any("widest" in note or "largest" in note for note in found.notes) is stretched
    for tube, folds in (("10.04 in", False), ("10.06 in", True)):
        found = widening("10 in", "9 mm", tube)
        assert ("the tube is wider than the host: longitudinal fold" in found.notes) is folds


def test_the_note_on_a_stretched_tube_names_what_is_left_and_what_to_order():
    """A wall keeps its area pi (D - t) t: of 4.5 mm in 10 in, that in 12 in; and back."""
    found = widening("12 in", "4.5 mm")
    note = found.notes[-1]
    area = (254 - 4.5) * 4.5
    left = (304.8 - sqrt(304.8**2 - 4 * area)) / 2
    assert found.value("t_out") == pytest.approx(left / 25.4)
    assert found.value("D_wide") == pytest.approx(12)
    assert f"at 90 ft: {left:.3f} mm ({left / 25.4:.4f} in) delivered" in note
    assert "NOT SUFFICIENT; required tube thickness " in note
    required = float(note.split(" delivered, ")[1].split(" mm")[0])
    needed = float(note.split("required tube thickness ")[1].split(" mm")[0])
    assert (254 - needed) * needed == pytest.approx((304.8 - required) * required, rel=2e-3)
    thick = widening("12 in", "9 mm").notes[-1]
    assert thick.endswith("required: sufficient")


def test_a_calculation_is_a_document_of_its_own_where_it_is_for_the_crew():
    both = asking(PIPE, "[capacity]\nhost_n = 0.013\n" + ORDER, RESIN)
    order, flow = both["order"], both["capacity"]
    heading, table, working, *_ = order.blocks
    assert isinstance(table, Values)
    assert heading == Heading("Quantities to order", 2)
    assert isinstance(working, Working)
    assert working.apart
    assert "27 mm" in working.caption
    assert working.topic == heading.text
    head, work, notes = flow.blocks
    assert head == Heading("Capacity running full", 2)
    assert not work.apart
    assert isinstance(notes, Bullets)
    assert notes.items[: len(flow.notes)] == flow.notes
    assert work.topic == head.text
    for each in (block for block in both["site"].blocks if isinstance(block, Working)):
        assert each.topic == each.caption
    by_resin = {step.source for step in order.steps if step.source.startswith("resin")}
    assert by_resin == {
        *("resin Felt A, stated as 1150 kg/m^3", "resin Felt A, stated as 1100 kg/m^3"),
        *("resin Felt A, stated as 200 kg/m^3", "resin Felt A"),
    }
    addition = order.addition()
    assert (addition.kind, addition.data) == ("order", order.data())


# Flow


def part_full(flow, diameter, n, slope):
    """Depth, velocity, area in SI by circular segments and Manning (textbook)."""

    def segment(depth):
        half = acos(1 - 2 * depth / diameter)
        area = diameter**2 / 4 * (half - sin(2 * half) / 2)
        radius = area / (half * diameter)
        return area, radius ** (2 / 3) * sqrt(slope) / n

    depth = brentq(lambda y: segment(y)[0] * segment(y)[1] - flow, 1e-6, 0.93 * diameter)
    return depth, segment(depth)[1]


@pytest.mark.parametrize("units", ["US", "SI"])
def test_depth_and_velocity_of_a_flow_by_circular_segments(units):
    tables = '[capacity]\nhost_n = 0.013\nliner_n = 0.011\nslope = "0.4 %"\nflow = "0.5 m^3/s"'
    found = asking(PIPE, tables, None, units)["capacity"]
    us, host = units == "US", 48 * 0.0254
    lined = host - 0.054
    rel = 4e-4 if us else 2e-6  # 1.486 has four figures
    data = found.data()
    assert list(found.more) == ["flow_before", "flow_after"]
    for code, bore, n in (("flow_before", host, 0.013), ("flow_after", lined, 0.011)):
        depth, velocity = part_full(0.5, bore, n, 0.004)
        results = data[code]
        assert results["depth"]["value"] == pytest.approx(
            depth / (0.0254 if us else 0.001), rel=rel
        )
        assert results["velocity"]["value"] == pytest.approx(
            velocity / (FOOT if us else 1), rel=rel
        )
        assert results["depth_percent"]["value"] == pytest.approx(100 * depth / bore, rel=rel)
        assert results["steps"]
    before, after = full_flow(0.013, host, 0.004), full_flow(0.011, lined, 0.004)
    factor = FOOT**3 if us else 1
    assert data["before"]["value"] == pytest.approx(before / factor, rel=rel)
    assert data["after"]["value"] == pytest.approx(after / factor, rel=rel)
    assert data["percent"]["value"] == pytest.approx(100 * after / before, rel=1e-9)
    heads = [note.split(":")[0] for note in found.notes[1:]]
    assert heads == ["Flow before lining", "Flow after lining"]
    captions = [each.caption for each in found.blocks if isinstance(each, Working)]
    assert len(captions) == 3


def test_a_flow_over_the_full_one_has_no_depth():
    """48 in at 0.4 % and n 0.013 carry 2.6 m^3/s full, 0.91 of it lined as n 0.013 too."""
    full = full_flow(0.013, 48 * 0.0254, 0.004)
    lined = full_flow(0.013, 48 * 0.0254 - 0.054, 0.004)
    for flow, carried in ((0.99 * lined, 2), (0.99 * full, 1), (1.01 * full, 0)):
        tables = (
            f'[capacity]\nhost_n = 0.013\nliner_n = 0.013\nslope = "0.4 %"\nflow = "{flow} m^3/s"'
        )
        found = asking(PIPE, tables, None, "SI")["capacity"]
        assert list(found.more) == ["flow_before", "flow_after"][:carried]
        assert sum("exceeds the full-flow" in note for note in found.notes) == 2 - carried
