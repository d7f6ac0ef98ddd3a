"""Cells copied from a spreadsheet, read as rows of a table of the project."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.faults import InputFaults, fault, shown
from linerdesign.project.key import Key
from linerdesign.project.keys import keys_of
from linerdesign.words import sentence

MOST_CELLS, LONGEST_CELL = 50_000, 2000
_HEAD = re.compile(r"(.*?)\s*(?:[\[(]\s*([^\])]+?)\s*[\])])?\s*")


@dataclass(frozen=True)
class Pasted:
    """Rows of cells, each a key, a text and the unit of its column; `left` is what has no place."""

    rows: tuple[tuple[tuple[str, str, str], ...], ...]
    left: tuple[str, ...] = ()


def pasted(text: str, table: str, keys: Sequence[str], units: Mapping[str, str]) -> Pasted:
    """The cells under their keys: those of a header line if the text has one, else of `keys`.

    `keys` are the columns from the cursor to the right, `units` those of bare numbers.

    Raises:
        InputFaults: more cells, or longer ones, than a table takes.
    """
    lines = [
        line for line in csv.reader(io.StringIO(text, newline=""), delimiter="\t") if any(line)
    ]
    cells = [cell for line in lines for cell in line]
    if len(cells) > MOST_CELLS or any(len(cell) > LONGEST_CELL for cell in cells):
        raise InputFaults([fault("desk.paste_too_large", "", most=MOST_CELLS)])
    known = _names(table)
    heads = [_head(cell, known) for cell in lines[0]] if lines else []
    if sum(name is not None for name, _ in heads) * 2 > len(heads):
        columns, body = heads, lines[1:]
        unknown = [cell for cell, (name, _) in zip(lines[0], heads, strict=True) if not name]
        left = [sentence("desk.column_left", name=shown(each)) for each in unknown if each.strip()]
    else:
        columns, body, left = [(key, "") for key in keys], lines, []
        wide = max(map(len, lines), default=0) - len(columns)
        if wide > 0:
            left = [sentence("desk.columns_beyond", count=wide)]
    columns = [(name, unit or units.get(name or "", "")) for name, unit in columns]
    rows = tuple(
        tuple(
            (name, cell.strip(), unit)
            for cell, (name, unit) in zip(line, columns, strict=False)
            if name and cell.strip()
        )
        for line in body
    )
    return Pasted(rows, tuple(left))


def _names(table: str) -> dict[str, str]:
    """The keys of a table by every name that a column may have."""
    found: dict[str, str] = {}
    for name, key in keys_of(table).items():
        for spelled in (name, *key.also, key.help, *_symbol(key)):
            found.setdefault(_plain(spelled), name)
    return found


def _symbol(key: Key) -> tuple[str, ...]:
    return (SYMBOLS[key.quantity].symbol,) if key.quantity else ()


def _plain(text: str) -> str:
    return re.sub(r"[\s_.,'’-]+", " ", text.casefold()).strip()


def _head(cell: str, known: Mapping[str, str]) -> tuple[str | None, str]:
    """The key that a header names, and its unit; no key where it names none."""
    match = _HEAD.fullmatch(cell)
    if match and _plain(match[1]) in known:
        return known[_plain(match[1])], match[2] or ""
    return known.get(_plain(cell)), ""
