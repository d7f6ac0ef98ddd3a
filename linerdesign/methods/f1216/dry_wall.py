"""The wall that the DR limit would ask for without water, where water makes a thinner one enough.

The DR limit applies only where no groundwater stands above the invert, so a little water can ask
for less wall than none. The standard is so; whoever reads the thickness must know it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from linerdesign.expressions.printing import positional
from linerdesign.expressions.tolerance import over
from linerdesign.methods.f1216.gravity import dimension_ratio_thickness
from linerdesign.methods.thickness import both_units


@dataclass(frozen=True)
class DryWall:
    """What the DR limit would ask for without water, and where that is more than is required.

    Thicknesses in the unit of the sheet; numbers of one pipe or arrays of many.
    """

    dry: Any
    required: Any
    thicker: Any

    in_words = (
        "without water above the invert the DR limit would ask for a thicker wall than is required "
        "with it: a lower water table asks for the thicker wall"
    )

    def in_numbers(self, limit: float, system: str) -> str:
        """What to say of one pipe whose largest dimension ratio is `limit`."""
        dry, required = (both_units(float(t), system) for t in (self.dry, self.required))
        return (
            f"without water above the invert the DR limit of {positional(limit)} would ask for "
            f"{dry}, with it {required} is required: a lower water table asks for the thicker wall"
        )


def dry_wall(values: Mapping[str, Any], required: Any) -> DryWall | None:
    """The wall without water of a station; none where no groundwater comes to the pipe.

    `values` are those of `requirement`, `required` the thickness of the whole pipe.
    """
    if "h_invert" not in values:
        return None
    dry = dimension_ratio_thickness(values["D"], values["DR_max"])
    # Without water the limit is one of the checks, and no wall required is thinner than it asks.
    return DryWall(dry, required, over(dry, required))
