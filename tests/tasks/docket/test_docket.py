"""The docket on made-up reviews: what is open, closed, new and changed is told by hand."""

import pytest

from linerdesign.project.faults import InputFaults
from linerdesign.tasks.docket.comparing import State, changes, tracked
from linerdesign.tasks.docket.reading import read_docket
from linerdesign.tasks.docket.report import docket_outcome, letter_outcome

A = """
[submittal]
number = "021"
contractor = "Thorne Lining"
received = "2026-11-02"
revision = "A"
[[pipe]]
name = "MH 1 to MH 2"
stated = { thickness = "4.5 mm", steps = { C = { value = "0.836", at = "page 1, line 2" } } }
"""
B = A.replace('"A"', '"B"').replace("4.5 mm", "6 mm").replace("line 2", "line 9")


def _comment(number, weight, item, text="Please correct."):
    return {"number": number, "weight": weight, "item": item, "text": text}


COMMENTS = {
    "A": [
        _comment(1, "correction", "thickness"),
        _comment(2, "correction", "t X1.1"),
        _comment(3, "question", "ovality"),
        _comment(4, "remark", None, "Agrees."),
    ],
    "B": [
        _comment(1, "correction", "t X1.1"),
        _comment(2, "question", "C"),
        _comment(3, "remark", None, "Agrees."),
    ],
}


def _reviewing(path):
    label = "A" if '"A"' in path.read_text("utf-8") else "B"
    return {"pipes": [{"name": "MH 1 to MH 2", "comments": COMMENTS[label]}]}


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "docket" / "quay_street"
    made.mkdir(parents=True)
    (made / "b.toml").write_text(B, encoding="utf-8")
    (made / "a.toml").write_text(A, encoding="utf-8")
    (made / "owner.toml").write_text("[criteria]\nsafety_factor = 2.0\n", encoding="utf-8")
    return made


def _read(folder):
    return read_docket(folder.parent, _reviewing)


def test_revisions_in_their_order(folder):
    (submittal,) = _read(folder)
    assert [each.label for each in submittal.revisions] == ["A", "B"]
    assert submittal.faults == ()


def test_what_has_become_of_each_comment(folder):
    (submittal,) = _read(folder)
    found = {(c.revision, c.number): (c.state, c.since) for c in tracked(submittal)}
    assert found == {
        ("B", 1): (State.OPEN, "A"),
        ("B", 2): (State.NEW, ""),
        ("B", 3): (State.NOTE, ""),
        ("A", 1): (State.CLOSED, ""),
        ("A", 3): (State.CLOSED, ""),
    }


def test_what_changed_is_the_value_and_not_its_place(folder):
    (submittal,) = _read(folder)
    (change,) = changes(*submittal.revisions)
    assert (change.pipe, change.key) == ("MH 1 to MH 2", "stated.thickness")
    assert (change.before, change.after) == ("4.5 mm", "6 mm")


def test_the_letter_of_a_resubmittal_repeats_open_comments_only(folder):
    outcome = letter_outcome(_read(folder), "021")
    text = str(outcome.document)
    assert "1. MH 1 to MH 2: Please correct. (open since A)" in text
    assert "2. MH 1 to MH 2" in text
    assert "Agrees" not in text
    assert not outcome.holds
    with pytest.raises(InputFaults, match="quay_street"):
        letter_outcome(_read(folder), "022")


def test_answers_by_comment_number(folder):
    (folder / "docket.toml").write_text(
        'due = "2026-11-20"\n[[answer]]\nrevision = "A"\ncomment = 2\n'
        'text = "Head from the invert now."\n',
        encoding="utf-8",
    )
    (submittal,) = _read(folder)
    assert submittal.faults == ()
    answered = {(c.revision, c.number): c.answer for c in tracked(submittal) if c.answer}
    assert answered == {("B", 1): "Head from the invert now."}
    (data,) = docket_outcome("docket", [submittal], "2026-11-21").data["submittals"]
    assert (data["due"], data["status"]) == ("2026-11-20", "overdue")
    (data,) = docket_outcome("docket", [submittal], "2026-11-20").data["submittals"]
    assert data["status"] == "open comments"


@pytest.mark.parametrize(
    ("notes", "fault"),
    [
        ('dew = "2026-11-20"', 'unknown key "dew"'),
        ('[[answer]]\nrevision = "A"\ncomment = 9\ntext = "x"', "comment 9 of revision A"),
        ('[[answer]]\nrevision = "A"\ncomment = "2"\ntext = "x"', "number 1 needs"),
        ("[[answer", "not a TOML file"),
    ],
)
def test_notes_with_faults(folder, notes, fault):
    (folder / "docket.toml").write_text(notes, encoding="utf-8")
    (submittal,) = _read(folder)
    assert fault in " ".join(submittal.faults)


def test_one_bad_submittal_does_not_hide_the_others(folder):
    bad = folder.parent / "mill_lane"
    bad.mkdir()
    (bad / "a.toml").write_text('[[pipe]]\nname = "x"\n', encoding="utf-8")
    first, second = _read(folder)
    assert "missing [submittal] table" in first.faults[0]
    assert second.faults == ()
    outcome = docket_outcome("docket", [first, second])
    assert [each["status"] for each in outcome.data["submittals"]] == [
        "cannot be read",
        "open comments",
    ]
    assert not outcome.holds


def test_the_same_revision_twice(folder):
    (folder / "c.toml").write_text(B, encoding="utf-8")
    (submittal,) = _read(folder)
    assert 'duplicate revision "B"' in submittal.faults[0]


def test_no_folder_and_no_submittal(tmp_path):
    for each in (tmp_path / "nothing", tmp_path):
        with pytest.raises(InputFaults):
            read_docket(each, _reviewing)
