"""Sentences of the workbook."""

SENTENCES = {
    "of_all_stations": "of these, for all stations",
    "shades": "Edit any shaded cell: green, stated; rose, default or assumed. What is chosen in "
    "words (condition, edition, vehicle, resin) needs a new run.",
    "cautions_live": "Number of cautions",
    "cautions_fixed": "Number of cautions ({n} as issued, listed below)",
    "current": "Nominal thickness (current inputs)",
    "status": "Status",
    "governed": "governed by",
    "name": "Name of the cell (counts every station)",
    "leg_wall": "Wall delivered in this leg",
    "leg_follows": "From the cells of the pipe; what the project states of tube and bends is "
    "constant.",
    "leg_linked": "from the sheet of the pipe",
    "leg_needs": "Required thickness, at least the owner's minimum",
    "leg_serves": "Wall delivered is sufficient",
    "status_with_legs": "Status, legs included",
    "least_with_legs": "Min. safety factor, legs included",
    "legs_failing": "Legs that fail",
    "at_thickness": "Equations at nominal thickness",
    "elsewhere": "edit on the sheet of the first station",
    "on_basis": "edit on the sheet {sheet}",
    "basis": "Basis",
    "schedule": "Schedule",
    "cautions_counted": "Cautions are counted with the current inputs; {count} of them, named on "
    "the sheets of their pipes, are as issued and do not follow.",
    "sealed": "To be reviewed and sealed by a licensed engineer before use; cautions on the sheet "
    "Defaults and cautions.",
    "override": "in place of {words}; empty: by {words}",
    "all_stations": "for all stations",
    "impossible": "Value not possible",
    "enter": "Write {expected}.",
    "where": "{formula}   where {condition}, else 0",
    "max_stations": "max over {count} stations",
    "worst_station": "{meaning} at the worst station",
    "as_issued": "{title}, as issued",
    "memo_live": "Shaded cells are inputs; cells that depend on them recalculate. All else is as "
    "issued.",
    "memo": "As issued: text only; does not recalculate.",
    "defaults": "Defaults and cautions",
    "cautions": "Cautions",
    "notes": "Notes",
    "tables": "Tables used by the formulas",
    "cut": "{text}... (truncated)",
}

HEADS = {
    "station": "station",
    "cautions": "cautions",
    "place": ("No.", "Symbol", "Quantity", "Value", "Unit", "Formula", "", "", "Source"),
    "basis": ("Symbol", "Quantity", "Value", "Unit", "Source", "Drives", "Name of the cell"),
    "checks": (
        *("Equation", "Criterion", "Required thickness", "Unit", "Demand", "Capacity"),
        *("Safety factor provided", "Verdict"),
    ),
    "ranges": ("Kind", "Message", "Status"),
    "legs": (
        "",
        "",
        "Leg",
        "Wall delivered",
        "Unit",
        "Required thickness",
        "",
        "Safety factor",
        "",
    ),
    "defaults": ("Pipe", "Subject", "Text"),
    "table": ("at", "value", "slope"),
}
