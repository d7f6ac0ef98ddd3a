"""What one key of a project file is: a row of the table of keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linerdesign.methods.symbols import KEY_OF
from linerdesign.project.measures import KINDS, Kind

# Kinds that read words or a table too, and the kind of quantity that they take.
ALSO_WORDS = {
    "live load": "load",
    "soil": "soil modulus",
    "fill": "soil modulus",
    "native": "soil modulus",
    "property": "modulus",
}


@dataclass(frozen=True)
class Key:
    """One key of a project file.

    `tables` are the tables that take it; `default` and `required` hold in the first of them.
    `kind` is one of `measures.KINDS` for a quantity, else what `fields.READERS` reads, or the name
    of the table that it holds. `group` names the one thing that several keys state: a pipe takes
    one of the group. `required_by` is the condition that requires it. `unsafe` is
    the direction in which a value is less safe: 1 larger, -1 smaller, 0 any other. `uncertainty` is
    the usual one by origin, in the order of `KNOWN_BY`, with its unit: % of the value, points of a
    percentage, or a length (common practice, no source). `examples` are values in US units and SI
    for a starter project; `also` are words by which people mean the key. `column` says whether an
    inventory may have it.
    """

    name: str
    tables: tuple[str, ...]
    kind: str
    help: str
    default: Any = None
    required: bool = False
    choices: tuple[str, ...] = ()
    group: str = ""
    required_by: str = ""
    buried: bool = False
    unsafe: int | None = None
    limits: str = ""
    uncertainty: tuple[str, tuple[float, float, float, float]] | None = None
    examples: tuple[str, str] | None = None
    entries: tuple[int, int] = (0, 1000)
    also: tuple[str, ...] = ()
    column: bool = True

    @property
    def quantity(self) -> str | None:
        """Key of the quantity in the symbol table that it states or limits."""
        return self.limits or KEY_OF.get(self.name)

    @property
    def takes(self) -> Kind | None:
        """What quantity it takes, with a unit or as a bare number; none for other values."""
        return KINDS.get(ALSO_WORDS.get(self.kind, self.kind))

    @property
    def measure(self) -> str:
        """The kind of its quantity among `KINDS` where it has a unit; else empty."""
        return ALSO_WORDS.get(self.kind, self.kind) if self.takes and self.takes.unit else ""

    @property
    def as_column(self) -> bool:
        """Whether a cell of an inventory can hold it: one quantity, number or word."""
        held = self.takes is not None or self.kind in ("text", "choice", "no water")
        return held and self.column
