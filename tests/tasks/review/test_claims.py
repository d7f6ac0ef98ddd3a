"""What a review claims and what it leaves open: chance, digits, units, criteria without effect.

Numbers come from the hand calculation of `by_hand`, counts from trying numbers one by one.
"""

import base64
import json
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from by_hand import Inputs, project, thicknesses
from projects import toml

from linerdesign.methods.altered import case_of, outcome
from linerdesign.methods.f1216.slips import SLIPS, made_in
from linerdesign.project.reading import parse
from linerdesign.tasks.review.coincidence import odds, share_explained, share_of_steps
from linerdesign.tasks.review.recheck import recheck
from linerdesign.tasks.review.submittal import submittals

# Fully deteriorated, 24 in: X1.3 governs over X1.1 and X1.4. The other is a partial one of 12 in.
FULL = Inputs(
    D=24.0, q=4.0, h_invert=10.0, E=320000.0, retention=50.0, sigma=4800.0,
    strength_retention=50.0, H=14.0, E_s=900.0, W_s=0.7,
)  # fmt: skip
PARTIAL = Inputs(
    D=12.0, q=3.0, h_invert=9.0, E=300000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, fully=False,
)  # fmt: skip
METRIC = Inputs(
    D=600.0, q=4.0, h_invert=3.0, E=2000.0, retention=50.0, sigma=33.0,
    strength_retention=50.0, H=4.0, w=19.0, E_s=6.9, W_s=0.005, si=True, step=1.5,
)  # fmt: skip


def mm(inches):
    return 25.4 * inches


def of(x, *slips):
    """The thickness required with these slips, in mm."""
    return mm(thicknesses(x, *slips)["required"])


def without_criteria(text):
    """The file of a project whose owner names nothing."""
    head, rest = text.split("[criteria]", 1)
    return head + "[[resin]]" + rest.split("[[resin]]", 1)[1]


def without_cover(text):
    return "\n".join(line for line in text.splitlines() if not line.startswith("cover"))


def listed(x, stated, steps=None):
    (submittal,) = submittals(parse(project(x, stated, steps).encode(), "test.toml"))
    return recheck(submittal).explanations


@pytest.fixture
def reviewed(run, tmp_path):
    """Exit code, the pipe's data, and the letter."""

    def call(text, *words):
        (tmp_path / "project.toml").write_text(text, encoding="utf-8")
        code, out, _ = run("review", "project.toml", "--json", *words)
        letter = " ".join(run("review", "project.toml", *words)[1].split())
        return code, json.loads(out)["pipes"][0], letter

    return call


def texts(pipe, weight):
    return [each["text"] for each in pipe["comments"] if each["weight"] == weight]


def status(pipe):
    return {each["clause"]: each["status"] for each in pipe["compliance"]}


# Chance


def test_the_share_explained_is_the_length_covered():
    """Within a quarter of 8 lie 6 to 10: 0.5 about 7, 0.4 more about 7.4, and 0.25 at the end."""
    assert share_explained([7.4, 7.0, 10.0, 3.0], 0.25, 8.0) == pytest.approx(1.15 / 4)
    # Multiples of 1.5 from 6.75 to 11.25: 7.5, 9 and 10.5.
    assert share_of_steps([9.0, 9.0, 20.0], 0.05, 9.0, 1.5) == pytest.approx(1 / 3)
    assert [odds(s) for s in (1.0, 0.86, 0.2, 1 / 48, 0.0002)] == [
        "nearly all", "9 in 10", "1 in 5", "1 in 48", "fewer than 1 in 1000",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("slips", "numbers", "off"),
    [(("head-from-crown",), 150, 0.03), (("ovality-omitted", "head-from-crown"), 100, 0.1)],
)
def test_the_chance_is_the_share_of_numbers_that_are_explained(slips, numbers, off):
    """Numbers to two decimals, evenly within a quarter of the stated one, each tried by itself."""
    number = round(of(PARTIAL, *slips), 2)
    first = listed(PARTIAL, {"required_thickness": f"{number} mm"})[0]
    assert set(first.names) == set(slips)
    hits = 0
    for other in np.linspace(0.75 * number, 1.25 * number, numbers):
        found = listed(PARTIAL, {"required_thickness": f"{other:.2f} mm"})
        hits += any(each.exact and len(each.slips) <= len(slips) for each in found)
    assert first.chance == pytest.approx(hits / numbers, abs=off)


def test_a_pair_for_one_number_is_a_question(reviewed):
    pair = ("ovality-omitted", "head-from-crown")
    _, pipe, letter = reviewed(
        project(PARTIAL, {"required_thickness": f"{of(PARTIAL, *pair):.2f} mm"})
    )
    assert set(pipe["explanations"][0]["slips"]) == set(pair)
    assert 0.1 < pipe["explanations"][0]["chance"] < 0.3
    assert pipe["explanations"][0]["finding"] is False
    assert any("do not show the cause" in text for text in texts(pipe, "correction"))
    # Over 1 in 4 it is not worth a question; it is in the record, and no statistic in the letter.
    asked = [text for text in texts(pipe, "question") if "would result if" in text]
    assert len(asked) == (pipe["explanations"][0]["chance"] <= 0.25)
    assert "1 in " not in letter


def test_stated_steps_make_a_pair_a_finding(reviewed):
    pair = ("ovality-omitted", "head-from-crown")
    lines = thicknesses(PARTIAL, *pair)
    stated = {"required_thickness": f"{mm(lines['required']):.2f} mm"}
    steps = {"C": f"{lines['C']:.3f}", "P": f"{lines['P']:.3f} psi"}
    _, pipe, _ = reviewed(project(PARTIAL, stated, steps))
    first = pipe["explanations"][0]
    assert set(first["slips"]) == set(pair)
    assert first["finding"]
    assert any("the ovality is omitted" in text for text in texts(pipe, "correction"))


def test_numbers_of_few_digits_explain_nothing(reviewed):
    """13.0 mm, invented, for the 12.2 mm required: nearly any such number finds a pair."""
    assert thicknesses(METRIC)["required"] == pytest.approx(12.2, abs=0.05)
    _, pipe, letter = reviewed(project(METRIC, {"required_thickness": "13.0 mm"}))
    assert all(each["chance"] > 0.25 for each in pipe["explanations"])
    assert not any(each["finding"] for each in pipe["explanations"])
    assert "results if" not in letter
    assert "would result if" not in letter
    # It is more than required: at most a remark.
    assert {each["weight"] for each in pipe["comments"]} == {"remark"}


# Water datum


def test_a_height_over_the_crown_put_in_as_over_the_invert_is_found():
    """Every head less by the diameter: the same as the right calculation with less water."""
    lower = replace(FULL, h_invert=FULL.h_invert - FULL.D / 12)
    (submittal,) = submittals(parse(project(FULL, {"thickness": "12 mm"}).encode(), "test.toml"))
    case = case_of(submittal.ours)
    (made,) = [each for each in made_in(case) if each.slip.name == "water-datum-crown"]
    values = outcome(case, alteration=(made.change,))
    by_hand = thicknesses(lower)
    assert values["t_required"] == pytest.approx(by_hand["required"], rel=1e-9)
    assert values["t_X1_1"] == pytest.approx(by_hand["t X1.1"], rel=1e-9)
    found = listed(FULL, {"required_thickness": f"{of(lower):.2f} mm"})
    assert ("water-datum-crown",) in [each.names for each in found if each.place == 1]


def test_a_height_over_the_invert_put_in_as_over_the_crown_is_found():
    higher = replace(PARTIAL, h_invert=PARTIAL.h_invert + PARTIAL.D / 12)
    found = listed(PARTIAL, {"required_thickness": f"{of(higher):.2f} mm"})
    assert found[0].names == ("water-datum-invert",)


# Units and bores


def test_equal_digits_in_another_unit_are_said_first(reviewed):
    """Our nominal wall is 13.5 mm; 13.5 in fill the 24 in pipe."""
    code, pipe, letter = reviewed(project(FULL, {"thickness": "13.5 in"}))
    assert (code, pipe["verdict"], pipe["checks"]) == (1, None, [])
    assert pipe["comparisons"][0]["unit_meant"] == "mm"
    first, second = texts(pipe, "correction")
    assert "13.5 in has the digits of our 13.5 mm" in first
    assert "leaves no bore" in second
    assert pipe["explanations"] == []
    assert "safe;" not in letter
    assert not any(each["clause"].startswith("X1.") and each["status"] == "met"
                   and "strength" not in each["clause"] for each in pipe["compliance"])  # fmt: skip
    assert "(in for mm)" in letter


def test_a_pressure_in_mpa_for_psi_is_a_unit(reviewed):
    lines = thicknesses(FULL)
    stated = {"required_thickness": f"{of(FULL):.2f} mm"}
    _, pipe, _ = reviewed(project(FULL, stated, {"q_t": f"{lines['q_t']:.2f} MPa"}))
    (text,) = texts(pipe, "question")
    assert f"has the digits of our {lines['q_t']:.2f} psi" in text


def test_no_limit_is_met_that_asks_for_less_than_nothing(reviewed):
    """At 4 % and t = D/8 the bending term 1.5 q DR^2 is less than half of DR: no tension."""
    assert 1.5 * 0.04 * 8**2 < 0.5 * 8
    _, pipe, letter = reviewed(project(FULL, {"thickness": "3 in"}))
    assert pipe["verdict"] == "thick"
    assert not any(each["clause"] == "X1.2" for each in pipe["compliance"])
    assert "at least -" not in letter
    assert "safe;" not in letter


# Criteria


def test_a_factor_without_effect_on_what_is_stated_is_not_shown(reviewed):
    """With X1.3 governing, K, Poisson's ratio and the strength of X1.2 touch no stated number."""
    right = {"required_thickness": f"{of(FULL):.2f} mm"}
    for other in (replace(FULL, K=10.0), replace(FULL, nu=0.4), replace(FULL, K=6.0)):
        assert of(other) == pytest.approx(of(FULL), rel=1e-9)
    _, pipe, _ = reviewed(project(FULL, right))
    found = status(pipe)
    assert found["safety factor"] == "met"
    assert found["enhancement factor"] == found["Poisson's ratio"] == "not shown"
    assert found["X1.2 strength"] == "not shown"
    lines = thicknesses(FULL)
    _, pipe, _ = reviewed(project(FULL, right, {"t X1.1": f"{mm(lines['t X1.1']):.2f} mm"}))
    assert status(pipe)["enhancement factor"] == "met"
    wrong = thicknesses(replace(FULL, K=10.0))["t X1.1"]
    _, pipe, _ = reviewed(project(FULL, right, {"t X1.1": f"{mm(wrong):.2f} mm"}))
    assert status(pipe)["enhancement factor"] == "not shown"
    assert {each["symbol"]: each["value"]["value"] for each in pipe["instead"]}["K"] == (
        pytest.approx(10.0, rel=2e-3)
    )
    clause = next(each for each in pipe["compliance"] if each["clause"] == "enhancement factor")
    assert clause["shown"] == "t X1.1 would show it, and differs"


def test_a_default_is_no_demand_of_the_owner(reviewed):
    """12.7 mm is no multiple of 1.5 mm, which no owner asked for."""
    text = without_criteria(project(FULL, {"thickness": "12.7 mm"}))
    stated = f'required_thickness = "{of(FULL):.2f} mm"\n'
    text = text.replace("[pipe.stated]\n", "[pipe.stated]\n" + stated)
    _, pipe, letter = reviewed(text)
    assert not any("Owner's criteria" in text for text in texts(pipe, "correction"))
    assert "Please comply" not in letter
    (question,) = re.findall(r"Other than the default of our recalculation[^.]*", letter)
    assert "thickness increment" in question
    clause = next(each for each in pipe["compliance"] if each["clause"] == "safety factor")
    assert clause["default"]
    assert "default of this recheck" in clause["asked"]
    asked = project(FULL, {"thickness": "12.7 mm"}, thickness_step="1.5 mm")
    assert any("Please comply" in text for text in texts(reviewed(asked)[1], "correction"))


# Digits


def test_a_number_that_agrees_by_its_rounding_decides_nothing(reviewed):
    """0.5 in for the 0.531 in of 13.5 mm: off by 5.9 %, and within half of the last digit."""
    stated = {"required_thickness": f"{of(FULL) / 25.4:.3f} in", "thickness": "0.5 in"}
    _, pipe, letter = reviewed(project(FULL, stated))
    found = {each["item"]: each for each in pipe["comparisons"]}
    assert found["thickness"]["agrees"]
    assert found["thickness"]["agrees_only_by_rounding"]
    assert not found["required_thickness"]["agrees_only_by_rounding"]
    assert "Rounded too coarsely to confirm: thickness 0.5 in" in letter
    assert status(pipe)["thickness increment"] == "not shown"


def test_a_step_under_a_coarse_required_thickness_is_rounded_down(reviewed):
    """12.20 mm required, stated as 12 mm, and 12 mm nominal for 13.5."""
    x = replace(FULL, E_s=1000.0)
    assert of(x) == pytest.approx(12.20, abs=0.005)
    _, pipe, _ = reviewed(project(x, {"required_thickness": "12 mm", "thickness": "12 mm"}))
    assert pipe["verdict"] == "thin"
    assert "rounded-down" in [s for each in pipe["explanations"] for s in each["slips"]]
    assert any("rounded down" in text for text in texts(pipe, "correction"))
    stated = {"required_thickness": f"{of(x):.2f} mm", "thickness": "12 mm"}
    _, pipe, _ = reviewed(project(x, stated))
    assert [each["slips"] for each in pipe["explanations"]] == [["rounded-down"]]
    assert any("rounded down" in text for text in texts(pipe, "correction"))


def test_a_wall_that_nobody_submitted_is_marked(reviewed, run, tmp_path):
    _, pipe, letter = reviewed(project(FULL, {"required_thickness": "11.85 mm"}))
    assert pipe["rounded_up_by_us"]
    assert "(12.00) 12.63 13.50 thin" in letter
    assert "12 mm (the stated required thickness, rounded up by us)" in " ".join(
        each["text"] for each in pipe["comments"]
    )
    run("review", "project.toml", "--record", "-o", "record.html")
    page = (tmp_path / "record.html").read_text(encoding="utf-8")
    pictures = re.findall(r"data:image/svg\+xml;base64,([A-Za-z0-9+/=]+)", page)
    drawn = " ".join(base64.b64decode(picture).decode() for picture in pictures)
    assert "rounded up by us 12.00" in drawn
    assert "submitted 12.00" not in drawn


# Other inputs


@pytest.mark.parametrize(
    ("x", "changed", "symbol", "value"),
    [
        (PARTIAL, {"K": 10.0}, "K", 10.0),
        (PARTIAL, {"nu": 0.4}, "nu", 0.4),
        (PARTIAL, {"D": 11.5}, "D", 11.5),
        (FULL, {"w": 130.0}, "w", 130.0),
        (FULL, {"D": 26.0}, "D", 26.0),
    ],
)
def test_every_input_that_matters_is_tried(reviewed, x, changed, symbol, value):
    required = of(replace(x, **changed))
    _, pipe, _ = reviewed(project(x, {"required_thickness": f"{required:.3f} mm"}))
    found = {each["symbol"]: each["value"]["value"] for each in pipe["instead"]}
    assert found[symbol] == pytest.approx(value, rel=2e-3)
    if symbol in ("D", "w", "K") and required < of(x):
        # Among the least changes of all inputs, and so in the letter.
        said = [each["text"] for each in pipe["comments"]]
        assert any(f"from {symbol} = " in text for text in said)
    if pipe["explanations"] and pipe["explanations"][0]["complete"]:
        assert "not to the last digit" in pipe["explanations"][0]["text"]


def test_reasons_are_in_the_units_of_the_sheet_and_about_what_is_known(reviewed):
    softer = thicknesses(replace(METRIC, E_s=5.7))["required"]
    _, pipe, _ = reviewed(project(METRIC, {"required_thickness": f"{softer:.2f} mm"}))
    why = {each["symbol"]: each["why"] for each in pipe["instead"]}
    assert why["E'_s"] == "usual: 1.4 to 21 MPa"
    assert not any("psi" in text or "ft" in text for text in why.values())
    drier = of(replace(PARTIAL, h_invert=6.3))
    text = without_cover(project(PARTIAL, {"required_thickness": f"{drier:.2f} mm"}))
    _, pipe, _ = reviewed(text)
    water = next(each for each in pipe["instead"] if each["symbol"] == "h_i")
    assert water["value"]["value"] == pytest.approx(6.3, rel=5e-3)
    assert (water["plausible"], water["why"]) == (None, "no cover is given to judge it by")


# Words


def test_the_letter_has_no_names_of_slips_and_no_contradiction(reviewed):
    """Within a tolerance of 10 %, an error of 5.9 % is a remark, and nothing agrees with it."""
    stated = {"required_thickness": f"{of(PARTIAL, 'head-from-crown'):.2f} mm"}
    _, pipe, _ = reviewed(project(PARTIAL, stated), "--tolerance", "10 %")
    said = " ".join(each["text"] for each in pipe["comments"])
    assert "measured from the crown" in said
    assert {each["weight"] for each in pipe["comments"]} == {"remark"}
    assert "The stated values agree" not in said
    assert "head-from-crown" not in said
    _, pipe, _ = reviewed(project(FULL, {"required_thickness": "10.27 mm"}))
    for text in texts(pipe, "correction"):
        assert not any(slip in text for each in pipe["explanations"] for slip in each["slips"])
        assert "can't" not in text


@pytest.mark.parametrize("words", [("--tolerance", "300 %"), ("--open-point", "60 %")])
def test_tolerances_have_an_upper_limit(run, tmp_path, words):
    (tmp_path / "project.toml").write_text(project(FULL, {"thickness": "13.5 mm"}))
    code, out, err = run("review", "project.toml", *words)
    assert (code, out) == (2, "")
    assert f'{words[0]} "{words[1]}": ' in err


def test_a_thick_wall_stays_thick_under_a_wide_tolerance(reviewed):
    _, pipe, _ = reviewed(project(FULL, {"thickness": "15 mm"}), "--tolerance", "20 %")
    assert pipe["verdict"] == "thick"


def test_the_guide_lists_every_slip():
    guide = (Path(__file__).parents[3] / "docs" / "user_guide.md").read_text(encoding="utf-8")
    section = guide.split("## Reading a review")[1].split("\n## ")[0]
    for name in ("check-skipped X1.n", "wrong-station", "surge-omitted", *(s.name for s in SLIPS)):
        assert f"`{name}`" in section, name


def test_the_words_name_the_equation_that_reads_the_property(run, tmp_path):
    """X1.6 by hand: D/(1 + D/d (5.33 sigma/(N P))^0.5) with the short-term strength, no ovality."""
    thickness = 12 / (1 + 12 / 2 * math.sqrt(5.33 * 4500 / (2 * 120)))
    pipe = {
        "condition": "partially deteriorated",
        "host_diameter": "12 in",
        "ovality": "0 %",
        "groundwater_above_invert": "1 ft",
        "internal_pressure": "120 psi",
        "hole_diameter": "2 in",
    }
    text = toml(pipe=pipe, resin={"tensile_strength": "3000 psi"})
    text += f'[pipe.stated]\nrequired_thickness = "{thickness:.5f} in"\n'
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    _, out, _ = run("review", "p.toml", "--json")
    (first, *_) = json.loads(out)["pipes"][0]["explanations"]
    assert first["slips"] == ["short-term-strength"]
    assert "the short-term flexural strength is used in X1.2 and X1.6" in first["text"]


def test_the_dry_case_by_default_is_a_question(reviewed):
    """By the standard's wording a deep wall under a little water may exceed DR 100.

    X1.1 by hand asks for less than D/100 at 0.5 ft; the default of our recheck asks for D/100.
    """
    x = replace(PARTIAL, h_invert=0.5)
    required = of(x)
    assert required < mm(x.D / 100)
    text = project(x, {"required_thickness": f"{required:.2f} mm", "thickness": "3 mm"})
    _, pipe, _ = reviewed(text)
    assert {each["weight"] for each in pipe["comments"]} == {"remark"}
    _, pipe, _ = reviewed(text.replace("dry_case = false\n", ""))
    assert pipe["verdict"] == "thin"
    assert pipe["explanations"] == []
    assert texts(pipe, "correction") == []
    (question,) = texts(pipe, "question")
    assert "dry case" in question
    required_by_owner = text.replace("dry_case = false", "dry_case = true")
    assert texts(reviewed(required_by_owner)[1], "correction")


@pytest.mark.parametrize("shown", [{}, {"t_DR": "{:.2f} mm"}])
def test_a_submittal_that_works_the_dry_case_follows(reviewed, shown):
    """D/100 by hand is more than X1.1 asks for at 0.5 ft: by the dry case it is required."""
    x = replace(PARTIAL, h_invert=0.5)
    required = mm(x.D / 100)
    assert of(x) < required
    stated = {"required_thickness": f"{required:.2f} mm", "thickness": "4.5 mm"}
    steps = {"t X1.1": f"{mm(thicknesses(x)['t X1.1']):.2f} mm"}
    steps |= {name: text.format(required) for name, text in shown.items()}
    text = project(x, stated, steps).replace("dry_case = false\n", "")
    _, pipe, _ = reviewed(text)
    assert pipe["verdict"] == "adequate"
    assert pipe["first_departure"] is None
    assert pipe["contradictions"] == []


@pytest.mark.parametrize(("required", "contradicts"), [("5.04 mm", False), ("5.06 mm", True)])
def test_a_required_thickness_may_be_of_a_line_with_fewer_digits(reviewed, required, contradicts):
    """5.0 may be up to 5.05, whatever another line says in three digits."""
    steps = {"t X1.1": "5.0 mm", "t X1.2": "5.02 mm", "t_DR": "3.05 mm"}
    text = project(PARTIAL, {"required_thickness": required}, steps)
    _, pipe, _ = reviewed(text)
    found = [each["items"] for each in pipe["contradictions"]]
    assert any("required_thickness" in items for items in found) == contradicts


# What several lines prove together

STATED = ("C", "P", "t X1.1", "t X1.2", "H_w", "R_w", "B'", "q_t", "t X1.3", "t X1.4")


def three_figures(lines, *keys, **changed):
    """Stated lines as a submittal prints them, in inches, to three figures."""
    units = {"P": " psi", "q_t": " psi", "H_w": " ft"}
    values = {key: changed.get(key, lines[key]) for key in keys}
    return {
        key: f"{value:#.3g}".rstrip(".") + units.get(key, " in" if key.startswith("t") else "")
        for key, value in values.items()
    }


def test_two_errors_in_lines_of_their_own_are_both_found(reviewed):
    """The head from the invert is one line's error, R_w = 1 another's: each alone is certain."""
    pair = ("head-from-invert", "buoyancy-omitted")
    lines = thicknesses(FULL, *pair)
    stated = {"required_thickness": f"{lines['required']:.3f} in", "thickness": "16.5 mm"}
    _, pipe, letter = reviewed(project(FULL, stated, three_figures(lines, *STATED)))
    assert [each["item"] for each in pipe["replay"] if each["cause"] == "here"] == ["H_w", "R_w"]
    first = pipe["explanations"][0]
    assert set(first["slips"]) == set(pair)
    assert first["finding"]
    # As likely by chance as both together: the product of the two shares.
    assert first["chance"] < 0.01
    assert "The stated values result if the head in X1.3 is measured from the invert" in letter
    assert "No error known" not in letter


def test_an_inch_of_25_mm_in_every_thickness_is_a_finding(reviewed):
    """Four thicknesses, all 25/25.4 of the right ones: no other error gives the four."""
    lines = thicknesses(FULL)
    keys = [key for key in STATED if key.startswith("t")]
    steps = three_figures(lines, *(key for key in STATED if key not in keys))
    steps |= {key: f"{25 * lines[key]:.2f} mm" for key in keys}
    stated = {"required_thickness": f"{25 * lines['required']:.2f} mm"}
    _, pipe, letter = reviewed(project(FULL, stated, steps))
    (first,) = pipe["explanations"]
    assert first["slips"] == ["inch-as-25-mm"]
    assert first["finding"]
    assert "The stated values result if an inch is taken as 25 mm." in letter


def test_an_error_in_one_equation_names_no_other(reviewed):
    """X1.1 is right with the long-term modulus; only X1.3 has the short-term one."""
    lines, wrong = thicknesses(FULL), thicknesses(FULL, "short-term-modulus")
    steps = three_figures(lines, *STATED, **{"t X1.3": wrong["t X1.3"]})
    _, pipe, letter = reviewed(project(FULL, {"thickness": "13.5 mm"}, steps))
    assert pipe["first_departure"] == "t X1.3"
    assert "results if the short-term modulus is used in X1.3." in letter
    assert "X1.1 and X1.3" not in letter


def test_two_errors_that_others_resemble_are_not_named(reviewed):
    """Of three lines, X1.3 alone is wrong, by two errors: other pairs come as near to it."""
    x = replace(FULL, D=15.0, q=3.0, h_invert=9.0, E=250000.0, sigma=4500.0, H=12.0, W_s=0.8)
    x = replace(x, E_s=1000.0)
    lines = thicknesses(x, "live-load-omitted", "elastic-support-units")
    largest = max(lines["t X1.3"], lines["t X1.4"])
    stated = {"required_thickness": f"{largest:.3f} in", "thickness": "7.5 mm"}
    _, pipe, letter = reviewed(project(x, stated, three_figures(lines, "C", "t X1.3", "t X1.4")))
    assert pipe["verdict"] == "thin"
    assert not any(each["finding"] for each in pipe["explanations"])
    assert "The stated values do not show the cause." in letter


def test_an_error_without_effect_is_still_to_be_corrected(run, tmp_path):
    """The wall is thick enough; the calculation on file is not right."""
    lines = thicknesses(FULL, "other-edition")
    steps = three_figures(lines, *STATED)
    stated = {"required_thickness": f"{lines['required']:.3f} in", "thickness": "16.5 mm"}
    text = without_criteria(project(FULL, stated, steps))
    text = text.replace("[[resin]]\n", '[[resin]]\nevidence = "panel tests, 2026-03"\n')
    (tmp_path / "project.toml").write_text(text, encoding="utf-8")
    found = json.loads(run("review", "project.toml", "--json")[1])
    assert {each["weight"] for each in found["pipes"][0]["comments"]} == {"remark"}
    assert found["proposed_disposition"] == "make corrections noted"


def test_whole_numbers_of_many_figures_have_no_decimal(reviewed):
    """E_L is half of 320,000 psi; the submittal has 192,000 psi."""
    _, pipe, letter = reviewed(project(FULL, {"thickness": "13.5 mm"}, {"E_L": "192000 psi"}))
    (comment,) = [each for each in pipe["comments"] if each["item"] == "E_L"]
    assert comment["recheck"] == "160000 psi"
    assert "160000.0" not in letter


def test_two_errors_that_give_one_number_are_both_offered(reviewed):
    """X1.1 with E_L = E, or without N = 2: P has 2 K E_L/N, twice as much either way."""
    lines, wrong = thicknesses(FULL), thicknesses(FULL, "short-term-modulus")
    steps = three_figures(lines, *STATED, **{"t X1.1": wrong["t X1.1"]})
    _, pipe, letter = reviewed(project(FULL, {"thickness": "13.5 mm"}, steps))
    assert pipe["first_departure"] == "t X1.1"
    first = [each["slips"] for each in pipe["explanations"] if each["place"] == 1]
    assert sorted(first) == [["safety-factor-omitted"], ["short-term-modulus"]]
    assert "the short-term modulus is used in X1.1; or if the safety factor is omitted" in letter


def test_an_explained_line_of_zero_has_no_share(reviewed):
    """The first of two stations is submitted: its water does not reach the crown, so H_w = 0."""
    shallow = replace(FULL, h_invert=1.5, H=8.0)
    lines = thicknesses(shallow)
    assert lines["H_w"] == 0
    steps = three_figures(lines, *STATED) | {"H_w": "0.00 ft"}
    stated = {"required_thickness": f"{lines['required']:.3f} in"}
    stations = "".join(
        f'[[pipe.station]]\nat = "{at} ft"\ncover = "{x.H} ft"\n'
        f'groundwater_above_invert = "{x.h_invert} ft"\n'
        for at, x in ((0, shallow), (310, FULL))
    )
    code, pipe, _ = reviewed(project(FULL, stated, steps) + stations)
    assert code == 1
    first = pipe["explanations"][0]
    assert first["slips"] == ["wrong-station"]
    assert {"P", "H_w"} <= set(first["explains"])


# The table of requirements


def _rows(pipe):
    return {each["clause"]: (each["asked"], each["shown"]) for each in pipe["compliance"]}


def test_what_is_asked_stands_before_what_is_shown(reviewed):
    """X1.4 by hand: 320,000 * 0.5**3 / (12 * 24**3) = 0.2411 psi."""
    stated = {"thickness": "12.7 mm"}
    text = project(FULL, stated, minimum_thickness="3 mm", minimum_ovality="5 %")
    rows = _rows(reviewed(text)[1])
    assert rows["minimum thickness"] == ("3 mm", "12.7 mm (0.5 in)")
    assert rows["minimum ovality"] == ("5 %", "no stated number depends on it")
    assert rows["X1.4"] == ("at least 0.093 psi", "0.2411 psi")
    assert rows["safety factor"] == ("2", "thickness would show it, and differs")
    assert rows["evidence of flexural modulus"] == ("test report for 320000.0 psi", "-")
    assert rows["evidence of modulus retention"] == ("50.0 %", "customary, at most 50 %")
    line = {"t X1.1": f"{mm(thicknesses(FULL)['t X1.1']):.2f} mm"}
    alone = reviewed(project(FULL, {}, line))[1]
    assert _rows(alone)["thickness"] == ("adequate in every check", "-")
    assert status(alone)["thickness"] == "not shown"
