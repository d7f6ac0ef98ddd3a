"""The table of keys: what hangs together in it, and its numbers against the standard.

ASTM F1216 X1 gives 0.3 as the average Poisson's ratio, a safety factor of 2, an enhancement factor
of at least 7 and a dimension ratio of at most 100 above the water table; half of the modulus is
the long-term value in its examples. Usual uncertainties are common practice, without a source.
"""

import re

import pytest
from projects import toml

from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.distributions import uncertain_keys
from linerdesign.project.faults import InputFaults, Place
from linerdesign.project.fields import READERS, TABLES, unknown_key
from linerdesign.project.keys import (
    CRITERIA_KEYS,
    KEYS,
    RESIN_KEYS,
    RETENTIONS,
    SITE_KEYS,
    SITE_ORDER,
    SOIL_KEYS,
    columns,
    key_named,
    keys_of,
    kind_of,
)
from linerdesign.project.measures import KINDS, convert, parse
from linerdesign.project.reading import parse as read

EVERY = list(KEYS)
BY_NAME = {key.name: key for key in reversed(EVERY)}


def test_every_row_says_what_a_table_takes():
    """A name of small letters, the tables that have it, what reads it, and words about it."""
    for key in EVERY:
        assert re.fullmatch("[a-z][a-z0-9_]*", key.name), key
        assert isinstance(key.tables, tuple), key
        assert {*key.tables} <= TABLES.keys(), key
        assert key.kind in READERS, key
        assert re.search("[a-z]", key.help), key
        assert bool(key.choices) == (key.kind in ("choice", "origins")), key
        assert all(isinstance(word, str) for word in key.choices), key
    assert {key.name for key in EVERY if key.kind == "label"} == {
        "number", "date", "revision", "received",
    }  # fmt: skip


def test_defaults_are_those_that_the_user_guide_tells():
    """Those of the design are of the standard; the rest is as the user guide says of each.

    Agencies allow no reading under 87.5 % of the design; n of a smooth liner, 2 ft/s that keep an
    invert clean and half of the weight as friction at pull-in: common practice, no source.
    """
    stated = {
        "criteria": {
            "edition": "F1216-07b", "poisson_ratio": 0.3, "safety_factor": 2.0,
            "enhancement_factor": 7.0, "x1_2_strength": "long-term",
            "maximum_dimension_ratio": 100.0, "dry_case": True, "minimum_ovality": "0 %",
            "minimum_thickness": "0 mm", "thickness_step": "1.5 mm",
        },
        "project": {"units": "US"},
        "second_method": {"use": "beside"},
        "resin": {
            "modulus_retention": "50 %", "strength_retention": "50 %", "tensile_retention": "50 %",
            "evidence_grade": "none",
        },
        "pipe": {
            "above_ground": False, "own_weight": False, "buoyancy": False,
            "maximum_deflection": "3 %", "hole_position": "0 deg",
        },
        "capacity": {"liner_n": 0.01, "self_cleansing_velocity": "2 ft/s"},
        "order": {
            "extra_length": "0 m", "resin_share": "100 %", "resin_excess": "10 %",
            "pull_friction": 0.5,
        },
        "acceptance": {
            "least_reading": "87.5 %", "compared_with": "nominal thickness", "properties": "mean",
            "minimum_properties": "F1216",
        },
    }  # fmt: skip
    found = {}
    for key in EVERY:
        if key.default not in (None, {}, ()):
            found.setdefault(key.tables[0], {})[key.name] = key.default
            # A choice can be read back.
            assert not key.choices or key.default in key.choices
    assert found == stated


def test_only_what_no_table_can_do_without_is_required():
    required = {}
    for key in EVERY:
        if key.required:
            required.setdefault(key.tables[0], set()).add(key.name)
    assert required == {
        "project": {"title"},
        "resin": {"name", "flexural_modulus", "flexural_strength"},
        "pipe": {"name", "condition"},
        "station": {"at"},
        "lateral": {"at"},
        "stated station": {"at"},
        "second_method": {"method"},
        "tube": {"diameter", "thickness", "price"},
        "named load": {"method"},
        "trench soil": {"trench", "native", "trench_width", "combining_table"},
        "grout": {"height", "density"},
    }


def test_criteria_are_unsafe_on_the_side_that_makes_a_wall_thinner():
    """Larger nu, K and DR carry more by X1.1 and X1.3; smaller N, q and floors ask for less.

    An edition and a strength differ, but not by more or less; no dry case is less than one.
    """
    assert {key.name: key.unsafe for key in EVERY if key.unsafe is not None and not key.limits} == {
        "poisson_ratio": 1, "enhancement_factor": 1, "maximum_dimension_ratio": 1,
        "dry_case": -1, "safety_factor": -1, "minimum_ovality": -1, "minimum_thickness": -1,
        "edition": 0, "x1_2_strength": 0,
    }  # fmt: skip


# What people call a value in files of their own, and the key that it is (common practice, no
# source).
MEANT = {
    "pipe": {
        "host_diameter": "diameter inside_diameter internal_diameter pipe_diameter dia size",
        "cover": "depth depth_of_cover soil_cover cover_depth",
        "invert_depth": "depth_to_invert",
        "groundwater_above_invert": "water gw groundwater_height groundwater_head head",
        "groundwater_below_surface": "depth_to_water groundwater_depth water_table",
        "groundwater_elevation": "water_level water_elevation",
        "soil_unit_weight": "unit_weight soil_weight soil_density",
        "soil_reaction_modulus": "soil_modulus modulus_of_soil_reaction e_prime soil",
        "live_load": "traffic_load traffic surcharge",
        "internal_pressure": "pressure operating_pressure",
        "vacuum": "vac",
        "design_thickness": "thickness nominal_thickness",
        "resin": "system",
    },
    "resin": {
        "flexural_modulus": "modulus e initial_modulus",
        "modulus_retention": "creep_factor retention creep_retention",
        "flexural_strength": "strength",
    },
    "criteria": {
        "safety_factor": "sf factor_of_safety",
        "enhancement_factor": "enhancement",
        "poisson_ratio": "poisson",
    },
    "trench soil": {"trench_width": "width"},
}


@pytest.mark.parametrize("table", MEANT)
def test_a_usual_word_for_a_value_leads_to_its_key(table):
    for name, words in MEANT[table].items():
        for word in words.split():
            for written in (word, word.upper().replace("_", " ")):
                found = unknown_key(TABLES[table], written, {}, Place())
                assert (found.code, dict(found.numbers)["known"]) == (
                    "faults.unknown_near",
                    name,
                ), word


def test_an_inventory_has_columns_for_all_that_one_cell_can_hold():
    """Shapes of the second opinion, tables, lists, prices and truths are none of it."""
    known = columns()
    none = {
        "shape", "width", "height", "corner_radius", "outline", "own_weight", "maximum_deflection",
        "hole_arc", "hole_position", "diameters", "origin", "thicknesses", "price", "dry_case",
        "leg", "stated", "title", "evidence", "enhancement_evidence",
    }  # fmt: skip
    assert not none & known.keys()
    tables = {"name": "pipe", "resin": "pipe", "condition": "pipe", "live_load": "pipe",
              "groundwater": "pipe", "length": "pipe", "tube_diameter": "pipe",
              "density": "resin", "thickness_step": "resin", "cure_time": "resin",
              "evidence_grade": "resin", "safety_factor": "criteria", "edition": "criteria",
              "x1_2_strength": "criteria"}  # fmt: skip
    assert {name: known[name][0] for name in tables} == tables


def test_groups_of_keys_in_the_order_of_the_sheet():
    """Properties of a resin, soil for a fully deteriorated pipe, and what criteria can relax."""
    assert RESIN_KEYS == (
        "flexural_modulus", "modulus_retention", "flexural_strength", "strength_retention",
        "tensile_strength", "tensile_retention",
    )  # fmt: skip
    assert RETENTIONS == ("modulus_retention", "strength_retention", "tensile_retention")
    assert SOIL_KEYS == ("soil_unit_weight", "soil_reaction_modulus", "live_load")
    assert CRITERIA_KEYS == (
        "poisson_ratio", "safety_factor", "enhancement_factor", "maximum_dimension_ratio",
        "minimum_ovality", "minimum_thickness",
    )  # fmt: skip
    # All of the site but the list of readings, whose mean is the diameter.
    assert tuple(name for name in SITE_KEYS if name != "diameters") == SITE_ORDER
    assert "at" not in SITE_KEYS
    assert len(SITE_KEYS) == 21


def test_a_kind_is_that_of_the_first_row_of_a_name_that_takes_a_number():
    """`thickness` is a length, `station` of a pipe and `condition` are none."""
    assert kind_of("thickness") is KINDS["section"]
    assert kind_of("live_load") is KINDS["load"]
    assert kind_of("soil_reaction_modulus") is KINDS["soil modulus"]
    assert kind_of("trench") is kind_of("native") is KINDS["soil modulus"]
    assert kind_of("flexural_modulus") is KINDS["modulus"]
    assert kind_of("condition") is kind_of("station") is kind_of("no key") is None
    # `width` of a trench comes after that of a host, `height` of a grout after that of a host.
    assert kind_of("height") is KINDS["section"]
    assert key_named("name").tables == ("resin",)
    assert key_named("no key") is None


def test_examples_of_both_systems_are_one_value_to_a_share_of_its_digits():
    """As two engineers would write it; a sewer of 8 in is one of 200 mm."""
    for key in EVERY:
        if key.examples and key.measure:
            one, other = (parse(text, key.measure) for text in key.examples)
            same = convert(one.number, one.unit, other.unit) if one.unit != "%" else one.number
            assert other.number == pytest.approx(same, rel=0.02), key.name
    with_examples = {key.name for key in EVERY if key.examples}
    assert with_examples == {
        "name", "condition", "host_diameter", "ovality", "cover", "groundwater_above_invert",
        "soil_unit_weight", "soil_reaction_modulus", "live_load", "flexural_modulus",
        "modulus_retention", "flexural_strength", "strength_retention",
    }  # fmt: skip


ROUND = {base * 10**power for base in (1, 1.5, 2, 2.5, 3, 4, 5) for power in (-1, 0, 1)}


def test_usual_uncertainties_are_round_and_grow_from_measured_to_assumed():
    """In the order measured, from a plan, given, assumed: what is measured is known best."""
    for key in EVERY:
        if key.uncertainty:
            unit, sizes = key.uncertainty
            assert unit in ("%", "points", "ft"), key.name
            measured, plan, given, assumed = sizes
            assert measured < given <= plan < assumed or measured < plan <= given < assumed
            assert {*sizes} <= ROUND | {0.25}, key.name


def test_every_measured_property_and_load_has_a_usual_uncertainty():
    """Elevations differ by what the depths between them do, and loads by rule by the rule."""
    uncertain = {key.name for key in EVERY if key.uncertainty}
    of_load = {"distribution_factor", "multiple_presence", "impact_factor", "load_pressure",
               "load_length", "load_width", "trench", "native", "trench_width"}  # fmt: skip
    chosen = {"poisson_ratio", "enhancement_factor", "host_wall", "vacuum"}
    levels = {"ground_elevation", "invert_elevation"}
    assert uncertain == uncertain_keys().keys() - of_load - chosen - levels


def test_words_by_which_people_mean_a_key_are_of_one_key_of_a_table():
    for key in EVERY:
        for word in key.also:
            assert re.fullmatch(r"[a-z][a-z0-9_]*", word), word
            others = [each for each in EVERY if each is not key and {*each.tables} & {*key.tables}]
            assert all(word != each.name and word not in each.also for each in others), word


def test_a_limit_is_on_a_quantity_of_the_site_or_the_resin():
    """A least one is passed by less, a most one by more; the quantity is that of its name."""
    limits = [key for key in EVERY if key.limits]
    assert len(limits) == 9
    for key in limits:
        side, _, name = key.name.partition("_")
        assert key.unsafe == {"minimum": -1, "maximum": 1}[side]
        named = {"tensile_retention": "r_T", "groundwater_above_crown": "H_w"}
        quantity = SYMBOLS[key.limits].name or named.get(name)
        assert quantity in (name, named.get(name)), key.name


def test_groups_state_one_thing_and_soil_is_needed_by_a_fully_deteriorated_pipe():
    groups = {}
    for name in SITE_KEYS:
        groups.setdefault(BY_NAME[name].group, set()).add(name)
    groups.pop("")
    assert groups == {
        "diameter": {"host_diameter", "diameters"},
        "ovality": {"ovality", "maximum_diameter", "minimum_diameter"},
        "cover": {"cover", "invert_depth", "ground_elevation"},
        "water": {"groundwater", "groundwater_above_invert", "groundwater_above_crown",
                  "groundwater_below_surface", "groundwater_elevation"},
        "pressure": {"internal_pressure", "vacuum", "hole_diameter"},
    }  # fmt: skip
    needed = {key.name for key in EVERY if key.required_by}
    assert needed == {"soil_unit_weight", "soil_reaction_modulus", "live_load"}
    buried = {name for name in SITE_KEYS if BY_NAME[name].buried}
    assert buried == groups["cover"] | groups["water"] | needed | {"invert_elevation"}


@pytest.mark.parametrize(
    ("table", "key", "least", "most", "value"),
    [
        ("pipe", "diameters", 2, 10_000, "48 in"),
        ("resin", "thicknesses", 1, 200, None),
    ],
)
def test_lists_of_readings_have_a_least_and_a_most(table, key, least, most, value):
    """Wall thicknesses on offer rise; diameters are any readings."""

    def faults(count):
        values = [value or f"{4 + 0.5 * number:g} mm" for number in range(count)]
        drop = ("host_diameter", "ovality") if table == "pipe" else ()
        try:
            read(toml(**{table: {key: values}}, drop=drop).encode())
        except InputFaults as found:
            return [each.key for each in found.faults]
        return []

    assert (faults(least), faults(most)) == ([], [])
    assert faults(least - 1)
    assert faults(most + 1) == [key]


def test_a_sample_has_a_reading_to_a_thousand():
    """As the fault of more says."""
    assert keys_of("sample")["thicknesses"].entries == (1, 1000)
