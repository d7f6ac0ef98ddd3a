"""The worked example: the file as written, and the one that the reviewer made of it."""

import json
import tomllib
from pathlib import Path

EXAMPLE = Path(__file__).parents[3] / "worked_examples" / "transcribe_mill_lane"


def test_the_stored_file_is_what_is_written(run, tmp_path):
    code, _, err = run("transcribe", EXAMPLE / "submittal.md", "-o", "as_written.toml")
    assert code == 0, err
    written = (tmp_path / "as_written.toml").read_text("utf-8")
    assert written == (EXAMPLE / "as_written.toml").read_text("utf-8")


def test_the_reviewers_file_adds_and_loses_nothing():
    written, made = (
        tomllib.loads((EXAMPLE / name).read_text("utf-8"))
        for name in ("as_written.toml", "project.toml")
    )
    for before, after in zip(written["pipe"], made["pipe"], strict=True):
        assert after == {**before, "condition": after["condition"]}
    assert made["criteria"]["defaults"].pop("soil_unit_weight") == "120 pcf"
    assert made["criteria"] == written["criteria"]


def test_the_review_finds_the_line_that_does_not_follow(run):
    """The head in line 18 is that above the invert."""
    code, out, err = run("review", EXAMPLE / "project.toml", "--json")
    assert code in (0, 1), err
    pipe = json.loads(out)["pipes"][1]
    assert pipe["first_departure"] == "q_t"
    assert {each["at"] for each in pipe["comments"] if each["item"] == "q_t"} == {"line 18"}
