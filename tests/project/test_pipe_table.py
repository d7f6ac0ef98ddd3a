"""Pipes of a project in a table beside it: the same pipes as in `[[pipe]]` tables, row by row."""

import csv
import hashlib
import json

import openpyxl
import pytest

from linerdesign.interface import read, size
from linerdesign.project import pipe_table
from linerdesign.project.assembly import tasks
from linerdesign.project.faults import InputFaults

HEAD = """
pipes = "{file}"

[project]
title = "Quay Street"

[criteria]

[[resin]]
name = "Felt A"
flexural_modulus = "250000 psi"
flexural_strength = "4500 psi"
"""
HEADER = [
    "name",
    "condition",
    "host_diameter [in]",
    "ovality [%]",
    "cover [ft]",
    "groundwater_above_invert [ft]",
    "soil_unit_weight [pcf]",
    "soil_reaction_modulus [psi]",
    "live_load [psi]",
    "length [ft]",
    "street",
]
FULL = ["fully deteriorated", 12, 2, 9.5, 6, 120, 1000, "HL-93", 312, "Quay"]
PARTIAL = ["partially deteriorated", 8, "3", "9'-6\"", "6", None, None, None, "1,250", "Mole"]
ROWS = [["MH 1", *FULL], [], [7, *PARTIAL]]
# The same pipes by hand, as a project file states them.
BY_HAND = """
[[pipe]]
name = "MH 1"
condition = "fully deteriorated"
host_diameter = "12 in"
ovality = "2 %"
cover = "9.5 ft"
groundwater_above_invert = "6 ft"
soil_unit_weight = "120 pcf"
soil_reaction_modulus = "1000 psi"
live_load = "HL-93"
length = "312 ft"

[[pipe]]
name = "7"
condition = "partially deteriorated"
host_diameter = "8 in"
ovality = "3 %"
cover = "9.5 ft"
groundwater_above_invert = "6 ft"
length = "1250 ft"
"""


def put(folder, file, rows=ROWS, header=HEADER, more=""):
    path = folder / file
    if path.suffix == ".csv":
        with path.open("w", newline="", encoding="utf-8") as target:
            csv.writer(target).writerows([header, *rows])
    else:
        book = openpyxl.Workbook()
        for row in (header, *rows):
            book.active.append(row)
        book.save(path)
    project = folder / "p.toml"
    project.write_text(HEAD.format(file=file) + more, encoding="utf-8")
    return project


@pytest.mark.parametrize("file", ["street.xlsx", "street.csv"])
def test_a_row_is_the_pipe_that_it_would_be_by_hand(tmp_path, file):
    found = size(read(put(tmp_path, file)))
    by_hand = tmp_path / "hand.toml"
    by_hand.write_text(HEAD.replace('pipes = "{file}"', "") + BY_HAND, encoding="utf-8")
    for one, other in zip(found.pipes, size(read(by_hand)).pipes, strict=True):
        assert (one.name, one.basis) == (other.name, other.basis)
        assert [step.value for step in one.steps] == [step.value for step in other.steps]


@pytest.mark.parametrize(("file", "word"), [("street.xlsx", "row"), ("street.csv", "line")])
def test_every_value_says_its_row_and_the_file_is_named_with_its_hash(run, tmp_path, file, word):
    put(tmp_path, file)
    code, out, _ = run("size", "p.toml", "--json", "-o", "full.txt", "--full")
    data = json.loads(out)
    digest = hashlib.sha256((tmp_path / file).read_bytes()).hexdigest()
    assert code == 0
    assert {"role": "pipes", "name": file, "sha256": digest} in data["files"]
    for pipe, row in zip(data["pipes"], (2, 4), strict=True):
        (source,) = (step["source"] for step in pipe["steps"] if step["symbol"] == "D")
        assert source.startswith(f"given, {file}, {word} {row}")
    text = (tmp_path / "full.txt").read_text(encoding="utf-8")
    assert digest[:16] in text
    assert f"given, {file}, {word} 4" in text


def test_own_pipes_come_before_those_of_the_table(tmp_path):
    own = BY_HAND.replace("MH 1", "MH 0").partition('\n[[pipe]]\nname = "7"')[0]
    found = size(read(put(tmp_path, "street.csv", more=own)))
    assert [(each.name, each.first) for each in found.pipes] == [("MH 0", 1), ("MH 1", 2), ("7", 3)]


@pytest.mark.parametrize("place", range(len(FULL) - 1))
def test_any_cell_changes_the_fingerprint(tmp_path, place):
    before = size(read(put(tmp_path, "street.csv"))).identity.fingerprint
    other = {0: "partially deteriorated", 7: "HL-93"}.get(place, 12.25)
    changed = [*FULL[:place], other, *FULL[place + 1 :]]
    if changed == FULL:
        changed[place] = "none"
    after = size(read(put(tmp_path, "street.csv", [["MH 1", *changed], *ROWS[1:]])))
    assert after.identity.fingerprint != before


@pytest.mark.parametrize("file", ["street.xlsx", "street.csv"])
def test_faults_name_the_row_and_the_key(run, tmp_path, file):
    word = "row" if file.endswith("xlsx") else "line"
    bad = [["MH 1", *FULL], ["MH 2", "", "8 parsecs", *FULL[2:]]]
    put(tmp_path, file, bad)
    code, out, err = run("size", "p.toml")
    assert code == 2
    assert f'missing required key condition in {word} 3 "MH 2" of {file}' in err
    assert 'host_diameter "8 parsecs": unknown unit "parsecs"' in err
    assert f'({word} 3 "MH 2" of {file})' in err
    assert "MH 1" in out


@pytest.mark.parametrize(
    ("header", "why"),
    [
        (["host_diameter"], "no unit"),
        (["diametre [in]"], "not a key"),
        (["safety_factor"], "key of a criteria"),
        (["flexural_modulus [psi]"], "key of a resin"),
        (["cover [ft]"], "column name used twice"),
    ],
)
@pytest.mark.parametrize(
    ("file", "place"), [("street.csv", "street.csv, line 1,"), ("street.xlsx", "street.xlsx, K1,")]
)
def test_a_header_that_can_not_be_used_is_a_fault_of_the_whole(
    run, tmp_path, header, why, file, place
):
    put(tmp_path, file, header=[*HEADER[:-1], *header])
    code, out, err = run("size", "p.toml", "-o", "x.txt")
    assert (code, out) == (2, "")
    assert why in err
    assert f"{place} column" in err
    assert not (tmp_path / "x.txt").exists()


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("../street.csv", "not beside the project"),
        ("none.csv", "file not found"),
        ("street.ods", "unknown file type"),
        ("", "empty; fill it in"),
    ],
)
def test_a_file_that_is_no_table(run, tmp_path, name, why):
    put(tmp_path, "street.csv")
    (tmp_path / "p.toml").write_text(HEAD.format(file=name), encoding="utf-8")
    code, out, err = run("size", "p.toml")
    assert (code, out) == (2, "")
    assert why in err
    assert "missing table [[pipe]]" not in err


def test_names_of_both_are_held_apart(tmp_path):
    with pytest.raises(InputFaults, match="duplicate pipe name"):
        read(put(tmp_path, "street.csv", [["MH 1", *FULL], ["MH 1", *FULL]]), apart=True)


def test_a_sheet_among_several_is_named(tmp_path):
    path = put(tmp_path, "street.xlsx")
    book = openpyxl.load_workbook(tmp_path / "street.xlsx")
    book.create_sheet("Notes")
    book.save(tmp_path / "street.xlsx")
    (step, *_) = (s for s in size(read(path)).pipes[0].steps if s.key == "D")
    assert step.origin.source == "given, street.xlsx, Sheet, row 2"


def test_no_table_for_tables_of_a_program():
    with pytest.raises(InputFaults, match="not beside the project"):
        read({"pipes": "street.csv", "project": {"title": "x"}})


def test_a_heading_of_an_inventory_is_named_by_its_cell(run, tmp_path):
    project = put(tmp_path, "street.xlsx", header=[*HEADER[:-1], "diametre [in]"])
    project.write_text(project.read_text().replace('pipes = "street.xlsx"', ""), encoding="utf-8")
    code, _, err = run("batch", "street.xlsx", "-o", "out.csv", "--project", "p.toml")
    assert code == 2
    assert 'street.xlsx, K1, column "diametre [in]": not a key' in err


def test_cells_beyond_the_header_are_a_fault_unless_they_are_empty(tmp_path):
    """A value of the table says in which file and line it stands."""
    rows = ["name,condition,host_diameter [in],ovality [%],groundwater_above_invert [ft]",
            "A,partially deteriorated,8,2,4,,", "B,partially deteriorated,8,2,4,,x"]  # fmt: skip
    (tmp_path / "street.csv").write_text("\n".join(rows[:2]) + "\n", encoding="utf-8")
    (tmp_path / "p.toml").write_text(HEAD.format(file="street.csv"), encoding="utf-8")
    project = read(tmp_path / "p.toml")
    assert [pipe.name for pipe in project.pipes] == ["A"]
    (task,) = tasks(project)
    origins = {each.key: each.origin.file for each in task.stations[0].inputs}
    assert (origins["D"], origins["E"]) == ("street.csv, line 2", "")
    (tmp_path / "street.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    with pytest.raises(InputFaults) as found:
        read(tmp_path / "p.toml")
    (each,) = found.value.faults
    assert (each.code, str(each.place)) == ("inventory.surplus", 'line 3 "B" of street.csv')


def test_a_heading_is_found_by_its_sheet_where_there_are_several(tmp_path):
    path = put(
        tmp_path, "street.xlsx", header=["cover" if h == "cover [ft]" else h for h in HEADER]
    )
    with pytest.raises(InputFaults) as alone:
        read(path)
    book = openpyxl.load_workbook(tmp_path / "street.xlsx")
    book.active.title = "Street"
    book.create_sheet("Notes")
    book.save(tmp_path / "street.xlsx")
    with pytest.raises(InputFaults) as several:
        read(path)
    for found, at in ((alone, "street.xlsx, E1"), (several, "street.xlsx, Street!E1")):
        assert any(
            str(each).startswith(f'{at}, column "cover": no unit') for each in found.value.faults
        )


def test_rows_beyond_the_most_pipes_are_one_fault(tmp_path, monkeypatch):
    monkeypatch.setattr(pipe_table, "MOST_PIPES", 1)
    with pytest.raises(InputFaults) as found:
        read(put(tmp_path, "street.csv"))
    assert [str(each) for each in found.value.faults] == [
        "street.csv, line 4: more than 1 rows; split the file"
    ]


def test_a_number_of_a_cell_is_in_the_unit_that_its_format_shows(tmp_path):
    path = put(tmp_path, "street.xlsx")
    book = openpyxl.load_workbook(tmp_path / "street.xlsx")
    cell = book.active["C2"]
    cell.value, cell.number_format = 300, '0" mm"'
    book.save(tmp_path / "street.xlsx")
    assert str(read(path).pipes[0].host_diameter) == "300 mm"
