"""Sentences about the encased ring: its numerical model, its limits and its checks."""

FROM_MEMORY = "from memory; verify against the printed guideline"

SENTENCES: dict[str, str] = {
    "glock_level": "Glock: round, tight, one lobe",
    # Ranges and checks of the model
    "wide_lobe": "lobe wider than half the ring: outside the shallow-lobe closed form",
    "dimension_ratio_outside": "dimension ratio {value:.4g} is outside the range checked for the "
    "model, {low:g} to {high:g}",
    "ovality_outside": "ovality {value:.4g} % is outside the range checked for the model, {low:g} "
    "to {high:g} %",
    "poisson_ratio_outside": "Poisson's ratio {value:.4g} is outside the range checked for the "
    "model, {low:g} to {high:g}",
    "too_many_steps": "the equilibrium path took too many steps",
    "branches": "the equilibrium path branches before collapse",
    "no_equilibrium": "no equilibrium was found beyond a point of the path",
    "no_limit": "the equilibrium path has no limit point",
    "limit_unclear": "the limit point could not be located",
    "left_path": "the liner would leave this path before its limit point",
    "above_perfect": "the pressure found is above that of a perfect ring in one lobe",
    "energy_balance": "work and energy differ by {percent:.2g} %",
    "coarse_mesh": "there is no result with half the elements",
    "mesh": "halving the elements changes the pressure by {percent:.2g} %",
    "energy_balance_missed": "work and energy differ by more than {percent:.2g} %",
    "mesh_missed": "halving the elements changes the pressure by more than {percent:.2g} %",
    "no_thickness": "the search for the required thickness did not converge",
    "no_creep": "the modulus retained is 100 %: no creep",
    "no_time": "the creep calculation did not converge",
    "nothing_presses": "no external pressure can act on the liner",
    # Sources of inputs
    "german_default": f"German practice, {FROM_MEMORY}",
    "design": "calculation of the pipe",
    "nominal": "nominal thickness",
    "several_lobes": "a case of several lobes",
    "one_lobe": "one lobe is the weakest",
    "gap_by_bisection": "found by bisection for the annular gap",
    "thrust_by_bisection": "found by bisection for the annular gap",
    "by_model": "numerical model",
    "by_search": "search on the numerical model",
    "by_search_for": "search on the numerical model, gap {gap:g} %, bulge {bulge:g} % of the "
    "radius; {limit}",
    "governs_stability": "stability governs",
    "governs_compression": "strength in compression governs",
    "governs_tension": "strength in tension governs",
    "thinnest_checked": "the thinnest wall the model has been checked for",
    "soil_left_out": "groundwater only, in a host that stays round and rigid: soil and live load "
    "are not included",
    "internal_pressure_left_out": "pressure from outside only: the internal pressure is not "
    "included",
    # Headings and captions
    "title": "Second opinion: collapse and strength of the encased ring",
    "no_opinion": "No second opinion: {reason}.",
    "not_a_check": "It does not replace the check by the standard. The required thickness given "
    "here is by this method alone and is not the design thickness.",
    "in_place": "The criteria of the project put the thickness by this method in place of that of "
    "the standard; the licensed engineer is responsible for that choice.",
    "defaults": "Default annular gap and local bulge: {gap:g} % and {bulge:g} % of the radius, the "
    f"minimum design values of German practice ({FROM_MEMORY}).",
    "working": "Closed forms, line by line",
    "table": "Wall of {wall}{place}: collapse pressures, K that gives a round pipe the same "
    "pressure, and safety factors on P = {pressure} {unit}. Gap and bulge are shares of D/2.",
    "at_station": " at {station}",
    "row_free_ring": "free ring, round",
    "row_glock": "Glock, one lobe: round, tight",
    "row_glock_two_lobes": "Glock, two lobes: round, tight",
    "row_glock_with_gap": "Glock, one lobe: round, gap {gap:g} %",
    "row_perimeter_form": "perimeter form, one lobe: tight, ovality {ovality:g} %",
    "row_numerical": "numerical, elastic collapse: gap {gap:g} %, ovality {ovality:g} %, bulge "
    "{bulge:g} %",
    "row_amstutz": "Amstutz, first strength: round, gap {gap:g} %",
    "row_strength": "numerical, first strength: same imperfections",
    "no_number": "no result",
    "path_caption": "Equilibrium path, {pipe}",
    "path_text": "the pressure over the displacement of the crown rises to {pressure} {unit} and "
    "falls",
    "shape_caption": "Wall at collapse, {pipe}, to scale",
    "shape_text": "one lobe inwards at the crown, the rest of the wall against the host",
    "study_title": "Collapse and first strength of the encased ring, by table",
    "study": "Pressures are read from a table of the numerical model, with the long-term modulus "
    "and strength at the nominal thickness, at the worst station. Error against the model, on "
    "random liners: elastic collapse {collapse:g} % at most; with first strength {least:g} % in 95 "
    "of 100, {worst:g} % at most. Outside its range (Poisson's ratio "
    "{low:g} to {high:g}) there is no number. It does not replace the check by the standard; for "
    "one pipe use the model itself.",
    "study_caption": "Safety factor: the lesser pressure over P",
    # Statements
    "elastic_alone": "Elastic collapse alone, {solved} {unit}, does not show this.",
    "no_first_strength": "Strength. No fibre reaches the long-term flexural strength of {strength} "
    "{unit} before collapse at {solved} {unit}: stability governs.",
    "bounds": "First strength is a bound, not collapse: a wall of this strength collapses between "
    "{first} and {most} {unit}.",
    "design_stress": "Under the design pressure of {pressure} {unit} the greatest fibre stress is "
    "{stress} {unit}; strength over N is {allowed} {unit}.",
    "above_collapse": "The design pressure of {pressure} {unit} is above collapse by the model.",
    "no_strength": "No long-term flexural strength is known: strength is not checked.",
    "side_safe": "on the safe side",
    "side_unsafe": "on the unsafe side",
    "side_level": "level with the model",
    "more": "more",
    "less": "less",
    "compression": "compression",
    "tension": "tension",
    "thickness": "Required thickness by this method, for stability and strength with N = "
    "{safety:g}: {thickness}; {limit} governs.",
    "thinnest": "Required thickness by this method: at most {thickness}, the thinnest wall the "
    "model has been checked for.",
    "too_thin": "No wall that the model has been checked for meets stability and strength with N = "
    "{safety:g}.",
    "limit_stability": "stability",
    "limit_compression": "strength in compression",
    "limit_tension": "strength in tension",
    "low_factor": "{what}: the safety factor by the model is {factor}, below the minimum of "
    "{safety:g} of the design basis. The check by the standard is unchanged; the engineer decides "
    "what follows.",
    "what_stability": "Stability",
    "what_strength": "Strength",
    "no_pressure": "No external pressure acts on this pipe at its design level: there is no safety "
    "factor.",
    "time": "Time. Linear creep by {law}, {kept:.4g} % of the modulus retained after {life:g} "
    "years{grown}: under a lasting pressure of {pressure} {unit} {collapse}; under {safety:g} "
    "times that {safe}.",
    "law_power law": "a power law from {t0:g} h on",
    "law_Findley": "Findley's law with the exponent {exponent:g}",
    "law_creep test": "the curve of the creep test from {t0:g} h on",
    "gap_grows": ", the gap growing by {growth:g} % of the radius as the wall creeps",
    "holds_beyond": "the wall does not collapse within {years:g} years",
    "collapses_at_once": "it collapses at once",
    "collapses_in_hours": "it collapses after {hours} hours",
    "collapses_in_years": "it collapses after {years} years",
    "low_long_term": "N over the modulus retained is {factor}, under 3. In long-term tests of 40 "
    "lined steel pipes (polyethylene, 2001) every liner held a third to a quarter of its "
    "short-term pressure, and most failed at half of it.",
    "carried": "The pressure that leads to collapse after {life:g} years is {carried} {unit}, "
    "{share:.1f} % {more} than elastic collapse with the long-term modulus ({solved} {unit}).",
    "untimed": "No time to collapse: {reason}.",
    "effects": "Effect of the imperfections on the model's K: {used} with all of them; {effects}.",
    "effect_no_gap": "{factor} without the gap",
    "effect_round": "{factor} in a round pipe",
    "effect_small_bulge": "{factor} with a bulge of {bulge:g} %",
    "effect_all_changed": "{factor} with all three changed",
    "perfect": "There is no gap, ovality or larger bulge to remove: the model's K is {used}.",
    "snap": "On the way the liner jumps inwards at {pressure} {unit} and still holds.",
    "model_silent": "The numerical model has no result for this pipe: {reason}.",
    "strength_silent": "The numerical model has no strength or thickness for this pipe: {reason}.",
    "low_ovality": "The ovality used is {ovality:g} %; German practice designs for at least "
    f"{{least:g}} % ({FROM_MEMORY}).",
}

# Heads of tables, by name.
TABLES = {
    "pressures": ("", "pressure, {unit}", "K", "safety factor"),
    "study": (
        *("pipe", "DR", "P, {unit}", "elastic collapse, {unit}", "first strength, {unit}"),
        *("safety factor",),
    ),
}
