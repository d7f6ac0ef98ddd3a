"""What a recheck makes of numbers given by hand: verdicts, agreement, contradictions, roots."""

from dataclasses import replace
from types import SimpleNamespace as Made

import numpy as np
import pytest

from linerdesign.project.measures import Measure
from linerdesign.tasks.review import alternatives, contradictions, recheck, replay
from linerdesign.tasks.review.alternatives import Alternative
from linerdesign.tasks.review.recheck import (
    ADEQUATE,
    THICK,
    THIN,
    Comparison,
    OwnNumber,
    Recheck,
    Tolerances,
)
from linerdesign.tasks.review.replay import CUT, HERE, NEAREST, THICKNESS_UP, UP, ReplayedLine
from linerdesign.tasks.review.submittal import Item
from linerdesign.words import sentence


def item(name, value, key=None, half=0.005, unit="in", stated=None):
    measure = stated or Measure(value, unit, f"{value:g} {unit}".strip())
    return Item(name, key or name, measure, unit, value, half)


C = item("C", 0.8)
T, REQUIRED = item("thickness", 0.2, "t"), item("required_thickness", 0.19, "t_required")


# Agreement


@pytest.mark.parametrize(
    ("value", "agrees", "by_rounding"),
    [
        (0.75, True, False),
        # 1 % of 0.7421 is 0.0074, more than the last digit of 0.0039.
        (0.7421, False, False),
        (0.7426, True, False),
        (0.7574, True, False),
        (0.7577, False, False),
        (None, True, False),
    ],
)
def test_a_number_agrees_to_one_percent_or_its_last_digit(value, agrees, by_rounding):
    about = item("C", 0.75, half=1 / 256)
    assert recheck._agrees(about, value, 0.01) is agrees
    assert recheck._by_rounding(about, value, 0.01) is by_rounding


def test_a_number_of_few_figures_agrees_only_by_its_rounding():
    about = item("C", 0.75, half=0.25)
    assert recheck._by_rounding(about, 1.0, 0.01)
    assert recheck._agrees(about, 1.0, 0.01)
    assert not recheck._by_rounding(about, 1.01, 0.01)
    # Just one percent off is no rounding: 0.75 beside 1.0 with a tolerance of a quarter.
    assert not recheck._by_rounding(about, 1.0, 0.25)


def compared(about=T, recomputed=0.25, with_inputs=0.5, **more):
    given = {"agrees": True, "calculated_right": True, "open_point": False} | more
    return Comparison(about, recomputed, with_inputs, **given)


def test_differences_of_input_and_calculation():
    """0.2 of 0.25 is 20 % less, of 0.5 60 % less; their inputs double ours."""
    found = compared()
    assert (found.difference, found.of_calculation) == pytest.approx((-0.2, -0.6))
    assert found.of_input == 1.0
    none = compared(recomputed=None, with_inputs=None)
    assert none.difference is none.of_calculation is none.of_input is None
    assert compared(recomputed=0.0).of_input is None
    assert compared(with_inputs=None).of_input is None


# Verdicts


def verdict(wall, least=0.2, floor=None, passes=(True, True), lined=None):
    checked = Made(nominal_thickness=wall, checks=[Made(passes=each) for each in passes])
    sized = Made(nominal_thickness=least, value={"t_floor": floor}.get)
    return recheck._verdict(sized, checked, lined)


def legs(passes=True, proposed=None):
    return Made(passes=passes, proposed=proposed and Made(thickness=proposed))


def test_a_wall_is_thin_adequate_or_thick():
    assert verdict(0.2) == ADEQUATE
    assert verdict(0.21) == THICK
    assert verdict(0.2, passes=(True, False)) == THIN
    assert verdict(0.2, floor=0.2) == verdict(0.009, least=0.009) == ADEQUATE
    assert verdict(0.2, floor=0.21) == THIN
    assert verdict(0.21, lined=legs(False)) == THIN
    # The legs need 0.21, or what is submitted where nothing thicker is proposed.
    assert verdict(0.21, lined=legs(proposed=0.21)) == ADEQUATE
    assert verdict(0.22, lined=legs(proposed=0.21)) == THICK
    assert verdict(0.3, lined=legs()) == ADEQUATE
    assert verdict(0.3, lined=legs(proposed=0.1)) == THICK


def check(passes=False, upper=True):
    return Made(passes=passes, upper=upper)


def found(items=(T,), dry=(True, False), required=0.2, **more):
    submittal = Made(
        item={each.key: each for each in items}.get,
        ours=Made(basis=Made(dry_case=dry[0])),
        theirs=Made(basis=Made(dry_case=dry[1])),
    )
    given = {
        "submittal": submittal,
        "sized": Made(required_thickness=required),
        "comparisons": (),
        "wall": 0.199,
        "checked": Made(checks=(check(),), lowest_safety_factor=1.9),
        "verdict": THIN,
        "replay": (),
        "contradictions": (),
        "explanations": (),
        "alternatives": (),
    }
    return Recheck(**(given | more))


def test_a_wall_thin_in_the_dry_case_alone_is_thin_by_default():
    assert found().thin_by_default
    for other in (
        {"dry": (True, True)},
        {"dry": (False, False)},
        {"verdict": ADEQUATE},
        {"checked": Made(checks=(check(True),))},
        {"checked": Made(checks=(check(), check(upper=False)))},
        {"lined": legs(False)},
    ):
        assert not found(**other).thin_by_default
    assert found(checked=Made(checks=(check(), check(True, upper=False)))).thin_by_default
    assert not found().too_thin
    assert found(dry=(False, False)).too_thin


def test_a_wall_that_misses_ours_by_the_rounding_of_theirs_is_thin_by_rounding():
    """0.199 in stated as 0.20 in: ours is 0.2 in, 0.5 % more; the tolerance is 1 %."""
    rounded = {"items": (item("required_thickness", 0.2, "t_required"),), "dry": (False, False)}
    assert found(**rounded).thin_by_rounding
    assert not found(**rounded).too_thin
    line = Made(cause=HERE, item=T)
    for other in (
        {"verdict": ADEQUATE},
        {"wall": None},
        {"items": (T,)},
        {"replay": (line,)},
        {"lined": legs(False)},
        {"wall": 0.1949},
        {"required": 0.2011},
    ):
        assert not found(**(rounded | other)).thin_by_rounding
    exact = {"items": (item("required_thickness", 0.25, "t_required", half=0.125),)}
    assert found(**exact, wall=0.125, required=0.125).thin_by_rounding
    edge = found(**exact, wall=0.5, required=0.75, tolerances=Tolerances(agreement=0.5))
    assert edge.thin_by_rounding


def test_a_thin_wall_is_told_by_its_checks_or_by_its_legs(monkeypatch):
    monkeypatch.setattr(recheck, "thin_wall", lambda checked: ("wall", checked))
    monkeypatch.setattr(recheck, "thin_legs", lambda lined: ("legs", lined))
    made, lined = found(), legs(False)
    assert made.thin == ("wall", made.checked)
    assert found(lined=lined).thin[0] == "wall"
    assert found(checked=Made(checks=(check(True),)), lined=lined).thin == ("legs", lined)
    assert found(checked=Made(checks=(check(True),))).thin is None
    assert found(checked=None, lined=lined).thin == ("legs", lined)


def test_one_percent_agrees_and_five_are_an_open_point():
    """Judgement, as the help of the command says."""
    assert Tolerances() == Tolerances(agreement=0.01, open_point=0.05)


def test_what_holds_agrees_and_is_not_thin():
    wrong, thickness = compared(REQUIRED, agrees=False), compared(T, agrees=False)
    assert found(verdict=ADEQUATE).holds
    assert found(verdict=None).holds
    assert not found().holds
    assert not found(verdict=ADEQUATE, comparisons=(thickness,)).holds
    assert found(verdict=THICK, comparisons=(thickness,)).holds
    assert not found(verdict=THICK, comparisons=(thickness, wrong)).holds
    assert found(verdict=ADEQUATE, comparisons=(thickness,), lined=legs()).holds


def test_what_a_recheck_says_of_itself():
    line = Made(cause=HERE, item=T)
    after = Made(cause="follows", item=REQUIRED)
    one = Made(place=1, credible=True)
    made = found(
        replay=(after, line),
        comparisons=(compared(with_inputs=None), compared(REQUIRED)),
        explanations=(one, Made(place=1, credible=False), Made(place=2, credible=True)),
    )
    assert (made.departures, made.first_departure) == ((line,), "thickness")
    assert (found().departures, found().first_departure) == ((), None)
    assert made.findings == (one,)
    assert made.with_their_inputs == {"t_required": 0.5}
    assert made.comparison(REQUIRED) is made.comparisons[1]
    assert made.comparison(item("C", 1.0)) is None
    assert not made.rounded_up_by_us
    assert found(items=(REQUIRED,)).rounded_up_by_us
    assert not found(items=(REQUIRED,), wall=None).rounded_up_by_us
    assert found(checked=None).leaves_no_bore
    assert not made.leaves_no_bore
    assert found(checked=None).failing == ()
    assert made.lowest_factor == 1.9
    assert found(lined=Made(built=Made(lowest_safety_factor=1.5))).lowest_factor == 1.5
    assert found(checked=None).lowest_factor is None


# How a recheck comes about


@pytest.mark.parametrize(
    ("lines", "complete", "taken", "tried"),
    [
        # The first way of rounding under which an explanation is complete, else the first of all.
        (4, (), "nearest", 3),
        (4, ("nearest", "cut"), "nearest", 1),
        (4, ("cut", "up"), "cut", 2),
        (4, ("up",), "up", 3),
        # Fewer than four lines show no way.
        (3, ("cut",), "nearest", 1),
    ],
)
def test_the_way_of_rounding_is_one_that_completes_an_explanation(
    monkeypatch, lines, complete, taken, tried
):
    asked = []

    def explanations(case, items, station, style, wall):
        asked.append(style)
        assert (case, station, wall) == ("theirs", 2, 0.2)
        return (Made(complete=False), Made(complete=style in complete, style=style))

    monkeypatch.setattr(recheck, "styles_of", lambda *given: ("nearest", "cut", "up"))
    monkeypatch.setattr(recheck, "explanations", explanations)
    style, explained = recheck._explained("theirs", [T] * lines, 2, 0.2)
    assert (style, explained[1].style) == (taken, taken)
    assert asked == ["nearest", "cut", "up"][:tried]


@pytest.mark.parametrize(
    ("wall", "legs_", "credible", "exact"),
    [
        (0.2, True, True, True),
        (0.2, False, False, True),
        (0.2, True, True, False),
        (9.0, True, True, True),
        (None, True, True, True),
    ],
)
def test_what_a_recheck_is_put_together_from(monkeypatch, wall, legs_, credible, exact):
    """A wall of 9 in leaves no bore in the 18 in of its narrowest station; inputs are sought where
    no exact error is a finding."""

    def told(name):
        monkeypatch.setattr(recheck, name, lambda *given: (name, *given))

    for name in ("designed", "with_wall", "_compared", "_replayed", "contradictions"):
        told(name)
    for name in ("_own_number", "_alternatives", "_verdict"):
        told(name)
    inputs = {"D": np.array([24.0, 18.0])}
    monkeypatch.setattr(recheck, "case_of", lambda task, keys: Made(task=task, inputs=inputs))
    monkeypatch.setattr(recheck, "_wall", lambda submittal, ours: wall)
    monkeypatch.setattr(recheck, "_in_unit_meant", lambda item_, compared_: (item_, compared_))
    monkeypatch.setattr(recheck, "outcomes", lambda case, made: Made(worst=[1 + len(made)]))
    explained_ = (Made(exact=exact, credible=credible),)
    asked = []
    monkeypatch.setattr(
        recheck, "_explained", lambda *given: asked.append(given) or ("cut", explained_)
    )
    submittal = Made(ours="ours", theirs="theirs", items=(REQUIRED, T), in_order=(T, REQUIRED))
    settings = Tolerances(0.02, 0.1)
    in_legs = (lambda checked: ("legs", checked)) if legs_ else None
    made = recheck.recheck(submittal, settings, in_legs)
    (theirs, items, station, wall_) = asked[0]
    assert (theirs.task, station, wall_) == ("theirs", 2, wall)
    comparisons = made.comparisons
    assert comparisons[:2] == ("_compared", submittal)
    assert [each.task for each in comparisons[2:4]] == ["ours", "theirs"]
    assert comparisons[4:] == (wall, settings)
    assert items == ((T, comparisons), (REQUIRED, comparisons))
    assert made.sized == ("designed", "ours")
    assert (made.submittal, made.wall, made.tolerances) == (submittal, wall, settings)
    assert made.replay == ("_replayed", submittal, theirs, items, 2, "cut")
    assert made.contradictions == ("contradictions", submittal, theirs, made.replay)
    assert made.explanations == explained_
    assert made.own == ("_own_number", theirs, made.replay)
    sought = ("_alternatives", theirs, items, made.replay, 2, "cut")
    assert made.alternatives == (() if exact and credible else sought)
    checked = ("designed", ("with_wall", "ours", wall)) if wall == 0.2 else None
    assert made.checked == checked
    assert made.lined == (("legs", checked) if legs_ and checked else None)
    assert made.verdict == (("_verdict", made.sized, checked, made.lined) if checked else None)


def test_digits_of_another_unit_are_replayed_in_the_unit_meant():
    """0.2 mm with the digits of 0.2 in, to 0.05 of either; and 5.08 in, of 5.08 mm."""
    wrong = item("t_X1_1", 0.2 / 25.4, half=0.05 / 25.4, stated=Measure(0.2, "mm", "0.2 mm"))
    meant = recheck._in_unit_meant(wrong, [compared(T), compared(wrong, unit_meant="in")])
    assert (meant.value, meant.half) == pytest.approx((0.2, 0.05))
    other = item("thickness", 5.08, "t", half=0.005)
    metric = recheck._in_unit_meant(other, [compared(other, unit_meant="mm")])
    assert (metric.value, metric.half) == pytest.approx((0.2, 0.005 / 25.4))
    assert recheck._in_unit_meant(T, [compared(wrong, unit_meant="in"), compared(T)]) is T


def test_lines_are_replayed_with_those_of_single_stations_after_them(monkeypatch):
    """A line in another unit departs, whatever its digits; a station has its own rounding."""
    calls = []

    def replay_(case, items, station, style, name=None):
        calls.append((case, tuple(items), station, style, name))
        return tuple(ReplayedLine(each, 1.0, True, None, name) for each in items)

    monkeypatch.setattr(recheck, "replay", replay_)
    monkeypatch.setattr(recheck, "styles_of", lambda case, items, place: (f"style {place}", "x"))
    submittal = Made(in_order=(T, REQUIRED), at_stations=(("80 ft", (ONE,)), ("0 ft", (THREE,))))
    theirs = Made(stations=("0 ft", "80 ft"))
    other = replace(T, value=5.0)
    found = recheck._replayed(submittal, theirs, (other, REQUIRED), 1, "cut")
    assert calls == [
        (theirs, (other, REQUIRED), 1, "cut", None),
        (theirs, (ONE,), 1, "style 1", "80 ft"),
        (theirs, (THREE,), 0, "style 0", "0 ft"),
    ]
    assert found == (
        ReplayedLine(T, 1.0, False, HERE),
        ReplayedLine(REQUIRED, 1.0, True, None),
        ReplayedLine(ONE, 1.0, True, None, "80 ft"),
        ReplayedLine(THREE, 1.0, True, None, "0 ft"),
    )


def test_the_wall_under_review(monkeypatch):
    """The nominal one; else theirs rounded up, or ours where theirs is ours as printed: 0.19 in
    to 0.005 in, of which up to the whole last digit may be lost."""

    def wall(ours, *items):
        monkeypatch.setattr(recheck, "outcome", lambda case: ours)
        return recheck._wall(submitted(*items), Made(choice="choice"))

    monkeypatch.setattr(recheck, "run", lambda lines, values: {"t": 10 * values["t_required"]})
    assert wall({"t_required": 0.3}, T, REQUIRED) == 0.2
    assert wall({"t_required": 0.1999}, REQUIRED) == pytest.approx(1.999)
    assert wall({"t_required": 0.2001}, REQUIRED) == pytest.approx(1.9)
    assert wall({"t_required": 0.1801}, REQUIRED) == pytest.approx(1.801)
    assert wall({"t_required": 0.1799}, REQUIRED) == pytest.approx(1.9)
    assert wall({"t_required": 0.1}) is None
    assert wall(None, REQUIRED) is None


def test_each_stated_value_beside_ours_with_our_and_with_their_inputs(monkeypatch):
    """1 % agrees and over 5 % is an open point; 20 % differ, and 3 % of 0.75 in to 0.05 do by
    their rounding only. 5.08 in has the digits of 0.2 in, in mm."""
    metric = item("t_X1_1", 5.08)
    coarse = item("t_X1_4", 0.75, half=0.05)
    ours = {"t": 0.25, "t_required": 0.19, "t_X1_1": 0.3, "t_X1_4": 0.773, "t_X1_2": 0.0}
    theirs = {"t": 0.2, "t_required": 0.21, "t_X1_1": 0.2, "t_X1_4": 0.75}
    zero = item("t_X1_2", 0.5)
    walls = []

    def outcome(case, wall):
        walls.append(wall)
        return {"ours": ours, "theirs": theirs}.get(case)

    monkeypatch.setattr(recheck, "outcome", outcome)
    items = (T, REQUIRED, metric, coarse, zero)
    settings = Tolerances(0.01, 0.05)
    found = recheck._compared(Made(items=items), "ours", "theirs", 0.2, settings)
    assert walls == [0.2, 0.2]
    assert found == (
        Comparison(T, 0.25, 0.2, False, True, True),
        Comparison(REQUIRED, 0.19, 0.21, True, False, False),
        Comparison(metric, 0.3, 0.2, False, False, True, unit_meant="mm"),
        Comparison(coarse, 0.773, 0.75, True, True, False, by_rounding=True),
        Comparison(zero, 0.0, None, False, True, True),
    )
    (none,) = recheck._compared(Made(items=(T,)), "none", "none", 0.2, settings)
    assert none == Comparison(T, None, None, True, True, False)


def test_inputs_are_sought_for_the_check_that_departs_then_for_the_thicknesses(
    monkeypatch, two_checks_here
):
    asked = []
    monkeypatch.setattr(recheck, "alternatives", lambda *given: asked.append(given) or "found")

    def wanted(*lines):
        asked.clear()
        made = [Made(item=each, cause=cause, station=at) for each, cause, at in lines]
        found = recheck._alternatives(Made(basis=None), "items", made, 1, "cut")
        assert found == ("found" if asked else ())
        return [target for _, _, target, station, style in asked if (station, style) == (1, "cut")]

    here = (T, HERE, None), (REQUIRED, HERE, None), (THREE, HERE, None), (C, HERE, None)
    assert wanted(*here) == [THREE]
    assert wanted(*here[:2]) == [REQUIRED]
    assert wanted(here[0]) == [T]
    assert wanted(here[3]) == wanted() == []
    assert wanted((THREE, HERE, "0 ft"), (ONE, "follows", None), here[0]) == [T]


def test_a_number_of_a_checks_own(monkeypatch, two_checks_here):
    """0.19 in stated as required is X1.1's own, where X1.3 asks for 0.25 in and is not stated."""
    required = Made(item=REQUIRED, cause=HERE)

    def own(right, *lines):
        monkeypatch.setattr(recheck, "outcome", lambda case: right)
        return recheck._own_number(Made(basis=None), lines)

    right = {"t_X1_1": 0.192, "t_X1_3": 0.25}
    assert own(right, required) == OwnNumber("X1.1", 0.192, (("X1.3", 0.25),))
    assert own(right, Made(item=ONE, cause=HERE), required) is not None
    # Not where the larger one is stated too, where the line follows, or where none is near.
    assert own(right, Made(item=THREE, cause=None), required) is None
    assert own(right, replace_(required, cause="follows")) is None
    assert own(right, Made(item=T, cause=HERE)) is own(None, required) is None
    assert own({"t_X1_1": 0.1951, "t_X1_3": 0.25}, required) is None
    assert own({"t_X1_1": 0.1849, "t_X1_3": 0.25}, required) is None
    # Beyond the last digit alone a check is over it.
    assert own({"t_X1_1": 0.19, "t_X1_3": 0.1949}, required).over == ()
    assert own({"t_X1_1": 0.19, "t_X1_3": 0.1951}, required).over == (("X1.3", 0.1951),)
    edge = Made(item=replace(REQUIRED, value=0.1875, half=0.0625), cause=HERE)
    assert own({"t_X1_1": 0.125, "t_X1_3": 0.25}, edge) == OwnNumber("X1.1", 0.125, ())
    # A check that asks for nothing has no number.
    nothing = Made(item=replace(REQUIRED, value=0.0), cause=HERE)
    assert own({"t_X1_1": 0.0, "t_X1_3": 0.25}, nothing) is None


def replace_(made, **changed):
    return Made(**(vars(made) | changed))


# Contradictions


CHECKS = [Made(required="t_X1_1", equation="X1.1"), Made(required="t_X1_3", equation="X1.3")]
ONE, THREE = item("t X1.1", 0.15, "t_X1_1"), item("t X1.3", 0.19, "t_X1_3")


@pytest.fixture
def two_checks_here(monkeypatch):
    monkeypatch.setattr(recheck, "checks_of", lambda basis: CHECKS)


@pytest.fixture
def two_checks(monkeypatch):
    monkeypatch.setattr(contradictions, "checks_of", lambda basis: CHECKS)


def submitted(*items, **stated):
    given = {"governing": "", "thickness_step": None} | stated
    return Made(items=items, item={e.key: e for e in items}.get, stated=Made(**given))


def test_one_quantity_stated_twice():
    """0.2 and 0.21 with last digits of 0.005 each may be one number; 0.2101 may not."""
    other = item("t", 0.2101, "t")
    (made,) = contradictions._stated_twice((T, other, REQUIRED))
    assert (made.items, made.unsafe) == (("thickness", "t"), True)
    assert made.text == "The submittal states both thickness 0.2 in and t 0.2101 in."
    assert list(contradictions._stated_twice((T, replace(other, value=0.2099)))) == []
    exact = replace(T, value=0.25, half=0.125)
    assert list(contradictions._stated_twice((exact, replace(exact, value=0.5)))) == []
    (c,) = contradictions._stated_twice((item("C", 0.8), item("C", 0.9)))
    assert not c.unsafe


@pytest.mark.usefixtures("two_checks")
def test_a_required_thickness_is_the_largest_of_the_checks():
    def told(required, *items):
        about = replace(REQUIRED, value=required)
        return list(contradictions._required_and_checks(submitted(about, *items), Made(basis=None)))

    assert told(0.19, ONE, THREE) == told(0.181, ONE, THREE) == told(0.199, ONE, THREE) == []
    (less,) = told(0.179, ONE, THREE)
    assert (less.items, less.unsafe) == (("required_thickness", "t X1.3"), True)
    (more,) = told(0.2011, ONE, THREE)
    assert not more.unsafe
    # One that is not stated may be larger.
    assert told(0.3, THREE) == told(0.3) == []
    assert len(told(0.1, THREE)) == 1
    alone = submitted(ONE, THREE)
    assert list(contradictions._required_and_checks(alone, Made(basis=None))) == []


@pytest.mark.usefixtures("two_checks")
def test_the_equation_called_governing_has_the_largest_thickness():
    def told(named, *items):
        return list(contradictions._governing(submitted(*items, governing=named), Made(basis=None)))

    (made,) = told(" X1.1 ", ONE, THREE)
    assert made.items == ("governing", "t X1.3")
    assert made.text == sentence(
        "review.governing", named="X1.1", own="0.15 in", largest="t X1.3 0.19 in"
    )
    assert told("X1.3", ONE, THREE) == told("", ONE, THREE) == told("X1.1", ONE) == []
    assert told("X1.9", ONE, THREE) == told("X1.1", replace(ONE, value=0.181), THREE) == []
    assert len(told("X1.1", replace(ONE, value=0.1799), THREE)) == 1


def test_a_nominal_thickness_beside_the_required_one_and_its_increment():
    def told(*items, step=None):
        return list(contradictions._nominal(submitted(*items, thickness_step=step)))

    assert told(REQUIRED) == told(T, REQUIRED) == told(replace(T, value=0.181), REQUIRED) == []
    (under,) = told(replace(T, value=0.1799), REQUIRED)
    assert (under.items, under.unsafe) == (("thickness", "required_thickness"), True)
    inch = Measure(0.05, "in", "0.05 in")
    assert told(T, step=inch) == []
    (off,) = told(replace(T, value=0.204), step=inch)
    assert (off.items, off.unsafe) == (("thickness", "thickness_step"), False)
    metric = Measure(1.27, "mm", "1.27 mm")
    assert told(replace(T, value=0.204), step=metric) == []
    assert len(told(replace(T, value=0.206), step=metric)) == 1


@pytest.mark.usefixtures("two_checks")
def test_numbers_that_just_meet_by_their_rounding_are_no_contradiction():
    """0.25 in and 0.5 in, each to 0.125 in, may both be 0.375 in."""
    low, high = (replace(T, value=value, half=0.125) for value in (0.25, 0.5))
    checks = Made(basis=None)

    def as_(about, made):
        return replace(made, name=about.name, key=about.key)

    less = submitted(as_(REQUIRED, low), as_(THREE, high))
    more = submitted(as_(REQUIRED, high), as_(ONE, low), as_(THREE, replace(low, value=0.125)))
    for made in (less, more):
        assert list(contradictions._required_and_checks(made, checks)) == []
    named = submitted(as_(ONE, low), as_(THREE, high), governing="X1.1")
    assert list(contradictions._governing(named, checks)) == []
    assert list(contradictions._nominal(submitted(low, as_(REQUIRED, high)))) == []
    exact = submitted(replace(high, value=0.625), thickness_step=Measure(0.5, "in", "0.5 in"))
    assert len(list(contradictions._nominal(exact))) == 1
    # Of the two largest the first is named.
    both = submitted(as_(REQUIRED, replace(low, value=0.01)), as_(ONE, high), as_(THREE, high))
    (made,) = contradictions._required_and_checks(both, checks)
    assert (made.items, made.unsafe) == (("required_thickness", "t X1.1"), True)


def test_a_wall_is_worked_with_the_values_that_are_stated(monkeypatch):
    """Those of inputs and of lines, but not a required thickness, nor what ours does not have."""
    asked = []
    monkeypatch.setattr(contradictions, "fixed", lambda value: f"fixed {value}")

    def outcome(case, wall, alteration):
        asked.append((case, wall, alteration))
        return known

    monkeypatch.setattr(contradictions, "outcome", outcome)
    lines = [Made(result=key) for key in ("C", "t_required", "t_X1_3")]
    theirs = Made(lines=lines, inputs={"N": 2.0})
    made = submitted(item("N", 1.5), item("C", 0.7), THREE, REQUIRED, item("x", 1.0))
    known = {"N_X1_3": 1.9}
    assert contradictions._with_own_values(made, theirs, 0.2) == known
    own = {"N": "fixed 1.5", "C": "fixed 0.7", "t_X1_3": "fixed 0.19"}
    assert asked == [(theirs, 0.2, (own,))]
    known = None
    assert contradictions._with_own_values(made, theirs, 0.2) == {}


@pytest.mark.parametrize(
    ("stated", "provided", "told"),
    [
        # 2.5 % of a factor stated to one decimal are no contradiction; one of nothing is none.
        (2.0, (1.96, 3.0), False),
        (2.0, (1.94, 3.0), True),
        (2.0, (3.0, 1.94), True),
        (2.0, (0.0, 2.0), False),
        (2.0, (), False),
        (None, (1.0, 1.0), False),
    ],
)
def test_a_safety_factor_stated_beside_what_the_wall_provides(monkeypatch, stated, provided, told):
    checks = [Made(safety="N_X1_1"), Made(safety="N_X1_3"), Made(safety="N_X1_9")]
    found = dict(zip(("N_X1_1", "N_X1_3"), provided, strict=False))
    monkeypatch.setattr(contradictions, "checks_of", lambda basis: checks)
    monkeypatch.setattr(contradictions, "_with_own_values", lambda *given: found)
    theirs = Made(basis=Made(system="US"))
    made = list(contradictions._factor(submitted(T, safety_factor=stated), theirs))
    assert list(contradictions._factor(submitted(safety_factor=stated), theirs)) == []
    assert [(each.items, each.unsafe) for each in made] == (
        [(("safety_factor", "thickness"), True)] if told else []
    )
    if told:
        assert made[0].text == sentence(
            "review.safety factor", stated="2", provided="1.94", wall="5.08 mm (0.2 in)"
        )


@pytest.mark.parametrize(
    ("rated", "demands", "borne", "told"),
    [
        # The class of 100 psi is under the largest demand, or over what the wall bears, less 2.5 %.
        (100.0, (90.0, 100.0), (120.0, 110.0), []),
        (100.0, (90.0, 100.1), (120.0, 110.0), ["internal_pressure"]),
        (100.0, (90.0,), (120.0, 97.4), ["thickness"]),
        (100.0, (90.0,), (120.0, 97.6), []),
        (100.0, (101.0,), (90.0,), ["internal_pressure", "thickness"]),
        (100.0, (None,), (), []),
    ],
)
def test_a_pressure_class_beside_the_demand_and_what_the_wall_bears(
    monkeypatch, rated, demands, borne, told
):
    checks = [Made(capacity=f"c{n}", demand="P_i") for n, _ in enumerate(borne)]
    checks.append(Made(capacity="other", demand="P"))
    found = {f"c{n}": each for n, each in enumerate(borne)} | {"other": 1.0}
    monkeypatch.setattr(contradictions, "checks_of", lambda basis: checks)
    monkeypatch.setattr(contradictions, "_with_own_values", lambda *given: found)
    theirs, psi = Made(basis=None), Measure(rated, "psi", "100 psi")

    def of(*items, stated=psi):
        made = submitted(*items, pressure_class=stated)
        values = [{} if each is None else {"P_i": each} for each in demands]
        made.ours = Made(basis=Made(system="US"), stations=[Made(values=each) for each in values])
        return list(contradictions._pressure_class(made, theirs))

    made = of(T)
    assert [each.items for each in made] == [("pressure_class", name) for name in told]
    assert all(each.unsafe for each in made)
    for each in made:
        assert each.text == (
            sentence(
                "review.class under pressure", stated=psi, pressure=f"{max(demands):.4g} psi"
            )
            if each.items[1] == "internal_pressure"
            else sentence(
                "review.class over wall", stated=psi, wall="5.08 mm (0.2 in)",
                borne=f"{min(borne):.4g} psi",
            )
        )  # fmt: skip
    assert [each.items[1] for each in of()] == [name for name in told if name != "thickness"]
    assert of(T, stated=None) == []


def test_values_of_another_place_have_three_figures_and_depart(monkeypatch):
    """Of 0.8 to 0.005; one of two figures is told nothing of."""
    places = [("station 9 ft", {"C": 0.804, "P": 5.01}), ("the other", {"C": 0.8051, "P": 5.0})]
    monkeypatch.setattr(contradictions, "_other_places", lambda *given: places)
    precise = item("C", 0.8, stated=Measure(0.8, "", "0.800"))
    pressure = item("P", 5.0, half=0.0078125, stated=Measure(5.0, "psi", "5.00 psi"))
    coarse = item("C", 0.8, stated=Measure(0.8, "", "0.80"))

    def told(*lines):
        made = [Made(item=each, cause=cause) for each, cause in lines]
        return [
            (each.items, each.text, each.unsafe)
            for each in contradictions._elsewhere(submitted(), Made(), made)
        ]

    one = sentence("review.belongs elsewhere", items="C 0.800", place="station 9 ft")
    assert told((precise, HERE)) == [(("C",), one, False)]
    assert told((precise, "follows")) == told((coarse, HERE)) == told() == []
    assert told((pressure, HERE))[0][0] == ("P",)
    places[1][1]["P"] = 5.0078125
    places[0][1]["P"] = 5.0
    both = sentence("review.belong elsewhere", items="C 0.800, P 5.00 psi", place="station 9 ft")
    other = sentence("review.belongs elsewhere", items="P 5.00 psi", place="the other")
    assert [text for _, text, _ in told((precise, HERE), (pressure, HERE))] == [both, other]
    places[1][1]["P"] = 5.0078126
    assert len(told((precise, HERE), (pressure, HERE))) == 1


def test_the_other_places_are_stations_and_the_other_condition(monkeypatch):
    """Of the other condition only the thicknesses are set beside what departs."""
    known = {"t": 0.2, "t_required": 0.19, "C": 0.8}
    monkeypatch.setattr(contradictions, "outcome", lambda case: known if case != "C" else None)
    monkeypatch.setattr(contradictions, "other_condition", lambda task: other)
    monkeypatch.setattr(contradictions, "case_of", lambda task: f"case of {task.basis.condition}")
    stations = Made(stations=("A", "B", "C"), at=lambda place: "ABC"[place])
    submittal = Made(theirs="theirs")
    other = None
    found = list(contradictions._other_places(submittal, stations))
    assert found == [("station A", known), ("station B", known), ("station C", {})]
    other = Made(basis=Made(condition="other"))
    alone = Made(stations=(None,))
    assert list(contradictions._other_places(submittal, alone)) == [
        ("the other condition", {"t": 0.2, "t_required": 0.19})
    ]


@pytest.mark.parametrize(
    ("taken", "other", "ours", "only"),
    [
        (10.0, 10.0, 9.0, True),
        (10.0, 10.009, 9.0, True),
        (10.0, 10.011, 9.0, False),
        (10.0, 10.0, 10.005, False),
        (10.0, 10.0, 10.02, True),
        (0.0, 0.0, 1.0, False),
        (-1.0, -1.0, 1.0, False),
    ],
)
def test_another_value_than_ours_to_a_thousandth(taken, other, ours, only):
    assert contradictions._only_other(taken, other, ours) is only


@pytest.mark.parametrize(
    ("invert", "crown", "told"),
    [
        # The crown is 2 ft up; each head is to a quarter of a foot.
        (10.0, 8.0, False),
        (10.0, 8.5, False),
        (10.0, 8.75, True),
        (10.0, 7.5, False),
        (10.0, 7.25, True),
        # Water under the crown is none above it.
        (1.0, 0.5, False),
        (1.0, 0.75, True),
        (10.0, 0.0, False),
    ],
)
def test_two_heads_differ_by_the_height_of_the_crown(monkeypatch, invert, crown, told):
    known = {"ours": {"H": 14.0, "h_invert": 30.0, "crown": 24.0}}
    monkeypatch.setattr(contradictions, "case_of", lambda task: task)
    monkeypatch.setattr(contradictions, "height_of_crown", lambda D, system: D / 12)
    heads = [
        item(name, value, half=0.25, unit="ft")
        for name, value in (("h_invert", invert), ("H_w", crown))
    ]
    theirs = Made(basis=Made(crown="crown", system="US"))

    def of(*items):
        made = submitted(*items)
        made.ours, made.name_of = "ours", lambda key: key
        return list(contradictions._depths(made, theirs))

    monkeypatch.setattr(contradictions, "outcome", lambda case: known.get(str(case)))
    found = of(*heads)
    assert [(each.items, each.unsafe) for each in found] == (
        [(("h_invert", "H_w"), False)] if told else []
    )
    if told:
        assert found[0].text == sentence(
            "review.heads differ", invert=heads[0].stated, crown=heads[1].stated, rise="2 ft"
        )
    assert of(heads[0]) == of(heads[1]) == []
    known["ours"].pop("H")
    assert of(*heads) == []


@pytest.mark.parametrize(
    ("taken", "code", "key", "unsafe"),
    [
        # Under 14 ft with the crown 2 ft up: the invert is 16 ft deep, the water 6 ft.
        ({"H": 16.0}, "cover is invert depth", "H", False),
        ({"h_invert": 6.0}, "head is depth to water", "h_invert", True),
        ({"H_w": 10.0}, "head above crown is above invert", "H_w", False),
        ({"H": 14.0, "h_invert": 10.0, "H_w": 8.0}, None, None, None),
    ],
)
@pytest.mark.parametrize("by_line", [False, True])
def test_depths_of_another_datum(monkeypatch, taken, code, key, unsafe, by_line):
    """As a line or as an input of theirs; a line goes before the input."""
    right = {"H": 14.0, "h_invert": 10.0, "H_w": 8.0, "crown": 24.0}
    theirs = right if by_line else right | taken
    monkeypatch.setattr(contradictions, "case_of", lambda task: task)
    monkeypatch.setattr(contradictions, "height_of_crown", lambda D, system: D / 12)
    monkeypatch.setattr(contradictions, "outcome", lambda case: right if case == "ours" else theirs)
    stated = [item(name, value, half=0.05, unit="ft") for name, value in taken.items()] * by_line
    made = submitted(*stated)
    made.ours, made.name_of = "ours", lambda key: f"their {key}"
    found = list(contradictions._depths(made, Made(basis=Made(crown="crown", system="US"))))
    assert [(each.items, each.unsafe) for each in found] == (
        [] if code is None else [((f"their {key}",), unsafe)]
    )
    if code:
        assert found[0].text == sentence(f"review.{code}", value=f"{taken[key]:g} ft")


def test_the_parts_of_a_load_and_their_sum():
    parts = [item(key, value, unit="psi") for key, value in (("q_water", 5.0), ("q_soil", 6.0))]
    live = item("W_s", 1.0, unit="psi")
    total = item("q_t", 11.0, unit="psi")

    def told(*lines, inputs=None):
        given = [Made(item=each, cause=None, expected=None) for each in lines]
        given.append(Made(item=total, cause=HERE, expected=12.0))
        return list(contradictions._sum_of_loads(given, Made(inputs=inputs or {})))

    (made,) = told(*parts, live)
    assert made.items == ("q_t", "q_water", "q_soil", "W_s")
    assert (made.text, made.unsafe) == ("The stated parts of q_t add up to 12.0 psi.", True)
    assert told(*parts) == told(parts[0], live) == []
    # A live load of nothing need not be stated.
    assert len(told(*parts, inputs={"W_s": np.zeros(2)})) == 1


# Replay and roots


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
        (0.7557, True, False, True),
        (0.7559, True, False, False),
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


def test_the_sign_changes_nearest_to_the_present_value():
    """Zeros at 1.5, 3.5 and 7.5; nearness is that of ratios."""
    grid = np.arange(1.0, 10.0)
    heights = np.array([-1.0, 1.0, 2.0, -1.0, -2.0, -3.0, -1.0, 1.0, 2.0])
    for now, place in ((1.0, 0), (1.7, 0), (1.8, 2), (4.5, 2), (4.7, 6), (9.0, 6)):
        assert alternatives._bracket(grid, heights, now) == place
    assert alternatives._bracket(grid, np.abs(heights), 1.0) is None
    assert alternatives._bracket(grid, np.where(heights < 0, 0.0, heights), 9.0) == 6
    assert alternatives._bracket(grid, np.full(9, np.nan), 1.0) is None
    assert alternatives._bracket(grid, heights, 0.0) == 0


def test_an_input_of_nothing_is_infinitely_far():
    about = Alternative("N", 4.0, 2.0, None, "", "t")
    assert about.away == replace(about, value=1.0).away == pytest.approx(np.log(2))
    assert replace(about, value=0.0).away == replace(about, now=0.0).away == np.inf
