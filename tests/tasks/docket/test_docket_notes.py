"""Notes of a docket and revisions that can't be read: every fault with its file and line."""

import hashlib

import pytest

from linerdesign.tasks.docket.reading import Answer, is_date, read_docket

REVISION = """
[submittal]
number = "021"
revision = "{}"
[[pipe]]
name = "x"
"""
NEEDS = "an answer needs revision, comment (a whole number) and text"
NOTES = """\
dew = "x"
due = "2026-13-01"
[[answer]]
revision = "A"
comment = true
text = "x"
[[answer]]
revision = "A"
comment = 2
text = " ok "
who = "me"
[[answer]]
revision = "A"
comment = 9
text = "x"
[[answer]]
comment = 1
text = "x"
[[answer]]
revision = "A"
comment = 1
text = " "
"""


def reviewing(path):
    """A review with two comments, one of them general."""
    comments = [{"number": 1, "weight": "question", "item": None, "text": "?"}]
    more = [{"number": 2, "weight": "question", "item": None, "text": "?"}]
    return {"general_comments": comments, "pipes": [{"name": "x", "comments": more}]}


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "docket" / "quay_street"
    made.mkdir(parents=True)
    for label in "AB":
        text = REVISION.format(label)
        (made / f"{label.lower()}.toml").write_text(text, encoding="utf-8")
    return made


def read(folder, notes=None):
    if notes is not None:
        (folder / "docket.toml").write_text(notes, encoding="utf-8")
    (submittal,) = read_docket(folder.parent, reviewing)
    return submittal


def test_every_fault_of_the_notes_is_named_with_its_line(folder):
    """Lines counted by hand; what is right is read all the same."""
    submittal = read(folder, NOTES)
    of = "docket.toml"
    assert submittal.faults == (
        f"unknown key dew; did you mean due? ({of}, line 1)",
        f'due "2026-13-01": not a date; give it as YYYY-MM-DD ({of}, line 2)',
        f"{NEEDS} ([[answer]] number 1 of {of}, line 3)",
        "unknown key who; known: revision, comment, text, date "
        f"([[answer]] number 2 of {of}, line 11)",
        f"{NEEDS} ([[answer]] number 4 of {of}, line 16)",
        f"{NEEDS} ([[answer]] number 5 of {of}, line 19)",
        f"no comment 9 on revision A; correct the answer ([[answer]] number 3 of {of})",
    )
    assert submittal.answers == (Answer("A", 2, "ok", ""), Answer("A", 9, "x", ""))
    assert [each.label for each in submittal.revisions] == ["A", "B"]


def test_notes_without_a_list_and_of_a_day(folder):
    submittal = read(folder, 'due = "20261120"\nanswer = "x"\n')
    assert submittal.faults == (
        'due "20261120": not a date; give it as YYYY-MM-DD (docket.toml, line 1)',
        f"{NEEDS} ([[answer]] number 1 of docket.toml, line 2)",
    )
    one = 'due = 2026-11-20\n[answer]\nrevision = "B"\ncomment = 1\ntext = "y"\ndate = "d"\n'
    submittal = read(folder, one)
    assert submittal.faults == ()
    assert (submittal.due, submittal.answers) == ("2026-11-20", (Answer("B", 1, "y", "d"),))
    assert read(folder, "").faults == ()


def test_files_are_kept_by_what_they_are_and_their_bytes(folder):
    submittal = read(folder, 'due = "2026-11-20"\n')
    assert [(each.role, each.name) for each in submittal.files] == [
        ("project", "quay_street/a.toml"),
        ("project", "quay_street/b.toml"),
        ("docket", "quay_street/docket.toml"),
    ]
    for each in submittal.files:
        data = (folder / each.name.partition("/")[2]).read_bytes()
        assert each.sha256 == hashlib.sha256(data).hexdigest()


def test_answers_to_a_revision_that_cannot_be_read_are_no_fault_of_theirs(folder):
    """What the comments are is not known then. All files are named, each with its line."""
    (folder / "c.toml").write_text('[submittal]\nnumber = "1"\n[[pipe]]\nname = "x"\n')
    (folder / "e.toml").write_text("[[pipe\n")
    notes = '[[answer]]\nrevision = "C"\ncomment = 1\ntext = "x"\n'
    submittal = read(folder, notes)
    first, second = submittal.faults
    assert first == "missing [submittal] table with a revision (c.toml, line 1)"
    assert second.startswith("not valid TOML: e.toml (line 1): ")
    assert "line 1" in second
    (folder / "c.toml").unlink()
    (folder / "e.toml").unlink()
    (fault,) = read(folder).faults
    assert fault.startswith("no comment 1 on revision C; ")


def test_a_revision_needs_a_label(folder):
    (folder / "b.toml").write_text(REVISION.format("  "))
    (fault,) = read(folder).faults
    assert fault == "missing [submittal] table with a revision (b.toml, line 2)"


def test_a_folder_with_no_revision_says_so(folder):
    for name in ("a.toml", "b.toml"):
        (folder / name).write_text("[criteria]\nsafety_factor = 2.0\n")
    (fault,) = read(folder).faults
    assert "no" in fault
    assert "revision" in fault


@pytest.mark.parametrize(
    ("text", "date"),
    [
        ("2026-11-20", True), ("2026-02-29", False), ("2028-02-29", True), ("20261120", False),
        ("2026-11-2", False), ("2026-W47-5", False), ("２026-11-20", False), ("", False),
    ],
)  # fmt: skip
def test_a_date_is_year_month_and_day(text, date):
    """ISO 8601: the calendar date in its extended form, and no other."""
    assert is_date(text) is date
