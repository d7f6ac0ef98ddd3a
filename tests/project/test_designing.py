"""Values that, each possible, give no thickness: every command that designs says so of the pipe."""

import pytest
from projects import PIPE, toml

# The smallest number there is, times the 0.433 psi of a foot of water, is no number above zero:
# nothing presses, and no wall is enough or too thin.
DRY = {"dry_case": False}
NO_HEAD = toml(
    criteria=DRY,
    pipe={"condition": "partially deteriorated", "groundwater_above_invert": "5e-324 ft"},
    drop=PIPE.keys() - {"name", "host_diameter", "ovality"},
)
STATED = '[pipe.stated]\nthickness = "12 mm"\n'
SAMPLE = '[[pipe.sample]]\nthickness = "12 mm"\nthickness_basis = "structural wall"\n'


@pytest.mark.parametrize(
    "command",
    [("size",), ("size", "--both-conditions"), ("review",), ("accept", "--rule", "no undersize")],
    ids=" ".join,
)
def test_no_thickness_is_a_fault_of_the_pipe_in_every_command(run, tmp_path, command):
    file = tmp_path / "project.toml"
    file.write_text(f"{NO_HEAD}\n{STATED}{SAMPLE}", encoding="utf-8")
    code, out, err = run(command[0], file, *command[1:])
    assert (code, out) == (2, "")
    assert "the values result in no finite thickness (" in err
    assert '([[pipe]] "Trunk")' in err


@pytest.mark.parametrize("command", [("size", "--both-conditions"), ("review", "--side-by-side")])
def test_no_thickness_in_the_other_condition_is_one_too(run, tmp_path, command):
    """Soil presses on the pipe as it is; partially deteriorated, nothing would."""
    text = toml(pipe={"groundwater_above_invert": "5e-324 ft"}, criteria=DRY)
    file = tmp_path / "project.toml"
    file.write_text(f"{text}\n{STATED}", encoding="utf-8")
    code, out, err = run(command[0], file, *command[1:])
    assert (code, out) == (2, "")
    assert "the values result in no finite thickness (" in err
    assert '([[pipe]] "Trunk")' in err
