"""Sentences of the calculation on paper: answer, design basis, classes of pipes, quantities."""

SENTENCES = {
    "unnamed": "pipe {number}",
    # Answer
    "designed_to": "Design to ASTM {edition}, {form}; safety factor N = {factor}; {resins}.",
    "resin": "{name}, long-term modulus {modulus} {unit}",
    "result": "Thickness by pipe; cover, and groundwater above the invert, at the governing "
    "station",
    "at": "{what} @ {station}",
    "minimum": "owner's minimum ({equation})",
    "rests_on": "Values of pipe and site not measured: {values}. Files: {files}. Fingerprint "
    "{fingerprint}.",
    "no_value": "none",
    "one_value": "1 (see the design basis)",
    "values": "{count} (see the design basis)",
    "of_pipe": "{text} (pipe {pipes})",
    "of_pipes": "{text} (pipes {pipes})",
    # Basis
    "standard": "Standard and condition",
    "resins": "Resin systems",
    "site": "Values of pipe and site, as stated",
    "site_letters": "{symbols}. M measured, P from plans, A assumed, C default of the criteria; "
    "unmarked: given.",
    "compliance": "Owner's requirements and compliance",
    "verified_count": "{count} {meaning} ({letter})",
    "provided": "{number} (lowest provided)",
    "largest": "{number} (largest)",
    "smallest": "{number} (smallest)",
    "True": "yes",
    "False": "no",
    "sizes": "sizes listed by the resin",
    "of_resin": "{step} ({resin})",
    # Classes
    "class": "Class {letter}: {condition}, {kind}",
    "gravity": "gravity pipe",
    "pressure": "pressure pipe",
    "vacuum": "vacuum",
    "above_ground": "above ground",
    "members": "Pipes {pipes}. Worked line by line: pipe {number}, {name}; the others in the "
    "calculation table.",
    "reading": "The line numbers of a table refer to the formulas worked above it; a line not "
    "listed has the value of the worked calculation for every pipe. – no such line; ! outside a "
    "range, listed above the table.",
    "formula_as": "(formula: {line})",
    "alone": "Pipe {number}, {name}: worked line by line.",
    "further": "Class {letter}: further lines, worked for pipe {number}, {name}",
    "table": "Calculation table {letter}",
    "cases": "Lines of other pipes that take another case of the formula, or other table values",
    "range_left": "line {number}: {text}",
    # Beside the thickness
    "beside": "{topic}: the others, by the lines worked above; lines not listed are the same",
    "worked_for": "{caption}: worked for pipe {pipe}",
    "further_lines": "{caption}: further lines, worked for pipe {pipe}",
    "works": "The order and the site sheet are worked line by line in a document of their own.",
    # Foot and appendix
    "foot": "To be reviewed and sealed by a licensed engineer before use; cautions on the last "
    "page.",
    # Long profile
    "profile_about": "Ground, groundwater, host pipe and liner thickness by pipe, in the order of "
    "the project.",
    "profile": "{heights}; heights drawn {times} times the lengths",
    "profile_levels": "Elevations",
    "profile_depths": "Above the invert, which is drawn level",
    "profile_pipe": "pipe {number}, {name}: {wall}",
    "axis_True": "elevation, {unit}",
    "axis_False": "above invert, {unit}",
    # Quantities
    "no_order": "no pipe has an order; add [order] to the project and length to [[pipe]]",
    "no_bid": "no pipe has a length; add length to [[pipe]] for a bid schedule",
    "bid_US": "By diameter and nominal thickness, US customary units",
    "bid_SI": "By diameter and nominal thickness, SI units",
    "bid_basis": "Liner area is the inside surface of the host pipe over the length to line. Wall "
    "volume, resin and weights are over the length of tube, ends included. Resin volume is that of "
    "the resin in the wall with an excess of {excess}.",
    "bid_weight": "Resin weight is at the density of the mixed resin where stated, else of the "
    "cured wall; wall weight is that of tube and resin cured, without excess.",
    "bid_density": "No weights: density of the cured wall not stated for {names}.",
    "bid_tube": "Dry tube weight is by the density and thickness of the felt; a thickness not "
    "stated is taken as that of the cured wall (common practice, no source).",
    "bid_no_tube": "No dry tube weight: density of the dry tube not stated for {names}.",
    "bid_not_designed": "Not included, because not designed: {names}.",
    "bid_not_valid": "Not to be ordered as designed, see status: {names}.",
    "bid_without": "Not included, without a length: {count} of the pipes.",
}

# Heads of tables, titles of parts.
HEADS = {
    "schedule": "Schedule",
    "row": "read from",
    "line": "no.",
    "unit": "unit",
    "no_line": "–",
    "before_rounding": "exact",
    "governing": "governs",
    "safety": "min. N",
    "safety_legs": "min. N in legs",
    "nominal": "nominal t",
    "result": "Result",
    "basis": "Design basis",
    "appendix": "Appendix: references and cautions",
    "verification": "Verification of equations",
    "further": "Further calculations",
    "other_condition": "Other condition of the host pipe",
    "subject": "subject",
    "taken": "basis",
    "cautions": "Cautions for single pipes",
    "requirement": "requirement",
    "required": "required",
    "source": "source",
    "used": "used",
    "met": "met",
    "property": "property",
    "pipe": "pipe",
    "quantity": "quantity",
    "bid": "Bid schedule",
    "profile": "Long profile",
}
BID = {
    "diameter": "host diameter",
    "nominal": "t nom., mm",
    "nominal_csv": "nominal thickness",
    "pipes": "pipes",
    "length": "length",
    "area": "liner area",
    "wall": "wall volume",
    "resin": "resin",
    "resin_weight": "resin weight",
    "tube_weight": "dry tube weight",
    "weight": "wall weight",
    "laterals": "laterals to reinstate",
    "total": "total",
    "not_given": "not given",
}
# Heads of the lines that take another case of their formula.
CASES = {"line": "no.", "symbol": "", "numbers": "numbers", "pipes": "pipes"}
MET = {True: "yes", False: "NO", None: "n/a"}
# Heads of the result; units are added.
RESULT = {
    "number": "no.",
    "name": "pipe",
    "length": "length",
    "diameter": "D",
    "cover": "cover",
    "water": "water",
    "condition": "host",
    "governing": "governs",
    "required": "t req.",
    "nominal": "t nom.",
    "tube": "t tube",
    "ratio": "DR",
    "safety": "min. N",
    "status": "status",
}
