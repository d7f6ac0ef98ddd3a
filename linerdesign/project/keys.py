"""What is made from the table of keys: the keys of each table, their groups and their order.

The readers of tables, the inputs of a sheet, the owner's limits, the uncertainties of a review,
the starter project, the columns of an inventory and the user guide all start here.
"""

from __future__ import annotations

from collections.abc import Iterator

from linerdesign.methods.basis import FULLY
from linerdesign.project.key import Key
from linerdesign.project.key_table import KEYS
from linerdesign.project.measures import Kind


def keys_of(table: str) -> dict[str, Key]:
    """The keys of a table by name, in the order of the sheet."""
    return {key.name: key for key in KEYS if table in key.tables}


def group(name: str) -> tuple[str, ...]:
    """The keys of a pipe that state one thing."""
    return tuple(key.name for key in keys_of("pipe").values() if key.group == name)


def columns() -> dict[str, tuple[str, Key]]:
    """The keys that a column of an inventory may hold, each with its table.

    A name that several tables have is that of the pipe, then of the resin, then of the criteria.
    The columns that say what row it is (`name`, `resin`) are among them; texts of a resin are not.
    """
    found: dict[str, tuple[str, Key]] = {}
    for table in ("pipe", "resin", "criteria"):
        for name, key in keys_of(table).items():
            if key.as_column and (table == "pipe" or key.kind != "text"):
                found.setdefault(name, (table, key))
    return found


def kind_of(name: str) -> Kind | None:
    """What a key of a pipe, a resin, the criteria or a table in them takes, if it is one number."""
    return next((key.takes for key in KEYS if key.name == name and key.takes), None)


def key_named(name: str) -> Key | None:
    """The first row of a name."""
    return next((key for key in KEYS if key.name == name), None)


def uncertainties() -> Iterator[tuple[str, str, tuple[float, float, float, float]]]:
    """The usual uncertainties: quantity, unit, and the number by origin."""
    for key in KEYS:
        if key.uncertainty is not None and key.quantity is not None:
            yield key.quantity, *key.uncertainty


DIAMETERS, OVALITIES = group("diameter"), ("ovality", "maximum_diameter", "minimum_diameter")
COVER_DATUMS, WATER_DATUMS, PRESSURES = map(group, ("cover", "water", "pressure"))
SITE_KEYS = {name: key for name, key in keys_of("station").items() if name != "at"}
SITE_ORDER = tuple(name for name, key in SITE_KEYS.items() if key.quantity or key.group == "water")
SOIL_KEYS = tuple(name for name, key in SITE_KEYS.items() if key.required_by == FULLY)
BURIED = tuple(name for name, key in SITE_KEYS.items() if key.buried)
RESIN_KEYS = tuple(n for n, k in keys_of("resin").items() if k.quantity and n != "thickness_step")
RETENTIONS = tuple(name for name in RESIN_KEYS if name.endswith("_retention"))
CRITERIA_KEYS = tuple(
    n for n, k in keys_of("criteria").items() if k.quantity and k.unsafe is not None
)
