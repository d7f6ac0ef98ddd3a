"""Which stations lie in which leg, what the legs are called, and what their data allow."""

import math

import pytest
from projects import FELT, LATERAL

from linerdesign.interface import read, size
from linerdesign.project.lining import _folds, leg_at, lining, names_of, stations_of
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
