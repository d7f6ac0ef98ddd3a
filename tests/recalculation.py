"""Cells of a document as a workbook recalculates them, by Python itself.

As in a workbook, `[n]` is the cell of column n in the same row, and other cells, or columns of
them, are called by their names.
"""

import math
import re

import numpy as np

from linerdesign.documents.blocks import Grid
from linerdesign.expressions import tree


class Text(str):
    """A text that `&` puts another behind."""

    def __and__(self, other):
        return Text(f"{self}{other}")


def _sumifs(amounts, *conditions):
    pairs = list(zip(conditions[::2], conditions[1::2], strict=True))
    fit = (i for i in range(len(amounts)) if all(str(c[i]) == str(wanted) for c, wanted in pairs))
    return sum(amounts[i] for i in fit)


FUNCTIONS = {
    "IF": lambda test, yes, no: yes if test else no,
    "MIN": lambda *numbers: min(numbers),
    "SQRT": lambda x: math.sqrt(x) if x >= 0 else math.nan,
    "ROUND": lambda number, places: Text(f"{round(float(number), places):g}"),
    "EXACT": lambda one, other: str(one) == str(other),
    "INDEX": lambda cells, place: cells[int(place) - 1],
    "MATCH": lambda wanted, cells, _: 1 + [*cells].index(wanted),
    "SUMIFS": _sumifs,
}


class Cells:
    """The cells of the grids of a document; `inputs` are other values of those named."""

    def __init__(self, blocks, inputs=None):
        self.grids = [each for each in blocks if isinstance(each, Grid)]
        self.inputs, self.known = inputs or {}, {}
        self.places = {
            (n, *place): cell
            for n, grid in enumerate(self.grids)
            for place, cell in grid.live.items()
        }
        self.named = {cell.name: place for place, cell in self.places.items() if cell.name}
        self.columns = {
            name: (n, column)
            for n, grid in enumerate(self.grids)
            for column, name in grid.names.items()
        }

    def at(self, grid, row, column):
        """What a cell holds: its input, what its formula gives, or its text."""
        place = grid, row, column
        if place not in self.places:
            return self.grids[grid].rows[row][column]
        if place not in self.known:
            cell = self.places[place]
            given = self.inputs.get(cell.name, cell.value)
            self.known[place] = self.computed(cell.formula, grid, row) if cell.formula else given
        return self.known[place]

    def computed(self, formula, grid, row):
        """What a formula in a row gives."""
        called = _Called(self, grid, row)
        if not isinstance(formula, str):
            # What a condition does not ask for may divide by nothing.
            with np.errstate(all="ignore"):
                found = np.asarray(tree.evaluate(formula, called))
            return str(found) if found.dtype.kind == "U" else float(found)
        text = re.sub(r"\[(\d+)\]", r"beside(\1)", formula).replace("^", "**")
        text = re.sub(r"(?<![<>=])=(?!=)", "==", text)
        beside = {"beside": lambda column: called[f"[{column}]"]}
        return eval(text, {"__builtins__": {}, **FUNCTIONS, **beside}, called)


class _Called(dict):
    """What formulas of a row call a cell or a column."""

    def __init__(self, cells, grid, row):
        super().__init__()
        self.cells, self.grid, self.row = cells, grid, row

    def __missing__(self, name):
        if name[:1] == "[":
            found = self.cells.at(self.grid, self.row, int(name[1:-1]))
            return Text(found) if isinstance(found, str) else found
        if name in self.cells.named:
            return self.cells.at(*self.cells.named[name])
        if name in self.cells.columns:
            grid, column = self.cells.columns[name]
            return [self.cells.at(grid, n, column) for n in range(len(self.cells.grids[grid].rows))]
        if "(" in name:
            # A symbol of a tree may be a formula.
            return self.cells.computed(name, self.grid, self.row)
        raise KeyError(name)
