"""The review memorandum: findings at a glance, numbered comments, and the numbers behind them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from linerdesign.documents.blocks import (
    Block,
    Bullets,
    Document,
    Grid,
    Heading,
    Paragraph,
    Sheet,
    of_project,
)
from linerdesign.documents.numbers import both_units, factor, in_millimetres
from linerdesign.documents.sheet import governing_text
from linerdesign.expressions.printing import positional
from linerdesign.methods.f1216.basis import EDITION_07A, EDITION_07B
from linerdesign.methods.result import PipeResult
from linerdesign.methods.sizing import other_condition
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import PipeTask
from linerdesign.project.designing import designed
from linerdesign.project.models import Pipe
from linerdesign.project.reading import Project
from linerdesign.tasks.review.chance import odds
from linerdesign.tasks.review.comments import WORTH_ASKING, Comment, comments, instead_text
from linerdesign.tasks.review.compliance import Clause, clauses
from linerdesign.tasks.review.recheck import THIN, Comparison, Recheck, Tolerances, recheck
from linerdesign.tasks.review.sensitivity import SEED, Sensitivity, sensitivity
from linerdesign.tasks.review.submittal import Submittal, submittals
from linerdesign.tasks.review.tornado import tornado
from linerdesign.tasks.review.wording import percent, sentence

INTRODUCTION = (
    "We have recomputed the submitted calculation with the inputs of this file and set it beside "
    "the values that it states. The comments are numbered through; please answer them by number."
)
DOUBTS = (
    "Each input is moved by its doubt, down and up, all else as it is; values do not go under "
    "zero. Doubts not stated are taken by how the value is known: common practice, no source."
)

IN_BRACKETS = (
    "In brackets: not submitted, but the stated required thickness rounded up by us; the verdict "
    "is on that."
)
BY_CHANCE = (
    "By chance: of arbitrary numbers within a quarter of the stated one, the share to which one "
    "slip of our list, or two together, come as near. What more than 1 in 10 find with one slip, "
    "or more than 1 in 50 with two, is a possibility and no finding."
)
AGREES = "agrees"
# With more slips at one place, the glance counts them.
MOST_NAMED = 3


@dataclass(frozen=True)
class Reviewed:
    """Everything that the memorandum says of one pipe; comments count from `first`."""

    found: Recheck
    clauses: tuple[Clause, ...]
    moved: Sensitivity
    comments: tuple[Comment, ...]
    first: int
    side_by_side: tuple[PipeResult, ...] = ()

    @property
    def breach(self) -> bool:
        """Whether the owner's criteria are broken, by the submittal or by our own inputs."""
        return any(clause.breach for clause in self.clauses)

    @property
    def holds(self) -> bool:
        """Whether stated values agree, the wall is not thin, and the owner's criteria are met."""
        return self.found.holds and not self.breach


@dataclass(frozen=True)
class Wishes:
    """What the reviewer asks for beside the comments."""

    tolerances: Tolerances = field(default_factory=Tolerances)
    side_by_side: bool = False
    sheets: bool = False
    seed: int = SEED


def reviewed(project: Project, units: str, wishes: Wishes) -> tuple[Reviewed, ...]:
    """The review of every pipe that has stated values, in the order of the file."""
    made: list[Reviewed] = []
    first = 1
    for submittal in submittals(project, units):
        made.append(_reviewed(project, submittal, wishes, first))
        first += len(made[-1].comments)
    return tuple(made)


def _reviewed(project: Project, submittal: Submittal, wishes: Wishes, first: int) -> Reviewed:
    found = recheck(submittal, wishes.tolerances)
    asked = clauses(project, found)
    wall = None if found.leaves_no_bore else found.wall
    moved = sensitivity(submittal.pipe, submittal.ours, wall, wishes.seed)
    beside = tuple(_side_by_side(submittal.ours)) if wishes.side_by_side else ()
    return Reviewed(found, asked, moved, comments(found, asked, moved), first, beside)


def _side_by_side(task: PipeTask) -> Iterator[PipeResult]:
    """Both editions in both conditions, as far as the inputs suffice."""
    for condition in (task, other_condition(task)):
        if condition is None:
            continue
        editions = (EDITION_07B, EDITION_07A) if condition.basis.buried_fully else (EDITION_07B,)
        for edition in editions:
            yield designed(replace(condition, basis=replace(condition.basis, edition=edition)))


def memorandum(
    project: Project, reviewed: tuple[Reviewed, ...], units: str, wishes: Wishes
) -> Document:
    """The memorandum, ready to send."""
    blocks: list[Block] = [Paragraph(INTRODUCTION), _glance(reviewed)]
    if any(each.found.rounded_up_by_us for each in reviewed):
        blocks.append(Paragraph(IN_BRACKETS))
    blocks += _missing(project, reviewed)
    blocks.append(Heading("Comments"))
    for each in reviewed:
        blocks += [Heading(each.found.sized.name, 2), *_numbered(each)]
    for each in reviewed:
        blocks += [Heading(f"Recheck of {each.found.sized.name}"), *_pipe(each)]
    if wishes.sheets:
        blocks.append(Heading("Our calculation"))
        place = 1
        for each in reviewed:
            blocks.append(Sheet(each.found.sized, place))
            place += len(each.found.sized.stations)
    return of_project(project, units, "Review of a liner thickness calculation", blocks)


def _glance(reviewed: tuple[Reviewed, ...]) -> Grid:
    rows = []
    for each in reviewed:
        found, system = each.found, each.found.sized.basis.system
        lowest = found.checked.lowest_safety_factor if found.checked else None
        rows.append(
            (
                found.sized.name,
                _submitted(found),
                _mm(found.sized.required_thickness, system),
                _mm(found.sized.nominal_thickness, system),
                found.verdict or ("no bore" if found.leaves_no_bore else "-"),
                factor(lowest),
                _finding(each),
            )
        )
    columns = ("pipe", "submitted", "required", "nominal", "verdict", "lowest N", "finding")
    return Grid(columns, "<>>><><", tuple(rows), "Findings at a glance, thicknesses in mm")


def _submitted(found: Recheck) -> str:
    if found.wall is None:
        return "-"
    text = _mm(found.wall, found.sized.basis.system)
    return f"({text})" if found.rounded_up_by_us else text


def _finding(each: Reviewed) -> str:
    slips = _slips(each.found) or _without_slip(each.found)
    if not each.breach:
        return slips
    broken = "owner's criteria not met"
    return broken if slips == AGREES else f"{slips}; {broken}"


def _slips(found: Recheck) -> str:
    """The slips that give all that is stated; in words, so that a narrow column can break them.

    Those that arbitrary numbers would find as well are possible; one not to the last digit is near.
    """
    mistaken = [each.unit_meant for each in found.comparisons if each.unit_meant]
    if mistaken:
        return f"unit mistaken for {', '.join(dict.fromkeys(mistaken))}"
    if found.own is not None:
        over = ", ".join(name for name, _ in found.own.over)
        return f"{found.own.equation}'s own number; {over} not shown"
    likeliest = found.findings or [each for each in found.explanations if each.place == 1]
    first = [each for each in likeliest if each.complete]
    if not first:
        return ""
    names = [" + ".join(each.names).replace("-", " ") for each in first]
    near = "" if all(each.exact for each in first) else " (close, not to the last digit)"
    pairs = len(first[0].slips) > 1
    if len(first) > MOST_NAMED and not pairs:
        return f"{len(first)} slips possible"
    if not found.findings:
        many = any((each.chance or 0.0) > WORTH_ASKING for each in first)
        another = ", or another" if len(names) > 1 else ""
        return "" if many else f"possibly {names[0]}{near}{another}"
    return f"{'not distinguishable: ' if len(first) > 1 else ''}{', '.join(names)}{near}"


def _without_slip(found: Recheck) -> str:
    """The finding where no slip is found."""
    if all(each.agrees for each in found.comparisons):
        few = any(each.by_rounding for each in found.comparisons)
        thin = "; the wall is thin" if found.verdict == THIN else ""
        return f"{'agrees within its rounding' if few else AGREES}{thin}"
    calculated_right = all(compared.calculated_right for compared in found.comparisons)
    return "other inputs" if calculated_right and found.submittal.other_inputs else "not explained"


def _mm(thickness: float, system: str) -> str:
    return f"{in_millimetres(thickness, system):.2f}"


def _missing(project: Project, reviewed: tuple[Reviewed, ...]) -> tuple[Block, ...]:
    names = {each.found.sized.name for each in reviewed}
    left: list[Pipe] = [pipe for pipe in project.pipes if pipe.name not in names]
    if not left:
        return ()
    listed = ", ".join(pipe.name for pipe in left)
    return (Paragraph(f"Without stated values, and so not reviewed: {listed}."),)


def _numbered(each: Reviewed) -> tuple[Block, ...]:
    return tuple(
        Paragraph(f"{each.first + i}. [{comment.weight}] {comment.text}")
        for i, comment in enumerate(each.comments)
    )


def _pipe(each: Reviewed) -> Iterator[Block]:
    found = each.found
    system = found.sized.basis.system
    yield Paragraph(_verdict(found))
    yield _comparison(found)
    yield from _explanations(found)
    if found.instead:
        yield Paragraph(_before_instead(found))
        yield Bullets(tuple(instead_text(value, system) for value in found.instead))
    yield _compliance(each.clauses)
    if each.side_by_side:
        yield _beside(each.side_by_side)
    yield from _sensitivity(each)


def _before_instead(found: Recheck) -> str:
    """Why other inputs are listed: no slip fits, or only slips that arbitrary numbers fit too."""
    if any(each.exact for each in found.explanations):
        return "One input at a time would give the stated thickness too:"
    return "No slip gives the stated thickness to its last digit. One input at a time would:"


def _verdict(found: Recheck) -> str:
    sized, system = found.sized, found.sized.basis.system
    text = (
        f"{sized.basis.condition[0].upper()}{sized.basis.condition[1:]}; we require "
        f"{both_units(sized.required_thickness, system)} by {governing_text(sized)}, nominal "
        f"{both_units(sized.nominal_thickness, system)}."
    )
    if found.wall is None or found.checked is None:
        if found.leaves_no_bore:
            return f"{text} The thickness submitted leaves no bore, so there is no verdict on it."
        return f"{text} No thickness is stated, so there is no verdict on one."
    stated = found.submittal.item("t") is not None
    whence = "submitted" if stated else "(the stated required one rounded up by us)"
    return (
        f"{text} The nominal thickness {whence}, {both_units(found.wall, system)}, is "
        f"{found.verdict}; the safety factor that it really provides is "
        f"{factor(found.checked.lowest_safety_factor)} at least."
    )


def _comparison(found: Recheck) -> Grid:
    inputs = bool(found.submittal.other_inputs)
    columns: tuple[str, ...] = ("item", "stated", "recomputed", "difference", "verdict")
    if inputs:
        columns = (*columns, "by their inputs", "by calculation")
    rows = tuple(
        (
            compared.item.label,
            str(compared.item.stated),
            "-" if compared.recomputed is None else compared.item.shown(compared.recomputed),
            percent(compared.difference),
            _agreement(compared),
            *((percent(compared.of_input), percent(compared.of_calculation)) if inputs else ()),
        )
        for compared in found.comparisons
    )
    return Grid(columns, "<>>><" + (">>" if inputs else ""), rows, "Stated beside recomputed")


def _agreement(compared: Comparison) -> str:
    if compared.recomputed is None:
        return "not part of our calculation"
    if compared.unit_meant:
        return f"unit: {compared.unit_meant}?"
    if compared.by_rounding:
        return "decides nothing: its rounding"
    if compared.agrees:
        return AGREES
    return "open point" if compared.open_point else "differs"


def _explanations(found: Recheck) -> Iterator[Block]:
    if not found.explanations:
        return
    rows = tuple(
        (
            str(e.place),
            " + ".join(e.names),
            sentence(e, found.submittal.items, found.with_their_inputs),
            "-" if e.chance is None else odds(e.chance),
        )
        for e in found.explanations
    )
    caption = "What would give the stated numbers, likeliest first; one place: not distinguishable"
    yield Grid(("place", "slip", "in words", "by chance"), "><<<", rows, caption)
    yield Paragraph(BY_CHANCE)


def _compliance(asked: tuple[Clause, ...]) -> Grid:
    rows = tuple((each.name, each.asked, each.shown, each.status) for each in asked)
    return Grid(("clause", "asked", "shown", "status"), "<<<<", rows, "The owner's criteria")


def _beside(results: tuple[PipeResult, ...]) -> Grid:
    rows = tuple(
        (
            result.basis.condition,
            f"ASTM {result.basis.edition}" if result.basis.buried_fully else "either",
            _mm(result.required_thickness, result.basis.system),
            _mm(result.nominal_thickness, result.basis.system),
            result.governing,
        )
        for result in results
    )
    columns = ("condition", "edition", "required, mm", "nominal, mm", "governing")
    caption = "Both editions, both conditions; the owner decides"
    return Grid(columns, "<<>><", rows, caption)


def _sensitivity(each: Reviewed) -> Iterator[Block]:
    found, moved = each.found, each.moved
    system = found.sized.basis.system
    if not moved.swings:
        return
    yield Paragraph(DOUBTS)
    rows = tuple(
        (
            SYMBOLS[s.doubt.key].meaning,
            f"{positional(s.value, 4)} {SYMBOLS[s.doubt.key].unit(system)}".strip(),
            s.doubt.origin,
            s.doubt.words + (" (stated)" if s.doubt.stated else ""),
            " to ".join(_mm(t, system) for t in sorted(s.required)),
            " to ".join(f"{in_millimetres(t, system):.4g}" for t in sorted(s.nominal)),
        )
        for s in moved.swings
    )
    columns = ("input", "value", "known", "doubt", "required, mm", "nominal, mm")
    yield Grid(columns, "<><<>>", rows, "Inputs that move the thickness, assumed ones first")
    wall = None if found.leaves_no_bore else found.wall
    whose = "rounded up by us" if found.rounded_up_by_us else "submitted"
    picture = tornado(found.sized.name, moved, wall, system, whose)
    if picture:
        yield picture
    if moved.chance:
        yield Paragraph(_chance(moved, system))


def _chance(moved: Sensitivity, system: str) -> str:
    chance = moved.chance
    assert chance is not None
    shown = ", ".join(f"{p} %: {_mm(t, system)} mm" for p, t in chance.percentiles)
    return (
        f"All doubts drawn together {chance.draws:,} times (triangular, seed {chance.seed}): "
        f"{_mm(chance.wall, system)} mm is enough in {chance.enough:.1%} of the draws. "
        f"Thickness required, percentiles: {shown}."
    )
