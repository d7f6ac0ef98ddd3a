"""What follows from what, and within what roundings, by hand; nothing is recomputed."""

from dataclasses import replace
from types import SimpleNamespace as Made

import numpy as np
import pytest
from tasks.review.test_recheck_by_hand import CHECKS, ONE, REQUIRED, THREE, C, T, item

from linerdesign.project.measures import Measure
from linerdesign.tasks.review import replay
from linerdesign.tasks.review.replay import CUT, NEAREST, THICKNESS_UP, UP, ReplayedLine


@pytest.mark.parametrize(
    ("style", "key", "under", "over"),
    [
        (NEAREST, "C", 0.005, 0.005),
        (CUT, "C", 0.0, 0.01),
        (UP, "C", 0.01, 0.0),
        (THICKNESS_UP, "C", 0.005, 0.005),
        (THICKNESS_UP, "t_X1_1", 0.01, 0.0),
        (UP, "N", 0.0, 0.0),
    ],
)
def test_how_far_the_unrounded_number_may_be(style, key, under, over):
    about = item("x", 0.8, key)
    found = replay._Run._reach(Made(style=style), about)
    assert found == pytest.approx((under, over), abs=1e-8)
    assert min(found) > 0


@pytest.mark.parametrize(
    ("follow", "found"),
    [
        # So many of three lines follow to the nearest digit, cut, up, and with thicknesses up.
        ((3, 3, 0, 3), ("nearest",)),
        ((1, 3, 3, 0), ("cut",)),
        ((1, 2, 0, 2), ("cut", "thickness up")),
        ((2, 2, 1, 2), ("nearest", "cut", "thickness up")),
        ((0, 0, 0, 0), ("nearest", "cut", "up", "thickness up")),
    ],
)
def test_the_ways_of_rounding_under_which_most_lines_follow(monkeypatch, follow, found):
    known = dict(zip(("nearest", "cut", "up", "thickness up"), follow, strict=True))

    def replays(case, items, alterations, worst, style):
        assert (case, items, alterations, worst.tolist()) == ("case", [T, C, ONE], [()], [2])
        return Made(follows=np.array([[n < known[style] for n in range(3)]]))

    monkeypatch.setattr(replay, "replays", replays)
    assert replay.styles_of("case", [T, C, ONE], 2) == found


def test_a_line_departs_here_or_follows_from_an_earlier_one(monkeypatch):
    """By its own preceding values, and without them."""
    own = Made(follows=np.array([[1, 1, 0, 0]], bool), expected=np.array([[1.0, np.nan, 3.0, 4.0]]))
    ours = Made(follows=np.array([[1, 0, 1, 0]], bool))

    def replays(case, items, alterations, worst, style, carried=True):
        assert (case, alterations, worst.tolist(), style) == ("case", [()], [2], "cut")
        return own if carried else ours

    monkeypatch.setattr(replay, "replays", replays)
    items = (C, ONE, THREE, T)
    assert replay.replay("case", items, 2, "cut", "9 ft") == (
        ReplayedLine(C, 1.0, True, None, "9 ft"),
        ReplayedLine(ONE, None, True, "follows", "9 ft"),
        ReplayedLine(THREE, 3.0, False, "here", "9 ft"),
        ReplayedLine(T, 4.0, False, "here", "9 ft"),
    )
    assert replay.replay("case", items, 2, "cut")[0].station is None


def run_of(*items, style=NEAREST, coarse=False, rows=1):
    """A pass whose arrays are empty as yet."""
    made = object.__new__(replay._Run)
    made.items, made.style, made.coarse, made.case = items, style, coarse, Made(basis=None)
    made.expected, made.low, made.high = (np.zeros((rows, len(items))) for _ in range(3))
    made.follows, made.strictly = (np.zeros((rows, len(items)), bool) for _ in range(2))
    made.places = {each.key: [j] for j, each in enumerate(items)}
    return made


def judged(made, *bounds, computed=True, j=0):
    given = tuple(np.array([each], float) for each in bounds)
    (found,) = made._judged(j, given, computed)
    assert made.follows[0, j] == made.strictly[0, j] == found
    return bool(found)


@pytest.mark.parametrize(
    ("base", "computed", "coarse", "follows"),
    [
        # 0.75 to 0.005; a thousandth is left open for constants, of an input nothing.
        (0.75575, True, False, True),
        (0.75576, True, False, False),
        (0.7443, True, False, True),
        (0.7441, True, False, False),
        (0.7549, False, False, True),
        (0.7551, False, False, False),
        (0.7451, False, False, True),
        (0.7449, False, False, False),
        # A coarse pass takes what is within 2.5 %.
        (0.774, True, True, True),
        (0.7745, True, True, False),
        (0.727, False, True, True),
        (0.7265, False, True, False),
    ],
)
def test_a_stated_value_follows_within_its_last_digit(base, computed, coarse, follows):
    made = run_of(item("C", 0.75), coarse=coarse)
    assert judged(made, base, base, base, computed=computed) is follows
    assert (made.expected[0, 0], made.low[0, 0], made.high[0, 0]) == (base, base, base)


def test_a_stated_value_follows_where_it_meets_what_roundings_reach():
    made = run_of(item("P", 1.0), item("C", 0.75))
    assert judged(made, 0.9, 0.754, 0.95, j=1)
    assert judged(made, 0.6, 0.5, 0.746, j=1)
    assert not judged(made, 0.9, 0.757, 0.95, j=1)
    assert not judged(made, 0.6, 0.5, 0.743, j=1)
    assert (made.expected[0].tolist(), made.high[0].tolist()) == ([0.0, 0.6], [0.0, 0.743])


@pytest.mark.parametrize(
    ("style", "count", "base", "follows"),
    [
        # 3.124 mm are 0.1230 in: of 0.12345 in rounded to three figures before it was converted.
        (NEAREST, 1, 0.12345, True),
        (NEAREST, 1, 0.12255, True),
        (NEAREST, 1, 0.12365, False),
        # Four lines show in which way: cut, 0.1239 is 0.123, and 0.1229 is no longer.
        (CUT, 4, 0.12385, True),
        (CUT, 4, 0.12275, False),
        (CUT, 3, 0.12385, False),
        (UP, 4, 0.12215, True),
        (THICKNESS_UP, 4, 0.12215, True),
    ],
)
def test_a_value_in_another_unit_may_have_been_rounded_before_it_was_converted(
    monkeypatch, style, count, base, follows
):
    monkeypatch.setattr(replay, "checks_of", lambda basis: CHECKS)
    about = item("t_X1_1", 0.123, half=1e-5, stated=Measure(3.124, "mm", "3.124 mm"))
    made = run_of(*[about] * count, style=style)
    assert judged(made, base, base, base) is follows
    # An input was not calculated, and in its own unit nothing is converted.
    assert not judged(made, base, base, base, computed=False)
    own = run_of(*[item("t_X1_1", 0.123, half=1e-5)] * count, style=style)
    assert not judged(own, base, base, base)


def test_the_largest_of_stated_thicknesses_is_not_rounded_once_more(monkeypatch):
    monkeypatch.setattr(replay, "checks_of", lambda basis: CHECKS)
    metric = Measure(3.124, "mm", "3.124 mm")
    largest = replace(REQUIRED, value=0.123, half=1e-5, stated=metric)
    assert judged(run_of(largest), 0.12345, 0.12345, 0.12345)
    assert not judged(run_of(largest, ONE), 0.12345, 0.12345, 0.12345)
    assert judged(run_of(largest, C), 0.12345, 0.12345, 0.12345)


def test_numbers_are_rounded_to_three_figures():
    values = np.array([123.456, 0.0123456, -98765.0, 0.0, np.nan])
    rounded = replay._rounded(values)
    assert rounded == pytest.approx([123, 0.0123, -98800, 0, np.nan], nan_ok=True)
    assert replay._rounded(values[:2], np.ceil) == pytest.approx([124, 0.0124])


def test_the_ends_that_all_roundings_reach_together():
    """Of two perturbations the first moves by -1 and 2, the second by 3 and 0.5."""
    column = np.array([[10.0, 9.0, 12.0, 13.0, 10.5]])
    base, low, high = replay._Run._bounds(Made(slots={"a": 1, "b": 3}), column)
    assert (base.tolist(), low.tolist(), high.tolist()) == ([10.0], [9.0], [15.0])
    alone = replay._Run._bounds(Made(slots={}), np.array([[7.0]]))
    assert [each.tolist() for each in alone] == [[7.0], [7.0], [7.0]]


@pytest.mark.parametrize(("key", "half"), [("C", 0.125), ("N", 0.0)])
def test_a_stated_value_is_carried_on_for_the_items_after_it(key, half):
    """In the first calculation it follows from 1.0, in the second, of 2.0, it does not. A choice
    is exact. The slots of roundings are 1 and 2 of another quantity, 3 and 4 of this one."""
    items = (item("first", 0.5), item("x", 0.75, key, half=0.125), T, REQUIRED)
    values = np.zeros((2, 4, 5))
    base, follows = np.array([1.0, 2.0]), np.array([True, False])
    replay._Run._carry(Made(items=items, slots={"E": 1, key: 3}), values, 1, base, follows, key)
    assert (values[:, :2] == 0).all()
    for place in (2, 3):
        assert values[0, place].tolist() == [1.0, 1.0, 1.0, 0.75, 1.0]
        assert values[1, place].tolist() == [0.75, 0.75, 0.75, 0.75 - half, 0.75 + half]
    coarse = np.zeros((2, 4, 1))
    replay._Run._carry(Made(items=items, slots={}), coarse, 1, base, follows, key)
    assert coarse[:, :, 0].tolist() == [[0.0, 0.0, 1.0, 1.0], [0.0, 0.0, 0.75, 0.75]]


def keeping(*items, results=("C",), of_wall=(), slots=("C",), carried=True):
    made = run_of(*items)
    made.results, made.of_wall, made.done = set(results), set(of_wall), set()
    made.slots = {key: 1 + 2 * n for n, key in enumerate(slots)}
    made.width, made.carried = 1 + 2 * len(slots), carried
    return made


def kept(made, key, value):
    return made.keep(key, np.full((1, 1, 1), value))[0].tolist()


def test_a_quantity_is_kept_as_later_lines_read_it():
    """0.83456 cut and raised to three figures; the stated 0.75 to 0.005 in place of it for what
    comes after."""
    first, last = item("P", 5.0), item("q", 2.0)
    made = keeping(first, C_075 := item("C", 0.75), last, slots=("E", "C"))
    own = [0.83456, 0.83456, 0.83456, pytest.approx(0.834), pytest.approx(0.835)]
    stated = [0.75, 0.75, 0.75, 0.745, 0.755]
    assert kept(made, "C", 0.83456) == [own, own, stated]
    assert made.follows[0].tolist() == [False, False, False]
    assert made.expected[0].tolist() == [0.0, 0.83456, 0.0]
    # Once it is known it stays, and what is neither stated nor a result is left as it is.
    again = np.full((1, 1, 1), 0.5)
    assert made.keep("C", again) is again
    assert made.keep("E", again) is again
    assert made.done == {"C"}
    # One that follows is carried on as computed, with the stated one as an end.
    near = keeping(first, C_075, last)
    base = [0.7504, pytest.approx(0.75), pytest.approx(0.751)]
    assert kept(near, "C", 0.7504) == [base, base, [0.7504, 0.75, 0.7504]]
    assert near.follows[0].tolist() == [False, True, False]
    apart = keeping(first, C_075, last, carried=False)
    assert kept(apart, "C", 0.7504) == [base] * 3


def test_what_is_not_rounded_on_the_way():
    """An input, and the required thickness, which is that of a check; a line of the wall is."""
    items = (item("N", 2.0), T)
    stated = keeping(*items, slots=("N",))
    assert kept(stated, "N", 1.2345) == [[1.2345] * 3, [2.0] * 3]
    required = keeping(*items, results=("t_required",), slots=("t_required",))
    assert kept(required, "t_required", 0.12345) == [[0.12345] * 3] * 2
    wall = keeping(*items, results=(), of_wall=("DR",), slots=("DR",))
    assert kept(wall, "DR", 45.678) == [[45.678, pytest.approx(45.6), pytest.approx(45.7)]] * 2
    assert kept(keeping(*items, slots=()), "C", 0.12345) == [[0.12345]] * 2


def test_the_first_of_two_statements_is_carried_on():
    one, other = item("C", 0.75), item("c", 0.7, "C")
    made = keeping(one, other, T, slots=())
    made.places = {"C": [0, 1], "t": [2]}
    assert kept(made, "C", 0.9) == [[0.9], [0.75], [0.75]]
    # Both are judged by what was computed before either.
    assert made.expected[0].tolist() == [0.9, 0.9, 0.0]


def test_a_pass_has_a_slot_for_all_that_rounding_may_move(monkeypatch):
    monkeypatch.setattr(replay, "verification", lambda basis: [Made(result="DR")])
    case = Made(lines=[Made(result="C"), Made(result="t")], basis=None)
    items = (item("N", 2.0), C, T, item("c", 0.7, "C"))
    fine = replay._Run(case, items, 2, NEAREST, True, False)
    assert (fine.results, fine.of_wall) == ({"C", "t"}, {"DR"})
    assert sorted(fine.slots) == ["C", "DR", "N", "t"]
    assert sorted(fine.slots.values()) == [1, 3, 5, 7]
    assert fine.width == 9
    assert fine.places == {"N": [0], "C": [1, 3], "t": [2]}
    assert fine.expected.shape == fine.follows.shape == (2, 4)
    assert fine.follows.all()
    assert fine.strictly.all()
    assert np.isnan([fine.expected, fine.low, fine.high]).all()
    coarse = replay._Run(case, items, 2, NEAREST, True, True)
    assert (coarse.slots, coarse.width) == ({}, 1)


def test_walls_that_a_line_may_be_of(monkeypatch):
    """The wall stated, the required one with its last digit open, and each check's own."""
    monkeypatch.setattr(replay, "checks_of", lambda basis: [*CHECKS, CHECKS[0]])
    made = keeping(T, REQUIRED, slots=("C", "t"))
    known = {"t_X1_3": "own", "t_X1_9": "other"}
    wall, required, own = made._walls(known)
    assert own == "own"
    assert wall.shape == required.shape == (1, 2, 5)
    assert wall[0].tolist() == [[0.2] * 5] * 2
    assert required[0].tolist() == [[0.19, 0.19, 0.19, 0.185, pytest.approx(0.195)]] * 2
    (plain,) = keeping(REQUIRED, slots=())._walls({})
    assert plain.tolist() == [[[0.19]]]
