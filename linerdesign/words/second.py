"""Sentences about a second design method beside that of the project."""

SENTENCES: dict[str, str] = {
    "named": "pipe",
    "required": "req. mm",
    "nominal": "nom. mm",
    "governing": "governs",
    "status": "status",
    "setting": "{name} {value:g} % ({origin})",
    "beside": "The {method} does not replace the check by the standard, which chooses the wall.",
    "replaces": "By the criteria of the project the thickness by the {method} replaces that of the "
    "standard, which is shown for information. The licensed engineer is responsible for that "
    "choice.",
    "in_place": "designed by the {method} in place of the standard, as the criteria of the project "
    "require",
    "caption": "Required thickness by two methods",
    "settings": "Settings of the {method}: {settings}. {use}",
    "left_out": "The second method considers {what}.",
    "none": "No thickness by the second method ({method}): {why}.",
    "working": "Lines by the {method} that differ from the sheet of the pipe",
    "heading": "Second design method",
    "legs": "Legs of the line by the {method}",
    "legs_caption": "Required thickness by the second method, each leg with its own diameter, "
    "beside the least wall delivered there",
    "legs_left_out": "The second method ({method}) is for the pipe without its legs here; `size` "
    "shows it for each leg.",
    "not_exchanged": "Legs, break-even points, properties exchanged and curves are by the standard "
    "alone.",
    "static": "a page or workbook follows changed inputs, which the numerical model cannot: write "
    "text, PDF or JSON where the second method replaces the standard",
    "size_only": "a second method in place of the standard is for `size` only: {what} rests on the "
    'equations of the standard; set it to "beside"',
    "not_in_inventory": "the second method ({method}) of the project is not applied to an "
    "inventory: `size` shows it pipe by pipe, and `buckling --study` the model for many pipes",
    "not_in_plan": "The second method ({method}) of the project is not in these tables: `size` "
    "shows it pipe by pipe.",
}
