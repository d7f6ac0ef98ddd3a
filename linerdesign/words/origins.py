"""Sentences about the origin of a value."""

SENTENCES = {
    "standard": "{place}",
    "rule": "{place}",
    "program": "default",
    "owner": "owner's criteria",
    "project": "project criteria",
    "minimum": "owner's minimum",
    "resin": "resin {place}",
    "pipe": "{place}",
    "station": "{place}",
    "submittal": "submittal",
    "calculation": "{place}",
    "unused": "not used here",
    "stated": "{source}, stated as {stated}",
    "worst": "one tube has one thickness: the worst station governs",
    "prescribed": "prescribed by the method",
    "check": "thickness to check",
}
