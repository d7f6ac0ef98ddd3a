"""The one thing that every output form is made from: a title, and blocks in reading order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, Protocol, Self

from linerdesign.expressions.tree import Node
from linerdesign.methods.result import PipeResult, Step
from linerdesign.project.identity import FileRead, Identity, identity
from linerdesign.project.models import ProjectInfo
from linerdesign.project.reading import Project
from linerdesign.words import sentence


@dataclass(frozen=True)
class Heading:
    """A heading; level 1 begins a part, level 2 a section of it.

    `tab` names the part in a few words, where the heading says more than a tab can hold. `page`
    is whether the part begins a page of its own in print.
    """

    text: str
    level: int = 1
    tab: str = ""
    page: bool = False


@dataclass(frozen=True)
class Paragraph:
    """Running text. `symbols` are the keys of quantities whose symbols stand in it, in order."""

    text: str
    symbols: tuple[str, ...] = ()


@dataclass(frozen=True)
class Bullets:
    """A list of short texts."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Live:
    """A cell that a workbook computes with: a formula, or an input where there is none.

    `value` is its number now, or its text. In the formula, or in its symbols where it is a tree,
    `[n]` is the cell of column `n` in the same row; other cells are called by their names. `name`
    is that of the cell.
    """

    value: float | str
    formula: str | Node = ""
    name: str = ""
    pattern: str = "#,##0.00"


# Cells that hold nothing.
EMPTY = ("", "-", "\u2013")


@dataclass(frozen=True)
class Grid:
    """A table of text. `align` has one of `<` and `>` for each column.

    `live` holds what a workbook has in place of some texts, by row and column, and `names` the
    names of whole columns there. Cells in `boxed` are results, those in `strong` weigh on them.
    A table with more columns than its page holds is parted, its first `repeat` columns repeated.
    The heads of a `narrow` one are no wider than its numbers.
    `symbols` are the keys of quantities whose symbols stand in cells; row -1 is the heads.
    A calculation on paper leaves one `apart` to a document of its own, but for a sheet a pipe.
    """

    columns: tuple[str, ...]
    align: str
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    live: Mapping[tuple[int, int], Live] = field(default_factory=dict)
    names: Mapping[int, str] = field(default_factory=dict)
    boxed: frozenset[tuple[int, int]] = frozenset()
    strong: frozenset[tuple[int, int]] = frozenset()
    repeat: int = 0
    narrow: bool = False
    symbols: Mapping[tuple[int, int], str] = field(default_factory=dict)
    apart: bool = False

    def parted(self, most: int) -> Iterator[Grid]:
        """The table in parts of so many columns at most, beside those repeated."""
        if not self.repeat:
            yield self
            return
        fixed = tuple(range(self.repeat))
        for first in range(self.repeat, len(self.columns), most):
            places = (*fixed, *range(first, min(first + most, len(self.columns))))
            part = self._cut(tuple(self._not_empty(places[self.repeat :])), places)
            yield replace(part, repeat=0, narrow=True)

    def cut_at(self, row: int) -> tuple[Self, Self]:
        """The table above a row and from it on; the title stands over the first."""
        places = range(len(self.columns))
        above, below = range(row), range(row, len(self.rows))
        return self._cut(above, places), replace(self._cut(below, places), caption="")

    def _cut(self, rows: Sequence[int], places: Sequence[int]) -> Self:
        """These rows and columns of the table, with the marks of their cells."""
        new = {
            (old_row, old): (row, column)
            for row, old_row in enumerate((-1, *rows), -1)
            for column, old in enumerate(places)
        }
        return replace(
            self,
            columns=tuple(self.columns[i] for i in places),
            align="".join(self.align[i] for i in places),
            rows=tuple(tuple(self.rows[row][i] for i in places) for row in rows),
            boxed=frozenset(new[cell] for cell in self.boxed if cell in new),
            strong=frozenset(new[cell] for cell in self.strong if cell in new),
            symbols={new[cell]: key for cell, key in self.symbols.items() if cell in new},
        )

    def _not_empty(self, places: Sequence[int]) -> Iterator[int]:
        """The rows that hold anything in these columns."""
        for number, row in enumerate(self.rows):
            if any(row[place] not in EMPTY for place in places):
                yield number


@dataclass(frozen=True)
class LegsTable(Grid):
    """The legs of a pipe, a row each, for forms that keep them live: `keys` names the columns.

    `first` is the number of the first station of the pipe.
    """

    keys: tuple[str, ...] = ()
    first: int = 1


@dataclass(frozen=True)
class Picture:
    """A drawing as SVG text, and what it shows in words for those who don't see it.

    So many as `beside` stand side by side on a page: one, two or three.
    """

    svg: str
    caption: str
    alternative: str
    beside: int = 2


@dataclass(frozen=True)
class Sheet:
    """The calculation sheet of one pipe. `first` is the N of `pipeN_...` for its first station."""

    result: PipeResult
    first: int


@dataclass(frozen=True)
class Worked:
    """Lines of one pipe worked out, its inputs among them, with the numbers that `steps` have.

    `checks` is the table of the pipe's checks behind them, where forms with pictures also show the
    pipe. `known` says of a line by its number where its formula stands already.
    """

    result: PipeResult
    steps: tuple[Step, ...]
    checks: Grid | None = None
    known: Mapping[int, str] = field(default_factory=dict)


Block = Heading | Paragraph | Bullets | Grid | Picture | Sheet
PaperBlock = Block | Worked


@dataclass(frozen=True)
class OnPaper:
    """The blocks of a document on paper: those of its first page, then the rest."""

    answer: tuple[PaperBlock, ...]
    rest: tuple[PaperBlock, ...]

    @property
    def blocks(self) -> tuple[PaperBlock, ...]:
        """All of them in reading order."""
        return (*self.answer, *self.rest)


@dataclass(frozen=True)
class Document:
    """What a command hands over. `identity` tells what it rests on.

    `on_paper` makes the blocks of text and PDF where they differ from `blocks`, which workbook
    and page are made from.
    """

    title: str
    blocks: tuple[Block, ...]
    info: ProjectInfo
    units: str
    identity: Identity = field(default_factory=Identity)
    on_paper: Callable[[], OnPaper] | None = None


def of_project(
    project: Project,
    units: str,
    title: str,
    blocks: Iterable[Block],
    options: Mapping[str, Any] = MappingProxyType({}),
    readings: Sequence[FileRead] = (),
) -> Document:
    """A document of a project, in one of the two unit systems.

    `options` are those that its numbers depend on beside the project, `readings` further files.
    """
    return Document(
        title=title,
        blocks=tuple(blocks),
        info=project.info,
        units=units,
        identity=identity(project, {"units": units, **options}, readings),
    )


class Writable(Protocol):
    """What can be printed and written in every form."""

    @property
    def document(self) -> Document:
        """Title and blocks in reading order."""

    @property
    def data(self) -> dict[str, Any]:
        """The result as JSON data."""

    @property
    def holds(self) -> bool:
        """Whether all checks pass inside the method, and all stated values agree."""


@dataclass(frozen=True)
class Addition:
    """A calculation beside a pipe's thickness: its key among the pipe's data, and its blocks."""

    kind: str
    data: Any
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Outcome:
    """What a command gives: the document, its result as JSON data, whether all of it holds."""

    document: Document
    data: dict[str, Any]
    holds: bool


CAUTIONS = tuple(
    sentence(f"documents.caution_{name}")
    for name in ("seal", "owner", "codes", "shape", "site", "memory")
)
