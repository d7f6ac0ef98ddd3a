"""Headers of tables: which column holds what, and the column that a cell is under."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from linerdesign.tasks.transcribe.document import Cell, Line
from linerdesign.tasks.transcribe.meaning import meaning
from linerdesign.tasks.transcribe.names import heading, names_in
from linerdesign.tasks.transcribe.numbers import Number, unit_alone
from linerdesign.tasks.transcribe.sentences import conditions, equivalents
from linerdesign.tasks.transcribe.tokens import Token, tokens

# Words over a column that holds no quantity, by what it holds.
ROLES = {
    "pipe": "pipe, pipe id, pipe no, pipe run, pipe segment, pipe section, pipe name, segment, "
    "run, line, line no, line id, reach, location, sewer, manholes, mh to mh, manhole to manhole, "
    "name, id, asset, asset id, sewer run, segment id, no, section, item no, culvert, lateral",
    "from": "from, from mh, from manhole, upstream, upstream mh, upstream manhole, us mh, u/s mh, "
    "start, start mh, u/s, up mh",
    "to": "to, to mh, to manhole, downstream, downstream mh, downstream manhole, ds mh, d/s mh, "
    "end, end mh, stop, d/s, down mh",
    "station": "station, sta, chainage, stationing, at station",
    "unit": "unit, units",
    "value": "value, values, input, input value, result, design value, used, data",
    "label": "description, parameter, item, quantity, property, variable, symbol, sym, input data, "
    "equation, eq, check, calculation, design parameter, criterion, step, design check, "
    "limit state",
    "note": "reference, ref, source, remark, remarks, note, notes, comment, comments, formula, "
    "expression, basis, clause, status, ok",
}
_ROLE_OF = {word.strip(): role for role, words in ROLES.items() for word in words.split(",")}
MOST_HEADER_LINES = 3
# What parts the unit at the end of a label from it.
_BEFORE_UNIT = re.compile(r"[,\s/]+(?=\S.{0,20}\Z)")


@dataclass(frozen=True)
class Column:
    """One column: where it is, what it holds, and the label, unit and pipe over it.

    `role` is one of `ROLES`, `key` for a quantity, `name` for the values of one pipe, or empty.
    `text` is the header as printed, `at` its place.
    """

    left: float
    right: float
    role: str
    label: tuple[Token, ...] = ()
    unit: str | None = None
    name: str = ""
    text: str = ""
    at: str = ""


def label_of(text: str, comma: str = "") -> tuple[tuple[Token, ...], str | None]:
    """Tokens of a label without its unit, and the unit."""
    found = tokens(text, comma)
    inside = {token.value for token in found if token.sort == "unit"}
    if inside:
        unit = inside.pop() if len(inside) == 1 else None
        return tuple(t for t in found if t.sort != "unit"), unit
    for match in _BEFORE_UNIT.finditer(text):
        if unit := unit_alone(text[match.end() :]):
            return tokens(text[: match.start()], comma), unit
    return found, None


def single_value(text: str, comma: str = "") -> tuple[Token, ...]:
    """The number of a cell that holds one value and no more; in two units, both."""
    found = tokens(text, comma)
    numbers = [token for token in found if token.sort == "number"]
    if not numbers or any(t.sort not in ("number", "mark", "unit", "neutral") for t in found):
        return ()
    if names_in_cell(text) or re.search(r"[*/^×√+]|\d\s*[-–]\s*\d", without(numbers, text)):
        return ()
    groups = equivalents(text, numbers)
    return tuple(groups[0]) if len(groups) == 1 else ()


def names_in_cell(text: str) -> bool:
    """Whether a cell names a pipe."""
    return next(names_in(text), None) is not None


def without(numbers: Sequence[Token], text: str) -> str:
    """The text with each of these numbers replaced by a blank."""
    for token in reversed(numbers):
        text = f"{text[: token.start]} {text[token.end :]}"
    return text


def column_of(cell: Cell, comma: str = "") -> Column:
    """What a cell of a header says of its column."""
    text = " ".join(cell.text.split())
    plain = re.sub(r"[.:#()\[\]]", " ", text.lower())
    role = _ROLE_OF.get(" ".join(plain.split()), "")
    made = Column(cell.left, cell.right, role, text=text, at=cell.at)
    if role:
        return made
    if name := heading(text):
        return replace(made, role="name", name=name)
    label, unit = label_of(text, comma)
    made = replace(made, label=label, unit=unit)
    if any(token.sort in ("number", "named") for token in label) or not label:
        return made
    what = meaning(label)
    known = what.key is not None or what.doubts in (
        ("transcribe.no_datum",),
        ("transcribe.no_key",),
    )
    equation = any(token.sort == "equation" for token in label)
    words = sum(token.sort == "word" for token in label)
    if (known and words < 3) or equation:
        return replace(made, role="key")
    return replace(made, role="condition") if "condition" in plain else made


def header(lines: Sequence[Line], comma: str = "") -> tuple[tuple[Column, ...], int] | None:
    """The columns that the first lines are the header of, and how many lines it takes."""
    best: tuple[int, tuple[Column, ...], int] | None = None
    for count in range(1, MOST_HEADER_LINES + 1):
        if count > len(lines) or not _part_of_header(lines[count - 1], comma):
            break
        columns = _columns(lines[:count], comma)
        score = _score(columns) if _known(columns) else 0
        if score and (best is None or score > best[0]):
            best = score, columns, count
    return (best[1], best[2]) if best else None


def _score(columns: Sequence[Column]) -> int:
    """How much of a header is understood: columns, keys without a gap, units."""
    keys = [c for c in columns if c.role == "key" and meaning(c.label).key is not None]
    return _known(columns) + len(keys) + sum(bool(column.unit) for column in columns)


def _part_of_header(line: Line, comma: str) -> bool:
    alone = len(line.cells) == 1
    first = line.cells[0].text
    if alone and (heading(first) or first.rstrip().endswith((":", ".")) or len(first) > 30):
        return False
    return _texts_only(line, comma)


def _texts_only(line: Line, comma: str) -> bool:
    return all(
        not single_value(cell.text, comma)
        and "=" not in cell.text
        and len(cell.text) < 80
        and not any(True for _ in conditions(cell.text))
        for cell in line.cells
    )


def _columns(lines: Sequence[Line], comma: str) -> tuple[Column, ...]:
    """The cells of several lines, those over each other joined."""
    stacks: list[list[Cell]] = [[cell] for cell in lines[0].cells]
    for line in lines[1:]:
        for cell in line.cells:
            over = max(stacks, key=lambda stack: _overlap(_hull(stack), cell))
            if _overlap(_hull(over), cell) > 0:
                over.append(cell)
            else:
                stacks.append([cell])
    stacks.sort(key=lambda stack: _hull(stack).left)
    return tuple(column_of(_hull(stack), comma) for stack in stacks)


def _hull(stack: Sequence[Cell]) -> Cell:
    text = " ".join(cell.text for cell in stack)
    left, right = min(cell.left for cell in stack), max(cell.right for cell in stack)
    return Cell(text, stack[0].at, left, right)


def _overlap(one: Cell | Column, other: Cell) -> float:
    return min(one.right, other.right) - max(one.left, other.left)


def _known(columns: Sequence[Column]) -> int:
    """How many columns are understood, where that makes a header; else 0."""
    if len(columns) < 2:
        return 0
    roles = [column.role for column in columns]
    known = sum(role != "" for role in roles)
    names = roles.count("name")
    if names and len(columns) == 2 and roles[0] in ("pipe", "key"):
        return 0
    if names >= len(columns) - 2 and names:
        return known
    usual = "key" in roles or "value" in roles or names >= 2
    return known if usual and known >= 2 and 2 * known >= len(columns) else 0


def placed(columns: Sequence[Column], line: Line) -> list[tuple[Cell, Column | None, bool]]:
    """Each cell of a row with its column, and whether that is beyond doubt.

    A full row has its cells in the order of the columns; of another row, where they are decides.
    """
    if len(line.cells) == len(columns):
        return [(cell, column, True) for cell, column in zip(line.cells, columns, strict=True)]
    found = [(cell, under(columns, cell)) for cell in line.cells]
    taken = [id(column) for _, column in found if column]
    return [
        (cell, column, bool(column) and taken.count(id(column)) == 1 and _inside(column, cell))
        for cell, column in found
    ]


def _inside(column: Column | None, cell: Cell) -> bool:
    return column is not None and _overlap(column, cell) > 0


def under(columns: Sequence[Column], cell: Cell) -> Column | None:
    """The column that a cell is in: the one it overlaps most, else the nearest one close by."""
    if len(columns) < 2:
        return None
    best = max(columns, key=lambda column: _overlap(column, cell))
    if _overlap(best, cell) > 0:
        return best
    near = min(columns, key=lambda column: abs(_centre(column) - _centre(cell)))
    widths = [abs(_centre(a) - _centre(b)) for a, b in pairwise(columns)]
    return near if abs(_centre(near) - _centre(cell)) <= 0.5 * min(widths) else None


def _centre(part: Cell | Column) -> float:
    """Twice as far out as the middle, which is as good to compare."""
    return part.left + part.right


def with_units(columns: Sequence[Column], line: Line) -> tuple[Column, ...] | None:
    """The columns with the units of a line that holds nothing else; none for any other line."""
    units = [unit_alone(cell.text) for cell in line.cells]
    bare = [cell.text.strip(" -–()") for cell in line.cells]
    if not any(units) or any(unit is None and text for unit, text in zip(units, bare, strict=True)):
        return None
    made = {id(column): column for column in columns}
    for cell, unit in zip(line.cells, units, strict=True):
        column = under(columns, cell)
        if column and unit and column.unit is None:
            made[id(column)] = replace(column, unit=unit)
    return tuple(made[id(column)] for column in columns)


def number_with(number: Number, *units: str | None) -> Number:
    """The number with the first unit given, where it has none of its own."""
    given = next((unit for unit in units if unit), None)
    return number.in_unit(given) if number.unit is None and given else number
