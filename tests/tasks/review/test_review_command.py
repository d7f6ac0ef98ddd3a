"""`linerdesign review` from the file to the memorandum."""

import json
import re
import shutil
from pathlib import Path

import pytest
from by_hand import Inputs, project, thicknesses
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
    assert "is what results if X1.3 is taken from the other edition" in first["text"]


@pytest.mark.parametrize(
    ("thickness", "verdict", "code"),
    [("25.5 mm", "thin", 1), ("27 mm", "adequate", 0), ("30 mm", "thick", 1)],
)
def test_the_verdict_is_on_the_nominal_thickness(reviewed, thickness, verdict, code):
    """The book needs 25.6 mm, so that 27 mm is the next multiple of 1.5 mm."""
    got, pipe = reviewed(project(BOOK, {"thickness": thickness}))
    assert (got, pipe["verdict"]) == (code, verdict)
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
    assert '--tolerance: "1": expected' in err
    assert "--seed: -1: expected" in err
    code, err = reviewed(text.split("[pipe.stated]")[0])
    assert code == 2
    assert "add [pipe.stated] to at least one pipe" in err


def test_every_fault_of_the_stated_values_is_listed(reviewed):
    text = project(BOOK, {"thicknes": "27 mm"}, {"C": "0.8 %", "Q": "1", "P": "5.2"})
    text = text.replace("[pipe.stated]", 'doubt = { cover = "1 psi", speed = "3" }\n[pipe.stated]')
    text += '[pipe.stated.inputs]\ncovr = "3 ft"\n'
    code, err = reviewed(text)
    assert code == 2
    for place in (
        "stated.thicknes:", "stated.steps.C:", "stated.steps.Q:", "stated.steps.P:",
        "doubt.cover:", "doubt.speed:", "stated.inputs.covr:",
    ):  # fmt: skip
        assert place in err, place
    assert 'the nearest is "thickness"' in err
    assert 'the nearest is "cover"' in err


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
    assert status["evidence of strength retention"] == "met"


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


def test_the_memorandum_as_text_has_comments_numbered_through(run, tmp_path):
    for name in ("project.toml", "owner.toml"):
        shutil.copy(EXAMPLE / name, tmp_path)
    _, out, _ = run("review", "project.toml", "--side-by-side", "--sheets")
    numbers = [
        int(n) for n in re.findall(r"^(\d+)\. \[(?:correction|question|remark)\]", out, re.M)
    ]
    assert numbers == list(range(1, len(numbers) + 1))
    assert "seed 20260" in out
    assert "Please" in out
    ranges = re.findall(r"([\d.]+) to ([\d.]+)", out)
    assert ranges
    assert all(float(least) <= float(largest) for least, largest in ranges)
    assert ".:" not in out


def glance(run, *words):
    """What the glance finds of the one pipe, its lines joined again."""
    _, out, _ = run("review", "project.toml", *words)
    table = out.split("Findings at a glance")[1].split("\n\n")[0].splitlines()[1:]
    at = table[0].index("finding")
    return " ".join(line[at:].strip() for line in table[2:])


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
    assert glance(run) == "owner's criteria not met"
    (comment,) = corrections(pipe)
    assert "this recheck takes live load at the top of the pipe 0.35 psi" in comment
    assert "submitted" not in comment
    assert reviewed(text.replace("0.35 psi", "0.5 psi"))[0] == 0


def test_a_thickness_asked_for_says_that_it_rests_on_inputs_outside_the_limits(reviewed, tmp_path):
    text = with_owner(tmp_path, project(BOOK, {"thickness": "24 mm"}), LIVE_LOAD)
    said = "rests on inputs outside the owner's limits"
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
    assert "submitted live load at the top of the pipe 0.35 psi" in comment


def test_a_floor_that_the_project_breaks_is_not_met(reviewed, run, tmp_path):
    x = Inputs(**{**vars(BOOK), "N": 1.5})
    nominal = -(-thicknesses(x)["required"] * 25.4 // 1.5) * 1.5
    code, pipe = reviewed(with_owner(tmp_path, project(x, {"thickness": f"{nominal} mm"}), ""))
    assert (code, pipe["verdict"]) == (1, "adequate")
    assert glance(run) == "owner's criteria not met"
    assert "this recheck takes safety_factor 1.5 of the project" in corrections(pipe)[0]


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
    (text,) = [text for text in corrections(pipe) if "differs" in text]
    assert "The number is X1.4's own" in text
    assert "Please state t X1.1 and t X1.3" in text
    assert glance(run) == "X1.4's own number; X1.1, X1.3 not shown"
    # Once t X1.3 is stated, the slip itself is the finding.
    _, pipe = reviewed(project(x, stated, {"t X1.3": f"{25.4 * slipped['t X1.3']:.2f} mm"}))
    assert pipe["number_of_check"] is None
    assert glance(run) == "short term modulus"


def test_the_glance_counts_the_slips_of_a_large_tie(reviewed, run):
    """A step of 1.5 mm less is what many slips give."""
    _, pipe = reviewed(project(BOOK, {"thickness": "25.5 mm"}))
    same = [each for each in pipe["explanations"] if each["place"] == 1]
    assert len(same) > 3
    assert glance(run) == f"{len(same)} slips possible"


def test_what_explains_only_a_part_is_not_the_finding(reviewed, run):
    """The thickness is that of the other edition, and the stated B' is nobody's."""
    required = thicknesses(BOOK, "other-edition")["required"] * 25.4
    stated = {"required_thickness": f"{required:.2f} mm"}
    _, pipe = reviewed(project(BOOK, stated, {"B'": "0.777"}))
    assert {each["complete"] for each in pipe["explanations"]} == {False}
    assert "does not explain every stated value" in pipe["explanations"][0]["text"]
    assert glance(run) == "not explained"


def test_a_slip_in_the_glance_breaks_between_words(reviewed, run, monkeypatch):
    required = thicknesses(BOOK, "other-edition")["required"] * 25.4
    reviewed(project(BOOK, {"required_thickness": f"{required:.2f} mm"}))
    monkeypatch.setenv("COLUMNS", "70")
    assert glance(run) == "other edition"


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
    assert clause["step of thickness"] == status


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
