"""Values that, each possible, give no thickness: every command that designs says so of the pipe."""

import pytest
from projects import toml

# Soil next to nothing: X1.3 divides by it, and no number is large enough for the thickness.
NO_SOIL = {"soil_reaction_modulus": "5e-324 psi"}
STATED = '[pipe.stated]\nthickness = "12 mm"\n'
SAMPLE = '[[pipe.sample]]\nthickness = "12 mm"\nthickness_basis = "structural wall"\n'


@pytest.mark.parametrize(
    "command",
    [("size",), ("size", "--both-conditions"), ("review",), ("accept", "--rule", "no undersize")],
    ids=" ".join,
)
def test_no_thickness_is_a_fault_of_the_pipe_in_every_command(run, tmp_path, command):
    file = tmp_path / "project.toml"
    file.write_text(f"{toml(NO_SOIL)}\n{STATED}{SAMPLE}", encoding="utf-8")
    code, out, err = run(command[0], file, *command[1:])
    assert (code, out) == (2, "")
    assert "the values result in no finite thickness (" in err
    assert '([[pipe]] "Trunk"' in err


def test_no_thickness_in_the_other_condition_is_said_beside_the_design(run, tmp_path):
    """The soil plays no part in the pipe as it is; it would, fully deteriorated."""
    text = toml(NO_SOIL | {"condition": "partially deteriorated"})
    file = tmp_path / "project.toml"
    file.write_text(f"{text}\n{STATED}", encoding="utf-8")
    code, out, err = run("size", file, "--both-conditions")
    assert code == 0, err
    assert "no finite thickness" in " ".join(out.split())
    code, out, err = run("review", file, "--side-by-side")
    assert (code, out) == (2, "")
    assert '([[pipe]] "Trunk"' in err
