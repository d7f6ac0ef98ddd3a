"""The live tables of a page: the formulas of the workbook as functions of its script."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from linerdesign.documents.blocks import Block, Grid, Live

_TOKEN = re.compile(
    r'"(?:[^"]|"")*"|\[\d+\]|[A-Za-z_]\w*|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?|<=|>=|<>|\S'
)
_OPERATORS = {"^": "**", "=": "===", "<>": "!=="}


@dataclass(frozen=True)
class Cell:
    """A cell that can be changed, or follows: its identity in the script and its value as issued.

    `label` says what an input is.
    """

    key: str
    value: float | str
    changeable: bool
    label: str = ""

    @property
    def shown(self) -> str:
        """The value of an input."""
        return f"{self.value:.12g}" if isinstance(self.value, float | int) else self.value


def cells_of(blocks: Sequence[Block], place: int) -> dict[tuple[int, int], Cell]:
    """The live cells of a table of a document by row and column; none where nothing in the document
    can be changed."""
    grid = blocks[place]
    if not isinstance(grid, Grid) or not _changeable(blocks):
        return {}
    return {
        (row, column): Cell(
            _key(place, row, column),
            live.value,
            not live.formula,
            f"{grid.rows[row][0]}, {grid.columns[column]}",
        )
        for (row, column), live in grid.live.items()
    }


def program(blocks: Sequence[Block]) -> str:
    """The data and the functions of the live cells; empty where nothing can be changed."""
    if not _changeable(blocks):
        return ""
    grids = [(place, block) for place, block in enumerate(blocks) if isinstance(block, Grid)]
    names, columns, values, formulas = {}, {}, {}, []
    for place, grid in grids:
        for column, name in grid.names.items():
            columns[name] = list(_column(place, grid, column))
        for (row, column), live in grid.live.items():
            key = _key(place, row, column)
            values[key] = [live.value, len(live.pattern.partition(".")[2])]
            if live.name:
                names[live.name] = key
    for place, grid in grids:
        for (row, column), live in grid.live.items():
            if live.formula:
                key, source = _key(place, row, column), _source(live, columns)
                formulas.append(f"{json.dumps(key)}: (c) => {source}")
    data = json.dumps({"names": names, "columns": columns, "values": values}, ensure_ascii=True)
    written = data.replace("<", "\\u003c")
    made = f"const live = {written};\n"
    return made + "const formulas = (f, v, col) => ({\n" + ",\n".join(formulas) + "\n});\n"


def _changeable(blocks: Sequence[Block]) -> bool:
    """Whether any cell is an input with a name: others are shown by what the workbook alone has."""
    grids = (block for block in blocks if isinstance(block, Grid))
    return any(live.name and not live.formula for grid in grids for live in grid.live.values())


def _key(place: int, row: int, column: int) -> str:
    return f"{place}.{row}.{column}"


def _column(place: int, grid: Grid, column: int) -> Iterator[list[str]]:
    """The cells of a column: the key of a live one, else its text."""
    for row, cells in enumerate(grid.rows):
        live = (row, column) in grid.live
        yield ["key", _key(place, row, column)] if live else ["text", cells[column]]


def _source(live: Live, columns: dict[str, Any]) -> str:
    """The formula of a workbook as an expression of the script."""
    assert isinstance(live.formula, str)
    tokens = _TOKEN.findall(live.formula)
    made = []
    for token, after in zip(tokens, [*tokens[1:], ""], strict=True):
        if token[0] == '"':
            made.append(json.dumps(token[1:-1].replace('""', '"')).replace("<", "\\u003c"))
        elif token[0] == "[":
            made.append(f"c({token[1:-1]})")
        elif token[0].isalpha() or token[0] == "_":
            called = "col" if token in columns else "v"
            made.append(f"f.{token}" if after == "(" else f"{called}({json.dumps(token)})")
        else:
            made.append(_OPERATORS.get(token, token))
    return "".join(made)
