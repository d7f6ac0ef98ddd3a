"""The project that `new` writes: what it shows as defaults can be taken as it is written."""

import re
import tomllib

import pytest

from linerdesign.project.models import Pipe
from linerdesign.project.reading import parse
from linerdesign.project.starter import CONDITIONS, QUESTIONS, RESIN_NAME, example, starter_text


def test_every_default_can_be_uncommented(run, tmp_path):
    assert run("new", "a.toml")[0] == 0
    text = (tmp_path / "a.toml").read_text(encoding="utf-8")
    head, _, rest = text.partition("[[resin]]")
    head = re.sub(r"(?m)^# (?=\w+ = )", "", head)
    rest = rest.replace('# condition = "partially', 'condition = "partially')
    criteria = tomllib.loads(head)["criteria"]
    assert criteria["dry_case"] is True
    project = parse((head + "[[resin]]" + rest).encode())
    assert project.criteria.safety_factor == criteria["safety_factor"] == 2.0


def lines(units="US", review=False, **answers):
    return starter_text(units, answers, review).splitlines()


SOIL = ("soil_unit_weight", "soil_reaction_modulus", "live_load")


@pytest.mark.parametrize("units", ["US", "SI"])
@pytest.mark.parametrize("condition", CONDITIONS)
def test_a_starter_with_a_condition_is_a_project_of_examples(units, condition):
    """Every value without an answer is assumed; soil is asked of a fully deteriorated pipe."""
    text = "\n".join(lines(units, condition=condition, ovality="3 %", name='A "1"'))
    project = parse(text.encode())
    (pipe,) = project.pipes
    assert (project.info.units, pipe.condition, pipe.name) == (units, condition, 'A "1"')
    assert str(pipe.ovality) == "3 %"
    assert str(pipe.host_diameter) == {"US": "8 in", "SI": "200 mm"}[units]
    assert (project.resins[0].name, project.resins[0].modulus_retention.number) == (RESIN_NAME, 50)
    fully = condition == "fully deteriorated"
    assert [getattr(pipe, key) is not None for key in SOIL] == [fully] * 3
    assumed = {"flexural_modulus", "flexural_strength", "host_diameter", "cover",
               "groundwater_above_invert", *(SOIL if fully else ())}  # fmt: skip
    assert pipe.origin == dict.fromkeys(assumed, "assumed")
    commented = [line for line in lines(units, condition=condition) if line.startswith("# soil")]
    assert len(commented) == (0 if fully else 2)
    assert all(line.endswith("(fully deteriorated)") for line in commented)


def test_without_an_answer_only_the_owner_decides_the_condition():
    found = lines()
    at = found.index(
        '# as determined by the owner: "partially deteriorated" or "fully deteriorated"; '
        "uncomment one:"
    )
    assert found[at + 1 : at + 3] == [f'# condition = "{each}"' for each in CONDITIONS]
    assert not [line for line in found if line.startswith("condition")]
    assert 'host_diameter = "8 in"  # mean inside diameter of the host pipe' in found
    assert '# modulus_retention = "50 %"  # long-term modulus retention (creep)' in found
    assert 'flexural_modulus = "250000 psi"  # initial flexural modulus E' in found
    assert "[pipe.stated]" not in "\n".join(found)
    assert found[-1].startswith("origin = { flexural_modulus")


@pytest.mark.parametrize(
    ("answer", "written"),
    [
        ('8" pipe', '"8\\" pipe"'),
        ("a\\b", '"a\\\\b"'),
        ("a\nb\x1b", '"a\\U0000000ab\\U0000001b"'),
        ("M\u00fchlgasse", '"M\u00fchlgasse"'),
    ],
)
def test_an_answer_is_a_text_of_toml(answer, written):
    (line,) = (each for each in lines(name=answer) if each.startswith("name = ") and "pipe" in each)
    assert line == f"name = {written}  # name of the pipe"
    assert tomllib.loads(line)["name"] == answer


def test_an_example_is_in_the_units_of_the_project():
    keys = {key.name: key for key in QUESTIONS}
    assert [example(keys["cover"], units) for units in ("US", "SI")] == ["8 ft", "2.4 m"]
    assert example(keys["condition"], "US") == ""
    # A key without an example has none.
    assert example(Pipe.rows["vacuum"], "SI") == ""


def test_a_review_has_every_line_that_a_submittal_may_state():
    """Symbols that are no bare key of TOML in quotes, each with the unit of the sheet."""
    for units, inch, psi in (("US", "in", "psi"), ("SI", "mm", "MPa")):
        found = lines(units, review=True)
        assert '# thickness = ""  # design thickness submitted' in found
        assert "# safety_factor = 2.0  # safety factor that its wall is said to provide" in found
        assert f'# D = " {inch}"  # mean inside diameter of the host pipe' in found
        assert '# C = ""  # ovality reduction factor' in found
        assert f'# "E\'_s" = " {psi}"  # modulus of soil reaction' in found
        assert f'# "t X1.3" = " {inch}"  # required thickness, X1.3' in found
        assert '# C = { value = "0.836", at = "page 2, line 5" }' in found
        (stated,) = (n for n, line in enumerate(found) if line.startswith("[pipe.stated.inputs]"))
        inputs = found.index("[submittal]")
        assert found[stated + 1 : inputs] == [""]
        heads = [line for line in found if re.match(r"\[+[a-z.]+\]+", line)]
        names = [re.match(r"\[+([a-z.]+)", line)[1] for line in heads]
        assert names == ["project", "criteria", "resin", "pipe", "pipe.stated",
                         "pipe.stated.steps", "pipe.stated.inputs", "submittal"]  # fmt: skip
        assert not [line for line in found if line.startswith(("# steps", "# inputs", "# station"))]
        # The tables for the submittal are empty, so that the file reads as it is.
        text = "\n".join(lines(units, review=True, condition=CONDITIONS[0]))
        made = parse(text.encode()).pipes[0].stated
        assert (made.given.keys(), made.steps) == ({"steps", "inputs"}, {})
        assert made.inputs.given == {}
