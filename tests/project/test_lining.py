"""Which stations lie in which leg, what the legs are called, and what their data allow."""

import math
import re
from types import SimpleNamespace

import numpy as np
import pytest
from projects import FELT, LATERAL

from linerdesign.expressions.tree import evaluate
from linerdesign.interface import InputFaults, read, size
from linerdesign.methods.result import Tube
from linerdesign.project.lining import _folds, _needed, leg_at, lining, names_of, stations_of
from linerdesign.project.requests import Leg


@pytest.mark.parametrize(
    ("legs", "stations", "found"),
    [
        # By length: from the beginning of a leg to that of the next, both ends included.
        (["0 ft", "20 ft"], ["0 ft", "10 ft", "20 ft", "30 ft"], [[0, 1, 2], [2, 3]]),
        (["0 m", "20 ft", "12 m"], ["6 m", "6.2 m", "13 m"], [[0], [1], [2]]),
        (["20 ft", "0 ft"], ["10 ft", "30 ft"], [[1], [0]]),
        # A station before the first leg counts in every leg.
        (["10 ft", "20 ft"], ["0 ft", "15 ft"], [[0, 1], [0]]),
        # A leg without a station of its own has those of all.
        (["0 ft", "20 ft"], ["5 ft"], [[0], [0]]),
        (["0 ft"], [""], [[0]]),
        # By name, as soon as one is no length; a station of no leg counts in every leg.
        (["A", "B"], ["A", "B"], [[0], [1]]),
        (["A", "0 ft"], ["A", "0 ft", "9 ft"], [[0, 2], [1, 2]]),
        (["A", ""], ["A", ""], [[0, 1], [1]]),
        (["A", "B"], ["A"], [[0], [0]]),
    ],
)
def test_the_stations_of_each_leg(legs, stations, found):
    assert stations_of(legs, stations) == found


def legs(*places):
    return [Leg.model_construct(at=place) for place in places]


def test_legs_are_called_by_their_place_or_their_number():
    assert names_of(legs("0 ft", "20 ft")) == ["0 ft", "20 ft"]
    assert names_of(legs("", "B")) == ["leg 1", "B"]
    assert names_of(legs("A", "B", "A")) == ["leg 1, A", "B", "leg 3, A"]


class Pipe:
    def __init__(self, *places):
        self.leg = legs(*places)


@pytest.mark.parametrize(
    ("places", "station", "leg"),
    [
        (("0 ft", "20 ft"), "0 ft", "0 ft"),
        (("0 ft", "20 ft"), "19.9 ft", "0 ft"),
        (("0 ft", "20 ft"), "6.096 m", "20 ft"),
        (("0 ft", "20 ft"), "90 ft", "20 ft"),
        (("20 ft", "0 ft"), "19 ft", "0 ft"),
        (("10 ft", "20 ft"), "5 ft", None),
        (("A", "20 ft"), "30 ft", None),
        (("A", "20 ft"), "A", "A"),
        (("A", "A"), "leg 2, A", "leg 2, A"),
        (("A", "B"), "C", None),
        (("A", "B"), "", None),
    ],
)
def test_the_leg_that_a_place_lies_in(places, station, leg):
    assert leg_at(station, Pipe(*places)) == leg


def findings(leg, resin=None, **pipe):
    """Codes of what is found of one leg of a 4 in lateral under a tube of 3 mm."""
    own = LATERAL | {"tube_diameter": "4 in", "tube_thickness": "3 mm", "leg": [leg]} | pipe
    project = read({"project": {"title": "x"}, "resin": [FELT | (resin or {})], "pipe": [own]})
    (one,) = size(project).pipes
    (found,) = lining(project, one).legs
    return [each.code for each in found.findings], found.passes


WIDE, HOT = {"maximum_stretch": "10 %"}, {"maximum_temperature": "60 degC"}


@pytest.mark.parametrize(
    ("leg", "resin", "said", "passes"),
    [
        ({}, {}, [], True),
        # 10 % over 4 in is 4.4 in.
        ({"host_diameter": "4.4 in"}, {}, ["field.stretch_no_data"], True),
        # From half a percent on it counts as stretched.
        ({"host_diameter": "4.0199 in"}, {}, [], True),
        ({"host_diameter": "4.0201 in"}, {}, ["field.stretch_no_data"], True),
        ({"host_diameter": "4.4 in"}, WIDE, [], True),
        ({"host_diameter": "4.41 in"}, WIDE, ["field.stretch_over"], False),
        ({"temperature": "60 degC"}, {}, ["field.temperature_no_data"], True),
        ({"temperature": "140 degF"}, HOT, [], True),
        ({"temperature": "141 degF"}, HOT, ["field.temperature_over"], False),
        ({"host_diameter": "3.9 in"}, {}, ["field.leg_fin"], True),
        ({"bend": "45 deg", "bend_radius": "20 in"}, {}, ["field.leg_wrinkle"], True),
        ({"host_diameter": "4.41 in", "temperature": "70 degC"}, WIDE | HOT,
         ["field.stretch_over", "field.temperature_over"], False),
    ],
)  # fmt: skip
def test_what_the_data_of_a_system_allow(leg, resin, said, passes):
    """What no wall makes up for comes first; otherwise the verdict on the wall does."""
    found, good = findings(leg, resin)
    assert found == ([*said, "field.leg_enough"] if not passes else ["field.leg_enough", *said])
    assert good is passes


@pytest.mark.parametrize("system", ["SI", "US"])
@pytest.mark.parametrize(("diameter", "height"), [(100.0, 6.0), (299.0, 6.0), (500.0, 10.0)])
def test_a_fold_is_at_most_six_millimetres_or_two_percent(system, diameter, height):
    """The tube's circumference over the host's, pi (D_tube - D), lies twofold in the fold."""
    unit = 1.0 if system == "SI" else 25.4
    for share, folds in ((0.995, False), (1.0, False), (1.005, True)):
        tube = diameter + 2 * share * height / math.pi
        assert _folds(tube / unit, diameter / unit, system) is folds


def of_legs(*all_legs, resin=None, **pipe):
    own = LATERAL | {"tube_diameter": "4 in", "leg": list(all_legs)} | pipe
    project = read({"project": {"title": "x"}, "resin": [FELT | (resin or {})], "pipe": [own]})
    (one,) = size(project).pipes
    return lining(project, one)


LONG, BENT = {"at": "A"}, {"at": "B", "bend": "45 deg", "bend_radius": "20 in"}
WIDER = {"at": "C", "host_diameter": "4.5 in"}


@pytest.mark.parametrize("some", [[LONG], [LONG, BENT], [LONG, WIDER], [BENT, WIDER]])
def test_the_tube_proposed_serves_every_leg_and_the_next_thinner_does_not(some):
    """Thicknesses are in steps of 1.5 mm; sheets are in inches."""
    step = 1.5 / 25.4
    thin = of_legs(*some, tube_thickness="1.5 mm")
    assert not all(each.passes for each in thin.legs)
    tube = thin.propose()
    assert tube.thickness / step == pytest.approx(round(tube.thickness / step))
    for thickness, serves in ((tube.thickness, True), (tube.thickness - step, False)):
        tried = of_legs(
            *some, tube_diameter=f"{tube.diameter!r} in", tube_thickness=f"{thickness!r} in"
        )
        assert all(each.passes for each in tried.legs) is serves
    # Of the narrowest diameter that serves: the tube in hand.
    assert tube.diameter == 4


def test_a_tube_is_proposed_only_as_far_as_the_data_of_the_system_allow():
    """A leg of 4.5 in stretches the tube in hand by 12.5 %; its own folds by 0.79 in in 4 in."""
    wide = {"maximum_stretch": "12.5 %"}
    assert of_legs(LONG, WIDER, resin=wide, tube_thickness="1.5 mm").propose().diameter == 4
    narrow = {"maximum_stretch": "12.4 %"}
    assert of_legs(LONG, WIDER, resin=narrow, tube_thickness="1.5 mm").propose() is None
    # A leg of 4.1 in: its own tube would fold by 4 mm in the other, which is allowed.
    near = {"at": "C", "host_diameter": "4.1 in"}
    none = {"maximum_stretch": "0.1 %"}
    found = of_legs(LONG, near, resin=none, tube_thickness="1.5 mm").propose()
    assert found.diameter == pytest.approx(4.1)


def test_the_factor_and_the_checks_of_a_leg_are_those_of_its_stations():
    found = of_legs(LONG, WIDER, tube_thickness="4.5 mm")
    for leg, place in zip(found.legs, found.built.places, strict=True):
        assert leg.safety_factor == place.least_factor
        assert {check.station for check in leg.checks} == {place.at}
        assert leg.required == place.required_thickness
    wide, narrow = found.legs[1], found.legs[0]
    assert wide.values["t_leg"] < narrow.values["t_leg"] == pytest.approx(4.5 / 25.4)
    assert wide.safety_factor < narrow.safety_factor


def tubed(all_legs, resin=None, criteria=None, units="US", **pipe):
    """The one lateral of a project in these legs, as designed."""
    own = {k: v for k, v in (LATERAL | {"leg": all_legs} | pipe).items() if v is not None}
    project = read({"project": {"title": "x", "units": units}, "criteria": criteria or {},
                    "resin": [FELT | (resin or {})], "pipe": [own]})  # fmt: skip
    (one,) = size(project).pipes
    return one


def stretch(tube, wall, host):
    """The wall left of a tube in a wider host: the smaller root of t (host - t) = its area."""
    return (host - math.sqrt(host**2 - 4 * wall * (tube - wall))) / 2


HEADS = [{"at": "0 ft", "groundwater_above_invert": "3 ft"},
         {"at": "20 ft", "groundwater_above_invert": "9 ft"},
         {"at": "40 ft", "groundwater_above_invert": "6 ft"}]  # fmt: skip
FIRST, THEN = {"at": "0 ft"}, {"at": "20 ft", "host_diameter": "4.4 in"}
AROUND = {"at": "40 ft", "bend": "45 deg", "bend_radius": "20 in"}
SHARP = {"at": "40 ft", "bend": "90 deg", "bend_radius": "6 in", "host_diameter": "4.2 in"}
NARROW = {"at": "20 ft", "host_diameter": "3.8 in"}
CASES = {
    "narrowest leg and nominal thickness": ([FIRST, THEN], {}),
    "a tube of its own": ([FIRST, THEN, AROUND], {"tube_diameter": "4 in",
                                                  "tube_thickness": "4 mm"}),
    "a tube too wide": ([FIRST, NARROW], {"tube_diameter": "4 in", "tube_thickness": "4 mm"}),
    "a sharp bend": ([FIRST, SHARP], {"tube_thickness": "3 mm"}),
    "a bend in a thin wall": ([SHARP], {"tube_thickness": "1.5 mm"}),
    "a wall to check": ([FIRST, THEN], {"design_thickness": "5 mm"}),
    "stations": ([FIRST, THEN, AROUND], {"station": HEADS, "groundwater_above_invert": None}),
    "in SI": ([FIRST, THEN, AROUND], {"units": "SI"}),
    "the owner's minimum": ([FIRST, THEN], {"criteria": {"minimum_thickness": "6 mm"}}),
    "under the owner's minimum": ([FIRST, SHARP], {"criteria": {"minimum_thickness": "6 mm"},
                                                   "tube_thickness": "6 mm"}),
    "minimum of a wall to check": ([FIRST, THEN], {"criteria": {"minimum_thickness": "6 mm"},
                                                   "design_thickness": "6 mm"}),
    "stretched too far": ([FIRST, THEN], {"resin": {"maximum_stretch": "9 %"},
                                          "tube_thickness": "6 mm"}),
    "stretched as far as it may": ([FIRST, THEN], {"resin": {"maximum_stretch": "10 %"},
                                                   "tube_thickness": "6 mm"}),
    "too hot": ([FIRST | {"temperature": "70 degC"}, THEN], {"resin": {
        "maximum_temperature": "60 degC"}, "tube_thickness": "6 mm"}),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_what_leads_to_the_wall_of_a_leg_leads_there_from_the_numbers_of_its_pipe(case):
    """Tree by tree for forms that follow changes, against the legs themselves."""
    some, more = CASES[case]
    one = tubed(some, **more)
    found, single = one.legs, len(one.values) == 1
    assert {place.leg for place in found.places} == set(range(len(found.legs)))
    for place, built in zip(found.places, found.built.places, strict=True):
        leg, own = found.legs[place.leg], dict(one.values[place.station])
        for key, node in place.wall.items():
            own[key] = float(np.max(evaluate(node, own | {"D": own["D"]})))
            assert own[key] == pytest.approx(leg.values[key]), key
        assert own[key] == leg.least
        passes = all(each.passes for each in leg.checks if each.station == built.at)
        own |= {"t": leg.least, "t_required": built.required_thickness, "passes": passes}
        own["needed"] = float(evaluate(place.verdicts["needed"], own))
        assert own["needed"] == pytest.approx(max(built.required_thickness, leg.minimum))
        if single:
            assert own["needed"] == pytest.approx(leg.needed)
            assert bool(evaluate(place.verdicts["serves"], own)) is leg.passes


@pytest.mark.parametrize(
    ("case", "walls", "serve"),
    [
        # In mm and by hand: t (D - t) of the tube is that of the leg; 2 R / (2 R + D) at a bend.
        ("a tube of its own", [4.0, stretch(101.6, 4.0, 111.76), 4.0 * 40 / 44], True),
        ("a tube too wide", [4.0, 4.0], True),
        ("a bend in a thin wall", [1.5 * 12 / 16.2], False),
        ("a wall to check", [5.0, stretch(101.6, 5.0, 111.76)], True),
        ("stretched too far", [6.0, stretch(101.6, 6.0, 111.76)], False),
        ("stretched as far as it may", [6.0, stretch(101.6, 6.0, 111.76)], True),
        ("too hot", [6.0, stretch(101.6, 6.0, 111.76)], False),
        ("under the owner's minimum", [6.0, stretch(101.6, 6.0, 106.68) * 12 / 16.2], False),
    ],
)  # fmt: skip
def test_a_pipe_fails_with_its_worst_leg(case, walls, serve):
    """Each leg that does not serve is a caution with its place and the first reason."""
    some, more = CASES[case]
    one = tubed(some, **more)
    assert [25.4 * each.least for each in one.legs.legs] == pytest.approx(walls)
    assert one.legs.passes is serve
    assert (one.status == "fails") is not serve
    cautions = [each for each in one.notes if each.code == "field.leg_fails"]
    failing = [each for each in one.legs.legs if not each.passes]
    assert [each.text for each in cautions] == [
        f"at {each.at}: {each.findings[0].said}" for each in failing
    ]
    assert bool(cautions) is not serve


def test_a_leg_of_several_stations_is_judged_by_the_worst():
    """Water of 3 and 9 ft in the first leg; each wall is that of a pipe with that water."""
    one = tubed([FIRST, {"at": "30 ft"}], station=HEADS[:2], groundwater_above_invert=None,
                tube_thickness="3 mm")  # fmt: skip
    leg = one.legs.legs[0]
    alone = [
        tubed([FIRST], tube_thickness="3 mm", groundwater_above_invert=f"{head} ft").legs.legs[0]
        for head in (3, 9)
    ]
    assert leg.required == pytest.approx(max(each.required for each in alone))
    assert leg.safety_factor == pytest.approx(min(each.safety_factor for each in alone))
    assert {check.station for check in leg.checks} == {"0 ft", "0 ft, 20 ft"}
    # A leg without a station of its own has those of all.
    assert {c.station for c in one.legs.legs[1].checks} == {"30 ft, 0 ft", "30 ft, 20 ft"}


def test_a_pipe_with_a_tube_and_no_legs_is_one_leg():
    one = tubed(None, tube_thickness="3 mm", length="90 ft")
    (leg,) = one.legs.legs
    assert (leg.at, leg.diameter, one.legs.names) == ("whole pipe", 4.0, ("whole pipe",))
    assert one.legs.tube.diameter == 4.0


def test_inputs_of_a_leg_say_where_they_are_from():
    one = tubed([FIRST, SHARP], tube_thickness="3 mm", origin={"leg": "measured"})
    first, sharp = ({each.key: each for each in leg.inputs} for leg in one.legs.legs)
    assert list(first) == ["D_leg", "D_tube", "t_tube", "t_leg"]
    assert list(sharp) == ["D_leg", "D_tube", "t_tube", "R_bend", "alpha_bend"]
    assert (sharp["D_leg"].origin.known_by, sharp["D_leg"].origin.stated) == ("measured", "4.2 in")
    assert (first["D_leg"].origin.known_by, first["D_leg"].origin.place) == ("", "host diameter")
    assert [first[key].origin.place for key in ("D_tube", "t_tube", "t_leg")] == [
        "tube", "tube", "tube not stretched",
    ]  # fmt: skip
    assert (sharp["R_bend"].value, sharp["alpha_bend"].value) == (6.0, 90.0)
    one = tubed([THEN], tube_thickness="3 mm")
    assert one.legs.legs[0].inputs[0].origin.known_by == "given"


def test_what_is_found_of_a_leg_in_words():
    """Folds: pi (4 - 3.8)/2 in; pi/2 of 4.2 in at the bend, half of it high, 39 % of 4.2 in."""
    one = tubed([NARROW, SHARP, THEN | {"temperature": "70 degC"}], tube_diameter="4 in",
                tube_thickness="6 mm", criteria={"minimum_thickness": "6 mm"})  # fmt: skip
    bent, wide = stretch(101.6, 6.0, 106.68) * 12 / 16.2, stretch(101.6, 6.0, 111.76)
    assert (round(bent, 3), round(wide, 3)) == (4.207, 5.393)
    confirm = "confirm with the system's data"
    assert [[each.said for each in leg.findings] for leg in one.legs.legs] == [
        [
            "delivered wall 6 mm, required 6 mm: sufficient",
            "tube wider than the host: longitudinal fold, up to 0.31 in high; ISO 11296-4 allows "
            "2 % of the diameter or 6 mm (from memory; verify against the printed standard)",
        ],
        [
            "delivered wall 4.207 mm (0.1656 in) at the outer side of the bend, owner's minimum "
            "6 mm: below requirement by 1.793 mm (0.0706 in)",
            f'stretch of 5.0 %: resin "felt" states no maximum stretch; {confirm}',
            "wrinkles at the inner side of the bend: excess length 3.30 in; as one fold, 1.65 in "
            "high (39 % of D)",
        ],
        [
            "delivered wall 5.393 mm (0.2123 in), owner's minimum 6 mm: below requirement by "
            "0.6074 mm (0.02391 in)",
            f'stretch of 10.0 %: resin "felt" states no maximum stretch; {confirm}',
            f'temperature of 70 degC: resin "felt" states no maximum temperature; {confirm}',
        ],
    ]
    limits = {"maximum_stretch": "9 %", "maximum_temperature": "60 degC"}
    one = tubed([THEN | {"temperature": "70 degC"}], limits, tube_diameter="4 in",
                tube_thickness="1.5 mm")  # fmt: skip
    stretched, hot, short = (each.said for each in one.legs.legs[0].findings)
    assert stretched == 'stretch of 10.0 % exceeds the maximum of 9 % of resin "felt"'
    assert hot == 'temperature of 70 degC exceeds the maximum of 60 degC of resin "felt"'
    assert re.fullmatch(
        r"delivered wall 1\.\d+ mm \(.+ in\), .+ required by X1\.1: below .+", short
    )


@pytest.mark.parametrize(
    ("diameter", "tube", "needed", "bend", "thickness"),
    [
        (4.0, 4.0, 0.2, None, 0.2),
        (3.9, 4.0, 0.2, 25.0, 0.25),
        (4.02, 4.0, 0.2, None, 0.2),
        # t (4 - t) is 0.5 (6 - 0.5); of 1 (5 - 1) it is just 2 (4 - 2); of more there is none.
        (6.0, 4.0, 0.5, None, 2 - math.sqrt(4 - 2.75)),
        (6.0, 4.0, 0.4, 25.0, 2 - math.sqrt(4 - 2.75)),
        (5.0, 4.0, 1.0, None, 2.0),
        (5.0, 4.0, 1.001, None, None),
    ],
)
def test_the_tube_that_leaves_a_leg_enough(diameter, tube, needed, bend, thickness):
    leg = SimpleNamespace(diameter=diameter, needed=needed, values={"x_bend": bend})
    found = _needed(leg, tube)
    assert found == (None if thickness is None else pytest.approx(thickness))


def test_no_tube_is_proposed_of_sizes_that_are_all_too_small():
    sizes = {"thicknesses": ["1.5 mm", "2 mm", "6 mm"]}
    one = tubed([FIRST, THEN], resin=sizes, tube_thickness="1.5 mm")
    assert one.legs.proposed.thickness in (pytest.approx(2 / 25.4), pytest.approx(6 / 25.4))
    one = tubed([FIRST, THEN], resin={"thicknesses": ["1 mm", "1.2 mm"]}, tube_thickness="1 mm")
    assert one.legs.proposed is None


def test_a_tube_that_fills_itself_is_refused():
    own = LATERAL | {"leg": [{"at": "A"}]}
    project = read({"project": {"title": "x"}, "resin": [FELT], "pipe": [own]})
    (one,) = size(project).pipes
    with pytest.raises(InputFaults) as found:
        lining(project, one, tube=Tube(3.0, 1.5))
    assert [str(each) for each in found.value.faults] == [
        'tube_thickness 1.5 in: no bore left; must be under 1.5 in ([[pipe]] "L1")'
    ]
    assert lining(project, one, tube=Tube(3.0, 1.499)).tube == Tube(3.0, 1.499)
