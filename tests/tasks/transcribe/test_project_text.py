"""The project file of a transcript: readable once completed, every number with its place."""

import json
import tomllib

import pytest

from linerdesign.project.reading import parse
from linerdesign.tasks.transcribe.document import Source
from linerdesign.tasks.transcribe.keys import refusal
from linerdesign.tasks.transcribe.plain_text import text_lines
from linerdesign.tasks.transcribe.project_text import Document, project_text, questions
from linerdesign.tasks.transcribe.reader import read_document

SUBMITTAL = """Design to ASTM F1216-07b, N = 2.0. Flexural modulus E = 250,000 psi; flexural strength
4,500 psi. Soil unit weight: 120 pcf.

| Pipe | ID (in) | Ovality (%) | Cover (ft) | GW above invert (ft) | E's (psi) | Live load (psi) | Required thickness (mm) | Design thickness (mm) |
|---|---|---|---|---|---|---|---|---|
| MH 1 to MH 2 | 8 | 2 | 7 | 4.7 | 1,000 | 1.2 | 2.7 | 4.5 |
| MH 3 to MH 4 | 15 | 3 | 14 | 9.0 | 700 | 0.6 | 8.2 | 9.0 |
"""  # noqa: E501
DECIDED = '# condition = "fully deteriorated"'


def _made(text):
    return Document(read_document(Source(tuple(text_lines(text)))), "a.txt", "0" * 64)


def test_the_file_is_read_by_review_once_the_condition_is_decided(run, tmp_path):
    (tmp_path / "submittal.md").write_text(SUBMITTAL, encoding="utf-8")
    code, _, err = run("transcribe", "submittal.md", "-o", "project.toml")
    assert code == 0, err
    text = (tmp_path / "project.toml").read_text("utf-8")
    assert text.count(DECIDED) == 2
    code, _, err = run("review", "project.toml")
    assert code == 2
    assert "condition" in err
    (tmp_path / "done.toml").write_text(text.replace(DECIDED, DECIDED[2:]), encoding="utf-8")
    code, out, err = run("review", "done.toml", "--json")
    assert code in (0, 1), err
    assert [pipe["name"] for pipe in json.loads(out)["pipes"]] == ["MH 1 to MH 2", "MH 3 to MH 4"]


def test_every_value_has_its_place_and_every_number_is_in_the_file():
    text = project_text(_made(SUBMITTAL + "\nJob 4711, groundwater 9 ft\n"))
    raw = tomllib.loads(text)
    assert raw["resin"][0]["flexural_modulus"] == "250000 psi"
    assert raw["criteria"] == {
        "edition": "F1216-07b",
        "safety_factor": 2.0,
        "defaults": {"soil_unit_weight": "120 pcf"},
    }
    stated = raw["pipe"][1]["stated"]
    assert (stated["required_thickness"], stated["thickness"]) == ("8.2 mm", "9.0 mm")
    for line in text.splitlines():
        apart = line.startswith(("title", "units", 'name = "As', "# condition"))
        if " = " in line and not apart and not line.endswith(' = ""'):
            assert "line " in line, line
    assert "4711" in text
    assert "groundwater 9 ft" in text


def test_inputs_are_lines_of_their_calculation_too():
    """The reviewer may change the keys; what was submitted stays, with its place."""
    raw = tomllib.loads(project_text(_made(SUBMITTAL)))
    steps = raw["pipe"][1]["stated"]["steps"]
    assert steps["D"] == {"value": "15 in", "at": "line 7"}
    assert steps["q"] == {"value": "3 %", "at": "line 7"}
    assert steps["N"] == {"value": "2.0", "at": "line 1"}


def test_what_is_not_sure_is_a_comment():
    text = project_text(_made("Pipe: A\nt1 = 5 mm\nCover: 10\nDN 900\n"))
    assert "stated" not in tomllib.loads(text)["pipe"][0]
    assert '# "t X1.1" = ' in text
    assert '# cover = "10"  # confirm: no unit stated (line 3: Cover: 10)' in text
    assert "condition" not in tomllib.loads(text)["pipe"][0]


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        ("Cover: 10 ft\nCover: 12 ft", "several values"),
        ("Cover: 10 ft\nDepth to invert: 11 ft", "another datum"),
        (
            "Groundwater 5 ft above the invert\nGroundwater 4 ft above the crown",
            "another datum",
        ),
    ],
)
def test_what_contradicts_is_not_chosen_between(lines, why):
    text = project_text(_made(f"Pipe: A\n{lines}\n"))
    assert why in text
    values = tomllib.loads(text)["pipe"][0]
    assert len([key for key in values if key not in ("name", "stated")]) == (
        0 if "values" in why else 1
    )


def test_the_same_value_in_two_units_is_one():
    text = project_text(_made("Pipe: A\nDesign thickness: 7.5 mm (0.295 in)\n"))
    assert tomllib.loads(text)["pipe"][0]["stated"] == {"thickness": "7.5 mm"}


def test_pipes_with_other_resins_get_their_own():
    table = (
        "| Pipe | ID (in) | Initial flexural modulus (psi) |\n|---|---|---|\n"
        "| A 1 | 8 | 250,000 |\n| A 2 | 8 | 400,000 |\n"
    )
    raw = tomllib.loads(project_text(_made(table)))
    modulus = {each["name"]: each["flexural_modulus"] for each in raw["resin"]}
    assert [modulus[pipe["resin"]] for pipe in raw["pipe"]] == ["250000 psi", "400000 psi"]


def test_questions_are_what_the_reading_of_the_file_misses():
    asked = "\n".join(questions(_made("Pipe: A\nInside diameter: 8 in\nGroundwater: 5 ft\n")))
    for word in ("condition", "ovality", "flexural_modulus", "live_load", "Groundwater: 5 ft"):
        assert word in asked
    assert "host_diameter" not in asked


def test_hostile_texts_stay_in_their_comment():
    text = 'Pipe: A"]\n[[pipe]]\nCover: 10 ft"""\n\x07Groundwater ]] 5 ft # x\n'
    raw = tomllib.loads(project_text(_made(text)))
    assert len(raw["pipe"]) == 1


def test_the_written_file_decided_by_hand_has_no_fault_left():
    text = project_text(_made(SUBMITTAL)).replace(DECIDED, DECIDED[2:])
    assert len(parse(text.encode()).pipes) == 2


def test_why_a_file_refuses_a_value():
    assert refusal("pipe", "cover", "10 ft") == ""
    assert "no unit" in refusal("pipe", "cover", "10")
    assert refusal("pipe", "no_such", "10") == "no_such"
    assert refusal("stated", "stated.steps.C", "0.836") == ""
    assert refusal("stated", "stated.thickness", "6 mm") == ""
    assert "unit" in refusal("stated", "stated.thickness", "6 psi")
