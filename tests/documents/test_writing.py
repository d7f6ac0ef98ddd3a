"""Which files are written, with what in them, and what is refused before anything is."""

import hashlib
import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from pages import document, results
from projects import toml

from linerdesign.documents import writing
from linerdesign.documents.writing import (
    FOLLOWING,
    FORMS,
    check_target,
    check_targets,
    render,
    spare_inputs,
    write,
)
from linerdesign.project.faults import InputFaults
from linerdesign.project.identity import FileRead


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)


def refused(*paths, force=False, own=(), others=()):
    """The codes of the faults of these targets, each with its place."""
    try:
        check_targets([Path(each) for each in paths], force, own, [Path(each) for each in others])
    except InputFaults as error:
        return [(each.code.removeprefix("faults."), str(each.place)) for each in error.faults]
    return []


def test_every_fault_of_the_targets_is_said_at_once():
    Path("folder.txt").mkdir()
    Path("there.pdf").write_text("x", encoding="utf-8")
    found = refused("new.txt", "a.doc", "folder.txt", "there.pdf", "none/a.html", "NEW.JSON")
    assert found == [
        ("suffix", "a.doc"), ("is_folder", "folder.txt"), ("exists", "there.pdf"),
        ("no_folder", ""),
    ]  # fmt: skip
    assert refused("there.pdf", force=True) == []
    assert refused(*(f"a{form}" for form in FORMS)) == []


def test_the_forms_that_a_command_adds_stand_first_and_once():
    assert refused("a.csv") == [("suffix", "a.csv")]
    assert refused("a.csv", own=(".csv", ".txt")) == []
    with pytest.raises(InputFaults) as error:
        check_targets([Path("a.doc")], False, (".csv", ".pdf"))
    assert str(error.value).endswith("use a name ending in .csv, .pdf, .txt, .json, .xlsx, .html")


def test_a_file_given_twice_is_refused_at_the_second_by_a_link_too():
    Path("link.txt").symlink_to("a.txt")
    assert refused("a.txt", "b.txt", "a.txt") == [("given_twice", "a.txt")]
    assert refused("a.txt", "link.txt") == [("given_twice", "link.txt")]
    # What a command may write into as well counts, and is not looked at by itself.
    assert refused("b.txt", "a.txt", others=("a.txt",)) == [("given_twice", "a.txt")]
    assert refused("b.txt", others=("p.toml", "p.toml")) == []


def test_a_name_that_the_system_can_not_have_is_refused_with_its_reason():
    with pytest.raises(InputFaults) as error:
        check_target(Path("x" * 300 + ".txt"), False, FORMS)
    (found,) = error.value.faults
    assert found.code == "faults.unwritable"
    assert dict(found.numbers)["why"] == "file name too long"


def test_a_folder_that_takes_no_files_is_refused(monkeypatch):
    monkeypatch.setattr("os.access", lambda path, mode: False)
    assert refused("a.txt") == [("unwritable", "a.txt")]


def test_a_file_that_was_read_is_not_written_over():
    """By its name or by a link; a file of that name with other bytes is not the one read."""
    data = b"title"
    Path("p.toml").write_bytes(data)
    Path("link.toml").symlink_to("p.toml")
    read = [FileRead("project", "somewhere/p.toml", hashlib.sha256(data).hexdigest())]
    for name in ("p.toml", "link.toml"):
        with pytest.raises(InputFaults) as error:
            spare_inputs(read, [Path("new.toml"), Path(name)])
        (found,) = error.value.faults
        assert (found.code, found.place) == ("faults.is_read", name)
    Path("p.toml").write_bytes(b"other")
    spare_inputs(read, [Path("p.toml")])
    Path("q.toml").write_bytes(data)
    spare_inputs(read, [Path("q.toml")])


class Told:
    def __init__(self):
        self.stages, self.parts = [], []

    def stage(self, text):
        self.stages.append(text)

    def part(self, done, total):
        self.parts.append((done, total))


@pytest.fixture
def outcome():
    made = document(results(toml()))
    return SimpleNamespace(document=made, data={"a": 1}, forms={".csv": lambda: b"x,y"})


def test_each_file_is_made_in_its_form_and_said(outcome, monkeypatch):
    asked = []

    def module(name):
        def made(document, **about):
            asked.append((name.rpartition(".")[2], document is outcome.document, about))
            return name.encode()

        return SimpleNamespace(render=made)

    monkeypatch.setattr(writing, "import_module", module)
    told = Told()
    names = ("a.txt", "a.JSON", "a.pdf", "a.xlsx", "a.html", "a.csv")
    write(outcome, [Path(name) for name in names], "a4", told)
    assert told.stages == [f"making {name}" for name in names]
    assert json.loads(Path("a.JSON").read_text(encoding="utf-8")) == {"a": 1}
    assert Path("a.csv").read_bytes() == b"x,y"
    # Paper and parts are for the pages of a PDF alone.
    assert asked == [
        ("text", True, {}),
        ("pdf", True, {"paper": "a4", "part_done": told.part}),
        ("workbook", True, {}),
        ("page", True, {}),
    ]
    assert Path("a.xlsx").read_bytes() == b"linerdesign.documents.workbook"
    asked.clear()
    render(outcome, ".pdf")
    assert asked == [("pdf", True, {"paper": None})]


def test_nothing_is_written_where_one_form_can_not_be_made(outcome):
    def broken():
        raise InputFaults([])

    outcome.forms = {".csv": broken}
    with pytest.raises(InputFaults):
        write(outcome, [Path("a.json"), Path("a.csv")])
    assert not Path("a.json").exists()


@pytest.mark.parametrize("form", [".txt", ".pdf", ".xlsx", ".html"])
@pytest.mark.parametrize("capped", [False, True])
def test_what_is_no_plain_text_is_made_apart_where_memory_is_capped(
    form, capped, outcome, monkeypatch
):
    monkeypatch.setattr(
        writing, "import_module", lambda name: SimpleNamespace(render=lambda document, **_: b"m")
    )
    monkeypatch.setattr(writing, "is_capped", lambda: capped)
    monkeypatch.setattr(writing, "made_apart", lambda make: b"apart: " + make())
    assert render(outcome, form) == (b"apart: m" if capped and form != ".txt" else b"m")


@pytest.mark.parametrize("form", [".txt", ".pdf", ".xlsx", ".html"])
def test_a_form_that_follows_is_refused_where_a_method_can_not(form, outcome, monkeypatch):
    monkeypatch.setattr(
        writing, "import_module", lambda name: SimpleNamespace(render=lambda document, **_: b"m")
    )
    monkeypatch.setattr(writing, "method_of", lambda basis: SimpleNamespace(follows=False))
    if form not in FOLLOWING:
        assert render(outcome, form) == b"m"
        return
    with pytest.raises(InputFaults) as error:
        render(outcome, form)
    (found,) = error.value.faults
    assert (found.code, found.place) == ("second.static", form)
