"""Sentences of the ASTM F1216 method: ranges of its equations, findings, and errors met in them.

What another area says of the method alone stands here by its whole code.
"""

SENTENCES = {
    "low_safety_factor": "safety factor N below the usual 2",
    "high_enhancement": "enhancement factor K over 7 without evidence: state it with the criteria",
    "high_modulus_retention": "modulus retention over 50 % without evidence from a test report: "
    "state the report and its grade with the resin",
    "high_strength_retention": "strength retention over 50 % without evidence from a test report: "
    "state the report and its grade with the resin",
    "high_tensile_retention": "tensile strength retention over 50 % without evidence from a test "
    "report: state the report and its grade with the resin",
    "high_dimension_ratio": "dimension ratio DR over 100, the typical maximum",
    "unusual_soil_weight_us": "unit weight of soil outside the usual range of 80 to 150 pcf",
    "unusual_soil_weight_si": "unit weight of soil outside the usual range of 12.5 to 23.6 kN/m^3",
    "stiff_soil_us": "modulus of soil reaction over 3,000 psi, the highest published class",
    "stiff_soil_si": "modulus of soil reaction over 20.7 MPa, the highest published class",
    "soft_soil_us": "modulus of soil reaction under 50 psi, the lowest published class",
    "soft_soil_si": "modulus of soil reaction under 0.34 MPa, the lowest published class",
    "unusual_modulus_us": "initial flexural modulus outside the usual range of 100,000 to "
    "2,200,000 psi",
    "unusual_modulus_si": "initial flexural modulus outside the usual range of 690 to 15,000 MPa",
    "unusual_strength_us": "initial flexural strength outside the usual range of 2,000 to "
    "50,000 psi",
    "unusual_strength_si": "initial flexural strength outside the usual range of 13.8 to 345 MPa",
    "small_host_us": "host diameter under 4 in, below the published scope of the practice",
    "large_host_us": "host diameter over 108 in, above the published scope of the practice",
    "small_host_si": "host diameter under 100 mm, below the published scope of the practice",
    "large_host_si": "host diameter over 2743 mm, above the published scope of the practice",
    "high_ovality": "ovality over 10 %, the largest distortion covered by Appendix X1",
    "low_long_term_factor": "safety factor N over modulus retention is under 3: lined pipes under "
    "lasting pressure failed at half and survived at a third to a quarter of their short-term "
    "pressure; common practice is 4 (N = 2, 50 %)",
    "deep_cover_us": "cover over 100 ft: check the unit",
    "deep_cover_si": "cover over 30 m: check the unit",
    "shallow_vacuum_us": "vacuum with cover under 4 ft: the soil support assumed by X1.3 is "
    "doubtful",
    "shallow_vacuum_si": "vacuum with cover under 1.2 m: the soil support assumed by X1.3 is "
    "doubtful",
    "no_bore": "wall leaves no bore: results invalid",
    "flooded_head": "water table above grade: full head used",
    "flooded_buoyancy": "water table above grade: buoyancy factor Rw held at 0.67",
    "shallow_cover": "cover under one diameter: the soil support assumed by X1.3 is doubtful",
    "pressure_window": "wall thinner than required for internal pressure: it may pass the "
    "equation that X1.5 selects at this thickness, but a thicker wall may not",
    "dry_wall": "without groundwater above the invert this wall would exceed the DR limit: a lower "
    "water table requires a thicker wall",
    "other_load": "live load by {rule} would require a wall of {nominal} instead of {now} by "
    "{vehicle}: the rules are not interchangeable",
    "other_load_inventory": "live load by {rule} would require a thicker wall: the rules are not "
    "interchangeable",
    "hole_rules": "the thickness by X1.6 is below t_X1.5 and that by X1.7 above it: the wall must "
    "be thick enough for the hole test of X1.5 to direct it to X1.6",
    "plate_rules": "the thickness by X1.6 exceeds t_X1.5, and X1.5 directs every wall over t_X1.5 "
    "to X1.6",
    "tension_rules": "the thickness by X1.7 does not exceed t_X1.5, and every thicker wall passes "
    "X1.6",
    "edition F1216-07b": "X1.3 in the form published since 07b; later editions not checked",
    "edition F1216-07a": "X1.3 in the form used before 07b, from memory",
    # What was done, to complete "it results if ...". Keys in braces are equations.
    "slip partial-for-full": (
        "the pipe is designed as partially deteriorated, without the checks of soil load"
    ),
    "slip other-edition": (
        "X1.3 is taken from the other edition, with C on the other side of the root"
    ),
    "slip elastic-support-units": (
        "the constant of B' is that of the other unit system (0.213 with feet, 0.065 with metres)"
    ),
    "slip elastic-support-misprint": (
        "B' is computed with a misprinted constant (0.65 for 0.065, or 2.178 for e)"
    ),
    "slip ovality-omitted": "the ovality is omitted",
    "slip ovality-doubled": (
        "the ovality is taken as the range of diameters over the mean, twice its value"
    ),
    "slip ovality-factor-not-cubed": "the ovality reduction factor C is not cubed",
    "slip short-term-modulus": "the short-term modulus is used in {E_L}",
    "slip retention-twice": "the retention factor is applied twice to the modulus",
    "slip long-term-modulus-in-stiffness": (
        "the long-term modulus is used in X1.4 in place of the initial one"
    ),
    "slip short-term-strength": "the short-term flexural strength is used in {sigma_L}",
    "slip short-term-tensile-strength": "the short-term tensile strength is used in {sigma_TL}",
    "slip strength-of-other-kind": (
        "the tensile and the flexural strength are exchanged (X1.6 takes the flexural, X1.7 the "
        "tensile strength)"
    ),
    "slip long-term-strength": (
        "the long-term flexural strength is used in X1.2, where the design basis has the "
        "short-term one"
    ),
    "slip head-from-crown": "the head in X1.1 is measured from the crown and not from the invert",
    "slip head-from-invert": "the head in X1.3 is measured from the invert and not from the crown",
    "slip depth-to-water-as-head": "the depth of the water table below grade is taken as head",
    "slip water-datum-crown": (
        "the head above the crown is entered as the head above the invert, so that every head is "
        "less by the diameter"
    ),
    "slip water-datum-invert": (
        "the head above the invert is entered as the head above the crown, so that every head is "
        "more by the diameter"
    ),
    "slip cover-to-invert": "the cover is measured to the invert and not to the crown",
    "slip enhancement-omitted": "the enhancement factor is omitted from X1.1 (K = 1)",
    "slip enhancement-in-soil-buckling": (
        "the enhancement factor K is put under the root of X1.3, which has none"
    ),
    "slip poisson-omitted": "Poisson's ratio is omitted from X1.1",
    "slip safety-factor-omitted": "the safety factor is omitted from {N} (N = 1)",
    "slip safety-factor-1.5": "the safety factor is 1.5",
    "slip buoyancy-omitted": "the water buoyancy factor is omitted (R_w = 1)",
    "slip gross-soil-weight": "q_t is computed with the gross weight of the soil, without R_w",
    "slip buoyancy-not-floored": "the water buoyancy factor falls below its minimum of 0.67",
    "slip live-load-omitted": "the live load is omitted",
    "slip live-load-doubled": "the live load is counted twice",
    "slip soil-modulus-units": "the modulus of soil reaction is in N/mm2 where psi is required",
    "slip dimension-ratio-not-less-one": "X1.1 is solved with DR in place of DR - 1",
    "slip outside-diameter": (
        "the thickness is computed from its DR with another diameter than the inside diameter of "
        "the host"
    ),
    "slip inch-as-25-mm": "an inch is taken as 25 mm",
    "slip rounded-down": "the thickness is rounded down to the next increment",
    "slip check-skipped": "the check by {equation} is omitted",
    "slip wrong-station": "the values of station {station} are used",
    "slip surge-omitted": "the internal pressure is the working pressure, without surge",
    "review.no edition": "not an edition; write one such as F1216-16",
    # What other areas say of it
    "faults.only_circular": (
        "Appendix X1 is for circular pipe, by its mean inside diameter (host_diameter); for "
        "another shape give `shape` or `outline` in [[pipe]] and use `linerdesign buckling`"
    ),
    "faults.shaped": (
        "Appendix X1 does not cover this host: it is not circular; `linerdesign buckling` gives a "
        "thickness by mechanics, which is not the code's; `size --pipe` sizes the circular pipes "
        "by name"
    ),
    "faults.no_tensile": (
        "{resin} has no tensile strength, which a pressure pipe needs (X1.7); add it or choose "
        "another resin"
    ),
    "hosts.fully": "the host must carry soil and live load: the model has no soil around a host "
    "that is not circular, and X1.3 is for circular pipe. Have the wall designed by a "
    "soil-structure analysis; the owner determines whether the host carries the soil",
    "hosts.not_the_code": "Appendix X1 does not cover this host: there is no thickness by the "
    "code. The thickness below is by mechanics alone (elastic liner, not bonded, in a rigid and "
    "frictionless host that carries soil and live load; long-term modulus and strength). It is "
    "not the code's and needs the judgement of a licensed engineer.",
    "hosts.springs": "X1.3 with N = 1 and C = 1 is the buckling pressure of a ring on springs "
    "that push and pull, {both} {unit}. On springs that do not pull, with a bulge of {bulge:g} % "
    "of the radius and the pressure between soil and liner, the model collapses at {apart} "
    "{unit}, {factor} times q_t.",
    "ring.pipe_heading": "Second opinion on X1.1, {pipe}",
    "ring.opinion": "A second opinion on X1.1 from mechanics, for an elastic liner in a rigid, "
    "frictionless host, at the nominal thickness with the long-term modulus and the long-term "
    "flexural strength.",
    "ring.row_code": "X1.1 with K = {factor}, and C for an ovality of {ovality:g} %",
    "ring.side": "Stability. With these imperfections (gap {gap:g} %, bulge {bulge:g} %) K = "
    "{taken} is {side} for this pipe: X1.1 assumes collapse at {code} {unit} (K = {taken}, C = "
    "{reduced}), the elastic model gives {solved} {unit}, {share:.0f} % {more}. X1.1 would agree "
    "with K = {needed}.",
    "ring.first_strength": "Strength. A fibre reaches the long-term flexural strength of "
    "{strength} {unit} at {first} {unit} ({kind}), {share:.0f} % of the collapse pressure of "
    "X1.1: by strength K = {taken} is {side}.",
    "ring.perfect_ring": "By Glock's closed form even the perfect ring in a tight, round cavity "
    "carries {glock} {unit}, {share:.0f} % of the collapse pressure of X1.1 ({code} {unit}): K = "
    "{taken} is {side}.",
    "compare.criterion_x1_2_strength": "flexural strength in X1.2",
    "review.requirement x1_2_strength": "X1.2 strength",
    # Help
    "program": "Wall thickness of cured-in-place pipe liners, ASTM F1216 Appendix X1.",
    "help_number": 'one equation in full, such as X1.1 or "Rw"',
    "help_edition": "form of X1.3: as published since 07b, or before it",
    "help_strength": "flexural strength in X1.2; some published examples use short-term",
    "help_stated": "edition of the submittal, such as F1216-16",
}
