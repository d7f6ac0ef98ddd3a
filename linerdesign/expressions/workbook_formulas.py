"""The traced equations as workbook formulas.

A workbook is not paper: `-2^2` is 4 there and `^` chains to the left. So negatives and powers of
powers always stand in brackets, and every other bracket that keeps the order of the tree is kept.
Only functions that every spreadsheet program has had for decades are used.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from linerdesign.expressions.printing import ATOM, Dialect, Rule
from linerdesign.expressions.tree import FUNCTIONS, LookUp, Node, Table


class Ruled(Protocol):
    """A comparison under which a line applies."""

    @property
    def tree(self) -> Node:
        """The comparison."""


class Line(Protocol):
    """A tree that gives a value, and when it applies."""

    @property
    def tree(self) -> Node:
        """What gives the value."""

    @property
    def when(self) -> Ruled | None:
        """When it applies; none where always."""


_RULES = {
    "+": Rule("{}+{}", 1, (1, 2)),
    "-": Rule("{}-{}", 1, (1, 2)),
    "neg": Rule("(-{})", ATOM, (ATOM,)),
    "*": Rule("{}*{}", 2, (2, 3)),
    "/": Rule("{}/{}", 2, (2, 3)),
    "^": Rule("{}^{}", 3, (ATOM, ATOM)),
}
_NAMED = {name: f"{name.upper()}({{}})" for name in FUNCTIONS}
# ROUNDUP goes away from zero and CEILING differs between programs; INT goes down in all of them.
_ROUNDED_UP = "(-INT(-({})))"


def workbook(cell: Callable[[str], str], block: Callable[[Table], str]) -> Dialect:
    """The dialect of workbook formulas.

    `cell` names the cell of a quantity. `block` names the block of a table; its columns are
    called by that name and `_x`, `_y`, and `_slope` for the rise per unit to the next row.
    """

    def look_up(node: LookUp, argument: str) -> str:
        form = _next_listed if node.method == "next" else _between
        return form(argument, block(node.table), len(node.table.xs))

    return Dialect(
        rules=_RULES,
        functions=_NAMED | {"cbrt": "({})^(1/3)", "ceil": _ROUNDED_UP},
        number=literal,
        symbol=cell,
        choice="IF({}, {}, {})",
        truths={
            "all": "AND({})",
            "any": "OR({})",
            "not": "NOT({})",
            "always": "TRUE",
            "never": "FALSE",
        },
        tolerant=True,
        look_up=look_up,
    )


def literal(value: float) -> str:
    """A number as it stands in a formula, every digit of it.

    >>> literal(0.433), literal(144.0), literal(1e-09)
    ('0.433', '144', '1E-09')
    """
    if value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return repr(float(value)).replace("e", "E")


def formula(line: Line, write: Callable[[Node], str]) -> str:
    """A line as a cell's formula; 0 where its condition does not hold, as in `Line.value`.

    `write` writes a tree over the cells of the line.
    """
    text = write(line.tree)
    return f"={text}" if line.when is None else f"=IF({write(line.when.tree)}, {text}, 0)"


def largest_of(names: Sequence[str], most: int = 200) -> str:
    """The largest of many cells; a function takes at most 255 arguments, so of parts in turn."""
    parts = names
    if len(names) > most:
        parts = [largest_of(names[i : i + most], most) for i in range(0, len(names), most)]
    return f"MAX({', '.join(parts)})"


def _next_listed(value: str, block: str, rows: int) -> str:
    """The smallest size not under the value; a size counts as reached within a billionth."""
    reached = f"SUMPRODUCT(({block}_x*1.000000001<{value})*1)"
    return f"INDEX({block}_x, MIN({rows}, 1+{reached}))"


def _between(value: str, block: str, _rows: int) -> str:
    """The straight line from the row at or under the value; the ends hold beyond the ends.

    LOOKUP finds the last row that is not over the value, and the last row of all has no slope.
    """
    at = f"MAX({value}, MIN({block}_x))"
    start, base = f"LOOKUP({at}, {block}_x, {block}_y)", f"LOOKUP({at}, {block}_x, {block}_x)"
    return f"({start}+({at}-{base})*LOOKUP({at}, {block}_x, {block}_slope))"
