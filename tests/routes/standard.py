"""Routes to the equations of ASTM F1216, Appendix X1."""

from evidence import Route

from linerdesign.methods import selection, site
from linerdesign.methods.f1216 import gravity, ovality, pressure

SOLVED = (
    gravity.groundwater_thickness,
    gravity.bending_share,
    gravity.thrust_share,
    gravity.bending_thickness,
    gravity.dimension_ratio_thickness,
    gravity.soil_thickness,
    gravity.soil_thickness_07a,
    gravity.stiffness_thickness,
)

FORWARD = (
    gravity.groundwater_capacity,
    gravity.bending_stress,
    gravity.soil_capacity,
    gravity.soil_capacity_07a,
    gravity.stiffness,
)

GRAVITY = (
    Route(
        "thickness required by each check: 400 random pipes, both conditions, editions, unit "
        "systems",
        "bisection on the printed forward equations, written anew",
        "1e-9",
        "methods/f1216/test_sizing.py::test_required_thickness_against_bisection",
        (
            *SOLVED,
            gravity.long_term_modulus,
            gravity.long_term_strength,
            ovality.ovality_reduction,
            site.head_above_crown_us,
            site.head_above_crown_si,
            gravity.groundwater_pressure_us,
            gravity.groundwater_pressure_si,
            gravity.buoyancy_factor,
            gravity.elastic_support_us,
            gravity.elastic_support_si,
            gravity.total_pressure_us,
            gravity.total_pressure_si,
        ),
    ),
    Route(
        "parts of the total pressure, stated one by one",
        "their sum by hand",
        "the figures stated",
        "tasks/review/test_replay.py::test_the_load_is_replayed_from_its_parts",
        (gravity.total_of_parts, gravity.water_load_us, gravity.soil_load_us),
    ),
    Route(
        "safety factor at the nominal wall, 80 random pipes",
        "the printed forward equations, by hand",
        "1e-9",
        "methods/f1216/test_sizing.py::test_safety_factors_by_hand",
        (
            gravity.groundwater_capacity,
            gravity.soil_capacity,
            gravity.soil_capacity_07a,
            selection.safety_provided,
        ),
    ),
    Route(
        "the forward forms",
        "the solved forms put into them, hypothesis; those are held by bisection",
        "1e-9",
        "methods/test_laws.py::test_the_solved_form_meets_the_forward_form",
        FORWARD,
    ),
    Route(
        "the wall required passes and one a millionth thinner fails, 50 random pipes",
        "the design run with that wall given",
        "1e-6",
        "methods/f1216/test_sizing.py::test_required_passes_and_a_hair_thinner_fails",
        (*FORWARD, gravity.allowed_stress),
    ),
    Route(
        "US forms against SI forms",
        "the constants of each system as printed",
        "0.2 %, the difference of the printed constants",
        "methods/test_published.py::test_both_unit_systems_agree",
        (
            site.cover_us,
            site.cover_si,
            site.head_from_crown_us,
            site.head_from_crown_si,
            site.head_from_surface_us,
            site.head_from_surface_si,
            site.head_above_crown_us,
            site.head_above_crown_si,
            gravity.groundwater_pressure_us,
            gravity.groundwater_pressure_si,
            gravity.elastic_support_us,
            gravity.elastic_support_si,
            gravity.total_pressure_us,
            gravity.total_pressure_si,
            gravity.water_load_us,
            gravity.water_load_si,
            gravity.soil_load_us,
            gravity.soil_load_si,
        ),
    ),
    Route(
        "the same pipe, water in 4 and cover in 3 datums",
        "heads and covers by hand",
        "the same wall to 1e-12",
        "methods/f1216/test_sizing.py::test_every_datum_gives_the_same_design",
        (
            site.invert_depth,
            site.cover_us,
            site.head_from_crown_us,
            site.head_from_surface_us,
            site.head_from_elevation,
        ),
    ),
    Route(
        "cover and head where the host has a wall",
        "by hand",
        "1e-6",
        "methods/f1216/test_sizing.py::test_host_wall_raises_the_crown",
        (site.crown_rise, site.cover_us, site.head_above_crown_us),
    ),
    Route(
        "ovality of measured diameters",
        "by hand",
        "1e-6",
        "methods/f1216/test_sizing.py::test_ovality_from_diameters_takes_the_larger",
        (ovality.ovality_from_maximum, ovality.ovality_from_minimum, ovality.larger_ovality),
    ),
    Route(
        "the owner's floor of ovality",
        "by hand",
        "exact",
        "methods/f1216/test_sizing.py::test_the_floor_of_ovality_rules_where_it_is_larger",
        (ovality.design_ovality,),
    ),
    Route(
        "floor and steps of the nominal wall",
        "counted by hand",
        "exact",
        "methods/f1216/test_sizing.py::test_rounding_is_not_fooled_by_the_last_digit",
        (selection.floored, selection.steps_needed),
    ),
    Route(
        "nominal wall of a resin with a step of its own",
        "by hand",
        "1e-6",
        "methods/f1216/test_sizing.py::test_the_resin_gives_its_own_step",
        (selection.steps_needed, selection.stepped),
    ),
    Route(
        "X1.2 of the published example",
        "NumPy's roots of the printed quadratic",
        "1e-4",
        "methods/test_published.py::test_x12_as_the_printed_quadratic",
        (gravity.bending_share, gravity.thrust_share, gravity.bending_thickness),
    ),
    Route(
        "the parent of X1.3, N and C of 1",
        "least buckling pressure of a ring on springs, searched",
        "1e-4",
        "methods/test_soil.py::test_x1_3_is_a_ring_on_springs",
        (gravity.soil_capacity,),
    ),
)

PRESSURE = (
    Route(
        "X1.5 for t",
        "bisection on the forward form",
        "1e-8",
        "methods/test_pressure.py::test_x1_5_solved_is_where_the_forward_form_holds",
        (pressure.hole_thickness, pressure.largest_hole_ratio),
    ),
    Route(
        "X1.6 for t",
        "bisection on the forward form",
        "1e-8",
        "methods/test_pressure.py::test_x1_6_solved_is_where_the_forward_form_holds",
        (pressure.plate_thickness,),
    ),
    Route(
        "X1.7 for t",
        "bisection on the forward form",
        "1e-8",
        "methods/test_pressure.py::test_x1_7_solved_is_where_the_forward_form_holds",
        (pressure.tension_thickness,),
    ),
    Route(
        "X1.6 and X1.7 forward, and the choice between them",
        "written anew",
        "1e-12",
        "methods/test_pressure.py::test_forward_forms",
        (pressure.plate_capacity, pressure.tension_capacity, pressure.pressure_capacity),
    ),
    Route(
        "the 5.33 of X1.6",
        "plate theory: a clamped disc over the hole, 16/3",
        "0.07 %",
        "methods/test_pressure.py::test_x1_6_is_a_clamped_plate_over_the_hole",
        (pressure.plate_capacity,),
    ),
    Route(
        "X1.7",
        "statics of half a ring",
        "1e-12",
        "methods/test_pressure.py::test_x1_7_balances_half_a_ring",
        (pressure.tension_capacity,),
    ),
    Route(
        "the wall from which every thicker one passes",
        "walking through 300 walls from thin to thick",
        "1e-6",
        "methods/test_pressure.py::"
        "test_from_the_thickness_required_on_every_wall_passes_and_a_hair_under_one_fails",
        (pressure.pressure_thickness,),
    ),
    Route(
        "random pressure mains through the whole design",
        "bisection and the branch rule, written anew",
        "1e-8",
        "methods/f1216/test_pressure_pipe.py::test_random_pressure_pipes_against_bisection",
        (
            pressure.long_term_tensile_strength,
            pressure.pressure_thickness,
            pressure.hole_thickness,
            pressure.plate_thickness,
            pressure.tension_thickness,
        ),
    ),
    Route(
        "vacuum in X1.1 and X1.2",
        "groundwater of the same pressure",
        "1e-9",
        "methods/f1216/test_pressure_pipe.py::"
        "test_vacuum_counts_like_groundwater_of_the_same_pressure_in_x1_1",
        (pressure.external_pressure,),
    ),
    Route(
        "vacuum in X1.3",
        "live load of the same pressure",
        "1e-6",
        "methods/f1216/test_pressure_pipe.py::"
        "test_vacuum_counts_like_live_load_of_the_same_pressure_in_x1_3",
        (pressure.total_pressure_with_vacuum,),
    ),
    Route(
        "vacuum above ground",
        "by hand",
        "exact",
        "methods/f1216/test_pressure_pipe.py::test_above_ground_with_vacuum_also_asks_for_x1_1",
        (pressure.vacuum_alone,),
    ),
)
