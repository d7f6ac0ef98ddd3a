"""Sentences of the web page, the ones that its script shows included."""

SENTENCES = {
    "title": "{project}: {document}",
    "skip": "Skip to the contents",
    "contents": "Contents",
    "invitation": "Edit any shaded value; results update here. What is chosen in words "
    "(condition, edition, vehicle, resin) needs a new run. Nothing is sent anywhere.",
    "locked": "This browser does not reproduce the issued values; they are locked.",
    "banner": "Not the issued calculation.",
    "banner_more": "Values were changed on this page.",
    "restore": "Restore the issued values",
    "loading": "Loading the remaining sheets.",
    "no_script": "The remaining sheets are shown only where scripts may run; see also the PDF.",
    "as_issued": "As issued.",
    "follows": "Follows the changed values: not as issued.",
    "drawn_as_issued": "Drawn for the issued values.",
    "as_issued_only": "For the issued values.",
    "equations": "Equations",
    "tables": "Tables",
    "symbols": "Symbols",
    "ranges": "Range of validity:",
    "table": "{name} ({source})",
    "edition": "Edition {edition}.",
    "basis_note": "Edit a value here; every pipe that takes it follows.",
    "override": "{meaning}, in place of {words}; empty: by {words}",
    "values_used": "values used",
    # Shown by the script
    "changed_one": "1 value changed.",
    "changed": "{count} values changed.",
    "issued": "changed; issued {text}",
    "not_applied": "changed; not applicable as issued",
    "refused": "{expected}; issued {text}",
    "no_comma": "write a point for the decimals, and no comma between thousands",
    "impossible": "an input is not possible",
    "no_thickness": "these inputs give no thickness",
    "leg_fails": "at {at}: delivered wall {least} is not sufficient; required {required}",
    "bars": "Demand over capacity: {list}.",
}

HEADS = {
    "panel": ("quantity", "value", "source", "drives"),
    "inputs": ("quantity", "value", "source"),
    "symbols": ("symbol", "meaning", "unit"),
    "table": ("at", "value"),
}
