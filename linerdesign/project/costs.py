"""`[resin.cost]`: what a system costs beside its resin, and how long it lasts."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from linerdesign.project.fields import (
    Life,
    Money,
    PricePerLength,
    Section,
    Share,
    Table,
    WhenGiven,
)


class TubePrice(Table):
    """`[[resin.cost.tube]]`: the price of one diameter and thickness."""

    diameter: Section = Field(description="host diameter up to which the price holds")
    thickness: Section = Field(description="nominal thickness up to which the price holds")
    price: PricePerLength = Field(description="price per length, beside the resin by mass")


class Cost(Table):
    """`[resin.cost]`: shares and prices of one system, for comparisons."""

    resin_share_by_mass: Share | None = Field(
        None, description="resin as share of the cured wall by mass; the rest is tube"
    )
    tube_price: PricePerLength | None = Field(
        None, description="price per length for every size, beside the resin by mass"
    )
    tube: list[Annotated[TubePrice, WhenGiven()]] = Field(
        [], max_length=1000, description="prices per length by diameter and thickness"
    )
    mobilisation: Money | None = Field(
        None, description="cost of bringing the system to the project, once"
    )
    service_life: Life | None = Field(None, description="time until the liner is replaced")
