"""The command: JSON, files, confirming, labels learnt."""

import io
import json
import tomllib

import pytest

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.transcribe.confirming import confirmed, read_labels, with_labels
from linerdesign.tasks.transcribe.document import Source
from linerdesign.tasks.transcribe.plain_text import text_lines
from linerdesign.tasks.transcribe.reader import read_document

TEXT = "Pipe: A\nCover: 10 ft\nt1 = 5 mm\nStrength: 4500 psi\nGroundwater 5 ft\n"


def _transcript(text, labels=None):
    return read_document(Source(tuple(text_lines(text))), labels)


def test_json_has_the_keys_that_programs_read(run, tmp_path):
    (tmp_path / "a.txt").write_text(TEXT, encoding="utf-8")
    code, out, _ = run("transcribe", "a.txt", "--json")
    data = json.loads(out)
    assert code == 0
    cover = next(each for each in data["found"] if each["key"] == "cover")
    assert {**cover, "doubts": []} == {
        "pipe": "A", "key": "cover", "value": "10 ft", "text": "Cover: 10 ft", "at": "line 2",
        "sure": True, "doubts": [],
    }  # fmt: skip
    assert [(e["text"], e["at"]) for e in data["not_understood"]] == [
        ("Groundwater 5 ft", "line 5")
    ]


def test_forms_are_written_and_files_are_kept(run, tmp_path):
    (tmp_path / "a.txt").write_text(TEXT, encoding="utf-8")
    outputs = ("p.toml", "t.json", "t.txt", "t.xlsx", "t.html")
    words = [word for name in outputs for word in ("-o", name)]
    assert run("transcribe", "a.txt", *words)[0] == 0
    assert all((tmp_path / name).stat().st_size for name in outputs)
    code, _, err = run("transcribe", "a.txt", "-o", "p.toml")
    assert code == 2
    assert "--force" in err


def test_nothing_found_and_bad_input(run, tmp_path):
    (tmp_path / "a.txt").write_text("Nothing here.\n", encoding="utf-8")
    assert run("transcribe", "a.txt")[0] == 1
    code, out, err = run("transcribe", "nothing.txt", "-o", "p.toml")
    assert (code, out) == (2, "")
    assert "nothing.txt" in err
    assert not (tmp_path / "p.toml").exists()


def _answers(*texts):
    given = iter(texts)
    return lambda prompt: next(given)


def test_confirming_one_by_one():
    out = io.StringIO()
    made, labels = confirmed(_transcript(TEXT), _answers("y", "n"), out)
    sure = {each.key: each.sure for each in made.found}
    assert sure["stated.steps.t X1.1"]
    assert not sure["flexural_strength"]
    assert "line 3: t1 = 5 mm" in out.getvalue()
    assert labels == {}  # the equation of t1 is the document's numbering, not a label


def test_a_confirmed_label_is_known_in_the_next_document(tmp_path):
    _, labels = confirmed(_transcript(TEXT), _answers("n", ""), io.StringIO())
    assert labels == {"Strength": "flexural_strength"}
    path = tmp_path / "labels.toml"
    path.write_text(with_labels(labels), encoding="utf-8")
    assert tomllib.loads(path.read_text("utf-8")) == {"labels": labels}
    again = _transcript("Strength: 5000 psi\nStrength    5,000 psi\n", read_labels(path))
    assert [(e.key, e.value, e.sure) for e in again.found] == [
        ("flexural_strength", "5000 psi", True),
        ("flexural_strength", "5000 psi", True),
    ]


def test_another_value_may_be_given_but_not_without_its_unit():
    out = io.StringIO()
    made, _ = confirmed(_transcript(TEXT), _answers("6", "6 mm", "q"), out)
    assert [e.value for e in made.found if e.key == "stated.steps.t X1.1"] == ["6 mm"]
    assert "no unit" in out.getvalue()


def test_a_file_of_labels_with_faults(tmp_path):
    path = tmp_path / "labels.toml"
    path.write_text('[labels]\n"Wall" = "thicknes"\n"H" = 3\n', encoding="utf-8")
    with pytest.raises(InputFaults) as raised:
        read_labels(path)
    assert len(raised.value.faults) == 2


def test_confirm_by_the_command_writes_the_labels(run, tmp_path, monkeypatch):
    (tmp_path / "a.txt").write_text(TEXT, encoding="utf-8")
    answers = iter(["y", "y"])
    monkeypatch.setattr("builtins.input", lambda prompt="": next(answers))
    code, _, err = run("transcribe", "a.txt", "--confirm", "--labels", "l.toml", "-o", "p.toml")
    assert code == 0, err
    assert tomllib.loads((tmp_path / "l.toml").read_text("utf-8"))["labels"]
    raw = tomllib.loads((tmp_path / "p.toml").read_text("utf-8"))
    assert "5 mm" in str(raw["pipe"][0]["stated"]["steps"]["t X1.1"])
