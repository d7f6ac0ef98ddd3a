"""Sentences about hosts of any shape, soil springs, a missing part of the host, and grouting."""

SENTENCES: dict[str, str] = {
    # Sources of inputs
    "outline": "inside outline of the host",
    "wall_required": "the required thickness below",
    "limit": "pipe; default 3 %, common practice, no source",
    "on_springs": "numerical model: half a ring of {elements} elements, {mesh:+.2g} % with half of "
    "them",
    # Why there is no result
    "needs_datum": "the groundwater must be stated above the invert (groundwater_above_invert or "
    "groundwater_elevation)",
    "no_density": "own_weight requires the density of the resin",
    "sharp": "the corners are too sharp for this wall: radius {radius:.4g} {unit}, at least "
    "{least:.4g} {unit} is required",
    "too_thin": "no wall that the model has been checked for is enough",
    "wide_arc": "a missing part of {arc:g} deg is outside the range tried, at most {most:g} deg: "
    "the wall carries soil there as well as water, by itself. Rebuild the host there before "
    "lining, or have the owner decide whether that length is fully deteriorated",
    "lost": "{why}; refused",
    # Headings and captions
    "heading": "Liner in a host of another shape, {pipe}",
    "table": "Wall of {wall}: required thickness by each limit, P = {pressure} {unit} at the "
    "invert, N = {safety:g}",
    "row_deflection": "deflection of at most {allowed:g} % of the width under P",
    "row_strength": "strength: first fibre at N P, and strength over N under P",
    "row_stability": "stability: elastic collapse at N P",
    "not_reached": "not reached in such a wall",
    "working": "Closed forms and numerical results, line by line",
    # Statements
    "required": "Required thickness by this method: {thickness}; {limit} governs.",
    "at_wall": "Under P a wall of {wall} moves inwards by {moved} {unit_length} (limit {allowed} "
    "{unit_length}); greatest fibre stress {stress} {unit}, strength over N {strength} {unit}.",
    "short": "The wall of {wall} holds {factor} times P by its deciding limit, below N = "
    "{safety:g}.",
    "converged": "Lobes: {mode}. {elements} elements; half of them change the deciding pressure by "
    "{mesh:+.2g} %; work and energy agree within {energy:.2g} %.",
    "one_lobe": "one lobe at {place:.0f} % of the perimeter from the invert, anticlockwise",
    "two_lobes": "two lobes, at {place:.0f} % of the perimeter from the invert on either side",
    "loads": "Loads: water pressure {profile}; gap {gap:g} %, bulge {bulge:g} % of the radius of "
    "the circle of the same perimeter; own weight {weight}; {lifted}.",
    "hydrostatic": "falling from the invert upwards",
    "uniform": "equal all around",
    "counted": "counted",
    "left_out": "left out",
    "lifted": "water lifts the liner onto the crown",
    "held": "the uplift is carried along the wall",
    # Missing part
    "hole_heading": "Missing part of the host, {pipe}",
    "hole": "With {arc:g} deg of the host missing about {position:g} deg from the crown, a wall of "
    "{wall} carries {factor} times P = {pressure} {unit}; {limit} decides. Required thickness: "
    "{thickness}. Soil that bears on the liner through the opening is not included.",
    # Soil springs
    "springs_heading": "Soil springs behind a fully deteriorated host, {pipe}",
    # Grout
    "grout_heading": "Grouting outside the liner, {pipe}",
    "grout_note": "Fresh grout presses on its own stage; the stages below have set and close the "
    "gap there. Initial modulus and strength; the liner is empty.",
    "grout_table": "Stages of grouting: wall of {wall}, N = {safety:g}",
    "grout_working": "Pressure of stage {number}, line by line",
    "grout_safe": "Every stage holds with N = {safety:g}.",
    "grout_unsafe": "Stage {number} holds with a factor of {factor}, below N = {safety:g}: lower "
    "the stage, brace the liner, or fill it with water.",
    "grout_lost": "Stage {number} has no result: {reason}.",
    "grout_levels": "every stage must be higher than the one before, and at most as high as the "
    "host ({height:.4g} {unit})",
    "limit_deflection": "deflection",
    "at_least": "at least {factor}",
    "limit_none": "no limit reached",
    "silent": "No result for this pipe: {reason}.",
}

# Heads of tables, by name.
TABLES = {
    "limits": ("limit", "required thickness"),
    "grout": ("top above invert", "pressure", "deflection", "fibre stress", "factor", "decides"),
}
