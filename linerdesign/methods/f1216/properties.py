"""Initial properties of the cured wall: which check rests on which, and the minimum of each."""

from __future__ import annotations

from linerdesign.methods.equation import Provenance
from linerdesign.methods.method import Specification

# The initial property that each check rests on. X1.5 is decided by X1.7.
RESTS_ON = {
    "X1.1": "E",
    "X1.2": "sigma",
    "X1.3": "E",
    "X1.4": "E",
    "X1.5": "sigma_T",
    "X1.6": "sigma",
    "X1.7": "sigma_T",
}
SPECIFICATIONS = {
    "F1216": Specification(
        {"E": 250_000.0, "sigma": 4_500.0, "sigma_T": 3_000.0},
        Provenance.SEEN,
        "ASTM F1216, Table 1 (tensile strength for pressure pipe: seen in a secondary source)",
    ),
    "F2019": Specification(
        {"E": 725_000.0, "sigma": 6_500.0, "sigma_T": 9_000.0},
        Provenance.MEMORY,
        "ASTM F2019, glass-fibre liners cured by light",
    ),
    "none": Specification({}, Provenance.PRACTICE, "no specification; design values alone"),
}
