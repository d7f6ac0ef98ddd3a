"""The published tables that come with the package, each with its source and how sure it is."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from linerdesign.expressions.tree import Table
from linerdesign.methods.equation import Provenance

STATUS = {"seen": Provenance.SEEN, "recalled": Provenance.MEMORY}
FILES = ("live_load", "soil_modulus")


@dataclass(frozen=True)
class Published:
    """One printed table: its rows as printed, in the unit it was printed in."""

    name: str
    title: str
    provenance: Provenance
    source: str
    unit: str
    note: str
    columns: tuple[str | float, ...]
    rows: tuple[tuple[Any, ...], ...]

    def column(self, name: str | float) -> Table:
        """A column against the first one; rows without an entry are left out."""
        place = self.columns.index(name)
        pairs = [(row[0], row[place]) for row in self.rows if row[place] is not None]
        xs, ys = (tuple(float(pair[i]) for pair in pairs) for i in (0, 1))
        return Table(f"{self.title}, column {name}", xs, ys, self.source)


@cache
def published(file: str) -> dict[str, Published]:
    """The tables of one file of the package, by name."""
    text = files(__package__).joinpath("tables", f"{file}.json").read_text(encoding="utf-8")
    return {each["id"]: _made(each) for each in json.loads(text)}


def _made(raw: dict[str, Any]) -> Published:
    return Published(
        name=raw["id"],
        title=raw["title"],
        provenance=STATUS[raw["status"]],
        source=raw["source"],
        unit=raw["unit"],
        note=raw["note"],
        columns=tuple(raw["columns"]),
        rows=tuple(tuple(row) for row in raw["rows"]),
    )
