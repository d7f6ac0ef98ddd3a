"""Who gave a value, as print says it, and findings of many pipes said of one of them."""

import numpy as np
import pytest

from linerdesign.findings import Finding, Severity
from linerdesign.methods.equation import Provenance
from linerdesign.methods.ground import live_load
from linerdesign.methods.origin import DEFAULT, Giver, Origin, by_rule, by_standard, calculated
from linerdesign.methods.raised import Raised, Written
from linerdesign.methods.verification import of_equation

# Of each giver: what is asked of it that holds.
HOLDS = {
    Giver.STANDARD: {"published"},
    Giver.RULE: {"published", "by_rule"},
    Giver.PROGRAM: {"by_default"},
    Giver.OWNER: {"by_criteria"},
    Giver.PROJECT: {"by_criteria", "by_project"},
    Giver.RESIN: {"by_resin", "by_project"},
    Giver.PIPE: {"by_site", "by_project"},
    Giver.STATION: {"by_site", "by_project"},
    Giver.SUBMITTAL: set(),
    Giver.CALCULATION: set(),
}


@pytest.mark.parametrize("giver", Giver)
def test_what_is_asked_of_a_giver(giver):
    asked = set().union(*HOLDS.values())
    assert {name for name in asked if getattr(Origin("", giver), name)} == HOLDS[giver]


IN_PRINT = [
    (Origin("measured", stated="2 %"), "measured, stated as 2 %"),
    (Origin("plan", file="street.csv", table_row="CL, 90 %"), "plan, street.csv, CL, 90 %"),
    (
        Origin("given", table_row="CL, 90 %", provenance="from memory"),
        "given, CL, 90 %; from memory",
    ),
    # A file is that of a table of pipes; only a pipe has its values from there.
    (Origin("given", Giver.STATION, file="street.csv"), "given"),
    (Origin("given").unused(), "given, not used here"),
    (Origin("", Giver.RESIN, place="Felt A", stated="4 MPa"), "resin Felt A, stated as 4 MPa"),
    # The owner's minimum of a value has its name as place; another value of the owner has none.
    (Origin("", Giver.OWNER, place="ovality"), "owner's minimum"),
    (Origin("", Giver.PROJECT, place="ovality"), "owner's minimum"),
]


@pytest.mark.parametrize(("origin", "text"), IN_PRINT)
def test_an_origin_in_print(origin, text):
    assert origin.text == text


def test_origins_of_what_no_project_gives():
    assert (calculated("flow").giver, calculated("flow").place) == (Giver.CALCULATION, "flow")
    for made, giver in ((by_standard, Giver.STANDARD), (by_rule, Giver.RULE)):
        origin = made("X1.4", "seen")
        assert (origin.known_by, origin.giver) == ("", giver)
        assert (origin.place, origin.provenance) == ("X1.4", "seen")
    assert DEFAULT.by_default


def test_a_finding_of_many_pipes_at_one_station_of_one():
    """Two pipes of three stations; the number stands at its own place, or is one for all."""
    numbers = {
        "wall": Written(np.array([[1.0, 2.0, 3.0], [4.0, 5.0, 6.0]]), "{:.1f} mm".format),
        "cover": Written(np.array([[7.0], [8.0]]), "{:.0f} m".format),
        "rule": "HL-93",
    }
    raised = Raised("a.code", np.array([[True]]), numbers, Severity.OUTSIDE, "an.inventory", "live")
    assert raised.at(1, 2, "MH 3", (2, 3)) == Finding(
        "a.code",
        Severity.OUTSIDE,
        (("wall", "6.0 mm"), ("cover", "8 m"), ("rule", "HL-93")),
        "MH 3",
    )
    plain = (("rule", "HL-93"),)
    assert raised.of_many == Finding("an.inventory", Severity.OUTSIDE, plain)
    assert raised.of_any == Finding("live", Severity.OUTSIDE, plain)
    bare = Raised("a.code", True)
    assert bare.of_many == bare.of_any == Finding("a.code", Severity.CAUTION)
    without_live = Raised("a.code", True, inventory="an.inventory")
    assert without_live.of_any == without_live.of_many


def test_a_record_of_an_equation_has_the_rows_of_its_table():
    """H-20, from memory: psf by cover in ft."""
    record = of_equation(live_load.H_20_PSF)
    rows = "1: 1800, 2: 800, 3: 600, 4: 400, 5: 250, 6: 200, 7: 175, 8: 100"
    assert record.form.partition("; ")[2] == rows
    assert (record.kind, record.provenance) == ("table", Provenance.MEMORY.name.lower())
    plain = of_equation(live_load.cover_in_feet)
    assert (plain.form, plain.kind) == ("H_ft = H/0.3048", "equation")
    assert plain.source == "SI; definition of the units"
    assert plain.meaning == "Cover in feet."
