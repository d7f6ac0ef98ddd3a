"""Routes to the rest of the program, laws of equations, and the forms they are printed in."""

from evidence import Route, Strength

LAWS = tuple(
    Route(what, route, agreement, test, holds=Strength.LAWS)
    for what, route, agreement, test in (
        (
            "directions of Najafi table 7.9, p. 298",
            "thickness rises with groundwater, ovality and cover, falls as the soil stiffens",
            "direction",
            "methods/f1216/test_sizing.py::test_directions_of_the_published_table",
        ),
        (
            "every input of X1.1 to X1.3 moves the wall its own way",
            "hypothesis",
            "direction",
            "methods/test_laws.py::test_each_input_moves_the_thickness_its_own_way",
        ),
        (
            "all lengths doubled double the wall, gravity",
            "hypothesis",
            "1e-12",
            "methods/test_laws.py::test_thickness_scales_with_diameter",
        ),
        (
            "all lengths doubled double the wall, pressure",
            "hypothesis",
            "1e-9",
            "methods/test_pressure.py::test_all_lengths_doubled_double_the_thickness",
        ),
        (
            "the earlier edition is never thinner (Doherty, No-Dig 2008)",
            "hypothesis",
            "1e-12",
            "methods/test_laws.py::test_the_earlier_edition_is_never_thinner",
        ),
        (
            "Rw stays within 0.67 and 1",
            "hypothesis",
            "exact",
            "methods/test_laws.py::test_buoyancy_stays_between_its_ends",
        ),
        (
            "B' rises from 1/5 at no cover to 1",
            "limits by hand",
            "1e-6",
            "methods/test_laws.py::test_elastic_support_rises_from_a_fifth_to_one",
        ),
        (
            "surface load: between 0 and 1, no unit, either side first",
            "hypothesis",
            "1e-9",
            "methods/test_live_load.py::test_coefficient_knows_no_unit_and_stays_between_0_and_1",
        ),
        (
            "patches that just touch press alike, joined or not",
            "hypothesis",
            "1e-12",
            "methods/test_live_load.py::"
            "test_touching_patches_press_alike_counted_as_one_or_each_alone",
        ),
        (
            "combining tables rise with the native soil and draw to 1",
            "order of rows and columns",
            "exact",
            "methods/test_tables.py::"
            "test_combining_table_rises_with_the_native_soil_and_draws_to_1_with_the_width",
        ),
        (
            "a project in US units and in SI, 50 random pipes",
            "the other system",
            "0.2 %",
            "methods/f1216/test_sizing.py::test_the_unit_systems_agree",
        ),
    )
)

PROGRAM = tuple(
    Route(what, route, agreement, test, holds=Strength.PROGRAM)
    for what, route, agreement, test in (
        (
            "numerical ring, free",
            "Levy 1884, with Timoshenko's shear",
            "0.4 % from DR 10",
            "methods/ring/test_collapse.py::test_free_ring_buckles_at_levys_pressure_less_shear",
        ),
        (
            "thick numerical ring, collapse and fibre stress",
            "a continuum of finite elements in plane strain",
            "1 % and 4 % from DR 10",
            "methods/ring/test_thick_walls.py::"
            "test_a_continuum_in_plane_strain_collapses_within_one_percent",
        ),
        (
            "thick numerical ring, free",
            "Lame's thick ring",
            "2 % at DR 10, 0.1 % at DR 50",
            "methods/ring/test_thick_walls.py::test_a_free_ring_is_lames",
        ),
        (
            "first strength of the numerical ring",
            "nine printed walls of a steel lining, by Amstutz",
            "2 %",
            "methods/ring/test_strength.py::"
            "test_first_yield_is_the_printed_one_and_elastic_collapse_is_not",
        ),
        (
            "thickness by the numerical ring",
            "the wall found, solved anew from no pressure",
            "0.01 %",
            "methods/ring/test_strength.py::"
            "test_required_ratio_meets_the_demand_just_so_from_wherever_it_starts",
        ),
        (
            "numerical ring, tight, small bulge",
            "Glock 1977",
            "4 % at DR 50 to 100, 8 % at DR 30",
            "methods/ring/test_collapse.py::"
            "test_tight_liner_with_a_small_bulge_collapses_at_glocks_pressure",
        ),
        (
            "numerical ring with gap, ovality, bulge",
            "least energy of a Fourier shape, no elements",
            "0.5 % in three cases",
            "methods/ring/test_collapse.py::test_least_energy_over_a_fourier_shape_agrees",
        ),
        (
            "wall forces of the numerical ring",
            "statics of half the ring",
            "0.1 %",
            "methods/ring/test_collapse.py::test_the_wall_forces_balance_the_pressure",
        ),
        (
            "gradient and stiffness of the numerical ring",
            "central differences of the energy",
            "1e-6",
            "methods/ring/test_collapse.py::"
            "test_gradient_and_second_derivatives_are_those_of_the_energy",
        ),
        (
            "inventory on arrays",
            "root searches, and one expression written out",
            "1e-9",
            "tasks/batch/test_agreement.py::"
            "test_lines_against_root_searches_and_a_written_out_expression",
        ),
        (
            "every slip of a review",
            "the hand calculation with that slip, by bisection",
            "1e-9",
            "tasks/review/test_slips.py::test_a_slip_gives_what_it_gives_by_hand",
        ),
        (
            "swing of each doubtful input",
            "the hand calculation, by bisection",
            "1e-9",
            "tasks/review/test_sensitivity.py::test_each_swing_is_that_of_the_hand_calculation",
        ),
        (
            "chance that a wall is enough",
            "closed form for one doubt",
            "0.6 %",
            "tasks/review/test_sensitivity.py::test_the_chance_of_one_doubt_is_known_in_closed_form",
        ),
        (
            "chance that an arbitrary number is explained",
            "numbers tried one by one",
            "0.07",
            "tasks/review/test_claims.py::test_the_chance_is_the_share_of_numbers_that_are_explained",
        ),
        (
            "head and cover that a built wall bears",
            "bisection on the printed equations",
            "1e-6",
            "field/acceptance/test_as_built.py::test_head_and_cover_borne_by_bisection",
        ),
        (
            "mass and cost of a wall",
            "by hand",
            "1e-6",
            "tasks/compare/test_systems.py::test_mass_and_cost_by_hand",
        ),
        (
            "shape of a host from readings",
            "a conic by linear least squares",
            "1e-5",
            "field/survey/test_shape.py::test_fit_agrees_with_the_conic_by_linear_least_squares",
        ),
        (
            "diameters and area of an outline",
            "SciPy's integrals over an ellipse",
            "1e-5",
            "field/survey/test_shape.py::test_measured_outline_of_an_ellipse_against_integration",
        ),
        (
            "waves that an egg or a box makes",
            "SciPy's F distribution; a Fourier sum",
            "1e-6",
            "field/survey/test_figure.py::"
            "test_how_likely_a_wave_is_an_accident_is_the_f_distribution_of_scipy",
        ),
        (
            "worst stretch of a run",
            "every window tried",
            "1e-9",
            "field/survey/test_run_and_stretch.py::test_worst_window_against_brute_force",
        ),
        (
            "creep line, bound and curvature",
            "NumPy's polyfit, SciPy's linregress, matrices",
            "1e-6",
            "field/laboratory/test_creep.py::test_line_and_bound_against_other_routes",
        ),
        (
            "95 % bound of a creep line",
            "2,000 simulated tests",
            "four standard deviations",
            "field/laboratory/test_creep.py::test_prediction_bound_covers_95_percent",
        ),
        (
            "statistics of samples",
            "Python's statistics",
            "1e-6",
            "field/laboratory/test_bending_and_samples.py::test_summary_against_the_statistics_module",
        ),
    )
)

FORMS = tuple(
    Route(what, route, agreement, test, holds=Strength.FORMS)
    for what, route, agreement, test in (
        (
            "symbolic line of every equation",
            "a calculator of + - * / ^ ( ), sqrt exp ln min max",
            "1e-12",
            "methods/test_printing.py::test_symbolic_line_reads_back",
        ),
        (
            "substituted line of every equation",
            "the same calculator",
            "0.05 %",
            "methods/test_printing.py::test_substituted_line_obeys_the_pocket_calculator_rule",
        ),
        (
            "random formulas, every bracket",
            "hypothesis and the same calculator",
            "1e-9",
            "methods/test_printing.py::test_random_trees_read_back",
        ),
        (
            "typeset mathematics of every equation",
            "parsed by Typst, read back",
            "1e-12",
            "documents/test_typeset.py::test_every_equation_reads_back",
        ),
        (
            "MathML of every equation",
            "a reader of its own",
            "1e-5",
            "documents/test_mathml.py::test_every_equation_reads_back",
        ),
        (
            "script of every equation",
            "a JavaScript engine of its own",
            "1e-12",
            "documents/test_script.py::test_every_equation",
        ),
        (
            "every equation in cells",
            "the open library `formulas`, a second engine",
            "1e-12",
            "documents/test_workbook.py::test_every_equation_gives_its_number_in_cells",
        ),
        (
            "workbook after random changes",
            "the same engine against the design",
            "1e-9",
            "documents/test_workbook.py::test_after_random_changes_it_agrees_with_the_design",
        ),
        (
            "workbook as issued and after changes",
            "recalculated by LibreOffice",
            "1e-9",
            "documents/test_workbook.py::test_libreoffice_agrees_as_issued_and_after_changes",
        ),
        (
            "page after changes of its inputs",
            "Chromium runs it, every value against the design",
            "1e-9",
            "documents/test_page_live.py::test_changed_inputs_give_what_the_program_gives",
        ),
        (
            "workbook of a street after changes: schedule, legs, cautions, every named cell",
            "recalculated by LibreOffice, against the project so written",
            "1e-9",
            "documents/test_street_live.py::test_the_workbook_follows_as_size_does",
        ),
        (
            "page of a street after changes: schedule, legs, cautions, checks, every value",
            "Chromium runs it, against the page of the project so written",
            "1e-9",
            "documents/test_street_live.py::test_the_page_follows_as_size_does",
        ),
        (
            "every number of a sheet",
            "text, JSON, PDF, workbook and page side by side",
            "as printed",
            "documents/test_forms_agree.py::test_every_step_stands_on_every_form",
        ),
    )
)
