"""What a calculation sheet says in words, the same for every form it is written in."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from linerdesign import __version__
from linerdesign.documents.blocks import Document, Grid
from linerdesign.documents.numbers import (
    both_units,
    factor,
    in_inches,
    in_millimetres,
    value_with_unit,
)
from linerdesign.expressions.printing import Dialect, plain, positional, write
from linerdesign.expressions.tolerance import under
from linerdesign.expressions.tree import Call, LookUp, Node, Number, Operation, evaluate
from linerdesign.methods.basis import FULLY, PARTIALLY
from linerdesign.methods.equation import Provenance, Severity
from linerdesign.methods.f1216.basis import EDITION_07A, EDITION_07B
from linerdesign.methods.method import checks_of
from linerdesign.methods.result import CheckResult, PipeResult, Step
from linerdesign.methods.symbols import SYMBOLS
from linerdesign.methods.task import InWords

STATEMENTS = {
    True: "The host pipe does not, or will not, carry soil and surcharge for the design life.",
    False: "The host pipe carries soil and surcharge for the whole design life.",
}


Leaf = Callable[[str], str]


def printed_symbol(key: str) -> str:
    """The symbol of a quantity as printed on the sheet."""
    return SYMBOLS[key].symbol


@cache
def symbolic() -> Dialect:
    """The plain dialect with the symbols as printed on the sheet."""
    return plain(printed_symbol)


def formula(step: Step) -> str | None:
    """The step's arithmetic in symbols; none for an input, or for a rounding."""
    if step.arithmetic is None or _rounded(step) is not None:
        return None
    return write(step.arithmetic, symbolic())


def substituted(step: Step) -> str | None:
    """The step's arithmetic in numbers, as a pocket calculator takes it."""
    if step.arithmetic is None or _rounded(step) is not None:
        return None
    return write(step.arithmetic, _numeric(step))


def derivation(
    step: Step,
    form: Callable[[Leaf], Dialect] = plain,
    symbol: Leaf = printed_symbol,
    remark: str = "{}, {}",
) -> tuple[str, ...]:
    """The lines between the symbol and its value: in symbols, then in numbers.

    `form` makes the dialect from what stands for a key, `symbol` the key's symbol in it, `remark`
    sets a number and words beside each other.
    """
    values = dict(step.values)
    rounded = _rounded(step)
    shown = step.arithmetic if rounded is None else rounded
    kind = step.line.equation.kind if step.line else ""
    if shown is None:
        return ()
    # A choice shows its rule before what it chose; an angle its formula, which is no arithmetic.
    rule = step.line.tree if step.line and kind in ("choice", "angle") else shown
    if kind == "angle":
        shown = rule
    lines = [write(rule, form(symbol))] if kind == "choice" else []
    lines += [write(shown, form(leaf)) for leaf in (symbol, lambda key: positional(values[key]))]
    if rounded is not None:
        exact = float(evaluate(rounded, values))
        lines.append(remark.format(positional(exact), _rounding(step, exact)))
    return tuple(dict.fromkeys(lines))


def _rounding(step: Step, exact: float) -> str:
    """How a step rounds: to whole steps, or to what is made."""
    if step.line is None or not isinstance(step.line.tree, LookUp):
        return "rounded up"
    if under(step.value, exact):
        return "more than the largest thickness listed"
    return "and the next thickness listed"


def _numeric(step: Step) -> Dialect:
    values = dict(step.values)
    return plain(lambda key: positional(values[key]))


def _rounded(step: Step) -> Node | None:
    """What a rounding step rounds up."""
    match step.line.tree if step.line else None:
        case LookUp("next", inner, _):
            return inner
        case node:
            return node and to_whole(node)


def to_whole(node: Node) -> Node | None:
    """What is rounded up to a whole number, without the billionth that guards the last digit."""
    match node:
        case Call("ceil", (Operation("-", (inner, Number())),)):
            return inner
    return None


def reference(step: Step) -> str:
    """Number of the equation, and the clause it stands in."""
    if step.line is None:
        return ""
    return f"[{step.equation}; {step.line.equation.clause}]"


def warnings_of(step: Step) -> tuple[str, ...]:
    """What a reader must know of a formula that was not seen in print."""
    doubtful = (Provenance.MEMORY, Provenance.PRACTICE)
    if step.line is not None and step.line.equation.provenance in doubtful:
        return (step.line.equation.provenance.value,)
    return ()


def origin_text(step: Step, system: str) -> str:
    """How an input is known, and how it was written where the sheet carries another unit."""
    shown = value_with_unit(step.key, step.value, system)
    origin, _, stated = step.source.partition(", stated as ")
    number = stated.split(" ")[0]
    same = stated == shown or shown == positional(float(number)) if _is_number(number) else False
    return origin if same or stated in shown else step.source


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


# What each edition stands for: the form of X1.3, and what of later or earlier ones was seen.
EDITIONS = {
    EDITION_07B: "the form of X1.3 published since 07b; editions after it were not at hand",
    EDITION_07A: "the form of X1.3 before 07b, from memory",
}


def edition_text(result: PipeResult) -> str:
    """The edition of the standard that the calculation follows, and what was known of it."""
    return f"ASTM {result.basis.edition}, {EDITIONS[result.basis.edition]}"


# Behind the governing equation, where the wall is as thick as it is for another reason.
FLOOR = "; owner's minimum decides"
# In place of a number that lines find from the words beside it.
IN_WORDS = "in words"


def condition_text(result: PipeResult) -> str:
    """What the owner's choice of condition means."""
    return STATEMENTS[result.basis.condition == FULLY]


def governing_text(result: PipeResult) -> str:
    """The governing equation, where it governs, and whether the owner's minimum asks for more."""
    at = f" at {result.governing_station}" if result.governing_station else ""
    return f"{result.governing}{at}{FLOOR if result.minimum_governs else ''}"


def inputs(result: PipeResult) -> tuple[Step, ...]:
    """The steps that are inputs."""
    return tuple(filter(is_input, result.steps))


def is_input(step: Step) -> bool:
    """Whether nothing computes a step."""
    return step.arithmetic is None and step.line is None


def computed(result: PipeResult) -> tuple[Step, ...]:
    """The steps that are computed and apply."""
    return tuple(step for step in result.steps if step.arithmetic is not None)


def not_applying(result: PipeResult) -> tuple[str, ...]:
    """Numbers of the checks that the condition asks for but that do not apply, each once."""
    applied = {check.equation for check in result.checks}
    numbers = (check.equation for check in checks_of(result.basis))
    return tuple(dict.fromkeys(number for number in numbers if number not in applied))


# How values of pipe and site are known that nobody measured.
NOT_MEASURED = ("given", "plan", "assumed")


def not_measured(result: PipeResult) -> tuple[str, ...]:
    """Inputs of pipe and site that were not measured, each once, with how they are known."""
    known: dict[tuple[str, str], dict[str, list[str]]] = {}
    stated: tuple[Step | InWords, ...] = (*inputs(result), *result.in_words)
    for each in stated:
        origin, _, value = each.source.partition(", stated as ")
        if origin.split(",")[0] in NOT_MEASURED:
            places = known.setdefault((each.meaning, origin), {}).setdefault(value, [])
            places.extend([each.station] if each.station else [])
    return tuple(
        f"{meaning} ({origin}{_stated(found)})" for (meaning, origin), found in known.items()
    )


def _stated(found: dict[str, list[str]]) -> str:
    """How a value was stated, and where along the pipe it is what."""
    parts = [
        stated + (f" at {', '.join(places)}" if places else "") for stated, places in found.items()
    ]
    said = "; ".join(part for part in parts if part)
    return f", stated as {said}" if said else ""


def notes_of(result: PipeResult, severity: Severity) -> tuple[str, ...]:
    """The texts of the notes of one severity."""
    return tuple(note.text for note in result.notes if note.severity is severity)


RULINGS = "Which equation rules"
# The lists that other values of the inputs fill or empty.
RAISED = {Severity.OUTSIDE: "Outside the method", Severity.CAUTION: "Cautions for this pipe"}


def remark_lists(result: PipeResult) -> dict[str, tuple[str, ...]]:
    """What the reader must know beside the numbers: every list by its title, empty ones too."""
    return {
        RULINGS: _rulings(result),
        **{title: notes_of(result, severity) for severity, title in RAISED.items()},
        "Defaults used": notes_of(result, Severity.DEFAULT),
        "Values not measured": not_measured(result),
        "Evidence": tuple(f"{what}: {text}" for what, text in result.evidence),
    }


def remarks(result: PipeResult) -> dict[str, tuple[str, ...]]:
    """The lists of `remark_lists` that say something."""
    return {title: items for title, items in remark_lists(result).items() if items}


def _rulings(result: PipeResult) -> tuple[str, ...]:
    """Why an equation rules, where several could, each reason once."""
    reasons = (f"{check.equation} rules: {check.why}" for check in result.checks if check.why)
    return tuple(dict.fromkeys(reasons))


def other_condition_text(result: PipeResult) -> str | None:
    """What the other condition of the host would ask for, where that was computed."""
    other = result.other_condition
    if other is None:
        return _not_computed(result)
    system = other.basis.system
    return (
        f"If it were {other.basis.condition}: required "
        f"{value_with_unit('t', other.required_thickness, system)}, nominal "
        f"{value_with_unit('t', other.nominal_thickness, system)}, governed by "
        f"{governing_text(other)}. The owner decides the condition."
    )


def _not_computed(result: PipeResult) -> str | None:
    """Which values were missing for the other condition, where it was asked for."""
    if not result.other_missing:
        return None
    other = PARTIALLY if result.basis.condition == FULLY else FULLY
    missing = ", ".join(result.other_missing)
    return (
        f"If it were {other}: not possible, values missing: {missing}. "
        "The owner decides the condition."
    )


# What a table of checks has beside the equation: each cell's name, and the head above it.
CHECK_CELLS = {
    "required": "t required",
    "demand": "demand",
    "capacity": "capacity",
    "safety": "safety factor",
    "verdict": "verdict",
}
CHECK_COLUMNS = ("equation", *CHECK_CELLS.values())
PASSES, CHECK_FAILS = "passes", "FAILS"


def checks_grid(result: PipeResult) -> Grid:
    """The checks at the nominal thickness as a table."""
    stations = any(check.station for check in result.checks)
    rows = [
        (
            *((check.station or "-",) if stations else ()),
            check.equation,
            *check_cells(check, result.basis.system).values(),
        )
        for check in result.checks
    ]
    return Grid(
        columns=(("station",) if stations else ()) + CHECK_COLUMNS,
        align=("<" if stations else "") + "<>>>><",
        rows=tuple(rows),
        caption=f"Checks at {both_units(result.nominal_thickness, result.basis.system)}",
    )


def check_cells(check: CheckResult, system: str) -> dict[str, str]:
    """What came of a check, in the cells of `CHECK_CELLS`."""
    unit = f" {check.unit}" if check.unit else ""
    return {
        "required": both_units(check.required_thickness, system),
        "demand": positional(check.demand, 5) + unit,
        "capacity": positional(check.capacity, 5) + unit,
        "safety": factor(check.safety_factor),
        "verdict": verdict(check.passes),
    }


def verdict(passes: bool) -> str:
    """What a check is said to do."""
    return PASSES if passes else CHECK_FAILS


def schedule_grid(results: tuple[PipeResult, ...]) -> Grid:
    """One row a pipe: what is built, and why."""
    rows = tuple(
        (
            result.name,
            _diameter(result),
            "full" if result.basis.condition == FULLY else "partial",
            governing_text(result),
            f"{in_millimetres(result.required_thickness, result.basis.system):.2f}",
            f"{in_inches(result.required_thickness, result.basis.system):.3f}",
            _nominal(result),
            factor(result.lowest_safety_factor),
            _remark(result),
        )
        for result in results
    )
    return Grid(
        columns=(
            "pipe",
            "D",
            "host",
            "governs",
            "req. mm",
            "req. in",
            "nom. mm",
            "least N",
            "status",
        ),
        align="<><<>>>><",
        rows=rows,
        caption="Schedule of thicknesses",
    )


def _nominal(result: PipeResult) -> str:
    return positional(in_millimetres(result.nominal_thickness, result.basis.system), 5)


def _diameter(result: PipeResult) -> str:
    step = next(step for step in result.steps if step.key == "D")
    return f"{positional(step.value, 5)} {step.unit}"


def _remark(result: PipeResult) -> str:
    """The status in short, and how many cautions the sheet holds."""
    count = len(notes_of(result, Severity.CAUTION)) + len(notes_of(result, Severity.OUTSIDE))
    cautions = f", {count} caution{'s' * (count > 1)}" if count else ""
    return result.status.removesuffix(" the method") + cautions


def about(document: Document) -> dict[str, str]:
    """What the head of a document says of the project, without what was not given."""
    info = document.info
    file = f"{document.file_name}, SHA-256 {document.fingerprint[:16]}"
    lines = {
        "project number": info.number,
        "client": info.client,
        "location": info.location,
        "date": info.date,
        "revision": info.revision,
        "prepared by": info.prepared_by,
        "checked by": info.checked_by,
        "input file": file if document.fingerprint else "",
        "program": f"linerdesign {__version__}",
    }
    return {label: text for label, text in lines.items() if text}
