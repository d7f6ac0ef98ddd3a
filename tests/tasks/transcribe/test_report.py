"""What a transcript prints and gives as data, cell by cell."""

from linerdesign.documents.blocks import Bullets, Grid, Heading, Paragraph
from linerdesign.tasks.transcribe.found import Found, NotUnderstood, Transcript
from linerdesign.tasks.transcribe.project_text import Document
from linerdesign.tasks.transcribe.report import outcome_of, transcript_data

COVER = Found("A", "cover", "10 ft", "Cover: 10 ft", "line 2")
WALL = Found("", "stated.thickness", "6", "t = 6", "line 3",
             ("transcribe.wording", "transcribe.no_unit"))  # fmt: skip
MISSED = NotUnderstood("Job 4711", "line 4", "transcribe.no_label")
DOUBTS = ["the label may mean another quantity", "no unit stated"]


def test_values_what_was_missed_and_questions_each_in_their_table():
    document = Document(Transcript(("A",), (COVER, WALL), (MISSED,)), "a.txt", "1f" * 32)
    outcome = outcome_of(document)
    made = outcome.document
    assert (made.title, made.units, made.info.title) == ("Transcript of a submittal", "US", "a.txt")
    (read,) = made.identity.files
    assert (read.role, read.name, read.sha256) == ("submittal", "a.txt", "1f" * 32)
    found, summary, values, missed, unread, asked, questions = made.blocks
    assert [found, missed, asked] == [
        Heading("Values found"), Heading("Not understood"), Heading("Questions to ask")
    ]  # fmt: skip
    assert summary == Paragraph(
        "Values found: 2 (1 sure, 1 to confirm). Entries not understood: 1."
    )
    assert isinstance(values, Grid)
    assert values.rows == (
        ("A", "cover", "10 ft", "line 2", "sure"),
        ("", "stated.thickness", "6", "line 3", f"confirm: {'; '.join(DOUBTS)}"),
    )
    assert len(values.columns) == len(values.align) == 5
    assert isinstance(unread, Grid)
    assert unread.rows == (("Job 4711", "line 4", "no known label"),)
    assert len(unread.columns) == len(unread.align) == 3
    assert isinstance(questions, Bullets)
    assert questions.items[0].startswith("missing required key condition")
    assert outcome.holds is True
    assert outcome.data["questions"] == list(questions.items)


def test_nothing_found_and_nothing_missed_are_said_in_words():
    outcome = outcome_of(Document(Transcript((), (), ()), "a.txt", "1f" * 32))
    texts = [block.text for block in outcome.document.blocks if isinstance(block, Paragraph)]
    assert texts[1] == "No value was found."
    assert not any(isinstance(block, Grid) for block in outcome.document.blocks)
    assert outcome.holds is False


def test_the_data_that_programs_read():
    data = transcript_data(Transcript(("A", "B"), (COVER, WALL), (MISSED,)), ("why?",))
    assert data == {
        "format": 1,
        "pipes": ["A", "B"],
        "found": [
            {"pipe": "A", "key": "cover", "value": "10 ft", "text": "Cover: 10 ft",
             "at": "line 2", "sure": True, "doubts": []},
            {"pipe": None, "key": "stated.thickness", "value": "6", "text": "t = 6",
             "at": "line 3", "sure": False, "doubts": DOUBTS},
        ],
        "not_understood": [{"text": "Job 4711", "at": "line 4", "reason": "no known label"}],
        "questions": ["why?"],
    }  # fmt: skip
