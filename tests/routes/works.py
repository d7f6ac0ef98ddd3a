"""Routes to quantities, bending tests and the encased ring."""

from evidence import Route, Strength

from linerdesign.methods import hydraulics, laboratory, legs, quantities, works
from linerdesign.methods.f1216 import gravity, mechanics
from linerdesign.methods.outline import equations as outline
from linerdesign.methods.ring import equations as ring

GAP = (ring.lobe_depth, ring.lobe_opening, ring.gap_closed, ring.gap_pressure)

QUANTITIES = (
    Route(
        "capacity after lining",
        "the open library `fluids`",
        "1e-9",
        "field/works/test_capacity_and_order.py::test_percentage_against_the_library",
        (hydraulics.capacity_after_lining,),
    ),
    Route(
        "full flow, US and SI",
        "the open library `fluids`",
        "2e-6 in SI; 3e-4 in US, where 1.486 is rounded",
        "field/works/test_capacity_and_order.py::test_full_flow_of_both_systems_against_the_library",
        (hydraulics.full_flow_us, hydraulics.full_flow_si),
    ),
    Route(
        "tube, wall, resin and masses to order",
        "volumes and masses by pint",
        "2e-6",
        "field/works/test_capacity_and_order.py::test_quantities_of_a_wall_by_pint",
        (
            quantities.tube_length,
            quantities.wall_volume_us,
            quantities.wall_volume_si,
            quantities.resin_volume,
            quantities.mass_per_length_us,
            quantities.mass_per_length_si,
            quantities.total_mass,
        ),
    ),
    Route(
        "area, bore, middle line and inertia of the wall",
        "SciPy's integrals",
        "2e-6, the digits of pi",
        "methods/test_geometry.py::test_ring_by_integration",
        (
            quantities.wall_area,
            hydraulics.liner_bore,
            ring.middle_perimeter,
            gravity.wall_inertia,
            gravity.dimension_ratio,
        ),
    ),
    Route(
        "stretch of a tube at a wider place",
        "bisection on the area of the wall",
        "1e-8",
        "field/survey/test_run_and_stretch.py::test_stretch_against_bisection_on_the_wall_area",
        (quantities.stretched_by_outside_diameter,),
    ),
    Route(
        "stretch by mean diameters",
        "3 in tube in a 4 in pipe, by hand",
        "1e-12",
        "field/survey/test_run_and_stretch.py::"
        "test_three_inch_tube_in_a_four_inch_pipe_keeps_three_quarters",
        (quantities.stretched_by_mean_diameter,),
    ),
    Route(
        "modulus from a ring test",
        "Castigliano's theorem on the thin ring",
        "2e-3",
        "field/laboratory/test_laboratory_files.py::test_a_ring_against_the_thin_ring",
        (laboratory.ring_stiffness, laboratory.ring_modulus),
    ),
    Route(
        "resin in gallons and litres, roller gap",
        "231 in3 to the gallon, 1,000 L to the m3, two walls of a flat tube",
        "1e-12",
        "field/works/test_capacity_and_order.py::test_resin_measure_and_roller_gap_by_pint",
        (quantities.resin_measure_us, quantities.resin_measure_si, quantities.roller_gap),
    ),
    Route(
        "wall of a tube round a bend, excess length and folds",
        "arc lengths of a polygon of many chords, and perimeters",
        "1e-5",
        "field/works/test_legs.py::test_bend_and_folds_by_lengths_of_polygons",
        (
            legs.circumferential_stretch,
            legs.bend_share,
            legs.outside_of_bend,
            legs.inside_of_bend,
            legs.excess_length,
            legs.wrinkle_height,
            legs.fin_height,
        ),
    ),
    Route(
        "pressures and heads of an installation, US and SI",
        "soil and water weighed by pint",
        "1e-3, the unit weight of water to three figures",
        "field/works/test_site.py::test_pressures_and_heads_of_both_systems_by_pint",
        (
            works.least_pressure,
            works.heave_us,
            works.heave_si,
            works.largest_pressure,
            works.fall_of_line,
            works.least_head_us,
            works.least_head_si,
            works.largest_head_us,
            works.largest_head_si,
        ),
    ),
    Route(
        "pull-in force and elongation",
        "friction and strain integrated along the tube by SciPy",
        "1e-5",
        "field/works/test_site.py::test_pull_in_force_by_integration",
        (works.pull_force_us, works.pull_force_si, works.elongation),
    ),
    Route(
        "cure by light",
        "power over speed by pint",
        "1e-6",
        "field/works/test_site.py::test_cure_by_light_by_pint",
        (works.light_time, works.light_energy),
    ),
    Route(
        "cure by heat",
        "sum of times by hand",
        "1e-12",
        "field/works/test_site.py::test_cure_by_heat_and_what_is_not_stated",
        (works.heat_time,),
    ),
    Route(
        "resin by mass, its mix, and the wet tube",
        "volume and density by pint, parts by hand",
        "1e-6",
        "field/works/test_site.py::test_resin_by_mass_and_its_mix_by_pint",
        (
            quantities.resin_mass,
            quantities.mix_of_resin,
            quantities.mix_of_hardener,
            quantities.wet_mass,
            quantities.wet_mass_of_parts,
        ),
    ),
    Route(
        "segment of a circle below the water",
        "widths of the circle integrated by SciPy",
        "1e-6",
        "field/works/test_site.py::test_segment_by_integration",
        (
            hydraulics.wetted_angle,
            hydraulics.flow_area,
            hydraulics.hydraulic_radius,
            hydraulics.relative_depth,
        ),
    ),
    Route(
        "velocity and flow of a part-full pipe, US and SI",
        "the open library `fluids`",
        "1e-9 in SI; 3e-4 in US, where 1.486 is rounded",
        "field/works/test_site.py::test_velocity_against_the_library",
        (
            hydraulics.velocity_us,
            hydraulics.velocity_si,
            hydraulics.part_full_flow_us,
            hydraulics.part_full_flow_si,
        ),
    ),
    Route(
        "remaining life of a thin wall",
        "straight line in logarithms by hand",
        "1e-6",
        "field/acceptance/test_as_built.py::test_retention_and_life_by_hand",
        (laboratory.remaining_life,),
    ),
    Route(
        "bending test, stress, strain and modulus",
        "beam theory: moment, section modulus, deflection",
        "1e-6",
        "field/laboratory/test_bending_and_samples.py::test_formulas_against_beam_theory",
        (
            laboratory.flexural_stress,
            laboratory.flexural_strain,
            laboratory.flexural_modulus,
        ),
    ),
)

RING = (
    Route(
        "Glock, one to three lobes",
        "greatest pressure of a lobe's potential energy, searched",
        "5e-5",
        "methods/test_ring.py::test_glock_is_the_greatest_pressure_without_a_gap",
        (ring.glock_pressure, ring.glock_lobes_pressure),
    ),
    Route(
        "lobes with a gap",
        "the same search",
        "1e-6",
        "methods/test_ring.py::test_gap_and_lobes_against_the_greatest_pressure",
        GAP,
    ),
    Route(
        "equilibrium of a lobe, thrust and pressure",
        "the potential energy differentiated by SymPy",
        "exact",
        "methods/test_ring.py::test_equilibrium_of_the_lobe_is_that_of_the_derivation",
    ),
    Route(
        "free ring",
        "Levy's 3 EI/R^3",
        "1e-6",
        "methods/test_ring.py::test_free_ring_is_levys",
        (ring.free_ring_pressure,),
    ),
    Route(
        "flattest radius of an ellipse",
        "curvature by SymPy",
        "1e-12",
        "methods/test_ring.py::test_flattest_radius_is_that_of_an_ellipse",
        (ring.flattest_radius,),
    ),
    Route(
        "perimeter form on a circle",
        "Glock without Poisson's ratio",
        "0.1 %, 0.455 being rounded",
        "methods/test_ring.py::test_perimeter_form_on_a_circle_is_glocks_without_poissons_ratio",
        (ring.perimeter_pressure, ring.middle_perimeter),
    ),
    Route(
        "pressure at which hoop compression alone is the strength, and the bound",
        "statics of half a ring",
        "1e-12",
        "methods/test_ring.py::test_squash_is_the_statics_of_half_a_ring",
        (ring.squash_pressure, ring.greatest_pressure),
    ),
    Route(
        "factors in stability and strength, thickness from DR",
        "worked by hand",
        "1e-9",
        "methods/test_ring.py::test_factors_and_thickness_by_hand",
        (
            ring.stability_factor,
            ring.strength_factor,
            ring.stress_factor,
            ring.ring_thickness,
        ),
    ),
    Route(
        "pressure by X1.1 at collapse, equivalent K",
        "X1.1 with that K",
        "1e-6",
        "methods/test_ring.py::test_the_code_pressure_and_the_equivalent_factor_are_those_of_x11",
        (mechanics.code_pressure, mechanics.equivalent_factor),
    ),
    Route(
        "modulus in plane strain",
        "Hooke's law by SymPy",
        "1e-12",
        "methods/test_geometry.py::test_plane_strain_modulus_from_hookes_law",
        (ring.plane_strain_modulus,),
    ),
)

_HOSTED = "methods/outline/test_hosted.py::"
ANY_HOST = (
    Route(
        "flat side, deflection and stress",
        "bending moment and deflection of a clamped beam",
        "1e-6",
        _HOSTED + "test_the_printed_forms_of_a_flat_side_are_beam_theory",
        (outline.flat_deflection, outline.flat_stress),
    ),
    Route(
        "ring on springs",
        "X1.3 with N and C of 1, and 2 sqrt(k E I)/R, by hand",
        "1e-6",
        _HOSTED + "test_x1_3_is_the_ring_on_springs_of_k_s_and_the_modulus_of_reaction",
        (outline.spring_share, outline.spring_buckling, outline.spring_factor),
    ),
    Route(
        "sizes of a host, pressure of grout",
        "by hand",
        "1e-6",
        _HOSTED + "test_sizes_of_a_host_and_pressures_of_grout_by_hand",
        (
            outline.equal_diameter,
            outline.allowed_deflection,
            outline.grout_pressure_us,
            outline.grout_pressure_si,
        ),
    ),
    *(
        Route(what, route, agreement, _HOSTED + test, holds=Strength.PROGRAM)
        for what, route, agreement, test in (
            (
                "numerical ring in an outline, circle",
                "the symmetric ring in its ellipse",
                "0.01 %",
                "test_a_circle_is_the_symmetric_ring",
            ),
            (
                "elements of the ring, strips under small pressure",
                "beam theory, clamped and pinned",
                "0.2 %",
                "test_small_deflections_of_a_strip_are_those_of_beam_theory",
            ),
            (
                "elements of the ring, strips under large pressure",
                "von Karman's equation, ends that do not move",
                "0.5 %",
                "test_large_deflections_of_a_strip_are_von_karmans",
            ),
            (
                "numerical ring in an egg and a box",
                "a chain of links without rotations",
                "1 %",
                "test_a_chain_of_links_moves_as_far",
            ),
            (
                "uplift of water of some depth",
                "Archimedes",
                "1e-6",
                "test_water_lifts_a_liner_by_what_it_displaces",
            ),
            (
                "numerical ring on springs both ways",
                "least over all waves of the closed form",
                "3 %",
                "test_a_ring_on_springs_both_ways_buckles_at_the_closed_form",
            ),
            (
                "numerical ring, two lobes over one",
                "Glock 1977, approached with smaller bulges",
                "4 % with a bulge of 0.2 %",
                "test_two_lobes_are_stronger_than_one_by_glock",
            ),
        )
    ),
)
