"""The checks of a wall: each equation solved for thickness, and forward with its numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.expressions import tree
from linerdesign.expressions.printing import NOISE
from linerdesign.methods import selection
from linerdesign.methods.equation import Condition, Equation
from linerdesign.methods.f1216 import gravity, pressure
from linerdesign.methods.lines import Line, line

WATER = Condition(lambda P: P > 0)
NO_WATER = Condition(lambda h_invert: h_invert <= 0)
OVAL_AND_PRESSED = Condition(lambda P, q: P * q > 0)
# A wall so thick that bending brings no tension, or only what rounding leaves, is asked nothing.
BENT = Condition(lambda P, q, sigma_X1_2: np.minimum(P * q, sigma_X1_2) > NOISE)
PLATE_RULES = Condition(lambda t_X1_6, t_X1_5: t_X1_6 > t_X1_5)
TENSION_RULES = Condition(lambda t_X1_6, t_X1_7, t_X1_5: np.maximum(t_X1_6, t_X1_7) <= t_X1_5)
HOLE_RULES = Condition(lambda t_X1_6, t_X1_7, t_X1_5: np.where(t_X1_6 > t_X1_5, 0, t_X1_7) > t_X1_5)


@dataclass(frozen=True)
class Check:
    """One equation that the wall must meet.

    `solved` gives the thickness required, after the lines of `before` that prepare it; `forward`
    what the nominal wall gives. The wall passes where `demand` is at most `capacity`. `safety` is
    the factor provided, for an equation that has one; where that is not wherever the check
    applies, `factored` says where. The check applies `when` its condition holds. Checks that are
    `shared` have the same lines, which run whichever of them applies; `why` says in words when
    that is.
    """

    equation: str
    solved: Equation
    forward: tuple[Equation, ...]
    demand: str
    capacity: str
    safety: str | None = None
    factored: Condition | None = None
    when: Condition | None = None
    shared: bool = False
    why: str = ""
    before: tuple[Equation, ...] = ()

    @property
    def required(self) -> str:
        """Key of the thickness that the check requires."""
        return self.solved.result

    def applies(self, values: Mapping[str, Any]) -> Any:
        """Whether the check asks for anything, for scalars or element by element."""
        return True if self.when is None else tree.evaluate(self.when.tree, values)

    def requirement(self, bound: Mapping[str, str]) -> tuple[Line, ...]:
        """The lines that give the thickness required, last the thickness itself."""
        when = None if self.shared else self.when
        return tuple(line(each, bound, when) for each in (*self.before, self.solved))

    def verification(self, bound: Mapping[str, str]) -> tuple[Line, ...]:
        """The lines that give capacity and safety factor of the nominal wall."""
        when = None if self.shared else self.when
        lines = tuple(line(each, bound, when) for each in self.forward)
        if self.safety is None:
            return lines
        names = {"capacity": self.capacity, "demand": self.demand, "provided": self.safety}
        return (*lines, line(selection.safety_provided, names, self.factored or when))


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
    when=OVAL_AND_PRESSED,
)
DR_LIMIT = Check(
    "DR limit",
    solved=gravity.dimension_ratio_thickness,
    forward=(),
    demand="DR",
    capacity="DR_max",
    when=NO_WATER,
)
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
X1_5 = _by_branch(
    "X1.5",
    HOLE_RULES,
    "X1.6 asks for less than t_X1.5 and X1.7 for more: the wall must be thick enough for the hole "
    "test to direct it to X1.6",
)
X1_6 = _by_branch(
    "X1.6",
    PLATE_RULES,
    "X1.6 asks for more than t_X1.5, and every wall over t_X1.5 goes by X1.6",
)
X1_7_BY_HOLE = _by_branch(
    "X1.7",
    TENSION_RULES,
    "X1.7 is met at or under t_X1.5, and X1.6 by every wall over it",
)
X1_7 = Check(
    "X1.7",
    solved=pressure.tension_thickness,
    forward=(pressure.tension_capacity,),
    demand="P_i",
    capacity="P_X1_7",
    safety="N_X1_7",
)
