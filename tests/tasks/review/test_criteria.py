"""What an owner requires of a submittal, clause by clause: required, shown, and met or not.

The pipe is the 48 in example of Najafi 2010, sec. 2.7; numbers by hand, as said beside them.
"""

from dataclasses import replace

import pytest
from by_hand import Inputs, project, thicknesses
from projects import toml

from linerdesign.project.reading import parse
from linerdesign.tasks.review.criteria import MET, NOT_MET, NOT_REQUIRED, NOT_SHOWN, clauses
from linerdesign.tasks.review.recheck import recheck
from linerdesign.tasks.review.submittal import submittals

BOOK = Inputs(
    D=48.0, q=2.0, h_invert=12.0, E=250000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, H=16.0, W_s=0.35,
)  # fmt: skip
DEPENDS_NOT = "no stated number depends on it"


def of_text(text):
    found = parse(text.encode(), "test.toml")
    (submittal,) = submittals(found)
    return clauses(found, recheck(submittal))


def shown(text):
    """Required, shown and status of each clause by its name."""
    return {each.name: (each.required, each.submitted, each.status) for each in of_text(text)}


def test_a_right_thickness_shows_what_it_depends_on():
    """X1.3 asks for 25.6 mm and governs: K, nu and the strength have no part in it.

    Safety factor by X1.3 in t^1.5; stiffness E t^3/(12 D^3).
    """
    text = project(BOOK, {"thickness": "27 mm"}, minimum_ovality="2 %", minimum_thickness="6 mm")
    found = shown(text)
    assert {each.name for each in of_text(text) if each.default} == {
        "edition", "thickness increment"
    }  # fmt: skip
    assert {each.name for each in of_text(text) if each.answered} == {
        "safety factor provided", "X1.4"
    }  # fmt: skip
    required = 25.4 * thicknesses(BOOK)["required"]
    stiffness = 250_000 * (27 / 25.4 / 48) ** 3 / 12
    assert found == {
        "edition": ("F1216-07b (default of this recheck)", "shown by thickness", MET),
        "safety factor": ("2", "shown by thickness", MET),
        "enhancement factor": ("7", DEPENDS_NOT, NOT_SHOWN),
        "Poisson's ratio": ("0.3", DEPENDS_NOT, NOT_SHOWN),
        "X1.2 strength": ("long-term", DEPENDS_NOT, NOT_SHOWN),
        "minimum ovality": ("2 %", "shown by thickness", MET),
        "minimum thickness": ("6 mm", "27 mm", MET),
        "thickness increment": ("a multiple of 1.5 mm (default of this recheck)", "27 mm", MET),
        "safety factor provided": ("2.00", f"{2 * (27 / required) ** 1.5:.2f}", MET),
        "X1.4": ("at least 0.093 psi", f"{stiffness:.4g} psi", MET),
        "evidence of flexural modulus": ("test report for 250000.0 psi", "-", NOT_SHOWN),
        "evidence of flexural strength": ("test report for 4500.0 psi", "-", NOT_SHOWN),
        "evidence of modulus retention": ("50.0 %", "customary, at most 50 %", NOT_REQUIRED),
        "evidence of strength retention": ("50.0 %", "customary, at most 50 %", NOT_REQUIRED),
    }


def test_a_nominal_thickness_beside_the_required_one_shows_nothing_of_its_own():
    """It follows from it; one that is less, rounded down, does not."""
    required = f"{25.4 * thicknesses(BOOK)['required']:.2f} mm"
    for wall, shows in (
        ("27 mm", "shown by required thickness"),
        ("25.5 mm", "shown by required thickness, thickness, apart from the error found"),
    ):
        found = shown(project(BOOK, {"thickness": wall, "required_thickness": required}))
        assert found["safety factor"] == ("2", shows, MET)


def test_what_the_wall_or_the_recheck_answers_is_no_breach_of_its_own():
    """At 21 mm X1.3 gives less than 2; the other edition breaks a default of ours alone."""
    text = project(BOOK, {"thickness": "21 mm"}) + '[pipe.stated.inputs]\nedition = "F1216-07a"\n'
    found = {each.name: each for each in of_text(text)}
    for name, answered, default in (
        ("safety factor provided", True, False),
        ("edition", False, True),
    ):
        each = found[name]
        assert (each.status, each.answered, each.default) == (NOT_MET, answered, default)
        assert not each.breach
    assert found["edition"].submitted == "F1216-07a"


def test_without_a_wall_nothing_is_said_of_it():
    found = shown(
        project(BOOK, {}, {"C": "0.836"}, minimum_ovality="2 %", minimum_thickness="6 mm")
    )
    assert found["thickness"] == ("adequate in every check", "-", NOT_SHOWN)
    assert found["minimum ovality"] == ("2 %", "shown by C", MET)
    assert not {"minimum thickness", "thickness increment", "X1.4"} & found.keys()


@pytest.mark.parametrize(
    ("symbol", "key", "stated", "status"),
    [
        ("N", "safety_factor", "1.9", NOT_MET),
        ("N", "safety_factor", "2", MET),
        ("N", "safety_factor", "2.5", MET),
        ("K", "enhancement_factor", "7.5", NOT_MET),
        ("K", "enhancement_factor", "7", MET),
        ("K", "enhancement_factor", "6", MET),
        ("nu", "poisson_ratio", "0.35", NOT_MET),
        ("nu", "poisson_ratio", "0.3", MET),
        ("nu", "poisson_ratio", "0.25", MET),
    ],
)
def test_a_stated_factor_is_met_on_its_safe_side(symbol, key, stated, status):
    """A larger N asks for more; a larger K, and a larger nu in 1 - nu^2, for less."""
    name = {"N": "safety factor", "K": "enhancement factor", "nu": "Poisson's ratio"}[symbol]
    by_line = project(BOOK, {"thickness": "27 mm"}, {symbol: stated})
    by_input = project(BOOK, {"thickness": "27 mm"}) + f"[pipe.stated.inputs]\n{key} = {stated}\n"
    for text in (by_line, by_input):
        (each,) = (each for each in of_text(text) if each.name == name)
        assert (each.submitted, each.status, each.breach) == (stated, status, status == NOT_MET)


@pytest.mark.parametrize(("stated", "status"), [("long-term", MET), ("short-term", NOT_MET)])
def test_a_stated_strength_is_met_by_its_name(stated, status):
    text = project(BOOK, {"thickness": "27 mm"})
    text += f'[pipe.stated.inputs]\nx1_2_strength = "{stated}"\n'
    assert shown(text)["X1.2 strength"] == ("long-term", stated, status)


@pytest.mark.parametrize(
    ("line", "inputs", "value", "status"),
    [
        ("1.9 %", "", "1.9 %", NOT_MET),
        ("2 %", "", "2 %", MET),
        ("", "1.5 %", "1.5 %", NOT_MET),
        ("", "2.5 %", "2.5 %", MET),
        ("2.1 %", "1 %", "2.1 %", MET),
    ],
)
def test_a_stated_ovality_is_set_beside_the_minimum(line, inputs, value, status):
    steps = {"q": line} if line else {}
    text = project(BOOK, {"thickness": "27 mm"}, steps, minimum_ovality="2 %")
    if inputs:
        text += f'[pipe.stated.inputs]\novality = "{inputs}"\n'
    assert shown(text)["minimum ovality"] == ("2 %", value, status)


@pytest.mark.parametrize(
    ("slip", "clause"),
    [
        ("safety-factor-omitted", "safety factor"),
        ("safety-factor-1.5", "safety factor"),
        ("other-edition", "edition"),
        ("ovality-omitted", "minimum ovality"),
    ],
)
def test_a_breach_that_the_numbers_show_is_not_met_and_an_error_already(slip, clause):
    x = replace(BOOK, q=6.0)
    lines = thicknesses(x, slip)
    steps = {"C": f"{lines['C']:.4f}", "t X1.3": f"{25.4 * lines['t X1.3']:.2f} mm"}
    stated = {"required_thickness": f"{25.4 * lines['required']:.2f} mm"}
    found = {each.name: each for each in of_text(project(x, stated, steps, minimum_ovality="2 %"))}
    each = found[clause]
    assert (each.status, each.answered) == (NOT_MET, True)
    assert each.submitted.startswith("by the stated numbers: ")
    assert not each.breach


def test_a_number_that_agrees_only_with_the_error_still_shows_the_rest():
    """The other edition's X1.3 goes with N as ours does."""
    x = replace(BOOK, q=6.0)
    lines = thicknesses(x, "other-edition")
    stated = {"required_thickness": f"{25.4 * lines['required']:.2f} mm"}
    found = shown(project(x, stated, minimum_ovality="2 %"))
    assert found["safety factor"][1:] == (
        "shown by required thickness, apart from the error found", MET
    )  # fmt: skip


def test_a_number_that_nothing_explains_shows_nothing():
    found = shown(project(BOOK, {"required_thickness": "31.7 mm"}))
    assert found["safety factor"] == (
        "2",
        "required thickness would show it, and differs",
        NOT_SHOWN,
    )


@pytest.mark.parametrize(
    ("minimum", "status"), [("26.9 mm", MET), ("27 mm", MET), ("27.1 mm", NOT_MET)]
)
def test_the_minimum_thickness_may_just_be_met(minimum, status):
    found = shown(project(BOOK, {"thickness": "27 mm"}, minimum_thickness=minimum))
    assert found["minimum thickness"] == (minimum, "27 mm", status)


@pytest.mark.parametrize(
    ("thickness", "step", "value", "status"),
    [
        ("27 mm", "1.5 mm", "27 mm", MET),
        ("27.1 mm", "1.5 mm", "27.1 mm", NOT_MET),
        ("26.2 mm", "1.5 mm", "26.2 mm", NOT_MET),
        # A last digit of 0.01 in is 0.127 mm either way: 1.06 in may be 27 mm, 1.07 in may not.
        ("1.06 in", "1.5 mm", "26.92 mm (1.06 in)", MET),
        ("1.07 in", "1.5 mm", "27.18 mm (1.07 in)", NOT_MET),
        # A last digit of 0.1 in is 1.27 mm either way, more than a quarter of the step.
        ("1.1 in", "1.5 mm", "1.1 in: too few figures to tell", NOT_SHOWN),
        ("1.1 in", "6 mm", "27.94 mm (1.1 in)", NOT_MET),
        ("27 mm", "0.1 in", "27 mm", NOT_MET),
    ],
)
def test_the_increment_is_met_as_far_as_the_digits_tell(thickness, step, value, status):
    text = project(BOOK, {"thickness": thickness}, thickness_step=step)
    assert shown(text)["thickness increment"][1:] == (value, status)


def test_the_increment_of_the_resin_is_the_resins_own():
    text = project(BOOK, {"thickness": "27 mm"}).replace(
        "[[resin]]\n", '[[resin]]\nthickness_step = "2 mm"\n'
    )
    (each,) = (each for each in of_text(text) if each.name == "thickness increment")
    assert (each.required, each.status, each.default) == ("a multiple of 2 mm", NOT_MET, False)


def test_a_dry_pipe_is_limited_by_its_dimension_ratio():
    """D/t of 48 in: 45.16 at 27 mm, and 101.6 at 12 mm; it stands beside each station."""
    dry = replace(BOOK, h_invert=0.0)
    for wall, ratio, status in ((27, "45.16", MET), (12, "101.6", NOT_MET)):
        found = shown(project(dry, {"thickness": f"{wall} mm"}))
        assert found["DR limit"] == ("at most 100", ratio, status)


def test_a_paper_is_asked_for_what_goes_beyond_the_usual():
    """Retentions to 50 % and K to 7 are customary; "pending" is no paper."""
    x = replace(BOOK, K=8.0, retention=51.0)
    for evidence, status, value in (
        ("report 2026-05", MET, "report 2026-05"),
        ("pending", NOT_SHOWN, "pending"),
        (None, NOT_SHOWN, "-"),
    ):
        text = project(x, {"thickness": "27 mm"})
        if evidence:
            more = f'enhancement_evidence = "{evidence}"\n[[resin]]\nevidence = "{evidence}"\n'
            text = text.replace("[[resin]]\n", more)
        found = shown(text)
        assert found["evidence of flexural modulus"][1:] == (value, status)
        assert found["evidence of modulus retention"] == ("51.0 %", value, status)
        assert found["evidence of enhancement factor"][1:] == (value, status)
        assert "8" in found["evidence of enhancement factor"][0]
        # Where there is a paper, it serves the customary retention too.
        other = (value, MET) if status == MET else ("customary, at most 50 %", NOT_REQUIRED)
        assert found["evidence of strength retention"][1:] == other
    assert "evidence of enhancement factor" not in shown(project(BOOK, {"thickness": "27 mm"}))
    assert not [name for name in found if "tensile" in name or "internal" in name]


def test_a_pressure_pipe_asks_for_tensile_tests_and_surge():
    pipe = {
        "condition": "partially deteriorated",
        "host_diameter": "12 in",
        "groundwater_above_invert": "1 ft",
        "internal_pressure": "120 psi",
        "hole_diameter": "2 in",
    }
    text = '[pipe.stated]\nthickness = "9 mm"\n'
    for evidence, status in ({}, NOT_SHOWN), ({"internal_pressure": "pump curves of 2026"}, MET):
        made = toml(pipe=pipe | {"evidence": evidence}, resin={"tensile_strength": "3000 psi"})
        found = shown(made + text)
        value = evidence.get("internal_pressure", "-")
        asked = "working pressure and surge"
        assert found["evidence of internal pressure"] == (asked, value, status)
        assert found["evidence of tensile strength"][0] == "test report for 3000 psi"
        assert found["evidence of tensile retention"][2] == NOT_REQUIRED
        # A gravity buckling edition plays no part without soil.
        assert "edition" not in found


def test_inputs_within_the_limits_are_said_to_be():
    limits = '[criteria.limits]\nminimum_live_load = "{}"\n'
    text = project(BOOK, {"thickness": "27 mm"})
    for least, name, status in (
        ("0.3 psi", "limits on inputs", MET),
        ("0.5 psi", "limit on an input", NOT_MET),
    ):
        within = text.replace("[[resin]]", limits.format(least) + "[[resin]]")
        (each,) = (each for each in of_text(within) if each.name.startswith("limit"))
        assert (each.name, each.status, each.of_recheck) == (name, status, status == NOT_MET)
