"""The tables of a project file, read: an attribute for each row of the table of keys."""

from __future__ import annotations

from typing import Any

from linerdesign.methods.origin import DEFAULT, Giver, Origin
from linerdesign.project import costs as costs
from linerdesign.project import ground as ground
from linerdesign.project import stated as stated
from linerdesign.project.fields import Table as Table
from linerdesign.project.fields import given
from linerdesign.project.requests import Capacity as Capacity


class ProjectInfo(Table, of="project"):
    """`[project]`: the cover sheet."""


class Defaults(Table, of="defaults"):
    """`[criteria.defaults]`: values for pipes and resins without their own."""


class Limits(Table, of="limits"):
    """`[criteria.limits]`: limits beyond which a value of the project is flagged."""


class SecondMethod(Table, of="second_method"):
    """`[criteria.second_method]`: a second design method."""


class Criteria(Table, of="criteria"):
    """`[criteria]`: the owner's design basis."""

    _owner: Criteria | None = None
    _owner_file: str = ""
    _of_project: frozenset[str] = frozenset()
    _defaults_of_project: frozenset[str] = frozenset()

    @property
    def owner(self) -> Criteria | None:
        """The criteria of the owner's file by themselves, where there is such a file."""
        return self._owner

    def under(self, owner: Criteria, owner_file: str, merged: Criteria) -> Criteria:
        """These criteria of a project and the owner's as one, in `merged`, which knows of both."""
        layers: dict[str, Any] = {
            "_owner": owner,
            "_owner_file": owner_file,
            "_of_project": frozenset(given(self)),
            "_defaults_of_project": frozenset(given(self.defaults)),
        }
        for name, layer in layers.items():
            setattr(merged, name, layer)
        return merged

    def origin_of(self, key: str) -> Origin:
        """The origin of one of these criteria."""
        if key not in self.model_fields_set:
            return DEFAULT
        return self._origin(key in self._of_project)

    def origin_of_default(self, key: str) -> Origin:
        """The origin of a value that these criteria give for pipes and resins without it."""
        return self._origin(key in self._defaults_of_project)

    def _origin(self, of_project: bool) -> Origin:
        if self._owner is None or of_project:
            return Origin("", Giver.PROJECT)
        return Origin("", Giver.OWNER, self._owner_file)


class Resin(Table, of="resin"):
    """`[[resin]]`: one cured system, tube and resin together."""


class Station(Table, of="station"):
    """`[[pipe.station]]`: one location along the pipe."""


class StatedInputs(Table, of="inputs"):
    """`[pipe.stated.inputs]`: inputs of the submitted calculation that differ from this file."""


class Stated(Table, of="stated"):
    """`[pipe.stated]`: values of a submitted calculation."""


class StatedStation(Table, of="stated station"):
    """`[[pipe.stated.station]]`: the lines that a submittal shows for one station."""


class Submittal(Table, of="submittal"):
    """`[submittal]`: the submittal under review, and the engineer's decision."""


class Pipe(Table, of="pipe"):
    """`[[pipe]]`: one pipe, lined with one tube of one thickness."""
