"""The tables of a project as objects: who gave what, which pipe is meant, where a fault is."""

import pytest
from projects import PIPE, RESIN, toml

from linerdesign.methods.origin import DEFAULT, Giver
from linerdesign.project.faults import InputFaults, Place, fault
from linerdesign.project.models import FaultyPipe, Pipe, located_in, number_in
from linerdesign.project.reading import of_tables, read

TABLES = {"project": {"title": "x"}, "resin": [RESIN], "pipe": [PIPE]}
OWNER = """
[criteria]
safety_factor = 2.5
minimum_ovality = "3 %"
[criteria.defaults]
live_load = "1 psi"
cover = "9 ft"
[criteria.limits]
minimum_live_load = "0.5 psi"
maximum_modulus_retention = "50 %"
"""
OWN = """
[criteria]
safety_factor = 3.0
[criteria.defaults]
live_load = "2 psi"
[criteria.limits]
minimum_live_load = "0.4 psi"
maximum_modulus_retention = "45 %"
"""


@pytest.fixture
def project(tmp_path):
    (tmp_path / "owner.toml").write_text(OWNER)
    path = tmp_path / "p.toml"
    path.write_text('criteria = "owner.toml"\n' + toml().replace("[criteria]\n", ""))
    text = toml(project={"criteria": "owner.toml"}).replace("[criteria]\n", OWN)
    path.write_text(text)
    return read(path)


def given_by(origins):
    return {key: (each.giver, each.file) for key, each in origins.items()}


def test_criteria_know_who_gave_each_of_them(project):
    criteria, owner = project.criteria, (Giver.OWNER, "owner.toml")
    origins = given_by(criteria.origins)
    assert origins["safety_factor"] == (Giver.PROJECT, "")
    assert origins["minimum_ovality"] == owner
    assert criteria.origins["poisson_ratio"] is DEFAULT
    assert given_by(criteria.origins_of_defaults) == {
        "live_load": (Giver.PROJECT, ""), "cover": owner,
    }  # fmt: skip
    # Of two limits the stricter is in force: that of the owner here, of the project there.
    assert given_by(criteria.origins_of_limits) == {
        "minimum_live_load": owner, "maximum_modulus_retention": (Giver.PROJECT, ""),
    }  # fmt: skip
    assert {key: str(each) for key, each in criteria.limits_of_project.items()} == {
        "minimum_live_load": "0.4 psi", "maximum_modulus_retention": "45 %",
    }  # fmt: skip
    assert criteria.owner.safety_factor == 2.5
    alone = of_tables(TABLES | {"criteria": {"safety_factor": 3.0}}, "").criteria
    assert given_by(alone.origins)["safety_factor"] == (Giver.PROJECT, "")
    assert (alone.owner, alone.limits_of_project) == (None, {})


def test_a_submitted_pipe_has_its_own_values_and_no_thickness_to_check():
    stations = [{"at": "0 ft", "cover": "9 ft"}, {"at": "9 ft"}]
    raw = PIPE | {"design_thickness": "9 mm", "station": stations}
    (pipe,) = of_tables(TABLES | {"pipe": [raw]}, "").pipes
    theirs = pipe.submitted({"cover": "their cover"})
    assert (theirs.design_thickness, theirs.cover) == (None, "their cover")
    assert [(each.at, each.cover) for each in theirs.station] == [
        ("0 ft", "their cover"), ("9 ft", "their cover"),
    ]  # fmt: skip
    same = pipe.submitted({})
    assert (same.design_thickness, str(same.cover), str(same.station[0].cover)) == (
        None, "16 ft", "9 ft",
    )  # fmt: skip
    (plain,) = of_tables(TABLES, "").pipes
    assert plain.submitted({}).given.keys() == plain.given.keys()


def test_a_pipe_knows_its_number_and_its_shape():
    two = of_tables(TABLES | {"pipe": [PIPE, PIPE | {"name": "B"}]}, "")
    assert [pipe.number for pipe in two.pipes] == [1, 2]
    assert number_in(Place(path=("pipe", 4, "leg", 2))) == 5
    assert number_in(Place(path=("criteria", "limits", 3))) == number_in(Place()) == 0
    shapes = [({}, False), ({"shape": "egg"}, True), ({"outline": "a.csv"}, True),
              ({"outline": ""}, False)]  # fmt: skip
    for own, shaped in shapes:
        assert Pipe.model_construct(**own).is_shaped is shaped
    assert two.by_name["B"] is two.pipes[1]


def test_a_pipe_takes_the_resin_it_names_or_the_first():
    resins = [RESIN, RESIN | {"name": "B"}]
    for name, found in ((None, "Felt A"), ("B", "B"), ("Felt A", "Felt A")):
        own = PIPE | ({} if name is None else {"resin": name})
        made = of_tables(TABLES | {"resin": resins, "pipe": [own]}, "")
        assert made.resin_of(made.pipes[0]).name == found


def test_a_pipe_that_can_not_be_designed_keeps_what_is_known_of_it():
    bad = fault("no_bore", "x")
    stations = [{"at": "0 ft"}, {"at": "9 ft"}]
    pipe = of_tables(
        TABLES | {"pipe": [PIPE | {"station": stations, "resin": "Felt A"}]}, ""
    ).pipes[0]
    assert pipe.faulty([bad]) == FaultyPipe(1, "Trunk", (bad,), "Felt A", "fully deteriorated", 2)
    assert pipe.faulty(()).faulty([bad]).faults == (bad,)
    assert of_tables(TABLES, "").pipes[0].faulty(()).stations == 1
    assert FaultyPipe(1, "A", ()).stations == 1
    raw = {"name": "A", "condition": "wet", "resin": 3, "station": [{}, {}, 4]}
    assert FaultyPipe.of_table(7, raw, [bad]) == FaultyPipe(7, "A", (bad,), "", "wet", 2)
    assert FaultyPipe.of_table(7, {"name": "", "resin": "R"}, ()).name == "pipe 7"
    assert FaultyPipe.of_table(7, 3, ()) == FaultyPipe(7, "pipe 7", (), "", "", 1)


def _wrong(place, value=""):
    return fault("over_one_atmosphere", place, value)


def test_a_fault_that_names_a_pipe_is_found_in_its_file(project):
    """By its name, with the line of its key; one of the criteria in that of the owner."""
    lines = project.text.splitlines()
    named = _wrong(Place(table="[[pipe]]", name="Trunk").at("cover"), "16 ft")
    of_resin = _wrong(Place(table="[[resin]]", name="Felt A").at("flexural_modulus"))
    unknown = _wrong(Place(table="[[pipe]]", name="none").at("cover"))
    of_owner = fault(
        "over_one_atmosphere", Place("owner.toml", "[criteria]", path=("criteria", "safety_factor"))
    )
    found = project.located([named, of_resin, unknown, of_owner, fault("not_found", "x")]).faults
    at = {each.place.path: (each.place.line, each.place.file) for each in found
          if isinstance(each.place, Place)}  # fmt: skip
    assert at == {
        ("cover",): (0, ""),
        ("pipe", 0, "cover"): (lines.index('cover = "16 ft"') + 1, ""),
        ("resin", 0, "flexural_modulus"): (lines.index('flexural_modulus = "250000 psi"') + 1, ""),
        ("criteria", "safety_factor"): (3, "owner.toml"),
    }

    def step():
        with located_in(project):
            raise InputFaults([named])

    with pytest.raises(InputFaults) as refused:
        step()
    assert refused.value.faults[0].place.line == lines.index('cover = "16 ft"') + 1
