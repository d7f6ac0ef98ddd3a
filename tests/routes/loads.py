"""Routes to the equations of live load."""

from evidence import Route

from linerdesign.methods.ground import live_load, soil

LRFD = (
    live_load.overlapped,
    live_load.wheels_together,
    live_load.dynamic_allowance,
    live_load.patch_width,
    live_load.patch_length,
    live_load.vehicle_pressure,
    live_load.governing_vehicle,
)

CLOSED_FORM = (
    live_load.corner_distance,
    live_load.corner_angle,
    live_load.load_coefficient,
)

LIVE_LOAD = (
    Route(
        "HL-93, covers 0.5 to 40 ft, two spreads, two diameters",
        "LRFD wheel by wheel, patches joined where they touch",
        "1e-12",
        "methods/test_live_load.py::test_hl_93_by_another_route",
        LRFD,
    ),
    Route(
        "truck and tandem",
        "the outline: tandem governs under 5 to 6 ft",
        "crossing within 5 to 6 ft",
        "methods/test_live_load.py::test_truck_and_tandem_cross_between_5_and_6_ft",
        (live_load.vehicle_pressure,),
    ),
    Route(
        "1.75 H rule",
        "by hand at 2 and 4 ft",
        "1e-6",
        "methods/test_live_load.py::test_older_rule_by_hand",
        (
            live_load.square_side,
            live_load.overlapped_squares,
            live_load.wheels_on_squares,
            live_load.spread_wheels,
        ),
    ),
    Route(
        "closed form of a surface load",
        "SciPy's integral of Boussinesq's point load",
        "2e-6",
        "methods/test_live_load.py::test_closed_form_is_the_integral_of_a_point_load",
        CLOSED_FORM,
    ),
    Route(
        "concentrated load of the published example",
        "the same integral; print",
        "2e-6",
        "methods/test_live_load.py::test_concentrated_load_of_the_48_in_example",
        (*CLOSED_FORM, live_load.half_side, live_load.half_diameter_us),
    ),
    Route(
        "concentrated load, US against SI",
        "lb and ft by hand to kN and m",
        "1e-6",
        "methods/test_live_load.py::test_concentrated_load_in_both_unit_systems",
        (
            live_load.half_diameter_us,
            live_load.half_diameter_si,
            live_load.concentrated_load_us,
            live_load.concentrated_load_si,
        ),
    ),
    Route(
        "E-80 by Boussinesq",
        "the same integral, impact by hand",
        "1e-5",
        "methods/test_live_load.py::"
        "test_railway_by_boussinesq_is_integrated_and_about_a_third_under_the_table",
        (
            live_load.half_side,
            live_load.distributed_load,
            live_load.railway_impact,
            live_load.factor_of_allowance,
        ),
    ),
    Route(
        "conversions of units",
        "pint",
        "1e-6",
        "methods/test_geometry.py::test_conversions_by_pint",
        (
            live_load.cover_in_feet,
            live_load.diameter_in_inches,
            live_load.load_from_psi,
            live_load.load_from_psf,
            soil.modulus_from_psi,
        ),
    ),
)
