"""Sentences about faults of measurements, of samples and of further calculations requested."""

SENTENCES = {
    # Measurements
    "length": "must be a finite length over zero",
    "small_host": "smaller than the tube diameter, {tube}; check both",
    "no_bore": "no bore left; must be under {half}",
    "few_values": "{count} values of {what}; at least {least} are needed",
    "angles": "{angles} angles for {radii} radii; give one angle for each radius",
    "angle": "angle that is not finite; give angles in degrees",
    "few_angles": "radii at {count} angles; at least {least} are needed",
    "gap": "no radius over {gap} deg; leave at most {most} deg open",
    "outline": "no outline; give one station with radii against angle",
    "run": "{stations} stations and {values} values; give one value for each station",
    "not_finite": "must be finite",
    "no_values": "no values; give one or more",
    "positive": "must be finite and over zero",
    "no_rise": "load does not rise with deflection; check the readings",
    "past_strain": "all readings past {limit} % strain; give readings under it",
    "no_records": "no records; give one or more",
    "pairs": ("{loads} loads and {deflections} deflections; give pairs of both, at least {least}"),
    "reading_not_finite": "reading that is not finite; correct or remove it",
    "few_rising": (
        "{count} readings up to the largest load; at least {least} are needed, with load that "
        "rises with deflection"
    ),
    "no_levels": "no load levels; give one or more",
    "curve_down": (
        "the {count} readings curve down and are too few to model that; give more readings"
    ),
    "time": "must be a time over zero and at most {most:,.0f} h",
    "confidence": "must be at least 0.5 and under 1",
    "life": "must be more than t0, {t0} h",
    "moduli": "{times} times and {moduli} moduli; give one modulus for each time",
    "creep_reading": "time and modulus must be finite and over zero",
    "few_readings": (
        "{count} readings in the window of the fit; a line with a bound needs at least {least}"
    ),
    "one_time": "all readings at {time} h; give readings at different times",
    "no_measured_column": (
        "no measured column in {where}; give modulus, strength, strain or thickness"
    ),
    "no_measured_value": "no measured value in {where}; give one or more in each row",
    "no_size": "empty; give a length in the first row of each specimen",
    "other_size": "another value for the same specimen; give one value for one specimen",
    # Capacity, quantities and legs
    "no_host_n": (
        "missing key capacity.host_n in {where}: Manning's n of the host, there or in [capacity]; "
        "0.013 to 0.030 in print"
    ),
    "no_slope": (
        "missing key capacity.slope in {where}: depth and velocity at the flow need the slope of "
        "the invert"
    ),
    "no_length": "missing key length in {where}: the quantities need it",
    "half_a_bend": "missing key {missing} in {where}: give both bend and bend_radius, or neither",
    "sharp_bend": "must be more than half the diameter of the leg",
    "past_the_end": "past the end of the line; give a station within its length, {length}",
    # Samples
    "no_rule": "missing key rule in [acceptance]: the owner's choice among {known}",
    "no_samples": "no samples; give [[pipe.sample]] tables, [acceptance] samples, or --samples",
    "nothing_measured": (
        "nothing measured; give a thickness, thicknesses, a modulus or a strength"
    ),
    "stray_specimen": "must be the name of a sample, and of samples of one pipe only",
    "tested_twice": ("modulus or strength also given by the laboratory; remove one of the two"),
    "whole_wall": (
        "reading of the whole wall; give [acceptance] non_structural, what to take off for films "
        "and dry layers"
    ),
    "under_layers": "not over the non_structural layers; check both",
}
