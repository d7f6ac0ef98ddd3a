"""What was calculated beside the thickness, on paper: worked once a kind, the others in a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from linerdesign.documents.answer import gathered_of
from linerdesign.documents.blocks import (
    Addition,
    Block,
    Bullets,
    Grid,
    Heading,
    Paragraph,
    Picture,
)
from linerdesign.documents.line_table import (
    LineKey,
    Texts,
    differing,
    identity_of,
    merge,
    rows_of,
    texts,
)
from linerdesign.documents.numbers import SHORT_NAME, short
from linerdesign.documents.working import Values, Working, working_grid
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS

# A pipe by its number in the schedule and its name, with the blocks of its calculation.
Calculated = tuple[int, str, tuple[Block, ...]]
# Columns that a table of a row a pipe has at most; more quantities make a row each.
_MOST_COLUMNS = 18


def further(
    results: Sequence[PipeResult],
    additions: Mapping[str, Sequence[Addition]],
    whole: bool = False,
) -> Iterator[Block]:
    """The calculations kind by kind, under one heading.

    `whole` is whether the working is shown too that has a document of its own.
    """
    kinds: dict[str, list[Calculated]] = {}
    for number, result in enumerate(results, 1):
        for each in additions.get(result.name, ()):
            kinds.setdefault(each.kind, []).append((number, result.name, each.blocks))
    if kinds:
        yield Heading(HEADS["further"])
    left_out = False
    for found in kinds.values():
        pictured = any(isinstance(block, Picture) for *_, blocks in found for block in blocks)
        shown = found if whole else _less(found)
        yield from _by_pipe(shown) if pictured else _by_section(shown)
        left_out = left_out or shown != found
        yield from worked(shown)
    if left_out:
        yield Paragraph(sentence("calculation.works"))


def _less(found: Sequence[Calculated]) -> list[Calculated]:
    """The calculations without the working that a document of its own has."""
    return [(number, name, _within(blocks)) for number, name, blocks in found]


def _within(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """The blocks without the working that a document of its own has."""
    return tuple(each for each in blocks if not (isinstance(each, Grid) and each.apart))


def _by_pipe(found: Sequence[Calculated]) -> Iterator[Block]:
    """Every pipe under its own heading."""
    for number, name, blocks in found:
        yield Heading(f"{number} {name}", 2)
        yield from (each for each in blocks if not isinstance(each, Working))


def _by_section(found: Sequence[Calculated]) -> Iterator[Block]:
    """Every section once, the tables of all pipes together."""
    sections: dict[str, _Section] = {}
    for number, name, blocks in found:
        section = _Section()
        for block in blocks:
            if isinstance(block, Heading):
                section = sections.setdefault(block.text, _Section())
            else:
                section.add(number, name, block)
    for title, section in sections.items():
        if made := tuple(section.blocks([number for number, *_ in found])):
            yield Heading(title, 2)
            yield from made


@dataclass
class _Section:
    """What a section says of its pipes: tables by columns and caption, and remarks by pipe."""

    grids: dict[tuple[tuple[str, ...], str], list[tuple[int, str, Grid]]] = field(
        default_factory=dict
    )
    notes: dict[int, list[str]] = field(default_factory=dict)

    def add(self, number: int, name: str, block: Block) -> None:
        """A table or remarks of a pipe."""
        if isinstance(block, Bullets):
            self.notes.setdefault(number, []).extend(block.items)
        elif isinstance(block, Paragraph):
            self.notes.setdefault(number, []).append(block.text)
        elif isinstance(block, Grid) and not isinstance(block, Working):
            self.grids.setdefault((block.columns, block.caption), []).append((number, name, block))

    def blocks(self, pipes: Sequence[int]) -> Iterator[Block]:
        """The tables, each with a column or a row head for the pipe, and the remarks."""
        for tables in self.grids.values():
            if len(pipes) == 1:
                yield from (table for *_, table in tables)
            elif values := [
                (number, name, table) for number, name, table in tables if isinstance(table, Values)
            ]:
                yield from _of_values(values)
            else:
                yield _stacked(tables)
        if self.notes:
            yield Bullets(gathered_of({each: self.notes.get(each, ()) for each in pipes}))


def _stacked(tables: Sequence[tuple[int, str, Grid]]) -> Grid:
    """Tables of the same columns as one, with a column for the number of the pipe."""
    first = tables[0][-1]
    rows: list[tuple[str, ...]] = []
    boxed: set[tuple[int, int]] = set()
    strong: set[tuple[int, int]] = set()
    symbols: dict[tuple[int, int], str] = {}
    for number, _, table in tables:
        start = len(rows)
        boxed |= {(start + row, column + 1) for row, column in table.boxed}
        strong |= {(start + row, column + 1) for row, column in table.strong}
        symbols |= {
            (r if r < 0 else start + r, c + 1): key for (r, c), key in table.symbols.items()
        }
        rows += [(str(number), *row) for row in table.rows]
    return Grid(
        (HEADS["pipe"], *first.columns),
        f"<{first.align}",
        tuple(rows),
        first.caption,
        boxed=frozenset(boxed),
        strong=frozenset(strong),
        symbols=symbols,
        narrow=True,
    )


@dataclass(frozen=True)
class _Row:
    """The numbers of a quantity, one a pipe, in one unit."""

    key: str
    unit: str
    cells: Sequence[str]
    meaning: str = ""


def _of_values(tables: Sequence[tuple[int, str, Values]]) -> Iterator[Block]:
    """The values of the same quantities of several pipes."""
    quantities = dict.fromkeys(
        (table.symbols[place, 1], table.rows[place][0])
        for *_, table in tables
        for place in range(len(table.rows))
    )
    found = [
        {table.symbols[place, 1]: figure for place, figure in enumerate(table.figures)}
        for *_, table in tables
    ]
    rows = [_row(key, meaning, [each.get(key) for each in found]) for key, meaning in quantities]
    pipes = [f"{number} {short(name, SHORT_NAME)}" for number, name, _ in tables]
    yield from _table(tables[0][-1].caption, pipes, rows)


def _row(key: str, meaning: str, values: Sequence[tuple[str, str] | None]) -> _Row:
    """The values of pipes, with one unit for all of them where that is so."""
    units = {value[1] for value in values if value}
    if len(units) == 1:
        cells = [value[0] if value else HEADS["no_line"] for value in values]
        return _Row(key, units.pop(), cells, meaning)
    cells = [" ".join(value).strip() if value else HEADS["no_line"] for value in values]
    return _Row(key, "", cells, meaning)


def _table(caption: str, pipes: Sequence[str], rows: Sequence[_Row]) -> Iterator[Block]:
    """The numbers of pipes, a row a quantity, or a row a pipe where those are more."""
    if len(pipes) <= len(rows) or len(rows) > _MOST_COLUMNS:
        told = any(row.meaning for row in rows)
        yield Grid(
            columns=(*((HEADS["quantity"],) if told else ()), "", HEADS["unit"], *pipes),
            align="<" * (2 + told) + ">" * len(pipes),
            rows=tuple(
                (*((row.meaning,) if told else ()), SYMBOLS[row.key].symbol, row.unit, *row.cells)
                for row in rows
            ),
            caption=caption,
            repeat=2 + told,
            symbols={(place, int(told)): row.key for place, row in enumerate(rows)},
        )
        return
    heads = (f"{SYMBOLS[row.key].symbol} {row.unit}".strip() for row in rows)
    yield Grid(
        columns=(HEADS["pipe"], *heads),
        align="<" + ">" * len(rows),
        rows=tuple(zip(pipes, *(row.cells for row in rows), strict=True)),
        caption=caption,
        repeat=1,
        symbols={(-1, place): row.key for place, row in enumerate(rows, 1)},
    )
    if any(row.meaning for row in rows):
        legend = "; ".join(f"{SYMBOLS[row.key].symbol} {row.meaning}" for row in rows)
        yield Paragraph(f"{legend}.", tuple(row.key for row in rows))


@dataclass(frozen=True)
class _Column:
    """The lines of one table of working: those of a pipe, and of a place along it."""

    number: int
    name: str
    working: Working
    several: bool

    @property
    def head(self) -> str:
        """The pipe and the place."""
        return self._at(f"{self.number} {short(self.name, SHORT_NAME)}", self.working.at)

    @staticmethod
    def _at(pipe: str, place: str | None) -> str:
        return f"{pipe} @ {place}" if place else pipe

    @property
    def identities(self) -> list[LineKey]:
        """The lines, each once."""
        return list(dict.fromkeys(map(identity_of, self.working.steps)))

    def cells(self) -> Iterator[tuple[str, dict[LineKey, Texts]]]:
        """What a table has of the lines, by station where the lines have some."""
        steps, system = self.working.steps, self.working.system
        for at in dict.fromkeys(step.station for step in steps if step.station) or (None,):
            own = [step for step in steps if step.station in (None, at)]
            # The schedule has the name; columns of places are many.
            head = self._at(str(self.number), self.working.at) if self.working.at else self.head
            yield self._at(head, at), texts(own, system)


def worked(found: Sequence[Calculated]) -> Iterator[Block]:
    """The working of pipes, topic by topic."""
    topics: dict[str, list[_Column]] = {}
    for number, name, blocks in found:
        for block in blocks:
            if isinstance(block, Working):
                column = _Column(number, name, block, len(found) > 1)
                topics.setdefault(block.topic or block.caption, []).append(column)
    for topic, columns in topics.items():
        apart = columns[0].working.apart
        for block in _topic(topic, columns):
            yield replace(block, apart=apart) if isinstance(block, Grid) else block


def _topic(topic: str, columns: Sequence[_Column]) -> Iterator[Block]:
    """Every line worked once; then the numbers of the tables not worked in full."""
    order: list[LineKey] = []
    for column in sorted(columns, key=lambda each: -len(each.identities)):
        merge(order, column.identities)
    left, first = dict.fromkeys(order), None
    while left:
        column = max(columns, key=lambda each: sum(line in left for line in each.identities))
        shown = [step for step in column.working.steps if identity_of(step) in left]
        yield _lines(topic, column, shown, first is None)
        first = first or column
        for line in column.identities:
            left.pop(line, None)
    others = [each for column in columns if column is not first for each in column.cells()]
    if first is None or not others:
        return
    system = first.working.system
    lines = differing(order, texts(first.working.steps, system), [cells for _, cells in others])
    rows = [
        _Row(line[0], unit, texts_)
        for line in lines
        for unit, texts_ in rows_of(line, [cells.get(line) for _, cells in others], system)
    ]
    if rows:
        yield from _table(sentence("calculation.beside", topic=topic), [h for h, _ in others], rows)


def _lines(topic: str, column: _Column, shown: Sequence[Step], first: bool) -> Working:
    """Lines of one table of working, under the name of its pipe."""
    caption = column.working.caption
    if not first:
        caption = sentence("calculation.further_lines", caption=topic, pipe=column.head)
    elif column.several:
        caption = sentence("calculation.worked_for", caption=topic, pipe=column.head)
    return working_grid(shown, column.working.system, caption)
