"""Pressure pipes as a whole: which check rules, vacuum, pipes above ground, and what is refused."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from projects import PIPE, sized, toml
from scipy.optimize import brentq

from linerdesign.expressions import tree
from linerdesign.methods.basis import Basis
from linerdesign.methods.f1216 import pressure
from linerdesign.methods.f1216.checks import X1_5, X1_6, X1_7_BY_HOLE
from linerdesign.methods.method import (
    checks_of,
    choice_of_thickness,
    missing_inputs,
    requirement,
    verification,
)
from linerdesign.methods.sizing import design, other_condition
from linerdesign.project.assembly import tasks
from linerdesign.project.faults import InputFaults
from linerdesign.project.reading import parse
from linerdesign.words import sentence

RESIN = {"tensile_strength": "3000 psi"}
MAIN = {
    "name": "Quay Street force main",
    "condition": "partially deteriorated",
    "host_diameter": "12 in",
    "cover": "6 ft",
    "groundwater_above_invert": "4 ft",
    "internal_pressure": "60 psi",
    "hole_diameter": "2 in",
}
BURIED = ("cover", "groundwater_above_invert", "soil_unit_weight", "soil_reaction_modulus")
BURIED = (*BURIED, "live_load")


def tables(drop=(), resin=None, **changes):
    """The tables of a project with the force main; keys in `drop` are left out of it."""
    pipe = {k: v for k, v in (MAIN | changes).items() if k not in drop}
    return {"pipe": pipe, "resin": RESIN | (resin or {}), "drop": drop}


def main(drop=(), resin=None, **changes):
    return sized(**tables(drop, resin, **changes))


def faults(drop=(), **changes):
    with pytest.raises(InputFaults) as found:
        tasks(parse(toml(**tables(drop, **changes)).encode(), "main.toml"))
    return str(found.value)


def rules(result):
    return [c for c in result.checks if c.equation in ("X1.5", "X1.6", "X1.7")]


# The numbers of the three cases come from the forward equations by bisection, in `by_bisection`.
@pytest.mark.parametrize(
    ("hole", "equation"), [("2 in", "X1.6"), ("4 in", "X1.5"), ("6 in", "X1.7")]
)
def test_exactly_one_of_the_three_is_listed_and_rules(hole, equation):
    (check,) = rules(main(hole_diameter=hole))
    assert check.equation == equation
    assert check.passes
    d = float(hole.split(" ")[0])
    assert check.required_thickness == pytest.approx(by_bisection(12, d, 60, 2250, 1500, 2))


def by_bisection(D, d, P_i, sigma_L, sigma_TL, N):
    """The branch rule with the forward equations and SciPy's bisection alone."""
    t_star = brentq(lambda t: 1.83 * (t / D) ** 0.5 - d / D, 0, D)
    plate = brentq(
        lambda t: 5.33 / (D / t - 1) ** 2 * (D / d) ** 2 * sigma_L / N - P_i, D * 1e-9, D * 0.999
    )
    tension = brentq(lambda t: 2 * sigma_TL / ((D / t - 2) * N) - P_i, D * 1e-9, D * 0.4999999)
    if plate > t_star:
        return plate
    return tension if tension <= t_star else t_star


@given(
    st.floats(6, 48),
    st.floats(0.03, 0.9),
    st.floats(10, 250),
    st.floats(2000, 9000),
    st.floats(1500, 9000),
    st.floats(1.5, 3),
)
def test_random_pressure_pipes_against_bisection(D, share, P_i, sigma, sigma_T, N):
    expected = by_bisection(D, share * D, P_i, sigma / 2, sigma_T / 2, N)
    # The nominal wall is a whole step more; X1.7 knows no wall of half the diameter.
    assume(expected < 0.3 * D)
    result = sized(
        pipe=MAIN
        | {
            "host_diameter": f"{D!r} in",
            "hole_diameter": f"{share * D!r} in",
            "internal_pressure": f"{P_i!r} psi",
        },
        resin={
            "flexural_strength": f"{sigma!r} psi",
            "tensile_strength": f"{sigma_T!r} psi",
        },
        criteria={"safety_factor": N, "thickness_step": "0.1 mm"},
    )
    (check,) = rules(result)
    assert check.required_thickness == pytest.approx(expected, rel=1e-8)
    assert check.passes
    assert check.safety_factor >= N * (1 - 1e-9)
    assert result.required_thickness >= check.required_thickness * (1 - 1e-12)


WALLS = [0.25, 0.5, 0.75]


@pytest.mark.parametrize("t_6", WALLS)
@pytest.mark.parametrize("t_7", WALLS)
@pytest.mark.parametrize("t_5", WALLS)
def test_ties_between_the_three_thicknesses(t_5, t_6, t_7):
    """Every order of the three, ties included, against a walk down the walls one by one."""
    walls = np.arange(0.125, 1.01, 0.125)
    passes = walls >= np.where(walls >= t_5, t_6, t_7)
    smallest = walls[np.flatnonzero(~passes)[-1] + 1]
    assert pressure.pressure_thickness(t_5, t_6, t_7) == smallest
    values = {"t_X1_5": t_5, "t_X1_6": t_6, "t_X1_7": t_7}
    ruling = [
        check.equation
        for check in (X1_5, X1_6, X1_7_BY_HOLE)
        if tree.evaluate(check.when.tree, values)
    ]
    asked = "X1.6" if smallest > t_5 else "X1.7" if t_7 == smallest else "X1.5"
    assert ruling == [asked]


def test_the_nominal_wall_is_checked_in_its_own_branch():
    """Groundwater asks for more than the pressure, whose wall then lies beyond the turn.

    X1.7 rules what the pressure needs (0.194 in, under the turn at 0.398 in), and the nominal wall
    of 0.413 in goes by X1.6.
    """
    result = main(
        hole_diameter="4 in", internal_pressure="25 psi", groundwater_above_invert="60 ft"
    )
    (check,) = rules(result)
    assert check.equation == "X1.7"
    assert check.required_thickness == pytest.approx(12 / (2 + 2 * 1500 / (2 * 25)))
    t = result.nominal_thickness
    assert 1.83 * (t / 12) ** 0.5 > 4 / 12
    assert check.capacity == pytest.approx(5.33 / (12 / t - 1) ** 2 * (12 / 4) ** 2 * 2250 / 2)


def test_both_branches_are_met_by_nominal_walls():
    """A given thickness on each side of the turn takes the equation of its side."""
    sides = set()
    for wall in ("0.30 in", "0.50 in"):
        result = main(hole_diameter="4 in", design_thickness=wall)
        (check,) = rules(result)
        side = "P_X1_6" if result.nominal_thickness >= result.value("t_X1_5") else "P_X1_7"
        assert check.capacity == pytest.approx(result.value(side))
        sides.add(side)
    assert sides == {"P_X1_6", "P_X1_7"}


def test_a_wall_that_passes_below_the_turn_while_thicker_ones_fail_is_flagged():
    weak = {"flexural_strength": "1600 psi", "tensile_strength": "12000 psi"}
    result = main(hole_diameter="6 in", resin=weak, design_thickness="0.3 in")
    (check,) = rules(result)
    assert check.passes
    assert check.equation == "X1.6"
    assert result.nominal_thickness < check.required_thickness
    assert "f1216.pressure_window" in {note.code for note in result.notes}


@pytest.mark.parametrize(("hole", "t_6"), [("2 in", True), ("6 in", False)])
def test_the_sheet_shows_all_three_thicknesses(hole, t_6):
    result = main(hole_diameter=hole)
    keys = [step.key for step in result.steps if step.applies]
    assert {"t_X1_5", "t_X1_6", "t_X1_7", "t_pressure"} <= set(keys)
    (choice,) = (step for step in result.steps if step.key == "t_pressure")
    assert choice.arithmetic == tree.Symbol("t_X1_6" if t_6 else "t_X1_7")


def test_fully_deteriorated_asks_for_x1_7_and_everything_of_a_gravity_pipe():
    result = main(condition="fully deteriorated", drop=("hole_diameter",))
    assert [c.equation for c in result.checks] == ["X1.1", "X1.2", "X1.3", "X1.4", "X1.7"]
    (check,) = rules(result)
    assert check.required_thickness == pytest.approx(12 / (2 + 2 * 1500 / (2 * 60)))


def test_short_term_strength_of_x1_2_stays_out_of_x1_6():
    """The owner's word is about X1.2 alone: X1.6 takes the long-term strength."""
    one = main()
    other = sized(pipe=MAIN, resin=RESIN, criteria={"x1_2_strength": "short-term"})
    assert one.value("t_X1_6") == other.value("t_X1_6")
    t = other.nominal_thickness
    plate = 5.33 / (12 / t - 1) ** 2 * (12 / 2) ** 2 * 2250 / 2
    assert other.value("P_X1_6") == pytest.approx(plate)
    assert one.value("t_X1_2") > other.value("t_X1_2")


# Vacuum


def test_vacuum_counts_like_groundwater_of_the_same_pressure_in_x1_1():
    """5 ft of water is 2.165 psi at 0.433 psi a foot."""
    dry = sized(pipe={"groundwater_above_invert": "4 ft", "vacuum": "2.165 psi"})
    wet = sized(pipe={"groundwater_above_invert": "9 ft"})
    for key in ("P", "t_X1_1", "t_X1_2"):
        assert dry.value(key) == pytest.approx(wet.value(key), rel=1e-9)


def test_vacuum_counts_like_live_load_of_the_same_pressure_in_x1_3():
    one = sized(pipe={"live_load": "0.35 psi", "vacuum": "3 psi"})
    other = sized(pipe={"live_load": "3.35 psi"})
    assert one.value("q_t") == pytest.approx(other.value("q_t"))
    assert one.value("t_X1_3") == pytest.approx(other.value("t_X1_3"))


def test_the_dr_limit_goes_by_water_alone():
    result = sized(
        pipe={"groundwater": "none", "vacuum": "1 psi", "condition": "partially deteriorated"},
        drop=("groundwater_above_invert",),
    )
    assert [c.equation for c in result.checks] == ["X1.1", "X1.2", "DR limit"]


# Above ground


def test_above_ground_asks_for_internal_pressure_only():
    partial = main(above_ground=True, drop=(*BURIED, "ovality"))
    assert [c.equation for c in partial.checks] == ["X1.6"]
    full = main(above_ground=True, condition="fully deteriorated", drop=(*BURIED, "ovality"))
    assert [c.equation for c in full.checks] == ["X1.7"]
    assert full.required_thickness == pytest.approx(12 / (2 + 2 * 1500 / (2 * 60)))


def test_above_ground_with_vacuum_also_asks_for_x1_1():
    result = main(above_ground=True, vacuum="5 psi", drop=BURIED)
    assert [c.equation for c in result.checks] == ["X1.1", "X1.2", "X1.6"]
    assert result.value("P") == 5.0


def test_above_ground_refuses_soil_and_water_and_wants_a_pressure():
    text = faults(above_ground=True)
    for key in ("cover", "groundwater_above_invert", "soil_unit_weight", "live_load"):
        assert f"\n{key} " in f"\n{text}"
    assert "missing required key internal_pressure in" in faults(
        above_ground=True, drop=(*BURIED, "internal_pressure", "hole_diameter")
    )


# Units, stations, and what is refused


def test_both_unit_systems_agree():
    for hole in ("2 in", "4 in", "6 in"):
        us, si = (
            sized(pipe=MAIN | {"hole_diameter": hole, "vacuum": "1 psi"}, resin=RESIN, units=u)
            for u in ("US", "SI")
        )
        assert si.value("t_pressure") / 25.4 == pytest.approx(us.value("t_pressure"), rel=1e-6)
        assert rules(si)[0].equation == rules(us)[0].equation


def test_the_worst_station_governs_and_the_nominal_wall_passes_at_all():
    stations = [{"at": "0 ft", "hole_diameter": "1 in"}, {"at": "90 ft", "hole_diameter": "4 in"}]
    result = main(station=stations)
    assert result.governing_station == "90 ft"
    assert [c.equation for c in rules(result)] == ["X1.6", "X1.5"]
    assert all(c.passes for c in result.checks)


def test_a_resin_without_tensile_strength_is_named_with_the_pipe():
    with pytest.raises(InputFaults) as found:
        parse(toml(pipe=MAIN).encode())
    text = str(found.value)
    assert 'resin: "Felt A" has no tensile strength' in text
    assert '[[pipe]] "Quay Street force main"' in text


@pytest.mark.parametrize(
    ("changes", "drop", "place"),
    [
        ({}, ("hole_diameter",), "missing required key hole_diameter in"),
        (
            {},
            ("internal_pressure",),
            'hole_diameter "2 in": no effect without internal_pressure; add that',
        ),
        (
            {"hole_diameter": "12 in"},
            (),
            "hole_diameter 12 in: not smaller than the host (12 in)",
        ),
        ({"vacuum": "15 psi"}, (), "vacuum 15 psi: more than one atmosphere"),
        ({"internal_pressure": "60"}, (), "internal_pressure "),
        ({"internal_pressure": "0 psi"}, (), "internal_pressure "),
        ({"above_ground": "yes"}, (), "above_ground "),
    ],
)
def test_bad_pressure_keys_are_refused(changes, drop, place):
    assert place in faults(drop=drop, **changes)


def test_other_condition_only_where_its_inputs_are_known():
    (task,) = tasks(parse(toml(pipe=MAIN, resin=RESIN).encode()))
    assert [c.equation for c in design(other_condition(task)).checks][-1] == "X1.7"
    full = tables(("hole_diameter",), condition="fully deteriorated")
    (task,) = tasks(parse(toml(**full).encode()))
    assert other_condition(task) is None


def test_every_basis_knows_its_inputs():
    """No line of any basis reads a quantity that nothing gives."""
    given = {"D", "d", "q_pipe", "H", "h_invert", "w", "E_s", "W_s", "P_i", "P_v", "S_min"}
    given |= {"E", "r_E", "sigma", "r_sigma", "sigma_T", "r_T", "nu", "N", "K", "DR_max"}
    given |= {"q_floor", "t_floor", "s"}
    for condition in ("partially deteriorated", "fully deteriorated"):
        for bits in np.ndindex(2, 2, 2):
            pressure, vacuum, above = map(bool, bits)
            if above and not pressure:
                continue
            basis = Basis(
                condition=condition,
                cover=("H",),
                internal_pressure=pressure,
                vacuum=vacuum,
                above_ground=above,
            )
            assert not missing_inputs(basis, given)
            assert checks_of(basis)
            # A second line of one result would overwrite the first without a word.
            lines = (*requirement(basis), *choice_of_thickness(basis), *verification(basis))
            written = [line.result for line in lines]
            assert len(written) == len(set(written))


def test_a_gravity_pipe_has_no_pressure_line():
    keys = {step.key for step in sized(pipe=PIPE).steps}
    assert not keys & {"P_i", "P_v", "P_w", "q_e", "t_X1_7", "sigma_TL"}


def test_the_sheet_says_why_one_of_the_three_rules():
    reasons = {hole: rules(main(hole_diameter=hole))[0].why for hole in ("2 in", "4 in", "6 in")}
    assert len(set(reasons.values())) == 3
    assert all("t_X1.5" in sentence(reason) for reason in reasons.values())


def test_at_the_turn_itself_the_wall_goes_by_x1_6():
    """X1.5 directs to X1.6 where d/D is at most 1.83 (t/D)^0.5: the equality belongs to it."""
    carried = pressure.pressure_capacity(t=0.25, t_X1_5=0.25, P_X1_6=5.0, P_X1_7=3.0)
    assert carried == 5.0


def test_ring_tension_of_a_fully_deteriorated_pipe_has_its_safety_factor():
    """N provided by X1.7 is 2 sigma_TL/((DR - 2) P_i): sigma_TL is half of 3,000 psi."""
    soil = {
        "condition": "fully deteriorated",
        "soil_unit_weight": "120 pcf",
        "soil_reaction_modulus": "1000 psi",
        "live_load": "none",
    }
    result = main(drop=("hole_diameter",), **soil)
    (check,) = rules(result)
    ratio = 12 / result.nominal_thickness
    assert check.equation == "X1.7"
    assert check.safety_factor == pytest.approx(2 * 1500 / ((ratio - 2) * 60), rel=1e-9)
