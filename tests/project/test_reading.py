"""Faults between the tables of a project, and what is known of the files it was read from."""

import hashlib

import pytest
from projects import PIPE, RESIN, toml

from linerdesign.project.faults import InputFaults, Place
from linerdesign.project.reading import (
    MOST_PIPES,
    of_tables,
    parse,
    read,
    read_bytes,
    read_owner,
    same_names,
)

TABLES = {"project": {"title": "x"}, "resin": [RESIN], "pipe": [PIPE]}
B = PIPE | {"name": "B"}
NO_TENSILE = (
    'resin: "Felt A" has no tensile strength, which a pressure pipe needs (X1.7); add it or choose '
    "another resin"
)
OUTSIDE = "not beside the project or in a folder under it; move it there, or name it by an option"
ALONE = "owner's criteria need a project read from a file; pass them separately"


def faults(step, *given, **named):
    with pytest.raises(InputFaults) as found:
        step(*given, **named)
    return found.value.faults


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        # Names: at the second of each, which others are told apart from by number.
        ({"resin": [RESIN, RESIN | {"name": "B"}, RESIN]}, [
            ('duplicate resin name "Felt A" (resins 1, 3); rename one', ("resin", 2, "name"))]),
        ({"pipe": [PIPE, B, PIPE | {"ovality": "2"}, PIPE | {"name": 4}, 7]}, [
            ('ovality "2": no unit; add it after the number, such as "3 %" ([[pipe]] number 3, '
             '"Trunk")', ("pipe", 2, "ovality")),
            ('duplicate pipe name "Trunk" (pipes 1, 3); rename one', ("pipe", 2, "name")),
            ('name 4: must be text, in quotes: name = "4" ([[pipe]] number 4)',
             ("pipe", 3, "name")),
            ("7: must be a table of keys and values ([[pipe]] number 5)", ("pipe", 4))]),
        # Resins of pipes
        ({"pipe": [PIPE | {"resin": "Z"}, B | {"resin": 4}, PIPE | {"name": "C"}]}, [
            ('resin "Z": no such resin; use one of "Felt A" ([[pipe]] "Trunk")',
             ("pipe", 0, "resin")),
            ('resin 4: must be text, in quotes: resin = "4" ([[pipe]] "B")',
             ("pipe", 1, "resin"))]),
        ({"pipe": [PIPE | {"internal_pressure": "9 psi"}, B,
                   PIPE | {"name": "C", "station": [{"at": "0 ft", "internal_pressure": "9 psi"}]},
                   PIPE | {"name": "D", "internal_pressure": "9 psi", "resin": "E"}],
          "resin": [RESIN, RESIN | {"name": "E", "tensile_strength": "3 ksi"}]}, [
            (f'{NO_TENSILE} ([[pipe]] "Trunk")', ("pipe", 0, "resin")),
            (f'{NO_TENSILE} ([[pipe]] "C")', ("pipe", 2, "resin"))]),
        # Keys that state one thing twice, in the criteria, a resin and a submittal
        ({"criteria": {"defaults": {"cover": "9 ft", "invert_depth": "9 ft"}}}, [
            ("cover and invert_depth given together; keep only one of them (defaults of "
             "[criteria])", ("criteria", "defaults"))]),
        ({"resin": [RESIN | {"thickness_step": "1 mm", "thicknesses": ["5 mm"], "cost": {
            "tube_price": "3 USD/m",
            "tube": [{"diameter": "9 in", "thickness": "5 mm", "price": "4 USD/m"}]}}]}, [
            ('thickness_step and thicknesses given together; keep only one of them ([[resin]] '
             '"Felt A")', ("resin", 0)),
            ('tube_price and tube given together; keep only one of them (cost of [[resin]] '
             '"Felt A")', ("resin", 0, "cost"))]),
        ({"pipe": [PIPE | {"stated": {"inputs": {"invert_depth": "9 ft", "cover": "2 ft"}}}]}, [
            ("cover and invert_depth given together; keep only one of them (inputs of stated of "
             '[[pipe]] "Trunk")', ("pipe", 0, "stated", "inputs"))]),
        # Tables that are none, or not there
        ({"criteria": 3}, [("3: must be a table of keys and values ([criteria])", ("criteria",))]),
        ({"order": {"x": 1}, "acceptance": {"rule": "x"}, "submittal": {"number": [1]}}, [
            ("unknown key x; known: extra_length, resin_share, resin_excess, tube_diameter, "
             "felt_thickness, host_pressure, pull_friction ([order])", ("order", "x")),
            ('rule "x": unknown value; use "mean and least reading" or "no undersize" or '
             '"ISO 11296-4 minimum" or "stiffness ratio" ([acceptance])', ("acceptance", "rule")),
            ('number [1]: must be text, in quotes: number = "..." ([submittal])',
             ("submittal", "number"))]),
        ({"pip": [PIPE]}, [("unknown table pip; did you mean pipe?", ("pip",))]),
        ({"project": {}}, [("missing required key title in [project]", ("project", "title"))]),
        # Files that it names, where it is in no folder
        ({"pipes": 3}, [('pipes 3: must be text, in quotes: pipes = "street.xlsx"', ("pipes",))]),
        ({"pipes": "a.csv"}, [(f'pipes "a.csv": {OUTSIDE}', ("pipes",))]),
        ({"criteria": "o.toml"}, [(f'criteria "o.toml": {ALONE}', ("criteria",))]),
        ({"project": {"title": "x", "criteria": "o.toml"}}, [
            (f'criteria "o.toml": {ALONE} ([project])', ("project", "criteria"))]),
        ({"project": {"title": "x", "verification": "r.toml"}}, [
            (f'verification "r.toml": {OUTSIDE} ([project])', ("project", "verification"))]),
        ({"criteria": {"verification": "r.toml"}}, [
            (f'verification "r.toml": {OUTSIDE} ([criteria])', ("criteria", "verification"))]),
    ],
)  # fmt: skip
def test_faults_between_tables_come_together_each_at_its_place(tables, said):
    found = faults(of_tables, TABLES | tables, "")
    assert [(str(each), each.place.path) for each in found] == said


def test_a_project_without_its_tables():
    said = [str(each) for each in faults(of_tables, {"resin": [RESIN]}, "")]
    assert said == ["missing table [project]", "missing table [[pipe]]"]
    for pipes in (3, []):
        found = faults(of_tables, TABLES | {"pipe": pipes}, "")
        assert [str(each) for each in found] == ["missing table [[pipe]]"]
    alone = {key: TABLES[key] for key in ("project", "resin")}
    assert of_tables(alone, "", needs_pipes=False).pipes == ()
    # Pipes that are there are read all the same.
    assert len(of_tables(TABLES, "", needs_pipes=False).pipes) == 1
    assert len(faults(of_tables, alone | {"pipe": []}, "", needs_pipes=False)) == 1


def test_a_project_knows_the_files_it_was_read_from(tmp_path):
    """Each by its role, its name and the SHA-256 of its bytes."""
    owner, path = tmp_path / "owner.toml", tmp_path / "p.toml"
    owner.write_text("[criteria]\nsafety_factor = 2.5\n")
    path.write_text('criteria = "owner.toml"\n' + toml().replace("[criteria]\n", ""))
    project = read(path)
    assert [(each.role, each.name, each.sha256) for each in project.files] == [
        (role, each.name, hashlib.sha256(each.read_bytes()).hexdigest())
        for role, each in (("project", path), ("criteria", owner))
    ]
    assert (project.text, project.owner_text) == (path.read_text(), owner.read_text())
    assert (project.file_name, project.owner_file) == ("p.toml", "owner.toml")
    assert repr(project) == "Project(title='Harrowmere trunk', pipes=1, resins=1, units='US')"
    assert project.as_read == project.pipes
    assert project.faulty is None
    # What numbers depend on: no text of the title block, nor names of files.
    content = project.content
    assert content["project"].keys() == {"project", "resin", "pipe"}
    assert (content["project"]["project"], content["record"]) == ({"units": "US"}, None)
    assert content["criteria"] == {"safety_factor": 2.5}
    other = parse(toml(project={"title": "other", "client": "y"}).encode())
    assert other.content == parse(toml().encode()).content
    assert of_tables(TABLES, "abc").fingerprint == "abc"
    assert of_tables(TABLES, "").files == ()


def test_pipes_with_faults_are_set_apart_where_others_are_left():
    bad = B | {"ovality": "2"}
    project = of_tables(TABLES | {"pipe": [bad, PIPE]}, "", apart=True)
    assert [each.name for each in project.pipes] == ["Trunk"]
    (faulty,) = project.faulty
    assert (faulty.number, faulty.name, faulty.condition) == (1, "B", "fully deteriorated")
    assert [each.place.path for each in faulty.faults] == [("pipe", 0, "ovality")]
    assert [each.name for each in project.as_read] == ["B", "Trunk"]
    assert of_tables(TABLES, "", apart=True).faulty == ()
    # One between its keys is of that pipe as well.
    both = of_tables(TABLES | {"pipe": [PIPE, B | {"invert_depth": "20 ft"}]}, "", apart=True)
    assert [(each.number, each.name) for each in both.faulty] == [(2, "B")]
    # Not where none is left, or a fault is of the whole project.
    assert faults(of_tables, TABLES | {"pipe": [bad]}, "", apart=True)
    assert faults(of_tables, TABLES | {"pipe": [bad, PIPE], "capacity": 3}, "", apart=True)
    assert faults(of_tables, TABLES | {"pipe": [PIPE, PIPE]}, "", apart=True)


def test_what_criteria_may_give_is_not_missing_while_they_can_not_be_read(tmp_path):
    path = tmp_path / "p.toml"
    text = toml(drop=("cover", "soil_unit_weight", "ovality"), pipe={"length": "x"})
    path.write_text('criteria = "owner.toml"\n' + text.replace("[criteria]\n", ""))
    found = faults(read, path)
    assert [each.key for each in found] == ["criteria", "length"]
    (tmp_path / "owner.toml").write_text("[criteria]\nsafety_factor = 2.5\n")
    keys = {each.place.path[-1] for each in faults(read, path)}
    assert keys == {"length", "cover", "soil_unit_weight", "ovality"}
    # What no criteria give is missing, whatever they are.
    path.write_text(path.read_text().replace('condition = "fully deteriorated"\n', ""))
    (tmp_path / "owner.toml").unlink()
    assert "condition" in {each.key for each in faults(read, path)}


def test_a_file_of_criteria_holds_them_and_nothing_else(tmp_path):
    path = tmp_path / "owner.toml"
    path.write_text('[criteria]\nsafety_factor = 0\n[criteria.defaults]\ncover = "9"\n[x]\n')
    said = [str(each) for each in faults(read_owner, path)]
    assert said == [
        "safety_factor 0: out of range; give a number greater than zero ([criteria] of "
        "owner.toml, line 2)",
        'cover "9": no unit; add it after the number, such as "10 ft" (defaults of [criteria] of '
        "owner.toml, line 4)",
        "unknown table x; known: criteria (owner.toml, line 5)",
    ]
    path.write_text("[x]\n")
    assert [each.code for each in faults(read_owner, path)] == [
        "faults.missing_table", "faults.unknown",
    ]  # fmt: skip
    path.write_text('[criteria.second_method]\nmethod = "encased ring"\ngap = "9 %"\n')
    assert [each.code for each in faults(read_owner, path)] == ["faults.option_range"]
    path.write_text("[criteria]\nsafety_factor = 3\n")
    owner = read_owner(path)
    assert (owner.raw, owner.criteria.safety_factor, owner.known) == (
        {"safety_factor": 3},
        3.0,
        True,
    )
    assert (owner.file_name, owner.folder, owner.text) == (
        "owner.toml", tmp_path, path.read_text(),
    )  # fmt: skip


def test_a_file_is_read_up_to_its_largest_size(tmp_path):
    path = tmp_path / "a.toml"
    path.write_bytes(b"x" * 3_000_000)
    assert len(read_bytes(path, 3_000_000)) == 3_000_000
    (found,) = faults(read_bytes, path, 2_999_999)
    assert (found.code, dict(found.numbers)) == ("faults.too_large", {"most": 2})
    (found,) = faults(read_bytes, tmp_path / "none", 9)
    assert (found.code, found.place) == ("faults.not_found", str(tmp_path / "none"))
    (found,) = faults(read_bytes, tmp_path, 9)
    assert (found.code, dict(found.numbers)) == ("faults.unreadable", {"why": "is a directory"})
    (found,) = faults(read_bytes, tmp_path, 9, regular=True)
    assert found.code == "faults.not_a_file"


def test_a_project_has_so_many_pipes_at_most():
    (found,) = faults(of_tables, TABLES | {"pipe": [{}] * (MOST_PIPES + 1)}, "")
    assert (found.code, found.place.path) == ("faults.too_many", ("pipe",))
    assert dict(found.numbers) == {"count": 20_001, "most": 20_000}


def test_of_many_tables_of_a_name_ten_are_listed():
    one = {"name": "A"}
    (found,) = same_names("pipe", [one] * 10)
    assert dict(found.numbers)["numbers"] == "1, 2, 3, 4, 5, 6, 7, 8, 9, 10"
    (found,) = same_names("pipe", [{"name": "B"}, *[one] * 11, {"name": 3}, 4])
    assert dict(found.numbers) == {
        "what": "pipe", "name": '"A"', "numbers": "2, 3, 4, 5, 6, 7, 8, 9, 10, 11 ...",
    }  # fmt: skip
    assert found.place.path == ("pipe", 2, "name")
    rows = [Place("s.csv", f"line {number}") for number in (2, 3, 5)]
    (found,) = same_names("pipe", [{"name": "B"}, one, one], rows)
    assert (found.place.file, found.place.table) == ("s.csv", "line 5")
    assert found.place.path == ("pipe", 2, "name")
    assert list(same_names("pipe", [one, {"name": "B"}, {"name": 3}, {"name": 3}])) == []


def test_a_record_is_looked_for_beside_the_file_that_names_it(tmp_path):
    """One still to be written is none as yet, wherever the program was started."""
    path, owners = tmp_path / "p.toml", tmp_path / "owner"
    owners.mkdir()
    path.write_text(toml(project={"verification": "office.toml"}))
    assert [each.code for each in faults(read, path)] == ["faults.no_such_file"]
    assert read(path, new_record=True).record is None
    (tmp_path / "office.toml").write_text("row = []\n")
    assert read(path, new_record=True).record.file.name == "office.toml"
    owner = owners / "owner.toml"
    owner.write_text('[criteria]\nverification = "theirs.toml"\n')
    (owners / "theirs.toml").write_text("row = []\n")
    path.write_text(toml())
    assert read(path, criteria=owner).record.file.name == "theirs.toml"


def test_a_folder_is_no_file_of_criteria_or_pipes(tmp_path):
    (tmp_path / "a.csv").mkdir()
    (found,) = faults(read_owner, tmp_path)
    assert found.code == "faults.not_a_file"
    path = tmp_path / "p.toml"
    path.write_text('pipes = "a.csv"\n' + toml().partition("[[pipe]]")[0])
    (found,) = faults(read, path)
    assert (found.code, found.key) == ("faults.unusable_file", "pipes")
    assert dict(found.numbers)["why"].startswith("not a file")


def test_any_minimum_of_the_owner_is_an_ovality_of_pipes_without_one():
    """However small; none is no ovality."""
    pipe = {key: value for key, value in PIPE.items() if key != "ovality"}
    for least, count in (("0.5 %", 0), ("0 %", 1)):
        tables = TABLES | {"pipe": [pipe], "criteria": {"minimum_ovality": least}}
        assert count == 0 or len(faults(of_tables, tables, "")) == count
        assert count == 1 or of_tables(tables, "").pipes


def test_a_value_of_the_project_for_its_pipes_comes_before_the_owners(tmp_path):
    """The owner's depth of water needs a cover; the project's height above the invert does not."""
    (tmp_path / "owner.toml").write_text(
        '[criteria.defaults]\ngroundwater_below_surface = "3 ft"\n'
    )
    pipe = {"condition": "partially deteriorated"}
    drop = ("cover", "groundwater_above_invert", "soil_unit_weight", "soil_reaction_modulus",
            "live_load")  # fmt: skip
    path = tmp_path / "p.toml"
    own = {"defaults": {"groundwater_above_invert": "5 ft"}}
    path.write_text(toml(pipe, project={"criteria": "owner.toml"}, criteria=own, drop=drop))
    assert read(path).pipes
    path.write_text(toml(pipe, project={"criteria": "owner.toml"}, drop=drop))
    assert [each.code for each in faults(read, path)] == ["faults.missing_one_of"]
