"""Planning tables as live cells of a workbook: a sheet a table, a row a cell, a column a line.

What a table holds fixed is listed once, above it, in named cells: change one of them, or the
diameter, cover or water of a row, and the tables follow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from linerdesign.documents.blocks import Block, Grid, Heading, Live
from linerdesign.expressions import tree
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tree import Choice, Comparison, Label, Node, Number, Symbol
from linerdesign.methods import engine
from linerdesign.methods.lines import Line, run
from linerdesign.methods.method import choice_of_thickness, constants, requirement, verification
from linerdesign.methods.symbols import KEY_OF, SYMBOLS, name_of
from linerdesign.methods.verdicts import FAILS, OUTSIDE, SIZED, expanded
from linerdesign.project.ground import NamedLoad
from linerdesign.project.measures import Measure, convert
from linerdesign.tasks.plan.table import Place, Plan, Table, values_over
from linerdesign.words import heads_of, sentence

NUMBER = "0.0000##"
# What a cell of a table says beside its thickness.
MINIMUM, CAUTION, MARKS = "M", "*", {FAILS: "x", OUTSIDE: "!"}
THICKEST = "thickest"


@dataclass
class _Columns:
    """The columns of a sheet of cells, each with its head, its formula, and its values now."""

    heads: list[str] = field(default_factory=list)
    formulas: list[Node | str] = field(default_factory=list)
    values: list[Any] = field(default_factory=list)

    def add(self, head: str, formula: Node | str, values: Any) -> str:
        """One more column; what formulas of the same row call it."""
        self.heads.append(head)
        self.formulas.append(formula)
        self.values.append(np.ravel(values).tolist())
        return f"[{len(self.heads) - 1}]"


@dataclass
class _Work:
    """One place while its lines are written: what its cells are called, and its numbers."""

    place: Place
    cells: dict[str, str]
    known: dict[str, Any]

    def verdict(self, key: str) -> tuple[Node, Any]:
        """A verdict over cells, and what it is now."""
        about = engine.calculation(
            self.place.made.basis, self.place.made.waivers, frozenset(self.known) - {THICKEST}
        )
        node = expanded(key, about.verdicts, {THICKEST})
        with np.errstate(all="ignore"):
            return tree.rename(node, self.cells), tree.evaluate(node, self.known)


def live_sheet(
    plan: Plan,
    table: Table,
    number: int,
    letters: Mapping[str, str],
    printed: Sequence[str],
    marks: Sequence[str],
) -> tuple[Block, ...]:
    """The cells of a table: its heading, what it holds fixed, then a row for each cell.

    `letters` are those of the governing equations; `printed` are the cells as the table prints
    them now.
    """
    about = sentence("plan.heading", resin=table.resin.name, condition=table.condition)
    columns = _Columns()
    works = [_Work(place, {}, values_over([place], plan.axes)) for place in table.places]
    _varied(plan, table, works, columns)
    fixed = [_fixed(work, number, at) for at, work in enumerate(works, 1)]
    if len(works) == 1:
        _as_inventory(works[0], columns, len(plan.axes.grid))
    _calculate(works, columns)
    last = _results(works, columns, table, number, letters, printed, marks)
    grid = _grid(columns, {last: printed_cells(number)})
    heading = Heading(
        sentence("plan.cells", table=about),
        tab=sentence("plan.cells_tab", number=number),
        page=True,
    )
    return heading, *fixed, grid


def printed_cells(number: int) -> str:
    """The name of the cells of a table as the table prints them."""
    return f"plan{number}_printed"


def _varied(plan: Plan, table: Table, works: Sequence[_Work], columns: _Columns) -> None:
    """The columns that say which cell a row is, with the heads of an inventory."""
    rows = len(plan.axes.grid)
    columns.add("name", "", [str(row + 1) for row in range(rows)])
    columns.add("resin", "", [table.resin.name] * rows)
    columns.add("condition", "", [table.condition] * rows)
    for name in plan.axes.columns:
        key = KEY_OF.get(name)
        assert key is not None, name
        called = columns.add(f"{name} [{_unit(key, works[0])}]", "", works[0].known[key])
        for work in works:
            work.cells[key] = called


def _unit(key: str, work: _Work) -> str:
    return SYMBOLS[key].unit(work.place.made.basis.system)


def _fixed(work: _Work, number: int, at: int) -> Grid:
    """All numbers of a place that do not vary, each in a named cell."""
    work.known |= {each.key: each.value for each in constants(work.place.made.basis)}
    at_place = str(work.place.at or "")
    rows: list[tuple[str, ...]] = [("", "station", at_place, "")] if at_place else []
    live = {}
    for key in [key for key in work.known if key not in work.cells]:
        value, name = float(np.ravel(work.known[key])[0]), f"plan{number}_at{at}_{key}"
        live[len(rows), 2] = Live(value, name=name)
        quantity = SYMBOLS[key]
        rows.append((quantity.symbol, quantity.meaning, positional(value), _unit(key, work)))
        work.cells[key] = name
    caption = sentence("plan.held_fixed")
    if work.place.at:
        caption = sentence("plan.held_fixed_of", table=work.place.at)
    names = {2: _values_of(number, at)}
    return Grid(heads_of("plan.fixed"), "<<><", tuple(rows), caption, live=live, names=names)


def _values_of(number: int, at: int) -> str:
    """The name of the values that do not vary at a place; its own name is the first."""
    return f"plan{number}_at{at}_values"


def _as_inventory(work: _Work, columns: _Columns, rows: int) -> None:
    """The pipe's own values that do not vary, in columns of an inventory."""
    own = work.place.pattern.given
    for key, cell in work.cells.items():
        name = name_of(key)
        if not cell.startswith("[") and isinstance(own.get(name), Measure):
            value = np.broadcast_to(np.ravel(work.known[key])[0], rows)
            columns.add(f"{name} [{_unit(key, work)}]", Symbol(cell), value)
    for name, value in own.items():
        if isinstance(value, NamedLoad):
            columns.add(name, "", [str(value)] * rows)


def _calculate(works: Sequence[_Work], columns: _Columns) -> None:
    """Adds a column for every line of every place."""
    for work in works:
        _lines(work, requirement(work.place.made.basis), columns)
    # One tube has one thickness: the largest of the stations.
    thickest = np.max([work.known["t_required"] for work in works], axis=0)
    required = tuple(Symbol(work.cells["t_required"]) for work in works)
    largest = required[0] if len(works) == 1 else tree.Call("max", required)
    head = f"{SYMBOLS['t_required'].meaning} [{_unit('t', works[0])}]"
    name = columns.add(head, largest, thickest)
    lines = choice_of_thickness(works[0].place.made.basis)
    chosen = _Work(
        works[0].place,
        {**works[0].cells, "t_required": name},
        {**works[0].known, "t_required": thickest},
    )
    _lines(chosen, lines, columns)
    for work in works:
        work.cells |= {THICKEST: name, **{each.result: chosen.cells[each.result] for each in lines}}
        work.known |= {
            THICKEST: thickest,
            **{each.result: chosen.known[each.result] for each in lines},
        }
        own = verification(work.place.made.basis)
        _lines(work, [each for each in own if each.result not in work.cells], columns)


def _lines(work: _Work, lines: Sequence[Line], columns: _Columns) -> None:
    for line in lines:
        work.known = run([line], work.known)
        node = tree.rename(line.tree, work.cells)
        if line.when is not None:
            node = Choice(tree.rename(line.when.tree, work.cells), node, Number(0.0))
        at, unit = f" {work.place.at}" if work.place.at else "", _unit(line.result, work)
        head = SYMBOLS[line.result].symbol + at + (f" [{unit}]" if unit else "")
        work.cells[line.result] = columns.add(head, node, work.known[line.result])


def _results(
    works: Sequence[_Work],
    columns: _Columns,
    table: Table,
    number: int,
    letters: Mapping[str, str],
    printed: Sequence[str],
    marks: Sequence[str],
) -> int:
    """Adds thicknesses in mm and the verdicts; the column of what the table prints."""
    first = works[0]
    in_mm = Number(convert(1.0, _unit("t", first), "mm"))

    def thickness(head: str, key: str) -> str:
        node = tree.Operation("*", (Symbol(first.cells[key]), in_mm))
        return columns.add(head, node, first.known[key] * in_mm.value)

    thickness("required_thickness [mm]", THICKEST)
    nominal = thickness("nominal_thickness [mm]", "t")
    governing = columns.add("governing", *_of_worst(works, [w.verdict("governing") for w in works]))
    minimum = columns.add("minimum_governs", *_yes(first.verdict("minimum_governs")))
    status = columns.add("status", *_status(works))
    station = ""
    if len(works) > 1:
        # Names are read from their cells: they may hold what a formula takes for its own.
        places = [
            (f"INDEX({_values_of(number, n)},1)", str(w.place.at)) for n, w in enumerate(works, 1)
        ]
        words = [(Symbol(place), np.asarray(at)) for place, at in places]
        at = columns.add("station", *_of_worst(works, words))
        if len(table.stations) > 1:
            text = '""'
            for place, name in places:
                if name in table.stations:
                    which = table.stations.index(name) + 1
                    text = f'IF(EXACT({at},{place}),"{which}",{text})'
            station = f"&{text}"
    letter = f'IF({minimum}="yes", "{MINIMUM}", {_chosen(governing, letters, governing)})'
    mark = columns.add("caution", "", marks)
    text = f'ROUND({nominal}, 9)&" "&{letter}{station}&{_chosen(status, MARKS, mark)}'
    columns.add("printed", text, printed)
    return len(columns.heads) - 1


def _chosen(cell: str, words: Mapping[str, str], otherwise: str) -> str:
    """The word for what a cell says."""
    text = otherwise
    for said, word in reversed(list(words.items())):
        text = f'IF({cell}="{said}", "{word}", {text})'
    return text


def _of_worst(works: Sequence[_Work], found: Sequence[tuple[Node, Any]]) -> tuple[Node, Any]:
    """What is found of the place that requires the thickest wall; of several, the usual one."""
    reached = [work.known["t_required"] >= work.known[THICKEST] for work in works]
    usual = sorted(range(len(works)), key=lambda k: -np.count_nonzero(reached[k]))
    node, value = found[usual[-1]]
    for k in reversed(usual[:-1]):
        required, thickest = (Symbol(works[k].cells[key]) for key in ("t_required", THICKEST))
        node = Choice(Comparison(">=", required, thickest), found[k][0], node)
        value = np.where(reached[k], found[k][1], value)
    return node, np.broadcast_to(value, np.shape(works[0].known[THICKEST]))


def _yes(found: tuple[Node, Any]) -> tuple[Node, Any]:
    node, value = found
    return Choice(node, Label("yes"), Label("no")), np.where(value, "yes", "no")


def _status(works: Sequence[_Work]) -> tuple[Node, Any]:
    """The worst status of the places."""
    passes, outside = ([work.verdict(key) for work in works] for key in ("passes", "outside"))
    node = Choice(
        tree.Truth("all", tuple(node for node, _ in passes)),
        Choice(tree.Truth("any", tuple(node for node, _ in outside)), Label(OUTSIDE), Label(SIZED)),
        Label(FAILS),
    )
    shape = np.shape(works[0].known[THICKEST])
    good = np.all([np.broadcast_to(value, shape) for _, value in passes], axis=0)
    beyond = np.any([np.broadcast_to(value, shape) for _, value in outside], axis=0)
    return node, np.where(good, np.where(beyond, OUTSIDE, SIZED), FAILS)


def _grid(columns: _Columns, names: Mapping[int, str]) -> Grid:
    live, cells = {}, []
    for column, (formula, values) in enumerate(zip(columns.formulas, columns.values, strict=True)):
        texts = []
        for row, value in enumerate(values):
            texts.append(value if isinstance(value, str) else positional(value))
            if formula or not isinstance(value, str):
                live[row, column] = Live(value, formula, pattern=NUMBER)
        cells.append(texts)
    align = "".join("<" if isinstance(each[0], str) else ">" for each in columns.values)
    rows = tuple(zip(*cells, strict=True))
    return Grid(tuple(columns.heads), align, rows, live=live, names=names)
