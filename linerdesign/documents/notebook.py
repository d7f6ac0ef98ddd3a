"""Results as a console and a notebook show them: one line, and the first table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from linerdesign.documents.blocks import Document

MOST_ROWS = 60


class Displayed:
    """A result with a document, which shows itself briefly."""

    document: Any

    def _brief(self) -> dict[str, Any]:
        """What a line of a console says of the result, by name."""
        raise NotImplementedError

    def __repr__(self) -> str:
        return brief(self, **self._brief())

    def _repr_html_(self) -> str:
        return first_table(self.document)


def brief(value: object, **about: Any) -> str:
    """The type of a value and what is said of it."""
    return f"{type(value).__name__}({', '.join(f'{k}={v!r}' for k, v in about.items())})"


def counted(words: Iterable[str]) -> dict[str, int]:
    """How often each word occurs, the most frequent first."""
    return dict(Counter(words).most_common())


def first_table(document: Document) -> str:
    """The title of a document and its blocks as far as the first table, in HTML."""
    from dataclasses import replace

    from linerdesign.documents.blocks import Block, Grid, Heading, Paragraph, Sheet
    from linerdesign.documents.page import blocks_markup
    from linerdesign.words import sentence

    shown: list[Block] = [Heading(document.title, 2)]
    for block in document.blocks:
        if isinstance(block, Sheet):
            continue
        if not isinstance(block, Grid):
            shown.append(block)
            continue
        shown.append(replace(block, rows=block.rows[:MOST_ROWS]))
        if (more := len(block.rows) - MOST_ROWS) > 0:
            shown.append(Paragraph(sentence("documents.more_rows", count=f"{more:,}")))
        break
    shown.append(Paragraph(sentence("documents.in_full")))
    return blocks_markup(shown, document.units)
