"""The one thing that every output form is made from: a title, and blocks in reading order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Protocol

from linerdesign.expressions.tree import Node
from linerdesign.methods.result import PipeResult
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
    """Running text."""

    text: str


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


@dataclass(frozen=True)
class Grid:
    """A table of text. `align` has one of `<` and `>` for each column.

    `live` holds what a workbook has in place of some texts, by row and column, and `names` the
    names of whole columns there.
    """

    columns: tuple[str, ...]
    align: str
    rows: tuple[tuple[str, ...], ...]
    caption: str = ""
    live: Mapping[tuple[int, int], Live] = field(default_factory=dict)
    names: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Picture:
    """A drawing as SVG text, and what it shows in words for those who don't see it."""

    svg: str
    caption: str
    alternative: str


@dataclass(frozen=True)
class Sheet:
    """The calculation sheet of one pipe. `first` is the N of `pipeN_...` for its first station."""

    result: PipeResult
    first: int


Block = Heading | Paragraph | Bullets | Grid | Picture | Sheet


@dataclass(frozen=True)
class Document:
    """What a command hands over. `identity` tells what it rests on."""

    title: str
    blocks: tuple[Block, ...]
    info: ProjectInfo
    units: str
    identity: Identity = field(default_factory=Identity)


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
