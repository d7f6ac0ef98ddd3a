"""The lines that each basis leads to, in the order of the sheet, and when each of them applies.

Written out by hand from what Appendix X1 asks for in each case.
"""

from itertools import product

import pytest

from linerdesign.methods.basis import FULLY, Basis
from linerdesign.methods.f1216 import checks
from linerdesign.methods.f1216.basis import EDITION_07A, EDITION_07B, in_parts
from linerdesign.methods.method import (
    checks_of,
    lines_of,
    missing_inputs,
    requirement,
    verification,
)

# Behind a quantity stands where its line applies: in groundwater, in an oval pipe, or in a dry one.
GRAVITY = {"thickness_given": True, "method": "f1216"}
BURIED = GRAVITY | {"condition": FULLY, "edition": EDITION_07B}
PRESSURE = GRAVITY | {"internal_pressure": True}
BENT = "sigma_X1_2:{0} sigma_allowed:{0} N_X1_2:{0}"
OUTSIDE = f"P_X1_1:wet N_X1_1:wet {BENT.format('wet,oval')}"
IN_VACUUM = f"P_X1_1 N_X1_1 {BENT.format('oval')}"
BY_X1_2 = "a_q:{0} b_q:{0} t_X1_2:{0}"
THICK = f"t_X1_1:wet {BY_X1_2.format('wet,oval')}"
THICK_IN_VACUUM = f"t_X1_1 {BY_X1_2.format('oval')}"
HOLE = "t_X1_5 t_X1_6 t_X1_7"
BY_HOLE = "P_X1_6 P_X1_7 r_hole P_pressure N_pressure"
SHEETS = {
    "sound host": (
        GRAVITY,
        f"q C:wet E_L:wet sigma_L:wet,oval P {THICK} t_DR_limit t_required",
        f"DR {OUTSIDE}",
    ),
    "sound host, never dry": (
        GRAVITY | {"dry_case": False},
        f"q C:wet E_L:wet sigma_L:wet,oval P {THICK} t_DR_limit:dry t_required",
        f"DR {OUTSIDE}",
    ),
    "short-term strength": (
        GRAVITY | {"strength": "short-term"},
        f"q C:wet E_L:wet P {THICK} t_DR_limit t_required",
        f"DR {OUTSIDE}",
    ),
    "sound host in vacuum": (
        GRAVITY | {"vacuum": True},
        f"q C E_L sigma_L:oval P_w P {THICK_IN_VACUUM} t_DR_limit t_required",
        f"DR {IN_VACUUM}",
    ),
    "soil and water": (
        BURIED,
        f"q H_w C E_L sigma_L:wet,oval P R_w B q_t {THICK} t_DR_limit t_X1_3 t_X1_4 t_required",
        f"DR I {OUTSIDE} q_X1_3 N_X1_3 S_X1_4",
    ),
    "soil in vacuum": (
        BURIED | {"vacuum": True},
        f"q H_w C E_L sigma_L:oval P_w P R_w B q_e q_t {THICK_IN_VACUUM} t_DR_limit t_X1_3 t_X1_4"
        " t_required",
        f"DR I {IN_VACUUM} q_X1_3 N_X1_3 S_X1_4",
    ),
    "pressure in soil": (
        BURIED | {"internal_pressure": True},
        f"q H_w C E_L sigma_L:wet,oval sigma_TL P R_w B q_t {THICK} t_DR_limit:dry t_X1_3 t_X1_4"
        " t_X1_7 t_required",
        f"DR I {OUTSIDE} q_X1_3 N_X1_3 S_X1_4 P_X1_7 N_X1_7",
    ),
    "pressure in a sound host": (
        PRESSURE,
        f"q C:wet E_L:wet sigma_L sigma_TL P {HOLE} {THICK} t_DR_limit:dry t_pressure t_required",
        f"DR {OUTSIDE} {BY_HOLE}",
    ),
    "pressure, short-term strength": (
        PRESSURE | {"strength": "short-term"},
        f"q C:wet E_L:wet sigma_L sigma_TL P {HOLE} {THICK} t_DR_limit:dry t_pressure t_required",
        f"DR {OUTSIDE} {BY_HOLE}",
    ),
    "pressure above ground": (
        PRESSURE | {"above_ground": True},
        f"sigma_L sigma_TL {HOLE} t_pressure t_required",
        f"DR {BY_HOLE}",
    ),
    "pressure above ground, alone": (
        PRESSURE | {"above_ground": True, "condition": FULLY},
        "sigma_TL t_X1_7 t_required",
        "DR P_X1_7 N_X1_7",
    ),
    "pressure and vacuum above ground": (
        PRESSURE | {"above_ground": True, "vacuum": True},
        f"q C E_L sigma_L sigma_TL P {HOLE} {THICK_IN_VACUUM} t_pressure t_required",
        f"DR {IN_VACUUM} {BY_HOLE}",
    ),
}


# Where a line applies, in a round and an oval pipe without groundwater, then with it.
APPLIES = {
    (False, False, True, True): ":wet",
    (False, True, False, True): ":oval",
    (False, False, False, True): ":wet,oval",
    (True, True, False, False): ":dry",
    (True, True, True, True): "",
}


def shown(lines, vacuum):
    """The lines as above. Water or a vacuum press on the liner, and bend it where it is oval."""
    cases = [
        {"h_invert": h, "q": q, "P": 5.0 if h or vacuum else 0.0, "sigma_X1_2": 9.0}
        for h, q in product((0.0, 3.0), (0.0, 2.0))
    ]
    return " ".join(
        each.result + APPLIES[tuple(bool(each.applies(case)) for case in cases)] for each in lines
    )


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("system", ["US", "SI"])
def test_the_lines_of_a_basis_and_when_they_apply(name, system):
    choices, thickness, forward = SHEETS[name]
    basis = Basis(**choices, system=system)
    assert shown(requirement(basis), basis.vacuum) == thickness
    assert shown(verification(basis), basis.vacuum) == forward
    for each in lines_of(basis):
        assert each.equation.system in (None, system)
        if each.equation.edition:
            assert each.equation.edition == EDITION_07B


def test_the_earlier_edition_has_its_own_x1_3():
    basis = Basis(**BURIED | {"edition": EDITION_07A})
    editions = {each.result: each.equation.edition for each in lines_of(basis)}
    assert editions["t_X1_3"] == editions["q_X1_3"] == EDITION_07A
    assert list(editions) == [each.result for each in lines_of(Basis(**BURIED))]


@pytest.mark.parametrize("strength", ["long-term", "short-term"])
@pytest.mark.parametrize("vacuum", [False, True])
def test_the_strength_that_x1_2_reads(strength, vacuum):
    """Short-term by the owner's word, in X1.2 alone: X1.6 goes by the long-term one."""
    basis = Basis(**PRESSURE, strength=strength, vacuum=vacuum)
    read = {each.result: each.arguments for each in lines_of(basis)}
    of_bending = "sigma_L" if strength == "long-term" else "sigma"
    for key in ("t_X1_2", "sigma_allowed"):
        assert of_bending in read[key]
        assert ("sigma_L" in read[key]) is (strength == "long-term")
    assert "sigma_L" in read["t_X1_6"]
    assert "sigma_L" in read["P_X1_6"]


DATUMS = [
    # water, cover, what the lines of the site find, each with what it reads
    (("h_invert",), ("H",), {}),
    (("h_invert",), ("H_invert",), {"H": ("H_invert", "crown")}),
    (
        ("h_invert",),
        ("z_ground", "z_invert"),
        {"H_invert": ("z_ground", "z_invert"), "H": ("H_invert", "crown")},
    ),
    (("h_crown",), ("H",), {"h_invert": ("h_crown", "crown")}),
    (("d_water",), ("H",), {"h_invert": ("H", "crown", "d_water")}),
    (
        ("z_water",),
        ("z_ground", "z_invert"),
        {
            "H_invert": ("z_ground", "z_invert"),
            "H": ("H_invert", "crown"),
            "h_invert": ("z_water", "z_invert"),
        },
    ),
]


@pytest.mark.parametrize(("water", "cover", "found"), DATUMS)
@pytest.mark.parametrize("host_wall", [False, True])
@pytest.mark.parametrize("condition", ["partially deteriorated", FULLY])
def test_the_lines_of_the_site(water, cover, found, host_wall, condition):
    """The crown is a diameter over the invert, and a wall of the host more where one is given."""
    basis = Basis(
        **GRAVITY | {"condition": condition, "edition": EDITION_07B},
        water=water,
        cover=cover,
        host_wall=host_wall,
    )
    crown = "D_crown" if host_wall else "D"
    of_site = {"H", "H_invert", "h_invert", "H_w", "D_crown"}
    lines = {each.result: each.arguments for each in requirement(basis) if each.result in of_site}
    expected = {
        key: tuple(crown if each == "crown" else each for each in read)
        for key, read in found.items()
    }
    if host_wall:
        expected = {"D_crown": ("D", "t_host")} | expected
    if condition == FULLY:
        expected["H_w"] = ("h_invert", crown)
    assert {key: sorted(read) for key, read in lines.items()} == {
        key: sorted(read) for key, read in expected.items()
    }
    assert list(lines) == list(expected)


@pytest.mark.parametrize(
    ("given", "lines", "source"),
    [
        (("q_pipe",), [], "q_pipe"),
        (("D_max",), ["q_max"], "q_max"),
        (("D_min",), ["q_min"], "q_min"),
        (("D_max", "D_min"), ["q_max", "q_min", "q_pipe"], "q_pipe"),
    ],
)
def test_the_design_ovality_goes_by_what_is_given(given, lines, source):
    """Of the diameters measured, the larger ovality."""
    basis = Basis(**GRAVITY, ovality=given)
    assert basis.ovality_key == source
    found = requirement(basis)
    assert [each.result for each in found][: len(lines) + 1] == [*lines, "q"]
    assert found[len(lines)].arguments == (source, "q_floor")


@pytest.mark.parametrize("system", ["US", "SI"])
@pytest.mark.parametrize("vacuum", [False, True])
def test_the_total_pressure_in_parts(system, vacuum):
    """Water, soil, and their sum with the live load, in place of the one line."""
    basis = Basis(**BURIED, system=system, vacuum=vacuum)
    whole = [each.result for each in requirement(basis)]
    total = "q_e" if vacuum else "q_t"
    lines = list(in_parts(basis, requirement(basis)))
    parted = [each.result for each in lines]
    place = whole.index(total)
    assert parted == [*whole[:place], "q_water", "q_soil", *whole[place:]]
    assert lines[place + 2].arguments == ("q_water", "q_soil", "W_s")
    assert all(each.equation.system in (None, system) for each in lines)


BY_FEET = {
    "given": False,
    "HL-93": True,
    "H-20 table": True,
    "E-80 Boussinesq": True,
    "distributed load": False,
}


@pytest.mark.parametrize("load", BY_FEET)
@pytest.mark.parametrize("by_depth", [None, ("coarse with fines", "90 %")])
def test_the_cover_in_feet_stands_once_where_a_rule_reads_it(load, by_depth):
    """On a sheet in metres; one in feet has it as it is."""
    about = BURIED | {"live_load": load, "soil_by_depth": by_depth, "live_load_table": "in psi"}
    in_feet = [each.result for each in requirement(Basis(**about))]
    assert "H_ft" not in in_feet
    lines = [each.result for each in requirement(Basis(**about, system="SI"))]
    assert lines.count("H_ft") == (BY_FEET[load] or by_depth is not None)
    assert len(lines) == len(set(lines))
    assert ("E_s" in lines) is ("E_s" in in_feet) is (by_depth is not None)
    assert not missing_inputs(Basis(**about, system="SI"), ()) & {"H_ft", "E_s_psi"}


CHECKS = {
    # equation: demand, capacity, factor, thickness
    "X1.1": ("P", "P_X1_1", "N_X1_1", "t_X1_1"),
    "X1.2": ("sigma_X1_2", "sigma_allowed", "N_X1_2", "t_X1_2"),
    "DR limit": ("DR", "DR_max", None, "t_DR_limit"),
    "X1.3": ("q_t", "q_X1_3", "N_X1_3", "t_X1_3"),
    "X1.4": ("S_min", "S_X1_4", None, "t_X1_4"),
    "X1.7": ("P_i", "P_X1_7", "N_X1_7", "t_X1_7"),
}


@pytest.mark.parametrize("vacuum", [False, True])
@pytest.mark.parametrize("edition", [EDITION_07A, EDITION_07B])
def test_what_each_check_compares(vacuum, edition):
    """The stiffness of X1.4 is to be at least the least one, the ratio at most the largest."""
    basis = Basis(**BURIED | {"edition": edition}, internal_pressure=True, vacuum=vacuum)
    found = {
        each.equation: (each.demand, each.capacity, each.safety, each.required)
        for each in checks_of(basis)
    }
    assert found == CHECKS
    assert list(found) == list(CHECKS)
    assert [each.equation for each in checks_of(basis) if each.upper] == ["DR limit"]
    assert not any(each.shared or each.why for each in checks_of(basis))


def test_the_three_answers_to_the_pressure_share_their_lines():
    of_pressure = (checks.X1_5, checks.X1_6, checks.X1_7_BY_HOLE)
    reasons = {"X1.5": "f1216.hole_rules", "X1.6": "f1216.plate_rules"}
    reasons["X1.7"] = "f1216.tension_rules"
    assert {each.equation: each.why for each in of_pressure} == reasons
    for each in of_pressure:
        assert each.shared
        assert not each.upper
        assert (each.demand, each.capacity, each.safety, each.required) == (
            *("P_i", "P_pressure", "N_pressure", "t_pressure"),
        )
    basis = Basis(**PRESSURE)
    assert [each.equation for each in checks_of(basis)] == [
        *("X1.1", "X1.2", "DR limit", "X1.5", "X1.6", "X1.7"),
    ]


@pytest.mark.parametrize("name", SHEETS)
def test_what_a_basis_needs_of_its_inputs(name):
    """Each quantity that the equations of the case have on paper, and nothing else."""
    basis = Basis(**SHEETS[name][0])
    expected = {"D"}
    if basis.pressed_from_outside:
        expected |= {"q_pipe", "q_floor", "E", "r_E", "nu", "N", "K", "sigma", "r_sigma"}
    if basis.strength != "long-term" and not basis.internal_pressure:
        expected -= {"r_sigma"}
    if not basis.above_ground:
        expected |= {"h_invert", "DR_max"}
    if basis.buried_fully:
        expected |= {"H", "w", "W_s", "E_s", "S_min"}
    if basis.internal_pressure:
        expected |= {"P_i", "sigma_T", "r_T", "N"}
        if basis.condition != FULLY:
            expected |= {"d", "sigma", "r_sigma"}
    if basis.vacuum:
        expected |= {"P_v"}
    assert missing_inputs(basis, ()) == expected
