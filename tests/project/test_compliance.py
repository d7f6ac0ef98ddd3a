"""The owner's requirements row by row: required, by whom, used, met; each worked by hand.

The town is invented. Depths and walls are as the pipes state them; 1 ft is 0.3048 m.
"""

from types import SimpleNamespace

import pytest
from projects import LATERAL, PIPE, RESIN, toml

from linerdesign.interface import read, size
from linerdesign.project import compliance
from linerdesign.project.compliance import requirements
from linerdesign.project.reading import read as read_file


def rows(*pipes, units="US", resins=(RESIN,), **criteria):
    """The rows by key, each as required, source, used and met."""
    raw = {"project": {"title": "Harrowmere", "units": units}, "criteria": criteria}
    sizing = size(read(raw | {"resin": list(resins), "pipe": list(pipes)}))
    return by_key(requirements(sizing.project, sizing.pipes))


def by_key(found):
    return {each.key: (each.required, each.source, each.used, each.met) for each in found}


def owned(folder, owner, *pipes, **criteria):
    """The same under a file of the owner's criteria."""
    (folder / "owner.toml").write_text(owner, encoding="utf-8")
    path = folder / "project.toml"
    path.write_text(toml(project={"criteria": "owner.toml"}, criteria=criteria, pipe=pipes[0]))
    sizing = size(read_file(path))
    return by_key(requirements(sizing.project, sizing.pipes))


OWN, DEFAULT = "project criteria", "default"


def test_every_criterion_of_a_wall_has_a_row_in_the_order_of_the_table():
    """What is no requirement of a wall, as evidence, defaults or a second method, has none."""
    found = rows(PIPE | {"design_thickness": "30 mm"}, safety_factor=2.0, poisson_ratio=0.3)
    assert list(found) == [
        "edition", "poisson_ratio", "safety_factor", "enhancement_factor", "x1_2_strength",
        "maximum_dimension_ratio", "dry_case", "minimum_ovality", "minimum_thickness",
        "thickness_step",
    ]  # fmt: skip
    assert found["edition"] == ("F1216-07b", DEFAULT, "F1216-07b", True)
    assert found["poisson_ratio"] == ("0.3", OWN, "0.3", True)
    assert found["enhancement_factor"] == ("7", DEFAULT, "7", True)
    assert found["x1_2_strength"] == ("long-term", DEFAULT, "long-term", True)
    # 48 in over 30 mm: 1219.2 / 30.
    assert found["maximum_dimension_ratio"] == ("100", DEFAULT, "40.64 (largest)", True)
    assert found["dry_case"] == ("yes", DEFAULT, "yes", True)
    assert found["minimum_ovality"] == ("0 %", DEFAULT, "2 % (smallest)", True)
    assert found["minimum_thickness"] == ("0 mm", DEFAULT, "30 mm (smallest)", True)
    # Nothing was rounded to an increment.
    assert found["thickness_step"] == ("1.5 mm", DEFAULT, "-", None)


def test_texts_are_all_of_a_row_but_whether_it_is_met():
    (row, *_) = requirements(*_sized(PIPE))
    assert row.texts == (row.name, "F1216-07b", DEFAULT, "F1216-07b")


def _sized(*pipes):
    sizing = size(
        read({"project": {"title": "x"}, "criteria": {}, "resin": [RESIN], "pipe": list(pipes)})
    )
    return sizing.project, sizing.pipes


def test_of_several_pipes_the_row_shows_the_worst():
    """Digits as the sheet has them: four of a wall and an ovality, five of a limited value."""
    wide = PIPE | {"name": "wide", "ovality": "2.34567 %", "design_thickness": "30.98765 mm"}
    narrow = PIPE | {
        "name": "narrow", "host_diameter": "36 in", "ovality": "3 %", "design_thickness": "32 mm",
        "groundwater_above_invert": "11.23456 ft",
    }  # fmt: skip
    for pipes in ((wide, narrow), (narrow, wide)):
        found = rows(
            *pipes, limits={"minimum_groundwater_above_invert": "11 ft",
                            "maximum_soil_reaction_modulus": "999 psi"}
        )  # fmt: skip
        assert found["minimum_ovality"][2] == "2.346 % (smallest)"
        assert found["minimum_thickness"][2] == "30.99 mm (smallest)"
        assert found["maximum_dimension_ratio"][2] == "39.34 (largest)"
        assert found["minimum_groundwater_above_invert"] == (
            "11 ft", OWN, "11.235 ft (smallest)", True,
        )  # fmt: skip
        assert found["maximum_soil_reaction_modulus"] == (
            "999 psi",
            OWN,
            "1000 psi (largest)",
            False,
        )


@pytest.mark.parametrize(
    ("limit", "value", "used", "met"),
    [
        ("minimum_groundwater_above_invert", "12 ft", "12 ft (smallest)", True),
        ("minimum_groundwater_above_invert", "12.1 ft", "12 ft (smallest)", False),
        ("minimum_groundwater_above_crown", "8 ft", "8 ft (smallest)", True),
        # 16 ft of cover and 4 ft of pipe over the invert, less the water.
        ("maximum_groundwater_below_surface", "7.9 ft", "8 ft (largest)", False),
        ("minimum_soil_unit_weight", "121 pcf", "120 pcf (smallest)", False),
        ("minimum_live_load", "0.3 psi", "0.35 psi (smallest)", True),
        ("maximum_modulus_retention", "50 %", "50 % (largest)", True),
        ("maximum_strength_retention", "49 %", "50 % (largest)", False),
        # A gravity pipe has no tension.
        ("maximum_tensile_retention", "40 %", "-", None),
    ],
)
def test_each_limit_shows_the_value_nearest_to_it(limit, value, used, met):
    deep = PIPE | {"name": "deep", "groundwater_above_invert": "15 ft"}
    if limit == "maximum_groundwater_below_surface":
        deep = PIPE | {"name": "deep", "groundwater_above_invert": "13 ft"}
    found = rows(deep, PIPE, limits={limit: value})
    assert found[limit] == (value, OWN, used, met)


def test_limits_are_shown_in_the_unit_of_the_sheet():
    found = rows(PIPE, units="SI", limits={"minimum_groundwater_above_invert": "10 ft"})
    assert found["minimum_groundwater_above_invert"][2:] == ("3.6576 m (smallest)", True)


def test_rows_name_the_owners_file_and_tell_what_the_project_relaxes(tmp_path):
    """The minimum of 3 % is used where the pipe has 2 %; a factor of 2 is not the owner's."""
    owner = (
        "[criteria]\nsafety_factor = 2.5\nminimum_ovality = '3 %'\nminimum_thickness = '6 mm'\n"
        "dry_case = true\n[criteria.limits]\nminimum_groundwater_above_invert = '10 ft'\n"
        "maximum_soil_reaction_modulus = '1500 psi'\n"
    )
    thick = {"design_thickness": "45 mm"}
    found = owned(tmp_path, owner, thick, safety_factor=2.0, minimum_thickness="0.3 in")
    required, source, used, met = found["safety_factor"]
    assert (required, source, met) == ("2.5", "owner.toml", False)
    assert used.endswith(" (lowest provided)")
    assert found["minimum_thickness"] == ("6 mm", "owner.toml", "45 mm (smallest)", True)
    assert found["minimum_ovality"] == ("3 %", "owner.toml", "3 % (smallest)", True)
    assert found["dry_case"] == ("yes", "owner.toml", "yes", True)
    assert found["poisson_ratio"] == ("0.3", DEFAULT, "0.3", True)
    # The ovality under the minimum is a matter of that row alone.
    assert found["minimum_groundwater_above_invert"] == (
        "10 ft", "owner.toml", "12 ft (smallest)", True,
    )  # fmt: skip
    assert found["maximum_soil_reaction_modulus"] == (
        "1500 psi", "owner.toml", "1000 psi (largest)", True,
    )  # fmt: skip
    dry = owned(tmp_path, owner, thick, dry_case=False)["dry_case"]
    assert dry == ("yes", "owner.toml", "no", False)
    thin = owned(tmp_path, owner, {"design_thickness": "5 mm"})
    assert thin["minimum_thickness"] == ("6 mm", "owner.toml", "5 mm (smallest)", False)
    assert thin["safety_factor"][3] is False


def test_a_line_in_legs_meets_them_with_the_walls_delivered():
    """4.4 in under a tube for 4 in: the wall of the tube is stretched, and so less than 6 mm."""
    legs = {"tube_diameter": "4 in", "tube_thickness": "6 mm", "design_thickness": "6 mm",
            "leg": [{"at": "0 ft"}, {"at": "9 ft", "host_diameter": "4.4 in"}]}  # fmt: skip
    whole = rows(LATERAL | {"design_thickness": "6 mm"}, minimum_thickness="6 mm")
    assert whole["minimum_thickness"] == ("6 mm", OWN, "6 mm (smallest)", True)
    used = rows(LATERAL | legs, minimum_thickness="6 mm")["minimum_thickness"][2]
    assert 5 < float(used.removesuffix(" mm (smallest)")) < 6


def result(checks=(), values=(), lowest=None, system="US", resin="Felt", **basis):
    """A design, as far as a row looks at it."""
    known = {"internal_pressure": False, "above_ground": False, "thickness_given": False,
             "sizes": None, "system": system} | basis  # fmt: skip
    return SimpleNamespace(
        checks=checks, values=values, lowest_safety_factor=lowest, resin=resin,
        basis=SimpleNamespace(**known),
    )  # fmt: skip


def check(passes, factor=None, upper=False, demand=0.0):
    return SimpleNamespace(passes=passes, safety_factor=factor, upper=upper, demand=demand)


@pytest.mark.parametrize(
    ("designs", "used", "met"),
    [
        ([result([check(True, 2.5)], lowest=2.5)], "2.50 (lowest provided)", True),
        # Cut, so that it never reads as what it does not reach; 2 by its last digit is 2.
        ([result([check(False, 1.9999)], lowest=1.9999)], "1.99 (lowest provided)", False),
        ([result([check(False, 1.9999995)], lowest=1.9999995)], "1.99 (lowest provided)", False),
        ([result([check(True, 2 - 1e-12)], lowest=2 - 1e-12)], "2.00 (lowest provided)", True),
        ([result([check(True, 3.0)], lowest=3.0), result([check(True, 2.1)], lowest=2.1)],
         "2.10 (lowest provided)", True),
        ([result([check(True, 3.0), check(False, 1.5)], lowest=1.5), result()],
         "1.50 (lowest provided)", False),
        # A check without a factor, as that of DR, is another row.
        ([result([check(True, 2.5), check(False)], lowest=2.5)], "2.50 (lowest provided)", True),
        ([result([check(False)])], "taken", None),
    ],
)  # fmt: skip
def test_the_lowest_safety_factor_is_that_of_all_pipes(designs, used, met):
    assert compliance._factor(designs, "taken") == (used, met)


@pytest.mark.parametrize(
    ("designs", "used", "met"),
    [
        ([result([check(True, upper=True, demand=45.161)])], "45.16 (largest)", True),
        ([result([check(True, upper=True, demand=45.0), check(False, demand=200.0)]),
          result([check(False, upper=True, demand=101.0)])], "101 (largest)", False),
        ([result([check(False, demand=200.0)])], "-", None),
    ],
)  # fmt: skip
def test_the_largest_dimension_ratio_is_that_of_pipes_it_is_limited_in(designs, used, met):
    assert compliance._ratio(designs, "taken") == (used, met)


@pytest.mark.parametrize(
    ("designs", "used", "met"),
    [
        ([result(values=[{"t": 0.25}])], "6.35 mm (smallest)", True),
        ([result(values=[{"t": 6.0}, {"t": 5.0}], system="SI")], "5 mm (smallest)", True),
        ([result(values=[{"t": 6.0, "t_floor": 6.0}], system="SI")], "6 mm (smallest)", True),
        ([result(values=[{"t": 5.9, "t_floor": 6.0}], system="SI"),
          result(values=[{"t": 8.0, "t_floor": 6.0}], system="SI")], "5.9 mm (smallest)", False),
    ],
)  # fmt: skip
def test_the_smallest_wall_is_in_millimetres_and_reaches_its_own_minimum(designs, used, met):
    assert compliance._thickness(designs, "taken") == (used, met)


@pytest.mark.parametrize(
    ("designs", "used", "met"),
    [
        ([result(values=[{"q": 2.0}, {"q": 1.5}])], "1.5 % (smallest)", True),
        ([result(values=[{}]), result(values=[{"q": 4.0}])], "4 % (smallest)", True),
        ([result(values=[{}])], "-", None),
    ],
)
def test_the_smallest_ovality_is_that_of_pipes_which_have_one(designs, used, met):
    assert compliance._ovality(designs, "taken") == (used, met)


@pytest.mark.parametrize(
    ("designs", "met"),
    [
        ([result()], True),
        ([result(internal_pressure=True), result()], True),
        ([result(internal_pressure=True), result(above_ground=True)], None),
    ],
)
def test_the_dry_case_is_of_gravity_pipes_under_ground(designs, met):
    assert compliance._dry_case(designs, "no") == ("no", met)


@pytest.mark.parametrize(
    ("designs", "used", "met"),
    [
        # 1.5 mm is 0.0590551 in.
        ([result(values=[{"s": 1.5 / 25.4}])], "1.5 mm (Felt)", True),
        ([result(values=[{"s": 1.23456}], system="SI")], "1.235 mm (Felt)", True),
        ([result(values=[{"s": 0.5}], system="SI", resin="A"),
          result(values=[{"s": 0.5}], system="SI", resin="A"),
          result(values=[{"s": 3.0}], system="SI", resin="B")], "0.5 mm (A); 3 mm (B)", True),
        ([result(values=[{}], sizes=(4.0, 6.0), resin="G")], "sizes listed by the resin (G)", True),
        ([result(values=[{"s": 0.5}], thickness_given=True)], "-", None),
    ],
)  # fmt: skip
def test_walls_are_made_in_the_increment_or_the_sizes_of_each_resin(designs, used, met):
    assert compliance._increment(designs, "1.5 mm") == (used, met)


def test_an_increment_that_is_not_the_owners_is_not_called_met(tmp_path):
    """It is neither safer nor less safe: the reader sees both and decides. In other units it is
    the same; without a word of the owner's it is the default that is required."""
    owner = "[criteria]\nthickness_step = '1.5 mm'\n"
    for step, met in (("0.5 mm", None), ("3 mm", None), ("0.15 cm", True)):
        required, source, _, found = owned(tmp_path, owner, {}, thickness_step=step)[
            "thickness_step"
        ]
        assert (required, source, found) == ("1.5 mm", "owner.toml", met)
    silent = owned(tmp_path, "[criteria]\nsafety_factor = 2\n", {}, thickness_step="0.5 mm")
    assert silent["thickness_step"][:2] == ("1.5 mm", DEFAULT)
