"""The forms of the desk, made from the table of keys: one field a key, with all that it shows."""

from __future__ import annotations

from functools import cache
from typing import Any

from linerdesign.desk.values import in_field
from linerdesign.documents.mathematics import page_symbol
from linerdesign.methods.ground.load_lines import CONCENTRATED, DISTRIBUTED, METHODS
from linerdesign.methods.origin import KNOWN_BY
from linerdesign.methods.symbols import SYMBOLS, SYSTEMS
from linerdesign.project.key import Key
from linerdesign.project.keys import keys_of
from linerdesign.project.stated import stated_symbols, step_key
from linerdesign.words.desk import GROUPS, HEADS, SENTENCES, SHORT

# The units of a menu by the unit that a kind of quantity must convert to; US units first.
UNITS = {
    "mm": ("in", "ft", "mm", "cm", "m"),
    "m": ("ft", "in", "m", "mm"),
    "MPa": ("psi", "ksi", "psf", "MPa", "kPa", "GPa"),
    "kN/m^3": ("pcf", "kN/m^3"),
    "g/cm^3": ("lb/ft^3", "g/cm^3", "kg/m^3"),
    "degC": ("degF", "degC"),
    "yr": ("yr", "h"),
    "%": ("%",),
}
# The first unit of each system, where the quantity has none of its own.
_USUAL = {"mm": ("in", "mm"), "m": ("ft", "m"), "MPa": ("psi", "MPa"), "degC": ("degF", "degC")}
# Keys that the desk shows in a table from the start.
COLUMNS = {
    "pipe": (
        *("name", "condition", "resin", "host_diameter", "ovality", "cover"),
        *("groundwater_above_invert", "soil_unit_weight", "soil_reaction_modulus", "live_load"),
        "length",
    ),
    "resin": (
        *("name", "flexural_modulus", "modulus_retention", "flexural_strength"),
        *("strength_retention", "thickness_step", "evidence"),
    ),
}
TABLES = ("project", "criteria", "resin", "pipe", "station", "stated", "limits", "defaults")
# Words that a field offers beside numbers: the methods that need no other number.
_WORDS = {
    "live load": ("none", *(each for each in METHODS if each not in (CONCENTRATED, DISTRIBUTED))),
    "no water": ("none",),
}
_SHOWN = ("choice", "truth", "text", "label", "no water", "readings", "fill", "native")


def forms(system: str) -> dict[str, Any]:
    """The fields of every table by key, as data for the page."""
    return {
        "tables": {
            table: [_field(key, table, system) for key in keys_of(table).values() if _has(key)]
            for table in TABLES
        },
        "columns": COLUMNS,
        "origins": KNOWN_BY,
        "groups": GROUPS,
        "short": SHORT,
        "steps": [_step(symbol, system) for symbol in stated_symbols()],
        "words": SENTENCES,
    }


def _has(key: Key) -> bool:
    """Whether the desk has a field for a key: a value, no table of its own."""
    return key.takes is not None or key.kind in _SHOWN


def _step(symbol: str, system: str) -> dict[str, str]:
    quantity = SYMBOLS[step_key(symbol) or ""]
    return {"symbol": symbol, "meaning": quantity.meaning, "unit": quantity.unit(system)}


def _field(key: Key, table: str, system: str) -> dict[str, Any]:
    place = SYSTEMS.index(system)
    units = list(UNITS.get(key.takes.unit, (key.takes.unit,))) if key.takes and key.measure else []
    return {
        "key": key.name,
        "symbol": f"<math><mrow>{page_symbol(key.quantity)}</mrow></math>" if key.quantity else "",
        "head": HEADS.get(key.name, key.name.replace("_", " ")),
        "help": key.help,
        "kind": key.kind,
        "group": key.group if table != "resin" else "",
        "units": units,
        "unit": _unit(key, system, units),
        "choices": ("true", "false") if key.kind == "truth" else key.choices,
        "words": _WORDS.get(key.kind, ()),
        "limits": key.takes.expected if key.takes else "",
        "default": _default(key, table),
        "example": key.examples[place] if key.examples else "",
        "required": key.required and key.tables[0] == table,
        "required_by": key.required_by,
    }


def _default(key: Key, table: str) -> str:
    own = key.tables[0] == table and key.default is not None
    return str(in_field(key.default)) if own and not isinstance(key.default, tuple | dict) else ""


@cache
def _quantity_unit(key: Key, system: str) -> str:
    return SYMBOLS[key.quantity].unit(system) if key.quantity else ""


def _unit(key: Key, system: str, units: list[str]) -> str:
    """The unit of a bare number in a field: that of the sheet, else the usual one."""
    own = _quantity_unit(key, system)
    if own in units or not units or key.takes is None:
        return own if own in units else ""
    return _USUAL.get(key.takes.unit, (units[0], units[-1]))[SYSTEMS.index(system)]
