"""Runs against brute force, stretch against bisection on the area of the wall."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import bisect

from linerdesign.field.survey.run import Maximum, Percentile, WorstWindow, combine_stations
from linerdesign.field.survey.stretch import stretch
from linerdesign.project.faults import InputFaults


def test_each_rule_by_hand():
    station, value = [0.0, 1.0, 2.0, 3.0, 4.0], [2.0, 6.0, 3.0, 5.0, 5.0]
    largest = combine_stations(station, value, Maximum())
    assert (largest.value, largest.from_station) == (6.0, 1.0)
    # Ranked 2 3 5 5 6; the 90th percentile lies 0.6 of the way from the fourth to the fifth.
    assert combine_stations(station, value, Percentile(90)).value == pytest.approx(5.6)
    window = combine_stations(station, value, WorstWindow(2.0))
    assert window.value == pytest.approx(14 / 3)
    assert (window.from_station, window.to_station) == (1.0, 3.0)
    assert window.rule == "largest mean over any 2 m"


@given(
    values=st.lists(st.floats(0, 20), min_size=1, max_size=25),
    gaps=st.lists(st.integers(1, 40), min_size=25, max_size=25),
    length=st.integers(1, 100),
    seed=st.integers(0, 100),
)
def test_worst_window_against_brute_force(values, gaps, length, seed):
    place = np.cumsum(gaps[: len(values)]) / 8
    size = length / 8
    means = [
        np.mean([v for p, v in zip(place, values, strict=True) if start <= p <= start + size])
        for start in place
        if start + size <= place[-1] or start == place[0]
    ]
    order = np.random.default_rng(seed).permutation(len(values))
    found = combine_stations(place[order], np.array(values)[order], WorstWindow(size))
    assert found.value == pytest.approx(max(means), abs=1e-9)
    assert found.value <= max(values) + 1e-9


def test_few_stations_and_short_runs_say_so():
    assert combine_stations([0, 1, 2], [1, 2, 3], Percentile(95)).cautions
    assert not combine_stations(range(100), range(100), Percentile(95)).cautions
    assert any("shorter" in t for t in combine_stations([0, 1], [1, 2], WorstWindow(5)).cautions)
    assert any(
        "one station" in t for t in combine_stations([0, 9], [1, 2], WorstWindow(5)).cautions
    )


@pytest.mark.parametrize(
    ("station", "value", "rule"),
    [
        ([], [], Maximum()),
        ([0.0], [1.0, 2.0], Maximum()),
        ([0.0, 1.0], [1.0, math.nan], Maximum()),
        ([0.0], [1.0], Percentile(101)),
        ([0.0], [1.0], WorstWindow(0)),
        ([0.0], [1.0], WorstWindow(math.nan)),
    ],
)
def test_impossible_runs_are_refused(station, value, rule):
    with pytest.raises(InputFaults):
        combine_stations(station, value, rule)


def test_three_inch_tube_in_a_four_inch_pipe_keeps_three_quarters():
    # Derived: wall area pi t D is constant, so t falls as 3/4.
    assert stretch(6.0, 76.2, 101.6, 4.5).delivered == pytest.approx(0.75 * 6.0, rel=1e-12)
    # A thin wall makes the two ways to take a diameter one.
    thin = stretch(0.001, 3.0, 4.0, 0.0001)
    assert thin.delivered_outside == pytest.approx(0.75 * 0.001, rel=1e-3)


def wall_area(outside, t):
    return math.pi / 4 * (outside**2 - (outside - 2 * t) ** 2)


@given(st.floats(50, 1000), st.floats(1, 2), st.floats(0.005, 0.08), st.floats(0.2, 1.5))
def test_stretch_against_bisection_on_the_wall_area(tube, ratio, share, of_tube):
    host, t = tube * ratio, tube * share
    needed = t * of_tube
    found = stretch(t, tube, host, needed)
    area = wall_area(tube, t)
    expected = bisect(lambda s: wall_area(host, s) - area, 0, host / 2, xtol=1e-13)
    assert found.delivered_outside == pytest.approx(expected, rel=1e-8)
    assert found.enough == (found.delivered_outside >= needed)
    if math.isfinite(found.tube_needed):
        assert wall_area(tube, found.tube_needed) == pytest.approx(wall_area(host, needed))
    assert wall_area(found.largest_host, needed) == pytest.approx(area)


def test_the_stricter_thickness_decides():
    found = stretch(6.0, 76.2, 101.6, 4.45)
    assert found.delivered > 4.45 > found.delivered_outside
    assert not found.enough


@pytest.mark.parametrize(
    ("given_values", "count"),
    [((-1, 0, math.nan, math.inf), 4), ((6, 100, 90, 4), 1), ((60, 100, 110, 60), 2)],
)
def test_impossible_tubes_are_refused_with_every_fault(given_values, count):
    with pytest.raises(InputFaults) as refused:
        stretch(*given_values)
    assert len(refused.value.faults) == count


@pytest.mark.parametrize(
    ("percent", "count", "blended"),
    [(50, 3, False), (50.1, 3, True), (75, 5, False), (76, 5, True), (0, 2, False), (100, 9, True)],
)
def test_a_percentile_between_the_two_largest_says_so(percent, count, blended):
    """Of n ranked values the last but one is the percentile 100 (n - 2)/(n - 1)."""
    found = combine_stations(range(count), range(count), Percentile(percent))
    assert bool(found.cautions) is blended
    assert found.value == pytest.approx(percent / 100 * (count - 1))
    assert (found.rule, found.stations) == (f"percentile {percent:g} of the stations", count)
    assert found.from_station is found.to_station is None
    if blended:
        assert f"stations: {count}; percentile {percent:g} " in found.cautions[0]


@pytest.mark.parametrize("percent", [-0.1, 100.1])
def test_a_percentile_lies_between_nothing_and_all(percent):
    with pytest.raises(InputFaults) as refused:
        combine_stations([0.0, 1.0], [1.0, 2.0], Percentile(percent))
    (fault,) = refused.value.faults
    assert (fault.place, fault.value) == ("percentile", f"{percent:g}")
    assert "100" in str(fault)


@pytest.mark.parametrize(("end", "inside"), [(1.0000004, True), (1.0000006, False)])
def test_half_a_micrometre_past_its_end_is_in_a_window(end, inside):
    found = combine_stations([0.0, end, 3.0, 4.0], [5.0, 1.0, 0.0, 0.0], WorstWindow(1.0))
    assert found.value == (3.0 if inside else 5.0)
    # A window that ends so far past the last station is whole.
    last = combine_stations([0.0, 1.0, 3.0 - end], [0.0, 0.0, 8.0], WorstWindow(1.0))
    assert last.value == (4.0 if inside else 0.0)


def test_the_cautions_of_a_window_at_their_borders():
    """A run as long as the window is not shorter; a window of two stations is none of one."""
    run = combine_stations([5.0, 7.0], [1.0, 2.0], WorstWindow(2.0))
    assert (run.value, run.cautions, run.from_station, run.to_station) == (1.5, (), 5.0, 7.0)
    short = combine_stations([5.0, 7.0], [1.0, 2.0], WorstWindow(2.5))
    assert len(short.cautions) == 1
    assert "run of 2 m" in short.cautions[0]
    assert (short.value, short.stations) == (1.5, 2)
    alone = combine_stations([5.0, 8.0], [1.0, 2.0], WorstWindow(2.0))
    assert (alone.value, alone.to_station) == (1.0, 5.0)
    assert len(alone.cautions) == 1


def test_faults_of_a_run_are_named_by_their_place():
    with pytest.raises(InputFaults) as refused:
        combine_stations([0.0, math.inf, 2.0], [1.0, 2.0, math.nan], Maximum())
    texts = [str(each) for each in refused.value.faults]
    assert ["run, station 2" in texts[0], "run, station 3" in texts[1]] == [True, True]
    assert "inf: 2" in texts[0]
    assert "2: nan" in texts[1]
    with pytest.raises(InputFaults) as refused:
        combine_stations([0.0, 1.0, 2.0], [1.0, 2.0], Maximum())
    (text,) = map(str, refused.value.faults)
    assert text.index("3") < text.index("2")
    with pytest.raises(InputFaults, match=r"window.*-1"):
        combine_stations([0.0], [1.0], WorstWindow(-1))


def test_borders_of_a_tube():
    """In a pipe of its own size it keeps its wall; 4 x 2 x (10 - 2) = 8^2: a tube of 8 leaves 2 in
    a pipe of 10 only as a solid rod, of 4 a side."""
    same = stretch(6.0, 100.0, 100.0, 6.0)
    assert (same.ratio, same.delivered, same.delivered_outside) == (1.0, 6.0, 6.0)
    assert (same.enough, same.tube_needed, same.largest_host) == (True, 6.0, 100.0)
    assert stretch(1.0, 8.0, 10.0, 2.0).tube_needed == 4.0
    assert math.isinf(stretch(1.0, 8.0, 10.0, 2.001).tube_needed)
    for values, said in (
        ((5.0, 8.0, 20.0, 1.0), "tube thickness 5: no bore left; must be under 4"),
        ((4.0, 8.0, 10.0, 1.0), "tube thickness 4: no bore left; must be under 4"),
        ((1.0, 8.0, 10.0, 6.0), "thickness needed 6: no bore left; must be under 5"),
        ((1.0, 8.0, 10.0, 5.0), "thickness needed 5: no bore left; must be under 5"),
        ((1.0, 8.0, 7.5, 1.0),
         "host diameter 7.5: smaller than the tube diameter, 8; check both"),
    ):  # fmt: skip
        with pytest.raises(InputFaults) as refused:
            stretch(*values)
        assert [str(each) for each in refused.value.faults] == [said]
    assert stretch(3.99, 8.0, 10.0, 4.99)


def test_a_window_of_one_station_in_the_middle_of_a_run_says_so():
    found = combine_stations([0.0, 3.0, 9.0], [1.0, 8.0, 1.0], WorstWindow(2.0))
    assert (found.value, found.from_station, found.to_station) == (8.0, 3.0, 3.0)
    assert found.cautions == ("worst window contains one station",)
