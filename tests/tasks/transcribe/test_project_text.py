"""The project file of a transcript: readable once completed, every number with its place."""

import json
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from linerdesign.project.reading import parse
from linerdesign.tasks.transcribe.document import Source
from linerdesign.tasks.transcribe.found import Found, NotUnderstood, Transcript
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


def found(pipe, key, value, at, *doubts):
    doubts = tuple(f"transcribe.{each}" for each in doubts)
    return Found(pipe, key, value, f"{key} {value}", f"line {at}", doubts, "")


TWO_PIPES = Transcript(
    ("A", "B"),
    (
        found("A", "name", "A", 1),
        found("B", "name", "B", 2),
        found("", "edition", "F1216-07b", 3),
        found("", "safety_factor", "2.0", 4),
        found("", "enhancement_factor", "7", 5, "symbol_only"),
        # Of no pipe: those that defaults take, and one that they don't.
        found("", "soil_unit_weight", "120 pcf", 6),
        found("", "host_diameter", "8 in", 7),
        found("", "stated.steps.P", "5 psi", 7),
        # Two resins, and what both have.
        found("A", "flexural_modulus", "250000 psi", 8),
        found("B", "flexural_modulus", "300000 psi", 9),
        found("", "flexural_strength", "4500 psi", 9),
        # One value three times, in another datum, and with a doubt.
        found("A", "cover", "10 ft", 10),
        found("A", "cover", "10.0 ft", 11),
        found("A", "cover", "3.05 m", 11),
        found("A", "invert_depth", "11 ft", 12),
        found("A", "ovality", "2 %", 13),
        found("A", "ovality", "3", 13, "no_unit", "column"),
        found("A", "soil_unit_weight", "125 pcf", 13),
        found("A", "stated.thickness", "6 mm", 14),
        found("A", "stated.steps.t X1.3", "5.1 mm", 15),
        found("A", "stated.steps.C", "0.836", 16),
        found("A", "stated.steps.C", "0.8360", 17),
        found("A", "stated.condition", "fully deteriorated", 18),
        # In doubt, in a wrong unit, twice with other values.
        found("B", "stated.steps.C", "0.7", 19, "wording"),
        found("B", "stated.thickness", "6 psi", 20),
        found("B", "groundwater_above_invert", "7 ft", 21),
        found("B", "groundwater_above_invert", "9 ft", 22),
        found("B", "live_load", "H-20 table", 23, "vehicle"),
    ),
    (
        NotUnderstood("Job\t4711", "line 30", "transcribe.no_label"),
        NotUnderstood("GW 7 ft", "line 31", "transcribe.no_datum"),
    ),
)


def test_the_file_of_two_pipes_line_by_line():
    """What is sure is live, all else a comment with its place and its doubt."""
    written = Path(__file__).with_name("two_pipes.toml").read_text("utf-8")
    assert project_text(Document(TWO_PIPES, 'a"b.pdf', "0" * 64)) == written


def made(*values, pipes=(), missed=()):
    return Document(Transcript(pipes, values, missed), "a.txt", "0" * 64)


@pytest.mark.parametrize(
    ("values", "units"),
    [
        (["6 mm", "10 ft"], "US"),
        (["6 mm", "3 m", "10 ft"], "SI"),
        (["18 kN/m^3"], "SI"), (["862 MPa"], "SI"), (["2 %"], "US"),
        # Bare numbers and names with a blank count for neither, or against.
        (["6 mm", "2.0", "7"], "SI"), (["6 mm", "H-20 table"], "US"),
        ([], "US"),
    ],
)  # fmt: skip
def test_the_units_are_those_of_most_values(values, units):
    assert made(*(found("", "cover", value, 1) for value in values)).units == units


def test_a_document_without_a_name_is_of_one_pipe():
    text = project_text(made(found("", "cover", "10 ft", 3), found("", "density", "1.2 g/cm^3", 4)))
    assert 'name = "Pipe 1"  # name not stated' in text
    raw = tomllib.loads(text)
    steps = {"H": {"value": "10 ft", "at": "line 3"}}
    assert raw["pipe"] == [{"name": "Pipe 1", "cover": "10 ft", "stated": {"steps": steps}}]
    assert raw["resin"] == [{"name": "As submitted", "density": "1.2 g/cm^3"}]
    assert not {"criteria", "submittal"} & raw.keys()
    assert "Stated for no particular pipe" not in text
    assert "not understood" not in text
    assert text.endswith("}\n")


def test_a_pipe_without_resin_of_its_own_has_the_first():
    moduli = [found(pipe, "flexural_modulus", f"{value} psi", 1)
              for pipe, value in (("A", 300_000), ("B", 250_000), ("D", 300_000))]  # fmt: skip
    raw = tomllib.loads(project_text(made(*moduli, pipes=("C", "A", "B", "D"))))
    kinds = [("C", 1), ("A", 1), ("B", 2), ("D", 1)]
    assert [(each["name"], each["resin"]) for each in raw["pipe"]] == [
        (name, f"As submitted {kind}") for name, kind in kinds
    ]
    assert [each["flexural_modulus"] for each in raw["resin"]] == ["300000 psi", "250000 psi"]
    one = tomllib.loads(project_text(made(*moduli[::2], pipes=("A", "D", "C"))))
    assert [each["name"] for each in one["resin"]] == ["As submitted"]
    assert not any("resin" in each for each in one["pipe"])


def test_the_condition_of_the_owner_is_written_in_place_of_the_question():
    document = made(found("", "cover", "10 ft", 1), pipes=("A",))
    text = project_text(document, "fully deteriorated")
    assert tomllib.loads(text)["pipe"][0]["condition"] == "fully deteriorated"
    assert "# condition" not in text


def test_a_table_of_comments_alone_is_a_comment():
    doubtful = found("A", "stated.steps.C", "0.8", 1, "wording")
    text = project_text(made(doubtful, pipes=("A",)))
    assert "# [pipe.stated]\n\n# [pipe.stated.steps]\n# C = " in text
    assert "[pipe.stated.inputs]" not in text
    thick = found("A", "stated.thickness", "6 mm", 1, "wording")
    text = project_text(made(thick, replace(doubtful, doubts=()), pipes=("A",)))
    assert "\n[pipe.stated]\n# thickness = " in text
    assert "\n[pipe.stated.steps]\nC = " in text
    text = project_text(made(replace(thick, doubts=()), doubtful, pipes=("A",)))
    assert '\n[pipe.stated]\nthickness = "6 mm"' in text
    assert "\n# [pipe.stated.steps]\n# C = " in text
    edition = found("", "edition", "F1216-07b", 2)
    assert "stated" not in tomllib.loads(project_text(made(edition, pipes=("A",))))["pipe"][0]
    text = project_text(made(edition, thick, pipes=("A",)))
    assert '[pipe.stated.inputs]\nedition = "F1216-07b"  # line 2\n' in text
    text = project_text(made(replace(edition, doubts=("transcribe.word",)), thick, pipes=("A",)))
    assert "[pipe.stated.inputs]" not in text


def test_questions_have_no_line_and_come_once():
    """First the condition, then what either condition needs, then datums; not other numbers."""
    missed = (NotUnderstood("Job 4711", "line 3", "transcribe.no_label"),
              NotUnderstood("GW 7 ft", "line 4", "transcribe.no_datum"))  # fmt: skip
    asked = questions(made(found("A", "cover", "10 ft", 1), pipes=("A",), missed=missed))
    assert "condition" in asked[0]
    assert len([each for each in asked if "condition of the host" in each]) == 1
    assert len(asked) == len(set(asked))
    assert not any("line 1" in each or "4711" in each for each in asked)
    assert asked[-1] == "GW 7 ft (line 4): datum not stated"
    assert any("fully deteriorated" in each for each in asked)
    assert any("groundwater" in each for each in asked)
