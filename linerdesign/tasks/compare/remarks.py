"""What a comparison is based on: properties of the resins, their evidence, notes, the criteria."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.expressions.printing import written
from linerdesign.findings import Finding, Severity
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.cost_keys import EVIDENCE_GRADES
from linerdesign.project.keys import RETENTIONS
from linerdesign.project.models import Criteria, Resin
from linerdesign.tasks.compare.systems import Option, Table
from linerdesign.words import sentence

_YES = {True: "yes", False: "no"}
PROPERTIES = ("flexural_modulus", "flexural_strength", "tensile_strength")
GRADES = dict(zip(EVIDENCE_GRADES, "ABCD", strict=True))


@dataclass(frozen=True)
class Remark:
    """A caution or default that some resins meet and not all, and the pipes it meets it in."""

    note: Finding
    pipes: tuple[str, ...]
    everywhere: bool


def remarks_of(table: Table) -> dict[str, tuple[Remark, ...]]:
    """The notes of each resin by its name, without those that all resins share in a pipe.

    A note shared by all is about the pipe or the criteria, and tells no resin from another.
    """
    found: dict[str, dict[Finding, list[str]]] = {each.resin.name: {} for each in table[0]}
    for row in table:
        notes = {each.resin.name: _notes(each) for each in row if each.satisfied}
        shared = frozenset.intersection(*notes.values()) if notes and len(row) > 1 else frozenset()
        for name, own in notes.items():
            for note in own - shared:
                found[name].setdefault(note, []).append(row[0].pipe.name)
    return {
        name: tuple(
            Remark(note, tuple(pipes), len(pipes) == len(table))
            for note, pipes in sorted(notes.items(), key=lambda e: (e[0].severity, e[0].text))
        )
        for name, notes in found.items()
    }


def _notes(found: Option) -> frozenset[Finding]:
    """Cautions and defaults of the wall by the worst properties."""
    notes = found.wall.notes if found.wall else frozenset()
    return frozenset(note for note in notes if note.severity is not Severity.OUTSIDE)


def marked(resin: Resin) -> str:
    """The name of a resin with the letter of its evidence."""
    return f"{resin.name} [{GRADES[resin.evidence_grade]}]"


def grades_legend() -> str:
    """What the letters mean."""
    return "; ".join(f"[{letter}] {grade}" for grade, letter in GRADES.items())


def properties(resin: Resin, criteria: Criteria) -> tuple[str, ...]:
    """The three properties, each with its long-term retention, stated or by default."""
    cells = []
    for key, kept in zip(PROPERTIES, RETENTIONS, strict=True):
        value = getattr(resin, key)
        cells += (
            ["-", "-"] if value is None else [written(value), _retention(resin, kept, criteria)]
        )
    return tuple(cells)


def _retention(resin: Resin, key: str, criteria: Criteria) -> str:
    owners = getattr(criteria.defaults, key)
    if key in resin.given:
        return str(getattr(resin, key))
    if owners:
        return sentence("compare.owners_default", value=owners)
    return sentence("compare.default", value=getattr(resin, key))


def criteria_of(criteria: Criteria) -> Iterator[tuple[str, str, bool]]:
    """The criteria that apply to all resins: name, value, and whether by default."""
    for key, row in criteria.rows.items():
        value = getattr(criteria, key)
        if row.quantity in SYMBOLS:
            name, shown = SYMBOLS[row.quantity].meaning, written(value)
        elif isinstance(value, str | bool) and value != "":
            name = sentence(f"compare.criterion_{key}")
            shown = value if isinstance(value, str) else sentence(f"compare.{_YES[value]}")
        else:
            continue
        yield name, shown, criteria.origins[key].by_default


def criteria_text(criteria: Criteria) -> str:
    """The criteria in one line, defaults marked."""
    said = (
        f"{name} {sentence('compare.default', value=value) if by_default else value}"
        for name, value, by_default in criteria_of(criteria)
    )
    return sentence("compare.criteria", values=", ".join(said))
