"""Values that, each possible, give no thickness: every command that designs says so of the pipe."""

import pytest
from projects import FELT, LATERAL, PIPE, RESIN, toml

from linerdesign.project.assembly import possible_tasks
from linerdesign.project.designing import designs_of
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import of_tables

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


def tables(*pipes, resins=(RESIN,), **more):
    return {"project": {"title": "x"}, "resin": list(resins), "pipe": list(pipes)} | more


def refused(*pipes, **more):
    """The faults as printed, and what is left of the project."""
    with pytest.raises(InputFaults) as found:
        of_tables(tables(*pipes, **more), "")
    return [str(each) for each in found.value.faults], found.value.left()


# The table of E-80 begins at 2 ft of cover; of the soils none is a pudding.
SHALLOW = {"name": "shallow", "cover": "1 ft", "live_load": "E-80 table"}
WRONG = {"name": "wrong", "ovality": "2"}


def test_values_outside_a_table_come_with_the_other_faults_each_at_its_pipe():
    """Of a pipe that lacks a value nothing is said but that."""
    said, _ = refused(PIPE | WRONG, PIPE | SHALLOW)
    assert len(said) == 2
    assert said[0].startswith('ovality "2": ')
    assert said[1].startswith("live_load: ")
    assert said[1].endswith('([[pipe]] "shallow")')
    with pytest.raises(InputFaults) as found:
        of_tables(tables(PIPE | WRONG, PIPE | SHALLOW), "")
    paths = {each.place.path for each in found.value.faults}
    assert paths == {("pipe", 0, "ovality"), ("pipe", 1, "live_load")}
    # Four figures of what the table is read by.
    said, _ = refused(PIPE | WRONG, PIPE | SHALLOW | {"cover": "1.23456 ft"})
    assert said[1].startswith("live_load: depth of cover to crown 1.235 ft is outside")
    # Of two pipes of one name it is the one at fault.
    with pytest.raises(InputFaults) as found:
        of_tables(tables(PIPE | {"name": "shallow"}, PIPE | SHALLOW), "")
    assert ("pipe", 1, "live_load") in {each.place.path for each in found.value.faults}
    lacking = {key: value for key, value in (PIPE | SHALLOW).items() if key != "soil_unit_weight"}
    said, _ = refused(lacking)
    assert len(said) == 1
    assert "soil_unit_weight" in said[0]
    # Without a condition neither.
    said, _ = refused({key: value for key, value in (PIPE | SHALLOW).items() if key != "condition"})
    assert len(said) == 1
    assert "condition" in said[0]


def test_an_uncertainty_of_no_value_is_told_though_the_resin_can_not_be_read():
    resin = {key: value for key, value in RESIN.items() if key != "flexural_modulus"}
    pipe = PIPE | {"uncertainty": {"hole_diameter": "1 in", "cover": "1 ft"}}
    said, _ = refused(pipe, resins=[resin])
    assert len(said) == 2
    assert any("flexural_modulus" in each for each in said)
    assert any("uncertainty.hole_diameter" in each for each in said)
    # The value that could not be read is there, as far as its uncertainty goes.
    said, _ = refused(PIPE | {"uncertainty": {"flexural_modulus": "5 %"}}, resins=[resin])
    assert len(said) == 1


FIRST, OTHER = RESIN | {"name": "first"}, RESIN | {"name": "other"}
A, B, C = (PIPE | {"name": name} for name in "ABC")


@pytest.mark.parametrize(
    ("pipes", "resins", "left", "faulty"),
    [
        # Pipes with faults of their own.
        ([A | {"ovality": "2"}, B, C], [FIRST], ["B", "C"], [(1, "A")]),
        ([A | {"covr": "9 ft"}, B], [FIRST], ["B"], [(1, "A")]),
        ([A, B | {"ovality": "2"}, C | {"cover": "x"}], [FIRST], ["A"], [(2, "B"), (3, "C")]),
        # Pipes of a resin with faults: of a key of its own, and of the resin as a whole.
        ([A, B | {"resin": "other"}], [FIRST | {"density": "1"}, OTHER], ["B"], [(1, "A")]),
        ([A, B | {"resin": "other"}], [FIRST, OTHER | {"density": "1"}], ["A"], [(2, "B")]),
        ([A, B | {"resin": "other"}],
         [FIRST | {"thickness_step": "1 mm", "thicknesses": ["5 mm"]}, OTHER], ["B"], [(1, "A")]),
        # A pipe that lacks a value.
        ([A | {"live_load": "x"}, B], [FIRST], ["B"], [(1, "A")]),
    ],
)  # fmt: skip
def test_what_is_left_of_a_project_are_the_pipes_that_can_be_calculated(
    pipes, resins, left, faulty
):
    _, found = refused(*pipes, resins=resins)
    assert [pipe.name for pipe in found.pipes] == left
    assert [(pipe.number, pipe.name) for pipe in found.faulty] == faulty
    designed, none = designs_of(found, possible_tasks(found, "US", left))
    assert ([each.name for each in designed], none) == (left, ())


def test_the_resin_that_is_left_has_any_value_for_one_that_could_not_be_read():
    """What it says of itself is kept."""
    resin = {key: value for key, value in RESIN.items() if key != "flexural_modulus"}
    _, found = refused(A, resins=[resin])
    (only,) = found.resins
    assert str(only.flexural_strength) == RESIN["flexural_strength"]
    assert (only.name, only.flexural_modulus.unit) == (RESIN["name"], "GPa")
    _, found = refused(A, resins=[FIRST | {"density": "1"}, OTHER])
    assert [each.name for each in found.resins] == ["first", "other"]


def sound(*pipes, apart, **more):
    return of_tables(tables(*pipes, **more), "", apart=apart)


def test_pipes_that_can_not_be_designed_are_set_apart_only_where_the_project_does_so():
    """In the order of the file, with the reason at the place of the pipe."""
    no_soil = PIPE | {"name": "soft"} | NO_SOIL
    project = sound(PIPE, no_soil, PIPE | SHALLOW, apart=True)
    designed, faulty = designs_of(project, possible_tasks(project, "US"))
    assert [each.name for each in designed] == ["Trunk"]
    assert [(each.number, each.name) for each in faulty] == [(2, "soft"), (3, "shallow")]
    paths = [each.place.path for pipe in faulty for each in pipe.faults]
    assert paths == [("pipe", 1), ("pipe", 2, "live_load")]
    project = sound(PIPE, no_soil, PIPE | SHALLOW, apart=False)
    with pytest.raises(InputFaults) as found:
        designs_of(project, possible_tasks(project, "US"))
    assert [each.place.path for each in found.value.faults] == paths
    # Where none can be designed, there is nothing to set apart.
    project = sound(no_soil, apart=True)
    with pytest.raises(InputFaults):
        designs_of(project, possible_tasks(project, "US"))


def test_a_design_has_beside_it_only_what_was_asked_for():
    project = sound(PIPE, apart=False)
    ((plain,), none) = designs_of(project, possible_tasks(project, "US"))
    assert (none, plain.other_condition, plain.second, plain.legs) == ((), None, None, None)
    ((both,), _) = designs_of(project, possible_tasks(project, "US"), both_conditions=True)
    assert both.other_condition.required_thickness < both.required_thickness
    second = {"criteria": {"second_method": {"method": "encased ring"}}}
    project = sound(PIPE, apart=False, **second)
    ((beside,), _) = designs_of(project, possible_tasks(project, "US"))
    assert beside.second is not None
    # The other condition of a pipe that lacks the soil says what is missing.
    partial = {"condition": "partially deteriorated"}
    lacking = {key: value for key, value in PIPE.items() if key != "soil_unit_weight"} | partial
    project = sound(lacking, PIPE | {"name": "next"}, apart=False)
    (first, last), _ = designs_of(project, possible_tasks(project, "US"), both_conditions=True)
    assert first.other_condition is None
    assert [each for each in first.other_missing if "soil" in each]
    assert last.other_condition is not None
    # Soil next to nothing has no design in the other condition.
    project = sound(PIPE | NO_SOIL | partial, apart=False)
    ((only,), _) = designs_of(project, possible_tasks(project, "US"), both_conditions=True)
    assert only.other_condition is None
    assert only.other_missing[0].startswith("the values result in no finite thickness")
    project = sound(PIPE | SHALLOW | partial, apart=False)
    ((only,), _) = designs_of(project, possible_tasks(project, "US"), both_conditions=True)
    assert only.other_missing[0].startswith("live_load: ")


def test_a_tube_that_leaves_no_bore_in_a_leg_sets_the_pipe_apart():
    """A wall of 2.1 in fills the tube for a leg of 4 in."""
    legs = {"name": "filled", "host_diameter": "8 in", "design_thickness": "2.1 in",
            "leg": [{"at": "0 ft"}, {"at": "9 ft", "host_diameter": "4 in"}]}  # fmt: skip
    project = sound(LATERAL | legs, LATERAL, resins=[FELT], apart=True)
    designed, faulty = designs_of(project, possible_tasks(project, "US"))
    assert [each.name for each in designed] == ["L1"]
    ((pipe, each),) = ((pipe, each) for pipe in faulty for each in pipe.faults)
    assert (pipe.number, pipe.name, each.code) == (1, "filled", "measured.no_bore")
    assert each.place.path == ("pipe", 0, "tube_thickness")
