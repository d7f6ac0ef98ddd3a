"""Mass and cost of a wall per length, from its diameter, its thickness and the resin."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from linerdesign.expressions.tolerance import at_most
from linerdesign.methods.quantities import mass_per_length_si, wall_area
from linerdesign.project.costs import TubePrice
from linerdesign.project.measures import Price, convert
from linerdesign.project.models import Resin


@dataclass(frozen=True)
class Purchase:
    """What is bought for a wall, and the value of time.

    `share_by_mass` is resin as a fraction of the cured wall by mass, for resins that state none of
    their own; `excess` is the fraction bought over that. `discount` is the discount rate a year,
    as a fraction.
    """

    share_by_mass: float = 1.0
    excess: float = 0.0
    discount: float = 0.0

    def factor(self, resin: Resin) -> float:
        """Kilograms of resin bought for a kilogram of cured wall."""
        own = resin.cost.resin_share_by_mass if resin.cost else None
        share = self.share_by_mass if own is None else own.to("%") / 100
        return share * (1 + self.excess)


def mass_per_length(diameter: Any, thickness: Any, unit: str, resin: Resin) -> Any:
    """Mass of the cured wall in kg/m, for numbers or arrays; none without a density."""
    if resin.density is None:
        return None
    factor = convert(1.0, unit, "mm")
    area = wall_area(diameter * factor, thickness * factor)
    return mass_per_length_si(area, resin.density.to("kg/m^3"))


def carbon_per_length(diameter: Any, thickness: Any, resin: Resin) -> Any:
    """Embodied carbon of the cured wall in kg of CO2 equivalent per metre, for numbers or arrays
    in mm; none where the density or the carbon is not known."""
    mass = mass_per_length(diameter, thickness, "mm", resin)
    stated = resin.cost.embodied_carbon if resin.cost else None
    return None if mass is None or stated is None else mass * stated.to("kg/kg")


def cost_per_length(diameter: Any, thickness: Any, resin: Resin, purchase: Purchase) -> Any:
    """Cost per metre of resin and tube, for numbers or arrays of diameters and thicknesses in mm.

    NaN where no price of the tube covers the size; none where nothing is priced, or resin is
    priced by mass and its density is not known.
    """
    tube = tube_cost(diameter, thickness, resin)
    if resin.price is None:
        return tube
    mass = mass_per_length(diameter, thickness, "mm", resin)
    if mass is None:
        return None
    by_mass = mass * purchase.factor(resin) * resin.price.per_unit("kg")
    return by_mass if tube is None else by_mass + tube


def tube_cost(diameter: Any, thickness: Any, resin: Resin) -> Any:
    """Price of the tube per metre, NaN where no listed size covers it; none without a price."""
    if resin.cost is None:
        return None
    if resin.cost.tube:
        return _listed(resin.cost.tube, diameter, thickness)
    return resin.cost.tube_price and resin.cost.tube_price.per_unit("m")


def _listed(prices: Iterable[TubePrice], diameter: Any, thickness: Any) -> Any:
    """The price of the smallest listed size that covers the diameter, then the thickness; NaN
    where none does."""
    found: Any = np.nan
    sizes = ((p.diameter.to("mm"), p.thickness.to("mm"), p.price.per_unit("m")) for p in prices)
    for wide, thick, price in sorted(sizes, reverse=True):
        found = np.where(at_most(diameter, wide) & at_most(thickness, thick), price, found)
    return found[()]


def currencies(resins: Iterable[Resin]) -> tuple[str, ...]:
    """The currency labels of all prices, sorted."""
    return tuple(sorted({each.currency for r in resins for each in _prices(r)}))


def _prices(resin: Resin) -> tuple[Price, ...]:
    cost = resin.cost
    if cost is None:
        return (resin.price,) if resin.price else ()
    stated = (resin.price, cost.tube_price, cost.mobilisation, *(row.price for row in cost.tube))
    return tuple(each for each in stated if each is not None)


def mobilisation(resin: Resin) -> float:
    """Cost of bringing the system to the project, 0 where none is stated."""
    stated = resin.cost.mobilisation if resin.cost else None
    return stated.number if stated else 0.0


def yearly(total: Any, resin: Resin, discount: float) -> Any:
    """A cost as even yearly payments over the service life; none where no life is stated."""
    life = resin.cost.service_life if resin.cost else None
    return annual_cost(total, discount, life.to("yr")) if life else None


def annual_cost(total: Any, rate: float, life: float) -> Any:
    """The even yearly payment over the life, in years, that is worth `total` now.

    `rate` is the discount rate a year as a fraction.

    >>> round(annual_cost(100_000.0, 0.03, 50.0), 2), annual_cost(100_000.0, 0.0, 50.0)
    (3886.55, 2000.0)
    """
    return total / life if rate == 0 else total * rate / (1 - (1 + rate) ** -life)
