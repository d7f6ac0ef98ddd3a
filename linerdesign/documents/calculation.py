"""A calculation on paper: the answer, the basis once, each class of pipes worked once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from linerdesign.documents.answer import answer
from linerdesign.documents.basis import basis
from linerdesign.documents.blocks import (
    Addition,
    Block,
    Bullets,
    Heading,
    OnPaper,
    PaperBlock,
    Paragraph,
    Worked,
)
from linerdesign.documents.classes import PipeClass, classes
from linerdesign.documents.further import further
from linerdesign.documents.line_table import LineKey
from linerdesign.documents.numbers import SHORT_NAME, short
from linerdesign.documents.profile import long_profile
from linerdesign.documents.sheet import checks_grid, other_condition_text
from linerdesign.methods.result import PipeResult
from linerdesign.project.identity import Identity
from linerdesign.project.models import FaultyPipe
from linerdesign.project.reading import Project
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS

# Pipes beside which the first page has room for a drawing.
_DRAWN_FIRST = 8


def on_paper(
    project: Project,
    results: Sequence[PipeResult],
    additions: Mapping[str, Sequence[Addition]],
    identity: Identity,
    more: Sequence[Block] = (),
    faulty: Sequence[FaultyPipe] = (),
    beside: Sequence[Block] = (),
) -> OnPaper:
    """The calculation of the pipes of a project, with what was calculated beside it, and `more`.

    `beside` follows the answer on the first page; `faulty` are the pipes that can't be designed.
    """
    drawn = long_profile(project, results)
    first = drawn if len(results) <= _DRAWN_FIRST else ()
    rest: list[PaperBlock] = [*basis(project, results), *(() if first else drawn)]
    seen: dict[LineKey, str] = {}
    for each in classes(results):
        rest.extend(_class(each, seen))
        seen |= {line: f"{each.letter} {number}" for line, number in each.rows.items()} | seen
    rest.extend(_others(results))
    rest.extend(further(results, additions))
    rest.extend(more)
    opening = (*answer(project, results, identity, faulty), *beside, *first)
    return OnPaper(opening, tuple(rest))


def _class(of: PipeClass, seen: Mapping[LineKey, str]) -> Iterator[PaperBlock]:
    """The worked calculation and the table of a class; `seen` are the lines of earlier ones."""
    number, result, steps = of.worked[0]
    condition = result.basis.condition
    title = sentence("calculation.class", letter=of.letter, condition=condition, kind=of.kinds)
    yield Heading(title)
    members = ", ".join(str(each) for each, _ in of.pipes)
    about = {"number": number, "name": short(result.name, SHORT_NAME)}
    if of.others:
        text = sentence("calculation.members", pipes=members, **about)
        yield Paragraph(f"{text} {sentence('calculation.reading')}" if not seen else text)
    else:
        yield Paragraph(sentence("calculation.alone", **about))
    known = {
        number: sentence("calculation.formula_as", line=seen[line])
        for line, number in of.rows.items()
        if line in seen
    }
    yield Worked(result, steps, checks_grid(result), known)
    for number, result, steps in of.worked[1:]:
        yield Heading(
            sentence(
                "calculation.further",
                letter=of.letter,
                number=number,
                name=short(result.name, SHORT_NAME),
            ),
            2,
        )
        yield Worked(result, steps, known=known)
    if of.cases:
        yield of.cases
    if of.ranges_left:
        yield Bullets(of.ranges_left)
    if of.others:
        yield of.table


def _others(results: Sequence[PipeResult]) -> Iterator[Block]:
    """The design in the other condition of the host, where it was requested."""
    texts = [
        f"{result.name}: {text}" for result in results if (text := other_condition_text(result))
    ]
    if texts:
        yield Heading(HEADS["other_condition"], 2)
        yield Bullets(tuple(texts))
