"""The numbered comments of a review: what the contractor must correct, answer or note.

The weight of a comment follows from consequence: what it does to the verdict on the wall, to the
nominal thickness, or to the owner's requirements.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linerdesign.documents.legs import proposal
from linerdesign.documents.numbers import both_units, factor
from linerdesign.expressions.printing import positional
from linerdesign.expressions.tolerance import under
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.lining import short_legs
from linerdesign.project.measures import convert
from linerdesign.tasks.review.alternatives import Alternative
from linerdesign.tasks.review.contradictions import Contradiction
from linerdesign.tasks.review.criteria import NOT_MET, NOT_SHOWN, Clause
from linerdesign.tasks.review.explain import Explanation
from linerdesign.tasks.review.recheck import THICK, THIN, Comparison, Recheck, Tolerances
from linerdesign.tasks.review.replay import FOLLOWS, ReplayedLine
from linerdesign.tasks.review.submittal import Item
from linerdesign.tasks.review.wording import percent, telling_apart
from linerdesign.words import sentence

CORRECTION, QUESTION, REMARK = "correction", "question", "remark"
WEIGHTS = (CORRECTION, QUESTION, REMARK)
# More errors of one rank are counted and not listed in the letter.
MOST_LISTED = 3
# Of the inputs that would give a number, the letter has those that need the least change.
MOST_INPUTS = 5
# An explanation that more arbitrary numbers would find is not worth a question.
WORTH_ASKING = 0.25


@dataclass(frozen=True)
class Comment:
    """One comment: its weight, the item it is about, with its place, their number and ours."""

    weight: str
    text: str
    item: str = ""
    at: str = ""
    theirs: str = ""
    ours: str = ""


def comments(found: Recheck, clauses: tuple[Clause, ...]) -> tuple[Comment, ...]:
    """The comments on one pipe, the gravest first."""
    departures = tuple(_departures(found))
    made = [
        *_units(found),
        *_no_bore(found),
        *_condition(found),
        *_thin(found, clauses),
        *_legs(found),
        *departures,
        *_contradictions(found),
        *_inputs(found),
        *_requirements(clauses),
        *_too_few_digits(found),
        *_thick(found),
    ]
    if found.holds and not any(each.weight == CORRECTION for each in made) and not departures:
        made.append(Comment(REMARK, _agreed(found)))
    return tuple(sorted(made, key=lambda comment: WEIGHTS.index(comment.weight)))


def _agreed(found: Recheck) -> str:
    """That all agrees; with the tolerance named where it is needed for that."""
    if any(each.by_rounding for each in found.comparisons):
        return sentence("review.agreed as rounded")
    usual = Tolerances().agreement
    off = (c.difference for c in found.comparisons if c.agrees and c.difference is not None)
    if all(abs(each) <= usual for each in off):
        return sentence("review.agreed")
    return sentence("review.agreed within", tolerance=f"{100 * found.tolerances.agreement:g}")


def _units(found: Recheck) -> Iterator[Comment]:
    """Values whose digits are ours in another unit."""
    for each in found.comparisons:
        if each.unit_meant:
            item = each.item
            text = sentence(
                "review.unit mistaken",
                item=item.label,
                stated=item.stated,
                ours=f"{positional(_in_unit(each), 4)} {each.unit_meant}",
                unit=item.stated.unit,
                meant=each.unit_meant,
            )
            weight = CORRECTION if item.key in ("t", "t_required") else QUESTION
            yield Comment(weight, text, item.name, item.at, str(item.stated))


def _in_unit(each: Comparison) -> float:
    """Our number in the unit that was meant."""
    return convert(each.with_their_inputs or 0.0, each.item.unit, each.unit_meant)


def _no_bore(found: Recheck) -> Iterator[Comment]:
    if found.leaves_no_bore and found.wall is not None:
        system = found.sized.basis.system
        wall, diameter = (both_units(n, system) for n in (found.wall, found.sized.value("D") or 0))
        text = sentence("review.no bore", wall=wall, diameter=diameter)
        yield Comment(CORRECTION, text, "thickness", theirs=wall)


def _condition(found: Recheck) -> Iterator[Comment]:
    """A condition other than the owner's."""
    theirs, owner = found.submittal.stated.condition, found.submittal.pipe.condition
    if theirs is not None and theirs != owner:
        text = sentence("review.other condition", theirs=theirs, owner=owner)
        yield Comment(CORRECTION, text, "condition", theirs=theirs, ours=owner)


def _thin(found: Recheck, clauses: tuple[Clause, ...]) -> Iterator[Comment]:
    if found.verdict != THIN or found.wall is None or found.checked is None:
        return
    system = found.sized.basis.system
    wall, required = found.wall, found.sized.required_thickness
    floor = found.sized.value("t_floor")
    nominal = both_units(found.sized.nominal_thickness, system)
    stated = both_units(wall, system) + (sentence("review.by us") if found.rounded_up_by_us else "")
    if found.failing:
        text = sentence(
            "review.thin",
            wall=stated,
            short=both_units(required - wall, system),
            checks=", ".join(_failing(found)),
            nominal=nominal,
        )
    elif floor is None or not under(wall, floor):
        return
    else:
        minimum = both_units(floor, system)
        text = sentence("review.under minimum", wall=stated, minimum=minimum, nominal=nominal)
    if any(each.of_recheck and each.breach for each in clauses):
        text += sentence("review.outside limits")
    item = found.submittal.item("t")
    at = item.at if item else ""
    weight = CORRECTION
    if found.thin_by_default:
        weight, text = QUESTION, sentence("review.thin in dry case", wall=stated, nominal=nominal)
    elif found.thin_by_rounding:
        weight, text = QUESTION, f"{text} {sentence('review.thin by rounding')}"
    yield Comment(weight, text, "thickness", at, both_units(wall, system), nominal)


def _legs(found: Recheck) -> Iterator[Comment]:
    """The legs that the wall, as a tube, does not serve."""
    if found.lined is None or found.wall is None or found.lined.passes:
        return
    system = found.sized.basis.system
    wall = both_units(found.lined.tube.thickness, system)
    text = sentence(
        "review.short in legs",
        wall=wall,
        legs="; ".join(each.said for each in short_legs(found.lined)),
        tube=proposal(found.lined, system),
    )
    yield Comment(CORRECTION, text, "thickness", theirs=wall)


def _failing(found: Recheck) -> Iterator[str]:
    system = found.sized.basis.system
    for check in found.failing:
        at = f" at {check.station}" if check.station else ""
        provided = check.safety_factor
        by = "" if provided is None else sentence("review.provided", factor=factor(provided))
        yield f"{check.equation}{at} ({both_units(check.required_thickness, system)}{by})"


# Lines that do not follow


def consequence(found: Recheck, lines: Sequence[ReplayedLine]) -> str:
    """The weight of errors in these lines.

    A correction where the wall is thin, or where none is submitted and the required thickness is
    too small; a question where the required thickness is too small and the wall is adequate.
    """
    required = found.submittal.item("t_required")
    compared = None if required is None else found.comparison(required)
    small = (
        compared is not None
        and not compared.calculated_right
        and compared.of_calculation is not None
        and compared.of_calculation < 0
    )
    if found.too_thin:
        nominal = any(each.item.key == "t" for each in lines)
        return CORRECTION if small or nominal or required is None else QUESTION
    return QUESTION if small or found.verdict is None else REMARK


def _departures(found: Recheck) -> Iterator[Comment]:
    """The stated lines that do not follow, grouped by the error that explains them."""
    lines = [each for each in found.departures if not _is_unit(each, found)]
    if not lines:
        return
    first = found.findings
    if found.own is not None:
        group, why = [e for e in lines if e.item.key == "t_required"], _own_number(found)
    elif first:
        group = [e for e in lines if e.item.name in first[0].explains]
        why = _error(first, found, len(group))
    else:
        group, why = [], ""
    if group:
        yield _comment(found, group, why, consequence(found, group))
    rest = [each for each in lines if each not in group]
    inputs = [each for each in rest if found.submittal.is_input(each.item.key)]
    for each in inputs:
        yield _comment(found, [each], sentence("review.use owner's"), consequence(found, [each]))
    rest = [each for each in rest if each not in inputs]
    if rest:
        weight = consequence(found, rest)
        asked: list[Comment] = []
        if not first and found.own is None and weight != REMARK:
            asked = list(_possibility(found, rest))
        why = _in_common(found, rest) if found.own is not None else ""
        if not why:
            code = "review.unproven" if found.explanations else "review.unexplained"
            why = sentence(code) + _inputs_that_would(found, rest, weight)
        yield _comment(found, rest, why, weight)
        yield from asked


def _is_unit(line: ReplayedLine, found: Recheck) -> bool:
    compared = found.comparison(line.item)
    return compared is not None and bool(compared.unit_meant)


def _comment(found: Recheck, lines: Sequence[ReplayedLine], why: str, weight: str) -> Comment:
    """A comment on lines: the first in full, others named, then what follows from them."""
    first = lines[0]
    texts = [_differing(each, found) for each in lines[:MOST_LISTED]]
    if len(lines) > MOST_LISTED:
        texts.append(sentence("review.more lines", count=len(lines) - MOST_LISTED))
    texts += [each.text for each in _about(found, lines)]
    texts.append(why)
    later = found.replay[found.replay.index(first) + 1 :]
    carried = [each.item.label for each in later if each.cause == FOLLOWS]
    if carried and weight != REMARK:
        texts.append(sentence("review.carried on", lines=", ".join(carried)))
    if weight == REMARK:
        texts.append(sentence("review.no effect"))
    item = first.item
    ours = "" if first.expected is None else item.shown(first.expected)
    text = " ".join(text.strip() for text in texts if text)
    return Comment(weight, text, item.name, item.at, str(item.stated), ours)


def _about(found: Recheck, lines: Sequence[ReplayedLine]) -> list[Contradiction]:
    """The contradictions that these lines are in."""
    names = {each.item.name for each in lines}
    return [each for each in found.contradictions if each.items[0] in names]


def _differing(line: ReplayedLine, found: Recheck) -> str:
    """The stated number beside what their own values give."""
    item = line.item
    at = f" ({item.at})" if item.at else ""
    if line.expected is None:
        return sentence("review.no such line", item=item.label, at=at, stated=item.stated)
    difference = item.value / line.expected - 1 if line.expected else None
    basis = "review.from own" if len(found.replay) > 1 else "review.from inputs"
    if found.submittal.is_input(item.key):
        basis = "review.of owner"
    return sentence(
        basis,
        item=item.label,
        at=at,
        stated=item.stated,
        ours=item.shown(line.expected),
        difference=percent(difference),
    )


def _error(first: Sequence[Explanation], found: Recheck, lines: int) -> str:
    """What explains so many departures, one error or several of equal rank."""
    code = "review.results if" if lines == 1 else "review.result if"
    if len(first) == 1:
        return sentence(code, words=first[0].words)
    words = "; or if ".join(each.words for each in first[:MOST_LISTED])
    more = len(first) - MOST_LISTED
    text = sentence(f"{code} either", words=words)
    if more > 0:
        text += sentence("review.more errors", count=more)
    apart = telling_apart(first[:MOST_LISTED], found.sized.basis.system)
    return text + (apart or sentence("review.show steps"))


def _own_number(found: Recheck) -> str:
    """The number of another check, which any error that brings the governing one below it gives."""
    own, system = found.own, found.sized.basis.system
    assert own is not None
    over = ", ".join(f"{name} ({both_units(t, system)})" for name, t in own.over)
    names = " and ".join(f"t {name}" for name, _ in own.over)
    text = sentence("review.own number", equation=own.equation, over=over)
    singles = [each for each in found.explanations if each.place == 1]
    if singles:
        ways = "; or if ".join(each.words for each in singles[:MOST_LISTED])
        text += sentence("review.results if either", words=ways)
        if len(singles) > MOST_LISTED:
            text += sentence("review.more errors", count=len(singles) - MOST_LISTED)
    return text + sentence("review.state lines", names=names)


def _in_common(found: Recheck, lines: Sequence[ReplayedLine]) -> str:
    """What all explanations of first rank share, where all explain the lines; else empty."""
    first = [each for each in found.explanations if each.place == 1 and each.credible]
    names = {line.item.name for line in lines}
    if not first or not all(names <= set(each.explains) for each in first):
        return ""
    common = set.intersection(*(set(each.names) for each in first))
    best = zip(first[0].names, first[0].said, strict=True)
    words = " and, in addition, ".join(said for name, said in best if name in common)
    code = "review.results if" if len(lines) == 1 else "review.result if"
    return sentence(code, words=words) if words else ""


def _inputs_that_would(found: Recheck, lines: Sequence[ReplayedLine], weight: str) -> str:
    """The inputs that would give a stated thickness, where its error has consequences."""
    likely = [each for each in found.alternatives if each.plausible is not False]
    if weight == REMARK or not any(each.item.key.startswith("t") for each in lines) or not likely:
        return ""
    nearest = sorted(likely, key=lambda each: each.away)[:MOST_INPUTS]
    values = "; or from ".join(alternative_text(each, found.sized.basis.system) for each in nearest)
    return sentence("review.would result from", item=nearest[0].of, values=values)


def _possibility(found: Recheck, lines: Sequence[ReplayedLine]) -> Iterator[Comment]:
    """An error that other numbers would suggest as well: no more than a question."""
    first = [each for each in found.explanations if each.place == 1]
    if first and (first[0].chance is None or first[0].chance <= WORTH_ASKING):
        item = lines[0].item
        text = sentence("review.possibly", words=first[0].words)
        if len(first) > 1:
            text += sentence("review.more errors", count=len(first) - 1)
        yield Comment(QUESTION, text, item.name, item.at, str(item.stated))


def alternative_text(each: Alternative, system: str) -> str:
    """One input that would give the stated thickness, and what it is judged by."""
    quantity = SYMBOLS[each.key]
    unit = f" {quantity.unit(system)}" if quantity.unit(system) else ""
    return sentence(
        "review.alternative",
        symbol=quantity.symbol,
        value=f"{positional(each.value, 4)}{unit}",
        now=f"{positional(each.now, 4)}{unit}",
        why=each.why,
    )


# Contradictions, inputs, requirements


def _contradictions(found: Recheck) -> Iterator[Comment]:
    """The contradictions that no comment on a line has named."""
    departed = {each.item.name for each in found.departures}
    items = {item.name: item for item in found.submittal.items}
    for each in found.contradictions:
        if each.items[0] in departed:
            continue
        weight = QUESTION
        open_question = found.too_thin or found.verdict is None
        if each.unsafe and open_question:
            weight = CORRECTION
        elif not each.unsafe and not open_question:
            weight = REMARK
        item: Item | None = items.get(each.items[0])
        text = f"{each.text} {sentence('review.please clarify')}"
        at, stated = (item.at, str(item.stated)) if item else ("", "")
        yield Comment(weight, text, each.items[0], at, stated)


def _inputs(found: Recheck) -> Iterator[Comment]:
    """What the other inputs of the submittal do, apart from how it is computed."""
    if not found.submittal.other_inputs:
        return
    names = ", ".join(name.replace("_", " ") for name in found.submittal.other_inputs)
    effects = [
        f"{c.item.label} {percent(c.of_input)}"
        for c in found.comparisons
        if c.of_input is not None and abs(c.of_input) > 1e-6
    ]
    text = sentence("review.other inputs", names=names)
    if effects:
        text += sentence("review.effects", effects="; ".join(effects))
    less = any(
        c.of_input is not None and c.of_input < 0 and c.item.key in ("t", "t_required")
        for c in found.comparisons
    )
    weight = CORRECTION if less and found.too_thin else QUESTION if effects else REMARK
    yield Comment(weight, text + sentence("review.use owner's"), found.submittal.other_inputs[0])


def _requirements(clauses: tuple[Clause, ...]) -> Iterator[Comment]:
    """Requirements that the submittal does not meet; those that our inputs break are internal."""
    for each in clauses:
        if each.breach and not each.of_recheck:
            text = sentence(
                "review.requirement",
                name=each.name,
                required=each.required,
                submitted=each.submitted,
            )
            yield Comment(CORRECTION, text, each.name, "", each.submitted, each.required)


def _too_few_digits(found: Recheck) -> Iterator[Comment]:
    """Values that agree only because they have a figure or two."""
    parts = [
        f"{c.item.label} {c.item.stated} ({c.item.shown(c.recomputed or 0.0)}, "
        f"{percent(c.difference)})"
        for c in found.comparisons
        if c.by_rounding
    ]
    if parts:
        yield Comment(REMARK, sentence("review.too coarse", values="; ".join(parts)))


def _thick(found: Recheck) -> Iterator[Comment]:
    if found.verdict != THICK or found.wall is None:
        return
    system = found.sized.basis.system
    wall, nominal = found.wall, found.sized.nominal_thickness
    text = sentence(
        "review.thick",
        wall=both_units(wall, system)
        + (sentence("review.by us") if found.rounded_up_by_us else ""),
        more=both_units(wall - nominal, system),
        nominal=both_units(nominal, system),
    )
    yield Comment(
        REMARK, text, "thickness", "", both_units(wall, system), both_units(nominal, system)
    )


# General comments


def general_comments(reviewed: Sequence[tuple[str, tuple[Clause, ...]]]) -> tuple[Comment, ...]:
    """What concerns several pipes, once: what is not shown, and defaults of our recheck.

    `reviewed` holds the name of each pipe and its requirements.
    """
    missing: dict[str, list[str]] = {}
    other: dict[str, list[str]] = {}
    for name, clauses in reviewed:
        for each in clauses:
            if each.status == NOT_SHOWN and not each.default:
                missing.setdefault(f"{each.name} ({each.required})", []).append(name)
            if each.status == NOT_MET and each.default and not each.answered:
                value = sentence("review.submitted", default=each.required, value=each.submitted)
                other.setdefault(f"{each.name} ({value})", []).append(name)
    made = []
    for code, found in (("review.not shown", missing), ("review.other than default", other)):
        if found:
            names = "; ".join(_by_pipes(found, len(reviewed)))
            made.append(Comment(QUESTION, sentence(code, names=names)))
    return tuple(made)


def _by_pipes(found: dict[str, list[str]], count: int) -> Iterator[str]:
    """What concerns the same pipes together, with their names where these are not all."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for text, pipes in found.items():
        groups.setdefault(tuple(pipes), []).append(text)
    for names, texts in groups.items():
        only = "" if len(names) == count else sentence("review.of pipes", names=", ".join(names))
        yield f"{', '.join(texts)}{only}"
