"""What a wall found thin carries, against `size` at and a hair beyond each value."""

import json
from dataclasses import replace

import pytest
from by_hand import Inputs, thicknesses
from scipy.optimize import bisect

from linerdesign.documents.blocks import Grid
from linerdesign.documents.thin_wall import _downward
from linerdesign.interface import read, review, size
from linerdesign.methods.symbols import SYMBOLS

FELT = {
    "name": "felt",
    "flexural_modulus": "250000 psi",
    "flexural_strength": "4500 psi",
    "tensile_strength": "3000 psi",
}
TRUNK = {
    "name": "MH 4",
    "condition": "fully deteriorated",
    "host_diameter": "48 in",
    "ovality": "2 %",
    "cover": "16 ft",
    "groundwater_above_invert": "12 ft",
    "soil_unit_weight": "120 pcf",
    "soil_reaction_modulus": "1000 psi",
    "live_load": "0.4 psi",
}
UNITS = {
    "groundwater_above_invert": "ft",
    "cover": "ft",
    "live_load": "psi",
    "internal_pressure": "psi",
}


def project(resin=None, **pipe):
    given = {key: value for key, value in (TRUNK | pipe).items() if value is not None}
    return read({"project": {"title": "x"}, "resin": [FELT | (resin or {})], "pipe": [given]})


def allowable(**pipe):
    (found,) = size(project(**pipe)).data["pipes"][0]["allowable"]
    return found


def holds(resin=None, **pipe):
    return size(project(resin, **pipe)).holds


@pytest.mark.parametrize("thickness", ["24 mm", "25 mm"])
def test_each_value_alone_makes_the_wall_pass(thickness):
    found = allowable(design_thickness=thickness)
    tried = 0
    for key, unit in UNITS.items():
        value = found[key]
        if value:
            tried += 1
            for share, passes in ((1 - 1e-6, True), (1 + 1e-6, False)):
                pipe = {"design_thickness": thickness, key: f"{value * share!r} {unit}"}
                assert holds(**pipe) is passes
    assert tried >= 2


def test_the_pressure_that_a_wall_carries_is_that_of_the_printed_equation():
    """X1.7 turned for P: 2 sigma_TL/((DR - 2) N), DR 12 in/6 mm, half of 3,000 psi."""
    pipe = {"host_diameter": "12 in", "internal_pressure": "80 psi", "design_thickness": "6 mm"}
    found = allowable(**pipe, cover="4 ft", groundwater_above_invert="1 ft", live_load="0 psi")
    by_hand = 2 * 1500 / ((304.8 / 6 - 2) * 2)
    assert found["internal_pressure"] == pytest.approx(by_hand)


def test_the_vehicle_is_a_share_of_the_design_vehicle():
    """The load found, stated as a pressure, makes the wall of a sheet by HL-93 pass."""
    pipe = {"design_thickness": "25.4 mm", "live_load": {"method": "HL-93"}}
    found = allowable(**pipe)
    assert found["live_load"] > 0
    passes = {"design_thickness": "25.4 mm", "live_load": f"{found['live_load'] * 0.999999} psi"}
    assert holds(**passes)
    text = repr(size(project(**pipe)).document.blocks)
    assert "share is that of the design vehicle" in text


def test_the_retention_makes_the_wall_pass():
    found = allowable(design_thickness="25 mm")
    share = found["modulus_retention_percent"]
    for factor, passes in ((1 + 1e-6, True), (1 - 1e-6, False)):
        resin = {"modulus_retention": f"{share * factor} %"}
        assert holds(resin, design_thickness="25 mm") is passes
    assert found["life_years"] < 50


def test_the_working_ends_in_the_wall():
    found = allowable(design_thickness="24 mm")
    for steps in found["working"].values():
        assert steps[-1]["value"] == pytest.approx(24 / 25.4)


def test_a_wall_that_passes_has_no_such_table():
    sizing = size(project(design_thickness="30 mm"))
    assert sizing.holds
    assert "allowable" not in sizing.data["pipes"][0]


def test_every_form_shows_it(run, tmp_path):
    lines = [f'{key} = "{value}"' for key, value in TRUNK.items()]
    text = "\n".join(
        [
            '[project]\ntitle = "x"\n[[resin]]',
            *(f'{key} = "{value}"' for key, value in FELT.items()),
            '[[pipe]]\ndesign_thickness = "24 mm"',
            *lines,
        ]
    )
    (tmp_path / "p.toml").write_text(text)
    code, out, _ = run("size", "p.toml")
    assert code == 1
    assert "Capacity of this wall" in out
    assert run("size", "p.toml", "-o", "a.html", "-o", "a.xlsx", "-o", "a.pdf")[0] == 1
    assert "Capacity of this wall" in (tmp_path / "a.html").read_text()


def test_a_review_of_a_thin_wall_has_it():
    stated = {"thickness": "24 mm", "required_thickness": "24 mm"}
    found = review(project(stated=stated))
    (pipe,) = found.data["pipes"]
    assert pipe["verdict"] == "thin"
    (carried,) = pipe["allowable"]
    assert carried["cover"] == pytest.approx(allowable(design_thickness="24 mm")["cover"])
    json.dumps(found.data)


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        (12.3456, 12.34),
        (12.3499, 12.34),
        (12.34, 12.34),
        (0.35, 0.35),
        (9.9999, 9.999),
        (0.00123456, 0.001234),
        (12345.6, 12340),
        (1.0, 1.0),
        (0.0, 0.0),
        # Water so far under the invert, and not a hair nearer.
        (-1.23451, -1.235),
    ],
)
def test_what_is_printed_is_never_more_than_what_is_carried(value, printed):
    assert _downward(value) == printed


def test_the_table_has_what_the_data_have():
    """Each value cut to four figures, beside the designed one and its share of it."""
    made = size(project(design_thickness="24 mm"))
    (found,) = made.data["pipes"][0]["allowable"]
    grids = [
        block
        for each in made.document.blocks
        for block in (each, *getattr(each, "blocks", ()))
        if isinstance(block, Grid) and block.caption.startswith("Allowable at design N")
    ]
    table = grids[0]
    assert table.columns == ("station", "quantity", "design", "allowable", "of the design")
    designed = {"groundwater_above_invert": 12.0, "cover": 16.0, "live_load": 0.4}
    keys = {"groundwater_above_invert": "h_invert", "cover": "H", "live_load": "W_s"}
    seen = set()
    for station, quantity, design, allowed, share in table.rows:
        key = next(key for key, symbol in keys.items() if SYMBOLS[symbol].meaning == quantity)
        seen.add(key)
        assert station == "-"
        assert design == f"{designed[key]:g} {UNITS[key]}"
        value = found[key]
        if value is None:
            assert share == "-"
            assert allowed in ("fails at any value", "no limit found")
            continue
        number, unit = allowed.split()
        assert unit == UNITS[key]
        assert float(number) <= value < float(number) * 1.001
        assert share == f"{100 * value / designed[key]:.0f} %"
    assert seen == {*designed}


def test_of_two_covers_at_the_limit_it_is_the_one_nearest_to_the_design():
    """Under 40 psi a wall of 56 mm carries neither much cover nor little, whose soil yields: by
    hand 19 to 35 ft. From 40 ft down the first that it carries is the upper end."""
    x = Inputs(D=48.0, q=2.0, h_invert=0.0, E=250_000.0, retention=50.0, sigma=4500.0,
               strength_retention=50.0, H=40.0, W_s=40.0)  # fmt: skip
    at = bisect(lambda H: 25.4 * thicknesses(replace(x, H=H))["t X1.3"] - 56, 30, 40)
    assert 25.4 * thicknesses(replace(x, H=10.0))["t X1.3"] > 56
    loaded = {"live_load": "40 psi", "groundwater_above_invert": "0 ft"}
    found = allowable(cover="40 ft", design_thickness="56 mm", **loaded)
    assert found["cover"] == pytest.approx(at, rel=1e-6)
