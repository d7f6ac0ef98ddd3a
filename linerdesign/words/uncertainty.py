"""Sentences about the uncertainty of inputs."""

SENTENCES: dict[str, str] = {
    "command": "the chance that a wall is sufficient",
    # Faults
    "none": "no uncertainty stated; add an [uncertainty] table, or ask for `usual` uncertainties",
    "no_system": "no resin satisfies a pipe without legs and has a known {by}; compare without "
    "uncertainty",
    "no_such_value": "no pipe has such a value; remove the key, or give the value to a pipe",
    "no_column": "no column and no default gives such a value; remove the key",
    "too_many": "{count} uncertain values, at most {most}; use `batch` for a network",
    "currencies": "prices in several currencies ({labels}); compare by thickness or mass",
    "own_values": "uncertainty with values of its own for an axis of the table; state it about the "
    'value, such as "normal, sd 2 ft"',
    "no_uncertainty": "used with --uncertainty only; add --uncertainty stated, or remove it",
    # Method
    "title": "Uncertainty of the inputs",
    "trials": "Monte Carlo simulation with scrambled Sobol points, {trials:,} trials, seed {seed}; "
    "± is one standard error, from {scrambles} independent scrambles",
    "not_converged": "the standard error aimed at, {tolerance:g} points, is not reached everywhere",
    "enough": "chance sufficient: the wall meets every criterion, safety factor included; N = 1: "
    "the wall carries the loads without safety factor",
    "index": "reliability index: that of the chance at N = 1, from the trials where at least "
    "{failing} fail, else of first order (f), the nearest limit of any check",
    "confidence": "nominal thickness that meets every criterion with {confidence:g} % confidence",
    "shares": "share of variance: of the required thickness, first order and total (Sobol "
    "indices); a total above the first order is by interaction",
    "value": "value of knowing an input: mean thickness before rounding (and cost of resin and "
    "tube) saved at the same confidence if a survey or test gave its true value; inputs that save "
    "nothing and have under {least:g} % of the variance are not listed",
    "once": "inputs of a resin are drawn once for all its pipes; all stations of a pipe move "
    "together; other inputs are independent",
    "usual": "uncertainties not stated are taken by the source of the value: common practice, no "
    "source",
    "together": "chance that the walls of all {count} pipes are sufficient at once: {chance}",
    "left_out": "not included, since the legs of the line change its wall: {names}",
    "no_model": "The error of the equations and of the installation is not among the "
    "uncertainties: the figures compare pipes; they are not probabilities of collapse.",
    # Tables
    "inputs": "Uncertain inputs",
    "pipes": "Chance that the wall is sufficient",
    "influences": "Which input matters: share of the variance, and value of knowing it",
    "not_worth": "no input is worth a survey or a test, since none saves thickness: {pipes}",
    "none_worth": "no input is worth a survey or a test, since none saves thickness in any pipe",
    "influences_most": "Which input matters: the {count} of {all} pipes with the lowest chance",
    "stated": "stated",
    "by_source": "usual, {origin}",
    "drawn_pipe": "each pipe",
    "drawn_project": "the project",
    "drawn_resin": "resin {name}",
    "all_known": "all of them",
    "plus_minus": "{percent:.1f} ± {error:.1f}",
    "certain": "over {most:g}",
    "never": "under -{most:g}",
    "first_order": "{index:.2f} f",
    # Comparison
    "compare_title": "Uncertainty: which system is least",
    "compare_totals": "Chance of the least {what} over the {count} pipes in common, and its range",
    "compare_pipes": "Chance of the least {what} in each pipe, % (ties count for each)",
    "compare_walls": "Chance that the nominal thickness is sufficient, %",
    "compare_value": "Value of knowing an input before choosing a system, {what}",
    "compare_not_worth": "not worth a survey, a test or an enquiry for this choice (under "
    "{least:g} % of the largest value): {inputs}",
    "compare_none_worth": "no input is worth a survey, a test or an enquiry for this choice: "
    "knowing it would not change the system chosen",
    "input_of": "{input} ({of})",
    "compare_value_says": "value: reduction of the mean {what} if the input were known before the "
    "choice; one system: for all pipes in common; by pipe: the best system in each pipe, summed, "
    "without mobilisation. The choice is made with one half of the trials and judged by the other",
    "compare_trials": "in each trial every system has the thickness that the drawn values require, "
    "rounded up to a thickness that is made; prices are drawn with it",
    "replaced": "where no thickness made of a system is sufficient, the pipe has the least other "
    "wall that is: in {systems} of the trials",
    "lacking": "{resin} {percent:.1f} %",
    "range_title": "{what}: 5 to 95 % of the trials, and chance of being least",
    # Planning
    "plan_caption": "Nominal thickness for {confidence:g} % confidence, mm; {height}",
    # Inventory
    "batch": "uncertainty: chance sufficient under {confidence:g} % in {rows:,} rows; up to "
    "{most:,} trials a row, until the standard error is {tolerance:g} points, seed {seed}",
    "batch_alone": "chances are of each row by itself, not of rows together",
}

# Heads of tables, by name.
TABLES = {
    "pipes": ("pipe", "wall, mm", "sufficient, %", "N = 1, %", "reliability index", "{confident}"),
    "influences": ("pipe", "input", "first order, %", "total, %", "saved, mm", "saved, {currency}"),
    "inputs": ("input", "uncertainty", "source", "drawn once for", "pipes"),
}
