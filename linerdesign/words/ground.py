"""Sentences on loads on the ground and support by it: the ranges of published rules and tables."""

SENTENCES = {
    "wheel_spread_shallow": "cover under 2 ft: the rule for spreading wheel loads through soil "
    "does not apply",
    "above_load_table": "cover outside the {vehicle} table {table}, {low:g} to {high:g} ft",
    "below_load_table": "cover outside the {vehicle} table {table}, {low:g} to {high:g} ft",
    "beyond_depth_table": "cover beyond the table of E' by depth",
    "soft_native_soil": "native soil modulus under {least:g} of the trench fill: outside the "
    "combining table",
    "narrow_trench": "trench narrower than {least:g} diameters: outside the combining table",
}
