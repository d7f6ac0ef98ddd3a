"""Where a value comes from: who gave it, how it is known, and how it was written."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from linerdesign.words import sentence

# How the values of a pipe are known, best first.
KNOWN_BY = ("measured", "plan", "given", "assumed")


class Giver(StrEnum):
    """Who gave a value. From `PROGRAM` to `SUBMITTAL` a later one overrides an earlier one.

    `RULE` is a published rule for a load, such as that of a design vehicle.
    """

    STANDARD = "standard"
    RULE = "rule"
    PROGRAM = "program"
    OWNER = "owner"
    PROJECT = "project"
    RESIN = "resin"
    PIPE = "pipe"
    STATION = "station"
    SUBMITTAL = "submittal"
    CALCULATION = "calculation"


@dataclass(frozen=True)
class Origin:
    """The origin of one value.

    `known_by` is one of `KNOWN_BY`, or empty for a value of criteria, resin or calculation of
    which the project does not say it. `file` names the file that gave it, `place` the part of the
    project or of the calculation, `table` the published table and `table_row` the row that it was
    read from, `provenance` how sure that is, `stated` how it was written. `used` is false where no
    line of the sheet reads the value.
    """

    known_by: str = "given"
    giver: Giver = Giver.PIPE
    file: str = ""
    place: str = ""
    table: str = ""
    table_row: str = ""
    provenance: str = ""
    stated: str = ""
    used: bool = True

    @property
    def by_default(self) -> bool:
        """Whether the value is a default of the program."""
        return self.giver is Giver.PROGRAM

    @property
    def published(self) -> bool:
        """Whether a standard or a published rule prescribes the value."""
        return self.giver in (Giver.STANDARD, Giver.RULE)

    @property
    def by_site(self) -> bool:
        """Whether the pipe or a station of it gave the value."""
        return self.giver in (Giver.PIPE, Giver.STATION)

    @property
    def by_resin(self) -> bool:
        """Whether the resin gave the value."""
        return self.giver is Giver.RESIN

    @property
    def by_rule(self) -> bool:
        """Whether a published rule for a load prescribes the value."""
        return self.giver is Giver.RULE

    @property
    def by_criteria(self) -> bool:
        """Whether the owner's or the project's criteria gave the value."""
        return self.giver in (Giver.OWNER, Giver.PROJECT)

    @property
    def by_project(self) -> bool:
        """Whether the project gave the value, rather than owner, standard or program."""
        return self.giver in (Giver.PROJECT, Giver.RESIN, Giver.PIPE, Giver.STATION)

    @property
    def source(self) -> str:
        """The origin as printed, without the value as written."""
        parts = (
            self.known_by or sentence(f"origins.{self._words}", place=self.place),
            self.file if self.giver is Giver.PIPE else "",
            "; ".join(part for part in (self.table_row, self.provenance) if part),
            "" if self.used else sentence("origins.unused"),
        )
        return ", ".join(part for part in parts if part)

    @property
    def text(self) -> str:
        """The origin as printed, with the value as written."""
        if not self.stated:
            return self.source
        return sentence("origins.stated", source=self.source, stated=self.stated)

    @property
    def _words(self) -> str:
        """Name of the sentence for who gave the value."""
        return "minimum" if self.by_criteria and self.place else self.giver.value

    def unused(self) -> Origin:
        """The same origin, of a value that no line reads."""
        return replace(self, used=False)


def calculated(place: str) -> Origin:
    """The origin of a value from another part of the calculation."""
    return Origin("", Giver.CALCULATION, place=place)


def by_standard(place: str, provenance: str = "") -> Origin:
    """The origin of a value that a standard prescribes."""
    return Origin("", Giver.STANDARD, place=place, provenance=provenance)


def by_rule(place: str, provenance: str = "") -> Origin:
    """The origin of a value that a published rule for a load prescribes."""
    return Origin("", Giver.RULE, place=place, provenance=provenance)


DEFAULT = Origin("", Giver.PROGRAM)
AS_GIVEN = Origin()


@dataclass(frozen=True)
class Given:
    """A value of a project with its unit and origin, after all layers have been resolved.

    `unit` is empty for a bare number, and for a value in words.
    """

    value: Any
    unit: str
    origin: Origin
