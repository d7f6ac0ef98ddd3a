"""What a buyer of the standards should look up: everything here that is from memory.

Printed in docs/verification.md. Each row says where, what to look at, and what stands here;
`equations` and `tables` are those that rest on it. tests/methods/test_evidence.py asks that each
equation and table from memory stands in one row.
"""

from dataclasses import dataclass

from linerdesign.methods import hydraulics, laboratory
from linerdesign.methods.equation import Equation
from linerdesign.methods.f1216 import gravity, ovality, pressure
from linerdesign.methods.ground import live_load, soil


@dataclass(frozen=True)
class Lookup:
    """One thing to look up in a printed standard."""

    where: str
    look_at: str
    here: str
    equations: tuple[Equation, ...] = ()
    tables: tuple[str, ...] = ()


F1216 = "ASTM F1216, Appendix X1"
TO_VERIFY = (
    Lookup(F1216, "the clause numbers of all equations", "X1.2.1, X1.2.2, X1.3.1, X1.3.2"),
    Lookup(
        F1216,
        "what partially and fully deteriorated mean, and which equations each asks for",
        "X1.1, X1.2 or the DR limit; X1.3 and X1.4 and all of those",
    ),
    Lookup(F1216, "scope: shape, ovality, bond of the liner", "circular, up to 10 %, unbonded"),
    Lookup(
        F1216,
        "ovality by the minimum diameter",
        "100 (D - Dmin)/D, the larger of the two counts",
        (ovality.ovality_from_minimum,),
    ),
    Lookup(
        F1216,
        "strength in X1.2: long-term, or initial as Najafi's example takes it",
        "long-term",
        (gravity.long_term_strength,),
    ),
    Lookup(
        F1216,
        "dimension ratio where no groundwater stands above the invert",
        "DR up to 100",
        (gravity.dimension_ratio_thickness,),
    ),
    Lookup(
        F1216,
        "water: 0.433 psi/ft in X1.1 and in qt; in SI 0.00981 MPa/m, and w H Rw/1000",
        "as stated",
        (
            gravity.groundwater_pressure_si,
            gravity.total_pressure_si,
            gravity.water_load_si,
            gravity.soil_load_si,
        ),
    ),
    Lookup(
        F1216,
        "B' with H in metres",
        "1/(1 + 4 e^(-0.213 H))",
        (gravity.elastic_support_si,),
    ),
    Lookup(
        F1216,
        "the edition from which C stands under the root of X1.3, and the form before",
        "F1216-07b; before it C/N [32 Rw B' E's EL I/D^3]^(1/2)",
        (gravity.soil_capacity_07a,),
    ),
    Lookup(F1216, "editions from -16 on: any change of the appendix", "none known, none claimed"),
    Lookup(F1216, "X1.4 in SI", "0.00064 MPa beside 0.093 psi"),
    Lookup(
        F1216,
        "table X1.1: heads for K 7, EL 125,000 psi, C 0.64, N 2",
        "the five values under Printed numbers",
    ),
    Lookup(
        F1216,
        "pressure pipe: 1.83 in X1.5, 5.33 in X1.6, X1.7, and which strength each takes",
        "X1.6 flexural, X1.7 tensile, both long-term",
        (
            pressure.largest_hole_ratio,
            pressure.plate_capacity,
            pressure.tension_capacity,
            pressure.long_term_tensile_strength,
        ),
    ),
    Lookup(
        F1216,
        "vacuum: added to P in X1.1 and X1.2, and to qt in X1.3",
        "as stated",
        (
            pressure.external_pressure,
            pressure.vacuum_alone,
            pressure.total_pressure_with_vacuum,
        ),
    ),
    Lookup(
        "AASHTO LRFD 3.6.1.2.6",
        "spread of a wheel: LLDF, 0.06 Di, patch of 20 by 10 in",
        "w/12 + LLDF H + 0.06 Di/12, l/12 + LLDF H; LLDF 1.15 or 1.0 by the user",
        (live_load.patch_width, live_load.patch_length),
    ),
    Lookup(
        "AASHTO Standard Specifications",
        "wheel over a square of 1.75 H",
        "neighbours joined where squares meet",
        (
            live_load.square_side,
            live_load.overlapped_squares,
            live_load.wheels_on_squares,
            live_load.spread_wheels,
        ),
    ),
    Lookup(
        "railway practice",
        "impact by cover",
        "40 % at the ground, 0 at 10 ft",
        (live_load.railway_impact,),
    ),
    Lookup(
        "Uni-Bell handbook or AWWA M23",
        "every row of H-20, E-80 and airport, in psi",
        "H-20 under 3 ft is a fraction of the 1.75 H rule; E-80 under 14 ft over Boussinesq",
        (live_load.H_20_PSI, live_load.E_80_PSI, live_load.AIRPORT_PSI),
        ("in psi",),
    ),
    Lookup(
        "the handbooks of the tables in psi and in psf",
        "whether loads under 100 psf are neglected beyond the last row of each column",
        "the note of the table in psf; the last rows are 100 psf or 0.69 psi, H-25 110 psf",
        tuple(live_load.BEYOND.values()),
    ),
    Lookup(
        "AWWA M11, external loads",
        "every row, in psf; H-25 above all; E-80 at 15 ft; H-20 at 7 ft, 175 or 176",
        "600 psf at 15 ft, 9 % over the other handbook's line",
        (live_load.H_20_PSF, live_load.H_25_PSF, live_load.E_80_PSF),
        ("in psf",),
    ),
    Lookup(
        "Howard 1977, USBR REC-ERC-77-01",
        "E' by soil and compaction",
        "50 to 3,000 psi",
        (),
        ("Howard 1977",),
    ),
    Lookup(
        "Duncan & Hartley 1982",
        "E' by soil, depth and compaction",
        "500 to 3,800 psi, bands of 5 ft",
        tuple(soil.BY_DEPTH.values()),
        ("Duncan & Hartley 1982",),
    ),
    Lookup(
        "AWWA M45, 1996",
        "E'n by blows, combining factor in six columns, what Bd/D is measured on",
        "E' = Sc E'b; Bd over the outside diameter where the host's wall is given",
        (
            soil.native_ratio,
            soil.trench_ratio,
            soil.trench_ratio_outside,
            soil.combined_modulus,
            soil.COMBINING_1996,
        ),
        ("native soil", "1996"),
    ),
    Lookup(
        "AWWA M45, 2005",
        "combining factor in eight columns; less sure than that of 1996",
        "rows under 0.1 have nothing close beside them",
        (soil.COMBINING_2005,),
        ("2005",),
    ),
    Lookup(
        "Manning",
        "1.486 and 1.0 for a pipe running full",
        "US and SI",
        (
            hydraulics.full_flow_us,
            hydraulics.full_flow_si,
            hydraulics.velocity_us,
            hydraulics.velocity_si,
        ),
    ),
    Lookup(
        "German practice for liners",
        "least imperfections for `buckling`",
        "local bulge 2 %, ovality 3 %, gap 0.5 % of the radius",
    ),
    Lookup(
        "ISO 9969",
        "ring stiffness from load and deflection",
        "(0.0186 + 0.025 y/d) F/(L y), and E = 12 S (d/t)^3",
        (laboratory.ring_stiffness, laboratory.ring_modulus),
    ),
)
