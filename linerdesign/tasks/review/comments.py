"""The numbered comments of a review: what is asked of whom, polite and in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from linerdesign.documents.numbers import both_units, factor
from linerdesign.expressions.printing import positional
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.project.measures import convert
from linerdesign.tasks.review.compliance import DEFAULT, NOT_MET, NOT_SHOWN, Clause
from linerdesign.tasks.review.explain import Explanation, main_item
from linerdesign.tasks.review.inverse import Instead
from linerdesign.tasks.review.recheck import THICK, THIN, Comparison, OwnNumber, Recheck, Tolerances
from linerdesign.tasks.review.sensitivity import Sensitivity
from linerdesign.tasks.review.wording import by_chance_text, percent, sentence, telling_apart

CORRECTION, QUESTION, REMARK = "correction", "question", "remark"
NO_COMMENT = "The stated values agree with our recalculation, and the wall is adequate."
# More slips at one place are counted and not listed in the letter.
MOST_LISTED = 3
# Of the inputs that would give a number, the letter has those that need the least change.
MOST_INPUTS = 5
# An explanation that more arbitrary numbers would find is not worth a question.
WORTH_ASKING = 0.25


@dataclass(frozen=True)
class Comment:
    """One comment. Its `weight` is a correction asked for, a question, or a remark."""

    weight: str
    text: str


def comments(
    found: Recheck, clauses: tuple[Clause, ...], moved: Sensitivity
) -> tuple[Comment, ...]:
    """The comments on one pipe, the gravest first."""
    calculation = tuple(_calculation(found))
    made = [
        *_units(found),
        *_no_bore(found),
        *_thin(found, clauses),
        *calculation,
        *_too_few_digits(found),
        *_inputs(found),
        *_compliance(clauses),
        *_thick(found),
        *_doubts(moved),
    ]
    order = (CORRECTION, QUESTION, REMARK)
    corrected = any(comment.weight == CORRECTION for comment in made)
    if found.holds and not corrected and not calculation:
        made.append(Comment(REMARK, _agreed(found)))
    return tuple(sorted(made, key=lambda comment: order.index(comment.weight)))


def _agreed(found: Recheck) -> str:
    """That all is right; with the tolerance named where it is needed for that."""
    usual = Tolerances().agreement
    if any(each.by_rounding for each in found.comparisons):
        digits = ", as far as their digits tell,"
        return NO_COMMENT.replace(" with our recalculation,", f" with our recalculation{digits}")
    if all(abs(c.difference or 0.0) <= usual for c in found.comparisons):
        return NO_COMMENT
    within = f" within the tolerance of {100 * found.tolerances.agreement:g} %"
    return NO_COMMENT.replace(" with our recalculation", f" with our recalculation{within}")


def _units(found: Recheck) -> Iterator[Comment]:
    """Values whose digits are ours in another unit."""
    for each in found.comparisons:
        if each.unit_meant:
            item = each.item
            yield Comment(
                CORRECTION,
                f"The stated {item.label} of {item.stated} has the digits of our "
                f"{positional(_in_unit(each), 4)} {each.unit_meant}: the unit seems to be mistaken "
                f"({item.stated.unit} for {each.unit_meant}). Please correct the unit.",
            )


def _in_unit(each: Comparison) -> float:
    """Our number in the unit that was meant."""
    ours, unit = each.with_their_inputs or 0.0, each.unit_meant
    return ours if unit == each.item.unit else convert(ours, each.item.unit, unit)


def _no_bore(found: Recheck) -> Iterator[Comment]:
    if not found.leaves_no_bore or found.wall is None:
        return
    system = found.sized.basis.system
    diameter = found.sized.value("D") or 0.0
    yield Comment(
        CORRECTION,
        f"A wall of {both_units(found.wall, system)} leaves no bore in a pipe of "
        f"{both_units(diameter, system)}. We have not checked it; please correct the thickness.",
    )


def _too_few_digits(found: Recheck) -> Iterator[Comment]:
    """Values that agree only because they have a figure or two."""
    parts = [
        f"{c.item.label} {c.item.stated} (we compute {c.item.shown(c.recomputed or 0.0)}, "
        f"{percent(c.difference)})"
        for c in found.comparisons
        if c.by_rounding
    ]
    if parts:
        yield Comment(
            QUESTION,
            f"Agrees only within its rounding, and so decides nothing: {'; '.join(parts)}. Please "
            "state it with three figures.",
        )


def _thin(found: Recheck, clauses: tuple[Clause, ...]) -> Iterator[Comment]:
    if found.verdict != THIN or found.wall is None or found.checked is None:
        return
    system = found.sized.basis.system
    wall, required = found.wall, found.sized.required_thickness
    parts = []
    for check in found.failing:
        at = f" at {check.station}" if check.station else ""
        provided = check.safety_factor
        by = f", safety factor {factor(provided)} provided" if provided is not None else ""
        parts.append(f"{check.equation}{at} ({both_units(check.required_thickness, system)}{by})")
    if found.failing:
        short = both_units(required - wall, system)
        why = f"{short} less than is required by {', '.join(parts)}"
    else:
        floor = found.sized.value("t_floor") or 0.0
        why = f"under the owner's least thickness of {both_units(floor, system)}"
    nominal = both_units(found.sized.nominal_thickness, system)
    text = (
        f"The thickness of {both_units(wall, system)}{_by_us(found)} is {why}. Please submit a "
        f"wall of at least {nominal}, or show by what reasoning less is enough."
    )
    if any(each.of_recheck and each.breach for each in clauses):
        text += " This thickness rests on inputs outside the owner's limits, named below."
    yield Comment(CORRECTION, text)


def _by_us(found: Recheck) -> str:
    return ", the stated required one rounded up by us," if found.rounded_up_by_us else ""


def _calculation(found: Recheck) -> Iterator[Comment]:
    """How the wrong numbers may have come about: a finding, a possibility, or nothing known."""
    wrong = [c for c in found.comparisons if not c.calculated_right and not c.unit_meant]
    first = [each for each in found.explanations if each.place == 1]
    if found.own is not None:
        yield _own_number(found.own, found)
    elif found.findings:
        yield _finding(found.findings, found, CORRECTION if wrong else QUESTION)
        best = found.findings[0]
        left = [c for c in wrong if not best.complete and c.item.name not in best.explains]
        yield from _unexplained(found, left)
    else:
        yield from _unexplained(found, wrong)
        if first and wrong and (first[0].chance or 0.0) <= WORTH_ASKING:
            yield _possibility(first, found)


def _finding(first: Sequence[Explanation], found: Recheck, weight: str) -> Comment:
    items, system = found.submittal.items, found.sized.basis.system
    texts = [_differing(first[0], found), sentence(first[0], items, found.with_their_inputs)]
    texts += [f"The same results if {each.words}." for each in first[1:MOST_LISTED]]
    if len(first) > MOST_LISTED:
        texts.append(f"{len(first) - MOST_LISTED} more slips give it: see the recheck.")
    by_chance = by_chance_text(first[0])
    if by_chance:
        texts.append(by_chance)
    apart = telling_apart(first[:MOST_LISTED], system)
    if apart:
        texts.append(f"The numbers submitted do not tell these apart. {apart} Please state it.")
    elif len(first) > 1:
        texts.append("The numbers submitted do not tell these apart; please show the steps.")
    else:
        texts.append("Please check this point and correct the calculation, or tell us otherwise.")
    return Comment(weight, " ".join(texts))


def _possibility(first: Sequence[Explanation], found: Recheck) -> Comment:
    """Slips that many arbitrary numbers would find as well: no more than a question."""
    items = found.submittal.items
    best = sentence(first[0], items, found.with_their_inputs)
    more = len(first) - 1
    others = f" {more} other{'s give' if more > 1 else ' gives'} it as well." if more else ""
    return Comment(
        QUESTION,
        f"A possibility only: {best}{others} {by_chance_text(first[0])} Was it so?",
    )


def _own_number(own: OwnNumber, found: Recheck) -> Comment:
    """The number of another check, which any slip that brings the governing one below it gives."""
    system = found.sized.basis.system
    item = next(each for each in found.submittal.items if each.key == "t_required")
    compared = next(each for each in found.comparisons if each.item == item)
    over = ", ".join(f"{name} ({both_units(t, system)})" for name, t in own.over)
    names = " and ".join(f"t {name}" for name, _ in own.over)
    singles = [each for each in found.explanations if each.place == 1]
    ways = "; or if ".join(each.words for each in singles[:MOST_LISTED])
    more = len(singles) - MOST_LISTED
    among = f" Among such slips, it results if {ways}." if ways else ""
    if more > 0:
        among = among[:-1] + f"; and from {more} more, listed in the recheck."
    return Comment(
        CORRECTION,
        f"The stated {item.label} of {item.stated} differs from the "
        f"{item.shown(compared.with_their_inputs or 0.0)} that we compute, by "
        f"{percent(compared.of_calculation)}. The number is {own.equation}'s own: "
        f"{item.shown(own.thickness)} is what {own.equation} asks for by itself. Whichever slip "
        f"brings {over} below it gives this number, so that it cannot be judged from it which one "
        f"was made.{among} Please state {names}, and correct the calculation.",
    )


def _differing(explanation: Explanation, found: Recheck) -> str:
    """The stated number beside ours."""
    item = main_item(explanation, found.submittal.items)
    compared = next(c for c in found.comparisons if c.item == item)
    if compared.with_their_inputs is None:
        return f"The {item.label} of {item.stated} has no counterpart in our calculation."
    ours = item.shown(compared.with_their_inputs)
    basis = " with your inputs" if found.submittal.other_inputs else ""
    how = f"from the {ours} that we compute{basis}, by {percent(compared.of_calculation)}"
    if compared.calculated_right:
        within = f"{100 * found.tolerances.agreement:g} %"
        return (
            f"The stated {item.label} of {item.stated} is off {how}: within {within}, but a slip."
        )
    return f"The stated {item.label} of {item.stated} differs {how}."


def _unexplained(found: Recheck, wrong: list[Comparison]) -> Iterator[Comment]:
    if not wrong:
        return
    parts = [
        f"{c.item.label} {c.item.stated} "
        f"(we compute {c.item.shown(c.with_their_inputs or 0.0)}, {percent(c.of_calculation)})"
        for c in wrong
    ]
    text = f"We cannot reproduce: {'; '.join(parts)}."
    chance = max((each.chance or 0.0 for each in found.explanations), default=0.0)
    if not found.explanations:
        text += " None of the slips that we know explains it."
    elif chance > WORTH_ASKING:
        text += f" What we find for it decides nothing. {by_chance_text(found.explanations[0])}"
    if _less_than_beside(found):
        text += " It is less than the required thickness stated beside it."
    thickness = any(c.item.key.startswith("t") for c in wrong)
    likely = [each for each in found.instead if each.plausible is not False]
    if likely and thickness:
        nearest = sorted(likely, key=lambda each: each.away)[:MOST_INPUTS]
        others = ", and from others in the recheck" if len(likely) > MOST_INPUTS else ""
        text += f" It would result from {_or_from(nearest, found)}{others}."
    yield Comment(CORRECTION, f"{text} Please show how it is computed, or correct it.")


def _less_than_beside(found: Recheck) -> bool:
    nominal, required = found.submittal.item("t"), found.submittal.item("t_required")
    if nominal is None or required is None:
        return False
    return nominal.value + nominal.half < required.value - required.half


def _or_from(values: Sequence[Instead], found: Recheck) -> str:
    return "; or from ".join(instead_text(each, found.sized.basis.system) for each in values)


def instead_text(each: Instead, system: str) -> str:
    """One input that would give the stated thickness, and whether it may be."""
    quantity = SYMBOLS[each.key]
    unit = f" {quantity.unit(system)}" if quantity.unit(system) else ""
    return (
        f"{quantity.symbol} = {positional(each.value, 4)}{unit} in place of "
        f"{positional(each.now, 4)}{unit} ({each.why})"
    )


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
    text = f"Your calculation takes other values than the owner's of: {names}."
    if effects:
        text += f" By themselves they change: {'; '.join(effects)}."
    yield Comment(QUESTION, f"{text} Please use the owner's values, or give the source of yours.")


def _compliance(clauses: tuple[Clause, ...]) -> Iterator[Comment]:
    for each in (each for each in clauses if each.breach):
        whose, please = "submitted", "bring it into line"
        if each.of_recheck:
            whose, please = "this recheck takes", "show that the owner accepts it"
        text = f"Owner's criteria, {each.name}: asked {each.asked}, {whose} {each.shown}."
        yield Comment(CORRECTION, f"{text} Please {please}.")
    open_points = [each for each in clauses if each.status == NOT_SHOWN and not each.default]
    if open_points:
        names = "; ".join(f"{each.name} ({each.asked})" for each in open_points)
        yield Comment(QUESTION, f"Not shown by the submittal: {names}. Please provide it.")
    yield from _defaults(clauses)


def _defaults(clauses: tuple[Clause, ...]) -> Iterator[Comment]:
    """What no owner's criteria name: our recheck takes a default, and can only ask."""
    other = [each for each in clauses if each.default and each.status == NOT_MET]
    named = [
        f"{each.name} {_plain(each)}, submitted {each.shown}" for each in other if not each.by_slip
    ]
    if named:
        yield Comment(
            QUESTION,
            f"Other than the default of this recheck, where no owner's criteria name a value: "
            f"{'; '.join(named)}. What does the owner ask for?",
        )


def _plain(clause: Clause) -> str:
    return clause.asked.removesuffix(f" ({DEFAULT})")


def _thick(found: Recheck) -> Iterator[Comment]:
    if found.verdict != THICK or found.wall is None:
        return
    system = found.sized.basis.system
    more = both_units(found.wall - found.sized.nominal_thickness, system)
    yield Comment(
        REMARK,
        f"The thickness of {both_units(found.wall, system)}{_by_us(found)} is {more} more than the "
        f"{both_units(found.sized.nominal_thickness, system)} that we find. It passes every check; "
        "please confirm that it is meant.",
    )


def _doubts(moved: Sensitivity) -> Iterator[Comment]:
    """Assumed inputs that decide the nominal thickness are worth measuring."""
    names = [
        SYMBOLS[s.doubt.key].meaning for s in moved.swings if s.changes_nominal and s.doubt.assumed
    ]
    if names:
        yield Comment(
            QUESTION,
            f"The nominal thickness hangs on values that are only assumed: {', '.join(names)}. "
            "Please have them measured or confirmed.",
        )
