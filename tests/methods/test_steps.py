"""The lines of a sheet of two stations: what they share stands once, the rest at each."""

import pytest
from projects import sized

from linerdesign.methods.origin import Giver, Origin
from linerdesign.methods.steps import input_step
from linerdesign.methods.task import Input
from linerdesign.methods.verification import Verified, constant_identity

PLACES = ("0 ft", "90 ft")
# Of a fully deteriorated pipe, what the groundwater enters, itself or as the condition of X1.2.
BY_WATER = {
    *("h_invert", "H_w", "sigma_L", "P", "R_w", "q_t", "t_X1_1", "a_q", "b_q", "t_X1_2", "t_X1_3"),
    *("P_X1_1", "N_X1_1", "sigma_X1_2", "sigma_allowed", "N_X1_2", "q_X1_3", "N_X1_3"),
}


@pytest.fixture(scope="module")
def result():
    """Groundwater 6 ft and 14 ft above the invert; all else is shared."""
    stations = [
        {"at": place, "groundwater_above_invert": head}
        for place, head in zip(PLACES, ("6 ft", "14 ft"), strict=True)
    ]
    return sized(pipe={"station": stations}, drop=("groundwater_above_invert",))


def test_what_the_water_enters_stands_at_each_station_and_the_rest_once(result):
    places = {}
    for step in result.steps:
        places.setdefault(step.key, []).append(step.station)
    assert {key for key, at in places.items() if at == list(PLACES)} == BY_WATER
    assert places.pop("t_required") == [*PLACES, None]
    assert all(at == [None] for key, at in places.items() if key not in BY_WATER)


def test_the_steps_are_numbered_through_and_have_the_values_of_their_stations(result):
    assert [step.number for step in result.steps] == list(range(1, len(result.steps) + 1))
    heads = {step.station: step.value for step in result.steps if step.key == "P"}
    assert heads == {"0 ft": pytest.approx(0.433 * 6), "90 ft": pytest.approx(0.433 * 14)}
    (worst,) = (step for step in result.steps if step.key == "t_required" and not step.station)
    assert worst.value == result.required_thickness == result.value("t_required", "90 ft")
    assert worst.source.endswith("the worst station governs")
    assert worst.equation is None
    # Once the wall is chosen, its lines stand once, for the station that asks for the thickest.
    (least,) = (step for step in result.steps if step.key == "t_least")
    assert dict(least.values)["t_required"] == worst.value
    assert [step.key for step in result.steps][-1] == "S_X1_4"


def test_a_line_that_does_not_apply_has_no_number():
    """Without groundwater neither X1.1 nor X1.2 asks for anything."""
    dry = sized(pipe={"groundwater_above_invert": "0 ft"}).steps
    idle = {step.key for step in dry if not step.applies}
    assert {"t_X1_1", "t_X1_2", "P_X1_1"} <= idle
    assert all((step.number == 0) is (step.key in idle) for step in dry)
    assert [step.number for step in dry if step.applies] == [
        *range(1, len([step for step in dry if step.applies]) + 1)
    ]


def test_the_provenance_of_a_published_value_is_that_of_its_verification():
    """A value that is no published one has nothing to verify."""
    record = Verified("2022", "X1.2.1", "A. Reed", "2026-01-05")
    verified = {constant_identity("K", "US"): record}
    for giver, found in ((Giver.STANDARD, record), (Giver.PIPE, None)):
        given = Input("K", 7.0, Origin("", giver, provenance="memory"))
        step = input_step(given, "US", None, verified)
        assert step.verified == found
        assert step.origin.provenance == (found.text if found else "memory")
    assert input_step(given, "US").origin.provenance == "memory"
