"""A run as data in both systems, and the reading of stations, by hand."""

import math
import re

import numpy as np
import pytest
from outlines import ellipse_radii

from linerdesign.field.survey.departures import Settings
from linerdesign.field.survey.figure import Figure
from linerdesign.field.survey.reading import read_profile
from linerdesign.field.survey.run import Maximum, Percentile, WorstWindow, combine_stations
from linerdesign.field.survey.shape import Diameters, Shape, shape_from_diameters, shape_from_radii
from linerdesign.field.survey.stretch import stretch
from linerdesign.field.survey.summary import UNITS, Units, combine, run_data, units_of
from linerdesign.project.faults import InputFaults


def test_units_of_a_file_of_readings():
    assert units_of({"radius": "in", "station": "m"}) == Units("in", "m")
    assert units_of({"diameter": "ft"}) == Units("ft", "ft")
    assert units_of({"diameter": "cm"}) == Units("cm", "m")
    assert [Units(each, "m").system for each in ("in", "ft", "mm", "m")] == ["US", "US", "SI", "SI"]
    us = UNITS["US"]
    # 25.4 mm to the inch, 0.3048 m to the foot.
    assert us.length(254.0) == pytest.approx(10)
    assert us.area(254.0**2) == pytest.approx(100)
    assert us.along(3.048) == 10.0


FIRST = Shape(
    0.0,
    8,
    Diameters("diameters as read", 508.0, 533.4, 495.3),
    math.pi / 4 * 533.4 * 495.3,
    figure=Figure("box-like", 12.7, 508.0, 558.8),
)
SECOND = Shape(30.48, 4, Diameters("diameters as read", 609.6, 622.3, 584.2), 6.4516e5)


def test_a_run_in_inches_and_feet():
    """By hand, 25.4 mm to the inch: 20, 21, 19.5 in; 24, 24.5, 23 in; 100 ft apart.

    Ovalities 100 (20 - 19.5)/20 = 2.5 and 100 (21 - 20)/20 = 5; 100 (24 - 23)/24 = 4.1667 and
    100 x 0.5/24 = 2.0833.
    """
    run = combine((FIRST, SECOND), Maximum())
    data = run_data(run, UNITS["US"])
    summary = {key: data[key] for key in data if isinstance(data[key], float)}
    assert summary == pytest.approx(
        {
            "mean_diameter": 24.0,
            "maximum_diameter": 24.5,
            "minimum_diameter": 19.5,
            "ovality_percent": 5.0,
        }
    )
    assert (data["unit"], data["rule"]) == ("in", "maximum of the stations")
    first, second = data["stations"]
    assert (first["station"], first["station_unit"], first["readings"]) == (0.0, "ft", 8)
    assert second["station"] == pytest.approx(100)
    assert first["mean_diameter"] == pytest.approx(20)
    assert first["maximum_diameter"] == pytest.approx(21)
    assert first["minimum_diameter"] == pytest.approx(19.5)
    assert first["ovality_from_minimum"] == pytest.approx(2.5)
    assert first["ovality_from_maximum"] == pytest.approx(5)
    assert first["ovality_measured"] == pytest.approx(5)
    assert second["ovality_measured"] == pytest.approx(100 / 24)
    assert second["area"] == pytest.approx(1000)
    assert first["ovality_of_ellipse"] is first["long_axis_degrees"] is None
    assert first["figure"]["kind"] == "box-like"
    assert [
        first["figure"][k] for k in ("distance_from_ellipse", "least_width", "largest_width")
    ] == pytest.approx([0.5, 20, 22])
    assert second["figure"] is None
    assert run.worst is FIRST
    assert run.widest is SECOND
    (outside,) = run.outside
    assert outside.startswith("not an ellipse at 1 of 2 stations (box-like)")
    assert f"outside the method: {outside}" in run.cautions
    unplaced = combine((shape_from_diameters([508.0]),), Maximum())
    assert unplaced.mean.from_station == unplaced.ovality.to_station == 0.0
    alone = combine((SECOND,), Percentile(50))
    assert (alone.rule, alone.mean.value) == ("one station", pytest.approx(609.6))


def test_a_station_read_by_radii_says_what_its_ellipse_is():
    angle, radius = ellipse_radii(100.0, 4.0, 30.0, (3.0, 2.0), 72)
    shape = shape_from_radii(angle, radius + 0.05 * (-1) ** np.arange(72), 12.0)
    (data,) = run_data(combine((shape,), Maximum()), UNITS["SI"])["stations"]
    assert data["ovality_of_ellipse"] == pytest.approx(4, abs=0.01)
    assert data["long_axis_degrees"] == pytest.approx(30, abs=0.5)
    assert 0 < data["ovality_standard_error"] < 0.05
    assert data["area"] == pytest.approx(math.pi * 104 * 96, rel=1e-3)
    assert (data["basis"], data["station"]) == ("best-fit ellipse", 12.0)


# Rules along a run


def test_a_percentile_over_the_last_rank_but_one_is_said_to_blend():
    """Of five stations the last rank but one is that of 75 %; 0 and 100 are percentiles too."""
    station, value = range(5), [1.0, 2.0, 3.0, 4.0, 9.0]
    assert not combine_stations(station, value, Percentile(75)).cautions
    (said,) = combine_stations(station, value, Percentile(75.5)).cautions
    assert "number of stations: 5; percentile 75.5" in said
    assert combine_stations(station, value, Percentile(0)).value == 1.0
    assert combine_stations(station, value, Percentile(100)).value == 9.0
    for out in (-0.1, 100.1):
        with pytest.raises(InputFaults) as refused:
            combine_stations(station, value, Percentile(out))
        assert str(refused.value.faults[0]) == f"percentile {out:g}: outside 0 to 100"
    assert Percentile().name() == "percentile 95 of the stations"


def test_a_window_holds_the_stations_at_both_ends():
    """Stations of a tape measure miss their place by a micrometre; a run as long as the window is
    not short."""
    station, value = [0.0, 1.0, 2.0, 3.0 + 4e-7], [1.0, 5.0, 5.0, 5.0]
    found = combine_stations(station, value, WorstWindow(2.0))
    assert (found.from_station, found.to_station) == (1.0, station[-1])
    assert found.value == 5.0
    assert (found.stations, found.cautions) == (4, ())
    missed = combine_stations([0.0, 1.0, 2.0, 3.0 + 6e-7], value, WorstWindow(2.0))
    assert (missed.from_station, missed.to_station) == (1.0, 2.0)
    for last, start in ((3.0 - 4e-7, 1.0), (3.0 - 6e-7, 0.0)):
        found = combine_stations([0.0, 1.0, last], [1.0, 5.0, 5.0], WorstWindow(2.0))
        assert found.from_station == start
    assert not combine_stations([0, 1, 2], [1, 2, 3], WorstWindow(2.0)).cautions
    (short,) = combine_stations([1, 2, 3], [1, 2, 3], WorstWindow(2.5)).cautions
    assert short == "run of 2 m shorter than the window"
    alone = combine_stations([0, 1, 9], [5, 1, 1], WorstWindow(0.5))
    assert alone.cautions == ("worst window contains one station",)
    assert (alone.value, alone.to_station) == (5.0, 0.0)


def test_faults_of_a_run_name_the_station():
    def said(*given):
        with pytest.raises(InputFaults) as refused:
            combine_stations(*given)
        return [str(each) for each in refused.value.faults]

    places = said([0.0, math.inf, 2.0, 3.0], [1.0, 2.0, 3.0, math.nan], Maximum())
    assert [each.split(": must")[0] for each in places] == [
        "run, station 2 inf: 2",
        "run, station 4 3: nan",
    ]
    (lengths,) = said([0.0, 1.0], [1.0, 2.0, 3.0], Maximum())
    assert lengths.index("2") < lengths.index("3")
    (window,) = said([0.0], [1.0], WorstWindow(-2.0))
    assert window.startswith("window -2:")


# Stretch and its faults


def test_faults_of_a_tube_name_what_is_wrong():
    """A tube as wide as the host is none; a wall of half the diameter leaves no bore."""

    def places(*given):
        with pytest.raises(InputFaults) as refused:
            stretch(*given)
        return [str(each) for each in refused.value.faults]

    assert stretch(6, 100, 100, 4).ratio == 1
    (small,) = places(6, 100, 90, 4)
    assert small.startswith("host diameter 90:")
    assert "100" in small.split(":")[1]

    (tube,) = places(50, 100, 110, 4)
    assert tube.startswith("tube thickness 50:")
    assert stretch(49.9, 100, 110, 4)
    (needed,) = places(6, 100, 110, 55)
    assert needed.startswith("thickness needed 55:")
    assert "55" in needed.split(":")[1]
    assert stretch(6, 100, 110, 54.9)
    every = places(0, -1, math.nan, math.inf)
    assert [re.split(r" (?=[\d-]|nan|inf)", each)[0] for each in every] == [
        "tube thickness",
        "tube diameter",
        "host diameter",
        "thickness needed",
    ]


def test_a_tube_just_thick_enough_and_one_that_no_wall_makes_so():
    """The area of a tube of 100 with no bore left is pi 100^2/4; of a wall s in a pipe of 200 it
    is pi s (200 - s): 13.397 is the most, by s^2 - 200 s + 2500 = 0."""
    most = 100 - math.sqrt(100**2 - 2500)
    # A wall of 10 in a tube of 100 is one of 2 in a pipe of 2 + 10 90/2 = 452.
    assert stretch(10, 100, 200, 2).largest_host == pytest.approx(452)
    at = stretch(10, 100, 200, most * (1 - 1e-12))
    assert at.tube_needed == pytest.approx(50, rel=1e-4)
    assert math.isinf(stretch(10, 100, 200, most * (1 + 1e-9)).tube_needed)
    delivered = stretch(10, 100, 200, 1).delivered_outside
    assert stretch(10, 100, 200, delivered).enough
    assert not stretch(10, 100, 200, delivered * (1 + 1e-12)).enough


# What was read


def test_a_gap_is_wider_than_fifteen_degrees_and_three_times_the_usual():
    def gaps(*angles):
        return shape_from_radii(angles, np.full(len(angles), 100.0)).gaps

    every_five = [*np.arange(0, 345.1, 5)]
    assert gaps(*every_five) == ()
    (gap,) = gaps(*every_five[:-1], 344.9)
    assert gap == pytest.approx((344.9, 0))
    every_ten = [*np.arange(0, 330.1, 10)]
    assert gaps(*every_ten) == ()
    (gap,) = gaps(*np.arange(0, 320.1, 10), 329.9)
    assert gap == pytest.approx((329.9, 0))


def test_a_gap_of_150_degrees_is_the_widest():
    for gap, refused in ((150, False), (150.1, True)):
        angle = np.linspace(0, 360 - gap, 30)
        if not refused:
            assert shape_from_radii(angle, np.full(30, 100.0)).ellipse.mean_diameter == (
                pytest.approx(200)
            )
            continue
        with pytest.raises(InputFaults) as said:
            shape_from_radii(angle, np.full(30, 100.0))
        assert "150 deg" in str(said.value)


def test_readings_are_averaged_over_the_arc_of_smoothing():
    """Twelve readings on a circle of 100 are 2 mm short: over 20 degrees there are 21, both ends
    counted, over 10 there are 11."""
    angle = np.arange(360.0)
    radius = np.full(360, 100.0)
    radius[90:102] -= 2.0
    for smoothing, share in ((0.0, 1.0), (10.0, 1.0), (20.0, 12 / 21), (30.0, 12 / 31)):
        shape = shape_from_radii(angle, radius, settings=Settings(smoothing=smoothing, tolerance=1))
        size = shape.ellipse.mean_diameter / 2
        assert size - shape.outline.min() == pytest.approx(2.0 * share, abs=0.06)
    # Between readings further apart than that it goes by straight lines.
    coarse = np.arange(0, 360, 20.0)
    read = np.where(np.arange(18) == 4, 98.0, 100.0)
    shape = shape_from_radii(coarse, read, settings=Settings(tolerance=1))
    assert shape.outline[70] == pytest.approx((shape.outline[60] + shape.outline[80]) / 2, abs=0.02)


def test_what_is_wrong_with_radii_is_said_of_the_station():
    def said(*given):
        with pytest.raises(InputFaults) as refused:
            shape_from_radii(*given, station=3.5)
        return str(refused.value.faults[0])

    eight = np.arange(8) * 45.0
    assert shape_from_radii(eight, np.full(8, 100.0)).readings == 8
    assert said(eight[:7], np.full(7, 100.0)).startswith("station 3.5")
    assert "angle that is not finite" in said([*eight[:7], np.inf], np.full(8, 100.0))
    assert said(eight, np.full(9, 100.0)).count("8") == 1
    # 0 and 360 degrees are one angle.
    assert "radii at 7 angles" in said([*eight[:7], 360.0], np.full(8, 100.0))
    assert said(eight, [*np.full(7, 100.0), 0.0]).startswith("station 3.5, radius 8 0:")


def test_units_and_borders_of_a_profile_file(tmp_path):
    """Factors by definition: 25.4 mm to the inch, 12 of them to the foot, 0.3048 m to the foot."""
    path = tmp_path / "mill_lane.csv"

    def read(text):
        path.write_text(text)
        return read_profile(path)

    for unit, size in (("mm", 1), ("cm", 10), ("m", 1000), ("in", 25.4), ("ft", 304.8)):
        (shape,) = read(f"diameter [{unit}]\n2\n2\n")
        assert shape.measured.mean == pytest.approx(2 * size)
    for unit, metres in (("m", 1), ("mm", 0.001), ("km", 1000), ("ft", 0.3048)):
        (shape,) = read(f"station [{unit}],diameter [mm]\n2,200\n")
        assert shape.station == pytest.approx(2 * metres)
    assert read("diameter [m]\n20\n")[0].measured.mean == 20_000
    assert read("station [m],diameter [mm]\n-1e6,200\n")[0].station == -1e6
    radii = "".join(f"{turn},10000\n" for turn in range(-720, 721, 40))
    assert read("angle [deg],radius [mm]\n" + radii)[0].adopted.mean == pytest.approx(20_000)
    for text in (
        "diameter [m]\n20.001\n",
        "station [m],diameter [mm]\n1000001,200\n",
        "station [m],diameter [mm]\n-1000001,200\n",
        "angle [deg],radius [mm]\n721,100\n",
        "angle [deg],radius [mm]\n-721,100\n",
        "angle [deg],radius [mm]\n" + "0,10001\n",
    ):
        with pytest.raises(InputFaults) as refused:
            read(text)
        assert "line 2" in refused.value.faults[0].place


def test_the_four_ovalities_of_a_station():
    shape = shape_from_diameters([200.0, 206.0, 194.0, 200.0])
    assert shape.measured.ovality_form == "from the minimum diameter"
    assert shape.is_ellipse


def test_a_pipe_gone_around_twice_is_read_as_once():
    """Two sweeps through the same angles: an oval with a dent, and none wider apart for it."""
    angle, radius = ellipse_radii(100.0, 3.0, 20.0, (4.0, -2.0), 72)
    radius[10:16] -= 4.0
    once = shape_from_radii(angle, radius)
    twice = shape_from_radii(np.tile(angle, 2), np.tile(radius, 2))
    assert twice.gaps == once.gaps == ()
    assert twice.ellipse.ovality == pytest.approx(once.ellipse.ovality, rel=1e-6)
    assert {each.kind for each in twice.departures} >= {"one-sided flattening"}
    assert twice.departures[0].depth == pytest.approx(once.departures[0].depth, rel=0.05)
    sparse = np.arange(8) * 45.0
    assert shape_from_radii(np.tile(sparse, 3), np.full(24, 100.0)).gaps == ()


@pytest.mark.parametrize(
    ("diameters", "said"),
    [
        ((74.9, 80.0), "diameter of 74.9 mm, under 75 mm"),
        ((75.0, 4000.0), None),
        ((3900.0, 4000.1), "diameter of 4000.1 mm, over 4000 mm"),
    ],
)
def test_a_diameter_outside_the_usual_may_be_in_another_unit(diameters, said):
    """The usual ones are those of the table for inventories."""
    run = combine((shape_from_diameters(diameters * 2),), Maximum())
    cautions = [each for each in run.cautions if "check the unit" in each]
    assert [each.split(":")[0] for each in cautions] == ([said] if said else [])


@pytest.mark.parametrize(("largest", "outside"), [(220.0, False), (220.2, True)])
def test_an_ovality_over_ten_percent_is_outside_the_method(largest, outside):
    """Of the three, 200 mm is the mean: 10 % is within, 10.1 % is not; nor is a slight one told."""
    run = combine((shape_from_diameters([200.0, largest, 400.0 - largest]),), Maximum())
    slight = combine((shape_from_diameters([200.0, 200.2, 199.8]),), Maximum())
    assert slight.outside == ()
    assert len(run.outside) == outside
    if outside:
        (text,) = run.outside
        assert text.startswith("ovality over 10 %")
        assert text.endswith("largest measured 10.10 %")
        assert run.cautions[0] == f"outside the method: {text}"
