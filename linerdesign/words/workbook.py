"""Sentences of the workbook."""

SENTENCES = {
    "of_all_stations": "of these, for all stations",
    "shades": "Edit any shaded cell: green, stated; rose, default or assumed.",
    "current": "Nominal thickness (current inputs)",
    "status": "Status",
    "governed": "governed by",
    "name": "Name of the cell",
    "at_thickness": "Equations at nominal thickness",
    "elsewhere": "edit on the sheet of the first station",
    "on_basis": "edit on the sheet {sheet}",
    "basis": "Basis",
    "schedule": "Schedule",
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
    "defaults": ("Pipe", "Subject", "Text"),
    "table": ("at", "value", "slope"),
}
