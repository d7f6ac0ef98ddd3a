"""How much of a wall there is: mass and cost per length, from its thickness and the resin."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linerdesign.methods.quantities import mass_per_length_si, wall_area
from linerdesign.project.measures import convert
from linerdesign.project.models import Resin


@dataclass(frozen=True)
class Purchase:
    """What is bought for a kilogram of cured wall.

    `share_by_mass` is the part of the wall's mass that is resin and not tube, where an order
    goes by volume; `excess` is what is bought over that for the tube to be filled and the host's
    gaps; both as fractions.
    """

    share_by_mass: float = 1.0
    excess: float = 0.0

    @property
    def factor(self) -> float:
        """Kilograms of resin bought for a kilogram of cured wall."""
        return self.share_by_mass * (1 + self.excess)


def mass_per_length(diameter: Any, thickness: Any, unit: str, resin: Resin) -> Any:
    """Mass of the cured wall in kg/m, for numbers or arrays; none without a density."""
    if resin.density is None:
        return None
    factor = convert(1.0, unit, "mm")
    area = wall_area(diameter * factor, thickness * factor)
    return mass_per_length_si(area, resin.density.to("kg/m^3"))


def cost_per_length(mass: Any, resin: Resin, purchase: Purchase) -> Any:
    """Cost of the resin bought for a wall of this mass per length; none without a price."""
    if mass is None or resin.price is None:
        return None
    _, _, unit = resin.price.unit.partition("/")
    return mass * purchase.factor * resin.price.number / convert(1.0, unit, "kg")


def currency(resin: Resin) -> str:
    """The label of the resin's price."""
    return resin.price.unit.partition("/")[0] if resin.price else ""
