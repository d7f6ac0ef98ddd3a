"""What goes beyond the owner's criteria and limits, by values worked by hand.

The crown of a host of 48 in lies 4 ft above its invert; 1 mm is 1/25.4 in.
"""

import numpy as np
import pytest

from linerdesign.project.faults import Place
from linerdesign.project.fields import read_table
from linerdesign.project.floors import (
    broken_floors,
    floors_broken,
    in_words,
    limits_left,
    rows_below_owner,
    watch,
)
from linerdesign.project.measures import Measure
from linerdesign.project.models import Criteria

OWNER = {
    "safety_factor": 2.5, "poisson_ratio": 0.3, "minimum_thickness": "4.5 mm", "dry_case": True,
    "x1_2_strength": "long-term", "thickness_step": "1.5 mm", "minimum_ovality": "3 %",
    "limits": {"maximum_modulus_retention": "50 %", "minimum_live_load": "1 psi"},
}  # fmt: skip


def criteria(own, owner=None):
    """Criteria of a project, under those of an owner's file where there is one."""
    made = _read(own)
    return made if owner is None else made.under(_read(owner), "owner.toml", _read(owner | own))


def _read(raw):
    faults = []
    made = read_table(Criteria, raw, Place(), faults)
    assert faults == []
    return made


def said(own, owner=OWNER):
    return [each.text for each in broken_floors(criteria(own, owner))]


def test_criteria_in_words():
    values = (2.5, 0.3, "long-term", Measure(4.5, "mm", "4.5 mm"), True, False)
    assert [in_words(each) for each in values] == ["2.5", "0.3", "long-term", "4.5 mm", "yes", "no"]


@pytest.mark.parametrize(
    ("own", "text"),
    [
        ({"safety_factor": 2.0}, "safety factor N: 2 of the project is less safe than the owner's "
         "2.5"),
        ({"poisson_ratio": 0.35}, "Poisson's ratio of the liner: 0.35 of the project is less safe "
         "than the owner's 0.3"),
        ({"minimum_thickness": "0.15 in"}, "minimum nominal thickness: 0.15 in of the project is "
         "less safe than the owner's 4.5 mm"),
        ({"dry_case": False}, "a gravity pipe also passes with the groundwater below its invert: "
         "no of the project is less safe than the owner's yes"),
        ({"x1_2_strength": "short-term"}, "flexural strength in X1.2; some published examples use "
         "short-term: short-term of the project is less safe than the owner's long-term"),
        ({"limits": {"maximum_modulus_retention": "60 %"}}, "maximum modulus retention: 60 % of "
         "the project is less safe than the owner's 50 %"),
        ({"limits": {"minimum_live_load": "0.5 psi"}}, "minimum live load, as a pressure: 0.5 psi "
         "of the project is less safe than the owner's 1 psi"),
    ],
)  # fmt: skip
def test_a_project_below_its_owner_is_told_with_both_values(own, text):
    assert said(own) == [text]
    assert said(own, owner=None) == []


@pytest.mark.parametrize(
    "own",
    [
        {"safety_factor": 2.5}, {"safety_factor": 3.0}, {"poisson_ratio": 0.25},
        {"minimum_thickness": "0.18 in"}, {"dry_case": True}, {"thickness_step": "0.5 mm"},
        # The owner says nothing of these.
        {"enhancement_factor": 9.0}, {"limits": {"minimum_soil_unit_weight": "90 pcf"}},
        {"limits": {"maximum_modulus_retention": "50 %", "minimum_live_load": "2 psi"}},
        {},
    ],
)  # fmt: skip
def test_a_project_at_its_owners_floor_or_above_is_not(own):
    assert said(own) == []


def test_floors_are_broken_by_the_numbers_of_pipes_too():
    """Three pipes of which the numbers of one each, by a change on a live page, are less safe."""
    made = criteria({"safety_factor": 2.0}, OWNER)
    values = {
        "N": np.array([2.0, 2.5, 3.0]), "nu": np.array([0.3, 0.31, 0.2]), "K": np.full(3, 9.0),
        "t_floor": np.array([0.2, 0.18, 0.17]), "s": np.full(3, 0.01), "DR_max": np.full(3, 500.0),
    }  # fmt: skip
    found = {each.numbers["subject"]: each for each in floors_broken(made, values, "US")}
    where = {subject: each.where.tolist() for subject, each in found.items()}
    assert where == {
        "Poisson's ratio of the liner": [False, True, False],
        "safety factor N": [True, False, False],
        "minimum nominal thickness": [False, False, True],
    }
    one = found["safety factor N"]
    assert one.at(0, 0, None, (3, 1)).text == (
        "safety factor N: 2 of the project is less safe than the owner's 2.5"
    )
    assert one.of_any.text == "safety factor N is less safe than the owner's 2.5"
    assert one.of_pipe
    assert not list(floors_broken(criteria({"safety_factor": 2.0}), values, "US"))


def test_what_watches_designs_finds_limits_and_floors():
    made = criteria({"limits": {"minimum_live_load": "1 psi"}}, OWNER | {"limits": {}})
    found = list(watch(made)({"N": np.array([2.0]), "W_s": np.array([0.5])}, "US"))
    assert [(each.code, each.where.tolist()) for each in found] == [
        ("project.under_limit", [True]),
        ("project.breach", [True]),
    ]


def test_values_are_compared_with_limits_in_their_own_unit_and_sense():
    """Water 12 ft over the invert is 8 ft over the crown and, under 16 ft of cover, 8 ft down."""
    limits = {
        "minimum_groundwater_above_invert": "144 in", "minimum_groundwater_above_crown": "8 ft",
        "maximum_groundwater_below_surface": "96 in", "maximum_modulus_retention": "50 %",
        "minimum_soil_unit_weight": "110 pcf",
    }  # fmt: skip
    values = {
        "D": np.array([48.0, 48.0, 48.0]), "h_invert": np.array([12.0, 11.123456, 13.0]),
        "H": np.array([16.0, 16.0, 16.0]), "r_E": np.array([50.0, 51.0, 40.0]),
    }  # fmt: skip
    found = list(limits_left(criteria({"limits": limits}), values, "US"))
    assert [(each.code, each.numbers["limit"], each.where.tolist()) for each in found] == [
        ("project.under_limit", "144 in", [False, True, False]),
        ("project.under_limit", "8 ft", [False, True, False]),
        ("project.over_limit", "96 in", [False, True, False]),
        ("project.over_limit", "50 %", [False, True, False]),
    ]
    water, crown, depth, retained = (each.at(0, 1, None, (1, 3)).text for each in found)
    assert water == "groundwater above invert 11.123 ft is under the owner's limit of 144 in"
    assert crown == "groundwater above crown 7.1235 ft is under the owner's limit of 8 ft"
    assert depth.endswith("grade 8.8765 ft is over the owner's limit of 96 in")
    assert retained.endswith("51 % is over the owner's limit of 50 %")
    assert found[0].of_many.text == "groundwater above invert is under the owner's limit of 144 in"
    # By the diameter at the crown where it has its own; without cover there is no depth of water.
    values = {"D": 48.0, "D_crown": 54.0, "h_invert": 12.0}
    found = list(limits_left(criteria({"limits": limits}), values, "US"))
    assert [each.numbers["limit"] for each in found] == ["144 in", "8 ft"]
    assert found[1].at(0, 0, None, (1, 1)).text.startswith("groundwater above crown 7.5 ft is")


def test_an_ovality_under_the_owners_minimum_is_told_as_stated():
    """The larger of both where both diameters are known."""
    made = criteria({}, OWNER | {"limits": {}})
    for key in ("q_pipe", "q_max", "q_min"):
        values = {key: np.array([2.0, 3.0, 4.0]), "q": np.array([3.0, 3.0, 4.0])}
        (found,) = limits_left(made, values, "US")
        assert found.where.tolist() == [True, False, False]
        assert found.at(0, 0, None, (1, 3)).text == (
            "ovality 2 % is under the owner's minimum of 3 %, which is used"
        )
        assert found.of_many.text == "ovality is under the owner's minimum of 3 %, which is used"
        assert found.of_any.text == "ovality is under the owner's minimum, which is used"
        assert not list(limits_left(made, {key: values[key]}, "US"))
    both = {"q_max": 2.5, "q_min": 2.0, "q": 3.0}
    (found,) = limits_left(made, both, "US")
    assert "ovality 2.5 %" in found.at(0, 0, None, (1, 1)).text
    assert not list(limits_left(made, {"q": 3.0}, "US"))
    assert not list(limits_left(criteria({"minimum_ovality": "3 %"}), both, "US"))


def test_rows_of_an_inventory_below_its_criteria():
    """With an owner's file those of the owner count, else those of the project."""
    own = {
        "safety_factor": Measure(np.array([2.0, 2.5, 3.0]), "", ""),
        "minimum_thickness": Measure(np.array([0.2, 0.18, 0.17]), "in", ""),
        "x1_2_strength": "short-term",
        "enhancement_factor": Measure(np.array([9.0, 9.0, 9.0]), "", ""),
    }
    for made in (criteria({"safety_factor": 1.5}, OWNER), criteria(OWNER)):
        found = [(note.text, np.asarray(at).tolist()) for note, at in rows_below_owner(made, own)]
        about = "of the row is less safe than that of the criteria"
        assert found == [
            (f"safety factor N {about}, 2.5", [True, False, False]),
            (
                f"flexural strength in X1.2; some published examples use short-term {about}, "
                "long-term",
                True,
            ),
            (f"minimum nominal thickness {about}, 4.5 mm", [False, False, True]),
        ]
    assert [at for _, at in rows_below_owner(criteria(OWNER), {"x1_2_strength": "long-term"})] == [
        False
    ]
