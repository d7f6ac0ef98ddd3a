"""Sentences of the values that several pipes share."""

SENTENCES = {
    "title": "Basis: resins, criteria, live load",
    "drives": "Each value is stated here once, and drives every pipe that takes it.",
    "resin": "Resin {name}",
    "criteria": "Criteria",
    "rules": "Live load rules",
    "pipes": "{count} pipes",
    "one_pipe": "1 pipe",
}
