"""Sentences about the verification record."""

SENTENCES = {
    "head": (
        "Verification record. Check each form against your printed standard, then fill in\n"
        "edition, clause, by and date. A row whose form changes later becomes void."
    ),
    "void": "verification of {identity} is void: its form has changed since; verify it again",
    "unknown_row": "no equation, table or constant of this identity; write a new record",
    "incomplete": "row partly filled in; add {keys}, or leave all of them blank",
    "no_rows": "no [[row]] tables; write a record with `linerdesign verification -o FILE.toml`",
    "verified": "verified against {edition}, {clause}, by {by}, {date}",
    "now_there": "{project} names {named}, which did not exist: this is it, still blank",
    "not_there": "{project} names {named}, which does not exist: save the record under that name",
    "written": "{count} rows to verify: {equations} equations, {tables} tables, {constants} "
    "constants",
}
