"""What an office verifies: each equation, table and constant as a record has it, by hand."""

import hashlib
from dataclasses import replace

from linerdesign.expressions.tree import Table
from linerdesign.methods.basis import FULLY, Basis
from linerdesign.methods.equation import Provenance
from linerdesign.methods.f1216 import gravity
from linerdesign.methods.f1216.method import constants
from linerdesign.methods.ground import live_load
from linerdesign.methods.ground.published import Published
from linerdesign.methods.origin import by_rule, by_standard
from linerdesign.methods.task import Input
from linerdesign.methods.verification import (
    Verifiable,
    Verified,
    constant_identity,
    identity_of,
    of_constant,
    of_equation,
    of_table,
    table_identity,
    verifiable,
    verification_of,
)

TABLE = Published(
    name="loads",
    title="loads by cover",
    provenance=Provenance.MEMORY,
    source="a handbook",
    unit="psi",
    note="impact included",
    columns=("cover, ft", "truck", "train"),
    rows=((1, 12.5, None), (2, 5.5, 26.0), (4, 2.78, 18.4)),
)
RECORD = Verified("F1216-22", "X1.2.1", "A. Reed", "2026-01-05")


def test_the_column_of_a_table_leaves_out_what_is_not_printed():
    assert TABLE.column("train") == Table(
        "loads by cover, column train", (2.0, 4.0), (26.0, 18.4), "a handbook"
    )
    assert TABLE.column("truck").xs == (1.0, 2.0, 4.0)


def test_a_table_in_a_record():
    """Its head, then each row; an empty cell stands as it is."""
    assert of_table(TABLE) == Verifiable(
        identity="table loads",
        kind="table",
        meaning="loads by cover",
        form="cover, ft, truck, train; 1, 12.5, None; 2, 5.5, 26.0; 4, 2.78, 18.4",
        source="a handbook",
        provenance="memory",
    )
    assert table_identity("loads") == "table loads"


def test_an_equation_in_a_record():
    """Its number, unit system, edition and the name of its function tell it from all others."""
    assert of_equation(gravity.stiffness) == Verifiable(
        identity="X1.4 (stiffness)",
        kind="equation",
        meaning="Stiffness of the liner by its initial modulus, "
        "to be at least the least stiffness.",
        form="S_X1.4 = E*I/D^3",
        source="clause X1.2.2; Najafi 2010, sec. 2.7, applying ASTM F1216-09",
        provenance="secondary",
    )
    assert identity_of(gravity.soil_load_si) == "qt of soil, SI (soil_load_si)"
    assert identity_of(gravity.soil_capacity_07a) == "X1.3, F1216-07a (soil_capacity_07a)"
    rowed = replace(live_load.AIRPORT_PSI, row="second row")
    assert identity_of(rowed) == "airport table, second row (by_cover)"


def test_a_constant_in_a_record():
    least = Input("S_min", 0.093, by_standard("X1.4", Provenance.SECONDARY.value))
    assert of_constant(least, "US") == Verifiable(
        identity="constant S_min, US",
        kind="constant",
        meaning="minimum stiffness, X1.4",
        form="S_min = 0.093 psi",
        source="X1.4",
        provenance="secondary",
    )
    assert of_constant(replace(least, value=0.00064), "SI").form == "S_min = 0.00064 MPa"
    wheels = of_constant(Input("n_wheel", 2.0, by_rule("prescribed", "unknown word")), "US")
    assert wheels.form == "n_1 = 2"
    assert wheels.provenance == "memory"
    assert constant_identity("S_min", "SI") == "constant S_min, SI"


def test_what_the_method_fixes_is_seen_or_remembered():
    """The least stiffness of X1.4, and the design vehicle of HL-93."""
    fixed = constants(Basis(condition=FULLY, live_load="HL-93"))
    known = {of_constant(each, "US").provenance for each in fixed}
    assert of_constant(fixed[0], "US").form == "S_min = 0.093 psi"
    assert known == {"secondary", "memory", "seen", "derived"}
    assert constants(Basis()) == ()
    assert constants(Basis(condition=FULLY, above_ground=True)) == ()
    assert [each.key for each in constants(Basis(condition=FULLY))] == ["S_min"]
    assert constants(Basis(condition=FULLY, system="SI"))[0].value == 0.00064


def test_the_fingerprint_is_of_the_form_alone():
    """SHA-256, its first twelve digits."""
    one = of_equation(gravity.stiffness)
    assert one.fingerprint == hashlib.sha256(b"S_X1.4 = E*I/D^3").hexdigest()[:12]
    assert replace(one, source="elsewhere").fingerprint == one.fingerprint
    assert replace(one, form="S_X1.4 = E*I/D^2").fingerprint != one.fingerprint


def test_what_is_verified_is_found_by_its_identity():
    known = {"X1.4 (stiffness)": RECORD}
    assert verification_of(gravity.stiffness, known) == RECORD
    assert verification_of(gravity.soil_capacity, known) is None
    assert verification_of(gravity.stiffness, {}) is None
    assert RECORD.office == "F1216-22, A. Reed, 2026-01-05"
    for word in ("F1216-22", "X1.2.1", "A. Reed", "2026-01-05"):
        assert word in RECORD.text


def test_each_is_listed_once_equations_before_tables_and_constants():
    least = Input("S_min", 0.093, by_standard("X1.4"))
    twice = (gravity.stiffness, gravity.dimension_ratio, gravity.stiffness)
    found = list(verifiable(twice, (TABLE, TABLE), ((least, "US"), (least, "SI"))))
    assert [each.identity for each in found] == [
        "X1.4 (stiffness)",
        "DR (dimension_ratio)",
        "table loads",
        "constant S_min, US",
        "constant S_min, SI",
    ]
    assert [each.identity for each in verifiable(twice[:1])] == ["X1.4 (stiffness)"]
