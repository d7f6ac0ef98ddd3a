"""Sentences of a review: errors in words, comments of the letter, and the internal record."""

SENTENCES: dict[str, str] = {
    "requirement edition": "edition",
    "requirement safety_factor": "safety factor",
    "requirement enhancement_factor": "enhancement factor",
    "requirement poisson_ratio": "Poisson's ratio",
    "under ground": "below grade",
    "over ground": "above grade: hardly plausible",
    "working pressure": "the working pressure without surge: down to half of ours",
    "no cover": "no cover is given to judge it by",
    "no stations": "[[pipe.station]], which this pipe does not have",
    "swings": "Required thickness over the uncertainties of {name}",
    "swings caption": (
        "{name}: required thickness, mm, over the uncertainty of one input (assumed "
        "inputs dark); now {now}"
    ),
    # Faults in what a submittal states.
    "no symbol": "unknown symbol; write one of {known}",
    "not a step": (
        'not a stated value; write a value, or {{ value = "0.836", at = "page 2, line 5" }}'
    ),
    "nothing stated": "nothing stated; give thickness, required_thickness or steps",
    "no such value": "the pipe has no such value; remove the key",
    "unknown station": "no such station; write one of {known}",
    # Contradictions inside the submittal.
    "stated twice": "The submittal states both {one} and {other}.",
    "required and checks": (
        "{required} is stated beside {largest}; the required thickness is the largest of the "
        "checks."
    ),
    "sum of loads": "The stated parts of q_t add up to {summed}.",
    "cover is invert depth": (
        "The cover of {value} equals the depth to the invert; cover is measured to the crown."
    ),
    "head is depth to water": (
        "The head of {value} equals the depth of the water table below grade; the head is measured "
        "from the invert."
    ),
    "head above crown is above invert": (
        "The head above the crown of {value} equals the head above the invert."
    ),
    "heads differ": (
        "The head above the invert of {invert} and the head above the crown of {crown} do not "
        "differ by the height of the pipe, {rise}."
    ),
    "nominal under required": (
        "The nominal thickness of {nominal} is less than the stated required thickness of "
        "{required}."
    ),
    "nominal and increment": (
        "The nominal thickness of {nominal} is not a multiple of the stated increment of {step}."
    ),
    "governing": (
        "{named} is called governing with {own}; the largest stated thickness is {largest}."
    ),
    "safety factor": (
        "A safety factor of {stated} is stated; a wall of {wall} provides {provided} with the "
        "submittal's own values."
    ),
    "class under pressure": (
        "The pressure class of {stated} is below the internal pressure of {pressure}."
    ),
    "class over wall": (
        "A pressure class of {stated} is stated; a wall of {wall} can carry {borne} at the safety "
        "factor N with the submittal's own values."
    ),
    "belongs elsewhere": "The stated {items} is our value for {place}.",
    "belong elsewhere": "The stated {items} are our values for {place}.",
    # The letter.
    "letter title": "Review of a liner thickness calculation",
    "submittal number": "Submittal {value}",
    "submittal revision": "revision {value}",
    "submittal contractor": "submitted by {value}",
    "submittal received": "received {value}",
    "proposed": "Proposed disposition: {disposition}",
    "decided": "Disposition by the engineer of record: {disposition}",
    "introduction": (
        "The submitted calculation was recomputed with the owner's values, and each stated line "
        "from the values stated before it. Please answer the comments by number."
    ),
    "engineer decides": " The engineer of record decides on the disposition.",
    "overview": "Overview, thicknesses in mm",
    "in brackets": (
        "In brackets: no nominal thickness is submitted; the stated required thickness, rounded up "
        "by us, is checked instead."
    ),
    "not reviewed": "No stated values, not reviewed: {names}.",
    "general": "General comments",
    "weight correction": "Must correct",
    "weight question": "Please answer",
    "weight remark": "Note",
    "requires": (
        "Condition: {condition}. Required thickness {required} ({governing}), nominal {nominal}."
    ),
    "no wall": " No thickness is submitted.",
    "no verdict bore": " The submitted wall leaves no bore and was not checked.",
    "verdict": " The submitted {wall} is {verdict}; minimum safety factor provided: {factor}.",
    "verdict by us": (
        " The stated required thickness, rounded up by us to {wall}, is {verdict}; minimum safety "
        "factor provided: {factor}."
    ),
    "verdict adequate": "adequate",
    "verdict thin": "too thin",
    "verdict thick": "adequate, and thicker than required",
    "inputs that differ": "Inputs of the submittal that differ from the owner's",
    "our calculation": "Our calculation",
    # Comments.
    "agreed": "The stated values agree with our recalculation, and the wall is adequate.",
    "agreed as rounded": (
        "The stated values agree with our recalculation as far as their figures show, and the wall "
        "is adequate."
    ),
    "agreed within": (
        "The stated values agree with our recalculation within {tolerance} %, and the wall is "
        "adequate."
    ),
    "unit mistaken": (
        "The stated {item} of {stated} has the digits of our {ours}: the unit may be mistaken "
        "({unit} for {meant}). Please correct the unit."
    ),
    "no bore": (
        "A wall of {wall} leaves no bore in a pipe of {diameter} and was not checked. Please "
        "correct the thickness."
    ),
    "other condition": (
        "The calculation is for a {theirs} host pipe; the condition determined by the owner is "
        "{owner}. Please design for the owner's condition."
    ),
    "thin": (
        "The thickness of {wall} is {short} less than required by {checks}. Please submit a wall "
        "of at least {nominal}, or show why less is sufficient."
    ),
    "short in legs": (
        "A tube of {wall} does not serve every leg of the line: {legs}. {tube} Please submit a "
        "tube that serves every leg, or show why less is sufficient."
    ),
    "thin in dry case": (
        "The thickness of {wall} meets every check at the design groundwater level and exceeds the "
        "maximum DR where the groundwater falls (dry case, default of this recheck; the owner's "
        "criteria do not state it). A wall of {nominal} meets both. The owner will confirm."
    ),
    "thin by rounding": (
        "The stated required thickness is ours within its rounding; please state it with more "
        "figures."
    ),
    "provided": ", safety factor provided {factor}",
    "by us": " (the stated required thickness, rounded up by us)",
    "under minimum": (
        "The thickness of {wall} is less than the owner's minimum of {minimum}. Please submit a "
        "wall of at least {nominal}."
    ),
    "outside limits": (
        " Our recalculation uses inputs outside the owner's limits; the engineer will confirm them."
    ),
    "from own": ("Stated {item}{at}: {stated}; your preceding values give {ours} ({difference})."),
    "from inputs": "Stated {item}{at}: {stated}; we compute {ours} ({difference}).",
    "of owner": "Stated {item}{at}: {stated}; the owner's value is {ours} ({difference}).",
    "no such line": "Stated {item}{at}: {stated}; our calculation has no such line.",
    "more lines": "Further lines that do not follow: {count}.",
    "results if": "The stated value results if {words}. Please correct it, or explain.",
    "result if": "The stated values result if {words}. Please correct them, or explain.",
    "results if either": " The stated value results if {words}.",
    "result if either": " The stated values result if {words}.",
    "more errors": " Further errors on our list with the same result: {count}.",
    "show steps": " The stated values do not tell these apart; please show the steps.",
    "telling apart": " They differ in the {meaning} ({symbol}): {values}. Please state it.",
    "carried on": "These lines follow from it: {lines}.",
    "no effect": "No effect on the adequacy of the submitted wall.",
    "own number": (
        "It is what {equation} alone requires; {over} is not shown, and any error that brings it "
        "below {equation} results in this number."
    ),
    "state lines": " Please state {names}, and correct the calculation.",
    "unexplained": "No error known to us explains it. Please show the calculation, or correct it.",
    "unproven": (
        "The stated values do not show the cause. Please show the calculation, or correct it."
    ),
    "would result from": " The stated {item} would result from {values}.",
    "possibly": "It would result if {words}. Is this the case?",
    "alternative": "{symbol} = {value} in place of {now} ({why})",
    "please clarify": "Please clarify.",
    "other inputs": "The calculation uses values other than the owner's of: {names}.",
    "effects": " This alone changes {effects}.",
    "use owner's": " Please use the owner's values, or state the source of yours.",
    "requirement": (
        "Owner's requirement, {name}: required {required}, submitted {submitted}. Please comply."
    ),
    "too coarse": "Rounded too coarsely to confirm: {values}. Three figures are sufficient.",
    "thick": ("The thickness of {wall} is {more} more than our {nominal}. It passes every check."),
    "not shown": "Not shown in the submittal: {names}. Please provide.",
    "of pipes": " for {names}",
    "other than default": (
        "Other than the default of our recalculation, where the owner's criteria state no value: "
        "{names}. The owner will confirm."
    ),
    "submitted": "{default}, submitted {value}",
    # Requirements.
    "of default": "{value} (default of this recheck)",
    "by the numbers": "by the stated numbers: {words}",
    "no number depends": "no stated number depends on it",
    "differs in": "{names} would show it, and differs",
    "shown by": "shown by {names}",
    "shown by but for the error": "shown by {names}, apart from the error found",
    "adequate wall": "adequate in every check",
    "rounded up": " (rounded up by us)",
    "too few digits": "{value}: too few figures to tell",
    "multiple of": "a multiple of {step}",
    "as safe": "as safe as the owner's",
    "within limits": "within the owner's limits",
    "all within": "all within",
    "test report": "test report for {value}",
    "by custom": "customary, at most {share} %",
    "reason for K": "reason for K = {K}, over {usual}",
    "surge included": "working pressure and surge",
    # The internal record.
    "record title": "Internal record of the review",
    "record introduction": (
        "For the engineer's file; not part of the letter to the contractor. It holds the recheck "
        "line by line, the replay, the errors considered, the owner's requirements and the "
        "sensitivity of the thickness."
    ),
    "stated beside recomputed": "Stated values and our recalculation",
    "result no counterpart": "not part of our calculation",
    "result unit": "unit: {unit}?",
    "result rounded": "rounded too coarsely to confirm",
    "result agrees": "agrees",
    "result open": "open point",
    "result differs": "differs",
    "replay caption": "Replay: each line from the submittal's own preceding values",
    "cause here": "departs here",
    "cause follows": "follows from an earlier departure",
    "cause None": "follows",
    "contradictions": "Contradictions inside the submittal:",
    "errors caption": "Errors that the stated values allow, most likely first; equal rank: "
    "indistinguishable",
    "chance explained": (
        "Chance match: share of arbitrary numbers within 25 % of the stated one to which one error "
        "of the list, or two together, come as near. Over 1 in 10 for one error, or 1 in 50 for "
        "two, is a possibility and no finding."
    ),
    "explanation": "{value} results if {words}{rest}.",
    "effect": " (effect {share} on {value})",
    "also": "; it also results in the stated {names}",
    "not complete": "; other stated values remain unexplained",
    "not exact": "; close, not to the last digit",
    "chance": "Chance of a coincidental match: {odds}.",
    "alternatives": "Inputs that would result in the stated thickness, varied one at a time:",
    "criteria caption": "The owner's requirements",
    "side by side": "Both editions, both conditions; the owner decides",
    "sensitivity": (
        "Each input is varied over its uncertainty, the others held constant. Uncertainties not "
        "stated are taken by the source of the value: common practice, no source."
    ),
    "depends on assumed": "The nominal thickness depends on assumed values: {names}.",
    "sensitivity caption": "Inputs that change the thickness, assumed ones first",
    "trials": (
        "Monte Carlo simulation, {draws} trials (quasi-random, seed {seed}): {wall} mm "
        "is sufficient in {enough} of the trials. Required thickness, percentiles: {percentiles}."
    ),
}

# Heads of tables, by name.
TABLES = {
    "beside": ("pipe", "line", "place", "unit", "stated", "recomputed", "difference, %", "result"),
    "letter": ("pipe", "submitted", "required", "nominal", "verdict", "min. N", "comments"),
    "comments": ("no.", "place", "submitted", "recheck", "comment"),
    "inputs": ("input", "submitted", "owner's", "effect alone on required thickness"),
    "items": (
        *("item", "stated", "recomputed", "difference", "result", "by their inputs"),
        *("by calculation",),
    ),
    "lines": ("line", "place", "stated", "from their values", "result"),
    "requirements": ("requirement", "required", "submitted", "status"),
    "editions": ("condition", "edition", "required, mm", "nominal, mm", "governing"),
    "swings": ("input", "value", "source", "uncertainty", "required, mm", "nominal, mm"),
    "errors": ("rank", "error", "effect", "chance match"),
}
