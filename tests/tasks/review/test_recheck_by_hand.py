"""What a recheck makes of numbers given by hand: verdicts, agreement, and how it comes about."""

from dataclasses import replace
from types import SimpleNamespace as Made

import numpy as np
import pytest
from projects import PIPE, RESIN

from linerdesign.interface import read
from linerdesign.project.assembly import tasks
from linerdesign.project.measures import Measure
from linerdesign.tasks.review import recheck
from linerdesign.tasks.review.recheck import (
    ADEQUATE,
    THICK,
    THIN,
    Comparison,
    OwnNumber,
    Recheck,
    Tolerances,
    with_wall,
)
from linerdesign.tasks.review.replay import HERE, ReplayedLine
from linerdesign.tasks.review.submittal import Item


def item(name, value, key=None, half=0.005, unit="in", stated=None):
    measure = stated or Measure(value, unit, f"{value:g} {unit}".strip())
    return Item(name, key or name, measure, unit, value, half)


C = item("C", 0.8)
T, REQUIRED = item("thickness", 0.2, "t"), item("required_thickness", 0.19, "t_required")


CHECKS = [Made(required="t_X1_1", equation="X1.1"), Made(required="t_X1_3", equation="X1.3")]
ONE, THREE = item("t X1.1", 0.15, "t_X1_1"), item("t X1.3", 0.19, "t_X1_3")


def submitted(*items, **stated):
    given = {"governing": "", "thickness_step": None} | stated
    return Made(items=items, item={e.key: e for e in items}.get, stated=Made(**given))


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
    assert verdict(0.21) == verdict(0.20201) == THICK
    assert verdict(0.20199) == ADEQUATE
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


@pytest.fixture
def two_checks_here(monkeypatch):
    monkeypatch.setattr(recheck, "checks_of", lambda basis: CHECKS)


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


def test_a_wall_under_review_is_given_at_every_station_and_chosen_from_no_sizes():
    resin = RESIN | {"thicknesses": ["6 mm", "9 mm"]}
    stations = [{"at": "0 ft"}, {"at": "80 ft", "cover": "20 ft"}]
    tables = {"resin": [resin], "pipe": [PIPE | {"station": stations}]}
    (chosen,) = tasks(read({"project": {"title": "x", "units": "US"}} | tables))
    given = with_wall(chosen, 0.25)
    assert (chosen.basis.thickness_given, given.basis.thickness_given) == (False, True)
    assert chosen.basis.sizes
    assert given.basis.sizes is None
    assert [station.values["t"] for station in given.stations] == [0.25, 0.25]
    assert all("t" not in station.values for station in chosen.stations)
