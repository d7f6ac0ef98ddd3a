"""What was calculated beside the thickness, on paper: worked once a kind, the others in a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from linerdesign.documents.answer import gathered_of
from linerdesign.documents.blocks import Addition, Block, Bullets, Grid, Heading
from linerdesign.documents.classes import NAME, Identity, identity_of
from linerdesign.documents.numbers import short
from linerdesign.documents.working import Values, Working
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS

# A pipe by its number in the schedule and its name, with the blocks of its calculation.
Calculated = tuple[int, str, tuple[Block, ...]]
# One table of working, and what its column is called.
Column = tuple[str, Working]


def further(
    results: Sequence[PipeResult], additions: Mapping[str, Sequence[Addition]]
) -> Iterator[Block]:
    """The calculations kind by kind, under one heading."""
    kinds: dict[str, list[Calculated]] = {}
    for number, result in enumerate(results, 1):
        for each in additions.get(result.name, ()):
            kinds.setdefault(each.kind, []).append((number, result.name, each.blocks))
    if kinds:
        yield Heading(HEADS["further"])
    for found in kinds.values():
        working = _Worked(found)
        if all(isinstance(b, Heading | Bullets | Grid) for *_, blocks in found for b in blocks):
            yield from _by_section(found, working)
        else:
            yield from _by_pipe(found, working)


class _Worked:
    """The tables of working of a kind: those shown in full, and those with no lines but theirs."""

    def __init__(self, found: Sequence[Calculated]) -> None:
        columns = [
            (f"{number}: {_name(name, block)}", block)
            for number, name, blocks in found
            for block in blocks
            if isinstance(block, Working)
        ]
        self.full: list[tuple[Column, list[Column]]] = []
        for column in sorted(columns, key=lambda each: -len(each[1].steps)):
            lines = _lines(column[1]).keys()
            alike = next((a for (_, w), a in self.full if lines <= _lines(w).keys()), None)
            if alike is None:
                self.full.append((column, []))
            else:
                alike.append(column)
        place = {id(block): i for i, (_, block) in enumerate(columns)}
        self.full.sort(key=lambda each: place[id(each[0][1])])
        for _, alike in self.full:
            alike.sort(key=lambda each: place[id(each[1])])

    def shows(self, block: Block) -> bool:
        """Whether a block is anything but working that stands in a table of the alike."""
        return not isinstance(block, Working) or any(w is block for (_, w), _ in self.full)

    def tables(self) -> Iterator[Grid]:
        """The numbers of the alike, a column each."""
        for (head, worked), alike in self.full:
            if alike:
                yield _table(head, worked, alike)

    def blocks(self) -> Iterator[Block]:
        """Each working in full with the table of those alike, under the name of its pipe."""
        for (head, worked), alike in self.full:
            caption = sentence("calculation.worked_for", caption=worked.caption, pipe=head)
            yield replace(worked, caption=caption)
            if alike:
                yield _table(head, worked, alike)


def _name(name: str, working: Working) -> str:
    at = f" @ {working.at}" if working.at else ""
    return f"{short(name, NAME)}{at}"


def _lines(working: Working) -> dict[Identity, Step]:
    """The steps of a table by what makes them the same line."""
    return {identity_of(step): step for step in working.steps}


def _by_pipe(found: Sequence[Calculated], working: _Worked) -> Iterator[Block]:
    """Every pipe under its own heading."""
    for number, name, blocks in found:
        yield Heading(f"{number} {name}", 2)
        yield from (each for each in blocks if working.shows(each))
    yield from working.tables()


def _by_section(found: Sequence[Calculated], working: _Worked) -> Iterator[Block]:
    """Every section once, the tables of all pipes together; then the working."""
    sections: dict[str, _Section] = {}
    for number, name, blocks in found:
        section = _Section()
        for block in blocks:
            if isinstance(block, Heading):
                section = sections.setdefault(block.text, _Section())
            else:
                section.add(number, f"{number} {short(name, NAME)}", block)
    for title, section in sections.items():
        yield Heading(title, 2)
        yield from section.blocks([number for number, *_ in found])
    yield from working.blocks()


class _Section:
    """What a section says of its pipes: tables by columns and caption, and remarks by pipe."""

    def __init__(self) -> None:
        self.grids: dict[tuple[tuple[str, ...], str], list[tuple[str, Grid]]] = {}
        self.notes: dict[int, list[str]] = {}

    def add(self, number: int, pipe: str, block: Block) -> None:
        """A table or remarks of a pipe."""
        if isinstance(block, Bullets):
            self.notes.setdefault(number, []).extend(block.items)
        elif isinstance(block, Grid) and not isinstance(block, Working):
            self.grids.setdefault((block.columns, block.caption), []).append((pipe, block))

    def blocks(self, pipes: Sequence[int]) -> Iterator[Block]:
        """The tables, each with a column or a row head for the pipe, and the remarks."""
        for tables in self.grids.values():
            values = isinstance(tables[0][1], Values)
            if len(pipes) == 1:
                yield from (table for _, table in tables)
            else:
                yield _side_by_side(tables) if values else _stacked(tables)
        if self.notes:
            yield Bullets(gathered_of({each: self.notes.get(each, ()) for each in pipes}))


def _stacked(tables: Sequence[tuple[str, Grid]]) -> Grid:
    """Tables of the same columns as one, with a column for the pipe."""
    first = tables[0][1]
    rows: list[tuple[str, ...]] = []
    boxed: set[tuple[int, int]] = set()
    strong: set[tuple[int, int]] = set()
    symbols: dict[tuple[int, int], str] = {}
    for pipe, table in tables:
        start = len(rows)
        boxed |= {(start + row, column + 1) for row, column in table.boxed}
        strong |= {(start + row, column + 1) for row, column in table.strong}
        symbols |= {(start + r, c + 1): key for (r, c), key in table.symbols.items()}
        rows += [(pipe, *row) for row in table.rows]
    return Grid(
        (HEADS["pipe"], *first.columns),
        f"<{first.align}",
        tuple(rows),
        first.caption,
        boxed=frozenset(boxed),
        strong=frozenset(strong),
        symbols=symbols,
    )


def _side_by_side(tables: Sequence[tuple[str, Grid]]) -> Grid:
    """Values of the same quantities, a column for each pipe."""
    heads = tuple(dict.fromkeys(row[:-1] for _, table in tables for row in table.rows))
    cells = [{row[:-1]: row[-1] for row in table.rows} for _, table in tables]
    first = tables[0][1]
    keys = {t.rows[row][:-1]: key for _, t in tables for (row, _), key in t.symbols.items()}
    return Grid(
        (*first.columns[:-1], *(pipe for pipe, _ in tables)),
        first.align[:-1] + ">" * len(tables),
        tuple((*head, *(each.get(head, HEADS["no_line"]) for each in cells)) for head in heads),
        first.caption,
        repeat=len(first.columns) - 1,
        symbols={(place, 1): keys[head] for place, head in enumerate(heads)},
    )


def _table(head: str, worked: Working, alike: Sequence[Column]) -> Grid:
    """The numbers of tables with the lines worked above, a column each."""
    cells = [_lines(each) for _, each in alike]
    lines = [line for line in _lines(worked) if any(line in each for each in cells)]
    units = {i: next(each[i].unit for each in cells if i in each) for i in lines}
    return Grid(
        columns=("", HEADS["unit"], *(name for name, _ in alike)),
        align="<<" + ">" * len(alike),
        rows=tuple(
            (
                SYMBOLS[line[0]].symbol,
                units[line],
                *(positional(c[line].value) if line in c else HEADS["no_line"] for c in cells),
            )
            for line in lines
        ),
        caption=sentence("calculation.beside", name=head),
        repeat=2,
        symbols={(place, 0): line[0] for place, line in enumerate(lines)},
    )
