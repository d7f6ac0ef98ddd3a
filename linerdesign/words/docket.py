"""Sentences of the docket of submittals."""

SENTENCES: dict[str, str] = {
    # What is wrong with a folder
    "no_folder": "folder cannot be read ({reason})",
    "empty": "no submittal in this folder; it needs one folder a submittal, with a project file a "
    "revision",
    "too_many": "more than {most} submittals; split the docket",
    "no_revision": "no project file of a revision",
    "no_submittal_table": "missing [submittal] table with a revision",
    "same_revision": 'duplicate revision "{revision}"; change one',
    "bad_answer": "an answer needs revision, comment (a whole number) and text",
    "no_comment": "no comment {number} on revision {revision}; correct the answer",
    "no_such_submittal": "no such submittal; known are {known}",
    "bad_date": "not a date; give it as YYYY-MM-DD",
    "letter_not_read": "the submittal cannot be read: {why}",
    # The document
    "title": "Docket of submittals",
    "status": "Status",
    "detail": "{number}, {contractor}: revision {revision}",
    "changes": "Changes from revision {before} to {after}",
    "no_changes": "No value of the project file changed from revision {before} to {after}.",
    "comments": "Comments",
    "no_comments": "No comments.",
    "unreadable": "cannot be read",
    "overdue": "overdue",
    "under_review": "open comments",
    "complete": "no open comments",
    "since": "open since {since}",
    "disposition": "Disposition: {disposition}.",
    # The letter
    "letter_title": "Submittal {number}, revision {revision}: open comments",
    "letter_open": "Open comments",
    "letter_intro": "The comments below remain open after review of revision {revision}. Comments "
    "not repeated here are closed.",
    "letter_none": "All comments on earlier revisions are closed; there are no new comments.",
    "letter_answer": "Response received: {answer}",
}

# Heads of tables, by name.
TABLES = {
    "submittals": (
        *("number", "contractor", "rev.", "received", "due", "open", "new", "closed", "status"),
    ),
    "comments": ("no.", "state", "pipe", "comment", "response"),
    "changes": ("pipe", "key", "{before}", "{after}"),
}
