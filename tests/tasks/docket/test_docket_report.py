"""The docket's document, data and letter of submittals made here: each block and field by hand."""

import pytest

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.project.faults import InputFaults
from linerdesign.project.identity import FileRead
from linerdesign.tasks.docket.reading import Revision, Submittal, read_docket
from linerdesign.tasks.docket.report import docket_outcome, letter_outcome


def comment(number, weight="question", item="C", text="Please correct."):
    return {"number": number, "weight": weight, "item": item, "text": text}


def revision(label, *comments, number="", thickness="6 mm", **of_project):
    """A revision with comments on one pipe."""
    tables = {"project": of_project, "pipe": [{"name": "P", "thickness": thickness}]}
    review = {"pipes": [{"name": "P", "comments": list(comments)}]}
    return Revision(label, f"{label}.toml", number, "", "", "", tables, review)


FILES = tuple(FileRead("project", f"quay/{name}.toml", name * 64) for name in "ab")
# Two revisions, in which one value changes; nothing else is stated of it.
PLAIN = Submittal("quay", (revision("A", comment(1)), revision("B", thickness="7 mm")), files=FILES)


def test_a_submittal_without_a_number_goes_by_its_folder():
    (data,) = docket_outcome("town", [PLAIN]).data["submittals"]
    assert data == {
        "folder": "quay", "number": "", "contractor": "", "revision": "B", "received": "",
        "due": None, "disposition": None, "status": "no open comments",
        "revisions": [
            {"revision": label, "received": "", "file": f"{label}.toml"} for label in "AB"
        ],
        "changes": [{"pipe": "P", "key": "thickness", "before": "6 mm", "after": "7 mm"}],
        "comments": [
            {"revision": "A", "number": 1, "pipe": "P", "weight": "question", "item": "C",
             "text": "Please correct.", "state": "closed", "since": None, "answer": None}
        ],
        "faults": [],
    }  # fmt: skip
    document = docket_outcome("town", [PLAIN]).document
    assert document.blocks == (
        Heading("Status"),
        Grid(
            ("number", "contractor", "rev.", "received", "due", "open", "new", "closed", "status"),
            "<<<<<>>><",
            (("quay", "", "B", "", "", "0", "0", "1", "no open comments"),),
        ),
        Heading("quay, -: revision B", tab="quay"),
        Heading("Changes from revision A to B", 2),
        Grid(("pipe", "key", "A", "B"), "<<<<", (("P", "thickness", "6 mm", "7 mm"),)),
        Heading("Comments", 2),
        Grid(
            ("no.", "state", "pipe", "comment", "response"),
            "<<<<<",
            (("A 1", "closed, question", "P", "Please correct.", ""),),
        ),
    )
    assert (document.title, document.info.title) == ("Docket of submittals", "town")
    assert document.identity.files == FILES


def test_the_units_are_those_of_the_first_submittal_that_states_them():
    metric = Submittal("b", (revision("A", units="SI"),))
    plain = Submittal("c", (revision("A"),))
    unread = Submittal("a", (), faults=("x",))
    of = lambda *some: docket_outcome("town", some).document.units  # noqa: E731
    assert of(unread, metric, plain) == "SI"
    assert (
        of(plain, metric)
        == of(unread)
        == of(Submittal("d", (Revision(*"ABCDEF", {}, {"pipes": []}),)))
        == "US"
    )


def test_of_a_submittal_with_faults_nothing_is_compared():
    """Two revisions were read, one file was not: no comment is told closed or open."""
    bad = Submittal("quay", PLAIN.revisions, faults=("c.toml: not valid TOML",))
    outcome = docket_outcome("town", [bad, PLAIN])
    data = outcome.data["submittals"][0]
    assert (data["changes"], data["comments"], data["status"]) == ([], [], "cannot be read")
    assert (data["revision"], data["faults"]) == ("B", ["c.toml: not valid TOML"])
    assert outcome.document.blocks[2:4] == (Heading("quay"), Bullets(bad.faults))
    assert not outcome.holds
    assert docket_outcome("town", [PLAIN]).holds


@pytest.mark.parametrize(
    ("due", "date", "status"),
    [
        ("2026-11-20", "2026-11-21", "overdue"),
        ("2026-11-20", "2026-11-20", "open comments"),
        ("2026-11-20", "", "open comments"),
        ("", "2026-11-21", "open comments"),
    ],
)
def test_a_submittal_is_overdue_from_the_day_after(due, date, status):
    late = Submittal("quay", (revision("A", comment(1)),), due)
    (data,) = docket_outcome("town", [late], date).data["submittals"]
    assert data["status"] == status


def test_a_letter_is_of_one_submittal_by_its_folder_or_number():
    many = [
        Submittal(f"s{n:02}", (revision("A", comment(1), number="021" if n < 2 else ""),))
        for n in range(22)
    ] + [Submittal("none", ())]
    letter = letter_outcome(many, "s21")
    assert letter.document.title == "Submittal s21, revision A: open comments"
    assert letter.document.info.title == "s21"
    assert letter.data["status"] == "open comments"
    assert letter_outcome([many[0], many[5]], "021").data["folder"] == "s00"
    for name in ("021", "s22"):
        with pytest.raises(InputFaults) as caught:
            letter_outcome(many, name)
        said = str(caught.value)
        assert f"--letter {name}: no such submittal; known are s00, s01, " in said
        # The first twenty.
        assert "s19" in said
        assert "s20" not in said


def test_a_letter_of_what_cannot_be_read_says_why():
    for bad in (
        Submittal("quay", (), faults=("one", "two")),
        Submittal("quay", PLAIN.revisions, faults=("one", "two")),
    ):
        with pytest.raises(
            InputFaults, match="--letter quay: the submittal cannot be read: one; two"
        ):
            letter_outcome([bad], "quay")


def test_the_whole_letter():
    """A number of its own; one comment open since A, one new, one of no pipe."""
    later = revision("B", comment(2), comment(3, "correction", "t"), number="021", units="SI")
    later.review["general_comments"] = [comment(1, text="Which felt?")]
    one = Submittal("quay", (revision("A", comment(1)), later), due="2026-11-20", files=FILES)
    outcome = letter_outcome([one], "quay")
    document = outcome.document
    assert document.title == "Submittal 021, revision B: open comments"
    assert (document.units, document.identity.files) == ("SI", FILES)
    heading, paragraph, bullets = document.blocks
    assert heading == Heading("Open comments")
    assert "after review of revision B" in paragraph.text
    assert bullets.items == (
        "1. Which felt?",
        "2. P: Please correct. (open since A)",
        "3. P: Please correct.",
    )
    # Whatever its date: a letter is never overdue.
    assert outcome.data["status"] == "open comments"
    assert not outcome.holds
    done = letter_outcome([PLAIN], "quay")
    assert done.holds
    assert done.document.blocks[1:] == (
        Paragraph("All comments on earlier revisions are closed; there are no new comments."),
    )


def test_folders_of_submittals_are_read_up_to_a_thousand(tmp_path):
    """A file beside them is none, nor is a folder without a project file."""
    (tmp_path / "note.toml").write_text("")
    (tmp_path / "empty").mkdir()
    revision = '[submittal]\nrevision = "A"\n[[pipe]]\n'
    for name in ("b", "a"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "a.toml").write_text(revision)
    found = read_docket(tmp_path, lambda path: {"pipes": []})
    assert [each.folder for each in found] == ["a", "b"]
    for number in range(998):
        (tmp_path / f"{number:03}").mkdir()
        (tmp_path / f"{number:03}" / "a.toml").write_text(revision)
    assert len(read_docket(tmp_path, lambda path: {"pipes": []})) == 1000
    (tmp_path / "c").mkdir()
    (tmp_path / "c" / "a.toml").write_text(revision)
    with pytest.raises(InputFaults, match="more than 1000 submittals; split the docket"):
        read_docket(tmp_path, lambda path: {"pipes": []})


def test_a_docket_that_is_no_folder_or_holds_none_is_refused(tmp_path):
    with pytest.raises(InputFaults, match=r"folder cannot be read \(no such file or directory\)"):
        read_docket(tmp_path / "nothing", None)
    with pytest.raises(InputFaults, match="no submittal in this folder"):
        read_docket(tmp_path, None)
