"""Reads a project file into models, or into the list of every fault in it."""

from __future__ import annotations

import difflib
import hashlib
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from linerdesign.project.consistency import site_faults, submitted
from linerdesign.project.faults import Fault, InputFaults, shown
from linerdesign.project.models import (
    Criteria,
    Pipe,
    ProjectInfo,
    Resin,
    Site,
    Stated,
    StatedInputs,
    Station,
    Table,
)

LARGEST_FILE = 20_000_000
MOST_PIPES = 20_000

Raw = dict[str, Any]
Model = TypeVar("Model", bound=Table)


@dataclass(frozen=True)
class Project:
    """A project file, read and free of faults. `fingerprint` is the SHA-256 of its bytes."""

    info: ProjectInfo
    criteria: Criteria
    resins: tuple[Resin, ...]
    pipes: tuple[Pipe, ...]
    fingerprint: str
    file_name: str = ""

    def resin_of(self, pipe: Pipe) -> Resin:
        """The pipe's resin: the one it names, or the first."""
        return next((r for r in self.resins if r.name == pipe.resin), self.resins[0])


def read(path: Path, needs_pipes: bool = True) -> Project:
    """The project in a TOML file; one of criteria and resins alone where no pipes are needed.

    Raises:
        InputFaults: every fault of the file, each with its table, name and key.
    """
    return parse(read_bytes(path, LARGEST_FILE), path.name, needs_pipes)


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


def parse(data: bytes, file_name: str = "", needs_pipes: bool = True) -> Project:
    """The project in the bytes of a TOML file; see `read`."""
    raw = toml_tables(data, file_name)
    faults = list(_unknown(raw, ("project", "criteria", "resin", "pipe"), "file"))
    info = _one(ProjectInfo, raw, "project", faults)
    criteria = _one(Criteria, {"criteria": {}} | raw, "criteria", faults)
    resins = _many(Resin, raw, "resin", faults)
    pipes = _many(Pipe, raw, "pipe", faults) if needs_pipes or "pipe" in raw else ()
    faults.extend(_across(raw, criteria))
    if faults or info is None or criteria is None:
        raise InputFaults(faults)
    fingerprint = hashlib.sha256(data).hexdigest()
    return Project(info, criteria, resins, pipes, fingerprint, file_name)


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
        faults.append(Fault(f"[[{table}]]", str(len(tables)), expected))
        return ()
    made = [
        validated(model, each, place_of(table, i, each), faults) for i, each in enumerate(tables)
    ]
    names = Counter(each["name"] for each in tables if _has_name(each))
    for name, count in names.items():
        if count > 1:
            faults.append(Fault(f"[[{table}]] name", shown(name), "a name that no other one has"))
    return tuple(each for each in made if each is not None)


def _has_name(table: object) -> bool:
    return isinstance(table, dict) and isinstance(table.get("name"), str)


def place_of(table: str, index: int, raw: object) -> str:
    """How a fault names one of several tables: by its name, or by its number."""
    named = isinstance(raw, dict) and _has_name(raw)
    return f"[[{table}]] " + (shown(raw["name"]) if named else f"number {index + 1}")  # type: ignore[index]


def validated(model: type[Model], raw: object, place: str, faults: list[Fault]) -> Model | None:
    """A table as its model; its faults are added to the list."""
    if not isinstance(raw, dict):
        faults.append(Fault(place, shown(raw), "a table of keys and values"))
        return None
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        faults.extend(_rewritten(details, model, place) for details in error.errors())
        return None


def _rewritten(error: ErrorDetails, model: type[Table], place: str) -> Fault:
    """One of pydantic's errors in words for the person who wrote the file."""
    *path, last = error["loc"]
    if path[:1] == ["station"] and len(path) > 1:
        place, model = f"{place}, station {int(path[1]) + 1}", Station
    if path[:1] == ["stated"]:
        model = StatedInputs if path[1:] == ["inputs"] else Stated
    keys = [str(part) for part in error["loc"] if isinstance(part, str) and part != "station"]
    where = f"{place}, {'.'.join(keys) or last}"
    value = "" if error["type"] == "missing" else shown(error["input"])
    field = model.model_fields.get(str(last))
    match error["type"]:
        case "missing":
            about = field.description if field else ""
            return Fault(where, "", f"this key (required): {about}")
        case "extra_forbidden":
            return Fault(where, value, nearest(str(last), model.model_fields))
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


def nearest(key: str, known: Mapping[str, object] | tuple[str, ...]) -> str:
    """What to expect in place of an unknown key: the nearest known one, or all of them."""
    close = difflib.get_close_matches(key[:80], list(known), n=1, cutoff=0.6)
    return (
        f'a known key; the nearest is "{close[0]}"'
        if close
        else ("a known key: " + ", ".join(known))
    )


def _unknown(raw: Raw, known: tuple[str, ...], place: str) -> Iterator[Fault]:
    for key in raw:
        if key not in known:
            yield Fault(f"{place}, [{shown(key)[1:-1]}]", "", nearest(key, known))


def _across(raw: Raw, criteria: Criteria | None) -> Iterator[Fault]:
    """Faults between keys and between tables. They read the raw tables, so that they are found
    together with the faults of single keys."""
    resins, pipes = _dicts(raw.get("resin")), _dicts(raw.get("pipe"))
    names = [each.get("name") for _, each in resins]
    floor = bool(criteria and criteria.minimum_ovality.number > 0)
    for index, resin in resins:
        if "thickness_step" in resin and "thicknesses" in resin:
            place = place_of("resin", index, resin)
            yield Fault(place, "", "either thickness_step or thicknesses, not both")
    for index, pipe in pipes:
        place = place_of("pipe", index, pipe)
        if pipe.get("resin", names[0] if names else None) not in names and isinstance(
            pipe.get("resin"), str
        ):
            known = ", ".join(shown(n) for n in names if isinstance(n, str))
            yield Fault(f"{place}, resin", shown(pipe["resin"]), f"the name of a resin: {known}")
        for key in _dict(pipe.get("origin")):
            if key not in Pipe.model_fields and key not in Resin.model_fields:
                yield Fault(f"{place}, origin.{key}", "", nearest(key, Site.model_fields))
        yield from site_faults(pipe, place, floor)
        theirs = _dict(_dict(pipe.get("stated")).get("inputs"))
        if theirs:
            yield from site_faults(submitted(pipe, theirs), f"{place}, stated.inputs", floor)


def _dicts(tables: object) -> list[tuple[int, Raw]]:
    found = tables if isinstance(tables, list) else []
    return [(index, each) for index, each in enumerate(found) if isinstance(each, dict)]


def _dict(value: object) -> Raw:
    return value if isinstance(value, dict) else {}
