"""Every way of every error in one pipe, each number worked by hand with the error in it."""

from dataclasses import replace
from itertools import combinations
from math import exp, log
from types import SimpleNamespace

import numpy as np
import pytest
from by_hand import PSI_IN_MPA, Inputs, project

from linerdesign.methods.altered import Case, case_of, fixed, outcome, outcomes
from linerdesign.methods.basis import FULLY, Basis
from linerdesign.methods.f1216.changes import breach, check_skipped
from linerdesign.methods.f1216.slips import SLIPS, made_in
from linerdesign.methods.method import checks_of, requirement
from linerdesign.project.reading import parse
from linerdesign.tasks.review.submittal import submittals

FOOT = 0.3048
# 30 in, 4 % oval, cover 10 ft, water 9.5 ft over the invert and so 7 ft over the crown.
PIPE = {
    **{"D": 30.0, "q": 4.0, "h_invert": 9.5, "H": 10.0, "w": 118.0, "E_s": 800.0, "W_s": 2.5},
    **{"E": 300e3, "retention": 40.0, "sigma": 5000.0, "strength_retention": 45.0},
}
LONG, STRONG = 120e3, 2250.0


def thicknesses(
    D=30.0, q=4.0, power=3, head=9.5, bending_head=None, over=7.0, load_over=None, cover=10.0,
    support_cover=None, constant=0.065, R_w=None, weight=None, W_s=2.5, E_s=800.0, K=7.0, nu=0.3,
    N=2.0, N_1=None, N_2=None, N_3=None, E_1=LONG, E_3=LONG, E_4=300e3, strength=STRONG,
    in_soil=1.0, earlier=False, less=1, after=lambda t: t,
):  # fmt: skip
    """X1.1 to X1.4 solved by hand for t (Najafi 2010, sec. 2.7), the numbers of each its own."""
    d = q / 100
    C = ((1 - d) / (1 + d) ** 2) ** power
    P, P_2 = 0.433 * head, 0.433 * (head if bending_head is None else bending_head)
    R_w = max(1 - 0.33 * over / cover, 0.67) if R_w is None else R_w
    load_over = over if load_over is None else load_over
    q_t = 0.433 * load_over + 118 * cover * (R_w if weight is None else weight) / 144 + W_s
    B = 1 / (1 + 4 * exp(-constant * (support_cover or cover)))
    plane = 2 * K * E_1 * C / ((1 - nu**2) * (N_1 or N))
    root = 32 * R_w * B * E_s * E_3 * in_soil * (C**2 if earlier else C)
    found = {"t_X1_1": D / (less + (plane / P) ** (1 / 3))}
    if d:
        bending = (1.5 * d * (1 + d), -0.5 * (1 + d), -strength / (P_2 * (N_2 or N)))
        found["t_X1_2"] = D / np.roots(bending).max()
    found["t_X1_3"] = D * (12 * ((N_3 or N) * q_t) ** 2 / root) ** (1 / 3)
    found["t_X1_4"] = D * (12 * 0.093 / E_4) ** (1 / 3)
    return {key: after(t) for key, t in found.items()}


INCH = 25 / 25.4
WAYS = {
    "other-edition": [{"earlier": True}],
    "elastic-support-units": [{"constant": 0.213}, {"support_cover": 10 * FOOT}],
    "elastic-support-misprint": [{"constant": 0.65}, {"constant": 0.065 * log(2.178)}],
    "ovality-omitted": [{"q": 0.0}],
    "ovality-doubled": [{"q": 8.0}],
    "ovality-factor-not-cubed": [{"power": 1}],
    "short-term-modulus": [
        *({"E_1": 300e3, "E_3": 300e3},) * 2,
        {"E_1": 300e3},
        {"E_3": 300e3},
    ],
    "retention-twice": [{"E_1": 48e3, "E_3": 48e3}] * 2,
    "long-term-modulus-in-stiffness": [{"E_4": LONG}],
    "short-term-strength": [{"strength": 5000.0}] * 2,
    "head-from-crown": [{"head": 7.0}, {"head": 7.0, "bending_head": 9.5}],
    "head-from-invert": [{"over": 9.5}, {"load_over": 9.5}],
    # The water table lies 10 + 2.5 - 9.5 = 3 ft below grade.
    "depth-to-water-as-head": [
        {"head": 3.0, "over": 0.5},
        {"head": 5.5, "over": 3.0},
        {"head": 3.0, "over": 3.0},
    ],
    "water-datum-crown": [{"head": 7.0, "over": 4.5}],
    "cover-to-invert": [{"cover": 12.5}],
    "enhancement-omitted": [{"K": 1.0}],
    "enhancement-in-soil-buckling": [{"in_soil": 7.0}],
    "poisson-omitted": [{"nu": 0.0}],
    "safety-factor-omitted": [{"N": 1.0}, {"N_1": 1.0}, {"N_2": 1.0}, {"N_3": 1.0}],
    "safety-factor-1.5": [{"N": 1.5}],
    "buoyancy-omitted": [{"R_w": 1.0}],
    "gross-soil-weight": [{"weight": 1.0}],
    "buoyancy-not-floored": [{}],
    "live-load-omitted": [{"W_s": 0.0}] * 2,
    "live-load-doubled": [{"W_s": 5.0}] * 2,
    "soil-modulus-units": [{"E_s": 800 * PSI_IN_MPA}],
    "dimension-ratio-not-less-one": [{"less": 0}],
    "outside-diameter": [{"after": lambda t: 30 / (30 / t - 2)}],
    "inch-as-25-mm": [
        {"after": lambda t: t * INCH},
        {},
        {"D": 30 * INCH, "over": 9.5 - 2.5 * INCH},
    ],
    "rounded-down": [{}, {}],
}


# Errors that leave the thicknesses of the checks alone, or leave a check out.
APART = {"inch-as-25-mm": {1}, "rounded-down": {0, 1}}
EQUATIONS = ("X1.1", "X1.2", "X1.3", "X1.4")
# The thickness by each check, and what it sets against each other for a wall.
CHECKS = {
    "t_X1_1": ("P", "P_X1_1"),
    "t_X1_2": ("sigma_X1_2", "sigma_allowed"),
    "t_X1_3": ("q_t", "q_X1_3"),
    "t_X1_4": ("S_min", "S_X1_4"),
}


def case(more="", **changes):
    text = project(Inputs(**PIPE | changes), {"required_thickness": "5 mm"}) + more
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    return case_of(submittal.ours)


def ways(of):
    made = {}
    for each in made_in(of):
        made.setdefault(each.slip.name, []).append(each)
    return made


def found_with(of, each, wall=None):
    return outcome(of, wall, (each.change,))


def test_every_way_of_an_error_by_hand():
    """Each in the equations that it is about, and in no other."""
    of = case()
    made = ways(of)
    skipped = {f"check-skipped {number}" for number in (*EQUATIONS, "DR limit")}
    assert made.keys() == WAYS.keys() | skipped | {"partial-for-full"}
    for name, expected in WAYS.items():
        assert [each.place for each in made[name]] == list(range(len(expected))), name
        for each, changes in zip(made[name], expected, strict=True):
            found, by_hand = found_with(of, each), thicknesses(**changes)
            where = f"{name}, way {each.place}"
            assert {key: found.get(key) for key in by_hand} == pytest.approx(by_hand, 1e-9), where
            if each.place not in APART.get(name, ()):
                assert found["t_required"] == pytest.approx(max(by_hand.values()), 1e-9), where


def test_errors_that_leave_a_check_out():
    of, right = case(), thicknesses()
    made = ways(of)
    left_out = {f"check-skipped {n}": {f"t_{n.replace('.', '_')}"} for n in EQUATIONS}
    for name, keys in (left_out | {"partial-for-full": {"t_X1_3", "t_X1_4"}}).items():
        (each,) = made[name]
        found = found_with(of, each)
        assert not keys & found.keys(), name
        rest = max(t for key, t in right.items() if key not in keys)
        assert found["t_required"] == pytest.approx(rest, rel=1e-9), name
    assert not {"R_w", "B", "q_t"} & found.keys()
    assert found["E_L"] == LONG


def test_errors_of_the_end_of_the_calculation():
    """By hand: 0.697 in is 11.8 steps of 1.5 mm, so 12 are right and 11 are rounded down."""
    of, required = case(), max(thicknesses().values())
    step = 1.5 / 25.4
    assert 11 < required / step < 12
    assert outcome(of)["t"] == pytest.approx(12 * step, rel=1e-12)
    inch, (nominal, cut) = ways(of)["inch-as-25-mm"][1], ways(of)["rounded-down"]
    assert found_with(of, inch)["t_required"] == pytest.approx(required * INCH, rel=1e-12)
    found = found_with(of, nominal)
    assert found["t_required"] == pytest.approx(required, rel=1e-9)
    assert found["t"] == pytest.approx(11 * step, rel=1e-12)
    found = found_with(of, cut)
    assert found["t_required"] == pytest.approx(11 * step, rel=1e-12)
    assert found["t"] == pytest.approx(11 * step, rel=1e-12)
    exactly = {"t_required": fixed(12 * step)}
    found = outcome(of, alteration=(exactly, nominal.change))
    assert found["t"] == pytest.approx(12 * step, rel=1e-12)


def test_rounding_down_among_the_sizes_of_a_resin():
    """0.697 in is 17.7 mm: of 12, 15 and 18 mm the one under it is 15; under the least is none."""
    for sizes, lower in (("12 mm, 15 mm, 18 mm", 15 / 25.4), ("18 mm, 21 mm", 0.0)):
        listed = ", ".join(f'"{size}"' for size in sizes.split(", "))
        text = project(Inputs(**PIPE), {"required_thickness": "5 mm"})
        text = text.replace("[[pipe]]", f"thicknesses = [{listed}]\n[[pipe]]")
        (submittal,) = submittals(parse(text.encode(), "test.toml"))
        of = case_of(submittal.ours)
        (each,) = ways(of)["rounded-down"]
        assert found_with(of, each)["t"] == pytest.approx(lower, rel=1e-12)
    exactly = {"t_required": fixed(18 / 25.4)}
    assert outcome(of, alteration=(exactly, each.change))["t"] == pytest.approx(18 / 25.4)


def test_an_error_is_made_in_both_forms_of_an_equation():
    """A wall of the thickness that a check asks for with the error just meets it, error included.

    But where the thickness alone is changed, or the head of X1.1 solved for t.
    """
    of = case()
    by_thickness = {"outside-diameter": {0}, "inch-as-25-mm": {0}}
    for each in made_in(of):
        if each.place in by_thickness.get(each.slip.name, ()):
            continue
        found = found_with(of, each)
        for key, (demand, capacity) in CHECKS.items():
            if key not in found or (each.slip.name, each.place, key) == (
                *("head-from-crown", 1),
                "t_X1_1",
            ):
                continue
            wall = found_with(of, each, wall=found[key])
            where = f"{each.slip.name}, way {each.place}, {key}"
            assert wall[demand] == pytest.approx(wall[capacity], rel=1e-9), where
            assert wall["t"] == found["t"], where


def test_the_equations_named_are_those_that_read_the_quantity():
    def words(name, of):
        return [each.words for each in ways(of)[name]]

    of = case()
    modulus = "the short-term modulus is used in "
    both, first, third = (modulus + which for which in ("X1.1 and X1.3", "X1.1", "X1.3"))
    assert words("short-term-modulus", of) == [both, both, first, third]
    assert [text.partition(" from ")[2] for text in words("safety-factor-omitted", of)] == [
        "X1.1 and X1.2 and X1.3 (N = 1)",
        "X1.1 (N = 1)",
        "X1.2 (N = 1)",
        "X1.3 (N = 1)",
    ]
    assert words("check-skipped DR limit", of) == ["the check by DR limit is omitted"]
    (text,) = words("short-term-strength", case(fully=False))[:1]
    assert text == "the short-term flexural strength is used in X1.2"


def test_errors_of_a_partially_deteriorated_pipe():
    """The head is then taken over the invert: 9.5 ft for 12 ft, the height of the crown 2.5 ft."""
    of = case(fully=False)
    made = ways(of)
    (each,) = made["water-datum-invert"]
    found, by_hand = found_with(of, each), thicknesses(head=12.0)
    for key in ("t_X1_1", "t_X1_2"):
        assert found[key] == pytest.approx(by_hand[key], rel=1e-9)
    assert not {"water-datum-crown", "cover-to-invert", "live-load-omitted"} & made.keys()
    assert not {"partial-for-full", "other-edition", "head-from-invert"} & made.keys()


def test_the_outside_of_the_host_taken_for_its_inside():
    """A wall of 2 in makes the diameter 34 in for 30 in, and every thickness 34/30 of its own."""
    of = case()
    of = replace(of, inputs={**of.inputs, "t_host": 2.0})
    _, each = ways(of)["outside-diameter"]
    found = found_with(of, each)
    for key, right in thicknesses().items():
        assert found[key] == pytest.approx(right * 34 / 30, rel=1e-9)


def test_water_of_half_a_foot():
    """No head is left over the crown, and the DR limit rules."""
    of = case(h_invert=0.5)
    made = ways(of)
    low = {"head": 0.5, "over": 0.0}
    changes = (low | {"over": 0.5}, low | {"load_over": 0.5})
    for each, of_way in zip(made["head-from-invert"], changes, strict=True):
        found, by_hand = found_with(of, each), thicknesses(**of_way)
        assert {key: found[key] for key in by_hand} == pytest.approx(by_hand, 1e-9)
    everywhere, _ = made["head-from-crown"]
    found = found_with(of, everywhere)
    assert (found["P"], found["t_X1_1"], found["t_X1_2"]) == (0, 0, 0)
    assert found["t_DR_limit"] == pytest.approx(0.3, rel=1e-12)
    # The water table lies 12 ft below grade: as a head over the invert, 9.5 ft over the crown.
    first, second, both = made["depth-to-water-as-head"]
    for each, changes in (
        (first, {"head": 12.0, "over": 9.5}),
        (second, {"head": 14.5, "over": 12.0}),
        (both, {"head": 12.0, "over": 12.0}),
    ):
        found, by_hand = found_with(of, each), thicknesses(**changes)
        assert {key: found[key] for key in by_hand} == pytest.approx(by_hand, 1e-9)


def test_the_strengths_of_an_owner_who_takes_the_short_term_one():
    of = case(short_term_strength=True)
    assert outcome(of)["t_X1_2"] == pytest.approx(thicknesses(strength=5000.0)["t_X1_2"], rel=1e-9)
    (each,) = ways(of)["long-term-strength"]
    assert found_with(of, each)["t_X1_2"] == pytest.approx(thicknesses()["t_X1_2"], rel=1e-9)
    change = breach(of, "x1_2_strength", "short-term")
    found = outcome(of, alteration=(change,))
    assert found["t_X1_2"] == pytest.approx(thicknesses()["t_X1_2"], rel=1e-9)


@pytest.mark.parametrize(
    ("requirement", "required", "changes"),
    [
        ("safety_factor", 2.0, {"N": 1.5}),
        ("enhancement_factor", 7.0, {"K": 10.0}),
        ("poisson_ratio", 0.3, {"nu": 0.4}),
        ("edition", "F1216-07b", {"earlier": True}),
        ("x1_2_strength", "long-term", {"strength": 5000.0}),
        ("minimum_ovality", SimpleNamespace(number=3.0), {"q": 1.5}),
    ],
)
def test_usual_breaches_of_an_owners_requirement(requirement, required, changes):
    """N 1.5 for 2, K 10 for 7, 0.4 for 0.3, half the ovality: common practice, no source."""
    of = case()
    found = outcome(of, alteration=(breach(of, requirement, required),))
    by_hand = thicknesses(**changes)
    assert {key: found[key] for key in by_hand} == pytest.approx(by_hand, 1e-9)


def test_the_values_of_one_station_along_the_whole_pipe():
    covers = (10.0, 14.0, 12.0)
    places = [f'[[pipe.station]]\nat = "{i} ft"\ncover = "{H} ft"\n' for i, H in enumerate(covers)]
    of = case("".join(places))
    made = ways(of)["wrong-station"]
    assert [each.words for each in made] == [
        f"the values of station {i} ft are used" for i in range(3)
    ]
    for each, cover in zip(made, covers, strict=True):
        assert (each.slip.topic, each.slip.weight < 0.1) == ("station", True)
        by_hand = thicknesses(cover=cover)
        found = found_with(of, each)
        assert {key: found[key] for key in by_hand} == pytest.approx(by_hand, 1e-9)
    assert outcome(of)["t_X1_3"] == pytest.approx(thicknesses(cover=14.0)["t_X1_3"], rel=1e-9)


@pytest.mark.parametrize("thickness", [0.0, np.nan, np.inf, -1.0])
def test_a_calculation_without_a_thickness_has_no_outcome(thickness):
    """Neither where one station of two has none; but where one of two asks for nothing."""
    none = ({"t_required": fixed(thickness)},)
    assert outcome(case(), alteration=none) is None
    places = '[[pipe.station]]\nat = "1"\n[[pipe.station]]\nat = "2"\ncover = "12 ft"\n'
    one = ({"t_required": fixed(np.array([[thickness, 0.5]]))},)
    found = outcome(case(places), alteration=one)
    assert (found and found["t_required"]) == (0.5 if thickness in (0.0, -1.0) else None)


def test_the_other_unit_system_in_a_metric_sheet():
    """0.065 with metres, or the cover in feet with 0.213: B' alone is another."""
    metric = {"D": 762.0, "h_invert": 2.9, "H": 3.0, "w": 18.5, "E_s": 5.5, "W_s": 0.017}
    of = case(si=True, step=1.5, E=2000.0, sigma=35.0, **metric)
    made = ways(of)["elastic-support-units"]
    assert outcome(of)["B"] == pytest.approx(1 / (1 + 4 * exp(-0.213 * 3.0)), rel=1e-12)
    for each, power in zip(made, (0.065 * 3.0, 0.213 * 3.0 / FOOT), strict=True):
        found = found_with(of, each)
        assert found["B"] == pytest.approx(1 / (1 + 4 * exp(-power)), rel=1e-12)
        # X1.3 solved for t goes with the third root of 1/B'.
        ratio = found["B"] / outcome(of)["B"]
        assert found["t_X1_3"] * ratio ** (1 / 3) == pytest.approx(outcome(of)["t_X1_3"], rel=1e-9)


def test_a_pressure_without_its_surge():
    """X1.7 solved by hand, D/(2 + 2 sigma/(N P)), at the 100 psi stated, not the 150 required."""
    text = project(Inputs(**PIPE), {"required_thickness": "5 mm"})
    text = text.replace("[[pipe]]\n", 'tensile_strength = "3000 psi"\n[[pipe]]\n')
    text = text.replace("[pipe.stated]", 'internal_pressure = "150 psi"\n[pipe.stated]')
    (submittal,) = submittals(parse(text.encode(), "test.toml"))
    of = case_of(submittal.ours)
    (each,) = (each for each in made_in(of, 100.0) if each.slip.name == "surge-omitted")
    assert (each.slip.topic, each.slip.weight < 0.1) == ("surge", True)
    by_hand = [30 / (2 + 2 * 1500 / (2 * P)) for P in (100, 150)]
    assert found_with(of, each)["t_X1_7"] == pytest.approx(by_hand[0], rel=1e-9)
    assert outcome(of)["t_X1_7"] == pytest.approx(by_hand[1], rel=1e-9)
    for pressure in (None, 150.0, 200.0):
        assert "surge-omitted" not in {each.slip.name for each in made_in(of, pressure)}


@pytest.mark.parametrize(
    ("basis", "equations"),
    [
        # Above ground under pressure X1.7 is the only check: no other is the largest then.
        (Basis(above_ground=True, internal_pressure=True, condition=FULLY), []),
        (Basis(above_ground=True, vacuum=True), ["X1.1", "X1.2"]),
        (Basis(), ["X1.1", "X1.2", "DR limit"]),
    ],
)
def test_the_only_check_can_not_be_left_out(basis, equations):
    of = Case(basis, requirement(basis), (), {})
    skipped = [each.equation for each in checks_of(basis) if check_skipped(each, of)]
    assert skipped == equations


# What one error makes of the number that another takes.
TOGETHER = {
    ("short-term-modulus", "long-term-modulus-in-stiffness"): {"E_4": 300e3},
    ("retention-twice", "long-term-modulus-in-stiffness"): {"E_4": 48e3},
    ("enhancement-omitted", "enhancement-in-soil-buckling"): {"in_soil": 1.0},
}


def test_two_errors_of_different_topics_are_made_together():
    """What each changes by hand, changed at once; in the order of their stages, as in a review."""
    # Water 11.5 ft over the crown and 10 ft of cover: 1 - 0.33 11.5/10 = 0.62, under the 0.67.
    for h, not_floored in ((9.5, 1 - 0.33 * 7 / 10), (14.0, 1 - 0.33 * 11.5 / 10)):
        of = case(h_invert=h)
        wet = {"head": h, "over": h - 2.5}
        single = {name: wet | each[0] for name, each in WAYS.items()}
        single["buoyancy-not-floored"] = wet | {"R_w": not_floored}
        about_water = ("head-from", "depth-to", "water-datum", "inch", "outside", "rounded")
        names = [name for name in single if not name.startswith(about_water)]
        firsts = {name: ways(of)[name][0] for name in names}
        pairs = [
            pair
            for pair in combinations(names, 2)
            if len({firsts[name].slip.topic for name in pair}) == 2
        ]
        made = [sorted((firsts[a], firsts[b]), key=lambda each: each.slip.stage) for a, b in pairs]
        found = outcomes(of, [tuple(each.change for each in pair) for pair in made])
        assert len(pairs) > 200
        for row, (one, other) in enumerate(pairs):
            both = single[one] | single[other] | TOGETHER.get((one, other), {})
            if {"buoyancy-not-floored", "cover-to-invert"} == {one, other}:
                both["R_w"] = 1 - 0.33 * (h - 2.5) / 12.5
            for key, t in thicknesses(**both).items():
                assert found.row(row)[key] == pytest.approx(t, rel=1e-9), (one, other, key)


# Of a hundred submittals this many have the error: a judgement, common practice, no source.
CHANCES = {"common": 0.08, "usual": 0.04, "rare": 0.015, "exotic": 0.004}
# What each is about, of which no two are made together, and how common it is.
ABOUT = """
partial-for-full: condition, usual; other-edition: edition, common
elastic-support-units: elastic support, usual; elastic-support-misprint: elastic support, exotic
ovality-omitted: ovality, common; ovality-doubled: ovality, usual
ovality-factor-not-cubed: ovality, usual; short-term-modulus: long-term modulus, common
retention-twice: long-term modulus, usual; long-term-modulus-in-stiffness: stiffness, common
short-term-strength: strength, common; short-term-tensile-strength: tensile strength, common
strength-of-other-kind: strength, usual; long-term-strength: strength, usual
head-from-crown: head of X1.1, common; head-from-invert: head of X1.3, common
depth-to-water-as-head: head of X1.1, rare; water-datum-crown: head of X1.1, rare
water-datum-invert: head of X1.1, rare; cover-to-invert: cover, common
enhancement-omitted: enhancement, usual; enhancement-in-soil-buckling: enhancement in X1.3, usual
poisson-omitted: Poisson's ratio, usual; safety-factor-omitted: safety factor, usual
safety-factor-1.5: safety factor, usual; buoyancy-omitted: buoyancy, usual
gross-soil-weight: buoyancy, rare; buoyancy-not-floored: buoyancy, usual
live-load-omitted: live load, common; live-load-doubled: live load, usual
soil-modulus-units: soil modulus, rare; dimension-ratio-not-less-one: dimension ratio, usual
outside-diameter: dimension ratio, rare; inch-as-25-mm: inch, rare; rounded-down: rounding, usual
"""


def test_every_error_has_a_topic_and_a_chance():
    """To leave out a check that usually governs is the plainest of all, just over common."""
    found = {each.name: (each.topic, each.weight) for each in SLIPS}
    expected = {}
    for each in ABOUT.replace("\n", ";").split(";"):
        name, _, about = each.strip().partition(": ")
        topic, _, chance = about.partition(", ")
        if name:
            expected[name] = (topic, CHANCES[chance])
    assert found == expected
    skipped = {each.slip.name: each.slip for each in made_in(case())}
    for number, chance in (
        *((each, 1.01 * 0.08) for each in ("X1.1", "X1.2", "X1.3")),
        *((each, 0.015) for each in ("X1.4", "DR limit")),
    ):
        slip = skipped[f"check-skipped {number}"]
        assert (slip.topic, slip.weight) == (f"skipped {number}", pytest.approx(chance, rel=1e-9))


def test_water_over_the_ground_has_no_depth():
    """14 ft over the invert, 1.5 ft over the ground: taken for a head it is none over the crown."""
    _, _, both = ways(case(h_invert=14.0))["depth-to-water-as-head"]
    found = found_with(case(h_invert=14.0), both)
    assert (found["H_w"], found["R_w"], found["P"]) == (0.0, 1.0, 0.0)
