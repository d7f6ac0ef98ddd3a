"""Tables of what a system costs beside its resin, and how long it lasts."""

from __future__ import annotations

from linerdesign.project.fields import Table


class Cost(Table, of="cost"):
    """`[resin.cost]`: shares and prices of one system, for comparisons."""


class TubePrice(Table, of="tube"):
    """`[[resin.cost.tube]]`: the price of one diameter and thickness, beside the resin by mass."""
