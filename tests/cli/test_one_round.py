"""All faults come in one round: those of the project in every place, of its files, of the options.

What is wrong is so by the rules of the project file as its guide states them (docs/user_guide.md);
each fault alone is one, so none may wait for another.
"""

import os
import re
import tomllib
from pathlib import Path

import openpyxl
import pytest
from projects import toml

import linerdesign
from linerdesign.project.faults import InputFaults

TOML = """
[project]
title = "Quay Street"
titel = "x"
criteria = "owner.toml"

[criteria]
edition = "F1216-99"
second_method = {{ method = "encased ring", gap = "90 %" }}

[acceptance]
samples = "samples.csv"
bending = "absent.csv"

[order]
extra_length = "3 ft"

[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
price = "3 USD"

[[resin]]
name = "glass"
flexural_modulus = "1000 ksi"
flexural_strength = "15 ksi"

[[pipe]]
name = "a"
resin = "glass"
condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "2 %"
groundwater_above_invert = "6 ft"
length = "30 ft"
covr = "8 ft"
uncertainty = {{ soil_unit_weight = "1 pcf" }}
tube_thickness = "4 in"
order = {{ felt_thickness = "5 in" }}
leg = [{{ at = "0 ft", bend = "45 deg", bend_radius = "4 in" }}]
sample = [
  {{ specimen = "s1" }},
  {{ specimen = "s2", thickness = "6 mm", thickness_basis = "whole wall" }},
  {{ specimen = "s3", thickness = "6 in" }},
]

[pipe.stated]
thickness = "6 mm"
inputs = {{ vacuum = "20 psi" }}
station = [{{ at = "7 ft", steps = {{ C = "0.8" }} }}]

[[pipe]]
name = "b"
resin = "glass"
condition = "fully deteriorated"
host_diameter = "12 in"
ovality = "2 %"
groundwater_above_invert = "6 ft"
cover = "40 ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "SM, 90 %"
live_load = "none"

[[pipe]]
name = "c"
resin = "glass"
condition = "partially deteriorated"
host_diameter = "12 in"
ovality = "2 %"
groundwater_above_invert = "6 ft"
{stated}
"""
OWNER = '[criteria]\nminimum_thickness = "3"\n'
SAMPLES = "pipe,specimen,thickness [mm]\nc,s3,six\nc,s4,\nz,s5,6\n"
INVENTORY = "name,condition,host_diameter [in],ovalty [%]\nr,partially deteriorated,12,2\n"
CREEP = "time [h],modulus [psi]\n1,x\n"
# Of every command, by the texts of their keys and values.
PROJECT = (
    *("titel", 'edition "F1216-99"', "gap 90 %", 'price "3 USD"', 'minimum_thickness "3"'),
    *("covr", "uncertainty.soil_unit_weight", "tube_thickness 4 in", "felt_thickness 5 in"),
    *("bend_radius 4 in", "nothing measured", "thickness 6 mm", "thickness 6 in"),
    *("vacuum 20 psi", 'at "7 ft"', "cover to crown 40 ft"),
)
COMMANDS = {
    "size": (
        ("size", "a.toml", "--confidence", "5 %", "--pipe", "x"),
        ("--confidence", 'pipe "x"'),
    ),
    "review": (("review", "a.toml", "--tolerance", "30 %"), ("--tolerance", "nothing stated")),
    "compare": (("compare", "a.toml", "--reference", "x", "--excess", "y"), ("--ref", "--excess")),
    "plan": (("plan", "a.toml", "--pipe", "x", "--cover", "y"), ("--pipe", "--cover")),
    "accept": (
        ("accept", "a.toml"),
        (
            *('bending "absent.csv"', "missing key rule"),
            *(f"samples.csv, line {line}" for line in (2, 3, 4)),
        ),
    ),
    "buckling": (
        ("buckling", "a.toml", "--gap", "90 %", "--creep-test", "creep.csv"),
        ("--gap", "creep.csv, line 2"),
    ),
    "batch": (
        ("batch", "in.csv", "--project", "a.toml", "--by", "x", "-o", "out.csv"),
        ("ovalty",),
    ),
}


@pytest.fixture
def folder(tmp_path):
    """A project with a fault in every place, and its files, each with one."""
    (tmp_path / "a.toml").write_text(TOML.format(stated="[pipe.stated]"), encoding="utf-8")
    (tmp_path / "owner.toml").write_text(OWNER, encoding="utf-8")
    (tmp_path / "samples.csv").write_text(SAMPLES, encoding="utf-8")
    (tmp_path / "in.csv").write_text(INVENTORY, encoding="utf-8")
    (tmp_path / "creep.csv").write_text(CREEP, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("command", COMMANDS)
def test_every_fault_comes_at_once(run, folder, command):
    words, own = COMMANDS[command]
    code, out, err = run(*words, "-o", "absent/x.pdf")
    assert code == 2
    assert out == ""
    for text in (*PROJECT, *own, "absent; create it"):
        assert text in err, text
    lines = err.splitlines()[:-1]
    assert len(lines) == len(set(lines))
    placed = [line for line in lines if any(text in line for text in PROJECT)]
    assert all(re.search(r"line \d+\)", line) for line in placed), placed


def test_the_lines_are_those_of_the_file(run, folder):
    text = (folder / "a.toml").read_text(encoding="utf-8").splitlines()
    _, _, err = run("review", "a.toml")
    found = dict(re.findall(r"^(\w+):? .*line (\d+)\)", err, re.MULTILINE))
    for key in ("edition", "tube_thickness", "price", "soil_reaction_modulus"):
        assert text[int(found[key]) - 1].startswith(key), key


def test_what_is_left_accuses_nothing(run, folder):
    """With one fault alone, nothing else is said: the rest of the project is right."""
    right = TOML.format(stated="").replace('covr = "8 ft"\n', "")
    for key in ("titel", "edition", "second_method", "uncertainty", "tube_thickness", "order ="):
        right = re.sub(rf"(?m)^{key}.*\n", "", right)
    right = right.replace('"4 in" }}]', '"5 in" }}]').replace(
        'bend_radius = "4 in"', 'bend_radius = "5 in"'
    )
    right = re.sub(r"(?ms)^sample = \[.*?^\]\n", "", right)
    right = re.sub(r"(?m)^(inputs|station) = .*\n", "", right)
    right = right.replace('cover = "40 ft"', 'cover = "8 ft"')
    right = re.sub(r"(?ms)^\[acceptance\].*?\n\n", "", right).replace(
        'criteria = "owner.toml"\n', ""
    )
    (folder / "a.toml").write_text(right, encoding="utf-8")
    for command in ("size", "review", "compare", "plan", "buckling"):
        code, _, err = run(command, "a.toml")
        assert code == 2
        assert len(err.splitlines()) == 2, err
        assert 'price "3 USD"' in err


def test_readings_behind_a_row_that_can_t_be_read_accuse_no_specimen(run, tmp_path):
    """The specimen of a bending test may be that of the row."""
    (tmp_path / "a.toml").write_text(
        toml() + '\n[acceptance]\nrule = "no undersize"\n', encoding="utf-8"
    )
    (tmp_path / "s.csv").write_text("specimen,thickness [mm]\ns1,six\ns2,6\n", encoding="utf-8")
    (tmp_path / "b.csv").write_text(
        "specimen,load [lbf],deflection [in],span [in],width [in],depth [in]\n"
        + "".join(f"s1,{10 * n},{0.02 * n},4,0.5,0.25\n" for n in range(20)),
        encoding="utf-8",
    )
    code, _, err = run("accept", "a.toml", "--samples", "s.csv", "--bending", "b.csv")
    assert (code, len(err.splitlines())) == (2, 2), err
    assert "s.csv, line 2" in err


def test_the_pipe_or_resin_to_write_into_is_looked_for_at_once(run, folder):
    code, _, err = run("creep", "creep.csv", "--write", "a.toml", "--resin", "x", "--t0", "9")
    assert code == 2
    assert "creep.csv, line 2" in err
    assert 'resin "x"' in err
    (folder / "shape.csv").write_text("diameter [mm]\nx\n", encoding="utf-8")
    code, _, err = run("profile", "shape.csv", "--write", "a.toml", "--pipe", "x")
    assert code == 2
    assert "shape.csv, line 2" in err
    assert 'pipe "x"' in err


def test_a_project_without_an_order_has_no_works_in_the_same_round(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(), encoding="utf-8")
    code, _, err = run("size", "a.toml", "--works", "--confidence", "5 %")
    assert code == 2
    assert "--confidence" in err
    assert "no pipe has an order" in err


OWNERS = """
[criteria]
minimum_thickness = "3"

[criteria.defaults]
ovality = "2 %"
groundwater_above_invert = "6 ft"
soil_unit_weight = "120 pcf"
"""
# All else is the owner's to give.
BY_OWNER = """
[project]
title = "Quay Street"
{named}

[[resin]]
name = "felt"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"

[[pipe]]
name = "a"
condition = "partially deteriorated"
host_diameter = "8"
uncertainty = {{ soil_unit_weight = "1 pcf" }}
"""


@pytest.mark.parametrize("named", [True, False])
@pytest.mark.parametrize(
    ("owners", "expected"),
    [
        (OWNERS, ['minimum_thickness "3"', "owner.toml, line 3"]),
        ("[criteria\n", ["not valid TOML: owner.toml"]),
        ("[project]\n", ["missing table [criteria] (owner.toml)", "unknown table project"]),
        ("criteria = 3\n", ["must be a table", "owner.toml, line 1"]),
        ("", ["empty file: owner.toml; add [criteria]"]),
        (None, ["owner.toml", "not found"]),
    ],
)
def test_faults_of_the_owners_file_hide_none_of_the_project_and_make_none(
    run, tmp_path, owners, expected, named
):
    """What the owner's file gives is not missing because another of its values is wrong."""
    if owners is not None:
        (tmp_path / "owner.toml").write_text(owners, encoding="utf-8")
    text = BY_OWNER.format(named='criteria = "owner.toml"' if named else "")
    (tmp_path / "a.toml").write_text(text, encoding="utf-8")
    code, _, err = run("size", "a.toml", *(() if named else ("--criteria", "owner.toml")))
    assert code == 2
    for part in (*expected, 'host_diameter "8"'):
        assert part in err, part
    of_owner = 2 if owners == "[project]\n" else 1
    assert len(err.splitlines()) == of_owner + 2, err


def test_a_program_has_the_faults_of_tables_and_of_the_owners_file_at_once(tmp_path):
    (tmp_path / "owner.toml").write_text(OWNERS, encoding="utf-8")
    tables = tomllib.loads(BY_OWNER.format(named=""))
    with pytest.raises(InputFaults) as found:
        linerdesign.read(tables, tmp_path / "owner.toml")
    assert [each.key for each in found.value.faults] == ["minimum_thickness", "host_diameter"]


STREET = (
    "name,condition,host_diameter [in],ovalty [%],groundwater_above_invert [kg],length [ft]\n"
    "a,partially deteriorated,eight,2,6,\n"
    "b,partly,8,2,6,1,surplus\n"
    "a,partially deteriorated,8,2,6,-1\n"
    "d,partially deteriorated,8,2,,0 ft\n"
)
OF_STREET = (
    *("[kg]: not a unit of height", 'rename it to "ovality [%]"'),
    *('host_diameter "eight"', 'condition "partly"', "more cells", 'duplicate pipe name "a"'),
    *('length "-1 ft"', 'length "0 ft"', "groundwater_above_invert, groundwater_above_crown"),
)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_header_with_faults_hides_no_fault_of_the_rows_and_makes_none(run, tmp_path, form):
    """Row 5 has no groundwater at all; of the ovality nobody knows."""
    rows = [line.split(",") for line in STREET.splitlines()]
    if form == "csv":
        (tmp_path / "s.csv").write_text(STREET, encoding="utf-8")
    else:
        book = openpyxl.Workbook()
        for row in rows:
            book.active.append(row)
        book.save(tmp_path / "s.xlsx")
    head = toml().partition("[[pipe]]")[0].replace("250000 psi", "250000")
    (tmp_path / "a.toml").write_text(f'pipes = "s.{form}"\n{head}', encoding="utf-8")
    code, _, err = run("size", "a.toml")
    assert code == 2
    for text in (*OF_STREET, 'flexural_modulus "250000"'):
        assert text in err, text
    lines = err.splitlines()[:-1]
    assert len(lines) == len(OF_STREET) + 1, err
    word = "line" if form == "csv" else "row"
    for text, number in (("eight", 2), ("partly", 3), ("duplicate", 4), ("0 ft", 5)):
        assert any(text in line and f"{word} {number}" in line for line in lines), text


def test_an_inventory_tells_all_its_faults_whatever_else_is_at_fault(run, tmp_path):
    """Of columns in the inventory, of those named by options, and of the earlier result."""
    header = "name,condition,host_diameter [kg],ovalty [%],cover [ft],cover [ft]\n"
    (tmp_path / "in.csv").write_text(header, encoding="utf-8")
    (tmp_path / "a.toml").write_text(toml(), encoding="utf-8")
    options = ("--by", "x", "--map-by", "y", "--against", "a.toml", "-o", "out.csv")
    own = (
        "[kg]",
        "ovalty",
        "column name used twice",
        '--by "x"',
        '--map-by "y"',
        "file type: a.toml",
    )
    for project, also in (("a.toml", ()), ("absent.toml", ("not found: absent.toml",))):
        code, _, err = run("batch", "in.csv", "--project", project, *options)
        assert code == 2
        for text in (*own, *also):
            assert text in err, text
        assert len(err.splitlines()) == len(own) + len(also) + 1, err
    code, _, err = run("batch", "no.csv", "--project", "a.toml", "--layer", "x", *options)
    assert code == 2
    for text in ("--layer is for", "not found: no.csv", "file type: a.toml"):
        assert text in err, err


@pytest.mark.parametrize(
    ("words", "own"),
    [
        (
            ("size", "a.toml", "--uncertainty", "x", "--seed", "y", "--confidence", "z"),
            ('--uncertainty "x": unknown value; use "stated" or "usual"', "--seed", "--conf"),
        ),
        (("review", "a.toml", "--seed", "x", "--tolerance", "y"), ("--seed", "--tol", "no stated")),
        (("compare", "a.toml", "--by", "x", "--reference", "y"), ("--by", "--reference")),
        (("plan", "a.toml", "--condition", "x", "--cover", "y"), ("--condition", "--cover")),
        (("accept", "a.toml", "--rule", "x", "--samples", "y"), ("--rule", "not found: y")),
        (
            ("buckling", "a.toml", "--creep", "x", "--exponent", "٠.٢", "--gap", "z"),
            ("--creep", "--exponent", "--gap"),
        ),
        (
            ("profile", "no.csv", "--smoothing", "x", "--percentile", "y"),
            ("--smoothing", "--percentile", "no.csv"),
        ),
        (("creep", "no.csv", "--t0", "x"), ("--t0", "no.csv")),
    ],
)
def test_a_word_that_an_option_does_not_take_is_told_among_the_others(run, tmp_path, words, own):
    (tmp_path / "a.toml").write_text(toml(drop=("ovality",)), encoding="utf-8")
    code, _, err = run(*words, "--units", "Q", "--paper", "P", "-o", "x.zip")
    assert code == 2
    missing = ("give one or two of ovality",) if "a.toml" in words else ()
    expected = (*own, *missing, '--units "Q"', '--paper "P"', "unknown file type: x.zip")
    for text in expected:
        assert text in err, text
    assert len(err.splitlines()) == len(expected) + 1, err


def test_commands_that_write_one_file_tell_all_before_they_ask_or_open_anything(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(drop=("ovality",)), encoding="utf-8")
    (tmp_path / "b.toml").write_text("pipes = [", encoding="utf-8")
    for words, expected in (
        (
            ("new", "absent/x.toml", "--ask", "--condition", "x", "--units", "y"),
            ("--condition", "--units", "folder not found: absent"),
        ),
        (("new", ".", "--units", "y"), ("--units", "unknown file type: .")),
        (
            ("verification", "-o", "absent/x.toml", "--for", "a.toml"),
            ("folder not found: absent", "give one or two of ovality"),
        ),
        (
            ("desk", "b.toml", "--port", "99999", "--units", "Q", "--no-browser"),
            ("--units", "not valid TOML: b.toml", 'port "99999"'),
        ),
    ):
        code, out, err = run(*words)
        assert (code, out) == (2, "")
        for text in expected:
            assert text in err, text
        assert len(err.splitlines()) == len(expected) + 1, err


def test_the_folder_of_pictures_is_looked_for_at_once(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(drop=("ovality",)), encoding="utf-8")
    code, _, err = run("compare", "a.toml", "--pictures", "absent", "--excess", "x")
    assert code == 2
    for text in ("folder not found: absent", "--excess", "give one or two of ovality"):
        assert text in err, text


def test_a_picture_that_exists_is_told_before_the_comparison(run, tmp_path):
    (tmp_path / "a.toml").write_text(toml(), encoding="utf-8")
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept/decision.svg").write_text("mine", encoding="utf-8")
    code, _, err = run("compare", "a.toml", "--pictures", "kept", "--excess", "x")
    assert code == 2
    assert "--excess" in err
    assert f"{Path('kept/decision.svg')} exists" in err, err
    assert (tmp_path / "kept/decision.svg").read_text(encoding="utf-8") == "mine"


def test_readings_without_faults_are_judged_beside_those_with_some(run, tmp_path):
    """Stations, load levels and specimens of which every row can be read; of others nothing is
    said but that."""
    (tmp_path / "a.toml").write_text(toml(), encoding="utf-8")
    ring = [f"1,{10 * n},150\n" for n in range(36)]
    survey = "station [m],angle [deg],radius [mm]\n0,0,150\n0,90,150\n2,0,x\n" + "".join(ring)
    creep = "time [h],modulus [psi],load level\n1,3000,low\n1,x,high\n"
    creep += "".join(f"{10**n},{3000 - n},usual\n" for n in range(5))
    bending = "specimen,load [lbf],deflection [in],span [in],width [in],depth [in]\n"
    bending += "s1,1,0.1,4,0.5,0.25\ns2,1,x,4,0.5,0.25\ns3,1,0.1,,0.5,0.25\n"
    for name, text in (("p.csv", survey), ("c.csv", creep), ("b.csv", bending)):
        (tmp_path / name).write_text(text, encoding="utf-8")
    for words, expected in (
        (
            ("profile", "p.csv", "--tube-diameter", "1 m", "--tube-thickness", "1 m"),
            ("p.csv, line 4", "lines 2 to 3, station 0: 2 values", "--needed", "-o"),
        ),
        (("creep", "c.csv"), ("c.csv, line 3", "line 2, load level low: 1 readings", "-o")),
        (
            ("buckling", "a.toml", "--creep-test", "c.csv", "--gap", "x"),
            ("c.csv, line 3", "line 2, load level low: 1 readings", "--gap", "-o"),
        ),
        (
            ("accept", "a.toml", "--bending", "b.csv", "--rule", "no undersize"),
            ("b.csv, line 3", "b.csv, line 4", "b.csv, line 2, specimen s1: 1 loads", "-o"),
        ),
    ):
        code, _, err = run(*words, "-o", "x.zip")
        assert code == 2
        for text in expected:
            assert text.replace("-o", "file type: x.zip") in err, (text, err)
        assert len(err.splitlines()) == len(expected) + 1, err


def test_a_header_at_fault_hides_no_cell_of_other_columns(run, tmp_path):
    (tmp_path / "p.csv").write_text(
        "station [kg],angle [deg],radius [mm],foo,angle [deg]\n1,x,150,,1\n1,0,-3,,1\n1,2\n",
        encoding="utf-8",
    )
    code, _, err = run("profile", "p.csv")
    expected = ("column 1", "column 4", "column 5", "line 2", "line 3", "line 4")
    assert code == 2
    for text in expected:
        assert f"p.csv, line 1, {text}" in err or f"p.csv, {text}" in err, text
    assert len(err.splitlines()) == len(expected) + 1, err


def test_what_stands_in_the_way_of_a_record_is_told_with_its_lines_at_once(run, tmp_path):
    """A value that is there already, and values at stations, which would override the pipe's."""
    stations = [{"at": "0 ft", "ovality": "2 %"}, {"at": "9 ft", "ovality": "3 %"}]
    text = toml(pipe={"station": stations}, resin={"modulus_retention": "40 %"}, drop=("ovality",))
    (tmp_path / "a.toml").write_text(text, encoding="utf-8")
    (tmp_path / "d.csv").write_text("diameter [mm]\n300\n302\n", encoding="utf-8")
    readings = "".join(f"{10**n},{3000 - n}\n" for n in range(5))
    (tmp_path / "c.csv").write_text(f"time [h],modulus [psi]\n{readings}", encoding="utf-8")
    lines = text.splitlines()
    for words, expected in (
        (
            ("profile", "d.csv", "--pipe", "Trunk", "--tube-thickness", "6 mm"),
            ["host_diameter", "ovality", "ovality"],
        ),
        (("creep", "c.csv"), ["modulus_retention"]),
    ):
        code, _, err = run(*words, "--write", "a.toml", "-o", "absent/x.pdf")
        assert code == 2
        assert "folder not found: absent" in err
        found = [lines[int(number) - 1] for number in re.findall(r"line (\d+)\)", err)]
        assert [line.partition(" =")[0] for line in found] == expected, err
        assert "--tube-thickness" not in words or "--tube-thickness: works only" in err
        assert (tmp_path / "a.toml").read_text(encoding="utf-8") == text


def test_a_time_beyond_reason_is_refused(run, tmp_path):
    """A life of 1e300 h ended in warnings of the library that draws."""
    readings = "".join(f"{10**n},{3000 - n}\n" for n in range(5))
    (tmp_path / "c.csv").write_text(f"time [h],modulus [psi]\n{readings}x,1\n", encoding="utf-8")
    code, _, err = run("creep", "c.csv", "--life", "1e300 h", "--t0", f"{'9' * 400} h")
    assert code == 2
    assert len(err.splitlines()) == 4, err
    assert err.count("at most 10,000,000 h") == 2


def test_labels_and_the_office_s_record_tell_all_their_faults_with_lines(run, tmp_path):
    (tmp_path / "l.toml").write_text('[labels]\nbore = "bor"\ndeck = 3\n\n[other]\n', "utf-8")
    code, _, err = run("transcribe", "no.txt", "--labels", "l.toml", "-o", "absent/x.toml")
    assert code == 2
    for text in ('bore "bor"', "l.toml, line 2", "l.toml, line 3", "l.toml, line 5", "no.txt"):
        assert text in err, text
    assert len(err.splitlines()) == 6, err
    row = '[[row]]\nidentity = "none"\nedition = "x"\n[[row]]\neditin = "y"\n[table]\n'
    (tmp_path / "r.toml").write_text(row, encoding="utf-8")
    text = toml(project={"verification": "r.toml"}, drop=("ovality",))
    (tmp_path / "a.toml").write_text(text, encoding="utf-8")
    code, _, err = run("size", "a.toml")
    assert code == 2
    for text in (
        *('identity "none"', "r.toml, line 2", "clause, by, date", "unknown key editin"),
        *("r.toml, line 5", "unknown table table", "r.toml, line 6", "give one or two of ovality"),
    ):
        assert text in err, text


def test_what_is_next_is_said_of_files_that_are_there(run, tmp_path):
    (tmp_path / "s.txt").write_text("Diameter 8 in\n", encoding="utf-8")
    code, _, err = run("transcribe", "s.txt", "-o", "a.toml")
    assert (code, err.splitlines()[0]) == (0, "written: a.toml")
    assert "next:" in err
    (tmp_path / "a.json").symlink_to("s.txt")
    code, _, err = run("transcribe", "s.txt", "-o", "b.toml", "-o", "a.json", "--force")
    assert code == 2
    assert "next:" not in err


@pytest.mark.parametrize(
    ("words", "closed", "others"),
    [
        (("size", "a.toml", "-o", "ro/x.pdf", "-o", "ro/x.json", "--seed", "1"), 2, ("--seed",)),
        (("new", "ro/x.toml", "--ask", "--units", "Q"), 1, ("--units",)),
        (("compare", "a.toml", "--pictures", "ro", "--excess", "x"), 1, ("--excess",)),
        (("profile", "x.csv", "--write", "ro/p.toml", "--pipe", "x"), 1, ("x.csv", 'pipe "x"')),
    ],
)
def test_a_folder_that_takes_no_files_is_told_at_once(run, tmp_path, words, closed, others):
    """A superuser may write everywhere: `access` is asked in their place."""
    (tmp_path / "a.toml").write_text(toml(), encoding="utf-8")
    (tmp_path / "ro").mkdir()
    (tmp_path / "ro" / "p.toml").write_text(toml(), encoding="utf-8")
    may = os.access
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "access", lambda path, mode: Path(path).name != "ro" and may(path, mode))
        code, out, err = run(*words)
    assert (code, out) == (2, "")
    assert err.count("its folder can't be written") == closed, err
    for text in others:
        assert text in err, text
    assert len(err.splitlines()) == closed + len(others) + 1, err


@pytest.mark.parametrize(
    ("key", "named", "expected"),
    [
        ("criteria", " ", "empty"),
        ("pipes", "", "empty"),
        ("pipes", "x.parquet", "unknown file type"),
        ("pipes", "folder.csv", "not a file"),
        ("criteria", "folder.csv", "not a file"),
        ("criteria", "absent.toml", "file not found"),
    ],
)
def test_a_file_that_can_t_be_used_is_told_where_it_is_named(run, tmp_path, key, named, expected):
    (tmp_path / "folder.csv").mkdir()
    head = toml(resin={"flexural_modulus": "2"}).partition("[[pipe]]")[0]
    text = toml(resin={"flexural_modulus": "2"}) if key == "criteria" else head
    text = text.replace("[criteria]\n", "")
    (tmp_path / "a.toml").write_text(f'{key} = "{named}"\n{text}', encoding="utf-8")
    code, _, err = run("size", "a.toml")
    assert code == 2
    assert re.search(rf'^{key} "{named}": .*{expected}.*\(line 1\)$', err, re.MULTILINE), err
    assert 'flexural_modulus "2"' in err
    assert len(err.splitlines()) == 3, err


def test_uncertainties_of_values_left_out_are_told_beside_a_resin_without_strength(run, tmp_path):
    """What else the resin states is kept, and any strength stands in for its own."""
    text = toml(
        pipe={
            "condition": "partially deteriorated",
            "uncertainty": {"soil_unit_weight": "1 pcf", "flexural_modulus": "9 psi"},
        },
        drop=("soil_unit_weight", "soil_reaction_modulus", "live_load", "cover"),
    )
    text = re.sub("(?m)^flexural_strength.*\n", "", text)
    (tmp_path / "a.toml").write_text(text, encoding="utf-8")
    code, _, err = run("size", "a.toml")
    assert code == 2
    assert "missing required key flexural_strength" in err
    assert "soil_unit_weight" in err
