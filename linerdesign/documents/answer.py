"""The first page of a calculation: the thickness of every pipe, and what it rests on."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from linerdesign.documents.blocks import Block, Bullets, Grid, Heading, Paragraph
from linerdesign.documents.numbers import factor, in_millimetres, printed_number, short
from linerdesign.documents.sheet import (
    EDITIONS,
    NOT_MEASURED,
    RAISED,
    inputs,
    not_designed,
    notes_of,
    schedule_cells,
)
from linerdesign.expressions.printing import positional
from linerdesign.methods.equation import Severity
from linerdesign.methods.result import PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords
from linerdesign.project.identity import Identity
from linerdesign.project.models import FaultyPipe
from linerdesign.project.reading import Project
from linerdesign.project.requests import length_of
from linerdesign.words import sentence
from linerdesign.words.calculation import HEADS, RESULT
from linerdesign.words.documents import NOT_DESIGNED

# Letters of a name in the schedule at most.
_NAME = 200
# Figures of a number of the schedule.
_FIGURES = 4


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
        _grid(project, results, faulty),
        *not_designed(faulty, 2),
        *((Paragraph(RAISED[Severity.OUTSIDE]), Bullets(outside)) if outside else ()),
        Paragraph(_rests_on(results, identity)),
    )


def gathered(
    results: Sequence[PipeResult], items: Callable[[PipeResult], Iterable[str]]
) -> tuple[str, ...]:
    """What is said of the pipes, each once; with the numbers of the pipes where not of all."""
    found: dict[str, list[str]] = {}
    for number, result in enumerate(results, 1):
        for item in dict.fromkeys(items(result)):
            found.setdefault(item, []).append(str(number))
    return tuple(
        text
        if len(pipes) == len(results)
        else sentence("calculation.of_pipes", text=text, pipes=", ".join(pipes))
        for text, pipes in found.items()
    )


def _designed_to(results: Sequence[PipeResult]) -> str:
    first = results[0]
    resins = dict.fromkeys(
        sentence(
            "calculation.resin",
            name=result.resin,
            modulus=printed_number(round(modulus)),
            unit=SYMBOLS["E_L"].unit(result.basis.system),
        )
        if (modulus := result.value("E_L"))
        else result.resin
        for result in results
    )
    return sentence(
        "calculation.designed_to",
        edition=first.basis.edition,
        form=sentence(EDITIONS[first.basis.edition]),
        factor=positional(first.values[0]["N"]),
        resins="; ".join(resins),
    )


def _grid(project: Project, results: Sequence[PipeResult], faulty: Sequence[FaultyPipe]) -> Grid:
    system = results[0].basis.system
    units = {
        "length": SYMBOLS["L_pipe"].unit(system),
        "diameter": SYMBOLS["D"].unit(system),
        "cover": SYMBOLS["H"].unit(system),
        "water": SYMBOLS["h_invert"].unit(system),
        "required": "mm",
        "nominal": "mm",
    }
    lengths = {
        pipe.name: positional(length.to(units["length"]), _FIGURES)
        for pipe in project.pipes
        if (length := length_of(pipe))
    }
    rows = [
        {
            "number": str(number),
            "name": short(result.name, _NAME),
            "length": lengths.get(result.name, "-"),
        }
        | _cells(result)
        for number, result in enumerate(results, 1)
    ]
    blank = dict.fromkeys(RESULT, "-")
    rows += [blank | {"name": short(pipe.name, _NAME), "status": NOT_DESIGNED} for pipe in faulty]
    kept = [key for key in RESULT if any(row[key] != "-" for row in rows)]
    texts = {"name", "condition", "governing", "status"}
    bad = [place for place, result in enumerate(results) if not result.holds]
    bad += range(len(results), len(rows))
    return Grid(
        columns=tuple(
            f"{RESULT[key]}, {units[key]}" if key in units else RESULT[key] for key in kept
        ),
        align="".join("<" if key in texts else ">" for key in kept),
        rows=tuple(tuple(row[key] for key in kept) for row in rows),
        caption=sentence("calculation.result"),
        boxed=frozenset((place, kept.index("nominal")) for place in range(len(results))),
        narrow=True,
        strong=frozenset((place, kept.index("status")) for place in bad),
    )


def _cells(result: PipeResult) -> dict[str, str]:
    """What is built, under which ground and water, and why."""
    cells = schedule_cells(result)
    at, system = result.governing_station, result.basis.system

    def number(key: str) -> str:
        value = result.value(key, at)
        return "-" if value is None else positional(value, _FIGURES).replace("-", "\u2212")

    governing = (
        sentence("calculation.at", what=result.governing, station=at) if at else result.governing
    )
    if result.minimum_governs:
        governing = sentence("calculation.minimum", equation=governing)
    return {
        "diameter": number("D"),
        "cover": number("H"),
        "water": number("h_invert"),
        "condition": cells["condition"],
        "governing": governing,
        "required": f"{in_millimetres(result.required_thickness, system):.2f}",
        "nominal": positional(in_millimetres(result.nominal_thickness, system), 5),
        "ratio": number("DR"),
        "safety": factor(result.lowest_safety_factor),
        "status": cells["status"],
    }


def _rests_on(results: Sequence[PipeResult], identity: Identity) -> str:
    count = sum(1 for result in results for _ in _not_measured(result))
    known = {0: "no_value", 1: "one_value"}.get(count, "values")
    files = (f"{each.name} {each.sha256[:16]}" for each in identity.files)
    return (
        sentence("calculation.above_invert")
        + " "
        + sentence(
            "calculation.rests_on",
            values=sentence(f"calculation.{known}", count=count),
            files=", ".join(files) or "-",
            fingerprint=identity.fingerprint,
        )
    )


def _not_measured(result: PipeResult) -> Iterator[str]:
    """The keys of values of pipe and site that were not measured and that a line reads."""
    known: Sequence[Step | InWords] = (*inputs(result), *result.in_words)
    for each in known:
        if each.origin and each.origin.used and each.origin.known_by in NOT_MEASURED:
            yield each.key
