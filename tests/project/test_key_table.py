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
from linerdesign.project.faults import InputFaults
from linerdesign.project.keys import KEYS, SITE_KEYS
from linerdesign.project.measures import convert, parse
from linerdesign.project.reading import parse as read

EVERY = list(KEYS)
BY_NAME = {key.name: key for key in reversed(EVERY)}


def test_defaults_are_those_of_the_standard():
    stated = {
        "poisson_ratio": 0.3, "safety_factor": 2.0, "enhancement_factor": 7.0,
        "maximum_dimension_ratio": 100.0, "modulus_retention": "50 %", "strength_retention": "50 %",
        "tensile_retention": "50 %", "minimum_ovality": "0 %", "minimum_thickness": "0 mm",
        "x1_2_strength": "long-term", "units": "US", "dry_case": True,
    }  # fmt: skip
    assert {name: BY_NAME[name].default for name in stated} == stated
    # Agencies allow no reading under 87.5 % of the design; n of a smooth liner: common practice.
    assert BY_NAME["least_reading"].default == "87.5 %"
    assert BY_NAME["liner_n"].default == 0.01
    # A choice can be read back.
    for key in EVERY:
        if key.choices and isinstance(key.default, str):
            assert key.default in key.choices, key.name


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
    [("pipe", "diameters", 2, 10_000, "48 in"), ("resin", "thicknesses", 1, 200, None)],
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
