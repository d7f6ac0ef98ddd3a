"""The verification record: written blank, filled in by an office, and void where a form changed."""

import hashlib
import json
import tomllib
from pathlib import Path

import openpyxl
import pytest
from projects import RESIN, toml
from pypdf import PdfReader
from rich_projects import laterals, put, street

from linerdesign.cli.main import main
from linerdesign.interface import read, size
from linerdesign.methods.catalogue import catalogue
from linerdesign.methods.verification import Verified, of_equation
from linerdesign.project.assembly import tasks
from linerdesign.project.faults import InputFaults
from linerdesign.project.identity import FileRead
from linerdesign.project.reading import parse
from linerdesign.project.verification import Record, everything, read_record, template, used_by

EXAMPLES = Path(__file__).parents[2] / "worked_examples"
FILLED = {
    'edition = ""': 'edition = "F1216-16"',
    'clause = ""': 'clause = "X1.2"',
    'by = ""': 'by = "A. Engineer"',
    'date = ""': 'date = "2026-11-27"',
}
# Marked as from memory without a record: SI constants, the table of a vehicle, a soil in words.
PIPE = {"live_load": "H-20 table", "soil_reaction_modulus": "silty sand, high compaction"}


@pytest.fixture
def record(tmp_path):
    """A record of everything, filled in."""
    file = tmp_path / "office.toml"
    assert main(["verification", "-o", str(file)]) == 0
    text = file.read_text(encoding="utf-8")
    for blank, filled in FILLED.items():
        assert text.count(blank) == len(everything())
        text = text.replace(blank, filled)
    file.write_text(text, encoding="utf-8")
    return file


def project(tmp_path, units="SI", **more):
    file = tmp_path / "project.toml"
    text = toml(pipe=PIPE, project={"units": units, "verification": "office.toml"} | more)
    file.write_text(text, encoding="utf-8")
    return file


def test_a_filled_record_takes_the_place_of_every_mark(tmp_path, record, capsys):
    file = project(tmp_path)
    assert main(["size", str(file), "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    steps = data["pipes"][0]["steps"]
    assert {each["provenance"] for each in steps} <= {"verified", "derived", None}
    assert not [each["source"] for each in steps if "from memory" in each["source"]]
    assert ["verification", "office.toml"] in [[f["role"], f["name"]] for f in data["files"]]
    forms = [tmp_path / f"sheet.{suffix}" for suffix in ("txt", "html", "pdf", "xlsx")]
    assert main(["size", str(file), *(word for f in forms for word in ("-o", str(f)))]) == 0
    texts = [form.read_text(encoding="utf-8") for form in forms[:2]]
    texts.append(" ".join(page.extract_text() for page in PdfReader(forms[2]).pages))
    sheets = openpyxl.load_workbook(forms[3])
    texts.append(" ".join(str(c.value) for s in sheets for row in s.iter_rows() for c in row))
    for text in texts:
        assert "from memory" not in text
        # A line of the PDF may break anywhere.
        assert "F1216-16,A.Engineer,2026-11-27" in "".join(text.split())


def test_without_a_record_the_marks_are_there(tmp_path):
    (pipe,) = size(read({"project": {"title": "t"}, "resin": [RESIN], "pipe": [_pipe()]})).pipes
    assert {step.provenance for step in pipe.steps} >= {"memory", "applied", "derived"}


def _pipe():
    from projects import PIPE as USUAL

    return USUAL | PIPE


def test_a_row_whose_form_has_changed_is_void_with_a_caution(tmp_path, record):
    text = record.read_text(encoding="utf-8")
    (form,) = [each for each in everything() if each.identity.startswith("X1.4 for t")]
    record.write_text(text.replace(form.fingerprint, "0" * 12), encoding="utf-8")
    assert read_record(record).void == (form.identity,)
    (pipe,) = size(read(project(tmp_path, "US"))).pipes
    (caution,) = [note for note in pipe.notes if note.code == "verification.void"]
    assert form.identity in caution.text
    (step,) = [step for step in pipe.steps if step.key == "t_X1_4"]
    assert step.provenance == "derived"


def test_a_record_for_a_project_has_only_what_it_uses(tmp_path):
    file = tmp_path / "p.toml"
    file.write_text(toml(), encoding="utf-8")
    short = tmp_path / "short.toml"
    assert main(["verification", "-o", str(short), "--for", str(file)]) == 0
    text = short.read_text(encoding="utf-8")
    assert "X1.3 for t, F1216-07b" in text
    assert "X1.7" not in text
    assert main(["verification", "-o", str(short)]) == 2
    assert main(["verification", "-o", str(short), "--force"]) == 0


@pytest.mark.parametrize("kind", [laterals, street])
def test_the_record_of_a_project_covers_every_calculation_beside_it(tmp_path, kind):
    """Orders, site sheets, flow, legs, thin walls and a second method among them."""
    file, record = put(tmp_path, kind(4)), tmp_path / "office.toml"
    assert main(["verification", "-o", str(record), "--for", str(file)]) == 0
    filled = record.read_text(encoding="utf-8")
    for blank, by_office in FILLED.items():
        filled = filled.replace(blank, by_office)
    record.write_text(filled, encoding="utf-8")
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("[project]", '[project]\nverification = "office.toml"', 1))
    sizing = size(read(file))
    steps = {step for pipe in sizing.data["pipes"] for step in _steps(pipe)}
    assert not {each for each in steps if each[1] in ("memory", "applied", "seen")}
    assert {each[1] for each in steps} >= {"verified"}


def _steps(data):
    """Equation and provenance of every step at any depth."""
    if isinstance(data, list):
        return {found for each in data for found in _steps(each)}
    if not isinstance(data, dict):
        return set()
    own = {(data["equation"], data["provenance"])} if "provenance" in data else set()
    return own.union(*(_steps(each) for each in data.values()))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('by = "A. Engineer"', 'by = ""', "add by"),
        ('identity = "C (', 'identity = "Z (', "no equation, table or constant"),
        ("[[row]]", "[[line]]", "no [[row]] tables"),
    ],
)
def test_a_bad_record_is_refused_with_its_rows(record, old, new, said):
    text = record.read_text(encoding="utf-8")
    record.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(InputFaults) as found:
        read_record(record)
    assert said in str(found.value)


@pytest.mark.parametrize(
    "example",
    ["mill_lane_sewers", "house_laterals", "culvert_si", "force_main", "railway_crossing"],
)
def test_a_record_for_a_project_is_one_that_the_project_takes(tmp_path, example):
    text = (EXAMPLES / example / "project.toml").read_text(encoding="utf-8")
    file, short = tmp_path / "project.toml", tmp_path / "office.toml"
    file.write_text(text, encoding="utf-8")
    for owners in (EXAMPLES / example).glob("owner.toml"):
        (tmp_path / owners.name).write_text(owners.read_text(encoding="utf-8"), encoding="utf-8")
    assert main(["verification", "-o", str(short), "--for", str(file)]) == 0
    record = short.read_text(encoding="utf-8")
    for blank, filled in FILLED.items():
        record = record.replace(blank, filled)
    short.write_text(record, encoding="utf-8")
    file.write_text(
        text.replace("[project]", '[project]\nverification = "office.toml"', 1), "utf-8"
    )
    for pipe in size(read(file)).pipes:
        # A list of sizes is the resin's own: no standard prints it.
        assert {step.provenance for step in pipe.steps} <= {"verified", "derived", "practice", None}
        assert not [note for note in pipe.notes if note.code == "verification.void"]


def test_no_two_forms_share_a_row_of_the_record():
    """A signature under one soil of a table is not taken for another."""
    forms = {}
    for equation in catalogue():
        found = of_equation(equation)
        assert forms.setdefault(found.identity, found.form) == found.form


@pytest.mark.parametrize(("name", "said"), [("office.toml", "this is it"), ("b.toml", "save the")])
@pytest.mark.parametrize("table", ["project", "criteria"])
def test_a_record_that_a_project_names_may_be_the_one_to_write(
    tmp_path, monkeypatch, capsys, name, said, table
):
    """The record is named before it exists: `--for` writes it, and then `size` takes it."""
    monkeypatch.chdir(tmp_path)
    more = {table: {"verification": "office.toml"}}
    Path("project.toml").write_text(toml(pipe=PIPE, **more), encoding="utf-8")
    assert main(["size", "project.toml"]) == 2
    assert "office.toml" in capsys.readouterr().err
    assert main(["verification", "-o", name, "--for", "project.toml"]) == 0
    assert "names office.toml, which d" in (told := capsys.readouterr().err)
    assert said in told
    assert main(["size", "project.toml"]) == (0 if name == "office.toml" else 2)
    capsys.readouterr()
    if name == "office.toml":
        assert main(["verification", "-o", name, "--for", "project.toml", "--force"]) == 0
        assert "names office.toml" not in capsys.readouterr().err


ROW = """[[row]]
identity = "{}"
fingerprint = "{}"
edition = "{}"
clause = "{}"
by = "{}"
date = "{}"
"""
FULL = ("F1216-16", " X1.2 ", "A. Engineer", "2026-11-27")


def rows_of(*rows):
    return "\n".join(ROW.format(*row) for row in rows)


def test_a_record_is_read_row_by_row(tmp_path):
    """Filled in, left blank, and changed since."""
    one, blank, changed, *_ = everything()
    file = tmp_path / "office.toml"
    text = rows_of(
        (one.identity, one.fingerprint, *FULL),
        (blank.identity, blank.fingerprint, "", "", " ", ""),
        (changed.identity, "0" * 12, *FULL),
    )
    file.write_text(text, encoding="utf-8")
    found = read_record(file)
    assert found.rows == {one.identity: Verified("F1216-16", "X1.2", "A. Engineer", "2026-11-27")}
    assert found.void == (changed.identity,)
    assert (found.file.role, found.file.name) == ("verification", "office.toml")
    assert found.file.sha256 == hashlib.sha256(text.encode()).hexdigest()


def test_every_bad_row_of_a_record_is_told_with_its_number(tmp_path):
    one, other, *_ = everything()
    file = tmp_path / "office.toml"
    text = rows_of(
        (one.identity, one.fingerprint, "F1216-16", "", "A. Engineer", ""),
        ("no such", other.fingerprint, *FULL),
        (other.identity, other.fingerprint, *FULL),
    )
    file.write_text(f'{text}editon = "x"\n[rows]\n', encoding="utf-8")
    with pytest.raises(InputFaults) as found:
        read_record(file)
    faults = found.value.faults
    assert [(each.code.partition(".")[2], str(each.place), each.place.line) for each in faults] == [
        ("incomplete", "[[row]] number 1 of office.toml", 1),
        ("unknown_row", "[[row]] number 2 of office.toml", 10),
        ("unknown_near", "[[row]] number 3 of office.toml", 24),
        ("unknown_near", "office.toml", 25),
    ]
    assert dict(faults[0].numbers) == {"keys": "clause, date"}
    assert (faults[1].key, faults[1].value) == ("identity", '"no such"')
    for nothing in ("row = 3\n", "row = [3]\n", "x = 1\n"):
        file.write_text(nothing, encoding="utf-8")
        with pytest.raises(InputFaults) as found:
            read_record(file)
        assert "verification.no_rows" in {each.code for each in found.value.faults}


def test_a_record_has_what_a_task_uses_and_what_stands_beside_it():
    """A void row is a caution where its form is used, and nothing elsewhere."""
    (task,) = tasks(parse(toml(pipe=PIPE).encode()))
    used = {each.identity: each.kind for each in used_by([task])}
    assert {"equation", "table"} <= set(used.values())
    assert not [name for name in used if "X1.5" in name or "X1.7" in name]
    assert used_by([]) == ()
    every = {each.identity for each in everything()}
    assert used.keys() < every
    name, other = next(iter(used)), next(iter(every - used.keys()))
    made = Record({}, (name, other), FileRead("verification", "a", "b"))
    assert [each.text for each in made.findings_of(task)] == [
        f"verification of {name} is void: its form has changed since; verify it again"
    ]
    assert list(Record({}, (), made.file).findings_of(task)) == []


def test_a_blank_record_can_be_read_as_it_is_written(tmp_path):
    file = tmp_path / "office.toml"
    rows = everything()[:3]
    file.write_text(template(rows), encoding="utf-8")
    found = tomllib.loads(file.read_text(encoding="utf-8"))["row"]
    about = ("identity", "kind", "meaning", "form", "source", "provenance", "fingerprint")
    assert found == [
        {key: getattr(each, key) for key in about}
        | dict.fromkeys(("edition", "clause", "by", "date"), "")
        for each in rows
    ]
    assert file.read_text(encoding="utf-8").startswith("# Verification record. Check each form")
    assert (read_record(file).rows, read_record(file).void) == ({}, ())
