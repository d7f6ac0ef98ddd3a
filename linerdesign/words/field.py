"""Sentences about measured pipes, tests, installed walls and the works."""

SENTENCES: dict[str, str] = {
    "verdicts": "Verdicts; min. N at the least reading",
    "stiffness_as_installed": "Stiffness as installed over the design",
    "creep_picture": "Creep test: readings, models and prediction bound",
    "model_basis": "by least squares and information criterion",
    "slope_basis": "log {what} on log time, at life",
    "models_compared": "Models compared, best information criterion first",
    "to_scale": "to scale; 0 deg to the right, angles counter-clockwise",
    "drawn_times": (
        "departures from the circle drawn {times} times; 0 deg to the right, angles "
        "counter-clockwise"
    ),
    "ovality_picture": "Ovality along the run; the line is the value recorded, {rule}",
    "larger_form": "{rule}; the larger of both forms",
    "stretch_heading": "Stretch at the widest station",
    # Installed walls: the requirements
    "what_thickness": "wall thickness",
    "what_rule_mean": "mean thickness, {percent:g} % of the design",
    "what_rule_least": "least reading, {percent:g} % of the design",
    "what_rule_stiffness": "stiffness E t^3 over the design",
    "what_owner_minimum": "owner's minimum thickness",
    "what_equation_least": "{equation} at the least reading",
    "what_equation_mean": "{equation} at the mean thickness",
    "what_equation_least_at": "{equation} at {station}, least reading",
    "what_equation_mean_at": "{equation} at {station}, mean thickness",
    "what_leg": "{equation} at {at}, least reading",
    "what_leg_expected": "{equation} at {at}, wall expected from the other readings",
    "what_leg_data": "data of the system for {at}",
    "what_modulus_mean": "flexural modulus, mean of tests",
    "what_modulus_each": "flexural modulus, lowest test",
    "what_strength_mean": "flexural strength, mean of tests",
    "what_strength_each": "flexural strength, lowest test",
    "what_tensile_mean": "tensile strength, mean of tests",
    "what_tensile_each": "tensile strength, lowest test",
    "what_retention_modulus": "long-term modulus retention",
    "what_retention_strength": "long-term flexural strength retention",
    "what_retention_tensile": "long-term tensile strength retention",
    "what_scope": "scope of the design method",
    "property_modulus": "flexural modulus",
    "property_strength": "flexural strength",
    "property_tensile": "tensile strength",
    # How the wall stands to a requirement
    "met": "{what}: {found}, required {required}: met",
    "below": "{what}: {found}, required {required}: below requirement by {missing}",
    "met_by_statement": "{what}: shown by the evidence stated for the resin",
    "undecided": "{what}: undecided, {why}",
    "points": "points",
    "verdict_met": "met",
    "verdict_below": "BELOW by {missing}",
    "verdict_undecided": "undecided",
    # Why a requirement is undecided
    "no_reading": "no reading of thickness",
    "no_sample": "no sample of this pipe",
    "more_readings": "{count} more of the {least} readings of the rule needed",
    "not_tested": "not tested, although the design uses it",
    "no_evidence": 'no evidence stated for resin "{resin}"; state the test report with the resin',
    "unit_of_tests": "confirm the unit of the {what} tests",
    "reading_in_bend": "the readings lie in a bend, where the wall differs from side to side: "
    "{low} to {high} mm expected; take a reading outside the bend",
    "outside": "the pipe is outside the scope of the method",
    # The verdict on a pipe
    "accepted": "ACCEPTED",
    "not_accepted": "NOT ACCEPTED",
    "not_decided": "NOT DECIDED",
    "short": "{what} below requirement by {missing}",
    "open": "{what} undecided",
    "open_alone": "{what}",
    "verdict_with": "{verdict}: {items}",
    "more_items": "{items} and {count} more",
    "acceptance_title": "Acceptance of installed walls: {counts}",
    "count_accepted": "{count} accepted",
    "count_not_accepted": "{count} not accepted",
    "count_not_decided": "{count} not decided",
    "acceptance_rule": 'Owner\'s rule: "{rule}" ({source}; {provenance}{apart}). '
    "Minimum initial properties: {minimum} ({minimum_provenance}). Every property that the design "
    "uses and every equation at the least reading and at the mean must be met.",
    "iso_apart": "; that the larger of the two applies is from memory",
    "iso_remark": "the standard's requirement on the mean thickness was not seen and is not judged",
    "reading_station": "station {place}",
    "reading_clock": "clock {place}",
    "place_not_stated": "place not stated",
    # Samples
    "basis_structural": "structural wall",
    "basis_whole": "whole wall less {off:g} mm of films and dry layers",
    "basis_not_stated": "not stated, taken as structural wall",
    "basis_caution": "thickness basis not stated: films, preliner and layers without resin do not "
    "count and are assumed not measured",
    "few_tests": "number of tests: {count}; D790 requires {least} or more",
    "one_reading": "one reading of thickness: its variation is unknown",
    "tests_under": "{under} of {count} {what} tests below the design value of {designed} {unit}; "
    "mean {mean} {unit}",
    "readings_under": "{low} of {count} readings below the design thickness of {design:.2f} mm, "
    "least {least:.2f} mm",
    "far_thickness": "mean thickness {share:.2f} times the design: check the unit of the readings",
    "test_high": "highest {what} {value} {unit}, {ratio:.1f} times the design value of {designed} "
    "{unit}: check the unit",
    "test_low": "lowest {what} {value} {unit}, {percent:.2g} % of the design value of {designed} "
    "{unit}{misread}: check the unit",
    "test_scatter": "coefficient of variation of the {what} {variation:.0f} %, over {most:g} %: "
    "check the unit",
    "misread_ksi_as_mpa": " ({value} {unit} if ksi was read as MPa)",
    "misread_mpa_as_psi": " ({value} {unit} if MPa was read as psi)",
    "misread_ksi_as_psi": " ({value} {unit} if ksi was read as psi, or GPa as MPa)",
    "misread_gpa_as_psi": " ({value} {unit} if GPa was read as psi)",
    # Ways to acceptance
    "ways_title": "Ways to acceptance: every rule item plus one equation item",
    "open_title": "Needed for a decision",
    "way_open": "{what}: {why}",
    "way_rule": "rule: {what}: {required} or more (found {found})",
    "way_waive": "equations: all pass as installed; the owner may waive the rule items",
    "way_thickness": "equation: least wall of {thickness}",
    "way_property": "equation: initial {what} of {value} {unit}, shown by tests",
    "way_property_tested": "equation: design revised to an initial {what} of {value} {unit}, which "
    "the mean of the tests, {mean} {unit}, reaches",
    "way_factor": "equation: safety factor of {factor} agreed by the owner",
    "way_life": "equation: modulus retention of {retention:.1f} % or more; with the retention of "
    "the design, a life of {years:.2g} years (straight line in logarithms of time from 1 h)",
    "way_ovality": "equation: ovality of {ovality:.2f} % or less, shown by a survey",
    "way_head": "equation: groundwater of {head:.2f} {unit} or less above the invert{at}, as "
    "measured",
    "way_cover": "equation: depth of cover of {cover:.2f} {unit} or less{at}, as measured",
    "way_second": "second liner of the design's resin inside this one: required {required}, "
    "nominal {nominal}, governed by {governing}; no support by the first liner",
    "at_station": " at {station}",
    # A wall found thin
    "thin_title": "Capacity of this wall",
    "allowable_caption": "Allowable at design N, varied one at a time, all else as designed",
    "allowable_working": "Allowable {what}{at}, at which the governing equation requires exactly "
    "this wall",
    "allowable_solved": "allowable, solved for this wall",
    "no_limit_found": "no limit found",
    "none_allowed": "fails at any value",
    "share_of_vehicle": "live load by {method}: the share is that of the design vehicle at this "
    "cover",
    "allowable_life": "remaining life: the wall passes down to a modulus retention of "
    "{retention:.1f} %; with the retention of the design, {years:.2g} years from loading",
    "life_working": "Remaining life at design N, by a straight line in logarithms of time from 1 h",
    "retention_needed": "at which this wall passes, solved",
    "no_life": "remaining life: none at design N; no modulus retention is sufficient",
    "owner_decides_wall": "the owner and the engineer of record decide on the use of this wall",
    # Limits of an acceptance
    "acceptance_limits": "Limits of this acceptance",
    "limit_representative": "The samples are assumed to represent the whole liner; location, "
    "method and sampler are not judged.",
    "limit_same_basis": "Modulus and thickness are assumed to be on one basis: a modulus on the "
    "whole depth of a specimen belongs to the whole thickness.",
    "limit_leaks": "Leaks, wrinkles, lifts, cure, connections and ends are not judged.",
    "limit_remedy": "The remedy for a deficient wall is decided by the owner and the engineer.",
    # Creep tests
    "short_test": "last reading at {last:,.0f} h, before {full:,.0f} h",
    "beyond": "design life {decades:.1f} decades of time beyond the last reading",
    "far_beyond": "EXTRAPOLATION: design life {decades:.1f} decades of time beyond the last "
    "reading, over {most:g}; extend the test",
    "t0_measured": "fit from {first:g} h; {what} at t0 = {t0:g} h as measured",
    "t0_carried_back": "first reading used at {first:g} h; {what} at t0 = {t0:g} h extrapolated "
    "back by the model",
    "few_readings": "number of readings in the fit: {count}",
    "scatter": "scatter of the readings about the model {scatter:.1f} % (standard deviation), over "
    "{most:g} % (criterion of this program, no source): the slope is uncertain",
    "rising": "the modulus rises with time, which is not creep: a retention over 100 % is "
    "not valid for design",
    "curve_down": "the readings curve down and the {model} model is used; a straight line would "
    "overstate the modulus at design life by {over:.1f} %",
    "may_curve_down": "the readings may curve down: the straight line used may overstate the "
    "modulus at design life",
    "curve_up": "the readings curve up: the straight line used understates the modulus at design "
    "life",
    "one_level": "one load level: dependence of the modulus on the load not tested",
    "levels_differ": "retention from {low:.1f} % at {at_low} to {high:.1f} % at {at_high}, more "
    "than the scatter: the load may exceed the range of linear creep",
    "unit_of_modulus": "modulus of {at_t0} {unit} at t0 outside the usual {least} to {most} "
    "{unit}: check the unit of the readings",
    "creep_ratio": "Retention is the modulus at design life over the modulus at t0 of the same "
    "test; designs multiply it by the initial modulus of a bending test.",
    "creep_by_reading": "The prediction bound treats readings as independent. Readings of one "
    "specimen are not, and the true bound is lower; name the specimens in a column `specimen` for "
    "a bound by specimen.",
    "creep_by_specimen": "The prediction bound is that of a further specimen, by a mixed model "
    "with {count} specimens.",
    "creep_t0": "t0 and the window of the fit change slope and retention: compare only tests with "
    "the same t0.",
    "creep_air": "A test in air at room temperature does not cover water, chemicals or heat in the "
    "pipe.",
    "creep_window": "{model} by least squares on {count} readings from {first} to {last:,.0f} h, "
    "t0 {t0}; readings outside the window: {left_out}.",
    # Legs of a line
    "legs_title": "Legs of the line",
    "legs_caption": "Tube as cured, unstretched, and its wall in each leg; least wall: outer side "
    "of a bend",
    "leg_checks": "Checks of the wall delivered",
    "leg_whole": "whole pipe",
    "leg_number": "leg {number}",
    "leg_working": "Wall delivered, {at}",
    "leg_topic": "Wall delivered",
    "leg_fails": "at {at}: {text}",
    "outer_side": " at the outer side of the bend",
    "leg_enough": "delivered wall {least}{where}, required {required}: sufficient",
    "leg_short": "delivered wall {least}{where}, {required} required by {equation}: below "
    "requirement by {missing}",
    "leg_minimum": "delivered wall {least}{where}, owner's minimum {required}: below requirement "
    "by {missing}",
    "stretch_no_data": 'stretch of {stretch:.1f} %: resin "{resin}" states no maximum stretch; '
    "confirm with the system's data",
    "stretch_over": 'stretch of {stretch:.1f} % exceeds the maximum of {most} of resin "{resin}"',
    "temperature_no_data": 'temperature of {temperature}: resin "{resin}" states no '
    "maximum temperature; confirm with the system's data",
    "temperature_over": "temperature of {temperature} exceeds the maximum of {most} of resin "
    '"{resin}"',
    "leg_fin": "tube wider than the host: longitudinal fold, up to {height:.2f} {unit} high; "
    "ISO 11296-4 allows 2 % of the diameter or 6 mm (from memory; verify against the printed "
    "standard)",
    "leg_wrinkle": "wrinkles at the inner side of the bend: excess length {excess:.2f} {unit}; as "
    "one fold, {height:.2f} {unit} high ({share:.0f} % of D)",
    "tube_proposed": "Tube that serves every leg: for {diameter}, wall {thickness}.",
    "tubes": "Pipes with legs: t tube is the wall of the tube, as stated or else t nom.; min. N "
    "and status are the worst of pipe and legs.",
    "no_tube": "No tube for the diameter of any leg serves every leg: line the legs separately.",
    # Surveys
    "few_diameters": "number of diameters read: {count}; the maximum and minimum of the section "
    "may be in other directions",
    "few_radii": "number of radii: {count}; too few to identify an outlier reliably",
    "many_outliers": "{count} of {all} radii rejected as outliers",
    "outliers": "outliers rejected: {count}, at {angles} deg",
    "gap": "no radii from {start:.0f} to {end:.0f} deg: fitted ellipse used there",
    "ovality_error": "standard error of the ovality of the fitted ellipse {error:.1f} points",
    "step": "step of {depth:.1f} % of the radius at {at:.0f} deg",
    "arc": "{kind} from {start:.0f} to {end:.0f} deg, {depth:.1f} % of the radius {side}",
    "too_few_radii": "number of radii: {count}; too few to distinguish an ellipse from an egg or "
    "box shape",
    "like_egg": "possible egg shape, {height:.1f} % of the radius: radii too few or too scattered "
    "to decide",
    "like_box": "possible box shape, {height:.1f} % of the radius: radii too few or too scattered "
    "to decide",
    "least_figure": "radii too few or too scattered to exclude an egg or box shape of less than "
    "{height:.1f} % of the radius",
    "three_cornered": "three-cornered",
    "egg": "egg-like, narrower at {tip} deg{where}",
    "tip_at_invert": ", the invert if 0 deg is {zero}",
    "box": "box-like, corners at {corners} deg",
    "beyond_limit": "{limit}; largest measured {largest:.2f} %",
    "not_elliptical": "not an ellipse at {count} of {all} stations ({kinds}): the equations are "
    "for an oval, and an ovality does not describe this outline",
    "small": "diameter of {diameter:.4g} mm, under {usual:g} mm: check the unit in the header",
    "large": "diameter of {diameter:.5g} mm, over {usual:g} mm: check the unit in the header",
    "few_stations": "number of stations: {count}; percentile {percent:g} lies between the two "
    "largest values",
    "short_run": "run of {length:g} m shorter than the window",
    "lone_station": "worst window contains one station",
    "departs": "Not an ellipse: {words}.",
    "no_departure": "No departure from an ellipse.",
    "shape_title": "Design diameter and ovality",
    "shape_outside": "Measured shape, outside the scope of the method",
    "outside_record": "OUTSIDE THE METHOD: {text}",
    "engineer_decides": "the equations are for an oval; their use for another outline is decided "
    "by the engineer",
    "not_an_ellipse": "not an ellipse: {words}",
    "figure": "{kind}: outline departs from the fitted ellipse by {distance} {unit}; measured "
    "widths {least} to {largest} {unit}, fitted ellipse {minimum} to {maximum} {unit}",
    "stretched": "Stretched to {diameter} {unit}, {ratio:.3f} times the tube diameter, the wall is "
    "{outside:.2f} mm by constant area (by diameters at mid-wall {mid:.2f} mm); required "
    "{needed:.2f} mm: {verdict}. {tube}; this tube suffices up to {largest} {unit}.",
    "sufficient": "sufficient",
    "insufficient": "NOT SUFFICIENT",
    "tube_needed": "Required tube thickness {t:.2f} mm",
    "no_thicker": "No thickness of a tube of this diameter suffices",
    # Bending tests
    "span": "span {ratio:.1f} times the depth, D790 requires {required:g}",
    "short_span": "span {ratio:.1f} times the depth, D790 requires {required:g}: shear lowers the "
    "modulus",
    "not_straight": "steepest part not straight: squared correlation {straightness:.3f}",
    "past_strain": "largest load beyond {strain:g} % strain, not used",
    "still_rising": "load still rising at the last reading: actual strength is at least this value",
    # Quantities and capacity
    "manning": "n of both surfaces governs the result; n of a new liner increases with slime",
    "no_density": "mass of the wall not calculated: the resin states no density of the cured wall",
    "no_felt_density": "weight of the dry tube not calculated: the resin states no density of the "
    "dry tube",
    "as_cured": "wall of the tube as cured",
    "no_extra_length": "no length included for the ends; state the length beyond the line",
    "no_resin_density": "resin by mass and its mix not calculated: the resin states no "
    "density of the mixed resin",
    "title_capacity": "Capacity running full",
    "title_order": "Quantities to order",
    "title_site": "Site sheet",
    "working_for": "Working for a wall of {wall}",
    "flow_before": "Flow before lining",
    "flow_after": "Flow after lining",
    "solved_for": "solved for the flow of {flow}",
    "practice": " (common practice, no source)",
    "surcharged": "{when}: the flow of {flow} exceeds the full-flow capacity: no free surface",
    "self_cleansing": "{when}: velocity {velocity} {unit} at a depth of {depth:.0f} % of the "
    "diameter, minimum {least} {unit}{practice}: self-cleansing",
    "not_self_cleansing": "{when}: velocity {velocity} {unit} at a depth of {depth:.0f} % of the "
    "diameter, minimum {least} {unit}{practice}: NOT SELF-CLEANSING at this flow",
    "order_caption": "To order and to wet out",
    "works_fails": "DO NOT ORDER: the design of this pipe has the status: {status}",
    "works_working": "Working",
    "works_title": "Order and site sheet",
    "site_caption": "To keep on site",
    "laterals_caption": "Laterals to reopen",
    "working_window": "Window of the inversion head or air pressure",
    "working_pull": "Pull-in",
    "working_cure": "Cure, by the data of the system",
    "not_stated": "not stated, taken as zero",
    "no_window": "NO WINDOW: no internal pressure both holds the tube and keeps within every "
    "limit; change the system, lower the groundwater, or have the pressure that the host "
    "withstands stated by its engineer",
    "hold": "keep the internal pressure inside the window from the end of the inversion or pull-in "
    "until the cured tube has cooled",
    "no_tube_limit": 'resin "{resin}" states no maximum installation pressure: the limit of the '
    "tube is not in the window",
    "no_host_limit": "the limit of the host is not in the window: state the pressure that the "
    "host withstands, or cover and soil unit weight",
    "host_by_soil": "limit of the host: weight of the soil over the crown (common practice, no "
    "source); an intact host may withstand more: its engineer decides",
    "no_fall": "fall of the line not included: add the fall to the smallest head, or state the "
    "slope of the invert",
    "no_pull": "pull-in force not calculated: the resin states neither the density of the cured "
    "wall nor both those of the mixed resin and of the dry tube",
    "no_pull_limit": 'resin "{resin}" states no maximum pull-in force: compare the pull-in force '
    "with the system's data",
    "pull_over": "PULL-IN FORCE of {force} EXCEEDS the maximum of {most}: shorten the pull or "
    "reduce the friction",
    "no_cure": 'resin "{resin}" states no light speed and no cure time: cure by the system\'s data '
    "sheet",
    "plan_only": "This sheet plans; the data sheet of the system decides on pressure, pull-in "
    "and cure.",
    "tube_folds": "the tube is wider than the host: longitudinal fold",
    "widest": "stretched to the largest diameter{at}: {left} delivered, {required} required: "
    "{verdict}",
    "order_thicker": "required tube thickness {t}, or another tube there",
    "at_life_creep": "Modulus at the design life",
    "at_life_ring": "Modulus at the design life, by a ring test",
    "at_life_rupture": "Strength at the design life, by creep rupture",
    "property_read_creep": "modulus",
    "property_read_ring": "modulus",
    "property_read_rupture": "strength",
    "ring_basis": "Modulus from the ring stiffness of ISO 9969 (from memory; verify against the "
    "printed standard), for the mean diameter and the wall of the ring; not a coupon test.",
    "ring_caption": "Ring stiffness E I/d^3 by the ring tests: initial and creep are not one "
    "another (definitions from memory; verify against the printed standards)",
    "ring_initial": "initial ring stiffness",
    "ring_initial_basis": "first reading, at {first:.3g} h; ISO 7685 and ISO 9969 read it at 3 min",
    "ring_late": "first reading at {first:.3g} h: later than the 3 min at which the initial ring "
    "stiffness is read, so that the initial stiffness is larger and the creep factor smaller",
    "ring_creep": "creep ring stiffness at life",
    "ring_creep_basis": "by the model at {life:,.0f} h; ISO 10468",
    "ring_factor": "creep factor",
    "ring_factor_basis": "creep over initial ring stiffness; ISO 10468",
    "ring_ratio": "creep ratio",
    "ring_ratio_basis": "initial ring stiffness over that by the model at 2 years; ISO 9967",
    "ring_modulus": "initial flexural modulus by the ring",
    "ring_modulus_basis": "from the initial ring stiffness; designs that use it multiply it by the "
    "creep factor, not by the retention from t0",
    "rupture_basis": "Retention is the rupture stress at design life over that at t0; designs "
    "multiply it by the initial flexural strength of a short-term test, so t0 should be its "
    "duration.",
    # Headings, captions, and rows of summaries.
    "wall_of": "Wall of {pipe}",
    "requirements_table": "Requirements",
    "places_table": "Readings by place, mm",
    "bending_title": "Bending tests reduced by D790",
    "samples_table": "Samples; thickness basis: {basis}",
    "thickness_row": "thickness, mm",
    "basis_title": "Basis of the result",
    "levels_table": "Load levels",
    "readings_table": "Readings and residuals",
    "readings_cut": "Readings and residuals, one in {every}",
    "stations_table": "Stations; diameters in {unit}, areas in {unit}^2",
    "stations_cut": "Stations, the {most} of largest ovality; diameters in {unit}, areas in "
    "{unit}^2",
    "mean_row": "mean diameter",
    "maximum_row": "maximum diameter",
    "minimum_row": "minimum diameter",
    "any_station": "any station",
    "ovality_row": "ovality",
    "status_row": "status",
    "see_below": "see below",
    "retention_row": "retention",
    "retention_basis": "{what} at life over {what} at t0",
    "model_row": "model",
    "life_row": "{what} at life",
    "life_basis": "at {hours:,.0f} h",
    "bound_row": "lower bound",
    "bound_basis": "one-sided {percent} prediction bound, further {further}",
    "bound_retention_row": "retention of the bound",
    "bound_retention_basis": "bound over {what} at t0",
    "measured_row": "{what} at t0",
    "modelled_row": "{what} at t0",
    "measured_basis": "measured, at {time}",
    "modelled_basis": "by the model, at {time}",
    "slope_row": "slope",
    "level_row": "load level",
    "level_basis": "{rule}",
}

# Heads of tables, by name.
TABLES = {
    "verdicts": ("pipe", "verdict", "design mm", "mean mm", "least mm", "E t^3 %", "min. N"),
    "statistics": ("", "n", "mean", "standard deviation", "CV %", "least", "largest"),
    "places": ("place", "readings", "mean", "least", "required by equations", "margin"),
    "specimens": ("specimen", "modulus, {unit}", "strength, {unit}", "strain, %", "span/depth"),
    "requirements": ("requirement", "required", "found", "verdict"),
    "models": ("model", "AICc", "retention %", "slope at life", ""),
    "levels": ("level", "readings", "last, h", "slope", "at life, {unit}", "bound", "retained %"),
    "readings": ("time, h", "{what}, {unit}", "model", "residual, %"),
    "summary": ("", "value", "basis"),
    "stations": (
        *("station, {unit}", "mean", "max", "min", "q max %", "q min %", "q ellipse %", "area"),
        *("basis",),
    ),
    "site_legs": ("leg", "length", "host diameter", "bend", "radius", "temperature"),
    "laterals": ("no.", "station", "clock", "diameter"),
}
