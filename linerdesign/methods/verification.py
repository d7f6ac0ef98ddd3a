"""What an office verifies against its printed standard: equations, tables and constants.

Each has an identity and a printed form; the fingerprint of the form tells when it has changed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from linerdesign.expressions import tree
from linerdesign.expressions.printing import plain, positional, write
from linerdesign.methods.equation import Equation, Provenance
from linerdesign.methods.ground.published import Published
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence

if TYPE_CHECKING:
    from linerdesign.methods.task import Input


@dataclass(frozen=True)
class Verifiable:
    """An equation with its tables, or a constant. `form` is what is printed of it."""

    identity: str
    kind: str
    meaning: str
    form: str
    source: str
    provenance: str

    @property
    def fingerprint(self) -> str:
        """Twelve digits that differ where the form does."""
        return hashlib.sha256(self.form.encode()).hexdigest()[:12]


@dataclass(frozen=True)
class Verified:
    """That an office checked one of them: against which edition and clause, by whom, when."""

    edition: str
    clause: str
    by: str
    date: str

    @property
    def office(self) -> str:
        """The edition, who verified and when."""
        return f"{self.edition}, {self.by}, {self.date}"

    @property
    def text(self) -> str:
        """The verification in words."""
        about = {"edition": self.edition, "clause": self.clause, "by": self.by, "date": self.date}
        return sentence("verification.verified", **about)


Verifications = Mapping[str, Verified]


def identity_of(equation: Equation) -> str:
    """What a record calls an equation: its number, row of a table, unit system and edition."""
    parts = (equation.number, equation.row, equation.system, equation.edition)
    return ", ".join(part for part in parts if part) + f" ({equation.name})"


def verification_of(equation: Equation, verified: Verifications) -> Verified | None:
    """What the office has verified of an equation; none where it has not."""
    return verified.get(identity_of(equation)) if verified else None


def of_equation(equation: Equation) -> Verifiable:
    """An equation, with the rows of every table that it reads."""
    dialect = plain(lambda key: SYMBOLS[key].symbol)
    form = f"{SYMBOLS[equation.result].symbol} = {write(equation.tree, dialect)}"
    tables = list(dict.fromkeys(tree.tables(equation.tree)))
    for table in tables:
        rows = zip(map(positional, table.xs), map(positional, table.ys), strict=True)
        form += "; " + ", ".join(f"{x}: {y}" for x, y in rows)
    return Verifiable(
        identity_of(equation),
        "table" if tables else "equation",
        equation.meaning,
        form,
        f"{equation.clause}; {equation.source}",
        equation.provenance.name.lower(),
    )


def of_table(table: Published) -> Verifiable:
    """A published table, with all its rows."""
    form = "; ".join(", ".join(str(cell) for cell in row) for row in (table.columns, *table.rows))
    provenance = table.provenance.name.lower()
    return Verifiable(
        table_identity(table.name), "table", table.title, form, table.source, provenance
    )


def table_identity(name: str) -> str:
    """What a record calls a published table."""
    return f"table {name}"


def constant_identity(key: str, system: str) -> str:
    """What a record calls a constant of a method on sheets of a system."""
    return f"constant {SYMBOLS[key].symbol}, {system}"


def of_constant(constant: Input, system: str) -> Verifiable:
    """A constant that a method fixes, in the unit of sheets of a system."""
    quantity = SYMBOLS[constant.key]
    form = f"{quantity.symbol} = {positional(constant.value)} {quantity.unit(system)}".rstrip()
    place = constant.origin.place
    name = constant_identity(constant.key, system)
    known = {each.value: each.name.lower() for each in Provenance}
    provenance = known.get(constant.origin.provenance, "memory")
    return Verifiable(name, "constant", quantity.meaning, form, place, provenance)


def verifiable(
    equations: Iterable[Equation],
    tables: Iterable[Published] = (),
    constants: Iterable[tuple[Input, str]] = (),
) -> Iterator[Verifiable]:
    """All of these, each once."""
    found = [of_equation(each) for each in equations]
    found += [of_table(each) for each in tables]
    found += [of_constant(each, system) for each, system in constants]
    yield from {each.identity: each for each in found}.values()
