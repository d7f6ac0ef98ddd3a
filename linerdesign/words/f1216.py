"""Sentences of the ASTM F1216 method: ranges of its equations and findings of its checks."""

SENTENCES = {
    "low_safety_factor": "safety factor N below the usual 2",
    "high_enhancement": "enhancement factor K over 7 without evidence "
    "(give enhancement_evidence in [criteria])",
    "high_modulus_retention": "modulus retention over 50 % without evidence "
    "from a test report (give evidence and evidence_grade in [[resin]])",
    "high_strength_retention": "strength retention over 50 % without evidence "
    "from a test report (give evidence and evidence_grade in [[resin]])",
    "high_tensile_retention": "tensile strength retention over 50 % without evidence "
    "from a test report (give evidence and evidence_grade in [[resin]])",
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
    "wheel_spread_shallow": "cover under 2 ft: the rule for spreading wheel loads through soil "
    "does not apply",
    "above_load_table": "cover outside the {vehicle} table {table}, {low:g} to {high:g} ft",
    "below_load_table": "cover outside the {vehicle} table {table}, {low:g} to {high:g} ft",
    "beyond_depth_table": "cover beyond the table of E' by depth",
    "soft_native_soil": "native soil modulus under {least:g} of the trench fill: outside the "
    "combining table",
    "narrow_trench": "trench narrower than {least:g} diameters: outside the combining table",
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
}
