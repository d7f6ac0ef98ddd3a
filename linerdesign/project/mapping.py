"""A project from a mapping of tables and keys, as a program has it."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from linerdesign.project.faults import Fault, InputFaults, fault, shown
from linerdesign.project.models import OwnerFile, Project
from linerdesign.project.reading import of_tables, with_owner


def of_mapping(
    tables: Mapping[str, Any],
    needs_pipes: bool = True,
    criteria: Path | None = None,
    apart: bool = False,
) -> Project:
    """The project in these tables, and in a file of the owner's criteria.

    Its fingerprint is the SHA-256 of the tables as JSON.

    Raises:
        InputFaults: every fault of the tables, or every value that no project file can hold.
    """
    return with_owner(criteria, lambda owner: _of_tables(tables, needs_pipes, owner, apart))


def _of_tables(
    tables: Mapping[str, Any], needs_pipes: bool, owner: OwnerFile | None, apart: bool
) -> Project:
    faults: list[Fault] = []
    try:
        raw = _plain(tables, "tables", faults)
        text = "" if faults else json.dumps(raw, default=str)
    except RecursionError:
        faults = [fault("too_deep", "tables")]
    if faults:
        raise InputFaults(faults)
    fingerprint = hashlib.sha256(text.encode()).hexdigest()
    return of_tables(raw, fingerprint, needs_pipes=needs_pipes, owner=owner, apart=apart)


def _plain(value: Any, place: str, faults: list[Fault]) -> Any:
    """Tables, lists, texts, numbers and dates as in a TOML file; anything else is a fault."""
    if isinstance(value, Mapping):
        for key in value:
            if not isinstance(key, str):
                faults.append(fault("key_type", place, shown(key)))
        return {key: _plain(each, f"{place}, {key}", faults) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each, f"{place}, {i + 1}", faults) for i, each in enumerate(value)]
    if not isinstance(value, str | int | float | datetime.date):
        faults.append(fault("value_type", place, shown(value)))
    return value
