"""What decides the shape of a calculation: the choices of a project that are words, not numbers."""

from __future__ import annotations

from dataclasses import dataclass

from linerdesign.expressions.tree import Table
from linerdesign.methods.equation import Equation
from linerdesign.words import STANDARD

PARTIALLY, FULLY = "partially deteriorated", "fully deteriorated"
LONG_TERM = "long-term"
# A live load that the project states as a pressure, not by a rule.
GIVEN = "given"


@dataclass(frozen=True)
class Basis:
    """The choices that are words, not numbers. Two pipes of one basis share every line.

    `water`, `cover` and `ovality` hold the keys of the quantities given: the datums.
    `sizes` are the thicknesses the tube is made in; without them it is made in increments of `s`.
    `method` names a folder of `linerdesign.methods`, `edition` one of its editions. `live_load` is
    a rule of the method, `live_load_table` the printed table it is read from.
    `soil_by_depth` holds soil and compaction where E' comes from the table by depth, and
    `combining` the name of the combining table where native soil counts. With `dry_case` a gravity
    pipe must also pass without groundwater.
    """

    method: str = STANDARD
    system: str = "US"
    condition: str = PARTIALLY
    edition: str = ""
    strength: str = LONG_TERM
    water: tuple[str, ...] = ("h_invert",)
    cover: tuple[str, ...] = ()
    ovality: tuple[str, ...] = ("q_pipe",)
    host_wall: bool = False
    thickness_given: bool = False
    sizes: Table | None = None
    internal_pressure: bool = False
    vacuum: bool = False
    above_ground: bool = False
    live_load: str = GIVEN
    live_load_table: str = ""
    soil_by_depth: tuple[str, str] | None = None
    combining: str = ""
    dry_case: bool = True

    @property
    def ovality_key(self) -> str:
        """The key of the ovality that the quantities given lead to."""
        by_diameter = {"D_max": "q_max", "D_min": "q_min"}
        return by_diameter.get(self.ovality[0], "q_pipe") if len(self.ovality) == 1 else "q_pipe"

    @property
    def buried_fully(self) -> bool:
        """Whether soil and live load come on the liner."""
        return self.condition == FULLY and not self.above_ground

    @property
    def pressed_from_outside(self) -> bool:
        """Whether anything can press on the liner from outside."""
        return self.vacuum or not self.above_ground

    @property
    def crown(self) -> str:
        """Key of the rise from the invert to the crown: D where no host wall is given."""
        return "D_crown" if self.host_wall else "D"

    def pick(self, us: Equation, si: Equation) -> Equation:
        """The form of an equation for this basis's unit system."""
        return us if self.system == "US" else si
