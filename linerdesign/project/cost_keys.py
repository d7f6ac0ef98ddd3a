"""Rows of the table of keys for comparisons: what a system costs, and the grades of evidence."""

from __future__ import annotations

from linerdesign.project.key import Key

# From the strongest to the weakest; a test report is one of the first two.
EVIDENCE_GRADES = ("third-party creep test", "maker's report", "letter", "none")
TEST_REPORTS = EVIDENCE_GRADES[:2]
# Prices that may be uncertain; the first is a key of the resin itself.
PRICED = ("price", "tube_price", "mobilisation")

COST = (
    Key("resin_share_by_mass", ("cost",), "share", "resin as share of the cured wall by mass"),
    Key("tube_price", ("cost",), "price per length", "price per length for every size"),
    Key("tube", ("cost",), "tubes", "prices per length by diameter and thickness", ()),
    Key("mobilisation", ("cost",), "money", "cost of bringing the system to the project, once"),
    Key("embodied_carbon", ("cost",), "carbon", "CO2 equivalent of the cured wall, per mass of it"),
    Key("service_life", ("cost",), "life", "time until the liner is replaced"),
    Key("diameter", ("tube",), "section", "largest host diameter at this price", required=True),
    Key("thickness", ("tube",), "section", "largest thickness at this price", required=True),
    Key("price", ("tube",), "price per length", "price per length", required=True),
)
