"""The owner's criteria as a file: what it gives, who gave what, and what is flagged.

The floors are of the kind that agency specifications state (N 2, ovality 2 %, 120 lb/ft3, water
to 3 ft below ground, 4.5 mm); the owner is invented.
"""

import os

import pytest
from projects import sized, toml

from linerdesign.methods.equation import Severity
from linerdesign.project.assembly import designed_all, tasks
from linerdesign.project.compliance import requirements
from linerdesign.project.faults import InputFaults
from linerdesign.project.floors import watch
from linerdesign.project.reading import read

OWNER = """
[criteria]
safety_factor = 2.5
dry_case = true
minimum_ovality = "3 %"
minimum_thickness = "4.5 mm"
thickness_step = "0.5 mm"

[criteria.defaults]
groundwater_below_surface = "3 ft"
soil_unit_weight = "125 pcf"
soil_reaction_modulus = "silty sand, slight compaction"
live_load = "E-80 table"
modulus_retention = "45 %"

[criteria.limits]
minimum_groundwater_above_invert = "10 ft"
maximum_groundwater_below_surface = "6 ft"
minimum_soil_unit_weight = "120 pcf"
maximum_soil_reaction_modulus = "900 psi"
minimum_live_load = "0.5 psi"
maximum_modulus_retention = "50 %"
"""
LEFT_OUT = ("soil_unit_weight", "soil_reaction_modulus", "live_load", "groundwater_above_invert")


@pytest.fixture
def designed(tmp_path):
    def call(owner=OWNER, named="owner.toml", criteria=None, **tables):
        (tmp_path / "owner.toml").write_text(owner, encoding="utf-8")
        project = tables.pop("project", {}) | ({"criteria": named} if named else {})
        path = tmp_path / "project.toml"
        path.write_text(toml(project=project, **tables), encoding="utf-8")
        project = read(path, criteria=tmp_path / criteria if criteria else None)
        (task,) = tasks(project)
        return project, task, designed_all([task], watch(project.criteria))[0]

    return call


def given_by(task):
    return {each.key: each.origin.giver for each in task.stations[0].inputs}


def cautions(result):
    return [note.text for note in result.notes if note.severity is Severity.CAUTION]


def test_the_owners_values_stand_where_the_project_says_nothing(designed):
    project, _, result = designed(drop=LEFT_OUT)
    assert result.value("N") == 2.5
    assert result.value("q") == 3.0
    assert result.value("w") == 125.0
    assert result.value("E_s") == 400.0
    assert result.value("r_E") == 45.0
    assert result.value("d_water") == 3.0
    assert result.value("h_invert") == pytest.approx(16 + 4 - 3)
    assert result.value("W_s") == pytest.approx(3.47)  # the E-80 table at 16 ft, from memory
    assert result.nominal_thickness / 0.5 * 25.4 == pytest.approx(
        round(result.nominal_thickness / 0.5 * 25.4)
    )
    assert project.owner_file == "owner.toml"
    assert len(project.owner_fingerprint) == 64


def test_every_value_says_who_gave_it(designed):
    _, task, _ = designed(drop=LEFT_OUT)
    who = given_by(task)
    assert (who["D"], who["H"], who["E"]) == ("pipe", "pipe", "resin")
    for key in ("N", "q_floor", "t_floor", "s", "w", "E_s", "d_water", "r_E"):
        assert who[key] == "owner", key
    for key in ("K", "nu", "DR_max", "r_sigma"):
        assert who[key] == "program", key


def test_the_sheet_says_so_too(designed):
    _, _, result = designed(drop=LEFT_OUT)
    sources = {step.key: step.source for step in result.steps}
    assert sources["N"] == "owner's criteria, stated as 2.5"
    assert sources["E_s"].startswith("owner's criteria, Howard 1977, row ")
    assert sources["K"] == "default, stated as 7"


def test_the_projects_own_values_come_before_the_owners(designed):
    _, task, result = designed()
    assert result.value("w") == 120.0
    assert result.value("h_invert") == 12.0
    assert given_by(task)["w"] == "pipe"
    assert "d_water" not in given_by(task)


def test_values_beyond_the_owners_limits_are_flagged_and_used_all_the_same(designed):
    _, _, result = designed(
        pipe={"groundwater_above_invert": "4 ft", "soil_unit_weight": "110 pcf"},
        resin={"modulus_retention": "60 %"},
    )
    found = " ".join(cautions(result))
    assert "groundwater above invert 4 ft is under the owner's limit of 10 ft" in found
    assert "depth of water table below grade 16 ft is over the owner's limit of 6 ft" in found
    assert "unit weight of soil 110 pcf is under" in found
    assert "modulus of soil reaction 1000 psi is over" in found
    assert "live load at the crown 0.35 psi is under" in found
    assert "long-term modulus retention (creep) 60 % is over" in found
    assert "ovality 2 % is under the owner's minimum of 3 %" in found
    assert result.value("w") == 110.0


def test_values_within_the_limits_are_not_flagged(designed):
    _, _, result = designed(
        pipe={
            "groundwater_above_invert": "15 ft",
            "soil_reaction_modulus": "900 psi",
            "live_load": "0.5 psi",
            "ovality": "3 %",
        }
    )
    assert not [text for text in cautions(result) if "owner" in text]


@pytest.mark.parametrize(
    ("key", "value", "flagged"),
    [
        ("safety_factor", 2.0, True),
        ("safety_factor", 3.0, False),
        ("minimum_ovality", "2 %", True),
        ("minimum_thickness", "0.15 in", True),
        ("minimum_thickness", "6 mm", False),
        ("dry_case", False, True),
        ("dry_case", True, False),
        ("enhancement_factor", 9.0, False),  # the owner says nothing of it
    ],
)
def test_criteria_of_the_project_below_the_owners_floor_are_flagged(
    designed, tmp_path, key, value, flagged
):
    (tmp_path / "owner.toml").write_text(OWNER, encoding="utf-8")
    path = tmp_path / "p.toml"
    path.write_text(toml(criteria={key: value}, project={"criteria": "owner.toml"}))
    project = read(path)
    assert project.criteria.origins[key].giver == "project"
    result = designed_all(tasks(project), watch(project.criteria))[0]
    breaks = [
        text for text in cautions(result) if "of the project is less safe than the owner's" in text
    ]
    assert bool(breaks) is flagged


def test_the_file_can_be_named_at_the_top_or_on_the_command_line(designed, tmp_path):
    (tmp_path / "owner.toml").write_text(OWNER, encoding="utf-8")
    text = toml()
    at_top = tmp_path / "top.toml"
    at_top.write_text('criteria = "owner.toml"\n' + text.replace("[criteria]\n", ""))
    assert read(at_top).criteria.safety_factor == 2.5
    plain = tmp_path / "plain.toml"
    plain.write_text(text)
    assert read(plain).criteria.safety_factor == 2.0
    assert read(plain, criteria=tmp_path / "owner.toml").criteria.safety_factor == 2.5


def test_the_command_lines_file_comes_before_the_projects(designed, tmp_path):
    (tmp_path / "other.toml").write_text("[criteria]\nsafety_factor = 3.0\n")
    project, _, _ = designed(criteria="other.toml")
    assert project.criteria.safety_factor == 3.0
    assert project.owner_file == "other.toml"


def test_defaults_and_limits_also_stand_in_a_projects_own_criteria():
    result = sized(
        criteria={
            "defaults": {"live_load": "0.2 psi"},
            "limits": {"minimum_live_load": "1 psi"},
        },
        drop=("live_load",),
    )
    assert result.value("W_s") == 0.2
    (source,) = (step.source for step in result.steps if step.key == "W_s")
    assert source == "project criteria, stated as 0.2 psi"
    assert any("live load" in text for text in cautions(result))


def test_defaults_of_the_project_and_of_the_owner_each_name_their_giver(tmp_path):
    (tmp_path / "owner.toml").write_text(OWNER, encoding="utf-8")
    own = {"defaults": {"live_load": "0.2 psi"}}
    path = tmp_path / "project.toml"
    path.write_text(toml(project={"criteria": "owner.toml"}, criteria=own, drop=LEFT_OUT))
    (task,) = tasks(read(path))
    by = {each.key: each.origin for each in task.stations[0].inputs}
    assert (by["W_s"].giver, by["W_s"].file) == ("project", "")
    assert (by["w"].giver, by["w"].file) == ("owner", "owner.toml")


def test_default_datums_give_way_as_a_group(designed):
    """A pipe with its own readings takes neither the owner's ovality nor a second water datum."""
    owner = OWNER.replace("[criteria.defaults]", '[criteria.defaults]\novality = "4 %"')
    _, _, result = designed(
        owner,
        pipe={"diameters": ["47.5 in", "48.5 in"], "groundwater_above_crown": "8 ft"},
        drop=("host_diameter", "ovality", "groundwater_above_invert"),
    )
    assert result.value("q_pipe") == pytest.approx(100 * 0.5 / 48)
    assert result.value("h_invert") == pytest.approx(12.0)
    _, _, result = designed(owner, drop=("ovality",))
    assert result.value("q_pipe") == 4.0


@pytest.mark.parametrize(
    ("owner", "named", "place"),
    [
        ("[criteria]\nsafety_factor = 0\n", "owner.toml", "([criteria] of owner.toml, line 2)"),
        ("[criteria]\nsaftey_factor = 2.0\n", "owner.toml", "did you mean safety_factor?"),
        (
            "[criteria.limits]\nminimum_live_laod = '1 psi'\n",
            "owner.toml",
            "(limits of [criteria] of owner.toml, line 2)",
        ),
        (
            "[criteria.defaults]\nlive_load = 'HS'\n",
            "owner.toml",
            "(defaults of [criteria] of owner.toml, line 2)",
        ),
        ("[criteria]\n[[pipe]]\n", "owner.toml", "unknown table pipe"),
        ("not toml", "owner.toml", "not valid TOML: owner.toml"),
        ("", "owner.toml", "owner.toml"),
        (OWNER, "missing.toml", "missing.toml"),
        (OWNER, "../owner.toml", "beside the project"),
        (OWNER, "/dev/zero", "beside the project"),
        (OWNER, ".", "not a file: "),
    ],
)
def test_a_bad_owners_file_is_refused_with_its_place(designed, owner, named, place):
    with pytest.raises(InputFaults) as found:
        designed(owner, named)
    assert place in str(found.value)


def test_devices_and_pipes_are_no_criteria(tmp_path):
    path = tmp_path / "project.toml"
    path.write_text(toml())
    fifo = tmp_path / "fifo"
    os.mkfifo(fifo)
    for bad in ("/dev/zero", fifo, tmp_path):
        with pytest.raises(InputFaults, match="not a file"):
            read(path, criteria=type(path)(bad))


def test_a_name_that_no_file_can_have_is_refused(tmp_path):
    path = tmp_path / "project.toml"
    path.write_text('criteria = "a\\u0000b"\n' + toml().replace("[criteria]\n", ""))
    with pytest.raises(InputFaults, match="criteria"):
        read(path)


def test_a_file_beyond_reason_is_no_criteria(tmp_path):
    path, large = tmp_path / "project.toml", tmp_path / "large.toml"
    path.write_text(toml())
    large.write_text("#" * 1_000_001)
    with pytest.raises(InputFaults, match="more than 1 MB"):
        read(path, criteria=large)


def test_an_owners_file_says_nothing_of_ovality_above_ground(run, tmp_path):
    """Such a pipe is designed for internal pressure alone; its ovality plays no part."""
    (tmp_path / "owner.toml").write_text('[criteria]\nminimum_ovality = "2 %"\n', encoding="utf-8")
    pipe = {"above_ground": True, "internal_pressure": "60 psi"}
    buried = ("cover", "groundwater_above_invert", "soil_unit_weight", "soil_reaction_modulus")
    text = toml(pipe, {"tensile_strength": "3000 psi"}, drop=(*buried, "live_load"))
    (tmp_path / "p.toml").write_text('criteria = "owner.toml"\n' + text.replace("[criteria]\n", ""))
    code, _, err = run("size", "p.toml")
    assert code == 0, err


@pytest.mark.parametrize(
    ("limit", "holds", "source"), [("70 %", "50 %", "owner.toml"), ("40 %", "40 %", "")]
)
def test_of_two_limits_the_stricter_holds(tmp_path, limit, holds, source):
    (tmp_path / "owner.toml").write_text(OWNER, encoding="utf-8")
    path = tmp_path / "p.toml"
    own = {"limits": {"maximum_modulus_retention": limit}}
    resin, info = {"modulus_retention": "60 %"}, {"criteria": "owner.toml"}
    path.write_text(toml(criteria=own, resin=resin, project=info), encoding="utf-8")
    project = read(path)
    result = designed_all(tasks(project), watch(project.criteria))[0]
    said = " ".join(cautions(result))
    assert f"is over the owner's limit of {holds}" in said
    breach = "maximum modulus retention: 70 % of the project is less safe than the owner's 50 %"
    assert (breach in said) is (limit == "70 %")
    (row,) = [r for r in requirements(project, [result]) if r.name == "maximum modulus retention"]
    assert (row.required, row.met) == (holds, False)
    assert source in row.source
    assert row.source
