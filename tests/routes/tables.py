"""Routes to the published tables of loads and soils, and to what is read from them."""

from evidence import Route

from linerdesign.methods.ground import live_load, soil

BY_DEPTH = tuple(soil.BY_DEPTH.values())
NOT_FULLY_COMPACTED = tuple(
    each
    for (name, percent), each in soil.BY_DEPTH.items()
    if percent != "100 %" or name == "coarse, little or no fines"
)

TABLES = (
    Route(
        "beyond the last row",
        "loads under 100 psf neglected, as the table in psf prints: no load there, the last row at "
        "its own cover",
        "exact; from memory",
        "methods/f1216/test_live_load_design.py::"
        "test_beyond_the_last_row_the_load_is_neglected_by_a_line_of_its_own",
        tuple(live_load.BEYOND.values()),
    ),
    Route(
        "H-20, 1 to 8 ft",
        "the other handbook, one in psf and one in psi",
        "last digit; both are from memory",
        "methods/test_live_load.py::test_both_handbooks_agree_at_the_covers_both_print",
        (
            live_load.H_20_PSI,
            live_load.H_20_PSF,
            live_load.E_80_PSI,
            live_load.E_80_PSF,
            live_load.load_from_psf,
        ),
        ("in psf", "in psi"),
    ),
    Route(
        "H-20, 3 to 8 ft",
        "the 1.75 H rule",
        "18 %",
        "methods/test_live_load.py::test_older_rule_is_within_18_percent_of_the_h_20_rows",
        (),
        ("in psf", "in psi"),
    ),
    Route(
        "H-20, 1 and 2 ft",
        "the 1.75 H rule",
        "no agreement: the rule gives 4.4 and 2.2 times the table",
        "methods/test_tables.py::test_h_20_rows_under_3_ft_are_a_fraction_of_the_older_rule",
        (),
        ("in psf", "in psi"),
    ),
    Route(
        "H-25, 3 to 10 ft",
        "two wheels of 20,000 lb by the 1.75 H rule, no impact",
        "14 %",
        "methods/test_tables.py::test_h_25_rows_are_within_14_percent_of_the_older_rule",
        (live_load.H_25_PSF,),
        ("in psf",),
    ),
    Route(
        "H-25, 1 to 8 ft",
        "the H-20 column times 20,000/16,000 lb",
        "1 % on the mean, 18 % a row",
        "methods/test_tables.py::test_h_25_is_a_quarter_more_than_h_20",
        (live_load.H_25_PSF, live_load.H_20_PSF),
        ("in psf",),
    ),
    Route(
        "E-80, 2 to 30 ft",
        "axles on 8 by 20 ft, Boussinesq summed, impact 40 % falling to 0 at 10 ft",
        "table 22 to 51 % over it to 12 ft, within 15 % from 14 to 26 ft, 35 % under it at 30 ft",
        "methods/test_tables.py::test_e_80_rows_over_the_axles_by_boussinesq",
        (live_load.E_80_PSI,),
        ("in psi",),
    ),
    Route(
        "E-80, every row in psf",
        "the lines between the rows of the other handbook",
        "1 %; 9 % at 15 ft, which one alone prints",
        "methods/test_tables.py::test_e_80_rows_of_one_handbook_lie_on_the_lines_of_the_other",
        (live_load.E_80_PSF, live_load.E_80_PSI),
        ("in psf", "in psi"),
    ),
    Route(
        "airport, 2 to 12 ft",
        "four tyres, Westergaard's plate on springs, Boussinesq, impact 1.5",
        "14 %, the customary pavement from memory",
        "methods/test_tables.py::test_airport_rows_to_12_ft_are_the_gear_through_the_pavement",
        (live_load.AIRPORT_PSI,),
        ("in psi",),
    ),
    Route(
        "airport, 14 to 24 ft",
        "the gear as one point load, Boussinesq, no impact",
        "8 %",
        "methods/test_tables.py::test_airport_rows_from_14_ft_are_the_gear_as_a_point",
        (live_load.AIRPORT_PSI,),
        ("in psi",),
    ),
    Route(
        "impact of highway loads",
        "AASHTO LRFD's dynamic allowance, 33 % (1 - H/8)",
        "17 %",
        "methods/test_tables.py::test_highway_impact_is_within_17_percent_of_the_dynamic_allowance",
        (live_load.highway_impact,),
        ("impact",),
    ),
    Route(
        "E' by compaction and E' by depth",
        "each against the other's table",
        "a factor of 2 in coarse soil (2.8 in loose silty sand), 4 in lean clay",
        "methods/test_tables.py::test_the_two_tables_of_modulus_side_by_side",
        BY_DEPTH,
        ("Howard 1977", "Duncan & Hartley 1982"),
    ),
    Route(
        "E' by compaction",
        "range 0 to 3,000 psi and 700 psi at 90 % Proctor, seen in a bulletin on E'",
        "700 psi lies between moderate clay and moderate silty sand",
        "methods/test_tables.py::test_howard_against_what_others_print",
        (),
        ("Howard 1977",),
    ),
    Route(
        "E' by depth",
        "constrained modulus by stress, AASHTO LRFD 12.12.3.5, from memory",
        "27 % in clean coarse soil at 90 % and more; elsewhere up to 2.7, in clay up to 3.8 times",
        "methods/test_tables.py::test_modulus_by_depth_over_the_constrained_modulus",
        NOT_FULLY_COMPACTED,
        ("Duncan & Hartley 1982",),
    ),
    Route(
        "E'n of native soil by blows",
        "borders, words and 12 N tons/ft2 of confined gravel, Terzaghi & Peck, from memory",
        "17 % from 2 to 50 blows; the softest two rows and rock by order alone",
        "methods/test_tables.py::test_native_soil_by_blows",
        (),
        ("native soil",),
    ),
    Route(
        "combining factor, every cell of both editions",
        "Leonhardt's factor, from memory; two elastic rings (Lame)",
        "native soil the softer: between the two, 1.5 times apart at a ratio of 0.4, "
        "4 times at 0.1, 80 times at 0.005; the stiffer: 14 % of the rings",
        "methods/test_tables.py::test_combining_factor_lies_between_two_theories",
        (soil.COMBINING_1996, soil.COMBINING_2005),
        ("1996", "2005"),
    ),
    Route(
        "combining factor, rows and columns of both editions",
        "the other edition",
        "10 % from a ratio of 0.4 on, 30 % at 0.1",
        "methods/test_tables.py::test_the_two_editions_of_the_combining_table_overlap",
        (soil.COMBINING_1996, soil.COMBINING_2005),
        ("1996", "2005"),
    ),
    Route(
        "combining factor between rows and columns",
        "SciPy's interpolation on a grid",
        "1e-10",
        "methods/test_soil.py::test_combining_factor_between_rows_and_columns",
        (soil.COMBINING_1996, soil.COMBINING_2005),
    ),
    Route(
        "native soil and trench fill together",
        "six cases read from the tables by hand, both unit systems",
        "2e-6",
        "methods/f1216/test_live_load_design.py::test_native_soil_and_trench_fill_combined",
        (soil.native_ratio, soil.trench_ratio, soil.combined_modulus),
    ),
    Route(
        "width of the trench over a host with a wall",
        "by hand",
        "1e-6",
        "methods/f1216/test_live_load_design.py::test_outside_width_counts_where_the_host_wall_is_given",
        (soil.trench_ratio_outside,),
    ),
)
