"""The internal record of a review: recheck, replay, errors, sensitivity and criteria in full."""

from __future__ import annotations

from collections.abc import Iterator

from linerdesign.documents import thin_wall
from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    of_project,
)
from linerdesign.documents.legs import table as legs_table
from linerdesign.documents.numbers import in_millimetres
from linerdesign.documents.second import both_methods
from linerdesign.expressions.printing import positional
from linerdesign.methods.result import PipeResult
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.reading import Project
from linerdesign.tasks.review.coincidence import odds
from linerdesign.tasks.review.comments import alternative_text
from linerdesign.tasks.review.criteria import Clause
from linerdesign.tasks.review.letter import mm, overview, sheets, verdict_text
from linerdesign.tasks.review.recheck import Comparison, Recheck
from linerdesign.tasks.review.reviewing import Reviewed, Wishes
from linerdesign.tasks.review.sensitivity import Sensitivity
from linerdesign.tasks.review.swing_chart import tornado
from linerdesign.tasks.review.wording import explanation_text, percent
from linerdesign.words import heads_of, sentence


def record(
    project: Project, reviewed: tuple[Reviewed, ...], units: str, wishes: Wishes
) -> Document:
    """The record, for the engineer's file."""
    blocks: list[Block] = [Paragraph(sentence("review.record introduction")), overview(reviewed)]
    legs = any(each.found.lined is not None for each in reviewed)
    blocks += both_methods((each.found.sized for each in reviewed), legs)
    for each in reviewed:
        blocks += [Heading(each.found.sized.name), *_pipe(each)]
    if wishes.sheets:
        blocks += sheets(reviewed)
    return of_project(project, units, sentence("review.record title"), blocks)


def _pipe(each: Reviewed) -> Iterator[Block]:
    found = each.found
    system = found.sized.basis.system
    yield Paragraph(verdict_text(each))
    if found.lined is not None:
        yield legs_table(found.lined, system)
    if found.thin is not None:
        yield from thin_wall.blocks(found.thin, True)
    yield _comparison(found)
    yield _replay(found)
    if found.contradictions:
        yield Paragraph(sentence("review.contradictions"))
        yield Bullets(tuple(each.text for each in found.contradictions))
    yield from _explanations(found)
    if found.alternatives:
        yield Paragraph(sentence("review.alternatives"))
        yield Bullets(tuple(alternative_text(value, system) for value in found.alternatives))
    yield _criteria(each.clauses)
    if each.side_by_side:
        yield _beside(each.side_by_side)
    yield from _sensitivity(each)


def _comparison(found: Recheck) -> Grid:
    inputs = bool(found.submittal.other_inputs)
    columns = heads_of("review.items")[: None if inputs else -2]
    rows = tuple(
        (
            compared.item.label,
            str(compared.item.stated),
            "-" if compared.recomputed is None else compared.item.shown(compared.recomputed),
            percent(compared.difference),
            sentence(f"review.result {_agreement(compared)}", unit=compared.unit_meant),
            *((percent(compared.of_input), percent(compared.of_calculation)) if inputs else ()),
        )
        for compared in found.comparisons
    )
    caption = sentence("review.stated beside recomputed")
    return Grid(columns, "<>>><" + (">>" if inputs else ""), rows, caption)


def _agreement(compared: Comparison) -> str:
    if compared.recomputed is None:
        return "no counterpart"
    if compared.unit_meant:
        return "unit"
    if compared.by_rounding:
        return "rounded"
    if compared.agrees:
        return "agrees"
    return "open" if compared.open_point else "differs"


def _replay(found: Recheck) -> Grid:
    rows = tuple(
        (
            each.item.label if each.station is None else f"{each.item.label}, {each.station}",
            each.item.at or "-",
            str(each.item.stated),
            "-" if each.expected is None else each.item.shown(each.expected),
            sentence(f"review.cause {each.cause}"),
        )
        for each in found.replay
    )
    return Grid(heads_of("review.lines"), "<<>><", rows, sentence("review.replay caption"))


def _explanations(found: Recheck) -> Iterator[Block]:
    if not found.explanations:
        return
    rows = tuple(
        (
            str(each.place),
            " + ".join(each.names),
            explanation_text(each, found.submittal.items, found.with_their_inputs),
            "-" if each.chance is None else odds(each.chance),
        )
        for each in found.explanations
    )
    caption = sentence("review.errors caption")
    yield Grid(heads_of("review.errors"), "><<<", rows, caption)
    yield Paragraph(sentence("review.chance explained"))


def _criteria(required: tuple[Clause, ...]) -> Grid:
    rows = tuple((each.name, each.required, each.submitted, each.status) for each in required)
    return Grid(heads_of("review.requirements"), "<<<<", rows, sentence("review.criteria caption"))


def _beside(results: tuple[PipeResult, ...]) -> Grid:
    rows = tuple(
        (
            result.basis.condition,
            f"ASTM {result.basis.edition}" if result.basis.buried_fully else "either",
            mm(result.required_thickness, result.basis.system),
            mm(result.nominal_thickness, result.basis.system),
            result.governing,
        )
        for result in results
    )
    return Grid(heads_of("review.editions"), "<<>><", rows, sentence("review.side by side"))


def _sensitivity(each: Reviewed) -> Iterator[Block]:
    found, moved = each.found, each.moved
    system = found.sized.basis.system
    if not moved.swings:
        return
    yield Paragraph(sentence("review.sensitivity"))
    assumed = [
        SYMBOLS[s.uncertainty.key].meaning
        for s in moved.swings
        if s.changes_nominal and s.uncertainty.assumed
    ]
    if assumed:
        yield Paragraph(sentence("review.depends on assumed", names=", ".join(assumed)))
    rows = tuple(
        (
            SYMBOLS[s.uncertainty.key].meaning,
            f"{positional(s.value, 4)} {SYMBOLS[s.uncertainty.key].unit(system)}".strip(),
            s.uncertainty.origin,
            s.uncertainty.words + (" (stated)" if s.uncertainty.stated else ""),
            " to ".join(mm(t, system) for t in sorted(s.required)),
            " to ".join(f"{in_millimetres(t, system):.4g}" for t in sorted(s.nominal)),
        )
        for s in moved.swings
    )
    yield Grid(heads_of("review.swings"), "<><<>>", rows, sentence("review.sensitivity caption"))
    wall = None if found.leaves_no_bore else found.wall
    whose = "rounded up by us" if found.rounded_up_by_us else "submitted"
    picture = tornado(found.sized.name, moved, wall, system, whose)
    if picture:
        yield picture
    yield from _trials(moved, system)


def _trials(moved: Sensitivity, system: str) -> Iterator[Block]:
    chance = moved.chance
    if chance is not None:
        yield Paragraph(
            sentence(
                "review.trials",
                draws=f"{chance.draws:,}",
                seed=chance.seed,
                wall=mm(chance.wall, system),
                enough=f"{100 * chance.enough:.1f} %",
                percentiles=", ".join(f"{p} %: {mm(t, system)} mm" for p, t in chance.percentiles),
            )
        )
