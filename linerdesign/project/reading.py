"""Reads a project file into models, or into the list of every fault in it."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

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
from linerdesign.project.faults import Fault, InputFaults, expected_word, shown
from linerdesign.project.ground import TABLES_OF_KEYS
from linerdesign.project.models import (
    Criteria,
    Defaults,
    Limits,
    Pipe,
    ProjectInfo,
    Resin,
    Site,
    Stated,
    StatedInputs,
    Station,
    Table,
)
from linerdesign.project.requests import Acceptance, Capacity, Leg, Order, Sample

LARGEST_FILE = 20_000_000
LARGEST_CRITERIA = 1_000_000
MOST_PIPES = 20_000
LISTED = 10

Raw = dict[str, Any]
# The keys that hold a table of their own.
NESTED: dict[str, type[Table]] = {
    "station": Station,
    "stated": Stated,
    "inputs": StatedInputs,
    "defaults": Defaults,
    "limits": Limits,
    "capacity": Capacity,
    "order": Order,
    "sample": Sample,
    "leg": Leg,
    **TABLES_OF_KEYS,
}
# Keys by which a pipe that is not circular would be described.
SHAPE_KEYS = ("shape", "width", "height", "rise", "span")
ONLY_CIRCULAR = (
    "the equations are for circular pipe, by its mean inside diameter (host_diameter); egg, box "
    "and other shapes are not covered"
)
# How pydantic names the branches of a key that takes a value or a table.
TAGS = {"function-after", *(table.__name__ for table in NESTED.values())}
Model = TypeVar("Model", bound=Table)


@dataclass(frozen=True)
class Project:
    """A project file, read and free of faults. `fingerprint` is the SHA-256 of its bytes.

    `owner_file` is the file of the owner's criteria, where there is one.
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

    def resin_of(self, pipe: Pipe) -> Resin:
        """The pipe's resin: the one it names, or the first."""
        return next((r for r in self.resins if r.name == pipe.resin), self.resins[0])


@dataclass(frozen=True)
class OwnerFile:
    """The criteria of an owner's file, as they stand there and read."""

    raw: Raw
    criteria: Criteria
    file_name: str
    fingerprint: str


def read(path: Path, needs_pipes: bool = True, criteria: Path | None = None) -> Project:
    """The project in a TOML file; one of criteria and resins alone where no pipes are needed.

    `criteria` is a file of the owner's criteria, in place of the one that the project names.

    Raises:
        InputFaults: every fault of the file, each with its table, name and key.
    """
    data = read_bytes(path, LARGEST_FILE)
    owner = read_owner(criteria) if criteria else None
    return parse(data, path.name, needs_pipes, owner, path.parent)


def read_owner(path: Path) -> OwnerFile:
    """The owner's criteria in a TOML file that holds a [criteria] table and nothing else.

    Raises:
        InputFaults: every fault of the file.
    """
    if path.exists() and not path.is_file():
        raise InputFaults([Fault(str(path), "", "a file of criteria")])
    data = read_bytes(path, LARGEST_CRITERIA)
    raw = toml_tables(data, path.name)
    faults = list(_unknown(raw, ("criteria",), path.name))
    found = validated(Criteria, raw.get("criteria", {}), f"{path.name}, [criteria]", faults)
    if faults or found is None:
        raise InputFaults(faults)
    return OwnerFile(raw["criteria"], found, path.name, hashlib.sha256(data).hexdigest())


def read_bytes(path: Path, largest: int) -> bytes:
    """The bytes of a file that may not be there, not be a file, or be too large.

    Raises:
        InputFaults: saying which.
    """
    try:
        with path.open("rb") as file:
            data = file.read(largest + 1)
    except OSError as error:
        reason = (error.strerror or "unreadable").lower()
        raise InputFaults([Fault(str(path), "", f"a readable file ({reason})")]) from None
    if len(data) > largest:
        expected = f"a file of at most {largest // 1_000_000} MB"
        raise InputFaults([Fault(str(path), "", expected)])
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
    """
    raw = toml_tables(data, file_name)
    return of_tables(raw, hashlib.sha256(data).hexdigest(), file_name, needs_pipes, owner, folder)


def of_tables(
    raw: Raw,
    fingerprint: str,
    file_name: str = "",
    needs_pipes: bool = True,
    owner: OwnerFile | None = None,
    folder: Path | None = None,
) -> Project:
    """The project in the tables of a file, which `fingerprint` stands for; see `parse`.

    Raises:
        InputFaults: every fault of the tables.
    """
    asking = ("capacity", "order", "acceptance")
    faults = list(_unknown(raw, ("project", "criteria", "resin", "pipe", *asking), "file"))
    named = _named_file(raw)
    if isinstance(raw.get("criteria"), str):
        raw = {key: table for key, table in raw.items() if key != "criteria"}
    info = _one(ProjectInfo, raw, "project", faults)
    if owner is None and named:
        owner = _owner_of_project(named, folder, faults)
    criteria = _criteria(raw, owner, faults)
    resins = _many(Resin, raw, "resin", faults)
    pipes = _many(Pipe, raw, "pipe", faults) if needs_pipes or "pipe" in raw else ()
    capacity = _one(Capacity, raw, "capacity", faults) if "capacity" in raw else None
    order = _one(Order, raw, "order", faults) if "order" in raw else None
    acceptance = _one(Acceptance, raw, "acceptance", faults) if "acceptance" in raw else None
    faults.extend(_across(raw, criteria))
    if faults or info is None or criteria is None:
        faults.extend(_between_values(raw, criteria or Criteria()))
        raise InputFaults(dict.fromkeys(faults))
    return Project(
        info,
        criteria,
        resins,
        pipes,
        fingerprint,
        file_name,
        owner.file_name if owner else "",
        owner.fingerprint if owner else "",
        capacity,
        order,
        acceptance,
    )


def _named_file(raw: Raw) -> str:
    """The owner's file that a project names, at the top or under [project]."""
    named = raw.get("criteria")
    if not isinstance(named, str):
        named = _dict(raw.get("project")).get("criteria")
    return named if isinstance(named, str) else ""


def _owner_of_project(named: str, folder: Path | None, faults: list[Fault]) -> OwnerFile | None:
    """The owner's file that stands beside the project, or in a folder under it."""
    place = "[project], criteria"
    inside = folder is not None and "\0" not in named
    if folder is None or not inside:
        faults.append(
            Fault(place, shown(named), "a file beside a project that is read from a file")
        )
        return None
    path = folder / named
    if Path(named).is_absolute() or ".." in Path(named).parts:
        expected = "a file beside the project or in a folder under it; others by --criteria"
        faults.append(Fault(place, shown(named), expected))
        return None
    try:
        return read_owner(path)
    except InputFaults as found:
        faults.extend(found.faults)
        return None


def _criteria(raw: Raw, owner: OwnerFile | None, faults: list[Fault]) -> Criteria | None:
    """The project's criteria over the owner's, key for key."""
    own = _one(Criteria, {"criteria": {}} | raw, "criteria", faults)
    if own is None or owner is None:
        return own
    table = raw.get("criteria", {})
    together = owner.raw | table
    for part in ("defaults", "limits"):
        parts = [_dict(each.get(part)) for each in (owner.raw, table)]
        together[part] = merged(*parts) | {
            k: v for each in parts for k, v in each.items() if k not in Site.model_fields
        }
    return own.under(owner.criteria, Criteria.model_validate(together))


def toml_tables(data: bytes, file_name: str) -> Raw:
    """The tables of TOML bytes.

    Raises:
        InputFaults: where it is not UTF-8, not TOML, empty, or nested beyond reason.
    """
    place = file_name or "file"
    try:
        raw = tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise InputFaults([Fault(place, "", "text in UTF-8")]) from None
    except tomllib.TOMLDecodeError as error:
        raise InputFaults([Fault(place, "", f"a TOML file ({error})")]) from None
    except (RecursionError, ValueError):
        expected = "a TOML file without nesting or numbers beyond reason"
        raise InputFaults([Fault(place, "", expected)]) from None
    if not raw:
        raise InputFaults([Fault(place, "", "a project: [project], [[resin]] and [[pipe]] tables")])
    return raw


def _one(model: type[Model], raw: Raw, table: str, faults: list[Fault]) -> Model | None:
    if table not in raw:
        faults.append(Fault(f"[{table}]", "", "this table (required)"))
        return None
    return validated(model, raw[table], f"[{table}]", faults)


def _many(model: type[Model], raw: Raw, table: str, faults: list[Fault]) -> tuple[Model, ...]:
    tables = raw.get(table)
    if not isinstance(tables, list) or not tables:
        faults.append(Fault(f"[[{table}]]", "", "at least one such table"))
        return ()
    if len(tables) > MOST_PIPES:
        expected = f"at most {MOST_PIPES} tables in one project; size an inventory with `batch`"
        raise InputFaults([Fault(f"[[{table}]]", str(len(tables)), expected)])
    places = _places(table, tables)
    made = [
        validated(model, each, place, faults) for each, place in zip(tables, places, strict=True)
    ]
    for name, numbers in _same_name(tables).items():
        which = ", ".join(map(str, numbers[:LISTED])) + (" ..." if len(numbers) > LISTED else "")
        expected = f"a name that no other one has; numbers {which} have it"
        faults.append(Fault(f"[[{table}]] name", shown(name), expected))
    return tuple(each for each in made if each is not None)


def _same_name(tables: list[Any]) -> dict[str, list[int]]:
    """Names that more than one table has, with the numbers of those tables."""
    found: dict[str, list[int]] = {}
    for index, each in enumerate(tables):
        if _has_name(each):
            found.setdefault(each["name"], []).append(index + 1)
    return {name: numbers for name, numbers in found.items() if len(numbers) > 1}


def _between_values(raw: Raw, criteria: Criteria) -> Iterator[Fault]:
    """Faults between values, found together with those of single keys, from the keys that read."""
    places = _places("pipe", raw.get("pipe"))
    for index, table in tables_in(raw.get("pipe")):
        pipe = _salvaged(Pipe, table)
        if pipe is not None:
            usual = f'[[pipe]] "{pipe.name}"'
            for fault in between_values(pipe, criteria):
                yield replace(fault, place=places[index] + fault.place.removeprefix(usual))


def _salvaged(model: type[Model], raw: Raw) -> Model | None:
    """A table without the keys that do not read, where enough is left."""
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        faulty = {str(each["loc"][0]) for each in error.errors() if each["loc"]}
    try:
        return model.model_validate({k: v for k, v in raw.items() if k not in faulty})
    except ValidationError:
        return None


def _has_name(table: object) -> bool:
    return isinstance(table, dict) and isinstance(table.get("name"), str)


def _places(table: str, tables: object) -> list[str]:
    """How faults name each of several tables: by its name, by its number where it has none, and
    by both where another one has the same name."""
    every = tables if isinstance(tables, list) else []
    repeated = _same_name(every)
    places = []
    for index, each in enumerate(every):
        name = each["name"] if _has_name(each) else None
        number = f"number {index + 1}" if name is None or name in repeated else ""
        parts = [part for part in (number, shown(name) if name is not None else "") if part]
        places.append(f"[[{table}]] {', '.join(parts)}")
    return places


def validated(model: type[Model], raw: object, place: str, faults: list[Fault]) -> Model | None:
    """A table as its model; its faults are added to the list."""
    if not isinstance(raw, dict):
        faults.append(Fault(place, shown(raw), "a table of keys and values"))
        return None
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        # A key that takes a value or a table: only what is wrong with the table is of interest.
        details = [each for each in error.errors() if each["type"] != "is_instance_of"]
        faults.extend(_rewritten(each, model, place) for each in details)
        return None


def _rewritten(error: ErrorDetails, model: type[Table], place: str) -> Fault:
    """One of pydantic's errors in words for the person who wrote the file."""
    keys, model, place = _location(error["loc"], model, place)
    last = keys[-1] if keys else ""
    where = f"{place}, {'.'.join(keys)}" if keys else place
    value = "" if error["type"] == "missing" else shown(error["input"])
    field = model.model_fields.get(last)
    match error["type"]:
        case "missing":
            about = field.description if field else ""
            return Fault(where, "", f"this key (required): {about}")
        case "extra_forbidden":
            circular = last in SHAPE_KEYS and issubclass(model, Site)
            known = expected_word(last, model.model_fields)
            return Fault(where, value, f"no such key: {ONLY_CIRCULAR}" if circular else known)
        case "literal_error":
            return Fault(where, value, error["ctx"]["expected"].replace("'", '"'))
        case "list_type":
            return Fault(where, value, "a list in square brackets")
        case "dict_type":
            return Fault(where, value, "a table in braces")
        case "too_short" | "too_long":
            size = error["ctx"].get("min_length", error["ctx"].get("max_length"))
            bound = "at least" if error["type"] == "too_short" else "at most"
            return Fault(where, "", f"{bound} {size} entries")
        case "model_type":
            return Fault(where, value, "a table of keys and values")
        case _:
            return Fault(where, value, error["msg"])


def _location(
    loc: tuple[int | str, ...], model: type[Table], place: str
) -> tuple[list[str], type[Table], str]:
    """The keys that lead to an error, the table that holds the last one, and where that stands."""
    keys: list[str] = []
    for position, part in enumerate(loc):
        below = position + 1 < len(loc)
        if isinstance(part, int):
            if keys in (["station"], ["sample"], ["leg"]):
                place, keys = f"{place}, {keys[0]} {part + 1}", []
        elif part.split("[")[0] not in TAGS or part in model.model_fields:
            keys.append(part)
            model = NESTED[part] if below and part in model.model_fields.keys() & NESTED else model
    return keys, model, place


def _unknown(raw: Raw, known: tuple[str, ...], place: str) -> Iterator[Fault]:
    for key in raw:
        if key not in known:
            yield Fault(f"{place}, [{shown(key)[1:-1]}]", "", expected_word(key, known))


def _across(raw: Raw, criteria: Criteria | None) -> Iterator[Fault]:
    """Faults between keys and between tables. They read the raw tables, so that they are found
    together with the faults of single keys."""
    resins, pipes = tables_in(raw.get("resin")), tables_in(raw.get("pipe"))
    resin_places, pipe_places = (_places(key, raw.get(key)) for key in ("resin", "pipe"))
    names = [each.get("name") for _, each in resins]
    floor = bool(criteria and criteria.minimum_ovality.number > 0)
    given = criteria.defaults.model_fields_set if criteria else ()
    defaults = {key: getattr(criteria and criteria.defaults, key) for key in given}
    for index, resin in resins:
        if "thickness_step" in resin and "thicknesses" in resin:
            yield Fault(resin_places[index], "", "either thickness_step or thicknesses, not both")
    for index, pipe in pipes:
        place = pipe_places[index]
        if pipe.get("resin", names[0] if names else None) not in names and isinstance(
            pipe.get("resin"), str
        ):
            known = ", ".join(shown(n) for n in names if isinstance(n, str))
            yield Fault(f"{place}, resin", shown(pipe["resin"]), f"the name of a resin: {known}")
        for key in _dict(pipe.get("origin")):
            if key not in Pipe.model_fields and key not in Resin.model_fields:
                yield Fault(f"{place}, origin.{key}", "", expected_word(key, Site.model_fields))
        full = with_defaults(pipe, defaults)
        yield from site_faults(full, place, floor)
        wanted = pipe.get("resin", names[0] if names else None)
        for _, resin in resins:
            if resin.get("name") == wanted:
                yield from without_tensile((full, *stations_of(full)), resin, place)
        theirs = _dict(_dict(pipe.get("stated")).get("inputs"))
        if theirs:
            yield from site_faults(submitted(full, theirs), f"{place}, stated.inputs", floor)


def _dict(value: object) -> Raw:
    return value if isinstance(value, dict) else {}
