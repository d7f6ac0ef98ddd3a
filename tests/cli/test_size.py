"""The command `size`: JSON, the pocket-calculator rule, outputs, exit codes."""

import json
import random
from pathlib import Path

import pytest
from calculator import calculate
from projects import toml

ROOT = Path(__file__).parents[2]
# A submittal as it was read lacks the values that it does not state.
EXAMPLES = sorted(
    path for path in ROOT.glob("worked_examples/**/*.toml") if path.stem != "as_written"
)


def _sizing(run, text, *words):
    Path("p.toml").write_text(text, encoding="utf-8")
    code, out, err = run("size", "p.toml", "--json", *words)
    return code, json.loads(out), err


def _assert_pocket_calculator_rule(pipe):
    """Every substituted line gives its value to 0.05 %, and reads back from the symbols too."""
    lines = [step for step in pipe["steps"] if step["substituted"] is not None]
    assert len(lines) > 3
    for step in lines:
        result = calculate(step["substituted"])
        assert result == pytest.approx(step["value"], rel=5e-4, abs=1e-12), step


@pytest.mark.parametrize("seed", range(40))
def test_pocket_calculator_on_random_projects(run, seed):
    rng = random.Random(seed)
    pipe = {
        "condition": rng.choice(["fully deteriorated", "partially deteriorated"]),
        "host_diameter": f"{rng.uniform(3, 100):.4f} in",
        "ovality": f"{rng.uniform(0, 12):.3f} %",
        "cover": f"{rng.uniform(0.5, 40):.4f} ft",
        "groundwater_above_invert": f"{rng.uniform(-3, 50):.4f} ft",
    }
    resin = {"flexural_modulus": f"{rng.uniform(2e5, 9e5):.5f} psi"}
    units = rng.choice(["US", "SI"])
    _, data, _ = _sizing(run, toml(pipe=pipe, resin=resin), "--units", units)
    _assert_pocket_calculator_rule(data["pipes"][0])


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: str(path.relative_to(ROOT)))
def test_pocket_calculator_on_worked_examples(run, path):
    if "[[pipe]]" not in path.read_text(encoding="utf-8"):
        pytest.skip("a file of criteria, not a project")
    code, out, _ = run("size", path, "--json")
    assert code in (0, 1)
    for pipe in json.loads(out)["pipes"]:
        _assert_pocket_calculator_rule(pipe)


def test_result_keys(run):
    code, data, _ = _sizing(run, toml())
    assert code == 0
    assert (data["format"], data["units"]) == (1, "US")
    pipe = data["pipes"][0]
    assert pipe["status"] == "sized"
    assert pipe["governing"] == {"equation": "X1.3", "station": None}
    assert pipe["required_thickness"]["unit"] == "in"
    assert pipe["nominal_thickness"] == {"value": 27.0, "unit": "mm"}
    assert [check["equation"] for check in pipe["checks"]] == [
        "X1.1",
        "X1.2",
        "DR limit",
        "X1.3",
        "X1.4",
    ]
    assert [step["number"] for step in pipe["steps"]] == list(range(1, len(pipe["steps"]) + 1))
    inputs = [step for step in pipe["steps"] if step["equation"] is None]
    assert all(step["formula"] is None and step["source"] for step in inputs)


def test_symbols_feed_later_lines(run):
    """A symbolic line with the printed values of its symbols gives the line's value."""
    _, data, _ = _sizing(run, toml())
    values = {}
    for step in data["pipes"][0]["steps"]:
        if step["formula"] is not None:
            assert calculate(step["formula"], values) == pytest.approx(step["value"], rel=1e-9)
        values[step["symbol"]] = step["value"]


def test_a_failing_wall_exits_with_1(run):
    code, data, _ = _sizing(run, toml(pipe={"design_thickness": "10 mm"}))
    assert code == 1
    assert data["pipes"][0]["status"] == "fails"
    assert data["pipes"][0]["nominal_thickness"] == {"value": 10.0, "unit": "mm"}


def test_outside_the_method_exits_with_1(run):
    code, data, _ = _sizing(run, toml(pipe={"ovality": "11 %"}))
    assert code == 1
    assert data["pipes"][0]["status"] == "outside the method"


def test_a_caution_exits_with_0(run):
    code, data, _ = _sizing(run, toml(criteria={"safety_factor": 1.5}))
    assert code == 0
    assert any(note["severity"] == "caution" for note in data["pipes"][0]["notes"])


def test_pipe_by_name(run):
    two = toml() + toml(pipe={"name": "Branch"}).partition("[[pipe]]")[2].join(["\n[[pipe]]", ""])
    code, data, _ = _sizing(run, two, "--pipe", "Branch")
    assert code == 0
    assert [pipe["name"] for pipe in data["pipes"]] == ["Branch"]
    code, out, err = run("size", "p.toml", "--pipe", "Nowhere")
    assert (code, out) == (2, "")
    assert '"Trunk"' in err


def test_both_conditions(run):
    _, data, _ = _sizing(run, toml(), "--both-conditions")
    other = data["pipes"][0]["other_condition"]
    assert other["condition"] == "partially deteriorated"
    assert round(other["required_thickness"]["value"], 3) == 0.878
    _, out, _ = run("size", "p.toml", "--both-conditions")
    assert "If the host pipe were partially deteriorated" in out


@pytest.mark.parametrize("columns", [80, 120])
def test_text_fits_its_width(run, monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    Path("p.toml").write_text(toml())
    _, out, _ = run("size", "p.toml")
    assert max(len(line) for line in out.splitlines()) <= columns
    for part in (
        "t_X1.3",
        "[X1.3; clause X1.2.2; a]",
        "27 mm",
        "seal",
        "Values of pipe and site",
        "SHA-256",
    ):
        assert part in out
    assert "\x1b" not in out


def test_files_by_suffix(run):
    Path("p.toml").write_text(toml())
    code, out, err = run("size", "p.toml", "-o", "s.txt", "-o", "s.json")
    assert (code, out) == (0, "")
    assert "written: s.txt" in err
    assert "Result" in Path("s.txt").read_text()
    assert json.loads(Path("s.json").read_text())["format"] == 1
    before = Path("s.txt").read_bytes()
    code, _, err = run("size", "p.toml", "-o", "s.txt")
    assert code == 2
    assert "--force" in err
    assert run("size", "p.toml", "-o", "s.txt", "--force")[0] == 0
    assert Path("s.txt").read_bytes() == before


@pytest.mark.parametrize("force", [(), ("--force",)])
def test_a_name_given_twice_is_refused_before_anything_is_written(run, force):
    Path("p.toml").write_text(toml())
    code, _, err = run("size", "p.toml", "-o", "s.txt", "-o", "s.pdf", "-o", "./s.txt", *force)
    assert code == 2
    assert "s.txt is given twice" in err
    assert not Path("s.txt").exists()
    assert not Path("s.pdf").exists()


@pytest.mark.parametrize("target", ["s.doc", "nowhere/s.txt", "."])
def test_targets_that_can_not_be(run, target):
    Path("p.toml").write_text(toml())
    code, out, _ = run("size", "p.toml", "-o", target)
    assert (code, out) == (2, "")


def test_names_stay_text(run):
    for name in ("[bold]x[/bold]", "=1+1", "<script>", "a\u202eb", "line\nbreak", "x" * 5000):
        Path("p.toml").write_text(toml(pipe={"name": name}), encoding="utf-8")
        code, out, _ = run("size", "p.toml")
        assert code == 0
        assert "\u202e" not in out
        if len(name) < 20 and name.isprintable():
            assert name in out


def test_equations_and_new(run):
    code, out, _ = run("equations", "x1.1")
    assert code == 0
    assert "P_X1.1 = 2*K*E_L/(1 - nu^2)*(1/(DR - 1)^3)*(C/N)" in out
    assert "every equation of the package" not in out
    assert "X1.1, in every form of the package" in out
    assert "every equation of the package" in run("equations")[1]
    assert run("equations", "X9.9")[0] == 2
    assert run("new", "fresh.toml")[0] == 0
    assert run("new", "fresh.toml")[0] == 2


@pytest.mark.parametrize("units", ["US", "SI"])
def test_a_starter_leaves_the_condition_to_the_owner(run, tmp_path, units):
    assert run("new", "a.toml", "--units", units)[0] == 0
    code, out, err = run("size", "a.toml")
    assert (code, out) == (2, "")
    first, last = err.splitlines()
    assert first.startswith('missing required key condition in [[pipe]] "MH 1 to MH 2" (line ')
    assert "1 fault" in last
    # Either of the two lines makes it whole once its mark is gone.
    text = (tmp_path / "a.toml").read_text()
    for words in ("partially deteriorated", "fully deteriorated"):
        line = f'condition = "{words}"'
        assert text.count(f"# {line}") == 1
        soil = ("# soil_", "soil_"), ("# live_load", "live_load")
        decided = text.replace(f"# {line}", line)
        for before, after in soil if words[0] == "f" else ():
            decided = decided.replace(before, after)
        (tmp_path / "b.toml").write_text(decided)
        assert run("size", "b.toml")[0] == 0


def test_examples_of_a_starter_are_listed_as_assumed(run):
    assert run("new", "a.toml", "--condition", "fully deteriorated")[0] == 0
    code, out, _ = run("size", "a.toml", "--json")
    assert code == 0
    inputs = [s for s in json.loads(out)["pipes"][0]["steps"] if s["source"].startswith("assumed")]
    # Seven values of the site, and two of the resin.
    assert len(inputs) == 9


def _asked(run, monkeypatch, *answers):
    left = list(answers)
    monkeypatch.setattr("builtins.input", lambda _prompt: left.pop(0))
    found = run("new", "asked.toml", "--ask")
    assert not left
    return found


def test_new_asks(run, monkeypatch):
    assert _asked(run, monkeypatch, "Lane", "f", "8", "8 in", *[""] * 6)[0] == 0
    code, out, _ = run("size", "asked.toml", "--json")
    assert code == 0
    pipe = json.loads(out)["pipes"][0]
    assert (pipe["name"], pipe["condition"]) == ("Lane", "fully deteriorated")


def test_no_answer_is_no_decision_on_the_condition(run, monkeypatch):
    code, _, err = _asked(run, monkeypatch, "Lane", "", "", "good", "p", *[""] * 4)
    assert code == 0
    words = 'as determined by the owner: "partially deteriorated" or "fully deteriorated"'
    assert err.count(words) == 3


def test_new_asks_for_what_a_file_takes(run, monkeypatch, tmp_path):
    soil = ("", "silty sand, squeezed", "silty sand, 90 % compaction")
    load = ("HL93", "lots", "HL-93")
    code, _, err = _asked(run, monkeypatch, "", "f", "", "100 %", "3 %", "", "", *soil, *load)
    assert code == 0
    assert "out of range; give an ovality in percent, at least 0 and under 100 %" in err
    assert 'unknown compaction; use one of "dumped", "slight"' in err
    text = (tmp_path / "asked.toml").read_text()
    assert 'soil_reaction_modulus = "silty sand, 90 % compaction"' in text
    assert 'live_load = "HL-93"' in text
    assert run("size", "asked.toml")[0] == 0


@pytest.mark.parametrize("words", [(), ("size",), ("sise", "x"), ("size", "x", "--nope")])
def test_bad_arguments(run, words):
    with pytest.raises(SystemExit) as stop:
        run(*words)
    assert stop.value.code == 2
