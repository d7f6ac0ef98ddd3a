"""The docket on made-up reviews: what is open, closed, new and changed is told by hand."""

import pytest

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.project.faults import InputFaults
from linerdesign.tasks.docket.comparing import State, changes, tracked
from linerdesign.tasks.docket.reading import Revision, Submittal, read_docket
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


C = B.replace('"B"', '"C"').replace("[submittal]", '[submittal]\ndisposition = "Revise"')
THIRD = {
    "general_comments": [_comment(1, "question", None, "Which felt?")],
    "pipes": [
        {
            "name": "MH 1 to MH 2",
            "comments": [
                _comment(2, "correction", "t X1.1"),
                _comment(3, "correction", "t X1.1", "Please sign."),
                _comment(4, "remark", "t X1.1", "Agrees."),
            ],
        },
        {"name": "MH 2 to MH 3", "comments": [_comment(5, "question", "C")]},
    ],
}


@pytest.fixture
def third(folder):
    """Three revisions, with an answer to a comment of the first and of the last."""
    (folder / "c.toml").write_text(C, encoding="utf-8")
    (folder / "docket.toml").write_text(
        'due = "2026-11-20"\n'
        '[[answer]]\nrevision = "A"\ncomment = 2\ntext = " From the invert now. "\n'
        '[[answer]]\nrevision = "C"\ncomment = 5\ntext = "0.836."\ndate = "2026-11-18"\n'
    )

    def review(path):
        return THIRD if '"C"' in path.read_text("utf-8") else _reviewing(path)

    (submittal,) = read_docket(folder.parent, review)
    assert submittal.faults == ()
    return submittal


def test_a_third_revision_in_full(third):
    """By hand: one more of an item is new, the same item of another pipe too; notes are no
    comments of theirs, and what is closed stands last by its own numbers."""
    found = [
        (c.revision, c.number, c.pipe, c.weight, c.item, c.state, c.since, c.answer)
        for c in tracked(third)
    ]
    one, two, sure = "MH 1 to MH 2", "MH 2 to MH 3", "From the invert now."
    assert found == [
        ("C", 1, "", "question", "", "new", "", ""),
        ("C", 2, one, "correction", "t X1.1", "open", "A", sure),
        ("C", 3, one, "correction", "t X1.1", "new", "", ""),
        ("C", 4, one, "remark", "t X1.1", "note", "", ""),
        ("C", 5, two, "question", "C", "new", "", "0.836."),
        ("A", 1, one, "correction", "thickness", "closed", "", ""),
        ("B", 2, one, "question", "C", "closed", "", ""),
        ("A", 3, one, "question", "ovality", "closed", "", ""),
    ]
    assert third.answers[1].date == "2026-11-18"


def test_every_part_of_the_data(third):
    (data,) = docket_outcome("docket", [third], "2026-11-20").data["submittals"]
    comments = data.pop("comments")
    assert data == {
        "folder": "quay_street",
        "number": "021",
        "contractor": "Thorne Lining",
        "revision": "C",
        "received": "2026-11-02",
        "due": "2026-11-20",
        "disposition": "Revise",
        "status": "open comments",
        "revisions": [
            {"revision": label, "received": "2026-11-02", "file": file}
            for label, file in (("A", "a.toml"), ("B", "b.toml"), ("C", "c.toml"))
        ],
        "changes": [],
        "faults": [],
    }
    assert comments[1] == {
        "revision": "C", "number": 2, "pipe": "MH 1 to MH 2", "weight": "correction",
        "item": "t X1.1", "text": "Please correct.", "state": "open", "since": "A",
        "answer": "From the invert now.",
    }  # fmt: skip
    assert (comments[0]["pipe"], comments[0]["item"], comments[0]["since"]) == (None, None, None)


def test_every_part_of_the_document(third):
    """Read as blocks: the status, then one part a submittal."""
    bad = Submittal("mill_lane", (), faults=("missing [submittal] table with a revision",))
    blocks = docket_outcome("docket", [bad, third], "2026-11-21").document.blocks
    status, comments = [each for each in blocks if isinstance(each, Grid)]
    assert status.rows == (
        ("mill_lane", "", "", "", "", "0", "0", "0", "cannot be read"),
        ("021", "Thorne Lining", "C", "2026-11-02", "2026-11-20", "4", "3", "3", "overdue"),
    )
    assert comments.columns == ("no.", "state", "pipe", "comment", "response")
    assert status.columns[0] == "number"
    assert (len(comments.align), len(status.align)) == (5, 9)
    assert comments.rows[1] == (
        "C 2", "open since A, correction", "MH 1 to MH 2", "Please correct.",
        "From the invert now.",
    )  # fmt: skip
    assert [row[1] for row in comments.rows[2:6]] == [
        "new, correction", "note", "new, question", "closed, correction",
    ]  # fmt: skip
    said = [each.text for each in blocks if isinstance(each, Heading | Paragraph)]
    assert said == [
        "Status",
        "mill_lane",
        "021, Thorne Lining: revision C",
        "Disposition: Revise.",
        "No value of the project file changed from revision B to C.",
        "Comments",
    ]
    (faults,) = (each for each in blocks if isinstance(each, Bullets))
    assert faults.items == bad.faults


def test_the_letter_says_everything_that_is_open(third):
    outcome = letter_outcome([third], "quay_street")
    heading, intro, bullets = outcome.document.blocks
    assert outcome.document.title == "Submittal 021, revision C: open comments"
    assert (heading.text, intro.text) == (
        "Open comments",
        "The comments below remain open after review of revision C. Comments not repeated here "
        "are closed.",
    )
    assert bullets.items == (
        "1. Which felt?",
        "2. MH 1 to MH 2: Please correct. (open since A) Response received: From the invert now.",
        "3. MH 1 to MH 2: Please sign.",
        "5. MH 2 to MH 3: Please correct. Response received: 0.836.",
    )


def test_a_submittal_without_open_comments_is_complete(folder):
    """Whatever its date; a question alone leaves it open, and yet holds."""
    for weight, status, holds in (
        ("remark", "no open comments", True),
        ("question", "open comments", True),
        ("correction", "open comments", False),
    ):
        review = {"pipes": [{"name": "x", "comments": [_comment(1, weight, "C")]}]}
        submittals = read_docket(folder.parent, lambda path, found=review: found)
        outcome = docket_outcome("docket", submittals)
        assert outcome.data["submittals"][0]["status"] == status
        assert outcome.holds is holds
        letter = letter_outcome(submittals, "021")
        assert letter.holds is holds
        none = "All comments on earlier revisions are closed; there are no new comments."
        assert (none in str(letter.document)) is (weight == "remark")


def test_one_revision_alone_has_no_new_comments(folder):
    (folder / "b.toml").unlink()
    (submittal,) = _read(folder)
    assert {c.state for c in tracked(submittal)} == {State.OPEN, State.NOTE}
    assert {c.since for c in tracked(submittal)} == {""}
    outcome = docket_outcome("docket", [submittal])
    assert outcome.data["submittals"][0]["changes"] == []
    assert "from revision" not in str(outcome.document)


def test_revisions_are_told_by_the_length_of_their_label_first(folder):
    for label in ("AA", "Z", "10", "9"):
        (folder / f"{label}.toml").write_text(A.replace('"A"', f'"{label}"'))
    (submittal,) = read_docket(folder.parent, lambda path: {"pipes": []})
    assert [each.label for each in submittal.revisions] == ["9", "A", "B", "Z", "10", "AA"]
    assert "No comments." in str(docket_outcome("docket", [submittal]).document)


def test_values_of_every_kind_are_compared():
    """Lists, tables in lists by their number, pipes by name or number, what is taken away."""

    def revision(label, tables):
        return Revision(label, f"{label}.toml", "", "", "", "", tables, {"pipes": []})

    before = {
        "project": {"title": "one"},
        "submittal": {"revision": "A"},
        "criteria": {"safety_factor": 2.0, "limits": {"minimum_live_load": "1 psi"}},
        "resin": [{"name": "felt", "price": "2 EUR/kg"}],
        "pipe": [
            {"name": "P", "diameters": ["8 in", "8.1 in"], "station": [{"at": "a"}, {"at": "b"}]},
            {"cover": "3 ft"},
        ],
    }
    after = {
        "project": {"title": "two"},
        "submittal": {"revision": "B"},
        "criteria": {"safety_factor": 2.5, "limits": {"minimum_live_load": "2 psi"}},
        "resin": [{"name": "felt", "price": "3 EUR/kg"}],
        "pipe": [
            {"name": "P", "diameters": ["8 in", "8.2 in"], "station": [{"at": "a"}, {"at": "c"}]},
            {"ovality": "2 %"},
        ],
    }
    found = changes(revision("A", before), revision("B", after))
    assert {(c.pipe, c.key): (c.before, c.after) for c in found} == {
        ("", "criteria.safety_factor"): ("2.0", "2.5"),
        ("", "criteria.limits.minimum_live_load"): ("1 psi", "2 psi"),
        ("", "resin felt.price"): ("2 EUR/kg", "3 EUR/kg"),
        ("P", "diameters"): ("8 in, 8.1 in", "8 in, 8.2 in"),
        ("P", "station 2.at"): ("b", "c"),
        ("2", "cover"): ("3 ft", ""),
        ("2", "ovality"): ("", "2 %"),
    }
    (grid,) = (
        each
        for each in docket_outcome(
            "d", [Submittal("s", (revision("A", before), revision("B", after)))]
        ).document.blocks
        if isinstance(each, Grid) and "A" in each.columns
    )
    assert ("2", "cover", "3 ft", "") in grid.rows


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
        ('dew = "2026-11-20"', "unknown key dew"),
        ('\ndue = "20 November"', 'due "20 November": not a date; give it as YYYY-MM-DD'),
        ("due = 20261120", "(docket.toml, line 1)"),
        ('\n[[answer]]\nrevision = "A"\ncomment = 2\ntext = "x"\ntxt = 1', "docket.toml, line 6"),
        ('[[answer]]\nrevision = "A"\ncomment = 9\ntext = "x"', "no comment 9 on revision A"),
        (
            '[[answer]]\nrevision = "A"\ncomment = "2"\ntext = "x"',
            "needs revision, comment (a whole number) and text ([[answer]] number 1",
        ),
        ("[[answer", "not valid TOML: docket.toml"),
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
