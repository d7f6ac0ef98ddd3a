"""Reads a project file into tables, or into the list of every fault in it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from linerdesign.project.beside import read_beside
from linerdesign.project.checking import between_the_values
from linerdesign.project.consistency import default_faults, site_faults
from linerdesign.project.contradictions import (
    DEFAULTS,
    without_tensile,
)
from linerdesign.project.distributions import UNCERTAINTY, of_project, stated_twice
from linerdesign.project.faults import (
    LISTED,
    Fault,
    Faults,
    InputFaults,
    Place,
    fault,
    listed,
    located,
    shown,
    shown_key,
    unknown_keys,
)
from linerdesign.project.fields import HEADINGS, Table, read_table
from linerdesign.project.fields import validated as validated
from linerdesign.project.floors import looser
from linerdesign.project.keys import SITE_KEYS
from linerdesign.project.layers import (
    merged,
    stations_of,
    submitted,
    tables_in,
    with_defaults,
)
from linerdesign.project.left_out import less_given, less_misspelt
from linerdesign.project.models import (
    Criteria,
    FaultyPipe,
    OwnerFile,
    Pipe,
    ProjectInfo,
    Resin,
    Submittal,
)
from linerdesign.project.models import Project as Project
from linerdesign.project.requests import (
    Acceptance,
    Capacity,
    Order,
    second_faults,
)
from linerdesign.project.toml_text import read_tables, toml_text

LARGEST_FILE = 20_000_000
LARGEST_CRITERIA = 1_000_000
MOST_PIPES = 20_000
# Faults of values that a pipe does not have, and cannot do without.
REQUESTED: dict[str, type[Table]] = {
    "capacity": Capacity,
    "order": Order,
    "acceptance": Acceptance,
    "submittal": Submittal,
}

if TYPE_CHECKING:
    from linerdesign.project.pipe_table import PipeTable
    from linerdesign.project.verification import Record

Raw = dict[str, Any]
Model = TypeVar("Model", bound=Table)
Read = TypeVar("Read")


def read(
    path: Path,
    needs_pipes: bool = True,
    criteria: Path | None = None,
    apart: bool = False,
    new_record: bool = False,
) -> Project:
    """The project in a TOML file; one of criteria and resins alone where no pipes are needed.

    `criteria` is a file of the owner's criteria, in place of the one that the project names.
    With `apart`, a pipe with faults of its own is set apart from those without, if there are any.
    With `new_record`, the verification record that the project names may be still to be written.

    Raises:
        InputFaults: every fault of the files, each with its table, name, key and line.
    """
    folder, name = path.parent, path.name
    return with_owner(
        criteria,
        lambda owner: parse(
            read_bytes(path, LARGEST_FILE), name, needs_pipes, owner, folder, apart, new_record
        ),
    )


def with_owner(criteria: Path | None, read: Callable[[OwnerFile | None], Project]) -> Project:
    """The project that is read with the owner's file, if there is one.

    Raises:
        InputFaults: every fault of both files; what is left is the project.
    """
    faults, owner = Faults(), None
    if criteria is not None:
        owner = faults.of(read_owner, criteria) or OwnerFile.unread(criteria)
    project = faults.of(read, owner)
    if faults or project is None:
        raise InputFaults(faults, lambda: project)
    return project


def read_owner(path: Path) -> OwnerFile:
    """The owner's criteria in a TOML file that holds a [criteria] table and nothing else.

    Raises:
        InputFaults: every fault of the file; what could be read is left.
    """
    data = read_bytes(path, LARGEST_CRITERIA, regular=True)
    text = toml_text(data, path.name)
    return read_tables(
        text, path.name, lambda raw, text: _owner(path, data, raw, text), "[criteria]"
    )


def _owner(path: Path, data: bytes, raw: Raw, text: str) -> OwnerFile:
    """The criteria in the tables of an owner's file; see `read_owner`."""
    faults = list(unknown_keys(raw, ("criteria",), Place(path.name), "table"))
    place = Place(path.name, HEADINGS["criteria"], path=("criteria",))
    found = read_table(Criteria, raw.get("criteria", {}), place, faults)
    faults.extend(second_faults(found))
    if "criteria" not in raw:
        faults.append(fault("missing_table", Place(path.name), table=HEADINGS["criteria"]))
    given, digest = raw.get("criteria"), hashlib.sha256(data).hexdigest()
    known = isinstance(given, dict)
    owner = OwnerFile(_dict(given), found, path.name, digest, path.parent, text, known)
    if faults:
        raise InputFaults(located(faults, text, path.name).faults, lambda: owner)
    return owner


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
    apart: bool = False,
    new_record: bool = False,
) -> Project:
    """The project in the bytes of a TOML file; see `read`.

    `folder` is where the owner's file is looked for that the project names.

    Raises:
        InputFaults: every fault of the file.
    """
    text = toml_text(data, file_name)
    fingerprint = hashlib.sha256(data).hexdigest()
    return read_tables(
        text,
        file_name,
        lambda raw, text: of_tables(
            raw, fingerprint, file_name, needs_pipes, owner, folder, text, apart, new_record
        ),
    )


def of_tables(
    raw: Raw,
    fingerprint: str,
    file_name: str = "",
    needs_pipes: bool = True,
    owner: OwnerFile | None = None,
    folder: Path | None = None,
    text: str = "",
    apart: bool = False,
    new_record: bool = False,
) -> Project:
    """The project in the tables of a file, which `fingerprint` identifies; see `parse`.

    Raises:
        InputFaults: every fault of the tables.
    """
    known = (*HEADINGS, *REQUESTED, "pipes", UNCERTAINTY)
    faults = list(unknown_keys(raw, known, Place(), "table"))
    owner = owner or _owner_of_project(raw, folder, faults)
    table = _pipes_of_table(raw, folder, faults)
    needs_pipes = needs_pipes and ("pipes" not in raw or table is not None)
    raw = _one_raw(raw, table)
    places = {model.of: _places(model.of, raw.get(model.of), table) for model in (Resin, Pipe)}
    info, criteria = _one(ProjectInfo, raw, faults), _criteria(raw, owner, faults)
    resins = tuple(_many(Resin, raw, places, faults))
    pipes = tuple(_many(Pipe, raw, places, faults) if needs_pipes or "pipe" in raw else ())
    record = _record(info, criteria, owner, folder, faults, new_record)
    asked: Raw = {name: _one(of, raw, faults) for name, of in REQUESTED.items() if name in raw}
    asked[UNCERTAINTY] = of_project(raw.get(UNCERTAINTY, {}), faults)
    faults.extend(_across(raw, places, criteria, _default_keys(raw, owner)))
    project = Project(
        *(info, criteria, resins, pipes, fingerprint, file_name),
        *((owner.file_name, owner.fingerprint) if owner else ("", "")),
        text=text,
        content=_content(raw, info, owner, record, table),
        record=record,
        pipe_file=table.file if table else None,
        as_read=pipes,
        owner_text=owner.text if owner else "",
        **asked,
    )
    faults.extend(between_the_values(project, folder))
    told = less_misspelt(faults if owner is None or owner.known else less_given(faults))
    return _without_faulty(project, raw, told, apart)


def _without_faulty(project: Project, raw: Raw, faults: list[Fault], apart: bool) -> Project:
    """The project without the pipes that the faults are of.

    Raises:
        InputFaults: all of them, where pipes are not kept apart, a fault is of the project as a
            whole, or no pipe is without any.
    """
    if not faults:
        return replace(project, faulty=() if apart else None)
    from linerdesign.project.designing import beside_other_faults, left_of

    found = project.located((*faults, *beside_other_faults(project)))
    faulty, of_whole = _faulty(raw, found)
    sound = tuple(pipe for pipe in project.pipes if pipe.number not in faulty)
    if apart and sound and not of_whole:
        return replace(project, pipes=sound, faulty=tuple(faulty.values()))
    rest = replace(project, pipes=sound)
    raise InputFaults(found.faults, lambda: left_of(rest, found.faults))


def _record(
    info: ProjectInfo,
    criteria: Criteria,
    owner: OwnerFile | None,
    folder: Path | None,
    faults: list[Fault],
    new_record: bool,
) -> Record | None:
    """The verification record that the project names, or else its criteria or the owner's.

    None where none is named, or where the one named is still to be written.
    """
    named = (
        (info.verification, "[project]", folder),
        (criteria.verification, HEADINGS["criteria"], owner.folder if owner else folder),
    )
    for name, table, beside in named:
        if not name:
            continue
        if new_record and not Path(beside or "", name).exists():
            return None
        place = Place(table=table, path=(table.strip("[]"),)).at("verification")
        from linerdesign.project.verification import read_record

        return read_beside(read_record, name, place, beside, faults)
    return None


def _content(
    raw: Raw,
    info: ProjectInfo,
    owner: OwnerFile | None,
    record: Record | None,
    table: PipeTable | None,
) -> Raw:
    """What the numbers depend on: the tables of all files, without the texts of the title block."""
    return {
        "project": {**raw, "project": {"units": info.units}},
        "criteria": owner and owner.raw,
        "record": record and record.file.sha256,
        **({"pipes": table.file.sha256} if table else {}),
    }


def _pipes_of_table(raw: Raw, folder: Path | None, faults: list[Fault]) -> PipeTable | None:
    """The pipes in the file that a project names, if it names one that can be read."""
    if "pipes" not in raw:
        return None
    named, place = raw["pipes"], Place().at("pipes")
    if not isinstance(named, str):
        faults.append(fault("no_words", place, shown(named), example='pipes = "street.xlsx"'))
        return None
    from linerdesign.project.pipe_table import read_pipes

    return read_beside(read_pipes, named, place, folder, faults)


def _one_raw(raw: Raw, table: PipeTable | None) -> Raw:
    """The tables of a project without the names of other files, the pipes of a table among them."""
    named = {"pipes", *(["criteria"] if isinstance(raw.get("criteria"), str) else [])}
    own = {key: each for key, each in raw.items() if key not in named}
    return own | ({"pipe": [*_list(raw.get("pipe")), *table.tables]} if table else {})


def _faulty(raw: Raw, found: InputFaults) -> tuple[dict[int, FaultyPipe], bool]:
    """The pipes that the faults are of, by number, and whether some are of the whole project."""
    tables, by_pipe = _list(raw.get("pipe")), dict[int, list[Fault]]()
    of_whole = False
    for each in found.faults:
        path = each.place.path if isinstance(each.place, Place) else ()
        if path[:1] == ("pipe",) and len(path) > 1 and each.code != "faults.duplicate":
            by_pipe.setdefault(int(path[1]), []).append(each)
        else:
            of_whole = True
    faulty = {i + 1: FaultyPipe.of_table(i + 1, tables[i], own) for i, own in by_pipe.items()}
    return faulty, of_whole


def _named_file(raw: Raw) -> tuple[str, Place] | None:
    """The owner's file that a project names, at the top or under [project], and where."""
    info = _dict(raw.get("project"))
    for table, place in ((raw, Place()), (info, Place(table="[project]", path=("project",)))):
        if isinstance(table.get("criteria"), str):
            return table["criteria"], place.at("criteria")
    return None


def _owner_of_project(raw: Raw, folder: Path | None, faults: list[Fault]) -> OwnerFile | None:
    """The owner's file, where a project names one."""
    file = _named_file(raw)
    if file is None:
        return None
    named, place = file
    if folder is None:
        faults.append(fault("no_folder_for_owner", place, shown(named)))
        return OwnerFile.unread(Path(named))
    found = read_beside(read_owner, named, place, folder, faults)
    return found or OwnerFile.unread(Path(named))


def _criteria(raw: Raw, owner: OwnerFile | None, faults: list[Fault]) -> Criteria:
    """The project's criteria over the owner's, key for key; of two limits the stricter holds."""
    own = _one(Criteria, {"criteria": raw.get("criteria", {})}, faults)
    faults.extend(second_faults(own))
    if owner is None:
        return own
    table = _dict(raw.get("criteria"))
    together = owner.raw | table
    for part in ("defaults", "limits"):
        together[part] = _merged_part(owner.raw, table, part)
    for key in looser(own.limits.given, owner.criteria.limits):
        together["limits"][key] = owner.raw["limits"][key]
    both = read_table(Criteria, together, own.place, [])
    return own.under(owner.criteria, owner.file_name, both)


def _merged_part(owners: Raw, own: Raw, part: str) -> Raw:
    """The owner's defaults or limits with the project's over them, datum for datum."""
    parts = [_dict(each.get(part)) for each in (owners, own)]
    return merged(*parts) | {k: v for each in parts for k, v in each.items() if k not in SITE_KEYS}


def _default_keys(raw: Raw, owner: OwnerFile | None) -> Raw:
    """What the criteria give for pipes without it, whether it can be read or not."""
    return _merged_part(owner.raw if owner else {}, _dict(raw.get("criteria")), "defaults")


def _one(model: type[Model], raw: Raw, faults: list[Fault]) -> Model:
    heading = f"[{model.of}]"
    if model.of not in raw:
        faults.append(fault("missing_table", "", table=heading))
        return model()
    return read_table(model, raw[model.of], Place(table=heading, path=(model.of,)), faults)


def _many(
    model: type[Model], raw: Raw, places: Mapping[str, list[Place]], faults: list[Fault]
) -> list[Model]:
    tables = raw.get(model.of)
    heading = HEADINGS[model.of]
    if not isinstance(tables, list) or not tables:
        faults.append(fault("missing_table", "", table=heading))
        return []
    if len(tables) > MOST_PIPES:
        place = Place(table=heading, path=(model.of,))
        raise InputFaults([fault("too_many", place, count=len(tables), most=MOST_PIPES)])
    found = [
        read_table(model, each, place, faults)
        for each, place in zip(tables, places[model.of], strict=True)
    ]
    faults.extend(same_names(model.of, tables, places[model.of]))
    return found


def same_names(table: str, tables: list[Any], places: Sequence[Place] = ()) -> Iterator[Fault]:
    """Each name that more than one table of a kind has, at the second of them.

    `places` are those of the tables, of which some may be rows of another file.
    """
    for name, numbers in _same_name(tables).items():
        which = ", ".join(map(str, numbers[:LISTED])) + (" ..." if len(numbers) > LISTED else "")
        place = Place(path=(table, numbers[1] - 1, "name"))
        if places and (row := places[numbers[1] - 1]).file:
            place = replace(row, path=place.path)
        yield fault("duplicate", place, what=table, name=shown(name), numbers=which)


def _same_name(tables: list[Any]) -> dict[str, list[int]]:
    """Names that more than one table has, with the numbers of those tables."""
    found: dict[str, list[int]] = {}
    for index, each in enumerate(tables):
        if _has_name(each):
            found.setdefault(each["name"], []).append(index + 1)
    return {name: numbers for name, numbers in found.items() if len(numbers) > 1}


def _has_name(table: object) -> bool:
    return isinstance(table, dict) and isinstance(table.get("name"), str)


def _places(kind: str, tables: object, table: PipeTable | None) -> list[Place]:
    """The place of each of several tables: by its name, by its number where it has none, and by
    both where another one has the same name; by its row where it is one of a table of pipes."""
    every = _list(tables)
    repeated = _same_name(every)
    of_file = table.places if table and kind == "pipe" else ()
    own = len(every) - len(of_file)
    places = []
    for index, each in enumerate(every[:own]):
        name = each["name"] if _has_name(each) else None
        number = index + 1 if name is None or name in repeated else 0
        places.append(Place("", HEADINGS[kind], name, number, path=(kind, index)))
    rows = (replace(each, path=(kind, index)) for index, each in enumerate(of_file, own))
    return [*places, *rows]


def _across(
    raw: Raw, places: Mapping[str, list[Place]], criteria: Criteria, defaults: Raw
) -> Iterator[Fault]:
    """Faults between keys and between tables. They read the raw tables, so that they are found
    together with the faults of single keys."""
    resins, pipes = tables_in(raw.get("resin")), tables_in(raw.get("pipe"))
    by_name = {each.get("name"): each for _, each in reversed(resins) if _has_name(each)}
    first = resins[0][1].get("name") if resins else None
    floor = criteria.minimum_ovality.number > 0
    doubled, defaults = default_faults(defaults, DEFAULTS)
    yield from doubled
    for index, resin in resins:
        both = ("thickness_step", "thicknesses")
        if all(key in resin for key in both):
            yield fault("several_of", places["resin"][index], keys=" and ".join(both))
        if {"tube_price", "tube"} <= _dict(resin.get("cost")).keys():
            place = places["resin"][index].inside("cost")
            yield fault("several_of", place, keys="tube_price and tube")
    for index, pipe in pipes:
        place = places["pipe"][index]
        yield from stated_twice(pipe, place)
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


def _list(value: object) -> list[Any]:
    return value if isinstance(value, list) else []
