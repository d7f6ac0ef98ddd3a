"""The mapping file of an inventory: columns and words of its own, as those of a project file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from linerdesign.project.faults import (
    Fault,
    Place,
    fault,
    located,
    shown,
    unknown_keys,
    unknown_word,
)
from linerdesign.project.keys import columns
from linerdesign.project.reading import read_bytes
from linerdesign.project.toml_text import read_tables, toml_text

MAXIMUM_BYTES = 1_000_000
_TABLES = ("columns", "values")


@dataclass(frozen=True)
class Naming:
    """What columns and words of an inventory mean.

    `columns` maps headers to headings such as `host_diameter [mm]`, or to nothing where the
    column passes through. `values` maps, by key, cells to words of that key, or to nothing where
    the cell counts as empty.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    file_name: str = ""


UNCHANGED = Naming()


def read_naming(path: Path) -> Naming:
    """The mapping file: `[columns]`, and `[values.KEY]` for each key.

    Raises:
        InputFaults: every fault of the file.
    """
    name = path.name
    text = toml_text(read_bytes(path, MAXIMUM_BYTES), name)
    return read_tables(
        text, name, lambda raw, text: _naming(name, raw, text), "[columns] or [values.KEY]"
    )


def _naming(name: str, raw: dict[str, Any], text: str) -> Naming:
    """What the tables of a mapping file say; see `read_naming`."""
    faults = list(unknown_keys(raw, _TABLES, Place(name), "table"))
    headings = _texts(raw.get("columns", {}), Place(name, "[columns]", path=("columns",)), faults)
    values: dict[str, Mapping[str, str]] = {}
    tables = raw.get("values", {})
    if not isinstance(tables, dict):
        faults.append(
            fault("not_a_table", Place(name, "[values]", path=("values",)), shown(tables))
        )
        tables = {}
    for key, words in tables.items():
        place = Place(name, f"[values.{key}]", path=("values", key))
        if key not in columns():
            faults.append(unknown_word(place, key, columns()))
        values[key] = _texts(words, place, faults)
    if faults:
        raise located(faults, text, name)
    return Naming(headings, values, name)


def _texts(raw: Any, place: Place, faults: list[Fault]) -> dict[str, str]:
    if not isinstance(raw, dict):
        faults.append(fault("not_a_table", place, shown(raw)))
        return {}
    for key, value in raw.items():
        if not isinstance(value, str):
            faults.append(fault("inventory.not_text", place.at(key), shown(value)))
    return {key: value.strip() for key, value in raw.items() if isinstance(value, str)}
