"""The text of a project file in parts, one a table: a change writes its own part anew.

All other parts stay as they are, byte for byte, with their comments and in their order.
"""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from linerdesign.project.faults import InputFaults, fault
from linerdesign.project.lines import LONGEST, lines_of
from linerdesign.project.toml_text import toml_tables

Path = tuple[str | int, ...]
# Roots that a file has several of; the others are there once at most.
ROWS = ("resin", "pipe")
# Tables inside a table that are written as tables of their own; others are written in braces.
_OWN_HEADER = ("stated", "steps", "inputs", "limits", "defaults", "cost")


@dataclass(frozen=True)
class Part:
    """A stretch of the text that holds one table; `root` is its name, empty above the first."""

    id: str
    root: str
    text: str

    @property
    def tables(self) -> dict[str, Any]:
        """What the part holds by itself; not to be changed."""
        return _loaded(self.text)

    @property
    def table(self) -> dict[str, Any]:
        """The table of a row; not to be changed."""
        row: dict[str, Any] = self.tables[self.root][0]
        return row


Parts = tuple[Part, ...]


@lru_cache(maxsize=8192)
def _loaded(text: str) -> dict[str, Any]:
    return tomllib.loads(text)


def parts_of(text: str, file_name: str, session: str = "") -> Parts:
    """The parts of a TOML text, which together are the text.

    Raises:
        InputFaults: a text that is no TOML, larger than a desk holds, or with tables out of order.
    """
    whole = toml_tables(text, file_name)
    if len(text) > LONGEST:
        raise InputFaults([fault("desk.too_long", file_name, most=LONGEST // 1_000_000)])
    lines = text.splitlines(keepends=True)
    starts = [(0, ""), *_starts(lines, text)]
    ends = [*(line for line, _ in starts[1:]), len(lines)]
    parts = tuple(
        Part(f"{session}{number}", root, "".join(lines[start:end]))
        for number, ((start, root), end) in enumerate(zip(starts, ends, strict=True))
    )
    try:
        same = tables_of(parts) == whole
    except (tomllib.TOMLDecodeError, TypeError, AttributeError):
        same = False
    if not same or any(isinstance(parts[0].tables.get(root), list) for root in ROWS):
        raise InputFaults([fault("desk.out_of_order", file_name)])
    return parts


def _starts(lines: Sequence[str], text: str) -> Iterator[tuple[int, str]]:
    """Where each part begins, as places in the lines, and the table that it holds.

    Comments directly above a header belong to its table.
    """
    headers = {
        line - 1: path
        for path, line in sorted(lines_of(text).items(), key=lambda each: len(each[0]))
        if lines[line - 1].lstrip().startswith("[")
    }
    root, least = "", 0
    for line, path in sorted(headers.items()):
        row = len(path) == 2 and isinstance(path[1], int)
        if path[0] == root and len(path) > 1 and not row:
            continue
        root, first = str(path[0]), line
        while first > least and lines[first - 1].lstrip().startswith("#"):
            first -= 1
        least = line + 1
        yield first, root


def text_of(parts: Parts) -> str:
    """The whole text."""
    return "".join(part.text for part in parts)


def tables_of(parts: Iterable[Part]) -> dict[str, Any]:
    """The tables of the whole text."""
    found: dict[str, Any] = {}
    for part in parts:
        for root, value in part.tables.items():
            if isinstance(value, list) and root in ROWS:
                found.setdefault(root, []).extend(value)
            elif isinstance(value, dict):
                found[root] = _joined(found.get(root, {}), value)
            else:
                found[root] = value
    return found


def _joined(first: dict[str, Any], second: dict[str, Any]) -> dict[str, Any]:
    both = first.keys() & second.keys()
    return first | second | {key: _joined(first[key], second[key]) for key in both}


def rows_of(parts: Parts, root: str) -> list[Part]:
    """The parts that hold the rows of a table, in their order."""
    return [part for part in parts if part.root == root]


def written(part: Part, path: Path, value: Any) -> Part:
    """The part with another value at the path inside its table; none takes the key out.

    Raises:
        InputFaults: where the text can't hold it.
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    bare = part.text.rstrip()
    core, tail = f"{bare}\n", part.text[len(bare) :] or "\n"
    expected = copy.deepcopy(_loaded(core))
    try:
        _put(_inside(expected, part.root), path, value, _plain)
        document = tomlkit.parse(core)
        _put(_inside(document, part.root), path, value, _kept)
        text = tomlkit.dumps(document).rstrip() + tail
        same = _loaded(text) == expected
    except (TOMLKitError, tomllib.TOMLDecodeError, LookupError, TypeError, ValueError):
        same = False
    if not same:
        place = ".".join(map(str, path))
        raise InputFaults([fault("desk.not_written", place)])
    return replace(part, text=text)


def _inside(document: Any, root: str) -> Any:
    """The table of a part; that of the first header of its kind where it stands alone."""
    table = document.setdefault(root, {})
    return table[0] if isinstance(table, list) else table


def _put(
    table: Any, path: Path, value: Any, made: Callable[[Any, str | int, str | int], Any]
) -> None:
    """Puts the value at the path, or takes its key out; `made` makes the tables on the way."""
    *way, last = path
    parents = []
    for step, after in zip(way, path[1:], strict=True):
        parents.append((table, step))
        if _is_missing(table, step):
            if isinstance(step, int):
                table.append(made(table, step, after))
            else:
                table[step] = made(table, step, after)
        table = table[step]
    if value is not None:
        table[last] = value
    elif not _is_missing(table, last):
        del table[last]
    for parent, step in reversed(parents):
        if not parent[step]:
            del parent[step]


def _plain(table: Any, step: str | int, after: str | int) -> Any:
    """A list or a table, as a text is read."""
    return [] if isinstance(after, int) else {}


def _kept(table: Any, step: str | int, after: str | int) -> Any:
    """A list of tables, a table with a header of its own, or one in braces, as a text is kept."""
    import tomlkit
    from tomlkit.items import InlineTable

    if isinstance(after, int):
        return tomlkit.aot()
    own = isinstance(step, int) or (step in _OWN_HEADER and not isinstance(table, InlineTable))
    return tomlkit.table() if own else tomlkit.inline_table()


def _is_missing(table: Any, step: str | int) -> bool:
    if isinstance(step, int):
        if not 0 <= step <= len(table):
            raise IndexError(step)
        return step == len(table)
    return step not in table


def with_row(parts: Parts, part: Part, after: str | None = None) -> Parts:
    """The parts with one more row: behind another, or behind the last of its kind."""
    ids = [each.id for each in parts]
    places = [i for i, each in enumerate(parts) if each.root == part.root]
    place = ids.index(after) if after in ids else (places[-1] if places else len(parts) - 1)
    before = list(parts[: place + 1])
    if text_of(tuple(before)):
        before[-1] = replace(before[-1], text=before[-1].text.rstrip("\n") + "\n\n")
    return (*before, part, *parts[place + 1 :])


def reordered(parts: Parts, root: str, order: Sequence[str]) -> Parts:
    """The rows of a table in another order, in the places that they have together."""
    by_id = {part.id: part for part in rows_of(parts, root)}
    rows = iter([by_id[each] for each in order])
    moved = (next(rows) if part.root == root else part for part in parts)
    return tuple(
        each
        if each.text.endswith("\n") or not each.text
        else replace(each, text=each.text + "\n\n")
        for each in moved
    )
