"""What a design says beside its numbers: water that thins a wall, pressure, the owner's floor."""

import pytest
from projects import sized

from linerdesign.documents.sheet import governing_text, not_measured

PART = {"condition": "partially deteriorated"}
WET = {"dry_case": False}
TENSION = {"tensile_strength": "3000 psi"}


def cautions(result):
    return [note.text for note in result.notes if note.severity.value == "caution"]


def drier(result):
    return [note for note in result.notes if note.code == "f1216.dry_wall"]


# Water and a dry table


@pytest.mark.parametrize(("units", "dry"), [("US", 0.24), ("SI", 6.096)])
def test_a_wall_never_gets_thinner_because_groundwater_appears(units, dry):
    """24 in over a DR of 100 is 0.24 in, 6.096 mm: by hand. The dry case is a check of its own."""
    pipe = PART | {"host_diameter": "24 in", "groundwater_above_invert": "0.1 ft"}
    result = sized(units, pipe=pipe)
    assert result.governing == "DR limit"
    assert result.required_thickness == pytest.approx(dry, rel=1e-9)
    assert not drier(result)


@pytest.mark.parametrize("units", ["US", "SI"])
def test_without_the_dry_case_a_wall_that_only_water_makes_sufficient_is_flagged(units):
    pipe = PART | {"host_diameter": "24 in", "groundwater_above_invert": "0.1 ft"}
    result = sized(units, pipe=pipe, criteria=WET)
    assert drier(result)
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
    assert not drier(sized(pipe=PART | change, criteria=WET))


def test_a_limit_of_the_owner_moves_it():
    """48 in over a DR of 50 is 0.96 in, more than the 0.878 in that 12 ft ask for."""
    result = sized(pipe=PART, criteria={"maximum_dimension_ratio": 50.0})
    assert result.governing == "DR limit"
    assert result.required_thickness == pytest.approx(0.96, rel=1e-9)
    assert drier(sized(pipe=PART, criteria=WET | {"maximum_dimension_ratio": 50.0}))


def test_a_wetter_station_that_asks_for_more_settles_it():
    """One tube has one thickness: where the worst station asks for enough, nothing is thinner."""
    dry = {"at": "0 ft", "groundwater_above_invert": "0.1 ft"}
    wet = {"at": "90 ft", "groundwater_above_invert": "12 ft"}
    assert drier(sized(pipe=PART | {"station": [dry]}, criteria=WET))
    assert not drier(sized(pipe=PART | {"station": [dry, wet]}, criteria=WET))


@pytest.mark.parametrize(
    ("factor", "retention", "flagged"),
    # By hand: 2/0.5 = 4, 2/0.66 = 3.03, 2/0.67 = 2.99, 1.5/0.5 = 3.
    [(2.0, "50 %", False), (2.0, "66 %", False), (2.0, "67 %", True), (1.5, "50 %", False)],
)
def test_a_low_factor_on_the_short_term_resistance_is_flagged(factor, retention, flagged):
    resin = {"modulus_retention": retention, "evidence": "10,000 h test"}
    result = sized(pipe=PART, resin=resin, criteria={"safety_factor": factor})
    assert ("f1216.low_long_term_factor" in {note.code for note in result.notes}) is flagged


def test_what_a_dry_pipe_does_not_need_is_not_printed():
    """C, EL and sigma_L of a lateral without groundwater are in no equation that applies."""
    pipe = PART | {"host_diameter": "6 in", "groundwater_above_invert": "0 ft"}
    printed = {step.key for step in sized(pipe=pipe).steps if step.applies}
    assert not printed & {"C", "E_L", "sigma_L", "t_X1_1", "t_X1_2"}
    wet = pipe | {"groundwater_above_invert": "1 ft"}
    assert printed | {"C", "E_L", "sigma_L"} <= {s.key for s in sized(pipe=wet).steps if s.applies}


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


# The owner's minimum


@pytest.mark.parametrize(
    ("floor", "step", "decides"),
    [
        # 48 in by X1.1 asks for 0.878 in, 22.3 mm (Najafi, p. 83), built as 22.5 mm or 24 mm.
        ("0 mm", "1.5 mm", False),
        ("22 mm", "1.5 mm", False),
        ("22.4 mm", "1.5 mm", False),  # over the equation's, but under the wall built for it
        ("22.6 mm", "1.5 mm", True),
        ("23 mm", "4 mm", False),
        ("24.1 mm", "4 mm", True),
    ],
)
def test_the_owners_minimum_is_named_where_it_alone_makes_the_wall(floor, step, decides):
    result = sized(pipe=PART, criteria={"minimum_thickness": floor, "thickness_step": step})
    assert result.governing == "X1.1"
    assert result.minimum_governs is decides
    assert governing_text(result) == ("X1.1; owner's minimum governs" if decides else "X1.1")


def test_a_listed_size_and_a_wall_to_check():
    """22.3 mm is next met by 24 mm; a floor of 26 mm takes the 30 mm. A wall given is as given."""
    sizes = {"thicknesses": ["20 mm", "24 mm", "30 mm"]}
    for floor, decides in (("23 mm", False), ("26 mm", True)):
        result = sized(pipe=PART, resin=sizes, criteria={"minimum_thickness": floor})
        assert result.minimum_governs is decides
    given = PART | {"design_thickness": "30 mm"}
    assert not sized(pipe=given, criteria={"minimum_thickness": "26 mm"}).minimum_governs


# What is said in words, and what nobody measured

WORDS = {
    "live_load": "HL-93",
    "soil_reaction_modulus": "silty sand, 90 % compaction",
    "origin": {"live_load": "plan", "soil_reaction_modulus": "assumed"},
}


def test_words_keep_their_origin_and_stand_among_what_is_not_measured():
    result = sized(pipe=WORDS)
    said = {
        each.symbol: (each.words, each.origin.known_by, each.station) for each in result.in_words
    }
    assert said == {
        "W_s": ("HL-93", "plan", None),
        "E'_s": ("silty sand, 90 % compaction", "assumed", None),
    }
    listed = " ".join(not_measured(result))
    assert "(plan, stated as HL-93)" in listed
    assert "(assumed, stated as silty sand, 90 % compaction)" in listed


def test_words_of_one_station_name_it():
    """The vehicle stated again at one of two stations has an origin of its own there."""
    stations = [{"at": "0 ft"}, {"at": "90 ft", "live_load": "HL-93"}]
    result = sized(pipe=WORDS | {"station": stations})
    assert [(each.key, each.words, each.station) for each in result.in_words] == [
        ("E_s", "silty sand, 90 % compaction", None),
        ("W_s", "HL-93", "0 ft"),
        ("W_s", "HL-93", "90 ft"),
    ]
    assert [each.origin.giver for each in result.in_words] == ["pipe", "pipe", "station"]


def test_words_that_were_measured_are_not_listed_as_if_not():
    result = sized(pipe=WORDS | {"origin": {"soil_reaction_modulus": "measured"}})
    assert "silty sand" not in " ".join(not_measured(result))
    assert [each.origin.known_by for each in result.in_words] == ["measured", "given"]


def test_a_trench_says_its_fill_in_words_and_its_native_soil_as_the_number_of_a_row():
    soil = {
        "trench": "silty sand, 90 % compaction",
        "native": "stiff cohesive",
        "trench_width": "6 ft",
        "combining_table": "2005",
    }
    result = sized(pipe=WORDS | {"soil_reaction_modulus": soil})
    assert [(each.key, each.origin.known_by) for each in result.in_words] == [
        ("E_b", "assumed"),
        ("W_s", "plan"),
    ]
    (native,) = (text for text in not_measured(result) if "native" in text)
    assert "(assumed, " in native


def test_words_that_a_sound_host_does_not_read_say_so():
    (said,) = sized(pipe=PART | {"live_load": "HL-93"}).in_words
    assert said.source == "given, not used here, stated as HL-93"


def test_origin_of_readings_is_that_of_the_diameter():
    pipe = {"diameters": ["47.6 in", "48.4 in"], "origin": {"diameters": "measured"}}
    result = sized(pipe=pipe, drop=("host_diameter", "ovality"))
    sources = {step.key: step.source for step in result.steps}
    for key in ("D", "D_max", "D_min"):
        assert sources[key].startswith("measured")


def test_what_is_not_measured_stands_once_with_its_stations():
    """Three stations, two with one level of water and one with another, one cover for all."""
    stations = [
        {"at": "0 ft", "groundwater_above_invert": "4 ft"},
        {"at": "50 ft", "groundwater_above_invert": "4 ft"},
        {"at": "90 ft"},
    ]
    listed = not_measured(sized(pipe={"station": stations}))
    assert "depth of cover to crown (given, stated as 16 ft)" in listed
    (water,) = (text for text in listed if "groundwater" in text)
    assert water == (
        "groundwater above invert (given, stated as 4 ft at 0 ft, 50 ft; 12 ft at 90 ft)"
    )
    assert len(listed) == len({text.partition(" (")[0] for text in listed})
