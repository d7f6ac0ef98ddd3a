"""What a design says beside its numbers: water that thins a wall, pressure, the owner's floor."""

import pytest
from projects import sized

PART = {"condition": "partially deteriorated"}
TENSION = {"tensile_strength": "3000 psi"}


def cautions(result):
    return [note.text for note in result.notes if note.severity.value == "caution"]


def drier(result):
    return [text for text in cautions(result) if "lower water table" in text]


# Water and a dry table


@pytest.mark.parametrize(("units", "dry"), [("US", "6.096 mm (0.24 in)"), ("SI", "6.096 mm")])
def test_a_little_water_that_thins_the_wall_is_said_with_the_dry_wall(units, dry):
    """24 in over a DR of 100 is 0.24 in, 6.096 mm: by hand. Status and thickness stay."""
    pipe = PART | {"host_diameter": "24 in", "groundwater_above_invert": "0.1 ft"}
    result = sized(units, pipe=pipe)
    (text,) = drier(result)
    assert f"limit of 100 would ask for {dry}" in text
    assert result.status == "sized"
    assert result.governing == "X1.1"


@pytest.mark.parametrize(
    "change",
    [
        {"groundwater_above_invert": "12 ft"},  # 48 in by X1.1: 0.878 in, over the 0.48 of DR 100
        {"groundwater_above_invert": "0 ft"},
        {"groundwater_above_invert": "-3 ft"},
    ],
)
def test_nothing_is_said_where_water_asks_for_more_or_there_is_none(change):
    assert not drier(sized(pipe=PART | change))


def test_a_limit_of_the_owner_moves_it():
    """48 in over a DR of 50 is 0.96 in, more than the 0.878 in that 12 ft ask for."""
    result = sized(pipe=PART, criteria={"maximum_dimension_ratio": 50.0})
    (text,) = drier(result)
    assert "limit of 50 would ask for 24.38 mm (0.96 in)" in text


def test_a_wetter_station_that_asks_for_more_settles_it():
    """One tube has one thickness: where the worst station asks for enough, nothing is thinner."""
    dry = {"at": "0 ft", "groundwater_above_invert": "0.1 ft"}
    wet = {"at": "90 ft", "groundwater_above_invert": "12 ft"}
    assert drier(sized(pipe=PART | {"station": [dry]}))[0].endswith("(at 0 ft)")
    assert not drier(sized(pipe=PART | {"station": [dry, wet]}))


# Pressure


@pytest.mark.parametrize("condition", ["partially deteriorated", "fully deteriorated"])
def test_a_pressure_pipe_says_once_what_its_pressure_must_contain(condition):
    stations = [{"at": "0 ft", "internal_pressure": "60 psi"}, {"at": "90 ft"}]
    pipe = {
        "condition": condition,
        "internal_pressure": "50 psi",
        "hole_diameter": "1 in",
        "station": stations,
    }
    found = [t for t in cautions(sized(pipe=pipe, resin=TENSION)) if "surge" in t]
    assert len(found) == 1
    assert all(word in found[0] for word in ("surge and test pressure", "thrust at bends", "seals"))


def test_a_gravity_pipe_says_nothing_of_surge():
    assert not [text for text in cautions(sized()) if "surge" in text]
