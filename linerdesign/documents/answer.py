"""The first page of a calculation: the thickness of every pipe, and what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from linerdesign.documents.blocks import Block, Bullets, Heading, Paragraph
from linerdesign.documents.classes import of_pipes
from linerdesign.documents.legs import proposal
from linerdesign.documents.numbers import printed_number
from linerdesign.documents.schedule import lengths_of, numbers_of, schedule
from linerdesign.documents.sheet import NOT_MEASURED, RAISED, inputs, not_designed, notes_of
from linerdesign.expressions.printing import positional
from linerdesign.methods.equation import Severity
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords
from linerdesign.project.identity import Identity
from linerdesign.project.models import FaultyPipe
from linerdesign.project.reading import Project
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS


def answer(
    project: Project,
    results: Sequence[PipeResult],
    identity: Identity,
    faulty: Sequence[FaultyPipe] = (),
) -> tuple[Block, ...]:
    """The blocks of the first page, behind the title block."""
    outside = gathered(results, lambda result: notes_of(result, Severity.OUTSIDE))
    return (
        Heading(HEADS["result"]),
        Paragraph(_designed_to(results)),
        schedule(
            results,
            lengths_of(project, results[0].basis.system),
            faulty,
            numbers_of(project, faulty),
        ),
        *not_designed(faulty, 2),
        *((Paragraph(RAISED[Severity.OUTSIDE]), Bullets(outside)) if outside else ()),
        *((Paragraph(told),) if (told := _tubes(results)) else ()),
        Paragraph(_rests_on(results, identity)),
    )


def gathered(
    results: Sequence[PipeResult], items: Callable[[PipeResult], Iterable[str]]
) -> tuple[str, ...]:
    """What is said of the pipes, each once; with the numbers of the pipes where not of all."""
    return gathered_of({number: items(result) for number, result in enumerate(results, 1)})


def gathered_of(said: Mapping[int, Iterable[str]]) -> tuple[str, ...]:
    """What is said of pipes, by their numbers, each once; with the numbers where not of all."""
    found: dict[str, list[str]] = {}
    for number, items in said.items():
        for item in dict.fromkeys(items):
            found.setdefault(item, []).append(str(number))
    return tuple(
        text if len(pipes) == len(said) else of_pipes(text, pipes) for text, pipes in found.items()
    )


def _tubes(results: Sequence[PipeResult]) -> str:
    """What the schedule says of pipes with legs, and the tubes proposed where one does not serve.

    Empty where no pipe has legs.
    """
    if not any(each.legs for each in results):
        return ""
    short = {
        number: (proposal(each.legs, each.basis.system),)
        for number, each in enumerate(results, 1)
        if each.legs and not all(leg.passes for leg in each.legs.legs)
    }
    told = {number: short.get(number, ()) for number in range(1, len(results) + 1)}
    return " ".join((sentence("field.tubes"), *gathered_of(told)))


def _designed_to(results: Sequence[PipeResult]) -> str:
    first = results[0]
    moduli = {each.resin: value for each in results if (value := each.value("E_L"))}
    resins = [
        sentence(
            "calculation.resin",
            name=resin,
            modulus=printed_number(round(moduli[resin])),
            unit=SYMBOLS["E_L"].unit(first.basis.system),
        )
        if resin in moduli
        else resin
        for resin in dict.fromkeys(result.resin for result in results)
    ]
    return sentence(
        "calculation.designed_to",
        edition=first.basis.edition,
        form=sentence(f"standard.edition {first.basis.edition}"),
        factor=positional(first.values[0]["N"]),
        resins="; ".join(resins),
    )


def _rests_on(results: Sequence[PipeResult], identity: Identity) -> str:
    count = sum(1 for result in results for _ in _not_measured(result))
    known = {0: "no_value", 1: "one_value"}.get(count, "values")
    files = (f"{each.name} {each.sha256[:16]}" for each in identity.files)
    return sentence(
        "calculation.rests_on",
        values=sentence(f"calculation.{known}", count=count),
        files=", ".join(files) or "-",
        fingerprint=identity.fingerprint,
    )


def _not_measured(result: PipeResult) -> Iterator[str]:
    """The keys of values of pipe and site that were not measured and that a line reads."""
    known: Sequence[Step | InWords] = (*inputs(result), *result.in_words)
    for each in known:
        if each.origin and each.origin.used and each.origin.known_by in NOT_MEASURED:
            yield each.key
