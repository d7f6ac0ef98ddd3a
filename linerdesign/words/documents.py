"""Sentences of calculation sheets and schedules, in every form in which they are written."""

SENTENCES = {
    "more_rows": "{count} more rows",
    "in_full": "Extract. The written document has all tables, sources and cautions.",
    "verified_by": "verified against {office}",
    "other_rule": "{rule}: nominal thickness {nominal}, {change:+.3g} mm",
    "other_rule_same": "{rule}: same nominal thickness",
    # What a sheet says of one pipe
    "about": "{resin}; {condition}; {edition}",
    "edition": "ASTM {edition}, {form}",
    "fully": "Condition as determined by the owner: the host pipe does not, or will not, carry "
    "soil and surcharge over the design life.",
    "partially": "Condition as determined by the owner: the host pipe carries soil and surcharge "
    "over the whole design life.",
    "fails_alarm": "This thickness fails a check.",
    "outside_alarm": "Outside the scope of the method: not a valid design.",
    "floor": "; owner's minimum governs",
    "at": "{what} at {station}",
    "other": "If the host pipe were {condition}: required {required}, nominal {nominal}, governed "
    "by {governing}. The owner determines the condition.",
    "other_missing": "If the host pipe were {condition}: not computed; missing: {missing}. The "
    "owner determines the condition.",
    "chosen": "{equation} applies: {why}",
    "not_applying": "Not applicable: {equations}.",
    "not_measured": "{meaning} ({origin})",
    "not_measured_stated": "{meaning} ({origin}, stated as {stated})",
    "flag": "Flag: {text}",
    # How a line is worked
    "rounded_up": "rounded up",
    "next_listed": "next listed thickness",
    "none_listed": "exceeds the largest listed thickness",
    "see_source": "see source",
    # Captions
    "not_designed": "Pipes not designed",
    "checks_at": "Checks at {thickness}",
    "revision": "revision {revision}",
    "sources": "Sources: {list}.",
    "picture": "[{caption}: {words}]",
    "foot": "To be reviewed and sealed by a licensed engineer before use; cautions on page 1.",
    # Cautions that every document carries
    "caution_seal": "To be reviewed and sealed by a licensed engineer before use.",
    "caution_owner": "The owner determines the condition of the host pipe and the design "
    "parameters; this program determines neither.",
    "caution_codes": "Local codes may prohibit lining or require approval; they take precedence.",
    "caution_shape": "The equations apply to straight, circular pipe with an unbonded liner; not "
    "to egg or box shapes, nor to bends.",
    "caution_site": "Confined-space entry requires a permit and ventilation; resin vapour and "
    "curing heat are subject to the applicable safety rules.",
    "caution_memory": "Equations and tables marked as from memory must be verified against the "
    "printed standard.",
}

# Titles and heads that several forms share.
LABELS = {
    "other_loads": "Live load by other published rules for the vehicle",
    "inputs": "Inputs",
    "calculation": "Calculation",
    "cautions": "Cautions",
    "required_part": "Required thickness",
    "chosen_part": "Nominal thickness",
    "checked_part": "Equations at nominal thickness",
    "rulings": "Choice of equation",
    "outside": "Outside the scope of the method",
    "pipe_cautions": "Cautions for this pipe",
    "defaults": "Defaults",
    "not_measured": "Values not measured",
    "evidence": "Evidence",
    "governing": "Governing equation",
    "status": "Status",
    "nominal": "Nominal thickness",
    "required": "Required thickness",
    "safety": "Min. safety factor N",
    "condition": "Condition of the host pipe",
    "resin": "Resin",
    "edition": "Edition",
    "pipe": "Pipe",
}

# How sure an equation is: its letter on a line, and what the letter means.
SOURCES = {
    "verified": ("v", "verified by the office against its printed standard"),
    "seen": ("s", "seen in the named source"),
    "secondary": ("a", "seen in a published secondary source that applies the standard"),
    "memory": ("m", "from memory; verify against the printed standard"),
    "derived": ("d", "derived; see the documentation"),
    "practice": ("p", "common practice, no source"),
}

# Words of the printed page.
PRINT = {
    "seal": "Seal",
    "signatures": ["Prepared, signature and date", "Checked, signature and date"],
    "contents": "Contents",
    "page_of": "page {n} of {m}",
    "at": "at {station}",
    "input_heads": ["no.", "symbol", "quantity", "station", "value", "source"],
}

# The status of a pipe whose values cannot be designed.
NOT_DESIGNED = "not designed"

# Heads of tables, by name.
TABLES = {
    "required": ("required mm",),
    "legs_by_second": ("leg", "least mm", "required mm", "least/required"),
    "legs": (
        *("leg", "D", "tube D", "tube mm", "stretch %", "delivered mm", "least mm"),
        *("required mm", "min. N", "verdict"),
    ),
    "thin_wall": ("station", "quantity", "design", "allowable", "of the design"),
    "checks": ("equation", "required t", "demand", "capacity", "safety factor", "verdict"),
    "checks_by_station": (
        *("station", "equation", "required t", "demand", "capacity", "safety factor", "verdict"),
    ),
    "working": ("", "quantity", "working", "value"),
}
