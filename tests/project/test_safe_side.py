"""The side on which a criterion or an input is unsafe, and what is said of a project beyond it."""

from dataclasses import replace

import pytest
from by_hand import Inputs, thicknesses
from projects import PIPE, RESIN

from linerdesign.interface import read, size
from linerdesign.project.floors import less_safe
from linerdesign.project.measures import parse
from linerdesign.project.models import Criteria, Limits

BOOK = Inputs(
    D=48.0, q=5.0, h_invert=12.0, E=250000.0, retention=50.0, sigma=4500.0,
    strength_retention=50.0, H=16.0, W_s=0.35,
)  # fmt: skip
# Criterion or limit, its field in the hand calculation, the line of the calculation that it is in.
SIDES = [
    (Criteria, "poisson_ratio", "nu", "t X1.1"),
    (Criteria, "safety_factor", "N", "t X1.3"),
    (Criteria, "enhancement_factor", "K", "t X1.1"),
    (Criteria, "minimum_ovality", "q", "t X1.3"),
    (Limits, "minimum_groundwater_above_invert", "h_invert", "t X1.1"),
    (Limits, "minimum_soil_unit_weight", "w", "t X1.3"),
    (Limits, "maximum_soil_reaction_modulus", "E_s", "t X1.3"),
    (Limits, "minimum_live_load", "W_s", "t X1.3"),
    (Limits, "maximum_modulus_retention", "retention", "t X1.3"),
    (Limits, "maximum_strength_retention", "strength_retention", "t X1.2"),
]


@pytest.mark.parametrize(("table", "key", "field", "line"), SIDES, ids=[row[1] for row in SIDES])
def test_the_unsafe_side_asks_for_a_thinner_wall(table, key, field, line):
    """By hand, five percent more and less of the value."""
    more, less = (
        thicknesses(replace(BOOK, **{field: share * getattr(BOOK, field)}))[line]
        for share in (1.05, 0.95)
    )
    assert table.rows[key].unsafe == (1 if more < less else -1)


def test_a_criterion_is_less_safe_on_its_unsafe_side_alone():
    for ours, theirs, sign, worse in (
        (1.9, 2.0, -1, True), (2.0, 2.0, -1, False), (2.1, 2.0, -1, False),
        (7.1, 7.0, 1, True), (7.0, 7.0, 1, False), (6.9, 7.0, 1, False),
        ("short-term", "long-term", 0, True), ("long-term", "long-term", 0, False),
        (False, True, -1, True), (True, True, -1, False), (True, False, -1, False),
    ):  # fmt: skip
        assert less_safe(ours, theirs, sign) is worse, (ours, theirs)
    # 4.5 mm is 0.17717 in.
    least = parse("4.5 mm", "floor")
    assert less_safe(parse("0.177 in", "floor"), least, -1)
    assert not less_safe(parse("0.178 in", "floor"), least, -1)


# Limit, a value of the pipe or resin within it and one beyond, and the value as it is printed.
BEYOND = [
    ("minimum_groundwater_above_invert", "5 ft", "groundwater_above_invert", "5 ft", "4.99 ft"),
    ("minimum_groundwater_above_crown", "5 ft", "groundwater_above_invert", "9 ft", "8.99 ft"),
    # Cover of 16 ft and a host of 4 ft: water 12 ft above the invert is 8 ft down.
    ("maximum_groundwater_below_surface", "8 ft", "groundwater_above_invert", "12 ft", "11.99 ft"),
    ("minimum_soil_unit_weight", "120 pcf", "soil_unit_weight", "120 pcf", "119.9 pcf"),
    ("maximum_soil_reaction_modulus", "1000 psi", "soil_reaction_modulus", "1 ksi", "1001 psi"),
    ("minimum_live_load", "0.35 psi", "live_load", "0.35 psi", "0.349 psi"),
    ("maximum_modulus_retention", "50 %", "modulus_retention", "50 %", "50.1 %"),
    ("maximum_strength_retention", "50 %", "strength_retention", "50 %", "50.1 %"),
]


@pytest.mark.parametrize(("limit", "at", "key", "within", "beyond"), BEYOND)
def test_a_value_is_flagged_beyond_a_limit_and_not_at_it(limit, at, key, within, beyond):
    def flagged(value):
        resin, pipe = (RESIN | {key: value}, PIPE) if "retention" in key else (
            RESIN, PIPE | {key: value}
        )  # fmt: skip
        tables = {"project": {"title": "x"}, "resin": [resin], "pipe": [pipe],
                  "criteria": {"limits": {limit: at}}}  # fmt: skip
        (found,) = size(read(tables)).pipes
        return [note.code for note in found.notes if note.code.endswith("_limit")]

    assert flagged(within) == []
    side = "under" if limit.startswith("minimum") else "over"
    assert flagged(beyond) == [f"project.{side}_limit"]
