"""The numbered comments of a review: what is asked of whom, polite and in plain words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linerdesign.equations.printing import positional
from linerdesign.equations.symbols import SYMBOLS
from linerdesign.outputs.numbers import both_units, factor
from linerdesign.reviews.compliance import NOT_SHOWN, Clause
from linerdesign.reviews.explain import Explanation
from linerdesign.reviews.inverse import Instead
from linerdesign.reviews.recheck import THICK, THIN, Comparison, Recheck
from linerdesign.reviews.sensitivity import Sensitivity
from linerdesign.reviews.wording import main_item, percent, sentence, telling_apart

CORRECTION, QUESTION, REMARK = "correction", "question", "remark"
NO_COMMENT = "The stated values agree with our recalculation, and the wall is adequate."


@dataclass(frozen=True)
class Comment:
    """One comment. Its `weight` is a correction asked for, a question, or a remark."""

    weight: str
    text: str


def comments(
    found: Recheck, clauses: tuple[Clause, ...], moved: Sensitivity
) -> tuple[Comment, ...]:
    """The comments on one pipe, the gravest first."""
    made = [
        *_thin(found, clauses),
        *_calculation(found),
        *_inputs(found),
        *_compliance(clauses),
        *_thick(found),
        *_doubts(moved),
    ]
    order = (CORRECTION, QUESTION, REMARK)
    if not any(comment.weight == CORRECTION for comment in made) and found.holds:
        made.append(Comment(REMARK, NO_COMMENT))
    return tuple(sorted(made, key=lambda comment: order.index(comment.weight)))


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
        f"The thickness of {both_units(wall, system)} is {why}. Please submit a wall of at least "
        f"{nominal}, or show by what reasoning less is enough."
    )
    if any(each.of_recheck and each.breach for each in clauses):
        text += " This thickness rests on inputs outside the owner's limits, named below."
    yield Comment(CORRECTION, text)


def _calculation(found: Recheck) -> Iterator[Comment]:
    first = [each for each in found.explanations if each.place == 1]
    wrong = [each for each in found.comparisons if not each.calculated_right]
    if not first:
        yield from _unexplained(found, wrong)
        return
    items, system = found.submittal.items, found.sized.basis.system
    head = _differing(first[0], found)
    texts = [sentence(first[0], items, found.with_their_inputs)]
    for each in first[1:]:
        texts.append(f"The same results if {each.words}.")
    apart = telling_apart(first, system)
    if apart:
        texts.append(f"The numbers submitted do not tell these apart. {apart} Please state it.")
    elif len(first) > 1:
        texts.append("The numbers submitted do not tell these apart; please show the steps.")
    else:
        texts.append("Please check this point and correct the calculation, or tell us otherwise.")
    weight = CORRECTION if wrong else QUESTION
    yield Comment(weight, " ".join([head, *texts]))
    left = [c for c in wrong if not first[0].complete and c.item.name not in first[0].explains]
    if left:
        yield from _unexplained(found, left)


def _differing(explanation: Explanation, found: Recheck) -> str:
    """The stated number beside ours."""
    item = main_item(explanation, found.submittal.items)
    compared = next(c for c in found.comparisons if c.item == item)
    if compared.with_their_inputs is None:
        return f"The {item.label} of {item.stated} has no counterpart in our calculation."
    ours = item.shown(compared.with_their_inputs)
    basis = " with your inputs" if found.submittal.other_inputs else ""
    return (
        f"The stated {item.label} of {item.stated} differs from the {ours} that we compute{basis}, "
        f"by {percent(compared.of_calculation)}."
    )


def _unexplained(found: Recheck, wrong: list[Comparison]) -> Iterator[Comment]:
    if not wrong:
        return
    parts = [
        f"{c.item.label} {c.item.stated} "
        f"(we compute {c.item.shown(c.with_their_inputs or 0.0)}, {percent(c.of_calculation)})"
        for c in wrong
    ]
    text = f"We can't reproduce: {'; '.join(parts)}. None of the slips that we know explains it."
    if found.instead:
        text += f" It would result from {_or_from(found.instead, found)}."
    yield Comment(CORRECTION, f"{text} Please show how it is computed, or correct it.")


def _or_from(values: tuple[Instead, ...], found: Recheck) -> str:
    return "; or from ".join(instead_text(each, found.sized.basis.system) for each in values)


def instead_text(each: Instead, system: str) -> str:
    """One input that would give the stated thickness, and whether it may be."""
    quantity = SYMBOLS[each.key]
    unit = f" {quantity.unit(system)}" if quantity.unit(system) else ""
    likely = "plausible" if each.plausible else "hardly plausible"
    return (
        f"{quantity.symbol} = {positional(each.value, 4)}{unit} in place of "
        f"{positional(each.now, 4)}{unit} ({likely}: {each.why})"
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
    open_points = [each for each in clauses if each.status == NOT_SHOWN]
    if open_points:
        names = "; ".join(f"{each.name} ({each.asked})" for each in open_points)
        yield Comment(QUESTION, f"Not shown by the submittal: {names}. Please provide it.")


def _thick(found: Recheck) -> Iterator[Comment]:
    if found.verdict != THICK or found.wall is None:
        return
    system = found.sized.basis.system
    more = both_units(found.wall - found.sized.nominal_thickness, system)
    yield Comment(
        REMARK,
        f"The thickness of {both_units(found.wall, system)} is {more} more than the "
        f"{both_units(found.sized.nominal_thickness, system)} that we find. That is safe; please "
        "confirm that it is meant.",
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
