"""The letter to the contractor: a disposition, and numbered comments grouped by consequence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linerdesign.documents.blocks import (
    Block,
    Document,
    Grid,
    Heading,
    Paragraph,
    Sheet,
    of_project,
)
from linerdesign.documents.numbers import both_units, factor, in_millimetres
from linerdesign.documents.second import both_methods
from linerdesign.expressions.printing import positional
from linerdesign.methods.altered import Change, case_of, fixed, outcome
from linerdesign.methods.method import standard
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.verdicts import NO_BORE
from linerdesign.project.reading import Project
from linerdesign.tasks.review.beside import beside_ours
from linerdesign.tasks.review.comments import WEIGHTS, Comment
from linerdesign.tasks.review.reviewing import Reviewed, Wishes, disposition, general
from linerdesign.tasks.review.wording import percent
from linerdesign.words import heads_of, sentence

# Derived quantities of the site, whatever datum states them.
_SITE = ("q", "H", "h_invert")
# Differences under this share are rounding.
_SAME = 1e-6


def letter(
    project: Project, reviewed: tuple[Reviewed, ...], units: str, wishes: Wishes
) -> Document:
    """The letter, ready to send once the engineer has decided."""
    blocks: list[Block] = [*_opening(project, reviewed), overview(reviewed)]
    legs = any(each.found.lined is not None for each in reviewed)
    blocks += both_methods((each.found.sized for each in reviewed), legs)
    if any(each.found.rounded_up_by_us for each in reviewed):
        blocks.append(Paragraph(sentence("review.in brackets")))
    blocks += _not_reviewed(project, reviewed)
    for each in reviewed:
        blocks += [Heading(each.found.sized.name, 2), *_pipe(each)]
    common = general(reviewed)
    if common:
        blocks.append(Heading(sentence("review.general"), 2))
        blocks += [Paragraph(f"{number}. {comment.text}") for number, comment in common]
    if wishes.sheets:
        blocks += sheets(reviewed)
    return of_project(project, units, sentence("review.letter title"), blocks)


def _opening(project: Project, reviewed: Sequence[Reviewed]) -> Iterator[Block]:
    about = project.submittal
    if about is not None:
        named = (
            ("number", about.number),
            ("revision", about.revision),
            ("contractor", about.contractor),
            ("received", about.received),
        )
        parts = [
            sentence(f"review.submittal {name}", value=value) for name, value in named if value
        ]
        if parts:
            yield Paragraph("; ".join(parts) + ".")
    decided = about.disposition if about is not None else None
    code = "review.decided" if decided else "review.proposed"
    yield Heading(sentence(code, disposition=decided or disposition(reviewed)), 2)
    decides = "" if decided else sentence("review.engineer decides")
    yield Paragraph(sentence("review.introduction") + decides)


def overview(reviewed: Sequence[Reviewed]) -> Grid:
    """One row a pipe: what is submitted, what is required, and the numbers of its comments."""
    rows = []
    for each in reviewed:
        found, system = each.found, each.found.sized.basis.system
        lowest = found.lowest_factor
        verdict = found.verdict or (NO_BORE if found.leaves_no_bore else "-")
        last = each.first + len(each.comments) - 1
        numbers = f"{each.first} to {last}" if last > each.first else f"{last}"
        rows.append(
            (
                found.sized.name,
                _submitted(each),
                mm(found.sized.required_thickness, system),
                mm(found.sized.nominal_thickness, system),
                verdict,
                factor(lowest),
                numbers if each.comments else "-",
            )
        )
    return Grid(heads_of("review.letter"), "<>>><>>", tuple(rows), sentence("review.overview"))


def _submitted(each: Reviewed) -> str:
    found = each.found
    if found.wall is None:
        return "-"
    text = mm(found.wall, found.sized.basis.system)
    return f"({text})" if found.rounded_up_by_us else text


def mm(thickness: float, system: str) -> str:
    """A thickness of the sheet in mm, with two decimals."""
    return f"{in_millimetres(thickness, system):.2f}"


def _not_reviewed(project: Project, reviewed: Sequence[Reviewed]) -> tuple[Block, ...]:
    names = {each.found.sized.name for each in reviewed}
    left = [pipe.name for pipe in project.pipes if pipe.name not in names]
    return (Paragraph(sentence("review.not reviewed", names=", ".join(left))),) if left else ()


def _pipe(each: Reviewed) -> Iterator[Block]:
    yield Paragraph(verdict_text(each))
    for weight in WEIGHTS:
        found = each.of_weight(weight)
        if found:
            yield _group(weight, found)
    yield from _differing_inputs(each)


def verdict_text(each: Reviewed) -> str:
    """The verdict on the wall in one sentence."""
    found = each.found
    sized, system = found.sized, found.sized.basis.system
    text = sentence(
        "review.requires",
        condition=sized.basis.condition,
        required=both_units(sized.required_thickness, system),
        governing=sized.governing,
        nominal=both_units(sized.nominal_thickness, system),
    )
    if found.wall is None or found.checked is None:
        return text + sentence(
            "review.no verdict bore" if found.leaves_no_bore else "review.no wall"
        )
    return text + sentence(
        "review.verdict by us" if found.rounded_up_by_us else "review.verdict",
        wall=both_units(found.wall, system),
        verdict=sentence(f"review.verdict {found.verdict}"),
        factor=factor(found.lowest_factor),
    )


def _group(weight: str, found: Sequence[tuple[int, Comment]]) -> Grid:
    rows = tuple(
        (str(number), c.at or "-", c.theirs or "-", c.ours or "-", c.text) for number, c in found
    )
    return Grid(heads_of("review.comments"), "><<<<", rows, sentence(f"review.weight {weight}"))


def _differing_inputs(each: Reviewed) -> Iterator[Block]:
    """Their inputs beside the owner's where they differ, and what each difference does alone."""
    submittal, system = each.found.submittal, each.found.sized.basis.system
    ours, theirs = case_of(submittal.ours), case_of(submittal.theirs)
    right, other = outcome(ours), outcome(theirs)
    if right is None or other is None:
        return
    taken = other | {i.key: i.value for i in submittal.items if i.key in ours.inputs}
    keys = dict.fromkeys((*_SITE, *(k for k in ours.inputs if k not in ("t_floor", "s"))))
    changes: dict[str, tuple[str, str, Change]] = {}
    for key in keys:
        if key in right and key in taken:
            value, own = taken[key], right[key]
            if abs(value - own) > max(_SAME * abs(own), _half(each, key)):
                unit = SYMBOLS[key].unit(system)
                texts = (f"{positional(v, 5)} {unit}".strip() for v in (value, own))
                changes[SYMBOLS[key].meaning] = (*texts, {key: fixed(value)})  # type: ignore[assignment]
    if ours.basis.edition != theirs.basis.edition:
        editions = (theirs.basis.edition, ours.basis.edition)
        changes["edition"] = (*editions, standard().errors().other_edition(ours))
    rows = []
    for name, (theirs_text, ours_text, change) in changes.items():
        alone = outcome(ours, None, (change,))
        effect = alone["t_required"] / right["t_required"] - 1 if alone else None
        rows.append((name, theirs_text, ours_text, percent(effect)))
    if rows:
        yield Grid(
            heads_of("review.inputs"), "<>>>", tuple(rows), sentence("review.inputs that differ")
        )


def _half(each: Reviewed, key: str) -> float:
    item = each.found.submittal.item(key)
    return item.half if item else 0.0


def sheets(reviewed: Sequence[Reviewed]) -> Iterator[Block]:
    """Our own calculation of every pipe."""
    yield Heading(sentence("review.our calculation"))
    yield beside_ours(reviewed)
    place = 1
    for each in reviewed:
        yield Sheet(each.found.sized, place)
        place += len(each.found.sized.stations)
