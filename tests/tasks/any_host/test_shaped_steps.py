"""The working of a liner in another host: every step by hand, and where its numbers are from."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest
from tasks.any_host.test_liners import BOX, ROUND, VALUES, liner

from linerdesign.methods.origin import AS_GIVEN
from linerdesign.methods.ring.strength import Limit
from linerdesign.methods.task import Input
from linerdesign.tasks.any_host.shaped import Shaped, _steps
from linerdesign.words import sentence

PRESSURE = Input("P", 4.0, AS_GIVEN)
ASKED = (PRESSURE, *(Input(key, VALUES[key], AS_GIVEN) for key in ("E_plane", "sigma_L")))
# Over E* of 100,000 psi: 9 psi, 700 psi and 12 psi.
AT = {"first": 9e-5, "stress": 7e-3, "collapse": 12e-5, "movement": 0.01}


def steps(host=BOX, ratios=None, at=(), thickness=None, **more):
    given = liner(host, **more)
    object.__setattr__(given, "inputs", ASKED)
    object.__setattr__(given, "thickness", thickness)
    made = Shaped(
        given,
        1.0,
        Limit.TENSION,
        thickness or 1.0,
        SimpleNamespace(**(AT | dict(at))),
        {"deflection": 50.0, "strength": 40.0, "stability": None} if ratios is None else ratios,
        (),
    )
    return given, {step.key: step for step in _steps(made)}


def test_every_step_of_a_box():
    """36 by 48 in with corners of 6 in: the perimeter is 2 (36 + 48) - (8 - 2 pi) 6 in. A flat
    side of 36 in as a clamped strip: 4 36^4/(32 100,000) in and 4 36^2/2 psi."""
    given, found = steps()
    perimeter = 2 * (36 + 48) - (8 - 2 * math.pi) * 6
    wide = perimeter / math.pi
    expected = {
        "P": 4.0,
        "E_plane": 100_000.0,
        "sigma_L": 2000.0,
        "L_host": perimeter,
        "b_host": 36.0,
        "r_deflect": 3.0,
        "g": 0.5,
        "t": 1.0,
        "L_flat": 36.0,
        "D_host": wide,
        "w_allowed": 1.08,
        "w_flat": 4 * 36**4 / (32 * 100_000),
        "s_flat": 4 * 36**2 / 2,
        "DR_deflection": 50.0,
        "t_deflection": wide / 50,
        "DR_strength": 40.0,
        "t_strength": wide / 40,
        "p_first": 9.0,
        "N_strength": 9 / 4,
        "s_design": 700.0,
        "N_stress": 2000 / 700,
        "p_solved": 12.0,
        "N_stability": 3.0,
        "w_design": 0.01 * given.radius,
    }
    assert {key: step.value for key, step in found.items()} == pytest.approx(expected, rel=1e-3)


def test_what_was_not_found_has_no_step():
    nothing = dict.fromkeys(AT)
    _, found = steps(
        ROUND, ratios=dict.fromkeys(("deflection", "strength", "stability")), at=nothing
    )
    assert found.keys() == {
        *("P", "E_plane", "sigma_L", "L_host", "b_host", "r_deflect", "g", "t"),
        *("D_host", "w_allowed"),
    }
    _, found = steps(ROUND, at={"movement": 0.0, "stress": 0.0})
    assert found["w_design"].value == 0
    assert "s_design" not in found


def test_each_number_says_where_it_is_from():
    def texts(found, *keys):
        return [found[key].origin.text for key in keys]

    model, outline = sentence("ring.by_model"), sentence("hosts.outline")
    _, found = steps()
    assert texts(found, "P", "L_host", "b_host", "L_flat") == ["given", *[outline] * 3]
    solved = ("DR_deflection", "DR_strength", "p_first", "s_design", "p_solved", "w_design")
    assert texts(found, *solved) == [model] * 6
    assert texts(found, "r_deflect", "g", "t") == [
        sentence("hosts.limit"),
        sentence("ring.german_default"),
        sentence("hosts.wall_required"),
    ]
    stated = replace(BOX, stated_width=36.0)
    _, found = steps(stated, gap_given=True, thickness=1.25)
    assert texts(found, "b_host", "g", "t") == ["given"] * 3
    assert found["t"].value == 1.25
