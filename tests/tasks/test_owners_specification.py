"""One owner's specification, of the invented town Harrowmere, on everything it is written for.

No pipe states a live load of its own: the vehicle of the criteria holds at every cover.
"""

import pytest

from linerdesign.interface import read, size

OWNER = {
    "safety_factor": 2.0,
    "minimum_ovality": "2 %",
    "minimum_thickness": "4.5 mm",
    "defaults": {
        "soil_unit_weight": "120 pcf",
        "soil_reaction_modulus": "1000 psi",
        "live_load": "H-20 table",
    },
}
RESIN = {
    "name": "Felt A",
    "flexural_modulus": "250000 psi",
    "flexural_strength": "4500 psi",
    "tensile_strength": "3000 psi",
}
FULLY, PARTIALLY = "fully deteriorated", "partially deteriorated"


def pipe(name, diameter, cover, water, condition=FULLY, **more):
    return {
        "name": name,
        "condition": condition,
        "host_diameter": diameter,
        "cover": cover,
        "groundwater_above_invert": water,
        **more,
    }


SEWERS = [
    pipe("MH 1 to MH 2", "6 in", "4 ft", "2 ft"),
    pipe("MH 2 to MH 3", "8 in", "7 ft", "5 ft"),
    pipe("MH 3 to MH 4", "12 in", "8 ft", "6 ft"),
    pipe("MH 4 to MH 5", "18 in", "12 ft", "9 ft"),
    pipe("MH 5 to MH 6", "24 in", "16 ft", "12 ft"),
    pipe("MH 6 to MH 7", "36 in", "24 ft", "15 ft"),
]
OTHERS = [
    pipe("No 3, lateral", "4 in", "3 ft", "0 ft", PARTIALLY),
    pipe("No 7, lateral", "6 in", "5 ft", "1 ft"),
    pipe("Mill Lane culvert", "48 in", "3 ft", "2 ft"),
    pipe("force main", "12 in", "5 ft", "3 ft", internal_pressure="60 psi"),
]
# H-20 at the covers of the table in psi, from memory; none beyond 8 ft (loads under 100 psf).
LOADS = [2.78, 1.22, 0.69, 0, 0, 0, None, 1.74, 4.17, 1.74]


@pytest.fixture(scope="module")
def results():
    pipes = [*SEWERS, *OTHERS]
    return size(
        read({"project": {"title": "t"}, "criteria": OWNER, "resin": [RESIN], "pipe": pipes})
    ).pipes


def test_every_pipe_is_designed_and_passes(results):
    assert {result.status for result in results} == {"sized"}
    assert all(result.nominal_thickness >= 4.5 / 25.4 * (1 - 1e-9) for result in results)


def test_the_vehicle_holds_at_every_cover(results):
    found = [result.value("W_s") if result.basis.buried_fully else None for result in results]
    assert found == pytest.approx(LOADS)


def test_beside_every_result_stands_what_each_other_rule_would_change(results):
    for result in results:
        rules = {other.rule for other in result.other_loads}
        assert rules == ({"HL-93", "1.75 H rule"} if result.basis.buried_fully else set())


def test_shallow_cover_is_refused_for_that_pipe_alone():
    from linerdesign.project.faults import InputFaults

    shallow = pipe("MH 8 to MH 9", "12 in", "0.9 ft", "0 ft")
    tables = {"project": {"title": "t"}, "criteria": OWNER, "resin": [RESIN]}
    with pytest.raises(InputFaults) as found:
        size(read({**tables, "pipe": [SEWERS[0], shallow]}))
    assert "MH 8 to MH 9" in str(found.value)
    assert "MH 1 to MH 2" not in str(found.value)
