"""The command on real reviews."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

PROJECT = """
[project]
title = "Mill Lane sewer renewal"
[submittal]
number = "021"
contractor = "Thorne Lining"
received = "2026-11-02"
revision = "REVISION"
[[resin]]
name = "Felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
[[pipe]]
name = "MH 1 to MH 2"
condition = "partially deteriorated"
host_diameter = "12 in"
ovality = "2 %"
groundwater_above_invert = "10 ft"
[pipe.stated]
thickness = "THICKNESS"
required_thickness = "REQUIRED"
"""


@pytest.fixture
def docket(tmp_path):
    """Revision A is thin and wrong; B is right: 5.3 mm by X1.1, see the interface's example."""
    folder = tmp_path / "docket" / "mill_lane"
    folder.mkdir(parents=True)
    values = {"A": ("4.5 mm", "4.10 mm"), "B": ("6 mm", "5.26 mm")}
    for label, (thickness, required) in values.items():
        text = PROJECT.replace("REVISION", label).replace("THICKNESS", thickness)
        (folder / f"{label}.toml").write_text(text.replace("REQUIRED", required), encoding="utf-8")
    return folder


def test_what_revision_b_closes(run, docket):
    code, out, err = run("docket", docket.parent, "--json")
    assert code in (0, 1), err
    (data,) = json.loads(out)["submittals"]
    assert (data["number"], data["contractor"], data["revision"]) == ("021", "Thorne Lining", "B")
    assert {c["key"]: (c["before"], c["after"]) for c in data["changes"]} == {
        "stated.thickness": ("4.5 mm", "6 mm"),
        "stated.required_thickness": ("4.10 mm", "5.26 mm"),
    }
    states = {(c["revision"], c["weight"]): c["state"] for c in data["comments"]}
    assert states[("A", "correction")] == "closed"
    assert ("B", "correction") not in states


def test_every_form(run, docket, tmp_path):
    words = [word for form in ("txt", "html", "xlsx", "json") for word in ("-o", f"d.{form}")]
    code, _, err = run("docket", docket.parent, *words)
    assert code in (0, 1), err
    assert "Thorne Lining" in (tmp_path / "d.txt").read_text("utf-8")
    code, out, err = run("docket", docket.parent, "--letter", "021")
    assert code in (0, 1), err
    assert "4.10" not in out


def test_two_people_at_once(docket, tmp_path):
    """Each run reads plain files and puts its own outputs in place in one move."""
    code = "from linerdesign.cli.start import program; import sys; sys.exit(program())"
    words = ["docket", str(docket.parent), "-o", "d.json", "-o", "d.txt", "--force"]
    path = os.pathsep.join([str(Path(__file__).parents[3]), os.environ.get("PYTHONPATH", "")])
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", code, *words], cwd=tmp_path, stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": path},
        )
        for _ in range(2)
    ]  # fmt: skip
    assert {each.wait(timeout=120) for each in runs} <= {0, 1}
    assert json.loads((tmp_path / "d.json").read_text("utf-8"))["submittals"]
    assert not list(tmp_path.glob(".part-*"))


def test_bad_input(run, docket, tmp_path):
    assert run("docket", tmp_path / "nothing")[0] == 2
    assert run("docket", docket.parent, "--date", "tomorrow")[0] == 2
    assert run("docket", docket.parent, "--letter", "022")[0] == 2


def test_all_that_is_wrong_with_a_docket_is_told_at_once_with_its_lines(run, docket):
    """Faults of revisions, of `docket.toml` and of the options; an answer to a comment of a
    revision that can't be read is not at fault."""
    a, b = docket / "A.toml", docket / "B.toml"
    a.write_text(a.read_text(encoding="utf-8").replace("2 %", "2").replace("5 mm", "5"), "utf-8")
    b.write_text(b.read_text(encoding="utf-8").replace("revision =", "revison ="), "utf-8")
    notes = 'due = "2026-02-30"\n[[answer]]\nrevision = "A"\ncomment = 7\ntext = "x"\n'
    notes += '[[answer]]\nrevision = "A"\n'
    (docket / "docket.toml").write_text(notes, encoding="utf-8")
    code, out, _ = run("docket", docket.parent, "--json")
    assert code == 1
    (data,) = json.loads(out)["submittals"]
    told = " ".join(data["faults"])
    expected = (
        *('ovality "2"', 'thickness "4.5"', "unknown key revison", "missing [submittal] table"),
        *('due "2026-02-30"', "[[answer]] number 2 of docket.toml, line 6"),
    )
    for text in expected:
        assert text in told, text
    assert len(data["faults"]) == len(expected), told
    assert all(re.search(r"[AB]\.toml, line \d+|docket\.toml, line", t) for t in data["faults"])


@pytest.mark.parametrize("date", ["2026-13-45", "20261120", "\u0662026-11-20", "x"])
def test_a_date_that_there_is_not_is_told_beside_the_other_faults(run, docket, date):
    code, out, err = run("docket", docket.parent, "--date", date, "--letter", "x", "-o", "y.zip")
    assert (code, out) == (2, "")
    for text in ("--date", "--letter x: no such submittal", "unknown file type: y.zip"):
        assert text in err, text
    code, _, err = run("docket", "absent", "--date", date)
    assert code == 2
    assert len(err.splitlines()) == 3, err
