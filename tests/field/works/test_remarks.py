"""What the sheets of the crew say, each sentence for its cause, on values chosen by hand."""

from types import SimpleNamespace

import pytest

from linerdesign.documents.numbers import both_units
from linerdesign.field.works import asked as module
from linerdesign.field.works.beside import narrowest, values_grid, wall_of
from linerdesign.field.works.flow import Bore, part_full
from linerdesign.field.works.flow import _remarks as of_flow
from linerdesign.field.works.order import _with_stretch
from linerdesign.field.works.site import _has_window, _legs, _remarks, _tables, laterals
from linerdesign.methods.origin import AS_GIVEN, calculated
from linerdesign.methods.task import Input
from linerdesign.project.measures import parse
from linerdesign.words import sentence

RESIN = SimpleNamespace(name="felt")
KNOWN = {
    "p_least": 2.0,
    "p_tube": 12.0,
    "p_host": 8.0,
    "p_window": 8.0,
    "h_least": 5.0,
    "h_most": 18.0,
    "F_pull": 900.0,
    "F_most": 1000.0,
    "v_light": 2.0,
}


@pytest.mark.parametrize(
    ("changed", "window"),
    [
        ({}, True),
        ({"p_least": 8.0}, True),
        ({"p_least": 8.01}, False),
        ({"p_least": 9.0, "p_tube": 12.0, "p_host": None}, True),
        ({"p_host": None, "p_tube": None}, None),
        ({"h_least": 18.0}, True),
        ({"h_least": 18.1}, False),
        ({"h_least": 18.1, "h_most": None}, True),
    ],
)
def test_a_window_lies_between_the_least_pressure_and_every_limit(changed, window):
    """In pressure, and in the head of water that fills the line."""
    found = {key: value for key, value in (KNOWN | changed).items() if value is not None}
    assert _has_window(found) is window


def said(changed=None, slope=True, host_pressure=None):
    found = {key: value for key, value in (KNOWN | (changed or {})).items() if value is not None}
    asking = SimpleNamespace(host_pressure=host_pressure)
    flowing = SimpleNamespace(slope=1.0 if slope else None) if slope is not None else None
    return [text.split(":")[0] for text in _remarks(asking, flowing, RESIN, found, "US")]


def test_remarks_of_the_site_sheet_each_for_its_cause():
    plain = said(host_pressure=8.0)
    assert len(plain) == 2
    assert plain[0].startswith("keep the internal pressure inside the window")
    assert plain[1].startswith("This sheet plans")
    assert said()[1] == "limit of the host"
    assert said({"p_host": None})[1].startswith("the limit of the host is not in the window")
    assert said({"p_tube": None})[1] == 'resin "felt" states no maximum installation pressure'
    for slope in (None, False):
        assert "fall of the line not included" in said(slope=slope)
    assert "pull-in force not calculated" in said({"F_pull": None})
    assert 'resin "felt" states no maximum pull-in force' in said({"F_most": None})
    assert not any("PULL-IN" in text for text in said({"F_pull": 1000.0}))
    over = said({"F_pull": 1001.0})
    assert "PULL-IN FORCE of 1001 lbf EXCEEDS the maximum of 1000 lbf" in over
    assert 'resin "felt" states no light speed and no cure time' in said({"v_light": None})
    assert len(said({"v_light": None, "T_holding": 1.0})) == len(said())
    assert said({"p_least": 9.0})[0] == "NO WINDOW"


def test_limits_are_listed_where_there_is_no_window_to_list():
    pipe = SimpleNamespace(leg=[], lateral=[])
    (whole,) = _tables(pipe, KNOWN, "US")
    symbols = list(whole.symbols.values())
    assert symbols[:2] == ["p_least", "p_window"]
    bare = {key: value for key, value in KNOWN.items() if key != "p_window"}
    (part,) = _tables(pipe, bare, "US")
    assert list(part.symbols.values())[:4] == ["p_least", "p_tube", "p_host", "h_least"]


def leg(**more):
    keys = ("length", "host_diameter", "bend", "bend_radius", "temperature", "at")
    return SimpleNamespace(**(dict.fromkeys(keys) | more))


def test_legs_and_laterals_as_a_crew_reads_them():
    pipe = SimpleNamespace(
        host_diameter=parse("4 in", "section"),
        leg=[
            leg(at="0 ft", length=parse("20 ft", "length")),
            leg(at="20 ft", host_diameter=parse("6 in", "section"), bend=parse("45 deg", "angle")),
        ],
        lateral=[
            SimpleNamespace(at="30 ft", clock="3", diameter=None),
            SimpleNamespace(at="by the gate", clock="", diameter=None),
            SimpleNamespace(at="4 ft", clock="", diameter=parse("4 in", "section")),
        ],
    )
    rows = _legs(pipe).rows
    assert [row[1:3] for row in rows] == [("20 ft", "4 in"), ("-", "6 in")]
    assert rows[1][3] == "45 deg"
    assert [each.at for each in laterals(pipe)] == ["4 ft", "30 ft", "by the gate"]
    *_, table = _tables(pipe, KNOWN, "US")
    assert table.rows == (
        ("1", "4 ft", "-", "4 in"),
        ("2", "30 ft", "3", "-"),
        ("3", "by the gate", "-", "-"),
    )


def test_values_to_order_have_four_figures_and_walls_are_in_millimetres():
    found = {"t_tube": 0.25, "m_resin": 1234.56, "t_felt": 1.23456}
    grid = values_grid(tuple(found), found, "US", "x")
    assert [row[2] for row in grid.rows] == ["6.35 mm", "1235 lb", "31.36 mm"]
    assert grid.symbols == {(0, 1): "t_tube", (1, 1): "m_resin", (2, 1): "t_felt"}
    assert grid.figures == (("6.35", "mm"), ("1235", "lb"), ("31.36", "mm"))
    assert grid.caption == "x"
    assert len(grid.columns) == len(grid.align) == 3


# Flow


def flow(velocity, least="0.6 m/s", given=("self_cleansing_velocity",), steps=True):
    asking = SimpleNamespace(
        flow="0.2 ft3/s", self_cleansing_velocity=parse(least, "velocity"), given=given
    )
    made = (
        SimpleNamespace(key="v_flow", value=velocity),
        SimpleNamespace(key="x_depth", value=42.4),
    )
    bore = Bore("flow_after", 47.0, 0.01, 3.0)
    (text,) = of_flow(asking, bore, made if steps else (), "US")
    return text


def test_a_flow_keeps_its_invert_clean_from_the_velocity_stated_on():
    """0.6 m/s are 1.9685 ft/s."""
    clean = flow(1.9686)
    assert clean == (
        "Flow after lining: velocity 1.97 ft/s at a depth of 42 % of the diameter, minimum "
        "1.97 ft/s: self-cleansing"
    )
    assert flow(1.9684).endswith("NOT SELF-CLEANSING at this flow")
    assert "common practice" in flow(3.0, given=())
    assert flow(0.0, steps=False) == (
        "Flow after lining: the flow of 0.2 ft3/s exceeds the full-flow capacity: no free surface"
    )


# Diameters and walls


def designed(*diameters):
    own = {f"{i} ft": d for i, d in enumerate(diameters)}
    return SimpleNamespace(
        basis=SimpleNamespace(system="US"),
        stations=tuple(own),
        nominal_thickness=0.5,
        values=tuple({"D": each} for each in diameters),
    )


def test_the_narrowest_place_and_the_wall_of_a_tube():
    """24 in of stations and a leg of 20 in; 12 mm of a tube are 0.472 in."""
    pipe = SimpleNamespace(leg=[], tube_thickness=None)
    alone = narrowest(pipe, designed(24.0))
    assert (alone.value, alone.origin) == (24.0, narrowest(pipe, designed(30.0)).origin)
    several = narrowest(pipe, designed(26.0, 24.0))
    assert several.value == 24.0
    assert several.origin != alone.origin
    pipe.leg = [leg(host_diameter=parse("20 in", "section")), leg()]
    legs = narrowest(pipe, designed(24.0))
    assert (legs.value, legs.origin) == (20.0, several.origin)
    assert wall_of(pipe, designed(24.0)).value == 0.5
    pipe.tube_thickness = parse("12 mm", "section")
    assert wall_of(pipe, designed(24.0)).value == pytest.approx(12 / 25.4)


@pytest.mark.parametrize(
    ("capacity", "order", "wanted", "wall", "kinds"),
    [
        (True, True, True, 0.5, ["capacity", "order", "site"]),
        (True, True, False, 0.5, ["capacity"]),
        (True, False, True, 0.5, ["capacity"]),
        (False, True, True, 0.5, ["order", "site"]),
        (False, False, True, 0.5, []),
        # A wall of half the bore leaves nothing to order.
        (True, True, True, 12.0, []),
    ],
)
def test_what_a_project_asks_of_a_pipe(monkeypatch, capacity, order, wanted, wall, kinds):
    def joined(common, own):
        assert (common[:6], own[:6]) == ("common", "own of")
        assert common[7:] == own.partition("its ")[2]
        return f"both {own}" if {"capacity": capacity, "order": order}[common[7:]] else None

    class Part(tuple):
        def signed(self, verified):
            return ("signed", verified, *self)

    own = SimpleNamespace(capacity="own of its capacity", order="own of its order")
    project = SimpleNamespace(by_name={"A": own}, capacity="common capacity", order="common order")
    result = SimpleNamespace(name="A", task=SimpleNamespace(verified="verified"))
    flowing = "both own of its capacity" if capacity else None
    ordering = "both own of its order"
    monkeypatch.setattr(module, "joined", joined)
    monkeypatch.setattr(module, "narrowest", lambda *given: SimpleNamespace(value=24.0))
    monkeypatch.setattr(module, "wall_of", lambda *given: SimpleNamespace(value=wall))
    monkeypatch.setattr(module, "wants_order", lambda *given: given == (own, ordering) and wanted)
    for kind in ("capacity", "order", "site"):
        monkeypatch.setattr(module, kind, lambda *given, kind=kind: Part((kind, *given)))
    found = module.asked(project, result)
    expected = {
        "capacity": ("capacity", flowing, own, result),
        "order": ("order", ordering, own, project, result),
    }
    expected["site"] = ("site", ordering, flowing, own, project, result, expected["order"])
    assert found == tuple(("signed", "verified", *expected[kind]) for kind in kinds)


@pytest.mark.parametrize(("share", "steps"), [(0.999, True), (1.0, False), (1.001, False)])
def test_a_flow_of_the_full_pipe_or_more_has_no_depth(share, steps):
    """A pipe of 12 in at 1 % and n 0.013: 1.486/n (pi/4 D^2) (D/4)^(2/3) S^0.5 in cubic feet."""
    full = 1.486 / 0.013 * 3.141593 / 4 * 0.25 ** (2 / 3) * 0.1
    slope = SimpleNamespace(number=1.0)
    flow = SimpleNamespace(to=lambda unit: share * full, __str__=lambda: "x")
    asking = SimpleNamespace(slope=slope, flow=flow)
    made = part_full(asking, Bore("flow_before", 12.0, 0.013, full), "US")
    assert bool(made) is steps
    if steps:
        known = {step.key: step for step in made}
        # The flow of a full pipe is reached first at 0.82 of the diameter (textbook).
        assert known["y_flow"].value / 12 == pytest.approx(0.82, abs=2e-3)
        assert known["Q_part"].value == pytest.approx(share * full, rel=1e-4)
        inputs = {key: step.source for key, step in known.items() if step.equation is None}
        assert [inputs[key] for key in ("D_bore", "n_bore", "S_bed")] == [
            *("this pipe", "this pipe", "given"),
        ]
        assert known["n_bore"].value == 0.013


@pytest.mark.parametrize(
    ("wall", "required", "floor", "asked", "remedy"),
    [
        # A ring of 9 mm in 300 mm keeps its area in 400 mm: about 6.6 mm.
        (9.0, (6.0, 99.0), (0.0, 0.0), 6.0, "sufficient"),
        (9.0, (7.0, 1.0), (0.0, 0.0), 7.0, "more"),
        (9.0, (6.0, 1.0), (7.0, 6.5), 7.0, "more"),
        (9.0, (6.0, 1.0), (0.0, 6.9), 6.9, "more"),
        # No ring of 300 mm has the area of 80 mm in 400 mm: 4 x 80 x 320 is more than 300^2.
        (9.0, (80.0, 1.0), (0.0, 0.0), 80.0, "none"),
    ],
)
def test_a_stretched_tube_is_held_against_what_its_widest_place_requires(
    wall, required, floor, asked, remedy
):
    def result(*stations):
        return SimpleNamespace(
            basis=SimpleNamespace(system="SI"),
            stations=stations,
            values=tuple(
                {"D": d, "t_floor": t} for d, t in zip((400.0, 300.0), floor, strict=True)
            )[: len(stations)],
            checks=[
                SimpleNamespace(station=at, required_thickness=t)
                for at, t in zip((stations[0], "9 m"), required, strict=True)
            ],
        )

    inputs = [Input("D_tube", 300.0, AS_GIVEN), Input("t_tube", wall, AS_GIVEN)]
    more, lines, (note,) = _with_stretch(result("0 m", "9 m"), inputs, [])
    area = (300 - wall) * wall
    left = (400 - (400**2 - 4 * area) ** 0.5) / 2
    wide = more[-1]
    assert more[:2] == inputs
    assert (wide.key, wide.value, wide.origin) == ("D_wide", 400.0, calculated("largest diameter"))
    assert [line.result for line in lines] == ["t_mid", "t_out"]
    whole = sentence(
        "field.widest", at=" at 0 m", left=both_units(left, "SI"),
        required=both_units(asked, "SI"),
        verdict=sentence("field.sufficient" if remedy == "sufficient" else "field.insufficient"),
    )  # fmt: skip
    thicker = (300 - max(300**2 - 4 * asked * (400 - asked), 0) ** 0.5) / 2
    order = sentence("field.order_thicker", t=both_units(thicker, "SI"))
    assert note == whole + {
        "sufficient": "", "more": f"; {order}", "none": "; " + sentence("field.no_thicker"),
    }[remedy]  # fmt: skip
    if floor == (0.0, 0.0):
        alone = _with_stretch(result(None), inputs, [])[2]
        assert alone == (note.replace(" at 0 m", ""),)
