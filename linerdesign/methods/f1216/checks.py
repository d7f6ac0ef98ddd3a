"""The checks of Appendix X1: each equation solved for thickness, and forward with its numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from linerdesign.expressions.printing import NOISE
from linerdesign.expressions.tolerance import HAIR
from linerdesign.methods.check import Check
from linerdesign.methods.equation import Condition
from linerdesign.methods.f1216 import gravity, pressure

WATER = Condition(lambda h_invert: h_invert > HAIR)
NO_WATER = Condition(lambda h_invert: h_invert <= HAIR)
OVAL_UNDER_WATER = Condition(lambda h_invert, q: np.logical_and(h_invert > HAIR, q > HAIR))
OVAL = Condition(lambda q: q > HAIR)
# A wall so thick that bending brings no tension, or only what rounding leaves, needs no check.
BENT = Condition(lambda P, q, sigma_X1_2: np.minimum(P * q, sigma_X1_2) > NOISE)
PLATE_RULES = Condition(lambda t_X1_6, t_X1_5: t_X1_6 > t_X1_5)
TENSION_RULES = Condition(lambda t_X1_6, t_X1_7, t_X1_5: np.maximum(t_X1_6, t_X1_7) <= t_X1_5)
HOLE_RULES = Condition(lambda t_X1_6, t_X1_7, t_X1_5: np.where(t_X1_6 > t_X1_5, 0, t_X1_7) > t_X1_5)


def _by_branch(equation: str, when: Condition, why: str) -> Check:
    """One of the three answers to the internal pressure of a partially deteriorated pipe."""
    return Check(
        equation,
        solved=pressure.pressure_thickness,
        forward=(
            pressure.plate_capacity,
            pressure.tension_capacity,
            pressure.largest_hole_ratio,
            pressure.pressure_capacity,
        ),
        demand="P_i",
        capacity="P_pressure",
        safety="N_pressure",
        when=when,
        shared=True,
        why=why,
    )


X1_1 = Check(
    "X1.1",
    solved=gravity.groundwater_thickness,
    forward=(gravity.groundwater_capacity,),
    demand="P",
    capacity="P_X1_1",
    safety="N_X1_1",
    when=WATER,
)
X1_2 = Check(
    "X1.2",
    before=(gravity.bending_share, gravity.thrust_share),
    solved=gravity.bending_thickness,
    forward=(gravity.bending_stress, gravity.allowed_stress),
    demand="sigma_X1_2",
    capacity="sigma_allowed",
    safety="N_X1_2",
    factored=BENT,
    when=OVAL_UNDER_WATER,
)
# A vacuum presses on the wall whether there is groundwater or not.
X1_1_VACUUM = replace(X1_1, when=None)
X1_2_VACUUM = replace(X1_2, when=OVAL)
DR_LIMIT = Check(
    "DR limit",
    solved=gravity.dimension_ratio_thickness,
    forward=(),
    demand="DR",
    capacity="DR_max",
    when=NO_WATER,
    upper=True,
)
# The same pipe with the groundwater fallen below its invert.
DR_LIMIT_DRY_CASE = replace(DR_LIMIT, when=None)
X1_3 = Check(
    "X1.3",
    solved=gravity.soil_thickness,
    forward=(gravity.soil_capacity,),
    demand="q_t",
    capacity="q_X1_3",
    safety="N_X1_3",
)
X1_3_EARLIER = Check(
    "X1.3",
    solved=gravity.soil_thickness_07a,
    forward=(gravity.soil_capacity_07a,),
    demand="q_t",
    capacity="q_X1_3",
    safety="N_X1_3",
)
X1_4 = Check(
    "X1.4",
    solved=gravity.stiffness_thickness,
    forward=(gravity.stiffness,),
    demand="S_min",
    capacity="S_X1_4",
)
X1_5 = _by_branch("X1.5", HOLE_RULES, "f1216.hole_rules")
X1_6 = _by_branch("X1.6", PLATE_RULES, "f1216.plate_rules")
X1_7_BY_HOLE = _by_branch("X1.7", TENSION_RULES, "f1216.tension_rules")
X1_7 = Check(
    "X1.7",
    solved=pressure.tension_thickness,
    forward=(pressure.tension_capacity,),
    demand="P_i",
    capacity="P_X1_7",
    safety="N_X1_7",
)
