"""A check of a wall: an equation solved for the required thickness, and for the wall chosen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from linerdesign.expressions import tree
from linerdesign.methods import selection
from linerdesign.methods.equation import Condition, Equation
from linerdesign.methods.lines import Line, line


@dataclass(frozen=True)
class Check:
    """One equation that the wall must meet.

    `solved` gives the thickness required, after the lines of `before` that prepare it; `forward`
    what the nominal wall gives. The wall passes where `demand` is at most `capacity`. `safety` is
    the factor provided, for an equation that has one; where that is not wherever the check
    applies, `factored` says where. The check applies `when` its condition holds. Checks that are
    `shared` have the same lines, which run whichever of them applies; `why` is the code of the
    sentence that says when that is. `upper` is a limit on the wall itself: the `demand` is the
    wall's, and at most the limit.
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
    upper: bool = False

    @property
    def name(self) -> str:
        """The equation's number as part of a key: `DR_limit`."""
        return self.equation.replace(".", "_").replace(" ", "_")

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
