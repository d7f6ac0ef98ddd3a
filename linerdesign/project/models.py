"""The tables of a project file, read: an attribute for each row of the table of keys."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linerdesign.methods.origin import DEFAULT, Giver, Origin
from linerdesign.project import costs as costs
from linerdesign.project import distributions as distributions
from linerdesign.project import ground as ground
from linerdesign.project import stated as stated
from linerdesign.project.distributions import Distribution
from linerdesign.project.faults import Fault, InputFaults, Place, located
from linerdesign.project.fields import Table as Table
from linerdesign.project.identity import FileRead
from linerdesign.project.layers import stations_of, submitted
from linerdesign.project.requests import Acceptance, Order
from linerdesign.project.requests import Capacity as Capacity
from linerdesign.words import sentence

if TYPE_CHECKING:
    from linerdesign.project.verification import Record

Raw = dict[str, Any]
# How the way to a place begins that leads from the top of the file.
COMPLETE = (("criteria",), ("pipe",), ("resin",))


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
    _limits_of_project: Mapping[str, Any] = {}

    @property
    def owner(self) -> Criteria | None:
        """The criteria of the owner's file by themselves, where there is such a file."""
        return self._owner

    def under(self, owner: Criteria, owner_file: str, merged: Criteria) -> Criteria:
        """These criteria of a project and the owner's as one, in `merged`, which knows of both."""
        layers: dict[str, Any] = {
            "_owner": owner,
            "_owner_file": owner_file,
            "_of_project": frozenset(self.given),
            "_defaults_of_project": frozenset(self.defaults.given),
            "_limits_of_project": self.limits.given,
        }
        for name, layer in layers.items():
            setattr(merged, name, layer)
        return merged

    @property
    def origins(self) -> dict[str, Origin]:
        """The origin of each of these criteria."""
        known = self.model_fields_set
        return {
            key: self._origin(key in self._of_project) if key in known else DEFAULT
            for key in self.rows
        }

    def origin_required(self, key: str) -> Origin:
        """The origin of what the owner, or else the project, requires of one of these criteria."""
        stated = key in (self._owner or self).model_fields_set
        return self._origin(of_project=False) if stated else DEFAULT

    @property
    def origins_of_defaults(self) -> dict[str, Origin]:
        """The origin of each value that these criteria give for pipes and resins without it."""
        return {key: self._origin(key in self._defaults_of_project) for key in self.defaults.given}

    @property
    def origins_of_limits(self) -> dict[str, Origin]:
        """The origin of each of the limits in force."""
        stated = self._limits_of_project
        return {key: self._origin(stated.get(key) == v) for key, v in self.limits.given.items()}

    @property
    def limits_of_project(self) -> Mapping[str, Any]:
        """The limits that a project states beside its owner's file, in force or not."""
        return self._limits_of_project

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

    def submitted(self, changed: Raw) -> Pipe:
        """The pipe with the inputs of a submitted calculation, its thickness to be chosen anew."""
        raw = self.given | {"station": [station.given for station in self.station]}
        values = submitted(raw, changed) if changed else raw
        values.pop("design_thickness", None)
        stations = [Station.model_construct(**station) for station in values.pop("station", [])]
        return Pipe.model_construct(**(values | ({"station": stations} if stations else {})))

    @property
    def number(self) -> int:
        """Its position in the project, from 1."""
        return number_in(self.place)

    @property
    def is_shaped(self) -> bool:
        """Whether its host is stated as another shape than a circular pipe."""
        return self.shape is not None or bool(self.outline)

    def faulty(self, faults: Iterable[Fault]) -> FaultyPipe:
        """This pipe as one that can't be designed."""
        about = (self.name, tuple(faults), self.resin or "", self.condition)
        return FaultyPipe(self.number, *about, max(1, len(self.station)))


def number_in(place: Place) -> int:
    """The position of the table that a place is in, from 1; 0 where it is in no list of tables."""
    return next((part + 1 for part in place.path[:2] if isinstance(part, int)), 0)


@dataclass(frozen=True, repr=False)
class Project:
    """A project file, read and free of faults. `fingerprint` is the SHA-256 of its bytes.

    `owner_file` is the file of the owner's criteria, where there is one, `pipe_file` that of a
    table of pipes. `text` is that of the file, for the line numbers of faults that are found later;
    `content` holds the tables of all files, without the texts of the title block. `faulty` are
    the pipes with faults of their own, which only a project read for it has; `as_read` are all
    pipes, those too, as far as they could be read.
    """

    info: ProjectInfo
    criteria: Criteria
    resins: tuple[Resin, ...]
    pipes: tuple[Pipe, ...]
    fingerprint: str
    file_name: str = ""
    owner_file: str = ""
    owner_fingerprint: str = ""
    capacity: Capacity | None = None
    order: Order | None = None
    acceptance: Acceptance | None = None
    text: str = ""
    submittal: Submittal | None = None
    content: Mapping[str, Any] = field(default_factory=dict)
    record: Record | None = None
    pipe_file: FileRead | None = None
    faulty: tuple[FaultyPipe, ...] | None = None
    as_read: tuple[Pipe, ...] = ()
    owner_text: str = ""
    uncertainty: Mapping[str, Distribution] = field(default_factory=dict)

    def __repr__(self) -> str:
        counts = f"pipes={len(self.pipes)}, resins={len(self.resins)}"
        return f"Project(title={self.info.title!r}, {counts}, units={self.info.units!r})"

    @property
    def files(self) -> tuple[FileRead, ...]:
        """The files that it was read from."""
        owner = FileRead("criteria", self.owner_file, self.owner_fingerprint)
        own = FileRead("project", self.file_name, self.fingerprint)
        table = (self.pipe_file,) if self.pipe_file else ()
        record = (self.record.file,) if self.record else ()
        return (*(each for each in (own, owner) if each.name), *table, *record)

    @cached_property
    def by_name(self) -> Mapping[str, Pipe]:
        """The pipes by their names."""
        return {pipe.name: pipe for pipe in self.pipes}

    def resin_of(self, pipe: Pipe) -> Resin:
        """The pipe's resin: the one it names, or the first."""
        return next((r for r in self.resins if r.name == pipe.resin), self.resins[0])

    def located(self, faults: Iterable[Fault]) -> InputFaults:
        """The faults of pipes and resins, found by their names, with their lines in the file."""
        own = located(map(self._in_file, faults), self.text).faults
        return located(own, self.owner_text, self.owner_file or self.file_name)

    def _in_file(self, fault: Fault) -> Fault:
        """The fault with the way to its table from the top of the file."""
        place = fault.place
        if not isinstance(place, Place) or place.path[:1] in COMPLETE:
            return fault
        tables = {"[[pipe]]": self.pipes, "[[resin]]": self.resins}.get(place.table, ())
        found = next((each for each in tables if each.name == place.name), None)
        return fault if found is None else replace(fault, place=place.within(found.place))


@contextmanager
def located_in(project: Project) -> Iterator[None]:
    """Faults in the block get their lines in the files of the project.

    Raises:
        InputFaults: where there are any.
    """
    try:
        yield
    except InputFaults as found:
        raise project.located(found.faults) from None


@dataclass(frozen=True)
class FaultyPipe:
    """A pipe that can't be designed, and why. `number` is its position in the project, from 1.

    `stations` counts its stations, 1 for a pipe without any; `resin` and `condition` are empty
    where they can't be read.
    """

    number: int
    name: str
    faults: tuple[Fault, ...]
    resin: str = ""
    condition: str = ""
    stations: int = 1

    def faulty(self, faults: Iterable[Fault]) -> FaultyPipe:
        """The same pipe with these faults."""
        return replace(self, faults=tuple(faults))

    @classmethod
    def of_table(cls, number: int, raw: Any, faults: Iterable[Fault]) -> FaultyPipe:
        """A pipe by its table as it stands in the file."""
        table = raw if isinstance(raw, dict) else {}
        texts = {key: each for key, each in table.items() if isinstance(each, str)}
        name = texts.get("name") or sentence("calculation.unnamed", number=number)
        known = (texts.get("resin", ""), texts.get("condition", ""))
        return cls(number, name, tuple(faults), *known, max(1, len(stations_of(table))))


@dataclass(frozen=True)
class OwnerFile:
    """The criteria of an owner's file, raw and read; nothing is `known` of one not read."""

    raw: Raw
    criteria: Criteria
    file_name: str
    fingerprint: str
    folder: Path
    text: str = ""
    known: bool = True

    @classmethod
    def unread(cls, path: Path) -> OwnerFile:
        """A file that can't be read."""
        return cls({}, Criteria.model_construct(), path.name, "", path.parent, known=False)
