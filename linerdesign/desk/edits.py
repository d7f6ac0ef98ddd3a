"""What can be done to the tables of a project: each edit makes new parts of the old ones."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from linerdesign.desk.parts import (
    ROWS,
    Part,
    Parts,
    Path,
    reordered,
    rows_of,
    with_row,
    written,
)
from linerdesign.desk.pasting import Pasted, pasted
from linerdesign.desk.values import typed
from linerdesign.project.faults import InputFaults, Refused, fault
from linerdesign.project.key import Key
from linerdesign.project.keys import keys_of
from linerdesign.project.measures import parse

Edit = Mapping[str, Any]
MOST_ROWS = 1000
_ID = re.compile(r"[A-Za-z0-9-]{1,64}")
# What a copy of a row does not take over: its name must differ, and nobody has decided the rest.
_NOT_COPIED = ("condition", "stated", "sample")


def applied(parts: Parts, edits: Sequence[Edit]) -> tuple[Parts, tuple[str, ...]]:
    """The parts after the edits, and what of a paste found no place.

    Raises:
        InputFaults: a row that is not there, a key that no table has, a value no text can hold.
    """
    left: list[str] = []
    for edit in edits:
        match edit["do"]:
            case "set":
                parts = _set(parts, edit)
            case "add":
                parts = with_row(parts, _new(parts, edit), edit.get("after"))
            case "copy":
                parts = _copied(parts, edit)
            case "remove":
                row = _row(parts, edit["row"])
                parts = tuple(part for part in parts if part is not row)
            case "sort":
                parts = _sorted(parts, edit)
            case "fill":
                parts = _filled(parts, edit)
            case "paste":
                parts, more = _pasted(parts, edit)
                left += more
    return parts, tuple(left)


def _row(parts: Parts, row: str) -> Part:
    """The part of a row, or of a table there is one of."""
    found = next((p for p in parts if row in (p.id, p.root) and p.root), None)
    if found is None or (row == found.root and row in ROWS):
        raise InputFaults([fault("desk.no_row", str(row))])
    return found


def key_at(root: str, path: Path) -> Key | None:
    """The key of the table of keys at a path; none for a text by the name of a key."""
    table = {"inputs": "inputs", "stated": "stated", "station": "station"}
    table |= {"limits": "limits", "defaults": "defaults", "cost": "cost"}
    of = root
    for step in path[:-1]:
        if isinstance(step, str):
            of = table.get(step, "")
    return keys_of(of).get(str(path[-1])) if of else None


def _known(root: str, path: Path) -> bool:
    """Whether a file may have anything at a path."""
    return path[0] in keys_of(root) if root in ROWS or keys_of(root) else False


def _set(parts: Parts, edit: Edit) -> Parts:
    path, row = tuple(edit["path"]), edit["row"]
    if row in ("project", "criteria", "submittal") and all(p.root != row for p in parts):
        parts = _with_table(parts, row)
    part = _row(parts, row)
    if not _known(part.root, path):
        raise InputFaults([fault("desk.no_key", ".".join(map(str, path)))])
    if isinstance(_at(part, path), dict | list) and _at(part, (*path, "value")) is not None:
        path = (*path, "value")  # a step with its place in the submittal
    value = typed(key_at(part.root, path), str(edit["text"]), str(edit.get("unit", "")))
    return _replaced(parts, written(part, path, value))


def _at(part: Part, path: Path) -> Any:
    """What the part holds at a path; none where it holds nothing."""
    value: Any = part.table if part.root in ROWS else part.tables.get(part.root, {})
    for step in path:
        try:
            value = value[step]
        except (LookupError, TypeError):
            return None
    return value


def _replaced(parts: Parts, part: Part) -> Parts:
    return tuple(part if each.id == part.id else each for each in parts)


def _with_table(parts: Parts, root: str) -> Parts:
    """The parts with an empty table of this name, behind that of the project."""
    places = [i for i, part in enumerate(parts) if part.root == "project"]
    return with_row(parts, Part(root, root, f"[{root}]\n\n"), parts[places[0] if places else 0].id)


def _new(parts: Parts, edit: Edit) -> Part:
    root, row = edit["table"], edit["id"]
    taken = {part.id for part in parts}
    if root not in ROWS or not _ID.fullmatch(row) or row in taken:
        raise InputFaults([fault("desk.no_row", str(row))])
    if len(rows_of(parts, root)) >= MOST_ROWS:
        raise InputFaults([fault("desk.too_many_rows", root, most=MOST_ROWS)])
    part = Part(row, root, f"[[{root}]]\n\n")
    values = {"name": _free_name(parts, root)} | dict(edit.get("values", {}))
    for name, text in values.items():
        part = written(part, (name,), typed(keys_of(root).get(name), text))
    return part


def _free_name(parts: Parts, root: str) -> str:
    names = {part.table.get("name") for part in rows_of(parts, root)}
    return next(n for i in range(1, MOST_ROWS + 2) if (n := f"{root.title()} {i}") not in names)


def _copied(parts: Parts, edit: Edit) -> Parts:
    source = _row(parts, edit["row"])
    part = _new(parts, {"table": source.root, "id": edit["id"]})
    name = part.table["name"]
    core = re.sub(r"\A(?:\s*#[^\n]*\n|\s*\n)*", "", source.text.rstrip() + "\n\n")
    part = written(replace(part, text=core), ("name",), name)
    for key in _NOT_COPIED:
        if key in part.table:
            part = written(part, (key,), None)
    return with_row(parts, part, source.id)


def _filled(parts: Parts, edit: Edit) -> Parts:
    """The first row's value in the others, as the file has it, and its source."""
    path = tuple(edit["path"])
    first, *others = (_row(parts, row) for row in edit["rows"])
    for part in others:
        if part.root == first.root:
            changed = written(part, path, _at(first, path))
            way = ("origin", path[-1])
            if first.root == "pipe" and _at(first, way) != _at(part, way):
                changed = written(changed, way, _at(first, way))
            parts = _replaced(parts, changed)
    return parts


def _sorted(parts: Parts, edit: Edit) -> Parts:
    rows = rows_of(parts, edit["table"])
    key = keys_of(edit["table"]).get(edit["key"])
    down = bool(edit.get("down"))

    def size(part: Part) -> tuple[Any, ...]:
        value = part.table.get(edit["key"])
        return () if value is None else _size(value, key)

    given = [part for part in rows if size(part)]
    missing = [part for part in rows if not size(part)]
    order = [*sorted(given, key=size, reverse=down), *missing]
    return reordered(parts, edit["table"], [part.id for part in order])


def _size(value: Any, key: Key | None) -> tuple[Any, ...]:
    """What a value is sorted by: its size, or its words with the numbers in them as numbers."""
    if key is not None and key.measure and key.takes is not None:
        try:
            return (0, parse(value, key.measure).to(key.takes.unit), ())
        except Refused:
            pass
    if isinstance(value, int | float) and not isinstance(value, bool):
        return (0, float(value), ())
    words = re.split(r"(\d+)", str(value).casefold())
    return (1, math.inf, tuple((int(w), "") if w.isdigit() else (-1, w) for w in words))


def _pasted(parts: Parts, edit: Edit) -> tuple[Parts, tuple[str, ...]]:
    """The cells of a spreadsheet put in: below a header by its names, else from the cursor on."""
    root, ids = edit["table"], [part.id for part in rows_of(parts, edit["table"])]
    found: Pasted = pasted(edit["text"], root, list(edit["keys"]), dict(edit.get("units", {})))
    start = ids.index(edit["row"]) if edit.get("row") in ids else len(ids)
    for place, cells in enumerate(found.rows):
        if start + place < len(ids):
            row = ids[start + place]
        else:
            row = f"{edit['id']}-{place}"
            parts = with_row(parts, _new(parts, {"table": root, "id": row}))
            ids.append(row)
        part = _row(parts, row)
        for name, text, unit in cells:
            if value := typed(keys_of(root)[name], text, unit):
                part = written(part, (name,), value)
        parts = _replaced(parts, part)
    return parts, found.left
