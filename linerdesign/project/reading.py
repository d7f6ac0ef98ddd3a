"""Reads a project file into tables, or into the list of every fault in it."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from linerdesign.project.consistency import (
    merged,
    site_faults,
    stations_of,
    submitted,
    tables_in,
    with_defaults,
    without_tensile,
)
from linerdesign.project.contradictions import between_values
from linerdesign.project.faults import (
    LISTED,
    Fault,
    InputFaults,
    Place,
    fault,
    listed,
    located,
    shown,
    shown_key,
    unknown_word,
)
from linerdesign.project.fields import HEADINGS, Table, read_table
from linerdesign.project.fields import validated as validated
from linerdesign.project.identity import FileRead
from linerdesign.project.keys import SITE_KEYS
from linerdesign.project.layers import sites
from linerdesign.project.models import Criteria, Pipe, ProjectInfo, Resin, Submittal
from linerdesign.project.requests import Acceptance, Capacity, Order

LARGEST_FILE = 20_000_000
LARGEST_CRITERIA = 1_000_000
MOST_PIPES = 20_000
REQUESTED: dict[str, type[Table]] = {
    "capacity": Capacity,
    "order": Order,
    "acceptance": Acceptance,
    "submittal": Submittal,
}

if TYPE_CHECKING:
    from linerdesign.project.verification import Record

Raw = dict[str, Any]
Model = TypeVar("Model", bound=Table)


@dataclass(frozen=True, repr=False)
class Project:
    """A project file, read and free of faults. `fingerprint` is the SHA-256 of its bytes.

    `owner_file` is the file of the owner's criteria, where there is one. `text` is that of the
    file, for the line numbers of faults that are found later; `content` holds the tables of both
    files, without the texts of the title block.
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
    text: str = field(default="", repr=False, compare=False)
    submittal: Submittal | None = None
    content: Mapping[str, Any] = field(default_factory=dict, repr=False, compare=False)
    record: Record | None = None

    def __repr__(self) -> str:
        counts = f"pipes={len(self.pipes)}, resins={len(self.resins)}"
        return f"Project(title={self.info.title!r}, {counts}, units={self.info.units!r})"

    @property
    def files(self) -> tuple[FileRead, ...]:
        """The files that it was read from."""
        owner = FileRead("criteria", self.owner_file, self.owner_fingerprint)
        own = FileRead("project", self.file_name, self.fingerprint)
        record = (self.record.file,) if self.record else ()
        return (*(each for each in (own, owner) if each.name), *record)

    def resin_of(self, pipe: Pipe) -> Resin:
        """The pipe's resin: the one it names, or the first."""
        return next((r for r in self.resins if r.name == pipe.resin), self.resins[0])

    def located(self, faults: Iterable[Fault]) -> InputFaults:
        """The faults of pipes and resins, found by their names, with their lines in the file."""
        return _with_lines(map(self._in_file, faults), self.text)

    def _in_file(self, fault: Fault) -> Fault:
        """The fault with the way to its table from the top of the file."""
        place = fault.place
        if not isinstance(place, Place) or place.path[:1] == ("criteria",):
            return fault
        for table, every in (("pipe", self.pipes), ("resin", self.resins)):
            index = next((i for i, each in enumerate(every) if each.name == place.name), None)
            if place.table == HEADINGS[table] and index is not None:
                return replace(fault, place=replace(place, path=(table, index, *place.path)))
        return fault


@dataclass(frozen=True)
class OwnerFile:
    """The criteria of an owner's file, raw and read."""

    raw: Raw
    criteria: Criteria
    file_name: str
    fingerprint: str
    folder: Path


def read(path: Path, needs_pipes: bool = True, criteria: Path | None = None) -> Project:
    """The project in a TOML file; one of criteria and resins alone where no pipes are needed.

    `criteria` is a file of the owner's criteria, in place of the one that the project names.

    Raises:
        InputFaults: every fault of the files, each with its table, name, key and line.
    """
    data = read_bytes(path, LARGEST_FILE)
    owner = read_owner(criteria) if criteria else None
    return parse(data, path.name, needs_pipes, owner, path.parent)


def read_owner(path: Path) -> OwnerFile:
    """The owner's criteria in a TOML file that holds a [criteria] table and nothing else.

    Raises:
        InputFaults: every fault of the file.
    """
    data = read_bytes(path, LARGEST_CRITERIA, regular=True)
    text = toml_text(data, path.name)
    raw = toml_tables(text, path.name)
    faults = list(_unknown(raw, ("criteria",), path.name))
    place = Place(path.name, HEADINGS["criteria"], path=("criteria",))
    found = read_table(Criteria, raw.get("criteria", {}), place, faults)
    if faults:
        raise _with_lines(faults, text)
    return OwnerFile(
        raw["criteria"], found, path.name, hashlib.sha256(data).hexdigest(), path.parent
    )


def read_bytes(path: Path, largest: int, regular: bool = False) -> bytes:
    """The bytes of a file that may be absent, unreadable or too large; `regular` refuses devices.

    Raises:
        InputFaults: with the reason.
    """
    try:
        if regular and path.exists() and not path.is_file():
            raise InputFaults([fault("not_a_file", str(path))])
        with path.open("rb") as file:
            data = file.read(largest + 1)
    except FileNotFoundError:
        raise InputFaults([fault("not_found", str(path))]) from None
    except (OSError, ValueError) as error:
        why = (getattr(error, "strerror", None) or str(error) or "unreadable").lower()
        raise InputFaults([fault("unreadable", shown_key(path), why=why)]) from None
    if len(data) > largest:
        raise InputFaults([fault("too_large", str(path), most=largest // 1_000_000)])
    return data


def parse(
    data: bytes,
    file_name: str = "",
    needs_pipes: bool = True,
    owner: OwnerFile | None = None,
    folder: Path | None = None,
) -> Project:
    """The project in the bytes of a TOML file; see `read`.

    `folder` is where the owner's file is looked for that the project names.

    Raises:
        InputFaults: every fault of the file.
    """
    text = toml_text(data, file_name)
    raw = toml_tables(text, file_name)
    fingerprint = hashlib.sha256(data).hexdigest()
    return of_tables(raw, fingerprint, file_name, needs_pipes, owner, folder, text)


def of_tables(
    raw: Raw,
    fingerprint: str,
    file_name: str = "",
    needs_pipes: bool = True,
    owner: OwnerFile | None = None,
    folder: Path | None = None,
    text: str = "",
) -> Project:
    """The project in the tables of a file, which `fingerprint` identifies; see `parse`.

    Raises:
        InputFaults: every fault of the tables.
    """
    faults = list(_unknown(raw, (*HEADINGS, *REQUESTED), ""))
    if named := _named_file(raw):
        owner = owner or _owner_of_project(*named, folder, faults)
    if isinstance(raw.get("criteria"), str):
        raw = {key: table for key, table in raw.items() if key != "criteria"}
    info = _one(ProjectInfo, raw, faults)
    criteria = _criteria(raw, owner, faults)
    resins = _many(Resin, raw, faults)
    pipes = _many(Pipe, raw, faults) if needs_pipes or "pipe" in raw else []
    record = _record(info, criteria, owner, folder, faults)
    asked: dict[str, Any] = {
        name: _one(table, raw, faults) if name in raw else None for name, table in REQUESTED.items()
    }
    faults.extend(_across(raw, criteria, _default_keys(raw, owner)))
    for place, pipe in pipes:
        faults.extend(between_values(pipe, sites(pipe, criteria), place))
    if faults:
        raise _with_lines(faults, text)
    return Project(
        info,
        criteria,
        tuple(resin for _, resin in resins),
        tuple(pipe for _, pipe in pipes),
        fingerprint,
        file_name,
        owner.file_name if owner else "",
        owner.fingerprint if owner else "",
        text=text,
        content={**_content(raw, info, owner), "record": record and record.file.sha256},
        record=record,
        **asked,
    )


def _record(
    info: ProjectInfo,
    criteria: Criteria,
    owner: OwnerFile | None,
    folder: Path | None,
    faults: list[Fault],
) -> Record | None:
    """The verification record that the project names, or else its criteria or the owner's."""
    named = (
        (info.verification, "[project]", folder),
        (criteria.verification, HEADINGS["criteria"], owner.folder if owner else folder),
    )
    for name, table, beside in named:
        if not name:
            continue
        place = Place(table=table).at("verification")
        if beside is None or "\0" in name or Path(name).is_absolute() or ".." in Path(name).parts:
            faults.append(fault("outside_folder", place, shown(name)))
            return None
        from linerdesign.project.verification import read_record

        try:
            return read_record(beside / name)
        except InputFaults as found:
            faults.extend(found.faults)
            return None
    return None


def _content(raw: Raw, info: ProjectInfo, owner: OwnerFile | None) -> Raw:
    """The tables of both files, without the texts of the title block."""
    project = {**raw, "project": {"units": info.units}}
    return {"project": project, "criteria": owner and owner.raw}


def _with_lines(faults: Iterable[Fault], text: str) -> InputFaults:
    from linerdesign.project.lines import lines_of

    return located(faults, lambda: lines_of(text))


def _named_file(raw: Raw) -> tuple[str, Place] | None:
    """The owner's file that a project names, at the top or under [project], and where."""
    info = _dict(raw.get("project"))
    for table, place in ((raw, Place()), (info, Place(table="[project]", path=("project",)))):
        if isinstance(table.get("criteria"), str):
            return table["criteria"], place.at("criteria")
    return None


def _owner_of_project(
    named: str, place: Place, folder: Path | None, faults: list[Fault]
) -> OwnerFile | None:
    """The owner's file, which is beside the project or in a folder under it."""
    if folder is None or "\0" in named:
        faults.append(fault("no_folder_for_owner", place, shown(named)))
        return None
    if Path(named).is_absolute() or ".." in Path(named).parts:
        faults.append(fault("outside_folder", place, shown(named)))
        return None
    try:
        return read_owner(folder / named)
    except InputFaults as found:
        faults.extend(found.faults)
        return None


def _criteria(raw: Raw, owner: OwnerFile | None, faults: list[Fault]) -> Criteria:
    """The project's criteria over the owner's, key for key."""
    table = raw.get("criteria", {})
    count = len(faults)
    own = _one(Criteria, {"criteria": table}, faults)
    if owner is None or len(faults) > count:
        return own
    together = owner.raw | table
    for part in ("defaults", "limits"):
        together[part] = _merged_part(owner.raw, table, part)
    place = Place(table=HEADINGS["criteria"])
    return own.under(owner.criteria, owner.file_name, read_table(Criteria, together, place, []))


def _merged_part(owners: Raw, own: Raw, part: str) -> Raw:
    """The owner's defaults or limits with the project's over them, datum for datum."""
    parts = [_dict(each.get(part)) for each in (owners, own)]
    return merged(*parts) | {k: v for each in parts for k, v in each.items() if k not in SITE_KEYS}


def _default_keys(raw: Raw, owner: OwnerFile | None) -> Raw:
    """What the criteria give for pipes without it, whether it can be read or not."""
    return _merged_part(owner.raw if owner else {}, _dict(raw.get("criteria")), "defaults")


def toml_text(data: bytes, file_name: str) -> str:
    """The text of a TOML file.

    Raises:
        InputFaults: where it is not UTF-8.
    """
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputFaults([fault("not_utf8", file_name or "file")]) from None


def toml_tables(text: str, file_name: str) -> Raw:
    """The tables of a TOML text.

    Raises:
        InputFaults: where it is not TOML, empty, or nested beyond reason.
    """
    place = file_name or "file"
    try:
        raw = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputFaults([fault("not_toml", place, why=str(error))]) from None
    except (RecursionError, ValueError):
        raise InputFaults([fault("too_deep", place)]) from None
    if not raw:
        raise InputFaults([fault("empty", place)])
    return raw


def _one(model: type[Model], raw: Raw, faults: list[Fault]) -> Model:
    heading = f"[{model.of}]"
    if model.of not in raw:
        faults.append(fault("missing_table", "", table=heading))
        return model()
    return read_table(model, raw[model.of], Place(table=heading, path=(model.of,)), faults)


def _many(model: type[Model], raw: Raw, faults: list[Fault]) -> list[tuple[Place, Model]]:
    tables = raw.get(model.of)
    heading = HEADINGS[model.of]
    if not isinstance(tables, list) or not tables:
        faults.append(fault("missing_table", "", table=heading))
        return []
    if len(tables) > MOST_PIPES:
        place = Place(table=heading, path=(model.of,))
        raise InputFaults([fault("too_many", place, count=len(tables), most=MOST_PIPES)])
    places = _places(model.of, tables)
    found = [
        (place, read_table(model, each, place, faults))
        for each, place in zip(tables, places, strict=True)
    ]
    for name, numbers in _same_name(tables).items():
        which = ", ".join(map(str, numbers[:LISTED])) + (" ..." if len(numbers) > LISTED else "")
        place = Place(path=(model.of, numbers[1] - 1, "name"))
        faults.append(fault("duplicate", place, what=model.of, name=shown(name), numbers=which))
    return found


def _same_name(tables: list[Any]) -> dict[str, list[int]]:
    """Names that more than one table has, with the numbers of those tables."""
    found: dict[str, list[int]] = {}
    for index, each in enumerate(tables):
        if _has_name(each):
            found.setdefault(each["name"], []).append(index + 1)
    return {name: numbers for name, numbers in found.items() if len(numbers) > 1}


def _has_name(table: object) -> bool:
    return isinstance(table, dict) and isinstance(table.get("name"), str)


def _places(table: str, tables: object) -> list[Place]:
    """The place of each of several tables: by its name, by its number where it has none, and by
    both where another one has the same name."""
    every = tables if isinstance(tables, list) else []
    repeated = _same_name(every)
    places = []
    for index, each in enumerate(every):
        name = each["name"] if _has_name(each) else None
        number = index + 1 if name is None or name in repeated else 0
        places.append(Place("", HEADINGS[table], name, number, path=(table, index)))
    return places


def _unknown(raw: Raw, known: tuple[str, ...], file: str) -> Iterator[Fault]:
    for key in raw:
        if key not in known:
            yield unknown_word(Place(file, path=(key,)), key, known, "table")


def _across(raw: Raw, criteria: Criteria, defaults: Raw) -> Iterator[Fault]:
    """Faults between keys and between tables. They read the raw tables, so that they are found
    together with the faults of single keys."""
    resins, pipes = tables_in(raw.get("resin")), tables_in(raw.get("pipe"))
    resin_places, pipe_places = (_places(key, raw.get(key)) for key in ("resin", "pipe"))
    by_name = {each.get("name"): each for _, each in reversed(resins) if _has_name(each)}
    first = resins[0][1].get("name") if resins else None
    floor = criteria.minimum_ovality.number > 0
    for index, resin in resins:
        both = ("thickness_step", "thicknesses")
        if all(key in resin for key in both):
            yield fault("several_of", resin_places[index], keys=" and ".join(both))
        if {"tube_price", "tube"} <= _dict(resin.get("cost")).keys():
            place = resin_places[index].inside("cost")
            yield fault("several_of", place, keys="tube_price and tube")
    for index, pipe in pipes:
        place = pipe_places[index]
        wanted = pipe.get("resin", first)
        if isinstance(wanted, str) and wanted not in by_name and "resin" in pipe:
            yield fault("unknown_resin", place.at("resin"), shown(wanted), known=listed(by_name))
        full = with_defaults(pipe, defaults)
        yield from site_faults(full, place, floor)
        if isinstance(wanted, str) and wanted in by_name:
            sites = (full, *stations_of(full))
            yield from without_tensile(sites, by_name[wanted], place.at("resin"))
        theirs = _dict(_dict(pipe.get("stated")).get("inputs"))
        if theirs:
            inputs = place.inside("stated").inside("inputs")
            yield from site_faults(submitted(full, theirs), inputs, floor)


def _dict(value: object) -> Raw:
    return value if isinstance(value, dict) else {}
