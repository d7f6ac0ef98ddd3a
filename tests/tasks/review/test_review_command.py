"""`linerdesign review` from the file to the memorandum."""

import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from by_hand import Inputs, project, thicknesses
from office import calculated, office, recalculated
from projects import toml

EXAMPLE = Path(__file__).parents[3] / "worked_examples" / "review_quay_street"
# Najafi 2010, sec. 2.7, pp. 75-83: the 48 in example.
BOOK = Inputs(
    D=48.0, q=2.0, h_invert=12.0, E=250000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, H=16.0, W_s=0.35,
)  # fmt: skip


@pytest.fixture
def reviewed(run, tmp_path):
    def call(text, *words):
        (tmp_path / "project.toml").write_text(text, encoding="utf-8")
        code, out, err = run("review", "project.toml", "--json", *words)
        return code, json.loads(out)["pipes"][0] if out else err

    return call


def test_json_has_the_keys_that_others_rely_on(reviewed):
    required = thicknesses(BOOK, "other-edition")["required"] * 25.4
    code, pipe = reviewed(project(BOOK, {"required_thickness": f"{required:.2f} mm"}))
    assert code == 1
    (comparison,) = pipe["comparisons"]
    assert comparison["item"] == "required_thickness"
    assert comparison["stated"] == {"value": round(required, 2), "unit": "mm"}
    right = thicknesses(BOOK)["required"] * 25.4
    assert comparison["recomputed"]["value"] == pytest.approx(right, rel=1e-9)
    assert comparison["difference_percent"] == pytest.approx(100 * (required / right - 1), abs=0.03)
    assert comparison["agrees"] is False
    first = pipe["explanations"][0]
    assert first["slips"] == ["other-edition"]
    assert first["reproduces"]["value"] == pytest.approx(required, rel=1e-9)
    assert first["reproduces"]["unit"] == "mm"
    assert abs(first["difference_percent"]) < 0.02
    assert "results if X1.3 is taken from the other edition" in first["text"]


@pytest.mark.parametrize(
    ("thickness", "verdict", "code"),
    [("25.5 mm", "thin", 1), ("27 mm", "adequate", 0), ("30 mm", "thick", 0)],
)
def test_the_verdict_is_on_the_nominal_thickness(reviewed, thickness, verdict, code):
    """The book needs 25.6 mm, so that 27 mm is the next multiple of 1.5 mm."""
    got, pipe = reviewed(project(BOOK, {"thickness": thickness}))
    assert (got, pipe["verdict"]) == (code, verdict)
    if verdict == "thick":
        assert {each["weight"] for each in pipe["comments"]} == {"remark"}
    failing = {check["equation"] for check in pipe["checks"] if not check["passes"]}
    assert failing == ({"X1.3"} if verdict == "thin" else set())


def test_the_safety_factor_is_what_the_thickness_really_provides(reviewed):
    """X1.3 goes with t^1.5: a wall of 21 mm for the 25.615 mm required."""
    _, pipe = reviewed(project(BOOK, {"thickness": "21 mm"}))
    required = thicknesses(BOOK)["t X1.3"] * 25.4
    assert pipe["safety_factor"] == pytest.approx(2 * (21 / required) ** 1.5, rel=1e-9)


def test_a_thin_wall_that_agrees_within_the_tolerance_is_thin(reviewed):
    code, pipe = reviewed(
        project(BOOK, {"thickness": "26.9 mm"}, minimum_thickness="27 mm", thickness_step="1 mm")
    )
    assert (code, pipe["verdict"]) == (1, "thin")


def test_other_inputs_are_told_from_other_calculation(reviewed):
    """Their water stands 4 ft lower, and their safety factor is 1.5: the rest is right."""
    theirs = Inputs(**{**vars(BOOK), "h_invert": 8.0, "N": 1.5})
    required = thicknesses(theirs)["required"] * 25.4
    text = project(BOOK, {"required_thickness": f"{required:.2f} mm"})
    text += '[pipe.stated.inputs]\ngroundwater_above_invert = "8 ft"\nsafety_factor = 1.5\n'
    code, pipe = reviewed(text)
    (comparison,) = pipe["comparisons"]
    right = thicknesses(BOOK)["required"] * 25.4
    assert code == 1
    assert comparison["of_input_percent"] == pytest.approx(100 * (required / right - 1), rel=1e-6)
    assert comparison["of_calculation_percent"] == pytest.approx(0, abs=0.03)
    assert pipe["explanations"] == []
    status = {clause["clause"]: clause["status"] for clause in pipe["compliance"]}
    assert status["safety factor"] == "not met"


def test_tolerances_are_settings(reviewed):
    text = project(BOOK, {"required_thickness": "26.3 mm"})
    assert reviewed(text)[0] == 1
    code, pipe = reviewed(text, "--tolerance", "4 %", "--open-point", "6 %")
    assert code == 0
    assert pipe["comparisons"][0]["agrees"]
    assert not pipe["comparisons"][0]["open_point"]


def test_bad_options_and_files_are_named(reviewed):
    text = project(BOOK, {"thickness": "27 mm"})
    code, err = reviewed(text, "--tolerance", "1", "--seed", "-1")
    assert code == 2
    assert '--tolerance "1": no unit' in err
    assert '--seed "-1": not a whole number' in err
    code, err = reviewed(text.split("[pipe.stated]")[0])
    assert code == 2
    assert "add [pipe.stated] to at least one pipe" in err


def test_every_fault_of_the_stated_values_is_listed(reviewed):
    text = project(BOOK, {"thicknes": "27 mm"}, {"C": "0.8 %", "Q": "1", "P": "5.2"})
    text = text.replace("[pipe.stated]", 'doubt = { cover = "1 psi", speed = "3" }\n[pipe.stated]')
    text += '[pipe.stated.inputs]\ncovr = "3 ft"\n'
    code, err = reviewed(text)
    assert code == 2
    for place in ("thicknes;", "steps.C ", "steps.Q ", "steps.P ", "doubt.cover ", "doubt.speed"):
        assert place in err, place
    assert "unknown symbol; write one of D, q, C, " in err
    assert "did you mean thickness?" in err
    assert "did you mean cover?" in err


def test_both_editions_and_both_conditions_side_by_side(reviewed):
    _, pipe = reviewed(project(BOOK, {"thickness": "27 mm"}), "--side-by-side")
    found = {
        (each["condition"], each["edition"]): each["required_thickness"]["value"]
        for each in pipe["side_by_side"]
    }
    expected = {
        ("fully deteriorated", "F1216-07b"): thicknesses(BOOK),
        ("fully deteriorated", "F1216-07a"): thicknesses(BOOK, "other-edition"),
        ("partially deteriorated", "F1216-07b"): thicknesses(BOOK, "partial-for-full"),
    }
    assert found == {key: pytest.approx(t["required"], rel=1e-9) for key, t in expected.items()}


def test_retention_beyond_the_usual_without_evidence_is_an_open_point(reviewed):
    generous = Inputs(**{**vars(BOOK), "retention": 64.0, "K": 9.0})
    _, pipe = reviewed(project(generous, {"thickness": "27 mm"}))
    status = {clause["clause"]: clause["status"] for clause in pipe["compliance"]}
    assert status["evidence of modulus retention"] == "not shown"
    assert status["evidence of enhancement factor"] == "not shown"
    assert status["evidence of strength retention"] == "not required"
    assert status["evidence of flexural modulus"] == "not shown"


def test_the_worked_example_finds_its_four_mistakes(run, tmp_path):
    for name in ("project.toml", "owner.toml"):
        shutil.copy(EXAMPLE / name, tmp_path)
    code, out, _ = run("review", "project.toml", "--json")
    pipes = json.loads(out)["pipes"]
    assert code == 1
    firsts = [pipe["explanations"][0]["slips"] if pipe["explanations"] else [] for pipe in pipes]
    assert firsts == [
        [],
        ["short-term-modulus"],
        ["other-edition"],
        ["head-from-crown"],
        [],
        ["rounded-down"],
    ]
    verdicts = [pipe["verdict"] for pipe in pipes]
    assert verdicts == ["adequate", "thin", "thick", "adequate", "adequate", "thin"]
    numbers = [comment["number"] for pipe in pipes for comment in pipe["comments"]]
    assert numbers == list(range(1, len(numbers) + 1))


def test_the_letter_numbers_its_comments_through_and_has_no_statistics(run, tmp_path):
    for name in ("project.toml", "owner.toml"):
        shutil.copy(EXAMPLE / name, tmp_path)
    _, out, _ = run("review", "project.toml", "--json")
    data = json.loads(out)
    comments = [each for pipe in data["pipes"] for each in pipe["comments"]]
    comments += data["general_comments"]
    assert [each["number"] for each in comments] == list(range(1, len(comments) + 1))
    letter = run("review", "project.toml")[1]
    assert data["proposed_disposition"] == "revise and resubmit"
    assert "Proposed disposition: revise and resubmit" in letter
    for word in ("Monte Carlo", "seed", "chance", "1 in ", "percentiles"):
        assert word not in letter, word
    groups = re.findall(r"^(Must correct|Please answer|Note)$", letter, re.M)
    assert set(groups) == {"Must correct", "Please answer", "Note"}
    # One page a pipe at most: 60 lines of text.
    pipes = letter.split("General comments")[0].split("\nMH ")[1:]
    assert all(text.count("\n") < 60 for text in pipes)


def test_the_record_holds_replay_sensitivity_and_requirements(run, tmp_path):
    for name in ("project.toml", "owner.toml"):
        shutil.copy(EXAMPLE / name, tmp_path)
    out = run("review", "project.toml", "--record", "--side-by-side", "--sheets")[1]
    for words in ("Replay: each line", "Monte Carlo", "seed 20260", "The owner's requirements"):
        assert words in out, words
    ranges = re.findall(r"([\d.]+) to ([\d.]+)", out)
    assert ranges
    assert all(float(least) <= float(largest) for least, largest in ranges)


def test_the_workbook_of_a_review_is_live(run, tmp_path):
    """It holds our calculation as formulas, without asking for the sheets."""
    from openpyxl import load_workbook

    (tmp_path / "project.toml").write_text(project(BOOK, {"thickness": "27 mm"}), encoding="utf-8")
    run("review", "project.toml", "-o", "review.xlsx")
    book = load_workbook(tmp_path / "review.xlsx")
    assert "pipe1_required_thickness" in book.defined_names
    cells = (cell.value for sheet in book for row in sheet.iter_rows() for cell in row)
    assert sum(str(value).startswith("=") for value in cells) > 20


def with_owner(tmp_path, text, limits):
    """The project under criteria of an owner: a live load of 0.5 psi at least, and N = 2."""
    (tmp_path / "owner.toml").write_text(f"[criteria]\nsafety_factor = 2.0\n{limits}")
    return text.replace("[criteria]", 'criteria = "owner.toml"\n[criteria]', 1)


LIVE_LOAD = '[criteria.limits]\nminimum_live_load = "0.5 psi"\n'


def corrections(pipe):
    return [each["text"] for each in pipe["comments"] if each["weight"] == "correction"]


def test_inputs_of_the_recheck_outside_the_limits_are_its_own(reviewed, run, tmp_path):
    """The book's live load is 0.35 psi: stated and recomputed agree, the owner asks for more."""
    text = with_owner(tmp_path, project(BOOK, {"thickness": "27 mm"}), LIVE_LOAD)
    code, pipe = reviewed(text)
    assert (code, pipe["verdict"]) == (1, "adequate")
    # Our own input is a matter of the record, not of the letter.
    assert corrections(pipe) == []
    (clause,) = [c for c in pipe["compliance"] if c["clause"] == "limit on an input"]
    assert clause["status"] == "not met"
    assert "0.35 psi" in clause["shown"]
    assert reviewed(text.replace("0.35 psi", "0.5 psi"))[0] == 0


def test_a_thickness_asked_for_says_that_it_rests_on_inputs_outside_the_limits(reviewed, tmp_path):
    text = with_owner(tmp_path, project(BOOK, {"thickness": "24 mm"}), LIVE_LOAD)
    said = "uses inputs outside the owner's limits"
    assert said in corrections(reviewed(text)[1])[0]
    assert not any(
        said in each for each in corrections(reviewed(text.replace("0.35 psi", "1 psi"))[1])
    )


def test_inputs_of_the_submittal_outside_the_limits_are_submitted(reviewed, tmp_path):
    x = Inputs(**{**vars(BOOK), "W_s": 0.6})
    text = with_owner(tmp_path, project(x, {"thickness": "27 mm"}), LIVE_LOAD)
    code, pipe = reviewed(text + '[pipe.stated.inputs]\nlive_load = "0.35 psi"\n')
    assert code == 1
    (comment,) = corrections(pipe)
    assert "submitted live load at the crown 0.35 psi" in comment


def test_a_floor_that_the_project_breaks_is_not_met(reviewed, run, tmp_path):
    x = Inputs(**{**vars(BOOK), "N": 1.5})
    nominal = -(-thicknesses(x)["required"] * 25.4 // 1.5) * 1.5
    code, pipe = reviewed(with_owner(tmp_path, project(x, {"thickness": f"{nominal} mm"}), ""))
    assert (code, pipe["verdict"]) == (1, "adequate")
    assert corrections(pipe) == []
    (clause,) = [c for c in pipe["compliance"] if c["clause"] == "owner's minimum"]
    assert "1.5 of the project" in clause["shown"]


def test_a_number_that_is_another_checks_own_is_said_to_be_that(reviewed, run):
    """Whatever brings X1.3 and X1.1 under X1.4 gives X1.4's number: no slip is named alone."""
    x = Inputs(
        D=18.0, q=3.0, h_invert=10.0, E=300000.0, retention=50.0, sigma=5000.0,
        strength_retention=50.0, H=12.0, W_s=0.8,
    )  # fmt: skip
    right, slipped = thicknesses(x), thicknesses(x, "short-term-modulus")
    assert slipped["required"] == pytest.approx(right["t X1.4"], rel=1e-9)
    assert sorted((right["t X1.1"], right["t X1.3"], right["t X1.4"]))[0] == right["t X1.4"]
    stated = {"required_thickness": f"{25.4 * slipped['required']:.2f} mm"}
    _, pipe = reviewed(project(x, stated))
    assert pipe["number_of_check"] == "X1.4"
    assert len([each for each in pipe["explanations"] if each["place"] == 1]) in (2, 3)
    (text,) = [text for text in corrections(pipe) if "X1.4 alone requires" in text]
    assert "Please state t X1.1 and t X1.3" in text
    # Once t X1.3 is stated, the slip itself is the finding.
    _, pipe = reviewed(project(x, stated, {"t X1.3": f"{25.4 * slipped['t X1.3']:.2f} mm"}))
    assert pipe["number_of_check"] is None
    assert pipe["explanations"][0]["slips"] == ["short-term-modulus"]


def test_an_error_that_every_explanation_shares_explains_its_lines(reviewed):
    """The cover to the invert shows in R_w, B' and q_t, whatever brought X1.3 below X1.4."""
    x = Inputs(
        D=8.0, q=3.0, h_invert=6.5, E=300000.0, retention=50.0, sigma=4500.0,
        strength_retention=50.0, H=9.0, W_s=1.5,
    )  # fmt: skip
    # By hand, H = 9 + 8/12 ft: Rw = 1 - 0.33*5.8333/9.6667, B' = 1/(1 + 4 e^(-0.065*9.6667)),
    # qt = 0.433*5.8333 + 120*9.6667*0.8009/144 + 1.5; X1.4 requires 8(12*0.093/300000)^(1/3).
    steps = {"R_w": "0.8009", "B'": "0.3191", "q_t": "10.477 psi"}
    _, pipe = reviewed(project(x, {"required_thickness": "0.1240 in"}, steps))
    texts = [each["text"] for each in pipe["comments"]]
    (text,) = [text for text in texts if text.startswith("Stated R_w")]
    assert "result if the cover is measured to the invert and not to the crown" in text


def test_a_large_tie_is_no_finding(reviewed):
    """An increment of 1.5 mm less is what many errors result in."""
    _, pipe = reviewed(project(BOOK, {"thickness": "25.5 mm"}))
    same = [each for each in pipe["explanations"] if each["place"] == 1]
    assert len(same) > 3
    assert not any(each["finding"] for each in same)


def test_an_error_that_a_stated_line_excludes_is_not_offered(reviewed):
    """The thickness is that of the other edition, with another B' than the one stated."""
    required = thicknesses(BOOK, "other-edition")["required"] * 25.4
    stated = {"required_thickness": f"{required:.2f} mm"}
    _, pipe = reviewed(project(BOOK, stated, {"B'": "0.777"}))
    assert pipe["explanations"] == []
    assert pipe["first_departure"] == "B'"


def test_a_thickness_in_mm_has_no_digits_of_a_conversion(reviewed):
    """9 mm by way of inches is 8.999999999999998 mm in binary."""
    x = Inputs(**{**vars(BOOK), "D": 18.0, "q": 3.0, "h_invert": 10.0, "H": 12.0, "W_s": 0.8})
    nominal = -(-thicknesses(x)["required"] * 25.4 // 1.5) * 1.5
    _, pipe = reviewed(project(x, {"thickness": f"{nominal} mm"}))
    assert pipe["comparisons"][0]["recomputed"]["value"] == nominal


@pytest.mark.parametrize(
    ("printed", "status"),
    [("1.06 in", "met"), ("1.063 in", "met"), ("1.09 in", "not met"), ("27.2 mm", "not met")],
)
def test_a_step_is_met_to_the_last_printed_digit_of_another_unit(reviewed, printed, status):
    """27 mm is 1.063 in."""
    _, pipe = reviewed(project(BOOK, {"thickness": printed}, thickness_step="1.5 mm"))
    clause = {each["clause"]: each["status"] for each in pipe["compliance"]}
    assert clause["thickness increment"] == status


def test_a_stated_total_pressure_of_a_pipe_with_stations_is_compared(run, tmp_path):
    """q_t by hand at 9.5 ft, water 5 ft over the crown: 0.433*5 + 120*9.5*Rw/144 + 0.7."""
    stations = [{"at": "10 ft", "cover": "9.5 ft"}, {"at": "50 ft", "cover": "8 ft"}]
    pipe = {"host_diameter": "24 in", "cover": "9 ft", "groundwater_above_crown": "5 ft"}
    text = toml(pipe=pipe | {"live_load": "0.7 psi"}, drop=("groundwater_above_invert",))
    text += '[pipe.stated]\nthickness = "12 mm"\nsteps = { q_t = "15.9 psi" }\n'
    for station in stations:
        text += f'[[pipe.station]]\nat = "{station["at"]}"\ncover = "{station["cover"]}"\n'
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("review", "p.toml", "--json")
    assert code == 1, err
    compared = {each["item"]: each for each in json.loads(out)["pipes"][0]["comparisons"]}
    by_hand = 0.433 * 5 + 120 * 9.5 * max(1 - 0.33 * 5 / 9.5, 0.67) / 144 + 0.7
    assert compared["q_t"]["recomputed"]["value"] == pytest.approx(by_hand, rel=1e-9)


def test_the_other_edition_is_not_asked_of_a_calculation_without_soil(run, tmp_path):
    """X1.4 by hand: D (12 * 0.00064/E)^(1/3), which is what leaving X1.3 out leads to."""
    stated = 254 * (12 * 0.00064 / 2000) ** (1 / 3)
    pipe = {
        "host_diameter": "10 in",
        "ovality": "1 %",
        "groundwater_above_invert": "2.3 m",
        "cover": "6.9 m",
        "soil_unit_weight": "18 kN/m^3",
        "soil_reaction_modulus": "2 MPa",
        "live_load": "0.024 MPa",
    }
    resin = {
        "flexural_modulus": "2000 MPa",
        "flexural_strength": "31 MPa",
        "modulus_retention": "40 %",
        "strength_retention": "40 %",
    }
    text = toml(pipe=pipe, resin=resin, project={"units": "SI"})
    text += f'[pipe.stated]\nthickness = "4.5 mm"\nrequired_thickness = "{stated:.3f} mm"\n'
    (tmp_path / "p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("review", "p.toml", "--json")
    assert code == 1, err
    names = [each["slips"] for each in json.loads(out)["pipes"][0]["explanations"]]
    assert ["check-skipped X1.3"] in names


@pytest.mark.parametrize("reader", [calculated, pytest.param(recalculated, marks=office)])
def test_the_workbook_sets_stated_values_beside_cells_that_recalculate(run, tmp_path, reader):
    """The ovality of 2 % becomes 5 %: the difference is that from the hand calculation of 5 %."""
    steps = {"C": "0.836", "t X1.3": "25.61 mm"}
    text = project(BOOK, {"thickness": "27 mm", "required_thickness": "25.61 mm"}, steps)
    (tmp_path / "project.toml").write_text(text, encoding="utf-8")
    assert run("review", "project.toml", "-o", "r.xlsx")[0] == 0
    book = openpyxl.load_workbook(tmp_path / "r.xlsx")
    sheet, at = book.defined_names["pipe1_ovality"].attr_text.rsplit("!", 1)
    book[sheet.strip("'")][at.replace("$", "")] = 5
    rows = reader(book, tmp_path)["Our calculation"].iter_rows(values_only=True)
    found = {row[1]: row[4:8] for row in rows if isinstance(row[4], float)}
    right = thicknesses(replace(BOOK, q=5.0))
    for item, ours in (("C", right["C"]), ("t X1.3", right["t X1.3"])):
        stated, recomputed, difference, result = found[item]
        assert recomputed == pytest.approx(ours, rel=1e-9), item
        assert difference == pytest.approx(100 * (stated / ours - 1), rel=1e-6), item
        assert result == "differs", item
    assert found["thickness"][1] == pytest.approx(-(-right["required"] * 25.4 // 1.5) * 1.5 / 25.4)
