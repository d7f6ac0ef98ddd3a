"""Price and thickness at which a resin costs as much as the reference."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linerdesign.expressions.tolerance import at_most
from linerdesign.project.models import Resin
from linerdesign.project.quantities import Purchase, currencies, mobilisation
from linerdesign.tasks.compare.ranking import value, without_length
from linerdesign.tasks.compare.systems import Option, Table


@dataclass(frozen=True)
class BreakEven:
    """A resin against the reference over the pipes that both satisfy, by the worst properties.

    Costs hold resin, tube and mobilisation. `price` is the price of the resin per kg at which they
    are equal, with its present `own_price`; none where the resin has no price by mass. A negative
    one means that the resin costs more at any price. `thicknesses` are by name of the pipe,
    in mm: the nominal thickness of the resin at which the costs per length are equal, none where
    no wall is so thick.
    """

    resin: Resin
    pipes: int
    cost: float
    reference_cost: float
    own_price: float | None
    price: float | None
    thicknesses: tuple[tuple[str, float | None], ...]


def break_evens(table: Table, reference: Resin, purchase: Purchase) -> tuple[BreakEven, ...]:
    """Every other resin whose cost is known against the reference."""
    resins = [each.resin for each in table[0]]
    if without_length(table) or len(currencies(resins)) != 1:
        return ()
    base = resins.index(reference)
    found = (
        _break_even([(row[base], row[column]) for row in table], purchase)
        for column in range(len(resins))
        if column != base
    )
    return tuple(each for each in found if each)


def _break_even(pairs: list[tuple[Option, Option]], purchase: Purchase) -> BreakEven | None:
    resin, reference = pairs[0][1].resin, pairs[0][0].resin
    both = [
        (one, other, theirs, ours, one.pipe.length.to("m"))
        for one, other in pairs
        if (theirs := value(one, "cost")) is not None and (ours := value(other, "cost")) is not None
    ]
    if not both:
        return None
    cost = mobilisation(resin) + sum(ours * length for _, _, _, ours, length in both)
    base = mobilisation(reference) + sum(theirs * length for _, _, theirs, _, length in both)
    own = resin.price.per_unit("kg") if resin.price else None
    price = None
    if own is not None:
        bought = purchase.factor(resin) * sum(
            mass * length
            for _, other, _, _, length in both
            if (mass := value(other, "mass")) is not None
        )
        price = own + (base - cost) / bought
    thicknesses = tuple(
        (one.pipe.name, _thickness(other, theirs, ours, purchase))
        for one, other, theirs, ours, _ in both
    )
    return BreakEven(resin, len(both), cost, base, own, price, thicknesses)


def _thickness(option: Option, theirs: float, ours: float, purchase: Purchase) -> float | None:
    """The smaller root of pi (D - t) t = A, for the area A of wall that the difference buys."""
    resin, wall = option.resin, option.wall
    if wall is None or wall.mass is None or resin.price is None:
        return None
    per_kg = purchase.factor(resin) * resin.price.per_unit("kg")
    mass = wall.mass + (theirs - ours) / per_kg
    area = mass / wall.mass * (wall.diameter - wall.nominal) * wall.nominal
    if area <= 0 or not at_most(4 * area, wall.diameter**2):
        return None
    return float(2 * area / (wall.diameter + np.sqrt(max(wall.diameter**2 - 4 * area, 0.0))))
