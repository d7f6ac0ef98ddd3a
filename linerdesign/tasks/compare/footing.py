"""What a comparison rests on: properties of the resins, how they are known, the criteria."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.findings import Finding as Note
from linerdesign.methods.equation import Severity
from linerdesign.project.fields import given
from linerdesign.project.keys import CRITERIA_KEYS, RETENTIONS
from linerdesign.project.models import Criteria, Resin
from linerdesign.tasks.compare.ranking import Table
from linerdesign.tasks.compare.systems import Answer

PROPERTIES = ("flexural_modulus", "flexural_strength", "tensile_strength")


@dataclass(frozen=True)
class Remark:
    """A caution or default that some resin meets and not all, and the pipes it meets it in."""

    note: Note
    pipes: tuple[str, ...]
    everywhere: bool

    def __str__(self) -> str:
        where = "" if self.everywhere else f" ({', '.join(self.pipes)})"
        return f"{self.note.severity}: {self.note.text}{where}"


def remarks_of(table: Table) -> dict[str, tuple[Remark, ...]]:
    """What is to be known of each resin, by its name: notes that its rivals do not all have too.

    A note that every resin has in a pipe is of the pipe or of the criteria, and decides nothing
    between them.
    """
    return {
        column[0].resin.name: tuple(_remarks(column, table)) for column in zip(*table, strict=True)
    }


def _remarks(column: tuple[Answer, ...], table: Table) -> Iterator[Remark]:
    of_pipes = [_notes(each) - _shared(row) for each, row in zip(column, table, strict=True)]
    for note in sorted(set().union(*of_pipes), key=lambda note: (note.severity, note.text)):
        pipes = tuple(e.pipe.name for e, own in zip(column, of_pipes, strict=True) if note in own)
        yield Remark(note, pipes, len(pipes) == len(table))


def _notes(found: Answer) -> set[Note]:
    """The cautions and defaults of a wall that does, by the worst properties."""
    notes = found.worst.result.notes if found.worst and not found.fails else ()
    return {note for note in notes if note.severity is not Severity.OUTSIDE}


def _shared(row: tuple[Answer, ...]) -> set[Note]:
    """The notes that every resin with a wall has in a pipe; none where there is no rival."""
    have = [_notes(each) for each in row if not each.fails]
    return set.intersection(*have) if len(row) > 1 and have else set()


def properties(resin: Resin, criteria: Criteria) -> tuple[str, ...]:
    """The three properties, each with the part of it that stays, as stated or by default."""
    cells = []
    for key, kept in zip(PROPERTIES, RETENTIONS, strict=True):
        value = getattr(resin, key)
        cells += ["-", "-"] if value is None else [str(value), _retention(resin, kept, criteria)]
    return tuple(cells)


def _retention(resin: Resin, key: str, criteria: Criteria) -> str:
    owners = getattr(criteria.defaults, key)
    if key in given(resin):
        return str(getattr(resin, key))
    return f"{owners} (owner's default)" if owners else f"{getattr(resin, key)} (default)"


def criteria_text(criteria: Criteria) -> str:
    """The criteria that all resins are designed for, defaults marked."""
    said = []
    for key in ("edition", *CRITERIA_KEYS, "x1_2_strength"):
        by_default = " (default)" if criteria.origin_of(key).by_default else ""
        words = "strength in X1.2" if key == "x1_2_strength" else key.replace("_", " ")
        said.append(f"{words} {getattr(criteria, key)}{by_default}")
    return "criteria: " + ", ".join(said)
