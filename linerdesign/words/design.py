"""Sentences about a design that any method shares: sizes, ranges of inputs, quantities."""

SENTENCES = {
    "no_listed_thickness": "no listed thickness of this resin is sufficient",
    "not_finite": "these inputs together give no finite thickness",
    "only_dimension_ratio": "the DR limit alone governs, and the owner sets no minimum thickness",
    "ovality_as_fraction": "ovality between 0 and 0.2 %: check whether a fraction was written as "
    "a percentage",
    "unusual_liner_roughness": "Manning's n of the liner outside the published range of 0.009 to "
    "0.012",
    "unusual_host_roughness": "Manning's n of the host outside the published range of 0.013 (clay, "
    "concrete) to 0.030 (corrugated metal)",
    "unusual_resin_excess": "resin excess outside 5 to 10 % (common practice)",
    "unusual_span": "span of the bending test is not 16 times the depth, as D790 requires (the "
    "tolerance of 1 is from memory)",
    "internal_pressure": "internal pressure taken as stated: it must include surge and test "
    "pressure; thrust at bends and end seals are not part of this calculation",
    "missing_part": "part of the host is missing: the equations assume a host all round the liner; "
    "`linerdesign buckling` gives the wall at the opening by mechanics, which is not the code's",
    "worst_station": "one tube has one thickness: the worst station governs",
}
