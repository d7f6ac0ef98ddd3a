"""Every contradiction inside a submittal at its borders, by hand; nothing is recomputed."""

from dataclasses import replace
from types import SimpleNamespace as Made

import numpy as np
import pytest
from tasks.review.test_recheck_by_hand import CHECKS, ONE, REQUIRED, THREE, T, item, submitted

from linerdesign.project.measures import Measure
from linerdesign.tasks.review import contradictions
from linerdesign.tasks.review.replay import HERE
from linerdesign.words import sentence


@pytest.fixture
def two_checks(monkeypatch):
    monkeypatch.setattr(contradictions, "checks_of", lambda basis: CHECKS)


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
        (2.0, (1.9501, 3.0), False),
        (2.0, (1.9499, 3.0), True),
        (2.0, (3.0, 1.9499), True),
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
        (100.0, (90.0,), (120.0, 97.49), ["thickness"]),
        (100.0, (90.0,), (120.0, 97.51), []),
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
        (10.0, 10.01003, 9.0, False),
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

    def told(*lines, inputs=None, expected=12.0):
        given = [Made(item=each, cause=None, expected=None) for each in lines]
        given.append(Made(item=total, cause=HERE, expected=expected))
        return list(contradictions._sum_of_loads(given, Made(inputs=inputs or {})))

    (made,) = told(*parts, live)
    assert made.items == ("q_t", "q_water", "q_soil", "W_s")
    assert (made.text, made.unsafe) == ("The stated parts of q_t add up to 12.0 psi.", True)
    for least, unsafe in ((11.001, True), (11.0, False), (10.0, False)):
        (other,) = told(*parts, live, expected=least)
        assert other.unsafe is unsafe
    assert told(*parts, live, expected=0.0) == told(*parts, live, expected=None) == []
    assert told(*parts) == told(parts[0], live) == []
    # A live load of nothing need not be stated.
    assert len(told(*parts, inputs={"W_s": np.zeros(2)})) == 1
