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
from linerdesign.documents.classes import NAME, PipeClass, classes
from linerdesign.documents.further import further
from linerdesign.documents.numbers import short
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
    for each in classes(results):
        rest.extend(_class(each))
    rest.extend(_others(results))
    rest.extend(further(results, additions))
    rest.extend(more)
    opening = (*answer(project, results, identity, faulty), *beside, *first)
    return OnPaper(opening, tuple(rest))


def _class(of: PipeClass) -> Iterator[PaperBlock]:
    number, result, steps = of.worked[0]
    basis = result.basis
    kinds = {
        "pressure": basis.internal_pressure,
        "gravity": not basis.internal_pressure,
        "vacuum": basis.vacuum,
        "above_ground": basis.above_ground,
    }
    kind = ", ".join(sentence(f"calculation.{name}") for name, holds in kinds.items() if holds)
    title = sentence("calculation.class", letter=of.letter, condition=basis.condition, kind=kind)
    yield Heading(title)
    members = ", ".join(str(each) for each, _ in of.pipes)
    name = f"{number} {short(result.name, NAME)}"
    if of.others:
        yield Paragraph(sentence("calculation.members", pipes=members, name=name))
    else:
        yield Paragraph(sentence("calculation.alone", pipes=name))
    yield Worked(result, steps, drawn=True)
    yield checks_grid(result)
    for number, result, steps in of.worked[1:]:
        yield Heading(
            sentence(
                "calculation.further",
                letter=of.letter,
                number=number,
                name=short(result.name, NAME),
            ),
            2,
        )
        yield Worked(result, steps)
    if of.remarks:
        yield Bullets(of.remarks)
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
