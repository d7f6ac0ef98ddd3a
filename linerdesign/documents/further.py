"""What was calculated beside the thickness, on paper: worked once a kind, the others in a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from linerdesign.documents.answer import gathered_of
from linerdesign.documents.blocks import Addition, Block, Bullets, Grid, Heading
from linerdesign.documents.classes import NAME, Identity, identity_of
from linerdesign.documents.numbers import short
from linerdesign.documents.working import Working
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS

# A pipe by its number in the schedule, its name, and the blocks of its calculation.
Calculated = tuple[int, str, tuple[Block, ...]]


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
        yield from _kind(found)


def _kind(found: Sequence[Calculated]) -> Iterator[Block]:
    """The first pipe in full; of one with the same lines only its numbers, and what is its own."""
    number, name, blocks = found[0]
    yield from _in_full(number, name, blocks)
    shown = _steps(blocks)
    alike = [each for each in found[1:] if shown and _steps(each[2]).keys() <= shown.keys()]
    for each in found[1:]:
        rest = tuple(b for b in each[2] if not isinstance(b, Working))
        if each not in alike:
            yield from _in_full(*each)
        elif not all(isinstance(b, Heading | Bullets) for b in rest):
            yield from _in_full(each[0], each[1], rest)
    if alike:
        yield _table(list(shown), alike, f"{number} {short(name, NAME)}")
    notes = {
        number: [item for b in blocks if isinstance(b, Bullets) for item in b.items]
        for number, _, blocks in alike
        if all(isinstance(b, Heading | Bullets | Working) for b in blocks)
    }
    if any(notes.values()):
        yield Bullets(gathered_of(notes))


def _in_full(number: int, name: str, blocks: Sequence[Block]) -> Iterator[Block]:
    yield Heading(f"{number} {name}", 2)
    yield from blocks


def _steps(blocks: Sequence[Block]) -> dict[Identity, Step]:
    """The steps that tables of working show, by what makes them the same line."""
    tables = (block for block in blocks if isinstance(block, Working))
    return {identity_of(step): step for table in tables for step in table.steps}


def _table(order: Sequence[Identity], pipes: Sequence[Calculated], worked: str) -> Grid:
    """The numbers of pipes with the lines worked above, a column each."""
    cells = [_steps(blocks) for *_, blocks in pipes]
    lines = [i for i in order if any(i in each for each in cells)]
    units = {i: next(each[i].unit for each in cells if i in each) for i in lines}
    return Grid(
        columns=("", HEADS["unit"], *(f"{n}: {short(name, NAME)}" for n, name, _ in pipes)),
        align="<<" + ">" * len(pipes),
        rows=tuple(
            (
                SYMBOLS[line[0]].symbol,
                units[line],
                *(positional(c[line].value) if line in c else HEADS["no_line"] for c in cells),
            )
            for line in lines
        ),
        caption=sentence("calculation.beside", name=worked),
        repeat=2,
        symbols={(place, 0): line[0] for place, line in enumerate(lines)},
    )
